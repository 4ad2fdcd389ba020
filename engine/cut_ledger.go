package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/explain"
)

// Plan is the ledger to cut by: what becomes of each level of the size shown.
// Every face that says something about cutting prints it.
type Plan struct {
	Levels []Level `json:"levels"` // lengths and girths alike, from the top of the body down
}

// Level is one level of the garment: on_line and the amounts of its changes add
// up to becomes; becomes less you is ease. Lengths are centimetres.
type Level struct {
	Zone      string        `json:"zone"`                // the zone's name, or the measurement's where an alteration alone looks there
	Unit      string        `json:"unit,omitempty"`      // "percent" where ease is a share of the body
	Line      string        `json:"line"`                // the size whose line is followed there
	OnLine    float64       `json:"on_line"`             // the garment there in the size shown, before anything is changed
	Estimated bool          `json:"estimated,omitempty"` // whether that is an estimate: then it is a reason for nothing
	Changes   []LevelChange `json:"changes"`             // in the order in which they are made; how it is laced first
	Lacing    *LevelLacing  `json:"lacing,omitempty"`    // of what is laced, how far apart its edges are
	Becomes   float64       `json:"becomes"`             // the garment there in the end
	You       float64       `json:"you"`                 // your own measurement there, the full bust at the bust
	Ease      float64       `json:"ease"`                // becomes less you; of you, where it is a percentage
	Least     *float64      `json:"least,omitempty"`     // the least ease that will do; absent where nothing says
	Most      *float64      `json:"most,omitempty"`      // the most ease that will do; absent where more is a matter of style
	Wish      *float64      `json:"wish,omitempty"`      // the ease asked for at this level, which then is both
	Rest      string        `json:"rest,omitempty"`      // what to do about what is left, in words
	Left      *float64      `json:"left,omitempty"`      // what no means could do: above 0 the garment is so much too small there, below 0 too large
	Because   string        `json:"because"`             // why it is changed, or left as it is
}

// LevelChange is one change at a level.
type LevelChange struct {
	By     By      `json:"by"`              // by which means
	ID     string  `json:"id,omitempty"`    // of an alteration, its rule's
	Amount float64 `json:"amount"`          // what the garment gains there, below 0 where it loses
	Edges  int     `json:"edges,omitempty"` // the cut edges that share it
	Each   float64 `json:"each,omitempty"`  // what each of them takes
	Order  int     `json:"order,omitempty"` // of an alteration, its place among them
	Say    string  `json:"say"`             // what to do; empty where another level's step does it
}

// By is the means of a change.
type By string

// The means.
const (
	ByLine       By = "line"       // another size line is followed
	ByAlteration By = "alteration" // a rule alters the pattern
	ByDart       By = "dart"       // darts take up more or less
	BySeam       By = "seam"       // seams are let out or taken in
	ByToile      By = "toile"      // it was pinned on the toile
	ByLacing     By = "lacing"     // it is laced closer or further apart; nothing is cut
)

// Means are those that a recipe may put in an order of its own.
func Means() []string {
	return []string{string(ByLine), string(ByAlteration), string(ByDart), string(BySeam)}
}

// row is a level while the plan is worked out; nanometres.
type row struct {
	z        int // -1: no zone looks there
	measure  *Measure
	base     figure // the garment in the size shown, as drafted
	line     int
	changes  []entry
	you      figure
	least    figure  // what the garment must measure at least
	most     figure  // and may at most
	unfelt   float64 // how far beyond them is not felt
	wish     figure  // the ease asked for, in nanometres
	settled  bool    // a toile settled it
	touched  bool    // there was a need
	kept     bool    // a line is kept to there that a blend would leave before
	shortage float64
	because  string
	lacing   *Lacing               // nil: nothing is laced there
	laced    figure                // what the garment measures laced to the ease wanted
	step     func(float64) float64 // to the nearest mark of the tape
}

// entry is a change in the ledger.
type entry struct {
	by     By
	made   *altered // of an alteration
	amount float64
	edges  int
	say    string
}

// cut is the garment there after all that is cut otherwise, laced as drawn.
func (r *row) cut() float64 {
	v := r.base.v
	for i := range r.changes {
		v += r.changes[i].amount
	}
	return v
}

// becomes is the garment there after all changes.
func (r *row) becomes() float64 { return r.with(0) }

// with is the garment there if it were cut by so much larger.
func (r *row) with(more float64) float64 {
	v := r.cut() + more
	return v + r.takes(v)
}

// need is how much larger the garment must become there, below 0 how much
// smaller; 0 where it will do, or where nothing is known for certain.
func (r *row) need() float64 {
	if !r.you.known || !r.base.known || r.base.estimated || r.settled {
		return 0
	}
	return r.lacks(r.becomes())
}

// lacks is what a garment that measures v would need there. What is not felt is no need.
func (r *row) lacks(v float64) float64 { return r.misses(v, r.unfelt) }

// misses is lacks where so much is not felt.
func (r *row) misses(v, unfelt float64) float64 {
	unfelt = ticks(unfelt, false)
	switch {
	case r.least.known && ticks(r.least.v-v, false) > unfelt:
		return r.least.v - v
	case r.most.known && ticks(v-r.most.v, false) > unfelt:
		return r.most.v - v
	}
	return 0
}

// ledger is the plan of one size while it is worked out.
type ledger struct {
	s      int
	bodice int    // the size whose line neck, shoulder, armhole and sleeve cap follow
	rows   []*row // in the vocabulary's order
	peers  []int  // sizes whose lines may be followed, in size order: of several cups the nearest
}

// add puts a row into its place.
func (l *ledger) add(r *row) {
	i := slices.IndexFunc(l.rows, func(o *row) bool { return o.measure.index > r.measure.index })
	if i < 0 {
		i = len(l.rows)
	}
	l.rows = slices.Insert(l.rows, i, r)
}

// at is the row of a measurement, or of the one that counts as the same.
func (l *ledger) at(m *Measure) *row {
	for _, r := range l.rows {
		if r.measure == m || m.SameAs != "" && r.measure.Name == m.SameAs {
			return r
		}
	}
	return nil
}

// of is the row of a zone, nil where it has none.
func (l *ledger) of(z int) *row {
	for _, r := range l.rows {
		if r.z == z {
			return r
		}
	}
	return nil
}

// open begins the ledger of a size: its own line throughout, and what was pinned
// on a toile.
func (j *judging) open(s int) *ledger {
	l := &ledger{s: s, bodice: s}
	for other := range j.sizes {
		if j.chart.row[j.cells[other]].Known && j.nearerCups(other) == j.nearerCups(s) {
			l.peers = append(l.peers, other)
		}
	}
	for z, c := range j.zones {
		if in := j.cutAt(z, s); c.zone.eased() && j.fitted(z, in).judged {
			r := j.openRow(z, in)
			j.byLength(r, s)
			l.rows = append(l.rows, r)
		}
	}
	return l
}

func (j *judging) openRow(z, s int) *row {
	c := j.zones[z]
	r := &row{z: z, measure: c.measure, base: c.finished[s], line: s, you: j.own(c)}
	if r.settled = c.seen != nil && c.seen.s == s; r.settled {
		r.base = c.drafted(s)
		if c.seen.line != s {
			j.followLine(r, c.seen.line)
		}
		if c.seen.by != 0 {
			r.changes = append(r.changes, entry{by: ByToile, amount: c.seen.by, edges: j.edgesAt(c.measure), say: j.explainer().seenWords(c.seen)})
		}
	}
	j.bound(r, c, s)
	j.lace(r, c, s)
	return r
}

// bound finds what the garment must measure at a level at least, and may at most.
func (j *judging) bound(r *row, c *column, s int) {
	length := func(ease float64) float64 { return convert(ease, c.zone.percent(), false, r.you.v) }
	r.unfelt = length(j.leastTolerance(c.zone))
	if ease, ok := j.wanted(r.z, s); ok && j.wished(r.z) {
		j.boundByWish(r, length(ease))
		return
	}
	drawn := figure{v: length(c.drawn[s].v), known: c.drawn[s].known && !c.drawn[s].estimated}
	least := j.leastRoom(r, c)
	if c.reaches() && drawn.known && drawn.v < least.v { // a length of its own is the style: where it ends is as you like it
		least.known = false
	}
	if least.known && drawn.known {
		least.v = min(least.v, drawn.v)
	}
	if least.known {
		least.v += j.beneath(c)
	}
	if u := j.stretchAt(c); u.known && c.pulls && c.lacing == nil && least.known { // tighter than that it does not go on
		least.v = max(least.v, r.you.v/(1+u.v/100)-r.you.v)
	}
	r.least = figure{v: r.you.v + least.v, known: least.known}
	if e := c.zone.Ease; e != nil && e.HasHigh && !c.zone.Style {
		most := length(e.High)
		if drawn.known {
			most = max(most, drawn.v)
		}
		r.most = figure{v: r.you.v + most + j.beneath(c), known: true}
	}
}

// boundByWish makes the ease that was asked for the least and the most.
func (j *judging) boundByWish(r *row, ease float64) {
	r.wish = figure{v: ease, known: true}
	r.least = figure{v: r.you.v + ease, known: true}
	r.most = r.least
	if j.wishes[r.z].exact() {
		r.unfelt = float64(j.grid()) / 2
	}
}

// leastRoom is the ease that a level needs whatever the maker drew: the wearing
// ease or the close end of the range, whichever is less. What stretches may be as
// close as its type is meant to be.
func (j *judging) leastRoom(r *row, c *column) figure {
	e := c.zone.Ease
	low := figure{known: e != nil && e.HasLow}
	if low.known {
		low.v = convert(e.Low, e.Percent, false, r.you.v)
	}
	switch {
	case !c.pulls:
		return low
	case j.givesAt(c) && c.standIn && r.you.v > j.at(c, r.line).v: // a knit takes up a full bust as far as it stretches
		return figure{v: -r.you.v, known: true}
	case j.givesAt(c):
		return figure{v: min(low.v, 0), known: true}
	case c.worn.known && (!low.known || j.wearingAlone(c) < low.v):
		return figure{v: j.wearingAlone(c), known: true}
	}
	return low
}

// next is which of some levels is met first: what was asked for, since others may go with it; where all seams move alike what
// needs most, since that may do for the rest.
func (j *judging) next(rows []*row) int {
	urgency := func(r *row) float64 {
		switch {
		case r.wish.known:
			return math.Inf(1)
		case j.recipe.Grading.Sensible:
			return 0
		}
		return math.Abs(r.need())
	}
	first := 0
	for i, r := range rows {
		if urgency(r) > urgency(rows[first]) {
			first = i
		}
	}
	return first
}

// draw works out the plan of one size: first what is altered before any line is
// moved, then level by level what is still needed, by one means after the other.
func (j *judging) draw(s int, q Request) error {
	l := j.open(s)
	j.ledger, j.altering = l, altering{added: map[string]float64{}}
	j.part(l)
	if err := j.alter(q, func(a *alteration) bool { return !a.last() || j.listedFor(a, q) }); err != nil {
		return err
	}
	rows := slices.Clone(l.rows)
	for left := slices.Clone(rows); len(left) > 0; {
		i := j.next(left)
		if err := j.meet(left[i], q); err != nil {
			return err
		}
		left = slices.Delete(left, i, i+1)
	}
	for _, r := range rows {
		r.shortage = r.need() // some went with others since
	}
	if err := j.alter(q, func(a *alteration) bool { return a.last() && a.Alter.Settles == "" && !j.listedFor(a, q) }); err != nil {
		return err
	}
	j.orderMade()
	j.blend()
	return nil
}

// part puts zones that decide on lines of their own, where they lie so far apart
// that no one size will do for all, and each line does for its zone. What is cut
// with the bodice follows the topmost.
func (j *judging) part(l *ledger) {
	deciding, bodice, moved, reasons := 0, l.s, map[*row]int{}, map[*row]string{}
	for _, r := range l.rows {
		c := j.zoneOf(r)
		if c.zone.Role != Decides || !c.lined() {
			continue
		}
		felt := convert(j.leastTolerance(c.zone), c.zone.percent(), false, r.you.v)
		if deciding++; r.base.estimated || r.settled || r.misses(r.becomes(), felt) == 0 {
			continue
		}
		s, because := j.ownLine(r, l, felt)
		if because == "" {
			return
		}
		moved[r], reasons[r] = s, because
		if deciding == 1 && j.byShoulder(c.measure) {
			bodice = moved[r]
		}
	}
	if !j.splits() || deciding < 2 {
		return
	}
	l.bodice = bodice
	for _, r := range l.rows {
		s, ok := moved[r]
		switch c := j.zoneOf(r); {
		case ok:
			r.touched, r.because = true, reasons[r]
			j.followLine(r, s)
		case j.onBodice(c) && c.finished[l.bodice].known && !r.settled:
			j.followLine(r, l.bodice)
		}
	}
}

// ownLine is the line of a zone that decides where no one size will do for all, and why; without a reason there is none. With the
// bodice neck and shoulder move, which fit only in the size that is best there; elsewhere the nearest line that will do is the least.
func (j *judging) ownLine(r *row, l *ledger, felt float64) (s int, because string) {
	const apart = "no one size will do for all that decides, and this "
	if j.byShoulder(r.measure) {
		if s = j.alone(r.z, l.peers, l.s); r.misses(j.onLine(r, s), felt) == 0 {
			return s, apart + "line is best here"
		}
		return 0, ""
	}
	at := slices.Index(l.peers, l.s)
	for away := 1; away < len(l.peers); away++ {
		for _, i := range [2]int{at - away, at + away} {
			if i >= 0 && i < len(l.peers) && j.goesRound(r.z, l.peers[i]) && r.misses(j.onLine(r, l.peers[i]), felt) == 0 {
				return l.peers[i], apart + "is the nearest line that will do here"
			}
		}
	}
	return 0, ""
}

// splits tells whether what decides may be cut on several lines: grading makes sense, and a seam of each zone leads there.
func (j *judging) splits() bool {
	return j.recipe.Grading.Sensible && !slices.ContainsFunc(j.zones, func(c *column) bool {
		return c.zone.Role == Decides && c.lined() && len(c.zone.Seams) == 0
	})
}

// torn says which sizes will do at each zone that decides, where they lie further apart than lines are followed, none will
// do for all, and they cannot be cut on several lines; nothing of a size that will do.
func (j *judging) torn(s int) (string, bool) {
	if j.splits() || !slices.ContainsFunc(j.zones, func(c *column) bool { return !j.willDo(c, s) }) {
		return "", false
	}
	var parts []string
	first, last := len(j.sizes), -1 // the sizes between which those of all zones lie
	for _, c := range j.zones {
		var sizes []int
		for other := range j.sizes {
			if j.willDo(c, other) {
				sizes = append(sizes, other)
			}
		}
		switch {
		case len(sizes) == 0:
			return "", false
		case len(sizes) < len(j.sizes):
			parts = append(parts, fmt.Sprintf("at the %s %s", zoneTitle(c.zone), run(j.labels(sizes))))
			first, last = min(first, sizes[len(sizes)-1]), max(last, sizes[0])
		}
	}
	return strings.Join(parts, ", "), last-first > j.voc.Limits.NestedSizes
}

// willDo tells whether a zone that decides will do in a size, with what darts, seams and alterations give, or as its recipe
// mends it. Of what is not known for certain nothing is said against it.
func (j *judging) willDo(c *column, s int) bool {
	z := slices.Index(j.zones, c)
	if !j.hasSay(z) || j.wished(z) || !c.lined() || c.zone.Mend != "" || !j.fitted(z, s).judged {
		return true
	}
	r := j.openRow(z, s)
	r.base.v += r.you.v - j.at(c, s).v // of a bust that an upper bust stands for, what is left is altered
	return math.Abs(r.need()) <= j.capacity(ByDart, r)+j.capacity(BySeam, r)+j.capacity(ByAlteration, r)
}

// meet meets the need at one level: by the first means of its zone that can do
// all of it, else by one after another, each as far as it goes, lines before what
// can be measured out exactly.
func (j *judging) meet(r *row, q Request) error {
	need := r.need()
	if r.touched = need != 0; !r.touched {
		return nil
	}
	if words := j.explainer().needWords(r, need); r.because == "" {
		r.because = words
	} else {
		r.because += "; " + words
	}
	means := j.meansAt(r)
	first := slices.IndexFunc(means, func(by By) bool { return j.does(by, r) })
	if c := j.zoneOf(r); first < 0 && c != nil && len(c.zone.Means) == 0 {
		first = slices.Index(means, ByLine)
	}
	if first > 0 {
		means = slices.Concat(means[first:first+1], means[:first], means[first+1:])
	}
	for _, by := range means {
		if r.need() == 0 {
			return nil
		}
		if err := j.use(by, r, q); err != nil {
			return err
		}
	}
	j.lengthen(r)
	return nil
}

// lengthen gives a length that no rule alters, such as the way round the trunk, what
// it lacks, in the way that the recipe names.
func (j *judging) lengthen(r *row) {
	c, need := j.zoneOf(r), j.toDraw(r)
	ruled := slices.ContainsFunc(j.alterations, func(a *alteration) bool { return a.Alter.Settles == r.measure.Name })
	if c == nil || c.measure.Kind != Along || need <= 0 || c.zone.Mend == "" || ruled {
		return
	}
	j.altering.added[r.measure.Name] += need
	r.changes = append(r.changes, entry{by: ByAlteration, amount: need,
		say: fmt.Sprintf("Lengthen the %s by %s altogether: %s.", r.measure.Title, j.inUnits(need), c.zone.Mend)})
}

// meansAt are the means of a level, in order: as its recipe says, else darts,
// lines, alterations and seams. Where grading makes no sense seams and lines stay.
func (j *judging) meansAt(r *row) []By {
	means := []By{ByDart, ByLine, ByAlteration, BySeam}
	if c := j.zoneOf(r); c != nil && len(c.zone.Means) > 0 {
		means = slices.Clone(c.zone.Means)
	}
	return slices.DeleteFunc(means, func(by By) bool { return by != ByLine && j.capacity(by, r) == 0 })
}

// does tells whether a means can do all that a level needs.
func (j *judging) does(by By, r *row) bool {
	if by == ByLine {
		s := j.lineFor(r)
		return s != r.line && r.lacks(j.onLine(r, s)) == 0
	}
	return ticks(math.Abs(r.need()), false) <= ticks(j.capacity(by, r), false)
}

// capacity is how much a means can change a level, a line left out.
func (j *judging) capacity(by By, r *row) float64 {
	c := j.zoneOf(r)
	switch {
	case c == nil:
		return 0
	case by == ByDart:
		return float64(c.zone.Darts) * float64(j.voc.Limits.DartMost)
	case by == BySeam && (j.recipe.Grading.Sensible || r.wish.known || j.single()) && c.measure.Kind == Girth:
		return j.drawable(c)
	case by == ByAlteration:
		return j.alterable(r)
	}
	return 0
}

// alterable is the most that an alteration of a girth or a sleeve may change a level.
func (j *judging) alterable(r *row) float64 {
	for _, a := range j.alterations {
		if !a.last() || a.Alter.Settles != r.measure.Name {
			continue
		}
		for _, l := range a.Limits {
			if l.Name == MostAmount {
				return l.Value * nanometresPerCm
			}
		}
	}
	return 0
}

// use changes a level by one means, as far as that goes.
func (j *judging) use(by By, r *row, q Request) error {
	switch by {
	case ByLine:
		j.byLine(r)
	case ByDart:
		j.byDart(r)
	case BySeam:
		j.bySeam(r)
	case ByAlteration:
		return j.alter(q, func(a *alteration) bool {
			return a.last() && a.Alter.Settles == r.measure.Name && !j.listedFor(a, q)
		})
	}
	return nil
}

// byLine follows the size line that does most.
func (j *judging) byLine(r *row) { j.followLine(r, j.lineFor(r)) }

// followLine follows another size's line at a level.
func (j *judging) followLine(r *row, s int) {
	if s == r.line {
		return
	}
	c := j.zones[r.z]
	amount := c.drafted(s).v - c.drafted(r.line).v
	r.line = s
	r.changes = append(r.changes, entry{by: ByLine, amount: amount, edges: edgesOf(c.zone.Seams),
		say: fmt.Sprintf("Follow the line of size %s at the %s.", j.sizes[s], zoneTitle(c.zone))})
}

// lineFor is the size whose line does most at a level without doing too much:
// the nearest, within what nested lines hold for, where grading makes sense and a
// seam may be moved.
func (j *judging) lineFor(r *row) int {
	c := j.zoneOf(r)
	if c == nil || !j.recipe.Grading.Sensible || !j.movable(c) {
		return r.line
	}
	need, best := r.need(), r.line
	left := math.Abs(need)
	most, peers := j.voc.Limits.NestedSizes, j.ledger.peers
	if c.apart() {
		most = len(peers)
	}
	at := slices.Index(peers, r.line)
	for away := 1; away <= most && left > 0; away++ {
		for _, i := range [2]int{at - away, at + away} {
			if i < 0 || i >= len(peers) || !c.finished[peers[i]].known || c.finished[peers[i]].estimated {
				continue
			}
			s := peers[i]
			v := j.onLine(r, s)
			still := r.lacks(v)
			if helps := still == 0 && left > 0 || left-math.Abs(still) > r.unfelt; helps && still*need >= 0 && !r.tooClose(v) && j.letsIn(r.z, s) {
				best, left = s, math.Abs(still)
			}
		}
	}
	return best
}

// tooClose tells whether a garment that measures v, and is taken in to that, is
// closer than will do.
func (r *row) tooClose(v float64) bool {
	return v < r.becomes() && r.least.known && ticks(v, false) < ticks(r.least.v, false)
}

// letsIn tells whether one gets in at the edges that go with a zone's line, on the
// line of a size.
func (j *judging) letsIn(z, s int) bool {
	return !slices.ContainsFunc(j.openings(s), func(fit openingFit) bool {
		return fit.result == fails && fit.o.Closure == nil && fit.o.Stops && j.edge(fit.o) == z
	})
}

// edge is the zone whose line an opened edge goes with: of those that may have
// another than the bodice's, the nearest to its level on the same limb, the upper
// one first; -1 where there is none.
func (j *judging) edge(o *Opening) int {
	m := j.voc.Measure(o.Measure)
	if m == nil {
		return -1
	}
	best, nearest := -1, math.MaxInt
	for z, c := range j.zones {
		if away := max(c.measure.Level-m.Level, m.Level-c.measure.Level); c.lined() && c.onArm() == (m.Limb == OnArm) && away < nearest && !j.onBodice(c) {
			best, nearest = z, away
		}
	}
	return best
}

// onLine is the garment at a level if another size's line were followed there.
func (j *judging) onLine(r *row, s int) float64 {
	c := j.zones[r.z]
	return r.with(c.drafted(s).v - c.drafted(r.line).v)
}

// drafted is the garment at a zone as the pattern has it, without what a toile changed.
func (c *column) drafted(s int) figure {
	f := c.finished[s]
	f.v -= c.by(s)
	return f
}

// movable tells whether a zone may follow a line of its own: what goes round the
// body or across it, with a seam that may be moved, and not cut with the bodice.
func (j *judging) movable(c *column) bool {
	return c.lined() && c.zone.Line != KeptLine && !j.onBodice(c) && (len(c.zone.Seams) > 0 || c.apart()) &&
		!(c.zone.Role == Decides && (j.byShoulder(c.measure) || j.decidesAlone(c)))
}

// decidesAlone tells whether no other zone has a say in the size: then the size is
// this zone's line.
func (j *judging) decidesAlone(c *column) bool {
	return !slices.ContainsFunc(j.ledger.rows, func(r *row) bool {
		other := j.zoneOf(r)
		return other != nil && other != c && other.zone.Role == Decides
	})
}

// byDart lets the darts take up more, or less, up to their limit.
func (j *judging) byDart(r *row) {
	n := j.zones[r.z].zone.Darts
	amount := j.held(r, ByDart)
	do := "less"
	if amount < 0 {
		do = "more"
	}
	all, each := j.parts(amount, n)
	r.changes = append(r.changes, entry{by: ByDart, amount: amount, edges: n,
		say: fmt.Sprintf("Let the %s at the %s take up %s %s altogether, %s.", CountOf(n, j.explainer().meansWord(r, ByDart)), r.measure.Title, all, do, each)})
}

// bySeam lets seams out or takes them in, up to what an edge of a single size holds.
func (j *judging) bySeam(r *row) {
	seams := j.zones[r.z].zone.Seams
	edges := edgesOf(seams)
	amount := j.held(r, BySeam)
	do := map[bool]string{true: "Let out", false: "Take in"}[amount > 0]
	if j.single() {
		do = map[bool]string{true: "Draw out", false: "Draw in"}[amount > 0]
	}
	all, each := j.parts(amount, edges)
	where := "the " + r.measure.Title
	for _, o := range j.alongWith(r) {
		where += " and the " + o.measure.Title + " alike"
		o.changes = append(o.changes, entry{by: BySeam, amount: amount, edges: edges})
	}
	r.changes = append(r.changes, entry{by: BySeam, amount: amount, edges: edges,
		say: fmt.Sprintf("%s the %s at %s by %s altogether, %s of the %d edges.", do, counted(seams), where, all, each, edges)})
}

// alongWith are the levels that the seams of one go on to where nothing is graded
// between them.
func (j *judging) alongWith(r *row) []*row {
	if j.recipe.Grading.Sensible {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(j.ledger.rows), func(o *row) bool {
		c := j.zoneOf(o)
		return o == r || c == nil || o.wish.known || !c.decides || !c.lined() || len(c.zone.Seams) == 0
	})
}

// held is what a means does of a level's need, in steps that a tape reads.
func (j *judging) held(r *row, by By) float64 {
	most := j.onTape(j.capacity(by, r), math.Round)
	return max(-most, min(j.toDraw(r), most))
}

// toDraw is a level's need in steps that a tape reads, so that what is drawn reaches
// what will do, or comes nearest to what was asked for.
func (j *judging) toDraw(r *row) float64 {
	need := r.need()
	to := math.Ceil
	switch {
	case r.wish.known:
		to = math.Round
	case need < 0:
		to = math.Floor
	}
	return j.onTape(need, to)
}

// needWords says what a level needs.
func (j explainer) needWords(r *row, need float64) string {
	switch {
	case r.wish.known:
		return fmt.Sprintf("you asked for %s of ease there", j.easeAt(r, r.you.v+r.wish.v))
	case need > 0:
		return fmt.Sprintf("it would leave %s of ease, and at least %s will do", j.easeAt(r, r.becomes()), j.easeAt(r, r.least.v))
	}
	return fmt.Sprintf("it would leave %s of ease, and at most %s will do", j.easeAt(r, r.becomes()), j.easeAt(r, r.most.v))
}

// easeAt is the ease of a garment that measures v at a level, in words.
func (j explainer) easeAt(r *row, v float64) string {
	percent := r.z >= 0 && j.zones[r.z].zone.percent()
	return j.ease(easeOf(v, r.you.v, percent), percent)
}

// levels puts the ledger into an answer. Sums hold to the last figure that is printed.
func (l *ledger) levels(j *judging) []Level {
	out := []Level{}
	for _, r := range l.rows {
		out = append(out, j.explainer().levelAnswer(r))
	}
	return out
}

func (j explainer) levelAnswer(r *row) Level {
	percent := r.z >= 0 && j.zones[r.z].zone.percent()
	a := Level{Zone: j.rowName(r), Line: j.sizes[r.line], OnLine: answered(r.base.v), Estimated: r.base.estimated, You: answered(r.you.v), Because: r.because, Changes: []LevelChange{}}
	if percent {
		a.Unit = "percent"
	}
	a.Becomes = a.OnLine
	for _, e := range j.entries(r) {
		c := j.changeAnswer(&e)
		a.Changes, a.Becomes = append(a.Changes, c), roundTo(a.Becomes+c.Amount, 1000)
	}
	ease := func(garment float64) *float64 {
		v := roundTo(garment-a.You, 1000)
		if percent {
			v = roundTo((garment-a.You)/a.You*100, 100)
		}
		return &v
	}
	a.Ease, a.Lacing = *ease(a.Becomes), r.lacingAnswer(a.Becomes)
	if r.least.known {
		a.Least = ease(answered(r.least.v))
	}
	if r.most.known {
		a.Most = ease(answered(r.most.v))
	}
	if r.wish.known {
		a.Wish = ease(answered(r.you.v + r.wish.v))
	}
	if r.shortage != 0 {
		left := answered(r.shortage)
		a.Left, a.Rest = &left, j.leftWords(r)
	}
	if a.Because == "" {
		a.Because = j.leftAlone(r)
	}
	return a
}

// leftAlone says why a level is as it is where nothing was needed.
func (j explainer) leftAlone(r *row) string {
	switch {
	case r.settled:
		return "it was settled on the toile"
	case r.base.estimated:
		return "what the garment measures there is an estimate, which is a reason for nothing"
	case r.wish.known:
		return "it is as you asked"
	case r.takes(r.cut()) != 0 && len(r.changes) == 0:
		return "the lacing takes it up"
	case r.line != j.ledger.s && len(r.changes) == 1:
		return "it is cut with neck and shoulder, on one line"
	case len(r.changes) > 0 && r.changes[len(r.changes)-1].by == BySeam:
		return "it goes with what was asked for above or below"
	case len(r.changes) > 0:
		return "an alteration changes it"
	}
	switch off := r.misses(r.becomes(), 0); {
	case off > 0:
		return fmt.Sprintf("it is %s closer than the least that is wanted, which is not felt", j.inUnits(off))
	case off < 0:
		return fmt.Sprintf("it is %s roomier than the most that is wanted, which is not felt", j.inUnits(-off))
	}
	return "it will do as it is"
}

func (j explainer) changeAnswer(e *entry) LevelChange {
	c := LevelChange{By: e.by, Amount: answered(e.amount), Edges: e.edges, Say: e.say}
	if e.edges > 0 {
		c.Each = c.Amount / float64(e.edges)
	}
	if e.made != nil {
		c.ID, c.Order, c.Say = e.made.rule.ID, e.made.answer.Order, e.made.answer.Say
	}
	return c
}

// rowName is a row's zone, or its measurement.
func (j explainer) rowName(r *row) string {
	if r.z < 0 {
		return r.measure.Name
	}
	return j.zones[r.z].zone.Name
}

// inCm is a length as it is answered: centimetres to the thousandth.
func answered(nm float64) float64 { return roundTo(nm/nanometresPerCm, 1000) }

// meansWord is a means as the trade says it at a level.
func (j explainer) meansWord(r *row, by By) string {
	if by == ByDart && j.zones[r.z].zone.Pleats {
		return "pleat"
	}
	return string(by)
}

// explainLedger adds each level below the zone's own claim of the size shown, and
// the step that ends there below that.
func (j explainer) explainLedger(p *plan, size *explain.Node) {
	l := j.ledger
	for _, r := range l.rows {
		id := explain.ID("size", j.sizes[l.s], j.rowName(r))
		parent := size.Find(id)
		if parent == nil {
			parent = size.Find(explain.ID("size", j.sizes[l.s]))
		}
		a := j.levelAnswer(r)
		n := &explain.Node{ID: id + "/plan", Value: cmValue(r.becomes()), Source: "method: the plan",
			Label: fmt.Sprintf("%s in the end: %s less you, %s, is %s of ease; %s", j.rowName(r), j.Length(a.Becomes), j.Length(a.You), j.easeAt(r, r.becomes()), a.Because)}
		for i := range a.Changes {
			c := &a.Changes[i]
			n.Add(&explain.Node{ID: fmt.Sprintf("%s/%d", n.ID, i+1), Value: cmValue(c.Amount * nanometresPerCm), Source: "method: the plan", Label: strings.TrimSpace(fmt.Sprintf("by the %s: %s there. %s", j.meansWord(r, c.By), j.change(c.Amount*nanometresPerCm, false), c.Say))})
		}
		for k := range p.steps {
			if s := &p.steps[k]; s.to == r {
				n.Add(j.explainStep(n.ID+"/step", s))
			}
		}
		parent.Add(n)
	}
}
