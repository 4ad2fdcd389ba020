package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
)

// pace is a finished row beside the row of the body that it is for. From size to
// size the garment grows as the body does, or by a little more each time; where it
// does not, one of the two rows has slipped.
type pace struct {
	name       string
	body, made Row
	at         []int   // the sizes that both rows give
	usual      float64 // by how much the garment's step is more than the body's, in the middle
	bears      float64 // by how much a step may be off
}

// pace is that of a measurement; false where the rows share too few sizes.
func (in *inspection) pace(name string) (*pace, bool) {
	p := &pace{name: name, body: in.mend.Chart[name], made: in.mend.Finished[name]}
	for s := range in.mend.Sizes {
		if p.body.known() && p.made.known() && p.body[s].Known && p.made[s].Known {
			p.at = append(p.at, s)
		}
	}
	if p.steps() < in.voc.Limits.PaceSteps {
		return nil, false
	}
	more := make([]float64, p.steps())
	for k := range more {
		more[k] = p.step(p.made, k) - p.step(p.body, k)
	}
	slices.Sort(more)
	p.usual = more[len(more)/2]
	p.bears = float64(in.voc.Limits.PaceOff)
	if z := in.zoneOf(name); z != nil && z.Ease.Percent {
		p.bears = max(p.bears, float64(p.rounded(&in.voc.Limits))) // a share of the body, rounded, steps unevenly
	}
	return p, true
}

// rounded is the coarsest of the steps in which charts are printed that all of the garment's figures are rounded to.
func (p *pace) rounded(l *Limits) quantity.Length {
	for _, grain := range []quantity.Length{l.ChartStepIn, l.ChartStepCm, l.MadeStepIn} {
		if !slices.ContainsFunc(p.at, func(s int) bool { return p.made[s].Low%grain != 0 }) {
			return grain
		}
	}
	return 0
}

// out tells a difference between steps that shows.
func (p *pace) out(v float64) bool { return ticks(math.Abs(v), false) > ticks(p.bears, false) }

func (p *pace) steps() int { return len(p.at) - 1 }

// step is the k-th step of one of the rows.
func (p *pace) step(row Row, k int) float64 {
	return row[p.at[k+1]].middle() - row[p.at[k]].middle()
}

// off is how much further the garment steps than it would in pace.
func (p *pace) off(k int) float64 { return p.step(p.made, k) - p.step(p.body, k) - p.usual }

// paced are the measurements that both the body and the garment have.
func (in *inspection) paced() (all []string) {
	for _, name := range in.voc.names {
		if _, ok := in.pace(name); ok && in.voc.Measure(name).Kind != Angle {
			all = append(all, name)
		}
	}
	return all
}

// wholeRows finds finished rows that are wrong as a whole, or from a size on: in
// the other unit, the same in every size, or not growing any more.
func (in *inspection) wholeRows() {
	for _, name := range in.paced() {
		p, _ := in.pace(name)
		if in.voc.Measure(name).Kind == Girth && !in.otherUnit(p) && !in.notGraded(p) {
			in.stopsGrowing(p)
		}
	}
}

// otherUnit finds a row whose ease is what the type expects once it is read in the
// other unit.
func (in *inspection) otherUnit(p *pace) bool {
	z := in.zoneOf(p.name)
	if z == nil {
		return false
	}
	inch := float64(quantity.Inch) / float64(quantity.Centimetre)
	for _, way := range []struct {
		factor float64
		words  string
	}{{inch, "inches in a row of centimetres"}, {1 / inch, "centimetres in a row of inches"}} {
		if z.within(p, func(made float64) float64 { return made }) > 0 || 2*z.within(p, func(made float64) float64 { return made * way.factor }) <= len(p.at) {
			continue
		}
		s := p.at[0]
		was := p.made[s].middle()
		in.several(Finding{ID: "other-unit", Severity: IsError, Of: OfFinished, Row: p.name,
			Because: fmt.Sprintf("The %s looks like %s: %s in size %s would be %s.", in.named(OfFinished, p.name), way.words, in.inUnits(was), in.read.Sizes[s], in.inUnits(was*way.factor))},
			p.at, s, known(was), known(was*way.factor))
		for _, s := range p.at {
			p.made[s].put(p.made[s].middle() * way.factor)
		}
		return true
	}
	return false
}

// put writes a figure into a cell.
func (c *Cell) put(v float64) {
	l := quantity.Length(math.Round(v))
	c.Low, c.High = l, l
}

// notGraded finds a row that is the same in every size while the body grows.
func (in *inspection) notGraded(p *pace) bool {
	for k := range p.steps() {
		if p.step(p.made, k) != 0 || !p.grows(p.step(p.body, k)) {
			return false
		}
	}
	first, last := p.at[0], p.at[p.steps()]
	in.several(Finding{ID: "not-graded", Severity: IsWarning, Of: OfFinished, Row: p.name,
		Because: fmt.Sprintf("The %s is %s in every size, while the body of the chart grows from %s to %s.", in.named(OfFinished, p.name), in.cell(p.made[first]), in.cell(p.body[first]), in.cell(p.body[last]))},
		p.at, last, known(p.made[last].middle()), figure{})
	middle := p.at[len(p.at)/2]
	ease := p.made[middle].middle() - p.body[middle].middle()
	for _, s := range p.at {
		p.made[s].put(p.body[s].middle() + ease)
	}
	return true
}

// grows tells a step that shows.
func (p *pace) grows(step float64) bool { return step > 0 && p.out(step) }

// stopsGrowing finds a row that stays the same from a size to the last, while the
// other goes on.
func (in *inspection) stopsGrowing(p *pace) {
	for _, one := range []struct {
		of         Part
		row, other Row
		usual      float64
	}{{OfFinished, p.made, p.body, 1}, {OfBody, p.body, p.made, -1}} {
		from := p.steps()
		for from > 0 && p.step(one.row, from-1) == 0 && p.grows(p.step(one.other, from-1)) {
			from--
		}
		if from == 0 || p.steps()-from < 2 {
			continue // all of it, or a single cell, which is looked at later
		}
		before, _ := in.pace(p.name)
		usual := before.usualOf(from) * one.usual
		for k := from; k < p.steps(); k++ {
			was := one.row[p.at[k+1]].middle()
			expected := one.row[p.at[k]].middle() + p.step(one.other, k) + usual
			if k == from {
				in.several(Finding{ID: "stops-growing", Severity: IsWarning, Of: one.of, Row: p.name,
					Because: fmt.Sprintf("The %s stays at %s from size %s on, while the %s goes on growing: %s in size %s would keep pace.", in.ofChart(one.of, p.name), in.cell(one.row[p.at[k]]), in.read.Sizes[p.at[k]],
						in.ofChart(one.of.other(), p.name), in.inUnits(expected), in.read.Sizes[p.at[k+1]])},
					p.at[k+1:], p.at[k+1], known(was), known(expected))
			}
			one.row[p.at[k+1]].put(expected)
		}
	}
}

// usualOf is what is usual of the first steps.
func (p *pace) usualOf(n int) float64 {
	more := make([]float64, n)
	for k := range more {
		more[k] = p.step(p.made, k) - p.step(p.body, k)
	}
	slices.Sort(more)
	return more[n/2]
}

// other is the row that a row is compared with.
func (of Part) other() Part {
	if of == OfBody {
		return OfFinished
	}
	return OfBody
}

// paceSlip is a cell, or all from a cell on, that is off by an amount.
type paceSlip struct {
	step   int // that shows it
	cell   int // among the sizes that both rows give
	on     bool
	amount float64 // of the garment's row; the body's is off by as much the other way
}

// outOfPace finds single cells that are out of pace, and rows that jump and go on
// from there.
func (in *inspection) outOfPace() {
	for _, name := range in.paced() {
		for p, ok := in.pace(name); ok; p, ok = in.pace(name) {
			s, found := in.paceSlip(p)
			if !found {
				break
			}
			in.tellSlip(p, s, in.atFault(p, s))
		}
	}
}

// paceSlip is the first slip of a row; none where most steps are out of pace, or
// from a size on all are, which is another way of grading.
func (in *inspection) paceSlip(p *pace) (s paceSlip, found bool) {
	n, odd := p.steps(), 0
	for k := range n {
		if p.out(p.off(k)) {
			odd++
		}
	}
	if 2*odd > n {
		return s, false
	}
	if s, found := p.singleCell(); found {
		return s, true
	}
	like := func(k, l int) bool { return l >= 0 && l < n && p.out(p.off(l)) && p.off(k)*p.off(l) > 0 }
	for k := range n {
		off := p.off(k)
		switch {
		case !p.out(off), like(k, k+1), like(k, k-1):
		case k == 0 && !in.expects(p, off):
			return paceSlip{k, 0, false, -off}, true
		default:
			return paceSlip{k, k + 1, k+1 < n, off}, true
		}
	}
	return s, false
}

// singleCell is the cell that makes one step too long and the next too short by the most, or the other way round. Where the two
// are not off by as much, the cell before the first or behind the last has slipped too.
func (p *pace) singleCell() (s paceSlip, found bool) {
	most := 0.0
	for k := range p.steps() - 1 {
		a, b := p.off(k), p.off(k+1)
		least := min(math.Abs(a), math.Abs(b))
		if !p.out(a) || !p.out(b) || a*b > 0 || math.Abs(a+b) > least/2 || least <= most {
			continue
		}
		most, found = least, true
		s = paceSlip{k, k + 1, false, a}
		if k == 0 {
			s.amount = -b
		}
	}
	return s, found
}

// expects tells whether the sizes after the first have the ease that the type expects
// only if they are all off by an amount.
func (in *inspection) expects(p *pace, off float64) bool {
	z := in.zoneOf(p.name)
	return z != nil && 2*z.within(p, func(made float64) float64 { return made }) <= len(p.at) && 2*z.within(p, func(made float64) float64 { return made - off }) > len(p.at)
}

// zoneOf is the zone that is judged by a measurement, if it has ease.
func (in *inspection) zoneOf(measure string) *Zone {
	i := slices.IndexFunc(in.q.Recipe.Zones, func(z Zone) bool { return z.Measure == measure && z.eased() && z.Ease != nil })
	if i < 0 {
		return nil
	}
	return &in.q.Recipe.Zones[i]
}

// within counts the sizes that have the ease the type expects, once each is made otherwise.
func (z *Zone) within(p *pace, made func(float64) float64) (n int) {
	for _, s := range p.at {
		body, made := p.body[s].middle(), made(p.made[s].middle())
		ease := made - body
		if z.Ease.Percent {
			ease = (made/body - 1) * 100
		}
		if (!z.Ease.HasLow || ease >= z.Ease.Low) && (!z.Ease.HasHigh || ease <= z.Ease.High) {
			n++
		}
	}
	return n
}

// mended is a row without a slip, which is off by an amount there.
func (p *pace) mended(row Row, s paceSlip, amount float64) Row {
	out := slices.Clone(row)
	for i, at := range p.at {
		if i == s.cell || s.on && i > s.cell {
			out[at].Low -= quantity.Length(math.Round(amount))
			out[at].High -= quantity.Length(math.Round(amount))
		}
	}
	return out
}

// atFault is the row that a slip is in: the one that steps more evenly without it.
// At an end, and where a row jumps, larger steps may begin; then, and where both
// are as even, it is the one that does not step there as the other rows do.
func (in *inspection) atFault(p *pace, s paceSlip) Part {
	gain := func(row Row, amount float64) int {
		return p.changesOf(row) - p.changesOf(p.mended(row, s, amount))
	}
	made, body := gain(p.made, s.amount), gain(p.body, -s.amount)
	if others, ok := in.othersAt(p, s.step); ok && (made == body || s.on || s.cell == 0 || s.cell == p.steps()) {
		m, b := math.Abs(p.step(p.made, s.step)-p.usual-others), math.Abs(p.step(p.body, s.step)-others)
		if ticks(m, false) != ticks(b, false) {
			made, body = cmp.Compare(m, b), cmp.Compare(b, m)
		}
	}
	if body > made {
		return OfBody
	}
	return OfFinished
}

// changesOf counts how often a row steps otherwise than just before.
func (p *pace) changesOf(row Row) (n int) {
	for k := 1; k < p.steps(); k++ {
		if p.out(p.step(row, k) - p.step(row, k-1)) {
			n++
		}
	}
	return n
}

// othersAt is how far the other rows of girths step there that are graded as this
// one is: the middle of them. False where most do not agree on it.
func (in *inspection) othersAt(p *pace, k int) (step float64, ok bool) {
	var all []float64
	for _, name := range in.paced() {
		o, _ := in.pace(name)
		if name == p.name || in.voc.Measure(name).Kind != Girth || !slices.Equal(o.at, p.at) {
			continue
		}
		for _, row := range []Row{o.body, o.made} {
			if !p.out(p.middleStep(row) - p.middleStep(p.body)) {
				all = append(all, p.step(row, k))
			}
		}
	}
	if len(all) == 0 {
		return 0, false
	}
	slices.Sort(all)
	middle := all[len(all)/2]
	alike := slices.DeleteFunc(slices.Clone(all), func(v float64) bool { return p.out(v - middle) })
	return middle, 2*len(alike) > len(all)
}

// middleStep is the middle one of the steps of a row.
func (p *pace) middleStep(row Row) float64 {
	all := make([]float64, p.steps())
	for k := range all {
		all[k] = p.step(row, k)
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// tellSlip tells of a slip in a row, and puts it right.
func (in *inspection) tellSlip(p *pace, s paceSlip, of Part) {
	row, other, amount := p.made, p.body, s.amount
	if of == OfBody {
		row, other, amount = p.body, p.made, -s.amount
	}
	at := p.at[s.cell]
	was := row[at].middle()
	expected := was - amount
	f := Finding{ID: "out-of-pace", Severity: IsWarning, Of: of, Row: p.name}
	why := fmt.Sprintf("it steps by %s, the other by %s", in.stepWords(p, row, s), in.stepWords(p, other, s))
	if !s.on && math.Abs(amount) > math.Abs(p.middleStep(row)) {
		if put, how := in.meant(row[at], expected, float64(in.voc.Limits.PaceOff)); how != "" {
			f.ID, f.Severity, expected, why = "typing-slip", IsError, put, how
		}
	}
	f.Because = fmt.Sprintf("The %s of size %s, %s, is out of pace with the %s, which would have it at %s: %s", in.ofChart(of, p.name), in.read.Sizes[at], in.cell(row[at]), in.ofChart(of.other(), p.name), in.inUnits(expected), why)
	if s.on {
		f.Because += fmt.Sprintf("; all larger sizes are off by as much, %s", in.inUnits(math.Abs(amount)))
	}
	if of == OfFinished && in.mustCover(p.name) && p.made[at].Low < p.body[at].Low {
		f.Severity = IsError
		f.Because += "; the garment is smaller than its body there"
	}
	f.Because += "."
	in.found(f, at, known(was), known(expected))
	copy(row, p.mended(row, s, was-expected))
}

// ofChart is a row in a sentence that is about both rows of a measurement.
func (in *inspection) ofChart(of Part, name string) string {
	if of == OfBody {
		return "chart's " + in.voc.Title(name)
	}
	return in.named(of, name)
}

// stepWords say how a row steps to a cell, or from it where it is the first, and on where that shows a slip too.
func (in *inspection) stepWords(p *pace, row Row, s paceSlip) string {
	words := func(k int) string {
		if v := p.step(row, k); v < 0 {
			return in.inUnits(-v) + " back"
		}
		return in.inUnits(p.step(row, k))
	}
	out := words(s.step)
	if on := s.step + 1; on == s.cell && !s.on && on < p.steps() {
		out += ", then " + words(on)
	}
	return out
}

// mustCover tells a girth at which the garment may not be smaller than the body.
func (in *inspection) mustCover(measure string) bool {
	z := in.zoneOf(measure)
	return z != nil && in.voc.Measure(measure).Kind == Girth && in.q.Recipe.Stretch.Kind != StretchNeeded && !(z.Ease.HasLow && z.Ease.Low < 0)
}
