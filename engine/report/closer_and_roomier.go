package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// closerAndRoomier shows three things side by side: the body, the chart's body and the
// garment in this size; then the ease that comes out beside the ease as drawn, as
// liked, as learned, as expected and as wanted; then in words where they disagree.
func (r *layout) closerAndRoomier() []explain.Block {
	zones := r.a.Sizes[0].Zones
	if len(zones) == 0 {
		return nil
	}
	made := explain.Table{Header: []string{"zone", "you", "chart", "garment"}, Numeric: []bool{false, true, true, true}}
	for i := range zones {
		z := &zones[i]
		made.Rows = append(made.Rows, []string{roleOf(z), r.length(&z.Body), r.chartBody(z), r.garment(z)})
	}
	ease := r.easeTable(zones)
	out := []explain.Block{explain.Heading(fmt.Sprintf("Size %s, in %s: your body, the body of the chart, the garment", r.a.Sizes[0].Size, unitWord(r.units))), made}
	if len(ease.Rows) > 0 {
		out = append(out, explain.Heading("The ease: what you get, what the maker drew, what the type expects"), ease)
	}
	if s := r.disagreements(); len(s.Items) > 0 {
		out = append(out, s)
	}
	if s := r.kept(); len(s.Items) > 0 {
		out = append(out, explain.Heading("The garments you named"), s)
	}
	return out
}

// easeTable is the eases side by side; what nothing tells has no column.
func (r *layout) easeTable(zones []engine.ZoneAnswer) explain.Table {
	columns := []struct {
		title string
		told  bool
		of    func(z *engine.ZoneAnswer) string
	}{
		{"ease", true, easeOf},
		{"you get", true, func(z *engine.ZoneAnswer) string { return r.ease(z.Ease, z.Unit) }},
		{"drawn", true, func(z *engine.ZoneAnswer) string { return r.ease(z.Drawn, z.Unit) }},
		{"liked", len(r.a.Liked) > 0, r.liked},
		{"learned", r.a.Learned != nil && len(r.a.Learned.Ease) > 0, func(z *engine.ZoneAnswer) string { return r.ease(r.learnedAt(z), z.Unit) }},
		{"expected", true, r.expected},
		{"wanted", true, func(z *engine.ZoneAnswer) string { return r.ease(z.Wanted, z.Unit) }},
	}
	var t explain.Table
	for _, c := range columns {
		if c.told {
			t.Header, t.Numeric = append(t.Header, c.title), append(t.Numeric, len(t.Header) > 0)
		}
	}
	for i := range zones {
		if zones[i].Chart != nil {
			continue
		}
		var row []string
		for _, c := range columns {
			if c.told {
				row = append(row, c.of(&zones[i]))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// learnedAt is the ease that the person has come to want at a zone, nil where nothing tells.
func (r *layout) learnedAt(z *engine.ZoneAnswer) *float64 {
	if e := r.lesson(z.Zone); e != nil && e.Unit == z.Unit {
		return &e.Mean
	}
	return nil
}

// lesson is what was learned of the ease at a zone, nil where nothing was.
func (r *layout) lesson(zone string) *engine.LearnedEase {
	if r.a.Learned == nil {
		return nil
	}
	i := slices.IndexFunc(r.a.Learned.Ease, func(e engine.LearnedEase) bool { return e.Zone == zone })
	if i < 0 {
		return nil
	}
	return &r.a.Learned.Ease[i]
}

func roleOf(z *engine.ZoneAnswer) string {
	if z.Role == engine.Decides {
		return spoken(z.Zone)
	}
	return spoken(z.Zone) + " (" + string(z.Role) + ")"
}

func easeOf(z *engine.ZoneAnswer) string {
	if z.Overlap {
		return spoken(z.Zone) + ", overlap"
	}
	return spoken(z.Zone)
}

// spoken is a name as it is said.
func spoken(name string) string { return strings.ReplaceAll(name, "_", " ") }

func (r *layout) chartBody(z *engine.ZoneAnswer) string {
	if z.Chart != nil {
		return r.length(z.Chart)
	}
	return r.length(z.ChartBody)
}

func (r *layout) garment(z *engine.ZoneAnswer) string {
	if z.Estimated {
		return "about " + r.length(z.Finished)
	}
	return r.length(z.Finished)
}

// liked is the ease that is liked, or what bounds it.
func (r *layout) liked(z *engine.ZoneAnswer) string {
	switch {
	case z.Liked != nil:
		return r.ease(z.Liked, z.Unit)
	case z.Above != nil && z.Below != nil:
		return r.ease(z.Above, z.Unit) + " to " + r.ease(z.Below, z.Unit)
	case z.Above != nil:
		return "over " + r.ease(z.Above, z.Unit)
	case z.Below != nil:
		return "under " + r.ease(z.Below, z.Unit)
	}
	return ""
}

// amount is an ease with its unit.
func (r *layout) amount(v float64, unit string) string {
	if unit == engine.InPercent {
		return quantity.FormatPercent(v)
	}
	return quantity.FormatCm(v, r.units)
}

// disagreements says in words where body, chart, garment and liking part, and
// what follows.
func (r *layout) disagreements() explain.Steps {
	var s explain.Steps
	for i := range r.a.Sizes[0].Zones {
		z := &r.a.Sizes[0].Zones[i]
		if z.Ease == nil || z.Overlap || z.Estimated {
			continue
		}
		for _, text := range []string{r.unlikeChart(z), r.unlikeDrawn(z), r.unlikeLearned(z), r.unlikeType(z)} {
			if text != "" {
				s.Items = append(s.Items, explain.Step{Mark: "-", Text: text})
			}
		}
	}
	return s
}

// apart tells whether two eases of a zone are not the same.
func apart(z *engine.ZoneAnswer, a, b *float64) bool {
	return a != nil && b != nil && math.Abs(*a-*b) > z.Least
}

// unlikeChart says what a body that is not the chart's does to the ease.
func (r *layout) unlikeChart(z *engine.ZoneAnswer) string {
	if z.ChartBody == nil || z.Role == engine.Held || !apart(z, z.Ease, z.Drawn) {
		return ""
	}
	whose, than := "Your "+spoken(z.Zone), "more"
	if z.Measured != nil {
		whose += ", by upper bust and cup,"
	}
	if z.Body < *z.ChartBody {
		than = "less"
	}
	return fmt.Sprintf("%s is %s %s than the chart's in size %s: you get %s of ease there where %s was drawn.",
		whose, quantity.FormatCm(math.Abs(z.Body-*z.ChartBody), r.units), than, r.a.Sizes[0].Size, r.amount(*z.Ease, z.Unit), r.amount(*z.Drawn, z.Unit))
}

// unlikeDrawn says where what is liked is not what was drawn, and which size gives it.
func (r *layout) unlikeDrawn(z *engine.ZoneAnswer) string {
	switch {
	case z.Liked == nil || z.Drawn == nil:
		return ""
	case !apart(z, z.Liked, z.Drawn):
		return fmt.Sprintf("At the %s, what you like and what the maker drew agree.", spoken(z.Zone))
	}
	return fmt.Sprintf("Drawn with %s at the %s; what you like is %s. %s", r.amount(*z.Drawn, z.Unit), spoken(z.Zone), r.amount(*z.Liked, z.Unit), r.sizeFor(z))
}

// unlikeLearned holds what is liked against what the person's makes taught.
func (r *layout) unlikeLearned(z *engine.ZoneAnswer) string {
	learned := r.learnedAt(z)
	switch {
	case z.Liked == nil || learned == nil:
		return ""
	case !apart(z, z.Liked, learned):
		return fmt.Sprintf("At the %s, the garments you named and those you sewed agree.", spoken(z.Zone))
	}
	return fmt.Sprintf("At the %s the garments you named say %s, those you sewed %s, give or take %s.", spoken(z.Zone), r.amount(*z.Liked, z.Unit), r.amount(*learned, z.Unit), r.amount(r.lesson(z.Zone).Spread, z.Unit))
}

// sizeFor says which size comes nearest to the ease that is liked at a zone.
func (r *layout) sizeFor(liked *engine.ZoneAnswer) string {
	best, ease := &r.a.Sizes[0], *liked.Ease
	for i := range r.a.Sizes {
		s := &r.a.Sizes[i]
		z := zoneOf(s, liked.Zone)
		if z != nil && z.Ease != nil && !z.Estimated && math.Abs(*z.Ease-*liked.Liked) < math.Abs(ease-*liked.Liked) {
			best, ease = s, *z.Ease
		}
	}
	moves := slices.Index(r.s.Sizes, best.Size) - slices.Index(r.s.Sizes, r.a.ChartSize.Size)
	text := "Size " + best.Size + movesWords(moves)
	if math.Abs(ease-*liked.Liked) > liked.Least {
		text = "No size gives that: size " + best.Size + movesWords(moves) + " is nearest and gives " + r.amount(ease, liked.Unit)
	} else {
		text += " gives " + r.amount(ease, liked.Unit)
	}
	down, up := r.s.Recipe.MovesDown, r.s.Recipe.MovesUp
	switch {
	case best.RuledOut:
		text += ", but is ruled out"
	case best.Size != r.a.Sizes[0].Size && down >= 0 && (moves > up || -moves > down):
		text += fmt.Sprintf(", but the style of this type holds for %d down and %d up: its lines move with the size, and another pattern may serve better", down, up)
	case best.Size != r.a.Sizes[0].Size && !strings.Contains(r.a.Wish, string(engine.Liked)):
		text += "; ask with --ease liked to use it"
	}
	return text + "."
}

// movesWords says how far a size lies from the chart size.
func movesWords(moves int) string {
	n, way := moves, "larger"
	if moves < 0 {
		n, way = -moves, "smaller"
	}
	switch n {
	case 0:
		return ", your chart size,"
	case 1:
		return ", one size " + way + " than your chart size,"
	}
	return fmt.Sprintf(", %d sizes %s than your chart size,", n, way)
}

// unlikeType says where what is liked lies outside what the type expects.
func (r *layout) unlikeType(z *engine.ZoneAnswer) string {
	fired := slices.ContainsFunc(r.a.Cautions, func(c engine.Caution) bool { return c.ID == "wanted-outside-range" && c.Zone == z.Zone })
	if fired || z.Liked == nil || (z.Low == nil || *z.Liked >= *z.Low) && (z.High == nil || *z.Liked <= *z.High) {
		return ""
	}
	return fmt.Sprintf("What you like at the %s, %s, lies outside what this type expects: another type may be nearer to what you want.", spoken(z.Zone), r.amount(*z.Liked, z.Unit))
}

func zoneOf(s *engine.SizeAnswer, zone string) *engine.ZoneAnswer {
	i := slices.IndexFunc(s.Zones, func(z engine.ZoneAnswer) bool { return z.Zone == zone })
	if i < 0 {
		return nil
	}
	return &s.Zones[i]
}

// kept says of each garment that was named what it tells, or why nothing.
func (r *layout) kept() explain.Steps {
	var s explain.Steps
	for i := range r.a.Liked {
		l := &r.a.Liked[i]
		text := l.Garment
		if l.Zone != "" {
			text += " at the " + spoken(l.Zone)
		}
		text += ": "
		if l.Ease != nil {
			text += fmt.Sprintf("%s over a body of %s, %s of ease", quantity.FormatCm(*l.Finished, r.units), quantity.FormatCm(*l.Body, r.units), r.amount(*l.Ease, l.Unit))
			if l.Feels != "" {
				text += ", feels " + string(l.Feels)
			}
			text += "; "
		}
		if !l.Counts {
			text += "it does not count here, since "
		}
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: text + l.Because + "."})
	}
	return s
}
