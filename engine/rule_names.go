package engine

import (
	"math"
	"slices"
	"time"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
)

// scene is what a rule looks at: one size, and where it asks for it one zone,
// one measurement, one opening or one cord.
type scene struct {
	s       int
	zone    int // -1: none
	measure string
	opening *openingFit
	cord    *Cord
	altered *altered
}

// getter reads one name's value: a float64, a string or a bool, or nil where
// it is not known.
type getter struct {
	number func(*judging, *scene) (float64, bool)
	text   func(*judging, *scene) (string, bool)
	flag   func(*judging, *scene) (bool, bool)
}

// term is one name an expression may use.
type term struct {
	name  formula.Name
	local bool // differs between sizes
	get   getter
}

func lengthTerm(name, about string, get func(*judging, *scene) (float64, bool)) term {
	return term{name: formula.Name{Name: name, Dim: formula.Length, About: about}, get: getter{number: inCm(get)}}
}

// inCm gives nanometres as centimetres.
func inCm(get func(*judging, *scene) (float64, bool)) func(*judging, *scene) (float64, bool) {
	return func(j *judging, sc *scene) (float64, bool) {
		v, ok := get(j, sc)
		return v / nanometresPerCm, ok
	}
}

func numberTerm(name string, dim formula.Dim, about string, get func(*judging, *scene) (float64, bool)) term {
	return term{name: formula.Name{Name: name, Dim: dim, About: about}, get: getter{number: get}}
}

func textTerm(name, about string, get func(*judging, *scene) (string, bool)) term {
	return term{name: formula.Name{Name: name, Dim: formula.Text, About: about}, get: getter{text: get}}
}

// wordTerm is a textTerm whose texts are all known.
func wordTerm(name, about string, words []string, get func(*judging, *scene) (string, bool)) term {
	t := textTerm(name, about, get)
	t.name.Words = words
	return t
}

func flagTerm(name, about string, get func(*judging, *scene) (bool, bool)) term {
	return term{name: formula.Name{Name: name, Dim: formula.Bool, About: about}, get: getter{flag: get}}
}

// asText and asFlag serve names that are always known.
func asText(get func(*judging, *scene) string) func(*judging, *scene) (string, bool) {
	return func(j *judging, sc *scene) (string, bool) { v := get(j, sc); return v, v != "" }
}

func asFlag(get func(*judging, *scene) bool) func(*judging, *scene) (bool, bool) {
	return func(j *judging, sc *scene) (bool, bool) { return get(j, sc), true }
}

func local(terms ...term) []term {
	for i := range terms {
		terms[i].local = true
	}
	return terms
}

// measureGroups are the groups whose names are measurements.
var measureGroups = []string{"body", "drafted", "chart", "finished", "ease", "drawn", "wanted", "low", "high", "lacks", "gained"}

// measureTerm is the name that a group makes of a measurement: body.hip, ease.hip.
func (v *Vocabulary) measureTerm(group string, m *Measure) (term, bool) {
	name := group + "." + m.Name
	switch {
	case group == "body" && m.Kind == Angle:
		return numberTerm(name, formula.Degrees, "the body's "+m.Title, func(j *judging, _ *scene) (float64, bool) {
			t, ok := j.Body.Measurements[m.Name]
			return t.Degrees, ok
		}), true
	case m.Kind == Angle, m.Kind == Garment && group != "finished":
		return term{}, false
	}
	switch group {
	case "body":
		t := lengthTerm(name, "the body's "+m.Title, func(j *judging, sc *scene) (float64, bool) {
			f := j.atMeasure(m, sc.s)
			return f.v, f.known
		})
		t.local = m.Name == "bust" // from the shoulder it goes by each size's cup
		return t, true
	case "drafted":
		return local(lengthTerm(name, "the "+m.Title+" this size was drafted for", func(j *judging, sc *scene) (float64, bool) {
			return j.draftedAt(m, sc.s)
		}))[0], true
	case "lacks":
		return local(lengthTerm(name, "what the garment still lacks at the "+m.Title+" of what will do, below 0 what it has too much", func(j *judging, sc *scene) (float64, bool) {
			return j.lacksAt(m, sc.s)
		}))[0], true
	case "gained":
		return local(lengthTerm(name, "what the alterations before this one add at the "+m.Title, func(j *judging, _ *scene) (float64, bool) {
			return j.altering.added[m.Name], true
		}))[0], true
	case "chart":
		return local(lengthTerm(name, "the body chart's "+m.Title+" in this size", func(j *judging, sc *scene) (float64, bool) {
			return j.chartAt(m, sc.s)
		}))[0], true
	case "finished":
		return local(lengthTerm(name, "the garment's "+m.Title+" in this size", func(j *judging, sc *scene) (float64, bool) {
			return j.garmentAt(m, sc.s)
		}))[0], true
	}
	for _, e := range easeTerms() {
		if e.name == group {
			zone := func(j *judging, _ *scene) int { return j.zoneAt(m.Name) }
			return local(easeTerm(name, e.about+" at the "+m.Title, e.get, zone))[0], true
		}
	}
	return term{}, false
}

func (j *judging) chartAt(m *Measure, s int) (float64, bool) {
	row, _ := j.row(j.pattern.Chart, m.Name)
	if row == nil {
		return 0, false
	}
	c := row[j.cells[s]]
	return c.middle(), c.Known
}

// draftedAt is the body a size was drafted for: as its chart says or, where that
// has no cell, the pattern besides. Of a length it is the size whose lengths are cut.
func (j *judging) draftedAt(m *Measure, s int) (float64, bool) {
	if m.Kind == Along {
		s = j.lengthsOf(s)
	}
	if v, ok := j.chartAt(m, s); ok {
		return v, true
	}
	row := j.pattern.DraftedFor[m.Name]
	if row == nil {
		return 0, false
	}
	c := row[j.cells[s]]
	return c.middle(), c.Known
}

// lacksAt is how much larger the garment must still become for what will do at a
// level, as it can be drawn; below 0 it has more. An estimate lacks nothing that is known.
func (j *judging) lacksAt(m *Measure, s int) (float64, bool) {
	r := j.rowAt(m, s)
	if r == nil || !r.base.known || r.base.estimated || !r.you.known {
		return 0, false
	}
	return j.toDraw(r), true
}

// rowAt is a measurement's level in the plan of a size; of another size than the
// one that is planned, as it is before anything is changed.
func (j *judging) rowAt(m *Measure, s int) *row {
	if j.ledger != nil && j.ledger.s == s {
		return j.ledger.at(m)
	}
	z := j.zoneAt(m.Name)
	if z < 0 || !j.zones[z].zone.eased() || !j.fitted(z, j.cutAt(z, s)).judged {
		return nil
	}
	return j.openRow(z, j.cutAt(z, s))
}

// leftAt is what the plan leaves too small at a zone; of a size without a plan,
// what that would have to meet.
func (j *judging) leftAt(z, s int) (float64, bool) {
	in := j.cutAt(z, s)
	r := j.fitted(z, in)
	switch {
	case !r.judged || !r.finished.known || r.finished.estimated || !j.zones[z].zone.eased():
		return 0, false
	case j.ledger != nil && j.ledger.s == s:
		return j.ledger.of(z).shortage, true
	}
	return j.openRow(z, in).need(), true
}

// becomesAt is the garment at a zone with what the plan changes.
func (j *judging) becomesAt(sc *scene) (float64, bool) {
	if sc.zone < 0 || !j.zones[sc.zone].zone.eased() {
		return 0, false
	}
	if j.ledger != nil && j.ledger.s == sc.s {
		if r := j.ledger.of(sc.zone); r != nil {
			return r.becomes(), r.base.known
		}
	}
	r := j.fitted(sc.zone, j.cutAt(sc.zone, sc.s))
	return r.finished.v, r.judged && r.finished.known
}

// linesFollowed counts the size lines of the plan.
func (j *judging) linesFollowed() float64 {
	if j.ledger == nil {
		return 0
	}
	var lines []int
	for _, r := range j.ledger.rows {
		if c := j.zoneOf(r); c != nil && c.lined() && !slices.Contains(lines, r.line) {
			lines = append(lines, r.line)
		}
	}
	return float64(len(lines))
}

// garmentAt is the garment at a measurement, as a zone sees it where one looks there.
func (j *judging) garmentAt(m *Measure, s int) (float64, bool) {
	f := j.wornAt(m, s)
	if z := j.zoneAt(m.Name); z >= 0 {
		f = j.zones[z].finished[s]
	}
	return f.v, f.known
}

// easeTerms are the eases of a zone, in nanometres or percent as the zone has them.
func easeTerms() []easeName {
	return []easeName{
		{"ease", "finished less body", func(j *judging, z, s int) (float64, bool) {
			r := j.overFullBust(z, s)
			return r.ease, r.judged && j.zones[z].zone.By != ByChart
		}},
		{"drawn", "the ease the maker drew", func(j *judging, z, s int) (float64, bool) {
			return j.zones[z].drawn[s].v, j.zones[z].drawn[s].known
		}},
		{"wanted", "the ease wanted", func(j *judging, z, s int) (float64, bool) {
			return j.fitted(z, s).wanted, j.fitted(z, s).judged && j.zones[z].zone.By != ByChart
		}},
		{"low", "the least ease this type expects", func(j *judging, z, _ int) (float64, bool) {
			e := j.zones[z].zone.Ease
			if e == nil || !e.HasLow {
				return 0, false
			}
			return e.Low, true
		}},
		{"high", "the most ease this type expects", func(j *judging, z, _ int) (float64, bool) {
			e := j.zones[z].zone.Ease
			if e == nil || !e.HasHigh {
				return 0, false
			}
			return e.High, true
		}},
	}
}

// easeName is one of them.
type easeName struct {
	name, about string
	get         func(j *judging, z, s int) (float64, bool)
}

func easeTerm(name, about string, get func(j *judging, z, s int) (float64, bool), zoneOf func(*judging, *scene) int) term {
	return term{name: formula.Name{Name: name, Dim: formula.Ease, About: about}, get: getter{number: func(j *judging, sc *scene) (float64, bool) {
		z := zoneOf(j, sc)
		if z < 0 {
			return 0, false
		}
		v, ok := get(j, z, sc.s)
		if !j.zones[z].zone.percent() {
			v /= nanometresPerCm
		}
		return v, ok
	}}}
}

// zoneAt is the zone that looks at a measurement, or -1.
func (f *Fitter) zoneAt(measure string) int {
	found := -1
	for z, c := range f.zones {
		if c.zone.Name == measure {
			return z
		}
		if found < 0 && c.zone.Measure == measure && c.zone.Laps == "" {
			found = z
		}
	}
	return found
}

func bodyTerms() []term {
	return slices.Concat(shoulderTerms(), []term{
		local(lengthTerm("asked.length", "how much longer the garment has still to become for the hem that you asked for", func(j *judging, sc *scene) (float64, bool) {
			return j.askedBeyond(sc.s, "skirt_length", "garment_length", "outside_leg", "inside_leg")
		}))[0],
		local(lengthTerm("asked.sleeve", "the same of the sleeve", func(j *judging, sc *scene) (float64, bool) {
			return j.askedBeyond(sc.s, "arm_length", "back_to_wrist")
		}))[0],
		textTerm("body.measured_over", "what was worn while measuring", asText(func(j *judging, _ *scene) string { return j.Body.MeasuredOver })),
		numberTerm("body.age", formula.Count, "age in years", func(j *judging, _ *scene) (float64, bool) { f := optional(j.Body.Age); return f.v, f.known }),
		numberTerm("body.days", formula.Count, "days since they were taken", func(j *judging, _ *scene) (float64, bool) { return daysBetween(j.Body.oldest(), j.Today) }),
		numberTerm("body.days_kept", formula.Count, "days after which measurements are old", func(j *judging, _ *scene) (float64, bool) {
			if j.recipe.Draft == ForChildren {
				return float64(j.voc.Limits.AgeChild), true
			}
			return float64(j.voc.Limits.AgeAdult), true
		}),
		textTerm("wear.foundation", "the underwear the garment will be worn with", asText(func(j *judging, _ *scene) string { return j.layers.foundation })),
		numberTerm("layers.extra", formula.Count, "layers beneath beyond what the type is worn over", func(j *judging, _ *scene) (float64, bool) { return float64(len(j.layers.extra)), true }),
		lengthTerm("layers.adds", "what those layers add to every girth", func(j *judging, _ *scene) (float64, bool) { return j.layers.adds, true }),
		textTerm("layers.names", "those layers", asText(func(j *judging, _ *scene) string { return list(j.layers.extra, "and") })),
	})
}

// shoulderTerms are the names of what differs between two shoulders.
func shoulderTerms() []term {
	of := func(get func(j *judging, s int) (sides, bool), pick func(sides) float64, odd bool) func(*judging, *scene) (float64, bool) {
		return func(j *judging, sc *scene) (float64, bool) {
			v, ok := get(j, sc.s)
			return pick(v), ok && (!odd || v.side != "")
		}
	}
	side := func(get func(j *judging, s int) (sides, bool)) func(*judging, *scene) (string, bool) {
		return func(j *judging, sc *scene) (string, bool) {
			v, ok := get(j, sc.s)
			return v.side, ok && v.side != ""
		}
	}
	both, odd := func(v sides) float64 { return v.both }, func(v sides) float64 { return v.odd }
	words := []string{"left", "right"}
	return local(
		lengthTerm("body.shoulder_drop", "how far the shoulder points lie below the neck, by shoulder slope and shoulder length; of two that differ the one nearer to what the size was drafted for", of((*judging).drops, both, false)),
		lengthTerm("body.odd_drop", "the same of the other side, where they differ", of((*judging).drops, odd, true)),
		wordTerm("body.odd_drop_side", "which side that is, left or right", words, side((*judging).drops)),
		lengthTerm("body.even_shoulder", "the shoulder length; of two that differ the one nearer to what the size was drafted for", of((*judging).shoulders, both, false)),
		lengthTerm("body.odd_shoulder", "the same of the other side, where they differ", of((*judging).shoulders, odd, true)),
		wordTerm("body.odd_shoulder_side", "which side that is, left or right", words, side((*judging).shoulders)),
		lengthTerm("drafted.shoulder_drop", "how far this size's shoulder was drafted to fall, over a shoulder as long as yours", func(j *judging, sc *scene) (float64, bool) {
			return j.draftedDrop(sc.s)
		}),
	)
}

// daysBetween counts the days from one date to another.
func daysBetween(from, to string) (float64, bool) {
	a, errA := time.Parse(time.DateOnly, from)
	b, errB := time.Parse(time.DateOnly, to)
	if errA != nil || errB != nil {
		return 0, false
	}
	return math.Round(b.Sub(a).Hours() / 24), true
}

func clothTerms() []term {
	percent := func(get func(*judging) figure) func(*judging, *scene) (float64, bool) {
		return func(j *judging, _ *scene) (float64, bool) { f := get(j); return f.v, f.known }
	}
	ofCloth := func(get func(*Cloth) *float64) func(*judging, *scene) (float64, bool) {
		return func(j *judging, _ *scene) (float64, bool) {
			if j.Cloth == nil || get(j.Cloth) == nil {
				return 0, false
			}
			return *get(j.Cloth), true
		}
	}
	words := func(get func(*Cloth) string) func(*judging, *scene) (string, bool) {
		return asText(func(j *judging, _ *scene) string {
			if j.Cloth == nil {
				return ""
			}
			return get(j.Cloth)
		})
	}
	return []term{
		flagTerm("cloth.given", "whether a cloth was named; else one such as the recipe asks for is assumed", asFlag(func(j *judging, _ *scene) bool { return j.Cloth != nil })),
		textTerm("cloth.name", "the cloth", words(func(c *Cloth) string { return c.Name })),
		wordTerm("cloth.structure", "woven or knit", []string{string(Woven), string(Knit)}, asText(func(j *judging, _ *scene) string { return string(j.cloth.structure) })),
		wordTerm("cloth.grain", "how the pieces lie: lengthwise, crosswise or bias", []string{string(Lengthwise), string(Crosswise), string(OnBias)}, words(func(c *Cloth) string { return string(c.Grain) })),
		wordTerm("cloth.drape", "soft, medium or crisp", []string{"soft", "medium", "crisp"}, words(func(c *Cloth) string { return c.Drape })),
		numberTerm("cloth.recovery", formula.Percent, "how far the cloth springs back", ofCloth(func(c *Cloth) *float64 { return c.Recovery })),
		lengthTerm("cloth.thickness", "the cloth's thickness", func(j *judging, _ *scene) (float64, bool) {
			if j.Cloth == nil || j.Cloth.Thickness == nil {
				return 0, false
			}
			return float64(*j.Cloth.Thickness), true
		}),
		flagTerm("cloth.prewashed", "whether it was washed before cutting", func(j *judging, _ *scene) (bool, bool) {
			if j.Cloth == nil || j.Cloth.Prewashed == nil {
				return false, false
			}
			return *j.Cloth.Prewashed, true
		}),
		flagTerm("cloth.costly", "whether it is dear, or there is no more of it", asFlag(func(j *judging, _ *scene) bool { return j.Cloth != nil && j.Cloth.Costly })),
		numberTerm("cloth.shrinkage", formula.Percent, "the greater shrinkage of both directions", func(j *judging, _ *scene) (float64, bool) {
			a, b := j.cloth.shrinkRound, j.cloth.shrinkUpDown
			return max(a.v, b.v), a.known || b.known
		}),
		flagTerm("cloth.names_elastane", "whether its name speaks of elastane or spandex", asFlag(func(j *judging, _ *scene) bool { return j.Cloth.namesElastane() })),
		numberTerm("stretch.across", formula.Percent, "the cloth's stretch across", ofCloth(func(c *Cloth) *float64 { return c.Across })),
		numberTerm("stretch.along", formula.Percent, "the cloth's stretch along", ofCloth(func(c *Cloth) *float64 { return c.Along })),
		numberTerm("stretch.round", formula.Percent, "its stretch round the body, by the grain", percent(func(j *judging) figure { return j.cloth.round })),
		numberTerm("stretch.usable", formula.Percent, "the share of that which stays comfortable", percent(func(j *judging) figure { return j.usable(j.cloth.round) })),
		numberTerm("stretch.least", formula.Percent, "the least stretch this type asks for", func(j *judging, _ *scene) (float64, bool) {
			return j.recipe.Stretch.Least, j.recipe.Stretch.Kind != NoStretch
		}),
		numberTerm("stretch.drafted", formula.Percent, "the stretch the pattern was drafted for", func(j *judging, _ *scene) (float64, bool) {
			f := optional(j.pattern.Stretch)
			return f.v, f.known
		}),
	}
}

func recipeTerms() []term {
	return []term{
		textTerm("recipe.a_title", "the garment type with its article: an A-line skirt", asText(func(j *judging, _ *scene) string { return An(j.recipe.Title) })),
		wordTerm("recipe.draft", "women, men, children or all", []string{string(ForWomen), string(ForMen), string(ForChildren), string(ForAll)}, asText(func(j *judging, _ *scene) string { return string(j.recipe.Draft) })),
		wordTerm("recipe.stretch", "none, comfort or needed", []string{string(NoStretch), string(StretchComfort), string(StretchNeeded)}, asText(func(j *judging, _ *scene) string { return string(j.recipe.Stretch.Kind) })),
		textTerm("recipe.worn_over", "what it is usually worn over", asText(func(j *judging, _ *scene) string { return list(j.recipe.WornOver, "and") })),
		flagTerm("recipe.from_shoulder", "whether it hangs from the shoulder", asFlag(func(j *judging, _ *scene) bool { return j.recipe.HangsFrom == FromShoulder })),
		flagTerm("recipe.close_sleepwear", "whether it is close-fitting children's sleepwear", asFlag(func(j *judging, _ *scene) bool { return j.recipe.CloseSleepwear })),
		flagTerm("recipe.nightwear", "whether it is worn in bed", asFlag(func(j *judging, _ *scene) bool { return j.recipe.Nightwear })),
		flagTerm("recipe.outerwear", "whether it is worn outdoors over the rest: a jacket, a sweatshirt", asFlag(func(j *judging, _ *scene) bool { return j.recipe.Outerwear })),
		numberTerm("recipe.deciding", formula.Count, "how many zones decide the size", func(j *judging, _ *scene) (float64, bool) {
			n := 0
			for z := range j.zones {
				if j.hasSay(z) {
					n++
				}
			}
			return float64(n), true
		}),
		textTerm("recipe.grading_because", "why grading makes sense or not", asText(func(j *judging, _ *scene) string { return j.recipe.Grading.Because })),
		flagTerm("recipe.grading", "whether moving between size lines makes sense", asFlag(func(j *judging, _ *scene) bool { return j.recipe.Grading.Sensible })),
		flagTerm("pattern.for_girls", "whether the garment is labelled and sold for girls", asFlag(func(j *judging, _ *scene) bool { return j.pattern.ForGirls })),
		textTerm("pattern.maker", "its maker", asText(func(j *judging, _ *scene) string { return j.pattern.Maker })),
	}
}

func sizeTerms() []term {
	count := func(get func(j *judging, s int) (float64, bool)) func(*judging, *scene) (float64, bool) {
		return func(j *judging, sc *scene) (float64, bool) { return get(j, sc.s) }
	}
	return []term{
		textTerm("size.name", "the size judged", asText(func(j *judging, sc *scene) string { return j.sizes[sc.s] })),
		numberTerm("size.child_from", formula.Count, "the least age that a size of a children's pattern stands for, in years: by its name, as 6.5 for 6X and 1 for 12-18M, else by its height", count(func(j *judging, s int) (float64, bool) { c, ok := j.childSize(s); return c.from, ok })),
		numberTerm("size.child_to", formula.Count, "the greatest age that it stands for", count(func(j *judging, s int) (float64, bool) { c, ok := j.childSize(s); return c.to, ok })),
		textTerm("size.as_child", "the children's size with what says so: size 6 (116 by its name)", func(j *judging, sc *scene) (string, bool) {
			c, _ := j.childSize(sc.s)
			return c.words(j.sizes[sc.s]), j.children != nil
		}),
		lengthTerm("size.upper_arm_point", "how far down the fold of the sleeve the upper arm of children's sleepwear is measured", func(j *judging, sc *scene) (float64, bool) {
			c, ok := j.childSize(sc.s)
			if !ok || c.row == nil {
				return 0, false
			}
			return float64(c.row.UpperArmPoint), c.row.UpperArmPoint > 0
		}),
		textTerm("size.chart", "the chart size", asText(func(j *judging, _ *scene) string { return j.sizes[j.chart.s] })),
		textTerm("size.by", "the measurement that picks the chart size", asText(func(j *judging, _ *scene) string { return j.chart.by.Title })),
		flagTerm("size.by_upper_bust", "whether upper bust and drafted cup stand for the bust in this size", asFlag(func(j *judging, sc *scene) bool { return j.byUpperBust(sc.s) })),
		lengthTerm("size.cup", "the drafted cup of this size", func(j *judging, sc *scene) (float64, bool) { f := j.cup(sc.s); return f.v, f.known }),
		lengthTerm("size.full_bust", "the full bust as measured", func(j *judging, _ *scene) (float64, bool) {
			f, _ := j.of(j.bust)
			return f.v, f.known
		}),
		flagTerm("size.full_bust_close", "whether the full bust has less ease in this size than will do or, with darts in a woven, no more than the type's least", func(j *judging, sc *scene) (bool, bool) {
			way, known := j.fullBustEase(sc.s)
			return way < 0, known
		}),
		flagTerm("size.full_bust_loose", "whether the full bust has more ease in this size than will do or, with darts in a woven, no less than the type's most", func(j *judging, sc *scene) (bool, bool) {
			way, known := j.fullBustEase(sc.s)
			return way > 0, known
		}),
		textTerm("size.by_full_bust", "the size that the full bust alone would pick, where upper bust and cup pick it", func(j *judging, _ *scene) (string, bool) {
			s, ok := j.sizeByFullBust()
			if !ok {
				return "", false
			}
			return j.sizes[s], true
		}),
		numberTerm("size.full_bust_moves", formula.Count, "sizes from this one to the one the full bust alone would pick, down negative", count(func(j *judging, s int) (float64, bool) {
			full, ok := j.sizeByFullBust()
			return float64(full - s), ok
		})),
		lengthTerm("size.full_bust_shoulders", "the upper bust that the shoulders of that size are drawn for", func(j *judging, _ *scene) (float64, bool) {
			s, ok := j.sizeByFullBust()
			if !ok || !j.cup(s).known {
				return 0, false
			}
			drawn, ok := j.chartAt(j.bust, s)
			return drawn - j.cup(s).v, ok
		}),
		numberTerm("size.moves", formula.Count, "sizes away from the chart size, down negative", count(func(j *judging, s int) (float64, bool) { return float64(s - j.chart.s), true })),
		numberTerm("size.moves_down", formula.Count, "how many sizes down the style holds", count(func(j *judging, _ int) (float64, bool) { return float64(j.recipe.MovesDown), j.recipe.MovesDown >= 0 })),
		numberTerm("size.moves_up", formula.Count, "how many sizes up the style holds", count(func(j *judging, _ int) (float64, bool) { return float64(j.recipe.MovesUp), j.recipe.MovesUp >= 0 })),
		lengthTerm("size.off_chart", "how far the body lies beyond the chart, below it negative", func(j *judging, _ *scene) (float64, bool) { return j.chart.off, true }),
		lengthTerm("size.off_chart_limit", "how far beyond is still no matter", func(j *judging, _ *scene) (float64, bool) { return j.chart.offLimit, true }),
		numberTerm("size.lines", formula.Count, "how many size lines the plan follows, of the size shown", func(j *judging, sc *scene) (float64, bool) {
			return j.linesFollowed(), j.ledger != nil && j.ledger.s == sc.s
		}),
		numberTerm("size.distinct", formula.Count, "how many different sizes the measurements name", count(func(j *judging, _ int) (float64, bool) { return float64(j.distinctSizes()), true })),
		textTerm("size.torn", "which sizes will do at each zone that decides, where no one size nor line will do for all", func(j *judging, sc *scene) (string, bool) { return j.torn(sc.s) }),
		textTerm("size.spread", "the size each measurement names", asText(func(j *judging, _ *scene) string { return j.explainer().sizeSpread() })),
		textTerm("size.for_stretch", "the size that restores the extension the pattern was drafted with", func(j *judging, _ *scene) (string, bool) { return j.sizeForStretch() }),
		textTerm("size.first_to_stretch", "the smallest size this cloth can carry", func(j *judging, _ *scene) (string, bool) { return j.firstToStretch() }),
	}
}

// byUpperBust tells whether upper bust and drafted cup stand for the bust in a size.
func (j *judging) byUpperBust(s int) bool {
	return slices.ContainsFunc(j.zones, func(c *column) bool { return c.standIn }) && j.upperBust().known && j.cup(s).known
}

func (j *judging) distinctSizes() int {
	var sizes []int
	for _, name := range j.shared() {
		s, _ := j.chartSizeAt(j.columnFor(j.voc.Measure(name)))
		sizes = append(sizes, s)
	}
	slices.Sort(sizes)
	return len(slices.Compact(sizes))
}

func (j explainer) sizeSpread() string {
	each := j.sizeByMeasurement()
	var parts []string
	for _, name := range j.shared() {
		parts = append(parts, j.voc.Title(name)+" "+each[name])
	}
	return list(parts, "and")
}

func zoneTerms() []term {
	says := func(get func(j *judging, c *column, r *zoneFit) string) func(*judging, *scene) (string, bool) {
		return asText(func(j *judging, sc *scene) string {
			if sc.zone < 0 {
				return ""
			}
			return get(j, j.zones[sc.zone], j.overFullBust(sc.zone, sc.s))
		})
	}
	ts := []term{
		textTerm("zone.name", "the zone in words", says(func(_ *judging, c *column, _ *zoneFit) string { return zoneTitle(c.zone) })),
		wordTerm("zone.role", "decides, mended or held", []string{string(Decides), string(Mended), string(Held)}, says(func(_ *judging, c *column, _ *zoneFit) string { return string(c.zone.Role) })),
		flagTerm("zone.decides", "whether the zone has a say in the size", func(j *judging, sc *scene) (bool, bool) {
			return sc.zone >= 0 && j.hasSay(max(sc.zone, 0)), sc.zone >= 0
		}),
		flagTerm("zone.asked", "whether a wish names the zone", func(j *judging, sc *scene) (bool, bool) {
			return sc.zone >= 0 && j.wished(max(sc.zone, 0)), sc.zone >= 0
		}),
		wordTerm("zone.kind", "girth, length or width", []string{string(Girth), string(Along), string(Across)}, says(func(_ *judging, c *column, _ *zoneFit) string { return string(c.measure.Kind) })),
		textTerm("zone.mend", "how this zone is put right", says(func(_ *judging, c *column, _ *zoneFit) string { return c.zone.Mend })),
		textTerm("zone.line", "the size whose line the plan follows there, of the size shown", func(j *judging, sc *scene) (string, bool) {
			if j.ledger == nil || j.ledger.s != sc.s || sc.zone < 0 || j.ledger.of(sc.zone) == nil {
				return "", false
			}
			return j.sizes[j.ledger.of(sc.zone).line], true
		}),
		lengthTerm("zone.becomes", "the garment there in the end, of the size shown; of the others as it is", func(j *judging, sc *scene) (float64, bool) { return j.becomesAt(sc) }),
		lengthTerm("zone.left", "what the plan leaves too small there, below 0 too large", func(j *judging, sc *scene) (float64, bool) {
			if sc.zone < 0 {
				return 0, false
			}
			return j.leftAt(sc.zone, sc.s)
		}),
		flagTerm("zone.estimated", "whether the garment's measurement is an estimate", func(j *judging, sc *scene) (bool, bool) {
			return sc.zone >= 0 && j.overFullBust(max(sc.zone, 0), sc.s).finished.estimated, sc.zone >= 0
		}),
	}
	ts = append(append(ts, zoneFigures()...), lacingTerms()...)
	for _, e := range easeTerms() {
		ts = append(ts, easeTerm("zone."+e.name, e.about+" there", e.get, func(_ *judging, sc *scene) int { return sc.zone }))
	}
	return ts
}

// zoneFigures are the names of what is measured at a zone.
func zoneFigures() []term {
	in := func(get func(j *judging, c *column, r *zoneFit) (float64, bool)) func(*judging, *scene) (float64, bool) {
		return func(j *judging, sc *scene) (float64, bool) {
			if sc.zone < 0 {
				return 0, false
			}
			return get(j, j.zones[sc.zone], j.overFullBust(sc.zone, sc.s))
		}
	}
	sized := func(r *zoneFit) bool { return r.judged && r.finished.known }
	return []term{
		lengthTerm("zone.body", "the body there", in(func(_ *judging, _ *column, r *zoneFit) (float64, bool) { return r.body, r.judged })),
		lengthTerm("zone.finished", "the garment there", in(func(_ *judging, _ *column, r *zoneFit) (float64, bool) { return r.finished.v, sized(r) })),
		lengthTerm("zone.ease_cm", "finished less body, always a length", in(func(_ *judging, _ *column, r *zoneFit) (float64, bool) { return r.finished.v - r.body, sized(r) })),
		lengthTerm("zone.wearing_ease", "the room to move there, layers and cloth included", in(func(j *judging, c *column, _ *zoneFit) (float64, bool) { return j.wearing(c), true })),
		lengthTerm("zone.least_ease", "the lesser of that and the ease drawn", in(func(j *judging, c *column, r *zoneFit) (float64, bool) { return j.least(c, r), r.judged })),
		numberTerm("zone.stretch_needed", formula.Percent, "the stretch that lets the body in: body / finished - 1, none at a length that is not stretched", in(func(j *judging, c *column, r *zoneFit) (float64, bool) { return j.stretchNeeded(c, r), sized(r) })),
		numberTerm("zone.stretch_least", formula.Percent, "the same; of a pattern of one size that is not meant to stretch, drawn out at its seams as far as it may be", in(func(j *judging, c *column, r *zoneFit) (float64, bool) { return j.stretchLeast(c, r), sized(r) })),
		numberTerm("zone.stretch", formula.Percent, "the cloth's usable stretch in the zone's direction", in(func(j *judging, c *column, _ *zoneFit) (float64, bool) { f := j.stretchAt(c); return f.v, f.known })),
		numberTerm("zone.stretch_own", formula.Percent, "the cloth's whole stretch in the zone's direction", in(func(j *judging, c *column, _ *zoneFit) (float64, bool) { f := j.ownStretchAt(c); return f.v, f.known })),
		numberTerm("zone.stretch_asked", formula.Percent, "the whole stretch a cloth would need", in(func(j *judging, c *column, r *zoneFit) (float64, bool) { return j.stretchAsked(c, r), sized(r) })),
		numberTerm("zone.extension", formula.Percent, "how far the garment is stretched by the body alone", in(func(_ *judging, c *column, r *zoneFit) (float64, bool) {
			if c.lacing != nil {
				return 0, sized(r)
			}
			return (r.body/r.finished.v - 1) * 100, sized(r)
		})),
		numberTerm("zone.chart_moves", formula.Count, "sizes from the judged size to the one the zone's own measurement names", func(j *judging, sc *scene) (float64, bool) {
			if sc.zone < 0 {
				return 0, false
			}
			s, ok := j.chartSizeAt(j.zones[sc.zone])
			return float64(s - sc.s), ok
		}),
		textTerm("zone.chart_size", "the size the zone's own measurement names", func(j *judging, sc *scene) (string, bool) {
			if sc.zone < 0 {
				return "", false
			}
			s, ok := j.chartSizeAt(j.zones[sc.zone])
			if !ok {
				return "", false
			}
			return j.sizes[s], true
		}),
		lengthTerm("zone.sleepwear_most", "the most that close-fitting children's sleepwear of this size may measure there in the United States", sleepwearMost),
		lengthTerm("zone.washed", "the garment there after shrinking", in(func(j *judging, c *column, r *zoneFit) (float64, bool) {
			shrink := j.shrinkAt(c)
			return r.finished.v * (1 - shrink.v/100), sized(r) && shrink.known
		})),
	}
}

// lacingTerms are the names of the gap of a lacing.
func lacingTerms() []term {
	gap := func(get func(gap, wanted float64, l *Lacing) float64) func(*judging, *scene) (float64, bool) {
		return func(j *judging, sc *scene) (float64, bool) {
			at, wanted, l := j.gapAt(sc)
			if l == nil {
				return 0, false
			}
			return get(at, wanted, l), true
		}
	}
	return append([]term{
		lengthTerm("zone.gap", "how far apart the edges of a lacing are on you there; of the size shown by the plan, of others before anything is cut", gap(func(at, _ float64, _ *Lacing) float64 { return at })),
		lengthTerm("zone.gap_beyond", "how much further apart they would have to be for the ease wanted than looks right, below 0 how much closer; else 0", gap(func(_, wanted float64, l *Lacing) float64 {
			return max(wanted-float64(l.Most), 0) + min(wanted-float64(l.Least), 0)
		})),
		lengthTerm("zone.gap_drawn", "how far apart they are drawn to be", gap(func(_, _ float64, l *Lacing) float64 { return float64(l.Gap) })),
		lengthTerm("zone.gap_least", "the least gap that looks right", gap(func(_, _ float64, l *Lacing) float64 { return float64(l.Least) })),
		lengthTerm("zone.gap_most", "the most gap that looks right", gap(func(_, _ float64, l *Lacing) float64 { return float64(l.Most) })),
	}, local(
		lengthTerm("lacing.narrowest", "the narrowest gap of the lacing over all levels that it crosses", func(j *judging, sc *scene) (float64, bool) { narrow, _, ok := j.gaps(sc.s); return narrow, ok }),
		lengthTerm("lacing.widest", "the widest gap of the lacing", func(j *judging, sc *scene) (float64, bool) { _, wide, ok := j.gaps(sc.s); return wide, ok }),
	)...)
}

// sleepwearMost is [Vocabulary.sleepwearMost] at the zone of a scene.
func sleepwearMost(j *judging, sc *scene) (float64, bool) {
	c, ok := j.childSize(sc.s)
	if sc.zone < 0 || !ok || c.row == nil || !j.recipe.CloseSleepwear {
		return 0, false
	}
	return j.voc.sleepwearMost(c.row, j.zones[sc.zone].zone.Measure, j.pattern.ForGirls)
}

// chartSizeAt is the size that a zone's own measurement names on the chart.
func (j *judging) chartSizeAt(c *column) (int, bool) {
	named := &j.named[c.measure.index]
	if *named == 0 {
		*named = -1
		if row, name := j.row(j.pattern.Chart, c.measure.Name); j.fillsRow(row) && j.at(c, 0).known {
			*named = 1 + j.pickBy(c.measure, row, name).s
		}
	}
	return max(*named-1, 0), *named > 0
}

// fillsRow tells whether a row has a cell for some size.
func (f *Fitter) fillsRow(row Row) bool {
	return row != nil && slices.ContainsFunc(f.cells, func(i int) bool { return row[i].Known })
}

func cordTerms() []term {
	length := func(get func(*Cord) *quantity.Length) func(*judging, *scene) (float64, bool) {
		return func(_ *judging, sc *scene) (float64, bool) {
			if sc.cord == nil || get(sc.cord) == nil {
				return 0, false
			}
			return float64(*get(sc.cord)), true
		}
	}
	flag := func(get func(*Cord) bool) func(*judging, *scene) (bool, bool) {
		return func(_ *judging, sc *scene) (bool, bool) { return sc.cord != nil && get(sc.cord), sc.cord != nil }
	}
	return []term{
		wordTerm("cord.where", "where the cord is: hood, neck, waist, hem, ankle, wrist or back", []string{"hood", "neck", "waist", "hem", "ankle", "wrist", "back"}, asText(func(_ *judging, sc *scene) string {
			if sc.cord == nil {
				return ""
			}
			return sc.cord.Where
		})),
		lengthTerm("cord.free", "the length of each free end, the garment laid flat at its widest", length(func(c *Cord) *quantity.Length { return c.Free })),
		lengthTerm("cord.loop", "the way round a fixed loop", length(func(c *Cord) *quantity.Length { return c.Loop })),
		flagTerm("cord.free_ends", "whether it has free ends", flag(func(c *Cord) bool { return c.FreeEnds })),
		flagTerm("cord.toggle", "whether a toggle, a knot or anything else is at its ends", flag(func(c *Cord) bool { return c.Toggle })),
		flagTerm("cord.tacked", "whether it is stitched down at the middle of its channel", func(_ *judging, sc *scene) (bool, bool) {
			if sc.cord == nil || sc.cord.Tacked == nil {
				return false, false
			}
			return *sc.cord.Tacked, true
		}),
	}
}

func measurementTerms() []term {
	in := func(get func(j *judging, m *Measure, t Measurement) (float64, bool)) func(*judging, *scene) (float64, bool) {
		return func(j *judging, sc *scene) (float64, bool) {
			m := j.voc.Measure(sc.measure)
			if m == nil || m.Kind == Angle {
				return 0, false
			}
			return get(j, m, j.Body.Measurements[sc.measure])
		}
	}
	return []term{
		textTerm("measurement.name", "the measurement in words", asText(func(j *judging, sc *scene) string { return j.voc.Title(sc.measure) })),
		lengthTerm("measurement.value", "what the tape said", in(func(_ *judging, _ *Measure, t Measurement) (float64, bool) { return float64(t.value()), true })),
		lengthTerm("measurement.spread", "how far apart repeated readings lie", in(func(_ *judging, _ *Measure, t Measurement) (float64, bool) { return float64(t.spread()), true })),
		lengthTerm("measurement.tape_error", "how far two careful readings may lie apart", in(func(j *judging, m *Measure, _ Measurement) (float64, bool) {
			return float64(j.voc.ReadingsApart(m, j.Body.MeasuredBy)), m.TapeError > 0
		})),
		lengthTerm("measurement.least", "the least among surveyed people", in(func(_ *judging, m *Measure, _ Measurement) (float64, bool) { return float64(m.Least), m.Most > 0 })),
		lengthTerm("measurement.most", "the most among surveyed people", in(func(_ *judging, m *Measure, _ Measurement) (float64, bool) { return float64(m.Most), m.Most > 0 })),
		lengthTerm("measurement.in_other_unit", "the same number read in the other unit", in(func(j *judging, _ *Measure, t Measurement) (float64, bool) {
			if j.Body.Units == "in" {
				return float64(t.value()) / 2.54, true
			}
			return float64(t.value()) * 2.54, true
		})),
		wordTerm("measurement.unit", "the unit the file is written in", []string{"inches", "centimetres"}, asText(func(j *judging, _ *scene) string {
			if j.Body.Units == "in" {
				return "inches"
			}
			return "centimetres"
		})),
		lengthTerm("measurement.sides_apart", "how far left and right differ", in(func(_ *judging, _ *Measure, t Measurement) (float64, bool) {
			d, ok := t.sidesApart()
			return float64(d), ok
		})),
		lengthTerm("measurement.sides_limit", "how far they may differ and still be cut as a pair", in(func(j *judging, _ *Measure, _ Measurement) (float64, bool) {
			return float64(j.voc.Limits.SidesApart), true
		})),
	}
}

func openingTerms() []term {
	says := func(get func(j *judging, o *openingFit) string) func(*judging, *scene) (string, bool) {
		return asText(func(j *judging, sc *scene) string {
			if sc.opening == nil {
				return ""
			}
			return get(j, sc.opening)
		})
	}
	in := func(get func(o *openingFit) figure) func(*judging, *scene) (float64, bool) {
		return func(_ *judging, sc *scene) (float64, bool) {
			if sc.opening == nil {
				return 0, false
			}
			f := get(sc.opening)
			return f.v, f.known
		}
	}
	return []term{
		textTerm("opening.name", "where the opening is", says(func(_ *judging, o *openingFit) string { return o.o.Name })),
		wordTerm("opening.result", "passes, fails, short elastic or not judged", []string{passes, fails, shortElastic, notJudged}, says(func(_ *judging, o *openingFit) string { return o.result })),
		wordTerm("opening.limit", "what limits it: casing, elastic, edge or closure", []string{"casing", "elastic", "edge", "closure"}, says(func(_ *judging, o *openingFit) string { return o.limit })),
		flagTerm("opening.stops", "whether a size that does not pass is ruled out", func(_ *judging, sc *scene) (bool, bool) {
			return sc.opening != nil && sc.opening.o.Stops, sc.opening != nil
		}),
		textTerm("opening.mend", "how it is put right", says(func(_ *judging, o *openingFit) string { return o.o.Mend })),
		textTerm("opening.closure", "what closes it, or none", says(func(_ *judging, o *openingFit) string {
			if o.o.Closure == nil {
				return "none"
			}
			return o.o.Closure.Kind
		})),
		lengthTerm("opening.girth", "what it opens to", in(func(o *openingFit) figure { return o.girth })),
		lengthTerm("opening.needs", "the least it would have to let through", in(func(o *openingFit) figure { return o.needs })),
	}
}
