package formula

import (
	"math"
	"sync"
)

// direct is a formula as Go functions, one to each node of its tree: several times
// as fast as the engine's program, and made in no time. Where it cannot tell a
// value, because a result is not finite or a name is missing, it says only that;
// the engine's program then finds out where and why.
type direct struct {
	once   sync.Once
	number figure
	text   word
	truth  judgement
}

// A figure that cannot be told is not finite, and stays so: every way out of sums
// and products is checked. Of a text or a condition that is said apart.
type (
	figure    func(*Env) float64
	word      func(*Env) (v string, ok bool)
	judgement func(*Env) verdict
)

type verdict byte

const (
	no verdict = iota
	yes
	unclear
)

func verdictOf(is bool) verdict {
	if is {
		return yes
	}
	return no
}

// toDirect makes the functions when they are first wanted.
func (f *Formula) toDirect() *direct {
	d := &f.functions
	d.once.Do(func() {
		b := directly{f.places}
		switch f.root.kind {
		case number:
			d.number = b.figure(f.root)
		case text:
			d.text = b.word(f.root)
		default:
			d.truth = b.judgement(f.root)
		}
	})
	return d
}

// directly makes functions of nodes.
type directly struct{ places []int }

func (b directly) figure(n *node) figure {
	if v, ok := n.value.(float64); ok {
		return func(*Env) float64 { return v }
	}
	switch n.op {
	case opName:
		place := b.places[n.index]
		return func(e *Env) float64 {
			if v := e.get(place); v.is == number {
				return v.number
			}
			return math.NaN()
		}
	case opChoice:
		cond, then, other := b.judgement(n.operands[0]), b.figure(n.operands[1]), b.figure(n.operands[2])
		return func(e *Env) float64 {
			switch cond(e) {
			case yes:
				return then(e)
			case no:
				return other(e)
			}
			return math.NaN()
		}
	}
	if n.op == opCount {
		return b.count(n)
	}
	of := make([]figure, len(n.operands))
	for i, o := range n.operands {
		of[i] = b.figure(o)
	}
	if len(of) == 2 && arithmetic[n.op] != nil {
		return arithmetic[n.op](of[0], of[1])
	}
	x := of[0]
	switch n.op {
	case "cm":
		return x
	case "inch":
		return func(e *Env) float64 { return x(e) * 2.54 }
	case opMinus:
		return func(e *Env) float64 { return -x(e) }
	case "abs":
		return func(e *Env) float64 { return math.Abs(x(e)) }
	case "round":
		return func(e *Env) float64 { return math.Round(x(e)) }
	case "min":
		return extreme(of, func(a, b float64) float64 { return min(a, b) })
	}
	return extreme(of, func(a, b float64) float64 { return max(a, b) })
}

// count is how many conditions hold.
func (b directly) count(n *node) figure {
	of := make([]judgement, len(n.operands))
	for i, o := range n.operands {
		of[i] = b.judgement(o)
	}
	return func(e *Env) float64 {
		held := 0
		for _, one := range of {
			switch one(e) {
			case unclear:
				return math.NaN()
			case yes:
				held++
			}
		}
		return float64(held)
	}
}

// arithmetic has the signs that join two figures.
var arithmetic = map[op]func(x, y figure) figure{
	"+": func(x, y figure) figure { return func(e *Env) float64 { return x(e) + y(e) } },
	"-": func(x, y figure) figure { return func(e *Env) float64 { return x(e) - y(e) } },
	"*": func(x, y figure) figure { return func(e *Env) float64 { return x(e) * y(e) } },
	"/": func(x, y figure) figure {
		return func(e *Env) float64 {
			a, b := x(e), y(e)
			if b == 0 || !finite(a) || !finite(b) {
				return math.NaN()
			}
			return a / b
		}
	},
}

// extreme is the smallest or the largest of several figures.
func extreme(of []figure, pick func(a, b float64) float64) figure {
	return func(e *Env) float64 {
		v := of[0](e)
		for _, next := range of[1:] {
			w := next(e)
			if !finite(v) || !finite(w) {
				return math.NaN()
			}
			v = pick(v, w)
		}
		return v
	}
}

func (b directly) word(n *node) word {
	if v, ok := n.value.(string); ok {
		return func(*Env) (string, bool) { return v, true }
	}
	if n.op == opName {
		place := b.places[n.index]
		return func(e *Env) (string, bool) { v := e.get(place); return v.text, v.is == text }
	}
	cond, then, other := b.judgement(n.operands[0]), b.word(n.operands[1]), b.word(n.operands[2])
	return func(e *Env) (string, bool) {
		switch cond(e) {
		case yes:
			return then(e)
		case no:
			return other(e)
		}
		return "", false
	}
}

func (b directly) judgement(n *node) judgement {
	if v, ok := n.value.(bool); ok {
		return func(*Env) verdict { return verdictOf(v) }
	}
	switch n.op {
	case opName:
		place := b.places[n.index]
		return func(e *Env) verdict {
			if v := e.get(place); v.is == condition {
				return verdictOf(v.yes)
			}
			return unclear
		}
	case opKnown:
		place := b.places[n.index]
		return func(e *Env) verdict { return verdictOf(e.has(place)) }
	case opNot:
		return opposite(b.judgement(n.operands[0]))
	case opAnd, opOr:
		x, y, goesOn := b.judgement(n.operands[0]), b.judgement(n.operands[1]), verdictOf(n.op == opAnd)
		return func(e *Env) verdict {
			if v := x(e); v != goesOn {
				return v
			}
			return y(e)
		}
	case opChoice:
		cond, then, other := b.judgement(n.operands[0]), b.judgement(n.operands[1]), b.judgement(n.operands[2])
		return func(e *Env) verdict {
			switch cond(e) {
			case yes:
				return then(e)
			case no:
				return other(e)
			}
			return unclear
		}
	case opIn:
		return b.in(n)
	case opNotIn:
		return opposite(b.in(n))
	case "between":
		x, low, high := b.figure(n.operands[0]), b.figure(n.operands[1]), b.figure(n.operands[2])
		return func(e *Env) verdict {
			v, l, h := x(e), low(e), high(e)
			if !finite(v) || !finite(l) || !finite(h) {
				return unclear
			}
			return verdictOf(compare(l, v) <= 0 && compare(v, h) <= 0)
		}
	}
	return b.comparison(n)
}

func opposite(x judgement) judgement {
	return func(e *Env) verdict {
		switch x(e) {
		case yes:
			return no
		case no:
			return yes
		}
		return unclear
	}
}

func (b directly) in(n *node) judgement {
	if n.operands[0].kind == number {
		x, contains := b.figure(n.operands[0]), oneOfNumbers(n.operands[1:])
		return func(e *Env) verdict {
			v := x(e)
			if !finite(v) {
				return unclear
			}
			return verdictOf(contains(v))
		}
	}
	x, contains := b.word(n.operands[0]), oneOfTexts(n.operands[1:])
	return func(e *Env) verdict {
		v, ok := x(e)
		if !ok {
			return unclear
		}
		return verdictOf(contains(v))
	}
}

func (b directly) comparison(n *node) judgement {
	equal := verdictOf(n.op == "==")
	switch n.operands[0].kind {
	case text:
		x, y := b.word(n.operands[0]), b.word(n.operands[1])
		return func(e *Env) verdict {
			v, ok := x(e)
			w, also := y(e)
			if !ok || !also {
				return unclear
			}
			return verdictOf((v == w) == (equal == yes))
		}
	case condition:
		x, y := b.judgement(n.operands[0]), b.judgement(n.operands[1])
		return func(e *Env) verdict {
			v, w := x(e), y(e)
			if v == unclear || w == unclear {
				return unclear
			}
			return verdictOf((v == w) == (equal == yes))
		}
	}
	x, y, told := b.figure(n.operands[0]), b.figure(n.operands[1]), outcomes[n.op]
	return func(e *Env) verdict {
		v, w := x(e), y(e)
		if !finite(v) || !finite(w) {
			return unclear
		}
		return told[compare(v, w)+1]
	}
}

// outcomes are what a comparison comes to where the first is less, equal, and more.
var outcomes = map[op]*[3]verdict{
	"==": {no, yes, no}, "!=": {yes, no, yes},
	"<": {yes, no, no}, "<=": {yes, yes, no},
	">": {no, no, yes}, ">=": {no, yes, yes},
}

// compare orders finite numbers as rounded to four decimals. Two that lie further
// apart than rounding can bring them together need none.
func compare(v, w float64) int {
	const apart = 2e-4
	switch d := v - w; {
	case d > apart:
		return 1
	case d < -apart:
		return -1
	}
	v, w = Round(v), Round(w)
	switch {
	case v < w:
		return -1
	case v > w:
		return 1
	}
	return 0
}

// value is a formula's value, as the engine's program would give it; false
// where it cannot be told.
func (d *direct) value(e *Env) (any, bool) {
	switch {
	case d.number != nil:
		v := d.number(e)
		return v, finite(v)
	case d.text != nil:
		v, ok := d.text(e)
		return v, ok
	}
	v := d.truth(e)
	return v == yes, v != unclear
}
