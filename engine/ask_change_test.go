package engine_test

import (
	"testing"

	"fitadvisor/engine"
)

// What no body has, and what fits the rest only in the other unit, is refused in a change as in a file.
func TestChangesAreWithinWhatABodyHas(t *testing.T) {
	q := trial{pattern: skirtChart, recipe: aSkirt("side: 2"), body: wren("waist: 70", "hip: 98", "bust: 92")}.request(t)
	for text, want := range map[string]string{
		"hip=104cm": "",
		"hip=10m":   `cannot change "hip=10m": the hip of 1000 cm cannot be right`,
		"hip=4":     `cannot change "hip=4": the hip of 4 cm cannot be right`,
		"hip=40":    `cannot change "hip=40": the hip of 40 cm does not go together with the bust of 92 cm`, // 40 in are 101.6 cm
	} {
		c, err := engine.ParseChange(text)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if _, err := q.With(c); err != nil {
			got = err.Error()
		}
		is(t, text, got, want)
	}
}
