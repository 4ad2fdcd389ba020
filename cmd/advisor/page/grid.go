package page

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/recipes"
)

// A chart is filled in cell by cell: sizes across, a measurement to each line. In the form its cells are CHART.LINE.COLUMN, line
// 0 the sizes and column 0 the measurements; what is asked with is the table that they make, under the name of the chart.

// grid is a chart as it is filled in.
type grid struct {
	ID, Title, How string
	Corner         string
	Sizes          []gridCell
	Rows           []gridRow
	Read           string // what was read of it
	Notes          []note
	Paste          string // what was pasted and could not be taken
}

type gridRow struct {
	Name  gridCell
	Cells []gridCell
}

// gridCell is one cell, and what it is called for those who do not see where it stands.
type gridCell struct {
	ID, Value, Label string
	Wrong            bool
}

// How large an empty chart is, and how large one can be made here.
const (
	emptySizes, emptyRows = 6, 1
	mostAcross, mostDown  = 60, 60
)

// cellID is the name of a cell in the form.
func cellID(chart string, line, column int) string {
	return fmt.Sprintf("%s.%d.%d", chart, line, column)
}

// gridded takes the cells of the charts out of the form, and puts the tables in that they make; or what was pasted, in their
// place, tidied.
func (f *form) gridded() {
	for _, c := range chartFields {
		if rows, any := cellsIn(f.values, c.ID); any {
			f.values.Set(c.ID, tabbed(rows))
		}
		paste := c.ID + "_paste"
		if strings.TrimSpace(f.values.Get(paste)) != "" {
			f.values.Set(c.ID, f.values.Get(paste))
		}
		f.values.Del(paste)
		table := f.values.Get(c.ID)
		if strings.TrimSpace(table) == "" || strings.HasPrefix(table, "measurement\t") || strings.HasPrefix(table, "size\t") {
			continue // it was filled in by hand, or tidied before: leave it, so that what cannot be read is shown where it is
		}
		rows, skipped := recipes.Tidied(table, f.files.Voc)
		f.values.Set(c.ID, tabs(rows))
		if len(skipped) > 0 {
			f.say(note{Field: c.ID, Text: "Left out: " + strings.Join(skipped, "; ") + "."})
		}
	}
}

// cellsIn takes the cells of a chart out of a form.
func cellsIn(values url.Values, chart string) (rows [][]string, any bool) {
	for id := range maps.Clone(values) {
		at, ok := strings.CutPrefix(id, chart+".")
		line, column, parted := strings.Cut(at, ".")
		l, err1 := strconv.Atoi(line)
		c, err2 := strconv.Atoi(column)
		if !ok || !parted || err1 != nil || err2 != nil || l < 0 || c < 0 || l > mostDown || c > mostAcross {
			continue
		}
		any = true
		for len(rows) <= l {
			rows = append(rows, nil)
		}
		for len(rows[l]) <= c {
			rows[l] = append(rows[l], "")
		}
		rows[l][c] = strings.Join(strings.Fields(values.Get(id)), " ")
		values.Del(id)
	}
	return rows, any
}

// tabbed is the table that cells make. A line without a figure, and a size without one, are not there yet.
func tabbed(rows [][]string) string {
	across := 0
	for _, row := range rows {
		for k := 1; k < len(row); k++ {
			if row[k] != "" {
				across = max(across, k+1)
			}
		}
	}
	if across == 0 {
		return ""
	}
	var lines [][]string
	for i, row := range rows {
		row = append(slices.Clone(row), make([]string, across)...)[:across]
		if i > 0 && strings.Join(row[1:], "") == "" {
			continue
		}
		if i == 0 && row[0] == "" {
			row[0] = "measurement"
		}
		lines = append(lines, row)
	}
	return tabs(lines)
}

// tabs is a table as text, with tabs between its cells.
func tabs(rows [][]string) string {
	lines := make([]string, len(rows))
	for i, row := range rows {
		lines[i] = strings.Join(row, "\t")
	}
	return strings.Join(lines, "\n")
}

// grid is a chart as it is shown, with the measurements in it that the garment is chosen by.
func (f *form) grid(c *chartField, n []note) grid {
	g := grid{ID: c.ID, Title: c.Label, How: c.How}
	rows := f.cells(c)
	wrong := f.wrongCells(c.ID)
	if len(rows) == 0 {
		rows = [][]string{{"measurement"}}
	}
	across := emptySizes
	for _, row := range rows {
		across = max(across, len(row)-1)
	}
	down := append(rows[1:], f.usualRows(rows[1:])...)
	if f.get("do") == "size-"+c.ID {
		across++
	}
	if f.get("do") == "row-"+c.ID || len(down) < emptyRows {
		down = append(down, nil)
	}
	across = min(across, mostAcross)
	at := func(row []string, k int) string {
		if k < len(row) {
			return row[k]
		}
		return ""
	}
	cell := func(line, k int, row []string, label string) gridCell {
		id := cellID(c.ID, line, k)
		return gridCell{ID: id, Value: at(row, k), Label: label, Wrong: wrong[id]}
	}
	g.Corner = at(rows[0], 0)
	for k := 1; k <= across; k++ {
		g.Sizes = append(g.Sizes, cell(0, k, rows[0], fmt.Sprintf("Size, column %d", k)))
	}
	for i, row := range down {
		line := gridRow{Name: cell(i+1, 0, row, fmt.Sprintf("Measurement, line %d", i+1))}
		for k := 1; k <= across; k++ {
			size := at(rows[0], k)
			if size == "" {
				size = strconv.Itoa(k)
			}
			line.Cells = append(line.Cells, cell(i+1, k, row, strings.TrimSpace(at(row, 0)+", size "+size)))
		}
		g.Rows = append(g.Rows, line)
	}
	g.Notes = n
	g.Read = f.wasRead(c)
	return g
}

// cells are those of a chart: as it was read, where it could be, else as it was typed.
func (f *form) cells(c *chartField) [][]string {
	text := strings.TrimRight(strings.ReplaceAll(f.values.Get(c.ID), "\r\n", "\n"), "\n ")
	if strings.TrimSpace(text) == "" {
		return nil
	}
	if f.pattern != nil && !slices.ContainsFunc(f.notes, func(n note) bool { return n.Wrong && n.Field == c.ID }) {
		if shown := c.show(f.pattern, f.files.Voc); shown != "" {
			text = shown
		}
	}
	return cells(text)
}

// usualRows are the lines that a chart for this type has, and that are not there yet.
func (f *form) usualRows(there [][]string) [][]string {
	if f.recipe == nil {
		return nil
	}
	var has []string
	for _, row := range there {
		if len(row) > 0 {
			name, _ := f.files.Voc.Called(row[0])
			if has = append(has, name); f.files.Voc.Measure(name) != nil {
				has = append(has, f.files.Voc.Measure(name).SameAs)
			}
		}
	}
	if len(there) > 1 {
		return nil
	}
	var out [][]string
	for _, name := range f.charted() {
		if !slices.Contains(has, name) {
			out = append(out, []string{f.files.Voc.Title(name)})
		}
	}
	return out
}

// charted are the measurements that charts usually have of those that a type is chosen and judged by.
func (f *form) charted() []string {
	asks := f.recipe.Asks(f.files.Voc, f.s.Rules())
	usual := []string{"height", "bust", "chest", "waist", "hip", "head", "hand"}
	return slices.DeleteFunc(slices.Concat(asks[0], asks[2]), func(name string) bool { return !slices.Contains(usual, name) })
}

// wasRead says what was read of a chart.
func (f *form) wasRead(c *chartField) string {
	if f.pattern == nil || f.get(c.ID) == "" {
		return ""
	}
	rows := f.pattern.Chart
	if c.part == engine.OfFinished {
		rows = f.pattern.Finished
	}
	if len(rows) == 0 {
		return ""
	}
	return engine.CountOf(len(f.pattern.Sizes), "size") + ", " + engine.CountOf(len(rows), "measurement")
}

// atCell is where a problem with a table stands: which cell of it.
type atCell struct {
	chart        string
	line, column int
}

// wrongCells are the cells of a chart that something is wrong with.
func (f *form) wrongCells(chart string) map[string]bool {
	wrong := map[string]bool{}
	for _, n := range f.notes {
		if n.Wrong && n.At.chart == chart {
			wrong[cellID(chart, n.At.line, n.At.column)] = true
		}
	}
	return wrong
}

// cellWords says which cell of a chart it is.
func (f *form) cellWords(at atCell) string {
	rows := cells(f.values.Get(at.chart))
	if at.line >= len(rows) || at.column >= len(rows[at.line]) {
		return ""
	}
	var parts []string
	if at.column > 0 && at.line > 0 {
		parts = append(parts, rows[at.line][0])
		if at.column < len(rows[0]) {
			parts = append(parts, rows[0][at.column])
		}
	}
	return strings.Join(parts, ", ")
}

// borrow takes over the size chart of a pattern of the notebook, so that nobody types a maker's chart twice.
func (f *form) borrow() {
	from := f.s.form(map[string][]string{"pattern": {f.get("borrow")}, "units": f.values["units"]})
	defer from.close()
	from.refill("pattern")
	if from.get("chart") == "" {
		f.say(note{Field: "chart", Text: "That pattern has no size chart that can be taken over.", Wrong: true})
		return
	}
	for _, id := range []string{"chart", "pattern_units", "maker"} {
		f.values.Set(id, from.values.Get(id))
	}
	f.values.Del("borrow")
}
