package engine

import (
	"fmt"
	"math"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// Lacing says how far apart the laced edges of a closure are worn: as drawn, and
// between the least and the most that looks right. Laced shut the gap is 0.
type Lacing struct {
	Gap, Least, Most quantity.Length
	At               diag.Range
}

// sound tells whether the gap as drawn is one that will do.
func (l *Lacing) sound() bool { return l.Least >= 0 && l.Least <= l.Gap && l.Gap <= l.Most }

// laced is the closure that laces over a girth; nil where none does. What a pattern
// says of its own stands in place of its type's.
func (f *Fitter) laced(m *Measure) *Lacing {
	if c := f.pattern.Lacing; c != nil {
		return f.voc.lacedBy(c, m)
	}
	return f.recipe.Laced(m, f.voc)
}

// Laced is the closure of a type that laces over a girth; nil where none does.
func (r *Recipe) Laced(m *Measure, v *Vocabulary) *Lacing {
	for i := range r.Openings {
		if l := v.lacedBy(r.Openings[i].Closure, m); l != nil {
			return l
		}
	}
	return nil
}

// lacedBy is a closure's lacing where it crosses a girth of the trunk: from one of its levels to the other. Of one that
// reaches only part of the way the lower level is cut whole.
func (v *Vocabulary) lacedBy(c *Closure, m *Measure) *Lacing {
	if c == nil || c.Lacing == nil || m.Kind != Girth || m.Limb != "" {
		return nil
	}
	top, end := v.level(c.From), v.level(c.Towards)
	if m.Level < min(top, end) || m.Level > max(top, end) || !c.whole() && m.Level == end {
		return nil
	}
	return c.Lacing
}

// whole tells whether a closure opens the garment from end to end.
func (c *Closure) whole() bool { return c.Run == 0 }

// unlaced tells whether an opening's closure lies where a lacing opens the garment from end to end.
func (j *judging) unlaced(c *Closure) bool {
	by := c
	if j.pattern.Lacing != nil {
		by = j.pattern.Lacing
	}
	at, top, end := j.voc.level(c.From), j.voc.level(by.From), j.voc.level(by.Towards)
	return by.Lacing != nil && by.whole() && min(top, end) <= at && at <= max(top, end)
}

// wornAt is the garment at a measurement as it is worn: what is laced with its gap as drawn.
func (j *judging) wornAt(m *Measure, s int) figure {
	f := j.madeAt(m.Name, s)
	if l := j.laced(m); l != nil && f.known {
		f.v += float64(l.Gap)
	}
	return f
}

// takes is what the lacing adds to a garment that measures v there as it is drawn: as much as it lacks of what is
// wanted, as far as the gap will do.
func (r *row) takes(v float64) float64 {
	if r.lacing == nil || !r.laced.known {
		return 0
	}
	tighter, looser := float64(r.lacing.Least-r.lacing.Gap), float64(r.lacing.Most-r.lacing.Gap)
	return max(tighter, min(r.step(r.laced.v-v), looser))
}

// lace finds to what a level is laced: to the ease that is wanted.
func (j *judging) lace(r *row, c *column, s int) {
	ease, ok := j.wanted(r.z, s)
	if c.lacing == nil || !ok || !r.you.known || r.base.estimated || r.settled {
		return
	}
	r.lacing, r.laced = c.lacing, figure{v: r.you.v + convert(ease, c.zone.percent(), false, r.you.v), known: true}
	r.step = func(v float64) float64 { return j.onTape(v, math.Round) }
}

// entries are all changes of a level: the lacing first, since it costs nothing, then what is cut.
func (j explainer) entries(r *row) []entry {
	by := r.takes(r.cut())
	if by == 0 {
		return r.changes
	}
	say := fmt.Sprintf("Lace the %s with a gap of %s instead of %s.", r.measure.Title, j.inUnits(float64(r.lacing.Gap)+by), j.inUnits(float64(r.lacing.Gap)))
	return append([]entry{{by: ByLacing, amount: by, say: say}}, r.changes...)
}

// LevelLacing is the gap of a lacing at one level, in centimetres.
type LevelLacing struct {
	Sewn  float64 `json:"sewn"`  // the garment there from edge to edge, with all that is changed; the gap makes it up to becomes
	Gap   float64 `json:"gap"`   // how far apart the edges are laced on you
	Drawn float64 `json:"drawn"` // how far apart they are drawn to be
	Least float64 `json:"least"` // the least gap that looks right; 0 is laced shut
	Most  float64 `json:"most"`  // the most that does
}

// lacingAnswer is the gap at a level; nil where nothing is laced.
func (r *row) lacingAnswer(becomes float64) *LevelLacing {
	if r.lacing == nil {
		return nil
	}
	l := r.lacing
	gap := answered(float64(l.Gap) + r.takes(r.cut()))
	return &LevelLacing{Sewn: roundTo(becomes-gap, 1000), Gap: gap, Drawn: l.Gap.Cm(), Least: l.Least.Cm(), Most: l.Most.Cm()}
}

// gapAt is the gap of the lacing at a zone, in nanometres: by the plan of the size shown, of others before anything is cut.
// wanted is the gap that the ease wanted would take, whether it will do or not.
func (j *judging) gapAt(sc *scene) (gap, wanted float64, l *Lacing) {
	if sc.zone < 0 || j.zones[sc.zone].lacing == nil {
		return 0, 0, nil
	}
	r := j.rowAt(j.zones[sc.zone].measure, sc.s)
	if r == nil || r.lacing == nil {
		return 0, 0, nil
	}
	drawn := float64(r.lacing.Gap)
	return drawn + r.takes(r.cut()), drawn + r.laced.v - r.cut(), r.lacing
}

// anyLacing is the lacing of a size where some level that is measured has one; nil where none has.
func (j *judging) anyLacing(s int) *Lacing {
	for z, c := range j.zones {
		if c.lacing != nil && j.fitted(z, s).judged && !c.finished[s].estimated {
			return c.lacing
		}
	}
	return nil
}

// gaps are the narrowest and the widest gap of the lacing over all levels of a size.
func (j *judging) gaps(s int) (narrow, wide float64, ok bool) {
	narrow = math.Inf(1)
	for z := range j.zones {
		if gap, _, l := j.gapAt(&scene{s: s, zone: z}); l != nil {
			narrow, wide, ok = min(narrow, gap), max(wide, gap), true
		}
	}
	return narrow, wide, ok
}

// goesOver is what has to go round what at a zone, before anything stretches: of what is laced the garment with the widest
// gap that looks right, over a body drawn in as far as the type expects.
func (c *column) goesOver(r *zoneFit) (body, garment float64) {
	if c.lacing == nil || r.finished.estimated {
		return r.body, r.finished.v
	}
	body = r.body
	if e := c.zone.Ease; e != nil && e.HasLow && e.Low < 0 {
		body += convert(e.Low, e.Percent, false, body)
	}
	return body, r.finished.v + float64(c.lacing.Most-c.lacing.Gap)
}

// explainLaced hangs the gap above what is sewn.
func (j explainer) explainLaced(id string, c *column, s int, sewn *explain.Node) *explain.Node {
	l := c.lacing
	if l == nil || c.finished[s].estimated {
		return sewn
	}
	f := c.drafted(s)
	sewn.ID = id + "/sewn"
	gap := &explain.Node{ID: id + "/gap", Value: cmValue(float64(l.Gap)), Source: l.At.String(),
		Label: fmt.Sprintf("the lacing is drawn with a gap of %s; from %s to %s looks right", j.inUnits(float64(l.Gap)), j.inUnits(float64(l.Least)), j.inUnits(float64(l.Most)))}
	return (&explain.Node{ID: id, Value: cmValue(f.v), Source: "method: lacing",
		Label: fmt.Sprintf("%s of size %s as worn: sewn %s + a gap of %s = %s", c.measure.Title, j.sizes[s], j.inUnits(f.v-float64(l.Gap)), j.inUnits(float64(l.Gap)), j.inUnits(f.v))}).Add(sewn, gap)
}
