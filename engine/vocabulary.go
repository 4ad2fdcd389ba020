package engine

import (
	"cmp"
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
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

	TapeError   quantity.Length // the published limit of its error
	Least, Most quantity.Length // extremes of surveyed people; 0 where none is known

	WearingSources []Quote // what sources say of the least room to move there

	Pair  bool // you have two of it: an arm, a leg, a shoulder
	Edges int  // cut edges of the seams that a girth is usually changed at; 0: none that is usual

	Passes []string // of a garment's row: what the body gets through there, any one of them

	Limb       Limb   // where one of them is measured; else empty
	BelowWaist string // the measurement that says how far this level lies below the natural waist
	Where      string // the level in words, where its title does not say it: "the fullest of the hip"
	// Height is where a drawing has the level, above the floor, on a figure of eight
	// heads (common practice); 0: in no drawing.
	Height quantity.Length

	SameAs string // the measurement that satisfies this one too: bust and chest
	How    string // how to take it
	Source string // of the tape error and the extremes

	// Of what a file declares, beside what is shipped:
	At   diag.Range // where; the zero Range for what is shipped
	Of   string     // the garment type or the pattern that asks for it; empty: everybody may be asked
	Also []string   // other words for it
	By   string     // the measurement at whose level it lies; empty: not said

	index int
}

// Quote is a figure of wearing ease as a source gives it, for some garments.
type Quote struct {
	Low, High quantity.Length // High 0: no upper figure
	Garment   string          // the source's own word for what it is about
	With      string          // a part that such a garment has; empty: any
	Without   string          // a part that it has not
	Draft     Draft           // whom it is drafted for; empty: anybody
	Verified  bool            // read in the publication
	Source    string
}

// holds tells whether a figure is about garments of a type; without a type, about all.
func (q *Quote) holds(r *Recipe) bool {
	if r == nil {
		return q.With == "" && q.Draft == ""
	}
	has := func(part string) bool { return slices.Contains(r.Parts, part) }
	return (q.With == "" || has(q.With)) && (q.Without == "" || !has(q.Without)) && (q.Draft == "" || q.Draft == r.Draft)
}

// quotes are the figures for a garment type, the one that counts first: the lowest
// verified one that asks for any room. One that begins at 0 asks for none.
func (m *Measure) quotes(r *Recipe) []Quote {
	var out []Quote
	for _, q := range m.WearingSources {
		if q.holds(r) {
			out = append(out, q)
		}
	}
	counts := func(q Quote) int {
		if q.Verified && q.Low > 0 {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(out, func(a, b Quote) int {
		return cmp.Or(cmp.Compare(counts(a), counts(b)), (1-counts(a))*cmp.Compare(a.Low, b.Low))
	})
	return out
}

// WearingEase is the least room to move at a measurement in a garment type, as the
// lowest verified source has it; ok is false where none is known.
func (m *Measure) WearingEase(r *Recipe) (ease quantity.Length, ok bool) {
	qs := m.quotes(r)
	if len(qs) == 0 || !qs[0].Verified {
		return 0, false
	}
	return qs[0].Low, true
}

// Limits are the method's own constants. Each lives in rules/data with its source.
type Limits struct {
	UsableShare              float64 // of a cloth's stretch that stays comfortable
	LeastStretch             float64 // percent; a cloth with less has none
	OpeningShare             float64 // of a cloth's stretch that an opening may use for a moment
	LeastTolerance           quantity.Length
	LeastPoints              float64         // least tolerance of a percent zone, in percentage points
	ReachLeast               float64         // the least share of the range one side's tolerance may be
	ReachMost                float64         // the largest
	ReadingsApart            float64         // share of the larger of two readings, beyond which one is a slip
	MostReadings             int             // of one measurement
	LeastSlope               float64         // degrees, below which a figure without a unit may be a drop
	MostSizes                int             // of a pattern
	MostStretch              float64         // percent, beyond which a stretch is a slip of the pen
	MostLayer                quantity.Length // beyond which the thickness of a layer is one
	LeastEase                quantity.Length // below which an ease that is wanted is one
	MostEase                 quantity.Length // and above which
	SidesApart               quantity.Length // left and right further apart than this are cut singly
	OffChartShare            float64         // of the end step, before off the chart is cautioned
	LikeStretch              float64         // percentage points: cloths that stretch no further apart than this are alike
	LooseEase                quantity.Length // from this low on, a woven counts as loose between sizes
	OpenRangeWidths          float64         // tolerances between an open range's end and its missing one
	UsualLeast               float64         // percent of the body: an ease below is unusual for any type
	UsualMost                float64         // and one above
	UsualWidth               quantity.Length // and a range of lengths that is wider
	SlipSteps                float64         // usual steps off all its neighbours, from which on a cell of a chart is a slip
	SlipStepsEnd             float64         // the same of the first and the last size
	StepLeast                quantity.Length // the least step that is graded
	ChartStepCm, ChartStepIn quantity.Length // in which bodies are printed on a chart
	MadeStepCm, MadeStepIn   quantity.Length // in which garments are
	DesignBodies             int             // bodies that a design wants at least
	DesignMore               int             // sizes that are tried beyond those asked for
	DesignFigures            int             // figures of which sets are searched
	PaceSteps                int             // steps of which one may be called usual
	PaceOff                  quantity.Length // by how much a garment may step otherwise than its body
	StepUneven               float64         // share of the usual step that a cell may be off
	EaseDrift                float64         // share of the expected range that ease may move over the sizes
	RangeHoleCm              quantity.Length // between two ranges of a chart in centimetres
	RangeHoleIn              quantity.Length // and of one in inches
	GapSteps                 float64         // of the usual step between sizes: more leaves a gap in the nest
	GapThirds                float64         // of it, in which lines are drawn at the thirds
	DrawMost                 quantity.Length // at each edge of a pattern of one size
	NestedSizes              int             // so far apart nested size lines are followed
	EdgeMost                 quantity.Length // that may be added at one edge of a single size
	DartMost                 quantity.Length // that one dart takes up more or less
	SlopeGentle              float64         // degrees; up to it a seam runs from line to line in one curve
	SlopeSteep               float64         // degrees; beyond it the slant shows
	PieceShare               float64         // the least that one of two pieces round the body has of the other
	AgeAdult                 int             // days after which measurements are old
	AgeChild                 int
	ToileAllowance           quantity.Length // of a toile's seams where the fit is in doubt
	SquareOff                float64         // percent a test square may be off
	MatchRepeats             float64         // repeats more of a cloth that is matched at the seams
	TapeDeviations           float64         // standard deviations within which a reading, or the difference of two, lies
	TapeOther                quantity.Length // standard deviation of a reading of a large girth that somebody else takes
	TapeSelf                 quantity.Length // and of one taken of oneself
	TapeLarge                quantity.Length // the published limit of a large girth, to which those of other measurements are in proportion
	TapeRepeats              float64         // repeats as which the usual error counts beside one's own
	TapeMemory               float64         // years after which a repeat counts half
	StretchError             float64         // standard deviation of a stretch, as a share of it
	EstimateError            float64         // standard deviation of an estimated finished measurement, as a share of it
	SureBodies               int             // plausible bodies that are looked at
	SureSteps                int             // equally likely values that a measurement takes in them
	SureParts                int             // parts into which they are cut to see what a measurement settles
	NearlyCertain            float64         // from this share on an answer is nearly certain
	Likely                   float64         // from this share on it is likely
	AsLikely                 float64         // two shares no further apart are as likely
	SearchCm                 quantity.Length // how far another value is looked for
	SearchPoints             float64         // and, of an ease in percent, in percentage points
	SearchStretch            float64         // and, of a cloth's stretch, in percentage points
	StretchStep              float64         // the steps in which that is looked for
	SearchParts              int             // steps in which it is looked for, in a centimetre or a percentage point
	UnmeasuredShare          float64         // from this share of people on it is said that what is not measured would be too close
	UnmeasuredReach          float64         // how far from the surveyed mean a body may lie to be compared, in standard deviations
	AdultAge                 float64         // years from which a body counts as an adult's
	LearnReach               float64         // how far from the middle of the expected range a wish may lie, in halves of the range's width
	LearnLeast               float64         // the least half-width of the band that feels right, in these
	LearnMost                float64         // and the most
	LearnStray               float64         // share of ratings that tell nothing of the ease
	LearnShare               float64         // share of wishes that lie between the two ends shown
	LearnSteps               int             // wishes looked at
	LearnBands               int             // half-widths looked at
	UsualPatterns            int             // patterns of a maker, or makers, from which on what was done is a habit
	UsualMakers              float64         // share of the makers beyond which it is the person's own
	CupStep                  quantity.Length // from one drafted cup to the next
	CrowdBodies              int             // bodies that stand for a population
	CrowdCharts              int             // charts on which such bodies were tried against the people themselves
	DraftWomen               quantity.Length // the height that women's patterns are drafted for where they do not say
	DraftMen                 quantity.Length // and men's
	HeightApart              quantity.Length // from which on a height counts as another than the drafted one
	HeightSpread             float64         // standard deviations within which nine in ten lie
	FigureHeight             quantity.Length // of the figure that drawings show
	Layers                   []LayerKind
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
	Limits     Limits
	ChildSizes []ChildSize // from the youngest up
	Sleepwear  []SleepwearMost

	// Proportions are those of surveyed people, by which a slip in a measurement is found.
	Proportions Proportions

	// Hems are the places of the body to which a garment's lengths reach.
	Hems []HemPlace

	// Populations are those whom figures describe, by which it is said how likely what is not measured is too close.
	Populations []Population

	// Synonyms are what people call measurements and garment types.
	Synonyms []Synonym

	said                        sync.Once // what compares with a word is made when one is met that is no name
	measureSayings, typeSayings sayings

	measures map[string]*Measure
	names    []string // sorted by level, then name

	slips    sync.Once // the proportions by name are made when a body is first looked at
	adults   proportions
	children proportions

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
		all := slices.Concat(bodyTerms(), clothTerms(), recipeTerms(), featureTerms(), local(sizeTerms()...), lengthTerms(), local(zoneTerms()...), measurementTerms(), local(openingTerms()...), local(cordTerms()...), local(alterationTerms()...))
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

// HeightOf is where a drawing has a measurement's level, in centimetres above the floor; 0 where it has none in any.
func (v *Vocabulary) HeightOf(name string) float64 {
	if m := v.measures[name]; m != nil {
		return m.Height.Cm()
	}
	return 0
}
