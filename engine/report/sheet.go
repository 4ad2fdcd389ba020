package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// Sheet is the plan as one works by it: a page for the wall, a page that says how each step is done, and a page with what it
// rests on. Its steps are few and short; [Plan] has the same as one document.
type Sheet struct {
	Title   string // "Copper sheath by Heron Row for Mina"
	Garment string // the pattern and its maker
	Body    string // whose it is
	From    string // the measurements that it rests on, in few words
	Brief   Brief
	Route   []SheetLine
	Before  []string       // what to see to before the cloth is cut, warnings first
	Picture explain.Shapes // of the garment with its lines; without items there is none
	Steps   []SheetStep
	Rests   *explain.Document // page 3
}

// SheetLine is one level of the garment as it will be.
type SheetLine struct{ Level, Line, Garment, Room string }

// SheetStep is one step to tick, and how it is done.
type SheetStep struct {
	Say string
	How []string
}

// mostOnWall is how many steps stand on the wall, mostLines how many levels.
const (
	mostOnWall = 9
	mostLines  = 6
)

// NewSheet lays out the sheet. False: there is nothing to cut by.
func NewSheet(a *engine.Answer) (Sheet, bool) {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	if a.Recommended == nil || a.Ends != "" || a.Plan == nil {
		return Sheet{}, false
	}
	s := Sheet{Title: r.planTitle(), Garment: a.Pattern, Body: a.Body, Brief: NewBrief(a), Route: r.sheetLines(), Steps: r.sheetSteps()}
	if a.Maker != "" {
		s.Garment += ", " + a.Maker
	}
	for _, u := range r.s.Used {
		if !r.judged(u.Measurement) {
			continue // it stands on the last page
		}
		s.From += ", " + r.s.Title(u.Measurement) + " " + u.Value
	}
	s.From = strings.TrimPrefix(s.From, ", ")
	for _, c := range r.grave() {
		s.Before = append(s.Before, sentences(capital(c.Say), c.Fix))
	}
	if s.Brief.Settle != "" {
		s.Before = append(s.Before, s.Brief.Settle)
	}
	if drawing, ok := r.drawing(); ok {
		s.Picture = drawing
	}
	s.Rests = r.restsOn()
	return s, true
}

// sheetLines are the girths of the garment as it will be, from the top down.
func (r *layout) sheetLines() []SheetLine {
	var out []SheetLine
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		z := zoneOf(&r.a.Sizes[0], l.Zone)
		if z == nil || l.Estimated || len(out) == mostLines {
			continue
		}
		out = append(out, SheetLine{capital(spoken(l.Zone)), l.Line, r.amount(l.Becomes, ""), r.eased(l.Ease, l.Unit, z.Overlap)})
	}
	return out
}

// sheetSteps are the steps in the order of the work, no more than stand on a wall: the checks before are one, and what is too
// much is put together with the step of its kind.
func (r *layout) sheetSteps() []SheetStep {
	before, cutting := r.sheetChecks()
	groups := [][]SheetStep{before, {{Say: r.trace()}}, r.sheetAlterations(), r.sheetMoves(), saying(r.besides(everyLevel)), r.sheetToile(), cutting}
	for n := 0; n < len(groups) && length(groups) > mostOnWall; n++ {
		longest := 0
		for i := range groups {
			if len(groups[i]) > len(groups[longest]) {
				longest = i
			}
		}
		groups[longest] = together(groups[longest])
	}
	return slices.Concat(groups...)
}

func length(groups [][]SheetStep) int {
	n := 0
	for _, g := range groups {
		n += len(g)
	}
	return n
}

// together is one step in the place of several: how it is done has all of them.
func together(steps []SheetStep) []SheetStep {
	if len(steps) < 2 {
		return steps
	}
	one := SheetStep{Say: fmt.Sprintf("%s And %d more, overleaf.", strings.TrimSuffix(steps[0].Say, ".")+".", len(steps)-1)}
	for _, s := range steps {
		one.How = append(append(one.How, s.Say), s.How...)
	}
	return []SheetStep{one}
}

func saying(texts []string) []SheetStep {
	var out []SheetStep
	for _, t := range texts {
		out = append(out, SheetStep{Say: t})
	}
	return out
}

// sheetChecks are the checks before the pattern is traced, and those at the cloth; the lines are steps of their own.
func (r *layout) sheetChecks() (before, cutting []SheetStep) {
	steps := func(checks []engine.Check) (out []SheetStep) {
		for _, c := range checks {
			step := SheetStep{Say: c.Say + "."}
			if c.Why != "" {
				step.How = []string{capital(c.Why) + "."}
			}
			out = append(out, step)
		}
		return out
	}
	paper, cloth := r.checked("size-lines")
	return steps(paper), steps(cloth)
}

func (r *layout) sheetAlterations() []SheetStep {
	var out []SheetStep
	for i, step := range r.toAlter() {
		out = append(out, SheetStep{r.a.Alterations[i].Say, step.Lines})
	}
	return out
}

// sheetMoves are the moves between lines, what each edge takes first, and what must follow.
func (r *layout) sheetMoves() []SheetStep {
	var out []SheetStep
	for i := range r.a.Grading.Steps {
		g := &r.a.Grading.Steps[i]
		out = append(out, SheetStep{fmt.Sprintf("From the line of %s at the %s to %s at the %s: %s.", g.FromSize, spoken(g.From), g.ToSize, spoken(g.To), atEdges(shared(g.GirthChange, g.Edges, r.units))), []string{r.move(g)}})
	}
	if len(r.a.Grading.Follow) > 0 {
		out = append(out, SheetStep{"Both edges of a seam alike; walk the seams and mark the notches anew.", r.a.Grading.Follow})
	}
	return out
}

func (r *layout) sheetToile() []SheetStep {
	items := r.toSew()
	if len(items) == 0 {
		return nil
	}
	t := r.a.Toile
	step := SheetStep{Say: fmt.Sprintf("Sew a toile of size %s first.", t.Size)}
	for _, i := range items {
		step.How = append(step.How, i.Text)
	}
	return []SheetStep{step}
}

// restsOn is what a sheet rests on: measurements, levels with their figures, and what was taken for granted.
func (r *layout) restsOn() *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Sentence(r.decision()), explain.Sentence("Measured: "+r.used()))
	if len(r.a.Plan.Levels) > 0 {
		d.Add(explain.Heading("Level by level, in "+unitWord(r.units)), r.levelTable())
	}
	if steps := r.a.Grading.Steps; len(steps) > 0 {
		d.Add(explain.Heading("From line to line, in "+unitWord(r.units)), r.sharedTable(steps))
	}
	r.section(d, "Where it will end", r.lengths())
	open := notJudgedSteps(r.a.NotJudged)
	open.Items = append(open.Items, assumptionSteps(r.a.Assumptions).Items...)
	r.section(d, "Not judged, and taken for granted", open)
	return d
}
