package recipes

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// What is legal and probably not meant.
const (
	tooSmall       diag.Code = "FA0451" // for a cloth that does not give
	unusualEase    diag.Code = "FA0452"
	nothingToGrade diag.Code = "FA0453"
	passesLess     diag.Code = "FA0454" // than the body is on the way in
	pointsAway     diag.Code = "FA0455" // from the longer reach of a range
	notShown       diag.Code = "FA0456" // by an example
	stillGuessed   diag.Code = "FA0457"

	neverFires  diag.Code = "FA0551"
	alwaysFires diag.Code = "FA0552"
	saysUnknown diag.Code = "FA0553"
	notUsed     diag.Code = "FA0554" // limit
)

// Doubt warns of what a recipe may say and probably does not mean. The outcomes
// are those of its examples, wherever they stand; what the recipe takes over
// from another file is left to that one.
func Doubt(doc *file.Doc, recipe *engine.Recipe, outcomes []Outcome, voc *engine.Vocabulary) {
	voc = voc.For(nil, recipe)
	d := &doubter{reader{doc, voc}, recipe, outcomes}
	for i := range recipe.Zones {
		d.ease(&recipe.Zones[i])
	}
	d.grading()
	for i := range recipe.Openings {
		d.opening(&recipe.Openings[i])
	}
	d.between(doc.Root().Map().Get("between_sizes").Range())
	d.examples()
	d.guesses()
	t := &tallies{of: map[*engine.Rule]*tally{}}
	own := d.readable(recipe.Rules)
	d.limits(own)
	d.rules(d.gridded(t.try(recipe, own, voc, 0, 1), true), t)
	d.texts(own, t)
}

// DoubtRules warns of rules that probably say other than they mean. They are
// tried on the shipped garment types.
func DoubtRules(doc *file.Doc, all []*engine.Rule, voc *engine.Vocabulary) {
	d := &doubter{reader: reader{doc, voc}}
	tried := d.readable(all)
	d.limits(tried)
	asked := tried
	t, zones := &tallies{of: map[*engine.Rule]*tally{}}, map[string]bool{}
	for i, name := range Names() {
		if len(asked) == 0 {
			break
		}
		recipe, err := Shipped(name, voc)
		if err != nil {
			continue
		}
		for _, z := range recipe.Zones {
			zones[z.Name], zones[z.Measure] = true, true
		}
		asked = t.try(recipe, asked, voc, i%3, 3)
	}
	d.rules(slices.DeleteFunc(d.gridded(asked, false), func(r *engine.Rule) bool { return ofOtherZones(r, zones) }), t)
	d.texts(tried, t)
}

// texts looks for rules that spoke without knowing what they speak of.
func (d *doubter) texts(tried []*engine.Rule, t *tallies) {
	for _, r := range tried {
		if n := t.of[r]; n != nil && n.lacks != "" {
			d.warn(r.At, saysUnknown, "the rule `"+r.ID+"` spoke in a made-up case in which `"+n.lacks+"`, of which it tells, was not known",
				"ask for it in `when:`, as in `known("+n.lacks+") and ...`; what is not known prints as `"+formula.NotKnown+"`")
		}
	}
}

// ofOtherZones tells whether a rule speaks of the ease of a zone that is none of
// those: it could not be tried.
func ofOtherZones(r *engine.Rule, zones map[string]bool) bool {
	when, err := r.When()
	return err != nil || slices.ContainsFunc(when.Names(), func(name string) bool {
		group, measure, _ := strings.Cut(name, ".")
		return slices.Contains([]string{"ease", "drawn", "wanted", "low", "high", "lacks"}, group) && !zones[measure]
	})
}

// doubter looks at one file that has no errors.
type doubter struct {
	reader
	recipe   *engine.Recipe
	outcomes []Outcome
}

// warn warns of something in this file.
func (d *doubter) warn(at diag.Range, code diag.Code, summary, hint string) {
	if at.File == d.doc.Name() {
		d.doc.Warn(at, code, summary, hint)
	}
}

// ease looks at how much ease a zone is expected to have.
func (d *doubter) ease(z *engine.Zone) {
	e, m, limits := z.Ease, d.voc.Measure(z.Measure), d.voc.Limits
	if e == nil || z.By == engine.ByChart || z.Laps != "" || d.recipe.Laced(m, d.voc) != nil {
		return
	}
	if e.Percent {
		d.easeInPercent(z)
		return
	}
	unit := d.unitOf(z)
	length := func(nm float64) string { return quantity.Length(nm).Format(unit) }
	room, _ := m.WearingEase(d.recipe)
	switch {
	case d.tooSmall(z):
	case d.recipe.Stretch.Kind == engine.NoStretch && z.Role == engine.Decides && e.HasLow && e.Low < float64(room):
		d.warn(z.EaseAt, unusualEase, fmt.Sprintf("the `%s` may have %s of ease, and without stretch %s is usual to move in", z.Name, length(e.Low), length(float64(room))),
			"raise the low end, or say what the cloth gives, as in `stretch: {comfort: 10 %}`")
	case e.HasLow && e.HasHigh && e.High-e.Low > float64(limits.UsualWidth):
		d.warn(z.EaseAt, unusualEase, "the ease reaches over "+length(e.High-e.Low)+", and types seldom allow more than "+limits.UsualWidth.Format(unit),
			"is a unit wrong? Garments that differ so much are better two types; for no upper end write `4 in ..`")
	}
}

// easeInPercent looks at an ease that is a share of the body.
func (d *doubter) easeInPercent(z *engine.Zone) {
	e, limits := z.Ease, d.voc.Limits
	switch {
	case e.HasLow && e.Low < limits.UsualLeast:
		d.warn(z.EaseAt, unusualEase, "an ease of "+quantity.FormatPercent(e.Low)+" is more than any usual cloth stretches to",
			"ease is a share of the body: a top of 88 cm over 96 cm has -8.3 %")
	case d.tooSmall(z):
	case e.HasHigh && e.High > limits.UsualMost:
		d.warn(z.EaseAt, unusualEase, "an ease of "+quantity.FormatPercent(e.High)+" is more than ease: it is fullness",
			"ease is a share of the body; for gathers and folds give the ease of what they hang from")
	}
}

// tooSmall warns of a garment that may be smaller than its own least cloth carries.
func (d *doubter) tooSmall(z *engine.Zone) bool {
	e, stretch := z.Ease, d.recipe.Stretch
	if !d.recipe.Pulls(z, d.voc.Measure(z.Measure)) || !e.HasLow || e.Low >= 0 {
		return false
	}
	if stretch.Kind == engine.NoStretch {
		d.warn(z.EaseAt, tooSmall, "the `"+z.Name+"` may be smaller than the body, and `stretch: none` lets nothing give",
			"raise the low end to 0 or more, or say what the cloth gives, as in `stretch: {comfort: 10 %}`")
		return true
	}
	asks, share := (100/(100+e.Low)-1)*100, d.voc.Limits.UsableShare
	if z.Role == engine.Held || !e.Percent || asks <= stretch.Least*share {
		return false
	}
	up := func(v float64) string { return quantity.FormatPercent(math.Ceil(v*10-1e-9) / 10) }
	d.warn(z.EaseAt, tooSmall, fmt.Sprintf("the `%s` may be %s smaller than the body, which asks for %s of stretch, and of the %s that the type asks of a cloth %s stays comfortable",
		z.Name, quantity.FormatPercent(-e.Low), up(asks), quantity.FormatPercent(stretch.Least), quantity.FormatPercent(stretch.Least*share)),
		fmt.Sprintf("raise the low end to %s, or ask for a cloth that stretches %s", quantity.FormatPercent(math.Ceil((100/(1+stretch.Least*share/100)-100)*10)/10), up(asks/share)))
	return true
}

// unitOf is the unit that a zone's ease is written in, as well as can be told.
func (d *doubter) unitOf(z *engine.Zone) quantity.Unit {
	written := d.doc.Root().Map().Get("zones").Map().Get(z.Name).Map().Get("ease").Text()
	if strings.Contains(written, "cm") || strings.Contains(written, "mm") {
		return quantity.Cm
	}
	return quantity.In
}

// grading wants two levels to move between.
func (d *doubter) grading() {
	levels := 0
	for _, z := range d.recipe.Zones {
		kind := d.voc.Measure(z.Measure).Kind
		if z.Role != engine.Held && z.By != engine.ByChart && z.Laps == "" && (kind == engine.Girth || kind == engine.Across) {
			levels++
		}
	}
	if g := d.recipe.Grading; g.Sensible && levels < 2 {
		d.warn(g.At, nothingToGrade, "grading is called sensible, and there are no two zones to move between",
			"what is held by elastic or a tie fits in any size: write `sensible: false`, or add the zone that is meant")
	}
}

// opening looks at what an opening is asked to let through.
func (d *doubter) opening(o *engine.Opening) {
	row := o.Measure
	if o.Closure != nil {
		row = o.Closure.From
	}
	m := d.voc.Measure(row)
	if m == nil || m.Passes == nil || o.Closure != nil && o.Closure.Lacing != nil {
		return
	}
	for _, alternative := range o.Passes {
		if slices.ContainsFunc(alternative, func(part string) bool { return slices.Contains(m.Passes, part) }) {
			continue
		}
		d.warn(o.At, passesLess, fmt.Sprintf("the opening `%s` may be passed by the %s alone, and the body is wider on the way in", o.Name, d.titles(alternative, "and")),
			fmt.Sprintf("what has to get through %s: the %s", engine.An(m.Title), d.titles(m.Passes, "or the")))
	}
}

func (d *doubter) titles(names []string, between string) string {
	titles := make([]string, len(names))
	for i, name := range names {
		titles[i] = d.voc.Title(name)
	}
	return strings.Join(titles, " "+between+" ")
}

// between looks at which of two sizes is taken: the way on which the range
// reaches further from the ease drawn is the safer one.
func (d *doubter) between(at diag.Range) {
	rooms := d.leeways()
	away := func(r leeway) bool {
		return d.recipe.Between == engine.Larger && r.above < r.below || d.recipe.Between == engine.Smaller && r.below < r.above
	}
	if len(rooms) == 0 || slices.ContainsFunc(rooms, func(r leeway) bool { return !away(r) }) {
		return
	}
	better := "larger"
	if d.recipe.Between == engine.Larger {
		better = "smaller"
	}
	d.warn(at, pointsAway, fmt.Sprintf("between two sizes the %s one is taken, and the ease expected reaches further towards the %s", d.recipe.Between, better),
		"write `between_sizes: "+better+"`, leave the key out for the usual choice, or widen the range where the garment bears it")
}

// leeway is how far the ease drawn lies from both ends of the range.
type leeway struct{ below, above float64 }

// leeways are those of the deciding zones, in all examples; where none says what
// was drawn, a range that is open at one end speaks for itself.
func (d *doubter) leeways() []leeway {
	var out []leeway
	for _, o := range d.outcomes {
		if o.Answer == nil {
			continue
		}
		for _, z := range o.Answer.Sizes[0].Zones {
			if z.Role == engine.Decides && z.Drawn != nil && (z.Low != nil || z.High != nil) {
				out = append(out, leeway{*z.Drawn - either(z.Low, math.Inf(-1)), either(z.High, math.Inf(1)) - *z.Drawn})
			}
		}
	}
	for _, z := range d.recipe.Zones {
		if e := z.Ease; len(out) == 0 && z.Role == engine.Decides && e != nil && e.HasLow != e.HasHigh {
			return []leeway{{reach(!e.HasLow), reach(!e.HasHigh)}}
		}
	}
	return out
}

func either(known *float64, otherwise float64) float64 {
	if known == nil {
		return otherwise
	}
	return *known
}

// reach is how far a range goes at an end: without limit where that is open.
func reach(open bool) float64 {
	if open {
		return math.Inf(1)
	}
	return 0
}

// examples looks for zones that no example shows.
func (d *doubter) examples() {
	if len(d.outcomes) == 0 {
		d.warn(d.recipe.At, notShown, "no example shows what this recipe does", "write three under `examples:` with the sums worked out by hand, or check it together with its test file")
		return
	}
	for _, z := range d.recipe.Zones {
		shows := func(o Outcome) bool { return o.Answer != nil && slices.ContainsFunc(o.Answer.Sizes, judges(z.Name)) }
		if heldOnly := z.Role == engine.Held && z.Ease == nil; !heldOnly && !slices.ContainsFunc(d.outcomes, shows) {
			d.warn(z.At, notShown, "no example judges the zone `"+z.Name+"`", "give one a body and a pattern with the "+d.voc.Title(z.Measure)+", and say what to expect under `zones:`")
		}
	}
}

func judges(zone string) func(engine.SizeAnswer) bool {
	return func(s engine.SizeAnswer) bool {
		return slices.ContainsFunc(s.Zones, func(z engine.ZoneAnswer) bool { return z.Zone == zone })
	}
}

// readable keeps the rules of this file that compile.
func (d *doubter) readable(all []*engine.Rule) []*engine.Rule {
	var out []*engine.Rule
	for _, r := range all {
		if _, err := r.When(); err == nil && r.At.File == d.doc.Name() {
			out = append(out, r)
		}
	}
	return out
}

// gridded keeps the rules whose every name differs between the cases.
func (d *doubter) gridded(all []*engine.Rule, own bool) []*engine.Rule {
	return slices.DeleteFunc(slices.Clone(all), func(r *engine.Rule) bool {
		when, err := r.When()
		return err != nil || !inGrid(when, d.voc, own)
	})
}

// fewestCases are needed to say that a rule never fires, or always.
const fewestCases = 100

// rules looks at what came of trying rules. What cannot be computed is an error.
func (d *doubter) rules(tried []*engine.Rule, t *tallies) {
	failed := map[diag.Range]bool{}
	for _, p := range t.failed {
		failed[p.Range] = true
		if p.Range.File == d.doc.Name() {
			d.doc.Problem(p.Range, p.Code, p.Summary, p.Hint)
		}
	}
	for _, r := range tried {
		n := t.of[r]
		switch {
		case n == nil || n.asked < fewestCases || failed[r.At]:
		case n.fired == 0:
			d.warn(r.At, neverFires, "the rule `"+r.ID+"` spoke in none of the made-up cases it was tried on", d.whyNever(r))
		case n.fired == n.asked:
			d.warn(r.At, alwaysFires, "the rule `"+r.ID+"` spoke in all of the made-up cases it was tried on",
				"what is always said is soon not read: is `or` written for `and`, or a sign turned round?")
		}
	}
}

// whyNever says what may keep a rule from ever speaking: the name of a zone that the type has not, or else what is usual.
func (d *doubter) whyNever(r *engine.Rule) string {
	if when, err := r.When(); err == nil && d.recipe != nil {
		var zones []string
		for i := range d.recipe.Zones {
			zones = append(zones, strings.ReplaceAll(d.recipe.Zones[i].Name, "_", " "))
		}
		for _, text := range when.ComparedWith("zone.name") {
			if !slices.Contains(zones, text) {
				return "no zone is called \"" + text + "\": " + diag.DidYouMean(text, zones, "the zones are: "+strings.Join(zones, ", "))
			}
		}
	}
	return "they go from far too small to far too large: do two conditions exclude each other, or is a threshold in another unit?"
}

// limits looks for limits that nothing is held against.
func (d *doubter) limits(all []*engine.Rule) {
	for _, r := range all {
		for _, l := range r.Limits {
			bound := r.Alter != nil && (l.Name == engine.LeastAmount || l.Name == engine.MostAmount)
			if !bound && !r.Uses(l.Name) {
				d.warn(r.At, notUsed, "the rule `"+r.ID+"` has the limit `"+strings.TrimPrefix(l.Name, "limit.")+"`, and does not use it", "write `"+l.Name+"` where it counts, or delete it")
			}
		}
	}
}

// guesses looks for lines that a sketch has left to be looked at, and names them all at the first.
func (d *doubter) guesses() {
	var lines []string
	var at diag.Range
	number := 0
	for text := range strings.Lines(string(d.doc.Source())) {
		number++
		before, _, marked := strings.Cut(text, guessMark)
		if !marked {
			continue
		}
		if lines = append(lines, strconv.Itoa(number)); len(lines) == 1 {
			column := utf8.RuneCountInString(before) + 1
			at = diag.Range{File: d.doc.Name(), Start: diag.Pos{Line: number, Column: column}, End: diag.Pos{Line: number, Column: column + len(strings.TrimSpace(guessMark))}}
		}
	}
	if len(lines) > 0 {
		d.warn(at, stillGuessed, "what is guessed has not been looked at, in "+linesOf(lines), "put it right or leave it, and delete the remark")
	}
}

func linesOf(numbers []string) string {
	if len(numbers) == 1 {
		return "line " + numbers[0]
	}
	return "lines " + strings.Join(numbers[:len(numbers)-1], ", ") + " and " + numbers[len(numbers)-1]
}
