package recipes

import (
	"cmp"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// reader reads one file with the vocabulary at hand.
type reader struct {
	doc *file.Doc
	voc *engine.Vocabulary
}

// kinds are what a file can be.
var kinds = []string{"body", "cloth", "columns", "garment", "measurements", "observations", "pattern", "pieces", "recipe", "rules", "sewn", "test"}

// earlierKinds are what kinds were called by earlier versions.
var earlierKinds = map[string]string{"make": "sewn"}

// KindNow is what a kind of file is called now.
func KindNow(kind string) string { return cmp.Or(earlierKinds[kind], kind) }

// whole is the content of a file of the kind wanted, which must say so and have
// a name; else it is as for start.
func (r *reader) whole(kind string) *file.Map {
	m := r.start(kind)
	if m == nil {
		return nil
	}
	m.Need("name")
	return m
}

// start is the content of a file of the kind wanted, which must say so. It is
// nil where there is nothing to read, and for a file of another kind, in which
// every key would be a problem.
func (r *reader) start(kind string) *file.Map {
	root := r.doc.Root()
	if !root.Exists() {
		if len(r.doc.Problems()) == 0 {
			r.doc.Problem(r.doc.Start(), file.Empty, "the file is empty", "")
		}
		return nil
	}
	m := root.Map()
	if !root.IsMap() {
		return nil
	}
	got := m.Get("kind")
	if m.Has("kind") {
		m.Need("kind") // which tells where it has no value
	} else {
		root.Problem(file.Missing, "the key `kind` is missing here", "write `kind: "+kind+"`")
	}
	if now := earlierKinds[got.Text()]; got.IsText() && now == kind {
		r.doc.Warn(got.Range(), earlierKind, "files of the kind `"+got.Text()+"` are now called `"+now+"`; this one is read all the same", "write `kind: "+now+"`")
		return m
	}
	if got.IsText() && got.Text() != kind && slices.Contains(kinds, got.Text()) {
		got.Problem(otherKind, "this is a "+got.Text()+" file, where a "+kind+" file is wanted", "did two files change places?")
		return nil
	}
	return m
}

// readBeside reads a file that v names and that stands in the folder of this
// one. It returns the name by which a person knows it.
func (r *reader) readBeside(v file.Value, folder fs.FS) (name string, data []byte, ok bool) {
	name = v.Text()
	wrong := cannotBeBeside(name, folder == nil)
	if wrong == nil {
		var err error
		if data, err = file.ReadFile(folder, path.Clean(name), file.MaxSheetBytes); err != nil {
			wrong = missingBeside(name)
		}
	}
	if wrong != nil {
		v.Problem(notBeside, wrong.Error(), wrong.Hint())
		return "", nil, false
	}
	return path.Join(path.Dir(r.doc.Name()), name), data, true
}

// unknownMeasure is the problem of a word the vocabulary lacks.
func (r *reader) unknownMeasure(v file.Value, known []string) {
	if r.doc.Full() {
		return
	}
	v.Problem(unknownMeasure, "unknown measurement `"+v.Text()+"`", r.voc.DidYouMean(v.Text(), known, "there are: "+strings.Join(known, ", ")))
}

// byMeasure is a map whose keys are measurements, in whatever words people have for them.
func (r *reader) byMeasure(v file.Value) *file.Map { return v.Map().ReadAs(r.voc.Called) }

// measure reads the name of a body measurement, or a word that people have for it.
func (r *reader) measure(v file.Value) (string, bool) {
	if !v.Exists() {
		return "", false
	}
	name := v.ReadAs(r.voc.Called).Text()
	switch m := r.voc.Measure(name); {
	case m == nil:
		r.unknownMeasure(v, r.voc.BodyNames())
		return name, false
	case m.Kind == engine.Garment:
		v.Problem(garmentsOwn, "`"+name+"` is measured on the garment, not on the body", "it belongs under `finished:` in a pattern file")
		return name, false
	}
	return name, true
}

// made reads the name of something measured on the garment.
func (r *reader) made(v file.Value) string {
	if !v.Exists() {
		return ""
	}
	name := v.ReadAs(r.voc.Called).Text()
	if r.voc.Measure(name) == nil {
		r.unknownMeasure(v, r.voc.Words())
	}
	return name
}

// features reads what a garment has that alterations ask for.
func features(v file.Value) (out []string) {
	for _, each := range v.Each() {
		if f, ok := each.OneOf(engine.Features()...); ok {
			out = append(out, f)
		}
	}
	return out
}

// ReadRecipe takes a recipe file apart, as [Library.Read] does for what may be
// based on shipped garment types alone. Problems are left in the doc.
func ReadRecipe(doc *file.Doc, voc *engine.Vocabulary, when rules.Compiling) *engine.Recipe {
	return Library{}.Read(doc, voc, when)
}

// recipe reads a recipe file that has what it takes over from others.
func (r *reader) recipe(when rules.Compiling) *engine.Recipe {
	m := r.doc.Root().Map()
	m.Get("kind").OneOf("recipe")
	out := &engine.Recipe{At: m.Range(), MovesDown: -1, MovesUp: -1}
	out.Name, out.Title = m.Need("name").Text(), m.Need("title").Text()
	out.Family = strings.TrimSpace(m.Get("family").Text())
	out.Draft, _ = file.Choice(m.Need("draft"), engine.ForWomen, engine.ForMen, engine.ForChildren, engine.ForAll)
	out.Because, out.Source = m.Get("because").Text(), m.Get("source").Text()
	out.Measurements = r.declared(m.Get(declaring), out.Name)
	out.Controlling = r.controlling(m.Need("controlling"))
	if b, ok := m.Get("between_sizes").OneOf("larger", "smaller"); ok {
		out.Between = engine.Between(b)
	}
	out.HangsFrom, _ = file.Choice(m.Get("hangs_from"), engine.FromShoulder)
	out.CloseSleepwear, _ = m.Get("close_sleepwear").Bool()
	out.Nightwear, _ = m.Get("nightwear").Bool()
	out.Outerwear, _ = m.Get("outerwear").Bool()
	out.Stretch = r.stretch(m.Need("stretch"))
	for _, v := range m.Get("worn_over").Each() {
		out.WornOver = append(out.WornOver, v.Text())
	}
	out.Zones = r.zones(m.Need("zones"))
	out.Grading = r.grading(m.Need("grading"))
	for _, v := range m.Get("parts").Each() {
		if part, ok := v.OneOf(engine.Parts()...); ok {
			out.Parts = append(out.Parts, part)
		}
	}
	out.Has = features(m.Get("has"))
	r.moves(m.Get("size_moves"), out)
	for _, v := range m.Get("openings").Items() {
		out.Openings = append(out.Openings, r.opening(v))
	}
	out.Rules = rules.ReadCautions(r.doc, m.Get("cautions"), out.Name, r.voc, when)
	r.zonesOfCautions(m.Get("cautions"), out)
	m.Get("based_on") // seen to already
	r.checkReplaces(m.Get("replaces"), out.Name)
	m.Get("examples") // read by their own reader, as is what they share
	for _, block := range []string{bodiesBlock, patternsBlock, clothsBlock} {
		m.Get(block)
	}
	m.Close("a recipe file")
	return out
}

// zonesOfCautions finds rules about a zone that the recipe lacks, which would
// never be looked at. Those that were taken over may be about a zone that was not.
func (r *reader) zonesOfCautions(cautions file.Value, recipe *engine.Recipe) {
	names := zoneNames(recipe)
	for _, item := range cautions.Each() {
		if !item.IsMap() {
			continue
		}
		zone := item.Map().Get("zone")
		if zone.IsText() && zone.Range().File == r.doc.Name() && !slices.Contains(names, zone.Text()) {
			zone.Problem(notThere, "this recipe has no zone `"+zone.Text()+"`", diag.Among(zone.Text(), names))
		}
	}
}

func zoneNames(recipe *engine.Recipe) []string {
	names := make([]string, len(recipe.Zones))
	for i, z := range recipe.Zones {
		names[i] = z.Name
	}
	return names
}

// controlling reads a measurement, a list in order, or an expression that yields one.
func (r *reader) controlling(v file.Value) engine.Controlling {
	c := engine.Controlling{At: v.Range()}
	if v.IsList() || r.voc.Measure(v.Text()) != nil || isWord(v.Text()) {
		for _, item := range v.Each() {
			if name, ok := r.measure(item); ok {
				c.Names = append(c.Names, name)
			}
		}
		return c
	}
	if !v.Exists() {
		return c
	}
	f, err := formula.Compile(v.Text(), r.voc.Schema(), formula.Text)
	rules.Report(v, err)
	c.Formula = f
	return c
}

func isWord(s string) bool {
	return s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz_") == ""
}

// stretch reads none, or {comfort: 10 %}, or {needed: 25 %}; comfort may stand alone.
func (r *reader) stretch(v file.Value) engine.Stretch {
	s := engine.Stretch{At: v.Range(), Kind: engine.NoStretch}
	if !v.IsMap() {
		if kind, ok := file.Choice(v, engine.NoStretch, engine.StretchComfort, engine.StretchNeeded); ok {
			s.Kind = kind
		}
		if s.Kind == engine.StretchNeeded {
			v.Problem(unsettledStretch, "how much stretch is needed is not said", "write the least percentage, as in {needed: 25 %}")
		}
		return s
	}
	m := v.Map()
	for _, kind := range []engine.StretchKind{engine.StretchComfort, engine.StretchNeeded} {
		if p := r.stretchOf(m.Get(string(kind))); p != nil {
			s.Kind, s.Least = kind, *p
		}
	}
	if m.Has("comfort") && m.Has("needed") {
		v.Problem(unsettledStretch, "stretch is either for comfort or needed", "drop one of the two")
	}
	m.Close("`stretch`")
	return s
}

func (r *reader) zones(v file.Value) []engine.Zone {
	m := v.Map()
	var out []engine.Zone
	for _, k := range m.Keys() {
		out = append(out, r.zone(k, m.Need(k.Text())))
	}
	for i := range out {
		laps := m.Get(out[i].Name).Map().Get("laps")
		if of := slices.IndexFunc(out, func(z engine.Zone) bool { return z.Name == out[i].Laps && z.Laps == "" }); laps.Exists() && of < 0 {
			laps.Problem(notThere, "this recipe has no zone `"+laps.Text()+"` to lap over", "name the zone at whose level the fronts lap over, as in `laps: hip`")
		}
	}
	return out
}

func (r *reader) zone(key, v file.Value) engine.Zone {
	m := v.Map()
	z := engine.Zone{Name: key.Text(), At: key.Range(), Weight: 1, Touches: true}
	z.Measure = z.Name
	if of := m.Get("measure"); of.Exists() {
		z.Measure, _ = r.measure(of)
	} else if name, ok := r.voc.Called(z.Name); name == z.Name && ok {
		r.measure(key)
	} else if diag.Near(z.Name, r.voc.BodyNames()) != "" {
		r.unknownMeasure(key, r.voc.BodyNames())
	} else {
		key.Problem(unmeasured, "what is measured at the zone `"+z.Name+"` is not said", "add `measure:`, as in `measure: "+cmp.Or(name, "hip")+"`")
	}
	if made := m.Get("made"); made.Exists() {
		z.Made = r.made(made)
	}
	if role, ok := m.Need("role").OneOf("decides", "mended", "held"); ok {
		z.Role = engine.Role(role)
	}
	z.By, _ = file.Choice(m.Get("by"), engine.ByElastic, engine.ByTie, engine.ByDrawstring, engine.ByRib, engine.ByChart)
	ease := m.Get("ease")
	z.Ease, z.EaseAt = r.ease(ease), ease.Range()
	percent := z.Ease != nil && z.Ease.Percent
	z.Tolerance = r.amount(m.Get("tolerance"), percent)
	z.Least = r.amount(m.Get("least"), percent)
	if w := m.Get("weight"); w.Exists() {
		z.Weight = r.number(w)
	}
	z.Cut = r.cut(m.Get("cut"))
	if below, ok := m.Get("at").Length(); ok {
		z.Below = &below
	}
	z.Laps = m.Get("laps").Text()
	z.WhereMade, _ = m.Get("where_made").Bool()
	if t, ok := m.Get("touches").Bool(); ok {
		z.Touches = t
	}
	z.Seams, z.Run = r.seams(m.Get("seams")), r.run(&z, m.Get("run"))
	z.Line, _ = file.Choice(m.Get("line"), engine.OwnLine, engine.KeptLine)
	upper, _ := m.Get("upper").OneOf("style", "fit")
	z.Style = upper == "style"
	darts, pleats := m.Get("darts"), m.Get("pleats")
	switch {
	case darts.Exists() && pleats.Exists():
		pleats.Problem(file.NotAllowed, "it has `darts` and `pleats`", "keep the one that lets the "+strings.ReplaceAll(z.Name, "_", " ")+" in or out")
	case darts.Exists():
		z.Darts = int(r.number(darts))
	case pleats.Exists():
		z.Darts, z.Pleats = int(r.number(pleats)), true
	}
	for _, means := range m.Get("means").Each() {
		if by, ok := means.OneOf(engine.Means()...); ok {
			z.Means = append(z.Means, engine.By(by))
		}
	}
	z.Mend, z.Because, z.Source = m.Get("mend").Text(), m.Get("because").Text(), r.sourceOf(ease, m.Get("source"))
	r.checkZone(&z, key, ease, m.Get("tolerance").Exists())
	m.Close("a zone")
	return z
}

// seams reads the seams that cross a level, each with how many there are.
func (r *reader) seams(v file.Value) []engine.Seam {
	m := v.Map()
	var out []engine.Seam
	for _, k := range m.Keys() {
		n, ok := m.Need(k.Text()).Whole()
		if ok && n == 0 {
			m.Get(k.Text()).Problem(belowNothing, "expected at least one seam, got `0`", "leave out a seam that is not there")
		}
		out = append(out, engine.Seam{Name: k.Text(), Count: n})
	}
	return out
}

// run reads how far a zone lies below a level above it, of which it names one.
func (r *reader) run(z *engine.Zone, v file.Value) *engine.Run {
	m := v.Map()
	keys := m.Keys()
	if len(keys) == 0 {
		return nil
	}
	run := &engine.Run{Usual: quantity.Length(r.amount(m.Need(keys[0].Text()), false)), At: v.Range()}
	m.Close("`run`")
	below, ok := r.measure(keys[0])
	run.Below = below
	zone := r.voc.Measure(z.Measure)
	switch {
	case !ok || zone == nil:
		return nil
	case r.voc.Measure(below).Level >= zone.Level:
		keys[0].Problem(notThere, "the "+r.voc.Title(below)+" is no level above the "+zone.Title, "name one that lies higher, as in `run: {waist: 8 in}` at the hip")
		return nil
	}
	return run
}

// sourceOf reads where an ease comes from. A source that is taken over is that of
// the ease it was written for, not of one that stands in its place.
func (r *reader) sourceOf(ease, source file.Value) string {
	for doc := r.doc; doc.Base() != nil && source.Exists(); doc = doc.Base() {
		if source.Range().File == doc.Name() {
			break
		}
		if ease.Range().File == doc.Name() {
			return "not said in " + doc.Name()
		}
	}
	return source.Text()
}

// cut reads elastic's length as a share of the body.
func (r *reader) cut(v file.Value) *quantity.PercentRange {
	p, ok := v.PercentRange()
	if !ok {
		return nil
	}
	if !p.HasLow || !p.HasHigh || p.Low <= 0 {
		v.Problem(badElastic, "elastic is cut between two shares of the body", "as in `cut: 90 % .. 97 %`")
		return nil
	}
	return &p
}

// checkZone finds what a zone cannot do without.
func (r *reader) checkZone(z *engine.Zone, key, ease file.Value, toleranceSaid bool) {
	switch {
	case z.Role == engine.Decides && z.By == engine.ByChart && !toleranceSaid:
		key.Problem(toleranceMissing, "a zone read off the chart needs its tolerance", "as in `tolerance: 3 cm`")
	case z.Role == engine.Decides && z.By != engine.ByChart && !ease.Exists():
		key.Problem(easeMissing, "a zone that decides needs the ease this type expects", "as in `ease: 3 in .. 10 in`, or `ease: 4 in ..` with a `tolerance:`")
	case z.Ease != nil && (!z.Ease.HasLow || !z.Ease.HasHigh) && !toleranceSaid:
		ease.Problem(toleranceMissing, "an open range needs a tolerance", "add `tolerance:`, how far from the wanted ease costs a whole point")
	}
}

// ease reads a length or percentage range, nanometres or percent.
func (r *reader) ease(v file.Value) *engine.EaseRange {
	if !v.Exists() {
		return nil
	}
	if quantity.IsPercent(v.Text()) {
		p, ok := v.PercentRange()
		if !ok {
			return nil
		}
		return &engine.EaseRange{Low: p.Low, High: p.High, HasLow: p.HasLow, HasHigh: p.HasHigh, Percent: true}
	}
	l, ok := v.LengthRange()
	if !ok {
		return nil
	}
	return &engine.EaseRange{Low: float64(l.Low), High: float64(l.High), HasLow: l.HasLow, HasHigh: l.HasHigh}
}

// amount reads a length in nanometres, or percentage points, above 0; 0 where
// none is given.
func (r *reader) amount(v file.Value, percent bool) float64 {
	read := v.Percent
	if !percent {
		read = func() (float64, bool) {
			l, ok := v.Length()
			return float64(l), ok
		}
	}
	n, ok := read()
	if ok && n <= 0 {
		v.Problem(belowNothing, "expected more than 0, got `"+v.Text()+"`", "")
	}
	return n
}

func (r *reader) number(v file.Value) float64 {
	n, err := strconv.ParseFloat(v.Text(), 64)
	if err != nil || !(n > 0 && n <= 100) {
		v.Problem(file.NoNumber, "expected a number above 0, got `"+v.Text()+"`", "as in `weight: 2`")
		return 1
	}
	return n
}

func (r *reader) grading(v file.Value) engine.Grading {
	m := v.Map()
	g := engine.Grading{At: v.Range()}
	g.Sensible, _ = m.Need("sensible").Bool()
	g.Because = m.Need("because").Text()
	m.Close("`grading`")
	return g
}

func (r *reader) moves(v file.Value, out *engine.Recipe) {
	if !v.Exists() {
		return
	}
	m := v.Map()
	out.MovesAt = v.Range()
	if n, ok := m.Need("down").Whole(); ok {
		out.MovesDown = n
	}
	if n, ok := m.Need("up").Whole(); ok {
		out.MovesUp = n
	}
	m.Close("`size_moves`")
}

func (r *reader) opening(v file.Value) engine.Opening {
	m := v.Map()
	o := engine.Opening{At: m.Range(), Name: m.Need("name").Text()}
	o.Measure, o.Elastic = r.made(m.Get("measure")), r.made(m.Get("elastic"))
	alternatives := m.Need("passes").Each()
	for _, alternative := range alternatives {
		var parts engine.Passage
		for _, word := range strings.Split(alternative.Text(), " and ") {
			word = strings.TrimSpace(word)
			if mm := r.voc.Measure(word); mm == nil || mm.Kind == engine.Garment {
				r.unknownPart(alternative, word)
				continue
			}
			parts = append(parts, word)
		}
		if len(parts) > 0 {
			o.Passes = append(o.Passes, parts)
		}
	}
	o.Closure, o.Stops, o.Mend = r.closure(m.Get("closure")), true, m.Get("mend").Text()
	if stops, ok := m.Get("stops").Bool(); ok {
		o.Stops = stops
	}
	if o.Closure == nil && o.Measure == "" {
		v.Problem(badOpening, "an opening without a closure needs the `measure` that it opens to", "as in `measure: waist_open`")
	}
	m.Close("an opening")
	return o
}

func (r *reader) unknownPart(v file.Value, word string) {
	before, _, _ := strings.Cut(v.Text(), word)
	from := utf8.RuneCountInString(before)
	v.ProblemAt(from, from+utf8.RuneCountInString(word), unknownMeasure, "unknown measurement `"+word+"`", r.voc.DidYouMean(word, r.voc.BodyNames(), "there are: "+strings.Join(r.voc.BodyNames(), ", ")))
}

func (r *reader) closure(v file.Value) *engine.Closure {
	switch {
	case !v.Exists() || v.IsText() && v.Text() == "none":
		return nil
	case v.IsText():
		v.Problem(badOpening, "where the "+v.Text()+" begins and how far it reaches is not said",
			"as in `closure: {kind: zip, from: waist, towards: hip, reach: 7 in, run: 8 in}`, or `none`")
		return &engine.Closure{}
	}
	m := v.Map()
	c := &engine.Closure{Kind: m.Need("kind").Text(), From: r.made(m.Need("from")), Towards: r.made(m.Need("towards")), ReachRow: r.made(m.Get("row"))}
	reach := m.Get
	if c.Lacing = r.lacing(m); c.Lacing == nil || m.Has("reach") || m.Has("run") {
		reach = m.Need
	}
	c.Reach, c.Run = quantity.Length(r.amount(reach("reach"), false)), quantity.Length(r.amount(reach("run"), false))
	c.RunBy, _ = r.measure(m.Get("run_by"))
	m.Close("a closure")
	return c
}

// lacing reads how far apart the edges of a closure are worn; nil where they meet.
func (r *reader) lacing(m *file.Map) *engine.Lacing {
	gap, least, most := m.Get("gap"), m.Get("least"), m.Get("most")
	if !gap.Exists() {
		for _, v := range []file.Value{least, most} {
			if v.Exists() {
				v.Problem(badOpening, "how far apart the edges are drawn to be is not said", "add `gap:`, as in `gap: 5 cm`")
			}
		}
		return nil
	}
	l := &engine.Lacing{At: gap.Range(), Gap: r.gap(gap), Least: r.gap(least), Most: r.gap(m.Need("most"))}
	if most.Exists() && (l.Gap < l.Least || l.Gap > l.Most) {
		gap.Problem(badOpening, "the gap of `"+gap.Text()+"` does not lie between the least and the most that looks right", "as in `gap: 5 cm, least: 2 cm, most: 8 cm`; without `least:` it may be laced shut")
	}
	return l
}

// gap reads how far apart two edges are: 0 where they meet, or where nothing is said.
func (r *reader) gap(v file.Value) quantity.Length {
	l, ok := v.Length()
	if ok && l < 0 {
		v.Problem(belowNothing, "expected 0 or more, got `"+v.Text()+"`", "edges that lie over each other are an overlap, no gap")
	}
	return max(l, 0)
}
