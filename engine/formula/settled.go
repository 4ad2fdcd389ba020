package formula

import "slices"

// Never reports whether a condition cannot come out true whatever becomes of
// the names that vary: what stands first in it is false already, as the first
// part of `zone.decides and zone.ease < 0` may be. A false report means nothing.
func (f *Formula) Never(e *Env, varies func(name string) bool) bool {
	return f.settled(f.root, e, varies) == no
}

// settled is what a condition comes to by its names that do not vary, read as it
// is run: from the left, and no further than needed.
func (f *Formula) settled(n *node, e *Env, varies func(name string) bool) verdict {
	switch n.op {
	case opNot:
		switch f.settled(n.operands[0], e, varies) {
		case yes:
			return no
		case no:
			return yes
		}
		return unclear
	case opAnd, opOr:
		if v := f.settled(n.operands[0], e, varies); v != verdictOf(n.op == opAnd) {
			return v
		}
		return f.settled(n.operands[1], e, varies)
	}
	if n.kind != condition || n.some(func(n *node) bool { return n.name.Name != "" && n.value == nil && varies(n.name.Name) }) {
		return unclear
	}
	return directly{f.places}.judgement(n)(e)
}

// some tells whether a node, or one below it, is such.
func (n *node) some(is func(*node) bool) bool {
	return is(n) || slices.ContainsFunc(n.operands, func(o *node) bool { return o.some(is) })
}
