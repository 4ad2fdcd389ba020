package quantity

import (
	"fmt"
	"strings"
	"unicode"
)

const (
	longestText  = 64      // runes
	largestWhole = 100_000 // a number before its decimal point: 100 m are 100000 mm
	mostDecimals = 9       // a nanometre is 0.000000001 m
)

// parser reads one text. It keeps the first error; from then on it is at the end of the text.
type parser struct {
	text []rune
	pos  int
	want kind
	err  *Error
}

func newParser(s string, want kind) *parser {
	p := &parser{text: []rune(s), want: want}
	if len(p.text) > longestText {
		p.text = p.text[:longestText]
		p.fail(0, longestText, unreadable, fmt.Sprintf("this is too long for %s", want.name), want.example)
	}
	return p
}

func (p *parser) fail(from, to int, code Code, summary, hint string) {
	if p.err == nil {
		p.err = &Error{Code: code, Summary: summary, Hint: hint, From: from, To: to}
	}
	p.pos = len(p.text)
}

// result returns the first error, as an interface that is nil if there is none.
func (p *parser) result() error {
	if p.err == nil {
		return nil
	}
	return p.err
}

func (p *parser) slice(from, to int) string { return string(p.text[from:to]) }

func (p *parser) more() bool { return p.pos < len(p.text) }

// at returns the rune i places on, in its plain form, or 0 after the end.
func (p *parser) at(i int) rune {
	if p.pos+i >= len(p.text) {
		return 0
	}
	return plain(p.text[p.pos+i])
}

// plain turns what word processors and telephones write into what a keyboard has.
func plain(r rune) rune {
	switch r {
	case '−', '–', '‐', '‑':
		return '-'
	case '″', '”', '“':
		return '"'
	case '′', '’', '‘':
		return '\''
	case '⁄':
		return '/'
	}
	if unicode.IsSpace(r) {
		return ' '
	}
	return r
}

func (p *parser) take(r rune) bool {
	if p.at(0) != r {
		return false
	}
	p.pos++
	return true
}

// takeDots takes the ".." between the ends of a range, but not three dots.
func (p *parser) takeDots() bool {
	if p.at(0) == '…' {
		p.pos++
		return true
	}
	if p.at(0) != '.' || p.at(1) != '.' || p.at(2) == '.' {
		return false
	}
	p.pos += 2
	return true
}

// skipSpace returns the place after the spaces.
func (p *parser) skipSpace() int {
	for p.at(0) == ' ' {
		p.pos++
	}
	return p.pos
}

// end refuses anything that is left.
func (p *parser) end() {
	if from := p.skipSpace(); p.more() {
		p.unexpected(from)
	}
}

func (p *parser) unexpected(from int) {
	p.pos = from
	from = p.skipSpace()
	rest := strings.TrimRightFunc(p.slice(from, len(p.text)), unicode.IsSpace)
	if rest == "" {
		p.fail(from, len(p.text), unreadable, fmt.Sprintf("expected %s, got nothing", p.want.name), p.want.example)
		return
	}
	p.fail(from, len(p.text), unreadable, fmt.Sprintf("`%s` cannot be read as part of %s", rest, p.want.name), p.want.example)
}

// measure reads a number and its unit, if it has one; with feet, also the inches.
func (p *parser) measure() measure {
	from := p.skipSpace()
	m := measure{negative: p.take('-')}
	m.number = p.number()
	m.from = from
	m.unit = p.unit()
	if m.unit != (unit{}) {
		m.to = p.pos
	}
	if m.unit != feet {
		return m
	}
	if p.skipSpace(); isDigit(p.at(0)) || vulgar(p.at(0)) != (ratio{}) {
		p.afterFeet(&m)
	}
	return m
}

// afterFeet reads the inches that follow feet.
func (p *parser) afterFeet(m *measure) {
	m.inches = p.number()
	u := p.unit()
	m.to = p.pos
	number := p.slice(m.inches.from, m.inches.to)
	switch {
	case p.err != nil:
	case u != inches:
		p.fail(m.inches.from, m.to, feetAndInches, fmt.Sprintf("expected inches after feet, got `%s`", p.slice(m.inches.from, m.to)),
			fmt.Sprintf("write `%s\"` or `%s in`", number, number))
	case m.part != 0:
		p.fail(m.from, m.to, feetAndInches, "whole feet are wanted before inches", aLength.example)
	case m.inches.whole >= 12:
		p.fail(m.inches.from, m.to, feetAndInches, fmt.Sprintf("`%s` inches are more than a foot", number), "write fewer than 12 inches after feet")
	}
}

// unit reads a unit, or nothing.
func (p *parser) unit() unit {
	start := p.pos
	from := p.skipSpace()
	for unicode.IsLetter(p.at(0)) {
		p.pos++
	}
	if c := p.at(0); p.pos == from && (c == '"' || c == '\'' || c == '%') {
		p.pos++
		return units[string(c)]
	}
	if p.pos == from {
		p.pos = start
		return unit{}
	}
	word := p.slice(from, p.pos)
	u, ok := units[word]
	if !ok {
		hint := "the units are cm, mm, m, in, ft and %"
		if short := shortUnits[strings.ToLower(word)]; short != "" {
			hint = fmt.Sprintf("write `%s`", short)
		}
		p.fail(from, p.pos, unknownUnit, fmt.Sprintf("unknown unit `%s`", word), hint)
	}
	return u
}

// number reads a number without a sign: whole, with decimals, as a fraction, or mixed.
func (p *parser) number() number {
	n := number{from: p.pos, of: 1}
	if r := p.takeVulgar(); r != (ratio{}) {
		p.setFraction(&n, r)
		return n
	}
	p.skipDigits()
	switch {
	case (p.at(0) == '.' || p.at(0) == ',') && isDigit(p.at(1)):
		p.refuseThousands(n.from)
		if n.whole = p.whole(n.from); p.err == nil {
			p.pos++
			p.decimals(&n)
		}
	case p.pos == n.from:
		p.unexpected(n.from)
	case p.at(0) == '/':
		p.pos = n.from
		p.setFraction(&n, p.takeRatio())
	default:
		n.whole = p.whole(n.from)
		p.mixed(&n)
	}
	p.refuseComma(n.from)
	n.to = p.pos
	if p.err != nil {
		return number{from: n.from, to: n.to}
	}
	return n
}

// mixed reads the fraction after a whole number, if one follows: "38 1/2", "38-1/2", "38½".
func (p *parser) mixed(n *number) {
	start := p.pos
	from := p.skipSpace()
	dashed := from == start && p.take('-')
	r := p.takeVulgar()
	if r == (ratio{}) && p.pos > start {
		r = p.takeRatio()
	}
	switch {
	case p.err != nil:
	case r == ratio{}, dashed && r.part >= r.of:
		p.pos = start
	case dashed && n.whole == 0:
		p.fail(n.from, p.pos, unclearDash, fmt.Sprintf("`%s` could be a range or a fraction", p.slice(n.from, p.pos)),
			fmt.Sprintf("write `0 .. %d/%d` or `%d/%d`", r.part, r.of, r.part, r.of))
	default:
		p.setFraction(n, r)
	}
}

// setFraction adds a fraction to n, if it is one that a tape has.
func (p *parser) setFraction(n *number, r ratio) {
	n.part, n.of, n.fraction, n.to = r.part, r.of, true, p.pos
	switch {
	case p.err != nil:
	case r.of < 2 || r.of > 64 || r.of&(r.of-1) != 0:
		p.fail(n.from, p.pos, noTapeHasIt, fmt.Sprintf("`%d/%d` is no fraction of a tape measure", r.part, r.of),
			"write halves, 4ths, 8ths, 16ths, 32nds or 64ths")
	case r.part >= r.of:
		p.fail(n.from, p.pos, noTapeHasIt, fmt.Sprintf("the fraction `%d/%d` is not below one", r.part, r.of),
			"write a space before the fraction, as in `38 1/2`")
	}
}

// decimals reads the digits after the decimal point.
func (p *parser) decimals(n *number) {
	from := p.pos
	p.skipDigits()
	to := p.pos
	for to > from && p.text[to-1] == '0' {
		to--
	}
	if to-from > mostDecimals {
		p.fail(n.from, p.pos, outOfReach, fmt.Sprintf("`%s` has too many decimals", p.slice(n.from, p.pos)), "write fewer decimals")
		return
	}
	for _, d := range p.text[from:to] {
		n.part, n.of = 10*n.part+int64(d-'0'), 10*n.of
	}
}

// refuseThousands refuses a comma with three digits behind it, which parts thousands as often as decimals. After a 0 it
// can only be a decimal comma.
func (p *parser) refuseThousands(from int) {
	whole, after := p.slice(from, p.pos), p.pos+1
	end := after
	for end < len(p.text) && isDigit(p.text[end]) {
		end++
	}
	if p.at(0) != ',' || end-after != 3 || strings.Trim(whole, "0") == "" {
		return
	}
	digits := p.slice(after, end)
	p.fail(from, end, decimalComma, fmt.Sprintf("`%s,%s` can be read in two ways", whole, digits),
		fmt.Sprintf("write %s.%s with a point, or %s%s without the comma", whole, digits, whole, digits))
}

// refuseComma refuses a comma between digits where it cannot be that of decimals.
func (p *parser) refuseComma(from int) {
	if p.at(0) != ',' || !isDigit(p.at(1)) {
		return
	}
	p.pos++
	p.skipDigits()
	p.fail(from, p.pos, decimalComma, fmt.Sprintf("`%s` has a comma too many", p.slice(from, p.pos)),
		"write thousands without a comma; part two readings by a space or a semicolon")
}

// whole returns the value of the digits between a place and the current one.
func (p *parser) whole(from int) int64 {
	n := int64(0)
	for _, d := range p.text[from:p.pos] {
		if n = 10*n + int64(d-'0'); n > largestWhole {
			p.fail(from, p.pos, outOfReach, fmt.Sprintf("`%s` is too large a number", p.slice(from, p.pos)), "check the number and its unit")
			return 0
		}
	}
	return n
}

func (p *parser) skipDigits() {
	for isDigit(p.at(0)) {
		p.pos++
	}
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// ratio is a fraction as written. The zero ratio is none.
type ratio struct{ part, of int64 }

// takeRatio takes a fraction written with a slash, or nothing.
func (p *parser) takeRatio() ratio {
	from := p.pos
	p.skipDigits()
	if p.pos == from || p.at(0) != '/' {
		p.pos = from
		return ratio{}
	}
	part := p.whole(from)
	p.take('/')
	middle := p.pos
	p.skipDigits()
	if p.pos == middle {
		p.fail(from, p.pos, noTapeHasIt, fmt.Sprintf("`%s` is half a fraction", p.slice(from, middle)), "write it as in `1/2`")
		return ratio{}
	}
	return ratio{part, p.whole(middle)}
}

// takeVulgar takes a fraction that is one character, or nothing.
func (p *parser) takeVulgar() ratio {
	r := vulgar(p.at(0))
	if r != (ratio{}) {
		p.pos++
	}
	return r
}

func vulgar(r rune) ratio {
	switch r {
	case '½':
		return ratio{1, 2}
	case '¼':
		return ratio{1, 4}
	case '¾':
		return ratio{3, 4}
	case '⅛':
		return ratio{1, 8}
	case '⅜':
		return ratio{3, 8}
	case '⅝':
		return ratio{5, 8}
	case '⅞':
		return ratio{7, 8}
	case '⅓':
		return ratio{1, 3}
	case '⅔':
		return ratio{2, 3}
	}
	return ratio{}
}
