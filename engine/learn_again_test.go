package engine_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
)

// What was changed after cutting is proposed with the room that it left: 8 cm were planned, and 2 cm taken in leave 6; measured,
// what is measured counts: 108 planned with 8 cm and 105 measured leave 5. The newest counts, those of the same maker before others.
func TestChangedAfterCuttingIsProposedAgain(t *testing.T) {
	const planned, finished = "ease: {hip: 8}", "finished: {hip: 108}"
	changed := func(words, more string) string { return "outcome: {changed: {hip: " + words + "}" + more + "}" }
	for _, tt := range []struct {
		name  string
		makes []*engine.Make
		want  float64 // -1: nothing is proposed
	}{
		{"taken in", []*engine.Make{made(t, "a", planned, finished, changed("taken in 2 cm", ""))}, 6},
		{"let out, in inches", []*engine.Make{made(t, "a", planned, finished, changed("let it out by 1 in", ""))}, 10.54},
		{"measured since", []*engine.Make{made(t, "a", planned, finished, changed("taken in", ", measured: {hip: 105}"))}, 5},
		{"not how much", []*engine.Make{made(t, "a", planned, finished, changed("taken in a little", ""))}, -1},
		{"not how often", []*engine.Make{made(t, "a", planned, finished, changed("taken in 1 cm at each side", ""))}, -1},
		{"neither in nor out", []*engine.Make{made(t, "a", planned, finished, changed("raised 2 cm", ""))}, -1},
		{"the newest", []*engine.Make{made(t, "a", planned, finished, "made: 2026-01-01", changed("taken in 2 cm", "")), made(t, "b", planned, finished, "made: 2026-03-01", changed("taken in 3 cm", ""))}, 5},
		{"the same maker first", []*engine.Make{made(t, "a", planned, finished, "made: 2026-01-01", changed("taken in 2 cm", "")), made(t, "b", planned, finished, "maker: Heron Row", "made: 2026-03-01", changed("taken in 3 cm", ""))}, 6},
		{"another type", []*engine.Make{made(t, "a", planned, finished, "recipe: other", changed("taken in 2 cm", ""))}, -1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := -1.0
			if l := engine.Learn(tt.makes, lesson(t)); len(l.Again) > 0 {
				got = l.Again[0].Ease
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}
