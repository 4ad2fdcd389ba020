package file

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"fitadvisor/explain/diag"
)

// syntax reports why the YAML library could not read the text: where, in the words of someone who writes such a file by
// hand, with the usual mistake behind it where that can be guessed.
func (d *Doc) syntax(text []byte, err error) {
	lines := strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")
	m, ok := guessJSON(text)
	if !ok {
		m = guess(text, lines, err)
	}
	line := lines[m.line-1]
	before := line[:min(m.from, len(line))] // the place may lie in a line end that is no longer there
	d.Problem(d.at(m.line, utf8.RuneCountInString(before)+1, max(1, m.width)), m.code, m.summary, m.hint)
}

// mistake is what probably went wrong: in a line counted from 1, from a byte offset on, for a number of runes.
type mistake struct {
	line, from, width int
	code              diag.Code
	summary, hint     string
}

// guessJSON finds the mistake in a text that was meant to be JSON: one that begins with a brace and a quote.
func guessJSON(text []byte) (mistake, bool) {
	start, found := bytes.CutPrefix(bytes.TrimSpace(text), []byte("{"))
	if !found || !bytes.HasPrefix(bytes.TrimSpace(start), []byte(`"`)) {
		return mistake{}, false
	}
	var value any
	var wrong *json.SyntaxError
	if !errors.As(json.Unmarshal(text, &value), &wrong) {
		return mistake{}, false
	}
	before := text[:max(0, min(int(wrong.Offset), len(text))-1)]
	return mistake{
		line: bytes.Count(before, []byte("\n")) + 1, from: len(before) - bytes.LastIndexByte(before, '\n') - 1,
		code: notJSON, summary: "this is not JSON: " + wrong.Error(), hint: "look for a comma, a quote or a bracket that is missing or too many",
	}, true
}

// guess finds the mistake behind an error of the YAML library.
func guess(text []byte, lines []string, err error) mistake {
	message, n := locate(text, lines, err)
	is := func(part string) bool { return strings.Contains(message, part) }
	first := mistake{line: n, from: indentation(lines[n-1]), width: 1}
	switch {
	case is("tab character"), is("cannot start any token"), is("expected key"):
		if m, ok := tabIndent(lines, n, is("tab character")); ok {
			return m
		}
	case is("exceeded max depth"):
		return first.as(tooLarge, "maps and lists are too many levels deep", "")
	case is("block sequence entries"):
		first.from = max(strings.Index(lines[n-1], "- "), 0)
		return first.as(misplaced, "a list cannot begin here", "begin it on the next line, or write it in brackets, as in `[a, b]`")
	case is("comment or line break") && strings.ContainsAny(lines[n-1], "|>"):
		first.from = strings.LastIndexAny(lines[n-1], "|>")
		return first.as(misplaced, fmt.Sprintf("there is text after %c", lines[n-1][first.from]), "begin the text on the next line, indented")
	case is("<document start>"):
		return first.as(severalDocs, severalDocuments, severalDocumentsHint)
	case is("unknown anchor"):
		return unknownAlias(lines, first, message)
	}
	switch {
	case is("expected ':'"), is("mapping values"):
		return misplacedColon(lines, first, is("mapping values"))
	case is("unexpected end of stream"), is("document indicator"), is("expected key"), is("expected '-' indicator"):
		return misplacedEnd(lines, first)
	case is("',' or ']'"), is("',' or '}'"):
		return openBracket(lines, first)
	case is("escape"), is("hexdecimal"):
		return badEscape(lines, first)
	}
	return badStart(lines, first, message)
}

func (m mistake) as(code diag.Code, summary, hint string) mistake {
	m.code, m.summary, m.hint = code, summary, hint
	return m
}

// locate returns the library's message and the line that it is about. The library does not tell the first line from no
// line, and for a map it tells where the map begins; so the text is read again, after one more line.
func locate(text []byte, lines []string, err error) (message string, line int) {
	r := &lineReader{rest: append([]byte("#\n"), text...)}
	if again := readAll(r); again != nil {
		err = again
	}
	message = strings.TrimPrefix(err.Error(), "yaml: ")
	if number, rest, found := strings.Cut(strings.TrimPrefix(message, "line "), ": "); found && rest != "" {
		if n, err := strconv.Atoi(number); err == nil {
			line, message = n, rest
		}
	}
	switch {
	case strings.HasSuffix(message, "expected key"), strings.HasSuffix(message, "expected '-' indicator"):
		line = firstBad(lines, r.lines-1, line)
	case !strings.Contains(message, "',' or") && !strings.Contains(message, "node content"):
		line-- // errors within a line are counted from 1 already
	}
	return message, min(max(line, 1), len(lines))
}

// firstBad returns the line after the longest beginning of the text that can be read, looking back from the last line
// that the library had seen. It gives up, with the line otherwise known, before that takes long.
func firstBad(lines []string, seen, otherwise int) int {
	const mostBytes = 1 << 20
	read := 0
	for n := min(seen, len(lines)); n > 1; n-- {
		part := strings.Join(lines[:n-1], "\n") + "\n"
		if read += len(part); read > mostBytes {
			return otherwise
		}
		if readAll(strings.NewReader(part)) == nil {
			return n
		}
	}
	return 1
}

// readAll returns the first error in a text, nil if there is none.
func readAll(r io.Reader) error {
	decoder := yaml.NewDecoder(r)
	for {
		var n yaml.Node
		if err := decoder.Decode(&n); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// lineReader hands out a text line by line, as far as its buffer allows, and counts the lines.
type lineReader struct {
	rest  []byte
	lines int
}

func (r *lineReader) Read(p []byte) (int, error) {
	if len(r.rest) == 0 {
		return 0, io.EOF
	}
	n := len(r.rest)
	if end := bytes.IndexByte(r.rest, '\n'); end >= 0 {
		n = end + 1
	}
	n = copy(p, r.rest[:n])
	if n > 0 && r.rest[n-1] == '\n' {
		r.lines++
	}
	r.rest = r.rest[n:]
	return n, nil
}

// tabIndent finds a tab before the first letter of line n, or also of a later one.
func tabIndent(lines []string, n int, orLater bool) (mistake, bool) {
	if !orLater {
		lines = lines[:n]
	}
	for ; n <= len(lines); n++ {
		line := lines[n-1]
		blank := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		if tab := strings.IndexByte(blank, '\t'); tab >= 0 {
			return mistake{n, tab, 1, tabIndented, "a tab is used for indentation", "indent with spaces"}, true
		}
	}
	return mistake{}, false
}

// colonHint says what to do about a colon inside plain text, which a choice has too.
func colonHint(line string) string {
	if strings.Contains(line, " ? ") {
		return "write a choice as `if(condition, value, other value)`, or put all of it in quotes"
	}
	return "put the text in quotes"
}

// misplacedColon serves lines in which the colon of a key is missing, or there is one too many.
func misplacedColon(lines []string, m mistake, tooMany bool) mistake {
	for n := m.line; n >= max(m.line-1, 1); n-- {
		if colon, ok := colonWithoutSpace(lines[n-1]); ok {
			line := lines[n-1]
			at := mistake{line: n, from: colon, width: 1}
			return at.as(noColon, "there is no space after the colon",
				"write "+quote(strings.TrimSpace(line[:colon])+": "+strings.TrimSpace(line[colon+1:])))
		}
	}
	line := lines[m.line-1]
	first := strings.Index(line, ": ")
	second := strings.LastIndex(line, ":")
	switch {
	case !tooMany:
		return m.as(noColon, "there is no colon after the key", "write `key: value`; a text that goes on from the line above is indented further")
	case first >= 0 && second > first:
		m.from = second
		return m.as(colonInText, "there is a colon inside plain text", colonHint(line))
	}
	return m.as(misplaced, "this key is indented further than the ones above it", "begin all keys of one map in the same column")
}

// colonWithoutSpace finds the colon in a line like "hip:44".
func colonWithoutSpace(line string) (colon int, ok bool) {
	start := indentation(line)
	if strings.HasPrefix(line[start:], "- ") {
		start += 2
	}
	end := start
	for end < len(line) && (line[end] == '_' || line[end] == '-' || isLetterOrDigit(line[end])) {
		end++
	}
	if end == start || end+1 >= len(line) || line[end] != ':' || strings.IndexByte(" \t/:", line[end+1]) >= 0 {
		return 0, false
	}
	return end, true
}

func isLetterOrDigit(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
}

// misplacedEnd serves quotes that are not closed, text after what was closed, and lines that do not belong together.
func misplacedEnd(lines []string, m mistake) mistake {
	line := lines[m.line-1]
	marks := scanLine(line)
	if marks.openQuote >= 0 {
		m.from = marks.openQuote
		quote := line[marks.openQuote]
		return m.as(unclosedQuote, fmt.Sprintf("the quote %c is never closed", quote), fmt.Sprintf("write %c at the end of the text", quote))
	}
	rest := strings.Join(lines[m.line-1:], "\n") // a bracket may be closed further down
	for _, start := range marks.values {
		end := closed(rest, start)
		if end <= start {
			continue
		}
		tail, _, _ := strings.Cut(rest[end:], "\n")
		after := strings.TrimLeft(tail, " \t")
		if after == "" || after[0] == '#' || after[0] == ':' {
			continue
		}
		before := rest[:end] + tail[:len(tail)-len(after)]
		m.line += strings.Count(before, "\n")
		m.from = len(before) - strings.LastIndexByte(before, '\n') - 1
		m.width = utf8.RuneCountInString(strings.TrimRight(after, " \t"))
		code := unclosedQuote
		if c := rest[end-1]; c == ']' || c == '}' {
			code = unclosedBracket
		}
		return m.as(code, fmt.Sprintf("there is text after the closing %c", rest[end-1]), wholeText(rest[end-1]))
	}
	return m.as(misplaced, "this line does not fit the ones above it",
		"begin all keys of one map, and the `-` of all items of one list, in the same column")
}

// wholeText says how to write a text with a quote or bracket inside.
func wholeText(inside byte) string {
	switch inside {
	case '"':
		return "put the whole text in single quotes"
	case '\'':
		return "put the whole text in double quotes"
	}
	return "delete it, or put the whole text in quotes"
}

// openBracket serves brackets that are not closed, and entries without a comma between them.
func openBracket(lines []string, m mistake) mistake {
	line := lines[m.line-1]
	at := scanLine(line).openBracket
	if at < 0 {
		at = strings.IndexAny(line, "[{")
	}
	if at < 0 {
		return m.as(unclosedBracket, "a bracket is not closed, or a comma is missing", "")
	}
	m.from = at
	open := line[at]
	return m.as(unclosedBracket, fmt.Sprintf("the bracket %c is not closed, or a comma is missing after it", open),
		fmt.Sprintf("write %c at the end and a comma between the entries", open+2)) // in ASCII, two after [ is ], two after { is }
}

// badStart serves text that begins with a character that has a meaning of its own, and what nobody foresaw.
func badStart(lines []string, m mistake, message string) mistake {
	line := lines[m.line-1]
	marks := scanLine(line)
	if marks.openBracket >= 0 {
		return openBracket(lines, m)
	}
	for _, start := range marks.values {
		if strings.IndexByte("@`%&*!,]}", line[start]) >= 0 {
			m.from = start
			return m.as(ownSign, fmt.Sprintf("text cannot begin with %c", line[start]), "put the text in quotes")
		}
	}
	return m.as(ownSign, "this cannot be read as YAML: "+message, "put a text with unusual characters in quotes")
}

// badEscape serves a backslash in double quotes that is not the beginning of an escape.
func badEscape(lines []string, m mistake) mistake {
	if at := strings.IndexByte(lines[m.line-1], '\\'); at >= 0 {
		m.from, m.width = at, 2
	}
	return m.as(ownSign, "a backslash in double quotes begins an escape that does not exist",
		"write it twice, or put the text in single quotes")
}

// unknownAlias serves text that begins with a star.
func unknownAlias(lines []string, m mistake, message string) mistake {
	_, name, _ := strings.Cut(message, "'")
	name, _, _ = strings.Cut(name, "'")
	for i, line := range lines {
		if at := strings.Index(line, "*"+name); at >= 0 {
			m.line, m.from, m.width = i+1, at, 1+utf8.RuneCountInString(name)
			break
		}
	}
	return m.as(notRead, noAliases, noAliasesHint)
}

// lineMarks are the places in a line where its key and its value begin, and the quote and bracket left open at its
// end, -1 if there is none.
type lineMarks struct {
	values                 []int
	openQuote, openBracket int
}

func scanLine(line string) lineMarks {
	m := lineMarks{openQuote: -1, openBracket: -1}
	var open []int
	expected := true // a key, value or item may begin here
	for i := indentation(line); i < len(line); i++ {
		switch c := line[i]; {
		case isComment(line, i):
			return m.with(open)
		case expected && isQuote(c):
			end := closed(line, i)
			if end < 0 {
				m.openQuote = i
				return m.with(open)
			}
			m.add(i, open)
			i, expected = end-1, false
		case isBlank(c), expected && strings.HasPrefix(line[i:], "- "):
		case c == ':' && beforeBlank(line, i), c == ',' && len(open) > 0:
			expected = true
		case isOpening(c) && (expected || len(open) > 0):
			m.add(i, open)
			open, expected = append(open, i), true
		case isClosing(c) && len(open) > 0:
			open, expected = open[:len(open)-1], false
		case expected:
			m.add(i, open)
			expected = false
		}
	}
	return m.with(open)
}

func isComment(line string, i int) bool { return line[i] == '#' && i > 0 && line[i-1] == ' ' }

func isBlank(c byte) bool   { return c == ' ' || c == '\t' }
func isQuote(c byte) bool   { return c == '\'' || c == '"' }
func isOpening(c byte) bool { return c == '[' || c == '{' }
func isClosing(c byte) bool { return c == ']' || c == '}' }

// beforeBlank tells whether a space or the end of the line follows a place.
func beforeBlank(line string, i int) bool { return i+1 == len(line) || line[i+1] == ' ' }

// add keeps the beginning of a key or value that is not inside brackets.
func (m *lineMarks) add(i int, open []int) {
	if len(open) == 0 {
		m.values = append(m.values, i)
	}
}

func (m lineMarks) with(open []int) lineMarks {
	if len(open) > 0 {
		m.openBracket = open[0]
	}
	return m
}

// closed returns the place after a quoted or bracketed text that begins at start: -1 if it is not closed in the text,
// start itself if neither a quote nor a bracket stands there.
func closed(text string, start int) int {
	c := text[start]
	switch c {
	case '[', '{':
		return closedBracket(text, start)
	case '"', '\'':
		for i := start + 1; i < len(text); i++ {
			switch {
			case c == '"' && text[i] == '\\', c == '\'' && strings.HasPrefix(text[i:], "''"):
				i++
			case text[i] == c:
				return i + 1
			}
		}
		return -1
	}
	return start
}

func closedBracket(text string, start int) int {
	depth := 0
	for i := start; i < len(text); i++ {
		switch text[i] {
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case '"', '\'':
			if end := closed(text, i); end > 0 && strings.IndexByte("[{,: ", text[i-1]) >= 0 {
				i = end - 1
			}
		}
	}
	return -1
}

func indentation(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }
