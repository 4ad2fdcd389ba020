package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/explain"
)

// LikedAnswer is what one kept garment tells of one zone, or why it tells nothing.
type LikedAnswer struct {
	Garment  string   `json:"garment"`            // its name
	Zone     string   `json:"zone,omitempty"`     // the zone's name; absent where no zone of this type was measured on it
	Finished *float64 `json:"finished,omitempty"` // what it measures there, right round
	Body     *float64 `json:"body,omitempty"`     // the body it was worn over
	Ease     *float64 `json:"ease,omitempty"`     // finished less body
	Unit     string   `json:"unit,omitempty"`     // "percent" where the ease is a share of the body
	Feels    Feeling  `json:"feels,omitempty"`    // tight, right or roomy; absent where not said
	Counts   bool     `json:"counts"`             // whether it has a say in what is wanted
	Because  string   `json:"because"`            // what follows from it, in words
}

// liking is what kept garments tell of one zone.
type liking struct {
	kept         []keptEase // every garment that has a word on it
	mean         figure     // the ease of those that feel right, in the zone's unit
	above, below figure     // what is wanted lies above what feels tight, below what feels roomy
}

// tells tells whether anything follows from the garments.
func (l *liking) tells() bool { return l.mean.known || l.above.known || l.below.known }

// keptEase is one kept garment at one zone.
type keptEase struct {
	garment *KeptGarment
	made    Made
	row     string // the word it was measured under
	body    past
	ease    figure // a share of the body where percent is set
	percent bool
	felt    Felt
	why     string // it does not count; empty: it does
}

// readKept gathers what the kept garments tell, zone by zone. Their order changes
// nothing, and one that is named twice counts once.
func (j *judging) readKept() {
	if len(j.Kept) == 0 {
		return
	}
	kept := slices.Clone(j.Kept)
	slices.SortStableFunc(kept, func(a, b *KeptGarment) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Start.Line, b.At.Start.Line), cmp.Compare(a.At.Start.Column, b.At.Start.Column))
	})
	kept = slices.CompactFunc(kept, func(a, b *KeptGarment) bool { return a.Name == b.Name && a.At == b.At })
	j.kept, j.liking = kept, make([]liking, len(j.zones))
	for z, c := range j.zones {
		if !c.zone.eased() {
			continue
		}
		l := &j.liking[z]
		for _, g := range kept {
			if k, ok := j.keptAt(g, c); ok {
				l.kept = append(l.kept, k)
			}
		}
		j.settle(l, c)
	}
}

// tells tells whether kept garments say anything about what is wanted at a zone.
func (j *judging) tells(z int) bool { return j.liking != nil && j.liking[z].tells() }

// byShare tells whether liked ease is a share of the body at a zone: where the
// zone speaks in percent, and in every knit, since it stretches by the body.
func (j *judging) byShare(c *column) bool { return c.zone.percent() || j.cloth.structure == Knit }

// wearer is who wore the kept garments.
func (j *judging) wearer() *Body {
	if j.Wearer != nil {
		return j.Wearer
	}
	return j.Body
}

// keptAt is one garment at one zone; false where it has no word on it.
func (j *judging) keptAt(g *KeptGarment, c *column) (keptEase, bool) {
	k := keptEase{garment: g, percent: j.byShare(c)}
	var measured, rated, known bool
	k.made, k.row, measured = g.made(c.measure)
	k.felt, rated = g.felt(c.measure)
	if !measured && !rated {
		return k, false
	}
	if measured {
		if k.body, known = j.voc.then(j.wearer(), &g.Worn, c.measure); known {
			k.ease = figure{v: easeOf(float64(k.made.Length), float64(k.body.taking.value()), k.percent), known: true}
		}
	}
	k.why = j.discounted(&k, c, measured, rated, known)
	return k, true
}

// discounted says why a garment does not count at a zone; empty where it does.
func (j *judging) discounted(k *keptEase, c *column, measured, rated, known bool) string {
	g := k.garment
	switch {
	case !measured:
		return "it was not measured there"
	case !known && !g.Worn.by(j.wearer()):
		return fmt.Sprintf("it was worn by %s, whose %s is not given", g.Worn.Name, c.measure.Title)
	case !known:
		return fmt.Sprintf("the %s it was worn over is not known", c.measure.Title)
	case !rated:
		return "how it feels there is not said"
	case !j.explainer().likeType(g):
		return fmt.Sprintf("%s says little about %s", An(g.title()), An(j.recipe.Title))
	case !likeHeights(g, c):
		return "it was measured at another height below the waist"
	}
	return j.explainer().unlikeCloth(g.Cloth)
}

func (j explainer) likeType(g *KeptGarment) bool {
	if g.Type == nil {
		return g.Recipe == j.recipe.Name
	}
	return g.Type.IsAlike(j.recipe)
}

// likeHeights tells whether a zone lies as far below the natural waist in the
// garment's type as in this one, as far as both say.
func likeHeights(g *KeptGarment, c *column) bool {
	if g.Type == nil || c.zone.Below == nil {
		return true
	}
	for i := range g.Type.Zones {
		if z := &g.Type.Zones[i]; z.Measure == c.zone.Measure && z.Below != nil && z.Laps == "" {
			return *z.Below == *c.zone.Below
		}
	}
	return true
}

// unlikeCloth says why a garment's cloth says little about this one: it is made
// otherwise, or stretches much more or less round the body. Where no cloth is
// named, the recipe's stretch is only the least.
func (j explainer) unlikeCloth(c *Cloth) string {
	structures := map[Structure]string{Woven: "a woven", Knit: "a knit"}
	if c.Structure != j.cloth.structure {
		return fmt.Sprintf("%s says little about %s", structures[c.Structure], structures[j.cloth.structure])
	}
	round, _ := c.stretch()
	switch apart := round.v - j.cloth.round.v; {
	case !round.known || !j.cloth.round.known:
		return "how far the two cloths stretch round the body is not given for both"
	case apart > 0 && !j.cloth.given, ticks(math.Abs(apart), true) <= ticks(j.voc.Limits.LikeStretch, true):
		return ""
	}
	return fmt.Sprintf("its cloth stretches %s, this one %s", j.Percent(round.v), j.Percent(j.cloth.round.v))
}

// settle draws together what the garments that count tell of a zone: the mean of
// those that feel right, and the bounds of the others. Bounds that contradict
// each other are none.
func (j *judging) settle(l *liking, c *column) {
	own := j.own(c)
	if !own.known {
		return
	}
	var sum float64
	var n int
	for i := range l.kept {
		k := &l.kept[i]
		if k.why != "" {
			continue
		}
		switch ease := k.ease.v; k.felt.Feel {
		case Right:
			sum, n = sum+ease, n+1
		case Tight:
			if !l.above.known || ease > l.above.v {
				l.above = figure{v: ease, known: true}
			}
		case Roomy:
			if !l.below.known || ease < l.below.v {
				l.below = figure{v: ease, known: true}
			}
		}
	}
	if n > 0 {
		l.mean = figure{v: sum / float64(n), known: true}
	}
	if l.above.known && l.below.known && l.above.v > l.below.v {
		l.above, l.below = figure{}, figure{}
	}
	for _, f := range []*figure{&l.mean, &l.above, &l.below} {
		if f.v = convert(f.v, j.byShare(c), c.zone.percent(), own.v); !c.zone.percent() {
			f.v = math.Round(f.v)
		}
	}
}

// likedOr is the liked ease at a zone, else the drawn one, held above what feels
// tight and below what feels roomy.
func (j *judging) likedOr(z, s int) (float64, bool) {
	drawn, ok := j.drawnOr(z, s, WishDrawn)
	if j.liking == nil {
		return drawn, ok
	}
	l := &j.liking[z]
	if l.mean.known {
		drawn, ok = l.mean.v, true
	}
	if l.above.known {
		drawn = max(drawn, l.above.v)
	}
	if l.below.known {
		drawn = min(drawn, l.below.v)
	}
	return drawn, ok
}

// counting lists the garments that count at a zone and feel so.
func (l *liking) counting(f Feeling) []string {
	var names []string
	for i := range l.kept {
		if k := &l.kept[i]; k.why == "" && k.felt.Feel == f {
			names = append(names, k.garment.Name)
		}
	}
	return names
}

// likedWords says what the wish for what is liked comes to at a zone.
func (j explainer) likedWords(z int) string {
	if !j.tells(z) {
		return "as drawn, since no garment you like tells"
	}
	l := &j.liking[z]
	var parts []string
	if l.mean.known {
		parts = append(parts, "as you like it in "+list(l.counting(Right), "and"))
	} else {
		parts = append(parts, "as drawn")
	}
	if l.above.known {
		parts = append(parts, "no closer than "+list(l.counting(Tight), "and")+", which you find tight")
	}
	if l.below.known {
		parts = append(parts, "no roomier than "+list(l.counting(Roomy), "and")+", which you find roomy")
	}
	return strings.Join(parts, ", ")
}

// restsOn follows the ease that is wanted where garments that are liked say it.
func (j explainer) restsOn(c *column) string {
	z := slices.Index(j.zones, c)
	if j.wishes[z].Word != Liked || !j.tells(z) {
		return ""
	}
	return ", " + j.likedWords(z)
}

// answerLiked adds what is liked to a zone of the answer.
func (j explainer) answerLiked(a *ZoneAnswer, z int, ease func(float64) *float64) {
	if j.liking == nil {
		return
	}
	l := &j.liking[z]
	for _, f := range []struct {
		from figure
		to   **float64
	}{{l.mean, &a.Liked}, {l.above, &a.Above}, {l.below, &a.Below}} {
		if f.from.known {
			*f.to = ease(f.from.v)
		}
	}
}

// likedAnswers lists what each kept garment tells, zone by zone, and those that
// were measured at no level of this type.
func (j explainer) likedAnswers() []LikedAnswer {
	var out []LikedAnswer
	spoke := map[*KeptGarment]bool{}
	for z := range j.liking {
		for i := range j.liking[z].kept {
			k := &j.liking[z].kept[i]
			spoke[k.garment] = true
			out = append(out, j.likedAnswer(z, k))
		}
	}
	for _, g := range j.kept {
		if !spoke[g] {
			out = append(out, LikedAnswer{Garment: g.Name, Because: fmt.Sprintf("it was measured at no level that %s is judged at", An(j.recipe.Title))})
		}
	}
	return out
}

func (j explainer) likedAnswer(z int, k *keptEase) LikedAnswer {
	cm := func(nm float64) *float64 { v := roundTo(nm/nanometresPerCm, 1000); return &v }
	a := LikedAnswer{Garment: k.garment.Name, Zone: j.zones[z].zone.Name, Feels: k.felt.Feel, Counts: k.why == "", Because: k.why}
	if k.made.Length > 0 {
		a.Finished = cm(float64(k.made.Length))
	}
	if k.ease.known {
		a.Body, a.Ease = cm(float64(k.body.taking.value())), cm(k.ease.v)
	}
	if k.percent && k.ease.known {
		v := roundTo(k.ease.v, 100)
		a.Ease, a.Unit = &v, "percent"
	}
	if a.Counts {
		a.Because = map[Feeling]string{Right: "you like this ease", Tight: "you want more than this", Roomy: "you want less than this"}[k.felt.Feel]
	}
	return a
}

// likedAssumptions lists what was taken for granted about the bodies that the
// counting garments were worn over, and where the wish had nothing to rest on.
func (j explainer) likedAssumptions(s int) []Assumption {
	var out []Assumption
	for z := range j.liking {
		for i := range j.liking[z].kept {
			if k := &j.liking[z].kept[i]; k.why == "" && k.body.assumed != "" {
				out = append(out, Assumption{fmt.Sprintf("%s was worn over %s of %s", k.garment.Name, An(k.body.measure.Title), j.inUnits(float64(k.body.taking.value()))), k.body.assumed})
			}
		}
	}
	for z, w := range j.wishes {
		if w.Word == Liked && !j.tells(z) && j.fitted(z, s).judged && j.zones[z].zone.eased() {
			out = append(out, Assumption{fmt.Sprintf("the ease wanted at the %s is as drawn", zoneTitle(j.zones[z].zone)), "no garment you named tells what you like there"})
		}
	}
	return out
}

// explainLiked leads the liked ease back to the garments, the bodies they were
// worn over and how they feel.
func (j explainer) explainLiked(id string, z int) *explain.Node {
	if j.liking == nil || len(j.liking[z].kept) == 0 {
		return nil
	}
	l, percent := &j.liking[z], j.zones[z].zone.percent()
	n := &explain.Node{ID: id, Source: "method: liked ease", Label: "liked: no garment you named tells"}
	if l.mean.known {
		n.Value = valueOf(l.mean.v, percent)
		n.Label = fmt.Sprintf("liked: %s, the mean of %s", j.ease(l.mean.v, percent), list(l.counting(Right), "and"))
		if j.byShare(j.zones[z]) && !percent {
			n.Label += fmt.Sprintf(", as a share of your %s", j.inUnits(j.own(j.zones[z]).v))
		}
	} else if l.tells() {
		n.Label = "liked: not known, only"
	}
	if l.above.known {
		n.Label += fmt.Sprintf(", more than %s, where %s feels tight", j.ease(l.above.v, percent), list(l.counting(Tight), "and"))
	}
	if l.below.known {
		n.Label += fmt.Sprintf(", less than %s, where %s feels roomy", j.ease(l.below.v, percent), list(l.counting(Roomy), "and"))
	}
	n.Label = strings.Replace(n.Label, "only, ", "only ", 1)
	for i := range l.kept {
		n.Add(j.explainKept(fmt.Sprintf("%s/%d", id, i+1), &l.kept[i]))
	}
	return n
}

func (j explainer) explainKept(id string, k *keptEase) *explain.Node {
	n := &explain.Node{ID: id, Source: k.made.At.String()}
	row := j.voc.Title(k.row)
	switch {
	case k.made.Length == 0:
		n.Label, n.Source = k.garment.Name, k.garment.At.String()
	case !k.ease.known:
		n.Label = fmt.Sprintf("%s: %s %s", k.garment.Name, row, j.inUnits(float64(k.made.Length)))
	default:
		n.Value = valueOf(k.ease.v, k.percent)
		made, body := float64(k.made.Length), float64(k.body.taking.value())
		n.Label = fmt.Sprintf("%s: %s %s - body %s = %s of ease", k.garment.Name, row, j.inUnits(made), j.inUnits(body), j.inUnits(made-body))
		if k.percent {
			n.Label = fmt.Sprintf("%s: (%s %s - body %s) / %s = %s of ease", k.garment.Name, row, j.inUnits(made), j.inUnits(body), j.inUnits(body), j.Percent(k.ease.v))
		}
	}
	if k.made.Flat {
		n.Label += fmt.Sprintf(" (%s flat, doubled)", j.inUnits(float64(k.made.Length)/2))
	}
	if k.why != "" {
		n.Label += "; it does not count: " + k.why
	}
	if k.garment.Measured != "" {
		n.Source += ", measured " + k.garment.Measured
	}
	if k.body.measure != nil {
		t := &explain.Node{ID: id + "/body", Value: cmValue(float64(k.body.taking.value())), Source: k.body.taking.At.String(),
			Label: fmt.Sprintf("the %s it was worn over: %s", k.body.measure.Title, j.inUnits(float64(k.body.taking.value())))}
		if k.body.taken != "" {
			t.Source += ", taken " + k.body.taken
		}
		if k.body.assumed != "" {
			t.Label += "; " + k.body.assumed
		}
		n.Add(t)
	}
	if k.felt.Feel != "" {
		n.Add(&explain.Node{ID: id + "/feel", Value: explain.Text(string(k.felt.Feel)), Label: "you say that it feels " + string(k.felt.Feel) + " there", Source: k.felt.At.String()})
	}
	return n
}
