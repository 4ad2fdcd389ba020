package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
)

// question is what `size` and `why` are asked, as typed.
type question struct {
	pattern, body, cloth string
	toile                string
	like, ease, over     []string
	with                 []string
	picture              string
	today                string
	face
}

// change lets a command be asked with facts changed.
func (q *question) change(c *cobra.Command) {
	c.Flags().StringArrayVar(&q.with, "with", nil, "what if: hip=104cm, cloth.stretch.across=30%, ease=closer, finished.waist_open=104cm (repeatable)")
}

// face is how an answer is shown, by flags or else as it is set.
type face struct {
	format, units, color string
	notebook             string
	command              *cobra.Command
	set                  configuration
}

func (q *question) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&q.body, "body", "", "the body: a file, a name in your notebook, or - for standard input (required)")
	f.StringVar(&q.cloth, "cloth", "", "the cloth: a file or a name in your notebook; without one, a cloth such as the recipe asks for is assumed")
	f.StringArrayVar(&q.like, "like", nil, "a garment that you like or not, and have measured: a file or a name in your notebook (repeatable)")
	q.wishFlags(f)
	q.face.flags(c)
	q.book(c)
}

// wishFlags are what is wanted, beneath what, and when.
func (q *question) wishFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&q.ease, "ease", nil, "the ease you want: drawn, closer, roomier, expected, liked, hip=6cm, hip=drawn+2cm (repeatable)")
	f.StringArrayVar(&q.over, "over", nil, "what you will wear beneath: a layer by name, or NAME=THICKNESS (repeatable)")
	f.StringVar(&q.toile, "toile", "", "the file of what you saw on a toile: its size is judged as the toile corrects it")
	f.StringVar(&q.today, "today", "", "the date to judge by, YYYY-MM-DD (default today)")
}

func (f *face) flags(c *cobra.Command) {
	f.unitless(c)
	c.Flags().StringVar(&f.units, "units", "", "cm or in (default the body file's)")
}

// book lets a command take names from a notebook.
func (f *face) book(c *cobra.Command) {
	c.Flags().StringVar(&f.notebook, "notebook", "", "the folder of your notebook (default where the system keeps your data)")
}

// inBook is how a command line names the notebook that was named on this one.
func (f *face) inBook() string {
	if f.notebook == "" {
		return ""
	}
	return " --notebook " + quoted(f.notebook)
}

// unitless are the flags of what is shown in the units it was written in.
func (f *face) unitless(c *cobra.Command) {
	f.command = c
	c.Flags().StringVar(&f.format, "format", "text", "text or json")
	c.Flags().StringVar(&f.color, "color", "auto", "auto, always or never")
}

// check refuses words that are none of the choices, and looks up what is set.
func (f *face) check() error {
	if err := oneOf("--format", f.format, "text", "json"); err != nil {
		return err
	}
	if err := oneOf("--color", f.color, "auto", "always", "never"); err != nil {
		return err
	}
	if err := oneOf("--units", f.units, "", "cm", "in"); err != nil {
		return err
	}
	set, err := configured(f.command, false)
	if err == nil && set.from != nil {
		f.set, f.format, f.units, f.color = set, set.Format, set.Units, set.Color
	}
	return err
}

func oneOf(flag, got string, choices ...string) error {
	var names []string
	for _, c := range choices {
		if c == got {
			return nil
		}
		if c != "" {
			names = append(names, c)
		}
	}
	return fmt.Errorf("%s is %s, not %q", flag, strings.Join(names, " or "), got)
}

// request reads all files and puts the question to the engine's terms.
func (q *question) request(d *desk) (engine.Request, error) {
	var r engine.Request
	shared, own := rules.With(d.folders, d.voc)
	go engine.Ahead(shared) // nobody waits for it
	d.take(own...)
	r.Vocabulary, r.Rules = d.voc, shared
	r.Pattern, r.Body, r.Cloth = d.pattern(q.pattern), d.body(q.body), d.cloth(q.cloth)
	r.Observed = d.observations(q.toile)
	r.Recipe = d.recipe(r.Pattern, q.pattern)
	if r.Recipe != nil {
		d.problems = append(d.problems, rules.Clashes(r.Recipe.Rules, shared)...)
	}
	for _, path := range q.like {
		if kept := d.garment(path, r.Recipe); kept != nil {
			r.Kept = append(r.Kept, kept)
		}
	}
	if r.Body != nil && r.Recipe != nil {
		d.problems = append(d.problems, recipes.UnknownAlterations(r.Body, r.Recipe.Rules, shared)...)
		if !d.problems.HasErrors() {
			d.problems = append(d.problems, recipes.SlipsFor(r.Body, d.voc, r.Recipe)...)
		}
	}
	if r.Body != nil && r.Pattern != nil {
		r.Makes = d.makes(r.Body.Name, shared)
		r.Usual = engine.LearnHabits(r.Makes, engine.Lesson{Body: r.Body.Name, Maker: r.Pattern.Maker, Vocabulary: d.voc}).Before()
	}
	if err := d.done(); err != nil {
		return r, err
	}
	return r, q.fitting(&r)
}

// fitting reads the words of the flags.
func (q *question) fitting(r *engine.Request) error {
	r.Units = quantity.Unit(q.units)
	switch {
	case r.Units != "":
	case r.Body != nil && r.Body.Units != "":
		r.Units = r.Body.Units
	default:
		r.Units = r.Pattern.Units
	}
	for _, text := range q.ease {
		w, err := r.Vocabulary.Limits.ParseWish(text, r.Units)
		if err != nil {
			return err
		}
		r.Wishes = append(r.Wishes, w)
	}
	for _, text := range q.over {
		l, err := r.Vocabulary.Limits.ParseLayer(text, r.Units)
		if err != nil {
			return err
		}
		r.Over = append(r.Over, l)
	}
	r.Today = cmp.Or(q.today, q.set.Today)
	if r.Today == "" {
		r.Today = time.Now().Format(time.DateOnly)
	}
	if _, err := time.Parse(time.DateOnly, r.Today); err != nil {
		return fmt.Errorf("--today is a date such as 2026-11-02, not %q", q.today)
	}
	return nil
}

// answer asks the engine for a size; with facts changed, for what moves too.
func (q *question) answer(d *desk) (*engine.Answer, error) {
	r, err := q.personal(d)
	if err != nil {
		return nil, err
	}
	toile := r.Observed
	r.Observed = nil
	r.Sure = len(q.with) == 0
	a, err := engine.Advise(r)
	if err != nil || q.asItIs() {
		return a, d.explained(&r, err)
	}
	before := a
	if r, err = q.changed(r); err != nil {
		return nil, err
	}
	r.Observed = toile
	r.Sure = true
	if a, err = engine.Advise(r); err != nil {
		return nil, d.explained(&r, err)
	}
	a.Moved = engine.Moved(before, a)
	return a, nil
}

// asItIs tells whether nothing is asked for otherwise: no fact changed, no toile sewn.
func (q *question) asItIs() bool { return len(q.with) == 0 && q.toile == "" }

// otherwise is what is otherwise, as typed.
func (q *question) otherwise() []string {
	if q.toile == "" {
		return q.with
	}
	return append(slices.Clone(q.with), "the toile of "+q.toile)
}

// personal is a request about a person.
func (q *question) personal(d *desk) (engine.Request, error) {
	if q.body == "" {
		return engine.Request{}, errors.New("whose body? Name one with --body, a file or a name in your notebook; the README shows how to write one")
	}
	r, err := q.request(d)
	r.Sure = true
	return r, err
}

// changed is the request with the facts of --with changed.
func (q *question) changed(r engine.Request) (engine.Request, error) {
	for _, text := range q.with {
		c, err := engine.ParseChange(text)
		if err != nil {
			return r, err
		}
		if r, err = r.With(c); err != nil {
			return r, err
		}
	}
	return r, nil
}

// explained adds to a refusal where it lies and how to mend it.
func (d *desk) explained(r *engine.Request, err error) error {
	var unknown *engine.UnknownError
	var noRow *engine.NoRowError
	var nobody *engine.NobodyError
	var rule *engine.RuleError
	var toile *engine.ToileError
	switch {
	case errors.As(err, &unknown):
		return d.refuse(unknown.At, unknown)
	case errors.As(err, &noRow):
		return d.refuse(r.Pattern.ChartAt, noRow)
	case errors.As(err, &nobody):
		return d.refuse(nobody.At, nobody)
	case errors.As(err, &toile):
		return d.refuse(toile.At, toile)
	case errors.As(err, &rule):
		return d.refused(rule.Diagnostic)
	}
	return err
}

func openDesk(s streams) (*desk, error) {
	voc, err := data.Vocabulary()
	if err != nil {
		return nil, err
	}
	return newDesk(s, voc), nil
}
