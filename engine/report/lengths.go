package report

import "fitadvisor/explain"

// lengths says what the height alone makes likely of lengths that were not taken.
func (r *layout) lengths() explain.Steps {
	var s explain.Steps
	if h := r.a.ByHeight; h != nil {
		s.Items = append(s.Items, explain.Step{Text: h.Say})
		for _, l := range h.Lengths {
			s.Items = append(s.Items, explain.Step{Text: capital(l.Say) + "."})
		}
	}
	return s
}
