package page

import (
	"fmt"
	"strings"
	"testing"

	"fitadvisor/engine/report"
	"fitadvisor/rules/data"
)

// The page draws the paths of the one figure that there is, each for its own measurement, and the first is shown.
func TestTapeFigureIsTheOneOfTheBooklet(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	first, later := typed{field: field{Measure: "hip"}}, typed{field: field{Measure: "body_rise"}}
	svg := string(tapeFigure(voc, asked{First: []typed{first}, Lengths: []typed{later}}))
	for class, measure := range map[string]string{"tape on": "hip", "tape": "body_rise"} {
		want := fmt.Sprintf(`<path class="%s" data-of="%s" d="%s"/>`, class, measure, report.Tape(measure, voc.HeightOf(measure)))
		if !strings.Contains(svg, want) {
			t.Errorf("%s lacks %s", svg, want)
		}
	}
	if !strings.Contains(svg, report.TapeBody) {
		t.Error("it lacks the outline")
	}
}
