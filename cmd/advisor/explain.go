package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

func newExplain(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{
		Use:   "explain [CODE]",
		Short: "Say more about an error: what it means, and how to mend it",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("name one code, as in `advisor explain FA0302`, or none to list them all")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := f.check(); err != nil && !errors.Is(err, errReported) { // or settings could not be mended
				return err
			}
			if len(args) == 0 {
				return listCodes(s, f)
			}
			code, err := codeNamed(args[0])
			if err != nil {
				return err
			}
			if f.format == "json" {
				return s.json(codePage{code, code.Title(), code.Page()})
			}
			return s.show(pageOf(code), f.color)
		},
	}
	f.flags(c)
	return c
}

// codePage is what `explain --format json` prints; in the list without the page.
type codePage struct {
	Code  diag.Code `json:"code"`
	Title string    `json:"title"`
	Page  string    `json:"page,omitempty"` // Markdown
}

// pageOf is a code's page under its code and title.
func pageOf(code diag.Code) *explain.Document {
	d := explain.Markdown(code.Page())
	d.Blocks[0] = explain.Heading(string(code) + ": " + code.Title())
	return d
}

// codeGroup is a topic, with the digits that its codes begin with.
type codeGroup struct{ digits, about string }

func (g codeGroup) holds(c diag.Code) bool { return strings.HasPrefix(string(c), "FA"+g.digits) }

// codeGroups are all topics, in order.
var codeGroups = []codeGroup{
	{"01", "Any file"},
	{"02", "Lengths and percentages"},
	{"03", "Bodies, cloths, patterns, charts and pieces"},
	{"04", "Garment types and their examples"},
	{"05", "Rules and expressions"},
	{"06", "Texts with braces"},
	{"07", "Found when an answer is asked for"},
	{"08", "Settings"},
}

func listCodes(s streams, f display) error {
	var all []codePage
	d := &explain.Document{}
	for _, g := range codeGroups {
		var steps explain.Steps
		for _, c := range diag.Codes() {
			if g.holds(c) {
				all = append(all, codePage{Code: c, Title: c.Title()})
				steps.Items = append(steps.Items, explain.Step{Mark: string(c), Text: c.Title()})
			}
		}
		d.Add(explain.Heading(g.about), steps)
	}
	if f.format == "json" {
		return s.json(all)
	}
	return s.show(d, f.color)
}

// codeNamed finds a code in any of the ways it may be typed: FA0104, fa104, 104.
func codeNamed(typed string) (diag.Code, error) {
	digits := strings.TrimPrefix(strings.ToUpper(typed), "FA")
	n, err := strconv.ParseUint(digits, 10, 16)
	if err != nil {
		return "", &noCodeError{typed: typed}
	}
	code, codes := diag.Code(fmt.Sprintf("FA%04d", n)), diag.Codes()
	at, found := slices.BinarySearch(codes, code)
	if !found {
		return "", &noCodeError{typed, codes[max(at-1, 0):min(at+1, len(codes))]}
	}
	return code, nil
}

// noCodeError says that there is no such code, and names those next to it.
type noCodeError struct {
	typed string
	near  []diag.Code
}

func (e *noCodeError) Error() string { return fmt.Sprintf("no error has the code %q", e.typed) }

// Hint names the codes near it.
func (e *noCodeError) Hint() string {
	if e.near == nil {
		return "a code is written like FA0302; `advisor explain` lists them all"
	}
	near := make([]string, len(e.near))
	for i, c := range e.near {
		near[i] = fmt.Sprintf("%s (%s)", c, c.Title())
	}
	return "near it: " + strings.Join(near, ", ") + "; `advisor explain` lists them all"
}
