package recipes

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
	"fitadvisor/rules/shape"
)

// What can be wrong with the columns of somebody else's table.
const (
	noSuchColumn diag.Code = "FA0371"
	badWeight    diag.Code = "FA0372"
)

// Columns says what the columns of somebody else's table of bodies hold.
type Columns struct {
	Units  quantity.Unit // of cells without a unit
	About  string        // whom the bodies stand for
	Source string

	as     map[string]string // the measurement, `age` or `name`, by column
	only   map[string][]string
	weight string
	keys   []file.Value // where a column is named, in order
}

// ReadColumns takes such a file apart. Problems are left in the doc.
func ReadColumns(doc *file.Doc, voc *engine.Vocabulary) *Columns {
	r := &reader{doc, voc}
	m := r.start("columns")
	if m == nil {
		return nil
	}
	m.Get("kind").OneOf("columns")
	c := &Columns{as: map[string]string{}, only: map[string][]string{}}
	c.Units = r.units(m.Get("units"))
	c.About, c.Source = m.Get("about").Text(), m.Get("source").Text()
	r.columns(c, m.Need("columns"))
	only := m.Get("only").Map()
	for _, k := range only.Keys() {
		for _, v := range only.Get(k.Text()).Each() {
			c.only[k.Text()] = append(c.only[k.Text()], strings.TrimSpace(v.Text()))
		}
		c.keys = append(c.keys, k)
	}
	if weight := m.Get("weight"); weight.Text() != "" {
		c.weight = weight.Text()
		c.keys = append(c.keys, weight)
	}
	m.Close("a columns file")
	return c
}

// columns reads which measurement each column holds.
func (r *reader) columns(c *Columns, v file.Value) {
	held := v.Map()
	for _, k := range held.Keys() {
		of := held.Need(k.Text()).ReadAs(r.voc.Called)
		name := of.Text()
		switch {
		case !of.Exists(): // which is told
			continue
		case name != ageColumn && name != nameColumn:
			if _, ok := r.measure(of); !ok {
				continue
			}
		}
		for _, other := range c.as {
			if other == name {
				of.Problem(thereTwice, "two columns are said to hold the `"+name+"`", "keep the one that was measured as `advisor measure` says")
			}
		}
		c.as[k.Text()] = name
		c.keys = append(c.keys, k)
	}
}

// Survey is a table of bodies, each of which may stand for many people, that is
// read a line at a time.
type Survey struct {
	*Bodies
	weight int      // the place of the weights; -1: each body counts once
	only   []choice // what a line has to say to be looked at
}

// choice is a column that a line is chosen by.
type choice struct {
	column  int
	allowed []string
}

// OpenSurvey reads the header of a table whose columns are said in a file of
// their own. What the table lacks is a problem of that file, so take its problems
// after this. With no columns it reads a table as [OpenBodies] does.
func OpenSurvey(name string, in io.Reader, c *Columns, units quantity.Unit, voc *engine.Vocabulary) (*Survey, *file.Doc) {
	s := &Survey{weight: -1}
	var doc *file.Doc
	if c == nil {
		s.Bodies, doc = OpenBodies(name, in, units, voc)
		return s, doc
	}
	s.Bodies, doc = openBodies(name, in, c.Units, voc, func(b *Bodies, header []file.Value) bool { return s.find(c, b, header) })
	return s, doc
}

// find finds the columns that are named; false where one is not there.
func (s *Survey) find(c *Columns, b *Bodies, header []file.Value) bool {
	var columns []string
	for _, cell := range header {
		name := cell.Text()
		if slices.Contains(columns, name) && c.names(name) {
			cell.Problem(thereTwice, "the column `"+name+"` is there twice", "name each column once")
		}
		columns = append(columns, name)
		b.names, b.units = append(b.names, c.as[name]), append(b.units, "")
	}
	found := true
	for _, k := range c.keys {
		if !slices.Contains(columns, k.Text()) {
			found = false
			k.Problem(noSuchColumn, "the table has no column `"+k.Text()+"`", diag.Among(k.Text(), slices.DeleteFunc(slices.Clone(columns), func(s string) bool { return s == "" })))
		}
	}
	for i, column := range columns {
		if allowed, ok := c.only[column]; ok {
			s.only = append(s.only, choice{i, allowed})
		}
		if c.weight != "" && column == c.weight {
			s.weight = i
		}
	}
	return found
}

// names tells whether a column is named.
func (c *Columns) names(column string) bool {
	return slices.ContainsFunc(c.keys, func(k file.Value) bool { return k.Text() == column })
}

// Next is the next line that is one of those to look at; the error is io.EOF after the last.
func (s *Survey) Next() (BodyLine, error) {
	for {
		l, err := s.Bodies.Next()
		if err != nil || len(s.only) == 0 {
			return l, err
		}
		if l.doc, l.cells = s.parts(l); !slices.ContainsFunc(s.only, func(c choice) bool {
			return c.column < len(l.cells) && !slices.Contains(c.allowed, l.cells[c.column].Text())
		}) {
			return l, nil
		}
	}
}

// Person takes a line apart; several may be at once. False: the line stands for nobody.
func (s *Survey) Person(l BodyLine) (p engine.Person, ok bool, problems diag.List) {
	doc, cells := s.parts(l)
	p.Body, p.Weight = s.body(doc, cells), 1
	if s.weight >= 0 && s.weight < len(cells) {
		p.Weight = weightOf(cells[s.weight])
	}
	return p, p.Weight > 0, l.below(doc.Problems())
}

// weightOf reads how many people a body stands for; an empty cell is nobody.
func weightOf(v file.Value) float64 {
	if !v.Exists() {
		return 0
	}
	w, err := strconv.ParseFloat(v.Text(), 64)
	if err != nil || math.IsInf(w, 0) || !(w >= 0) {
		v.Problem(badWeight, fmt.Sprintf("expected how many people the body stands for, got `%s`", v.Text()), "a number, as in 8539.7, or 0 for a body that is not to count")
		return 0
	}
	return w
}

// Weighted tells whether the bodies stand for different numbers of people.
func (s *Survey) Weighted() bool { return s.weight >= 0 }

// columnsFile describes such a file.
func (t table) columnsFile() shape.Shape {
	holds := shape.OneOf(append([]string{ageColumn, nameColumn}, t.voc.BodyNames()...)...)
	return shape.Map(
		shape.Need("kind", shape.OneOf("columns"), "What this file holds: what the columns of a table of bodies mean."),
		shape.Need("columns", shape.Map().Rest(holds), "The measurement that each column holds, by the name of the column; `age` is in years, and `name` tells bodies apart. Columns that are not named are passed over."),
		units(),
		shape.May("only", shape.Map().Rest(shape.OneOrList(shape.Text())).Gaps(), "The lines to look at: what a column has to say, as in {sex: female}."),
		shape.May("weight", shape.Text(), "The column that says how many people a body stands for."),
		shape.May("about", shape.Text(), "Whom the bodies stand for, in words."),
		shape.May("source", shape.Text(), "Where the table comes from."),
	)
}
