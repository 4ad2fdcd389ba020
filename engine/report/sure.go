package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// sure says how sure the answer is, and what to measure again to be surer.
func (r *layout) sure() []explain.Block {
	if r.s.Sure == "" {
		return nil
	}
	return []explain.Block{explain.Sentence(sentences("How sure: "+r.howSure()+".", r.again()))}
}

func (r *layout) howSure() string {
	rival := "size " + r.s.Rival
	if r.s.Rival == "none" {
		rival = "no size at all"
	}
	switch r.s.Sure {
	case engine.EitherWillDo:
		either := fmt.Sprintf("size %s or %s, either would do", r.a.Recommended.Size, r.s.Rival)
		if r.s.Settled != "" {
			return fmt.Sprintf("%s; between two sizes this type takes the %s", either, r.s.Settled)
		}
		return either + "; they differ by less ease than you would feel"
	case engine.AsLikely:
		return rival + " is as likely"
	case engine.LessLikely:
		return "not very; if your tape was a little off, " + rival + " is likelier"
	case engine.Likelier:
		return "fairly; it may also be " + rival
	case engine.IsLikely:
		return "likely; otherwise " + rival
	}
	return string(r.s.Sure)
}

// again says what to measure again.
func (r *layout) again() string {
	m := r.a.MeasureAgain
	if m == nil || r.s.Sure == engine.NearlyCertain {
		return ""
	}
	what, size := "Measure your "+r.s.Title(m.Measurement), "size "
	if m.Unit != "" {
		what = "Gauge the stretch of your cloth"
	}
	if strings.HasPrefix(r.s.Again, size) || strings.HasPrefix(r.s.Again, "no ") {
		size = ""
	}
	return fmt.Sprintf("%s again: it is %s%s.", what, size, r.s.Again)
}

// flips lists where another measurement of a level that is judged would make
// another size win; the rest stands in the explanation.
func (r *layout) flips() explain.Steps {
	var s explain.Steps
	for _, fl := range r.s.Flips {
		if r.judged(fl.Measurement) {
			s.Items = append(s.Items, explain.Step{Mark: "-", Text: fl.What + ": " + fl.Say + "."})
		}
	}
	return s
}

// judged tells whether a measurement is that of a zone, or stands in for one.
func (r *layout) judged(measurement string) bool {
	return slices.ContainsFunc(r.a.Sizes[0].Zones, func(z engine.ZoneAnswer) bool {
		return r.measureOf(z.Zone) == measurement || z.Measured != nil && measurement == "upper_bust"
	})
}
