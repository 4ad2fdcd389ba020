package engine_test

import (
	"slices"
	"testing"

	"fitadvisor/engine"
)

// Sums of garment types, done with a pencil beside each. Where a publication has
// the figures, it is named; otherwise the figures are the recipe's own.

// ASTM D5585-11e1, Table 1, misses, curvy (verified): bust and waist of sizes 6 to
// 12, in inches. A bust of 37 1/4 in is that of size 10, a waist of 28 in that of
// size 8: the bodice is cut in 10 and its waist follows 8.
func TestPencilGatheredDress(t *testing.T) {
	a := trial{recipe: "gathered-dress",
		pattern: chart("units: in", "sizes: [6, 8, 10, 12]", "body: {bust: [35 1/4, 36 1/4, 37 1/4, 38 3/4], waist: [27, 28, 29, 30 3/4]}",
			"finished: {bust: [38 1/4, 39 1/4, 40 1/4, 41 3/4], waist: [28 1/2, 29 1/2, 30 1/2, 32 1/4]}"),
		body: wren("bust: 37 1/4 in", "waist: 28 in")}.advise(t)
	if got := best(a) + " " + a.ChartSize.Each["waist"]; got != "10 8" {
		t.Errorf("got %s", got)
	}
	// 40 1/4 - 37 1/4 = 3 in = 7.62 cm; 30 1/2 - 28 = 2 1/2 in = 6.35 cm at the waist, where 2 in is the most.
	near(t, "ease at the bust", zoneOf(t, a, "10", "bust").Ease, 7.62)
	near(t, "ease at the waist", zoneOf(t, a, "10", "waist").Ease, 6.35)
	if v := zoneOf(t, a, "10", "waist").Verdict; v != engine.TooRoomy {
		t.Errorf("the waist is %s", v)
	}
}

// CWU, costume textbook, chapter 16, a list presumably of men's garments (verified):
// 1 1/2 in at the seat. NMSU Guide C-209, earlier edition (verified): a crotch depth
// ease of 1/2 in under a hip of 36 in, of 1 in over 38 in.
func TestPencilMensTrousersAndRigidJeans(t *testing.T) {
	for _, recipe := range []string{"mens-trousers", "rigid-jeans"} {
		for _, c := range []struct {
			hip, rise string
			want      bool
		}{
			{"35 in", "10 7/16 in", true}, // 10 7/16 - 10 = 7/16 in
			{"35 in", "10 1/2 in", false}, // 1/2
			{"39 in", "10 15/16 in", true},
			{"39 in", "11 in", false},
		} {
			a := trial{recipe: recipe, pattern: chart("units: in", "sizes: [30]", "body: {hip: [39], body_rise: [10]}", "finished: {hip: [42], body_rise: ["+c.rise+"]}"),
				body: wren("hip: "+c.hip, "body_rise: 10 in")}.advise(t)
			if got := slices.Contains(cautions(a), "trousers-crotch-depth-ease"); got != c.want {
				t.Errorf("%s: hip %s, rise %s: said is %v", recipe, c.hip, c.rise, got)
			}
		}
	}
	// Drawn are 6 cm. 105.3 - 101.4 = 3.9 cm are more than 1 1/2 in = 3.81, 105.1 - 101.4 = 3.7 are less: too close for men's trousers.
	for finished, want := range map[string]bool{"105.3": false, "105.1": true} {
		a := trial{recipe: "mens-trousers", pattern: chart("sizes: [50]", "body: {hip: [99.3]}", "finished: {hip: ["+finished+"]}"), body: wren("hip: 101.4")}.advise(t)
		if got := zoneOf(t, a, "50", "hip").Verdict == engine.TooClose; got != want {
			t.Errorf("%s cm: too close is %v", finished, got)
		}
	}
}

// 4 in of knit that stretch to 5 in stretch by 25 % (arithmetic), of which half,
// 12.5 %, stays comfortable: a hip of 100 cm wants 100 / 1.125 = 88.9 cm.
func TestPencilKnitSkirt(t *testing.T) {
	for finished, want := range map[string]string{"88.8": "none", "89": "S"} {
		a := trial{recipe: "knit-skirt", pattern: chart("sizes: [S]", "body: {hip: [96]}", "finished: {hip: ["+finished+"]}"), body: wren("hip: 100"),
			cloth: fabric("structure: knit", "stretch: {across: {from: 4 in, to: 5 in}}")}.advise(t)
		if got := best(a); got != want {
			t.Errorf("%s cm: size %s, want %s", finished, got, want)
		}
	}
}

// On the bias only what is gauged at 45 degrees counts: stretch across and along
// says nothing of it. A hip of 100 cm in 99 asks for 100 / 99 - 1 = 1.01 %; of 10 % half stays comfortable.
func TestPencilBiasSlip(t *testing.T) {
	for stretch, want := range map[string]string{"{bias: 10 %}": "38", "{bias: 1 %, across: 10 %}": "none"} {
		a := trial{recipe: "bias-slip", pattern: chart("sizes: [38]", "body: {bust: [92], hip: [100]}", "finished: {bust: [95], hip: [99]}"), body: wren("bust: 92", "hip: 100"),
			cloth: fabric("grain: bias", "stretch: "+stretch)}.advise(t)
		if got := best(a); got != want {
			t.Errorf("%s: size %s, want %s", stretch, got, want)
		}
	}
}

// 116 - 100 = 16 cm are drawn, 10 mm of wadding take pi x 1 = 3.14: 12.86 are left of
// which 4 in = 10.16 are asked for. 20 mm take 6.28 and leave 9.72.
func TestPencilQuiltedWaistcoat(t *testing.T) {
	for thickness, want := range map[string]bool{"10 mm": false, "20 mm": true} {
		a := trial{recipe: "quilted-waistcoat", pattern: chart("sizes: [M]", "body: {chest: [100]}", "finished: {chest: [116]}"), body: wren("chest: 100"),
			cloth: fabric("thickness: " + thickness)}.advise(t)
		if got := slices.Contains(cautions(a), "quilted-wadding-takes-the-room"); got != want {
			t.Errorf("%s: said is %v", thickness, got)
		}
	}
}

// 16 CFR 1120, the regulator's pages on drawstrings (verified): at the waist of sizes
// 2T to 16 at most 3 in outside the channel, and no toggle. That loose nightwear has
// rules of its own is said whatever the cord.
func TestPencilChildrensCords(t *testing.T) {
	for cord, want := range map[string]bool{"free: 3 in, tacked: true": false, "free: 3.25 in, tacked: true": true, "free: 3 in, tacked: true, toggle: true": true} {
		for _, recipe := range []string{"child-trousers", "child-loose-pyjamas"} {
			a := trial{recipe: recipe, pattern: chart("units: in", "sizes: [8]", "body: {height: [50], chest: [26 1/2], hip: [28]}", "finished: {chest: [31], hip: [32]}", "cords: [{where: waist, "+cord+"}]"),
				body: wren("height: 50 in", "chest: 26 1/2 in", "hip: 28 in")}.advise(t)
			if got := slices.Contains(cautions(a), "cord-at-the-waist-us"); got != want {
				t.Errorf("%s, %s: said is %v", recipe, cord, got)
			}
			if got := slices.Contains(cautions(a), "loose-nightwear-near-flames"); got != (recipe == "child-loose-pyjamas") {
				t.Errorf("%s: loose nightwear: %v", recipe, got)
			}
		}
	}
}
