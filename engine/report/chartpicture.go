package report

import (
	"fmt"
	"math"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// ChartPicture draws how each row steps from size to size, and the ease over the
// sizes with what is expected of it.
func ChartPicture(a *engine.Soundness) *explain.Document {
	r := chartLayout(a)
	d := &explain.Document{}
	d.Add(explain.Heading(r.what()), explain.Sentence(r.verdict()))
	for _, row := range a.Rows {
		if g, ok := r.steps(row); ok {
			d.Add(g.shapes())
		}
	}
	for _, e := range a.Eases {
		d.Add(r.easeGraph(e).shapes())
	}
	return d
}

// graph is figures over the sizes.
type graph struct {
	title, alt string
	sizes      []string
	figures    []*float64
	labels     []string
	low, high  *float64 // what is expected
}

// steps are those of a row, where it has any.
func (r *chartOf) steps(row engine.StepRow) (*graph, bool) {
	g := &graph{title: fmt.Sprintf("%s: step from the size before, in %s", rowName(row.Of, row.Row), unitWord(r.units)), sizes: r.of.Sizes}
	any := false
	var said []string
	for s, c := range row.Cells {
		g.figures, g.labels = append(g.figures, r.inUnit(c.Step)), append(g.labels, signed(&r.layout, c.Step))
		if c.Step != nil {
			any = true
			said = append(said, "to "+r.of.Sizes[s]+" "+r.length(c.Step))
		}
	}
	g.alt = capital(rowName(row.Of, row.Row)) + " steps, in " + unitWord(r.units) + ": " + strings.Join(said, ", ") + "."
	return g, any
}

func (r *chartOf) easeGraph(e engine.EaseRow) *graph {
	unit := unitWord(r.units)
	if e.Unit == engine.InPercent {
		unit = "percent of the body"
	}
	name := strings.ReplaceAll(e.Zone, "_", " ")
	z := engine.ZoneAnswer{Low: e.Low, High: e.High, Unit: e.Unit}
	expected := r.expected(&z) + " expected"
	g := &graph{title: "ease at the " + name + ", in " + unit + ": " + expected, sizes: r.of.Sizes}
	shown := func(v *float64) *float64 {
		if e.Unit == engine.InPercent {
			return v
		}
		return r.inUnit(v)
	}
	g.low, g.high = shown(e.Low), shown(e.High)
	var said []string
	for s, v := range e.Eases {
		g.figures, g.labels = append(g.figures, shown(v)), append(g.labels, r.ease(v, e.Unit))
		if v != nil {
			said = append(said, r.of.Sizes[s]+" "+r.ease(v, e.Unit))
		}
	}
	g.alt = "Ease at the " + name + ", in " + unit + ": " + strings.Join(said, ", ") + "; " + expected + "."
	return g
}

// inUnit is a length in the reader's unit.
func (r *chartOf) inUnit(cm *float64) *float64 {
	if cm == nil || r.units != quantity.In {
		return cm
	}
	v := float64(quantity.FromCm(*cm)) / float64(quantity.Inch)
	return &v
}

// A graph is drawn on a sheet of its own, in centimetres.
const (
	graphWidth, graphHeight = 15.0, 2.5
	overPoint               = 0.45 // of a label above its point
	underAxis               = 0.5  // of a size below the axis
)

// shapes draws the graph: a point to each size, what is expected behind them.
func (g *graph) shapes() explain.Shapes {
	s := explain.Shapes{Title: g.title, Alt: g.alt, Box: explain.Box{Y: -overPoint, Width: graphWidth, Height: graphHeight + overPoint + 2*underAxis}}
	low, high := g.span()
	y := func(v float64) float64 { return graphHeight * (high - v) / (high - low) }
	x := func(i int) float64 { return graphWidth * (float64(i) + 0.5) / float64(len(g.sizes)) }
	if g.low != nil || g.high != nil {
		top, bottom := 0.0, graphHeight
		if g.high != nil {
			top = y(*g.high)
		}
		if g.low != nil {
			bottom = y(*g.low)
		}
		s.Add(explain.Polygon(explain.Area, explain.Point{X: 0, Y: top}, explain.Point{X: graphWidth, Y: top},
			explain.Point{X: graphWidth, Y: bottom}, explain.Point{X: 0, Y: bottom}))
	}
	if low <= 0 && high >= 0 {
		s.Add(explain.Line(explain.Guide, explain.Point{X: 0, Y: y(0)}, explain.Point{X: graphWidth, Y: y(0)}))
	}
	var line []explain.Point
	flush := func() {
		if len(line) > 1 {
			s.Add(explain.Line(explain.Outline, line[0], line[1:]...))
		}
		line = nil
	}
	for i, v := range g.figures {
		s.Add(explain.Label{Role: explain.Outline, At: explain.Point{X: x(i), Y: graphHeight + underAxis}, Text: g.sizes[i], Anchor: explain.AtMiddle})
		if v == nil {
			flush()
			continue
		}
		line = append(line, explain.Point{X: x(i), Y: y(*v)})
		s.Add(explain.Label{Role: explain.Accent, At: explain.Point{X: x(i), Y: y(*v) - overPoint}, Text: g.labels[i], Anchor: explain.AtMiddle})
	}
	flush()
	return s
}

// span are the ends of the upright axis: all figures, what is expected and 0.
func (g *graph) span() (low, high float64) {
	for _, v := range append([]*float64{g.low, g.high}, g.figures...) {
		if v != nil {
			low, high = math.Min(low, *v), math.Max(high, *v)
		}
	}
	if low == high {
		high = low + 1
	}
	return low, high
}
