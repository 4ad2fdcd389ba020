package file

import (
	"archive/zip"
	"bufio"
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"fitadvisor/explain/diag"
)

// A spreadsheet is a zip archive of XML files. It is read with the standard
// library, so that nothing is done for it when the program starts, and no part of
// it is unpacked beyond what a chart needs. The limits are on all that is looked at.
const (
	// MaxSheetBytes is the most that a spreadsheet may hold, packed.
	MaxSheetBytes  = 1 << 20
	mostUnpacked   = 8 << 20   // bytes
	mostParts      = 1000      // files in the archive
	mostNodes      = 150_000   // elements and their attributes
	mostBytesApart = 256 << 10 // of one tag or one text; a cell of 32,767 characters has fewer
	mostSheets     = 255
	mostFormats    = 1000   // of numbers
	longestFormat  = 255    // bytes
	mostCells      = 20_000 // that hold something, or are filled from one that spans them: 200 sizes by 100 measurements
)

// openSheet reads a sheet into lines of cells, which begin in column A. Cells know
// their names; what spans several cells stands in each. Where there is no such sheet,
// which is told, there are no lines, not even an empty list of them.
func openSheet(name string, data []byte, a Area) (*Doc, []line) {
	d := &Doc{name: name}
	b, err := openBook(data)
	if err == nil {
		err = b.readBook()
	}
	if err != nil {
		d.unreadableBook(err)
		return d, nil
	}
	at := slices.Index(b.names, a.Sheet)
	switch {
	case at < 0 && a.Sheet != "":
		a.problem(d, "there is no sheet "+quote(a.Sheet)+" in "+quote(name), "its sheets are: "+b.sheets(), "")
		return d, nil
	case at < 0 && len(b.names) != 1:
		a.problem(d, "there are several sheets in "+quote(name)+", and none is named", "write `sheet:` with one of: "+b.sheets(), "save the one you mean in a file by itself; its sheets are: "+b.sheets())
		return d, nil
	}
	at = max(at, 0)
	d.sheet = b.names[at]
	page, err := b.page(b.files[at])
	if err != nil {
		d.unreadableBook(err)
		return d, nil
	}
	rows, err := b.lines(d, page)
	if err != nil {
		d.unreadableBook(err)
		return d, nil
	}
	return d, rows
}

var (
	errTooLarge   = fmt.Errorf("a spreadsheet may have %d kB packed and %d kB unpacked", MaxSheetBytes>>10, mostUnpacked>>10)
	errTooMuch    = fmt.Errorf("a spreadsheet may have %d sheets, %d formats of numbers, and %d cells and what describes them", mostSheets, mostFormats, mostNodes)
	errTooManyFor = fmt.Errorf("a chart has at most %d cells to a line, %d lines and %d filled cells", mostColumns, mostRows, mostCells)
	errNoBook     = errors.New("it is no XLSX file that can be read")
)

func (d *Doc) unreadableBook(err error) {
	code, hint := noWorkbook, "open it in a spreadsheet program and save it as XLSX, or save the chart as CSV"
	told := errNoBook
	for _, large := range []error{errTooLarge, errTooMuch, errTooManyFor} {
		if errors.Is(err, large) {
			code, hint, told = tooLarge, "copy the chart into a new file, without pictures and formats", large
		}
	}
	d.Problem(diag.Range{File: d.name}, code, told.Error(), hint)
}

// book is the parts of a spreadsheet.
type book struct {
	parts  map[string]*zip.File
	left   int // bytes that may still be unpacked
	nodes  int // that may still be read
	names  []string
	files  []string  // of the sheets
	texts  []content // shared by all sheets
	styles []show    // of cells, by number
}

// show is how a number is shown.
type show int

const (
	asNumber show = iota
	asDate
	asPercent
	asUnknown // by a format that the workbook lacks
)

// sheets names the sheets, as many as a person reads.
func (b *book) sheets() string {
	const most = 12
	var out []string
	for _, name := range b.names[:min(most, len(b.names))] {
		out = append(out, quote(name))
	}
	if more := len(b.names) - most; more > 0 {
		out = append(out, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(out, ", ")
}

func openBook(data []byte) (*book, error) {
	if len(data) > MaxSheetBytes {
		return nil, errTooLarge
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	if len(z.File) > mostParts {
		return nil, errTooLarge
	}
	b := &book{parts: map[string]*zip.File{}, left: mostUnpacked, nodes: mostNodes}
	for _, f := range z.File {
		b.parts[f.Name] = f
	}
	return b, nil
}

// read unpacks one part into v. Whatever the archive says of its size, no more is
// unpacked, or made of it, than may be.
func (b *book) read(name string, v any) error {
	f := b.parts[name]
	if f == nil {
		return errNoBook
	}
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	in := &counted{Reader: bufio.NewReader(r), book: b}
	in.xml = xml.NewDecoder(in)
	all := xml.NewTokenDecoder(in)
	for err = all.Decode(v); err == nil; { // to the end, where the archive tells whether it is whole
		_, err = all.Token()
	}
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// counted is a part of a book that ends in an error where too much is in it.
type counted struct {
	*bufio.Reader
	book  *book
	xml   *xml.Decoder // of this reader
	apart int          // bytes since the last tag or text
}

// ReadByte is what the decoder reads by.
func (c *counted) ReadByte() (byte, error) {
	one, err := c.Reader.ReadByte()
	if err != nil {
		return 0, err
	}
	c.apart++
	if c.book.left--; c.book.left < 0 {
		return 0, errTooLarge
	}
	if c.apart > mostBytesApart {
		return 0, errTooMuch
	}
	return one, nil
}

// Token makes it an [xml.TokenReader].
func (c *counted) Token() (xml.Token, error) {
	c.apart = 0
	t, err := c.xml.RawToken()
	if start, ok := t.(xml.StartElement); ok {
		if c.book.nodes -= 1 + len(start.Attr); c.book.nodes < 0 {
			return nil, errTooMuch
		}
	}
	return t, err
}

// optional is [book.read] of a part that need not be there.
func (b *book) optional(name string, v any) error {
	if b.parts[name] == nil {
		return nil
	}
	return b.read(name, v)
}

// richText is a text, or pieces of one that look otherwise.
type richText struct {
	Text   string `xml:"t"`
	Pieces []struct {
		Text string `xml:"t"`
	} `xml:"r"`
}

// String is the text, as far as it goes to tell that it is too long.
func (r *richText) String() string {
	var out strings.Builder
	out.WriteString(r.Text)
	for i := 0; i < len(r.Pieces) && out.Len() <= longestText*utf8.UTFMax; i++ {
		out.WriteString(r.Pieces[i].Text)
	}
	text := out.String()
	return text[:min(len(text), longestText*utf8.UTFMax+1)]
}

func (b *book) readBook() error {
	var main struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		Links []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	var shared struct {
		Texts []richText `xml:"si"`
	}
	if err := errors.Join(b.read("xl/workbook.xml", &main), b.read("xl/_rels/workbook.xml.rels", &links),
		b.optional("xl/sharedStrings.xml", &shared), b.readStyles()); err != nil {
		return err
	}
	if len(main.Sheets) > mostSheets {
		return errTooMuch
	}
	targets := map[string]string{}
	for _, l := range links.Links {
		targets[l.ID] = l.Target
	}
	for _, s := range main.Sheets {
		target := targets[s.ID]
		if !strings.HasPrefix(target, "/") {
			target = "xl/" + target
		}
		b.names, b.files = append(b.names, s.Name), append(b.files, strings.TrimPrefix(path.Clean(target), "/"))
	}
	for i := range shared.Texts {
		b.texts = append(b.texts, textOf(shared.Texts[i].String()))
	}
	if len(b.names) == 0 {
		return errNoBook
	}
	return nil
}

// readStyles finds which cells show a date or a share.
func (b *book) readStyles() error {
	var sheet struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if err := b.optional("xl/styles.xml", &sheet); err != nil {
		return err
	}
	if len(sheet.Formats) > mostFormats {
		return errTooMuch
	}
	shown := map[int]show{}
	for _, f := range sheet.Formats {
		if len(f.Code) > longestFormat {
			return errTooMuch
		}
		shown[f.ID] = shownBy(f.Code)
	}
	for _, c := range sheet.Cells {
		how, own := shown[c.Format]
		if !own {
			how = shownAs(c.Format)
		}
		b.styles = append(b.styles, how)
	}
	return nil
}

// quotedInFormat is what a format shows as it stands, or in which colour.
var quotedInFormat = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`"[^"]*"|\\.|_.|\*.|\[[^\]]*\]`) })

// shownBy tells how a number format shows a number.
func shownBy(code string) show {
	code = strings.ToLower(quotedInFormat().ReplaceAllString(code, ""))
	code = strings.ReplaceAll(code, "general", "")
	switch {
	case strings.ContainsAny(code, "dmyhs"):
		return asDate
	case strings.Contains(code, "%"):
		return asPercent
	}
	return asNumber
}

// shownAs is [shownBy] of a format that every spreadsheet program knows by its number.
func shownAs(id int) show {
	const ownFrom = 164 // formats of the workbook begin here
	switch {
	case id >= 14 && id <= 22, id >= 27 && id <= 36, id >= 45 && id <= 47, id >= 50 && id <= 58:
		return asDate
	case id == 9, id == 10:
		return asPercent
	case id < 0, id >= ownFrom:
		return asUnknown
	}
	return asNumber
}

// sheetPage is the content of a sheet.
type sheetPage struct {
	Rows []struct {
		Line  int         `xml:"r,attr"`
		Cells []sheetCell `xml:"c"`
	} `xml:"sheetData>row"`
	Spans []struct {
		Of string `xml:"ref,attr"`
	} `xml:"mergeCells>mergeCell"`
}

type sheetCell struct {
	Name    string    `xml:"r,attr"`
	Type    string    `xml:"t,attr"`
	Style   string    `xml:"s,attr"`
	Values  []string  `xml:"v"`
	Formula *string   `xml:"f"`
	Inline  *richText `xml:"is"`
}

func (b *book) page(file string) (*sheetPage, error) {
	p := &sheetPage{}
	return p, b.read(file, p)
}

// lines lays out the cells of a sheet.
func (b *book) lines(d *Doc, p *sheetPage) ([]line, error) {
	g := grid{left: mostCells}
	number := 0
	for _, row := range p.Rows {
		if number++; row.Line > 0 {
			number = row.Line
		}
		at := diag.Pos{Line: number}
		for i := range row.Cells {
			at.Column++
			c := b.content(&row.Cells[i])
			switch named, ok := position(row.Cells[i].Name); {
			case ok && named.Line == number:
				at = named
			case row.Cells[i].Name != "":
				c = content{"", misnamedTag}
			}
			if c == nothing {
				continue
			}
			if g.at(at).Exists() {
				c = content{"", misnamedTag}
			}
			if !g.put(at, d.filled(at, c)) {
				return nil, errTooManyFor
			}
		}
	}
	for _, s := range p.Spans {
		if !g.spread(s.Of) {
			return nil, errTooManyFor
		}
	}
	out := []line{}
	for i, cells := range g.lines {
		if len(cells) > 0 {
			out = append(out, line{i + 1, cells})
		}
	}
	return out, nil
}

// grid is the cells of a sheet by line and column, each line as long as it has any,
// and how many more may be filled.
type grid struct {
	lines [][]Value
	left  int
}

// put fills a cell, if a chart may have so many.
func (g *grid) put(at diag.Pos, v Value) bool {
	if g.left--; g.left < 0 || at.Column > mostColumns || at.Line > mostRows {
		return false
	}
	for len(g.lines) < at.Line {
		g.lines = append(g.lines, nil)
	}
	cells := &g.lines[at.Line-1]
	for len(*cells) < at.Column {
		*cells = append(*cells, Value{})
	}
	(*cells)[at.Column-1] = v
	return true
}

func (g *grid) at(p diag.Pos) Value {
	if p.Line > len(g.lines) || p.Column > len(g.lines[p.Line-1]) {
		return Value{}
	}
	return g.lines[p.Line-1][p.Column-1]
}

// spread puts what spans several cells into each of them, as far as the sheet goes,
// if a chart may have so many.
func (g *grid) spread(of string) bool {
	from, to, _ := strings.Cut(of, ":")
	f, one := position(from)
	t, two := position(to)
	if !one || !two || !g.at(f).Exists() {
		return true
	}
	v := g.at(f)
	v.node.Anchor = of
	for line := f.Line; line <= min(t.Line, len(g.lines)); line++ {
		for column := f.Column; column <= min(t.Column, mostColumns); column++ {
			n := *v.node
			n.Line, n.Column = line, column
			if !g.put(diag.Pos{Line: line, Column: column}, Value{doc: v.doc, node: &n}) {
				return false
			}
		}
	}
	return true
}

// content is what a person sees in a cell, and by its tag what kind of thing that is.
type content struct{ text, tag string }

var nothing = content{"", nullTag}

const (
	nullTag = "!!null"
	textTag = "!!str"

	// Of cells that cannot be read.
	dateTag     = "!date"
	bareTag     = "!bare" // a formula whose value is not stored
	failedTag   = "!failed"
	lostTag     = "!lost"
	longTag     = "!long"
	misnamedTag = "!misnamed"
	formatTag   = "!format"
	oddTag      = "!odd"
)

// badCells is what is told of a cell that cannot be read.
var badCells = map[string]struct {
	code          diag.Code
	summary, hint string
}{
	dateTag:     {noWorkbook, "the cell holds a date", "a fraction or a range that is typed in may turn into one: set the cell to text and type it again"},
	bareTag:     {noWorkbook, "the cell holds a formula whose value is not stored", "open the file in a spreadsheet program and save it there"},
	failedTag:   {noWorkbook, "the cell shows an error", "open the file in a spreadsheet program, mend the formula, and save it there"},
	lostTag:     {noWorkbook, "what the cell holds cannot be read", "open the file in a spreadsheet program, type it again, and save it there"},
	misnamedTag: {noWorkbook, "the cell has no place in the sheet, or the place of another cell", "open the file in a spreadsheet program, look whether all is where it should be, and save it there"},
	formatTag:   {noWorkbook, "the cell's number has a format that the workbook lacks", "open the file in a spreadsheet program, set the cell to text, type it again, and save it there"},
	oddTag:      {notText, "the cell holds a character that cannot be seen, or turns the text round", "type the cell again"},
	longTag:     {tooLarge, fmt.Sprintf("a text of more than %d characters", longestText), "is it the right file?"},
}

// nothing is an empty cell.
func (d *Doc) nothing(line, column int) Value {
	return d.filled(diag.Pos{Line: line, Column: column}, nothing)
}

func (d *Doc) filled(at diag.Pos, c content) Value {
	return Value{doc: d, node: &yaml.Node{Kind: yaml.ScalarNode, Tag: c.tag, Value: c.text, Line: at.Line, Column: at.Column}}
}

// textOf is a text in a cell.
func textOf(text string) content {
	switch text = strings.TrimSpace(text); {
	case text == "":
		return nothing
	case utf8.RuneCountInString(text) > longestText:
		return content{"", longTag}
	case strings.ContainsFunc(text, oddHere):
		return content{"", oddTag}
	}
	return content{text, textTag}
}

// content is what a cell shows.
func (b *book) content(c *sheetCell) content {
	value := strings.Join(c.Values, "")
	switch {
	case len(c.Values) > 1, (c.Inline != nil) != (c.Type == "inlineStr"):
		return content{"", lostTag}
	case c.Inline != nil:
		return textOf(c.Inline.String())
	case c.Type == "str":
		return textOf(value)
	case value == "" && c.Formula != nil:
		return content{"", bareTag}
	case value == "" && (c.Type == "" || c.Type == "n"):
		return nothing
	}
	switch c.Type {
	case "", "n":
		return b.number(value, c.Style)
	case "s":
		if i, err := strconv.Atoi(value); err == nil && i >= 0 && i < len(b.texts) {
			return b.texts[i]
		}
	case "d":
		return content{"", dateTag}
	case "e":
		return content{"", failedTag}
	case "b":
		if shown := map[string]string{"1": "TRUE", "0": "FALSE"}[value]; shown != "" {
			return content{shown, textTag}
		}
	}
	return content{"", lostTag}
}

// decimals of a number that are read: what a sheet stores beyond them is the noise
// of computing.
const decimals = 5

// number is what a cell shows of a number in a style, which is named by its number.
func (b *book) number(stored, style string) content {
	stored = strings.TrimSpace(stored)
	v, err := strconv.ParseFloat(stored, 64)
	scale := math.Pow(10, decimals)
	if err != nil || strings.Trim(stored, "0123456789+-.eE") != "" || math.Abs(v) > math.MaxInt64/scale {
		return content{"", lostTag}
	}
	shown := func(v float64) string { return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64) }
	switch b.shown(style) {
	case asDate:
		return content{"", dateTag}
	case asPercent:
		return content{shown(v*100) + " %", textTag}
	case asUnknown:
		return content{"", formatTag}
	}
	return content{shown(v), textTag}
}

// shown is how a style shows a number. A workbook without styles has one that shows it as it stands.
func (b *book) shown(style string) show {
	i, err := strconv.Atoi(cmp.Or(style, "0"))
	switch {
	case err == nil && i == 0 && len(b.styles) == 0:
		return asNumber
	case err != nil || i < 0 || i >= len(b.styles):
		return asUnknown
	}
	return b.styles[i]
}

// tellUnreadable reports a cell that cannot be read.
func (v Value) tellUnreadable() {
	if v.node == nil {
		return
	}
	if told, bad := badCells[v.node.Tag]; bad {
		v.Problem(told.code, told.summary, told.hint)
		v.node.Tag = refused
	}
}
