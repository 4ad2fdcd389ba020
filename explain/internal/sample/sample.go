// Package sample is what the tests of all faces show: [Document] has every kind of
// block, [Hostile] has markup wherever a text can stand.
package sample

import "fitadvisor/explain"

// Document is about a shelf that is put between two walls.
func Document() *explain.Document {
	d := &explain.Document{}
	d.Add(
		explain.Headline{Lead: "Saw", Large: "B", Rest: "with the ends of A", Beside: []string{"The shelf", "for Wren"}},
		explain.Framed{Items: []explain.Frame{{Title: "Before you saw", Lines: []string{"Measure the wall once more."}}}},
		explain.Framed{Items: []explain.Frame{{Title: "Left", Large: "36", Lines: []string{"½ in to spare"}}, {Title: "Right", Large: "36 1/2"}}},
		explain.Beside{Left: []explain.Block{Shapes()}, Right: []explain.Block{explain.Heading("In this order"),
			explain.Steps{Items: []explain.Step{{Mark: explain.ToTick, Text: "Mark the board on both edges, and square the mark across with the try square."}, {Mark: explain.ToTick, Text: "Saw."}}}}},
		explain.NewPage("What it rests on"),
		explain.Sentence("Saw the board to 36 1/2 in: it goes in with ½ in to spare, as `fit.yaml` asks, and \"Tern & Wren\" <sic> agree."),
		explain.Heading("Boards side by side"),
		explain.Table{Header: []string{"", "A", "> B <"}, Numeric: []bool{false, true, true},
			Rows: [][]string{{"length", "35", "36 1/2"}, {"to spare", "2 | 3", "-1/2"}, {"verdict", "loose"}}},
		Scale(), Shapes(),
		explain.Heading("What to do"),
		explain.Steps{Items: []explain.Step{
			{Mark: "1.", Text: "Measure the wall twice.", Lines: []string{"Once at the back, once in front.", "[two-readings, common practice]"}},
			{Mark: "2.", Text: "Saw."}}},
		explain.Heading("Mind"),
		explain.Steps{Items: []explain.Step{
			{Mark: "warn", Text: "Pine moves by 1 % over a year.", Lines: []string{"What to do: leave a gap."}},
			{Mark: "note", Text: "The saw takes 1/8 in."}}},
		explain.Steps{Items: []explain.Step{{Mark: "-", Text: "The wall is plumb: taken for granted."}}},
		explain.Verbatim("wall: 37 in   # a comment\n  board: 36 1/2 in"),
		explain.Tree{Root: (&explain.Node{Label: "to spare: 37 - 36 1/2 = 1/2 in", Source: "the sum"}).Add(
			(&explain.Node{Label: "the wall is 37 in", Source: "wall.yaml:1:7"}).Add(&explain.Node{Label: "the mean of 2 readings", Source: "wall.yaml:1:7"}),
			&explain.Node{Label: "the board is 36 1/2 in", Source: "wall.yaml:2:10"})},
	)
	return d
}

// Scale has every kind of mark, an estimate, and marks that crowd.
func Scale() explain.Scale {
	wanted := 36.5
	return explain.Scale{Title: "length, in inches", Unit: "in",
		Alt:   "Your wall is 37 in. Board B, 36 1/2 in, is in the range of 36 to 36 7/8 in, at what is wanted.",
		Ticks: []explain.Tick{{At: 34, Label: "34"}, {At: 35, Label: "35"}, {At: 36, Label: "36"}, {At: 37, Label: "37"}, {At: 38, Label: "38"}},
		Band:  &explain.Band{Label: "expected", Low: 36, High: 36.875}, Aim: &wanted,
		Rows: []explain.Row{
			{Label: "you", Marks: []explain.Mark{{At: 37, Label: "37", Kind: explain.Given}}},
			{Label: "boards", Marks: []explain.Mark{{At: 34.25, Label: "Z", Kind: explain.Choice, Rough: true}, {At: 35, Label: "A", Kind: explain.Choice},
				{At: 36.5, Label: "B", Kind: explain.Chosen}, {At: 36.625, Label: "C", Kind: explain.Excluded}, {At: 38, Label: "D", Kind: explain.Excluded}}}},
		Legend: []explain.Key{{Kind: explain.Given, Text: "your wall"}, {Kind: explain.Within, Text: "expected"}, {Kind: explain.Aimed, Text: "wanted"},
			{Kind: explain.Chosen, Text: "the board to saw"}, {Kind: explain.Choice, Text: "another"}, {Kind: explain.Excluded, Text: "too long"},
			{Kind: explain.Estimate, Text: "an estimate"}}}
}

// Shapes has every role, a curve, labels at every anchor and dimensions both ways.
func Shapes() explain.Shapes {
	s := explain.Shapes{Title: "The shelf", Alt: "A shelf 36 1/2 in wide and 10 in deep, its front edge curved, the wall behind it.", Box: explain.Box{X: 0, Y: 0, Width: 37, Height: 14}}
	front := explain.Line(explain.Outline, explain.Point{X: 0.25, Y: 2}, explain.Point{X: 36.75, Y: 2}, explain.Point{X: 36.75, Y: 12})
	front.Closed = true
	front.Legs = append(front.Legs, explain.Leg{To: explain.Point{X: 0.25, Y: 12}, Curve: &explain.Curve{A: explain.Point{X: 27, Y: 9}, B: explain.Point{X: 10, Y: 15}}})
	top := front
	top.Role = explain.Area
	s.Add(top, front,
		explain.Line(explain.Against, explain.Point{X: 0, Y: 1}, explain.Point{X: 37, Y: 1}),
		explain.Line(explain.Other, explain.Point{X: 0.25, Y: 8}, explain.Point{X: 36.75, Y: 8}),
		explain.Line(explain.Guide, explain.Point{X: 18.5, Y: 2}, explain.Point{X: 18.5, Y: 13}),
		explain.Line(explain.Accent, explain.Point{X: 4, Y: 3}, explain.Point{X: 12, Y: 3}),
		explain.Label{Role: explain.Accent, At: explain.Point{X: 4, Y: 4.5}, Text: "saw here", Anchor: explain.AtStart},
		explain.Label{Role: explain.Guide, At: explain.Point{X: 18.5, Y: 13.5}, Text: "middle", Anchor: explain.AtMiddle},
		explain.Label{Role: explain.Other, At: explain.Point{X: 36, Y: 7.3}, Text: "last year's", Anchor: explain.AtEnd},
		explain.Dimension{From: explain.Point{X: 0.25, Y: 0}, To: explain.Point{X: 36.75, Y: 0}, Text: "36 1/2 in"},
		explain.Dimension{From: explain.Point{X: 38, Y: 2}, To: explain.Point{X: 38, Y: 12}, Text: "10 in"})
	return s
}

// Markup is a text that must be shown and never read as markup.
const Markup = `</title></svg></style></details>&#60;<script>alert("1")</script><img src=x onerror='a()'> ]]> & "q" --> javascript:x`

// Hostile has the text wherever one can stand.
func Hostile(text string) *explain.Document {
	d := &explain.Document{}
	s := Scale()
	s.Title, s.Alt, s.Unit, s.Band.Label = text, text, text, text
	s.Rows = []explain.Row{{Label: text, Marks: []explain.Mark{{At: 35, Label: text, Kind: explain.Kind(text)}}}}
	s.Ticks[0].Label, s.Legend[0].Text, s.Legend[0].Kind = text, text, explain.Kind(text)
	drawing := explain.Shapes{Title: text, Alt: text, Box: explain.Box{Width: 1, Height: 1}}
	drawing.Add(explain.Label{Role: explain.Role(text), Text: text, Anchor: explain.Anchor(text)}, explain.Dimension{Text: text}, explain.Line(explain.Role(text), explain.Point{}))
	d.Add(explain.Headline{Lead: text, Large: text, Rest: text, Beside: []string{text, text}}, explain.Framed{Items: []explain.Frame{{Title: text, Large: text, Lines: []string{text}}, {Title: text}}},
		explain.Beside{Left: []explain.Block{drawing}, Right: []explain.Block{explain.Steps{Items: []explain.Step{{Mark: explain.ToTick, Text: text, Lines: []string{text}}}}}}, explain.NewPage(text))
	d.Add(explain.Heading(text), explain.Sentence(text), s, drawing, explain.Verbatim(text), explain.Table{Header: []string{text}, Rows: [][]string{{text}}},
		explain.Steps{Items: []explain.Step{{Mark: text, Text: text, Lines: []string{text}}}},
		explain.Tree{Root: (&explain.Node{ID: text, Label: text, Source: text}).Add(&explain.Node{Label: text})})
	return d
}
