package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Booklet lays out a chart for those who are to cut by it: how to choose the size,
// the sizes and the finished measurements in both units, from where on the next size is cut.
// It tells nothing of what was found; a maker looks at [Chart] first.
func Booklet(a *engine.Soundness) *explain.Document {
	r := chartLayout(a)
	d := &explain.Document{}
	d.Add(explain.Heading("Choose your size"))
	for _, text := range r.choosing() {
		d.Add(explain.Sentence(text))
	}
	r.both(d, engine.OfBody, "Your measurements")
	if s := r.measuring(); len(s.Items) > 0 {
		d.Add(explain.Heading("How to measure"))
		if figure, shows := r.tapes(); shows {
			d.Add(figure)
		}
		d.Add(s)
	}
	r.both(d, engine.OfFinished, "The finished garment")
	r.cloth(d)
	r.between(d)
	return d
}

// BookletTitle is what a page of [Booklet] is called.
func BookletTitle(a *engine.Soundness) string {
	if a.Maker == "" {
		return a.Pattern + ": sizes"
	}
	return a.Pattern + " by " + a.Maker + ": sizes"
}

// choosing says how to choose the size, in the words of the garment type.
func (r *chartOf) choosing() []string {
	recipe := r.in.Recipe
	var texts []string
	if r.in.By != "" {
		texts = append(texts, fmt.Sprintf("Choose by your %s. %s", r.in.Title(r.in.By), recipe.Because))
	}
	if r.in.ByUpperBust {
		texts = append(texts, "Measure your upper bust too: where you have it, it chooses together with the cup that each size is drafted for, the bust less the upper bust, and the bust itself is fitted afterwards.")
	}
	for _, e := range r.of.Eases {
		if i := slices.IndexFunc(recipe.Zones, func(z engine.Zone) bool { return z.Name == e.Zone }); recipe.Zones[i].Role == engine.Decides {
			texts = append(texts, r.meantEase(e))
		}
	}
	if !recipe.Grading.Sensible {
		texts = append(texts, "Cut one size throughout: "+recipe.Grading.Because+".")
	}
	if recipe.Draft == engine.ForChildren {
		texts = append(texts, "This is clothing for children: local rules on cords and on nightwear hold beside this chart, and where they matter a qualified person decides.")
	}
	if recipe.Stretch.Kind == engine.StretchNeeded {
		texts = append(texts, fmt.Sprintf("It wants a cloth that stretches by %s at least. A size that marks, numbs or hurts is too small, whatever the chart says.", quantity.FormatPercent(recipe.Stretch.Least)))
	}
	return texts
}

// meantEase says how much larger or smaller than the body a garment is made.
func (r *chartOf) meantEase(e engine.EaseRow) string {
	var known []float64
	for _, v := range e.Eases {
		if v != nil {
			known = append(known, *v)
		}
	}
	low, high := slices.Min(known), slices.Max(known)
	word := "larger than your body"
	if high <= 0 && low < 0 {
		low, high, word = -high, -low, "smaller than your body, and stretches to it"
	}
	one := func(v float64) string {
		if e.Unit == engine.InPercent {
			return quantity.FormatPercent(v)
		}
		return inBoth(v)
	}
	text := one(low)
	if other := one(high); other != text {
		text += " to " + other
	}
	return fmt.Sprintf("At the %s the garment is meant to be %s %s.", strings.ReplaceAll(e.Zone, "_", " "), text, word)
}

// inBoth is a length in both units.
func inBoth(cm float64) string {
	return quantity.FormatCm(cm, quantity.In) + " (" + quantity.FormatCm(cm, quantity.Cm) + ")"
}

// measuring says how each row of the chart is taken.
func (r *chartOf) measuring() explain.Steps {
	var s explain.Steps
	for _, row := range r.of.Rows {
		if row.Of == engine.OfBody {
			s.Items = append(s.Items, explain.Step{Mark: r.in.Title(row.Row), Text: r.in.How(row.Row)})
		}
	}
	return s
}

// tapes shows where the tape goes for each row of the chart; false where it shows none.
func (r *chartOf) tapes() (explain.Shapes, bool) {
	var measures []string
	for _, row := range r.of.Rows {
		if row.Of == engine.OfBody {
			measures = append(measures, row.Row)
		}
	}
	return TapePicture(measures, r.in.Title, r.in.Height)
}

// both shows the rows of a part in both units.
func (r *chartOf) both(d *explain.Document, of engine.Part, title string) {
	var rows [][]string
	for _, row := range r.of.Rows {
		if row.Of != of {
			continue
		}
		for _, u := range []quantity.Unit{quantity.In, quantity.Cm} {
			one := &chartOf{layout: layout{units: u}}
			cells := []string{fmt.Sprintf("%s, %s", r.in.Title(row.Row), u)}
			for _, c := range row.Cells {
				cells = append(cells, one.cell(c))
			}
			rows = append(rows, cells)
		}
	}
	if len(rows) > 0 {
		d.Add(explain.Heading(title))
		d.Add(foldedTables(r.of.Sizes, rows)...)
	}
}

// cloth says how much cloth each size takes.
func (r *chartOf) cloth(d *explain.Document) {
	var rows [][]string
	nap := false
	for _, need := range r.in.Cloth {
		one := false
		if need.Nap != nil && *need.Nap {
			nap, one = true, true
		}
		for _, u := range []quantity.Unit{quantity.In, quantity.Cm} {
			title := need.Width.Format(u) + " wide"
			if one {
				title += "*"
			}
			cells := []string{title}
			for _, c := range need.Lengths {
				cell := "-"
				if c.Known {
					cell = c.High.Format(u)
				}
				cells = append(cells, cell)
			}
			rows = append(rows, cells)
		}
	}
	if len(rows) == 0 {
		return
	}
	d.Add(explain.Heading("The cloth you need"))
	d.Add(foldedTables(r.of.Sizes, rows)...)
	if nap {
		d.Add(explain.Sentence("* With a pile, a print or a sheen that lies one way."))
	}
}

// between says from where on the next size is cut, as the engine answers there.
func (r *chartOf) between(d *explain.Document) {
	if r.in.Borders == nil {
		return
	}
	t := explain.Table{Header: []string{"instead of", "cut", "from, in", "from, cm"}, Numeric: []bool{false, false, true, true}}
	for _, b := range r.in.Borders() {
		t.Rows = append(t.Rows, []string{b.From, b.To, strings.TrimSuffix(b.In.Format(quantity.In), " in"), strings.TrimSuffix(b.Cm.Format(quantity.Cm), " cm")})
	}
	if len(t.Rows) > 0 {
		d.Add(explain.Heading("Between two sizes, by the "+r.in.Title(r.in.By)), t, explain.Sentence("So it is where your other measurements lie between the two sizes as well."))
	}
}
