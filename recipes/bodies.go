package recipes

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Bodies is a table of bodies, one to a line, that is read a line at a time:
// under a header `name,bust,waist,hip` with a column for each measurement, and
// `age` where that matters. It may be of any length.
type Bodies struct {
	voc    *engine.Vocabulary
	in     *bufio.Reader
	header *file.Doc
	names  []string // of the columns
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
	b := &Bodies{voc: voc, in: bufio.NewReaderSize(in, longestLine)}
	first, err := b.Next()
	if err != nil {
		return nil, file.Open(name, nil)
	}
	doc, rows := file.OpenTable(name, first.text)
	doc.SetUnits(units)
	b.header = doc
	if len(rows) == 0 {
		return nil, doc
	}
	r := &reader{doc, voc}
	for _, cell := range rows[0] {
		switch column := cell.Text(); {
		case !cell.Exists():
			cell.Problem(nameless, "a column without a name", "name the measurement that it holds, or delete it")
		case slices.Contains(b.names, column):
			cell.Problem(thereTwice, "the column `"+column+"` is there twice", "name each column once")
		case column != "name" && column != "age":
			r.measure(cell)
		}
		b.names = append(b.names, cell.Text())
	}
	if !slices.Contains(b.names, "name") {
		rows[0][0].Problem(file.Missing, "no column is called `name`", "begin the header with it, as in `name,waist,hip`, so that each body can be told from the others")
	}
	if doc.Problems().HasErrors() {
		return nil, doc
	}
	return b, doc
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
	body := &engine.Body{Units: b.header.Units(), Measurements: map[string]engine.Taking{}}
	doc, fields := file.OpenLine(b.header, l.text)
	switch {
	case l.long:
		doc.Problem(doc.Start(), unevenRow, fmt.Sprintf("the line is longer than %d kB", longestLine>>10), "close the quote that it begins with, or look for a missing line break")
	case len(doc.Problems()) == 0 && len(fields) != len(b.names):
		doc.Problem(doc.Start(), unevenRow, fmt.Sprintf("the line has %s, but the header has %d", cells(len(fields)), len(b.names)), pointHint)
	}
	if i := slices.Index(b.names, "name"); i < len(fields) {
		body.Name = fields[i].Text()
	}
	if len(doc.Problems()) == 0 {
		r := &reader{doc, b.voc}
		for i, v := range fields {
			r.bodyCell(body, b.names[i], v)
		}
	}
	return body, below(doc.Problems(), l.Number)
}

// bodyCell reads one cell of a line.
func (r *reader) bodyCell(b *engine.Body, column string, v file.Value) {
	switch {
	case !v.Exists() || column == "name":
	case column == "age":
		b.Age = r.age(v)
	default:
		b.Measurements[column] = r.taking(column, v)
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
