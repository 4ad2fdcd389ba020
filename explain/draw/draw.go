// Package draw lays out what is to be drawn, once for every face that draws:
// [Shapes] and [Scale] turn a block into a [Picture] of lines and letters in
// points, [Ink] and [PenOf] say how each role looks. explain/svg and explain/pdf
// write pictures down.
package draw

import (
	"errors"
	"fmt"
	"math"

	"fitadvisor/explain"
)

// Picture is a drawing as large as it will be, in points (1/72 in), x to the right
// and y downwards from 0, 0; nothing reaches beyond it.
type Picture struct {
	Title, Alt    string
	Width, Height float64
	Paths         []explain.Path // drawn first, in order
	Texts         []Text
}

// Text is one line of letters.
type Text struct {
	Role   explain.Role
	At     explain.Point // on the line that letters stand on
	Anchor explain.Anchor
	Text   string
	Height float64 // of the font
}

// What is the same in all pictures, in points.
const (
	letters  = 9.0 // height of the font
	standing = 3.1 // from the middle of a letter down to the line it stands on
	margin   = 3.0 // around everything: half of the thickest line, and air
	endMark  = 3.0 // half of the stroke at the end of a dimension
	beside   = 8.0 // from a dimension's line to the middle of its text
)

var errFar = errors.New("a drawing has a coordinate that cannot be drawn")

// Shapes lays out a drawing, no wider and no higher than it may be, in points.
func Shapes(s explain.Shapes, width, height float64) (Picture, error) {
	if err := check(s); err != nil {
		return Picture{}, err
	}
	scale := math.Inf(1)
	if s.Box.Width > 0 {
		scale = width / s.Box.Width
	}
	if s.Box.Height > 0 {
		scale = min(scale, height/s.Box.Height)
	}
	var p Picture
	for range 8 { // labels keep their height, so that each attempt comes nearer
		p = at(s, scale)
		over := max(p.Width/width, p.Height/height)
		if over <= 1 {
			return p, nil
		}
		scale /= over * 1.001
	}
	p.shrink(min(1, width/p.Width, height/p.Height))
	return p, nil
}

// check refuses what no page can hold.
func check(s explain.Shapes) error {
	if !(s.Box.Width > 0 || s.Box.Height > 0) || !finite(explain.Point{X: s.Box.X, Y: s.Box.Y}, explain.Point{X: s.Box.Width, Y: s.Box.Height}) {
		return errors.New("a drawing needs a box that is wider or higher than nothing")
	}
	for _, item := range s.Items {
		switch item := item.(type) {
		case explain.Path:
			if !finite(pointsOf(item)...) {
				return errFar
			}
		case explain.Label:
			if !finite(item.At) {
				return errFar
			}
		case explain.Dimension:
			if !finite(item.From, item.To) {
				return errFar
			}
		default:
			return fmt.Errorf("no way to draw a %T", item)
		}
	}
	return nil
}

func finite(points ...explain.Point) bool {
	for _, p := range points {
		if !(math.Abs(p.X) <= explain.Far && math.Abs(p.Y) <= explain.Far) {
			return false
		}
	}
	return true
}

// pointsOf are a path's points, with those that pull its curves: the path lies between them.
func pointsOf(p explain.Path) []explain.Point {
	points := []explain.Point{p.Start}
	for _, l := range p.Legs {
		if l.Curve != nil {
			points = append(points, l.Curve.A, l.Curve.B)
		}
		points = append(points, l.To)
	}
	return points
}

// at draws at a scale, and moves all so that nothing lies beyond the picture.
func at(s explain.Shapes, scale float64) Picture {
	p := Picture{Title: s.Title, Alt: s.Alt}
	place := func(q explain.Point) explain.Point {
		return explain.Point{X: (q.X - s.Box.X) * scale, Y: (q.Y - s.Box.Y) * scale}
	}
	for _, item := range s.Items {
		switch item := item.(type) {
		case explain.Path:
			p.Paths = append(p.Paths, moved(item, place))
		case explain.Label:
			p.label(item.Role, place(item.At), item.Text, item.Anchor)
		case explain.Dimension:
			p.dimension(place(item.From), place(item.To), item.Text)
		}
	}
	b := bounds{right: s.Box.Width * scale, bottom: s.Box.Height * scale}
	b.all(&p)
	shift := func(q explain.Point) explain.Point {
		return explain.Point{X: q.X - b.left + margin, Y: q.Y - b.top + margin}
	}
	p.move(shift)
	p.Width, p.Height = b.right-b.left+2*margin, b.bottom-b.top+2*margin
	return p
}

func (p *Picture) label(role explain.Role, at explain.Point, text string, anchor explain.Anchor) {
	p.Texts = append(p.Texts, Text{Role: role, At: explain.Point{X: at.X, Y: at.Y + standing}, Anchor: anchor, Text: text, Height: letters})
}

// dimension is a line with a stroke across each end, and its text beside it: above
// a line that lies, to the right of one that stands.
func (p *Picture) dimension(from, to explain.Point, text string) {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length == 0 {
		length = 1
	}
	across := explain.Point{X: (from.Y - to.Y) / length, Y: (to.X - from.X) / length}
	p.Paths = append(p.Paths, explain.Line(explain.Measure, from, to))
	for _, end := range []explain.Point{from, to} {
		p.Paths = append(p.Paths, explain.Line(explain.Measure, along(end, across, -endMark), along(end, across, endMark)))
	}
	middle := explain.Point{X: (from.X + to.X) / 2, Y: (from.Y + to.Y) / 2}
	if across.Y > 0 || across.Y == 0 && across.X < 0 { // up, or to the right
		across = explain.Point{X: -across.X, Y: -across.Y}
	}
	anchor := explain.AtMiddle
	switch {
	case across.X > 0.5:
		anchor, middle = explain.AtStart, along(middle, across, beside/2)
	case across.X < -0.5:
		anchor, middle = explain.AtEnd, along(middle, across, beside/2)
	default:
		middle = along(middle, across, beside)
	}
	p.label(explain.Measure, middle, text, anchor)
}

func along(p, direction explain.Point, far float64) explain.Point {
	return explain.Point{X: p.X + direction.X*far, Y: p.Y + direction.Y*far}
}

func (p *Picture) move(to func(explain.Point) explain.Point) {
	for i := range p.Paths {
		p.Paths[i] = moved(p.Paths[i], to)
	}
	for i := range p.Texts {
		p.Texts[i].At = to(p.Texts[i].At)
	}
}

// shrink makes everything smaller, letters too.
func (p *Picture) shrink(by float64) {
	p.move(func(q explain.Point) explain.Point { return explain.Point{X: q.X * by, Y: q.Y * by} })
	for i := range p.Texts {
		p.Texts[i].Height *= by
	}
	p.Width, p.Height = p.Width*by, p.Height*by
}

func moved(p explain.Path, to func(explain.Point) explain.Point) explain.Path {
	legs := make([]explain.Leg, len(p.Legs))
	for i, l := range p.Legs {
		legs[i].To = to(l.To)
		if l.Curve != nil {
			legs[i].Curve = &explain.Curve{A: to(l.Curve.A), B: to(l.Curve.B)}
		}
	}
	p.Start, p.Legs = to(p.Start), legs
	return p
}

// bounds are the outermost places.
type bounds struct{ left, top, right, bottom float64 }

func (b *bounds) take(p explain.Point) {
	b.left, b.top, b.right, b.bottom = min(b.left, p.X), min(b.top, p.Y), max(b.right, p.X), max(b.bottom, p.Y)
}

func (b *bounds) all(p *Picture) {
	for _, path := range p.Paths {
		for _, q := range pointsOf(path) {
			b.take(q)
		}
	}
	for _, t := range p.Texts {
		wide, left := Width(t.Text, t.Height, PenOf(t.Role).Bold), t.At.X
		switch t.Anchor {
		case explain.AtMiddle:
			left -= wide / 2
		case explain.AtEnd:
			left -= wide
		}
		b.take(explain.Point{X: left, Y: t.At.Y - t.Height})
		b.take(explain.Point{X: left + wide, Y: t.At.Y + t.Height/3})
	}
}
