package recipes

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Rules are tried on made-up cases of a garment type: patterns, and for each of
// them bodies, cloths and layers. The cases are always the same and lie wide
// apart: garments from far too small to far too wide, bodies from below to above
// everybody measured, level by level alike and unlike.
const (
	triedPatterns = 12
	triedFittings = 48 // on each pattern
	triedSizes    = 6
)

// tally is how often a rule could be answered, and how often it fired; lacks is a
// name that its texts wanted and that was not known.
type tally struct {
	asked, fired int
	lacks        string
}

// tallies are those of several rules, and what could not be computed, each once.
type tallies struct {
	of     map[*engine.Rule]*tally
	failed diag.List
}

func (t *tallies) add(r *engine.Rule, fired bool, lacks []string) {
	if t.of[r] == nil {
		t.of[r] = &tally{}
	}
	n := t.of[r]
	n.asked++
	if fired {
		n.fired++
	}
	if len(lacks) > 0 && n.lacks == "" {
		n.lacks = lacks[0]
	}
}

// fail notes the rules that could not be computed; that a case has no size is no
// error of theirs.
func (t *tallies) fail(err error) {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		for _, err := range several.Unwrap() {
			t.fail(err)
		}
		return
	}
	if failed := (*engine.RuleError)(nil); errors.As(err, &failed) && !slices.Contains(t.failed, failed.Diagnostic) {
		t.failed = append(t.failed, failed.Diagnostic)
	}
}

// try asks rules, all of which compile, about cases of a garment type, and
// returns those that were not seen both to fire and to stay silent. The type's
// own are asked only where they are among them. Of the patterns every step-th is
// taken, from the first on.
func (t *tallies) try(recipe *engine.Recipe, asked []*engine.Rule, voc *engine.Vocabulary, first, step int) []*engine.Rule {
	voc = voc.For(nil, recipe)
	plain := *recipe
	plain.Rules = nil
	g := &grid{&plain, voc, alterationsOf(asked)}
	for p := first; p < triedPatterns && len(asked) > 0; p += step {
		f, err := engine.Prepare(g.pattern(p), &plain, asked, voc)
		if err != nil {
			t.fail(err)
			break // nothing picks a size of this type
		}
		for n := range triedFittings {
			t.fail(f.AskAll(g.fitting(p, n), t.add))
		}
		asked = t.undecided(asked)
	}
	return asked
}

func (t *tallies) undecided(all []*engine.Rule) []*engine.Rule {
	var rest []*engine.Rule
	for _, r := range all {
		if n := t.of[r]; n == nil || n.fired == 0 || n.fired == n.asked || n.lacks == "" && n.fired < fewestCases && tellsMore(r) {
			rest = append(rest, r)
		}
	}
	return rest
}

// tellsMore tells whether a rule's texts speak of what its condition does not ask.
func tellsMore(r *engine.Rule) bool {
	when, err := r.When()
	if err != nil {
		return false
	}
	for _, l := range r.Texts() {
		text, err := l()
		if err != nil {
			return false
		}
		for _, name := range text.Needs() {
			if !slices.Contains(when.Names(), name) {
				return true
			}
		}
	}
	return false
}

// inGrid tells whether the cases differ in all that a condition uses. A text
// that may be anything is the same in all of them; own tells that the rule is
// the type's own, whose names for things are no guess then.
func inGrid(when *formula.Formula, voc *engine.Vocabulary, own bool) bool {
	return !slices.ContainsFunc(when.Names(), func(name string) bool {
		n, known := voc.Schema().Lookup(name)
		open := known && n.Dim == formula.Text && n.Words == nil
		return open && !(own && (strings.HasPrefix(name, "recipe.") || slices.Contains(namedByType, name)))
	})
}

// namedByType are texts that a garment type gives.
var namedByType = []string{"zone.name", "zone.mend", "opening.name", "opening.mend", "opening.closure"}

// grid makes cases of a garment type.
type grid struct {
	recipe      *engine.Recipe
	voc         *engine.Vocabulary
	alterations []string // ids
}

func alterationsOf(all []*engine.Rule) []string {
	var ids []string
	for _, r := range all {
		if r.Alter != nil {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// pick takes from a list in turn.
func pick[T any](i int, from ...T) T { return from[i%len(from)] }

// maybe is a value that every third case lacks.
func maybe[T any](i int, v T) *T {
	if i%3 == 2 {
		return nil
	}
	return &v
}

// between is a length on the way from the least to the most of those surveyed.
func between(m *engine.Measure, share float64) quantity.Length {
	return m.Least + quantity.Length(float64(m.Most-m.Least)*share)
}

// pattern makes the p-th pattern: its garments go from far below the ease that
// the type expects to far above.
func (g *grid) pattern(p int) *engine.Pattern {
	out := &engine.Pattern{Name: "made up", Maker: "made up", Chart: map[string]engine.Row{}, Finished: map[string]engine.Row{}, DraftedFor: map[string]engine.Row{},
		Has: engine.Features()[:p%(len(engine.Features())+1)],
		Cup: maybe(p, pick[quantity.Length](p, 2, 1, 4)*quantity.Inch), Stretch: maybe(p+1, pick(p, 50.0, 0, 100)), Slopes: pick(p, nil, slices.Repeat([]float64{17}, triedSizes), slices.Repeat([]float64{23}, triedSizes)), Cords: cords(p), ForGirls: p/4%2 == 0, Lacing: lacing(p)}
	for s := range triedSizes {
		out.Sizes = append(out.Sizes, pick(p, strconv.Itoa(3*s+2), strings.Repeat("X", s)+"L", strconv.Itoa(6*s+3)+"M", strconv.Itoa(92+12*s)))
	}
	for k, name := range g.voc.Words() {
		m := g.voc.Measure(name)
		switch m.Kind {
		case engine.Angle:
		case engine.Garment:
			if (p+k)%3 == 2 {
				continue
			}
			flat := quantity.Length(pick(p+k, 3, 12, 40, 110, 200)) * quantity.Centimetre
			out.Finished[name] = row(func(s int) quantity.Length { return flat + quantity.Length(s)*quantity.Centimetre })
		default:
			chart := func(s int) quantity.Length { return between(m, 0.2+0.06*float64(s)) }
			out.Chart[name] = row(chart)
			if share := pick[quantity.Length](p+k, 90, 0, 100, 15, 110, 60, 130); share > 0 {
				out.Finished[name] = row(func(s int) quantity.Length { return chart(s) * share / 100 })
			}
			if (p+k)%2 == 0 {
				out.DraftedFor[name] = row(func(int) quantity.Length { return chart(triedSizes / 2) })
			}
		}
	}
	if out.Cup == nil && p%2 == 1 {
		delete(out.Chart, "upper_bust") // then nothing tells for which cup it is drafted
	}
	for i := range g.recipe.Zones {
		g.cut(out, &g.recipe.Zones[i], p+i)
	}
	if p%4 == 3 {
		g.leaveOut(out, p)
	}
	return out
}

// leaveOut takes the chart's and the garment's rows of every other zone away, but
// not the row by which the size is picked.
func (g *grid) leaveOut(out *engine.Pattern, p int) {
	for i := range g.recipe.Zones {
		if (i+p/4)%2 == 0 {
			continue
		}
		measure := g.recipe.Zones[i].Measure
		delete(out.Finished, measure)
		if names := g.recipe.Controlling.Names; names != nil && measure != pick(p/4, names...) {
			delete(out.Chart, measure)
		}
	}
}

// cut gives a zone the ease of a case.
func (g *grid) cut(out *engine.Pattern, z *engine.Zone, p int) {
	chart := out.Chart[z.Measure]
	if z.Ease == nil || z.By == engine.ByChart || z.Laps != "" || chart == nil {
		return
	}
	width := z.Ease.High - z.Ease.Low
	low := z.Ease.Low
	switch {
	case !z.Ease.HasLow:
		width, low = z.Tolerance, z.Ease.High-z.Tolerance
	case !z.Ease.HasHigh:
		width = z.Tolerance
	}
	ease := low + width*pick(p, 0.5, -2, 1.5, 0, 4, -0.6, 1)
	out.Finished[z.Measure] = row(func(s int) quantity.Length {
		body := chart[s].Low
		if z.Ease.Percent {
			return max(quantity.Centimetre, body+quantity.Length(math.Round(float64(body)*ease/100)))
		}
		return max(quantity.Centimetre, body+quantity.Length(ease))
	})
}

func row(at func(s int) quantity.Length) engine.Row {
	out := make(engine.Row, triedSizes)
	for s := range out {
		l := at(s)
		out[s] = engine.Cell{Low: l, High: l, Known: true}
	}
	return out
}

// lacing closes every fourth pattern, drawn narrow or wide.
func lacing(p int) *engine.Closure {
	if p%4 != 2 {
		return nil
	}
	gap := pick[quantity.Length](p/4, 5, 0, 12) * quantity.Centimetre
	return &engine.Closure{Kind: "lacing", From: "bust", Towards: "hip", Lacing: &engine.Lacing{Gap: gap, Least: gap / 4, Most: 2*gap + 3*quantity.Centimetre}}
}

// cords makes a cord at every place there can be one, short or long, safe or not.
func cords(p int) []engine.Cord {
	var all []engine.Cord
	for k, where := range []string{"hood", "neck", "waist", "hem", "ankle", "wrist", "back"} {
		i := p + k
		all = append(all, engine.Cord{Where: where, Free: maybe(i, pick[quantity.Length](i/2, 2, 9, 30)*quantity.Centimetre), Loop: maybe(i+1, pick[quantity.Length](i/2, 3, 20)*quantity.Centimetre),
			FreeEnds: i%2 == 0, Toggle: i/2%2 == 0, Tacked: maybe(i+2, i/3%2 == 0)})
	}
	return all
}

// fitting makes the n-th body for the p-th pattern, with what is worn and sewn.
func (g *grid) fitting(p, n int) engine.Fitting {
	layers := g.voc.Limits.Layers
	f := engine.Fitting{Body: g.body(n), Cloth: cloth(n + p), Today: pick(n, "2026-02-01", "2026-12-01", ""), Units: quantity.Cm}
	words := engine.WishWords[:len(engine.WishWords)-1] // the last rests on kept garments
	if word := words[n%len(words)].Word; n%2 == 1 {
		f.Wishes = []engine.Wish{{Word: word, Text: string(word)}}
		if z := &g.recipe.Zones[n%len(g.recipe.Zones)]; n%4 == 1 && z.Laps == "" {
			f.Wishes[0].Zone = z.Name
		}
	}
	for i := range n % 3 {
		l := engine.Layer{Name: layers[(n+i*p)%len(layers)].Name}
		if !slices.Contains(f.Over, l) { // each is named once
			f.Over = append(f.Over, l)
		}
	}
	return f
}

// body makes a body: of even size at all levels first, then of another size at
// each. Some lack what the type does not look at; some are read twice, some on
// both sides, and some in the other unit.
func (g *grid) body(n int) *engine.Body {
	b := &engine.Body{Name: "made up", Taken: pick(n/3, "2026-01-01", ""), MeasuredOver: pick(n/2, "everyday bra", "", "shirt"),
		Age: maybe(n, pick(n/2, 30.0, 0.5, 3, 8, 12, 16)), Units: pick(n, quantity.Cm, quantity.In), Measurements: map[string]engine.Measurement{}}
	for k, name := range g.voc.BodyNames() {
		m := g.voc.Measure(name)
		if m.Kind == engine.Angle {
			b.Measurements[name] = engine.Measurement{Degrees: float64(10 + 7*(n%4)), SidesApart: pick(n, 0.0, 3, -5, 1)}
			continue
		}
		if n%4 == 3 && !g.looksAt(name) {
			continue
		}
		unlike := 0
		if n >= 12 {
			unlike = k * (n/12 + n%5)
		}
		l := between(m, pick(n+unlike, 0.35, 0.2, 0.5, 0.3, 0.1, 0.4, 0.75, 0.25, 1.1, 0.45, -0.1, 0.95))
		switch {
		case n%12 == 7:
			l = l * 100 / 254
		case n%12 == 10:
			l = l * 254 / 100
		}
		b.Measurements[name] = measuredBy(max(l, quantity.Centimetre), n+k)
	}
	b.Alterations = g.list(n)
	if n%3 == 1 {
		b.Wanted = map[string]engine.WantedLength{}
		for k, name := range g.voc.HemLengths() {
			b.Wanted[name] = engine.WantedLength{Length: pick[quantity.Length](n/3+k, 50, 120, 20) * quantity.Centimetre}
		}
	}
	return b
}

// list is what the n-th person always alters: this and that, much or little.
func (g *grid) list(n int) map[string]engine.Usually {
	list := map[string]engine.Usually{}
	for k, id := range g.alterations {
		if (n+k)%5 == 0 {
			list[id] = engine.Usually{Amount: maybe(n+k/5, pick[quantity.Length](n/5, 1, 40)*quantity.Centimetre)}
		}
	}
	return list
}

func measuredBy(l quantity.Length, i int) engine.Measurement {
	near := l + quantity.Length(i%4)*quantity.Centimetre
	switch i % 5 {
	case 1:
		return engine.Measurement{Readings: []engine.Reading{{Length: l}, {Length: near}}}
	case 3:
		sides := [2][]engine.Reading{{{Length: l}}, {{Length: near}}}
		return engine.Measurement{Left: sides[i/5%2], Right: sides[1-i/5%2]}
	}
	return engine.Measurement{Readings: []engine.Reading{{Length: l}}}
}

// looksAt tells whether the type asks for a measurement.
func (g *grid) looksAt(name string) bool {
	return slices.Contains(g.recipe.Controlling.Names, name) || slices.ContainsFunc(g.recipe.Zones, func(z engine.Zone) bool { return z.Measure == name })
}

// cloth makes the i-th cloth, or none.
func cloth(i int) *engine.Cloth {
	if i%9 == 8 {
		return nil
	}
	c := &engine.Cloth{Name: pick(i/5, "made up", "denim with elastane"), Structure: pick(i, engine.Woven, engine.Knit), Across: maybe(i/3, pick(i, 0.0, 15, 12, 40, 3, 80, 25)), Along: maybe(i/2, pick(i, 0.0, 10, 30)),
		Recovery: maybe(i, pick(i, 95.0, 70, 85)), Thickness: maybe(i, pick[quantity.Length](i, 2, 30)*quantity.Millimetre/10), ShrinkAcross: maybe(i, pick(i, 5.0, 0)), ShrinkAlong: maybe(i+1, 3.0),
		Prewashed: maybe(i/2, i%2 == 0), Grain: pick(i, "", engine.Lengthwise, engine.Crosswise, engine.OnBias), Drape: pick(i, "soft", "medium", "crisp", ""), Costly: i/2%3 == 1}
	return c
}
