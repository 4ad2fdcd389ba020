package recipes

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// sketched reads a sketch's file and runs its example. It returns the problems,
// the doubts included, and whether the examples passed.
func sketched(t *testing.T, s *Sketch) (problems string, passed bool) {
	t.Helper()
	voc, shared := known(t)
	s.Guess(voc)
	text, guessed := s.File(voc)
	lines := strings.Split(string(text), "\n")
	for i, line := range lines {
		if marked := strings.Contains(line, "# guessed: "); marked != slices.Contains(guessed, i+1) {
			t.Errorf("line %d is marked as guessed: %v, and told as guessed: %v", i+1, marked, !marked)
		}
	}
	looked := lines // with each guess looked at
	for i := range looked {
		looked[i], _, _ = strings.Cut(looked[i], "  "+guessMark)
	}
	doc := file.Open(s.Name+".yaml", []byte(strings.Join(looked, "\n")))
	recipe := ReadRecipe(doc, voc, rules.AtOnce)
	examples, _ := ReadExamples(doc, voc, recipe, shared, nil)
	if doc.Problems().HasErrors() {
		t.Fatalf("%s\n%s", written(t, doc), text)
	}
	var outcomes []Outcome
	passed = len(examples) > 0
	for i := range examples {
		outcomes = append(outcomes, Run(&examples[i], recipe, shared, voc))
		passed = passed && outcomes[i].Passed()
	}
	Doubt(doc, recipe, outcomes, voc)
	return written(t, doc), passed
}

// Whatever decides and whatever the cloth, a sketch without a pattern is a recipe
// without errors, whose example passes.
func TestSketchOfEveryMeasurement(t *testing.T) {
	voc, _ := known(t)
	for _, m := range voc.BodyNames() {
		if voc.Measure(m).Kind == engine.Angle {
			continue
		}
		for _, stretch := range []string{"none", "comfort 10 %", "needed 25 %"} {
			s := &Sketch{Name: "my-own", Decides: Given{Text: m}, Stretch: Given{Text: stretch}}
			if problems, passed := sketched(t, s); problems != "" || !passed {
				text, _ := s.File(voc)
				t.Errorf("%s, %s: passed %v\n%s%s", m, stretch, passed, problems, text)
			}
		}
	}
}

// Every pattern of the shipped examples can be sketched from, and the body that its
// middle size is drawn for gets that size.
func TestSketchFromEveryPattern(t *testing.T) {
	voc, shared := known(t)
	for _, name := range Names() {
		_, examples := exemplified(t, name, voc, shared)
		for i := 0; i < len(examples); i += patience {
			s := &Sketch{Name: "my-own", Pattern: examples[i].Pattern}
			if _, passed := sketched(t, s); !passed {
				text, _ := s.File(voc)
				t.Errorf("%s, %s: its example fails\n%s", name, examples[i].Name, text)
			}
		}
	}
}

func TestSketchGuesses(t *testing.T) {
	voc, _ := known(t)
	row := func(cm ...float64) engine.Row {
		var r engine.Row
		for _, v := range cm {
			l := quantity.FromCm(v)
			r = append(r, engine.Cell{Low: l, High: l, Known: true})
		}
		return r
	}
	forty := 40.0
	for _, c := range []struct {
		name                    string
		chart, finished         map[string]engine.Row
		drafted                 *float64
		decides, draft, stretch string
		lines                   []string // of the file
	}{
		// 100 - 92 = 8 and 105.5 - 96 = 9.5: 8 cm to 10. The waist: 88 - 74 = 14, 93 - 78 = 15.
		{"a top", map[string]engine.Row{"hip": row(100, 104), "waist": row(74, 78), "bust": row(92, 96)},
			map[string]engine.Row{"waist": row(88, 93), "bust": row(100, 105.5)}, nil, "bust", "women", "none",
			[]string{"    ease: 8 cm .. 10 cm  # guessed: the maker drew 8 cm to 9.5 cm", "    ease: 13 cm .. 16 cm  # guessed: the maker drew 14 cm to 15 cm"}},
		// 92 / 100 - 1 = -8 %, 97.24 / 104 - 1 = -6.5 %.
		{"leggings", map[string]engine.Row{"hip": row(100, 104), "waist": row(74, 78)}, map[string]engine.Row{"hip": row(92, 97.24)},
			&forty, "hip", "all", "needed 40 %", []string{"    ease: -8 % .. -6 %  # guessed: the maker drew -8 % to -6.5 %"}},
		// 100 / 92 - 1 = 8.7 %, twice that is 17.4, to the next five 20.
		{"leggings that name no cloth", map[string]engine.Row{"hip": row(100)}, map[string]engine.Row{"hip": row(92)}, nil, "hip", "all", "needed 20 %", nil},
		// 1 cm is little, and was meant.
		{"close trousers", map[string]engine.Row{"hip": row(100)}, map[string]engine.Row{"hip": row(101)}, nil, "hip", "all", "none", nil},
		// A sleeve of 30 cm on an arm of 60 ends above the elbow, and is not stretched.
		{"a short sleeve", map[string]engine.Row{"bust": row(88), "arm_length": row(60)}, map[string]engine.Row{"bust": row(100), "arm_length": row(30)}, nil, "bust", "women", "none",
			[]string{"    ease: -30.5 cm .. -29.5 cm  # guessed: the maker drew -30 cm"}},
		{"a chart alone", map[string]engine.Row{"waist": row(74), "hip": row(100)}, nil, nil, "hip", "all", "none",
			[]string{"    ease: 6 cm .. 14 cm  # guessed: from the room that is usual to move in, 5.1 cm"}},
		{"a child's, by height", map[string]engine.Row{"height": row(110)}, nil, nil, "height", "children", "none", []string{"    by: chart"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &Sketch{Name: "my-own", Pattern: &engine.Pattern{Chart: c.chart, Finished: c.finished, Stretch: c.drafted}}
			for i := range c.chart[c.decides] {
				s.Pattern.Sizes = append(s.Pattern.Sizes, strconv.Itoa(i))
			}
			s.Guess(voc)
			want := []string{c.decides, c.draft, c.stretch}
			if diff := cmp.Diff(want, []string{s.Decides.Text, s.Draft.Text, s.Stretch.Text}); diff != "" {
				t.Error(diff)
			}
			text, _ := s.File(voc)
			for _, line := range c.lines {
				if !slices.Contains(strings.Split(string(text), "\n"), line) {
					t.Errorf("no line %q in\n%s", line, text)
				}
			}
		})
	}
}

func TestSketchNames(t *testing.T) {
	for name, ok := range map[string]bool{"my-culottes": true, "culottes-2": true, "": false, "My-culottes": false, "../culottes": false, "gathered-skirt": false} {
		if err := (&Sketch{Name: name}).CheckName(); (err == nil) != ok {
			t.Errorf("%q: %v", name, err)
		}
	}
	if err := (&Sketch{Name: "gathered-skirt", BasedOn: "gathered-skirt"}).CheckName(); err != nil {
		t.Errorf("a type that stands in for the one it is based on: %v", err)
	}
}

// What takes over all but its title, from whichever type, has no errors either,
// and what was said stands in it whatever characters it has.
func TestSketchBasedOn(t *testing.T) {
	voc, _ := known(t)
	const title = `a "b" # c: \ {d}`
	for _, name := range Names() {
		s := &Sketch{Name: "my-own", BasedOn: name, Title: Given{Text: title}}
		s.Guess(voc)
		text, guessed := s.File(voc)
		doc := file.Open("my-own.yaml", text)
		recipe := ReadRecipe(doc, voc, rules.AtOnce)
		if problems := written(t, doc); problems != "" || recipe.Title != title || len(guessed) > 0 {
			t.Errorf("%s, title %q, guessed %v", problems, recipe.Title, guessed)
		}
	}
}
