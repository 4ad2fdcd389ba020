package report

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// widened is how many times as wide as it is the room is drawn, so that it can be seen.
const widened = 2.0

// How a picture of the room is laid out, in the unit of its axis, which is a centimetre of half a front: how far levels lie
// apart at least, and further where something is tapped at each; how far it goes on above and below; and where the words are.
const (
	leastApart  = 23.0
	tappedApart = 1.9 // times half of the widest front
	tappedAbove = 0.3 // of how far they lie apart there, above each
	goesOn      = 10.0
	goesOnLimb  = 6.0
	wordGap     = 3.0
	lineApart   = 4.2
)

// RoomNote says what is what in a picture of the room.
const RoomNote = "Filled: you. Line: the garment. Pale: the room that this type expects. Room is drawn twice as wide as it is."

// roomLevel is one level of the picture: half the front of the body, and of the garment with the room widened.
type roomLevel struct {
	zone      string
	limb      engine.Limb
	y         float64
	you       float64
	made      float64 // the garment
	known     bool    // whether it is known
	low, high float64 // the room that is expected
	ranged    bool    // whether a room is
	line      string
	ease, say string
}

// Room shows where a garment is close and where it has room: at each level you, the garment as it is cut, and the room that
// the type expects; beside them the line to follow and the ease. Arms and legs come below the trunk, on the same axis. False:
// no level is known.
func Room(a *engine.Answer) (explain.Shapes, bool) {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	if a.Recommended == nil {
		return explain.Shapes{}, false
	}
	levels := r.roomLevels()
	return drawRoom(levels, placed(levels)), len(levels) > 0
}

// drawRoom draws levels, part by part.
func drawRoom(levels []roomLevel, parts []roomPart) explain.Shapes {
	s := explain.Shapes{Title: "Where it is close and where it has room"}
	if len(levels) == 0 {
		return s
	}
	widest := widestOf(levels)
	top, bottom := parts[0].top, parts[len(parts)-1].bottom
	s.Box = explain.Box{X: -widest, Y: top, Width: 2 * widest, Height: bottom - top}
	for _, part := range parts {
		s.Add(part.shapes()...)
	}
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
	s.Alt = strings.Join(words, ". ") + "."
	return s
}

// widestOf is half of the widest front that is drawn.
func widestOf(levels []roomLevel) float64 {
	widest := 0.0
	for i := range levels {
		widest = max(widest, levels[i].you, levels[i].made, levels[i].high)
	}
	return widest
}

// roomLevels are the levels of which body and garment are known.
func (r *layout) roomLevels() []roomLevel {
	var out []roomLevel
	for i := range r.a.Sizes[0].Zones {
		z := r.a.Sizes[0].Zones[i]
		if z.Finished == nil || z.Ease == nil || z.Overlap || z.Role == engine.Held || r.heightOf(z.Zone) == 0 {
			continue
		}
		line, ease, garment := r.a.Sizes[0].Size, *z.Ease, *z.Finished
		if p := r.level(z.Zone); p != nil {
			line, garment, ease, z.Body = p.Line, p.Becomes, p.Ease, p.You
		}
		l := r.roomLevel(z.Zone, line, z.Body)
		l.made, l.known = l.room(garment, z.Body), true
		l.expects(&z)
		l.ease, l.say = r.roomWords(&z, ease)
		out = append(out, l)
	}
	for _, h := range r.s.Held {
		if r.heightOf(h.Zone) == 0 {
			continue
		}
		l := r.roomLevel(h.Zone, r.lineAt(h.Zone), h.Body)
		l.made, l.known = l.you, true
		l.ease, l.say = "held", "by "+h.By
		out = append(out, l)
	}
	return out
}

// heightOf is how high a drawing has a zone; 0: in none.
func (r *layout) heightOf(zone string) float64 { return r.s.Height(r.measureOf(zone)) }

// lineAt is the size line that is followed at a level that is not judged.
func (r *layout) lineAt(zone string) string {
	for _, l := range r.a.Lines {
		if l.Zone == zone {
			return l.Size
		}
	}
	return r.a.Sizes[0].Size
}

// roomLevel is a level without its garment.
func (r *layout) roomLevel(zone, line string, body float64) roomLevel {
	return roomLevel{zone: zone, limb: r.s.Limb(r.measureOf(zone)), y: -r.heightOf(zone), you: body / 4, line: line}
}

// room is half the front of a garment, with its room widened.
func (l *roomLevel) room(garment, body float64) float64 { return l.you + widened*(garment-body)/4 }

// expects takes over the room that the type expects. An open end goes on to the garment, if that lies beyond.
func (l *roomLevel) expects(z *engine.ZoneAnswer) {
	if z.Low == nil && z.High == nil {
		return
	}
	l.ranged, l.low, l.high = true, l.made, l.made
	if z.Low != nil {
		l.low = l.room(allowed(z, *z.Low), z.Body)
		l.high = max(l.high, l.low)
	}
	if z.High != nil {
		l.high = l.room(allowed(z, *z.High), z.Body)
		if z.Low == nil {
			l.low = min(l.low, l.high)
		}
	}
}

// roomWords are the ease in a figure, and how it compares with what is wanted.
func (r *layout) roomWords(z *engine.ZoneAnswer, ease float64) (figure, say string) {
	figure = r.roomFigure(ease, z.Unit)
	if z.Estimated {
		figure = "about " + figure
	}
	switch {
	case z.Wanted == nil:
		return figure, string(z.Verdict)
	case r.amount(*z.Wanted, z.Unit) == r.amount(ease, z.Unit):
		return figure, "as wanted"
	case *z.Wanted < 0 && ease < 0:
		return figure, r.bare(r.amount(-*z.Wanted, z.Unit)) + " wanted"
	case *z.Wanted < 0:
		return figure, r.bare(r.roomFigure(*z.Wanted, z.Unit)) + " wanted"
	}
	return figure, r.bare(r.amount(*z.Wanted, z.Unit)) + " wanted"
}

// roomFigure is an ease with a plus where there is room, and how much smaller the garment is where there is less than none.
func (r *layout) roomFigure(ease float64, unit string) string {
	switch figure := r.amount(ease, unit); {
	case figure == r.amount(0, unit):
		return figure
	case ease < 0:
		return r.amount(-ease, unit) + " smaller"
	default:
		return "+" + figure
	}
}

// roomPart is the trunk, an arm or a leg in the picture.
type roomPart struct {
	levels      []roomLevel
	top, bottom float64
}

// placed sorts levels from the top down, trunk, arm and leg one after the other, and puts each as far below the one above
// as it has to be.
func placed(levels []roomLevel) []roomPart {
	return partsOf(levels, func(i int, limb bool) (above, y, below float64) {
		l, on := &levels[i], goesOn
		if limb {
			on = goesOnLimb
		}
		switch {
		case i == 0:
			return on, l.y, on
		case levels[i-1].limb != l.limb:
			return on, levels[i-1].y + leastApart, on
		}
		return on, max(levels[i-1].y+leastApart, min(l.y, levels[i-1].y+2*leastApart)), on
	})
}

// inRows sorts levels in the same way and gives each as much room, so that something can be laid over each.
func inRows(levels []roomLevel) []roomPart {
	apart := tappedApart * widestOf(levels) // which leaves a row as high however wide the picture is
	return partsOf(levels, func(i int, _ bool) (above, y, below float64) {
		return tappedAbove*apart - goesOnLimb/2, float64(i) * apart, (1-tappedAbove)*apart - goesOnLimb/2
	})
}

// partsOf sorts levels and parts them by the limb; place says where each lies, and how far the part goes on above and below it.
func partsOf(levels []roomLevel, place func(i int, limb bool) (above, y, below float64)) []roomPart {
	order := []engine.Limb{"", engine.OnArm, engine.OnLeg}
	slices.SortStableFunc(levels, func(a, b roomLevel) int {
		return cmp.Or(cmp.Compare(slices.Index(order, a.limb), slices.Index(order, b.limb)), int(math.Round(1000*(a.y-b.y))))
	})
	var out []roomPart
	for i := range levels {
		l := &levels[i]
		above, y, below := place(i, l.limb != "")
		l.y = y
		if i == 0 || levels[i-1].limb != l.limb {
			out = append(out, roomPart{top: y - above})
		}
		part := &out[len(out)-1]
		part.levels, part.bottom = levels[i-len(part.levels):i+1], y+below
	}
	return out
}

// shapes are the body, what is expected, and the garment's line.
func (p *roomPart) shapes() []explain.Shape {
	edge := func(of func(*roomLevel) float64) func(*roomLevel) []float64 {
		return func(l *roomLevel) []float64 { return []float64{of(l)} }
	}
	body := p.runs(func(*roomLevel) bool { return true }, edge(func(l *roomLevel) float64 { return l.you }))[0][0]
	out := []explain.Shape{closed(explain.Beneath, body, mirrored(body))}
	for _, run := range p.runs(func(l *roomLevel) bool { return l.ranged }, func(l *roomLevel) []float64 { return []float64{l.low, l.high} }) {
		out = append(out, closed(explain.Area, run[0], run[1]), closed(explain.Area, mirrored(run[0]), mirrored(run[1])))
	}
	for _, run := range p.runs(func(l *roomLevel) bool { return l.known }, edge(func(l *roomLevel) float64 { return l.made })) {
		out = append(out, flowing(explain.Accent, run[0]), flowing(explain.Accent, mirrored(run[0])))
	}
	return out
}

// runs are edges over levels that lie one below the other and have something; a level that lacks it parts them. Each edge
// goes on a little above its first level and below its last.
func (p *roomPart) runs(has func(*roomLevel) bool, edges func(*roomLevel) []float64) [][][]explain.Point {
	var out [][][]explain.Point
	add := func(l *roomLevel, y float64) {
		run := out[len(out)-1]
		for i, x := range edges(l) {
			run[i] = append(run[i], explain.Point{X: x, Y: y})
		}
	}
	for i := range p.levels {
		l := &p.levels[i]
		if !has(l) {
			continue
		}
		first, last := i == 0, i == len(p.levels)-1
		if first || !has(&p.levels[i-1]) {
			out = append(out, make([][]explain.Point, len(edges(l))))
			above := l.y - goesOn/2
			if first {
				above = p.top
			}
			add(l, above)
		}
		add(l, l.y)
		if last || !has(&p.levels[i+1]) {
			below := l.y + goesOn/2
			if last {
				below = p.bottom
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
