package recipes

import (
	"bufio"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Bodies is a table of bodies, one to a line under a header `name,bust,waist,hip` with a column for each measurement, and `age`
// where that matters; or a measurement to each line under a header of names. A CSV table with a body to each line is read a line
// at a time and may be of any length.
type Bodies struct {
	Draft engine.Draft // of the garment asked about: women, men or children; empty: none is known

	voc    *engine.Vocabulary
	in     *bufio.Reader
	ahead  []BodyLine // that were looked at already, or all of a table that was read whole
	header *file.Doc
	names  []string        // of what the columns hold; empty: nothing that is looked at
	units  []quantity.Unit // of their bare numbers; empty: those of the table
	titles []string        // above the header
	line   int
}

// BodyLine is one line of a table of bodies, not yet taken apart, or one column of a table that lies the other way round.
type BodyLine struct {
	Number int // of the line, from 1
	Column int // in a table that lies the other way round, from 1; else 0
	text   []byte
	doc    *file.Doc    // where it was parted already
	cells  []file.Value // then, or of a table that was read whole
	long   bool         // the rest of it was left out
}

// Place says in words where the line is: `line 3`, or `column 3`.
func (l BodyLine) Place() string {
	if l.Column > 0 {
		return fmt.Sprintf("column %d", l.Column)
	}
	return fmt.Sprintf("line %d", l.Number)
}

// longestLine is more than any body needs: a cell for every measurement.
const longestLine = 64 << 10

// OpenBodies reads the header of a CSV or TSV table, or a whole XLSX file. Bare numbers are in the units; problems with the
// header are returned, and where one of them is an error there are no bodies.
func OpenBodies(name string, in io.Reader, units quantity.Unit, voc *engine.Vocabulary) (*Bodies, *file.Doc) {
	return openBodies(name, in, units, voc, nil)
}

// openBodies opens a table. Its header is read as find does it, which tells whether it can be used; without one it is words of
// the vocabulary.
func openBodies(name string, in io.Reader, units quantity.Unit, voc *engine.Vocabulary, find func(*Bodies, []file.Value) bool) (*Bodies, *file.Doc) {
	b := &Bodies{voc: voc, in: bufio.NewReaderSize(in, longestLine)}
	header, err := b.begin(name, find == nil)
	switch {
	case err != nil:
		doc := file.Open(name, nil)
		if !errors.Is(err, io.EOF) {
			doc.Problem(diag.Range{File: name}, unevenRow, "it cannot be read: "+err.Error(), "")
		}
		return nil, doc
	case len(header) == 0:
		return nil, b.header
	}
	b.header.SetUnits(units)
	if units == "" {
		for _, title := range b.titles {
			if _, unit := unitAtEnd(title); unit != "" {
				b.header.SetUnits(unit)
			}
		}
	}
	if find == nil {
		find = (*Bodies).readHeader
	}
	if !find(b, header) || b.header.Problems().HasErrors() {
		return nil, b.header
	}
	b.unitLine()
	return b, b.header
}

// begin reads up to the header, or the whole table where that is an XLSX file or lies the other way round.
func (b *Bodies) begin(name string, words bool) ([]file.Value, error) {
	if path.Ext(name) == ".xlsx" {
		data, err := io.ReadAll(io.LimitReader(b.in, file.MaxSheetBytes+1))
		if err != nil {
			return nil, err
		}
		return b.whole(name, data, words), nil
	}
	before, header, err := b.firstLine(name)
	if err != nil || len(header) < 2 || !words || b.holds(header[1:]) || isNameColumn(header[0]) && !b.liesAcross() {
		return header, err
	}
	rest, err := io.ReadAll(io.LimitReader(b.in, file.MaxBytes+1))
	if err != nil {
		return nil, err
	}
	text := slices.Concat(before, rest)
	if len(text) <= file.MaxBytes {
		if turned := b.whole(name, text, words); turned != nil {
			return turned, nil
		}
	}
	b.in, b.ahead, b.line, b.titles = bufio.NewReaderSize(bytes.NewReader(text), longestLine), nil, 0, nil
	_, header, err = b.firstLine(name)
	return header, err
}

// holds tells whether cells of a header say what bodies have.
func (b *Bodies) holds(cells []file.Value) bool {
	r := &reader{b.header, b.voc}
	return r.named(cells) > 0 || slices.ContainsFunc(cells, func(v file.Value) bool { return isNameColumn(v) || isAge(v) })
}

// liesAcross tells whether the line after the header begins with a measurement.
func (b *Bodies) liesAcross() bool {
	_, cells := file.OpenLine(b.header, b.nextLine())
	return len(cells) > 0 && (&reader{b.header, b.voc}).named(cells[:1]) > 0
}

// nextLine is the line that is read next, or the first of it.
func (b *Bodies) nextLine() []byte {
	more, _ := b.in.Peek(longestLine) // an error is the next line's
	next, _, _ := bytes.Cut(more, []byte("\n"))
	return next
}

// whole reads a whole table. One that lies the other way round is turned; of a text only that is of use.
func (b *Bodies) whole(name string, data []byte, words bool) []file.Value {
	doc, rows := file.OpenArea(name, data, file.Area{})
	b.titles = doc.Titles()
	turned := words && len(rows) > 0 && !b.holds(rows[0][1:]) && (&reader{doc, b.voc}).named(transposed(rows)[0][1:]) > 0
	if path.Ext(name) != ".xlsx" && !turned {
		return nil
	}
	b.header = doc
	if len(rows) == 0 {
		return nil
	}
	if turned {
		rows = transposed(rows)
	}
	b.ahead, b.in = nil, bufio.NewReader(bytes.NewReader(nil))
	for i, cells := range rows[1:] {
		l := BodyLine{Number: cells[0].Range().Start.Line, cells: cells}
		if turned {
			l.Column = i + 2 // the first holds the names of what was measured
		}
		b.ahead = append(b.ahead, l)
	}
	if turned {
		rows[0][0] = rows[0][0].ReadAs(func(string) (string, bool) { return nameColumn, true })
	}
	return rows[0]
}

// firstLine reads the header; before is what was read for it. Lines of a single cell above it are titles.
func (b *Bodies) firstLine(name string) (before []byte, header []file.Value, err error) {
	const titles = 10 // at most
	for i := 0; ; i++ {
		first, err := b.Next()
		if err != nil {
			return nil, nil, err
		}
		before = slices.Concat(before, bytes.Repeat([]byte("\n"), first.Number-1-bytes.Count(before, []byte("\n"))), first.text, []byte("\n"))
		doc, rows := file.OpenTable(name, slices.Concat(bytes.Repeat([]byte("\n"), first.Number-1), first.text))
		b.header = doc
		if len(rows) == 0 {
			return before, nil, nil
		}
		filled := slices.DeleteFunc(slices.Clone(rows[0]), func(v file.Value) bool { return !v.Exists() })
		if !bytes.ContainsAny(b.nextLine(), ",;\t") || i == titles || len(filled) > 1 || (&reader{doc, b.voc}).named(filled) > 0 {
			return before, rows[0], nil
		}
		if len(filled) == 1 {
			b.titles = append(b.titles, filled[0].Text())
		}
	}
}

// unitLine passes over a line of units below the header, which are those of its columns.
func (b *Bodies) unitLine() {
	l, err := b.Next()
	if err != nil {
		return
	}
	_, cells := b.parts(l)
	if len(cells) != len(b.names) {
		b.ahead = slices.Insert(b.ahead, 0, l)
		return
	}
	i := max(slices.Index(b.names, nameColumn), 0)
	units, only := areUnits(slices.Delete(slices.Clone(cells), i, i+1))
	if !only {
		b.ahead = slices.Insert(b.ahead, 0, l)
		return
	}
	for k, unit := range slices.Insert(units, i, "") {
		b.units[k] = cmp.Or(b.units[k], unit)
	}
}

// What columns hold besides measurements.
const (
	nameColumn = "name"
	ageColumn  = "age"
)

func isNameColumn(v file.Value) bool { return strings.EqualFold(v.Text(), nameColumn) }

func isAge(v file.Value) bool { return strings.EqualFold(v.Text(), ageColumn) }

// readHeader reads a header of words of the vocabulary. What is none is passed over, as are columns without a name. The first
// column holds the names where no other is said to.
func (b *Bodies) readHeader(header []file.Value) bool {
	r := &reader{b.header, b.voc}
	nameless := false // the corner is empty, as spreadsheets leave it
	if first := header[0]; !slices.ContainsFunc(header, isNameColumn) && !isAge(first) && r.named(header[:1]) == 0 && r.unknown(first) {
		header[0] = first.ReadAs(func(string) (string, bool) { return nameColumn, true })
		nameless = !first.Exists()
	}
	for i, cell := range header {
		var unit quantity.Unit
		column := strings.ToLower(cell.Text())
		if i == 0 && nameless {
			column = nameColumn
		}
		if column != nameColumn && column != ageColumn {
			cell, unit = r.heading(cell)
			column = cell.Text()
		}
		switch {
		case column != "" && slices.Contains(b.names, column):
			cell.Problem(thereTwice, "the column `"+column+"` is there twice", "name each column once")
		case column == nameColumn, column == ageColumn, column == "":
		case r.strange(cell):
			column = ""
		default:
			r.measure(cell)
		}
		b.names, b.units = append(b.names, column), append(b.units, unit)
	}
	if !slices.Contains(b.names, nameColumn) {
		header[0].Problem(file.Missing, "no column is called `name`", "begin the header with it, as in `name,waist,hip`, so that each body can be told from the others")
	}
	return true
}

// Next reads one line; the error is io.EOF after the last. Lines with nothing in
// them are passed over.
func (b *Bodies) Next() (BodyLine, error) {
	for len(b.ahead) > 0 {
		l := b.ahead[0]
		b.ahead = b.ahead[1:]
		if l.cells == nil || !blank(l.cells) {
			return l, nil
		}
	}
	for {
		l, err := b.read()
		if len(l.text) == 0 && err != nil {
			return l, err
		}
		b.line++
		l.Number = b.line
		if len(bytes.TrimSpace(l.text)) > 0 {
			return l, nil
		}
	}
}

func (b *Bodies) read() (BodyLine, error) {
	part, err := b.in.ReadSlice('\n')
	l := BodyLine{text: bytes.Clone(bytes.TrimRight(part, "\r\n"))}
	for errors.Is(err, bufio.ErrBufferFull) {
		l.long = true
		_, err = b.in.ReadSlice('\n')
	}
	return l, err
}

// Body takes a line apart; several may be at once. Where there are problems the
// body has its name, as far as it could be read, and nothing else is to be used.
func (b *Bodies) Body(l BodyLine) (*engine.Body, diag.List) {
	doc, cells := b.parts(l)
	body := b.body(doc, cells)
	if !slices.Contains(b.names, nameColumn) {
		body.Name = l.Place()
	}
	body.MeasurementsAt = doc.Start()
	body.MeasurementsAt.Start.Line, body.MeasurementsAt.End.Line = l.Number, l.Number
	tellSlips(doc, body, b.voc, b.Draft)
	return body, l.below(doc.Problems())
}

// File is the body of a line as a file, measured on a day: what its cells say, with their units. What is wrong with the line is
// returned; then there is no file.
func (b *Bodies) File(l BodyLine, taken string) (name string, text []byte, problems diag.List) {
	body, problems := b.Body(l)
	if problems.HasErrors() {
		return body.Name, nil, problems
	}
	_, cells := b.parts(l)
	w := &file.Writer{}
	w.Text("kind", "body")
	w.Text("name", body.Name)
	w.Written("taken", taken)
	w.Text("units", string(body.Units))
	for i, v := range cells {
		if b.names[i] == ageColumn {
			w.Text("age", v.Text())
		}
	}
	w.Below("measurements", func() {
		for i, v := range cells {
			if b.voc.Measure(b.names[i]) == nil {
				continue
			}
			if b.voc.Measure(b.names[i]).Kind == engine.Angle {
				w.Text(b.names[i], v.Text())
			} else if v.Exists() {
				w.Text(b.names[i], withUnit(v.In(b.units[i]), body.Units))
			}
		}
	})
	text, err := w.Bytes()
	if err != nil {
		problems = append(problems, diag.Diagnostic{Severity: diag.Error, Code: unevenRow, Summary: err.Error(), Range: body.MeasurementsAt})
	}
	return body.Name, text, problems
}

// parts are the cells of a line, as many as the header has; else a problem says so.
func (b *Bodies) parts(l BodyLine) (*file.Doc, []file.Value) {
	switch {
	case l.doc != nil:
		return l.doc, l.cells
	case l.cells != nil:
		return file.LineOf(b.header, l.cells)
	}
	doc, fields := file.OpenLine(b.header, l.text)
	switch {
	case l.long:
		doc.Problem(doc.Start(), unevenRow, fmt.Sprintf("the line is longer than %d kB", longestLine>>10), "close the quote that it begins with, or look for a missing line break")
	case len(doc.Problems()) == 0 && len(fields) > len(b.names) && blank(fields[len(b.names):]):
		fields = fields[:len(b.names)]
	case len(doc.Problems()) == 0 && len(fields) != len(b.names):
		doc.Problem(doc.Start(), unevenRow, fmt.Sprintf("the line has %s, but the header has %d", cells(len(fields)), len(b.names)), pointHint)
	}
	return doc, fields
}

// body reads the cells of a line that nothing is wrong with yet.
func (b *Bodies) body(doc *file.Doc, cells []file.Value) *engine.Body {
	body := &engine.Body{Units: b.header.Units(), Measurements: map[string]engine.Measurement{}}
	if i := slices.Index(b.names, nameColumn); i >= 0 && i < len(cells) {
		body.Name = cells[i].Text()
	}
	if len(doc.Problems()) == 0 {
		r := &reader{doc, b.voc}
		for i, v := range cells {
			if i < len(b.units) {
				v = v.In(b.units[i])
			}
			r.bodyCell(body, b.names[i], v)
		}
		for i, v := range cells { // once the lengths are known by which they may be said
			if m := b.voc.Measure(b.names[i]); m != nil && m.Kind == engine.Angle && v.Exists() {
				body.Measurements[m.Name] = r.angle(v, body.Measurements[shoulderLength])
			}
		}
	}
	return body
}

// bodyCell reads one cell of a line.
func (r *reader) bodyCell(b *engine.Body, column string, v file.Value) {
	switch {
	case !v.Exists() || column == nameColumn || column == "": // a column that is passed over
	case column == ageColumn:
		b.Age = r.age(v)
	case tellDate(v):
	case r.voc.Measure(column).Kind != engine.Angle:
		b.Measurements[column] = r.measurement(v)
	}
}

// below moves problems of a line that was read by itself to where it stands.
func (b BodyLine) below(l diag.List) diag.List {
	if b.text == nil {
		return l
	}
	for i := range l {
		l[i].Range.Start.Line += b.Number - 1
		l[i].Range.End.Line += b.Number - 1
	}
	return l
}
