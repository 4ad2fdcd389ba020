package advice

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// Reader reads what questions are about, and keeps every problem of every file, so that a person sees all of them at once.
type Reader struct {
	Voc      *engine.Vocabulary
	Library  recipes.Library // of garment types; once its folders are set, Learn what they declare
	Folders  []file.Folder   // with rules of the person's own
	Problems diag.List
	Sources  diag.Sources

	shared []*engine.Rule
	noted  diag.List // notes that are among the problems
}

// NewReader is a reader of the shipped garment types and rules.
func NewReader() (*Reader, error) {
	voc, err := data.Vocabulary()
	return &Reader{Voc: voc, Sources: diag.Sources{}}, err
}

// Anew is a reader of the same garment types and rules that has read nothing yet. It has the rules as they were read.
func (d *Reader) Anew() Reader {
	return Reader{Voc: d.Voc, Library: d.Library, Folders: d.Folders, Sources: diag.Sources{}, shared: d.shared}
}

// Learn makes known the measurements that files in the person's own folders declare. What is wrong in files of measurements
// is told.
func (d *Reader) Learn() {
	if d.Voc != nil {
		var docs []*file.Doc
		d.Voc, docs = d.Library.Vocabulary(d.Voc)
		d.Take(docs...)
	}
}

// Refusal is an error about what a file says.
type Refusal interface {
	error
	Hint() string
	Code() diag.Code
}

// Placed is a refusal at its place in a file.
func Placed(at diag.Range, err Refusal) diag.Diagnostic {
	return diag.Diagnostic{Severity: diag.Error, Code: err.Code(), Summary: err.Error(), Hint: err.Hint(), Range: at}
}

// Explain is where a request cannot be answered, and how to mend it; false where that lies in no file.
func Explain(r *engine.Request, err error) (diag.Diagnostic, bool) {
	var unknown *engine.UnknownError
	var noRow *engine.NoRowError
	var nobody *engine.NobodyError
	var rule *engine.RuleError
	var toile *engine.ToileError
	switch {
	case errors.As(err, &unknown):
		return Placed(unknown.At, unknown), true
	case errors.As(err, &noRow):
		return Placed(r.Pattern.ChartAt, noRow), true
	case errors.As(err, &nobody):
		return Placed(nobody.At, nobody), true
	case errors.As(err, &toile):
		return Placed(toile.At, toile), true
	case errors.As(err, &rule):
		return rule.Diagnostic, true
	}
	return diag.Diagnostic{}, false
}

// Tell keeps problems; of a note on how something was read, the first.
func (d *Reader) Tell(problems ...diag.Diagnostic) {
	for _, p := range problems {
		if p.Severity == diag.Note {
			if slices.Contains(d.noted, p) {
				continue
			}
			d.noted = append(d.noted, p)
		}
		d.Problems = append(d.Problems, p)
	}
}

// Take keeps a read file's problems.
func (d *Reader) Take(docs ...*file.Doc) {
	for _, doc := range docs {
		d.Tell(doc.Problems()...)
		for ; doc != nil; doc = doc.Base() {
			d.Sources[doc.Name()] = doc.Source()
		}
	}
}

// Rules are the shared rules, and the person's own, which are read once.
func (d *Reader) Rules() []*engine.Rule {
	if d.shared == nil {
		var own []*file.Doc
		d.shared, own = rules.With(d.Folders, d.Voc)
		d.Take(own...)
	}
	return d.shared
}

// Type finds the garment type of a pattern that stands in a folder: by its name, or in a file there. What is wrong with it
// is told.
func (d *Reader) Type(p *engine.Pattern, beside *file.Folder) *engine.Recipe {
	if p == nil || p.Recipe == "" {
		return nil
	}
	found, err := d.Find(p.Recipe, beside)
	var refused Refusal
	if errors.As(err, &refused) {
		d.Tell(Placed(p.RecipeAt, refused))
		return nil
	}
	d.Take(found.Doc)
	p.Recipe = d.Called(p.Recipe, found.Name, p.RecipeAt.File, strings.HasSuffix(p.Recipe, ".yaml"))
	return found.Recipe
}

// Called is the name by which a word was found, with a note where it is another; a path stays.
func (d *Reader) Called(word, name, place string, path bool) string {
	if path {
		return word
	}
	as, said := file.ReadAs(place, word, func(string) (string, bool) { return name, true })
	d.Tell(said...)
	return as
}

// Word is the measurement that a person calls by a word on the command line, behind a flag; the word itself where there is
// none. Where it is another word a note says so.
func (d *Reader) Word(flag, word string) string {
	as, said := file.ReadAs("--"+flag, word, d.Voc.Called)
	d.Tell(said...)
	return as
}

// Find reads a garment type by its name, or by the path of a file in a folder, and knows what it declares from there on.
func (d *Reader) Find(name string, beside *file.Folder) (found recipes.Found, err error) {
	if strings.HasSuffix(name, ".yaml") {
		found, err = d.Library.Beside(name, beside, d.Voc)
	} else {
		found, err = d.Library.Recipe(name, d.Voc)
	}
	d.Voc = d.Voc.For(nil, found.Recipe)
	return found, err
}

// Types reads all garment types that can be used, and says of the others what is the first thing wrong with each.
func (d *Reader) Types() (all []*engine.Recipe, broken []string) {
	for _, found := range d.Library.All(d.Voc) {
		if err := found.Doc.Problems().Err(); err != nil {
			broken = append(broken, fmt.Sprintf("the garment type `%s` cannot be used: %v", found.Name, err))
			continue
		}
		all = append(all, found.Recipe)
	}
	return all, broken
}

// Garment reads a kept garment, whose type may be one that was read already; nil where there is none.
func (d *Reader) Garment(f File, read *engine.Recipe) *engine.KeptGarment {
	if f.Doc == nil {
		return nil
	}
	g, cloths := recipes.ReadGarment(f.Doc, d.Voc, f.Files())
	d.Take(f.Doc)
	d.Take(cloths...)
	if g == nil {
		return nil
	}
	named := g.Recipe
	recipe, err := d.Library.TypeOf(g, read, d.Voc)
	var refused Refusal
	switch {
	case errors.As(err, &refused):
		d.Tell(Placed(g.RecipeAt, refused))
	case recipe != nil:
		d.Take(recipe)
		d.Called(named, g.Recipe, g.RecipeAt.File, false)
	}
	return g
}

// Pattern reads a pattern, with what it names beside it; nil where there is none.
func (d *Reader) Pattern(f File) *engine.Pattern {
	if f.Doc == nil {
		return nil
	}
	p, tables := recipes.ReadPattern(f.Doc, d.Voc, f.Files())
	d.Take(f.Doc)
	d.Take(tables...)
	d.Voc = d.Voc.For(p, nil)
	return p
}

// Body reads a body; nil where there is none.
func (d *Reader) Body(doc *file.Doc) *engine.Body { return read(d, doc, recipes.ReadBody) }

// Cloth reads a cloth; nil where there is none.
func (d *Reader) Cloth(doc *file.Doc) *engine.Cloth { return read(d, doc, recipes.ReadCloth) }

// Observations reads what was seen on a toile; nil where there is none.
func (d *Reader) Observations(doc *file.Doc) *engine.Observations {
	return read(d, doc, recipes.ReadObservations)
}

func read[T any](d *Reader, doc *file.Doc, as func(*file.Doc, *engine.Vocabulary) *T) *T {
	if doc == nil {
		return nil
	}
	defer d.Take(doc)
	return as(doc, d.Voc)
}
