package engine_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/recipes"
)

// kept is the file of a kept garment in centimetres.
func kept(lines ...string) string {
	lines = strings.Split(strings.Join(lines, "\n"), "\n")
	return withDefaults(lines, "kind: garment", "name: Sunday dress", "recipe: trial", "units: cm", "cloth: {structure: woven}")
}

// liking asks with kept garments.
func (tr trial) liking(t testing.TB, garments ...string) engine.Request {
	t.Helper()
	q := tr.request(t)
	for i, text := range garments {
		g, _ := recipes.ReadGarment(open(t, fmt.Sprintf("garment%d.yaml", i), text), q.Vocabulary, nil)
		if _, err := (recipes.Library{}).TypeOf(g, q.Recipe, q.Vocabulary); err != nil {
			t.Fatal(err)
		}
		q.Kept = append(q.Kept, g)
	}
	return q
}

// dress is drawn with 10 cm at the hip, on a chart with steps of 4 cm.
func dress(wishes ...string) trial {
	return trial{
		pattern: chart("sizes: [36, 38, 40, 42]", "body: {hip: [92, 96, 100, 104]}", "finished: {hip: [102, 106, 110, 114]}"),
		recipe:  garment("zones: {hip: {role: decides, ease: 5 cm .. 12 cm}}", "size_moves: {down: 1, up: 1}"),
		body:    wren("hip: 100"), wishes: wishes}
}

const (
	five = "measurements: {hip: {flat: 52.5}}\nfeels: {hip: right}" // 105 - 100
	six  = "name: Market dress\nmeasurements: {hip: 106}\nfeels: {hip: right}"
	knit = "name: Jersey dress\ncloth: {structure: knit, stretch: {across: 30 %}}\nmeasurements: {hip: 96}\nfeels: {hip: right}"
)

// As drawn, 110 - 100 = 10 cm are wanted, which size 40 has. Liked are (5 + 6) / 2 =
// 5.5 cm. 38 has 106 - 100 = 6: of the 7 cm of the range the tolerance above 5.5 is
// three quarters, 5.25, so 0.5 cm cost (0.5 / 5.25)^2 = 0.00907; in 40, 4.5 cm cost 0.73469.
func TestLikedMovesOneSizeDown(t *testing.T) {
	is(t, "as drawn", best(dress().advise(t)), "40")
	for _, wishes := range [][]string{nil, {"liked"}, {"hip=liked"}} {
		a := answer(t, dress(wishes...).liking(t, kept(five), kept(six)))
		is(t, "size", best(a), "38")
		z := zoneOf(t, a, "38", "hip")
		near(t, "liked", z.Liked, 5.5)
		near(t, "wanted", z.Wanted, 5.5)
		points(t, a, "38", "hip", 0.5*0.5/5.25/5.25)
		points(t, a, "40", "hip", 4.5*4.5/5.25/5.25)
		if want := "as you like it in Market dress and Sunday dress"; !strings.Contains(a.Recommended.Because, want) {
			t.Errorf("%q does not say %q", a.Recommended.Because, want)
		}
	}
	is(t, "wish", answer(t, dress().liking(t, kept(five))).Wish, "hip=liked")
	near(t, "a change", zoneOf(t, answer(t, dress("hip=liked+1cm").liking(t, kept(five))), "38", "hip").Wanted, 6)
	// A wish for one zone leaves the others to the garments.
	two := dress("waist=drawn")
	two.recipe = garment("zones: {hip: {role: decides, ease: 5 cm .. 12 cm}, waist: {role: mended, ease: 1 cm .. 3 cm}}")
	is(t, "wish", answer(t, two.liking(t, kept(five))).Wish, "waist=drawn, hip=liked")
	// Shown, and not gone by, with a wish of another kind.
	a := answer(t, dress("drawn").liking(t, kept(five), kept(six)))
	is(t, "another wish", best(a), "40")
	near(t, "liked", zoneOf(t, a, "40", "hip").Liked, 5.5)
	// With steps of 2 cm, the size with 106 - 100 = 6 cm lies two below the chart's 100: one more than the style holds for.
	tr := dress()
	tr.pattern = chart("sizes: [36, 37, 38]", "body: {hip: [96, 98, 100]}", "finished: {hip: [106, 108, 110]}")
	a = answer(t, tr.liking(t, kept(six)))
	is(t, "two sizes down", best(a), "36")
	caution(t, a, "beyond-size-moves")
}

// A garment that is not alike is shown, says why it does not count, and moves nothing.
func TestWhatDoesNotCount(t *testing.T) {
	for _, c := range []struct{ name, garment, why string }{
		{"a knit", kept(knit), "a knit says little about a woven"},
		{"another stretch", kept(five, "cloth: {structure: woven, stretch: {across: 14 %}}"), "its cloth stretches 14 %, this one 3 %"}, // 11 apart
		{"another type", kept(five, "recipe: straight-skirt"), "a straight skirt says little about a trial garment"},
		{"another's body", kept(five, "worn_by: {name: Teal}"), "it was worn by Teal, whose hip is not given"},
		{"another's body, other levels", kept(five, "worn_by: {name: Teal, measurements: {waist: 70}}"), "it was worn by Teal, whose hip is not given"},
		{"not measured", kept("measurements: {waist: 70 cm}", "feels: {hip: right}"), "it was not measured there"},
		{"not rated", kept("measurements: {hip: 105}"), "how it feels there is not said"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := dress("liked")
			tr.cloth = fabric("stretch: {across: 3 %}")
			a := answer(t, tr.liking(t, c.garment))
			is(t, "size", best(a), "40")
			is(t, "answers", len(a.Liked), 1)
			is(t, "counts", a.Liked[0].Counts, false)
			is(t, "why", a.Liked[0].Because, c.why)
			is(t, "liked is absent", zoneOf(t, a, "40", "hip").Liked == nil, true)
			if !slices.ContainsFunc(a.Assumptions, func(s engine.Assumption) bool { return s.What == "the ease wanted at the hip is as drawn" }) {
				t.Errorf("not said what is wanted instead: %v", a.Assumptions)
			}
			is(t, "wish where none is named", answer(t, dress().liking(t, c.garment)).Wish != "liked", true)
		})
	}
	a := answer(t, dress().liking(t, kept("measurements: {waist: 80, hem: 120}")))
	is(t, "no level of this type", a.Liked[0].Because, "it was measured at no level that a trial garment is judged at")
}

func TestWhatCounts(t *testing.T) {
	for _, c := range []struct {
		name    string
		garment string
		liked   float64
	}{
		{"the limit of like stretch", kept(five, "cloth: {structure: woven, stretch: {across: 13 %}}"), 5}, // 10 apart
		{"across the grain", kept(five, "cloth: {structure: woven, grain: crosswise, stretch: {across: 40 %, along: 3 %}}"), 5},
		{"by the nearest type", kept(five, "recipe: ~", "like: trial"), 5},
		{"over another's body that is given", kept(five, "worn_by: {name: Teal, measurements: {hip: [98, 98.2]}}"), 6.9}, // 105 - 98.1
		{"in any letters", kept(five, "worn_by: {name: ' wren'}"), 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := dress("liked")
			tr.cloth = fabric("stretch: {across: 3 %}")
			near(t, "liked", zoneOf(t, answer(t, tr.liking(t, c.garment)), "40", "hip").Liked, c.liked)
		})
	}
	// One that is based on the other, or of one family.
	for _, c := range []struct {
		name, recipe, type_ string
		counts              bool
	}{
		{"one family", "sheath-dress", "princess-dress", true},
		{"none", "sheath-dress", "straight-skirt", false},
	} {
		tr := trial{pattern: chart("sizes: [S]", "body: {bust: [88]}", "finished: {bust: [96], hip: [104]}"), recipe: c.recipe, body: wren("bust: 88", "hip: 96")}
		a := answer(t, tr.liking(t, kept("recipe: "+c.type_, "measurements: {hip: 102}", "feels: {hip: right}")))
		is(t, c.name, a.Liked[0].Counts, c.counts)
	}
}

// Tight holds what is wanted above, roomy below; with bounds alone the drawn ease,
// 10 cm, is moved to them.
func TestTightAndRoomyAreBounds(t *testing.T) {
	at := func(name string, hip int, feel string) string {
		return kept("name: "+name, fmt.Sprintf("measurements: {hip: %d}", hip), "feels: {hip: "+feel+"}")
	}
	for _, c := range []struct {
		name     string
		garments []string
		want     float64
	}{
		{"roomy below drawn", []string{at("A", 108, "roomy")}, 8},
		{"roomy above drawn", []string{at("A", 112, "roomy")}, 10},
		{"tight above drawn", []string{at("A", 111, "tight")}, 11},
		{"tight below drawn", []string{at("A", 104, "tight")}, 10},
		{"the nearest of several", []string{at("A", 108, "roomy"), at("B", 107, "roomy"), at("C", 103, "tight")}, 7},
		{"right between", []string{at("A", 106, "right"), at("B", 104, "tight"), at("C", 109, "roomy")}, 6},
		{"right below what is tight", []string{at("A", 104, "right"), at("B", 105, "tight")}, 5},
		{"bounds that meet", []string{at("A", 106, "right"), at("B", 107, "tight"), at("C", 107, "roomy")}, 7},
		{"bounds that contradict each other", []string{at("A", 106, "right"), at("B", 107, "tight"), at("C", 105, "roomy")}, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			near(t, "wanted", zoneOf(t, answer(t, dress("liked").liking(t, c.garments...)), "40", "hip").Wanted, c.want)
		})
	}
}

// In a knit a share of the body is liked: (96 - 100) / 100 = -4 %, of a body of 110 -4.4 cm.
func TestLikedInKnits(t *testing.T) {
	tr := dress("liked")
	tr.body, tr.cloth = wren("hip: 110"), fabric("structure: knit", "stretch: {across: 35 %}")
	worn := "worn_by: {name: Wren, measurements: {hip: 100}}"
	a := answer(t, tr.liking(t, kept(knit, worn)))
	near(t, "liked", zoneOf(t, a, "42", "hip").Liked, -4.4)
	is(t, "unit", a.Liked[0].Unit, "percent")
	near(t, "ease", a.Liked[0].Ease, -4)
	tr.recipe = garment("zones: {hip: {role: decides, ease: -10 % .. 2 %}}", "stretch: {needed: 30 %}")
	near(t, "in a percent zone", zoneOf(t, answer(t, tr.liking(t, kept(knit, worn))), "42", "hip").Liked, -4)
	// Where no cloth is named, more stretch than the recipe's least of 30 % is no matter; 15 % is too little.
	tr.cloth = ""
	is(t, "more", answer(t, tr.liking(t, kept(worn, strings.Replace(knit, "30", "80", 1)))).Liked[0].Counts, true)
	is(t, "less", answer(t, tr.liking(t, kept(worn, strings.Replace(knit, "30", "15", 1)))).Liked[0].Counts, false)
	is(t, "not said", answer(t, tr.liking(t, kept(worn, strings.Replace(knit, ", stretch: {across: 30 %}", "", 1)))).Liked[0].Counts, false)
}

// A garment is compared with the body of its day.
func TestTheBodyOfThatDay(t *testing.T) {
	body := "kind: body\nname: Wren\ntaken: 2026-11-02\nunits: cm\nmeasurements: {hip: 100}\nearlier:\n" +
		"  - {taken: 2026-03-01, measurements: {hip: 96}}\n  - {taken: 2026-06-01, measurements: {hip: 98, waist: 70}}\n"
	undated := wren("hip: 100")
	since := "kind: body\nname: Wren\ntaken: 2026-11-02\nunits: cm\nmeasurements: {hip: 100, waist: 70}\nsince: {hip: 2026-06-01}\nearlier:\n  - {taken: 2026-03-01, measurements: {hip: 96}}\n"
	for _, c := range []struct {
		name, body, worn string
		liked            float64 // 105 less the hip of that day
		assumed          string
	}{
		{"today", body, "2026-11-20", 5, ""},
		{"that very day", body, "2026-11-02", 5, ""},
		{"between", body, "2026-10-31", 7, ""},
		{"the first", body, "2026-05-31", 9, ""},
		{"before all", body, "2026-01-01", 9, "none was taken by 2026-01-01, when it was worn: the earliest after it is taken"},
		{"not said when", body, "", 5, "when it was worn is not said: the latest is taken"},
		{"not measured anew with the rest", since, "2026-10-31", 5, ""},
		{"a body without a day", undated, "2026-05-01", 5, "when it was taken is not said: it is taken to hold for 2026-05-01 too"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := dress("liked")
			tr.body = c.body
			worn := "worn_by: {name: Wren}"
			if c.worn != "" {
				worn = "worn_by: {name: Wren, taken: " + c.worn + "}"
			}
			a := answer(t, tr.liking(t, kept(five, worn)))
			near(t, "liked", zoneOf(t, a, "40", "hip").Liked, c.liked)
			said := ""
			for _, s := range a.Assumptions {
				if strings.HasPrefix(s.What, "Sunday dress") {
					said = s.Because
				}
			}
			is(t, "assumed", said, c.assumed)
		})
	}
	// A body that is changed to see what would happen has worn nothing.
	q := dress("liked").liking(t, kept(five))
	q, err := q.With(engine.Change{Key: "hip", Value: "104"})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "with another hip", zoneOf(t, answer(t, q), "40", "hip").Liked, 5)
}

// A girth measured flat is doubled, a length is not; each level is held against its own.
func TestFlatAndLow(t *testing.T) {
	tr := trial{pattern: chart("sizes: [S]", "body: {hip: [100], waist: [80], low_waist: [88], arm_length: [60]}", "finished: {hip: [106], waist: [82], low_waist: [90], arm_length: [61]}"),
		recipe: garment("zones: {hip: {role: decides, ease: 4 cm .. 12 cm}, waist: {role: mended, ease: 1 cm .. 4 cm}, low_waist: {role: mended, ease: 1 cm .. 4 cm}, arm_length: {role: mended, ease: 0 cm .. 3 cm}}"),
		body:   wren("hip: 100", "waist: 80", "low_waist: 88", "arm_length: 60")}
	a := answer(t, tr.liking(t, kept("measurements: {low_waist: {flat: 45.5}, arm_length: {flat: 61.5}}", "feels: {low_waist: right, arm_length: right}")))
	near(t, "low waist", zoneOf(t, a, "S", "low_waist").Liked, 3)     // 2 x 45.5 - 88
	near(t, "arm length", zoneOf(t, a, "S", "arm_length").Liked, 1.5) // 61.5 - 60
	is(t, "natural waist", zoneOf(t, a, "S", "waist").Liked == nil, true)
	is(t, "wish", a.Wish, "arm_length=liked, low_waist=liked")
}

// Why leads the liked ease back to the garment, the body and the feel.
func TestWhyLiked(t *testing.T) {
	a := answer(t, dress("liked").liking(t, kept(five, "worn_by: {name: Wren, measurements: {hip: 99}}"), kept(knit)))
	var got []string
	a.Why.Find("size/38/hip/liked").Walk(func(n *explain.Node) { got = append(got, n.Label+" ["+n.Source+"]") })
	want := []string{
		"liked: 6 cm, the mean of Sunday dress [method: liked ease]",
		"Jersey dress: hip 96 cm - body 100 cm = -4 cm of ease; it does not count: a knit says little about a woven [garment1.yaml:6:21]",
		"the hip it was worn over: 100 cm; when it was worn is not said: the latest is taken [body.yaml:4:21]",
		"you say that it feels right there [garment1.yaml:7:14]",
		"Sunday dress: hip 105 cm - body 99 cm = 6 cm of ease (52.5 cm flat, doubled) [garment0.yaml:6:21]",
		"the hip it was worn over: 99 cm [garment0.yaml:8:43]",
		"you say that it feels right there [garment0.yaml:7:14]",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestLikedNeedsGarments(t *testing.T) {
	var none *engine.LikedError
	if err := dress("hip=liked").fails(t); !errors.As(err, &none) || !strings.Contains(none.Hint(), "--like") {
		t.Errorf("got %v", err)
	}
}

// The order of garments changes nothing, one that is named twice counts once, and
// units change nothing.
func TestLikedProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(rt, "garments")
		var inCm, inInches []string
		for i := range n {
			hip := quantity.Length(rapid.IntRange(280, 400).Draw(rt, "hip")) * eighth
			body := quantity.Length(rapid.IntRange(280, 360).Draw(rt, "body")) * eighth
			lines := func(u quantity.Unit) string {
				return kept(fmt.Sprintf("name: Dress %d", i%3), "measurements: {hip: "+hip.Exact(u)+"}",
					"feels: {hip: "+[]string{"right", "tight", "roomy"}[hip%3]+"}", "worn_by: {name: Teal, measurements: {hip: "+body.Exact(u)+"}}")
			}
			inCm, inInches = append(inCm, lines(quantity.Cm)), append(inInches, lines(quantity.In))
		}
		q := dress().liking(t, inCm...)
		want := whole(t, q)
		q.Kept = append(rapid.Permutation(q.Kept).Draw(rt, "order"), q.Kept[0])
		if diff := cmp.Diff(want, whole(t, q)); diff != "" {
			rt.Errorf("another order: %s", diff)
		}
		a, b := answer(t, q), answer(t, dress().liking(t, inInches...))
		if diff := cmp.Diff(a.Sizes, b.Sizes); diff != "" {
			rt.Errorf("other units: %s", diff)
		}
	})
}

func whole(t testing.TB, q engine.Request) string {
	t.Helper()
	text, err := json.Marshal(answer(t, q))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Types of one family expect much the same ease: where both look at a zone, their
// ranges share half of the narrower one at least.
func TestFamiliesAreAlike(t *testing.T) {
	families := map[string][]*engine.Recipe{}
	for _, name := range recipes.Names() {
		r, err := recipes.Shipped(name, vocabulary(t))
		if err != nil {
			t.Fatal(err)
		}
		if r.Family != "" {
			families[r.Family] = append(families[r.Family], r)
		}
	}
	for family, all := range families {
		if len(all) == 1 {
			t.Errorf("%s alone is a %s", all[0].Name, family)
		}
		for _, a := range all {
			for _, b := range all {
				for i := range a.Zones {
					for k := range b.Zones {
						x, y := &a.Zones[i], &b.Zones[k]
						if x.Name != y.Name || x.Ease == nil || y.Ease == nil || !x.Ease.HasLow || !x.Ease.HasHigh || !y.Ease.HasLow || !y.Ease.HasHigh {
							continue
						}
						shared := min(x.Ease.High, y.Ease.High) - max(x.Ease.Low, y.Ease.Low)
						if narrower := min(x.Ease.High-x.Ease.Low, y.Ease.High-y.Ease.Low); x.Ease.Percent != y.Ease.Percent || shared < narrower/2 {
							t.Errorf("%s and %s differ at the %s", a.Name, b.Name, x.Name)
						}
					}
				}
			}
		}
	}
}
