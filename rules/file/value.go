package file

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Value is one value of a file: text, a list or a map. It is cheap to copy. The zero Value is absent; so is an empty cell,
// save that it has a place.
type Value struct {
	doc  *Doc
	node *yaml.Node
	word string        // that the text is read as, where that is another
	unit quantity.Unit // of a bare number; empty: that of the doc
}

// In is the value with a unit of its own for a bare number; an empty one leaves it that of the file.
func (v Value) In(unit quantity.Unit) Value {
	v.unit = unit
	return v
}

// Unit is the unit of a bare number.
func (v Value) Unit() quantity.Unit { return cmp.Or(v.unit, v.doc.units) }

// Exists reports whether the value is present and not null.
func (v Value) Exists() bool { return v.node != nil && v.node.Tag != "!!null" && v.node.Tag != refused }

// IsMap reports whether the value is a map of keys and values.
func (v Value) IsMap() bool { return v.Exists() && v.node.Kind == yaml.MappingNode }

// IsList reports whether the value is a list.
func (v Value) IsList() bool { return v.Exists() && v.node.Kind == yaml.SequenceNode }

// IsText reports whether the value is a scalar: text, a number, a length.
func (v Value) IsText() bool { return v.Exists() && v.node.Kind == yaml.ScalarNode }

// Range returns the place of the value: all of a scalar, the beginning of a map or list. It is zero for the zero Value.
func (v Value) Range() diag.Range {
	if v.node == nil {
		return diag.Range{}
	}
	n := v.node
	if n.Kind != yaml.ScalarNode || n.Tag == refused || v.doc.sheet != "" {
		return v.doc.at(n.Line, n.Column, 1)
	}
	r := v.doc.at(n.Line, n.Column, 0)
	if quoted := n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0; quoted || n.Style != 0 || n.Value != "" {
		r.End = v.end(quoted)
	}
	return r
}

// end returns the place after a scalar.
func (v Value) end(quoted bool) diag.Pos {
	places := v.doc.places(v.node)
	end := places[len(places)-1]
	if quoted {
		end.Column++
	}
	return end
}

// Span returns the place of a part of a scalar, given as rune offsets into its text, the second not included. Offsets
// outside the text mean its ends. For anything but a scalar it is the Range.
func (v Value) Span(from, to int) diag.Range {
	if !v.IsText() || v.doc.sheet != "" {
		return v.Range()
	}
	places := v.doc.places(v.node)
	last := len(places) - 1
	from = min(max(from, 0), last)
	to = min(max(to, from), last)
	r := diag.Range{File: v.doc.name, Start: places[from], End: places[to]}
	if to > from && places[to].Line > places[to-1].Line {
		r.End = places[to-1]
		r.End.Column++
	}
	return r
}

// Problem reports an error at the place of the value.
func (v Value) Problem(code diag.Code, summary, hint string) {
	if v.doc != nil {
		v.doc.Problem(v.Range(), code, summary, hint)
	}
}

// Note says something at the place of the value that is no mistake.
func (v Value) Note(code diag.Code, summary, hint string) {
	if v.doc != nil {
		v.doc.report(diag.Diagnostic{Severity: diag.Note, Code: code, Summary: summary, Hint: hint, Range: v.Range()})
	}
}

// Items returns the items of a list; one that is empty is reported and left out. Anything but a list is reported; what is
// absent has no items.
func (v Value) Items() []Value { return v.withoutEmpty(v.Cells()) }

// Each returns the items of a list; one that is empty is reported and left out. Any other value is the only item.
func (v Value) Each() []Value { return v.withoutEmpty(v.ItemsOrOne()) }

// withoutEmpty leaves out the items that are empty, and reports each.
func (v Value) withoutEmpty(items []Value) []Value {
	return slices.DeleteFunc(items, func(item Value) bool {
		if item.node.Tag == refused || item.Exists() && !item.blank() {
			return false
		}
		item.Problem(Missing, "nothing is written for this item of the list", "write it, or take its place out of the list")
		return true
	})
}

// Cells returns the items of a list, of which some may be empty. Anything but a list is reported; what is absent has none.
func (v Value) Cells() []Value {
	if v.Exists() && !v.IsList() {
		v.Problem(notList, "expected a list, got "+v.kind(), "write it in brackets, as in `[a, b]`, or each item on a line after `- `")
		return nil
	}
	return v.ItemsOrOne()
}

// ItemsOrOne returns the items of a list as they are, empty or not; any other value is the only item.
func (v Value) ItemsOrOne() []Value {
	switch {
	case !v.Exists():
		return nil
	case !v.IsList():
		return []Value{v}
	}
	items := make([]Value, len(v.node.Content))
	for i, n := range v.node.Content {
		items[i] = v.doc.value(n)
	}
	return items
}

// holds tells whether a map or list has anything in it.
func (v Value) holds() bool {
	for _, below := range v.entries() {
		if below.Exists() || below.node.Tag == refused {
			return true
		}
	}
	return v.IsList() && len(v.node.Content) > 0
}

// blank tells a text that says nothing.
func (v Value) blank() bool { return v.IsText() && strings.TrimSpace(v.node.Value) == "" }

// Text returns a scalar as it was written, without its quotes, and "" for what is absent; of a text that is read as another word, that word. Lists and maps are reported.
func (v Value) Text() string {
	if !v.scalar("text") {
		return ""
	}
	if v.word != "" {
		return v.word
	}
	return v.node.Value
}

// ReadAs is a text as a word that it is read as; the file says so, once for all such texts. Where read knows no other word
// for it, it stays as it is.
func (v Value) ReadAs(read func(string) (string, bool)) Value {
	if !v.IsText() || strings.TrimSpace(v.node.Value) != v.node.Value {
		return v
	}
	if word, ok := read(v.node.Value); ok && word != v.node.Value {
		v.word = word
		v.doc.readAs(v.Range(), v.node.Value, word)
	}
	return v
}

// Length returns a length. A bare number is meant in the units of the Doc.
func (v Value) Length() (quantity.Length, bool) {
	return parse(v, "a length", func(s string) (quantity.Length, error) { return quantity.ParseLength(s, v.Unit()) })
}

// Readings returns one length or several, with a space or a semicolon between, as they were written.
func (v Value) Readings() ([]quantity.Reading, bool) {
	return parse(v, "a length", func(s string) ([]quantity.Reading, error) { return quantity.ParseReadings(s, v.Unit()) })
}

// Touches reports whether only a comma stands between two items of a list in brackets, as in [97,8]: whoever wrote that
// may have meant a decimal comma. Programs write JSON so, and mean two.
func (v Value) Touches(before Value) bool {
	if v.doc == nil || v.doc.json || !v.IsText() || !before.IsText() {
		return false
	}
	end, start := before.Range().End, v.Range().Start
	return end.Line == start.Line && end.Column+1 == start.Column
}

// LengthRange returns a range of lengths; a single length is both its ends.
func (v Value) LengthRange() (quantity.Range, bool) {
	return parse(v, "a range of lengths", func(s string) (quantity.Range, error) { return quantity.ParseRange(s, v.Unit()) })
}

// Percent returns a percentage.
func (v Value) Percent() (float64, bool) { return parse(v, "a percentage", quantity.ParsePercent) }

// PercentRange returns a range of percentages; a single one is both its ends.
func (v Value) PercentRange() (quantity.PercentRange, bool) {
	return parse(v, "a range of percentages", quantity.ParsePercentRange)
}

// Bool returns a value that is true or false.
func (v Value) Bool() (value, ok bool) {
	if !v.scalar("`true` or `false`") {
		return false, false
	}
	switch v.node.Value {
	case "true", "false":
		return v.node.Value == "true", true
	}
	hint := "write `true` or `false`"
	switch strings.ToLower(v.node.Value) {
	case "yes", "on", "true":
		hint = "write `true`"
	case "no", "off", "false":
		hint = "write `false`"
	}
	v.Problem(NotAllowed, "expected `true` or `false`, got "+quote(v.node.Value), hint)
	return false, false
}

// Whole returns a whole number that is not negative.
func (v Value) Whole() (int, bool) {
	if !v.scalar("a whole number") {
		return 0, false
	}
	n, err := strconv.ParseUint(v.node.Value, 10, 31)
	if err != nil {
		v.Problem(NoNumber, "expected a whole number, got "+quote(v.node.Value), "write a number such as `2`, without a sign, decimals or a unit")
		return 0, false
	}
	return int(n), true
}

// Date returns a day as it was written, as 2026-11-02, once it is sure that the calendar has it.
func (v Value) Date() (string, bool) {
	if !v.scalar("a date") {
		return "", false
	}
	if _, err := time.Parse(time.DateOnly, v.node.Value); err != nil {
		v.Problem(noDate, "expected a date, got "+quote(v.node.Value), "write year, month and day, as in `2026-11-02`")
		return "", false
	}
	return v.node.Value, true
}

// OneOf returns a word that is one of those allowed.
func (v Value) OneOf(allowed ...string) (string, bool) {
	choice := alternatives(allowed)
	if !v.scalar(choice) {
		return "", false
	}
	word := v.node.Value
	if slices.Contains(allowed, word) {
		return word, true
	}
	v.Problem(NotAllowed, fmt.Sprintf("expected %s, got %s", choice, quote(word)), diag.DidYouMean(word, allowed, ""))
	return "", false
}

// Choice is [Value.OneOf] for words of a type of their own.
func Choice[T ~string](v Value, allowed ...T) (T, bool) {
	words := make([]string, len(allowed))
	for i, w := range allowed {
		words[i] = string(w)
	}
	word, ok := v.OneOf(words...)
	return T(word), ok
}

// scalar reports whether the value is a scalar, and complains if it is a list or map.
func (v Value) scalar(want string) bool {
	if v.Exists() && !v.IsText() {
		v.Problem(notOne, fmt.Sprintf("expected %s, got %s", want, v.kind()), "")
	}
	return v.IsText()
}

// kind says what an existing value is.
func (v Value) kind() string {
	switch v.node.Kind {
	case yaml.MappingNode:
		return "keys with values"
	case yaml.SequenceNode:
		return "a list"
	}
	return "a single value"
}

// parse reads a scalar with a function of package quantity and reports its error at the part at fault.
func parse[T any](v Value, want string, read func(string) (T, error)) (result T, ok bool) {
	if !v.scalar(want) {
		return result, false
	}
	result, err := read(v.node.Value)
	if err == nil {
		return result, true
	}
	var wrong *quantity.Error
	errors.As(err, &wrong) // as are all errors of that package
	v.doc.Problem(v.Span(wrong.From, wrong.To), diag.Code(wrong.Code), wrong.Summary, wrong.Hint)
	return result, false
}

// alternatives writes "`a`, `b` or `c`".
func alternatives(words []string) string {
	var b strings.Builder
	for i, w := range words {
		switch {
		case i > 0 && i == len(words)-1:
			b.WriteString(" or ")
		case i > 0:
			b.WriteString(", ")
		}
		b.WriteString("`" + w + "`")
	}
	return b.String()
}
