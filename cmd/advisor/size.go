package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

func newSize(s streams) *cobra.Command {
	q := &asking{}
	c := &cobra.Command{
		Use:   "size PATTERN --body BODY [--cloth CLOTH] [--like GARMENT]...",
		Short: "Recommend a size, with the reasons and cautions",
		Long: "Says which size to cut, and why. A pattern is a file, or a name in your notebook or a part of it;\n" +
			"without one say what the envelope says. Instead of a body you may type what you measured, with a\n" +
			"flag for each measurement: `advisor help measurements` lists them.",
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = first(args)
			d, err := q.begin(s)
			if err != nil {
				return err
			}
			a, err := q.answer(d)
			if err != nil {
				return err
			}
			if err := q.draw(d, a); err != nil {
				return err
			}
			next := []string{"See why, down to the tape: " + q.again("why") + "."}
			if a.Ends != "" {
				return showSize(s, q, a, next)
			}
			next = slices.Insert(next, 0, "Print the sheet to cut by, with where and how: "+q.again("plan")+" -o plan.pdf.")
			if path, _ := d.Named(q.body, "body"); path != q.body { // no error: it was opened
				next = append(next, "When you have cut it: "+q.again("note cut")+".")
			}
			return showSize(s, q, a, next)
		},
	}
	c.Flags().BoolVar(&q.all, "all", false, "show everything: the sizes side by side, where another size wins, every caution and what was taken for granted")
	q.flags(c)
	q.typed(c, s)
	q.change(c)
	q.pictured(c)
	return c
}

// first is the pattern that is named, empty where it is typed.
func first(args []string) string { return strings.Join(args, "") }

func onePattern(c *cobra.Command, args []string) error {
	if f := c.Flags().Lookup("type"); len(args) == 0 && f != nil && f.Changed {
		return nil
	}
	if len(args) != 1 {
		return fmt.Errorf("name one pattern file, as in `advisor %s quayside-skirt.yaml --body wren.yaml`", c.Name())
	}
	return nil
}

// showSize prints an answer; that nothing fits is the answer no.
func showSize(s streams, q *asking, a *engine.Answer, next []string) error {
	var err error
	if q.format == "json" {
		err = s.json(a)
	} else {
		doc := &explain.Document{}
		if !q.unchanged() {
			doc.Add(report.Moved(a, q.otherwise()).Blocks...)
		}
		if q.all {
			doc.Add(report.Size(a, next).Blocks...)
		} else {
			more := moreThanShort
			if a.Ends != "" {
				more = moreThanEnds
			}
			doc.Add(report.Short(a, more).Blocks...)
		}
		err = s.show(doc, q.color)
	}
	if err == nil && a.Recommended == nil {
		return errNo
	}
	return err
}

// moreThanShort says where the rest is.
const (
	moreThanShort = "More: --all for the rest, `why` for the reasons, `plan` for the sheet to cut by."
	moreThanEnds  = "More: --all for the rest, `why` for the reasons."
)

// again is the command line that asks the same of another command.
func (q *asking) again(command string) string {
	line := "advisor " + command
	add := func(flag string, values ...string) {
		for _, v := range values {
			if v != "" {
				line += flag + question.Quoted(v)
			}
		}
	}
	add(" ", q.pattern)
	add(" --type ", q.envelope.Type)
	add(" --sizes ", q.envelope.Sizes)
	add(" --chart ", q.envelope.Chart...)
	add(" --drawn ", q.envelope.Drawn...)
	add(" --body ", q.body)
	for _, name := range slices.Sorted(maps.Keys(q.measured)) {
		add(" --"+strings.ReplaceAll(name, "_", "-")+" ", *q.measured[name])
	}
	add(" --stretch ", q.envelope.Stretch...)
	if q.cloth != "" {
		line += " --cloth " + question.Quoted(q.cloth)
	}
	for _, g := range q.like {
		line += " --like " + question.Quoted(g)
	}
	for _, e := range q.ease {
		line += " --ease " + question.Quoted(e)
	}
	for _, o := range q.over {
		line += " --over " + question.Quoted(o)
	}
	if q.toile != "" {
		line += " --toile " + question.Quoted(q.toile)
	}
	for _, w := range q.with {
		line += " --with " + question.Quoted(w)
	}
	return line + q.inBook()
}
