package explain

import "strings"

// Node is one claim of an explanation: what is claimed, its value, where it
// comes from, and the claims it rests on.
type Node struct {
	ID       string  `json:"id"`                 // stable, made of path parts: "size/18/hip/ease"
	Label    string  `json:"label"`              // the claim, with the sum and its values put in
	Value    *Value  `json:"value,omitempty"`    // absent where the claim is no single value
	Source   string  `json:"source,omitempty"`   // file:line:column, or the assumption it rests on
	Children []*Node `json:"children,omitempty"` // the claims it rests on
}

// Value is the value a claim arrives at: a number with its unit, or a text.
type Value struct {
	Number *float64 `json:"number,omitempty"` // in the unit, whatever the reader's units are
	Unit   string   `json:"unit,omitempty"`   // "cm", "percent", or empty for a plain number
	Text   string   `json:"text,omitempty"`   // in words, where it is no number
}

// Number is a value in a unit.
func Number(v float64, unit string) *Value { return &Value{Number: &v, Unit: unit} }

// Text is a value in words.
func Text(s string) *Value { return &Value{Text: s} }

// Add hangs further claims below this one and returns the node.
func (n *Node) Add(children ...*Node) *Node {
	for _, c := range children {
		if c != nil {
			n.Children = append(n.Children, c)
		}
	}
	return n
}

// Find returns the node with the id at or below n, or nil.
func (n *Node) Find(id string) *Node {
	if n == nil || n.ID == id {
		return n
	}
	for _, c := range n.Children {
		if found := c.Find(id); found != nil {
			return found
		}
	}
	return nil
}

// Walk calls visit for n and everything below it, parents first.
func (n *Node) Walk(visit func(*Node)) {
	if n == nil {
		return
	}
	visit(n)
	for _, c := range n.Children {
		c.Walk(visit)
	}
}

// Keep returns a copy of the tree with only the nodes that want accepts, their
// ancestors, and everything below them; nil if nothing was accepted.
func (n *Node) Keep(want func(*Node) bool) *Node {
	if n == nil || want(n) {
		return n
	}
	var kept []*Node
	for _, c := range n.Children {
		if k := c.Keep(want); k != nil {
			kept = append(kept, k)
		}
	}
	if kept == nil {
		return nil
	}
	trimmed := *n
	trimmed.Children = kept
	return &trimmed
}

// ID joins parts to a node id; a slash inside a part becomes a dash.
func ID(parts ...string) string {
	clean := make([]string, len(parts))
	for i, p := range parts {
		clean[i] = strings.ReplaceAll(p, "/", "-")
	}
	return strings.Join(clean, "/")
}

// Prune returns a copy of the tree with only so many levels; 0 keeps them all.
func (n *Node) Prune(levels int) *Node {
	if n == nil || levels == 0 {
		return n
	}
	pruned := *n
	pruned.Children = nil
	if levels > 1 {
		for _, c := range n.Children {
			pruned.Children = append(pruned.Children, c.Prune(levels-1))
		}
	}
	return &pruned
}
