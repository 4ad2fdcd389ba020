package file

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

const (
	mostColumns = 300 // cells in one line of a table: no pattern has so many sizes
	mostRows    = 2000
)

// OpenTable reads a CSV file into rows of values, the header first. Commas, semicolons or tabs may part the cells. Like
// [Open] it never fails: what is wrong is among the problems. An empty cell is a null.
func OpenTable(name string, data []byte) (*Doc, [][]Value) {
	d := &Doc{name: name, source: data}
	return d, d.table(d.separator())
}

// OpenLine reads one line of a table of any length, parted as its header is. Its problems stand in line 1.
func OpenLine(header *Doc, data []byte) (*Doc, []Value) {
	d := &Doc{name: header.name, source: data, units: header.units}
	rows := d.table(header.separator())
	if len(rows) == 0 {
		return d, nil
	}
	return d, rows[0]
}

// LineOf is a line of a table that was read whole, with problems of its own: several lines may be looked at at once.
func LineOf(table *Doc, cells []Value) (*Doc, []Value) {
	d := &Doc{name: table.name, sheet: table.sheet, source: table.source, units: table.units}
	cells = slices.Clone(cells)
	for i := range cells {
		cells[i].doc = d
	}
	return d, cells
}

func (d *Doc) table(separator rune) [][]Value {
	if !d.readable() {
		return nil
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(d.source, []byte(byteOrderMark))))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = separator, -1, true, true
	var rows [][]Value
	for {
		record, err := r.Read()
		if err != nil { // the end: stray quotes and lines of any length are read as they come
			return rows
		}
		line, _ := r.FieldPos(0)
		if len(record) > mostColumns || len(rows) == mostRows {
			d.Problem(d.at(line, 1, 1), tooLarge, fmt.Sprintf("a chart has at most %d cells to a line and %d lines", mostColumns, mostRows), "is it the right file?")
			return nil
		}
		row := make([]Value, len(record))
		for i, cell := range record {
			line, column := r.FieldPos(i)
			row[i] = d.cell(line, column, cell)
		}
		rows = append(rows, row)
	}
}

// separator is what parts the cells of most of the first lines, and where several do, most often: a title may stand above
// them, and commas within them.
func (d *Doc) separator() rune {
	const looked = 10 // lines
	best, most, times := ',', 0, 0
	head := bytes.SplitN(d.source, []byte("\n"), looked+1)
	for _, r := range ",;\t" {
		lines, all := 0, 0
		for _, l := range head[:min(looked, len(head))] {
			if n := bytes.Count(l, []byte(string(r))); n > 0 {
				lines, all = lines+1, all+n
			}
		}
		if lines > most || lines == most && all > times {
			best, most, times = r, lines, all
		}
	}
	return best
}

// cell makes a value of a cell that starts at a line and byte column.
func (d *Doc) cell(line, column int, text string) Value {
	text = strings.TrimSpace(text)
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text, Line: line, Column: d.runeColumn(line, column)}
	if text == "" {
		n.Tag = "!!null"
	}
	if utf8.RuneCountInString(text) > longestText {
		d.Problem(d.at(n.Line, n.Column, 1), tooLarge, fmt.Sprintf("a text of more than %d characters", longestText), "is it the right file?")
		n.Tag = refused
	}
	return Value{doc: d, node: n}
}

func (d *Doc) runeColumn(line, column int) int {
	start := d.cursor(line, 1).offset
	end := min(start+column-1, len(d.source))
	column = utf8.RuneCount(d.source[start:end]) + 1
	if end < len(d.source) && d.source[end] == '"' {
		column++ // the text begins after its quote
	}
	return column
}
