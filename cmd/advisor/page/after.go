package page

import (
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// afterView is the page on which it is told.
type afterView struct {
	Token       string
	Unsaved     bool // what is typed is not saved
	Names       []string
	Open, Hash  string
	Said        []note
	Made        template.HTML
	Room        template.HTML
	OnRoom      []zoneField // those that the picture shows, one in each row of it
	Others      []zoneField
	Zones       []zoneField // all of them
	Worn, Words string
	Learned     template.HTML
}

// zoneField is what is told of one zone.
type zoneField struct{ Zone, Feels, Measured, Changed string }

// made notes the garment as it is cut, and leads to where it is told how it came out.
func (s *Server) made(w http.ResponseWriter, r *http.Request) {
	s.once(w, r, func() string {
		f := s.form(r.PostForm)
		defer f.close()
		a, err := f.ask()
		switch {
		case err != nil || a == nil:
			err = errors.New("there is no answer to note yet")
		case f.request.Body.Name == "":
			err = errors.New("not noted: say first whose the measurements are, under Name")
		default:
			q := f.request
			q.Sure, q.Trace = false, false
			var name string
			if _, _, name, err = (&question.Making{}).Note(f.files, q); err == nil {
				s.say(makePlace(name), note{Text: "Noted as `" + name + "`. Tell here how it came out, once you have worn it."})
				return afterAt(name)
			}
		}
		f.notes, f.request = nil, engine.Request{}
		f.wrong("made", err)
		f.respond(w, http.StatusUnprocessableEntity, "page.html")
		return ""
	})
}

// makePlace is where one says how a make came out.
func makePlace(name string) string { return "sewn " + name }

// afterAt is the address of that.
func afterAt(name string) string { return "/after?" + url.Values{"make": {name}}.Encode() }

// after shows a make.
func (s *Server) after(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("make")
	said := s.notesOf(makePlace(name))
	typed, err := s.left(makePlace(name))
	if err != nil {
		said = append(said, note{Text: "What was typed last cannot be read again: " + err.Error(), Wrong: true})
	}
	if typed == nil {
		typed = url.Values{}
	}
	typed.Set("make", name)
	s.showAfter(w, typed, http.StatusOK, said...)
}

// tell keeps what is typed of how a make came out, and notes it.
func (s *Server) tell(w http.ResponseWriter, r *http.Request) {
	v := r.PostForm
	name := v.Get("make")
	switch v.Get("do") {
	case "keep":
		w.WriteHeader(http.StatusNoContent)
		s.leave(makePlace(name), v, s.typedOutcome)()
		return
	case "afresh":
		s.afresh(w, r, makePlace(name), afterAt(name))
		return
	}
	s.once(w, r, func() string {
		fail := func(status int, n note) string {
			s.showAfter(w, v, status, n)
			s.leave(makePlace(name), v, s.typedOutcome)()
			return ""
		}
		_, e, err := s.openMake(name)
		if err == nil && e.hash() != v.Get("make_hash") {
			return fail(http.StatusConflict, note{Text: "The file was changed elsewhere since you opened it; nothing was saved. What is there now is shown; what you typed is in the fields. Save again to add it.", Wrong: true})
		}
		if err == nil {
			d, o := s.files(), told(v)
			defer d.Close()
			_, err = o.Note(d, name)
		}
		if err == nil {
			err = s.drop(makePlace(name))
		}
		if err != nil {
			return fail(http.StatusUnprocessableEntity, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
		}
		s.say(makePlace(name), note{Text: "Saved."})
		return afterAt(name)
	})
}

// typedOutcome is what is typed of how a make came out and is not in its file.
func (s *Server) typedOutcome(values url.Values) url.Values {
	v := &afterView{Open: values.Get("make")}
	if v.open(s, url.Values{}) != nil {
		return nil // there is no such make
	}
	base := url.Values{"make": {v.Open}, "make_hash": values["make_hash"], "worn": {v.Worn}, "words": {v.Words}, "zone": values["zone"]}
	for _, z := range v.Zones {
		for kind, text := range map[string]string{"feels_": z.Feels, "measured_": z.Measured, "changed_": z.Changed} {
			base.Set(kind+z.Zone, text)
		}
	}
	return differing(values, base)
}

func hintOf(err error) string {
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		return hinted.Hint()
	}
	return ""
}

// told are the fields of a form that something is typed into.
func told(v url.Values) question.Outcome {
	t := question.Outcome{Worn: v.Get("worn"), Words: strings.TrimSpace(v.Get("words"))}
	for _, zone := range v["zone"] {
		for _, kind := range []struct {
			name string
			into *[]string
		}{{"feels", &t.Feels}, {"measured", &t.Measured}, {"changed", &t.Changed}} {
			if typed := strings.TrimSpace(v.Get(kind.name + "_" + zone)); typed != "" {
				*kind.into = append(*kind.into, zone+"="+typed)
			}
		}
	}
	return t
}

// openMake reads a make of the notebook.
func (s *Server) openMake(name string) (*engine.Make, entry, error) {
	kind, _ := notebook.KindOf("sewn")
	e := entry{kind: kind, name: name}
	d := s.files()
	defer d.Close()
	var err error
	if e.path, e.was, err = d.Kept(kind, name); err != nil {
		return nil, e, err
	}
	e.doc = file.Open(e.path, e.was)
	m := recipes.ReadMake(e.doc, d.Voc)
	return m, e, e.doc.Problems().Err()
}

func (s *Server) showAfter(w http.ResponseWriter, v url.Values, status int, said ...note) {
	view := &afterView{Token: s.token, Names: s.names("sewn"), Open: v.Get("make"), Worn: v.Get("worn"), Words: v.Get("words"), Said: said}
	if view.Open != "" {
		if err := view.open(s, v); err != nil {
			view.Said = append(view.Said, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
		}
		view.Unsaved = s.typedOutcome(v) != nil
	}
	s.send(w, status, "after.html", view)
}

// open lays out the make that is open, with what was told of it.
func (v *afterView) open(s *Server, typed url.Values) error {
	m, e, err := s.openMake(v.Open)
	if err != nil {
		return err
	}
	v.Hash = e.hash()
	if v.Made, err = fragment(report.Make(m, v.Open, s.Units, nil).Blocks...); err != nil {
		return err
	}
	outcome := func(keys ...string) string { return at(e.doc, append([]string{"outcome"}, keys...)).Text() }
	if v.Worn == "" {
		v.Worn = map[string]string{"true": "yes", "false": "no"}[outcome("worn")]
	}
	if v.Words == "" {
		v.Words = outcome("words")
	}
	d := s.files()
	defer d.Close()
	found, err := d.Find(m.Recipe, nil)
	if err != nil {
		found.Recipe = nil // the type is gone
	}
	zones := ratable(m, found.Recipe, e.doc, d.Voc)
	for _, name := range zones {
		z := zoneField{Zone: name, Feels: outcome("feels", name), Measured: outcome("measured", name), Changed: outcome("changed", name)}
		for kind, field := range map[string]*string{"feels_": &z.Feels, "measured_": &z.Measured, "changed_": &z.Changed} {
			if typed.Has(kind + name) {
				*field = typed.Get(kind + name)
			}
		}
		v.Zones = append(v.Zones, z)
	}
	if err := v.pictured(&report.Worn{Make: m, Recipe: found.Recipe, Vocabulary: d.Voc, Units: s.Units, Body: s.bodyNamed(d, m.Body)}, zones); err != nil {
		return err
	}
	return v.learn(s, m, d, found.Recipe)
}

// pictured lays the zones over the picture of the room, as far as it shows them.
func (v *afterView) pictured(w *report.Worn, zones []string) (err error) {
	picture, on := w.Room(zones)
	for _, name := range on {
		v.OnRoom = append(v.OnRoom, v.Zones[slices.Index(zones, name)])
	}
	for i, name := range zones {
		if !slices.Contains(on, name) {
			v.Others = append(v.Others, v.Zones[i])
		}
	}
	if len(on) > 0 {
		v.Room, err = drawn(picture, parts.RoomWidth)
	}
	return err
}

// bodyNamed is the body of the notebook that has a name; nil: there is none.
func (s *Server) bodyNamed(d *question.Files, name string) *engine.Body {
	kind, _ := notebook.KindOf("body")
	_, text, err := d.Kept(kind, notebook.Slug(name))
	if err != nil {
		return nil
	}
	doc := file.Open("body.yaml", text)
	b := recipes.ReadBody(doc, d.Voc)
	if doc.Problems().HasErrors() || b == nil || !strings.EqualFold(b.Name, name) {
		return nil
	}
	return b
}

// ratable are the zones that can be told of: those of the garment's type, whether it was known beforehand what it would
// measure there or not, and those that something is noted of.
func ratable(m *engine.Make, r *engine.Recipe, doc *file.Doc, voc *engine.Vocabulary) []string {
	var of []engine.Zone
	if r != nil {
		of = r.Zones
	}
	var names []string
	for _, name := range voc.Words() {
		_, planned := m.Ease[name]
		looked := slices.ContainsFunc(of, func(z engine.Zone) bool { return z.Measure == name })
		told := slices.ContainsFunc([]string{"feels", "measured", "changed"}, func(kind string) bool { return at(doc, []string{"outcome", kind, name}).Exists() })
		if planned || looked || told {
			names = append(names, name)
		}
	}
	return names
}

// learn lays out what makes of this type teach; a type that is gone teaches nothing.
func (v *afterView) learn(s *Server, m *engine.Make, d *question.Files, r *engine.Recipe) (err error) {
	if r == nil {
		return nil
	}
	of := engine.Lesson{Body: m.Body, Vocabulary: d.Voc, Units: s.Units, Recipe: r, Cloth: m.Cloth}
	about := r.Title + " in " + engine.ClothClass(m.Cloth, r, d.Voc) + ", for " + m.Body
	lesson := engine.LearnEase(d.Makes(m.Body), of)
	if len(lesson.Ease) == 0 || !slices.ContainsFunc(v.Zones, func(z zoneField) bool { return z.Feels != "" }) {
		return nil
	}
	v.Learned, err = fragment(report.Learned([]string{about}, []*engine.Learned{lesson}, s.Units).Blocks...)
	return err
}
