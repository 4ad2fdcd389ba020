package engine

import (
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Answer is the decision and all it rests on. Lengths are centimetres,
// whatever the reader's units; its words follow the reader's units.
type Answer struct {
	Version     int           `json:"version"`         // the version of this form: 1
	Pattern     string        `json:"pattern"`         // the pattern's name
	Maker       string        `json:"maker"`           // who made the pattern
	Recipe      string        `json:"recipe"`          // the garment type
	Body        string        `json:"body"`            // the body's name
	Wish        string        `json:"wish"`            // the ease that was asked for; "drawn" where nothing was
	Recommended *Recommended  `json:"recommended"`     // the size to cut; null: every size is ruled out
	ChartSize   ChartSize     `json:"chart_size"`      // the size by the chart alone
	Sizes       []SizeAnswer  `json:"sizes"`           // every size, in rank order
	NotJudged   []NotJudged   `json:"not_judged"`      // zones and openings of the size recommended that could not be judged
	Grading     GradingAnswer `json:"grading"`         // whether moving between size lines makes sense
	Cautions    []Caution     `json:"cautions"`        // the rules that fired on the size recommended, or on the first where none is
	NotChecked  []NotChecked  `json:"not_checked"`     // rules that wanted something unknown
	Assumptions []Assumption  `json:"assumptions"`     // what was taken for granted
	Missing     []Missing     `json:"missing"`         // measurements that would have helped
	Moved       []Move        `json:"moved,omitempty"` // what is otherwise with the facts changed
	Why         *explain.Node `json:"why"`             // the explanation, as a tree
	Shown       *Shown        `json:"-"`               // what the words beside the numbers need
}

// Recommended is the size to cut.
type Recommended struct {
	Size    string  `json:"size"`    // as the pattern prints it
	Misfit  float64 `json:"misfit"`  // the sum of the points of its zones; 0 is the ease wanted everywhere
	Because string  `json:"because"` // in a sentence
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
	Size      string       `json:"size"`                 // as the pattern prints it
	Rank      int          `json:"rank"`                 // 1 is the best
	Misfit    *float64     `json:"misfit"`               // the sum of the points of its zones; null where a deciding zone could not be judged
	RuledOut  bool         `json:"ruled_out"`            // whether a rule that stops fired
	Cautions  []string     `json:"cautions"`             // the ids of the rules that fired
	Zones     []ZoneAnswer `json:"zones"`                // the zones that are judged
	NotJudged []NotJudged  `json:"not_judged,omitempty"` // zones and openings of this size that could not be judged
}

// ZoneAnswer is one zone of one size. Absent figures do not apply to the zone.
type ZoneAnswer struct {
	Zone      string   `json:"zone"`               // the zone's name
	Role      Role     `json:"role"`               // whether it decides the size
	Unit      string   `json:"unit,omitempty"`     // "percent" where ease is a share of the body
	Body      float64  `json:"body"`               // the measurement it is judged by
	Measured  *float64 `json:"measured,omitempty"` // the full bust, where upper bust and cup stand in for it
	Finished  *float64 `json:"finished,omitempty"` // the garment's own
	Estimated bool     `json:"estimated"`          // whether that is an estimate: then nothing is ruled out by it
	Ease      *float64 `json:"ease,omitempty"`     // finished less body; of a wrap, what is left of its overlap
	Drawn     *float64 `json:"drawn,omitempty"`    // the ease the maker drew
	Low       *float64 `json:"low,omitempty"`      // the close end of the range this garment type expects; absent where open
	High      *float64 `json:"high,omitempty"`     // the roomy end of that range; absent where open
	Wanted    *float64 `json:"wanted,omitempty"`   // the ease that is wanted
	Points    float64  `json:"points"`             // what the distance from wanted adds to the misfit; 0 unless the zone decides
	Verdict   Verdict  `json:"verdict"`            // how it comes out
	Chart     *float64 `json:"-"`                  // what the chart has, for a zone that is read off it
	Overlap   bool     `json:"-"`                  // a wrap: what is left of its overlap stands for the ease
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
	NotKnown    Verdict = "not known"
)

// Verdicts are all of them, as texts.
func Verdicts() []string {
	return []string{string(AsWanted), string(Closer), string(Roomier), string(TooClose), string(TooRoomy), string(SmallerThan), string(NotKnown)}
}

// NotJudged is a zone or opening that could not be judged, and why.
type NotJudged struct {
	Zone    string `json:"zone"`    // the zone's name, or the opening's
	Because string `json:"because"` // why, in words
}

// NotChecked is a rule whose condition wanted something unknown.
type NotChecked struct {
	ID      string `json:"id"`             // the rule's id
	Zone    string `json:"zone,omitempty"` // the zone it was asked at; absent where it is about none
	Because string `json:"because"`        // why, in words
}

// GradingAnswer says whether moving between size lines makes sense.
type GradingAnswer struct {
	Sensible bool   `json:"sensible"` // whether it does, for this garment type
	Because  string `json:"because"`  // why, in words
}

// Caution is a rule that fired.
type Caution struct {
	ID       string   `json:"id"`             // the rule's id
	Severity Severity `json:"severity"`       // how grave it is
	Zone     string   `json:"zone,omitempty"` // the zone it speaks of; absent where it is about none
	Say      string   `json:"say"`            // what to know
	Fix      string   `json:"fix"`            // how to mend it; empty where nothing is to be done
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

// Shown is what a face needs beside the JSON to word an answer.
type Shown struct {
	Units    quantity.Unit
	Cloth    string   // empty where none was named
	Sizes    []string // in size order
	Recipe   *Recipe
	Title    func(measure string) string
	Openings []OpeningAnswer // at the recommended size
	Elastic  []ElasticAnswer
}
