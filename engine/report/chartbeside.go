package report

import (
	"fmt"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// ChartBeside lays out how a chart lies beside another at equal bodies.
func ChartBeside(c *engine.ChartBeside, v *engine.Vocabulary) *explain.Document {
	r := &layout{units: c.Units}
	d := &explain.Document{}
	d.Add(explain.Sentence(fmt.Sprintf("%s beside %s, where the %s of the body is the same: by how much each figure of %s is more.", c.Pattern, c.Other, v.Title(c.By), c.Pattern)))
	sizes := explain.Table{Header: []string{"size", v.Title(c.By), "in " + c.Other}, Numeric: []bool{false, true, false}}
	rows := explain.Table{Header: []string{"in " + unitWord(c.Units)}, Numeric: []bool{false}}
	for _, e := range c.Sizes {
		there := e.From
		if e.To != "" {
			there = fmt.Sprintf("%s and %.0f %% of the way to %s", e.From, 100*e.Share, e.To)
		}
		sizes.Rows = append(sizes.Rows, []string{e.Size, r.length(&e.Figure), there})
		rows.Header, rows.Numeric = append(rows.Header, e.Size), append(rows.Numeric, true)
	}
	for _, one := range c.Rows {
		row := []string{rowName(one.Of, one.Row)}
		for _, more := range one.More {
			cell := "-"
			if more != nil {
				cell = signed(r, more)
			}
			row = append(row, cell)
		}
		rows.Rows = append(rows.Rows, row)
	}
	d.Add(sizes)
	if len(rows.Rows) == 0 {
		d.Add(explain.Sentence("The two have no other row in common."))
		return d
	}
	d.Add(explain.Heading("Row by row"), rows)
	return d
}
