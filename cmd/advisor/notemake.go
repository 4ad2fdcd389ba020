package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"os"
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
		Long: "Asks for a size as `advisor size` does, and notes the pattern, the size, the cloth and the ease\n" +
			"as planned. Say with --alteration what you altered, and later with `advisor note outcome` how it came out.",
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
	c.Flags().StringArrayVar(&m.alterations, "alteration", nil, "an alteration: sway-back=1.5cm, or sway-back alone (repeatable)")
	c.Flags().StringArrayVar(&m.lines, "line", nil, "the size line you followed at a zone, where it is another: waist=14 (repeatable)")
	return c
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
	a, err := engine.Advise(r)
	if err != nil {
		return d.explained(&r, err)
	}
	at, err := q.chosen(a)
	if err != nil {
		return err
	}
	name := cmp.Or(q.name, notebook.Slug(r.Pattern.Name+" "+r.Today))
	if err := notebook.CheckName(name); err != nil {
		return err
	}
	text, err := q.text(a, at, &r)
	if err != nil {
		return err
	}
	m := readMake(d, "the make", text)
	if err := d.done(); err != nil {
		return err
	}
	kind, _ := notebook.KindOf("make")
	if name, err = book.Add(kind, name, text); err != nil {
		return err
	}
	return showMake(d.s, &q.face, m, name, r.Units, []string{"When it is made up: advisor note outcome " + quoted(name) + " --feels ZONE=tight, right or roomy --measured ZONE=LENGTH."})
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
func (q *making) text(a *engine.Answer, at *engine.SizeAnswer, r *engine.Request) ([]byte, error) {
	e := &edits{name: "the make", text: []byte("kind: make\n")}
	set := func(text string, path ...string) {
		if text != "" {
			e.setText(text, path...)
		}
	}
	set(cmp.Or(a.Pattern, "no name"), "name")
	e.set(r.Today, "made")
	set(a.Pattern, "pattern")
	set(a.Maker, "maker")
	set(a.Recipe, "recipe")
	set(a.Body, "body", "name")
	set(r.Body.Taken, "body", "taken")
	set(at.Size, "size")
	for _, text := range q.lines {
		zone, size, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("cannot read --line %q: write it as in waist=14", text)
		}
		set(strings.TrimSpace(size), "lines", strings.TrimSpace(zone))
	}
	for _, text := range q.alterations {
		id, amount, _ := strings.Cut(text, "=")
		set(cmp.Or(strings.TrimSpace(amount), "yes"), "alterations", strings.TrimSpace(id))
	}
	clothText(e, r.Cloth)
	set(a.Wish, "wish")
	for i := range at.Zones {
		if z := &at.Zones[i]; z.Ease != nil && !z.Estimated && !z.Overlap {
			e.set(easeText(z), "ease", z.Zone)
			e.set(quantity.FromCm(*z.Finished).Exact(quantity.Cm), "finished", z.Zone)
		}
	}
	return e.text, e.err
}

func easeText(z *engine.ZoneAnswer) string {
	if z.Unit == "percent" {
		return strconv.FormatFloat(*z.Ease, 'f', -1, 64) + " %"
	}
	return quantity.FromCm(*z.Ease).Exact(quantity.Cm)
}

// clothText writes down what is to be known later of a cloth.
func clothText(e *edits, c *engine.Cloth) {
	if c == nil {
		return
	}
	if c.Name != "" {
		e.setText(c.Name, "cloth", "name")
	}
	e.set(string(c.Structure), "cloth", "structure")
	for _, way := range []struct {
		name string
		v    *float64
	}{{"across", c.Across}, {"along", c.Along}} {
		if way.v != nil {
			e.set(strconv.FormatFloat(*way.v, 'f', -1, 64)+" %", "cloth", "stretch", way.name)
		}
	}
}

func readMake(d *desk, name string, text []byte) *engine.Make {
	doc := file.Open(name, text)
	m := recipes.ReadMake(doc, d.voc)
	d.take(doc)
	return m
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
	kind, _ := notebook.KindOf("make")
	path, err := book.Find(kind, name)
	if err != nil {
		return err
	}
	text, err := d.read(path)
	if err != nil {
		return err
	}
	readMake(d, shown(path), text)
	if err := d.done(); err != nil {
		return err
	}
	e := &edits{name: shown(path), text: text}
	if err := o.write(e); err != nil {
		return err
	}
	m := readMake(d, shown(path), e.text)
	if err := d.done(); err != nil {
		return err
	}
	if !bytes.Equal(text, e.text) {
		if err := book.Save(path, text, e.text); err != nil {
			return err
		}
	}
	return showMake(d.s, &o.face, m, name, quantity.Unit(cmp.Or(o.units, o.set.Units)), []string{"See what was learned: advisor note learned --body " + quoted(m.Body) + "."})
}

// write sets what is told.
func (o *outcome) write(e *edits) error {
	if err := oneOf("--worn", o.worn, "", "yes", "no"); err != nil {
		return err
	}
	if o.worn != "" {
		e.set(strconv.FormatBool(o.worn == "yes"), "outcome", "worn")
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
			e.setText(strings.TrimSpace(value), "outcome", told.flag, strings.TrimSpace(zone))
		}
	}
	if o.words != "" {
		e.setText(o.words, "outcome", "words")
	}
	return e.err
}

// makes reads the makes of the notebook that are for a person. One that cannot be read is set aside, and named.
func (d *desk) makes(body string) []*engine.Make {
	if d.from != nil || d.book.Dir == "" {
		return nil
	}
	kind, _ := notebook.KindOf("make")
	files, err := d.book.Files(kind)
	if err != nil {
		d.problems = append(d.problems, diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable, Summary: err.Error()})
	}
	var all []*engine.Make
	for _, f := range files {
		text, err := os.ReadFile(f.Path)
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
			all := d.makes("")
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
		lesson.Maker = w.maker
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
