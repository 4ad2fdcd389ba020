package formula

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"fitadvisor/explain/diag"
)

// function describes a function of the language.
type function struct {
	usage       string
	least, most int // operands
	gives       kind
	about       string
}

var functions = map[string]function{
	"cm":      {"cm(5)", 1, 1, number, "that many centimetres"},
	"inch":    {"inch(2)", 1, 1, number, "that many inches, in centimetres: 5.08"},
	"abs":     {"abs(x)", 1, 1, number, "the number without its sign"},
	"round":   {"round(x)", 1, 1, number, "the nearest whole number, a half away from 0"},
	"min":     {"min(x, y)", 2, maxNodes, number, "the smallest of two or more numbers"},
	"max":     {"max(x, y)", 2, maxNodes, number, "the largest of two or more numbers"},
	"between": {"between(x, low, high)", 3, 3, condition, "whether x lies between low and high, either of them included"},
	"known":   {"known(group.name)", 1, 1, condition, "whether the name has a value"},
	"count":   {"count(a, b)", 1, maxNodes, number, "how many of the conditions hold"},
	"if":      {"if(condition, x, y)", 3, 3, number, "x where the condition holds, else y, both of a kind; the same as condition ? x : y"},
}

// Function tells people of one function: how it is written, and what it gives.
type Function struct{ Usage, About string }

// Functions lists the functions of expressions, in alphabetical order.
func Functions() []Function {
	var all []Function
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		all = append(all, Function{functions[name].usage, functions[name].about})
	}
	return all
}

// Printers lists the functions that stand around a whole expression in a text's
// braces, in alphabetical order.
func Printers() []Function {
	var all []Function
	for _, name := range slices.Sorted(maps.Keys(printers)) {
		all = append(all, Function{name + "(x)", "prints a computed number as " + printers[name].String()})
	}
	return all
}

func (f function) wanted(name string, got int) string {
	many := fmt.Sprint(f.least)
	if f.most > f.least {
		many += " or more"
	}
	values := "values"
	if many == "1" {
		values = "value"
	}
	return fmt.Sprintf("%s(...) wants %s %s, and got %d", name, many, values, got)
}

func functionHint(name string) string {
	if printers[name] != 0 {
		return fmt.Sprintf("%s(...) stands only around a whole expression in a text's braces", name)
	}
	return diag.DidYouMean(name, slices.Sorted(maps.Keys(functions)), "the functions are: "+functionNames())
}

func functionNames() string {
	return strings.Join(slices.Sorted(maps.Keys(functions)), ", ")
}

// Round rounds to four decimals, half away from zero, as every comparison of
// numbers does with both sides.
func Round(v float64) float64 {
	if math.Abs(v) > 1e11 { // no float64 of this size has five decimals
		return v
	}
	return math.Round(v*1e4) / 1e4
}

// failure is a panic inside the engine that becomes a RunError at the place of
// the part that failed.
type failure struct{ summary, hint string }

func (f *failure) Error() string { return f.summary }

var (
	notFinite    = &failure{"the result is not a finite number", ""}
	divideByZero = &failure{"division by zero", "ask first, as in `a.b != 0 and ...`"}
)

func finite(v float64) bool { return !math.IsInf(v, 0) && !math.IsNaN(v) }

func checked(v float64) float64 {
	if !finite(v) {
		panic(notFinite)
	}
	return v
}

func rounded(v float64) float64 { return Round(checked(v)) }

// The engine calls functions of these types without reflection. Sums, products
// and signs stay its own: what is not finite stays so through them, and each
// way out of them is checked.
var (
	comparisons = map[op]func(a, b float64) bool{
		"==": func(a, b float64) bool { return rounded(a) == rounded(b) },
		"!=": func(a, b float64) bool { return rounded(a) != rounded(b) },
		"<":  func(a, b float64) bool { return rounded(a) < rounded(b) },
		"<=": func(a, b float64) bool { return rounded(a) <= rounded(b) },
		">":  func(a, b float64) bool { return rounded(a) > rounded(b) },
		">=": func(a, b float64) bool { return rounded(a) >= rounded(b) },
	}
	oneToOne = map[op]func(float64) float64{"abs": math.Abs, "round": math.Round}
	twoToOne = map[op]func(a, b any) any{
		"/": func(a, b any) any {
			if b.(float64) == 0 {
				panic(divideByZero)
			}
			return checked(a.(float64)) / checked(b.(float64))
		},
		"min": func(a, b any) any { return min(checked(a.(float64)), checked(b.(float64))) },
		"max": func(a, b any) any { return max(checked(a.(float64)), checked(b.(float64))) },
	}
)

func isKnown(v any) bool { return v != nil }

type bounds struct{ low, high float64 }

func newBounds(low, high any) any {
	return bounds{rounded(low.(float64)), rounded(high.(float64))}
}

func within(v, b any) bool {
	x, in := rounded(v.(float64)), b.(bounds)
	return in.low <= x && x <= in.high
}

func oneOfNumbers(list []*node) func(float64) bool {
	values := make([]float64, len(list))
	for i, n := range list {
		values[i] = Round(n.value.(float64))
	}
	return func(v float64) bool { return slices.Contains(values, rounded(v)) }
}

func oneOfTexts(list []*node) func(string) bool {
	values := make([]string, len(list))
	for i, n := range list {
		values[i] = n.value.(string)
	}
	return func(v string) bool { return slices.Contains(values, v) }
}
