package formula

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"fitadvisor/explain/diag"
)

// reader turns a source into a checked tree. It goes on after a problem, so
// that all of them are reported at once.
type reader struct {
	scanned
	schema   *Schema
	problems Problems
	names    []Name // in the order of the source
	count    int    // nodes read
	nested   int    // signs and choices inside one another
	printer  string // around the whole expression
}

// read reads one expression. In a text's braces a printer may stand around it.
func read(src string, s *Schema, inBraces bool) (*reader, *node) {
	r := &reader{schema: s}
	r.scanned, r.problems = scan(src)
	if len(r.problems) > 0 {
		return r, nil
	}
	if n := strings.TrimSpace(src); IsName(n) { // the most usual text in braces
		from := 0
		for unicode.IsSpace(r.runes[from]) {
			from++
		}
		return r, r.use(n, from, from+len(n))
	}
	tree, err := parse(r.forEngine())
	if err != nil {
		r.problems = Problems{r.syntax(err)}
		return r, nil
	}
	if inBraces {
		tree = r.unwrap(tree)
	}
	n := r.node(tree)
	if r.count > maxNodes {
		r.problems = Problems{{0, len(r.runes), tooMuch, "the expression has more than 200 names, values and operators", "split it into several"}}
	}
	return r, n
}

// engine is the configuration of the engine: no variables but those of a map,
// no functions but ours. It is made when the first expression is read.
var engine = sync.OnceValue(func() *conf.Config {
	c := conf.New(map[string]any{})
	for name := range c.Builtins {
		c.Disabled[name] = true
	}
	clear(c.Builtins)
	for _, loop := range []string{"all", "none", "any", "one", "filter", "map", "count", "sum", "find",
		"findIndex", "findLast", "findLastIndex", "groupBy", "sortBy", "reduce"} {
		c.Functions[loop] = nil // else the parser knows it, disabled or not
	}
	c.MaxNodes = 3 * maxNodes // a name is three nodes of the engine
	return c
})

// forEngine is the source with a word of the engine's own for each `if(`.
func (r *reader) forEngine() string {
	runes := slices.Clone(r.runes)
	for _, at := range r.ifs {
		copy(runes[at:], []rune(ifWord))
	}
	return string(runes)
}

func parse(src string) (n ast.Node, err error) {
	defer func() {
		if recover() != nil {
			err = errors.New("the expression cannot be read")
		}
	}()
	config := *engine() // the engine keeps a cache in it
	tree, err := parser.ParseWithConfig(src, &config)
	if err != nil {
		return nil, err
	}
	return tree.Node, nil
}

// syntax says the engine's syntax error in the words of the trade.
func (r *reader) syntax(err error) Problem {
	var at *file.Error
	if !errors.As(err, &at) {
		return Problem{0, len(r.runes), misfit, err.Error(), ""}
	}
	to := min(at.To, len(r.runes))
	from := max(0, min(at.From, to-1))
	word := strings.TrimSpace(string(r.runes[from:to]))
	p := Problem{From: from, To: to, Code: misfit, Summary: fmt.Sprintf("`%s` does not fit here", word)}
	switch {
	case strings.Contains(at.Message, "maximum allowed nodes"):
		return Problem{0, len(r.runes), tooMuch, "the expression has more than 200 names, values and operators", "split it into several"}
	case strings.Contains(at.Message, "EOF") && strings.HasSuffix(strings.TrimSpace(string(r.runes)), " in"):
		p.Code, p.Summary, p.Hint = badList, "the list behind `in` is missing", unitHint("in")
	case strings.Contains(at.Message, "EOF"):
		p.Code, p.Summary, p.Hint = incomplete, "the expression ends too early", "something is missing behind the last sign"
	case word == "cm", word == "mm":
		p.Code, p.Hint = badNumber, unitHint(word)
	case strings.Contains(at.Message, "Number"), strings.Contains(at.Message, "Identifier"), strings.Contains(at.Message, "String"):
		p.Hint = "an operator is missing before it, such as `and`, `+` or `<`"
	}
	return p
}

func (r *reader) problem(from, to int, code diag.Code, hint, summary string, args ...any) {
	r.problems = append(r.problems, Problem{from, to, code, fmt.Sprintf(summary, args...), hint})
}

func (r *reader) source(n *node) string { return string(r.runes[n.from:n.to]) }

// outer returns the place of a node with the brackets around it.
func (r *reader) outer(n *node) (from, to int) {
	from, to = n.from, n.to
	for {
		open := from - 1
		for open >= 0 && unicode.IsSpace(r.runes[open]) {
			open--
		}
		end := r.skip(to)
		if open < 0 || r.runes[open] != '(' || r.closes[open] != end {
			return from, to
		}
		from, to = open, end+1
	}
}

// skip returns the place of the first character from the place on that is no
// space.
func (r *reader) skip(at int) int {
	for at < len(r.runes) && unicode.IsSpace(r.runes[at]) {
		at++
	}
	return at
}

// node reads one node of the engine's tree. What cannot be allowed becomes a
// node of unknown kind, so that it is reported once.
func (r *reader) node(n ast.Node) *node {
	at := n.Location()
	if r.count++; r.count > maxNodes {
		return &node{from: at.From, to: at.To}
	}
	out := &node{op: opValue, from: at.From, to: at.To}
	switch n := n.(type) {
	case *ast.IntegerNode:
		out.kind, out.value = number, float64(n.Value)
	case *ast.FloatNode:
		out.kind, out.value = number, n.Value
	case *ast.StringNode:
		out.kind, out.value = text, n.Value
	case *ast.BoolNode:
		out.kind, out.value = condition, n.Value
	case *ast.IdentifierNode:
		r.bare(n)
	case *ast.MemberNode:
		return r.name(n)
	case *ast.UnaryNode:
		r.enter(at, func() { r.unary(n, out) })
	case *ast.BinaryNode:
		r.binary(n, out)
	case *ast.ConditionalNode:
		r.enter(at, func() { r.choice(n, out) })
	case *ast.CallNode:
		r.call(n, out)
	default:
		r.problem(at.From, at.To, misfit, "allowed are names, numbers, texts, + - * /, comparisons, and, or, not, ?:, in and functions",
			"this has no place in an expression")
	}
	return out
}

// enter reads something that can nest without brackets.
func (r *reader) enter(at file.Location, read func()) {
	r.nested++
	defer func() { r.nested-- }()
	if r.nested > maxNested {
		r.problem(at.From, at.To, tooMuch, "split the expression into several", "more than 50 signs or choices inside one another")
		return
	}
	read()
}

func (r *reader) bare(n *ast.IdentifierNode) {
	hint := fmt.Sprintf("a text stands in quotes: \"%s\"", n.Value)
	if full := r.schema.ending(n.Value); full != "" {
		hint = fmt.Sprintf("did you mean `%s`?", full)
	}
	r.problem(n.Location().From, n.Location().To, unknownName, hint, "`%s` is no name: names have the form group.name", n.Value)
}

func (r *reader) name(n *ast.MemberNode) *node {
	group, ok := n.Node.(*ast.IdentifierNode)
	property, dotted := n.Property.(*ast.StringNode)
	if !ok || !dotted || n.Optional || isQuote(r.runes[property.Location().From]) {
		from, to := r.extent(n)
		r.problem(from, to, unknownName, "", "names have exactly the form group.name")
		return &node{from: from, to: to}
	}
	return r.use(group.Value+"."+property.Value, group.Location().From, property.Location().To)
}

// extent returns the place of a member of something that is no group.
func (r *reader) extent(n *ast.MemberNode) (from, to int) {
	from, to = n.Location().From, n.Location().To
	for {
		from = min(from, n.Node.Location().From)
		inner, ok := n.Node.(*ast.MemberNode)
		if !ok {
			return from, to
		}
		n = inner
	}
}

func isQuote(c rune) bool { return c == '"' || c == '\'' }

// use reads a name at its place.
func (r *reader) use(full string, from, to int) *node {
	name, ok := r.schema.Lookup(full)
	if !ok {
		r.problem(from, to, unknownName, r.schema.suggest(full), "unknown name `%s`", full)
		return &node{from: from, to: to}
	}
	n := &node{op: opName, kind: name.Dim.kind(), from: from, to: to, name: name}
	if v, ok := r.schema.value(full); ok {
		n.value = v
	}
	n.index = slices.IndexFunc(r.names, func(m Name) bool { return m.Name == full })
	if n.index < 0 {
		n.index = len(r.names)
		r.names = append(r.names, name)
	}
	return n
}

func (r *reader) unary(n *ast.UnaryNode, out *node) {
	operand := r.node(n.Node)
	_, out.to = r.outer(operand)
	switch n.Operator {
	case "not", "!":
		out.op, out.kind = opNot, condition
		if operand.op == opIn && out.from >= operand.from { // `x not in [...]` is a `not` behind x
			*out = *operand
			out.op = opNotIn
			return
		}
		if operand.kind != condition {
			out.kind = unknown
		}
		if operand.kind == number || operand.kind == text {
			r.problem(operand.from, operand.to, wrongKind, "for the opposite of a comparison write `not (...)`",
				"`%s` wants a condition, and `%s` is %s", n.Operator, r.excerpt(operand), operand.kind)
		}
	case "-":
		out.op, out.kind = opMinus, number
		r.want(number, operand, "`-`")
		if v, ok := operand.value.(float64); ok && operand.op == opValue {
			out.op, out.value = opValue, 0-v
			return
		}
	default:
		r.problem(out.from, out.from+1, misfit, "leave it out", "a `+` stands only between two numbers")
	}
	out.operands = []*node{operand}
}

func (r *reader) binary(n *ast.BinaryNode, out *node) {
	if n.Operator == "in" {
		r.in(n, out)
		return
	}
	left, right := r.node(n.Left), r.node(n.Right)
	sign := string(r.runes[out.from:out.to])
	out.from, _ = r.outer(left)
	_, out.to = r.outer(right)
	out.op, out.operands = op(n.Operator), []*node{left, right}
	switch n.Operator {
	case "and", "&&", "or", "||":
		out.kind, out.op = condition, opAnd
		if n.Operator[0] == 'o' || n.Operator[0] == '|' {
			out.op = opOr
		}
		if sign != n.Operator { // the engine reads a < b < c as a < b && b < c
			r.problem(out.from, out.to, chained, "write `a < b and b < c` or between(x, low, high)", "comparisons cannot be chained")
			return
		}
		r.want(condition, left, "`"+sign+"`")
		r.want(condition, right, "`"+sign+"`")
	case "+", "-", "*", "/":
		out.kind = number
		r.want(number, left, "`"+sign+"`")
		r.want(number, right, "`"+sign+"`")
		if n.Operator == "+" || n.Operator == "-" {
			r.ofOneMeasure(out.operands, "they cannot be added, nor taken from one another")
		}
	case "==", "!=", "<", "<=", ">", ">=":
		out.kind = condition
		r.comparison(left, right, sign)
	default:
		out.kind = unknown
		r.problem(n.Location().From, n.Location().To, noSuchSign, "", "there is no `%s`", n.Operator)
	}
}

// want reports an operand of another kind.
func (r *reader) want(k kind, n *node, who string) {
	if n.kind == k || n.kind == unknown {
		return
	}
	hint := ""
	switch {
	case k == condition && n.kind == number:
		hint = fmt.Sprintf("compare it with something, as in `%s > 0`", r.excerpt(n))
	case k == condition && n.kind == text:
		hint = fmt.Sprintf("compare it with something, as in `%s == \"...\"`", r.excerpt(n))
	}
	r.problem(n.from, n.to, wrongKind, hint, "%s wants %s, and `%s` is %s", who, k, r.excerpt(n), n.kind)
}

// excerpt returns the source of a node, cut where it is long.
func (r *reader) excerpt(n *node) string {
	if n.to-n.from > 40 {
		return string(r.runes[n.from:n.from+37]) + "..."
	}
	return r.source(n)
}

func (r *reader) comparison(left, right *node, sign string) {
	if left.kind == unknown || right.kind == unknown {
		return
	}
	if left.kind != right.kind {
		wrong := right
		if left.op == opValue {
			wrong = left
		}
		r.problem(wrong.from, wrong.to, unlike, "", "`%s` is %s and `%s` is %s: they cannot be compared",
			r.excerpt(left), left.kind, r.excerpt(right), right.kind)
		return
	}
	if left.kind != number && sign != "==" && sign != "!=" {
		r.problem(left.from, right.to, unlike, "compare with `==` or `!=`", "`%s` is %s: it is neither more nor less than another", r.excerpt(left), left.kind)
		return
	}
	r.word(left, right)
	r.word(right, left)
	r.ofOneMeasure([]*node{left, right}, "they cannot be compared")
}

// ofOneMeasure reports numbers that certainly measure unlike things, such as a length and a percentage.
func (r *reader) ofOneMeasure(operands []*node, so string) {
	var first *node
	for _, n := range operands {
		switch {
		case n.kind != number || n.dim() == 0:
		case first == nil:
			first = n
		case n.dim() != first.dim():
			r.problem(n.from, n.to, unlike, "look at the unit of both; a length in percent of another is `100 * one / other`",
				"`%s` is %s and `%s` is %s: %s", r.excerpt(first), first.dim(), r.excerpt(n), n.dim(), so)
			return
		}
	}
}

// word reports a text that the name it is compared with never has.
func (r *reader) word(name, literal *node) {
	words := name.name.Words
	if w, ok := literal.value.(string); ok && name.op == opName && words != nil && !slices.Contains(words, w) {
		r.problem(literal.from, literal.to, noSuchWord, diag.DidYouMean(w, words, "it is one of: "+strings.Join(words, ", ")), "`%s` is never \"%s\"", name.name.Name, w)
	}
}

// in reads `x in [...]`. The list becomes operands behind x.
func (r *reader) in(n *ast.BinaryNode, out *node) {
	value := r.node(n.Left)
	out.from, _ = r.outer(value)
	out.op, out.kind = opIn, condition
	out.operands = []*node{value}
	list, ok := n.Right.(*ast.ArrayNode)
	if !ok {
		r.problem(n.Location().From, n.Location().To, badList, "as in `cloth.structure in [\"woven\", \"knit\"]`", "behind `in` stands a list in square brackets")
		return
	}
	out.to = r.closes[list.Location().From] + 1
	if len(list.Nodes) == 0 {
		r.problem(list.Location().From, out.to, badList, "", "the list is empty")
	}
	if value.kind == condition {
		r.problem(value.from, value.to, badList, "", "`in` wants a number or a text, and `%s` is a condition", r.excerpt(value))
	}
	for _, item := range list.Nodes {
		n := r.node(item)
		out.operands = append(out.operands, n)
		switch {
		case n.kind == unknown, value.kind == unknown, value.kind == condition:
		case n.op != opValue:
			r.problem(n.from, n.to, badList, "", "a list holds only numbers or texts as they are")
		case n.kind != value.kind:
			r.problem(n.from, n.to, unlike, "", "`%s` is %s and `%s` is %s: they cannot be compared", r.excerpt(value), value.kind, r.excerpt(n), n.kind)
		default:
			r.word(value, n)
		}
	}
}

func (r *reader) choice(n *ast.ConditionalNode, out *node) {
	cond, yes, no := r.node(n.Cond), r.node(n.Exp1), r.node(n.Exp2)
	out.from, _ = r.outer(cond)
	_, out.to = r.outer(no)
	if n.Exp1 == n.Cond { // `a ?: b`, which reads a twice
		r.problem(out.from, out.to, misfit, "", "a choice has the form `condition ? value : other value`")
		return
	}
	out.operands = []*node{cond, yes, no}
	r.choose(out)
}

// choose reads a choice whose operands are read.
func (r *reader) choose(out *node) {
	cond, yes, no := out.operands[0], out.operands[1], out.operands[2]
	out.op, out.kind = opChoice, yes.kind
	r.want(condition, cond, "a choice")
	if yes.kind != no.kind && yes.kind != unknown && no.kind != unknown {
		r.problem(no.from, no.to, unlike, "", "`%s` is %s and `%s` is %s: a choice is between two of a kind",
			r.excerpt(yes), yes.kind, r.excerpt(no), no.kind)
	}
}

func (r *reader) call(n *ast.CallNode, out *node) {
	callee, ok := n.Callee.(*ast.IdentifierNode)
	if !ok {
		r.problem(out.from, out.to, unknownFunction, "the functions are: "+functionNames(), "only functions can be called")
		return
	}
	if callee.Value == ifWord && slices.Contains(r.ifs, callee.Location().From) {
		callee = &ast.IdentifierNode{Value: "if"}
		callee.SetLocation(n.Callee.Location())
	}
	out.from = callee.Location().From
	out.to = r.closes[r.skip(callee.Location().To)] + 1
	f, ok := functions[callee.Value]
	if !ok {
		r.problem(callee.Location().From, callee.Location().To, unknownFunction, functionHint(callee.Value), "unknown function `%s`", callee.Value)
		return
	}
	for _, a := range n.Arguments {
		out.operands = append(out.operands, r.node(a))
	}
	out.op, out.kind = op(callee.Value), f.gives
	if got := len(out.operands); got < f.least || got > f.most {
		r.problem(out.from, out.to, wrongCount, "write "+f.usage, "%s", f.wanted(callee.Value, got))
		return
	}
	switch out.op {
	case opKnown:
		r.known(out)
		return
	case opCount:
		for _, a := range out.operands {
			r.want(condition, a, "count(...)")
		}
		return
	case "if":
		r.choose(out)
		return
	}
	for _, a := range out.operands {
		r.want(number, a, callee.Value+"(...)")
	}
	r.ofOneMeasure(out.operands, callee.Value+"(...) wants numbers of one kind")
}

func (r *reader) known(out *node) {
	of := out.operands[0]
	out.operands = nil
	if of.op != opName && of.kind != unknown {
		r.problem(of.from, of.to, wrongCount, "write known(group.name)", "known(...) asks for one name")
	}
	out.name, out.index = of.name, of.index
	if of.isConstant() {
		out.value = true
	}
}
