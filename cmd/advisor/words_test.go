package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// slip is a way of saying something that is not ours, by its rule.
type slip struct {
	rule string
	re   *regexp.Regexp
}

var quotedWord = regexp.MustCompile("`([^`]+)`")

// slips reads the words that are not said from docs/words.md, and adds those that a
// list cannot hold: articles, amounts of nothing, and equal figures compared.
func slips(t *testing.T) []slip {
	t.Helper()
	page, err := os.ReadFile("../../docs/words.md")
	if err != nil {
		t.Fatal(err)
	}
	out := []slip{
		{"an article before a vowel", regexp.MustCompile(`\b[Aa] (?:a[a-mo-z]|an[a-ce-z]|[ei]|o[a-mo-z]|on[a-df-z])[a-z]{2,}`)},
		{"an article before a consonant", regexp.MustCompile(`\b[Aa]n (?:[b-dfgj-np-tv-z]|one\b|one-|uni|use)[a-z]`)},
		{"an amount of nothing", regexp.MustCompile(`\bby 0 (?:cm|in|%)`)},
	}
	for line := range strings.Lines(string(page)) {
		cells := strings.Split(line, "|")
		if len(cells) != 4 {
			continue
		}
		for _, word := range quotedWord.FindAllStringSubmatch(cells[2], -1) {
			out = append(out, slip{"`" + word[1] + "`", regexp.MustCompile(`(?i)\b` + strings.ReplaceAll(regexp.QuoteMeta(word[1]), " ", `\s+`) + `\b`)})
		}
	}
	if len(out) < 20 {
		t.Fatalf("docs/words.md has only %d words that are not said", len(out))
	}
	return out
}

var comparedFigures = regexp.MustCompile(`with ([0-9][^,.;]*?) (?:of ease )?where (?:the chart has )?([0-9][^,.;]*?)(?: is wanted|,|\.|;|$)`)

// in is where a text has the slip, with the words round it.
func (s slip) in(text string) []string {
	var found []string
	for _, at := range s.re.FindAllStringIndex(text, -1) {
		from, to := max(0, at[0]-40), min(len(text), at[1]+40)
		found = append(found, s.rule+": "+strings.Join(strings.Fields(text[from:to]), " "))
	}
	return found
}

func wrongWords(all []slip, text string) []string {
	var found []string
	for _, s := range all {
		found = append(found, s.in(text)...)
	}
	for _, m := range comparedFigures.FindAllStringSubmatch(strings.Join(strings.Fields(text), " "), -1) {
		if m[1] == m[2] {
			found = append(found, "equal figures compared: "+m[0])
		}
	}
	return found
}

// What commands print, in scripts, the guides, the pages of codes, the texts of rules
// and garment types: none has a word that docs/words.md does not have said.
func TestPlainWords(t *testing.T) {
	all := slips(t)
	for _, pattern := range []string{"testdata/script/*.txtar", "testdata/codes/*.txt", "../../docs/*.md", "../../README.md", "../../explain/diag/pages/*.md", "../../rules/*.yaml", "../../recipes/*.yaml", "page/views/*.html"} {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("no files %s: %v", pattern, err)
		}
		for _, path := range paths {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if filepath.Base(path) == "words.md" {
				continue // which has them all
			}
			for _, wrong := range wrongWords(all, string(text)) {
				t.Errorf("%s: %s", path, wrong)
			}
		}
	}
}

// The help of every command, its flags and examples.
func TestPlainWordsInHelp(t *testing.T) {
	all := slips(t)
	var look func(c *cobra.Command)
	look = func(c *cobra.Command) {
		texts := []string{c.Use, c.Short, c.Long, c.Example}
		c.Flags().VisitAll(func(f *pflag.Flag) { texts = append(texts, f.Usage) })
		for _, text := range texts {
			for _, wrong := range wrongWords(all, text) {
				t.Errorf("%s: %s", c.CommandPath(), wrong)
			}
		}
		for _, below := range c.Commands() {
			look(below)
		}
	}
	look(newRoot(streams{in: strings.NewReader(""), out: io.Discard, err: io.Discard}))
}

// Each kind of slip is found, and what only looks like one is not.
func TestWrongWords(t *testing.T) {
	all := slips(t)
	for text, want := range map[string]string{
		"2 makes felt roomy":                                 "`2 makes`: 2 makes felt roomy",
		"this makes 2 in each":                               "",
		"a A-line":                                           "",
		"a older pattern":                                    "an article before a vowel: a older pattern",
		"a one-piece, an hour, a union, a use":               "",
		"an one-piece":                                       "an article before a consonant: an one-piece",
		"an skirt":                                           "an article before a consonant: an skirt",
		"lengthen it by 0 cm":                                "an amount of nothing: lengthen it by 0 cm",
		"with 5 in of ease where 5 in is wanted":             "equal figures compared: with 5 in of ease where 5 in is wanted",
		"with 4 3/4 in of ease where 5 in is wanted":         "",
		"all of it hangs\non your cloth":                     "`hangs on`: all of it hangs on your cloth",
		"a bare number":                                      "`bare number`: a bare number",
		"the zone's own measurement is shown in `note worn`": "",
	} {
		got := wrongWords(all, text)
		if want == "" && len(got) > 0 || want != "" && !slices.Contains(got, want) {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
}
