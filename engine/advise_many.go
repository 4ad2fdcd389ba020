package engine

import "slices"

// Brief is an answer without words, for many bodies; its figures are those that
// the whole [Answer] has.
type Brief struct {
	Size       string   // to cut; empty: every size is ruled out
	Lines      []Line   // other than that size's, from the top down
	Misfit     *float64 // of that size; nil where there is none
	Confidence *float64 // of that size; nil where it was not asked for, or there is none
	ChartSize  string
	OffChartCm float64
	RuledOut   []string // sizes, in size order
	Cautions   []string // ids, on that size or, where there is none, on the nearest
}

// Line is the size line to follow at a zone.
type Line struct {
	Zone string `json:"zone"`
	Size string `json:"size"`
}

// Brief answers for one body, as [Fitter.Advise] does; that it is sure where the
// request asks for it costs many times as much. Errors are as there.
func (f *Fitter) Brief(q Request) (Brief, error) {
	b, err := f.brief(q)
	if err != nil || !q.Sure || b.Size == "" || q.Observed != nil { // a toile settles the size
		return b, err
	}
	m, err := f.vary(q.Fitting)
	if err != nil {
		return b, err
	}
	defer m.giveBack()
	sh := m.look()
	share := float64(sh.best[slices.Index(f.sizes, b.Size)]) / float64(sh.bodies)
	b.Confidence = &share
	return b, nil
}

func (f *Fitter) brief(q Request) (Brief, error) {
	j, err := f.judge(q.Fitting)
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
	if err := j.warn(h, shown.s, q); err != nil {
		return Brief{}, err
	}
	j.sortResults(h)
	b := Brief{ChartSize: f.sizes[j.chart.s], OffChartCm: j.offChartCm(), Cautions: h.ids()}
	if !shown.ruledOut {
		b.Size, b.Misfit = f.sizes[shown.s], shown.known()
		for _, z := range j.linedZones() {
			if line := f.sizes[j.lineAt(z, shown.s)]; line != b.Size {
				b.Lines = append(b.Lines, Line{j.zones[z].zone.Name, line})
			}
		}
	}
	slices.SortFunc(ps, func(a, b placed) int { return a.s - b.s })
	for _, p := range ps {
		if p.ruledOut {
			b.RuledOut = append(b.RuledOut, f.sizes[p.s])
		}
	}
	return b, nil
}
