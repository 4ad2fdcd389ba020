package report

import (
	"fmt"
	"maps"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Make lays out a garment that was made: what it is, its ease as planned and as worn, and what to note next.
func Make(m *engine.Make, name string, u quantity.Unit, next []string) *explain.Document {
	d := &explain.Document{}
	what := m.Pattern
	if m.Maker != "" {
		what += " by " + m.Maker
	}
	text := fmt.Sprintf("%s: %s, size %s, for %s", name, what, m.Size, m.Body)
	if m.Cloth != nil && m.Cloth.Name != "" {
		text += ", in " + m.Cloth.Name
	}
	d.Add(explain.Sentence(text + "."))
	r := &layout{units: u}
	t := explain.Table{Header: []string{"zone", "ease as planned", "as worn", "feels"}, Numeric: []bool{false, true, true}}
	var notes []string
	for _, zone := range zonesOf(m) {
		row := []string{spoken(zone), "-", "-", string(m.Outcome.Feels[zone].Feel)}
		if e, ok := m.Ease[zone]; ok {
			row[1] = madeEase(float64(e.Length), e.Percent, e.IsPercent, u)
		}
		worn, percent, gap := m.EaseAt(zone)
		if gap == "" {
			row[2] = madeEase(worn, worn, percent, u)
		} else if _, rated := m.Outcome.Feels[zone]; rated {
			notes = append(notes, fmt.Sprintf("How the %s feels does not count yet: %s.", spoken(zone), gap))
		}
		t.Rows = append(t.Rows, row)
		if changed := m.Outcome.Changed[zone]; changed != "" {
			notes = append(notes, fmt.Sprintf("Changed at the %s: %s.", spoken(zone), changed))
		}
	}
	if len(t.Rows) > 0 {
		d.Add(t)
	}
	for _, n := range append(linesOf(m), alteredIn(m, u)...) {
		d.Add(explain.Sentence(n))
	}
	if m.Outcome.Words != "" {
		notes = append(notes, m.Outcome.Words)
	}
	for _, n := range notes {
		d.Add(explain.Sentence(n))
	}
	var s explain.Steps
	for i, n := range next {
		s.Items = append(s.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: n})
	}
	r.section(d, "What to do next", s)
	return d
}

// linesOf says which size lines were followed, where they are others than the size.
func linesOf(m *engine.Make) []string {
	var parts []string
	for _, zone := range slices.Sorted(maps.Keys(m.Lines)) {
		parts = append(parts, fmt.Sprintf("size %s at the %s", m.Lines[zone], spoken(zone)))
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{"Cut on the line of " + list(parts) + "."}
}

// alteredIn says what was altered, and by how much.
func alteredIn(m *engine.Make, u quantity.Unit) []string {
	var parts []string
	for _, id := range slices.Sorted(maps.Keys(m.Alterations)) {
		a := m.Alterations[id]
		switch {
		case a.Amount != nil:
			id += " by " + a.Amount.Format(u)
		case a.Degrees != nil:
			id += " by " + quantity.FormatCount(*a.Degrees) + "°"
		}
		parts = append(parts, id)
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{"Altered: " + list(parts) + "."}
}

func madeEase(nm, percent float64, isPercent bool, u quantity.Unit) string {
	if isPercent {
		return quantity.FormatPercent(percent)
	}
	return quantity.Length(nm).Format(u)
}

// zonesOf are the zones that a make speaks of, in alphabetical order.
func zonesOf(m *engine.Make) []string {
	var zones []string
	for z := range m.Ease {
		zones = append(zones, z)
	}
	for z := range m.Outcome.Feels {
		zones = append(zones, z)
	}
	for z := range m.Outcome.Changed {
		zones = append(zones, z)
	}
	for z := range m.Outcome.Measured {
		zones = append(zones, z)
	}
	slices.Sort(zones)
	return slices.Compact(zones)
}
