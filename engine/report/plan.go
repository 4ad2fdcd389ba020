package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Plan lays out the sheet to cut by: the decision, the garment's levels with the
// lines to follow, the steps to tick in the order of the work, what to watch, and
// the measurements it rests on. It returns its title too.
func Plan(a *engine.Answer) (title string, d *explain.Document) {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	d = &explain.Document{}
	d.Add(explain.Sentence(r.decision()))
	d.Add(r.sure()...)
	d.Add(Observed(a)...)
	if s, ok := r.drawing(); ok {
		d.Add(s)
	}
	d.Add(explain.Heading("Level by level, in "+unitWord(r.units)), r.levelTable())
	if s := r.outside(); len(s.Items) > 0 {
		d.Add(s)
	}
	if steps := r.a.Grading.Steps; len(steps) > 0 {
		d.Add(explain.Heading("From line to line, in "+unitWord(r.units)), r.sharedTable(steps))
	}
	d.Add(explain.Heading("To tick off, in this order"))
	d.Add(r.ticks()...)
	r.section(d, "Watch", r.watch())
	d.Add(explain.Heading("It rests on"), explain.Sentence(r.used()))
	open := notJudgedSteps(a.NotJudged)
	open.Items = append(open.Items, assumptionSteps(a.Assumptions).Items...)
	r.section(d, "Not judged, and taken for granted", open)
	return r.planTitle(), d
}

func (r *layout) planTitle() string {
	s := r.a.Pattern
	if r.a.Maker != "" {
		s += " by " + r.a.Maker
	}
	return fmt.Sprintf("%s for %s", s, r.a.Body)
}

// levelTable has the line, the garment and its ease at each level, once the
// alterations are made.
func (r *layout) levelTable() explain.Table {
	t := explain.Table{Header: []string{"level", "line", "you", "garment", "ease", "expected"}, Numeric: []bool{false, false, true, true, true, true}}
	for i := range r.a.Sizes[0].Zones {
		z := r.onItsLine(&r.a.Sizes[0].Zones[i])
		line := r.a.Sizes[0].Size
		if k := slices.IndexFunc(r.a.Lines, func(l engine.SizeLine) bool { return l.Zone == z.Zone }); k >= 0 {
			line = r.a.Lines[k].Size
		}
		finished, ease := z.Finished, z.Ease
		if z.After != nil {
			finished, ease = &z.After.Finished, &z.After.Ease
		}
		garment := r.length(finished)
		switch {
		case z.Estimated:
			garment = "about " + garment
		case z.Chart != nil:
			garment = "chart " + r.length(z.Chart)
		}
		t.Rows = append(t.Rows, []string{spoken(z.Zone), line, r.length(&z.Body), garment, r.ease(ease, z.Unit), r.expected(&z)})
	}
	return t
}

// outside says of each level that lies outside the expected range once the plan
// is followed why that is so.
func (r *layout) outside() explain.Steps {
	var s explain.Steps
	if r.a.Recommended == nil {
		return s
	}
	for i := range r.a.Sizes[0].Zones {
		z := r.onItsLine(&r.a.Sizes[0].Zones[i])
		ease := z.Ease
		if z.After != nil {
			ease = &z.After.Ease
		}
		if ease == nil || z.Estimated {
			continue
		}
		more := z.High != nil && *ease > *z.High
		if less := z.Low != nil && *ease < *z.Low; !more && !less {
			continue
		}
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: fmt.Sprintf("%s: %s of %s where %s is expected. %s",
			capital(spoken(z.Zone)), r.amount(*ease, z.Unit), easeName(&z), r.expected(&z), r.whyOutside(&z, more))})
	}
	return s
}

// whyOutside says what leaves a level outside the range: an alteration, its line,
// or that no size of the pattern comes nearer.
func (r *layout) whyOutside(z *engine.ZoneAnswer, more bool) string {
	i := slices.IndexFunc(r.a.Lines, func(l engine.SizeLine) bool { return l.Zone == z.Zone })
	switch {
	case z.After != nil:
		return "It is altered as far as the rule goes; a toile shows what is left."
	case i >= 0 && r.a.Lines[i].Left != "" && r.mended(z.Zone) && r.a.Grading.Sensible:
		return "What to do stands below."
	case more:
		return "It will hang looser than this type is meant to; no size you can cut comes nearer."
	}
	return "It will sit closer than this type is meant to; no size you can cut comes nearer."
}

// onItsLine is a zone in the size whose line is followed there. An alteration is
// reckoned on the size recommended, whose line such a zone keeps.
func (r *layout) onItsLine(z *engine.ZoneAnswer) engine.ZoneAnswer {
	i := slices.IndexFunc(r.a.Lines, func(l engine.SizeLine) bool { return l.Zone == z.Zone })
	if i < 0 || z.After != nil {
		return *z
	}
	for _, s := range r.a.Sizes {
		k := slices.IndexFunc(s.Zones, func(other engine.ZoneAnswer) bool { return other.Zone == z.Zone })
		if s.Size == r.a.Lines[i].Size && k >= 0 {
			return s.Zones[k]
		}
	}
	return *z
}

// sharedTable is the moves between lines, with amounts that add up.
func (r *layout) sharedTable(steps []engine.GradingStep) explain.Table {
	t := explain.Table{Header: []string{"from", "to", "sizes", "in all", "edges", "each edge", "run", "slope"}, Numeric: []bool{false, false, false, true, true, true, true, true}}
	for i := range steps {
		g := &steps[i]
		parts := shared(g.GirthChange, g.Edges, r.units)
		slope := ""
		if g.Degrees != nil {
			slope = quantity.FormatCount(*g.Degrees) + "°"
		}
		t.Rows = append(t.Rows, []string{words(g.From), words(g.To), g.FromSize + " to " + g.ToSize, r.bare(whole(parts).Fine(r.units)), fmt.Sprint(g.Edges), r.bare(perEdge(parts)), r.length(g.Run), slope})
	}
	return t
}

// bare drops the unit, which the heading names.
func (r *layout) bare(text string) string { return strings.ReplaceAll(text, " "+string(r.units), "") }

// box is what is ticked.
const box = "□"

// ticks are the steps in the order of the work, each part under its own name.
func (r *layout) ticks() []explain.Block {
	var out []explain.Block
	part := func(name string, items []explain.Step) {
		if len(items) > 0 {
			out = append(out, explain.Sentence(name), explain.Steps{Items: items})
		}
	}
	before, cutting := r.checks()
	part("Before anything else", before)
	if r.a.Recommended == nil {
		part("Then", boxes(r.grading()))
		return out
	}
	part("Trace", boxes(r.grading()))
	part("Alter", r.toAlter())
	part("Move between the lines", r.toMove())
	part("Sew a toile", r.toSew())
	part("Cut", cutting)
	return out
}

func boxes(texts []string) []explain.Step {
	items := make([]explain.Step, len(texts))
	for i, t := range texts {
		items[i] = explain.Step{Mark: box, Text: t}
	}
	return items
}

// onPaper are the checks that come before the pattern is traced; the rest belongs
// to the cloth.
var onPaper = []string{"test-square", "size-lines", "seam-allowance", "cloth-length", "cloth-layout", "prewash"}

// checks are what to check before anything else, and at the cloth.
func (r *layout) checks() (before, cutting []explain.Step) {
	for _, c := range r.a.BeforeCutting {
		if c.ID == "seams" && len(r.a.Grading.Follow) > 0 {
			continue // they are walked once the lines are drawn
		}
		step := explain.Step{Mark: box, Text: c.Say + ": " + c.Why + "."}
		if slices.Contains(onPaper, c.ID) {
			before = append(before, step)
		} else {
			cutting = append(cutting, step)
		}
	}
	for _, e := range r.s.Elastic {
		if !slices.ContainsFunc(r.a.BeforeCutting, func(c engine.Check) bool { return c.ID == "elastic" }) {
			cutting = append(cutting, explain.Step{Mark: box, Text: capital(e.Say) + "."})
		}
	}
	return before, cutting
}

func (r *layout) toAlter() []explain.Step {
	var items []explain.Step
	for i := range r.a.Alterations {
		a := &r.a.Alterations[i]
		step := explain.Step{Mark: box, Text: fmt.Sprintf("%d. %s", a.Order, a.Say)}
		for _, line := range []struct{ what, text string }{{"Where", a.Where}, {"How", a.Spread}, {"Also", a.Also}, {"Then", r.after(a)}} {
			if line.text != "" {
				step.Lines = append(step.Lines, line.what+": "+line.text)
			}
		}
		items = append(items, step)
	}
	return items
}

func (r *layout) toMove() []explain.Step {
	var items []explain.Step
	for i := range r.a.Grading.Steps {
		g := &r.a.Grading.Steps[i]
		items = append(items, explain.Step{Mark: box, Text: r.move(g)})
	}
	return append(items, boxes(r.a.Grading.Follow)...)
}

func (r *layout) toSew() []explain.Step {
	t := r.a.Toile
	if !t.Advised || len(r.a.Observed) > 0 {
		return nil
	}
	items := []explain.Step{{Mark: box, Text: fmt.Sprintf("Sew one of size %s first: %s. Cloth: %s.", t.Size, strings.Join(t.Because, "; "), t.Cloth)}}
	var wide []string
	for _, w := range t.Allowances {
		wide = append(wide, fmt.Sprintf("%s at the %s", quantity.FromCm(w.Cm).Fine(r.units), spoken(w.Zone)))
	}
	if len(wide) > 0 {
		items = append(items, explain.Step{Mark: box, Text: "Leave wide seam allowances where it may have to be let out: " + list(wide) + "."})
	}
	return append(items, explain.Step{Mark: box, Text: "Look at it in this order: " + strings.Join(t.LookAt, "; ") + "."})
}

// watch are the cautions, without what only tells.
func (r *layout) watch() explain.Steps {
	return cautionSteps(slices.DeleteFunc(slices.Clone(r.a.Cautions), func(c engine.Caution) bool { return c.Severity == engine.Note }))
}

// used are the measurements it rests on, gathered by their days.
func (r *layout) used() string {
	var days []string
	by := map[string][]string{}
	for _, u := range r.s.Used {
		if by[u.Taken] == nil {
			days = append(days, u.Taken)
		}
		by[u.Taken] = append(by[u.Taken], r.s.Title(u.Measurement)+" "+u.Value)
	}
	parts := make([]string, len(days))
	for i, day := range days {
		parts[i] = list(by[day]) + ", taken " + day
		if day == "" {
			parts[i] = list(by[day]) + ", without a day"
		}
	}
	return capital(strings.Join(parts, "; ")) + "."
}
