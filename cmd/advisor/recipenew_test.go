package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/term"

	"fitadvisor/recipes"
	"fitadvisor/rules/data"
)

// typed answers the questions for a new garment type, on a terminal that is none.
// It returns what is known of the type then, and what the terminal shows.
func typed(t *testing.T, k *recipes.Sketch, keys string) (shown string, err error) {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	var screen bytes.Buffer
	restored := false
	open := func() (asker, func()) {
		return term.NewTerminal(struct {
			io.Reader
			io.Writer
		}{strings.NewReader(keys), &screen}, ""), func() { restored = true }
	}
	err = (&beginning{}).ask(k, voc, open)
	if !restored {
		t.Error("the terminal is not put back as it was")
	}
	codes := regexp.MustCompile("\x1b\\[[0-9]*[A-Za-z]")
	return strings.ReplaceAll(codes.ReplaceAllString(screen.String(), ""), "\r", ""), err
}

func TestQuestionsForANewRecipe(t *testing.T) {
	k := &recipes.Sketch{Name: "my-culottes"}
	shown, err := typed(t, k, "pair of culottes\rwoman\rwomen\rhpi\r\rneeded\rcomfort 10%\r")
	if err != nil {
		t.Fatal(err)
	}
	want := `What is it called in a sentence [my culottes]: pair of culottes
Whom is it drafted for: women, men, children or all [all]: woman
"woman" is none of women, men, children, all; did you mean ¶women¶?
Whom is it drafted for: women, men, children or all [all]: women
Which measurement picks the size [hip]: hpi
"hpi" is no measurement of the body; did you mean ¶hip¶?
Which measurement picks the size [hip]: 
What must the cloth give: none, comfort 10 %, needed 25 % [none]: needed
"needed" is not as in: none, comfort 10 %, needed 25 %
What must the cloth give: none, comfort 10 %, needed 25 % [none]: comfort 10%
`
	if diff := cmp.Diff(want, strings.ReplaceAll(shown, "`", "¶")); diff != "" {
		t.Error(diff)
	}
	said := recipes.Sketch{Name: "my-culottes", Title: recipes.Given{Text: "pair of culottes"}, Draft: recipes.Given{Text: "women"},
		Decides: recipes.Given{Text: "hip"}, Stretch: recipes.Given{Text: "comfort 10 %"}}
	if diff := cmp.Diff(said, *k); diff != "" {
		t.Error(diff)
	}
}

// Of a type that takes over all else, only the title is asked.
func TestQuestionsForANewRecipeBasedOnAnother(t *testing.T) {
	k := &recipes.Sketch{Name: "my-culottes", BasedOn: "wide-trousers"}
	shown, err := typed(t, k, "\r")
	if err != nil || k.Title.Text != "my culottes" || shown != "What is it called in a sentence [my culottes]: \n" {
		t.Errorf("title %q, error %v, shown:\n%s", k.Title.Text, err, shown)
	}
}

// Ctrl-C and the end of the input stop it.
func TestQuestionsForANewRecipeStop(t *testing.T) {
	for _, keys := range []string{"\x03", "culottes\r\x04", ""} {
		if _, err := typed(t, &recipes.Sketch{Name: "my-culottes"}, keys); err == nil || err.Error() != "stopped; nothing was written" {
			t.Errorf("%q: got the error %v", keys, err)
		}
	}
}

func TestWriteNew(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "culottes.yaml")
	if err := writeNew(path, []byte("first")); err != nil {
		t.Fatal(err)
	}
	var there *thereError
	if err := writeNew(path, []byte("second")); !errors.As(err, &there) {
		t.Errorf("over a file that is there: %v", err)
	}
	text, err := os.ReadFile(path)
	if err != nil || string(text) != "first" {
		t.Errorf("the file holds %q: %v", text, err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode() != 0o644 {
		t.Errorf("its mode is %v: %v", info.Mode(), err)
	}
	if left, err := os.ReadDir(folder); err != nil || len(left) != 1 {
		t.Errorf("the folder holds %v: %v", left, err)
	}
}
