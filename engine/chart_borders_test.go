package engine_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/recipes"
)

// The borders that a published table prints are those of the answers: at one the
// larger size is cut, and one step below the smaller.
func TestPublishedBordersAreThoseOfTheAnswers(t *testing.T) {
	for _, c := range []struct{ name, pattern, recipe, by, other string }{
		{"drawn close", chart("sizes: [1, 2, 3]", "body: {hip: [92, 96, 100]}", "finished: {hip: [99, 103, 107]}"), garment(), "hip", ""},
		{"a chart alone", chart("sizes: [1, 2, 3]", "body: {hip: [92, 96, 101]}"), garment(), "hip", ""},
		{"in inches", astmSheath, "sheath-dress", "bust", "upper_bust"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := trial{pattern: c.pattern, recipe: c.recipe, body: wren(c.by + ": 96")}
			q := tr.request(t)
			a, err := engine.Inspect(q)
			if err != nil {
				t.Fatal(err)
			}
			borders := a.Shown.Borders()
			if len(borders) == 0 {
				t.Fatal("no borders")
			}
			is(t, "by upper bust", a.Shown.ByUpperBust, c.other != "")
			for _, b := range borders {
				for _, at := range []struct {
					l    quantity.Length
					want string
				}{{b.Cm, b.To}, {b.Cm - quantity.Millimetre, b.From}, {b.In, b.To}, {b.In - quantity.Inch/8, b.From}} {
					// Upper bust, waist and hip lie between the two sizes too, in proportion.
					q.Body.Measurements = between(q.Pattern, b, c.by, at.l)
					is(t, at.l.Format(quantity.Cm)+" between "+b.From+" and "+b.To, best(answer(t, q)), at.want)
				}
			}
		})
	}
}

// between is the body of which one measurement is this, and the others as far on the
// way from one size of the chart to the next.
func between(p *engine.Pattern, b engine.Border, by string, l quantity.Length) map[string]engine.Measurement {
	place := func(size string) int {
		for i, s := range p.Sizes {
			if s == size {
				return i
			}
		}
		return -1
	}
	from, to := place(b.From), place(b.To)
	share := float64(l-p.Chart[by][from].Low) / float64(p.Chart[by][to].Low-p.Chart[by][from].Low)
	out := map[string]engine.Measurement{}
	for name, row := range p.Chart {
		low, high := row[from].Low, row[to].Low
		out[name] = engine.Measurement{Readings: []engine.Reading{{Length: low + quantity.Length(share*float64(high-low))}}}
	}
	out[by] = engine.Measurement{Readings: []engine.Reading{{Length: l}}}
	return out
}

// Of everybody measured in two surveys whose hip lies on the chart, the booklet's table names the size that the answer does: the table
// is asked with the hip in whole millimetres, as it is printed.
func TestBookletAgreesWithAnswersOverRealBodies(t *testing.T) {
	bodies := bodiesOrSkip(t)
	recipe, err := recipes.Shipped("straight-skirt", vocabulary(t))
	if err != nil {
		t.Fatal(err)
	}
	tr := trial{pattern: chart("recipe: straight-skirt", "sizes: [34, 36, 38, 40, 42, 44, 46]", "body: {hip: [86, 90, 94, 98, 102, 107, 112]}", "finished: {hip: [93, 97, 101, 105, 109, 115, 120]}"), recipe: garment(), body: wren("hip: 96")}
	q := tr.request(t)
	q.Recipe = recipe
	a, err := engine.Inspect(q)
	if err != nil {
		t.Fatal(err)
	}
	f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		t.Fatal(err)
	}
	asked := map[quantity.Length]bool{}
	looked := 0
	for _, b := range bodies {
		cm, ok := b.Cm("hip")
		hip := quantity.FromCm(math.Round(cm*10) / 10)
		if !ok || hip < 86*quantity.Centimetre || hip > 112*quantity.Centimetre {
			continue
		}
		if looked++; asked[hip] {
			continue
		}
		asked[hip] = true
		want := q.Pattern.Sizes[0]
		for _, border := range a.Shown.Borders() {
			if hip >= border.Cm {
				want = border.To
			}
		}
		q.Body = &engine.Body{Name: "one", Units: quantity.Cm, Measurements: map[string]engine.Measurement{"hip": {Readings: []engine.Reading{{Length: hip}}}}}
		if got, err := f.Brief(q); err != nil || got.Size != want {
			t.Errorf("hip %s: %s in the answer, %s in the booklet (%v)", hip.Format(quantity.Cm), got.Size, want, err)
		}
	}
	if t.Logf("%d bodies, %d hips", looked, len(asked)); looked < 5000 {
		t.Error("too few")
	}
}

// Drawn 7 cm where 4 to 12 are expected, 3 below cost a point and 5 above. Of 92 and
// 96 the smaller costs ((x - 92) / 3)^2 at x and the larger ((96 - x) / 5)^2, as much
// at 93.5, where the larger is taken. In eighths the first after it is 36 7/8 in = 93.66.
func TestPublishedBorderIsNotHalfWay(t *testing.T) {
	tr := trial{pattern: chart("sizes: [1, 2]", "body: {hip: [92, 96]}", "finished: {hip: [99, 103]}"), recipe: garment(), body: wren("hip: 93.5")}
	a, err := engine.Inspect(tr.request(t))
	if err != nil {
		t.Fatal(err)
	}
	is(t, "at 93.5", best(tr.advise(t)), "2")
	b := a.Shown.Borders()
	is(t, "borders", len(b), 1)
	is(t, "in centimetres", b[0].Cm.Format(quantity.Cm), "93.5 cm")
	is(t, "in inches", b[0].In.Format(quantity.In), "36 7/8 in")
}

// A woven garment 2 cm smaller than the body it is drawn for: neither size is cut for its own body.
func TestNoBorderWhereASizeIsNotForItsOwnBody(t *testing.T) {
	tr := trial{pattern: chart("sizes: [1, 2]", "body: {hip: [92, 96]}", "finished: {hip: [90, 94]}"), recipe: garment(), body: wren("hip: 93")}
	a, err := engine.Inspect(tr.request(t))
	if err != nil {
		t.Fatal(err)
	}
	is(t, "borders", len(a.Shown.Borders()), 0)
}

var sumWithoutUnit = regexp.MustCompile(`^(abs\()?(zone\.(body|finished|washed|ease_cm)|body\.\w+|finished\.\w+|chart\.\w+) [-+] [\w. ()]+: -?[0-9.]+$`)

// A length that is reckoned in a condition has the reader's unit in the explanation.
func TestSumsInExplanationsHaveTheirUnit(t *testing.T) {
	sums := 0
	for _, unit := range []quantity.Unit{quantity.In, quantity.Cm} {
		for name, requests := range exampleRequests(t, unit) {
			for _, q := range requests {
				q.Trace = true
				a := answer(t, q)
				var walk func(n *explain.Node)
				walk = func(n *explain.Node) {
					if _, digits, ok := strings.Cut(n.Label, ": "); ok && strings.Contains(n.Label, "zone.body + ") && strings.HasSuffix(digits, string(unit)) {
						sums++
					}
					if sumWithoutUnit.MatchString(n.Label) && !strings.Contains(n.Label, "slope") { // an angle
						t.Errorf("%s: %s", name, n.Label)
					}
					for _, k := range n.Children {
						walk(k)
					}
				}
				walk(a.Why)
			}
		}
	}
	if sums == 0 {
		t.Error("no sum was read")
	}
}
