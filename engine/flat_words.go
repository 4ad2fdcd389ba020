package engine

import (
	"fmt"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// exactly prints a length without rounding where it can be written with a
// tape's fractions or with four decimals, so that sums hold on paper; else as
// it is shown elsewhere.
func (w words) exactly(l quantity.Length) string {
	finest := quantity.Millimetre / 1000
	if w.units == quantity.In {
		finest = quantity.Inch / 64
	}
	if l%finest == 0 {
		return l.Exact(w.units)
	}
	return l.Format(w.units)
}

// bare is a length within a sum, whose unit stands at the end.
func (w words) bare(l quantity.Length) string {
	text := w.exactly(l)
	return text[:strings.LastIndexByte(text, ' ')]
}

// sum writes a measurement out: "(11 - 1 1/4 - 1 + 10 - 1 1/4) x 2 = 35 in".
func (w words) sum(s *Sum) string {
	if g := s.Graded; g != nil {
		sign, change := "+", g.Change
		if change < 0 {
			sign, change = "-", -change
		}
		return fmt.Sprintf("%s %s %s = %s", w.bare(g.From.Total), sign, w.bare(change), w.exactly(s.Total))
	}
	text := ""
	for _, alike := range multiplied(s.Strips) {
		if text != "" {
			text += " + "
		}
		text += w.product(alike)
	}
	if s.Overlap != nil {
		text += " - " + w.bare(s.Overlap.Length)
	}
	if text == w.bare(s.Total) { // nothing to add up
		return w.exactly(s.Total)
	}
	return text + " = " + w.exactly(s.Total)
}

// multiplied puts together the pieces that are multiplied alike, in order.
func multiplied(strips []Strip) [][]*Strip {
	var groups [][]*Strip
next:
	for i := range strips {
		s := &strips[i]
		for k := range groups {
			if first := groups[k][0]; first.times() == s.times() && first.Ratio == s.Ratio {
				groups[k] = append(groups[k], s)
				continue next
			}
		}
		groups = append(groups, []*Strip{s})
	}
	return groups
}

func (w words) product(alike []*Strip) string {
	var terms []string
	for _, s := range alike {
		term := w.bare(s.Cut)
		if a := s.allowance(); a != 0 {
			term += " - " + w.bare(a)
		}
		for _, o := range s.Out {
			term += " - " + w.bare(o.Length)
		}
		terms = append(terms, term)
	}
	text, first := strings.Join(terms, " + "), alike[0]
	if first.times() == 1 && first.Ratio == 0 {
		return text
	}
	if strings.Contains(text, " - ") || strings.Contains(text, " + ") {
		text = "(" + text + ")"
	}
	if first.times() > 1 {
		text += fmt.Sprintf(" x %d", first.times())
	}
	if first.Ratio > 0 {
		text += " / " + ratio(first.Ratio)
	}
	return text
}

func ratio(r float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", r), "0"), ".")
}

// part says what one piece adds, and why.
func (w words) part(s *Strip) string {
	text := s.Piece + ": " + w.exactly(s.Cut) + w.seams(s.Edges)
	for _, o := range s.Out {
		text += fmt.Sprintf(" - %s %s", o.What, w.exactly(o.Length))
	}
	if s.Net() != s.Cut {
		text += " = " + w.exactly(s.Net())
	}
	if s.times() > 1 || s.Limb {
		text += fmt.Sprintf("; %s: %s", lies(s), w.exactly(s.flat()))
	}
	if s.Ratio > 0 {
		text += fmt.Sprintf(", gathered %s : 1 to %s", ratio(s.Ratio), w.exactly(s.adds()))
	}
	return text
}

// lies says how often a piece lies there.
func lies(s *Strip) string {
	text := "1 copy"
	if s.Copies > 1 {
		text = fmt.Sprintf("%d copies", s.Copies)
	}
	if s.OnFold {
		text += " on the fold"
	}
	if s.Limb {
		text += ", for a left and a right"
	}
	return text
}

// seams writes allowances out, those that are named by their edges.
func (w words) seams(edges []Edge) string {
	switch {
	case len(edges) == 0:
		return ""
	case edges[0].Name == "" && edges[0].Allowance == 0:
		return ""
	case edges[0].Name == "" && len(edges) == 1:
		return " - seam allowance " + w.exactly(edges[0].Allowance)
	case edges[0].Name == "":
		return fmt.Sprintf(" - %d seam allowances of %s", len(edges), w.exactly(edges[0].Allowance))
	}
	var named []string
	for _, e := range edges {
		if e.Allowance != 0 {
			named = append(named, e.Name+" "+w.exactly(e.Allowance))
		}
	}
	if len(named) == 0 {
		return ""
	}
	return " - allowance (" + strings.Join(named, ", ") + ")"
}

// explain leads a measurement back to the pieces; nil for none.
func (s *Sum) explain(id string, w words, v *Vocabulary) *explain.Node {
	if s == nil {
		return nil
	}
	n := &explain.Node{ID: id, Value: cmValue(float64(s.Total)), Source: s.at().String()}
	n.Label = fmt.Sprintf("%s from pieces laid flat: %s", v.Title(s.Measure), w.sum(s))
	if s.Graded != nil {
		return s.explainGraded(n, w, v)
	}
	for i := range s.Strips {
		p := &s.Strips[i]
		n.Add(&explain.Node{ID: fmt.Sprintf("%s/%d", id, i+1), Label: w.part(p), Value: cmValue(float64(p.adds())), Source: p.At.String()})
	}
	if o := s.Overlap; o != nil {
		n.Add(&explain.Node{ID: id + "/overlap", Label: "the overlap, taken out once: " + w.exactly(o.Length), Value: cmValue(float64(o.Length)), Source: o.At.String()})
	}
	return n
}

func (s *Sum) explainGraded(n *explain.Node, w words, v *Vocabulary) *explain.Node {
	g := s.Graded
	n.Label = fmt.Sprintf("%s of size %s from size %s, whose pieces were laid flat: %s, as the chart goes", v.Title(s.Measure), s.Size, g.From.Size, w.sum(s))
	if g.Grade != nil {
		n.Label = fmt.Sprintf("%s of size %s from size %s, whose pieces were laid flat, graded by %s from size to size: %s",
			v.Title(s.Measure), s.Size, g.From.Size, w.exactly(g.Grade.Step), w.sum(s))
		n.Source = g.Grade.At.String()
	}
	return n.Add(g.From.explain(n.ID+"/measured", w, v))
}

// gradedAssumption says that a size was not measured itself.
func gradedAssumption(title string, s *Sum) Assumption {
	because := "its pieces were not measured in this size; it grows as the chart does"
	if s.Graded.Grade != nil {
		because = "its pieces were not measured in this size; it is graded as you say"
	}
	return Assumption{fmt.Sprintf("the finished %s of size %s follows from that of size %s", title, s.Size, s.Graded.From.Size), because}
}
