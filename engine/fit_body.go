package engine

import (
	"fmt"
	"math"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// value is the measurement as it is used: repeated readings averaged, the
// larger side of a limb.
func (t Measurement) value() quantity.Length {
	if len(t.Left) > 0 || len(t.Right) > 0 {
		return max(mean(t.Left), mean(t.Right))
	}
	return mean(t.Readings)
}

// Sides are what was measured on the left and on the right, the same where only one
// was or both were read as one.
func (t Measurement) Sides() (left, right quantity.Length) {
	left, right = t.value(), t.value()
	if len(t.Left) > 0 && len(t.Right) > 0 {
		left, right = mean(t.Left), mean(t.Right)
	}
	return left, right
}

// SlopeOf is the angle, in degrees, at which a shoulder falls that ends so far below
// the neck: the drop over the length along it is the sine. It is not known without
// that length, nor where the drop is longer.
func SlopeOf(drop, along quantity.Length) (degrees float64, ok bool) {
	sine := float64(drop) / float64(along)
	return math.Asin(sine) * 180 / math.Pi, along > 0 && math.Abs(sine) < 1
}

// dropOf is how far a shoulder of a length falls at an angle.
func dropOf(degrees float64, along quantity.Length) float64 {
	return math.Round(float64(along) * math.Sin(degrees*math.Pi/180))
}

// sides are what both sides of a body are cut for and what the other side has, in
// nanometres: of two that differ the one nearer to what the pattern was drafted for
// is both, since it asks for the least.
type sides struct {
	both, odd float64
	side      string // of the odd one; empty: they are alike
}

func evened(left, right float64, drafted figure) sides {
	switch {
	case left == right:
		return sides{both: left, odd: left}
	case !drafted.known || math.Abs(right-drafted.v) > math.Abs(left-drafted.v):
		return sides{both: left, odd: right, side: "right"}
	}
	return sides{both: right, odd: left, side: "left"}
}

// drops are how far the shoulder points lie below the neck. They are not known without
// slope and length.
func (j *judging) drops(s int) (sides, bool) {
	slope, sloping := j.Body.Measurements["shoulder_slope"]
	along, long := j.Body.Measurements["shoulder_length"]
	l, r := along.Sides()
	if slope.SidesApart == 0 {
		l, r = along.value(), along.value()
	}
	drafted, known := j.draftedDrop(s)
	return evened(dropOf(slope.Degrees+slope.SidesApart/2, l), dropOf(slope.Degrees-slope.SidesApart/2, r), figure{v: drafted, known: known}), sloping && long
}

// draftedDrop is how far the pattern's shoulder falls over one as long as the body's own.
func (j *judging) draftedDrop(s int) (float64, bool) {
	along, long := j.Body.Measurements["shoulder_length"]
	if !long || j.pattern.Slopes == nil {
		return 0, false
	}
	return dropOf(j.pattern.Slopes[j.cells[s]], along.value()), true
}

// shoulders are how long both shoulders are.
func (j *judging) shoulders(s int) (sides, bool) {
	t, long := j.Body.Measurements["shoulder_length"]
	drafted, known := j.draftedAt(j.voc.Measure("shoulder_length"), s)
	l, r := t.Sides()
	return evened(float64(l), float64(r), figure{v: drafted, known: known}), long
}

func mean(rs []Reading) quantity.Length {
	if len(rs) == 1 {
		return rs[0].Length
	}
	ls := make([]quantity.Length, len(rs))
	for i, r := range rs {
		ls[i] = r.Length
	}
	return quantity.Mean(ls)
}

// spread is how far apart the readings of one side lie.
func (t Measurement) spread() quantity.Length {
	var widest quantity.Length
	for _, rs := range [][]Reading{t.Readings, t.Left, t.Right} {
		for _, a := range rs {
			for _, b := range rs {
				widest = max(widest, a.Length-b.Length)
			}
		}
	}
	return widest
}

// sidesApart is how far left and right differ; false where one side is not given.
func (t Measurement) sidesApart() (quantity.Length, bool) {
	if len(t.Left) == 0 || len(t.Right) == 0 {
		return 0, false
	}
	d := mean(t.Left) - mean(t.Right)
	return max(d, -d), true
}

// readBody lays the body out by the vocabulary's places.
func (j *judging) readBody() {
	for name, t := range j.Body.Measurements {
		m := j.voc.Measure(name)
		if m == nil || m.Kind == Angle {
			continue
		}
		v := t.value()
		j.body[m.index] = figure{v: float64(v), known: v > 0} // without a reading it is not known
	}
}

// of is the body's own measurement, or the one that satisfies it (bust for
// chest and the other way round); from names the one that was used.
func (j *judging) of(m *Measure) (v figure, from *Measure) {
	if j.body[m.index].known || m.SameAs == "" {
		return j.body[m.index], m
	}
	other := j.voc.Measure(m.SameAs)
	return j.body[other.index], other
}

// at is what stands for the body at a zone in one size: the measurement, or
// upper bust + drafted cup where the garment hangs from the shoulder.
func (j *judging) at(c *column, s int) figure {
	if c.standIn {
		if upper, cup := j.upperBust(), j.cup(s); upper.known && cup.known {
			return figure{v: upper.v + cup.v, known: true}
		}
	}
	v, _ := j.of(c.measure)
	return v
}

func (j *judging) upperBust() figure { return j.body[j.upper.index] }

// cup is the drafted full bust less upper bust of a size.
func (f *Fitter) cup(s int) figure { return f.cups[s] }

// readCups finds the drafted cups: per size where the chart has both rows, else
// as the pattern says it was drafted.
func (f *Fitter) readCups() {
	f.cups = make([]figure, len(f.sizes))
	for s := range f.sizes {
		if b, u := f.cupCells(s); b.Known && u.Known {
			f.cups[s] = figure{v: b.middle() - u.middle(), known: true}
		} else if f.pattern.Cup != nil {
			f.cups[s] = figure{v: float64(*f.pattern.Cup), known: true}
		}
	}
}

// cupCells are the chart's bust and upper bust in one size, gaps where it has none.
func (f *Fitter) cupCells(s int) (bust, upper Cell) {
	b, _ := f.row(f.pattern.Chart, bustName)
	u, _ := f.row(f.pattern.Chart, "upper_bust")
	if b == nil || u == nil {
		return Cell{}, Cell{}
	}
	return b[f.cells[s]], u[f.cells[s]]
}

// own is the body's own measurement at a zone, by which wishes are converted.
func (j *judging) own(c *column) figure {
	if v, _ := j.of(c.measure); v.known {
		return v
	}
	return j.at(c, 0)
}

// explainBody is the claim of one body figure, down to the tape reading.
func (j explainer) explainBody(id string, c *column, s int) *explain.Node {
	v := j.at(c, s)
	if upper, cup := j.upperBust(), j.cup(s); c.standIn && upper.known && cup.known {
		n := &explain.Node{ID: id, Value: cmValue(v.v), Source: "method: from the shoulder",
			Label: fmt.Sprintf("bust by the shoulder = upper bust %s + drafted cup %s = %s", j.inUnits(upper.v), j.inUnits(cup.v), j.inUnits(v.v))}
		return n.Add(j.explainReading(id+"/tape", j.upper), j.explainCup(id+"/cup", s))
	}
	_, from := j.of(c.measure)
	return j.explainReading(id, from)
}

func (j explainer) explainCup(id string, s int) *explain.Node {
	n := &explain.Node{ID: id, Value: cmValue(j.cup(s).v)}
	b, u := j.cupCells(s)
	if !b.Known || !u.Known {
		n.Label, n.Source = fmt.Sprintf("drafted cup: %s", j.inUnits(j.cup(s).v)), j.pattern.At.File+" (drafted_for)"
		return n
	}
	n.Label = fmt.Sprintf("drafted cup of size %s = chart bust %s - chart upper bust %s = %s",
		j.sizes[s], j.inUnits(b.middle()), j.inUnits(u.middle()), j.inUnits(j.cup(s).v))
	n.Source = b.At.String()
	return n
}

// explainReading leads a measurement back to the tape.
func (j explainer) explainReading(id string, m *Measure) *explain.Node {
	t := j.Body.Measurements[m.Name]
	n := &explain.Node{ID: id, Value: cmValue(float64(t.value())), Source: t.At.String(),
		Label: fmt.Sprintf("your %s: %s", m.Title, j.inUnits(float64(t.value())))}
	if j.Body.Taken != "" {
		n.Source += ", taken " + j.Body.Taken
	}
	if len(t.Readings) > 1 {
		n.Label += fmt.Sprintf(", the mean of %d readings", len(t.Readings))
	}
	if apart, both := t.sidesApart(); both && apart > 0 {
		n.Label += fmt.Sprintf(", the larger side (left %s, right %s)", j.inUnits(float64(mean(t.Left))), j.inUnits(float64(mean(t.Right))))
	}
	return n
}

func cmValue(nm float64) *explain.Value {
	return explain.Number(roundTo(nm/nanometresPerCm, 1000), "cm")
}

func valueOf(v float64, percent bool) *explain.Value {
	if percent {
		return explain.Number(roundTo(v, 100), "percent")
	}
	return cmValue(v)
}

// roundTo rounds to 1/parts.
func roundTo(v, parts float64) float64 {
	r := math.Round(v*parts) / parts
	if r == 0 {
		return 0 // never -0
	}
	return r
}
