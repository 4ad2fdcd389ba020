// Package question opens what a question is about, for the command line and for the page alike: files and names in the
// notebook, a person's own garment types and rules, and the makes that are remembered.
//
// [Files] opens what is named, and an [advice.Reader] reads it. [Files.Request] makes a request from files that are named;
// whoever has read some already gives them to [Files.Complete]. [Making] notes what is cut, [Outcome] how it came out.
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
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// Files opens files, and reads what they say.
type Files struct {
	advice.Reader
	Book   notebook.Book
	Inputs disk.Outputs // that were read
	In     io.Reader    // standard input
	From   fs.FS        // where named files are; nil: where a person has theirs

	taken  bool // standard input was read
	opened []*os.Root
	kept   *os.Root // the notebook
}

// Anew is a reader of the same folders and notebook that has opened nothing yet.
func (d *Files) Anew() *Files { return &Files{Reader: d.Reader.Anew(), Book: d.Book} }

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

// File opens a file that a person names, with its folder; an empty name is none.
func (d *Files) File(path, kind string) advice.File {
	if path == "" {
		return advice.File{}
	}
	f := advice.File{Doc: d.Open(path, kind)}
	if f.Doc != nil {
		f.Beside = d.Beside(path, kind)
	}
	return f
}

// Body reads a body; nil where none is named.
func (d *Files) Body(path string) *engine.Body { return d.Reader.Body(d.File(path, "body").Doc) }

// Cloth reads a cloth; nil where none is named.
func (d *Files) Cloth(path string) *engine.Cloth { return d.Reader.Cloth(d.File(path, "cloth").Doc) }

// Pattern reads a pattern, with what it names beside it.
func (d *Files) Pattern(path string) *engine.Pattern {
	return d.Reader.Pattern(d.File(path, "pattern"))
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
			d.Called(name, whole, "", false)
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

// Beside is the folder that a file of a kind stands in, nil for standard input. No link leads out of it.
func (d *Files) Beside(path, kind string) *file.Folder {
	path, _ = d.Named(path, kind) // no error: it was opened
	return d.FolderOf(path)
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
	root, err := d.root(folder)
	if err != nil {
		return nil
	}
	if whole, err := filepath.Abs(folder); err == nil {
		folder = whole
	}
	return &file.Folder{Name: Shown(folder), Files: root.FS()}
}

// OpenKept opens the folder of the notebook with garment types of the person's own, if there is one; what is set goes
// before it. What they and the notebook's patterns declare is known from there on.
func (d *Files) OpenKept() {
	kind, _ := notebook.KindOf("recipe")
	path := filepath.Join(d.Book.Dir, kind.Folder)
	if d.Book.Dir == "" {
		return
	}
	if root, err := d.root(path); err == nil {
		d.Library.Folders = append(d.Library.Folders[:len(d.Library.Folders):len(d.Library.Folders)], file.Folder{Name: Shown(path), Files: root.FS()})
		d.Learn()
	}
	kind, _ = notebook.KindOf("pattern")
	if root, err := d.root(filepath.Join(d.Book.Dir, kind.Folder)); err == nil && d.Voc != nil {
		d.Voc = recipes.DeclaredIn(file.Folder{Name: Shown(root.Name()), Files: root.FS()}, "pattern", d.Voc)
	}
}

// TypeOf finds the garment type of a pattern that a person names.
func (d *Files) TypeOf(p *engine.Pattern, path string) *engine.Recipe {
	return d.Type(p, d.Beside(path, "pattern"))
}
