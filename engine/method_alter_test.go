package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// altered lists the alterations of an answer with their amounts, in order.
func altered(a *engine.Answer) string {
	var out []string
	for _, c := range a.Alterations {
		amount := "measure"
		if c.Amount != nil {
			amount = fmt.Sprint(*c.Amount)
		}
		out = append(out, c.ID+" "+amount)
	}
	return strings.Join(out, ", ")
}

// bustDress hangs from the shoulder, its columns 36, 38, 40 or 37, 39, 41 in.
func bustDress(first int) string {
	body := fmt.Sprintf("[%d, %d, %d]", first, first+2, first+4)
	made := fmt.Sprintf("[%d, %d, %d]", first+3, first+5, first+7)
	return chart("units: in", "drafted_for: {cup: 2 in}", "sizes: "+body, "body: {bust: "+body+"}", "finished: {bust: "+made+"}")
}

// Upper bust + cup pick the size; half of what the full bust has beyond them is
// opened on each half front, from 1/2 in on. That the smaller size is taken where
// full bust less high bust is 2 in or more: Principles of Pattern Alteration, an
// extension publication (verified).
func TestFullBust(t *testing.T) {
	q := trial{pattern: bustDress(36), recipe: "sheath-dress", body: wren("upper_bust: 36 in", "bust: 40 in")}.request(t)
	q.Units = quantity.In
	a := answer(t, q)
	is(t, "size", best(a), "38")                  // 36 + 2
	is(t, "opened", altered(a), "full-bust 2.54") // (40 - 36 - 2) / 2 = 1 in
	contains(t, "said", a.Alterations[0].Say, "Open each half front by 1 in")
	contains(t, "quoted beside it", a.Alterations[0].Source, "Principles of Pattern Alteration, an extension publication (verified)")
	contains(t, "and applied here, 40 - 36 = 4 in", a.Alterations[0].Because, "here it would too")
	trade := caution(t, a, "chosen-by-the-full-bust").Say
	contains(t, "the other size", trade, "size 40, 1 size larger")
	contains(t, "its cost", trade, "shoulder, neck and armhole drawn for an upper bust of 38 in where yours is 36 in, 2 in too wide")
	z := zoneOf(t, a, "38", "bust")
	is(t, "afterwards", *z.After, engine.After{Finished: 43 * 2.54, Ease: 3 * 2.54}) // 41 + 2 x 1; 43 - 40
	is(t, "on no other size", zoneOf(t, a, "40", "bust").After == nil, true)

	q = trial{pattern: bustDress(37), recipe: "sheath-dress", body: wren("upper_bust: 37 in", "bust: 39 1/2 in")}.request(t)
	q.Units = quantity.In
	a = answer(t, q)
	is(t, "size", best(a), "39")    // 37 + 2
	is(t, "opened", altered(a), "") // (39 1/2 - 37 - 2) / 2 = 1/4 in
	contains(t, "noted", caution(t, a, "bust-nearly-as-drafted").Say, "1/4 in on each half front")

	// (36 1/2 - 36 - 2) / 2 = -3/4 in; 36 1/2 - 36 = 1/2 in is less than 2.
	a = trial{pattern: bustDress(36), recipe: "sheath-dress", body: wren("upper_bust: 36 in", "bust: 36 1/2 in"), units: quantity.In}.advise(t)
	is(t, "closed", altered(a), "small-bust -1.905")
	contains(t, "the published rule", a.Alterations[0].Because, "here it would not")
	near(t, "afterwards", &zoneOf(t, a, "38", "bust").After.Ease, 7.62) // 41 - 2 x 3/4 - 36 1/2 = 3 in
}

// The least that is altered, inclusive, and just less.
func TestLeastAlterations(t *testing.T) {
	trousers := chart("drafted_for: {body_rise: 26, crotch_length: 66, inside_leg: 78}", "sizes: [M]",
		"body: {hip: [100], abdomen: [92], thigh: [57]}", "finished: {hip: [107.6], abdomen: [94], thigh: [60.5]}")
	dress := chart("drafted_for: {back_waist_length: 41, front_waist_length: 43, arm_length: 59, waist_to_knee: 58, back_width: 35, shoulder_length: 12, shoulder_slope: 4.8 cm, shoulder_to_bust_point: 27, bust_span: 18}", "sizes: [M]",
		"body: {bust: [92], upper_arm: [29]}", "finished: {bust: [102], upper_arm: [31.8]}")
	jeans := chart("sizes: [M]", "body: {hip: [100], calf: [38]}", "finished: {hip: [100], calf: [38]}")
	for _, c := range []struct{ recipe, pattern, body, want string }{
		{"woven-trousers", trousers, "hip: 100, inside_leg: 79", "leg-length 1"},
		{"woven-trousers", trousers, "hip: 100, inside_leg: 78.9", ""},
		{"woven-trousers", trousers, "hip: 100, inside_leg: 77", "leg-length -1"},
		{"woven-trousers", trousers, "hip: 100, body_rise: 25", "rise -1"},
		{"woven-trousers", trousers, "hip: 100, body_rise: 25.1", ""},
		{"woven-trousers", trousers, "hip: 100, crotch_length: 67.5", "crotch-length 1.5"},
		{"woven-trousers", trousers, "hip: 100, crotch_length: 67.4", ""},
		{"woven-trousers", trousers, "hip: 100, body_rise: 27, crotch_length: 66.5", "rise 1, flat-seat 1.5"},                      // 66.5 - 66 - 2
		{"woven-trousers", trousers, "hip: 100, body_rise: 27, crotch_length: 68", "rise 1"},                                       // 68 - 66 - 2 = 0
		{"woven-trousers", trousers, "hip: 100, body_rise: 26.9, crotch_length: 68", "full-seat 2"},                                // the rise stays
		{"woven-trousers", trousers, "hip: 100, abdomen: 98, body_rise: 26, crotch_length: 68", "crotch-length 2, full-abdomen 4"}, // front or back: nobody knows
		{"woven-trousers", trousers, "hip: 100, body_rise: 26, crotch_length: 67.4", ""},                                           // of 1.5
		{"woven-trousers", trousers, "hip: 100, abdomen: 95.1", "full-abdomen 1.1"},                                                // ease -1.1, of 0 at the least
		{"woven-trousers", trousers, "hip: 100, abdomen: 95", ""},                                                                  // 1 cm is not felt
		{"woven-trousers", trousers, "hip: 100, thigh: 59", "full-thigh 1.1"},                                                      // 1.5 of 2.54: 1.04, and a tape reads 1.1
		{"woven-trousers", trousers, "hip: 100, thigh: 58.9", ""},                                                                  // 1.6
		{"jeans", jeans, "hip: 100, calf: 39.2", "full-calf 0.5"},                                                                  // 38 is -3.06 %, of -2 %: 39.2 x 0.98 - 38 = 0.416
		{"jeans", jeans, "hip: 100, calf: 39.1", ""},                                                                               // -2.8 %, and a point is not felt
		{"shirt-dress", dress, "bust: 92, back_waist_length: 42", "bodice-length 1"},
		{"shirt-dress", dress, "bust: 92, back_waist_length: 41.9", ""},
		{"shirt-dress", dress, "bust: 92, back_waist_length: 39, front_waist_length: 42", "bodice-length -1, sway-back 1"}, // 2 shorter, 1 in front too
		{"shirt-dress", dress, "bust: 92, back_waist_length: 43, front_waist_length: 44", "bodice-length 1, round-back 1"},
		{"shirt-dress", dress, "bust: 92, back_waist_length: 42, front_waist_length: 40", "front-length -3, round-back 1"}, // unlike signs: each alone
		{"shirt-dress", dress, "bust: 92, back_waist_length: 41, front_waist_length: 44", "front-length 1"},
		{"shirt-dress", dress, "bust: 92, back_waist_length: 41, front_waist_length: 43.9", ""},
		{"shirt-dress", dress, "bust: 92, front_waist_length: 46", ""},                   // front alone, or back too: it is not known
		{"shirt-dress", dress, "bust: 92, shoulder_length: 12.64", "broad-shoulder 0.6"}, // of 1/4 in = 0.635
		{"shirt-dress", dress, "bust: 92, shoulder_length: 12.63", ""},
		{"shirt-dress", dress, "bust: 92, shoulder_length: {left: 11.3, right: 10.6}", "narrow-shoulder 0.7, uneven-shoulder -0.7"},
		{"shirt-dress", dress, "bust: 92, shoulder_length: {left: 12, right: 12.64}", "uneven-shoulder 0.6"}, // the right one alone
		{"shirt-dress", dress, "bust: 92, shoulder_length: {left: 12.63, right: 12}", ""},
		{"shirt-dress", dress, "bust: 92, shoulder_to_bust_point: 28.27", "bust-height 1.3"}, // 1/2 in
		{"shirt-dress", dress, "bust: 92, shoulder_to_bust_point: 25.8", ""},
		{"shirt-dress", dress, "bust: 92, bust_span: 16", "bust-span -1"}, // half of it on each half front
		{"shirt-dress", dress, "bust: 92, bust_span: 16.1", ""},
		{"shirt-dress", dress, "bust: 92, arm_length: 58", "sleeve-length -1"},
		{"shirt-dress", dress, "bust: 92, arm_length: 59.9", ""},
		{"shirt-dress", dress, "bust: 92, waist_to_knee: 59", "skirt-length 1"},
		{"shirt-dress", dress, "bust: 92, waist_to_knee: 57.1", ""},
		{"shirt-dress", dress, "bust: 92, back_width: 36", "broad-back 1"},
		{"shirt-dress", dress, "bust: 92, back_width: 34", "narrow-back 1"},
		{"shirt-dress", dress, "bust: 92, back_width: 34.1", ""},
		{"shirt-dress", dress, "bust: 92, upper_arm: 30.1", "full-upper-arm 1.1"}, // 31.8 - 30.1 = 1.7 of the 2.8 drawn
		{"shirt-dress", dress, "bust: 92, upper_arm: 30", ""},                     // 1.8
		{"shirt-dress", dress, "bust: 92, shoulder_slope: 30", ""},                // how far that falls is not known without the shoulder length
		// 12.5 x 4.8 / 12 = 5 cm. Both sides are cut for the nearer one, or as drafted where that is near enough, and the other is altered from there.
		{"shirt-dress", dress, "bust: 92, shoulder_slope: 5.7 cm, shoulder_length: 12.5", "sloping-shoulder 0.7"},
		{"shirt-dress", dress, "bust: 92, shoulder_slope: 5.63 cm, shoulder_length: 12.5", ""}, // of 1/4 in = 0.635
		{"shirt-dress", dress, "bust: 92, shoulder_slope: 4.36 cm, shoulder_length: 12.5", "square-shoulder 0.6"},
		{"shirt-dress", dress, "bust: 92, shoulder_slope: {left: 6.3 cm, right: 5.6 cm}, shoulder_length: 12.5", "low-shoulder 1.3"},
		{"shirt-dress", dress, "bust: 92, shoulder_slope: {left: 4 cm, right: 4.6 cm}, shoulder_length: 12.5", "low-shoulder -1"},
		{"shirt-dress", dress, "bust: 92, shoulder_slope: {left: 20 degrees, right: 24 degrees}, shoulder_length: 12.5", "low-shoulder -0.7"}, // 12.5 x 0.4067 = 5.084, near enough to 5; 12.5 x 0.3420 = 4.275
	} {
		t.Run(c.recipe+", "+c.body, func(t *testing.T) {
			is(t, "altered", altered(trial{pattern: c.pattern, recipe: c.recipe, body: wren(c.body)}.advise(t)), c.want)
		})
	}
}

// What the garment has, or a wish, spares an alteration that the body asks for.
func TestSparedAlterations(t *testing.T) {
	body := "bust: 92, back_waist_length: 43, arm_length: 62, back_width: 38, shoulder_slope: 6.2 cm, shoulder_length: 12.5"
	for _, c := range []struct{ name, has, made, want, spared string }{
		{"nothing", "", "", "sleeve-length 3, bodice-length 2, sloping-shoulder 1.2, broad-back 3", ""}, // 62 - 59, 43 - 41, 6.2 - 12.5 x 4.8 / 12, 38 - 35
		{"pads", "has: shoulder pads", "", "sleeve-length 3, bodice-length 2, broad-back 3", "sloping-shoulder"},
		{"a raised waist and pleats", "has: [raised waist, back fullness]", "", "sleeve-length 3, sloping-shoulder 1.2", "bodice-length, broad-back"},
		{"a dropped waist", "has: dropped waist", "", "sleeve-length 3, sloping-shoulder 1.2, broad-back 3", "bodice-length"},
		{"fullness in front, which the bust does not ask for", "has: front fullness", "", "sleeve-length 3, bodice-length 2, sloping-shoulder 1.2, broad-back 3", ""},
		{"a sleeve 2 in short of the wrist", "", ", arm_length: [53.92]", "sleeve-length 3, bodice-length 2, sloping-shoulder 1.2, broad-back 3", ""}, // 59 - 5.08
		{"a sleeve to the elbow", "", ", arm_length: [53.9]", "bodice-length 2, sloping-shoulder 1.2, broad-back 3", "sleeve-length"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := chart("drafted_for: {back_waist_length: 41, arm_length: 59, back_width: 35, shoulder_length: 12, shoulder_slope: 4.8 cm}", "sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]"+c.made+"}", c.has)
			a := trial{pattern: p, recipe: "shirt-dress", body: wren(body)}.advise(t)
			is(t, "altered", altered(a), c.want)
			is(t, "spared", strings.Join(spared(a), ", "), c.spared)
		})
	}
	// 41 in - 36 1/2 in = 4 1/2 in of ease, 3 in as drawn: roomier wants more than that.
	p := trial{pattern: bustDress(36), recipe: "sheath-dress", body: wren("upper_bust: 36 in", "bust: 36 1/2 in"), units: quantity.In, trace: true}
	is(t, "closed", altered(p.advise(t)), "small-bust -1.905")
	p.wishes = []string{"bust=roomier"}
	q := p.request(t)
	q.Ask = "small-bust"
	a := answer(t, q)
	is(t, "left open", altered(a), "")
	is(t, "told", strings.Join(spared(a), ", "), "small-bust")
	contains(t, "and why", why(t, a, "size/38/alteration/small-bust/unless").Label, "wanted.bust > drawn.bust")
	// What a person's own list has is made all the same.
	p = trial{pattern: chart("sizes: [M]", "has: shoulder pads", "body: {bust: [92]}", "finished: {bust: [102]}"), recipe: "shirt-dress", body: wren("bust: 92") + "alterations: {sloping-shoulder: 1 cm}\n"}
	is(t, "listed", altered(p.advise(t)), "sloping-shoulder 1")
}

// spared lists the alterations that something makes needless.
func spared(a *engine.Answer) (ids []string) {
	for _, n := range a.NotChecked {
		if n.Spared {
			ids = append(ids, n.ID)
		}
	}
	return ids
}

// A full bust is opened for only where the garment is too close for it.
func TestFullBustIsNotOpened(t *testing.T) {
	for _, c := range []struct {
		name, recipe, pattern, cloth string
		want                         string
	}{
		// Full bust 104 cm, upper bust 92 cm, cup 5 cm: 7 cm, 3.5 cm on each half front.
		{"darts, 103 - 104", "sheath-dress", "finished: {bust: [103]}", "", "full-bust 3.5"},
		{"gathered in front", "sheath-dress", "finished: {bust: [103]}\nhas: front fullness", "", ""},
		{"a coat with 18 cm there", "coat", "finished: {bust: [122]}", "", ""}, // 122 - 104
		{"a tube with 12.7 cm, its least", "boxy-top", "finished: {bust: [116.7]}", "", ""},
		{"a tube with 3 cm", "boxy-top", "finished: {bust: [105.5]}", "", "full-bust 3.5"},                                                                                                                                     // of 3.81 cm wearing ease
		{"a knit that stretches 50 %", "close-knit-top", "drafted_for: {cup: 5, stretch: 50 %}\nfinished: {bust: [88]}", fabric("structure: knit", "stretch: {across: 50 %, along: 20 %}", "recovery: 95 %"), ""},              // 104 / 88 - 1 = 18.2 %, of 25 % usable
		{"a knit that stretches 30 %", "close-knit-top", "drafted_for: {cup: 5, stretch: 50 %}\nfinished: {bust: [88]}", fabric("structure: knit", "stretch: {across: 30 %, along: 20 %}", "recovery: 95 %"), "full-bust 3.5"}, // of 15 %
	} {
		t.Run(c.name, func(t *testing.T) {
			drafted := "drafted_for: {cup: 5}"
			if strings.Contains(c.pattern, "drafted_for") {
				drafted = "name: Trial"
			}
			p := chart(drafted, "sizes: [M]", "body: {bust: [97]}", c.pattern)
			a := trial{pattern: p, recipe: c.recipe, cloth: c.cloth, body: wren("bust: 104, upper_bust: 92")}.advise(t)
			is(t, "altered", altered(a), c.want)
		})
	}
}

// Rules see the full bust: in the pattern as it is or, where the front is opened, in the opened one.
func TestRulesSeeTheFullBust(t *testing.T) {
	for _, c := range []struct{ name, body, made, says string }{
		// 98 = 93 + 5 stands for the bust: 100 - 98 = 2 cm. Opened by 104 - 98 = 6 cm it measures 106, less 104 the same 2 cm.
		{"opened", "bust: 104, upper_bust: 93", "100", "leaves 2 cm to move in"},
		// (99 - 97) / 2 = 1 cm on each half is less than 1/2 in: 100 - 99 = 1 cm.
		{"not worth opening", "bust: 99, upper_bust: 92", "100", "leaves 1 cm to move in"},
		// (99 - 97) / 2 again: 98.5 - 99 = -0.5 cm, where the stand-in would leave 1.5 cm.
		{"smaller than you", "bust: 99, upper_bust: 92", "98.5", "0.5 cm smaller than you"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := chart("drafted_for: {cup: 5}", "sizes: [M]", "body: {bust: [97]}", "finished: {bust: ["+c.made+"]}")
			dress := garment("controlling: bust", "hangs_from: shoulder", "parts: [bodice, dart]", "zones: {bust: {role: decides, ease: 2 in .. 4 in}}") // no seam gives more
			contains(t, "said", asJSON(t, trial{pattern: p, recipe: dress, body: wren(c.body)}.advise(t).Cautions), c.says)
		})
	}
	// A knit is stretched 110.5 / 88 - 1 = 25.6 % over the full bust, not 97 / 88 - 1 = 10.2 %; half of 60 % x 95 % carries 28.5 %.
	p := chart("drafted_for: {cup: 5, stretch: 50 %}", "sizes: [M]", "body: {bust: [97]}", "finished: {bust: [88]}")
	a := trial{pattern: p, recipe: "close-knit-top", cloth: fabric("structure: knit", "stretch: {across: 60 %, along: 20 %}", "recovery: 95 %"), body: wren("bust: 110.5, upper_bust: 92")}.advise(t)
	is(t, "no opening", altered(a), "")
	contains(t, "said", caution(t, a, "very-tight").Say, "25.6 %")
}

// A size's own row in the chart says what it is drafted for, before `drafted_for:`.
func TestDraftedBySize(t *testing.T) {
	p := chart("drafted_for: {body_rise: 20}", "sizes: [S, M]", "body: {hip: [96, 100], body_rise: [25, 26]}", "finished: {hip: [103.6, 107.6]}")
	a := trial{pattern: p, recipe: "woven-trousers", body: wren("hip: 100", "body_rise: 28"), trace: true}.advise(t)
	is(t, "altered", altered(a), "rise 2")
	is(t, "the drafted rise", why(t, a, "size/M/alteration/rise/amount/drafted/body_rise").Label, "chart body rise of size M: 26 cm")
	contains(t, "is read", why(t, a, "size/M/alteration/rise/amount/drafted/body_rise").Source, "pattern.yaml:8:")
	contains(t, "the tape", why(t, a, "size/M/alteration/rise/amount/body/body_rise").Source, "body.yaml:4:")
}

// A person's own list is made whatever the measurements say, and goes before what
// was made before; what the garment has no part for is told.
func TestAlwaysAltered(t *testing.T) {
	dress := chart("drafted_for: {back_waist_length: 41, front_waist_length: 43}", "sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]}")
	q := trial{pattern: dress, recipe: "sheath-dress", body: wren("bust: 92, back_waist_length: 41, front_waist_length: 43") +
		"alterations: {sway-back: 0.4 cm, forward-shoulder: yes, hem-length: -2 cm, full-seat: 1 cm}\n"}.request(t)
	ten, one := 10*quantity.Millimetre, quantity.Centimetre
	q.Usual = []engine.Usual{
		{ID: "sway-back", Amount: &ten, Because: "always altered for Tern Lane"},
		{ID: "low-shoulder", Amount: &one, Because: "always altered for Tern Lane"},
		{ID: "full-calf", Because: "always altered for Tern Lane"},
	}
	a := answer(t, q)
	is(t, "altered", altered(a), "forward-shoulder measure, low-shoulder 1, sway-back 0.4, hem-length -2")
	is(t, "why", a.Alterations[1].Because, "always altered for Tern Lane")
	is(t, "why", a.Alterations[2].Because, "It is in your own list of what you always alter.")
	var untold []string
	for _, n := range a.NotChecked {
		if strings.Contains(n.Because, "no part for it") {
			untold = append(untold, n.ID)
		}
	}
	is(t, "not made", strings.Join(untold, ", "), "full-seat, full-calf")

	// `yes` is as much as the rule says, here what the back alone lacks, however little.
	q = trial{pattern: dress, recipe: "sheath-dress", body: wren("bust: 92, back_waist_length: 40.4, front_waist_length: 43") + "alterations: {sway-back: yes}\n"}.request(t)
	is(t, "altered", altered(answer(t, q)), "sway-back 0.6")
}

// What was made before is made again where the measurements do not say whether it
// is needed, or by how much. Where they do they go first, and the record stands beside.
func TestMadeBefore(t *testing.T) {
	drafted := "drafted_for: {back_waist_length: 41, front_waist_length: 43}"
	for _, c := range []struct{ name, drafted, body, id, want, because string }{
		{"not measured", drafted, "bust: 92", "sway-back", "sway-back 1", "Made before."},
		{"measured, and not needed", drafted, "bust: 92, back_waist_length: 41, front_waist_length: 43", "sway-back", "", ""},
		{"measured, 41 - 39.5", drafted, "bust: 92, back_waist_length: 39.5, front_waist_length: 43", "sway-back", "sway-back 1.5",
			"Your back waist length is shorter than drafted by more than the front is: the back alone has too much. Made before."},
		{"measured, and less than it is worth", drafted, "bust: 92, back_waist_length: 40.4, front_waist_length: 43", "sway-back", "", ""},
		{"measured, and not drafted for anything", "", "bust: 92, back_waist_length: 41", "bodice-length", "bodice-length 1", "Made before."},
		{"on a list alone", "", "bust: 92", "hem-length", "hem-length 1", "Made before."},
	} {
		t.Run(c.name, func(t *testing.T) {
			dress := chart(c.drafted, "sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]}")
			q := trial{pattern: dress, recipe: "sheath-dress", body: wren(c.body)}.request(t)
			one := quantity.Centimetre
			q.Usual = []engine.Usual{{ID: c.id, Amount: &one, Because: "Made before."}}
			a := answer(t, q)
			is(t, "altered", altered(a), c.want)
			if c.want != "" {
				is(t, "why", a.Alterations[0].Because, c.because)
			}
		})
	}
}

// A rule about the length of a measurement is not asked about an angle, which has none.
func TestAnglesHaveNoLength(t *testing.T) {
	dress := chart("sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]}")
	for _, n := range (trial{pattern: dress, recipe: "sheath-dress", body: wren("bust: 92, shoulder_slope: 22, shoulder_length: 12")}).advise(t).NotChecked {
		if n.Zone == "shoulder_slope" {
			t.Errorf("%s was not asked: %s", n.ID, n.Because)
		}
	}
}

// Beyond the most that a rule may alter, a caution says so, to a tenth of a millimetre.
func TestBeyondAnAlteration(t *testing.T) {
	p := chart("drafted_for: {body_rise: 26}", "sizes: [M]", "body: {hip: [100]}", "finished: {hip: [107.6]}")
	for rise, want := range map[string]bool{"31.08": false, "31.09": true, "20.92": false, "20.91": true} { // 2 in = 5.08 cm
		a := trial{pattern: p, recipe: "woven-trousers", body: wren("hip: 100", "body_rise: "+rise)}.advise(t)
		is(t, rise, strings.Contains(strings.Join(cautions(a), " "), "beyond-an-alteration"), want)
	}
}

// Units of the files change no amount.
func TestAlterationsInInches(t *testing.T) {
	cm := chart("drafted_for: {arm_length: 58.42}", "sizes: [M]", "body: {bust: [91.44]}", "finished: {bust: [101.6]}")
	in := chart("units: in", "drafted_for: {arm_length: 23}", "sizes: [M]", "body: {bust: [36]}", "finished: {bust: [40]}")
	a := trial{pattern: cm, recipe: "shirt-dress", body: wren("bust: 91.44", "arm_length: 60.96"), units: quantity.In}.advise(t)
	b := trial{pattern: in, recipe: "shirt-dress", body: wren("bust: 36 in", "arm_length: 24 in"), units: quantity.In}.advise(t)
	is(t, "in inches", altered(b), altered(a))
	is(t, "24 - 23 = 1 in", altered(a), "sleeve-length 2.54")
}
