package engine_test

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
)

// byHeight asks for a size M with these measurements besides bust and hip.
func byHeight(t *testing.T, recipe, drafted string, measurements ...string) *engine.ByHeight {
	t.Helper()
	pattern := chart("recipe: "+recipe, drafted, "sizes: [M]", "body: {bust: [94], hip: [98]}", "finished: {bust: [106], hip: [106]}")
	return trial{pattern: pattern, recipe: recipe, body: wren(append(measurements, "bust: 94", "hip: 98")...)}.advise(t).ByHeight
}

func likely(t *testing.T, h *engine.ByHeight, measurement string) engine.LikelyLength {
	t.Helper()
	if h == nil {
		t.Fatal("nothing is said of the height")
	}
	i := slices.IndexFunc(h.Lengths, func(l engine.LikelyLength) bool { return l.Measurement == measurement })
	if i < 0 {
		t.Fatalf("nothing is said of the %s: %+v", measurement, h.Lengths)
	}
	return h.Lengths[i]
}

// From the women soldiers of ANSUR II (2012): a length goes with the height by correlation x deviation / deviation of the
// height, and lies within 1.645 x deviation x sqrt(1 - correlation^2) of that for nine in ten.
//
//	arm:  0.794 x 2.94 / 6.42 = 0.3636 a centimetre, x 20 = 7.27; 1.645 x 2.94 x sqrt(1 - 0.794^2) = 2.94: 4.33 to 10.21
//	back: 0.504 x 2.64 / 6.42 = 0.2073, x 20 = 4.15; 1.645 x 2.64 x sqrt(1 - 0.504^2) = 3.75: 0.40 to 7.90
//	leg:  0.849 x 4.46 / 6.42 = 0.5898, x 16 less = -9.44; 1.645 x 4.46 x sqrt(1 - 0.849^2) = 3.88: -13.31 to -5.56
func TestHeightAloneByHand(t *testing.T) {
	for _, c := range []struct {
		name, recipe, drafted, height, measurement string
		more, low, high                            float64
	}{
		{"1.88 m in a shirt for 1.68 m, the arm", "blouse", "drafted_for: {height: 168}", "height: 188", "arm_length", 7.27, 4.33, 10.21},
		{"and the back", "blouse", "drafted_for: {height: 168}", "height: 188", "back_waist_length", 4.15, 0.40, 7.90},
		{"1.52 m in trousers for 1.68 m", "woven-trousers", "drafted_for: {height: 168}", "height: 152", "inside_leg", -9.44, -13.31, -5.56},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := likely(t, byHeight(t, c.recipe, c.drafted, c.height), c.measurement)
			for _, v := range []struct {
				what      string
				got, want float64
			}{{"more", l.More, c.more}, {"low", *l.Low, c.low}, {"high", *l.High, c.high}} {
				if math.Abs(v.got-v.want) > 0.02 {
					t.Errorf("%s: %v, by hand %v", v.what, v.got, v.want)
				}
			}
			contains(t, "who was surveyed", l.Source, "ANSUR II")
		})
	}
}

// What is measured is not guessed at; what hardly differs is not spoken of; a pattern that says no height is
// taken for the usual draft, and that is said.
func TestWhenTheHeightSpeaks(t *testing.T) {
	h := byHeight(t, "blouse", "drafted_for: {height: 168}", "height: 188", "arm_length: 66")
	for _, l := range h.Lengths {
		is(t, "a measured arm is guessed", l.Measurement == "arm_length", false)
	}
	contains(t, "it says that they are soldiers", h.Say, "soldiers")
	is(t, "to measure first", h.Measure, "back_waist_length")
	contains(t, "said", h.Say, "20 cm more than the 168 cm that it is drafted for")
	if h := byHeight(t, "blouse", "drafted_for: {height: 168}", "height: 171"); h != nil {
		t.Errorf("3 cm are less than half of a step of 8: %+v", h)
	}
	if h := byHeight(t, "blouse", "drafted_for: {height: 168}", "arm_length: 66"); h != nil {
		t.Errorf("without a height: %+v", h)
	}
	h = byHeight(t, "blouse", "seam_allowance: 1", "height: 188")
	is(t, "guessed", h.Guessed, true)
	contains(t, "said", h.Say, "That is a guess: this one does not say.")
	// On the figure of drawings the waist is at 105 and the knee at 46 of 168 cm: (105 - 46) / 168 x 20 = 7.02.
	l := likely(t, byHeight(t, "straight-skirt", "drafted_for: {height: 168}", "height: 188"), "waist_to_knee")
	is(t, "more", math.Round(l.More*100)/100, 7.02)
	is(t, "no spread is made up", l.Low == nil && l.High == nil, true)
}

// Of every second soldier of ANSUR II (2012) the table is made, and of a thousand of the women and a thousand of the men left
// it is foretold how long back, arm and inside leg are by the height alone: nine in ten are to lie in the interval of
// nine in ten, and the mean error is printed.
func TestHeightAloneCameTrue(t *testing.T) {
	for draft, sex := range map[string]string{"women": "female", "men": "male"} {
		var known, asked []sample
		for i, s := range soldiersOf(t, sex) {
			switch {
			case i%2 == 0:
				known = append(known, s)
			case len(asked) < 1000:
				asked = append(asked, s)
			}
		}
		measures, more := further(known)
		p := &engine.Population{Name: "half", AtLarge: draft, Measures: measures, Further: more}
		for _, name := range []string{"back_waist_length", "arm_length", "inside_leg"} {
			at := len(ofSoldiers) + slices.Index(ofFurther, name)
			var within, off float64
			for _, s := range asked {
				mean, deviation := p.ByHeight(name, length(s.cm[slices.Index(ofSoldiers, "height")]))
				miss := math.Abs(s.cm[at] - mean.Cm())
				off += miss / float64(len(asked))
				if miss <= vocabulary(t).Limits.HeightSpread*deviation.Cm() {
					within += 1 / float64(len(asked))
				}
			}
			t.Logf("%s, %s by the height of %d: off by %.1f cm on the average, %.1f %% within nine tenths", draft, name, len(asked), off, within*100)
			if math.Abs(within-0.9) > 0.02 || len(asked) < 990 {
				t.Errorf("%s, %s: %.1f %% of %d lie within the interval of nine tenths", draft, name, within*100, len(asked))
			}
		}
	}
	if diff := cmp.Diff(1.645, vocabulary(t).Limits.HeightSpread); diff != "" {
		t.Error(diff)
	}
}
