package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/publish"
)

// publishFlags is what `publish` is asked, as typed.
type publishFlags struct {
	out, texts, engine string
	oneFile, all       bool
	display
}

func newPublish(s streams) *cobra.Command {
	q := &publishFlags{}
	c := &cobra.Command{
		Use:   "publish PATTERN... -o FOLDER",
		Short: "Pages for your own site that tell buyers their size",
		Long: "Writes static pages with the patterns and the engine inside: who opens one types a few measurements\n" +
			"and sees the size, with the reasons and a sheet to print, all in their own browser. Nothing that\n" +
			"they type is sent or kept. With --one-file it is a single page, which opens from a disk too.\n" +
			"With --all it is the whole page of `advisor page`, for any pattern: what somebody saves there is\n" +
			"kept in their own browser.",
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error { return q.run(c.Context(), s, args) },
	}
	f := c.Flags()
	f.StringVarP(&q.out, "output", "o", "", "the folder to write, or with --one-file the file; what was published there before is replaced")
	f.BoolVar(&q.oneFile, "one-file", false, "write one HTML file with everything inside")
	f.BoolVar(&q.all, "all", false, "the whole page, for any pattern, with a notebook in the browser of whoever opens it")
	f.StringVar(&q.texts, "texts", "", "a file with your own words, language and colours")
	f.StringVar(&q.engine, "engine", "", "the engine.wasm.gz of pages that were published before, where there is no source or no Go to build it")
	q.book(c)
	q.format, q.color, q.command = "text", "auto", c
	return c
}

func (q *publishFlags) run(ctx context.Context, s streams, patterns []string) error {
	if err := q.check(patterns); err != nil {
		return err
	}
	d, err := q.begin(s)
	if err != nil {
		return err
	}
	if q.all {
		return q.whole(ctx, d)
	}
	site, err := q.site(d, patterns)
	if err != nil {
		return err
	}
	if site.Engine, err = q.built(ctx, publish.PatternPages); err != nil {
		return err
	}
	files := map[string][]byte{}
	if q.oneFile {
		files[filepath.Base(q.out)], q.out = site.OneFile(), filepath.Dir(q.out)
	} else if files, err = site.Files(); err != nil {
		return err
	}
	return q.write(d, files, len(site.Engine.Program))
}

// check says what cannot be asked together.
func (q *publishFlags) check(patterns []string) error {
	switch {
	case q.all && len(patterns) > 0:
		return errors.New("--all is the page for any pattern: name none, or leave --all out")
	case q.all && q.oneFile:
		return errors.New("--one-file is for a pattern: a page that is opened from a disk has no place to keep a notebook")
	case q.all && q.texts != "":
		return errors.New("--texts is for the pages of patterns: the whole page has its own words")
	case q.all && q.out == "":
		return errors.New("where to? As in `advisor publish --all -o site`")
	case q.all:
		return nil
	case len(patterns) == 0 || q.out == "":
		return errors.New("which patterns, and where to? As in `advisor publish quayside-skirt.yaml -o site`")
	case q.oneFile && len(patterns) > 1:
		return errors.New("--one-file is for one pattern: publish the others one by one, or all of them into a folder")
	case q.oneFile && filepath.Ext(q.out) != ".html":
		return fmt.Errorf("%s would be no page: the name ends in .html", q.out)
	}
	return nil
}

// whole writes the page of `advisor page`.
func (q *publishFlags) whole(ctx context.Context, d *files) error {
	engine, err := q.built(ctx, publish.WholePage)
	if err != nil {
		return err
	}
	return q.write(d, publish.Notebook(engine), len(engine.Program))
}

// site reads what is to be published.
func (q *publishFlags) site(d *files, patterns []string) (*publish.Site, error) {
	site := &publish.Site{}
	if q.texts != "" {
		if doc := d.Open(q.texts, "texts"); doc != nil {
			site.Texts = publish.ReadTexts(doc, d.Voc.BodyNames())
			d.Take(doc)
		}
	}
	for _, name := range patterns {
		f := d.File(name, "pattern")
		if f.Doc == nil {
			continue
		}
		if p := publish.Pack(&d.Reader, f); p != nil {
			site.Patterns = append(site.Patterns, p)
		}
	}
	return site, d.done()
}

// built is the engine: one that was published before, or a new one.
func (q *publishFlags) built(ctx context.Context, of publish.Program) (*publish.Engine, error) {
	if q.engine != "" {
		return publish.Built(q.engine, of)
	}
	return publish.Build(ctx, of)
}

// write writes the files below the folder.
func (q *publishFlags) write(d *files, files map[string][]byte, engine int) error {
	total := 0
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(q.out, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return cannotWrite(path, err)
		}
		if err := d.replace(path, files[name], publicly); err != nil {
			return err
		}
		total += len(files[name])
	}
	pages, rest := "pages are", " Put the folder on your site as it is."
	if q.oneFile || q.all {
		pages = "page is"
	}
	count := fmt.Sprintf("%d files, ", len(files))
	if q.oneFile {
		count, rest = "", ""
	}
	d.s.say("The %s in %s: %s%.1f MB, of which the engine is %.1f MB.%s\n", pages, q.out, count, megabytes(total), megabytes(engine), rest)
	return nil
}

func megabytes(n int) float64 { return float64(n) / 1e6 }
