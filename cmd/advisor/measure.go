package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// measureFlags is what `measure` is asked, as typed.
type measureFlags struct {
	recipe, over string
	set          []string
	dated
}

// dated is a face for what is written on a day into a notebook.
type dated struct {
	today string
	display
}

func (t *dated) flags(c *cobra.Command) {
	c.Flags().StringVar(&t.today, "today", "", "the date, YYYY-MM-DD (default today)")
	t.display.flags(c)
	t.book(c)
}

// date settles the day it is.
func (t *dated) date() (string, error) {
	return question.Day(cmp.Or(t.today, t.set.Today))
}

func newMeasure(s streams) *cobra.Command {
	m := &measureFlags{}
	c := &cobra.Command{
		Use:   "measure NAME [--for RECIPE] [--set waist=74cm]...",
		Short: "Measure a body, and keep it in your notebook",
		Long: "Asks for one measurement at a time, says how to hold the tape, and saves after each, so that\n" +
			"you can stop and go on later. What was measured before is kept with its day. With --set\n" +
			"nothing is asked.",
		Args: oneName("the body by a name of your own", "advisor measure wren --for gathered-skirt"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := m.begin(s)
			if err != nil {
				return err
			}
			t, err := m.sitting(d, args[0])
			if err != nil {
				return err
			}
			if len(m.set) > 0 {
				err = t.given(m.set)
			} else {
				err = m.asking(d, t)
			}
			if err != nil {
				return err
			}
			return t.show(m)
		},
	}
	c.Flags().StringVar(&m.recipe, "for", "", "only what this garment type can use (default every measurement)")
	c.Flags().StringArrayVar(&m.set, "set", nil, "a measurement: waist=74cm, 'waist=[74 cm, 74.5 cm]', 'upper_arm={left: 12 in, right: 12 1/4 in}' (repeatable)")
	c.Flags().StringVar(&m.over, "measured-over", "", "what is worn beneath the tape, as in 'everyday bra'")
	m.flags(c)
	return c
}

// sitting is one body being measured on one day. It is saved after each measurement.
type sitting struct {
	d     *files
	book  notebook.Book
	name  string // of the file
	path  string
	text  []byte // as it was read or saved last; nil: there is none yet
	body  *engine.Body
	rules []*engine.Rule
	units quantity.Unit // of bare numbers
	today string
	over  string
	taken []string // in this sitting
	said  []engine.Caution
	hem   string // the length of the garment whose hem is asked for; empty: none
	fresh bool   // the body was not in the notebook before

	doubts []string // that have been told
}

// sitting opens the body's file, if there is one.
func (m *measureFlags) sitting(d *files, name string) (*sitting, error) {
	book, err := d.kept()
	if err != nil {
		return nil, err
	}
	if err := notebook.CheckName(name); err != nil {
		return nil, err
	}
	if m.recipe != "" {
		_, _ = d.Find(m.recipe, d.FolderOf(".")) // it may declare measurements; a missing one is reported where it is asked for
	}
	shared := d.Rules()
	t := &sitting{d: d, book: book, name: name, rules: shared, units: quantity.Unit(m.units), over: m.over}
	if t.today, err = m.date(); err != nil {
		return nil, err
	}
	kind, _ := notebook.KindOf("body")
	t.path = book.Path(kind, name)
	if t.text, err = file.ReadPath(t.path, file.MaxBytes); err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, &question.UnreadableError{Path: shown(t.path), Err: err}
		}
		t.text, t.body, t.fresh = nil, &engine.Body{Name: name, Taken: t.today}, true
		return t, d.done()
	}
	t.body = t.read(t.text)
	if t.body != nil && t.units == "" {
		t.units = t.body.Units
	}
	return t, d.done()
}

// read reads the text of the body's file; what is wrong is among the problems of the files.
func (t *sitting) read(text []byte) *engine.Body {
	doc := file.Open(shown(t.path), text)
	b := recipes.ReadBody(doc, t.d.Voc)
	t.d.Take(doc)
	return b
}

// given takes the measurements of --set, and saves all of them or none.
func (t *sitting) given(set []string) error {
	before := t.text
	for _, text := range set {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return fmt.Errorf("cannot read --set %q: write it as in waist=74cm", text)
		}
		n, err := t.tried(t.d.Word("set", strings.TrimSpace(name)), strings.TrimSpace(value))
		if err != nil {
			return err
		}
		t.accept(n)
		t.said = append(t.said, n.cautions...)
	}
	return t.book.Save(t.path, before, t.text)
}

// noted is a measurement that is written down, and not saved yet.
type noted struct {
	name     string
	text     []byte // of the file
	body     *engine.Body
	cautions []engine.Caution
	doubted  bool // which has been told
}

// keep saves what is noted.
func (t *sitting) keep(n noted) error {
	if err := t.book.Save(t.path, t.text, n.text); err != nil {
		return err
	}
	t.accept(n)
	return nil
}

// accept goes on from what is noted.
func (t *sitting) accept(n noted) {
	t.text, t.body = n.text, n.body
	if !slices.Contains(t.taken, n.name) {
		t.taken = append(t.taken, n.name)
	}
}

// about are the cautions on a measurement, and those on no single one.
func about(all []engine.Caution, name string) []engine.Caution {
	return slices.DeleteFunc(all, func(c engine.Caution) bool { return c.Zone != "" && c.Zone != name })
}

// tried is the file with a measurement in it, once it is sure that it can be read. It says what is doubtful, each doubt
// once.
func (t *sitting) tried(name, value string) (n noted, err error) {
	n.name = name
	if n.text, err = t.with(name, value); err != nil {
		return n, err
	}
	n.body = t.read(n.text)
	t.d.Problems = slices.DeleteFunc(t.d.Problems, func(p diag.Diagnostic) bool { return slices.Contains(t.doubts, p.Summary) })
	for _, p := range t.d.Problems {
		t.doubts, n.doubted = append(t.doubts, p.Summary), true
	}
	if err := t.d.done(); err != nil {
		return n, err
	}
	cautions, err := engine.CheckBody(n.body, t.rules, t.d.Voc, engine.Fitting{Units: t.units})
	n.cautions = about(cautions, name)
	return n, err
}

// with writes a measurement into the text of the file.
func (t *sitting) with(name, value string) ([]byte, error) {
	if t.text == nil {
		return t.begun(name, value)
	}
	return recipes.Retake(file.Open(shown(t.path), t.text), t.body, recipes.Retaking{Measurement: name, Value: value, Day: t.today, Over: t.over}, t.d.Voc)
}

// begun is a new file with its first measurement.
func (t *sitting) begun(name, value string) ([]byte, error) {
	e := &file.Edits{Name: shown(t.path), Text: []byte("kind: body\n")}
	e.SetText(t.name, "name")
	e.Set(t.today, "taken")
	if t.units != "" {
		e.Set(string(t.units), "units")
	}
	if t.over != "" {
		e.SetText(t.over, "measured_over")
	}
	e.Set(value, "measurements", name)
	return e.Text, e.Err
}

// show says what was saved, and what to do with it.
func (t *sitting) show(m *measureFlags) error {
	h := engine.HistoryOf(t.body, t.d.Voc, t.today)
	if m.format == "json" {
		return t.d.s.json(h)
	}
	next := []string{"See all of it, with what changed: advisor note body " + question.Quoted(t.name) + m.inBook() + "."}
	if len(t.taken) > 1 && t.fresh {
		next = append(next, "Expect several sizes: each measurement may name another on a chart. That is normal, since a chart is one body, and nobody's is that one.")
	}
	if len(t.taken) > 0 {
		next = append([]string{"Ask for a size: advisor size PATTERN --body " + question.Quoted(t.name) + m.inBook() + "."}, next...)
	}
	return t.d.s.show(report.Measured(h, t.taken, shown(t.path), t.units, t.said, next), m.color)
}

// wantedHem stands among the measurements that are asked for, for where the hem is to end.
const wantedHem = "wanted"

// errEnough ends asking before all is asked.
var errEnough = errors.New("enough")

// asking asks for what is not taken yet today, one measurement at a time.
func (m *measureFlags) asking(d *files, t *sitting) error {
	names, hem, before := d.Voc.Asked(), "", 0
	if m.recipe != "" {
		found, err := d.Find(m.recipe, d.FolderOf("."))
		if err != nil {
			return err
		}
		d.Take(found.Doc)
		if err := d.done(); err != nil {
			return err
		}
		groups := found.Recipe.Asks(d.Voc, d.Rules())
		hem, before = found.Recipe.HemLength(), len(groups[0])+len(groups[1])
		names = slices.Concat(groups...)
	}
	todo := make([]string, 0, len(names)+1)
	for k, name := range names {
		if _, there := t.body.Measurements[name]; !there || t.text == nil || t.body.TakenOn(name) != t.today {
			todo = append(todo, name)
		}
		if _, there := t.body.Wanted[hem]; k+1 == before && hem != "" && !there {
			todo = append(todo, wantedHem)
		}
	}
	t.hem = hem
	i := newInterview(d.s)
	err := t.interview(i, todo, len(names)-len(slices.DeleteFunc(slices.Clone(todo), func(name string) bool { return name == wantedHem })))
	if errors.Is(err, io.EOF) || errors.Is(err, errEnough) {
		i.say("Stopped. What was saved is kept; the same command goes on from here.")
		return nil
	}
	return err
}

// interview asks for measurements; done is how many have been taken before.
func (t *sitting) interview(i *interview, todo []string, done int) error {
	i.say("Stand as you do every day, over the underwear you will wear beneath, the tape level and close, not tight. " +
		"Each is read twice. Enter leaves a measurement out, `stop` ends.")
	if done > 0 {
		i.say(fmt.Sprintf("Taken already today: %d.", done))
	}
	if t.units == "" && len(todo) > 0 {
		if err := t.askUnits(i); err != nil {
			return err
		}
	}
	for n, name := range todo {
		ask := t.askFor
		if name == wantedHem && t.text == nil {
			continue // there is no body yet to wish for
		}
		if name == wantedHem {
			name, ask = t.hem, t.askHem
			i.say(fmt.Sprintf("%d of %d: where the hem is to end. Say a place and how far from it, as in `5 cm below the knee` or `at the ankle`, or how long the garment is to be, as in `62 cm`. The places: the %s.",
				done+n+1, done+len(todo), strings.Join(t.d.Voc.Places(name), ", the ")))
		} else {
			i.say(fmt.Sprintf("%d of %d: %s. %s", done+n+1, done+len(todo), t.d.Voc.Title(name), t.d.Voc.Measure(name).How))
		}
		if err := ask(i, name); err != nil {
			return err
		}
	}
	return nil
}

func (t *sitting) askUnits(i *interview) (err error) {
	t.units, err = i.askUnit("In which unit do you measure, cm or in? ")
	return err
}

// askFor asks for one measurement until it is saved, or left out.
func (t *sitting) askFor(i *interview, name string) error {
	for {
		value, err := t.readings(i, name)
		if err != nil || value == "" {
			return err
		}
		told := len(t.doubts)
		n, err := t.tried(name, value)
		if errors.Is(err, errReported) {
			t.doubts = t.doubts[:told] // it has been told; ask anew
			continue
		}
		if err != nil {
			return err
		}
		for _, c := range n.cautions {
			if c.Severity == engine.Warn {
				n.doubted = true
				i.say(c.Say + " " + c.Fix)
			}
		}
		if n.doubted {
			answer, err := i.ask("  Keep it all the same (y), or measure again (Enter)? ")
			if err != nil {
				return err
			}
			if !strings.HasPrefix(strings.ToLower(answer), "y") {
				t.doubts = t.doubts[:told]
				continue
			}
		}
		return t.keep(n)
	}
}

// askHem asks how long the garment is to be, or where on you it is to end, until that is saved or left out.
func (t *sitting) askHem(i *interview, name string) error {
	for {
		answer, err := i.ask("  The hem: ")
		if err != nil || answer == "" {
			return err
		}
		if _, err := quantity.ParseLength(answer, ""); err != nil {
			if _, bare := quantity.ParseLength(answer, t.units); bare == nil {
				answer += " " + string(t.units)
			}
		}
		value, err := file.Plain(answer)
		if err != nil {
			i.say(report.Capital(err.Error()) + ".")
			continue
		}
		text, err := file.Open(shown(t.path), t.text).Set(value, "wanted", name)
		if err != nil {
			return err
		}
		body := t.read(text)
		if err := t.d.done(); errors.Is(err, errReported) {
			continue
		} else if err != nil {
			return err
		}
		if err := t.book.Save(t.path, t.text, text); err != nil {
			return err
		}
		t.text, t.body = text, body
		return nil
	}
}

// readings asks for two readings, and for a third where they differ by more than two careful ones do. It is empty where the
// measurement is left out.
func (t *sitting) readings(i *interview, name string) (string, error) {
	m := t.d.Voc.Measure(name)
	if m.Kind == engine.Angle {
		return t.slope(i)
	}
	first, a, err := t.reading(i, "  First reading: ")
	if err != nil || first == "" {
		return "", err
	}
	second, b, err := t.reading(i, "  The tape put on anew, second reading: ")
	switch {
	case err != nil:
		return "", err
	case second == "":
		return bracketed(first)
	case max(a-b, b-a) <= t.d.Voc.ReadingsApart(m, t.body.MeasuredBy):
		return bracketed(first, second)
	}
	i.say(fmt.Sprintf("They lie %s apart, more than the %s of two careful ones.", max(a-b, b-a).Format(t.units), quantity.FormatCm(t.d.Voc.ReadingsApart(m, t.body.MeasuredBy).Cm(), t.units)))
	third, _, err := t.reading(i, "  Third reading: ")
	switch {
	case err != nil:
		return "", err
	case third == "":
		return bracketed(first, second)
	}
	return bracketed(first, second, third)
}

// slope asks how far a shoulder falls, or at which angle; a small figure without a unit is a drop in the units of the sitting.
func (t *sitting) slope(i *interview) (string, error) {
	text, err := i.ask("  How far it falls, as in 4.5 cm or 1 3/4 in; or in degrees, as in 22 degrees: ")
	if err != nil || text == "" {
		return "", err
	}
	_, whole := quantity.ParseLength(text, "")
	if l, err := quantity.ParseLength(text, quantity.Cm); err == nil && whole != nil && l.Cm() < t.d.Voc.Limits.LeastSlope {
		text += " " + string(t.units)
	}
	return bracketed(text)
}

// bracketed is how readings are written in a file: one alone, several in brackets, a decimal comma in quotes.
func bracketed(readings ...string) (string, error) {
	written := make([]string, len(readings))
	for i, r := range readings {
		var err error
		if written[i], err = file.Plain(r); err != nil {
			return "", err
		}
	}
	if len(written) == 1 {
		return written[0], nil
	}
	return "[" + strings.Join(written, ", ") + "]", nil
}

// reading asks for a length until there is one, or nothing.
func (t *sitting) reading(i *interview, prompt string) (string, quantity.Length, error) {
	for {
		text, err := i.ask(prompt)
		if err != nil || text == "" {
			return "", 0, err
		}
		l, err := quantity.ParseLength(text, t.units)
		if err == nil && l > 0 {
			if _, bare := quantity.ParseLength(text, ""); bare != nil && t.units != t.body.Units && t.text != nil {
				text += " " + string(t.units)
			}
			return text, l, nil
		}
		if err == nil {
			err = errors.New("a measurement is more than nothing")
		}
		i.say(report.Capital(err.Error()) + ".")
	}
}
