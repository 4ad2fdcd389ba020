// Package advice answers which size to cut: the one way from what people write to what the engine says of it, for the command
// line, the page, a browser and any program that imports it. It reads texts that are handed to it, and no disk, clock or network.
//
// [Ask] answers one [Question], whose files are opened by [Open]. Who asks many keeps a [Reader], with the garment types
// and rules that were read already.
package advice

import (
	"errors"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Reply is what came of a question.
type Reply struct {
	Answer   *engine.Answer // nil: the problems say why there is none
	Err      error          // the same as an error: an [engine.UnknownError] has the measurement that is missing
	Problems diag.List      // mistakes, warnings, and notes on how something was read
	Sources  diag.Sources   // the texts that the problems lie in
}

// Ask answers a question by the shipped garment types and rules.
func Ask(q Question) Reply {
	d, err := NewReader()
	if err != nil {
		return Reply{Err: err, Problems: diag.List{asProblem(err)}}
	}
	return d.Reply(q)
}

// Reply answers a question, whatever is wrong with it as data.
func (d *Reader) Reply(q Question) Reply {
	r, err := d.Request(q)
	var a *engine.Answer
	if err == nil {
		err = d.Problems.Err()
	}
	if err == nil {
		a, err = d.Answer(r, q.With)
	}
	if err != nil && !d.Problems.HasErrors() {
		d.Tell(asProblem(err))
	}
	return Reply{a, err, d.Problems, d.Sources}
}

// Document lays the answer out for a renderer below explain; nil where there is no answer.
func (r Reply) Document() *explain.Document {
	if r.Answer == nil {
		return nil
	}
	return report.Size(r.Answer, nil)
}

// asProblem is an error that lies in no file.
func asProblem(err error) diag.Diagnostic {
	p := diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: err.Error()}
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		p.Hint = hinted.Hint()
	}
	return p
}
