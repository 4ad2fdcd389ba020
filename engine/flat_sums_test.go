package engine_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// laid reads a file of pieces in which only what matters is written, with
// nothing wrong in it, and lays them flat.
func laid(t testing.TB, units quantity.Unit, body string, lines ...string) *engine.Flat {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	text := withDefaults(lines, "kind: pieces", "name: Tern pieces", "units: in", "allowance: 5/8")
	doc := file.Open("pieces.yaml", []byte(text))
	p, _, _ := recipes.ReadPieces(doc, voc, nil)
	if err := doc.Problems().Err(); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	q := engine.FlatRequest{Pieces: p, Units: units, Vocabulary: voc}
	if body != "" {
		q.Body = recipes.ReadBody(file.Open("body.yaml", []byte(body)), voc)
	}
	return engine.LayFlat(q)
}

// laidAt is one finished measurement of the first size.
func laidAt(t testing.TB, a *engine.Flat, name string) engine.FlatMeasure {
	t.Helper()
	for _, m := range a.Sizes[0].Measures {
		if m.Measure == name {
			return m
		}
	}
	t.Fatalf("%s was not put together", name)
	return engine.FlatMeasure{}
}

// Each was put together with a pencil: what is left of each piece, then the whole.
func TestPiecesByHand(t *testing.T) {
	tests := []struct {
		name, measure string
		cm            float64
		sum           string
		pieces        []string
	}{
		// A sum that follows from what a seam and a dart are (arithmetic):
		// (11 - 1.25 - 1 + 10 - 1.25) x 2 = (8.75 + 8.75) x 2 = 35 in = 88.9 cm.
		{"seams and a dart", "hip", 88.9, "(11 - 1 1/4 - 1 + 10 - 1 1/4) x 2 = 35 in", []string{
			"pieces:",
			"  - {name: front, copies: 2, width: {hip: 11}, darts: {hip: 1}}",
			"  - {name: back, copies: 2, width: {hip: 10}}"}},
		// The fold is no seam: 10.25 - 0.625 = 9.625; 9.5 - 1.25 = 8.25; (9.625 + 8.25) x 2 = 35.75 in = 90.805 cm.
		{"a front on the fold, a back with a seam", "hip", 90.805, "(10 1/4 - 5/8 + 9 1/2 - 1 1/4) x 2 = 35 3/4 in", []string{
			"pieces:",
			"  - {name: front, on_fold: true, width: {hip: 10 1/4}}",
			"  - {name: back, copies: 2, width: {hip: 9 1/2}}"}},
		// Darts are given level by level: 9.5 - 1.25 - 1.25 = 7; 9 - 1.25 - 1 = 6.75; 13.75 x 2 = 27.5 in = 69.85 cm.
		{"darts", "waist", 69.85, "(9 1/2 - 1 1/4 - 1 1/4 + 9 - 1 1/4 - 1) x 2 = 27 1/2 in", []string{
			"pieces:",
			"  - {name: front, copies: 2, width: {waist: 9 1/2, hip: 11}, darts: {hip: 0, waist: 1 1/4}}",
			"  - {name: back, copies: 2, width: {waist: 9, hip: 10}, darts: {waist: 1}}"}},
		// Pleats sewn down and a tuck: 24 - 1.5 - 4 - 0.5 = 18; 19.5 - 1.5 = 18; 36 x 2 = 72 cm = 28.346 in, shown to an eighth.
		{"closed pleats and tucks", "waist", 72, "(9 1/2 - 5/8 - 1 5/8 - 1/4 + 7 5/8 - 5/8) x 2 = 28 3/8 in", []string{
			"units: cm",
			"allowance: 1.5",
			"pieces:",
			"  - {name: front, on_fold: true, width: {waist: 24}, pleats: {waist: 4}, tucks: {waist: 0.5}}",
			"  - {name: back, on_fold: true, width: {waist: 19.5}}"}},
		// 37.25 - 1.25 = 36; two of them 72, gathered 1.5 : 1 to 48 in = 121.92 cm.
		{"gathers", "hip", 121.92, "(37 1/4 - 1 1/4) x 2 / 1.5 = 48 in", []string{
			"pieces:",
			"  - {name: panel, copies: 2, width: {hip: 37 1/4}, gathers: {hip: 1.5}}"}},
		// A facing cut on: 11.5 - 0.625 - 1.875 = 9; 9.625 - 0.625 = 9; 18 x 2 = 36, less the lap of 1.25 once: 34.75 in = 88.265 cm.
		{"a button overlap", "bust", 88.265, "(11 1/2 - 5/8 - 1 7/8 + 9 5/8 - 5/8) x 2 - 1 1/4 = 34 3/4 in", []string{
			"overlap: 1 1/4",
			"pieces:",
			"  - {name: front, copies: 2, width: {bust: 11 1/2}, allowance: {side: 5/8, centre: 0}, facing: 1 7/8}",
			"  - {name: back, on_fold: true, width: {bust: 9 5/8}}"}},
		// The same fronts to the centre front, half the lap short of their edges: 9 - 0.625 = 8.375; 17.375 x 2 = 34.75.
		{"fronts measured to the centre front", "bust", 88.265, "(9 - 5/8 + 9 5/8 - 5/8) x 2 = 34 3/4 in", []string{
			"fronts: to centre front",
			"pieces:",
			"  - {name: front, copies: 2, width: {bust: 9}, allowance: {side: 5/8, centre: 0}}",
			"  - {name: back, on_fold: true, width: {bust: 9 5/8}}"}},
		// Trousers with a panel: 10.25 - 1 = 9.25; 11 - 1 = 10; 2.5 - 1 = 1.5; 20.75 x 2 = 41.5 in = 105.41 cm at the hip.
		{"side-panelled trousers, the hip", "hip", 105.41, "(10 1/4 - 1 + 11 - 1 + 2 1/2 - 1) x 2 = 41 1/2 in", panelled},
		// Of one leg at the thigh: 12 - 1 + 13.5 - 1 + 2.5 - 1 = 25 in = 63.5 cm.
		{"side-panelled trousers, the thigh", "thigh", 63.5, "12 - 1 + 13 1/2 - 1 + 2 1/2 - 1 = 25 in", panelled},
		// And at the hem: 8 - 1 + 9 - 1 + 2.5 - 1 = 16.5 in = 41.91 cm.
		{"side-panelled trousers, the hem", "hem", 41.91, "8 - 1 + 9 - 1 + 2 1/2 - 1 = 16 1/2 in", panelled},
		// Cut 41, the top seam 0.5 and the hem 1.5: 39 in = 99.06 cm; neither copies nor legs make it longer.
		{"side-panelled trousers, the outside leg", "outside_leg", 99.06, "41 - 1/2 - 1 1/2 = 39 in", panelled},
		// A skirt's hem goes round both legs: (13 - 1.25) x 2 = 23.5 in = 59.69 cm.
		{"a skirt's hem", "hem", 59.69, "(13 - 1 1/4) x 2 = 23 1/2 in", []string{
			"pieces:",
			"  - {name: panel, copies: 2, width: {hem: 13}}"}},
		// Pieces that are multiplied otherwise: (20 - 0.625) x 2 + 4 - 1.25 = 38.75 + 2.75 = 41.5 in = 105.41 cm.
		{"a gore", "hip", 105.41, "(20 - 5/8) x 2 + 4 - 1 1/4 = 41 1/2 in", []string{
			"pieces:",
			"  - {name: front, on_fold: true, width: {hip: 20}}",
			"  - {name: gore, width: {hip: 4}}"}},
		// Nothing to take out and nothing to add.
		{"a band", "waist", 71.12, "28 in", []string{
			"allowance: 0",
			"pieces:",
			"  - {name: band, width: {waist: 28}}"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := laid(t, quantity.In, "", tt.pieces...)
			m := laidAt(t, a, tt.measure)
			is(t, "finished", m.Finished, tt.cm)
			is(t, "sum", m.Sum, tt.sum)
			contains(t, "explained", a.Why.Find("flat//"+tt.measure).Label, tt.sum)
		})
	}
}

var panelled = []string{
	"allowance: 1/2",
	"pieces:",
	"  - {name: front leg, copies: 2, width: {hip: 10 1/4, thigh: 12, hem: 8}, length: {outside_leg: 41}, hem: 1 1/2}",
	"  - {name: back leg, copies: 2, width: {hip: 11, thigh: 13 1/2, hem: 9}}",
	"  - {name: side panel, copies: 2, width: {hip: 2 1/2, thigh: 2 1/2, hem: 2 1/2}}",
}

// Gathers are told as a ratio beside the gathered length: 72 in to 48 in.
func TestGathersAreNoEase(t *testing.T) {
	m := laidAt(t, laid(t, quantity.In, "", "pieces:", "  - {name: panel, copies: 2, width: {hip: 37 1/4}, gathers: {hip: 1.5}}"), "hip")
	is(t, "fullness", *m.Fullness, engine.Fullness{Flat: 182.88, To: 121.92, Ratio: 1.5})
	is(t, "finished", m.Finished, 121.92)
}

// What each usual slip looks like, and the same without it.
func TestSlipsOfMeasuring(t *testing.T) {
	front := "  - {name: front, copies: 2, width: {waist: 9, hip: 11}, darts: {waist: 1}}"
	back := "  - {name: back, copies: 2, width: {waist: 9, hip: 10}, darts: {waist: 1}}"
	body := "kind: body\nname: Wren\nunits: in\nmeasurements: {hip: 34, waist: 26, bust: 33}\n"
	tests := []struct {
		name, body string
		pieces     []string
		want       string
	}{
		// (11 - 1.25 + 10 - 1.25) x 2 = 37 in over 34: nothing to say. So is 17.5 x 1.4 = 47.6 over 34.
		{"as it should be", body, []string{"pieces:", front, back}, ""},
		{"at the edge of what a type has", body, []string{"allowance: 0", "pieces:", "  - {name: panel, copies: 2, width: {hip: 23.8}}"}, ""},
		{"an allowance on the fold", "", []string{"allowance: {side: 5/8, centre: 5/8}", "pieces:", "  - {name: front, on_fold: true, width: {hip: 10}}"}, "allowance-on-the-fold"},
		{"a fold named with no allowance", "", []string{"allowance: {side: 5/8, centre: 0}", "pieces:", "  - {name: front, on_fold: true, width: {hip: 10}}"}, ""},
		// 18.5 in over 34 is 54 %, below the 70 % of the closest knits; twice that is 37.
		{"a half for a quarter", body, []string{"pieces:", "  - {name: front, width: {hip: 11}}", "  - {name: back, width: {hip: 10}}"}, "half-for-quarter hip"},
		// Cut once for once on the fold: 11 - 5/8 = 10 3/8 doubled is 20 3/4, the back 8 3/4: 42 % of it, below 60 %.
		{"a half for a quarter, beside the other piece", "", []string{"pieces:", "  - {name: front, on_fold: true, width: {hip: 11}}", "  - {name: back, width: {hip: 10}}"}, "half-for-quarter hip"},
		// 74 in over 34 is more than twice it.
		{"counted twice", body, []string{"pieces:", strings.ReplaceAll(front, "copies: 2", "copies: 4"), strings.ReplaceAll(back, "copies: 2", "copies: 4")}, "counted-twice waist, counted-twice hip"},
		// (15 - 1.25) x 2 x 2 = 55 in over 34: 162 %, above 140 % and below twice.
		{"gathers as ease", body, []string{"pieces:", "  - {name: panel, copies: 4, width: {hip: 15}}"}, "gathers-as-ease hip"},
		{"gathers with their ratio", body, []string{"pieces:", "  - {name: panel, copies: 4, width: {hip: 15}, gathers: {hip: 1.5}}"}, ""},
		// (8.5 + 8) x 2 - 1 1/4 = 31 3/4 under 33; with the overlap 33 are reached.
		{"an overlap counted twice", body, []string{"overlap: 1 1/4", "allowance: 0", "pieces:", "  - {name: front, copies: 2, width: {bust: 8 1/2}}", "  - {name: back, copies: 2, width: {bust: 8}}"}, "overlap-twice bust"},
		{"an overlap, and fronts to the centre", "", []string{"overlap: 1 1/4", "fronts: to centre front", "pieces:", "  - {name: front, copies: 2, width: {bust: 10}}", "  - {name: back, copies: 2, width: {bust: 10}}"}, "overlap-twice"},
		{"a dart that goes on below the waist", "", []string{"pieces:", "  - {name: front, copies: 2, width: {waist: 9, high_hip: 10, hip: 11}, darts: {high_hip: 1/2}}"}, "dart-not-closed waist"},
		{"a waist as wide as the hip", "", []string{"pieces:", "  - {name: front, copies: 2, width: {waist: 11, hip: 11}}"}, "dart-not-closed waist"},
		{"a waist taken in", "", []string{"pieces:", "  - {name: front, copies: 2, width: {waist: 11, hip: 11}, darts: {waist: 1}}"}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, c := range laid(t, quantity.In, tt.body, tt.pieces...).Cautions {
				got = append(got, strings.TrimSpace(c.ID+" "+c.Zone))
				if c.Say == "" || c.Fix == "" || c.Source == "" || !strings.HasPrefix(c.At, "pieces.yaml:") {
					t.Errorf("a caution says too little: %+v", c)
				}
			}
			is(t, "cautions", strings.Join(got, ", "), tt.want)
		})
	}
}

const skirtFromPieces = `kind: pattern
name: Quayside skirt
recipe: straight-skirt
units: in
sizes: [18, 14, 16, 12]
body:
  waist: [34, 30, 32, 28]
  hip:   [44, 40, 42, 38 1/2]
pieces:
  size: 14
  allowance: 5/8
  grade: {waist: 1 3/4}
  pieces:
    - {name: front, copies: 2, width: {waist: 9 1/2, hip: 12}, darts: {waist: 1}}
    - {name: back, copies: 2, width: {waist: 10, hip: 12 1/4}, darts: {waist: 1 1/4}}
`

// The hip is 12 - 1.25 + 12.25 - 1.25 = 21.75, x 2 = 43.5 in, and goes as the chart: 42 in in size 12, 45.5 and 47.5.
// The waist is 9.5 - 2.25 + 10 - 2.5 = 14.75, x 2 = 29.5 in, and goes by 1 3/4: 27 3/4, 31 1/4, 33 in.
func TestPatternFromPieces(t *testing.T) {
	a := trial{pattern: skirtFromPieces, recipe: "straight-skirt", body: wren("waist: 81", "hip: 107"), trace: true}.advise(t)
	want := map[string][2]float64{"12": {106.68, 70.485}, "14": {110.49, 74.93}, "16": {115.57, 79.375}, "18": {120.65, 83.82}}
	for size, cm := range want {
		near(t, "hip of "+size, zoneOf(t, a, size, "hip").Finished, cm[0])
		near(t, "waist of "+size, zoneOf(t, a, size, "waist").Finished, cm[1])
	}
	is(t, "size", best(a), "16")
	finished := why(t, a, "size/16/hip/ease/finished")
	is(t, "source", finished.Source, "pattern.yaml:14:59")
	contains(t, "graded", why(t, a, finished.ID+"/pieces").Label, "as the chart goes")
	contains(t, "measured", why(t, a, finished.ID+"/pieces/measured").Label, "x 2 = 110.49 cm")
	is(t, "the front's place", why(t, a, finished.ID+"/pieces/measured/1").Source, "pattern.yaml:14:59")
	waist := why(t, a, "size/16/waist/ease/finished/pieces")
	contains(t, "graded by hand", waist.Label, "graded by 4.445 cm from size to size: 74.93 + 4.445 = 79.375 cm")
	is(t, "the grade's place", waist.Source, "pattern.yaml:12:18")
	var said []string
	for _, as := range a.Assumptions {
		said = append(said, as.What)
	}
	if !slices.Contains(said, "the finished hip of size 16 follows from that of size 14") {
		t.Errorf("that size 16 was not measured is not said: %q", said)
	}
}

// A size between two that were measured follows from the nearer, of two as near
// from the smaller: 13 from 12, and 15 from 16.
func TestGradedFromTheNearest(t *testing.T) {
	p := `kind: pattern
name: Quayside skirt
recipe: straight-skirt
units: in
sizes: [12, 13, 14, 15, 16]
body:
  hip: [36, 37, 38, 39, 40]
pieces:
  sizes: [12, 16]
  allowance: 0
  pieces: [{name: panel, copies: 2, width: {hip: [20, 24]}}]
`
	a := trial{pattern: p, recipe: "straight-skirt", body: wren("waist: 70", "hip: 96")}.advise(t)
	// 40 and 48 in were measured; 12 + 1 = 41, 12 + 2 = 42 (as near to 16, the smaller counts), 16 - 1 = 47.
	for size, cm := range map[string]float64{"12": 101.6, "13": 104.14, "14": 106.68, "15": 119.38, "16": 121.92} {
		near(t, "hip of "+size, zoneOf(t, a, size, "hip").Finished, cm)
	}
}

// pieceDrawn is a piece in eighths of an inch, which both units hold exactly. The
// narrowest alone, (100 - 2 x 16 - 20) / 2 = 24, is wider than the widest overlap, 16:
// an overlap that leaves nothing is an error of its own.
type pieceDrawn struct {
	name                           string
	width, allowance, dart, copies int
	fold                           bool
	ratio                          string
}

func drawPieces(t *rapid.T) []pieceDrawn {
	n := rapid.IntRange(1, 5).Draw(t, "pieces")
	out := make([]pieceDrawn, n)
	for i := range out {
		out[i] = pieceDrawn{fmt.Sprint("piece ", i), rapid.IntRange(100, 200).Draw(t, "width"), rapid.IntRange(0, 8).Draw(t, "allowance"), rapid.IntRange(0, 20).Draw(t, "dart"),
			rapid.IntRange(1, 4).Draw(t, "copies"), rapid.Bool().Draw(t, "fold"), rapid.SampledFrom([]string{"", "1.5", "2", "1.375"}).Draw(t, "gathers")}
	}
	return out
}

// piecesIn writes pieces down in a unit, with so many eighths more of allowance.
func piecesIn(pieces []pieceDrawn, unit quantity.Unit, overlap, more int) []string {
	length := func(n int) string { return (quantity.Length(n) * eighth).Exact(unit) }
	lines := []string{"overlap: " + length(overlap), "pieces:"}
	for _, p := range pieces {
		line := fmt.Sprintf("  - {name: %s, width: {hip: %s}, allowance: %s, darts: {hip: %s}, copies: %d, on_fold: %v", p.name, length(p.width), length(p.allowance+more), length(p.dart), p.copies, p.fold)
		if p.ratio != "" {
			line += ", gathers: {hip: " + p.ratio + "}"
		}
		lines = append(lines, line+"}")
	}
	return lines
}

func TestPiecesProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pieces, overlap := drawPieces(rt), rapid.IntRange(0, 16).Draw(rt, "overlap")
		a := laid(t, quantity.In, "", piecesIn(pieces, quantity.In, overlap, 0)...)
		hip := laidAt(t, a, "hip")

		// The parts less the overlap are the whole; each is rounded to 0.001 cm.
		sum := 0.0
		for _, p := range hip.Parts {
			sum += p.Adds
		}
		if hip.Overlap != nil {
			sum -= *hip.Overlap
		}
		if math.Abs(sum-hip.Finished) > 0.0005*float64(len(hip.Parts)+2) {
			rt.Errorf("the parts add up to %v, the whole is %v", sum, hip.Finished)
		}

		// Units and the order of pieces change nothing.
		metric := laid(t, quantity.In, "", piecesIn(pieces, quantity.Cm, overlap, 0)...)
		is(t, "sum in centimetres", laidAt(t, metric, "hip").Sum, hip.Sum)
		is(t, "finished in centimetres", laidAt(t, metric, "hip").Finished, hip.Finished)
		shuffled := rapid.Permutation(pieces).Draw(rt, "shuffled")
		is(t, "finished in another order", laidAt(t, laid(t, quantity.In, "", piecesIn(shuffled, quantity.In, overlap, 0)...), "hip").Finished, hip.Finished)

		// More allowance never makes it larger.
		more := rapid.IntRange(1, 8).Draw(rt, "more")
		if got := laidAt(t, laid(t, quantity.In, "", piecesIn(pieces, quantity.In, overlap, more)...), "hip").Finished; got > hip.Finished {
			rt.Errorf("with %d/8 in more of allowance it grows from %v to %v", more, hip.Finished, got)
		}
	})
}
