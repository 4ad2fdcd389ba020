package engine

import "slices"

// Brief is an answer without words, for many bodies; its figures are those that
// the whole [Answer] has.
type Brief struct {
	Size       string   // to cut; empty: every size is ruled out
	Misfit     *float64 // of that size; nil where there is none
	Confidence *float64 // of that size; nil where it was not asked for, or there is none
	ChartSize  string
	OffChartCm float64
	RuledOut   []string // sizes, in size order
	Cautions   []string // ids, on that size or, where there is none, on the nearest
}

// Brief answers for one body. Errors are as for [Fitter.Advise].
func (f *Fitter) Brief(t Fitting) (Brief, error) {
	j, err := f.judge(t)
	if err != nil {
		return Brief{}, err
	}
	defer j.giveBack()
	ps := j.byMisfit()
	for i := range ps {
		h := j.resultsOf(ps[i].s)
		if err := j.applyRules(h, ps[i].s, &j.stops); err != nil {
			return Brief{}, err
		}
		ps[i].ruledOut = h.stops()
	}
	j.order(ps)
	shown := ps[0]
	h := &j.results[shown.s]
	if err := j.warn(h, shown.s); err != nil {
		return Brief{}, err
	}
	j.sortResults(h)
	b := Brief{ChartSize: f.sizes[j.chart.s], OffChartCm: j.offChartCm(), Cautions: h.ids()}
	if !shown.ruledOut {
		b.Size, b.Misfit = f.sizes[shown.s], shown.known()
	}
	slices.SortFunc(ps, func(a, b placed) int { return a.s - b.s })
	for _, p := range ps {
		if p.ruledOut {
			b.RuledOut = append(b.RuledOut, f.sizes[p.s])
		}
	}
	return b, nil
}

// BriefSure is [Fitter.Brief] with the confidence, which costs many times as much.
func (f *Fitter) BriefSure(t Fitting) (Brief, error) {
	b, err := f.Brief(t)
	if err != nil || b.Size == "" || t.Observed != nil { // a toile settles the size
		return b, err
	}
	m, err := f.vary(t)
	if err != nil {
		return b, err
	}
	defer m.giveBack()
	sh := m.look()
	share := float64(sh.best[slices.Index(f.sizes, b.Size)]) / float64(sh.bodies)
	b.Confidence = &share
	return b, nil
}
