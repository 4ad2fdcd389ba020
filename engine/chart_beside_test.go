package engine_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"fitadvisor/engine"
)

// At a bust of 90, which is S of the one and half-way from 36 (88) to 38 (92) of the other, the waist is 71 beside 70 + (74 - 70) / 2 =
// 72, and the finished hip 104 beside 101.
func TestChartsBesideOneAnother(t *testing.T) {
	mine := inspectedChart(t, sheathRecipe(t), "kind: pattern\nname: Mine\nrecipe: test-sheath\nunits: cm\nsizes: [S, M, L]\nbody: {bust: [90, 96, 120], waist: [71, ~, 100]}\nfinished: {hip: [104, 110, 130]}\n")
	theirs := inspectedChart(t, sheathRecipe(t), "kind: pattern\nname: Theirs\nrecipe: test-sheath\nunits: cm\nsizes: [36, 38, 40]\nbody: {bust: [88, 92, 96], waist: [70, 74, 78], hip: [90, 94, 98]}\nfinished: {hip: [99, 103, 107]}\n")
	c, err := engine.Beside(mine, theirs, "bust")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range c.Sizes {
		got = append(got, fmt.Sprintf("%s %g %s %s %g", s.Size, s.Figure, s.From, s.To, s.Share))
	}
	for _, r := range c.Rows {
		line := string(r.Of) + "." + r.Row
		for _, m := range r.More {
			if m == nil {
				line += " -"
				continue
			}
			line += fmt.Sprintf(" %g", *m)
		}
		got = append(got, line)
	}
	is(t, "beside", strings.Join(got, "; "), "S 90 36 38 0.5; M 96 40  0; body.waist -1 -; finished.hip 3 3")
	var not *engine.NotOnBothError
	if _, err := engine.Beside(mine, theirs, "hip"); !errors.As(err, &not) {
		t.Error(err)
	}
}
