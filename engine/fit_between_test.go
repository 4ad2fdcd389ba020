package engine_test

import (
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// nest is a straight skirt whose hips have 5 in of ease, with these sizes and hips.
func nest(sizes, hips, finished string) trial {
	return trial{pattern: chart("units: in", "sizes: ["+sizes+"]", "body: {hip: ["+hips+"]}", "finished: {hip: ["+finished+"]}"), recipe: aSkirt("side: 2")}
}

// Steps of 1, 1 1/2 and 1 1/2 in, then one of 4 in: more than twice the usual 1 1/2, less
// than three times. Half-way between 40 and 44 lies 42, finished 45 + 4 / 2 = 47.
func TestALineHalfWay(t *testing.T) {
	tr := nest("8, 10, 12, 14, 18", "36, 37, 38 1/2, 40, 44", "41, 42, 43 1/2, 45, 49")
	tr.body = wren("hip: 42 in")
	a := tr.advise(t)
	is(t, "size", best(a), "14/18")
	near(t, "ease", zoneOf(t, a, "14/18", "hip").Ease, 12.7)
	is(t, "drawn by you", a.Sizes[0].DrawnByYou, "half-way from the line of 14 to that of 18")
	is(t, "the others are printed", sizeOf(t, a, "14").DrawnByYou, "")
	contains(t, "what to trace", toCheck(t, a, "size-lines").Say, "sizes 14 and 18")
	contains(t, "where its figure is from", why(t, a, "size/14-18/hip/ease/finished").Label, "119.4 cm, half-way from the line of 14 to that of 18")
	is(t, "taken for granted", a.Assumptions[1].What, "size 14/18 lies half-way from the line of 14 to that of 18")
	tr.body = wren("hip: 40 in")
	is(t, "a body of a printed size", best(tr.advise(t)), "14")
}

// A step of 6 in is four of 1 1/2: lines at the thirds, 42 and 44 in, finished 47 and 49.
func TestLinesAtTheThirds(t *testing.T) {
	tr := nest("8, 10, 12, 14, 20", "36, 37, 38 1/2, 40, 46", "41, 42, 43 1/2, 45, 51")
	tr.body = wren("hip: 44 1/4 in")
	a := tr.advise(t)
	is(t, "size", best(a), "14/20 2/3")
	near(t, "ease", zoneOf(t, a, "14/20 2/3", "hip").Ease, 12.065) // 49 - 44 1/4 = 4 3/4 in
	is(t, "sizes", strings.Join(a.Shown.Sizes, ", "), "8, 10, 12, 14, 14/20 1/3, 14/20 2/3, 20")
}

// Twice the usual step is no gap, and of two sizes no step is usual.
func TestNoGap(t *testing.T) {
	for sizes, tr := range map[string]trial{
		"8, 10, 12, 14": nest("8, 10, 12, 14", "36, 37 1/2, 39, 42", "41, 42 1/2, 44, 47"),
		"14, 20":        nest("14, 20", "40, 46", "45, 51"),
	} {
		tr.body = wren("hip: 42 in")
		is(t, "sizes", strings.Join(tr.advise(t).Shown.Sizes, ", "), sizes)
	}
}

// A skirt of one size is drawn out and in: finished 43 for a hip of 40, 3 in of ease, 2 to 4 in will do.
// 43 - 43 = 0: 2 in are drawn out, 1/2 in at each of four edges. 43 - 38 = 5: 1 in is drawn in. 46 is
// reached by an inch at each edge, 47 in, and an inch is lacking. 48 lies beyond: 47 in would have to
// stretch.
func TestAPatternOfOneSize(t *testing.T) {
	tr := nest("M", "40", "43")
	tr.units = quantity.In
	tr.recipe = garment("zones: {hip: {role: decides, ease: 2 in .. 4 in, seams: {side: 2}}}")
	for hip, want := range map[string]struct {
		change  string
		becomes float64
		say     string
	}{
		"hip: 43 in": {"seam 5.08", 114.3, "Draw out the 2 side seams at the hip by 2 in altogether"},
		"hip: 38 in": {"seam -2.54", 106.68, "Draw in the 2 side seams at the hip by 1 in altogether"},
		"hip: 46 in": {"seam 10.16", 119.38, "Draw out the 2 side seams at the hip by 4 in altogether"},
	} {
		tr.body = wren(hip)
		a := tr.advise(t)
		is(t, hip, best(a), "M")
		is(t, hip, changes(a, "hip"), want.change)
		l := levelOf(t, a, "hip")
		is(t, hip+" becomes", l.Becomes, want.becomes)
		contains(t, hip, l.Changes[0].Say, want.say)
	}
	tr.body = wren("hip: 48 in")
	a := tr.advise(t)
	is(t, "size", best(a), "none")
	contains(t, "ends", a.Ends, "its only size, M")
}

// Of the people a chart is drawn for only printed sizes count.
func TestCoverageKnowsPrintedSizes(t *testing.T) {
	tr := nest("8, 10, 12, 14, 18", "36, 37, 38 1/2, 40, 44", "41, 42, 43 1/2, 45, 49")
	tr.body = wren("hip: 42 in")
	q := tr.request(t)
	is(t, "sizes", len(covered(t, q, engine.Person{Body: q.Body}).Sizes), 5)
}

// A line between sizes is drafted for a body between theirs: 58 and 62 cm to the knee, half-way 60, and 63 - 60 = 3.
func TestALineHalfWayIsDraftedBetween(t *testing.T) {
	tr := nest("8, 10, 12, 14, 18", "36, 37, 38 1/2, 40, 44", "41, 42, 43 1/2, 45, 49")
	tr.pattern += "\ndrafted_for: {waist_to_knee: [56 cm, 56 cm, 57 cm, 58 cm, 62 cm]}\n"
	tr.body = wren("hip: 42 in", "waist_to_knee: 63 cm")
	a := tr.advise(t)
	is(t, "size", best(a), "14/18")
	near(t, "longer", new(amountOf(a, "skirt-length")), 3)
}
