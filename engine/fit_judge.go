package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// Fitting is what one person brings to a prepared pattern.
type Fitting struct {
	Body   *Body
	Cloth  *Cloth // nil: the recipe's stretch stands in
	Wishes []Wish
	Over   []Layer // worn beneath the garment
	Today  string  // YYYY-MM-DD; empty: no age is judged
	Units  quantity.Unit
	Kept   []*KeptGarment // garments that tell what ease is liked
	Wearer *Body          // who wore them; nil: the body itself
	// Observed is what was seen on a toile, nil where none was sewn. Its size is
	// judged as the toile corrects it, and recommended unless a rule rules it out.
	Observed *Observations
}

// judging is one body judged against one prepared pattern.
type judging struct {
	*Fitter
	Fitting
	words
	*scratch
	zones  []*column // the Fitter's, save where an estimate is moved
	cloth  clothFacts
	layers layerFacts
	kept   []*KeptGarment // in order
	liking []liking       // per zone; none where no garment is named
	wishes []Wish         // per zone
	reach  []reach        // per zone: the tolerances on both sides
	// byWidth: a girth picks the size, and a child's height only whose lengths are cut.
	byWidth bool
	chart   pick
	// altering is what alterations make of the size shown, once they were asked.
	altering altering
	none     figure        // what is not known
	sewn     int           // the toile's size, where there is one
	whyToile *explain.Node // why one is advised; nil: none is
	ledger   *ledger       // the plan of the size shown, once it was drawn
}

// explainer says what a judging found: in the words and the figures of an answer,
// and as the tree of its explanation. It computes nothing that decides a size.
type explainer struct{ *judging }

func (j *judging) explainer() explainer { return explainer{j} }

// scratch is the room a judging works in, which the next one can use again.
type scratch struct {
	body  []figure  // by the vocabulary's places
	fits  []zoneFit // sizes x zones
	env   *binder
	inner *binder  // for what alterations would do, while rules are asked
	worn  []worn   // by size, the bust
	would struct { // what an alteration would do, while rules are asked
		made  altered
		scene scene
		why   explain.Node
	}
	results []ruleResults // by size, and one more for what is the same for all
	// opened, by size, and named, by the vocabulary's places, are found when they
	// are first asked for, and again after letGo.
	opened []openings
	named  []int   // 1 + the size that a measurement names on the chart; 0: not asked yet, -1: none
	looked []scene // of the rule that is being asked
	ranks  []ranked
	spare  []fired
	placed []placed
}

// forget forgets what was found out from figures that move.
func (r *scratch) forget() {
	clear(r.env.last)
	clear(r.named)
	for i := range r.opened {
		r.opened[i].found, r.worn[i].found = false, false
	}
}

// takeScratch gives a judging its room, cleared.
func (f *Fitter) takeScratch() *scratch {
	if r, ok := f.rooms.Get().(*scratch); ok {
		clear(r.body)
		clear(r.fits)
		r.forget()
		for i := range r.results {
			r.resultsOf(i)
		}
		return r
	}
	return &scratch{body: make([]figure, len(f.voc.names)), fits: make([]zoneFit, len(f.sizes)*len(f.zones)), env: f.newBinder(), inner: f.newBinder(), worn: make([]worn, len(f.sizes)),
		results: make([]ruleResults, len(f.sizes)+1), opened: make([]openings, len(f.sizes)), named: make([]int, len(f.voc.names))}
}

// resultsOf is the room for what the rules say of one size, or, after the last
// size, of all; empty.
func (r *scratch) resultsOf(s int) *ruleResults {
	h := &r.results[s]
	h.fired, h.skipped = h.fired[:0], h.skipped[:0]
	return h
}

// reach is how far the ease may lie from the wanted before it costs a point,
// below and above.
type reach struct{ below, above float64 }

// zoneFit is one zone of one size.
type zoneFit struct {
	judged   bool
	because  string // why not judged
	body     float64
	finished *figure
	ease     float64 // nanometres or percent
	drawn    *figure
	wanted   float64
	distance float64
	points   float64
}

// UnknownError says that the measurement which picks the size is not known.
type UnknownError struct {
	Recipe, Measurement, Title, How string
	At                              diag.Range // of the measurements that are known
}

// Code is the code of the mistake.
func (e *UnknownError) Code() diag.Code { return notTaken }

// Hint says how to take it.
func (e *UnknownError) Hint() string {
	return fmt.Sprintf("add `%s:` to the body file. %s", e.Measurement, e.How)
}

func (e *UnknownError) Error() string {
	return fmt.Sprintf("%s is chosen by the %s, which is not known", An(e.Recipe), e.Title)
}

// giveBack gives the room back; nothing of the judging may be used after it.
func (j *judging) giveBack() {
	j.env.j = nil
	j.rooms.Put(j.scratch)
}

func (f *Fitter) judge(t Fitting) (*judging, error) {
	if t.Body == nil {
		return nil, noBody
	}
	sewn := 0
	if t.Observed != nil {
		var err error
		if f, sewn, err = f.corrected(t.Observed); err != nil {
			return nil, err
		}
	}
	j := &judging{Fitter: f, Fitting: t, words: words{t.Units}, scratch: f.takeScratch(), zones: f.zones, sewn: sewn}
	j.env.j = j
	j.readBody()
	j.readWidths()
	j.readCloth()
	j.readKept()
	if err := j.settleWanted(); err != nil {
		return nil, err
	}
	var err error
	if j.chart, err = j.pickSize(); err != nil {
		return nil, err
	}
	if t.Observed != nil && !j.chart.row[j.cells[sewn]].Known {
		return nil, f.notOfPattern(t.Observed.Size, t.Observed.SizeAt)
	}
	j.reach = make([]reach, len(f.zones))
	for z := range f.zones {
		j.reach[z] = j.reaches(z)
	}
	for z := range f.zones {
		j.fitSizes(z)
	}
	return j, nil
}

// settleWanted settles what is wanted, and what is worn beneath.
func (j *judging) settleWanted() (err error) {
	if j.wishes, err = j.wishFor(j.Wishes); err == nil {
		j.layers, err = j.readLayers(j.Over)
	}
	return err
}

// CheckWanted finds what is wrong with the wishes and layers of a request, whoever's body it is about. Errors: [WishError],
// [OverlapError], [LayerError], and [LikedError] where no garment is named.
func (f *Fitter) CheckWanted(t Fitting) error {
	return (&judging{Fitter: f, Fitting: t, zones: f.zones}).settleWanted()
}

// fitSizes judges one zone of every size. What is the same for all of them in the
// usual zone, compared with one figure of the body and meant to fit as drawn, is
// looked up once.
func (j *judging) fitSizes(z int) {
	c, w := j.zones[z], &j.wishes[z]
	body, _ := j.of(c.measure)
	usual := body.known && !c.standIn && c.gap == "" && c.zone.eased() && c.zone.Ease != nil &&
		w.Word == WishDrawn && w.Figure == 0 && j.layers.adds == 0 && j.goesWith(z) < 0
	for s := range j.sizes {
		r := j.fitted(z, s)
		if !usual || !c.finished[s].known || !c.drawn[s].known {
			j.fit(r, z, s, nil)
			continue
		}
		r.judged, r.body, r.finished, r.drawn, r.wanted = true, body.v, &c.finished[s], &c.drawn[s], c.drawn[s].v
		j.weigh(r, z, s)
	}
}

// weigh works out the ease of a zone that is measured, and what it counts.
func (j *judging) weigh(r *zoneFit, z, s int) {
	c := j.zones[z]
	r.ease = easeOf(r.finished.v, r.body, c.zone.percent())
	if c.zone.Laps != "" {
		r.ease -= j.closedWith(c, s)
	}
	r.distance = r.ease - r.wanted
	if r.points = 0; j.hasSay(z) {
		r.points = points(c.zone.Weight, r.distance, j.reach[z])
	}
}

func (j *judging) fitted(z, s int) *zoneFit { return &j.fits[s*len(j.zones)+z] }

// reaches holds one pair of tolerances per zone, taken around the wanted ease
// of the pattern's middle size, or the nearest size that has one.
func (j *judging) reaches(z int) reach {
	c := j.zones[z]
	if c.zone.By == ByChart {
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

// wantedInTheMiddle is the ease wanted in the middle size. Where the garment is
// not measured there, or no ease is wanted, the nearest where both are known, the
// smaller first.
func (j *judging) wantedInTheMiddle(z int) (float64, bool) {
	made, mid := j.zones[z].finished, (len(j.sizes)+1)/2-1
	for away := range made {
		for _, s := range [2]int{mid - away, mid + away} {
			if s < 0 || s >= len(made) || !made[s].known {
				continue
			}
			if wanted, ok := j.wanted(z, s); ok {
				return wanted, true
			}
		}
	}
	return 0, false
}

// wanted is the ease wanted at a zone in one size, layers beneath included.
func (j *judging) wanted(z, s int) (float64, bool) {
	c, w := j.zones[z], &j.wishes[z]
	if lead := j.goesWith(z); lead >= 0 {
		return j.along(z, lead, s)
	}
	if w.Figure == 0 && w.Word != "" && j.layers.adds == 0 {
		return j.worded(z, s)
	}
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
	return v + convert(j.beneath(c), false, c.zone.percent(), own.v), true
}

// along is the ease at a zone that goes with another: as drawn, and as much more or
// less as is asked for there, layers beneath included.
func (j *judging) along(z, lead, s int) (float64, bool) {
	c, other := j.zones[z], j.zones[lead]
	base, ok := j.drawnOr(z, s, "drawn")
	asked, known := j.wanted(lead, s)
	drawn, drew := j.drawnOr(lead, s, "drawn")
	if !ok || !known || !drew {
		return 0, false
	}
	more := convert(asked-drawn, other.zone.percent(), false, j.own(other).v)
	return base + convert(more, false, c.zone.percent(), j.own(c).v), true
}

// worded is what the wish's word alone wants, before layers are added.
func (j *judging) worded(z, s int) (float64, bool) {
	if word := j.wishes[z].Word; word != Liked {
		return j.drawnOr(z, s, word)
	}
	return j.likedOr(z, s)
}

// drawnOr is what the words that rest on the drawn ease or the range want.
func (j *judging) drawnOr(z, s int, word WishWord) (float64, bool) {
	c := j.zones[z]
	if c.zone.Ease == nil || c.zone.Laps != "" { // no wish shortens an overlap
		return c.drawn[s].v, c.drawn[s].known
	}
	drawn := c.drawn[s].v
	if !c.drawn[s].known || word == WishExpected {
		drawn = j.middleOf(c.zone)
	}
	switch word {
	case WishCloser:
		low, _ := j.ends(c.zone)
		least := convert(j.wearingAlone(c), false, c.zone.percent(), j.own(c).v)
		return min(drawn, max((drawn+low)/2, least)), true
	case WishRoomier:
		_, high := j.ends(c.zone)
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
func (j *judging) fit(r *zoneFit, z, s int, why *explain.Node) {
	c := j.zones[z]
	if c.zone.By == ByChart {
		j.fitChart(r, z, s, why)
		return
	}
	if j.measure(r, z, s); !r.judged {
		return
	}
	j.weigh(r, z, s)
	if why != nil {
		j.explainer().explainFit(z, s, r, why)
	}
}

// measure gathers what must be known before a zone can be judged.
func (j *judging) measure(r *zoneFit, z, s int) {
	c := j.zones[z]
	body := j.at(c, s)
	r.body, r.finished, r.drawn = body.v, &c.finished[s], &c.drawn[s]
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
}

// closedWith is the ease that a wrap is closed with, in nanometres; what is left
// of its width is the overlap.
func (j *judging) closedWith(c *column, s int) float64 {
	z := j.zoneAt(c.zone.Laps)
	if z < 0 {
		return 0
	}
	ease, _ := j.wanted(z, s)
	return convert(ease, j.zones[z].zone.percent(), false, j.own(j.zones[z]).v)
}

// fitChart judges a zone that is read straight off the chart, such as a child's height.
func (j *judging) fitChart(r *zoneFit, z, s int, why *explain.Node) {
	c := j.zones[z]
	body := j.at(c, s)
	r.body, r.finished, r.drawn = body.v, &j.none, &j.none
	switch {
	case c.gap != "":
		r.because = c.gap
	case !body.known:
		r.because = fmt.Sprintf("your %s is not known", c.measure.Title)
	case !c.chart[s].known:
		r.because = fmt.Sprintf("the chart has no %s for size %s", c.measure.Title, j.sizes[s])
	}
	if r.because != "" {
		return
	}
	r.judged = true
	r.distance = c.chart[s].v - r.body
	if j.hasSay(z) {
		r.points = points(c.zone.Weight, r.distance, j.reach[z])
	}
	if why != nil {
		j.explainer().explainChartFit(z, s, r, why)
	}
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

// verdict is the first that applies. A zone read off the chart has no ease: its
// distance speaks. So it does of a length that is meant to end elsewhere than the
// type expects, such as a short sleeve.
func (j *judging) verdict(c *column, r *zoneFit) Verdict {
	z, percent := c.zone, c.zone.percent()
	ease, e := ticks(r.ease, percent), z.Ease
	if e == nil || z.By == ByChart || c.reaches() && !e.holds(r.wanted) {
		e = &EaseRange{}
	}
	is := girthVerdicts
	if c.reaches() {
		is = lengthVerdicts
	}
	switch {
	case r.finished.estimated:
		return NotKnown
	case e.HasLow && ease < 0 && e.Low >= 0:
		return is.smaller
	case ticks(math.Abs(r.distance), percent) <= ticks(j.leastTolerance(z), percent):
		return AsWanted
	case e.HasLow && ease < ticks(e.Low, percent):
		return is.under
	case e.HasHigh && ease > ticks(e.High, percent):
		return is.over
	case r.distance < 0:
		return is.less
	}
	return is.more
}

// verdicts are the words for less and more than is wanted, and beyond the ends of the
// range: a length that ends elsewhere is neither close nor roomy.
type verdicts struct{ smaller, under, over, less, more Verdict }

var (
	girthVerdicts  = verdicts{SmallerThan, TooClose, TooRoomy, Closer, Roomier}
	lengthVerdicts = verdicts{TooShort, TooShort, TooLong, Shorter, Longer}
)

// reaches tells whether a zone is a length that says how far the garment reaches,
// rather than one that is stretched along the body.
func (c *column) reaches() bool { return c.measure.Kind == Along && !c.pulls }

// holds tells whether an ease lies in the range.
func (e *EaseRange) holds(v float64) bool {
	v = ticks(v, e.Percent)
	return !(e.HasLow && v < ticks(e.Low, e.Percent)) && !(e.HasHigh && v > ticks(e.High, e.Percent))
}

// misfit is the sum of a size's points, and whether every deciding zone that
// can be judged in some size is judged in this one, and any can.
func (j *judging) misfit(s int) (sum float64, ok bool) {
	if !j.chart.row[j.cells[s]].Known {
		return 0, false
	}
	lacks := false
	for z := range j.zones {
		r, says := j.fitted(z, s), j.hasSay(z)
		sum += r.points
		ok = ok || says && r.judged
		lacks = lacks || says && !r.judged && j.judgedSomewhere(z)
	}
	return sum, ok && !lacks
}

// anyDecides tells whether any zone that decides is judged in any size; else
// the chart alone has to do.
func (j *judging) anyDecides() bool {
	for z := range j.zones {
		if j.hasSay(z) && j.judgedSomewhere(z) {
			return true
		}
	}
	return false
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
	class    int // what ranks before all else, from 0; the toile's size -1
	cups     int // nearer ones of its upper bust
	away     int // sizes from the chart size, where no zone that decides is judged at all
}

// known is the misfit, nil where a zone that decides is lacking.
func (p placed) known() *float64 {
	if !p.judged {
		return nil
	}
	return &p.misfit
}

// sameMisfit is the difference under which two misfits tie.
const sameMisfit = 1e-9

// order sorts sizes: those not ruled out, then those ruled out, then in the
// same way those that lack a deciding zone; each by misfit, ties by the recipe's word.
func (j *judging) order(ps []placed) {
	for i := range ps {
		ps[i].class = 0
		if !ps[i].judged {
			ps[i].class = 2
		}
		if ps[i].ruledOut {
			ps[i].class++
		}
		if j.sewnFirst(&ps[i]) {
			ps[i].class = -1
		}
	}
	slices.SortFunc(ps, placed.compare)
	for i := 0; i < len(ps); {
		k := i + 1
		for k < len(ps) && ps[k].class == ps[i].class && ps[k].cups == ps[i].cups && ps[k].away == ps[i].away && ps[k].misfit-ps[i].misfit <= sameMisfit {
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

// compare orders sizes that tie in nothing.
func (a placed) compare(b placed) int {
	switch {
	case a.class != b.class || a.cups != b.cups:
		return cmp.Or(a.class-b.class, a.cups-b.cups)
	case a.misfit < b.misfit:
		return -1
	case a.misfit > b.misfit:
		return 1
	}
	return cmp.Or(a.away-b.away, a.s-b.s)
}

// byMisfit places every size by its misfit alone; sizes the chart cannot place
// by the deciding measurement are left out. The list holds until the next one.
func (j *judging) byMisfit() []placed {
	decided := j.anyDecides()
	ps := j.placed[:0]
	for s := range j.sizes {
		if !j.chart.row[j.cells[s]].Known {
			continue
		}
		p := placed{s: s, cups: j.nearerCups(s)}
		p.misfit, p.judged = j.misfit(s)
		if !decided {
			p.away = max(s-j.chart.s, j.chart.s-s)
		}
		ps = append(ps, p)
	}
	j.placed = ps
	j.order(ps)
	return ps
}
