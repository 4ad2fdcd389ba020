package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"

	"github.com/mattn/go-isatty"
	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/batch"
	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// batchFlags is what `batch` is asked, as typed.
type batchFlags struct {
	asking
	bodies, columns, out string
	rows                 string
	resume               bool
	sure                 bool
}

func newBatch(s streams) *cobra.Command {
	q := &batchFlags{}
	c := &cobra.Command{
		Use:   "batch PATTERN --bodies TABLE -o OUT",
		Short: "Judge many bodies, one to a line",
		Long: "Reads a table of bodies, CSV, TSV or XLSX: under a header such as `name,waist,hip` a column for\n" +
			"each measurement, or a line for each under a header of names; cells with their units, those of\n" +
			"their heading, or all in those of --units. It also takes a folder of body files, and `notebook:`\n" +
			"for all bodies in your notebook. For each body it writes a line, in the same order: the size, the\n" +
			"lines that are others and what speaks against it, or what is wrong. The exit code is 1 where a\n" +
			"body has no size that can be cut as it is, or cannot be read.",
		Args: onePattern,
		RunE: func(c *cobra.Command, args []string) error {
			q.pattern = args[0]
			return q.run(c.Context(), s)
		},
	}
	f := c.Flags()
	f.StringVar(&q.bodies, "bodies", "", "the table of bodies, a folder of body files, notebook: or - for standard input (required)")
	f.StringVar(&q.columns, "columns", "", "the file that says what the columns of that table hold")
	f.StringVarP(&q.out, "output", "o", "", "the file to write, or - for standard output (required)")
	f.StringVar(&q.rows, "rows", string(batch.CSV), "csv, or jsonl for a JSON object to each line")
	f.BoolVar(&q.resume, "resume", false, "go on where an earlier run into the same file was stopped")
	f.BoolVar(&q.sure, "sure", false, "also tell how sure each size is: the column confidence, for which some thousand plausible bodies are judged for each one (some hundred bodies a second)")
	f.StringVar(&q.cloth, "cloth", "", "the cloth: a file or a name in your notebook; without one, a cloth such as the recipe asks for is assumed")
	q.wishFlags(f)
	f.StringVar(&q.units, "units", "", "cm or in, of cells without a unit")
	q.book(c)
	q.format, q.color, q.command = "text", "auto", c
	return c
}

func (q *batchFlags) run(ctx context.Context, s streams) error {
	if q.bodies == "" || q.out == "" {
		return errors.New("which bodies, and where to? As in `advisor batch skirt.yaml --bodies bodies.csv -o sizes.csv`")
	}
	if err := oneOf("--rows", q.rows, string(batch.CSV), string(batch.Lines)); err != nil {
		return err
	}
	if q.resume && q.out == "-" {
		return errors.New("--resume goes on with a file; name one with -o")
	}
	bare := quantity.Unit(q.units) // of cells: what is set for reading answers says nothing of them
	d, err := q.begin(s)
	if err != nil {
		return err
	}
	r, err := q.request(d)
	if err != nil {
		return err
	}
	f, err := engine.Prepare(r.Pattern, r.Recipe, r.Rules, r.Vocabulary)
	if err != nil {
		return d.explained(&r, err)
	}
	if err := f.CheckWanted(r.Fitting); err != nil {
		return err
	}
	bodies, err := q.source(d, &r, bare)
	if err != nil {
		return err
	}
	defer bodies.in.Close()
	job := batch.Job{Bodies: bodies, Format: batch.Format(q.rows), Judge: func(b *engine.Body) (engine.Brief, error) {
		one := r
		one.Body, one.Usual, one.Sure = b, bodies.usual[b], q.sure
		return f.Brief(one)
	}}
	out, done, err := q.create(d, &job)
	if err != nil {
		return err
	}
	bar := progress(s, bodies.size)
	job.Progress = func(int) { _ = bar.Set64(bodies.in.read.Load()) }
	ctx, release := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer release()
	tally, err := batch.Run(ctx, job, out)
	_ = bar.Finish()
	if closing := out.Close(); err == nil {
		err = closing
	}
	return q.outcome(s, tally, done, err)
}

// outcome says how it came out.
func (q *batchFlags) outcome(s streams, t batch.Tally, done int, err error) error {
	switch {
	case errors.Is(err, context.Canceled):
		return fmt.Errorf("stopped after %d rows, all of them whole; the same command with --resume goes on", done+t.Rows)
	case err != nil:
		return fmt.Errorf("after %d rows nothing more could be written to %s: %w", done+t.Rows, q.out, err)
	}
	earlier := ""
	if done > 0 {
		earlier = fmt.Sprintf(" (and %d from before)", done)
	}
	s.say("%d bodies%s: a size for %d, none that can be cut as it is for %d, %d could not be judged.\n", t.Rows, earlier, t.Sized, t.None, t.Failed)
	if t.None+t.Failed > 0 {
		return errNo
	}
	return nil
}

// metered counts what has been read of a file.
type metered struct {
	io.ReadCloser
	read atomic.Int64
}

func (c *metered) Read(p []byte) (int, error) {
	n, err := c.ReadCloser.Read(p)
	c.read.Add(int64(n))
	return n, err
}

// source is where bodies come from.
type source struct {
	batch.Source
	in    *metered
	size  int64                           // of the table in bytes, -1 where that is not known
	usual map[*engine.Body][]engine.Usual // what is altered for those of the notebook
}

// fromNotebook asks for all bodies of the notebook.
const fromNotebook = "notebook:"

// source opens the table, or reads the folder.
func (q *batchFlags) source(d *files, r *engine.Request, bare quantity.Unit) (*source, error) {
	none := &metered{ReadCloser: io.NopCloser(nil)}
	if paths, several, err := q.paths(d); err != nil || several {
		list := &source{in: none, size: -1, usual: map[*engine.Body][]engine.Usual{}}
		list.Source = list.read(d, r, paths)
		return list, err
	}
	in, size, err := q.open(d)
	if err != nil {
		return nil, err
	}
	columns, take := d.readColumns(q.columns)
	if err := d.done(); err != nil {
		in.Close()
		return nil, err
	}
	bodies, header := recipes.OpenSurvey(q.bodies, in, columns, bare, d.Voc)
	d.Take(header)
	take()
	if err := d.done(); err != nil {
		in.Close()
		return nil, err
	}
	bodies.Draft = r.Recipe.Draft
	d.Inputs.Read(q.bodies)
	return &source{Source: bodies, in: in, size: size}, nil
}

// paths are the files of bodies, several where a folder or the notebook is named.
func (q *batchFlags) paths(d *files) (all []string, several bool, err error) {
	folder := q.bodies
	if q.bodies == fromNotebook {
		book, err := d.kept()
		if err != nil {
			return nil, true, err
		}
		kind, _ := notebook.KindOf("body")
		kept, err := book.Files(kind)
		if err != nil {
			return nil, true, err
		}
		folder = "the notebook " + shown(book.Dir)
		for _, f := range kept {
			all = append(all, f.Path)
		}
	} else {
		if info, err := os.Stat(folder); err != nil || !info.IsDir() {
			return nil, false, nil
		}
		if all, err = filepath.Glob(filepath.Join(folder, "*.yaml")); err != nil {
			return nil, true, err
		}
	}
	switch {
	case q.columns != "":
		return nil, true, errors.New("--columns says what a table of bodies holds: name the table with --bodies")
	case len(all) == 0:
		return nil, true, fmt.Errorf("there are no bodies in %s", diag.Visible(folder))
	}
	return all, true, nil
}

// read reads files of bodies, with what was altered for each before. Files of another kind are passed over.
func (l *source) read(d *files, r *engine.Request, paths []string) *batch.List {
	list := &batch.List{}
	for _, path := range paths {
		one := d.Anew()
		doc := one.Open(path, "body")
		if doc != nil && doc.Root().Map().Get("kind").Text() != "body" {
			one.Close()
			continue
		}
		asked := engine.Request{Pattern: r.Pattern, Recipe: r.Recipe, Rules: r.Rules, Vocabulary: r.Vocabulary}
		if doc != nil {
			asked.Body = recipes.ReadBody(doc, d.Voc)
			one.Take(doc)
			one.Complete(&asked)
		}
		one.Close()
		d.Inputs.Read(path)
		l.usual[asked.Body] = asked.Usual
		list.All = append(list.All, batch.Listed{Name: strings.TrimSuffix(filepath.Base(path), ".yaml"), Body: asked.Body, Problems: one.Problems})
	}
	return list
}

// open opens the table; its size is -1 where that is not known.
func (q *batchFlags) open(d *files) (*metered, int64, error) {
	if q.bodies == "-" {
		return &metered{ReadCloser: io.NopCloser(d.s.in)}, -1, nil
	}
	f, err := os.Open(q.bodies)
	if err != nil {
		return nil, 0, &question.UnreadableError{Path: q.bodies, Err: err}
	}
	info, err := f.Stat()
	if err != nil {
		return nil, 0, &question.UnreadableError{Path: q.bodies, Err: err}
	}
	return &metered{ReadCloser: f}, info.Size(), nil
}

// create opens what is written to, after the rows of an earlier run, and tells
// how many those are.
func (q *batchFlags) create(d *files, job *batch.Job) (io.WriteCloser, int, error) {
	header := batch.Format(q.rows).Header()
	if q.out == "-" {
		_, err := io.WriteString(d.s.out, header)
		return struct {
			io.Writer
			io.Closer
		}{d.s.out, io.NopCloser(nil)}, 0, err
	}
	if err := d.mayWrite(q.out); err != nil {
		return nil, 0, err
	}
	flags := os.O_RDWR | os.O_CREATE | os.O_EXCL
	if q.resume {
		flags = os.O_RDWR | os.O_CREATE
	}
	f, err := os.OpenFile(q.out, flags, 0o600)
	switch {
	case errors.Is(err, os.ErrExist):
		return nil, 0, fmt.Errorf("%s is there already: name another file, or go on with it by --resume", q.out)
	case err != nil:
		return nil, 0, cannotWrite(q.out, err)
	}
	done := 0
	if q.resume {
		done, err = q.goOn(f, job)
	}
	if err == nil && done == 0 {
		_, err = f.WriteString(header)
	}
	if err != nil {
		f.Close()
		return nil, 0, &resumeError{q.out, err}
	}
	return f, done, nil
}

// resumeError says that a file cannot be gone on with.
type resumeError struct {
	path string
	err  error
}

func (e *resumeError) Error() string { return fmt.Sprintf("cannot go on with %s: %v", e.path, e.err) }

// Hint says what to do, where that is known.
func (e *resumeError) Hint() string {
	if h, ok := e.err.(hinted); ok {
		return h.Hint()
	}
	return ""
}

// goOn cuts off a row that was torn, and passes over the bodies that are done.
func (q *batchFlags) goOn(f *os.File, job *batch.Job) (int, error) {
	whole, rows, err := job.Resume(f)
	if err != nil {
		return 0, err
	}
	if rows == 0 {
		whole = 0 // the header is written anew
	}
	if err := f.Truncate(whole); err != nil {
		return 0, err
	}
	_, err = f.Seek(whole, io.SeekStart)
	return rows, err
}

// progress is a bar on standard error where that is a terminal.
func progress(s streams, size int64) *progressbar.ProgressBar {
	f, ok := s.err.(*os.File)
	shown := ok && isatty.IsTerminal(f.Fd())
	return progressbar.NewOptions64(size, progressbar.OptionSetWriter(s.err), progressbar.OptionSetVisibility(shown),
		progressbar.OptionShowBytes(true), progressbar.OptionClearOnFinish(), progressbar.OptionSetDescription("bodies"))
}
