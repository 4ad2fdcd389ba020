package engine

import (
	"fmt"
	"strings"
)

// A child's height says how long to cut, and the chest how wide: where a girth that
// decides is known, the height picks no size, but the one whose lengths are cut.

// readWidths notes whether the height leaves the size to a girth: to one that decides, is known of the body, on the chart and of the garment.
func (j *judging) readWidths() {
	for _, c := range j.zones {
		if c.decides && c.zone.eased() && c.measure.Kind == Girth && c.gap == "" && c.chartRow != "" && j.at(c, 0).known {
			for s := range j.sizes {
				j.byWidth = j.byWidth || c.finished[s].known
			}
		}
	}
}

// givesLengths tells whether a zone says how long to cut, and not how wide.
func (j *judging) givesLengths(c *column) bool {
	return j.byWidth && c.zone.By == ByChart && c.measure.Kind == Along
}

// cutAt is the size that a zone is cut in where the widths are those of size s:
// of a length of the garment the one that the height picks.
func (j *judging) cutAt(z, s int) int {
	if c := j.zones[z]; c.measure.Kind != Along || c.zone.By == ByChart {
		return s
	}
	return j.lengthsOf(s)
}

// lengthsOf is the size whose lengths are cut with the widths of size s.
func (j *judging) lengthsOf(s int) int {
	for _, c := range j.zones {
		if !j.givesLengths(c) || c.gap != "" || !j.at(c, s).known {
			continue
		}
		if row, name := j.chartRowFor(c.measure); row != nil && j.places(row) {
			return j.pickBy(c.measure, row, name).s
		}
	}
	return s
}

// byLength takes a level that is a length from the size that the height picks.
func (j *judging) byLength(r *row, s int) {
	c := j.zones[r.z]
	from := c.finished[s]
	switch {
	case j.cutAt(r.z, s) == s:
		return
	case !from.known || from.estimated || r.base.estimated:
		return // what is estimated is not counted out
	}
	by := r.base.v - (from.v - c.by(s))
	r.base.v -= by
	r.changes = append([]entry{{by: ByLine, amount: by, say: fmt.Sprintf("Cut the %s in size %s.", zoneTitle(c.zone), j.sizes[r.line])}}, r.changes...)
	r.because = "the height picks the lengths, and the girths the widths"
}

// recommendLength says in which size the lengths are cut, where the height picks them.
func (j *judging) recommendLength(r *Recommended, s int) {
	for z, c := range j.zones {
		at := j.lengthsOf(s)
		if fit := j.fitted(z, at); j.givesLengths(c) && fit.judged {
			widths, height := r.Decides, zoneTitle(c.zone)
			if at == s {
				r.Because += fmt.Sprintf("; your %s picks the same size", height)
				return
			}
			r.Length, r.Decides = j.sizes[at], fmt.Sprintf("%s how wide, and your %s how long", widths, height)
			r.Because = fmt.Sprintf("%s how wide%s, and your %s how long, %s", widths, strings.TrimPrefix(r.Because, widths), height, j.explainer().reason(c, fit, at))
			return
		}
	}
}

// toGrow says how much longer the next size is, of a garment that a child grows out of.
func (j explainer) toGrow(name string, s int) string {
	at := j.lengthsOf(s)
	height := j.voc.Measure("height")
	if j.recipe.Draft != ForChildren || at+1 >= len(j.sizes) || height == nil {
		return ""
	}
	low, ok := j.chartAt(height, at)
	high, known := j.chartAt(height, at+1)
	made, next := j.madeAt(name, at), j.madeAt(name, at+1)
	if !ok || !known || !made.known || !next.known || high <= low || next.v <= made.v {
		return ""
	}
	return fmt.Sprintf("; size %s, for a child %s taller, is %s longer: leave so much more to let down", j.sizes[at+1], j.inUnits(high-low), j.inUnits(next.v-made.v))
}

// lengthFollows says in which size the lengths are cut where the height picks it,
// and how they go with the widths of another.
func (j explainer) lengthFollows() []string {
	s := j.ledger.s
	at := j.lengthsOf(s)
	if at == s {
		return nil
	}
	return []string{fmt.Sprintf("Cut the lengths of size %s: lay the pieces of size %s on those of %s at neck and shoulder, go down to the lengthen or shorten line, slide on until the waist, the hem and the ends of sleeves and legs lie on those of %s, and draw the seams smooth.",
		j.sizes[at], j.sizes[s], j.sizes[at], j.sizes[at])}
}

// lengthTerms are the names by which rules ask in which size a child's lengths are cut.
func lengthTerms() []term {
	lengths := func(j *judging, sc *scene) (int, bool) { return j.lengthsOf(sc.s), j.recipe.Draft == ForChildren }
	return local(
		textTerm("size.lengths", "of a children's type, the size whose lengths are cut: the one that the height picks, where a girth picks the widths", func(j *judging, sc *scene) (string, bool) {
			s, ok := lengths(j, sc)
			return j.sizes[s], ok
		}),
		lengthTerm("size.lengths_height", "the height on the chart that those lengths are drawn for", func(j *judging, sc *scene) (float64, bool) {
			s, ok := lengths(j, sc)
			v, known := j.chartAt(j.voc.Measure("height"), s)
			return v, ok && known
		}),
	)
}
