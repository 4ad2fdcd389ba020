package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// making is what `note make` is told besides the question.
type making struct {
	question
	size, name         string
	alterations, lines []string
}

func newNoteMake(s streams) *cobra.Command {
	m := &making{}
	c := &cobra.Command{
		Use:   "make PATTERN --body BODY [--cloth CLOTH]",
		Short: "Note a garment as you cut it",
		Long: "Asks for a size as `advisor size` does, and notes the pattern, the size, the size lines, the\n" +
			"alterations whose amounts are known, the cloth and the ease that comes of it. What you did\n" +
			"otherwise say with --size, --line and --alteration, and later with `advisor note outcome` how\n" +
			"it came out.",
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			m.pattern = args[0]
			d, err := m.desk(s)
			if err != nil {
				return err
			}
			return m.note(d)
		},
	}
	m.flags(c)
	c.Flags().StringVar(&m.size, "size", "", "the size you cut (default the one recommended)")
	c.Flags().StringVar(&m.name, "name", "", "the name in the notebook (default made of the pattern and the day)")
	c.Flags().StringArrayVar(&m.alterations, "alteration", nil, "what you altered, where that is not as advised: sway-back=1.5cm, full-seat=yes, sleeve-length=no (repeatable)")
	c.Flags().StringArrayVar(&m.lines, "line", nil, "the size line you followed at a zone, where that is not as advised: waist=14 (repeatable)")
	return c
}

// cut is a garment as it is cut: the size, the lines and the alterations.
type cut struct {
	answer *engine.Answer
	size   *engine.SizeAnswer
	lines  map[string]*engine.SizeAnswer // by zone, where another than the size
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

func (q *making) note(d *desk) error {
	book, err := d.kept()
	if err != nil {
		return err
	}
	r, err := q.personal(d)
	if err != nil {
		return err
	}
	m, k, name, err := q.noted(d, book, r)
	if err != nil {
		return err
	}
	kind, _ := notebook.KindOf("make")
	next := append(k.open(shown(book.Path(kind, name))), "When it is made up: advisor note outcome "+quoted(name)+q.inBook()+" --feels ZONE=tight, right or roomy --measured ZONE=LENGTH.")
	return showMake(d.s, &q.face, m, name, r.Units, next)
}

// noted writes what is cut by a request into the notebook, under the name that is returned.
func (q *making) noted(d *desk, book notebook.Book, r engine.Request) (m *engine.Make, k *cut, name string, err error) {
	said := q.altered(&r)
	a, err := engine.Advise(r)
	if err != nil {
		return nil, nil, "", d.explained(&r, err)
	}
	if k, err = q.cut(a, said); err != nil {
		return nil, nil, "", err
	}
	name = cmp.Or(q.name, notebook.Slug(r.Pattern.Name+" "+r.Today))
	if err := notebook.CheckName(name); err != nil {
		return nil, nil, "", err
	}
	text, err := k.text(&r)
	if err != nil {
		return nil, nil, "", err
	}
	m = d.make("the make", text, r.Rules)
	if err := d.done(); err != nil {
		return nil, nil, "", err
	}
	kind, _ := notebook.KindOf("make")
	name, err = book.Add(kind, name, text)
	return m, k, name, err
}

// altered puts what --alteration says into the person's list, so that the answer
// counts with it; what was not altered is not asked about.
func (q *making) altered(r *engine.Request) altered {
	said := altered{amounts: map[string]string{}}
	b := *r.Body
	b.Alterations = maps.Clone(b.Alterations)
	if b.Alterations == nil {
		b.Alterations = map[string]engine.Usually{}
	}
	r.Body = &b
	for _, text := range q.alterations {
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
func (q *making) cut(a *engine.Answer, said altered) (*cut, error) {
	at, err := q.chosen(a)
	if err != nil {
		return nil, err
	}
	k := &cut{answer: a, size: at, lines: map[string]*engine.SizeAnswer{}, altered: altered{amounts: map[string]string{}}}
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
				k.by(alteration.ID, amountText(alteration))
			}
		}
	}
	for _, id := range said.ids {
		k.by(id, said.amounts[id])
	}
	for _, text := range q.lines {
		zone, size, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("cannot read --line %q: write it as in waist=14", text)
		}
		if k.lines[strings.TrimSpace(zone)], err = sizeNamed(a, strings.TrimSpace(size)); err != nil {
			return nil, err
		}
	}
	maps.DeleteFunc(k.lines, func(_ string, s *engine.SizeAnswer) bool { return s == at })
	return k, nil
}

// asAdvised tells whether it is cut in the size that the answer is about.
func (k *cut) asAdvised() bool { return k.size == &k.answer.Sizes[0] }

func amountText(a *engine.Alteration) string {
	if a.Unit != "" {
		return strconv.FormatFloat(*a.Amount, 'f', -1, 64) + " " + a.Unit
	}
	return quantity.FromCm(*a.Amount).Exact(quantity.Cm)
}

// open says what the file does not have, since nobody knows it yet.
func (k *cut) open(path string) []string {
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
	return []string{fmt.Sprintf("Not noted, since the amount hangs on the pattern: %s. If you alter it, write by how much under `alterations:` in %s.", strings.Join(ids, ", "), path)}
}

// chosen is the size that is cut.
func (q *making) chosen(a *engine.Answer) (*engine.SizeAnswer, error) {
	size := q.size
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

// text writes the make down.
func (k *cut) text(r *engine.Request) ([]byte, error) {
	a := k.answer
	e := &file.Edits{Name: "the make", Text: []byte("kind: make\n")}
	set := func(text string, path ...string) {
		if text != "" {
			e.SetText(text, path...)
		}
	}
	set(cmp.Or(a.Pattern, "no name"), "name")
	e.Set(r.Today, "made")
	set(a.Pattern, "pattern")
	set(a.Maker, "maker")
	set(a.Recipe, "recipe")
	set(a.Body, "body", "name")
	set(r.Body.Taken, "body", "taken")
	set(k.size.Size, "size")
	for _, zone := range slices.Sorted(maps.Keys(k.lines)) {
		set(k.lines[zone].Size, "lines", zone)
	}
	for _, id := range k.ids {
		set(k.amounts[id], "alterations", id)
	}
	clothText(e, r.Cloth)
	set(a.Wish, "wish")
	for i := range k.size.Zones {
		k.ease(e, k.size.Zones[i].Zone)
	}
	return e.Text, e.Err
}

// ease writes down the ease of a zone, on the line that is followed there and
// with what the alterations make of it.
func (k *cut) ease(e *file.Edits, zone string) {
	size := cmp.Or(k.lines[zone], k.size)
	i := slices.IndexFunc(size.Zones, func(z engine.ZoneAnswer) bool { return z.Zone == zone })
	if i < 0 {
		return
	}
	z := size.Zones[i]
	if z.Ease == nil || z.Estimated || z.Overlap {
		return
	}
	if z.After != nil {
		z.Ease, z.Finished = &z.After.Ease, &z.After.Finished
	}
	e.Set(easeText(&z), "ease", zone)
	e.Set(quantity.FromCm(*z.Finished).Exact(quantity.Cm), "finished", zone)
}

func easeText(z *engine.ZoneAnswer) string {
	if z.Unit == "percent" {
		return strconv.FormatFloat(*z.Ease, 'f', -1, 64) + " %"
	}
	return quantity.FromCm(*z.Ease).Exact(quantity.Cm)
}

// clothText writes down what is to be known later of a cloth.
func clothText(e *file.Edits, c *engine.Cloth) {
	if c == nil {
		return
	}
	if c.Name != "" {
		e.SetText(c.Name, "cloth", "name")
	}
	e.Set(string(c.Structure), "cloth", "structure")
	for _, way := range []struct {
		name string
		v    *float64
	}{{"across", c.Across}, {"along", c.Along}, {"bias", c.Bias}} {
		if way.v != nil {
			e.Set(strconv.FormatFloat(*way.v, 'f', -1, 64)+" %", "cloth", "stretch", way.name)
		}
	}
}

// make reads a make, whose alterations must be there.
func (d *desk) make(name string, text []byte, shared []*engine.Rule) *engine.Make {
	doc := file.Open(name, text)
	m := recipes.ReadMake(doc, d.voc)
	d.take(doc)
	if m != nil {
		d.problems = append(d.problems, d.unknownIn(m, shared)...)
	}
	return m
}

// unknownIn finds the alterations of a make that neither the shared rules nor
// those of its garment type have.
func (d *desk) unknownIn(m *engine.Make, shared []*engine.Rule) diag.List {
	unknown := recipes.UnknownMade(m, shared)
	if len(unknown) == 0 {
		return nil
	}
	found, err := d.library.Recipe(m.Recipe, d.voc)
	if err != nil || found.Recipe == nil {
		return unknown
	}
	return recipes.UnknownMade(m, found.Recipe.Rules, shared)
}

func showMake(s streams, f *face, m *engine.Make, name string, u quantity.Unit, next []string) error {
	if f.format == "json" {
		return s.json(map[string]string{"make": name})
	}
	return s.show(report.Make(m, name, u, next), f.color)
}

// outcome is what `note outcome` is told.
type outcome struct {
	feels, changed, measured []string
	worn, words              string
	face
}

func newNoteOutcome(s streams) *cobra.Command {
	o := &outcome{}
	c := &cobra.Command{
		Use:   "outcome MAKE [--feels hip=right]...",
		Short: "Note how a garment came out",
		Args:  oneName("a make", "advisor note outcome quayside-skirt-2026-11-25 --feels hip=roomy"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := o.desk(s)
			if err != nil {
				return err
			}
			return o.note(d, args[0])
		},
	}
	c.Flags().StringArrayVar(&o.feels, "feels", nil, "how it feels at a zone as you wear it: hip=tight, hip=right or hip=roomy (repeatable)")
	c.Flags().StringArrayVar(&o.changed, "changed", nil, "what you changed after cutting: hip='took in 1 cm' (repeatable)")
	c.Flags().StringArrayVar(&o.measured, "measured", nil, "what the made garment measures, washed, closed and not stretched, all round: hip=112cm (repeatable)")
	c.Flags().StringVar(&o.worn, "worn", "", "whether it is worn: yes or no")
	c.Flags().StringVar(&o.words, "words", "", "what else there is to say")
	o.flags(c)
	o.book(c)
	return c
}

func (o *outcome) note(d *desk, name string) error {
	book, err := d.kept()
	if err != nil {
		return err
	}
	m, err := o.noted(d, book, name)
	if err != nil {
		return err
	}
	return showMake(d.s, &o.face, m, name, quantity.Unit(cmp.Or(o.units, o.set.Units)), []string{"See what was learned: advisor note learned --body " + quoted(m.Body) + o.inBook() + "."})
}

// noted writes how a make came out into its file.
func (o *outcome) noted(d *desk, book notebook.Book, name string) (*engine.Make, error) {
	kind, _ := notebook.KindOf("make")
	path, err := book.Find(kind, name)
	if err != nil {
		return nil, err
	}
	text, err := readKept(path)
	if err != nil {
		return nil, err
	}
	shared, own := rules.With(d.folders, d.voc)
	d.take(own...)
	d.make(shown(path), text, shared)
	if err := d.done(); err != nil {
		return nil, err
	}
	e := &file.Edits{Name: shown(path), Text: text}
	if err := o.write(e); err != nil {
		return nil, err
	}
	m := d.make(shown(path), e.Text, shared)
	if err := d.done(); err != nil {
		return nil, err
	}
	if bytes.Equal(text, e.Text) {
		return m, nil
	}
	return m, book.Save(path, text, e.Text)
}

// write sets what is told.
func (o *outcome) write(e *file.Edits) error {
	if err := oneOf("--worn", o.worn, "", "yes", "no"); err != nil {
		return err
	}
	if o.worn != "" {
		e.Set(strconv.FormatBool(o.worn == "yes"), "outcome", "worn")
	}
	for _, told := range []struct {
		flag string
		all  []string
	}{{"feels", o.feels}, {"changed", o.changed}, {"measured", o.measured}} {
		for _, text := range told.all {
			zone, value, ok := strings.Cut(text, "=")
			if !ok || strings.TrimSpace(value) == "" {
				return fmt.Errorf("cannot read --%s %q: write it as ZONE=WHAT", told.flag, text)
			}
			e.SetText(strings.TrimSpace(value), "outcome", told.flag, strings.TrimSpace(zone))
		}
	}
	if o.words != "" {
		e.SetText(o.words, "outcome", "words")
	}
	return e.Err
}

// makes reads the makes of the notebook that are for a person. One that cannot be read is set aside, and named; so is an
// alteration that is none.
func (d *desk) makes(body string, shared []*engine.Rule) []*engine.Make {
	if d.s.from != nil || d.book.Dir == "" {
		return nil
	}
	kind, _ := notebook.KindOf("make")
	files, err := d.book.Files(kind)
	if err != nil {
		d.problems = append(d.problems, diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable, Summary: err.Error()})
	}
	var all []*engine.Make
	for _, f := range files {
		d.inputs.Read(f.Path)
		text, err := file.ReadPath(f.Path, file.MaxBytes)
		if err == nil && body != "" && !bytes.Contains(bytes.ToLower(text), []byte(strings.ToLower(body))) {
			continue
		}
		doc := file.Open(shown(f.Path), text)
		m := recipes.ReadMake(doc, d.voc)
		if err != nil || doc.Problems().HasErrors() {
			d.problems = append(d.problems, diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable,
				Summary: "the make `" + f.Name + "` cannot be read and is left out", Hint: "`advisor note outcome " + quoted(f.Name) + "` says what is wrong with it"})
			continue
		}
		for _, p := range d.unknownIn(m, shared) {
			p.Severity = diag.Warning
			d.problems, d.sources[doc.Name()] = append(d.problems, p), doc.Source()
			maps.DeleteFunc(m.Alterations, func(_ string, a engine.Altered) bool { return a.At == p.Range })
		}
		m.Name = f.Name
		all = append(all, m)
	}
	return all
}

func newNoteLearned(s streams) *cobra.Command {
	f, w := face{}, filter{}
	c := &cobra.Command{
		Use:   "learned",
		Short: "Show what your makes taught, down to each make",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.desk(s)
			if err != nil {
				return err
			}
			shared, own := rules.With(d.folders, d.voc)
			d.take(own...)
			all := d.makes("", shared)
			if err := d.done(); err != nil {
				return err
			}
			return learned(d, &f, &w, all)
		},
	}
	f.flags(c)
	f.book(c)
	c.Flags().StringVar(&w.body, "body", "", "only for this person")
	c.Flags().StringVar(&w.maker, "maker", "", "only what holds for this maker's patterns")
	c.Flags().StringVar(&w.recipe, "recipe", "", "only for this garment type")
	return c
}

// lessonLine is one lesson of `note learned --format json`.
type lessonLine struct {
	Body   string          `json:"body"`
	About  string          `json:"about"`
	Learns *engine.Learned `json:"learned"`
	Why    any             `json:"why"`
}

// learned asks for each person what was learned of each garment type and cloth, and of each maker.
func learned(d *desk, f *face, w *filter, all []*engine.Make) error {
	var abouts []string
	var lessons []*engine.Learned
	lines := []lessonLine{}
	add := func(body, about string, l *engine.Learned) {
		if len(l.Ease)+len(l.Usual)+len(l.Changed)+len(l.Drifts) > 0 {
			abouts, lessons = append(abouts, about), append(lessons, l)
			lines = append(lines, lessonLine{body, about, l, l.Why})
		}
	}
	units := quantity.Unit(f.units)
	for _, body := range theirs(all, func(m *engine.Make) string { return m.Body }) {
		if w.body != "" && !strings.EqualFold(w.body, body) && notebook.Slug(body) != w.body {
			continue
		}
		lesson := engine.Lesson{Body: body, Vocabulary: d.voc, Units: units}
		seen := map[string]bool{}
		for _, m := range all {
			if w.recipe != "" && w.recipe != m.Recipe || !strings.EqualFold(m.Body, body) {
				continue
			}
			found, err := d.library.Recipe(m.Recipe, d.voc)
			if err != nil {
				continue // a type that is gone teaches nothing
			}
			class := engine.ClothClass(m.Cloth, found.Recipe, d.voc)
			if about := found.Recipe.Title + " in " + class + ", for " + body; !seen[about] {
				seen[about] = true
				of := lesson
				of.Recipe, of.Cloth = found.Recipe, m.Cloth
				add(body, about, engine.LearnEase(all, of))
			}
		}
		lesson.Maker, lesson.Everyone = w.maker, w.maker == ""
		add(body, "Patterns, for "+body, engine.LearnHabits(all, lesson))
	}
	if f.format == "json" {
		return d.s.json(lines)
	}
	return d.s.show(report.Learned(abouts, lessons, units), f.color)
}

// theirs are the different words that makes have for something, in alphabetical order.
func theirs(all []*engine.Make, of func(*engine.Make) string) []string {
	var words []string
	for _, m := range all {
		words = append(words, of(m))
	}
	slices.Sort(words)
	return slices.Compact(words)
}
