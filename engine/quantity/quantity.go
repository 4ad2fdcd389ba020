// Package quantity reads, holds and prints lengths and percentages.
//
// A [Length] is a whole number of nanometres, so that every decimal centimetre and every inch fraction down to 1/64 is
// exact and what prints is what was typed. Use [ParseLength], [ParseRange], [ParsePercent] and [ParsePercentRange] on
// what a person wrote, [Length.Format] for people to read, and [Length.Cm] and [FromCm] at the border to computed
// values, which are float64 centimetres. Reading uses no floating point. Every error of the Parse functions is an
// [*Error].
package quantity

import "math"

// Length is a length in nanometres. Parsed lengths are at most 100 m either way.
type Length int64

// The lengths of the units that can be written. An inch is 2.54 cm exactly.
const (
	Nanometre  Length = 1
	Millimetre Length = 1_000_000
	Centimetre Length = 10_000_000
	Metre      Length = 1_000_000_000
	Inch       Length = 25_400_000
	Foot       Length = 12 * Inch
)

// longest is the longest length that can be written, longer than any cloth or body.
const longest = 100 * Metre

// Cm returns l in centimetres, the nearest float64.
func (l Length) Cm() float64 { return float64(l) / float64(Centimetre) }

// FromCm returns the length of cm centimetres to the nearest nanometre, half away from zero. Values beyond what a Length
// can hold are held at its ends; what is not a number is 0.
func FromCm(cm float64) Length {
	const end = 1 << 62
	nm := math.Round(cm * float64(Centimetre))
	if math.IsNaN(nm) {
		return 0
	}
	return Length(max(-end, min(nm, end)))
}

// Mean returns the average of ls, rounded to the nanometre, half up. The mean of nothing is 0.
func Mean(ls []Length) Length {
	if len(ls) == 0 {
		return 0
	}
	var sum Length
	for _, l := range ls {
		sum += l
	}
	n := Length(len(ls))
	return floorDiv(2*sum+n, 2*n)
}

// floorDiv returns a / b rounded down; b is positive.
func floorDiv(a, b Length) Length {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// Unit is the unit that a reader wants to see, or that bare numbers are meant in. The zero Unit says that none was
// given: bare numbers are then errors, and lengths are shown in centimetres.
type Unit string

const (
	Cm Unit = "cm"
	In Unit = "in"
)

// length returns the length of one unit.
func (u Unit) length() Length {
	if u == In {
		return Inch
	}
	return Centimetre
}

// Range is a length from Low to High. An end that was left open has its Has field false and is 0.
type Range struct {
	Low, High       Length
	HasLow, HasHigh bool
}

// PercentRange is a percentage from Low to High. An end that was left open has its Has field false and is 0.
type PercentRange struct {
	Low, High       float64
	HasLow, HasHigh bool
}

// Code names a kind of mistake. The codes of all files' mistakes are explained in package explain/diag.
type Code string

const (
	noUnit        Code = "FA0201"
	unknownUnit   Code = "FA0202"
	decimalComma  Code = "FA0203"
	oneValue      Code = "FA0204" // where a range was written
	upsideDown    Code = "FA0205"
	unclearDash   Code = "FA0206"
	notPercent    Code = "FA0207" // a percentage where a length is wanted
	percentWanted Code = "FA0208"
	noTapeHasIt   Code = "FA0209" // a fraction
	unreadable    Code = "FA0210"
	outOfReach    Code = "FA0211" // too large, or too fine
	feetAndInches Code = "FA0212"
)

// Error says what is wrong with a text and how to mend it. From and To are rune offsets of the part at fault in the text
// that was parsed, To not included.
type Error struct {
	Code          Code
	Summary, Hint string
	From, To      int
}

// Error returns the summary, followed by the hint.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Summary
	}
	return e.Summary + ": " + e.Hint
}
