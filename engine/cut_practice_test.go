package engine_test

import (
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// practised are plans as a cutter works them out with a pencil, in inches. Where no publication is named the way is common
// practice; the quarter rule shares a change over the four edges of two side seams.
var practised = []struct {
	name, recipe, drafted string
	body, chart, finished string
	wish                  string
	altered               string            // the alterations, in the order of the work, in cm
	want                  map[string]string // by level: its changes in cm
}{
	// 30 3/4 - 29 = 1 3/4 in, at most 1 in will do (CWU, costume textbook, chapter 16): 3/4 in more in the four darts.
	{name: "darts take up what is too much at the waist", recipe: "straight-skirt", body: "waist: 29, hip: 40",
		chart: "waist: [30], hip: [40]", finished: "waist: [30 3/4], hip: [43]", want: map[string]string{"waist": "dart -1.905", "hip": ""}},
	// 30 3/4 - 31 = -1/4 in, 1/2 in is the least (CWU, the same chapter): 3/4 in less in the darts.
	{name: "darts give what is too little", recipe: "straight-skirt", body: "waist: 31, hip: 40",
		chart: "waist: [30], hip: [40]", finished: "waist: [30 3/4], hip: [43]", want: map[string]string{"waist": "dart 1.905", "hip": ""}},
	// 34 + 1/2 - 30 3/4 = 3 3/4 in are more than four darts of 1/2 in give; of a pattern of one size each of the 4 edges is drawn out by 15/16.
	{name: "more than darts give is drawn out at the seams of a single size", recipe: "straight-skirt", body: "waist: 34, hip: 40",
		chart: "waist: [30], hip: [40]", finished: "waist: [30 3/4], hip: [43]", want: map[string]string{"waist": "seam 9.525", "hip": ""}},
	// The hip of 42 takes 16, 45 in; the waist of 28 1/2 the line of 12, 29 1/4 where 16 has 32 3/4: 3 1/2 in less.
	{name: "a waist two sizes smaller than the hip", recipe: "woven-trousers", body: "waist: 28 1/2, hip: 42",
		chart: "waist: [28 1/2, 30, 32], hip: [38 1/2, 40, 42]", finished: "waist: [29 1/4, 30 3/4, 32 3/4], hip: [41 1/2, 43, 45]", want: map[string]string{"waist": "line -8.89", "hip": ""}},
	// Asked for 10 in round the waist: 46 - 34 - 10 = 2 in are taken in, by the quarter rule 1/2 in at each of four edges.
	{name: "a shirt taken in as asked", recipe: "shirt", body: "chest: 40, waist: 34, hip: 40", wish: "waist=10in",
		chart: "chest: [40]", finished: "chest: [46], waist: [46], hip: [46]", want: map[string]string{"waist": "seam -5.08", "chest": ""}},
	// 14 1/2 - 13 = 1 1/2 in, 2 in are the least of a shirt sleeve: 1/2 in is spread.
	{name: "a sleeve opened for a full arm", recipe: "shirt", body: "chest: 40, upper_arm: 13",
		chart: "chest: [40]", finished: "chest: [46], upper_arm: [14 1/2]", altered: "full-upper-arm 1.27", want: map[string]string{"upper_arm": "alteration 1.27"}},
	// 15 1/2 - 15 3/4 = -1/4 in, 1/2 in is the least across a back: 3/4 in, half at each armhole.
	{name: "a back made broader", recipe: "shirt", body: "chest: 40, back_width: 15 3/4",
		chart: "chest: [40]", finished: "chest: [46], back_width: [15 1/2]", altered: "broad-back 1.905", want: map[string]string{"back_width": "alteration 1.905"}},
	// Spread level, front and back alike (NMSU Guide C-228), 1 in of rise is 2 in of crotch seam: 27 + 2 = 29, and nothing is left.
	{name: "a longer rise lengthens the crotch seam twice", recipe: "woven-trousers", drafted: "body_rise: 10, crotch_length: 27", body: "hip: 40, body_rise: 11, crotch_length: 29",
		chart: "hip: [40]", finished: "hip: [43]", altered: "rise 2.54", want: map[string]string{"body_rise": "alteration 2.54", "crotch_length": "alteration 5.08"}},
	// Folded out level above the knee (NMSU Guide C-228): 30 - 28 1/2 = 1 1/2 in at the inside leg, and outside as much.
	{name: "a shorter leg", recipe: "woven-trousers", drafted: "inside_leg: 30, outside_leg: 40", body: "hip: 40, inside_leg: 28 1/2, outside_leg: 38 1/2",
		chart: "hip: [40]", finished: "hip: [43]", altered: "leg-length -3.81", want: map[string]string{"outside_leg": "alteration -3.81"}},
	// (40 - 36 - 2) / 2 = 1 in on each half of the front: 2 in at the bust, 2 at the waist, and the front 1 in longer.
	{name: "a front opened for a full bust", recipe: "shirt-dress", drafted: "cup: 2, front_waist_length: 17", body: "upper_bust: 36, bust: 40, front_waist_length: 18",
		chart: "bust: [38]", finished: "bust: [42]", altered: "full-bust 2.54", want: map[string]string{"bust": "alteration 5.08", "front_waist_length": "alteration 2.54"}},
	// The front fits and the back is 1/2 in too long: it is folded out at the centre back alone.
	{name: "a sway back", recipe: "shirt-dress", drafted: "back_waist_length: 16, front_waist_length: 17", body: "bust: 38, back_waist_length: 15 1/2, front_waist_length: 17",
		chart: "bust: [38]", finished: "bust: [42]", altered: "sway-back 1.27", want: map[string]string{"back_waist_length": "alteration -1.27"}},
	// Front and back lack 1 in alike: the bodice is spread all round (NMSU Guide C-228); the back's other 1/2 in is a round back.
	{name: "a longer bodice and a round back", recipe: "shirt-dress", drafted: "back_waist_length: 16, front_waist_length: 17", body: "bust: 38, back_waist_length: 17 1/2, front_waist_length: 18",
		chart: "bust: [38]", finished: "bust: [42]", altered: "bodice-length 2.54, round-back 1.27", want: map[string]string{"back_waist_length": "alteration 2.54, alteration 1.27", "front_waist_length": "alteration 2.54"}},
	// A skirt of 20 in that was drawn to end above a knee 22 in down ends at the same part of a thigh 1 in longer: 20 / 22 = 0.91, to the tape 7/8 in.
	{name: "a short skirt on longer legs", recipe: "a-line-skirt", drafted: "waist_to_knee: 22", body: "hip: 40, waist_to_knee: 23",
		chart: "hip: [40]", finished: "hip: [44], skirt_length: [20]", altered: "skirt-length 2.223", want: map[string]string{}},
}

func TestPlansOfPractice(t *testing.T) {
	for _, c := range practised {
		t.Run(c.name, func(t *testing.T) {
			sizes := "sizes: [M]"
			if strings.Count(c.chart, ",") > 1 {
				sizes = "sizes: [12, 14, 16]"
			}
			lines := []string{"units: in", sizes, "body: {" + c.chart + "}", "finished: {" + c.finished + "}"}
			if c.drafted != "" {
				lines = append(lines, "drafted_for: {"+c.drafted+"}")
			}
			tr := trial{pattern: chart(lines...), recipe: c.recipe, units: quantity.In, body: strings.Replace(wren(c.body), "units: cm", "units: in", 1)}
			if c.wish != "" {
				tr.wishes = []string{c.wish}
			}
			a := tr.advise(t)
			is(t, "altered", altered(a), c.altered)
			for zone, want := range c.want {
				is(t, zone, changes(a, zone), want)
			}
			plan(t, "", tr.request(t).Recipe, a)
			sheet(t, "", a)
		})
	}
}

// Trousers of 42 have 80 cm at the waist and 111 at the hip, 20.32 cm further down; a fly of 14 opens them to 80 + 31 x 14 / 20.32 =
// 101.4 cm. A waist of 84 takes the line of 44, 84 cm, and 1.3 from the darts, 85.3: then the fly opens to
// 85.3 + 25.7 x 14 / 20.32 = 103.0, and a hip of 103 gets in.
func TestClosureOpensThePlannedWaist(t *testing.T) {
	tr := trial{pattern: chart("sizes: [42, 44]", "body: {waist: [78, 82], hip: [104, 108]}", "finished: {waist: [80, 84], hip: [111, 115], waist_closure: [14, 14]}"),
		recipe: "woven-trousers", body: wren("waist: 84", "hip: 103")}
	a := tr.advise(t)
	is(t, "waist", levelOf(t, a, "waist").Becomes, 85.3)
	is(t, "short", toldOf(a, "closure-too-short"), false)
	tr.body = wren("waist: 78", "hip: 103")
	contains(t, "on its own line", saying(tr.advise(t), "closure-too-short"), "101.4 cm")
}

// The maker prints no finished neck. Of 41 on the chart and 1.25 cm, the middle of 1 to 1.5, a neck of 43 lacks 3/4 of a
// centimetre to go round at all: the pattern is to be measured, 43 + 1 = 44 to 43 + 1.5 = 44.5. One of 41 is left alone, and so is one
// whose garment is printed.
func TestMeasuresThePatternWhereItIsNotPrinted(t *testing.T) {
	shirt := garment("controlling: chest", "zones: {chest: {role: decides, ease: 4 cm .. 16 cm}, neck: {role: mended, ease: 1 cm .. 1.5 cm, mend: cut the collar of another size}}")
	for _, c := range []struct{ finished, neck, want string }{
		{"chest: [104, 116]", "43", "Measure the neck of the pattern: 44 cm to 44.5 cm will do. it is not printed, and your neck is 2 cm more than the chart's in size L. Where it measures otherwise, cut the collar of another size"},
		{"chest: [104, 116]", "41", ""},
		{"chest: [104, 116], neck: [38, 42.2]", "43", ""},
	} {
		a := trial{pattern: chart("sizes: [S, L]", "body: {chest: [92, 104], neck: [37, 41]}", "finished: {"+c.finished+"}"), recipe: shirt, body: wren("chest: 104", "neck: "+c.neck)}.advise(t)
		got := ""
		for _, check := range a.BeforeCutting {
			if check.ID == engine.MeasurePattern {
				got = check.Say + ". " + check.Why
			}
		}
		is(t, c.finished+" and "+c.neck, got, c.want)
	}
}
