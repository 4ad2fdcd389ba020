package engine

import (
	"fmt"

	"fitadvisor/explain"
)

// openingFit is one opening of one size.
type openingFit struct {
	o       *Opening
	result  string   // passes, fails, short elastic, not judged
	girth   figure   // what it opens to
	limit   string   // which limit that is: casing, elastic, edge, closure
	needs   figure   // the least it must let through, where it fails
	because string   // where it is not judged
	unknown *Measure // that would have judged it; nil: it is not a measurement of yours
}

// The results of an opening.
const (
	passes       = "passes"
	fails        = "fails"
	shortElastic = "short elastic"
	notJudged    = "not judged"
)

// openings are those of one size, once they are found.
type openings struct {
	fits  []openingFit
	found bool
}

// openings judges every opening of one size.
func (j *judging) openings(s int) []openingFit {
	all := &j.opened[s]
	if !all.found {
		all.fits, all.found = all.fits[:0], true
		for i := range j.edges {
			all.fits = append(all.fits, j.opening(&j.edges[i], s))
		}
	}
	return all.fits
}

// edge is an opening with its figures for every size, in size order.
type edge struct {
	*Opening
	flat, elastic        []figure
	from, towards, reach []figure // where a closure opens it
	run                  *Measure // the body's length that stands for the closure's run
	passes               [][]*Measure
}

// bindOpenings reads what the pattern gives of each opening.
func (f *Fitter) bindOpenings() {
	f.edges = nil
	row := func(measure string) []figure {
		row, _ := f.row(f.pattern.Finished, measure)
		return f.figures(row)
	}
	for i := range f.recipe.Openings {
		o := &f.recipe.Openings[i]
		e := edge{Opening: o, flat: row(o.Measure), elastic: row(o.Elastic)}
		if c := o.Closure; c != nil {
			e.from, e.towards, e.reach, e.run = row(c.From), row(c.Towards), row(c.ReachRow), f.voc.Measure(c.RunBy)
		}
		for _, alternative := range o.Passes {
			var parts []*Measure
			for _, p := range alternative {
				parts = append(parts, f.voc.Measure(p))
			}
			e.passes = append(e.passes, parts)
		}
		f.edges = append(f.edges, e)
	}
}

// opening judges whether the body gets through an opening in one size.
func (j *judging) opening(o *edge, s int) openingFit {
	if o.Closure != nil {
		return j.closed(o, s)
	}
	flat := o.flat[s]
	if !flat.known {
		return openingFit{o: o.Opening, result: notJudged, because: fmt.Sprintf("the pattern does not give its %s", j.voc.Title(o.Measure))}
	}
	fit := openingFit{o: o.Opening, limit: "edge", girth: j.stretched(flat)}
	if o.Elastic != "" {
		fit.limit = "casing"
	}
	j.pass(&fit, o)
	if elastic := o.elastic[s]; fit.result == passes && elastic.known {
		short := openingFit{o: o.Opening, limit: "elastic", girth: elastic}
		if j.pass(&short, o); short.result == fails {
			short.result = shortElastic
			return short
		}
	}
	return fit
}

// stretched is an edge as far as the cloth lets it open for a moment.
func (j *judging) stretched(flat figure) figure {
	if own := j.cloth.round; j.stretches(own) {
		flat.v *= 1 + own.v/100*j.voc.Limits.OpeningShare
	}
	return flat
}

func (j *judging) madeAt(measure string, s int) figure {
	row, _ := j.row(j.pattern.Finished, measure)
	if row == nil || !row[j.cells[s]].Known {
		return figure{}
	}
	cell := &row[j.cells[s]]
	return figure{v: cell.middle(), known: true, cell: cell}
}

// closed judges an opening with its closure undone: the girth where the
// closure ends must still pass.
func (j *judging) closed(o *edge, s int) openingFit {
	c := o.Closure
	if j.unlaced(c) {
		return openingFit{o: o.Opening, limit: "closure", result: passes}
	}
	from, to := j.planned(c.From, o.from[s], s), j.planned(c.Towards, o.towards[s], s)
	if !from.known || !to.known {
		return openingFit{o: o.Opening, result: notJudged,
			because: fmt.Sprintf("the garment's girth where the %s ends follows from its finished %s and %s, and the pattern lacks one", c.Kind, j.voc.Title(c.From), j.voc.Title(c.Towards))}
	}
	reach, run := float64(c.Reach), float64(c.Run)
	if own := o.reach[s]; own.known {
		reach = own.v
	}
	if o.run != nil && j.body[o.run.index].known {
		run = j.body[o.run.index].v
	}
	share := min(1, reach/run)
	fit := openingFit{o: o.Opening, limit: "closure", girth: j.stretched(figure{v: from.v + (to.v-from.v)*share, known: true})}
	j.pass(&fit, o)
	return fit
}

// planned is the garment at a level as the plan of a size makes it; as it is drafted where there is none.
func (j *judging) planned(measure string, drafted figure, s int) figure {
	if j.ledger == nil || j.ledger.s != s || !drafted.known {
		return drafted
	}
	if r := j.ledger.at(j.voc.Measure(measure)); r != nil && r.base.known && !r.base.estimated {
		drafted.v += r.cut() - r.base.v
	}
	return drafted
}

// pass compares an opening with its alternatives; any one of them is enough.
func (j *judging) pass(fit *openingFit, o *edge) {
	girth := ticks(fit.girth.v, false)
	fit.result = fails
	for _, alternative := range o.passes {
		most, unknown := j.widest(alternative)
		switch {
		case most.known && ticks(most.v, false) > girth:
			if !fit.needs.known || most.v < fit.needs.v {
				fit.needs = most
			}
		case unknown != nil:
			fit.result, fit.unknown = notJudged, unknown
			fit.because = fmt.Sprintf("your %s is not known", unknown.Title)
		default:
			fit.result = passes
			return
		}
	}
	if fit.result == fails && fit.limit != "elastic" && !j.cloth.round.known {
		fit.result, fit.because = notJudged, "how far it opens depends on the cloth's stretch, which is not given"
	}
}

// widest is the largest known part of an alternative, and the first unknown one.
func (j *judging) widest(parts []*Measure) (most figure, unknown *Measure) {
	for _, p := range parts {
		v, _ := j.of(p)
		if !v.known && unknown == nil {
			unknown = p
		}
		if v.known && v.v > most.v {
			most = v
		}
	}
	return most, unknown
}

// passages is what an opening lets through, in words: "the hip, or the shoulder girth and bust".
func (j explainer) passages(o *Opening) string {
	var alternatives []string
	for _, a := range o.Passes {
		titles := make([]string, len(a))
		for i, p := range a {
			titles[i] = j.voc.Title(p)
		}
		alternatives = append(alternatives, "the "+list(titles, "and"))
	}
	return list(alternatives, "or")
}

func (j explainer) explainOpening(s int, fit *openingFit) *explain.Node {
	n := &explain.Node{ID: explain.ID("size", j.sizes[s], "opening", fit.o.Name), Source: fit.o.At.String()}
	if fit.result == notJudged {
		n.Label = fmt.Sprintf("getting in at the %s is not judged: %s", fit.o.Name, fit.because)
		return n
	}
	if !fit.girth.known {
		n.Label = fmt.Sprintf("getting in at the %s: unlaced it opens from end to end, and lets %s through: %s", fit.o.Name, j.passages(fit.o), fit.result)
		return n
	}
	n.Value = cmValue(fit.girth.v)
	n.Label = fmt.Sprintf("getting in at the %s: the %s opens to %s and must let %s through: %s", fit.o.Name, fit.limit, j.inUnits(fit.girth.v), j.passages(fit.o), fit.result)
	if made := j.madeAt(fit.o.Measure, s); made.known {
		finished := &explain.Node{ID: n.ID + "/finished", Label: fmt.Sprintf("finished %s of size %s: %s", j.voc.Title(fit.o.Measure), j.sizes[s], j.inUnits(made.v)), Value: cmValue(made.v), Source: made.cell.At.String()}
		n.Add(finished.Add(made.cell.Sum.explain(finished.ID+"/pieces", j.words, j.voc)))
	}
	for _, alternative := range fit.o.Passes {
		for _, p := range alternative {
			if v, from := j.of(j.voc.Measure(p)); v.known {
				n.Add(j.explainReading(n.ID+"/"+from.Name, from))
			}
		}
	}
	return n
}
