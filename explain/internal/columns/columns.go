// Package columns shares out the width of a page among the columns of a table.
// Use [Share].
package columns

import (
	"cmp"
	"slices"
)

// Share makes the widest columns narrower until all fit into most: columns that
// are narrower than their share leave the rest to the wide ones. No column is
// made narrower than least.
func Share[T int | float64](widths []T, most, least T) []T {
	shared := slices.Clone(widths)
	order := make([]int, len(widths))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(widths[a], widths[b]) })
	for n, i := range order {
		shared[i] = min(widths[i], max(least, most/T(len(order)-n)))
		most -= shared[i]
	}
	return shared
}
