package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// LengthAnswer is one length of the garment, and where it ends on you.
type LengthAnswer struct {
	Measurement string   `json:"measurement"`         // the garment's length, as the pattern names it
	Garment     float64  `json:"garment"`             // in the size shown
	Becomes     float64  `json:"becomes"`             // after the alterations
	Place       string   `json:"place"`               // the place of the body that it ends nearest to: "the knee"; empty where your lengths reach none
	Off         float64  `json:"off"`                 // how far below that it ends; below 0 above it
	Estimated   bool     `json:"estimated,omitempty"` // whether your length to that place was estimated from your height
	Drafted     *float64 `json:"drafted,omitempty"`   // how far below the same place the maker drew it, where the drafted body is known
	Wanted      *float64 `json:"wanted,omitempty"`    // the length that you asked for
	Waits       string   `json:"waits,omitempty"`     // what to measure before the length that you asked for can be cut, in words
	Say         string   `json:"say"`                 // the same in words
	Hem         string   `json:"-"`                   // where it ends, of the hem, in few words; empty of other lengths
}

// HemPlace is a place of the body to which a garment's length may reach.
type HemPlace struct {
	Length string          // of the garment
	Words  string          // "the knee"
	Body   []string        // the body's lengths that add up to it, from where the garment's begins
	Above  quantity.Length // how far above their end it lies
}

// WantedLength is how long somebody wants a garment.
type WantedLength struct {
	Length quantity.Length // of the garment, or below the place
	Place  string          // "the knee"; empty: a length of the garment
}

// lengths says of each length that the pattern gives where it ends on you, after
// what is altered.
func (j explainer) lengths(s int) []LengthAnswer {
	var out []LengthAnswer
	for _, name := range j.voc.names {
		made := j.madeAt(name, j.lengthsOf(s))
		if !made.known {
			continue
		}
		becomes := made.v + j.altering.added[name]
		if p, to, ok := j.endsAt(name, becomes); ok {
			out = append(out, j.lengthAnswer(p, made.v, becomes, to, s))
		} else if a := (LengthAnswer{Measurement: name, Garment: answered(made.v), Becomes: answered(becomes)}); j.waits(&a) {
			a.Say = fmt.Sprintf("%s %s: where it ends on you is not known%s", j.voc.Title(name), j.Length(a.Garment), j.waiting(&a))
			out = append(out, a)
		}
	}
	return out
}

// endsAt is the place that a length ends nearest to, and your own length to it.
func (j *judging) endsAt(name string, becomes float64) (best *HemPlace, to figure, ok bool) {
	for i := range j.voc.Hems {
		p := &j.voc.Hems[i]
		if p.Length != name {
			continue
		}
		own := j.toPlace(p, j.estimatedLength)
		if own.known && (best == nil || math.Abs(becomes-own.v) < math.Abs(becomes-to.v)) {
			best, to = p, own
		}
	}
	return best, to, best != nil
}

// toPlace adds up the lengths of a body to a place.
func (j *judging) toPlace(p *HemPlace, length func(name string) figure) figure {
	sum := figure{v: -float64(p.Above), known: true}
	for _, name := range p.Body {
		part := length(name)
		sum.v, sum.known, sum.estimated = sum.v+part.v, sum.known && part.known, sum.estimated || part.estimated
	}
	return sum
}

// estimatedLength is a length of the body as measured; else, where the height is
// known, that of people as tall who were surveyed, or of the figure that drawings show.
func (j *judging) estimatedLength(name string) figure {
	own, _ := j.of(j.voc.Measure(name))
	height, _ := j.of(j.voc.Measure("height"))
	if own.known || !height.known || j.recipe.Draft == "children" {
		return own
	}
	if share, ok := j.voc.shareOfHeight(name); ok {
		return figure{v: share * height.v, known: true, estimated: true}
	}
	if p := j.surveyed(height.v); p != nil && p.further(name) != nil {
		mean, _ := p.ByHeight(name, quantity.Length(height.v))
		return figure{v: float64(mean), known: true, estimated: true}
	}
	return figure{}
}

func (j explainer) lengthAnswer(p *HemPlace, made, becomes float64, to figure, s int) LengthAnswer {
	a := LengthAnswer{Measurement: p.Length, Garment: answered(made), Becomes: answered(becomes), Place: p.Words, Off: answered(becomes - to.v), Estimated: to.estimated}
	drafted := j.toPlace(p, func(name string) figure {
		v, ok := j.draftedAt(j.voc.Measure(name), s)
		return figure{v: v, known: ok}
	})
	if drafted.known {
		off := answered(made - drafted.v)
		a.Drafted = &off
	}
	altered := ""
	if by := becomes - made; by != 0 {
		altered = fmt.Sprintf(", %s once it is altered", j.Length(a.Becomes))
	}
	title := j.voc.Title(p.Length)
	if in := j.lengthsOf(s); in != s {
		title += " of size " + j.sizes[in] + ","
	}
	a.Say = fmt.Sprintf("%s %s%s: it ends %s on you", title, j.Length(a.Garment), altered, j.offPlace(a.Off, p.Words))
	if a.Estimated {
		a.Say += ", estimated from your height: measure your " + j.notTaken(p)
	}
	if a.Drafted != nil {
		a.Say += fmt.Sprintf("; it was drawn to end %s", j.offPlace(*a.Drafted, p.Words))
	}
	a.Say += j.toGrow(p.Length, s)
	if w := j.wantedLength(p.Length); w.known {
		cm := answered(w.v)
		a.Wanted = &cm
		a.Say += fmt.Sprintf("; you asked for %s", j.Length(cm))
	} else if j.waits(&a) {
		a.Say += j.waiting(&a) + ", since no hem is moved by an estimate"
	}
	if j.recipe.HemLength() == p.Length {
		a.Hem = j.hemWords(&a)
	}
	return a
}

// waits tells whether a length that you asked for waits for a measurement, and notes which.
func (j explainer) waits(a *LengthAnswer) bool {
	asked := j.Body.Wanted[a.Measurement]
	at := j.voc.hemPlace(a.Measurement, asked.Place)
	if at == nil || j.wantedLength(a.Measurement).known {
		return false
	}
	a.Waits = j.notTaken(at)
	return true
}

// waiting says for which measurement a length waits.
func (j explainer) waiting(a *LengthAnswer) string {
	asked := j.Body.Wanted[a.Measurement]
	return fmt.Sprintf("; you asked for it %s: measure your %s", j.offPlace(answered(float64(asked.Length)), asked.Place), a.Waits)
}

// hemWords says in few words where the hem ends.
func (j explainer) hemWords(a *LengthAnswer) string {
	s := "Ends " + j.offPlace(a.Off, a.Place)
	switch {
	case a.Estimated:
		s += ", estimated from your height"
	case a.Wanted != nil && *a.Wanted == a.Becomes:
		s += ", as you asked"
	case a.Drafted != nil && *a.Drafted == a.Off:
		s += ", as the maker drew it"
	case a.Drafted != nil:
		s += ", where the maker drew it " + j.offPlace(*a.Drafted, a.Place)
	}
	return s + "."
}

// HemLength is the length of the garment that ends at its hem; empty: it has none.
func (r *Recipe) HemLength() string {
	has := func(part string) bool { return slices.Contains(r.Parts, part) }
	switch {
	case has("legs"):
		return "inside_leg"
	case has("bodice"):
		return "garment_length"
	case has("skirt"):
		return "skirt_length"
	}
	return ""
}

// offPlace is how far below or above a place something ends, in words.
func (j explainer) offPlace(cm float64, place string) string {
	switch {
	case cm > 0:
		return fmt.Sprintf("%s below %s", j.Length(cm), place)
	case cm < 0:
		return fmt.Sprintf("%s above %s", j.Length(-cm), place)
	}
	return "at " + place
}

// notTaken names the lengths to a place that were not measured.
func (j *judging) notTaken(p *HemPlace) string {
	var names []string
	for _, name := range p.Body {
		if own, _ := j.of(j.voc.Measure(name)); !own.known {
			names = append(names, j.voc.Title(name))
		}
	}
	return list(names, "and")
}

// wantedLength is the garment's length that you asked for; unknown where you asked for
// none, or for a place that your measurements do not reach.
func (j *judging) wantedLength(name string) figure {
	w, ok := j.Body.Wanted[name]
	if !ok {
		return figure{}
	}
	if w.Place == "" {
		return figure{v: float64(w.Length), known: true}
	}
	at := j.voc.hemPlace(name, w.Place)
	if at == nil {
		return figure{}
	}
	to := j.toPlace(at, func(name string) figure { own, _ := j.of(j.voc.Measure(name)); return own })
	to.v += float64(w.Length)
	return to
}

// askedBeyond is how much longer one of these lengths of the garment has still to
// become for the one that you asked for.
func (j *judging) askedBeyond(s int, names ...string) (float64, bool) {
	for _, name := range names {
		want, made := j.wantedLength(name), j.madeAt(name, j.lengthsOf(s))
		if want.known && made.known {
			return want.v - made.v - j.altering.added[name], true
		}
	}
	return 0, false
}

// hemPlace finds a place by its words, nil where a length does not reach such a one.
func (v *Vocabulary) hemPlace(length, words string) *HemPlace {
	i := slices.IndexFunc(v.Hems, func(p HemPlace) bool { return p.Length == length && p.Words == words })
	if i < 0 {
		return nil
	}
	return &v.Hems[i]
}

// HemLengths are the lengths of a garment that may be asked for, as the table has them.
func (v *Vocabulary) HemLengths() []string {
	var out []string
	for _, p := range v.Hems {
		if !slices.Contains(out, p.Length) {
			out = append(out, p.Length)
		}
	}
	return out
}

// Places lists the places to which a garment's length may be asked for.
func (v *Vocabulary) Places(length string) []string {
	var out []string
	for _, p := range v.Hems {
		if p.Length == length {
			out = append(out, strings.TrimPrefix(p.Words, "the "))
		}
	}
	return out
}

// why is the claim of where a length ends.
func (a *LengthAnswer) why() *explain.Node {
	return &explain.Node{ID: explain.ID("length", a.Measurement), Label: a.Say, Value: explain.Number(a.Becomes, "cm"), Source: "arithmetic: the garment's length less yours to that place"}
}

// makersLines says of an alteration of a length where the maker drew the lines for it, if the pattern says.
func (j explainer) makersLines(m *altered) {
	alter, a := m.rule.Alter, &m.answer
	for _, part := range alter.Parts {
		at := j.pattern.LengthenAt[part]
		if len(at) == 0 || !slices.Contains(j.recipe.Parts, part) || !alter.lengthens() && alter.Step != "hem" {
			continue
		}
		lines := "At the line that the maker drew " + at[0]
		if n := len(at); n > 1 {
			lines = "At the lines that the maker drew " + list(at, "and")
			if m.amount.known {
				lines += fmt.Sprintf(", %s at each", j.inUnits(math.Abs(m.amount.v)/float64(n)))
			}
		}
		if alter.Step == "hem" {
			a.Where = lines + ", where the hem's width is to stay; else at the hem."
			return
		}
		a.Where = lines + ", square to the grain, on all pieces that it crosses."
		return
	}
}
