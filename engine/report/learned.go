package report

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// learned says what this person's makes say of the size shown.
func (r *layout) learned() explain.Steps {
	if r.a.Learned == nil {
		return explain.Steps{}
	}
	l := *r.a.Learned
	l.Usual = slices.DeleteFunc(slices.Clone(l.Usual), func(u engine.Repeated) bool { return r.wasSaid(u.ID) })
	return r.lessons(&l, r.wantedAt, notAsked)
}

// wasSaid tells whether an answer speaks of an alteration elsewhere.
func (r *layout) wasSaid(id string) bool {
	return slices.ContainsFunc(r.a.Alterations, func(a engine.Alteration) bool { return a.ID == id }) ||
		slices.ContainsFunc(r.a.NotChecked, func(n engine.NotChecked) bool { return n.ID == id })
}

// What is said of an alteration that was made again and again, by how much and with the record it rests on.
const (
	proposed = "Alter %s%s again: %s."
	notAsked = "%s%s: %s. What you measured does not ask for it here."
)

// wantedAt is the ease that is wanted at a zone as it was asked.
func (r *layout) wantedAt(zone string) *float64 {
	for i := range r.a.Sizes[0].Zones {
		if z := &r.a.Sizes[0].Zones[i]; z.Zone == zone {
			return z.Wanted
		}
	}
	return nil
}

func (r *layout) lessons(l *engine.Learned, wanted func(zone string) *float64, usual string) explain.Steps {
	var s explain.Steps
	add := func(text string) { s.Items = append(s.Items, explain.Step{Mark: "-", Text: text}) }
	for i := range l.Ease {
		add(r.comeToWant(&l.Ease[i], wanted(l.Ease[i].Zone)))
	}
	for _, u := range l.Usual {
		amount := ""
		if u.Amount != nil {
			amount = " by " + quantity.FormatCm(*u.Amount, r.units)
		}
		add(fmt.Sprintf(usual, u.ID, amount, u.Because))
	}
	for _, c := range l.Changed {
		add(fmt.Sprintf("You changed the %s of patterns by %s after cutting: %s.", spoken(c.Zone), c.Maker, c.Because))
	}
	for _, d := range l.Drifts {
		add(capital(d.Because) + ".")
	}
	return s
}

// comeToWant says which ease is wanted at a zone, how sure that is, and how to ask for it.
func (r *layout) comeToWant(e *engine.LearnedEase, wanted *float64) string {
	text := fmt.Sprintf("At the %s you have come to want %s of ease, give or take %s: %s; without that it would be %s, give or take %s.",
		spoken(e.Zone), r.amount(e.Mean, e.Unit), r.amount(e.Spread, e.Unit), e.Felt, r.amount(e.Before, e.Unit), r.amount(e.Wide, e.Unit))
	if wanted == nil {
		return text
	}
	away := e.Mean - *wanted
	if r.amount(math.Abs(away), e.Unit) == r.amount(0, e.Unit) {
		return text + " That is what is wanted here."
	}
	less := "more"
	if away < 0 {
		less = "less"
	}
	ask := e.Zone + "=" + r.amount(e.Mean, e.Unit)
	return text + fmt.Sprintf(" That is %s %s than the %s wanted here; ask for it with --ease %q.", r.amount(math.Abs(away), e.Unit), less, r.amount(*wanted, e.Unit), ask)
}

// Learned lays out what was learned in each of several respects, down to the makes.
func Learned(about []string, all []*engine.Learned, u quantity.Unit) *explain.Document {
	r := &layout{units: u}
	d := &explain.Document{}
	for i, l := range all {
		steps := r.lessons(l, func(string) *float64 { return nil }, proposed)
		if len(steps.Items) == 0 {
			continue
		}
		d.Add(explain.Heading(about[i]), steps, explain.Tree{Root: l.Why})
	}
	if len(d.Blocks) == 0 {
		d.Add(explain.Sentence("Nothing is learned yet: rate what you made with `advisor note worn GARMENT --feels hip=right`, and note your alterations with `advisor note cut`."))
	}
	return d
}
