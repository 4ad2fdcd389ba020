package engine_test

import (
	"os"
	"slices"
	"testing"
	"time"

	"fitadvisor/engine"
	"fitadvisor/recipes"
)

// BenchmarkSure measures what it costs to tell how sure an answer is and where
// it flips, beside the plain answer in the same run: 20 sizes and 6 zones, and
// a usual pattern of 7 sizes.
func BenchmarkSure(b *testing.B) {
	for _, c := range []struct {
		name string
		q    engine.Request
	}{
		{"once", benchRequest(b, rulesOnce)},
		{"by-zone", benchRequest(b, rulesByZone)},
		{"usual", usualRequest(b)},
	} {
		b.Run(c.name, func(b *testing.B) {
			f, err := engine.Prepare(c.q.Pattern, c.q.Recipe, c.q.Rules, c.q.Vocabulary)
			if err != nil {
				b.Fatal(err)
			}
			plain, sure := c.q, c.q
			sure.Sure = true
			lap := func(q engine.Request) float64 {
				start := time.Now()
				if _, err := f.Advise(q); err != nil {
					b.Fatal(err)
				}
				return float64(time.Since(start).Microseconds()) / 1000
			}
			var beyond, ratios []float64
			b.ReportAllocs()
			for b.Loop() {
				p, s := lap(plain), lap(sure)
				beyond, ratios = append(beyond, s-p), append(ratios, s/p)
			}
			slices.Sort(beyond)
			slices.Sort(ratios)
			b.ReportMetric(beyond[len(beyond)/2], "ms-beyond-plain")
			b.ReportMetric(ratios[len(ratios)/2], "x-plain")
		})
	}
}

// usualRequest is the skirt of the demo: 7 sizes, 2 zones, a woven.
func usualRequest(b testing.TB) engine.Request {
	b.Helper()
	voc := vocabulary(b)
	q := engine.Request{Rules: sharedRules(b), Vocabulary: voc}
	read := func(name string) string {
		text, err := os.ReadFile("../cmd/advisor/demo/" + name)
		if err != nil {
			b.Fatal(err)
		}
		return string(text)
	}
	q.Pattern, _ = recipes.ReadPattern(open(b, "pattern.yaml", read("quayside-skirt.yaml")), voc, nil)
	q.Body = recipes.ReadBody(open(b, "body.yaml", read("wren.yaml")), voc)
	q.Cloth = recipes.ReadCloth(open(b, "cloth.yaml", read("washed-linen.yaml")), voc)
	var err error
	if q.Recipe, err = recipes.Shipped(q.Pattern.Recipe, voc); err != nil {
		b.Fatal(err)
	}
	return q
}
