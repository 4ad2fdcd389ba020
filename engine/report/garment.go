package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// levelled is one level of the drawing: a girth or two of them, laid flat.
type levelled struct {
	zone   string
	y      float64 // downwards from the highest
	size   string  // the line that is followed
	leg    bool    // there are two, side by side
	widths map[string]float64
	cut    float64 // half the girth that is cut, in centimetres
	you    float64
}

// drawing shows the garment laid flat, half its girth across at each level, on
// the lines that are followed and on those of the sizes beside them. It is to
// scale across; the levels stand as on a figure of eight heads. There is none where
// fewer than two levels are known.
func (r *layout) drawing() (explain.Shapes, bool) {
	levels := r.levels()
	if len(levels) < 2 || r.a.Recommended == nil {
		return explain.Shapes{}, false
	}
	top, widest := levels[0].y, 0.0
	for i := range levels {
		levels[i].y -= top
		widest = max(widest, levels[i].half()*2)
		for _, w := range levels[i].widths {
			widest = max(widest, levels[i].spread(w)*2)
		}
	}
	bottom := levels[len(levels)-1].y
	height := bottom + drawnAbove + drawnBelow
	room := max(widest, height*drawnWide) // so that it leaves the page to what is to be done
	s := explain.Shapes{Title: "The garment laid flat: the lines to cut, level by level", Alt: r.drawingInWords(levels),
		Box: explain.Box{X: -room / 2, Y: -drawnAbove, Width: room, Height: height}}
	for _, size := range r.drawnSizes(levels) {
		s.Add(outline(levels, explain.Other, func(l *levelled) (float64, bool) { w, ok := l.widths[size]; return w, ok })...)
	}
	s.Add(outline(levels, explain.Accent, func(l *levelled) (float64, bool) { return l.cut, true })...)
	for i := range levels {
		l := &levels[i]
		s.Add(explain.Line(explain.Guide, explain.Point{X: -widest / 2, Y: l.y}, explain.Point{X: widest / 2, Y: l.y}),
			explain.Label{Role: explain.Outline, At: explain.Point{X: widest/2 + labelGap, Y: l.y}, Text: r.levelLabel(l), Anchor: explain.AtStart})
	}
	for i := range r.a.Grading.Steps {
		r.drawStep(&s, levels, &r.a.Grading.Steps[i], -widest/2-labelGap)
	}
	return s, true
}

// How far the drawing goes on above its highest level and below its lowest, and
// how far its labels stand off, in centimetres.
const (
	drawnAbove = 3
	drawnBelow = 8
	labelGap   = 1
	drawnWide  = 1.7 // times its height, at least
)

// levels are the zones that the drawing shows, from the top down.
func (r *layout) levels() []levelled {
	var out []levelled
	for i := range r.a.Sizes[0].Zones {
		z := &r.a.Sizes[0].Zones[i]
		measure := r.measureOf(z.Zone)
		height := r.s.Height(measure)
		if height == 0 || z.Finished == nil || z.Overlap || r.s.Limb(measure) == engine.OnArm {
			continue
		}
		l := levelled{zone: z.Zone, you: z.Body, y: -height, size: r.a.Sizes[0].Size, leg: r.s.Limb(measure) == engine.OnLeg, widths: map[string]float64{}}
		for _, s := range r.a.Sizes {
			k := slices.IndexFunc(s.Zones, func(other engine.ZoneAnswer) bool { return other.Zone == z.Zone })
			if k >= 0 && s.Zones[k].Finished != nil {
				l.widths[s.Size] = *s.Zones[k].Finished / 2
			}
		}
		l.cut = l.widths[l.size]
		if p := r.level(z.Zone); p != nil {
			l.size, l.cut, l.you = p.Line, p.Becomes/2, p.You
		}
		out = append(out, l)
	}
	r.spaced(out)
	slices.SortStableFunc(out, func(a, b levelled) int { return int(1000 * (a.y - b.y)) })
	return out
}

// level is a zone's level in the plan, nil where it has none.
func (r *layout) level(zone string) *engine.Level {
	if r.a.Plan == nil {
		return nil
	}
	i := slices.IndexFunc(r.a.Plan.Levels, func(l engine.Level) bool { return l.Zone == zone })
	if i < 0 {
		return nil
	}
	return &r.a.Plan.Levels[i]
}

// spaced puts a level that is graded to as far below the level above as the step
// says: by the body's own length where that is known.
func (r *layout) spaced(levels []levelled) {
	at := func(zone string) int {
		return slices.IndexFunc(levels, func(l levelled) bool { return l.zone == zone })
	}
	for i := range r.a.Grading.Steps {
		g := &r.a.Grading.Steps[i]
		from, to := at(g.From), at(g.To)
		if from < 0 || to < 0 || g.Run == nil {
			continue
		}
		moved := levels[from].y + *g.Run - levels[to].y
		for k := range levels {
			if k != from && levels[k].y >= levels[to].y {
				levels[k].y += moved
			}
		}
	}
}

func (r *layout) measureOf(zone string) string {
	for i := range r.s.Recipe.Zones {
		if z := &r.s.Recipe.Zones[i]; z.Name == zone {
			return z.Measure
		}
	}
	return zone
}

// half is how far the outline that is cut lies from the middle.
func (l *levelled) half() float64 { return l.spread(l.cut) }

// spread is how far an outline lies from the middle: half the width laid flat, or
// a whole leg.
func (l *levelled) spread(width float64) float64 {
	if l.leg {
		return width
	}
	return width / 2
}

// outline is both sides of a garment, from its highest level to a little below its
// lowest, with the inner lines of legs.
func outline(levels []levelled, role explain.Role, width func(*levelled) (float64, bool)) []explain.Shape {
	var points []explain.Point
	legs := -1.0
	for i := range levels {
		w, ok := width(&levels[i])
		if !ok {
			continue
		}
		points = append(points, explain.Point{X: levels[i].spread(w), Y: levels[i].y})
		if levels[i].leg && legs < 0 {
			legs = levels[i].y
		}
	}
	if len(points) < 2 {
		return nil
	}
	last := points[len(points)-1]
	points = append(points, explain.Point{X: last.X, Y: last.Y + drawnBelow/2})
	mirrored := make([]explain.Point, len(points))
	for i, p := range points {
		mirrored[i] = explain.Point{X: -p.X, Y: p.Y}
	}
	out := []explain.Shape{explain.Line(role, points[0], points[1:]...), explain.Line(role, mirrored[0], mirrored[1:]...)}
	if legs >= 0 && role == explain.Accent {
		out = append(out, explain.Line(role, explain.Point{X: 0, Y: legs}, explain.Point{X: 0, Y: last.Y + drawnBelow/2}))
	}
	return out
}

// drawnSizes are the sizes whose lines are followed anywhere, and those beside the
// one that is recommended.
func (r *layout) drawnSizes(levels []levelled) []string {
	want := map[string]bool{}
	for i := range levels {
		want[levels[i].size] = true
	}
	at := slices.Index(r.s.Sizes, r.a.Recommended.Size)
	for _, i := range []int{at - 1, at, at + 1} {
		if i >= 0 && i < len(r.s.Sizes) {
			want[r.s.Sizes[i]] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(r.s.Sizes), func(size string) bool { return !want[size] })
}

// levelLabel says what a level is: the line, the garment, you.
func (r *layout) levelLabel(l *levelled) string {
	garment := l.cut * 2
	return fmt.Sprintf("%s: line %s, garment %s, you %s", spoken(l.zone), l.size, r.length(&garment), r.length(&l.you))
}

// drawStep writes what each edge moves between two levels, beside them.
func (r *layout) drawStep(s *explain.Shapes, levels []levelled, g *engine.GradingStep, x float64) {
	from := slices.IndexFunc(levels, func(l levelled) bool { return l.zone == g.From })
	to := slices.IndexFunc(levels, func(l levelled) bool { return l.zone == g.To })
	if from < 0 || to < 0 {
		return
	}
	s.Add(explain.Label{Role: explain.Accent, At: explain.Point{X: x, Y: (levels[from].y + levels[to].y) / 2}, Anchor: explain.AtEnd,
		Text: fmt.Sprintf("%s to %s: %s", g.FromSize, g.ToSize, atEdges(shared(g.GirthChange, g.Edges, r.units)))})
}

func (r *layout) drawingInWords(levels []levelled) string {
	parts := make([]string, len(levels))
	for i := range levels {
		parts[i] = r.levelLabel(&levels[i])
	}
	text := "From the top down: " + strings.Join(parts, "; ") + "."
	for i := range r.a.Grading.Steps {
		g := &r.a.Grading.Steps[i]
		text += fmt.Sprintf(" Between %s and %s from size %s to %s: %s.", spoken(g.From), spoken(g.To), g.FromSize, g.ToSize, atEdges(shared(g.GirthChange, g.Edges, r.units)))
	}
	return text
}
