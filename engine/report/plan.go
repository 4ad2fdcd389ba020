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
	if a.Ends != "" {
		return r.planTitle(), d
	}
	d.Add(r.sure()...)
	d.Add(Observed(a)...)
	if s, ok := r.drawing(); ok {
		d.Add(s)
	}
	if r.a.Plan != nil && len(r.a.Plan.Levels) > 0 {
		d.Add(explain.Heading("Level by level, in "+unitWord(r.units)), r.levelTable())
	}
	if steps := r.a.Grading.Steps; len(steps) > 0 {
		d.Add(explain.Heading("From line to line, in "+unitWord(r.units)), r.sharedTable(steps))
	}
	r.section(d, "Where it will end", r.lengths())
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

// levelTable is the ledger: the garment on its line and what is changed come to
// what it becomes; that less you is the ease.
func (r *layout) levelTable() explain.Table {
	t := explain.Table{Header: []string{"level", "line", "garment", "changed", "becomes", "you", "ease", "will do"}, Numeric: []bool{false, false, true, true, true, true, true, true}}
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		garment := onItsLine(l)
		becomes, changed := r.length(&l.Becomes), ""
		if by := l.Becomes - garment; by != 0 {
			changed = signed(r, &by)
		}
		if l.Estimated {
			becomes = "about " + becomes
		}
		t.Rows = append(t.Rows, []string{spoken(l.Zone), l.Line, r.length(&garment), changed, becomes, r.length(&l.You), r.ease(&l.Ease, l.Unit), r.willDo(l)})
	}
	return t
}

// onItsLine is the garment at a level on the line that is followed there.
func onItsLine(l *engine.Level) float64 {
	v := l.OnLine
	for _, c := range l.Changes {
		if c.By == engine.ByLine {
			v += c.Amount
		}
	}
	return v
}

// willDo is the ease that will do at a level.
func (r *layout) willDo(l *engine.Level) string {
	switch {
	case l.Wish != nil:
		return "asked: " + r.ease(l.Wish, l.Unit)
	case l.Least != nil && l.Most != nil:
		return r.ease(l.Least, l.Unit) + " to " + r.ease(l.Most, l.Unit)
	case l.Least != nil:
		return r.ease(l.Least, l.Unit) + " or more"
	case l.Most != nil:
		return r.ease(l.Most, l.Unit) + " or less"
	}
	return ""
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
	part("Trace", boxes([]string{r.trace()}))
	part("Alter", r.toAlter())
	part("Move between the lines", r.toMove())
	part("At seams and darts", boxes(r.besides(everyLevel)))
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
var onPaper = []string{"test-square", "size-lines", "seam-allowance", "cloth-length", engine.ClothShort, "cloth-layout", "prewash"}

// checks are what to check before anything else, and at the cloth.
func (r *layout) checks() (before, cutting []explain.Step) {
	steps := func(checks []engine.Check) (out []explain.Step) {
		for _, c := range checks {
			text := c.Say
			if c.Why != "" {
				text += ": " + c.Why
			}
			out = append(out, explain.Step{Mark: box, Text: text + "."})
		}
		return out
	}
	paper, cloth := r.checked()
	return steps(paper), steps(cloth)
}

// checked parts the checks into those that come before the pattern is traced and those at the cloth, elastic among them.
// Seams are walked once the lines are drawn; others that are done are left out too.
func (r *layout) checked(done ...string) (paper, cloth []engine.Check) {
	elastic := false
	for _, c := range r.a.BeforeCutting {
		elastic = elastic || c.ID == "elastic"
		switch {
		case c.ID == "seams" && len(r.a.Grading.Follow) > 0 || slices.Contains(done, c.ID):
		case slices.Contains(onPaper, c.ID):
			paper = append(paper, c)
		default:
			cloth = append(cloth, c)
		}
	}
	for _, e := range r.s.Elastic {
		if !elastic {
			cloth = append(cloth, engine.Check{Say: capital(e.Say)})
		}
	}
	return paper, cloth
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
		wide = append(wide, fmt.Sprintf("%s at the %s", quantity.FormatCm(w.Cm, r.units), spoken(w.Zone)))
	}
	if len(wide) > 0 {
		items = append(items, explain.Step{Mark: box, Text: "Leave wide seam allowances where it may have to be let out: " + list(wide) + "."})
	}
	return append(items, explain.Step{Mark: box, Text: "Look at it in this order: " + strings.Join(t.LookAt, "; ") + "."})
}

// watch are the cautions, without what only tells.
func (r *layout) watch() explain.Steps {
	return cautionSteps(slices.DeleteFunc(slices.Clone(r.a.Cautions), func(c engine.Caution) bool { return !c.OnSheet }))
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
