package recipes

import (
	"io/fs"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
	"fitadvisor/rules/shape"
)

// ReadGarment takes the file of a kept garment apart. A cloth in a file of its own
// is read from beside; its doc is returned, with its problems. The rest of the
// problems are left in the doc. The garment's type is only named: find it in a
// [Library].
func ReadGarment(doc *file.Doc, voc *engine.Vocabulary, beside fs.FS) (*engine.KeptGarment, []*file.Doc) {
	g := &garmentReader{reader: reader{doc, voc}, beside: beside}
	if m := g.whole("garment"); m != nil {
		return g.read(m), g.cloths
	}
	return nil, nil
}

type garmentReader struct {
	reader
	beside fs.FS
	cloths []*file.Doc
}

// read reads a kept garment, from a file of its own or from within another.
func (g *garmentReader) read(m *file.Map) *engine.KeptGarment {
	m.Get("kind").OneOf("garment")
	out := &engine.KeptGarment{Name: strings.TrimSpace(m.Get("name").Text()), At: m.Range()}
	g.kindOf(m, out)
	out.Cloth = g.clothOf(m.Need("cloth"))
	g.units(m.Get("units")) // after the cloth, which has its own
	out.Measured, _ = m.Get("measured").Date()
	out.Made = g.measured(m.Need("measurements"))
	out.Feels = g.feels(m.Get("feels"))
	out.Worn = g.worn(m.Get("worn_by"))
	m.Close("a garment file")
	return out
}

// kindOf reads the garment's type, or the nearest one.
func (g *garmentReader) kindOf(m *file.Map, out *engine.KeptGarment) {
	recipe, like := m.Get("recipe"), m.Get("like")
	named := recipe
	if like.Exists() {
		named = like
	}
	if recipe.Exists() == like.Exists() {
		what := "neither `recipe` nor `like` says what type of garment it is"
		if like.Exists() {
			what = "`recipe` and `like` both say what type of garment it is"
		}
		g.doc.Problem(m.Range(), typeless, what, "write `recipe: straight-skirt`, or `like: straight-skirt` where that is only the nearest type there is")
	}
	out.Recipe, out.Nearest, out.RecipeAt = strings.TrimSpace(named.Text()), like.Exists(), named.Range()
}

// clothOf reads a cloth, or the name of its file.
func (g *garmentReader) clothOf(v file.Value) *engine.Cloth {
	switch {
	case !v.Exists():
		return nil
	case !v.IsText():
		return g.cloth(v.Map())
	}
	name, data, ok := g.readBeside(v, g.beside)
	if !ok {
		return nil
	}
	doc := file.Open(name, data)
	g.cloths = append(g.cloths, doc)
	return ReadCloth(doc, g.voc)
}

// measured reads what the garment measures: a girth right round or flat.
func (g *garmentReader) measured(v file.Value) map[string]engine.Made {
	out := map[string]engine.Made{}
	m := g.byMeasure(v)
	for _, k := range m.Keys() {
		v := m.Get(k.Text())
		if measure := g.level(k); measure != nil && v.Exists() {
			if made, ok := g.madeOf(measure, v); ok {
				out[measure.Name] = made
			}
		}
	}
	return out
}

// level reads what on a garment is measured or felt.
func (g *garmentReader) level(k file.Value) *engine.Measure {
	if !k.Exists() {
		return nil
	}
	words := levels(g.voc)
	if !slices.Contains(words, k.Text()) {
		g.unknownMeasure(k, words)
		return nil
	}
	return g.voc.Measure(k.Text())
}

// levels are the words that a garment is measured by: all but angles.
func levels(voc *engine.Vocabulary) []string {
	return slices.DeleteFunc(slices.Clone(voc.Words()), func(name string) bool { return voc.Measure(name).Kind == engine.Angle })
}

// madeOf reads one length, or {flat:}; a girth that is measured flat is doubled.
func (g *garmentReader) madeOf(m *engine.Measure, v file.Value) (engine.Made, bool) {
	made := engine.Made{At: v.Range()}
	length := v
	if v.IsMap() {
		flat := v.Map()
		length = flat.Need("flat")
		flat.Close("a measurement taken flat")
		made.Flat = m.Kind == engine.Girth
	}
	l, ok := length.Length()
	switch {
	case !ok:
		return made, false
	case l <= 0:
		length.Problem(belowNothing, "a measurement is more than nothing, got `"+length.Text()+"`", "measure again, or leave the line out")
		return made, false
	}
	made.Length = l
	if made.Flat {
		made.Length = 2 * l
	}
	return made, true
}

// feels reads how the garment feels, level by level.
func (g *garmentReader) feels(v file.Value) map[string]engine.Felt {
	if !v.Exists() {
		return nil
	}
	out := map[string]engine.Felt{}
	m := g.byMeasure(v)
	for _, k := range m.Keys() {
		v := m.Get(k.Text())
		feel, said := v.OneOf(string(engine.Tight), string(engine.Right), string(engine.Roomy))
		if measure := g.level(k); measure != nil && said {
			out[measure.Name] = engine.Felt{Feel: engine.Feeling(feel), At: v.Range()}
		}
	}
	return out
}

// worn reads which body the garment was worn over.
func (g *garmentReader) worn(v file.Value) engine.Worn {
	var w engine.Worn
	if !v.Exists() {
		return w
	}
	m := v.Map()
	w.Name = strings.TrimSpace(m.Need("name").Text())
	w.Taken, _ = m.Get("taken").Date()
	if own := m.Get("measurements"); own.Exists() {
		w.Measurements = g.measurements(own)
	}
	m.Close("`worn_by`")
	return w
}

// TypeOf finds the type of a kept garment by its name, unless it is one that was
// read already. The doc, with its problems, is nil where there is none to tell.
func (l Library) TypeOf(g *engine.KeptGarment, read *engine.Recipe, voc *engine.Vocabulary) (*file.Doc, error) {
	switch {
	case g == nil || g.Recipe == "":
		return nil, nil
	case read != nil && read.Name == g.Recipe:
		g.Type = read
		return nil, nil
	}
	found, err := l.Recipe(g.Recipe, voc)
	if err != nil {
		return nil, err
	}
	g.Type, g.Recipe = found.Recipe, found.Name
	return found.Doc, nil
}

// garment describes a kept garment.
func (t table) garment() []shape.Key {
	made := shape.Either(shape.Length(), shape.Map(
		shape.Need("flat", shape.Length(), "Laid flat, from edge to edge: a girth is doubled, a length or a width is not."),
	)).Named("made", "Right round, or laid flat as in {flat: 52 cm}.")
	feel := shape.OneOf(string(engine.Tight), string(engine.Right), string(engine.Roomy)).Named("feel", "How it feels there.")
	words := levels(t.voc)
	return []shape.Key{
		units(),
		shape.May("recipe", shape.Text(), "Its garment type, as `advisor recipe list` names it."),
		shape.May("like", shape.Text(), "The nearest garment type, where none is quite its own."),
		shape.Need("cloth", shape.Either(shape.Text(), shape.Map(within("cloth", t.cloth())...)), "What it is made of: at least its structure and its stretch, or the name of a cloth file beside this one."),
		shape.May("measured", shape.Date(), "The day you measured it: washed, unstretched and closed."),
		shape.Need("measurements", t.perMeasure(words, func(*engine.Measure) shape.Shape { return made }), "What it measures, under the names of a pattern's finished measurements."),
		shape.May("feels", t.perMeasure(words, func(*engine.Measure) shape.Shape { return feel }), "How it feels at each level: tight, right or roomy."),
		shape.May("worn_by", t.named(shape.Map(
			shape.Need("name", shape.Text(), "Whose body, by the name in the body file."),
			shape.May("taken", shape.Date(), "When: it is compared with what that body measured then."),
			shape.May("measurements", t.measurements(), "That body's measurements, where no body file has them."),
		), "worn_by", "The body it was worn over."), "The body it was worn over when you judged it."),
	}
}
