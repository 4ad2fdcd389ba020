package recipes

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine/formula"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Whatever a rule asks of what the cases are said to differ in is so in some
// case of some shipped garment type, and otherwise in another.
func TestCasesDiffer(t *testing.T) {
	voc, _ := known(t)
	var b strings.Builder
	b.WriteString("kind: rules\ntopic: all\nrules:\n")
	rule := func(name, when string) {
		group, _, _ := strings.Cut(name, ".")
		each := ""
		if group == "zone" || group == "measurement" || group == "opening" || group == "cord" || group == "alteration" {
			each = "each: " + group + ", "
		}
		fmt.Fprintf(&b, "  - {id: r%d, severity: note, %swhen: '%s', say: a, source: s}\n", strings.Count(b.String(), "\n"), each, when)
	}
	rule("ease", "known(ease.elbow) and cloth.given") // no shipped type has the zone: nothing can be said
	for _, a := range []string{`body.hip - 95, zone: hip, settles: hip`, `body.shoulder_slope - 20, zone: shoulder_slope`} {
		fmt.Fprintf(&b, "  - {id: a%d, step: girth, amount: %s, limits: {most: 4}, when: 'known(body.hip) and cloth.given', say: a, where: a, spread: a, source: s}\n", strings.Count(b.String(), "\n"), a)
	}
	for _, n := range voc.Schema().Names() {
		switch {
		case n.Dim == formula.Ease, strings.HasPrefix(n.Name, "lacks."): // each of a zone, of which no type has all
			continue
		}
		switch n.Dim {
		case formula.Bool:
			rule(n.Name, n.Name)
		case formula.Text:
			for _, w := range n.Words {
				rule(n.Name, n.Name+` == "`+w+`"`)
			}
		default:
			rule(n.Name, "known("+n.Name+") and cloth.given") // some numbers are always known
		}
	}
	doc := file.Open("all.yaml", []byte(b.String()))
	all := rules.Read(doc, voc, rules.AtOnce)
	DoubtRules(doc, all, voc)
	lines := strings.Split(b.String(), "\n")
	for _, p := range doc.Problems() {
		line := lines[p.Range.Start.Line-1]
		_, when, _ := strings.Cut(line, "when: '")
		when, _, _ = strings.Cut(when, "'")
		t.Errorf("%s: %s", p.Code, when)
	}
}

// Nothing doubtful is shipped. A zone that no example shows is a gap, and no
// mistake.
func TestNothingDoubtfulIsShipped(t *testing.T) {
	voc, shared := known(t)
	for _, name := range Names() {
		doc, err := Source(name)
		if err != nil {
			t.Fatal(err)
		}
		s, _ := Library{}.ReadSuite(doc, voc, shared, nil)
		if doc.Problems().HasErrors() {
			t.Fatal(written(t, doc))
		}
		var outcomes []Outcome
		for i := range s.Examples {
			outcomes = append(outcomes, Run(&s.Examples[i], s.Recipe, shared, voc))
		}
		Doubt(doc, s.Recipe, outcomes, voc)
		for _, p := range doc.Problems() {
			if p.Code != notShown {
				t.Error(p)
			}
		}
	}
	paths, err := filepath.Glob("../rules/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no rule files: %v", err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		doc := file.Open(path, data)
		DoubtRules(doc, rules.Read(doc, voc, rules.AtOnce), voc)
		if got := written(t, doc); got != "" {
			t.Error(got)
		}
	}
}

// doubtful reads a recipe, whose examples it takes from anywhere, and returns
// its doubts.
func doubtful(t *testing.T, text string) []string {
	t.Helper()
	voc, shared := known(t)
	doc := file.Open("it.yaml", []byte(text))
	s, docs := Library{}.ReadSuite(doc, voc, shared, nil)
	if got := written(t, append(docs, doc)...); got != "" {
		t.Fatal(got)
	}
	var outcomes []Outcome
	for i := range s.Examples {
		outcomes = append(outcomes, Run(&s.Examples[i], s.Recipe, shared, voc))
	}
	Doubt(doc, s.Recipe, outcomes, voc)
	var out []string
	for _, p := range doc.Problems() {
		if p.Severity != diag.Warning {
			t.Errorf("%v is no warning", p)
		}
		out = append(out, fmt.Sprintf("%d:%d %s %s", p.Range.Start.Line, p.Range.Start.Column, p.Code, p.Summary))
	}
	return out
}

func TestDoubts(t *testing.T) {
	const head = "kind: recipe\nname: it\ntitle: it\ndraft: all\ncontrolling: hip\n"
	const one, two = "grading: {sensible: false, because: it is one piece}\n", "grading: {sensible: true, because: it has side seams}\n"
	// 122 - 112 = 10 cm of ease at the hip, 4 in less or more than many ranges; 83 - 80 = 3 cm at the waist.
	const shown = `examples:
  - name: both levels
    given:
      body: {hip: 112 cm, waist: 80 cm}
      pattern: {units: cm, sizes: [18], body: {hip: [112], waist: [80]}, finished: {hip: [122], waist: [83]}}
    expect: {size: 18}
`
	const decides = "zones: {hip: {role: decides, ease: 3 in .. 10 in}}\n"
	tests := []struct {
		name, recipe string
		want         []string
	}{
		{"nothing", "stretch: none\n" + decides + one + shown, nil},
		{"a woven smaller than the body", "stretch: none\nzones: {hip: {role: decides, ease: -1 cm .. 4 cm}}\n" + one + shown,
			[]string{"7:36 FA0451 the `hip` may be smaller than the body, and `stretch: none` lets nothing give"}},
		{"smaller in percent, where mended", "stretch: none\nzones: {hip: {role: decides, ease: 3 in .. 10 in}, waist: {role: mended, ease: -2 % .. 4 %}}\n" + two + shown,
			[]string{"7:80 FA0451 the `waist` may be smaller than the body, and `stretch: none` lets nothing give"}},
		{"smaller with some stretch", "stretch: {comfort: 15 %}\nzones: {hip: {role: decides, ease: -2 % .. 20 %}}\n" + one + shown, nil},
		// 100 / 90 - 1 = 11.1 %, and half of 20 is 10; 100 / 1.1 = 90.9; half of 22.3 is 11.15.
		{"smaller than its own cloth carries", "stretch: {needed: 20 %}\nzones: {hip: {role: decides, ease: -10 % .. 2 %}}\n" + one + shown,
			[]string{"7:36 FA0451 the `hip` may be 10 % smaller than the body, which asks for 11.2 % of stretch, and of the 20 % that the type asks of a cloth 10 % stays comfortable"}},
		{"as small as it carries", "stretch: {needed: 20 %}\nzones: {hip: {role: decides, ease: -9 % .. 2 %}}\n" + one + shown, nil},
		{"what is held by elastic stretches by itself", "stretch: {needed: 20 %}\nzones: {hip: {role: decides, ease: -9 % .. 2 %}, waist: {role: held, by: elastic, ease: -20 % .. 2 %}}\n" + one + shown, nil},
		{"a length that ends above, in a woven", "stretch: none\nzones: {hip: {role: decides, ease: 3 in .. 10 in}, arm_length: {role: mended, where_made: true, ease: -30 cm .. -10 cm}}\n" + one +
			strings.Replace(strings.Replace(shown, "hip: 112 cm", "hip: 112 cm, arm_length: 60 cm", 1), "finished: {hip: [122]", "finished: {arm_length: [40], hip: [122]", 1), nil},
		{"less than wearing ease", "stretch: none\nzones: {hip: {role: decides, ease: 3 cm .. 20 cm}}\n" + one + shown,
			[]string{"7:36 FA0452 the `hip` may have 3 cm of ease, and without stretch 5.1 cm is usual to move in"}},
		{"less than wearing ease, in inches", "stretch: none\nzones: {hip: {role: decides, ease: 1 1/2 in .. 6 in}}\n" + one + shown,
			[]string{"7:36 FA0452 the `hip` may have 1 1/2 in of ease, and without stretch 2 in is usual to move in"}},
		{"less than wearing ease, where mended", "stretch: none\nzones: {hip: {role: decides, ease: 3 in .. 10 in}, waist: {role: mended, ease: 0 in .. 2 in}}\n" + two + shown, nil},
		{"far below", "stretch: {needed: 60 %}\nzones: {hip: {role: decides, ease: -35 % .. 10 %}}\n" + one + shown,
			[]string{"7:36 FA0452 an ease of -35 % is more than any usual cloth stretches to"}},
		{"far above", "stretch: none\nzones: {hip: {role: decides, ease: 4 % .. 60 %}}\n" + one + shown,
			[]string{"7:36 FA0452 an ease of 60 % is more than ease: it is fullness"}},
		{"at the border", "stretch: {needed: 90 %}\nzones: {hip: {role: decides, ease: -30 % .. 40 %}}\n" + one + shown, nil},
		{"too wide a range", "stretch: none\nzones: {hip: {role: decides, ease: 2 in .. 18 in}}\n" + one + shown,
			[]string{"7:36 FA0452 the ease reaches over 16 in, and types seldom allow more than 15 in"}},
		{"as wide as may be", "stretch: none\nzones: {hip: {role: decides, ease: 2 in .. 17 in}}\n" + one + shown, nil},
		{"grading one zone", "stretch: none\n" + decides + two + shown,
			[]string{"8:10 FA0453 grading is called sensible, and there are no two zones to move between"}},
		{"grading to a held waist", "stretch: none\nzones: {hip: {role: decides, ease: 3 in .. 10 in}, waist: {role: held, by: tie}}\n" + two + shown,
			[]string{"8:10 FA0453 grading is called sensible, and there are no two zones to move between"}},
		{"one alternative too little", "stretch: none\n" + decides + one + "openings:\n  - {name: top, measure: waist_open, passes: [hip, bust and waist]}\n" + shown,
			[]string{"10:5 FA0454 the opening `top` may be passed by the bust and waist alone, and the body is wider on the way in"}},
		{"a zip that ends too high", "stretch: none\n" + decides + one + "openings:\n  - {name: side, passes: [high_hip], closure: {kind: zip, from: waist, towards: hip, reach: 7 in, run: 8 in}}\n" + shown,
			[]string{"10:5 FA0454 the opening `side` may be passed by the high hip alone, and the body is wider on the way in"}},
		{"smaller, with more room above", "stretch: none\nbetween_sizes: smaller\n" + decides + one + shown,
			[]string{"7:16 FA0455 between two sizes the smaller one is taken, and the ease expected reaches further towards the larger"}},
		{"larger, with more room above", "stretch: none\nbetween_sizes: larger\n" + decides + one + shown, nil},
		{"larger, with more room below", "stretch: none\nbetween_sizes: larger\nzones: {hip: {role: decides, ease: 2 in .. 4 in}}\n" + one + shown,
			[]string{"7:16 FA0455 between two sizes the larger one is taken, and the ease expected reaches further towards the smaller"}},
		{"smaller, open above", "stretch: none\nbetween_sizes: smaller\nzones: {hip: {role: decides, ease: 3 in .., tolerance: 2 in}}\n" + one + shown,
			[]string{"7:16 FA0455 between two sizes the smaller one is taken, and the ease expected reaches further towards the larger"}},
		{"larger, open above and nothing shown", "stretch: none\nbetween_sizes: larger\nzones: {hip: {role: decides, ease: 3 in .., tolerance: 2 in}}\n" + one,
			[]string{"1:1 FA0456 no example shows what this recipe does"}},
		{"smaller, open above and nothing shown", "stretch: none\nbetween_sizes: smaller\nzones: {hip: {role: decides, ease: 3 in .., tolerance: 2 in}}\n" + one,
			[]string{"1:1 FA0456 no example shows what this recipe does",
				"7:16 FA0455 between two sizes the smaller one is taken, and the ease expected reaches further towards the larger"}},
		{"a zone not shown", "stretch: none\nzones:\n  hip: {role: decides, ease: 3 in .. 10 in}\n  thigh: {role: mended, ease: 1 in .. 4 in}\n" + two + shown,
			[]string{"9:3 FA0456 no example judges the zone `thigh`"}},
		{"rules", "stretch: none\n" + decides + one + "cautions:\n" +
			"  - {id: never, severity: note, when: recipe.stretch == \"needed\", say: a, source: s}\n" +
			"  - {id: always, severity: note, zone: hip, when: zone.name == \"hip\", say: a, source: s}\n" +
			"  - {id: another-unit, severity: note, when: body.hip < limit.least, limits: {least: 20 mm}, say: a, source: s}\n" +
			"  - {id: at-times, severity: note, when: known(cloth.recovery) and cloth.recovery < 80, say: a, source: s}\n" +
			"  - {id: cannot-be-tried, severity: note, when: pattern.maker == \"Tern Lane\", say: a, source: s}\n" + shown,
			[]string{"10:5 FA0551 the rule `never` spoke in none of the made-up cases it was tried on",
				"11:5 FA0552 the rule `always` spoke in all of the made-up cases it was tried on",
				"12:5 FA0551 the rule `another-unit` spoke in none of the made-up cases it was tried on"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, doubtful(t, head+tt.recipe)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// What is taken over from another garment type is that one's matter.
func TestDoubtsAboutTheFileAlone(t *testing.T) {
	text := "kind: recipe\nname: it\ntitle: it\nbased_on: gathered-skirt\nzones: {hip: {ease: 1 in .. 10 in}}\n" +
		"grading: {sensible: true, because: it is not}\nexamples:\n  - name: it fits\n    given:\n      body: {hip: 112 cm}\n" +
		"      pattern: {units: cm, sizes: [18], body: {hip: [112]}, finished: {hip: [122]}}\n    expect: {size: 18}\n"
	want := []string{
		"5:21 FA0452 the `hip` may have 1 in of ease, and without stretch 2 in is usual to move in",
		"6:10 FA0453 grading is called sensible, and there are no two zones to move between",
	}
	if diff := cmp.Diff(want, doubtful(t, text)); diff != "" {
		t.Error(diff)
	}
}

// What a sketch guessed, a limit that nothing is held against, and a zone that the type has not.
func TestDoubtsOfAnAuthorInHaste(t *testing.T) {
	voc, _ := known(t)
	doc := file.Open("my-skirt.yaml", []byte("kind: recipe\nname: my-skirt\ntitle: skirt\ndraft: women\nbecause: b\nsource: s\ncontrolling: hip\nstretch: none\n"+
		"zones:\n  hip: {role: decides, ease: 3 in .. 10 in, because: b, source: s}  # guessed: as drawn\ngrading: {sensible: false, because: it has one zone}\n"+
		"cautions:\n  - {id: close, severity: note, each: zone, limits: {least: 4 in, idle: 1 in}, when: zone.name == \"hips\" and zone.ease_cm < limit.least, say: it is close, source: s}\n"))
	recipe := ReadRecipe(doc, voc, rules.AtOnce)
	if doc.Problems().HasErrors() {
		t.Fatal(written(t, doc))
	}
	Doubt(doc, recipe, nil, voc)
	text := written(t, doc)
	for _, want := range []string{"10:69: warning[FA0457]: what is guessed has not been looked at, in line 10", "warning[FA0554]: the rule `close` has the limit `idle`, and does not use it",
		"warning[FA0551]: the rule `close` spoke in none of the made-up cases", "hint: no zone is called \"hips\": did you mean `hip`?"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say %q:\n%s", want, text)
		}
	}
}

// A rule that can never be computed is an error at its place, found on the made-up
// cases and not only when somebody asks for a size.
func TestRulesThatCannotBeComputed(t *testing.T) {
	const head = "kind: rules\ntopic: cloth\nrules:\n"
	for _, tt := range []struct{ name, rule, want string }{
		{"in the condition", `{id: a, severity: note, when: 1 / 0 > 1, say: b, source: s}`, "rule `a`: division by zero"},
		{"in the condition, beside the maker, who is the same in all cases", `{id: a, severity: note, when: '1 / 0 > 1 or pattern.maker == "Tern Lane"', say: b, source: s}`, "rule `a`: division by zero"},
		{"in the text", `{id: a, severity: note, when: cloth.given, say: 'b {count(1 / 0)}', source: s}`, "rule `a`, `say`: division by zero"},
		{"in how to mend it", `{id: a, severity: note, when: cloth.given, say: b, fix: 'c {count(1 / 0)}', source: s}`, "rule `a`, `fix`: division by zero"},
		{"in why to sew a toile", `{id: a, severity: note, when: cloth.given, toile: 'c {count(1 / 0)}', source: s}`, "rule `a`, `toile`: division by zero"},
		{"in an amount", `{id: a, step: girth, zone: hip, settles: hip, amount: body.hip / 0, limits: {most: 4}, when: known(body.hip), say: a, where: a, spread: a, source: s}`, "division by zero"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			voc, _ := known(t)
			doc := file.Open("it.yaml", []byte(head+"  - "+tt.rule+"\n"))
			all := rules.Read(doc, voc, rules.AtOnce)
			if doc.Problems().HasErrors() {
				t.Fatal(written(t, doc))
			}
			DoubtRules(doc, all, voc)
			found := doc.Problems()
			if len(found) != 1 || found[0].Severity != diag.Error || found[0].Range.Start.Line != 4 || !strings.Contains(found[0].Summary, tt.want) {
				t.Errorf("got %v", found)
			}
		})
	}
}
