package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/explain"
)

// worn is the bust of one size as it is worn, once it was asked for.
type worn struct {
	fit      zoneFit
	finished figure
	found    bool
}

// overFullBust is a zone of one size as rules see it. Where the upper bust picks
// the size, that is the full bust: in the pattern as drafted or, where the front is
// opened or closed for it, in that. A length is that of the size in which it is cut.
func (j *judging) overFullBust(z, s int) *zoneFit {
	r, c := j.fitted(z, j.cutAt(z, s)), j.zones[z]
	full, _ := j.of(c.measure)
	if !c.standIn || !r.judged || !full.known || !r.finished.known || !j.byUpperBust(s) || c.zone.By == ByChart {
		return r
	}
	w := &j.worn[s]
	if !w.found {
		w.fit, w.finished, w.found = *r, *r.finished, true
		w.finished.v += j.openedAt(c.measure, s)
		w.fit.body, w.fit.finished = full.v, &w.finished
		w.fit.ease = easeOf(w.finished.v, full.v, c.zone.percent())
		w.fit.distance = w.fit.ease - w.fit.wanted
		if w.finished.v == r.finished.v && !j.felt(c, w.fit.ease-r.ease) {
			w.fit = *r
		}
	}
	return &w.fit
}

// fullBustWords adds the ease over the full bust, where the upper bust picks the
// size and that is another one.
func (j explainer) fullBustWords(c *column, fit *zoneFit, s int) string {
	full, percent := j.overFullBust(slices.Index(j.zones, c), s), c.zone.percent()
	if !j.felt(c, full.ease-fit.ease) {
		return ""
	}
	return fmt.Sprintf(", %s over your full bust", j.ease(full.ease, percent))
}

// felt tells whether two eases at a zone are so far apart that it is felt.
func (j *judging) felt(c *column, apart float64) bool {
	percent := c.zone.percent()
	return ticks(math.Abs(apart), percent) > ticks(j.leastTolerance(c.zone), percent)
}

// openedAt is what alterations that come before the size lines would add at a
// measurement in one size. What fullness in front makes needless counts too.
func (j *judging) openedAt(measure *Measure, s int) (sum float64) {
	outer := j.env
	j.env = j.inner
	defer func() { j.env = outer }()
	j.env.j = j
	clear(j.env.last)
	for _, a := range j.alterations {
		if a.last() || a.Alter.Settles != measure.Name {
			continue
		}
		m, sc := &j.would.made, &j.would.scene
		j.would.why = explain.Node{}
		*m = altered{place: a, why: &j.would.why}
		*sc = scene{s: s, zone: -1, altered: m}
		m.list(j.always(a.ID))
		gains, err := j.wouldGain(m, sc)
		if err == nil && gains.known { // a rule that is wrong is reported where it is asked
			sum += gains.v
		}
	}
	return sum
}

// wouldGain is what the garment would gain by an alteration; unknown where it is not made.
func (j *judging) wouldGain(m *altered, sc *scene) (gains figure, err error) {
	if m.rule, err = m.place.bound(); err != nil {
		return figure{}, err
	}
	if m.listed == nil {
		var h ruleResults
		if err := j.ask(m.rule, sc, &h); err != nil || len(h.fired) == 0 {
			return figure{}, err
		}
	}
	if !m.amount.known {
		if err := j.amount(m, sc, false); err != nil {
			return figure{}, err
		}
	}
	if least, ok := m.limit(LeastAmount); !m.amount.known || ok && m.listed == nil && m.size() < least {
		return figure{}, nil
	}
	holds, err := j.unlessHolds(m, sc)
	if err != nil || holds && m.listed == nil && m.amount.v < 0 {
		return figure{}, err
	}
	return j.gains(m, sc, m.rule.Alter.Gains)
}

// fullBustEase tells how a garment that is chosen by the upper bust goes over the
// full bust: below 0 closer than will do, above 0 wider. A front with darts is
// shaped for a bust, and altered once the type's own range is used up.
func (j *judging) fullBustEase(s int) (way int, known bool) {
	z := slices.IndexFunc(j.zones, func(c *column) bool { return c.standIn && c.zone.eased() })
	if z < 0 || !j.fitted(z, s).judged || j.fitted(z, s).finished.estimated {
		return 0, false
	}
	c, r := j.zones[z], j.openRow(z, s)
	if e := c.zone.Ease; slices.Contains(j.recipe.Parts, "dart") && !j.givesAt(c) && e != nil {
		ease := ticks(easeOf(r.base.v, r.you.v, e.Percent), e.Percent)
		switch {
		case e.HasLow && ease <= ticks(e.Low, e.Percent):
			return -1, true
		case e.HasHigh && ease >= ticks(e.High, e.Percent):
			return 1, true
		}
	}
	return -cmp.Compare(r.need(), 0), true
}

// sizeByFullBust is the size that the full bust alone would pick, where upper
// bust and cup pick it: the nearest column, of several as near the chart size, else the smallest.
func (j *judging) sizeByFullBust() (int, bool) {
	row, _ := j.row(j.pattern.Chart, "bust")
	full, _ := j.of(j.bust)
	if !j.byUpperBust(j.chart.s) || !full.known || !j.fillsRow(row) {
		return 0, false
	}
	best, nearest := 0, math.Inf(1)
	if cell := row[j.cells[j.chart.s]]; cell.Known {
		best, nearest = j.chart.s, ticks(distanceTo(cell, full.v), false)
	}
	for s, i := range j.cells {
		if d := ticks(distanceTo(row[i], full.v), false); row[i].Known && d < nearest {
			best, nearest = s, d
		}
	}
	return best, true
}
