package file

import (
	"archive/zip"
	"bytes"
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
// it is unpacked beyond what a chart needs.
const (
	// MaxSheetBytes is the most that a spreadsheet may hold, packed.
	MaxSheetBytes = 1 << 20
	mostUnpacked  = 8 << 20 // of all that is looked at
	mostParts     = 1000    // files in the archive
)

// openSheet reads a sheet into lines of cells, which begin in column A. Cells know
// their names; what spans several cells stands in each.
func openSheet(name string, data []byte, sheet string) (*Doc, []line) {
	d := &Doc{name: name}
	b, err := openBook(data)
	if err == nil {
		err = b.readBook()
	}
	if err != nil {
		d.unreadableBook(err)
		return d, nil
	}
	at := slices.Index(b.names, sheet)
	switch {
	case at < 0 && sheet != "":
		d.Problem(diag.Range{File: name}, noArea, "there is no sheet "+quote(sheet), "its sheets are: "+strings.Join(b.names, ", "))
		return d, nil
	case at < 0 && len(b.names) != 1:
		d.Problem(diag.Range{File: name}, noArea, "there are several sheets, and none is named", "write `sheet:` with one of: "+strings.Join(b.names, ", "))
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
	errTooManyFor = fmt.Errorf("a chart has at most %d cells to a line and %d lines", mostColumns, mostRows)
	errNoBook     = errors.New("it is no XLSX file that can be read")
)

func (d *Doc) unreadableBook(err error) {
	code, hint := noWorkbook, "open it in a spreadsheet program and save it as XLSX, or save the chart as CSV"
	if errors.Is(err, errTooLarge) || errors.Is(err, errTooManyFor) {
		code, hint = tooLarge, "copy the chart into a file of its own, without pictures"
	} else {
		err = errNoBook
	}
	d.Problem(diag.Range{File: d.name}, code, err.Error(), hint)
}

// book is the parts of a spreadsheet.
type book struct {
	parts  map[string]*zip.File
	left   int64 // that may still be unpacked
	names  []string
	files  []string // of the sheets
	texts  []string // shared by all sheets
	styles []show   // of cells, by number
}

// show is how a number is shown.
type show int

const (
	asNumber show = iota
	asDate
	asPercent
)

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
	b := &book{parts: map[string]*zip.File{}, left: mostUnpacked}
	for _, f := range z.File {
		b.parts[f.Name] = f
	}
	return b, nil
}

// read unpacks one part into v. Whatever the archive says of its size, no more is
// unpacked than may be.
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
	text, err := io.ReadAll(io.LimitReader(r, b.left+1))
	if b.left -= int64(len(text)); b.left < 0 {
		return errTooLarge
	}
	if err != nil {
		return err
	}
	return xml.Unmarshal(text, v)
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

func (r *richText) String() string {
	out := r.Text
	for _, p := range r.Pieces {
		out += p.Text
	}
	return out
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
		b.texts = append(b.texts, shared.Texts[i].String())
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
	codes := map[int]string{}
	for _, f := range sheet.Formats {
		codes[f.ID] = f.Code
	}
	for _, c := range sheet.Cells {
		b.styles = append(b.styles, shownAs(c.Format, codes[c.Format]))
	}
	return nil
}

// quotedInFormat is what a format shows as it stands, or in which colour.
var quotedInFormat = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`"[^"]*"|\\.|_.|\*.|\[[^\]]*\]`) })

// shownAs tells how a number format shows a number. Formats without a code are the
// program's own, by their numbers.
func shownAs(id int, code string) show {
	code = strings.ToLower(quotedInFormat().ReplaceAllString(code, ""))
	code = strings.ReplaceAll(code, "general", "")
	switch {
	case id >= 14 && id <= 22, id >= 27 && id <= 36, id >= 45 && id <= 47, id >= 50 && id <= 58, strings.ContainsAny(code, "dmyhs"):
		return asDate
	case id == 9, id == 10, strings.Contains(code, "%"):
		return asPercent
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
	Style   int       `xml:"s,attr"`
	Value   *string   `xml:"v"`
	Formula *string   `xml:"f"`
	Inline  *richText `xml:"is"`
}

func (b *book) page(file string) (*sheetPage, error) {
	p := &sheetPage{}
	return p, b.read(file, p)
}

// lines lays out the cells of a sheet.
func (b *book) lines(d *Doc, p *sheetPage) ([]line, error) {
	var g grid
	number := 0
	for _, row := range p.Rows {
		if number++; row.Line > 0 {
			number = row.Line
		}
		at := diag.Pos{Line: number}
		for i := range row.Cells {
			at.Column++
			if named, ok := position(row.Cells[i].Name); ok {
				at = named
			}
			v := b.value(d, at, &row.Cells[i])
			if v.node.Tag == nullTag {
				continue
			}
			if at.Column > mostColumns || at.Line > mostRows {
				return nil, errTooManyFor
			}
			g.put(at, v)
		}
	}
	left := mostSpread
	for _, s := range p.Spans {
		if left = g.spread(s.Of, left); left < 0 {
			return nil, errTooManyFor
		}
	}
	var out []line
	for i, cells := range g {
		if len(cells) > 0 {
			out = append(out, line{i + 1, cells})
		}
	}
	return out, nil
}

// grid is the cells of a sheet by line and column, each line as long as it has any.
type grid [][]Value

func (g *grid) put(at diag.Pos, v Value) {
	for len(*g) < at.Line {
		*g = append(*g, nil)
	}
	cells := &(*g)[at.Line-1]
	for len(*cells) < at.Column {
		*cells = append(*cells, Value{})
	}
	(*cells)[at.Column-1] = v
}

func (g grid) at(p diag.Pos) Value {
	if p.Line > len(g) || p.Column > len(g[p.Line-1]) {
		return Value{}
	}
	return g[p.Line-1][p.Column-1]
}

// mostSpread is how many cells may be filled from others that span them.
const mostSpread = 20_000

// spread puts what spans several cells into each of them, as far as the sheet
// goes, and returns how many more may be filled.
func (g *grid) spread(of string, left int) int {
	from, to, _ := strings.Cut(of, ":")
	f, one := position(from)
	t, two := position(to)
	if !one || !two || !g.at(f).Exists() {
		return left
	}
	v := g.at(f)
	v.node.Anchor = of
	for line := f.Line; line <= min(t.Line, len(*g)); line++ {
		for column := f.Column; column <= min(t.Column, mostColumns); column++ {
			if left--; left < 0 {
				return left
			}
			n := *v.node
			n.Line, n.Column = line, column
			g.put(diag.Pos{Line: line, Column: column}, Value{v.doc, &n})
		}
	}
	return left
}

const (
	nullTag = "!!null"
	dateTag = "!date"  // a cell that shows a date
	bareTag = "!empty" // a formula whose value is not stored
)

// nothing is an empty cell.
func (d *Doc) nothing(line, column int) Value {
	return Value{d, &yaml.Node{Kind: yaml.ScalarNode, Tag: nullTag, Line: line, Column: column}}
}

// value makes a value of a cell: what a person sees in it.
func (b *book) value(d *Doc, at diag.Pos, c *sheetCell) Value {
	v := d.nothing(at.Line, at.Column)
	text, tag := b.text(c)
	if text = strings.TrimSpace(text); text != "" || tag != "!!str" {
		v.node.Value, v.node.Tag = text, tag
	}
	if utf8.RuneCountInString(text) > longestText {
		v.node.Value, v.node.Tag = "", refused
		d.Problem(v.Range(), tooLarge, fmt.Sprintf("a text of more than %d characters", longestText), "is it the right file?")
	}
	return v
}

// text is what a cell shows, and what kind of thing that is.
func (b *book) text(c *sheetCell) (text, tag string) {
	switch {
	case c.Inline != nil:
		return c.Inline.String(), "!!str"
	case c.Formula != nil && (c.Value == nil || *c.Value == "" && c.Type != "str"):
		return "", bareTag
	case c.Value == nil:
		return "", "!!str"
	case c.Type == "s":
		i, err := strconv.Atoi(*c.Value)
		if err != nil || i < 0 || i >= len(b.texts) {
			return "", "!!str"
		}
		return b.texts[i], "!!str"
	case c.Type == "d":
		return *c.Value, dateTag
	case c.Type == "b":
		return map[string]string{"1": "TRUE", "0": "FALSE"}[*c.Value], "!!str"
	case c.Type != "" && c.Type != "n":
		return *c.Value, "!!str"
	}
	return b.number(*c.Value, c.Style)
}

// decimals of a number that are read: what a sheet stores beyond them is the noise
// of computing.
const decimals = 5

func (b *book) number(stored string, style int) (text, tag string) {
	v, err := strconv.ParseFloat(strings.TrimSpace(stored), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return stored, "!!str"
	}
	shown := func(v float64) string {
		scale := math.Pow(10, decimals)
		return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64)
	}
	if style >= 0 && style < len(b.styles) {
		switch b.styles[style] {
		case asDate:
			return shown(v), dateTag
		case asPercent:
			return shown(v*100) + " %", "!!str"
		}
	}
	return shown(v), "!!str"
}

// tellUnreadable reports a cell that shows what cannot be meant, or nothing.
func (v Value) tellUnreadable() {
	if v.node == nil {
		return
	}
	switch v.node.Tag {
	case dateTag:
		v.Problem(noWorkbook, "the cell holds a date", "a fraction or a range that is typed in may turn into one: set the cell to text and type it again")
	case bareTag:
		v.Problem(noWorkbook, "the cell holds a formula whose value is not stored", "open the file in a spreadsheet program and save it there")
	default:
		return
	}
	v.node.Tag = refused
}
