package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine/formula"
	"fitadvisor/explain/diag"
)

// Fitter is a pattern read against a recipe: sizes in order, figures in
// columns, rules ready to run. It is immutable and safe for concurrent use.
type Fitter struct {
	voc      *Vocabulary
	recipe   *Recipe
	pattern  *Pattern
	between  Between
	inGaps   []lineBetween // sizes that are drawn by you
	sizes    []string      // in size order
	cells    []int         // for each size, its place in the pattern's rows
	leftOut  []string      // sizes the chart cannot place
	children []childSize   // what the names of a children's sizes say
	zones    []*column
	bodies   []*column // for each measurement, what its zone would be as far as the body goes
	upper    *Measure  // the upper bust
	bust     *Measure  // the full bust
	cups     []figure  // drafted, by size
	// chartCups are those of the chart, by size, where it has several of one upper bust; else nil.
	chartCups []cup
	edges     []edge       // as the recipe lists its openings
	atOnce    []*boundRule // rules that look at no zone, by id
	byZone    []*boundRule // rules that look at zones, by id
	reasons   []*boundRule // for a toile, which are no cautions, by id
	stops     ruleSet      // those that rule a size out
	warns     ruleSet      // and the others
	local     ruleSet      // those whose verdict may differ between sizes
	same      ruleSet      // and the others
	// alterations are in the trade's order, onAlterations are the rules that look at them, by id.
	alterations   []*alteration
	onAlterations []*boundRule
	slots         map[formula.Key]int // of the names in rules
	rooms         *sync.Pool          // of *scratch
}

// column is a zone with its figures for every size, in size order.
type column struct {
	zone     *Zone
	measure  *Measure
	decides  bool // carries points
	pulls    bool // room to move and stretch are asked for here
	standIn  bool // upper bust + cup stands for the bust here
	chart    []figure
	finished []figure
	drawn    []figure // nanometres, or percent of the chart's body
	chartRow string   // the row read, which may be bust for chest
	madeRow  string
	worn     figure  // the least room to move, where a source says
	seen     *seen   // what a toile showed here
	lacing   *Lacing // that closes it, with the gap that finished has in it; nil: none does
	gap      string  // why nothing can be judged here, whatever the body
}

// figure is a number that may be unknown.
type figure struct {
	v         float64
	known     bool
	estimated bool
	cell      *Cell // where it was read, nil for a computed one
}

// NoRowError says that a pattern's chart lacks every row that could pick a size.
type NoRowError struct{ Recipe, Row string }

// Code is the code of the mistake.
func (e *NoRowError) Code() diag.Code { return noRow }

func (e *NoRowError) Error() string {
	return fmt.Sprintf("the pattern's chart has no row `%s`, which picks the size of %s", e.Row, An(e.Recipe))
}

// Hint says how to mend it.
func (e *NoRowError) Hint() string {
	return "add the row to the pattern's `body:`, from the size chart on its envelope"
}

// Prepare reads a pattern against a recipe. The rules are the shared ones; the
// recipe's own are added. It fails with [InvalidError] where they are no
// pattern, recipe or rules, with [NoRowError] where the chart has no row that could
// pick a size, and where a rule does not compile.
//
// Where the nest leaves a gap between two sizes, lines that you may draw between them
// are judged as sizes too.
func Prepare(p *Pattern, r *Recipe, rules []*Rule, v *Vocabulary) (*Fitter, error) {
	return prepare(p, r, rules, v, (*Fitter).gaps)
}

// asPrinted prepares a pattern with its printed sizes alone.
func asPrinted(p *Pattern, r *Recipe, rules []*Rule, v *Vocabulary) (*Fitter, error) {
	return prepare(p, r, rules, v, func(*Fitter, string) []lineBetween { return nil })
}

func prepare(p *Pattern, r *Recipe, rules []*Rule, v *Vocabulary, gaps func(*Fitter, string) []lineBetween) (*Fitter, error) {
	v = v.For(p, r)
	if err := validPattern(p, r, rules, v); err != nil {
		return nil, err
	}
	f := &Fitter{voc: v, recipe: r, pattern: p, between: r.Settle(v), upper: v.Measure("upper_bust"), bust: v.Measure(bustName), slots: map[formula.Key]int{}, rooms: &sync.Pool{}}
	order, err := f.orderRow()
	if err != nil {
		return nil, err
	}
	f.orderSizes(order)
	f.readChartCups()
	if lines := gaps(f, order); len(lines) > 0 {
		f.drawBetween(lines)
		f.sizes, f.cells, f.leftOut = nil, nil, nil
		f.orderSizes(order)
	}
	f.readCups()
	f.bindOpenings()
	for _, name := range v.names {
		c := f.measured(v.measures[name])
		f.bodies = append(f.bodies, &c)
	}
	for i := range r.Zones {
		f.zones = append(f.zones, f.column(&r.Zones[i]))
	}
	for _, c := range f.zones {
		if c.zone.Laps != "" {
			f.lap(c)
		}
	}
	slices.SortFunc(f.zones, func(a, b *column) int {
		return cmp.Or(cmp.Compare(v.level(a.zone.Measure), v.level(b.zone.Measure)), cmp.Compare(a.zone.Name, b.zone.Name))
	})
	return f, f.bind(rules)
}

// Settle is the recipe's word on ties, or the default that follows from the
// recipe alone: close-fitting children's sleepwear smaller, children larger,
// stretch garments smaller, loose wovens smaller, everything else larger.
func (r *Recipe) Settle(v *Vocabulary) Between {
	v = v.For(nil, r)
	switch {
	case r.Between != "":
		return r.Between
	case r.Draft == ForChildren && r.CloseSleepwear:
		return Smaller
	case r.Draft == ForChildren:
		return Larger
	case r.Stretch.Kind == StretchNeeded:
		return Smaller
	case r.Stretch.Kind == NoStretch && r.loose(v):
		return Smaller
	}
	return Larger
}

// counts tells whether a zone has a say in the size: one that decides, and
// where grading is not sensible every girth that touches the body too.
func (r *Recipe) counts(z *Zone, v *Vocabulary) bool {
	return z.Role == Decides ||
		!r.Grading.Sensible && z.Role == Mended && z.Touches && z.Ease != nil && v.Measure(z.Measure).Kind == Girth
}

// loose tells whether every deciding zone expects the ease of a loose garment.
func (r *Recipe) loose(v *Vocabulary) bool {
	deciding := 0
	for i := range r.Zones {
		z := &r.Zones[i]
		if !z.eased() || !r.counts(z, v) {
			continue
		}
		if z.Ease == nil || z.Ease.Percent || !z.Ease.HasLow || z.Ease.Low < float64(v.Limits.LooseEase) {
			return false
		}
		deciding++
	}
	return deciding > 0
}

// named lists the measurements a recipe picks by, in order of mention.
func (c *Controlling) named(v *Vocabulary) []string {
	if c.Formula == nil {
		return c.Names
	}
	return mentioned(c.Formula.Source(), v)
}

// mentioned finds measurements in an expression's text, in source order:
// body.hip or the literal "hip".
func mentioned(source string, v *Vocabulary) []string {
	var names []string
	words := strings.FieldsFunc(source, func(r rune) bool {
		return r != '.' && r != '_' && (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	for _, w := range words {
		w = strings.TrimPrefix(w, "body.")
		if v.Measure(w) != nil && !slices.Contains(names, w) {
			names = append(names, w)
		}
	}
	return names
}

// row finds the pattern's row for a measurement, or for the one that satisfies
// it; a row of nothing but gaps is none.
func (f *Fitter) row(rows map[string]Row, measure string) (Row, string) {
	if row := rows[measure]; row.known() {
		return row, measure
	}
	if m := f.voc.Measure(measure); m != nil && m.SameAs != "" {
		if row := rows[m.SameAs]; row.known() {
			return row, m.SameAs
		}
	}
	return nil, ""
}

// known tells whether a row has anything but gaps.
func (r Row) known() bool { return slices.ContainsFunc(r, func(c Cell) bool { return c.Known }) }

func (f *Fitter) orderRow() (string, error) {
	names := f.recipe.Controlling.named(f.voc)
	for _, name := range names {
		if _, found := f.row(f.pattern.Chart, name); found != "" {
			return found, nil
		}
	}
	return "", &NoRowError{Recipe: f.recipe.Title, Row: strings.Join(names, "` or `")}
}

// orderSizes sorts the sizes by the order row's middle, then its lower end,
// then the other rows in alphabetical order, gaps last, then the label.
func (f *Fitter) orderSizes(by string) {
	rows := []Row{f.pattern.Chart[by]}
	others := make([]string, 0, len(f.pattern.Chart))
	for name := range f.pattern.Chart {
		if name != by {
			others = append(others, name)
		}
	}
	slices.Sort(others)
	for _, name := range others {
		rows = append(rows, f.pattern.Chart[name])
	}
	for i, label := range f.pattern.Sizes {
		if rows[0][i].Known {
			f.cells = append(f.cells, i)
		} else {
			f.leftOut = append(f.leftOut, label)
		}
	}
	slices.SortFunc(f.cells, func(a, b int) int {
		for _, row := range rows {
			if c := row[a].compare(row[b]); c != 0 {
				return c
			}
		}
		return cmp.Compare(f.pattern.Sizes[a], f.pattern.Sizes[b])
	})
	slices.Sort(f.leftOut)
	for _, i := range f.cells {
		f.sizes = append(f.sizes, f.pattern.Sizes[i])
	}
	f.children = f.readLabels()
}

func (c Cell) middle() float64 { return float64(c.Low+c.High) / 2 }

// compare orders cells by their middle, then their lower end; gaps come last.
func (c Cell) compare(d Cell) int {
	switch {
	case c.Known && d.Known:
		return cmp.Or(cmp.Compare(c.middle(), d.middle()), cmp.Compare(c.Low, d.Low))
	case c.Known:
		return -1
	case d.Known:
		return 1
	}
	return 0
}

// figures reads a row in size order; an absent row is all unknown.
func (f *Fitter) figures(row Row) []figure {
	out := make([]figure, len(f.cells))
	if row == nil {
		return out
	}
	for s, i := range f.cells {
		if c := &row[i]; c.Known {
			out[s] = figure{v: c.middle(), known: true, cell: c}
		}
	}
	return out
}

// standsIn tells whether upper bust + cup stands for a measurement: for the bust,
// and for what the chart has in its place.
func (f *Fitter) standsIn(measure string) bool {
	_, row := f.row(f.pattern.Chart, bustName)
	return f.recipe.HangsFrom == FromShoulder && (measure == bustName || measure == row)
}

// bustName is the full bust's name.
const bustName = "bust"

// measured is the column of a measurement at which no zone looks.
func (f *Fitter) measured(m *Measure) column {
	c := column{measure: m, standIn: f.standsIn(m.Name)}
	if ease, ok := m.WearingEase(f.recipe); ok {
		c.worn = figure{v: float64(ease), known: true}
	}
	return c
}

// finishedRow is the finished row that says what the garment measures at a zone.
func (z *Zone) finishedRow() string { return cmp.Or(z.Made, z.Measure) }

func (f *Fitter) column(z *Zone) *column {
	own := f.measured(f.voc.Measure(z.Measure))
	c := &own
	c.zone, c.decides, c.pulls = z, f.recipe.counts(z, f.voc), f.recipe.Pulls(z, own.measure)
	var chart, made Row
	chart, c.chartRow = f.row(f.pattern.Chart, z.Measure)
	made, c.madeRow = f.row(f.pattern.Finished, z.finishedRow())
	c.chart, c.finished = f.figures(chart), f.figures(made)
	c.drawn = make([]figure, len(f.cells))
	f.addGap(c)
	switch {
	case z.By == ByChart:
		if chart == nil {
			c.gap = fmt.Sprintf("the chart has no row for the %s", c.measure.Title)
		}
		return c
	case z.Role == Held && z.Ease == nil:
		c.gap = "it is drawn in to fit you by " + heldBy(z) + ", whatever the size"
		return c
	case z.Laps != "":
		return c // once the girth it belongs to is read
	case made == nil && z.WhereMade:
		c.gap = fmt.Sprintf("the pattern gives no finished %s, so it may not reach there", c.measure.Title)
		return c
	case made == nil && chart == nil:
		c.gap = fmt.Sprintf("the pattern gives no %s, neither on the body chart nor finished", c.measure.Title)
		return c
	case made == nil && z.Ease == nil:
		c.gap = fmt.Sprintf("the pattern gives no finished %s, and the recipe expects no particular ease there", c.measure.Title)
		return c
	case made == nil:
		f.estimateAll(c)
	}
	f.draw(c)
	f.fillGaps(c)
	return c
}

// addGap makes of what is sewn what is worn, where a lacing closes it.
func (f *Fitter) addGap(c *column) {
	if !c.zone.eased() {
		return
	}
	if c.lacing = f.laced(c.measure); c.lacing == nil {
		return
	}
	for s := range c.finished {
		if c.finished[s].known {
			c.finished[s].v += float64(c.lacing.Gap)
		}
	}
}

// lap reads a wrap's overlap: the garment's whole width is what it measures
// closed, be that an estimate, plus what laps over.
func (f *Fitter) lap(c *column) {
	row, _ := f.row(f.pattern.Finished, overlapRow)
	c.drawn = f.figures(row)
	if row == nil {
		c.gap = "the pattern does not give its overlap"
		return
	}
	if girth := f.zoneAt(c.zone.Laps); girth >= 0 {
		c.finished = slices.Clone(f.zones[girth].finished)
	}
	for s := range c.finished {
		if c.finished[s].known && c.drawn[s].known {
			c.finished[s].v += c.drawn[s].v
		} else {
			c.finished[s] = figure{}
		}
	}
}

// overlapRow is the finished row that says how far one front laps over the other.
const overlapRow = "overlap"

func heldBy(z *Zone) string {
	if z.By == "" {
		return "what draws it in"
	}
	return string(z.By)
}

// estimateAll makes the garment from the chart and the middle of the expected
// ease, where the maker gives no finished measurement at all.
func (f *Fitter) estimateAll(c *column) {
	mid := f.middleOf(c.zone)
	for s, body := range c.chart {
		if body.known {
			c.finished[s] = figure{v: withEase(body.v, mid, c.zone.percent()), known: true, estimated: true}
		}
	}
}

// draw computes the ease the maker drew wherever both figures are known.
func (f *Fitter) draw(c *column) {
	for s := range c.drawn {
		if c.chart[s].known && c.finished[s].known {
			c.drawn[s] = figure{v: easeOf(c.finished[s].v, c.chart[s].v, c.zone.percent()), known: true}
		}
	}
}

// fillGaps estimates a missing finished cell: the chart cell plus the drawn
// ease interpolated between the neighbouring sizes that have one.
func (f *Fitter) fillGaps(c *column) {
	read := slices.Clone(c.drawn)
	for s := range c.finished {
		if c.finished[s].known || !c.chart[s].known {
			continue
		}
		if ease, ok := between(read, s); ok {
			c.drawn[s] = figure{v: ease, known: true, estimated: true}
			c.finished[s] = figure{v: withEase(c.chart[s].v, ease, c.zone.percent()), known: true, estimated: true}
		}
	}
}

// between interpolates a gap at s linearly between the nearest known figures on both sides.
func between(fs []figure, s int) (float64, bool) {
	lo, hi := s-1, s+1
	for lo >= 0 && !fs[lo].known {
		lo--
	}
	for hi < len(fs) && !fs[hi].known {
		hi++
	}
	if lo < 0 || hi >= len(fs) {
		return 0, false
	}
	share := float64(s-lo) / float64(hi-lo)
	return fs[lo].v + (fs[hi].v-fs[lo].v)*share, true
}

// eased tells whether the zone compares a garment with a body: not one that is
// read off the chart, nor a wrap's overlap.
func (z *Zone) eased() bool { return z.By != ByChart && z.Laps == "" }

// wants is what is wanted at a zone: ease or, of a wrap, overlap.
func (z *Zone) wants() string {
	if z.Laps != "" {
		return "overlap"
	}
	return "ease"
}

func (z *Zone) percent() bool { return z.Ease != nil && z.Ease.Percent }

// easeOf is finished - body, as nanometres or as percent of the body.
func easeOf(finished, body float64, percent bool) float64 {
	if percent {
		return (finished - body) / body * 100
	}
	return finished - body
}

// withEase is the garment that has the ease over the body.
func withEase(body, ease float64, percent bool) float64 {
	if percent {
		return math.Round(body * (1 + ease/100))
	}
	return body + ease
}

// ends are the range's ends; a missing one counts as two tolerances away.
func (f *Fitter) ends(z *Zone) (low, high float64) {
	e := z.Ease
	low, high = e.Low, e.High
	reach := f.voc.Limits.OpenRangeWidths * z.Tolerance
	if !e.HasLow {
		low = high - reach
	}
	if !e.HasHigh {
		high = low + reach
	}
	return low, high
}

func (f *Fitter) middleOf(z *Zone) float64 {
	low, high := f.ends(z)
	return (low + high) / 2
}

func (f *Fitter) leastTolerance(z *Zone) float64 {
	switch {
	case z.Least > 0:
		return z.Least
	case z.percent():
		return f.voc.Limits.LeastPoints
	}
	return float64(f.voc.Limits.LeastTolerance)
}
