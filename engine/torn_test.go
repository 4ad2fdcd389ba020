package engine_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
)

// farApart are bodies on whom the girths that decide lie at the second and the ninth size of a chart of ten, in turn; the rest
// is that of the fifth. A wrap is no girth: it laps more or less.
func (s *survey) farApart() []*engine.Body {
	var deciding []string
	for i := range s.recipe.Zones {
		if z := &s.recipe.Zones[i]; z.Role == engine.Decides && z.Ease != nil && z.Laps == "" && s.voc.Measure(z.Measure).Kind == engine.Girth {
			deciding = append(deciding, z.Measure)
		}
	}
	if len(deciding) < 2 {
		return nil
	}
	var bodies []*engine.Body
	for turn := range 2 {
		b := &engine.Body{Name: fmt.Sprintf("%v, turn %d", deciding, turn), Units: quantity.Cm, Measurements: map[string]engine.Measurement{}}
		for name, row := range s.pattern.Chart {
			at := 4
			if i := slices.Index(deciding, name); i >= 0 {
				at = []int{1, 8}[(i+turn)%2]
			}
			if s.voc.Measure(name).Kind != engine.Garment && name != "upper_bust" {
				b.Measurements[name] = taking(row[at].Low)
			}
		}
		bodies = append(bodies, b)
	}
	return bodies
}

// In no shipped type is a size recommended that fits none of the girths that decide: where they lie seven sizes apart, several
// lines are named and do at each, or no size is, and it is said why.
func TestNoSizeIsRecommendedThatFitsNeither(t *testing.T) {
	tried, lines, none := 0, 0, 0
	for _, name := range recipes.Names() {
		s := newSurvey(t, name, inventions[0])
		for _, body := range s.farApart() {
			a, err := s.fitter.Advise(engine.Request{Fitting: engine.Fitting{Body: body}, Sure: true})
			if err != nil {
				t.Fatal(err)
			}
			tried++
			if a.Recommended == nil {
				none++
				is(t, name+": the share that fits nothing", *a.NothingFits, 1)
				if say := caution(t, a, "no-size-for-both").Say; !strings.Contains(say, "sizes ") {
					t.Errorf("%s: %s", name, say)
				}
				continue
			}
			if a.Recommended.Lines == "" {
				t.Errorf("%s, %s: cut size %s", name, body.Name, a.Recommended.Size)
				continue
			}
			lines++
			for _, l := range a.Plan.Levels {
				if i := slices.IndexFunc(s.recipe.Zones, func(z engine.Zone) bool { return z.Name == l.Zone }); i >= 0 && s.recipe.Zones[i].Role == engine.Decides && l.Left != nil && s.voc.Measure(s.recipe.Zones[i].Measure).Kind == engine.Girth {
					t.Errorf("%s, %s: %s leaves %v at the %s", name, body.Name, a.Recommended.Lines, *l.Left, l.Zone)
				}
			}
		}
	}
	t.Logf("%d bodies: several lines for %d, no size for %d", tried, lines, none)
	if lines == 0 || none == 0 {
		t.Error("one of the two never came out")
	}
}
