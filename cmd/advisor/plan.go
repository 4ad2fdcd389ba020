package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/html"
	"fitadvisor/explain/md"
	"fitadvisor/explain/pdf"
	"fitadvisor/explain/text"
)

// planFlags is what `plan` is asked, as typed.
type planFlags struct {
	asking
	out, paper string
}

func newPlan(s streams) *cobra.Command {
	q := &planFlags{}
	c := &cobra.Command{
		Use:   "plan PATTERN --body BODY [--cloth CLOTH] -o FILE",
		Short: "The sheet to cut by, as md, html or pdf",
		Long: "Writes the sheet to cut by: for the wall the size, the lines to follow, a picture and the steps\n" +
			"to tick in the order of the work; then how each step is done; then what it rests on. The\n" +
			"file's name says how: .md, .html or .pdf. Without -o it is shown.",
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = first(args)
			if err := q.refuse(); err != nil {
				return err
			}
			d, err := q.begin(s)
			if err != nil {
				return err
			}
			a, err := q.answer(d)
			if err != nil {
				return err
			}
			return q.write(d, a)
		},
	}
	q.flags(c)
	q.typed(c, s)
	q.change(c)
	c.Flags().StringVarP(&q.out, "output", "o", "", "the file to write, which replaces one that is there: .md, .html or .pdf")
	c.Flags().StringVar(&q.paper, "paper", "a4", "a4 or letter")
	return c
}

// planFaces are the endings of a plan's file.
var planFaces = []string{".md", ".html", ".pdf"}

// refuse says what no plan can be written as.
func (q *planFlags) refuse() error {
	if err := oneOf("--paper", q.paper, "a4", "letter"); err != nil {
		return err
	}
	if q.out != "" && !slices.Contains(planFaces, filepath.Ext(q.out)) {
		return fmt.Errorf("%s would be no plan: the name ends in %s", q.out, strings.Join(planFaces, ", "))
	}
	return nil
}

// write writes the plan, or shows it; that nothing fits is the answer no.
func (q *planFlags) write(d *files, a *engine.Answer) error {
	s := d.s
	title, doc := report.Plan(a)
	var err error
	switch {
	case q.out != "" && a.Ends == "": // else there is nothing to cut by
		err = q.file(d, title, report.Foot(a), doc)
		if err == nil && q.format != "json" {
			s.say("The plan is in %s.\n", q.out)
		}
	case q.format != "json":
		doc.Blocks = append([]explain.Block{explain.Heading(title)}, doc.Blocks...)
		err = text.Render(s.out, doc, text.Options{Color: s.colored(q.color)})
	}
	if err == nil && q.format == "json" {
		err = s.json(a)
	}
	if err == nil && a.Recommended == nil {
		return errNo
	}
	return err
}

func (q *planFlags) file(d *files, title, foot string, doc *explain.Document) error {
	paper := explain.A4
	if q.paper == "letter" {
		paper = explain.Letter
	}
	var b bytes.Buffer
	var err error
	switch filepath.Ext(q.out) {
	case ".md":
		err = md.Write(&b, doc, md.Options{Title: title})
	case ".html":
		err = html.Page(&b, doc, html.Options{Title: title, Paper: paper, Sheet: true})
	case ".pdf":
		err = pdf.Write(&b, doc, pdf.Options{Title: title, Paper: paper, Foot: foot, Sheet: true})
	}
	if err != nil {
		return err
	}
	return d.replace(q.out, b.Bytes(), privately)
}
