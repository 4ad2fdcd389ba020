package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"fitadvisor/engine/quantity"
)

// rowStep leads from one known cell of a row to the next.
type rowStep struct {
	from, to int
	per      float64 // for each size
}

// stepsOf are the steps between known cells, across gaps too.
func stepsOf(row Row) []rowStep {
	var out []rowStep
	last := -1
	for s := range row {
		if !row[s].Known {
			continue
		}
		if last >= 0 {
			out = append(out, rowStep{last, s, (row[s].middle() - row[last].middle()) / float64(s-last)})
		}
		last = s
	}
	return out
}

// usual is the middle one of the steps.
func usual(steps []rowStep) float64 {
	if len(steps) == 0 {
		return 0
	}
	per := make([]float64, len(steps))
	for i, s := range steps {
		per[i] = s.per
	}
	slices.Sort(per)
	return per[len(per)/2]
}

// row looks at the steps of one row, as if its slips were put right.
func (in *inspection) row(of Part, name string, row Row) {
	if of == OfBody {
		in.beyondPeople(name, row)
	}
	in.ranges(of, name, row)
	if in.backwards(of, name, row) && in.uneven(of, name, row) {
		in.changes(of, name, row)
	}
}

func (in *inspection) stepRow(of Part, name string, row Row) StepRow {
	out := StepRow{Of: of, Row: name, Cells: make([]StepCell, len(row))}
	cm := func(nm float64) *float64 {
		v := roundTo(nm/nanometresPerCm, 1000)
		return &v
	}
	for s, c := range row {
		if c.Known {
			out.Cells[s] = StepCell{Low: cm(float64(c.Low)), High: cm(float64(c.High))}
		}
		if s > 0 && c.Known && row[s-1].Known {
			out.Cells[s].Step = cm(c.middle() - row[s-1].middle())
		}
	}
	return out
}

// gaps are cells that a row lacks while it has others.
func (in *inspection) gaps(of Part, name string, row Row) {
	var at []int
	for s := range row {
		if !row[s].Known {
			at = append(at, s)
		}
	}
	if len(at) == 0 {
		return
	}
	f := Finding{ID: "cell-missing", Severity: IsWarning, Of: of, Row: name,
		Because: fmt.Sprintf("The %s of %s is not given.", in.named(of, name), run(in.atSizes(at)))}
	if of == OfBody && in.picksAlone(name) {
		f.Severity = IsError
		f.Because += " It picks the size, so nobody would be told to cut it."
	}
	in.several(f, at, at[0], figure{}, figure{})
}

// picksAlone tells the row that picks the size of every body.
func (in *inspection) picksAlone(name string) bool {
	f := &Fitter{voc: in.voc, recipe: in.q.Recipe, pattern: in.read}
	by, err := f.orderRow()
	return err == nil && by == name
}

// slips finds cells that lie off all their neighbours, says what was probably
// typed wrong, and puts them right.
func (in *inspection) slips(of Part, name string, row Row) {
	var at []int
	for s := range row {
		if row[s].Known {
			at = append(at, s)
		}
	}
	if len(at) < 3 {
		return
	}
	g := usual(stepsOf(row))
	least := max(math.Abs(g), float64(in.voc.Limits.StepLeast))
	var off []int
	for i := range at {
		most := in.voc.Limits.SlipSteps
		if end := i == 0 || i == len(at)-1; end {
			most = in.voc.Limits.SlipStepsEnd
		}
		if ticks(math.Abs(offNeighbours(row, at, i, g)), false) > ticks(most*least, false) {
			off = append(off, i)
		}
	}
	for _, i := range off {
		in.slip(of, name, row, at, i, off, g)
	}
}

// offNeighbours is how far a cell lies off where the cells beside it would have it
// by the usual step.
func offNeighbours(row Row, at []int, i int, g float64) float64 {
	return offAll(func(k int) float64 { return row[at[i]].middle() - row[at[k]].middle() - float64(at[i]-at[k])*g }, len(at), i)
}

// offAll is how far a figure lies off the two on either side: the least of these,
// and 0 where they do not agree on which way. So only the figure at fault stands
// out, never those beside it.
func offAll(off func(k int) float64, n, i int) float64 {
	least := math.Inf(1)
	for k := max(0, i-2); k <= min(n-1, i+2); k++ {
		if k == i {
			continue
		}
		d := off(k)
		switch {
		case math.IsInf(least, 1):
			least = d
		case d > 0 != (least > 0):
			return 0
		case math.Abs(d) < math.Abs(least):
			least = d
		}
	}
	return least
}

// slip tells of one cell, and puts it right.
func (in *inspection) slip(of Part, name string, row Row, at []int, i int, off []int, g float64) {
	s := at[i]
	expected := inLine(row, at, i, off, g)
	c := row[s]
	put, how := in.meant(c, expected, max(math.Abs(g), float64(in.voc.Limits.StepLeast)))
	out := fmt.Sprintf("The %s of size %s, %s, is out of line with its neighbours, which would have it at about %s", in.named(of, name), in.read.Sizes[s], in.cell(c), in.inUnits(expected))
	f := Finding{ID: "typing-slip", Severity: IsError, Of: of, Row: name,
		Because: out + ": " + how + "."}
	if how == "" {
		f.ID = "out-of-line"
		f.Because = out + "."
		put = expected
	}
	in.found(f, s, known(c.middle()), known(put))
	l := quantity.Length(math.Round(put))
	row[s].Low, row[s].High = l, l
}

// inLine is where a cell would lie by its nearest neighbours that are in line
// themselves: between them, or a usual step from the one at an end.
func inLine(row Row, at []int, i int, off []int, g float64) float64 {
	lo, hi := i-1, i+1
	for lo >= 0 && slices.Contains(off, lo) {
		lo--
	}
	for hi < len(at) && slices.Contains(off, hi) {
		hi++
	}
	switch {
	case lo < 0 && hi >= len(at):
		return row[at[i]].middle()
	case lo < 0:
		return row[at[hi]].middle() - float64(at[hi]-at[i])*g
	case hi >= len(at):
		return row[at[lo]].middle() + float64(at[i]-at[lo])*g
	}
	low, high := row[at[lo]].middle(), row[at[hi]].middle()
	return low + (high-low)*float64(at[i]-at[lo])/float64(at[hi]-at[lo])
}

// meant looks for what was to be typed: what comes nearest to the expected, no
// farther than a step away, by one slip of those that happen.
func (in *inspection) meant(c Cell, expected, most float64) (float64, string) {
	best, how := most, ""
	put := expected
	try := func(v float64, words string) {
		if d := math.Abs(v - expected); v > 0 && d <= best && (how == "" || d < best) {
			best, put, how = d, v, words
		}
	}
	inch := float64(quantity.Inch) / float64(quantity.Centimetre)
	mid := c.middle()
	try(mid/inch, "it looks like centimetres in a row of inches")
	try(mid*inch, "it looks like inches in a row of centimetres")
	try(mid*10, "the decimal point looks misplaced")
	try(mid/10, "the decimal point looks misplaced")
	in.retyped(c, swaps(c.Text), try, "two digits look swapped, %s for %s")
	if how == "" { // last, since nearly anything can be one digit away
		in.retyped(c, replaced(c.Text), try, "one digit looks mistyped, %s for %s")
	}
	return put, how
}

// retyped tries other texts for a cell.
func (in *inspection) retyped(c Cell, texts []string, try func(float64, string), words string) {
	for _, text := range texts {
		r, err := quantity.ParseRange(text, in.q.Pattern.Units)
		if err == nil && r.HasLow && r.HasHigh {
			try(float64(r.Low+r.High)/2, fmt.Sprintf(words, strings.TrimSpace(c.Text), strings.TrimSpace(text)))
		}
	}
}

// swaps are a text with two digits beside each other swapped.
func swaps(text string) []string {
	var out []string
	for i := 0; i+1 < len(text); i++ {
		if a, b := text[i], text[i+1]; isDigit(a) && isDigit(b) && a != b {
			out = append(out, text[:i]+string(b)+string(a)+text[i+2:])
		}
	}
	return out
}

// replaced are a text with another digit in the place of one.
func replaced(text string) []string {
	var out []string
	for i := range len(text) {
		if !isDigit(text[i]) {
			continue
		}
		for d := byte('0'); d <= '9'; d++ {
			if d != text[i] {
				out = append(out, text[:i]+string(d)+text[i+1:])
			}
		}
	}
	return out
}

func isDigit(b byte) bool { return unicode.IsDigit(rune(b)) }

// beyondPeople finds figures that no body surveyed has, such as those of a row
// in the other unit.
func (in *inspection) beyondPeople(name string, row Row) {
	m := in.voc.Measure(name)
	if m.Most == 0 {
		return
	}
	var at []int
	worst, far, edge := 0, 0.0, 0.0
	for s, c := range row {
		if !c.Known {
			continue
		}
		v := c.middle()
		end := min(max(v, float64(m.Least)), float64(m.Most))
		if d := math.Abs(v - end); ticks(d, false) > 0 {
			if at = append(at, s); d > far {
				worst, far, edge = s, d, end
			}
		}
	}
	if len(at) == 0 {
		return
	}
	f := Finding{ID: "beyond-people", Severity: IsError, Of: OfBody, Row: name,
		Because: fmt.Sprintf("The %s of size %s, %s, is beyond anybody surveyed: they end at %s.", in.voc.Title(name), in.read.Sizes[worst], in.cell(row[worst]), in.inUnits(edge))}
	inch := float64(quantity.Inch) / float64(quantity.Centimetre)
	within := func(v float64) bool { return v >= float64(m.Least) && v <= float64(m.Most) }
	switch v := row[worst].middle(); {
	case within(v / inch):
		f.Because += " It would do in centimetres."
	case within(v * inch):
		f.Because += " It would do in inches."
	}
	in.several(f, at, worst, known(row[worst].middle()), known(edge))
}

// ranges finds cells whose ranges overlap or leave a hole.
func (in *inspection) ranges(of Part, name string, row Row) {
	hole := in.voc.Limits.RangeHoleCm
	if in.q.Pattern.Units == quantity.In {
		hole = in.voc.Limits.RangeHoleIn
	}
	for _, st := range stepsOf(row) {
		a, b := row[st.from], row[st.to]
		if st.to-st.from > 1 || a.Low == a.High && b.Low == b.High || st.per <= 0 {
			continue
		}
		from, to := in.read.Sizes[st.from], in.read.Sizes[st.to]
		switch {
		case b.Low < a.High:
			in.found(Finding{ID: "ranges-overlap", Severity: IsError, Of: of, Row: name,
				Because: fmt.Sprintf("The %s of sizes %s and %s overlaps: %s, then %s, so that what lies between belongs to both.", in.named(of, name), from, to, in.cell(a), in.cell(b))},
				st.to, known(float64(b.Low)), known(float64(a.High)))
		case a.Low < a.High && b.Low < b.High && b.Low-a.High > hole:
			in.found(Finding{ID: "ranges-hole", Severity: IsWarning, Of: of, Row: name,
				Because: fmt.Sprintf("The %s of sizes %s and %s leaves a hole of %s that belongs to neither: %s, then %s.", in.named(of, name), from, to, in.inUnits(float64(b.Low-a.High)), in.cell(a), in.cell(b))},
				st.to, known(float64(b.Low)), known(float64(a.High)))
		}
	}
}

// backwards finds steps against the way of the row. Girths grow with the size;
// lengths and what only a garment has may do otherwise, as long as they keep to it.
func (in *inspection) backwards(of Part, name string, row Row) (none bool) {
	steps := stepsOf(row)
	g := usual(steps)
	m := in.voc.Measure(name)
	none = true
	for _, st := range steps {
		against := st.per < 0
		if m.Kind != Girth {
			against = st.per*g < 0
		}
		if !against {
			continue
		}
		none = false
		severity := IsError
		if m.Kind != Girth {
			severity = IsWarning
		}
		in.found(Finding{ID: "backward-step", Severity: severity, Of: of, Row: name,
			Because: fmt.Sprintf("The %s runs backward from size %s to %s, from %s to %s.", in.named(of, name), in.read.Sizes[st.from], in.read.Sizes[st.to], in.cell(row[st.from]), in.cell(row[st.to]))},
			st.to, known(row[st.to].middle()), known(row[st.from].middle()))
	}
	return none
}

// uneven finds a cell that makes one step too long and the next too short, or
// the other way round, beside the steps on both sides of them, and puts it right.
func (in *inspection) uneven(of Part, name string, row Row) (none bool) {
	steps := stepsOf(row)
	none = true
	for i := 0; i+1 < len(steps); i++ {
		around := aroundOf(steps, i)
		if len(around) < 2 {
			continue
		}
		low, high := slices.Min(around), slices.Max(around)
		a, b := steps[i].per, steps[i+1].per
		away := max(min(a-high, low-b), min(b-high, low-a))
		if share := math.Abs(usual(steps)) * in.voc.Limits.StepUneven; away <= 0 || ticks(away, false) < ticks(share, false) {
			continue
		}
		none = false
		in.unevenAt(of, name, row, steps[i], steps[i+1], around)
		steps = stepsOf(row)
	}
	return none
}

// aroundOf are the steps for each size beside a pair of steps: the one on either
// side, or at an end the two on the other.
func aroundOf(steps []rowStep, i int) []float64 {
	var out []float64
	before, after := i-1, i+2
	switch {
	case before < 0:
		before = after + 1
	case after >= len(steps):
		after = before - 1
	}
	for _, k := range []int{before, after} {
		if k >= 0 && k < len(steps) {
			out = append(out, steps[k].per)
		}
	}
	return out
}

func (in *inspection) unevenAt(of Part, name string, row Row, a, b rowStep, around []float64) {
	low, high := row[a.from].middle(), row[b.to].middle()
	expected := low + (high-low)*float64(a.to-a.from)/float64(b.to-a.from)
	was := row[a.to].middle()
	in.found(Finding{ID: "uneven-step", Severity: IsWarning, Of: of, Row: name,
		Because: fmt.Sprintf("The %s steps by %s to size %s and by %s to %s, where the steps beside them are %s: %s would be in line.", in.named(of, name),
			in.inUnits(a.per), in.read.Sizes[a.to], in.inUnits(b.per), in.read.Sizes[b.to], in.besides(around), in.inUnits(expected))},
		a.to, known(was), known(expected))
	l := quantity.Length(math.Round(expected))
	row[a.to].Low, row[a.to].High = l, l
}

func (in *inspection) besides(around []float64) string {
	low, high := in.inUnits(slices.Min(around)), in.inUnits(slices.Max(around))
	if low == high {
		return low
	}
	return low + " and " + high
}

// changes tells of steps that are not all alike, which is no fault.
func (in *inspection) changes(of Part, name string, row Row) {
	steps := stepsOf(row)
	grows := true
	var runs []string
	last := ""
	for i, st := range steps {
		grows = grows && (i == 0 || ticks(st.per, false) >= ticks(steps[i-1].per, false))
		per, to := in.inUnits(st.per), in.read.Sizes[st.to]
		if per != last {
			runs = append(runs, per+" to "+to)
			last = per
			continue
		}
		runs[len(runs)-1] = per + " to " + to
	}
	if len(runs) < 2 {
		return
	}
	f := Finding{ID: "steps-grow", Severity: IsFact, Of: of, Row: name, About: in.named(of, name),
		Steps: fmt.Sprintf("by %s: larger sizes by more, as is common practice", list(runs, "and"))}
	if !grows {
		f.ID = "steps-vary"
		low, high := slices.MinFunc(steps, byPer), slices.MaxFunc(steps, byPer)
		f.Steps = fmt.Sprintf("by %s at the least, to size %s, and by %s at the most, to size %s",
			in.inUnits(low.per), in.read.Sizes[low.to], in.inUnits(high.per), in.read.Sizes[high.to])
	}
	f.Because = fmt.Sprintf("The %s steps %s.", f.About, f.Steps)
	in.found(f, -1, figure{}, figure{})
}

func byPer(a, b rowStep) int { return cmp.Compare(a.per, b.per) }
