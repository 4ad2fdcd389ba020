package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// toile is the one line that says why a toile is advised; empty where none is,
// or where one was sewn already.
func (r *layout) toile() string {
	t := r.a.Toile
	if !t.Advised || len(r.a.Observed) > 0 {
		return ""
	}
	return fmt.Sprintf("A toile is advised: %s.", strings.Join(t.Because, "; "))
}

// Toile lays out how to sew and read the toile of the size shown: why, from which
// cloth, with which allowances, and what to look at in which order.
func Toile(a *engine.Answer) []explain.Block {
	t, units := a.Toile, a.Shown.Units
	decision := "No toile is called for. If you sew one all the same:"
	if t.Advised {
		decision = fmt.Sprintf("Sew a toile of size %s before you cut: %s.", t.Size, strings.Join(t.Because, "; "))
	}
	if a.Recommended == nil {
		decision = "No toile yet: first change what rules the sizes out."
	}
	blocks := []explain.Block{explain.Heading("Toile"), explain.Sentence(decision), explain.Sentence("Cloth: " + t.Cloth + ".")}
	var wide explain.Steps
	for _, w := range t.Allowances {
		wide.Items = append(wide.Items, explain.Step{Mark: "-", Text: fmt.Sprintf("%s: seam allowances of %s, since %s.",
			strings.ReplaceAll(w.Zone, "_", " "), quantity.FormatCm(w.Cm, units), w.Because)})
	}
	if len(wide.Items) > 0 {
		blocks = append(blocks, explain.Sentence("Cut wider where the fit is in doubt, with the seam lines drawn on:"), wide)
	}
	return append(blocks, explain.Sentence("Look at it in this order, over what you will wear beneath:"), numbered(t.LookAt),
		explain.Sentence("Pin so that the cloth lies flat, take it off, measure what you let out or pinned out, and write it into a file for --toile."))
}

// BeforeCutting lays out what to check before the cloth is cut.
func BeforeCutting(a *engine.Answer) []explain.Block {
	var s explain.Steps
	for i, c := range a.BeforeCutting {
		s.Items = append(s.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: c.Say + ".", Lines: []string{"Why: " + c.Why + "."}})
	}
	return []explain.Block{explain.Heading("Before you cut"), s}
}

// Observed lays out what a toile showed, and what it changed; nothing where none
// was sewn.
func Observed(a *engine.Answer) []explain.Block {
	if len(a.Observed) == 0 {
		return nil
	}
	r := &layout{a: a, units: a.Shown.Units}
	t := explain.Table{Header: []string{"", "pattern", "toile", "change", "each edge"}, Numeric: []bool{false, true, true, true, true}}
	var says []string
	for i := range a.Observed {
		o := &a.Observed[i]
		edge := ""
		if o.PerEdge != 0 {
			edge, _, _ = strings.Cut(quantity.FromCm(o.PerEdge).Fine(r.units), " "+string(r.units))
		}
		t.Rows = append(t.Rows, []string{strings.ReplaceAll(o.Zone, "_", " "), r.length(o.Before), r.length(o.After), r.length(&o.Change), edge})
		says = append(says, capital(o.Say))
	}
	blocks := []explain.Block{explain.Heading("What your toile showed, in " + unitWord(r.units)), t}
	if a.Shown.Unsewn != "" {
		blocks = append(blocks, explain.Sentence(fmt.Sprintf("Your toile is of another size than the answer without it, %s; it is judged as sewn and corrected.", a.Shown.Unsewn)))
	}
	return append(blocks, explain.Sentence("On the pattern:"), numbered(says))
}
