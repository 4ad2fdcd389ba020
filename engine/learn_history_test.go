package engine_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/recipes"
)

// Adults measure again after 182 days, children after 91; the oldest of what is used counts, what is only remembered does
// not. 2026-05-01 and 182 days are 2026-10-30, and 91 days 2026-07-31.
func TestHistory(t *testing.T) {
	const text = "kind: body\nname: Wren\ntaken: 2026-11-02\nunits: cm\nmeasurements: {bust: 97, hip: [112, 113], shoulder_slope: 22}\n" +
		"since: {bust: 2026-05-01}\nearlier:\n  - {taken: 2025-05-01, measurements: {hip: 110, waist: 74, shoulder_slope: 20}}\n"
	voc := vocabulary(t)
	b := recipes.ReadBody(open(t, "wren.yaml", text), voc)
	change := func(v float64) *float64 { return &v }
	want := &engine.History{Body: "Wren", Again: "2026-10-30", Days: 182, Overdue: true,
		Titles: map[string]string{"bust": "bust", "hip": "hip", "waist": "waist", "shoulder_slope": "shoulder slope"},
		Measurements: []engine.MeasureHistory{
			{Measurement: "shoulder_slope", Again: "2027-05-03", Takings: []engine.Past{{Taken: "2026-11-02", Value: 22, Change: change(2), Angle: true}, {Taken: "2025-05-01", Value: 20, Angle: true}}},
			{Measurement: "bust", Again: "2026-10-30", Takings: []engine.Past{{Taken: "2026-05-01", Value: 97}}},
			{Measurement: "waist", Takings: []engine.Past{{Taken: "2025-05-01", Value: 74}}},
			{Measurement: "hip", Again: "2027-05-03", Takings: []engine.Past{{Taken: "2026-11-02", Value: 112.5, Change: change(2.5)}, {Taken: "2025-05-01", Value: 110}}},
		}}
	if diff := cmp.Diff(want, engine.HistoryOf(b, voc, "2026-10-30")); diff != "" {
		t.Error(diff)
	}
	if h := engine.HistoryOf(b, voc, "2026-10-29"); h.Overdue {
		t.Error("it is overdue a day too early")
	}
	years := 17.0
	b.Age = &years
	if h := engine.HistoryOf(b, voc, "2026-07-31"); !h.Child || h.Again != "2026-07-31" || !h.Overdue {
		t.Errorf("a child: %+v", h)
	}
	years = 18
	if h := engine.HistoryOf(b, voc, "2026-07-31"); h.Child || h.Overdue {
		t.Errorf("an adult: %+v", h)
	}
}

// What was not taken with the rest makes a body as old as its oldest measurement.
func TestOldMeasurementsAmongNewOnes(t *testing.T) {
	tr := trial{pattern: chart("sizes: [1]", "body: {hip: [100]}", "finished: {hip: [108]}"), recipe: garment(), body: wren("hip: 100", "waist: 80")}
	q := tr.request(t)
	q.Today, q.Body.Taken = "2026-11-25", "2026-11-25"
	if fires(answer(t, q), "measured-long-ago") {
		t.Error("what was measured today is called old")
	}
	q.Body.Since = map[string]string{"waist": "2026-05-01"}
	if !fires(answer(t, q), "measured-long-ago") {
		t.Error("an old measurement is not told of")
	}
}

func fires(a *engine.Answer, id string) bool {
	for _, c := range a.Cautions {
		if c.ID == id {
			return true
		}
	}
	return false
}

// What decides comes first, then the lengths that the type is altered by. The hip picks a gathered skirt's size and is judged, the waist is held, and shoulders or bust get in at the waist.
func TestWhatATypeWants(t *testing.T) {
	voc := vocabulary(t)
	for name, want := range map[string][]string{
		"gathered-skirt": {"hip", "height", "waist_to_knee", "shoulder_girth", "bust", "waist"},
	} {
		r, err := recipes.Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, r.Wants(voc, sharedRules(t))); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}
