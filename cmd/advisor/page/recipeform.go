package page

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Your own garment type is written as text. The form beside it has what is usually changed, over the same text: a field
// that was changed is set in the text, which keeps its comments and its order, and the text is read anew for the form.

// recipeForm is what is usually changed in a garment type, as the text has it or takes it over.
type recipeForm struct {
	General  []typed // what it is called, what picks the size, what is taken between two
	Zones    []zoneForm
	Cautions []cautionForm // its own
	Where    []choice      // the zones that a caution can be about
	Wrong    []note        // what could not be set
	Set      bool          // whether the text was changed by it
	Text     string        // as it is now
}

// zoneForm is one zone: its ease and its role.
type zoneForm struct {
	Title      string
	Role, Ease typed
}

// cautionForm is one caution of the type's own.
type cautionForm struct{ Say, Severity typed }

// Where the fields of the form lie: a value that differs from what it was is set at the path after the prefix.
const (
	setPrefix = "r."
	wasPrefix = "was."
)

// setFields sets in the text of a recipe what was changed in the form, and takes the fields of the form out.
func setFields(values url.Values) (wrong []note, set bool) {
	e := file.Edits{Name: "recipe.yaml", Text: []byte(strings.ReplaceAll(values.Get("text"), "\r\n", "\n"))}
	var ids []string
	for id := range values {
		if strings.HasPrefix(id, setPrefix) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		value, was := strings.TrimSpace(values.Get(id)), strings.TrimSpace(values.Get(wasPrefix+id))
		values.Del(id)
		values.Del(wasPrefix + id)
		if value == was {
			continue
		}
		path := strings.Split(strings.TrimPrefix(id, setPrefix), ".")
		before := e.Text
		if value == "" {
			e.Remove(path...)
		} else {
			e.SetText(value, path...)
		}
		if e.Err != nil {
			wrong = append(wrong, note{Field: id, Text: "Not set: " + e.Err.Error(), Hint: hintOf(e.Err), Wrong: true})
			e.Text, e.Err = before, nil
			continue
		}
		set = true
	}
	if values.Get("do") == "caution" {
		if err := addCaution(&e, values); err != nil {
			wrong = append(wrong, note{Text: "Not added: " + err.Error(), Hint: hintOf(err), Wrong: true})
		} else {
			set = true
		}
	}
	values.Set("text", string(e.Text))
	return wrong, set
}

// addCaution adds a caution that speaks where there is less room at a level than is named.
func addCaution(e *file.Edits, values url.Values) error {
	zone, less, say := values.Get("n_zone"), strings.TrimSpace(values.Get("n_less")), strings.TrimSpace(values.Get("n_say"))
	doc := file.Open(e.Name, e.Text)
	id := at(doc, []string{"name"}).Text() + "-" + strings.ReplaceAll(zone, "_", "-")
	for n := 2; strings.Contains(string(e.Text), "id: "+id); n++ {
		id = strings.TrimRight(id, "-0123456789") + "-" + strconv.Itoa(n)
	}
	w := &file.Writer{}
	w.Text("id", id)
	w.Text("severity", string(engine.Note))
	w.Text("zone", zone)
	w.Text("when", "zone.ease < limit.least")
	w.Below("limits", func() { w.Text("least", less) })
	w.Text("say", say)
	w.Text("source", "from memory: my own")
	item, err := w.Bytes()
	if err != nil {
		return err
	}
	e.Do(func(d *file.Doc) ([]byte, error) { return d.Prepend(string(item), "cautions") })
	err = e.Err
	e.Err = nil
	if err == nil {
		for _, id := range []string{"n_zone", "n_less", "n_say"} {
			values.Del(id)
		}
	}
	return err
}

// recipeFormOf reads the form off a text; nil: the text cannot be read as it is.
func (s *Server) recipeFormOf(text string) *recipeForm {
	f := s.form(url.Values{})
	defer f.close()
	text = strings.ReplaceAll(text, "\r\n", "\n")
	doc := file.Open("recipe.yaml", []byte(text))
	r := f.files.Library.Read(doc, s.Voc, rules.WhenNeeded)
	if r == nil || !doc.Root().IsMap() {
		return nil
	}
	ask := func(label string, choices []choice, path ...string) typed {
		t := typed{field: field{ID: setPrefix + strings.Join(path, "."), Label: label, Choices: choices}}
		if v := at(doc, path); v.IsText() {
			t.Value = v.Text()
		}
		return t
	}
	form := &recipeForm{Text: text}
	zones := []choice{}
	for i := range r.Zones {
		z := &r.Zones[i]
		title := capital(strings.ReplaceAll(z.Name, "_", " "))
		zones = append(zones, choice{z.Name, strings.ToLower(title)})
		form.Zones = append(form.Zones, zoneForm{title, ask("What it does", roleChoices, "zones", z.Name, "role"), ask("Room it expects", nil, "zones", z.Name, "ease")})
	}
	form.Where = zones
	form.General = []typed{ask("What it is called", nil, "title")}
	if controlling := ask("What picks the size", zones, "controlling"); slices.ContainsFunc(zones, func(c choice) bool { return c.Value == controlling.Value }) {
		form.General = append(form.General, controlling) // else it is a list or a rule, which the text says
	}
	form.General = append(form.General, ask("Between two sizes", betweenChoices, "between_sizes"))
	own := file.Open("recipe.yaml", []byte(text)) // without what it takes over
	for i, c := range at(own, []string{"cautions"}).Each() {
		m := c.Map()
		of := func(label, key string, choices []choice) typed {
			return typed{field: field{ID: setPrefix + "cautions." + strconv.Itoa(i) + "." + key, Label: label, Choices: choices}, Value: m.Get(key).Text()}
		}
		form.Cautions = append(form.Cautions, cautionForm{of("It says", "say", nil), of("How grave", "severity", severityChoices)})
	}
	return form
}

var (
	roleChoices     = []choice{{"decides", "decides"}, {"mended", "is altered"}, {"held", "is drawn in"}}
	betweenChoices  = []choice{{"", "as usual"}, {"larger", "the larger"}, {"smaller", "the smaller"}}
	severityChoices = []choice{{"stop", "rules the size out"}, {"warn", "warns"}, {"note", "is good to know"}}
)
