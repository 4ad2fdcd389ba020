package engine

import (
	"sync"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Body is one person's measurements on one day.
type Body struct {
	Name         string
	Taken        string // YYYY-MM-DD, empty where not said
	MeasuredOver string
	Posture      string
	Age          *float64      // years
	Units        quantity.Unit // the units it was written in
	Measurements map[string]Taking
}

// Taking is one measurement as it was taken: one or more readings, or the
// readings of both sides of a limb.
type Taking struct {
	Readings    []Reading
	Left, Right []Reading
	Degrees     float64 // angles only
	At          diag.Range
}

// Reading is one reading of the tape, as typed.
type Reading struct {
	Length quantity.Length
	Text   string
}

// Cell is one cell of a chart or of a row of finished measurements.
type Cell struct {
	Low, High quantity.Length // equal for a single value
	Known     bool            // false for a gap
	Text      string
	At        diag.Range
}

// Row is a pattern's cells for one measurement, in the order of Pattern.Sizes.
type Row []Cell

// Pattern is a maker's sizes, body chart and finished measurements.
type Pattern struct {
	Maker, Name string
	Recipe      string
	Units       quantity.Unit
	Sizes       []string
	Chart       map[string]Row // body measurements by name
	Finished    map[string]Row // the garment's, by name
	DraftedFor  map[string]quantity.Length
	Cup         *quantity.Length // drafted full bust less upper bust
	Stretch     *float64         // percent, of the cloth it was drafted for
	Allowance   *quantity.Length
	Cords       []Cord // on children's clothing
	At          diag.Range
	RecipeAt    diag.Range
	ChartAt     diag.Range
}

// Cord is a cord, drawstring or tie on a garment.
type Cord struct {
	Where    string           // hood, neck, waist, hem, ankle, wrist or back
	Free     *quantity.Length // of each free end, the garment laid flat at its widest
	Loop     *quantity.Length // round a fixed loop
	FreeEnds bool
	Toggle   bool // or a knot or anything else at the ends
	Tacked   *bool
	At       diag.Range
}

// Structure tells a woven cloth from a knit.
type Structure string

// The structures.
const (
	Woven Structure = "woven"
	Knit  Structure = "knit"
)

// Cloth is a fabric. Percentages are of the relaxed length; nil is not known.
type Cloth struct {
	Name          string
	Structure     Structure
	Across, Along *float64 // stretch
	Recovery      *float64
	Thickness     *quantity.Length
	ShrinkAcross  *float64
	ShrinkAlong   *float64
	Prewashed     *bool
	Grain         string // lengthwise, crosswise or bias; empty means lengthwise
	Drape         string
	Width, Length *quantity.Length
	At            diag.Range
	StretchAt     diag.Range
}

// Layer is a garment or piece of underwear worn beneath.
type Layer struct {
	Name      string
	Thickness *quantity.Length // nil: by the vocabulary's name
}

// Role is what a zone has to say about the size.
type Role string

// The roles.
const (
	Decides Role = "decides"
	Mended  Role = "mended"
	Held    Role = "held"
)

// Between settles a tie between two sizes.
type Between string

// The ways to settle it.
const (
	Larger  Between = "larger"
	Smaller Between = "smaller"
)

// EaseRange is a recipe's expected ease at a zone: nanometres, or percent of
// the body where Percent is set.
type EaseRange struct {
	Low, High       float64
	HasLow, HasHigh bool
	Percent         bool
}

// Zone is one level of the garment that is looked at.
type Zone struct {
	Name    string
	Measure string // of the body and the garment; usually the zone's name
	Laps    string // the zone whose closing overlap this is: what is left of it, not an ease
	Role    Role
	By      string // held: elastic, tie, drawstring; decides: chart
	Ease    *EaseRange
	// Tolerance serves an open range (both sides) or a zone by chart; Least is
	// the least tolerance. Both in nanometres or percentage points; 0 where not given.
	Tolerance, Least float64
	Weight           float64
	Cut              *quantity.PercentRange // elastic's length as a share of the body
	Below            *quantity.Length       // below the natural waist
	Touches          bool
	WhereMade        bool   // looked at only where the pattern gives it finished
	Mend             string // how this zone is put right
	Because          string // the cutter's reason for the role
	Source           string // of the ease range
	At, EaseAt       diag.Range
}

// Stretch says what cloth a garment type wants.
type Stretch struct {
	Kind  string  // none, comfort or needed
	Least float64 // percent
	At    diag.Range
}

// Passage is one alternative of what an opening lets through: each part singly.
type Passage []string

// Opening is where the body gets into the garment.
type Opening struct {
	Name    string
	Measure string // the finished row of the opened edge
	Elastic string // the finished row of the elastic at full stretch, if it has one
	Passes  []Passage
	Closure *Closure // nil: nothing opens
	Stops   bool     // whether a size that does not pass is ruled out
	Mend    string   // how it is put right, where another way than a wider edge is meant
	At      diag.Range
}

// Closure is a zip or a placket: it opens the edge, and reaches down from the
// level From towards the level Towards. What lies between its end and that
// level must pass too.
type Closure struct {
	Kind          string // zip, buttons, hooks
	From, Towards string // finished rows
	Reach         quantity.Length
	ReachRow      string // the finished row that holds a pattern's own reach
	Run           quantity.Length
	RunBy         string // the body's length that stands for Run where known
}

// Grading says whether moving between size lines makes sense for a type.
type Grading struct {
	Sensible bool
	Because  string
	At       diag.Range
}

// Controlling is what picks the size: measurements in order, or an expression
// that yields one.
type Controlling struct {
	Names   []string
	Formula *formula.Formula
	At      diag.Range
}

// Recipe is a garment type, declared.
type Recipe struct {
	Name, Title    string
	Draft          string // women, men, children: what it is usually drafted for
	Because        string // what decides, in a cutter's words
	Source         string
	Controlling    Controlling
	Between        Between // as declared; empty: see [Recipe.Settle]
	HangsFrom      string  // "shoulder", or empty
	CloseSleepwear bool
	Nightwear      bool
	Zones          []Zone
	Stretch        Stretch
	WornOver       []string
	Grading        Grading
	MovesDown      int // sizes from the chart size for which the style holds; -1 where not said
	MovesUp        int
	MovesAt        diag.Range
	Openings       []Opening
	Rules          []*Rule  // this type's own
	BasedOn        []Origin // the types that it takes over from, the nearest first
	Own            bool     // a person's own, not shipped
	At             diag.Range
}

// Origin is a garment type that another takes over from, and its file.
type Origin struct{ Name, File string }

// Severity is how grave a caution is.
type Severity string

// The severities: a size that a stop rule fires on is ruled out.
const (
	Stop Severity = "stop"
	Warn Severity = "warn"
	Note Severity = "note"
)

// Limit is a threshold of a rule, under the name limit.NAME.
type Limit struct {
	Name  string
	Text  string // as written
	Dim   formula.Dim
	Value float64 // centimetres, percent or a count
}

// Rule is a declared condition with what to say. Its expressions are compiled
// when first asked for.
type Rule struct {
	ID       string
	Topic    string // the rule file's, or the recipe's name
	Severity Severity
	Zone     string // only this zone, or
	Each     string // zone, measurement, opening or cord: once for each
	Replaces string // the shipped rule that it stands in for
	Own      bool   // a person's own, not shipped
	Limits   []Limit
	Source   string
	At       diag.Range
	When     *Lazy[*formula.Formula]
	Say, Fix *Lazy[*formula.Template]
	Written  Written
}

// Written is a rule's text as it stands in its file.
type Written struct{ When, Say, Fix string }

// Lazy is a value that is made when it is first asked for.
type Lazy[T any] struct {
	once sync.Once
	make func() (T, error)
	val  T
	err  error
}

// Later wraps make so that it runs at most once.
func Later[T any](make func() (T, error)) *Lazy[T] { return &Lazy[T]{make: make} }

// Get returns the value, making it if need be.
func (l *Lazy[T]) Get() (T, error) {
	l.once.Do(func() { l.val, l.err = l.make() })
	return l.val, l.err
}

// Wish says how much ease is wanted: a word, an ease, or a change.
type Wish struct {
	Zone string // empty: every judged zone
	Word string // drawn, closer, roomier, expected; empty for a figure alone
	// Figure is added to the word, or is the ease itself where Word is empty.
	Figure  float64 // nanometres, or percentage points of the body
	Percent bool
	Text    string // as typed
}
