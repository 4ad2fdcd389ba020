// Package text shows an explain.Document in a terminal: plain text of a given
// width, readable without colour. Use [Render].
package text

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/fatih/color"
	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twcache"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/explain/internal/columns"
)

// Options says how wide the text may be and whether it may be coloured.
type Options struct {
	Width int // in characters; 0 means 80
	Color bool
}

const defaultWidth = 80

// Render writes the document. It fails only if the writer does.
func Render(w io.Writer, d *explain.Document, o Options) error {
	if o.Width == 0 {
		o.Width = defaultWidth
	}
	p := &printer{Options: o}
	if err := p.blocks(d.Blocks); err != nil {
		return err
	}
	_, err := w.Write(p.out.Bytes())
	return err
}

func (p *printer) blocks(all []explain.Block) error {
	for i, b := range all {
		if i > 0 {
			p.out.WriteByte('\n')
		}
		if err := p.block(b); err != nil {
			return err
		}
	}
	return nil
}

// headline is what is read from afar, with what is beside it below.
func (p *printer) headline(h explain.Headline) {
	p.out.WriteString(p.bold(strings.Join(strings.Fields(h.Lead+" "+h.Large+" "+h.Rest), " ")) + "\n")
	for _, line := range h.Beside {
		p.wrap(line, "", "")
	}
}

// framed gives each box a paragraph.
func (p *printer) framed(f explain.Framed) {
	for _, b := range f.Items {
		p.wrap(strings.Join(strings.Fields(b.Title+" "+b.Large), " ")+colon(b.Lines), "", "")
		for _, line := range b.Lines {
			p.wrap(line, "  ", "  ")
		}
	}
}

// colon leads on to lines, if there are any.
func colon(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	return ":"
}

type printer struct {
	Options
	out    bytes.Buffer
	drawer *tablewriter.Table
	drawn  bytes.Buffer // by drawer
}

func (p *printer) block(b explain.Block) error {
	switch b := b.(type) {
	case explain.Heading:
		p.out.WriteString(p.bold(string(b)) + "\n")
	case explain.Sentence:
		p.wrap(string(b), "", "")
	case explain.Verbatim:
		p.verbatim(string(b))
	case explain.Steps:
		p.steps(b)
	case explain.Tree:
		p.tree(b.Root, "", "", "")
	case explain.Table:
		return p.table(b)
	case explain.Scale:
		return p.scale(b)
	case explain.Shapes:
		p.wrap("Drawing, "+b.Title+": "+b.Alt, "", "")
	case explain.Headline:
		p.headline(b)
	case explain.Framed:
		p.framed(b)
	case explain.Beside:
		return p.blocks(slices.Concat(b.Left, b.Right))
	case explain.NewPage:
		p.out.WriteString(p.bold(string(b)) + "\n")
	default:
		return fmt.Errorf("text: no way to show a %T", b)
	}
	return nil
}

func (p *printer) bold(s string) string {
	s = diag.Visible(s)
	if !p.Color {
		return s
	}
	c := color.New(color.Bold)
	c.EnableColor()
	return c.Sprint(s)
}

// wrap writes words under a first and a further indent.
func (p *printer) wrap(s, first, further string) {
	line := first
	empty := true
	for word := range strings.FieldsSeq(diag.Visible(s)) {
		if !empty && width(line)+1+width(word) > p.Width {
			p.out.WriteString(line + "\n")
			line, empty = further, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	p.out.WriteString(strings.TrimRight(line, " ") + "\n")
}

func (p *printer) verbatim(s string) {
	for line := range strings.Lines(diag.Visible(s)) {
		p.out.WriteString(strings.TrimRight("    "+line, " \n") + "\n")
	}
}

func width(s string) int { return utf8.RuneCountInString(s) }

func (p *printer) steps(s explain.Steps) {
	widest := 0
	for _, item := range s.Items {
		widest = max(widest, width(item.Mark))
	}
	further := strings.Repeat(" ", widest+2)
	for _, item := range s.Items {
		p.wrap(item.Text, fmt.Sprintf("%-*s  ", widest, item.Mark), further)
		for _, line := range item.Lines {
			p.wrap(line, further, further+"  ")
		}
	}
}

// tree writes a claim to a line, with what it rests on set in below it and its
// source in brackets where the claim above it does not name the same.
func (p *printer) tree(n *explain.Node, first, further, above string) {
	if n == nil {
		return
	}
	label := n.Label
	if n.Source != "" && n.Source != above {
		label += " [" + n.Source + "]"
	}
	p.wrap(label, first, further+"  ")
	for _, c := range n.Children {
		p.tree(c, further+"- ", further+"  ", n.Source)
	}
}

func (p *printer) table(t explain.Table) error {
	align := make(tw.Alignment, len(t.Header))
	for i := range align {
		align[i] = tw.AlignLeft
		if i < len(t.Numeric) && t.Numeric[i] {
			align[i] = tw.AlignRight
		}
	}
	if p.drawer == nil {
		p.drawer = p.newDrawer()
	}
	p.drawn.Reset()
	p.drawer.Reset()
	p.drawer.Configure(func(c *tablewriter.Config) {
		c.Header.Alignment.PerColumn, c.Row.Alignment.PerColumn = align, align
	})
	rows := fit(t, p.Width)
	p.drawer.Header(rows[0])
	if err := p.drawer.Bulk(rows[1:]); err != nil {
		return err
	}
	if err := p.drawer.Render(); err != nil {
		return err
	}
	for line := range strings.Lines(p.drawn.String()) {
		p.out.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	return nil
}

// gap is what stands between two columns.
const gap = "  "

// fit returns the header and the rows of a table with long cells folded, so that
// it is no wider than it may be: columns that are narrower than their share leave
// the rest to the wide ones.
func fit(t explain.Table, most int) [][]string {
	rows := visible(append([][]string{t.Header}, t.Rows...))
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], width(cell))
		}
	}
	widths = columns.Share(widths, most-len(gap)*(len(widths)-1), 1)
	folded := make([][]string, len(rows))
	for r, row := range rows {
		for i, cell := range row {
			folded[r] = append(folded[r], fold(cell, widths[i]))
		}
	}
	return folded
}

// visible are cells without a character that would move the cursor.
func visible(rows [][]string) [][]string {
	shown := make([][]string, len(rows))
	for i, row := range rows {
		for _, cell := range row {
			shown[i] = append(shown[i], diag.Visible(cell))
		}
	}
	return shown
}

// fold breaks a text into lines between words, and within those that are too long
// for one.
func fold(s string, most int) string {
	if width(s) <= most {
		return s
	}
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) <= most:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
		for letters := []rune(line); len(letters) > most; letters = []rune(line) {
			lines, line = append(lines, string(letters[:most])), string(letters[most:])
		}
	}
	return strings.Join(append(lines, line), "\n")
}

// newDrawer returns what draws all tables of a document. It is used again
// since a new one lays out a cache of half a megabyte.
func (p *printer) newDrawer() *tablewriter.Table {
	return tablewriter.NewTable(&p.drawn,
		tablewriter.WithStringerCacheCustom(twcache.NewLRU[reflect.Type, reflect.Value](1)),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{Borders: tw.BorderNone,
			Symbols:  tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.Off}, Lines: tw.Lines{ShowHeaderLine: tw.On}}})),
		tablewriter.WithConfig(tablewriter.Config{
			Header: tw.CellConfig{Formatting: tw.CellFormatting{AutoFormat: tw.Off}, Padding: tw.CellPadding{Global: tw.Padding{Left: "", Right: gap}}},
			Row:    tw.CellConfig{Padding: tw.CellPadding{Global: tw.Padding{Left: "", Right: gap}}},
		}))
}
