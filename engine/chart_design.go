package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
)

// DesignRequest asks which sizes a pattern of a garment type should have.
type DesignRequest struct {
	Recipe     *Recipe
	Rules      []*Rule // shared; the recipe's own are added
	Vocabulary *Vocabulary
	By         string          // the measurement of the body that the sizes differ by
	From, To   quantity.Length // the people to serve are those between, both included
	Sizes      int
	Units      quantity.Unit // of the chart and of the words
}

// SizeDesign is the sizes that serve the most people. Lengths are centimetres,
// shares are of the people to serve, unrounded.
type SizeDesign struct {
	Version  int            `json:"version"`         // the version of this form: 1
	Recipe   string         `json:"recipe"`          // the garment type
	By       string         `json:"by"`              // the measurement that the sizes differ by
	From     float64        `json:"from"`            // the people to serve are those from here
	To       float64        `json:"to"`              // to here
	Bodies   Surveyed       `json:"bodies"`          // whose bodies they are
	Sizes    []DesignedSize `json:"sizes"`           // from the smallest to the largest
	Rows     []Follows      `json:"rows"`            // how the other rows follow from the first
	ByNumber []DesignNumber `json:"by_number"`       // what more or fewer sizes would do
	Shares   CoverageShares `json:"shares"`          // whom a pattern with these sizes serves, as `chart --bodies` counts
	Missing  []string       `json:"missing"`         // zones of the type that the bodies say nothing of
	Pattern  *Pattern       `json:"-"`               // to be written down
	Shown    *CoverageShown `json:"-"`               // what the words beside the numbers need
	About    string         `json:"about,omitempty"` // whom the bodies stand for
}

// DesignedSize is one size.
type DesignedSize struct {
	Size     string             `json:"size"`     // its number
	Body     map[string]float64 `json:"body"`     // for whom it is
	Finished map[string]float64 `json:"finished"` // the garment with the ease that the type expects in the middle
	Share    float64            `json:"share"`    // of the people, who are served by it as drawn or with a line of the size beside it
}

// Follows is how a row follows from the one that the sizes differ by: by
// regression on the people, and how far they scatter about it.
type Follows struct {
	Row    string  `json:"row"`    // the measurement
	At     float64 `json:"at"`     // in the middle of the range
	PerCm  float64 `json:"per_cm"` // for each centimetre more
	Spread float64 `json:"spread"` // the standard deviation of what is left
}

// DesignNumber is what a number of sizes would do: chosen best, and at even steps.
type DesignNumber struct {
	Sizes int          `json:"sizes"`
	Best  DesignShares `json:"best"`
	Even  DesignShares `json:"even"`
}

// DesignShares are shares of the people to serve.
type DesignShares struct {
	AsDrawn  float64 `json:"as_drawn"`  // every zone that the bodies tell of has its ease in the range
	WithLine float64 `json:"with_line"` // it has, or does on the line of the size beside
}

// design is a search for sizes.
type design struct {
	DesignRequest
	words
	zones  []*Zone // girths with an ease that the bodies tell of; the first is the one that the sizes differ by
	ease   []float64
	follow []Follows
	people []served // by the first figure, ascending
	all    float64  // their weight
	grid   []float64
	fit    [][][]bool // by zone, line and person
	known  map[[3]int]DesignShares
}

// served is a body to be served: its figures at the zones, and whom it stands for.
type served struct {
	at     []float64
	weight float64
}

// DesignError says why no sizes can be proposed.
type DesignError struct{ Because string }

func (e *DesignError) Error() string { return e.Because }

// Design finds the sizes that serve the most people of a survey, by trying every
// set of sizes at the steps in which charts are printed. A body is cut in the size
// whose body is nearest at the first measurement. Errors: [DesignError], and those of [Cover].
func Design(q DesignRequest, s Survey) (*SizeDesign, error) {
	q.Vocabulary = q.Vocabulary.For(nil, q.Recipe)
	d := &design{DesignRequest: q, words: words{q.Units}, known: map[[3]int]DesignShares{}}
	var people []Person
	for p := range s.People {
		if v, ok := p.Body.Cm(q.By); ok && v*nanometresPerCm >= float64(q.From) && v*nanometresPerCm <= float64(q.To) {
			people = append(people, p)
		}
	}
	if err := d.begin(people); err != nil {
		return nil, err
	}
	out := &SizeDesign{Version: 1, Recipe: q.Recipe.Name, By: q.By, From: q.From.Cm(), To: q.To.Cm(), About: s.About, Rows: d.follow[1:],
		Bodies:  Surveyed{Name: s.Name, Count: len(d.people), LeftOut: len(people) - len(d.people), Weighted: s.Weighted, About: s.About, Source: s.Source},
		Missing: d.missing(), Shown: &CoverageShown{Units: q.Units, Recipe: q.Recipe, Title: q.Vocabulary.Title, Words: q.Vocabulary.names}}
	most := min(q.Sizes+q.Vocabulary.Limits.DesignMore, len(d.grid))
	best := d.search(most)
	for n := 1; n <= most; n++ {
		out.ByNumber = append(out.ByNumber, DesignNumber{n, d.shares(best[n]), d.shares(d.even(n))})
	}
	out.Sizes, out.Pattern = d.propose(best[q.Sizes])
	c, err := Cover(Request{Pattern: out.Pattern, Recipe: q.Recipe, Rules: q.Rules, Vocabulary: q.Vocabulary, Fitting: Fitting{Units: q.Units}},
		Survey{Name: s.Name, People: slices.Values(people), Weighted: s.Weighted})
	if err != nil {
		return nil, err
	}
	out.Shares = c.Shares
	return out, nil
}

// steps are those in which the body and the garment are printed.
func (d *design) steps() (body, made float64) {
	if l := &d.Vocabulary.Limits; d.Units == quantity.In {
		return float64(l.ChartStepIn), float64(l.MadeStepIn)
	}
	return float64(d.Vocabulary.Limits.ChartStepCm), float64(d.Vocabulary.Limits.MadeStepCm)
}

func toStep(v, step float64) float64 { return math.Round(v/step) * step }

// begin finds the zones that the people tell of, how their figures follow from the
// first, and the figures that a size may have.
func (d *design) begin(people []Person) error {
	f := &Fitter{voc: d.Vocabulary, recipe: d.Recipe}
	for i := range d.Recipe.Zones {
		z := &d.Recipe.Zones[i]
		m := d.Vocabulary.Measure(z.Measure)
		if !z.eased() || z.Ease == nil || z.Role == Held || m.Kind != Girth || !tells(people, z.Measure) {
			continue
		}
		if z.Measure == d.By {
			d.zones, d.ease = slices.Insert(d.zones, 0, z), slices.Insert(d.ease, 0, f.middleOf(z))
			continue
		}
		d.zones, d.ease = append(d.zones, z), append(d.ease, f.middleOf(z))
	}
	if len(d.zones) == 0 || d.zones[0].Measure != d.By {
		return &DesignError{fmt.Sprintf("%s has no ease at the %s that sizes could differ by, or the bodies do not tell of it", An(d.Recipe.Title), d.Vocabulary.Title(d.By))}
	}
	for _, p := range people {
		one := served{weight: p.Weight}
		for _, z := range d.zones {
			if v, ok := p.Body.Cm(z.Measure); ok {
				one.at = append(one.at, v*nanometresPerCm)
			}
		}
		if len(one.at) == len(d.zones) {
			d.people, d.all = append(d.people, one), d.all+one.weight
		}
	}
	if len(d.people) < d.Vocabulary.Limits.DesignBodies {
		return &DesignError{fmt.Sprintf("only %d bodies lie from %s to %s at the %s: too few to tell", len(d.people), d.From.Format(d.Units), d.To.Format(d.Units), d.Vocabulary.Title(d.By))}
	}
	slices.SortStableFunc(d.people, func(a, b served) int { return cmp.Compare(a.at[0], b.at[0]) })
	if err := d.figures(); err != nil {
		return err
	}
	for z := range d.zones {
		d.follow = append(d.follow, d.regress(z))
	}
	d.tryOn()
	return nil
}

// reach is from where to where a size serves any of the people, within what was asked for.
func (d *design) reach(step float64) (least, most float64) {
	z := d.zones[0]
	low, high := (&Fitter{voc: d.Vocabulary}).ends(z)
	sizeOf := func(body, ease float64) float64 {
		if z.Ease.Percent {
			return body * (100 + ease) / (100 + d.ease[0])
		}
		return body + ease - d.ease[0]
	}
	return max(float64(d.From), sizeOf(d.people[0].at[0], low)-step), min(float64(d.To), sizeOf(d.people[len(d.people)-1].at[0], high)+step)
}

// figures lays out those that a size may have: as a chart prints them, where they serve people.
func (d *design) figures() error {
	step, _ := d.steps()
	least, most := d.reach(step)
	for v := math.Ceil(least/step) * step; v <= most; v += step {
		d.grid = append(d.grid, v)
	}
	if most := d.Vocabulary.Limits.DesignFigures; len(d.grid) > most {
		return &DesignError{fmt.Sprintf("from %s to %s there are %d figures that a chart would print, and sets of at most %d are searched: serve fewer people at a time", d.From.Format(d.Units), d.To.Format(d.Units), len(d.grid), most)}
	}
	if d.Sizes > len(d.grid) {
		return &DesignError{fmt.Sprintf("from %s to %s there are %d figures that a chart would print, fewer than %d sizes", d.From.Format(d.Units), d.To.Format(d.Units), len(d.grid), d.Sizes)}
	}
	return nil
}

// tryOn finds whom each line fits at each zone, once for all sets.
func (d *design) tryOn() {
	for z := range d.zones {
		lines := make([][]bool, len(d.grid))
		for k, size := range d.grid {
			lines[k] = make([]bool, len(d.people))
			for i := range d.people {
				lines[k][i] = d.fits(&d.people[i], size, z)
			}
		}
		d.fit = append(d.fit, lines)
	}
}

// tells reports whether most people have a measurement.
func tells(people []Person, measure string) bool {
	n := 0
	for _, p := range people {
		if _, ok := p.Body.Cm(measure); ok {
			n++
		}
	}
	return 2*n > len(people)
}

// missing are the zones with an ease that the bodies say nothing of.
func (d *design) missing() []string {
	out := []string{}
	for i := range d.Recipe.Zones {
		z := &d.Recipe.Zones[i]
		if z.eased() && z.Ease != nil && z.Role != Held && !slices.Contains(d.zones, z) {
			out = append(out, z.Name)
		}
	}
	return out
}

// regress is the line through the people's figures that is nearest to them.
func (d *design) regress(z int) Follows {
	var x, y, xx, xy, yy float64
	for _, p := range d.people {
		x, y = x+p.weight*p.at[0], y+p.weight*p.at[z]
	}
	x, y = x/d.all, y/d.all
	for _, p := range d.people {
		dx, dy := p.at[0]-x, p.at[z]-y
		xx, xy, yy = xx+p.weight*dx*dx, xy+p.weight*dx*dy, yy+p.weight*dy*dy
	}
	per := 0.0
	if xx > 0 {
		per = xy / xx
	}
	middle := float64(d.From+d.To) / 2
	return Follows{Row: d.zones[z].Measure, At: roundTo((y+per*(middle-x))/nanometresPerCm, 100), PerCm: roundTo(per, 1000),
		Spread: roundTo(math.Sqrt(max(0, yy-per*xy)/d.all)/nanometresPerCm, 100)}
}

// bodyAt is the body of a size at a zone, as it is printed.
func (d *design) bodyAt(size float64, z int) float64 {
	if z == 0 {
		return size
	}
	f := d.follow[z]
	step, _ := d.steps()
	return toStep(f.At*nanometresPerCm+f.PerCm*(size-float64(d.From+d.To)/2), step)
}

// madeAt is the garment of a size there, with the ease in the middle of what the type expects.
func (d *design) madeAt(size float64, z int) float64 {
	_, step := d.steps()
	body := d.bodyAt(size, z)
	if d.zones[z].Ease.Percent {
		return toStep(body*(1+d.ease[z]/100), step)
	}
	return body + toStep(d.ease[z], step)
}

// fits tells whether a body has its ease in the range at a zone of a size.
func (d *design) fits(p *served, size float64, z int) bool {
	e := d.zones[z].Ease
	ease := d.madeAt(size, z) - p.at[z]
	if e.Percent {
		ease = (d.madeAt(size, z)/p.at[z] - 1) * 100
	}
	return (!e.HasLow || ticks(ease, e.Percent) >= ticks(e.Low, e.Percent)) && (!e.HasHigh || ticks(ease, e.Percent) <= ticks(e.High, e.Percent))
}

// none stands for no size beside the smallest or the largest.
const none = -1

// servedBy is whom a size serves between two others: those who are nearer to it
// than to them. Sizes are places on the grid.
func (d *design) servedBy(below, size, above int) DesignShares {
	key := [3]int{below, size, above}
	if s, ok := d.known[key]; ok {
		return s
	}
	from, to := 0, len(d.people)
	border := func(a, b int) int {
		half := (d.grid[a] + d.grid[b]) / 2
		i, _ := slices.BinarySearchFunc(d.people, half, func(p served, half float64) int { return cmp.Compare(p.at[0], half) })
		return i
	}
	lines := []int{size}
	if below != none {
		from, lines = border(below, size), append(lines, below)
	}
	if above != none {
		to, lines = border(size, above), append(lines, above)
	}
	if !d.Recipe.Grading.Sensible {
		lines = lines[:1]
	}
	var s DesignShares
	for i := from; i < to; i++ {
		drawn, lined := true, true
		for z := range d.zones {
			own := d.fit[z][size][i]
			drawn = drawn && own
			lined = lined && (own || d.zones[z].Role != Decides && slices.ContainsFunc(lines[1:], func(k int) bool { return d.fit[z][k][i] }))
		}
		if drawn {
			s.AsDrawn += d.people[i].weight / d.all
		}
		if lined {
			s.WithLine += d.people[i].weight / d.all
		}
	}
	d.known[key] = s
	return s
}

// shares are those of a set of sizes.
func (d *design) shares(sizes []int) (sum DesignShares) {
	for i := range sizes {
		s := d.servedBy(beside(sizes, i-1), sizes[i], beside(sizes, i+1))
		sum.AsDrawn, sum.WithLine = sum.AsDrawn+s.AsDrawn, sum.WithLine+s.WithLine
	}
	return DesignShares{roundTo(sum.AsDrawn, 1e6), roundTo(sum.WithLine, 1e6)}
}

func beside(sizes []int, i int) int {
	if i < 0 || i >= len(sizes) {
		return none
	}
	return sizes[i]
}

// even are sizes at even steps, the first and the last half a step from the ends.
func (d *design) even(n int) []int {
	step := float64(d.To-d.From) / float64(n)
	var sizes []int
	for i := range n {
		at := float64(d.From) + (float64(i)+0.5)*step
		k := 0
		for j, v := range d.grid {
			if math.Abs(v-at) < math.Abs(d.grid[k]-at) {
				k = j
			}
		}
		sizes = append(sizes, k)
	}
	return slices.Compact(sizes)
}

// worth puts whoever is served first, and among equals whoever is served as drawn.
func (s DesignShares) worth() float64 { return s.WithLine + s.AsDrawn/1000 }

// search finds the best set of every number of sizes up to the most: for each pair of
// sizes that ends such a set, the best that comes before it.
func (d *design) search(most int) [][]int {
	n := len(d.grid)
	best := make([][]int, most+1)
	one, worth := 0, -1.0
	for k := range n {
		if w := d.servedBy(none, k, none).worth(); w > worth {
			one, worth = k, w
		}
	}
	if most > 0 {
		best[1] = []int{one}
	}
	// value[a][b] is of the sets that end with a and b, without what b serves; before[m][a][b] is what comes before a.
	value := square(n)
	before := make([][][]int, most+1)
	for a := range n {
		for b := a + 1; b < n; b++ {
			value[a][b] = d.servedBy(none, a, b).worth()
		}
	}
	for m := 2; m <= most; m++ {
		if m > 2 {
			value, before[m] = d.extend(value)
		}
		best[m] = d.bestOf(m, value, before)
	}
	return best
}

func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = slices.Repeat([]float64{math.Inf(-1)}, n)
	}
	return out
}

// extend adds one size to every set.
func (d *design) extend(value [][]float64) ([][]float64, [][]int) {
	n := len(d.grid)
	next, from := square(n), make([][]int, n)
	for b := range n {
		from[b] = make([]int, n)
		for c := b + 1; c < n; c++ {
			for a := range b {
				if math.IsInf(value[a][b], -1) {
					continue
				}
				if v := value[a][b] + d.servedBy(a, b, c).worth(); v > next[b][c] {
					next[b][c], from[b][c] = v, a
				}
			}
		}
	}
	return next, from
}

// bestOf is the best set of m sizes, the smallest figures of several.
func (d *design) bestOf(m int, value [][]float64, before [][][]int) []int {
	worth, a, b := math.Inf(-1), 0, 0
	for i := range value {
		for k := i + 1; k < len(value); k++ {
			if v := value[i][k] + d.servedBy(i, k, none).worth(); v > worth {
				worth, a, b = v, i, k
			}
		}
	}
	sizes := []int{a, b}
	for ; m > 2; m-- {
		sizes = append([]int{before[m][sizes[0]][sizes[1]]}, sizes...)
	}
	return sizes
}

// propose makes the chart of a set of sizes.
func (d *design) propose(sizes []int) ([]DesignedSize, *Pattern) {
	p := &Pattern{Name: "Proposal", Recipe: d.Recipe.Name, Units: d.Units, Chart: map[string]Row{}, Finished: map[string]Row{}}
	var out []DesignedSize
	for i, k := range sizes {
		one := DesignedSize{Size: fmt.Sprint(i + 1), Body: map[string]float64{}, Finished: map[string]float64{},
			Share: d.servedBy(beside(sizes, i-1), k, beside(sizes, i+1)).WithLine}
		p.Sizes = append(p.Sizes, one.Size)
		for z, zone := range d.zones {
			body, made := d.bodyAt(d.grid[k], z), d.madeAt(d.grid[k], z)
			one.Body[zone.Measure], one.Finished[zone.Measure] = roundTo(body/nanometresPerCm, 1000), roundTo(made/nanometresPerCm, 1000)
			p.Chart[zone.Measure] = append(p.Chart[zone.Measure], cellOf(body))
			p.Finished[zone.Measure] = append(p.Finished[zone.Measure], cellOf(made))
		}
		out = append(out, one)
	}
	return out, p
}

func cellOf(v float64) Cell {
	c := Cell{Known: true}
	c.put(v)
	return c
}
