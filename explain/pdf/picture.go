package pdf

import (
	"strings"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
)

// picture writes a drawing below its title, both on one page.
func (p *printer) picture(drawn draw.Picture, err error) error {
	if err != nil {
		return err
	}
	caption := style{height: p.plain.height, bold: true, ink: draw.Light.Ink}
	lines := p.broken(caption, strings.Fields(drawn.Title), p.width)
	p.room(p.plain.height*leading*float64(len(lines)) + drawn.Height)
	p.lines(caption, 0, lines)
	for _, path := range drawn.Paths {
		p.path(path)
	}
	for _, t := range drawn.Texts {
		p.letters(t)
	}
	p.SetDashPattern([]float64{}, 0)
	p.y += drawn.Height + apart
	return p.Error()
}

func (p *printer) path(path explain.Path) {
	pen, ink := draw.PenOf(path.Role), draw.Light.Of(draw.Known(path.Role))
	p.ink(ink)
	p.SetFillColor(int(ink.R), int(ink.G), int(ink.B))
	p.SetLineWidth(pen.Thick)
	p.SetDashPattern(pen.Dash, 0)
	p.MoveTo(p.left+path.Start.X, p.y+path.Start.Y)
	for _, l := range path.Legs {
		if c := l.Curve; c != nil {
			p.CurveBezierCubicTo(p.left+c.A.X, p.y+c.A.Y, p.left+c.B.X, p.y+c.B.Y, p.left+l.To.X, p.y+l.To.Y)
			continue
		}
		p.LineTo(p.left+l.To.X, p.y+l.To.Y)
	}
	if path.Closed {
		p.ClosePath()
	}
	switch {
	case path.Closed && draw.Fills(draw.Known(path.Role)):
		p.DrawPath("F")
	case path.Closed && path.Filled:
		p.DrawPath("FD")
	default:
		p.DrawPath("D")
	}
}

func (p *printer) letters(t draw.Text) {
	role := draw.Known(t.Role)
	p.set(style{height: t.Height, bold: draw.PenOf(role).Bold, ink: draw.Light.Letters(role)})
	text := p.shown(t.Text)
	x := t.At.X
	switch t.Anchor {
	case explain.AtMiddle:
		x -= p.GetStringWidth(text) / 2
	case explain.AtEnd:
		x -= p.GetStringWidth(text)
	}
	p.Text(p.left+x, p.y+t.At.Y, text)
}

func (p *printer) ink(c draw.Color) { p.SetDrawColor(int(c.R), int(c.G), int(c.B)) }
