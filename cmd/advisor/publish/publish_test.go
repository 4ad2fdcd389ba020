package publish

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/publish/buyer"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// ownSkirt is a pattern that names a chart and a garment type beside it.
const ownSkirt = "kind: pattern\nname: Skerry skirt\nmaker: Tern Lane\nrecipe: ./mine.yaml\nunits: in\nbody: chart.csv\nfinished: {hip: [47, 49, 51]}\n"

// makers is a maker's folder.
var makers = fstest.MapFS{
	"chart.csv":  {Data: []byte("size,hip\n16,42\n18,44\n20,46\n")},
	"mine.yaml":  {Data: []byte("kind: recipe\nname: mine\ntitle: My skirt\nbased_on: theirs\n")},
	"wren.yaml":  {Data: []byte("kind: body\nname: Wren\nmeasurements: {hip: 44 in}\n")},
	"other.yaml": {Data: []byte(ownSkirt)},
}

// packed is the pattern, with garment types and rules of the maker's own.
func packed(t *testing.T) *Pattern {
	t.Helper()
	r, err := advice.NewReader()
	if err != nil {
		t.Fatal(err)
	}
	r.Library.Folders = []file.Folder{{Name: "makers-disk/types", Files: fstest.MapFS{
		"theirs.yaml": {Data: []byte("kind: recipe\nname: theirs\ntitle: Their skirt\nbased_on: gathered-skirt\n")},
	}}}
	r.Folders = []file.Folder{{Name: "makers-disk/rules", Files: fstest.MapFS{
		"own.yaml": {Data: []byte("kind: rules\ntopic: mine\nrules: [{id: mine-hip, severity: warn, limits: {least: 39 in}, when: body.hip > limit.least, say: a wide hem, source: me}]\n")},
	}}}
	f := advice.Open("makers-disk/patterns/skerry.yaml", ownSkirt)
	f.Beside = &file.Folder{Name: "makers-disk/patterns", Files: makers}
	p := Pack(r, f)
	if p == nil {
		t.Fatal(r.Problems)
	}
	return p
}

// All that was read with a pattern is published with it, and nothing else that lies there; nor is it told where the maker has it.
func TestPack(t *testing.T) {
	p := packed(t)
	if got := slices.Sorted(maps.Keys(p.Beside)); !slices.Equal(got, []string{"chart.csv", "mine.yaml"}) {
		t.Errorf("beside it there is %v", got)
	}
	if len(p.Recipes) != 1 || p.Recipes[0].Files["theirs.yaml"] == nil || len(p.Rules) != 1 || p.Rules[0].Files["own.yaml"] == nil {
		t.Errorf("of the maker's own there is %v and %v", p.Recipes, p.Rules)
	}
	s := &Site{Patterns: []*Pattern{p}, Engine: &Engine{}}
	files, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		if strings.Contains(string(text), "makers-disk") || strings.Contains(string(text), "Wren") {
			t.Errorf("%s tells where the maker has something, or what", name)
		}
	}
	desk, err := buyer.Open(p.Published)
	if err != nil {
		t.Fatal(err)
	}
	// 49 - 44 1/4 = 4 3/4 in of ease where 5 in is drawn: size 18.
	reply, err := desk.Ask(buyer.Asked{Body: map[string]string{"hip": "44 1/4 in"}, Units: "in"})
	if err != nil || reply.Size != "18" || !strings.Contains(string(reply.HTML), "a wide hem") {
		t.Errorf("got %v, size %q and no rule of the maker's own:\n%s", err, reply.Size, reply.HTML)
	}
}

// Two patterns share all but their pages; the same patterns give the same bytes; two of one name are refused.
func TestFiles(t *testing.T) {
	a, b := packed(t), packed(t)
	b.Read.Name = "Cove skirt"
	s := &Site{Patterns: []*Pattern{a, b}, Engine: &Engine{Program: []byte("x")}}
	first, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"advisor/engine.wasm.gz", "advisor/notices.txt", "advisor/page.css", "advisor/page.js", "advisor/wasm_exec.js", "advisor/worker.js",
		"cove-skirt.html", "index.html", "skerry-skirt.html", "sw.js"}
	if diff := cmp.Diff(want, slices.Sorted(maps.Keys(first))); diff != "" {
		t.Error(diff)
	}
	if again, _ := s.Files(); !maps.EqualFunc(first, again, slices.Equal) {
		t.Error("the second time it is not the same")
	}
	b.Read.Name = "Skerry Skirt"
	if _, err := s.Files(); err == nil {
		t.Error("two patterns of one name are one page")
	}
}

func TestTexts(t *testing.T) {
	doc := file.Open("texts.yaml", []byte("kind: texts\nlanguage: de-AT\nwords: {title: Größe, measure.hip: Hüfte}\ncolours: {accent: '#1d4e89'}\ndark: {accent: '#9cc4f0'}\n"))
	got := ReadTexts(doc, []string{"hip"})
	want := Texts{Language: "de-AT", Words: map[string]string{"title": "Größe", "measure.hip": "Hüfte"}, Colours: map[string]string{"accent": "#1d4e89"}, Dark: map[string]string{"accent": "#9cc4f0"}}
	if diff := cmp.Diff(want, got); diff != "" || len(doc.Problems()) > 0 {
		t.Errorf("%s\n%v", diff, doc.Problems())
	}
	if css := got.style(); css != "@media (prefers-color-scheme: light), print { :root { --accent: #1d4e89; } }\n@media screen and (prefers-color-scheme: dark) { :root { --accent: #9cc4f0; } }\n" {
		t.Errorf("%q", css)
	}
	for _, text := range []string{"", "x", "[]", "kind: texts\nwords: []", "kind: texts\ncolours: {accent: 3, paper: [1]}"} {
		if doc := file.Open("x", []byte(text)); true {
			ReadTexts(doc, nil)
			if !doc.Problems().HasErrors() {
				t.Errorf("%q is a file of texts", text)
			}
		}
	}
}

// The contrast of black on white is 21, that of #767676 on white 4.54 (WCAG 2.2, the usual example of what is just enough; from memory).
func TestContrast(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#ffffff", "#767676", 4.54}, {"#123456", "#123456", 1}} {
		if got := contrast(tt.a, tt.b); got < tt.want-0.005 || got > tt.want+0.005 {
			t.Errorf("%s on %s: %.3f, want %.2f", tt.a, tt.b, got, tt.want)
		}
	}
}

// The guide names every word and every colour that can be set.
func TestGuideNamesWords(t *testing.T) {
	page, err := os.ReadFile("../../../docs/publish.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(slices.Collect(maps.Keys(buyer.Words)), colours...) {
		if !strings.Contains(string(page), "`"+name+"`") {
			t.Errorf("docs/publish.md does not name %s", name)
		}
	}
}

// The guide's own example of texts is one.
func TestGuideTexts(t *testing.T) {
	page, err := os.ReadFile("../../../docs/publish.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(string(page), "\n    kind: texts\n")
	text := "kind: texts\n"
	for line := range strings.Lines(after) {
		indented, ok := strings.CutPrefix(line, "    ")
		if !ok {
			break
		}
		text += indented
	}
	doc := file.Open("texts.yaml", []byte(text))
	if got := ReadTexts(doc, []string{"hip"}); len(doc.Problems()) > 0 || got.Language != "de" || len(got.Words) < 4 {
		t.Errorf("%v\n%+v", doc.Problems(), got)
	}
}

// Where the engine cannot be built, or is none, it is said what to do.
func TestNoEngine(t *testing.T) {
	var none *NoSourceError
	t.Run("outside of the source", func(t *testing.T) {
		t.Chdir(t.TempDir())
		if _, err := Build(t.Context(), PatternPages); !errors.As(err, &none) || !strings.Contains(none.Hint(), "--engine") {
			t.Errorf("got %v", err)
		}
	})
	t.Run("without Go", func(t *testing.T) {
		t.Setenv("PATH", "")
		if _, err := Build(t.Context(), PatternPages); !errors.As(err, &none) {
			t.Errorf("got %v", err)
		}
	})
	dir, engine := t.TempDir(), "\x00asm\x01\x00\x00\x00path\t"+string(PatternPages)+"\n"
	for name, text := range map[string]string{"engine.wasm": engine, "other.wasm": "x", "torn.gz": "\x1f\x8bx"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Built(filepath.Join(dir, name), PatternPages); err == nil {
			t.Errorf("%s is an engine, with nothing beside it", name)
		}
	}
	for _, name := range []string{"wasm_exec.js", "notices.txt"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	e, err := Built(filepath.Join(dir, "engine.wasm"), PatternPages)
	if err != nil || e.Size != len(engine) || string(e.Support) != "wasm_exec.js" {
		t.Errorf("got %v, %v", e, err)
	}
	if _, err := Built(filepath.Join(dir, "engine.wasm"), WholePage); err == nil || !strings.Contains(err.Error(), "the engine of other pages") {
		t.Errorf("it is taken for the engine of the whole page: %v", err)
	}
}

// FuzzTexts reads a maker's texts: what is wrong lies in the file, and colours that are taken are colours.
func FuzzTexts(f *testing.F) {
	f.Add([]byte("kind: texts\nlanguage: de-AT\nwords: {title: Größe, measure.hip: Hüfte}\ncolours: {accent: '#1d4e89'}\ndark: {accent: '#9cc4f0'}\n"))
	f.Add([]byte("kind: texts\ncolours: {accent: 3, paper: [1]}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		doc := file.Open("texts.yaml", text)
		got := ReadTexts(doc, []string{"hip"})
		lines := bytes.Count(text, []byte("\n")) + 1
		for _, p := range doc.Problems() {
			if p.Summary == "" || p.Range.Start.Line > lines {
				t.Errorf("%+v", p)
			}
		}
		if doc.Problems().HasErrors() {
			return
		}
		for name, c := range got.Colours {
			if !colour.MatchString(c) {
				t.Errorf("%s is %q", name, c)
			}
		}
		if strings.ContainsAny(got.style(), "<\\") {
			t.Errorf("%q", got.style())
		}
	})
}

// What a file of measurements among the maker's recipes declares is published with the pattern, and no other file there; a
// buyer is asked for it by its title.
func TestPackDeclared(t *testing.T) {
	r, err := advice.NewReader()
	if err != nil {
		t.Fatal(err)
	}
	r.Library.Folders = []file.Folder{{Name: "makers-disk/types", Files: fstest.MapFS{
		"further.yaml": {Data: []byte("kind: measurements\nmeasurements: {hound_chest: {title: hound's chest, kind: girth, how: Round the deepest part.}}\n")},
		"hound-coat.yaml": {Data: []byte("kind: recipe\nname: hound-coat\ntitle: hound coat\ndraft: all\ncontrolling: hound_chest\nstretch: none\n" +
			"zones: {hound_chest: {role: decides, ease: 4 cm .. 10 cm}}\ngrading: {sensible: false, because: it is one piece}\n")},
		"secret.yaml": {Data: []byte("kind: recipe\nname: secret\ntitle: secret\nmeasurements: {secret_girth: {title: secret, kind: girth, how: So.}}\n")},
	}}}
	r.Learn()
	f := advice.Open("makers-disk/patterns/wharf.yaml", "kind: pattern\nname: Wharf coat\nmaker: Tern Lane\nrecipe: hound-coat\nunits: cm\nsizes: [S, M]\nbody: {hound_chest: [48, 56]}\nfinished: {hound_chest: [54, 62]}\n")
	p := Pack(r, f)
	if p == nil {
		t.Fatal(r.Problems)
	}
	if got := slices.Sorted(maps.Keys(p.Recipes[0].Files)); !slices.Equal(got, []string{"further.yaml", "hound-coat.yaml"}) {
		t.Errorf("published are %v", got)
	}
	desk, err := buyer.Open(p.Published)
	if err != nil {
		t.Fatal(err)
	}
	// 62 - 57 = 5 cm of ease where 6 cm is drawn.
	reply, err := desk.Ask(buyer.Asked{Body: map[string]string{"hound_chest": "57 cm"}, Units: "cm"})
	if err != nil || reply.Size != "M" {
		t.Errorf("got %v, size %q:\n%s", err, reply.Size, reply.HTML)
	}
	files, err := (&Site{Patterns: []*Pattern{p}, Engine: &Engine{}}).Files()
	if err != nil {
		t.Fatal(err)
	}
	asked := false
	for name, text := range files {
		asked = asked || strings.Contains(string(text), "Round the deepest part.")
		if strings.Contains(string(text), "secret") {
			t.Errorf("%s has what was not asked for", name)
		}
	}
	if !asked {
		t.Error("no page asks for the hound's chest")
	}
}
