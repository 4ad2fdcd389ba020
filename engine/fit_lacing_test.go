package engine_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine"
)

// A pair of stays, laced at the back with 5 cm: sewn 63 cm is 68 as worn, 4 cm less than the waist of its chart.
var (
	stays = garment("controlling: waist",
		"zones: {bust: {role: mended, ease: -6 % .. 0 %, seams: {side: 2}}, waist: {role: decides, ease: -8 % .. 0 %, seams: {side: 2}, run: {bust: 7 in}}}",
		"openings: [{name: back, passes: [bust], closure: {kind: lacing, from: bust, towards: waist, gap: 5 cm, least: 2 cm, most: 8 cm}}]")
	staysChart = chart("sizes: [10, 12, 14]", "body: {bust: [88, 92, 96], waist: [68, 72, 76]}", "finished: {bust: [82, 86, 90], waist: [59, 63, 67]}")
)

func laced(t testing.TB, body ...string) *engine.Answer {
	t.Helper()
	return trial{pattern: staysChart, recipe: stays, body: wren(body...)}.advise(t)
}

func TestLacingIsWornWithItsGap(t *testing.T) {
	a := laced(t, "bust: 92", "waist: 72")
	is(t, "size", best(a), "12")
	waist := zoneOf(t, a, "12", "waist")
	near(t, "finished", waist.Finished, 68) // 63 + 5
	near(t, "gap", waist.Gap, 5)
	near(t, "ease", waist.Ease, -5.56)                   // (68 - 72) / 72
	is(t, "verdict", string(waist.Verdict), "as wanted") // as drawn
	l := levelOf(t, a, "waist")
	is(t, "nothing changes", len(l.Changes), 0)
	is(t, "laced", *l.Lacing, engine.LevelLacing{Sewn: 63, Gap: 5, Drawn: 5, Least: 2, Most: 8})
	is(t, "missing", len(a.Missing), 0) // unlaced it opens from end to end
	contains(t, "because", a.Recommended.Because, "of ease that is wanted, laced with the gap of 5 cm that is drawn")
	contains(t, "why", why(t, a, "size/12/waist/ease/finished").Label, "sewn 63 cm + a gap of 5 cm = 68 cm")
	contains(t, "sewn", why(t, a, "size/12/waist/ease/finished/sewn").Label, "finished waist of size 12: 63 cm")
	// With 8 cm, 71 cm; a waist of 72 may be drawn in by 8 % to 66.24: 66.24 / 71 - 1 = -6.7 %.
	contains(t, "cloth", why(t, a, "size/12/waist/cloth").Label, "66.2 cm / 71 cm - 1 = -6.7 %: none")
}

// What differs from the chart is taken up by the lacing, and what lies beyond the gap by the seams.
func TestLacingComesBeforeSeams(t *testing.T) {
	for _, c := range []struct {
		about, zone, bust, waist, size string
		gap, sewn, becomes             float64
		changes                        string
	}{
		{"a centimetre more", "waist", "92", "73", "12", 5.9, 63, 68.9, "lacing"},            // 73 x (1 - 4/72) = 68.94, by the tape 68.9
		{"a centimetre less", "waist", "92", "71", "12", 4.1, 63, 67.1, "lacing"},            // 71 x (1 - 4/72) = 67.06, by the tape 67.1
		{"far less than the chart", "waist", "92", "60", "10", 2, 58, 60, "lacing seam"},     // 59 + 2 = 61 and at most 60 will do: 1 cm, 1.7 %, is felt
		{"more than the gap bears", "bust", "102", "72", "12", 8, 87.9, 95.9, "lacing seam"}, // at least 102 x 0.94 = 95.88; 86 + 8 = 94
	} {
		a := laced(t, "bust: "+c.bust, "waist: "+c.waist)
		l := levelOf(t, a, c.zone)
		is(t, c.about+": size", best(a), c.size)
		is(t, c.about+": gap", l.Lacing.Gap, c.gap)
		is(t, c.about+": sewn", l.Lacing.Sewn, c.sewn)
		is(t, c.about+": becomes", l.Becomes, c.becomes)
		var by []string
		for _, change := range l.Changes {
			by = append(by, string(change.By))
		}
		is(t, c.about+": by", strings.Join(by, " "), c.changes)
	}
}

// A size that does not go round even with the widest gap is ruled out: 59 + 8 = 67 cm, and 74 x 0.92 = 68.08.
func TestLacingThatDoesNotGoRound(t *testing.T) {
	a := laced(t, "bust: 92", "waist: 74")
	is(t, "10", sizeOf(t, a, "10").RuledOut, true)
	is(t, "12", sizeOf(t, a, "12").RuledOut, false) // 63 + 8 = 71
}

// A pattern that says so is laced too, whatever its type.
func TestPatternThatLaces(t *testing.T) {
	a := trial{pattern: chart("sizes: [M]", "lacing: {from: waist, towards: hip, gap: 4 cm, most: 6 cm}", "body: {hip: [100]}", "finished: {hip: [102]}"), recipe: garment(), body: wren("hip: 101")}.advise(t)
	near(t, "finished", zoneOf(t, a, "M", "hip").Finished, 106) // 102 + 4
	is(t, "gap", levelOf(t, a, "hip").Lacing.Gap, 5.0)          // 101 + 6 - 102
}

// Whatever the body, the figures of a level add up, and the gap looks right.
func TestLacingAddsUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		bust, waist := rapid.IntRange(80, 110).Draw(rt, "bust"), rapid.IntRange(60, 90).Draw(rt, "waist")
		a := laced(t, "bust: "+strconv.Itoa(bust), "waist: "+strconv.Itoa(waist))
		if a.Plan == nil {
			return
		}
		for _, l := range a.Plan.Levels {
			sum := l.OnLine
			for _, c := range l.Changes {
				sum += c.Amount
			}
			switch g := l.Lacing; {
			case math.Abs(sum-l.Becomes) > 1e-6, math.Abs(g.Sewn+g.Gap-l.Becomes) > 1e-6:
				rt.Fatalf("%s: %v + changes is %v, sewn %v + gap %v, and becomes %v", l.Zone, l.OnLine, sum, g.Sewn, g.Gap, l.Becomes)
			case g.Gap < g.Least || g.Gap > g.Most:
				rt.Fatalf("%s: a gap of %v is not between %v and %v", l.Zone, g.Gap, g.Least, g.Most)
			}
		}
	})
}
