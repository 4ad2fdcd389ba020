package engine_test

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
)

// people are those whom a population is computed from, and of how many normal
// distributions it is put together.
type people struct {
	name, survey, sex string
	from, before      float64 // years of age, where the survey tells them
	normals           int
	measures          []string
}

var (
	ofSoldiers  = []string{"bust", "waist_navel", "hip", "height"}
	ofCivilians = []string{"waist_navel", "hip", "height"}
	ofChildren  = []string{"waist_navel", "height", "upper_arm"}
)

var peoples = []people{
	{"women", civilians, "female", 20, 200, 5, ofCivilians},
	{"men", civilians, "male", 20, 200, 6, ofCivilians},
	{"women-20-39", civilians, "female", 20, 40, 3, ofCivilians},
	{"women-40-59", civilians, "female", 40, 60, 3, ofCivilians},
	{"women-60", civilians, "female", 60, 200, 3, ofCivilians},
	{"men-20-39", civilians, "male", 20, 40, 3, ofCivilians},
	{"men-40-59", civilians, "male", 40, 60, 3, ofCivilians},
	{"men-60", civilians, "male", 60, 200, 3, ofCivilians},
	{"children", civilians, "", 2, 15, 5, ofChildren},
	{"soldiers-women", soldiers, "female", 0, 0, 7, ofSoldiers},
	{"soldiers-men", soldiers, "male", 0, 0, 5, ofSoldiers},
}

// sample is somebody surveyed: the measurements in centimetres, and for how many
// people they stand.
type sample struct {
	cm     []float64
	weight float64
}

// read reads those of whom all is measured.
func (p *people) read(t testing.TB) []sample {
	t.Helper()
	raw, err := os.ReadFile(surveys + p.survey)
	if err != nil {
		withoutShared(t, err)
	}
	lines, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(column string) int { return slices.Index(lines[0], column) }
	var out []sample
	for _, line := range lines[1:] {
		s := sample{weight: 1}
		if i := at("age_years"); i >= 0 {
			age, err := strconv.ParseFloat(line[i], 64)
			if err != nil || age < p.from || age >= p.before {
				continue
			}
			s.weight, _ = strconv.ParseFloat(line[at("sample_weight")], 64)
		}
		for _, m := range p.measures {
			i := slices.IndexFunc(surveyed[p.survey], func(c column) bool { return c.measurement == m })
			if v, err := strconv.ParseFloat(line[at(surveyed[p.survey][i].name)], 64); err == nil {
				s.cm = append(s.cm, v)
			}
		}
		if len(s.cm) == len(p.measures) && s.weight > 0 && (p.sex == "" || line[at("sex")] == p.sex) {
			out = append(out, s)
		}
	}
	return out
}

// normal is a normal distribution of a share of the samples.
type normal struct {
	share           float64
	mean, deviation []float64
	root            [][]float64 // the triangle whose product with its mirror image is the covariance
	with            [][]float64 // correlations with those before
	covariance      [][]float64
}

// A part is not to shrink to a few people who are alike by chance: it is spread as if
// a hundredth of all were among its own, half as far apart as all are.
const strangers, nearer = 0.01, 0.25

// normalOf has the means and covariances of samples with these weights, strangers of
// the normal distribution among them where it is given.
func normalOf(of []sample, weights []float64, all *normal) normal {
	dimensions := len(of[0].cm)
	n := normal{mean: make([]float64, dimensions), covariance: make([][]float64, dimensions)}
	covariance := n.covariance
	for i, s := range of {
		n.share += weights[i]
		for k, v := range s.cm {
			n.mean[k] += weights[i] * v
		}
	}
	for k := range dimensions {
		n.mean[k] /= n.share
		covariance[k] = make([]float64, k+1)
		for i, s := range of {
			for l := range k + 1 {
				covariance[k][l] += weights[i] / n.share * (s.cm[k] - n.mean[k]) * (s.cm[l] - n.mean[l])
			}
		}
		if all != nil {
			for l, v := range all.covariance[k] {
				covariance[k][l] = (n.share*covariance[k][l] + strangers*nearer*v) / (n.share + strangers)
			}
		}
		n.deviation = append(n.deviation, math.Sqrt(covariance[k][k]))
		n.with = append(n.with, nil)
		row := make([]float64, k+1)
		for l := range k {
			n.with[k] = append(n.with[k], covariance[k][l]/n.deviation[k]/n.deviation[l])
			row[l] = (covariance[k][l] - along(row[:l], n.root[l])) / n.root[l][l]
		}
		row[k] = math.Sqrt(covariance[k][k] - along(row[:k], row))
		n.root = append(n.root, row)
	}
	return n
}

func along(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// density is the logarithm of its density, times its share.
func (n *normal) density(cm []float64) float64 {
	out := math.Log(n.share)
	off := make([]float64, len(cm))
	for k, row := range n.root {
		off[k] = (cm[k] - n.mean[k] - along(off[:k], row)) / row[k]
		out -= off[k]*off[k]/2 + math.Log(row[k])
	}
	return out
}

// settled is how much likelier a round must make the samples to be worth another.
const settled = 1e-7

// fitted puts so many normal distributions together that they are like the samples,
// by expectation and maximisation: at first each has as many, from small to large.
func fitted(of []sample, normals int) []normal {
	total, upto := 0.0, 0.0
	for _, s := range of {
		total += s.weight
	}
	all := normalOf(of, weightsOf(of), nil)
	large := func(s sample) (sum float64) {
		for k, v := range s.cm {
			sum += (v - all.mean[k]) / all.deviation[k]
		}
		return sum
	}
	of = slices.Clone(of)
	slices.SortStableFunc(of, func(a, b sample) int { return cmp.Compare(large(a), large(b)) })
	weights := make([][]float64, normals) // each sample's, by what it belongs to
	for k := range weights {
		weights[k] = make([]float64, len(of))
	}
	for i, s := range of {
		weights[int(upto/total*float64(normals))][i] = s.weight / total
		upto += s.weight
	}
	out := make([]normal, normals)
	for last := math.Inf(-1); ; {
		for k := range out {
			out[k] = normalOf(of, weights[k], &all)
		}
		likely := 0.0
		for i, s := range of {
			densities, sum := make([]float64, normals), 0.0
			for k := range out {
				densities[k] = out[k].density(s.cm)
			}
			most := slices.Max(densities)
			for k := range out {
				densities[k] = math.Exp(densities[k] - most)
				sum += densities[k]
			}
			for k := range out {
				weights[k][i] = s.weight / total * densities[k] / sum
			}
			likely += s.weight / total * (most + math.Log(sum))
		}
		if likely-last < settled {
			return out
		}
		last = likely
	}
}

func weightsOf(of []sample) []float64 {
	var out []float64
	for _, s := range of {
		out = append(out, s.weight)
	}
	return out
}

// figuresOf are the rows of a table that say what a normal distribution is.
func (p *people) figuresOf(n *normal, first ...string) [][]string {
	var out [][]string
	for k, m := range p.measures {
		row := append(slices.Clone(first), m, fmt.Sprintf("%.2f", n.mean[k]), fmt.Sprintf("%.2f", n.deviation[k]))
		for _, before := range []string{"bust", "waist_navel", "hip", "height"} {
			cell := ""
			if l := slices.Index(p.measures[:k], before); l >= 0 {
				cell = fmt.Sprintf("%.3f", n.with[k][l])
			}
			row = append(row, cell)
		}
		out = append(out, row)
	}
	return out
}

// Every figure of the tables of populations is computed here from the surveys, by
// their weights. With -update-why they are written.
func TestPopulationsAreThoseOfTheSurveys(t *testing.T) {
	with := []string{"measurement", "mean_cm", "deviation_cm", "with_bust", "with_waist_navel", "with_hip", "with_height"}
	measures, parts := [][]string{append([]string{"population"}, with...)}, [][]string{append([]string{"population", "part", "share"}, with...)}
	for _, p := range peoples {
		of := p.read(t)
		all := normalOf(of, weightsOf(of), nil)
		measures = append(measures, p.figuresOf(&all, p.name)...)
		for k, n := range fitted(of, p.normals) {
			parts = append(parts, p.figuresOf(&n, p.name, strconv.Itoa(k+1), fmt.Sprintf("%.4f", n.share))...)
		}
	}
	for name, want := range map[string][][]string{"population_measures.csv": measures, "population_parts.csv": parts} {
		sameTable(t, name, want)
	}
}

// sameTable compares a table of rules/data with what it must be, and writes it
// with -update-why.
func sameTable(t *testing.T, name string, rows [][]string) {
	t.Helper()
	var want bytes.Buffer
	if err := csv.NewWriter(&want).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if *updateWhy {
		if err := os.WriteFile("../rules/data/"+name, want.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile("../rules/data/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := gocmp.Diff(want.String(), string(got)); diff != "" {
		t.Errorf("%s, as computed and as it is:\n%s", name, diff)
	}
}

// trialChart is a chart made up by chance: sizes by one measurement, and as much as
// the garment bears to either side at another. All is in millimetres.
type trialChart struct {
	picks, zone          int // columns
	sizes, step          int
	first, beside, bears int // of the smallest size
}

// made makes one up for these people: its middle lies among theirs.
func (p *people) made(of [][]int, by *rand.Rand) trialChart {
	c := trialChart{picks: slices.Index(p.measures, p.picks()), zone: slices.Index(p.measures, "hip"), sizes: 3 + by.IntN(7), step: 30 + 10*by.IntN(4), bears: 30 + by.IntN(50)}
	if p.picks() != "bust" {
		c.zone = slices.Index(p.measures, "waist_navel")
	}
	at := 0.15 + 0.7*by.Float64()
	middle := func(column int) int {
		var all []int
		for _, mm := range of {
			all = append(all, mm[column])
		}
		slices.Sort(all)
		return all[int(at*float64(len(all)))] - c.step*(c.sizes-1)/2
	}
	c.first, c.beside = middle(c.picks), middle(c.zone)
	return c
}

// picks is what picks the size for these people: the first that is known.
func (p *people) picks() string {
	for _, m := range []string{"bust", "hip"} {
		if slices.Contains(p.measures, m) {
			return m
		}
	}
	return "height"
}

// place says whether a body is on the chart, and whether its size fits as drawn: the
// nearest, of two as near the larger, and no further off the chart than half a step.
func (c trialChart) place(mm []int) (on, drawn bool) {
	twice := 2*(mm[c.picks]-c.first) + c.step
	size := min(twice/(2*c.step), c.sizes-1)
	off := mm[c.zone] - c.beside - size*c.step
	on = twice >= 0 && twice <= 2*c.sizes*c.step
	return on, on && max(off, -off) <= c.bears
}

// count are the shares of bodies that are on the chart and that it fits as drawn, in percent.
func (c trialChart) count(of [][]int, weight func(i int) float64) [2]float64 {
	var all, on, drawn float64
	for i, mm := range of {
		w := weight(i)
		all += w
		if is, fits := c.place(mm); is {
			on += w
			if fits {
				drawn += w
			}
		}
	}
	return [2]float64{100 * on / all, 100 * drawn / all}
}

// request asks the program the same.
func (c trialChart) request(t testing.TB, p *people) engine.Request {
	t.Helper()
	row := func(first int) string {
		var cells []string
		for s := range c.sizes {
			cells = append(cells, fmt.Sprintf("%.1f", float64(first+s*c.step)/10))
		}
		return "[" + strings.Join(cells, ", ") + "]"
	}
	var sizes []string
	for s := range c.sizes {
		sizes = append(sizes, strconv.Itoa(s+1))
	}
	picks, zone := p.measures[c.picks], p.measures[c.zone]
	decides := "{role: decides, ease: 6 cm .. 14 cm}"
	finished := fmt.Sprintf("%s: %s, ", picks, row(c.first+100))
	if picks == "height" {
		decides, finished = "{role: decides, by: chart, tolerance: 9 cm}", ""
	}
	return trial{pattern: chart("sizes: ["+strings.Join(sizes, ", ")+"]", fmt.Sprintf("body: {%s: %s, %s: %s}", picks, row(c.first), zone, row(c.beside)),
		fmt.Sprintf("finished: {%s%s: %s}", finished, zone, row(c.beside+100))), body: wren("hip: 90"), recipe: garment("controlling: "+picks,
		fmt.Sprintf("zones: {%s: %s, %s: {role: mended, ease: %.1f cm .. %.1f cm}}", picks, decides, zone, float64(100-c.bears)/10, float64(100+c.bears)/10))}.request(t)
}

// millimetres are the measurements of bodies.
func (p *people) millimetres(of iter.Seq[engine.Person]) (out [][]int) {
	for person := range of {
		var mm []int
		for _, m := range p.measures {
			mm = append(mm, int(math.Round(float64(person.Body.Measurements[m].Readings[0].Length)/float64(millimetre))))
		}
		out = append(out, mm)
	}
	return out
}

// On charts made up by chance the shares of a crowd, on the chart and as drawn, are
// compared with those counted of the people themselves: of the populations as they
// are, and of the single normal distribution that has their means and covariances. A
// crowd may be off by no more than the survey itself is likely to be off the people
// that it stands for. With -update-why the errors are written into the table.
func TestCrowdsAgainstThePeople(t *testing.T) {
	limits := vocabulary(t).Limits
	raw, err := os.ReadFile("../rules/data/populations.csv")
	if err != nil {
		t.Fatal(err)
	}
	table, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range peoples {
		of := p.read(t)
		whole := population(t, p.name)
		single := engine.Population{Parts: []engine.Normal{{Share: 1, Measures: whole.Measures}}}
		off, likely := p.errors(t, of, limits, whole, &single)
		t.Logf("%-15s %d people: off by %.2f points on the average and %.2f at most; a single normal distribution by %.2f and %.2f; the survey itself is likely to be by %.2f",
			p.name, len(of), mean(off[0]), slices.Max(off[0]), mean(off[1]), slices.Max(off[1]), likely)
		if mean(off[0]) > likely || mean(off[0]) > mean(off[1])/2 {
			t.Errorf("%s: a crowd is not like them", p.name)
		}
		row := table[i+1]
		is(t, "line of populations.csv", row[0], p.name)
		row[1], row[4], row[5] = strconv.Itoa(len(of)), fmt.Sprintf("%.1f", mean(off[0])), fmt.Sprintf("%.1f", slices.Max(off[0]))
	}
	sameTable(t, "populations.csv", table)
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// errors are how far each crowd is off the people, in percentage points, and how far
// the survey is likely to be: its standard error, from the shares and the weights.
func (p *people) errors(t *testing.T, of []sample, limits engine.Limits, crowds ...*engine.Population) (off [][]float64, likely float64) {
	t.Helper()
	people := func(yield func(engine.Person) bool) {
		for _, s := range of {
			measured := map[string]float64{}
			for k, v := range s.cm {
				measured[p.measures[k]] = v
			}
			if !yield(someone(s.weight, measured)) {
				return
			}
		}
	}
	weights, by := weightsOf(of), rand.New(rand.NewPCG(1, 2))
	sum := mean(weights)
	surveyed := p.millimetres(people)
	var made [][][]int
	for _, c := range crowds {
		made = append(made, p.millimetres(c.Crowd(limits.CrowdBodies)))
	}
	off = make([][]float64, len(crowds))
	var errors []float64
	for n := range limits.CrowdCharts {
		c := p.made(surveyed, by)
		counted := c.count(surveyed, func(i int) float64 { return weights[i] })
		if n == 0 { // what is counted here is what the program counts
			a, err := engine.Cover(c.request(t, p), engine.Survey{Name: p.name, People: people})
			if err != nil {
				t.Fatal(err)
			}
			on, drawn := 100*(1-a.Shares.OffChart), 100*a.Shares.AsDrawn
			near(t, p.name+": on the chart", &on, counted[0])
			near(t, p.name+": as drawn", &drawn, counted[1])
		}
		for _, v := range counted {
			errors = append(errors, math.Sqrt(v*(100-v)*along(weights, weights))/sum/float64(len(weights)))
		}
		for k, crowd := range made {
			for i, v := range c.count(crowd, func(int) float64 { return 1 }) {
				off[k] = append(off[k], math.Abs(v-counted[i]))
			}
		}
	}
	return off, mean(errors)
}
