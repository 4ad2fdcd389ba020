package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// desk reads the files a person names. It keeps every problem of every file, so
// that all are told at once.
type desk struct {
	s        streams
	voc      *engine.Vocabulary
	library  recipes.Library
	folders  []file.Folder // with rules of the person's own
	problems diag.List
	sources  diag.Sources
	stdin    string // the file that was read from standard input
	inputs   disk.Outputs
	book     notebook.Book
}

func newDesk(s streams, voc *engine.Vocabulary) *desk {
	return &desk{s: s, voc: voc, sources: diag.Sources{}}
}

// unreadableError is a file that cannot be read at all.
type unreadableError struct {
	path string
	err  error
}

func (e *unreadableError) Error() string {
	switch {
	case errors.Is(e.err, fs.ErrNotExist):
		return fmt.Sprintf("there is no file %s", e.path)
	case errors.Is(e.err, fs.ErrPermission):
		return fmt.Sprintf("may not read %s", e.path)
	}
	return fmt.Sprintf("cannot read %s: %v", e.path, e.err)
}

// open reads a file, or standard input for `-`.
func (d *desk) open(path, kind string) *file.Doc {
	path, kept, err := d.found(path, kind)
	var data []byte
	switch {
	case err != nil:
	case kept:
		data, err = readKept(path)
	default:
		data, err = d.read(path)
	}
	if err != nil {
		hint := "it should be a " + kind + " file"
		if h, ok := err.(hinted); ok {
			hint = h.Hint()
		}
		d.problems = append(d.problems, diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: err.Error(), Hint: hint})
		return nil
	}
	if path == "-" {
		path = "standard input"
	}
	return file.Open(path, data)
}

func (d *desk) read(path string) ([]byte, error) {
	if path == "-" {
		if d.stdin != "" {
			return nil, errors.New("standard input can be read for one file only")
		}
		d.stdin = path
		return io.ReadAll(io.LimitReader(d.s.in, file.MaxBytes+1))
	}
	if d.s.from != nil {
		return fs.ReadFile(d.s.from, path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, &unreadableError{path, err}
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s is a folder, not a file", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, file.MaxBytes+1))
	if err != nil {
		return nil, &unreadableError{path, err}
	}
	return data, nil
}

// readKept reads a file of the notebook.
func readKept(path string) ([]byte, error) {
	text, err := file.ReadPath(path, file.MaxBytes)
	if err != nil {
		return nil, &unreadableError{shown(path), err}
	}
	return text, nil
}

// mayWrite says why a file may not be written: it is one that was read, or no
// plain file.
func (d *desk) mayWrite(path string) error {
	for _, name := range slices.Sorted(maps.Keys(d.sources)) {
		d.inputs.Read(name)
	}
	if in, ok := d.s.in.(*os.File); ok {
		if info, err := in.Stat(); err == nil {
			d.inputs.Was("standard input", info)
		}
	}
	return d.inputs.Check(path)
}

// replace writes what a command makes, whole or not at all. All that is written
// in the place of another file is written by it.
func (d *desk) replace(path string, text []byte, mode fs.FileMode) error {
	if err := d.mayWrite(path); err != nil {
		return err
	}
	if err := disk.Replace(path, text, mode); err != nil {
		return cannotWrite(path, err)
	}
	d.inputs.Read(path) // so that what else is written does not replace it
	return nil
}

// take keeps a read file's problems.
func (d *desk) take(docs ...*file.Doc) {
	for _, doc := range docs {
		d.problems = append(d.problems, doc.Problems()...)
		for ; doc != nil; doc = doc.Base() {
			d.sources[doc.Name()] = doc.Source()
		}
	}
}

func (d *desk) body(path string) *engine.Body {
	if path == "" {
		return nil
	}
	doc := d.open(path, "body")
	if doc == nil {
		return nil
	}
	b := recipes.ReadBody(doc, d.voc)
	d.take(doc)
	return b
}

func (d *desk) cloth(path string) *engine.Cloth {
	if path == "" {
		return nil
	}
	doc := d.open(path, "cloth")
	if doc == nil {
		return nil
	}
	c := recipes.ReadCloth(doc, d.voc)
	d.take(doc)
	return c
}

// garment reads a kept garment, whose type may be one that was read already.
func (d *desk) garment(path string, read *engine.Recipe) *engine.KeptGarment {
	doc := d.open(path, "garment")
	if doc == nil {
		return nil
	}
	return d.garmentIn(doc, d.beside(path, "garment"), read)
}

// garmentIn is the kept garment in a file, which may name a cloth's file beside it.
func (d *desk) garmentIn(doc *file.Doc, beside fs.FS, read *engine.Recipe) *engine.KeptGarment {
	g, cloths := recipes.ReadGarment(doc, d.voc, beside)
	d.take(doc)
	d.take(cloths...)
	recipe, err := d.library.TypeOf(g, read, d.voc)
	var refused refusal
	switch {
	case errors.As(err, &refused):
		d.problems = append(d.problems, placed(g.RecipeAt, refused))
	case recipe != nil:
		d.take(recipe)
	}
	return g
}

// beside is the folder that a file of a kind stands in, nil for standard input.
func (d *desk) beside(path, kind string) fs.FS {
	path, _ = d.named(path, kind) // no error: it was opened
	switch {
	case d.s.from != nil:
		return d.s.from
	case path == "-":
		return nil
	}
	return os.DirFS(filepath.Dir(path))
}

func (d *desk) observations(path string) *engine.Observations {
	if path == "" {
		return nil
	}
	doc := d.open(path, "toile observations")
	if doc == nil {
		return nil
	}
	o := recipes.ReadObservations(doc, d.voc)
	d.take(doc)
	return o
}

func (d *desk) pattern(path string) *engine.Pattern {
	doc := d.open(path, "pattern")
	if doc == nil {
		return nil
	}
	p, tables := recipes.ReadPattern(doc, d.voc, d.beside(path, "pattern"))
	d.take(doc)
	d.take(tables...)
	return p
}

// done prints the problems found since it was last called; it fails where one of
// them is an error.
func (d *desk) done() error {
	found := d.problems
	d.problems = nil
	if len(found) == 0 {
		return nil
	}
	if err := d.s.problems(found, d.sources); err != nil {
		return err
	}
	if found.HasErrors() {
		return errReported
	}
	return nil
}

// refusal is an error about what a file says.
type refusal interface {
	error
	hinted
	Code() diag.Code
}

// refuse tells what is wrong with a file at its place.
func (d *desk) refuse(at diag.Range, err refusal) error { return d.refused(placed(at, err)) }

func placed(at diag.Range, err refusal) diag.Diagnostic {
	return diag.Diagnostic{Severity: diag.Error, Code: err.Code(), Summary: err.Error(), Hint: err.Hint(), Range: at}
}

func (d *desk) refused(p diag.Diagnostic) error {
	d.problems = append(d.problems, p)
	return d.done()
}
