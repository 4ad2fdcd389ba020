package engine

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// Population is many people as their figures describe them.
type Population struct {
	Name      string
	People    int    // who were measured
	About     string // whom they stand for
	AtLarge   string // the population of such people at large, where this is of some of them alone
	Source    string
	MeanError float64 // by how many percentage points the shares of a crowd are off those counted, on the average of the charts tried
	MostError float64 // and at most
	Measures  []Spread
	Further   []Spread // what was measured of them besides, each with its correlations with those of Measures
	Parts     []Normal // of which it is put together: no single normal distribution is like them
}

// Normal is a normal distribution of measurements, of a share of the people.
type Normal struct {
	Share    float64
	Measures []Spread
}

// Spread is how one measurement is spread.
type Spread struct {
	Measure         string
	Mean, Deviation quantity.Length // the standard deviation
	With            []float64       // its correlation with each of those before it
}

// Survey is a crowd of one of the populations, to ask whom a pattern fits; those
// of whom more is measured stand in where what picks the size is not known of them.
func (p *Population) Survey(all []Population, voc *Vocabulary, units quantity.Unit) Survey {
	s := Survey{Name: p.Name, About: p.About, Source: p.Source, People: p.Crowd(voc.Limits.CrowdBodies), Assumed: []Assumption{{
		fmt.Sprintf("the bodies are made up, of %d normal distributions that together are like the %d people who were measured", len(p.Parts), p.People),
		fmt.Sprintf("more is not known of them here. Over %d charts tried the shares on the chart, and served as drawn, were off those counted of the people themselves by %s percentage points on the average, and by %s at most. A table of your own customers tells better",
			voc.Limits.CrowdCharts, quantity.FormatCount(p.MeanError), quantity.FormatCount(p.MostError))}}}
	for i := range all {
		switch o := &all[i]; {
		case o.AtLarge == p.Name:
			instead := o.Survey(all, voc, units)
			s.Instead = &instead
		case p.AtLarge == o.Name:
			s.Assumed = append(s.Assumed, p.unlike(o, voc, words{units}))
		}
	}
	return s
}

// unlike says how people at large differ, in what is known of both.
func (p *Population) unlike(large *Population, voc *Vocabulary, w words) Assumption {
	var parts []string
	for _, m := range large.Measures {
		i := slices.IndexFunc(p.Measures, func(own Spread) bool { return own.Measure == m.Measure })
		if i < 0 {
			continue
		}
		parts = append(parts, fmt.Sprintf("%s %s (here %s)", voc.Title(m.Measure), w.inUnits(float64(m.Mean)), w.inUnits(float64(p.Measures[i].Mean))))
	}
	return Assumption{"these are " + p.About, "the means of `" + large.Name + "`, " + large.About + ", are: " + strings.Join(parts, "; ")}
}

// Crowd are so many bodies, each as likely as any other, of the normal
// distributions of a population's parts. They are the same ones every time.
func (p *Population) Crowd(bodies int) iter.Seq[Person] {
	return func(yield func(Person) bool) {
		share, made := 0.0, 0
		for k := range p.Parts {
			share += p.Parts[k].Share
			upto := int(math.Round(share * float64(bodies)))
			for b := range p.Parts[k].crowd(upto - made) {
				if b.Name = p.Name; !yield(Person{Body: b, Weight: 1}) {
					return
				}
			}
			made = upto
		}
	}
}

// crowd are bodies of one normal distribution, measured to the millimetre as the people were.
func (p *Normal) crowd(bodies int) iter.Seq[*Body] {
	ways, root := sequence(len(p.Measures)), p.root()
	return func(yield func(*Body) bool) {
		for i := range bodies {
			b := &Body{Measurements: make(map[string]Measurement, len(p.Measures))}
			normal := make([]float64, len(ways))
			for k, way := range ways {
				_, u := math.Modf(0.5 + float64(i+1)*way)
				normal[k] = math.Sqrt2 * math.Erfinv(2*u-1)
				s := &p.Measures[k]
				off := 0.0
				for l, part := range root[k] {
					off += part * normal[l]
				}
				mm := math.Round((float64(s.Mean) + off*float64(s.Deviation)) / float64(quantity.Millimetre))
				b.Measurements[s.Measure] = Measurement{Readings: []Reading{{Length: quantity.Length(max(mm, 1)) * quantity.Millimetre}}}
			}
			if !yield(b) {
				return
			}
		}
	}
}

// root is the triangle whose product with its own mirror image is the table of
// correlations (the Cholesky decomposition): it makes of independent normal
// figures ones that go together as these measurements do.
func (p *Normal) root() [][]float64 {
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
