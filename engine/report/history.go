package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// History lays out a body's measurements over the years, and says when to measure again.
func History(h *engine.History, u quantity.Unit) *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Sentence(again(h)))
	t := explain.Table{Header: []string{"", "in " + unitWord(u), "taken", "change"}, Numeric: []bool{false, true, false, true}}
	for i := range h.Measurements {
		m := &h.Measurements[i]
		name := h.Titles[m.Measurement]
		for _, p := range m.Takings {
			t.Rows = append(t.Rows, []string{name, pastValue(p, u), dayOr(p.Taken), pastChange(p, u)})
			name = ""
		}
	}
	if len(t.Rows) > 0 {
		d.Add(t)
	}
	return d
}

// again says when to measure again.
func again(h *engine.History) string {
	who := "adults after half a year"
	if h.Child {
		who = "children after three months, since they grow"
	}
	switch {
	case h.Again == "":
		return fmt.Sprintf("%s: the file does not say when this was measured. Measure again %d days after that: %s.", h.Body, h.Days, who)
	case h.Overdue:
		return fmt.Sprintf("%s: it is time to measure again. The oldest of what is used was due on %s, after %d days: %s; sooner in pregnancy.", h.Body, h.Again, h.Days, who)
	}
	return fmt.Sprintf("%s: measure again from %s on, %d days after the oldest of what is used: %s; sooner in pregnancy.", h.Body, h.Again, h.Days, who)
}

func dayOr(day string) string {
	if day == "" {
		return "not said"
	}
	return day
}

func pastValue(p engine.Past, u quantity.Unit) string {
	if p.Angle {
		return quantity.FormatCount(p.Value) + "°"
	}
	return bareLength(p.Value, u)
}

func pastChange(p engine.Past, u quantity.Unit) string {
	if p.Change == nil {
		return ""
	}
	change := *p.Change
	text := pastValue(engine.Past{Value: change, Angle: p.Angle}, u)
	if change > 0 {
		text = "+" + text
	}
	return text
}

// bareLength is a length without its unit, which the heading names.
func bareLength(cm float64, u quantity.Unit) string {
	text := quantity.FormatCm(cm, u)
	return strings.TrimSuffix(strings.TrimSuffix(text, " in"), " cm")
}

// Measured says what was measured and where it is kept, with what the rules say of it.
func Measured(h *engine.History, taken []string, path string, u quantity.Unit, said []engine.Caution, next []string) *explain.Document {
	d := &explain.Document{}
	var parts []string
	for i := range h.Measurements {
		m := &h.Measurements[i]
		for _, name := range taken {
			if name == m.Measurement {
				parts = append(parts, h.Titles[name]+" "+withUnit(m.Takings[0], u))
			}
		}
	}
	switch {
	case len(parts) > 0:
		d.Add(explain.Sentence(fmt.Sprintf("Saved for %s: %s. It is kept in %s.", h.Body, list(parts), path)))
	default:
		d.Add(explain.Sentence("Nothing was measured, and nothing was changed."))
	}
	r := &layout{units: u}
	r.section(d, "Cautions", cautionSteps(said))
	var s explain.Steps
	for i, n := range next {
		s.Items = append(s.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: n})
	}
	r.section(d, "What to do next", s)
	return d
}

func withUnit(p engine.Past, u quantity.Unit) string {
	if p.Angle {
		return pastValue(p, u)
	}
	return quantity.FormatCm(p.Value, u)
}

// Capital begins a text with a capital letter.
func Capital(s string) string { return capital(s) }
