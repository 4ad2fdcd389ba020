package formula

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/explain/diag"
)

// What can be wrong with an expression, and with a text that has some in braces.
const (
	tooMuch         diag.Code = "FA0505" // too long, too deep, too many
	incomplete      diag.Code = "FA0506"
	brackets        diag.Code = "FA0507"
	badText         diag.Code = "FA0508"
	noSuchSign      diag.Code = "FA0509"
	badNumber       diag.Code = "FA0510"
	badList         diag.Code = "FA0511"
	misfit          diag.Code = "FA0512"
	unknownName     diag.Code = "FA0513"
	unknownFunction diag.Code = "FA0514"
	wrongCount      diag.Code = "FA0515" // of a function's values
	unlike          diag.Code = "FA0516" // compared with one another
	wrongKind       diag.Code = "FA0517"
	chained         diag.Code = "FA0518"
	noResult        diag.Code = "FA0519"
	noSuchWord      diag.Code = "FA0520"

	openBrace        diag.Code = "FA0601"
	unitless         diag.Code = "FA0602"
	conditionPrinted diag.Code = "FA0603"
	wrongPrinter     diag.Code = "FA0604"
)

// Problem is one thing wrong with an expression or a text.
type Problem struct {
	From, To int       // where, in characters from the beginning of the source; To is exclusive
	Code     diag.Code // what kind of mistake it is
	Summary  string    // what is wrong
	Hint     string    // how to mend it; may be empty
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
