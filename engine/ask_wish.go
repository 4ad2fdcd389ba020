package engine

import (
	"cmp"
	"fmt"
	"strings"

	"fitadvisor/engine/quantity"
)

// WishWords are the words a wish may use, with what each wants.
var WishWords = []struct {
	Word  WishWord
	Wants string
}{
	{WishDrawn, "the ease the maker drew"},
	{WishCloser, "half-way from drawn to the close end of the expected range, never below wearing ease"},
	{WishRoomier, "half-way from drawn to the roomy end of the expected range"},
	{WishExpected, "the middle of the expected range"},
	{Liked, "the ease of the garments you like"},
}

// Liked is the word of the wish that rests on kept garments.
const Liked WishWord = "liked"

// ParseWish reads a wish: "closer", "hip=6cm", "hip=drawn+2cm", "waist=-5%".
// Bare numbers are in the given unit. What nobody can want is refused.
func (l *Limits) ParseWish(text string, bare quantity.Unit) (Wish, error) {
	w := Wish{Text: strings.TrimSpace(text)}
	wanted := w.Text
	if zone, rest, ok := strings.Cut(wanted, "="); ok {
		w.Zone, wanted = strings.TrimSpace(zone), strings.TrimSpace(rest)
	}
	for _, known := range WishWords {
		if rest, ok := strings.CutPrefix(wanted, string(known.Word)); ok {
			w.Word, wanted = known.Word, strings.TrimSpace(rest)
			break
		}
	}
	if wanted == "" && w.Word != "" {
		return w, nil
	}
	if w.Word != "" && !strings.HasPrefix(wanted, "+") && !strings.HasPrefix(wanted, "-") || w.Zone == "" {
		return w, fmt.Errorf("cannot read the wish %q: write one of %s, or an ease for one zone such as hip=6cm or hip=drawn+2cm", text, wishWords())
	}
	if err := w.figure(strings.TrimSpace(strings.TrimPrefix(wanted, "+")), bare); err != nil {
		return w, fmt.Errorf("cannot read the wish %q: %w", text, err)
	}
	switch least, most := float64(l.LeastEase), float64(l.MostEase); {
	case w.Percent && (w.Figure <= -100 || w.Figure > l.MostStretch):
		return w, fmt.Errorf("cannot take the wish %q: an ease in percent is above -100 %%, and at most %s", text, quantity.FormatPercent(l.MostStretch))
	case !w.Percent && (w.Figure < least || w.Figure > most):
		return w, fmt.Errorf("cannot take the wish %q: an ease is between %s and %s", text, l.LeastEase.Exact(cmp.Or(bare, quantity.Cm)), l.MostEase.Exact(cmp.Or(bare, quantity.Cm)))
	}
	return w, nil
}

// ParseLayer reads what is worn beneath: NAME, or NAME=THICKNESS. Bare numbers
// are in the given unit. What no layer is, is refused.
func (l *Limits) ParseLayer(text string, bare quantity.Unit) (Layer, error) {
	name, thickness, given := strings.Cut(text, "=")
	layer := Layer{Name: strings.TrimSpace(name)}
	if !given {
		return layer, nil
	}
	t, err := quantity.ParseLength(strings.TrimSpace(thickness), bare)
	switch {
	case err != nil:
		return layer, fmt.Errorf("cannot read the thickness of %q: %w", text, err)
	case t < 0 || t > l.MostLayer:
		return layer, fmt.Errorf("cannot take %q: a layer is between 0 and %s thick", text, l.MostLayer.Exact(cmp.Or(bare, quantity.Cm)))
	}
	layer.Thickness = &t
	return layer, nil
}

func (w *Wish) figure(text string, bare quantity.Unit) (err error) {
	if quantity.IsPercent(text) {
		w.Percent = true
		w.Figure, err = quantity.ParsePercent(text)
		return err
	}
	l, err := quantity.ParseLength(text, bare)
	w.Figure = float64(l)
	return err
}

func wishWords() string {
	var ws []string
	for _, w := range WishWords {
		ws = append(ws, string(w.Word))
	}
	return list(ws, "or")
}

// WishError says that a wish names a zone the recipe does not look at.
type WishError struct {
	Wish, Recipe string
	Zones        []string
}

func (e *WishError) Error() string {
	return fmt.Sprintf("the wish %q names a zone that %s does not have; its zones are %s", e.Wish, An(e.Recipe), list(e.Zones, "and"))
}

// LikedError says that the wish for what is liked has nothing to rest on.
type LikedError struct{ Wish string }

func (e *LikedError) Error() string {
	return fmt.Sprintf("the wish %q rests on garments that you like, and none is named", e.Wish)
}

// Hint says how to name one.
func (e *LikedError) Hint() string {
	return "name a garment that you have measured, as in --like my-skirt.yaml; `advisor schema garment` shows how to write one down"
}

// OverlapError is a wish that asks for ease where a wrap laps over, which has none.
type OverlapError struct{ Wish, Zone string }

func (e *OverlapError) Error() string {
	return fmt.Sprintf("the wish %q is about ease, and the %s is an overlap, which has none", e.Wish, e.Zone)
}

// Hint says how an overlap is wished for.
func (e *OverlapError) Hint() string {
	return fmt.Sprintf("say how much is to lap over, as in %s=25cm or %[1]s=drawn+3cm", e.Zone)
}

// wishFor settles which wish holds for each zone: the last one for the zone,
// else the last bare one, else what garments that are named tell, else as drawn.
func (j *judging) wishFor(wishes []Wish) ([]Wish, error) {
	f := j.Fitter
	out := make([]Wish, len(f.zones))
	for i, c := range f.zones {
		out[i] = Wish{Word: WishDrawn}
		if j.tells(i) {
			out[i] = unasked
		}
		for _, w := range wishes {
			if w.Zone == c.zone.Name || w.Zone == "" && out[i].Zone == "" {
				out[i] = w
			}
		}
	}
	for _, w := range wishes {
		if w.Word == Liked && len(j.Kept) == 0 {
			return nil, &LikedError{w.Text}
		}
		if w.Zone == "" {
			continue
		}
		switch c := f.zoneNamed(w.Zone); {
		case c == nil:
			return nil, &WishError{Wish: w.Text, Recipe: f.recipe.Title, Zones: f.zoneNames()}
		case c.zone.Laps != "" && w.Word != "" && w.Word != WishDrawn:
			return nil, &OverlapError{w.Text, w.Zone}
		}
	}
	return out, nil
}

// wished tells whether a wish names a zone.
func (j *judging) wished(z int) bool { return j.wishes[z].Zone != "" }

// exact tells whether a wish names a figure for a zone, which is then met exactly.
func (w *Wish) exact() bool { return w.Zone != "" && (w.Word == "" || w.Figure != 0) }

// goesWith is the zone with a wish that another zone goes with, -1 where there is
// none: nothing is graded between the two, and only therefore the other counts too.
func (j *judging) goesWith(z int) int {
	c := j.zones[z]
	if c.zone.Role != Mended || !c.decides || j.wished(z) {
		return -1
	}
	for lead, other := range j.zones {
		if other.zone.Role == Decides && other.lined() && j.wished(lead) {
			return lead
		}
	}
	return -1
}

// hasSay tells whether a zone has a say in the size: one that is mended has none
// against a wish, nor has a height that picks the lengths.
func (j *judging) hasSay(z int) bool {
	c := j.zones[z]
	return c.decides && j.goesWith(z) < 0 && !j.givesLengths(c)
}

func (f *Fitter) zoneNamed(name string) *column {
	for _, c := range f.zones {
		if c.zone.Name == name {
			return c
		}
	}
	return nil
}

func (f *Fitter) zoneNames() []string {
	names := make([]string, len(f.zones))
	for i, c := range f.zones {
		names[i] = c.zone.Name
	}
	return names
}

// unasked is the wish where garments are named and nothing is wished for.
var unasked = Wish{Word: Liked, Text: string(Liked) + ", since you named garments and no other wish"}

// wishText is the wish in the answer: what was asked for, "liked" for the zones
// where garments speak unasked, else "drawn".
func (j explainer) wishText() string {
	var texts []string
	for _, w := range j.Wishes {
		texts = append(texts, w.Text)
	}
	for z, w := range j.wishes {
		if w == unasked {
			texts = append(texts, j.zones[z].zone.Name+"="+string(Liked))
		}
	}
	if len(texts) == 0 {
		return "drawn"
	}
	return strings.Join(texts, ", ")
}
