package engine

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
)

// lineBetween is a size line that you draw yourself, part of the way from one printed
// line to the next.
type lineBetween struct {
	label     string
	low, high int // the printed sizes, as places in the pattern's rows
	share     float64
	way       string // half-way, a third of the way
}

// gaps finds the lines that may be drawn where the nest leaves a gap: where two printed
// sizes lie further apart than this pattern's sizes usually do. Sizes that differ by
// their cups have none, nor has sleepwear that a law bounds size by size.
func (f *Fitter) gaps(order string) []lineBetween {
	row := f.pattern.Chart[order]
	var steps []float64
	for i := 1; i < len(f.cells); i++ {
		steps = append(steps, row[f.cells[i]].middle()-row[f.cells[i-1]].middle())
	}
	if len(steps) < 2 || slices.Min(steps) <= 0 || f.recipe.CloseSleepwear || f.chartCups != nil {
		return nil
	}
	sorted := slices.Sorted(slices.Values(steps))
	usual := (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
	var out []lineBetween
	for i, step := range steps {
		if ticks(step, false) <= ticks(usual*f.voc.Limits.GapSteps, false) {
			continue
		}
		l := lineBetween{low: f.cells[i], high: f.cells[i+1]}
		name := f.pattern.Sizes[l.low] + "/" + f.pattern.Sizes[l.high]
		if step < usual*f.voc.Limits.GapThirds {
			l.label, l.share, l.way = name, 0.5, "half-way"
			out = append(out, l)
			continue
		}
		for third, way := range []string{"a third of the way", "two thirds of the way"} {
			l.label, l.share, l.way = fmt.Sprintf("%s %d/3", name, third+1), float64(third+1)/3, way
			out = append(out, l)
		}
	}
	return slices.DeleteFunc(out, func(l lineBetween) bool { return slices.Contains(f.pattern.Sizes, l.label) })
}

// drawBetween adds such lines to the pattern, in every row that has both neighbours.
func (f *Fitter) drawBetween(lines []lineBetween) {
	p := *f.pattern
	p.Sizes = slices.Clone(p.Sizes)
	for _, l := range lines {
		p.Sizes = append(p.Sizes, l.label)
	}
	add := func(row Row) Row {
		out := slices.Clone(row)
		for _, l := range lines {
			out = append(out, l.cell(&row[l.low], &row[l.high]))
		}
		return out
	}
	rows := func(of map[string]Row) map[string]Row {
		out := maps.Clone(of)
		for name, row := range of {
			out[name] = add(row)
		}
		return out
	}
	p.Chart, p.Finished, p.DraftedFor, p.ClothNeeded = rows(p.Chart), rows(p.Finished), rows(p.DraftedFor), slices.Clone(p.ClothNeeded)
	for i := range p.ClothNeeded {
		n := &p.ClothNeeded[i]
		n.Lengths = add(n.Lengths)
		for k, l := range lines { // cloth is bought for the larger
			n.Lengths[len(n.Lengths)-len(lines)+k] = n.Lengths[l.high]
		}
	}
	f.pattern, f.inGaps = &p, lines
}

// cell is what lies between two cells.
func (l *lineBetween) cell(low, high *Cell) Cell {
	part := func(a, b quantity.Length) quantity.Length {
		return a + quantity.Length(math.Round(float64(b-a)*l.share))
	}
	return Cell{Low: part(low.Low, high.Low), High: part(low.High, high.High), Known: low.Known && high.Known, At: low.At}
}

// lineDrawn adds to a figure of a size that its line is drawn by you.
func (f *Fitter) lineDrawn(s int) string {
	if way := f.drawnByYou(s); way != "" {
		return ", " + way
	}
	return ""
}

// single tells whether the pattern has one size alone: its edges are drawn out or in.
func (f *Fitter) single() bool { return len(f.sizes) == 1 }

// drawable is how much may be drawn out or in at the edges of a zone's seams: in a
// pattern of one size further than where another line is at hand.
func (f *Fitter) drawable(c *column) float64 {
	each := f.voc.Limits.EdgeMost
	if f.single() {
		each = f.voc.Limits.DrawMost
	}
	return float64(edgesOf(c.zone.Seams)) * float64(each)
}

// drawnByYou says where a size's line is drawn by you; empty: it is printed.
func (f *Fitter) drawnByYou(s int) string {
	for i := range f.inGaps {
		if l := &f.inGaps[i]; l.label == f.sizes[s] {
			return fmt.Sprintf("%s from the line of %s to that of %s", l.way, f.pattern.Sizes[l.low], f.pattern.Sizes[l.high])
		}
	}
	return ""
}

// printed are the printed sizes, as places in the pattern's rows, that a size is drawn by:
// itself, or the two between which it lies.
func (f *Fitter) printed(s int) []int {
	for i := range f.inGaps {
		if l := &f.inGaps[i]; l.label == f.sizes[s] {
			return []int{l.low, l.high}
		}
	}
	return []int{f.cells[s]}
}
