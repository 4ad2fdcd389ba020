package engine_test

import (
	"strings"
	"testing"
)

// What was measured and is not used is told, with what would make it count; what the
// chart, a zone, an opening or an alteration goes by is not.
func TestNotUsed(t *testing.T) {
	dress := func(drafted string) string {
		return chart("drafted_for: {"+drafted+"}", "sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]}")
	}
	for _, c := range []struct{ name, recipe, pattern, body, want string }{
		{"nothing in a dress goes by a calf", "shirt-dress", dress("cup: 5"), "bust: 92, calf: 36", "calf: nothing in a shirt dress is cut by that"},
		{"a zone goes by it, though the pattern gives nothing there", "shirt-dress", dress("cup: 5"), "bust: 92, hip: 100", ""},
		{"the chart counts bust and chest as one", "shirt-dress", dress("cup: 5"), "bust: 92, chest: 93", "chest: your bust counts there"},
		{"it was not said for which it is drafted", "shirt-dress", dress("cup: 5"), "bust: 92, bust_span: 18", "bust_span: the pattern does not say which bust span it is drafted for: add that if its maker does"},
		{"as drafted, so it was looked at", "shirt-dress", dress("bust_span: 18"), "bust: 92, bust_span: 18", ""},
		{"the garment says what fits", "shirt-dress", chart("sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102], back_width: [37]}"), "bust: 92, back_width: 36", ""},
		{"a slope without its length", "shirt-dress", dress("shoulder_slope: 22 degrees"), "bust: 92, shoulder_slope: 22 degrees", "shoulder_slope: your shoulder length is not measured"},
		{"a length without its slope", "shirt-dress", dress("shoulder_slope: 22 degrees"), "bust: 92, shoulder_length: 12", "shoulder_length: the pattern does not say which shoulder length it is drafted for: add that if its maker does"},
		{"a slope that nobody drafted for", "shirt-dress", dress("shoulder_length: 12"), "bust: 92, shoulder_length: 12, shoulder_slope: 22", "shoulder_slope: the pattern does not say which shoulder slope it is drafted for: add that if its maker does"},
		{"two sides are compared with one another", "shirt-dress", dress("cup: 5"), "bust: 92, shoulder_length: {left: 12, right: 13}", ""},
		{"a front beside no back", "shirt-dress", dress("front_waist_length: 43, back_waist_length: 41"), "bust: 92, front_waist_length: 44", "front_waist_length: your back waist length is not measured"},
		{"an upper bust without a cup", "shirt-dress", chart("sizes: [M]", "body: {bust: [92]}", "finished: {bust: [102]}"), "bust: 92, upper_bust: 88", "upper_bust: the pattern does not say which cup it is drafted for: add that if its maker does"},
		{"an upper bust with one", "shirt-dress", dress("cup: 5"), "bust: 92, upper_bust: 88", ""},
		{"trousers hang from no shoulder", "woven-trousers", chart("sizes: [M]", "body: {hip: [100]}", "finished: {hip: [107.6]}"), "hip: 100, upper_bust: 88", "upper_bust: nothing in a pair of woven trousers is cut by that"},
		{"the leg waits for its pattern, and says so in a step", "woven-trousers", chart("sizes: [M]", "body: {hip: [100]}", "finished: {hip: [107.6]}"), "hip: 100, inside_leg: 80", ""},
		{"a hem that the pattern cannot be held against", "a-line-skirt", chart("sizes: [M]", "body: {hip: [100]}", "finished: {hip: [108]}"), "hip: 100}\nwanted: {skirt_length: at the knee", "skirt_length: you asked where the hem is to end, and the pattern does not say how long it is: measure that on the pattern and add it to the finished measurements"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, n := range (trial{pattern: c.pattern, recipe: c.recipe, body: wren(c.body)}).advise(t).NotUsed {
				got = append(got, n.Measurement+": "+n.Because)
			}
			is(t, "not used", strings.Join(got, "\n"), c.want)
		})
	}
}
