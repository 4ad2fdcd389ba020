package engine

import (
	"cmp"
	"errors"
	"iter"
	"math"
	"runtime"
	"slices"
	"sync"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Person is one of many bodies, and how many people it stands for.
type Person struct {
	Body   *Body
	Weight float64
}

// Survey is many bodies, where they come from and whom they stand for.
type Survey struct {
	Name, About, Source string
	At                  diag.Range // the header of a table
	Weighted            bool       // shares are by what each body stands for
	People              iter.Seq[Person]
	Assumed             []Assumption // what was taken for granted of them
	Instead             *Survey      // whom to ask where what picks the size is not known of them; may be nil
}

// Coverage tells whom a pattern fits. Every body is counted once, and shares are
// of all that could be looked at, unrounded.
type Coverage struct {
	Version     int            `json:"version"`         // the version of this form: 1
	Pattern     string         `json:"pattern"`         // the pattern's name
	Maker       string         `json:"maker,omitempty"` // who made the pattern
	Recipe      string         `json:"recipe"`          // the garment type
	Bodies      Surveyed       `json:"bodies"`          // whose bodies they are
	Fits        float64        `json:"fits"`            // the share that is served: as drawn, with grading or with alterations
	Shares      CoverageShares `json:"shares"`          // of all bodies; together they are 1
	Sizes       []SizeShare    `json:"sizes"`           // from the smallest to the largest
	Excluded    []Exclusion    `json:"excluded"`        // what keeps bodies from a size as drawn, most first
	RuledOut    []StopShare    `json:"ruled_out"`       // the rules by which bodies have no size, most first
	More        []Addition     `json:"more"`            // what more of the pattern would add
	Judged      []string       `json:"judged"`          // the zones looked at
	NotJudged   []NotJudged    `json:"not_judged"`      // and those that could not be
	Assumptions []Assumption   `json:"assumptions"`     // what was taken for granted
	Shown       *CoverageShown `json:"-"`               // what the words beside the numbers need
}

// Surveyed says whose bodies were looked at.
type Surveyed struct {
	Name     string `json:"name"`             // the table, or the population
	Count    int    `json:"count"`            // how many could be looked at
	LeftOut  int    `json:"left_out"`         // how many could not: what picks the size is not known of them
	Weighted bool   `json:"weighted"`         // whether each stands for as many people as the table says
	About    string `json:"about,omitempty"`  // whom they stand for, in words
	Source   string `json:"source,omitempty"` // where they come from
}

// CoverageShares are the shares of bodies, each counted in one alone.
type CoverageShares struct {
	AsDrawn         float64 `json:"as_drawn"`         // every zone judged lies in the expected range in the size recommended
	WithGrading     float64 `json:"with_grading"`     // it does once the size lines are followed
	WithAlterations float64 `json:"with_alterations"` // what is then left is put right by an alteration or as the garment type says
	OutOfRange      float64 `json:"out_of_range"`     // there is a size, and something is left that nothing puts right
	NoSize          float64 `json:"no_size"`          // rules rule out every size
	OffChart        float64 `json:"off_chart"`        // the chart has no size for the body
}

// SizeShare is how many bodies take a size.
type SizeShare struct {
	Size    string  `json:"size"`     // as the pattern prints it
	Share   float64 `json:"share"`    // of all bodies that the size is recommended to
	AsDrawn float64 `json:"as_drawn"` // of all bodies that it fits as drawn
}

// Exclusion is how many bodies a measurement keeps from a size as drawn: the one
// that picks the size where they are off the chart, else that of the first zone
// from the top down whose ease is out of the range.
type Exclusion struct {
	Measurement string  `json:"measurement"` // the measurement's name
	Share       float64 `json:"share"`       // of all bodies
	TooSmall    float64 `json:"too_small"`   // of all bodies: those for whom the pattern is too small there
	TooLarge    float64 `json:"too_large"`   // and too large
}

// StopShare is how many bodies have no size that can be cut, among other rules by this one.
type StopShare struct {
	ID    string  `json:"id"`    // the rule's id
	Share float64 `json:"share"` // of all bodies
}

// The ways in which a pattern could offer more.
const (
	SmallerSize = "smaller size"
	LargerSize  = "larger size"
	LargerCup   = "larger cup"
)

// Addition is what more of a pattern would add.
type Addition struct {
	What    string             `json:"what"`     // "smaller size", "larger size" or "larger cup"
	Fits    float64            `json:"fits"`     // the share of bodies that would be served by it, and are not now
	AsDrawn float64            `json:"as_drawn"` // that would have a size as drawn, and have none now
	Body    map[string]float64 `json:"body"`     // the body chart of that size; of a cup, how much more it has in every size
}

// CoverageShown is what a face needs beside the JSON.
type CoverageShown struct {
	Units  quantity.Unit
	Recipe *Recipe
	Title  func(measure string) string
	Words  []string // measurements from the top of the body down
}

// NobodyError says that there was no body to look at.
type NobodyError struct {
	Name string
	At   diag.Range // the header of the table
}

func (e *NobodyError) Error() string { return "there is no body in " + e.Name }

// Code is the code of the mistake.
func (e *NobodyError) Code() diag.Code { return nobody }

// Hint says how to mend it.
func (e *NobodyError) Hint() string {
	return "write the bodies below the header, each on a line of its own"
}

// way is how a pattern serves a body, the best first.
type way int

const (
	asDrawn way = iota
	withGrading
	withAlterations
	outOfRange
	noneToCut
	offChart
	leftOut
)

// serves tells whether a body gets a garment that fits.
func (w way) serves() bool { return w <= withAlterations }

// landing is where one body comes out.
type landing struct {
	way      way
	weight   float64
	s        int      // the size recommended; -1: none
	by       *Measure // what keeps it from a size as drawn; nil: nothing, or nothing that is measured
	tooSmall bool     // the pattern is, there
	stops    []string // rules, where every size is ruled out
	judged   []bool   // by zone
	more     []way    // with each addition
}

// addition is a pattern that offers more.
type addition struct {
	Addition
	*Fitter
}

// covering looks at many bodies for one pattern.
type covering struct {
	*Fitter
	q    Request
	more []addition
}

// Cover tells whom a pattern fits. The request's body is not looked at, and its
// cloth, wishes and layers are those of all. Errors: [NoRowError], [RuleError]
// and the like as for [Advise], [UnknownError] where nobody could be looked at
// for lack of a measurement, and [NobodyError].
func Cover(q Request, s Survey) (*Coverage, error) {
	q.Vocabulary = q.Vocabulary.For(q.Pattern, q.Recipe)
	f, err := asPrinted(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		return nil, err
	}
	c := &covering{Fitter: f, q: q}
	if err := c.offerMore(); err != nil {
		return nil, err
	}
	all, err := c.landAll(s.People)
	var unknown *UnknownError
	if s.Instead != nil && errors.As(err, &unknown) {
		why := Assumption{s.Instead.Name + " stand in for " + s.Name, "the " + c.voc.Title(unknown.Measurement) + " of " + s.Name + " is not known"}
		s = *s.Instead
		s.Assumed = append([]Assumption{why}, s.Assumed...)
		all, err = c.landAll(s.People)
	}
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, &NobodyError{s.Name, s.At}
	}
	return c.count(all, s), nil
}

// coverChunk is some people who are looked at together.
type coverChunk struct {
	people []Person
	landed []landing
	err    error
	lacks  error // why the last of those that could not be looked at was not
}

// chunkPeople are enough that handing them over costs little.
const chunkPeople = 256

// landAll looks at everybody, on all cores; the order is that of the people. The
// error is the first in that order.
func (c *covering) landAll(people iter.Seq[Person]) ([]landing, error) {
	work := make(chan *coverChunk)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for k := range work {
				c.landChunk(k)
			}
		})
	}
	var chunks []*coverChunk
	now := &coverChunk{}
	deal := func() {
		chunks = append(chunks, now)
		work <- now
		now = &coverChunk{}
	}
	for p := range people {
		if now.people = append(now.people, p); len(now.people) == chunkPeople {
			deal()
		}
	}
	deal()
	close(work)
	workers.Wait()
	var all []landing
	var lacks error
	for _, k := range chunks {
		if k.err != nil {
			return nil, k.err
		}
		all, lacks = append(all, k.landed...), cmp.Or(lacks, k.lacks)
	}
	if lacks != nil && !slices.ContainsFunc(all, func(l landing) bool { return l.way != leftOut }) {
		return nil, lacks
	}
	return all, nil
}

func (c *covering) landChunk(k *coverChunk) {
	for _, p := range k.people {
		l, err := c.landEverywhere(p)
		var unknown *UnknownError
		switch {
		case errors.As(err, &unknown):
			k.lacks, l = err, landing{way: leftOut}
		case err != nil:
			k.err = err
			return
		}
		l.weight = p.Weight
		k.landed = append(k.landed, l)
	}
	k.people = nil
}

// landEverywhere finds where a body comes out, as the pattern is and, unless it
// fits as drawn, with more of it.
func (c *covering) landEverywhere(p Person) (landing, error) {
	t := c.q.Fitting
	t.Body = p.Body
	l, err := c.land(t, true)
	if err != nil || l.way == asDrawn {
		return l, err
	}
	for i := range c.more {
		with, err := c.more[i].land(t, false)
		if err != nil {
			return l, err
		}
		l.more = append(l.more, with.way)
	}
	return l, nil
}

// land finds where one body comes out; with details, why.
func (f *Fitter) land(t Fitting, details bool) (landing, error) {
	l := landing{s: -1}
	j, err := f.judge(t)
	if err != nil {
		return l, err
	}
	defer j.giveBack()
	if ticks(math.Abs(j.chart.off), false) > ticks(j.chart.offLimit, false) {
		l.way, l.by, l.tooSmall = offChart, j.chart.by, j.chart.off > 0
		return l, nil
	}
	ps := j.byMisfit()
	best, ok, err := j.bestThatIsNotRuledOut(ps)
	if err != nil {
		return l, err
	}
	if details {
		l.judged = j.judgedIn(best.s)
	}
	out := j.outside(best.s, func(int) int { return best.s })
	if len(out) > 0 {
		l.by, l.tooSmall = j.zones[out[0]].measure, j.fitted(out[0], best.s).ease < j.middleOf(j.zones[out[0]].zone)
	}
	switch {
	case !ok:
		l.way, l.stops = noneToCut, j.results[best.s].ids()
		return l, nil
	case len(out) == 0:
		l.way, l.s = asDrawn, best.s
		return l, nil
	}
	l.s = best.s
	l.way, err = j.mendable(best, ps)
	return l, err
}

// bestThatIsNotRuledOut is the first size in rank order that no rule rules out, as
// [Fitter.Rank] finds it; false: every size is, and the first is the nearest.
// What the rules that stop say of it is among its results.
func (j *judging) bestThatIsNotRuledOut(ps []placed) (placed, bool, error) {
	for _, p := range ps {
		if !p.judged && ps[0].judged {
			continue
		}
		if stopped, err := j.stopped(j.resultsOf(p.s), p.s); err != nil || !stopped {
			return p, err == nil, err
		}
	}
	h := j.resultsOf(ps[0].s)
	return ps[0], false, j.applyRules(h, ps[0].s, &j.stops)
}

// judgedIn tells of each zone whether it is judged in a size.
func (j *judging) judgedIn(s int) []bool {
	out := make([]bool, len(j.zones))
	for z := range out {
		out[z] = j.fitted(z, s).judged
	}
	return out
}

// outside lists the zones, from the top down, that are judged in a size and whose
// ease lies out of the range in the size whose line is followed there.
func (j *judging) outside(s int, line func(z int) int) []int {
	var out []int
	for z, c := range j.zones {
		if !j.fitted(z, s).judged {
			continue
		}
		if fit := j.fitted(z, line(z)); !fit.judged || !j.within(c, fit) {
			out = append(out, z)
		}
	}
	return out
}

// mendable tells how a body is served for whom something is out of range in the
// best size: by the size lines, by altering what they leave, or not at all.
func (j *judging) mendable(best placed, ps []placed) (way, error) {
	for i := range ps {
		h := j.resultsOf(ps[i].s)
		if err := j.applyRules(h, ps[i].s, &j.stops); err != nil {
			return 0, err
		}
		ps[i].ruledOut = h.stops()
	}
	j.order(ps)
	if err := j.draw(best.s, Request{}); err != nil {
		return 0, err
	}
	served := withGrading
	for _, r := range j.ledger.rows {
		if r.shortage != 0 && (r.z < 0 || j.zones[r.z].zone.Mend == "") {
			return outOfRange, nil
		}
		if r.shortage != 0 || slices.ContainsFunc(r.changes, func(e entry) bool { return e.by != ByLine }) {
			served = withAlterations
		}
	}
	return served, nil
}

// offerMore makes the patterns that would offer more: a size at either end, and a
// cup where the garment hangs from the shoulder.
func (c *covering) offerMore() error {
	for _, larger := range []bool{false, true} {
		if p, body := c.oneMoreSize(larger); p != nil {
			a := addition{Addition: Addition{What: SmallerSize, Body: body}}
			if larger {
				a.What = LargerSize
			}
			if err := c.offer(a, p); err != nil {
				return err
			}
		}
	}
	if p := c.oneMoreCup(); p != nil {
		cup := map[string]float64{"bust": roundTo(float64(c.voc.Limits.CupStep)/nanometresPerCm, 1000)}
		return c.offer(addition{Addition: Addition{What: LargerCup, Body: cup}}, p)
	}
	return nil
}

func (c *covering) offer(a addition, p *Pattern) (err error) {
	if a.Fitter, err = asPrinted(p, c.recipe, c.q.Rules, c.voc); err == nil {
		c.more = append(c.more, a)
	}
	return err
}

// oneMoreSize is the pattern with a size more at an end: in every row it is as far
// from the last as that is from the one before. Nil where there is no step to go on by.
func (f *Fitter) oneMoreSize(larger bool) (*Pattern, map[string]float64) {
	if len(f.cells) < 2 {
		return nil, nil
	}
	last, beside := 0, 1
	label := "smaller than " + f.sizes[last]
	if larger {
		last, beside = len(f.cells)-1, len(f.cells)-2
		label = "larger than " + f.sizes[last]
	}
	end, before := f.cells[last], f.cells[f.besideInCup(last, beside)]
	p := *f.pattern
	p.Sizes = append(slices.Clone(p.Sizes), label)
	p.Chart, p.Finished, p.DraftedFor = goneOn(p.Chart, end, before), goneOn(p.Finished, end, before), goneOn(p.DraftedFor, end, before)
	p.ClothNeeded = nil
	body := map[string]float64{}
	for name, row := range p.Chart {
		if added := row[len(row)-1]; added.Known {
			body[name] = roundTo(added.middle()/nanometresPerCm, 1000)
		}
	}
	if row, _ := f.orderRow(); !p.Chart[row][len(p.Sizes)-1].Known {
		return nil, nil
	}
	return &p, body
}

// goneOn are rows with a cell more, as far beyond the end cell as that is beyond
// the one before it.
func goneOn(rows map[string]Row, end, before int) map[string]Row {
	out := make(map[string]Row, len(rows))
	for name, row := range rows {
		a, b := row[end], row[before]
		added := Cell{Low: 2*a.Low - b.Low, High: 2*a.High - b.High, At: a.At}
		added.Known = a.Known && b.Known && added.Low > 0 && added.High >= added.Low
		out[name] = append(slices.Clone(row), added)
	}
	return out
}

// oneMoreCup is the pattern with a larger cup in every size, beside the one it
// has; nil where no cup is drafted.
func (f *Fitter) oneMoreCup() *Pattern {
	chart, chartRow := f.row(f.pattern.Chart, "bust")
	made, madeRow := f.row(f.pattern.Finished, "bust")
	if f.recipe.HangsFrom != FromShoulder || chart == nil {
		return nil
	}
	step := f.voc.Limits.CupStep
	p := *f.pattern
	p.Chart, p.Finished = withRow(p.Chart, chartRow, wider(chart, step)), withRow(p.Finished, madeRow, wider(made, step))
	if p.Cup != nil {
		cup := *p.Cup + step
		p.Cup = &cup
	}
	return &p
}

func wider(row Row, by quantity.Length) Row {
	out := slices.Clone(row)
	for i := range out {
		if out[i].Known {
			out[i].Low, out[i].High = out[i].Low+by, out[i].High+by
		}
	}
	return out
}

// withRow are rows with one of them changed.
func withRow(rows map[string]Row, name string, row Row) map[string]Row {
	if row == nil {
		return rows
	}
	out := make(map[string]Row, len(rows))
	for n, r := range rows {
		out[n] = r
	}
	out[name] = row
	return out
}
