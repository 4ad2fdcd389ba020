package recipes

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules/file"
)

// tableEndings are those of files that hold tables.
var tableEndings = []string{".csv", ".tsv", ".xlsx"}

// IsTable tells whether a file holds a table, by its ending.
func IsTable(name string) bool { return slices.Contains(tableEndings, path.Ext(name)) }

// unitBehind parts what a heading says from the unit behind it, as in `Bust (cm)` or `Hip in inches`; without one the unit is
// empty.
func unitBehind(heading string) (words, unit string) {
	text := strings.TrimRight(strings.TrimSpace(heading), ")].")
	i := strings.LastIndexAny(text, " ([,/:") + 1
	switch strings.ToLower(text[i:]) {
	case "cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters":
		unit = string(quantity.Cm)
	case "in", "ins", "inch", "inches", `"`, "″":
		unit = string(quantity.In)
	case "mm":
		unit = "mm"
	default:
		return heading, ""
	}
	words = strings.TrimRight(text[:i], " ([,/:")
	if before, measured := strings.CutSuffix(words, " in"); measured {
		words = before
	}
	return words, unit
}

// unitAtEnd is the same of a heading whose cells are read in a unit that a file may have.
func unitAtEnd(heading string) (words string, unit quantity.Unit) {
	words, text := unitBehind(heading)
	if unit = quantity.Unit(text); unit != quantity.Cm && unit != quantity.In {
		return heading, ""
	}
	return words, unit
}

// isNamed tells whether a text is the name of a measurement, or a word for one, with a unit behind it or without.
func isNamed(voc *engine.Vocabulary, text string) bool {
	words, _ := unitBehind(text)
	_, whole := voc.Called(text)
	_, without := voc.Called(words)
	return whole || without
}

// unknownWord tells whether a text is no word for a measurement, nor a slip of one.
func unknownWord(voc *engine.Vocabulary, text string) bool {
	return voc.Measure(text) == nil && voc.DidYouMean(text, voc.Words(), "") == ""
}

// heading reads the name of a row or a column, in any case or by another word, and the unit of its cells where it names one.
func (r *reader) heading(v file.Value) (file.Value, quantity.Unit) {
	words, unit := unitAtEnd(v.Text())
	if _, whole := r.voc.Called(v.Text()); whole {
		unit = "" // the way round the leg in, and the like
	}
	return v.ReadAs(func(text string) (string, bool) {
		if unit != "" {
			text = words
		}
		return r.voc.Called(text)
	}), unit
}

// strange tells whether a heading is no word for a measurement, nor a slip of one; then it is noted, and what stands there is
// passed over.
func (r *reader) strange(v file.Value) bool {
	if !v.Exists() || !r.unknown(v) {
		return false
	}
	v.Note(passedOver, "`"+v.Text()+"` is no measurement that is known here, and is passed over", "")
	return true
}

func (r *reader) unknown(v file.Value) bool { return unknownWord(r.voc, v.Text()) }

// areUnits tells whether cells hold units and nothing else, and which.
func areUnits(cells []file.Value) ([]quantity.Unit, bool) {
	units := make([]quantity.Unit, len(cells))
	some := false
	for i, v := range cells {
		words, unit := unitAtEnd(v.Text())
		if v.Exists() && (words != "" || unit == "") {
			return nil, false
		}
		units[i], some = unit, some || unit != ""
	}
	return units, some
}

// table reads a CSV, TSV or XLSX file beside the pattern: a size to each line under a header of measurements, or a measurement
// to each line under a header of sizes, with lines for title and units as a spreadsheet has them.
func (p *patternReader) table(v file.Value, area file.Area, into map[string]engine.Row, finished bool) {
	if !IsTable(v.Text()) {
		v.Problem(notAChart, "expected rows of measurements, or the name of a CSV or XLSX file beside this one", "as in `body: chart.csv`")
		return
	}
	name, data, ok := p.readBeside(v, p.beside)
	if !ok {
		return
	}
	doc, rows := file.OpenArea(name, data, area)
	doc.SetUnits(p.bare)
	p.tables = append(p.tables, doc)
	if rows = slices.DeleteFunc(rows, blank); len(rows) == 0 {
		return // the document says so
	}
	q := &tableReader{patternReader: p, doc: doc, into: into, finished: finished}
	q.read(rows)
}

// blank tells an empty line, which a spreadsheet leaves below a table.
func blank(line []file.Value) bool { return !slices.ContainsFunc(line, file.Value.Exists) }

// tableReader reads one chart in a table into rows.
type tableReader struct {
	*patternReader
	doc      *file.Doc
	into     map[string]engine.Row
	finished bool
}

// read reads lines that are all of one length.
func (q *tableReader) read(rows [][]file.Value) {
	corner := rows[0][0]
	if rows = q.asWideAsHeader(rows); len(rows) < 2 || len(rows[0]) < 2 {
		q.noLines()
		return
	}
	lines, ok := q.sizeToLine(rows)
	if !ok {
		corner.Problem(notAChart, "it cannot be told which way round the chart lies: neither its first line nor its first column names a measurement", "begin it with `size` for a line to each size, or with `measurement` for a line to each measurement")
		return
	}
	if !lines {
		rows = transposed(rows)
	}
	header, rows := rows[0], rows[1:]
	units := make([]quantity.Unit, len(header))
	if of, only := areUnits(rows[0][1:]); only {
		copy(units[1:], of)
		if rows = rows[1:]; len(rows) == 0 {
			q.noLines()
			return
		}
	}
	if _, unit := unitAtEnd(corner.Text()); unit != "" {
		q.doc.SetUnits(unit)
	} else if q.bare == "" {
		for _, title := range q.doc.Titles() {
			if _, unit := unitAtEnd(title); unit != "" {
				q.doc.SetUnits(unit)
			}
		}
	}
	labels := make([]file.Value, len(rows))
	for i, line := range rows {
		labels[i] = line[0]
	}
	place := q.places(labels)
	for k := 1; k < len(header); k++ {
		key, unit := q.heading(header[k])
		column := make([]file.Value, len(rows))
		for i, line := range rows {
			column[i] = line[k].In(cmp.Or(unit, units[k]))
		}
		q.put(key, column, place)
	}
}

// noLines says that a chart holds nothing, where nothing else is wrong with it.
func (q *tableReader) noLines() {
	if len(q.doc.Problems()) == 0 {
		q.doc.Problem(q.doc.Start(), notAChart, "the chart has no lines", "a header `size,waist,hip` and a line for each size")
	}
}

// asWideAsHeader leaves out the columns behind the header's last; cells that are filled in there are problems.
func (q *tableReader) asWideAsHeader(rows [][]file.Value) [][]file.Value {
	width := len(rows[0])
	for width > 1 && !rows[0][width-1].Exists() {
		width--
	}
	uneven := false
	for i, line := range rows {
		last := len(line)
		for last > width && !line[last-1].Exists() {
			last--
		}
		if last > width {
			uneven = true
			line[0].Problem(unevenRow, fmt.Sprintf("this line has %s, the header %d", cells(last), width), pointHint)
		}
		rows[i] = line[:width]
	}
	if uneven {
		return nil
	}
	return rows
}

// sizeToLine tells whether a chart has a size to each line, else a measurement: by where its measurements are named, or else by
// its first cell. ok is false where neither says it.
func (q *tableReader) sizeToLine(rows [][]file.Value) (lines, ok bool) {
	across, down := q.named(rows[0][1:]), q.named(transposed(rows)[0][1:])
	corner, _ := unitAtEnd(strings.ToLower(rows[0][0].Text()))
	switch corner = strings.TrimSuffix(strings.TrimSpace(corner), "s"); {
	case across != down:
		return across > down, true
	case corner == "size", corner == "measurement":
		return corner == "size", true
	}
	return false, false
}

// named counts the cells that name a measurement.
func (r *reader) named(cells []file.Value) (n int) {
	for _, v := range cells {
		if isNamed(r.voc, v.Text()) {
			n++
		}
	}
	return n
}

// transposed makes lines of columns.
func transposed(rows [][]file.Value) [][]file.Value {
	out := make([][]file.Value, len(rows[0]))
	for _, line := range rows {
		for k, v := range line {
			out[k] = append(out[k], v)
		}
	}
	return out
}

// put reads the cells of one measurement into their places, which are below 0
// where the size is a problem.
func (q *tableReader) put(key file.Value, values []file.Value, place []int) {
	if !key.Exists() && !blank(values) {
		key.Problem(nameless, "these cells do not say what is measured", "name the measurement, as in `hip`")
	}
	if q.strange(key) || !q.rowName(key, q.finished) {
		return
	}
	if _, twice := q.into[key.Text()]; twice {
		key.Problem(thereTwice, "`"+key.Text()+"` is there twice", "give each measurement one row or column")
		return
	}
	row := make(engine.Row, len(q.sizes))
	for i, v := range values {
		if c := q.cell(v); place[i] >= 0 {
			row[place[i]] = c
		}
	}
	q.into[key.Text()] = row
}

// months are those by which a spreadsheet names a date.
var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// tellDate tells of a cell that holds a date.
func tellDate(v file.Value) bool {
	if !isDate(v.Text()) {
		return false
	}
	v.Problem(badCell, "`"+v.Text()+"` is a date", "a fraction or a range that is typed into a spreadsheet may turn into one: set the cell to text and type it again")
	return true
}

// isDate tells what a spreadsheet made of a fraction or a range that was typed in: 8-Oct, 1/2/2026, 2026-02-01.
func isDate(text string) bool {
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune("-/. ", r) })
	month := slices.ContainsFunc(parts, func(p string) bool { return len(p) >= 3 && slices.Contains(months, p[:3]) })
	digits := func(p string) bool { return strings.Trim(p, "0123456789") == "" }
	rest := slices.DeleteFunc(slices.Clone(parts), func(p string) bool { return !digits(p) })
	switch {
	case month:
		return len(parts) <= 3 && len(rest) == len(parts)-1
	case len(parts) == 3 && len(rest) == 3 && !strings.Contains(text, " ") && !strings.Contains(text, "."):
		return len(parts[0]) == 4 || len(parts[2]) == 4
	}
	return false
}

// places finds each label's place among the sizes, below 0 where it has none;
// without `sizes:` the first table names them.
func (q *tableReader) places(labels []file.Value) []int {
	fresh := len(q.sizes) == 0
	at := make(map[string]int, len(q.sizes))
	for i, size := range q.sizes {
		at[size] = i
	}
	hint := "its sizes are: " + strings.Join(q.sizes, ", ")
	place := make([]int, len(labels))
	seen := map[string]bool{}
	if fresh && q.tooManySizes(labels[0], len(labels)) {
		for i := range place {
			place[i] = -1
		}
		return place
	}
	for i, l := range labels {
		label := strings.TrimSpace(l.Text())
		known := false
		place[i], known = at[label]
		switch {
		case label == "":
			l.Problem(nameless, sizeWithoutName, sizeHint)
		case seen[label]:
			l.Problem(thereTwice, "the size `"+label+"` is there twice", "name each size once")
		case fresh:
			place[i], known = len(q.sizes), true
			q.sizes = append(q.sizes, label)
		case !known:
			l.Problem(noSuchSize, "the pattern has no size `"+label+"`", hint)
		}
		if !known || seen[label] {
			place[i] = -1
		}
		seen[label] = true
	}
	return place
}
