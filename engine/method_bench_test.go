package engine_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// The measured case: 20 sizes, 6 zones of which 4 decide, 25 rules of which 6
// can rule a size out.
const benchSizes, benchZones = 20, 6

var (
	benchNames = [benchZones]string{"bust", "upper_arm", "waist", "high_hip", "hip", "thigh"}
	benchBody  = [benchZones]float64{92.5, 30.5, 76.3, 91.1, 106.2, 60.2}
	benchFirst = [benchZones]float64{70, 22, 54, 68, 76, 44} // of the chart, in cm
	benchStep  = [benchZones]float64{3, 0.8, 3, 3, 3, 1.5}
	benchDrawn = [benchZones]float64{8, 5, 6, 7, 8, 5}
	benchDrift = [benchZones]float64{0.1, 0.05, 0.1, 0.1, 0.15, 0.05} // more drawn ease in each larger size
	benchLow   = [benchZones]float64{5, 3, 3, 4, 5, 3}
	benchHigh  = [benchZones]float64{12, 8, 10, 12, 14, 9}
	benchDoes  = [benchZones]bool{true, false, true, true, true, false} // decide
)

func benchRecipe() string {
	var zones []string
	for z, name := range benchNames {
		role := "mended"
		if benchDoes[z] {
			role = "decides"
		}
		zones = append(zones, fmt.Sprintf("  %s: {role: %s, ease: %v cm .. %v cm}", name, role, benchLow[z], benchHigh[z]))
	}
	return garment("zones:\n"+strings.Join(zones, "\n"), "size_moves: {down: 2, up: 2}", "between_sizes: larger")
}

func benchCell(z, s int) (body, finished float64) {
	body = math.Round((benchFirst[z]+benchStep[z]*float64(s))*100) / 100
	return body, math.Round((body+benchDrawn[z]+benchDrift[z]*float64(s))*100) / 100
}

func benchPattern() string {
	var sizes []string
	for s := range benchSizes {
		sizes = append(sizes, fmt.Sprint(s+1))
	}
	rows := func(of func(z, s int) float64) string {
		var b strings.Builder
		for z, name := range benchNames {
			cells := make([]string, benchSizes)
			for s := range cells {
				cells[s] = fmt.Sprint(of(z, s))
			}
			fmt.Fprintf(&b, "\n  %s: [%s]", name, strings.Join(cells, ", "))
		}
		return b.String()
	}
	return chart("sizes: ["+strings.Join(sizes, ", ")+"]",
		"body:"+rows(func(z, s int) float64 { v, _ := benchCell(z, s); return v }),
		"finished:"+rows(func(z, s int) float64 { _, v := benchCell(z, s); return v }))
}

func benchWearer() string {
	var ms []string
	for z, name := range benchNames {
		ms = append(ms, fmt.Sprintf("%s: %v", name, benchBody[z]))
	}
	return wren(ms...)
}

// Each set of rules has 6 that stop and 19 that warn or note. The rules of the
// first look at the whole garment, once a size; of the second 9 look at every zone.
const rulesOnce = `
stop whole  hip-no-room      ease.hip < 4
stop whole  bust-no-room     ease.bust < 4
stop whole  waist-burst      ease.waist < low.waist - 4
warn whole  hip-close        ease.hip < low.hip
warn whole  bust-close       ease.bust < low.bust
warn whole  waist-close      ease.waist < low.waist
warn whole  hip-wide         ease.hip > high.hip
note whole  thigh-unlike     abs(ease.thigh - drawn.thigh) > 3
note whole  hip-unlike       abs(ease.hip - wanted.hip) > 2 * 1.5
` + rulesOfBoth

const rulesByZone = `
stop zone   no-room          zone.decides and zone.ease_cm < 4
stop zone   burst            zone.decides and zone.ease < zone.low - 4
stop zone   far-too-wide     zone.decides and zone.ease > zone.high + 5
warn zone   close            zone.ease < zone.low
warn zone   wide             zone.ease > zone.high
warn zone   unlike-drawn     abs(zone.ease - zone.drawn) > 3
warn zone   unlike-wanted    abs(zone.ease - zone.wanted) > 2 * 1.5
note zone   mended-work      zone.role == "mended" and abs(zone.ease - zone.wanted) > 1
note zone   length-or-girth  zone.kind == "length" and zone.ease < 0
` + rulesOfBoth

const rulesOfBoth = `
stop whole  hip-closed       ease.hip < 2 and cloth.structure == "woven"
stop whole  bust-closed      ease.bust < 2 and ease.waist < 1
stop whole  arm-closed       finished.upper_arm < body.upper_arm + 2
warn whole  moved            size.moves > size.moves_up or size.moves < 0 - size.moves_down
warn whole  waist-over-hip   body.waist > body.hip
warn whole  hip-over-bust    ease.hip > ease.bust + 1
note whole  tapered          finished.hip < finished.bust
note whole  deep-waist       body.hip - body.waist > 22
warn whole  thigh-close      ease.thigh < 3 and ease.hip < 6
note whole  arm-roomy        ease.upper_arm > 6 or finished.upper_arm > 40
note whole  smaller          size.moves < 0
note whole  larger           size.moves > 1
warn whole  stiff            stretch.round < 2 and ease.high_hip < 6
note whole  straight         between(finished.hip - finished.waist, 10, 20)
warn whole  uneven           max(ease.bust, ease.hip) - min(ease.bust, ease.hip) > 4
note whole  share            ease.hip / finished.hip < 0.07
`

func benchRuleFile(set string) string {
	var b strings.Builder
	b.WriteString("kind: rules\ntopic: bench\nrules:\n")
	for _, line := range strings.Split(strings.TrimSpace(set), "\n") {
		if line == "" {
			continue
		}
		f := strings.Fields(line)
		when := strings.Join(f[3:], " ")
		fmt.Fprintf(&b, "  - {id: %s, severity: %s, when: '%s', say: told, source: common practice", f[2], f[0], when)
		if f[1] == "zone" {
			b.WriteString(", each: zone")
		}
		b.WriteString("}\n")
	}
	return b.String()
}

func benchRequest(b testing.TB, set string) engine.Request {
	b.Helper()
	q := trial{pattern: benchPattern(), recipe: benchRecipe(), body: benchWearer()}.request(b)
	doc := file.Open("rules.yaml", []byte(benchRuleFile(set)))
	q.Rules = rules.Read(doc, q.Vocabulary, rules.AtOnce)
	for _, p := range doc.Problems() {
		b.Fatal(p)
	}
	return q
}

// byHand is the same sum as a programmer would write it for this one garment.
type byHand struct {
	sizes           []string
	chart, finished [benchZones][]float64
	byZone          bool // the second set of rules
}

func newByHand(byZone bool) *byHand {
	h := &byHand{byZone: byZone}
	for s := range benchSizes {
		h.sizes = append(h.sizes, fmt.Sprint(s+1))
		for z := range benchZones {
			body, made := benchCell(z, s)
			h.chart[z], h.finished[z] = append(h.chart[z], body), append(h.finished[z], made)
		}
	}
	return h
}

const (
	hBust = iota
	hArm
	hWaist
	hHighHip
	hHip
	hThigh
)

type handSize struct {
	s      int
	misfit float64
}

func (h *byHand) rank(body *[benchZones]float64) engine.Ranking {
	n := len(h.sizes)
	chartSize := 0
	for s := range n {
		if math.Abs(h.chart[hHip][s]-body[hHip]) <= math.Abs(h.chart[hHip][chartSize]-body[hHip]) {
			chartSize = s
		}
	}
	var below, above [benchZones]float64
	mid := (n+1)/2 - 1
	for z := range benchZones {
		wanted, width := h.finished[z][mid]-h.chart[z][mid], benchHigh[z]-benchLow[z]
		below[z] = max(min(max(wanted-benchLow[z], width/4), width*3/4), 1)
		above[z] = max(min(max(benchHigh[z]-wanted, width/4), width*3/4), 1)
	}
	placed := make([]handSize, n)
	for s := range n {
		placed[s].s = s
		for z := range benchZones {
			if !benchDoes[z] {
				continue
			}
			distance := h.chart[z][s] - body[z] // ease less drawn ease
			tolerance := above[z]
			if distance < 0 {
				tolerance = below[z]
			}
			share := distance / tolerance
			placed[s].misfit += share * share
		}
	}
	slices.SortFunc(placed, func(a, b handSize) int {
		if math.Abs(a.misfit-b.misfit) <= 1e-9 {
			return b.s - a.s
		}
		return cmp.Compare(a.misfit, b.misfit)
	})
	r := engine.Ranking{ByMisfit: make([]engine.Ranked, n)}
	for i, p := range placed {
		r.ByMisfit[i] = engine.Ranked{Size: h.sizes[p.s], Misfit: p.misfit}
	}
	for _, p := range placed {
		if !h.stopped(body, p.s) {
			r.Best, r.Cautions = h.sizes[p.s], h.told(body, p.s, chartSize)
			break
		}
	}
	return r
}

func (h *byHand) stopped(body *[benchZones]float64, s int) bool {
	ease := func(z int) float64 { return h.finished[z][s] - body[z] }
	if ease(hHip) < 2 || ease(hBust) < 2 && ease(hWaist) < 1 || h.finished[hArm][s] < body[hArm]+2 {
		return true
	}
	if !h.byZone {
		return ease(hHip) < 4 || ease(hBust) < 4 || ease(hWaist) < benchLow[hWaist]-4
	}
	for z := range benchZones {
		if e := ease(z); benchDoes[z] && (e < 4 || e < benchLow[z]-4 || e > benchHigh[z]+5) {
			return true
		}
	}
	return false
}

// told lists ids as the answer does: the gravest first, then the whole garment
// before its zones, then by id.
func (h *byHand) told(body *[benchZones]float64, s, chartSize int) []string {
	var ids []string
	ease := func(z int) float64 { return h.finished[z][s] - body[z] }
	unlike := func(z int) float64 { return math.Abs(ease(z) - (h.finished[z][s] - h.chart[z][s])) }
	tell := func(yes bool, id string) {
		if yes {
			ids = append(ids, id)
		}
	}
	tellOnce := func(yes bool, id string) { tell(yes && !slices.Contains(ids, id), id) }
	hip, bust := ease(hHip), ease(hBust)
	if !h.byZone {
		tell(bust < benchLow[hBust], "bust-close")
		tell(hip < benchLow[hHip], "hip-close")
	}
	tell(hip > bust+1, "hip-over-bust")
	if !h.byZone {
		tell(hip > benchHigh[hHip], "hip-wide")
	}
	tell(s-chartSize > 2 || s-chartSize < -2, "moved")
	tell(ease(hHighHip) < 6, "stiff")
	tell(ease(hThigh) < 3 && hip < 6, "thigh-close")
	tell(max(bust, hip)-min(bust, hip) > 4, "uneven")
	if !h.byZone {
		tell(ease(hWaist) < benchLow[hWaist], "waist-close")
	}
	tell(body[hWaist] > body[hHip], "waist-over-hip")
	if h.byZone {
		for z := range benchZones {
			tellOnce(ease(z) < benchLow[z], "close")
			tellOnce(unlike(z) > 3, "unlike-drawn")
			tellOnce(unlike(z) > 3, "unlike-wanted")
			tellOnce(ease(z) > benchHigh[z], "wide")
		}
	}
	tell(ease(hArm) > 6 || h.finished[hArm][s] > 40, "arm-roomy")
	tell(body[hHip]-body[hWaist] > 22, "deep-waist")
	if !h.byZone {
		tell(unlike(hHip) > 3, "hip-unlike")
	}
	tell(s-chartSize > 1, "larger")
	tell(hip/h.finished[hHip][s] < 0.07, "share")
	tell(s < chartSize, "smaller")
	tell(h.finished[hHip][s]-h.finished[hWaist][s] >= 10 && h.finished[hHip][s]-h.finished[hWaist][s] <= 20, "straight")
	tell(h.finished[hHip][s] < h.finished[hBust][s], "tapered")
	if !h.byZone {
		tell(unlike(hThigh) > 3, "thigh-unlike")
		return ids
	}
	for z := range benchZones {
		tellOnce(!benchDoes[z] && unlike(z) > 1, "mended-work")
	}
	return ids
}

func benchFitter(b testing.TB, set string) (*engine.Fitter, engine.Request) {
	b.Helper()
	q := benchRequest(b, set)
	f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		b.Fatal(err)
	}
	return f, q
}

var benchSets = []struct {
	name, rules string
	byZone      bool
}{{"once", rulesOnce, false}, {"by-zone", rulesByZone, true}}

// TestRankAsByHand checks that the two sums that are measured beside each other
// are the same sum.
func TestRankAsByHand(t *testing.T) {
	for _, set := range benchSets {
		t.Run(set.name, func(t *testing.T) {
			f, q := benchFitter(t, set.rules)
			is(t, "rules", len(q.Rules), 25)
			got, err := f.Rank(q.Fitting)
			if err != nil {
				t.Fatal(err)
			}
			want := newByHand(set.byZone).rank(&benchBody)
			is(t, "best", got.Best, want.Best)
			is(t, "cautions", fmt.Sprint(got.Cautions), fmt.Sprint(want.Cautions))
			is(t, "cautions to tell", len(got.Cautions) > 2, true)
			is(t, "sizes", len(got.ByMisfit), len(want.ByMisfit))
			is(t, "the first by misfit is ruled out", got.ByMisfit[0].Size != got.Best, true)
			for i, w := range want.ByMisfit {
				if g := got.ByMisfit[i]; g.Size != w.Size || math.Abs(g.Misfit-w.Misfit) > 1e-6 {
					t.Errorf("place %d: %v, by hand %v", i+1, g, w)
				}
			}
		})
	}
}

// BenchmarkRank ranks one body beside the same sum by hand in the same run.
func BenchmarkRank(b *testing.B) {
	for _, set := range benchSets {
		b.Run(set.name, func(b *testing.B) {
			f, q := benchFitter(b, set.rules)
			h := newByHand(set.byZone)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Rank(q.Fitting); err != nil {
					b.Fatal(err)
				}
			}
			b.StopTimer()
			hand, ratio := beside(b, func() {
				if _, err := f.Rank(q.Fitting); err != nil {
					b.Fatal(err)
				}
			}, func() {
				if h.rank(&benchBody).Best == "" {
					b.Fatal("none by hand")
				}
			})
			b.ReportMetric(hand, "hand-ns/op")
			b.ReportMetric(ratio, "x-baseline")
		})
	}
}

// beside times two ways of the same in turns, so that a busy machine slows both
// alike, and returns the second's median time and the median ratio.
func beside(b *testing.B, one, other func()) (ns, ratio float64) {
	b.Helper()
	const turns, times = 41, 200
	lap := func(f func()) float64 {
		start := time.Now()
		for range times {
			f()
		}
		return float64(time.Since(start).Nanoseconds()) / times
	}
	var others, ratios []float64
	for range turns {
		a, o := lap(one), lap(other)
		others, ratios = append(others, o), append(ratios, a/o)
	}
	slices.Sort(others)
	slices.Sort(ratios)
	return others[turns/2], ratios[turns/2]
}

// BenchmarkAdvise answers the same case with its explanation, on a prepared
// pattern and from the beginning.
func BenchmarkAdvise(b *testing.B) {
	f, q := benchFitter(b, rulesByZone)
	b.Run("prepared", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := f.Advise(q); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("whole", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := engine.Advise(q); err != nil {
				b.Fatal(err)
			}
		}
	})
}
