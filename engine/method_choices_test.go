package engine_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
)

func TestSizesAreOrderedByTheChart(t *testing.T) {
	for _, c := range []struct{ name, sizes, body, want string }{
		{"never by the file", "L, S, M", "hip: [100, 90, 95]", "S M L"},
		{"ranges by their middle", "a, b, c", "hip: [94-100, 90-98, 92]", "c b a"},                                     // 97, 94, 92
		{"equal middles by the lower end", "a, b, c", "hip: [92-98, 90-100, 95]", "b a c"},                             // all 95; 90, 92, 95
		{"equal cells by the other rows", "a, b", "hip: [95, 95], waist: [60, 66], bust: [84, 80]", "b a"},             // bust before waist
		{"equal rows by the label", "b, a, 10, 8", "hip: [95, 95, 95, 95]", "10 8 a b"},                                // as text
		{"a gap after what is known", "a, b, c", "hip: [95, 95, 95], bust: [~, 82, 80], waist: [50, 70, 60]", "c b a"}, // bust 80, 82, none
		{"a gap after what is known, listed otherwise", "b, c, a", "hip: [95, 95, 95], bust: [82, 80, ~], waist: [70, 60, 50]", "c b a"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: chart("sizes: ["+c.sizes+"]", "body: {"+c.body+"}"), recipe: garment(), body: wren("hip: 95")}.advise(t)
			is(t, "order", strings.Join(a.Shown.Sizes, " "), c.want)
		})
	}
}

// A body 1 cm above one column and 3 cm or more below the next shows the
// tolerances: points are (distance / tolerance)^2.
func TestTolerancesOfTheMiddleSize(t *testing.T) {
	for _, c := range []struct {
		name, sizes, hip, finished string
		above, below               string // the sizes 1 cm above and 2 cm below the body of 95
		pointsAbove, pointsBelow   float64
	}{
		// Drawn 6, 7, 8, 9 within 4..12: of four the second is the middle, 3 below, 5 above.
		{"even", "1, 2, 3, 4", "[90, 93, 96, 100]", "[96, 100, 104, 109]", "3", "2", 1.0 / 25, 4.0 / 9},
		// Drawn 6, 7, 8: of three the second again.
		{"odd", "1, 2, 3", "[90, 93, 96]", "[96, 100, 104]", "3", "2", 1.0 / 25, 4.0 / 9},
		// Drawn none, none, 5.5, 9, 9: of five the third, 5.5: 2 below (a quarter), 6 above (three quarters).
		{"known", "1, 2, 3, 4, 5", "[88, 90, 93, 96, 100]", "[~, ~, 98.5, 105, 109]", "4", "3", 1.0 / 36, 1},
		// Drawn none, none, none, 7, 9: the nearest is the fourth, 3 below, 5 above.
		{"nearest", "1, 2, 3, 4, 5", "[84, 88, 90, 93, 96]", "[~, ~, ~, 100, 105]", "5", "4", 1.0 / 25, 4.0 / 9},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: chart("sizes: ["+c.sizes+"]", "body: {hip: "+c.hip+"}", "finished: {hip: "+c.finished+"}"),
				recipe: garment(), body: wren("hip: 95")}.advise(t)
			points(t, a, c.above, "hip", c.pointsAbove)
			points(t, a, c.below, "hip", c.pointsBelow)
		})
	}
	// The third of five has no chart bust, so no drawn ease: there the middle of
	// the range is wanted, 8, and the tolerances are 4 and 4.
	a := trial{
		pattern: chart("sizes: [1, 2, 3, 4, 5]", "body: {hip: [80, 84, 88, 92, 96], bust: [76, 80, ~, 96, 100]}", "finished: {bust: [82, 86, 96, 104, 108]}"),
		recipe:  garment("zones: {bust: {role: decides, ease: 4 cm .. 12 cm}}"), body: wren("hip: 88", "bust: 78")}.advise(t)
	points(t, a, "2", "bust", 0.25) // 86 - 78 - 6 = 2; (2/4)^2
	points(t, a, "1", "bust", 0.25) // 82 - 78 - 6 = -2
}

func TestToleranceOfEachSide(t *testing.T) {
	for _, c := range []struct {
		name, zone   string
		drawn        float64
		below, above float64
	}{
		{"reach", "ease: 4 cm .. 12 cm", 7, 3, 5},
		{"a quarter at least, three quarters at most", "ease: 4 cm .. 12 cm", 4.5, 2, 6},
		{"the same on the roomy side", "ease: 4 cm .. 12 cm", 11.5, 6, 2},
		{"wanted below the range", "ease: 4 cm .. 12 cm", 2, 2, 6},
		{"wanted above the range", "ease: 4 cm .. 12 cm", 15, 6, 2},
		{"least 1 cm", "ease: 4 cm .. 5 cm", 4.5, 1, 1},
		{"the zone's own least", "ease: 4 cm .. 12 cm, least: 3.5 cm", 7, 3.5, 5},
		{"open above", "ease: 4 cm .., tolerance: 3 cm", 5, 3, 3},
		{"open below", "ease: .. 9 cm, tolerance: 2.5 cm", 5, 2.5, 2.5},
		{"open, under the least", "ease: 4 cm .., tolerance: 0.5 cm", 5, 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{
				pattern: chart("sizes: [S, M]", "body: {hip: [94, 96]}", fmt.Sprintf("finished: {hip: [%v, %v]}", 94+c.drawn, 96+c.drawn)),
				recipe:  garment("zones: {hip: {role: decides, " + c.zone + "}}"), body: wren("hip: 95")}.advise(t)
			points(t, a, "S", "hip", 1/c.below/c.below)
			points(t, a, "M", "hip", 1/c.above/c.above)
		})
	}
}

func TestPercentZones(t *testing.T) {
	// Drawn -5 %: 95/100 and 104.5/110. A body of 100: M has (104.5-100)/100 = 4.5 %, 9.5 points from wanted.
	a := trial{pattern: chart("sizes: [S, M]", "body: {hip: [100, 110]}", "finished: {hip: [95, 104.5]}"),
		recipe: garment("zones: {hip: {role: decides, ease: -10 % .. 0 %, weight: 2}}", "stretch: {needed: 40 %}"), body: wren("hip: 100")}.advise(t)
	is(t, "unit", zoneOf(t, a, "S", "hip").Unit, "percent")
	near(t, "ease", zoneOf(t, a, "M", "hip").Ease, 4.5)
	near(t, "drawn", zoneOf(t, a, "M", "hip").Drawn, -5)
	points(t, a, "S", "hip", 0)
	points(t, a, "M", "hip", 2*9.5*9.5/25) // tolerance 5, weight 2
	// Least: one percentage point, where a quarter of the range is less.
	a = trial{pattern: chart("sizes: [S, M]", "body: {hip: [100, 110]}", "finished: {hip: [95, 104.5]}"),
		recipe: garment("zones: {hip: {role: decides, ease: -6 % .. -4 %}}", "stretch: {needed: 40 %}"), body: wren("hip: 100")}.advise(t)
	points(t, a, "M", "hip", 9.5*9.5)
}

func TestOpenRanges(t *testing.T) {
	run := func(ease, wish string) engine.ZoneAnswer {
		a := trial{pattern: chart("sizes: [S]", "body: {hip: [100]}", "finished: {hip: [108]}"), body: wren("hip: 100"),
			recipe: garment("zones: {hip: {role: decides, " + ease + ", tolerance: 3 cm}}"), wishes: []string{wish}}.advise(t)
		return zoneOf(t, a, "S", "hip")
	}
	z := run("ease: 6 cm ..", "expected")
	near(t, "middle", z.Wanted, 9) // 6 and 6 + 2 x 3
	near(t, "low", z.Low, 6)
	is(t, "high is absent", z.High == nil, true)
	near(t, "roomier", run("ease: 6 cm ..", "roomier").Wanted, 10) // (8 + 12) / 2
	z = run("ease: .. 14 cm", "expected")
	near(t, "middle", z.Wanted, 11) // 14 - 2 x 3 and 14
	near(t, "high", z.High, 14)
	is(t, "low is absent", z.Low == nil, true)
	near(t, "roomier", run("ease: .. 14 cm", "roomier").Wanted, 11) // (8 + 14) / 2
}

func TestControllingMeasurement(t *testing.T) {
	both := chart("sizes: [S, M, L]", "body: {bust: [84, 88, 92], hip: [90, 94, 98]}")
	for _, c := range []struct{ name, controlling, pattern, body, want string }{
		{"one", "hip", both, "bust: 92, hip: 90", "S by hip"},
		{"the first of a list", "[bust, hip]", both, "bust: 92, hip: 90", "L by bust"},
		{"the first that the body has", "[bust, hip]", both, "hip: 90", "S by hip"},
		{"the first that the chart has", "[waist, hip]", both, "waist: 70, hip: 98", "L by hip"},
		{"an expression", `'body.hip - body.waist > 30 ? "hip" : "bust"'`, both, "bust: 84, waist: 70, hip: 98", "S by bust"},
		{"an expression, otherwise", `'body.hip - body.waist > 30 ? "hip" : "bust"'`, both, "bust: 84, waist: 60, hip: 98", "L by hip"},
		{"a row the chart lacks is read against the first named", `'body.hip > 95 ? "high_hip" : "hip"'`, both, "hip: 96, high_hip: 90", "S by high_hip"},
		{"chest stands for bust", "bust", both, "chest: 88", "M by bust"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: c.pattern, recipe: garment("controlling: " + c.controlling), body: wren(c.body)}.advise(t)
			is(t, "chart size", a.ChartSize.Size+" by "+a.ChartSize.By, c.want)
		})
	}
}

func TestNoControllingMeasurement(t *testing.T) {
	noHip := chart("sizes: [S, M]", "body: {bust: [84, 88]}")
	var noRow *engine.NoRowError
	if err := (trial{pattern: noHip, recipe: garment(), body: wren("hip: 90")}).fails(t); !errors.As(err, &noRow) || noRow.Row != "hip" {
		t.Errorf("got %v", err)
	}
	onlyGaps := chart("sizes: [S, M]", "body: {bust: [84, 88], hip: [~, ~]}")
	if err := (trial{pattern: onlyGaps, recipe: garment(), body: wren("hip: 90")}).fails(t); !errors.As(err, &noRow) || noRow.Row != "hip" {
		t.Errorf("a row of gaps: got %v", err)
	}
	apart := chart("sizes: [S, M]", "body: {bust: [84, ~], hip: [~, 94]}")
	if err := (trial{pattern: apart, recipe: garment("controlling: [bust, hip]"), body: wren("hip: 90")}).fails(t); err == nil {
		t.Error("no size has the row that decides")
	}
	var rule *engine.RuleError
	late := garment(`controlling: 'ease.hip > 3 ? "hip" : "bust"'`)
	if err := (trial{pattern: noHip, recipe: late, body: wren("bust: 88", "hip: 90")}).fails(t); !errors.As(err, &rule) || !strings.Contains(rule.Summary, "once a size is judged") {
		t.Errorf("an expression about the garment: got %v", err)
	}
	var unknown *engine.UnknownError
	err := trial{pattern: chart("sizes: [S]", "body: {hip: [90]}"), recipe: garment(), body: wren("bust: 90")}.fails(t)
	if !errors.As(err, &unknown) || unknown.Measurement != "hip" || !strings.Contains(unknown.How, "fullest") {
		t.Errorf("got %v", err)
	}
}

func TestRangeCells(t *testing.T) {
	ranges := chart("sizes: [S, M, L]", "body: {hip: [86-90, 90-94, 98-102]}", "finished: {hip: [98, 102, 110]}")
	for _, c := range []struct{ hip, smaller, larger string }{
		{"88", "S", "S"},
		{"90", "S", "M"},       // both borders belong to their cells
		{"92.5", "M", "M"},     //
		{"95.9", "M", "M"},     // nearer to 94 than to 98
		{"96", "M", "L"},       // the middle of the gap
		{"96.1", "L", "L"},     //
		{"90.00004", "S", "M"}, // the same to 0.0001 cm
	} {
		for between, want := range map[string]string{"smaller": c.smaller, "larger": c.larger} {
			a := trial{pattern: ranges, recipe: garment("between_sizes: " + between), body: wren("hip: " + c.hip)}.advise(t)
			is(t, c.hip+" "+between, a.ChartSize.Size, want)
			is(t, c.hip+" off chart", a.ChartSize.OffChartCm, 0)
		}
	}
	// The cell counts as its middle for ease: 102 - 92 = 10.
	a := trial{pattern: ranges, recipe: garment(), body: wren("hip: 92")}.advise(t)
	near(t, "drawn", zoneOf(t, a, "M", "hip").Drawn, 10)
	contains(t, "tie", why(t, trial{pattern: ranges, recipe: garment(), body: wren("hip: 96")}.advise(t), "chart").Label, "sizes M and L are as near")
}

func TestHalfWayBetweenColumns(t *testing.T) {
	pattern := chart("sizes: [S, M, L]", "body: {hip: [90, 94, 100]}")
	for hip, want := range map[string]string{"92": "S M", "91.9": "S S", "92.1": "M M", "97": "M L"} {
		smaller := trial{pattern: pattern, recipe: garment("between_sizes: smaller"), body: wren("hip: " + hip)}.advise(t)
		larger := trial{pattern: pattern, recipe: garment("between_sizes: larger"), body: wren("hip: " + hip)}.advise(t)
		is(t, hip, smaller.ChartSize.Size+" "+larger.ChartSize.Size, want)
	}
}

func TestOffTheChart(t *testing.T) {
	columns := chart("sizes: [S, M, L]", "body: {hip: [90, 94, 100]}") // half the end steps: 2 and 3
	ranges := chart("sizes: [S, M]", "body: {hip: [86-90, 90-94]}")
	for _, c := range []struct {
		pattern, hip, size string
		off                float64
		caution            bool
	}{
		{columns, "100", "L", 0, false},
		{columns, "102.9", "L", 2.9, false},
		{columns, "103", "L", 3, false},
		{columns, "103.1", "L", 3.1, true},
		{columns, "88", "S", -2, false},
		{columns, "87.9", "S", -2.1, true},
		{ranges, "94", "M", 0, false},
		{ranges, "94.1", "M", 0.1, true},
		{ranges, "85.5", "S", -0.5, true},
	} {
		a := trial{pattern: c.pattern, recipe: garment(), body: wren("hip: " + c.hip)}.advise(t)
		is(t, c.hip+" chart size", a.ChartSize.Size, c.size)
		is(t, c.hip+" off chart", a.ChartSize.OffChartCm, c.off)
		is(t, c.hip+" caution", strings.Contains(strings.Join(cautions(a), " "), "off-chart"), c.caution)
		is(t, c.hip+" still answered", best(a), c.size)
	}
	// Where no size can be cut, 100 cm round 103, that the pattern ends before you is said beyond half the end step only.
	for hip, ends := range map[string]bool{"103": false, "103.1": true} {
		a := trial{pattern: columns + "finished: {hip: [90, 94, 100]}\n", recipe: garment(), body: wren("hip: " + hip), cloth: fabric()}.advise(t)
		is(t, hip+" can be cut", a.Recommended != nil, false)
		is(t, hip+" the pattern ends before", a.Ends != "", ends)
	}
}

func TestBetweenSizesByDefault(t *testing.T) {
	loose, close := "zones: {hip: {role: decides, ease: 4 in .. 9 in}}", "zones: {hip: {role: decides, ease: 3.9 in .. 9 in}}"
	for _, c := range []struct {
		name string
		want engine.Between
		keys []string
	}{
		{"anything else", engine.Larger, []string{close}},
		{"loose woven", engine.Smaller, []string{loose}},
		{"loose, with comfort stretch", engine.Larger, []string{loose, "stretch: comfort"}},
		{"stretch needed", engine.Smaller, []string{close, "stretch: {needed: 30 %}"}},
		{"children", engine.Larger, []string{loose, "draft: children"}},
		{"children's knit", engine.Larger, []string{close, "draft: children", "stretch: {needed: 30 %}"}},
		{"children's close sleepwear", engine.Smaller, []string{close, "draft: children", "close_sleepwear: true"}},
		{"the recipe's word", engine.Larger, []string{loose, "between_sizes: larger"}},
		{"the recipe's word for children", engine.Smaller, []string{loose, "draft: children", "between_sizes: smaller"}},
		{"one deciding zone is close", engine.Larger,
			[]string{"zones: {hip: {role: decides, ease: 4 in .. 9 in}, waist: {role: decides, ease: 2 in .. 9 in}}"}},
		{"a mended zone is close", engine.Smaller,
			[]string{"zones: {hip: {role: decides, ease: 4 in .. 9 in}, waist: {role: mended, ease: 2 in .. 9 in}}"}},
		{"a mended zone that counts as deciding is close", engine.Larger,
			[]string{"zones: {hip: {role: decides, ease: 4 in .. 9 in}, waist: {role: mended, ease: 2 in .. 9 in}}", "grading: {sensible: false, because: trial}"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := recipes.ReadRecipe(open(t, "recipe.yaml", garment(c.keys...)), vocabulary(t), rules.AtOnce)
			is(t, "between sizes", r.Settle(vocabulary(t)), c.want)
		})
	}
}

func TestFromTheShoulder(t *testing.T) {
	top := garment("controlling: bust", "hangs_from: shoulder", "zones: {bust: {role: decides, ease: 4 cm .. 12 cm}}")
	rows := chart("sizes: [S, M, L]", "body: {bust: [84, 88, 92], upper_bust: [82, 85, 88]}", "finished: {bust: [92, 96, 100]}")
	cup := chart("sizes: [S, M, L]", "drafted_for: {cup: 5 cm}", "body: {bust: [84, 88, 92]}", "finished: {bust: [92, 96, 100]}")
	neither := chart("sizes: [S, M, L]", "body: {bust: [84, 88, 92]}", "finished: {bust: [92, 96, 100]}")

	// Cups 2, 3, 4: an upper bust of 85 makes 87, 88, 89, which lie 3, 0, 3 from the chart.
	a := trial{pattern: rows, recipe: top, body: wren("bust: 95", "upper_bust: 85")}.advise(t)
	is(t, "size by both rows", best(a)+" "+a.ChartSize.Size+" "+a.ChartSize.Each["bust"], "M M M")
	is(t, "body", zoneOf(t, a, "M", "bust").Body, 88)
	is(t, "body of L", zoneOf(t, a, "L", "bust").Body, 89)
	near(t, "measured", zoneOf(t, a, "M", "bust").Measured, 95)
	points(t, a, "L", "bust", 9.0/16) // 100 - 89 - 8 = 3, tolerance 4
	points(t, a, "S", "bust", 9.0/16) // 92 - 87 - 8 = -3
	contains(t, "said", caution(t, a, "upper-bust-picks").Say, "3 cm")

	// The drafted cup of 5 makes 84 + 5 = 89, nearest 88.
	a = trial{pattern: cup, recipe: top, body: wren("bust: 95", "upper_bust: 84")}.advise(t)
	is(t, "size by the drafted cup", best(a), "M")
	is(t, "body", zoneOf(t, a, "M", "bust").Body, 89)

	// Without either the full bust picks, and that is said.
	a = trial{pattern: neither, recipe: top, body: wren("bust: 92", "upper_bust: 84")}.advise(t)
	is(t, "size by the full bust", best(a), "L")
	is(t, "measured is absent", zoneOf(t, a, "L", "bust").Measured == nil, true)
	is(t, "assumption", hasAssumption(a, "the full bust picks the size"), true)

	// Without the upper bust too; it is asked for.
	a = trial{pattern: rows, recipe: top, body: wren("bust: 92")}.advise(t)
	is(t, "size by the full bust", best(a), "L")
	is(t, "missing", a.Missing[0].Measurement, "upper_bust")

	// A garment that does not hang from the shoulder goes by the full bust.
	a = trial{pattern: rows, recipe: garment("controlling: bust", "zones: {bust: {role: decides, ease: 4 cm .. 12 cm}}"), body: wren("bust: 92", "upper_bust: 85")}.advise(t)
	is(t, "size", best(a), "L")

	// Expressions see the same figure, size by size: 87, 88, 89.
	a = trial{pattern: rows, body: wren("bust: 95", "upper_bust: 85"), recipe: garment("controlling: bust", "hangs_from: shoulder",
		"zones: {bust: {role: decides, ease: 4 cm .. 12 cm}}", "cautions: [{id: trial-note, severity: note, when: body.bust > 88.5, say: told, source: common practice}]")}.advise(t)
	for _, s := range a.Sizes {
		is(t, "said of "+s.Size, strings.Contains(strings.Join(s.Cautions, " "), "trial-note"), s.Size == "L")
	}

	// A gap in the upper bust's row: that size goes by the drafted cup.
	gap := strings.Replace(strings.Replace(cup, "{bust: [84, 88, 92]}", "{bust: [84, 88, 92], upper_bust: [82, ~, 88]}", 1), "5 cm", "3 cm", 1)
	a = trial{pattern: gap, recipe: top, body: wren("bust: 95", "upper_bust: 85")}.advise(t)
	is(t, "body", zoneOf(t, a, "M", "bust").Body, 88)
}

func hasAssumption(a *engine.Answer, what string) bool {
	for _, s := range a.Assumptions {
		if strings.Contains(s.What, what) {
			return true
		}
	}
	return false
}

func TestWhereGradingIsNotSensible(t *testing.T) {
	zones := `zones:
  hip: {role: decides, ease: 4 cm .. 12 cm}
  waist: {role: mended, ease: 4 cm .. 12 cm}
  abdomen: {role: mended, ease: 4 cm .. 12 cm, touches: false}
  thigh: {role: mended}
  high_hip: {role: held, by: elastic, ease: 4 cm .. 12 cm}
  inside_leg: {role: mended, ease: 0 cm .. 4 cm}`
	pattern := chart("sizes: [S, M]", "body: {hip: [94, 98], waist: [70, 74], abdomen: [84, 88], thigh: [50, 52], high_hip: [84, 88], inside_leg: [76, 78]}",
		"finished: {hip: [102, 106], waist: [78, 82], abdomen: [92, 96], thigh: [56, 58], high_hip: [92, 96], inside_leg: [78, 80]}")
	body := wren("hip: 94", "waist: 74", "abdomen: 88", "thigh: 52", "high_hip: 88", "inside_leg: 78")
	graded := trial{pattern: pattern, recipe: garment(zones), body: body}.advise(t)
	is(t, "misfit of S", *sizeOf(t, graded, "S").Misfit, 0)
	is(t, "size", best(graded), "S")

	a := trial{pattern: pattern, recipe: garment(zones, "grading: {sensible: false, because: trial}"), body: body}.advise(t)
	// S: hip 0, waist 78 - 74 - 8 = -4, (-4/4)^2 = 1. M: hip +4, 1, waist 0. A tie: the larger.
	is(t, "size", best(a), "M")
	points(t, a, "S", "waist", 1)
	points(t, a, "M", "hip", 1)
	is(t, "role as declared", string(zoneOf(t, a, "S", "waist").Role), "mended")
	for _, zone := range []string{"abdomen", "thigh", "high_hip", "inside_leg"} {
		points(t, a, "S", zone, 0)
	}
	// What counts as deciding rules out as well: the waist of S is 0.5 cm smaller than that.
	wide := strings.Replace(body, "waist: 74", "waist: 78.5", 1)
	is(t, "graded", ranked(trial{pattern: pattern, recipe: garment(zones), body: wide}.advise(t)), "S M")
	is(t, "not graded", ranked(trial{pattern: pattern, recipe: garment(zones, "grading: {sensible: false, because: trial}"), body: wide}.advise(t)), "M (S)")
}

func TestZoneByChart(t *testing.T) {
	a := trial{pattern: chart("sizes: [110, 116, 122]", "body: {height: [110, 116, 122]}"), body: wren("height: 117"),
		recipe: garment("controlling: height", "draft: children", "zones: {height: {role: decides, by: chart, tolerance: 3 cm}}")}.advise(t)
	is(t, "size", best(a), "116")
	points(t, a, "110", "height", 49.0/9) // 110 - 117 = -7
	points(t, a, "116", "height", 1.0/9)
	points(t, a, "122", "height", 25.0/9)
	is(t, "verdict of 110", string(zoneOf(t, a, "110", "height").Verdict), "shorter")
	is(t, "verdict of 116", string(zoneOf(t, a, "116", "height").Verdict), "as wanted")
	is(t, "verdict of 122", string(zoneOf(t, a, "122", "height").Verdict), "longer")
	near(t, "explained", why(t, a, "size/116/height").Value.Number, -1)
	is(t, "absent figures", asJSON(t, zoneOf(t, a, "116", "height")),
		`{"zone":"height","role":"decides","body":117,"estimated":false,"points":0.1111111111111111,"verdict":"as wanted"}`)
}

// The trial garment expects 4 cm to 12 cm: a quarter of that, 2 cm, beyond either end is let pass.
func TestWantedOutsideTheRange(t *testing.T) {
	for finished, outside := range map[string]bool{"101.9": true, "102": false, "114": false, "114.1": true} {
		a := trial{pattern: chart("sizes: [S]", "body: {hip: [100]}", "finished: {hip: ["+finished+"]}"), recipe: garment(), body: wren("hip: 100")}.advise(t)
		is(t, finished, strings.Contains(strings.Join(cautions(a), " "), "wanted-outside-range"), outside)
	}
}

func TestGapsInTheFinishedRow(t *testing.T) {
	// Drawn 8 and 12: a third and two thirds of the way, 9.333 and 10.667.
	pattern := chart("sizes: [S, M, L, XL, XXL]", "body: {hip: [90, 94, 98, 104, 110]}", "finished: {hip: [98, ~, ~, 116, ~]}")
	a := trial{pattern: pattern, recipe: garment(), body: wren("hip: 95")}.advise(t)
	m, l := zoneOf(t, a, "M", "hip"), zoneOf(t, a, "L", "hip")
	near(t, "drawn", m.Drawn, 9.333)
	near(t, "finished", m.Finished, 103.333)
	near(t, "drawn", l.Drawn, 10.667)
	near(t, "finished", l.Finished, 108.667)
	is(t, "estimated", m.Estimated, true)
	is(t, "verdict", string(m.Verdict), "not known")
	is(t, "given", zoneOf(t, a, "S", "hip").Estimated, false)
	// Of five the third is the middle: 10.667 wanted, 6 below (6.667 held), 2 above (1.333 held).
	points(t, a, "M", "hip", 1.0/36) // 94 - 95 = -1
	points(t, a, "L", "hip", 9.0/4)  // 98 - 95 = 3
	is(t, "size", best(a), "M")
	// Nothing is ruled out by an estimate; XXL cannot be estimated and comes last.
	is(t, "rank", ranked(trial{pattern: pattern, recipe: garment(), body: wren("hip: 117")}.advise(t)), "L M (XL) (S) XXL?")
}

func TestSizeWithoutAControllingCell(t *testing.T) {
	a := trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [90, ~, 98]}", "finished: {hip: [98, 102, 106]}"), recipe: garment(), body: wren("hip: 91")}.advise(t)
	is(t, "rank", ranked(a), "S L")
	is(t, "said", hasAssumption(a, "left out: size M"), true)
	// By the second of a list, since the body lacks the first.
	a = trial{pattern: chart("sizes: [S, M, L]", "body: {bust: [84, 88, 92], hip: [90, ~, 98]}"), recipe: garment("controlling: [bust, hip]"), body: wren("hip: 94")}.advise(t)
	is(t, "rank", ranked(a), "L S")
	is(t, "said", hasAssumption(a, "left out: size M"), true)
}

func TestNoFinishedRow(t *testing.T) {
	a := trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [90, 94, 98]}"), recipe: garment(), body: wren("hip: 97")}.advise(t)
	is(t, "rank", ranked(a), "L M S")
	z := zoneOf(t, a, "S", "hip")
	near(t, "finished", z.Finished, 98) // 90 and the middle of 4..12
	near(t, "drawn", z.Drawn, 8)
	near(t, "wanted", z.Wanted, 8)
	near(t, "ease", z.Ease, 1) // under the wearing ease of 5.08, but only an estimate
	is(t, "estimated", z.Estimated, true)
	is(t, "verdict", string(z.Verdict), "not known")
	points(t, a, "L", "hip", 1.0/16) // 98 - 97 = 1, tolerance 4
	is(t, "said", hasAssumption(a, "the finished hip of size L"), true)

	// A recipe's own stop rule over the same figure rules nothing out either.
	own := garment("cautions: [{id: trial-stop, severity: stop, when: ease.hip < 5, say: told, source: common practice}]")
	a = trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [90, 94, 98]}"), recipe: own, body: wren("hip: 97")}.advise(t)
	is(t, "rank", ranked(a), "L M S")
	a = trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [90, 94, 98]}", "finished: {hip: [98, 102, 106]}"), recipe: own, body: wren("hip: 98.5")}.advise(t)
	is(t, "rank of what is known", ranked(a), "L (M) (S)")
}

func TestNoChartRow(t *testing.T) {
	zones := "zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: mended, ease: 2 cm .. 6 cm}, thigh: {role: mended}}"
	a := trial{pattern: chart("sizes: [S]", "body: {hip: [90]}", "finished: {hip: [98], waist: [75], thigh: [60]}"), recipe: garment(zones),
		body: wren("hip: 90", "waist: 70", "thigh: 55")}.advise(t)
	waist := zoneOf(t, a, "S", "waist")
	near(t, "wanted", waist.Wanted, 4)
	near(t, "ease", waist.Ease, 5)
	is(t, "drawn is absent", waist.Drawn == nil, true)
	is(t, "said", hasAssumption(a, "the ease wanted at the waist is the middle"), true)
	is(t, "not judged", asJSON(t, a.NotJudged), `[{"zone":"thigh","because":"the chart has no thigh for size S, and the recipe expects no particular ease there"}]`)
	// Neither row: not judged, and the answer stands.
	a = trial{pattern: chart("sizes: [S]", "body: {hip: [90]}"), recipe: garment(zones), body: wren("hip: 90", "waist: 70", "thigh: 55")}.advise(t)
	is(t, "size", best(a), "S")
	is(t, "not judged", len(a.NotJudged), 2)
}

func TestNothingThatDecidesCanBeJudged(t *testing.T) {
	// The bust picks the chart size; of the zone that decides nothing is known.
	a := trial{pattern: chart("sizes: [S, M, L, XL]", "body: {bust: [84, 88, 92, 96]}"), recipe: garment("controlling: bust"), body: wren("bust: 87")}.advise(t)
	is(t, "size", best(a), "M")
	contains(t, "because", a.Recommended.Because, "the chart puts your bust nearest to it")
	is(t, "rank", ranked(a), "M? L? S? XL?")
}

func TestHeldZone(t *testing.T) {
	pattern := chart("sizes: [S]", "body: {hip: [90], waist: [70]}", "finished: {hip: [98], waist: [90]}")
	a := trial{pattern: pattern, body: wren("hip: 90", "waist: 70"),
		recipe: garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: held, by: elastic, cut: 90 % .. 97 %}}")}.advise(t)
	is(t, "not judged", a.NotJudged[0].Zone, "waist")
	a = trial{pattern: pattern, body: wren("hip: 90", "waist: 70"),
		recipe: garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: held, by: elastic, cut: 90 % .. 97 %, ease: 10 cm .. 30 cm}}")}.advise(t)
	is(t, "points", zoneOf(t, a, "S", "waist").Points, 0)
	is(t, "verdict", string(zoneOf(t, a, "S", "waist").Verdict), "as wanted")
}

func TestWishes(t *testing.T) {
	for _, c := range []struct {
		name   string
		hip    string // the zone's ease
		drawn  float64
		wishes []string
		want   float64
	}{
		{"as drawn", "4 cm .. 12 cm", 8, nil, 8},
		{"closer, half-way to the low end", "4 cm .. 12 cm", 8, []string{"closer"}, 6},
		{"closer, never below wearing ease", "2 cm .. 12 cm", 6, []string{"closer"}, 5.08}, // (6+2)/2 = 4, 2 in
		{"closer, never above drawn", "2 cm .. 12 cm", 4, []string{"closer"}, 4},
		{"closer, drawn below the range", "6 cm .. 12 cm", 5.5, []string{"closer"}, 5.5},
		{"roomier, half-way to the high end", "4 cm .. 12 cm", 8, []string{"roomier"}, 10},
		{"roomier, never below drawn", "4 cm .. 12 cm", 14, []string{"roomier"}, 14},
		{"expected, the middle", "4 cm .. 12 cm", 11, []string{"expected"}, 8},
		{"the ease itself", "4 cm .. 12 cm", 8, []string{"hip=6cm"}, 6},
		{"bare numbers are in the reader's unit", "4 cm .. 12 cm", 8, []string{"hip=6.5"}, 6.5},
		{"a change", "4 cm .. 12 cm", 8, []string{"hip=drawn+2cm"}, 10},
		{"a change downwards", "4 cm .. 12 cm", 8, []string{"hip=drawn-2.5 cm"}, 5.5},
		{"a word and a change", "4 cm .. 12 cm", 8, []string{"hip=closer+1cm"}, 7},
		{"a share of the body", "4 cm .. 12 cm", 8, []string{"hip=7%"}, 7}, // of 100 cm
		{"a change by a share", "4 cm .. 12 cm", 8, []string{"hip=drawn+1%"}, 9},
		{"the zone over the bare word", "4 cm .. 12 cm", 8, []string{"hip=roomier", "closer"}, 10},
		{"the zone over the bare word, first", "4 cm .. 12 cm", 8, []string{"closer", "hip=roomier"}, 10},
		{"the last bare word", "4 cm .. 12 cm", 8, []string{"closer", "roomier"}, 10},
		{"the last for the zone", "4 cm .. 12 cm", 8, []string{"hip=closer", "hip=roomier"}, 10},
		{"negative ease", "4 cm .. 12 cm", 8, []string{"hip=-2cm"}, -2},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: chart("sizes: [S]", "body: {hip: [98]}", fmt.Sprintf("finished: {hip: [%v]}", 98+c.drawn)), wishes: c.wishes,
				recipe: garment("zones: {hip: {role: decides, ease: " + c.hip + "}}"), body: wren("hip: 100")}.advise(t)
			near(t, "wanted", zoneOf(t, a, "S", "hip").Wanted, c.want)
		})
	}
}

func TestWishesWithoutDrawn(t *testing.T) {
	for wish, want := range map[string]float64{"drawn": 8, "closer": 6, "roomier": 10, "hip=drawn+1cm": 9} { // the middle of 4..12
		a := trial{pattern: chart("sizes: [S]", "body: {bust: [88]}", "finished: {hip: [110]}"), recipe: garment("controlling: bust"), wishes: []string{wish},
			body: wren("bust: 88", "hip: 100")}.advise(t)
		near(t, wish, zoneOf(t, a, "S", "hip").Wanted, want)
	}
}

func TestWishesInPercentZones(t *testing.T) {
	// Drawn 90/100 - 1 = -10 %, the body 80 cm: 4 cm are 5 % of it.
	for wish, want := range map[string]float64{"drawn": -10, "closer": -10, "roomier": -5, "hip=-4cm": -5, "hip=drawn+2cm": -7.5, "hip=-3%": -3} {
		a := trial{pattern: chart("sizes: [S]", "body: {hip: [100]}", "finished: {hip: [90]}"), wishes: []string{wish}, body: wren("hip: 80"),
			recipe: garment("zones: {hip: {role: decides, ease: -10 % .. 0 %}}", "stretch: {needed: 40 %}")}.advise(t)
		near(t, wish, zoneOf(t, a, "S", "hip").Wanted, want)
	}
}

func TestWishesThatCannotBeRead(t *testing.T) {
	limits := vocabulary(t).Limits
	for _, text := range []string{"", "tighter", "hip=", "hip=drawn2cm", "closer+2cm", "6cm", "hip=loose",
		"hip=-1000cm", "hip=-101cm", "hip=drawn-1.01m", "hip=10.01m", "hip=-100%", "hip=401%"} {
		if w, err := limits.ParseWish(text, quantity.Cm); err == nil {
			t.Errorf("%q was read as %+v", text, w)
		}
	}
	for _, text := range []string{"shirt=-1mm", "shirt=10.1cm", "shirt=90cm", "shirt=", "shirt=thick"} {
		if l, err := limits.ParseLayer(text, quantity.Cm); err == nil {
			t.Errorf("%q was read as %+v", text, l)
		}
	}
	for _, text := range []string{"hip=-1m", "hip=10m", "hip=-99%", "hip=400%"} {
		if _, err := limits.ParseWish(text, quantity.Cm); err != nil {
			t.Error(err)
		}
	}
	var wish *engine.WishError
	err := trial{pattern: chart("sizes: [S]", "body: {hip: [98]}"), recipe: garment(), body: wren("hip: 100"), wishes: []string{"waist=2cm"}}.fails(t)
	if !errors.As(err, &wish) || wish.Wish != "waist=2cm" {
		t.Errorf("got %v", err)
	}
}

func TestLayers(t *testing.T) {
	mm := func(v quantity.Length) *quantity.Length { l := v * quantity.Millimetre; return &l }
	pattern := chart("sizes: [S]", "body: {hip: [100], inside_leg: [76]}", "finished: {hip: [108.3], inside_leg: [78]}")
	recipe := garment("worn_over: [tights]", "zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, inside_leg: {role: mended, ease: 0 cm .. 4 cm}}")
	body := wren("hip: 100", "inside_leg: 76")
	run := func(cloth string, wish string, over ...engine.Layer) *engine.Answer {
		return trial{pattern: pattern, recipe: recipe, body: body, over: over, cloth: cloth, wishes: []string{wish}}.advise(t)
	}
	five := engine.Layer{Name: "felt", Thickness: mm(5)}

	// 2 pi x 0.5 cm = 3.1416 more is wanted; ease stays finished - body.
	a := run("", "drawn", five)
	near(t, "wanted", zoneOf(t, a, "S", "hip").Wanted, 11.442) // 8.3 + 3.1416
	near(t, "ease", zoneOf(t, a, "S", "hip").Ease, 8.3)
	near(t, "a length is not touched", zoneOf(t, a, "S", "inside_leg").Wanted, 2)
	contains(t, "said", caution(t, a, "more-layers-than-meant").Say, "3.1 cm")
	// Wearing ease 5.08 + 3.1416 = 8.2216: 108.3 is enough; with cloth of 1 mm, pi x 0.1 = 0.3142 more, it is close.
	close := func(a *engine.Answer) bool { return slices.Contains(cautions(a), "below-wearing-ease") }
	is(t, "close", close(a), false)
	is(t, "close with a thick cloth", close(run(fabric("thickness: 1 mm"), "drawn", five)), true)
	is(t, "close with the cloth alone", close(run(fabric("thickness: 1 mm"), "drawn")), false)
	near(t, "the cloth adds nothing to wanted", zoneOf(t, run(fabric("thickness: 1 mm"), "drawn"), "S", "hip").Wanted, 8.3)
	wearing := func(a *engine.Answer) *float64 { return why(t, a, "size/S/hip/cloth/wearing").Value.Number }
	near(t, "wearing ease", wearing(run(fabric("thickness: 1 mm"), "drawn", five)), 8.536) // 5.08 + 3.1416 + 0.3142
	near(t, "in a knit only the layers", wearing(run(fabric("structure: knit", "thickness: 1 mm", "stretch: {across: 50 %}"), "drawn", five)), 3.142)
	// Two layers, one by its name: tights are meant to be worn, a shirt of 0.4 mm is not: 2 pi x 0.04 = 0.2513.
	near(t, "by name", wearing(run("", "drawn", engine.Layer{Name: "shirt"}, engine.Layer{Name: "tights"})), 5.331)
	// Two that are not meant lie on one another: 2 pi x (0.04 + 0.2) = 1.508.
	near(t, "two layers", wearing(run("", "drawn", engine.Layer{Name: "shirt"}, engine.Layer{Name: "fine jumper"})), 6.588)
	near(t, "a foundation adds nothing", wearing(run("", "drawn", engine.Layer{Name: "shapewear"})), 5.08)
	// closer = (8.3 + 4)/2 = 6.15, over the 5.08 one needs; the layers come on top, once.
	near(t, "closer", zoneOf(t, run("", "closer", five), "S", "hip").Wanted, 9.292)

	var unknown *engine.LayerError
	err := trial{pattern: pattern, recipe: recipe, body: body, over: []engine.Layer{{Name: "armour"}}}.fails(t)
	if !errors.As(err, &unknown) || unknown.Layer != "armour" {
		t.Errorf("got %v", err)
	}
	var twice *engine.LayerTwiceError
	err = trial{pattern: pattern, recipe: recipe, body: body, over: []engine.Layer{{Name: "shirt"}, {Name: "shirt"}}}.fails(t)
	if !errors.As(err, &twice) || twice.Layer != "shirt" {
		t.Errorf("got %v", err)
	}
}

func TestUsableStretch(t *testing.T) {
	const unknown = -1
	for _, c := range []struct {
		name, cloth, recipe string
		hip, leg            float64
	}{
		{"half of it", fabric("structure: knit", "stretch: {across: 40 %, along: 20 %}"), "none", 20, 10},
		{"recovery", fabric("structure: knit", "stretch: {across: 40 %, along: 20 %}", "recovery: 80 %"), "none", 16, 8},
		{"under 10 % none", fabric("stretch: {across: 9.9 %, along: 10 %}"), "none", 0, 5},
		{"the least is before the share and recovery", fabric("stretch: {across: 10 %, along: 9 %}", "recovery: 50 %"), "none", 2.5, 0},
		{"10 % by a gauge", fabric("stretch: {across: {from: 7 cm, to: 7.7 cm}, along: {from: 3 in, to: 3.3 in}}"), "none", 5, 5},
		{"crosswise", fabric("structure: knit", "stretch: {across: 40 %, along: 20 %}", "grain: crosswise"), "none", 10, 20},
		{"bias, not gauged at 45 degrees", fabric("stretch: {across: 40 %, along: 20 %}", "grain: bias"), "none", unknown, unknown},
		{"bias, gauged", fabric("stretch: {across: 4 %, along: 2 %, bias: {from: 10 cm, to: 13 cm}}", "grain: bias"), "none", 15, 15},
		{"with the grain, gauged on the bias too", fabric("stretch: {across: 40 %, along: 20 %, bias: 60 %}"), "none", 20, 10},
		{"a woven that names none", fabric(), "none", 0, 0},
		{"no cloth, none", "", "none", 0, 0},
		{"no cloth, comfort alone", "", "comfort", 0, 0},
		{"no cloth, comfort", "", "{comfort: 12 %}", 6, 6},
		{"no cloth, needed", "", "{needed: 30 %}", 15, 15},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: chart("sizes: [S]", "body: {hip: [100], inside_leg: [76]}", "finished: {hip: [108], inside_leg: [78]}"), body: wren("hip: 100", "inside_leg: 76"),
				recipe: garment("stretch: "+c.recipe, "zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, inside_leg: {role: mended, ease: 0 cm .. 4 cm}}",
					`cautions: [{id: along, severity: note, zone: inside_leg, when: known(stretch.along) or not known(stretch.along), say: 'along {zone.stretch}', source: s}]`), cloth: c.cloth}.advise(t)
			if c.hip == unknown {
				is(t, "round", why(t, a, "size/S/hip/cloth/usable").Value == nil, true)
				is(t, "along", strings.Contains(caution(t, a, "along").Say, "%"), false)
				return
			}
			near(t, "round", why(t, a, "size/S/hip/cloth/usable").Value.Number, c.hip)
			is(t, "along", caution(t, a, "along").Say, "along "+quantity.FormatPercent(c.leg))
		})
	}
}

func TestWearingEaseAndStretch(t *testing.T) {
	one := func(finished string) string {
		return chart("sizes: [S]", "body: {hip: [100]}", "finished: {hip: ["+finished+"]}")
	}
	for _, c := range []struct{ name, finished, stretch, cloth, want string }{
		{"just the wearing ease of 2 in", "105.08", "none", "", "S"},
		{"the same to 0.0001 %", "105.079999", "none", "", "S"},
		{"under it", "105", "none", "", "S"},
		{"as large as the body", "100", "none", "", "S"},
		{"smaller", "99.99", "none", "", "(S)"},
		{"smaller, in a woven of 12 %", "95", "none", fabric("stretch: {across: 12 %}"), "S"}, // 100/95 - 1 = 5.3 %, 6 % usable
		{"smaller, in a woven of 9 %", "99", "none", fabric("stretch: {across: 9 %}"), "(S)"},
		{"smaller, in a knit of 9 %", "99", "none", fabric("structure: knit", "stretch: {across: 9 %}"), "(S)"},
		{"a stretch recipe in a woven", "100", "{needed: 20 %}", fabric(), "S"},
		{"smaller, as far as the knit goes", "80", "{needed: 20 %}", fabric("structure: knit", "stretch: {across: 50 %}"), "S"}, // 100/80 - 1 = 25 %
		{"smaller, a little further", "79.9", "{needed: 20 %}", fabric("structure: knit", "stretch: {across: 50 %}"), "(S)"},
		{"an assumed cloth rules out", "90", "{needed: 20 %}", "", "(S)"},   // 11.1 %, 10 usable
		{"an assumed cloth carries", "91", "{needed: 20 %}", "", "S"},       // 9.9 %
		{"an assumed woven with comfort", "96", "{comfort: 20 %}", "", "S"}, // 100/96 - 1 = 4.2 %
		{"a stretch that is not given", "90", "{needed: 20 %}", fabric("structure: knit"), "S"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: one(c.finished), body: wren("hip: 100"), cloth: c.cloth,
				recipe: garment("stretch: "+c.stretch, "zones: {hip: {role: decides, ease: -20 cm .. 12 cm}}")}.advise(t)
			is(t, "rank", ranked(a), c.want)
		})
	}
	// Not given: the rules stand among those not checked.
	a := trial{pattern: one("90"), body: wren("hip: 100"), cloth: fabric("structure: knit"),
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -20 cm .. 12 cm}}")}.advise(t)
	is(t, "not checked", strings.Contains(asJSON(t, a.NotChecked), "negative-ease-needs-stretch"), true)
}

func TestFirstSizeThatAKnitCarries(t *testing.T) {
	a := trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [92, 96, 100]}", "finished: {hip: [80, 84, 88]}"), body: wren("hip: 92"),
		cloth:  fabric("structure: knit", "stretch: {across: 20 %}"), // 10 % usable: S 15 %, M 9.5 %
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -15 % .. 0 %}}")}.advise(t)
	is(t, "rank", ranked(a), "M L (S)")
	s := trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [92, 96, 100]}", "finished: {hip: [80, 84, 88]}"), body: wren("hip: 92"),
		cloth:  fabric("structure: knit", "stretch: {across: 20 %}"),
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -15 % .. 0 %}}")}.request(t)
	s.Explain = []string{"S"}
	n := why(t, answer(t, s), "size/S/caution/beyond-comfortable-stretch/hip")
	contains(t, "needed", n.Label, "15 %")
}

func TestLessStretchThanDrafted(t *testing.T) {
	// Drafted for 50 %, M over 96: (96/80 - 1)/50 = 0.4 % of each percent. This cloth of 25 %, a body of 96:
	// M 20/25 = 0.8, L (96/86 - 1) = 11.6 %/25 = 0.465, XL (96/92 - 1) = 4.3 %/25 = 0.174. L is nearest.
	a := trial{pattern: chart("sizes: [M, L, XL]", "drafted_for: {stretch: 50 %}", "body: {hip: [96, 102, 108]}", "finished: {hip: [80, 86, 92]}"), body: wren("hip: 96"),
		cloth:  fabric("structure: knit", "stretch: {across: 45 %}"),
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -30 % .. 0 %}}")}.advise(t)
	// 45 %: M 20/45 = 0.444, L 11.6/45 = 0.258: M restores it, nothing to say.
	is(t, "nothing said", strings.Contains(strings.Join(cautions(a), " "), "less-stretch-than-drafted"), false)
	a = trial{pattern: chart("sizes: [M, L, XL]", "drafted_for: {stretch: 50 %}", "body: {hip: [96, 102, 108]}", "finished: {hip: [80, 86, 92]}"), body: wren("hip: 96"),
		cloth:  fabric("structure: knit", "stretch: {across: 41 %}", "recovery: 98 %"), // 20.09 % usable: M passes still
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -30 % .. 0 %}}")}.advise(t)
	is(t, "size", best(a), "M")
	q := trial{pattern: chart("sizes: [M, L, XL]", "drafted_for: {stretch: 80 %}", "body: {hip: [96, 102, 108]}", "finished: {hip: [80, 86, 92]}"), body: wren("hip: 96"),
		cloth:  fabric("structure: knit", "stretch: {across: 42 %}"), // drafted 0.25: M 0.476, L 0.277, XL 0.104
		recipe: garment("stretch: {needed: 20 %}", "zones: {hip: {role: decides, ease: -30 % .. 0 %}}")}
	a = q.advise(t)
	is(t, "size: a caution, never a rank", best(a), "M")
	contains(t, "fix", caution(t, a, "less-stretch-than-drafted").Fix, "Size L ")
}

func TestOpenings(t *testing.T) {
	pulled := `openings: [{name: waist, measure: waist_open, elastic: waist_stretched, passes: [hip, "shoulder_girth and bust"], closure: none}]`
	zip := `openings: [{name: back, passes: [abdomen], closure: {kind: zip, reach: 10 cm, from: waist, towards: hip, run: 20 cm, run_by: waist_to_hip}}]`
	for _, c := range []struct{ name, opening, finished, body, cloth, want string }{
		{"passes", pulled, "waist_open: [104]", "hip: 100", "", "passes"},
		{"equal passes", pulled, "waist_open: [100]", "hip: 100", "", "passes"},
		{"equal to 0.0001 cm passes", pulled, "waist_open: [99.99996]", "hip: 100", "", "passes"},
		{"by the other alternative", pulled, "waist_open: [99]", "hip: 100, shoulder_girth: 99, bust: 90", "", "passes"},
		{"each part singly", pulled, "waist_open: [99]", "hip: 100, shoulder_girth: 98, bust: 99.5", "", "fails"},
		{"fails every alternative", pulled, "waist_open: [94]", "hip: 100, shoulder_girth: 108, bust: 90", "", "fails"},
		{"one known part is too large", pulled, "waist_open: [94]", "hip: 100, shoulder_girth: 108", "", "fails"},
		{"an alternative is not known", pulled, "waist_open: [94]", "hip: 100, shoulder_girth: 90", "", "not judged"},
		{"not measured", pulled, "", "hip: 100", "", "not judged"},
		{"a stretching edge", pulled, "waist_open: [90]", "hip: 100, shoulder_girth: 120", fabric("stretch: {across: 12 %}"), "passes"}, // 100.8
		{"an edge that hardly stretches", pulled, "waist_open: [94]", "hip: 100, shoulder_girth: 120", fabric("stretch: {across: 9 %}"), "fails"},
		{"a short elastic", pulled, "waist_open: [104], waist_stretched: [96]", "hip: 100, shoulder_girth: 120", "", "short elastic"},
		{"a long elastic in a narrow casing", pulled, "waist_open: [94], waist_stretched: [120]", "hip: 100, shoulder_girth: 120", "", "fails"},
		// Half-way down a run of 20: (80 + 108)/2 = 94.
		{"a closure", zip, "waist: [80]", "hip: 100, abdomen: 94", "", "passes"},
		{"a closure too short", zip, "waist: [80]", "hip: 100, abdomen: 94.1", "", "fails"},
		{"a longer run of one's own", zip, "waist: [80]", "hip: 100, abdomen: 94, waist_to_hip: 25", "", "fails"}, // 80 + 28 x 10/25 = 91.2
		{"beyond the level", zip, "waist: [112]", "hip: 100, abdomen: 108, waist_to_hip: 9", "", "passes"},        // the hip's 108, no less
		{"a row is lacking", zip, "", "hip: 100, abdomen: 94", "", "not judged"},
	} {
		t.Run(c.name, func(t *testing.T) {
			finished := "finished: {hip: [108]"
			if c.finished != "" {
				finished += ", " + c.finished
			}
			a := trial{pattern: chart("sizes: [S]", "body: {hip: [100], waist: [76]}", finished+"}"), recipe: garment(c.opening), body: wren(c.body), cloth: c.cloth}.advise(t)
			is(t, "result", a.Shown.Openings[0].Result, c.want)
			is(t, "ruled out", a.Sizes[0].RuledOut, c.want == "fails" && c.opening == pulled)
			is(t, "not judged", len(a.NotJudged) > 0, c.want == "not judged")
			if c.want == "fails" && c.opening == zip {
				is(t, "severity", string(caution(t, a, "closure-too-short").Severity), "warn")
			}
		})
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct{ name, ease, drawn, finished, want string }{
		{"as drawn", "6 cm .. 12 cm", "8", "108", "as wanted"},
		{"1 cm less", "6 cm .. 12 cm", "8", "107", "as wanted"},
		{"1 cm more, though beyond the range", "6 cm .. 8.5 cm", "8", "109", "as wanted"},
		{"a little less still", "6 cm .. 12 cm", "8", "106.9", "closer"},
		{"at the low end", "6 cm .. 12 cm", "8", "106", "closer"},
		{"below the low end", "6 cm .. 12 cm", "8", "105.9", "too close"},
		{"a little more", "6 cm .. 12 cm", "8", "109.1", "roomier"},
		{"at the high end", "6 cm .. 12 cm", "8", "112", "roomier"},
		{"above the high end", "6 cm .. 12 cm", "8", "112.1", "too roomy"},
		{"smaller", "0 cm .. 12 cm", "8", "99.9", "smaller than the body"},
		{"smaller, as wanted by 1 cm", "0 cm .. 12 cm", "0.5", "99.9", "smaller than the body"},
		{"smaller, where the type is meant to be", "-4 cm .. 12 cm", "8", "99.9", "closer"},
		{"no lower end", ".. 12 cm, tolerance: 2 cm", "8", "99.9", "closer"},
		{"none smaller than 0.0001 cm", "0 cm .. 12 cm", "0", "99.99996", "as wanted"},
		{"its own least", "6 cm .. 12 cm, least: 2 cm", "8", "106.1", "as wanted"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := trial{pattern: chart("sizes: [S]", "body: {hip: [100]}", "finished: {hip: ["+c.finished+"]}"), body: wren("hip: 100"), wishes: []string{"hip=" + c.drawn + "cm"},
				recipe: garment("zones: {hip: {role: decides, ease: " + c.ease + "}}")}.advise(t)
			is(t, "verdict", string(zoneOf(t, a, "S", "hip").Verdict), c.want)
		})
	}
}

func TestTiesAreSettledBetweenSizes(t *testing.T) {
	// Half-way, with the same tolerance on both sides: 1/16 each, to the last bits.
	pattern := chart("sizes: [S, M]", "body: {hip: [94.1, 96.1]}", "finished: {hip: [102.1, 104.1]}")
	is(t, "larger", ranked(trial{pattern: pattern, recipe: garment("between_sizes: larger"), body: wren("hip: 95.1")}.advise(t)), "M S")
	is(t, "smaller", ranked(trial{pattern: pattern, recipe: garment("between_sizes: smaller"), body: wren("hip: 95.1")}.advise(t)), "S M")
	// 1 nm nearer to S is no tie: the points are 2.5e-8 apart.
	is(t, "1 nm", ranked(trial{pattern: pattern, recipe: garment("between_sizes: larger"), body: wren("hip: 95.0999999")}.advise(t)), "S M")
	// Distances of 0.1, 0.2 and 0.5 cm, and of 0.5, 0.2 and 0.1: the same sum of squares but for the last bit.
	three := trial{pattern: chart("sizes: [S, M]", "body: {bust: [84, 84.6], waist: [70, 70.4], hip: [94, 94.6]}", "finished: {bust: [92, 92.6], waist: [78, 78.4], hip: [102, 102.6]}"),
		body: wren("bust: 84.1", "waist: 70.2", "hip: 94.5")}
	for between, want := range map[string]string{"larger": "M S", "smaller": "S M"} {
		role := "{role: decides, ease: 4 cm .. 12 cm}"
		three.recipe = garment("zones: {bust: "+role+", waist: "+role+", hip: "+role+"}", "between_sizes: "+between)
		a := three.advise(t)
		is(t, between, ranked(a), want)
		is(t, "the sums differ in the last bit", *a.Sizes[0].Misfit != *a.Sizes[1].Misfit, true)
	}
	// The same among sizes that are ruled out.
	out := chart("sizes: [S, M]", "body: {hip: [94, 96]}", "finished: {hip: [92, 94]}")
	loose := "zones: {hip: {role: decides, ease: -6 cm .. 2 cm}}"
	is(t, "larger, ruled out", ranked(trial{pattern: out, recipe: garment(loose, "between_sizes: larger"), body: wren("hip: 95")}.advise(t)), "(M) (S)")
	is(t, "smaller, ruled out", ranked(trial{pattern: out, recipe: garment(loose, "between_sizes: smaller"), body: wren("hip: 95")}.advise(t)), "(S) (M)")
}

func TestLeftAndRight(t *testing.T) {
	pattern := chart("sizes: [S, M, L]", "body: {upper_arm: [28, 30, 32]}", "finished: {upper_arm: [34, 36, 38]}")
	recipe := garment("controlling: upper_arm", "zones: {upper_arm: {role: decides, ease: 3 cm .. 9 cm}}")
	for _, c := range []struct {
		arms, size string
		body       float64
		said       bool
	}{
		{"{left: 29.8, right: 31.5}", "L", 31.5, true}, // 1.7 cm apart; 31.5 is nearer 32
		{"{left: 31.5, right: 29.8}", "L", 31.5, true},
		{"{left: 29, right: 30}", "M", 30, false}, // 1 cm, not more
		{"{left: [29, 29.4], right: 28}", "M", 29.2, true},
		{"{left: 30}", "M", 30, false},
		{"[30.1, 30.2]", "M", 30.15, false},
	} {
		a := trial{pattern: pattern, recipe: recipe, body: wren("upper_arm: " + c.arms)}.advise(t)
		is(t, c.arms, best(a), c.size)
		is(t, c.arms+" body", zoneOf(t, a, c.size, "upper_arm").Body, c.body)
		is(t, c.arms+" said", strings.Contains(strings.Join(cautions(a), " "), "sides-differ"), c.said)
	}
}

func TestReadings(t *testing.T) {
	a := trial{pattern: chart("sizes: [S]", "body: {hip: [98]}"), recipe: garment(), body: wren("hip: [95.4, 99.7]")}.advise(t)
	is(t, "mean", *why(t, a, "chart/body").Value.Number, 97.55)
	// The difference of two readings of 1.5 cm has a deviation of 1.5 x sqrt 2 = 2.12 cm; twice that is 4.24 cm.
	contains(t, "said", caution(t, a, "readings-differ").Say, "4.3 cm apart, more than the 4.2 cm of two careful ones")
	a = trial{pattern: chart("sizes: [S, M]", "body: {hip: [94, 98]}"), recipe: garment(), body: wren("hip: [95.5, 99.7]")}.advise(t)
	is(t, "as far as two careful readings", len(a.Cautions), 0)
}

func TestBeyondTheSizeMoves(t *testing.T) {
	// Chart size S; the wish for 12 cm of ease goes to L, two sizes up, of one that hold.
	pattern := chart("sizes: [S, M, L]", "body: {hip: [92, 96, 100]}", "finished: {hip: [96, 100, 104]}")
	recipe := garment("zones: {hip: {role: decides, ease: 2 cm .. 14 cm}}", "size_moves: {down: 0, up: 1}")
	a := trial{pattern: pattern, recipe: recipe, body: wren("hip: 92"), wishes: []string{"hip=12cm"}, cloth: fabric("stretch: {across: 20 %}")}.advise(t)
	is(t, "size", best(a)+", chart size "+a.ChartSize.Size, "L, chart size S")
	is(t, "severity", string(caution(t, a, "beyond-size-moves").Severity), "warn")
	is(t, "none ruled out", ranked(a), "L M S")
	a = trial{pattern: pattern, recipe: recipe, body: wren("hip: 92"), wishes: []string{"hip=8cm"}, cloth: fabric("stretch: {across: 20 %}")}.advise(t)
	is(t, "size", best(a), "M")
	is(t, "within", strings.Contains(strings.Join(cautions(a), " "), "beyond-size-moves"), false)
}

func TestMisfitAddsUp(t *testing.T) {
	zones := "zones: {bust: {role: decides, ease: 4 cm .. 12 cm, weight: 2}, waist: {role: decides, ease: 3 cm .. 9 cm}, hip: {role: decides, ease: 4 cm .. 12 cm, weight: 0.5}}"
	a := trial{pattern: chart("sizes: [S, M]", "body: {bust: [84, 88], waist: [66, 70], hip: [92, 96]}", "finished: {bust: [92, 96], waist: [72, 76], hip: [100, 104]}"),
		recipe: garment(zones), body: wren("bust: 85", "waist: 69", "hip: 92.5")}.advise(t)
	// S: 2 x (-1/4)^2 + (-3/3)^2 + (-0.5/4)^2 / 2; M: 2 x (3/4)^2 + (1/3)^2 + (3.5/4)^2 / 2.
	near(t, "S", sizeOf(t, a, "S").Misfit, 0.125+1+0.0078125)
	near(t, "M", sizeOf(t, a, "M").Misfit, 1.125+1.0/9+0.3828125)
	contains(t, "shown", why(t, a, "size/S").Label, "0.125 + waist 1 + hip 0.0078")
}

func TestWordsSpeakOfTheSizeShown(t *testing.T) {
	// The condition is the same for every size, the words are not. M is nearest but ruled out.
	a := trial{pattern: chart("sizes: [S, M, L]", "body: {hip: [90, 94, 98]}", "finished: {hip: [90, 94, 103]}"), body: wren("hip: 94.5"),
		recipe: garment(`cautions: [{id: trial-note, severity: note, when: body.hip > 90, say: "size {size.name} has {ease.hip}", source: common practice}]`)}.advise(t)
	is(t, "rank", ranked(a), "L (M) (S)")
	is(t, "said", caution(t, a, "trial-note").Say, "size L has 8.5 cm")
	for _, s := range a.Sizes {
		is(t, "told of "+s.Size, strings.Contains(strings.Join(s.Cautions, " "), "trial-note"), true)
	}
}

// One prepared pattern serves many bodies, at once too, and what one has known
// does not reach the next.
func TestPreparedPatternServesManyBodies(t *testing.T) {
	pattern := chart("sizes: [S, M, L]", "body: {hip: [90, 94, 98], waist: [70, 74, 78]}", "finished: {hip: [98, 102, 106], waist: [74, 78, 82]}")
	recipe := garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: decides, ease: 2 cm .. 6 cm}}",
		"cautions: [{id: trial-note, severity: note, when: body.waist > 75, say: told, source: common practice}, {id: trial-stop, severity: stop, zone: waist, when: zone.ease < 3, say: told, source: common practice}]")
	q := trial{pattern: pattern, recipe: recipe, body: wren("hip: 94", "waist: 77")}.request(t)
	f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		t.Fatal(err)
	}
	bodies := []string{wren("hip: 94", "waist: 77"), wren("hip: 92"), wren("hip: 90", "waist: 70"), wren("hip: 98")}
	fittings, alone := make([]engine.Fitting, len(bodies)), make([]*engine.Answer, len(bodies))
	for i, text := range bodies {
		one := q
		one.Body = recipes.ReadBody(open(t, "body.yaml", text), q.Vocabulary)
		fittings[i], alone[i] = one.Fitting, answer(t, one)
	}
	inTurn := func() {
		for i, want := range alone {
			r, err := f.Rank(fittings[i])
			if err != nil || r.Best != best(want) || strings.Join(r.Cautions, " ") != strings.Join(want.Sizes[0].Cautions, " ") {
				t.Errorf("%s: %s %v, alone %s %v, %v", bodies[i], r.Best, r.Cautions, best(want), want.Sizes[0].Cautions, err)
			}
		}
	}
	inTurn()
	var all sync.WaitGroup
	for range 8 {
		all.Go(inTurn)
	}
	all.Wait()
}

// A waist of 105 lets a hip of 95 through, whatever the shoulders measure; one of 90 does not, and then they may.
func TestAsksOnlyWhatWouldLetYouIn(t *testing.T) {
	opening := "openings: [{name: waist, measure: waist_open, passes: [hip, shoulder_girth and bust], closure: none}]"
	for _, c := range []struct{ open, body, want string }{
		{"105", "hip: 95", ""},
		{"90", "hip: 95", "shoulder_girth bust"},
		{"90", "hip: 95, bust: 88", "shoulder_girth"},
		{"90", "hip: 95, bust: 88, shoulder_girth: 100", ""}, // nothing would help
	} {
		a := trial{pattern: chart("sizes: [1]", "body: {hip: [95]}", "finished: {hip: [105], waist_open: ["+c.open+"]}"),
			recipe: garment(opening), body: wren(c.body), cloth: fabric("stretch: {across: 0 %, along: 0 %}")}.advise(t)
		var asked []string
		for _, m := range a.Missing {
			asked = append(asked, m.Measurement)
		}
		is(t, c.open+" and "+c.body, strings.Join(asked, " "), c.want)
	}
}
