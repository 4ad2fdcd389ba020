package recipes

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
)

// WriteCSV writes the rows of a part of a pattern as a table that [ReadPattern]
// takes: a measurement to each line, cells as they were typed.
func WriteCSV(p *engine.Pattern, of engine.Part, voc *engine.Vocabulary) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	_ = w.WriteAll(tableOf(p, of, voc)) // no error: a buffer takes all
	return out.Bytes()
}

// WriteSheets writes a workbook with the sheets `body` and `finished`, each a table
// that [ReadPattern] takes. It fails only where a text is no XML.
func WriteSheets(p *engine.Pattern, voc *engine.Vocabulary) ([]byte, error) {
	sheets := []file.Sheet{{Name: string(engine.OfBody), Rows: tableOf(p, engine.OfBody, voc)}}
	if len(p.Finished) > 0 {
		sheets = append(sheets, file.Sheet{Name: string(engine.OfFinished), Rows: tableOf(p, engine.OfFinished, voc)})
	}
	return file.WriteWorkbook(sheets)
}

func rowsOf(p *engine.Pattern, of engine.Part) map[string]engine.Row {
	if of == engine.OfFinished {
		return p.Finished
	}
	return p.Chart
}

// tableOf has a line for each measurement, from the top of the body down, under a
// header of sizes. A row of nothing but gaps is none.
func tableOf(p *engine.Pattern, of engine.Part, voc *engine.Vocabulary) [][]string {
	table := [][]string{append([]string{"measurement"}, p.Sizes...)}
	for _, name := range voc.Words() {
		line, known := []string{name}, false
		for _, c := range rowsOf(p, of)[name] {
			known = known || c.Known
			line = append(line, cellText(p, c))
		}
		if known {
			table = append(table, line)
		}
	}
	return table
}

// cellText is a cell as it was typed, empty for a gap.
func cellText(p *engine.Pattern, c engine.Cell) string {
	switch {
	case !c.Known:
		return ""
	case c.Text != "":
		return c.Text
	case c.Low == c.High:
		return c.Low.Exact(p.Units)
	}
	return c.Low.Exact(p.Units) + " .. " + c.High.Exact(p.Units)
}

// WriteYAML writes a pattern as a file that [ReadPattern] takes, with its charts
// in it.
func WriteYAML(p *engine.Pattern, voc *engine.Vocabulary) []byte {
	w := &yamlWriter{}
	w.line("kind", "pattern")
	w.text("maker", p.Maker)
	w.text("name", p.Name)
	w.text("recipe", p.Recipe)
	w.line("units", string(p.Units))
	w.drafted(p, voc)
	if p.Allowance != nil {
		w.line("seam_allowance", scalar(p.Allowance.Exact(p.Units)))
	}
	w.list("sizes", p.Sizes)
	for _, of := range []engine.Part{engine.OfBody, engine.OfFinished} {
		if table := tableOf(p, of, voc); len(table) > 1 {
			fmt.Fprintf(&w.out, "%s:\n", of)
			for _, line := range table[1:] {
				w.list("  "+line[0], line[1:])
			}
		}
	}
	w.making(p)
	w.cords(p)
	return w.out.Bytes()
}

type yamlWriter struct{ out bytes.Buffer }

func (w *yamlWriter) line(key, value string) {
	if value != "" {
		fmt.Fprintf(&w.out, "%s: %s\n", key, value)
	}
}

func (w *yamlWriter) text(key, value string) {
	if value != "" {
		w.line(key, scalar(value))
	}
}

func (w *yamlWriter) list(key string, items []string) {
	quoted := make([]string, len(items))
	for i, item := range items {
		quoted[i] = scalar(item)
	}
	w.line(key, "["+strings.Join(quoted, ", ")+"]")
}

func (w *yamlWriter) drafted(p *engine.Pattern, voc *engine.Vocabulary) {
	var parts []string
	if p.Cup != nil {
		parts = append(parts, "cup: "+scalar(p.Cup.Exact(p.Units)))
	}
	if p.Stretch != nil {
		parts = append(parts, "stretch: "+percentText(*p.Stretch))
	}
	for _, name := range voc.BodyNames() {
		if row := p.DraftedFor[name]; len(row) > 0 {
			parts = append(parts, name+": "+draftedText(p, row))
		}
	}
	if len(p.Slopes) > 0 {
		parts = append(parts, shoulderSlope+": "+slopesText(p.Slopes))
	}
	if len(parts) > 0 {
		w.line("drafted_for", "{"+strings.Join(parts, ", ")+"}")
	}
	if len(p.Has) > 0 {
		w.line("has", "["+strings.Join(p.Has, ", ")+"]")
	}
}

// draftedText is one figure, where it is the same in all sizes, or a figure to each.
func draftedText(p *engine.Pattern, row engine.Row) string {
	cells := make([]string, len(row))
	for i, c := range row {
		cells[i] = scalar(cellText(p, c))
	}
	if !slices.ContainsFunc(row, func(c engine.Cell) bool {
		return c.Low != row[0].Low || c.High != row[0].High || c.Known != row[0].Known
	}) && row[0].Low == row[0].High {
		return cells[0]
	}
	return "[" + strings.Join(cells, ", ") + "]"
}

// slopesText is one angle, where it is the same in all sizes, or an angle to each.
func slopesText(slopes []float64) string {
	texts := make([]string, len(slopes))
	for i, v := range slopes {
		texts[i] = strconv.FormatFloat(v, 'f', -1, 64) + " degrees"
	}
	if len(slices.Compact(slices.Clone(texts))) == 1 {
		return texts[0]
	}
	return "[" + strings.Join(texts, ", ") + "]"
}

func percentText(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " %" }

// making is what a print and a shop want to know.
func (w *yamlWriter) making(p *engine.Pattern) {
	if p.ForGirls {
		w.line("for_girls", "true")
	}
	if sq := p.TestSquare; sq != nil {
		parts := "should_be: " + scalar(sq.ShouldBe.Exact(p.Units))
		if sq.Printed != nil {
			parts += ", printed: " + scalar(sq.Printed.Exact(p.Units))
		}
		w.line("test_square", "{"+parts+"}")
	}
	if len(p.ClothNeeded) > 0 {
		w.out.WriteString("cloth_needed:\n")
	}
	for _, n := range p.ClothNeeded {
		cells := make([]string, len(n.Lengths))
		for i, c := range n.Lengths {
			cells[i] = scalar(cellText(p, c))
		}
		parts := "width: " + scalar(n.Width.Exact(p.Units)) + ", length: [" + strings.Join(cells, ", ") + "]"
		if n.Nap != nil {
			parts += ", nap: " + strconv.FormatBool(*n.Nap)
		}
		fmt.Fprintf(&w.out, "  - {%s}\n", parts)
	}
}

func (w *yamlWriter) cords(p *engine.Pattern) {
	if len(p.Cords) == 0 {
		return
	}
	w.out.WriteString("cords:\n")
	for _, c := range p.Cords {
		parts := []string{"where: " + c.Where, "toggle: " + strconv.FormatBool(c.Toggle)}
		if c.Free != nil {
			parts = append(parts, "free: "+scalar(c.Free.Exact(p.Units)))
		}
		if c.Loop != nil {
			parts = append(parts, "loop: "+scalar(c.Loop.Exact(p.Units)))
		}
		if !c.FreeEnds {
			parts = append(parts, "ends: none")
		}
		if c.Tacked != nil {
			parts = append(parts, "tacked: "+strconv.FormatBool(*c.Tacked))
		}
		fmt.Fprintf(&w.out, "  - {%s}\n", strings.Join(parts, ", "))
	}
}

// plain is a text that YAML reads as it stands, within brackets too.
var plain = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9A-Za-z](?:[0-9A-Za-z ./_-]*[0-9A-Za-z./_-])?$`) })

// scalar is a text as YAML has it. A gap is a ~.
func scalar(text string) string {
	switch {
	case text == "":
		return "~"
	case plain().MatchString(text) && !strings.EqualFold(text, "null"):
		return text
	}
	return strconv.Quote(text)
}
