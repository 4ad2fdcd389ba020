package engine_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// world is a drawn pattern, recipe, cloth and body. Lengths are whole eighths
// of an inch, so that both units hold them exactly.
type world struct {
	sizes           []string
	rows            []string // measurements, as the chart lists them
	chart, finished map[string][]quantity.Length
	body            map[string]quantity.Length
	zones           []string // lines of the recipe
	recipe          []string // the other lines
	cloth           []string
	wish            string
}

const eighth = quantity.Inch / 8

// drawWorld draws a world; with gaps, cells of the finished rows may be
// lacking.
func drawWorld(t *rapid.T, gaps bool) *world {
	w := &world{rows: []string{"bust", "waist", "hip"}, chart: map[string][]quantity.Length{}, finished: map[string][]quantity.Length{}, body: map[string]quantity.Length{}}
	n := rapid.IntRange(1, 7).Draw(t, "sizes")
	for s := range n {
		w.sizes = append(w.sizes, fmt.Sprint(2*s+8))
	}
	larger := rapid.IntRange(0, 110).Draw(t, "larger all over")
	steps := rapid.SliceOfN(rapid.IntRange(0, 20), n, n)
	first := map[string]int{"bust": 240, "waist": 190, "hip": 264}
	for _, m := range w.rows {
		at, ease := first[m]+rapid.IntRange(0, 40).Draw(t, m+" of the smallest"), rapid.IntRange(4, 60).Draw(t, m+" drawn ease")
		for s, step := range steps.Draw(t, m+" steps") {
			at += step
			ease += rapid.IntRange(0, 2).Draw(t, m+" drift")
			made := quantity.Length(at+ease) * eighth
			if gaps && rapid.IntRange(0, 5).Draw(t, fmt.Sprint(m, " gap ", s)) == 0 {
				made = 0
			}
			w.chart[m], w.finished[m] = append(w.chart[m], quantity.Length(at)*eighth), append(w.finished[m], made)
		}
		w.body[m] = quantity.Length(first[m]+larger+rapid.IntRange(0, 30).Draw(t, m+" of the body")) * eighth
	}
	role := rapid.SampledFrom([]string{"decides", "mended"})
	w.zones = []string{
		"  hip: {role: decides, ease: " + drawEase(t, "hip") + "}",
		"  bust: {role: " + role.Draw(t, "role of the bust") + ", ease: " + drawEase(t, "bust") + "}",
		"  waist: {role: " + role.Draw(t, "role of the waist") + ", ease: " + drawEase(t, "waist") + "}",
	}
	w.recipe = []string{
		"between_sizes: " + rapid.SampledFrom([]string{"larger", "smaller"}).Draw(t, "between sizes"),
		"stretch: " + rapid.SampledFrom([]string{"none", "comfort", "{needed: 30 %}"}).Draw(t, "stretch"),
		"grading: {sensible: " + rapid.SampledFrom([]string{"true", "false"}).Draw(t, "grading") + ", because: drawn}",
		"size_moves: {down: 1, up: 1}",
	}
	if rapid.Bool().Draw(t, "a cloth") {
		w.cloth = []string{"structure: " + rapid.SampledFrom([]string{"woven", "knit"}).Draw(t, "structure"),
			fmt.Sprintf("stretch: {across: %d %%, along: 5 %%}", rapid.IntRange(0, 60).Draw(t, "across"))}
	}
	w.wish = rapid.SampledFrom([]string{"drawn", "closer", "roomier", "expected", "hip=5 cm", "waist=drawn+2cm", "bust=drawn-5%"}).Draw(t, "wish")
	return w
}

func drawEase(t *rapid.T, zone string) string {
	low := rapid.IntRange(0, 30).Draw(t, zone+" low")
	high := low + rapid.IntRange(1, 40).Draw(t, zone+" width")
	return fmt.Sprintf("%v in .. %v in", float64(low)/8, float64(high)/8)
}

// trial writes the world's files in a unit.
func (w *world) trial(u quantity.Unit) trial {
	bare := func(l quantity.Length) string {
		if l == 0 {
			return "~"
		}
		return strings.TrimSuffix(l.Exact(u), " "+string(u))
	}
	rows := func(of map[string][]quantity.Length) string {
		var b strings.Builder
		for _, m := range w.rows {
			cells := make([]string, len(of[m]))
			for i, l := range of[m] {
				cells[i] = bare(l)
			}
			fmt.Fprintf(&b, "\n  %s: [%s]", m, strings.Join(cells, ", "))
		}
		return b.String()
	}
	var body []string
	for _, m := range w.rows {
		body = append(body, m+": "+bare(w.body[m]))
	}
	tr := trial{
		pattern: chart("units: "+string(u), "sizes: ["+strings.Join(w.sizes, ", ")+"]", "body:"+rows(w.chart), "finished:"+rows(w.finished)),
		recipe:  garment(append(slices.Clone(w.recipe), "zones:\n"+strings.Join(w.zones, "\n"))...),
		body:    strings.Replace(wren(body...), "units: cm", "units: "+string(u), 1),
		wishes:  []string{w.wish},
	}
	if w.cloth != nil {
		tr.cloth = fabric(w.cloth...)
	}
	return tr
}

// shuffle lists sizes, rows and zones in another order.
func (w *world) shuffle(t *rapid.T) *world {
	out := *w
	order := rapid.Permutation(indexes(len(w.sizes))).Draw(t, "order of sizes")
	out.sizes = pick(w.sizes, order)
	out.chart, out.finished = map[string][]quantity.Length{}, map[string][]quantity.Length{}
	for _, m := range w.rows {
		out.chart[m], out.finished[m] = pick(w.chart[m], order), pick(w.finished[m], order)
	}
	out.rows = rapid.Permutation(w.rows).Draw(t, "order of rows")
	out.zones = rapid.Permutation(w.zones).Draw(t, "order of zones")
	return &out
}

func indexes(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func pick[T any](from []T, order []int) []T {
	out := make([]T, len(order))
	for i, k := range order {
		out[i] = from[k]
	}
	return out
}

// check runs a property on at most 100 worlds.
func check(t *testing.T, property func(t *rapid.T, tb testing.TB)) {
	t.Helper()
	rapid.Check(t, func(rt *rapid.T) { property(rt, t) })
}

// without leaves out the explanation, which names places in files.
func without(t testing.TB, a *engine.Answer) string {
	t.Helper()
	short := *a
	short.Why = nil
	return asJSON(t, short)
}

func TestUnitsOfTheFilesChangeNothing(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		w := drawWorld(rt, true)
		inCm, inIn := w.trial(quantity.Cm).advise(t), w.trial(quantity.In).advise(t)
		if a, b := without(t, inCm), without(t, inIn); a != b {
			rt.Fatalf("in centimetres\n%s\nin inches\n%s", a, b)
		}
	})
}

var places = regexp.MustCompile(`yaml:\d+(:\d+)?`)

// withoutPlaces is the whole answer, save where in its files a claim is from.
func withoutPlaces(t testing.TB, a *engine.Answer) string {
	t.Helper()
	a.Why.Walk(func(n *explain.Node) { n.Source = places.ReplaceAllString(n.Source, "yaml") })
	return asJSON(t, a)
}

func TestOrderInTheFilesChangesNothing(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		w := drawWorld(rt, true)
		one, other := w.trial(quantity.Cm).request(t), w.shuffle(rt).trial(quantity.Cm).request(t)
		other.Rules = rapid.Permutation(other.Rules).Draw(rt, "order of rules")
		if a, b := withoutPlaces(t, answer(t, one)), withoutPlaces(t, answer(t, other)); a != b {
			rt.Fatalf("in order\n%s\nshuffled\n%s", a, b)
		}
	})
}

func TestLargerBodyNeverGetsASmallerSize(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		w := drawWorld(rt, false)
		w.wish = "drawn"
		before := w.trial(quantity.Cm).advise(t)
		w.body["hip"] += quantity.Length(rapid.IntRange(1, 60).Draw(rt, "more hip")) * eighth
		after := w.trial(quantity.Cm).advise(t)
		if before.Recommended == nil || after.Recommended == nil {
			return
		}
		order := before.Shown.Sizes
		if slices.Index(order, best(after)) < slices.Index(order, best(before)) {
			rt.Fatalf("size %s for the smaller, %s for the larger", best(before), best(after))
		}
	})
}

func TestPointsAddUpAndRuledOutSizesComeLast(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		a := drawWorld(rt, true).trial(quantity.Cm).advise(t)
		class := func(s engine.SizeAnswer) int {
			switch {
			case s.Misfit == nil:
				return 2
			case s.RuledOut:
				return 1
			}
			return 0
		}
		for i, s := range a.Sizes {
			sum := 0.0
			for _, z := range s.Zones {
				sum += z.Points
			}
			if s.Misfit != nil && sum != *s.Misfit {
				rt.Fatalf("size %s: points add up to %v, misfit %v", s.Size, sum, *s.Misfit)
			}
			if i == 0 {
				continue
			}
			switch p := a.Sizes[i-1]; {
			case class(p) > class(s):
				rt.Fatalf("size %s ranks before %s: %s", p.Size, s.Size, ranked(a))
			case class(p) == class(s) && s.Misfit != nil && *p.Misfit > *s.Misfit+1e-9:
				rt.Fatalf("size %s with %v ranks before %s with %v", p.Size, *p.Misfit, s.Size, *s.Misfit)
			}
		}
		if a.Recommended != nil && (a.Sizes[0].Size != a.Recommended.Size || a.Sizes[0].RuledOut) {
			rt.Fatalf("recommended %s of %s", a.Recommended.Size, ranked(a))
		}
	})
}

func TestRankAgreesWithAdvise(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		q := drawWorld(rt, true).trial(quantity.Cm).request(t)
		f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
		if err != nil {
			rt.Fatal(err)
		}
		r, err := f.Rank(q.Fitting)
		if err != nil {
			rt.Fatal(err)
		}
		a := answer(t, q)
		if a.Recommended == nil {
			if r.Best != "" {
				rt.Fatalf("Rank: %s, Advise: none", r.Best)
			}
			return
		}
		if r.Best != a.Recommended.Size || !slices.Equal(r.Cautions, a.Sizes[0].Cautions) {
			rt.Fatalf("Rank: %s %v, Advise: %s %v", r.Best, r.Cautions, a.Recommended.Size, a.Sizes[0].Cautions)
		}
		for _, p := range r.ByMisfit {
			if s := sizeOf(t, a, p.Size); s.Misfit != nil && *s.Misfit != p.Misfit {
				rt.Fatalf("size %s: Rank %v, Advise %v", p.Size, p.Misfit, *s.Misfit)
			}
		}
	})
}

func TestTraceChangesNothingButTheExplanation(t *testing.T) {
	check(t, func(rt *rapid.T, t testing.TB) {
		tr := drawWorld(rt, true).trial(quantity.Cm)
		fast := tr.advise(t)
		tr.trace = true
		traced := tr.advise(t)
		if a, b := without(t, fast), without(t, traced); a != b {
			rt.Fatalf("fast\n%s\ntraced\n%s", a, b)
		}
	})
}
