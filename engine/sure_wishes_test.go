package engine

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// learningLimits are such as limits.csv has them; TestStatedShareOfWishes asks by the table itself.
var learningLimits = Limits{LearnReach: 1.85, LearnLeast: 0.2, LearnMost: 1, LearnStray: 0.04, LearnShare: 0.9, LearnSteps: 60, LearnBands: 5}

// Two wishes, at -1/2 and 1/2, one half-width, 1/2, and one garment that felt roomy with 1: with the first wish that is
// Φ((1 + 1/2 - 1/2) / 1/2) = Φ(2) = 0.977250 likely, with the second Φ(0) = 1/2; with 4 strays in 100 they weigh
// 0.96 x 0.977250 + 0.04/3 = 0.951493 and 0.493333, together 1.444827. A twentieth, 0.072241, is the part 0.075924 of the
// first, which reaches from -1 to 0: the low end is -0.924076. All but a twentieth is 1.372585, 0.421092 beyond the first,
// the part 0.853564 of the second: the high end.
func TestWishesByHand(t *testing.T) {
	l := Limits{LearnReach: 1, LearnLeast: 0.5, LearnMost: 0.5, LearnStray: 0.04, LearnShare: 0.9, LearnSteps: 2, LearnBands: 1}
	got := l.wishes([]rating{{1, Roomy}})
	if math.Abs(got.low+0.924076) > 1e-5 || math.Abs(got.high-0.853564) > 1e-5 {
		t.Errorf("got %v", got)
	}
}

// Before anything is made a wish lies anywhere within 1.85 halves of the middle: nine in ten within 0.9 x 1.85 = 1.665.
func TestWishesBeforeAnyMake(t *testing.T) {
	if got := learningLimits.wishes(nil); math.Abs(got.low+1.665) > 1e-9 || math.Abs(got.high-1.665) > 1e-9 {
		t.Errorf("got %v", got)
	}
}

func ratings(t *rapid.T) []rating {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) rating {
		return rating{rapid.Float64Range(-4, 4).Draw(t, "ease"), rapid.SampledFrom([]Feeling{Tight, Right, Roomy}).Draw(t, "feel")}
	}), 0, 8).Draw(t, "rated")
}

// The same density over a grid ten times as fine each way, with a library's normal distribution: the ends lie within a
// fiftieth of the expected range, which is 2 here.
func TestWishesAgainstALibrary(t *testing.T) {
	const steps, bands = 1000, 60
	at := func(r rating, wish, half float64) float64 {
		tight := distuv.Normal{Mu: r.ease + half, Sigma: half}.CDF(wish)
		roomy := distuv.Normal{Mu: r.ease - half, Sigma: half}.Survival(wish)
		return map[Feeling]float64{Tight: tight, Roomy: roomy, Right: 1 - tight - roomy}[r.feel]
	}
	for _, r := range []rating{{0, Right}, {1, Tight}, {1, Roomy}, {-0.5, Right}, {1.75, Right}, {-3, Tight}, {8, Right}} {
		var mass []float64
		total := 0.0
		for i := range steps {
			sum := 0.0
			for k := range bands {
				half := 0.2 * math.Pow(5, (float64(k)+0.5)/bands)
				sum += 0.96*at(r, -1.85+(float64(i)+0.5)*0.0037, half) + 0.04/3
			}
			total += sum
			mass = append(mass, total)
		}
		end := func(share float64) float64 {
			i, _ := slices.BinarySearch(mass, share*total)
			return -1.85 + float64(i)*0.0037
		}
		got := learningLimits.wishes([]rating{r})
		if math.Abs(got.low-end(0.05)) > 0.04 || math.Abs(got.high-end(0.95)) > 0.04 {
			t.Errorf("%v: %v, by the library %v to %v", r, got, end(0.05), end(0.95))
		}
	}
}

// The order of the garments changes nothing, tight and roomy are each other's image, and a lone garment pulls its way.
func TestRatingsPullTheirWay(t *testing.T) {
	near := func(a, b wishes) bool { return math.Abs(a.low-b.low) < 1e-9 && math.Abs(a.high-b.high) < 1e-9 }
	rapid.Check(t, func(t *rapid.T) {
		rated := ratings(t)
		got := learningLimits.wishes(rated)
		if again := learningLimits.wishes(rapid.Permutation(rated).Draw(t, "order")); !near(got, again) {
			t.Errorf("%v, in another order %v", got, again)
		}
		image := make([]rating, len(rated))
		for i, r := range rated {
			image[i] = rating{-r.ease, map[Feeling]Feeling{Tight: Roomy, Roomy: Tight, Right: Right}[r.feel]}
		}
		if turned := learningLimits.wishes(image); !near(got, wishes{-turned.high, -turned.low}) {
			t.Errorf("%v, turned round %v", got, turned)
		}
		lone := rapid.Float64Range(-4, 4).Draw(t, "ease")
		if tight, roomy := learningLimits.wishes([]rating{{lone, Tight}}), learningLimits.wishes([]rating{{lone, Roomy}}); tight.middle() < -1e-9 || roomy.middle() > 1e-9 {
			t.Errorf("with %v: tight %v, roomy %v", lone, tight, roomy)
		}
	})
}
