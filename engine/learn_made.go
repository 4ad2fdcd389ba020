package engine

import (
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Make is one garment made: from which pattern, in which size, for whom, and how it came out.
type Make struct {
	Name        string
	Made        string // YYYY-MM-DD, empty where not said
	Pattern     string
	Maker       string
	Recipe      string // the garment type
	Body        string // whose
	Taken       string // the day of the measurements that it was cut by
	Size        string
	Lines       map[string]string // the size line followed at a zone, where another than Size
	Alterations map[string]Altered
	Cloth       *Cloth
	Wish        string
	Ease        map[string]MadeEase // as planned, by zone
	Finished    map[string]Amount   // what the pattern says the garment measures, by zone
	Outcome     Outcome
	At          diag.Range
}

// Outcome is how a make came out.
type Outcome struct {
	Worn     *bool
	Feels    map[string]Felt   // by zone, as it is worn
	Changed  map[string]string // what was changed after cutting, by zone, in words
	Measured map[string]Amount // what the made garment measures, by zone
	Words    string
}

// Altered is an alteration that was made; an amount of nothing is not said.
type Altered struct {
	Amount  *quantity.Length
	Degrees *float64
	At      diag.Range
}

// MadeEase is an ease as a length, or as a share of the body.
type MadeEase struct {
	Length    quantity.Length
	Percent   float64
	IsPercent bool
	At        diag.Range
}

// Amount is a length with its place.
type Amount struct {
	Length quantity.Length
	At     diag.Range
}

// isFor tells whether a make is for a person.
func (m *Make) isFor(body string) bool {
	return strings.EqualFold(strings.TrimSpace(m.Body), strings.TrimSpace(body))
}

// EaseAt is the ease a garment has at a zone as it is worn: the planned one, moved by what the made garment measures. In
// nanometres or percent of the body. Where there is none, because says why.
func (m *Make) EaseAt(zone string) (ease float64, percent bool, because string) {
	e, ok := m.Ease[zone]
	if !ok {
		return 0, false, "the ease it has there is not known"
	}
	measured, ok := m.Outcome.Measured[zone]
	if !ok {
		if m.Outcome.Changed[zone] != "" {
			return 0, e.IsPercent, "it was changed there and not measured since"
		}
		if e.IsPercent {
			return e.Percent, true, ""
		}
		return float64(e.Length), false, ""
	}
	planned, ok := m.Finished[zone]
	switch {
	case !ok:
		return 0, e.IsPercent, "what it should measure there is not known"
	case e.IsPercent:
		body := float64(planned.Length) / (1 + e.Percent/100)
		return easeOf(float64(measured.Length), body, true), true, ""
	}
	return float64(e.Length + measured.Length - planned.Length), false, ""
}
