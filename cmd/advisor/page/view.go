package page

import (
	"bytes"
	"embed"
	"encoding/json"
	"html/template"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

//go:embed views/*.html
var viewFiles embed.FS

var views = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{
		"number": number, "words": func(s string) string { return strings.ReplaceAll(s, "_", " ") }, "capital": capital, "code": code, "plain": explain.Quoted, "add": func(a, b int) int { return a + b },
		"field": func(s step, id string) typed { return s.field(id) }, "called": called, "tried": func(s string) string {
			return capital(words.Replace(s))
		}, "source": sourceWords, "roomnote": func() string { return report.RoomNote },
		"feelings": func() []string { return []string{"", string(engine.Tight), string(engine.Right), string(engine.Roomy)} },
		"kinds":    func() []string { return []string{"body", "pattern", "cloth"} },
		"base":     nothing, "once": nothing, "unkept": nothing, "forgets": func() bool { return false }, // each server says its own
	}).ParseFS(viewFiles, "views/*.html"))
})

func nothing() string { return "" }

// shown is the whole page.
type shown struct {
	Token, Units string
	Body         step
	Pattern      step
	Cloth, Kept  step
	Liked        []choice // kept garments; those that are chosen are in Chosen
	Layers       []string
	Eases        []choice
	Chosen       url.Values
	Notes        notes
	Demo         bool
	Answer       *answer
	EaseAt       []easeField
	WhatKeys     []choice
	WhatIf       string   // that cannot be tried
	Tried        []string // changes
	Unsaved      bool     // it is as it was left, with what was typed
	Asked        string   // the size of which is asked why not
	Clash        *clash
	At           string // the screen that is shown
	Stages       []stage
	Measures     asked
	Grids        []grid
	Pieces       typed
	Type         string   // of garment, in words
	Words        []string // for measurements, to choose from
	Figure       template.HTML
	Missing      string // what an answer still wants, in words
	Wishes       []choice
	Again        []report.Proposal
	Flat         piecesForm
}

// step is one file of the form.
type step struct {
	ID, Title, Open, Hash string
	Names                 []string
	Fields, More          []typed
	Notes                 []note
}

// typed is a field with what is typed into it.
type typed struct {
	field
	Value string
	Notes []note
	Wide  bool // it has many lines
}

// notes are what is to be said, by field.
type notes map[string][]note

// Wrong tells whether one of the notes is a mistake.
func (t typed) Wrong() bool {
	return slices.ContainsFunc(t.Notes, func(n note) bool { return n.Wrong })
}

// code is a text in which what stands between backticks is code.
func code(text string) template.HTML {
	var b strings.Builder
	for _, span := range explain.Spans(text) {
		if span.Code {
			b.WriteString("<code>" + template.HTMLEscapeString(span.Text) + "</code>")
			continue
		}
		b.WriteString(template.HTMLEscapeString(span.Text))
	}
	return template.HTML(b.String())
}

// called is the name of a file as a person reads it: quayside-skirt-2026-11-25 is Quayside skirt 2026-11-25.
func called(name string) string {
	return capital(dashed.ReplaceAllString(name, "$1 $2"))
}

// words are a change as it is said.
var words = strings.NewReplacer("cloth.stretch.", "stretch of the cloth ", "=", ": ", "_", " ")

// dashed is a dash that is not between two figures of a day.
var dashed = regexp.MustCompile(`(\D)-(.)`)

// field is one of a step's fields.
func (s step) field(id string) typed {
	for _, t := range slices.Concat(s.Fields, s.More) {
		if t.ID == id {
			return t
		}
	}
	return typed{}
}

// number is a figure as JSON has it.
func number(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		return ""
	}
	return string(text)
}

func (f *form) byField() notes {
	all := notes{}
	for _, n := range f.notes {
		all[n.Field] = append(all[n.Field], n)
	}
	return all
}

// show puts the page together.
func (f *form) show(a *answer) *shown {
	n := f.byField()
	v := &shown{Token: f.s.token, Units: string(f.units()), Chosen: f.values, Notes: n, Answer: a, EaseAt: f.easeAt(), WhatKeys: f.whatKeys(), Unsaved: f.unsaved, WhatIf: f.untaken(), Tried: f.triedTexts(), Asked: f.askedWhyNot(), Clash: f.clash}
	used, others := f.measures()
	v.Body = f.step("body", "You", bodyFields, slices.Concat(used, others), n)
	v.Pattern = f.step("pattern", "The pattern", f.patternFields(), nil, n)
	v.Cloth = f.step("cloth", "The cloth", clothFields[:4], clothFields[4:], n)
	v.Pieces = typed{piecesField, f.values.Get(piecesField.ID), n[piecesField.ID], true}
	v.At = f.at(a)
	v.Stages, v.Measures = f.stages(v.At), f.askFor(n)
	for i := range chartFields {
		v.Grids = append(v.Grids, f.grid(&chartFields[i], n[chartFields[i].ID]))
	}
	if f.recipe != nil {
		v.Type = f.recipe.Title
	}
	for _, name := range f.files.Voc.BodyNames() {
		v.Words = append(v.Words, f.files.Voc.Title(name))
	}
	v.Kept = f.step("garment", "A garment I keep", f.garmentFields(), nil, n)
	for _, name := range f.s.names("garment") {
		v.Liked = append(v.Liked, choice{name, name})
	}
	for _, l := range f.files.Voc.Limits.Layers {
		v.Layers = append(v.Layers, l.Name)
	}
	v.Wishes = []choice{{"closer", "closer"}, {"", "as drawn"}, {"roomier", "roomier"}}
	v.Missing = f.wanting()
	v.Again, v.Flat = f.proposals(a), f.pieces()
	v.Figure = tapeFigure(f.files.Voc, v.Measures)
	v.Eases = []choice{{"", "as the maker drew it"}, {"closer", "closer"}, {"roomier", "roomier"}, {"expected", "as the type expects"}, {"liked", "as the garments I like"}}
	return v
}

func (f *form) step(id, title string, fields, more []field, n notes) step {
	s := step{ID: id, Title: title, Open: f.get(id), Hash: f.get(id + "_hash"), Names: f.s.names(id), Notes: n[id]}
	for _, fd := range fields {
		s.Fields = append(s.Fields, typed{fd, f.values.Get(fd.ID), n[fd.ID], false})
	}
	for _, fd := range more {
		s.More = append(s.More, typed{fd, f.values.Get(fd.ID), n[fd.ID], false})
	}
	return s
}

// Has tells whether a value is chosen.
func (v *shown) Has(id, value string) bool { return slices.Contains(v.Chosen[id], value) }

// fragment is a document as a part of the page.
func fragment(blocks ...explain.Block) (template.HTML, error) {
	part, err := parts.Fragment(blocks...)
	return template.HTML(part), err
}

// first is the page as it opens, or as it was left.
func (s *Server) first(w http.ResponseWriter, r *http.Request) {
	s.forget()
	f, typed := s.asLeft()
	defer f.close()
	at := r.URL.Query().Get("at")
	if at == "" && !typed && f.get("body") == "" && f.get("pattern") == "" && f.get("recipe") == "" {
		s.home(w, r)
		return
	}
	f.unsaved = typed && at == ""
	f.values.Set("at", at)
	f.notes = append(f.notes, s.notesOf(sizePlace)...)
	f.respond(w, http.StatusOK, "page.html")
}

// whole is the page after a button was pressed.
func (s *Server) whole(w http.ResponseWriter, r *http.Request) {
	f := s.form(r.PostForm)
	defer f.close()
	if step, ok := strings.CutPrefix(f.get("do"), "open-"); ok && steps[step] != "" {
		f.refill(step)
		f.notes = nil
		if step == "pattern" {
			f.s.used(f.get("pattern"))
		}
	}
	f.takeAgain()
	if f.get("do") == "open-borrow" {
		f.borrow()
	}
	if f.get("do") == "answer" {
		f.values.Set("go", "answer")
	}
	if step, ok := strings.CutPrefix(f.get("do"), "over-"); ok && steps[step] != "" {
		f.values.Set(step+"_hash", f.get(step+"_over")) // of what was shown beside it
		f.saved(w, r, step)
		return
	}
	if step, ok := strings.CutPrefix(f.get("do"), "save-"); ok && steps[step] != "" {
		f.saved(w, r, step)
		return
	}
	if f.get("do") == "afresh" {
		s.afresh(w, r, sizePlace, "/")
		return
	}
	defer f.leave()()
	f.respond(w, http.StatusOK, "page.html")
}

// leave remembers the form as it is left.
func (f *form) leave() (write func()) { return f.s.leave(sizePlace, f.values, f.s.typedSize) }

// fragment is the answer alone, with what is to be said at the fields.
func (s *Server) fragment(w http.ResponseWriter, r *http.Request) {
	f := s.form(r.PostForm)
	defer f.close()
	defer f.leave()()
	f.respond(w, http.StatusOK, "answered.html")
}

// respond asks and shows.
func (f *form) respond(w http.ResponseWriter, status int, view string) {
	a, err := f.answer()
	if err != nil {
		refuse(w, http.StatusInternalServerError, "The page could not be made: "+err.Error())
		return
	}
	f.s.send(w, status, view, f.show(a))
}

// send sends a page whole, or none.
func (s *Server) send(w http.ResponseWriter, status int, view string, data any) {
	var out bytes.Buffer
	if err := s.views.ExecuteTemplate(&out, view, data); err != nil {
		refuse(w, http.StatusInternalServerError, "The page could not be made: "+err.Error())
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Length", strconv.Itoa(out.Len()))
	w.WriteHeader(status)
	_, _ = w.Write(out.Bytes())               // the browser is gone
	_ = http.NewResponseController(w).Flush() // what else there is to do keeps nobody waiting
}
