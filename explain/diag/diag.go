// Package diag holds what is wrong with a file a person wrote, as data: where it is, what is wrong and how to mend it.
//
// A reader of files collects a [List], with all problems of a file at once, and returns [List.Err]. Only the command at
// the outside prints, with [Write], which shows each problem with its line and a hint:
//
//	wren.yaml:8:3: error[FA0302]: unknown measurement `hips`
//	    8 |   hips: 44 1/4
//	      |   ^^^^
//	  hint: did you mean `hip`?
//
// Each problem has a [Code], and each code a [Page] that says more.
package diag

import (
	"cmp"
	"fmt"
	"slices"
)

// Pos is a place in a text. Lines and columns count from 1; a column counts runes, not bytes.
type Pos struct{ Line, Column int }

// Range is the part of a file from Start up to, not including, End. The zero Range is no place at all; a Range with a
// File but no Start line is the file as a whole. In a spreadsheet, lines and columns are those of a sheet's cells.
type Range struct {
	File       string
	Sheet      string // empty in a text
	Start, End Pos
}

// Cell returns the place as a spreadsheet names it: line 7, column 3 is "C7".
func (p Pos) Cell() string {
	letters := ""
	for n := p.Column; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return fmt.Sprintf("%s%d", letters, p.Line)
}

// IsZero reports whether r is no place.
func (r Range) IsZero() bool { return r == Range{} }

// String returns the start of the range as "rules/cloth.yaml:12:3", or "chart.xlsx:Sizes!C7" in a spreadsheet, the
// file alone where there is no line, and "" where there is no file.
func (r Range) String() string {
	if r.File == "" || r.Start.Line == 0 {
		return r.File
	}
	if r.Sheet != "" {
		return r.File + ":" + r.Sheet + "!" + r.Start.Cell()
	}
	return fmt.Sprintf("%s:%d:%d", r.File, r.Start.Line, r.Start.Column)
}

// Severity says whether a problem makes the file unusable. Its zero value is treated as [Error].
type Severity int

const (
	Error   Severity = iota + 1 // the file is not used
	Warning                     // the file is used, and the person should know
	Note                        // nothing is wrong: it says how something was read
)

// String returns "error", "warning" or "note".
func (s Severity) String() string {
	switch s {
	case Warning:
		return "warning"
	case Note:
		return "note"
	}
	return "error"
}

// Code names a kind of mistake, such as "FA0302": one that a person makes and mends in one way. The code stands where
// problems of its kind are made, as a constant.
type Code string

// Diagnostic is one problem: what is wrong (Summary, without a full stop), how to mend it (Hint, may be empty) and
// where it is.
type Diagnostic struct {
	Severity      Severity
	Code          Code
	Summary, Hint string
	Range         Range
}

// String returns the problem on one line, without its hint. Characters that would disturb a terminal are replaced.
func (d Diagnostic) String() string {
	head := d.Severity.String()
	if d.Code != "" {
		head += "[" + string(d.Code) + "]"
	}
	head += ": " + d.Summary
	if place := d.Range.String(); place != "" {
		head = place + ": " + head
	}
	return visible(head)
}

// List is any number of problems. As an error it names the first one and counts the rest.
type List []Diagnostic

// Error returns "rules/cloth.yaml:12:3: error[FA0515]: ..., and 2 more problems".
func (l List) Error() string {
	if len(l) == 0 {
		return "no problems"
	}
	first := max(0, slices.IndexFunc(l, Diagnostic.IsError))
	if len(l) == 1 {
		return l[first].String()
	}
	return l[first].String() + ", " + andMore(len(l)-1)
}

// Err returns the list as an error, or nil if it holds nothing worse than warnings.
func (l List) Err() error {
	if !l.HasErrors() {
		return nil
	}
	return l
}

// HasErrors reports whether any problem in the list is more than a warning.
func (l List) HasErrors() bool { return slices.ContainsFunc(l, Diagnostic.IsError) }

// Sort orders the list by file, line, column and summary.
func (l List) Sort() {
	slices.SortStableFunc(l, func(a, b Diagnostic) int {
		return cmp.Or(
			cmp.Compare(a.Range.File, b.Range.File),
			cmp.Compare(a.Range.Sheet, b.Range.Sheet),
			cmp.Compare(a.Range.Start.Line, b.Range.Start.Line),
			cmp.Compare(a.Range.Start.Column, b.Range.Start.Column),
			cmp.Compare(a.Summary, b.Summary),
		)
	})
}

// IsError reports whether the problem makes the file unusable.
func (d Diagnostic) IsError() bool { return d.Severity != Warning && d.Severity != Note }

func andMore(n int) string {
	if n == 1 {
		return "and 1 more problem"
	}
	return fmt.Sprintf("and %d more problems", n)
}
