package engine

import (
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
)

// ChartBeside says how a chart lies beside another at equal bodies, whatever the
// sizes of either are called. Lengths are centimetres.
type ChartBeside struct {
	Version int           `json:"version"` // the version of this form: 1
	Pattern string        `json:"pattern"` // the pattern's name
	Other   string        `json:"other"`   // that of the one beside it
	By      string        `json:"by"`      // the measurement of the body that is equal
	Sizes   []EqualSize   `json:"sizes"`   // those of the pattern whose figure the other chart has too
	Rows    []BesideRow   `json:"rows"`    // what both have, from the top of the body down, body rows first
	Units   quantity.Unit `json:"-"`       // of the words
}

// EqualSize is a size, and where a body of it lies on the other chart.
type EqualSize struct {
	Size   string  `json:"size"`            // the pattern's
	Figure float64 `json:"figure"`          // its body there
	From   string  `json:"from"`            // the other chart's size of that body, or the smaller of two
	To     string  `json:"to,omitempty"`    // the larger of two; absent where one has it
	Share  float64 `json:"share,omitempty"` // how far from the one to the other

	place, from, to int
}

// BesideRow is by how much a row of the pattern is more than the other's.
type BesideRow struct {
	Of   Part       `json:"of"`   // the size chart or the finished measurements
	Row  string     `json:"row"`  // the measurement
	More []*float64 `json:"more"` // one to each of the sizes; null where a cell is lacking
}

// NotOnBothError says that two charts cannot be held beside one another.
type NotOnBothError struct{ By string }

func (e *NotOnBothError) Error() string {
	return fmt.Sprintf("the two charts have no %s of a body in common", e.By)
}

// Beside compares two charts where a measurement of the body is equal. Errors: [NotOnBothError].
func Beside(a, other *Soundness, by string) (*ChartBeside, error) {
	c := &ChartBeside{Version: 1, Pattern: a.Pattern, Other: other.Pattern, By: by, Sizes: []EqualSize{}, Rows: []BesideRow{}, Units: a.Shown.Units}
	row := StepRow{Of: OfBody, Row: by}
	for i, size := range a.Sizes {
		if m := a.cellAt(row, size).middle(); m != nil {
			if e, ok := other.equal(row, *m); ok {
				e.Size, e.Figure, e.place = size, *m, i
				c.Sizes = append(c.Sizes, e)
			}
		}
	}
	if len(c.Sizes) == 0 {
		return nil, &NotOnBothError{a.Shown.Title(by)}
	}
	for _, r := range a.Rows {
		if r.same(row) || !slices.ContainsFunc(other.Rows, r.same) {
			continue
		}
		one := BesideRow{Of: r.Of, Row: r.Row}
		for _, e := range c.Sizes {
			one.More = append(one.More, moreThan(r.Cells[e.place].middle(), other, r, e))
		}
		c.Rows = append(c.Rows, one)
	}
	return c, nil
}

// equal finds where a figure lies in a row of the body.
func (a *Soundness) equal(r StepRow, figure float64) (e EqualSize, ok bool) {
	last := -1
	for i, size := range a.Sizes {
		m := a.cellAt(r, size).middle()
		if m == nil {
			continue
		}
		if *m == figure {
			return EqualSize{From: size, from: i, to: i}, true
		}
		if last >= 0 {
			low := a.cellAt(r, a.Sizes[last]).middle()
			if (*low < figure) == (figure < *m) {
				return EqualSize{From: a.Sizes[last], To: size, Share: roundTo((figure-*low)/(*m-*low), 1000), from: last, to: i}, true
			}
		}
		last = i
	}
	return e, false
}

// moreThan is a figure less the other chart's at an equal body.
func moreThan(is *float64, other *Soundness, r StepRow, e EqualSize) *float64 {
	low, high := other.cellAt(r, other.Sizes[e.from]).middle(), other.cellAt(r, other.Sizes[e.to]).middle()
	if is == nil || low == nil || high == nil {
		return nil
	}
	more := roundTo(*is-*low-(*high-*low)*e.Share, 1000)
	return &more
}
