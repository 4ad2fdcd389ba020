package engine

import (
	"cmp"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// KeptGarment is a kept garment: one that a person owns and has measured, liked or
// not. It was measured washed, unstretched and closed.
type KeptGarment struct {
	Name     string
	Recipe   string  // its garment type, or the nearest one
	Nearest  bool    // it is only like that type
	Type     *Recipe // the garment type itself; nil: only its name is known
	Cloth    *Cloth
	Measured string // YYYY-MM-DD, empty where not said
	Made     map[string]Made
	Feels    map[string]Felt
	Worn     Worn
	At       diag.Range
	RecipeAt diag.Range
}

// Made is one measurement of a garment: of a girth the whole round.
type Made struct {
	Length quantity.Length
	Flat   bool // measured flat and doubled
	At     diag.Range
}

// Feeling says how a garment feels at one level.
type Feeling string

// The feels.
const (
	Tight Feeling = "tight"
	Right Feeling = "right"
	Roomy Feeling = "roomy"
)

// Felt is a feel and where it is said.
type Felt struct {
	Feel Feeling
	At   diag.Range
}

// Worn is the body a kept garment was worn over when it was judged.
type Worn struct {
	Name         string // empty: the one who asks
	Taken        string // YYYY-MM-DD, empty where not said
	Measurements map[string]Measurement
}

// EarlierMeasurements are measurements of one day.
type EarlierMeasurements struct {
	Taken        string // YYYY-MM-DD
	MeasuredOver string
	Measurements map[string]Measurement
}

// by tells whether the garment was worn by this person.
func (w *Worn) by(b *Body) bool {
	return w.Name == "" || strings.EqualFold(strings.TrimSpace(w.Name), strings.TrimSpace(b.Name))
}

// past is one measurement of a body as it was, with the day it was taken.
type past struct {
	taking  Measurement
	measure *Measure // the word it stands under
	taken   string
	assumed string // what had to be taken for granted; empty: nothing
}

// then finds a measurement of the body that a garment was worn over: its own,
// else the latest taken by that day, else the earliest after it.
func (v *Vocabulary) then(b *Body, w *Worn, m *Measure) (past, bool) {
	if p, ok := v.measurementOf(w.Measurements, m); ok {
		p.taken = w.Taken
		return p, true
	}
	if !w.by(b) {
		return past{}, false
	}
	var all []past
	if p, ok := v.measurementOf(b.Measurements, m); ok {
		p.taken = b.TakenOn(p.measure.Name)
		all = append(all, p)
	}
	for _, t := range b.Earlier {
		if p, ok := v.measurementOf(t.Measurements, m); ok {
			p.taken = t.Taken
			all = append(all, p)
		}
	}
	if len(all) == 0 {
		return past{}, false
	}
	slices.SortStableFunc(all, func(p, q past) int { return cmp.Compare(q.taken, p.taken) }) // the latest first, the undated last
	if w.Taken == "" {
		all[0].assumed = "when it was worn is not said: the latest is taken"
		return all[0], true
	}
	for _, p := range all {
		if p.taken != "" && p.taken <= w.Taken {
			return p, true
		}
	}
	p := all[len(all)-1]
	if p.taken == "" && len(all) > 1 {
		p = all[len(all)-2] // the earliest that has a date
	}
	p.assumed = "none was taken by " + w.Taken + ", when it was worn: the earliest after it is taken"
	if p.taken == "" {
		p.assumed = "when it was taken is not said: it is taken to hold for " + w.Taken + " too"
	}
	return p, true
}

// measurementOf finds a measurement, or the one that satisfies it.
func (v *Vocabulary) measurementOf(all map[string]Measurement, m *Measure) (past, bool) {
	for _, name := range []string{m.Name, m.SameAs} {
		if t, ok := all[name]; ok && t.value() > 0 {
			return past{taking: t, measure: v.Measure(name)}, true
		}
	}
	return past{}, false
}

// made finds what the garment measures at a level, under its own word or the
// one that satisfies it.
func (g *KeptGarment) made(m *Measure) (made Made, name string, ok bool) {
	for _, name := range []string{m.Name, m.SameAs} {
		if made, ok := g.Made[name]; ok {
			return made, name, true
		}
	}
	return Made{}, "", false
}

// felt finds how it feels at a level.
func (g *KeptGarment) felt(m *Measure) (Felt, bool) {
	for _, name := range []string{m.Name, m.SameAs} {
		if f, ok := g.Feels[name]; ok {
			return f, true
		}
	}
	return Felt{}, false
}

// title names the garment's type in a sentence.
func (g *KeptGarment) title() string {
	if g.Type == nil {
		return g.Recipe
	}
	return g.Type.Title
}

// IsAlike tells whether two garment types speak for one another: the same, one
// that is based on the other, or two of one family.
func (r *Recipe) IsAlike(o *Recipe) bool {
	on := func(r, o *Recipe) bool {
		return slices.ContainsFunc(r.BasedOn, func(b Origin) bool { return b.Name == o.Name })
	}
	return r.Name == o.Name || on(r, o) || on(o, r) || r.Family != "" && r.Family == o.Family
}
