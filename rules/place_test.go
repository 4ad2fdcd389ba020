package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// What is wrong inside an expression is marked there and nowhere else, however
// the rule is written down.
func TestProblemsPointIntoExpressions(t *testing.T) {
	const say, when = "    say: Firm.\n", "    when: body.hip > 100\n"
	tests := []struct {
		name, rule string
		want       []string // what is marked, with line, column and code
	}{
		{"plain", "    when: body.hip > cloth.structure\n" + say, []string{"6:22 FA0516 cloth.structure"}},
		{"plain, after a tab", "    when:\tbody.hip > cloth.structure\n" + say, []string{"6:22 FA0516 cloth.structure"}},
		{"plain, over two lines", "    when: body.hip > 1 and\n      body.waist + (cloth.structure) > 2\n" + say, []string{"7:21 FA0517 cloth.structure"}},
		{"plain, behind other letters", "    # Nähen für Übermütige\n    when: body.hip > 1 and \"ä\" == \"ä\" and body.hipp > 2\n" + say, []string{"7:43 FA0513 body.hipp"}},
		{"double quotes", `    when: "cloth.structure == \"wovn\" or body.hip"` + "\n" + say, []string{`6:31 FA0520 \"wovn\"`, "6:43 FA0517 body.hip"}},
		{"double quotes, with escapes", `    when: "cloth.structure in [\"knit\", \u0022wovn\x22]"` + "\n" + say, []string{`6:42 FA0520 \u0022wovn\x22`}},
		{"single quotes", "    when: 'cloth.structure == ''wovn'' and not body.hip'\n" + say, []string{"6:31 FA0520 ''wovn''", "6:48 FA0517 body.hip"}},
		{"single quotes, over two lines", "    when: 'body.hip > 1\n\n      and \"wovn\" == cloth.structure'\n" + say, []string{`8:11 FA0520 "wovn"`}},
		{"a block", "    when: |\n      body.hip > 1\n        and zone.role == \"decide\"\n" + say, []string{`8:26 FA0520 "decide"`}},
		{"a block, with tabs", "    when: |\n      body.hip > 1\n      \tand body.hip\t> cloth.structure\n" + say, []string{"8:23 FA0516 cloth.structure"}},
		{"a block, stripped and indented", "    when: |2-\n        body.hip > cloth.structure\n" + say, []string{"7:20 FA0516 cloth.structure"}},
		{"a folded block", "    when: >\n      body.hip > 1\n      or body.waist > \"x\"\n" + say, []string{`8:23 FA0516 "x"`}},
		{"a folded block, with a blank line", "    when: >-\n      body.hip > 1 or\n\n      body.waist\n" + say, []string{"9:7 FA0517 body.waist"}},
		{"in a text, behind other letters", when + "    say: \"½ größer – {length(cloth.structure)}\"\n", []string{"7:30 FA0517 cloth.structure"}},
		{"in a text, in a block", when + "    say: |\n      Für {cloth.structure} sind\n      {body.hipp} zu weit.\n", []string{"9:8 FA0513 body.hipp"}},
		{"in a list of keys", "    limits: {least: 2 cm}\n    say: é\n    fix: 'ñ {limit.last}'\n" + when, []string{"8:14 FA0513 limit.last"}},
		{"a name of what is not looked at", when + "    say: 'Für {opening.name}: {length(zone.body)}'\n",
			[]string{"7:16 FA0521 opening.name"}},
		{"known of what is not looked at", "    when: |\n      body.hip > 1 and known( measurement.value )\n" + say, []string{"7:24 FA0521 known( measurement.value )"}},
	}
	for _, tt := range tests {
		text := "kind: rules\ntopic: cloth\nrules:\n  - id: a\n    severity: note\n" + tt.rule + "    zone: hip\n    source: s\n"
		for _, lines := range []struct{ name, end string }{{"LF", "\n"}, {"CRLF", "\r\n"}} {
			t.Run(tt.name+", "+lines.name, func(t *testing.T) {
				if got := marked(t, strings.ReplaceAll(text, "\n", lines.end)); strings.Join(got, "\n") != strings.Join(tt.want, "\n") {
					t.Errorf("got  %q\nwant %q", got, tt.want)
				}
			})
		}
	}
}

// In JSON a sign may be written as one escape or two.
func TestProblemsPointIntoJSON(t *testing.T) {
	const text = "{\"kind\": \"rules\", \"topic\": \"cloth\", \"rules\": [\n" +
		"\t{\"id\": \"a\", \"severity\": \"note\", \"source\": \"s\",\n" +
		"\t \"when\": \"cloth.structure == \\u0022wovn\\u0022\",\n" +
		"\t \"say\": \"\\ud83d\\ude00 \\u00bd {zone.name}\"}]}\n"
	want := []string{`3:31 FA0520 \u0022wovn\u0022`, "4:32 FA0521 zone.name"}
	if got := marked(t, text); strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// marked reads a rule file and returns the part of it that each problem marks.
func marked(t *testing.T, text string) []string {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	doc := file.Open("it.yaml", []byte(text))
	rules.Read(doc, voc, rules.AtOnce)
	var out []string
	for _, p := range doc.Problems() {
		out = append(out, fmt.Sprintf("%d:%d %s %s", p.Range.Start.Line, p.Range.Start.Column, p.Code, part(text, p.Range)))
	}
	return out
}

// part is what a range covers, which ends on the line it begins on.
func part(text string, r diag.Range) string {
	line := []rune(strings.Split(text, "\n")[r.Start.Line-1])
	if r.End.Line != r.Start.Line || r.End.Column > len(line)+1 {
		return fmt.Sprintf("up to line %d, column %d", r.End.Line, r.End.Column)
	}
	return string(line[r.Start.Column-1 : r.End.Column-1])
}
