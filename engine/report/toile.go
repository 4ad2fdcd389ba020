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
