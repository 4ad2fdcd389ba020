package batch

import (
	"io"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// List is bodies that were read already, each with what is wrong with its file.
type List struct {
	All  []Listed
	next int
}

// Listed is one of them.
type Listed struct {
	Name     string // where there is no body
	Body     *engine.Body
	Problems diag.List
}

// Next is the next of them.
func (l *List) Next() (recipes.BodyLine, error) {
	if l.next == len(l.All) {
		return recipes.BodyLine{}, io.EOF
	}
	l.next++
	return recipes.BodyLine{Number: l.next}, nil
}

// Body is the body of a line.
func (l *List) Body(line recipes.BodyLine) (*engine.Body, diag.List) {
	one := l.All[line.Number-1]
	if one.Body == nil {
		return &engine.Body{Name: one.Name}, one.Problems
	}
	return one.Body, one.Problems
}
