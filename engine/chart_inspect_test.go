package engine_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// sheath is a garment type for charts with faults.
const sheath = `
kind: recipe
name: test-sheath
title: sheath
draft: women
controlling: hip
stretch: none
between_sizes: larger
zones:
  hip: {role: decides, ease: 2 in .. 4 in}
  upper_arm: {role: decides, ease: 1 in .. 4 in}
  waist: {role: mended, ease: 0.5 in .. 1 in}
  high_hip: {role: mended, ease: 1 in .. 3 in}
grading: {sensible: true, because: "it has side seams"}
openings:
  - {name: neck, measure: neck_open, passes: [head], closure: none}
`

// inspectedChart looks at the chart of a pattern that has nothing wrong to its reader.
func inspectedChart(t testing.TB, recipe *engine.Recipe, text string) *engine.Soundness {
	t.Helper()
	doc := file.Open("chart.yaml", []byte(text))
	p, _ := recipes.ReadPattern(doc, vocabulary(t), nil)
	if err := doc.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	return looked(t, p, recipe)
}

func looked(t testing.TB, p *engine.Pattern, recipe *engine.Recipe) *engine.Soundness {
	t.Helper()
	a, err := engine.Inspect(engine.Request{Pattern: p, Recipe: recipe, Rules: sharedRules(t), Vocabulary: vocabulary(t), Fitting: engine.Fitting{Units: p.Units}})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func sheathRecipe(t testing.TB) *engine.Recipe {
	t.Helper()
	doc := file.Open("test-sheath.yaml", []byte(sheath))
	r := recipes.ReadRecipe(doc, vocabulary(t), rules.AtOnce)
	if err := doc.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	return r
}

// faults are the findings that want mending, in a line each.
func faults(a *engine.Soundness, units quantity.Unit) []string {
	var out []string
	for _, f := range a.Findings {
		if f.Severity == engine.IsFact {
			continue
		}
		line := fmt.Sprintf("%s %s: %s.%s %s", f.Severity, f.ID, f.Of, f.Row, f.Size)
		if f.Value != nil && f.Expected != nil {
			line += fmt.Sprintf(", %s for %s", quantity.FormatCm(*f.Value, units), quantity.FormatCm(*f.Expected, units))
		}
		out = append(out, strings.TrimSpace(line))
	}
	slices.Sort(out)
	return out
}

// A chart with thirteen faults: each is found once, and nothing else.
func TestPlantedFaults(t *testing.T) {
	a := inspectedChart(t, sheathRecipe(t), `
kind: pattern
name: Faulty
recipe: test-sheath
units: in
sizes:        [8, 10, 12, 14, 16, 18, 20, 22]
body:
  waist:      [26, 72, 28 1/2, 30, 32, 34, 36, 38]               # 27 with its digits swapped
  neck:       [14, 14 1/4, 14 1/2, 37.5, 15, 15 1/4, 15 1/2, 15 3/4]  # 14 3/4 in = 37.465 cm in a row of inches
  thigh:      [21, 21 1/2, 22, 22 1/2, 22 1/4, 22 3/4, 23 1/4, 23 3/4] # back by 1/4 from 14 to 16
  knee:       [13, 13 1/2, 14, 14 3/4, 15, 15 1/2, 16, 16 1/2]   # 3/4 and 1/4 where all steps are 1/2: 14 1/2 would do
  calf:       [13-13 1/2, 13 1/2-14 1/8, 14-14 1/2, 14 1/2-15, 15-15 1/2, 15 1/2-16, 16-16 1/2, 16 1/2-17] # 14 .. 14 1/8 is both 10 and 12
  bust:       [31-32, 33-34, 35-36, 37-38, 40-41, 42-43, 44-45, 46-47]   # 38 .. 40 is in none
  high_hip:   [34, 35, 36 1/2, 38, 40, 42, 44, 46]
  hip:        [36, 37, 38 1/2, 40, 42, 44, 46, 50]               # 48 is 2 in from both; 4 - 3 in of ease is borne
  upper_arm:  [10, 10 1/2, 11, 11 1/2, 12, 12 1/2, 13, 13 1/2]   # whose finished row is missing
  wrist:      [6, 6 1/8, ~, 6 3/8, 6 1/2, 6 5/8, 6 3/4, 6 7/8]   # size 12 is missing
  head:       [22, 22, 22, 22 1/4, 22 1/4, 22 1/4, 22 1/2, 22 1/2]
finished:
  waist:      [25 1/2, 27 3/4, 29 1/4, 30 3/4, 32 3/4, 34 3/4, 36 3/4, 40] # 25 1/2 < 26 in 8, and 2 1/4 to 10 where the body has 1; 3 1/4 to 22 where it has 2
  high_hip:   [35, 36 1/8, 37 3/4, 39 1/2, 41 5/8, 43 3/4, 46, 48 1/4]     # from 1 in of ease to 2 1/4; half of 3 - 1 in is borne
  hip:        [39, 40, 41 1/2, 43, 45, 47, 49, 53]
  neck_open:  [23, 23, 23, 23, 23, 23, 23, 22 1/4]               # 22 1/2 of head does not pass 22 1/4
`)
	want := []string{
		"error backward-step: body.thigh 16, 22 1/4 in for 22 1/2 in",
		"error opening-too-small: finished.neck_open 22, 22 1/4 in for 22 1/2 in",
		"error out-of-pace: finished.waist 8, 25 1/2 in for 26 3/4 in",
		"error ranges-overlap: body.calf 12, 14 in for 14 1/8 in",
		"error typing-slip: body.neck 14, 37 1/2 in for 14 3/4 in",
		"error typing-slip: body.waist 10, 72 in for 27 in",
		"warning cell-missing: body.wrist 12",
		"warning ease-drifts: ease.high_hip 22, 2 1/4 in for 1 in",
		"warning far-between-sizes: body.hip 22, 2 in for 1 in",
		"warning out-of-pace: finished.waist 22, 40 in for 38 3/4 in",
		"warning ranges-hole: body.bust 16, 40 in for 38 in",
		"warning row-missing: finished.upper_arm",
		"warning uneven-step: body.knee 14, 14 3/4 in for 14 1/2 in",
	}
	if diff := cmp.Diff(want, faults(a, quantity.In)); diff != "" {
		t.Error(diff)
	}
	if a.Sound {
		t.Error("it is called sound")
	}
}

// With the cells typed right, nothing is found but facts.
func TestSoundChart(t *testing.T) {
	a := inspectedChart(t, sheathRecipe(t), `
kind: pattern
name: Sound
recipe: test-sheath
units: in
sizes: [22, 20, 18, 16, 14, 12, 10, 8] # the largest first is an order too
body:
  waist:     [38, 36, 34, 32, 30, 28 1/2, 27, 26]
  hip:       [48, 46, 44, 42, 40, 38 1/2, 37, 36]
  upper_arm: [13 1/2, 13, 12 1/2, 12, 11 1/2, 11, 10 1/2, 10]
  head:      [22 1/2, 22 1/2, 22 1/4, 22 1/4, 22 1/4, 22, 22, 22]
finished:
  waist:     [38 3/4, 36 3/4, 34 3/4, 32 3/4, 30 3/4, 29 1/4, 27 3/4, 26 3/4]
  high_hip:  [46, 44, 42, 40, 38, 36 1/2, 35, 34]
  hip:       [51, 49, 47, 45, 43, 41 1/2, 40, 39]
  upper_arm: [15 1/2, 15, 14 1/2, 14, 13 1/2, 13, 12 1/2, 12]
  neck_open: [23, 23, 23, 23, 23, 23, 23, 23]
`)
	if got := faults(a, quantity.In); got != nil || !a.Sound || a.Sizes[0] != "8" {
		t.Errorf("%v, sizes from %s", got, a.Sizes[0])
	}
}

// One slip at a time, in a row of steps of 4 cm: what is told of it.
func TestSlips(t *testing.T) {
	for _, tt := range []struct{ name, hip, want string }{
		{"digits swapped", "[88, 92, 69, 100, 104, 108]", "error typing-slip: body.hip M, 69 cm for 96 cm"},
		{"a digit wrong", "[88, 92, 196, 100, 104, 108]", "error typing-slip: body.hip M, 196 cm for 96 cm"},
		{"the point misplaced", "[88, 92, 96, 100, 10.4, 108]", "error typing-slip: body.hip XL, 10.4 cm for 104 cm"},
		{"inches in a row of centimetres", "[88, 36.2, 96, 100, 104, 108]", "error typing-slip: body.hip S, 36.2 cm for 91.9 cm"},
		{"the first", "[34.6, 92, 96, 100, 104, 108]", "error typing-slip: body.hip XS, 34.6 cm for 87.9 cm"},
		{"the last", "[88, 92, 96, 100, 104, 180]", "error typing-slip: body.hip XXL, 180 cm for 108 cm"},
		{"no slip that happens", "[88, 92, 51, 100, 104, 108]", "error out-of-line: body.hip M, 51 cm for 96 cm"},
		{"grades that grow", "[88, 92, 96, 101, 107, 114]", ""},
		{"a jump that stays", "[88, 92, 96, 106, 110, 114]", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a := inspectedChart(t, sheathRecipe(t), "kind: pattern\nname: Slip\nrecipe: test-sheath\nunits: cm\nsizes: [XS, S, M, L, XL, XXL]\nbody:\n  hip: "+tt.hip+"\n")
			var got []string
			for _, f := range faults(a, quantity.Cm) {
				if strings.Contains(f, "typing-slip") || strings.Contains(f, "out-of-line") {
					got = append(got, f)
				}
			}
			if strings.Join(got, "\n") != tt.want {
				t.Errorf("got  %v\nwant %v", got, tt.want)
			}
		})
	}
}

// A row in the other unit throughout is told once: no hip of 91 in was measured.
func TestRowInTheOtherUnit(t *testing.T) {
	a := inspectedChart(t, sheathRecipe(t), "kind: pattern\nname: Metric\nrecipe: test-sheath\nunits: in\nsizes: [8, 10, 12]\nbody:\n  hip: [91, 94, 98]\n")
	for _, f := range a.Findings {
		if f.ID == "beyond-people" {
			if len(f.Sizes) != 3 || !strings.HasSuffix(f.Because, "It would do in centimetres.") {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Errorf("it is not found: %+v", a.Findings)
}

// ASTM D5585-11e1, Table 1 (verified), has irregular steps of its own: 5/8 in from
// 00 to 0 of the bust and 1 1/4 to 2, a head that grows at every other size. They
// are facts.
func TestPublishedChartIsNoFault(t *testing.T) {
	a := inspectedChart(t, sheathRecipe(t), `
kind: pattern
name: ASTM D5585-11e1
recipe: test-sheath
units: in
sizes:          ["00", "0", 2, 4, 6, 8, 10, 12, 14, 16, 18, 20]
body:
  bust:         [31 1/8, 31 3/4, 33, 34 1/8, 35 1/4, 36 1/4, 37 1/4, 38 3/4, 40 3/8, 42 1/8, 44, 46]
  upper_bust:   [31 3/4, 32 1/4, 33 1/4, 34 1/8, 35, 35 7/8, 36 3/4, 38, 39 1/4, 40 5/8, 42 1/4, 43 7/8]
  underbust:    [25 3/4, 26 1/2, 27 1/4, 28, 29, 30, 31, 32 1/2, 34, 35 3/4, 37 5/8, 39 5/8]
  waist:        [23 7/8, 24 5/8, 25 3/8, 26 1/8, 27, 28, 29, 30 3/4, 32 1/2, 34 1/2, 36 3/4, 39]
  neck:         [13 1/4, 13 1/2, 13 3/4, 14, 14 1/4, 14 5/8, 14 7/8, 15 1/8, 15 1/2, 15 3/4, 16, 16 3/8]
  head:         [21 1/4, 21 1/4, 21 1/2, 21 1/2, 21 3/4, 21 3/4, 22, 22, 22 1/4, 22 1/4, 22 1/2, 22 1/2]
  shoulder_girth: [37 1/8, 37 3/4, 38 3/8, 39, 39 3/4, 40 1/2, 41 1/4, 42, 43, 44 1/4, 45 1/2, 46 7/8]
`)
	told := map[string]string{}
	for _, f := range a.Findings {
		if f.Of == engine.OfBody && f.Row != "hip" && f.ID != "row-missing" {
			if f.Severity != engine.IsFact {
				t.Errorf("%+v", f)
			}
			told[f.Row] = f.ID
		}
	}
	want := map[string]string{"bust": "steps-vary", "upper_bust": "steps-vary", "underbust": "steps-grow", "waist": "steps-grow", "neck": "steps-vary",
		"head": "steps-vary", "shoulder_girth": "steps-grow"}
	if diff := cmp.Diff(want, told); diff != "" {
		t.Error(diff)
	}
}

// tooNarrow are the examples whose casing is drawn narrower than the hip of its own
// size, to show that nobody can get in.
var tooNarrow = []string{"boxers, a waist that cannot be pulled on", "child-trousers, a waist that cannot be pulled on",
	"joggers, a waist that cannot be pulled on", "pyjama-trousers, a casing that cannot be pulled on",
	"shorts, a casing that cannot be pulled on", "wide-trousers, a casing that cannot be pulled on"}

func entriesOf(t testing.TB, folder string) []os.DirEntry {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) == 0 {
		t.Fatalf("no files in %s: %v", folder, err)
	}
	return entries
}

// No chart that is shipped contradicts itself, save those that are made to.
func TestShippedChartsAreSound(t *testing.T) {
	const demo = "../cmd/advisor/demo"
	for _, entry := range entriesOf(t, demo) {
		text, err := os.ReadFile(filepath.Join(demo, entry.Name()))
		if err != nil || !strings.Contains(string(text), "kind: pattern") {
			continue
		}
		p, _ := recipes.ReadPattern(open(t, entry.Name(), string(text)), vocabulary(t), nil)
		recipe, err := recipes.Library{}.Recipe(p.Recipe, vocabulary(t))
		if err != nil {
			t.Fatal(err)
		}
		if a := looked(t, p, recipe.Recipe); !a.Sound {
			t.Errorf("%s: %v", entry.Name(), faults(a, p.Units))
		}
	}
	var narrow []string
	for _, name := range recipes.Names() {
		recipe, examples := exemplified(t, name)
		for _, e := range examples {
			a := looked(t, e.Pattern, recipe)
			for _, f := range a.Findings {
				at := name + ", " + e.Name
				switch {
				case f.Severity != engine.IsError:
				case f.ID == "opening-too-small" && slices.Contains(tooNarrow, at):
					narrow = append(narrow, at)
				default:
					t.Errorf("%s: %s %s.%s %s: %s", at, f.ID, f.Of, f.Row, f.Size, f.Because)
				}
			}
		}
	}
	if diff := cmp.Diff(tooNarrow, narrow); diff != "" {
		t.Error(diff)
	}
}

// A chart with cups has equal upper busts, and its bust steps back where the next
// size begins; neither is a fault. What is one is still found: 10C and 10D share
// their upper bust of 80 with 10B, and 12C has 19 after the 88 of 10C.
func TestChartWithCups(t *testing.T) {
	const rows = `
kind: pattern
name: Cups
recipe: test-sheath
units: cm
sizes: [14D, 14C, 14B, 12D, 12C, 12B, 10D, 10C, 10B, 8B]
body:
  upper_bust: [86, 86, 86, 83, 83, 83, 80, 80, 80, 77]
  bust:       [97, 94, 91, 94, 91, 88, 91, 88, 85, 82]
  waist:      [72, 72, 72, 69, 69, 69, 66, 66, 66, 63]
  hip:        [98, 98, 98, 95, 95, 95, 92, 92, 92, 89]
  upper_arm:  [28, 28, 28, 27, 27, 27, 26, 26, 26, 25]
finished:
  waist:      [74, 74, 74, 71, 71, 71, 68, 68, 68, 65]
  high_hip:   [98, 98, 98, 95, 95, 95, 92, 92, 92, 89]
  hip:        [106, 106, 106, 103, 103, 103, 100, 100, 100, 97]
  upper_arm:  [33, 33, 33, 32, 32, 32, 31, 31, 31, 30]
  neck_open:  [60, 60, 60, 60, 60, 60, 60, 60, 60, 60]
`
	a := inspectedChart(t, sheathRecipe(t), rows)
	if got := faults(a, quantity.Cm); got != nil || !a.Sound {
		t.Error(got)
	}
	if !slices.ContainsFunc(a.Findings, func(f engine.Finding) bool { return f.ID == "cups" && f.Severity == engine.IsFact }) {
		t.Errorf("the cups are not told among %v", a.Findings)
	}
	if len(a.Rows) == 0 || len(a.Rows[0].Cells) != 10 || len(a.Eases) == 0 {
		t.Errorf("rows %v, eases %v", a.Rows, a.Eases)
	}
	a = inspectedChart(t, sheathRecipe(t), strings.Replace(rows, "94, 91, 88,", "94, 19, 88,", 1))
	want := []string{"error backward-step: body.bust 12C, 19 cm for 88 cm", "error beyond-people: body.bust 12C, 19 cm for 35 cm"}
	if diff := cmp.Diff(want, faults(a, quantity.Cm)); diff != "" {
		t.Error(diff)
	}
}
