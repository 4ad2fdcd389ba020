package report_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

var about = cmpopts.EquateApprox(0, 0.001)

// answer is about sizes that are ranked as they are listed, of one zone each; order
// is how they follow one another in size.
func answer(units quantity.Unit, order []string, sizes ...engine.SizeAnswer) *engine.Answer {
	a := &engine.Answer{Body: "Wren", Pattern: "Quayside skirt", Sizes: sizes,
		Shown: &engine.Shown{Units: units, Sizes: order, Recipe: &engine.Recipe{Title: "gathered skirt"}, Title: func(m string) string { return m }}}
	if !sizes[0].RuledOut {
		a.Recommended = &engine.Recommended{Size: sizes[0].Size, Because: "it lies nearest"}
	}
	return a
}

func of(size string, z engine.ZoneAnswer) engine.SizeAnswer {
	return engine.SizeAnswer{Size: size, Zones: []engine.ZoneAnswer{z}}
}

func scale(t *testing.T, a *engine.Answer) explain.Scale {
	t.Helper()
	blocks := report.Scales(a)
	if len(blocks) != 1 {
		t.Fatalf("%d scales", len(blocks))
	}
	return blocks[0].(explain.Scale)
}

// A hip of 44 1/4 in is 112.395 cm. Expected are 3 to 10 in of ease, 47 1/4 to
// 54 1/4 in; wanted 5 in, 49 1/4 in. From 44 1/4 to 54 1/4 in are 10 in: in steps of
// 1 in more than 8, so that it steps by 2 in, from 44 to 56.
func TestScale(t *testing.T) {
	zone := func(inches float64) engine.ZoneAnswer {
		return engine.ZoneAnswer{Zone: "hip", Role: engine.Decides, Body: 112.395, Finished: new(inches * 2.54), Ease: new(inches*2.54 - 112.395),
			Low: new(7.62), High: new(25.4), Wanted: new(12.7)}
	}
	out := of("14", zone(45))
	out.RuledOut = true
	got := scale(t, answer(quantity.In, []string{"8", "14", "16", "18", "20"}, of("18", zone(49)), of("20", zone(51)), of("16", zone(47)), out))
	want := explain.Scale{Title: "hip, in inches", Unit: "in", Band: &explain.Band{Label: "expected", Low: 47.25, High: 54.25}, Aim: new(49.25),
		Alt:   "Hip, in inches: you measure 44 1/4. Ease: 3 to 10 expected, 5 wanted. Garment: size 14 is 45 (ruled out), size 16 is 47, size 18 is 49 (the one to cut) and size 20 is 51.",
		Ticks: []explain.Tick{{At: 44, Label: "44"}, {At: 46, Label: "46"}, {At: 48, Label: "48"}, {At: 50, Label: "50"}, {At: 52, Label: "52"}, {At: 54, Label: "54"}, {At: 56, Label: "56"}},
		Rows: []explain.Row{
			{Label: "you", Marks: []explain.Mark{{At: 44.25, Label: "44 1/4", Kind: explain.Given}}},
			{Label: "garment", Marks: []explain.Mark{{At: 45, Label: "14", Kind: explain.Excluded}, {At: 47, Label: "16", Kind: explain.Choice}, {At: 49, Label: "18", Kind: explain.Chosen}, {At: 51, Label: "20", Kind: explain.Choice}}}},
		Legend: []explain.Key{{Kind: explain.Given, Text: "you"}, {Kind: explain.Within, Text: "expected"}, {Kind: explain.Aimed, Text: "wanted"},
			{Kind: explain.Chosen, Text: "the size to cut"}, {Kind: explain.Choice, Text: "another size"}, {Kind: explain.Excluded, Text: "ruled out"}}}
	if diff := cmp.Diff(want, got, about); diff != "" {
		t.Error(diff)
	}
}

// Expected are -20 % to -5 % of 100 cm, 80 to 95 cm; wanted -10 %, 90 cm.
func TestScalePercent(t *testing.T) {
	got := scale(t, answer(quantity.Cm, []string{"M"}, of("M", engine.ZoneAnswer{Zone: "bust", Unit: "percent", Body: 100, Finished: new(88.0), Ease: new(-12.0),
		Low: new(-20.0), High: new(-5.0), Wanted: new(-10.0)})))
	if diff := cmp.Diff(&explain.Band{Label: "expected", Low: 80, High: 95}, got.Band, about); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(new(90.0), got.Aim, about); diff != "" {
		t.Error(diff)
	}
	const alt = "Bust, in centimetres: you measure 100. Ease: -20 % to -5 % expected, -10 % wanted. Garment: size M is 88 (the one to cut)."
	if diff := cmp.Diff(alt, got.Alt); diff != "" {
		t.Error(diff)
	}
}

// Hip 100: size 40 is 110 + 25 = 135 cm wide; closed with the 8 cm of ease wanted it
// takes 108 and laps 27. Wanted are 25: 108 + 25 = 133 cm; expected from 20: 128 cm.
func TestScaleWrap(t *testing.T) {
	got := scale(t, answer(quantity.Cm, []string{"40"}, of("40", engine.ZoneAnswer{Zone: "wrap", Overlap: true, Body: 100, Finished: new(135.0), Ease: new(27.0),
		Low: new(20.0), Wanted: new(25.0)})))
	if diff := cmp.Diff(&explain.Band{Label: "expected", Low: 128, OpenHigh: true}, got.Band, about); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(new(133.0), got.Aim, about); diff != "" {
		t.Error(diff)
	}
	const alt = "Wrap, its whole width lapped over, in centimetres: you measure 100. Overlap: from 20 expected, 25 wanted. Garment: size 40 is 135 (the one to cut)."
	if diff := cmp.Diff(alt, got.Alt); diff != "" {
		t.Error(diff)
	}
}

// A zone that is read off the chart has neither ease nor range.
func TestScaleChart(t *testing.T) {
	chart := func(cm float64) engine.ZoneAnswer {
		return engine.ZoneAnswer{Zone: "height", Body: 108, Chart: &cm}
	}
	got := scale(t, answer(quantity.Cm, []string{"104", "110"}, of("110", chart(110)), of("104", chart(104))))
	want := []explain.Row{{Label: "you", Marks: []explain.Mark{{At: 108, Label: "108", Kind: explain.Given}}},
		{Label: "chart", Marks: []explain.Mark{{At: 104, Label: "104", Kind: explain.Choice}, {At: 110, Label: "110", Kind: explain.Chosen}}}}
	if diff := cmp.Diff(want, got.Rows, about); diff != "" || got.Band != nil || got.Aim != nil {
		t.Errorf("%s band %v, aim %v", diff, got.Band, got.Aim)
	}
}

// An estimate is rough; where every size is ruled out none is the one to cut; a
// size without the zone has no mark.
func TestScaleEstimated(t *testing.T) {
	zone := engine.ZoneAnswer{Zone: "hip", Body: 100, Finished: new(105.0), Ease: new(5.0), Estimated: true, Wanted: new(5.0)}
	first, bare := of("12", zone), of("14", engine.ZoneAnswer{Zone: "waist"})
	first.RuledOut = true
	got := scale(t, answer(quantity.Cm, []string{"12", "14"}, first, bare))
	want := []explain.Mark{{At: 105, Label: "12", Kind: explain.Excluded, Rough: true}}
	if diff := cmp.Diff(want, got.Rows[1].Marks, about); diff != "" {
		t.Error(diff)
	}
	if last := got.Legend[len(got.Legend)-1]; last.Kind != explain.Estimate {
		t.Errorf("the legend ends with %v", last)
	}
}

// Upper bust and cup of 38 in stand in for a full bust of 40 in: both are shown, but
// not where they are the same.
func TestScaleUpperBust(t *testing.T) {
	zone := engine.ZoneAnswer{Zone: "bust", Body: 38 * 2.54, Measured: new(40 * 2.54), Finished: new(41 * 2.54), Ease: new(3 * 2.54), Wanted: new(3 * 2.54)}
	got := scale(t, answer(quantity.In, []string{"12"}, of("12", zone))).Rows[0].Marks
	want := []explain.Mark{{At: 38, Label: "38 upper bust and cup", Kind: explain.Given}, {At: 40, Label: "40 full bust", Kind: explain.Given}}
	if diff := cmp.Diff(want, got, about); diff != "" {
		t.Error(diff)
	}
	zone.Measured = new(38 * 2.54)
	if got := scale(t, answer(quantity.In, []string{"12"}, of("12", zone))).Rows[0].Marks; len(got) != 1 || got[0].Label != "38" {
		t.Errorf("got %v", got)
	}
}

// A body far from the pattern: the axis reaches both, in round steps. From 90 to
// 160 cm are 70: in steps of 5 cm more than 8, in steps of 10 cm seven.
func TestScaleOffTheChart(t *testing.T) {
	got := scale(t, answer(quantity.Cm, []string{"12"}, of("12", engine.ZoneAnswer{Zone: "hip", Body: 160, Finished: new(90.0), Ease: new(-70.0)})))
	var labels []string
	for _, tick := range got.Ticks {
		labels = append(labels, tick.Label)
	}
	if diff := cmp.Diff([]string{"90", "100", "110", "120", "130", "140", "150", "160"}, labels); diff != "" {
		t.Error(diff)
	}
}

// All zones stand in a picture, with the signs of all in one legend at the end.
func TestPicture(t *testing.T) {
	size := of("12", engine.ZoneAnswer{Zone: "hip", Role: engine.Decides, Body: 100, Finished: new(105.0), Ease: new(5.0), Estimated: true, Wanted: new(5.0)})
	size.Zones = append(size.Zones, engine.ZoneAnswer{Zone: "height", Role: engine.Mended, Body: 170, Chart: new(168.0)})
	blocks := report.Picture(answer(quantity.Cm, []string{"12"}, size)).Blocks
	if len(blocks) != 4 {
		t.Fatalf("%d blocks", len(blocks))
	}
	var kinds []explain.Kind
	for _, k := range blocks[3].(explain.Scale).Legend {
		kinds = append(kinds, k.Kind)
	}
	if diff := cmp.Diff([]explain.Kind{explain.Given, explain.Aimed, explain.Chosen, explain.Estimate}, kinds); diff != "" || blocks[2].(explain.Scale).Legend != nil {
		t.Errorf("%s first legend %v", diff, blocks[2].(explain.Scale).Legend)
	}
}
