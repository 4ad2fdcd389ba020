package page

import (
	"bytes"
	"cmp"
	"encoding/json"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain/svg"
	"fitadvisor/rules/file"
)

// homeView is where one begins: what is being sewn, and for who comes back, who was measured and which patterns there are.
type homeView struct {
	Token, Find string
	Groups      []typeGroup
	Bodies      []recent
	Patterns    []recent
	Going       string // the garment that was left half-way
	Said        []note
}

// typeGroup is garment types that belong together.
type typeGroup struct {
	Title string
	Types []homeType
	words []string // in the title of a type that belongs here
}

// homeType is a garment type to choose, with the words that people have for it.
type homeType struct {
	Name, Title, Words string
	Own                bool
	Icon               template.HTML
}

// recent is a file of the notebook, with what to know it by.
type recent struct{ Name, Title, About string }

// mostRecent is how many files of a kind the first page shows.
const mostRecent = 6

// groups are the groups of garment types, in the order in which they are looked through; the first that fits a type has it.
func groups() []typeGroup {
	return []typeGroup{
		{Title: "Skirts", words: []string{"skirt"}},
		{Title: "Dresses and all-in-ones", words: []string{"dress", "pinafore", "jumpsuit", "dungarees"}},
		{Title: "Tops and shirts", words: []string{"top", "shirt", "blouse", "tee", "t-shirt", "sweatshirt", "cardigan"}},
		{Title: "Trousers, shorts and leggings", words: []string{"trousers", "jeans", "joggers", "shorts", "leggings", "tights"}},
		{Title: "Jackets and coats", words: []string{"jacket", "coat", "raincoat", "waistcoat", "cape"}},
		{Title: "Underwear, night and swim", words: []string{"nightdress", "pyjama", "robe", "bralette", "briefs", "boxers", "bodysuit", "leotard", "swimsuit"}},
		{Title: "For children"},
		{Title: "And more"},
	}
}

// groupOf is the place of the group that a type belongs to: one of a person's own goes where it comes from.
func groupOf(r *engine.Recipe, all []typeGroup) int {
	if r.Draft == engine.ForChildren {
		return len(all) - 2
	}
	own := strings.FieldsFunc(strings.ToLower(r.Title+" "+r.Name), func(c rune) bool { return c == ' ' || c == '-' })
	var based []string
	for _, o := range r.BasedOn {
		based = append(based, strings.Split(o.Name, "-")...)
	}
	has := func(words, of []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(of, w) })
	}
	night := []string{"nightdress", "pyjama", "swimsuit"} // before what they look like
	if has(own, night) || has(based, night) {
		return len(all) - 3
	}
	for _, words := range [][]string{own, based} {
		if i := slices.IndexFunc(all, func(g typeGroup) bool { return has(words, g.words) }); i >= 0 {
			return i
		}
	}
	return len(all) - 1
}

// wordsOf are the words by which a type is found, besides its title.
func (s *Server) wordsOf(r *engine.Recipe) string {
	var words []string
	for _, w := range s.Voc.Synonyms {
		if w.Type && slices.Contains(w.Means, r.Name) {
			words = append(words, w.Word)
		}
	}
	return strings.ToLower(strings.Join(words, ", "))
}

// found tells whether each word that is looked for begins one of a type's.
func found(words, find string) bool {
	parts := strings.FieldsFunc(words, func(c rune) bool { return c == ' ' || c == ',' || c == '-' })
	for want := range strings.FieldsSeq(strings.ToLower(strings.ReplaceAll(find, "-", " "))) {
		if !slices.ContainsFunc(parts, func(p string) bool {
			return strings.HasPrefix(p, want) || strings.HasPrefix(want, p) && len(p) > 3 && len(want)-len(p) < 3
		}) {
			return false
		}
	}
	return true
}

// home shows where one begins.
func (s *Server) home(w http.ResponseWriter, r *http.Request) {
	s.forget()
	f, _ := s.asLeft()
	defer f.close()
	v := &homeView{Token: s.token, Find: strings.TrimSpace(r.URL.Query().Get("find")), Groups: groups(), Said: f.broken()}
	for _, t := range f.types {
		words := s.wordsOf(t)
		if !found(strings.ToLower(t.Title)+", "+words, v.Find) {
			continue
		}
		icon, err := s.icon(t)
		if err != nil {
			refuse(w, http.StatusInternalServerError, "The page could not be made: "+err.Error())
			return
		}
		g := &v.Groups[groupOf(t, v.Groups)]
		g.Types = append(g.Types, homeType{t.Name, capital(t.Title), words, t.Own, icon})
	}
	v.Bodies, v.Patterns = f.recent("body"), f.recent("pattern")
	if id := f.get("recipe"); id != "" {
		if i := slices.IndexFunc(f.types, func(r *engine.Recipe) bool { return r.Name == id }); i >= 0 {
			v.Going = f.types[i].Title
		}
	}
	s.send(w, http.StatusOK, "home.html", v)
}

// icon is a small outline of a garment type.
func (s *Server) icon(r *engine.Recipe) (template.HTML, error) {
	var out bytes.Buffer
	err := svg.Icon(&out, report.Outline(r, s.Voc))
	return template.HTML(out.String()), err // which has no text
}

// usedPlace is where it is kept which patterns were used last.
const usedPlace = "patterns used"

// used puts a pattern before all others.
func (s *Server) used(name string) {
	if name == "" || s.Book.Dir == "" {
		return
	}
	s.drafts.writing.Lock()
	defer s.drafts.writing.Unlock()
	names := s.lastUsed()
	if len(names) > 0 && names[0] == name {
		return
	}
	names = append([]string{name}, slices.DeleteFunc(names, func(n string) bool { return n == name })...)
	text, _ := json.Marshal(names[:min(len(names), mostUsed)]) // no error: it is texts
	_ = s.Book.KeepDraft(usedPlace, text)                      // their order is no loss
}

// mostUsed is how many patterns keep their place in the order of their use.
const mostUsed = 100

// lastUsed are the patterns that were used, the last first.
func (s *Server) lastUsed() []string {
	var names []string
	if text, err := s.Book.Draft(usedPlace); err == nil && text != nil {
		_ = json.Unmarshal(text, &names) // what cannot be read is no order
	}
	return names
}

// recent are the files of a kind: patterns by their last use, bodies by the day they were measured, the last first.
func (f *form) recent(step string) []recent {
	var all []recent
	days := map[string]string{}
	for _, name := range f.s.names(step) {
		g := f.s.form(map[string][]string{step: {name}})
		e := g.open(step)
		g.close()
		if e.was == nil {
			continue
		}
		doc := file.Open(e.shownName(), e.was)
		text := func(key string) string { return at(doc, []string{key}).Text() }
		days[name] = text("taken")
		about := text("maker")
		if day := text("taken"); day != "" {
			about = "measured " + day
		}
		all = append(all, recent{name, cmp.Or(text("name"), name), about})
	}
	used := f.s.lastUsed()
	place := func(name string) int {
		if i := slices.Index(used, name); step == "pattern" && i >= 0 {
			return i
		}
		return len(used)
	}
	slices.SortStableFunc(all, func(a, b recent) int {
		return cmp.Or(cmp.Compare(place(a.Name), place(b.Name)), strings.Compare(days[b.Name], days[a.Name]))
	})
	return all[:min(len(all), mostRecent)]
}

// begin takes what is chosen where one begins: a garment type begins a new pattern, a pattern or a body is opened.
func (s *Server) begin(w http.ResponseWriter, r *http.Request) {
	f, _ := s.asLeft()
	defer f.close()
	where := "body"
	for _, id := range []string{"tried", "what_if", "why_not_shown"} {
		f.values.Del(id)
	}
	switch chosen := r.PostForm; {
	case chosen.Get("type") != "":
		f.anew("pattern")
		f.anew("cloth")
		f.values.Set("recipe", chosen.Get("type"))
	case chosen.Get("pattern") != "":
		f.anew("cloth")
		f.values.Set("pattern", chosen.Get("pattern"))
		f.refill("pattern")
		s.used(f.get("pattern"))
	case chosen.Get("body") != "":
		f.values.Set("body", chosen.Get("body"))
		f.refill("body")
	}
	if bodies := s.names("body"); f.get("body") == "" && len(bodies) == 1 && !f.typedIn("body", f.values) {
		f.values.Set("body", bodies[0])
		f.refill("body")
	}
	if f.get("body") != "" {
		where = "pattern"
	}
	if f.get("pattern") != "" {
		where = "cloth"
	}
	f.leave()()
	http.Redirect(w, r, s.path+"/?at="+where, http.StatusSeeOther)
}

// anew empties a step.
func (f *form) anew(step string) {
	f.values.Set(step, "")
	for _, fd := range f.fieldsOf(step) {
		f.values.Del(fd.ID)
	}
	f.refill(step)
}
