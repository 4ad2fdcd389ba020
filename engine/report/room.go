package report

import (
	"math"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// widened is how many times as wide as it is the room is drawn, so that it can be seen.
const widened = 2.0

// How a picture of the room is laid out, in centimetres: how far levels lie apart at
// least, how far it goes on above and below, and where the words stand.
const (
	leastApart = 19.0
	goesOn     = 10.0
	wordGap    = 3.0
	lineApart  = 4.2
)

// RoomNote says what is what in a picture of the room.
const RoomNote = "Filled: you. Line: the garment. Pale: the room that this type expects. Room is drawn twice as wide as it is."

// level of the picture: half the front of the body, and of the garment with the room widened.
type roomLevel struct {
	zone      string
	y         float64
	you, made float64
	low, high float64
	ranged    bool
	line      string
	ease, say string
}

// Room shows where a garment is close and where it has room: at each level you, the
// garment as it is cut, and the room that the type expects; beside them the line to
// follow and the ease. False: no level is known.
func Room(a *engine.Answer) (explain.Shapes, bool) {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	if a.Recommended == nil {
		return explain.Shapes{}, false
	}
	levels := r.roomLevels()
	if len(levels) == 0 {
		return explain.Shapes{}, false
	}
	widest := 0.0
	for i := range levels {
		l := &levels[i]
		widest = max(widest, l.you, l.made, l.high)
	}
	top, bottom := levels[0].y-goesOn, levels[len(levels)-1].y+goesOn
	s := explain.Shapes{Title: "Where it is close and where it has room", Box: explain.Box{X: -widest, Y: top, Width: 2 * widest, Height: bottom - top}}
	edge := func(of func(*roomLevel) float64) []explain.Point {
		points := []explain.Point{{X: of(&levels[0]), Y: top}}
		for i := range levels {
			points = append(points, explain.Point{X: of(&levels[i]), Y: levels[i].y})
		}
		return append(points, explain.Point{X: of(&levels[len(levels)-1]), Y: bottom})
	}
	body := edge(func(l *roomLevel) float64 { return l.you })
	s.Add(closed(explain.Beneath, body, mirrored(body)))
	for _, run := range ranges(levels, top, bottom) {
		s.Add(closed(explain.Area, run.low, run.high), closed(explain.Area, mirrored(run.low), mirrored(run.high)))
	}
	made := edge(func(l *roomLevel) float64 { return l.made })
	s.Add(flowing(explain.Accent, made), flowing(explain.Accent, mirrored(made)))
	var words []string
	for i := range levels {
		l := &levels[i]
		s.Add(explain.Line(explain.Guide, explain.Point{X: -widest, Y: l.y}, explain.Point{X: widest, Y: l.y}),
			explain.Label{Role: explain.Outline, At: explain.Point{X: -widest - wordGap, Y: l.y - lineApart}, Text: capital(spoken(l.zone)), Anchor: explain.AtEnd},
			explain.Label{Role: explain.Accent, At: explain.Point{X: -widest - wordGap, Y: l.y + lineApart}, Text: "line " + l.line, Anchor: explain.AtEnd},
			explain.Label{Role: explain.Outline, At: explain.Point{X: widest + wordGap, Y: l.y - lineApart}, Text: l.ease, Anchor: explain.AtStart},
			explain.Label{Role: explain.Guide, At: explain.Point{X: widest + wordGap, Y: l.y + lineApart}, Text: l.say, Anchor: explain.AtStart})
		words = append(words, capital(spoken(l.zone))+", line "+l.line+": "+l.ease+", "+l.say)
	}
	s.Alt = strings.Join(words, ". ") + ". " + RoomNote
	return s, true
}

// roomLevels are the levels of which body and garment are known, from the top down.
func (r *layout) roomLevels() []roomLevel {
	var out []roomLevel
	for i := range r.a.Sizes[0].Zones {
		z := r.a.Sizes[0].Zones[i]
		measure := r.measureOf(z.Zone)
		height := r.s.Height(measure)
		if height == 0 || z.Finished == nil || z.Ease == nil || z.Overlap || r.s.Limb(measure) != "" {
			continue
		}
		line, ease, garment := r.a.Sizes[0].Size, *z.Ease, *z.Finished
		if p := r.level(z.Zone); p != nil {
			line, garment = p.Line, p.Becomes
			if len(p.Changes) > 0 { // by the figure that it was changed for
				ease, z.Body = p.Ease, p.You
			}
		}
		l := roomLevel{zone: z.Zone, y: -height, you: z.Body / 4, line: line}
		room := func(made float64) float64 { return z.Body/4 + widened*(made-z.Body)/4 }
		l.made = room(garment)
		if z.Low != nil || z.High != nil {
			l.ranged, l.low, l.high = true, l.made, l.made // an open end goes on to the garment, if that lies beyond
			if z.Low != nil {
				l.low = room(allowed(&z, *z.Low))
				l.high = max(l.high, l.low)
			}
			if z.High != nil {
				l.high = room(allowed(&z, *z.High))
				if z.Low == nil {
					l.low = min(l.low, l.high)
				}
			}
		}
		l.ease, l.say = r.roomWords(&z, ease)
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b roomLevel) int { return int(math.Round(1000 * (a.y - b.y))) })
	for i := 1; i < len(out); i++ {
		out[i].y = max(out[i].y, out[i-1].y+leastApart)
	}
	return out
}

// roomWords are the ease in a figure, and how it compares with what is wanted.
func (r *layout) roomWords(z *engine.ZoneAnswer, ease float64) (figure, say string) {
	figure = r.amount(ease, z.Unit)
	if ease > 0 && figure != r.amount(0, z.Unit) {
		figure = "+" + figure
	}
	if z.Estimated {
		figure = "about " + figure
	}
	switch {
	case z.Wanted == nil:
		return figure, string(z.Verdict)
	case r.amount(*z.Wanted, z.Unit) == r.amount(ease, z.Unit):
		return figure, "as wanted"
	}
	return figure, r.amount(*z.Wanted, z.Unit) + " wanted"
}

// room between two edges, over levels that lie one below the other.
type roomRange struct{ low, high []explain.Point }

// ranges are the expected room where levels have one; a level without one parts them.
func ranges(levels []roomLevel, top, bottom float64) []roomRange {
	var out []roomRange
	var run *roomRange
	add := func(l *roomLevel, y float64) {
		run.low, run.high = append(run.low, explain.Point{X: l.low, Y: y}), append(run.high, explain.Point{X: l.high, Y: y})
	}
	for i := range levels {
		l := &levels[i]
		if !l.ranged {
			run = nil
			continue
		}
		if run == nil {
			out = append(out, roomRange{})
			run = &out[len(out)-1]
			above := l.y - goesOn/2
			if i == 0 {
				above = top
			}
			add(l, above)
		}
		add(l, l.y)
		if i == len(levels)-1 || !levels[i+1].ranged {
			below := l.y + goesOn/2
			if i == len(levels)-1 {
				below = bottom
			}
			add(l, below)
		}
	}
	return out
}

func mirrored(points []explain.Point) []explain.Point {
	out := make([]explain.Point, len(points))
	for i, p := range points {
		out[i] = explain.Point{X: -p.X, Y: p.Y}
	}
	return out
}

// flowing is a line through points from the top down, which stands upright at each.
func flowing(role explain.Role, points []explain.Point) explain.Path {
	p := explain.Path{Role: role, Start: points[0]}
	p.Legs = flow(points)
	return p
}

func flow(points []explain.Point) []explain.Leg {
	var legs []explain.Leg
	for i := 1; i < len(points); i++ {
		from, to := points[i-1], points[i]
		middle := (from.Y + to.Y) / 2
		legs = append(legs, explain.Leg{To: to, Curve: &explain.Curve{A: explain.Point{X: from.X, Y: middle}, B: explain.Point{X: to.X, Y: middle}}})
	}
	return legs
}

// closed is what lies between two such lines.
func closed(role explain.Role, one, other []explain.Point) explain.Path {
	back := slices.Clone(other)
	slices.Reverse(back)
	p := explain.Path{Role: role, Start: one[0], Closed: true, Legs: flow(one)}
	p.Legs = append(p.Legs, explain.Leg{To: back[0]})
	p.Legs = append(p.Legs, flow(back)...)
	return p
}
