package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// ByHeight is what a height that differs from the drafted one probably means for
// the lengths that were not taken. It is no reason to alter anything: one
// measurement is.
type ByHeight struct {
	Height     float64        `json:"height"`            // yours
	DraftedFor float64        `json:"drafted_for"`       // the height that the size is drafted for
	Guessed    bool           `json:"guessed,omitempty"` // whether that is the usual draft, since the pattern does not say
	Lengths    []LikelyLength `json:"lengths"`           // from the top of the body down
	Measure    string         `json:"measure"`           // which of them to take first: the one that probably differs most
	Say        string         `json:"say"`               // what differs and what to do, in words
}

// LikelyLength is one length of people of your height, beside that of people of the drafted height.
type LikelyLength struct {
	Measurement string   `json:"measurement"`    // the measurement's name
	More        float64  `json:"more"`           // how much longer than drafted yours probably is; below 0 shorter
	Low         *float64 `json:"low,omitempty"`  // of ten people of your height nine lie between this
	High        *float64 `json:"high,omitempty"` // and this; both absent where the length was not surveyed
	Say         string   `json:"say"`            // the same in words
	Source      string   `json:"source"`         // who was surveyed
}

// byHeight says what the height alone tells of lengths that a garment is altered by
// and that were not taken; nil where it tells nothing.
func (j explainer) byHeight(s int) *ByHeight {
	height := j.voc.Measure("height")
	if height == nil {
		return nil
	}
	own, _ := j.of(height)
	drafted, said := j.draftedAt(height, s)
	if !said {
		drafted = float64(j.voc.Limits.usualHeight(j.recipe.Draft))
	}
	apart, p := own.v-drafted, j.surveyed(drafted)
	if !own.known || drafted == 0 || p == nil || ticks(math.Abs(apart), false) < ticks(float64(j.voc.Limits.HeightApart), false) {
		return nil
	}
	h := &ByHeight{Height: answered(own.v), DraftedFor: answered(drafted), Guessed: !said}
	for _, a := range j.alterations {
		name := a.Alter.Zone
		told := slices.ContainsFunc(h.Lengths, func(l LikelyLength) bool { return l.Measurement == name }) // by another rule that alters it
		if body, _ := j.of(j.voc.Measure(name)); !a.Alter.lengthens() || body.known || told {
			continue
		}
		if l, ok := j.likelyLength(p, name, own.v, drafted); ok {
			h.Lengths = append(h.Lengths, l)
		}
	}
	if len(h.Lengths) == 0 {
		return nil
	}
	most := slices.MaxFunc(h.Lengths, func(a, b LikelyLength) int { return cmp.Compare(math.Abs(a.More), math.Abs(b.More)) })
	h.Measure = most.Measurement
	h.Say = j.heightWords(h, apart, p)
	return h
}

// usualHeight is the height that patterns for somebody are usually drafted for; 0: none is usual.
func (l *Limits) usualHeight(draft Draft) quantity.Length {
	switch draft {
	case ForWomen:
		return l.DraftWomen
	case ForMen:
		return l.DraftMen
	}
	return 0
}

func (j explainer) heightWords(h *ByHeight, apart float64, p *Population) string {
	than, guess := "it is drafted for", ""
	if h.Guessed {
		than, guess = "such patterns are usually drafted for", " That is a guess: this one does not say."
	}
	word := "more"
	if apart < 0 {
		word = "less"
	}
	say := fmt.Sprintf("Your height is %s %s than the %s that %s.%s Measure your %s first: it probably differs most. What follows is from %s",
		j.inUnits(math.Abs(apart)), word, j.Length(h.DraftedFor), than, guess, j.voc.Title(h.Measure), p.About)
	all := p.height()
	if off := (h.Height - all.Mean.Cm()) / all.Deviation.Cm(); math.Abs(off) > j.voc.Limits.UnmeasuredReach {
		say += ", of whom hardly anybody had your height"
	}
	return say + "."
}

// likelyLength is how much longer a length of people of one height is than that of
// people of another: as surveyed or, of what was not, in proportion to the figure
// that drawings show.
func (j explainer) likelyLength(p *Population, name string, own, drafted float64) (LikelyLength, bool) {
	l := LikelyLength{Measurement: name}
	if p.further(name) == nil {
		share, ok := j.voc.shareOfHeight(name)
		l.More = answered(share * (own - drafted))
		l.Say = fmt.Sprintf("%s: probably %s, by the proportions of a drawn figure; it was not surveyed", j.voc.Title(name), j.thanDrafted(l.More))
		l.Source = "common practice: the heights of the figure that drawings show"
		return l, ok
	}
	mean, spread := p.ByHeight(name, quantity.Length(own))
	usual, _ := p.ByHeight(name, quantity.Length(drafted))
	more, reach := float64(mean-usual), float64(spread)*j.voc.Limits.HeightSpread
	low, high := answered(more-reach), answered(more+reach)
	l.More, l.Low, l.High, l.Source = answered(more), &low, &high, p.Source
	l.Say = fmt.Sprintf("%s: probably %s; between %s and %s for nine of ten people of your height", j.voc.Title(name), j.thanDrafted(l.More), j.signed(low), j.signed(high))
	return l, true
}

// thanDrafted is a difference in words: "4.1 cm longer than drafted".
func (j explainer) thanDrafted(cm float64) string {
	if cm < 0 {
		return j.Length(-cm) + " shorter than drafted"
	}
	return j.Length(cm) + " longer than drafted"
}

// signed is a difference with its sign.
func (j explainer) signed(cm float64) string {
	if cm > 0 {
		return "+" + j.Length(cm)
	}
	return j.Length(cm)
}

// surveyed are those of whom lengths were measured beside the height, for whom the
// garment is drafted; of a garment for all, those whose height lies nearer the
// drafted one. Nil: nobody.
func (j *judging) surveyed(drafted float64) *Population {
	var best *Population
	away := func(p *Population) float64 { return math.Abs(float64(p.height().Mean) - drafted) }
	for i := range j.voc.Populations {
		p := &j.voc.Populations[i]
		if (p.AtLarge == string(j.recipe.Draft) || j.recipe.Draft == ForAll) && len(p.Further) > 0 && p.height() != nil && (best == nil || away(p) < away(best)) {
			best = p
		}
	}
	return best
}

// height is how the height of a population is spread; nil: it is not among what describes it.
func (p *Population) height() *Spread {
	i := slices.IndexFunc(p.Measures, func(s Spread) bool { return s.Measure == "height" })
	if i < 0 {
		return nil
	}
	return &p.Measures[i]
}

// ByHeight is the mean of a length that was surveyed among those of one height, and
// its standard deviation among them.
func (p *Population) ByHeight(name string, height quantity.Length) (mean, deviation quantity.Length) {
	h, own := p.height(), p.further(name)
	off, spread := p.given(name, []string{"height"}, []float64{float64(height-h.Mean) / float64(h.Deviation)})
	return own.Mean + quantity.Length(off*float64(own.Deviation)), quantity.Length(spread * float64(own.Deviation))
}

// shareOfHeight is how much of the height a length from the waist takes on the figure
// that drawings show.
func (v *Vocabulary) shareOfHeight(name string) (float64, bool) {
	waist, whole := v.measures["waist"].Height, v.Limits.FigureHeight
	if name == "outside_leg" { // from the waist to the floor
		return float64(waist) / float64(whole), true
	}
	for _, n := range v.names {
		if m := v.measures[n]; m.BelowWaist == name {
			return float64(waist-m.Height) / float64(whole), true
		}
	}
	return 0, false
}

// why is the claim of what the height alone tells.
func (h *ByHeight) why() *explain.Node {
	n := &explain.Node{ID: "by-height", Value: explain.Number(h.Height-h.DraftedFor, "cm"), Label: h.Say, Source: "arithmetic"}
	for _, l := range h.Lengths {
		n.Add(&explain.Node{ID: explain.ID("by-height", l.Measurement), Label: l.Say, Value: explain.Number(l.More, "cm"), Source: l.Source})
	}
	return n
}
