package engine

import (
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
)

// Kind tells girths, which go round the body, from lengths and angles.
type Kind string

// The kinds of measurement.
const (
	Girth   Kind = "girth"
	Along   Kind = "length"
	Across  Kind = "width" // across the back or front: stretched as girths are
	Angle   Kind = "angle"
	Garment Kind = "garment" // the garment's own: an opened casing, a closure's length
)

// Measure is one word of the vocabulary: a body measurement, or a measurement
// that only a garment has.
type Measure struct {
	Name  string
	Title string // in a sentence: "upper bust"
	Kind  Kind
	Level int // from the top of the body down

	TapeError   quantity.Length // how far two careful readings may lie apart
	Least, Most quantity.Length // extremes of surveyed people; 0 where none is known

	WearingEase    quantity.Length // the least room to move; HasWearingEase tells 0 from not known
	HasWearingEase bool
	WearingSources []Quote // every source for it, the one used first

	Passes []string // of a garment's row: what the body gets through there, any one of them

	SameAs string // the measurement that satisfies this one too: bust and chest
	How    string // how to take it
	Source string // of the tape error and the extremes

	index int
}

// Quote is a figure as a source gives it.
type Quote struct {
	Low, High quantity.Length // High 0: no upper figure
	Source    string
}

// Limits are the method's own constants. Each lives in rules/data with its source.
type Limits struct {
	UsableShare     float64 // of a cloth's stretch that stays comfortable
	LeastStretch    float64 // percent; a cloth with less has none
	OpeningShare    float64 // of a cloth's stretch that an opening may use for a moment
	LeastTolerance  quantity.Length
	LeastPoints     float64         // least tolerance of a percent zone, in percentage points
	ReachLeast      float64         // the least share of the range one side's tolerance may be
	ReachMost       float64         // the largest
	SidesApart      quantity.Length // left and right further apart than this are cut singly
	OffChartShare   float64         // of the end step, before off the chart is cautioned
	LooseEase       quantity.Length // from this low on, a woven counts as loose between sizes
	OpenRangeWidths float64         // tolerances between an open range's end and its missing one
	UsualLeast      float64         // percent of the body: an ease below is unusual for any type
	UsualMost       float64         // and one above
	UsualWidth      quantity.Length // and a range of lengths that is wider
	AgeAdult        int             // days after which measurements are old
	AgeChild        int
	Layers          []LayerKind
}

// LayerKind is something usually worn beneath a garment.
type LayerKind struct {
	Name       string
	Thickness  quantity.Length
	Foundation bool // it shapes the body: a bra and the like
	Source     string
}

// Vocabulary is everything the engine knows besides recipes and rules.
type Vocabulary struct {
	Limits Limits
	// SleepwearMost is the largest that close-fitting children's sleepwear of a
	// size may measure; nil where the table is not at hand.
	SleepwearMost func(size, measure string) (quantity.Length, bool)

	measures map[string]*Measure
	names    []string // sorted by level, then name

	once   sync.Once // the fixed terms are made when an expression is first met
	terms  map[string]term
	schema func() *formula.Schema
}

// NewVocabulary puts measures and limits together.
func NewVocabulary(measures []Measure, limits Limits) *Vocabulary {
	v := &Vocabulary{Limits: limits, measures: make(map[string]*Measure, len(measures))}
	v.schema = sync.OnceValue(func() *formula.Schema { return formula.SchemaOf(v) })
	sorted := slices.Clone(measures)
	slices.SortFunc(sorted, func(a, b Measure) int {
		if a.Level != b.Level {
			return a.Level - b.Level
		}
		return strings.Compare(a.Name, b.Name)
	})
	for i := range sorted {
		sorted[i].index = i
		v.measures[sorted[i].Name] = &sorted[i]
		v.names = append(v.names, sorted[i].Name)
	}
	return v
}

// Measure returns the word, or nil if the vocabulary lacks it.
func (v *Vocabulary) Measure(name string) *Measure { return v.measures[name] }

// Words lists every word from the top of the body down.
func (v *Vocabulary) Words() []string { return v.names }

// BodyNames lists the words a body can have, from the top down.
func (v *Vocabulary) BodyNames() []string {
	var names []string
	for _, n := range v.names {
		if v.measures[n].Kind != Garment {
			names = append(names, n)
		}
	}
	return names
}

// Title is the word as it stands in a sentence.
func (v *Vocabulary) Title(name string) string {
	if m := v.measures[name]; m != nil {
		return m.Title
	}
	return name
}

// Schema is the names that expressions may use.
func (v *Vocabulary) Schema() *formula.Schema { return v.schema() }

// Lookup finds a name that expressions may use.
func (v *Vocabulary) Lookup(name string) (formula.Name, bool) {
	t, ok := v.term(name)
	return t.name, ok
}

// Names lists every name that expressions may use, besides the limit.NAME of a
// rule's own limits.
func (v *Vocabulary) Names() []formula.Name {
	var names []formula.Name
	for _, t := range v.fixed() {
		names = append(names, t.name)
	}
	for _, measure := range v.names {
		for _, group := range measureGroups {
			if t, ok := v.measureTerm(group, v.measures[measure]); ok {
				names = append(names, t.name)
			}
		}
	}
	return names
}

// term finds a name with how to read its value.
func (v *Vocabulary) term(name string) (term, bool) {
	if t, ok := v.fixed()[name]; ok {
		return t, true
	}
	group, measure, _ := strings.Cut(name, ".")
	if m := v.measures[measure]; m != nil {
		return v.measureTerm(group, m)
	}
	return term{}, false
}

// fixed are the names that do not come from a measurement.
func (v *Vocabulary) fixed() map[string]term {
	v.once.Do(func() {
		all := slices.Concat(bodyTerms(), clothTerms(), recipeTerms(), local(sizeTerms()...), local(zoneTerms()...), measurementTerms(), local(openingTerms()...), local(cordTerms()...))
		v.terms = make(map[string]term, len(all))
		for _, t := range all {
			v.terms[t.name.Name] = t
		}
	})
	return v.terms
}

func (v *Vocabulary) level(name string) int {
	if m := v.measures[name]; m != nil {
		return m.Level
	}
	return len(v.names)
}
