package engine

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Flip is where another size begins to win: the value nearest to the one now,
// below or above it, of one figure alone.
type Flip struct {
	Measurement string  `json:"measurement"`    // a measurement, or what else would change, as --with names it: cloth.stretch.across, ease=hip
	Value       float64 `json:"value"`          // where, in cm
	Unit        string  `json:"unit,omitempty"` // "percent" where the value is in percent
	To          string  `json:"to"`             // the size that wins beyond; "none" where every size is ruled out
}

// FlipAnswer is where an answer flips along one figure, in words.
type FlipAnswer struct {
	Measurement string // as in [Flip]
	What        string // in words: "hip", "stretch across", "ease wanted at the hip"
	Say         string // "18 up to 113.2 cm, 20 from 113.3 cm"
}

// flip is a place where the best size changes, with its two sides.
type flip struct {
	axis     int
	from, to float64 // the last value of the one and the first of the other
	s        int     // the size that wins from there; -1: none
	best     int     // the best one now
	brief    bool    // it wins no further than to the next value that is typed
}

// flips finds the nearest flip either way along every figure that has a say.
func (m *variation) flips() []flip {
	var out []flip
	for i := range m.axes {
		a := &m.axes[i]
		if !a.used || a.kind == byEstimate || a.kind == byWish && !m.wantsNow(a) {
			continue
		}
		m.free([]int{i}, 0)
		best := m.best()
		if m.bestAt(i, a.now) != best { // one ease for all sizes is another wish than each size's own, and nothing moved yet
			m.goBack(i)
			continue
		}
		for _, way := range []float64{-1, 1} {
			if fl, ok := m.nearest(i, way, best); ok && m.confirmed(&fl) {
				fl.brief = m.bestAt(i, m.typed(a, fl.to, way)) != fl.s
				out = append(out, fl)
			}
		}
		m.goBack(i)
	}
	return out
}

// wantsNow takes the ease wanted now, layers beneath left out, for a wish's
// place; false where there is none.
func (m *variation) wantsNow(a *axis) bool {
	s := m.best()
	if s < 0 {
		s = m.byMisfit()[0].s
	}
	c, r := m.zones[a.zone], m.fitted(a.zone, s)
	m.freshen(s)
	if !r.judged {
		return false
	}
	a.now = r.wanted - convert(m.beneath(c), false, c.zone.percent(), m.own(c).v)
	if !c.zone.percent() {
		a.now = math.Round(a.now)
	}
	return true
}

// bestAt moves an axis and asks for the best size.
func (m *variation) bestAt(i int, v float64) int {
	m.at(i, v)
	m.follow(i)
	return m.best()
}

// search is how an axis is searched: how far, in which steps, and how closely
// the place is narrowed down.
func (m *variation) search(a *axis) (far, step, within float64) {
	l := &m.voc.Limits
	parts := float64(l.SearchParts)
	switch {
	case a.kind == byGauge:
		return l.SearchStretch, l.StretchStep, closePoints
	case a.kind == byWish && m.zones[a.zone].zone.percent():
		return l.SearchPoints, 1 / parts, closePoints
	}
	return float64(l.SearchCm), nanometresPerCm / parts, 1
}

// closePoints is how closely a percentage is found: well below what is printed.
const closePoints = 1e-6

// nearest looks for the first value one way at which another size is best: step
// by step, and then by halves between the two sides.
func (m *variation) nearest(i int, way float64, best int) (flip, bool) {
	a := &m.axes[i]
	far, step, within := m.search(a)
	from := a.now
	for n := 1.0; n*step <= far; n++ {
		to := a.now + way*n*step
		if a.kind != byWish && (to < 0 || a.kind == byTape && to < 1) {
			break
		}
		s := m.bestAt(i, to)
		if s == best {
			from = to
			continue
		}
		for math.Abs(to-from) > within {
			middle := (from + to) / 2
			if within == 1 {
				middle = math.Floor(middle)
			}
			if got := m.bestAt(i, middle); got == best {
				from = middle
			} else {
				to, s = middle, got
			}
		}
		return flip{axis: i, from: from, to: to, s: s, best: best}, true
	}
	return flip{}, false
}

// confirmed asks again in full on both sides of a flip.
func (m *variation) confirmed(fl *flip) bool {
	for _, side := range []struct {
		v float64
		s int
	}{{fl.from, fl.best}, {fl.to, fl.s}} {
		r, err := m.Rank(m.fittingAt(&m.axes[fl.axis], side.v))
		if err != nil || r.Best != sizeName(m.sizes, side.s) { // what cannot be asked is no answer
			return false
		}
	}
	return true
}

// sizeName names a size by its place as [Ranking.Best] does.
func sizeName(sizes []string, s int) string {
	if s < 0 {
		return ""
	}
	return sizes[s]
}

// fittingAt is what the person brings, with one figure changed.
func (m *variation) fittingAt(a *axis, v float64) Fitting {
	t := m.asBrought
	switch a.kind {
	case byTape:
		b := *t.Body
		b.Measurements = maps.Clone(b.Measurements)
		b.Measurements[a.name] = Measurement{Readings: []Reading{{Length: quantity.Length(v)}}, At: b.Measurements[a.name].At}
		t.Body = &b
	case byGauge:
		k := assumedCloth(m.recipe)
		if t.Cloth != nil {
			k = *t.Cloth
		}
		if a.name == acrossName {
			k.Across = &v
		} else {
			k.Along = &v
		}
		t.Cloth = &k
	case byWish:
		t.Wishes = append(slices.Clone(t.Wishes), figureWish(m.zones[a.zone].zone, v))
	}
	return t
}

// isPercent tells whether an axis is a percentage.
func (m *variation) isPercent(a *axis) bool {
	return a.kind == byGauge || a.kind == byWish && m.zones[a.zone].zone.percent()
}

// typed is the nearest value at or beyond v, one way, in the steps in which it
// is typed: a tenth of a centimetre or a percentage point, an eighth of an inch.
func (m *variation) typed(a *axis, v, way float64) float64 {
	step := 1 / float64(m.voc.Limits.SearchParts)
	if !m.isPercent(a) {
		step = float64(m.grid())
	}
	return way * math.Ceil(way*v/step-1e-9) * step
}

func (m *variation) flipAnswer(fl *flip) Flip {
	a := &m.axes[fl.axis]
	out := Flip{Measurement: a.name, To: m.sizeOr(fl.s), Value: m.figureIn(a, fl.to)}
	if m.isPercent(a) {
		out.Unit = "percent"
	}
	return out
}

// figureIn is a value of an axis as the JSON has it, in centimetres or percent. One that would come out equal to the value now is
// given as the next figure beside it.
func (m *variation) figureIn(a *axis, v float64) float64 {
	now, parts := a.now, 100.0
	if !m.isPercent(a) {
		v, now, parts = v/nanometresPerCm, now/nanometresPerCm, 1000
	}
	out := roundTo(v, parts)
	if out == roundTo(now, parts) && v != now {
		out = roundTo(out+math.Copysign(1/parts, v-now), parts)
	}
	return out
}

// sayFlips puts the flips into words, those of one figure together.
func (m *variation) sayFlips(flips []flip) []FlipAnswer {
	var out []FlipAnswer
	for len(flips) > 0 {
		n := 1
		if len(flips) > 1 && flips[1].axis == flips[0].axis {
			n = 2
		}
		out = append(out, m.sayFlip(flips[:n]))
		flips = flips[n:]
	}
	return out
}

// sayFlip says where the best size holds along one figure, and which win beyond.
func (m *variation) sayFlip(flips []flip) FlipAnswer {
	a := &m.axes[flips[0].axis]
	out := FlipAnswer{Measurement: a.name, What: m.whatMoves(a)}
	here := m.sayBest(flips[0].best)
	low, high := flips[0], flips[len(flips)-1]
	switch {
	case low.to > a.now:
		out.Say = fmt.Sprintf("%s up to %s, %s", here, m.figureOf(a, m.last(a, &high)), m.beyond(a, &high, 1))
	case high.to < a.now:
		out.Say = fmt.Sprintf("%s, %s from %s", m.beyond(a, &low, -1), here, m.figureOf(a, m.first(a, &low)))
	default:
		out.Say = fmt.Sprintf("%s, %s from %s to %s, %s", m.beyond(a, &low, -1), here,
			m.figureOf(a, m.first(a, &low)), m.figureOf(a, m.last(a, &high)), m.beyond(a, &high, 1))
	}
	return out
}

// first is the least value that is typed at which the best size now is the best, and never above the one now.
func (m *variation) first(a *axis, low *flip) float64 { return min(m.typed(a, low.from, 1), a.now) }

// last is the greatest.
func (m *variation) last(a *axis, high *flip) float64 { return max(m.typed(a, high.from, -1), a.now) }

// beyond says where the size on the far side of a flip wins.
func (m *variation) beyond(a *axis, fl *flip, way float64) string {
	at := m.figureOf(a, m.typed(a, fl.to, way))
	switch {
	case at == m.figureOf(a, a.now) && way < 0: // it differs by less than is printed
		return fmt.Sprintf("%s just below %s", m.sayBest(fl.s), at)
	case at == m.figureOf(a, a.now):
		return fmt.Sprintf("%s just above %s", m.sayBest(fl.s), at)
	case fl.brief:
		return fmt.Sprintf("%s between %s and %s", m.sayBest(fl.s), m.figureOf(a, m.typed(a, fl.from, -way)), at)
	case way < 0:
		return fmt.Sprintf("%s up to %s", m.sayBest(fl.s), at)
	}
	return fmt.Sprintf("%s from %s", m.sayBest(fl.s), at)
}

func (m *variation) sayBest(s int) string {
	if s < 0 {
		return "no size"
	}
	return m.sizes[s]
}

func (m *variation) figureOf(a *axis, v float64) string { return m.ease(v, m.isPercent(a)) }

// whatMoves names what an axis moves.
func (m *variation) whatMoves(a *axis) string {
	switch {
	case a.kind == byTape:
		return a.measure.Title
	case a.kind == byWish && m.zones[a.zone].zone.Laps != "":
		return "overlap wanted at the " + zoneTitle(m.zones[a.zone].zone)
	case a.kind == byWish:
		return "ease wanted at the " + zoneTitle(m.zones[a.zone].zone)
	case a.name == acrossName:
		return "stretch across"
	}
	return "stretch along"
}

// explainFlips is what the answer says of where it flips.
func (m *variation) explainFlips(flips []FlipAnswer) *explain.Node {
	n := &explain.Node{ID: "flips", Source: "method: flips", Label: "where another size wins, one figure changed at a time"}
	if len(flips) == 0 {
		n.Label = fmt.Sprintf("no single figure within %s of its value makes another size win", m.inUnits(float64(m.voc.Limits.SearchCm)))
	}
	for _, fl := range flips {
		n.Add(&explain.Node{ID: "flips/" + fl.Measurement, Source: "method: flips", Label: fl.What + ": " + fl.Say})
	}
	return n
}
