package engine_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// amountOf is how much an alteration of the size shown is; NaN where it is not made.
func amountOf(a *engine.Answer, id string) float64 {
	i := slices.IndexFunc(a.Alterations, func(m engine.Alteration) bool { return m.ID == id })
	if i < 0 || a.Alterations[i].Amount == nil {
		return math.NaN()
	}
	return *a.Alterations[i].Amount
}

// Garments and bodies, each with the sum: what is lengthened or shortened, and where it then ends.
func TestLengthsWorked(t *testing.T) {
	const skirt = "sizes: [M]; body: {hip: [98]}; finished: {hip: [106], skirt_length: [100]}"
	const trousers = "sizes: [M]; body: {hip: [98]}; finished: {hip: [104], inside_leg: [78]}"
	const shirt = "sizes: [M]; body: {bust: [94]}; finished: {bust: [106], arm_length: [60], garment_length: [70]}"
	for _, c := range []struct {
		name, recipe, pattern, body, wanted string
		alter                               map[string]float64
		length, ends                        string
	}{
		// 65 - 58 = 7 longer; 107 - 65 = 42 below the knee, where the floor is 115: 107 - (115 - 9) = 1 below the ankle.
		{"1.88 m in a skirt for 1.68 m", "a-line-skirt", skirt + "; drafted_for: {height: 168, waist_to_knee: 58}", "height: 188, hip: 98, waist_to_knee: 65, outside_leg: 115", "",
			map[string]float64{"skirt-length": 7}, "skirt_length", "107 cm once it is altered: it ends 1 cm below the ankle on you"},
		// 53 - 58 = -5; 95 - (94 - 9) = 10 below the ankle and 94 - 95 = 1 below the floor: the floor is nearer.
		{"1.52 m in the same", "a-line-skirt", skirt + "; drafted_for: {height: 168, waist_to_knee: 58}", "height: 152, hip: 98, waist_to_knee: 53, outside_leg: 94", "",
			map[string]float64{"skirt-length": -5}, "skirt_length", "95 cm once it is altered: it ends 1 cm below the floor on you"},
		// Asked for 2 above the floor, at 92: 92 - 100 = -8, at once and not -5 and then -3.
		{"a petite in a maxi skirt that clears the floor", "a-line-skirt", skirt + "; drafted_for: {waist_to_knee: 58}", "hip: 98, waist_to_knee: 53, outside_leg: 94", "skirt_length: 2 cm above the floor",
			map[string]float64{"hem-asked": -8, "skirt-length": math.NaN()}, "skirt_length", "it ends 2 cm above the floor on you"},
		// 90 - 80 = 10; 78 + 10 = 88, 2 above the floor at 90.
		{"long legs", "woven-trousers", trousers + "; drafted_for: {inside_leg: 80}", "hip: 98, inside_leg: 90", "",
			map[string]float64{"leg-length": 10}, "inside_leg", "it ends 2 cm above the floor on you"},
		// Short legs below a long rise: 29 - 27 = 2 at the rise; 72 - 80 = -8; 78 - 8 = 70, 2 above the floor.
		{"a long back with short legs", "woven-trousers", trousers + "; drafted_for: {inside_leg: 80, body_rise: 27}", "hip: 98, inside_leg: 72, body_rise: 29", "",
			map[string]float64{"rise": 2, "leg-length": -8}, "inside_leg", "it ends 2 cm above the floor on you"},
		// The pattern does not say for whom: where it ends is known all the same, and what is asked for is put there: 84 - 9 - 78 = -3.
		{"trousers to the ankle, the draft unknown", "woven-trousers", trousers, "hip: 98, inside_leg: 84", "inside_leg: at the ankle",
			map[string]float64{"hem-asked": -3, "leg-length": math.NaN()}, "inside_leg", "it ends at the ankle on you"},
		// 66 - 59 = 7; 67 - 66 = 1 below the wrist bone, as drawn: 60 - 59.
		{"long arms", "shirt", shirt + "; drafted_for: {arm_length: 59}", "bust: 94, arm_length: 66", "",
			map[string]float64{"sleeve-length": 7}, "arm_length", "1 cm below the wrist bone on you; it was drawn to end 1 cm below the wrist bone"},
		// A jumper beneath takes width and no length: the sleeve asked for 3 beyond the wrist: 62 + 3 - 60 = 5.
		{"sleeves over a jumper", "coat", "sizes: [M]; body: {bust: [94]}; finished: {bust: [113], arm_length: [60]}; drafted_for: {arm_length: 59}", "bust: 94, arm_length: 62", "arm_length: 3 cm below the wrist bone",
			map[string]float64{"sleeve-asked": 5, "sleeve-length": math.NaN()}, "arm_length", "it ends 3 cm below the wrist bone on you"},
		// A short sleeve is a style, and left: 67 - 24 = 43 above the wrist, drawn 60 - 24 = 36 above it.
		{"a short sleeve on a long arm", "shirt", "sizes: [M]; body: {bust: [94], arm_length: [60]}; finished: {bust: [106], arm_length: [24]}", "bust: 94, arm_length: 67", "",
			map[string]float64{"sleeve-length": math.NaN()}, "arm_length", "it ends 43 cm above the wrist bone on you; it was drawn to end 36 cm above"},
		// 45 - 41 = 4 above the waist; 74 - 45 = 29 below it, and 74 - 45 - 21 = 8 below the fullest of the hip.
		{"a long back in a shirt", "shirt", shirt + "; drafted_for: {back_waist_length: 41}", "bust: 94, back_waist_length: 45, waist_to_hip: 21", "",
			map[string]float64{"bodice-length": 4}, "garment_length", "74 cm once it is altered: it ends 8 cm below the fullest of the hip on you"},
		// The size's own draft counts: 65 - 59 = 6 in M, where S was drawn for 58.
		{"a pattern that says for each size whom it is drafted for", "a-line-skirt", "sizes: [S, M]; body: {hip: [94, 98]}; finished: {hip: [102, 106], skirt_length: [60, 61]}; drafted_for: {waist_to_knee: [58, 59]}", "hip: 98, waist_to_knee: 65", "",
			map[string]float64{"skirt-length": 6}, "skirt_length", "67 cm once it is altered: it ends 2 cm below the knee on you; it was drawn to end 2 cm below the knee"},
		// A child whose chest of 59 takes the widths of 110, and whose height of 122 the lengths of 122: 66 - 28 = 38 below the waist, and nothing
		// is altered, where the back of 110 would be 28 - 26 = 2 short. 128 has 69.5 - 66 = 3.5 more.
		{"a child tall and slim", "child-dress", "sizes: [110, 116, 122, 128]; body: {height: [110, 116, 122, 128], chest: [59, 61, 63, 65], back_waist_length: [26, 27, 28, 29]}; finished: {chest: [68, 70, 72, 74], garment_length: [59, 62.5, 66, 69.5]}", "height: 122, chest: 59, back_waist_length: 28", "",
			map[string]float64{"bodice-length": math.NaN()}, "garment_length", "size 122, 66 cm: it ends 38 cm below the waist on you; it was drawn to end 38 cm below the waist; size 128, for a child 6 cm taller, is 3.5 cm longer"},
		// The maker drew a line below the hip: 65 - 58 = 7 there.
		{"a pattern with a lengthen line", "a-line-skirt", skirt + "; drafted_for: {waist_to_knee: 58}; lengthen_at: {skirt: below the hip}", "hip: 98, waist_to_knee: 65, outside_leg: 115", "",
			map[string]float64{"skirt-length": 7}, "skirt_length", "107 cm once it is altered"},
		// Of the height alone: 105 / 168 x 188 = 117.5 to the floor, and 117.5 - 9 - 100 = 8.5 above the ankle.
		{"a skirt on a height alone", "a-line-skirt", skirt, "height: 188, hip: 98", "",
			nil, "skirt_length", "it ends 8.5 cm above the ankle on you, estimated from your height: measure your outside leg"},
		// Without even a height nothing is known of where it ends, and what was asked for waits all the same.
		{"a hem asked for, and nothing to find it by", "a-line-skirt", skirt, "hip: 98", "skirt_length: 5 cm below the knee",
			map[string]float64{"hem-asked": math.NaN()}, "skirt_length", "where it ends on you is not known; you asked for it 5 cm below the knee: measure your waist to knee"},
		// Where the knee is would be an estimate, and the hem stays where it is drawn.
		{"a hem asked for on a height alone", "a-line-skirt", skirt, "height: 188, hip: 98", "skirt_length: 5 cm below the knee",
			map[string]float64{"hem-asked": math.NaN()}, "skirt_length", "you asked for it 5 cm below the knee: measure your waist to knee, since no hem is moved by an estimate"},
	} {
		t.Run(c.name, func(t *testing.T) {
			body := wren(c.body)
			if c.wanted != "" {
				body += "wanted: {" + c.wanted + "}\n"
			}
			a := trial{pattern: chart(append([]string{"recipe: " + c.recipe}, strings.Split(c.pattern, "; ")...)...), recipe: c.recipe, body: body}.advise(t)
			for id, want := range c.alter {
				if got := amountOf(a, id); math.IsNaN(want) != math.IsNaN(got) || math.Abs(got-want) > 0.005 {
					t.Errorf("%s by %v, by hand %v", id, got, want)
				}
			}
			i := slices.IndexFunc(a.Lengths, func(l engine.LengthAnswer) bool { return l.Measurement == c.length })
			if i < 0 {
				t.Fatalf("nothing is said of the %s", c.length)
			}
			contains(t, "where it ends", a.Lengths[i].Say, c.ends)
			for k := range a.Alterations { // lengths come first
				if k > 0 && a.Alterations[k].Step == "length" && a.Alterations[k-1].Step != "length" {
					t.Errorf("%s comes after %s", a.Alterations[k].ID, a.Alterations[k-1].ID)
				}
			}
		})
	}
}

// Two metres are asked for, and 7 cm more for what is lengthened; nothing for 5 cm that are folded out, nor
// for a sleeve, which lies beside the rest; a hem that is asked for counts too.
func TestClothForLengths(t *testing.T) {
	for _, c := range []struct{ body, wanted, want string }{
		{"hip: 98, waist_to_knee: 65", "", "2.07 m"},
		{"hip: 98, waist_to_knee: 53", "", "2.00 m"},
		{"hip: 98, waist_to_knee: 65", "wanted: {skirt_length: 110}\n", "2.10 m"},
		{"hip: 98, waist_to_knee: 65", "wanted: {skirt_length: 80}\n", "2.00 m"},
	} {
		a := trial{pattern: chart("recipe: a-line-skirt", "sizes: [M]", "body: {hip: [98]}", "finished: {hip: [106], skirt_length: [100]}", "drafted_for: {waist_to_knee: 58}", "cloth_needed: [{width: 140, length: [200]}]"),
			recipe: "a-line-skirt", body: wren(c.body) + c.wanted, cloth: fabric("width: 140 cm")}.advise(t)
		i := slices.IndexFunc(a.BeforeCutting, func(b engine.Check) bool { return b.ID == "cloth-length" })
		if i < 0 {
			t.Fatal("nothing is said of the cloth")
		}
		is(t, c.body+" "+c.wanted, a.BeforeCutting[i].Say, "Buy "+c.want+" of cloth")
	}
}

// A bust of 40 over an upper bust of 36 where 2 in of cup are drafted opens each half front by 1 in, and the front is 1 in longer. The back
// and the front lack 1/2 in besides: the bodice is longer by that all round, and the front by 1 1/2 in. Two pieces side by side: 100 + 1 1/2.
func TestClothForALongerFront(t *testing.T) {
	a := trial{pattern: chart("units: in", "sizes: [M]", "body: {bust: [38]}", "finished: {bust: [42]}", "drafted_for: {cup: 2, back_waist_length: 16, front_waist_length: 17}", "cloth_needed: [{width: 58, length: [100]}]"),
		recipe: "shirt-dress", body: strings.Replace(wren("upper_bust: 36, bust: 40, back_waist_length: 16 1/2, front_waist_length: 18 1/2"), "units: cm", "units: in", 1),
		cloth: fabric("width: 150 cm"), units: quantity.In}.advise(t)
	is(t, "front", changes(a, "front_waist_length"), "alteration 1.27, alteration 2.54")
	i := slices.IndexFunc(a.BeforeCutting, func(b engine.Check) bool { return b.ID == "cloth-length" })
	is(t, "cloth", a.BeforeCutting[i].Say, "Buy 101 1/2 in of cloth")
}

// A trunk of 160 in a leotard of 138 cm: at -12 % it measures 160 x 0.88 = 140.8, 2.8 cm more. Front and back are
// each 1.4 cm longer, so that 2 m become 2.02, to the next centimetre. The size stays.
func TestClothForALongTrunk(t *testing.T) {
	p := chart("recipe: leotard", "sizes: [S, M, L]", "body: {bust: [84, 88, 92], hip: [92, 96, 100], trunk: [148, 151, 154]}",
		"finished: {bust: [76, 80, 84], hip: [83, 87, 91], trunk: [135, 138, 141]}", "cloth_needed: [{width: 140, length: [200, 200, 200]}]")
	cloth := "kind: cloth\nname: jersey\nunits: cm\nstructure: knit\nstretch: {across: 70 %, along: 60 %}\nwidth: 140\n"
	a := trial{pattern: p, recipe: "leotard", body: wren("bust: 88", "hip: 96", "trunk: 160"), cloth: cloth}.advise(t)
	is(t, "size", best(a), "M")
	is(t, "trunk", changes(a, "trunk"), "alteration 2.8")
	i := slices.IndexFunc(a.BeforeCutting, func(b engine.Check) bool { return b.ID == "cloth-length" })
	is(t, "cloth", a.BeforeCutting[i].Say, "Buy 2.02 m of cloth")
	contains(t, "the sum", a.BeforeCutting[i].Why, "0.01 m for what is lengthened")
}

// A trunk of 160 in a garment of 150 lacks 10 cm. A back waist of 43 where 41 is drafted gives 2 in front and behind, 4 round
// the trunk, a rise of 28 where 27 is drafted 1 and 1: 10 - 4 - 2 = 4 are left to spread. The pieces grow by 2 + 1 + 4 / 2 = 5.
func TestTrunkHasWhatOtherLengthsGain(t *testing.T) {
	a := trial{pattern: chart("sizes: [M]", "body: {hip: [96], trunk: [150]}", "finished: {hip: [106], trunk: [150]}", "drafted_for: {back_waist_length: 41, body_rise: 27}", "cloth_needed: [{width: 140, length: [200]}]"),
		recipe: garment("parts: [bodice, crotch]", "zones:\n  hip: {role: decides, ease: 4 cm .. 12 cm}\n  trunk: {role: mended, ease: 0 cm .. 8 cm, mend: spread front and back alike}"),
		body:   wren("hip: 96", "trunk: 160", "back_waist_length: 43", "body_rise: 28"), cloth: fabric("width: 140 cm")}.advise(t)
	is(t, "trunk", changes(a, "trunk"), "alteration 4, alteration 2, alteration 4")
	is(t, "becomes", levelOf(t, a, "trunk").Becomes, 160)
	i := slices.IndexFunc(a.BeforeCutting, func(b engine.Check) bool { return b.ID == "cloth-length" })
	is(t, "cloth", a.BeforeCutting[i].Say, "Buy 2.05 m of cloth")
}

// The plan names the lines that the maker drew; what is lengthened is shared over several: 66 - 60 = 6, 3 at each. What the file does not say is
// worded as is usual.
func TestLengthenAtTheMakersLines(t *testing.T) {
	const shirt, skirt = "sizes: [M]; body: {bust: [94]}; finished: {bust: [106], arm_length: [61]}; drafted_for: {arm_length: 60}", "sizes: [M]; body: {hip: [98]}; finished: {hip: [106], skirt_length: [60]}; drafted_for: {waist_to_knee: 58}"
	for _, c := range []struct{ recipe, pattern, body, wanted, id, where string }{
		{"shirt", shirt + "; lengthen_at: {sleeves: [above the elbow, below the elbow]}", "bust: 94, arm_length: 66", "", "sleeve-length", "At the lines that the maker drew above the elbow and below the elbow, 3 cm at each, square to the grain, on all pieces that it crosses."},
		{"a-line-skirt", skirt + "; lengthen_at: {skirt: below the hip}", "hip: 98, waist_to_knee: 65", "", "skirt-length", "At the line that the maker drew below the hip, square to the grain, on all pieces that it crosses."},
		{"a-line-skirt", skirt + "; lengthen_at: {legs: below the knee}", "hip: 98, waist_to_knee: 65", "", "skirt-length", "At the lengthen or shorten line below the hip, all panels alike; at the hem where the skirt is straight and has no slit."},
		{"a-line-skirt", skirt + "; lengthen_at: {skirt: below the hip}", "hip: 98", "wanted: {skirt_length: 66}\n", "hem-asked", "At the line that the maker drew below the hip, where the hem's width is to stay; else at the hem."},
	} {
		a := trial{pattern: chart(append([]string{"recipe: " + c.recipe}, strings.Split(c.pattern, "; ")...)...), recipe: c.recipe, body: wren(c.body) + c.wanted}.advise(t)
		i := slices.IndexFunc(a.Alterations, func(m engine.Alteration) bool { return m.ID == c.id })
		if i < 0 {
			t.Fatalf("%s is not made", c.id)
		}
		is(t, c.id, a.Alterations[i].Where, c.where)
	}
}
