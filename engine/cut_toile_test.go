package engine_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/text"
	"fitadvisor/recipes"
)

// hipSkirt is a pattern with 8 cm of ease drawn at the hip, and 2 cm at the waist.
func hipSkirt(lines ...string) string {
	return chart(append(lines, "sizes: [S, M, L]", "body: {waist: [70, 74, 78], hip: [96, 100, 104]}", "finished: {waist: [72, 76, 80], hip: [104, 108, 112]}")...)
}

const hipAndWaist = "zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: mended, ease: 1 cm .. 5 cm}}"

// sewn is a trial with a toile: size and what was done to it.
func sewn(t testing.TB, tr trial, size string, seen ...string) engine.Request {
	t.Helper()
	q := tr.request(t)
	text := "kind: observations\npattern: Trial\nsize: " + size + "\nobserved: {" + strings.Join(seen, ", ") + "}\n"
	q.Observed = recipes.ReadObservations(open(t, "toile.yaml", text), q.Vocabulary)
	return q
}

// A toile of M on the line of L at the hip, 112 cm, and let out there by another 2 cm, with 1 cm more in the bodice: the
// hip becomes 108 + 4 + 2 = 114 cm, and the waist is left to the tape, 76 - 74 = 2 cm as drawn. The back waist length,
// 43 - 41 = 2 cm longer than drafted, is settled by the 1 cm that the toile was sewn with: nothing more is lengthened,
// nor is the back opened.
func TestWhatAToileWasSewnWith(t *testing.T) {
	p := hipSkirt("drafted_for: {back_waist_length: 41, front_waist_length: 43}")
	r := garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm, seams: {side: 2}}, waist: {role: mended, ease: 1 cm .. 5 cm, seams: {side: 2}}}", "parts: [bodice, skirt]")
	q := sewn(t, trial{pattern: p, recipe: r, body: wren("waist: 74", "hip: 104", "back_waist_length: 43", "front_waist_length: 43")}, "M", "hip: let out 2 cm in all")
	q.Usual = []engine.Usual{{ID: "forward-shoulder", Because: "Made before."}}
	q.Observed.Lines = []engine.SewnLine{{Measure: "hip", Size: "L"}}
	one := quantity.Centimetre
	q.Observed.Alterations = map[string]engine.Usually{"bodice-length": {Amount: &one}}
	a := answer(t, q)
	is(t, "size", best(a), "M")
	is(t, "lines", followed(a), "waist M, hip L")
	is(t, "hip", changes(a, "hip"), "line 4, toile 2")
	is(t, "becomes", levelOf(t, a, "hip").Becomes, 114)
	is(t, "altered", altered(a), "bodice-length 1")
	contains(t, "why", a.Alterations[0].Because, "Your toile was sewn with it.")
	is(t, "why the hip is so", levelOf(t, a, "hip").Because, "it was settled on the toile")
	o := observed(t, a, "hip")
	near(t, "the pattern on that line", o.Before, 112)
	near(t, "the toile", o.After, 114)
	near(t, "from line to line", &a.Grading.Steps[0].GirthChange, 4) // 112 - 108
	sheet(t, "sewn on two lines", a)

	q.Observed.Lines[0].Size = "XL"
	if _, err := engine.Advise(q); err == nil || !strings.Contains(err.Error(), "the toile is of size `XL`") {
		t.Errorf("a line that the pattern has not: %v", err)
	}
}

func observed(t testing.TB, a *engine.Answer, zone string) engine.ObservedZone {
	t.Helper()
	i := slices.IndexFunc(a.Observed, func(o engine.ObservedZone) bool { return o.Zone == zone })
	if i < 0 {
		t.Fatalf("nothing is observed at the %s", zone)
	}
	return a.Observed[i]
}

func toCheck(t testing.TB, a *engine.Answer, id string) engine.Check {
	t.Helper()
	i := slices.IndexFunc(a.BeforeCutting, func(c engine.Check) bool { return c.ID == id })
	if i < 0 {
		t.Fatalf("no check %s before cutting", id)
	}
	return a.BeforeCutting[i]
}

// Two inches of girth at two side seams are half an inch at each of the four cut
// edges: arithmetic.
func TestTwoInchesOverFourEdges(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	a := answer(t, sewn(t, tr, "M", "hip: let out 2 in in all"))
	o := observed(t, a, "hip")
	is(t, "each edge", o.PerEdge, 1.27)
	near(t, "before", o.Before, 108)
	near(t, "after", o.After, 113.08) // 108 + 5.08
	contains(t, "on the pattern", o.Say, "add 1.25 cm at each of the 4 cut edges")

	// 1 in at each side is the same.
	is(t, "each side", observed(t, answer(t, sewn(t, tr, "M", "hip: let out 1 in each side")), "hip").PerEdge, 1.27)
	// A sleeve has one seam, two edges: 2 cm round the arm are 1 cm each, and each arm has its own.
	is(t, "one sleeve", observed(t, answer(t, sewn(t, tr, "M", "upper_arm: let out 2 cm each")), "upper_arm").PerEdge, 1.0)
	// Half a centimetre at both shoulders together is a quarter at each.
	is(t, "one shoulder", observed(t, answer(t, sewn(t, tr, "M", "shoulder_length: take in 0.5 cm in all")), "shoulder_length").Change, -0.25)
	// A jacket with side and side-back seams has 8 edges: 2 in are a quarter of an inch at each, and a seam allowance of
	// 1.5 cm added once more is 12 cm.
	tr = trial{pattern: hipSkirt("seam_allowance: 1.5"), recipe: garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm, seams: {side: 2, side back: 2}}}"), body: wren("hip: 100")}
	jacket := answer(t, sewn(t, tr, "M", "hip: let out 2 in in all"))
	is(t, "eight edges", observed(t, jacket, "hip").PerEdge, 0.635)
	contains(t, "added twice", toCheck(t, jacket, "seam-allowance").Why, "by 12 cm, over 8 cut edges")
	// Raising a line changes no measurement.
	is(t, "raised", observed(t, answer(t, sewn(t, tr, "M", "waist: raise 1 cm")), "waist").Change, 0.0)
}

// Hip 105 in size M: 108 - 105 = 3 cm of ease, less than the 2 in = 5.08 cm that
// are needed to move. Let out by 4 cm: 112 - 105 = 7 cm of ease, 1 cm short of the
// 8 cm that stay as drawn: as wanted.
func TestToileCorrectsItsSize(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 105")}
	before := tr.advise(t)
	is(t, "ruled out", ranked(before), "L M (S)")
	a := answer(t, sewn(t, tr, "M", "hip: let out 4 cm in all", "waist: take in 1 cm in all"))
	is(t, "size", best(a), "M")
	hip := zoneOf(t, a, "M", "hip")
	near(t, "ease", hip.Ease, 7)
	near(t, "drawn", hip.Drawn, 8)
	near(t, "wanted", hip.Wanted, 8)
	is(t, "verdict", hip.Verdict, engine.AsWanted)
	near(t, "the other size", zoneOf(t, a, "L", "hip").Finished, 112)
	near(t, "waist", zoneOf(t, a, "M", "waist").Ease, 1) // 76 - 1 - 74
	is(t, "without the toile", a.Shown.Unsewn, "L")
	if !slices.ContainsFunc(a.Assumptions, func(s engine.Assumption) bool { return strings.Contains(s.What, "size M is judged") }) {
		t.Errorf("another size than without the toile is not said: %v", a.Assumptions)
	}
	made := why(t, a, "size/M/hip/ease/finished")
	contains(t, "finished", made.Label, "108 cm +4 cm = 112 cm")
	contains(t, "its source", made.Source, "toile.yaml:4:")
	contains(t, "as drawn", why(t, a, "size/M/hip/drawn").Label, "finished 108 cm - chart body 100 cm = 8 cm")
	contains(t, "the pattern's own", why(t, a, "size/M/hip/ease/finished/drawn").Source, "pattern.yaml:")
}

// A caution that the toile mends vanishes; what was pinned is settled.
func TestToileMovesCautions(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 78", "hip: 100")}
	before := tr.advise(t)
	if !slices.Contains(cautions(before), "close-where-mended") { // 76 - 78 = -2, and nothing lets it out
		t.Fatalf("cautions %v", cautions(before))
	}
	if got := cautions(answer(t, sewn(t, tr, "M", "waist: let out 4 cm in all"))); slices.Contains(got, "close-where-mended") {
		t.Errorf("let out, it still says %v", got)
	}
	tr.body = wren("waist: 74", "hip: 100")
	a := answer(t, sewn(t, tr, "M", "waist: take in 2 cm in all")) // 76 - 2 - 74 = 0, as it was pinned
	is(t, "what was pinned", changes(a, "waist"), "toile -2")
	if slices.Contains(cautions(a), "close-where-mended") {
		t.Errorf("what was settled on the toile is doubted: %v", cautions(a))
	}
}

// Even as corrected the toile's size may be ruled out; then the others speak.
func TestToileThatIsRuledOut(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 105")}
	q := sewn(t, tr, "M", "hip: take in 4 cm in all") // 104 - 105 = -1 cm
	is(t, "size", ranked(answer(t, q)), "L (M) (S)")
}

func TestToileThatDoesNotBelong(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	for _, c := range []struct {
		size, pattern, seen, want string
	}{
		{"XL", "Trial", "hip: let out 1 cm in all", "the toile is of size `XL`, for which the pattern's chart has no body"},
		{"M", "Tide", "hip: let out 1 cm in all", "the toile is of `Tide`, and the pattern asked about is `Trial`"},
		{"M", "Trial", "hip: take in 108 cm in all", "nothing would be left of the hip"},
	} {
		q := sewn(t, tr, c.size, c.seen)
		q.Observed.Pattern = c.pattern
		_, err := engine.Advise(q)
		var wrong *engine.ToileError
		if !errors.As(err, &wrong) || err.Error() != c.want || wrong.Hint() == "" || wrong.At.IsZero() {
			t.Errorf("got %v, want %s", err, c.want)
		}
		if _, err := engine.AskWhyNot(q, "M"); err != nil {
			t.Errorf("why not, which leaves the toile out: %v", err)
		}
	}
}

// An observation of nothing changes nothing, what is let out and taken in again
// cancels, units change nothing, and Rank chooses as Advise does.
func TestToileProperties(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist)}
	rapid.Check(t, func(rt *rapid.T) {
		tr.body = wren("waist: "+fmt.Sprint(rapid.IntRange(68, 80).Draw(rt, "waist")), "hip: "+fmt.Sprint(rapid.IntRange(94, 106).Draw(rt, "hip")))
		plain := answer(t, tr.request(t))
		size := plain.Sizes[0].Size
		zone := rapid.SampledFrom([]string{"hip", "waist"}).Draw(rt, "zone")
		eighths := rapid.IntRange(0, 24).Draw(rt, "eighths of an inch")
		inch := float64(eighths) / 8
		act := rapid.SampledFrom([]string{"let out", "take in"}).Draw(rt, "act")
		same := func(what, want, got any) {
			if d := cmp.Diff(want, got); d != "" {
				rt.Errorf("%s: %s", what, d)
			}
		}
		for what, seen := range map[string]string{
			"nothing": zone + ": let out 0 cm in all",
			"cancels": fmt.Sprintf("%s: [let out %v in in all, take in %v in in all]", zone, inch, inch),
		} {
			got := answer(t, sewn(t, tr, size, seen))
			same(what+": sizes", plain.Sizes, got.Sizes)
			same(what+": cautions", plain.Cautions, got.Cautions)
			same(what+": why", asJSON(t, plain.Why), asJSON(t, got.Why))
		}
		inches := sewn(t, tr, size, fmt.Sprintf("%s: %s %v in in all", zone, act, inch))
		cm := sewn(t, tr, size, fmt.Sprintf("%s: %s %s cm in all", zone, act, exactCm(eighths)))
		a := answer(t, inches)
		same("units", a.Sizes, answer(t, cm).Sizes)
		f, err := engine.Prepare(inches.Pattern, inches.Recipe, inches.Rules, inches.Vocabulary)
		if err != nil {
			rt.Fatal(err)
		}
		r, err := f.Rank(inches.Fitting)
		if err != nil {
			rt.Fatal(err)
		}
		same("Rank", strings.TrimSuffix(best(a), "none"), r.Best)
	})
}

// exactCm is eighths of an inch in centimetres, of which 1/8 in is 0.3175.
func exactCm(eighths int) string {
	ten := 3175 * eighths
	return fmt.Sprintf("%d.%04d", ten/10_000, ten%10_000)
}

// 3.00 m at 5 % of shrinkage: 3 / 0.95 = 3.1579, rounded up to 3.16 m. Cloth that
// is there and enough is not bought again, and washed cloth is bought as it is.
func TestClothToBuy(t *testing.T) {
	need := "cloth_needed: [{width: 150 cm, length: [2.8 m, 3 m, 3.2 m]}, {width: 115 cm, length: [4 m, 4.2 m, 4.4 m], nap: true}]"
	for _, c := range []struct {
		name, say string
		cloth     []string
	}{
		{"to be bought", "Buy 3.16 m of cloth; wash and dry it", []string{"shrinkage: {along: 5 %}", "prewashed: false", "width: 150 cm"}},
		{"too short", "Do not cut yet: you need 3.16 m and have 3.15 m", []string{"shrinkage: {along: 5 %}", "prewashed: false", "width: 150 cm", "length: 3.15 m"}},
		{"enough", "Your 3.16 m is enough: you need 3.16 m", []string{"shrinkage: {along: 5 %}", "prewashed: false", "width: 150 cm", "length: 3.16 m"}},
		{"washed already", "Buy 3.00 m of cloth", []string{"shrinkage: {along: 5 %}", "prewashed: true", "width: 150 cm"}},
		{"with a nap, laid as for 115 cm", "Buy 4.20 m of cloth", []string{"nap: true", "width: 150 cm"}},
		{"narrower", "Buy 4.20 m of cloth", []string{"width: 140 cm"}},
		{"matched, 3 m and a repeat of 32 cm", "Buy 3.32 m of cloth", []string{"repeat: 32 cm", "width: 150 cm"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := trial{pattern: hipSkirt(need), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100"), cloth: fabric(c.cloth...)}
			id := "cloth-length"
			if strings.HasPrefix(c.say, "Do not cut") {
				id = engine.ClothShort
			}
			contains(t, "say", toCheck(t, tr.advise(t), id).Say, c.say)
		})
	}
	t.Run("lengthened by 2 cm in the toile", func(t *testing.T) {
		tr := trial{pattern: hipSkirt(need), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100"), cloth: fabric("width: 150 cm")}
		contains(t, "say", toCheck(t, answer(t, sewn(t, tr, "M", "waist_to_hip: lengthen 2 cm")), "cloth-length").Say, "Buy 3.02 m")
	})
	t.Run("150 cm as sold shrink across by 2 %: makers give the width as it is sold", func(t *testing.T) {
		tr := trial{pattern: hipSkirt("cloth_needed: [{width: 150 cm, length: [2.8 m, 3 m, 3.2 m]}]"), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100"),
			cloth: fabric("width: 150 cm", "shrinkage: {across: 2 %}", "prewashed: false")}
		contains(t, "say", toCheck(t, tr.advise(t), "cloth-length").Say, "Buy 3.00 m of cloth")
	})
	t.Run("no lengths on the pattern: 1 / 0.95 = 1.0526", func(t *testing.T) {
		tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100"), cloth: fabric("shrinkage: {along: 5 %}", "prewashed: false")}
		contains(t, "why", toCheck(t, tr.advise(t), "prewash").Why, "buy 1.06 m for each 1.00 m")
	})
}

// A square of 9.8 cm that should be 10 is 9.8 / 10 - 1 = 2 % small: at a finished
// hip of 110 cm that is 2.2 cm. One per cent is still let pass.
func TestTestSquare(t *testing.T) {
	printed := func(square string) *engine.Answer {
		return trial{pattern: chart("sizes: [M]", "body: {hip: [102]}", "finished: {hip: [110]}", "test_square: {"+square+"}"), recipe: garment(), body: wren("hip: 102")}.advise(t)
	}
	c := toCheck(t, printed("printed: 9.8 cm, should_be: 10 cm"), "test-square")
	contains(t, "why", c.Why, "2 % too small: at the finished hip of 110 cm that is 2.2 cm")
	contains(t, "large", toCheck(t, printed("printed: 10.2 cm, should_be: 10 cm"), "test-square").Why, "too large")
	contains(t, "not measured yet", toCheck(t, printed("should_be: 10 cm"), "test-square").Say, "it should be 10 cm")
	contains(t, "layers", toCheck(t, printed("printed: 10 cm, should_be: 10 cm"), "size-lines").Say, "Print the layer of size M")
	for _, square := range []string{"printed: 9.9 cm, should_be: 10 cm", "printed: 10.1 cm, should_be: 10 cm"} {
		if a := printed(square); slices.ContainsFunc(a.BeforeCutting, func(c engine.Check) bool { return c.ID == "test-square" }) {
			t.Errorf("%s is not let pass", square)
		}
	}
}

// Each check stands only where it applies.
func TestChecksBeforeCutting(t *testing.T) {
	ids := func(tr trial) (out string) {
		for _, c := range tr.advise(t).BeforeCutting {
			if c.Say == "" || c.Why == "" || c.Source == "" {
				t.Errorf("it says too little: %+v", c)
			}
			out += " " + c.ID
		}
		return out[1:]
	}
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	is(t, "bare", ids(tr), "size-lines seam-allowance grain marks")
	tr.cloth = fabric("structure: knit", "stretch: {across: 20 %, along: 30 %}", "nap: true")
	is(t, "knit with a nap", ids(tr), "size-lines seam-allowance grain nap stretch marks")
	contains(t, "stretch", toCheck(t, tr.advise(t), "stretch").Why, "20 % round the body and 30 % along it")
	tr.pattern, tr.cloth = hipSkirt("seam_allowance: 1.5"), ""
	// 4 cut edges of 1.5 cm.
	contains(t, "allowance", toCheck(t, tr.advise(t), "seam-allowance").Why, "at the hip by 6 cm, over 4 cut edges")
	tr.pattern = hipSkirt("seam_allowance: 0")
	contains(t, "no allowance", toCheck(t, tr.advise(t), "seam-allowance").Say, "Add seam allowances")
	tr.recipe = garment(hipAndWaist, "openings: [{name: waist, passes: hip, closure: {kind: zip, from: waist, towards: hip, reach: 18 cm, run: 20 cm}}]")
	contains(t, "zip", toCheck(t, tr.advise(t), "zip").Say, "opens 18 cm")
}

// Hip 106: 108 - 106 = 2 cm of ease, 2 cm short of the 4 that will do. A toile is sewn
// with an inch of allowance there; where the pattern has 2.5 cm and each of four
// edges lacks 2 / 4 = 0.5 cm, with 3 cm. The chart ends at a hip of 100.
func TestToilePlan(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 106"), wishes: []string{"waist=2cm"}}
	tr.pattern = strings.Replace(hipSkirt("seam_allowance: 2.5"), "[S, M, L]", "[S, M]", 1)
	tr.pattern = strings.NewReplacer("[70, 74, 78]", "[70, 74]", "[96, 100, 104]", "[96, 100]", "[72, 76, 80]", "[72, 76]", "[104, 108, 112]", "[104, 108]").Replace(tr.pattern)
	p := tr.advise(t).Toile
	is(t, "advised", p.Advised, true)
	if diff := cmp.Diff([]string{"off-chart", "closer-than-wanted"}, p.Rules); diff != "" {
		t.Error(diff)
	}
	contains(t, "because", strings.Join(p.Because, ";"), "the hip, which decides the size, stays 2 cm too small")
	if diff := cmp.Diff([]engine.Allowance{{Zone: "hip", Cm: 3, Because: "it stays too small and may have to be let out"}}, p.Allowances); diff != "" {
		t.Error(diff)
	}
	tr.pattern = strings.Replace(tr.pattern, "seam_allowance: 2.5", "seam_allowance: 1", 1)
	is(t, "an inch", tr.advise(t).Toile.Allowances[0].Cm, 2.54)
	var order []string
	for _, line := range p.LookAt {
		word, _, _ := strings.Cut(line, " ")
		order = append(order, strings.Trim(word, ",:"))
	}
	is(t, "order", strings.Join(order, " "), "The Waist Hip The Move")

	tr.body = wren("waist: 74", "hip: 100")
	is(t, "advised where all is as wanted", tr.advise(t).Toile.Advised, false)
	tr.body = wren("waist: 74", "hip: 120")
	is(t, "advised where nothing can be cut", tr.advise(t).Toile.Advised, false)
}

// 108 - 101 = 7 cm, of which 5.08 are the wearing ease: that another ease was asked for
// is style, and no reason for a toile, be the 4 or the 9 unusual for the type. A hip of
// 105 has 3 cm and lacks 6 of the 9.
func TestNoToileForStyle(t *testing.T) {
	tr := trial{pattern: chart("sizes: [M]", "body: {hip: [101]}", "finished: {hip: [108]}"), recipe: garment("zones: {hip: {role: decides, ease: 8 cm .. 16 cm}}")}
	for hip, c := range map[string]struct{ wish, because string }{
		"hip: 101":   {"hip=4cm", ""},
		"hip: 101.0": {"hip=9cm", ""},
		"hip: 105":   {"hip=9cm", "the pattern has no size drawn for your hip; the hip, which decides the size, stays 6 cm too small"},
	} {
		tr.body, tr.wishes = wren(hip), []string{c.wish}
		is(t, hip+", "+c.wish, strings.Join(tr.advise(t).Toile.Because, "; "), c.because)
	}
}

// The test cloth is like the real one.
func TestTestCloth(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	for cloth, want := range map[string]string{
		fabric("drape: soft"):                                             "firm calico would stand away",
		fabric("drape: crisp", "thickness: 0.9 mm"):                       "a firm calico, which stands away as your cloth does; about 0.9 mm thick",
		fabric("stretch: {across: 15 %}"):                                 "with the same stretch, 15 % round the body",
		fabric("grain: bias", "drape: soft"):                              "cut on the bias as the garment will be",
		fabric("structure: knit", "stretch: {across: 25 %, along: 10 %}"): "a knit that stretches as yours does, 25 % round the body",
		fabric("structure: knit"):                                         "a woven would say nothing",
		"":                                                                "of the weight and drape of your cloth",
	} {
		tr.cloth = cloth
		contains(t, cloth, tr.advise(t).Toile.Cloth, want)
	}
}

// The words follow the reader's units; the numbers do not.
func TestToileInInches(t *testing.T) {
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	q := sewn(t, tr, "M", "hip: let out 2 in in all")
	q.Units = quantity.In
	o := observed(t, answer(t, q), "hip")
	is(t, "change", o.Change, 5.08)
	q = sewn(t, tr, "M", "hip: let out 1/4 in in all")
	q.Units = quantity.In
	contains(t, "a sixteenth", observed(t, answer(t, q), "hip").Say, "add 1/16 in at")
	contains(t, "say", o.Say, "add 1/2 in at each of the 4 cut edges")
}

// What a sheet to cut by says of the toile and of the checks before cutting.
func TestToileInWords(t *testing.T) {
	tr := trial{pattern: hipSkirt("seam_allowance: 1.5", "cloth_needed: [{width: 140 cm, length: [1.9 m, 2 m, 2.1 m]}]"), recipe: garment(hipAndWaist), body: wren("waist: 78", "hip: 98"),
		cloth: fabric("drape: soft", "width: 140 cm", "costly: true")}
	a := tr.advise(t)
	// S has 104 - 98 = 6 cm at the hip where 8 are drawn, M 10 cm: as far off, and the larger is taken. Its waist,
	// 76 - 78 = -2 cm, is 4 cm short: 1.5 + 4 / 4 = 2.5 cm, less than an inch.
	is(t, "size", best(a), "M")
	words := strings.Join(strings.Fields(shown(t, onSheet(a)...)), " ")
	for _, part := range []string{
		"Sew a toile of size M first. The waist stays 3 cm too small, whatever this pattern allows; the cloth is costly, or there is no more of it.",
		"Leave wide seam allowances where it may have to be let out: 2.5 cm at the waist",
		"Look at it in this order: The waist first",
		"Nested lines lie close together",
		"Buy 2.00 m of cloth",
	} {
		contains(t, "in words", words, part)
	}
	tr.cloth, tr.body = "", wren("waist: 74", "hip: 100")
	if sheet := shown(t, onSheet(tr.advise(t))...); strings.Contains(sheet, "toile") {
		t.Errorf("a toile that is not advised is on the sheet:\n%s", sheet)
	}
	if blocks := report.Observed(tr.advise(t)); blocks != nil {
		t.Errorf("without a toile it shows %v", blocks)
	}
}

// onSheet is what the sheet to cut by says.
func onSheet(a *engine.Answer) []explain.Block {
	_, sheet := report.Plan(a)
	return sheet.Blocks
}

func shown(t testing.TB, blocks ...explain.Block) string {
	t.Helper()
	var out strings.Builder
	if err := text.Render(&out, &explain.Document{Blocks: blocks}, text.Options{}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Back waist 43 cm, drafted for 41: 2 cm longer. Pinned 1.5 cm longer on the toile, it is settled.
func TestWhatWasPinnedIsNotAlteredAgain(t *testing.T) {
	tr := trial{pattern: chart("drafted_for: {back_waist_length: 41 cm}", "sizes: [M]", "body: {hip: [100]}", "finished: {hip: [108]}"),
		recipe: garment("parts: [bodice]"), body: wren("hip: 100", "back_waist_length: 43")}
	is(t, "alterations", len(tr.advise(t).Alterations), 1)
	q := sewn(t, tr, "M", "back_waist_length: lengthen 1.5 cm")
	a := answer(t, q)
	is(t, "alterations after the toile", len(a.Alterations), 0)
	is(t, "what was seen", a.Observed[0].Change, 1.5)
}
