package engine

import (
	"fmt"
	"math"
	"slices"
)

// under is a girth of the body that lies between two levels on other lines, where no zone looks: the abdomen or the high hip
// under the blend from waist to hip. Lengths are in nanometres.
type under struct {
	measure *Measure
	share   float64 // of the way down from the one level to the other, by the heights of a drawn figure
	you     float64
	least   figure // the least ease that will do: as the type says, else between those of the two levels; no more than was drawn
}

// blend enters what lies between two levels that follow other lines: as the blended line has it where that will do, else
// on the larger of the two lines, which is then kept to there.
func (j *judging) blend() {
	for _, s := range j.moves().steps {
		for _, u := range j.beneathBlend(&s) {
			from, to, base := j.wornAt(u.measure, s.from.line), j.wornAt(u.measure, s.to.line), j.wornAt(u.measure, j.ledger.s)
			if !from.known || !to.known || !base.known || !u.least.known {
				continue
			}
			blended, larger := from.v+u.share*(to.v-from.v), s.from
			if to.v > from.v {
				larger = s.to
			}
			r := &row{z: -1, measure: u.measure, base: base, line: larger.line, you: figure{v: u.you, known: true},
				least: figure{v: u.you + u.least.v, known: true}, unfelt: min(s.from.unfelt, s.to.unfelt)}
			becomes := blended
			switch {
			case r.lacks(blended) == 0:
				r.because = fmt.Sprintf("the blend from the line of size %s to that of %s runs through there, and will do", j.sizes[s.from.line], j.sizes[s.to.line])
				if u.share < 0.5 == (larger == s.to) {
					r.line = s.from.line + s.to.line - larger.line // the nearer of the two
				}
			default:
				becomes = max(from.v, to.v)
				r.kept = true
				r.because = fmt.Sprintf("a blend from the line of size %s to that of %s would leave %s of ease, and at least %s will do: the line of size %s is kept to there",
					j.sizes[s.from.line], j.sizes[s.to.line], j.inUnits(blended-u.you), j.inUnits(u.least.v), j.sizes[larger.line])
			}
			if becomes != base.v {
				r.changes = []entry{{by: ByLine, amount: becomes - base.v}}
			}
			r.shortage = r.need()
			j.ledger.add(r)
		}
	}
}

// beneathBlend are the girths that you gave and no level has, between the levels of a step, from the top down.
func (j *judging) beneathBlend(s *step) []under {
	from, to := s.from.measure, s.to.measure
	var out []under
	for _, name := range j.voc.names {
		m := j.voc.Measure(name)
		you, _ := j.of(m)
		share := float64(from.Height-m.Height) / float64(from.Height-to.Height)
		if m.Kind != Girth || !you.known || m.Height == 0 || m.Limb != from.Limb && m.Limb != to.Limb || share <= 0 || share >= 1 || j.sameLevel(m) {
			continue
		}
		u := under{measure: m, share: share, you: you.v, least: figure{known: s.from.least.known && s.to.least.known}}
		above, below := s.from.least.v-s.from.you.v, s.to.least.v-s.to.you.v
		u.least.v = above + share*(below-above)
		if z := j.zoneAt(name); z >= 0 && j.zones[z].zone.Ease != nil { // its type says
			c := j.zones[z]
			u.least = j.leastRoom(&row{z: z, line: j.ledger.s, you: you}, c)
			u.least.v += j.beneath(c)
		}
		if body, drawn := j.draftedAt(m, j.ledger.s); drawn && j.wornAt(m, j.ledger.s).known {
			u.least.v = min(u.least.v, j.wornAt(m, j.ledger.s).v-body)
		}
		out = append(out, u)
	}
	return out
}

// sameLevel tells whether the plan has a level for a measurement already, or for the one that it stands for.
func (j *judging) sameLevel(m *Measure) bool {
	return j.ledger.at(m) != nil || slices.ContainsFunc(j.ledger.rows, func(r *row) bool { return r.measure.SameAs == m.Name })
}

// keep shortens a step where a line is kept to a girth between its levels.
func (j *judging) keep(s *step) {
	for _, r := range j.ledger.rows {
		from, to := s.from.measure.Height, s.to.measure.Height
		if !r.kept || r.measure.Height >= from || r.measure.Height <= to {
			continue
		}
		share := float64(from-r.measure.Height) / float64(from-to)
		if r.line == s.from.line {
			s.after, s.run.v = r.measure, s.run.v*(1-share)
		} else if s.before == nil {
			s.before, s.run.v = r.measure, s.run.v*share
		}
	}
}

// underBlends asks to measure the pattern at the girths that lie under a blend and that the pattern does not give.
func (j explainer) underBlends(p *plan) []string {
	var out []string
	for i := range p.steps {
		s := &p.steps[i]
		for _, u := range j.beneathBlend(s) {
			if !u.least.known {
				continue
			}
			least := j.onTape(u.you+u.least.v, math.Ceil)
			out = append(out, fmt.Sprintf("Measure the pattern between the new edges at your %s, between %s and %s: it needs %s there, as you measure %s. Where it is less, keep the larger line to there.",
				u.measure.Title, zoneTitle(j.zones[s.from.z].zone), zoneTitle(j.zones[s.to.z].zone), j.inUnits(least), j.inUnits(u.you)))
		}
	}
	return out
}
