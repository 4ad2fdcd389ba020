package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// cup is what the chart has at the upper bust and the bust of one size.
type cup struct{ upper, bust Cell }

// readChartCups finds the cups of a chart that has several of one upper bust;
// of any other it keeps none.
func (f *Fitter) readChartCups() {
	cups, several := make([]cup, len(f.sizes)), false
	for s := range cups {
		cups[s].bust, cups[s].upper = f.cupCells(s)
		several = several || slices.ContainsFunc(cups[:s], cups[s].another)
	}
	if several {
		f.chartCups = cups
	}
}

func (c cup) known() bool { return c.upper.Known && c.bust.Known }

// sameUpper tells whether two sizes are drawn for one upper bust.
func (c cup) sameUpper(d cup) bool {
	return c.known() && d.known() && ticks(c.upper.middle(), false) == ticks(d.upper.middle(), false)
}

// another tells whether two sizes are two cups of one upper bust.
func (c cup) another(d cup) bool {
	return c.sameUpper(d) && ticks(c.bust.middle(), false) != ticks(d.bust.middle(), false)
}

// byCup tells whether the full bust tells cups of one upper bust apart: where
// upper bust and cup stand for the bust, all of them fit alike.
func (j *judging) byCup() (full figure, ok bool) {
	if j.recipe.HangsFrom != FromShoulder || !j.upperBust().known {
		return figure{}, false
	}
	full, _ = j.of(j.bust)
	return full, full.known
}

// nearerCups counts the cups of a size's upper bust that lie nearer the full
// bust. A size with more of them ranks after all that have fewer.
func (j *judging) nearerCups(s int) int {
	if j.chartCups == nil {
		return 0
	}
	full, ok := j.byCup()
	if !ok {
		return 0
	}
	own, n := j.chartCups[s], 0
	for _, c := range j.chartCups {
		if c.sameUpper(own) && c.nearer(own, full) {
			n++
		}
	}
	return n
}

// nearer tells whether the chart's bust of one size lies nearer a full bust than
// that of another.
func (c cup) nearer(d cup, full figure) bool {
	return ticks(distanceTo(c.bust, full.v), false) < ticks(distanceTo(d.bust, full.v), false)
}

// nearestCup leaves, of sizes that tie, those whose chart bust is nearest the
// full bust among all whose chart upper bust is as near.
func (j *judging) nearestCup(tied []int) []int {
	full, ok := j.byCup()
	if len(tied) < 2 || !ok {
		return tied
	}
	cups, upper := make([]cup, len(tied)), j.upperBust().v
	for i, s := range tied {
		cups[i].bust, cups[i].upper = j.cupCells(s)
	}
	away := func(c cup) float64 { return ticks(distanceTo(c.upper, upper), false) }
	var out []int
	for i, own := range cups {
		if !slices.ContainsFunc(cups, func(c cup) bool {
			return own.known() && c.known() && away(c) == away(own) && c.nearer(own, full)
		}) {
			out = append(out, tied[i])
		}
	}
	return out
}

// cupReason says why a size was taken of several cups; empty where it has none.
func (j explainer) cupReason(s int) string {
	full, ok := j.byCup()
	if !ok || j.chartCups == nil || j.nearerCups(s) > 0 || !slices.ContainsFunc(j.chartCups, j.chartCups[s].another) {
		return ""
	}
	return fmt.Sprintf("; of the cups of its upper bust this one is drawn for a bust of %s, nearest your %s", j.cell(j.chartCups[s].bust), j.inUnits(full.v))
}

// besideInCup is the size beside one at an end of the chart: among cups the one
// of the nearest other upper bust whose cup is the most alike.
func (f *Fitter) besideInCup(end, beside int) int {
	if f.chartCups == nil || !f.chartCups[end].known() {
		return beside
	}
	own, found := f.chartCups[end], beside
	apart := func(c cup) (upper, cups float64) {
		upper = math.Abs(c.upper.middle() - own.upper.middle())
		return upper, math.Abs(c.bust.middle() - c.upper.middle() - own.bust.middle() + own.upper.middle())
	}
	for s, c := range f.chartCups {
		if !c.known() || c.sameUpper(own) {
			continue
		}
		upper, cups := apart(c)
		nowUpper, nowCups := apart(f.chartCups[found])
		if f.chartCups[found].sameUpper(own) || cmp.Or(cmp.Compare(upper, nowUpper), cmp.Compare(cups, nowCups)) < 0 {
			found = s
		}
	}
	return found
}
