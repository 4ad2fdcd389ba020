package recipes

import (
	"fitadvisor/engine"
	"fitadvisor/rules/shape"
)

// pieces describes pieces laid flat.
func (t table) pieces() []shape.Key {
	amount := shape.OneOrList(shape.Length())
	atLevels := func(value shape.Shape, name, about string) shape.Shape {
		return t.named(t.perMeasure(t.voc.Words(), func(*engine.Measure) shape.Shape { return value }), name, about)
	}
	amounts := atLevels(amount, "amounts_by_level", "At each level a length, or one to each size.")
	allowance := shape.Either(shape.Length(), shape.Map().Rest(shape.Length())).Named("allowance",
		"The seam allowance of every cut edge, as in 5/8 in; or of each edge by a name of yours, top and bottom for lengths, as in {side: 5/8 in, centre: 0}.")
	piece := t.named(shape.Map(
		shape.Need("name", shape.Text(), "What the piece is called, as in `front`."),
		shape.May("copies", shape.Whole(), "How often it is cut, left and right together. Without it once."),
		shape.May("on_fold", shape.Bool(), "Whether it is cut on the fold of the cloth: a fold has no allowance."),
		shape.May("width", amounts, "How wide it is at each level, from edge to edge, with allowances and darts; a list has a width to each size."),
		shape.May("length", amounts, "How long it is, from edge to edge. Give a length on the pieces that follow one another, once."),
		shape.May("allowance", allowance, "The seam allowances of this piece."),
		shape.May("darts", amounts, "What its darts take at each level, all together."),
		shape.May("pleats", amounts, "What its pleats take where they are sewn down. Open ones are fullness."),
		shape.May("tucks", amounts, "What its tucks take where they are sewn down."),
		shape.May("facing", shape.Either(amount, amounts), "How wide a facing is that is cut on to it and folded back."),
		shape.May("hem", amount, "The depth of its hem, taken off its length."),
		shape.May("gathers", atLevels(shape.Number(), "ratios_by_level", "At each level a ratio."), "The cloth to what it is gathered to, as in 1.5."),
	), "piece", "One piece of the garment, laid flat.")
	return []shape.Key{
		units(),
		shape.May("size", shape.Text(), "The size that was measured, as the pattern prints it."),
		shape.May("sizes", shape.List(shape.Text()), "The sizes that were measured, where they are several."),
		shape.May("allowance", allowance, "The seam allowance of pieces that do not say their own."),
		shape.May("overlap", shape.Either(amount, amounts), "How far the fronts lap over, from edge to edge, taken out once; by level, or the same at all that go round the body."),
		shape.May("fronts", shape.OneOf("to centre front", "to their edges"), "What the fronts were measured to: to the centre front, no overlap is taken out."),
		shape.May("grade", atLevels(shape.Length(), "lengths_by_level", "At each level a length."), "What each measurement grows by from size to size, for the sizes that were not measured. Without it as the chart grows."),
		shape.Need("pieces", shape.List(piece), "The pieces."),
	}
}
