package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// asking is what `size` and `why` are asked, as typed.
type asking struct {
	pattern, body, cloth string
	toile                string
	like, ease, over     []string
	with                 []string
	picture              string
	today                string
	all                  bool // of size: everything, not the short answer
	envelope             advice.Typed
	measured             map[string]*string // by measurement, as typed
	called               []string           // words for measurements that flags were called by
	display
}

// change lets a command be asked with facts changed.
func (q *asking) change(c *cobra.Command) {
	c.Flags().StringArrayVar(&q.with, "with", nil, "what if: hip=104cm, cloth.stretch.across=30%, ease=closer, finished.waist_open=104cm (repeatable)")
}

// display is how an answer is shown, by flags or else as it is set.
type display struct {
	format, units, color string
	notebook             string
	command              *cobra.Command
	set                  configuration
}

func (q *asking) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&q.body, "body", "", "the body: a file, a name in your notebook, or - for standard input; or type what you measured, as in --hip 104cm")
	f.StringVar(&q.cloth, "cloth", "", "the cloth: a file or a name in your notebook; without one, a cloth such as the recipe asks for is assumed")
	f.StringArrayVar(&q.like, "like", nil, "a garment that you like or not, and have measured: a file or a name in your notebook (repeatable)")
	q.wishFlags(f)
	f.StringVar(&q.toile, "toile", "", "the file of what you saw on a toile: its size is judged as the toile corrects it")
	q.display.flags(c)
	q.book(c)
}

// typed lets a command be asked without files: an envelope and a stretch in a line, and a flag for every measurement, which
// the help has under a topic of its own. Those wait until the command is the one asked for.
func (q *asking) typed(c *cobra.Command, s streams) {
	f := c.Flags()
	f.StringVar(&q.envelope.Type, "type", "", "instead of a pattern: the garment type, with --sizes, --chart and --drawn")
	f.StringVar(&q.envelope.Sizes, "sizes", "", "the sizes on the envelope, as in 8,10,12")
	f.StringArrayVar(&q.envelope.Chart, "chart", nil, "a row of the size chart, as in hip=36,37,38.5 (repeatable)")
	f.StringArrayVar(&q.envelope.Drawn, "drawn", nil, "the ease it is drawn with, as in hip+5in or bust-8%, or the garment as in hip=41,42,43.5 (repeatable)")
	f.StringArrayVar(&q.envelope.Stretch, "stretch", nil, "instead of a cloth: how far it stretches across, as in 40%, or along=20%, bias=30% (repeatable)")
	if s.late == nil {
		q.measurementFlags(f)
		return
	}
	s.late[c] = func() { q.measurementFlags(f) }
}

// measurementFlags are a flag for every measurement, which may be called by the other words for it too.
func (q *asking) measurementFlags(f *pflag.FlagSet) {
	voc, err := data.Vocabulary()
	if err != nil {
		return // every command says so
	}
	q.measured = map[string]*string{}
	own := map[string]bool{}
	f.VisitAll(func(flag *pflag.Flag) { own[flag.Name] = true })
	for _, name := range voc.BodyNames() {
		flag := strings.ReplaceAll(name, "_", "-")
		if !own[flag] {
			q.measured[name] = new(string)
			f.Var((*saidOnce)(q.measured[name]), flag, "your "+voc.Title(name))
			_ = f.SetAnnotation(flag, measurementFlag, nil) // no error: it is there
			own[flag] = true
		}
	}
	f.SetNormalizeFunc(func(_ *pflag.FlagSet, word string) pflag.NormalizedName {
		if own[word] || word == "help" { // which the command library adds to every command
			return pflag.NormalizedName(word)
		}
		if name, ok := voc.Called(word); ok && q.measured[name] != nil {
			flag := strings.ReplaceAll(name, "_", "-")
			if said := "--" + word + " is read as --" + flag; strings.ReplaceAll(word, "_", "-") != flag && !slices.Contains(q.called, said) {
				q.called = append(q.called, said)
			}
			return pflag.NormalizedName(flag)
		}
		return pflag.NormalizedName(word)
	})
}

// saidOnce is a measurement on the command line: which of two is meant nobody knows.
type saidOnce string

func (v *saidOnce) String() string { return string(*v) }
func (v *saidOnce) Type() string   { return "string" }
func (v *saidOnce) Set(text string) error {
	if *v != "" && *v != saidOnce(text) {
		return fmt.Errorf("it is given twice, as %s and as %s: keep one", *v, text)
	}
	*v = saidOnce(text)
	return nil
}

// measurementFlag marks flags that the help lists elsewhere.
const measurementFlag = "measurement"

// wishFlags are what is wanted, beneath what, and when.
func (q *asking) wishFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&q.ease, "ease", nil, "the ease you want: drawn, closer, roomier, expected, liked, hip=6cm, hip=drawn+2cm (repeatable)")
	f.StringArrayVar(&q.over, "over", nil, "what you will wear beneath: a layer by name, or NAME=THICKNESS (repeatable)")
	f.StringVar(&q.today, "today", "", "the date to judge by, YYYY-MM-DD (default today)")
}

func (f *display) flags(c *cobra.Command) {
	f.unitless(c)
	c.Flags().StringVar(&f.units, "units", "", "cm or in (default the body file's)")
}

// book lets a command take names from a notebook.
func (f *display) book(c *cobra.Command) {
	c.Flags().StringVar(&f.notebook, "notebook", "", "the folder of your notebook (default where the system keeps your data)")
}

// inBook is how a command line names the notebook that was named on this one.
func (f *display) inBook() string {
	if f.notebook == "" {
		return ""
	}
	return " --notebook " + question.Quoted(f.notebook)
}

// unitless are the flags of what is shown in the units it was written in.
func (f *display) unitless(c *cobra.Command) {
	f.command = c
	c.Flags().StringVar(&f.format, "format", "text", "text or json")
	c.Flags().StringVar(&f.color, "color", "auto", "auto, always or never")
}

// check refuses words that are none of the choices, and looks up what is set.
func (f *display) check() error {
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
func (q *asking) request(d *files) (engine.Request, error) {
	if err := q.readTyped(d); err != nil {
		return engine.Request{}, err
	}
	day, err := question.Day(cmp.Or(q.today, q.set.Today))
	if err != nil {
		return engine.Request{}, err
	}
	r, err := d.Request(question.Asked{Pattern: q.pattern, Body: q.body, Cloth: q.cloth, Toile: q.toile, Like: q.like},
		advice.Question{Typed: q.envelope, Ease: q.ease, Over: q.over, Units: quantity.Unit(q.units), Today: day})
	return r, cmp.Or(d.done(), err)
}

// readTyped takes what is typed in place of files, and refuses both for the same.
func (q *asking) readTyped(d *files) error {
	q.envelope.Units, q.envelope.Body = q.units, map[string]string{}
	for name, text := range q.measured {
		if *text != "" {
			q.envelope.Body[name] = *text
		}
	}
	for _, said := range q.called {
		d.Tell(diag.Diagnostic{Severity: diag.Note, Code: file.OtherWord, Summary: said})
	}
	switch {
	case q.pattern != "" && q.envelope.Type != "":
		return errors.New("a pattern file says its type itself: name the pattern, or its --type, and not both")
	case q.pattern == "" && q.envelope.Type == "":
		return errors.New("which pattern? Name its file or its name in your notebook, or what the envelope says: --type gathered-skirt --sizes 8,10,12 --chart hip=36,37,38.5 --drawn hip+5in")
	case q.body != "" && len(q.envelope.Body) > 0:
		return errors.New("whose measurements? Name a body, or type the measurements; to change one of a body's, say --with hip=104cm")
	case q.cloth != "" && len(q.envelope.Stretch) > 0:
		return errors.New("a cloth file says its stretch itself: name the cloth, or its --stretch, and not both")
	}
	return nil
}

// answer asks the engine for a size; with facts changed, for what moves too.
func (q *asking) answer(d *files) (*engine.Answer, error) {
	r, err := q.personal(d)
	if err != nil {
		return nil, err
	}
	a, err := d.Answer(r, q.with)
	return a, cmp.Or(d.done(), err)
}

// unchanged tells whether nothing is asked for otherwise: no fact changed, no toile sewn.
func (q *asking) unchanged() bool { return len(q.with) == 0 && q.toile == "" }

// otherwise is what is otherwise, as typed.
func (q *asking) otherwise() []string {
	if q.toile == "" {
		return q.with
	}
	return append(slices.Clone(q.with), "the toile of "+q.toile)
}

// personal is a request about a person.
func (q *asking) personal(d *files) (engine.Request, error) {
	r, err := q.request(d)
	if err == nil && r.Body == nil {
		err = errors.New("whose body? Type what you measured, as in --hip 104cm --waist 74cm (`advisor help measurements` has all of them), or name a body with --body, a file or a name in your notebook: `advisor measure NAME` writes one")
	}
	r.Sure = true
	return r, err
}

// changed is the request with the facts of --with changed.
func (q *asking) changed(d *files, r engine.Request) (engine.Request, error) {
	r, err := d.Changed(r, q.with)
	return r, cmp.Or(d.done(), err)
}

// explained adds to a refusal where it lies and how to mend it.
func (d *files) explained(r *engine.Request, err error) error {
	if p, ok := advice.Explain(r, err); ok {
		return d.refused(p)
	}
	return err
}

func openFiles(s streams) (*files, error) {
	voc, err := data.Vocabulary()
	if err != nil {
		return nil, err
	}
	return newFiles(s, voc), nil
}
