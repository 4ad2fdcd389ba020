package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// sheetStep is one step to tick, and how it is done.
type sheetStep struct {
	say  string
	how  []string
	more int // steps of its kind that are among how it is done
}

// mostOnWall is how many steps stand on the wall, mostLines how many levels.
const (
	mostOnWall = 9
	mostLines  = 6
)

// ticked are the steps with a box each.
func ticked(steps []sheetStep) explain.Steps {
	texts := make([]string, len(steps))
	for i, s := range steps {
		texts[i] = s.say
		if s.more > 0 {
			texts[i] = fmt.Sprintf("%s And %d more, overleaf.", strings.TrimSuffix(s.say, ".")+".", s.more)
		}
	}
	return explain.Steps{Items: boxes(texts)}
}

// howTo are the steps with how each is done.
func howTo(steps []sheetStep) explain.Steps {
	var out explain.Steps
	for i, s := range steps {
		out.Items = append(out.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: s.say, Lines: s.how})
	}
	return out
}

// sheetLines are the girths of the garment as it will be, from the top down.
func (r *layout) sheetLines() []explain.Frame {
	var out []explain.Frame
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		z := zoneOf(&r.a.Sizes[0], l.Zone)
		if z == nil || l.Estimated || len(out) == mostLines {
			continue
		}
		out = append(out, explain.Frame{Title: capital(spoken(l.Zone)), Large: l.Line, Lines: []string{r.amount(l.Becomes, "") + ", " + r.eased(l.Ease, l.Unit, z.Overlap) + r.lacedWith(l)}})
	}
	return out
}

// sheetSteps are the steps in the order of the work, no more than stand on a wall: the checks before are one, and what is too
// much is put together with the step of its kind.
func (r *layout) sheetSteps() []sheetStep {
	before, cutting := r.sheetChecks()
	groups := [][]sheetStep{before, {{say: r.trace(), how: r.whyTrace()}}, r.toAlter(), r.sheetMoves(), saying(r.besides(everyLevel)), r.toSew(), cutting}
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

func length(groups [][]sheetStep) int {
	n := 0
	for _, g := range groups {
		n += len(g)
	}
	return n
}

// together is one step in the place of several: how it is done has all of them.
func together(steps []sheetStep) []sheetStep {
	if len(steps) < 2 {
		return steps
	}
	one := sheetStep{say: steps[0].say, how: slices.Clone(steps[0].how), more: len(steps) - 1}
	for _, s := range steps[1:] {
		one.how = append(append(one.how, s.say), s.how...)
	}
	return []sheetStep{one}
}

func saying(texts []string) []sheetStep {
	var out []sheetStep
	for _, t := range texts {
		out = append(out, sheetStep{say: t})
	}
	return out
}

// sheetChecks are the checks before the pattern is traced, and those at the cloth; the lines are steps of their own.
func (r *layout) sheetChecks() (before, cutting []sheetStep) {
	steps := func(checks []engine.Check) (out []sheetStep) {
		for _, c := range checks {
			step := sheetStep{say: c.Say + "."}
			if c.Why != "" {
				step.how = []string{capital(c.Why) + "."}
			}
			out = append(out, step)
		}
		return out
	}
	paper, cloth := r.checked("size-lines")
	return steps(paper), steps(cloth)
}

// sheetMoves are the moves between lines, what each edge takes first, and what must follow.
func (r *layout) sheetMoves() []sheetStep {
	var out []sheetStep
	for i := range r.a.Grading.Steps {
		g := &r.a.Grading.Steps[i]
		kept := ""
		if g.Kept != "" {
			kept = ", " + g.Kept
		}
		out = append(out, sheetStep{how: []string{r.move(g)}, say: fmt.Sprintf("From the line of %s at the %s to %s at the %s%s: %s.",
			g.FromSize, spoken(g.From), g.ToSize, spoken(g.To), kept, atEdges(shared(g.GirthChange, g.Edges, r.units)))})
	}
	if len(r.a.Grading.Follow) > 0 {
		out = append(out, sheetStep{say: "Both edges of a seam alike; walk the seams and mark the notches anew.", how: r.a.Grading.Follow})
	}
	return out
}

// whyTrace says why the lines are traced and the sheet is not cut up.
func (r *layout) whyTrace() []string {
	for _, c := range r.a.BeforeCutting {
		if c.ID == "size-lines" {
			return []string{capital(c.Why) + "."}
		}
	}
	return nil
}
