package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Format returns l as a reader of u wants to see it: "113.2 cm" to one decimal at most, or "44 1/4 in" to the nearest
// eighth. Halves are rounded away from zero.
func (l Length) Format(u Unit) string {
	if u == In {
		return l.signed(Inch/8, func(n uint64) string { return mixed(n, 8) }) + " in"
	}
	return l.signed(Millimetre, func(n uint64) string { return decimal(n, 1) }) + " cm"
}

// FineStep is the finest step that can be drawn with a sharp pencil: a sixteenth of an inch, or half a millimetre.
func FineStep(u Unit) Length {
	if u == In {
		return Inch / 16
	}
	return Millimetre / 2
}

// Fine is Format to the nearest [FineStep], for an amount that is drawn at several edges: rounded to an eighth of an
// inch, four of them could be a quarter inch out.
func (l Length) Fine(u Unit) string {
	step := FineStep(u)
	if u == In {
		return l.signed(step, func(n uint64) string { return mixed(n, 16) }) + " in"
	}
	return l.signed(step, func(n uint64) string { return decimal(5*n, 2) }) + " cm"
}

// Finest is the last step of [Length.Finer].
const Finest = 4

// Finer is Format with a step that is n times finer, for two lengths that differ and would print alike: sixteenths of an
// inch, then hundredths and less; hundredths of a centimetre and less.
func (l Length) Finer(u Unit, n int) string {
	step, places, name := Centimetre, 1+n, " cm"
	switch {
	case u == In && n == 1:
		return l.Fine(u)
	case u == In:
		step, places, name = Inch, n, " in"
	}
	for range places {
		step /= 10
	}
	return l.signed(step, func(n uint64) string { return decimal(n, places) }) + name
}

// Part is an amount at so many places.
type Part struct {
	Places int
	Amount Length
}

// Split cuts l into amounts for n places, in steps of [FineStep], that add up to l to the nearest such step: where it
// cannot be halved so often, some places get a step more than others.
func (l Length) Split(n int, u Unit) []Part {
	step := FineStep(u)
	whole := int64(math.Round(math.Abs(float64(l)) / float64(step)))
	if l < 0 {
		step = -step
	}
	each, more := Length(whole/int64(n)), int(whole%int64(n))
	if more == 0 {
		return []Part{{n, each * step}}
	}
	return []Part{{n - more, each * step}, {more, (each + 1) * step}}
}

// Exact returns l without any rounding, as it would be typed: "112.395 cm", "44 1/4 in", "38.4 in". A length that is no
// finite number of inches is returned in centimetres, so that what is printed always reads back as l.
func (l Length) Exact(u Unit) string {
	const finest = Inch / 64
	switch {
	case u == In && l%finest == 0:
		return l.signed(finest, func(n uint64) string { return mixed(n, 64) }) + " in"
	case u == In && l%127 == 0: // 127 nm are five millionths of an inch
		return l.signed(127, func(n uint64) string { return decimal(5*n, 6) }) + " in"
	}
	return l.signed(Nanometre, func(n uint64) string { return decimal(n, 7) }) + " cm"
}

// FormatCm returns a computed value of cm centimetres with the look of [Length.Format].
func FormatCm(cm float64, u Unit) string { return FromCm(cm).Format(u) }

// FormatLittle is [FormatCm] for what may be less than the finest step that is printed: "less than 1/8 in".
func FormatLittle(cm float64, u Unit) string {
	step := Millimetre
	if u == In {
		step = Inch / 8
	}
	if l := FromCm(cm); l > 0 && l < step/2 {
		return "less than " + step.Format(u)
	}
	return FormatCm(cm, u)
}

// FormatPercent returns p with one decimal at most, as "9.1 %".
func FormatPercent(p float64) string { return FormatCount(p) + " %" }

// FormatCount returns a plain number with one decimal at most. Halves are rounded away from zero, once the noise of
// computing has been taken off.
func FormatCount(v float64) string { return FormatDecimals(v, 1) }

// FormatDecimals is [FormatCount] with at most so many decimals, up to 5.
func FormatDecimals(v float64, places int) string {
	scale := math.Pow10(places)
	n := math.Round(math.Round(v*1e6) / (1e6 / scale))
	return strconv.FormatFloat(n/scale+0, 'f', -1, 64) // -0 + 0 is 0
}

// signed prints the number of steps nearest to l, half away from zero, with a minus where it is below zero.
func (l Length) signed(step Length, print func(n uint64) string) string {
	size := uint64(l)
	if l < 0 {
		size = -size
	}
	n := (size + uint64(step)/2) / uint64(step)
	if l < 0 && n != 0 {
		return "-" + print(n)
	}
	return print(n)
}

// mixed prints n/den as a whole number and a fraction in lowest terms; den is a power of two.
func mixed(n, den uint64) string {
	whole, rest := n/den, n%den
	for rest != 0 && rest%2 == 0 {
		rest, den = rest/2, den/2
	}
	switch {
	case rest == 0:
		return strconv.FormatUint(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%d/%d", rest, den)
	}
	return fmt.Sprintf("%d %d/%d", whole, rest, den)
}

// decimal prints n / 10^places without zeros at the end.
func decimal(n uint64, places int) string {
	digits := fmt.Sprintf("%0*d", places+1, n)
	point := len(digits) - places
	return strings.TrimSuffix(strings.TrimRight(digits[:point]+"."+digits[point:], "0"), ".")
}
