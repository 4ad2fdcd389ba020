package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitadvisor/explain"
)

// The picture of a booklet has the very paths of the figure that the page shows while you type: what is drawn from a text of
// straight legs and curves begins, runs and ends where the text says.
func TestTapePictureIsTheFigure(t *testing.T) {
	measures := []string{"hip"} // at its level, 93 cm above the floor in this test
	for name := range tapes {
		measures = append(measures, name)
	}
	slices.Sort(measures)
	height := func(name string) float64 { return map[string]float64{"hip": 93}[name] }
	s, ok := TapePicture(measures, func(name string) string { return strings.ToUpper(name) }, height)
	if !ok {
		t.Fatal("nothing is shown")
	}
	var drawn, names []string
	for _, item := range s.Items {
		switch item := item.(type) {
		case explain.Path:
			if item.Role == explain.Accent {
				drawn = append(drawn, ends(item))
			}
		case explain.Label:
			names = append(names, item.Text)
		}
	}
	if len(drawn) != len(measures) || len(names) != len(measures) {
		t.Fatalf("%d measurements, %d tapes and %d names", len(measures), len(drawn), len(names))
	}
	number := regexp.MustCompile(`[0-9.]+`)
	for i, m := range measures {
		d := Tape(m, height(m))
		all := number.FindAllString(d, -1)
		if from := all[0] + " " + all[1]; !strings.HasPrefix(drawn[i], from+" ") {
			t.Errorf("%s is %s, and drawn %s", m, d, drawn[i])
		}
		if last := all[len(all)-1]; !strings.Contains(drawn[i][strings.LastIndex(drawn[i], ">"):], last) {
			t.Errorf("%s is %s, and drawn %s", m, d, drawn[i])
		}
		if !slices.Contains(names, strings.ToUpper(m)) {
			t.Errorf("%s is not named", m)
		}
	}
}

func ends(p explain.Path) string {
	last := p.Legs[len(p.Legs)-1].To
	return fmt.Sprintf("%v %v > %v %v", p.Start.X, p.Start.Y, last.X, last.Y)
}

// A curve with one control point, and its twin with two: half-way along both are at the same point, (0 + 2 x 8 + 0) / 4 = 4.
func TestTapeCurves(t *testing.T) {
	p := paths(explain.Accent, "M0 0Q5 8 10 0V7H3")
	if len(p) != 1 || len(p[0].Legs) != 3 {
		t.Fatalf("%+v", p)
	}
	c := p[0].Legs[0].Curve
	if y := (0 + 3*c.A.Y + 3*c.B.Y + 0) / 8; y < 3.999 || y > 4.001 {
		t.Errorf("half-way the curve is at %v, want 4", y)
	}
	if got, want := ends(p[0]), "0 0 > 3 7"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// Names beside the figure lie apart, and nothing lies below the picture.
func TestTapeNamesLieApart(t *testing.T) {
	s, _ := TapePicture([]string{"thigh", "body_rise", "crotch_length", "inside_leg", "foot_length"}, func(n string) string { return n }, func(string) float64 { return 0 })
	last := -namesLie
	for _, item := range s.Items {
		if l, ok := item.(explain.Label); ok {
			if l.At.Y-last < namesLie-1e-9 || l.At.Y > s.Box.Height {
				t.Errorf("%s stands at %v, after %v, in a picture of %v", l.Text, l.At.Y, last, s.Box.Height)
			}
			last = l.At.Y
		}
	}
}

// A chart of what no figure shows has no picture.
func TestTapeOfNothing(t *testing.T) {
	if _, ok := TapePicture([]string{"no such thing"}, func(n string) string { return n }, func(string) float64 { return 0 }); ok {
		t.Error("a figure without a tape")
	}
}
