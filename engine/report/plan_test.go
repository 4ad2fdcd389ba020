package report_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

// graded is a skirt whose waist of 80 cm follows line 44 and whose hip of 110 cm follows 46: 5 cm more over 4 edges and 20 cm.
func graded() *engine.Answer {
	zone := func(name string, body, made float64) engine.ZoneAnswer {
		ease := made - body
		return engine.ZoneAnswer{Zone: name, Body: body, Finished: &made, Ease: &ease, Wanted: &ease}
	}
	a := answer(quantity.Cm, []string{"44", "46"}, engine.SizeAnswer{Size: "44", Zones: []engine.ZoneAnswer{zone("waist", 78, 80), zone("hip", 104, 105)}},
		engine.SizeAnswer{Size: "46", Zones: []engine.ZoneAnswer{zone("waist", 78, 85), zone("hip", 104, 110)}})
	a.Lines = []engine.SizeLine{{Zone: "waist", Size: "44"}, {Zone: "hip", Size: "46"}}
	a.Plan = &engine.Plan{Levels: []engine.Level{{Zone: "waist", Line: "44", OnLine: 80, Becomes: 80, You: 78, Ease: 2}, {Zone: "hip", Line: "46", OnLine: 105, Becomes: 110, You: 104, Ease: 6}}}
	run := 20.0
	a.Grading = engine.GradingAnswer{Sensible: true, Steps: []engine.GradingStep{{From: "waist", To: "hip", FromSize: "44", ToSize: "46", GirthChange: 5, Edges: 4, Run: &run, Seams: []string{"side"}}}}
	a.Toile = &engine.ToilePlan{}
	a.Shown.Today = "2026-11-25"
	a.Shown.Height = func(m string) float64 { return map[string]float64{"waist": 105, "hip": 85}[m] }
	a.Shown.Limb = func(string) engine.Limb { return "" }
	return a
}

// The wall has the size, the lines, what to see to, half a piece and the steps; a quarter of 80 cm is 20 cm from the middle and
// of 110 cm 27.5, the lines of 44 and 46 26.25 and 27.5 there; 5 cm over 4 edges are 1.25 cm at each.
func TestPlanIsForTheWall(t *testing.T) {
	title, d := report.Plan(graded())
	if title != "Quayside skirt for Wren" || report.Foot(graded()) != "Quayside skirt, for Wren, 2026-11-25" {
		t.Errorf("it is called %q, and at its foot %q", title, report.Foot(graded()))
	}
	var kinds []string
	for _, b := range d.Blocks[:3] {
		kinds = append(kinds, fmt.Sprintf("%T", b))
	}
	if diff := cmp.Diff([]string{"explain.Headline", "explain.Framed", "explain.Beside"}, kinds); diff != "" {
		t.Fatal(diff)
	}
	half := d.Blocks[2].(explain.Beside).Left[0].(explain.Shapes)
	if diff := cmp.Diff([]string{"middle", "waist: line 44", "hip: line 46", "+1.25 cm an edge", "over 20 cm"}, labels(half)); diff != "" {
		t.Error(diff)
	}
	var edges []string
	for _, item := range half.Items {
		if p, ok := item.(explain.Path); ok && p.Role != explain.Guide {
			edges = append(edges, fmt.Sprintf("%s %.2f %.2f", p.Role, p.Legs[0].To.X, p.Legs[1].To.X))
		}
	}
	if diff := cmp.Diff([]string{"other -20.00 -26.25", "other -21.25 -27.50", "accent -20.00 -27.50"}, edges); diff != "" {
		t.Error(diff)
	}
}

// Words stand beside the piece, so that long ones do not cross its middle; what is laced is drawn as it is cut: of 80 cm as worn
// 75 are sewn, a quarter 18.75, however it is laced.
func TestHalfPieceIsWhatIsCut(t *testing.T) {
	a := graded()
	gap := 5.0
	for i := range a.Sizes {
		a.Sizes[i].Zones[0].Gap = &gap
	}
	waist := &a.Plan.Levels[0]
	waist.Becomes, waist.Lacing = 82, &engine.LevelLacing{Sewn: 75, Gap: 7, Drawn: 5, Most: 8}
	waist.Changes = []engine.LevelChange{{By: engine.ByLacing, Amount: 2, Say: "Lace it."}}
	_, d := report.Plan(a)
	half := d.Blocks[2].(explain.Beside).Left[0].(explain.Shapes)
	for _, item := range half.Items {
		switch item := item.(type) {
		case explain.Label:
			if item.Text != "middle" && (item.At.X <= 0 || item.Anchor != explain.AtStart) {
				t.Errorf("%q begins at %v", item.Text, item.At.X)
			}
		case explain.Path:
			if item.Role == explain.Accent && item.Legs[0].To.X != -18.75 {
				t.Errorf("the waist is cut %v from the middle, want 18.75", -item.Legs[0].To.X)
			}
		}
	}
}

// A line that is reached at the abdomen, half-way from waist to hip on the figure, is shown there: over 10 cm to it, and as far again.
func TestHalfPieceShowsWhereALineIsKept(t *testing.T) {
	a := graded()
	run := 10.0
	a.Grading.Steps[0].Before, a.Grading.Steps[0].Run = "abdomen", &run
	a.Plan.Levels = append(a.Plan.Levels, engine.Level{Zone: "abdomen", Line: "46", OnLine: 100, Becomes: 105, You: 102, Ease: 3})
	a.Shown.Height = func(m string) float64 { return map[string]float64{"waist": 105, "abdomen": 95, "hip": 85}[m] }
	_, d := report.Plan(a)
	half := d.Blocks[2].(explain.Beside).Left[0].(explain.Shapes)
	var words []string
	for _, item := range half.Items {
		if l, ok := item.(explain.Label); ok && l.Text != "middle" {
			words = append(words, fmt.Sprintf("%v %s", l.At.Y, l.Text))
		}
	}
	if diff := cmp.Diff([]string{"0 waist: line 44", "10 abdomen: line 46", "20 hip: line 46", "5 +1.25 cm an edge", "7.6 over 10 cm"}, words); diff != "" {
		t.Error(diff)
	}
}
