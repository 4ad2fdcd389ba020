package report_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/rules/data"
)

// roomy is an answer about a dress in size 44 with a sleeve, and a waist that elastic holds.
func roomy() *engine.Answer {
	zone := func(name string, body, made, low, high, wanted float64) engine.ZoneAnswer {
		ease := made - body
		return engine.ZoneAnswer{Zone: name, Body: body, Finished: &made, Ease: &ease, Low: &low, High: &high, Wanted: &wanted}
	}
	size := engine.SizeAnswer{Size: "44", Zones: []engine.ZoneAnswer{zone("upper_arm", 32, 36, 3, 6, 5), zone("bust", 96, 104, 5, 10, 8), zone("hip", 104, 112, 5, 10, 6)}}
	size.Zones = append(size.Zones, engine.ZoneAnswer{Zone: "thigh", Body: 60}) // of which the garment is not known
	a := answer(quantity.Cm, []string{"44"}, size)
	a.Lines = []engine.SizeLine{{Zone: "bust", Size: "44"}, {Zone: "waist", Size: "46"}}
	a.Shown.Held = []engine.HeldAnswer{{Zone: "waist", By: "elastic", Body: 80}}
	a.Shown.Height = func(m string) float64 {
		return map[string]float64{"bust": 122, "upper_arm": 124, "waist": 105, "hip": 85, "thigh": 76}[m]
	}
	a.Shown.Limb = func(m string) engine.Limb {
		return map[string]engine.Limb{"upper_arm": engine.OnArm, "thigh": engine.OnLeg}[m]
	}
	return a
}

// labels are the words of a picture, in order.
func labels(s explain.Shapes) []string {
	var out []string
	for _, item := range s.Items {
		if l, ok := item.(explain.Label); ok {
			out = append(out, l.Text)
		}
	}
	return out
}

// The trunk comes first, from the top down, with what is held among it, then the arm, on the same axis; a level of which the
// garment is not known is not there.
func TestRoomHasItsLevels(t *testing.T) {
	s, ok := report.Room(roomy())
	if !ok {
		t.Fatal("there is no picture")
	}
	want := []string{"Bust", "line 44", "+8 cm", "as wanted", "Waist", "line 46", "held", "by elastic", "Hip", "line 44", "+8 cm", "6 wanted", "Upper arm", "line 44", "+4 cm", "5 wanted"}
	if diff := cmp.Diff(want, labels(s)); diff != "" {
		t.Error(diff)
	}
	if !strings.Contains(s.Alt, "Waist, line 46: held, by elastic. ") {
		t.Errorf("in words it is %q", s.Alt)
	}
	a := roomy()
	a.Recommended = nil
	if _, ok := report.Room(a); ok {
		t.Error("there is a picture of what cannot be cut")
	}
}

// Half of the front of a bust of 96 cm is 24 cm. A garment of 104 cm has 8 cm of room, 2 cm of it there: twice as wide it
// is drawn 28 cm from the middle; what is expected lies from 24 + 2 x 5/4 = 26.5 to 24 + 2 x 10/4 = 29 cm. What is held is
// drawn on the body, at 80/4 = 20 cm.
func TestRoomIsDrawnTwiceAsWide(t *testing.T) {
	s, _ := report.Room(roomy())
	var got []string
	for _, item := range s.Items {
		if p, ok := item.(explain.Path); ok && p.Role != explain.Guide && p.Start.X > 0 {
			got = append(got, fmt.Sprintf("%s %.1f", p.Role, p.Start.X))
			if p.Role == explain.Accent {
				got = append(got, fmt.Sprintf("then %.1f", p.Legs[1].To.X))
			}
		}
	}
	want := []string{"beneath 24.0", "area 26.5", "area 28.5", "accent 28.0", "then 20.0", "beneath 8.0", "area 9.5", "accent 10.0", "then 10.0"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// A garment that was sewn has a row for each level of which you are known: from what was noted, else from the body as it is
// measured now. 112 cm with 8 cm of ease were cut for a hip of 104 cm; it measures 110 cm now.
func TestWornRoom(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	cm := func(v float64) engine.Amount { return engine.Amount{Length: quantity.FromCm(v)} }
	w := &report.Worn{Vocabulary: voc, Units: quantity.Cm, Make: &engine.Make{Size: "44", Lines: map[string]string{"waist": "46"},
		Ease: map[string]engine.MadeEase{"hip": {Length: quantity.FromCm(8)}}, Finished: map[string]engine.Amount{"hip": cm(112)},
		Outcome: engine.Outcome{Measured: map[string]engine.Amount{"hip": cm(110)}}}}
	w.Body = &engine.Body{Measurements: map[string]engine.Measurement{"waist": {Readings: []engine.Reading{{Length: quantity.FromCm(80)}}}}}
	s, zones := w.Room([]string{"hip", "waist", "bust"})
	if diff := cmp.Diff([]string{"waist", "hip"}, zones); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"Waist", "line 46", "", "not measured", "Hip", "line 44", "+6 cm", "measured"}, labels(s)); diff != "" {
		t.Error(diff)
	}
	var at []float64
	for _, item := range s.Items {
		if p, ok := item.(explain.Path); ok && p.Role == explain.Guide {
			at = append(at, (p.Start.Y-s.Box.Y)/s.Box.Height)
		}
	}
	const row = 1.9 * 29                                                                                              // the garment is 26 + 2 x 6/4 = 29 cm from the middle at the hip
	if diff := cmp.Diff([]float64{(0.3*row - 3) / (2*row - 6), (1.3*row - 3) / (2*row - 6)}, at, about); diff != "" { // each level 3/10 down its row, less 3 at either end
		t.Error(diff)
	}
}
