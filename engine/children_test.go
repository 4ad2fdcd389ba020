package engine_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
)

// sleepSet is a child's close-fitting sleep set of one size, on a chart by height.
func sleepSet(size, height string, more ...string) trial {
	return trial{recipe: "child-close-sleepwear", body: wren("height: " + height),
		pattern: chart(append(more, "recipe: child-close-sleepwear", "sizes: ["+size+"]", "body: {height: ["+height+"]}")...)}
}

// saying is what a caution of an answer says, or nothing.
func saying(a *engine.Answer, id string) string {
	i := slices.IndexFunc(a.Cautions, func(c engine.Caution) bool { return c.ID == id })
	if i < 0 {
		return ""
	}
	return a.Cautions[i].Say
}

// A size is matched by what its name means, else by its height, and what matches
// none is said.
func TestChildrensSizesByWhatTheyMean(t *testing.T) {
	for _, c := range []struct{ label, height, want string }{
		{"8", "128", "size 8 "},
		{"2T", "92", "size 2 "},
		{"6x", "119", "size 6X "},
		{"12-18 mos", "83", "size 12-18 mos "},
		{"12-18M", "83", "size 12-18 mos (12-18M by its name)"},
		{"18M", "83", "size 12-18 mos (18M by its name)"}, // up to 18 months
		{"24 months", "90", "size 18-24 mos (24 months by its name)"},
		{"6-12m", "74", "size 9-12 mos (6-12m by its name)"}, // beyond nine months, and the smallest that holds
		{"1", "78", "size 9-12 mos (1 by its name)"},
		{"1-2", "84", "size 12-18 mos (1-2 by its name)"},
		{"4-5 years", "108", "size 4 (4-5 years by its name)"},
		{"104", "104", "size 4 (104 by its name)"},
		{"110/116", "113", "size 5 (110/116 by its name)"},
		{"119 cm", "119", "size 6X (119 cm by its name)"},
		{"S", "121.9", "size 6X (S by the height on the chart)"},
		{"S", "122", "size 7 (S by the height on the chart)"},
		{"8-6", "128", "size 8 (8-6 by the height on the chart)"}, // no range
	} {
		a := sleepSet(`"`+c.label+`"`, c.height).advise(t)
		contains(t, c.label+" at "+c.height, saying(a, "sleepwear-conditions"), "as "+strings.TrimSpace(c.want)+" it")
	}
	for _, c := range []struct{ label, height, id, want string }{
		{"16", "176", "sleepwear-maximum-not-known", "those end with size 14"},
		{"17", "160", "sleepwear-maximum-not-known", "those end with size 14"},
		{"6M", "66", "sleepwear-for-an-infant", "to nine months"},
		{"68", "68", "sleepwear-for-an-infant", "to nine months"},
		{"NB", "56", "sleepwear-for-an-infant", "to nine months"},
	} {
		a := sleepSet(c.label, c.height).advise(t)
		contains(t, c.label, saying(a, c.id), c.want)
		is(t, "conditions of "+c.label, saying(a, "sleepwear-conditions"), "")
	}
	// A type of one's own that goes by the chest: nothing says a height, or the body does.
	byChest := garment("draft: children", "close_sleepwear: true", "controlling: chest", "stretch: {needed: 20 %}", "zones: {chest: {role: decides, ease: -10 % .. 0 %}}")
	pattern := chart("sizes: [S]", "body: {chest: [57]}", "finished: {chest: [56.1]}")
	a := trial{pattern: pattern, recipe: byChest, body: wren("chest: 57")}.advise(t)
	contains(t, "no height", saying(a, "sleepwear-maximum-not-known"), "neither age nor height")
	a = trial{pattern: pattern, recipe: byChest, body: wren("chest: 57", "height: 105")}.advise(t)
	contains(t, "the body's height", saying(a, "sleepwear-over-its-maximum"), "size 4 (S by your height), may measure at most 56 cm")
}

// Where nothing says how old or how tall the child is, the rules on cords are told
// rather than not.
func TestCordsOfASizeThatSaysNothing(t *testing.T) {
	byChest := garment("draft: children", "controlling: chest", "zones: {chest: {role: decides, ease: 4 cm .. 12 cm}}")
	a := trial{pattern: chart("sizes: [S]", "body: {chest: [57]}", "cords: [{where: neck}, {where: waist, free: 12 cm, toggle: true, tacked: false}]"), recipe: byChest, body: wren("chest: 57")}.advise(t)
	contains(t, "neck", saying(a, "cord-at-the-neck-us"), "size S (which says neither age nor height)")
	contains(t, "neck", saying(a, "cord-at-the-neck-europe-young"), "up to 7 years")
	for _, want := range []string{"This one leaves too much.", "This one has a toggle or knot.", "This one is not stitched down.", "This is no outerwear"} {
		contains(t, "waist", saying(a, "cord-at-the-waist-us"), want)
	}
	// A woman's garment has none of it.
	a = trial{pattern: chart("sizes: [8]", "body: {hip: [96]}", "cords: [{where: neck}]"), recipe: garment(), body: wren("hip: 96")}.advise(t)
	is(t, "cautions", saying(a, "cord-at-the-neck-us"), "")
	is(t, "not judged", strings.Contains(asJSON(t, a.NotChecked), "cord-"), false)
}

// Each cord of a child's jacket by the rules that are told of it, whatever the size is called.
func TestCordsOfAJacket(t *testing.T) {
	for _, c := range []struct{ size, height, cord, want string }{
		{"S", "", "{where: hood}", "cord-at-the-neck-europe-young cord-at-the-neck-us"},
		{"S", "", "{where: waist, free: 5 cm, tacked: true}", ""},
		{"S", "", "{where: waist, free: 12 cm, tacked: true}", "cord-at-the-waist-us"}, // over 3 in, within 14 cm
		{"104", "104", "{where: waist, free: 12 cm, tacked: true}", "cord-at-the-waist-us"},
		{"104", "104", "{where: waist, free: 5 cm, toggle: true, tacked: true}", "cord-at-the-waist-us cord-loose-europe"},
		{"104", "104", "{where: hem, free: 5 cm, tacked: false}", "cord-at-the-waist-us cord-loose-europe"},
		{"104", "104", "{where: waist, free: 14.1 cm, tacked: true}", "cord-at-the-waist-us cord-too-long-europe"},
		{"104", "104", "{where: back, free: 5 cm}", "cord-at-the-back"},
		{"18m", "83", "{where: hood}", "cord-at-the-neck-europe-young"}, // below 2T
		{"18m", "83", "{where: waist, free: 12 cm, tacked: true}", ""},
		{"18m", "83", "{where: waist, free: 5 cm, toggle: true, tacked: true}", "cord-loose-europe"},
		{"10", "150", "{where: hood}", "cord-at-the-neck-europe-older cord-at-the-neck-us"},
	} {
		lines, body := []string{"sizes: [" + c.size + "]", "body: {chest: [57]}", "cords: [" + c.cord + "]"}, []string{"chest: 57"}
		if c.height != "" {
			lines[1], body = "body: {chest: [57], height: ["+c.height+"]}", append(body, "height: "+c.height)
		}
		jacket := garment("draft: children", "outerwear: true", "controlling: chest", "zones: {chest: {role: decides, ease: 4 cm .. 12 cm}}")
		a := trial{pattern: chart(lines...), recipe: jacket, body: wren(body...)}.advise(t)
		told := slices.DeleteFunc(cautions(a), func(id string) bool { return !strings.HasPrefix(id, "cord-") })
		is(t, c.size+" "+c.cord, strings.Join(told, " "), c.want)
		for _, id := range told { // each says how far it was checked, and that others decide
			said := caution(t, a, id)
			remembered := strings.Contains(said.Source, "not checked against the source")
			is(t, id+" has a status", remembered != strings.Contains(said.Source, "(verified)"), true)
			is(t, id+" says that it is from memory", strings.Contains(said.Fix, "from memory"), remembered)
			contains(t, id, strings.ToLower(said.Fix), "local rules and a qualified person decide")
		}
	}
}

// sleepwearMaxima asks of every figure of the regulation: a garment that measures
// just it is within, and one 2 mm larger is over.
func sleepwearMaxima(c *checking) {
	heights := map[string]string{"9-12 mos": "76", "12-18 mos": "83", "18-24 mos": "90", "6X": "119"}
	words := map[string]string{"seat": "hip"}
	for _, row := range c.published("cpsc_tight_fitting_max.csv") {
		measure, most := cmp.Or(words[row["point"]], row["point"]), c.number(row["max_cm"])
		if row["size"] == "18-24 mos" && measure == "wrist" {
			most = 10.795 // printed 11.0 cm and 4 1/4 in, which is less: the safe reading
		}
		height := cmp.Or(heights[row["size"]], "150")
		over := func(cm float64) bool {
			tr := sleepSet(`"`+row["size"]+`"`, height, fmt.Sprintf("for_girls: %t", row["sex"] == "girls"), fmt.Sprintf("finished: {%s: [%.2f]}", measure, cm))
			tr.body = wren("height: "+height, fmt.Sprintf("%s: %.1f", measure, most))
			return saying(tr.advise(c), "sleepwear-over-its-maximum") != ""
		}
		c.holds(row["size"]+" "+row["sex"]+" "+measure, !over(math.Floor(100*most)/100) && over(most+0.2))
	}
}

// upperArmPoints asks of every size how far down the sleeve its upper arm is measured.
func upperArmPoints(c *checking) {
	for _, row := range c.published("cpsc_upper_arm_point.csv") {
		a := sleepSet(`"`+row["size"]+`"`, "150").advise(c)
		want := "the upper arm " + strings.TrimSuffix(row["distance_down_sleeve_fold_cm"], ".0") + " cm down"
		c.holds(row["size"], strings.Contains(saying(a, "sleepwear-conditions"), want))
	}
}

// The height picks the lengths and the chest the widths, of every children's type; close-fitting sleepwear keeps one line of widths, and never
// a wider one than the chest's.
func TestWidthsAtTheLengthOfAnother(t *testing.T) {
	sizes := []float64{98, 104, 110, 116, 122, 128}
	for _, c := range []struct {
		recipe  string
		drawn   float64 // at the chest
		chest   float64 // 55 in size 98, 2 more in each
		height  float64
		cut     string
		lengths string
	}{
		{"child-dress", 9, 59, 122, "the widths of size 110 at the length of size 122", "122"},
		{"child-dress", 9, 63, 110, "the widths of size 122 at the length of size 110", "110"},
		{"child-dress", 9, 59, 111, "size 110", ""},
		{"child-hooded-jacket", 16, 59, 122, "the widths of size 110 at the length of size 122", "122"},
		{"baby-romper", 6, 59, 116, "the widths of size 110 at the length of size 116", "116"},
		{"child-close-sleepwear", -2, 59, 122, "the widths of size 110 at the length of size 122", "122"},
		{"child-close-sleepwear", -2, 61, 104, "the widths of size 116 at the length of size 104", "104"},
	} {
		var names, heights, chests, waists, made, madeWaists []string
		for k, size := range sizes {
			f := float64(k)
			names, heights = append(names, fmt.Sprintf("%g", size)), append(heights, fmt.Sprintf("%g", size))
			chests, made = append(chests, fmt.Sprintf("%g", 55+2*f)), append(made, fmt.Sprintf("%g", 55+2*f+c.drawn))
			waists, madeWaists = append(waists, fmt.Sprintf("%g", 53+f)), append(madeWaists, fmt.Sprintf("%g", 52+f+max(0, c.drawn)))
		}
		row := func(cells []string) string { return "[" + strings.Join(cells, ", ") + "]" }
		a := trial{recipe: c.recipe, body: wren(fmt.Sprintf("height: %g", c.height), fmt.Sprintf("chest: %g", c.chest), "waist: 51"), cloth: fabric("structure: knit", "stretch: {across: 60 %, along: 40 %}"),
			pattern: chart("recipe: "+c.recipe, "sizes: "+row(names), "body: {height: "+row(heights)+", chest: "+row(chests)+", waist: "+row(waists)+"}",
				"finished: {chest: "+row(made)+", waist: "+row(madeWaists)+"}")}.advise(t)
		name := fmt.Sprintf("%s, chest %g, height %g", c.recipe, c.chest, c.height)
		is(t, name, a.Recommended.Cut(), c.cut)
		is(t, name+", lengths", a.Recommended.Length, c.lengths)
		if follow := strings.Join(a.Grading.Follow, " "); strings.Contains(follow, "Cut the lengths of size "+c.lengths) != (c.lengths != "") {
			t.Errorf("%s: %s", name, follow)
		}
		for _, l := range a.Lines {
			if c.recipe == "child-close-sleepwear" && l.Size != a.Recommended.Size {
				t.Errorf("%s: another line of widths at the %s, %s", name, l.Zone, l.Size)
			}
		}
	}
}
