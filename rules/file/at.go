package file

import "fitadvisor/explain/diag"

// ProblemAt reports an error at a part of a scalar, given as rune offsets into its text.
func (v Value) ProblemAt(from, to int, code diag.Code, summary, hint string) {
	if v.doc != nil {
		v.doc.Problem(v.Span(from, to), code, summary, hint)
	}
}
