package report

import (
	"fmt"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// ChartChange lays out how one chart differs from another: in a sentence, what was
// found in only one of them, then cell by cell.
func ChartChange(c *engine.ChartChange) *explain.Document {
	r := &layout{units: c.Units}
	d := &explain.Document{}
	d.Add(explain.Sentence(changeSentence(c)))
	r.section(d, "Found now, and not before", findingSteps(c.New))
	r.section(d, "No longer found", findingSteps(c.Gone))
	if len(c.Cells) == 0 {
		return d
	}
	t := explain.Table{Header: []string{"row", "size", "was", "is", "change"}, Numeric: []bool{false, false, true, true, true}}
	for _, x := range c.Cells {
		row := []string{rowName(x.Of, x.Row), x.Size, "-", "-", signed(r, x.Change)}
		if x.Was != nil {
			row[2] = r.length(x.Was)
		}
		if x.Is != nil {
			row[3] = r.length(x.Is)
		}
		t.Rows = append(t.Rows, row)
	}
	d.Add(explain.Heading("Cell by cell, in "+unitWord(c.Units)), t)
	return d
}

func changeSentence(c *engine.ChartChange) string {
	what := c.Pattern
	if c.Other != c.Pattern {
		what += " beside " + c.Other
	}
	changed := 0
	for _, x := range c.Cells {
		if x.Change != nil {
			changed++
		}
	}
	switch only := len(c.Cells) - changed; {
	case c.Compared == 0:
		return what + ": the two have no cell in common."
	case changed == 0 && only == 0:
		return what + ": every cell is the same."
	case only == 0:
		return fmt.Sprintf("%s: %d of %s differ.", what, changed, counted(c.Compared, "cell", 0, ""))
	default:
		return fmt.Sprintf("%s: %d of %s that both have differ, and %d more stand in one of them only.", what, changed, counted(c.Compared, "cell", 0, ""), only)
	}
}
