package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Fitting is what one person brings to a prepared pattern.
type Fitting struct {
	Body   *Body
	Cloth  *Cloth // nil: the recipe's stretch stands in
	Wishes []Wish
	Over   []Layer // worn beneath the garment
	Today  string  // YYYY-MM-DD; empty: no age is judged
	Units  quantity.Unit
}

// judging is one body judged against one prepared pattern.
type judging struct {
	*Fitter
	Fitting
	words
	body   []figure // by the vocabulary's places
	cloth  clothFacts
	layers layerFacts
	wishes []Wish  // per zone
	reach  []reach // per zone: the tolerances on both sides
	chart  pick
	fits   []zoneFit // sizes x zones
	env    *binder
}

// reach is how far the ease may lie from the wanted before it costs a point,
// below and above.
type reach struct{ below, above float64 }

// zoneFit is one zone of one size.
type zoneFit struct {
	judged   bool
	because  string // why not judged
	body     float64
	finished figure
	ease     float64 // nanometres or percent
	drawn    figure
	wanted   float64
	distance float64
	points   float64
	verdict  Verdict
}

// UnknownError says that the measurement which picks the size is not known.
type UnknownError struct{ Recipe, Measurement, Title, How string }

func (e *UnknownError) Error() string {
	return fmt.Sprintf("a %s is chosen by the %s, which is not known", e.Recipe, e.Title)
}

func (f *Fitter) judge(t Fitting) (*judging, error) {
	j := &judging{Fitter: f, Fitting: t, words: words{t.Units}}
	j.readBody()
	var err error
	if j.wishes, err = f.wishFor(t.Wishes); err != nil {
		return nil, err
	}
	if j.layers, err = f.readLayers(t.Over); err != nil {
		return nil, err
	}
	j.readCloth()
	j.env = newBinder(j)
	if j.chart, err = j.pickSize(); err != nil {
		return nil, err
	}
	j.reach = make([]reach, len(f.zones))
	for z := range f.zones {
		j.reach[z] = j.reaches(z)
	}
	j.fits = make([]zoneFit, len(f.sizes)*len(f.zones))
	for s := range f.sizes {
		for z := range f.zones {
			j.fits[s*len(f.zones)+z] = j.fit(z, s, nil)
		}
	}
	return j, nil
}

func (j *judging) fitted(z, s int) *zoneFit { return &j.fits[s*len(j.zones)+z] }

// reaches holds one pair of tolerances per zone, taken around the wanted ease
// of the pattern's middle size, or the nearest size that has one.
func (j *judging) reaches(z int) reach {
	c := j.zones[z]
	if c.zone.By == "chart" {
		return reach{c.zone.Tolerance, c.zone.Tolerance}
	}
	if c.zone.Ease == nil || c.gap != "" {
		return reach{}
	}
	least := j.leastTolerance(c.zone)
	if !c.zone.Ease.HasLow || !c.zone.Ease.HasHigh {
		t := max(c.zone.Tolerance, least)
		return reach{t, t}
	}
	wanted, ok := j.wantedInTheMiddle(z)
	if !ok {
		return reach{}
	}
	low, high := c.zone.Ease.Low, c.zone.Ease.High
	narrow, wide := (high-low)*j.voc.Limits.ReachLeast, (high-low)*j.voc.Limits.ReachMost
	hold := func(r float64) float64 { return max(min(max(r, narrow), wide), least) }
	return reach{below: hold(wanted - low), above: hold(high - wanted)}
}

func (j *judging) wantedInTheMiddle(z int) (float64, bool) {
	mid := (len(j.sizes)+1)/2 - 1
	for away := 0; away < len(j.sizes); away++ {
		for _, s := range []int{mid - away, mid + away} {
			if s < 0 || s >= len(j.sizes) {
				continue
			}
			if v, ok := j.wanted(z, s); ok {
				return v, true
			}
		}
	}
	return 0, false
}

// wanted is the ease wanted at a zone in one size, layers beneath included.
func (j *judging) wanted(z, s int) (float64, bool) {
	c, w := j.zones[z], &j.wishes[z]
	own := j.own(c)
	if w.Percent != c.zone.percent() && w.Figure != 0 && !own.known {
		return 0, false
	}
	v := convert(w.Figure, w.Percent, c.zone.percent(), own.v)
	if w.Word != "" {
		base, ok := j.worded(z, s)
		if !ok {
			return 0, false
		}
		v += base
	}
	if j.layers.adds > 0 {
		v += convert(j.layers.adds, false, c.zone.percent(), own.v)
	}
	return v, true
}

// worded is what the wish's word alone wants.
func (j *judging) worded(z, s int) (float64, bool) {
	c, word := j.zones[z], j.wishes[z].Word
	if c.zone.Ease == nil {
		return c.drawn[s].v, c.drawn[s].known
	}
	drawn := c.drawn[s].v
	if !c.drawn[s].known || word == "expected" {
		drawn = j.middleOf(c.zone)
	}
	low, high := j.ends(c.zone)
	switch word {
	case "closer":
		least := convert(j.wearing(c), false, c.zone.percent(), j.own(c).v)
		return min(drawn, max((drawn+low)/2, least)), true
	case "roomier":
		return max(drawn, (drawn+high)/2), true
	}
	return drawn, true
}

// convert turns an ease into the zone's unit by the body's own measurement.
func convert(v float64, isPercent, toPercent bool, body float64) float64 {
	switch {
	case isPercent == toPercent || v == 0:
		return v
	case toPercent:
		return v / body * 100
	}
	return body * v / 100
}

// fit judges one zone of one size. With why, it writes down each claim.
func (j *judging) fit(z, s int, why *explain.Node) zoneFit {
	c := j.zones[z]
	if c.zone.By == "chart" {
		return j.fitChart(z, s, why)
	}
	r, ok := j.measured(z, s)
	if !ok {
		return r
	}
	percent := c.zone.percent()
	r.ease = easeOf(r.finished.v, r.body, percent)
	r.distance = r.ease - r.wanted
	if c.decides {
		r.points = points(c.zone.Weight, r.distance, j.reach[z])
	}
	r.verdict = j.verdict(c.zone, &r)
	if why != nil {
		j.explainFit(z, s, &r, why)
	}
	return r
}

// measured gathers what must be known before a zone can be judged.
func (j *judging) measured(z, s int) (r zoneFit, ok bool) {
	c := j.zones[z]
	body := j.at(c, s)
	r.body, r.finished, r.drawn = body.v, c.finished[s], c.drawn[s]
	wanted, wantedKnown := j.wanted(z, s)
	r.wanted = wanted
	switch {
	case c.gap != "":
		r.because = c.gap
	case !body.known:
		r.because = fmt.Sprintf("your %s is not known", c.measure.Title)
	case !r.finished.known:
		r.because = fmt.Sprintf("the pattern gives no finished %s for size %s", c.measure.Title, j.sizes[s])
	case !wantedKnown:
		r.because = fmt.Sprintf("the chart has no %s for size %s, and the recipe expects no particular ease there", c.measure.Title, j.sizes[s])
	default:
		r.judged = true
	}
	return r, r.judged
}

// fitChart judges a zone that is read straight off the chart, such as a child's height.
func (j *judging) fitChart(z, s int, why *explain.Node) zoneFit {
	c := j.zones[z]
	body := j.at(c, s)
	r := zoneFit{body: body.v}
	switch {
	case c.gap != "":
		r.because = c.gap
	case !body.known:
		r.because = fmt.Sprintf("your %s is not known", c.measure.Title)
	case !c.chart[s].known:
		r.because = fmt.Sprintf("the chart has no %s for size %s", c.measure.Title, j.sizes[s])
	}
	if r.because != "" {
		return r
	}
	r.judged = true
	r.distance = c.chart[s].v - r.body
	if c.decides {
		r.points = points(c.zone.Weight, r.distance, j.reach[z])
	}
	switch {
	case ticks(math.Abs(r.distance), false) <= ticks(j.leastTolerance(c.zone), false):
		r.verdict = AsWanted
	case r.distance < 0:
		r.verdict = Closer
	default:
		r.verdict = Roomier
	}
	if why != nil {
		j.explainChartFit(z, s, &r, why)
	}
	return r
}

// points is weight x (distance / tolerance) squared.
func points(weight, distance float64, r reach) float64 {
	tolerance := r.above
	if distance < 0 {
		tolerance = r.below
	}
	share := distance / tolerance
	return weight * share * share
}

// ticks rounds to 0.0001 cm or percentage points, in which figures are compared.
func ticks(v float64, percent bool) float64 {
	if percent {
		return math.Round(v * 10_000)
	}
	return math.Round(v / (nanometresPerCm / 10_000))
}

// verdict is the first that applies.
func (j *judging) verdict(z *Zone, r *zoneFit) Verdict {
	percent := z.percent()
	ease, wanted := ticks(r.ease, percent), ticks(r.wanted, percent)
	switch {
	case r.finished.estimated:
		return NotKnown
	case z.Ease != nil && z.Ease.HasLow && ease < 0 && z.Ease.Low >= 0:
		return SmallerThan
	case ticks(math.Abs(r.distance), percent) <= ticks(j.leastTolerance(z), percent):
		return AsWanted
	case z.Ease != nil && z.Ease.HasLow && ease < ticks(z.Ease.Low, percent):
		return TooClose
	case z.Ease != nil && z.Ease.HasHigh && ease > ticks(z.Ease.High, percent):
		return TooRoomy
	case ease < wanted:
		return Closer
	}
	return Roomier
}

// misfit is the sum of a size's points, and whether every deciding zone that
// can be judged in some size is judged in this one.
func (j *judging) misfit(s int) (sum float64, ok bool) {
	if !j.chart.row[j.cells[s]].Known {
		return 0, false
	}
	ok = true
	for z, c := range j.zones {
		r := j.fitted(z, s)
		sum += r.points
		if c.decides && !r.judged && j.judgedSomewhere(z) {
			ok = false
		}
	}
	return sum, ok
}

func (j *judging) judgedSomewhere(z int) bool {
	for s := range j.sizes {
		if j.fitted(z, s).judged {
			return true
		}
	}
	return false
}

// placed is one size with its place in the ranking.
type placed struct {
	s        int
	misfit   float64
	judged   bool // false: a deciding zone is lacking
	ruledOut bool
}

// sameMisfit is the difference under which two misfits tie.
const sameMisfit = 1e-9

// order sorts sizes: those not ruled out, then those ruled out, then those
// that lack a deciding zone; each by misfit, ties by the recipe's word.
func (j *judging) order(ps []placed) {
	class := func(p placed) int {
		switch {
		case !p.judged:
			return 2
		case p.ruledOut:
			return 1
		}
		return 0
	}
	slices.SortFunc(ps, func(a, b placed) int {
		return cmp.Or(cmp.Compare(class(a), class(b)), cmp.Compare(a.misfit, b.misfit), cmp.Compare(a.s, b.s))
	})
	for i := 0; i < len(ps); {
		k := i + 1
		for k < len(ps) && class(ps[k]) == class(ps[i]) && ps[k].misfit-ps[i].misfit <= sameMisfit {
			k++
		}
		slices.SortFunc(ps[i:k], func(a, b placed) int {
			if j.between == Larger {
				return cmp.Compare(b.s, a.s)
			}
			return cmp.Compare(a.s, b.s)
		})
		i = k
	}
}

// byMisfit places every size by its misfit alone; sizes the chart cannot place
// by the deciding measurement are left out.
func (j *judging) byMisfit() []placed {
	ps := make([]placed, 0, len(j.sizes))
	for s := range j.sizes {
		if !j.chart.row[j.cells[s]].Known {
			continue
		}
		m, ok := j.misfit(s)
		ps = append(ps, placed{s: s, misfit: m, judged: ok})
	}
	j.order(ps)
	return ps
}
