package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine/quantity"
)

// shared cuts a change of girth into amounts for its edges.
func shared(cm float64, edges int, u quantity.Unit) []part {
	var all []part
	for _, p := range quantity.FromCm(cm).Split(edges, u) {
		all = append(all, part{p.Places, p.Amount, u})
	}
	return all
}

// part is the amount at some of the edges.
type part struct {
	edges  int
	amount quantity.Length
	unit   quantity.Unit
}

// whole is what the parts come to.
func whole(parts []part) (sum quantity.Length) {
	for _, p := range parts {
		sum += p.amount * quantity.Length(p.edges)
	}
	return sum
}

// perEdge prints the parts with their signs: "+1/2 in", "+0.5 cm at 3 and +0.45 cm at 1".
func perEdge(parts []part) string {
	texts := make([]string, len(parts))
	for i, p := range parts {
		texts[i] = p.amount.Fine(p.unit)
		if p.amount > 0 {
			texts[i] = "+" + texts[i]
		}
		if len(parts) > 1 {
			texts[i] += fmt.Sprintf(" at %d", p.edges)
		}
	}
	return strings.Join(texts, " and ")
}

// atEdges says what each edge moves, in words.
func atEdges(parts []part) string {
	if len(parts) == 1 {
		return perEdge(parts) + " an edge"
	}
	return "of the edges " + perEdge(parts)
}
