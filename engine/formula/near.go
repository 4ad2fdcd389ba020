package formula

import (
	"fmt"
	"strings"
)

// suggest returns a hint for a name that the schema does not have: the nearest
// one, of the same group where possible, or what there is to choose from.
func (s *Schema) suggest(name string) string {
	all := s.Names()
	group, _, _ := strings.Cut(name, ".")
	var siblings, groups []string
	for _, n := range all {
		g, _, _ := strings.Cut(n.Name, ".")
		if g == group {
			siblings = append(siblings, n.Name)
		}
		if len(groups) == 0 || groups[len(groups)-1] != g {
			groups = append(groups, g)
		}
	}
	known := make([]string, len(all))
	for i, n := range all {
		known[i] = n.Name
	}
	for _, candidates := range [][]string{siblings, known} {
		if n := nearest(name, candidates); n != "" {
			return fmt.Sprintf("did you mean `%s`?", n)
		}
	}
	if len(siblings) > 0 && len(siblings) <= 12 {
		return fmt.Sprintf("the names of `%s` are: %s", group, strings.Join(siblings, ", "))
	}
	if len(siblings) == 0 && len(groups) <= 20 {
		return "the groups of names are: " + strings.Join(groups, ", ")
	}
	return ""
}

// ending returns the first name that ends in the word, or "".
func (s *Schema) ending(word string) string {
	for _, n := range s.Names() {
		if strings.HasSuffix(n.Name, "."+word) {
			return n.Name
		}
	}
	return ""
}

// nearest returns the candidate at most two slips of the pen away, the first of
// several that are equally near, or "".
func nearest(word string, candidates []string) string {
	best, least := "", 3
	for _, c := range candidates {
		if d := slips(word, c); d < least && 2*d < len(c) {
			best, least = c, d
		}
	}
	return best
}

// slips counts the letters added, left out, mistaken or swapped with their
// neighbour that lead from a to b. Words that differ by more than two letters
// in length count as 3.
func slips(a, b string) int {
	if len(a)-len(b) > 2 || len(b)-len(a) > 2 {
		return 3
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
