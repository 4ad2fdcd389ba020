// Package parts makes the parts of which pages of HTML consist: documents and pictures. The local page and
// the pages that are published for buyers have the same parts. It knows no disk and no server, and is small enough for a browser:
// a [Writer] stands in for templates.
//
// [Fragment] is a document as a part of a page, [Room] the picture of where it is close; [Style] is the look of
// all of them.
package parts

import (
	"html"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	markup "fitadvisor/explain/html"
	"fitadvisor/explain/svg"
)

// HTML is markup; every other text is escaped.
type HTML string

// Writer puts a part together.
type Writer struct{ strings.Builder }

// Put writes markup as it is, and texts escaped.
func (w *Writer) Put(all ...any) {
	for _, one := range all {
		switch one := one.(type) {
		case HTML:
			w.WriteString(string(one))
		case string:
			w.WriteString(html.EscapeString(one))
		}
	}
}

// In writes texts within an element whose opening tag is given, nothing where all of them are empty.
func (w *Writer) In(tag HTML, all ...any) {
	var inner Writer
	if inner.Put(all...); inner.Len() == 0 {
		return
	}
	name, _, _ := strings.Cut(strings.Trim(string(tag), "<>"), " ")
	w.Put(tag, HTML(inner.String()), HTML("</"+name+">\n"))
}

// HTML is what was written.
func (w *Writer) HTML() HTML { return HTML(w.String()) }

// Fragment is a document as a part of a page.
func Fragment(blocks ...explain.Block) (HTML, error) {
	if len(blocks) == 0 {
		return "", nil
	}
	var out strings.Builder
	err := markup.Fragment(&out, &explain.Document{Blocks: blocks})
	return HTML(out.String()), err // which escapes what it is given
}

// Inline is a picture of a width in points, that of the screen's part which it stands in, so that no letter is made smaller.
func Inline(b explain.Block, width float64) (HTML, error) {
	var out strings.Builder
	err := svg.Inline(&out, b, width)
	return HTML(out.String()), err // which escapes what it is given
}

// RoomWidth, in points, is that of a card on the narrowest telephone, so that no letter is made smaller on any.
const RoomWidth = 196

// Room is the picture of where it is close and where it has room; empty where there is none.
func Room(a *engine.Answer) (HTML, error) {
	s, ok := report.Room(a)
	if !ok {
		return "", nil
	}
	return Inline(s, RoomWidth)
}

// Quoted is a document's HTML with what it has as code in quotes: nobody who sews has to know how files spell it.
func Quoted(h HTML) HTML { return HTML(inQuotes.Replace(string(h))) }

var inQuotes = strings.NewReplacer("<code>", "“", ":</code>", "”", "</code>", "”")
