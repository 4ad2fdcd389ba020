package engine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
)

// Soundness is a maker's look at a pattern's own chart: what contradicts itself
// in it, and how its rows step from size to size. Lengths are centimetres.
type Soundness struct {
	Version  int            `json:"version"`         // the version of this form: 1
	Pattern  string         `json:"pattern"`         // the pattern's name
	Maker    string         `json:"maker,omitempty"` // who made the pattern
	Recipe   string         `json:"recipe"`          // the garment type
	Sound    bool           `json:"sound"`           // whether no error was found
	Sizes    []string       `json:"sizes"`           // from the smallest to the largest
	Findings []Finding      `json:"findings"`        // errors first, then warnings, then facts; each from the top of the body down
	Rows     []StepRow      `json:"rows"`            // every row, from the top of the body down, body rows first
	Eases    []EaseRow      `json:"eases"`           // the ease drawn at each zone whose row is given
	Between  []BetweenSizes `json:"between"`         // how far bodies between two sizes are from both
	Shown    *ChartShown    `json:"-"`               // what the words beside the numbers need
}

// Gravity says what a finding asks for.
type Gravity string

// The gravities.
const (
	IsError   Gravity = "error"   // the chart contradicts itself, or somebody
	IsWarning Gravity = "warning" // allowed, and probably not meant
	IsFact    Gravity = "fact"    // to know, nothing to mend
)

// Part is which part of a pattern a finding is about.
type Part string

// The parts.
const (
	OfBody     Part = "body"
	OfFinished Part = "finished"
	OfEase     Part = "ease"
)

// Finding is one thing found in a chart.
type Finding struct {
	ID       string   `json:"id"`                 // what kind of thing
	Severity Gravity  `json:"severity"`           // an error, a warning or a fact
	Of       Part     `json:"of"`                 // the size chart, the finished measurements or the ease between them
	Row      string   `json:"row"`                // the measurement
	Size     string   `json:"size,omitempty"`     // where it is worst; absent where it is about the row
	Sizes    []string `json:"sizes,omitempty"`    // all sizes it holds for, where there are several
	Unit     string   `json:"unit,omitempty"`     // "percent" where the figures are shares of the body
	Value    *float64 `json:"value,omitempty"`    // what is there
	Expected *float64 `json:"expected,omitempty"` // what would be in line, the nearest where many would
	Because  string   `json:"because"`            // in a sentence
	At       string   `json:"at,omitempty"`       // where it stands, as file:line:column
	About    string   `json:"-"`                  // the row in words, and
	Steps    string   `json:"-"`                  // how it steps, where several rows may do alike
}

// StepRow is one row with its steps.
type StepRow struct {
	Of    Part       `json:"of"`    // the size chart or the finished measurements
	Row   string     `json:"row"`   // the measurement
	Cells []StepCell `json:"cells"` // one to each size, in the order of sizes
}

// StepCell is one cell, as it was read. A gap has no figures.
type StepCell struct {
	Low  *float64 `json:"low,omitempty"`  // the figure, or the lower end of a range
	High *float64 `json:"high,omitempty"` // the same figure, or the upper end
	Step *float64 `json:"step,omitempty"` // from the size before, ranges by their middles; absent after a gap
}

// EaseRow is the ease drawn at a zone.
type EaseRow struct {
	Zone  string     `json:"zone"`           // the zone's name
	Unit  string     `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Eases []*float64 `json:"eases"`          // one to each size; null where chart or garment has a gap
	Low   *float64   `json:"low,omitempty"`  // the close end of the range this type expects; absent where open
	High  *float64   `json:"high,omitempty"` // the roomy end; absent where open
}

// BetweenSizes says how far the body that is farthest from two neighbouring sizes
// is from both, where that is most.
type BetweenSizes struct {
	Row       string  `json:"row"`       // the measurement
	From      string  `json:"from"`      // the smaller size
	To        string  `json:"to"`        // the larger one
	Body      float64 `json:"body"`      // the body half-way
	Away      float64 `json:"away"`      // how far that is from both
	Tolerance float64 `json:"tolerance"` // how far from the ease drawn the garment type may be
}

// ChartShown is what a face needs beside the JSON.
type ChartShown struct {
	Units       quantity.Unit
	Recipe      *Recipe
	Title       func(measure string) string
	How         func(measure string) string  // how it is taken
	Height      func(measure string) float64 // where a drawing has its level, in centimetres above the floor; 0: in none
	By          string                       // the chart row that picks the size; empty: none does
	Borders     func() []Border              // nil: no row picks the size
	Cloth       []ClothNeed                  // how much the maker asks for, in the order of Sizes
	ByUpperBust bool                         // the upper bust and the cup that a size is drafted for stand for the bust
}

// inspection is a chart being looked at.
type inspection struct {
	words
	q    Request
	voc  *Vocabulary
	out  *Soundness
	read *Pattern // in order of size, as read
	mend *Pattern // the same with cells that are slips put right, so that each is told once
}

// Inspect looks at a pattern's own chart. Bodies, cloths and wishes of the
// request are not looked at; units are those of the words.
func Inspect(q Request) (*Soundness, error) {
	q.Vocabulary = q.Vocabulary.For(q.Pattern, q.Recipe)
	in := &inspection{words: words{q.Units}, q: q, voc: q.Vocabulary}
	cups := in.cups(q.Pattern)
	if cups != nil {
		in.read = q.Pattern.copied()
	} else {
		in.read = in.inOrder(q.Pattern)
	}
	in.mend = in.read.copied()
	in.out = &Soundness{Version: 1, Pattern: q.Pattern.Name, Maker: q.Pattern.Maker, Recipe: q.Recipe.Name, Sizes: in.read.Sizes,
		Findings: []Finding{}, Rows: []StepRow{}, Eases: []EaseRow{}, Between: []BetweenSizes{}}
	in.out.Shown = &ChartShown{Units: q.Units, Recipe: q.Recipe, Title: in.voc.Title, Height: in.voc.HeightOf,
		How: func(measure string) string { return in.voc.Measure(measure).How }, Cloth: in.read.ClothNeeded}
	look := in.whole
	if cups != nil {
		look = func() error { return in.byCup(cups) }
	}
	if err := look(); err != nil {
		return nil, err
	}
	in.sort()
	in.out.Sound = !slices.ContainsFunc(in.out.Findings, func(f Finding) bool { return f.Severity == IsError })
	return in.out, nil
}

// whole looks at a chart whose sizes follow one another.
func (in *inspection) whole() error {
	each := func(look func(of Part, name string, row Row)) {
		for _, of := range []Part{OfBody, OfFinished} {
			for _, name := range in.voc.names {
				if row := in.mend.rows(of)[name]; row.known() {
					look(of, name, row)
				}
			}
		}
	}
	each(func(of Part, name string, _ Row) {
		row := in.read.rows(of)[name]
		in.out.Rows = append(in.out.Rows, in.stepRow(of, name, row))
		in.gaps(of, name, row)
	})
	in.wholeRows()
	in.outOfPace()
	each(in.slips)
	each(in.row)
	in.missing()
	return in.fitted()
}

// fitted looks at what needs garment and chart together.
func (in *inspection) fitted() error {
	q := in.q
	f, err := asPrinted(in.mend, q.Recipe, q.Rules, in.voc)
	var none *NoRowError
	if errors.As(err, &none) {
		return nil // told among the missing rows
	}
	if err != nil {
		return err
	}
	in.out.Shown.By, _ = f.orderRow()
	in.out.Shown.Borders, in.out.Shown.ByUpperBust = f.borders, f.standsIn(in.out.Shown.By) && slices.ContainsFunc(f.cups, func(c figure) bool { return c.known })
	in.eases(f)
	in.loose(f)
	in.openings(f)
	return in.between(f)
}

// rows are the rows of a part; of the ease those of the garment that has it.
func (p *Pattern) rows(of Part) map[string]Row {
	if of != OfBody {
		return p.Finished
	}
	return p.Chart
}

// copied is a pattern whose rows can be changed.
func (p *Pattern) copied() *Pattern {
	all := make([]int, len(p.Sizes))
	for i := range all {
		all[i] = i
	}
	return p.permuted(all)
}

// permuted is the pattern with its sizes in another order.
func (p *Pattern) permuted(order []int) *Pattern {
	out := *p
	out.Sizes = make([]string, len(order))
	for s, i := range order {
		out.Sizes[s] = p.Sizes[i]
	}
	inOrder := func(row Row) Row {
		to := make(Row, len(order))
		for s, i := range order {
			to[s] = row[i]
		}
		return to
	}
	rows := func(from map[string]Row) map[string]Row {
		to := make(map[string]Row, len(from))
		for name, row := range from {
			to[name] = inOrder(row)
		}
		return to
	}
	out.ClothNeeded = slices.Clone(p.ClothNeeded)
	for i := range out.ClothNeeded {
		out.ClothNeeded[i].Lengths = inOrder(p.ClothNeeded[i].Lengths)
	}
	out.Chart, out.Finished, out.DraftedFor = rows(p.Chart), rows(p.Finished), rows(p.DraftedFor)
	return &out
}

// inOrder puts the sizes from the smallest to the largest. They are taken as the
// file lists them, or the other way round, unless the row that picks the size
// knows an order in which fewer steps run backward: so a slip in that row does
// not move its size.
func (in *inspection) inOrder(p *Pattern) *Pattern {
	listed := p.copied()
	down := make([]int, len(p.Sizes))
	for i := range down {
		down[i] = len(down) - 1 - i
	}
	best := listed
	for _, other := range []*Pattern{p.permuted(down), in.byControlling(p)} {
		if other != nil && in.backward(other) < in.backward(best) {
			best = other
		}
	}
	return best
}

// byControlling orders the sizes by the row that picks them; nil where it cannot
// be trusted with that alone.
func (in *inspection) byControlling(p *Pattern) *Pattern {
	f := &Fitter{voc: in.voc, recipe: in.q.Recipe, pattern: p}
	by, err := f.orderRow()
	if err != nil || len(p.Chart)+len(p.Finished) < 2 {
		return nil
	}
	f.orderSizes(by)
	order := slices.Clone(f.cells)
	for i := range p.Sizes {
		if !slices.Contains(order, i) {
			order = append(order, i)
		}
	}
	return p.permuted(order)
}

// backward counts the steps that run backward, of all girths.
func (in *inspection) backward(p *Pattern) int {
	n := 0
	for _, of := range []Part{OfBody, OfFinished} {
		for name, row := range p.rows(of) {
			if m := in.voc.Measure(name); m == nil || m.Kind != Girth {
				continue
			}
			for _, s := range stepsOf(row) {
				if s.per < 0 {
					n++
				}
			}
		}
	}
	return n
}

// found adds a finding about one size, or about a row where s is below 0.
func (in *inspection) found(f Finding, s int, value, expected figure) {
	cm := func(v figure) *float64 {
		if !v.known {
			return nil
		}
		out := roundTo(v.v/nanometresPerCm, 1000)
		if f.Unit == percentUnit {
			out = roundTo(v.v, 100)
		}
		return &out
	}
	f.Value, f.Expected = cm(value), cm(expected)
	if s >= 0 {
		f.Size = in.read.Sizes[s]
		if row := in.read.rows(f.Of)[f.Row]; f.At == "" && row != nil {
			f.At = row[s].At.String()
		}
	}
	in.out.Findings = append(in.out.Findings, f)
}

// percentUnit is the unit of eases that are shares of the body.
const percentUnit = "percent"

func known(v float64) figure { return figure{v: v, known: true} }

// named is a row in a sentence: "finished hip" or "hip".
func (in *inspection) named(of Part, name string) string {
	if m := in.voc.Measure(name); of == OfFinished && (m == nil || m.Kind != Garment) {
		return "finished " + in.voc.Title(name)
	}
	return in.voc.Title(name)
}

// run names sizes: "size 8" or "sizes 8, 10 and 12".
func run(sizes []string) string {
	if len(sizes) == 1 {
		return "size " + sizes[0]
	}
	return "sizes " + list(sizes, "and")
}

// atSizes are the labels of places.
func (in *inspection) atSizes(at []int) []string {
	out := make([]string, len(at))
	for i, s := range at {
		out[i] = in.read.Sizes[s]
	}
	return out
}

// several adds a finding about some sizes, worst is the one named first.
func (in *inspection) several(f Finding, at []int, worst int, value, expected figure) {
	if len(at) > 1 {
		f.Sizes = in.atSizes(at)
	}
	in.found(f, worst, value, expected)
}

// sort puts the gravest first, then from the top of the body down.
func (in *inspection) sort() {
	grave := map[Gravity]int{IsError: 0, IsWarning: 1, IsFact: 2}
	parts := map[Part]int{OfBody: 0, OfFinished: 1, OfEase: 2}
	slices.SortStableFunc(in.out.Findings, func(a, b Finding) int {
		return cmp.Or(grave[a.Severity]-grave[b.Severity], in.voc.level(a.Row)-in.voc.level(b.Row), cmp.Compare(a.Row, b.Row), parts[a.Of]-parts[b.Of],
			slices.Index(in.read.Sizes, a.Size)-slices.Index(in.read.Sizes, b.Size), cmp.Compare(a.ID, b.ID))
	})
}

// missing tells which rows the garment type wants and the pattern lacks.
func (in *inspection) missing() {
	f := &Fitter{voc: in.voc, recipe: in.q.Recipe, pattern: in.read}
	if _, err := f.orderRow(); err != nil {
		names := in.q.Recipe.Controlling.named(in.voc)
		in.found(Finding{ID: "row-missing", Severity: IsError, Of: OfBody, Row: names[0], At: in.q.Pattern.ChartAt.String(),
			Because: fmt.Sprintf("No row of the chart picks the size: %s is chosen by the %s.", An(in.q.Recipe.Title), in.titles(names, ", else the "))}, -1, figure{}, figure{})
	}
	for i := range in.q.Recipe.Zones {
		in.missingAt(f, &in.q.Recipe.Zones[i])
	}
	told := map[string]bool{}
	for _, f := range in.out.Findings {
		told[f.Row] = told[f.Row] || f.ID == "row-missing" && f.Of == OfFinished
	}
	for i := range in.q.Recipe.Openings {
		o := &in.q.Recipe.Openings[i]
		for _, name := range o.wants() {
			if row, _ := f.row(in.read.Finished, name); row == nil && !told[name] {
				told[name] = true
				in.found(Finding{ID: "row-missing", Severity: in.openingGravity(o), Of: OfFinished, Row: name,
					Because: fmt.Sprintf("No %s is given: whether the body gets in at the %s is not judged.", in.named(OfFinished, name), o.Name)}, -1, figure{}, figure{})
			}
		}
	}
}

// openingGravity is that of not knowing an opening: one that never stops a size
// is a fact.
func (in *inspection) openingGravity(o *Opening) Gravity {
	if o.Closure == nil && o.Stops {
		return IsWarning
	}
	return IsFact
}

// wants are the finished rows that an opening is judged by.
func (o *Opening) wants() []string {
	switch {
	case o.Closure != nil && o.Closure.Lacing != nil && o.Closure.whole():
		return nil
	case o.Closure != nil:
		return []string{o.Closure.From, o.Closure.Towards}
	}
	return []string{o.Measure}
}

func (in *inspection) titles(names []string, between string) string {
	out := ""
	for i, n := range names {
		if i > 0 {
			out += between
		}
		out += in.voc.Title(n)
	}
	return out
}

// missingAt tells what a zone wants and the pattern lacks.
func (in *inspection) missingAt(f *Fitter, z *Zone) {
	chart, _ := f.row(in.read.Chart, z.Measure)
	made, _ := f.row(in.read.Finished, z.Measure)
	decides := in.q.Recipe.counts(z, in.voc)
	picks := slices.Contains(in.q.Recipe.Controlling.named(in.voc), z.Measure)
	if chart == nil && decides && !picks {
		in.found(Finding{ID: "row-missing", Severity: IsWarning, Of: OfBody, Row: z.Measure,
			Because: fmt.Sprintf("The chart has no %s, which has a say in the size: what ease is meant there cannot be told.", in.voc.Title(z.Measure))}, -1, figure{}, figure{})
	}
	if made != nil || z.Ease == nil || z.WhereMade || z.Laps != "" || z.By == ByChart {
		return
	}
	found := Finding{ID: "row-missing", Severity: IsFact, Of: OfFinished, Row: z.Measure,
		Because: fmt.Sprintf("No finished %s is given, so no ease is judged there.", in.voc.Title(z.Measure))}
	if decides {
		found.Severity = IsWarning
		found.Because = fmt.Sprintf("No finished %s is given, which has a say in the size: its ease has to be guessed from the garment type.", in.voc.Title(z.Measure))
	}
	in.found(found, -1, figure{}, figure{})
}
