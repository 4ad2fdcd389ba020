package engine

import "math"

// rating is how one garment felt with its ease.
type rating struct {
	ease float64
	feel Feeling
}

// wishes are the ends between which a wish for ease lies, as likely as the method states.
type wishes struct{ low, high float64 }

func (w wishes) middle() float64 { return (w.low + w.high) / 2 }

// give is how far the ends lie from the middle.
func (w wishes) give() float64 { return (w.high - w.low) / 2 }

// wishes are what ratings tell of a wish, all figures in halves of the expected range's width, from its middle. What feels
// right lies in a band of unknown width round the wish. Over a grid of wishes and half-widths, all as likely before, each
// rating weighs every pair by how likely it is there; the half-widths are then summed up, and of the wishes as much is cut
// off at either end as the share that is stated leaves.
func (l *Limits) wishes(rated []rating) wishes {
	step := 2 * l.LearnReach / float64(l.LearnSteps)
	wish := func(i int) float64 { return (float64(i)+0.5)*step - l.LearnReach }
	weights := make([]float64, l.LearnSteps)
	pairs, heaviest := make([][]float64, l.LearnBands), math.Inf(-1)
	for k := range pairs {
		pairs[k] = make([]float64, l.LearnSteps)
		half := l.LearnLeast * math.Pow(l.LearnMost/l.LearnLeast, (float64(k)+0.5)/float64(l.LearnBands))
		for i := range pairs[k] {
			for _, r := range rated {
				pairs[k][i] += math.Log((1-l.LearnStray)*r.likely(wish(i), half) + l.LearnStray/feelings)
			}
			heaviest = max(heaviest, pairs[k][i])
		}
	}
	total := 0.0
	for _, column := range pairs {
		for i, log := range column {
			weights[i] += math.Exp(log - heaviest)
			total += math.Exp(log - heaviest)
		}
	}
	upTo := func(share float64) float64 {
		left := share * total
		for i, w := range weights {
			if left <= w {
				return wish(i) + (left/w-0.5)*step
			}
			left -= w
		}
		return l.LearnReach
	}
	return wishes{upTo((1 - l.LearnShare) / 2), upTo((1 + l.LearnShare) / 2)}
}

// feelings are tight, right and roomy: what a stray rating says is one of them, as likely as another.
const feelings = 3

// likely is how likely a rating is with a wish and half a width of the band, whose edges are as soft as that.
func (r rating) likely(wish, half float64) float64 {
	over := (r.ease - wish) / half
	switch r.feel {
	case Tight:
		return normal(-over - 1)
	case Roomy:
		return normal(over - 1)
	}
	return normal(over+1) - normal(over-1)
}

// normal is the normal distribution function.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
