package engine

import (
	"testing"

	"fitadvisor/engine/quantity"
)

// What is drawn at darts and edges adds up to the whole that is printed beside it, as a pencil does it.
func TestPartsAddUpToWhatIsPrinted(t *testing.T) {
	for _, c := range []struct {
		cm        float64
		n         int
		unit      quantity.Unit
		all, each string
	}{
		{-1.91, 4, quantity.Cm, "1.9 cm", "0.5 cm at 2 and 0.45 cm at 2"}, // 2 x 0.5 + 2 x 0.45 = 1.9
		{3.81, 4, quantity.In, "1 1/2 in", "3/8 in at each"},              // 4 x 3/8 = 1 1/2
		{2.8575, 4, quantity.In, "1 1/8 in", "5/16 in at 2 and 1/4 in at 2"},
		{1, 4, quantity.Cm, "1 cm", "0.25 cm at each"},
	} {
		if all, each := (words{c.unit}).parts(c.cm*nanometresPerCm, c.n); all != c.all || each != c.each {
			t.Errorf("%v cm over %d: %s, %s, want %s, %s", c.cm, c.n, all, each, c.all, c.each)
		}
	}
}
