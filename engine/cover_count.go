package engine

import (
	"cmp"
	"slices"
)

// count makes shares of where the bodies came out.
func (c *covering) count(all []landing, s Survey) *Coverage {
	out := &Coverage{Version: 1, Pattern: c.pattern.Name, Maker: c.pattern.Maker, Recipe: c.recipe.Name,
		Bodies:   Surveyed{Name: s.Name, Weighted: s.Weighted, About: s.About, Source: s.Source},
		Excluded: []Exclusion{}, RuledOut: []StopShare{}, More: []Addition{}, Judged: []string{}, NotJudged: []NotJudged{},
		Shown: &CoverageShown{Units: c.q.Units, Recipe: c.recipe, Title: c.voc.Title, Words: c.voc.names}}
	var total float64
	for i := range all {
		if all[i].way == leftOut {
			out.Bodies.LeftOut++
			continue
		}
		out.Bodies.Count++
		total += all[i].weight
	}
	k := &coverCount{covering: c, all: all, total: total}
	ways := &out.Shares
	for w, to := range []*float64{&ways.AsDrawn, &ways.WithGrading, &ways.WithAlterations, &ways.OutOfRange, &ways.NoSize, &ways.OffChart} {
		*to = k.share(func(l *landing) bool { return l.way == way(w) })
	}
	out.Fits = k.share(func(l *landing) bool { return l.way.serves() })
	for i, size := range c.sizes {
		out.Sizes = append(out.Sizes, SizeShare{size, k.share(func(l *landing) bool { return l.s == i }),
			k.share(func(l *landing) bool { return l.s == i && l.way == asDrawn })})
	}
	k.excluded(out)
	k.ruledOut(out)
	for i := range c.more {
		a := c.more[i].Addition
		a.Fits = k.share(func(l *landing) bool { return l.more != nil && !l.way.serves() && l.more[i].serves() })
		a.AsDrawn = k.share(func(l *landing) bool { return l.more != nil && l.more[i] == asDrawn })
		out.More = append(out.More, a)
	}
	out.Assumptions = slices.Concat([]Assumption{}, s.Assumed)
	k.judged(out)
	return out
}

// coverCount adds landings up, always in the order of the people.
type coverCount struct {
	*covering
	all   []landing
	total float64
}

// share is the share of the bodies for whom something holds.
func (k *coverCount) share(holds func(*landing) bool) float64 {
	var sum float64
	for i := range k.all {
		if l := &k.all[i]; l.way != leftOut && holds(l) {
			sum += l.weight
		}
	}
	return sum / k.total
}

// excluded finds what keeps bodies from a size as drawn.
func (k *coverCount) excluded(out *Coverage) {
	for _, name := range k.voc.names {
		m := k.voc.Measure(name)
		e := Exclusion{Measurement: name, Share: k.share(func(l *landing) bool { return l.by == m })}
		if e.Share > 0 {
			e.TooSmall = k.share(func(l *landing) bool { return l.by == m && l.tooSmall })
			e.TooLarge = k.share(func(l *landing) bool { return l.by == m && !l.tooSmall })
			out.Excluded = append(out.Excluded, e)
		}
	}
	slices.SortStableFunc(out.Excluded, func(a, b Exclusion) int { return cmp.Compare(b.Share, a.Share) })
}

// ruledOut finds the rules by which bodies have no size.
func (k *coverCount) ruledOut(out *Coverage) {
	var ids []string
	for i := range k.all {
		ids = append(ids, k.all[i].stops...)
	}
	slices.Sort(ids)
	for _, id := range slices.Compact(ids) {
		out.RuledOut = append(out.RuledOut, StopShare{id, k.share(func(l *landing) bool { return slices.Contains(l.stops, id) })})
	}
	slices.SortStableFunc(out.RuledOut, func(a, b StopShare) int { return cmp.Compare(b.Share, a.Share) })
}

// judged says which zones were looked at, and what was taken for granted there.
func (k *coverCount) judged(out *Coverage) {
	j := &judging{Fitter: k.Fitter, words: words{k.q.Units}}
	if k.q.Cloth == nil {
		out.Assumptions = append(out.Assumptions, j.explainer().assumedClothWords())
	}
	for z, c := range k.zones {
		title := c.measure.Title
		switch {
		case slices.ContainsFunc(k.all, func(l landing) bool { return l.judged != nil && l.judged[z] }):
			out.Judged = append(out.Judged, c.zone.Name)
			if slices.ContainsFunc(c.finished, func(f figure) bool { return f.estimated }) {
				out.Assumptions = append(out.Assumptions, Assumption{"the finished " + title + " is estimated where the pattern does not give it", "chart body plus the ease " + j.explainer().estimateFrom(c)})
			}
		case c.gap != "":
			out.NotJudged = append(out.NotJudged, NotJudged{Zone: c.zone.Name, Because: c.gap})
		default:
			out.NotJudged = append(out.NotJudged, NotJudged{Zone: c.zone.Name, Because: "their " + title + " is not known"})
		}
	}
}
