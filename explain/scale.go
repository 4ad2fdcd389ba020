package explain

import "math"

// Scale shows figures on one common axis: rows of marks, with a band behind
// them and a point that is aimed at. All figures are in the axis's unit. The
// axis reaches from the least to the greatest figure of all, ticks included.
type Scale struct {
	Title  string
	Alt    string   // the same in words, for whoever does not see the picture
	Unit   string   // the reader's, as in "in", "cm" or "%"
	Ticks  []Tick   // at round figures, in rising order
	Band   *Band    // nil: none
	Aim    *float64 // the point aimed at; nil: none
	Rows   []Row
	Legend []Key // in reading order
}

// Row is one line of marks.
type Row struct {
	Label string
	Marks []Mark
}

// Mark is one figure. It is told from others by its shape and its label, and
// only then by its colour.
type Mark struct {
	At    float64
	Label string // short: it stands beside the mark
	Kind  Kind
	Rough bool // an estimate: drawn hollow, its label with a ~ before it
}

// Kind is what a mark stands for, and so how it looks.
type Kind string

// The kinds of marks.
const (
	Given    Kind = "given"    // what the others are compared with: an upright line
	Choice   Kind = "choice"   // one that can be had: a disc
	Chosen   Kind = "chosen"   // the one that is taken: a large diamond
	Excluded Kind = "excluded" // one that cannot be had: a cross
	Aimed    Kind = "aimed"    // the point aimed at, in a legend
	Within   Kind = "within"   // the band, in a legend
	Estimate Kind = "estimate" // a rough mark, in a legend
)

// Band is a stretch of the axis. An open end runs on to the end of the axis.
type Band struct {
	Label             string
	Low, High         float64 // an open end is not looked at
	OpenLow, OpenHigh bool
}

// Tick is a named point of the axis.
type Tick struct {
	At    float64
	Label string
}

// Key says in words what a kind of mark stands for.
type Key struct {
	Kind Kind
	Text string
}

// Far is the greatest figure, and the farthest coordinate, that can be drawn.
const Far = 1e9

// Span returns both ends of the axis. They are apart, even where all figures are
// one; no figure at all gives 0 and 1. ok is false if a figure cannot be drawn: it
// is no number, or too great for one.
func (s Scale) Span() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	ok = true
	take := func(v float64) {
		ok = ok && math.Abs(v) <= Far
		low, high = min(low, v), max(high, v)
	}
	for _, t := range s.Ticks {
		take(t.At)
	}
	for _, r := range s.Rows {
		for _, m := range r.Marks {
			take(m.At)
		}
	}
	if s.Aim != nil {
		take(*s.Aim)
	}
	if b := s.Band; b != nil {
		if !b.OpenLow {
			take(b.Low)
		}
		if !b.OpenHigh {
			take(b.High)
		}
	}
	switch {
	case low > high:
		return 0, 1, ok
	case low == high:
		return low, low + 1, ok
	}
	return low, high, ok
}
