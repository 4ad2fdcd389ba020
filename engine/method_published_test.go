package engine_test

import (
	"strings"
	"testing"

	"fitadvisor/engine/quantity"
)

// Girths of misses sizes in inches: ASTM D5585-11e1, Table 1 (chest/bust, upper
// chest, waist of the curvy figure). Status: verified.
const (
	astmSizes     = `["00", "0", 2, 4, 6, 8, 10, 12, 14, 16, 18, 20]`
	astmBust      = "31 1/8, 31 3/4, 33, 34 1/8, 35 1/4, 36 1/4, 37 1/4, 38 3/4, 40 3/8, 42 1/8, 44, 46"
	astmUpperBust = "31 3/4, 32 1/4, 33 1/4, 34 1/8, 35, 35 7/8, 36 3/4, 38, 39 1/4, 40 5/8, 42 1/4, 43 7/8"
	astmWaist     = "23 7/8, 24 5/8, 25 3/8, 26 1/8, 27, 28, 29, 30 3/4, 32 1/2, 34 1/2, 36 3/4, 39"
)

var astmSheath = "kind: pattern\nname: Sheath\nrecipe: sheath-dress\nunits: in\nsizes: " + astmSizes +
	"\nbody:\n  bust: [" + astmBust + "]\n  upper_bust: [" + astmUpperBust + "]\n  waist: [" + astmWaist + "]\n"

func inches(measurements ...string) string {
	return strings.Replace(wren(measurements...), "units: cm", "units: in", 1)
}

// Bust 37 1/4 is size 10, waist 28 is size 8: the bust picks, the waist is named.
func TestASTMBustOfOneSizeWaistOfTheNext(t *testing.T) {
	a := trial{pattern: astmSheath, recipe: "sheath-dress", body: inches("bust: 37 1/4", "waist: 28")}.advise(t)
	is(t, "size", best(a), "10")
	is(t, "each", a.ChartSize.Each["bust"]+" "+a.ChartSize.Each["waist"], "10 8")
	is(t, "waist's role", string(zoneOf(t, a, "10", "waist").Role), "mended")
	contains(t, "said", caution(t, a, "several-sizes").Say, "bust 10 and waist 8")
}

// An upper bust of 36 3/4 (size 10) under a full bust of 40 3/8 (size 14). The
// chart's own cups, bust less upper chest, are used and not a flat 2 in:
// -5/8, -1/2, -1/4, 0, 1/4, 3/8, 1/2, 3/4, 1 1/8, 1 1/2, 1 3/4, 2 1/8 in.
func TestASTMUpperBustPicks(t *testing.T) {
	a := trial{pattern: astmSheath, recipe: "sheath-dress", body: inches("bust: 40 3/8", "upper_bust: 36 3/4")}.advise(t)
	is(t, "size", best(a), "10")
	ten := zoneOf(t, a, "10", "bust")
	is(t, "body", ten.Body, 94.615)                              // 36 3/4 + 1/2 = 37 1/4 in
	near(t, "measured", ten.Measured, 102.553)                   // 40 3/8 in
	is(t, "body of 00", zoneOf(t, a, "00", "bust").Body, 91.758) // 36 3/4 - 5/8 = 36 1/8 in
	is(t, "body of 20", zoneOf(t, a, "20", "bust").Body, 98.743) // 36 3/4 + 2 1/8 = 38 7/8 in
}

// Wearing ease at the bust. CWU, costume textbook, chapter 16: 1 1/2 to 2 in;
// NMSU Guide C-228: 3 to 4 in. Status of both: verified.
func TestWearingEaseIsQuotedFromEverySource(t *testing.T) {
	// Body 36, finished 38: 2 in of ease.
	a := trial{pattern: chart("recipe: sheath-dress", "units: in", "sizes: [10]", "body: {bust: [36]}", "finished: {bust: [38]}"),
		recipe: "sheath-dress", body: inches("bust: 36")}.advise(t)
	near(t, "ease", zoneOf(t, a, "10", "bust").Ease, 5.08)
	is(t, "inside the lowest verified source", ranked(a), "10")
	bust := vocabulary(t).Measure("bust")
	used, _ := bust.WearingEase(nil)
	is(t, "used", used, 3*quantity.Inch/2)
	two := 2 * quantity.Inch
	for source, inside := range map[string]bool{"CWU": true, "NMSU Guide C-228": false} {
		found := false
		for _, q := range bust.WearingSources {
			if strings.HasPrefix(q.Source, source) {
				found = true
				is(t, "2 in inside "+q.Source, q.Low <= two && two <= q.High, inside)
			}
		}
		is(t, source+" is quoted", found, true)
	}
	wearing := why(t, a, "size/10/bust/cloth/wearing")
	contains(t, "explained by", asJSON(t, wearing), "CWU")
	contains(t, "beside", asJSON(t, wearing), "NMSU Guide C-228")

	// 37 1/2 - 36 1/4 = 1 1/4 in is less than any source gives, and than the 1 1/2 in drawn. It warns, and rules nothing out.
	a = trial{pattern: chart("recipe: sheath-dress", "units: in", "sizes: [10]", "body: {bust: [36]}", "finished: {bust: [37 1/2]}"),
		recipe: "sheath-dress", body: inches("bust: 36 1/4")}.advise(t)
	is(t, "rank", ranked(a), "10")
	contains(t, "warned", caution(t, a, "below-wearing-ease").Say, "3.8 cm") // 1 1/2 in
}
