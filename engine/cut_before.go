package engine

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
)

// Check is one thing to see to before the cloth is cut.
type Check struct {
	ID     string `json:"id"`     // its name
	Say    string `json:"say"`    // what to do
	Why    string `json:"why"`    // why, with the amount where there is one
	Source string `json:"source"` // where it comes from
}

// ClothShort is the id of the check that finds too little cloth; MeasurePattern of one that asks for a measurement of the
// pattern, which its maker does not print.
const (
	ClothShort     = "cloth-short"
	MeasurePattern = "measure-pattern"
)

// beforeCutting lists what applies to this pattern, cloth and body in one size,
// in the order in which it is done.
func (j explainer) beforeCutting(s int) []Check {
	out := []Check{}
	for _, checks := range [][]Check{
		j.checkSquare(s), j.checkPattern(), j.checkLines(s), j.checkAllowance(s), j.checkCloth(s), j.checkGrain(), j.checkSeams(), j.checkClosures(s),
		{{"marks", "Mark the grain line, notches, dart points, centre front and back and the hem on every piece", "what is not marked cannot be matched", "common practice"}},
	} {
		out = append(out, checks...)
	}
	return out
}

// checkSquare compares the printed test square with what it should be.
func (j explainer) checkSquare(s int) []Check {
	sq := j.pattern.TestSquare
	switch {
	case sq == nil:
		return nil
	case sq.Printed == nil:
		return []Check{{"test-square", fmt.Sprintf("Print the page with the test square alone and measure it: it should be %s", j.inUnits(float64(sq.ShouldBe))),
			"a print at the wrong scale changes every measurement", sq.At.String()}}
	}
	off := (float64(*sq.Printed)/float64(sq.ShouldBe) - 1) * 100
	if ticks(math.Abs(off), true) <= ticks(j.voc.Limits.SquareOff, true) {
		return nil
	}
	word := "large"
	if off < 0 {
		word = "small"
	}
	why := fmt.Sprintf("the test square is %s and should be %s, %s too %s", j.inUnits(float64(*sq.Printed)), j.inUnits(float64(sq.ShouldBe)), j.Percent(math.Abs(off)), word)
	if c, made := j.firstMade(s); c != nil {
		why += fmt.Sprintf(": at the finished %s of %s that is %s", c.measure.Title, j.inUnits(made), j.inUnits(made*math.Abs(off)/100))
	}
	return []Check{{"test-square", "Print the pattern again at 100 %, with no fitting to the page", why, "arithmetic: printed / should be - 1 (" + sq.At.String() + ")"}}
}

// checkPattern asks to measure the pattern where its maker does not print what the garment measures, and it would have to be
// changed if it were drawn as others are.
func (j explainer) checkPattern() []Check {
	var out []Check
	for _, r := range j.ledger.rows {
		c := j.zoneOf(r)
		if c == nil || c.decides || !r.base.estimated || r.settled || !r.you.known || c.measure.Kind == Along || r.misses(r.becomes(), r.unfelt) == 0 {
			continue
		}
		body, known := j.chartAt(c.measure, r.line)
		if !known {
			continue
		}
		apart := r.you.v - body
		check := Check{MeasurePattern, fmt.Sprintf("Measure the %s of the pattern: %s will do", c.measure.Title, j.willDo(r)),
			fmt.Sprintf("it is not printed, and your %s is %s %s than the chart's in size %s", c.measure.Title, j.inUnits(math.Abs(apart)), moreOrLess(apart), j.sizes[r.line]), "method: the plan"}
		if c.zone.Mend != "" {
			check.Why += ". Where it measures otherwise, " + c.zone.Mend
		}
		out = append(out, check)
	}
	return out
}

// willDo says what a garment may measure at a level.
func (j explainer) willDo(r *row) string {
	switch {
	case r.least.known && r.most.known:
		return j.inUnits(r.least.v) + " to " + j.inUnits(r.most.v)
	case r.least.known:
		return "at least " + j.inUnits(r.least.v)
	}
	return "at most " + j.inUnits(r.most.v)
}

func moreOrLess(v float64) string {
	if v < 0 {
		return "less"
	}
	return "more"
}

// firstMade is the garment at the first zone that decides and is given.
func (j explainer) firstMade(s int) (*column, float64) {
	for _, c := range j.zones {
		if f := c.finished[s]; c.decides && c.zone.eased() && f.known && !f.estimated {
			return c, f.v
		}
	}
	return nil, 0
}

// checkLines names the size lines to trace, or the layers to print.
func (j explainer) checkLines(s int) []Check {
	followed := []string{}
	for _, size := range j.linesUsed(s) {
		for _, printed := range j.printed(size) {
			if label := j.pattern.Sizes[printed]; !slices.Contains(followed, label) {
				followed = append(followed, label)
			}
		}
	}
	what, source := "size "+followed[0], "the size shown"
	layer, line := "layer", "line"
	if len(followed) > 1 {
		slices.SortFunc(followed, func(a, b string) int { return slices.Index(j.sizes, a) - slices.Index(j.sizes, b) })
		what, source, layer, line = "sizes "+list(followed, "and"), "the lines that are followed", "layers", "lines"
	}
	if j.pattern.TestSquare != nil {
		return []Check{{"size-lines", fmt.Sprintf("Print the %s of %s alone, if the file has layers; else trace the %s of %s", layer, what, line, what),
			"one line cannot be mistaken for its neighbour", source}}
	}
	return []Check{{"size-lines", fmt.Sprintf("Trace the %s of %s on every piece before you cut", line, what),
		"nested lines lie close together, and the sheet keeps the other sizes", source}}
}

// linesUsed are the sizes whose lines are followed where the size is cut, in order.
func (j *judging) linesUsed(s int) []int {
	out := []int{s}
	if len(j.zones) > 0 {
		out = nil
	}
	for z := range j.zones {
		out = append(out, j.lineAt(z, s))
	}
	out = append(out, j.lengthsOf(s))
	slices.Sort(out)
	return slices.Compact(out)
}

// checkAllowance says whether the pieces have their seam allowance.
func (j explainer) checkAllowance(s int) []Check {
	c := Check{ID: "seam-allowance", Source: "common practice"}
	switch a := j.pattern.Allowance; {
	case a == nil:
		c.Say = "Find out whether the pieces have seam allowances, and how wide"
		c.Why = "the pattern file does not say; taken for the other, every girth is out by twice the allowance at each seam"
	case *a == 0:
		c.Say, c.Why = "Add seam allowances to the pieces before you cut", "the pattern has none"
	default:
		c.Say = fmt.Sprintf("Cut on the line and add nothing: the seam allowance of %s is on the pieces", j.inUnits(float64(*a)))
		c.Why = "added once more it makes the garment larger at every seam"
		if zone, _ := j.firstMade(s); zone != nil {
			if edges := j.edgesAt(zone.measure); edges > 0 {
				c.Why += fmt.Sprintf(": at the %s by %s, over %d cut edges", zone.measure.Title, j.inUnits(float64(edges)*float64(*a)), edges)
			}
		}
	}
	if j.pattern.Allowance != nil {
		c.Source = "seam_allowance of " + j.pattern.At.File
	}
	return []Check{c}
}

// checkCloth compares the cloth that is there with what the pattern asks for,
// and says how to wash it.
func (j explainer) checkCloth(s int) []Check {
	var out []Check
	need, known, unfit := j.clothNeeded(s)
	if unfit != nil {
		out = append(out, *unfit)
	}
	shrinks := j.shrinksAlong()
	switch {
	case known:
		out = append(out, j.compareCloth(need, shrinks))
	case shrinks > 0 && j.Cloth.Length == nil:
		each := float64(quantity.Metre)
		out = append(out, Check{"prewash", "Wash and dry the cloth as you will the garment, before you cut",
			fmt.Sprintf("it shrinks %s lengthwise: buy %s for each %s that the pattern asks for", j.Percent(shrinks), j.ofCloth(j.atLeast(each/(1-shrinks/100), quantity.Centimetre)), j.ofCloth(each)), "arithmetic: length / (1 - shrinkage)"})
	case shrinks > 0:
		left := float64(*j.Cloth.Length) * (1 - shrinks/100)
		out = append(out, Check{"prewash", "Wash and dry the cloth as you will the garment, before you cut",
			fmt.Sprintf("it shrinks %s lengthwise: your %s become %s", j.Percent(shrinks), j.ofCloth(float64(*j.Cloth.Length)), j.ofCloth(left)), "arithmetic: length x (1 - shrinkage)"})
	}
	return out
}

// shrinksAlong is what the cloth still loses of its length in the wash, in percent.
func (j explainer) shrinksAlong() float64 {
	if c := j.Cloth; c != nil && c.Prewashed != nil && !*c.Prewashed && c.ShrinkAlong != nil && *c.ShrinkAlong < 100 {
		return *c.ShrinkAlong
	}
	return 0
}

// want is how much washed cloth is wanted, and how that is made up.
type want struct {
	length float64
	sum    string
	source string
}

// clothNeeded is the least length that the pattern asks for at the cloth's
// width, with what is lengthened and one repeat more where there is one; unfit
// says why none of its figures will do.
func (j explainer) clothNeeded(s int) (w want, known bool, unfit *Check) {
	if j.Cloth == nil || len(j.pattern.ClothNeeded) == 0 {
		return w, false, nil
	}
	width, given := 0.0, j.Cloth.Width != nil
	if given {
		width = float64(*j.Cloth.Width) // makers give the width as it is sold
	}
	s = max(s, j.lengthsOf(s))
	for _, n := range j.pattern.ClothNeeded {
		cell := n.Lengths[j.cells[s]]
		fits := (!given || ticks(float64(n.Width), false) <= ticks(width, false)) && (!j.Cloth.Nap || n.Nap != nil && *n.Nap)
		if fits && cell.Known && (!known || float64(cell.High) < w.length) {
			w, known = want{length: float64(cell.High), source: n.At.String(), sum: fmt.Sprintf("%s for size %s at %s wide", j.ofCloth(float64(cell.High)), j.sizes[s], j.inUnits(float64(n.Width)))}, true
		}
	}
	if !known {
		why := "the pattern gives no length for this size, width and nap"
		if given {
			why = fmt.Sprintf("the pattern gives no length for a cloth %s wide", j.inUnits(width))
			if j.Cloth.Nap {
				why += " whose pieces must all lie one way"
			}
		}
		return w, false, &Check{"cloth-layout", "Lay all pieces out on the floor at the cloth's width before you buy or cut", why, j.pattern.ClothNeeded[0].At.String()}
	}
	if add := j.lengthened(); add > 0 {
		w.length, w.sum = w.length+add, w.sum+fmt.Sprintf(", %s for what is lengthened", j.ofCloth(add))
	}
	if r := j.Cloth.Repeat; r != nil {
		add := float64(*r) * j.voc.Limits.MatchRepeats
		w.length, w.sum = w.length+add, w.sum+fmt.Sprintf(", %s for the repeat that is matched", j.ofCloth(add))
	}
	return w, true, nil
}

// compareCloth says whether the cloth is enough, and how much to buy.
func (j *judging) compareCloth(w want, shrinks float64) Check {
	buy := j.atLeast(w.length/(1-shrinks/100), quantity.Centimetre)
	c := Check{ID: "cloth-length", Why: w.sum, Source: w.source}
	if shrinks > 0 {
		c.Why += fmt.Sprintf("; %s / (1 - %s) before the wash, since it shrinks %s lengthwise", j.ofCloth(w.length), j.Percent(shrinks), j.Percent(shrinks))
	}
	switch have := j.Cloth.Length; {
	case have == nil:
		c.Say = fmt.Sprintf("Buy %s of cloth", j.ofCloth(buy))
	case ticks(float64(*have), false) < ticks(w.length/(1-shrinks/100), false):
		c.ID = ClothShort
		c.Say = fmt.Sprintf("Do not cut yet: you need %s and have %s", j.ofCloth(buy), j.ofCloth(float64(*have)))
	default:
		c.Say = fmt.Sprintf("Your %s is enough: you need %s", j.ofCloth(float64(*have)), j.ofCloth(buy))
	}
	if shrinks > 0 {
		c.Say += "; wash and dry it as you will the garment before you cut"
	}
	return c
}

// atLeast rounds a length up: in centimetres to whole steps, in inches to eighths.
func (j *judging) atLeast(nm float64, steps quantity.Length) float64 {
	step := float64(steps)
	if j.units == quantity.In {
		step = float64(quantity.Inch) / 8
	}
	return math.Ceil(ticks(nm, false)/ticks(step, false)) * step
}

// ofCloth prints a length of cloth: metres, or inches.
func (w words) ofCloth(nm float64) string {
	if w.units == quantity.In {
		return w.inUnits(nm)
	}
	return fmt.Sprintf("%.2f m", math.Round(nm/float64(quantity.Centimetre))/100)
}

// lengthened is what alterations and the toile add to the length of the pieces,
// and so to that of the cloth; sleeves lie beside them.
func (j *judging) lengthened() (sum float64) {
	const back, front = "back_waist_length", "front_waist_length"
	sum = max(0, j.altering.added[back], j.altering.added[front]) // of a bodice the longer piece counts
	for _, m := range j.altering.made {
		at := j.voc.Measure(m.rule.Alter.Zone)
		switch {
		case at.Kind != Along || at.Limb == OnArm || at.Name == back || at.Name == front:
		case m.rule.Alter.Step == "hem":
			sum = max(0, sum+m.amount.v) // the last of it, and the same pieces
		default:
			sum += max(0, m.gains.v) // what is folded out needs no cloth
		}
	}
	for _, r := range j.ledger.rows {
		for i := range r.changes {
			// The way round the trunk goes down the front and up the back: each piece takes half.
			if e := &r.changes[i]; e.by == ByAlteration && e.made == nil && r.measure.Kind == Along && r.measure.Limb != OnArm {
				sum += e.amount / 2
			}
		}
	}
	if j.Observed == nil {
		return sum
	}
	for _, o := range j.Observed.net(j.voc) {
		if o.measure.Kind == Along {
			sum += max(0, o.by)
		}
	}
	return sum
}

// checkGrain says how to straighten the cloth and how the pieces lie on it.
func (j explainer) checkGrain() []Check {
	c := Check{"grain", "Straighten the cloth along a pulled thread, and press it", "a piece off the grain twists round the leg or the body after the first wash", "common practice"}
	if j.cloth.structure == Knit {
		c.Say, c.Why = "Let the knit lie unrolled for a day, and lay the grain line along one rib", "a knit that was stretched on the bolt draws in again once it is cut"
	}
	out := []Check{c}
	if j.Cloth != nil && j.Cloth.Nap {
		out = append(out, Check{"nap", "Lay all pieces with their upper ends the same way", "pile and sheen change colour when turned, and a picture stands on its head", "common practice"})
	}
	return append(out, j.checkStretch()...)
}

// checkStretch says which way the stretch goes on the pieces.
func (j explainer) checkStretch() []Check {
	if j.Cloth == nil || !j.stretches(optional(j.Cloth.Across)) && !j.stretches(optional(j.Cloth.Along)) {
		return nil
	}
	c := Check{"stretch", "Lay the pieces so that the direction that stretches most goes round the body", "", j.Cloth.StretchAt.String()}
	round, upDown := j.cloth.round, j.cloth.upDown
	switch {
	case !round.known || !upDown.known:
		c.Why = "only one direction was measured: pull the other one too"
	case round.v < upDown.v:
		c.Why = fmt.Sprintf("as the pieces are to lie now, it stretches %s round the body and %s along it", j.Percent(round.v), j.Percent(upDown.v))
	default:
		c.Why = fmt.Sprintf("it stretches %s round the body and %s along it", j.Percent(round.v), j.Percent(upDown.v))
	}
	return []Check{c}
}

// checkSeams says what to walk on paper.
func (j explainer) checkSeams() []Check {
	if !j.changed(func(*row) bool { return true }) && len(j.altering.made) == 0 {
		return nil
	}
	out := []Check{{"seams", "Walk each seam along the one it is sewn to, after all changes", "seams that differ by more than is eased in do not meet at the notches", "common practice"}}
	sewnIn := func(r *row) bool { return j.byShoulder(r.measure) || r.measure.Name == "upper_arm" }
	if slices.Contains(j.recipe.Parts, "sleeves") && j.changed(sewnIn) {
		out = append(out, Check{"cap", "Walk the sleeve cap round the armhole, and note how much is to be eased in", "a change at the bust, shoulder or upper arm changes one of the two", "common practice"})
	}
	return out
}

// changed tells whether the plan changes one of some levels.
func (j *judging) changed(among func(*row) bool) bool {
	return j.ledger != nil && slices.ContainsFunc(j.ledger.rows, func(r *row) bool { return len(r.changes) > 0 && among(r) })
}

// checkClosures says how long zips and elastics are to be.
func (j explainer) checkClosures(s int) []Check {
	var out []Check
	for i := range j.recipe.Openings {
		o := &j.recipe.Openings[i]
		if o.Closure == nil || o.Closure.Kind != "zip" {
			continue
		}
		reach, source := float64(o.Closure.Reach), o.At.String()
		if own := j.madeAt(o.Closure.ReachRow, s); own.known {
			reach, source = own.v, own.cell.At.String()
		}
		out = append(out, Check{"zip", fmt.Sprintf("Have a zip for the %s that opens %s", o.Name, j.inUnits(reach)), "it was judged with that length whether you get in", source})
	}
	for _, e := range j.held() {
		if e.Say == "" {
			continue
		}
		out = append(out, Check{"elastic", capital(e.Say), "its length depends on your body and the elastic, not on the size", "the recipe's own share"})
	}
	return out
}
