package formula

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"

	"fitadvisor/explain/diag"
)

// The limits of one text.
const (
	maxText        = 2000
	maxExpressions = 30
)

// Printer writes numbers in the reader's units.
type Printer interface {
	Length(cm float64) string
	Percent(p float64) string
	Ease(name string, v float64) string // name is the name printed, such as ease.hip
	Count(v float64) string
	Degrees(v float64) string
	Finer() Printer // the same with a finer step; nil where there is none
}

// printers are the functions that stand around a computed number in braces.
var printers = map[string]Dim{"length": Length, "percent": Percent, "count": Count, "degrees": Degrees}

// Template is a text with expressions in braces that was read and checked. It
// does not change and may be used by several goroutines at once.
type Template struct {
	segments []segment
	names    []string
	needs    []string
}

// segment is text as it stands, or an expression and how its value prints.
type segment struct {
	text    string
	formula *Formula
	at      int // where the expression begins in the text
	dim     Dim // how its value prints
}

// CompileTemplate reads a text with expressions in braces. A plain name prints
// as its [Dim] says, an expression that gives a text prints as it is, and a
// computed number stands in `length(...)`, `percent(...)`, `count(...)` or
// `degrees(...)`. `{{` and `}}` print as braces. The error is [Problems], with their places in text.
func CompileTemplate(text string, s *Schema) (*Template, error) {
	if len(text) > utf8.UTFMax*maxText || utf8.RuneCountInString(text) > maxText {
		return nil, Problems{{0, 1, tooMuch, "the text is longer than 2,000 characters", "shorten it"}}
	}
	r := &templateReader{runes: []rune(text), schema: s}
	r.read()
	if err := r.problems.err(); err != nil {
		return nil, err
	}
	return &Template{r.segments, r.names, r.needs}, nil
}

// Names returns every name in the text's expressions, in the order of the
// source, those inside known(...) included.
func (t *Template) Names() []string { return t.names }

// Place returns where a name first stands in the text, and 0, 0 where it does
// not. In known(...) it is the place of the call.
func (t *Template) Place(name string) (from, to int) {
	for _, s := range t.segments {
		if s.formula == nil {
			continue
		}
		if n := s.formula.root.first(name); n != nil {
			return n.from + s.at, n.to + s.at
		}
	}
	return 0, 0
}

// Needs returns the names without which the text cannot be printed, in the
// order of the source.
func (t *Template) Needs() []string { return t.needs }

// NotKnown is printed where an expression in a text lacks a name.
const NotKnown = "(not known)"

// Render prints the text, [NotKnown] where an expression needs a name that has
// no value; missing are those names. Two figures that differ and would print
// alike are printed more finely. The error is a *[RunError] with its place in the text.
func (t *Template) Render(e *Env, p Printer) (text string, missing []string, err error) {
	said := make([]spoken, len(t.segments))
	for i, s := range t.segments {
		if s.formula == nil {
			continue
		}
		v, err := s.value(e)
		var lacks *Missing
		switch {
		case errors.As(err, &lacks):
			v, missing = NotKnown, union(missing, lacks.Names)
		case err != nil:
			return "", nil, err
		}
		said[i] = s.say(v, p)
	}
	tellApart(said, p)
	var out strings.Builder
	for i, s := range t.segments {
		out.WriteString(s.text + said[i].text)
	}
	return out.String(), missing, nil
}

// spoken is what an expression printed.
type spoken struct {
	text    string
	v       float64
	segment *segment // nil where it is no figure
}

func (s *segment) say(v any, p Printer) spoken {
	if x, ok := v.(float64); ok {
		return spoken{s.print(x, p), x, s}
	}
	return spoken{text: v.(string)}
}

// tellApart prints figures more finely while two that differ look alike.
func tellApart(said []spoken, p Printer) {
	for p = p.Finer(); p != nil; p = p.Finer() {
		alike := lookalikes(said)
		for _, f := range alike {
			f.text = f.segment.print(f.v, p)
		}
		if len(alike) == 0 {
			return
		}
	}
}

// lookalikes are the figures that print as another one does from which they differ.
func lookalikes(said []spoken) (out []*spoken) {
	for i := range said {
		f := &said[i]
		if f.segment != nil && slices.ContainsFunc(said, func(o spoken) bool { return o.segment != nil && o.text == f.text && Round(o.v) != Round(f.v) }) {
			out = append(out, f)
		}
	}
	return out
}

func (s *segment) value(e *Env) (any, error) {
	v, err := s.formula.run(e)
	var failed *RunError
	if errors.As(err, &failed) {
		failed.From += s.at
		failed.To += s.at
	}
	return v, err
}

// print prints a number as the segment's dimension asks.
func (s *segment) print(x float64, p Printer) string {
	switch s.dim {
	case Length:
		return p.Length(x)
	case Percent:
		return p.Percent(x)
	case Ease:
		return p.Ease(s.formula.root.name.Name, x)
	case Degrees:
		return p.Degrees(x)
	}
	return p.Count(x)
}

type templateReader struct {
	runes    []rune
	schema   *Schema
	segments []segment
	names    []string
	needs    []string
	problems Problems
	text     strings.Builder // since the last expression
	count    int             // expressions read
}

func (r *templateReader) problem(from, to int, code diag.Code, summary, hint string) {
	r.problems = append(r.problems, Problem{from, to, code, summary, hint})
}

func (r *templateReader) read() {
	for at := 0; at < len(r.runes); {
		c := r.runes[at]
		doubled := at+1 < len(r.runes) && r.runes[at+1] == c
		switch {
		case c != '{' && c != '}':
			r.text.WriteRune(c)
			at++
		case doubled:
			r.text.WriteRune(c)
			at += 2
		case c == '}':
			r.problem(at, at+1, openBrace, "`}` closes nothing", "for a brace in the text write `}}`")
			at++
		default:
			at = r.braces(at)
		}
	}
	r.segments = append(r.segments, segment{text: r.text.String()})
}

// braces reads the expression that begins behind the brace at the place, and
// returns where the text goes on.
func (r *templateReader) braces(at int) int {
	end := r.closing(at + 1)
	if end < 0 {
		r.problem(at, at+1, openBrace, "`{` is never closed", "for a brace in the text write `{{`")
		return at + 1
	}
	if r.count++; r.count == maxExpressions+1 {
		r.problem(at, end+1, tooMuch, "more than 30 expressions in one text", "split the text")
	}
	r.expression(at+1, end)
	return end + 1
}

// closing returns the place of the brace that ends the expression, or -1. A
// brace inside quotes does not end it, unless the quotes are never closed.
func (r *templateReader) closing(from int) int {
	first, quote := -1, rune(0)
	for i, c := range r.runes[from:] {
		switch {
		case c == '}' && quote == 0:
			return from + i
		case c == '}' && first < 0:
			first = from + i
		case c == '{' && quote == 0:
			return -1
		case c == quote:
			quote = 0
		case quote == 0 && isQuote(c):
			quote = c
		}
	}
	return first
}

func (r *templateReader) expression(from, to int) {
	f, expression := compile(string(r.runes[from:to]), r.schema, true)
	r.segments = append(r.segments, segment{r.text.String(), f, from, expression.printed(f.root)})
	r.text.Reset()
	for _, p := range expression.problems {
		r.problem(p.From+from, p.To+from, p.Code, p.Summary, p.Hint)
	}
	r.names = union(r.names, f.names)
	r.needs = union(r.needs, f.needs)
}

func union(all, more []string) []string {
	for _, n := range more {
		if !slices.Contains(all, n) {
			all = append(all, n)
		}
	}
	return all
}

// unwrap takes the printer from around a whole expression.
func (r *reader) unwrap(n ast.Node) ast.Node {
	c, ok := n.(*ast.CallNode)
	if !ok {
		return n
	}
	callee, ok := c.Callee.(*ast.IdentifierNode)
	if !ok || printers[callee.Value] == 0 || len(c.Arguments) != 1 {
		return n
	}
	r.printer = callee.Value
	return c.Arguments[0]
}

// printed returns how the value of a whole expression prints.
func (r *reader) printed(n *node) Dim {
	if len(r.problems) > 0 {
		return 0
	}
	dim := printers[r.printer]
	switch {
	case dim != 0:
		r.want(number, n, r.printer+"(...)")
		if is := n.dim(); n.kind == number && is != 0 && is != dim {
			r.problem(n.from, n.to, wrongPrinter, fmt.Sprintf("write %s(%s)", is.printer(), r.excerpt(n)),
				"%s(...) prints %s, and `%s` is %s", r.printer, dim, r.excerpt(n), is)
		}
		return dim
	case n.kind == condition:
		r.problem(n.from, n.to, conditionPrinted, fmt.Sprintf("write `%s ? \"yes\" : \"no\"`", r.excerpt(n)), "a condition does not print")
	case n.kind == number && n.op != opName:
		r.problem(n.from, n.to, unitless, fmt.Sprintf("write length(%[1]s), percent(%[1]s) or count(%[1]s)", r.excerpt(n)),
			"a computed number does not say what it measures")
	}
	if n.op == opName {
		return n.name.Dim
	}
	return Text
}

// dim returns what a number measures, or 0 where that is not certain.
func (n *node) dim() Dim {
	switch n.op {
	case opName:
		if n.name.Dim == Ease {
			return 0
		}
		return n.name.Dim
	case "cm", "inch":
		return Length
	case opMinus, "abs", "round":
		return n.operands[0].dim()
	case "+", "-", "min", "max":
		return common(n.operands)
	case opChoice:
		return common(n.operands[1:])
	}
	return 0
}

// common returns what all of the numbers measure that certainly measure
// something.
func common(of []*node) Dim {
	var all Dim
	for _, n := range of {
		d := n.dim()
		if d != 0 && all != 0 && d != all {
			return 0
		}
		all = max(all, d)
	}
	return all
}
