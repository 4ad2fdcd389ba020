package engine_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

const (
	cfr       = "16 CFR 1615.1(o) and 1616.2(m), text as of 2026-05"
	threshold = "what just keeps to it passes, and a little more is found"
	named     = "the measurement"
)

var outsideChecks = []outsideCheck{
	{cfr + ": maxima", "verified", "the largest garment of a size that is within its maximum, and one 2 mm larger that is over", 0, "", threshold, sleepwearMaxima},
	{cfr + ": upper arm", "verified", "where the upper arm of a size is measured", 0, "", "the words of the answer", upperArmPoints},
	{"16 CFR 1120, the regulator's pages on drawstrings", "verified", "which cords of which sizes are named", 0, "", threshold, cordsUS},
	{"EN 14682, the Finnish authority's page", "verified", "which cords of which ages and heights are named", 0, "", threshold, cordsEurope},
	{"EN 14682:2014, lengths", "recalled", "how long a cord and a loop may be", 0, "", threshold, cordLengths},
	{"EN 13402-3, letters and numbered sizes", "recalled", "the letter whose range on the chart takes the bust or chest of a numbered size; a letter holds two of them", 0, "", "the letter", lettersAndSizes},
	{"EN 13402-2, controlling dimensions", "recalled", "what picks the size of a garment type first. Skirts and trousers are left out, where the hip picks it, and men's shirts, where the chest does; of children it picks the lengths, and the chest the widths", 0, "", named, controls},
	{"PS 42-70 and ASTM D5585-95, misses", "recalled", "the size of the older chart, read by the bust, for the bodies of the later one", 0, "", "the size, by the pencil", olderAndLater},
	{"ASTM D5585-11e1, Table 1", "verified", "whether a size's girths go together as those of surveyed people do, and whether one typed in the other unit is found", 0, "", "nothing told, and something", girthsGoTogether},
	{"CWU, costume textbook, chapter 16", "verified", "the wearing ease used of a garment type, which is the lowest that any verified source asks for", 0, "", "the ease", func(c *checking) { wearing(c, "CWU") }},
	{"NMSU Guide C-228", "verified", "the wearing ease used is no more than this", 0, "", "the ease", func(c *checking) { wearing(c, "NMSU Guide C-228") }},
	{"NMSU Guide C-209, two editions", "verified", "the wearing ease used of trousers is no more than this", 0, "", "the ease", func(c *checking) { wearing(c, "NMSU Guide C-209") }},
	{"Wikipedia, Ease (sewing)", "verified", "the wearing ease used is no more than this", 0, "", "the ease", func(c *checking) { wearing(c, "Wikipedia") }},
	{"Stretch, by its definition", "arithmetic", "the stretch of a cloth whose gauge readings are given", 1e-6, "%", "rounding", stretches},
	{"Seams, darts, bands and rings", "arithmetic", "sums worked out with a pencil", 0.05, "cm or %", "what is printed to a tenth", pencilled},
	{"Taniyama et al. 1970, shoulder slopes", "verified", "patterns drafted for the mean slope of students' shoulders: either side's mean is no alteration, 4 degrees more are", 0, "", "an alteration or none", shoulderSlopes},
	{"Principles of Pattern Alteration, extension publication", "verified", "from which full bust on its rule would take the smaller size", 0, "", threshold, smallerSize},
	{"US Army survey ANSUR II of 2012", "computed from its rows", "the share of the bodies made up for soldiers that lie below their 5th, 50th and 95th percentile", 2, "percentage points",
		"how far such bodies are off: [makers.md](makers.md)", soldiersPercentiles},
	{"US health survey NHANES 2017-2018", "computed from its rows", "the mean girths of the bodies made up for women", 0.5, "cm", "the means are of those of whom height, waist and hip are all known", civilianMeans},
	{"CDC FastStats, body measurements of 2015-2018", "recalled", "the mean height and waist of the bodies made up for women and men", 1, "cm", "it is of four years, the survey of two of them", fastStats},
}

// toldOf tells whether an answer has a caution.
func toldOf(a *engine.Answer, id string) bool { return saying(a, id) != "" }

// cordsOf is a child's jacket of a size with one cord.
func cordsOf(size, body, cord string) trial {
	return trial{pattern: chart(`sizes: ["`+size+`"]`, "body: {chest: [57]}", "cords: [{"+cord+"}]"), body: "kind: body\nname: Wren\nunits: cm\n" + body + "\n",
		recipe: garment("draft: children", "controlling: chest", "zones: {chest: {role: decides, ease: 4 cm .. 12 cm}}")}
}

func cordsUS(c *checking) {
	const child = "measurements: {chest: 57}"
	told := func(size, cord, id string) bool { return toldOf(cordsOf(size, child, cord).advise(c), id) }
	for _, where := range []string{"neck", "hood"} {
		for size, want := range map[string]bool{"12-18 mos": false, "2T": true, "12": true, "13": false} {
			c.holds("the "+where+", size "+size, told(size, "where: "+where, "cord-at-the-neck-us") == want)
		}
	}
	for _, where := range []string{"waist", "hem"} {
		for size, want := range map[string]bool{"12-18 mos": false, "2T": true, "16": true} {
			c.holds("a toggle at the "+where+", size "+size, told(size, "where: "+where+", tacked: true, toggle: true", "cord-at-the-waist-us") == want)
		}
		for free, want := range map[string]bool{"3 in": false, "3 1/16 in": true} {
			c.holds(free+" free at the "+where, told("8", "where: "+where+", tacked: true, free: "+free, "cord-at-the-waist-us") == want)
		}
		c.holds("not stitched down at the "+where, told("8", "where: "+where+", tacked: false", "cord-at-the-waist-us"))
	}
}

func cordsEurope(c *checking) {
	told := func(body, cord, id string) bool { return toldOf(cordsOf("S", body, cord).advise(c), id) }
	for body, want := range map[string]bool{"age: 7\nmeasurements: {chest: 57}": true, "age: 7.1\nmeasurements: {chest: 57}": false,
		"measurements: {chest: 57, height: 134}": true, "measurements: {chest: 57, height: 134.1}": false} {
		for _, where := range []string{"neck", "hood"} {
			c.holds("the "+where+", "+body, told(body, "where: "+where, "cord-at-the-neck-europe-young") == want)
		}
	}
	for age, want := range map[string]bool{"7.1": true, "14": true, "15": false} {
		c.holds("free ends at the neck, age "+age, told("age: "+age+"\nmeasurements: {chest: 57}", "where: neck, free: 10 cm", "cord-at-the-neck-europe-older") == want)
	}
}

func cordLengths(c *checking) {
	for cord, want := range map[string]bool{"free: 140 mm": false, "free: 141 mm": true, "loop: 75 mm": false, "loop: 76 mm": true} {
		c.holds(cord, toldOf(cordsOf("8", "measurements: {chest: 57}", "where: waist, tacked: true, "+cord).advise(c), "cord-too-long-europe") == want)
	}
}

func lettersAndSizes(c *checking) {
	letters := c.published("en13402_3_letters.csv")
	for _, of := range []struct{ girth, letters, table, column string }{
		{"bust", "women_bust", "en13402_3_women.csv", "bust_cm"}, {"chest", "men_chest", "en13402_3_men.csv", "chest_cm"}} {
		var ranges []string
		for _, row := range letters {
			ranges = append(ranges, row[of.letters+"_from"]+"-"+row[of.letters+"_to"])
		}
		pattern := chart("sizes: ["+strings.Join(columnOf(letters, "code"), ", ")+"]", fmt.Sprintf("body: {%s: [%s]}", of.girth, strings.Join(ranges, ", ")))
		recipe := garment("controlling: "+of.girth, fmt.Sprintf("zones: {%s: {role: decides, ease: 4 cm .. 12 cm}}", of.girth))
		// XS holds 76 and 80 of women, S 84 and 88 ... 3XL 134 and 140; of men XS 84 alone, S 88 and 92 ... 3XL 132 and 138. What is larger has no letter.
		for i, size := range c.published(of.table) {
			letter := 1 + i/2
			if of.girth == "chest" {
				letter = 1 + (i+1)/2
			}
			a := trial{pattern: pattern, recipe: recipe, body: wren(of.girth + ": " + size[of.column])}.advise(c)
			if letter >= len(letters) {
				c.holds(of.girth+" "+size[of.column], a.ChartSize.OffChartCm > 0)
				continue
			}
			c.holds(of.girth+" "+size[of.column], a.ChartSize.Size == letters[letter]["code"] && a.ChartSize.OffChartCm == 0)
		}
	}
}

// typeOf is the shipped garment type that a standard's word is about.
var typeOf = map[string]string{"coat": "coat", "jacket": "tailored-jacket", "dress": "sheath-dress", "blouse": "blouse", "knitwear/T-shirt": "knit-tee", "swimsuit": "swimsuit",
	"nightwear": "nightdress", "underwear bottom": "briefs", "bra": "bralette", "gloves": "gloves", "headwear": "hat", "overcoat": "raincoat",
	"all main garments": "child-dress"}

func controls(c *checking) {
	voc := vocabulary(c)
	words := map[string]string{"hand girth": "hand", "head girth": "head", "hip or waist": "hip"}
	for _, row := range c.published("en13402_2_controls.csv") {
		name := typeOf[row["garment"]]
		if name == "" || row["wearer"] == "men" && row["garment"] != "knitwear/T-shirt" && row["garment"] != "overcoat" {
			continue
		}
		r, err := recipes.Shipped(name, voc)
		if err != nil {
			c.Fatal(err)
		}
		want := row["primary"]
		if w := words[want]; w != "" {
			want = w
		}
		picked := picks(r, voc)
		if r.Draft == engine.ForChildren { // the height picks the lengths, and the size where no chest is known
			picked = picked[max(0, slices.Index(picked, want)):]
		}
		first := voc.Measure(picked[0])
		c.holds(row["wearer"]+"'s "+row["garment"], first.Name == want || first.SameAs == want)
	}
}

func olderAndLater(c *checking) {
	older := c.published("ps_42_70_misses.csv")
	pattern := chart("units: in", "sizes: ["+strings.Join(columnOf(older, "size"), ", ")+"]", "body: {bust: ["+strings.Join(columnOf(older, "bust_in"), ", ")+"]}")
	recipe := garment("controlling: bust", "zones: {bust: {role: decides, ease: 4 cm .. 12 cm}}")
	// By the nearest bust: 32 lies half-way between 31.5 and 32.5, so the larger; 34 - 33.5 = 0.5 and 35 - 34 = 1; and so on.
	want := []string{"8", "10", "10", "12", "14", "16", "18", "18", "20", "22"}
	for i, row := range c.published("astm_d5585_95.csv") {
		a := trial{pattern: pattern, recipe: recipe, body: inches("bust: " + row["bust_in"])}.advise(c)
		c.holds("bust "+row["bust_in"], a.ChartSize.Size == want[i])
	}
}

// girthsOf are the girths of each size by the vocabulary's words.
func girthsOf(c *checking) map[string]map[string]string {
	words := map[string]string{"neck_base": "neck", "upper_chest": "upper_bust", "chest_bust": "bust", "under_bust": "underbust", "waist_curvy": "waist", "head": "head", "shoulder_girth": "shoulder_girth"}
	out := map[string]map[string]string{}
	for _, row := range c.published("astm_d5585_11e1.csv") {
		if word := words[row["girth"]]; word != "" {
			if out[row["size"]] == nil {
				out[row["size"]] = map[string]string{}
			}
			out[row["size"]][word] = row["inches"]
		}
	}
	return out
}

func girthsGoTogether(c *checking) {
	voc := vocabulary(c)
	doubts := func(girths map[string]string) int {
		var lines []string
		for name, value := range girths {
			lines = append(lines, name+": "+value)
		}
		doc := file.Open("body.yaml", []byte(inches(lines...)+"age: 30\n"))
		recipes.ReadBody(doc, voc)
		return len(doc.Problems())
	}
	for size, girths := range girthsOf(c) {
		whole := doubts(girths) == 0
		for name, value := range girths {
			slip := map[string]string{}
			for n, v := range girths {
				slip[n] = v
			}
			slip[name] = fmt.Sprintf("%.1f", c.inches(value)) // the centimetres, in a file of inches
			c.holds("size "+size+", "+name, whole && doubts(slip) > 0)
		}
	}
}

// worn are the garment types that a published row of wearing ease is about, and
// whether it is the lowest there that asks for any room.
var worn = []struct {
	source, garment, point string
	recipe, measure        string
	lowest                 bool
}{
	{"CWU", "bodice", "bust", "sheath-dress", "bust", true},
	{"CWU", "dress", "waist", "sheath-dress", "waist", true},
	{"CWU", "skirt/pants (list 1)", "waist", "straight-skirt", "waist", true},
	{"CWU", "skirt/pants (list 1)", "waist", "woven-trousers", "waist", true},
	{"CWU", "all", "hip", "straight-skirt", "hip", true},
	{"CWU", "all", "hip", "woven-trousers", "hip", true},
	{"CWU", "fitted shirt (list 2, presumably men)", "chest", "mens-shirt", "chest", true},
	{"CWU", "pants (list 2, presumably men)", "seat", mensTrousers, "hip", true},
	{"CWU", "pants (list 2, presumably men)", "waist", mensTrousers, "waist", false},
	{"CWU", "pants (list 2, presumably men)", "thigh", mensTrousers, "thigh", true},
	{"NMSU Guide C-228", "women", "bust", "sheath-dress", "bust", false},
	{"NMSU Guide C-209", "pants", "hip", "woven-trousers", "hip", true},
	{"NMSU Guide C-209", "pants", "thigh", "woven-trousers", "thigh", true},
	{"NMSU Guide C-209", "pants", "knee", "woven-trousers", "knee", true},
	{"Wikipedia", "general (source 1)", "bust", "sheath-dress", "bust", false},
	{"Wikipedia", "general (source 1)", "waist", "straight-skirt", "waist", false},
	{"Wikipedia", "general (source 1)", "hip", "straight-skirt", "hip", false},
	{"Wikipedia", "ready-to-wear (source 2)", "bust", "sheath-dress", "bust", false},
	{"Wikipedia", "ready-to-wear (source 2)", "waist", "straight-skirt", "waist", false},
	{"Wikipedia", "ready-to-wear (source 2)", "hip", "straight-skirt", "hip", true},
}

var mensTrousers = garment("draft: men", "parts: [crotch]", "zones: {hip: {role: decides, ease: 4 cm .. 12 cm}}")

func wearing(c *checking, source string) {
	rows := c.published("ease_minimum.csv")
	for _, w := range worn {
		if w.source != source {
			continue
		}
		i := slices.IndexFunc(rows, func(row map[string]string) bool {
			return strings.HasPrefix(row["source"], source) && row["garment"] == w.garment && row["point"] == w.point && strings.HasPrefix(row["status"], "verified")
		})
		if i < 0 {
			c.Fatalf("no row %s, %s, %s", w.source, w.garment, w.point)
		}
		tr := trial{pattern: chart("sizes: [S]", "body: {hip: [96]}"), recipe: w.recipe, body: wren("hip: 96")}
		used, known := vocabulary(c).Measure(w.measure).WearingEase(tr.request(c).Recipe)
		most := c.inches(rows[i]["ease_min_in"])
		c.holds(w.garment+", "+w.point+" in "+tr.request(c).Recipe.Name, known && used.Cm() <= most && (!w.lowest || used.Cm() == most))
	}
}

func stretches(c *checking) {
	for _, row := range c.published("stretch_examples.csv") {
		text := fabric("structure: knit", fmt.Sprintf("stretch: {across: {from: %s %s, to: %s %s}}", row["relaxed"], row["unit"], row["stretched"], row["unit"]))
		cloth := recipes.ReadCloth(open(c, "cloth.yaml", text), vocabulary(c))
		if cloth.Across == nil {
			c.Fatal("no stretch was read")
		}
		c.near(row["relaxed"]+" to "+row["stretched"], *cloth.Across, c.number(row["percent"]))
	}
}

func pencilled(c *checking) {
	// Body 36 in, finished 38 in: 2 in of ease, 5.08 cm.
	a := trial{pattern: chart("recipe: sheath-dress", "units: in", "sizes: [10]", "body: {bust: [36]}", "finished: {bust: [38]}"), recipe: "sheath-dress", body: inches("bust: 36")}.advise(c)
	c.near("ease at the bust", *zoneOf(c, a, "10", "bust").Ease, 5.08)
	// A band of 66.5 cm on a waist of 70 cm: (70 - 66.5) / 70 = 5 % of reduction, 70 / 66.5 - 1 = 5.26 % of extension.
	a = trial{pattern: chart("sizes: [S]", "body: {waist: [70]}", "finished: {waist: [66.5]}"), body: wren("waist: 70"),
		recipe: garment("controlling: waist", "stretch: {needed: 20 %}", "zones: {waist: {role: decides, ease: -10 % .. 0 %}}")}.advise(c)
	c.near("reduction of a band", *zoneOf(c, a, "S", "waist").Ease, -5)
	c.near("its extension", *why(c, a, "size/S/waist/cloth").Value.Number, 5.26)
	is(c, "within the 10 % that stay comfortable", ranked(a), "S")
	// (11 - 1.25 - 1 + 10 - 1.25) x 2 = 35 in = 88.9 cm.
	flat := laid(c, quantity.In, "", "pieces:", "  - {name: front, copies: 2, width: {hip: 11}, darts: {hip: 1}}", "  - {name: back, copies: 2, width: {hip: 10}}")
	c.near("flat pieces", laidAt(c, flat, "hip").Finished, 88.9)
	// 2 in at two side seams are 1/2 in at each of the 4 cut edges.
	tr := trial{pattern: hipSkirt(), recipe: garment(hipAndWaist), body: wren("waist: 74", "hip: 100")}
	c.near("at each edge", observed(c, answer(c, sewn(c, tr, "M", "hip: let out 2 in in all")), "hip").PerEdge, 1.27)
	// A ring is 2 pi times as long as its radius: what is drawn too wide by so much is cut so much higher.
	for wide, higher := range map[float64]float64{2: 0.318, 4: 0.637, 6: 0.955} {
		a := trial{recipe: "circle-skirt", pattern: chart("recipe: circle-skirt", "sizes: [S]", "body: {waist: [70]}", "finished: {waist: [72]}"), body: wren(fmt.Sprintf("waist: %g", 70-wide))}.advise(c)
		cut := regexp.MustCompile(`Cut its waist edge ([0-9.]+) cm higher`).FindStringSubmatch(caution(c, a, "circle-skirt-ring-cut").Fix)
		if cut == nil {
			c.Fatal("nothing is said of the ring")
		}
		c.near(fmt.Sprintf("a ring %g cm too wide", wide), c.number(cut[1]), higher)
	}
}

func shoulderSlopes(c *checking) {
	altered := func(degrees string) bool {
		a := trial{recipe: "sheath-dress", pattern: chart("recipe: sheath-dress", "drafted_for: {shoulder_slope: 23 degrees}", "sizes: [S]", "body: {bust: [92]}", "finished: {bust: [98]}"),
			body: wren("bust: 92", "shoulder_length: 12", "shoulder_slope: "+degrees+" degrees")}.advise(c)
		return slices.ContainsFunc(a.Alterations, func(x engine.Alteration) bool { return x.ID == "sloping-shoulder" || x.ID == "square-shoulder" })
	}
	for mean, other := range map[string]string{"22.3": "18.3", "23.6": "27.6"} {
		c.holds("a mean slope of "+mean, !altered(mean))
		c.holds(other+" degrees", altered(other))
	}
}

func smallerSize(c *checking) {
	for full, would := range map[string]string{"41 in": "here it would too", "36 1/2 in": "here it would not"} {
		a := trial{pattern: bustDress(36), recipe: "sheath-dress", body: wren("upper_bust: 36 in", "bust: "+full)}.advise(c)
		c.holds("full bust "+full, len(a.Alterations) > 0 && strings.Contains(a.Alterations[0].Because, would))
	}
}

// crowd is what the bodies made up for a population measure, in centimetres.
func (c *checking) crowd(name, measure string) []float64 {
	var out []float64
	for person := range population(c, name).Crowd(vocabulary(c).Limits.CrowdBodies) {
		out = append(out, person.Body.Measurements[measure].Readings[0].Length.Cm())
	}
	return out
}

// soldiersPercentiles reads means and percentiles from the survey's description.
func soldiersPercentiles(c *checking) {
	text, err := os.ReadFile(surveys + "README.md")
	if err != nil {
		c.Fatal(err)
	}
	words := map[string]string{"height": "height", "chest_or_bust": "bust", "waist": "waist_navel", "hip": "hip"}
	for _, row := range regexp.MustCompile(`(?m)^\| (\w+) \| (.*) / (.*) \| (.*) / (.*) \|$`).FindAllStringSubmatch(string(text), -1) {
		for i, who := range []string{"soldiers-women", "soldiers-men"} {
			if words[row[1]] == "" {
				continue
			}
			crowd := c.crowd(who, words[row[1]])
			for k, percentile := range strings.Fields(row[3+2*i]) {
				at, below := c.number(percentile), 0.0
				for _, v := range crowd {
					switch {
					case v < at-0.05:
						below += 100 / float64(len(crowd))
					case v < at+0.05:
						below += 50 / float64(len(crowd))
					}
				}
				c.near(who+", "+row[1]+" below "+percentile, below, []float64{5, 50, 95}[k])
			}
		}
	}
}

func civilianMeans(c *checking) {
	c.near("waist of women", mean(c.crowd("women", "waist_navel")), 98.3)
	c.near("hip of women", mean(c.crowd("women", "hip")), 109.5)
}

func fastStats(c *checking) {
	for _, of := range []struct {
		who, measure, inches string
	}{{"women", "height", "63.5"}, {"women", "waist_navel", "38.7"}, {"men", "height", "68.9"}, {"men", "waist_navel", "40.5"}} {
		c.near(of.measure+" of "+of.who, mean(c.crowd(of.who, of.measure)), c.inches(of.inches))
	}
}
