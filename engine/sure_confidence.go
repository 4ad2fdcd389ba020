package engine

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/explain"
)

// MeasureAgain is what settles most if it is measured again: a measurement, or the
// stretch of the cloth.
type MeasureAgain struct {
	Measurement string   `json:"measurement"`    // the measurement's name; of a cloth as [Flip] names it
	Unit        string   `json:"unit,omitempty"` // "percent" where it is a stretch
	Error       float64  `json:"error"`          // how far its reading may be off, in cm
	Gain        float64  `json:"gain"`           // by how much the winning share would grow on average if it were known exactly
	Low         *float64 `json:"low,omitempty"`  // below this, within the error, another size wins
	High        *float64 `json:"high,omitempty"` // and above this
}

// Sureness is how sure an answer is, in a word.
type Sureness string

// The degrees of being sure, by the share of plausible bodies that an answer
// comes out for, beside the next largest share.
const (
	NearlyCertain Sureness = "nearly certain"
	IsLikely      Sureness = "likely"
	AsLikely      Sureness = "as likely as another"
	EitherWillDo  Sureness = "either would do"
	Likelier      Sureness = "likelier than any other"
	LessLikely    Sureness = "less likely than another"
)

// shares are what a look at plausible bodies found.
type shares struct {
	bodies int
	best   []int // per size in size order, then where nothing fits
	axes   []int // what was moved
	gains  []float64
}

// sure tells how sure an answer is and where it flips, and hangs both on its
// explanation.
func (f *Fitter) sure(a *Answer, t Fitting) error {
	m, err := f.vary(t)
	if err != nil {
		return err
	}
	defer m.giveBack()
	sh := m.look()
	share := func(s int) *float64 { v := float64(sh.best[s]) / float64(sh.bodies); return &v }
	for i := range a.Sizes {
		a.Sizes[i].Confidence = share(slices.Index(f.sizes, a.Sizes[i].Size))
	}
	answer := len(f.sizes)
	a.NothingFits = share(answer)
	if a.Recommended != nil {
		answer = slices.Index(f.sizes, a.Recommended.Size)
		a.Recommended.Confidence = share(answer)
	}
	a.Shown.Sure, a.Shown.Rival = m.inAWord(&sh, answer)
	if other, ok := m.eitherWillDo(); ok && a.Recommended != nil {
		a.Either = m.sizes[other]
		a.Shown.Sure, a.Shown.Rival = EitherWillDo, a.Either
		if tie(a, a.Either) {
			a.Shown.Settled = f.between
		}
	}
	flips := m.flips()
	a.Flips = []Flip{}
	for i := range flips {
		a.Flips = append(a.Flips, m.flipAnswer(&flips[i]))
	}
	a.Shown.Flips = m.sayFlips(flips)
	a.MeasureAgain, a.Shown.Again = m.measureAgain(&sh, flips)
	if m.Body.MeasuredBy == "" {
		a.Assumptions = append(a.Assumptions, Assumption{"you took your measurements yourself", "the body file does not say who did (`measured_by:`), and a tape held round oneself is read less surely"})
	}
	a.Why.Add(m.explainSure(a, &sh, flips), m.explainFlips(a.Shown.Flips))
	return nil
}

// look asks for the best size of many plausible bodies: true bodies, cloths and
// garments for which the tape, the gauge and the estimates may stand.
func (m *variation) look() shares {
	l := &m.voc.Limits
	sh := shares{bodies: l.SureBodies, best: make([]int, len(m.sizes)+1)}
	sh.axes = m.where(func(a *axis) bool { return a.used && a.sd > 0 })
	steps := bell(l.SureSteps)
	m.stiff = m.isStiff(sh.axes, func(a *axis) float64 { return a.now + a.sd*steps[len(steps)-1] })
	m.free(sh.axes, l.SureSteps)
	v := m.newVaried(sh.axes, steps)
	settled := make([][]int, len(sh.axes)) // per axis: part x best
	for k := range settled {
		settled[k] = make([]int, l.SureParts*len(sh.best))
	}
	for i := range sh.bodies {
		v.body(i)
		best := m.best()
		if best < 0 {
			best = len(m.sizes)
		}
		sh.best[best]++
		for k, a := range sh.axes {
			settled[k][m.axes[a].level*l.SureParts/l.SureSteps*len(sh.best)+best]++
		}
	}
	for _, a := range sh.axes {
		m.goBack(a)
	}
	m.stiff = false
	sh.gains = make([]float64, len(sh.axes))
	for k := range settled {
		won := -slices.Max(sh.best)
		for part := range slices.Chunk(settled[k], len(sh.best)) {
			won += slices.Max(part)
		}
		sh.gains[k] = float64(won) / float64(sh.bodies)
	}
	return sh
}

// varied moves axes to the values of one plausible body after another.
type varied struct {
	m      *variation
	axes   []int
	ways   []float64     // of the sequence, per axis
	values [][]float64   // per axis and level
	tables [][][]float64 // per zone that hangs on one axis: per level its points
	on     []int         // that axis
	anew   []int         // zones that hang on several
	rests  []bool        // per axis: whether moving it makes no difference
}

func (m *variation) newVaried(axes []int, bell []float64) *varied {
	v := &varied{m: m, axes: axes, ways: sequence(len(axes)), tables: make([][][]float64, len(m.zones)), on: make([]int, len(m.zones))}
	for _, i := range axes {
		a := &m.axes[i]
		values := make([]float64, len(bell))
		for level, z := range bell {
			values[level] = a.now + a.sd*z
			if a.kind == byTape {
				values[level] = max(math.Round(values[level]), 1) // whole nanometres, as a tape's
			}
		}
		v.values, v.rests = append(v.values, values), append(v.rests, m.rests(i))
	}
	for z, points := range m.points {
		reads := slices.DeleteFunc(slices.Clone(m.reads[z]), func(a int) bool { return !slices.Contains(axes, a) })
		switch {
		case points == nil || len(reads) == 0:
		case len(reads) == 1:
			v.on[z] = reads[0]
			v.table(z, reads[0])
		default:
			v.anew = append(v.anew, z)
		}
	}
	return v
}

// table is what each size gets at a zone for every value of the axis that the
// zone hangs on.
func (v *varied) table(z, a int) {
	values := v.values[slices.Index(v.axes, a)]
	v.tables[z] = make([][]float64, len(values))
	for level, value := range values {
		v.m.at(a, value)
		v.m.points[z] = make([]float64, len(v.m.sizes))
		v.m.takePoints(z)
		v.tables[z][level] = v.m.points[z]
	}
	v.m.points[z] = make([]float64, len(v.m.sizes))
	v.m.goBack(a)
}

// body moves all axes to the values of one body.
func (v *varied) body(i int) {
	for k, a := range v.axes {
		_, u := math.Modf(0.5 + float64(i+1)*v.ways[k])
		level := int(u * float64(len(v.values[k])))
		v.m.axes[a].level = level
		v.m.at(a, v.values[k][level])
	}
	for z, table := range v.tables {
		if table != nil {
			v.m.points[z] = table[v.m.axes[v.on[z]].level]
		}
	}
	for _, z := range v.anew {
		v.m.takePoints(z)
	}
}

// bell cuts the normal distribution into equally likely steps and gives the
// middle of each, in standard deviations.
func bell(steps int) []float64 {
	out := make([]float64, steps)
	for i := range out {
		p := (float64(i) + 0.5) / float64(steps)
		out[i] = math.Sqrt2 * math.Erfinv(2*p-1)
	}
	return out
}

// sequence gives the steps of the additive recurrence that spreads points
// evenly over so many dimensions: the powers of 1/x, where x^(n+1) = x + 1. In
// one dimension that is the golden section. It knows no chance.
func sequence(dimensions int) []float64 {
	x := 1.0
	for range 64 { // each round halves what is left at least
		x = math.Pow(1+x, 1/float64(dimensions+1))
	}
	out := make([]float64, dimensions)
	for k := range out {
		out[k] = math.Pow(x, -float64(k+1))
	}
	return out
}

// inAWord says how sure the answer is, and which other one has the next share.
func (m *variation) inAWord(sh *shares, answer int) (Sureness, string) {
	rival := -1
	for s, n := range sh.best {
		if s != answer && (rival < 0 || n > sh.best[rival]) {
			rival = s
		}
	}
	l := &m.voc.Limits
	p, other := float64(sh.best[answer])/float64(sh.bodies), float64(sh.best[rival])/float64(sh.bodies)
	switch {
	case p >= l.NearlyCertain:
		return NearlyCertain, m.sizeOr(rival)
	case p >= l.Likely:
		return IsLikely, m.sizeOr(rival)
	case math.Abs(p-other) <= l.AsLikely:
		return AsLikely, m.sizeOr(rival)
	case p > other:
		return Likelier, m.sizeOr(rival)
	}
	return LessLikely, m.sizeOr(rival)
}

// noSize stands for a size where nothing fits.
const noSize = "none"

// sizeOr names a size by its place; beyond the last, and before the first, none.
func (f *Fitter) sizeOr(s int) string {
	if s < 0 || s >= len(f.sizes) {
		return noSize
	}
	return f.sizes[s]
}

// eitherWillDo finds another size that would do as well: it wins where a little more
// or a little less ease is wanted at every zone that decides, half of what is not felt.
// The two sizes then miss the ease wanted by amounts that differ by no more than that;
// which of them is best rests on the rule between sizes, or on less than anybody feels.
func (m *variation) eitherWillDo() (other int, ok bool) {
	best := m.best()
	if best < 0 {
		return 0, false
	}
	was := slices.Clone(m.wishes)
	defer func() {
		copy(m.wishes, was)
		m.judgeAgain()
	}()
	for _, way := range []float64{-1, 1} {
		for z, c := range m.zones {
			if c.decides && c.zone.eased() {
				m.wishes[z] = m.moreOf(was[z], c, way*m.leastTolerance(c.zone)/2)
			}
		}
		m.judgeAgain()
		if s := m.best(); s >= 0 && s != best {
			return s, true
		}
	}
	return 0, false
}

// tie tells whether another size fits just as well as the one recommended.
func tie(a *Answer, other string) bool {
	i := slices.IndexFunc(a.Sizes, func(s SizeAnswer) bool { return s.Size == other })
	own, its := a.Recommended.Misfit, a.Sizes[i].Misfit
	return own != nil && its != nil && math.Abs(*own-*its) <= sameMisfit
}

// moreOf is a wish for more ease at a zone, in the unit of the zone.
func (m *variation) moreOf(w Wish, c *column, more float64) Wish {
	w.Figure = convert(w.Figure, w.Percent, c.zone.percent(), m.own(c).v) + more
	w.Percent = c.zone.percent()
	return w
}

// judgeAgain judges every zone that decides anew.
func (m *variation) judgeAgain() {
	m.moves++
	for z, points := range m.points {
		if points != nil {
			m.takePoints(z)
		}
	}
}

// measureAgain is the measurement, or the stretch of the cloth, that settles most,
// where the answer flips within the error of one, and between which values it decides,
// in words.
func (m *variation) measureAgain(sh *shares, flips []flip) (again *MeasureAgain, say string) {
	for k, i := range sh.axes {
		a := &m.axes[i]
		near := slices.DeleteFunc(slices.Clone(flips), func(fl flip) bool { return fl.axis != i || !m.isNear(&fl) })
		if a.kind != byTape && a.kind != byGauge || len(near) == 0 || again != nil && sh.gains[k] <= again.Gain {
			continue
		}
		again = &MeasureAgain{Measurement: a.name, Error: m.figureIn(a, m.mayErr(a)), Gain: sh.gains[k]}
		if m.isPercent(a) {
			again.Unit = "percent"
		}
		for _, fl := range near {
			value := m.figureIn(a, fl.to)
			if fl.to < a.now {
				again.Low = &value
			} else {
				again.High = &value
			}
		}
		say = m.sayFlip(near).Say
	}
	return again, say
}

// isNear tells whether a flip lies within the error of its figure.
func (m *variation) isNear(fl *flip) bool {
	a := &m.axes[fl.axis]
	return a.sd > 0 && math.Abs(fl.to-a.now) <= m.mayErr(a)
}

// mayErr is how far a reading may be off: repeated readings and who took it counted in.
func (m *variation) mayErr(a *axis) float64 { return a.sd * m.voc.Limits.TapeDeviations }

// explainSure says how the shares came about.
func (m *variation) explainSure(a *Answer, sh *shares, flips []flip) *explain.Node {
	n := &explain.Node{ID: "sure", Source: "method: how sure"}
	n.Label = fmt.Sprintf("how sure: of %d plausible bodies", sh.bodies)
	for s, count := range sh.best {
		switch {
		case count == 0:
		case s == len(m.sizes):
			n.Label += fmt.Sprintf(", %d fit no size", count)
		default:
			n.Label += fmt.Sprintf(", %d come out best in size %s", count, m.sizes[s])
		}
	}
	if a.Recommended != nil {
		n.Value = explain.Number(*a.Recommended.Confidence, "")
	} else {
		n.Value = explain.Number(*a.NothingFits, "")
	}
	for _, i := range sh.axes {
		if a := &m.axes[i]; len(a.zones) > 0 || slices.ContainsFunc(flips, func(fl flip) bool { return fl.axis == i }) {
			n.Add(m.explainError(a))
		}
	}
	return n
}

// explainError says how far one figure may be off.
func (m *variation) explainError(a *axis) *explain.Node {
	l := &m.voc.Limits
	n := &explain.Node{ID: "sure/" + a.name, Source: "method: how sure"}
	switch a.kind {
	case byGauge:
		n.Value = explain.Number(roundTo(a.sd, 100), "percent")
		n.Label = fmt.Sprintf("%s: %s, a standard deviation of %s x that", a.name, m.Percent(a.now), m.Percent(l.StretchError*100))
		return n
	case byEstimate:
		zone := m.zones[a.zone].zone
		n.ID = "sure/estimate/" + zone.Name
		n.Value = explain.Number(roundTo(a.sd*100, 100), "percent")
		n.Label = fmt.Sprintf("the finished %s where it is estimated: a standard deviation of %s of it", zoneTitle(zone), m.Percent(a.sd*100))
		return n
	}
	n.Value, n.Source = cmValue(a.sd), a.measure.Source
	n.Label = fmt.Sprintf("your %s: %s, %s", a.measure.Title, m.inUnits(a.now), m.explainTape(a.measure))
	return n
}
