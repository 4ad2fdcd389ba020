package page

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// readPattern reads the pattern with what was pasted, and finds its type.
func (f *form) readPattern() {
	f.what = f.open("pattern")
	fields := f.patternFields()
	any := f.lay(&f.what, fields)
	f.tables = map[string][]byte{}
	folder := f.folder(&f.what)
	for i := range chartFields {
		any = f.layChart(&chartFields[i], folder) || any
	}
	f.layPieces()
	if !any && f.get("recipe") == "" {
		return
	}
	laid := named(f.what.doc, "this pattern")
	p, docs := recipes.ReadPattern(laid, f.files.Voc, beside{f.tables, folder})
	ok := f.problems("pattern", laid, slices.Concat(fields, []field{chartFields[0].field, chartFields[1].field, piecesField}))
	for _, doc := range docs {
		ok = f.tableProblems(doc) && ok
	}
	if p != nil {
		f.findRecipe(p, folder)
	}
	if ok {
		f.pattern, f.request.Pattern = p, p
	}
}

// layChart lays a pasted table over what the pattern has.
func (f *form) layChart(c *chartField, folder fs.FS) bool {
	typed := strings.TrimRight(strings.ReplaceAll(f.values.Get(c.ID), "\r\n", "\n"), "\n ")
	if !f.values.Has(c.ID) || typed == f.chartShown(c, folder) {
		return false
	}
	var err error
	var text []byte
	switch {
	case strings.TrimSpace(typed) == "":
		text, err = f.what.doc.Remove(c.path...)
	default:
		name := c.ID + ".csv"
		f.tables[name] = pasted(typed, f.files.Voc)
		text, err = f.what.doc.Set(name, c.path...)
		if err == nil && c.part == engine.OfBody && at(f.what.doc, []string{"sizes"}).Exists() {
			text, err = file.Open(f.what.doc.Name(), text).Remove("sizes") // the pasted chart says which there are
		}
	}
	if err != nil {
		f.wrong(c.ID, err)
		return false
	}
	f.what.doc = file.Open(f.what.doc.Name(), text)
	return true
}

// layPieces puts the pieces that are typed beside the pattern. What a file of them has besides goes to its end, so that
// lines stay.
func (f *form) layPieces() {
	typed := strings.TrimRight(strings.ReplaceAll(f.values.Get(piecesField.ID), "\r\n", "\n"), "\n ")
	if strings.TrimSpace(typed) == "" {
		return
	}
	text := typed + "\n"
	for _, head := range []struct{ key, value string }{{"kind", "pieces"}, {"name", "the pieces"}, {"units", f.get("pattern_units")}} {
		if head.value != "" && !strings.Contains("\n"+text, "\n"+head.key+":") {
			text += head.key + ": " + head.value + "\n"
		}
	}
	changed, err := f.what.doc.Set("pieces.yaml", piecesField.path...)
	if err != nil {
		f.wrong(piecesField.ID, err)
		return
	}
	f.tables["pieces.yaml"] = []byte(text)
	f.what.doc = file.Open(f.what.doc.Name(), changed)
}

// chartShown is the table that the file has, as its field showed it.
func (f *form) chartShown(c *chartField, folder fs.FS) string {
	if f.what.was == nil {
		return ""
	}
	p, _ := recipes.ReadPattern(file.Open(f.what.path, f.what.was), f.files.Voc, folder)
	if p == nil {
		return ""
	}
	return c.show(p, f.files.Voc)
}

// tableProblems are told at the field that the table was pasted into, with the line.
func (f *form) tableProblems(doc *file.Doc) bool {
	field := "pattern"
	if id, _, ok := strings.Cut(filepath.Base(doc.Name()), "."); ok && f.tables[filepath.Base(doc.Name())] != nil {
		field = id
	}
	for _, p := range doc.Problems() {
		n := note{Field: field, Text: p.Summary, Hint: p.Hint, Wrong: p.IsError()}
		switch {
		case p.Range.Start.Line == 0:
		case field == piecesField.ID:
			n.Text = fmt.Sprintf("line %d: %s", p.Range.Start.Line, n.Text)
		default:
			n.At.chart = field
			n.At.line, n.At.column = cellAt(doc.Source(), p.Range.Start.Line, p.Range.Start.Column)
			if what := f.cellWords(n.At); what != "" {
				n.Text = what + ": " + n.Text
			}
		}
		f.say(n)
	}
	return !doc.Problems().HasErrors()
}

// findRecipe finds the type of the pattern: by its name, or in a file beside it.
func (f *form) findRecipe(p *engine.Pattern, folder fs.FS) {
	if f.instead != nil {
		f.recipe, f.request.Recipe = f.instead, f.instead
		return
	}
	if p.Recipe == "" {
		return
	}
	var own *file.Folder
	if folder != nil {
		own = &file.Folder{Name: f.what.kind.Folder, Files: folder}
	}
	found, err := f.files.Find(p.Recipe, own)
	if err == nil {
		err = found.Doc.Problems().Err()
	}
	if err != nil {
		f.wrong("recipe", err)
		return
	}
	f.recipe, f.request.Recipe = found.Recipe, found.Recipe
}

// readLiked reads what is wanted, what is worn beneath, and the kept garments that are chosen.
func (f *form) readLiked() {
	r := &f.request
	r.Units = f.units()
	r.Today = f.s.Today()
	var ease []string
	for _, text := range append([]string{f.get("ease")}, strings.Split(f.get("ease_more"), ",")...) {
		if strings.TrimSpace(text) != "" {
			ease = append(ease, text)
		}
	}
	for _, err := range f.files.Want(r, ease, f.values["over"]) {
		f.wrong("ease_more", err)
	}
	for _, name := range f.values["like"] {
		if g := f.garment(name); g != nil {
			r.Kept = append(r.Kept, g)
		}
	}
}

// units are those that lengths are shown in.
func (f *form) units() quantity.Unit {
	u, err := quantity.ParseUnit(f.get("units"))
	if err != nil {
		return f.s.Units
	}
	return u
}

// garment reads a kept garment of the notebook.
func (f *form) garment(name string) *engine.KeptGarment {
	kind, _ := notebook.KindOf("garment")
	at, text, err := f.files.Kept(kind, name)
	if err != nil {
		f.wrong("like", err)
		return nil
	}
	g := f.files.Garment(advice.File{Doc: file.Open(at, text), Beside: &file.Folder{Name: kind.Folder, Files: f.folder(&entry{kind: kind, path: at})}}, f.recipe)
	broken := f.files.Problems.HasErrors()
	for _, p := range f.files.Problems {
		f.say(note{Field: "like", Text: p.Summary, Hint: p.Hint, Wrong: p.IsError()})
	}
	if f.files.Problems = nil; broken {
		return nil
	}
	return g
}

// ask asks for a size, with the changes that are tried. There is no answer, and no error, while something is missing.
func (f *form) ask() (*engine.Answer, error) {
	f.read()
	if !f.complete() {
		return nil, nil
	}
	f.request.Sure, f.request.Trace = true, true
	changed := f.try()
	a, err := f.files.Answer(f.request, f.triedTexts())
	f.request = changed
	return a, f.missing(err)
}

// try is the request with the changes that are tried: those that are ticked, and then what a button or a person says anew.
func (f *form) try() engine.Request {
	f.tried = nil
	r := f.request
	for _, text := range slices.Concat(f.values["tried"], f.values["with"], []string{f.whatIf()}) {
		if strings.TrimSpace(text) == "" {
			continue
		}
		c, changed, err := f.files.Change(r, text)
		if err != nil {
			f.wrong("what_if", err)
			continue
		}
		r, f.tried = changed, append(without(f.tried, c), c)
	}
	return r
}

// without leaves out the changes of what another one changes, which counts from then on.
func without(all []engine.Change, by engine.Change) []engine.Change {
	return slices.DeleteFunc(all, func(c engine.Change) bool { return thing(c) == thing(by) })
}

// thing is what a change changes: for the ease of one zone, that ease.
func thing(c engine.Change) string {
	if zone, _, ok := strings.Cut(c.Value, "="); ok && c.Key == "ease" {
		return c.Key + "=" + strings.TrimSpace(zone)
	}
	return strings.TrimPrefix(c.Key, "body.")
}

// triedTexts are the changes that are tried, as they are typed.
func (f *form) triedTexts() []string {
	var all []string
	for _, c := range f.tried {
		all = append(all, c.String())
	}
	return all
}

// untaken is what is typed into "What if" and cannot be tried.
func (f *form) untaken() string {
	text := f.get("what_if")
	if c, _, err := f.files.Change(f.request, f.whatIf()); err == nil && slices.Contains(f.tried, c) {
		return ""
	}
	return text
}

// askedWhyNot is the size that is asked about: the one whose button was pressed, else the one that was asked about before.
func (f *form) askedWhyNot() string {
	if f.values.Has("why_not") {
		return f.get("why_not")
	}
	return f.get("why_not_shown")
}

// complete says what is missing where it is missing.
func (f *form) complete() bool {
	r := &f.request
	wrong := func(fields ...string) bool {
		return slices.ContainsFunc(f.notes, func(n note) bool { return n.Wrong && slices.Contains(fields, n.Field) })
	}
	if r.Body == nil && f.body.doc != nil && !f.body.doc.Problems().HasErrors() {
		f.say(note{Field: "body", Text: "Fill in at least the measurements that the garment is chosen by."})
	}
	if f.recipe == nil && !wrong("recipe") {
		f.say(note{Field: "recipe", Text: "Choose what type of garment it is."})
	}
	if r.Pattern == nil && f.get("chart") == "" {
		f.say(note{Field: "chart", Text: "The size chart is missing: it is on the envelope, or in the instructions."})
	}
	return r.Body != nil && r.Pattern != nil && f.recipe != nil
}

// missing tells at its field what the answer cannot do without.
func (f *form) missing(err error) error {
	var unknown *engine.UnknownError
	var noRow *engine.NoRowError
	switch {
	case errors.As(err, &unknown):
		f.say(note{Field: "m_" + unknown.Measurement, Text: unknown.Error(), Hint: unknown.How})
	case errors.As(err, &noRow):
		f.wrong("chart", noRow)
	}
	return err
}

// names are those of the notebook's files of a kind.
func (s *Server) names(kind string) []string {
	k, _ := notebook.KindOf(kind)
	if s.Book.Dir == "" {
		return nil
	}
	files, err := s.Book.Files(k)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil
	}
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	return slices.Compact(names)
}
