package shape

// Text is any single value: scalars are read as they are written.
func Text() Shape { return Shape{types: []string{"string", "number", "boolean"}} }

// JSON is any value of a type that JSON has.
func JSON(name string) Shape { return Shape{types: []string{name}} }

// Name is text that is not blank.
func Name() Shape { return matching("[^"+blank+"]", "string", "number", "boolean") }

// Matching is text of a pattern, which must mean the same in Go and in
// JavaScript with its flag u. Numbers and truths pass.
func Matching(pattern string) Shape { return matching(pattern, "string", "number", "boolean") }

func matching(pattern string, types ...string) Shape { return Shape{types: types, pattern: pattern} }

// OneOf is one of these words.
func OneOf(words ...string) Shape {
	s := Shape{types: []string{"string"}}
	for _, word := range words {
		s.words = append(s.words, word)
	}
	return s
}

// Bool is true or false.
func Bool() Shape {
	return Shape{types: []string{"boolean", "string"}, words: []any{true, false, "true", "false"}}
}

// Whole is a whole number that is not below 0.
func Whole() Shape { return matching(`^\d+$`, "integer", "string") }

// Number is a plain number.
func Number() Shape { return matching("^"+number+"$", "number", "string") }

// NumberWith is a plain number, or one that is followed by a pattern, spaces
// between and round them.
func NumberWith(after string) Shape {
	return matching("^"+spaces+number+"("+spaces+"("+after+"))?"+spaces+"$", "number", "string")
}

// Date is a day.
func Date() Shape {
	return matching(`^\d{4}-\d\d-\d\d$`, "string").Named("date", "A day, as in 2026-11-02.")
}

// Units is what bare numbers are meant in.
func Units() Shape {
	return Either(OneOf("cm", "in"), matching("^"+spaces+"(cm|in)"+spaces+"$", "string"))
}

// Length is a length; a bare number is meant in the file's units.
func Length() Shape {
	return matching("^"+spaces+measure+spaces+"$", "number", "string").Named("length",
		"A length, as in 98 cm, 38 1/2 in or 5' 6\". A number without a unit is meant in the file's `units`.")
}

// Readings is one length or several, parted by spaces or semicolons.
func Readings() Shape {
	return matching("^"+spaces+measure+"(([;"+blank+"]|,["+blank+"]).*)?$", "number", "string").Named("readings",
		"A length, as in 98 cm or 38 1/2 in, or several readings with a space or a semicolon between, as in 98 98.5. A number without a unit is meant in the file's `units`.")
}

// LengthWithUnit is a length in a file that has no units for bare numbers.
func LengthWithUnit() Shape {
	return matching("^"+spaces+measure+spaces+"$", "string").Named("length_with_unit", "A length with its unit, as in 98 cm or 38 1/2 in.")
}

// cell is a length or a range of lengths that is not open.
const cell = measure + "(" + spaces + "(" + dots + "|" + dash + ")" + spaces + measure + ")?"

// Cell is a cell of a chart: a length, a range, or a mark for a gap. One
// that is not known may be left empty.
func Cell() Shape {
	return matching("^"+spaces+"("+cell+"|[-–—~])"+spaces+"$", "number", "string").Named("cell",
		"A length, or a range of lengths as in 26-27 or 26 .. 27. Write ~ for a cell you do not know.")
}

// Percent is a percentage.
func Percent() Shape {
	return matching("^"+spaces+share+spaces+"$", "string").Named("percentage", "A percentage, as in 25 %.")
}

// PercentRange is a range of percentages between two ends.
func PercentRange() Shape {
	return matching("^"+spaces+percentRange+spaces+"$", "string").Named("percentage_range", "A range of percentages, as in 90 % .. 97 %.")
}

// EaseRange is a range of lengths or of percentages; either end may be open.
func EaseRange() Shape {
	return matching("^"+spaces+"("+lengthRange+"|"+percentRange+")"+spaces+"$", "string").Named("ease_range",
		"A range of lengths with their unit, as in 3 in .. 10 in, or of percentages of the body, as in -10 % .. -2 %. One end may be open, as in 4 in ..")
}

// Amount is a length or a percentage; bare says whether a number may stand
// without its unit.
func Amount(bare bool) Shape {
	pattern := "^" + spaces + "(" + measure + "|" + share + ")" + spaces + "$"
	if bare {
		return matching(pattern, "number", "string").Named("amount", "A length, as in 2 in, or a percentage, as in 2 %.")
	}
	return matching(pattern, "string").Named("amount_with_unit", "A length with its unit, as in 2 in, or a percentage, as in 2 %.")
}

// Limit is a threshold of a rule: a length or a percentage, or a bare number,
// which is a count.
func Limit() Shape {
	return matching("^"+spaces+"("+number+"|"+measure+"|"+share+")"+spaces+"$", "number", "string").Named("limit",
		"A threshold with its unit, as in 2 in or 10 %. A number without a unit is a count.")
}

// Texts as the reader takes them, in patterns that mean the same in Go and in
// JavaScript.
const (
	blank  = "\\s\\x0b\\x85\\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000" // all that Unicode counts as a space
	spaces = "[" + blank + "]*"
	dash   = "[-\u2010\u2011\u2013\u2212]" // also a minus sign
	dots   = `(\.\.|…)`

	// A plain number: 2, -0.5, 1e3.
	number = `[-+]?[0-9.][0-9.xXa-fA-F_pP+-]*`

	// A number of the tape: 38, 38.5, 38,5, 38 1/2, 38-1/2, 38½. Nothing in these
	// patterns matches in two ways, or an editor would take minutes over a long text.
	tape    = `(\d*\.\d+|\d+,\d+|(\d+([` + blank + `]+|` + dash + `))?\d+[/⁄]\d+|(\d+(` + spaces + `|` + dash + `))?[½¼¾⅛⅜⅝⅞]|\d+)`
	feet    = `(ft|['′’‘])`
	inches  = `(in|["″”“])`
	measure = dash + `?` + tape + `(` + spaces + `(mm|cm|m|` + inches + `|` + feet + `(` + spaces + tape + spaces + inches + `)?))?`

	decimal = dash + `?(\d*\.\d+|\d+,\d+|\d+)`
	share   = decimal + spaces + `%`

	lengthRange  = `(` + dots + spaces + measure + `|` + measure + `(` + spaces + `(` + dots + `|` + dash + `)` + spaces + measure + `|` + spaces + dots + `)?)`
	percentRange = `(` + dots + spaces + share + `|` + decimal + `(` + spaces + `%)?` + spaces + `(` + dots + `|` + dash + `)` + spaces + share + `|` + share + `(` + spaces + dots + `)?)`
)
