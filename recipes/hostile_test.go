package recipes

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

const lots = 200 << 10 // below the size that is refused at once

func ruleWhen(when string) string {
	return "kind: rules\ntopic: cloth\nrules:\n  - {id: a, severity: note, source: s, say: b, when: \"" + when + "\"}\n"
}

func pattern(rest string) string {
	return "kind: pattern\nname: p\nrecipe: gathered-skirt\nunits: in\n" + rest
}

func numbered(format string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

// aliasBomb doubles a list with every line.
func aliasBomb() string {
	var b strings.Builder
	b.WriteString("a0: &a0 [1, 1]\n")
	for i := 1; i < 40; i++ {
		fmt.Fprintf(&b, "a%d: &a%d [*a%d, *a%d]\n", i, i, i-1, i-1)
	}
	return b.String()
}

// hostile are files, by kind, that would cost much if they were read trustingly.
var hostile = []struct{ name, kind, text, table string }{
	{name: "open brackets", kind: "body", text: strings.Repeat("[", lots)},
	{name: "open braces", kind: "pattern", text: strings.Repeat("{", lots)},
	{name: "open braces with keys", kind: "cloth", text: strings.Repeat("{a: ", lots/4)},
	{name: "closed brackets", kind: "body", text: strings.Repeat("[", lots/2) + strings.Repeat("]", lots/2)},
	{name: "dashes", kind: "rules", text: strings.Repeat("- ", lots/2)},
	{name: "nested maps", kind: "recipe", text: strings.Repeat("{a: ", 5000) + "1" + strings.Repeat("}", 5000)},
	{name: "JSON brackets", kind: "body", text: `{"kind": ` + strings.Repeat("[", lots/2) + strings.Repeat("]", lots/2) + "}"},
	{name: "a huge scalar", kind: "body", text: "kind: body\nmeasurements: {hip: 1 cm}\nname: " + strings.Repeat("x", lots)},
	{name: "a huge number", kind: "body", text: "kind: body\nname: x\nmeasurements: {hip: " + strings.Repeat("9", 3900) + " cm}"},
	{name: "an alias bomb", kind: "body", text: aliasBomb()},
	{name: "many misspelt measurements", kind: "body", text: "kind: body\nname: x\nmeasurements:\n" + numbered("  hipp%d: 1\n", 12_000)},
	{name: "many equal keys", kind: "body", text: "kind: body\nname: x\nmeasurements:\n" + strings.Repeat("  hip: 1 cm\n", 16_000)},
	{name: "many readings", kind: "body", text: "kind: body\nname: x\nmeasurements: {hip: [1 kg" + strings.Repeat(", 1 cm", lots/6) + "]}"},
	{name: "a file too large", kind: "body", text: strings.Repeat("# a comment\n", 100_000)},
	{name: "not text", kind: "body", text: "kind: body\x00\xff\xfe"},
	{name: "many sizes", kind: "pattern", text: pattern("sizes: [0" + numbered(", %d", 14_000) + "]\nbody: {hip: [" + strings.Repeat("1,", 14_000) + "1, 1]}")},
	{name: "a long table", kind: "pattern", text: pattern("body: chart.csv\nfinished: chart.csv"), table: "size,hip\n" + numbered("s%d,1\n", 25_000) + "x,y\n"},
	{name: "a wide table", kind: "pattern", text: pattern("body: chart.csv\nfinished: chart.csv"), table: "measurement" + numbered(",%d", 17_000) + "\nhip" + strings.Repeat(",1", 17_000) + "\nhipp" + strings.Repeat(",1", 17_000)},
	{name: "a table of other sizes", kind: "pattern", text: pattern("sizes: [0" + numbered(", %d", 14_000) + "]\nbody: chart.csv"), table: "size,hip\n" + numbered("s%d,1\n", 25_000)},
	{name: "a table of quotes", kind: "pattern", text: pattern("body: chart.csv"), table: strings.Repeat(`"`, lots)},
	{name: "a table of commas", kind: "pattern", text: pattern("body: chart.csv"), table: strings.Repeat(",", lots) + "\n1"},
	{name: "many pieces", kind: "pieces", text: "kind: pieces\nname: p\nunits: in\nallowance: 0\noverlap: 1\npieces:\n" + numbered("  - {name: p%d, width: {hip: 1}}\n", 6_000) + "grade: {hipp: 1}\n"},
	{name: "many edges of many pieces", kind: "pieces", text: "kind: pieces\nname: p\nunits: in\nallowance: {a: 0" + numbered(", a%d: 0", 10_000) + "}\npieces:\n" + numbered("  - {name: p%d, width: {hip: 1}}\n", 3_000)},
	{name: "many sizes of pieces", kind: "pieces", text: "kind: pieces\nname: p\nunits: in\nallowance: 0\nsizes: [0" + numbered(", %d", 14_000) + "]\npieces:\n" +
		numbered("  - {name: p%d, width: {hip: 1, waist: 2}, hem: 1}\n", 2_000)},
	{name: "pieces of many other sizes", kind: "pattern", text: pattern("sizes: [0" + numbered(", %d", 11_000) + "]\nbody: {hip: [1" + strings.Repeat(",1", 11_001) + "]}\n" +
		"pieces: {allowance: 0, sizes: [0" + numbered(", s%d", 9_000) + "], pieces: [{name: p, width: {hip: [1" + strings.Repeat(",1", 9_000) + "]}}]}")},
	{name: "many graded sizes", kind: "pattern", text: pattern("sizes: [0" + numbered(", %d", 14_000) + "]\nbody: {hip: [1" + strings.Repeat(",1", 14_000) + "]}\n" +
		"pieces: {allowance: 0, size: 7, pieces: [{name: p, copies: 2, width: {hip: 9, waist: 9, bust: 9, neck: 9, thigh: 9, knee: 9, calf: 9, ankle: 9, hem: 9}}]}")},
	{name: "brackets in an expression", kind: "rules", text: ruleWhen(strings.Repeat("(", lots))},
	{name: "brackets in an expression, short enough for a text", kind: "rules", text: ruleWhen(strings.Repeat("(", 3900))},
	{name: "negations in an expression", kind: "rules", text: ruleWhen(strings.Repeat("not ", 970) + "true")},
	{name: "braces in a text", kind: "rules", text: strings.Replace(ruleWhen("true"), "say: b", "say: '"+strings.Repeat("{body.hip}", 390)+"'", 1)},
	{name: "many rules", kind: "rules", text: "kind: rules\ntopic: t\nrules:\n" + strings.Repeat("  - {id: a, severity: note, when: body.hipp > 1, say: b, source: c}\n", 3800)},
	{name: "many examples", kind: "recipe", text: topRecipe + strings.Repeat("  - {name: a, given: {body: wren.yaml, pattern: p.yaml}, expect: {size: 1}}\n", 3200)},
}

// Each is an error with a place, or at least a file, and none takes long.
func TestHostileFiles(t *testing.T) {
	const limit = 5 * time.Second * patience // generous: each takes some milliseconds
	voc, shared := known(t)
	for _, h := range hostile {
		t.Run(h.name, func(t *testing.T) {
			beside := fstest.MapFS{"chart.csv": {Data: []byte(h.table)}}
			start := time.Now()
			docs := readAs(t, h.kind, file.Open("hostile.yaml", []byte(h.text)), beside, voc, shared)
			text := written(t, docs...)
			took := time.Since(start)
			t.Logf("%.1f ms", float64(took.Microseconds())/1000)
			if took > limit {
				t.Errorf("took %v", took)
			}
			var all diag.List
			for _, d := range docs {
				all = append(all, d.Problems()...)
			}
			if !all.HasErrors() {
				t.Error("no error")
			}
			for _, p := range all {
				if p.Range.File == "" {
					t.Errorf("no place: %v", p)
				}
			}
			if len(text) > 64<<10 {
				t.Errorf("%d bytes are printed", len(text))
			}
		})
	}
}

// More sizes or readings than anybody has are refused at their place, in whatever kind of file they stand.
func TestAtMostSoMany(t *testing.T) {
	voc, shared := known(t)
	sizes, readings := voc.Limits.MostSizes, voc.Limits.MostReadings
	list := func(n int) string { return "[0" + numbered(", %d", n)[3:] + "]" }
	row := func(n int) string { return "[" + strings.Repeat("9, ", n-1) + "9]" }
	for _, c := range []struct {
		name, kind, want string
		most             int
		text             func(n int) (text, table string)
	}{
		{"sizes of a pattern", "pattern", "m.yaml:5:8", sizes, func(n int) (string, string) {
			return pattern("sizes: " + list(n) + "\nbody: {hip: " + row(n) + "}\n"), ""
		}},
		{"sizes of a table, by size", "pattern", "chart.csv:2:1", sizes, func(n int) (string, string) {
			return pattern("body: chart.csv\n"), "size,hip\n" + numbered("s%d,9\n", n)
		}},
		{"sizes of a table, by measurement", "pattern", "chart.csv:1:13", sizes, func(n int) (string, string) {
			return pattern("body: chart.csv\n"), "measurement" + numbered(",%d", n) + "\nhip" + strings.Repeat(",9", n) + "\n"
		}},
		{"sizes of pieces", "pieces", "m.yaml:5:8", sizes, func(n int) (string, string) {
			return "kind: pieces\nname: p\nunits: in\nallowance: 0\nsizes: " + list(n) + "\npieces: [{name: p, width: {hip: " + row(n) + "}}]\n", ""
		}},
		{"readings in a list", "body", "m.yaml:4:21", readings, func(n int) (string, string) {
			return "kind: body\nname: W\nunits: in\nmeasurements: {hip: " + row(n) + "}\n", ""
		}},
		{"readings in texts of a list", "body", "m.yaml:4:21", readings, func(n int) (string, string) {
			return "kind: body\nname: W\nunits: in\nmeasurements: {hip: [" + strings.Repeat("9 9, ", n/2-1) + []string{"9 9", "9 9, 9"}[n%2] + "]}\n", ""
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, n := range []int{c.most, c.most + 1} {
				text, table := c.text(n)
				problems := problemsOf(readAs(t, c.kind, file.Open("m.yaml", []byte(text)), fstest.MapFS{"chart.csv": {Data: []byte(table)}}, voc, shared))
				at := strings.Index(problems.Error(), c.want+": error[")
				if told := at >= 0; told != (n > c.most) || told != problems.HasErrors() {
					t.Errorf("%d: %v", n, problems)
				}
			}
		})
	}
}
