package engine

import (
	"fmt"
	"slices"
	"strings"
)

// NotUsed is a measurement that you took, or a length that you asked for, and by which nothing is judged in this answer.
type NotUsed struct {
	Measurement string `json:"measurement"` // its name
	Because     string `json:"because"`     // why, in words
}

// notUsed lists what was measured and says nothing here, from the top of the body down.
func (j explainer) notUsed(a *Answer, s int) []NotUsed {
	var out []NotUsed
	for _, name := range j.voc.names {
		m := j.voc.Measure(name)
		if _, taken := j.Body.Measurements[name]; !taken || j.looksAt(m) || j.saysWhere(m, a) {
			continue
		}
		if because := j.unusedBecause(m, s); because != "" {
			out = append(out, NotUsed{name, because})
		}
	}
	if hem := j.recipe.HemLength(); j.hemUnknown(hem, s) {
		out = append(out, NotUsed{hem, "you asked where the hem is to end, and the pattern does not say how long it is: measure that on the pattern and add it to the finished measurements"})
	}
	return out
}

// hemUnknown tells whether a hem was asked for of a garment whose length the pattern does not give.
func (j *judging) hemUnknown(hem string, s int) bool {
	_, asked := j.Body.Wanted[hem]
	return asked && !j.madeAt(hem, j.lengthsOf(s)).known
}

// looksAt tells whether the chart, a zone, an opening or the way between two levels goes by a measurement.
func (j *judging) looksAt(m *Measure) bool {
	if slices.Contains(j.shared(), m.Name) {
		return true
	}
	for _, c := range j.zones {
		_, from := j.of(c.measure)
		if c.measure == m || from == m || c.standIn && m == j.upper && j.cup(j.chart.s).known || c.zone.Run != nil && c.measure.BelowWaist == m.Name {
			return true
		}
	}
	return slices.ContainsFunc(j.recipe.Openings, func(o Opening) bool {
		return o.Closure != nil && o.Closure.RunBy == m.Name || slices.ContainsFunc(o.Passes, func(p Passage) bool { return slices.Contains(p, m.Name) })
	})
}

// saysWhere tells whether a measurement says where a length of the garment ends, or what a height means.
func (j *judging) saysWhere(m *Measure, a *Answer) bool {
	if m.Name == "height" {
		return a.ByHeight != nil || j.recipe.Draft == ForChildren || slices.ContainsFunc(a.Lengths, func(l LengthAnswer) bool { return l.Estimated })
	}
	return slices.ContainsFunc(a.Lengths, func(l LengthAnswer) bool {
		return slices.Contains(j.voc.hemPlace(l.Measurement, l.Place).Body, m.Name)
	})
}

// unusedBecause says why no rule goes by a measurement; empty where one does.
func (j *judging) unusedBecause(m *Measure, s int) string {
	because := fmt.Sprintf("nothing in %s is cut by that", An(j.recipe.Title))
	switch same := j.voc.Measure(m.SameAs); {
	case same != nil && slices.ContainsFunc(j.zones, func(c *column) bool { return c.measure == same }):
		return fmt.Sprintf("your %s counts there", same.Title)
	case m == j.upper && j.recipe.HangsFrom == FromShoulder && !j.cup(s).known:
		because = "the pattern does not say which cup it is drafted for: add that if its maker does"
	}
	for _, r := range j.recipe.Rules {
		if when, err := r.When(); err == nil && slices.Contains(when.Names(), "body."+m.Name) && len(j.lacks(when.Names(), m, s)) == 0 {
			return ""
		}
	}
	fewest := 0
	for _, a := range j.alterations {
		names := a.names()
		if !slices.ContainsFunc(names, func(name string) bool { return slices.Contains(restOn(name), m.Name) }) {
			continue
		}
		switch lacks := j.lacks(names, m, s); {
		case len(lacks) == 0:
			return ""
		case fewest == 0 || len(lacks) < fewest:
			if words := j.lackWords(lacks); words != "" {
				fewest, because = len(lacks), words
			}
		}
	}
	return because
}

// names are those that an alteration's condition rests on.
func (a *alteration) names() []string {
	b, err := a.bound()
	if err != nil {
		return nil // the error is reported where the rule is asked
	}
	return b.when.Names()
}

// restOn are the measurements of the body that a name rests on.
func restOn(name string) []string {
	switch name {
	case "body.shoulder_drop", "body.odd_drop":
		return []string{"shoulder_slope", "shoulder_length"}
	case "body.even_shoulder", "body.odd_shoulder":
		return []string{"shoulder_length"}
	}
	if group, measure, _ := strings.Cut(name, "."); group == "body" {
		return []string{measure}
	}
	return nil
}

// lacks are the names that are not known of those that a condition rests on. What the
// garment is drafted for and what it lacks are two ways of comparing one measurement.
func (j *judging) lacks(names []string, m *Measure, s int) []string {
	sc := &scene{s: s, zone: -1}
	known := func(name string) bool {
		t, ok := j.voc.term(name)
		switch {
		case !ok:
			return true // the rule's own limit
		case t.get.number != nil:
			_, ok = t.get.number(j, sc)
		case t.get.text != nil:
			_, ok = t.get.text(j, sc)
		default:
			var yes bool
			yes, ok = t.get.flag(j, sc)
			ok = ok && (yes || name != "size.by_upper_bust")
		}
		return ok
	}
	either := slices.ContainsFunc(names, func(name string) bool {
		return (name == "drafted."+m.Name || name == "lacks."+m.Name) && known(name)
	})
	var out []string
	for _, name := range names {
		group, measure, _ := strings.Cut(name, ".")
		optional := group == "alteration" || group == "lacks" || group == "asked" || either && group == "drafted" && measure == m.Name
		if !optional && !known(name) {
			out = append(out, name)
		}
	}
	return out
}

// lackWords say what a rule lacks; empty where that is nothing that one could give.
func (j *judging) lackWords(names []string) string {
	var out []string
	for _, name := range names {
		group, measure, _ := strings.Cut(name, ".")
		if measure == "shoulder_drop" {
			measure = "shoulder_slope"
			if _, taken := j.Body.Measurements[measure]; taken && group == "body" {
				measure = "shoulder_length"
			}
		}
		m := j.voc.Measure(measure)
		switch {
		case name == "drafted.shoulder_drop" && j.pattern.Slopes != nil: // which waits for the length alone
		case m == nil || group != "body" && group != "drafted":
			return ""
		case group == "body":
			out = append(out, fmt.Sprintf("your %s is not measured", m.Title))
		default:
			out = append(out, fmt.Sprintf("the pattern does not say which %s it is drafted for: add that if its maker does", m.Title))
		}
	}
	return list(out, "and")
}
