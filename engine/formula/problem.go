package formula

import (
	"fmt"
	"slices"
	"strings"
)

// Problem is one thing wrong with an expression or a text.
type Problem struct {
	From, To int    // where, in characters from the beginning of the source; To is exclusive
	Summary  string // what is wrong
	Hint     string // how to mend it; may be empty
}

// Problems are all the things wrong with one source, in the order of their
// places. As an error it is the first of them and the number of the others.
type Problems []Problem

func (p Problems) Error() string {
	switch len(p) {
	case 0:
		return "no problems"
	case 1:
		return p[0].Summary
	case 2:
		return p[0].Summary + ", and 1 more problem"
	}
	return fmt.Sprintf("%s, and %d more problems", p[0].Summary, len(p)-1)
}

// err returns the problems in order, or nil where there are none.
func (p Problems) err() error {
	if len(p) == 0 {
		return nil
	}
	slices.SortStableFunc(p, func(a, b Problem) int { return a.From - b.From })
	return p
}

// Missing is the error of a formula that was not run because names that it
// needs have no value.
type Missing struct {
	Names []string // in the order of the source
}

func (m *Missing) Error() string {
	return "not known: " + strings.Join(m.Names, ", ")
}

// RunError is the error of a formula that was run and gave no usable result.
type RunError struct {
	Problem
}

func (e *RunError) Error() string { return e.Summary }
