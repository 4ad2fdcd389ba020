package file_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// cloth is what a loader makes of a file, in these tests.
type cloth struct {
	Kind, Name, Taken string
	Prewashed         bool
	Layers            int
	Width             quantity.Length
	Repeat            quantity.Range
	Recovery          float64
	Stretch           quantity.PercentRange
	Ends, Uses        []string
	From, To          quantity.Length
}

func readCloth(d *file.Doc) (c cloth) {
	root := d.Root().Map()
	if u, err := quantity.ParseUnit(root.Get("units").Text()); err == nil {
		d.SetUnits(u)
	}
	c.Kind, _ = root.Need("kind").OneOf("cloth", "body", "pattern")
	c.Name = root.Get("name").Text()
	c.Taken, _ = root.Get("taken").Date()
	c.Prewashed, _ = root.Get("prewashed").Bool()
	c.Layers, _ = root.Get("layers").Whole()
	c.Width, _ = root.Get("width").Length()
	c.Repeat, _ = root.Get("repeat").LengthRange()
	c.Recovery, _ = root.Get("recovery").Percent()
	c.Stretch, _ = root.Get("stretch").PercentRange()
	for _, v := range root.Get("ends").Cells() {
		c.Ends = append(c.Ends, v.Text())
	}
	for _, v := range root.Get("uses").ItemsOrOne() {
		c.Uses = append(c.Uses, v.Text())
	}
	gauge := root.Get("gauge").Map()
	c.From, _ = gauge.Need("from").Length()
	c.To, _ = gauge.Need("to").Length()
	gauge.Close("a gauge reading")
	root.Close("a cloth file")
	return c
}

func render(t *testing.T, d *file.Doc) string {
	t.Helper()
	var b strings.Builder
	if err := diag.Write(&b, d.Problems(), diag.Sources{d.Name(): d.Source()}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestRead(t *testing.T) {
	const in = quantity.Inch
	want := cloth{
		Kind: "cloth", Name: "washed linen", Taken: "2024-02-29", Prewashed: true, Layers: 2, Width: 55*in + in/2,
		Repeat:   quantity.Range{Low: 2 * in, High: 3 * in, HasLow: true, HasHigh: true},
		Recovery: 95, Stretch: quantity.PercentRange{Low: 3, HasLow: true},
		Ends: []string{"00", "0", ""}, Uses: []string{"shirt"}, From: 4 * in, To: 5 * in,
	}
	for name, text := range map[string]string{
		"yaml": `# a cloth
kind: cloth
name: 'washed linen'
units: in
taken: 2024-02-29
prewashed: true
layers: 2
width: 55 1/2
repeat: 2-3
recovery: 95 %
stretch: 3 % ..
ends: [00, 0, ~]
uses: shirt
gauge: {from: 4 in, to: 5}
`,
		"json": "{\n\t\"kind\": \"cloth\", \"name\": \"washed\\u0020linen\", \"units\": \"in\", \"taken\": \"2024-02-29\",\n" +
			"\t\"prewashed\": true, \"layers\": 2, \"width\": 55.5, \"repeat\": \"2-3\", \"recovery\": \"95 %\", \"stretch\": \"3 % ..\",\n" +
			"\t\"ends\": [\"00\", 0, null], \"uses\": [\"shirt\"], \"gauge\": {\"from\": \"4 in\", \"to\": 5}}\n",
		"carriage returns and a byte order mark": "\ufeffkind: cloth\r\nname: washed\r\n  linen\r\nunits: in\r\ntaken: 2024-02-29\r\nprewashed: true\r\n" +
			"layers: 2\r\nwidth: 55½\r\nrepeat: 2 .. 3\r\nrecovery: 95 %\r\nstretch: 3 % ..\r\nends:\r\n- 00\r\n- \"0\"\r\n-\r\n" +
			"uses: [shirt]\r\ngauge:\r\n  from: 4\r\n  to: 5\"\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			d := file.Open("linen", []byte(text))
			got := readCloth(d)
			if d := cmp.Diff(want, got); d != "" {
				t.Error(d)
			}
			if problems := render(t, d); problems != "" {
				t.Error(problems)
			}
		})
	}
}

func TestJSONEscapes(t *testing.T) {
	d := file.Open("x.json", []byte(`{"a": "\/ \ud83e\uddf5 \t\"é\""}`))
	if got := d.Root().Map().Get("a").Text(); got != "/ 🧵 \t\"é\"" || len(d.Problems()) > 0 {
		t.Errorf("%q, %v", got, d.Problems())
	}
}

// TestBad compares all that is said about files with mistakes.
func TestBad(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"values of the wrong kind", `kind: linnen
name: [a, b]
taken: 2026-02-30
prewashed: yes
layers: 1.5
width: 55
repeat: 3-2 in
recovery: 95
stretch: 3 cm
ends: 3
uses: {a: b}
gauge: 5 in
`, `
l:1:7: error[FA0121]: expected ¶cloth¶, ¶body¶ or ¶pattern¶, got ¶linnen¶
    1 | kind: linnen
      |       ^^^^^^
l:2:7: error[FA0120]: expected text, got a list
    2 | name: [a, b]
      |       ^
l:3:8: error[FA0123]: expected a date, got ¶2026-02-30¶
    3 | taken: 2026-02-30
      |        ^^^^^^^^^^
  hint: write year, month and day, as in ¶2026-11-02¶
l:4:12: error[FA0121]: expected ¶true¶ or ¶false¶, got ¶yes¶
    4 | prewashed: yes
      |            ^^^
  hint: write ¶true¶
l:5:9: error[FA0122]: expected a whole number, got ¶1.5¶
    5 | layers: 1.5
      |         ^^^
  hint: write a number such as ¶2¶, without a sign, decimals or a unit
l:6:8: error[FA0201]: ¶55¶ has no unit
    6 | width: 55
      |        ^^
  hint: write ¶55 cm¶ or ¶55 in¶, or say the unit once for all, with ¶units:¶ in a file or in a heading such as ¶hip (cm)¶
l:7:9: error[FA0205]: the range runs from the larger end to the smaller
    7 | repeat: 3-2 in
      |         ^^^^^^
  hint: write the smaller end first
l:8:11: error[FA0208]: ¶95¶ has no percent sign
    8 | recovery: 95
      |           ^^
  hint: write ¶95 %¶
l:9:10: error[FA0208]: expected a percentage, got a length
    9 | stretch: 3 cm
      |          ^^^^
  hint: a percentage is written like ¶25 %¶
l:10:7: error[FA0119]: expected a list, got a single value
   10 | ends: 3
      |       ^
  hint: write it in brackets, as in ¶[a, b]¶, or each item on a line after ¶- ¶
l:11:7: error[FA0120]: expected text, got keys with values
   11 | uses: {a: b}
      |       ^
l:12:8: error[FA0118]: expected keys with values, got a single value
   12 | gauge: 5 in
      |        ^^^^
  hint: write them as ¶key: value¶
`},
		{"near words", "kind: cloht\nprewashed: No\nwidht: 3 cm\ncolour: red\ngauge: {from: 1 cm, tu: 2 cm}\n", `
l:1:7: error[FA0121]: expected ¶cloth¶, ¶body¶ or ¶pattern¶, got ¶cloht¶
    1 | kind: cloht
      |       ^^^^^
  hint: did you mean ¶cloth¶?
l:2:12: error[FA0121]: expected ¶true¶ or ¶false¶, got ¶No¶
    2 | prewashed: No
      |            ^^
  hint: write ¶false¶
l:3:1: error[FA0116]: unknown key ¶widht¶ in a cloth file
    3 | widht: 3 cm
      | ^^^^^
  hint: did you mean ¶width¶?
l:4:1: error[FA0116]: unknown key ¶colour¶ in a cloth file
    4 | colour: red
      | ^^^^^^
  hint: the keys here are: units, kind, name, taken, prewashed, layers, width, repeat, recovery, stretch, ends, uses, gauge
l:5:8: error[FA0117]: the key ¶to¶ is missing here
    5 | gauge: {from: 1 cm, tu: 2 cm}
      |        ^
  hint: write ¶to: ...¶
l:5:21: error[FA0116]: unknown key ¶tu¶ in a gauge reading
    5 | gauge: {from: 1 cm, tu: 2 cm}
      |                     ^^
  hint: the keys here are: from, to
`},
		{"missing and empty", "name:\nkind: ~\nlayers: many\nprewashed: perhaps\ngauge:\n", `
l:2:7: error[FA0117]: ¶kind¶ has no value
    2 | kind: ~
      |       ^
l:3:9: error[FA0122]: expected a whole number, got ¶many¶
    3 | layers: many
      |         ^^^^
  hint: write a number such as ¶2¶, without a sign, decimals or a unit
l:4:12: error[FA0121]: expected ¶true¶ or ¶false¶, got ¶perhaps¶
    4 | prewashed: perhaps
      |            ^^^^^^^
  hint: write ¶true¶ or ¶false¶
`},
		{"the part at fault", "kind: cloth\nwidth: \"1,400 m\"\nrepeat: [1, 2]\ngauge: {from: 4 ells, to: 5 inches}\n", `
l:2:9: error[FA0203]: ¶1,400¶ can be read in two ways
    2 | width: "1,400 m"
      |         ^^^^^
  hint: write 1.400 with a point, or 1400 without the comma
l:3:9: error[FA0120]: expected a range of lengths, got a list
    3 | repeat: [1, 2]
      |         ^
l:4:17: error[FA0202]: unknown unit ¶ells¶
    4 | gauge: {from: 4 ells, to: 5 inches}
      |                 ^^^^
  hint: the units are cm, mm, m, in, ft and %
l:4:29: error[FA0202]: unknown unit ¶inches¶
    4 | gauge: {from: 4 ells, to: 5 inches}
      |                             ^^^^^^
  hint: write ¶in¶
`},
		{"a list for a file", "- kind: cloth\n", `
l:1:1: error[FA0118]: expected keys with values, got a list
    1 | - kind: cloth
      | ^
  hint: write them as ¶key: value¶
`},
		{"anchors, aliases, tags, odd keys, repeats", `kind: &k cloth
name: *k
width: !length 3 cm
? [a, b]
: c
*k : d
kind: body
taken: 2026-11-02
`, `
l:1:7: error[FA0106]: anchors are not read
    1 | kind: &k cloth
      |       ^
  hint: delete it; put a text that begins with ¶&¶ in quotes
l:2:7: error[FA0106]: aliases are not read
    2 | name: *k
      |       ^
  hint: write the value itself; put a text that begins with ¶*¶ in quotes
l:3:8: error[FA0106]: tags are not read
    3 | width: !length 3 cm
      |        ^
  hint: delete it; put a text that begins with ¶!¶ in quotes
l:4:3: error[FA0114]: a key must be a single word
    4 | ? [a, b]
      |   ^
  hint: put a text with brackets in quotes
l:6:1: error[FA0106]: aliases are not read
    6 | *k : d
      | ^
  hint: write the value itself; put a text that begins with ¶*¶ in quotes
l:7:1: error[FA0107]: the key ¶kind¶ stands here twice
    7 | kind: body
      | ^^^^
  hint: it is also on line 1; delete one of them
`},
		{"repeats in JSON", "{\"kind\": \"cloth\",\n\"kind\": \"body\"}", `
l:2:1: error[FA0107]: the key ¶kind¶ stands here twice
    2 | "kind": "body"}
      | ^^^^^^
  hint: it is also on line 1; delete one of them
`},
		{"an empty file", "", `
l: error[FA0102]: the file is empty
`},
		{"a file of comments", "# kind: cloth\n\n", `
l:1:1: error[FA0102]: the file holds nothing but comments
    1 | # kind: cloth
      | ^
`},
		{"not UTF-8", "kind: cloth\nname: \"\xdcbung\"\n", `
l:2:8: error[FA0104]: the text is not UTF-8
    2 | name: "�bung"
      |        ^
  hint: save the file as UTF-8 text
`},
		{"no text", "kind: cloth\nname: é\x00\n", `
l:2:8: error[FA0104]: the character U+0000 cannot be in a file
    2 | name: é�
      |        ^
  hint: delete it, or save the file as plain text
`},
		{"a line separator", "kind: cloth\u2028name: x\n", `
l:1:12: error[FA0104]: the character U+2028 cannot be in a file
    1 | kind: cloth�name: x
      |            ^
  hint: delete it, or save the file as plain text
`},
		{"carriage returns alone", "kind: cloth\rname: x\r", `
l:1:12: error[FA0104]: the character U+000D cannot be in a file
    1 | kind: cloth�name: x
      |            ^
  hint: delete it, or save the file as plain text
`},
		{"several documents", "---\nkind: cloth\n---\nkind: body\n", `
l:3:1: error[FA0105]: the file holds several documents
    3 | ---
      | ^
  hint: write one document a file, without ¶---¶ or ¶...¶ between
`},
		{"an end of the document", "kind: cloth\n...\nkind: body\n", `
l:2:1: error[FA0105]: the file holds several documents
    2 | ...
      | ^
  hint: write one document a file, without ¶---¶ or ¶...¶ between
`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := file.Open("l", []byte(tt.text))
			readCloth(d)
			want := strings.ReplaceAll(strings.TrimPrefix(tt.want, "\n"), "¶", "`")
			if d := cmp.Diff(want, render(t, d)); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestSyntax compares what is said where the text is no YAML at all.
func TestSyntax(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"tab before a key", "# tabs\nkind: cloth\ngauge:\n\tfrom: 1 cm\n", `
l:4:1: error[FA0108]: a tab is used for indentation
    4 |  from: 1 cm
      | ^
  hint: indent with spaces
`},
		{"tab after a value", "kind: cloth\n\tname: x\n", `
l:2:1: error[FA0108]: a tab is used for indentation
    2 |  name: x
      | ^
  hint: indent with spaces
`},
		{"tab in a block", "kind: cloth\nname: |\n  a\n\tb\n", `
l:4:1: error[FA0108]: a tab is used for indentation
    4 |  b
      | ^
  hint: indent with spaces
`},
		{"no space after a colon", "kind: cloth\n  # wide\nwidth:55 in\nname: x\n", `
l:3:6: error[FA0109]: there is no space after the colon
    3 | width:55 in
      |      ^
  hint: write ¶width: 55 in¶
`},
		{"no space after the first colon", "kind:cloth\r\nname: x\r\n", `
l:1:5: error[FA0109]: there is no space after the colon
    1 | kind:cloth
      |     ^
  hint: write ¶kind: cloth¶
`},
		{"no space after the only colon", "kind:cloth\n", `
l:1:1: error[FA0109]: expected keys with values, got a single value
    1 | kind:cloth
      | ^^^^^^^^^^
  hint: write a space after the colon, as in ¶kind: cloth¶
`},
		{"colon inside text", "kind: cloth\nname: linen: washed\n", `
l:2:12: error[FA0110]: there is a colon inside plain text
    2 | name: linen: washed
      |            ^
  hint: put the text in quotes
`},
		{"no colon", "kind: cloth\nname\nwidth: 3 cm\n", `
l:2:1: error[FA0109]: there is no colon after the key
    2 | name
      | ^
  hint: write ¶key: value¶; a text that goes on from the line above is indented further
`},
		{"indented too far", "kind: cloth\n  name: x\n", `
l:2:3: error[FA0111]: this key is indented further than the ones above it
    2 |   name: x
      |   ^
  hint: begin all keys of one map in the same column
`},
		{"indented in between", "# one\n# two\nkind: cloth\ngauge:\n    from: 1 cm\n  to: 2 cm\n# end\nname: x\n", `
l:6:3: error[FA0111]: this line does not fit the ones above it
    6 |   to: 2 cm
      |   ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"a key among items", "ends:\n- a\n- b\nkind\n- c\n", `
l:4:1: error[FA0109]: there is no colon after the key
    4 | kind
      | ^
  hint: write ¶key: value¶; a text that goes on from the line above is indented further
`},
		{"an item among keys", "kind: cloth\n- b\n", `
l:2:1: error[FA0111]: this line does not fit the ones above it
    2 | - b
      | ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"a list among keys", "kind: cloth\n- ['[', \"}\"] # x\n", `
l:2:1: error[FA0111]: this line does not fit the ones above it
    2 | - ['[', "}"] # x
      | ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"text after a list of brackets", "kind: ['[', b] x\n", `
l:1:16: error[FA0113]: there is text after the closing ]
    1 | kind: ['[', b] x
      |                ^
  hint: delete it, or put the whole text in quotes
`},
		{"a key in a list", "- a\nkind: cloth\n", `
l:2:1: error[FA0111]: this line does not fit the ones above it
    2 | kind: cloth
      | ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"an item behind a key", "kind: - cloth\n", `
l:1:7: error[FA0111]: a list cannot begin here
    1 | kind: - cloth
      |       ^
  hint: begin it on the next line, or write it in brackets, as in ¶[a, b]¶
`},
		{"quote left open", "kind: cloth\nname: \"washed linen\nwidth: 3 cm\n", `
l:2:7: error[FA0112]: the quote " is never closed
    2 | name: "washed linen
      |       ^
  hint: write " at the end of the text
`},
		{"quote closed by the next one", "kind: cloth\nname: 'washed linen\nuses: 'shirt'\n", `
l:2:7: error[FA0112]: the quote ' is never closed
    2 | name: 'washed linen
      |       ^
  hint: write ' at the end of the text
`},
		{"quote left open in a list", "kind: cloth\nuses: [\"a\", 'b] # {\n", `
l:2:13: error[FA0112]: the quote ' is never closed
    2 | uses: ["a", 'b] # {
      |             ^
  hint: write ' at the end of the text
`},
		{"inches in double quotes", "kind: cloth\nwidth: \"55\" 1/2\n", `
l:2:13: error[FA0112]: there is text after the closing "
    2 | width: "55" 1/2
      |             ^^^
  hint: put the whole text in single quotes
`},
		{"an apostrophe in single quotes", "name: 'it's linen'\n", `
l:1:11: error[FA0112]: there is text after the closing '
    1 | name: 'it's linen'
      |           ^^^^^^^^
  hint: put the whole text in double quotes
`},
		{"a bracket too many", "uses: [a, [b]]]  \n", `
l:1:15: error[FA0113]: there is text after the closing ]
    1 | uses: [a, [b]]]
      |               ^
  hint: delete it, or put the whole text in quotes
`},
		{"text after a list of several lines", "kind: x\nuses: [a,\n  [b]\n  ] é  \nwidth: 3 cm\n", `
l:4:5: error[FA0113]: there is text after the closing ]
    4 |   ] é
      |     ^
  hint: delete it, or put the whole text in quotes
`},
		{"a list within a list", "kind: x\nuses: [a, [b]\n]\n  y: 1\n- z\n", `
l:4:3: error[FA0111]: this line does not fit the ones above it
    4 |   y: 1
      |   ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"a template without quotes", "say: {body.hip} is wide\n", `
l:1:17: error[FA0113]: there is text after the closing }
    1 | say: {body.hip} is wide
      |                 ^^^^^^^
  hint: delete it, or put the whole text in quotes
`},
		{"bracket left open", "kind: cloth\nuses: [a, b\nname: x\n", `
l:2:7: error[FA0113]: the bracket [ is not closed, or a comma is missing after it
    2 | uses: [a, b
      |       ^
  hint: write ] at the end and a comma between the entries
`},
		{"brace left open at the end", "gauge: {from: 1 cm, ends: [a]\n", `
l:1:8: error[FA0113]: the bracket { is not closed, or a comma is missing after it
    1 | gauge: {from: 1 cm, ends: [a]
      |        ^
  hint: write } at the end and a comma between the entries
`},
		{"nothing but a bracket", "[", `
l:1:1: error[FA0113]: the bracket [ is not closed, or a comma is missing after it
    1 | [
      | ^
  hint: write ] at the end and a comma between the entries
`},
		{"comma missing", "uses: [{a: b} {c: d}]\n", `
l:1:7: error[FA0113]: the bracket [ is not closed, or a comma is missing after it
    1 | uses: [{a: b} {c: d}]
      |       ^
  hint: write ] at the end and a comma between the entries
`},
		{"percent sign in front", "kind: cloth\nrecovery: %95\n", `
l:2:11: error[FA0114]: text cannot begin with %
    2 | recovery: %95
      |           ^
  hint: put the text in quotes
`},
		{"a comma in front", "name: ,x\n", `
l:1:7: error[FA0114]: text cannot begin with ,
    1 | name: ,x
      |       ^
  hint: put the text in quotes
`},
		{"an exclamation mark", "name: !<x\n", `
l:1:7: error[FA0114]: text cannot begin with !
    1 | name: !<x
      |       ^
  hint: put the text in quotes
`},
		{"a directive", "%LINEN\nname: x\n", `
l:1:1: error[FA0114]: text cannot begin with %
    1 | %LINEN
      | ^
  hint: put the text in quotes
`},
		{"a star", "kind: cloth\nname: *linen\n", `
l:2:7: error[FA0106]: aliases are not read
    2 | name: *linen
      |       ^^^^^^
  hint: write the value itself; put a text that begins with ¶*¶ in quotes
`},
		{"a backslash in double quotes", "kind: cloth\nname: \"C:\\linen\"\n", `
l:2:10: error[FA0114]: a backslash in double quotes begins an escape that does not exist
    2 | name: "C:\linen"
      |          ^^
  hint: write it twice, or put the text in single quotes
`},
		{"text after a block sign", "name: |linen\n  x\n", `
l:1:7: error[FA0111]: there is text after |
    1 | name: |linen
      |       ^
  hint: begin the text on the next line, indented
`},
		{"something rare", "name: |0\n  x\n", `
l:1:1: error[FA0114]: this cannot be read as YAML: found an indentation indicator equal to 0
    1 | name: |0
      | ^
  hint: put a text with unusual characters in quotes
`},
		{"a quote left open after an escape", "name: \"6\\\" wide\nuses: x\n", `
l:1:7: error[FA0112]: the quote " is never closed
    1 | name: "6\" wide
      |       ^
  hint: write " at the end of the text
`},
		{"a bracket behind a comment", "uses: [a, # b]\nname: x\n", `
l:1:7: error[FA0113]: the bracket [ is not closed, or a comma is missing after it
    1 | uses: [a, # b]
      |       ^
  hint: write ] at the end and a comma between the entries
`},
		{"an open bracket before a closed one", "uses: {a: [1], b: {\nname: x\n]\n", `
l:1:7: error[FA0113]: the bracket { is not closed, or a comma is missing after it
    1 | uses: {a: [1], b: {
      |       ^
  hint: write } at the end and a comma between the entries
`},
		{"a stray bracket on its own line", "uses: [a,\n b]\n] # c\n", `
l:3:1: error[FA0111]: this line does not fit the ones above it
    3 | ] # c
      | ^
  hint: begin all keys of one map, and the ¶-¶ of all items of one list, in the same column
`},
		{"broken JSON", "{\"kind\": \"cloth\"\n \"é\": 1}\n", `
l:2:2: error[FA0115]: this is not JSON: invalid character '"' after object key:value pair
    2 |  "é": 1}
      |  ^
  hint: look for a comma, a quote or a bracket that is missing or too many
`},
		{"JSON cut short", "\n{\n\t\"kind\": \"clo", `
l:3:13: error[FA0115]: this is not JSON: unexpected end of JSON input
    3 |  "kind": "clo
      |             ^
  hint: look for a comma, a quote or a bracket that is missing or too many
`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := file.Open("l", []byte(tt.text))
			d.Root().Map()
			want := strings.ReplaceAll(strings.TrimPrefix(tt.want, "\n"), "¶", "`")
			if d := cmp.Diff(want, render(t, d)); d != "" {
				t.Error(d)
			}
		})
	}
}

// TestHostile gives the reader what a person would not write; each must be refused at once.
func TestHostile(t *testing.T) {
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	var keys, nested strings.Builder
	for i := range 20_000 {
		fmt.Fprintf(&keys, "a%d: 1\n", i)
	}
	for i := range 40 {
		nested.WriteString(many(" ", i) + "a:\n")
	}
	for name, tt := range map[string]struct{ text, want string }{
		"too large":               {many("a", file.MaxBytes+1), "l:1:1: error[FA0103]: the file is larger than 256 kB"},
		"brackets":                {many("[", 200_000), "l:1:1: error[FA0103]: maps and lists are too many levels deep"},
		"braces":                  {many("{", 200_000), "l:1:1: error[FA0103]: maps and lists are too many levels deep"},
		"dashes":                  {many("- ", 100_000), "l:1:1: error[FA0103]: maps and lists are too many levels deep"},
		"closed brackets":         {many("[", 9_000) + many("]", 9_000), "l:1:1: error[FA0118]: expected keys with values, got a list, and 1 more problem"},
		"closed braces":           {many(`{"a":`, 9_000) + "1" + many("}", 9_000), "l:1:161: error[FA0103]: maps and lists are more than 32 levels deep"},
		"33 levels":               {nested.String() + many(" ", 40) + "b", "l:33:33: error[FA0103]: maps and lists are more than 32 levels deep"},
		"a long text":             {"a: " + many("b ", 100_000), "l:1:4: error[FA0103]: the text is longer than 4000 characters"},
		"a long key":              {"? " + many("b", 100_000) + "\n: 1", "l:1:3: error[FA0103]: the text is longer than 4000 characters"},
		"an open quote":           {"a: \"" + many("b: c\n", 50_000), "l:1:4: error[FA0112]: the quote \" is never closed"},
		"a quote closed too late": {"a: \"" + many("b: c\n", 49_000) + "\" d\n", "l:1:4: error[FA0112]: the quote \" is never closed"},
		"many bad lines":          {"a: 1\n" + many("b: \"x\" y\n", 28_000), "l:2:8: error[FA0112]: there is text after the closing \""},
		"bad at the end":          {many("- ab\n", 50_000) + "b: 1\n", "l:50001:1: error[FA0111]: this line does not fit the ones above it"},
		"repeats":                 {many("a: b # c\n", 25_000), "l:2:1: error[FA0107]: the key `a` stands here twice, and 999 more problems"},
		"documents":               {many("---\n", 60_000), "l:2:1: error[FA0105]: the file holds several documents"},
		"tabs":                    {many("\t", 250_000), "l:1:1: error[FA0108]: a tab is used for indentation"},
		"unknown keys":            {keys.String(), "l:1:1: error[FA0116]: unknown key `a0` in a file, and 999 more problems"},
		"a bomb of aliases":       {"a: &a [x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "l:1:4: error[FA0106]: anchors are not read, and 3 more problems"},
		"one line of many values": {"{" + many("\"é\":1,", 30_000) + "\"b\":2}", "l:1:8: error[FA0107]: the key `é` stands here twice, and 999 more problems"},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			d := file.Open("l", []byte(tt.text))
			m := d.Root().Map()
			for _, key := range m.Keys() {
				key.Range()
			}
			if name == "unknown keys" {
				m.Close("a file")
			}
			if got := d.Problems().Error(); got != tt.want {
				t.Errorf("%.200s", got)
			}
			if took := time.Since(start); took > 5*time.Second*patience {
				t.Errorf("took %v", took)
			}
		})
	}
}

func TestValue(t *testing.T) {
	d := file.Open("l", []byte("a: x\nb: [1, ~]\nc: {d: e}\nf: ~\n1: 2\nnull: 3\n"))
	m := d.Root().Map()
	for key, want := range map[string][4]bool{ // exists, map, list, text
		"a": {true, false, false, true}, "b": {true, false, true, false}, "c": {true, true, false, false},
		"f": {}, "z": {}, "1": {true, false, false, true}, "null": {true, false, false, true},
	} {
		v := m.Get(key)
		if got := [4]bool{v.Exists(), v.IsMap(), v.IsList(), v.IsText()}; got != want {
			t.Errorf("%s: %v, want %v", key, got, want)
		}
		if got := m.Has(key); got != (key != "z") {
			t.Errorf("has %s: %v", key, got)
		}
	}
	var keys []string
	for _, k := range m.Keys() {
		keys = append(keys, k.Text())
	}
	if d := cmp.Diff([]string{"a", "b", "c", "f", "1", "null"}, keys); d != "" {
		t.Error(d)
	}
	if items := m.Get("c").ItemsOrOne(); len(items) != 1 || !items[0].IsMap() {
		t.Errorf("one item: %v", items)
	}
	if len(d.Problems()) > 0 || d.Name() != "l" {
		t.Error(d.Problems())
	}
}

// TestAbsent calls everything on a value and a map that are not there: nothing is reported, nothing panics.
func TestAbsent(t *testing.T) {
	d := file.Open("l", []byte("a:\nb: *b\nc: &c 5\n"))
	before := len(d.Problems())
	m := d.Root().Map()
	for _, v := range []file.Value{{}, m.Get("a"), m.Get("b"), m.Get("c"), m.Get("d"), m.Get("a").Map().Need("e")} {
		v.Text()
		v.Items()
		v.ItemsOrOne()
		v.Length()
		v.Percent()
		v.Bool()
		v.Whole()
		v.Date()
		v.OneOf("x")
		none := v.Map()
		none.Need("x")
		none.Keys()
		none.Close("nothing")
		if none.Has("x") || v.Exists() || !none.Range().IsZero() {
			t.Errorf("%v is there", v)
		}
	}
	m.Need("b")
	m.Need("c")
	if got := d.Problems(); len(got) != before {
		t.Errorf("%d problems before, now %v", before, got)
	}
	file.Value{}.Problem("FA0101", "nowhere", "")
}

func TestManyKeys(t *testing.T) {
	var b strings.Builder
	for i := range 100 {
		fmt.Fprintf(&b, "key%d: %d cm\n", i, i)
	}
	d := file.Open("l", []byte(b.String()))
	m := d.Root().Map()
	for _, key := range m.Keys()[:99] {
		m.Get(key.Text())
	}
	if l, ok := m.Get("key42").Length(); !ok || l != 42*quantity.Centimetre {
		t.Errorf("%v, %v", l, ok)
	}
	if m.Get("key100").Exists() || m.Has("key100") || !m.Has("key99") {
		t.Error("a key that is not there is found, or the other way round")
	}
	m.Close("a long file")
	if got := d.Problems().Error(); got != "l:100:1: error[FA0116]: unknown key `key99` in a long file" {
		t.Error(got)
	}
}

func TestProblems(t *testing.T) {
	d := file.Open("l", []byte("b: 1\na: "+strings.Repeat("x", 50)+"\n"))
	m := d.Root().Map()
	m.Get("a").OneOf("y")
	m.Get("a").OneOf("y")
	d.Warn(m.Get("b").Range(), "FA0101", "an odd value", "look again")
	want := strings.ReplaceAll(`l:1:4: warning[FA0101]: an odd value
    1 | b: 1
      |    ^
  hint: look again
l:2:4: error[FA0121]: expected ¶y¶, got ¶xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…¶
    2 | a: xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx
      |    ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
`, "¶", "`")
	if d := cmp.Diff(want, render(t, d)); d != "" {
		t.Error(d)
	}
}

func TestSetUnits(t *testing.T) {
	d := file.Open("l", []byte("a: 2\n"))
	v := d.Root().Map().Get("a")
	for u, want := range map[quantity.Unit]quantity.Length{quantity.Cm: 2 * quantity.Centimetre, quantity.In: 2 * quantity.Inch} {
		d.SetUnits(u)
		if got, ok := v.Length(); !ok || got != want {
			t.Errorf("%s: %v, %v", u, got, ok)
		}
	}
}

func FuzzOpen(f *testing.F) {
	for _, seed := range []string{
		"kind: cloth\nwidth: 55 1/2 in\nends: [00, ~]\ngauge: {from: 4 in, to: 5}\n", "a: |2\n\n    x\n  y\n\n", "a: >-\n  x\n\n    y\n  z",
		"a: \"\\\n x \\u00e9\\\"\"\n", "a: 'it''s\n\n x'\r\n", "{\"a\": \"\\/ \\ud83e\\uddf5\", \"b\": [1, null]}", "\tb: 1", "a: [1, {b: 'c]\n", "a: b: c\n",
		"a: &x 1\nb: *x\n", "---\na: 1\n...\n---\n", "%YAML 1.1\n---\na", "a: \"x\" y", "? a\n: b\n", "\ufeffa: 1\r\nhip:44\n", "a: |x", "!!a [", "", "#",
	} {
		f.Add([]byte(seed))
	}
	paths, err := filepath.Glob("../../testdata/*/*.yaml")
	if err != nil || len(paths) == 0 {
		f.Fatalf("no files to start from: %v", err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d := file.Open("l", data)
		readCloth(d)
		lines := strings.Count(string(data), "\n") + 1
		inside := func(r diag.Range) bool {
			return r.Start.Line >= 1 && r.Start.Column >= 1 && r.Start.Line <= r.End.Line && r.End.Line <= lines && r.End.Column >= 1
		}
		walk(d.Root(), func(v file.Value) {
			whole := v.Range()
			if !inside(whole) {
				t.Fatalf("%v is not in the file", whole)
			}
			length := len([]rune(v.Text()))
			for i := 0; i < length+2; i += 1 + length/64 {
				part := v.Span(i-1, i)
				if !inside(part) || v.IsText() && (part.Start.Line < whole.Start.Line || part.End.Line > whole.End.Line) {
					t.Fatalf("part %d of %v is at %v", i, whole, part)
				}
			}
		})
		for _, p := range d.Problems() {
			if p.Summary == "" || p.Code.Title() == "" || p.Severity != diag.Error || len(data) > 0 && !inside(p.Range) {
				t.Fatalf("%+v", p)
			}
		}
	})
}

// walk visits all values below v, and v.
func walk(v file.Value, visit func(file.Value)) {
	switch {
	case v.IsMap():
		m := v.Map()
		for _, key := range m.Keys() {
			visit(key)
			walk(m.Get(key.Text()), visit)
		}
	case v.IsList():
		for _, item := range v.Items() {
			walk(item, visit)
		}
	case v.Exists():
		visit(v)
	}
}
