package engine

import (
	"fmt"
	"math"
	"slices"
)

// eases looks at the ease drawn at each zone: smaller than the body in a woven,
// outside what the garment type expects, drifting over the sizes. Shown is what the
// chart has; looked at is what it would be without the slips that are told already.
func (in *inspection) eases(f *Fitter) {
	typed := f
	if read, err := asPrinted(in.read, in.q.Recipe, in.q.Rules, in.voc); err == nil {
		typed = read
	}
	for z, c := range f.zones {
		if !in.draws(c) {
			continue
		}
		drawn := in.drawn(f, c)
		if !anyKnown(drawn) {
			continue
		}
		in.out.Eases = append(in.out.Eases, in.easeRow(c, in.drawn(typed, typed.zones[z])))
		odd := in.smaller(c, drawn)
		odd = append(odd, in.outside(c, drawn, odd)...)
		in.drifts(f, c, drawn, odd)
	}
}

// draws tells whether ease is drawn at a zone.
func (in *inspection) draws(c *column) bool {
	return c.gap == "" && c.zone.eased() && c.zone.Ease != nil && c.zone.Role != Held
}

func anyKnown(fs []figure) bool {
	return slices.ContainsFunc(fs, func(f figure) bool { return f.known })
}

// drawn is the ease by the places of the pattern, gaps and estimates left out.
func (in *inspection) drawn(f *Fitter, c *column) []figure {
	out := make([]figure, len(in.read.Sizes))
	for s, i := range f.cells {
		if d := c.drawn[s]; d.known && !d.estimated && !c.finished[s].estimated {
			out[i] = d
		}
	}
	return out
}

func (in *inspection) easeRow(c *column, drawn []figure) EaseRow {
	percent := c.zone.percent()
	shown := func(v float64) *float64 {
		out := roundTo(v/nanometresPerCm, 1000)
		if percent {
			out = roundTo(v, 100)
		}
		return &out
	}
	row := EaseRow{Zone: c.zone.Name, Eases: make([]*float64, len(drawn))}
	if percent {
		row.Unit = percentUnit
	}
	for s, d := range drawn {
		if d.known {
			row.Eases[s] = shown(d.v)
		}
	}
	if e := c.zone.Ease; e.HasLow {
		row.Low = shown(e.Low)
	}
	if e := c.zone.Ease; e.HasHigh {
		row.High = shown(e.High)
	}
	return row
}

// easeFinding begins a finding about a zone's ease.
func easeFinding(c *column, id string, severity Gravity) Finding {
	f := Finding{ID: id, Severity: severity, Of: OfEase, Row: c.zone.Name}
	if c.zone.percent() {
		f.Unit = percentUnit
	}
	return f
}

// smaller finds a garment smaller than its own body, where nothing stretches. What
// is shorter than the body is no smaller garment.
func (in *inspection) smaller(c *column, drawn []figure) []int {
	if !c.pulls || in.q.Recipe.Stretch.Kind == StretchNeeded || c.zone.Ease.HasLow && c.zone.Ease.Low < 0 {
		return nil
	}
	at, worst := places(drawn, func(d float64) bool { return ticks(d, c.zone.percent()) < 0 }, func(a, b float64) bool { return a < b })
	if len(at) == 0 {
		return nil
	}
	f := easeFinding(c, "smaller-than-body", IsError)
	f.Because = fmt.Sprintf("The finished %s is smaller than the body of its own chart in %s, by %s in size %s, and this type does not stretch to it.",
		c.measure.Title, run(in.atSizes(at)), in.ease(-drawn[worst].v, c.zone.percent()), in.read.Sizes[worst])
	in.several(f, at, worst, drawn[worst], known(c.zone.Ease.Low))
	return at
}

// places are the sizes whose figure is meant, and the worst of them.
func places(fs []figure, meant func(float64) bool, worse func(a, b float64) bool) (at []int, worst int) {
	worst = -1
	for s, f := range fs {
		if !f.known || !meant(f.v) {
			continue
		}
		at = append(at, s)
		if worst < 0 || worse(f.v, fs[worst].v) {
			worst = s
		}
	}
	return at, worst
}

// outside finds ease that the garment type does not expect.
func (in *inspection) outside(c *column, drawn []figure, but []int) []int {
	e, percent := c.zone.Ease, c.zone.percent()
	left := slices.Clone(drawn)
	for _, s := range but {
		left[s] = figure{}
	}
	below, least := places(left, func(d float64) bool { return e.HasLow && ticks(d, percent) < ticks(e.Low, percent) }, func(a, b float64) bool { return a < b })
	above, most := places(left, func(d float64) bool { return e.HasHigh && ticks(d, percent) > ticks(e.High, percent) }, func(a, b float64) bool { return a > b })
	tell := func(id, word string, at []int, worst int, end float64) {
		if len(at) == 0 {
			return
		}
		f := easeFinding(c, id, IsWarning)
		if c.reaches() { // a short sleeve is another style, and no slip
			f.Severity = IsFact
			f.Because = in.otherLength(c, drawn[worst].v, at, worst)
			in.several(f, at, worst, drawn[worst], known(end))
			return
		}
		f.Because = fmt.Sprintf("The ease at the %s is %s what %s expects in %s: %s in size %s, where %s is usual.", c.measure.Title, word, An(in.q.Recipe.Title),
			run(in.atSizes(at)), in.ease(drawn[worst].v, percent), in.read.Sizes[worst], in.span(e))
		in.several(f, at, worst, drawn[worst], known(end))
	}
	tell("ease-below", "below", below, least, e.Low)
	tell("ease-above", "above", above, most, e.High)
	return append(below, above...)
}

// otherLength says of a length that it ends elsewhere than the garment type usually
// does; the length drawn is the style.
func (in *inspection) otherLength(c *column, drawn float64, at []int, worst int) string {
	percent, word := c.zone.percent(), "beyond"
	if drawn < 0 {
		word = "short of"
	}
	return fmt.Sprintf("The finished %s ends %s %s the chart's own in size %s, where an ease of %s is usual for %s. That is taken as the style, in %s.",
		c.measure.Title, in.ease(math.Abs(drawn), percent), word, in.read.Sizes[worst], in.span(c.zone.Ease), An(in.q.Recipe.Title), run(in.atSizes(at)))
}

// drifts finds ease that does not stay the same from size to size: by more than a
// share of the range that is expected. Sizes told of already are left out.
func (in *inspection) drifts(f *Fitter, c *column, drawn []figure, but []int) {
	low, high := -1, -1
	for s, d := range drawn {
		if !d.known || slices.Contains(but, s) {
			continue
		}
		if low < 0 {
			low, high = s, s
		}
		if d.v < drawn[low].v {
			low = s
		}
		if d.v > drawn[high].v {
			high = s
		}
	}
	if low < 0 {
		return
	}
	from, to := f.ends(c.zone)
	most := max((to-from)*in.voc.Limits.EaseDrift, f.leastTolerance(c.zone))
	percent := c.zone.percent()
	if ticks(drawn[high].v-drawn[low].v, percent) <= ticks(most, percent) {
		return
	}
	a, b := min(low, high), max(low, high)
	word := "shrinks"
	if drawn[b].v > drawn[a].v {
		word = "grows"
	}
	found := easeFinding(c, "ease-drifts", IsWarning)
	found.Because = fmt.Sprintf("The ease at the %s %s from %s in size %s to %s in size %s: the same garment is meant to sit alike in every size.", c.measure.Title, word,
		in.ease(drawn[a].v, percent), in.read.Sizes[a], in.ease(drawn[b].v, percent), in.read.Sizes[b])
	in.found(found, b, drawn[b], drawn[a])
}

// loose looks at girths that the garment type has no zone for, where nothing
// stretches: finished and smaller than the body.
func (in *inspection) loose(f *Fitter) {
	if in.q.Recipe.Stretch.Kind != NoStretch {
		return
	}
	for _, name := range in.voc.names {
		m := in.voc.Measure(name)
		if m.Kind != Girth || slices.ContainsFunc(f.zones, func(c *column) bool { return c.zone.Name == name || c.chartRow == name || c.madeRow == name }) || !in.mend.Chart[name].known() || !in.mend.Finished[name].known() {
			continue
		}
		drawn := make([]figure, len(in.read.Sizes))
		for s := range drawn {
			if b, g := in.mend.Chart[name][s], in.mend.Finished[name][s]; b.Known && g.Known {
				drawn[s] = known(g.middle() - b.middle())
				if l := f.laced(m); l != nil {
					drawn[s].v += float64(l.Gap)
				}
			}
		}
		at, worst := places(drawn, func(d float64) bool { return ticks(d, false) < 0 }, func(a, b float64) bool { return a < b })
		if len(at) == 0 {
			continue
		}
		in.several(Finding{ID: "smaller-than-body", Severity: IsWarning, Of: OfEase, Row: name,
			Because: fmt.Sprintf("The finished %s is smaller than the body of its own chart in %s, by %s in size %s, and this type does not stretch.",
				m.Title, run(in.atSizes(at)), in.inUnits(-drawn[worst].v), in.read.Sizes[worst])}, at, worst, drawn[worst], known(0))
	}
}

// openings asks whether the chart's own body of each size gets in.
func (in *inspection) openings(f *Fitter) {
	type stuck struct {
		at    []int
		fits  []openingFit
		worst int
	}
	all := make([]stuck, len(f.recipe.Openings))
	for s := range f.sizes {
		j, err := f.judge(Fitting{Body: f.chartBody(s), Units: in.units, Cloth: in.draftedCloth()})
		if err != nil {
			continue // the chart cannot place this size, which is told elsewhere
		}
		for o, fit := range j.openings(s) {
			if fit.result != fails && fit.result != shortElastic {
				continue
			}
			k := &all[o]
			if len(k.fits) == 0 || fit.needs.v-fit.girth.v > k.fits[k.worst].needs.v-k.fits[k.worst].girth.v {
				k.worst = len(k.fits)
			}
			k.at, k.fits = append(k.at, f.cells[s]), append(k.fits, fit)
		}
		j.giveBack()
	}
	for o := range all {
		k, opening := all[o], &f.recipe.Openings[o]
		if len(k.at) == 0 {
			continue
		}
		fit := k.fits[k.worst]
		found := Finding{ID: "opening-too-small", Severity: IsWarning, Of: OfFinished, Row: opening.wants()[0],
			Because: fmt.Sprintf("The chart's own body does not get in at the %s in %s: in size %s the %s opens to %s and has to let %s through.", opening.Name,
				run(in.atSizes(k.at)), in.read.Sizes[k.at[k.worst]], fit.limit, in.inUnits(fit.girth.v), in.inUnits(fit.needs.v))}
		switch hangs := in.q.Recipe.Stretch.Kind != NoStretch && in.q.Pattern.Stretch == nil; {
		case hangs:
			found.Because += " That is in the least stretch of this type: the pattern does not say what cloth it was drafted for."
		case opening.Closure == nil && opening.Stops && fit.result == fails:
			found.Severity = IsError
		}
		in.several(found, k.at, k.at[k.worst], fit.girth, fit.needs)
	}
}

// draftedCloth is the cloth that the pattern was drafted for, as far as it says; nil:
// the least that the garment type asks for.
func (in *inspection) draftedCloth() *Cloth {
	if in.q.Pattern.Stretch == nil {
		return nil
	}
	return &Cloth{Name: "the cloth it was drafted for", Structure: Knit, Across: in.q.Pattern.Stretch, Along: in.q.Pattern.Stretch}
}

// between says how far a body half-way between two sizes is from both, against
// what the garment type bears on the side that the size for it will err to.
func (in *inspection) between(f *Fitter) error {
	mid := (len(f.sizes)+1)/2 - 1
	j, err := f.judge(Fitting{Body: f.chartBody(mid), Units: in.units})
	if err != nil {
		return nil // as in openings
	}
	defer j.giveBack()
	for z, c := range f.zones {
		if !c.decides || c.gap != "" || c.chartRow == "" {
			continue
		}
		from, to, gap := widestGap(f, f.pattern.Chart[c.chartRow])
		r := j.reach[z].above
		if f.between == Smaller && c.zone.By != ByChart {
			r = j.reach[z].below
		}
		if from < 0 || r == 0 {
			continue
		}
		low, high := f.pattern.Chart[c.chartRow][f.cells[from]], f.pattern.Chart[c.chartRow][f.cells[to]]
		body, away := float64(low.High)+gap/2, gap/2
		if c.zone.percent() {
			r = r * body / 100
		}
		cm := func(nm float64) float64 { return roundTo(nm/nanometresPerCm, 1000) }
		in.out.Between = append(in.out.Between, BetweenSizes{Row: c.chartRow, From: f.sizes[from], To: f.sizes[to], Body: cm(body), Away: cm(away), Tolerance: cm(r)})
		if ticks(away, false) <= ticks(r, false) {
			continue
		}
		in.found(Finding{ID: "far-between-sizes", Severity: IsWarning, Of: OfBody, Row: c.chartRow, At: high.At.String(),
			Because: fmt.Sprintf("A %s of %s lies half-way between sizes %s and %s, %s from both: more than the %s that %s bears.", c.measure.Title, in.inUnits(body),
				f.sizes[from], f.sizes[to], in.inUnits(away), in.inUnits(r), An(in.q.Recipe.Title))}, f.cells[to], known(away), known(r))
	}
	return nil
}

// widestGap is the widest gap between neighbouring columns, in size order.
func widestGap(f *Fitter, row Row) (from, to int, gap float64) {
	from, to = -1, -1
	last := -1
	for s, i := range f.cells {
		if !row[i].Known {
			continue
		}
		if last >= 0 {
			if d := float64(row[i].Low - row[f.cells[last]].High); d > gap {
				from, to, gap = last, s, d
			}
		}
		last = s
	}
	return from, to, gap
}
