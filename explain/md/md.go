// Package md writes an explain.Document as Markdown with tables, such as notes
// and code hosts show. Use [Write].
package md

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"

	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/explain/text"
)

// Options says what the page is called.
type Options struct {
	Title string // its first heading; empty: none
}

// Write writes the document. Figures on an axis are drawn in characters; of a
// drawing it gives the words that stand for it.
func Write(w io.Writer, d *explain.Document, o Options) error {
	p := &printer{}
	level := "# "
	if o.Title != "" {
		p.out.WriteString(level + inline(o.Title) + "\n")
		level = "## "
	}
	if err := p.blocks(d.Blocks, level); err != nil {
		return fmt.Errorf("md: %w", err)
	}
	_, err := w.Write(p.out.Bytes())
	return err
}

func (p *printer) blocks(all []explain.Block, level string) error {
	for i, b := range all {
		if p.out.Len() > 0 && (i > 0 || !strings.HasSuffix(p.out.String(), "\n\n")) {
			p.out.WriteByte('\n')
		}
		if err := p.block(b, level); err != nil {
			return err
		}
	}
	return nil
}

type printer struct{ out bytes.Buffer }

func (p *printer) block(b explain.Block, level string) error {
	switch b := b.(type) {
	case explain.Heading:
		p.out.WriteString(level + inline(string(b)) + "\n")
	case explain.Sentence:
		p.out.WriteString(inline(string(b)) + "\n")
	case explain.Verbatim:
		p.fenced(string(b))
	case explain.Table:
		p.table(b)
	case explain.Steps:
		p.steps(b)
	case explain.Tree:
		p.tree(b.Root, "", "")
	case explain.Scale:
		return p.scale(b)
	case explain.Shapes:
		p.out.WriteString("> **" + inline(b.Title) + "** (drawing): " + inline(b.Alt) + "\n")
	case explain.Headline:
		p.out.WriteString("**" + inline(strings.Join(strings.Fields(b.Lead+" "+b.Large+" "+b.Rest), " ")) + "**\n")
		for _, line := range b.Beside {
			p.out.WriteString("\n" + inline(line) + "\n")
		}
	case explain.Framed:
		for _, f := range b.Items {
			p.out.WriteString("- **" + inline(strings.Join(strings.Fields(f.Title+" "+f.Large), " ")) + "** " + inline(strings.Join(f.Lines, " ")) + "\n")
		}
	case explain.Beside:
		return p.blocks(slices.Concat(b.Left, b.Right), level)
	case explain.NewPage:
		p.out.WriteString(level + inline(string(b)) + "\n")
	default:
		return fmt.Errorf("no way to show a %T", b)
	}
	return nil
}

// fenced shows lines as they are, between fences longer than any in them.
func (p *printer) fenced(s string) {
	s = diag.Visible(s)
	fence := "```"
	for strings.Contains(s, fence) {
		fence += "`"
	}
	p.out.WriteString(fence + "\n" + strings.TrimSuffix(s, "\n") + "\n" + fence + "\n")
}

func (p *printer) scale(s explain.Scale) error {
	var drawn bytes.Buffer
	d := &explain.Document{}
	d.Add(s)
	if err := text.Render(&drawn, d, text.Options{}); err != nil {
		return err
	}
	p.out.WriteString(inline(s.Alt) + "\n\n")
	p.fenced(drawn.String())
	return nil
}

func (p *printer) table(t explain.Table) {
	columns := len(t.Header)
	for _, row := range t.Rows {
		columns = max(columns, len(row))
	}
	p.row(t.Header, columns)
	for i := range columns {
		rule := "| --- "
		if i < len(t.Numeric) && t.Numeric[i] {
			rule = "| --: "
		}
		p.out.WriteString(rule)
	}
	p.out.WriteString("|\n")
	for _, row := range t.Rows {
		p.row(row, columns)
	}
}

func (p *printer) row(cells []string, columns int) {
	for i := range columns {
		cell := ""
		if i < len(cells) {
			cell = strings.ReplaceAll(strings.ReplaceAll(inline(cells[i]), `\|`, "|"), "|", `\|`) // in code too
		}
		p.out.WriteString("| " + cell + " ")
	}
	p.out.WriteString("|\n")
}

func (p *printer) steps(s explain.Steps) {
	for _, item := range s.Items {
		mark, text := "-", inline(item.Text)
		switch _, number := item.Number(); {
		case number:
			mark = item.Mark
		case item.Mark == explain.ToTick:
			text = "[ ] " + text
		case item.Mark != "-" && item.Mark != "":
			text = "**" + inline(item.Mark) + "** " + text
		}
		p.out.WriteString(mark + " " + text + "\n")
		for _, line := range item.Lines {
			p.out.WriteString(strings.Repeat(" ", len(mark)+1) + "- " + inline(line) + "\n")
		}
	}
}

// tree is a list in a list, each source in brackets where the claim above does not
// name the same.
func (p *printer) tree(n *explain.Node, indent, above string) {
	if n == nil {
		return
	}
	label := n.Label
	if n.Source != "" && n.Source != above {
		label += " [" + n.Source + "]"
	}
	p.out.WriteString(indent + "- " + inline(label) + "\n")
	for _, c := range n.Children {
		p.tree(c, indent+"  ", n.Source)
	}
}

// marks are what Markdown would read as something else, wherever it stands.
var marks = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "|", `\|`, "~", `\~`, "&", `\&`)

// inline is a text on one line, shown as it is written, save that what stands
// between backticks is code.
func inline(s string) string {
	var b strings.Builder
	for _, span := range explain.Spans(strings.Join(strings.Fields(diag.Visible(s)), " ")) {
		if span.Code {
			b.WriteString("`" + span.Text + "`")
			continue
		}
		b.WriteString(marks.Replace(span.Text))
	}
	return begun(b.String())
}

// beginning is what would begin a list, a heading or a rule; a figure such as 81.3
// or -1/4 does not.
var beginning = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(\d*)([.)]( |$)|[-+]( |-|$)|#+( |$)|=)`) })

// begun is a line whose first mark is led by a backslash where it would begin
// something else.
func begun(s string) string {
	at := beginning().FindStringSubmatchIndex(s)
	if at == nil || (at[3] > 0) != strings.ContainsAny(s[at[4]:at[4]+1], ".)") {
		return s
	}
	return s[:at[4]] + `\` + s[at[4]:]
}
