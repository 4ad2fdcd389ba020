package pdf

import (
	"strings"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
)

// The measures of what is read from the wall, in points.
const (
	large     = 80.0          // letters of a headline
	rest      = 22.0          // and of what goes with them
	framed    = 26.0          // large letters in a frame
	wall      = 12.0          // words
	leastOf   = 9.0           // words, where there are too many for the page
	inset     = 7.0           // from a frame to what is in it
	between   = 8.0           // frames
	corner    = 6.0           // of a frame
	fewest    = 110.0         // width of a frame
	tick      = 5 * 72 / 25.4 // a box of 5 mm
	tickGap   = 8.0
	ruled     = 2.5  // thickness of a line
	leftPart  = 0.48 // of the page is the left column
	leastHigh = 0.8  // of its width a picture there is high at the least
)

// headline is large letters with what goes with them, and small ones on the right, above a line.
func (p *printer) headline(h explain.Headline) {
	bold := func(height float64) style { return style{height: height, bold: true, ink: draw.Light.Ink} }
	small := style{height: wall, ink: draw.Light.Ink}
	half := p.width * leftPart
	var beside []string
	for i, line := range h.Beside {
		s := small
		if i == 0 {
			s = bold(wall)
		}
		beside = append(beside, p.broken(s, strings.Fields(line), p.width-half)...)
	}
	top := p.y
	if h.Lead != "" {
		p.text(bold(wall), 0, p.shown(h.Lead))
		p.y += wall * leading
	}
	if h.Large != "" {
		height := large
		p.set(bold(height))
		if wide := p.GetStringWidth(p.shown(h.Large)); wide > half {
			height *= half / wide
		}
		p.text(bold(height), 0, p.shown(h.Large))
		p.y += height * 1.02
	}
	if h.Rest != "" {
		p.lines(bold(rest), 0, p.broken(bold(rest), strings.Fields(h.Rest), half))
	}
	below := p.y
	p.y = top
	for i, line := range beside {
		s := small
		if i == 0 {
			s = bold(wall)
		}
		p.set(s)
		p.text(s, p.width-p.GetStringWidth(line), line)
		p.y += wall * leading
	}
	p.y = max(p.y, below) + apart
	p.rule()
}

// rule is a line across the page.
func (p *printer) rule() {
	p.ink(draw.Light.Ink)
	p.SetLineWidth(ruled)
	p.Line(p.left, p.y, p.left+p.width, p.y)
	p.y += between
}

// framed is boxes in rows, all of a row as high as the highest.
func (p *printer) framed(f explain.Framed) {
	if len(f.Items) == 0 {
		return
	}
	across := max(1, min(len(f.Items), int((p.width+between)/(fewest+between))))
	if f.Items[0].Large != "" {
		across = max(across, 3) // one alone is no wider than its like
	}
	wide := (p.width - between*float64(across-1)) / float64(across)
	for start := 0; start < len(f.Items); start += across {
		row := f.Items[start:min(start+across, len(f.Items))]
		high := 0.0
		for i := range row {
			high = max(high, p.frame(&row[i], wide, false))
		}
		p.room(high)
		for i := range row {
			x, y := p.left+float64(i)*(wide+between), p.y
			p.ink(draw.Light.Ink)
			p.SetLineWidth(1)
			if row[i].Large == "" {
				p.SetLineWidth(ruled)
			}
			p.RoundedRect(x, y, wide, high, corner, "1234", "D")
			left := p.left
			p.left = x
			p.frame(&row[i], wide, true)
			p.left, p.y = left, y
		}
		p.y += high + between
	}
}

// frame writes what is in a frame, or only says how high it is.
func (p *printer) frame(f *explain.Frame, wide float64, write bool) float64 {
	y := p.y
	p.y += inset
	put := func(s style, text string) {
		for _, line := range p.broken(s, strings.Fields(text), wide-2*inset) {
			if write {
				p.text(s, inset, line)
			}
			p.y += s.height * leading
		}
	}
	if f.Title != "" {
		put(style{height: wall, bold: f.Large == "", ink: draw.Light.Ink}, f.Title)
	}
	if f.Large != "" {
		put(style{height: framed, bold: true, ink: draw.Light.Ink}, f.Large)
	}
	for _, line := range f.Lines {
		put(style{height: wall - 1, ink: draw.Light.Ink}, line)
	}
	high := p.y + inset - y
	p.y = y
	return high
}

// ticks are steps with a box to tick before each.
func (p *printer) ticks(s explain.Steps, words style) {
	for _, item := range s.Items {
		lines := p.broken(words, strings.Fields(item.Text), p.width-tick-tickGap)
		high := max(tick+2, words.height*leading*float64(len(lines)))
		p.whole(high)
		p.ink(draw.Light.Ink)
		p.SetLineWidth(1.2)
		p.Rect(p.left, p.y+1, tick, tick, "D")
		y := p.y
		p.lines(words, tick+tickGap, lines)
		for _, line := range item.Lines {
			p.lines(p.quiet, tick+tickGap, p.broken(p.quiet, strings.Fields(line), p.width-tick-tickGap))
		}
		p.y = max(p.y, y+tick+2) + apart
	}
}

// beside is two columns. The steps on the right are as large as the page has room for. A page that has no room for the picture
// on the left is left for a new one, so that both begin on the same.
func (p *printer) beside(b explain.Beside) error {
	left, width := p.left, p.width
	wide := width * leftPart
	p.width = wide - between
	after := p.plain.height*leading + apart // a line is to have its place below both
	p.room(p.height(b.Left, p.plain) + after)
	top := p.y
	low := top
	for i, column := range [][]explain.Block{b.Left, b.Right} {
		p.left, p.width, p.y = left, wide-between, top
		if i == 1 {
			p.left, p.width = left+wide+between, width-wide-between
		}
		if len(b.Left) == 0 {
			p.left, p.width = left, width
		}
		words := style{height: wall, ink: draw.Light.Ink}
		for words.height > leastOf && top+p.height(column, words)+after > p.bottom {
			words.height -= 0.5
		}
		for k, block := range column {
			if err := p.sized(block, words, p.height(column[k+1:], words)+after); err != nil {
				return err
			}
		}
		low = max(low, p.y)
	}
	p.left, p.width, p.y = left, width, low
	return p.Error()
}

// sized writes a block, its steps in letters of a size; a picture leaves so much room for what is below it.
func (p *printer) sized(b explain.Block, words style, below float64) error {
	switch b := b.(type) {
	case explain.Heading:
		p.paragraph(style{height: wall + 1, bold: true, ink: draw.Light.Ink}, string(b))
	case explain.Steps:
		p.ticks(b, words)
	case explain.Shapes:
		drawn, err := draw.Shapes(b, p.width, max(p.bottom-p.y-below-p.titled(b), leastHigh*p.width))
		return p.picture(drawn, err)
	default:
		return p.block(b)
	}
	return nil
}

// titled is how high the title of a picture is, with what parts the picture from what follows.
func (p *printer) titled(b explain.Shapes) float64 {
	return p.plain.height*leading*float64(len(p.broken(style{height: p.plain.height, bold: true}, strings.Fields(b.Title), p.width))) + apart
}

// height is about how high headings, steps and sentences are, and how high pictures at the least.
func (p *printer) height(column []explain.Block, words style) float64 {
	high := 0.0
	for _, b := range column {
		switch b := b.(type) {
		case explain.Heading:
			high += (wall+1)*leading + apart
		case explain.Sentence:
			high += p.plain.height*leading*float64(len(p.broken(p.plain, strings.Fields(string(b)), p.width))) + apart
		case explain.Shapes:
			high += p.titled(b) + leastHigh*p.width
		case explain.Steps:
			for _, item := range b.Items {
				high += max(tick+2, words.height*leading*float64(len(p.broken(words, strings.Fields(item.Text), p.width-tick-tickGap)))) + apart
			}
		}
	}
	return high
}
