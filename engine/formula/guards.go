package formula

// set is a set of the names of one formula, by their index.
type set [4]uint64

func (s set) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }

func (s *set) add(i int) { s[i/64] |= 1 << (i % 64) }

func (s set) or(t set) set {
	for i := range s {
		s[i] |= t[i]
	}
	return s
}

func (s set) and(t set) set {
	for i := range s {
		s[i] &= t[i]
	}
	return s
}

// guards works out which names a formula needs.
type guards struct {
	needs set
}

// walk looks at a node that is run only where the given names are known, and
// returns the names known once it has turned out true, and once false.
func (g *guards) walk(n *node, given set) (ifTrue, ifFalse set) {
	switch n.op {
	case opName:
		if !given.has(n.index) && !n.isConstant() {
			g.needs.add(n.index)
		}
	case opKnown:
		ifTrue.add(n.index)
	case opNot:
		ifFalse, ifTrue = g.walk(n.operands[0], given)
	case opAnd:
		lt, lf := g.walk(n.operands[0], given)
		rt, rf := g.walk(n.operands[1], given.or(lt))
		return lt.or(rt), lf.and(lt.or(rf))
	case opOr:
		lt, lf := g.walk(n.operands[0], given)
		rt, rf := g.walk(n.operands[1], given.or(lf))
		return lt.and(lf.or(rt)), lf.or(rf)
	case opChoice:
		ct, cf := g.walk(n.operands[0], given)
		yt, yf := g.walk(n.operands[1], given.or(ct))
		nt, nf := g.walk(n.operands[2], given.or(cf))
		return ct.or(yt).and(cf.or(nt)), ct.or(yf).and(cf.or(nf))
	default:
		for _, o := range n.operands {
			g.walk(o, given)
		}
	}
	return ifTrue, ifFalse
}
