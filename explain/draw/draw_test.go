package draw_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
	"fitadvisor/explain/internal/sample"
)

var about = cmpopts.EquateApprox(0, 0.001)

// A box of 10 x 5 on a page 106 points wide: 3 points of margin on either side leave
// 100, so that a unit is nearly 10 points (each attempt is a little smaller than
// it must be), and 2 units from the corner are 3 + 20.
func TestShapesToScale(t *testing.T) {
	s := explain.Shapes{Box: explain.Box{X: 100, Y: 50, Width: 10, Height: 5}}
	s.Add(explain.Polygon(explain.Outline, explain.Point{X: 102, Y: 52}, explain.Point{X: 104, Y: 52}, explain.Point{X: 104, Y: 53}))
	p, err := draw.Shapes(s, 106, 1000)
	if err != nil {
		t.Fatal(err)
	}
	path := p.Paths[0]
	unit := (path.Legs[0].To.X - path.Start.X) / 2
	if unit < 9.95 || unit > 10 {
		t.Errorf("a unit is %v points", unit)
	}
	want := explain.Polygon(explain.Outline, explain.Point{X: 3 + 2*unit, Y: 3 + 2*unit}, explain.Point{X: 3 + 4*unit, Y: 3 + 2*unit}, explain.Point{X: 3 + 4*unit, Y: 3 + 3*unit})
	if diff := cmp.Diff(want, path, about); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]float64{10*unit + 6, 5*unit + 6}, []float64{p.Width, p.Height}, about); diff != "" {
		t.Error(diff)
	}
}

// A page that is low decides: 5 units on 56 - 6 points.
func TestShapesNoHigher(t *testing.T) {
	p, err := draw.Shapes(explain.Shapes{Box: explain.Box{Width: 10, Height: 5}}, 1000, 56)
	if err != nil {
		t.Fatal(err)
	}
	if p.Height > 56 || p.Height < 55.8 || p.Width > 106 {
		t.Errorf("%v x %v", p.Width, p.Height)
	}
}

// The text of a dimension stands above a line that lies, whichever end comes first,
// and to the right of one that stands.
func TestDimension(t *testing.T) {
	for _, tt := range []struct {
		name     string
		from, to explain.Point
		anchor   explain.Anchor
		above    bool
	}{
		{"lying", explain.Point{X: 1, Y: 5}, explain.Point{X: 9, Y: 5}, explain.AtMiddle, true},
		{"lying, from the right", explain.Point{X: 9, Y: 5}, explain.Point{X: 1, Y: 5}, explain.AtMiddle, true},
		{"standing", explain.Point{X: 2, Y: 1}, explain.Point{X: 2, Y: 9}, explain.AtStart, false},
		{"standing, from below", explain.Point{X: 2, Y: 9}, explain.Point{X: 2, Y: 1}, explain.AtStart, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := explain.Shapes{Box: explain.Box{Width: 10, Height: 10}}
			s.Add(explain.Dimension{From: tt.from, To: tt.to, Text: "8"})
			p, err := draw.Shapes(s, 200, 200)
			if err != nil {
				t.Fatal(err)
			}
			line, text := p.Paths[0], p.Texts[0]
			if len(p.Paths) != 3 || text.Text != "8" || text.Anchor != tt.anchor {
				t.Errorf("%d lines, text %+v", len(p.Paths), text)
			}
			if beside := text.At.X > line.Start.X; tt.above && text.At.Y >= line.Start.Y || !tt.above && !beside {
				t.Errorf("the text is at %v, the line at %v", text.At, line.Start)
			}
		})
	}
}

// With a gutter as wide as its widest label, a scale's ticks stand where its
// figures say: those of 34 and 38 at the ends, 36 in the middle between them.
func TestScalePlaces(t *testing.T) {
	p, err := draw.Scale(sample.Scale(), 480)
	if err != nil {
		t.Fatal(err)
	}
	at := func(text string) float64 {
		i := slices.IndexFunc(p.Texts, func(x draw.Text) bool { return x.Text == text && x.Anchor == explain.AtMiddle })
		if i < 0 {
			t.Fatalf("no tick %q", text)
		}
		return p.Texts[i].At.X
	}
	if diff := cmp.Diff((at("34")+at("38"))/2, at("36"), about); diff != "" {
		t.Error(diff)
	}
	b := slices.IndexFunc(p.Paths, func(q explain.Path) bool { return q.Role == explain.Accent && q.Filled })
	if diff := cmp.Diff((at("36")+at("37"))/2, p.Paths[b].Start.X, about); diff != "" {
		t.Errorf("the chosen 36 1/2: %s", diff)
	}
}

// Marks on the same place stand below one another.
func TestScaleLanes(t *testing.T) {
	s := explain.Scale{Rows: []explain.Row{{Marks: []explain.Mark{{At: 1, Label: "first"}, {At: 1, Label: "second"}, {At: 9, Label: "third"}}}}}
	p, err := draw.Scale(s, 480)
	if err != nil {
		t.Fatal(err)
	}
	y := map[string]float64{}
	for _, x := range p.Texts {
		y[x.Text] = x.At.Y
	}
	if y["second"] <= y["first"] || y["third"] != y["first"] {
		t.Errorf("heights %v", y)
	}
}

func TestRefused(t *testing.T) {
	far := explain.Point{X: 1e300}
	box := explain.Box{Width: 1, Height: 1}
	for name, s := range map[string]explain.Shapes{
		"no box":          {},
		"no number":       {Box: explain.Box{Width: math.NaN(), Height: 1}},
		"a far path":      {Box: box, Items: []explain.Shape{explain.Line(explain.Outline, far)}},
		"a far curve":     {Box: box, Items: []explain.Shape{explain.Path{Legs: []explain.Leg{{Curve: &explain.Curve{A: far}}}}}},
		"a far label":     {Box: box, Items: []explain.Shape{explain.Label{At: far}}},
		"a far dimension": {Box: box, Items: []explain.Shape{explain.Dimension{To: far}}},
		"nothing":         {Box: box, Items: []explain.Shape{nil}},
	} {
		if _, err := draw.Shapes(s, 100, 100); err == nil {
			t.Errorf("%s was drawn", name)
		}
	}
	if _, err := draw.Scale(explain.Scale{Ticks: []explain.Tick{{At: math.NaN()}}}, 100); err == nil {
		t.Error("a tick that is no number was drawn")
	}
}

// Whatever is drawn, nothing lies beyond the picture, and it fits the page.
func TestNothingCutOff(t *testing.T) {
	coordinate := rapid.Float64Range(-200, 200)
	point := rapid.Custom(func(t *rapid.T) explain.Point {
		return explain.Point{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")}
	})
	text := rapid.StringN(0, 60, -1)
	anchor := rapid.SampledFrom([]explain.Anchor{explain.AtStart, explain.AtMiddle, explain.AtEnd})
	rapid.Check(t, func(t *rapid.T) {
		s := explain.Shapes{Box: explain.Box{Width: rapid.Float64Range(0.1, 300).Draw(t, "wide"), Height: rapid.Float64Range(0.1, 300).Draw(t, "high")}}
		for range rapid.IntRange(0, 6).Draw(t, "items") {
			s.Add(explain.Line(explain.Outline, point.Draw(t, "from"), point.Draw(t, "to")),
				explain.Label{At: point.Draw(t, "label"), Text: text.Draw(t, "text"), Anchor: anchor.Draw(t, "anchor")},
				explain.Dimension{From: point.Draw(t, "end"), To: point.Draw(t, "other end"), Text: text.Draw(t, "far")})
		}
		p, err := draw.Shapes(s, 480, 700)
		if err != nil {
			t.Fatal(err)
		}
		if p.Width > 480.001 || p.Height > 700.001 {
			t.Errorf("%v x %v", p.Width, p.Height)
		}
		inside(t, p)
	})
	rapid.Check(t, func(t *rapid.T) {
		s := explain.Scale{Unit: text.Draw(t, "unit"), Legend: []explain.Key{{Kind: explain.Within, Text: text.Draw(t, "key")}}}
		kinds := rapid.SampledFrom([]explain.Kind{explain.Given, explain.Choice, explain.Chosen, explain.Excluded})
		for range rapid.IntRange(0, 3).Draw(t, "rows") {
			r := explain.Row{Label: text.Draw(t, "label")}
			for range rapid.IntRange(0, 5).Draw(t, "marks") {
				r.Marks = append(r.Marks, explain.Mark{At: coordinate.Draw(t, "at"), Label: text.Draw(t, "mark"), Kind: kinds.Draw(t, "kind"), Rough: rapid.Bool().Draw(t, "rough")})
			}
			s.Rows = append(s.Rows, r)
		}
		p, err := draw.Scale(s, 480)
		if err != nil {
			t.Fatal(err)
		}
		if p.Width > 480.001 {
			t.Errorf("%v wide", p.Width)
		}
		inside(t, p)
	})
}

func inside(t *rapid.T, p draw.Picture) {
	const noise = 1e-6
	in := func(q explain.Point) bool {
		return q.X >= -noise && q.Y >= -noise && q.X <= p.Width+noise && q.Y <= p.Height+noise
	}
	for _, path := range p.Paths {
		for _, leg := range append(path.Legs, explain.Leg{To: path.Start}) {
			if !in(leg.To) {
				t.Errorf("%v lies beyond %v x %v", leg.To, p.Width, p.Height)
			}
		}
	}
	for _, x := range p.Texts {
		wide := draw.Width(x.Text, x.Height, false)
		from := map[explain.Anchor]float64{explain.AtMiddle: wide / 2, explain.AtEnd: wide}[x.Anchor]
		if left := (explain.Point{X: x.At.X - from, Y: x.At.Y}); !in(left) || !in(explain.Point{X: left.X + wide, Y: left.Y}) {
			t.Errorf("%q at %v lies beyond %v x %v", x.Text, x.At, p.Width, p.Height)
		}
	}
}

func TestLines(t *testing.T) {
	// At a height of 1 a small letter is 0.6 wide and a space 0.36.
	if diff := cmp.Diff([]string{"aa bb", "ccccccccc", "d"}, draw.Lines("aa  bb ccccccccc d", 3, 1, false)); diff != "" {
		t.Error(diff)
	}
}

// luminance and contrast are those of the Web Content Accessibility Guidelines 2.2
// (from memory: "relative luminance" and "contrast ratio" in its definitions).
func luminance(c draw.Color) float64 {
	part := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*part(c.R) + 0.7152*part(c.G) + 0.0722*part(c.B)
}

func contrast(a, b draw.Color) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Letters of every role are legible on the page and on an area: 4.5 to 1, level AA.
func TestContrast(t *testing.T) {
	if got := contrast(draw.Color{R: 0, G: 0, B: 0}, draw.Color{R: 255, G: 255, B: 255}); math.Abs(got-21) > 1e-9 { // black on white is 21 to 1
		t.Fatalf("black on white is %v", got)
	}
	for name, p := range map[string]draw.Palette{"light": draw.Light, "dark": draw.Dark} {
		for _, r := range draw.Roles {
			for where, ground := range map[string]draw.Color{"paper": p.Paper, "area": p.Area} {
				if got := contrast(p.Letters(r), ground); got < 4.5 {
					t.Errorf("%s: letters of %s on %s have %.2f to 1", name, r, where, got)
				}
			}
		}
	}
}

// Lines of two roles that are seen together differ in thickness or dashes.
func TestRolesDifferInGrey(t *testing.T) {
	seen := map[string]explain.Role{}
	for _, r := range draw.Roles {
		pen := draw.PenOf(r)
		if r == explain.Measure || draw.Fills(r) {
			continue // a thin full line with strokes across its ends; no line at all
		}
		looks := cmp.Diff(draw.Pen{}, draw.Pen{Thick: pen.Thick, Dash: pen.Dash})
		if other, there := seen[looks]; there {
			t.Errorf("%s looks like %s", r, other)
		}
		seen[looks] = r
	}
	for name, p := range map[string]draw.Palette{"light": draw.Light, "dark": draw.Dark} { // what is filled differs in brightness
		if got := contrast(p.Area, p.Beneath); got < 1.2 {
			t.Errorf("%s: an area on what lies beneath has %.2f to 1", name, got)
		}
	}
	if got := draw.PenOf("no such role"); cmp.Diff(draw.PenOf(explain.Outline), got) != "" {
		t.Errorf("a role that there is not is drawn as %+v", got)
	}
}

func TestHostile(t *testing.T) {
	for _, b := range sample.Hostile(strings.Repeat("m", 5000)).Blocks {
		if s, ok := b.(explain.Shapes); ok {
			p, err := draw.Shapes(s, 480, 700)
			if err != nil || p.Width > 480.001 {
				t.Errorf("%v wide, %v", p.Width, err)
			}
		}
	}
}
