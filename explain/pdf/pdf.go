// Package pdf writes an explain.Document as a printable PDF: A4 or Letter, text
// that can be selected, drawings as lines. Use [Write]. The same document gives the
// same bytes.
package pdf

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
	"fitadvisor/explain/internal/columns"
)

// Options says what the document is called and what it is printed on.
type Options struct {
	Title string        // its first heading and its name; empty: none
	Paper explain.Paper // empty: [explain.A4]
	Sheet bool          // it says itself what it is: the title is no heading
	Foot  string        // at the foot of every page, before its number; empty: none
}

// The measures of a page, in points.
const (
	edge     = 36.0 // margins: half an inch, what household printers reach
	title    = 16.0 // heights of letters
	heading  = 12.0
	words    = 9.2
	notes    = 8.2
	atTable  = 11.0 // words on a sheet to work by
	leading  = 1.25 // from line to line, as a multiple of the height
	apart    = 5.0  // between two blocks
	above    = 7.0  // more, above a heading
	gap      = 12.0 // between two columns
	least    = 24.0 // of a column
	keep     = 60.0 // that must follow a heading on its page
	indent   = 12.0 // of what belongs to a claim
	together = 0.6  // of a page: what is no higher is not parted
)

// Write writes the document.
func Write(w io.Writer, d *explain.Document, o Options) error {
	p, err := newPrinter(o)
	if err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	if o.Title != "" && !o.Sheet {
		p.paragraph(style{height: title, bold: true, ink: draw.Light.Ink}, o.Title)
	}
	for _, b := range d.Blocks {
		if err := p.block(b); err != nil {
			return fmt.Errorf("pdf: %w", err)
		}
	}
	return p.Output(w)
}

// printer fills pages from top to bottom.
type printer struct {
	*fpdf.Fpdf
	fonts
	y, width, bottom float64
	left             float64 // of the column that is written
	plain, quiet     style
	fixed            style
}

// style is how words look.
type style struct {
	height     float64
	bold, mono bool
	ink        draw.Color
}

func newPrinter(o Options) (*printer, error) {
	paper := string(o.Paper)
	if paper == "" {
		paper = string(explain.A4)
	}
	p := &printer{Fpdf: fpdf.New("P", "pt", paper, ""), left: edge, plain: style{height: words, ink: draw.Light.Ink}, quiet: style{height: notes, ink: draw.Light.Quiet}}
	if o.Sheet {
		p.plain.height, p.quiet.height = atTable, atTable-1
	}
	p.fixed = style{height: p.quiet.height, mono: true, ink: draw.Light.Ink}
	p.SetCatalogSort(true)
	p.SetCreationDate(time.Unix(0, 0).UTC())
	p.SetModificationDate(time.Unix(0, 0).UTC())
	p.SetProducer("", true)
	p.SetLang("en")
	if err := p.fonts.load(p.Fpdf); err != nil {
		return nil, err
	}
	p.SetTitle(p.shown(o.Title), true)
	p.SetAutoPageBreak(false, 0)
	p.SetMargins(0, 0, 0)
	p.SetLineJoinStyle("round")
	wide, high := p.GetPageSize()
	p.width, p.bottom = wide-2*edge, high-edge
	p.AliasNbPages("")
	p.SetFooterFunc(func() {
		p.set(p.quiet)
		p.Text(edge, high-edge/2, p.shown(strings.TrimPrefix(o.Foot+", ", ", "))+fmt.Sprintf("page %d of {nb}", p.PageNo()))
	})
	p.page()
	return p, p.Error()
}

func (p *printer) page() {
	p.AddPage()
	p.y = edge
}

// room goes on to the next page where so much does not fit on this one. It
// returns whether it did.
func (p *printer) room(high float64) bool {
	if p.y+high <= p.bottom || p.y == edge {
		return false
	}
	p.page()
	return true
}

// whole keeps together what is not too high for that.
func (p *printer) whole(high float64) {
	if high <= together*(p.bottom-edge) {
		p.room(high)
	}
}

func (p *printer) block(b explain.Block) error {
	switch b := b.(type) {
	case explain.Heading:
		p.y += above
		p.room(heading*leading + apart + keep)
		p.paragraph(style{height: heading, bold: true, ink: draw.Light.Accent}, string(b))
	case explain.Sentence:
		p.paragraph(p.plain, string(b))
	case explain.Verbatim:
		p.verbatim(string(b))
	case explain.Table:
		p.table(b)
	case explain.Steps:
		p.steps(b)
	case explain.Tree:
		p.tree(b.Root, 0, "")
		p.y += apart
	case explain.Scale:
		drawn, err := draw.Scale(b, p.width)
		return p.picture(drawn, err)
	case explain.Shapes:
		drawn, err := draw.Shapes(b, p.width, p.bottom-edge-2*p.plain.height*leading)
		return p.picture(drawn, err)
	case explain.Headline:
		p.headline(b)
	case explain.Framed:
		p.framed(b)
	case explain.Beside:
		return p.beside(b)
	case explain.NewPage:
		if p.y > edge {
			p.page()
		}
		p.paragraph(style{height: title, bold: true, ink: draw.Light.Ink}, string(b))
	default:
		return fmt.Errorf("no way to show a %T", b)
	}
	return p.Error()
}

func (p *printer) paragraph(s style, text string) {
	p.lines(s, 0, p.broken(s, strings.Fields(text), p.width))
	p.y += apart
}

// lines writes lines below one another.
func (p *printer) lines(s style, x float64, lines []string) {
	high := s.height * leading
	p.whole(high * float64(len(lines)))
	for _, line := range lines {
		p.room(high)
		p.text(s, x, line)
		p.y += high
	}
}

// text writes one line at the place reached.
func (p *printer) text(s style, x float64, line string) {
	p.set(s)
	p.Text(p.left+x, p.y+s.height, line)
}

// broken breaks words into lines no wider than they may be, within words too where
// one is wider.
func (p *printer) broken(s style, words []string, width float64) []string {
	p.set(s)
	var lines []string
	line := ""
	for _, word := range words {
		word = p.shown(word)
		if line != "" && p.GetStringWidth(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		for _, letter := range word {
			if line != "" && p.GetStringWidth(line+string(letter)) > width {
				lines, line = append(lines, line), ""
			}
			line += string(letter)
		}
	}
	return append(lines, line)
}

func (p *printer) verbatim(text string) {
	for line := range strings.Lines(text) {
		p.lines(p.fixed, indent, p.broken(p.fixed, []string{strings.TrimRight(line, "\r\n")}, p.width-indent))
	}
	p.y += apart
}

func (p *printer) steps(s explain.Steps) {
	if len(s.Items) > 0 && !slices.ContainsFunc(s.Items, func(i explain.Step) bool { return i.Mark != explain.ToTick }) {
		p.ticks(s, p.plain)
		return
	}
	marked := style{height: p.plain.height, bold: true, ink: draw.Light.Ink}
	p.set(marked)
	in := 0.0
	for _, item := range s.Items {
		in = max(in, p.GetStringWidth(p.shown(item.Mark))+gap/2)
	}
	in = min(in, p.width/2)
	for _, item := range s.Items {
		mark := p.broken(marked, strings.Fields(item.Mark), in)
		text := p.broken(p.plain, strings.Fields(item.Text), p.width-in)
		var more []string
		for _, line := range item.Lines {
			more = append(more, p.broken(p.quiet, strings.Fields(line), p.width-in)...)
		}
		p.whole(p.plain.height*leading*float64(max(len(mark), len(text))) + p.quiet.height*leading*float64(len(more)))
		p.row([]cell{{style: marked, lines: mark}, {style: p.plain, x: in, lines: text}})
		p.lines(p.quiet, in, more)
		p.y += apart / 2
	}
	p.y += apart / 2
}

// cell is lines that stand beside others.
type cell struct {
	style
	x, to float64
	right bool // whether lines end at to
	lines []string
}

// row writes cells side by side, line by line.
func (p *printer) row(cells []cell) {
	most := 0
	for _, c := range cells {
		most = max(most, len(c.lines))
	}
	for i := range most {
		p.room(words * leading)
		for _, c := range cells {
			if i >= len(c.lines) {
				continue
			}
			x := c.x
			if c.right {
				p.set(c.style)
				x = c.to - p.GetStringWidth(c.lines[i])
			}
			p.text(c.style, x, c.lines[i])
		}
		p.y += words * leading
	}
}

// tree is a claim to a line, with what it rests on set in below it and its source
// where the claim above it does not name the same.
func (p *printer) tree(n *explain.Node, in float64, above string) {
	if n == nil {
		return
	}
	label := n.Label
	if n.Source != "" && n.Source != above {
		label += " [" + n.Source + "]"
	}
	in = min(in, p.width/2)
	text := p.broken(p.plain, strings.Fields(label), p.width-in-indent)
	p.whole(words * leading * float64(len(text)))
	p.row([]cell{{style: p.plain, x: in, lines: []string{"-"}}, {style: p.plain, x: in + indent, lines: text}})
	for _, c := range n.Children {
		p.tree(c, in+indent, n.Source)
	}
}

// table repeats its header on each page it reaches.
func (p *printer) table(t explain.Table) {
	bold := style{height: p.plain.height, bold: true, ink: draw.Light.Ink}
	var widths []float64
	for r, row := range append([][]string{t.Header}, t.Rows...) {
		p.set(p.plain)
		if r == 0 {
			p.set(bold)
		}
		for i, text := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], p.GetStringWidth(p.shown(text))+0.1) // so that it fits in spite of rounding
		}
	}
	widths = columns.Share(widths, p.width-gap*float64(len(widths)-1), least)
	header := p.cells(bold, t, t.Header, widths)
	p.room(3 * words * leading)
	p.header(header)
	for _, row := range t.Rows {
		cells := p.cells(p.plain, t, row, widths)
		if p.parted(cells) {
			p.header(header)
		}
		p.row(cells)
	}
	p.y += apart
}

// parted goes on to the next page where the row does not fit on this one whole.
func (p *printer) parted(cells []cell) bool {
	high := 0
	for _, c := range cells {
		high = max(high, len(c.lines))
	}
	return p.room(min(p.plain.height*leading*float64(high), together*(p.bottom-edge)))
}

func (p *printer) header(cells []cell) {
	p.row(cells)
	p.y += 1.5
	p.ink(draw.Light.Quiet)
	p.SetLineWidth(0.5)
	if n := len(cells); n > 0 {
		p.Line(p.left, p.y, p.left+cells[n-1].to, p.y)
	}
	p.y += 2
}

func (p *printer) cells(s style, t explain.Table, texts []string, widths []float64) []cell {
	x := 0.0
	cells := make([]cell, len(texts))
	for i, text := range texts {
		cells[i] = cell{style: s, x: x, to: x + widths[i], right: i < len(t.Numeric) && t.Numeric[i], lines: p.broken(s, strings.Fields(text), widths[i])}
		x += widths[i] + gap
	}
	return cells
}
