package batch

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"fitadvisor/engine"
)

// Row is what is said of one body. A figure that the whole answer has too is the
// same there, but for its decimals: three are kept.
type Row struct {
	Name       string        `json:"name"`
	Size       string        `json:"size"`   // empty: every size is ruled out, or there is an error
	Lines      []engine.Line `json:"lines"`  // to follow where they are not that size's, from the top down
	Misfit     *float64      `json:"misfit"` // of the size
	Confidence *float64      `json:"confidence"`
	ChartSize  string        `json:"chart_size"`
	OffChartCm *float64      `json:"off_chart_cm"`
	RuledOut   []string      `json:"ruled_out"` // sizes, in size order
	Cautions   []string      `json:"cautions"`  // ids
	Error      string        `json:"error"`
}

func (r *Row) fill(a engine.Brief) {
	r.Size, r.Misfit, r.Confidence, r.ChartSize, r.OffChartCm = a.Size, rounded(a.Misfit), rounded(a.Confidence), a.ChartSize, rounded(&a.OffChartCm)
	r.Lines, r.RuledOut, r.Cautions = append([]engine.Line{}, a.Lines...), append([]string{}, a.RuledOut...), a.Cautions
}

// rounded is a figure with the decimals that a table needs.
func rounded(v *float64) *float64 {
	if v == nil {
		return nil
	}
	to := math.Round(*v*1000) / 1000
	return &to
}

// Format is how rows are written.
type Format string

// The formats.
const (
	CSV   Format = "csv"
	Lines Format = "jsonl" // a JSON object to each line
)

var columns = []string{"name", "size", "lines", "misfit", "confidence", "chart_size", "off_chart_cm", "ruled_out", "cautions", "error"}

// Header is what stands before the first row.
func (f Format) Header() string {
	if f == CSV {
		return strings.Join(columns, ",") + "\n"
	}
	return ""
}

// write adds a row to a buffer, which takes all.
func (f Format) write(b *bytes.Buffer, r *Row) {
	if f == Lines {
		e := json.NewEncoder(b)
		e.SetEscapeHTML(false)
		_ = e.Encode(r) // nothing in a row cannot be written
		return
	}
	w := csv.NewWriter(b)
	var lines []string
	for _, l := range r.Lines {
		lines = append(lines, l.Zone+" "+l.Size)
	}
	_ = w.Write([]string{r.Name, r.Size, strings.Join(lines, "; "), number(r.Misfit), number(r.Confidence), r.ChartSize, number(r.OffChartCm),
		strings.Join(r.RuledOut, "; "), strings.Join(r.Cautions, "; "), r.Error})
	w.Flush()
}

// number writes a figure as JSON does.
func number(v *float64) string {
	if v == nil {
		return ""
	}
	text, _ := json.Marshal(*v)
	return string(text)
}

// name reads whose row a written line is.
func (f Format) name(line []byte) (string, error) {
	if f == Lines {
		var r Row
		err := json.Unmarshal(line, &r)
		return r.Name, err
	}
	cells, err := csv.NewReader(bytes.NewReader(line)).Read()
	if err == nil && len(cells) != len(columns) {
		err = fmt.Errorf("it has %d cells, not %d", len(cells), len(columns))
	}
	if err != nil {
		return "", err
	}
	return cells[0], nil
}
