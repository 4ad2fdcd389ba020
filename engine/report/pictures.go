package report

import (
	"math"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Picture lays out an answer to look at: the decision, and every judged zone on a
// scale.
func Picture(a *engine.Answer) *explain.Document {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	d := &explain.Document{}
	d.Add(explain.Heading(r.what()), explain.Sentence(r.decision()))
	d.Add(blocks(sharingLegend(r.scales(nil)))...)
	return d
}

// Scales shows each judged zone on one axis, with a legend each: your body, what
// the sizes shown side by side measure there, and what is expected and wanted of
// the first-ranked.
func Scales(a *engine.Answer) []explain.Block {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	return blocks(r.scales(nil))
}

// decidingScales are the scales of the zones that decide, with one legend for all.
func (r *layout) decidingScales() []explain.Block {
	return blocks(sharingLegend(r.scales(func(z *engine.ZoneAnswer) bool { return z.Role == engine.Decides })))
}

// scales are those of the zones that are wanted; nil: all.
func (r *layout) scales(want func(*engine.ZoneAnswer) bool) []explain.Scale {
	var out []explain.Scale
	for i := range r.a.Sizes[0].Zones {
		if z := &r.a.Sizes[0].Zones[i]; want == nil || want(z) {
			out = append(out, r.scale(z))
		}
	}
	return out
}

// sharingLegend leaves one legend, below the last.
func sharingLegend(scales []explain.Scale) []explain.Scale {
	var on []explain.Kind
	for i, s := range scales {
		for _, k := range s.Legend {
			on = append(on, k.Kind)
		}
		scales[i].Legend = nil
	}
	if n := len(scales); n > 0 {
		scales[n-1].Legend = legend(on)
	}
	return scales
}

func blocks(scales []explain.Scale) []explain.Block {
	out := make([]explain.Block, len(scales))
	for i, s := range scales {
		out[i] = s
	}
	return out
}

// scale is the scale of a zone of the first-ranked size.
func (r *layout) scale(z *engine.ZoneAnswer) explain.Scale {
	s := explain.Scale{Title: r.scaleTitle(z), Unit: string(r.units), Band: r.band(z)}
	if z.Wanted != nil {
		at := r.figure(allowed(z, *z.Wanted))
		s.Aim = &at
	}
	s.Rows = []explain.Row{{Label: "you", Marks: r.yours(z)}, r.garments(z)}
	low, high, _ := s.Span()
	s.Ticks = ticks(low, high, r.units)
	s.Legend = legend(kinds(&s))
	s.Alt = r.inWords(z, s.Rows[1])
	return s
}

func (r *layout) scaleTitle(z *engine.ZoneAnswer) string {
	title := strings.ReplaceAll(z.Zone, "_", " ")
	if z.Overlap {
		title += ", its whole width lapped over"
	}
	return title + ", in " + unitWord(r.units)
}

// figure is a length in the reader's unit.
func (r *layout) figure(cm float64) float64 {
	if r.units == quantity.In {
		return float64(quantity.FromCm(cm)) / float64(quantity.Inch)
	}
	return cm
}

// allowed is what a garment measures with so much ease; with so much overlap, in a wrap.
func allowed(z *engine.ZoneAnswer, ease float64) float64 {
	switch {
	case z.Overlap:
		return *z.Finished - *z.Ease + ease // the rest is the ease that it is closed with
	case z.Unit == engine.InPercent:
		return z.Body * (1 + ease/100)
	}
	return z.Body + ease
}

func (r *layout) band(z *engine.ZoneAnswer) *explain.Band {
	if z.Low == nil && z.High == nil {
		return nil
	}
	b := &explain.Band{Label: "expected", OpenLow: z.Low == nil, OpenHigh: z.High == nil}
	if z.Low != nil {
		b.Low = r.figure(allowed(z, *z.Low))
	}
	if z.High != nil {
		b.High = r.figure(allowed(z, *z.High))
	}
	return b
}

// yours is what you measure; where your upper bust with the cup comes to something
// else than the full bust it stands in for, both.
func (r *layout) yours(z *engine.ZoneAnswer) []explain.Mark {
	marks := []explain.Mark{{At: r.figure(z.Body), Label: r.length(&z.Body), Kind: explain.Given}}
	if z.Measured != nil && *z.Measured != z.Body {
		marks[0].Label += " upper bust and cup"
		marks = append(marks, explain.Mark{At: r.figure(*z.Measured), Label: r.length(z.Measured) + " full bust", Kind: explain.Given})
	}
	return marks
}

// garments is what the sizes measure, or what the chart has for them.
func (r *layout) garments(z *engine.ZoneAnswer) explain.Row {
	row := explain.Row{Label: "garment"}
	if z.Chart != nil {
		row.Label = "chart"
	}
	for _, s := range r.near() {
		i := slices.IndexFunc(s.Zones, func(other engine.ZoneAnswer) bool { return other.Zone == z.Zone })
		if i < 0 {
			continue
		}
		of := &s.Zones[i]
		cm := of.Finished
		if of.Chart != nil {
			cm = of.Chart
		}
		row.Marks = append(row.Marks, explain.Mark{At: r.figure(*cm), Label: s.Size, Kind: r.kind(s), Rough: of.Estimated})
	}
	return row
}

func (r *layout) kind(s *engine.SizeAnswer) explain.Kind {
	switch {
	case s.RuledOut:
		return explain.Excluded
	case r.a.Recommended != nil && s.Size == r.a.Recommended.Size:
		return explain.Chosen
	}
	return explain.Choice
}

// ticks are round figures from at or below the lowest to at or above the highest.
func ticks(low, high float64, u quantity.Unit) []explain.Tick {
	step := roundStep(high - low)
	var out []explain.Tick
	for n := math.Floor(low / step); n < math.Ceil(high/step)+1; n++ {
		at := n * step
		text, _, _ := strings.Cut(quantity.FormatCm(at, quantity.Cm), " ")
		if u == quantity.In {
			text = strings.TrimSuffix(quantity.FormatCm(at*quantity.Inch.Cm(), u), " in")
		}
		out = append(out, explain.Tick{At: at, Label: text})
	}
	return out
}

// mostSteps is how many steps an axis has at most.
const mostSteps = 8

// roundStep is the least of 1/2, 1, 2, 5, 10, 20, 50 ... that is not stepped too often.
func roundStep(span float64) float64 {
	for ten := 1.0; ; ten *= 10 {
		for _, step := range []float64{ten / 2, ten, ten * 2} {
			if span/step <= mostSteps {
				return step
			}
		}
	}
}

// signWords are what the signs of a scale stand for, in reading order.
var signWords = []explain.Key{
	{Kind: explain.Given, Text: "you"}, {Kind: explain.Within, Text: "expected"}, {Kind: explain.Aimed, Text: "wanted"},
	{Kind: explain.Chosen, Text: "the size to cut"}, {Kind: explain.Choice, Text: "another size"}, {Kind: explain.Excluded, Text: "ruled out"},
	{Kind: explain.Estimate, Text: "an estimate"},
}

// kinds are the signs that are on a scale.
func kinds(s *explain.Scale) []explain.Kind {
	var on []explain.Kind
	if s.Band != nil {
		on = append(on, explain.Within)
	}
	if s.Aim != nil {
		on = append(on, explain.Aimed)
	}
	for _, row := range s.Rows {
		for _, m := range row.Marks {
			if on = append(on, m.Kind); m.Rough {
				on = append(on, explain.Estimate)
			}
		}
	}
	return on
}

// legend has what each of the signs stands for.
func legend(on []explain.Kind) []explain.Key {
	var keys []explain.Key
	for _, k := range signWords {
		if slices.Contains(on, k.Kind) {
			keys = append(keys, k)
		}
	}
	return keys
}

// inWords says what the scale shows.
func (r *layout) inWords(z *engine.ZoneAnswer, garments explain.Row) string {
	text := capital(r.scaleTitle(z)) + ": you measure " + r.length(&z.Body) + "."
	var eases, sizes []string
	if e := r.expected(z); e != "" {
		eases = append(eases, e+" expected")
	}
	if z.Wanted != nil {
		eases = append(eases, r.ease(z.Wanted, z.Unit)+" wanted")
	}
	if len(eases) > 0 {
		text += " " + capital(easeName(z)) + ": " + strings.Join(eases, ", ") + "."
	}
	for _, m := range garments.Marks {
		sizes = append(sizes, r.markInWords(m))
	}
	return text + " " + capital(garments.Label) + ": " + list(sizes) + "."
}

func (r *layout) markInWords(m explain.Mark) string {
	cm, about := m.At, ""
	if r.units == quantity.In {
		cm *= quantity.Inch.Cm()
	}
	if m.Rough {
		about = "about "
	}
	text := "size " + m.Label + " is " + about + r.length(&cm)
	switch m.Kind {
	case explain.Chosen:
		text += " (the one to cut)"
	case explain.Excluded:
		text += " (ruled out)"
	}
	return text
}
