package report

import (
	"fmt"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// sure says how sure the answer is, and which measurement to take again.
func (r *layout) sure() []explain.Block {
	if r.s.Sure == "" {
		return nil
	}
	out := []explain.Block{explain.Sentence(fmt.Sprintf("How sure: %s. %s.", r.howSure(), r.shares()))}
	if again := r.again(); again != "" {
		out = append(out, explain.Sentence(again))
	}
	return out
}

func (r *layout) howSure() string {
	rival := "size " + r.s.Rival
	if r.s.Rival == "none" {
		rival = "no size at all"
	}
	switch r.s.Sure {
	case engine.EitherWillDo:
		return "either would do, this size or " + rival
	case engine.AsLikely:
		return rival + " is as likely"
	case engine.LessLikely:
		return rival + " is likelier"
	}
	return string(r.s.Sure)
}

// shares says for how many of the plausible bodies each size comes out best.
func (r *layout) shares() string {
	if *r.a.NothingFits == 1 {
		return "Of the bodies that your measurements may stand for, no size fits any"
	}
	var parts []string
	for _, size := range r.s.Sizes {
		for i := range r.a.Sizes {
			if s := &r.a.Sizes[i]; s.Size == size && *s.Confidence > 0 {
				parts = append(parts, fmt.Sprintf("size %s for %s", size, share(*s.Confidence)))
			}
		}
	}
	if *r.a.NothingFits > 0 {
		parts = append(parts, "no size for "+share(*r.a.NothingFits))
	}
	return "Of the bodies that your measurements may stand for, the best is " + list(parts)
}

// share is a share in whole percent, never rounded to none or all.
func share(v float64) string {
	switch p := v * 100; {
	case v == 1:
		return "all"
	case p < 1:
		return "less than 1 %"
	case p > 99:
		return "more than 99 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// again says what to measure again.
func (r *layout) again() string {
	m := r.a.MeasureAgain
	if m == nil {
		return ""
	}
	if m.Unit != "" {
		return fmt.Sprintf("Gauge the stretch of your cloth again: that settles most. Your reading may be %s off, and it is size %s.",
			r.amount(m.Error, m.Unit), r.s.Again)
	}
	return fmt.Sprintf("Measure your %s again: that settles most. Your reading may be %s off, and it is size %s.",
		r.s.Title(m.Measurement), quantity.FormatCm(m.Error, r.units), r.s.Again)
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
