package report

import (
	"slices"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// The figure on which garment types are outlined: heights above the floor and half
// widths from the front, in centimetres; eight heads high (common practice).
const (
	neckHeight, neckHalf         = 143.0, 8.0
	shoulderHeight, shoulderHalf = 138.0, 20.0
	underarmHeight, bustHalf     = 122.0, 22.0
	waistHeight, waistHalf       = 105.0, 17.0
	hipHeight, hipHalf           = 85.0, 23.0
	kneeHeight, ankleHeight      = 46.0, 9.0
	legHalf, gap                 = 12.0, 1.5
)

// Outline is about how a garment type looks, from the front: where it begins and
// ends, its sleeves and legs, and whether it is close or roomy. It is no drawing to
// cut by.
func Outline(r *engine.Recipe, v *engine.Vocabulary) explain.Shapes {
	v = v.For(nil, r)
	s := explain.Shapes{Title: capital(r.Title)}
	switch {
	case hasZone(r, "head"):
		s.Add(curved(at(-16, 0), at(-15, -24), at(15, -24), at(16, 0)), explain.Line(explain.Outline, at(-26, 2), at(0, -3), at(26, 2), at(16, 6), at(-16, 6), at(-26, 2)))
		s.Box = explain.Box{X: -30, Y: -30, Width: 60, Height: 44}
		return s
	case hasZone(r, "hand"):
		s.Add(explain.Polygon(explain.Outline, at(-8, 30), at(-8, 4), at(-17, -8), at(-13, -12), at(-8, -6), at(-8, -24), at(-3, -24), at(-3, -28), at(3, -28), at(3, -24), at(8, -24), at(8, 30)))
		s.Box = explain.Box{X: -30, Y: -32, Width: 60, Height: 64}
		return s
	}
	o := outlined{r: r, v: v, roomy: roominess(r)}
	s.Add(o.body())
	if o.has("sleeves") {
		s.Add(o.sleeve(-1), o.sleeve(1))
	}
	top, bottom := o.top(), o.bottom()
	s.Box = explain.Box{X: -46, Y: -top - 2, Width: 92, Height: top - bottom + 4}
	return s
}

func at(x, y float64) explain.Point { return explain.Point{X: x, Y: y} }

func curved(from, a, b, to explain.Point) explain.Path {
	return explain.Path{Role: explain.Outline, Start: from, Legs: []explain.Leg{{To: to, Curve: &explain.Curve{A: a, B: b}}}}
}

func hasZone(r *engine.Recipe, measure string) bool {
	return slices.ContainsFunc(r.Zones, func(z engine.Zone) bool { return z.Measure == measure })
}

// roominess is how far a garment stands off the figure on either side: a quarter of
// the ease in the middle of the range of what decides, and no less than nothing.
func roominess(r *engine.Recipe) float64 {
	most := 0.0
	for i := range r.Zones {
		if e := r.Zones[i].Ease; e != nil && !e.Percent && r.Zones[i].Role == engine.Decides {
			high := e.High
			if !e.HasHigh {
				high = 2 * e.Low
			}
			most = max(most, (e.Low+high)/2/1e7/4)
		}
	}
	return min(most, 8)
}

// outlined is a garment type being outlined.
type outlined struct {
	r     *engine.Recipe
	v     *engine.Vocabulary
	roomy float64
}

func (o *outlined) has(part string) bool { return slices.Contains(o.r.Parts, part) }

// upper tells whether it goes over the shoulders or the bust.
func (o *outlined) upper() bool {
	return slices.ContainsFunc([]string{"shoulder", "bodice", "sleeves"}, o.has) ||
		slices.ContainsFunc([]string{"bust", "chest", "upper_bust", "underbust", "shoulder_girth", "trunk", "front_waist_length"}, func(m string) bool { return hasZone(o.r, m) })
}

func (o *outlined) top() float64 {
	if o.upper() {
		return neckHeight
	}
	return waistHeight
}

// legged tells whether it has legs, or is cut out for them.
func (o *outlined) legged() bool {
	return o.has("legs") || o.has("crotch") || slices.ContainsFunc([]string{"thigh", "trunk", "crotch_length", "inside_leg"}, func(m string) bool { return hasZone(o.r, m) })
}

func (o *outlined) bottom() float64 {
	lowest := underarmHeight
	for i := range o.r.Zones {
		m := o.v.Measure(o.r.Zones[i].Measure)
		if m != nil && m.Kind == engine.Girth && m.Limb != engine.OnArm && m.Height > 0 {
			lowest = min(lowest, m.Height.Cm())
		}
	}
	switch {
	case o.has("legs") || hasZone(o.r, "inside_leg"):
		return ankleHeight
	case o.has("crotch"):
		return 62
	case o.legged():
		return 70
	case o.has("skirt"), o.r.Nightwear:
		return kneeHeight
	case o.upper() && o.has("bodice"):
		return min(lowest, hipHeight) - 3
	case lowest <= hipHeight && o.upper() && !o.has("sleeves"):
		return kneeHeight + 10
	case !o.upper():
		return kneeHeight
	}
	return lowest - 6
}

// side is the right side of the garment, from the top down.
func (o *outlined) side() []explain.Point {
	var p []explain.Point
	bottom, roomy := o.bottom(), o.roomy
	add := func(half, height float64) {
		if height > bottom {
			p = append(p, at(half, -height))
		}
	}
	if o.upper() {
		add(neckHalf, neckHeight)
		add(shoulderHalf*0.97, shoulderHeight)
		add(bustHalf+roomy*0.7, underarmHeight)
	}
	add(waistHalf+roomy*o.waisted(), waistHeight)
	add(hipHalf+roomy, hipHeight)
	return append(p, at(o.hem(bottom), -bottom))
}

// waisted is the share of its room that a garment has at the waist.
func (o *outlined) waisted() float64 {
	if hasZone(o.r, "waist") {
		return 0.3
	}
	return 1.4
}

// hem is half the width at the lower edge, of both legs together.
func (o *outlined) hem(bottom float64) float64 {
	switch {
	case o.has("legs") || hasZone(o.r, "inside_leg"):
		return legHalf + 4 + o.roomy*1.4
	case o.has("crotch"):
		return hipHalf + o.roomy + 1
	case o.legged():
		return waistHalf - 3
	case o.has("skirt") && o.r.Controlling.Formula == nil && !hasZone(o.r, "hip"):
		return hipHalf + 19 // it swings out from the waist
	case o.has("shoulder") && len(o.r.Parts) == 1:
		return hipHalf + 19
	case o.has("skirt"), bottom < hipHeight-10:
		return hipHalf + o.roomy*2
	case bottom > waistHeight:
		return bustHalf - 2
	}
	return hipHalf + o.roomy
}

// body is the outline of the garment, without its sleeves.
func (o *outlined) body() explain.Path {
	right := o.side()
	points := slices.Clone(right)
	bottom := -right[len(right)-1].Y
	if o.legged() {
		fork, inner := 76.0, gap
		if !o.has("legs") && !o.has("crotch") && !hasZone(o.r, "inside_leg") {
			fork, inner = 66, 4
			points[len(points)-1] = at(hipHalf-1, -80)
			points = append(points, at(inner, -fork), at(-inner, -fork))
		} else {
			points = append(points, at(inner, -bottom), at(0, -fork), at(-inner, -bottom))
		}
	}
	for _, p := range slices.Backward(right) {
		if o.legged() && p == right[len(right)-1] && points[len(right)-1] != p {
			p = points[len(right)-1]
		}
		points = append(points, at(-p.X, p.Y))
	}
	if o.upper() {
		points = append(points, at(0, -neckHeight+9)) // the neckline
	}
	return explain.Polygon(explain.Outline, points[0], points[1:]...)
}

// sleeve is one sleeve, hanging a little away.
func (o *outlined) sleeve(side float64) explain.Path {
	wide := 5 + o.roomy*0.4
	return explain.Polygon(explain.Outline, at(side*shoulderHalf*0.97, -shoulderHeight), at(side*(shoulderHalf+15+wide/2), -92), at(side*(shoulderHalf+15-wide), -90), at(side*(bustHalf+o.roomy*0.7), -underarmHeight))
}
