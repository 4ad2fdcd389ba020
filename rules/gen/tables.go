package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// tables is what the CSV files say.
type tables struct {
	measures    []engine.Measure
	limits      engine.Limits
	children    []engine.ChildSize
	proportions engine.Proportions
	sleepwear   []engine.SleepwearMost
	peoples     []engine.Population
	synonyms    []engine.Synonym
	hems        []engine.HemPlace
}

// readTables reads the CSV files of the folder data.
func readTables(folder fs.FS) (tables, error) {
	r := &reader{folder: folder}
	t := tables{r.measures(r.sources(), r.wearing(), r.openings(), r.seams()), r.limits(), r.childSizes(), r.proportions(), r.sleepwear(), r.populations(), r.synonyms(), r.hems()}
	r.levels(t.measures)
	t.limits.Layers = r.layers()
	return t, r.err
}

// reader reads tables and keeps the first thing that is wrong.
type reader struct {
	folder fs.FS
	err    error
}

// row is one line of a table, by column.
type row struct {
	r       *reader
	table   string
	line    int
	columns map[string]int
	record  []string
}

func (w row) cell(column string) string { return w.record[w.columns[column]] }

func (w row) fail(err error) {
	if err != nil {
		w.r.fail(fmt.Sprintf("%s:%d", w.table, w.line), err)
	}
}

func (r *reader) fail(place string, err error) {
	if r.err == nil && err != nil {
		r.err = fmt.Errorf("rules/data/%s: %w", place, err)
	}
}

func (r *reader) table(name string) []row {
	raw, err := fs.ReadFile(r.folder, "data/"+name)
	r.fail(name, err)
	records, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	r.fail(name, err)
	if len(records) == 0 {
		return nil
	}
	columns := make(map[string]int, len(records[0]))
	for i, column := range records[0] {
		columns[column] = i
	}
	rows := make([]row, 0, len(records)-1)
	for i, record := range records[1:] {
		rows = append(rows, row{r, name, i + 2, columns, record})
	}
	return rows
}

// cited is the row's source with its status and place.
func (w row) cited() string {
	if w.cell("status") == "verified" {
		return w.cell("source")
	}
	return w.cell("status") + ": " + w.cell("source")
}

func (w row) number(column string) float64 {
	if w.cell(column) == "" {
		return 0
	}
	v, err := strconv.ParseFloat(w.cell(column), 64)
	w.fail(err)
	return v
}

func (w row) whole(column string) int { return int(w.number(column)) }

// length reads a column of bare numbers in the unit given.
func (w row) length(column, unit string) quantity.Length {
	if w.cell(column) == "" {
		return 0
	}
	l, err := quantity.ParseLength(w.cell(column)+" "+unit, "")
	w.fail(err)
	return l
}

func (r *reader) sources() map[string]string {
	out := map[string]string{}
	for _, w := range r.table("sources.csv") {
		out[w.cell("key")] = w.cell("source")
	}
	return out
}

func (r *reader) measures(sources map[string]string, wearing map[string][]row, passes map[string][]string, seams map[string]row) []engine.Measure {
	var out []engine.Measure
	for _, w := range r.table("measurements.csv") {
		m := engine.Measure{
			Name: w.cell("name"), Title: w.cell("title"), Kind: engine.Kind(w.cell("kind")), Level: w.whole("level"),
			TapeError: w.length("tape_error_mm", "mm"), Least: w.length("least_cm", "cm"), Most: w.length("most_cm", "cm"),
			SameAs: w.cell("same_as"), Passes: passes[w.cell("name")], How: w.cell("how"), Source: sources[w.cell("source")],
		}
		if s, ok := seams[m.Name]; ok {
			m.Pair, m.Edges = s.cell("pair") == "yes", s.whole("edges")
		}
		for _, e := range wearing[m.Name] {
			m.WearingSources = append(m.WearingSources, engine.Quote{Low: e.length("low_in", "in"), High: e.length("high_in", "in"), Garment: e.cell("garment"),
				With: e.cell("with"), Without: e.cell("without"), Draft: engine.Draft(e.cell("draft")), Verified: e.cell("status") == "verified",
				Source: e.cited() + " (" + e.cell("garment") + ")"})
		}
		out = append(out, m)
	}
	return out
}

// levels says of measures on which limb they lie, where that is, and how high.
func (r *reader) levels(measures []engine.Measure) {
	for _, w := range r.table("levels.csv") {
		i := slices.IndexFunc(measures, func(m engine.Measure) bool { return m.Name == w.cell("measurement") })
		if i < 0 {
			w.fail(fmt.Errorf("no measurement %q", w.cell("measurement")))
			continue
		}
		measures[i].Limb, measures[i].BelowWaist, measures[i].Where = engine.Limb(w.cell("limb")), w.cell("below_waist"), w.cell("words")
		measures[i].Height = w.length("height_cm", "cm")
	}
}

func (r *reader) wearing() map[string][]row {
	out := map[string][]row{}
	for _, w := range r.table("wearing_ease.csv") {
		out[w.cell("measurement")] = append(out[w.cell("measurement")], w)
	}
	return out
}

// openings reads what is put through each edge of a garment, by its row.
func (r *reader) openings() map[string][]string {
	out := map[string][]string{}
	for _, w := range r.table("openings.csv") {
		out[w.cell("row")] = append(out[w.cell("row")], w.cell("passes"))
	}
	return out
}

// seams reads what a body has two of, and at how many cut edges a girth is changed.
func (r *reader) seams() map[string]row {
	out := map[string]row{}
	for _, w := range r.table("seams.csv") {
		out[w.cell("measurement")] = w
	}
	return out
}

func (r *reader) layers() []engine.LayerKind {
	var out []engine.LayerKind
	for _, w := range r.table("layers.csv") {
		out = append(out, engine.LayerKind{Name: w.cell("name"), Thickness: w.length("thickness_mm", "mm"), Foundation: w.cell("foundation") == "yes", Source: w.cited()})
	}
	return out
}

func (r *reader) limits() engine.Limits {
	found := map[string]row{}
	for _, w := range r.table("limits.csv") {
		found[w.cell("name")] = w
	}
	get := func(name, unit string) row {
		w, ok := found[name]
		if !ok || w.cell("unit") != unit {
			r.fail("limits.csv", fmt.Errorf("no row %s in %q", name, unit))
		}
		return w
	}
	l := engine.Limits{
		UsableShare:     get("usable_share", "%").number("value") / 100,
		LeastStretch:    get("least_stretch", "%").number("value"),
		OpeningShare:    get("opening_share", "%").number("value") / 100,
		LeastTolerance:  get("least_tolerance", "cm").length("value", "cm"),
		LeastPoints:     get("least_points", "%").number("value"),
		ReachLeast:      get("reach_least", "%").number("value") / 100,
		ReachMost:       get("reach_most", "%").number("value") / 100,
		OpenRangeWidths: get("open_range_widths", "").number("value"),
		ReadingsApart:   get("readings_apart", "%").number("value") / 100,
		MostReadings:    get("most_readings", "count").whole("value"),
		LeastSlope:      get("least_slope", "degrees").number("value"),
		MostSizes:       get("most_sizes", "count").whole("value"),
		MostStretch:     get("most_stretch", "%").number("value"),
		MostLayer:       get("most_layer", "cm").length("value", "cm"),
		LeastEase:       get("least_ease", "m").length("value", "m"),
		MostEase:        get("most_ease", "m").length("value", "m"),
		SidesApart:      get("sides_apart", "cm").length("value", "cm"),
		OffChartShare:   get("off_chart_share", "%").number("value") / 100,
		LikeStretch:     get("like_stretch", "%").number("value"),
		LooseEase:       get("loose_ease", "in").length("value", "in"),
		UsualLeast:      get("usual_least", "%").number("value"),
		UsualMost:       get("usual_most", "%").number("value"),
		UsualWidth:      get("usual_width", "in").length("value", "in"),
		SlipSteps:       get("slip_steps", "").number("value"),
		SlipStepsEnd:    get("slip_steps_end", "").number("value"),
		StepLeast:       get("step_least", "in").length("value", "in"),
		ChartStepCm:     get("chart_step_cm", "cm").length("value", "cm"),
		ChartStepIn:     get("chart_step_in", "in").length("value", "in"),
		MadeStepCm:      get("made_step_cm", "cm").length("value", "cm"),
		MadeStepIn:      get("made_step_in", "in").length("value", "in"),
		DesignBodies:    get("design_bodies", "count").whole("value"),
		DesignMore:      get("design_more", "count").whole("value"),
		DesignFigures:   get("design_figures", "count").whole("value"),
		PaceSteps:       get("pace_steps", "count").whole("value"),
		PaceOff:         get("pace_off", "cm").length("value", "cm"),
		StepUneven:      get("step_uneven", "%").number("value") / 100,
		EaseDrift:       get("ease_drift", "%").number("value") / 100,
		RangeHoleCm:     get("range_hole_cm", "cm").length("value", "cm"),
		RangeHoleIn:     get("range_hole_in", "in").length("value", "in"),
		NestedSizes:     get("nested_sizes", "").whole("value"),
		GapSteps:        get("gap_steps", "%").number("value") / 100,
		GapThirds:       get("gap_thirds", "%").number("value") / 100,
		DrawMost:        get("draw_most", "in").length("value", "in"),
		EdgeMost:        get("edge_most", "in").length("value", "in"),
		DartMost:        get("dart_most", "in").length("value", "in"),
		SlopeGentle:     get("slope_gentle", "degrees").number("value"),
		SlopeSteep:      get("slope_steep", "degrees").number("value"),
		PieceShare:      get("piece_share", "%").number("value") / 100,
		AgeAdult:        get("age_adult", "days").whole("value"),
		AgeChild:        get("age_child", "days").whole("value"),
		ToileAllowance:  get("toile_allowance", "in").length("value", "in"),
		SquareOff:       get("square_off", "%").number("value"),
		MatchRepeats:    get("match_repeats", "").number("value"),
	}
	limitsOfSurety(&l, get)
	return l
}

// limitsOfSurety are those of how sure an answer is, of what is learned and of the bodies surveyed.
func limitsOfSurety(l *engine.Limits, get func(name, unit string) row) {
	l.TapeDeviations = get("tape_deviations", "").number("value")
	l.TapeOther = get("tape_other", "cm").length("value", "cm")
	l.TapeSelf = get("tape_self", "cm").length("value", "cm")
	l.TapeLarge = get("tape_large", "cm").length("value", "cm")
	l.TapeRepeats = get("tape_repeats", "count").number("value")
	l.TapeMemory = get("tape_memory", "years").number("value")
	l.StretchError = get("stretch_error", "%").number("value") / 100
	l.EstimateError = get("estimate_error", "%").number("value") / 100
	l.SureBodies = get("sure_bodies", "").whole("value")
	l.SureSteps = get("sure_steps", "").whole("value")
	l.SureParts = get("sure_parts", "").whole("value")
	l.NearlyCertain = get("nearly_certain", "%").number("value") / 100
	l.Likely = get("likely", "%").number("value") / 100
	l.AsLikely = get("as_likely", "%").number("value") / 100
	l.SearchCm = get("search_cm", "cm").length("value", "cm")
	l.SearchPoints = get("search_points", "%").number("value")
	l.SearchStretch = get("search_stretch", "%").number("value")
	l.StretchStep = get("stretch_step", "%").number("value")
	l.SearchParts = get("search_parts", "").whole("value")
	l.AdultAge = get("adult_age", "years").number("value")
	l.LearnReach = get("learn_reach", "%").number("value") / 100
	l.LearnLeast = get("learn_band_least", "%").number("value") / 100
	l.LearnMost = get("learn_band_most", "%").number("value") / 100
	l.LearnStray = get("learn_stray", "%").number("value") / 100
	l.LearnShare = get("learn_share", "%").number("value") / 100
	l.LearnSteps = get("learn_steps", "").whole("value")
	l.LearnBands = get("learn_bands", "").whole("value")
	l.UsualPatterns = get("usual_patterns", "count").whole("value")
	l.UsualMakers = get("usual_makers", "%").number("value") / 100
	l.CupStep = get("cup_step", "in").length("value", "in")
	l.CrowdBodies = get("crowd_bodies", "").whole("value")
	l.UnmeasuredShare = get("unmeasured_share", "%").number("value") / 100
	l.UnmeasuredReach = get("unmeasured_reach", "").number("value")
	l.CrowdCharts = get("crowd_charts", "").whole("value")
	l.DraftWomen = get("draft_height_women", "cm").length("value", "cm")
	l.DraftMen = get("draft_height_men", "cm").length("value", "cm")
	l.HeightApart = get("height_apart", "cm").length("value", "cm")
	l.HeightSpread = get("height_spread", "").number("value")
	l.FigureHeight = get("figure_height", "cm").length("value", "cm")
}

// proportions reads how the measurements of surveyed people go together.
func (r *reader) proportions() engine.Proportions {
	var p engine.Proportions
	for _, w := range r.table("stand_ins.csv") {
		p.StandIns = append(p.StandIns, engine.StandIn{Children: w.cell("who") == "children", Measure: w.cell("measurement"), Dimension: w.cell("dimension"), Least: w.number("least"), Most: w.number("most")})
	}
	for _, w := range r.table("ratios.csv") {
		p.Ratios = append(p.Ratios, engine.Ratio{Children: w.cell("who") == "children", Of: w.cell("of"), By: w.cell("by"), Least: w.number("least"), Most: w.number("most")})
	}
	for _, w := range r.table("limits.csv") {
		if w.cell("name") == "ratio_margin" {
			p.Margin = w.number("value") / 100
		}
	}
	return p
}

// synonyms reads what people call measurements and garment types; of one that means
// several, `or` stands between them.
func (r *reader) synonyms() []engine.Synonym {
	var out []engine.Synonym
	for _, w := range r.table("synonyms.csv") {
		out = append(out, engine.Synonym{Word: w.cell("word"), Type: w.cell("of") == "type", Means: strings.Split(w.cell("means"), " or "),
			Source: strings.TrimSuffix(w.cited(), ": ")})
	}
	return out
}

func (r *reader) childSizes() []engine.ChildSize {
	var out []engine.ChildSize
	for _, w := range r.table("child_sizes.csv") {
		out = append(out, engine.ChildSize{Name: w.cell("size"), From: w.number("from_years"), To: w.number("to_years"),
			Height: w.length("height_cm", "cm"), UpperArmPoint: w.length("upper_arm_point_cm", "cm")})
	}
	return out
}

// sleepwear reads the figures that the regulation prints in centimetres and, to the
// nearest eighth, in inches. Where the one is the other rounded the larger is meant,
// so that what measures just that is within both; where not, the smaller is safe.
func (r *reader) sleepwear() []engine.SleepwearMost {
	var out []engine.SleepwearMost
	for _, w := range r.table("sleepwear.csv") {
		cm, in := w.length("most_cm", "cm"), w.length("most_in", "in")
		most := max(cm, in)
		if most-min(cm, in) > quantity.Inch/16 {
			most = min(cm, in)
		}
		out = append(out, engine.SleepwearMost{Size: w.cell("size"), Sex: w.cell("sex"), Measure: w.cell("measurement"), Most: most})
	}
	return out
}

// populations reads whom figures describe, and how their measurements are spread
// and go together: over all of them, and in each part.
func (r *reader) populations() []engine.Population {
	var out []engine.Population
	for _, w := range r.table("populations.csv") {
		out = append(out, engine.Population{Name: w.cell("name"), People: w.whole("people"), About: w.cell("about"), AtLarge: w.cell("at_large"),
			Source: w.cited(), MeanError: w.number("mean_error"), MostError: w.number("most_error")})
	}
	of := func(w row) *engine.Population {
		i := slices.IndexFunc(out, func(p engine.Population) bool { return p.Name == w.cell("population") })
		if i < 0 {
			w.fail(fmt.Errorf("no population %q", w.cell("population")))
			return &engine.Population{}
		}
		return &out[i]
	}
	for _, w := range r.table("population_measures.csv") {
		p := of(w)
		p.Measures = append(p.Measures, w.spread(p.Measures))
	}
	for _, w := range r.table("population_further.csv") {
		p := of(w)
		p.Further = append(p.Further, w.spread(p.Measures))
	}
	for _, w := range r.table("population_parts.csv") {
		p := of(w)
		if w.whole("part") > len(p.Parts) {
			p.Parts = append(p.Parts, engine.Normal{Share: w.number("share")})
		}
		part := &p.Parts[len(p.Parts)-1]
		part.Measures = append(part.Measures, w.spread(part.Measures))
	}
	return out
}

// hems reads to which places of the body a garment's lengths reach.
func (r *reader) hems() []engine.HemPlace {
	var out []engine.HemPlace
	for _, w := range r.table("hems.csv") {
		out = append(out, engine.HemPlace{Length: w.cell("length"), Words: w.cell("place"), Body: strings.Fields(w.cell("body")), Above: w.length("above_floor_cm", "cm")})
	}
	return out
}

// spread reads how one measurement is spread, and goes together with those before it.
func (w row) spread(before []engine.Spread) engine.Spread {
	s := engine.Spread{Measure: w.cell("measurement"), Mean: w.length("mean_cm", "cm"), Deviation: w.length("deviation_cm", "cm")}
	for _, b := range before {
		s.With = append(s.With, w.number("with_"+b.Measure))
	}
	return s
}
