package recipes

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Suite is the examples of one file: of a garment type's own, or of a test file
// about one that stands elsewhere. Run each with [Run].
type Suite struct {
	File     string
	Recipe   *engine.Recipe
	RecipeIn string // the garment type's file; that of a type found by its name is not said
	Examples []Example
}

// testFiles end in this; what is before it is free.
const testFiles = ".test.yaml"

// ReadSuite takes a recipe file or a test file apart, with its examples. What it
// names is read from beside; those docs are returned, with their problems. The
// rest of the problems are left in the doc. Only without any is the suite fit to
// run; it is nil where the garment type cannot be had.
func (l Library) ReadSuite(doc *file.Doc, voc *engine.Vocabulary, shared []*engine.Rule, beside fs.FS) (*Suite, []*file.Doc) {
	s := &Suite{File: doc.Name(), RecipeIn: doc.Name()}
	var named []*file.Doc
	if doc.Kind() == "test" || strings.HasSuffix(doc.Name(), testFiles) {
		t := &testReader{reader{doc, voc}, l, beside}
		s.Recipe, s.RecipeIn, named = t.read()
	} else {
		s.Recipe = l.Read(doc, voc, rules.AtOnce)
	}
	if s.Recipe == nil {
		return nil, named
	}
	examples, more := ReadExamples(doc, voc, s.Recipe, shared, beside)
	s.Examples = examples
	return s, append(named, more...)
}

// testReader reads a test file.
type testReader struct {
	reader
	library Library
	beside  fs.FS
}

// read returns the garment type that the file is about, and the file it stands in.
func (t *testReader) read() (recipe *engine.Recipe, in string, docs []*file.Doc) {
	m := t.start("test")
	if m == nil {
		return nil, "", nil
	}
	m.Get("kind").OneOf("test")
	name := m.Need("recipe")
	m.Need("examples") // read by their own reader, as is what they share
	for _, block := range []string{bodiesBlock, patternsBlock, clothsBlock} {
		m.Get(block)
	}
	m.Close("a test file")
	switch {
	case !name.IsText():
		name.Text()
		return nil, "", nil
	case path.Ext(name.Text()) != "" || strings.Contains(name.Text(), "/"):
		return t.recipeBeside(name)
	}
	found, err := t.library.Recipe(name.Text(), t.voc)
	var unknown *NotShippedError
	if errors.As(err, &unknown) {
		name.Problem(unknown.Code(), unknown.Error(), unknown.Hint())
		return nil, "", nil
	}
	return found.Recipe, "", []*file.Doc{found.Doc}
}

func (t *testReader) recipeBeside(v file.Value) (*engine.Recipe, string, []*file.Doc) {
	name, data, ok := t.readBeside(v, t.beside)
	if !ok {
		return nil, "", nil
	}
	doc := file.Open(name, data)
	return t.library.Read(doc, t.voc, rules.AtOnce), name, []*file.Doc{doc}
}

// Unfired lists the rules of a garment type that fired on no size in any of the
// outcomes.
func Unfired(recipe *engine.Recipe, outcomes []Outcome) []string {
	var ids []string
	for _, r := range recipe.Rules {
		fires := func(s engine.SizeAnswer) bool { return slices.Contains(s.Cautions, r.ID) }
		if !slices.ContainsFunc(outcomes, func(o Outcome) bool { return o.Answer != nil && slices.ContainsFunc(o.Answer.Sizes, fires) }) {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// FindSuites lists the files to test in a folder and below it, in alphabetical
// order: recipes, whatever they are called, and files that end in .test.yaml.
// Hidden files and folders are left out, and what is no ordinary file.
func FindSuites(folder fs.FS) ([]string, error) {
	var found []string
	err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		switch hidden := name != "." && strings.HasPrefix(d.Name(), "."); {
		case err != nil:
			return err
		case hidden && d.IsDir():
			return fs.SkipDir
		case hidden, !d.Type().IsRegular(), path.Ext(name) != ".yaml":
			return nil
		}
		is := strings.HasSuffix(name, testFiles)
		if !is {
			is, err = isRecipe(folder, name)
		}
		if is {
			found = append(found, name)
		}
		return err
	})
	slices.Sort(found)
	return found, err
}

// isRecipe tells whether a file says that it is a recipe, or nearly so.
func isRecipe(folder fs.FS, name string) (bool, error) {
	data, err := file.ReadFile(folder, name, file.MaxBytes)
	kind := file.Open(name, data).Kind()
	return kind == "recipe" || diag.Near(kind, []string{"recipe"}) != "", err
}
