package file

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fitadvisor/explain/diag"
)

// Folder is a folder in which a person keeps files of their own. Name is how the person knows it. The files must not
// lead out of the folder, as those of an [os.Root] do not.
type Folder struct {
	Name  string
	Files fs.FS
}

// Docs opens the YAML files of a kind that stand directly in the folder, in alphabetical order. Hidden files are left
// out, and files of another kind: what does not say what it is, is of it where it has one of its keys. What cannot be
// read may be anything, and is told of.
func (f Folder) Docs(kind string, keys ...string) []*Doc {
	docs := f.DocsWith(kind, func([]byte) bool { return true })
	return slices.DeleteFunc(docs, func(d *Doc) bool { return d.Kind() == "" && !d.unread() && !slices.ContainsFunc(keys, d.hasKey) })
}

// DocsWith opens those that are of the kind, or do not say what they are, and whose text is wanted.
func (f Folder) DocsWith(kind string, wanted func(text []byte) bool) []*Doc {
	entries, err := fs.ReadDir(f.Files, ".")
	if err != nil {
		return []*Doc{unreadable(f.Name, "cannot list the folder "+f.Name, "")}
	}
	var docs []*Doc
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || strings.HasPrefix(name, ".") || path.Ext(name) != ".yaml" {
			continue
		}
		if text, err := ReadFile(f.Files, name, MaxBytes); err == nil && !wanted(text) {
			continue
		}
		if d := f.OpenAs(kind, name); d != nil {
			docs = append(docs, d)
		}
	}
	return docs
}

// OpenAs opens a file of the folder, nil where there is none of that name that may be of the kind.
func (f Folder) OpenAs(kind, name string) *Doc {
	if d := f.Open(name); d != nil && d.maybe(kind) {
		return d
	}
	return nil
}

// Open opens a file of the folder or below it, nil where there is none of that name. One that cannot be read has a
// problem that says why.
func (f Folder) Open(name string) *Doc {
	shown := f.Name + "/" + name
	link, err := fs.Lstat(f.Files, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	data, err := ReadFile(f.Files, name, MaxBytes)
	switch {
	case err == nil:
		return Open(shown, data)
	case errors.Is(err, fs.ErrPermission):
		return unreadable(shown, "may not read "+shown, "")
	case link != nil && link.Mode()&fs.ModeSymlink != 0:
		return unreadable(shown, shown+" leads out of its folder, or nowhere", "put the file itself into the folder instead of a link to it")
	}
	return unreadable(shown, fmt.Sprintf("cannot read %s: %v", shown, err), "")
}

// unreadable returns a Doc without content that says why.
func unreadable(name, why, hint string) *Doc {
	d := &Doc{name: name}
	d.Problem(diag.Range{File: name}, Unreadable, why, hint)
	return d
}

// maybe reports whether a file is of a kind, or may be meant to be: it says so, nearly says so, or says nothing.
func (d *Doc) maybe(kind string) bool {
	said := d.Kind()
	return said == "" || said == kind || diag.Near(said, []string{kind}) != ""
}

// unread reports whether the file could not be read at all.
func (d *Doc) unread() bool {
	return slices.ContainsFunc(d.problems, func(p diag.Diagnostic) bool { return p.Code == Unreadable })
}

// hasKey reports whether a key stands at the top of the file. In one that cannot be read it is looked for line by line.
func (d *Doc) hasKey(key string) bool {
	if d.root != nil {
		return d.Root().IsMap() && d.Root().Map().Has(key)
	}
	for line := range strings.Lines(string(d.source)) {
		if strings.HasPrefix(line, key+":") {
			return true
		}
	}
	return false
}

// Kind is what the file says it is, "" where it does not. In one that cannot be read it is looked for line by line.
func (d *Doc) Kind() string {
	if d.root != nil {
		return d.Root().text("kind")
	}
	for line := range strings.Lines(string(d.source)) {
		if said, found := strings.CutPrefix(line, "kind:"); found {
			said, _, _ = strings.Cut(said, "#")
			return strings.Trim(said, "\"' \r\n")
		}
	}
	return ""
}
