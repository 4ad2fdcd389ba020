package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/explain"
)

// Request is everything one answer is made from.
type Request struct {
	Pattern    *Pattern
	Recipe     *Recipe
	Rules      []*Rule // shared; the recipe's own are added
	Vocabulary *Vocabulary
	Fitting
	Explain []string // sizes to explain in full besides the recommended one
	Makes   []*Make  // of this person and others: what they taught is shown
	Trace   bool     // record every part of the conditions of rules that fired
	Sure    bool     // tell how sure the answer is, and where another size wins
	Ask     string   // a rule to explain in full even where it did not fire
	Usual   []Usual  // alterations made before, besides the body's own list
}

// Ranked is one size in rank order, without words.
type Ranked struct {
	Size   string
	Misfit float64
}

// Ranking is what [Fitter.Rank] returns: sizes by misfit, the best that no stop
// rule rules out, and the cautions on it.
type Ranking struct {
	ByMisfit []Ranked
	Best     string   // empty: every size is ruled out
	Cautions []string // ids, on the best size
}

// Rank ranks the sizes for one body without explaining anything: stop rules are
// asked in order of misfit until a size passes, the rest once, on that size.
func (f *Fitter) Rank(t Fitting) (Ranking, error) {
	j, err := f.judge(t)
	if err != nil {
		return Ranking{}, err
	}
	defer j.giveBack()
	ps := j.byMisfit()
	r := Ranking{ByMisfit: make([]Ranked, len(ps))}
	for i, p := range ps {
		r.ByMisfit[i] = Ranked{f.sizes[p.s], p.misfit}
	}
	best, ok, err := j.bestThatIsNotRuledOut(ps)
	if err != nil || !ok {
		return r, err
	}
	h := &j.results[best.s]
	if err := j.warn(h, best.s, Request{Fitting: t}); err != nil {
		return r, err
	}
	j.sortResults(h)
	r.Best, r.Cautions = f.sizes[best.s], h.ids()
	return r, nil
}

// warn asks the rules that do not stop about a size, with its plan, at which
// some of them look.
func (j *judging) warn(h *ruleResults, s int, q Request) error {
	if err := j.draw(s, q); err != nil {
		return err
	}
	j.forget()
	return j.applyRules(h, s, &j.warns)
}

// Advise answers one request, with the explanation. Errors: [NoRowError],
// [UnknownError], [WishError], [LayerError] and [RuleError]. That nothing fits
// is an answer, not an error.
func Advise(q Request) (*Answer, error) {
	f, err := Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		return nil, err
	}
	return f.Advise(q)
}

// Advise answers for one body on a prepared pattern; the request's pattern,
// recipe, rules and vocabulary are those the Fitter was prepared with.
func (f *Fitter) Advise(q Request) (*Answer, error) {
	q.Pattern, q.Recipe, q.Vocabulary = f.pattern, f.recipe, f.voc
	if err := q.Validate(); err != nil {
		return nil, err
	}
	j, err := f.judge(q.Fitting)
	if err != nil {
		return nil, err
	}
	defer j.giveBack()
	ps := j.byMisfit()
	results, err := j.applyAllRules(ps)
	if err != nil {
		return nil, err
	}
	for i := range ps {
		ps[i].ruledOut = results[ps[i].s].stops()
	}
	j.order(ps)
	a := &Answer{Version: 1, Pattern: f.pattern.Name, Maker: f.pattern.Maker, Recipe: f.recipe.Name, Body: q.Body.Name,
		Wish: j.explainer().wishText(), Lines: []SizeLine{},
		Grading: GradingAnswer{f.recipe.Grading.Sensible, f.recipe.Grading.Because, []GradingStep{}, []string{}}}
	a.ChartSize = ChartSize{Size: f.sizes[j.chart.s], By: j.chart.by.Name, OffChartCm: j.offChartCm(), Each: j.sizeByMeasurement()}
	for i, p := range ps {
		a.Sizes = append(a.Sizes, j.explainer().sizeAnswer(i, p, &results[p.s]))
	}
	shown := ps[0]
	moves := &plan{}
	if err := j.draw(shown.s, q); err != nil {
		return nil, err
	}
	if err := j.applyRulesAgain(&results[shown.s], shown.s); err != nil {
		return nil, err
	}
	a.Sizes[0].Cautions = results[shown.s].ids()
	j.explainer().after(a.Sizes[0].Zones)
	a.Alterations, a.Lengths, a.ByHeight = j.explainer().alterationAnswers(), j.explainer().lengths(shown.s), j.explainer().byHeight(shown.s)
	if !shown.ruledOut {
		a.Recommended = j.recommend(shown)
		moves = j.moves()
		a.Plan = &Plan{Levels: j.ledger.levels(j)}
		a.Lines, a.Grading.Steps, a.Grading.Follow = j.sizeLines(), j.gradingSteps(moves), j.explainer().follows(moves)
		a.Recommended.With = a.Recommended.otherLines(a.Lines)
		j.recommendLines(a.Recommended)
	} else {
		a.Ends = j.patternEnds()
	}
	a.NotJudged, a.Liked = j.warned(j.explainer().notJudged(shown.s), shown.s), j.explainer().likedAnswers()
	a.Assumptions, a.Missing = j.explainer().assumptions(shown.s), j.missing(shown.s)
	if err := j.explainer().addCautions(a, &results[shown.s]); err != nil {
		return nil, err
	}
	a.NotChecked = append(append(a.NotChecked, j.notAltered(q.Usual)...), j.altering.instead...)
	a.NotUsed = j.explainer().notUsed(a, shown.s)
	a.Shown = j.shown(shown.s)
	if err := j.afterAndBefore(a, shown, &results[shown.s], f); err != nil {
		return nil, err
	}
	if a.Why, err = j.explainer().why(a, ps, results, q); err != nil {
		return nil, err
	}
	for i := range a.Lengths {
		a.Why.Add(a.Lengths[i].why())
	}
	if a.ByHeight != nil {
		a.Why.Add(a.ByHeight.why())
	}
	if a.Plan != nil {
		j.explainer().explainLedger(moves, a.Why)
	}
	if len(q.Makes) > 0 {
		a.Learned = Learn(q.Makes, Lesson{Body: q.Body.Name, Maker: f.pattern.Maker, Recipe: f.recipe, Cloth: q.Cloth, Vocabulary: f.voc, Units: q.Units})
		a.Why.Add(a.Learned.Why)
	}
	if q.Sure && q.Observed == nil { // a toile settles the size
		err = f.sure(a, q.Fitting)
	}
	return a, err
}

// recommend puts the decision into a sentence.
func (j *judging) recommend(p placed) *Recommended {
	r := &Recommended{Size: j.sizes[p.s], Misfit: p.known()}
	var zones, reasons []string
	for z, c := range j.zones {
		if fit := j.fitted(z, p.s); j.hasSay(z) && fit.judged {
			zones = append(zones, zoneTitle(c.zone))
			reasons = append(reasons, j.explainer().reason(c, fit, p.s))
		}
	}
	switch len(zones) {
	case 0:
		r.Decides = fmt.Sprintf("the chart puts your %s nearest to it, and the garment itself could not be judged", j.chart.by.Title)
		r.Because = r.Decides
	case 1:
		r.Decides = fmt.Sprintf("your %s decides", zones[0])
		r.Because = r.Decides + ", " + reasons[0]
	default:
		for i := range reasons {
			reasons[i] = "the " + zones[i] + " " + reasons[i]
		}
		r.Decides = fmt.Sprintf("your %s decide", list(zones, "and"))
		r.Because = r.Decides + ", " + list(reasons, "and")
	}
	r.Because += j.explainer().cupReason(p.s)
	j.recommendLength(r, p.s)
	return r
}

// recommendLines names the size lines of the zones that decide, where no one size
// fits them all.
func (j *judging) recommendLines(r *Recommended) {
	var parts, reasons []string
	last := -1
	for _, l := range j.ledger.rows {
		c := j.zoneOf(l)
		if c == nil || !j.hasSay(l.z) || !c.lined() || c.zone.Ease == nil {
			continue
		}
		reasons = append(reasons, fmt.Sprintf("the %s %s", zoneTitle(c.zone), j.explainer().reason(c, j.fitted(l.z, l.line), l.line)))
		if l.line == last {
			continue
		}
		part := fmt.Sprintf("%s at the %s", j.sizes[l.line], zoneTitle(c.zone))
		if last >= 0 {
			part = fmt.Sprintf("%s from the %s down", j.sizes[l.line], zoneTitle(c.zone))
		}
		parts, last = append(parts, part), l.line
	}
	if len(parts) > 1 {
		r.Decides = "no one size fits all that decides"
		r.Lines, r.Because = list(parts, "and"), fmt.Sprintf("%s; on these lines %s", r.Decides, list(reasons, "and"))
	}
}

// otherLines names the size lines that are not the recommended size's, with where to follow them: "the hip of size L".
func (r *Recommended) otherLines(lines []SizeLine) string {
	var sizes []string
	at := map[string][]string{}
	for _, l := range lines {
		if l.Size == r.Size {
			continue
		}
		if at[l.Size] == nil {
			sizes = append(sizes, l.Size)
		}
		at[l.Size] = append(at[l.Size], strings.ReplaceAll(l.Zone, "_", " "))
	}
	for i, size := range sizes {
		sizes[i] = fmt.Sprintf("the %s of size %s", list(at[size], "and"), size)
	}
	return list(sizes, "and")
}

// Cut is what to cut, in words: a size, or the lines of several.
func (r *Recommended) Cut() string {
	cut := "size " + r.Size
	if r.Lines != "" {
		cut = r.Lines
	}
	if r.Length != "" {
		cut = fmt.Sprintf("the widths of %s at the length of size %s", cut, r.Length)
	}
	if r.Lines == "" && r.With != "" {
		cut += ", with " + r.With
	}
	return cut
}

func zoneTitle(z *Zone) string { return strings.ReplaceAll(z.Name, "_", " ") }

// reason says how a deciding zone comes out.
func (j explainer) reason(c *column, fit *zoneFit, s int) string {
	chart := fmt.Sprintf("with %s where the chart has %s", j.inUnits(fit.body), j.inUnits(c.chart[s].v))
	if j.inUnits(fit.body) == j.inUnits(c.chart[s].v) {
		chart = fmt.Sprintf("with the %s that the chart has", j.inUnits(fit.body))
	}
	if c.zone.By == ByChart {
		return chart
	}
	if fit.finished.estimated {
		return chart + " (the garment's own measurement is not given)"
	}
	if c.zone.Laps != "" {
		return fmt.Sprintf("with %s of overlap left of the %s drawn", j.inUnits(fit.ease), j.inUnits(fit.wanted))
	}
	percent := c.zone.percent()
	get, wanted := j.ease(fit.ease, percent), j.ease(fit.wanted, percent)
	if end, ok := j.altered(c, s); ok && j.ease(end, percent) != get {
		return fmt.Sprintf("with %s of ease on its line and %s once it is altered%s%s", get, j.ease(end, percent), j.restsOn(c), j.fullBustWords(c, fit, s))
	}
	laced := ""
	if c.lacing != nil {
		laced = fmt.Sprintf(", laced with the gap of %s that is drawn", j.inUnits(float64(c.lacing.Gap)))
	}
	if get == wanted {
		return fmt.Sprintf("with the %s of ease that is wanted%s%s%s", get, laced, j.restsOn(c), j.fullBustWords(c, fit, s))
	}
	return fmt.Sprintf("with %s of ease where %s is wanted%s%s%s", get, wanted, laced, j.restsOn(c), j.fullBustWords(c, fit, s))
}

// altered is the ease that a zone has in the end, where the plan changes the garment there on the line of a size.
func (j explainer) altered(c *column, s int) (float64, bool) {
	if j.ledger == nil {
		return 0, false
	}
	r := j.ledger.at(c.measure)
	if r == nil || r.line != s || len(r.changes) == 0 || !r.you.known {
		return 0, false
	}
	return convert(r.becomes()-r.you.v, false, c.zone.percent(), r.you.v), true
}

func (j explainer) sizeAnswer(i int, p placed, h *ruleResults) SizeAnswer {
	a := SizeAnswer{Size: j.sizes[p.s], DrawnByYou: j.drawnByYou(p.s), Rank: i + 1, RuledOut: p.ruledOut, Cautions: h.ids(), Zones: make([]ZoneAnswer, 0, len(j.zones)), NotJudged: j.notJudged(p.s)}
	a.Misfit = p.known()
	for z := range j.zones {
		if s := j.cutAt(z, p.s); j.fitted(z, s).judged {
			a.Zones = append(a.Zones, j.zoneAnswer(z, s))
		}
	}
	return a
}

func (j explainer) zoneAnswer(z, s int) ZoneAnswer {
	c, fit := j.zones[z], j.fitted(z, s)
	percent := c.zone.percent()
	figures := make([]float64, 0, 11) // they lie together
	keep := func(v float64) *float64 { figures = append(figures, v); return &figures[len(figures)-1] }
	cm := func(nm float64) *float64 { return keep(roundTo(nm/nanometresPerCm, 1000)) }
	ease := func(v float64) *float64 {
		if percent {
			return keep(roundTo(v, 100))
		}
		return cm(v)
	}
	a := ZoneAnswer{Overlap: c.zone.Laps != "", Zone: c.zone.Name, Role: c.zone.Role, Body: *cm(fit.body), Estimated: fit.finished.estimated, Points: fit.points, Verdict: j.verdict(c, fit)}
	if full, _ := j.of(c.measure); c.standIn && full.known && j.byUpperBust(s) {
		a.Measured = cm(full.v)
	}
	if c.zone.By == ByChart {
		a.Chart = cm(fit.body + fit.distance)
		return a
	}
	if percent {
		a.Unit = "percent"
	}
	a.Finished, a.Ease, a.Wanted = cm(fit.finished.v), ease(fit.ease), ease(fit.wanted)
	if fit.drawn.known {
		a.Drawn = ease(fit.drawn.v)
	}
	a.Least = *ease(j.leastTolerance(c.zone))
	if c.lacing != nil && !fit.finished.estimated {
		a.Gap = cm(float64(c.lacing.Gap))
	}
	if c.chart[s].known && c.zone.Laps == "" {
		a.ChartBody = cm(c.chart[s].v)
	}
	j.answerLiked(&a, z, ease)
	if e := c.zone.Ease; e != nil && e.HasLow {
		a.Low = ease(e.Low)
	}
	if e := c.zone.Ease; e != nil && e.HasHigh {
		a.High = ease(e.High)
	}
	return a
}

// notJudged lists the zones and openings that one size leaves unjudged.
func (j explainer) notJudged(s int) []NotJudged {
	out := []NotJudged{}
	for z, c := range j.zones {
		if fit := j.fitted(z, j.cutAt(z, s)); !fit.judged {
			out = append(out, NotJudged{Zone: c.zone.Name, Because: fit.because})
		}
	}
	for _, fit := range j.openings(s) {
		if fit.result == notJudged {
			out = append(out, NotJudged{Zone: fit.o.Name + " opening", Because: fit.because})
		}
	}
	return out
}

// warned adds for how many people a zone that is not measured would be too close.
func (j *judging) warned(all []NotJudged, s int) []NotJudged {
	for i := range all {
		z := j.zoneAt(all[i].Zone)
		if z < 0 {
			continue
		}
		if g, ok := j.surmiseAt(z, s); ok {
			share := roundTo(g.tooClose, 1000)
			all[i].TooClose, all[i].Because = &share, all[i].Because+"; "+g.say(j.voc.Title)
		}
	}
	return all
}

func (j explainer) addCautions(a *Answer, h *ruleResults) error {
	a.Cautions, a.NotChecked = []Caution{}, []NotChecked{}
	for i := range h.fired {
		c, err := j.caution(&h.fired[i])
		if err != nil {
			return err
		}
		a.Cautions = append(a.Cautions, c)
	}
	for i := range h.skipped {
		a.NotChecked = append(a.NotChecked, j.notChecked(&h.skipped[i]))
	}
	return nil
}

// assumptions lists what was taken for granted at the size shown.
func (j explainer) assumptions(s int) []Assumption {
	out := []Assumption{}
	if j.Cloth == nil {
		out = append(out, j.assumedClothWords())
	}
	if way := j.drawnByYou(s); way != "" {
		out = append(out, Assumption{fmt.Sprintf("size %s lies %s", j.sizes[s], way), "the nest leaves a gap there, and you draw the line yourself"})
	}
	out = append(out, j.likedAssumptions(s)...)
	for z := range j.zones {
		out = append(out, j.assumptionsAt(z, s)...)
	}
	if l := j.anyLacing(s); l != nil {
		out = append(out, Assumption{fmt.Sprintf("what is laced is worn with a gap, drawn as %s, which counts as part of the garment", j.inUnits(float64(l.Gap))), "the finished measurements are what is sewn, from edge to edge"})
	}
	if j.recipe.HangsFrom == FromShoulder && j.upperBust().known && !j.cup(j.chart.s).known {
		out = append(out, Assumption{"the full bust picks the size", "the pattern does not say for which cup it was drafted, so your upper bust cannot be used"})
	}
	leftOut := slices.Clone(j.leftOut)
	for s, i := range j.cells {
		if !j.chart.row[i].Known {
			leftOut = append(leftOut, j.sizes[s])
		}
	}
	out = append(out, j.notWeighed()...)
	if len(leftOut) > 0 {
		out = append(out, Assumption{"left out: size " + list(leftOut, "and"), "the chart does not say which body it is for"})
	}
	return out
}

// assumptionsAt is what was taken for granted at a zone.
func (j explainer) assumptionsAt(z, s int) (out []Assumption) {
	c, in := j.zones[z], j.cutAt(z, s)
	fit := j.fitted(z, in)
	if !fit.judged || !c.zone.eased() {
		return nil
	}
	title := c.measure.Title
	if _, from := j.of(c.measure); from != c.measure {
		out = append(out, Assumption{fmt.Sprintf("your %s stands for the %s", from.Title, title), "the vocabulary counts them as one"})
	}
	if cell := fit.finished.cell; cell != nil && cell.Sum != nil && cell.Sum.Graded != nil {
		out = append(out, gradedAssumption(title, cell.Sum))
	}
	if fit.finished.estimated {
		out = append(out, Assumption{fmt.Sprintf("the finished %s of size %s is about %s", title, j.sizes[in], j.inUnits(fit.finished.v)), "the pattern does not give it: chart body plus the ease " + j.estimateFrom(c)})
	}
	if !fit.drawn.known && j.wishes[z].Word == WishDrawn {
		out = append(out, Assumption{fmt.Sprintf("the ease wanted at the %s is the middle of what this type expects", title), "the chart does not give the body it was drawn for"})
	}
	return out
}

// notWeighed tells of the sizes that cannot be compared with the others, since
// what decides is not known of them.
func (j *judging) notWeighed() []Assumption {
	var out []Assumption
	for z := range j.zones {
		if !j.hasSay(z) || !j.judgedSomewhere(z) {
			continue
		}
		var lacking []int
		for s, i := range j.cells {
			if !j.fitted(z, s).judged && j.chart.row[i].Known {
				lacking = append(lacking, s)
			}
		}
		if len(lacking) > 0 {
			out = append(out, Assumption{"not weighed against the others: " + run(j.labels(lacking)), j.fitted(z, lacking[0]).because})
		}
	}
	return out
}

func (j explainer) estimateFrom(c *column) string {
	if c.madeRow == "" {
		return "this type expects at its middle"
	}
	return "drawn at the neighbouring sizes"
}

func (j explainer) assumedClothWords() Assumption {
	because := fmt.Sprintf("no cloth was named, and %s asks for none that stretches", An(j.recipe.Title))
	switch {
	case j.recipe.Stretch.Kind == StretchNeeded:
		return Assumption{fmt.Sprintf("the cloth is a knit that stretches %s", j.Percent(j.recipe.Stretch.Least)), fmt.Sprintf("no cloth was named, and %s needs that much", An(j.recipe.Title))}
	case j.recipe.Stretch.Least > 0:
		return Assumption{fmt.Sprintf("the cloth is a woven that stretches %s", j.Percent(j.recipe.Stretch.Least)), fmt.Sprintf("no cloth was named, and %s is usually made in one", An(j.recipe.Title))}
	}
	return Assumption{"the cloth is a woven without stretch", because}
}

// missing lists measurements that this recipe could have used for a size.
func (j *judging) missing(s int) []Missing {
	out := []Missing{}
	seen := map[string]bool{}
	want := func(m *Measure, needed string) {
		if v, _ := j.of(m); v.known || seen[m.Name] || m.Kind == Garment {
			return
		}
		seen[m.Name] = true
		out = append(out, Missing{m.Name, needed, m.How})
	}
	for _, c := range j.zones {
		if c.gap == "" && !j.at(c, 0).known {
			want(c.measure, roleWords[c.zone.Role])
		}
	}
	if j.recipe.HangsFrom == FromShoulder {
		want(j.upper, "choosing by the shoulder and neck instead of the full bust")
	}
	for _, fit := range j.openings(s) {
		if fit.result != notJudged || fit.unknown == nil { // you get in whatever it is, or it would not help
			continue
		}
		for _, alternative := range fit.o.Passes {
			for _, p := range alternative {
				want(j.voc.Measure(p), "getting in at the "+fit.o.Name)
			}
		}
	}
	return out
}

var roleWords = map[Role]string{
	Decides: "choosing the size",
	Mended:  "altering the garment there",
	Held:    "drawing the garment in to fit",
}

// OpeningAnswer is how the body gets in at one opening, in words.
type OpeningAnswer struct{ Name, Result, Say string }

// HeldAnswer is a level at which the garment is drawn in to fit.
type HeldAnswer struct {
	Zone string
	By   string  // what holds it
	Body float64 // you, in centimetres
	Say  string  // how long to cut what holds it; empty where the recipe does not say
}

func (j *judging) shown(s int) *Shown {
	sh := &Shown{Units: j.Units, Today: j.Today, Sizes: j.sizes, Recipe: j.recipe, Title: j.voc.Title, Used: j.used(),
		Limb:   func(measure string) Limb { return j.voc.Measure(measure).Limb },
		Height: j.voc.HeightOf}
	if j.Cloth != nil {
		sh.Cloth = j.Cloth.Name
	}
	for _, fit := range j.openings(s) {
		sh.Openings = append(sh.Openings, OpeningAnswer{fit.o.Name, fit.result, j.explainer().explainOpening(s, &fit).Label})
	}
	sh.Held = j.explainer().held()
	return sh
}

// used lists what was measured, from the top of the body down.
func (j *judging) used() []Used {
	var out []Used
	for _, name := range j.voc.names {
		t, ok := j.Body.Measurements[name]
		if !ok {
			continue
		}
		value := j.inUnits(float64(t.value()))
		if m := j.voc.measures[name]; m.Kind == Angle {
			value = j.Degrees(t.Degrees)
		}
		out = append(out, Used{name, value, j.Body.TakenOn(name)})
	}
	return out
}

// held are the levels that are drawn in to fit, with how long to cut what holds each, where the recipe says so.
func (j explainer) held() []HeldAnswer {
	var out []HeldAnswer
	for _, c := range j.zones {
		v, _ := j.of(c.measure)
		if !v.known || c.zone.Role != Held {
			continue
		}
		h := HeldAnswer{Zone: c.zone.Name, By: heldBy(c.zone), Body: v.v / nanometresPerCm}
		if cut := c.zone.Cut; cut != nil {
			low, high := v.v*cut.Low/100, v.v*cut.High/100
			h.Say = fmt.Sprintf("cut the %s %s %s to %s long, %s to %s of your %s of %s, and try it on before you sew it in", c.measure.Title, h.By,
				j.inUnits(low), j.inUnits(high), j.Percent(cut.Low), j.Percent(cut.High), c.measure.Title, j.inUnits(v.v))
		}
		out = append(out, h)
	}
	return out
}

// why is the whole explanation, from the decision down to the tape.
func (j explainer) why(a *Answer, ps []placed, results []ruleResults, q Request) (*explain.Node, error) {
	root := &explain.Node{ID: "answer", Source: j.recipe.At.String(), Label: "no size can be cut as it is", Value: explain.Text("none")}
	if a.Recommended != nil {
		root.Label = fmt.Sprintf("cut %s: %s", a.Recommended.Cut(), a.Recommended.Because)
		root.Value = explain.Text(a.Recommended.Size)
	}
	root.Add(j.explainPick())
	for i, p := range ps {
		full := i == 0 || slices.Contains(q.Explain, j.sizes[p.s])
		n := j.explainSize(p, &results[p.s], full)
		if full {
			if err := j.explainCautions(n, p.s, &results[p.s], q); err != nil {
				return nil, err
			}
			if i == 0 {
				j.explainAlterations(n, q.Ask)
			}
		}
		root.Add(n)
	}
	return root.Add(j.whyToile), nil
}

// explainSize is the claim of one size: in full, its zones and openings too.
func (j explainer) explainSize(p placed, h *ruleResults, full bool) *explain.Node {
	size := j.sizes[p.s]
	n := &explain.Node{ID: explain.ID("size", size), Value: explain.Number(p.misfit, ""), Source: "method: misfit"}
	var parts []string
	for z, c := range j.zones {
		if fit := j.fitted(z, p.s); j.hasSay(z) && fit.judged {
			parts = append(parts, c.zone.Name+" "+pointsText(fit.points))
		}
	}
	switch {
	case !p.judged:
		n.Label, n.Value = fmt.Sprintf("size %s cannot be placed: a zone that decides is not judged there", size), nil
	case len(parts) == 1:
		n.Label = fmt.Sprintf("size %s: misfit %s, from the %s alone", size, pointsText(p.misfit), strings.Fields(parts[0])[0])
	default:
		n.Label = fmt.Sprintf("size %s: misfit %s = %s", size, pointsText(p.misfit), strings.Join(parts, " + "))
	}
	if p.cups > 0 {
		n.Label += "; another cup of its upper bust lies nearer your full bust"
	}
	if p.ruledOut {
		var by []string
		for _, f := range h.fired {
			if f.rule.Severity == Stop && !slices.Contains(by, f.rule.ID) {
				by = append(by, f.rule.ID)
			}
		}
		n.Label += "; ruled out by " + list(by, "and")
	}
	if !full {
		return n
	}
	for z := range j.zones {
		j.explainZone(z, p.s, n)
	}
	for _, fit := range j.openings(p.s) {
		n.Add(j.explainOpening(p.s, &fit))
	}
	return n
}

// pointsText prints points and misfits: four decimals at most, trailing noughts cut.
func pointsText(v float64) string {
	s := fmt.Sprintf("%.4f", v)
	if v != 0 && math.Abs(v) < 0.00005 {
		return "less than 0.0001"
	}
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
