package engine

import (
	"slices"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Body is one person's measurements on one day.
type Body struct {
	Name         string
	Taken        string // YYYY-MM-DD, empty where not said
	MeasuredOver string
	MeasuredBy   string        // "self" or "someone else"; empty where not said
	Age          *float64      // years
	Units        quantity.Unit // the units it was written in
	Measurements map[string]Measurement
	// MeasurementsAt is where they stand: a key of a file, or a line of a table.
	MeasurementsAt diag.Range
	Since          map[string]string     // the day of those that were not taken on Taken
	Earlier        []EarlierMeasurements // older ones, the newest first
	// Wanted are the lengths that this person wants garments to have, by the garment's length.
	Wanted map[string]WantedLength
	// Alterations are what this person always alters, by the ids of the rules.
	Alterations map[string]Usually
}

// Usually is an alteration in a person's own list.
type Usually struct {
	Amount *quantity.Length // nil: as much as the rule says
	At     diag.Range
}

// Usual is an alteration that was made before, such as always for this maker. It
// is made again where the measurements do not say whether it is needed, or by how much.
type Usual struct {
	ID      string           // the rule's
	Amount  *quantity.Length // nil: as much as the rule says
	Because string           // in a sentence, as in "Always altered for Tern Lane."
}

// Measurement is one measurement as it was taken: one or more readings, or the
// readings of both sides of a limb.
type Measurement struct {
	Readings    []Reading
	Left, Right []Reading
	Degrees     float64 // angles only, of both sides the mean
	SidesApart  float64 // the left angle less the right, where both were taken
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
	Sum       *Sum // of the pieces it was put together from; nil: it was read
}

// Row is a pattern's cells for one measurement, in the order of Pattern.Sizes.
type Row []Cell

// Pattern is a maker's sizes, body chart and finished measurements.
type Pattern struct {
	Maker, Name string
	Recipe      string
	Units       quantity.Unit
	Sizes       []string
	Chart       map[string]Row   // body measurements by name
	Finished    map[string]Row   // the garment's, by name
	Planned     bool             // an ease that is asked about, and no pattern yet
	DraftedFor  map[string]Row   // lengths of the body that each size was drafted for, by name
	Slopes      []float64        // degrees at which each size's shoulder was drafted to fall; nil: not said
	Cup         *quantity.Length // drafted full bust less upper bust
	Stretch     *float64         // percent, of the cloth it was drafted for
	Has         []string         // of [Features]
	// LengthenAt says where the maker drew lines to lengthen or shorten, by the part that they cross, of [Parts].
	LengthenAt   map[string][]string
	Lacing       *Closure // it closes by lacing, in place of what its type says; nil: as its type does
	Allowance    *quantity.Length
	Cords        []Cord // on children's clothing
	ForGirls     bool   // labelled and sold for girls
	TestSquare   *TestSquare
	ClothNeeded  []ClothNeed
	Measurements []Measure // that it declares
	At           diag.Range
	RecipeAt     diag.Range
	ChartAt      diag.Range
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

// TestSquare is the square on a print-at-home pattern by which its scale is checked.
type TestSquare struct {
	Printed  *quantity.Length // as it came out of the printer; nil: not measured yet
	ShouldBe quantity.Length
	At       diag.Range
}

// ClothNeed is how much cloth of one width the pattern asks for, size by size.
type ClothNeed struct {
	Width   quantity.Length
	Lengths Row   // in the order of Pattern.Sizes
	Nap     *bool // whether all pieces lie one way; nil: not said
	At      diag.Range
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
	Bias          *float64 // stretch at 45 degrees between them
	Recovery      *float64
	Thickness     *quantity.Length
	ShrinkAcross  *float64
	ShrinkAlong   *float64
	Prewashed     *bool
	Grain         Grain // empty means lengthwise
	Drape         string
	Width, Length *quantity.Length
	Nap           bool             // it has a pile, a sheen or a picture with an up and a down
	Repeat        *quantity.Length // of a check, stripe or picture that is matched
	Costly        bool             // it is dear, or there is no more of it
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

// Words that files choose from.
type (
	Grain       string // how the pieces lie on the cloth
	StretchKind string // what a type asks of the cloth's stretch
	Draft       string // whom a type is drafted for
	Hang        string // from where a garment hangs
	HeldBy      string // what a zone is held or read by
	LineRule    string // which size line a zone follows
	Scope       string // what a rule is asked of
	WishWord    string // an ease wished in a word
	Limb        string // on which a measurement lies
)

const (
	Lengthwise Grain = "lengthwise"
	Crosswise  Grain = "crosswise"
	OnBias     Grain = "bias"

	NoStretch      StretchKind = "none"
	StretchComfort StretchKind = "comfort" // welcome, not needed
	StretchNeeded  StretchKind = "needed"

	ForWomen    Draft = "women"
	ForMen      Draft = "men"
	ForChildren Draft = "children"
	ForAll      Draft = "all"

	FromShoulder Hang = "shoulder"

	ByElastic    HeldBy = "elastic"
	ByTie        HeldBy = "tie"
	ByDrawstring HeldBy = "drawstring"
	ByRib        HeldBy = "rib"
	ByChart      HeldBy = "chart" // read off the chart alone, without an ease

	OwnLine  LineRule = "own"  // a size line of its own
	KeptLine LineRule = "kept" // its neighbour's

	EachZone        Scope = "zone"
	EachMeasurement Scope = "measurement"
	EachOpening     Scope = "opening"
	EachCord        Scope = "cord"
	EachAlteration  Scope = "alteration"

	WishDrawn    WishWord = "drawn"
	WishCloser   WishWord = "closer"
	WishRoomier  WishWord = "roomier"
	WishExpected WishWord = "expected"

	OnArm Limb = "arm"
	OnLeg Limb = "leg"
)

// InPercent is the unit of an answer's figures that are shares of the body.
const InPercent = "percent"

// Zone is one level of the garment that is looked at.
type Zone struct {
	Name    string
	Measure string // of the body and the garment; usually the zone's name
	Made    string // the garment's finished row, where that is not called like the measurement
	Laps    string // the zone whose closing overlap this is: what is left of it, not an ease
	Role    Role
	By      HeldBy // held: what holds it; decides: ByChart or empty
	Ease    *EaseRange
	// Tolerance serves an open range (both sides) or a zone by chart; Least is
	// the least tolerance. Both in nanometres or percentage points; 0 where not given.
	Tolerance, Least float64
	Weight           float64
	Cut              *quantity.PercentRange // elastic's length as a share of the body
	Below            *quantity.Length       // below the natural waist
	Touches          bool
	WhereMade        bool     // looked at only where the pattern gives it finished
	Seams            []Seam   // that cross this level and may be moved
	Run              *Run     // how far it lies below a level above it
	Line             LineRule // empty: by where it lies
	Style            bool     // its upper end is the style: more is never a reason to change it
	Darts            int      // that may take up more or less there
	Pleats           bool     // those darts are pleats, stitched down or lapped
	Means            []By     // by which a need there is met, in order; none: the usual ones
	Mend             string   // how this zone is put right
	Because          string   // the cutter's reason for the role
	Source           string   // of the ease range
	At, EaseAt       diag.Range
}

// Seam is a kind of seam that crosses a level: each has two cut edges.
type Seam struct {
	Name  string // side, side front, inside leg
	Count int    // how many of them; at a leg or a sleeve those of one
}

// Run is how far a level lies below another, along the body.
type Run struct {
	Below string // the measurement at that level
	Usual quantity.Length
	At    diag.Range
}

// Stretch says what cloth a garment type wants.
type Stretch struct {
	Kind  StretchKind
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

// Closure is a zip, a placket or a lacing: it opens the edge, and reaches down from the
// level From towards the level Towards. What lies between its end and that
// level must pass too. A lacing without Reach and Run opens from end to end.
type Closure struct {
	Kind          string // zip, buttons, hooks
	From, Towards string // finished rows
	Reach         quantity.Length
	ReachRow      string // the finished row that holds a pattern's own reach
	Run           quantity.Length
	RunBy         string  // the body's length that stands for Run where known
	Lacing        *Lacing // nil: its edges meet
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
	Family         string // types of one family speak for one another; empty: none
	Draft          Draft  // whom it is usually drafted for
	Because        string // what decides, in a cutter's words
	Source         string
	Controlling    Controlling
	Between        Between // as declared; empty: see [Recipe.Settle]
	HangsFrom      Hang    // empty: by where it is held
	CloseSleepwear bool
	Nightwear      bool
	Outerwear      bool
	Zones          []Zone
	Stretch        Stretch
	WornOver       []string
	Grading        Grading
	Parts          []string // what it is made of, as far as it is altered: some of [Parts]
	Has            []string // of [Features], besides those of the pattern
	MovesDown      int      // sizes from the chart size for which the style holds; -1 where not said
	MovesUp        int
	MovesAt        diag.Range
	Openings       []Opening
	Rules          []*Rule   // this type's own
	BasedOn        []Origin  // the types that it takes over from, the nearest first
	Measurements   []Measure // that it declares
	Own            bool      // a person's own, not shipped
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
	Each     Scope  // what the rule is asked of, once for each; empty: the whole garment
	Replaces string // the shipped rule that it stands in for
	OnSheet  bool   // a note that changes what is done at the table, so that the sheet to cut by has it too
	Own      bool   // a person's own, not shipped
	Limits   []Limit
	Source   string
	At       diag.Range
	When     LateFormula
	Say, Fix LateTemplate
	Toile    LateTemplate // why that is a reason to sew a toile; with it alone the rule is no caution
	Alter    *Alter       // a rule that alters the pattern; nil: it cautions
	Text     RuleText
}

// Texts are all that the rule can say.
func (r *Rule) Texts() []LateTemplate {
	all := []LateTemplate{r.Say, r.Fix, r.Toile}
	if a := r.Alter; a != nil {
		all = append(all, a.Because, a.Measure, a.Where, a.Spread, a.Also, a.Instead)
	}
	return slices.DeleteFunc(all, func(l LateTemplate) bool { return l == nil })
}

// Uses tells whether a rule asks for a name or speaks of it. Texts and conditions
// that cannot be read use everything.
func (r *Rule) Uses(name string) bool {
	formulas := []LateFormula{r.When}
	if a := r.Alter; a != nil {
		formulas = append(formulas, a.Amount, a.Gains, a.Unless)
		for i := range a.Adds {
			formulas = append(formulas, a.Adds[i].Amount)
		}
	}
	for _, late := range formulas {
		if late == nil {
			continue
		}
		if f, err := late(); err != nil || slices.Contains(f.Names(), name) {
			return true
		}
	}
	for _, late := range r.Texts() {
		if t, err := late(); err != nil || slices.Contains(t.Names(), name) {
			return true
		}
	}
	return false
}

// Alter is what a rule says of altering the pattern.
type Alter struct {
	Step    string   // of the trade's order: one of [Steps]
	Parts   []string // only where the garment has one of them, of [Parts]; none: always
	Zone    string   // the measurement of the body at which it is
	Settles string   // the measurement that it puts right; empty: none
	Amount  LateFormula
	Gains   LateFormula // what the garment gains where it settles; nil: the amount
	Adds    []Added     // what it gains elsewhere
	Unless  LateFormula // where it is true the alteration is passed over, and Instead is said; nil: never
	// Measure is said in place of Say where the amount is not known, Because unless a list gives it.
	Because, Measure, Where, Spread, Also, Instead LateTemplate
}

// Added is what an alteration adds to the garment at another level than its own.
type Added struct {
	Measure string
	Text    string
	Amount  LateFormula
}

// RuleText is a rule's text as its file has it.
type RuleText struct {
	When, Say, Fix, Toile string
	Amount, Gains         string // of an alteration, as are the rest
	Because, Measure      string
	Where, Spread, Also   string
	Unless, Instead       string
}

// LateFormula and LateTemplate are compiled when they are first asked for, and
// then kept; nil where a rule has none.
type (
	LateFormula  func() (*formula.Formula, error)
	LateTemplate func() (*formula.Template, error)
)

// Wish says how much ease is wanted: a word, an ease, or a change.
type Wish struct {
	Zone string   // empty: every judged zone
	Word WishWord // empty for a figure alone
	// Figure is added to the word, or is the ease itself where Word is empty.
	Figure  float64 // nanometres, or percentage points of the body
	Percent bool
	Text    string // as typed
}
