package file_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// TestSpan looks up a part of a text of the file, which holds the same letters in the source save where escapes are meant,
// and compares its place. In the source the part is marked by « and », which are taken out before it is read.
func TestSpan(t *testing.T) {
	tests := []struct{ name, source, part string }{
		{"plain", "a: body.hip > «body.wiast»\n", "body.wiast"},
		{"plain, the whole", "a: «wiast»  # comment\n", "wiast"},
		{"plain, after other letters than a to z", "Größe: «wiast» é\n", "wiast"},
		{"plain, behind them", "Größe: ½ é «wiast»\n", "wiast"},
		{"plain, carriage returns", "x: 1\r\na: hip «wiast»\r\n", "wiast"},
		{"plain, a tab inside", "a: hip\t«wiast»\n", "wiast"},
		{"plain, folded", "a: hip\n  and\n  the «wiast»\n", "wiast"},
		{"plain, folded over blank lines", "a: hip\n\n\n  the «wiast»\n", "wiast"},
		{"plain, folded with blanks at the end", "a: hip  \r\n   \r\n  the «wiast» x\r\n", "wiast"},
		{"plain, across lines", "a: hip «and\n  the» wiast\n", "and the"},
		{"plain, up to the end of a line", "a: hip «and\n»  wiast\n", "and "},
		{"single quotes", "a: 'hip > «wiast»'\n", "wiast"},
		{"single quotes, with an apostrophe", "a: 'it''s the «wiast» of ''x'''\n", "wiast"},
		{"single quotes, an apostrophe itself", "a: 'it«''»s'\n", "'"},
		{"single quotes, folded", "a: 'hip\n  ''and''\n\n  the «wiast»'\n", "wiast"},
		{"double quotes", "a: \"hip > «wiast»\"\n", "wiast"},
		{"double quotes, with escapes", `a: "\"hip\" \t \x41 \u00e9 \U0001F9F5 «wiast» \\"` + "\n", "wiast"},
		{"double quotes, an escape itself", `a: "x «\u00e9» y"` + "\n", "é"},
		{"double quotes, folded", "a: \"hip\n\n  the «wiast»\"\n", "wiast"},
		{"double quotes, lines joined", "a: \"hip \\\n   \\\n  the «wiast»\"\n", "wiast"},
		{"JSON", `{"é": "\/ \ud83e\uddf5 \u00e9 «wiast»"}` + "\n", "wiast"},
		{"JSON, several lines", "{\n\t\"x\": [1, 2],\n\t\"a\": \"hip «wiast»\"\n}\n", "wiast"},
		{"JSON, no pair", `{"a": "\ud83e\u00e9 «wiast»"}` + "\n", "wiast"},
		{"JSON, no pair either", `{"a": "\ud83e\ud83e «wiast»"}` + "\n", "wiast"},
		{"literal", "a: |\n  hip\n  and «wiast»\n", "wiast"},
		{"literal, first line", "a: |\n  «wiast»\n  and\n", "wiast"},
		{"literal, blank and deeper lines", "a: |-  # comment\n\n  hip\n\n    and\n  the é «wiast»\n\n", "wiast"},
		{"literal, carriage returns", "a: |\r\n  hip\r\n  and «wiast»\r\n", "wiast"},
		{"literal, first line deeper", "a: |2\n    hip\n  the «wiast»\n", "wiast"},
		{"literal, no line break at the end", "a: |\n  hip\n  the «wiast»", "wiast"},
		{"literal, the end of a line", "a: |\n  hi«p\n»  wiast\n", "p\n"},
		{"literal in a list", "- |\n  hip\n  «wiast»\n", "wiast"},
		{"folded", "a: >\n  hip\n  and «wiast»\n", "wiast"},
		{"folded, first line", "a: >\n  «wiast»\n  and\n", "wiast"},
		{"folded, blank lines", "a: >\n  hip\n\n\n  and\n  the «wiast» x\n", "wiast"},
		{"folded, blank lines first", "a: >\n\n  hip\n  the «wiast»\n", "wiast"},
		{"folded, deeper lines", "a: >-\n  hip\n    deeper\n  the «wiast»\n", "wiast"},
		{"folded, carriage returns", "a: >\r\n  hip\r\n  é «wiast»\r\n", "wiast"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			want := diag.Range{File: "f", Start: placeOf(tt.source, "«"), End: placeOf(tt.source, "»")}
			want.End.Column -= strings.Count(lineOf(tt.source, want.End.Line), "«")
			source := strings.NewReplacer("«", "", "»", "").Replace(tt.source)
			d := file.Open("f", []byte(source))
			v := value(d)
			text := []rune(v.Text())
			from := strings.Index(v.Text(), tt.part)
			if from < 0 {
				t.Fatalf("%q is not in %q: %v", tt.part, v.Text(), d.Problems())
			}
			from = len([]rune(v.Text()[:from]))
			if want.End.Column == 1 { // a line break is the last column of its line
				want.End = lineBreak(source, want.End.Line-1)
				want.End.Column++
			}
			if got := v.Span(from, from+len([]rune(tt.part))); got != want {
				t.Errorf("got %v, want %v in %q", got, want, text)
			}
		})
	}
}

// value returns the last value of a file of one map or list.
func value(d *file.Doc) file.Value {
	root := d.Root()
	if root.IsList() {
		return root.Items()[0]
	}
	keys := root.Map().Keys()
	return root.Map().Get(keys[len(keys)-1].Text())
}

func placeOf(source, mark string) diag.Pos {
	before, _, _ := strings.Cut(source, mark)
	line := strings.Count(before, "\n")
	return diag.Pos{Line: line + 1, Column: len([]rune(before[strings.LastIndex(before, "\n")+1:])) + 1}
}

func lineOf(source string, line int) string { return strings.Split(source, "\n")[line-1] }

func lineBreak(source string, line int) diag.Pos {
	return diag.Pos{Line: line, Column: len([]rune(strings.TrimRight(lineOf(source, line), "\r"))) + 1}
}

func TestSpanOutside(t *testing.T) {
	d := file.Open("f", []byte("a: wiast\nb: [x]\nc:\n"))
	m := d.Root().Map()
	for _, tt := range []struct {
		v        file.Value
		from, to int
		want     string
	}{
		{m.Get("a"), -5, 2, "1:4-1:6"},
		{m.Get("a"), 2, 1000, "1:6-1:9"},
		{m.Get("a"), 4, 1, "1:8-1:8"},
		{m.Get("b"), 1, 2, "2:4-2:5"},
		{m.Get("c"), 1, 2, "3:3-3:3"},
		{file.Value{}, 1, 2, "0:0-0:0"},
	} {
		if got := show(tt.v.Span(tt.from, tt.to)); got != tt.want {
			t.Errorf("%d to %d: %s, want %s", tt.from, tt.to, got, tt.want)
		}
	}
}

func TestRange(t *testing.T) {
	d := file.Open("f", []byte("\ufeffa: 38 1/2  # plain\nb: 'it''s'\nc: \"\\u00e9\"\nd: |\n  x\n  yz\n\ne: [1, 2]\nf: {g: 1}\nh:\n  i: 1\nj:\nk: ~\nl: ''\nm: two\n  lines\no: >\nq: >+\n\n\nr: |+\n\np: |"))
	m := d.Root().Map()
	for key, want := range map[string]string{
		"a": "1:4-1:10", "b": "2:4-2:11", "c": "3:4-3:12", "d": "4:4-6:5", "e": "8:4-8:5", "f": "9:4-9:5", "h": "11:3-11:4",
		"j": "12:3-12:3", "k": "13:4-13:5", "m": "15:4-16:8", "n": "0:0-0:0",
	} {
		if got := show(m.Get(key).Range()); got != want {
			t.Errorf("%s: %s, want %s", key, got, want)
		}
	}
	if got := show(m.Range()); got != "1:1-1:2" || len(d.Problems()) > 0 {
		t.Errorf("%s, %v", got, d.Problems())
	}
	var blank []string
	for _, key := range []string{"l", "o", "q", "r", "p"} {
		m.Get(key)
	}
	for _, p := range d.Problems() {
		blank = append(blank, show(p.Range))
	}
	if d := cmp.Diff([]string{"14:4-14:6", "17:4-17:5", "18:4-18:5", "21:4-21:5", "23:4-23:5"}, blank); d != "" {
		t.Error("texts of nothing: " + d)
	}
}

func show(r diag.Range) string {
	r.File = "f"
	if r.Start.Line == 0 {
		return "0:0-0:0"
	}
	end := diag.Range{File: "f", Start: r.End}
	return strings.TrimPrefix(r.String(), "f:") + "-" + strings.TrimPrefix(end.String(), "f:")
}
