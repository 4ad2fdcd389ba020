package diag

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	mostShown = 20  // problems printed before the rest is only counted
	widest    = 100 // runes of a line shown in a snippet
	lead      = 40  // runes kept before the caret where a line is cut
)

// Sources holds the files that problems may point into, by the name in [Range.File].
type Sources map[string][]byte

// Write prints the list in the order given, each problem with its line from src and its hint, as plain text. At most 20
// problems are printed; the rest is counted. The error is that of w.
func Write(w io.Writer, l List, src Sources) error {
	out := bufio.NewWriter(w)
	for i, d := range l {
		if i == mostShown {
			fmt.Fprintln(out, andMore(len(l)-mostShown))
			break
		}
		fmt.Fprintln(out, d)
		writeSnippet(out, d.Range, src[d.Range.File])
		if d.Hint != "" {
			fmt.Fprintln(out, "  hint: "+visible(d.Hint))
		}
	}
	return out.Flush()
}

func writeSnippet(w io.Writer, r Range, source []byte) {
	raw, ok := lineOf(source, r.Start.Line)
	if !ok || r.Sheet != "" {
		return
	}
	line := []rune(visible(string(raw)))
	from, to := caret(r, len(line))
	line, from, to = cut(line, from, to)
	number := fmt.Sprintf("%5d", r.Start.Line)
	fmt.Fprintln(w, strings.TrimRight(number+" | "+string(line), " "))
	fmt.Fprintf(w, "%*s | %*s%s\n", len(number), "", from, "", strings.Repeat("^", to-from))
}

// lineOf returns the text of line number n, counted from 1, without its line ending and without a byte order mark.
func lineOf(source []byte, n int) ([]byte, bool) {
	if n < 1 || len(source) == 0 {
		return nil, false
	}
	source = bytes.TrimPrefix(source, []byte("\ufeff"))
	for ; n > 1; n-- {
		end := bytes.IndexByte(source, '\n')
		if end < 0 {
			return nil, false
		}
		source = source[end+1:]
	}
	line, _, _ := bytes.Cut(source, []byte("\n"))
	return bytes.TrimSuffix(line, []byte("\r")), true
}

// caret returns the part of a line of the given length that r covers, counted from 0: at least one rune wide, to the
// end of the line where r ends on a later one.
func caret(r Range, length int) (from, to int) {
	from = min(max(r.Start.Column-1, 0), length)
	to = length
	if r.End.Line <= r.Start.Line {
		to = min(r.End.Column-1, length)
	}
	return from, max(to, from+1)
}

// cut shortens a long line to the part around the caret, with an ellipsis where text was left out.
func cut(line []rune, from, to int) ([]rune, int, int) {
	if len(line) <= widest {
		return line, from, to
	}
	start := min(max(from-lead, 0), len(line)-widest)
	part := append([]rune(nil), line[start:start+widest]...)
	if start > 0 {
		part[0] = '…'
	}
	if start+widest < len(line) {
		part[widest-1] = '…'
	}
	return part, from - start, max(min(to-start, widest), from-start+1)
}

// Odd reports whether a character has no place in a text of one line, since it moves a terminal's cursor, turns the
// direction of what follows or cannot be seen. Those that join letters are not odd.
func Odd(r rune) bool {
	switch {
	case r >= 0x200e && r <= 0x200f, r >= 0x2028 && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x061c, r == 0x200b, r == 0xfeff:
		return true
	}
	return unicode.IsControl(r)
}

// Visible writes odd characters as escapes, as in \x1b, save the ends of lines and tabs.
func Visible(s string) string {
	if strings.IndexFunc(s, Odd) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if !Odd(r) || r == '\n' || r == '\t' {
			b.WriteRune(r)
			continue
		}
		b.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
	}
	return b.String()
}

// visible replaces each character that would move a terminal's cursor or hide text, rune by rune, so that columns stay.
func visible(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || unicode.Is(unicode.Zs, r):
			return ' '
		case !unicode.IsPrint(r):
			return utf8.RuneError
		}
		return r
	}, s)
}
