package engine_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// A garment for bust and hip: five sizes, 4 cm apart, drawn with 10 cm of ease at
// both. The bust decides, with 4 cm to either side; the hip bears 6 cm to either.
const (
	coverPattern = "sizes: [A, B, C, D, E]\nbody:\n  bust: [84, 88, 92, 96, 100]\n  hip: [92, 96, 100, 104, 108]\n" +
		"finished:\n  bust: [94, 98, 102, 106, 110]\n  hip: [102, 106, 110, 114, 118]"
	coverZones = "zones:\n  bust: {role: decides, ease: 6 cm .. 14 cm}\n" +
		"  hip: {role: mended, ease: 4 cm .. 16 cm, seams: {side: 2}, run: {bust: 40 cm}%s}"
	mending = `, mend: "let the side seams out below the waist"`
)

// cm is a centimetre.
const cm = float64(10 * quantity.Millimetre)

func coverRequest(t testing.TB, mend string, lines ...string) engine.Request {
	t.Helper()
	return trial{pattern: chart(coverPattern), recipe: garment(append(lines, "controlling: bust", fmt.Sprintf(coverZones, mend))...), body: wren("bust: 90")}.request(t)
}

// someone is a body in centimetres.
func someone(weight float64, of map[string]float64) engine.Person {
	b := &engine.Body{Measurements: map[string]engine.Measurement{}}
	for name, cm := range of {
		b.Measurements[name] = engine.Measurement{Readings: []engine.Reading{{Length: quantity.FromCm(cm)}}}
	}
	return engine.Person{Body: b, Weight: weight}
}

func round(bust, hip float64) map[string]float64 {
	return map[string]float64{"bust": bust, "hip": hip}
}

func covered(t testing.TB, q engine.Request, people ...engine.Person) *engine.Coverage {
	t.Helper()
	a, err := engine.Cover(q, engine.Survey{Name: "invented", People: slices.Values(people)})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// wayOf is the one way in which a single body comes out.
func wayOf(a *engine.Coverage) string {
	s := a.Shares
	for way, v := range map[string]float64{"as drawn": s.AsDrawn, "with grading": s.WithGrading, "with alterations": s.WithAlterations,
		"out of range": s.OutOfRange, "no size": s.NoSize, "off the chart": s.OffChart} {
		if v == 1 {
			return way
		}
	}
	return fmt.Sprint(s)
}

func TestCoverOneBody(t *testing.T) {
	const stop = `cautions: [{id: too-large-a-hip, severity: stop, when: "body.hip > 150", say: told, source: common practice}]`
	for _, c := range []struct {
		name, mend string
		body       map[string]float64
		way        string
		by         string // what keeps it from a size as drawn
	}{
		// Bust 92 is size C. 110 - 104 = 6 cm of ease at the hip, in 4 .. 16.
		{"in the range", mending, round(92, 104), "as drawn", ""},
		// 110 - 106 = 4 cm, the close end.
		{"at its end", mending, round(92, 106), "as drawn", ""},
		// 110 - 106.1 = 3.9 cm; on the line of E 118 - 106.1 = 11.9 cm.
		{"just outside", mending, round(92, 106.1), "with grading", "hip, too small"},
		// 110 - 92 = 18 cm; on the line of A 102 - 92 = 10 cm.
		{"a slim hip", mending, round(92, 92), "with grading", "hip, too large"},
		// On the line of E 118 - 115 = 3 cm: that it is 1 cm short of the 4 is not felt.
		{"a little beyond the largest line", mending, round(92, 115), "with grading", "hip, too small"},
		// 118 - 117 = 1 cm on the line of E, and 3 cm are let out at the seams.
		{"let out at the seams", "", round(92, 117), "with alterations", "hip, too small"},
		// 118 - 124 = -6 cm on the line of E, 10 cm short; four edges give 1/2 in each, 5.08 cm, and the type says how to mend the rest.
		{"beyond the seams", mending, round(92, 124), "with alterations", "hip, too small"},
		{"beyond them, and nothing mends it", "", round(92, 124), "out of range", "hip, too small"},
		// The chart begins at 84 and half of its end step of 4 is 2: 82 is the last.
		{"half a step below the chart", mending, round(82, 96), "as drawn", ""},
		{"further below", mending, round(81.9, 96), "off the chart", "bust, too large"},
		{"further above", mending, round(102.1, 108), "off the chart", "bust, too small"},
		{"a rule rules all out", mending, round(92, 151), "no size", "hip, too small"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := covered(t, coverRequest(t, c.mend, stop), someone(1, c.body))
			is(t, "way", wayOf(a), c.way)
			by := ""
			for _, e := range a.Excluded {
				by = e.Measurement + ", too small"
				if e.TooLarge == 1 {
					by = e.Measurement + ", too large"
				}
			}
			is(t, "by", by, c.by)
			ruledOut := "[]"
			if c.way == "no size" {
				ruledOut = "[{too-large-a-hip 1}]"
			}
			is(t, "ruled out", fmt.Sprint(a.RuledOut), ruledOut)
		})
	}
}

// What no line brings into the range an alteration may put right: a thigh of 63 cm
// in legs of 64 cm, where an inch is the least, is a full thigh. No leg is
// any larger; a garment without a crotch has nothing to alter there.
func TestCoverAltered(t *testing.T) {
	for parts, way := range map[string]string{"parts: [crotch]": "with alterations", "parts: [bodice]": "out of range"} {
		q := trial{pattern: chart(coverPattern + "\n  thigh: [64, 64, 64, 64, 64]"), body: wren("bust: 90"),
			recipe: garment("controlling: bust", parts, fmt.Sprintf(coverZones, mending)+"\n  thigh: {role: mended, ease: 4 cm .. 16 cm}")}.request(t)
		of := round(92, 104)
		of["thigh"] = 63
		is(t, parts, wayOf(covered(t, q, someone(1, of))), way)
	}
}

// Ten people in four bodies: the first stands for 4 of them, and so on.
func TestCoverCounts(t *testing.T) {
	people := []engine.Person{
		someone(4, round(92, 104)),                        // C, as drawn
		someone(3, round(92, 124)),                        // C, out of range: 118 - 124 = -6 cm in the largest size
		someone(2, round(103, 110)),                       // off the chart, whose end is 100
		someone(1, round(88, 96)),                         // B, as drawn
		someone(5, map[string]float64{"hip": 100}),        // the bust, which picks, is not known
		someone(5, map[string]float64{"waist_navel": 80}), // so here
	}
	a := covered(t, coverRequest(t, ""), people...)
	is(t, "looked at", a.Bodies.Count, 4)
	is(t, "left out", a.Bodies.LeftOut, 2)
	want := engine.CoverageShares{AsDrawn: 0.5, OutOfRange: 0.3, OffChart: 0.2}
	is(t, "shares", a.Shares, want)
	is(t, "fits", a.Fits, 0.5)
	is(t, "sizes", fmt.Sprint(a.Sizes), "[{A 0 0} {B 0.1 0.1} {C 0.7 0.4} {D 0 0} {E 0 0}]")
	is(t, "excluded", fmt.Sprint(a.Excluded), "[{hip 0.3 0.3 0} {bust 0.2 0.2 0}]")
	// A size F more has bust 104, hip 112, and measures 114 and 122: it takes the
	// two of 103 (114 - 103 = 11, 122 - 110 = 12); the three of hip 124 are cut in C,
	// three lines away.
	is(t, "more", fmt.Sprint(a.More), "[{smaller size 0 0 map[bust:80 hip:88]} {larger size 0.2 0.2 map[bust:104 hip:112]}]")
	is(t, "judged", fmt.Sprint(a.Judged), "[bust hip]")
}

// A bust of 86.5 cm takes size B, where 106 - 89.9 = 16.1 cm are left at the hip.
// With an inch more at the bust size A has 84 + 2.54 = 86.54 cm, and leaves
// 102 - 89.9 = 12.1 cm.
func TestCoverLargerCup(t *testing.T) {
	people := []engine.Person{someone(1, round(86.5, 89.9)), someone(1, round(84, 92))}
	for _, line := range []string{"hangs_from: shoulder", "draft: women"} {
		a := covered(t, coverRequest(t, "", line), people...)
		is(t, "as drawn", a.Shares.AsDrawn, 0.5)
		is(t, "with grading", a.Shares.WithGrading, 0.5)
		cup := slices.IndexFunc(a.More, func(m engine.Addition) bool { return m.What == engine.LargerCup })
		if hangs := strings.HasPrefix(line, "hangs"); (cup >= 0) != hangs {
			t.Fatalf("%s: a larger cup is offered: %v", line, cup >= 0)
		} else if hangs {
			is(t, "a cup", fmt.Sprint(a.More[cup]), "{larger cup 0 0.5 map[bust:2.54]}")
		}
	}
}

func TestCoverNobody(t *testing.T) {
	var unknown *engine.UnknownError
	_, err := engine.Cover(coverRequest(t, ""), engine.Survey{People: slices.Values([]engine.Person{someone(1, map[string]float64{"hip": 100})})})
	if !errors.As(err, &unknown) || unknown.Measurement != "bust" {
		t.Errorf("of bodies without a bust: %v", err)
	}
	var nobody *engine.NobodyError
	if _, err := engine.Cover(coverRequest(t, ""), engine.Survey{Name: "no.csv", People: slices.Values([]engine.Person(nil))}); !errors.As(err, &nobody) {
		t.Errorf("of nobody: %v", err)
	}
}

// soldierColumns are the columns of the soldiers' survey, of its women.
const soldierColumns = "kind: columns\ncolumns: {chest_or_bust_cm: bust, waist_cm: waist_navel, hip_cm: hip, height_cm: height}\n" +
	"units: cm\nonly: {sex: female}\nabout: soldiers aged 17 to 58, not the public at large\n"

func surveyOf(t testing.TB, table []byte, columns string) []engine.Person {
	t.Helper()
	voc := vocabulary(t)
	s, header := recipes.OpenSurvey("survey.csv", bytes.NewReader(table), recipes.ReadColumns(open(t, "columns.yaml", columns), voc), "", voc)
	if err := header.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	var people []engine.Person
	for {
		line, err := s.Next()
		if errors.Is(err, io.EOF) {
			return people
		}
		if err != nil {
			t.Fatal(err)
		}
		p, ok, problems := s.Person(line)
		if err := problems.Err(); err != nil {
			t.Fatal(err)
		}
		if ok {
			people = append(people, p)
		}
	}
}

// The chart of the count below, in tenths of a centimetre: seven sizes, 4 cm apart.
var (
	countedBust = []int{800, 840, 880, 920, 960, 1000, 1040}
	countedHip  = []int{880, 920, 960, 1000, 1040, 1080, 1120}
)

const countedPattern = "sizes: [1, 2, 3, 4, 5, 6, 7]\nbody:\n  bust: [80, 84, 88, 92, 96, 100, 104]\n  hip: [88, 92, 96, 100, 104, 108, 112]\n" +
	"finished:\n  bust: [90, 94, 98, 102, 106, 110, 114]\n  hip: [98, 102, 106, 110, 114, 118, 122]"

// countedLack is what the best line within two sizes lacks of the range at the hip,
// in tenths of a centimetre.
func countedLack(size, hip int) float64 {
	least := math.Inf(1)
	for s := max(size-2, 0); s <= min(size+2, len(countedHip)-1); s++ {
		ease := float64(100 + countedHip[s] - hip)
		lack := max(40-ease, ease-160, 0)
		if s < size && ease < 40 { // so far nothing is taken in
			continue
		}
		least = min(least, lack)
	}
	return least
}

// The women among the soldiers, counted here anew: the nearest size by the bust,
// of two as near the larger one; the hip may be 6 cm off the chart's there, or, less
// 1 cm that is not felt, off that of a size no more than two away (taken in, never closer
// than 4 cm), or short of those by what four edges give, 1/2 in each. Nobody off the chart by more than half a step of 4 cm
// counts.
func TestCoverSoldiers(t *testing.T) {
	bodiesOrSkip(t)
	raw, err := os.ReadFile(surveys + soldiers)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	women, drawn, graded, altered, left, off := 0, 0, 0, 0, 0, 0
	bySize := make([]int, len(countedBust))
	tenths := func(text string) int { v, _ := strconv.ParseFloat(text, 64); return int(math.Round(v * 10)) }
	distance := func(a, b int) int { return max(a-b, b-a) }
	for _, row := range rows[1:] {
		if row[1] != "female" {
			continue
		}
		women++
		bust, hip, size := tenths(row[3]), tenths(row[5]), 0
		for s, of := range countedBust {
			if distance(of, bust) <= distance(countedBust[size], bust) {
				size = s
			}
		}
		switch {
		case bust < 780 || bust > 1060:
			off++
			continue
		case distance(countedHip[size], hip) <= 60:
			drawn++
		default:
			switch lack := countedLack(size, hip); {
			case lack <= 10:
				graded++
			case lack <= 10+50.8:
				altered++
			default:
				left++
			}
		}
		bySize[size]++
	}
	q := coverRequest(t, "")
	q.Pattern = trial{pattern: chart(countedPattern), recipe: "gathered-skirt", body: wren("bust: 90")}.request(t).Pattern
	a := covered(t, q, surveyOf(t, raw, soldierColumns)...)
	is(t, "women", a.Bodies.Count, women)
	is(t, "women", women, 1986) // Gordon et al. 2014, NATICK/TR-15/007
	s := a.Shares
	got, want := []float64{s.AsDrawn, s.WithGrading, s.OutOfRange, s.OffChart, s.WithAlterations, s.NoSize}, []int{drawn, graded, left, off, altered, 0}
	for _, size := range a.Sizes {
		got = append(got, size.Share)
	}
	for i, n := range append(want, bySize...) {
		if v := got[i] * float64(women); math.Abs(v-float64(n)) > 1e-6 {
			t.Errorf("count %d: %v, counted here %d", i, v, n)
		}
	}
	if drawn == 0 || graded == 0 || altered == 0 || off == 0 {
		t.Errorf("some way is not tried: %v", want)
	}

	// The same of a crowd that is like them. Bust and hip of real women are in proportion
	// more often than in a single normal distribution (the difference of the two has a
	// kurtosis of 3.4, not 3), which told in who needs grading.
	p := population(t, "soldiers-women")
	of, err := engine.Cover(q, engine.Survey{Name: p.Name, People: p.Crowd(q.Vocabulary.Limits.CrowdBodies)})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		crowd, all float64
	}{
		{"fits", of.Fits, a.Fits}, {"out of range", of.Shares.OutOfRange, s.OutOfRange}, {"off the chart", of.Shares.OffChart, s.OffChart},
		{"as drawn", of.Shares.AsDrawn, s.AsDrawn}, {"with grading", of.Shares.WithGrading, s.WithGrading},
	} {
		t.Logf("%s: %.1f %% by their figures, %.1f %% counted", c.name, 100*c.crowd, 100*c.all)
		if math.Abs(c.crowd-c.all) > 0.02 {
			t.Errorf("%s: %v by their figures, %v counted", c.name, c.crowd, c.all)
		}
	}
}

func population(t testing.TB, name string) *engine.Population {
	t.Helper()
	for _, p := range data.Populations() {
		if p.Name == name {
			return &p
		}
	}
	t.Fatalf("no population %s", name)
	return nil
}

// A crowd has nearly the means, deviations and correlations of the people: of a few
// hundred bodies of a part few lie far out.
func TestCrowd(t *testing.T) {
	for _, p := range data.Populations() {
		var of [][]float64
		for person := range p.Crowd(4096) {
			var row []float64
			for _, m := range p.Measures {
				row = append(row, float64(person.Body.Measurements[m.Measure].Readings[0].Length)/cm)
			}
			of = append(of, row)
		}
		mean := func(f func(row []float64) float64) float64 {
			sum := 0.0
			for _, row := range of {
				sum += f(row)
			}
			return sum / float64(len(of))
		}
		for i, m := range p.Measures {
			about := mean(func(r []float64) float64 { return r[i] })
			deviation := math.Sqrt(mean(func(r []float64) float64 { return (r[i] - about) * (r[i] - about) }))
			if wantMean, want := float64(m.Mean)/cm, float64(m.Deviation)/cm; math.Abs(about-wantMean) > 0.01*wantMean || math.Abs(deviation-want) > 0.04*want {
				t.Errorf("%s of %s: mean %.2f, deviation %.2f, want %v and %v", m.Measure, p.Name, about, deviation, wantMean, want)
			}
			for k, r := range m.With {
				other := mean(func(r []float64) float64 { return r[k] })
				spread := math.Sqrt(mean(func(r []float64) float64 { return (r[k] - other) * (r[k] - other) }))
				if got := mean(func(row []float64) float64 { return (row[i] - about) * (row[k] - other) }) / deviation / spread; math.Abs(got-r) > 0.04 {
					t.Errorf("%s with %s of %s: %.3f, want %v", m.Measure, p.Measures[k].Measure, p.Name, got, r)
				}
			}
		}
	}
}

// The answer is the same on one core and on several.
func TestCoverOnAnyCores(t *testing.T) {
	q := coverRequest(t, "")
	p := population(t, "soldiers-women")
	on := func(cores int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		a, err := engine.Cover(q, engine.Survey{Name: p.Name, People: p.Crowd(1500)})
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	if diff := cmp.Diff(on(1), on(4)); diff != "" {
		t.Error(diff)
	}
}

func TestSurveyLines(t *testing.T) {
	const table = "id,sex,hip,waist,people\nn1,female,101.1,86.1,2.5\nn2,male,99,90,1\nn3,F,,80,1\nn4,F,102,80,\nn5,F,102,80,0\n"
	const columns = "kind: columns\ncolumns: {hip: hip, waist: waist_navel}\nunits: cm\nonly: {sex: [female, F]}\nweight: people\n"
	var got []string
	for _, p := range surveyOf(t, []byte(table), columns) {
		hip, known := p.Body.Measurements["hip"]
		got = append(got, fmt.Sprintf("%v %v %v %v", p.Weight, known, hip.Readings, len(p.Body.Measurements)))
	}
	// n2 is a man, n3 has no hip, n4 and n5 stand for nobody.
	want := []string{"2.5 true [{1011000000 101.1}] 2", "1 false [] 1"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestSurveyProblems(t *testing.T) {
	voc := vocabulary(t)
	const columns = "kind: columns\ncolumns: {hip: hip}\nunits: cm\nweight: people\n"
	for _, c := range []struct{ name, columns, table, want string }{
		{"a column twice", columns, "hip,hip,people\n", "survey.csv:1:5: error[FA0313]: the column `hip` is there twice"},
		{"a column not there", columns, "hip\n100\n", "columns.yaml:4:9: error[FA0371]: the table has no column `people`"},
		{"a short line", columns, "hip,people\n100\n", "survey.csv:2:1: error[FA0314]: the line has 1 cell, but the header has 2"},
		{"no number of people", columns, "hip,people\n100,-1\n", "survey.csv:2:5: error[FA0372]: expected how many people the body stands for, got `-1`"},
		{"no measurement", columns, "hip,people\nNA,1\n", "survey.csv:2:1: error[FA0210]"},
		{"nothing", columns, "", "survey.csv: error[FA0102]: the file is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			said := file.Open("columns.yaml", []byte(c.columns))
			s, header := recipes.OpenSurvey("survey.csv", strings.NewReader(c.table), recipes.ReadColumns(said, voc), "", voc)
			got := append(header.Problems(), said.Problems()...)
			for s != nil && s.Bodies != nil {
				line, err := s.Next()
				if err != nil {
					break
				}
				_, _, problems := s.Person(line)
				got = append(got, problems...)
			}
			if len(got) != 1 || !strings.HasPrefix(got[0].String(), c.want) {
				t.Errorf("got %v, want %s", got, c.want)
			}
		})
	}
}

// BenchmarkCover looks at as many people as two surveys have together.
func BenchmarkCover(b *testing.B) {
	q := coverRequest(b, "", "hangs_from: shoulder")
	p := population(b, "soldiers-women")
	for b.Loop() {
		if _, err := engine.Cover(q, engine.Survey{Name: p.Name, People: p.Crowd(14_000)}); err != nil {
			b.Fatal(err)
		}
	}
}
