package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Learned is what a person's own makes say. Nothing is learned from what was made for somebody else.
type Learned struct {
	Ease    []LearnedEase    `json:"ease"`            // the ease this person has come to want in this type and such cloth, zone by zone
	Usual   []Repeated       `json:"usual"`           // alterations that were made again and again
	Changed []RepeatedChange `json:"changed"`         // zones that had to be changed after cutting again and again
	Drifts  []Drift          `json:"drifts"`          // finished measurements of a maker that the made garments do not have
	Again   []Again          `json:"again,omitempty"` // what was changed after cutting in the newest garment of this type, zone by zone
	Why     *explain.Node    `json:"-"`               // all of it, down to the makes
}

// LearnedEase is the ease wanted at a zone as far as the makes tell: of ten wishes nine lie no further from the mean than the spread.
type LearnedEase struct {
	Zone   string   `json:"zone"`           // the zone's name
	Unit   string   `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Mean   float64  `json:"mean"`           // the ease wanted: half-way between the ends that nine wishes in ten lie between
	Spread float64  `json:"spread"`         // how far these ends lie from it
	Before float64  `json:"before"`         // the same before anything was made: the middle of the expected range
	Wide   float64  `json:"wide"`           // and how far the ends lie from that
	Felt   string   `json:"felt"`           // how those it rests on felt, in words
	Makes  []string `json:"makes"`          // their names
}

// Repeated is an alteration that was made again and again.
type Repeated struct {
	ID      string   `json:"id"`               // the alteration's
	Amount  *float64 `json:"amount,omitempty"` // the mean, in cm; absent where none was said
	Because string   `json:"because"`          // the record it rests on, in words
	Makes   []string `json:"makes"`            // the garments it rests on
}

// RepeatedChange is a zone that was changed after cutting on several patterns of a maker.
type RepeatedChange struct {
	Zone    string   `json:"zone"`    // the zone's name
	Maker   string   `json:"maker"`   // whose patterns they are
	Because string   `json:"because"` // what was done, in words
	Makes   []string `json:"makes"`   // the garments it rests on
}

// Drift is how far made garments measure from what the maker says, on the average.
type Drift struct {
	Zone    string   `json:"zone"`    // the zone's name
	Maker   string   `json:"maker"`   // whose patterns they are
	Mean    float64  `json:"mean"`    // measured less said, in cm
	Because string   `json:"because"` // in words
	Makes   []string `json:"makes"`   // the garments it rests on
}

// Lesson is what is to be learned, and for whom.
type Lesson struct {
	Body       string
	Maker      string  // whose patterns the habits are about
	Everyone   bool    // about those of every maker
	Recipe     *Recipe // what the ease is learned of
	Cloth      *Cloth  // nil: such as the recipe asks for
	Vocabulary *Vocabulary
	Units      quantity.Unit
}

// learning is a lesson in work.
type learning struct {
	Lesson
	words
	makes []*Make // this person's, the oldest first
}

// Learn says all that makes teach of one garment. Their order changes nothing.
func Learn(makes []*Make, q Lesson) *Learned {
	l, out := begin(makes, q)
	l.eases(out)
	l.habits(out)
	l.again(out)
	return out
}

// LearnEase says what makes teach of the ease wanted in a garment type and a cloth.
func LearnEase(makes []*Make, q Lesson) *Learned {
	l, out := begin(makes, q)
	l.eases(out)
	return out
}

// LearnHabits says what makes teach of patterns and their makers.
func LearnHabits(makes []*Make, q Lesson) *Learned {
	l, out := begin(makes, q)
	l.habits(out)
	return out
}

// Before lists the alterations that were made again and again, as a [Request] takes them.
func (l *Learned) Before() []Usual {
	var all []Usual
	for _, r := range l.Usual {
		u := Usual{ID: r.ID, Because: strings.ToUpper(r.Because[:1]) + r.Because[1:] + "."}
		if r.Amount != nil {
			amount := quantity.FromCm(*r.Amount)
			u.Amount = &amount
		}
		all = append(all, u)
	}
	return all
}

func begin(makes []*Make, q Lesson) (*learning, *Learned) {
	l := &learning{q, words{q.Units}, slices.DeleteFunc(slices.Clone(makes), func(m *Make) bool { return !m.isFor(q.Body) })}
	slices.SortStableFunc(l.makes, func(a, b *Make) int {
		return cmp.Or(cmp.Compare(a.Made, b.Made), cmp.Compare(a.Name, b.Name), cmp.Compare(a.At.String(), b.At.String()))
	})
	out := &Learned{Ease: []LearnedEase{}, Usual: []Repeated{}, Changed: []RepeatedChange{}, Drifts: []Drift{}}
	out.Why = &explain.Node{ID: "learned", Source: "method: learning", Label: fmt.Sprintf("what was learned from %s for %s", CountOf(len(l.makes), "garment"), q.Body)}
	return l, out
}

func (l *learning) eases(out *Learned) {
	for i := range l.Recipe.Zones {
		l.ease(&l.Recipe.Zones[i], out)
	}
}

func (l *learning) habits(out *Learned) {
	for _, maker := range l.makers() {
		if l.Everyone || strings.EqualFold(l.Maker, maker) {
			l.ofMaker(maker, out)
		}
	}
	l.everywhere(out)
}

// CountOf is a number of things in words: 1 garment, 2 garments.
func CountOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// ClothClass sorts cloths by how ease is felt in them, in words; without a cloth it is such as the type asks for.
func ClothClass(c *Cloth, r *Recipe, v *Vocabulary) string {
	structure, stretch := Woven, 0.0
	switch {
	case c != nil:
		structure, stretch = c.Structure, optional(c.Across).v
	case r.Stretch.Kind == StretchNeeded:
		structure = Knit
	default:
		stretch = r.Stretch.Least
	}
	if structure == Woven && stretch >= v.Limits.LeastStretch {
		return "a woven that stretches"
	}
	return "a " + string(structure)
}

// ease learns the ease wanted at a zone from the makes of this type in such cloth that were rated there.
func (l *learning) ease(z *Zone, out *Learned) {
	if z.Ease == nil || !z.eased() {
		return
	}
	class := ClothClass(l.Cloth, l.Recipe, l.Vocabulary)
	rated, names := []rating(nil), []string(nil)
	n := &explain.Node{ID: explain.ID("learned", z.Name), Source: "method: learning"}
	for _, m := range l.makes {
		felt, ok := m.Outcome.Feels[z.Name]
		if !ok || m.Recipe != l.Recipe.Name {
			continue
		}
		ease, percent, gap := m.EaseAt(z.Name)
		switch other := ClothClass(m.Cloth, l.Recipe, l.Vocabulary); {
		case gap == "" && percent != z.percent():
			gap = "its ease is not written as this type has it"
		case gap == "" && other != class:
			gap = fmt.Sprintf("it is made in %s, this one in %s", other, class)
		}
		claim := &explain.Node{ID: explain.ID("learned", z.Name, m.Name), Source: felt.At.String()}
		n.Add(claim)
		if gap != "" {
			claim.Label = fmt.Sprintf("%s felt %s, which does not count: %s", m.called(), felt.Feel, gap)
			continue
		}
		claim.Value = valueOf(ease, percent)
		claim.Label = fmt.Sprintf("%s, with %s of ease, felt %s%s", m.called(), l.words.ease(ease, percent), felt.Feel, boundWords[felt.Feel])
		rated = append(rated, rating{ease, felt.Feel})
		names = append(names, m.Name)
	}
	if len(names) == 0 {
		return
	}
	before, after := l.wishes(z, nil), l.wishes(z, rated)
	n.Value = valueOf(after.middle(), z.percent())
	n.Label = fmt.Sprintf("ease wanted at the %s of %s in %s: %s give or take %s, from %s; without them %s give or take %s, from the range that the type expects",
		zoneTitle(z), An(l.Recipe.Title), class, l.words.ease(after.middle(), z.percent()), l.words.ease(after.give(), z.percent()), CountOf(len(names), "garment"),
		l.words.ease(before.middle(), z.percent()), l.words.ease(before.give(), z.percent()))
	n.Add(&explain.Node{ID: explain.ID("learned", z.Name, "expected"), Source: z.EaseAt.String(), Label: "the range that the type expects: " + l.span(z.Ease)})
	out.Why.Add(n)
	learned := LearnedEase{Zone: z.Name, Mean: l.figure(after.middle(), z), Spread: l.figure(after.give(), z), Before: l.figure(before.middle(), z), Wide: l.figure(before.give(), z), Felt: felt(rated), Makes: names}
	if z.percent() {
		learned.Unit = "percent"
	}
	out.Ease = append(out.Ease, learned)
}

var boundWords = map[Feeling]string{Tight: ": what is wanted lies above", Roomy: ": what is wanted lies below"}

func (l *learning) figure(v float64, z *Zone) float64 {
	if z.percent() {
		return roundTo(v, 100)
	}
	return roundTo(v/nanometresPerCm, 1000)
}

// wishes are what ratings tell of the ease wanted at a zone.
func (l *learning) wishes(z *Zone, rated []rating) wishes {
	f := &Fitter{voc: l.Vocabulary}
	low, high := f.ends(z)
	middle, half := (low+high)/2, max((high-low)/2, f.leastTolerance(z))
	scaled := make([]rating, len(rated))
	for i, r := range rated {
		scaled[i] = rating{(r.ease - middle) / half, r.feel}
	}
	w := l.Vocabulary.Limits.wishes(scaled)
	return wishes{middle + w.low*half, middle + w.high*half}
}

// felt counts the garments by how they felt, in words.
func felt(rated []rating) string {
	var parts []string
	for _, feel := range []Feeling{Right, Tight, Roomy} {
		n := 0
		for _, r := range rated {
			if r.feel == feel {
				n++
			}
		}
		switch {
		case n == 0:
		case len(parts) == 0:
			parts = append(parts, fmt.Sprintf("%s felt %s", CountOf(n, "garment"), feel))
		default:
			parts = append(parts, fmt.Sprintf("%d %s", n, feel))
		}
	}
	return list(parts, "and")
}

// called names a make with its day.
func (m *Make) called() string {
	if m.Made == "" {
		return m.Name
	}
	return m.Name + " (" + m.Made + ")"
}

// makers are those of this person's makes, in alphabetical order.
func (l *learning) makers() []string {
	var names []string
	for _, m := range l.makes {
		if m.Maker != "" {
			names = append(names, m.Maker)
		}
	}
	return unique(names)
}

func unique(names []string) []string {
	slices.Sort(names)
	return slices.Compact(names)
}

// record is what was done again and again: the makes, their patterns and makers.
type record struct{ makes []*Make }

func (r *record) names() []string {
	names := make([]string, len(r.makes))
	for i, m := range r.makes {
		names[i] = m.Name
	}
	return names
}

func (r *record) patterns() []string {
	var names []string
	for _, m := range r.makes {
		names = append(names, m.Pattern)
	}
	return unique(names)
}

// which are the makes that something holds of.
func which(makes []*Make, holds func(*Make) bool) *record {
	return &record{slices.DeleteFunc(slices.Clone(makes), func(m *Make) bool { return !holds(m) })}
}

// keysOf are all keys of maps of the makes, in alphabetical order.
func keysOf[V any](makes []*Make, of func(*Make) map[string]V) []string {
	var keys []string
	for _, m := range makes {
		for k := range of(m) {
			keys = append(keys, k)
		}
	}
	return unique(keys)
}

func alterations(m *Make) map[string]Altered { return m.Alterations }

func (l *learning) often(n int) bool { return n >= l.Vocabulary.Limits.UsualPatterns }

// ofMaker learns what is the same on several patterns of a maker.
func (l *learning) ofMaker(maker string, out *Learned) {
	all := which(l.makes, func(m *Make) bool { return m.Maker == maker })
	patterns := len(all.patterns())
	for _, id := range keysOf(all.makes, alterations) {
		done := which(all.makes, func(m *Make) bool { _, ok := m.Alterations[id]; return ok })
		if n := len(done.patterns()); l.often(n) {
			l.usual(out, id, done, fmt.Sprintf("made on %d of the %d patterns by %s that you have made up: %s", n, patterns, maker, list(done.patterns(), "and")))
		}
	}
	for _, zone := range keysOf(all.makes, func(m *Make) map[string]string { return m.Outcome.Changed }) {
		l.changed(out, maker, zone, which(all.makes, func(m *Make) bool { return m.Outcome.Changed[zone] != "" }))
	}
	for _, zone := range keysOf(all.makes, func(m *Make) map[string]Amount { return m.Outcome.Measured }) {
		l.drift(out, maker, zone, which(all.makes, func(m *Make) bool {
			_, measured := m.Outcome.Measured[zone]
			_, said := m.Finished[zone]
			return measured && said && m.Outcome.Changed[zone] == ""
		}))
	}
}

// everywhere learns which alterations this person makes for most makers.
func (l *learning) everywhere(out *Learned) {
	makers := l.makers()
	for _, id := range keysOf(l.makes, alterations) {
		done := which(l.makes, func(m *Make) bool { _, ok := m.Alterations[id]; return ok && m.Maker != "" })
		var by []string
		for _, m := range done.makes {
			by = append(by, m.Maker)
		}
		by = unique(by)
		if slices.ContainsFunc(out.Usual, func(r Repeated) bool { return r.ID == id }) {
			continue // it is said of a maker
		}
		if l.often(len(by)) && float64(len(by)) > l.Vocabulary.Limits.UsualMakers*float64(len(makers)) {
			l.usual(out, id, done, fmt.Sprintf("made for %d of the %d makers whose patterns you have made up: %s", len(by), len(makers), list(by, "and")))
		}
	}
}

// usual proposes an alteration.
func (l *learning) usual(out *Learned, id string, done *record, because string) {
	u := Repeated{ID: id, Because: because, Makes: done.names()}
	n := &explain.Node{ID: explain.ID("learned", id), Source: "method: learning", Label: fmt.Sprintf("%s, %s", id, because)}
	var amounts []quantity.Length
	for _, m := range done.makes {
		a := m.Alterations[id]
		claim := &explain.Node{ID: explain.ID("learned", id, m.Name), Source: a.At.String(), Label: m.called() + ": by an amount that is not said"}
		switch {
		case a.Amount != nil:
			amounts = append(amounts, *a.Amount)
			claim.Label, claim.Value = fmt.Sprintf("%s: by %s", m.called(), l.inUnits(float64(*a.Amount))), cmValue(float64(*a.Amount))
		case a.Degrees != nil:
			claim.Label = fmt.Sprintf("%s: by %s", m.called(), l.Degrees(*a.Degrees))
		}
		n.Add(claim)
	}
	if len(amounts) > 0 {
		mean := float64(quantity.Mean(amounts))
		amount := roundTo(mean/nanometresPerCm, 1000)
		u.Amount, n.Value = &amount, cmValue(mean)
		n.Label += fmt.Sprintf("; by %s, the mean of %d", l.inUnits(mean), len(amounts))
	}
	out.Usual = append(out.Usual, u)
	out.Why.Add(n)
}

// changed says what had to be changed at a zone on several patterns.
func (l *learning) changed(out *Learned, maker, zone string, done *record) {
	if !l.often(len(done.patterns())) {
		return
	}
	n := &explain.Node{ID: explain.ID("learned", maker, zone, "changed"), Source: "method: learning"}
	var texts []string
	for _, m := range done.makes {
		texts = append(texts, fmt.Sprintf("%s (%s)", m.Outcome.Changed[zone], m.Pattern))
		n.Add(&explain.Node{ID: explain.ID("learned", maker, zone, "changed", m.Name), Source: m.At.String(), Label: m.called() + ": " + m.Outcome.Changed[zone]})
	}
	because := list(texts, "and")
	n.Label = fmt.Sprintf("the %s of patterns by %s was changed after cutting: %s", l.Vocabulary.Title(zone), maker, because)
	out.Changed = append(out.Changed, RepeatedChange{zone, maker, because, done.names()})
	out.Why.Add(n)
}

// drift says how far the made garments measure from what a maker says, where that is more than the tape's error.
func (l *learning) drift(out *Learned, maker, zone string, done *record) {
	if !l.often(len(done.makes)) {
		return
	}
	least := l.Vocabulary.Limits.LeastTolerance
	if m := l.Vocabulary.Measure(zone); m != nil && m.TapeError > 0 {
		least = m.TapeError
	}
	n := &explain.Node{ID: explain.ID("learned", maker, zone, "drift"), Source: "method: learning"}
	sum := 0.0
	for _, m := range done.makes {
		away := float64(m.Outcome.Measured[zone].Length - m.Finished[zone].Length)
		sum += away
		n.Add(&explain.Node{ID: explain.ID("learned", maker, zone, "drift", m.Name), Source: m.Outcome.Measured[zone].At.String(), Value: cmValue(away),
			Label: fmt.Sprintf("%s: measures %s, the pattern says %s", m.called(), l.inUnits(float64(m.Outcome.Measured[zone].Length)), l.inUnits(float64(m.Finished[zone].Length)))})
	}
	mean := sum / float64(len(done.makes))
	if ticks(math.Abs(mean), false) <= ticks(float64(least), false) {
		return
	}
	way := "larger"
	if mean < 0 {
		way = "smaller"
	}
	because := fmt.Sprintf("the %s of garments by %s comes out %s %s than the pattern says, on the average of %d", l.Vocabulary.Title(zone), maker, l.inUnits(math.Abs(mean)), way, len(done.makes))
	n.Label, n.Value = because, cmValue(mean)
	out.Drifts = append(out.Drifts, Drift{zone, maker, roundTo(mean/nanometresPerCm, 1000), because, done.names()})
	out.Why.Add(n)
}
