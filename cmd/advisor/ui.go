package main

// Everything a person sees goes through this file. The result goes to standard
// output and nothing else does; problems go to standard error, save where they
// are the result, one to a paragraph, in plain words, with what to do about them. Nothing is coloured
// unless standard output is a terminal and NO_COLOR is not set, or --color says so.

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"slices"

	"github.com/mattn/go-isatty"

	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/explain/text"
)

// streams is where a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// hinted is an error that knows how to mend it.
type hinted interface{ Hint() string }

// fail prints what went wrong, and how to mend it where that is known.
func (s streams) fail(err error) {
	fmt.Fprintf(s.err, "advisor: %v\n", err)
	if h, ok := err.(hinted); ok && h.Hint() != "" {
		fmt.Fprintf(s.err, "  hint: %s\n", h.Hint())
	}
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
	first := max(0, slices.IndexFunc(l, func(p diag.Diagnostic) bool { return p.Severity != diag.Warning }))
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
	f, ok := s.out.(*os.File)
	return ok && os.Getenv("NO_COLOR") == "" && isatty.IsTerminal(f.Fd())
}

// json prints a value as JSON.
func (s streams) json(v any) error {
	e := json.NewEncoder(s.out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
