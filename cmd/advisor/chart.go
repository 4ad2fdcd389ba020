package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/html"
	"fitadvisor/explain/md"
	"fitadvisor/explain/svg"
	"fitadvisor/explain/text"
	"fitadvisor/recipes"
	"fitadvisor/rules"
)

// chartFlags is what `chart` is asked, as typed.
type chartFlags struct {
	display
	pattern, other, at string
	picture            string
	to, part           string
	out                string
	bodies             string // whom the pattern is to fit
	columns            string
	suggest            suggesting
	bare               quantity.Unit // of cells: what is set for reading answers says nothing of them
}

func newChart(s streams) *cobra.Command {
	q := &chartFlags{}
	c := &cobra.Command{
		Use:   "chart PATTERN | chart --suggest N --type TYPE --by MEASUREMENT --from LENGTH --to LENGTH",
		Short: "Look at a pattern's chart as its maker, or write it down to publish",
		Long: "Looks at a pattern's own chart: steps from size to size, slips of typing, ranges that overlap,\n" +
			"ease that drifts, a garment smaller than its body, openings that its own body cannot pass,\n" +
			"and who falls between two sizes. The exit code is 1 where an error is found. With --to it\n" +
			"writes the chart down instead: md or html for those who are to choose by it, jsonld for a\n" +
			"shop's page, csv, yaml or xlsx to go on with, whatever is found in it. With --bodies it tells\n" +
			"whom the pattern fits. With --suggest it proposes sizes for a pattern that is not drawn yet:\n" +
			"those that serve the most people.",
		Args: func(c *cobra.Command, args []string) error {
			if q.suggest.sizes != 0 && len(args) == 0 {
				return nil
			}
			return onePattern(c, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = first(args)
			return q.run(s)
		},
	}
	q.flags(c)
	q.book(c)
	f := c.Flags()
	f.StringVar(&q.other, "compare", "", "say how the chart differs from that of this pattern, a file or a name in your notebook, such as an earlier version")
	f.StringVar(&q.picture, "picture", "", "also draw steps and ease over the sizes into this SVG file, which replaces one that is there")
	f.StringVar(&q.to, "to", "", "write the chart down as md, html, jsonld, csv, yaml or xlsx; with --suggest the measurement up to which people are to be served")
	f.IntVar(&q.suggest.sizes, "suggest", 0, "propose so many sizes, those that serve the most people")
	f.StringVar(&q.suggest.recipeType, "type", "", "with --suggest: the garment type")
	f.StringVar(&q.suggest.by, "by", "", "with --suggest: the measurement of the body that the sizes differ by, such as hip")
	f.StringVar(&q.suggest.from, "from", "", "with --suggest: the measurement from which people are to be served, as in 90cm")
	f.StringVar(&q.at, "at", "", "with --compare: hold both charts beside one another where this measurement of the body, such as bust, is equal, whatever their sizes are called")
	f.StringVar(&q.part, "part", string(engine.OfBody), "body or finished: what --to csv writes")
	f.StringVar(&q.bodies, "bodies", "", "tell whom the pattern fits: of a table of bodies, - for standard input, or of "+populationNames())
	f.StringVar(&q.columns, "columns", "", "the file that says what the columns of that table hold")
	f.StringVarP(&q.out, "output", "o", "", "write to this file, which replaces one that is there")
	return c
}

// check refuses flags that do not go together.
func (q *chartFlags) check() error {
	if err := q.checkSuggest(); err != nil || q.suggest.sizes != 0 {
		return err
	}
	if err := oneOf("--to", q.to, "", "md", "html", "jsonld", "csv", "yaml", "xlsx"); err != nil {
		return err
	}
	if err := oneOf("--part", q.part, string(engine.OfBody), string(engine.OfFinished)); err != nil {
		return err
	}
	if err := q.checkBodies(); err != nil {
		return err
	}
	switch {
	case q.to != "" && q.other != "":
		return errors.New("--compare and --to do not go together: compare first, then write the chart down")
	case q.at != "" && q.other == "":
		return errors.New("--at says where two charts are equal: name the other one with --compare")
	case q.to == "xlsx" && q.out == "":
		return errors.New("which file? Name one with -o, as in `advisor chart skirt.yaml --to xlsx -o sizes.xlsx`")
	}
	return nil
}

func (q *chartFlags) run(s streams) error {
	if err := q.check(); err != nil {
		return err
	}
	q.bare = quantity.Unit(q.units)
	d, err := q.begin(s)
	if err != nil {
		return err
	}
	if q.suggest.sizes != 0 {
		return q.propose(s, d)
	}
	if q.bodies != "" {
		return q.cover(s, d)
	}
	p, a, err := q.inspect(d, q.pattern)
	if err != nil {
		return err
	}
	if err := q.draw(d, a); err != nil {
		return err
	}
	var written []byte
	switch {
	case q.to != "":
		written, err = q.write(d, p, a)
	case q.other != "":
		written, err = q.compare(d, s, a)
	default:
		written, err = q.shown(s, a, func() *explain.Document { return report.Chart(a, q.next(a)) })
	}
	if err != nil {
		return err
	}
	if err := q.put(d, written); err != nil {
		return err
	}
	return q.verdict(s, a)
}

// verdict is no where an error was found; whoever publishes such a chart is told.
// What is only brought into another form is not judged.
func (q *chartFlags) verdict(s streams, a *engine.Soundness) error {
	switch q.to {
	case "csv", "yaml", "xlsx":
		return nil
	}
	if a.Sound {
		return nil
	}
	if q.to != "" {
		s.say("The chart contradicts itself: `advisor chart %s` says where.\n", question.Quoted(q.pattern)+q.inBook())
	}
	return errNo
}

// read reads a pattern file and what it hangs on.
func (q *chartFlags) read(d *files, path string) (engine.Request, error) {
	r := engine.Request{Pattern: d.Pattern(path)}
	shared := d.Rules()
	r.Rules = shared
	if r.Recipe = d.TypeOf(r.Pattern, path); r.Recipe != nil {
		d.Tell(rules.Clashes(r.Recipe.Rules, shared)...)
	}
	if err := d.done(); err != nil {
		return r, err
	}
	r.Units, r.Vocabulary = cmp.Or(quantity.Unit(q.units), r.Pattern.Units), d.Voc
	return r, nil
}

// inspect looks at the chart of a pattern file.
func (q *chartFlags) inspect(d *files, path string) (*engine.Pattern, *engine.Soundness, error) {
	r, err := q.read(d, path)
	if err != nil {
		return nil, nil, err
	}
	a, err := engine.Inspect(r)
	return r.Pattern, a, d.explained(&r, err)
}

func (q *chartFlags) compare(d *files, s streams, a *engine.Soundness) ([]byte, error) {
	_, other, err := q.inspect(d, q.other)
	if err != nil {
		return nil, err
	}
	if q.at != "" {
		by, ok := d.Voc.Called(q.at)
		if !ok {
			return nil, &unknownWord{"--at", q.at, d.Voc.DidYouMean(q.at, d.Voc.BodyNames(), "")}
		}
		c, err := engine.Beside(a, other, by)
		if err != nil {
			return nil, err
		}
		return q.shown(s, c, func() *explain.Document { return report.ChartBeside(c, d.Voc) })
	}
	c := engine.CompareCharts(a, other)
	return q.shown(s, c, func() *explain.Document { return report.ChartChange(c) })
}

// shown is an answer as text or as JSON.
func (q *chartFlags) shown(s streams, answer any, lay func() *explain.Document) ([]byte, error) {
	var out bytes.Buffer
	if q.format == "json" {
		err := streams{out: &out}.json(answer)
		return out.Bytes(), err
	}
	err := text.Render(&out, lay(), text.Options{Color: q.out == "" && s.colored(q.color)})
	return out.Bytes(), err
}

// next is what a maker does with a chart that has been looked at.
func (q *chartFlags) next(a *engine.Soundness) []string {
	if !a.Sound {
		return []string{"Mend it, and look again: advisor chart " + question.Quoted(q.pattern) + q.inBook()}
	}
	return []string{"Write the tables for a booklet or a shop: advisor chart " + question.Quoted(q.pattern) + q.inBook() + " --to html -o sizes.html",
		"See which size one body takes: advisor size " + question.Quoted(q.pattern) + q.inBook() + " --body BODY"}
}

// write writes the chart down.
func (q *chartFlags) write(d *files, p *engine.Pattern, a *engine.Soundness) ([]byte, error) {
	var out bytes.Buffer
	var err error
	switch q.to {
	case "md":
		err = md.Write(&out, report.Booklet(a), md.Options{Title: report.BookletTitle(a)})
	case "html":
		err = html.Page(&out, report.Booklet(a), html.Options{Title: report.BookletTitle(a)})
	case "jsonld":
		e := json.NewEncoder(&out)
		e.SetIndent("", "  ") // what could end a script of a page is escaped
		err = e.Encode(report.Linked(a))
	case "csv":
		return recipes.WriteCSV(p, engine.Part(q.part), d.Voc), nil
	case "yaml":
		return recipes.WriteYAML(p, d.Voc)
	case "xlsx":
		return recipes.WriteSheets(p, d.Voc)
	}
	return out.Bytes(), err
}

// put writes to the file that was named, whole or not at all, else to standard output.
func (q *chartFlags) put(d *files, written []byte) error {
	if q.out == "" {
		_, err := d.s.out.Write(written)
		return err
	}
	return d.replace(q.out, written, publicly)
}

// publicly is the mode of a file that holds no body.
const publicly = 0o644

// draw writes the picture that was asked for, whole or not at all.
func (q *chartFlags) draw(d *files, a *engine.Soundness) error {
	if q.picture == "" {
		return nil
	}
	if len(a.Rows) == 0 {
		return fmt.Errorf("there is nothing to draw: %s has no rows", q.pattern)
	}
	return q.drawInto(d, report.ChartPicture(a))
}

// drawInto draws a document into the file of --picture.
func (q *chartFlags) drawInto(d *files, of *explain.Document) error {
	var drawn bytes.Buffer
	if err := svg.Write(&drawn, of, svg.Options{}); err != nil {
		return err
	}
	return d.replace(q.picture, drawn.Bytes(), publicly)
}
