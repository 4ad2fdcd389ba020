package report

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine/quantity"
)

// By hand: 4 in over 4 edges are 1 in each. 1.3 cm over 4 edges are 13 mm: 3 mm at
// three and 4 mm at one. 1/2 in narrower over 8 edges is 1/16 in each.
func TestShared(t *testing.T) {
	for _, c := range []struct {
		cm    float64
		edges int
		unit  quantity.Unit
		want  string
		whole string
	}{
		{10.16, 4, quantity.In, "+1 in", "4 in"},
		{5.08, 4, quantity.In, "+1/2 in", "2 in"},
		{1.3, 4, quantity.Cm, "+0.3 cm at 2 and +0.35 cm at 2", "1.3 cm"},
		{-1.27, 8, quantity.In, "-1/16 in", "-1/2 in"},
		{0.2, 4, quantity.Cm, "+0.05 cm", "0.2 cm"},
		{0, 4, quantity.Cm, "0 cm", "0 cm"},
	} {
		parts := shared(c.cm, c.edges, c.unit)
		if got := perEdge(parts); got != c.want {
			t.Errorf("%v cm over %d edges: %q, want %q", c.cm, c.edges, got, c.want)
		}
		if got := whole(parts).Fine(c.unit); got != c.whole {
			t.Errorf("%v cm over %d edges: %q in all, want %q", c.cm, c.edges, got, c.whole)
		}
	}
}

// What is printed for the edges adds up to the whole that is printed, which lies
// within half a step of the change.
func TestSharesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cm, edges := rapid.Float64Range(-40, 40).Draw(t, "cm"), rapid.IntRange(1, 12).Draw(t, "edges")
		unit := rapid.SampledFrom([]quantity.Unit{quantity.Cm, quantity.In}).Draw(t, "unit")
		step := quantity.FineStep(unit)
		parts, count := shared(cm, edges, unit), 0
		for _, p := range parts {
			count += p.edges
			if p.amount%step != 0 || p.edges <= 0 {
				t.Fatalf("%+v is no amount in steps", p)
			}
		}
		if off := math.Abs(float64(whole(parts) - quantity.FromCm(cm))); count != edges || off > float64(step)/2+1 {
			t.Fatalf("%d of %d edges, %v nm off", count, edges, off)
		}
	})
}
