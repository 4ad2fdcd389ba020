package engine

import (
	"fmt"
	"iter"
	"math"

	"fitadvisor/engine/quantity"
)

// Population is many people as their summary statistics describe them.
type Population struct {
	Name     string
	People   int    // who were measured
	About    string // whom they stand for
	Source   string
	Measures []Spread
}

// Spread is how one measurement is spread over a population.
type Spread struct {
	Measure         string
	Mean, Deviation quantity.Length // the standard deviation
	With            []float64       // its correlation with each of those before it
}

// Survey is a crowd of that population, to ask whom a pattern fits.
func (p *Population) Survey(bodies int) Survey {
	return Survey{Name: p.Name, About: p.About, Source: p.Source, People: p.Crowd(bodies), Assumed: []Assumption{{
		fmt.Sprintf("the bodies are made up, so that their means, deviations and correlations are those of the %d people who were measured", p.People),
		"more is not known of them here. Real people are in proportion a little more often: whom a pattern serves at all comes out well, but rather too few as drawn and too many with grading. A table of bodies tells better"}}}
}

// Crowd are so many bodies, each as likely as any other, of the normal
// distribution that has a population's means, deviations and correlations. They
// are the same ones every time.
func (p *Population) Crowd(bodies int) iter.Seq[Person] {
	ways, root := sequence(len(p.Measures)), p.root()
	return func(yield func(Person) bool) {
		for i := range bodies {
			b := &Body{Name: p.Name, Measurements: make(map[string]Taking, len(p.Measures))}
			normal := make([]float64, len(ways))
			for k, way := range ways {
				_, u := math.Modf(0.5 + float64(i+1)*way)
				normal[k] = math.Sqrt2 * math.Erfinv(2*u-1)
				s := &p.Measures[k]
				off := 0.0
				for l, part := range root[k] {
					off += part * normal[l]
				}
				v := max(math.Round(float64(s.Mean)+off*float64(s.Deviation)), 1)
				b.Measurements[s.Measure] = Taking{Readings: []Reading{{Length: quantity.Length(v)}}}
			}
			if !yield(Person{Body: b, Weight: 1}) {
				return
			}
		}
	}
}

// root is the triangle whose product with its own mirror image is the table of
// correlations (the Cholesky decomposition): it makes of independent normal
// figures ones that go together as these measurements do.
func (p *Population) root() [][]float64 {
	out := make([][]float64, len(p.Measures))
	for i := range out {
		row, left := make([]float64, i+1), 1.0
		for k, r := range p.Measures[i].With {
			for l := range k {
				r -= row[l] * out[k][l]
			}
			row[k] = r / out[k][k]
			left -= row[k] * row[k]
		}
		row[i] = math.Sqrt(left)
		out[i] = row
	}
	return out
}
