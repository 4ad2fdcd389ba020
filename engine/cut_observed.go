package engine

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// Observations is what a toile was sewn with, and what was seen on it.
type Observations struct {
	Pattern     string             // its name
	Size        string             // that the toile was sewn in
	Lines       []SewnLine         // the lines of other sizes that it was sewn on
	Alterations map[string]Usually // it was sewn with, by the ids of the rules
	Date        string             // YYYY-MM-DD, empty where not said
	Seen        []Observation
	At          diag.Range // of the file
	SizeAt      diag.Range
	NameAt      diag.Range // of the pattern's name
}

// SewnLine is a level at which a toile was sewn on the line of another size.
type SewnLine struct {
	Measure string // a word of the vocabulary
	Size    string
	At      diag.Range
}

// Observation is one thing seen: "let out 1.5 cm in all" at the hip.
type Observation struct {
	Measure string // a word of the vocabulary
	Act     Act
	Amount  quantity.Length // not below 0
	Sides   Sides
	Text    string // as written
	At      diag.Range
}

// Act is what was done to a toile.
type Act string

// The acts. Lowering and raising move a line and change no measurement.
const (
	LetOut   Act = "let out"
	TakeIn   Act = "take in"
	Lengthen Act = "lengthen"
	Shorten  Act = "shorten"
	Lower    Act = "lower"
	Raise    Act = "raise"
)

// Acts are all of them.
var Acts = []Act{LetOut, TakeIn, Lengthen, Shorten, Lower, Raise}

// Sides says what an amount counts: all round or both sides together, or each side.
type Sides string

// The ways to count; empty where not said.
const (
	InAll Sides = "in all"
	Each  Sides = "each"
)

// by is how far the observation moves the finished measurement: of what a body has
// two of, one alone.
func (o *Observation) by(m *Measure) float64 {
	v := float64(o.Amount)
	switch o.Act {
	case Lower, Raise:
		return 0
	case TakeIn, Shorten:
		v = -v
	}
	switch {
	case o.Sides == Each && !m.Pair:
		return 2 * v
	case o.Sides == InAll && m.Pair && m.Kind != Girth:
		return v / 2
	}
	return v
}

// seen is what a toile showed at one measurement of its size.
type seen struct {
	measure *Measure
	s       int // the toile's size
	line    int // the size whose line it was sewn on there
	by      float64
	shift   float64 // of a zone, what that line gives
	from    []*Observation
	sewn    *SewnLine // nil: it was sewn on the size's own line
}

// at is where it is written.
func (n *seen) at() diag.Range {
	if n.sewn != nil {
		return n.sewn.At
	}
	return n.from[0].At
}

// net adds the observations up, measurement by measurement from the top down.
func (o *Observations) net(v *Vocabulary) []*seen {
	byName := map[string]*seen{}
	at := func(m *Measure) *seen {
		if byName[m.Name] == nil {
			byName[m.Name] = &seen{measure: m}
		}
		return byName[m.Name]
	}
	for i := range o.Seen {
		one := &o.Seen[i]
		if m := v.Measure(one.Measure); m != nil {
			n := at(m)
			n.by += one.by(m)
			n.from = append(n.from, one)
		}
	}
	for i := range o.Lines {
		if m := v.Measure(o.Lines[i].Measure); m != nil {
			at(m).sewn = &o.Lines[i]
		}
	}
	return slices.SortedFunc(maps.Values(byName), func(a, b *seen) int { return a.measure.index - b.measure.index })
}

// ToileError says that observations do not belong to the pattern they are used with.
type ToileError struct {
	At            diag.Range
	Problem, Mend string
	Is            diag.Code
}

// The codes of what is found wrong with observations once they are used.
const (
	otherSize    diag.Code = "FA0761"
	otherPattern diag.Code = "FA0762"
	nothingLeft  diag.Code = "FA0763"
)

func (e *ToileError) Error() string { return e.Problem }

// Hint says how to mend it.
func (e *ToileError) Hint() string { return e.Mend }

// Code is the code of the mistake.
func (e *ToileError) Code() diag.Code { return e.Is }

// corrected is the pattern as the toile corrected it: in the toile's size the
// garment measures what was seen, and the ease that the maker drew stays.
func (f *Fitter) corrected(o *Observations) (*Fitter, int, error) {
	if o.Pattern != f.pattern.Name {
		return nil, 0, &ToileError{o.NameAt, fmt.Sprintf("the toile is of `%s`, and the pattern asked about is `%s`", o.Pattern, f.pattern.Name),
			"name the pattern that the toile was sewn from", otherPattern}
	}
	s := slices.Index(f.sizes, o.Size)
	if s < 0 {
		return nil, 0, f.notOfPattern(o.Size, o.SizeAt)
	}
	pattern := *f.pattern
	pattern.Finished = maps.Clone(f.pattern.Finished)
	g := *f
	g.pattern, g.zones, g.rooms = &pattern, slices.Clone(f.zones), &sync.Pool{}
	for _, n := range o.net(f.voc) {
		n.s, n.line = s, s
		if n.sewn != nil {
			if n.line = slices.Index(f.sizes, n.sewn.Size); n.line < 0 {
				return nil, 0, f.notOfPattern(n.sewn.Size, n.sewn.At)
			}
		}
		if n.by == 0 && n.sewn == nil {
			continue
		}
		if err := g.move(n); err != nil {
			return nil, 0, err
		}
	}
	g.bindOpenings()
	return &g, s, nil
}

func (f *Fitter) notOfPattern(size string, at diag.Range) error {
	return &ToileError{at, fmt.Sprintf("the toile is of size `%s`, for which the pattern's chart has no body", size),
		"its sizes are: " + strings.Join(f.sizes, ", "), otherSize}
}

// move makes one measurement of the toile's size what was sewn and seen.
func (f *Fitter) move(n *seen) error {
	nothing := func(left float64) error {
		if left > 0 {
			return nil
		}
		return &ToileError{n.at(), fmt.Sprintf("nothing would be left of the %s", n.measure.Title), "write the amount that was pinned out, not what is left", nothingLeft}
	}
	if row, name := f.row(f.pattern.Finished, n.measure.Name); row != nil && row[f.cells[n.s]].Known {
		row = slices.Clone(row)
		cell := &row[f.cells[n.s]]
		if of := row[f.cells[n.line]]; of.Known {
			*cell = of
		}
		if err := nothing(float64(cell.Low) + n.by); err != nil {
			return err
		}
		cell.Low, cell.High = cell.Low+quantity.Length(n.by), cell.High+quantity.Length(n.by)
		f.pattern.Finished[name] = row
	}
	for z, c := range f.zones {
		if !f.isAt(c, n.measure) || !c.finished[n.s].known || !c.finished[n.line].known {
			continue
		}
		of := *n
		of.shift = c.finished[n.line].v - c.finished[n.s].v
		if err := nothing(c.finished[n.line].v + n.by); err != nil {
			return err
		}
		moved := *c
		moved.seen = &of
		moved.finished = slices.Clone(c.finished)
		moved.finished[n.s].v += of.shift + n.by
		f.zones[z] = &moved
	}
	return nil
}

// isAt tells whether a zone looks at a measurement, or at the one that counts as the same.
func (f *Fitter) isAt(c *column, m *Measure) bool {
	return c.zone.eased() && (c.measure == m || c.measure.Name == m.SameAs)
}

// by is what a toile changes at a zone in one size: the line it was sewn on, and what was pinned.
func (c *column) by(s int) float64 {
	if c.seen == nil || c.seen.s != s {
		return 0
	}
	return c.seen.shift + c.seen.by
}

// sewnWith is the alteration that the toile was sewn with, nil where it was not.
func (j *judging) sewnWith(id string) *listed {
	if j.Observed == nil {
		return nil
	}
	own, ok := j.Observed.Alterations[id]
	if !ok {
		return nil
	}
	return &listed{amount: given(own.Amount), because: "Your toile was sewn with it.", at: own.At.String(), sewn: true}
}

// pinned tells whether a toile settled what an alteration puts right: by a change of the
// garment there, by the line it was sewn on, or by an alteration it was sewn with.
func (j *judging) pinned(a *alteration) bool {
	if j.Observed == nil {
		return false
	}
	same := func(measure string) bool {
		return measure != "" && (measure == a.Alter.Zone || measure == a.Alter.Settles)
	}
	return slices.ContainsFunc(j.Observed.net(j.voc), func(n *seen) bool { return (n.by != 0 || n.sewn != nil) && same(n.measure.Name) }) ||
		slices.ContainsFunc(j.alterations, func(o *alteration) bool { return j.sewnWith(o.ID) != nil && same(o.Alter.Settles) })
}

// ObservedZone is what a toile showed at one measurement. Lengths are centimetres.
type ObservedZone struct {
	Zone    string   `json:"zone"`               // the measurement's name
	Before  *float64 `json:"before,omitempty"`   // the garment there as the pattern has it; absent where it does not say
	After   *float64 `json:"after,omitempty"`    // the garment there as corrected
	Change  float64  `json:"change"`             // how far it moves, below 0 where it gets smaller
	PerEdge float64  `json:"per_edge,omitempty"` // what each cut edge takes of that; absent where no seams are usual
	Say     string   `json:"say"`                // what to do on the pattern
}

// observed lists what the toile showed, from the top of the body down.
func (j *judging) observed() []ObservedZone {
	if j.Observed == nil {
		return nil
	}
	var out []ObservedZone
	for _, n := range j.Observed.net(j.voc) {
		if len(n.from) == 0 {
			continue // it was sewn on another line, and nothing was pinned
		}
		o := ObservedZone{Zone: n.measure.Name, Change: roundTo(n.by/nanometresPerCm, 1000), Say: j.explainer().seenWords(n)}
		if edges := j.edgesAt(n.measure); edges > 0 {
			o.PerEdge = roundTo(n.by/float64(edges)/nanometresPerCm, 1000)
		}
		if after, known := j.garmentAt(n.measure, j.sewn); known {
			o.After, o.Before = inCmRounded(after), inCmRounded(after-n.by)
		}
		out = append(out, o)
	}
	return out
}

func inCmRounded(nm float64) *float64 { v := roundTo(nm/nanometresPerCm, 1000); return &v }

// seenWords says what to do on the pattern, with the amount for each cut edge.
func (j explainer) seenWords(n *seen) string {
	var parts []string
	for _, o := range n.from {
		part := string(o.Act) + " " + j.inUnits(float64(o.Amount))
		if o.Sides != "" {
			part += " " + string(o.Sides)
		}
		parts = append(parts, part)
	}
	text := zoneWords(n.measure.Name) + ": " + strings.Join(parts, ", ")
	if edges := j.edgesAt(n.measure); edges > 0 && n.by != 0 {
		word := "add"
		if n.by < 0 {
			word = "take off"
		}
		per := quantity.Length(math.Abs(n.by) / float64(edges)).Fine(j.units)
		text += fmt.Sprintf("; %s %s at each of the %d cut edges of its seams", word, per, edges)
	}
	return text
}

func zoneWords(name string) string { return strings.ReplaceAll(name, "_", " ") }

// explainSeen hangs what a toile showed above the figure that the pattern gives.
func (j explainer) explainSeen(id string, c *column, s int, made *explain.Node) *explain.Node {
	by := c.by(s)
	if by == 0 {
		return made
	}
	made.ID = id + "/drawn"
	line := ""
	if c.seen.line != s {
		line = fmt.Sprintf(", sewn on the line of size %s", j.sizes[c.seen.line])
	}
	return (&explain.Node{ID: id, Value: cmValue(c.finished[s].v), Source: c.seen.at().String(),
		Label: fmt.Sprintf("finished %s of size %s as the toile corrects it%s: %s %s = %s", c.measure.Title, j.sizes[s], line,
			j.inUnits(c.finished[s].v-by), j.change(by, false), j.inUnits(c.finished[s].v))}).Add(made)
}

// sewnFirst puts the toile's size before all others, unless a rule rules it out.
func (j *judging) sewnFirst(p *placed) bool {
	return j.Observed != nil && p.s == j.sewn && !p.ruledOut
}

// afterAndBefore adds what comes after the choice: what a toile showed or whether
// to sew one, and what to check before the cloth is cut.
func (j *judging) afterAndBefore(a *Answer, p placed, spoke *ruleResults, f *Fitter) (err error) {
	a.Observed, a.BeforeCutting = j.observed(), j.explainer().beforeCutting(p.s)
	if a.Toile, j.whyToile, err = j.toile(p, spoke); err != nil || j.Observed == nil {
		return err
	}
	plain := j.Fitting
	plain.Observed = nil
	r, err := f.Rank(plain)
	if err != nil || r.Best == j.sizes[j.sewn] {
		return err
	}
	a.Shown.Unsewn = cmp.Or(r.Best, "none")
	a.Assumptions = append(a.Assumptions, Assumption{fmt.Sprintf("size %s is judged, since the toile was sewn in it", j.sizes[j.sewn]),
		fmt.Sprintf("without a toile it would be size %s", a.Shown.Unsewn)})
	return nil
}
