package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Design lays out sizes that are proposed: whom they serve, the chart, how its rows follow from one another, and what more or
// fewer sizes would do.
func Design(a *engine.SizeDesign, next []string) *explain.Document {
	r := &designed{layout: layout{units: a.Shown.Units}, of: a}
	d := &explain.Document{}
	d.Add(explain.Sentence(r.served()), explain.Sentence(r.whose()))
	d.Add(explain.Heading("The sizes, in "+unitWord(r.units)), r.sizes())
	r.section(d, "How the other rows follow from the "+a.Shown.Title(a.By), r.follow())
	d.Add(explain.Heading("More sizes, or fewer"), r.byNumber())
	d.Add(explain.Sentence("With a line is as drawn, or with the line of the size beside it where something can be mended. At even steps the first and the last size lie half a step from the ends."))
	r.section(d, "What to do next", numbered(next))
	return d
}

// DesignPicture is the curve of how many people each number of sizes serves.
func DesignPicture(a *engine.SizeDesign) *explain.Document {
	g := &graph{title: "people served with a line, in percent, by the number of sizes", alt: "People served by the number of sizes: "}
	for i, n := range a.ByNumber {
		share := n.Best.WithLine * 100
		g.sizes, g.figures = append(g.sizes, fmt.Sprint(n.Sizes)), append(g.figures, &share)
		g.labels = append(g.labels, ofAll(n.Best.WithLine))
		if i > 0 {
			g.alt += ", "
		}
		g.alt += fmt.Sprintf("%d %s", n.Sizes, ofAll(n.Best.WithLine))
	}
	g.alt += "."
	d := &explain.Document{}
	d.Add(explain.Heading("How many sizes?"), g.shapes())
	return d
}

type designed struct {
	layout
	of *engine.SizeDesign
}

// number is what a number of sizes would do.
func (r *designed) number(n int) (engine.DesignNumber, bool) {
	i := slices.IndexFunc(r.of.ByNumber, func(b engine.DesignNumber) bool { return b.Sizes == n })
	if i < 0 {
		return engine.DesignNumber{}, false
	}
	return r.of.ByNumber[i], true
}

func (r *designed) served() string {
	n := len(r.of.Sizes)
	own, _ := r.number(n)
	out := fmt.Sprintf("For %s these %s serve %s of the people", engine.An(r.of.Shown.Recipe.Title), counted(n, "size", 0, ""), ofAll(own.Best.WithLine))
	if own.Best.AsDrawn < own.Best.WithLine {
		out += fmt.Sprintf(", %s as drawn and the others with a line of the size beside theirs", ofAll(own.Best.AsDrawn))
	}
	out += fmt.Sprintf(". At even steps as many sizes would serve %s", ofAll(own.Even.WithLine))
	if more, ok := r.number(n + 1); ok {
		out += fmt.Sprintf(", one size more %s", ofAll(more.Even.WithLine))
	}
	return out + "."
}

func (r *designed) whose() string {
	s := r.of.Shares
	out := fmt.Sprintf("They are the %d bodies of %s whose %s measures %s to %s. Asked of the pattern itself, `chart --bodies` finds %s of them served: %s as drawn, %s with grading, %s with alterations.",
		r.of.Bodies.Count, r.of.Bodies.Name, r.of.Shown.Title(r.of.By), r.length(&r.of.From), quantity.FormatCm(r.of.To, r.units),
		ofAll(s.AsDrawn+s.WithGrading+s.WithAlterations), ofAll(s.AsDrawn), ofAll(s.WithGrading), ofAll(s.WithAlterations))
	if len(r.of.Missing) > 0 {
		var names []string
		for _, name := range r.of.Missing {
			names = append(names, strings.ReplaceAll(name, "_", " "))
		}
		out += " Of the " + list(names) + " nothing is known of them, so there somebody may need more."
	}
	return out
}

func (r *designed) sizes() explain.Table {
	var rows []string
	for _, name := range r.of.Shown.Words {
		if _, ok := r.of.Sizes[0].Body[name]; ok {
			rows = append(rows, name)
		}
	}
	t := explain.Table{Header: []string{"size"}, Numeric: []bool{false}}
	for _, part := range []engine.Part{engine.OfBody, engine.OfFinished} {
		for _, name := range rows {
			t.Header, t.Numeric = append(t.Header, rowName(part, name)), append(t.Numeric, true)
		}
	}
	t.Header, t.Numeric = append(t.Header, "serves"), append(t.Numeric, true)
	for _, s := range r.of.Sizes {
		line := []string{s.Size}
		for _, figures := range []map[string]float64{s.Body, s.Finished} {
			for _, name := range rows {
				v := figures[name]
				line = append(line, r.length(&v))
			}
		}
		t.Rows = append(t.Rows, append(line, ofAll(s.Share)))
	}
	return t
}

func (r *designed) follow() explain.Steps {
	var s explain.Steps
	for _, f := range r.of.Rows {
		middle := (r.of.From + r.of.To) / 2
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: fmt.Sprintf("%s: %s at a %s of %s, and %s more for each unit more. Two people in three lie within %s of that.", capital(r.of.Shown.Title(f.Row)),
			quantity.FormatCm(f.At, r.units), r.of.Shown.Title(r.of.By), quantity.FormatCm(middle, r.units), quantity.FormatCount(f.PerCm), quantity.FormatCm(f.Spread, r.units))})
	}
	return s
}

func (r *designed) byNumber() explain.Table {
	t := explain.Table{Header: []string{"sizes", "with a line", "as drawn", "even, with a line", "even, as drawn"}, Numeric: []bool{true, true, true, true, true}}
	for _, n := range r.of.ByNumber {
		t.Rows = append(t.Rows, []string{fmt.Sprint(n.Sizes), ofAll(n.Best.WithLine), ofAll(n.Best.AsDrawn), ofAll(n.Even.WithLine), ofAll(n.Even.AsDrawn)})
	}
	return t
}
