package main

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
)

// populationNames are those that --bodies knows.
func populationNames() string {
	var names []string
	for _, p := range data.Populations() {
		names = append(names, p.Name)
	}
	return strings.Join(names, ", ")
}

// checkBodies refuses what does not go with --bodies, or not without it.
func (q *chartFlags) checkBodies() error {
	switch {
	case q.bodies == "" && q.columns != "":
		return errors.New("--columns says what a table of bodies holds: name the table with --bodies")
	case q.bodies != "" && (q.to != "" || q.other != "" || q.picture != ""):
		return errors.New("--bodies asks whom the pattern fits: leave out --to, --compare and --picture")
	case q.bodies == "-" && q.pattern == "-":
		return errors.New("standard input can be read for one file only")
	}
	return nil
}

// cover tells whom the pattern fits.
func (q *chartFlags) cover(s streams, d *files) error {
	r, err := q.read(d, q.pattern)
	if err != nil {
		return err
	}
	survey, done, err := q.survey(d, r.Units)
	if err != nil {
		return err
	}
	a, err := engine.Cover(r, survey)
	if bad := done(); bad != nil {
		return bad
	}
	var lacking *engine.UnknownError
	if errors.As(err, &lacking) {
		return d.refuse(survey.At, &columnError{lacking})
	}
	if err != nil {
		return d.explained(&r, err)
	}
	written, err := q.shown(s, a, func() *explain.Document {
		return report.Coverage(a, []string{"Ask for each body of such a table: advisor batch " + question.Quoted(q.pattern) + q.inBook() + " --bodies BODIES.csv -o sizes.csv",
			"Look at the chart itself: advisor chart " + question.Quoted(q.pattern) + q.inBook()})
	})
	if err != nil {
		return err
	}
	return q.put(d, written)
}

// columnError says that nobody could be looked at, and how to mend it.
type columnError struct{ *engine.UnknownError }

// Hint says what is wanted of the table.
func (e *columnError) Hint() string {
	return fmt.Sprintf("name a table of bodies with a column that holds the `%s`; a file named with --columns says which one does", e.Measurement)
}

// survey opens the bodies to look at; done closes them, and tells what is wrong
// with them once they have been read.
func (q *chartFlags) survey(d *files, units quantity.Unit) (s engine.Survey, done func() error, err error) {
	populations := data.Populations()
	if i := slices.IndexFunc(populations, func(p engine.Population) bool { return p.Name == q.bodies }); i >= 0 {
		if q.columns != "" {
			return s, nil, fmt.Errorf("--columns is for a table: what is known of %s is known already", q.bodies)
		}
		return populations[i].Survey(populations, d.Voc, units), func() error { return nil }, nil
	}
	in, name, err := q.table(d)
	if err != nil {
		return s, nil, err
	}
	columns, take := d.readColumns(q.columns)
	if err := d.done(); err != nil {
		in.Close()
		return s, nil, err
	}
	table, header := recipes.OpenSurvey(name, in, columns, q.bare, d.Voc)
	d.Take(header)
	take()
	if err := d.done(); err != nil {
		in.Close()
		return s, nil, err
	}
	s = engine.Survey{Name: name, At: header.Start(), Weighted: table.Weighted()}
	if columns != nil {
		s.About, s.Source = columns.About, columns.Source
	}
	var reading error
	s.People = people(d, table, &reading)
	return s, func() error {
		in.Close()
		if err := d.done(); err != nil {
			return err
		}
		return reading
	}, nil
}

// table opens the table of bodies.
func (q *chartFlags) table(d *files) (io.ReadCloser, string, error) {
	if q.bodies == "-" {
		return io.NopCloser(d.s.in), "standard input", nil
	}
	if d.From != nil {
		f, err := d.From.Open(q.bodies)
		return f, q.bodies, err
	}
	d.Inputs.Read(q.bodies)
	f, err := os.Open(q.bodies)
	if err != nil {
		return nil, "", &question.UnreadableError{Path: q.bodies, Err: err}
	}
	return f, q.bodies, nil
}

// readColumns reads what the columns hold, if a file says so; take keeps what is
// found wrong with it afterwards.
func (d *files) readColumns(path string) (c *recipes.Columns, take func()) {
	if path == "" {
		return nil, func() {}
	}
	doc := d.Open(path, "columns")
	if doc == nil {
		return nil, func() {}
	}
	c = recipes.ReadColumns(doc, d.Voc)
	d.Take(doc)
	told := len(doc.Problems())
	return c, func() { d.Problems = append(d.Problems, doc.Problems()[told:]...) }
}

// people reads bodies until something is wrong with more lines than are told of.
func people(d *files, table *recipes.Survey, reading *error) iter.Seq[engine.Person] {
	return func(yield func(engine.Person) bool) {
		for len(d.Problems) <= mostLines {
			line, err := table.Next()
			if err != nil {
				if !errors.Is(err, io.EOF) {
					*reading = err
				}
				return
			}
			p, ok, problems := table.Person(line)
			d.Tell(problems...)
			if ok && !problems.HasErrors() && !yield(p) {
				return
			}
		}
	}
}

// mostLines are enough to see what is wrong with a table.
const mostLines = 20
