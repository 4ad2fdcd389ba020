// Package report words and lays out an answer. It is the only place that does,
// so that every face says the same. [Size] is the recommendation, [Why] its
// explanation.
package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Size lays out a recommendation: the decision in a sentence, the sizes side by
// side, the ease three ways, cautions with their mending, and what to do next.
func Size(a *engine.Answer, next []string) *explain.Document {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	d := &explain.Document{}
	d.Add(explain.Sentence(r.decision()))
	if a.Ends != "" {
		d.Add(explain.Sentence(r.what()))
		r.section(d, "What to do next", numbered(next))
		return d
	}
	d.Add(r.sure()...)
	d.Add(explain.Sentence(r.what() + " " + r.chartSentence()))
	d.Add(explain.Heading("The sizes side by side"), r.sideBySide())
	r.section(d, "Where another size wins", r.flips())
	d.Add(Observed(a)...)
	d.Add(r.decidingScales()...)
	d.Add(r.closerAndRoomier()...)
	r.section(d, "What the garments you sewed say", r.learned())
	r.section(d, "Lengths", r.lengths())
	r.section(d, "Alterations, in this order", r.alterations())
	r.section(d, "Cautions", cautionSteps(a.Cautions))
	r.section(d, "What to do next", r.next(next))
	r.moves(d)
	r.section(d, "Not judged", r.notJudged())
	r.section(d, "Taken for granted", assumptionSteps(a.Assumptions))
	return d
}

// Why lays out an explanation.
func Why(root *explain.Node) *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Tree{Root: root})
	return d
}

type layout struct {
	a     *engine.Answer
	s     *engine.Shown
	units quantity.Unit
}

func (r *layout) section(d *explain.Document, title string, s explain.Steps) {
	if len(s.Items) > 0 {
		d.Add(explain.Heading(title), s)
	}
}

// what names the garment that was asked about.
func (r *layout) what() string {
	s := r.a.Pattern
	if r.a.Maker != "" {
		s += " by " + r.a.Maker
	}
	s += fmt.Sprintf(", %s, for %s", engine.An(r.s.Recipe.Title), r.a.Body)
	if r.s.Cloth != "" {
		s += ", in " + r.s.Cloth
	}
	return s + "."
}

// decision is the sentence to cut by.
func (r *layout) decision() string {
	if r.a.Ends != "" {
		return r.a.Ends
	}
	if r.a.Recommended == nil {
		return fmt.Sprintf("No size can be cut as it is: each one is ruled out. The nearest is size %s; the cautions below say what would make it work.", r.a.Sizes[0].Size)
	}
	return fmt.Sprintf("Cut %s: %s.", r.a.Recommended.Cut(), r.a.Recommended.Because)
}

func (r *layout) chartSentence() string {
	c := r.a.ChartSize
	s := fmt.Sprintf("The chart alone says size %s, by your %s", c.Size, r.s.Title(c.By))
	if r.a.Recommended != nil && c.Size == r.a.Recommended.Size {
		s = fmt.Sprintf("The chart says size %s too, by your %s", c.Size, r.s.Title(c.By))
	}
	if c.OffChartCm != 0 {
		s += fmt.Sprintf(", which lies %s beyond its end", quantity.FormatLittle(abs(c.OffChartCm), r.units))
	}
	if len(c.Each) > 1 {
		s += "; each measurement for itself: " + r.perMeasurement()
	}
	if r.s.Recipe.Because != "" {
		s += ". " + r.s.Recipe.Because
	}
	return strings.TrimSuffix(s, ".") + "."
}

func (r *layout) perMeasurement() string {
	var parts []string
	for name, size := range r.a.ChartSize.Each {
		parts = append(parts, r.s.Title(name)+" "+size)
	}
	slices.Sort(parts)
	return list(parts)
}

// neighbours is how many sizes on either side of the chosen one are shown.
const neighbours = 2

// sideBySide shows the chosen size between its neighbours, in size order.
func (r *layout) sideBySide() explain.Table {
	sizes := r.near()
	t := explain.Table{Header: []string{""}, Numeric: []bool{false}}
	for _, s := range sizes {
		label := s.Size
		if r.a.Recommended != nil && s.Size == r.a.Recommended.Size {
			label = "> " + s.Size + " <"
		}
		t.Header, t.Numeric = append(t.Header, label), append(t.Numeric, true)
	}
	for _, zone := range r.zoneNames() {
		t.Rows = append(t.Rows, r.zoneRow(zone, "chart", sizes, func(z *engine.ZoneAnswer) string { return r.length(z.Chart) }),
			r.zoneRow(zone, "garment", sizes, func(z *engine.ZoneAnswer) string { return r.length(z.Finished) }),
			r.zoneRow(zone, r.easeWord(zone), sizes, func(z *engine.ZoneAnswer) string { return r.ease(z.Ease, z.Unit) }),
			r.zoneRow(zone, "", sizes, func(z *engine.ZoneAnswer) string { return strings.TrimSuffix(string(z.Verdict), " than the body") }))
	}
	t.Rows = append(t.Rows, r.sizeRow("misfit", sizes, func(s *engine.SizeAnswer) string {
		if s.Misfit == nil {
			return "-"
		}
		return fmt.Sprintf("%.2f", *s.Misfit)
	}), r.sizeRow("", sizes, func(s *engine.SizeAnswer) string {
		if s.RuledOut {
			return "ruled out"
		}
		return ""
	}))
	t.Rows = slices.DeleteFunc(t.Rows, func(row []string) bool { return strings.Join(row[1:], "") == "" })
	return t
}

// near is the first-ranked size with its neighbours in size order.
func (r *layout) near() []*engine.SizeAnswer {
	byName := map[string]*engine.SizeAnswer{}
	for i := range r.a.Sizes {
		byName[r.a.Sizes[i].Size] = &r.a.Sizes[i]
	}
	at := slices.Index(r.s.Sizes, r.a.Sizes[0].Size)
	var out []*engine.SizeAnswer
	for i := max(0, at-neighbours); i < min(len(r.s.Sizes), at+neighbours+1); i++ {
		if s := byName[r.s.Sizes[i]]; s != nil {
			out = append(out, s)
		}
	}
	return out
}

func (r *layout) zoneNames() []string {
	var names []string
	for _, z := range r.a.Sizes[0].Zones {
		names = append(names, z.Zone)
	}
	return names
}

// easeWord names what a zone's figure is: an ease, or what is left of a wrap's overlap.
func (r *layout) easeWord(zone string) string {
	for i := range r.a.Sizes[0].Zones {
		if z := &r.a.Sizes[0].Zones[i]; z.Zone == zone {
			return easeName(z)
		}
	}
	return "ease"
}

func easeName(z *engine.ZoneAnswer) string {
	if z.Overlap {
		return "overlap"
	}
	return "ease"
}

func (r *layout) zoneRow(zone, label string, sizes []*engine.SizeAnswer, cell func(*engine.ZoneAnswer) string) []string {
	row := []string{strings.ReplaceAll(zone, "_", " ") + ", " + label}
	if label == "" {
		row[0] = ""
	}
	for _, s := range sizes {
		i := slices.IndexFunc(s.Zones, func(z engine.ZoneAnswer) bool { return z.Zone == zone })
		if i < 0 {
			row = append(row, "-")
			continue
		}
		row = append(row, cell(&s.Zones[i]))
	}
	return row
}

func (r *layout) sizeRow(label string, sizes []*engine.SizeAnswer, cell func(*engine.SizeAnswer) string) []string {
	row := []string{label}
	for _, s := range sizes {
		row = append(row, cell(s))
	}
	return row
}

func (r *layout) expected(z *engine.ZoneAnswer) string {
	switch {
	case z.Low == nil && z.High == nil:
		return ""
	case z.High == nil:
		return "from " + r.ease(z.Low, z.Unit)
	case z.Low == nil:
		return "to " + r.ease(z.High, z.Unit)
	}
	return r.ease(z.Low, z.Unit) + " to " + r.ease(z.High, z.Unit)
}

// length is a length without its unit, which the heading names.
func (r *layout) length(cm *float64) string {
	if cm == nil {
		return ""
	}
	return bareLength(*cm, r.units)
}

func (r *layout) ease(v *float64, unit string) string {
	switch {
	case v == nil:
		return ""
	case unit == engine.InPercent:
		return quantity.FormatPercent(*v)
	}
	return r.length(v)
}

func cautionSteps(cautions []engine.Caution) explain.Steps {
	var s explain.Steps
	for _, c := range cautions {
		step := explain.Step{Mark: string(c.Severity), Text: c.Say}
		switch {
		case c.Severity == engine.Note:
			step.Text += " " + c.Fix
		case c.Fix != "":
			step.Lines = append(step.Lines, "What to do: "+c.Fix)
		}
		step.Lines = append(step.Lines, fmt.Sprintf("[%s, %s]", c.ID, c.Source))
		s.Items = append(s.Items, step)
	}
	return s
}

// elastic is how long to cut what draws the garment in, where that is known.
func (r *layout) elastic() []string {
	var out []string
	for _, h := range r.s.Held {
		if h.Say != "" {
			out = append(out, capital(h.Say)+".")
		}
	}
	return out
}

// next is what to do, in order: measure what is missing, cut what holds, see why.
func (r *layout) next(more []string) explain.Steps {
	var texts []string
	for _, m := range r.a.Missing {
		texts = append(texts, fmt.Sprintf("Measure your %s, for %s. %s", r.s.Title(m.Measurement), m.NeededFor, m.How))
	}
	texts = append(texts, r.elastic()...)
	for _, c := range r.a.BeforeCutting {
		switch c.ID {
		case engine.ClothShort:
			texts = append(texts, fmt.Sprintf("%s: %s", c.Say, c.Why))
		case engine.MeasurePattern:
			texts = append(texts, c.Say+". "+capital(c.Why))
		}
	}
	texts = append(texts, r.grading()...)
	if t := r.toile(); t != "" {
		texts = append(texts, t)
	}
	return numbered(append(texts, more...))
}

// numbered is a list of sentences in order.
func numbered(texts []string) explain.Steps {
	var s explain.Steps
	for i, t := range texts {
		s.Items = append(s.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: strings.TrimSuffix(t, ".") + "."})
	}
	return s
}

func notJudgedSteps(zones []engine.NotJudged) explain.Steps {
	var s explain.Steps
	for _, n := range zones {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: strings.ReplaceAll(n.Zone, "_", " ") + ": " + n.Because + "."})
	}
	return s
}

// notJudged lists the zones that were not judged and the rules that were not asked.
func (r *layout) notJudged() explain.Steps {
	s := notJudgedSteps(r.a.NotJudged)
	s.Items = append(s.Items, r.notUsed()...)
	for _, n := range r.a.NotChecked {
		if n.Spared {
			s.Items = append(s.Items, explain.Step{Mark: "-", Text: n.ID + " is not needed: " + n.Because + "."})
			continue
		}
		text := "the rule " + n.ID
		if n.Zone != "" {
			text += " (" + strings.ReplaceAll(n.Zone, "_", " ") + ")"
		}
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: text + " was not asked, " + n.Because + "."})
	}
	return s
}

// notUsed lists what was measured and is not used, those of one reason together.
func (r *layout) notUsed() []explain.Step {
	var reasons []string
	of := map[string][]string{}
	for _, n := range r.a.NotUsed {
		if of[n.Because] == nil {
			reasons = append(reasons, n.Because)
		}
		of[n.Because] = append(of[n.Because], r.s.Title(n.Measurement))
	}
	var out []explain.Step
	for _, because := range reasons {
		are := " is"
		if len(of[because]) > 1 {
			are = " are"
		}
		out = append(out, explain.Step{Mark: "-", Text: "your " + list(of[because]) + are + " not used: " + because + "."})
	}
	return out
}

func assumptionSteps(assumptions []engine.Assumption) explain.Steps {
	var s explain.Steps
	for _, a := range assumptions {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: capital(a.What) + ": " + a.Because + "."})
	}
	return s
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func list(items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
