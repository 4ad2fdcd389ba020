package engine

import (
	"slices"
	"sort"

	"fitadvisor/engine/quantity"
)

// Border is from where on the larger of two neighbouring sizes is cut.
type Border struct {
	From, To string
	In, Cm   quantity.Length // the first eighth of an inch, and millimetre, of the measurement that picks the size
}

// borders asks of bodies between each two neighbouring ones of the chart which size
// is cut. They lie between them in everything the chart has, in proportion. Two sizes
// of which one is not even cut for its own body have no border.
func (f *Fitter) borders() []Border {
	by, _ := f.orderRow()
	var out []Border
	for s := range len(f.sizes) - 1 {
		in, ok := f.border(s, by, quantity.In)
		cm, also := f.border(s, by, quantity.Cm)
		if ok && also {
			out = append(out, Border{f.sizes[s], f.sizes[s+1], in, cm})
		}
	}
	return out
}

// border is the first value in the steps of a unit from which on a size is left.
func (f *Fitter) border(s int, by string, unit quantity.Unit) (quantity.Length, bool) {
	low, high := f.chartBody(s), f.chartBody(s+1)
	from, ok := low.Measurements[by]
	to, also := high.Measurements[by]
	if !ok || !also || to.value() <= from.value() {
		return 0, false
	}
	grid := words{unit}.grid()
	first := from.value() / grid
	steps := int(to.value()/grid - first)
	at := func(k int) quantity.Length { return (first + quantity.Length(k)) * grid }
	k := sort.Search(steps+1, func(k int) bool {
		b := bodyBetween(low, high, float64(at(k)-from.value())/float64(to.value()-from.value()))
		b.Measurements[by] = Measurement{Readings: []Reading{{Length: at(k)}}}
		return f.leaves(s, b)
	})
	return at(k), 0 < k && k <= steps
}

// bodyBetween lies between two bodies in everything that both have.
func bodyBetween(low, high *Body, share float64) *Body {
	out := &Body{Name: "between two sizes", Measurements: map[string]Measurement{}}
	for name, a := range low.Measurements {
		if b, ok := high.Measurements[name]; ok {
			l := a.value() + quantity.Length(share*float64(b.value()-a.value()))
			out.Measurements[name] = Measurement{Readings: []Reading{{Length: l}}}
		}
	}
	return out
}

// leaves tells whether a larger size than this one is cut for a body.
func (f *Fitter) leaves(s int, b *Body) bool {
	r, err := f.Rank(Fitting{Body: b, Units: quantity.Cm})
	return err == nil && slices.Index(f.sizes, r.Best) > s
}
