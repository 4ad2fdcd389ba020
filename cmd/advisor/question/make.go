package question

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// Making is a garment to be noted as it is cut, where that is not as advised.
type Making struct {
	Size, Name         string   // empty: the one recommended, and a name made of the pattern and the day
	Alterations, Lines []string // as typed: sway-back=1.5cm, waist=14
}

// Cut is a garment as it is cut: the size, the lines and the alterations.
type Cut struct {
	answer *engine.Answer
	size   *engine.SizeAnswer
	lines  map[string]*engine.SizeAnswer // by zone, where another than the size
	units  quantity.Unit
	altered
}

// altered is what was altered: by how much, as it is written, in the order of ids.
type altered struct {
	ids     []string
	amounts map[string]string
}

func (t *altered) by(id, amount string) {
	if _, again := t.amounts[id]; !again {
		t.ids = append(t.ids, id)
	}
	t.amounts[id] = amount
}

// Note writes what is cut by a request into the notebook, under the name that is returned. Where the make cannot be used, the
// problems say why too.
func (q *Making) Note(d *Files, r engine.Request) (m *engine.Make, k *Cut, name string, err error) {
	said := q.altered(&r)
	a, err := engine.Advise(r)
	if err != nil {
		return nil, nil, "", err
	}
	if k, err = q.cut(d, &r, a, said); err != nil {
		return nil, nil, "", err
	}
	k.units = cmp.Or(r.Body.Units, quantity.Cm)
	name = cmp.Or(q.Name, notebook.Slug(r.Pattern.Name+" "+r.Today))
	if err := notebook.CheckName(name); err != nil {
		return nil, nil, "", err
	}
	text, err := k.text(&r)
	if err != nil {
		return nil, nil, "", err
	}
	m = d.make("the garment", text)
	if d.Problems.HasErrors() {
		return nil, nil, "", d.Problems.Err()
	}
	kind, _ := notebook.KindOf("sewn")
	name, err = d.Book.Add(kind, name, text)
	return m, k, name, err
}

// altered puts what --alteration says into the person's list, so that the answer
// counts with it; what was not altered is not asked about.
func (q *Making) altered(r *engine.Request) altered {
	said := altered{amounts: map[string]string{}}
	b := *r.Body
	b.Alterations = maps.Clone(b.Alterations)
	if b.Alterations == nil {
		b.Alterations = map[string]engine.Usually{}
	}
	r.Body = &b
	for _, text := range q.Alterations {
		id, amount, _ := strings.Cut(text, "=")
		id, amount = strings.TrimSpace(id), cmp.Or(strings.TrimSpace(amount), "yes")
		if amount == "no" {
			r.Rules, r.Recipe = without(id, r.Rules, r.Recipe)
			continue
		}
		u := engine.Usually{}
		if l, err := quantity.ParseLength(amount, ""); err == nil {
			u.Amount = &l
		}
		b.Alterations[id] = u
		said.by(id, amount)
	}
	return said
}

// without leaves out a rule.
func without(id string, shared []*engine.Rule, r *engine.Recipe) ([]*engine.Rule, *engine.Recipe) {
	is := func(rule *engine.Rule) bool { return rule.ID == id && rule.Alter != nil }
	own := *r
	own.Rules = slices.DeleteFunc(slices.Clone(r.Rules), is)
	return slices.DeleteFunc(slices.Clone(shared), is), &own
}

// cut is the garment as advised, with what was said otherwise. The lines and the
// alterations advised are those of one size, and hold for no other.
func (q *Making) cut(d *Files, r *engine.Request, a *engine.Answer, said altered) (*Cut, error) {
	at, err := q.chosen(a)
	if err != nil {
		return nil, err
	}
	k := &Cut{answer: a, size: at, lines: map[string]*engine.SizeAnswer{}, altered: altered{amounts: map[string]string{}}}
	if k.asAdvised() {
		for _, l := range a.Lines {
			if k.lines[l.Zone], err = sizeNamed(a, l.Size); err != nil {
				return nil, err
			}
		}
		for i := range a.Alterations {
			if alteration := &a.Alterations[i]; said.amounts[alteration.ID] != "" {
				k.by(alteration.ID, said.amounts[alteration.ID])
			} else if alteration.Amount != nil {
				k.by(alteration.ID, k.amount(alteration))
			}
		}
	}
	for _, id := range said.ids {
		k.by(id, said.amounts[id])
	}
	for _, text := range q.Lines {
		zone, size, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("cannot read --line %q: write it as in waist=14", text)
		}
		if k.lines[d.Zone(r.Recipe, "line", strings.TrimSpace(zone))], err = sizeNamed(a, strings.TrimSpace(size)); err != nil {
			return nil, err
		}
	}
	maps.DeleteFunc(k.lines, func(_ string, s *engine.SizeAnswer) bool { return s == at })
	return k, nil
}

// asAdvised tells whether it is cut in the size that the answer is about.
func (k *Cut) asAdvised() bool { return k.size == &k.answer.Sizes[0] }

// Open says what the file at a path does not have, since nobody knows it yet.
func (k *Cut) Open(path string) []string {
	if !k.asAdvised() {
		return []string{fmt.Sprintf("Size lines and alterations are advised for size %s; of this size only what you name is noted.", k.answer.Sizes[0].Size)}
	}
	var ids []string
	for i := range k.answer.Alterations {
		if id := k.answer.Alterations[i].ID; k.amounts[id] == "" {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Not noted, since the pattern decides the amount: %s. If you alter it, write by how much under `alterations:` in %s.", strings.Join(ids, ", "), path)}
}

// chosen is the size that is cut.
func (q *Making) chosen(a *engine.Answer) (*engine.SizeAnswer, error) {
	size := q.Size
	if size == "" {
		if a.Recommended == nil {
			return nil, errors.New("no size can be cut as it is; name the one you cut with --size")
		}
		size = a.Recommended.Size
	}
	return sizeNamed(a, size)
}

func sizeNamed(a *engine.Answer, size string) (*engine.SizeAnswer, error) {
	var sizes []string
	for i := range a.Sizes {
		if a.Sizes[i].Size == size {
			return &a.Sizes[i], nil
		}
		sizes = append(sizes, a.Sizes[i].Size)
	}
	return nil, fmt.Errorf("the pattern has no size %q; it has %s", size, strings.Join(sizes, ", "))
}

// text writes the make down, lengths in the units of the body.
func (k *Cut) text(r *engine.Request) ([]byte, error) {
	a := k.answer
	w := &file.Writer{}
	w.Text("kind", "sewn")
	w.Text("name", cmp.Or(a.Pattern, "no name"))
	w.Text("made", r.Today)
	w.Text("pattern", a.Pattern)
	w.Text("maker", a.Maker)
	w.Text("recipe", a.Recipe)
	w.Pairs("body", "name", a.Body, "taken", r.Body.Taken)
	w.Text("size", k.size.Size)
	var lines, alterations, ease, finished []string
	for _, zone := range slices.Sorted(maps.Keys(k.lines)) {
		lines = append(lines, zone, k.lines[zone].Size)
	}
	w.Pairs("lines", lines...)
	for _, id := range k.ids {
		alterations = append(alterations, id, k.amounts[id])
	}
	w.Pairs("alterations", alterations...)
	if r.Cloth != nil {
		w.Below("cloth", func() {
			w.Text("name", r.Cloth.Name)
			w.Text("structure", string(r.Cloth.Structure))
			w.Pairs("stretch", stretchText(r.Cloth)...)
		})
	}
	w.Text("wish", a.Wish)
	for i := range k.size.Zones {
		if z := k.zone(k.size.Zones[i].Zone); z != nil {
			ease = append(ease, z.Zone, k.easeOf(z))
			finished = append(finished, z.Zone, k.length(*z.Finished))
		}
	}
	w.Pairs("ease", ease...)
	w.Pairs("finished", finished...)
	return w.Bytes()
}

// zone is a zone on the line that is followed there, with what the alterations make of it; nil where its ease is not known.
func (k *Cut) zone(name string) *engine.ZoneAnswer {
	size := cmp.Or(k.lines[name], k.size)
	i := slices.IndexFunc(size.Zones, func(z engine.ZoneAnswer) bool { return z.Zone == name })
	if i < 0 {
		return nil
	}
	z := size.Zones[i]
	if z.Ease == nil || z.Estimated || z.Overlap {
		return nil
	}
	if z.After != nil {
		z.Ease, z.Finished = &z.After.Ease, &z.After.Finished
	}
	return &z
}

func (k *Cut) easeOf(z *engine.ZoneAnswer) string {
	if z.Unit == engine.InPercent {
		return percent(*z.Ease)
	}
	return k.length(*z.Ease)
}

func (k *Cut) amount(a *engine.Alteration) string {
	if a.Unit != "" {
		return strconv.FormatFloat(*a.Amount, 'f', -1, 64) + " " + a.Unit
	}
	return k.length(*a.Amount)
}

func (k *Cut) length(cm float64) string { return quantity.FromCm(cm).Exact(k.units) }

func percent(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " %" }

// stretchText is how far a cloth stretches each way, by the names of the ways.
func stretchText(c *engine.Cloth) (pairs []string) {
	for _, way := range []struct {
		name string
		v    *float64
	}{{"across", c.Across}, {"along", c.Along}, {"bias", c.Bias}} {
		if way.v != nil {
			pairs = append(pairs, way.name, percent(*way.v))
		}
	}
	return pairs
}

// ClothText writes down what is to be known later of a cloth.
func ClothText(e *file.Edits, c *engine.Cloth) {
	if c == nil {
		return
	}
	if c.Name != "" {
		e.SetText(c.Name, "cloth", "name")
	}
	e.Set(string(c.Structure), "cloth", "structure")
	for pair := range slices.Chunk(stretchText(c), 2) {
		e.Set(pair[1], "cloth", "stretch", pair[0])
	}
}

// make reads a make, whose alterations must be there.
func (d *Files) make(name string, text []byte) *engine.Make {
	doc := file.Open(name, text)
	m := recipes.ReadMake(doc, d.Voc)
	d.Take(doc)
	if m != nil {
		d.Tell(d.unknownIn(m)...)
	}
	return m
}

// unknownIn finds the alterations of a make that neither the shared rules nor
// those of its garment type have.
func (d *Files) unknownIn(m *engine.Make) diag.List {
	unknown := recipes.UnknownMade(m, d.Rules())
	if len(unknown) == 0 {
		return nil
	}
	found, err := d.Library.Recipe(m.Recipe, d.Voc)
	if err != nil || found.Recipe == nil {
		return unknown
	}
	return recipes.UnknownMade(m, found.Recipe.Rules, d.Rules())
}

// Makes reads the makes of the notebook that are for a person, all where none is named. One that cannot be read is set aside,
// and named; so is an alteration that is none.
func (d *Files) Makes(body string) []*engine.Make {
	if d.From != nil || d.Book.Dir == "" {
		return nil
	}
	kind, _ := notebook.KindOf("sewn")
	files, err := d.Book.Files(kind)
	if err != nil {
		d.Tell(diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable, Summary: err.Error()})
	}
	var all []*engine.Make
	for _, f := range files {
		d.Inputs.Read(f.Path)
		text, err := d.ReadKept(f.Path)
		if err == nil && body != "" && !bytes.Contains(bytes.ToLower(text), []byte(strings.ToLower(body))) {
			continue
		}
		doc := file.Open(Shown(f.Path), text)
		m := recipes.ReadMake(doc, d.Voc)
		if err != nil || doc.Problems().HasErrors() {
			d.Tell(diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable,
				Summary: "the sewn garment `" + f.Name + "` cannot be read and is left out", Hint: "`advisor note worn " + Quoted(f.Name) + "` says what is wrong with it"})
			continue
		}
		d.tellEarlier(doc)
		for _, p := range d.unknownIn(m) {
			p.Severity = diag.Warning
			d.Tell(p)
			d.Sources[doc.Name()] = doc.Source()
			maps.DeleteFunc(m.Alterations, func(_ string, a engine.Altered) bool { return a.At == p.Range })
		}
		m.Name = f.Name
		all = append(all, m)
	}
	return all
}

// tellEarlier warns once of files of a kind that earlier versions wrote; they are read like the others.
func (d *Files) tellEarlier(doc *file.Doc) {
	for _, p := range doc.Problems() {
		if p.Severity == diag.Warning && !slices.ContainsFunc(d.Problems, func(o diag.Diagnostic) bool { return o.Code == p.Code }) {
			d.Tell(p)
			d.Sources[doc.Name()] = doc.Source()
		}
	}
}

// Quoted is an argument as it is typed on a command line.
func Quoted(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./=+%,:") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// Outcome says how a garment came out: each part as ZONE=WHAT.
type Outcome struct {
	Feels, Changed, Measured []string
	Worn, Words              string
}

// Note writes how a make came out into its file. Where that cannot be, the problems may say why too.
func (o *Outcome) Note(d *Files, name string) (*engine.Make, error) {
	kind, _ := notebook.KindOf("sewn")
	path, err := d.Book.Find(kind, name)
	if err != nil {
		return nil, err
	}
	text, err := d.ReadKept(path)
	if err != nil {
		return nil, err
	}
	d.make(Shown(path), text)
	if d.Problems.HasErrors() {
		return nil, d.Problems.Err()
	}
	e := &file.Edits{Name: Shown(path), Text: text, ReadAs: d.Voc.Called}
	e.Set("sewn", "kind")
	if err := o.write(d, e); err != nil {
		return nil, err
	}
	m := d.make(Shown(path), e.Text)
	if d.Problems.HasErrors() {
		return nil, d.Problems.Err()
	}
	if bytes.Equal(text, e.Text) {
		return m, nil
	}
	return m, d.Book.Save(path, text, e.Text)
}

// write sets what is told.
func (o *Outcome) write(d *Files, e *file.Edits) error {
	switch o.Worn {
	case "":
	case "yes", "no":
		e.Set(strconv.FormatBool(o.Worn == "yes"), "outcome", "worn")
	default:
		return fmt.Errorf("--worn is yes or no, not %q", o.Worn)
	}
	for _, told := range []struct {
		flag string
		all  []string
	}{{"feels", o.Feels}, {"changed", o.Changed}, {"measured", o.Measured}} {
		for _, text := range told.all {
			zone, value, ok := strings.Cut(text, "=")
			if !ok || strings.TrimSpace(value) == "" {
				return fmt.Errorf("cannot read --%s %q: write it as ZONE=WHAT", told.flag, text)
			}
			e.SetText(strings.TrimSpace(value), "outcome", told.flag, d.Word(told.flag, strings.TrimSpace(zone)))
		}
	}
	if o.Words != "" {
		e.SetText(o.Words, "outcome", "words")
	}
	return e.Err
}
