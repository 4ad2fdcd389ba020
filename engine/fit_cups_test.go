package engine_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine"
)

// cupChart has three cups of each of three upper busts, drawn with 8 cm of ease.
// 10 and 12 share a bust of 91 and of 88.
func cupChart() string {
	return chart("sizes: [10B, 10C, 10D, 12B, 12C, 12D, 14B, 14C, 14D]",
		"body: {upper_bust: [80, 80, 80, 83, 83, 83, 86, 86, 86], bust: [85, 88, 91, 88, 91, 94, 91, 94, 97], waist: [66, 66, 66, 69, 69, 69, 72, 72, 72]}",
		"finished: {bust: [93, 96, 99, 96, 99, 102, 99, 102, 105], waist: [74, 74, 74, 77, 77, 77, 80, 80, 80]}")
}

var cupTop = garment("controlling: bust", "hangs_from: shoulder", "between_sizes: larger",
	"zones: {bust: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: mended, ease: 4 cm .. 12 cm}}")

// Where upper bust and cup stand for the bust, all cups of one upper bust lie as
// near: upper bust 83 and the cups 5, 8, 11 make 88, 91, 94, just what the chart
// has in 12B, 12C, 12D. The full bust tells them apart.
func TestOfTheCupsOfOneUpperBustTheNearestBustWins(t *testing.T) {
	for _, c := range []struct{ body, chart, best string }{
		{"upper_bust: 83, bust: 88", "12B", "12B"},
		{"upper_bust: 83, bust: 91", "12C", "12C"},
		{"upper_bust: 83, bust: 94.4", "12D", "12D"},
		{"upper_bust: 83, bust: 89.4", "12B", "12B"},   // 1.4 from 88, 1.6 from 91
		{"upper_bust: 83, bust: 89.6", "12C", "12C"},   // 1.6 and 1.4
		{"upper_bust: 83, bust: 89.5", "12C", "12C"},   // as near: between sizes the larger
		{"upper_bust: 83, bust: 84", "12B", "12B"},     // the least cup there is
		{"upper_bust: 80, bust: 91", "10D", "10D"},     // as 12C and 14B by the full bust alone
		{"upper_bust: 86, bust: 91", "14B", "14B"},     //
		{"upper_bust: 84, bust: 91.2", "12C", "12C"},   // 1 from 83, 2 from 86; 0.2 from 91
		{"upper_bust: 81.5, bust: 86", "10B", "12B"},   // half-way: all six are as near on the chart, and 85 is nearest; the ease wants 12
		{"upper_bust: 84.5, bust: 96.5", "14D", "14D"}, // half-way again: 97 is nearest
	} {
		t.Run(c.body, func(t *testing.T) {
			tr := trial{pattern: cupChart(), recipe: cupTop, body: wren(c.body)}
			a := tr.advise(t)
			is(t, "chart size", a.ChartSize.Size, c.chart)
			is(t, "size", best(a), c.best)
			q := tr.request(t)
			f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
			if err != nil {
				t.Fatal(err)
			}
			r, err := f.Rank(q.Fitting)
			if err != nil {
				t.Fatal(err)
			}
			is(t, "by Rank", r.Best, c.best)
			b, err := f.Brief(q)
			if err != nil {
				t.Fatal(err)
			}
			is(t, "in a batch", b.Size+" "+b.ChartSize, c.best+" "+c.chart)
		})
	}
}

// In percent the wider cup would have the fewer points: 0.4 cm of upper bust beyond
// the chart's is a smaller share of 94.4 than of 88.4.
func TestCupsInPercentGoByTheBustToo(t *testing.T) {
	top := garment("controlling: bust", "hangs_from: shoulder", "between_sizes: larger", "stretch: {needed: 30 %}",
		"zones: {bust: {role: decides, ease: -12 % .. 12 %}}")
	a := trial{pattern: cupChart(), recipe: top, body: wren("upper_bust: 83.4", "bust: 88.4")}.advise(t)
	is(t, "size", best(a), "12B")
	if b, d := zoneOf(t, a, "12B", "bust").Points, zoneOf(t, a, "12D", "bust").Points; d >= b {
		t.Errorf("12D has %v points and 12B %v: this says nothing", d, b)
	}
}

// Full bust 88 up to half-way between 88 and 91, 89.5: there 12C begins, as the
// larger of two as near.
func TestFlipsAlongTheFullBust(t *testing.T) {
	q := trial{pattern: cupChart(), recipe: cupTop, body: wren("upper_bust: 83", "bust: 88")}.request(t)
	q.Sure = true
	a := answer(t, q)
	for _, f := range a.Flips {
		if f.Measurement == "bust" {
			is(t, "flip", f, engine.Flip{Measurement: "bust", Value: 89.5, To: "12C"})
			return
		}
	}
	t.Errorf("no flip along the bust among %v", a.Flips)
}

// Told in the sentence and in the explanation; every other cup ranks after the
// nearest of each upper bust.
func TestCupsAreTold(t *testing.T) {
	a := trial{pattern: cupChart(), recipe: cupTop, body: wren("upper_bust: 83", "bust: 88")}.advise(t)
	is(t, "rank", ranked(a)[:11], "12B 14B 10C")
	contains(t, "because", a.Recommended.Because, "of the cups of its upper bust this one is drawn for a bust of 88 cm, nearest your 88 cm")
	contains(t, "chart size", why(t, a, "chart").Label, "sizes 12B, 12C and 12D are as near, and of these the chart's bust of size 12B lies nearest your full bust of 88 cm")
	contains(t, "12D", why(t, a, "size/12D").Label, "another cup of its upper bust lies nearer your full bust")
	is(t, "each", a.ChartSize.Each["waist"] == "", true) // no waist was taken
	a = trial{pattern: cupChart(), recipe: cupTop, body: wren("upper_bust: 83", "bust: 88", "waist: 69")}.advise(t)
	is(t, "the waist names the same cup", a.ChartSize.Each["waist"], "12B")
	is(t, "and so does its line", a.Lines[len(a.Lines)-1].Own, "12B")
}

// Cups lie beside one another, and no line is drawn between the cup of one upper bust and that of another: from 86 to 89 cm of bust is a
// gap in a row that steps by 1 cm otherwise, and there none can be drawn.
func TestNoLineBetweenCups(t *testing.T) {
	q := trial{pattern: chart("sizes: [0A, 0B, 0C, 1A, 2A]", "body: {upper_bust: [78, 78, 78, 81, 84], bust: [83, 84, 86, 85, 89]}", "finished: {bust: [85, 86, 88, 87, 91]}"), recipe: cupTop,
		body: wren("upper_bust: 79", "bust: 80")}.request(t)
	for _, s := range answer(t, q).Sizes {
		is(t, "size "+s.Size+" drawn by you", s.DrawnByYou, "")
	}
}

// Whatever the chart of cups and the body: Rank, Advise and a batch choose alike,
// and no cup of one upper bust wins over a nearer one that could be cut too.
func TestAnyChartOfCups(t *testing.T) {
	check(t, func(rt *rapid.T, tb testing.TB) {
		var sizes, upper, bust, made []string
		for g := range rapid.IntRange(1, 4).Draw(rt, "upper busts") {
			u := 78 + 3*g
			for c := range rapid.IntRange(1, 4).Draw(rt, "cups") {
				b := u + 4 + 2*c + rapid.IntRange(0, 1).Draw(rt, "more")
				sizes, upper, bust = append(sizes, fmt.Sprintf("%d%c", g, 'A'+c)), append(upper, fmt.Sprint(u)), append(bust, fmt.Sprint(b))
				made = append(made, fmt.Sprint(b+rapid.IntRange(2, 12).Draw(rt, "ease")))
			}
		}
		cells := func(row []string) string { return "[" + strings.Join(row, ", ") + "]" }
		q := trial{pattern: chart("sizes: "+cells(sizes), "body: {upper_bust: "+cells(upper)+", bust: "+cells(bust)+"}", "finished: {bust: "+cells(made)+"}"), recipe: cupTop,
			body: wren(fmt.Sprintf("upper_bust: %d", rapid.IntRange(76, 92).Draw(rt, "upper bust")), fmt.Sprintf("bust: %d", rapid.IntRange(80, 104).Draw(rt, "bust")))}.request(tb)
		a := answer(tb, q)
		f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
		if err != nil {
			rt.Fatal(err)
		}
		r, _ := f.Rank(q.Fitting)
		b, _ := f.Brief(q)
		if a.Recommended == nil {
			if r.Best != "" || b.Size != "" {
				rt.Fatalf("Advise: none, Rank: %q, batch: %q", r.Best, b.Size)
			}
			return
		}
		if r.Best != best(a) || b.Size != best(a) {
			rt.Fatalf("Advise: %s, Rank: %s, batch: %s", best(a), r.Best, b.Size)
		}
		won := slices.Index(sizes, best(a))
		full := q.Body.Measurements["bust"].Readings[0].Length.Cm()
		away := func(s int) float64 {
			v, _ := strconv.ParseFloat(bust[s], 64)
			return math.Abs(v - full)
		}
		for s := range sizes {
			if upper[s] == upper[won] && away(s) < away(won) && !sizeOf(tb, a, sizes[s]).RuledOut {
				rt.Fatalf("%s of bust %s wins over %s of bust %s for a bust of %v", sizes[won], bust[won], sizes[s], bust[s], full)
			}
		}
	})
}
