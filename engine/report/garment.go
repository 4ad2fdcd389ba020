package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
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

// halfPiece shows one half of a piece from its middle to the edge that moves: the lines of the sizes that are followed, and
// the curve to cut; at each level its line, and between two what each edge takes. It is to scale across, a quarter of the
// girth at a trunk, half of it at a leg; the levels are as on a figure of eight heads. False: one line is followed throughout.
func (r *layout) halfPiece() (explain.Shapes, bool) {
	if r.a.Recommended == nil || len(r.a.Grading.Steps) == 0 {
		return explain.Shapes{}, false
	}
	levels := r.levels()
	if len(levels) < 2 {
		return explain.Shapes{}, false
	}
	top, widest := levels[0].y, 0.0
	for i := range levels {
		levels[i].y -= top
		widest = max(widest, levels[i].half())
		for _, w := range levels[i].widths {
			widest = max(widest, levels[i].spread(w))
		}
	}
	bottom := levels[len(levels)-1].y + drawnBelow
	s := explain.Shapes{Title: "One half of a piece, and the line to cut", Alt: r.drawingInWords(levels),
		Box: explain.Box{X: -widest, Y: -drawnAbove, Width: widest, Height: bottom + drawnAbove}}
	s.Add(explain.Line(explain.Guide, explain.Point{Y: -drawnAbove}, explain.Point{Y: bottom}),
		explain.Label{Role: explain.Guide, At: explain.Point{X: -labelGap, Y: bottom - labelGap}, Text: "middle", Anchor: explain.AtEnd})
	for _, size := range r.followed(levels) {
		if edge := edgeOf(levels, func(l *levelled) (float64, bool) { w, ok := l.widths[size]; return w, ok }); len(edge) > 1 {
			s.Add(flowing(explain.Other, edge))
		}
	}
	s.Add(flowing(explain.Accent, edgeOf(levels, func(l *levelled) (float64, bool) { return l.cut, true })))
	for i := range levels {
		l := &levels[i]
		s.Add(explain.Line(explain.Guide, explain.Point{X: -l.half(), Y: l.y}, explain.Point{Y: l.y}),
			explain.Label{Role: explain.Outline, At: explain.Point{X: labelGap, Y: l.y}, Text: fmt.Sprintf("%s: line %s", spoken(l.zone), l.size), Anchor: explain.AtStart})
	}
	for i := range r.a.Grading.Steps {
		r.drawStep(&s, levels, &r.a.Grading.Steps[i])
	}
	return s, true
}

// How far the drawing goes on above its highest level and below its lowest, and
// how far its labels stand off, in centimetres.
const (
	drawnAbove = 3
	drawnBelow = 5
	labelGap   = 1.3
)

// followed are the sizes whose lines are followed anywhere.
func (r *layout) followed(levels []levelled) []string {
	return slices.DeleteFunc(slices.Clone(r.s.Sizes), func(size string) bool {
		return !slices.ContainsFunc(levels, func(l levelled) bool { return l.size == size })
	})
}

// edgeOf is the edge of a piece from its highest level to a little below its lowest.
func edgeOf(levels []levelled, width func(*levelled) (float64, bool)) []explain.Point {
	var points []explain.Point
	for i := range levels {
		if w, ok := width(&levels[i]); ok {
			points = append(points, explain.Point{X: -levels[i].spread(w), Y: levels[i].y})
		}
	}
	if len(points) < 2 {
		return points
	}
	first, last := points[0], points[len(points)-1]
	return append(append([]explain.Point{{X: first.X, Y: first.Y - drawnAbove}}, points...), explain.Point{X: last.X, Y: last.Y + drawnBelow})
}

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
				l.widths[s.Size] = (*s.Zones[k].Finished - gapOf(&s.Zones[k])) / 2
			}
		}
		l.cut = l.widths[l.size]
		if p := r.level(z.Zone); p != nil {
			l.size, l.cut, l.you = p.Line, sewn(p)/2, p.You
		}
		out = append(out, l)
	}
	out = append(out, r.keptLines()...)
	r.spaced(out)
	slices.SortStableFunc(out, func(a, b levelled) int { return int(1000 * (a.y - b.y)) })
	return out
}

// farther is how many times as far it is from one level to the other as a step takes between where the line is left and where the
// other is reached, where one is kept to a level between them; as they lie on the figure.
func farther(levels []levelled, from, to, before, after int) float64 {
	left, reached := from, to
	if after >= 0 {
		left = after
	}
	if before >= 0 {
		reached = before
	}
	return (levels[to].y - levels[from].y) / (levels[reached].y - levels[left].y)
}

// keptLines are the levels between two zones to which a line is kept, as the abdomen above the hip.
func (r *layout) keptLines() []levelled {
	var out []levelled
	for i := range r.a.Grading.Steps {
		for _, measure := range []string{r.a.Grading.Steps[i].After, r.a.Grading.Steps[i].Before} {
			if p := r.level(measure); p != nil && r.s.Height(measure) > 0 {
				out = append(out, levelled{zone: measure, you: p.You, y: -r.s.Height(measure), size: p.Line, leg: r.s.Limb(measure) == engine.OnLeg,
					widths: map[string]float64{p.Line: p.Becomes / 2}, cut: p.Becomes / 2})
			}
		}
	}
	return out
}

// sewn is what is cut and sewn at a level: without the gap of a lacing.
func sewn(l *engine.Level) float64 {
	if l.Lacing != nil {
		return l.Lacing.Sewn
	}
	return l.Becomes
}

// gapOf is the gap of a lacing that a zone's finished measurement has in it.
func gapOf(z *engine.ZoneAnswer) float64 {
	if z.Gap == nil {
		return 0
	}
	return *z.Gap
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
		moved := levels[from].y + farther(levels, from, to, at(g.Before), at(g.After))**g.Run - levels[to].y
		low := levels[to].y
		for k := range levels {
			switch {
			case k == from:
			case levels[k].y >= low:
				levels[k].y += moved
			case levels[k].y > levels[from].y:
				levels[k].y = levels[from].y + (levels[k].y-levels[from].y)*(low+moved-levels[from].y)/(low-levels[from].y)
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

// levelLabel says what a level is: the line, the garment, you.
func (r *layout) levelLabel(l *levelled) string {
	garment := l.cut * 2
	return fmt.Sprintf("%s: line %s, garment %s, you %s", spoken(l.zone), l.size, r.length(&garment), r.length(&l.you))
}

// drawStep writes what each edge takes between two levels, and over how far.
func (r *layout) drawStep(s *explain.Shapes, levels []levelled, g *engine.GradingStep) {
	from := slices.IndexFunc(levels, func(l levelled) bool { return l.zone == cmp.Or(g.After, g.From) })
	to := slices.IndexFunc(levels, func(l levelled) bool { return l.zone == cmp.Or(g.Before, g.To) })
	if from < 0 || to < 0 {
		return
	}
	at := explain.Point{X: labelGap, Y: (levels[from].y + levels[to].y) / 2}
	s.Add(explain.Label{Role: explain.Accent, At: at, Anchor: explain.AtStart, Text: atEdges(shared(g.GirthChange, g.Edges, r.units))})
	if g.Run != nil {
		at.Y += 2 * labelGap
		s.Add(explain.Label{Role: explain.Guide, At: at, Anchor: explain.AtStart, Text: "over " + quantity.FormatCm(*g.Run, r.units)})
	}
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
