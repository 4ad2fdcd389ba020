package recipes

import (
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/shape"
)

// FileKind is a kind of file that people write.
type FileKind struct {
	Name, About string
	shape       func(table) shape.Shape
}

// FileKinds lists the kinds of files.
func FileKinds() []FileKind {
	return []FileKind{
		{"body", "One person's measurements on one day.", func(t table) shape.Shape { return shape.Map(ownFile("body", t.body())...) }},
		{"cloth", "A piece of fabric.", func(t table) shape.Shape { return shape.Map(ownFile("cloth", t.cloth())...) }},
		{"columns", "What the columns of somebody else's table of bodies mean.", table.columnsFile},
		{"garment", "A garment that you own and have measured, washed, unstretched and closed, and how it feels.", func(t table) shape.Shape { return shape.Map(ownFile("garment", t.garment())...) }},
		{declaring, "Measurements that are not among the shipped ones, for all your files.", func(t table) shape.Shape {
			return shape.Map(shape.Need("kind", shape.OneOf(declaring), "What this file holds: measurements."), units(), t.declarations(shape.Need))
		}},
		{"pattern", "A maker's sizes, size chart and finished garment measurements.", func(t table) shape.Shape {
			more := t
			more.more = true
			return shape.When(declaring, more.patternFile(), t.patternFile())
		}},
		{"sewn", "A garment that you cut or sewed, and how it came out.", table.sewn},
		{"observations", "What was seen on a toile of one size.", table.observations},
		{"pieces", "The pieces of a garment laid flat, for its finished measurements.", func(t table) shape.Shape {
			return shape.Map(ownFile("pieces", append(t.pieces(), shape.May("pattern", shape.Text(), "The pattern file beside this one that they belong to, with whose chart they are compared.")))...)
		}},
		{"recipe", "A garment type: what decides its size, and why.", func(t table) shape.Shape {
			based, more, both := t, t, t
			based.based, more.more, both.based, both.more = true, true, true, true
			return shape.When(declaring, shape.When("based_on", both.recipe(), more.recipe()), shape.When("based_on", based.recipe(), t.recipe()))
		}},
		{"rules", "Rules of one topic: when each speaks, and what it says.", func(t table) shape.Shape { return rules.Shape(t.measure()) }},
		{"test", "Examples of a garment type that stands elsewhere, with what is expected of them.", table.test},
	}
}

// Schema is the JSON Schema of such files. What the readers of this package
// take, it lets through.
func (k FileKind) Schema(voc *engine.Vocabulary) []byte {
	return shape.Document(capital(k.Name), k.About, k.shape(table{voc: voc}))
}

// table describes files over a vocabulary.
type table struct {
	voc   *engine.Vocabulary
	based bool // a garment type on another, which has what it does not say itself
	more  bool // measurements that the file declares are known too
}

// ownFile are the keys of a file of its own, which says what it is and has a name.
func ownFile(kind string, keys []shape.Key) []shape.Key {
	return append([]shape.Key{
		shape.Need("kind", shape.OneOf(kind), "What this file describes: a "+kind+"."),
		shape.Need("name", shape.Name(), "The name by which you know it."),
	}, keys...)
}

// within are the keys of what stands within another file.
func within(kind string, keys []shape.Key) []shape.Key {
	own := ownFile(kind, keys)
	for i := range own[:2] {
		own[i].Needed, own[i].Null = false, true
	}
	own[1].Shape = shape.Text() // which may be blank there
	return own
}

func units() shape.Key {
	return shape.May("units", shape.Units(), "What numbers without a unit are meant in. Without it each needs its own.")
}

// measure is the name of a body measurement.
func (t table) measure() shape.Shape {
	return t.named(t.oneOf(t.voc.BodyNames()), "body_measurement", "The name of a body measurement.")
}

// made is the name of something measured on the garment.
func (t table) made() shape.Shape {
	return t.named(t.oneOf(t.voc.Words()), "garment_measurement", "The name of a measurement of the garment.")
}

// oneOf is one of some measurements or, where the file declares others, the name of one of those.
func (t table) oneOf(words []string) shape.Shape {
	if t.more {
		return shape.Either(shape.OneOf(words...), shape.Matching("^[a-z]+(_[a-z]+)*$"))
	}
	return shape.OneOf(words...)
}

// named gives a shape that has measurements a definition of its own, which is another one where the file declares some.
func (t table) named(s shape.Shape, name, about string) shape.Shape {
	if t.more {
		name += "_with_declared"
	}
	return s.Named(name, about)
}

// perMeasure gives every word a key.
func (t table) perMeasure(words []string, value func(*engine.Measure) shape.Shape) shape.Shape {
	keys := make([]shape.Key, len(words))
	for i, word := range words {
		m := t.voc.Measure(word)
		keys[i] = shape.May(word, value(m), capital(m.Title)+". "+m.How)
	}
	if t.more {
		return shape.Map(keys...).Rest(value(&engine.Measure{})).Gaps()
	}
	return shape.Map(keys...)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (t table) body() []shape.Key {
	return []shape.Key{
		shape.May("taken", shape.Date(), "The day the measurements were taken, as in 2026-11-02."),
		units(),
		shape.May("measured_over", shape.Text(), "What was worn beneath the tape, as in `everyday bra`."),
		shape.May("measured_by", shape.OneOf("self", "someone else"), "Who held the tape. A measurement taken of oneself is read less surely; without a word it is taken for one."),
		shape.May("age", shape.NumberWith("years?|months?"), "In years, as in 6, or in months, as in 18 months."),
		shape.May("posture", shape.OneOf("standing"), "How the body was measured. What is taken seated has names of its own."),
		shape.Need("measurements", t.measurements(), "Each measurement by its name."),
		shape.May("since", t.perMeasure(t.voc.BodyNames(), func(*engine.Measure) shape.Shape { return shape.Date() }), "The day of each measurement that was not taken with the others."),
		shape.May("earlier", shape.List(t.named(shape.Map(
			shape.Need("taken", shape.Date(), "The day they were taken."),
			shape.May("measured_over", shape.Text(), "What was worn beneath the tape."),
			shape.Need("measurements", t.measurements(), "What was measured that day."),
		), "earlier", "What was measured on an earlier day.")), "Older measurements, so that a garment is compared with the body that wore it."),
		shape.May("wanted", t.wanted(), "How long you want garments: a length of the garment, or where on you it is to end."),
		shape.May("alterations", t.alterations(), "What you always alter, by the names of `advisor rule list`: how much, or `yes` for as much as the rule says."),
	}
}

func (t table) measurements() shape.Shape {
	readings := shape.OneOrList(shape.Readings())
	taking := shape.Either(readings, shape.Map(
		shape.May("left", readings, "The left side."),
		shape.May("right", readings, "The right side."),
	)).Named("measurement", "One reading, several, which are averaged, or those of the left and the right side.")
	angle := shape.Either(slope(), shape.Map(
		shape.Need("left", slope(), "The left side."),
		shape.Need("right", slope(), "The right side."),
	)).Named("angle", "How far the shoulder falls over its length, as in 4.5 cm; or the angle in degrees, as in 22; or those of the left and the right side.")
	return t.named(t.perMeasure(t.voc.BodyNames(), func(m *engine.Measure) shape.Shape {
		if m.Kind == engine.Angle {
			return angle
		}
		return taking
	}), "measurements", "Measurements by name.")
}

// slope is how far a shoulder falls, or at which angle.
func slope() shape.Shape { return shape.Either(shape.NumberWith("°|degrees"), shape.Length()) }

func (t table) alterations() shape.Shape {
	return shape.Map().Rest(shape.Either(shape.Bool(), shape.OneOf("yes", "no"), shape.Length()))
}

// stretch is a percentage, or a gauge reading.
func (t table) stretch() shape.Shape {
	return shape.Either(shape.Percent(), shape.Map(
		shape.Need("from", shape.Length(), "The length of cloth as it lies, as in 4 in."),
		shape.Need("to", shape.Length(), "How long it gets when you pull, as in 5 in."),
	)).Named("stretch", "How much longer the cloth gets: a percentage, as in 25 %, or what you saw, as in {from: 4 in, to: 5 in}.")
}

func ways(value shape.Shape, more ...shape.Key) shape.Shape {
	return shape.Map(append([]shape.Key{
		shape.May("across", value, "Across the cloth, from selvedge to selvedge."),
		shape.May("along", value, "Along the cloth."),
	}, more...)...)
}

func (t table) cloth() []shape.Key {
	return []shape.Key{
		units(),
		shape.Need("structure", shape.OneOf("woven", "knit"), "How the cloth is made."),
		shape.May("stretch", ways(t.stretch(), shape.May("bias", t.stretch(), "At 45 degrees between them: what counts where the pieces lie on the bias.")),
			"How far it stretches, in each direction."),
		shape.May("shrinkage", ways(shape.Percent()), "How much it shrinks in the wash, in each direction."),
		shape.May("recovery", shape.Percent(), "How much of a stretch it takes back when let go, as in 95 %."),
		shape.May("thickness", shape.Length(), "As in 0.4 mm."),
		shape.May("width", shape.Length(), "Between the selvedges."),
		shape.May("length", shape.Length(), "How much of it there is."),
		shape.May("prewashed", shape.Bool(), "Whether it has been washed before it is cut."),
		shape.May("grain", shape.OneOf("lengthwise", "crosswise", "bias"), "How the pieces will lie on it."),
		shape.May("nap", shape.Bool(), "Whether it has an up and a down: a pile, a sheen, a picture."),
		shape.May("repeat", shape.Length(), "How long one repeat of its check, stripe or picture is, if that is matched at the seams."),
		shape.May("costly", shape.Bool(), "Whether it is dear, or there is no more of it."),
		shape.May("drape", shape.OneOf("soft", "medium", "crisp"), "How it falls."),
	}
}

func (t table) sewn() shape.Shape {
	zones := func(value shape.Shape) shape.Shape { return shape.Map().Rest(value).Gaps() }
	return shape.Map(sewnFile([]shape.Key{
		shape.May("made", shape.Date(), "The day it was cut, as in 2026-11-25."),
		units(),
		shape.Need("pattern", shape.Text(), "The pattern's name."),
		shape.May("maker", shape.Text(), "Who made the pattern."),
		shape.Need("recipe", shape.Name(), "The garment type, as `advisor recipe list` names it."),
		shape.Need("body", shape.Either(shape.Text(), shape.Map(
			shape.Need("name", shape.Text(), "The name of the body."),
			shape.May("taken", shape.Date(), "The day of the measurements that it was cut by."),
		)), "For whom it was cut."),
		shape.Need("size", shape.Text(), "The size, as the pattern prints it."),
		shape.May("lines", zones(shape.Text()), "The size line followed at a zone, where it is another one."),
		shape.May("alterations", zones(shape.Either(shape.OneOf("yes"), shape.Length(), shape.NumberWith("°|degrees"))), "What was altered before cutting, and by how much; `yes` where that is not said."),
		shape.May("cloth", shape.Map(within("cloth", t.cloth())...), "The cloth it is made in."),
		shape.May("wish", shape.Text(), "The ease that was asked for."),
		shape.May("ease", zones(shape.Either(shape.Length(), shape.Percent())), "The ease as planned at each zone, as a length or a share of the body."),
		shape.May("finished", zones(shape.Length()), "What the pattern says the garment measures at each zone."),
		shape.May("outcome", t.outcome(), "How it came out."),
	})...)
}

// sewnFile are the keys of the file of a sewn garment, whose kind had another name in earlier versions.
func sewnFile(keys []shape.Key) []shape.Key {
	of := ownFile("sewn", keys)
	of[0] = shape.Need("kind", shape.OneOf("sewn", "make"), "What this file describes: a garment that you cut or sewed. Earlier versions wrote `make`.")
	return of
}

func (t table) outcome() shape.Shape {
	zones := func(value shape.Shape) shape.Shape { return shape.Map().Rest(value).Gaps() }
	return shape.Map(
		shape.May("worn", shape.Bool(), "Whether it is worn."),
		shape.May("feels", zones(shape.OneOf("tight", "right", "roomy")), "How it feels at each zone, as it is worn."),
		shape.May("changed", zones(shape.Text()), "What was changed after cutting at each zone, in words."),
		shape.May("measured", zones(shape.Length()), "What the made garment measures at each zone: closed, washed and not stretched; girths all round."),
		shape.May("words", shape.Text(), "What else there is to say."),
	)
}

// patternFile describes a pattern in a file of its own, which names its recipe.
func (t table) patternFile() shape.Shape {
	keys := ownFile("pattern", t.pattern())
	i := slices.IndexFunc(keys, func(k shape.Key) bool { return k.Name == "recipe" })
	keys[i].Needed, keys[i].Null = true, false
	return shape.Map(keys...)
}

func (t table) pattern() []shape.Key {
	return []shape.Key{
		shape.May("maker", shape.Text(), "Who made the pattern."),
		shape.May("recipe", shape.Text(), "The garment type, as `advisor recipe list` names it."),
		units(),
		shape.May("drafted_for", t.draftedFor(), "What body and cloth the pattern was drafted for, as far as the maker says."),
		shape.May("has", shape.OneOrList(shape.OneOf(engine.Features()...)), "What this pattern has besides what its type has, as far as alterations go."),
		shape.May("lengthen_at", lengthenAt(), "Where the maker drew lines to lengthen or shorten, in words, as in `below the hip`."),
		shape.May("seam_allowance", shape.Length(), "The seam allowance of the pattern's pieces."),
		shape.May("sizes", shape.List(shape.Text()), "The sizes, as the pattern prints them."),
		t.declarations(shape.May),
		shape.Need("body", t.rows(t.voc.BodyNames()), "The size chart: for each measurement a cell to each size, or the name of a CSV or XLSX file beside this one."),
		shape.May("finished", t.rows(t.voc.Words()), "The finished garment measurements: for each a cell to each size, or the name of a CSV or XLSX file beside this one."),
		shape.May("lacing", t.lacing(), "That it closes by lacing from end to end, and with which gap, in place of what its type says."),
		shape.May("test_square", testSquare(), "The square on a print-at-home pattern by which its scale is checked."),
		shape.May("cloth_needed", shape.List(clothNeed()), "How much cloth the maker asks for, by its width."),
		shape.May("pieces", shape.Either(shape.Text(), shape.Map(within("pieces", t.pieces())...)), "Pieces laid flat, from which further finished measurements come, or the name of a file of them beside this one."),
		shape.May("for_girls", shape.Bool(), "Whether the garment is labelled and sold for girls: else the maxima of children's sleepwear are those for boys."),
		shape.May("cords", shape.List(t.cord()), "The cords, drawstrings and ties of a child's garment."),
	}
}

// wanted describes how long garments are wanted.
func (t table) wanted() shape.Shape {
	var keys []shape.Key
	for _, name := range t.voc.HemLengths() {
		place := shape.Matching(`(?i)^(.+ (above|below)|at) (the )?(` + strings.Join(t.voc.Places(name), "|") + `)$`)
		keys = append(keys, shape.May(name, shape.Either(shape.Length(), place), capital(t.voc.Title(name))+": a length, or as in `at the "+t.voc.Places(name)[0]+"`."))
	}
	return shape.Map(keys...)
}

func lengthenAt() shape.Shape {
	var keys []shape.Key
	for _, part := range engine.LengthenedParts() {
		keys = append(keys, shape.May(part, shape.OneOrList(shape.Text()), "Where on the "+part+": one line, or several."))
	}
	return shape.Map(keys...)
}

func (t table) draftedFor() shape.Shape {
	keys := []shape.Key{
		shape.May("cup", shape.Length(), "The full bust less the upper bust, as in 2 in."),
		shape.May("stretch", t.stretch(), "The stretch of the cloth it was drafted for, as in 25 %."),
	}
	for _, name := range t.voc.BodyNames() {
		if m := t.voc.Measure(name); m.Kind == engine.Along || m.Kind == engine.Across {
			keys = append(keys, shape.May(name, shape.Either(shape.Length(), shape.List(shape.Cell()).Gaps()), capital(m.Title)+" of the body it was drafted for: one for all sizes, or a cell to each."))
		}
	}
	keys = append(keys, shape.May(shoulderSlope, shape.OneOrList(slope()), "How the shoulder was drafted to fall: how far over its length, or the angle; one for all sizes, or one to each."))
	if t.more {
		return shape.Map(keys...).Rest(shape.Either(shape.Length(), shape.List(shape.Cell()).Gaps())).Gaps()
	}
	return shape.Map(keys...)
}

// rows are rows of a chart, or the file that holds them.
func (t table) rows(words []string) shape.Shape {
	row := shape.List(shape.Cell()).Gaps().Named("row", "A cell to each size, in the order of the sizes.")
	table := shape.Map(
		shape.Need("file", shape.Matching(`\.(csv|tsv|xlsx)$`), "The CSV or XLSX file beside this one."),
		shape.May("sheet", shape.Text(), "Its sheet, where it has several."),
		shape.May("range", shape.Matching("^"+`\s*[A-Za-z]+[1-9][0-9]*:[A-Za-z]+[1-9][0-9]*\s*$`), "The cells that hold the chart, as in B2:H9."),
		shape.May("header", shape.Whole(), "The line of its header, where that is not the first with more than a note."),
	).Named("table", "A part of a table beside the pattern.")
	return shape.Either(shape.Matching(`\.(csv|tsv|xlsx)$`), t.perMeasure(words, func(*engine.Measure) shape.Shape { return row }), table)
}

func (t table) cord() shape.Shape {
	return shape.Map(
		shape.Need("where", shape.OneOf("hood", "neck", "waist", "hem", "ankle", "wrist", "back"), "Where on the garment it is."),
		shape.May("free", shape.Length(), "The length of each free end, the garment laid flat at its widest."),
		shape.May("loop", shape.Length(), "The length round a fixed loop."),
		shape.May("ends", shape.OneOf("free", "none"), "Whether its ends hang free."),
		shape.May("toggle", shape.Bool(), "Whether there is a toggle, a knot or the like at its ends."),
		shape.May("tacked", shape.Bool(), "Whether it is sewn to the garment half-way."),
	).Named("cord", "A cord, drawstring or tie.")
}

// need is a key that a garment type needs, unless it is based on another.
func (t table) need(name string, value shape.Shape, about string) shape.Key {
	if t.based {
		return shape.May(name, value, about)
	}
	return shape.Need(name, value, about)
}

func (t table) recipe() shape.Shape {
	return shape.Map(append(ownFile("recipe", []shape.Key{
		shape.May("based_on", shape.Matching("^[a-z0-9]+(-[a-z0-9]+)*$"), "The garment type that has whatever this one does not say itself."),
		shape.May("replaces", shape.Text(), "The shipped garment type that this one stands in for."),
		shape.Need("title", shape.Text(), "The name as it stands in a sentence, as in `gathered skirt`."),
		shape.May("family", shape.Text(), "What such garments are, in a word or two, as in `fitted dress`: a garment that you like speaks for others of its family."),
		t.need("draft", shape.OneOf("women", "men", "children", "all"), "What it is usually drafted for; it bars nobody."),
		shape.May("because", shape.Text(), "What decides the size and why, in a cutter's words."),
		shape.May("source", shape.Text(), "Where that comes from."),
		t.declarations(shape.May),
		t.need("controlling", t.controlling(), "What picks the size from the chart: a measurement, several in order, or an expression that yields one."),
		shape.May("between_sizes", shape.OneOf("larger", "smaller"), "Which size to take between two."),
		shape.May("hangs_from", shape.OneOf("shoulder"), "A garment that hangs from the shoulder goes by the upper bust."),
		shape.May("close_sleepwear", shape.Bool(), "Whether it is children's close-fitting sleepwear, which is never sized up."),
		shape.May("nightwear", shape.Bool(), "Whether it is worn at night, near flames perhaps."),
		shape.May("outerwear", shape.Bool(), "Whether it is worn outdoors over the rest, as jackets and sweatshirts are."),
		t.need("stretch", t.stretchWanted(), "What cloth it wants: none, {comfort: 10 %} or {needed: 25 %}."),
		shape.May("worn_over", shape.OneOrList(shape.Text()), "What is usually worn beneath, as in `underwear`."),
		t.need("zones", t.zones(), "The levels of the garment that are looked at."),
		t.need("grading", t.grading(), "Whether moving from one size line to another makes sense."),
		shape.May("parts", shape.OneOrList(shape.OneOf(engine.Parts()...)), "What it is made of, as far as alterations go: only what it has is altered."),
		shape.May("has", shape.OneOrList(shape.OneOf(engine.Features()...)), "What spares it an alteration, such as shoulder pads, or gives its waist another place than yours."),
		shape.May("size_moves", t.moves(), "How far from the chart size the style still holds."),
		shape.May("openings", shape.List(t.opening()), "Where the body gets in."),
		shape.May("cautions", shape.List(t.named(rules.RuleShape(t.measure()), "rule", rules.AboutRule)), "Rules of this garment type alone."),
		shape.May("examples", shape.List(t.example()), "Cases with what is expected of them. Keep them last in the file."),
	}), t.sharedKeys()...)...)
}

func (t table) controlling() shape.Shape {
	return shape.Either(t.measure(), shape.List(t.measure()).Gaps(), shape.Matching("[^a-z_]"))
}

func (t table) stretchWanted() shape.Shape {
	return shape.Either(shape.OneOf("none", "comfort"), shape.Map(
		shape.May("comfort", t.stretch(), "The stretch that makes it comfortable, as in 10 %."),
		shape.May("needed", t.stretch(), "The least stretch with which it can be worn, as in 25 %."),
	))
}

// zones are named after what is measured there, or say what is.
func (t table) zones() shape.Shape {
	zone := t.zone()
	var keys []shape.Key
	for _, name := range t.voc.BodyNames() {
		keys = append(keys, shape.Key{Name: name, Shape: zone, About: capital(t.voc.Title(name)) + ".", Null: t.based})
	}
	if t.based {
		return shape.Map(keys...).Rest(zone).Gaps()
	}
	if t.more {
		return shape.Map(keys...).Rest(zone)
	}
	return shape.Map(keys...).Rest(zone.Needing("measure"))
}

func (t table) zone() shape.Shape {
	name := "zone"
	if t.based {
		name = "zone_of_another"
	}
	return t.named(shape.Map(
		shape.May("measure", t.measure(), "What is measured there, where the zone's name does not say it."),
		shape.May("made", t.made(), "The finished row that says what the garment measures there, where that is not called like what is measured: of two layers at one level each has its own."),
		t.need("role", shape.OneOf("decides", "mended", "held"),
			"It decides the size; or grading or an alteration puts it right; or elastic, a tie or a drawstring holds it."),
		shape.May("by", shape.OneOf("elastic", "tie", "drawstring", "rib", "chart"), "What holds it; or `chart`, where it is read off the chart alone."),
		shape.May("ease", shape.EaseRange(), "The ease this type expects, as in 3 in .. 10 in. Negative ease is in percent."),
		shape.May("tolerance", shape.Amount(false), "How far from the wanted ease costs a whole point; open ranges need it."),
		shape.May("least", shape.Amount(false), "The least tolerance."),
		shape.May("weight", shape.Number(), "How much it counts beside other zones that decide."),
		shape.May("cut", shape.PercentRange(), "The elastic's length as a share of the body, as in 90 % .. 97 %."),
		shape.May("at", shape.LengthWithUnit(), "How far below the natural waist it lies."),
		shape.May("laps", shape.Text(), "The zone whose closing overlap this is."),
		shape.May("where_made", shape.Bool(), "Whether it is looked at only where the pattern gives it finished."),
		shape.May("touches", shape.Bool(), "Whether the garment touches the body there."),
		shape.May("seams", shape.Map().Rest(shape.Whole()), "The seams that cross it and may be moved, with how many there are, as in {side: 2}."),
		shape.May("run", shape.Map().Rest(shape.Amount(false)), "How far it usually lies below a level above, as in {waist: 8 in}."),
		shape.May("upper", shape.OneOf("style", "fit"), "What its roomy end is: `style`, and more is no reason to change it; `fit`, as where nothing is said, and more is taken in."),
		shape.May("darts", shape.Whole(), "How many darts there may take up more or less."),
		shape.May("pleats", shape.Whole(), "How many pleats may, in place of darts."),
		shape.May("means", shape.OneOrList(shape.OneOf(engine.Means()...)), "By which means what is lacking there is mended, in order; else line, alteration, dart, seam."),
		shape.May("line", shape.OneOf("own", "kept"), "`own`: it has a size line of its own; `kept`: it keeps its neighbour's."),
		shape.May("mend", shape.Text(), "How it is put right."),
		shape.May("because", shape.Text(), "The cutter's reason for its role."),
		shape.May("source", shape.Text(), "Where the ease comes from."),
	), name, "One level of the garment that is looked at.")
}

func (t table) grading() shape.Shape {
	return shape.Map(
		t.need("sensible", shape.Bool(), "Whether it makes sense for this type."),
		t.need("because", shape.Text(), "Why, or why not."),
	)
}

func (t table) moves() shape.Shape {
	return shape.Map(
		t.need("down", shape.Whole(), "Sizes below the chart size."),
		t.need("up", shape.Whole(), "Sizes above it."),
	)
}

func (t table) opening() shape.Shape {
	passes := shape.Either(t.oneOf(t.voc.BodyNames()), shape.Matching(`[^a-z_]`))
	return t.named(shape.Map(
		shape.Need("name", shape.Text(), "What it is called, as in `waist`."),
		shape.May("measure", t.made(), "The finished measurement that it opens to, as in `waist_open`."),
		shape.May("elastic", t.made(), "The finished measurement of its elastic at full stretch."),
		shape.Need("passes", shape.Either(passes, shape.List(passes)), "What must get through: a measurement, two joined by `and`, or several in a list, any of which will do."),
		shape.May("closure", t.closure(), "What opens it, or `none`."),
		shape.May("stops", shape.Bool(), "Whether a size that does not pass is ruled out."),
		shape.May("mend", shape.Text(), "How it is put right, where another way than a wider edge is meant."),
	), "opening", "Where the body gets into the garment.")
}

func (t table) closure() shape.Shape {
	keys := func(reach, gap func(string, shape.Shape, string) shape.Key) shape.Shape {
		return shape.Map(append([]shape.Key{
			shape.Need("kind", shape.Text(), "As in `zip`, `buttons`, `hooks` or `lacing`."),
			shape.Need("from", t.made(), "The level at which it begins."),
			shape.Need("towards", t.made(), "The level towards which it reaches; what lies between its end and that level must pass too."),
			shape.May("row", t.made(), "The finished measurement that holds a pattern's own reach."),
			reach("reach", shape.Amount(false), "How far it reaches, as in 7 in. Only what has a gap may leave it out: then it opens from end to end."),
			reach("run", shape.Amount(false), "How far apart the two levels are, as in 8 in; where it reaches only part of the way."),
			shape.May("run_by", t.measure(), "The body measurement that says so, where it is known."),
		}, gapKeys(gap)...)...)
	}
	return shape.Either(shape.OneOf("none"), shape.When("gap", keys(shape.May, shape.Need), keys(shape.Need, shape.May)))
}

// gapKeys say how far apart the edges of a lacing are worn.
func gapKeys(need func(string, shape.Shape, string) shape.Key) []shape.Key {
	return []shape.Key{
		need("gap", shape.Length(), "How far apart the edges are drawn to be worn, as in 5 cm: what is sewn and the gap go round the body."),
		shape.May("least", shape.Length(), "The least gap that looks right; without it the garment may be laced shut."),
		need("most", shape.Length(), "The most gap that looks right, as in 8 cm."),
	}
}

// lacing is a pattern's own.
func (t table) lacing() shape.Shape {
	return shape.Map(append([]shape.Key{
		shape.Need("from", t.made(), "The level at which it begins."),
		shape.Need("towards", t.made(), "The level at which it ends."),
	}, gapKeys(shape.Need)...)...)
}

func (t table) test() shape.Shape {
	return shape.Map(append(t.sharedKeys(),
		shape.Need("kind", shape.OneOf("test"), "What this file holds: a test."),
		shape.Need("recipe", shape.Name(), "The garment type, or the name of its file beside this one."),
		shape.Need("examples", shape.List(t.example()), "Cases with what is expected of them."),
	)...)
}

func (t table) example() shape.Shape {
	return t.named(shape.Map(
		shape.Need("name", shape.Text(), "What it shows."),
		shape.Need("given", t.given(), "The body, the pattern and the rest."),
		shape.Need("expect", t.expect(), "What the answer must be."),
	), "example", "A case of this garment type, with what is expected of the answer.")
}

func (t table) givenBody() shape.Shape {
	return shape.Either(t.measurements(), shape.Map(within("body", t.body())...))
}

func (t table) givenPattern() shape.Shape { return shape.Map(within("pattern", t.pattern())...) }

func (t table) givenCloth() shape.Shape { return shape.Map(within("cloth", t.cloth())...) }

// sharedKeys declare what several examples share.
func (t table) sharedKeys() []shape.Key {
	return []shape.Key{
		shape.May(bodiesBlock, shape.Map().Rest(shape.Either(shape.Text(), t.givenBody())).Gaps(), "Bodies that examples name, each as in an example."),
		shape.May(patternsBlock, shape.Map().Rest(shape.Either(shape.Text(), t.givenPattern())).Gaps(), "Patterns that examples name."),
		shape.May(clothsBlock, shape.Map().Rest(shape.Either(shape.Text(), t.givenCloth())).Gaps(), "Cloths that examples name."),
	}
}

func (t table) given() shape.Shape {
	kept := t.named(shape.Map(within("garment", t.garment())...), "kept_garment", "A garment that is liked.")
	return shape.Map(
		shape.Need("body", shape.Either(shape.Text(), t.givenBody()),
			"The measurements alone, a whole body, one of `bodies:` by its name, or the name of a file."),
		shape.Need("pattern", shape.Either(shape.Text(), t.givenPattern()), "A pattern, one of `patterns:` by its name, or the name of a file."),
		shape.May("cloth", shape.Either(shape.Text(), t.givenCloth()), "A cloth, one of `cloths:` by its name, or the name of a file."),
		shape.May("like", shape.OneOrList(shape.Either(shape.Text(), kept)),
			"Garments that are liked: each whole, or the name of its file."),
		shape.May("ease", shape.OneOrList(shape.Text()), "The ease that is wanted, as in `closer` or `hip=drawn+2cm`."),
		shape.May("over", shape.OneOrList(shape.Text()), "What will be worn beneath, as in `shirt` or `quilted vest=4 mm`."),
		shape.May("today", shape.Date(), "The date to judge by."),
	)
}

func (t table) expect() shape.Shape {
	words := shape.OneOrList(shape.Text())
	return shape.Map(
		shape.May("size", shape.Text(), "The size recommended, or `none`."),
		shape.May("chart_size", shape.Text(), "The size by the chart alone."),
		shape.May("ruled_out", shape.List(shape.Text()).Gaps(), "The sizes that are ruled out, and no others."),
		shape.May("cautions", words, "Rules that speak; [] says that none does."),
		shape.May("not", words, "Rules that do not speak."),
		shape.May("alterations", shape.Map().Rest(shape.Either(shape.OneOf(measured), shape.Amount(true))).Gaps(), "What is altered, each by how much to half a millimetre, or `measure` where the pattern has to be measured."),
		shape.May("not_judged", words, "Zones and openings that are not judged."),
		shape.May("lines", shape.Map().Rest(shape.Text()), "The size whose line is followed at single zones, or `none`, as in {waist: 14, hip: 18}."),
		shape.May("zones", shape.Map().Rest(shape.Map(
			shape.May("verdict", shape.OneOf(engine.Verdicts()...), "How the zone comes out."),
			shape.May("becomes", shape.Length(), "What the garment measures there in the end, by the plan."),
			shape.May("ease", shape.Amount(true), "The ease there, to half a millimetre."),
		)), "What is expected of single zones."),
	)
}
