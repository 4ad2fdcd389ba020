package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Chart lays out a maker's look at a chart: how it stands in a sentence, what was
// found, then every row with its steps, the ease, and who falls between sizes.
func Chart(a *engine.Soundness, next []string) *explain.Document {
	r := chartLayout(a)
	d := &explain.Document{}
	d.Add(explain.Sentence(r.verdict()), explain.Sentence(r.what()))
	r.section(d, "What was found", findingSteps(a.Findings))
	if len(a.Rows) > 0 {
		d.Add(explain.Heading("Row by row, with the step from the size before, in " + unitWord(r.units)))
		d.Add(foldedTables(a.Sizes, r.stepRows())...)
	}
	if len(a.Eases) > 0 {
		d.Add(explain.Heading("Ease drawn, in " + unitWord(r.units) + ", and what is expected"))
		d.Add(foldedTables(a.Sizes, r.easeRows())...)
	}
	r.section(d, "Between two sizes", r.betweenSteps())
	r.section(d, "What to do next", numbered(next))
	return d
}

// chartOf lays out a chart.
type chartOf struct {
	layout
	of *engine.Soundness
	in *engine.ChartShown
}

func chartLayout(a *engine.Soundness) *chartOf {
	return &chartOf{layout: layout{units: a.Shown.Units}, of: a, in: a.Shown}
}

// verdict says in a sentence how the chart comes out.
func (r *chartOf) verdict() string {
	n := map[engine.Gravity]int{}
	for _, f := range r.of.Findings {
		n[f.Severity]++
	}
	switch {
	case !r.of.Sound:
		return fmt.Sprintf("Mend the chart before you cut or sell by it: %s.", counted(n[engine.IsError], "error", n[engine.IsWarning], "warning"))
	case n[engine.IsWarning] > 0:
		return fmt.Sprintf("The chart contradicts nothing; look at %s.", counted(n[engine.IsWarning], "warning", 0, ""))
	}
	return "The chart holds together: nothing in it contradicts the rest."
}

// counted is "2 errors and 1 warning", without what there is none of.
func counted(n int, what string, m int, other string) string {
	one := func(n int, what string) string {
		if n == 1 {
			return "1 " + what
		}
		return fmt.Sprintf("%d %ss", n, what)
	}
	if m == 0 {
		return one(n, what)
	}
	return one(n, what) + " and " + one(m, other)
}

func (r *chartOf) what() string {
	s := r.of.Pattern
	if r.of.Maker != "" {
		s += " by " + r.of.Maker
	}
	return fmt.Sprintf("%s, %s, in %s.", s, engine.An(r.in.Recipe.Title), counted(len(r.of.Sizes), "size", 0, ""))
}

// findingSteps are findings; rows that step alike are told of together.
func findingSteps(all []engine.Finding) explain.Steps {
	var s explain.Steps
	alike := map[string][]string{}
	for _, f := range all {
		alike[f.Steps] = append(alike[f.Steps], f.About)
	}
	for _, f := range all {
		if rows := alike[f.Steps]; f.Steps != "" && len(rows) > 1 {
			if f.About != rows[0] {
				continue
			}
			f.Because = "The " + list(rows) + " step " + f.Steps + "."
		}
		step := explain.Step{Mark: string(f.Severity), Text: f.Because}
		where := f.ID
		if f.At != "" {
			where += ", " + f.At
		}
		if f.Severity != engine.IsFact {
			step.Lines = []string{"[" + where + "]"}
		}
		s.Items = append(s.Items, step)
	}
	return s
}

// rowName is a row in a table: "hip", or "hip, finished".
func rowName(of engine.Part, row string) string {
	name := strings.ReplaceAll(row, "_", " ")
	if of == engine.OfFinished {
		name += ", finished"
	}
	return name
}

// stepRows has each row, and below it its steps.
func (r *chartOf) stepRows() [][]string {
	var rows [][]string
	for _, row := range r.of.Rows {
		cells, steps := []string{rowName(row.Of, row.Row)}, []string{"  step"}
		for _, c := range row.Cells {
			cells, steps = append(cells, r.cell(c)), append(steps, signed(&r.layout, c.Step))
		}
		rows = append(rows, cells, steps)
	}
	return rows
}

// cell is a cell without its unit, which the heading names.
func (r *chartOf) cell(c engine.StepCell) string {
	switch {
	case c.Low == nil:
		return "-"
	case *c.Low == *c.High:
		return r.length(c.Low)
	}
	return r.length(c.Low) + " to " + r.length(c.High)
}

// signed is a length with its sign.
func signed(r *layout, v *float64) string {
	text := r.length(v)
	if v == nil || text == "0" || strings.HasPrefix(text, "-") {
		return text
	}
	return "+" + text
}

func (r *chartOf) easeRows() [][]string {
	var rows [][]string
	for _, e := range r.of.Eases {
		z := engine.ZoneAnswer{Low: e.Low, High: e.High, Unit: e.Unit}
		cells := []string{strings.ReplaceAll(e.Zone, "_", " ") + ": " + r.expected(&z)}
		for _, v := range e.Eases {
			text := "-"
			if v != nil {
				text = r.ease(v, e.Unit)
			}
			cells = append(cells, text)
		}
		rows = append(rows, cells)
	}
	return rows
}

// lineWidth is how wide a table may be before it goes on below itself.
const lineWidth = 80

// foldedTables are rows under a header of sizes, as many sizes to a table as a line
// takes.
func foldedTables(sizes []string, rows [][]string) []explain.Block {
	width := func(column int, head string) int {
		w := utf8.RuneCountInString(head)
		for _, row := range rows {
			w = max(w, utf8.RuneCountInString(row[column]))
		}
		return w + 2
	}
	var out []explain.Block
	for from := 0; from < len(sizes); {
		to, taken := from, width(0, "")
		for to < len(sizes) && (to == from || taken+width(to+1, sizes[to]) <= lineWidth) {
			taken += width(to+1, sizes[to])
			to++
		}
		t := explain.Table{Header: append([]string{""}, sizes[from:to]...), Numeric: append([]bool{false}, slices.Repeat([]bool{true}, to-from)...)}
		for _, row := range rows {
			t.Rows = append(t.Rows, append([]string{row[0]}, row[from+1:to+1]...))
		}
		out = append(out, t)
		from = to
	}
	return out
}

// betweenSteps says who falls between the sizes.
func (r *chartOf) betweenSteps() explain.Steps {
	var s explain.Steps
	for _, b := range r.of.Between {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: fmt.Sprintf("%s: at most %s from both, half-way between %s and %s, where %s is borne.",
			capital(r.in.Title(b.Row)), quantity.FormatCm(b.Away, r.units), b.From, b.To, quantity.FormatCm(b.Tolerance, r.units))})
	}
	return s
}
