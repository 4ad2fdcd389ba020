package engine

import (
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
		Limits{LeastTolerance: cm, ReachLeast: 0.25, ReachMost: 0.75, UsableShare: 0.5, NestedSizes: 2, EdgeMost: cm, SlopeGentle: 10, SlopeSteep: 15})
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

// Bust 84, waist 78 and hip 102 name S, L and L. A zone that an alteration puts
// right forces no line: it keeps that of the one above.
func TestSettledZonesForceNoLine(t *testing.T) {
	f := aDress(t)
	body := &Body{Measurements: map[string]Taking{}}
	for name, l := range map[string]quantity.Length{"bust": 84, "waist": 78, "hip": 102} {
		body.Measurements[name] = Taking{Readings: []Reading{{Length: l * quantity.Centimetre}}}
	}
	for _, c := range []struct {
		settled, want string
		steps         int
	}{
		{"none", "S L L", 1},
		{"waist", "S S L", 1},
		{"hip", "S L S", 2}, // altered in S, so cut on its line
		{"bust", "S L L", 1},
	} {
		j, err := f.judge(Fitting{Body: body, Units: quantity.Cm})
		if err != nil {
			t.Fatal(err)
		}
		ps := j.byMisfit()
		hearings, err := j.hearAll(ps)
		if err != nil {
			t.Fatal(err)
		}
		p := j.lines(ps, hearings, func(zone string) bool { return zone == c.settled })
		got := ""
		for _, l := range p.lines {
			got += " " + f.sizes[l.s]
		}
		if got != " "+c.want || len(p.steps) != c.steps {
			t.Errorf("with the %s settled:%s in %d steps, want %s in %d", c.settled, got, len(p.steps), c.want, c.steps)
		}
	}
}
