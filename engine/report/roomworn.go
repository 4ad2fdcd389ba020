package report

import (
	"cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Worn is a garment that was sewn, of which somebody says how it came out.
type Worn struct {
	Make       *engine.Make
	Recipe     *engine.Recipe // nil where the type is gone
	Vocabulary *engine.Vocabulary
	Units      quantity.Unit
	Body       *engine.Body // as it is measured now; nil where it is not known
}

// Room is the picture of [Room] for a garment that was sewn, with the zones that it shows, from the top down: as it was
// cut, or as it measures now. Each has a row of the same height. A level of which only the body is known has no line.
func (w *Worn) Room(zones []string) (s explain.Shapes, shown []string) {
	r := &layout{units: w.Units, s: &engine.Shown{Units: w.Units, Recipe: &engine.Recipe{},
		Height: func(measure string) float64 { return w.Vocabulary.Measure(measure).Height.Cm() },
		Limb:   func(measure string) engine.Limb { return w.Vocabulary.Measure(measure).Limb }}}
	if w.Recipe != nil {
		r.s.Recipe = w.Recipe
	}
	var levels []roomLevel
	for _, zone := range zones {
		if w.Vocabulary.Measure(r.measureOf(zone)) == nil || r.heightOf(zone) == 0 {
			continue
		}
		if l, ok := r.wornLevel(w, zone); ok {
			levels = append(levels, l)
		}
	}
	s = drawRoom(levels, inRows(levels))
	for i := range levels { // as they are sorted by now
		shown = append(shown, levels[i].zone)
	}
	return s, shown
}

// wornLevel is one level of a garment that was sewn. False: nothing is known of the body there.
func (r *layout) wornLevel(w *Worn, zone string) (roomLevel, bool) {
	z := zoneNamed(r.s.Recipe, zone)
	body, ok := w.body(zone, r.measureOf(zone))
	if !ok {
		return roomLevel{}, false
	}
	l := r.roomLevel(zone, cmp.Or(w.Make.Lines[zone], w.Make.Size), body)
	if z != nil && z.Role == engine.Held {
		l.made, l.known, l.ease, l.say = l.you, true, "held", "by "+cmp.Or(string(z.By), "what draws it in")
		return l, true
	}
	of := engine.ZoneAnswer{Zone: zone, Body: body}
	if z != nil && z.Ease != nil {
		of.Low, of.High, of.Unit = easeEnds(z.Ease)
	}
	l.made = l.you
	l.say = "not measured"
	if ease, percent, gap := w.Make.EaseAt(zone); gap == "" {
		unit := ""
		if percent {
			unit = engine.InPercent
		} else {
			ease /= float64(quantity.Centimetre)
		}
		l.made, l.known = l.room(allowed(&engine.ZoneAnswer{Body: body, Unit: unit}, ease), body), true
		l.ease, l.say = r.roomFigure(ease, unit), "as cut"
		if _, measured := w.Make.Outcome.Measured[zone]; measured {
			l.say = "measured"
		}
	}
	l.expects(&of)
	return l, true
}

// body is what you measure at a level, in centimetres: as it was when the garment was cut, else as it is now.
func (w *Worn) body(zone, measure string) (float64, bool) {
	e, eased := w.Make.Ease[zone]
	f, cut := w.Make.Finished[zone]
	switch {
	case eased && cut && e.IsPercent:
		return f.Length.Cm() / (1 + e.Percent/100), true
	case eased && cut:
		return (f.Length - e.Length).Cm(), true
	}
	if w.Body == nil {
		return 0, false
	}
	return w.Body.Cm(measure)
}

func zoneNamed(r *engine.Recipe, name string) *engine.Zone {
	for i := range r.Zones {
		if r.Zones[i].Name == name {
			return &r.Zones[i]
		}
	}
	return nil
}

// easeEnds are the ends of a range in centimetres or percent; nil where open.
func easeEnds(e *engine.EaseRange) (low, high *float64, unit string) {
	by := float64(quantity.Centimetre)
	if e.Percent {
		by, unit = 1, engine.InPercent
	}
	end := func(v float64, has bool) *float64 {
		if !has {
			return nil
		}
		v /= by
		return &v
	}
	return end(e.Low, e.HasLow), end(e.High, e.HasHigh), unit
}
