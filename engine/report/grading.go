package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// grading is what to trace: the lines in a sentence, and what they leave to do.
func (r *layout) grading() []string {
	switch {
	case r.a.Recommended == nil:
		return []string{"Change what rules the sizes out, and ask again."}
	case !r.a.Grading.Sensible:
		whole := fmt.Sprintf("Cut the whole garment in size %s: %s.", r.a.Recommended.Size, r.a.Grading.Because)
		return slices.DeleteFunc([]string{whole, r.lacing()}, func(s string) bool { return s == "" })
	}
	trace := r.trace()
	if len(r.a.Grading.Steps) > 0 {
		trace += " Below is how to move between the lines."
	}
	return append([]string{trace}, r.besides(everyLevel)...)
}

// besides are how it is laced, the changes of the plan that are neither lines nor alterations, and
// what no change could do at those levels of which it is to be said.
func (r *layout) besides(tellRest func(*engine.Level) bool) []string {
	var out []string
	if lace := r.lacing(); lace != "" {
		out = append(out, lace)
	}
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		for _, c := range l.Changes {
			if c.Say != "" && (c.By == engine.ByDart || c.By == engine.BySeam) || c.By == engine.ByAlteration && c.ID == "" {
				out = append(out, c.Say)
			}
		}
		if l.Rest != "" && tellRest(l) {
			out = append(out, fmt.Sprintf("%s: %s.", capital(words(l.Zone)), l.Rest))
		}
	}
	return out
}

func everyLevel(*engine.Level) bool { return true }

// trace is the size lines in a sentence, and how those are drawn that are not printed.
func (r *layout) trace() string {
	s := r.linesToTrace()
	followed, _ := r.bySize()
	for i := range r.a.Sizes {
		if z := &r.a.Sizes[i]; z.DrawnByYou != "" && (z.Size == r.a.Recommended.Size || slices.Contains(followed, z.Size)) {
			s += fmt.Sprintf(" Draw the line of %s yourself, %s, on every piece.", z.Size, z.DrawnByYou)
		}
	}
	return s
}

// linesToTrace names the lines to trace.
func (r *layout) linesToTrace() string {
	best := r.a.Recommended.Size
	sizes, zones := r.bySize()
	switch {
	case (len(sizes) == 0 || len(sizes) == 1 && sizes[0] == best) && r.a.Recommended.Length != "":
		return fmt.Sprintf("Trace the widths of size %s and the lengths of size %s.", best, r.a.Recommended.Length)
	case len(sizes) == 0, len(sizes) == 1 && sizes[0] == best:
		return fmt.Sprintf("Trace size %s throughout.", best)
	case len(sizes) == 1:
		return fmt.Sprintf("Trace size %s at the %s, and size %s for all that is left.", sizes[0], list(zones[0]), best)
	}
	parts := make([]string, len(sizes))
	for i, size := range sizes {
		parts[i] = fmt.Sprintf("size %s at the %s", size, list(zones[i]))
	}
	return "Trace " + strings.Join(parts, ", then ") + "."
}

// bySize gathers neighbouring zones that follow the same line, from the top down.
func (r *layout) bySize() (sizes []string, zones [][]string) {
	for _, l := range r.a.Lines {
		if last := len(sizes) - 1; last >= 0 && sizes[last] == l.Size {
			zones[last] = append(zones[last], words(l.Zone))
			continue
		}
		sizes, zones = append(sizes, l.Size), append(zones, []string{words(l.Zone)})
	}
	return sizes, zones
}

// moves adds how to move between size lines, and what must follow.
func (r *layout) moves(d *explain.Document) {
	steps := r.a.Grading.Steps
	if len(steps) > 0 {
		d.Add(explain.Heading("Moving between the size lines, in "+unitWord(r.units)), r.sharedTable(steps))
	}
	var s explain.Steps
	for i := range steps {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: r.move(&steps[i])})
	}
	if len(s.Items) > 0 {
		d.Add(s)
	}
	s = explain.Steps{}
	for _, f := range r.a.Grading.Follow {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: f})
	}
	r.section(d, "What must follow", s)
}

// move is one step as an instruction.
func (r *layout) move(g *engine.GradingStep) string {
	s := fmt.Sprintf("Leave the line of size %s %s and reach that of size %s %s, at the %s seams: %s.", g.FromSize, g.Start, g.ToSize, g.End, list(g.Seams), g.Advice)
	switch {
	case g.Growth == nil:
	case g.Walk:
		s += fmt.Sprintf(" A straight seam %s; walk yours.", r.grows(*g.Growth))
	default:
		s += fmt.Sprintf(" The seam %s.", r.grows(*g.Growth))
	}
	return s
}

// grows says what becomes of a seam's length.
func (r *layout) grows(cm float64) string {
	switch {
	case cm == 0:
		return "stays as long as it is"
	case cm < 0:
		return "becomes " + quantity.FormatLittle(-cm, r.units) + " shorter"
	}
	return "grows by " + quantity.FormatLittle(cm, r.units)
}

func words(zone string) string { return strings.ReplaceAll(zone, "_", " ") }
