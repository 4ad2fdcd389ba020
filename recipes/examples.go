package recipes

import (
	"cmp"
	"errors"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Example is one case of a recipe's `examples:`: what is given, and what is
// expected of the answer. Run it with [Run].
type Example struct {
	Name    string
	Pattern *engine.Pattern
	Given   engine.Fitting
	Claims  []Claim
	At      diag.Range
}

// Claim is one thing that an example expects of the answer.
type Claim struct {
	What string // "size", "ease at the hip", [Fires], [Silent] ...
	Want string // as written; for [Fires] and [Silent] the rule's id
	At   diag.Range
	look func(*engine.Answer) (got string, met bool)
}

// What a claim about a rule says, on the size recommended or, where every size
// is ruled out, on the one that ranks first.
const (
	Fires  = "caution"
	Silent = "no caution"
)

// Outcome is an example that was run, with what came out beside each claim.
type Outcome struct {
	Example *Example
	Answer  *engine.Answer // nil where there is none
	Err     error          // why there is none
	Results []Result
}

// Result is a claim with what came out.
type Result struct {
	Claim
	Got string
	Met bool
}

// Passed tells whether there is an answer and every claim is met.
func (o *Outcome) Passed() bool {
	return o.Err == nil && !slices.ContainsFunc(o.Results, func(r Result) bool { return !r.Met })
}

// Run asks for the answer to one example. The rules are the shared ones; the
// recipe's own are added.
func Run(e *Example, recipe *engine.Recipe, shared []*engine.Rule, voc *engine.Vocabulary) Outcome {
	o := Outcome{Example: e}
	o.Answer, o.Err = engine.Advise(engine.Request{Pattern: e.Pattern, Recipe: recipe, Rules: shared, Vocabulary: voc, Fitting: e.Given})
	if o.Err != nil {
		return o
	}
	for _, c := range e.Claims {
		got, met := c.look(o.Answer)
		o.Results = append(o.Results, Result{c, got, met})
	}
	return o
}

// ReadExamples reads the `examples:` of a recipe file, whose recipe is read
// already. Bodies, patterns and cloths in files of their own are read from
// beside; their docs are returned, with their problems. The rest of the
// problems are left in the doc; only without any are the examples fit to run.
func ReadExamples(doc *file.Doc, voc *engine.Vocabulary, recipe *engine.Recipe, shared []*engine.Rule, beside fs.FS) ([]Example, []*file.Doc) {
	if recipe == nil || !doc.Root().Exists() {
		return nil, nil
	}
	x := &exampleReader{reader: reader{doc, voc.With(recipe.Measurements...)}, recipe: recipe, beside: beside, all: slices.Concat(recipe.Rules, shared), shared: newShared()}
	for _, r := range x.all {
		x.rules = append(x.rules, r.ID)
	}
	var out []Example
	for _, item := range doc.Root().Map().Get("examples").Items() {
		out = append(out, x.example(item))
	}
	x.unused()
	return out, x.docs
}

type exampleReader struct {
	reader
	recipe *engine.Recipe
	all    []*engine.Rule
	rules  []string // ids
	beside fs.FS
	docs   []*file.Doc
	shared shared
}

func (x *exampleReader) example(v file.Value) Example {
	m := v.Map()
	e := Example{Name: m.Need("name").Text(), At: v.Range()}
	x.given(m.Need("given"), &e)
	expect := m.Need("expect")
	if e.Claims = x.claims(expect.Map(), &e); expect.IsMap() && len(e.Claims) == 0 {
		expect.Problem(emptyExample, "an example that expects nothing shows nothing", "write at least the `size:`")
	}
	m.Close("an example")
	return e
}

func (x *exampleReader) given(v file.Value, e *Example) {
	m := v.Map()
	g := &e.Given
	g.Body, e.Pattern = x.bodyOf(m.Need("body")), x.patternOf(m.Need("pattern"))
	if cloth := m.Get("cloth"); cloth.Exists() {
		g.Cloth = x.clothOf(cloth)
	}
	if g.Body != nil && e.Pattern != nil {
		g.Units = cmp.Or(g.Body.Units, e.Pattern.Units)
	}
	for _, like := range m.Get("like").Each() {
		if kept := x.garmentOf(like); kept != nil {
			g.Kept = append(g.Kept, kept)
		}
	}
	for _, wish := range m.Get("ease").Each() {
		g.Wishes = append(g.Wishes, x.wish(wish, g.Units))
	}
	for _, layer := range m.Get("over").Each() {
		g.Over = append(g.Over, x.layer(layer, g.Units))
	}
	g.Today, _ = m.Get("today").Date()
	m.Close("`given`")
}

// bodyOf reads the name of a file, a whole body, or its measurements alone.
func (x *exampleReader) bodyOf(v file.Value) *engine.Body {
	return named(x, v, bodiesBlock, x.shared.bodies, x.readBodyOf)
}

func (x *exampleReader) readBodyOf(v file.Value) *engine.Body {
	if v.IsText() {
		doc, _, ok := x.fileOf(v)
		if !ok {
			return nil
		}
		b := ReadBody(doc, x.voc)
		x.altered(doc, b)
		return b
	}
	b := &engine.Body{}
	if m := v.Map(); m.Has("measurements") || m.Has("units") {
		b = x.body(m)
	} else {
		x.setUnits("")
		b.Measurements, b.MeasurementsAt = x.measurements(v), v.Range()
	}
	b.Name = cmp.Or(b.Name, "the body")
	x.altered(x.doc, b)
	return b
}

// altered tells what a body's own list names and no rule alters.
func (x *exampleReader) altered(doc *file.Doc, b *engine.Body) {
	if b == nil {
		return
	}
	for _, p := range UnknownAlterations(b.Alterations, x.all) {
		doc.Problem(p.Range, p.Code, p.Summary, p.Hint)
	}
}

// patternOf reads the name of a file, or a pattern; it is judged by the recipe
// that the example stands in.
func (x *exampleReader) patternOf(v file.Value) *engine.Pattern {
	return named(x, v, patternsBlock, x.shared.patterns, x.readPatternOf)
}

func (x *exampleReader) readPatternOf(v file.Value) *engine.Pattern {
	if v.IsText() {
		doc, folder, ok := x.fileOf(v)
		if !ok {
			return nil
		}
		p, tables := ReadPattern(doc, x.voc, folder)
		x.keep(tables...)
		return p
	}
	m := v.Map()
	if !v.IsMap() {
		return nil
	}
	r := &patternReader{reader: x.reader, beside: x.beside}
	p := r.read(m)
	x.keep(r.tables...)
	p.Name = cmp.Or(p.Name, "the pattern")
	return p
}

func (x *exampleReader) clothOf(v file.Value) *engine.Cloth {
	return named(x, v, clothsBlock, x.shared.cloths, x.readClothOf)
}

func (x *exampleReader) readClothOf(v file.Value) *engine.Cloth {
	if v.IsText() {
		doc, _, ok := x.fileOf(v)
		if !ok {
			return nil
		}
		return ReadCloth(doc, x.voc)
	}
	c := x.cloth(v.Map())
	c.Name = cmp.Or(c.Name, "the cloth")
	return c
}

// garmentOf reads the name of a file, or a kept garment. Its type is the one that
// the example stands in, or a shipped one.
func (x *exampleReader) garmentOf(v file.Value) *engine.KeptGarment {
	var kept *engine.KeptGarment
	var docs []*file.Doc
	switch {
	case v.IsText():
		doc, folder, ok := x.fileOf(v)
		if !ok {
			return nil
		}
		kept, docs = ReadGarment(doc, x.voc, folder)
	case !v.IsMap():
		v.Map() // which tells what else it is
		return nil
	default:
		r := &garmentReader{reader: x.reader, beside: x.beside}
		kept = r.read(v.Map())
		kept.Name, docs = cmp.Or(kept.Name, "the garment"), r.cloths
	}
	x.keep(docs...)
	doc, err := Library{}.TypeOf(kept, x.recipe, x.voc)
	var unknown *NotShippedError
	if errors.As(err, &unknown) {
		v.Problem(unknown.Code(), unknown.Error(), unknown.Hint())
	}
	if doc != nil {
		x.keep(doc)
	}
	return kept
}

// fileOf opens the file that v names, with the folder it stands in.
func (x *exampleReader) fileOf(v file.Value) (doc *file.Doc, folder fs.FS, ok bool) {
	name, data, ok := x.readBeside(v, x.beside)
	if !ok {
		return nil, nil, false
	}
	doc = file.Open(name, data)
	x.keep(doc)
	folder, err := fs.Sub(x.beside, path.Dir(v.Text()))
	return doc, folder, err == nil
}

// keep remembers files that were read, each once.
func (x *exampleReader) keep(docs ...*file.Doc) {
	for _, d := range docs {
		if !slices.ContainsFunc(x.docs, func(k *file.Doc) bool { return k.Name() == d.Name() }) {
			x.docs = append(x.docs, d)
		}
	}
}

// wish reads "closer" or "hip=drawn+2cm"; as on the command line, bare numbers
// are in the body's units.
func (x *exampleReader) wish(v file.Value, bare quantity.Unit) engine.Wish {
	w, err := x.voc.Limits.ParseWish(v.Text(), bare)
	tellWanted(v, err)
	return w
}

// layer reads "shirt", or "quilted vest=4 mm".
func (x *exampleReader) layer(v file.Value, bare quantity.Unit) engine.Layer {
	l, err := x.voc.Limits.ParseLayer(v.Text(), bare)
	tellWanted(v, err)
	return l
}

// tellWanted tells what is wrong with what is wanted, or with what is worn beneath.
func tellWanted(v file.Value, err error) {
	var wrong *quantity.Error
	switch {
	case errors.As(err, &wrong):
		v.Problem(diag.Code(wrong.Code), strings.TrimSuffix(err.Error(), ": "+wrong.Hint), wrong.Hint)
	case err != nil:
		v.Problem(badWish, err.Error(), "")
	}
}

// claims reads `expect:`.
func (x *exampleReader) claims(m *file.Map, e *Example) []Claim {
	x.setUnits(e.Given.Units)
	var out []Claim
	if v := m.Get("size"); v.Exists() {
		out = append(out, x.size(v, e, "size", recommended))
	}
	if v := m.Get("chart_size"); v.Exists() {
		out = append(out, x.size(v, e, "chart size", func(a *engine.Answer) string { return a.ChartSize.Size }))
	}
	if v := m.Get("ruled_out"); v.Exists() {
		out = append(out, x.ruledOut(v, e))
	}
	if v := m.Get("cautions"); v.IsList() && len(v.Items()) == 0 {
		out = append(out, noCaution(v))
	}
	for _, v := range m.Get("cautions").Each() {
		out = append(out, x.caution(v, Fires))
	}
	for _, v := range m.Get("not").Each() {
		out = append(out, x.caution(v, Silent))
	}
	alterations := m.Get("alterations").Map()
	for _, k := range alterations.Keys() {
		out = append(out, x.alteration(k, alterations.Get(k.Text()), e)...)
	}
	for _, v := range m.Get("not_judged").Each() {
		out = append(out, x.notJudged(v))
	}
	out = append(out, x.lines(m.Get("lines").Map(), e)...)
	zones := m.Get("zones").Map()
	for _, k := range zones.Keys() {
		out = append(out, x.zoneClaims(k, zones.Get(k.Text()), e)...)
	}
	m.Close("`expect`")
	return out
}

// none is written where no size can be cut.
const none = "none"

func recommended(a *engine.Answer) string {
	if a.Recommended == nil {
		return none
	}
	return a.Recommended.Size
}

// size expects a size, which the pattern must have.
func (x *exampleReader) size(v file.Value, e *Example, what string, of func(*engine.Answer) string) Claim {
	want := v.Text()
	if want != none {
		x.known(v, "size", sizesOf(e))
	}
	return Claim{What: what, Want: want, At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		got := of(a)
		return got, got == want
	}}
}

func sizesOf(e *Example) []string {
	if e.Pattern == nil {
		return nil
	}
	return e.Pattern.Sizes
}

// known finds a word that is none of those there are; where there are none at
// all, they could not be read and something else was said already.
func (x *exampleReader) known(v file.Value, what string, words []string) {
	if !v.IsText() || len(words) == 0 || slices.Contains(words, v.Text()) {
		return
	}
	v.Problem(notThere, "unknown "+what+" `"+v.Text()+"`", diag.Among(v.Text(), words))
}

// ruledOut expects these sizes and no others to be ruled out.
func (x *exampleReader) ruledOut(v file.Value, e *Example) Claim {
	var want []string
	for _, item := range v.Items() {
		x.known(item, "size", sizesOf(e))
		want = append(want, item.Text())
	}
	return Claim{What: "ruled out", Want: listed(want), At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		var got []string
		for _, s := range a.Sizes {
			if s.RuledOut {
				got = append(got, s.Size)
			}
		}
		slices.SortFunc(got, func(s, t string) int {
			return cmp.Compare(slices.Index(a.Shown.Sizes, s), slices.Index(a.Shown.Sizes, t))
		})
		return listed(got), slices.Equal(slices.Sorted(slices.Values(got)), slices.Sorted(slices.Values(want)))
	}}
}

func listed(words []string) string {
	if len(words) == 0 {
		return none
	}
	return strings.Join(words, ", ")
}

// caution expects a rule to fire, or not to; one that alters, to alter.
func (x *exampleReader) caution(v file.Value, what string) Claim {
	x.known(v, "rule", x.rules)
	id := v.Text()
	return Claim{What: what, Want: id, At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		fired := slices.Clone(a.Toile.Rules)
		for _, c := range a.Cautions {
			if !slices.Contains(fired, c.ID) {
				fired = append(fired, c.ID)
			}
		}
		for _, c := range a.Alterations {
			fired = append(fired, c.ID)
		}
		return listed(fired), slices.Contains(fired, id) == (what == Fires)
	}}
}

// noCaution expects that no rule cautions.
func noCaution(v file.Value) Claim {
	return Claim{What: "cautions", Want: none, At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		var fired []string
		for _, c := range a.Cautions {
			fired = append(fired, c.ID)
		}
		return listed(fired), len(fired) == 0
	}}
}

// alteration expects an alteration, with its amount to half a millimetre, or
// `measure` where the pattern has to be measured.
func (x *exampleReader) alteration(key, v file.Value, e *Example) []Claim {
	x.known(key, "rule", x.rules)
	id, fires := key.Text(), x.caution(key, Fires)
	if !v.Exists() {
		return []Claim{fires}
	}
	find := func(a *engine.Answer) *engine.Alteration {
		i := slices.IndexFunc(a.Alterations, func(c engine.Alteration) bool { return c.ID == id })
		if i < 0 {
			return nil
		}
		return &a.Alterations[i]
	}
	claim := Claim{What: "amount of " + id, Want: v.Text(), At: v.Range()}
	if v.Text() == measured {
		claim.look = func(a *engine.Answer) (string, bool) {
			c := find(a)
			return e.amount(c), c != nil && c.Amount == nil
		}
	} else {
		l, _ := v.Length()
		claim.look = func(a *engine.Answer) (string, bool) {
			c := find(a)
			return e.amount(c), c != nil && c.Amount != nil && math.Abs(*c.Amount-l.Cm()) <= near
		}
	}
	return []Claim{fires, claim}
}

// measured is written for the amount of an alteration that has to be measured.
const measured = "measure"

// amount is how much an alteration alters, in words.
func (e *Example) amount(a *engine.Alteration) string {
	switch {
	case a == nil:
		return none
	case a.Amount == nil:
		return measured
	}
	return quantity.FormatCm(*a.Amount, e.Given.Units)
}

// notJudged expects a zone or opening to be left unjudged.
func (x *exampleReader) notJudged(v file.Value) Claim {
	names := zoneNames(x.recipe)
	for _, o := range x.recipe.Openings {
		names = append(names, o.Name+" opening")
	}
	x.known(v, "zone", names)
	want := v.Text()
	return Claim{What: "not judged", Want: want, At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		var got []string
		for _, n := range a.NotJudged {
			got = append(got, n.Zone)
		}
		return listed(got), slices.Contains(got, want)
	}}
}

// zoneClaims reads what is expected at one zone.
func (x *exampleReader) zoneClaims(key, v file.Value, e *Example) []Claim {
	x.known(key, "zone", zoneNames(x.recipe))
	zone, m := key.Text(), v.Map()
	var out []Claim
	if verdict := m.Get("verdict"); verdict.Exists() {
		want, _ := verdict.OneOf(engine.Verdicts()...)
		out = append(out, Claim{What: "verdict at the " + zone, Want: want, At: verdict.Range(), look: atZone(zone, func(z *engine.ZoneAnswer) (string, bool) {
			return string(z.Verdict), string(z.Verdict) == want
		})})
	}
	if ease := m.Get("ease"); ease.Exists() {
		out = append(out, x.ease(zone, ease, e))
	}
	if becomes := m.Get("becomes"); becomes.Exists() {
		out = append(out, becoming(zone, becomes, e))
	}
	if len(out) == 0 && (v.IsMap() || !v.Exists()) {
		v.Problem(emptyExample, "nothing is expected of the zone `"+zone+"`", "write its `verdict:`, `ease:` or `becomes:`")
	}
	m.Close("a zone that is expected")
	return out
}

// becoming expects what the garment measures at a zone in the end, by the plan.
func becoming(zone string, v file.Value, e *Example) Claim {
	want, _ := v.Length()
	return Claim{What: "what becomes of the " + zone, Want: v.Text(), At: v.Range(), look: func(a *engine.Answer) (string, bool) {
		if a.Plan == nil {
			return none, false
		}
		i := slices.IndexFunc(a.Plan.Levels, func(l engine.Level) bool { return l.Zone == zone })
		if i < 0 {
			return none, false
		}
		got := a.Plan.Levels[i].Becomes
		return quantity.FormatCm(got, e.Given.Units), math.Abs(got-want.Cm()) <= near
	}}
}

// lines expects zones to follow the lines of sizes.
func (x *exampleReader) lines(m *file.Map, e *Example) []Claim {
	var out []Claim
	for _, k := range m.Keys() {
		x.known(k, "zone", zoneNames(x.recipe))
		zone := k.Text()
		out = append(out, x.size(m.Need(zone), e, "line at the "+zone, func(a *engine.Answer) string {
			i := slices.IndexFunc(a.Lines, func(l engine.SizeLine) bool { return l.Zone == zone })
			if i < 0 {
				return none
			}
			return a.Lines[i].Size
		}))
	}
	return out
}

// atZone looks at one zone of the size shown.
func atZone(zone string, look func(*engine.ZoneAnswer) (string, bool)) func(*engine.Answer) (string, bool) {
	return func(a *engine.Answer) (string, bool) {
		zones := a.Sizes[0].Zones
		i := slices.IndexFunc(zones, func(z engine.ZoneAnswer) bool { return z.Zone == zone })
		if i < 0 {
			return "not judged", false
		}
		return look(&zones[i])
	}
}

// near is half a millimetre, or half a tenth of a percentage point.
const near = 0.05

// ease expects an ease to half a millimetre, or half a tenth of a percentage point.
func (x *exampleReader) ease(zone string, v file.Value, e *Example) Claim {
	percent := quantity.IsPercent(v.Text())
	var want float64
	if percent {
		want, _ = v.Percent()
	} else {
		l, _ := v.Length()
		want = l.Cm()
	}
	show := func(ease float64, percent bool) string {
		if percent {
			return quantity.FormatPercent(ease)
		}
		return quantity.FormatCm(ease, e.Given.Units)
	}
	return Claim{What: "ease at the " + zone, Want: v.Text(), At: v.Range(), look: atZone(zone, func(z *engine.ZoneAnswer) (string, bool) {
		if z.Ease == nil {
			return none, false
		}
		inPercent := z.Unit == engine.InPercent
		return show(*z.Ease, inPercent), inPercent == percent && math.Abs(*z.Ease-want) <= near
	})}
}
