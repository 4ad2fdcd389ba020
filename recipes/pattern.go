package recipes

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// ReadPattern takes a pattern file apart. Charts in files of their own are
// read from beside; their docs are returned, with their problems. The rest of
// the problems are left in the doc.
func ReadPattern(doc *file.Doc, voc *engine.Vocabulary, beside fs.FS) (*engine.Pattern, []*file.Doc) {
	p := &patternReader{reader: reader{doc, voc}, beside: beside}
	m := p.whole("pattern")
	if m == nil {
		return nil, nil
	}
	m.Need("recipe")
	return p.read(m), p.tables
}

type patternReader struct {
	reader
	beside  fs.FS
	sizes   []string
	at      diag.Range // of `sizes:`
	tables  []*file.Doc
	bare    quantity.Unit
	pattern *engine.Pattern
}

// read reads a pattern, from a file of its own or from within another.
func (p *patternReader) read(m *file.Map) *engine.Pattern {
	m.Get("kind").OneOf("pattern")
	out := &engine.Pattern{Maker: m.Get("maker").Text(), Name: m.Get("name").Text(), Recipe: m.Get("recipe").Text(), At: m.Range(),
		Chart: map[string]engine.Row{}, Finished: map[string]engine.Row{}, DraftedFor: map[string]quantity.Length{}}
	p.pattern = out
	out.Units = p.units(m.Get("units"))
	p.bare = out.Units
	p.draftedFor(m.Get("drafted_for"))
	out.Allowance = p.length(m.Get("seam_allowance"))
	sizes := m.Get("sizes")
	p.readSizes(sizes)
	p.rows(m.Need("body"), out.Chart, false)
	p.rows(m.Get("finished"), out.Finished, true)
	if len(p.sizes) == 0 && !sizes.Exists() {
		p.doc.Problem(m.Range(), "the pattern names no sizes", "add `sizes: [8, 10, 12]`, or a chart file with a size to each line")
	}
	m.Get("cords") // read with the safety rules of children's clothing
	m.Close("a pattern file")
	out.Sizes = p.sizes
	return out
}

// draftedFor reads what body the pattern was drafted for.
func (p *patternReader) draftedFor(v file.Value) {
	if !v.Exists() {
		return
	}
	m := v.Map()
	p.pattern.Cup = p.length(m.Get("cup"))
	p.pattern.Stretch = p.stretchOf(m.Get("stretch"))
	for _, name := range p.voc.BodyNames() {
		if p.voc.Measure(name).Kind != engine.Along || !m.Has(name) {
			continue
		}
		if l := p.length(m.Get(name)); l != nil {
			p.pattern.DraftedFor[name] = *l
		}
	}
	m.Close("`drafted_for`")
}

func (p *patternReader) readSizes(v file.Value) {
	if !v.Exists() {
		return
	}
	p.at = v.Range()
	seen := map[string]bool{}
	for _, item := range v.Items() {
		label := strings.TrimSpace(item.Text())
		if !item.Exists() || label == "" {
			item.Problem("a size without a name", "write each size as the pattern prints it")
			continue
		}
		if seen[label] {
			item.Problem("the size `"+label+"` is there twice", "name each size once")
		}
		seen[label] = true
		p.sizes = append(p.sizes, label)
	}
}

// rows reads rows of cells by measurement, or the name of a table beside the file.
func (p *patternReader) rows(v file.Value, into map[string]engine.Row, finished bool) {
	if !v.Exists() {
		return
	}
	if v.IsText() {
		p.table(v, into, finished)
		return
	}
	m := v.Map()
	for _, k := range m.Keys() {
		row := m.Get(k.Text())
		if !p.rowName(k, finished) {
			continue
		}
		if r, ok := p.row(k, row); ok {
			into[k.Text()] = r
		}
	}
}

func (p *patternReader) rowName(k file.Value, finished bool) bool {
	if finished {
		p.made(k)
		return p.voc.Measure(k.Text()) != nil
	}
	_, ok := p.measure(k)
	return ok
}

// row reads one row, as long as the sizes.
func (p *patternReader) row(key, v file.Value) (engine.Row, bool) {
	if !v.Exists() {
		return nil, false
	}
	items := v.Items()
	if len(items) != len(p.sizes) {
		if len(p.sizes) > 0 && v.IsList() {
			v.Problem(fmt.Sprintf("`%s` has %s, but there are %d sizes", key.Text(), cells(len(items)), len(p.sizes)), p.rowHint(items))
		}
		return nil, false
	}
	row := make(engine.Row, len(items))
	for i, item := range items {
		row[i] = p.cell(item)
	}
	return row, true
}

func cells(n int) string {
	if n == 1 {
		return "1 cell"
	}
	return fmt.Sprintf("%d cells", n)
}

// rowHint guesses at decimal commas, which split a value in two.
func (p *patternReader) rowHint(items []file.Value) string {
	if len(items) == 2*len(p.sizes) {
		return "if these are decimal commas, write 97.8 or quote the value"
	}
	return "give one cell to each size; write ~ for one you do not know"
}

// cell reads a single value or a range; an absent one is a gap.
func (p *patternReader) cell(v file.Value) engine.Cell {
	if !v.Exists() || strings.TrimSpace(v.Text()) == "-" {
		return engine.Cell{}
	}
	r, ok := v.LengthRange()
	switch {
	case !ok:
		return engine.Cell{}
	case !r.HasLow || !r.HasHigh:
		v.Problem("a chart cell cannot be open at one end", "write both ends, as in 26-27")
		return engine.Cell{}
	case r.Low <= 0:
		v.Problem("a chart cell is more than nothing, got `"+v.Text()+"`", "write ~ for a cell you do not know")
		return engine.Cell{}
	}
	return engine.Cell{Low: r.Low, High: r.High, Known: true, Text: v.Text(), At: v.Range()}
}

// table reads a CSV file beside the pattern: a size to each line under a
// header `size, waist, hip`, or a measurement to each line under a header
// `measurement, 8, 10, 12`.
func (p *patternReader) table(v file.Value, into map[string]engine.Row, finished bool) {
	if path.Ext(v.Text()) != ".csv" {
		v.Problem("expected rows of measurements, or the name of a CSV file beside this one", "as in `body: chart.csv`")
		return
	}
	name, data, ok := p.readBeside(v, p.beside)
	if !ok {
		return
	}
	doc, rows := file.OpenTable(name, data)
	doc.SetUnits(p.bare)
	p.tables = append(p.tables, doc)
	if len(rows) < 2 {
		if len(doc.Problems()) == 0 {
			doc.Problem(diag.Range{File: doc.Name()}, "the chart has no lines", "a header `size,waist,hip` and a line for each size")
		}
		return
	}
	q := &tableReader{patternReader: p, doc: doc, into: into, finished: finished}
	switch head := strings.ToLower(strings.TrimSpace(rows[0][0].Text())); head {
	case "size":
		q.bySize(rows)
	case "measurement":
		q.byMeasurement(rows)
	default:
		rows[0][0].Problem("the first cell of a chart is `size` or `measurement`, got `"+rows[0][0].Text()+"`", "`size` for a line to each size, `measurement` for a line to each measurement")
	}
}

// tableReader reads one CSV chart into rows.
type tableReader struct {
	*patternReader
	doc      *file.Doc
	into     map[string]engine.Row
	finished bool
}

// bySize reads a size to each line.
func (q *tableReader) bySize(rows [][]file.Value) {
	lines := rows[1:]
	labels := make([]file.Value, len(lines))
	for i, line := range lines {
		labels[i] = line[0]
		if len(line) != len(rows[0]) {
			line[0].Problem(fmt.Sprintf("this line has %s, the header %d", cells(len(line)), len(rows[0])), q.commaHint(len(line), len(rows[0])))
			return
		}
	}
	place, ok := q.places(labels)
	if !ok {
		return
	}
	for k, key := range rows[0][1:] {
		if !q.column(key) {
			continue
		}
		row := make(engine.Row, len(q.sizes))
		for i, line := range lines {
			row[place[i]] = q.cell(line[k+1])
		}
		q.into[strings.TrimSpace(key.Text())] = row
	}
}

// byMeasurement reads a measurement to each line.
func (q *tableReader) byMeasurement(rows [][]file.Value) {
	place, ok := q.places(rows[0][1:])
	if !ok {
		return
	}
	for _, line := range rows[1:] {
		if len(line) != len(rows[0]) {
			line[0].Problem(fmt.Sprintf("this line has %s, the header %d", cells(len(line)), len(rows[0])), q.commaHint(len(line), len(rows[0])))
			continue
		}
		if !q.column(line[0]) {
			continue
		}
		row := make(engine.Row, len(q.sizes))
		for i, c := range line[1:] {
			row[place[i]] = q.cell(c)
		}
		q.into[strings.TrimSpace(line[0].Text())] = row
	}
}

func (q *tableReader) commaHint(got, want int) string {
	if got > want {
		return "if these are decimal commas, write 97.8 or quote the value"
	}
	return "leave a cell empty where you do not know the value, but keep its comma"
}

func (q *tableReader) column(key file.Value) bool { return q.rowName(key, q.finished) }

// places finds each label's place among the sizes; without `sizes:` the first
// table names them.
func (q *tableReader) places(labels []file.Value) ([]int, bool) {
	fresh := len(q.sizes) == 0
	place := make([]int, len(labels))
	seen := map[string]bool{}
	ok := true
	for i, l := range labels {
		label := strings.TrimSpace(l.Text())
		at := slices.Index(q.sizes, label)
		switch {
		case label == "" || seen[label]:
			l.Problem("expected a size of its own, got `"+label+"`", "name each size once")
			ok = false
		case fresh:
			q.sizes = append(q.sizes, label)
			at = i
		case at < 0:
			l.Problem("the pattern has no size `"+label+"`", "its sizes are: "+strings.Join(q.sizes, ", "))
			ok = false
		}
		seen[label], place[i] = true, at
	}
	return place, ok
}
