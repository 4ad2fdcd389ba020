package engine

import (
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Answer is the decision and all it rests on. Lengths are centimetres,
// whatever the reader's units; its words follow the reader's units.
type Answer struct {
	Version     int           `json:"version"`
	Pattern     string        `json:"pattern"`
	Maker       string        `json:"maker"`
	Recipe      string        `json:"recipe"`
	Body        string        `json:"body"`
	Wish        string        `json:"wish"`
	Recommended *Recommended  `json:"recommended"` // null: every size is ruled out
	ChartSize   ChartSize     `json:"chart_size"`
	Sizes       []SizeAnswer  `json:"sizes"` // in rank order
	NotJudged   []NotJudged   `json:"not_judged"`
	Grading     GradingAnswer `json:"grading"`
	Cautions    []Caution     `json:"cautions"`
	NotChecked  []NotChecked  `json:"not_checked"`
	Assumptions []Assumption  `json:"assumptions"`
	Missing     []Missing     `json:"missing"`
	Moved       []Move        `json:"moved,omitempty"` // by facts changed to see what would happen
	Why         *explain.Node `json:"why"`
	Shown       *Shown        `json:"-"` // what the words beside the numbers need
}

// Recommended is the size to cut.
type Recommended struct {
	Size    string  `json:"size"`
	Misfit  float64 `json:"misfit"`
	Because string  `json:"because"`
}

// ChartSize is the size by the chart alone.
type ChartSize struct {
	Size       string            `json:"size"`
	By         string            `json:"by"` // the measurement that decided
	OffChartCm float64           `json:"off_chart_cm"`
	Each       map[string]string `json:"each"` // the size of every measurement that body and chart share
}

// SizeAnswer is one size, judged.
type SizeAnswer struct {
	Size      string       `json:"size"`
	Rank      int          `json:"rank"`
	Misfit    *float64     `json:"misfit"` // null where a deciding zone could not be judged
	RuledOut  bool         `json:"ruled_out"`
	Cautions  []string     `json:"cautions"`
	Zones     []ZoneAnswer `json:"zones"`
	NotJudged []NotJudged  `json:"not_judged,omitempty"`
}

// ZoneAnswer is one zone of one size. Absent figures do not apply to the zone.
type ZoneAnswer struct {
	Zone      string   `json:"zone"`
	Role      Role     `json:"role"`
	Unit      string   `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Body      float64  `json:"body"`
	Measured  *float64 `json:"measured,omitempty"` // the full bust, where upper bust and cup stand in for it
	Finished  *float64 `json:"finished,omitempty"`
	Estimated bool     `json:"estimated"`
	Ease      *float64 `json:"ease,omitempty"`
	Drawn     *float64 `json:"drawn,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Wanted    *float64 `json:"wanted,omitempty"`
	Points    float64  `json:"points"`
	Verdict   Verdict  `json:"verdict"`
	Chart     *float64 `json:"-"` // what the chart has, for a zone that is read off it
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

// NotJudged is a zone or opening that could not be judged, and why.
type NotJudged struct {
	Zone    string `json:"zone"`
	Because string `json:"because"`
}

// NotChecked is a rule whose condition wanted something unknown.
type NotChecked struct {
	ID      string `json:"id"`
	Zone    string `json:"zone,omitempty"`
	Because string `json:"because"`
}

// GradingAnswer says whether moving between size lines makes sense.
type GradingAnswer struct {
	Sensible bool   `json:"sensible"`
	Because  string `json:"because"`
}

// Caution is a rule that fired.
type Caution struct {
	ID       string   `json:"id"`
	Severity Severity `json:"severity"`
	Zone     string   `json:"zone,omitempty"`
	Say      string   `json:"say"`
	Fix      string   `json:"fix"`
	Source   string   `json:"source"`
	At       string   `json:"at"`
}

// Assumption is what was taken for granted.
type Assumption struct {
	What    string `json:"what"`
	Because string `json:"because"`
}

// Missing is a measurement that would have helped.
type Missing struct {
	Measurement string `json:"measurement"`
	NeededFor   string `json:"needed_for"`
	How         string `json:"how"`
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
