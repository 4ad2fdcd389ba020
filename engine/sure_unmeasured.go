package engine

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// surmise is how a measurement that was not taken is spread among people with the
// measurements that were.
type surmise struct {
	of              *Population
	by              []string // measurements, as the population names them
	mean, deviation float64  // in nanometres
	tooClose        float64  // the share of them for whom the garment is too close there
}

// surmiseAt says for how many people with the body's other measurements a size would
// be too close at a girth that is not measured; false where no survey tells, or
// where it is for few. It moves no line and rules nothing out.
func (j *judging) surmiseAt(z, s int) (surmise, bool) {
	c := j.zones[z]
	if body, _ := j.of(c.measure); body.known || c.gap != "" || !c.zone.eased() || c.measure.Kind != Girth || !c.finished[s].known || c.finished[s].estimated {
		return surmise{}, false
	}
	g, ok := j.spreadOf(c.measure.Name)
	if !ok {
		return g, false
	}
	steps := bell(j.voc.Limits.SureSteps)
	for _, off := range steps {
		r := &row{z: z, measure: c.measure, base: c.finished[s], line: s, you: figure{v: g.mean + off*g.deviation, known: true}}
		if j.bound(r, c, s); r.need() > 0 {
			g.tooClose += 1 / float64(len(steps))
		}
	}
	return g, g.tooClose >= j.voc.Limits.UnmeasuredShare
}

// spreadOf is the normal distribution of a measurement, given those of the body
// that were surveyed with it, of those for whom the garment is drafted.
func (j *judging) spreadOf(measure string) (surmise, bool) {
	i := slices.IndexFunc(j.voc.Populations, func(p Population) bool { return p.AtLarge == string(j.recipe.Draft) && p.further(measure) != nil })
	if i < 0 {
		return surmise{}, false
	}
	p := &j.voc.Populations[i]
	g := surmise{of: p}
	var off []float64 // in standard deviations
	for k := range p.Measures {
		m := &p.Measures[k]
		body, _ := j.of(j.voc.Measure(m.Measure))
		if !body.known {
			continue
		}
		g.by, off = append(g.by, m.Measure), append(off, (body.v-float64(m.Mean))/float64(m.Deviation))
		if math.Abs(off[len(off)-1]) > j.voc.Limits.UnmeasuredReach {
			return g, false
		}
	}
	mean, deviation := p.given(measure, g.by, off)
	own := p.further(measure)
	g.mean, g.deviation = float64(own.Mean)+mean*float64(own.Deviation), deviation*float64(own.Deviation)
	return g, len(g.by) > 0
}

func (p *Population) further(measure string) *Spread {
	i := slices.IndexFunc(p.Further, func(s Spread) bool { return s.Measure == measure })
	if i < 0 {
		return nil
	}
	return &p.Further[i]
}

// given is the mean and the standard deviation of a further measurement among those
// with these others, all in standard deviations.
func (p *Population) given(measure string, by []string, off []float64) (mean, deviation float64) {
	var n Normal
	at := func(name string) int {
		return slices.IndexFunc(p.Measures, func(s Spread) bool { return s.Measure == name })
	}
	last := Spread{Measure: measure}
	for i, name := range by {
		s := Spread{Measure: name}
		for _, before := range by[:i] {
			s.With = append(s.With, p.Measures[at(name)].With[at(before)])
		}
		n.Measures = append(n.Measures, s)
		last.With = append(last.With, p.further(measure).With[at(name)])
	}
	n.Measures = append(n.Measures, last)
	root := n.root()
	normal := make([]float64, len(by)) // the independent figures that make these
	for i := range by {
		v := off[i]
		for k := range i {
			v -= root[i][k] * normal[k]
		}
		normal[i] = v / root[i][i]
		mean += root[len(by)][i] * normal[i]
	}
	return mean, root[len(by)][len(by)]
}

// say puts a surmise into words.
func (g *surmise) say(title func(string) string) string {
	by := make([]string, len(g.by))
	for i, name := range g.by {
		by[i] = title(name)
	}
	often := fmt.Sprintf("about %.0f of 10 people", g.tooClose*10)
	if g.tooClose >= 0.95 {
		often = "nearly everybody"
	}
	return fmt.Sprintf("it would be too close there for %s with your %s: measure it", often, list(by, "and"))
}

// explain is what a surmise rests on.
func (g *surmise) explain(j *judging, id string, c *column) *explain.Node {
	n := &explain.Node{ID: id + "/people", Value: explain.Number(roundTo(g.tooClose*100, 1), "percent"), Source: g.of.Source,
		Label: fmt.Sprintf("of %s, those with your measurements have %s of %s, give or take %s: too close for %s of them", g.of.About, An(c.measure.Title),
			j.inUnits(g.mean), j.inUnits(g.deviation), quantity.FormatPercent(roundTo(g.tooClose*100, 1)))}
	return n
}
