package quantity

import (
	"fmt"
	"strings"
)

// ParseUnit reads the unit that a person sets once for bare numbers or for display: "cm" or "in".
func ParseUnit(s string) (Unit, error) {
	word := strings.TrimSpace(s)
	switch Unit(word) {
	case Cm, In:
		return Unit(word), nil
	}
	hint := "write `cm` or `in`"
	if short := shortUnits[strings.ToLower(word)]; short == string(Cm) || short == string(In) {
		hint = fmt.Sprintf("write `%s`", short)
	}
	shown := []rune(s)
	shown = shown[:min(len(shown), longestText)]
	return "", &Error{Code: unknownUnit, Summary: fmt.Sprintf("`%s` is no unit for this", string(shown)), Hint: hint, To: len(shown)}
}

// UnitMeant is the unit that a person means who types "CM" or "inches", where a file must say cm or in.
func UnitMeant(s string) (u Unit, ok bool) {
	u = Unit(shortUnits[strings.ToLower(strings.TrimSpace(s))])
	return u, u == Cm || u == In
}

// ParseLength reads one length: "98 cm", "38 1/2 in", "38-1/2 in", `38½"`, `5' 6"`, "-2 cm". A number without a unit is
// meant in bare, and is an error where bare is "".
func ParseLength(s string, bare Unit) (Length, error) {
	p := newParser(s, aLength)
	l := p.length(p.single(), bare)
	if err := p.result(); err != nil {
		return 0, err
	}
	return l, nil
}

// ParseRange reads a range of lengths, "26-27 in", "26 .. 27 1/2", "4 in ..", ".. 3 cm", or a single length, which is
// both ends. A unit after the last value covers both. Ends below zero are separated by "..".
func ParseRange(s string, bare Unit) (Range, error) {
	p := newParser(s, aLength)
	e := p.ends()
	r := Range{HasLow: e.hasLow, HasHigh: e.hasHigh}
	if e.hasLow {
		r.Low = p.length(e.low, bare)
	}
	if e.hasHigh {
		r.High = p.length(e.high, bare)
	}
	if e.hasLow && e.hasHigh && r.Low > r.High {
		p.upsideDown(e)
	}
	if err := p.result(); err != nil {
		return Range{}, err
	}
	return r, nil
}

// Reading is one of several lengths in a text, and how it was written.
type Reading struct {
	Length Length
	Text   string
}

// ParseReadings reads one length, or several that are parted by a space, a semicolon, or a comma and a space:
// "98 98.5 cm", "29 1/2; 29 3/4". A unit after the last one covers all before it that have none.
func ParseReadings(s string, bare Unit) ([]Reading, error) {
	p := newParser(s, aLength)
	all := []measure{p.singleOf()}
	for p.more() {
		if p.partedBy(); p.err == nil {
			all = append(all, p.singleOf())
		}
	}
	var found []Reading
	last := all[len(all)-1].unit
	for _, m := range all {
		if m.unit == (unit{}) && last != feet {
			m.unit = last
		}
		found = append(found, Reading{p.length(m, bare), p.slice(m.from, m.to)})
	}
	if err := p.result(); err != nil {
		return nil, err
	}
	return found, nil
}

// ParsePercent reads one percentage, as "25 %" or "-8.5%".
func ParsePercent(s string) (float64, error) {
	p := newParser(s, aPercentage)
	v := p.percent(p.single())
	if err := p.result(); err != nil {
		return 0, err
	}
	return v, nil
}

// ParsePercentRange reads a range of percentages, as "90 % .. 97 %" or "4 % ..", or a single one, which is both ends.
func ParsePercentRange(s string) (PercentRange, error) {
	p := newParser(s, aPercentage)
	e := p.ends()
	r := PercentRange{HasLow: e.hasLow, HasHigh: e.hasHigh}
	if e.hasLow {
		r.Low = p.percent(e.low)
	}
	if e.hasHigh {
		r.High = p.percent(e.high)
	}
	if e.hasLow && e.hasHigh && r.Low > r.High {
		p.upsideDown(e)
	}
	if err := p.result(); err != nil {
		return PercentRange{}, err
	}
	return r, nil
}

// IsPercent reports whether the text speaks of percent, and is to be read with [ParsePercent] or [ParsePercentRange].
func IsPercent(s string) bool { return strings.Contains(s, "%") }

// kind is what a text should hold.
type kind struct{ name, example string }

var (
	aLength     = kind{"a length", "a length is written like `98 cm`, `38 1/2 in` or `5' 6\"`"}
	aPercentage = kind{"a percentage", "a percentage is written like `25 %`"}
)

// unit is a unit as it can be written. The zero unit is none.
type unit struct {
	name string
	size Length // 0 for percent
}

var (
	feet    = unit{"ft", Foot}
	inches  = unit{"in", Inch}
	percent = unit{name: "%"}
	units   = map[string]unit{
		"mm": {"mm", Millimetre}, "cm": {"cm", Centimetre}, "m": {"m", Metre},
		"in": inches, `"`: inches, "ft": feet, "'": feet, "%": percent,
	}
)

// shortUnits names the unit that is meant by a word that is not accepted for one.
var shortUnits = map[string]string{
	"inch": "in", "inches": "in", "ins": "in", "foot": "ft", "feet": "ft",
	"cms": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
	"mms": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "percent": "%", "pct": "%",
	"cm": "cm", "mm": "mm", "m": "m", "in": "in", "ft": "ft", // in capitals
}

// number is a number as written, without its sign: whole + part/of.
type number struct {
	whole, part, of int64
	fraction        bool // written as a fraction, not as decimals
	from, to        int
}

// measure is a number with its unit, or feet and inches.
type measure struct {
	number
	negative bool
	unit     unit
	inches   number // those after whole feet; of is 0 where there are none
}

// ends are the two ends of a range; dashed says that they were separated by a dash.
type ends struct {
	low, high               measure
	hasLow, hasHigh, dashed bool
}

// single reads the whole text as one measure.
func (p *parser) single() measure {
	m := p.singleOf()
	p.end()
	return m
}

// singleOf reads a measure that is no range, and the space after it.
func (p *parser) singleOf() measure {
	m := p.measure()
	from := p.skipSpace()
	if p.takeDots() || p.take('-') {
		p.fail(from, len(p.text), oneValue, fmt.Sprintf("expected %s, got a range", p.want.name), "write one value")
	}
	return m
}

// partedBy takes what parts two readings; the space before it has been taken.
func (p *parser) partedBy() {
	spaced := p.at(-1) == ' '
	switch {
	case p.take(';'), p.at(0) == ',' && p.at(1) == ' ' && p.take(','):
	case !spaced || !isDigit(p.at(0)) && vulgar(p.at(0)) == (ratio{}):
		p.unexpected(p.pos)
	}
}

// ends reads the whole text as a range or as one measure.
func (p *parser) ends() ends {
	p.skipSpace()
	if p.takeDots() {
		e := ends{high: p.measure(), hasHigh: true}
		p.end()
		return e
	}
	e := ends{low: p.measure(), hasLow: true}
	p.skipSpace()
	switch {
	case p.takeDots():
		p.skipSpace()
		e.hasHigh = p.more()
	case p.take('-'):
		e.hasHigh, e.dashed = true, true
	default:
		p.end()
		e.high, e.hasHigh = e.low, true
		return e
	}
	if e.hasHigh {
		e.high = p.measure()
		p.end()
		p.settle(&e)
	}
	return e
}

// settle lets the unit of the last value cover both, and refuses what could be read in two ways.
func (p *parser) settle(e *ends) {
	low, high := &e.low, &e.high
	switch {
	case e.dashed && (low.negative || high.negative):
		p.fail(low.from, high.to, unclearDash, "a range with an end below zero cannot be written with a dash",
			fmt.Sprintf("write `%s .. %s`", p.slice(low.from, low.to), p.slice(high.from, high.to)))
	case low.unit != unit{} && high.unit == unit{}:
		p.fail(high.from, high.to, noUnit, fmt.Sprintf("`%s` has no unit", p.slice(high.from, high.to)),
			"write the unit after the last value: it covers both")
	case low.unit == unit{} && high.inches.of != 0:
		p.fail(low.from, low.to, noUnit, fmt.Sprintf("`%s` could be feet or inches", p.slice(low.from, low.to)),
			"write the unit after both values")
	case low.unit == unit{}:
		low.unit = high.unit
	}
}

func (p *parser) upsideDown(e ends) {
	hint := "write the smaller end first"
	if e.dashed && e.high.whole == 0 && e.high.fraction {
		hint = "write the smaller end first; a mixed number is written `38 1/2`"
	}
	p.fail(e.low.from, e.high.to, upsideDown, "the range runs from the larger end to the smaller", hint)
}

// length returns what m measures, in nanometres.
func (p *parser) length(m measure, bare Unit) Length {
	u := m.unit
	switch {
	case u == percent:
		p.fail(m.from, m.to, notPercent, "expected a length, got a percentage", aLength.example)
	case u == unit{} && bare == "":
		text := p.slice(m.from, m.to)
		p.fail(m.from, m.to, noUnit, fmt.Sprintf("`%s` has no unit", text),
			fmt.Sprintf("write `%s cm` or `%s in`, or say the unit once for all, with `units:` in a file or in a heading such as `hip (cm)`", text, text))
	case u == unit{}:
		u.size = bare.length()
	}
	l := p.times(m.number, u.size)
	if m.inches.of != 0 {
		l += p.times(m.inches, Inch)
	}
	if l > longest {
		p.fail(m.from, m.to, outOfReach, fmt.Sprintf("`%s` is more than 100 m", p.slice(m.from, m.to)), "check the number and its unit")
	}
	if m.negative {
		return -l
	}
	return l
}

// times returns n units of the given size.
func (p *parser) times(n number, size Length) Length {
	if n.of == 0 {
		return 0 // an error has been reported
	}
	part := n.part * int64(size)
	if part%n.of != 0 {
		p.fail(n.from, n.to, outOfReach, fmt.Sprintf("`%s` is finer than a nanometre", p.slice(n.from, n.to)),
			"write fewer decimals, at most 7 of a centimetre")
	}
	return Length(n.whole)*size + Length(part/n.of)
}

// percent returns what m says, in percent.
func (p *parser) percent(m measure) float64 {
	text := p.slice(m.from, m.to)
	switch {
	case m.unit == unit{}:
		p.fail(m.from, m.to, percentWanted, fmt.Sprintf("`%s` has no percent sign", text), fmt.Sprintf("write `%s %%`", text))
	case m.unit != percent:
		p.fail(m.from, m.to, percentWanted, "expected a percentage, got a length", aPercentage.example)
	case m.fraction:
		p.fail(m.from, m.to, noTapeHasIt, fmt.Sprintf("`%s` is a fraction", text), "write a percentage with decimals, as in `2.5 %`")
	case m.whole > 1000 || m.whole == 1000 && m.part > 0:
		p.fail(m.from, m.to, outOfReach, fmt.Sprintf("`%s` is more than 1000 %%", text), "check the number")
	}
	if p.err != nil {
		return 0
	}
	v := float64(m.whole*m.of+m.part) / float64(m.of)
	if m.negative {
		return 0 - v
	}
	return v
}
