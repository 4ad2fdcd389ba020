package engine

import (
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Answer is the decision and all it rests on. Lengths are centimetres,
// whatever the reader's units; its words follow the reader's units.
type Answer struct {
	Version       int            `json:"version"`                 // the version of this form: 1
	Pattern       string         `json:"pattern"`                 // the pattern's name
	Maker         string         `json:"maker"`                   // who made the pattern
	Recipe        string         `json:"recipe"`                  // the garment type
	Body          string         `json:"body"`                    // the body's name
	Wish          string         `json:"wish"`                    // the ease that was asked for; "drawn" where nothing was
	Recommended   *Recommended   `json:"recommended"`             // the size to cut; null: every size is ruled out
	ChartSize     ChartSize      `json:"chart_size"`              // the size by the chart alone
	Sizes         []SizeAnswer   `json:"sizes"`                   // every size, in rank order
	Ends          string         `json:"ends,omitempty"`          // in a sentence, that the pattern ends before this body; then there is nothing to cut by, and no caution matters
	NotJudged     []NotJudged    `json:"not_judged"`              // zones and openings of the size recommended that could not be judged
	NotUsed       []NotUsed      `json:"not_used,omitempty"`      // what was measured and is not used here, from the top of the body down
	Plan          *Plan          `json:"plan"`                    // what becomes of each level of the size to cut; null where no size can be cut
	Lengths       []LengthAnswer `json:"lengths,omitempty"`       // where each length that the pattern gives ends on you
	ByHeight      *ByHeight      `json:"by_height,omitempty"`     // what a height that differs from the drafted one probably means for lengths that were not taken
	Alterations   []Alteration   `json:"alterations"`             // what to alter in the pattern of that size, in the trade's order
	Lines         []SizeLine     `json:"lines"`                   // the size line to follow at each level, from the top down; none where no size can be cut
	Grading       GradingAnswer  `json:"grading"`                 // whether moving between size lines makes sense, and how
	Cautions      []Caution      `json:"cautions"`                // the rules that fired on the size recommended, or on the first where none is
	NotChecked    []NotChecked   `json:"not_checked"`             // rules that wanted something unknown
	Assumptions   []Assumption   `json:"assumptions"`             // what was taken for granted
	Missing       []Missing      `json:"missing"`                 // measurements that would have helped
	Liked         []LikedAnswer  `json:"liked,omitempty"`         // what kept garments tell, zone by zone
	Toile         *ToilePlan     `json:"toile"`                   // whether to sew a toile first, and what to look at in it
	BeforeCutting []Check        `json:"before_cutting"`          // what to check before the cloth is cut, in order
	Observed      []ObservedZone `json:"observed,omitempty"`      // what was seen on the toile, and what it changed
	NothingFits   *float64       `json:"nothing_fits,omitempty"`  // the share of plausible bodies that no size fits; the shares of the sizes make it up to 1
	Either        string         `json:"either,omitempty"`        // another size that would do as well: which of the two is best rests on less ease than is felt
	Flips         []Flip         `json:"flips,omitzero"`          // where another size wins: the nearest value either way of each figure
	MeasureAgain  *MeasureAgain  `json:"measure_again,omitempty"` // where the answer could flip within the error of a measurement or of the cloth's stretch: what to measure again
	Moved         []Move         `json:"moved,omitempty"`         // what is otherwise with the facts changed
	Learned       *Learned       `json:"learned,omitempty"`       // what this person's makes say; absent where there are none
	Why           *explain.Node  `json:"why"`                     // the explanation, as a tree
	Shown         *Shown         `json:"-"`                       // what the words beside the numbers need
}

// Recommended is the size to cut.
type Recommended struct {
	Size       string   `json:"size"`                 // as the pattern prints it
	Misfit     *float64 `json:"misfit"`               // the sum of the points of its zones; 0 is the ease wanted everywhere, null where no zone that decides could be judged
	Decides    string   `json:"decides"`              // what decides, in a clause
	Because    string   `json:"because"`              // that, and how it comes out, in a sentence
	With       string   `json:"with,omitempty"`       // the other size lines to follow, in words
	Length     string   `json:"length,omitempty"`     // of a children's type, the size whose lengths are cut, where the height picks another than the girths
	Lines      string   `json:"lines,omitempty"`      // the size lines to cut by, in words, where what decides lies so far apart that no one size fits it
	Confidence *float64 `json:"confidence,omitempty"` // the share of plausible bodies for which this size comes out best
}

// ChartSize is the size by the chart alone.
type ChartSize struct {
	Size       string            `json:"size"`         // as the pattern prints it
	By         string            `json:"by"`           // the measurement that decided
	OffChartCm float64           `json:"off_chart_cm"` // how far outside the chart, below 0 beneath its smallest; else 0
	Each       map[string]string `json:"each"`         // the size of every measurement that body and chart share
}

// SizeAnswer is one size, judged.
type SizeAnswer struct {
	Size       string       `json:"size"`                   // as the pattern prints it
	DrawnByYou string       `json:"drawn_by_you,omitempty"` // where you draw the line of this size, between two printed ones; absent where it is printed
	Rank       int          `json:"rank"`                   // 1 is the best
	Misfit     *float64     `json:"misfit"`                 // the sum of the points of its zones; null where a deciding zone could not be judged
	Confidence *float64     `json:"confidence,omitempty"`   // the share of plausible bodies for which it comes out best
	RuledOut   bool         `json:"ruled_out"`              // whether a rule that stops fired
	Cautions   []string     `json:"cautions"`               // the ids of the rules that fired
	Zones      []ZoneAnswer `json:"zones"`                  // the zones that are judged
	NotJudged  []NotJudged  `json:"not_judged,omitempty"`   // zones and openings of this size that could not be judged
}

// ZoneAnswer is one zone of one size. Absent figures do not apply to the zone.
type ZoneAnswer struct {
	Zone      string   `json:"zone"`                 // the zone's name
	Role      Role     `json:"role"`                 // whether it decides the size
	Unit      string   `json:"unit,omitempty"`       // "percent" where ease is a share of the body
	Body      float64  `json:"body"`                 // the measurement it is judged by
	Measured  *float64 `json:"measured,omitempty"`   // the full bust, where upper bust and cup stand in for it
	Finished  *float64 `json:"finished,omitempty"`   // the garment's own
	Gap       *float64 `json:"gap,omitempty"`        // of what is laced, how much of that is the gap as drawn
	Estimated bool     `json:"estimated"`            // whether that is an estimate: then nothing is ruled out by it
	Ease      *float64 `json:"ease,omitempty"`       // finished less body; of a wrap, what is left of its overlap
	Drawn     *float64 `json:"drawn,omitempty"`      // the ease the maker drew
	Liked     *float64 `json:"liked,omitempty"`      // the ease of the garments you like; absent where none tells
	Low       *float64 `json:"low,omitempty"`        // the close end of the range this garment type expects; absent where open
	High      *float64 `json:"high,omitempty"`       // the roomy end of that range; absent where open
	Wanted    *float64 `json:"wanted,omitempty"`     // the ease that is wanted
	Points    float64  `json:"points"`               // what the distance from wanted adds to the misfit; 0 unless the zone decides
	Verdict   Verdict  `json:"verdict"`              // how it comes out
	ChartBody *float64 `json:"chart_body,omitempty"` // the body the chart has in this size
	After     *After   `json:"after,omitempty"`      // what it comes to once the alterations are made; absent where none puts it right
	Chart     *float64 `json:"-"`                    // what the chart has, for a zone that is read off it
	Above     *float64 `json:"-"`                    // what is liked lies above this ease, of a garment that feels tight
	Below     *float64 `json:"-"`                    // and below this one, of a garment that feels roomy
	Least     float64  `json:"-"`                    // how far two eases may lie apart and still count as one
	Overlap   bool     `json:"-"`                    // a wrap: what is left of its overlap stands for the ease
}

// After is a zone once the alterations are made, beside the body as measured.
type After struct {
	Finished float64 `json:"finished"` // the garment's own
	Ease     float64 `json:"ease"`     // finished less body, as the zone has it
}

// Alteration is one alteration of the pattern, before it is cut.
type Alteration struct {
	ID      string   `json:"id"`                // the rule's id
	Zone    string   `json:"zone"`              // the measurement of the body at which it is
	Amount  *float64 `json:"amount,omitempty"`  // in centimetres; shortening and taking in are below 0. Absent: measure the pattern
	Unit    string   `json:"unit,omitempty"`    // "degrees" where the amount is an angle
	Order   int      `json:"order"`             // its place among the alterations, from 1
	Step    string   `json:"step"`              // of the trade's order: length, rise, shoulder, bust, back, seat, girth, sleeve or hem
	Say     string   `json:"say"`               // what to do, or what to measure where the amount is not known
	Where   string   `json:"where,omitempty"`   // where on the pattern
	Spread  string   `json:"spread,omitempty"`  // how to spread or take it in
	Also    string   `json:"also,omitempty"`    // what else changes
	Because string   `json:"because,omitempty"` // what shows that it is needed, or the list that has it as always made
	Source  string   `json:"source"`            // where the rule comes from
	At      string   `json:"at"`                // where the rule stands, as file:line:column
}

// Verdict says how a zone comes out, from a closed set.
type Verdict string

// The verdicts.
const (
	AsWanted    Verdict = "as wanted"
	Closer      Verdict = "closer"
	Roomier     Verdict = "roomier"
	TooClose    Verdict = "too close"
	TooRoomy    Verdict = "too roomy"
	SmallerThan Verdict = "smaller than the body"
	Shorter     Verdict = "shorter" // of a length, as are the next three
	Longer      Verdict = "longer"
	TooShort    Verdict = "too short"
	TooLong     Verdict = "too long"
	NotKnown    Verdict = "not known"
)

// Verdicts are all of them, as texts.
func Verdicts() []string {
	return []string{string(AsWanted), string(Closer), string(Roomier), string(TooClose), string(TooRoomy), string(SmallerThan), string(Shorter), string(Longer), string(TooShort), string(TooLong), string(NotKnown)}
}

// NotJudged is a zone or opening that could not be judged, and why.
type NotJudged struct {
	Zone     string   `json:"zone"`                // the zone's name, or the opening's
	Because  string   `json:"because"`             // why, in words
	TooClose *float64 `json:"too_close,omitempty"` // the share of surveyed people with your other measurements for whom the size recommended would be too close there; absent where it is not known, or small
}

// NotChecked is a rule whose condition wanted something unknown, or an alteration that is not needed.
type NotChecked struct {
	ID      string `json:"id"`               // the rule's id
	Zone    string `json:"zone,omitempty"`   // the zone it was asked at; absent where it is about none
	Spared  bool   `json:"spared,omitempty"` // whether it is an alteration that something in the garment, or a wish, makes needless
	Because string `json:"because"`          // why, in words, and what to do instead
}

// GradingAnswer says whether moving between size lines makes sense.
type GradingAnswer struct {
	Sensible bool          `json:"sensible"` // whether it does, for this garment type
	Because  string        `json:"because"`  // why, in words
	Steps    []GradingStep `json:"steps"`    // how to move between size lines, from the top down
	Follow   []string      `json:"follow"`   // what must follow, in words
}

// Caution is a rule that fired.
type Caution struct {
	ID       string   `json:"id"`             // the rule's id
	Severity Severity `json:"severity"`       // how grave it is
	Zone     string   `json:"zone,omitempty"` // the zone it speaks of; absent where it is about none
	Say      string   `json:"say"`            // what to know
	Fix      string   `json:"fix"`            // how to mend it; empty where nothing is to be done
	OnSheet  bool     `json:"on_sheet"`       // whether the sheet to cut by has it: warnings, and notes that change what is done
	Source   string   `json:"source"`         // where the rule comes from
	At       string   `json:"at"`             // where the rule stands, as file:line:column
}

// Assumption is what was taken for granted.
type Assumption struct {
	What    string `json:"what"`    // in words
	Because string `json:"because"` // why, in words
}

// Missing is a measurement that would have helped.
type Missing struct {
	Measurement string `json:"measurement"` // the measurement's name
	NeededFor   string `json:"needed_for"`  // what it is needed for, in words
	How         string `json:"how"`         // how to take it
}

// Used is a measurement that an answer rests on, in words.
type Used struct{ Measurement, Value, Taken string }

// Shown is what a face needs beside the JSON to word an answer.
type Shown struct {
	Units    quantity.Unit
	Today    string   // the day it was asked; empty where none was said
	Cloth    string   // empty where none was named
	Sizes    []string // in size order
	Recipe   *Recipe
	Title    func(measure string) string
	Height   func(measure string) float64 // where a drawing has the level, in centimetres above the floor; 0: in none
	Limb     func(measure string) Limb    // where one of them is measured
	Used     []Used                       // the measurements it rests on, from the top down
	Unsewn   string                       // the size that would be recommended without the toile, where that is another
	Openings []OpeningAnswer              // at the recommended size
	Held     []HeldAnswer                 // the levels that are drawn in to fit
	Sure     Sureness                     // empty where it was not asked for
	Rival    string                       // the size with the next share, or "none"
	Settled  Between                      // where the two fit alike: which one this type takes; else empty
	Flips    []FlipAnswer
	Again    string // between which values the measurement to take again decides
}
