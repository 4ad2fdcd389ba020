package file

import (
	"bytes"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"fitadvisor/explain/diag"
)

// cursor is a place in the source that moves rune by rune. A line ends in '\n', whether or not a '\r' stands before it.
type cursor struct {
	text   []byte
	offset int
	diag.Pos
}

// rune returns the rune at the cursor, '\n' at the end of a line and of the text.
func (c *cursor) rune() rune {
	rest := c.text[c.offset:]
	if len(rest) == 0 || rest[0] == '\r' && len(rest) > 1 && rest[1] == '\n' {
		return '\n'
	}
	r, _ := utf8.DecodeRune(rest)
	return r
}

// step moves on by one rune, but not past the end of the line.
func (c *cursor) step() {
	if c.rune() == '\n' {
		return
	}
	_, width := utf8.DecodeRune(c.text[c.offset:])
	c.offset += width
	c.Column++
}

func (c *cursor) steps(n int) {
	for range n {
		c.step()
	}
}

// restBlank reports whether nothing but blanks is left on the line.
func (c cursor) restBlank() bool {
	c.skipBlanks()
	return c.rune() == '\n'
}

func (c *cursor) skipBlanks() {
	for c.rune() == ' ' || c.rune() == '\t' {
		c.step()
	}
}

// nextLine moves to the start of the next line, if there is one.
func (c *cursor) nextLine() bool {
	end := bytes.IndexByte(c.text[c.offset:], '\n')
	if end < 0 {
		return false
	}
	c.offset += end + 1
	c.Line, c.Column = c.Line+1, 1
	return true
}

// nextText moves to the start of the next line that is not blank and returns how many blank lines it skipped. On the
// last such line it stays.
func (c *cursor) nextText() (blank int) {
	next := *c
	for next.nextLine() {
		if !next.restBlank() {
			*c = next
			return blank
		}
		blank++
	}
	return blank
}

// cursor returns a cursor at a line and column, or at the nearest place to it that exists.
func (d *Doc) cursor(line, column int) cursor {
	if d.lines == nil {
		d.findLines()
	}
	line = min(max(line, 1), len(d.lines))
	c := d.last
	if c.Line != line || c.Column > column { // else go on from the last place: lines may be long
		c = cursor{text: d.source, offset: d.lines[line-1], Pos: diag.Pos{Line: line, Column: 1}}
	}
	for c.Column < column && c.rune() != '\n' {
		c.step()
	}
	d.last = c
	return c
}

func (d *Doc) findLines() {
	start := 0
	if bytes.HasPrefix(d.source, []byte(byteOrderMark)) {
		start = len(byteOrderMark)
	}
	d.lines = []int{start}
	for i, b := range d.source {
		if b == '\n' {
			d.lines = append(d.lines, i+1)
		}
	}
}

// places returns where each rune of a scalar's text stands in the file, and as one more entry where the text ends.
// Inside escapes and folded lines it is as near as can be told, and always on a line of the scalar.
func (d *Doc) places(n *yaml.Node) []diag.Pos {
	block := n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0
	switch {
	case block && strings.Trim(n.Value, "\n") == "":
		return slices.Repeat([]diag.Pos{{Line: n.Line, Column: n.Column + 1}}, len(n.Value)+1)
	case n.Style&yaml.LiteralStyle != 0:
		return d.literalPlaces(n)
	case n.Style&yaml.FoldedStyle != 0:
		return d.foldedPlaces(n)
	}
	return d.flowPlaces(n)
}

// flowPlaces serves plain and quoted text, where a line break with the blanks around it is read as one space, or as a
// line break for each blank line.
func (d *Doc) flowPlaces(n *yaml.Node) []diag.Pos {
	c := d.cursor(n.Line, n.Column)
	if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
		c.step()
	}
	var places []diag.Pos
	folds := 0 // runes that still stand for the line break at the cursor
	for _, r := range n.Value {
		if n.Style&yaml.DoubleQuotedStyle != 0 {
			c.skipJoinedLines()
		}
		if folds == 0 && (r == ' ' || r == '\n') && c.restBlank() {
			ahead := c
			folds = max(1, ahead.nextText())
		}
		places = append(places, c.Pos)
		switch folds {
		case 0:
			c.steps(c.width(n.Style))
		case 1:
			c.nextText()
			c.skipBlanks()
			folds = 0
		default:
			folds--
		}
	}
	return append(places, c.Pos)
}

// skipJoinedLines moves over a backslash at the end of a line, which joins it to the next.
func (c *cursor) skipJoinedLines() {
	for c.rune() == '\\' {
		next := *c
		next.step()
		if next.rune() != '\n' || !next.nextLine() {
			return
		}
		next.skipBlanks()
		*c = next
	}
}

// width returns how many runes of the source make the next rune of a text in the given style.
func (c cursor) width(style yaml.Style) int {
	ahead := c
	ahead.step()
	switch {
	case style&yaml.SingleQuotedStyle != 0 && c.rune() == '\'' && ahead.rune() == '\'':
		return 2
	case style&yaml.DoubleQuotedStyle == 0 || c.rune() != '\\':
		return 1
	}
	switch ahead.rune() {
	case 'x':
		return 4
	case 'u':
		if c.surrogates() {
			return 12
		}
		return 6
	case 'U':
		return 10
	}
	return 2
}

// surrogates reports whether the escape at the cursor and the one behind it make a single rune.
func (c cursor) surrogates() bool {
	half := func(escape []byte, fourth string) bool {
		return escape[0] == '\\' && escape[1] == 'u' && escape[2]|' ' == 'd' && strings.IndexByte(fourth, escape[3]) >= 0
	}
	rest := c.text[c.offset:]
	return len(rest) >= 12 && half(rest, "89abAB") && half(rest[6:], "cdefCDEF")
}

// literalPlaces serves text after |, whose lines are the lines of the file.
func (d *Doc) literalPlaces(n *yaml.Node) []diag.Pos {
	c := d.cursor(n.Line, n.Column)
	indent := c.indent(n.Value)
	c.nextLine()
	c.steps(indent)
	var places []diag.Pos
	for i, r := range n.Value {
		places = append(places, c.Pos)
		switch {
		case r != '\n':
			c.step()
		case i+1 < len(n.Value) && c.nextLine(): // the last line break is still on the last line
			c.steps(indent)
		}
	}
	return append(places, c.Pos)
}

// foldedPlaces serves text after >, where a line break is read as a space, as line breaks, or not at all.
func (d *Doc) foldedPlaces(n *yaml.Node) []diag.Pos {
	c := d.cursor(n.Line, n.Column)
	indent := c.indent(n.Value)
	c.nextText()
	c.steps(indent)
	text := []rune(n.Value)
	places := make([]diag.Pos, 0, len(text)+1)
	for i, r := range text {
		places = append(places, c.Pos)
		last := i+1 == len(text) || text[i+1] != '\n'
		switch {
		case r == '\n' && last && i+1 < len(text) && c.restBlank(), r == ' ' && c.rune() == '\n':
			c.nextText()
			c.steps(indent)
		case r != '\n':
			c.step()
		}
	}
	return append(places, c.Pos)
}

// indent returns how far the lines of a block scalar, whose header is at the cursor, are indented.
func (c cursor) indent(value string) int {
	c.nextText()
	start := c.Column
	for c.rune() == ' ' {
		c.step()
	}
	value = strings.TrimLeft(value, "\n")
	return max(0, c.Column-start-(len(value)-len(strings.TrimLeft(value, " "))))
}
