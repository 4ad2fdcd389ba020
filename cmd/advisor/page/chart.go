package page

import (
	"bytes"
	"encoding/csv"
	"io"
	"io/fs"
	"strings"
	"time"

	"fitadvisor/engine"
)

func csvRows(text []byte) ([][]string, error) {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	return r.ReadAll()
}

// pasted makes a chart of a tidied table.
func pasted(text string, voc *engine.Vocabulary) []byte {
	rows := cells(text)
	for i, row := range rows {
		for k := range row {
			if row[k] = strings.TrimSpace(row[k]); i == 0 || k == 0 {
				row[k] = word(row[k], voc)
			}
		}
	}
	var out bytes.Buffer
	_ = csv.NewWriter(&out).WriteAll(rows) // no error: a buffer takes all
	return out.Bytes()
}

// cells takes a tidied table apart, line by line.
func cells(text string) [][]string {
	var rows [][]string
	for line := range strings.SplitSeq(text, "\n") {
		rows = append(rows, strings.Split(line, "\t"))
	}
	return rows
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
