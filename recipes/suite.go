package recipes

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
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

// Suites opens the files of a folder that hold examples: the garment types that it has as one of the library's folders, with
// what is wrong with their names, and the test files in it and below, in alphabetical order. Hidden files and folders are left out.
func (l Library) Suites(folder file.Folder) ([]*file.Doc, error) {
	docs := slices.DeleteFunc(recipesIn(folder), func(d *file.Doc) bool { return strings.HasSuffix(d.Name(), testFiles) }) // found below
	for _, doc := range docs {
		l.vet(doc, nameOf(doc))
	}
	err := fs.WalkDir(folder.Files, ".", func(name string, d fs.DirEntry, err error) error {
		switch hidden := name != "." && strings.HasPrefix(d.Name(), "."); {
		case err != nil:
			return err
		case hidden && d.IsDir():
			return fs.SkipDir
		case hidden, d.IsDir(), !strings.HasSuffix(name, testFiles):
			return nil
		}
		docs = append(docs, folder.Open(name))
		return nil
	})
	slices.SortFunc(docs, func(a, b *file.Doc) int { return strings.Compare(a.Name(), b.Name()) })
	return docs, err
}
