package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// The demo's people, makers and patterns are invented.
//
//go:embed demo/*.yaml
var demoFiles embed.FS

// scene is one garment of the demo, with what happens before and after the answer.
type scene struct {
	what, before, after string
	pattern, cloth      string
	over                []string
}

var demoScenes = []scene{
	{"A gathered skirt in a woven",
		"Wren has linen for a gathered skirt. By the chart the waist takes size 14 and the hip size 18. Which one is it?",
		"The gathers take up what is too much at the waist, so the 14 does not count: what has to go over the hip decides.",
		"quayside-skirt.yaml", "washed-linen.yaml", nil},
	{"A close top in a knit",
		"A top of jersey is cut smaller than the body, and the cloth stretches. How much smaller may it be?",
		"Above the waist it is size M. Below it the side seams run out to the line of L, since the hip of M would be stretched too far.",
		"lantern-top.yaml", "cotton-jersey.yaml", nil},
	{"A tailored jacket, to be worn over a shirt and a fine jumper",
		"A jacket has to fit the shoulders, which cannot be recut, and to leave room for what is worn beneath it.",
		"The size is chosen by the shoulders; the hip, which can be let out at the seams, takes the line of another size.",
		"harbour-jacket.yaml", "wool-twill.yaml", []string{"shirt", "fine jumper"}},
}

// demoToday keeps the demo the same on every day.
const demoToday = "2026-11-25"

func newDemo(s streams) *cobra.Command {
	f := display{}
	var to string
	c := &cobra.Command{
		Use:   "demo",
		Short: "Show the main job on three garments, and how to do the same with your own files",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := f.check(); err != nil {
				return err
			}
			if to != "" {
				return copyDemo(s, to)
			}
			return demo(s, f)
		},
	}
	f.flags(c)
	c.Flags().StringVar(&to, "copy-to", "", "write the demo's files into this folder, to start your own from")
	return c
}

func demo(s streams, f display) error {
	files, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		return err
	}
	s.from = files
	var answers []any
	for i, sc := range demoScenes {
		q := &asking{pattern: sc.pattern, body: "wren.yaml", cloth: sc.cloth, over: sc.over, today: demoToday, display: f}
		d, err := openFiles(s)
		if err != nil {
			return err
		}
		a, err := q.answer(d)
		if err != nil {
			return err
		}
		answers = append(answers, a)
		if f.format == "json" {
			continue
		}
		doc := &explain.Document{}
		doc.Add(explain.Heading(fmt.Sprintf("%d. %s", i+1, sc.what)), explain.Sentence(sc.before), explain.Sentence("$ "+q.again("size")))
		doc.Add(report.Short(a, sc.after).Blocks...)
		if i > 0 {
			fmt.Fprintln(s.out)
		}
		if err := s.show(doc, f.color); err != nil {
			return err
		}
	}
	if f.format == "json" {
		return s.json(answers)
	}
	fmt.Fprintln(s.out)
	return s.show(demoEnd(), f.color)
}

func demoEnd() *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Heading("The same with your own files"), explain.Steps{Items: []explain.Step{
		{Mark: "1.", Text: "advisor demo --copy-to my-sewing", Lines: []string{"writes the files above into a folder, to be filled in with your own figures"}},
		{Mark: "2.", Text: "advisor size my-sewing/quayside-skirt.yaml --body my-sewing/wren.yaml --cloth my-sewing/washed-linen.yaml"},
		{Mark: "3.", Text: "advisor why my-sewing/quayside-skirt.yaml --body my-sewing/wren.yaml --zone hip", Lines: []string{"leads every number back to the tape, the chart and the rule"}},
	}})
	return d
}

// copyDemo writes the demo's files; nothing that is there already is touched.
func copyDemo(s streams, to string) error {
	files, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		return err
	}
	written, err := copyAll(files, to)
	if err != nil {
		return err
	}
	for _, path := range written {
		if _, err := fmt.Fprintln(s.out, diag.Visible(path)); err != nil {
			return err
		}
	}
	return nil
}

// copyAll writes the files of a folder into another, which may be new, all or
// none; it returns their paths.
func copyAll(files fs.FS, to string) (written []string, err error) {
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		return nil, err
	}
	_, err = os.Lstat(to)
	fresh := errors.Is(err, fs.ErrNotExist)
	if err := os.MkdirAll(to, 0o700); err != nil {
		return nil, cannotWrite(to, err)
	}
	for _, e := range entries {
		path := filepath.Join(to, e.Name())
		var data []byte
		if data, err = fs.ReadFile(files, e.Name()); err == nil {
			err = disk.New(path, data, privately)
		}
		if errors.Is(err, fs.ErrExist) {
			err = fmt.Errorf("%s is there already; nothing was written", path)
		} else if err != nil {
			err = cannotWrite(path, err)
		}
		if err != nil {
			for _, path := range written {
				err = errors.Join(err, os.Remove(path))
			}
			if fresh {
				err = errors.Join(err, os.Remove(to))
			}
			return nil, err
		}
		written = append(written, path)
	}
	return written, nil
}

// unwritableError is a place that cannot be written to.
type unwritableError struct {
	path string
	err  error
}

func (e *unwritableError) Error() string { return fmt.Sprintf("cannot write %s: %v", e.path, e.err) }
