package main

import (
	"cmp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
)

// making is what `note cut` is asked with besides the question.
type making struct {
	asking
	question.Making
}

func newNoteCut(s streams) *cobra.Command {
	m := &making{}
	c := &cobra.Command{
		Use:        "cut PATTERN --body BODY [--cloth CLOTH]",
		SuggestFor: []string{"make"},
		Short:      "Note a garment as you cut it",
		Long: "Asks for a size as `advisor size` does, and notes the pattern, the size, the size lines, the\n" +
			"alterations whose amounts are known, the cloth and the ease that comes of it. What you did\n" +
			"otherwise say with --size, --line and --alteration, and later with `advisor note worn` how\n" +
			"it came out.",
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			m.pattern = args[0]
			d, err := m.begin(s)
			if err != nil {
				return err
			}
			return m.note(d)
		},
	}
	m.flags(c)
	c.Flags().StringVar(&m.Size, "size", "", "the size you cut (default the one recommended)")
	c.Flags().StringVar(&m.Name, "name", "", "the name in the notebook (default made of the pattern and the day)")
	c.Flags().StringArrayVar(&m.Alterations, "alteration", nil, "what you altered, where that is not as advised: sway-back=1.5cm, full-seat=yes, sleeve-length=no (repeatable)")
	c.Flags().StringArrayVar(&m.Lines, "line", nil, "the size line you followed at a zone, where that is not as advised: waist=14 (repeatable)")
	return c
}

func (q *making) note(d *files) error {
	if _, err := d.kept(); err != nil {
		return err
	}
	r, err := q.personal(d)
	if err != nil {
		return err
	}
	m, k, name, err := q.Note(d.Files, r)
	if err != nil {
		return d.refusedNote(&r, err)
	}
	kind, _ := notebook.KindOf("sewn")
	next := append(k.Open(shown(d.Book.Path(kind, name))), "When it is made up: advisor note worn "+question.Quoted(name)+q.inBook()+" --feels ZONE=tight, right or roomy --measured ZONE=LENGTH.")
	return showMake(d.s, &q.display, m, name, r.Units, next)
}

// refusedNote tells why nothing was noted.
func (d *files) refusedNote(r *engine.Request, err error) error {
	if told := d.done(); told != nil {
		return told
	}
	return d.explained(r, err)
}

func showMake(s streams, f *display, m *engine.Make, name string, u quantity.Unit, next []string) error {
	if f.format == "json" {
		return s.json(map[string]string{"sewn": name})
	}
	return s.show(report.Make(m, name, u, next), f.color)
}

// outcome is what `note worn` is asked with.
type outcome struct {
	question.Outcome
	display
}

func newNoteWorn(s streams) *cobra.Command {
	o := &outcome{}
	c := &cobra.Command{
		Use:        "worn GARMENT [--feels hip=right]...",
		SuggestFor: []string{"outcome"},
		Short:      "Note how a garment came out, once it is worn",
		Args:       oneName("a garment that you cut", "advisor note worn quayside-skirt-2026-11-25 --feels hip=roomy"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := o.begin(s)
			if err != nil {
				return err
			}
			return o.note(d, args[0])
		},
	}
	c.Flags().StringArrayVar(&o.Feels, "feels", nil, "how it feels at a zone as you wear it: hip=tight, hip=right or hip=roomy (repeatable)")
	c.Flags().StringArrayVar(&o.Changed, "changed", nil, "what you changed after cutting: hip='took in 1 cm' (repeatable)")
	c.Flags().StringArrayVar(&o.Measured, "measured", nil, "what the made garment measures, washed, closed and not stretched, all round: hip=112cm (repeatable)")
	c.Flags().StringVar(&o.Worn, "worn", "", "whether it is worn: yes or no")
	c.Flags().StringVar(&o.Words, "words", "", "what else there is to say")
	o.flags(c)
	o.book(c)
	return c
}

func (o *outcome) note(d *files, name string) error {
	if _, err := d.kept(); err != nil {
		return err
	}
	m, err := o.Note(d.Files, name)
	if err != nil {
		return d.refusedNote(nil, err)
	}
	return showMake(d.s, &o.display, m, name, quantity.Unit(cmp.Or(o.units, o.set.Units)), []string{"See what was learned: advisor note learned --body " + question.Quoted(m.Body) + o.inBook() + "."})
}

func newNoteLearned(s streams) *cobra.Command {
	f, w := display{}, filter{}
	c := &cobra.Command{
		Use:   "learned",
		Short: "Show what the garments you sewed taught, down to each of them",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			all := d.Makes("")
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
func learned(d *files, f *display, w *filter, all []*engine.Make) error {
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
		lesson := engine.Lesson{Body: body, Vocabulary: d.Voc, Units: units}
		seen := map[string]bool{}
		for _, m := range all {
			if w.recipe != "" && w.recipe != m.Recipe || !strings.EqualFold(m.Body, body) {
				continue
			}
			found, err := d.Library.Recipe(m.Recipe, d.Voc)
			if err != nil {
				continue // a type that is gone teaches nothing
			}
			class := engine.ClothClass(m.Cloth, found.Recipe, d.Voc)
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
