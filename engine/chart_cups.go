package engine

import (
	"cmp"
	"math"
	"slices"
)

// cups are the sizes of each cup, smallest first, where the chart has several of
// one upper bust; else nil. A size whose cup is not known is in none.
func (in *inspection) cups(p *Pattern) [][]int {
	f := &Fitter{voc: in.voc, recipe: in.q.Recipe, pattern: p, sizes: p.Sizes}
	for i := range p.Sizes {
		f.cells = append(f.cells, i)
	}
	f.readChartCups()
	var known []int
	for s, c := range f.chartCups {
		if c.known() {
			known = append(known, s)
		}
	}
	upper := func(s int) float64 { return f.chartCups[s].upper.middle() }
	drafted := func(s int) float64 { return f.chartCups[s].bust.middle() - upper(s) }
	slices.SortStableFunc(known, func(a, b int) int {
		return cmp.Or(cmp.Compare(upper(a), upper(b)), cmp.Compare(drafted(a), drafted(b)))
	})
	var out [][]int
	for len(known) > 0 {
		n := 1
		for n < len(known) && f.chartCups[known[n]].sameUpper(f.chartCups[known[0]]) {
			n++
		}
		out = joinCups(out, slices.Clone(known[:n]), drafted)
		known = known[n:]
	}
	return out
}

// joinCups adds the sizes of one upper bust, each to the cup whose last size is
// drafted most nearly for the same; what is left over begins a cup.
func joinCups(cups [][]int, group []int, drafted func(s int) float64) [][]int {
	open := make([]int, len(cups))
	for i := range open {
		open[i] = i
	}
	for len(open) > 0 && len(group) > 0 {
		to, from, least := 0, 0, math.Inf(1)
		for o, c := range open {
			for g, s := range group {
				last := cups[c][len(cups[c])-1]
				if d := math.Abs(drafted(s) - drafted(last)); d < least {
					to, from, least = o, g, d
				}
			}
		}
		cups[open[to]] = append(cups[open[to]], group[from])
		open, group = slices.Delete(open, to, to+1), slices.Delete(group, from, from+1)
	}
	for _, s := range group {
		cups = append(cups, []int{s})
	}
	return cups
}

// byCup looks at each cup as at a chart by itself: between cups of one upper bust
// only the bust steps, and from the last cup of a size to the first of the next it steps back.
func (in *inspection) byCup(cups [][]int) error {
	for _, of := range []Part{OfBody, OfFinished} {
		for _, name := range in.voc.names {
			if row := in.read.rows(of)[name]; row.known() {
				in.out.Rows = append(in.out.Rows, in.stepRow(of, name, row))
				in.gaps(of, name, row)
			}
		}
	}
	in.found(Finding{ID: "cups", Severity: IsFact, Of: OfBody, Row: "bust",
		Because: "The chart has several cups of one upper bust. Each cup was looked at by itself; of the sizes of one upper bust a body takes the one whose bust is nearest its own."}, -1, figure{}, figure{})
	for _, c := range cups {
		q := in.q
		q.Pattern = in.read.permuted(c)
		one, err := Inspect(q)
		if err != nil {
			return err
		}
		in.take(one)
	}
	f, err := asPrinted(in.read, in.q.Recipe, in.q.Rules, in.voc)
	if err != nil {
		return nil // told of every cup
	}
	in.out.Shown.By, _ = f.orderRow()
	for _, c := range f.zones {
		if in.draws(c) {
			if drawn := in.drawn(f, c); anyKnown(drawn) {
				in.out.Eases = append(in.out.Eases, in.easeRow(c, drawn))
			}
		}
	}
	return nil
}

// take adds what was found in one cup and not said before. Gaps are told of the
// whole chart.
func (in *inspection) take(one *Soundness) {
	for _, f := range one.Findings {
		said := slices.ContainsFunc(in.out.Findings, func(o Finding) bool { return o.ID == f.ID && o.Of == f.Of && o.Row == f.Row && o.Size == f.Size })
		if !said && f.ID != "cell-missing" {
			in.out.Findings = append(in.out.Findings, f)
		}
	}
	for _, b := range one.Between {
		i := slices.IndexFunc(in.out.Between, func(o BetweenSizes) bool { return o.Row == b.Row })
		switch {
		case i < 0:
			in.out.Between = append(in.out.Between, b)
		case b.Away > in.out.Between[i].Away:
			in.out.Between[i] = b
		}
	}
}
