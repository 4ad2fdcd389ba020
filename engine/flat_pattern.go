package engine

import (
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// FlatRequest asks for the finished measurements of pieces laid flat.
type FlatRequest struct {
	Pieces     *Pieces
	Pattern    *Pattern // whose chart they are compared with; nil: none
	Body       *Body    // that stands in where the chart says nothing; nil: none
	Units      quantity.Unit
	Vocabulary *Vocabulary
}

// Flat is what pieces laid flat measure once they are sewn. Lengths are
// centimetres, whatever the reader's units; its words follow the reader's units.
type Flat struct {
	Version  int           `json:"version"`           // the version of this form: 1
	Pieces   string        `json:"pieces"`            // what the pieces are called
	Pattern  string        `json:"pattern,omitempty"` // the pattern whose chart they are compared with
	Body     string        `json:"body,omitempty"`    // the body they are compared with
	Sizes    []FlatSize    `json:"sizes"`             // the sizes that were measured
	Cautions []Caution     `json:"cautions"`          // slips that the figures look like
	Why      *explain.Node `json:"why"`               // the sums as a tree, down to the pieces
	Finished []FlatRow     `json:"-"`                 // what a pattern may say under `finished`
	For      []string      `json:"-"`                 // the sizes of those rows; empty where none is named
	Units    quantity.Unit `json:"-"`
}

// FlatSize is one size.
type FlatSize struct {
	Size     string        `json:"size"`     // as the pattern prints it; empty where it is not said
	Measures []FlatMeasure `json:"measures"` // the finished measurements, from the top of the body down
}

// FlatMeasure is one finished measurement.
type FlatMeasure struct {
	Measure  string     `json:"measure"`            // its name
	Finished float64    `json:"finished"`           // what it comes to
	Sum      string     `json:"sum"`                // how, in the reader's units
	Parts    []FlatPart `json:"parts"`              // what each piece adds
	Overlap  *float64   `json:"overlap,omitempty"`  // taken out once for the garment
	Fullness *Fullness  `json:"fullness,omitempty"` // what is gathered there
	Body     *float64   `json:"body,omitempty"`     // the chart's body of this size, or else the body's own
	Ease     *float64   `json:"ease,omitempty"`     // finished less body
	Title    string     `json:"-"`                  // its name in a sentence
}

// Fullness is cloth that is gathered: a ratio, and no ease.
type Fullness struct {
	Flat  float64 `json:"flat"`  // the cloth before it is gathered
	To    float64 `json:"to"`    // what it is gathered to
	Ratio float64 `json:"ratio"` // the one to the other
}

// FlatPart is what one piece adds to a measurement.
type FlatPart struct {
	Piece    string    `json:"piece"`             // its name
	Cut      float64   `json:"cut"`               // on the piece as it lies, from edge to edge
	TakenOut []FlatOut `json:"taken_out"`         // what does not show in the finished garment
	Times    int       `json:"times"`             // how often it lies round what is measured
	Gathers  float64   `json:"gathers,omitempty"` // the cloth to what it is gathered to; absent where it is not
	Adds     float64   `json:"adds"`              // what it adds: the parts less the overlap are the whole
	At       string    `json:"at"`                // where it stands, as file:line:column
	Say      string    `json:"say"`               // the same in the reader's units
}

// FlatOut is one thing taken out of a piece.
type FlatOut struct {
	What   string  `json:"what"`   // seam allowances, darts, closed pleats ...
	Amount float64 `json:"amount"` // how much of the piece it takes
}

// FlatRow is a row of finished measurements, a text to each size.
type FlatRow struct {
	Measure string
	Cells   []string
}

// LayFlat puts finished measurements together from pieces laid flat, writes
// each sum out, and tells of what looks like a slip of measuring.
func LayFlat(q FlatRequest) *Flat {
	q.Vocabulary = q.Vocabulary.For(q.Pattern, nil)
	l := &laying{FlatRequest: q, words: words{q.Units}}
	out := &Flat{Version: 1, Pieces: q.Pieces.Name, Sizes: []FlatSize{}, Cautions: []Caution{}, Units: q.Units,
		Why: &explain.Node{ID: "flat", Label: "finished measurements of " + q.Pieces.Name + ", from pieces laid flat", Source: q.Pieces.At.String()}}
	if q.Pattern != nil {
		out.Pattern = q.Pattern.Name
	}
	if q.Body != nil {
		out.Body = q.Body.Name
	}
	for i := range q.Pieces.Sizes {
		p := &q.Pieces.Sizes[i]
		sums := p.Sums(q.Vocabulary)
		size, why := l.size(p, sums)
		out.Sizes = append(out.Sizes, size)
		out.Why.Add(why)
		out.caution(l.slips(p, sums))
	}
	l.rows(out)
	return out
}

// laying is a request being answered.
type laying struct {
	FlatRequest
	words
}

func (l *laying) size(p *SizedPieces, sums []*Sum) (FlatSize, *explain.Node) {
	out := FlatSize{Size: p.Size, Measures: []FlatMeasure{}}
	n := &explain.Node{ID: explain.ID("flat", p.Size), Label: "size " + p.Size, Source: p.At.String()}
	if p.Size == "" {
		n.Label = "the size that was measured"
	}
	for _, s := range sums {
		out.Measures = append(out.Measures, l.measured(s))
		n.Add(s.explain(n.ID+"/"+s.Measure, l.words, l.Vocabulary))
	}
	return out, n
}

func (l *laying) measured(s *Sum) FlatMeasure {
	out := FlatMeasure{Measure: s.Measure, Title: l.Vocabulary.Title(s.Measure), Finished: cmOf(s.Total), Sum: l.sum(s), Parts: []FlatPart{}}
	for i := range s.Strips {
		out.Parts = append(out.Parts, l.flatPart(&s.Strips[i]))
	}
	if s.Overlap != nil {
		v := cmOf(s.Overlap.Length)
		out.Overlap = &v
	}
	if flat, to := s.gathered(); to > 0 {
		out.Fullness = &Fullness{cmOf(flat), cmOf(to), roundTo(float64(flat)/float64(to), 10_000)}
	}
	if body, _, known := l.body(s); known {
		v, ease := cmOf(body), cmOf(s.Total-body)
		out.Body, out.Ease = &v, &ease
	}
	return out
}

func (l *laying) flatPart(s *Strip) FlatPart {
	out := FlatPart{Piece: s.Piece, Cut: cmOf(s.Cut), TakenOut: []FlatOut{}, Times: s.times(), Gathers: s.Ratio, Adds: cmOf(s.adds()), At: s.At.String(), Say: l.part(s)}
	if a := s.allowance(); a != 0 {
		out.TakenOut = append(out.TakenOut, FlatOut{"seam allowances", cmOf(a)})
	}
	for _, o := range s.Out {
		out.TakenOut = append(out.TakenOut, FlatOut{o.What, cmOf(o.Length)})
	}
	return out
}

func cmOf(l quantity.Length) float64 { return roundTo(l.Cm(), 1000) }

// body is the body that a measurement goes round, and whose it is: the chart's
// of its size, else that of the person named.
func (l *laying) body(s *Sum) (v quantity.Length, whose string, known bool) {
	if l.Pattern != nil {
		at := slices.Index(l.Pattern.Sizes, s.Size)
		if row := l.Vocabulary.rowOf(l.Pattern.Chart, s.Measure); at >= 0 && row.known() && row[at].Known {
			return quantity.Mean([]quantity.Length{row[at].Low, row[at].High}), "the chart's " + l.Vocabulary.Title(s.Measure), true
		}
	}
	if l.Body == nil {
		return 0, "", false
	}
	m := l.Vocabulary.Measure(s.Measure)
	for _, name := range []string{m.Name, m.SameAs} {
		if t, taken := l.Body.Measurements[name]; taken {
			return t.value(), "your " + l.Vocabulary.Title(name), true
		}
	}
	return 0, "", false
}

// rows are what a pattern may say: a cell to each of its sizes, or to those
// that were measured where no pattern is named.
func (l *laying) rows(out *Flat) {
	var chart map[string]Row
	if l.Pattern != nil {
		out.For, chart = l.Pattern.Sizes, l.Pattern.Chart
	} else {
		for i := range l.Pieces.Sizes {
			out.For = append(out.For, l.Pieces.Sizes[i].Size)
		}
	}
	rows := l.Pieces.Rows(out.For, chart, l.Vocabulary)
	for _, measure := range l.Vocabulary.Words() {
		if rows[measure] == nil {
			continue
		}
		r := FlatRow{Measure: measure}
		for _, c := range rows[measure] {
			text := "~"
			if c.Known {
				text = l.exactly(c.Low)
			}
			r.Cells = append(r.Cells, text)
		}
		out.Finished = append(out.Finished, r)
	}
}

// caution adds what is said of a size, each slip once for a measurement.
func (f *Flat) caution(slips []Caution) {
	for _, c := range slips {
		if !slices.ContainsFunc(f.Cautions, func(have Caution) bool { return have.ID == c.ID && have.Zone == c.Zone && have.At == c.At }) {
			f.Cautions = append(f.Cautions, c)
		}
	}
}

// ofSize names the size in a sentence.
func ofSize(size string) string {
	if size == "" {
		return ""
	}
	return fmt.Sprintf(" in size %s", size)
}
