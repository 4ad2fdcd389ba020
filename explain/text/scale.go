package text

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"fitadvisor/explain"
)

// signs are what the kinds of marks look like in characters.
var signs = map[explain.Kind]string{
	explain.Given: "|", explain.Choice: "o", explain.Chosen: "#", explain.Excluded: "x", explain.Aimed: "*", explain.Within: "[=]", explain.Estimate: "~",
}

// leastPlot is how many columns a picture has at least, however narrow the page.
const leastPlot = 24

// between stands between two entries of a legend.
const between = "   "

// mostBeyond is how far a label may reach beyond the axis, in columns.
const mostBeyond = 8

// plot is a picture in characters: a gutter of labels, the columns of an axis, and
// beyond them room for the labels of the last marks.
type plot struct {
	gutter, columns, beyond int
	low, high               float64
}

func (p *printer) scale(s explain.Scale) error {
	low, high, ok := s.Span()
	if !ok {
		return errors.New("text: a scale has a figure that is no number")
	}
	c := plot{low: low, high: high, gutter: width(s.Unit)}
	for _, r := range s.Rows {
		c.gutter = max(c.gutter, width(r.Label))
		for _, m := range r.Marks {
			c.beyond = max(c.beyond, min(mostBeyond, width(labelOf(m))+1))
		}
	}
	if s.Band != nil {
		c.gutter = max(c.gutter, width(s.Band.Label))
	}
	c.gutter += len(gap)
	c.columns = max(leastPlot, p.Width-c.gutter-c.beyond)
	p.wrap(s.Title, "", "")
	if s.Band != nil || s.Aim != nil {
		p.lane(c, bandLabel(s.Band), c.band(s.Band, s.Aim))
	}
	for _, r := range s.Rows {
		label := r.Label
		for _, lane := range c.lanes(r.Marks) {
			p.lane(c, label, lane)
			label = ""
		}
	}
	axis, names := c.axis(s.Ticks)
	p.lane(c, "", axis)
	p.lane(c, s.Unit, names)
	p.legend(s.Legend)
	return nil
}

func bandLabel(b *explain.Band) string {
	if b == nil {
		return ""
	}
	return b.Label
}

// lane writes one line of the picture.
func (p *printer) lane(c plot, label string, columns []rune) {
	p.out.WriteString(strings.TrimRight(fmt.Sprintf("%-*s%s", c.gutter, label, string(columns)), " ") + "\n")
}

// column is where a figure stands.
func (c plot) column(v float64) int {
	return int(math.Round((v - c.low) / (c.high - c.low) * float64(c.columns-1)))
}

func (c plot) blank() []rune { return []rune(strings.Repeat(" ", c.columns+c.beyond)) }

// band is a line such as [====*====], with < or > at an end that is open.
func (c plot) band(b *explain.Band, aim *float64) []rune {
	line := c.blank()
	if b != nil {
		from, to, first, last := 0, c.columns-1, '<', '>'
		if !b.OpenLow {
			from, first = c.column(b.Low), '['
		}
		if !b.OpenHigh {
			to, last = c.column(b.High), ']'
		}
		for i := from; i <= to; i++ {
			line[i] = '='
		}
		line[from], line[to] = first, last
	}
	if aim != nil {
		line[c.column(*aim)] = []rune(signs[explain.Aimed])[0]
	}
	return line
}

// lanes are marks with their labels, in as many lines as they need to stand clear
// of one another.
func (c plot) lanes(marks []explain.Mark) [][]rune {
	lanes := [][]rune{c.blank()}
	for _, m := range marks {
		from, text := c.mark(m)
		at := 0
		for ; !free(lanes[at], from, len(text)); at++ {
			if at+1 == len(lanes) {
				lanes = append(lanes, c.blank())
			}
		}
		lanes[at] = append(lanes[at], []rune(strings.Repeat(" ", max(0, from+len(text)-len(lanes[at]))))...)
		copy(lanes[at][from:], text)
	}
	return lanes
}

func labelOf(m explain.Mark) string {
	if m.Rough {
		return signs[explain.Estimate] + m.Label
	}
	return m.Label
}

// mark is a sign with its label to the right, or to the left where the page ends.
// A label that fits on neither side reaches beyond it.
func (c plot) mark(m explain.Mark) (from int, text []rune) {
	at, label := c.column(m.At), labelOf(m)
	sign := signs[m.Kind]
	switch n := width(label) + 1; {
	case at+n < c.columns+c.beyond:
		return at, []rune(sign + " " + label)
	case n <= at:
		return at - n, []rune(label + " " + sign)
	}
	return at, []rune(sign + " " + label)
}

// free reports whether a text fits into a line with a space on either side.
func free(line []rune, from, n int) bool {
	around := line[max(0, from-1):min(len(line), from+n+1)]
	return strings.TrimSpace(string(around)) == ""
}

// axis is the line with its ticks, and the line of their names.
func (c plot) axis(ticks []explain.Tick) (line, names []rune) {
	line, names = []rune(strings.Repeat("-", c.columns)), c.blank()
	for _, t := range ticks {
		at, text := c.column(t.At), []rune(t.Label)
		line[at] = '+'
		from := max(0, min(at-(len(text)-1)/2, c.columns-len(text)))
		if len(text) <= c.columns && free(names, from, len(text)) {
			copy(names[from:], text)
		}
	}
	return line, names
}

// legend says what the signs stand for.
func (p *printer) legend(keys []explain.Key) {
	line := ""
	for _, k := range keys {
		entry := signs[k.Kind] + " " + k.Text
		if line != "" && width(line)+len(between)+width(entry) > p.Width {
			p.out.WriteString(line + "\n")
			line = ""
		}
		if line != "" {
			line += between
		}
		line += entry
	}
	if line != "" {
		p.out.WriteString(line + "\n")
	}
}
