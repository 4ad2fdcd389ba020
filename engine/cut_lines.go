package engine

import (
	"fmt"
	"math"
	"slices"
)

// SizeLine is the size line to follow at one level of a nested pattern.
type SizeLine struct {
	Zone    string   `json:"zone"`           // the zone's name
	Size    string   `json:"size"`           // the size whose line is followed there
	At      float64  `json:"at"`             // the place among the sizes where the ease is as wanted, the smallest size being 0
	Own     string   `json:"own"`            // the size that would be best if this zone alone decided
	Unit    string   `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Ease    *float64 `json:"ease,omitempty"` // the ease there on the line that is followed; absent where it is not judged in that size
	Verdict Verdict  `json:"verdict"`        // how that comes out
	Because string   `json:"because"`        // why this line, in words
	Left    string   `json:"left,omitempty"` // what the line leaves to be put right, in words; absent where the ease lies in the range
}

// plan is the steps between the lines of the ledger, down the body and its legs,
// and down the sleeve.
type plan struct{ steps []step }

// moves finds the steps between neighbouring levels that follow other lines.
func (j *judging) moves() *plan {
	var body, arm []*row
	for _, r := range j.ledger.rows {
		switch c := j.zoneOf(r); {
		case c == nil, !c.lined(), r.base.estimated, j.onBodice(c), c.apart():
		case c.onArm():
			arm = append(arm, r)
		default:
			body = append(body, r)
		}
	}
	return &plan{append(j.steps(body), j.steps(arm)...)}
}

// zoneOf is the zone of a row, nil where it has none.
func (j *judging) zoneOf(r *row) *column {
	if r.z < 0 {
		return nil
	}
	return j.zones[r.z]
}

// lined tells whether a zone has a size line: what goes round the body or across
// it and is not drawn in. Lengths have none.
func (c *column) lined() bool {
	return c.zone.Role != Held && c.zone.eased() && (c.measure.Kind == Girth || c.measure.Kind == Across)
}

// placeAmong is where among the sizes the ease is as wanted: linear between the
// neighbouring sizes that are judged. Where all have more it is the first, where
// all have less the last.
func (j *judging) placeAmong(z int, sizes []int) float64 {
	first, last := -1, -1
	for _, s := range sizes {
		r := j.fitted(z, s)
		if !r.judged {
			continue
		}
		if first < 0 {
			first = s
		}
		switch here := r.distance; {
		case here == 0:
			return float64(s)
		case last >= 0 && j.fitted(z, last).distance < 0 != (here < 0):
			before := j.fitted(z, last).distance
			return float64(last) + float64(s-last)*before/(before-here)
		}
		last = s
	}
	if j.fitted(z, last).distance > 0 {
		return float64(first)
	}
	return float64(last)
}

// alone is the size that would be best if a zone alone decided, without those that
// the cloth does not let go round you there; the size shown where there is none.
func (j *judging) alone(z int, sizes []int, shown int) int {
	best, least := -1, math.Inf(1)
	for _, s := range sizes {
		if !j.goesRound(z, s) {
			continue
		}
		points := j.pointsAlone(z, s)
		if points < least-sameMisfit || points <= least+sameMisfit && j.between == Larger {
			best, least = s, min(points, least)
		}
	}
	if best < 0 {
		return shown
	}
	return best
}

// goesRound tells whether a zone is judged in a size, and the cloth lets it go round you there, as far as that is known.
func (j *judging) goesRound(z, s int) bool {
	r := j.fitted(z, s)
	return r.judged && (r.finished.estimated || j.carriesAt(j.zones[z], r))
}

// pointsAlone is the points of a zone as if it alone decided.
func (j *judging) pointsAlone(z, s int) float64 {
	c, t := j.zones[z], j.reach[z]
	if t == (reach{}) {
		least := j.leastTolerance(c.zone)
		t = reach{least, least}
	}
	return points(c.zone.Weight, j.fitted(z, s).distance, t)
}

func (c *column) onArm() bool { return c.measure.Limb == OnArm }

// byShoulder tells whether a measurement lies with neck, shoulder, armhole and sleeve cap.
func (f *Fitter) byShoulder(m *Measure) bool { return m.Level <= f.voc.level("upper_arm") }

// onBodice tells whether a zone is cut on the bodice's line.
func (f *Fitter) onBodice(c *column) bool {
	return c.zone.Role == Mended && c.zone.Line == "" && f.byShoulder(c.measure)
}

// apart tells whether a zone has a line of its own that no seam leads to: a collar.
func (c *column) apart() bool { return c.zone.Line == OwnLine && len(c.zone.Seams) == 0 }

// lineAt is the size whose line is followed at a zone of the size judged.
func (j *judging) lineAt(z, s int) int {
	if j.ledger == nil || j.ledger.s != s {
		return s
	}
	if r := j.ledger.of(z); r != nil {
		return r.line
	}
	return s
}

// sizeLines words the lines.
func (j *judging) sizeLines() []SizeLine {
	out := []SizeLine{}
	for _, z := range j.linedZones() {
		out = append(out, j.sizeLine(z, j.ledger.peers))
	}
	return out
}

// linedZones are the zones with a line of their own that some size is judged at, from the top down.
func (j *judging) linedZones() (all []int) {
	for z, c := range j.zones {
		if c.lined() && slices.ContainsFunc(j.ledger.peers, func(s int) bool { return j.fitted(z, s).judged }) {
			all = append(all, z)
		}
	}
	return all
}

func (j *judging) sizeLine(z int, sizes []int) SizeLine {
	c, shown := j.zones[z], j.ledger.s
	line := j.lineAt(z, shown)
	a := SizeLine{Zone: c.zone.Name, Size: j.sizes[line], At: roundTo(j.placeAmong(z, sizes), 1000), Own: j.sizes[j.alone(z, sizes, shown)], Verdict: NotKnown, Because: j.explainer().lineWords(z)}
	if !j.fitted(z, line).judged {
		a.Because += "; it is not judged in this size: " + j.fitted(z, line).because
		return a
	}
	zone := j.explainer().zoneAnswer(z, line)
	a.Unit, a.Ease, a.Verdict = zone.Unit, zone.Ease, zone.Verdict
	if r := j.ledger.of(z); r != nil && r.shortage != 0 {
		a.Left = j.explainer().leftWords(r)
	}
	return a
}

// lineWords says why a line is followed.
func (j explainer) lineWords(z int) string {
	r := j.ledger.of(z)
	switch {
	case !j.recipe.Grading.Sensible:
		return "one size throughout: " + j.recipe.Grading.Because
	case r == nil:
		return "nothing is known there that asks for another line"
	case r.line != j.ledger.s:
		return r.because
	case j.onBodice(j.zones[z]):
		return "neck, shoulder, armhole and sleeve cap are cut on one line"
	case r.touched && len(j.zones[z].zone.Seams) == 0:
		return "no seam that may be moved is named there"
	case r.touched:
		return "no other line does it"
	}
	return "nothing there asks for another line"
}

// leftWords says what is left to do at a level by other ways than those that were counted.
func (j explainer) leftWords(r *row) string {
	how := "too small"
	if r.shortage < 0 {
		how = "too large"
	}
	say := fmt.Sprintf("it stays %s %s for what will do", j.inUnits(math.Abs(r.shortage)), how)
	if r.wish.known {
		say = fmt.Sprintf("it stays %s %s for what you asked", j.inUnits(math.Abs(r.shortage)), how)
	}
	if c := j.zoneOf(r); c != nil && c.zone.Mend != "" {
		say += ": " + c.zone.Mend
	}
	return say
}

// within tells whether the ease lies in the range that the type expects.
func (j *judging) within(c *column, r *zoneFit) bool {
	e := c.zone.Ease
	if e == nil {
		return true
	}
	ease := ticks(r.ease, e.Percent)
	return (!e.HasLow || ease >= ticks(e.Low, e.Percent)) && (!e.HasHigh || ease <= ticks(e.High, e.Percent))
}
