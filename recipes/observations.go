package recipes

import (
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
	"fitadvisor/rules/shape"
)

// What can be wrong with what was seen on a toile.
const (
	badObservation diag.Code = "FA0361"
	oddAct         diag.Code = "FA0362" // for what is measured there
	sidesNotSaid   diag.Code = "FA0363"
)

// ReadObservations takes a file of what was seen on a toile apart. Problems are
// left in the doc.
func ReadObservations(doc *file.Doc, voc *engine.Vocabulary) *engine.Observations {
	r := &reader{doc, voc}
	m := r.start("observations")
	if m == nil {
		return nil
	}
	m.Get("kind").OneOf("observations")
	name, size := m.Need("pattern"), m.Need("size")
	o := &engine.Observations{Pattern: name.Text(), Size: strings.TrimSpace(size.Text()), At: m.Range(), NameAt: name.Range(), SizeAt: size.Range()}
	o.Date, _ = m.Get("date").Date()
	units := r.units(m.Get("units"))
	o.Lines, o.Alterations = r.sewnLines(m.Get("lines")), r.alterations(m.Get("alterations"))
	seen := r.byMeasure(m.Need("observed"))
	for _, k := range seen.Keys() {
		v := seen.Need(k.Text())
		m := r.seenAt(k)
		if m == nil {
			continue
		}
		for _, item := range v.Each() {
			if one, ok := r.observation(m, item, units); ok {
				o.Seen = append(o.Seen, one)
			}
		}
	}
	m.Close("an observations file")
	return o
}

// sewnLines reads the lines of other sizes that a toile was sewn on.
func (r *reader) sewnLines(v file.Value) []engine.SewnLine {
	var out []engine.SewnLine
	m := r.byMeasure(v)
	for _, k := range m.Keys() {
		v := m.Need(k.Text())
		if at, size := r.seenAt(k), strings.TrimSpace(v.Text()); at != nil && size != "" {
			out = append(out, engine.SewnLine{Measure: at.Name, Size: size, At: v.Range()})
		}
	}
	return out
}

const seenHint = "as in `hip: let out 1.5 cm in all`, or `back_waist_length: lengthen 1 cm`"

// seenAt is what a key speaks of: anything with a length, on a body or a garment.
func (r *reader) seenAt(k file.Value) *engine.Measure {
	m := r.voc.Measure(k.Text())
	if m != nil && m.Kind != engine.Angle {
		return m
	}
	r.unknownMeasure(k, lengths(r.voc))
	return nil
}

// observation reads "let out 1.5 cm in all".
func (r *reader) observation(m *engine.Measure, v file.Value, bare quantity.Unit) (engine.Observation, bool) {
	o := engine.Observation{Measure: m.Name, Text: v.Text(), At: v.Range()}
	if !v.IsText() {
		return o, false
	}
	rest := o.Text
	i := slices.IndexFunc(engine.Acts, func(a engine.Act) bool { return strings.HasPrefix(rest, string(a)+" ") })
	if i < 0 {
		v.Problem(badObservation, "`"+o.Text+"` does not say what was done", "begin with let out, take in, lengthen, shorten, lower or raise, "+seenHint)
		return o, false
	}
	o.Act = engine.Acts[i]
	from := utf8.RuneCountInString(string(o.Act)) + 1
	rest, o.Sides = sides(rest[len(o.Act)+1:])
	l, err := quantity.ParseLength(rest, bare)
	var wrong *quantity.Error
	switch {
	case errors.As(err, &wrong):
		v.ProblemAt(from+wrong.From, from+wrong.To, diag.Code(wrong.Code), wrong.Summary, wrong.Hint)
		return o, false
	case l < 0:
		v.Problem(belowNothing, "an amount is not below nothing, got `"+o.Text+"`", "say the opposite: take in for let out, shorten for lengthen")
		return o, false
	}
	o.Amount = l
	return o, r.fitting(m, &o, v)
}

// sides cuts "in all", "each" or "each side" off the end.
func sides(text string) (rest string, s engine.Sides) {
	text = strings.TrimSpace(text)
	for _, end := range []struct {
		words string
		means engine.Sides
	}{{" in all", engine.InAll}, {" each side", engine.Each}, {" each", engine.Each}} {
		if rest, ok := strings.CutSuffix(text, end.words); ok {
			return rest, end.means
		}
	}
	return text, ""
}

// fitting tells what cannot be done to what is measured there, and amounts of
// which it is not clear what they count.
func (r *reader) fitting(m *engine.Measure, o *engine.Observation, v file.Value) bool {
	widens := o.Act == engine.LetOut || o.Act == engine.TakeIn
	moves := o.Act == engine.Lower || o.Act == engine.Raise
	switch {
	case m.Kind == engine.Girth && !widens && !moves:
		v.Problem(oddAct, "the "+m.Title+" goes round: nothing there is made longer or shorter", "write `let out` or `take in`")
	case m.Kind == engine.Along && widens:
		v.Problem(oddAct, "the "+m.Title+" runs along the body: nothing there is let out or taken in", "write `lengthen` or `shorten`")
	case m.Kind == engine.Along && !m.Pair && o.Sides == engine.Each:
		v.Problem(sidesNotSaid, "the "+m.Title+" is there only once", "leave `each` out")
	case widens && m.Kind != engine.Along && !m.Pair && o.Sides == "":
		v.Problem(sidesNotSaid, "`"+o.Text+"` does not say whether that is all round or at each side", "add `in all`, or `each side`, which is twice as much in all")
	default:
		return true
	}
	return false
}

// observations describes such a file.
func (t table) observations() shape.Shape {
	seen := shape.OneOrList(shape.Matching("^(let out|take in|lengthen|shorten|lower|raise) .")).Named("observation",
		"What was done: let out, take in, lengthen, shorten, lower or raise, an amount, and `in all` or `each side`; several in a list.")
	return shape.Map(
		shape.Need("kind", shape.OneOf("observations"), "What this file holds: what was seen on a toile."),
		shape.Need("pattern", shape.Text(), "The name of the pattern, as its file has it."),
		shape.Need("size", shape.Text(), "The size that the toile was sewn in."),
		shape.May("lines", t.perMeasure(lengths(t.voc), func(*engine.Measure) shape.Shape { return shape.Text() }), "The size whose line the toile was sewn on at a level, where that is another one."),
		shape.May("alterations", t.alterations(), "What the pattern was altered by before the toile was cut, by the names of `advisor rule list`: how much, or `yes` for as much as the rule says."),
		shape.May("date", shape.Date(), "The day it was fitted."),
		units(),
		shape.Need("observed", t.perMeasure(lengths(t.voc), func(*engine.Measure) shape.Shape { return seen }), "What was done at each level, by the name of what is measured there."),
	)
}

// lengths are all words that are measured in length.
func lengths(voc *engine.Vocabulary) []string {
	return slices.DeleteFunc(slices.Clone(voc.Words()), func(name string) bool { return voc.Measure(name).Kind == engine.Angle })
}

// testSquare reads {printed: 9.8 cm, should_be: 10 cm}.
func (p *patternReader) testSquare(v file.Value) *engine.TestSquare {
	if !v.Exists() {
		return nil
	}
	m := v.Map()
	sq := &engine.TestSquare{Printed: p.moreThanNothing(m.Get("printed")), At: v.Range()}
	if should := p.moreThanNothing(m.Need("should_be")); should != nil {
		sq.ShouldBe = *should
	}
	m.Close("`test_square`")
	return sq
}

func (r *reader) moreThanNothing(v file.Value) *quantity.Length {
	l, ok := v.Length()
	if ok && l <= 0 {
		v.Problem(belowNothing, "expected more than nothing, got `"+v.Text()+"`", "")
	}
	if !ok || l <= 0 {
		return nil
	}
	return &l
}

// clothNeed reads {width: 150 cm, length: [1.8 m, 2 m], nap: false}.
func (p *patternReader) clothNeed(v file.Value) (engine.ClothNeed, bool) {
	n := engine.ClothNeed{At: v.Range()}
	m := v.Map()
	width := p.moreThanNothing(m.Need("width"))
	length := m.Need("length")
	row, ok := p.row("length", length)
	if nap, said := m.Get("nap").Bool(); said {
		n.Nap = &nap
	}
	m.Close("`cloth_needed`")
	if width == nil || !ok {
		return n, false
	}
	n.Width, n.Lengths = *width, row
	return n, true
}

func testSquare() shape.Shape {
	return shape.Map(
		shape.May("printed", shape.Length(), "How long its side came out of your printer, as in 9.8 cm."),
		shape.Need("should_be", shape.Length(), "How long it should be, as in 10 cm."),
	)
}

func clothNeed() shape.Shape {
	return shape.Map(
		shape.Need("width", shape.Length(), "The width of the cloth, as in 150 cm."),
		shape.Need("length", shape.List(shape.Cell()).Gaps(), "How much of it, a cell to each size."),
		shape.May("nap", shape.Bool(), "Whether all pieces lie one way."),
	).Named("cloth_needed", "How much cloth of one width.")
}
