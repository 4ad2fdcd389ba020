package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// words puts numbers into the reader's units.
type words struct{ units quantity.Unit }

const nanometresPerCm = 10_000_000

// inUnits prints nanometres, from the same thousandth of a centimetre that the JSON gives.
func (w words) inUnits(v float64) string {
	return quantity.FormatCm(roundTo(v/nanometresPerCm, 1000), w.units)
}

// finely is nm for what may be less than the finest step that is printed.
func (w words) finely(v float64) string { return quantity.FormatLittle(v/nanometresPerCm, w.units) }

// ease is a length or a percentage, as its zone has it.
func (w words) ease(v float64, percent bool) string {
	if percent {
		return w.Percent(v)
	}
	return w.inUnits(v)
}

// change is an ease with its sign: "+1/2 in".
func (w words) change(v float64, percent bool) string {
	if v < 0 {
		return w.ease(v, percent)
	}
	return "+" + w.ease(v, percent)
}

// span is an expected range, open ends in words.
func (w words) span(e *EaseRange) string {
	switch {
	case !e.HasHigh:
		return w.ease(e.Low, e.Percent) + " or more"
	case !e.HasLow:
		return w.ease(e.High, e.Percent) + " or less"
	}
	return w.ease(e.Low, e.Percent) + " to " + w.ease(e.High, e.Percent)
}

// Length prints centimetres in the reader's units.
func (w words) Length(cm float64) string { return quantity.FormatLittle(roundTo(cm, 1000), w.units) }

// Percent prints a percentage.
func (w words) Percent(p float64) string { return quantity.FormatPercent(roundTo(p, 100)) }

// Count prints a whole number.
func (w words) Count(v float64) string { return quantity.FormatCount(v) }

// Degrees prints an angle.
func (w words) Degrees(v float64) string { return quantity.FormatCount(v) + " degrees" }

// fine prints nanometres to what can be drawn with a sharp pencil: "3/16 in".
func (w words) fine(v float64) string { return quantity.FromCm(v / nanometresPerCm).Fine(w.units) }

// parts print an amount as a tape reads it, and what of it comes to each of n places,
// so that the parts add up to what is printed.
func (w words) parts(v float64, n int) (all, each string) {
	whole := quantity.Length(w.onTape(math.Abs(v), math.Round))
	parts := whole.Split(n, w.units)
	if len(parts) == 1 {
		return whole.Format(w.units), parts[0].Amount.Fine(w.units) + " at each"
	}
	less, more := parts[0], parts[1]
	return whole.Format(w.units), fmt.Sprintf("%s at %d and %s at %d", more.Amount.Fine(w.units), more.Places, less.Amount.Fine(w.units), less.Places)
}

// grid is the step in which a reader's units are typed: 0.1 cm or 1/8 in.
func (w words) grid() quantity.Length {
	if w.units == quantity.In {
		return quantity.Inch / 8
	}
	return quantity.Millimetre
}

// onTape is v in steps of that grid, to the nearest, up or down.
func (w words) onTape(v float64, to func(float64) float64) float64 {
	grid := w.grid()
	return to(ticks(v, false)/ticks(float64(grid), false)) * float64(grid)
}

// list joins words with commas and a last word: "hip, waist and bust".
func list(items []string, last string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:len(items)-1], ", ") + " " + last + " " + items[len(items)-1]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// An puts the article before a garment type's title, by its sound.
func An(title string) string {
	first := strings.ToLower(title)
	asConsonant := slices.ContainsFunc([]string{"one", "uni", "use", "eu"}, func(s string) bool { return strings.HasPrefix(first, s) })
	if first != "" && strings.ContainsRune("aeiou", rune(first[0])) && !asConsonant {
		return "an " + title
	}
	return "a " + title
}
