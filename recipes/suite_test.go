package recipes

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/rules/file"
)

func TestFindSuites(t *testing.T) {
	text := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	folder := fstest.MapFS{
		"skirts/z.yaml":           text("# mine\nkind: recipe\nname: z\n"),
		"skirts/json.yaml":        text(`{"kind": "recipe"}`),
		"skirts/a/b.test.yaml":    text("not a test at all"),
		"skirts/.hidden.yaml":     text("kind: recipe\n"),
		".git/recipe.yaml":        text("kind: recipe\n"),
		"skirts.yaml":             text("kind: recipe\n"),
		"misspelt.yaml":           text("kind: recpe\n"),
		"broken.yaml":             text("kind: recipe\nzones: [\n"),
		"wren.yaml":               text("kind: body\n"),
		"broken-body.yaml":        text("kind: body\nmeasurements: [\n"),
		"ci.yaml":                 text("on: push\njobs: &a {b: *a}\n"),
		"several.yaml":            text("a: 1\n---\nb: 2\n"),
		"nothing.yaml":            text(""),
		"recipe.yml":              text("kind: recipe\n"),
		"recipe.txt":              text("kind: recipe\n"),
		"folder.test.yaml/x.yaml": text("kind: cloth\n"),
	}
	got, err := FindSuites(folder)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"broken.yaml", "misspelt.yaml", "skirts.yaml", "skirts/a/b.test.yaml", "skirts/json.yaml", "skirts/z.yaml"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// A test file may be about a file beside it, whose rules count as its own.
func TestReadSuiteBeside(t *testing.T) {
	voc, shared := known(t)
	beside := fstest.MapFS{
		"top.yaml":  {Data: []byte(topRecipe)},
		"wren.yaml": {Data: []byte("kind: body\nname: Wren\nunits: in\nmeasurements: {bust: 36}\n")},
	}
	doc := file.Open("tests/top.test.yaml", []byte(`kind: test
recipe: top.yaml
examples:
  - name: from files
    given:
      body: wren.yaml
      pattern: {units: in, sizes: [S, M], body: {bust: [34, 36]}, finished: {bust: [37, 39]}}
    expect: {size: M}
`))
	s, docs := Library{}.ReadSuite(doc, voc, shared, beside)
	if got := written(t, append(docs, doc)...); got != "" {
		t.Fatal(got)
	}
	if s.Recipe.Name != "plain-top" || s.RecipeIn != "tests/top.yaml" || s.File != "tests/top.test.yaml" {
		t.Errorf("got %s in %s, tested by %s", s.Recipe.Name, s.RecipeIn, s.File)
	}
	o := Run(&s.Examples[0], s.Recipe, shared, voc)
	if !o.Passed() {
		t.Error(describe(&o))
	}
	if diff := cmp.Diff([]string{"own-rule"}, Unfired(s.Recipe, []Outcome{o})); diff != "" {
		t.Error(diff)
	}
}

// What examples share is declared once, in the file or in the one that it is based on.
func TestExamplesShareByName(t *testing.T) {
	voc, shared := known(t)
	base := strings.TrimSuffix(topRecipe, "examples:\n") + `patterns:
  two-sizes: {units: in, sizes: [S, M], body: {bust: [34, 36]}, finished: {bust: [37, 39]}}
examples: []
`
	doc := file.Open("close-top.yaml", []byte(`kind: recipe
name: close-top
title: close top
based_on: plain-top
bodies:
  wren: {units: in, measurements: {bust: 36}}
cloths:
  linen: {structure: woven}
patterns:
  wider: {units: cm, sizes: [M], body: {bust: [92]}, finished: {bust: [100]}}
examples:
  - name: as in the other file
    given: {body: wren, pattern: two-sizes, cloth: linen}
    expect: {size: M, zones: {bust: {ease: 3 in}}}
  - name: once more # 100 - 36 x 2.54
    given: {body: wren, pattern: wider, cloth: linen}
    expect: {size: M, zones: {bust: {ease: 8.56 cm}}}
`))
	s, docs := mine(map[string]string{"plain-top.yaml": base}).ReadSuite(doc, voc, shared, fstest.MapFS{})
	if got := written(t, append(docs, doc)...); got != "" {
		t.Fatal(got)
	}
	for i := range s.Examples {
		if o := Run(&s.Examples[i], s.Recipe, shared, voc); !o.Passed() {
			t.Error(describe(&o))
		}
	}
	if s.Examples[0].Given.Body != s.Examples[1].Given.Body {
		t.Error("the body was read twice")
	}
}

// What is shipped declares nothing that fewer than two examples name.
func TestSharedIsShared(t *testing.T) {
	for _, name := range Names() {
		doc, err := Source(name)
		if err != nil {
			t.Fatal(err)
		}
		root := doc.Root().Map()
		for block, key := range map[string]string{bodiesBlock: "body", patternsBlock: "pattern", clothsBlock: "cloth"} {
			for _, k := range root.Get(block).Map().Keys() {
				n := 0
				for _, e := range root.Get("examples").Items() {
					if given := e.Map().Get("given").Map().Get(key); given.IsText() && given.Text() == k.Text() {
						n++
					}
				}
				if n < 2 {
					t.Errorf("%s: %d of its examples name the %s %s; write it where it is used", name, n, key, k.Text())
				}
			}
		}
	}
}

// What is wrong with the recipe is told at its place; without one the examples
// are not looked at.
func TestReadSuiteWithoutItsRecipe(t *testing.T) {
	voc, shared := known(t)
	beside := fstest.MapFS{"top.yaml": {Data: []byte("kind: body\nname: Wren\n")}}
	doc := file.Open("top.test.yaml", []byte("kind: test\nrecipe: top.yaml\nexamples:\n  - {name: a, given: {bodi: {}}, expect: {size: M}}\n"))
	s, docs := Library{}.ReadSuite(doc, voc, shared, beside)
	if s != nil {
		t.Error("a suite without a recipe")
	}
	want := "top.yaml:1:7: error[FA0301]: this is a body file, where a recipe file is wanted\n" +
		"    1 | kind: body\n" +
		"      |       ^^^^\n" +
		"  hint: did two files change places?\n"
	if diff := cmp.Diff(want, written(t, append(docs, doc)...)); diff != "" {
		t.Error(diff)
	}
}
