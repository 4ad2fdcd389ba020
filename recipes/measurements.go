package recipes

import (
	"bytes"
	"cmp"
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules/file"
	"fitadvisor/rules/shape"
)

// declaring is the key under which a file declares measurements.
const declaring = "measurements"

// declared reads the measurements that a file declares, and knows them from there on. The garment type or pattern of a
// name asks for them; of those that everybody may be asked for it is empty.
func (r *reader) declared(v file.Value, of string) (out []engine.Measure) {
	if !v.Exists() {
		return nil
	}
	m := v.Map()
	for _, k := range m.Keys() {
		if d, ok := r.declaration(k, m.Need(k.Text()), of); ok {
			out = append(out, d)
			r.voc = r.voc.With(d)
		}
	}
	return out
}

// declaration reads one measurement. It is not ok where no measurement can be made of it, because its name is not free.
func (r *reader) declaration(key, v file.Value, of string) (d engine.Measure, ok bool) {
	if !v.IsMap() {
		v.Map() // which tells what else it is
		return d, false
	}
	m := v.Map()
	d = engine.Measure{Name: key.Text(), At: key.Range(), Of: of, Kind: engine.Girth}
	d.Title = strings.TrimSpace(m.Need("title").Text())
	if kind, ok := file.Choice(m.Need("kind"), engine.Girth, engine.Along, engine.Across, engine.Garment); ok {
		d.Kind = kind
	}
	d.How, d.Source = strings.TrimSpace(m.Need("how").Text()), m.Get("source").Text()
	words := m.Get("also").Each()
	for _, word := range words {
		d.Also = append(d.Also, strings.TrimSpace(word.Text()))
	}
	if l := m.Get("tape_error"); l.Exists() {
		d.TapeError = quantity.Length(r.amount(l, false))
	}
	r.between(m.Get("between"), &d)
	d = r.voc.Placed(d, r.made(m.Get("level")))
	m.Close("a measurement")
	if !r.nameable(key) || !r.free(key, key.Text(), &d) {
		return d, false
	}
	r.free(m.Get("title"), d.Title, &d)
	for i, word := range words {
		r.free(word, d.Also[i], &d)
	}
	r.agrees(key, &d)
	d.Title = cmp.Or(d.Title, d.Name)
	return d, true
}

// between reads the extremes that a measurement can have.
func (r *reader) between(v file.Value, d *engine.Measure) {
	ends, ok := v.LengthRange()
	switch {
	case !ok:
	case !ends.HasLow || !ends.HasHigh || ends.Low <= 0 || ends.Low >= ends.High:
		v.Problem(badMeasurement, "the extremes of a measurement are two lengths above 0, the least before the most", "as in `between: 20 cm .. 90 cm`, or leave it out")
	default:
		d.Least, d.Most = ends.Low, ends.High
	}
}

// nameable finds what cannot be the name of a measurement.
func (r *reader) nameable(key file.Value) bool {
	switch name := key.Text(); {
	case !isWord(name) || strings.Trim(name, "_") != name || strings.Contains(name, "__"):
		key.Problem(badMeasurement, "a measurement cannot be called `"+name+"`", "its name is small letters with _ between words, as in `seated_hip`")
	case r.voc.SaysOfItself(name):
		key.Problem(badMeasurement, "a measurement cannot be called `"+name+"`, which means something else in files and rules", "give it a name of two words, as in `seated_hip`")
	default:
		return true
	}
	return false
}

// free tells whether a word has no meaning yet but as the measurement itself. What it means is told.
func (r *reader) free(v file.Value, word string, d *engine.Measure) bool {
	for _, name := range r.voc.Means(word) {
		known := r.voc.Measure(name)
		hint := fmt.Sprintf("it is declared at %s: choose another word, or use `%s`", known.At, name)
		switch {
		case name == d.Name && known.Declared():
			continue
		case !known.Declared():
			hint = fmt.Sprintf("it is shipped, and needs no line here: %s", known.How)
		}
		summary := fmt.Sprintf("`%s` means the measurement `%s` already", word, name)
		if word == name {
			summary = fmt.Sprintf("there is a measurement `%s` already", name)
		}
		v.Problem(measurementTaken, summary, hint)
		return false
	}
	return true
}

// agrees finds a measurement that another file declares otherwise. An earlier state of the same garment type is no other file.
func (r *reader) agrees(key file.Value, d *engine.Measure) {
	if known := r.voc.Measure(d.Name); known != nil && !known.Agrees(d) && (known.Of != d.Of || d.Of == "") {
		key.Problem(measurementDiffers, "`"+d.Name+"` is declared otherwise at "+known.At.String(), "say the same in both files, or give one of the two another name")
	}
}

// Vocabulary is a vocabulary with the measurements of the person's own folders: those of files of their own, which are
// returned with their problems, and those that garment types declare. What is wrong with these is told where the type is read.
func (l Library) Vocabulary(v *engine.Vocabulary) (known *engine.Vocabulary, docs []*file.Doc) {
	for _, f := range l.Folders {
		for _, doc := range f.DocsWith(declaring, declares) {
			v = readMeasurements(doc, v)
			docs = append(docs, doc)
		}
	}
	for _, f := range l.Folders {
		v = DeclaredIn(f, "recipe", v)
	}
	return v, docs
}

// DeclaredIn is a vocabulary with what the files of a kind in a folder declare.
func DeclaredIn(f file.Folder, kind string, v *engine.Vocabulary) *engine.Vocabulary {
	for _, doc := range f.DocsWith(kind, declares) {
		v = declaredIn(doc, v)
	}
	return v
}

// ReadMeasurements takes a file of measurements apart, which anybody may be asked for. Problems are left in the doc.
func ReadMeasurements(doc *file.Doc, voc *engine.Vocabulary) []engine.Measure {
	r := &reader{doc, voc}
	m := r.start(declaring)
	if m == nil {
		return nil
	}
	m.Get("kind").OneOf(declaring)
	r.units(m.Get("units"))
	out := r.declared(m.Need(declaring), "")
	m.Close("a file of measurements")
	return out
}

func readMeasurements(doc *file.Doc, v *engine.Vocabulary) *engine.Vocabulary {
	return v.With(ReadMeasurements(doc, v)...)
}

// declares tells whether the text of a file may declare measurements.
func declares(text []byte) bool {
	return bytes.HasPrefix(text, []byte(declaring+":")) || bytes.Contains(text, []byte("\n"+declaring+":"))
}

// declaredIn is a vocabulary with what a recipe or pattern file declares.
func declaredIn(doc *file.Doc, v *engine.Vocabulary) *engine.Vocabulary {
	root := doc.Root()
	if !root.IsMap() {
		return v
	}
	r := &reader{doc, v}
	r.declared(root.Map().Get(declaring), root.Map().Get("name").Text())
	return r.voc
}

// declarations describes measurements that a file declares.
func (t table) declarations(key func(string, shape.Shape, string) shape.Key) shape.Key {
	return key(declaring, shape.Map().Rest(shape.Map(
		shape.Need("title", shape.Text(), "The words in a sentence, as in `seated hip`."),
		shape.Need("kind", shape.OneOf(string(engine.Girth), string(engine.Along), string(engine.Across), string(engine.Garment)), "`girth`: round the body; `length`: along it; `width`: across it; `garment`: measured on the garment alone."),
		shape.Need("how", shape.Text(), "How to take it, as you would say it to a person."),
		shape.May("level", t.made(), "The measurement at whose level it lies. Without it, it comes last, and in no drawing."),
		shape.May("also", shape.OneOrList(shape.Text()), "Other words for it, which files may use too."),
		shape.May("tape_error", shape.Length(), "How far a careful reading may be off, as in 5 mm."),
		shape.May("between", shape.EaseRange(), "The least and the most that anybody has, as in 20 cm .. 90 cm; what lies beyond is taken for a slip."),
		shape.May("source", shape.Text(), "Where the way to take it comes from."),
	).Named("declared_measurement", "A measurement that is not among the shipped ones.")), "Measurements that are not among the shipped ones, by their names, as in `seated_hip`.")
}
