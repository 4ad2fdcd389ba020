package page

import (
	"bytes"
	"errors"
	"html/template"
	"net/http"
	"net/url"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// libraryView is the list of garment types.
type libraryView struct {
	Types   []*engine.Recipe
	Own     []string // that can be edited here
	Unsaved []choice // what is being written, and where
	Said    []note
}

func (s *Server) recipes(w http.ResponseWriter, _ *http.Request) { s.showLibrary(w, http.StatusOK) }

func (s *Server) showLibrary(w http.ResponseWriter, status int, said ...note) {
	f := s.form(url.Values{})
	defer f.close()
	v := &libraryView{Types: f.types, Own: s.names("recipe"), Said: append(said, f.broken()...)}
	for _, place := range s.Book.Drafts() {
		if name, ok := strings.CutPrefix(place, "recipe "); ok {
			v.Unsaved = append(v.Unsaved, choice{(&editView{Open: name}).address(), name})
		} else if from, ok := strings.CutPrefix(place, "new recipe "); ok {
			v.Unsaved = append(v.Unsaved, choice{(&editView{From: from}).address(), "a new one from " + from})
		}
	}
	s.send(w, status, "recipes.html", v)
}

// recipe shows a garment type: what decides its size, zone by zone, and why.
func (s *Server) recipe(w http.ResponseWriter, r *http.Request) {
	f := s.form(url.Values{})
	defer f.close()
	found, err := f.files.Library.Recipe(r.PathValue("name"), s.Voc)
	if err == nil {
		err = found.Doc.Problems().Err()
	}
	if err != nil {
		s.showLibrary(w, http.StatusNotFound, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
		return
	}
	body, err := fragment(report.Recipe(found.Recipe, s.Voc, s.Units).Blocks...)
	if err != nil {
		refuse(w, http.StatusInternalServerError, err.Error())
		return
	}
	s.send(w, http.StatusOK, "recipe.html", struct {
		Title, Name string
		Body        template.HTML
		Own         bool
	}{capital(found.Recipe.Title), found.Name, body, found.Recipe.Own})
}

// editView is a recipe being written.
type editView struct {
	Token, Open, From, Hash, Text string
	Unsaved                       bool // the text is as it was left
	Said                          []note
	Names                         map[string][]string
	Chosen                        url.Values
	Clash                         *clash
	Check                         *checkView
	Form                          *recipeForm // nil: the text cannot be read
}

// checkView is what is to be said of a recipe as it is typed.
type checkView struct {
	Problems []problem
	Tried    []triedView
	Passed   int
	Facts    template.HTML
	Answer   *answer
	Missing  []note
	Form     *recipeForm
}

// problem is one thing that is wrong, with its line.
type problem struct {
	diag.Diagnostic
	Line    int
	Excerpt string
}

// triedView is one example that was run.
type triedView struct {
	Name, At string
	Passed   bool
	Err      string
	Results  []recipes.Result
}

// openRecipe opens a recipe of one's own, or begins one that builds on a garment type, as it was left.
func (s *Server) openRecipe(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	v := &editView{Open: q.Get("recipe_file"), From: q.Get("from")}
	was, err := v.fresh(s)
	if err == nil {
		v.Text, v.Hash = string(was), (&entry{was: was}).hash()
		if v.Open == "" {
			v.Hash = ""
		}
		var typed url.Values
		if typed, err = s.left(v.place()); typed.Has("text") && !sameText(typed.Get("text"), v.Text) {
			v.Text, v.Hash, v.Unsaved = typed.Get("text"), typed.Get("recipe_hash"), true
		}
	}
	if err != nil {
		v.Said = append(v.Said, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
	}
	v.Said = append(v.Said, s.notesOf(v.place())...)
	v.show(s, w, q, http.StatusOK)
}

// place is where the recipe is written.
func (v *editView) place() string {
	if v.Open == "" {
		return "new recipe " + v.From
	}
	return "recipe " + v.Open
}

// address is that of the place.
func (v *editView) address() string {
	return "/recipes/edit?" + url.Values{"recipe_file": {v.Open}, "from": {v.From}}.Encode()
}

// fresh is the text that the recipe begins with: that of its file, or one that builds on a garment type.
func (v *editView) fresh(s *Server) ([]byte, error) {
	if v.Open != "" {
		return s.ownRecipe(v.Open)
	}
	return []byte("kind: recipe\nname: my-" + v.From + "\ntitle: my " + strings.ReplaceAll(v.From, "-", " ") + "\nbased_on: " + v.From + "\n"), nil
}

func sameText(a, b string) bool {
	plain := func(s string) string { return strings.TrimSpace(strings.ReplaceAll(s, "\r\n", "\n")) }
	return plain(a) == plain(b)
}

// typed is what is typed of the recipe and is not in its file.
func (v *editView) typed(s *Server) func(url.Values) url.Values {
	return func(values url.Values) url.Values {
		if was, err := v.fresh(s); err == nil && sameText(values.Get("text"), string(was)) {
			return nil
		}
		return url.Values{"text": values["text"], "recipe_hash": values["recipe_hash"]}
	}
}

func (v *editView) show(s *Server, w http.ResponseWriter, chosen url.Values, status int) {
	v.Token, v.Chosen = s.token, chosen
	v.Names = map[string][]string{"body": s.names("body"), "pattern": s.names("pattern"), "cloth": s.names("cloth")}
	v.Form = s.recipeFormOf(v.Text)
	v.Check = s.check(v.Text, chosen)
	s.send(w, status, "edit.html", v)
}

// written is the recipe that is being written in a form.
func written(form url.Values) *editView {
	return &editView{Open: form.Get("recipe_file"), From: form.Get("from"), Hash: form.Get("recipe_hash"), Text: form.Get("text")}
}

// editRecipe saves the recipe that is written, and leads to where it is written further.
func (s *Server) editRecipe(w http.ResponseWriter, r *http.Request) {
	wrong, _ := setFields(r.PostForm)
	v := written(r.PostForm)
	v.Said = wrong
	defer s.leave(v.place(), r.PostForm, v.typed(s))()
	switch r.PostForm.Get("do") {
	case "afresh":
		s.afresh(w, r, v.place(), v.address())
	case "save", "over":
		if r.PostForm.Get("do") == "over" {
			v.Hash = r.PostForm.Get("recipe_over")
		}
		s.once(w, r, func() string {
			from := v.place()
			if status := v.save(s); status != http.StatusOK {
				v.show(s, w, r.PostForm, status)
				return ""
			}
			if err := s.drop(from); err != nil {
				v.Said = append(v.Said, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
			}
			s.say(v.place(), note{Text: "Saved in the notebook as `" + v.Open + "`."})
			return v.address()
		})
	default:
		v.show(s, w, r.PostForm, http.StatusOK)
	}
}

// checkRecipe says what is to be said of a recipe as it is typed.
func (s *Server) checkRecipe(w http.ResponseWriter, r *http.Request) {
	wrong, set := setFields(r.PostForm)
	v := written(r.PostForm)
	defer s.leave(v.place(), r.PostForm, v.typed(s))()
	check := s.check(v.Text, r.PostForm)
	if check.Form = s.recipeFormOf(v.Text); check.Form == nil {
		check.Form = &recipeForm{Text: v.Text}
	}
	check.Form.Wrong, check.Form.Set = wrong, set
	s.send(w, http.StatusOK, "checked.html", check)
}

// ownRecipe reads a recipe of the notebook.
func (s *Server) ownRecipe(name string) ([]byte, error) {
	kind, _ := notebook.KindOf("recipe")
	d := s.Anew()
	defer d.Close()
	_, text, err := d.Kept(kind, name)
	return text, err
}

// save writes the recipe under the name that it has.
func (v *editView) save(s *Server) (status int) {
	fail := func(err error) int {
		v.Said = append(v.Said, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
		return http.StatusUnprocessableEntity
	}
	text := []byte(strings.ReplaceAll(v.Text, "\r\n", "\n"))
	name := at(file.Open("recipe", text), []string{"name"}).Text()
	kind, _ := notebook.KindOf("recipe")
	if !rules.IsID(name) {
		return fail(errors.New("not saved: `name:` is small letters and digits with dashes between, as in `my-culottes`"))
	}
	if s.Book.Dir == "" {
		return fail(errNoNotebook)
	}
	if err := s.taken(text); err != nil {
		return fail(err)
	}
	if err := s.inside(kind); err != nil {
		return fail(err)
	}
	was, err := s.ownRecipe(name)
	var none *notebook.NoNameError
	if err != nil && !(errors.As(err, &none) && len(none.Files) == 0) {
		return fail(err)
	}
	there := entry{was: was}
	if there.hash() != v.Hash {
		v.Clash = &clash{"recipe", name, string(was), string(text), there.hash()}
		return http.StatusConflict
	}
	if err := s.Book.Save(s.Book.Path(kind, name), was, text); err != nil {
		return fail(err)
	}
	s.forget()
	v.Open, v.From = name, ""
	return http.StatusOK
}

// taken refuses a recipe that would stand in for a shipped garment type without saying so.
func (s *Server) taken(text []byte) error {
	f := s.form(url.Values{})
	defer f.close()
	doc := file.Open("recipe.yaml", text)
	f.files.Library.Read(doc, s.Voc, rules.WhenNeeded)
	for _, p := range doc.Problems() {
		if p.Code == recipes.NameTaken {
			return &takenError{p.Summary, p.Hint}
		}
	}
	return nil
}

// takenError says that a garment type has the name of another one.
type takenError struct{ summary, hint string }

func (e *takenError) Error() string { return "not saved: " + e.summary }

// Hint says what to do.
func (e *takenError) Hint() string { return e.hint }

// check reads a recipe, runs its examples and tries it on the body, pattern and cloth that are chosen.
func (s *Server) check(text string, values url.Values) *checkView {
	v := &checkView{}
	f := s.form(url.Values{"units": values["units"], "body": values["body"], "pattern": values["pattern"], "cloth": values["cloth"]})
	defer f.close()
	doc := file.Open("recipe.yaml", []byte(strings.ReplaceAll(text, "\r\n", "\n")))
	suite, named := f.files.Library.ReadSuite(doc, s.Voc, s.Rules(), nil)
	for _, d := range append(named, doc) {
		for _, p := range d.Problems() {
			v.Problems = append(v.Problems, problemOf(p, d))
		}
	}
	for _, p := range v.Problems {
		if p.IsError() {
			return v
		}
	}
	if suite == nil || suite.Recipe == nil {
		return v
	}
	for _, p := range rules.Clashes(suite.Recipe.Rules, s.Rules()) {
		v.Problems = append(v.Problems, problemOf(p, doc))
	}
	for i := range suite.Examples {
		v.try(&suite.Examples[i], suite.Recipe, s)
	}
	v.Facts, _ = fragment(report.Recipe(suite.Recipe, s.Voc, f.units()).Blocks...) // no error: it has no pictures
	if f.get("body") != "" && f.get("pattern") != "" {
		f.instead = suite.Recipe
		v.Answer, _ = f.answer() // what is wrong is told in it
		v.Missing = f.notes
	}
	return v
}

func (v *checkView) try(e *recipes.Example, r *engine.Recipe, s *Server) {
	o := recipes.Run(e, r, s.Rules(), s.Voc)
	t := triedView{Name: e.Name, At: e.At.String(), Passed: o.Passed()}
	if o.Err != nil {
		t.Err = o.Err.Error()
	}
	for _, got := range o.Results {
		if !got.Met {
			t.Results = append(t.Results, got)
		}
	}
	if t.Passed {
		v.Passed++
	}
	v.Tried = append(v.Tried, t)
}

// problemOf is a problem with the part of the text that it is about.
func problemOf(p diag.Diagnostic, doc *file.Doc) problem {
	var b bytes.Buffer
	_ = diag.Write(&b, diag.List{p}, diag.Sources{doc.Name(): doc.Source()}) // no error: a buffer takes all
	var lines []string
	for line := range strings.SplitSeq(b.String(), "\n") {
		if strings.Contains(line, " | ") {
			lines = append(lines, line)
		}
	}
	return problem{p, p.Range.Start.Line, strings.Join(lines, "\n")}
}
