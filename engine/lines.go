package engine

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/explain"
)

// SizeLine is the size line to follow at one level of a nested pattern.
type SizeLine struct {
	Zone    string   `json:"zone"`           // the zone's name
	Size    string   `json:"size"`           // the size whose line is followed there
	At      float64  `json:"at"`             // the place among the sizes where the ease is as wanted, the smallest size being 0
	Own     string   `json:"own"`            // the size that would be best if this zone alone decided
	Unit    string   `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Ease    *float64 `json:"ease,omitempty"` // the ease there on the line that is followed; absent where it is not judged in that size
	Verdict Verdict  `json:"verdict"`        // how that comes out
	Because string   `json:"because"`        // why this line, in words
	Left    string   `json:"left,omitempty"` // what the line leaves to be put right, in words; absent where the ease lies in the range
}

// line is what a plan says of one zone.
type line struct {
	z     int
	own   int     // the best size as if the zone alone decided
	s     int     // the size whose line is followed
	at    float64 // the place in size order where ease = wanted
	why   string
	fixed bool // it hangs on no neighbour
	kept  bool // it takes its neighbour's line, whatever that is
}

// plan is which size line to follow at each level, and how to move between them.
type plan struct {
	bodice int    // the size whose line neck, shoulder, armhole and sleeve cap follow
	lines  []line // from the top of the body down
	steps  []step
}

// followed is, for each zone, the size whose line is followed there.
func (p *plan) followed(zones, s int) []int {
	out := slices.Repeat([]int{s}, zones)
	for _, l := range p.lines {
		out[l.z] = l.s
	}
	return out
}

// planner finds the size lines once the sizes are ranked.
type planner struct {
	*judging
	hearings []hearing
	sizes    []int // the sizes that the chart can place, in size order; of several cups the nearest
	best     int   // the size recommended
	bodice   int   // the line of neck, shoulder, armhole and sleeve cap
	settled  func(measure string) bool
	all      []line
}

// lines finds the size line for each zone. A zone that settled accepts is put
// right by an alteration and forces none; settled may be nil.
func (j *judging) lines(ps []placed, hearings []hearing, settled func(zone string) bool) *plan {
	if settled == nil {
		settled = func(string) bool { return false }
	}
	p := &planner{judging: j, hearings: hearings, best: ps[0].s, bodice: ps[0].s, settled: settled}
	for _, one := range ps {
		if one.cups == ps[0].cups {
			p.sizes = append(p.sizes, one.s)
		}
	}
	slices.Sort(p.sizes)
	for z, c := range j.zones {
		if c.lined() && slices.ContainsFunc(p.sizes, func(s int) bool { return j.fitted(z, s).judged }) {
			p.all = append(p.all, line{z: z, own: p.own(z), s: p.best, at: p.place(z)})
		}
	}
	if !j.recipe.Grading.Sensible {
		for i := range p.all {
			p.all[i].why = "one size throughout: " + j.recipe.Grading.Because
		}
		return &plan{lines: p.all, bodice: p.best}
	}
	p.hang()
	body, arm := p.chains()
	p.follow(body)
	p.follow(arm)
	return &plan{lines: p.all, bodice: p.bodice, steps: append(p.steps(body), p.steps(arm)...)}
}

// lined tells whether a zone has a size line: what goes round the body or across
// it and is not drawn in. Lengths have none.
func (c *column) lined() bool {
	return c.zone.Role != Held && c.zone.eased() && (c.measure.Kind == Girth || c.measure.Kind == Across)
}

// place is where among the sizes the ease is as wanted: linear between the
// neighbouring sizes that are judged. Where all have more it is the first, where
// all have less the last.
func (p *planner) place(z int) float64 {
	first, last := -1, -1
	for _, s := range p.sizes {
		r := p.fitted(z, s)
		if !r.judged {
			continue
		}
		if first < 0 {
			first = s
		}
		switch here := r.distance; {
		case here == 0:
			return float64(s)
		case last >= 0 && p.fitted(z, last).distance < 0 != (here < 0):
			before := p.fitted(z, last).distance
			return float64(last) + float64(s-last)*before/(before-here)
		}
		last = s
	}
	if p.fitted(z, last).distance > 0 {
		return float64(first)
	}
	return float64(last)
}

// own is the best size as if these zones alone decided.
func (p *planner) own(zs ...int) int {
	best, least := -1, math.Inf(1)
	for _, s := range p.sizes {
		sum, ok := p.together(zs, s)
		switch {
		case !ok:
		case sum < least-sameMisfit, sum <= least+sameMisfit && p.between == Larger:
			best, least = s, min(sum, least)
		}
	}
	switch {
	case best >= 0:
		return best
	case p.zones[zs[0]].decides:
		return p.best
	}
	return p.nearest(zs[0])
}

// together is the sum of some zones' points in one size, and whether all of them
// are judged there and none is forbidden.
func (p *planner) together(zs []int, s int) (sum float64, ok bool) {
	for _, z := range zs {
		if !p.fitted(z, s).judged || p.forbids(z, s) {
			return 0, false
		}
		sum += p.alone(z, s)
	}
	return sum, true
}

// nearest is the size that asks least of the cloth at a zone to be mended, where
// each one is forbidden.
func (p *planner) nearest(z int) int {
	best := p.best
	for _, s := range p.sizes {
		r := p.fitted(z, s)
		if r.judged && (!p.fitted(z, best).judged || r.finished.v > p.fitted(z, best).finished.v) {
			best = s
		}
	}
	return best
}

// alone is the points of a zone as if it alone decided.
func (p *planner) alone(z, s int) float64 {
	c, t := p.zones[z], p.reach[z]
	if t == (reach{}) {
		least := p.leastTolerance(c.zone)
		t = reach{least, least}
	}
	return points(c.zone.Weight, p.fitted(z, s).distance, t)
}

// forbids tells whether a size's line cannot be followed at a zone: a stop rule
// speaks there, or of the garment as a whole, or the cloth does not let the body in.
func (p *planner) forbids(z, s int) bool {
	c, r := p.zones[z], p.fitted(z, s)
	if !c.decides && !r.finished.estimated && !p.carriesAt(c, r) {
		return true
	}
	return slices.ContainsFunc(p.hearings[s].fired, func(f fired) bool { return f.rule.stops && p.about(&f.scene, z) })
}

// about tells whether what was said in a scene concerns the line at a zone. What
// is said of another zone that has a line of its own does not; an opening
// concerns the zones that decide, and the one whose line its edge goes with.
func (p *planner) about(sc *scene, z int) bool {
	switch {
	case sc.zone >= 0:
		return sc.zone == z || !p.zones[sc.zone].lined()
	case sc.opening != nil:
		return p.zones[z].decides || p.edge(sc.opening.o) == z
	}
	return true
}

// edge is the zone whose line an opened edge goes with: of those that may have
// another than the bodice's, the nearest to its level on the same limb, the upper one first; -1 where there is none.
func (p *planner) edge(o *Opening) int {
	m := p.voc.Measure(o.Measure)
	if m == nil {
		return -1
	}
	best, nearest := -1, math.MaxInt
	for z, c := range p.zones {
		if away := max(c.measure.Level-m.Level, m.Level-c.measure.Level); c.lined() && c.onArm() == (m.Limb == "arm") && away < nearest && !p.onBodice(c) {
			best, nearest = z, away
		}
	}
	return best
}

func (c *column) onArm() bool { return c.measure.Limb == "arm" }

// byShoulder tells whether a measurement lies with neck, shoulder, armhole and
// sleeve cap.
func (f *Fitter) byShoulder(m *Measure) bool { return m.Level <= f.voc.level("upper_arm") }

// onBodice tells whether a zone is cut on the bodice's line.
func (p *planner) onBodice(c *column) bool {
	return c.zone.Role == Mended && c.zone.Line == "" && p.byShoulder(c.measure)
}

// apart tells whether a zone has a line of its own that no seam leads to: a collar.
func (c *column) apart() bool { return c.zone.Line == "own" && len(c.zone.Seams) == 0 }

// hang settles the lines that follow from no neighbour: of the zones that
// decide, and of what is cut on the bodice's line or has one of its own.
func (p *planner) hang() {
	p.decide()
	for i := range p.all {
		l := &p.all[i]
		c := p.zones[l.z]
		switch {
		case l.fixed:
		case p.settled(c.zone.Measure) && !p.byShoulder(c.measure):
			l.fixed, l.why = true, "an alteration puts it right in the size recommended"
		case c.apart():
			l.fixed, l.s, l.why = true, l.own, "it has a line of its own"
		case p.onBodice(c):
			l.fixed, l.s, l.why = true, p.bodice, "neck, shoulder, armhole and sleeve cap are cut on one line"
		case c.zone.Line == "kept":
			l.kept, l.why = true, "it keeps its neighbour's line"
		case c.zone.Role == Mended && len(c.zone.Seams) == 0:
			l.kept, l.why = true, "no seam that may be moved is named here, so it keeps its neighbour's line, unless it is slashed at the side"
		}
	}
}

// decide settles the zones that decide the size, from the top down, and with
// them the line of the bodice. Those without a seam that may be moved share the line
// of the one above; the others keep it where it is as wanted for them too.
func (p *planner) decide() {
	groups := p.groups()
	for g, group := range groups {
		var zs []int
		for _, i := range group {
			zs = append(zs, p.all[i].z)
		}
		s := p.own(zs...)
		why := "it decides, and is best in this size"
		if len(zs) > 1 {
			why = "what decides on one line is best together in this size"
		}
		if g > 0 {
			above := &p.all[groups[g-1][0]]
			if p.asWanted(zs[0], above.s) || p.alike(zs[0], s, above.s) {
				s, why = above.s, p.sharedWith(above.z)
			}
		}
		for _, i := range group {
			l := &p.all[i]
			l.s, l.fixed, l.why = s, true, why
		}
		if g == 0 && p.byShoulder(p.zones[zs[0]].measure) {
			p.bodice = s
		}
	}
}

// groups are the zones that decide and have a line, as places in all: those of
// one group are cut on one line.
func (p *planner) groups() [][]int {
	var out [][]int
	for i := range p.all {
		c := p.zones[p.all[i].z]
		if c.zone.Role != Decides || c.zone.Line == "kept" || !p.byShoulder(c.measure) && p.settled(c.zone.Measure) {
			continue
		}
		if k := len(out) - 1; k >= 0 && len(c.zone.Seams) == 0 && p.zones[p.all[out[k][0]].z].onArm() == c.onArm() {
			out[k] = append(out[k], i)
			continue
		}
		out = append(out, []int{i})
	}
	return out
}

// asWanted tells whether a zone needs no other line than that of a size.
func (p *planner) asWanted(z, s int) bool {
	r, percent := p.fitted(z, s), p.zones[z].zone.percent()
	return r.judged && !p.forbids(z, s) && ticks(math.Abs(r.distance), percent) <= ticks(p.leastTolerance(p.zones[z].zone), percent)
}

// alike tells whether a zone's own line is no better than another size's: it lies
// in the same place, or has the same points.
func (p *planner) alike(z, own, s int) bool {
	a, b := p.fitted(z, own), p.fitted(z, s)
	return a.judged && b.judged && !p.forbids(z, s) && (a.finished.v == b.finished.v || p.alone(z, s) <= p.alone(z, own)+sameMisfit)
}

func (p *planner) sharedWith(z int) string {
	return fmt.Sprintf("the line of the %s does here too", zoneTitle(p.zones[z].zone))
}

// chains are the levels between which one moves from line to line, as places in
// all: down the body and its legs, and down the sleeve.
func (p *planner) chains() (body, arm []int) {
	for i := range p.all {
		c := p.zones[p.all[i].z]
		switch {
		case c.onArm():
			arm = append(arm, i)
		case p.onBodice(c), c.apart():
		default:
			body = append(body, i)
		}
	}
	return body, arm
}

// follow settles the lines of a chain that hang on their neighbours: from the
// first that is fixed up, then from there down.
func (p *planner) follow(chain []int) {
	fixed := func(i int) bool { return p.all[i].fixed }
	if !slices.ContainsFunc(chain, fixed) {
		for _, i := range chain { // what keeps its neighbour's line has none to keep but the size recommended
			p.all[i].fixed = p.all[i].kept
		}
	}
	first := slices.IndexFunc(chain, fixed)
	for k := first - 1; k >= 0; k-- {
		p.settle(chain[k], nil, &p.all[chain[k+1]])
	}
	for k := max(first, 0); k < len(chain); k++ {
		if p.all[chain[k]].fixed {
			continue
		}
		var above, below *line
		if k > 0 {
			above = &p.all[chain[k-1]]
		}
		if next := slices.IndexFunc(chain[k:], fixed); next > 0 {
			below = &p.all[chain[k+next]]
		}
		p.settle(chain[k], above, below)
	}
}

// settle takes a neighbour's line where it is as wanted, so that no step is
// needless; else the zone's own.
func (p *planner) settle(i int, above, below *line) {
	l := &p.all[i]
	var near []*line
	for _, n := range []*line{above, below} {
		if n != nil {
			near = append(near, n)
		}
	}
	switch {
	case l.kept:
		l.s = near[0].s
		return
	case len(near) == 0 && p.asWanted(l.z, p.bodice):
		l.s, l.why = p.bodice, "it is as wanted in the line of what lies above"
		return
	}
	for _, n := range near {
		if (p.asWanted(l.z, n.s) || p.alike(l.z, l.own, n.s)) && (l.why == "" || p.alone(l.z, n.s) < p.alone(l.z, l.s)) {
			l.s, l.why = n.s, p.sharedWith(n.z)
		}
	}
	if l.why != "" {
		return
	}
	for _, n := range near {
		if !p.measurable(l, n) {
			l.s, l.why = n.s, fmt.Sprintf("the pattern does not give both lines here, so it keeps that of the %s", zoneTitle(p.zones[n.z].zone))
			return
		}
	}
	l.s, l.why = l.own, "it is best in this size by itself"
}

// measurable tells whether the change between a zone's own line and a
// neighbour's is known, at the lower of the two levels.
func (p *planner) measurable(l, n *line) bool {
	made := p.zones[max(l.z, n.z)].finished
	return made[l.own].known && made[n.s].known
}

// sizeLines words the lines.
func (j *judging) sizeLines(p *plan) []SizeLine {
	out := []SizeLine{}
	for i := range p.lines {
		out = append(out, j.sizeLine(&p.lines[i]))
	}
	return out
}

func (j *judging) sizeLine(l *line) SizeLine {
	c, r := j.zones[l.z], j.fitted(l.z, l.s)
	a := SizeLine{Zone: c.zone.Name, Size: j.sizes[l.s], At: roundTo(l.at, 1000), Own: j.sizes[l.own], Verdict: NotKnown, Because: l.why}
	if !r.judged {
		a.Because += "; it is not judged in this size: " + r.because
		return a
	}
	z := j.zoneAnswer(l.z, l.s)
	a.Unit, a.Ease, a.Verdict = z.Unit, z.Ease, z.Verdict
	if !j.settled(c.zone.Measure) {
		a.Left = j.remains(c, r)
	}
	return a
}

// remains says what is to be done where the line that is followed leaves too
// much or too little.
func (j *judging) remains(c *column, r *zoneFit) string {
	if j.within(c, r) {
		return ""
	}
	percent := c.zone.percent()
	say := fmt.Sprintf("%s of ease where %s is expected", j.ease(r.ease, percent), j.span(c.zone.Ease))
	if c.zone.Mend != "" {
		say += ": " + c.zone.Mend
	}
	if edges := edgesOf(c.zone.Seams); edges > 0 {
		most := float64(j.voc.Limits.EdgeMost)
		say += fmt.Sprintf("; %s at most at each of the %d edges, %s in all", j.nm(most), edges, j.nm(most*float64(edges)))
	}
	return say
}

// within tells whether the ease lies in the range that the type expects.
func (j *judging) within(c *column, r *zoneFit) bool {
	e := c.zone.Ease
	if e == nil {
		return true
	}
	ease := ticks(r.ease, e.Percent)
	return (!e.HasLow || ease >= ticks(e.Low, e.Percent)) && (!e.HasHigh || ease <= ticks(e.High, e.Percent))
}

// explainLines hangs each zone's line below the zone's own claim of the size
// shown, and the step that ends there below that.
func (j *judging) explainLines(p *plan, best int, size *explain.Node) {
	for i := range p.lines {
		l := &p.lines[i]
		zone := size.Find(explain.ID("size", j.sizes[best], j.zones[l.z].zone.Name))
		n := j.explainLine(zone.ID+"/line", l)
		for k := range p.steps {
			if s := &p.steps[k]; s.to.z == l.z {
				n.Add(j.explainStep(n.ID+"/step", s))
			}
		}
		zone.Add(n)
	}
}

func (j *judging) explainLine(id string, l *line) *explain.Node {
	c := j.zones[l.z]
	n := &explain.Node{ID: id, Value: explain.Text(j.sizes[l.s]), Source: "method: size lines",
		Label: fmt.Sprintf("size line %s: %s", j.sizes[l.s], l.why)}
	if !j.recipe.Grading.Sensible {
		n.Source = j.recipe.Grading.At.String()
		return n
	}
	own := &explain.Node{ID: id + "/own", Value: explain.Text(j.sizes[l.own]), Source: "method: size lines",
		Label: fmt.Sprintf("as if the %s alone decided: size %s", zoneTitle(c.zone), j.sizes[l.own])}
	percent := c.zone.percent()
	switch r := j.fitted(l.z, l.own); {
	case !r.judged:
	case ticks(r.distance, percent) == 0:
		own.Label += fmt.Sprintf(", whose ease of %s is just what is wanted", j.ease(r.ease, percent))
	default:
		own.Label += fmt.Sprintf(", whose ease of %s is %s from the %s wanted", j.ease(r.ease, percent), j.change(r.distance, percent), j.ease(r.wanted, percent))
	}
	at := &explain.Node{ID: id + "/at", Value: explain.Number(roundTo(l.at, 1000), ""), Source: "method: size lines",
		Label: fmt.Sprintf("the ease is as wanted at %s in the order of the sizes, the smallest, %s, being 0", short(l.at), j.sizes[0])}
	return n.Add(own, at)
}
