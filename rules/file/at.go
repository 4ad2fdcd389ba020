package file

// ProblemAt reports an error at a part of a scalar, given as rune offsets into its text.
func (v Value) ProblemAt(from, to int, summary, hint string) {
	if v.doc != nil {
		v.doc.Problem(v.Span(from, to), summary, hint)
	}
}
