package recipes

import (
	"bytes"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// known is the shipped vocabulary and the shared rules.
func known(t testing.TB) (*engine.Vocabulary, []*engine.Rule) {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	shared, problems := rules.Shared(voc)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return voc, shared
}

// written renders problems as a person sees them.
func written(t testing.TB, docs ...*file.Doc) string {
	t.Helper()
	var list diag.List
	src := diag.Sources{}
	for _, d := range docs {
		list = append(list, d.Problems()...)
		for ; d != nil; d = d.Base() {
			src[d.Name()] = d.Source()
		}
	}
	var b strings.Builder
	if err := diag.Write(&b, list, src); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// exemplified reads a shipped recipe with its examples.
func exemplified(t *testing.T, name string, voc *engine.Vocabulary, shared []*engine.Rule) (*engine.Recipe, []Example) {
	t.Helper()
	doc, err := Source(name)
	if err != nil {
		t.Fatal(err)
	}
	recipe := ReadRecipe(doc, voc, rules.AtOnce)
	examples, docs := ReadExamples(doc, voc, recipe, shared, nil)
	if problems := written(t, append(docs, doc)...); problems != "" {
		t.Fatal(problems)
	}
	return recipe, examples
}

// describe puts an outcome that failed into words.
func describe(o *Outcome) string {
	if o.Err != nil {
		return fmt.Sprintf("%s: no answer: %v", o.Example.At, o.Err)
	}
	var b strings.Builder
	for _, r := range o.Results {
		if !r.Met {
			fmt.Fprintf(&b, "\n%s: %s: want %s, got %s", r.At, r.What, r.Want, r.Got)
		}
	}
	return b.String()
}

func TestShippedExamples(t *testing.T) {
	voc, shared := known(t)
	for _, name := range Names() {
		recipe, examples := exemplified(t, name, voc, shared)
		if len(examples) < 3 {
			t.Errorf("%s has %d examples, fewer than 3", name, len(examples))
		}
		for i := range examples {
			t.Run(name+"/"+examples[i].Name, func(t *testing.T) {
				if o := Run(&examples[i], recipe, shared, voc); !o.Passed() {
					t.Error(describe(&o))
				}
			})
		}
	}
}

// Every rule is seen to fire and seen to stay silent.
func TestExamplesCoverEveryRule(t *testing.T) {
	voc, shared := known(t)
	var ids []string
	for _, r := range shared {
		ids = append(ids, r.ID)
	}
	var all []Claim
	for _, name := range Names() {
		recipe, examples := exemplified(t, name, voc, shared)
		for _, r := range recipe.Rules {
			ids = append(ids, r.ID)
		}
		for _, e := range examples {
			all = append(all, e.Claims...)
		}
	}
	for _, lack := range uncovered(ids, all) {
		t.Error(lack)
	}
}

func uncovered(ids []string, claims []Claim) []string {
	var lacks []string
	for _, id := range ids {
		for _, what := range []string{Fires, Silent} {
			if !slices.ContainsFunc(claims, func(c Claim) bool { return c.What == what && c.Want == id }) {
				lacks = append(lacks, fmt.Sprintf("no example expects %s %s", what, id))
			}
		}
	}
	return lacks
}

func TestUncovered(t *testing.T) {
	claims := []Claim{{What: Fires, Want: "a"}, {What: Silent, Want: "a"}, {What: Silent, Want: "b"}}
	if diff := cmp.Diff([]string{"no example expects caution b"}, uncovered([]string{"a", "b"}, claims)); diff != "" {
		t.Error(diff)
	}
}

// The command reads a shipped type without its examples: that must give the
// same recipe, and leave nothing out but them.
func TestShippedLeavesOutOnlyTheExamples(t *testing.T) {
	voc, _ := known(t)
	for _, name := range Names() {
		doc, err := Source(name)
		if err != nil {
			t.Fatal(err)
		}
		whole := ReadRecipe(doc, voc, rules.WhenNeeded)
		quick, err := Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		compiled := cmpopts.IgnoreFields(engine.Rule{}, "When", "Say", "Fix", "Toile")
		bySource := cmp.Comparer(func(a, b *formula.Formula) bool { return a == b || a != nil && b != nil && a.Source() == b.Source() })
		if diff := cmp.Diff(whole, quick, compiled, bySource); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		keys := doc.Root().Map().Keys()
		if last := keys[len(keys)-1].Text(); last != "examples" {
			t.Errorf("%s: the last key is %s, want examples", name, last)
		}
		if n := bytes.Count(doc.Source(), []byte("\nexamples:\n")); n != 1 {
			t.Errorf("%s: `examples:` stands alone on %d lines, want 1", name, n)
		}
	}
}

const topRecipe = `kind: recipe
name: plain-top
title: plain top
draft: women
controlling: bust
zones: {bust: {role: decides, ease: 2 in .. 4 in}, hip: {role: mended, ease: 2 in .. 4 in}}
stretch: none
grading: {sensible: true, because: "side seams"}
cautions:
  - {id: own-rule, severity: note, when: body.bust > 500, say: "a", source: s}
examples:
`

// examplesOf reads examples written below a small recipe.
func examplesOf(t *testing.T, text string, beside fs.FS) (*engine.Recipe, []Example, string) {
	t.Helper()
	voc, shared := known(t)
	doc := file.Open("top.yaml", []byte(topRecipe+text))
	recipe := ReadRecipe(doc, voc, rules.AtOnce)
	examples, docs := ReadExamples(doc, voc, recipe, shared, beside)
	return recipe, examples, written(t, append([]*file.Doc{doc}, docs...)...)
}

const topGiven = `
    given:
      body: {bust: 36 in, hip: 38 in}
      pattern: {units: in, sizes: [S, M], body: {bust: [34, 36], hip: [36, 38]}, finished: {bust: [37, 39]}}
`

// 36 in of bust: M has 39 - 36 = 3 in of ease, which is what was drawn; S has
// 37 - 36 = 1 in, and is not ruled out.
func TestRunTellsExpectedAndGot(t *testing.T) {
	type row struct {
		What, Want, Got string
		Met             bool
	}
	expect := `    expect:
      size: S
      chart_size: M
      ruled_out: [S]
      cautions: [own-rule]
      not: [own-rule]
      not_judged: [bust]
      zones: {bust: {verdict: closer, ease: 1 in}, hip: {verdict: not known, ease: 8 %}}
`
	recipe, examples, problems := examplesOf(t, "  - name: all wrong"+topGiven+expect, nil)
	if problems != "" {
		t.Fatal(problems)
	}
	voc, shared := known(t)
	o := Run(&examples[0], recipe, shared, voc)
	var got []row
	for _, r := range o.Results {
		got = append(got, row{r.What, r.Want, r.Got, r.Met})
	}
	want := []row{
		{"size", "S", "M", false},
		{"chart size", "M", "M", true},
		{"ruled out", "S", "none", false},
		{"caution", "own-rule", "none", false},
		{"no caution", "own-rule", "none", true},
		{"not judged", "bust", "none", false},
		{"verdict at the bust", "closer", "as wanted", false},
		{"ease at the bust", "1 in", "3 in", false},
		{"verdict at the hip", "not known", "not known", true},
		{"ease at the hip", "8 %", "3 in", false},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if o.Passed() {
		t.Error("passed, with claims that are not met")
	}
}

func TestRunWithoutAnAnswer(t *testing.T) {
	text := `  - name: the bust is not known
    given:
      body: {hip: 38 in}
      pattern: {units: in, sizes: [S], body: {bust: [34]}}
    expect: {size: S}
`
	recipe, examples, problems := examplesOf(t, text, nil)
	if problems != "" {
		t.Fatal(problems)
	}
	voc, shared := known(t)
	o := Run(&examples[0], recipe, shared, voc)
	if o.Passed() || o.Answer != nil || o.Err == nil || o.Err.Error() != "a plain top is chosen by the bust, which is not known" {
		t.Errorf("got the answer %v and the error %v", o.Answer, o.Err)
	}
}

func TestExamplesReadFilesBeside(t *testing.T) {
	beside := fstest.MapFS{
		"wren.yaml":          {Data: []byte("kind: body\nname: Wren\nunits: in\nmeasurements: {bust: 36}\n")},
		"patterns/top.yaml":  {Data: []byte("kind: pattern\nname: Skiff\nrecipe: plain-top\nunits: in\nsizes: [S, M]\nbody: chart.csv\n")},
		"patterns/chart.csv": {Data: []byte("size,bust\nS,34\nM,36\n")},
		"linen.yaml":         {Data: []byte("kind: cloth\nname: linen\nstructure: wovn\n")},
	}
	text := `  - name: "from files"
    given: {body: wren.yaml, pattern: patterns/top.yaml}
    expect: {size: M}
  - name: "a cloth with a slip of the pen"
    given: {body: wren.yaml, pattern: patterns/top.yaml, cloth: linen.yaml}
    expect: {size: M}
`
	recipe, examples, problems := examplesOf(t, text, beside)
	want := "linen.yaml:3:12: error[FA0121]: expected `woven` or `knit`, got `wovn`\n" +
		"    3 | structure: wovn\n" +
		"      |            ^^^^\n" +
		"  hint: did you mean `woven`?\n"
	if diff := cmp.Diff(want, problems); diff != "" {
		t.Fatal(diff)
	}
	voc, shared := known(t)
	if o := Run(&examples[0], recipe, shared, voc); !o.Passed() {
		t.Error(describe(&o))
	}
}

func TestExampleWithWishAndLayers(t *testing.T) {
	text := `  - name: "over a vest of its own thickness"
    given:
      body: {units: in, measurements: {bust: 36}}
      pattern: {units: in, sizes: [S, M], body: {bust: [34, 36]}, finished: {bust: [37, 39]}}
      cloth: {structure: knit, stretch: {across: 30 %}}
      ease: [closer, "bust=drawn+1 in"]
      over: [everyday bra, "quilted vest=4 mm"]
      today: 2026-11-25
    expect: {size: M}
`
	_, examples, problems := examplesOf(t, text, nil)
	if problems != "" {
		t.Fatal(problems)
	}
	g := examples[0].Given
	if len(g.Wishes) != 2 || g.Wishes[1].Zone != "bust" || g.Today != "2026-11-25" || g.Cloth.Structure != engine.Knit || g.Units != "in" {
		t.Errorf("got %+v", g)
	}
	if l := g.Over[1]; len(g.Over) != 2 || l.Name != "quilted vest" || l.Thickness.Cm() != 0.4 || g.Over[0].Thickness != nil {
		t.Errorf("got the layers %+v", g.Over)
	}
}

// An empty list of cautions says that none is given: true of a hip of 100 in a skirt that is drawn for it, and not of one of 130, which
// lies beyond the pattern.
func TestNoCautionsExpected(t *testing.T) {
	voc, shared := known(t)
	for hip, want := range map[string]bool{"100": true, "130": false} {
		doc := file.Open("skirt.yaml", []byte("kind: recipe\nname: my-skirt\ntitle: skirt\ndraft: women\nbecause: b\nsource: s\ncontrolling: hip\nstretch: none\nzones:\n  hip: {role: decides, ease: 3 in .. 10 in, source: s}\n"+
			"grading: {sensible: false, because: it has one zone}\nexamples:\n  - {name: one, given: {body: {hip: "+hip+" cm}, pattern: {sizes: [S, M], body: {hip: [96 cm, 100 cm]}, finished: {hip: [112 cm, 116 cm]}}}, expect: {cautions: []}}\n"))
		recipe := ReadRecipe(doc, voc, rules.AtOnce)
		examples, _ := ReadExamples(doc, voc, recipe, shared, nil)
		if doc.Problems().HasErrors() || len(examples) != 1 {
			t.Fatal(written(t, doc))
		}
		if o := Run(&examples[0], recipe, shared, voc); o.Passed() != want {
			t.Errorf("hip %s: passed %v", hip, o.Passed())
		}
	}
}
