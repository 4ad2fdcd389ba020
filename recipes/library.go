package recipes

import (
	"bytes"
	"cmp"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Library finds garment types by name: a person's own, one to a file NAME.yaml
// in their folders, and the shipped ones. The zero Library has only those.
type Library struct{ Folders []file.Folder }

// Found is a garment type that was read: nil, or not to be used, where its file
// has errors.
type Found struct {
	Name   string
	Recipe *engine.Recipe
	Doc    *file.Doc
}

// Recipe reads the garment type of a name, and no files but its own and those of
// the types that it is based on. Examples, which stand last in a shipped file,
// are not looked at there. Where none has the name, but people call one by it, that
// one is found, under its own name. It fails with [NotShippedError] where there is none.
func (l Library) Recipe(name string, v *engine.Vocabulary) (Found, error) {
	doc, err := l.open(name)
	if err == nil {
		return l.found(name, doc, v), nil
	}
	if called, ok := v.TypeCalled(name, err.Known); ok {
		if doc, err := l.open(called); err == nil {
			return l.found(called, doc, v), nil
		}
	}
	err.hint = v.DidYouMeanType(name, err.Known, listHint)
	return Found{}, err
}

func (l Library) found(name string, doc *file.Doc, v *engine.Vocabulary) Found {
	when := rules.AtOnce
	if isShipped(doc) {
		when = rules.WhenNeeded
	}
	return Found{name, l.Read(doc, v, when), doc}
}

// NotBesideError says that a file which another names is not beside it.
type NotBesideError struct{ summary, hint string }

// Code is the code of the mistake.
func (e *NotBesideError) Code() diag.Code { return notBeside }

func (e *NotBesideError) Error() string { return e.summary }

// Hint says where the file may stand.
func (e *NotBesideError) Hint() string { return e.hint }

// cannotBeBeside finds a path that leads elsewhere than beside a file or below
// it, and a file that stands nowhere.
func cannotBeBeside(name string, nowhere bool) *NotBesideError {
	switch {
	case nowhere:
		return &NotBesideError{nothingBeside, "write what `" + name + "` holds here"}
	case !fs.ValidPath(path.Clean(name)):
		return &NotBesideError{"`" + name + "` is not beside this file", "name a file in the same folder or below it, with / between"}
	}
	return nil
}

const nothingBeside = "a file read from standard input has no files beside it"

func missingBeside(name string) *NotBesideError {
	return &NotBesideError{"cannot read `" + name + "`", "it is looked for in the folder of this file"}
}

// Beside reads a garment type in a file beside a pattern, or below it, by the
// path that the pattern names. The folder is nil for a pattern that stands in
// none. It fails with [NotBesideError] where there is no such file.
func (l Library) Beside(name string, folder *file.Folder, v *engine.Vocabulary) (Found, error) {
	if folder == nil {
		return Found{}, &NotBesideError{nothingBeside, "save the pattern beside `" + name + "`, or name a garment type"}
	}
	if err := cannotBeBeside(name, false); err != nil {
		return Found{}, err
	}
	doc := folder.Open(path.Clean(name))
	if doc == nil {
		return Found{}, missingBeside(name)
	}
	return l.found(nameOf(doc), doc, v), nil
}

// All reads every garment type, in order of name.
func (l Library) All(v *engine.Vocabulary) []Found {
	var all []Found
	for _, doc := range l.own() {
		name := nameOf(doc)
		if slices.ContainsFunc(all, func(f Found) bool { return f.Name == name }) {
			continue // there twice, as the first of them says
		}
		l.vet(doc, name)
		all = append(all, l.found(name, doc, v))
	}
	for _, name := range Names() {
		if slices.ContainsFunc(all, func(f Found) bool { return f.Name == name }) {
			continue
		}
		if doc, err := shippedDoc(name); err == nil {
			all = append(all, l.found(name, doc, v))
		}
	}
	slices.SortFunc(all, func(a, b Found) int { return cmp.Compare(a.Name, b.Name) })
	return all
}

// own opens the files of the person's own garment types.
func (l Library) own() []*file.Doc {
	var docs []*file.Doc
	for _, f := range l.Folders {
		docs = append(docs, recipesIn(f)...)
	}
	return docs
}

// recipesIn opens the files of a folder that are garment types of the person's own.
func recipesIn(f file.Folder) []*file.Doc {
	return f.Docs("recipe", "zones", "controlling", "based_on")
}

// names are those of all garment types, for hints.
func (l Library) names() []string {
	names := Names()
	for _, doc := range l.own() {
		names = append(names, nameOf(doc))
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// nameOf is the name of the garment type in a file, by which it is found.
func nameOf(doc *file.Doc) string { return strings.TrimSuffix(path.Base(doc.Name()), ".yaml") }

// open finds the file of a garment type: a person's own before a shipped one.
func (l Library) open(name string) (*file.Doc, *NotShippedError) {
	if len(l.Folders) == 0 || !rules.IsID(name) {
		return l.openShipped(name)
	}
	for _, f := range l.Folders {
		if doc := f.OpenAs("recipe", name+".yaml"); doc != nil {
			l.vet(doc, name)
			return doc, nil
		}
	}
	return l.openShipped(name)
}

func (l Library) openShipped(name string) (*file.Doc, *NotShippedError) {
	doc, err := shippedDoc(name)
	if err != nil {
		known := l.names()
		return nil, &NotShippedError{name, known, diag.DidYouMean(name, known, listHint)}
	}
	return doc, nil
}

// vet finds what is wrong with the names of a person's own garment type: it is
// called like its file, and like no other of their own.
func (l Library) vet(doc *file.Doc, name string) {
	root := doc.Root()
	if !root.IsMap() {
		return
	}
	at := root
	if v := root.Map().Get("name"); v.IsText() {
		at = v
	}
	switch {
	case !rules.IsID(name):
		at.Problem(badName, "a garment type cannot be called `"+name+"`, as its file is", nameHint)
	case at.IsText() && at.Text() != name:
		at.Problem(badName, "the file is called "+path.Base(doc.Name())+", and the garment type in it `"+at.Text()+"`",
			"write `name: "+name+"`, or rename the file: it is found by that")
	}
	for _, f := range l.Folders {
		if other := f.OpenAs("recipe", name+".yaml"); other != nil && other.Name() != doc.Name() {
			at.Problem(NameTaken, "there are two garment types `"+name+"` of your own", "the other is "+other.Name()+": give one of them another name")
		}
	}
}

const nameHint = "a name is small letters and digits with dashes between, as in `my-culottes`"

// checkTaken finds a garment type of a person's own that is called like a shipped
// one and does not say that it stands in for that, wherever its file stands.
func (r *reader) checkTaken(m *file.Map) {
	name := m.Get("name")
	if !name.IsText() || !slices.Contains(Names(), name.Text()) || m.Get("replaces").Exists() || isShipped(r.doc) {
		return
	}
	if text, err := shipped.ReadFile(name.Text() + ".yaml"); err == nil && bytes.Equal(text, r.doc.Source()) {
		return // the shipped one itself, as its writer checks it
	}
	name.Problem(NameTaken, "a garment type `"+name.Text()+"` is shipped already",
		"give this one another name, or write `replaces: "+name.Text()+"` if it is to stand in for that")
}

// checkReplaces finds a garment type that is to stand in for another than the
// shipped one of its name.
func (r *reader) checkReplaces(v file.Value, name string) {
	switch {
	case !v.IsText():
		v.Text()
	case !slices.Contains(Names(), v.Text()):
		v.Problem(rules.ReplacesNothing, "no shipped garment type is called `"+v.Text()+"`", r.voc.DidYouMeanType(v.Text(), Names(), listHint))
	case v.Text() != name:
		v.Problem(rules.ReplacesNothing, "`"+name+"` cannot stand in for `"+v.Text()+"`", "only a file of the same name can: call both the file and the garment type `"+v.Text()+"`")
	}
}

// isShipped tells whether a doc is a shipped garment type, with or without its
// examples, and not a person's file that is called alike.
func isShipped(doc *file.Doc) bool {
	data, err := shipped.ReadFile(nameOf(doc) + ".yaml")
	return err == nil && doc.Name() == shippedName(nameOf(doc)) && bytes.HasPrefix(data, doc.Source())
}
