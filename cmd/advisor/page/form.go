package page

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// form is what was typed, and what is to be said of it, field by field.
type form struct {
	s      *Server
	values url.Values
	types  []*engine.Recipe // all that can be chosen
	notes  []note
	body   entry
	what   entry
	cloth  entry
	kept   entry // a garment

	pattern *engine.Pattern
	tables  map[string][]byte // that were pasted, as files beside the pattern
	recipe  *engine.Recipe
	request engine.Request
	tried   []engine.Change
	unsaved bool // it is shown as it was left, with what was typed
	opened  []*os.Root
	files   *question.Files
	instead *engine.Recipe // of the pattern's own type; nil: that
	clash   *clash         // a file that was changed elsewhere
}

// note is something to be said at a field, or at a step as a whole.
type note struct {
	Field, Text, Hint string
	Wrong             bool // else it is missing, or good to know
	At                atCell
}

// entry is a file that is open in the form: what is in the notebook, and what it is with the fields laid over it.
type entry struct {
	kind notebook.Kind
	name string // in the notebook; empty: a new one
	path string
	was  []byte // nil: a new one
	doc  *file.Doc
}

// steps are the kinds of files by the step of the form, which is also the field that opens one.
var steps = map[string]string{"body": "body", "pattern": "pattern", "cloth": "cloth", "garment": "garment"}

func (s *Server) form(values url.Values) *form {
	if wish, pressed := values["wish"]; pressed {
		values["ease"] = wish
		delete(values, "wish")
	}
	f := &form{s: s, values: values, files: s.files()}
	f.gridded()
	f.gatherEase()
	f.gatherPieces()
	f.types = s.types(f.files)
	f.followUnits()
	return f
}

// unitFields are the fields that say in what the figures without a unit are, and the figures that they hold for, by step.
var unitFields = map[string]struct{ id, figures string }{"body": {"body_units", "m_ hem"}, "pattern": {"pattern_units", "chart finished pieces"}, "garment": {"kept_units", "kept_m_"}}

// followUnits makes figures without a unit those that were chosen above, when that was changed. A file of the notebook has
// units itself.
func (f *form) followUnits() {
	was, now := f.get("units_were"), f.get("units")
	if was == "" || was == now {
		return
	}
	for step, fd := range unitFields {
		if f.get(step) != "" || f.get(fd.id) != was {
			continue
		}
		f.values.Set(fd.id, now)
		for id := range f.values {
			figure := slices.ContainsFunc(strings.Fields(fd.figures), func(group string) bool { return strings.HasPrefix(id, group) })
			if figure && f.get(id) != "" {
				f.say(note{Field: fd.id, Text: "What you typed without a unit is read so too now."})
				break
			}
		}
	}
}

// files is a reader that has read nothing yet, to be closed.
func (s *Server) files() *question.Files {
	d := s.Anew()
	d.OpenKept()
	return d
}

// types are the garment types that can be chosen, read anew when a page is opened or one of them was saved.
func (s *Server) types(d *question.Files) []*engine.Recipe {
	s.reading.Lock()
	defer s.reading.Unlock()
	if s.known == nil {
		var broken []string
		s.known, broken = d.Types()
		for _, text := range broken {
			s.unusable = append(s.unusable, note{Field: "recipe", Text: capital(text), Wrong: true})
		}
	}
	return s.known
}

// forget has the garment types read anew.
func (s *Server) forget() {
	s.reading.Lock()
	defer s.reading.Unlock()
	s.known, s.unusable = nil, nil
}

// broken says which garment types cannot be chosen, and what is the first thing wrong with each.
func (f *form) broken() []note {
	f.s.reading.Lock()
	defer f.s.reading.Unlock()
	return slices.Clone(f.s.unusable)
}

func (f *form) get(id string) string { return strings.TrimSpace(f.values.Get(id)) }

func (f *form) say(n note) { f.notes = append(f.notes, n) }

// open opens the file that a step names. What is not in the notebook is a new file.
func (f *form) open(step string) entry {
	kind, _ := notebook.KindOf(steps[step])
	e := entry{kind: kind, name: f.get(step)}
	if e.name == "" || f.s.Book.Dir == "" {
		e.name = ""
		return e
	}
	var err error
	if e.path, e.was, err = f.files.Kept(kind, e.name); err != nil {
		f.wrong(step, err)
		e.name, e.path = "", ""
	}
	return e
}

// folder is the folder of an entry's file, nil where it has none.
func (f *form) folder(e *entry) fs.FS {
	if e.path == "" {
		return nil
	}
	root, err := os.OpenRoot(filepath.Join(f.s.Book.Dir, e.kind.Folder))
	if err != nil {
		return nil
	}
	f.opened = append(f.opened, root)
	return root.FS()
}

// close closes the folders that were opened.
func (f *form) close() {
	f.files.Close()
	for _, root := range f.opened {
		_ = root.Close() // it was only read from
	}
}

// wrong says what is wrong with a field, and how to mend it where that is known.
func (f *form) wrong(field string, err error) {
	n := note{Field: field, Text: err.Error(), Wrong: true}
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		n.Hint = hinted.Hint()
	}
	f.say(n)
}

// hash tells one state of a file from another; that of a new one is empty.
func (e *entry) hash() string {
	if e.was == nil {
		return ""
	}
	sum := sha256.Sum256(e.was)
	return hex.EncodeToString(sum[:])
}

// shownName is what sources are called in an explanation.
func (e *entry) shownName() string { return cmp.Or(e.path, "your "+e.kind.Name) }

// fill puts what a file has into the fields of a step.
func (f *form) fill(e *entry, fields []field) {
	doc := file.Open(e.shownName(), e.was)
	for i := range fields {
		f.values.Set(fields[i].ID, fields[i].show(doc))
	}
}

// lay lays the fields over the file. Nothing typed into a new file leaves it empty: then it returns false.
func (f *form) lay(e *entry, fields []field) bool {
	text, any := e.was, e.was != nil
	if text == nil {
		text = []byte("kind: " + e.kind.Name + "\n")
	}
	was := file.Open(e.shownName(), text)
	doc := was
	for i := range fields {
		fd := &fields[i]
		typed := f.get(fd.ID)
		if !f.values.Has(fd.ID) || typed == fd.show(was) {
			continue
		}
		any = any || typed != "" && fd.Choices == nil && !fd.Date
		changed, err := fd.changed(doc, typed)
		if err != nil {
			f.wrong(fd.ID, err)
			continue
		}
		doc = file.Open(e.shownName(), changed)
	}
	e.doc = doc
	return any
}

// problems are told at the fields they are about.
func (f *form) problems(step string, doc *file.Doc, fields []field) (ok bool) {
	looked := file.Open(doc.Name(), doc.Source())
	for _, p := range doc.Problems() {
		if p.Code == recipes.NoChart && strings.TrimSpace(f.values.Get("chart")) == "" {
			continue // it is said at the chart
		}
		n := note{Field: cmp.Or(about(p, looked, fields), step), Text: p.Summary, Hint: p.Hint, Wrong: p.IsError()}
		if empty := missed(p, looked, fields); empty != "" {
			n = note{Field: empty, Text: "this is still missing"}
		}
		f.say(n)
	}
	return !doc.Problems().HasErrors()
}

// missed is the field of a key that is missing.
func missed(p diag.Diagnostic, doc *file.Doc, fields []field) string {
	for i := range fields {
		path := fields[i].path
		for _, key := range []string{path[0], path[len(path)-1]} {
			if p.Code == file.Missing && key != "measurements" && strings.Contains(p.Summary, "`"+key+"`") && !at(doc, path).Exists() {
				return fields[i].ID
			}
		}
	}
	return ""
}

// named is a file for an answer, which needs a name, where the person has given it none yet.
func named(doc *file.Doc, name string) *file.Doc {
	if at(doc, []string{"name"}).Exists() {
		return doc
	}
	text, err := doc.Set(name, "name")
	if err != nil {
		return doc
	}
	return file.Open(doc.Name(), text)
}

// about is the field whose value a problem is in, or whose line, where it is the only one there.
func about(p diag.Diagnostic, doc *file.Doc, fields []field) string {
	line := ""
	for i := range fields {
		r := at(doc, fields[i].path).Range()
		switch {
		case r.IsZero() || r.Start.Line > p.Range.Start.Line || r.End.Line < p.Range.Start.Line:
		case r.Start.Column <= p.Range.Start.Column && p.Range.Start.Column <= r.End.Column || r.Start.Line < r.End.Line:
			return fields[i].ID
		default:
			line = fields[i].ID
		}
	}
	return line
}

// measures are the fields of measurements: those that the garment can use, and the others.
func (f *form) measures() (used, others []field) {
	var wants []string
	if f.recipe != nil {
		wants = f.recipe.Wants(f.files.Voc, f.s.Rules())
	}
	for _, name := range f.files.Voc.BodyNames() {
		fd := measureField(f.files.Voc.Measure(name))
		if slices.Contains(wants, name) {
			used = append(used, fd)
		} else {
			others = append(others, fd)
		}
	}
	return used, others
}

func (f *form) bodyFields() []field {
	used, others := f.measures()
	return slices.Concat(bodyFields, used, others, f.hem())
}

// hem is the field for where the hem is to end, none where the garment has no such length.
func (f *form) hem() []field {
	if f.recipe == nil || f.recipe.HemLength() == "" {
		return nil
	}
	return []field{hemField(f.recipe.HemLength(), f.files.Voc)}
}

func (f *form) patternFields() []field {
	return append(slices.Clone(patternFields), recipeField(f.types))
}

// refill opens the files of a step anew: their fields show what they have.
func (f *form) refill(step string) {
	e := f.open(step)
	f.values.Set(step, e.name)
	f.values.Set(step+"_hash", e.hash())
	switch step {
	case "body":
		f.fill(&e, f.bodyFields())
		f.values.Set("body_units", cmp.Or(f.values.Get("body_units"), string(f.units())))
		if e.was == nil {
			f.values.Set("taken", f.s.Today())
		}
	case "pattern":
		f.values.Del("again_no")
		f.fill(&e, f.patternFields())
		f.values.Set("pattern_units", cmp.Or(f.values.Get("pattern_units"), string(f.units())))
		f.fillCharts(&e)
		f.values.Del(piecesField.ID) // those of a file stand in it
		for id := range f.values {
			if strings.HasPrefix(id, piecePrefix) {
				f.values.Del(id)
			}
		}
	case "cloth":
		f.fill(&e, clothFields)
	case "garment":
		f.fill(&e, f.garmentFields()) // the type, which says what is measured
		f.fill(&e, f.garmentFields())
		f.values.Set("kept_units", cmp.Or(f.values.Get("kept_units"), string(f.units())))
	}
}

// fillCharts puts the tables of a pattern into their fields.
func (f *form) fillCharts(e *entry) {
	doc := file.Open(e.shownName(), e.was)
	p, _ := recipes.ReadPattern(doc, f.files.Voc, f.folder(e))
	for i := range chartFields {
		shown := ""
		if p != nil && e.was != nil {
			shown = chartFields[i].show(p, f.files.Voc)
		}
		f.values.Set(chartFields[i].ID, shown)
	}
}

// read reads the files that the form has, and says what is wrong with them.
func (f *form) read() {
	f.request.Vocabulary, f.request.Rules = f.files.Voc, f.files.Rules()
	f.readPattern()
	f.readBody()
	f.readCloth()
	f.readLiked()
	f.readKept()
	if f.recipe == nil { // which may be why
		f.notes = append(f.notes, f.broken()...)
	}
	f.files.Complete(&f.request)
	f.tellRest()
}

// tellRest tells what does not go together: of the body each at its field, and then there is no answer.
func (f *form) tellRest() {
	for _, p := range f.files.Problems {
		n := note{Field: "recipe", Text: p.Summary, Hint: p.Hint, Wrong: p.IsError()}
		switch {
		case f.body.doc != nil && p.Range.File == f.body.doc.Name():
			n.Field = cmp.Or(about(p, file.Open(f.body.doc.Name(), f.body.doc.Source()), f.bodyFields()), "body")
			if n.Wrong {
				f.request.Body = nil
			}
		case f.recipe == nil || p.Range.File != f.recipe.At.File:
			n.Field = "body" // whose makes are read
		}
		f.say(n)
	}
	f.files.Problems = nil
}

func (f *form) readBody() {
	f.body = f.open("body")
	fields := f.bodyFields()
	if !f.lay(&f.body, fields) {
		return
	}
	doc := named(f.body.doc, "you")
	b := recipes.ReadBody(doc, f.files.Voc)
	before := len(f.notes)
	if f.problems("body", doc, fields) {
		f.request.Body = b
		return
	}
	// A slip in a measurement that the garment does not use is shown at its field, and the answer stays.
	used, _ := f.measures()
	for _, n := range f.notes[before:] {
		if !n.Wrong {
			continue
		}
		name, measured := strings.CutPrefix(n.Field, "m_")
		if f.recipe == nil || !measured || slices.ContainsFunc(used, func(fd field) bool { return fd.ID == n.Field }) {
			return
		}
		text, err := file.Open(doc.Name(), doc.Source()).Remove("measurements", name)
		if err != nil {
			return
		}
		doc = file.Open(doc.Name(), text)
	}
	if b = recipes.ReadBody(doc, f.files.Voc); !doc.Problems().HasErrors() {
		f.request.Body = b
	}
}

func (f *form) readCloth() {
	f.cloth = f.open("cloth")
	if !f.lay(&f.cloth, clothFields) && f.get("structure") == "" {
		return
	}
	c := recipes.ReadCloth(f.cloth.doc, f.files.Voc)
	if f.problems("cloth", f.cloth.doc, clothFields) {
		f.request.Cloth = c
	}
}
