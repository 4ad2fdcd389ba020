package formula

// Never reports whether a condition cannot come out true whatever becomes of
// the names that vary: what stands first in it is false already, as the first
// part of `zone.decides and zone.ease < 0` may be. A false report means nothing.
func (f *Formula) Never(e *Env, varies func(name string) bool) bool {
	yes, settled := f.root.settled(e, varies)
	return settled && !yes
}

// settled is what a condition comes to by its names that do not vary, read as it
// is run: from the left, and no further than needed.
func (n *node) settled(e *Env, varies func(name string) bool) (yes, settled bool) {
	switch n.op {
	case opName:
		if varies(n.name.Name) {
			return false, false
		}
		v := e.get(placeOf(n.name.Name))
		return v.yes && v.is == condition, v.is == condition
	case opNot:
		yes, settled = n.operands[0].settled(e, varies)
		return !yes, settled
	case opAnd, opOr:
		yes, settled = n.operands[0].settled(e, varies)
		if !settled || yes == (n.op == opOr) {
			return yes, settled
		}
		return n.operands[1].settled(e, varies)
	}
	return false, false
}
