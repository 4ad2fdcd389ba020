// Package html writes an explain.Document as a web page that needs nothing but
// itself: no script, no other file. Use [Page] for a whole page, [Fragment] for a
// part of another one, which then needs [Style] in its head.
package html

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"fitadvisor/explain"
	"fitadvisor/explain/svg"
)

// Options says what a page is called and what it is printed on.
type Options struct {
	Title string        // in the browser's tab and as the first heading; empty: "Answer" and none
	Paper explain.Paper // empty: what the printer has
	Sheet bool          // it says itself what it is: the title is no heading
}

// pictureWidth, in points, keeps letters legible where a telephone makes the
// picture smaller.
const pictureWidth = 320.0

// besideWidth, in points, is that of one of two columns, and of the narrowest telephone: no letter is made smaller there.
const besideWidth = 216.0

// Page writes a whole page.
func Page(w io.Writer, d *explain.Document, o Options) error {
	p := &printer{}
	fmt.Fprintf(&p.out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>%s</title>\n<style>\n%s", escape(cmp.Or(o.Title, "Answer")), Style())
	if o.Paper != "" {
		rule, err := papers.ReadFile("paper/" + string(o.Paper) + ".css")
		if err != nil {
			return fmt.Errorf("html: no paper is called %q", o.Paper)
		}
		p.out.Write(rule)
	}
	p.out.WriteString("</style>\n</head>\n<body>\n<main>\n")
	if o.Title != "" && !o.Sheet {
		p.element("h1", o.Title)
	}
	if err := p.blocks(d); err != nil {
		return err
	}
	p.out.WriteString("</main>\n</body>\n</html>\n")
	_, err := w.Write(p.out.Bytes())
	return err
}

// papers are the rules for each [explain.Paper].
//
//go:embed paper
var papers embed.FS

// Fragment writes the document as one element of another page. Its headings are of
// the second level, a headline of the first, and no part has an id. The title and the paper are the page's.
func Fragment(w io.Writer, d *explain.Document) error {
	p := &printer{}
	if err := p.blocks(d); err != nil {
		return err
	}
	_, err := w.Write(p.out.Bytes())
	return err
}

type printer struct {
	out    bytes.Buffer
	narrow bool // it writes one of two columns
}

func (p *printer) blocks(d *explain.Document) error {
	p.out.WriteString("<div class=\"document\">\n")
	for _, b := range d.Blocks {
		if err := p.block(b); err != nil {
			return fmt.Errorf("html: %w", err)
		}
	}
	p.out.WriteString("</div>\n")
	return nil
}

func (p *printer) block(b explain.Block) error {
	switch b := b.(type) {
	case explain.Heading:
		p.element("h2", string(b))
	case explain.Sentence:
		p.element("p", string(b))
	case explain.Verbatim:
		p.out.WriteString("<pre>" + escape(strings.TrimSuffix(string(b), "\n")) + "</pre>\n")
	case explain.Table:
		p.table(b)
	case explain.Steps:
		p.steps(b)
	case explain.Tree:
		p.tree(b.Root)
	case explain.Scale:
		return p.figure(b.Title, b)
	case explain.Shapes:
		return p.figure(b.Title, b)
	case explain.Headline:
		p.headline(b)
	case explain.Framed:
		p.framed(b)
	case explain.Beside:
		return p.beside(b)
	case explain.NewPage:
		p.out.WriteString("<h2 class=\"page\">" + inline(string(b)) + "</h2>\n")
	default:
		return fmt.Errorf("no way to show a %T", b)
	}
	return nil
}

func (p *printer) element(name, text string) {
	fmt.Fprintf(&p.out, "<%[1]s>%[2]s</%[1]s>\n", name, inline(text))
}

func (p *printer) figure(caption string, b explain.Block) error {
	p.out.WriteString("<figure>\n")
	p.element("figcaption", caption)
	width := pictureWidth
	if p.narrow {
		width = besideWidth
	}
	if err := svg.Inline(&p.out, b, width); err != nil {
		return err
	}
	p.out.WriteString("</figure>\n")
	return nil
}

func (p *printer) headline(h explain.Headline) {
	p.out.WriteString("<div class=\"headline\"><h1>")
	if h.Lead != "" {
		p.out.WriteString(inline(h.Lead) + " ")
	}
	if h.Large != "" {
		p.out.WriteString("<b>" + inline(h.Large) + "</b> ")
	}
	p.out.WriteString("<strong>" + inline(h.Rest) + "</strong></h1>\n<p class=\"whose\">")
	for i, line := range h.Beside {
		if i > 0 {
			p.out.WriteString("<br>\n")
		}
		p.out.WriteString(inline(line))
	}
	p.out.WriteString("</p></div>\n")
}

func (p *printer) framed(f explain.Framed) {
	p.out.WriteString("<ul class=\"framed\">\n")
	for _, b := range f.Items {
		p.out.WriteString("<li>")
		if b.Title != "" {
			p.out.WriteString("<strong>" + inline(b.Title) + "</strong>\n")
		}
		if b.Large != "" {
			p.out.WriteString("<b>" + inline(b.Large) + "</b>\n")
		}
		for _, line := range b.Lines {
			p.out.WriteString("<p>" + inline(line) + "</p>\n")
		}
		p.out.WriteString("</li>\n")
	}
	p.out.WriteString("</ul>\n")
}

func (p *printer) beside(b explain.Beside) error {
	p.narrow = true
	defer func() { p.narrow = false }()
	p.out.WriteString("<div class=\"two\">\n")
	for _, column := range [][]explain.Block{b.Left, b.Right} {
		p.out.WriteString("<div>\n")
		for _, block := range column {
			if err := p.block(block); err != nil {
				return err
			}
		}
		p.out.WriteString("</div>\n")
	}
	p.out.WriteString("</div>\n")
	return nil
}

// table names its columns and, in the first cell of each, its rows.
func (p *printer) table(t explain.Table) {
	p.out.WriteString("<div class=\"wide\" tabindex=\"0\">\n<table>\n<thead>\n")
	p.row(t, t.Header, `<th scope="col"%s>%s</th>`, `<th scope="col"%s>%s</th>`)
	p.out.WriteString("</thead>\n<tbody>\n")
	for _, row := range t.Rows {
		p.row(t, row, `<th scope="row"%s>%s</th>`, `<td%s>%s</td>`)
	}
	p.out.WriteString("</tbody>\n</table>\n</div>\n")
}

func (p *printer) row(t explain.Table, cells []string, first, other string) {
	p.out.WriteString("<tr>")
	for i, cell := range cells {
		form, class := other, ""
		if i == 0 {
			form = first
		}
		if cell == "" {
			form = "<td%s>%s</td>" // names nothing
		}
		if i < len(t.Numeric) && t.Numeric[i] {
			class = ` class="number"`
		}
		fmt.Fprintf(&p.out, form, class, inline(cell))
	}
	p.out.WriteString("</tr>\n")
}

// ticks are steps with a box before each.
func (p *printer) ticks(s explain.Steps) {
	p.out.WriteString("<ul class=\"ticks\">\n")
	for _, item := range s.Items {
		p.out.WriteString("<li><label><input type=\"checkbox\"> <span>" + inline(item.Text) + "</span></label>")
		for _, line := range item.Lines {
			p.out.WriteString("<br>\n<small>" + inline(line) + "</small>")
		}
		p.out.WriteString("</li>\n")
	}
	p.out.WriteString("</ul>\n")
}

// steps is a numbered list if every mark is a number; else its marks are words, or boxes if every one is.
func (p *printer) steps(s explain.Steps) {
	if len(s.Items) > 0 && !slices.ContainsFunc(s.Items, func(i explain.Step) bool { return i.Mark != explain.ToTick }) {
		p.ticks(s)
		return
	}
	numbered := len(s.Items) > 0
	for _, item := range s.Items {
		_, number := item.Number()
		numbered = numbered && number
	}
	list := "ul"
	if numbered {
		list = "ol"
	}
	p.out.WriteString("<" + list + ">\n")
	for _, item := range s.Items {
		value, mark := "", ""
		switch number, _ := item.Number(); {
		case numbered:
			value = ` value="` + number + `"`
		case item.Mark != "-" && item.Mark != "":
			mark = "<strong>" + escape(item.Mark) + "</strong> "
		}
		p.out.WriteString("<li" + value + ">" + mark + inline(item.Text))
		for _, line := range item.Lines {
			p.out.WriteString("<br>\n<small>" + inline(line) + "</small>")
		}
		p.out.WriteString("</li>\n")
	}
	p.out.WriteString("</" + list + ">\n")
}

func (p *printer) tree(n *explain.Node) {
	if n == nil {
		return
	}
	p.out.WriteString("<div class=\"tree\">\n")
	p.claim(n, "")
	p.out.WriteString("</div>\n")
}

// claim is a line that opens to what it rests on, with its source where the claim
// above it does not name the same.
func (p *printer) claim(n *explain.Node, above string) {
	label := inline(n.Label)
	if n.Source != "" && n.Source != above {
		label += " <cite>" + escape(n.Source) + "</cite>"
	}
	if len(n.Children) == 0 {
		p.out.WriteString(label + "\n")
		return
	}
	p.out.WriteString("<details open><summary>" + label + "</summary>\n<ul>\n")
	for _, c := range n.Children {
		p.out.WriteString("<li>")
		p.claim(c, n.Source)
		p.out.WriteString("</li>\n")
	}
	p.out.WriteString("</ul>\n</details>\n")
}

// inline is a text in which what stands between backticks is code.
func inline(s string) string {
	var b strings.Builder
	for _, span := range explain.Spans(s) {
		if span.Code {
			b.WriteString("<code>" + escape(span.Text) + "</code>")
			continue
		}
		b.WriteString(escape(span.Text))
	}
	return b.String()
}

// escape makes a text safe between tags and inside quotes; what may not stand in
// a page at all becomes U+FFFD.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes all
	return b.String()
}
