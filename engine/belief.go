package engine

import (
	"math"
	"slices"
)

// belief is what is known of a wish: normal, with a mean and a standard deviation.
type belief struct{ mean, spread float64 }

// evidence is what garments say of a wish: the eases that felt right, too tight and too roomy. Each feel is as sharp as
// noise, a standard deviation.
type evidence struct {
	right, tight, roomy []float64
	noise               float64
}

// after is the belief after evidence. With N the normal density, P its distribution function, m and s the belief's mean
// and spread and n the noise, the wish w has a density in proportion to
//
//	N((w-m)/s) · Π N((e-w)/n) over right · Π P((w-e)/n) over tight · Π P((e-w)/n) over roomy,
//
// and what is returned are its mean and standard deviation. All evidence is taken at once, in order of size, so that the
// order in which garments were made changes nothing.
func (b belief) after(e evidence) belief {
	b = b.afterRight(e.right, e.noise)
	if len(e.tight)+len(e.roomy) == 0 {
		return b
	}
	e.tight, e.roomy = sorted(e.tight), sorted(e.roomy)
	return b.moments(e)
}

func sorted(v []float64) []float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v
}

// afterRight adds readings of the wish: the precisions add up, and the mean is weighed by them.
func (b belief) afterRight(right []float64, noise float64) belief {
	precision := 1 / (b.spread * b.spread)
	sum := b.mean * precision
	for _, v := range sorted(right) {
		precision += 1 / (noise * noise)
		sum += v / (noise * noise)
	}
	return belief{sum / precision, math.Sqrt(1 / precision)}
}

// The grid over which moments are summed: as far out on either side as the density has fallen by so much that nothing
// remains, in steps over which a bell is smooth.
const (
	fallen     = 40 // in the logarithm: to 4e-18
	gridPoints = 400
	halvings   = 100 // after which nothing is left between two numbers
)

// moments sums the density over a grid round its mode.
func (b belief) moments(e evidence) belief {
	mode := b.mode(e)
	top := b.log(e, mode)
	var mass, first, second float64
	low, high := b.edge(e, mode, -1), b.edge(e, mode, 1)
	step := (high + low) / (2 * gridPoints)
	for i := range 2*gridPoints + 1 {
		away := float64(i)*step - low
		p := math.Exp(b.log(e, mode+away) - top)
		mass += p
		first += p * away
		second += p * away * away
	}
	mean := first / mass
	return belief{mode + mean, math.Sqrt(second/mass - mean*mean)}
}

// edge is how far from the mode the density has fallen to nothing, to one side. Evidence makes it fall no slower than the
// belief alone, of which nothing is left at √(2 · fallen) spreads.
func (b belief) edge(e evidence, mode, side float64) float64 {
	top := b.log(e, mode)
	near, far := 0.0, math.Sqrt(2*fallen)*b.spread
	for range halvings {
		mid := (near + far) / 2
		if top-b.log(e, mode+side*mid) < fallen {
			near = mid
		} else {
			far = mid
		}
	}
	return far
}

// log is the logarithm of the density, up to a constant.
func (b belief) log(e evidence, w float64) float64 {
	z := (w - b.mean) / b.spread
	sum := -z * z / 2
	for _, v := range e.tight {
		sum += logBelow((w - v) / e.noise)
	}
	for _, v := range e.roomy {
		sum += logBelow((v - w) / e.noise)
	}
	return sum
}

// mode is where the density is highest: its logarithm is concave, so its slope falls through 0 once.
func (b belief) mode(e evidence) float64 {
	low, high := b.mean, b.mean
	for _, v := range e.roomy {
		low = min(low, v)
	}
	for _, v := range e.tight {
		high = max(high, v)
	}
	pull := float64(len(e.tight)+len(e.roomy)) * (1 + b.spread*b.spread/e.noise/e.noise) * (b.spread + e.noise)
	low, high = low-pull, high+pull
	for range halvings {
		mid := (low + high) / 2
		if b.slope(e, mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// slope is the slope of the density's logarithm.
func (b belief) slope(e evidence, w float64) float64 {
	sum := (b.mean - w) / (b.spread * b.spread)
	for _, v := range e.tight {
		sum += hazard((w-v)/e.noise) / e.noise
	}
	for _, v := range e.roomy {
		sum -= hazard((v-w)/e.noise) / e.noise
	}
	return sum
}

// farBelow is where the normal distribution function is too small for its own formula; there the first term of its
// asymptotic series does.
const farBelow = -30

// logBelow is the logarithm of the normal distribution function.
func logBelow(x float64) float64 {
	if x < farBelow {
		return -x*x/2 - math.Log(-x*math.Sqrt(2*math.Pi))
	}
	return math.Log(math.Erfc(-x/math.Sqrt2) / 2)
}

// hazard is the normal density over its distribution function.
func hazard(x float64) float64 {
	return math.Exp(-x*x/2-logBelow(x)) / math.Sqrt(2*math.Pi)
}
