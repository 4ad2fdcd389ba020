// Package question opens what a question is about, for the command line and for the page alike: files and names in the
// notebook, a person's own garment types and rules, and the makes that are remembered.
//
// [Files] keeps every problem of every file, so that a person sees all of them at once. [Files.Request] makes a request from
// files that are named; whoever has read some already gives them to [Files.Complete]. [Making] notes what is cut, [Outcome] how it
// came out.
package question

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Files reads files, and keeps their problems.
type Files struct {
	Voc      *engine.Vocabulary
	Library  recipes.Library
	Folders  []file.Folder // with rules of the person's own
	Book     notebook.Book
	Problems diag.List
	Sources  diag.Sources
	Inputs   disk.Outputs // that were read
	In       io.Reader    // standard input
	From     fs.FS        // where named files are; nil: where a person has theirs

	taken  bool // standard input was read
	shared []*engine.Rule
	noted  diag.List // notes that are among the problems
	opened []*os.Root
	kept   *os.Root // the notebook
}

// Anew is a reader of the same folders and notebook that has opened nothing yet. It has the rules as they were read.
func (d *Files) Anew() *Files {
	return &Files{Voc: d.Voc, Library: d.Library, Folders: d.Folders, Book: d.Book, Sources: diag.Sources{}, shared: d.shared}
}

// Close closes the folders of the notebook that were opened.
func (d *Files) Close() {
	for _, root := range d.opened {
		_ = root.Close() // it was only read from
	}
}

// root opens a folder.
func (d *Files) root(folder string) (*os.Root, error) {
	root, err := os.OpenRoot(folder)
	if err == nil {
		d.opened = append(d.opened, root)
	}
	return root, err
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

// UnreadableError is a file that cannot be read at all.
type UnreadableError struct {
	Path string
	Err  error
}

func (e *UnreadableError) Error() string {
	switch {
	case errors.Is(e.Err, fs.ErrNotExist):
		return fmt.Sprintf("there is no file %s", e.Path)
	case errors.Is(e.Err, fs.ErrPermission):
		return fmt.Sprintf("may not read %s", e.Path)
	}
	return fmt.Sprintf("cannot read %s: %v", e.Path, e.Err)
}

// Shown is a path as a person reads it: from the working folder on, with ./ before it, or whole where it lies elsewhere. No
// file of the program's own is called like that.
func Shown(path string) string {
	if folder, err := os.Getwd(); err == nil {
		if below, err := filepath.Rel(folder, path); err == nil && below == "." {
			return "."
		} else if err == nil && filepath.IsLocal(below) {
			path = "." + string(filepath.Separator) + below
		}
	}
	return filepath.ToSlash(path)
}

// Open reads a file, or standard input for `-`.
func (d *Files) Open(path, kind string) *file.Doc {
	path, kept, err := d.found(path, kind)
	var data []byte
	switch {
	case err != nil:
	case kept:
		data, err = d.ReadKept(path)
	default:
		data, err = d.read(path)
	}
	if err != nil {
		hint := "it should be a " + kind + " file"
		if h, ok := err.(interface{ Hint() string }); ok {
			hint = h.Hint()
		}
		d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: err.Error(), Hint: hint})
		return nil
	}
	if path == "-" {
		path = "standard input"
	}
	return file.Open(path, data)
}

func (d *Files) read(path string) ([]byte, error) {
	if path == "-" {
		if d.taken {
			return nil, errors.New("standard input can be read for one file only")
		}
		d.taken = true
		return io.ReadAll(io.LimitReader(d.In, file.MaxBytes+1))
	}
	if d.From != nil {
		return fs.ReadFile(d.From, path)
	}
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, &UnreadableError{path, err}
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder, not a file", path)
	case !info.Mode().IsRegular() && !handedOver(path):
		return nil, &UnreadableError{path, file.ErrNotPlain} // to open a pipe is to wait for its other end
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, &UnreadableError{path, err}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, file.MaxBytes+1))
	if err != nil {
		return nil, &UnreadableError{path, err}
	}
	return data, nil
}

// handedOver tells whether a path is an open file that a shell hands over, as by <(...): its other end is there.
func handedOver(path string) bool {
	return slices.ContainsFunc([]string{"/dev/fd/", "/proc/self/fd/", "/dev/stdin"}, func(p string) bool { return strings.HasPrefix(filepath.Clean(path), p) })
}

// ReadKept reads a file of the notebook, out of which no link leads.
func (d *Files) ReadKept(path string) ([]byte, error) {
	whole, err := filepath.Abs(path)
	below := ""
	if err == nil {
		below, err = filepath.Rel(d.Book.Dir, whole)
	}
	if err == nil && d.kept == nil {
		d.kept, err = d.root(d.Book.Dir)
	}
	var text []byte
	if err == nil {
		text, err = file.ReadFile(d.kept.FS(), filepath.ToSlash(below), file.MaxBytes)
	}
	if err != nil {
		return nil, &UnreadableError{Shown(path), err}
	}
	return text, nil
}

// Kept reads the file of a kind that has a name in the notebook; at is its path there.
func (d *Files) Kept(kind notebook.Kind, name string) (at string, text []byte, err error) {
	found, err := d.Book.Find(kind, name)
	if err != nil {
		return "", nil, err
	}
	text, err = d.ReadKept(found)
	return filepath.Base(filepath.Dir(found)) + "/" + filepath.Base(found), text, err
}

// Tell keeps problems; of a note on how something was read, the first.
func (d *Files) Tell(problems ...diag.Diagnostic) {
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
func (d *Files) Take(docs ...*file.Doc) {
	for _, doc := range docs {
		d.Tell(doc.Problems()...)
		for ; doc != nil; doc = doc.Base() {
			d.Sources[doc.Name()] = doc.Source()
		}
	}
}

// Rules are the shared rules, and the person's own, which are read once.
func (d *Files) Rules() []*engine.Rule {
	if d.shared == nil {
		var own []*file.Doc
		d.shared, own = rules.With(d.Folders, d.Voc)
		d.Take(own...)
	}
	return d.shared
}

// Body reads a body; nil where none is named.
func (d *Files) Body(path string) *engine.Body { return opened(d, path, "body", recipes.ReadBody) }

// Cloth reads a cloth; nil where none is named.
func (d *Files) Cloth(path string) *engine.Cloth { return opened(d, path, "cloth", recipes.ReadCloth) }

// Observations reads what was seen on a toile; nil where none is named.
func (d *Files) Observations(path string) *engine.Observations {
	return opened(d, path, "toile observations", recipes.ReadObservations)
}

func opened[T any](d *Files, path, kind string, read func(*file.Doc, *engine.Vocabulary) *T) *T {
	if path == "" {
		return nil
	}
	doc := d.Open(path, kind)
	if doc == nil {
		return nil
	}
	defer d.Take(doc)
	return read(doc, d.Voc)
}

// Pattern reads a pattern, with what it names beside it.
func (d *Files) Pattern(path string) *engine.Pattern {
	doc := d.Open(path, "pattern")
	if doc == nil {
		return nil
	}
	p, tables := recipes.ReadPattern(doc, d.Voc, d.Beside(path, "pattern"))
	d.Take(doc)
	d.Take(tables...)
	return p
}

// Garment reads a kept garment, whose type may be one that was read already.
func (d *Files) Garment(path string, read *engine.Recipe) *engine.KeptGarment {
	doc := d.Open(path, "garment")
	if doc == nil {
		return nil
	}
	return d.GarmentIn(doc, d.Beside(path, "garment"), read)
}

// GarmentIn is the kept garment in a file, which may name a cloth's file beside it.
func (d *Files) GarmentIn(doc *file.Doc, beside fs.FS, read *engine.Recipe) *engine.KeptGarment {
	g, cloths := recipes.ReadGarment(doc, d.Voc, beside)
	d.Take(doc)
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
		d.called(named, g.Recipe, g.RecipeAt.File, false)
	}
	return g
}

// Named is the path of a file that a person names: a path, or a name in the notebook. What is there under the name is
// meant, and so is a path with a folder or an extension.
func (d *Files) Named(name, kind string) (string, error) {
	path, _, err := d.found(name, kind)
	return path, err
}

// found is the path of a file that a person names, and whether it is the notebook's.
func (d *Files) found(name, kind string) (path string, kept bool, err error) {
	k, known := notebook.KindOf(kind)
	if name == "-" || d.From != nil || !known || d.Book.Dir == "" || filepath.Ext(name) != "" || strings.ContainsAny(name, `/\`) {
		return name, false, nil
	}
	if _, err := os.Lstat(name); err == nil {
		return name, false, nil
	}
	path, err = d.Book.Find(k, name)
	if err != nil && kind == "pattern" {
		if whole := d.partOf(k, name); whole != "" {
			path, err = d.Book.Find(k, whole)
			d.called(name, whole, "", false)
		}
	}
	if err != nil {
		return name, false, err
	}
	return Shown(path), true, nil
}

// partOf is the only name of a kind in the notebook that a word is a part of, in any case; empty where there is none, or several.
func (d *Files) partOf(k notebook.Kind, word string) string {
	files, err := d.Book.Files(k)
	if err != nil {
		return "" // looking for the whole name says what is wrong
	}
	has := func(f notebook.File) bool { return strings.Contains(notebook.Slug(f.Name), notebook.Slug(word)) }
	i := slices.IndexFunc(files, has)
	if i < 0 || notebook.Slug(word) == "" || slices.ContainsFunc(files[i+1:], has) {
		return ""
	}
	return files[i].Name
}

// Beside is the folder that a file of a kind stands in, nil for standard input.
func (d *Files) Beside(path, kind string) fs.FS {
	path, _ = d.Named(path, kind) // no error: it was opened
	switch {
	case d.From != nil:
		return d.From
	case path == "-":
		return nil
	}
	return os.DirFS(filepath.Dir(path))
}

// FolderOf is the folder that a person's file stands in, nil for standard input.
func (d *Files) FolderOf(path string) *file.Folder {
	switch {
	case d.From != nil:
		return &file.Folder{Name: ".", Files: d.From}
	case path == "-":
		return nil
	}
	folder := filepath.Dir(path)
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil
	}
	if whole, err := filepath.Abs(folder); err == nil {
		folder = whole
	}
	return &file.Folder{Name: Shown(folder), Files: root.FS()}
}

// OpenKept opens the folder of the notebook with garment types of the person's own, if there is one; what is set goes
// before it.
func (d *Files) OpenKept() {
	kind, _ := notebook.KindOf("recipe")
	path := filepath.Join(d.Book.Dir, kind.Folder)
	if d.Book.Dir == "" {
		return
	}
	if root, err := d.root(path); err == nil {
		d.Library.Folders = append(d.Library.Folders[:len(d.Library.Folders):len(d.Library.Folders)], file.Folder{Name: Shown(path), Files: root.FS()})
	}
}

// Type finds the garment type of a pattern that stands in a folder: by its name, or in a file there. What is wrong with it
// is told.
func (d *Files) Type(p *engine.Pattern, beside *file.Folder) *engine.Recipe {
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
	p.Recipe = d.called(p.Recipe, found.Name, p.RecipeAt.File, strings.HasSuffix(p.Recipe, ".yaml"))
	return found.Recipe
}

// called is the name by which a word was found, with a note where it is another; a path stays.
func (d *Files) called(word, name, place string, path bool) string {
	if path {
		return word
	}
	as, said := file.ReadAs(place, word, func(string) (string, bool) { return name, true })
	d.Tell(said...)
	return as
}

// Word is the measurement that a person calls by a word on the command line, behind a flag; the word itself where there is
// none. Where it is another word a note says so.
func (d *Files) Word(flag, word string) string {
	as, said := file.ReadAs("--"+flag, word, d.Voc.Called)
	d.Tell(said...)
	return as
}

// TypeOf is [Files.Type] for a pattern that a person names.
func (d *Files) TypeOf(p *engine.Pattern, path string) *engine.Recipe {
	path, _ = d.Named(path, "pattern") // no error: it was opened
	return d.Type(p, d.FolderOf(path))
}

// Find reads a garment type by its name, or by the path of a file in a folder.
func (d *Files) Find(name string, beside *file.Folder) (recipes.Found, error) {
	if strings.HasSuffix(name, ".yaml") {
		return d.Library.Beside(name, beside, d.Voc)
	}
	return d.Library.Recipe(name, d.Voc)
}

// Types reads all garment types that can be used, and says of the others what is the first thing wrong with each.
func (d *Files) Types() (all []*engine.Recipe, broken []string) {
	for _, found := range d.Library.All(d.Voc) {
		if err := found.Doc.Problems().Err(); err != nil {
			broken = append(broken, fmt.Sprintf("the garment type `%s` cannot be used: %v", found.Name, err))
			continue
		}
		all = append(all, found.Recipe)
	}
	return all, broken
}
