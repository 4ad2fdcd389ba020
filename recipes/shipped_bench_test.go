package recipes

import (
	"testing"

	"fitadvisor/rules/data"
)

// BenchmarkShipped reads one garment type as every start of the command does.
func BenchmarkShipped(b *testing.B) {
	voc, err := data.Vocabulary()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Shipped("gathered-skirt", voc); err != nil {
			b.Fatal(err)
		}
	}
}
