package engine_test

import (
	"strings"
	"testing"

	"fitadvisor/engine/quantity"
)

// Every number here was worked out with a pencil; the sums stand beside them.

const quaysideSkirt = `kind: pattern
maker: Tern Lane
name: Quayside skirt
recipe: gathered-skirt
units: in
sizes:   [8, 10, 12, 14, 16, 18, 20]
body:
  waist: [26, 27, 28 1/2, 30, 32, 34, 36]
  hip:   [36, 37, 38 1/2, 40, 42, 44, 46]
finished:
  hip:   [41, 42, 43 1/2, 45, 47, 49, 51]
`

const wrenInInches = `kind: body
name: Wren
units: in
measurements: {bust: 38 1/2, waist: [29 1/2, 29 3/4], hip: 44 1/4}
`

func TestGatheredSkirt(t *testing.T) {
	a := trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: wrenInInches}.advise(t)
	is(t, "size", best(a), "18")
	// Chart: 44 1/4 lies 1/4 in from 44 and 1 3/4 in from 46; waist 29 5/8 lies 3/8 in from 30.
	is(t, "chart size", a.ChartSize.Size+" by "+a.ChartSize.By, "18 by hip")
	is(t, "each", a.ChartSize.Each["waist"]+" "+a.ChartSize.Each["hip"], "14 18")
	is(t, "off chart", a.ChartSize.OffChartCm, 0)

	hip := zoneOf(t, a, "18", "hip")
	is(t, "body", hip.Body, 112.395)                   // 44.25 x 2.54
	near(t, "finished", hip.Finished, 124.46)          // 49 x 2.54
	near(t, "ease", hip.Ease, 12.065)                  // 49 - 44.25 = 4.75 in
	near(t, "drawn", hip.Drawn, 12.7)                  // 49 - 44 = 5 in
	near(t, "wanted", hip.Wanted, 12.7)                // as drawn
	near(t, "low", hip.Low, 7.62)                      // 3 in
	near(t, "high", hip.High, 25.4)                    // 10 in
	is(t, "verdict", string(hip.Verdict), "as wanted") // 1/4 in is less than 1 cm

	// Tolerances round 5 in within 3..10: 2 in below, 5 in above, both within 1 3/4 and 5 1/4.
	is(t, "points of 18", hip.Points, 0.015625)                       // (-0.25/2)^2
	is(t, "misfit", *a.Recommended.Misfit, 0.015625)                  // the hip alone
	points(t, a, "20", "hip", 0.1225)                                 // (+1.75/5)^2
	is(t, "points of 16", zoneOf(t, a, "16", "hip").Points, 1.265625) // (-2.25/2)^2
	is(t, "rank", ranked(a), "18 20 16 14 (12) (10) (8)")             // 12 is 43 1/2 in, smaller than the body
	is(t, "why not judged", a.NotJudged[0].Zone, "waist")             // held by elastic, whatever the size
	is(t, "role", string(hip.Role), "decides")
	is(t, "explained", *why(t, a, "size/18/hip/points").Value.Number, 1.0/64)
}

// The parabolas of 18 and 20 cross where (h - 44)/2 = (46 - h)/5, at
// h = (5 x 44 + 2 x 46)/7 = 44.571 in = 113.211 cm; half-way would be 114.3 cm.
func TestGatheredSkirtTurnsAtTheCrossing(t *testing.T) {
	for hip, want := range map[string]string{"112 cm": "18", "113.2 cm": "18", "113.3 cm": "20", "114.3 cm": "20"} {
		a := trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: wren("hip: " + hip)}.advise(t)
		is(t, "size for a hip of "+hip, best(a), want)
	}
}

const harbourSkirt = `kind: pattern
name: Harbour skirt
recipe: straight-skirt
units: in
sizes:   [14, 16, 18, 20]
body:
  waist: [30, 32, 34, 36]
  hip:   [40, 42, 44, 46]
finished:
  waist: [30 3/4, 32 3/4, 34 3/4, 36 3/4]
  hip:   [43, 45, 47, 49]
`

func TestStraightSkirtGoesByTheHip(t *testing.T) {
	a := trial{pattern: harbourSkirt, recipe: "straight-skirt", body: wren("waist: 30 in", "hip: 44 1/4 in")}.advise(t)
	is(t, "size", best(a), "18") // not 16, half-way between waist 14 and hip 18
	is(t, "each", a.ChartSize.Each["waist"]+" "+a.ChartSize.Each["hip"], "14 18")
	waist := zoneOf(t, a, "18", "waist")
	is(t, "role", string(waist.Role), "mended")
	is(t, "points", waist.Points, 0)
	near(t, "ease", waist.Ease, 12.065)                  // 34 3/4 - 30 = 4 3/4 in
	near(t, "wanted", waist.Wanted, 1.905)               // 3/4 in
	is(t, "verdict", string(waist.Verdict), "too roomy") // more than 1 in
	// Hip: 47 - 44.25 = 2.75 in where 3 is drawn; tolerances 1 in on both sides of 3 within 2..4.
	is(t, "misfit of 18", *a.Recommended.Misfit, 0.0625)      // (-0.25/1)^2
	is(t, "misfit of 20", *sizeOf(t, a, "20").Misfit, 3.0625) // (+1.75/1)^2
	is(t, "grading", a.Grading.Sensible, true)
	c := caution(t, a, "straight-skirt-waist-never-decides") // 4 in away from wanted, beyond 1 in
	contains(t, "fix", c.Fix, "the darts and the side seams above the hip")
}

const slackTideTop = `kind: pattern
name: Slack tide top
recipe: close-knit-top
units: cm
sizes: [S, M, L, XL]
body: {bust: [92, 96, 100, 106]}
finished: {bust: [84, 88, 92, 98]}
`

func TestCloseKnitTop(t *testing.T) {
	a := trial{pattern: slackTideTop, recipe: "close-knit-top", body: wren("bust: 96"),
		cloth: fabric("structure: knit", "stretch: {across: 50 %, along: 30 %}")}.advise(t)
	is(t, "size", best(a), "M")
	bust := zoneOf(t, a, "M", "bust")
	is(t, "unit", bust.Unit, "percent")
	near(t, "ease", bust.Ease, -8.33) // (88 - 96) / 96
	is(t, "verdict", string(bust.Verdict), "as wanted")
	is(t, "ruled out", ranked(a), "M L S XL") // 25 % of 50 % stays comfortable; S asks for 96/84 - 1 = 14.3 %
	extension := why(t, a, "size/M/bust/cloth")
	is(t, "extension", *extension.Value.Number, 9.09) // 96/88 - 1
	contains(t, "extension", extension.Label, "9.1 %")
}

func TestCloseKnitTopInAWoven(t *testing.T) {
	a := trial{pattern: slackTideTop, recipe: "close-knit-top", body: wren("bust: 96"),
		cloth: fabric("name: shirting", "stretch: {across: 2 %, along: 2 %}")}.advise(t)
	// Every size that is smaller than 96 cm is ruled out; XL, at 98 cm, is not.
	for _, s := range a.Sizes {
		is(t, "ruled out: "+s.Size, s.RuledOut, s.Size != "XL")
	}
	is(t, "size", best(a), "XL")
	contains(t, "cloth", caution(t, a, "woven-for-a-knit").Say, "Not this cloth")
	// M asks for 9.09 %, of which half stays comfortable: 18.2 % of its own.
	q := trial{pattern: slackTideTop, recipe: "close-knit-top", body: wren("bust: 96"),
		cloth: fabric("name: shirting", "stretch: {across: 2 %, along: 2 %}")}.request(t)
	q.Pattern.Sizes, q.Pattern.Chart["bust"], q.Pattern.Finished["bust"] = q.Pattern.Sizes[1:2], q.Pattern.Chart["bust"][1:2], q.Pattern.Finished["bust"][1:2]
	alone := answer(t, q)
	is(t, "size", best(alone), "none")
	c := caution(t, alone, "negative-ease-needs-stretch")
	is(t, "severity", string(c.Severity), "stop")
	contains(t, "fix", c.Fix, "18.2 %")
}

func TestWaistBelowItsWearingEaseIsLetOut(t *testing.T) {
	a := trial{pattern: harbourSkirt, recipe: "straight-skirt", body: wren("waist: 35 1/2 in", "hip: 44 1/4 in"), units: quantity.In}.advise(t)
	is(t, "size", best(a), "18")
	near(t, "ease", zoneOf(t, a, "18", "waist").Ease, -1.905) // 34 3/4 - 35 1/2 = -3/4 in, 1 1/4 in less than the 1/2 in of wearing ease
	is(t, "changes", changes(a, "waist"), "dart 3.175")
	is(t, "becomes", levelOf(t, a, "waist").Becomes, 91.44) // 36 in
	// Hip: 43 in of 14 are smaller than the body and rule it out, the waist rules out nothing.
	is(t, "ruled out", ranked(a), "18 20 16 (14)")
}

// pullOn is a pattern whose waist casing, elastic taken out, and stretched
// elastic are as given in every size.
func pullOn(casing, elastic string) string {
	row := func(v string) string { return "[" + strings.Repeat(v+", ", 6) + v + "]" }
	return quaysideSkirt + "  waist_open: " + row(casing) + "\n  waist_stretched: " + row(elastic) + "\n"
}

func TestPullOnWaist(t *testing.T) {
	body := wren("bust: 100", "hip: 102", "shoulder_girth: 108")
	// A casing of 94 cm passes neither the hip, 102, nor shoulders and bust, 108.
	a := trial{pattern: pullOn("94 cm", "120 cm"), recipe: "gathered-skirt", body: body}.advise(t)
	is(t, "size", best(a), "none")
	for _, s := range a.Sizes {
		is(t, "ruled out: "+s.Size, s.RuledOut, true)
	}
	c := caution(t, a, "opening-too-small")
	contains(t, "fix", c.Fix, "placket")
	contains(t, "fix", c.Fix, "wider, to at least 102 cm") // the least of the alternatives

	// A casing of 104 cm passes the hip, its elastic of 98 cm does not: that only warns.
	a = trial{pattern: pullOn("104 cm", "98 cm"), recipe: "gathered-skirt", body: body}.advise(t)
	is(t, "size", best(a), "14") // hip 102 cm = 40.157 in, nearest 40
	c = caution(t, a, "elastic-too-short")
	is(t, "severity", string(c.Severity), "warn")
	contains(t, "fix", c.Fix, "longer or a softer elastic")
	contains(t, "say", c.Say, "98 cm")
}

func TestWordsFollowTheReadersUnits(t *testing.T) {
	q := trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: wrenInInches}.request(t)
	inCm := answer(t, q)
	q.Units = quantity.In
	inIn := answer(t, q)
	contains(t, "because", inCm.Recommended.Because, "12.1 cm of ease where 12.7 cm is wanted")
	contains(t, "because", inIn.Recommended.Because, "4 3/4 in of ease where 5 in is wanted")
	is(t, "numbers", asJSON(t, inIn.Sizes), asJSON(t, inCm.Sizes))
}
