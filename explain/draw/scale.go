package draw

import (
	"errors"
	"math"

	"fitadvisor/explain"
)

// The measures of a scale, in points.
const (
	laneHeight = 17.0
	airAround  = 8.5 // from a sign's middle to its label, and between a label and the next sign
	signReach  = 5.0 // half of the largest sign
	tickReach  = 4.0
	leastAxis  = 120.0
	mostBeyond = 50.0 // that a label may reach beyond the axis
	between    = 18.0 // two entries of a legend
)

// plot is a scale being drawn: a gutter of labels, then the axis.
type plot struct {
	explain.Shapes
	gutter, width float64 // the axis runs from the one to the other
	beyond        float64 // room for the labels of the last marks
	low, high     float64
	y             float64 // of the middle of the next line
}

// Scale lays out figures on one axis, as wide as it may be, in points.
func Scale(s explain.Scale, width float64) (Picture, error) {
	low, high, ok := s.Span()
	if !ok {
		return Picture{}, errors.New("a scale has a figure that cannot be drawn")
	}
	p := &plot{Shapes: explain.Shapes{Title: s.Title, Alt: s.Alt}, width: width - 2*margin, low: low, high: high}
	p.measure(s)
	rows := p.placed(s)
	p.y = laneHeight / 2
	lanes := countLanes(rows)
	if s.Band != nil || s.Aim != nil {
		lanes++
	}
	bottom := laneHeight * float64(lanes)
	p.band(s, bottom)
	for _, r := range rows {
		p.Add(explain.Label{Role: explain.Outline, At: explain.Point{Y: p.y}, Text: r.label})
		for _, lane := range r.lanes {
			for _, m := range lane {
				p.mark(m, bottom)
			}
			p.y += laneHeight
		}
	}
	p.axis(s, bottom)
	p.legend(s.Legend)
	p.Box = explain.Box{Width: p.width + p.beyond, Height: p.y - laneHeight/2}
	return Shapes(p.Shapes, width, math.Inf(1))
}

// measure makes the gutter as wide as its widest label. Where that leaves too
// little for the axis, the picture is drawn wider and then made smaller.
func (p *plot) measure(s explain.Scale) {
	labels := []string{s.Unit}
	p.beyond = signReach
	for _, r := range s.Rows {
		labels = append(labels, r.Label)
		for _, m := range r.Marks {
			p.beyond = max(p.beyond, min(mostBeyond, airAround+Width(labelOf(m), letters, true)))
		}
	}
	if s.Band != nil {
		labels = append(labels, s.Band.Label)
	}
	for _, l := range labels {
		p.gutter = max(p.gutter, Width(l, letters, false)+2*airAround)
	}
	p.width = max(p.width-p.beyond, p.gutter+leastAxis)
}

func (p *plot) x(v float64) float64 {
	return p.gutter + (v-p.low)/(p.high-p.low)*(p.width-p.gutter)
}

// row is a row in as many lanes as its marks need to stand clear of one another.
type row struct {
	label string
	lanes [][]placed
}

// placed is a mark with what it covers of its lane.
type placed struct {
	explain.Mark
	label    string
	from, to float64
	left     bool // whether the label stands to the left of the sign
}

func countLanes(rows []row) int {
	n := 0
	for _, r := range rows {
		n += len(r.lanes)
	}
	return n
}

func (p *plot) placed(s explain.Scale) []row {
	rows := make([]row, len(s.Rows))
	for i, r := range s.Rows {
		rows[i] = row{label: r.Label, lanes: make([][]placed, 1)}
		for _, m := range r.Marks {
			rows[i].add(p.place(m))
		}
	}
	return rows
}

func (p *plot) place(m explain.Mark) placed {
	q := placed{Mark: m, label: labelOf(m)}
	at, wide := p.x(m.At), airAround+Width(q.label, letters, true)
	q.from, q.to = at-signReach, at+wide
	if q.to > p.width+p.beyond && at-wide > p.gutter {
		q.left, q.from, q.to = true, at-wide, at+signReach
	}
	return q
}

func labelOf(m explain.Mark) string {
	if m.Rough {
		return "~" + m.Label
	}
	return m.Label
}

// add puts a mark into the first lane where it stands clear.
func (r *row) add(m placed) {
	for i, lane := range r.lanes {
		clear := true
		for _, other := range lane {
			clear = clear && (m.to+airAround <= other.from || other.to+airAround <= m.from)
		}
		if clear {
			r.lanes[i] = append(lane, m)
			return
		}
	}
	r.lanes = append(r.lanes, []placed{m})
}

// band is an area behind all rows, with an edge where it ends and a tip where it
// runs on; the point aimed at is a star with a line down through the rows.
func (p *plot) band(s explain.Scale, bottom float64) {
	if b := s.Band; b != nil {
		from, to := p.gutter, p.width
		if !b.OpenLow {
			from = p.x(b.Low)
		}
		if !b.OpenHigh {
			to = p.x(b.High)
		}
		p.Add(box(explain.Area, from, 0, to, bottom), explain.Label{Role: explain.Outline, At: explain.Point{Y: p.y}, Text: b.Label})
		p.end(from, b.OpenLow, -1, bottom)
		p.end(to, b.OpenHigh, 1, bottom)
	}
	if s.Aim != nil {
		at := explain.Point{X: p.x(*s.Aim), Y: p.y}
		p.Add(explain.Line(explain.Guide, at, explain.Point{X: at.X, Y: bottom}))
		p.sign(explain.Aimed, at, false)
	}
	if s.Band != nil || s.Aim != nil {
		p.y += laneHeight
	}
}

func (p *plot) end(x float64, open bool, outward, bottom float64) {
	if !open {
		p.Add(explain.Line(explain.Measure, explain.Point{X: x}, explain.Point{X: x, Y: bottom}))
		return
	}
	back := x - outward*signReach
	p.Add(explain.Line(explain.Outline, explain.Point{X: back, Y: p.y - signReach}, explain.Point{X: x, Y: p.y}, explain.Point{X: back, Y: p.y + signReach}))
}

func (p *plot) mark(m placed, bottom float64) {
	at := explain.Point{X: p.x(m.At), Y: p.y}
	if m.Kind == explain.Given {
		p.Add(explain.Line(explain.Outline, at, explain.Point{X: at.X, Y: bottom}))
	}
	p.sign(m.Kind, at, m.Rough)
	l := explain.Label{Role: letterRoles[m.Kind], At: explain.Point{X: at.X + airAround, Y: at.Y}, Text: m.label, Anchor: explain.AtStart}
	if m.left {
		l.At.X, l.Anchor = at.X-airAround, explain.AtEnd
	}
	p.Add(l)
}

// letterRoles are the looks of the labels beside the marks.
var letterRoles = map[explain.Kind]explain.Role{explain.Chosen: explain.Accent, explain.Excluded: explain.Against}

// sign draws what tells a kind of mark from the others: its shape.
func (p *plot) sign(k explain.Kind, at explain.Point, rough bool) {
	corner := func(x, y float64) explain.Point { return explain.Point{X: at.X + x, Y: at.Y + y} }
	switch k {
	case explain.Given:
		p.Add(explain.Line(explain.Accent, corner(0, -signReach), corner(0, signReach)))
	case explain.Choice, explain.Estimate:
		disc := circle(explain.Outline, at, 3)
		disc.Filled = !rough && k == explain.Choice
		p.Add(disc)
	case explain.Chosen:
		diamond := explain.Polygon(explain.Accent, corner(0, -signReach), corner(signReach, 0), corner(0, signReach), corner(-signReach, 0))
		diamond.Filled = !rough
		p.Add(diamond)
	case explain.Excluded:
		p.Add(explain.Line(explain.Against, corner(-3.5, -3.5), corner(3.5, 3.5)), explain.Line(explain.Against, corner(-3.5, 3.5), corner(3.5, -3.5)))
	case explain.Aimed:
		for turn := range 3 {
			sin, cos := math.Sincos(math.Pi * (0.5 + float64(turn)/3))
			p.Add(explain.Line(explain.Outline, corner(-cos*signReach, -sin*signReach), corner(cos*signReach, sin*signReach)))
		}
	case explain.Within:
		p.Add(box(explain.Area, at.X-signReach, at.Y-signReach, at.X+signReach, at.Y+signReach),
			explain.Line(explain.Measure, corner(-signReach, -signReach), corner(-signReach, signReach)),
			explain.Line(explain.Measure, corner(signReach, -signReach), corner(signReach, signReach)))
	}
}

func box(role explain.Role, left, top, right, bottom float64) explain.Path {
	return explain.Polygon(role, explain.Point{X: left, Y: top}, explain.Point{X: right, Y: top}, explain.Point{X: right, Y: bottom}, explain.Point{X: left, Y: bottom})
}

// circle is four curves; pull is how far their control points lie out, as a share
// of the radius: 4/3 (sqrt 2 - 1).
func circle(role explain.Role, at explain.Point, radius float64) explain.Path {
	const pull = 4.0 / 3 * (math.Sqrt2 - 1)
	turn := func(x, y float64) explain.Point { return explain.Point{X: at.X + x*radius, Y: at.Y + y*radius} }
	quarter := func(fromX, fromY, toX, toY float64) explain.Leg {
		return explain.Leg{To: turn(toX, toY), Curve: &explain.Curve{A: turn(fromX+toX*pull, fromY+toY*pull), B: turn(toX+fromX*pull, toY+fromY*pull)}}
	}
	return explain.Path{Role: role, Closed: true, Start: turn(1, 0),
		Legs: []explain.Leg{quarter(1, 0, 0, 1), quarter(0, 1, -1, 0), quarter(-1, 0, 0, -1), quarter(0, -1, 1, 0)}}
}

// axis is the line below the rows, with its ticks, and below it as many of their
// names as stand clear of one another.
func (p *plot) axis(s explain.Scale, bottom float64) {
	p.Add(explain.Line(explain.Outline, explain.Point{X: p.gutter, Y: bottom}, explain.Point{X: p.width, Y: bottom}))
	p.y = bottom + laneHeight*0.75
	p.Add(explain.Label{Role: explain.Guide, At: explain.Point{Y: p.y}, Text: s.Unit})
	free := math.Inf(-1)
	for _, t := range s.Ticks {
		x, half := p.x(t.At), Width(t.Label, letters, false)/2
		p.Add(explain.Line(explain.Outline, explain.Point{X: x, Y: bottom}, explain.Point{X: x, Y: bottom + tickReach}))
		if x-half >= free {
			p.Add(explain.Label{Role: explain.Guide, At: explain.Point{X: x, Y: p.y}, Text: t.Label, Anchor: explain.AtMiddle})
			free = x + half + airAround
		}
	}
	p.y += laneHeight * 1.25
}

// legend is each sign with what it stands for, in as many lines as that takes.
func (p *plot) legend(keys []explain.Key) {
	x := 0.0
	for _, k := range keys {
		wide := signReach + airAround + Width(k.Text, letters, false)
		if x > 0 && x+wide > p.width+p.beyond {
			x = 0
			p.y += laneHeight
		}
		at := explain.Point{X: x + signReach, Y: p.y}
		p.sign(k.Kind, at, false)
		p.Add(explain.Label{Role: explain.Outline, At: explain.Point{X: at.X + airAround, Y: at.Y}, Text: k.Text, Anchor: explain.AtStart})
		x += wide + between
	}
	if len(keys) > 0 {
		p.y += laneHeight
	}
}
