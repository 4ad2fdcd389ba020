package engine

import (
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// practice is where the usual slips of measuring come from: no publication.
const practice = "common practice"

// slips are what the figures of a size look like if one of the usual slips was
// made: an allowance counted on the fold, a half taken for a quarter, a dart not
// closed, an overlap counted twice, gathers counted as ease.
func (l *laying) slips(p *SizedPieces, sums []*Sum) []Caution {
	out := l.onTheFold(p)
	if p.ToCentre && len(p.Overlaps) > 0 {
		out = append(out, l.overlapAndCentre(p))
	}
	for _, s := range sums {
		if l.Vocabulary.Measure(s.Measure).Kind != Girth {
			continue
		}
		if body, whose, known := l.body(s); known {
			out = append(out, l.besideBody(s, body, whose)...)
		} else {
			out = append(out, l.unlike(s)...)
		}
	}
	return append(out, l.openDarts(sums)...)
}

func slip(id string, s *Sum, at diag.Range, say, fix string) Caution {
	c := Caution{ID: id, Severity: Warn, Say: say, Fix: fix, Source: practice, At: at.String()}
	if s != nil {
		c.Zone = s.Measure
	}
	return c
}

// onTheFold finds pieces on the fold with allowances at more than one edge.
func (l *laying) onTheFold(p *SizedPieces) []Caution {
	var out []Caution
	var met []string
	for i := range p.Strips {
		s := &p.Strips[i]
		var edges []string
		for _, e := range s.Edges {
			if e.Allowance > 0 {
				edges = append(edges, e.Name)
			}
		}
		if !s.OnFold || s.Along || len(edges) < 2 || slices.Contains(met, s.Piece) {
			continue
		}
		met = append(met, s.Piece)
		out = append(out, slip("allowance-on-the-fold", nil, s.At,
			fmt.Sprintf("The %s lies on the fold, and allowances are taken out at %s: a fold is no seam and has none. If one of them lies at the fold, the garment comes out too small.", s.Piece, list(edges, "and")),
			"Name the cut edge alone; or say `on_fold: false` if the piece has a seam there."))
	}
	return out
}

func (l *laying) overlapAndCentre(p *SizedPieces) Caution {
	names := make([]string, 0, len(p.Overlaps))
	for name := range p.Overlaps {
		names = append(names, name)
	}
	o := p.Overlaps[slices.Min(names)]
	return slip("overlap-twice", nil, o.At,
		fmt.Sprintf("The fronts were measured to the centre front, so the overlap of %s is not in the figures, and none is taken out.", l.exactly(o.Length)),
		"Leave the `overlap` out; or leave `fronts` out if they were measured to their edges.")
}

// ofWhole is one length as a share of another.
func ofWhole(part, whole quantity.Length) float64 { return float64(part) / float64(whole) }

// besideBody compares a girth with the body it goes round: beyond what any type
// of garment has, something was counted wrong.
func (l *laying) besideBody(s *Sum, body quantity.Length, whose string) []Caution {
	least, most := 1+l.Vocabulary.Limits.UsualLeast/100, 1+l.Vocabulary.Limits.UsualMost/100
	title := l.Vocabulary.Title(s.Measure)
	comes := fmt.Sprintf("The %s comes to %s%s, %s is %s:", title, l.exactly(s.Total), ofSize(s.Size), whose, l.exactly(body))
	const counted = "Look at `copies` and `on_fold`: a quarter is cut four times, or twice on the fold; a half twice, or once on the fold."
	of := ofWhole(s.Total, body)
	switch {
	case of < least && of*2 >= least:
		return []Caution{slip("half-for-quarter", s, s.at(), comes+" part of the garment seems to be missing, perhaps half.", counted)}
	case of < least:
		return []Caution{slip("half-for-quarter", s, s.at(), comes+" more than half the garment seems to be missing.", counted)}
	case s.Overlap != nil && s.Total < body && s.Total+s.Overlap.Length >= body:
		return []Caution{slip("overlap-twice", s, s.Overlap.At,
			fmt.Sprintf("%s it is smaller than that only by the overlap of %s, which may have been counted twice.", comes, l.exactly(s.Overlap.Length)),
			"If the fronts were measured to the centre front, say `fronts: to centre front` and leave the `overlap` out.")}
	case of >= 2:
		return []Caution{slip("counted-twice", s, s.at(), comes+" half of it would go round.", counted+" If it is gathered there, give the ratio, as in `gathers: {"+s.Measure+": 1.5}`.")}
	case of > most:
		return []Caution{slip("gathers-as-ease", s, s.at(),
			fmt.Sprintf("%s %s more, which no type has as ease. Gathers and open pleats are fullness, a ratio, and no ease.", comes, l.exactly(s.Total-body)),
			"If it is gathered there, give the ratio, as in `gathers: {"+s.Measure+": 1.5}`; if pleats or tucks are sewn down there, take them out.")}
	}
	return nil
}

// unlike compares two pieces that make up a girth, where no body is known.
func (l *laying) unlike(s *Sum) []Caution {
	if len(s.Strips) != 2 {
		return nil
	}
	less, more := &s.Strips[0], &s.Strips[1]
	if less.adds() > more.adds() {
		less, more = more, less
	}
	if ofWhole(less.adds(), more.adds()) >= l.Vocabulary.Limits.PieceShare {
		return nil
	}
	return []Caution{slip("half-for-quarter", s, less.At,
		fmt.Sprintf("At the %s the %s adds %s%s and the %s %s: one of them may be counted as a half and the other as a quarter.",
			l.Vocabulary.Title(s.Measure), less.Piece, l.exactly(less.adds()), ofSize(s.Size), more.Piece, l.exactly(more.adds())),
		"Look at `copies` and `on_fold` of both. Name the `pattern` in the file, or a body with --body, and they are compared with that instead.")}
}

// openDarts finds a waist that nothing takes in: darts that go on below it, or
// a waist as wide as the hip.
func (l *laying) openDarts(sums []*Sum) []Caution {
	var waist, hip *Sum
	for _, s := range sums {
		switch s.Measure {
		case "waist":
			waist = s
		case "hip":
			hip = s
		}
	}
	if waist == nil || waist.takenIn() {
		return nil
	}
	for _, s := range sums {
		if piece := s.darted(); piece != "" && l.Vocabulary.level(s.Measure) > l.Vocabulary.level("waist") {
			return []Caution{slip("dart-not-closed", waist, waist.at(),
				fmt.Sprintf("The %s has darts at the %s and none at the waist, where they are widest.", piece, l.Vocabulary.Title(s.Measure)),
				"Add what they take at the waist, as in `darts: {waist: 1 in}`: the whole width of each, between its two stitching lines.")}
		}
	}
	if hip == nil || waist.Total+l.Vocabulary.Limits.LeastTolerance < hip.Total {
		return nil
	}
	c := slip("dart-not-closed", waist, waist.at(),
		fmt.Sprintf("The waist comes to %s%s, as wide as the hip with %s, and nothing is taken in there.", l.exactly(waist.Total), ofSize(waist.Size), l.exactly(hip.Total)),
		"If it is fitted, give the darts, as in `darts: {waist: 1 in}`, or the closed pleats or gathers. If it hangs straight or elastic draws it in, all is well.")
	c.Severity = Note
	return []Caution{c}
}

// takenIn tells whether anything draws the garment in there.
func (s *Sum) takenIn() bool {
	draws := func(o TakenOut) bool { return o.What != Facing }
	return slices.ContainsFunc(s.Strips, func(p Strip) bool { return p.Ratio > 0 || slices.ContainsFunc(p.Out, draws) })
}

// darted is the first piece with darts there.
func (s *Sum) darted() string {
	for i := range s.Strips {
		if slices.ContainsFunc(s.Strips[i].Out, func(o TakenOut) bool { return o.What == Darts && o.Length > 0 }) {
			return s.Strips[i].Piece
		}
	}
	return ""
}

// What is taken out of a piece, as [TakenOut] names it.
const (
	Darts  = "darts"
	Pleats = "closed pleats"
	Tucks  = "closed tucks"
	Facing = "facing"
	Hem    = "hem"
)
