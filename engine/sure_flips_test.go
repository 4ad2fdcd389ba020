package engine_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// The parabolas of the gathered skirt cross where (h - 42)/2 = (44 - h)/5, at
// (5 x 42 + 2 x 44)/7 = 42.5714 in = 108.131 cm, and where (h - 44)/2 = (46 - h)/5, at
// (5 x 44 + 2 x 46)/7 = 44.5714 in = 113.211 cm.
func TestFlipsByHand(t *testing.T) {
	q := trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: wrenInInches}.request(t)
	a := sure(t, q)
	want := []engine.Flip{{Measurement: "hip", Value: 108.131, To: "16"}, {Measurement: "hip", Value: 113.211, To: "20"}}
	for _, fl := range want {
		if !slices.Contains(a.Flips, fl) {
			t.Errorf("flips are %v, want %v among them", a.Flips, fl)
		}
	}
	// 112.395 + 3 = 115.395 lies beyond the upper flip, 112.395 - 3 = 109.395 not below the lower one.
	again := a.MeasureAgain
	is(t, "measure again", again.Measurement, "hip")
	is(t, "its error", again.Error, 3.0) // two standard deviations of 1.5 cm
	near(t, "above which another size wins", again.High, 113.211)
	is(t, "a lower value within the error", again.Low == nil, true)
	// With the hip known exactly every body has its size: the share grows from what it is to 1.
	if want := 1 - *a.Recommended.Confidence; math.Abs(again.Gain-want) > 0.03 {
		t.Errorf("gain %v, want about %v", again.Gain, want)
	}
	is(t, "in words", why(t, a, "flips/hip").Label, "hip: 16 up to 108.1 cm, 18 from 108.2 cm to 113.2 cm, 20 from 113.3 cm")
	q.Units = quantity.In
	// 42 1/2 < 42.5714 < 42 5/8, and 44 1/2 < 44.5714 < 44 5/8.
	is(t, "in inches", why(t, sure(t, q), "flips/hip").Label, "hip: 16 up to 42 1/2 in, 18 from 42 5/8 in to 44 1/2 in, 20 from 44 5/8 in")
}

// Below a hip of 36 in, at (5 x 36 + 2 x 37)/7, no smaller size is left to win;
// above, the largest is smaller than the body beyond 51 in = 129.54 cm.
func TestFlipsToNone(t *testing.T) {
	body := strings.Replace(wrenInInches, "hip: 44 1/4", "hip: 47", 1)
	a := sure(t, trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: body}.request(t))
	want := engine.Flip{Measurement: "hip", Value: 129.54, To: "none"}
	if !slices.Contains(a.Flips, want) {
		t.Errorf("flips are %v, want %v among them", a.Flips, want)
	}
	contains(t, "in words", why(t, a, "flips/hip").Label, "no size from 129.6 cm")
	is(t, "what to measure again", a.MeasureAgain == nil, true)
}

// With nothing that fits, a flip is where a size begins to.
func TestFlipsFromNone(t *testing.T) {
	body := strings.Replace(wrenInInches, "hip: 44 1/4", "hip: 51 1/8", 1)
	a := sure(t, trial{pattern: quaysideSkirt, recipe: "gathered-skirt", body: body}.request(t))
	is(t, "size", best(a), "none")
	is(t, "more likely than not", *a.NothingFits > 0.5, true)
	want := engine.Flip{Measurement: "hip", Value: 129.54, To: "20"}
	if !slices.Contains(a.Flips, want) {
		t.Errorf("flips are %v, want %v among them", a.Flips, want)
	}
}

// flipCheck asks again beside every flip of one answer.
type flipCheck struct {
	t       *testing.T
	f       *engine.Fitter
	q       engine.Request
	id      string
	flips   int
	brief   int // whose size wins for less than a step
	scanned int
}

// best asks again with one change: a measurement, a stretch or an ease.
func (c *flipCheck) best(measurement string, v float64, unit string) string {
	c.t.Helper()
	q := c.q
	if _, is := q.Body.Measurements[measurement]; is {
		b := *q.Body
		b.Measurements = maps.Clone(b.Measurements)
		b.Measurements[measurement] = taking(length(v))
		q.Body = &b
	} else {
		change, err := engine.ParseChange(fmt.Sprintf("%s=%.6f%s", measurement, v, map[string]string{"": "cm", "percent": "%"}[unit]))
		if err == nil {
			q, err = q.With(change)
		}
		if err != nil {
			c.t.Fatal(err)
		}
	}
	r, err := c.f.Rank(q.Fitting)
	if err != nil {
		c.t.Fatalf("%s, %s=%v: %v", c.id, measurement, v, err)
	}
	return orNone(r.Best)
}

// check asks for an answer and 0.1 cm (or points) before and after each flip;
// with scan it looks whether a nearer value was missed, too.
func (c *flipCheck) check(scan bool) {
	c.t.Helper()
	q := c.q
	q.Sure = true
	a, err := c.f.Advise(q)
	if err != nil {
		c.t.Fatal(err)
	}
	now := best(a)
	found := map[string]map[float64]float64{} // by measurement and way, the value
	for _, fl := range a.Flips {
		c.flips++
		at, known := c.value(fl.Measurement)
		way := math.Copysign(1, fl.Value-at)
		if !known { // an ease or a stretch: the side that keeps the size is before
			if way = 1; c.best(fl.Measurement, fl.Value-0.1, fl.Unit) != now {
				way = -1
			}
		} else if found[fl.Measurement] == nil {
			found[fl.Measurement] = map[float64]float64{}
		}
		if known {
			found[fl.Measurement][way] = fl.Value
		}
		before := fl.Value - way*0.1
		if known && (before-at)*way < 0 {
			before = at
		}
		if got := c.best(fl.Measurement, before, fl.Unit); got != now {
			c.t.Errorf("%s: %v, and before it, at %v, %s wins instead of %s", c.id, fl, before, got, now)
		}
		if got := c.best(fl.Measurement, fl.Value+way*0.1, fl.Unit); got != fl.To {
			c.brief++
			just := 0.0011 // the value is rounded to 0.001 cm or 0.01 points
			if fl.Unit == "percent" {
				just = 0.011
			}
			if got := c.best(fl.Measurement, fl.Value+way*just, fl.Unit); got != fl.To {
				c.t.Errorf("%s: %v, and beyond it %s wins", c.id, fl, got)
			}
		}
	}
	if scan {
		c.scan(found, now)
	}
}

// value is the body's measurement in centimetres.
func (c *flipCheck) value(measurement string) (float64, bool) {
	t, ok := c.q.Body.Measurements[measurement]
	if !ok {
		return 0, false
	}
	return t.Readings[0].Length.Cm(), true
}

// scan steps along every measurement of the body, 0.1 cm by 0.1 cm, up to its
// flip or 20 cm far: no other size may win before.
func (c *flipCheck) scan(found map[string]map[float64]float64, now string) {
	c.t.Helper()
	for name := range c.q.Body.Measurements {
		at, _ := c.value(name)
		for _, way := range []float64{-1, 1} {
			flip, any := found[name][way]
			for n := 1; n <= 200; n++ {
				v := at + way*float64(n)*0.1
				if v <= 0 || any && (v-flip)*way > -0.001 {
					break
				}
				c.scanned++
				if got := c.best(name, v, ""); got != now {
					c.t.Errorf("%s: at %s=%v %s wins instead of %s; the flip told is %v", c.id, name, v, got, now, found[name])
					break
				}
			}
		}
	}
}

// Every flip of 500 real bodies on five patterns is asked again 0.1 cm before and
// after it, and of every fiftieth body no nearer one is found by a scan.
func TestFlipsOfRealBodies(t *testing.T) {
	bodies := bodiesOrSkip(t)
	asked := 500
	if quick() {
		asked = 50
	}
	for _, name := range []string{"gathered-skirt", "shirt", "knit-tee", "leggings", "woven-trousers"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newSurvey(t, name, inventions[1])
			// Flips do not hang on the plausible bodies: a few of them are enough here.
			voc := changedVocabulary(t, func(*engine.Measure) {}, func(l *engine.Limits) { l.SureBodies, l.SureSteps = 16, 16 })
			f, err := engine.Prepare(s.pattern, s.recipe, sharedRules(t), voc)
			if err != nil {
				t.Fatal(err)
			}
			c := &flipCheck{t: t, f: f}
			done := 0
			for i := 0; i < len(bodies) && done < asked && !t.Failed(); i += len(bodies)/asked/2 + 1 {
				b := bodies[i]
				if s.by(b) == "" {
					continue
				}
				c.id = b.Name
				c.q = engine.Request{Pattern: s.pattern, Recipe: s.recipe, Rules: sharedRules(t), Vocabulary: voc,
					Fitting: engine.Fitting{Body: b, Cloth: s.fabric(s.recipe), Units: quantity.Cm}}
				c.check(done%50 == 0 && !quick())
				done++
			}
			t.Logf("%d bodies, %d flips, %d of them for less than 0.1 cm, %d values scanned", done, c.flips, c.brief, c.scanned)
			if done < asked/5 || c.flips < done {
				t.Errorf("only %d bodies and %d flips were tried", done, c.flips)
			}
		})
	}
}

// Another size is never said to win at the value there is now, as it is printed.
func TestFlipsAreElsewhere(t *testing.T) {
	for _, units := range []quantity.Unit{quantity.Cm, quantity.In} {
		for name, requests := range exampleRequests(t, units) {
			t.Run(name+"/"+string(units), func(t *testing.T) {
				t.Parallel()
				for i, q := range requests {
					q.Sure = true
					a, err := engine.Advise(q)
					if err != nil || quick() && i > 0 {
						continue // an example without an answer
					}
					for _, fl := range a.Flips {
						said := why(t, a, "flips/"+fl.Measurement).Label
						if now := nowPrinted(a, q, fl); now != "" && winsAt(said, orNoSize(best(a)), now) {
							t.Errorf("example %d, where it is %s now: %s", i+1, now, said)
						}
					}
				}
			})
		}
	}
}

func orNoSize(best string) string {
	if best == "none" {
		return "no size"
	}
	return best
}

// winsAt tells whether words on flips let a size other than the best win at a value.
func winsAt(said, best, value string) bool {
	_, said, _ = strings.Cut(said, ": ")
	return slices.ContainsFunc(strings.Split(said, ", "), func(part string) bool {
		return !strings.HasPrefix(part, best+" ") && (strings.HasSuffix(part, " up to "+value) || strings.HasSuffix(part, " from "+value))
	})
}

// nowPrinted is the figure that a flip is about as it is printed now; empty where it is neither a measurement nor an ease wanted.
func nowPrinted(a *engine.Answer, q engine.Request, fl engine.Flip) string {
	if t, ok := q.Body.Measurements[fl.Measurement]; ok && len(t.Readings) == 1 {
		return t.Readings[0].Length.Format(q.Units)
	}
	zone, _ := strings.CutPrefix(fl.Measurement, "ease=")
	for _, z := range a.Sizes[0].Zones {
		switch {
		case z.Zone != zone || z.Wanted == nil || len(q.Over) > 0:
		case z.Unit == "percent":
			return quantity.FormatPercent(*z.Wanted)
		default:
			return quantity.FormatCm(*z.Wanted, q.Units)
		}
	}
	return ""
}
