package recipes

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitadvisor/rules/file"
)

// By hand: 4.5 cm over a shoulder of 12.5 cm is a sine of 0.36, an angle of 21.1 degrees;
// 1 3/4 in over 5 in is 0.35, 20.5 degrees. A bare 22 is an angle, as it always was.
func TestShoulderSlope(t *testing.T) {
	voc, _ := known(t)
	for _, c := range []struct {
		measurements string
		degrees      float64
		wrong        string
	}{
		{"shoulder_slope: 4.5 cm, shoulder_length: 12.5 cm", 21.1, ""},
		{"shoulder_length: 5 in, shoulder_slope: 1 3/4 in", 20.5, ""},
		{"shoulder_slope: 22 degrees", 22, ""},
		{"shoulder_slope: 22", 22, ""},
		{"shoulder_length: 12.5 cm, shoulder_slope: {left: 4.5 cm, right: 21.1 degrees}", 21.1, ""},
		{"shoulder_slope: 4.5 cm", 0, "only beside its length"},
		{"shoulder_slope: 4.5, shoulder_length: 12.5 cm", 0, "may be how far the shoulder falls, or an angle"},
		{"shoulder_slope: 12.5 cm, shoulder_length: 12.5 cm", 0, "cannot fall by"},
	} {
		doc := file.Open("body.yaml", fmt.Appendf(nil, "kind: body\nname: Wren\nmeasurements: {hip: 112 cm, %s}\n", c.measurements))
		b := ReadBody(doc, voc)
		if problems := written(t, doc); c.wrong == "" && problems != "" || !strings.Contains(problems, c.wrong) {
			t.Errorf("%s: want %q, got %s", c.measurements, c.wrong, problems)
		}
		if got := b.Measurements["shoulder_slope"].Degrees; c.wrong == "" && math.Abs(got-c.degrees) > 0.05 {
			t.Errorf("%s is an angle of %v, want %v", c.measurements, got, c.degrees)
		}
	}
}
