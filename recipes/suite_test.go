package recipes

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/rules/file"
)

// What is tested of a folder is what it gives as a folder of garment types, with the same told of it, and the test files.
func TestFolderIsReadAlike(t *testing.T) {
	voc, shared := known(t)
	l := mine(map[string]string{
		"culottes.yaml":           own("culottes", "based_on: gathered-skirt\n"),
		"long.yaml":               own("long", "based_on: culottes\n"), // which stands in the same folder
		"json.yaml":               `{"kind": "recipe", "name": "json", "title": "it", "based_on": "shorts"}`,
		"misspelt.yaml":           "kind: recpe\n",
		"unsaid.yaml":             "name: unsaid\nbased_on: gathered-skirt\n",
		"broken.yaml":             "kind: recipe\nzones: [\n",
		"other.yaml":              own("another", "based_on: gathered-skirt\n"), // not called like its file
		"My Skirt.yaml":           own("My Skirt", "based_on: gathered-skirt\n"),
		"shirt.yaml":              own("shirt", "based_on: gathered-skirt\n"), // which is shipped
		"wren.yaml":               "kind: body\n",
		"broken-body.yaml":        "kind: body\nmeasurements: [\n",
		"ci.yaml":                 "on: push\njobs: &a {b: *a}\n",
		"nothing.yaml":            "",
		"recipe.yml":              "kind: recipe\n",
		".hidden.yaml":            "kind: recipe\n",
		"old/culottes.yaml":       own("culottes", "based_on: nothing\n"),
		"culottes.test.yaml":      "kind: test\nrecipe: culottes\nexamples: []\n",
		"tests/deep.test.yaml":    "not a test at all",
		".git/hidden.test.yaml":   "kind: test\n",
		"folder.test.yaml/x.yaml": "kind: cloth\n",
	})
	told := map[string]string{}
	for _, f := range l.All(voc) {
		if !isShipped(f.Doc) {
			told[f.Doc.Name()] = written(t, f.Doc)
		}
	}
	docs, err := l.Suites(l.Folders[0])
	if err != nil {
		t.Fatal(err)
	}
	tested, tests := map[string]string{}, []string{}
	for _, doc := range docs {
		if l.ReadSuite(doc, voc, shared, l.Folders[0].Files); strings.HasSuffix(doc.Name(), testFiles) {
			tests = append(tests, doc.Name())
			continue
		}
		tested[doc.Name()] = written(t, doc)
	}
	if diff := cmp.Diff(told, tested); diff != "" {
		t.Errorf("as a folder of garment types, and as tested: %s", diff)
	}
	if diff := cmp.Diff([]string{"./mine/culottes.test.yaml", "./mine/tests/deep.test.yaml"}, tests); diff != "" {
		t.Error(diff)
	}
	if len(told) != 9 || told["./mine/culottes.yaml"] != "" || told["./mine/other.yaml"] == "" {
		t.Errorf("%d files: %q", len(told), told)
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
