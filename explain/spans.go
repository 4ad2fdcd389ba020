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

// Quoted is a sentence with what stands between backticks in quotes, as words: for
// readers who need not know how files spell a name.
func Quoted(s string) string {
	var b strings.Builder
	for _, span := range Spans(s) {
		if span.Code {
			b.WriteString("“" + strings.ReplaceAll(strings.TrimSuffix(span.Text, ":"), "_", " ") + "”")
			continue
		}
		b.WriteString(span.Text)
	}
	return b.String()
}
