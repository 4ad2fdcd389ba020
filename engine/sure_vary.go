package engine

import (
	"maps"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// variation is a judging whose figures can be moved, to ask for the best size
// again and again. It asks the same as [Fitter.Rank], without words, and only
// again what hangs on the figures that move.
type variation struct {
	*judging
	asBrought Fitting // before anything was moved
	axes      []axis
	reads     [][]int // per zone: the axes its points hang on
	stopAts   []stopAt
	raw       bool        // a stop rule looks at readings of the tape
	chartly   bool        // the chart size has a say in which size is best
	points    [][]float64 // per zone that decides: what each size gets there
	places    []placed    // the sizes that can be the best

	moves    int   // counts the moves
	stiff    bool  // however its stretches move, the cloth counts as one that does not stretch
	forgotAt int   // the move at which what depends on figures was last forgotten
	fresh    []int // per size, the turn at which its zones were judged
	one      [1]scene
}

// axis is one figure that can be moved: a measurement, a stretch of the cloth,
// what an estimate is off by, or the ease wanted at a zone.
type axis struct {
	kind    axisKind
	name    string // as a change is typed: hip, cloth.stretch.across, ease=hip
	measure *Measure
	zone    int
	now, sd float64
	zones   []int // whose points hang on it
	used    bool  // it has a say in which size is best
	level   int   // which of its values it stands at
	move    func(v float64)
	back    func() // to where it was
}

type axisKind int

const (
	byTape axisKind = iota
	byGauge
	byEstimate
	byWish
)

// stopAt is a rule that stops, where it looks.
type stopAt struct {
	rule  *boundRule
	zone  int // -1: everywhere its scenes lie
	axes  []int
	feels bool   // it looks at a stretch of the cloth that is too little to count as one
	on    int    // the axis that moves here; -1: none, -2: several
	known []byte // per size and level: not asked yet, no, yes
}

// vary prepares to move the figures of one fitting.
func (f *Fitter) vary(t Fitting) (*variation, error) {
	j, err := f.judge(t)
	if err != nil {
		return nil, err
	}
	m := &variation{judging: j, asBrought: t, fresh: make([]int, len(f.sizes)), chartly: f.recipe.Controlling.Formula != nil || !j.anyDecides()}
	m.copyEstimates()
	m.makeAxes()
	m.bindStops()
	m.points, m.reads = make([][]float64, len(m.zones)), make([][]int, len(m.zones))
	for z, c := range m.zones {
		if !c.decides {
			continue
		}
		m.reads[z] = m.zoneAxes(z)
		for _, a := range m.reads[z] {
			m.axes[a].used = true
			m.axes[a].zones = append(m.axes[a].zones, z)
		}
		m.points[z] = make([]float64, len(m.sizes))
		m.takePoints(z)
	}
	for _, a := range m.cupAxes() {
		m.axes[a].used = true
	}
	if m.chartly {
		for _, a := range m.picksAxes() {
			m.axes[a].used = true
		}
	}
	m.line()
	return m, nil
}

// copyEstimates makes columns that hold an estimate this judging's own.
func (m *variation) copyEstimates() {
	m.zones = slices.Clone(m.zones)
	for z, c := range m.zones {
		if slices.ContainsFunc(c.finished, func(f figure) bool { return f.estimated }) {
			own := *c
			own.finished, own.drawn = slices.Clone(c.finished), slices.Clone(c.drawn)
			m.zones[z] = &own
			for s := range m.sizes {
				m.fit(m.fitted(z, s), z, s, nil)
			}
		}
	}
}

// makeAxes lists what can be moved, in the vocabulary's order.
func (m *variation) makeAxes() {
	b := *m.Body
	b.Measurements = maps.Clone(b.Measurements)
	m.Body = &b
	for _, name := range m.voc.names {
		if q := m.voc.Measure(name); m.body[q.index].known {
			value, taken := m.body[q.index].v, b.Measurements[name]
			m.axes = append(m.axes, axis{kind: byTape, name: name, measure: q, now: m.body[q.index].v, sd: m.errorOf(q).mean,
				move: func(v float64) { m.moveBody(q, v) }, back: func() { m.body[q.index].v, b.Measurements[name] = value, taken }})
		}
	}
	m.makeCloth()
	for z, c := range m.zones {
		if own := m.estimateAxis(z, c); own.move != nil {
			m.axes = append(m.axes, own)
		}
	}
	for z, c := range m.zones {
		if c.decides && c.zone.By != ByChart && c.zone.Ease != nil {
			was := m.wishes[z]
			m.axes = append(m.axes, axis{kind: byWish, name: "ease=" + c.zone.Name, zone: z,
				move: func(v float64) { m.wishes[z] = figureWish(c.zone, v) }, back: func() { m.wishes[z] = was }})
		}
	}
}

// figureWish wants this ease at a zone, layers beneath left out.
func figureWish(z *Zone, ease float64) Wish {
	return Wish{Zone: z.Name, Figure: ease, Percent: z.percent()}
}

func (m *variation) moveBody(q *Measure, v float64) {
	m.body[q.index].v = v
	if m.raw {
		m.Body.Measurements[q.Name] = Measurement{Readings: []Reading{{Length: quantity.Length(v)}}, At: m.Body.Measurements[q.Name].At}
	}
}

// The stretches of a cloth, as a change is typed.
const (
	acrossName = "cloth.stretch.across"
	alongName  = "cloth.stretch.along"
	biasName   = "cloth.stretch.bias"
)

// makeCloth makes the stretches of the cloth movable; of a cloth that is
// only assumed, what is assumed.
func (m *variation) makeCloth() {
	was, k := m.Cloth, assumedCloth(m.recipe)
	if was != nil {
		k = *was
	}
	for _, way := range []struct {
		name  string
		field **float64
	}{{acrossName, &k.Across}, {alongName, &k.Along}, {biasName, &k.Bias}} {
		own := axis{kind: byGauge, name: way.name}
		switch {
		case *way.field != nil:
			own.now = **way.field
		case k.Structure != Woven || way.name == biasName:
			continue // nothing is known of what a knit stretches, or a cloth on the bias, if it is not named
		}
		if was != nil {
			own.sd = own.now * m.voc.Limits.StretchError
		}
		read, v := *way.field, own.now
		own.move = func(to float64) {
			v = max(to, 0)
			*way.field, m.Cloth = &v, &k
			m.readCloth()
		}
		own.back = func() {
			*way.field, m.Cloth = read, was
			m.readCloth()
		}
		m.axes = append(m.axes, own)
	}
}

// estimateAxis moves what the estimates of a zone are off by, as a share of
// themselves: all of them together, as one maker draws all sizes alike.
func (m *variation) estimateAxis(z int, c *column) axis {
	if c == m.Fitter.zones[z] || c.zone.Laps != "" {
		return axis{}
	}
	read, laps := slices.Clone(c.finished), m.overlapOf(c)
	move := func(off float64) {
		for s := range read {
			if !read[s].estimated {
				continue
			}
			c.finished[s].v = math.Round(read[s].v * (1 + off))
			c.drawn[s].v = easeOf(c.finished[s].v, c.chart[s].v, c.zone.percent())
			if laps != nil && laps.finished[s].known {
				laps.finished[s].v = c.finished[s].v + laps.drawn[s].v
			}
		}
	}
	back := func() {
		copy(c.finished, read)
		copy(c.drawn, m.Fitter.zones[z].drawn)
		if laps != nil {
			copy(laps.finished, m.Fitter.zones[m.zoneAt(laps.zone.Name)].finished)
		}
	}
	return axis{kind: byEstimate, zone: z, sd: m.voc.Limits.EstimateError, move: move, back: back}
}

// overlapOf is the overlap of a wrap's girth, nil where it has none.
func (m *variation) overlapOf(girth *column) *column {
	i := slices.IndexFunc(m.zones, func(c *column) bool { return c.zone.Laps != "" && c.zone.Laps == girth.zone.Name })
	if i < 0 {
		return nil
	}
	return m.zones[i]
}

// readings counts the readings that the value rests on: of a limb those of the
// side that is used.
func (t Measurement) readings() int {
	switch {
	case len(t.Left) == 0 && len(t.Right) == 0:
		return len(t.Readings)
	case mean(t.Left) >= mean(t.Right):
		return len(t.Left)
	}
	return len(t.Right)
}

// tape is the axis of the measurement that is used for another, if it is known.
func (m *variation) tape(q *Measure) []int {
	if q == nil {
		return nil
	}
	_, from := m.of(q)
	return m.where(func(a *axis) bool { return a.measure == from })
}

func (m *variation) where(is func(*axis) bool) []int {
	var out []int
	for i := range m.axes {
		if is(&m.axes[i]) {
			out = append(out, i)
		}
	}
	return out
}

func (m *variation) gauges() []int { return m.where(func(a *axis) bool { return a.kind == byGauge }) }

// bodyAxes are the axes that stand for the body at a measurement.
func (m *variation) bodyAxes(q *Measure) []int {
	if q == nil {
		return nil
	}
	if c := m.columnFor(q); c.standIn && m.upperBust().known {
		return append(m.tape(m.voc.Measure("upper_bust")), m.tape(q)...)
	}
	return m.tape(q)
}

// zoneAxes are the axes that a zone's figures hang on.
func (m *variation) zoneAxes(z int) []int {
	c := m.zones[z]
	if c.gap != "" {
		return nil
	}
	out := append(m.where(func(a *axis) bool { return a.kind == byEstimate && a.zone == z }), m.wishAxes(z)...)
	switch {
	case m.shouldered(z):
		out = append(out, m.tape(m.voc.Measure("upper_bust"))...)
	default:
		out = append(out, m.bodyAxes(c.measure)...)
	}
	if laps := m.zoneAt(c.zone.Laps); c.zone.Laps != "" && laps >= 0 && laps != z {
		out = append(out, m.zoneAxes(laps)...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// seenAxes are the axes of a zone as rules see it, over the full bust.
func (m *variation) seenAxes(z int) []int {
	if m.shouldered(z) && m.zones[z].gap == "" {
		return append(m.zoneAxes(z), m.bodyAxes(m.zones[z].measure)...)
	}
	return m.zoneAxes(z)
}

// shouldered tells whether a zone goes by the upper bust alone, in every size:
// the full bust has no part in it, not even to turn a wish into its unit.
func (m *variation) shouldered(z int) bool {
	c, w := m.zones[z], &m.wishes[z]
	if !c.standIn || !m.upperBust().known || c.zone.percent() || w.Percent {
		return false
	}
	for s := range m.sizes {
		if !m.cup(s).known {
			return false
		}
	}
	return true
}

// cupAxes are the axes that tell cups of one upper bust apart.
func (m *variation) cupAxes() []int {
	if _, ok := m.byCup(); !ok || m.chartCups == nil {
		return nil
	}
	return m.tape(m.bust)
}

// picksAxes are the axes that the chart size hangs on.
func (m *variation) picksAxes() []int {
	var out []int
	for _, name := range m.recipe.Controlling.named(m.voc) {
		out = append(out, m.bodyAxes(m.voc.Measure(name))...)
	}
	return append(out, m.bodyAxes(m.chart.by)...)
}

// bindStops finds where the rules that stop look, and what each hangs on.
func (m *variation) bindStops() {
	for _, r := range m.stops.atOnce {
		m.bindStop(r, -1)
	}
	for z, rules := range m.stops.byZone {
		for _, r := range rules {
			m.bindStop(r, z)
		}
	}
}

func (m *variation) bindStop(r *boundRule, zone int) {
	if m.never(r, zone) {
		return
	}
	st := stopAt{rule: r, zone: zone}
	for _, name := range r.when.Names() {
		axes := m.nameAxes(name, zone)
		st.axes = append(st.axes, axes...)
		st.feels = st.feels || !countsStretch(name) && slices.ContainsFunc(axes, func(a int) bool { return m.axes[a].kind == byGauge })
	}
	slices.Sort(st.axes)
	st.axes = slices.Compact(st.axes)
	for _, a := range st.axes {
		m.axes[a].used = true
	}
	m.stopAts = append(m.stopAts, st)
}

// countsStretch tells whether a name looks at a stretch only where it counts as one.
func countsStretch(name string) bool {
	return name == "zone.stretch" || name == "zone.stretch_needed" || name == "zone.stretch_least" || strings.HasPrefix(name, "opening.")
}

// never tells whether a rule cannot fire there in any size, whatever moves: most
// look at zones that decide alone.
func (m *variation) never(r *boundRule, zone int) bool {
	m.env.put(r.names, &scene{zone: zone})
	clear(m.env.last)
	return r.when.Never(m.env.env, func(name string) bool {
		t, ok := m.voc.term(name)
		return !ok || t.local && name != "zone.decides" && name != "zone.asked" || len(m.nameAxes(name, zone)) > 0
	})
}

// fixed are names whose group moves and which do not themselves.
var fixed = map[string]bool{
	"size.name": true,
	"zone.name": true, "zone.role": true, "zone.kind": true, "zone.mend": true, "zone.estimated": true,
	"stretch.least": true, "stretch.drafted": true,
}

// nameAxes are the axes that a name in a rule hangs on.
func (m *variation) nameAxes(name string, zone int) []int {
	group, rest, _ := strings.Cut(name, ".")
	if fixed[name] {
		return nil
	}
	switch group {
	case "body":
		return m.bodyAxes(m.voc.Measure(rest))
	case "ease", "wanted":
		if z := m.zoneAt(rest); z >= 0 {
			return m.seenAxes(z)
		}
	case "zone":
		switch {
		case zone < 0:
			return nil
		case rest == "decides", rest == "asked":
			return m.wishAxes(zone)
		}
		if strings.HasPrefix(rest, "stretch") {
			return append(m.seenAxes(zone), m.gauges()...)
		}
		return m.seenAxes(zone)
	case "stretch":
		return m.gauges()
	case "opening":
		return append(m.openingAxes(), m.gauges()...)
	case "measurement":
		m.raw = true
		return m.where(func(a *axis) bool { return a.kind == byTape })
	case "recipe":
		if rest == "deciding" {
			return m.sayAxes()
		}
	case "size":
		if rest == "torn" {
			return m.tornAxes()
		}
		m.chartly = true
		return m.where(func(a *axis) bool { return a.kind != byEstimate })
	}
	return nil // of the recipe, the pattern, the kind of cloth
}

// wishAxes are the wishes that say whether a zone is asked for, and whether it has a
// say in the size.
func (m *variation) wishAxes(zone int) []int {
	c := m.zones[zone]
	return m.where(func(a *axis) bool {
		return a.kind == byWish && (a.zone == zone || c.decides && c.zone.Role == Mended && m.zones[a.zone].zone.Role == Decides)
	})
}

// sayAxes are the wishes on which hangs how many zones have a say in the size.
func (m *variation) sayAxes() []int {
	var out []int
	for z, c := range m.zones {
		if c.decides && c.zone.Role == Mended {
			out = append(out, m.wishAxes(z)...)
		}
	}
	return out
}

// tornAxes are the axes of all zones that decide.
func (m *variation) tornAxes() []int {
	out := m.gauges()
	for z, c := range m.zones {
		if c.decides {
			out = append(out, m.zoneAxes(z)...)
		}
	}
	return out
}

// openingAxes are the axes of what has to get in.
func (m *variation) openingAxes() []int {
	var out []int
	for i := range m.recipe.Openings {
		o := &m.recipe.Openings[i]
		for _, parts := range o.Passes {
			for _, p := range parts {
				out = append(out, m.tape(m.voc.Measure(p))...)
			}
		}
		if o.Closure != nil {
			out = append(out, m.tape(m.voc.Measure(o.Closure.RunBy))...)
		}
	}
	return out
}

// line lists the sizes among which the best is.
func (m *variation) line() {
	judges := false // some size is judged at every zone that decides
	m.places = m.places[:0]
	for s := range m.sizes {
		if !m.chart.row[m.cells[s]].Known {
			continue
		}
		_, judged := m.judging.misfit(s)
		if judged && !judges {
			m.places, judges = m.places[:0], true
		}
		if judged == judges {
			m.places = append(m.places, placed{s: s, judged: judged})
		}
	}
}

// takePoints judges a zone anew in every size.
func (m *variation) takePoints(z int) {
	m.reach[z] = m.reaches(z)
	for s := range m.sizes {
		r := m.fitted(z, s)
		m.fit(r, z, s, nil)
		m.points[z][s] = r.points
	}
}

// isStiff tells whether the cloth counts as one that does not stretch even where
// each of some axes has its highest value.
func (m *variation) isStiff(axes []int, highest func(a *axis) float64) bool {
	moved := m.where(func(a *axis) bool { return a.kind == byGauge })
	moved = slices.DeleteFunc(moved, func(a int) bool { return !slices.Contains(axes, a) })
	for _, a := range moved {
		m.at(a, highest(&m.axes[a]))
	}
	firm := !m.stretches(m.cloth.round) && !m.stretches(m.cloth.upDown)
	for _, a := range moved {
		m.goBack(a)
	}
	return firm
}

// rests tells whether an axis makes no difference where it is moved.
func (m *variation) rests(a int) bool {
	return m.stiff && !m.chartly && m.axes[a].kind == byGauge &&
		!slices.ContainsFunc(m.stopAts, func(st stopAt) bool { return st.feels && slices.Contains(st.axes, a) })
}

// free says which axes will move. Those with levels take that many values each;
// what hangs on no more than one of them is then asked once a value.
func (m *variation) free(axes []int, levels int) {
	for i := range m.stopAts {
		st := &m.stopAts[i]
		st.on = -1
		for _, a := range st.axes {
			switch {
			case !slices.Contains(axes, a), m.stiff && !st.feels && m.axes[a].kind == byGauge:
			case st.on == -1:
				st.on = a
			default:
				st.on = -2
			}
		}
		switch {
		case st.on == -1:
			st.known = make([]byte, len(m.sizes))
		case st.on >= 0 && levels > 0:
			st.known = make([]byte, len(m.sizes)*levels)
		default:
			st.known = nil
		}
	}
}

// at moves an axis.
func (m *variation) at(a int, v float64) {
	m.moves++
	m.axes[a].move(v)
}

// goBack puts an axis and what hangs on it back to where it was.
func (m *variation) goBack(a int) {
	m.moves++
	m.axes[a].back()
	m.follow(a)
}

// follow judges the zones anew whose points hang on an axis.
func (m *variation) follow(a int) {
	for _, z := range m.axes[a].zones {
		m.takePoints(z)
	}
}

// best is the best size that nothing rules out, as [Fitter.Rank] finds it; -1
// where every size is ruled out, or where a rule fails on these figures.
func (m *variation) best() int {
	if m.chartly && m.pick() != nil {
		return -1
	}
	for i := range m.places {
		p := &m.places[i]
		p.misfit, p.cups = 0, m.nearerCups(p.s)
		for _, points := range m.points {
			if points != nil {
				p.misfit += points[p.s]
			}
		}
	}
	m.order(m.places)
	for _, p := range m.places {
		if stopped, err := m.stoppedNow(p.s); err != nil {
			return -1
		} else if !stopped {
			return p.s
		}
	}
	return -1
}

// pick finds the chart size anew.
func (m *variation) pick() (err error) {
	m.scratch.forget()
	if m.chart, err = m.pickSize(); err != nil {
		return err
	}
	m.line()
	if m.anyDecides() {
		return nil
	}
	for i := range m.places {
		p := &m.places[i]
		p.away = max(p.s-m.chart.s, m.chart.s-p.s)
	}
	return nil
}

// stoppedNow tells whether a rule rules a size out, asking only what is not
// known from before.
func (m *variation) stoppedNow(s int) (bool, error) {
	for i := range m.stopAts {
		st := &m.stopAts[i]
		if st.known == nil {
			if yes, err := m.fires(st, s); yes || err != nil {
				return yes, err
			}
			continue
		}
		k := s
		if st.on >= 0 {
			k += m.axes[st.on].level * len(m.sizes)
		}
		if st.known[k] == 0 {
			yes, err := m.fires(st, s)
			if err != nil {
				return false, err
			}
			st.known[k] = 1
			if yes {
				st.known[k] = 2
			}
		}
		if st.known[k] == 2 {
			return true, nil
		}
	}
	return false, nil
}

// fires asks one rule about one size.
func (m *variation) fires(st *stopAt, s int) (bool, error) {
	m.freshen(s)
	h := m.resultsOf(s)
	m.one[0] = scene{s: s, zone: st.zone}
	scenes := m.one[:]
	switch {
	case st.zone >= 0:
		if !m.fitted(st.zone, s).judged || !m.asked(st.rule, &scenes[0]) {
			return false, nil
		}
	case st.rule.Each != "":
		scenes = m.scenes(st.rule, s)
	}
	for i := range scenes {
		if err := m.ask(st.rule, &scenes[i], h); err != nil || len(h.fired) > 0 {
			return true, err
		}
	}
	return false, nil
}

// freshen brings up to date what rules read of one size.
func (m *variation) freshen(s int) {
	if m.forgotAt != m.moves {
		m.scratch.forget()
		m.forgotAt = m.moves
	}
	if m.fresh[s] == m.moves {
		return
	}
	m.fresh[s] = m.moves
	for z := range m.zones {
		m.fit(m.fitted(z, s), z, s, nil)
	}
}
