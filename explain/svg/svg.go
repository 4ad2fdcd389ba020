// Package svg writes the pictures of an explain.Document as SVG, with text as
// text. Use [Write] for a file that stands by itself, and [Inline] for one picture
// inside a web page.
package svg

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
)

// Options says what the picture is called and how wide it is.
type Options struct {
	Title string  // empty: its first heading
	Width float64 // in points (1/72 in); 0 means 480
}

const (
	defaultWidth = 480.0
	edge         = 12.0 // around everything
	apart        = 10.0 // between two blocks
	heading      = 12.0 // height of a heading's letters
	words        = 10.0 // height of a sentence's letters
	leading      = 1.4  // from line to line, as a multiple of the height
	family       = "Helvetica, Arial, 'Liberation Sans', sans-serif"
)

// Write writes the pictures of a document, one below the other, with its headings
// and sentences. A block that no picture shows is an error, and so is a document
// without a picture.
func Write(w io.Writer, d *explain.Document, o Options) error {
	s := &sheet{width: cmp.Or(o.Width, defaultWidth) - 2*edge, title: o.Title}
	for _, b := range d.Blocks {
		if err := s.block(b); err != nil {
			return fmt.Errorf("svg: %w", err)
		}
	}
	if len(s.alts) == 0 {
		return errors.New("svg: the document has no picture")
	}
	var out bytes.Buffer
	out.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	width, height := s.widest+2*edge, s.y-apart+2*edge
	begin(&out, width, height, s.title, strings.Join(s.alts, "\n"))
	fmt.Fprintf(&out, `<rect width="%s" height="%s" fill="%s"/>`+"\n", number(width), number(height), hex(draw.Light.Paper))
	fmt.Fprintf(&out, `<g transform="translate(%s %s)">`+"\n", number(edge), number(edge))
	out.Write(s.body.Bytes())
	out.WriteString("</g>\n</svg>\n")
	_, err := w.Write(out.Bytes())
	return err
}

// Inline writes one [explain.Scale] or [explain.Shapes] as an element of a page. Its
// parts have classes named after their roles, for a style sheet that colours
// them otherwise.
func Inline(w io.Writer, b explain.Block, width float64) error {
	p, err := picture(b, width)
	if err != nil {
		return fmt.Errorf("svg: %w", err)
	}
	var out bytes.Buffer
	begin(&out, p.Width, p.Height, p.Title, p.Alt)
	paint(&out, p)
	out.WriteString("</svg>\n")
	_, err = w.Write(out.Bytes())
	return err
}

// sheet is a file being laid out from top to bottom.
type sheet struct {
	width, widest, y float64
	title            string
	alts             []string
	body             bytes.Buffer
}

func (s *sheet) block(b explain.Block) error {
	switch b := b.(type) {
	case explain.Heading:
		s.title = cmp.Or(s.title, string(b))
		s.lines(string(b), heading, explain.Accent)
		return nil
	case explain.Sentence:
		s.lines(string(b), words, explain.Outline)
		return nil
	}
	p, err := picture(b, s.width)
	if err != nil {
		return err
	}
	s.title = cmp.Or(s.title, p.Title)
	s.alts = append(s.alts, p.Alt)
	s.lines(p.Title, words, explain.Accent)
	s.put(p)
	return nil
}

// lines puts down words.
func (s *sheet) lines(text string, height float64, role explain.Role) {
	p := draw.Picture{}
	for _, line := range draw.Lines(text, s.width, height, draw.PenOf(role).Bold) {
		p.Texts = append(p.Texts, draw.Text{Role: role, At: explain.Point{Y: p.Height + height}, Text: line, Height: height})
		p.Width = max(p.Width, draw.Width(line, height, draw.PenOf(role).Bold))
		p.Height += height * leading
	}
	s.put(p)
}

func (s *sheet) put(p draw.Picture) {
	fmt.Fprintf(&s.body, `<g transform="translate(0 %s)">`+"\n", number(s.y))
	paint(&s.body, p)
	s.body.WriteString("</g>\n")
	s.widest = max(s.widest, p.Width)
	s.y += p.Height + apart
}

func picture(b explain.Block, width float64) (draw.Picture, error) {
	switch b := b.(type) {
	case explain.Scale:
		return draw.Scale(b, width)
	case explain.Shapes:
		return draw.Shapes(b, width, 2*width)
	}
	return draw.Picture{}, fmt.Errorf("no way to show a %T", b)
}

func begin(out *bytes.Buffer, width, height float64, title, alt string) {
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" class="picture" role="img" width="%[1]spt" height="%[2]spt" viewBox="0 0 %[1]s %[2]s" font-family="%[3]s">`+"\n",
		number(width), number(height), family)
	fmt.Fprintf(out, "<title>%s</title>\n<desc>%s</desc>\n", escape(title), escape(alt))
}

// paint writes the lines of a picture, then its letters.
func paint(out *bytes.Buffer, p draw.Picture) {
	for _, path := range p.Paths {
		line(out, path)
	}
	for _, t := range p.Texts {
		letters(out, t)
	}
}

func line(out *bytes.Buffer, p explain.Path) {
	role := draw.Known(p.Role)
	pen, ink := draw.PenOf(role), hex(draw.Light.Of(role))
	class, fill := string(role), "none"
	if p.Closed && (p.Filled || draw.Fills(role)) {
		class, fill = class+" filled", ink
	}
	fmt.Fprintf(out, `<path class="%s" fill="%s"`, class, fill)
	if pen.Thick > 0 {
		fmt.Fprintf(out, ` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, ink, number(pen.Thick))
	}
	if pen.Dash != nil {
		dash := make([]string, len(pen.Dash))
		for i, d := range pen.Dash {
			dash[i] = number(d)
		}
		fmt.Fprintf(out, ` stroke-dasharray="%s"`, strings.Join(dash, " "))
	}
	fmt.Fprintf(out, ` d="M%s`, at(p.Start))
	for _, l := range p.Legs {
		if l.Curve != nil {
			fmt.Fprintf(out, "C%s %s %s", at(l.Curve.A), at(l.Curve.B), at(l.To))
			continue
		}
		out.WriteString("L" + at(l.To))
	}
	if p.Closed {
		out.WriteString("Z")
	}
	out.WriteString("\"/>\n")
}

func letters(out *bytes.Buffer, t draw.Text) {
	role := draw.Known(t.Role)
	fmt.Fprintf(out, `<text class="%s" x="%s" y="%s" font-size="%s" fill="%s"`, role, number(t.At.X), number(t.At.Y), number(t.Height), hex(draw.Light.Letters(role)))
	if draw.PenOf(role).Bold {
		out.WriteString(` font-weight="bold"`)
	}
	if t.Anchor == explain.AtMiddle || t.Anchor == explain.AtEnd {
		fmt.Fprintf(out, ` text-anchor="%s"`, t.Anchor)
	}
	fmt.Fprintf(out, ">%s</text>\n", escape(t.Text))
}

func at(p explain.Point) string { return number(p.X) + " " + number(p.Y) }

// number prints a coordinate to a hundredth of a point.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64) // -0 + 0 is 0
}

func hex(c draw.Color) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes all
	return b.String()
}

// Icon writes a small outline as an element of a page, of which only the lines are
// kept: their colour and thickness is that of the page's style sheet, and what it
// shows stands beside it in words.
func Icon(w io.Writer, s explain.Shapes) error {
	var out bytes.Buffer
	whole := func(p explain.Point) string {
		return fmt.Sprintf("%.0f %.0f", p.X-s.Box.X, p.Y-s.Box.Y)
	}
	fmt.Fprintf(&out, `<svg viewBox="0 0 %.0f %.0f" aria-hidden="true"><path d="`, s.Box.Width, s.Box.Height)
	for _, item := range s.Items {
		p, ok := item.(explain.Path)
		if !ok {
			return fmt.Errorf("svg: no way to show a %T in an icon", item)
		}
		out.WriteString("M" + whole(p.Start))
		for _, l := range p.Legs {
			if l.Curve != nil {
				fmt.Fprintf(&out, "C%s %s %s", whole(l.Curve.A), whole(l.Curve.B), whole(l.To))
				continue
			}
			out.WriteString("L" + whole(l.To))
		}
		if p.Closed {
			out.WriteString("Z")
		}
	}
	out.WriteString(`"/></svg>`)
	_, err := w.Write(out.Bytes())
	return err
}
