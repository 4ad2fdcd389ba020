package formula

import (
	"fmt"
	"strings"

	"fitadvisor/explain/diag"
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
		if hint := diag.DidYouMean(name, candidates, ""); hint != "" {
			return hint
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
