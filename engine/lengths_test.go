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
)

// inspected is what is found in a pattern's own chart.
func inspected(t *testing.T, tr trial) *engine.Soundness {
	t.Helper()
	q := tr.request(t)
	s, err := engine.Inspect(q)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// What is shorter than the body by its cut is no fault of the chart.
func TestShortGarmentsAreNoErrorOfTheirChart(t *testing.T) {
	for _, c := range []struct{ name, recipe, chart, finished string }{
		{"a short-sleeved shirt", "shirt", "chest: [92, 98, 104], arm_length: [62, 63, 64]", "chest: [106, 112, 118], arm_length: [24, 24.5, 25]"},
		{"a three-quarter coat", "coat", "bust: [88, 92, 96], arm_length: [59, 60, 61]", "bust: [107, 111, 115], arm_length: [45, 46, 47]"},
		{"a cropped top", "jumpsuit", "bust: [88, 92, 96], hip: [94, 98, 102], back_waist_length: [40, 41, 42]", "bust: [100, 104, 108], hip: [106, 110, 114], back_waist_length: [32, 33, 34]"},
		{"a kilt", "wrap-skirt", "hip: [94, 98, 102], waist_to_knee: [57, 58, 59], outside_leg: [103, 104, 105]",
			"hip: [102, 106, 110], overlap: [30, 30, 30], waist_to_knee: [54, 55, 56], outside_leg: [60, 61, 62]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := trial{pattern: chart("recipe: "+c.recipe, "sizes: [S, M, L]", "body: {"+c.chart+"}", "finished: {"+c.finished+"}"), recipe: c.recipe, body: wren("hip: 98")}
			s := inspected(t, tr)
			for _, f := range s.Findings {
				if f.Severity == engine.IsError || f.Severity == engine.IsWarning && strings.HasSuffix(f.Row, "_length") {
					t.Errorf("%s: %s", f.Severity, f.Because)
				}
			}
			is(t, "sound", s.Sound, true)
		})
	}
}

// A sleeve of 24.5 cm on an arm of 63, drawn so, is as wanted: nothing is said of
// room or stretch, and no size is ruled out by it. On an arm of 65 it ends 2 cm higher.
func TestShortSleeveIsNotAskedToStretch(t *testing.T) {
	pattern := chart("recipe: shirt", "sizes: [M]", "body: {chest: [98], arm_length: [63]}", "finished: {chest: [112], arm_length: [24.5]}")
	for arm, want := range map[string]engine.Verdict{"63": engine.AsWanted, "65": engine.Shorter} {
		a := trial{pattern: pattern, recipe: "shirt", body: wren("chest: 98", "arm_length: "+arm)}.advise(t)
		is(t, "size", ranked(a), "M")
		is(t, "verdict", zoneOf(t, a, "M", "arm_length").Verdict, want)
		for _, id := range []string{"close-where-mended", "below-wearing-ease"} {
			is(t, id, slices.Contains(cautions(a), id), false)
		}
	}
}

// A back 1 mm shorter than yours ends 1 mm higher.
func TestShortBackRulesNothingOut(t *testing.T) {
	a := trial{pattern: chart("sizes: [M]", "body: {hip: [98], back_waist_length: [41]}", "finished: {hip: [108], back_waist_length: [40.9]}"), body: wren("hip: 98", "back_waist_length: 41"),
		recipe: garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, back_waist_length: {role: decides, ease: 0 cm .. 2 cm}}")}.advise(t)
	is(t, "rank", ranked(a), "M")
	// In a type that stretches along the body there, a woven cannot carry it: 151 / 142 - 1 = 6.3 %. It is lengthened.
	suit := trial{pattern: chart("recipe: swimsuit", "sizes: [M]", "body: {bust: [88], trunk: [151]}", "finished: {bust: [88.5], trunk: [142]}"), recipe: "swimsuit",
		body: wren("bust: 88", "trunk: 151"), cloth: fabric()}.advise(t)
	is(t, "the trunk", levelOf(t, suit, "trunk").Becomes, 151)
}

// A straight skirt fits the body that it was drawn for, however slim it is drawn.
func TestSlimSkirtFitsWhomItWasDrawnFor(t *testing.T) {
	for _, drawn := range []float64{0.5, 3, 4, 5.1, 6} {
		pattern := chart("recipe: straight-skirt", "sizes: [S, M, L]", "body: {hip: [96, 100, 104]}", fmt.Sprintf("finished: {hip: [%v, %v, %v]}", 96+drawn, 100+drawn, 104+drawn))
		a := trial{pattern: pattern, recipe: "straight-skirt", body: wren("hip: 100")}.advise(t)
		is(t, fmt.Sprintf("drawn with %v", drawn), best(a), "M")
		is(t, "close", slices.Contains(cautions(a), "below-wearing-ease"), false)
		// 0.4 cm larger there is that much less than was drawn: said, where it is less than 2 in too.
		a = trial{pattern: pattern, recipe: "straight-skirt", body: wren("hip: 100.4")}.advise(t)
		is(t, "size", best(a), "M")
		is(t, "close", slices.Contains(cautions(a), "below-wearing-ease"), drawn-0.4 < 5.08)
	}
}

// A tenth of a centimetre, of the body or as drawn, is no cliff in the cost. A tolerance is 1 cm or more: with
// r = distance / tolerance the body moves r by 0.1 at most, so the points by 0.2 r + 0.01; the ease drawn leaves
// the distance and moves the tolerance by 0.1 at most, so the points by (1 / 0.9^2 - 1) r^2 = 0.235 r^2.
func TestTenthOfACentimetreIsNoCliff(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tenths := func(name string, from, to int) float64 { return float64(rapid.IntRange(from, to).Draw(rt, name)) / 10 }
		low, width, drawn, body, step := tenths("low", 0, 80), tenths("width", 40, 120), tenths("drawn", 0, 200), tenths("body", 900, 1100), tenths("step", 20, 60)
		ask := func(body, drawn float64) map[string]float64 {
			q := trial{pattern: chart("sizes: [S, M, L]", fmt.Sprintf("body: {hip: [%.4f, 100, %.4f]}", 100-step, 100+step),
				fmt.Sprintf("finished: {hip: [%.4f, %.4f, %.4f]}", 100-step+drawn, 100+drawn, 100+step+drawn)), body: wren(fmt.Sprintf("hip: %.4f", body)),
				recipe: garment(fmt.Sprintf("zones: {hip: {role: decides, ease: %.4f cm .. %.4f cm}}", low, low+width))}.request(t)
			out := map[string]float64{}
			for _, s := range answer(t, q).Sizes {
				out[s.Size] = *s.Misfit
			}
			return out
		}
		was := ask(body, drawn)
		for what, now := range map[string]map[string]float64{"the body": ask(body+0.1, drawn), "what is drawn": ask(body, drawn+0.1)} {
			for size, cost := range now {
				r := math.Sqrt(max(cost, was[size]))
				if math.Abs(cost-was[size]) > 0.24*r*r+0.2*r+0.01 {
					rt.Fatalf("0.1 cm at %s moves the cost of %s from %v to %v", what, size, was[size], cost)
				}
			}
		}
	})
}

// women are the hips of the women surveyed, in centimetres.
func women(t *testing.T) []float64 {
	t.Helper()
	var hips []float64
	for _, b := range bodiesOrSkip(t) {
		if hip, ok := b.Measurements["hip"]; ok && strings.HasPrefix(b.Name, "f") {
			hips = append(hips, float64(hip.Readings[0].Length)/float64(quantity.Centimetre))
		}
	}
	return hips
}

// sentUp is the share of hips that get a larger size than the column nearest them.
func sentUp(t *testing.T, recipe string, drawn float64, hips []float64, columns []float64) float64 {
	t.Helper()
	var sizes, chartRow, finished []string
	for i, c := range columns {
		sizes, chartRow, finished = append(sizes, fmt.Sprintf("s%d", i)), append(chartRow, fmt.Sprintf("%.4f", c)), append(finished, fmt.Sprintf("%.4f", c+drawn))
	}
	row := func(cells []string) string { return "[" + strings.Join(cells, ", ") + "]" }
	q := trial{pattern: chart("recipe: "+recipe, "sizes: "+row(sizes), "body: {hip: "+row(chartRow)+"}", "finished: {hip: "+row(finished)+"}"), recipe: recipe, body: wren("hip: 100")}.request(t)
	f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		t.Fatal(err)
	}
	up := 0
	for _, hip := range hips {
		r, err := f.Rank(engine.Fitting{Body: &engine.Body{Name: "a woman", Measurements: map[string]engine.Measurement{"hip": taking(length(hip))}}})
		if err != nil {
			t.Fatal(err)
		}
		nearest := 0
		for i, c := range columns {
			if math.Abs(c-hip) <= math.Abs(columns[nearest]-hip) { // half-way the larger
				nearest = i
			}
		}
		if slices.Index(sizes, r.Best) > nearest || r.Best == "" {
			up++
		}
	}
	return float64(up) / float64(len(hips))
}

// Women surveyed (ANSUR II), in a skirt and in trousers drawn with little ease at the hip. Those a pattern was drawn for are not
// sent to a size above: neither in a chart whose column is their own, nor in one with steps of 4 cm where they lie within half a
// step below a column, or within a tape's error above it. Further above it the larger of the two comes sooner than half-way, by
// the tolerances alone, since room is easier to bear: from 1 cm above a column on, (1 / 1.27)^2 = (3 / 3.81)^2. That
// no wearing ease has a part in it shows in that it is the same 1 cm whatever was drawn.
func TestWomenAreNotSentUpByASlimDraft(t *testing.T) {
	const tape = 0.9 // ISO 20685 for a large girth
	hips := women(t)
	var columns []float64
	for c := 76.0; c <= 140; c += 4 {
		columns = append(columns, c)
	}
	above := func(low, high float64) (within []float64) { // hips that lie so far above the nearest column
		for _, hip := range hips {
			if over := math.Remainder(hip-columns[0], 4); low < over && over <= high || low == -2 && over == 2 {
				within = append(within, hip)
			}
		}
		return within
	}
	for _, recipe := range []string{"straight-skirt", "woven-trousers"} {
		for _, drawn := range []float64{3, 4, 5.1, 6} {
			up, asked := 0.0, 0.0
			for i := 0; i < len(hips); i += 16 {
				up += sentUp(t, recipe, drawn, hips[i:i+1], []float64{hips[i] - 4, hips[i], hips[i] + 4})
				asked++
			}
			below, near, between := above(-2, 0), above(0, tape), above(tape, 2)
			for _, c := range []struct {
				whom        string
				women       int
				share, most float64
			}{
				{"a column of their own", int(asked), up / asked, 0.05},
				{"up to half a step below a column", len(below), sentUp(t, recipe, drawn, below, columns), 0.05},
				{"up to 0.9 cm above one", len(near), sentUp(t, recipe, drawn, near, columns), 0.05},
				{"further above it", len(between), sentUp(t, recipe, drawn, between, columns), 1},
				{"all of them", len(hips), sentUp(t, recipe, drawn, hips, columns), 0.27}, // a quarter lie 1 to 2 cm above a column
			} {
				t.Logf("%s drawn with %v cm, %s: of %d women %.1f %% get a size above", recipe, drawn, c.whom, c.women, 100*c.share)
				if c.share > c.most {
					t.Errorf("%s drawn with %v, %s: %v are sent up", recipe, drawn, c.whom, c.share)
				}
			}
		}
	}
}
