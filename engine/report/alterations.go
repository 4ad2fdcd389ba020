package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// alterations lays out what to alter, numbered in the trade's order, with what a
// zone comes to at the last alteration that puts it right.
func (r *layout) alterations() explain.Steps {
	var s explain.Steps
	for i := range r.a.Alterations {
		a := &r.a.Alterations[i]
		step := explain.Step{Mark: fmt.Sprintf("%d.", a.Order), Text: a.Say}
		for _, line := range []struct{ what, text string }{
			{"Why", a.Because}, {"Where", a.Where}, {"How", a.Spread}, {"Also", a.Also}, {"Not when", a.NotWhen}, {"Then", r.after(a)},
		} {
			if line.text != "" {
				step.Lines = append(step.Lines, line.what+": "+line.text)
			}
		}
		step.Lines = append(step.Lines, fmt.Sprintf("[%s, %s]", a.ID, a.Source))
		s.Items = append(s.Items, step)
	}
	return s
}

// after says what the zones that an alteration puts right come to in the end.
func (r *layout) after(a *engine.Alteration) string {
	zones := r.a.Sizes[0].Zones
	i := slices.IndexFunc(zones, func(z engine.ZoneAnswer) bool { return z.Zone == a.Zone })
	if i < 0 || zones[i].After == nil || a.Amount == nil {
		return ""
	}
	z := &zones[i]
	return fmt.Sprintf("the %s measures %s, with %s of ease.", strings.ReplaceAll(z.Zone, "_", " "), quantity.FormatCm(z.After.Finished, r.units), r.easeIn(z.After.Ease, z.Unit))
}

// easeIn is an ease with its unit.
func (r *layout) easeIn(v float64, unit string) string {
	if unit == "percent" {
		return quantity.FormatPercent(v)
	}
	return quantity.FormatCm(v, r.units)
}
