package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine/report"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

func newPattern(s streams) *cobra.Command {
	c := &cobra.Command{Use: "pattern", Short: "Write a pattern's size chart into your notebook", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(newPatternNew(s))
	return c
}

func newPatternNew(s streams) *cobra.Command {
	f := &display{format: "text", color: "auto"}
	c := &cobra.Command{
		Use:   "new NAME",
		Short: "Ask for a pattern, row by row, and keep it in your notebook",
		Long: "Asks for what the envelope or the booklet prints: maker, garment type, unit, sizes, then the rows of the size chart and\n" +
			"of the finished garment, one after the other or pasted all at once. Nothing is saved before the end, and a pattern\n" +
			"that is there already is left alone.",
		Args: oneName("the pattern by a name of your own", "advisor pattern new quayside"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			book, err := d.kept()
			if err == nil {
				err = notebook.CheckName(args[0])
			}
			if err != nil {
				return err
			}
			kind, _ := notebook.KindOf("pattern")
			n := &patternAsked{d: d, path: book.Path(kind, args[0]), answers: map[string]string{"name": args[0]}}
			if _, err := os.Lstat(n.path); err == nil {
				return fmt.Errorf("%s is there already; nothing was written: choose another name, or change that file", shown(n.path))
			}
			text, err := n.asking(newInterview(s))
			if errors.Is(err, io.EOF) || errors.Is(err, errEnough) {
				return errors.New("stopped before the pattern was whole; nothing was saved")
			}
			if err == nil {
				err = book.Save(n.path, nil, text)
			}
			if err == nil {
				s.say("saved in %s\nask for a size: advisor size %s --body NAME%s\n", shown(n.path), question.Quoted(args[0]), f.inBook())
			}
			return err
		},
	}
	f.flags(c)
	f.book(c)
	return c
}

// patternAsked is a pattern while it is asked for, as its file will have it.
type patternAsked struct {
	d       *files
	path    string
	answers map[string]string // by the key of the file
	rows    [2][][]string     // of the size chart and of the finished garment: a measurement, and its cells
}

// patternQuestions are asked first, in this order. A pattern needs all of them but its maker.
var patternQuestions = []struct{ key, ask string }{
	{"name", "What is the pattern called? (Enter: as you named the file) "},
	{"maker", "Who made it? (Enter leaves it out) "},
	{"recipe", "Which garment type is it, as in gathered-skirt, trousers or hoodie? "},
	{"units", "In which unit is its chart, cm or in? "},
	{"sizes", "Its sizes, as in 8, 10, 12: "},
}

// asking asks until there is a pattern that can be read, and returns its file.
func (n *patternAsked) asking(i *interview) ([]byte, error) {
	for _, q := range patternQuestions {
		if err := n.ask(i, q.key, q.ask); err != nil {
			return nil, err
		}
	}
	for k, of := range []string{"size chart, of the body that each size is for", "finished garment"} {
		i.say(fmt.Sprintf("Now the rows of the %s, as in `hip: 36, 37, 38.5`, a cell to each size, ~ for one you do not know. Several rows may be pasted at once. Enter ends.", of))
		for done := false; !done; {
			var err error
			if done, err = n.row(i, k); err != nil {
				return nil, err
			}
		}
	}
	return n.text()
}

// ask asks for one answer until it can be read.
func (n *patternAsked) ask(i *interview, key, prompt string) error {
	if key == "units" {
		unit, err := i.askUnit(prompt)
		n.answers[key] = string(unit)
		return err
	}
	for {
		answer, err := i.ask(prompt)
		if err != nil || answer == "" && (key == "maker" || key == "name") {
			return err
		}
		switch {
		case answer == "":
			continue
		case key == "recipe":
			found, err := n.d.Find(answer, n.d.FolderOf("."))
			if err != nil {
				i.say(report.Capital(err.Error()) + ". `advisor recipe list` names the types.")
				continue
			}
			if n.d.Take(found.Doc); n.d.done() != nil {
				continue
			}
			answer = found.Name
		}
		n.answers[key] = answer
		return nil
	}
}

// row asks for a row, and takes it if the pattern can be read with it.
func (n *patternAsked) row(i *interview, k int) (done bool, err error) {
	line, err := i.ask("  ")
	if err != nil || line == "" {
		if done = err == nil && (k == 1 || len(n.rows[0]) > 0); err == nil && !done {
			i.say("A pattern needs one row of its size chart at least: the measurement that picks the size.")
		}
		return done, err
	}
	cells := recipes.RowOf(line)
	before := n.rows[k]
	n.rows[k] = append(before[:len(before):len(before)], cells)
	text, err := n.text()
	if err != nil {
		return false, err
	}
	doc := file.Open(shown(n.path), text)
	recipes.ReadPattern(doc, n.d.Voc, nil)
	n.d.Take(doc)
	if n.d.done() != nil {
		n.rows[k] = before // it has been told; ask anew
	}
	return false, nil
}

// text is the file so far.
func (n *patternAsked) text() ([]byte, error) {
	w := &file.Writer{}
	w.Text("kind", "pattern")
	for _, q := range patternQuestions {
		if q.key != "sizes" {
			w.Text(q.key, n.answers[q.key])
		}
	}
	w.List("sizes", strings.FieldsFunc(n.answers["sizes"], func(r rune) bool { return strings.ContainsRune(",; \t", r) }))
	for k, key := range []string{"body", "finished"} {
		w.Below(key, func() {
			for _, row := range n.rows[k] {
				w.List(row[0], row[1:])
			}
		})
	}
	return w.Bytes()
}
