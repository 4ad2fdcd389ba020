package page

import (
	"bytes"
	"encoding/csv"
	"io"
	"io/fs"
	"regexp"
	"strings"
	"time"

	"fitadvisor/engine"
)

func csvRows(text []byte) ([][]string, error) {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	return r.ReadAll()
}

// pasted makes a chart of what was pasted: cells parted by tabs, as a spreadsheet copies them, or by commas or semicolons.
// Measurements may stand in a person's own spelling, as in `Upper bust`, and the corner may be empty.
func pasted(text string, voc *engine.Vocabulary) []byte {
	rows := cells(strings.ReplaceAll(text, "\r\n", "\n"))
	for i, row := range rows {
		for k := range row {
			row[k] = unquoted(strings.TrimSpace(row[k]))
			if i == 0 || k == 0 {
				row[k] = word(row[k], voc)
			}
		}
		if i == 0 && len(row) > 0 && row[0] == "" {
			row[0] = corner(row[1:], voc)
		}
	}
	var out bytes.Buffer
	_ = csv.NewWriter(&out).WriteAll(rows) // no error: a buffer takes all
	return out.Bytes()
}

// cells takes a table apart, line by line: by tabs, by semicolons, by commas that part cells, or by spaces.
func cells(text string) [][]string {
	text = strings.Trim(strings.ReplaceAll(text, "\u00a0", " "), "\n")
	var rows [][]string
	apart := ""
	switch {
	case strings.Contains(text, "\t"):
		apart = "\t"
	case strings.Contains(text, ";"):
		apart = ";"
	case commasPart(text):
		apart = ","
	}
	for line := range strings.SplitSeq(text, "\n") {
		if apart != "" {
			rows = append(rows, strings.Split(line, apart))
		} else if row := spaced(line); len(row) > 0 {
			rows = append(rows, row)
		}
	}
	if apart == "" {
		align(rows)
	}
	return rows
}

// commasPart tells whether the commas of a table part its cells, and are no decimal commas: then most lines have several, or
// none of them stands between two figures.
func commasPart(text string) bool {
	if !strings.Contains(text, ",") {
		return false
	}
	if !betweenFigures.MatchString(text) {
		return true
	}
	several := 0
	lines := strings.Split(text, "\n")
	for _, line := range lines {
		if strings.Count(line, ",") > 0 && len(strings.Fields(strings.ReplaceAll(line, ",", ""))) <= 1+strings.Count(line, ",") && !strings.Contains(strings.TrimSpace(afterLabel.ReplaceAllString(line, "")), " ") {
			several++
		}
	}
	return 2*several > len(lines)
}

var (
	betweenFigures = regexp.MustCompile(`\d,\d`)
	afterLabel     = regexp.MustCompile(`^[^,\d]*`)
)

// align gives the line of sizes an empty corner where it has one cell less than the lines below it.
func align(rows [][]string) {
	if len(rows) < 2 || len(rows[0])+1 != len(rows[1]) {
		return
	}
	rows[0] = append([]string{""}, rows[0]...)
}

// unquoted is a cell without the quotes that a spreadsheet puts round it.
func unquoted(cell string) string {
	if len(cell) > 1 && strings.HasPrefix(cell, `"`) && strings.HasSuffix(cell, `"`) {
		return strings.ReplaceAll(cell[1:len(cell)-1], `""`, `"`)
	}
	return cell
}

// word is a measurement in the spelling of the vocabulary, or the text as it is.
func word(text string, voc *engine.Vocabulary) string {
	if name := strings.ToLower(text); name == "size" || name == "measurement" {
		return name
	}
	if name, ok := voc.Called(text); ok {
		return name
	}
	return text
}

// corner is what an empty first cell means, by what stands beside it.
func corner(header []string, voc *engine.Vocabulary) string {
	for _, name := range header {
		if voc.Measure(name) != nil {
			return "size"
		}
	}
	return "measurement"
}

// beside is a folder with pasted tables in it.
type beside struct {
	pasted map[string][]byte
	folder fs.FS // nil: none
}

// Open opens a pasted table, or a file of the folder.
func (b beside) Open(name string) (fs.File, error) {
	if text, ok := b.pasted[name]; ok {
		return paste{bytes.NewReader(text)}, nil
	}
	if b.folder == nil {
		return nil, fs.ErrNotExist
	}
	return b.folder.Open(name)
}

// Stat says what a file is without opening it.
func (b beside) Stat(name string) (fs.FileInfo, error) {
	if text, ok := b.pasted[name]; ok {
		return pastedInfo{name, len(text)}, nil
	}
	if b.folder == nil {
		return nil, fs.ErrNotExist
	}
	return fs.Stat(b.folder, name)
}

// paste is a pasted table as a file, which is read and nothing else.
type paste struct{ io.Reader }

func (paste) Stat() (fs.FileInfo, error) { return nil, fs.ErrInvalid }
func (paste) Close() error               { return nil }

// pastedInfo is what a pasted table is: a plain file.
type pastedInfo struct {
	name string
	size int
}

func (a pastedInfo) Name() string     { return a.name }
func (a pastedInfo) Size() int64      { return int64(a.size) }
func (pastedInfo) Mode() fs.FileMode  { return 0 }
func (pastedInfo) ModTime() time.Time { return time.Time{} }
func (pastedInfo) IsDir() bool        { return false }
func (pastedInfo) Sys() any           { return nil }

// cellAt is the line and the column of the cell that a place in a pasted table is in.
func cellAt(text []byte, line, column int) (int, int) {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	for row := 0; ; row++ {
		record, err := r.Read()
		if err != nil {
			return 0, 0
		}
		if at, _ := r.FieldPos(0); at != line {
			continue
		}
		cell := 0
		for k := range record {
			if _, from := r.FieldPos(k); from <= column {
				cell = k
			}
		}
		return row, cell
	}
}
