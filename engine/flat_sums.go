package engine

import (
	"cmp"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Pieces are the pieces of a garment laid flat, in one size or several. Give
// them to [LayFlat] for finished measurements, or to [Pieces.Rows] for the rows
// of a pattern.
type Pieces struct {
	Name  string
	Units quantity.Unit
	Sizes []SizedPieces    // in the order of the file, at least one
	Grade map[string]Grade // by measurement
	At    diag.Range
}

// Grade is what a finished measurement grows by from one size to the next.
type Grade struct {
	Step quantity.Length
	At   diag.Range
}

// SizedPieces are the pieces in one size.
type SizedPieces struct {
	Size     string // as the pattern prints it; empty where it is not said
	Strips   []Strip
	Overlaps map[string]TakenOut // by measurement: taken out once for the garment
	ToCentre bool                // the fronts were measured to the centre front: no overlap is taken out
	At       diag.Range
}

// Strip is what one piece adds to one measurement: a width across it, or a
// length along it.
type Strip struct {
	Piece   string
	Measure string
	Cut     quantity.Length // on the piece as it lies, from edge to edge
	Edges   []Edge          // that are sewn into a seam there
	Out     []TakenOut
	Ratio   float64 // of gathers, the cloth to what it is gathered to; 0: none
	Copies  int     // 1 or more
	OnFold  bool
	Limb    bool // of a limb: one of a left and a right is measured
	Along   bool // a length: neither copies nor the fold make it longer
	At      diag.Range
}

// Edge is an edge with its seam allowance. Edges that all have the same are
// not named.
type Edge struct {
	Name      string
	Allowance quantity.Length
}

// TakenOut is what does not show in the finished garment: darts, closed pleats
// and tucks, a facing or hem, an overlap.
type TakenOut struct {
	What   string // in a sentence: "darts"
	Length quantity.Length
	At     diag.Range
}

// allowance is what goes into the seams.
func (s *Strip) allowance() quantity.Length {
	var sum quantity.Length
	for _, e := range s.Edges {
		sum += e.Allowance
	}
	return sum
}

// Net is what is left of the piece once everything is taken out.
func (s *Strip) Net() quantity.Length {
	net := s.Cut - s.allowance()
	for _, o := range s.Out {
		net -= o.Length
	}
	return net
}

// times is how often the piece lies round what is measured.
func (s *Strip) times() int {
	n := s.Copies
	switch {
	case s.Along:
		return 1
	case s.OnFold:
		n *= 2
	}
	if s.Limb {
		n /= 2
	}
	return n
}

// flat is what the copies measure before they are gathered.
func (s *Strip) flat() quantity.Length { return s.Net() * quantity.Length(s.times()) }

// adds is what the piece adds to the finished measurement.
func (s *Strip) adds() quantity.Length {
	if s.Ratio == 0 {
		return s.flat()
	}
	return quantity.Length(math.Round(float64(s.flat()) / s.Ratio))
}

// Sum is a finished measurement with what it was put together from.
type Sum struct {
	Measure string
	Size    string
	Strips  []Strip
	Overlap *TakenOut // nil: none is taken out
	Graded  *Graded   // nil: the pieces were measured in this size
	Total   quantity.Length
}

// Graded says how a size that was not measured follows from one that was.
type Graded struct {
	From   *Sum
	Change quantity.Length
	Steps  int    // from the size measured, below 0 for smaller sizes
	Grade  *Grade // nil: as the chart goes
}

// at is where the sum begins in its file.
func (s *Sum) at() diag.Range {
	if s.Graded != nil {
		return s.Graded.From.at()
	}
	return s.Strips[0].At
}

// gathered are the flat length and what it is gathered to, at a measurement
// where anything is gathered.
func (s *Sum) gathered() (flat, to quantity.Length) {
	for i := range s.Strips {
		if p := &s.Strips[i]; p.Ratio > 0 {
			flat, to = flat+p.flat(), to+p.adds()
		}
	}
	return flat, to
}

// Sums puts the finished measurements of the size together, from the top of
// the body down.
func (p *SizedPieces) Sums(v *Vocabulary) []*Sum {
	var sums []*Sum
	for _, name := range v.Words() {
		s := &Sum{Measure: name, Size: p.Size}
		for _, strip := range p.Strips {
			if strip.Measure == name {
				s.Strips = append(s.Strips, strip)
				s.Total += strip.adds()
			}
		}
		if len(s.Strips) == 0 {
			continue
		}
		if o, laps := p.Overlaps[name]; laps && !p.ToCentre {
			s.Overlap = &o
			s.Total -= o.Length
		}
		sums = append(sums, s)
	}
	return sums
}

// Rows are the finished rows of a pattern with these sizes and chart. A size
// that was not measured follows from the nearest that was, of two the smaller:
// by the grade, or else as the chart goes; without either it is a gap.
func (p *Pieces) Rows(sizes []string, chart map[string]Row, v *Vocabulary) map[string]Row {
	rows := map[string]Row{}
	places := make(map[string]int, len(sizes))
	for i, size := range sizes {
		places[size] = i
	}
	for i := range p.Sizes {
		at, known := places[p.Sizes[i].Size]
		if !known {
			continue
		}
		for _, s := range p.Sizes[i].Sums(v) {
			if rows[s.Measure] == nil {
				rows[s.Measure] = make(Row, len(sizes))
			}
			rows[s.Measure][at] = p.cell(s)
		}
	}
	for measure, row := range rows {
		g := grader{pieces: p, sizes: sizes, chart: v.rowOf(chart, measure)}
		g.order = g.places(chart)
		g.fill(measure, row)
	}
	return rows
}

func (p *Pieces) cell(s *Sum) Cell {
	return Cell{Low: s.Total, High: s.Total, Known: true, Text: s.Total.Exact(p.Units), At: s.at(), Sum: s}
}

// rowOf is the row of a measurement, or of the one that satisfies it.
func (v *Vocabulary) rowOf(rows map[string]Row, measure string) Row {
	if row := rows[measure]; row.known() {
		return row
	}
	if m := v.Measure(measure); m != nil && m.SameAs != "" {
		return rows[m.SameAs]
	}
	return nil
}

// grader fills in the sizes that were not measured.
type grader struct {
	pieces *Pieces
	sizes  []string
	chart  Row   // of the same measurement; nil: none
	order  []int // for each size its place, the smallest first; below 0: it has none
}

// places orders the sizes by the chart: by the row of the measurement itself,
// else by the first row there is, in alphabetical order.
func (g *grader) places(chart map[string]Row) []int {
	by := g.chart
	if !by.known() {
		var names []string
		for name, row := range chart {
			if row.known() {
				names = append(names, name)
			}
		}
		if len(names) > 0 {
			by = chart[slices.Min(names)]
		}
	}
	var known []int
	for i := range by {
		if by[i].Known {
			known = append(known, i)
		}
	}
	slices.SortStableFunc(known, func(a, b int) int { return by[a].compare(by[b]) })
	places := slices.Repeat([]int{-1}, len(g.sizes))
	for place, i := range known {
		places[i] = place
	}
	return places
}

func (g *grader) fill(measure string, row Row) {
	var measured []int
	for i := range row {
		if row[i].Known && g.order[i] >= 0 {
			measured = append(measured, i)
		}
	}
	for to := range row {
		if row[to].Known || g.order[to] < 0 || len(measured) == 0 {
			continue
		}
		from := slices.MinFunc(measured, func(a, b int) int {
			return cmp.Or(cmp.Compare(g.apart(a, to), g.apart(b, to)), cmp.Compare(g.order[a], g.order[b]))
		})
		graded := g.graded(measure, row[from].Sum, from, to)
		if graded == nil || graded.From.Total+graded.Change <= 0 {
			continue
		}
		row[to] = g.pieces.cell(&Sum{Measure: measure, Size: g.sizes[to], Graded: graded, Total: graded.From.Total + graded.Change})
	}
}

func (g *grader) apart(from, to int) int {
	return max(g.order[to]-g.order[from], g.order[from]-g.order[to])
}

// graded is the way from a measured size to another; nil where it is not known.
func (g *grader) graded(measure string, sum *Sum, from, to int) *Graded {
	out := &Graded{From: sum, Steps: g.order[to] - g.order[from]}
	if grade, given := g.pieces.Grade[measure]; given {
		out.Grade, out.Change = &grade, grade.Step*quantity.Length(out.Steps)
		return out
	}
	if g.chart == nil || !g.chart[from].Known || !g.chart[to].Known {
		return nil
	}
	out.Change = quantity.Length(math.Round(g.chart[to].middle() - g.chart[from].middle()))
	return out
}
