package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// What a body file is told: 96 / 40 = 2.4, where the most surveyed was 1.257 and a quarter more is 1.571.
func TestSlipsAreTold(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ name, body, want string }{
		{"inches in centimetres", "units: cm\nmeasurements: {bust: 96, waist: 76, hip: 40}", "40 in would be 101.6 cm"},
		{"centimetres in inches", "units: in\nmeasurements: {bust: 38, waist: 30, hip: 101.6}", "101.6 cm would be 40 in"},
		{"an infant's waist on an adult", "units: cm\nage: 30\nmeasurements: {waist: 29}", "the waist of 29 cm cannot be right"},
		{"a child's hip on an adult", "units: cm\nage: 30\nmeasurements: {hip: 42}", "the hip of 42 cm cannot be right"},
		{"a hip of a hand's width", "units: in\nage: 30\nmeasurements: {hip: 4}", "the hip of 4 in cannot be right"},
		{"a little beyond the surveys", "units: cm\nmeasurements: {bust: 80, hip: 110}", "outside what the surveys ANSUR II and NHANES 2017-2018 measured"},
		{"a little beyond what no survey took", "units: cm\nmeasurements: {bust: 80, upper_bust: 86}", "seldom so"},
		{"a body as most are", "units: cm\nmeasurements: {bust: 96, waist: 76, hip: 101.6}", ""},
		{"a child of six", "units: cm\nage: 6\nmeasurements: {height: 116, waist: 54, hip: 62}", ""},
		{"a child by the height", "units: cm\nmeasurements: {height: 98, waist: 51, hip: 55}", ""},
		{"an infant by the height", "units: cm\nmeasurements: {height: 56}", ""},
		{"an infant's girths", "units: cm\nmeasurements: {height: 56, chest: 39, waist: 40}", ""},
		{"a newborn of an age", "units: cm\nage: 0.1\nmeasurements: {height: 52, chest: 35, waist: 36}", ""},
		{"a child's waist in inches", "units: cm\nage: 6\nmeasurements: {height: 116, waist: 21, hip: 62}", "21 in would be 53.3 cm"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			doc := file.Open("body.yaml", []byte("kind: body\nname: Wren\n"+tt.body+"\n"))
			recipes.ReadBody(doc, voc)
			got := ""
			for _, p := range doc.Problems() {
				got += p.Summary + "; " + p.Hint + "\n"
			}
			if (got == "") != (tt.want == "") || !strings.Contains(got, tt.want) {
				t.Errorf("told %q, want %q", got, tt.want)
			}
		})
	}
}

// Four inches are no measurement round or along an adult, of those that a survey took.
func TestFourInchesAreNoAdults(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	alone := map[string]bool{}
	for _, r := range voc.Proportions.Ratios {
		alone[r.Of] = alone[r.Of] || r.By == "" && !r.Children && r.Least > 1.25*4*2.54
	}
	asked := 0
	for _, s := range voc.Proportions.StandIns {
		if s.Children || !alone[s.Dimension] || s.Least < 1 {
			continue
		}
		asked++
		b := bodyOf(map[string]float64{s.Measure: 4 * 2.54}, quantity.In, 30)
		if found := certain(voc.Slips(b, "")); len(found) != 1 || found[0].With != "" {
			t.Errorf("%s of 4 in: %+v", s.Measure, found)
		}
	}
	if asked < 15 {
		t.Errorf("only %d measurements were asked about", asked)
	}
}

// 200 readings are read, and no more.
func TestReadingsAndSizesAreLimited(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{200, 201} {
		doc := file.Open("body.yaml", []byte("kind: body\nname: Wren\nunits: cm\nmeasurements: {hip: ["+strings.Repeat("98, ", n-1)+"98]}\n"))
		recipes.ReadBody(doc, voc)
		if told := doc.Problems().HasErrors(); told != (n > 200) {
			t.Errorf("%d readings: %v", n, doc.Problems())
		}
		var sizes []string
		for i := range n {
			sizes = append(sizes, fmt.Sprint(i))
		}
		doc = file.Open("pattern.yaml", []byte("kind: pattern\nname: Quay\nunits: cm\nrecipe: straight-skirt\nsizes: ["+strings.Join(sizes, ",")+"]\nfinished: {hip: ["+strings.Repeat("98, ", n-1)+"98]}\n"))
		recipes.ReadPattern(doc, voc, nil)
		limited := false
		for _, p := range doc.Problems() {
			limited = limited || p.Code == "FA0321"
		}
		if limited != (n > 200) {
			t.Errorf("%d sizes: %v", n, doc.Problems())
		}
	}
}

// A child's height and chest without an age: no grown-up surveyed is shorter than 138.3 cm, nor has less than 69.5 round the
// chest (ANSUR II, NHANES 2017-2018). For a garment for children nothing is in doubt, for one for women both are; where no
// garment is known, nothing is told that a child may have.
func TestWhoseSurveysByTheGarment(t *testing.T) {
	voc := vocabulary(t)
	child := bodyOf(map[string]float64{"height": 130, "chest": 64, "waist": 58}, quantity.Cm, 0)
	child.Age = nil
	grown := bodyOf(map[string]float64{"height": 165, "bust": 70, "shoulder_girth": 103}, quantity.Cm, 0)
	grown.Age = nil
	for _, c := range []struct {
		body  *engine.Body
		draft engine.Draft
		want  bool
	}{
		{child, engine.ForChildren, false},
		{child, "", false},
		{child, engine.ForWomen, true},
		{grown, "", true},
		{grown, engine.ForWomen, true},
	} {
		if found := voc.Slips(c.body, c.draft); (len(found) > 0) != c.want {
			t.Errorf("drafted for %q: %+v", c.draft, found)
		}
	}
}
