package recipes

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Bodies is a table of bodies, one to a line, that is read a line at a time:
// under a header `name,bust,waist,hip` with a column for each measurement, and
// `age` where that matters. It may be of any length.
type Bodies struct {
	Draft engine.Draft // of the garment asked about: women, men or children; empty: none is known

	voc    *engine.Vocabulary
	in     *bufio.Reader
	header *file.Doc
	names  []string        // of what the columns hold; empty: nothing that is looked at
	units  []quantity.Unit // of their bare numbers; empty: those of the table
	line   int
}

// BodyLine is one line of a table of bodies, not yet taken apart.
type BodyLine struct {
	Number int // of the line, from 1
	text   []byte
	long   bool // the rest of it was left out
}

// longestLine is more than any body needs: a cell for every measurement.
const longestLine = 64 << 10

// OpenBodies reads the header. Bare numbers are in the units; problems with the
// header are returned, and where one of them is an error there are no bodies.
func OpenBodies(name string, in io.Reader, units quantity.Unit, voc *engine.Vocabulary) (*Bodies, *file.Doc) {
	return openBodies(name, in, units, voc, (*Bodies).readHeader)
}

// openBodies opens a table whose header is read in some way, which tells whether
// it can be used.
func openBodies(name string, in io.Reader, units quantity.Unit, voc *engine.Vocabulary, header func(*Bodies, []file.Value) bool) (*Bodies, *file.Doc) {
	b := &Bodies{voc: voc, in: bufio.NewReaderSize(in, longestLine)}
	doc, rows, err := b.firstLine(name)
	if err != nil {
		return nil, file.Open(name, nil)
	}
	doc.SetUnits(units)
	b.header = doc
	if len(rows) == 0 {
		return nil, doc
	}
	if !header(b, rows[0]) || doc.Problems().HasErrors() {
		return nil, doc
	}
	return b, doc
}

// firstLine reads the header. Lines of a single cell above it are titles.
func (b *Bodies) firstLine(name string) (*file.Doc, [][]file.Value, error) {
	const titles = 10 // at most
	for i := 0; ; i++ {
		first, err := b.Next()
		if err != nil {
			return nil, nil, err
		}
		doc, rows := file.OpenTable(name, slices.Concat(bytes.Repeat([]byte("\n"), first.Number-1), first.text))
		more, _ := b.in.Peek(longestLine) // an error is the next line's
		next, _, _ := bytes.Cut(more, []byte("\n"))
		if len(rows) == 0 || !bytes.ContainsAny(next, ",;\t") || i == titles || len(slices.DeleteFunc(slices.Clone(rows[0]), func(v file.Value) bool { return !v.Exists() })) > 1 {
			return doc, rows, nil
		}
	}
}

// readHeader reads a header of words of the vocabulary. What is none is passed over, as are columns without a name.
func (b *Bodies) readHeader(header []file.Value) bool {
	r := &reader{b.header, b.voc}
	for _, cell := range header {
		var unit quantity.Unit
		column := strings.ToLower(cell.Text())
		if column != "name" && column != "age" {
			cell, unit = r.heading(cell)
			column = cell.Text()
		}
		switch {
		case column != "" && slices.Contains(b.names, column):
			cell.Problem(thereTwice, "the column `"+column+"` is there twice", "name each column once")
		case column == "name", column == "age", column == "":
		case r.strange(cell):
			column = ""
		default:
			r.measure(cell)
		}
		b.names, b.units = append(b.names, column), append(b.units, unit)
	}
	if !slices.Contains(b.names, "name") {
		header[0].Problem(file.Missing, "no column is called `name`", "begin the header with it, as in `name,waist,hip`, so that each body can be told from the others")
	}
	return true
}

// Next reads one line; the error is io.EOF after the last. Lines with nothing in
// them are passed over.
func (b *Bodies) Next() (BodyLine, error) {
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
	body.MeasurementsAt = doc.Start()
	body.MeasurementsAt.Start.Line, body.MeasurementsAt.End.Line = l.Number, l.Number
	tellSlips(doc, body, b.voc, b.Draft)
	return body, below(doc.Problems(), l.Number)
}

// parts are the cells of a line, as many as the header has; else a problem says so.
func (b *Bodies) parts(l BodyLine) (*file.Doc, []file.Value) {
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
	if i := slices.Index(b.names, "name"); i >= 0 && i < len(cells) {
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
	case !v.Exists() || column == "name" || column == "": // a column that is passed over
	case column == "age":
		b.Age = r.age(v)
	case r.voc.Measure(column).Kind != engine.Angle:
		b.Measurements[column] = r.measurement(v)
	}
}

// below moves problems of a single line to where it stands.
func below(l diag.List, line int) diag.List {
	for i := range l {
		l[i].Range.Start.Line += line - 1
		l[i].Range.End.Line += line - 1
	}
	return l
}
