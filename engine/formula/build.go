package formula

import (
	"reflect"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/vm"
)

// builder turns a checked tree into the engine's own, with each name and each
// comparison a typed call, and has it compiled.
type builder struct {
	places []int                                  // of the names, by their index
	record func(n *node, built ast.Node) ast.Node // nil: nothing is traced
}

// compile returns the engine's program for a tree.
func (b builder) compile(n *node) (*vm.Program, error) {
	config := *engine() // the engine keeps a cache in it
	return compiler.Compile(&parser.Tree{Node: b.build(n), Source: file.NewSource("")}, &config)
}

func (b builder) build(n *node) ast.Node {
	out := b.plain(n)
	if b.record != nil && n.isPart() {
		return b.record(n, out)
	}
	return out
}

var types = [...]reflect.Type{
	number:    reflect.TypeFor[float64](),
	text:      reflect.TypeFor[string](),
	condition: reflect.TypeFor[bool](),
}

// typed gives a node its type and place. The engine's checker is left out: the
// tree was checked, and it would refuse what has no place in its own source.
func typed(n *node, out ast.Node) ast.Node {
	out.SetType(types[n.kind])
	out.SetLocation(file.Location{From: n.from, To: n.to})
	return out
}

func (b builder) plain(n *node) ast.Node {
	if n.isConstant() {
		return typed(n, constant(n.value))
	}
	switch n.op {
	case opName:
		return b.load(n)
	case opKnown:
		return call(n, isKnown, b.load(n))
	case opChoice:
		return typed(n, &ast.ConditionalNode{Ternary: true,
			Cond: b.build(n.operands[0]), Exp1: b.build(n.operands[1]), Exp2: b.build(n.operands[2])})
	case opNot:
		return typed(n, &ast.UnaryNode{Operator: "not", Node: b.build(n.operands[0])})
	case opMinus:
		return typed(n, &ast.UnaryNode{Operator: "-", Node: b.build(n.operands[0])})
	case opCount:
		return b.count(n)
	case opIn:
		return b.in(n)
	case opNotIn:
		return typed(n, &ast.UnaryNode{Operator: "not", Node: b.in(n)})
	case "cm":
		return b.build(n.operands[0])
	case "inch":
		return typed(n, &ast.BinaryNode{Operator: "*", Left: b.build(n.operands[0]), Right: typed(n, constant(2.54))})
	case "between":
		limits := call(n, newBounds, b.build(n.operands[1]), b.build(n.operands[2]))
		return call(n, within, b.build(n.operands[0]), limits)
	}
	if f, ok := oneToOne[n.op]; ok {
		return call(n, f, b.build(n.operands[0]))
	}
	if f, ok := twoToOne[n.op]; ok {
		out := b.build(n.operands[0])
		for _, o := range n.operands[1:] {
			out = call(n, f, out, b.build(o))
		}
		return out
	}
	if f, ok := comparisons[n.op]; ok && n.operands[0].kind == number {
		return call(n, f, b.build(n.operands[0]), b.build(n.operands[1]))
	}
	return typed(n, &ast.BinaryNode{Operator: string(n.op), Left: b.build(n.operands[0]), Right: b.build(n.operands[1])})
}

// count builds the sum of a one for each condition that holds.
func (b builder) count(n *node) ast.Node {
	out := typed(n, constant(0.0))
	for _, o := range n.operands {
		one := typed(n, &ast.ConditionalNode{Ternary: true, Cond: b.build(o), Exp1: typed(n, constant(1.0)), Exp2: typed(n, constant(0.0))})
		out = typed(n, &ast.BinaryNode{Operator: "+", Left: out, Right: one})
	}
	return out
}

func (b builder) in(n *node) ast.Node {
	if n.operands[0].kind == number {
		return call(n, oneOfNumbers(n.operands[1:]), b.build(n.operands[0]))
	}
	return call(n, oneOfTexts(n.operands[1:]), b.build(n.operands[0]))
}

// load builds the reading of a name.
func (b builder) load(n *node) ast.Node {
	place := b.places[n.index]
	out := call(n, func(env any) any { return env.(*Env).at(place) }, environment())
	out.SetType(types[n.name.Dim.kind()])
	return out
}

// environment is what a program is run with, an *Env.
func environment() ast.Node { return &ast.IdentifierNode{Value: "$env"} }

func constant(v any) ast.Node {
	switch v := v.(type) {
	case float64:
		return &ast.FloatNode{Value: v}
	case string:
		return &ast.StringNode{Value: v}
	}
	return &ast.BoolNode{Value: v.(bool)}
}

// call builds a call of a Go function, which the engine loads as a constant.
func call(n *node, f any, arguments ...ast.Node) ast.Node {
	callee := &ast.ConstantNode{Value: f}
	callee.SetType(reflect.TypeOf(f))
	return typed(n, &ast.CallNode{Callee: callee, Arguments: arguments})
}
