package engine

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Three makes that felt right, by the textbook rule for a normal mean with known noise: precisions add up. The wish begins
// at 12 with spread 2, each feel is as sharp as 2. After 10, 9 and 11: the precision is 1/4 + 3/4 = 1, the mean
// (12 + 10 + 9 + 11) / 4 = 10.5, the spread 1.
func TestThreeMakesByHand(t *testing.T) {
	got := belief{12, 2}.after(evidence{right: []float64{10, 9, 11}, noise: 2})
	if math.Abs(got.mean-10.5) > 1e-12 || math.Abs(got.spread-1) > 1e-12 {
		t.Errorf("got %v", got)
	}
}

// One garment that felt roomy at the middle itself. Of a normal wish cut by one soft bound the mean has a closed form:
// m - s²/√(s²+n²) · N(z)/P(z) with z = (e-m)/√(s²+n²). At e = m = 12, s = n = 2: z = 0, N(0)/P(0) = 0.797885, so the mean
// is 12 - 4/2.828427 · 0.797885 = 12 - 1.128379 = 10.871621; its variance is s² - (s²/√(s²+n²))² · 0.797885² = 4 - 1.273240
// = 2.726760, the spread 1.651290.
func TestOneBoundByHand(t *testing.T) {
	got := belief{12, 2}.after(evidence{roomy: []float64{12}, noise: 2})
	if math.Abs(got.mean-10.871621) > 1e-6 || math.Abs(got.spread-1.651290) > 1e-6 {
		t.Errorf("got %v", got)
	}
	tight := belief{12, 2}.after(evidence{tight: []float64{12}, noise: 2})
	if math.Abs(tight.mean+got.mean-24) > 1e-9 || math.Abs(tight.spread-got.spread) > 1e-9 {
		t.Errorf("tight and roomy are not each other's image: %v, %v", tight, got)
	}
}

func eases(t *rapid.T, name string, least int) []float64 {
	return rapid.SliceOfN(rapid.Float64Range(-5, 30), least, 6).Draw(t, name)
}

func evidenceOf(t *rapid.T) (belief, evidence) {
	return belief{rapid.Float64Range(0, 25).Draw(t, "mean"), rapid.Float64Range(0.3, 8).Draw(t, "spread")},
		evidence{eases(t, "right", 0), eases(t, "tight", 0), eases(t, "roomy", 0), rapid.Float64Range(0.5, 4).Draw(t, "noise")}
}

// Against a library's own normal distribution and its Gauss-Legendre rule, in pieces over the whole line: within 0.01 cm.
// The library's distribution function has no figures beyond 37 deviations, where nothing of the density is left.
func TestBoundsAgainstALibrary(t *testing.T) {
	const piece, reach, figures = 0.25, 60, 37
	below := func(z float64) float64 {
		if z < -figures {
			return math.Inf(-1)
		}
		return math.Log(distuv.UnitNormal.CDF(z))
	}
	rapid.Check(t, func(t *rapid.T) {
		b, e := evidenceOf(t)
		e.noise = max(e.noise, 1)
		prior := distuv.Normal{Mu: b.mean, Sigma: b.spread}
		log := func(w float64) float64 {
			sum := prior.LogProb(w)
			for _, v := range e.right {
				sum += distuv.Normal{Mu: w, Sigma: e.noise}.LogProb(v)
			}
			for _, v := range e.tight {
				sum += below((w - v) / e.noise)
			}
			for _, v := range e.roomy {
				sum += below((v - w) / e.noise)
			}
			return sum
		}
		top := math.Inf(-1)
		for w := b.mean - reach; w < b.mean+reach; w += piece {
			top = max(top, log(w))
		}
		moment := func(f func(float64) float64) float64 {
			sum := 0.0
			for w := b.mean - reach; w < b.mean+reach; w += piece {
				sum += quad.Fixed(func(w float64) float64 { return f(w) * math.Exp(log(w)-top) }, w, w+piece, 7, nil, 0)
			}
			return sum
		}
		mass := moment(func(float64) float64 { return 1 })
		mean := moment(func(w float64) float64 { return w }) / mass
		spread := math.Sqrt(moment(func(w float64) float64 { return (w - mean) * (w - mean) }) / mass)
		if got := b.after(e); !(math.Abs(mean-got.mean) <= 0.01) || !(math.Abs(spread-got.spread) <= 0.01) {
			t.Errorf("%v with %v: got %v, the library %v give or take %v", b, e, got, mean, spread)
		}
	})
}

func TestOrderOfMakesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, e := evidenceOf(t)
		shuffled := evidence{rapid.Permutation(e.right).Draw(t, "r"), rapid.Permutation(e.tight).Draw(t, "t"), rapid.Permutation(e.roomy).Draw(t, "o"), e.noise}
		before := slices.Clone(shuffled.tight)
		if got, want := b.after(shuffled), b.after(e); got != want {
			t.Errorf("got %v, want %v", got, want)
		}
		if !slices.Equal(before, shuffled.tight) {
			t.Error("the evidence was changed")
		}
	})
}

// A garment that felt tight never lowers the wish, one that felt roomy never raises it. A wish is never less sure than
// before anything was made.
func TestBoundsPullTheirWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, e := evidenceOf(t)
		before := b.after(e)
		more := e
		more.tight = append(slices.Clone(e.tight), rapid.Float64Range(-200, 200).Draw(t, "ease"))
		if after := b.after(more); !(after.mean >= before.mean-1e-6) || !(after.spread <= b.spread+1e-6) {
			t.Errorf("from %v to %v", before, after)
		}
		more = e
		more.roomy = append(slices.Clone(e.roomy), rapid.Float64Range(-200, 200).Draw(t, "ease"))
		if after := b.after(more); !(after.mean <= before.mean+1e-6) || !(after.spread <= b.spread+1e-6) {
			t.Errorf("from %v to %v", before, after)
		}
	})
}
