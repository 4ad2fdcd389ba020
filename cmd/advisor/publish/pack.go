package publish

import (
	"io/fs"
	"path"
	"path/filepath"

	"fitadvisor/cmd/advisor/publish/buyer"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// Pattern is a pattern to be published, as it was read.
type Pattern struct {
	buyer.Published
	Read   *engine.Pattern
	Recipe *engine.Recipe
	Asks   [][]string // the measurements that are asked for, as [engine.Recipe.Asks] groups them
	Voc    *engine.Vocabulary
}

// Pack reads a pattern, and puts all files that are read with it beside it. What is wrong is among the reader's problems; with
// errors there it returns nil.
func Pack(r *advice.Reader, f advice.File) *Pattern {
	p, seen := &Pattern{Voc: r.Voc}, recorder{}
	own := &advice.Reader{Voc: r.Voc, Sources: r.Sources}
	own.Library.Folders, own.Folders = seen.watch("recipes", r.Library.Folders), seen.watch("rules", r.Folders)
	if f.Beside != nil {
		f.Beside = &seen.watch(".", []file.Folder{*f.Beside})[0]
	}
	p.Name, p.Text = filepath.Base(f.Name()), string(f.Source())
	f.Doc = file.Open(p.Name, f.Source())
	p.Read = own.Pattern(f)
	if p.Recipe = own.Type(p.Read, f.Beside); p.Recipe != nil {
		p.Asks = p.Recipe.Asks(own.Voc, own.Rules())
		_, err := engine.Prepare(p.Read, p.Recipe, own.Rules(), own.Voc)
		if d, ok := advice.Explain(&engine.Request{Pattern: p.Read}, err); ok {
			own.Tell(d)
		} else if err != nil {
			own.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: err.Error(), Range: p.Read.At})
		}
	}
	p.Voc = own.Voc
	seen.declared(own, r.Library.Folders)
	r.Tell(own.Problems...)
	if r.Problems.HasErrors() || p.Recipe == nil {
		return nil
	}
	for _, folder := range seen.folders(".") {
		p.Beside = folder.Files
	}
	p.Recipes, p.Rules = seen.folders("recipes"), seen.folders("rules")
	return p
}

// recorder remembers what is read of folders, by the kind of folder.
type recorder map[string][]*watched

// declared reads the files of measurements in the maker's folders, so that they are published too: what is declared there
// may be in the pattern. Nothing else in these folders is read for it.
func (s recorder) declared(own *advice.Reader, folders []file.Folder) {
	for _, name := range own.Voc.Asked() {
		m := own.Voc.Measure(name)
		for i, f := range folders {
			if m.Declared() && path.Dir(m.At.File) == f.Name {
				own.Library.Folders[i].Open(path.Base(m.At.File))
			}
		}
	}
}

// watch gives the folders to read from, under a name that does not tell where the maker has them.
func (s recorder) watch(kind string, folders []file.Folder) []file.Folder {
	var out []file.Folder
	for _, f := range folders {
		w := &watched{FS: f.Files, read: map[string][]byte{}}
		s[kind] = append(s[kind], w)
		out = append(out, file.Folder{Name: kind, Files: w})
	}
	return out
}

// folders are those of which something was read.
func (s recorder) folders(kind string) (out []buyer.Folder) {
	for _, w := range s[kind] {
		if len(w.read) > 0 {
			out = append(out, buyer.Folder{Name: kind, Files: w.read})
		}
	}
	return out
}

// watched is a folder of which is remembered what is read.
type watched struct {
	fs.FS
	read map[string][]byte
}

// Open opens a file, and remembers what is read of it.
func (w *watched) Open(name string) (fs.File, error) {
	f, err := w.FS.Open(name)
	if err != nil {
		return nil, err
	}
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
		return &watchedFile{File: f, of: w, name: name}, nil
	}
	return f, nil
}

type watchedFile struct {
	fs.File
	of   *watched
	name string
	read []byte
}

// Read reads on, and remembers.
func (f *watchedFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	f.read = append(f.read, p[:n]...)
	f.of.read[f.name] = f.read
	return n, err
}
