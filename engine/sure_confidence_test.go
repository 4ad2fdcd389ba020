package engine_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// sure answers a request with how sure it is.
func sure(t testing.TB, q engine.Request) *engine.Answer {
	t.Helper()
	q.Sure = true
	return answer(t, q)
}

// confidences are the shares of an answer by size, and of "none".
func confidences(a *engine.Answer) map[string]float64 {
	out := map[string]float64{"none": *a.NothingFits}
	for _, s := range a.Sizes {
		out[s.Size] = *s.Confidence
	}
	return out
}

// The gathered skirt is decided by the hip alone. Of two neighbours with the
// chart's hips a < b the smaller is best up to (5a + 2b)/7: the tolerance is 2
// in below the ease wanted and 5 in above it. 14 and below are ruled out where
// less than 2 in of ease is left. The standard deviation of one reading is 1 cm,
// 1.5 cm as taken of oneself; that counts as 4 repeats, so that of n readings that
// agree it is that x sqrt(4 / (4 + n - 1)), and of their mean that / sqrt(n). The
// shares are then what the normal distribution of gonum has between those limits.
func TestConfidenceOfOneZone(t *testing.T) {
	hips := []float64{36, 37, 38.5, 40, 42, 44, 46}
	for _, c := range []struct {
		by       string
		hip      float64 // in inches
		readings int
	}{{"self", 44.25, 1}, {"self", 44.5, 1}, {"someone else", 44.5, 1}, {"self", 44.6, 4}, {"someone else", 39.4, 2}, {"self", 37.3, 1}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			readings := strings.TrimSuffix(strings.Repeat(fmt.Sprintf("%v, ", c.hip), c.readings), ", ")
			q := trial{pattern: quaysideSkirt, recipe: "gathered-skirt",
				body: "kind: body\nname: Wren\nunits: in\nmeasured_by: " + c.by + "\nmeasurements: {hip: [" + readings + "]}\n"}.request(t)
			got := confidences(sure(t, q))
			n := float64(c.readings)
			deviation := math.Sqrt(4/(4+n-1)) / math.Sqrt(n) / 2.54
			if c.by == "self" {
				deviation *= 1.5
			}
			tape, below := distuv.Normal{Mu: c.hip, Sigma: deviation}, 0.0
			for i, size := range q.Pattern.Sizes {
				upTo := 1.0
				if i+1 < len(hips) {
					upTo = tape.CDF((5*hips[i] + 2*hips[i+1]) / 7)
				}
				if want := upTo - below; math.Abs(got[size]-want) > 0.01 {
					t.Errorf("share of size %s is %v, by the normal distribution %v", size, got[size], want)
				}
				below = upTo
			}
		})
	}
}

// twoZones is a dress in which the bust and the hip decide, and in a cloth that does not
// stretch.
var twoZones = trial{
	pattern: chart("sizes: [S, M, L, XL]", "body: {bust: [84, 88, 92, 97], hip: [90, 94, 98, 103]}", "finished: {bust: [93, 97, 101, 106], hip: [97, 101, 105, 110]}"),
	recipe:  garment("zones: {bust: {role: decides, ease: 5 cm .. 14 cm}, hip: {role: decides, ease: 4 cm .. 12 cm}}"),
	body:    wren("bust: 91.2", "hip: 95.6"),
}

// The shares with two zones are held against the sum over a fine grid of bodies,
// each ranked by itself and weighed by the density of gonum's normal distribution.
func TestConfidenceOfTwoZones(t *testing.T) {
	for _, body := range []string{wren("bust: 91.2", "hip: 95.6"), wren("bust: 90", "hip: 96"), wren("bust: 96", "hip: 109.8")} {
		tr := twoZones
		tr.body = body
		q := tr.request(t)
		f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
		if err != nil {
			t.Fatal(err)
		}
		bust, hip := q.Body.Measurements["bust"].Readings[0].Length, q.Body.Measurements["hip"].Readings[0].Length
		const deviation, half, reach = 1.5, 120, 4.0 // taken of oneself; 241 x 241 bodies, 4 deviations either way
		want, total := map[string]float64{}, 0.0
		for i := -half; i <= half; i++ {
			for k := -half; k <= half; k++ {
				x, y := float64(i)/half*reach, float64(k)/half*reach
				weight := distuv.UnitNormal.Prob(x) * distuv.UnitNormal.Prob(y)
				b := *q.Body
				b.Measurements = map[string]engine.Measurement{"bust": taking(bust + length(x*deviation)), "hip": taking(hip + length(y*deviation))}
				r, err := f.Rank(engine.Fitting{Body: &b})
				if err != nil {
					t.Fatal(err)
				}
				want[orNone(r.Best)] += weight
				total += weight
			}
		}
		got := confidences(sure(t, q))
		if len(want) < 2 {
			t.Errorf("%s: only %v comes out", body, want)
		}
		for size, share := range got {
			if math.Abs(share-want[size]/total) > 0.01 {
				t.Errorf("%s: share of %s is %v, summed over a grid %v", body, size, share, want[size]/total)
			}
		}
	}
}

func taking(l quantity.Length) engine.Measurement {
	return engine.Measurement{Readings: []engine.Reading{{Length: l, Text: l.Exact(quantity.Cm)}}}
}

func length(cm float64) quantity.Length {
	return quantity.Length(math.Round(cm * float64(quantity.Centimetre)))
}

func orNone(size string) string {
	if size == "" {
		return "none"
	}
	return size
}

// changedVocabulary is the vocabulary with something otherwise.
func changedVocabulary(t testing.TB, measure func(*engine.Measure), limit func(*engine.Limits)) *engine.Vocabulary {
	t.Helper()
	voc := vocabulary(t)
	var measures []engine.Measure
	for _, name := range voc.Words() {
		m := *voc.Measure(name)
		measure(&m)
		measures = append(measures, m)
	}
	limits := voc.Limits
	limit(&limits)
	changed := engine.NewVocabulary(measures, limits)
	changed.ChildSizes, changed.Sleepwear, changed.Hems = voc.ChildSizes, voc.Sleepwear, voc.Hems
	return changed
}

// exactVocabulary has a tape, a gauge and estimates that never err.
func exactVocabulary(t testing.TB) *engine.Vocabulary {
	t.Helper()
	return changedVocabulary(t, func(m *engine.Measure) { m.TapeError = 0 },
		func(l *engine.Limits) { l.StretchError, l.EstimateError = 0, 0 })
}

// With a tape that never errs there is one plausible body, and the best size has
// the whole share; over examples of every shipped recipe, and with the real
// tape the shares add up to 1 exactly.
func TestSharesAddUp(t *testing.T) {
	exact := exactVocabulary(t)
	for name, requests := range exampleRequests(t, quantity.Cm) {
		for _, q := range requests[:min(2, len(requests))] {
			a, err := engine.Advise(q)
			if err != nil {
				continue
			}
			q.Sure = true
			for _, voc := range []*engine.Vocabulary{exact, q.Vocabulary} {
				q.Vocabulary = voc
				got := sure(t, q)
				sum := 0.0
				for _, share := range confidences(got) {
					sum += share
				}
				is(t, name+": sum of the shares", sum, 1)
				is(t, name+": the size, sure or not", best(got), best(a))
				if share := confidences(got)[best(a)]; voc == exact && share != 1 {
					t.Errorf("%s: with an exact tape the share of %s is %v", name, best(a), share)
				}
				if got.Recommended != nil {
					is(t, name+": confidence of the size recommended", *got.Recommended.Confidence, confidences(got)[best(a)])
				}
			}
		}
	}
}

// A plain answer says nothing of it, and keeps its cost.
func TestSureOnlyWhereAsked(t *testing.T) {
	a := twoZones.advise(t)
	if text := asJSON(t, a); strings.Contains(text, "confidence") || strings.Contains(text, "flips") || strings.Contains(text, "nothing_fits") {
		t.Errorf("not asked for: %s", text)
	}
	is(t, "a word for it", a.Shown.Sure, "")
}

// The same question gives the same bytes, whatever the order in which the files
// list sizes and measurements.
func TestSureKnowsNoOrder(t *testing.T) {
	turned := twoZones
	turned.pattern = chart("sizes: [XL, S, L, M]", "finished: {hip: [110, 97, 105, 101], bust: [106, 93, 101, 97]}", "body: {hip: [103, 90, 98, 94], bust: [97, 84, 92, 88]}")
	turned.recipe = garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, bust: {role: decides, ease: 5 cm .. 14 cm}}")
	turned.body = wren("hip: 95.6", "bust: 91.2")
	said := func(tr trial) string {
		a := sure(t, tr.request(t))
		return asJSON(t, []any{confidences(a), a.NothingFits, a.Flips, a.MeasureAgain, a.Shown.Flips})
	}
	first := said(twoZones)
	for range 3 {
		is(t, "asked again", said(twoZones), first)
	}
	is(t, "in another order", said(turned), first)
}

// A reading of a large girth errs by 1.5 cm taken of oneself, by 1 cm where someone else
// held the tape, which counts as 4 repeats beside one's own. Readings that agree make it
// less, readings that disagree more:
//
//	four, 0.1 cm apart: (4 x 1 + 0.1² + 0.1²) / (4 + 3) = 0.574286, sqrt 0.757817, / sqrt 4 = 0.3789
//	two that agree: 1.5² x 4 / (4 + 1) = 1.8, sqrt 1.341641, / sqrt 2 = 0.9487
//	two, 6 cm apart: (4 x 2.25 + 9 + 9) / 5 = 5.4, sqrt 2.323790, / sqrt 2 = 1.6432: less sure than one reading
//
// A thigh, whose published limit is 4 mm where a large girth has 9, errs by 4/9 of it.
func TestTapeDeviation(t *testing.T) {
	for _, c := range []struct {
		by, hip, earlier string
		want             float64
	}{
		{"self", "95.6", "", 1.5},
		{"someone else", "95.6", "", 1},
		{"someone else", "[95.6, 95.7, 95.5, 95.6]", "", 0.379},
		{"self", "{left: 95.4, right: [95.6, 95.6]}", "", 0.949},
		{"self", "[92.6, 98.6]", "", 1.643},
		// Two that lay 6 cm apart two years before count half: (4 x 2.25 + 18/2) / (4 + 1/2) = 4, sqrt 2.
		{"self", "95.6", "{taken: 2024-11-01, measurements: {hip: [92.6, 98.6]}}", 2},
		// Those of another measurement tell nothing of this one.
		{"self", "95.6", "{taken: 2024-11-01, measurements: {waist: [92.6, 98.6]}}", 1.5},
	} {
		tr := twoZones
		tr.body = "kind: body\nname: Wren\ntaken: 2026-11-01\nunits: cm\nmeasured_by: " + c.by + "\nmeasurements: {bust: 91.2, hip: " + c.hip + "}\n"
		if c.earlier != "" {
			tr.body += "earlier: [" + c.earlier + "]\n"
		}
		a := sure(t, tr.request(t))
		near := math.Abs(*why(t, a, "sure/hip").Value.Number - c.want)
		if near > 0.002 { // two years are 730 days, not 730.5
			t.Errorf("%s, %s, earlier %s: %v, want %v", c.by, c.hip, c.earlier, *why(t, a, "sure/hip").Value.Number, c.want)
		}
	}
	voc := vocabulary(t)
	is(t, "of a thigh", math.Round(voc.TapeDeviation(voc.Measure("thigh"), "self")/1e4), math.Round(1.5*4/9*1e3))
	a := sure(t, twoZones.request(t))
	assumed := slices.ContainsFunc(a.Assumptions, func(x engine.Assumption) bool {
		return x.What == "you took your measurements yourself"
	})
	is(t, "who held the tape is assumed", assumed, true)
}

// An estimated garment is less sure than a measured one where an ease is asked
// for as a figure, and as sure where the chart alone is matched: the same
// estimate is then on both sides.
func TestEstimatesAreLessSure(t *testing.T) {
	bare := twoZones
	bare.pattern = chart("sizes: [S, M, L, XL]", "body: {bust: [84, 88, 92, 97], hip: [90, 94, 98, 103]}")
	share := func(wishes ...string) float64 {
		tr := bare
		tr.body, tr.wishes = wren("bust: 91.8", "hip: 97.8"), wishes
		return *sure(t, tr.request(t)).Recommended.Confidence
	}
	matched, asked := share(), share("bust=9.5cm", "hip=8cm")
	if asked >= matched-0.05 {
		t.Errorf("share %v with an ease asked for, %v by the chart", asked, matched)
	}
}

// closeTop is a top of 88 cm on a bust of 96 cm, in a jersey.
var closeTop = trial{
	pattern: chart("sizes: [M]", "body: {bust: [96]}", "finished: {bust: [88]}"),
	recipe:  garment("controlling: bust", "stretch: {needed: 10 %}", "zones: {bust: {role: decides, ease: -15 % .. 0 %}}"),
	body:    wren("bust: 96"),
	cloth:   fabric("structure: knit", "stretch: {across: 20 %, along: 20 %}"),
}

// The cloth's stretch errs too. A top of 88 cm on a bust of 96 cm asks for 96/88 - 1
// = 9.0909 %, of which a jersey offers half its stretch: it carries it from
// 18.1818 % on, and one of 20 % lies (20 - 18.1818) / 2 = 0.909 deviations above.
func TestStretchErrs(t *testing.T) {
	q := closeTop.request(t)
	q.Vocabulary = exactVocabulary(t)
	q.Vocabulary.Limits.StretchError = 0.1
	a := sure(t, q)
	if got, want := *a.Recommended.Confidence, distuv.UnitNormal.CDF((20-96.0/88*200+200)/2); math.Abs(got-want) > 0.01 {
		t.Errorf("share %v, by the normal distribution %v", got, want)
	}
	// 2 x 9.0909 = 18.1818: below, no size is left.
	want := engine.Flip{Measurement: "cloth.stretch.across", Value: 18.18, Unit: "percent", To: "none"}
	if !slices.Contains(a.Flips, want) {
		t.Errorf("flips are %v, want %v among them", a.Flips, want)
	}
}

// Chart hips of 42 and 44 in, 106.68 and 111.76 cm, meet at 108.131 cm, with 12.7 cm of
// ease wanted in 7.62 .. 25.4 cm. A centimetre of girth is not felt. With 13.2 cm wanted
// they meet at (12.2 x 106.18 + 5.58 x 111.26) / 17.78 = 107.774 cm, with 12.2 cm at
// (13.2 x 107.18 + 4.58 x 112.26) / 17.78 = 108.489 cm: between these either would do.
func TestEitherWouldDo(t *testing.T) {
	for hip, either := range map[float64]string{107.7: "", 107.8: "18", 108.1: "18", 108.2: "16", 108.4: "16", 108.5: ""} {
		a := sure(t, trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: wren(fmt.Sprintf("hip: %v", hip))}.request(t))
		is(t, fmt.Sprintf("hip %v", hip), a.Either, either)
		is(t, fmt.Sprintf("hip %v, in a word", hip), a.Shown.Sure == engine.EitherWillDo, either != "")
	}
}

// In a jersey whose stretch decides, the gauge settles most: the top of 88 cm on a bust
// of 96 cm is carried from 18.18 % of stretch on, and 20 % may be 4 points off; the tape
// is exact here.
func TestTheGaugeSettlesMost(t *testing.T) {
	q := closeTop.request(t)
	q.Vocabulary = exactVocabulary(t)
	q.Vocabulary.Limits.StretchError = 0.1
	again := sure(t, q).MeasureAgain
	if again == nil {
		t.Fatal("nothing settles anything")
	}
	is(t, "what", again.Measurement, "cloth.stretch.across")
	is(t, "unit", again.Unit, "percent")
	is(t, "error", again.Error, 4.0) // 2 x a tenth of 20 %
	near(t, "below which no size is left", again.Low, 18.18)
}
