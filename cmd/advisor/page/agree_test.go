package page

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// atDoc is where something stands, which the page and the command call by different names.
var atDoc = regexp.MustCompile(`[^" ]*(bodies|patterns|cloths|garments)/`)

// The page and the command line answer alike about a notebook, with the makes that are remembered, a garment type and a
// kept garment in it, and rules in a folder that is set.
func TestAnswersAsTheCommandLine(t *testing.T) {
	p := open(t)
	write := func(name, text string) {
		t.Helper()
		at := filepath.Join(p.dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("recipes/wing-skirt.yaml", "kind: recipe\nname: wing-skirt\ntitle: wing skirt\nbased_on: gathered-skirt\n")
	write("patterns/quayside-skirt.yaml", regexp.MustCompile(`recipe: .*`).ReplaceAllString(p.read("patterns/quayside-skirt.yaml"), "recipe: wing-skirt"))
	write("garments/sunday.yaml", "kind: garment\nname: Sunday skirt\nrecipe: wing-skirt\nunits: in\ncloth: {structure: woven}\nmeasurements: {hip: 48}\nfeels: {hip: right}\nworn_by: {name: Wren}\n")
	for _, day := range []string{"2026-09-01", "2026-10-01", "2026-10-20"} {
		write("sewn/skirt-"+day+".yaml", "kind: sewn\nname: Quayside skirt\nmade: "+day+"\npattern: Quayside skirt\nmaker: Tern Lane\nrecipe: wing-skirt\nunits: in\nbody: {name: Wren}\nsize: 18\n"+
			"alterations: {sway-back: 1/2, sway-bakc: 1/2}\ncloth: {structure: woven}\nease: {hip: 4 3/4}\nfinished: {hip: 49}\noutcome: {feels: {hip: roomy}}\n")
	}
	own := t.TempDir()
	rule := "kind: rules\ntopic: mine\nrules: [{id: mine-hip, severity: warn, limits: {least: 39 in}, when: body.hip > limit.least, say: a wide hem, source: me}]\n"
	if err := os.WriteFile(filepath.Join(own, "mine.yaml"), []byte(rule), 0o600); err != nil {
		t.Fatal(err)
	}
	folders := []file.Folder{{Name: "mine", Files: os.DirFS(own)}}
	p.start(Options{Files: question.Files{Book: notebook.Book{Dir: p.dir}, Reader: advice.Reader{Voc: p.s.Voc, Folders: folders}}, Today: func() string { return "2026-11-25" }})

	d := (&question.Files{Book: notebook.Book{Dir: p.dir}, Reader: advice.Reader{Voc: p.s.Voc, Folders: folders}}).Anew()
	d.OpenKept()
	defer d.Close()
	r, err := d.Request(question.Asked{Pattern: "quayside-skirt", Body: "wren", Cloth: "washed-linen", Like: []string{"sunday"}},
		advice.Question{Ease: []string{"hip=drawn"}, Over: []string{"shirt"}, Units: quantity.In, Today: "2026-11-25"})
	if err != nil || d.Problems.HasErrors() {
		t.Fatal(err, d.Problems)
	}
	r.Sure, r.Trace = true, true
	want, err := engine.Advise(r)
	if err != nil {
		t.Fatal(err)
	}

	f := p.s.form(url.Values{"units": {"in"}, "body": {"wren"}, "pattern": {"quayside-skirt"}, "cloth": {"washed-linen"}, "like": {"sunday"}, "ease_more": {"hip=drawn"}, "over": {"shirt"}})
	defer f.close()
	got, err := f.ask()
	if err != nil || got == nil {
		t.Fatal(err, f.notes)
	}
	if diff := cmp.Diff(plainAnswer(t, want), plainAnswer(t, got)); diff != "" {
		t.Errorf("the command line, and the page:\n%s", diff)
	}
	// What is tried otherwise is changed by the words of the vocabulary, as behind --with.
	trying := p.s.form(url.Values{"units": {"in"}, "body": {"wren"}, "pattern": {"quayside-skirt"}, "with": {"seat=38in", "ease=hip=4in"}, "tried": {"hip=40in"}})
	defer trying.close()
	if got, err = trying.ask(); err != nil || got == nil || strings.Join(trying.triedTexts(), ", ") != "hip=38in, ease=hip=4in" || len(got.Moved) == 0 {
		t.Errorf("tried: %v, %v, %v", trying.triedTexts(), err, trying.notes)
	}
	if len(r.Makes) != 3 || len(want.Liked) != 1 || !cmp.Equal(len(r.Makes), len(f.request.Makes)) {
		t.Errorf("%d makes and %d garments count for the command line, %d makes for the page", len(r.Makes), len(want.Liked), len(f.request.Makes))
	}
	told := map[string]bool{} // what is wrong with the makes, told by both
	for _, q := range d.Problems {
		told[q.Summary] = q.Severity == diag.Warning
	}
	for _, n := range f.notes {
		delete(told, n.Text)
	}
	if len(d.Problems) == 0 || len(told) > 0 {
		t.Errorf("the command line tells %v, the page %v", d.Problems, f.notes)
	}
}

// plainAnswer is an answer as JSON, with files called alike.
func plainAnswer(t *testing.T, a *engine.Answer) any {
	t.Helper()
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var plain any
	if err := json.Unmarshal(atDoc.ReplaceAll(text, []byte("$1/")), &plain); err != nil {
		t.Fatal(err)
	}
	return plain
}
