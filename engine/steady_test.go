package engine

import (
	"fmt"
	"strings"
	"testing"

	"fitadvisor/engine/quantity"
)

// aDress is graded at its side seams; 1 cm is the least tolerance.
func aDress(t *testing.T) *Fitter {
	t.Helper()
	const cm = quantity.Centimetre
	girth := func(name string, level int) Measure {
		return Measure{Name: name, Title: name, Kind: Girth, Level: level}
	}
	voc := NewVocabulary([]Measure{girth("upper_bust", 22), girth("bust", 26), girth("upper_arm", 30), girth("waist", 40), girth("hip", 48)},
		Limits{LeastTolerance: cm, ReachLeast: 0.25, ReachMost: 0.75, UsableShare: 0.5, LeastStretch: 10, NestedSizes: 2, GapSteps: 2, GapThirds: 3, EdgeMost: cm, SlopeGentle: 10, SlopeSteep: 15})
	row := func(cells ...quantity.Length) Row {
		var r Row
		for _, c := range cells {
			r = append(r, Cell{Low: c * cm, High: c * cm, Known: true})
		}
		return r
	}
	zone := func(name string, role Role) Zone {
		return Zone{Name: name, Measure: name, Role: role, Weight: 1, Touches: true, Seams: []Seam{{"side", 2}},
			Ease: &EaseRange{Low: float64(4 * cm), High: float64(12 * cm), HasLow: true, HasHigh: true}}
	}
	p := &Pattern{Sizes: []string{"S", "M", "L"},
		Chart:    map[string]Row{"bust": row(84, 90, 96), "waist": row(66, 72, 78), "hip": row(90, 96, 102)},
		Finished: map[string]Row{"bust": row(92, 98, 104), "waist": row(74, 80, 86), "hip": row(98, 104, 110)}}
	r := &Recipe{Name: "dress", Controlling: Controlling{Names: []string{"bust"}}, Between: Larger, Stretch: Stretch{Kind: "none"}, Grading: Grading{Sensible: true},
		Zones: []Zone{zone("bust", Decides), zone("waist", Mended), zone("hip", Mended)}}
	f, err := Prepare(p, r, nil, voc)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The dress has 8 cm of ease in each size, and 4 to 12 cm will do at waist and hip.
// By hand, in size S, whose bust of 84 decides: a waist of 72 leaves 74 - 72 = 2 cm; the
// line of M gives 80 - 72 = 8. One of 78 lacks 8, which the line of L gives. A hip of 102
// leaves 98 - 102 = -4; L gives 8. One of 84 leaves 14, 2 too many, and no line is smaller.
func TestEachNeedIsMetOnce(t *testing.T) {
	for _, c := range []struct {
		waist, hip quantity.Length
		want       string
	}{
		{66, 90, "waist S: becomes 74; hip S: becomes 98"},
		{71, 90, "waist S: becomes 74; hip S: becomes 98"}, // 1 cm is not felt
		{72, 90, "waist M: line 6, becomes 80; hip S: becomes 98"},
		{78, 102, "waist L: line 12, becomes 86; hip L: line 12, becomes 110"},
		{66, 84, "waist S: becomes 74; hip S: seam -2, becomes 96"},
		{90, 90, "waist L: line 12, seam 4, becomes 90; hip S: becomes 98"}, // 94 - 86 = 8 are lacking; the edges hold 1 cm each
	} {
		body := &Body{Measurements: map[string]Measurement{}}
		for name, l := range map[string]quantity.Length{"bust": 84, "waist": c.waist, "hip": c.hip} {
			body.Measurements[name] = Measurement{Readings: []Reading{{Length: l * quantity.Centimetre}}}
		}
		f := aDress(t)
		a, err := f.Advise(Request{Pattern: f.pattern, Recipe: f.recipe, Vocabulary: f.voc, Fitting: Fitting{Body: body, Units: quantity.Cm}})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, l := range a.Plan.Levels[1:] {
			text := l.Zone + " " + l.Line + ":"
			for _, by := range l.Changes {
				text += fmt.Sprintf(" %s %v,", by.By, by.Amount)
			}
			got = append(got, fmt.Sprintf("%s becomes %v", text, l.Becomes))
		}
		if text := strings.Join(got, "; "); text != c.want {
			t.Errorf("waist %d, hip %d:\n%s, want\n%s", c.waist, c.hip, text, c.want)
		}
	}
}
