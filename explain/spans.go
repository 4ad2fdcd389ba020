package explain

import "strings"

// Span is a part of a sentence: words, or what stands between two backticks, such
// as a command to type.
type Span struct {
	Text string
	Code bool
}

// Spans splits a sentence at its backticks. One without a partner is a letter like
// any other.
func Spans(s string) []Span {
	var spans []Span
	for s != "" {
		before, rest, open := strings.Cut(s, "`")
		code, after, closed := strings.Cut(rest, "`")
		if !open || !closed || code == "" {
			return append(spans, Span{Text: s})
		}
		if before != "" {
			spans = append(spans, Span{Text: before})
		}
		spans = append(spans, Span{Text: code, Code: true})
		s = after
	}
	return spans
}
