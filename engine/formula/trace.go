package formula

import "github.com/expr-lang/expr/ast"

// Part is one part of a formula and what it came to.
type Part struct {
	From, To int    // place in the source, in characters
	Text     string // the source there
	Value    any    // float64, string or bool; nil where it was not reached or failed
	Reached  bool   // false where the result was settled without it
	Depth    int    // 0 for the outermost part
	Dim      Dim    // what a number measures; 0 where that is not certain
	Ease     string // where that is an ease, the first name in the part that is one
}

// isPart reports whether a trace shows the node: all but literals.
func (n *node) isPart() bool { return n.op != opValue }

// Trace runs the formula and returns its value, with its parts outermost first
// and otherwise in the order of the source. Errors are as for [Formula.Bool];
// with a *RunError the parts tell how far it came.
func (f *Formula) Trace(e *Env) (any, []Part, error) {
	if missing := e.missing(f.needs); missing != nil {
		return nil, nil, &Missing{missing}
	}
	f.traced.once.Do(f.compileTraced)
	if f.traced.err != nil {
		return nil, nil, f.failed(f.traced.err)
	}
	traced := &Env{schema: e.schema, values: e.values, parts: f.unreached()}
	v, err := f.exec(f.traced.program, traced)
	return v, traced.parts, err
}

// compileTraced compiles the program that records the value of each part.
func (f *Formula) compileTraced() {
	index := map[*node]int{}
	visit(f.root, func(n *node, _ int) { index[n] = len(index) })
	b := builder{places: f.places, record: func(n *node, built ast.Node) ast.Node {
		i := index[n]
		return call(n, func(env, v any) any {
			p := &env.(*Env).parts[i]
			p.Reached = true
			if x, ok := v.(float64); !ok || finite(x) {
				p.Value = v
			}
			return v
		}, environment(), built)
	}}
	f.traced.program, f.traced.err = b.compile(f.root)
}

// unreached returns the parts before a run.
func (f *Formula) unreached() []Part {
	source := []rune(f.source)
	var parts []Part
	visit(f.root, func(n *node, depth int) {
		p := Part{From: n.from, To: n.to, Text: string(source[n.from:n.to]), Depth: depth, Dim: n.measures()}
		if p.Dim == Ease {
			p.Ease = n.firstEase()
		}
		parts = append(parts, p)
	})
	return parts
}

// measures is what a number is in the end, eases included: a sum is of the kind of
// its parts, and so is a multiple of one.
func (n *node) measures() Dim {
	of := func(nodes []*node) Dim {
		var all Dim
		for _, o := range nodes {
			d := o.measures()
			if d != 0 && all != 0 && d != all {
				return 0
			}
			all = max(all, d)
		}
		return all
	}
	switch n.op {
	case opName:
		return n.name.Dim
	case opMinus, "abs", "round":
		return n.operands[0].measures()
	case "+", "-", "min", "max":
		return of(n.operands)
	case opChoice:
		return of(n.operands[1:])
	case "*", "/":
		a, b := n.operands[0], n.operands[1]
		if n.op == "*" && a.op == opValue {
			a, b = b, a
		}
		if d := a.measures(); b.op == opValue && d != Percent { // 60 % / 100 is a share
			return d
		}
		return 0
	}
	return n.dim()
}

// firstEase is the first name in a part that is an ease.
func (n *node) firstEase() string {
	if n.op == opName && n.name.Dim == Ease {
		return n.name.Name
	}
	for _, o := range n.operands {
		if name := o.firstEase(); name != "" {
			return name
		}
	}
	return ""
}

// visit calls f for each part of a tree, outermost first.
func visit(root *node, f func(n *node, depth int)) {
	var walk func(n *node, depth int)
	walk = func(n *node, depth int) {
		if n.isPart() {
			f(n, depth)
			depth++
		}
		for _, o := range n.operands {
			walk(o, depth)
		}
	}
	walk(root, 0)
}
