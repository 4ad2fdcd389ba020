package report

import (
	"fmt"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// alterations lists what to alter, numbered in the trade's order, with what a
// zone comes to at the last alteration that puts it right. Where and how stand in
// the plan.
func (r *layout) alterations() explain.Steps {
	var s explain.Steps
	for i := range r.a.Alterations {
		a := &r.a.Alterations[i]
		step := explain.Step{Mark: fmt.Sprintf("%d.", a.Order), Text: a.Say}
		for _, text := range []string{a.Because, r.after(a)} {
			if text != "" {
				step.Text += " " + capital(text)
			}
		}
		step.Lines = append(step.Lines, fmt.Sprintf("[%s]", a.ID))
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
	return fmt.Sprintf("the %s measures %s, with %s of ease.", spoken(z.Zone), quantity.FormatCm(z.After.Finished, r.units), r.amount(z.After.Ease, z.Unit))
}
