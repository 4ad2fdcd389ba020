package main

// Everything a person sees goes through this file. The result goes to standard
// output and nothing else does; problems go to standard error, save where they
// are the result, one to a paragraph, in plain words, with what to do about them. Nothing is coloured
// unless standard output is a terminal and NO_COLOR is not set, or --color says so.

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"

	"github.com/mattn/go-isatty"

	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/explain/text"
)

// streams is where a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
	from     fs.FS     // where named files are; nil: where a person has theirs
	late     lateFlags // of commands; nil: all flags are made at once
}

// hinted is an error that knows how to mend it.
type hinted interface{ Hint() string }

// fail prints what went wrong, and how to mend it where that is known.
func (s streams) fail(err error) {
	s.say("advisor: %v\n", err)
	if h, ok := err.(hinted); ok && h.Hint() != "" {
		s.say("  hint: %s\n", h.Hint())
	}
}

// say prints to standard error; what would move a terminal's cursor is shown.
func (s streams) say(format string, args ...any) {
	_, _ = io.WriteString(s.err, diag.Visible(fmt.Sprintf(format, args...))) // nobody could be told
}

// watched is standard output, which remembers what could not be written to it.
type watched struct {
	io.Writer
	err error
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// isTerminal tells whether it goes to one.
func (w *watched) isTerminal() bool {
	f, ok := w.Writer.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

// problems prints the problems of files, and where to read more about the first
// error.
func (s streams) problems(l diag.List, sources diag.Sources) error {
	if err := diag.Write(s.err, l, sources); err != nil || !l.HasErrors() {
		return err
	}
	return more(s.err, l)
}

// more says where to read more about the first error, or the first warning where
// there are no errors.
func more(w io.Writer, l diag.List) error {
	if len(l) == 0 {
		return nil
	}
	first := max(0, slices.IndexFunc(l, diag.Diagnostic.IsError))
	_, err := fmt.Fprintf(w, "`advisor explain %s` says more.\n", l[first].Code)
	return err
}

// show prints a document as text.
func (s streams) show(d *explain.Document, color string) error {
	return text.Render(s.out, d, text.Options{Color: s.colored(color)})
}

// colored decides on colour: --color, else a terminal without NO_COLOR.
func (s streams) colored(color string) bool {
	if color != "auto" {
		return color == "always"
	}
	w, ok := s.out.(*watched)
	return ok && os.Getenv("NO_COLOR") == "" && w.isTerminal()
}

// json prints a value as JSON.
func (s streams) json(v any) error {
	text, err := report.JSON(v)
	if err == nil {
		_, err = s.out.Write(text)
	}
	return err
}
