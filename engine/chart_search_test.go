package engine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitadvisor/engine/quantity"
)

// drawnAtRandom is a search for sizes of a bust that decides and a hip that is mended, among 60 bodies.
func drawnAtRandom(chance *rand.Rand, cm float64) *design {
	d := &design{DesignRequest: DesignRequest{Recipe: &Recipe{Grading: Grading{Sensible: true}}, Vocabulary: &Vocabulary{}, From: quantity.FromCm(84), To: quantity.FromCm(96), Units: quantity.Cm},
		zones: []*Zone{{Role: Decides, Ease: &EaseRange{Low: 5 * cm, High: 9 * cm, HasLow: true, HasHigh: true}}, {Role: Mended, Ease: &EaseRange{Low: 5 * cm, High: 10 * cm, HasLow: true, HasHigh: true}}},
		ease:  []float64{7 * cm, 7 * cm}, known: map[[3]int]DesignShares{}}
	d.Vocabulary.Limits.ChartStepCm, d.Vocabulary.Limits.MadeStepCm = quantity.Centimetre, quantity.Centimetre/2
	for range 60 {
		bust := (84 + 12*chance.Float64()) * cm
		one := served{[]float64{bust, bust + (6+8*chance.Float64())*cm}, float64(1 + chance.IntN(3))}
		d.people, d.all = append(d.people, one), d.all+one.weight
	}
	slices.SortFunc(d.people, func(a, b served) int { return int(math.Copysign(1, a.at[0]-b.at[0])) })
	for v := 84.0; v <= 96; v++ {
		d.grid = append(d.grid, v*cm)
	}
	for z := range d.zones {
		d.follow = append(d.follow, d.regress(z))
	}
	d.tryOn()
	return d
}

// The search finds what trying every set finds.
func TestSearchTriesAll(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 5))
	for range 20 {
		d := drawnAtRandom(chance, nanometresPerCm)
		found := d.search(4)
		for n := 1; n <= 4; n++ {
			best := 0.0
			tryAll(len(d.grid), n, func(set []int) { best = max(best, d.shares(set).worth()) })
			if got := d.shares(found[n]).worth(); math.Abs(got-best) > 1e-5 {
				t.Errorf("%d sizes: found %v, which serve %v; the best of all serve %v", n, found[n], got, best)
			}
			if even := d.shares(d.even(n)); even.worth() > best+1e-5 {
				t.Errorf("%d even sizes serve more: %v", n, even)
			}
		}
	}
}

// tryAll tries each set of n of the first numbers.
func tryAll(of, n int, try func([]int)) {
	set := make([]int, n)
	var fill func(i, from int)
	fill = func(i, from int) {
		if i == n {
			try(set)
			return
		}
		for k := from; k < of; k++ {
			set[i] = k
			fill(i+1, k+1)
		}
	}
	fill(0, 0)
}
