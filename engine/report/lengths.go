package report

import "fitadvisor/explain"

// lengths says where the garment ends on you, and what the height alone makes likely
// of lengths that were not taken.
func (r *layout) lengths() explain.Steps {
	var s explain.Steps
	for i := range r.a.Lengths {
		s.Items = append(s.Items, explain.Step{Text: capital(r.a.Lengths[i].Say) + "."})
	}
	if h := r.a.ByHeight; h != nil {
		s.Items = append(s.Items, explain.Step{Text: h.Say})
		for _, l := range h.Lengths {
			s.Items = append(s.Items, explain.Step{Text: capital(l.Say) + "."})
		}
	}
	return s
}
