package report

import (
	"fmt"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// lacing says with which gap to lace at each level: it is tried before anything is cut; empty where nothing is laced.
func (r *layout) lacing() string {
	var gaps []string
	at := map[string][]string{}
	drawn, changed := "", false
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		if l.Lacing == nil {
			continue
		}
		gap := quantity.FormatCm(l.Lacing.Gap, r.units)
		if !slices.Contains(gaps, gap) {
			gaps = append(gaps, gap)
		}
		at[gap] = append(at[gap], words(l.Zone))
		drawn, changed = quantity.FormatCm(l.Lacing.Drawn, r.units), changed || l.Lacing.Gap != l.Lacing.Drawn
	}
	switch {
	case len(gaps) == 0:
		return ""
	case !changed:
		return fmt.Sprintf("Lace it with a gap of %s, as drawn.", drawn)
	}
	for i, gap := range gaps {
		gaps[i] = fmt.Sprintf("%s at the %s", gap, list(at[gap]))
	}
	return fmt.Sprintf("Lace it with a gap of %s, where %s is drawn: that comes before any seam.", list(gaps), drawn)
}

// lacedWith adds the gap to what is said of a level; nothing where it is not laced.
func (r *layout) lacedWith(l *engine.Level) string {
	if l.Lacing == nil {
		return ""
	}
	return ", laced with a gap of " + quantity.FormatCm(l.Lacing.Gap, r.units)
}
