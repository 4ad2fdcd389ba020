package page

import (
	"encoding/json"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
)

// drafts are what was typed and is not saved, by the place where it was: a view of the page, and what it is about. They are
// kept in the notebook, so that neither going back, nor asking for the page again, nor the end of the program loses them.
type drafts struct {
	mu      sync.Mutex
	left    map[string]left
	said    map[string]note // to be said when a place is next shown
	turn    int
	failed  error // why what was typed last is not kept
	writing sync.Mutex
}

// left is a form as it was left, and when.
type left struct {
	values url.Values
	turn   int
}

// sizePlace is where a size is asked for; the other places are called after what they are about.
const sizePlace = "size"

// passing are the fields that nobody types.
var passing = []string{"token", "once", "do", "with", "why_not", "why_not_shown", "units_were", "at", "go", "chart_paste", "finished_paste", "borrow", "what_key", "again"}

// leave remembers a form as it is left. What it returns is called once that was answered, and writes what is typed in it into
// the notebook; typed finds that, nil where all of it is saved.
func (s *Server) leave(place string, values url.Values, typed func(url.Values) url.Values) (write func()) {
	values = maps.Clone(values)
	for _, id := range passing {
		delete(values, id)
	}
	d := &s.drafts
	d.mu.Lock()
	defer d.mu.Unlock()
	d.turn++
	turn := d.turn
	d.left[place] = left{values, turn}
	return func() {
		d.writing.Lock()
		defer d.writing.Unlock()
		d.mu.Lock()
		stale := d.left[place].turn != turn
		d.mu.Unlock()
		if stale || s.Book.Dir == "" {
			return
		}
		var text []byte
		if v := typed(values); v != nil {
			text, _ = json.MarshalIndent(v, "", "  ") // no error: it is texts
		}
		err := s.Book.KeepDraft(place, text)
		d.mu.Lock()
		defer d.mu.Unlock()
		d.failed = err
	}
}

// left is the form of a place as it was left, nil where it was not, or is saved.
func (s *Server) left(place string) (url.Values, error) {
	d := &s.drafts
	d.mu.Lock()
	l, here := d.left[place]
	d.mu.Unlock()
	if here {
		return maps.Clone(l.values), nil
	}
	text, err := s.Book.Draft(place)
	if err != nil || text == nil {
		return nil, err
	}
	var v url.Values
	err = json.Unmarshal(text, &v)
	return v, err
}

// drop forgets what was typed in a place.
func (s *Server) drop(place string) error {
	d := &s.drafts
	d.writing.Lock()
	defer d.writing.Unlock()
	d.mu.Lock()
	delete(d.left, place)
	d.mu.Unlock()
	if s.Book.Dir == "" {
		return nil
	}
	return s.Book.KeepDraft(place, nil)
}

// say has something said when a place is next shown.
func (s *Server) say(place string, n note) {
	s.drafts.mu.Lock()
	defer s.drafts.mu.Unlock()
	s.drafts.said[place] = n
}

// notesOf is what is to be said of a place, once.
func (s *Server) notesOf(place string) []note {
	d := &s.drafts
	d.mu.Lock()
	defer d.mu.Unlock()
	var all []note
	if n, ok := d.said[place]; ok {
		all = append(all, n)
		delete(d.said, place)
	}
	return all
}

// unkept says that what is typed is not kept, if it is so.
func (s *Server) unkept() string {
	s.drafts.mu.Lock()
	defer s.drafts.mu.Unlock()
	if s.drafts.failed == nil {
		return ""
	}
	return "What you type is lost when you leave this page: " + s.drafts.failed.Error()
}

// differing are the values that are not those of the base, nil where there are none.
func differing(values, base url.Values) url.Values {
	same := func(v []string) string {
		return strings.TrimSpace(strings.ReplaceAll(strings.Join(v, "\x00"), "\r\n", "\n"))
	}
	typed := url.Values{}
	for id, v := range values {
		if same(v) != same(base[id]) {
			typed[id] = v
		}
	}
	if len(typed) == 0 {
		return nil
	}
	return typed
}

// opened are the fields that say which files are open, as they were then, and in which units all is shown.
func openedFields() []string {
	ids := []string{"units"}
	for step := range steps {
		ids = append(ids, step, step+"_hash")
	}
	return ids
}

// opening is a form on the files that are open in another, with nothing typed.
func (s *Server) opening(values url.Values) *form {
	v := url.Values{"units": {string(s.Units)}}
	for _, id := range openedFields() {
		if values.Has(id) {
			v.Set(id, values.Get(id))
		}
	}
	f := s.form(v)
	for _, step := range []string{"pattern", "body", "cloth", "garment"} {
		f.refill(step)
	}
	f.notes = nil // the next reading finds them again
	return f
}

// typedSize is what is typed in a form for a size, with the files that are open.
func (s *Server) typedSize(values url.Values) url.Values {
	f := s.opening(values)
	defer f.close()
	typed := differing(values, f.values)
	for _, id := range openedFields() {
		delete(typed, id)
	}
	if len(typed) == 0 {
		return nil
	}
	for _, id := range openedFields() {
		if values.Has(id) {
			typed[id] = values[id]
		}
	}
	return typed
}

// asLeft is the form for a size as it was left: the files that were open as they are now, and what was typed over them as
// it was. It also says whether anything is.
func (s *Server) asLeft() (f *form, typed bool) {
	was, err := s.left(sizePlace)
	if was == nil {
		was = url.Values{}
		for kind, name := range s.Open {
			was.Set(kind, name)
		}
	}
	f = s.opening(was)
	v := s.typedSize(was)
	for id := range v {
		if !slices.Contains(openedFields(), id) {
			f.values[id] = v[id]
		}
	}
	for step := range steps { // what was typed over an earlier text is not saved over a later one
		if v != nil && was.Has(step+"_hash") && f.typedIn(step, v) {
			f.values.Set(step+"_hash", was.Get(step+"_hash"))
		}
	}
	if err != nil {
		f.say(note{Field: "kept", Text: "What was typed last cannot be read again: " + err.Error(), Wrong: true})
	}
	return f, v != nil
}

// typedIn tells whether something is typed in a step.
func (f *form) typedIn(step string, typed url.Values) bool {
	return slices.ContainsFunc(f.fieldsOf(step), func(fd field) bool { return typed.Has(fd.ID) })
}

// afresh throws away what was typed in a place.
func (s *Server) afresh(w http.ResponseWriter, r *http.Request, place, where string) {
	if err := s.drop(place); err != nil {
		refuse(w, http.StatusInternalServerError, err.Error())
		return
	}
	http.Redirect(w, r, s.path+where, http.StatusSeeOther)
}

// once does what a form asks for, however often it is sent, and leads to where that is seen: asking for that again does it
// no second time. An empty place says that it was not done, and that this was answered.
func (s *Server) once(w http.ResponseWriter, r *http.Request, do func() (where string)) {
	s.saving.Lock()
	defer s.saving.Unlock()
	key := r.PostForm.Get("once")
	where := s.did[key]
	if where == "" {
		if where = do(); where == "" {
			return
		}
		if key != "" {
			s.did[key] = where
		}
	}
	http.Redirect(w, r, s.path+where, http.StatusSeeOther)
}
