package file

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/explain/diag"
)

// Area says where in a table of another program a chart stands. The zero Area is
// all of the only sheet.
type Area struct {
	Sheet    string   // empty: the only one
	From, To diag.Pos // both included; zero: from the first, or to the last
	Header   int      // the line of the header; 0: the first that is one
	at       Value    // that asked for it; none where the table itself was named
}

// problem tells what is wrong with an area: where it was asked for, or else at the table, which is one of bodies then.
func (a Area) problem(d *Doc, summary, hint, ofBodies string) {
	if a.at.doc != nil {
		a.at.Problem(noArea, summary, hint)
		return
	}
	d.Problem(diag.Range{File: d.name}, noArea, summary, ofBodies)
}

// Whole is all of a file that a value names.
func Whole(v Value) Area { return Area{at: v} }

// Area reads the keys `sheet`, `range` and `header` of a map; ok is false where one
// of them cannot be used, which is reported.
func (m *Map) Area() (a Area, ok bool) {
	a = Area{at: m.value}
	a.Sheet = m.Get("sheet").Text()
	ok = true
	if v := m.Get("header"); v.Exists() {
		a.Header, ok = v.Whole()
	}
	v := m.Get("range")
	if !v.Exists() {
		return a, ok
	}
	from, to, both := strings.Cut(strings.ToUpper(strings.TrimSpace(v.Text())), ":")
	f, one := position(from)
	t, two := position(to)
	if !both || !one || !two || f.Line > t.Line || f.Column > t.Column {
		v.Problem(noArea, "expected a range of cells, got "+quote(v.Text()), "name its first and its last cell, as in `B2:H9`")
		return a, false
	}
	a.From, a.To = f, t
	return a, ok
}

// position reads the name of a cell.
func position(name string) (diag.Pos, bool) {
	letters := strings.TrimRight(name, "0123456789")
	line, err := strconv.Atoi(name[len(letters):])
	column := 0
	for _, r := range letters {
		if r < 'A' || r > 'Z' || column > mostRows {
			return diag.Pos{}, false
		}
		column = column*26 + int(r-'A') + 1
	}
	return diag.Pos{Line: line, Column: column}, err == nil && line > 0 && column > 0
}

// OpenArea reads a part of a table, a CSV file or a sheet of an XLSX file, into
// lines of cells, the header first, all of one length. Lines that hold nothing, or
// a note in a single cell, are passed over, and so are columns that hold nothing.
func OpenArea(name string, data []byte, a Area) (*Doc, [][]Value) {
	var d *Doc
	var rows [][]Value
	var lines []line
	if path.Ext(name) == ".xlsx" {
		if d, lines = openSheet(name, data, a); lines == nil {
			return d, nil // which is told
		}
	} else if d, rows = OpenTable(name, data); a.Sheet != "" {
		a.problem(d, "a CSV file has no sheets", "leave out `sheet:`", "")
		return d, nil
	}
	for _, row := range rows {
		lines = append(lines, line{row[0].node.Line, row})
	}
	rows = a.cut(d, lines)
	if len(rows) == 0 && len(d.problems) == 0 {
		a.problem(d, "no table is there in "+d.shown(), "a header that begins with `size` or `measurement`, and a line for each size or measurement below it", "a header such as `name,waist,hip`, and a line for each body below it")
	}
	for _, row := range rows {
		for _, v := range row {
			v.tellUnreadable()
		}
	}
	return d, rows
}

// shown names a table in a sentence.
func (d *Doc) shown() string {
	if d.sheet == "" {
		return quote(d.name)
	}
	return fmt.Sprintf("the sheet %s of %s", quote(d.sheet), quote(d.name))
}

// line is cells from column A on. A gap may be the zero Value.
type line struct {
	number int
	cells  []Value
}

// cut keeps what stands in the area, from its header on.
func (a Area) cut(d *Doc, lines []line) [][]Value {
	var kept []line
	for _, l := range lines {
		if l.number < a.Header || a.From.Line > 0 && (l.number < a.From.Line || l.number > a.To.Line) {
			continue
		}
		if a.From.Column > 0 {
			l.cells = slices.Clone(l.cells[:min(a.To.Column, len(l.cells))])
			clear(l.cells[:min(a.From.Column-1, len(l.cells))])
		}
		switch note := isNote(l.cells); {
		case !note:
			kept = append(kept, l)
		case l.number == a.Header:
			return nil
		case len(kept) == 0:
			d.titles = append(d.titles, titleOf(l.cells))
		}
	}
	if a.Header > 0 && len(kept) > 0 && kept[0].number != a.Header {
		return nil
	}
	return squared(d, kept)
}

// titleOf is what a line of a single text says, empty where it says nothing.
func titleOf(row []Value) string {
	for _, v := range row {
		if v.Exists() {
			return v.node.Value
		}
	}
	return ""
}

// Titles are the notes above the table that was read.
func (d *Doc) Titles() []string { return d.titles }

// isNote tells a line that no table needs: with nothing in it, or with one text,
// which may be spread over several cells.
func isNote(row []Value) bool {
	texts := map[string]bool{}
	for i, v := range row {
		if v.Exists() {
			texts[cmp.Or(v.node.Anchor, strconv.Itoa(i))] = true // a span is named by its anchor
		}
	}
	return len(texts) < 2
}

// squared makes all lines as long as one another, and takes out the columns that
// hold nothing.
func squared(d *Doc, lines []line) [][]Value {
	var holds []bool // by column
	for _, l := range lines {
		for i, v := range l.cells {
			if i == len(holds) {
				holds = append(holds, false)
			}
			holds[i] = holds[i] || v.Exists()
		}
	}
	wide := 0
	for _, held := range holds {
		if held {
			wide++
		}
	}
	if len(lines)*wide > mostCells {
		d.Problem(d.at(lines[0].number, 1, 1), tooLarge, errTooManyFor.Error(), "is it the right file, or should `range:` say where the chart stands?")
		return nil
	}
	var out [][]Value
	for _, l := range lines {
		var row []Value
		for i, held := range holds {
			switch {
			case !held:
			case i < len(l.cells) && l.cells[i].node != nil:
				row = append(row, l.cells[i])
			default:
				row = append(row, d.nothing(l.number, i+1))
			}
		}
		out = append(out, row)
	}
	return out
}
