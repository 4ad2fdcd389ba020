package engine_test

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// Real bodies, measured by trained observers: soldiers aged 17 to 58 (US Army
// Anthropometric Survey ANSUR II, 2012) and civilians of all ages (US National
// Health and Nutrition Examination Survey 2017-2018). The surveys stand beside
// the project, not in it.
const (
	surveys   = "../../shared/data/"
	soldiers  = "ansur2_garment.csv"
	civilians = "nhanes_2017_2018_garment.csv"
)

// surveyed are the columns that mean what the vocabulary means by a word. The
// rest is another measurement: the soldiers' upper arm and forearm are flexed,
// back waist length and crotch length end at the navel, the neck is taken at
// the Adam's apple, the ankle above its bones, the arm straight, the hand
// across its own landmarks, the lower thigh above the knee. A waist at the
// navel, or above the hip bone, is no natural waist. The lengths in likened go with
// the height as those of the vocabulary do, and are nobody's measurement of that name.
var surveyed = map[string][]column{
	soldiers: {
		{"chest_or_bust_cm", "bust"}, {"height_cm", "height"}, {"waist_cm", "waist_navel"}, {"hip_cm", "hip"}, {"thigh_cm", "thigh"}, {"calf_cm", "calf"},
		{"heel_cm", "heel"}, {"neck_base_cm", "neck"}, {"wrist_cm", "wrist"}, {"head_cm", "head"}, {"trunk_cm", "trunk"},
		{"back_width_cm", "back_width"}, {"shoulder_length_cm", "shoulder_length"}, {"inside_leg_cm", "inside_leg"},
		{"back_waist_length_cm", "back_waist_length"}, {"arm_length_cm", "arm_length"},
	},
	civilians: {{"height_cm", "height"}, {"upper_arm_cm", "upper_arm"}, {"waist_cm", "waist_navel"}, {"hip_cm", "hip"}},
}

var likened = []string{"back_waist_length", "arm_length"}

// column of a survey, in centimetres, and the word that it stands for.
type column struct{ name, measurement string }

// realBodies are all bodies of both surveys, under their running numbers.
var realBodies = sync.OnceValues(func() ([]*engine.Body, error) {
	var all []*engine.Body
	for _, survey := range []string{soldiers, civilians} {
		bodies, err := readSurvey(survey)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", survey, err)
		}
		all = append(all, bodies...)
	}
	return all, nil
})

// inTheSurvey is where the invented patterns and the bodies stand.
var inTheSurvey = diag.Range{File: "survey"}

func readSurvey(name string) ([]*engine.Body, error) {
	data, err := os.ReadFile(surveys + name)
	if err != nil {
		return nil, err
	}
	lines, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, err
	}
	bodies := make([]*engine.Body, len(lines)-1)
	for i, line := range lines[1:] {
		if bodies[i], err = readBody(surveyed[name], lines[0], line); err != nil {
			return nil, err
		}
	}
	return bodies, nil
}

// readBody reads one line of a survey; empty cells are gaps.
func readBody(columns []column, header, line []string) (*engine.Body, error) {
	cell := func(name string) string {
		if i := slices.Index(header, name); i >= 0 {
			return line[i]
		}
		return ""
	}
	b := &engine.Body{Name: cell("id"), Units: quantity.Cm, Measurements: map[string]engine.Measurement{}}
	if age, err := strconv.ParseFloat(cell("age_years"), 64); err == nil {
		b.Age = &age
	}
	for _, c := range columns {
		text := cell(c.name)
		if text == "" || slices.Contains(likened, c.measurement) {
			continue
		}
		l, err := quantity.ParseLength(text, quantity.Cm)
		if err != nil {
			return nil, fmt.Errorf("%s of %s: %w", c.name, b.Name, err)
		}
		if c.measurement == "bust" && cell("sex") == "male" {
			c.measurement = "chest"
		}
		b.Measurements[c.measurement] = engine.Measurement{Readings: []engine.Reading{{Length: l, Text: text}}, At: inTheSurvey}
	}
	return b, nil
}

func bodiesOrSkip(t *testing.T) []*engine.Body {
	t.Helper()
	bodies, err := realBodies()
	if err != nil {
		withoutShared(t, err)
	}
	return bodies
}

// withoutShared skips a test where the folder of surveys and published tables is not
// beside the project. Where it should be, in CI beside the folder, that one of its
// files is missing is a failure; a clone by itself skips with CI=true too.
func withoutShared(t testing.TB, err error) {
	t.Helper()
	if !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	if _, missing := os.Stat("../../shared"); os.Getenv("CI") == "true" && missing == nil {
		t.Fatalf("what lies in ../shared must be compared here: %v", err)
	}
	t.Skipf("surveys and published tables are not beside the project (with CI=true they are asked for where there is a folder ../shared): %v", err)
}

// invention is how a pattern for a recipe is made up.
type invention struct {
	name   string
	sizes  int
	every  int  // how many bodies to take a step on, 1 for all of them
	ranges bool // the chart's cells are ranges that meet
	narrow bool // openings let too little through, else enough for the chart's own bodies
	cloth  bool // a cloth is named
}

var inventions = []invention{
	{name: "wide openings", sizes: 10, every: 1},
	{name: "narrow openings", sizes: 12, every: 8, ranges: true, narrow: true, cloth: true},
}

const millimetre = quantity.Millimetre

// chartRow runs in even steps through the middle of all people: from 28 to
// 56 in a hundred of the way between the extremes that the vocabulary knows.
func (v *invention) chartRow(m *engine.Measure) engine.Row {
	first := (m.Least + (m.Most-m.Least)*28/100) / millimetre * millimetre
	step := (m.Most - m.Least) * 28 / 100 / quantity.Length(v.sizes-1) / millimetre * millimetre
	row := make(engine.Row, v.sizes)
	for s := range row {
		low := first + step*quantity.Length(s)
		row[s] = engine.Cell{Low: low, High: low, Known: true, At: inTheSurvey}
		if v.ranges {
			row[s].High = low + step
		}
	}
	return row
}

// wider is a row of the garment: each body of the chart with ease added.
func wider(chart engine.Row, ease func(body quantity.Length) quantity.Length) engine.Row {
	row := make(engine.Row, len(chart))
	for s, c := range chart {
		body := (c.Low + c.High) / 2
		made := (body + ease(body)) / millimetre * millimetre
		row[s] = engine.Cell{Low: made, High: made, Known: true, At: inTheSurvey}
	}
	return row
}

// drawnEase lies two fifths into the range, and one tolerance into an open one.
func drawnEase(z *engine.Zone) func(quantity.Length) quantity.Length {
	if z.Ease == nil {
		return func(quantity.Length) quantity.Length { return 15 * millimetre }
	}
	ease := z.Ease.Low + (z.Ease.High-z.Ease.Low)*2/5
	switch {
	case !z.Ease.HasHigh:
		ease = z.Ease.Low + z.Tolerance
	case !z.Ease.HasLow:
		ease = z.Ease.High - z.Tolerance
	}
	return func(body quantity.Length) quantity.Length {
		if z.Ease.Percent {
			return quantity.Length(float64(body) * ease / 100)
		}
		return quantity.Length(ease)
	}
}

// share is what makes a body's measurement this many times as large.
func share(of float64) func(quantity.Length) quantity.Length {
	return func(body quantity.Length) quantity.Length { return quantity.Length(float64(body) * (of - 1)) }
}

// pattern makes a chart and a garment up for a recipe.
func (v *invention) pattern(r *engine.Recipe, voc *engine.Vocabulary) *engine.Pattern {
	p := &engine.Pattern{At: inTheSurvey, Maker: "Tern Lane", Name: "Survey " + r.Name, Recipe: r.Name, Units: quantity.Cm,
		Chart: map[string]engine.Row{}, Finished: map[string]engine.Row{}}
	for s := range v.sizes {
		p.Sizes = append(p.Sizes, strconv.Itoa(s+1))
	}
	for _, name := range picks(r, voc) {
		p.Chart[name] = v.chartRow(voc.Measure(name))
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		p.Chart[z.Measure] = v.chartRow(voc.Measure(z.Measure))
		switch {
		case z.By == "chart" || z.Role == engine.Held && z.Ease == nil:
		case z.Laps != "":
			p.Finished["overlap"] = wider(make(engine.Row, v.sizes), drawnEase(z))
		default:
			p.Finished[z.Measure] = wider(p.Chart[z.Measure], drawnEase(z))
		}
	}
	for i := range r.Openings {
		v.open(p, r, &r.Openings[i], voc)
	}
	return p
}

// open gives a garment the rows that an opening is judged by, unless they are
// there as zones.
func (v *invention) open(p *engine.Pattern, r *engine.Recipe, o *engine.Opening, voc *engine.Vocabulary) {
	passing := v.chartRow(voc.Measure(o.Passes[0][0]))
	for _, part := range o.Passes[0][1:] {
		for s, c := range v.chartRow(voc.Measure(part)) {
			passing[s] = slices.MaxFunc([]engine.Cell{passing[s], c}, func(a, b engine.Cell) int { return cmp.Compare(a.Low, b.Low) })
		}
	}
	edge, reach := 1.5, 20*quantity.Centimetre
	if v.narrow {
		edge, reach = 0.9/(1+stretchOf(r)/100), 8*quantity.Centimetre // a tenth too little, the cloth stretched
	}
	give := func(name string, row engine.Row) {
		if name != "" && p.Finished[name] == nil {
			p.Finished[name] = row
		}
	}
	give(o.Measure, wider(passing, share(edge)))
	give(o.Elastic, wider(passing, share(edge+0.1)))
	if c := o.Closure; c != nil {
		give(c.From, wider(passing, share(0.8)))
		give(c.Towards, wider(passing, share(1.05)))
		give(c.ReachRow, wider(make(engine.Row, v.sizes), func(quantity.Length) quantity.Length { return reach }))
	}
}

func stretchOf(r *engine.Recipe) float64 { return r.Stretch.Least*2 + 5 }

// fabric is the cloth the recipe asks for, and a little better.
func (v *invention) fabric(r *engine.Recipe) *engine.Cloth {
	if !v.cloth {
		return nil
	}
	across, along, recovery := stretchOf(r), 20.0, 95.0
	c := &engine.Cloth{Name: "survey cloth", At: inTheSurvey, StretchAt: inTheSurvey, Structure: engine.Woven, Across: &across, Along: &along, Recovery: &recovery}
	if r.Stretch.Kind == "needed" {
		c.Structure = engine.Knit
	}
	return c
}

// picks are the measurements that may pick the size, in order; an expression's
// are those it names.
func picks(r *engine.Recipe, voc *engine.Vocabulary) []string {
	if r.Controlling.Formula == nil {
		return r.Controlling.Names
	}
	var names []string
	for _, word := range regexp.MustCompile(`[a-z_]+`).FindAllString(r.Controlling.Formula.Source(), -1) {
		if voc.Measure(word) != nil && !slices.Contains(names, word) {
			names = append(names, word)
		}
	}
	return names
}

// measured is the body's measurement, bust for chest and the other way round.
func measured(b *engine.Body, m *engine.Measure) (quantity.Length, bool) {
	for _, name := range []string{m.Name, m.SameAs} {
		if t, ok := b.Measurements[name]; ok {
			return t.Readings[0].Length, true
		}
	}
	return 0, false
}

// survey judges all real bodies on one invented pattern.
type survey struct {
	invention
	recipe  *engine.Recipe
	voc     *engine.Vocabulary
	picks   []string // what may pick the size, in order
	pattern *engine.Pattern
	fitter  *engine.Fitter

	judged, below, above, ruledOut int
}

func newSurvey(t *testing.T, name string, v invention) *survey {
	t.Helper()
	voc := vocabulary(t)
	r, err := recipes.Shipped(name, voc)
	if err != nil {
		t.Fatal(err)
	}
	s := &survey{invention: v, recipe: r, voc: voc, picks: picks(r, voc), pattern: v.pattern(r, voc)}
	if s.fitter, err = engine.Prepare(s.pattern, r, sharedRules(t), voc); err != nil {
		t.Fatal(err)
	}
	return s
}

// by is the measurement that must pick the size of a body, or "" if it has none.
func (s *survey) by(b *engine.Body) string {
	for _, name := range s.picks {
		if _, ok := measured(b, s.voc.Measure(name)); ok {
			return name
		}
	}
	return ""
}

// offChart is how far a body lies beyond the chart, and whether that is said:
// beyond half a step, or at once where the cells are ranges.
func (s *survey) offChart(b *engine.Body, by string) (off quantity.Length, said bool) {
	row := s.pattern.Chart[by]
	first, last := row[0], row[len(row)-1]
	body, _ := measured(b, s.voc.Measure(by))
	off = min(body-first.Low, 0) + max(body-last.High, 0)
	limit := row[1].Low - row[0].Low
	if s.ranges {
		limit = 0
	}
	return off, 2*max(off, -off) > limit
}

// TestRealBodies puts everybody surveyed through every shipped recipe: all are
// ranked, every twentieth is answered in full. The race detector, which makes
// this ten times slower and is after what runs side by side, sees every twentieth.
func TestRealBodies(t *testing.T) {
	bodies := bodiesOrSkip(t)
	thinner := 1
	if quick() {
		thinner = 20
		t.Logf("under the race detector every %dth of the bodies is judged", thinner)
	}
	for _, name := range recipes.Names() {
		for _, v := range inventions {
			v.every *= thinner
			t.Run(name+", "+v.name, func(t *testing.T) {
				t.Parallel()
				s := newSurvey(t, name, v)
				for i := 0; i < len(bodies) && !t.Failed(); i += v.every { // one body is enough to see what is wrong
					s.judge(t, bodies[i], i/v.every%20 == 0)
				}
				s.covered(t)
			})
		}
	}
}

// quick says that few bodies are enough: with -short, and with -race, which is slow.
func quick() bool {
	info, _ := debug.ReadBuildInfo()
	race := info != nil && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
	return testing.Short() || race
}

func (s *survey) judge(t *testing.T, b *engine.Body, inFull bool) {
	t.Helper()
	fitting := engine.Fitting{Body: b, Cloth: s.fabric(s.recipe), Units: quantity.Cm}
	got, err := s.fitter.Rank(fitting)
	by := s.by(b)
	if by == "" {
		s.unknown(t, b, err)
		return
	}
	if err != nil {
		t.Fatalf("%s: %v", b.Name, err)
	}
	s.judged++
	off, said := s.offChart(b, by)
	if got.Best == "" {
		s.ruledOut++
	} else if slices.Contains(got.Cautions, "off-chart") != said {
		t.Errorf("%s lies %v beyond the chart; cautions: %v", b.Name, off, got.Cautions)
	}
	if off < 0 {
		s.below++
	} else if off > 0 {
		s.above++
	}
	for _, r := range got.ByMisfit {
		if math.IsNaN(r.Misfit) || math.IsInf(r.Misfit, 0) {
			t.Errorf("%s: misfit of size %s is %v", b.Name, r.Size, r.Misfit)
		}
	}
	if inFull {
		s.answer(t, fitting, by, got)
	}
}

// unknown checks the refusal of a body that lacks what picks the size.
func (s *survey) unknown(t *testing.T, b *engine.Body, err error) {
	t.Helper()
	var u *engine.UnknownError
	if !errors.As(err, &u) {
		t.Fatalf("%s has nothing to pick a size by, got %v", b.Name, err)
	}
	is(t, b.Name+": the measurement said to be lacking", u.Measurement, s.picks[0])
}

func (s *survey) answer(t *testing.T, fitting engine.Fitting, by string, ranked engine.Ranking) {
	t.Helper()
	id := fitting.Body.Name
	a, err := s.fitter.Advise(engine.Request{Fitting: fitting})
	if err != nil {
		t.Fatalf("%s: %v", id, err)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Fatalf("%s: %v", id, err) // a number that is not finite
	}
	off, said := s.offChart(fitting.Body, by)
	is(t, id+": measurement that picks the size", a.ChartSize.By, by)
	is(t, id+": off_chart_cm", a.ChartSize.OffChartCm, off.Cm())
	is(t, id+": off the chart is said", slices.ContainsFunc(a.Cautions, func(c engine.Caution) bool { return c.ID == "off-chart" }), said)
	if size, there := a.ChartSize.Each["waist"]; there {
		t.Errorf("%s: a waist at the navel named size %s of a natural waist", id, size)
	}
	checkClaims(t, id, a.Why, fitting.Units)
	s.sizes(t, id, a)
	for i, c := range a.Alterations {
		last := a.Alterations[max(i-1, 0)]
		if slices.Index(engine.Steps(), c.Step) < slices.Index(engine.Steps(), last.Step) || c.Order != i+1 {
			t.Errorf("%s: alteration %s is number %d behind %s", id, c.ID, c.Order, last.ID)
		}
	}
	is(t, id+": best size, ranked and answered", cmp.Or(ranked.Best, "none"), best(a))
}

// sizes checks the order of the sizes and the sums of their points.
func (s *survey) sizes(t *testing.T, id string, a *engine.Answer) {
	t.Helper()
	is(t, id+": sizes", len(a.Sizes), len(s.pattern.Sizes))
	is(t, id+": something is recommended", a.Recommended != nil, !a.Sizes[0].RuledOut)
	for i, size := range a.Sizes {
		at := id + ", size " + size.Size
		is(t, at+": rank", size.Rank, i+1)
		decides := slices.ContainsFunc(size.Zones, func(z engine.ZoneAnswer) bool { return z.Role == engine.Decides })
		if size.Misfit == nil {
			is(t, at+": no misfit, and what decides is judged", decides, false)
			continue
		}
		if last := a.Sizes[max(i-1, 0)]; last.RuledOut && !size.RuledOut {
			t.Errorf("%s ranks after size %s, which is ruled out", at, last.Size)
		} else if last.RuledOut == size.RuledOut && *size.Misfit < *last.Misfit-1e-9 {
			t.Errorf("%s with misfit %v ranks after size %s with %v", at, *size.Misfit, last.Size, *last.Misfit)
		}
		var sum float64
		for _, z := range size.Zones {
			sum += z.Points
			s.zone(t, at+", "+z.Zone, &z)
		}
		is(t, at+": sum of the points", sum, *size.Misfit)
	}
}

var closedSet = []engine.Verdict{"as wanted", "closer", "roomier", "too close", "too roomy", "smaller than the body", "shorter", "longer", "too short", "too long", "not known"}

func (s *survey) zone(t *testing.T, at string, z *engine.ZoneAnswer) {
	t.Helper()
	if !slices.Contains(closedSet, z.Verdict) {
		t.Errorf("%s: verdict %q", at, z.Verdict)
	}
	i := slices.IndexFunc(s.recipe.Zones, func(own engine.Zone) bool { return own.Name == z.Zone })
	if s.recipe.Zones[i].Measure == "waist" {
		t.Errorf("%s: a waist at the navel was judged as a natural waist", at)
	}
	if z.Ease == nil || s.recipe.Zones[i].Laps != "" {
		return // read off the chart, or an overlap
	}
	ease, near := *z.Finished-z.Body, 0.0011 // three figures rounded to 0.001 cm
	if z.Unit == "percent" {
		ease, near = ease/z.Body*100, 0.011
	}
	if math.Abs(*z.Ease-ease) > near {
		t.Errorf("%s: ease %v, want %v", at, *z.Ease, ease)
	}
}

// covered tells whether the bodies tried what they were meant to.
func (s *survey) covered(t *testing.T) {
	t.Helper()
	t.Logf("%d judged, %d below and %d above the chart, %d with every size ruled out", s.judged, s.below, s.above, s.ruledOut)
	if s.judged == 0 {
		if s.knows(s.picks) {
			t.Errorf("nobody could be judged by %v", s.picks)
		}
		return
	}
	if s.every == 1 && s.below+s.above == 0 {
		t.Error("nobody lies beyond the chart")
	}
	shut := slices.ContainsFunc(s.recipe.Openings, func(o engine.Opening) bool {
		return o.Closure == nil && o.Stops && !slices.ContainsFunc(o.Passes, func(p engine.Passage) bool { return !s.knows(p) })
	})
	if s.narrow && shut && s.ruledOut == 0 {
		t.Error("everybody gets in by an opening that is too narrow")
	}
}

// knows tells whether any of the measurements was surveyed.
func (s *survey) knows(names []string) bool {
	return slices.ContainsFunc(names, func(part string) bool {
		return slices.ContainsFunc(surveyed[soldiers], func(c column) bool { return c.measurement == part && !slices.Contains(likened, part) })
	})
}
