package formula

// kind is the kind of value that a part of an expression gives.
type kind int

const (
	unknown kind = iota // something is wrong with it, which was reported
	number
	text
	condition
)

func (k kind) String() string {
	return [...]string{"an unknown value", "a number", "a text", "a condition"}[k]
}

// op is what a node does with its operands.
type op string

// A node's op is one of these, an operator of arithmetic or comparison as it is
// written, or the name of a function.
const (
	opValue  op = "value" // a literal
	opName   op = "name"
	opKnown  op = "known" // known(name)
	opChoice op = "?:"
	opAnd    op = "and"
	opOr     op = "or"
	opNot    op = "not"
	opMinus  op = "negative"
	opIn     op = "in"
	opNotIn  op = "not in"
	opCount  op = "count" // of conditions that hold
)

// node is one part of an expression that was checked. The tree of them is what
// the guards are worked out on and what the engine's programs are built from.
type node struct {
	op       op
	kind     kind
	from, to int     // place in the source, without brackets around it
	operands []*node // for `in`: the value and then the list
	value    any     // of a literal and of a name whose value is fixed
	name     Name    // of a name and of known(name)
	index    int     // of the name among the formula's names
}

// first finds the first use of a name at or below the node.
func (n *node) first(name string) *node {
	if n.name.Name == name {
		return n
	}
	for _, o := range n.operands {
		if found := o.first(name); found != nil {
			return found
		}
	}
	return nil
}

// isConstant reports whether the node's value was known when it was read.
func (n *node) isConstant() bool { return n.value != nil }
