package recipes

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
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
	voc = voc.For(p, nil)
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
// in it. It fails where a text is one that no file can hold.
func WriteYAML(p *engine.Pattern, voc *engine.Vocabulary) ([]byte, error) {
	voc = voc.For(p, nil)
	w := &patternWriter{p: p}
	w.Text("kind", "pattern")
	w.Text("maker", p.Maker)
	w.Text("name", p.Name)
	w.Text("recipe", p.Recipe)
	w.Text("units", string(p.Units))
	w.declarations(voc)
	w.draft(voc)
	w.length("seam_allowance", p.Allowance)
	w.List("sizes", p.Sizes)
	for _, of := range []engine.Part{engine.OfBody, engine.OfFinished} {
		w.Below(string(of), func() {
			for _, line := range tableOf(p, of, voc)[1:] {
				w.List(line[0], line[1:])
			}
		})
	}
	w.making()
	w.lacing()
	w.cords()
	return w.Bytes()
}

type patternWriter struct {
	file.Writer
	p *engine.Pattern
}

func (w *patternWriter) length(key string, l *quantity.Length) {
	if l != nil {
		w.Text(key, l.Exact(w.p.Units))
	}
}

func (w *patternWriter) flag(key string, v *bool) {
	if v != nil {
		w.Text(key, strconv.FormatBool(*v))
	}
}

func (w *patternWriter) cells(key string, row engine.Row) {
	texts := make([]string, len(row))
	for i, c := range row {
		texts[i] = cellText(w.p, c)
	}
	w.List(key, texts)
}

// declarations writes the measurements that the pattern itself declares.
func (w *patternWriter) declarations(voc *engine.Vocabulary) {
	w.Below(declaring, func() {
		for _, m := range w.p.Measurements {
			if m.At.File != w.p.At.File {
				continue // the garment type beside it has them
			}
			w.Below(m.Name, func() {
				w.Text("title", m.Title)
				w.Text("kind", string(m.Kind))
				w.Text("how", m.How)
				w.Text("level", m.By)
				w.List("also", m.Also)
				if usual := voc.Placed(engine.Measure{Kind: m.Kind}, m.By); m.TapeError != usual.TapeError {
					w.Text("tape_error", m.TapeError.Exact(w.p.Units))
				}
				if m.Most > 0 {
					w.Text("between", m.Least.Exact(w.p.Units)+" .. "+m.Most.Exact(w.p.Units))
				}
				w.Text("source", m.Source)
			})
		}
	})
}

func (w *patternWriter) draft(voc *engine.Vocabulary) {
	w.Below("drafted_for", func() {
		w.length("cup", w.p.Cup)
		if w.p.Stretch != nil {
			w.Text("stretch", strconv.FormatFloat(*w.p.Stretch, 'f', -1, 64)+" %")
		}
		for _, name := range voc.BodyNames() {
			if row := w.p.DraftedFor[name]; len(row) > 0 && oneFigure(row) {
				w.Text(name, cellText(w.p, row[0]))
			} else {
				w.cells(name, row)
			}
		}
		w.slopes()
	})
	w.List("has", w.p.Has)
	w.Below("lengthen_at", func() {
		for _, part := range engine.LengthenedParts() {
			w.List(part, w.p.LengthenAt[part])
		}
	})
}

// slopes is one angle, where it is the same in all sizes, or an angle to each.
func (w *patternWriter) slopes() {
	texts := make([]string, len(w.p.Slopes))
	for i, v := range w.p.Slopes {
		texts[i] = strconv.FormatFloat(v, 'f', -1, 64) + " degrees"
	}
	if len(slices.Compact(slices.Clone(texts))) == 1 {
		w.Text(shoulderSlope, texts[0])
	} else {
		w.List(shoulderSlope, texts)
	}
}

// oneFigure tells whether a row has one figure for all sizes.
func oneFigure(row engine.Row) bool {
	return row[0].Low == row[0].High && !slices.ContainsFunc(row, func(c engine.Cell) bool {
		return c.Low != row[0].Low || c.High != row[0].High || c.Known != row[0].Known
	})
}

// making is what a print and a shop want to know.
func (w *patternWriter) making() {
	if w.p.ForGirls {
		w.Text("for_girls", "true")
	}
	if sq := w.p.TestSquare; sq != nil {
		w.Below("test_square", func() {
			w.length("should_be", &sq.ShouldBe)
			w.length("printed", sq.Printed)
		})
	}
	w.Below("cloth_needed", func() {
		for _, n := range w.p.ClothNeeded {
			w.Item(func() {
				w.length("width", &n.Width)
				w.cells("length", n.Lengths)
				w.flag("nap", n.Nap)
			})
		}
	})
}

func (w *patternWriter) lacing() {
	c := w.p.Lacing
	if c == nil {
		return
	}
	w.Below("lacing", func() {
		w.Text("from", c.From)
		w.Text("towards", c.Towards)
		w.length("gap", &c.Lacing.Gap)
		w.length("least", &c.Lacing.Least)
		w.length("most", &c.Lacing.Most)
	})
}

func (w *patternWriter) cords() {
	w.Below("cords", func() {
		for _, c := range w.p.Cords {
			w.Item(func() {
				w.Text("where", c.Where)
				w.flag("toggle", &c.Toggle)
				w.length("free", c.Free)
				w.length("loop", c.Loop)
				if !c.FreeEnds {
					w.Text("ends", "none")
				}
				w.flag("tacked", c.Tacked)
			})
		}
	})
}
