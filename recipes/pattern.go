package recipes

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
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
	tables  []*file.Doc
	bare    quantity.Unit
	pattern *engine.Pattern

	chartOnly bool // pieces are left alone: they are what asks
}

// read reads a pattern, from a file of its own or from within another.
func (p *patternReader) read(m *file.Map) *engine.Pattern {
	m.Get("kind").OneOf("pattern")
	out := &engine.Pattern{Maker: m.Get("maker").Text(), Name: m.Get("name").Text(), Recipe: m.Get("recipe").Text(), At: m.Range(),
		Chart: map[string]engine.Row{}, Finished: map[string]engine.Row{}, DraftedFor: map[string]engine.Row{}}
	p.pattern = out
	p.besides(out.Recipe)
	out.Units = p.units(m.Get("units"))
	p.bare = out.Units
	out.Measurements = append(out.Measurements, p.declared(m.Get(declaring), out.Name)...)
	out.Has = features(m.Get("has"))
	out.LengthenAt = p.lengthenAt(m.Get("lengthen_at"))
	out.Allowance = p.length(m.Get("seam_allowance"))
	sizes := m.Get("sizes")
	p.readSizes(sizes)
	chart := m.Get("body")
	switch {
	case !chart.Exists(), chart.IsMap() && !slices.ContainsFunc(chart.Map().Keys(), func(k file.Value) bool { return chart.Map().Get(k.Text()).Exists() }):
		p.doc.Problem(m.Range(), NoChart, "the pattern has no size chart", "add `body:` with a row for each measurement, as in `hip: [36, 37, 38 1/2]`")
	case chart.IsMap() && !chart.Map().Has("file") && !sizes.Exists():
		p.doc.Problem(m.Range(), sizesMissing, noSizes, noSizesHint)
	}
	out.RecipeAt, out.ChartAt = m.Get("recipe").Range(), chart.Range()
	p.rows(chart, out.Chart, false)
	p.rows(m.Get("finished"), out.Finished, true)
	p.draftedFor(m.Get("drafted_for"))
	out.Lacing = p.laced(m.Get("lacing"))
	p.pieces(m.Get("pieces"))
	out.ForGirls, _ = m.Get("for_girls").Bool()
	for _, v := range m.Get("cords").Items() {
		out.Cords = append(out.Cords, p.cord(v))
	}
	out.TestSquare = p.testSquare(m.Get("test_square"))
	for _, v := range m.Get("cloth_needed").Items() {
		if n, ok := p.clothNeed(v); ok {
			out.ClothNeeded = append(out.ClothNeeded, n)
		}
	}
	m.Close("a pattern file")
	out.Sizes = p.sizes
	return out
}

// besides makes known what a garment type beside the pattern declares.
func (p *patternReader) besides(recipe string) {
	if path.Ext(recipe) != ".yaml" || cannotBeBeside(recipe, p.beside == nil) != nil {
		return
	}
	data, err := file.ReadFile(p.beside, path.Clean(recipe), file.MaxBytes)
	if err != nil || !declares(data) {
		return // what is wrong is told where the type is read
	}
	r := &reader{file.Open(path.Join(path.Dir(p.doc.Name()), recipe), data), p.voc}
	if root := r.doc.Root(); root.IsMap() {
		p.pattern.Measurements = r.declared(root.Map().Get(declaring), root.Map().Get("name").Text())
		p.voc = r.voc
	}
}

// lengthenAt reads where the maker drew lines to lengthen or shorten, in words.
func (p *patternReader) lengthenAt(v file.Value) map[string][]string {
	if !v.Exists() {
		return nil
	}
	m, out := v.Map(), map[string][]string{}
	for _, part := range engine.LengthenedParts() {
		for _, place := range m.Get(part).Each() {
			if text := place.Text(); text != "" {
				out[part] = append(out[part], text)
			}
		}
	}
	m.Close("`lengthen_at`")
	return out
}

// laced reads that a garment closes by lacing, in place of what its type says.
func (p *patternReader) laced(v file.Value) *engine.Closure {
	if !v.Exists() {
		return nil
	}
	m := v.Map()
	c := &engine.Closure{Kind: "lacing", From: p.made(m.Need("from")), Towards: p.made(m.Need("towards"))}
	m.Need("gap")
	c.Lacing = p.lacing(m)
	m.Close("`lacing`")
	if c.Lacing == nil {
		return nil
	}
	return c
}

// cord reads one cord of a child's garment.
func (p *patternReader) cord(v file.Value) engine.Cord {
	m := v.Map()
	c := engine.Cord{At: m.Range(), FreeEnds: true, Free: p.length(m.Get("free")), Loop: p.length(m.Get("loop"))}
	c.Where, _ = m.Need("where").OneOf("hood", "neck", "waist", "hem", "ankle", "wrist", "back")
	c.Toggle, _ = m.Get("toggle").Bool()
	if ends, ok := m.Get("ends").OneOf("free", "none"); ok {
		c.FreeEnds = ends == "free"
	}
	if tacked, ok := m.Get("tacked").Bool(); ok {
		c.Tacked = &tacked
	}
	m.Close("a cord")
	return c
}

// draftedFor reads what body the pattern was drafted for.
func (p *patternReader) draftedFor(v file.Value) {
	if !v.Exists() {
		return
	}
	m := p.byMeasure(v)
	p.pattern.Cup = p.length(m.Get("cup"))
	p.pattern.Stretch = p.stretchOf(m.Get("stretch"))
	for _, name := range p.voc.BodyNames() {
		if kind := p.voc.Measure(name).Kind; kind != engine.Along && kind != engine.Across {
			continue
		}
		if r, ok := p.draftedRow(name, m.Get(name)); ok {
			p.pattern.DraftedFor[name] = r
		}
	}
	p.slopes(m.Get(shoulderSlope))
	m.Close("`drafted_for`")
}

// slopes reads how the shoulder of each size was drafted to fall: how far over its length, or at which angle.
func (p *patternReader) slopes(v file.Value) {
	items := v.Each()
	switch {
	case !v.Exists():
		return
	case !v.IsList():
		items = slices.Repeat([]file.Value{v}, len(p.sizes))
	case len(items) != len(p.sizes):
		p.row(shoulderSlope, v) // which tells it
		return
	}
	for s, item := range items {
		var along quantity.Length
		for _, rows := range []map[string]engine.Row{p.pattern.DraftedFor, p.pattern.Chart} {
			if row := rows[shoulderLength]; row != nil {
				along = (row[s].Low + row[s].High) / 2
			}
		}
		p.pattern.Slopes = append(p.pattern.Slopes, p.slope(item, along))
	}
}

// draftedRow reads a length of the body that each size was drafted for; one figure holds for all sizes.
func (p *patternReader) draftedRow(name string, v file.Value) (engine.Row, bool) {
	if v.IsList() {
		return p.row(name, v)
	}
	l := p.length(v)
	if l == nil {
		return nil, false
	}
	cell := engine.Cell{Low: *l, High: *l, Known: true, Text: v.Text(), At: v.Range()}
	return slices.Repeat(engine.Row{cell}, len(p.sizes)), true
}

func (p *patternReader) readSizes(v file.Value) {
	if !v.Exists() {
		return
	}
	seen := map[string]bool{}
	items := v.Cells()
	if p.tooManySizes(v, len(items)) {
		return
	}
	for _, item := range items {
		label := strings.TrimSpace(item.Text())
		switch {
		case label == "":
			item.Problem(nameless, sizeWithoutName, sizeHint)
		case seen[label]:
			item.Problem(thereTwice, "the size `"+label+"` is there twice", "name each size once")
		}
		seen[label] = true
		p.sizes = append(p.sizes, label)
	}
	if len(p.sizes) == 0 && v.IsList() {
		v.Problem(sizesMissing, noSizes, noSizesHint)
	}
}

// tooManySizes refuses more sizes than any pattern has.
func (r *reader) tooManySizes(v file.Value, n int) bool {
	most := r.voc.Limits.MostSizes
	if n > most {
		v.Problem(tooMany, fmt.Sprintf("there are %d sizes; at most %d are read", n, most), "split the pattern into several files")
	}
	return n > most
}

const (
	sizeWithoutName = "a size without a name"
	sizeHint        = "write each size as the pattern prints it"
	noSizes         = "the pattern names no sizes"
	noSizesHint     = "add `sizes: [8, 10, 12]`, or a chart file with a size to each line"
)

// rows reads rows of cells by measurement, or the name of a table beside the file.
func (p *patternReader) rows(v file.Value, into map[string]engine.Row, finished bool) {
	if !v.Exists() {
		return
	}
	if v.IsText() {
		p.table(v, file.Whole(v), into, finished)
		return
	}
	m := v.Map()
	if m.Has("file") {
		named := m.Need("file")
		area, ok := m.Area()
		m.Close("a table beside the pattern")
		if named.Text(); named.IsText() && ok {
			p.table(named, area, into, finished)
		}
		return
	}
	m.ReadAs(p.voc.Called)
	for _, k := range m.Keys() {
		row := m.Get(k.Text())
		if !p.rowName(k, finished) {
			continue
		}
		if r, ok := p.row(k.Text(), row); ok {
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

// row reads one row, as long as the sizes; one of nothing but gaps is none.
func (p *patternReader) row(name string, v file.Value) (engine.Row, bool) {
	if !v.Exists() {
		return nil, false
	}
	items := v.Cells()
	if len(items) != len(p.sizes) {
		if len(p.sizes) > 0 && v.IsList() {
			v.Problem(unevenRow, fmt.Sprintf("`%s` has %s, but the pattern has %s", name, cells(len(items)), engine.CountOf(len(p.sizes), "size")), p.rowHint(items))
		}
		return nil, false
	}
	row := make(engine.Row, len(items))
	for i, item := range items {
		row[i] = p.cell(item)
	}
	return row, slices.ContainsFunc(row, func(c engine.Cell) bool { return c.Known })
}

func cells(n int) string { return engine.CountOf(n, "cell") }

// rowHint guesses at decimal commas, which split a value in two.
func (p *patternReader) rowHint(items []file.Value) string {
	if len(p.sizes) == 1 {
		return "name each size, as in `S, M, L`"
	}
	if len(items) > len(p.sizes) {
		return oneCellEach + "; " + pointHint
	}
	return oneCellEach + "; write ~ for one you do not know"
}

const (
	oneCellEach = "give one cell to each size"
	pointHint   = "if these are decimal commas, write them in quotes or with points, as in '97,8' or 97.8"
	gapHint     = "write ~ for a cell you do not know"
)

// cell reads a single value or a range; an absent one is a gap.
func (p *patternReader) cell(v file.Value) engine.Cell {
	if !v.Exists() || v.IsText() && !p.hasNumber(v) {
		return engine.Cell{}
	}
	r, ok := v.LengthRange()
	switch {
	case !ok:
		return engine.Cell{}
	case !r.HasLow || !r.HasHigh:
		v.Problem(badCell, "a chart cell cannot be open at one end", "write both ends, as in 26-27")
		return engine.Cell{}
	case r.Low <= 0:
		v.Problem(belowNothing, "a chart cell is more than nothing, got `"+v.Text()+"`", gapHint)
		return engine.Cell{}
	}
	return engine.Cell{Low: r.Low, High: r.High, Known: true, Text: withUnit(v, p.bare), At: v.Range()}
}

// withUnit is a cell as it was typed, with the unit that its heading or its table gave it where that is not the one of the file
// that it is written into.
func withUnit(v file.Value, own quantity.Unit) string {
	if _, bare := quantity.ParseRange(v.Text(), ""); bare == nil || v.Unit() == own {
		return v.Text()
	}
	return v.Text() + " " + string(v.Unit())
}

// gaps mark a cell that is not known; in a table an empty cell does too.
var gaps = []string{"-", "–", "—", "~"}

// hasNumber tells a cell that can be read from a gap.
func (p *patternReader) hasNumber(v file.Value) bool {
	switch text := v.Text(); {
	case slices.Contains(gaps, strings.TrimSpace(text)):
		return false
	case tellDate(v):
		return false
	case strings.Contains(text, "\n"):
		v.Problem(badCell, "a cell runs on into the next line", "close its quote, or write it without quotes")
		return false
	case !strings.ContainsFunc(text, unicode.IsNumber):
		v.Problem(badCell, "`"+text+"` is no measurement", gapHint)
		return false
	}
	return true
}
