package engine

import (
	"slices"

	"fitadvisor/engine/quantity"
)

// ChartChange is how one chart differs from another: two patterns, or two versions
// of one. Lengths are centimetres.
type ChartChange struct {
	Version  int           `json:"version"`  // the version of this form: 1
	Pattern  string        `json:"pattern"`  // the pattern's name
	Other    string        `json:"other"`    // that of the one it is compared with
	Cells    []CellChange  `json:"cells"`    // the cells that differ, from the top of the body down, body rows first
	New      []Finding     `json:"new"`      // found in the pattern, and not in the other
	Gone     []Finding     `json:"gone"`     // found in the other, and not in the pattern
	Sound    bool          `json:"sound"`    // whether no error was found in the pattern
	Units    quantity.Unit `json:"-"`        // of the words
	Compared int           `json:"compared"` // how many cells both have
}

// CellChange is one cell that differs. A cell that one of the charts lacks is absent.
type CellChange struct {
	Of     Part     `json:"of"`               // the size chart or the finished measurements
	Row    string   `json:"row"`              // the measurement
	Size   string   `json:"size"`             // as both print it
	Was    *float64 `json:"was,omitempty"`    // in the other, ranges by their middles
	Is     *float64 `json:"is,omitempty"`     // in the pattern
	Change *float64 `json:"change,omitempty"` // what was added
}

// CompareCharts says how a chart differs from another.
func CompareCharts(a, other *Soundness) *ChartChange {
	c := &ChartChange{Version: 1, Pattern: a.Pattern, Other: other.Pattern, Sound: a.Sound, Units: a.Shown.Units,
		Cells: []CellChange{}, New: without(a.Findings, other.Findings), Gone: without(other.Findings, a.Findings)}
	for _, r := range rowsOfBoth(a, other) {
		for _, size := range labelsOfBoth(a, other) {
			is, was := a.cellAt(r, size), other.cellAt(r, size)
			change := CellChange{Of: r.Of, Row: r.Row, Size: size, Was: was.middle(), Is: is.middle()}
			if change.Was != nil && change.Is != nil {
				c.Compared++
				d := roundTo(*change.Is-*change.Was, 1000)
				change.Change = &d
				if d == 0 && *is.Low == *was.Low {
					continue
				}
			}
			if change.Was != nil || change.Is != nil {
				c.Cells = append(c.Cells, change)
			}
		}
	}
	return c
}

// middle is the figure of a cell, nil for a gap.
func (c StepCell) middle() *float64 {
	if c.Low == nil {
		return nil
	}
	m := roundTo((*c.Low+*c.High)/2, 1000)
	return &m
}

// without are the findings that the others lack.
func without(all, others []Finding) []Finding {
	out := []Finding{}
	for _, f := range all {
		same := func(o Finding) bool { return o.ID == f.ID && o.Of == f.Of && o.Row == f.Row && o.Size == f.Size }
		if !slices.ContainsFunc(others, same) {
			out = append(out, f)
		}
	}
	return out
}

func (r StepRow) same(o StepRow) bool { return r.Of == o.Of && r.Row == o.Row }

// rowsOfBoth are the rows of both charts, those of the first before what only the
// other has.
func rowsOfBoth(a, b *Soundness) []StepRow {
	out := slices.Clone(a.Rows)
	for _, r := range b.Rows {
		if !slices.ContainsFunc(out, r.same) {
			out = append(out, r)
		}
	}
	return out
}

func labelsOfBoth(a, b *Soundness) []string {
	out := slices.Clone(a.Sizes)
	for _, s := range b.Sizes {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// cellAt is the cell of a row and a size, a gap where there is none.
func (a *Soundness) cellAt(r StepRow, size string) StepCell {
	row, s := slices.IndexFunc(a.Rows, r.same), slices.Index(a.Sizes, size)
	if row < 0 || s < 0 {
		return StepCell{}
	}
	return a.Rows[row].Cells[s]
}
