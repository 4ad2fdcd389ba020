package formula

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var testNames = []Name{
	{Name: "body.bust", Dim: Length, About: "the body's bust girth"},
	{Name: "body.hip", Dim: Length, About: "the body's hip girth"},
	{Name: "body.upper_bust", Dim: Length, About: "the body's upper bust girth"},
	{Name: "body.waist", Dim: Length, About: "the body's waist girth"},
	{Name: "body.slope", Dim: Degrees, About: "how far the shoulder slopes"},
	{Name: "cloth.structure", Dim: Text, About: "woven or knit"},
	{Name: "cloth.grain", Dim: Text, About: "lengthwise or crosswise", Words: []string{"lengthwise", "crosswise"}},
	{Name: "cloth.washed", Dim: Bool, About: "whether the cloth was washed"},
	{Name: "cloth.stretch", Dim: Percent, About: "the cloth's stretch across"},
	{Name: "size.index", Dim: Count, About: "the size's place"},
	{Name: "size.name", Dim: Text, About: "the size's name"},
	{Name: "zone.ease", Dim: Ease, About: "the zone's ease"},
	{Name: "zone.wanted", Dim: Ease, About: "the ease wanted there"},
}

func testSchema() *Schema {
	return NewSchema(testNames).With(Fixed{Name{Name: "limit.least", Dim: Length, About: "the rule's own"}, 5.08})
}

// wren is a body with nothing known about its upper bust.
func wren() *Env {
	e := NewEnv(testSchema())
	e.SetNumber("body.bust", 97.8)
	e.SetNumber("body.hip", 112.4)
	e.SetNumber("body.waist", 75)
	e.SetNumber("body.slope", 21)
	e.SetText("cloth.structure", "knit")
	e.SetBool("cloth.washed", true)
	e.SetNumber("cloth.stretch", 25)
	e.SetNumber("size.index", 3)
	e.SetText("size.name", "12")
	e.SetNumber("zone.ease", 11.1)
	e.SetNumber("zone.wanted", 19.1)
	return e
}

// problemsOf returns the problems as lines: the marked source, the summary and
// the hint.
func problemsOf(t *testing.T, src string, err error) []string {
	t.Helper()
	if err == nil {
		return nil
	}
	var all Problems
	if !errors.As(err, &all) {
		t.Fatalf("%T is no Problems: %v", err, err)
	}
	var out []string
	for _, p := range all {
		line := fmt.Sprintf("[%s] %s", string([]rune(src)[p.From:p.To]), p.Summary)
		if p.Hint != "" {
			line += " -> " + p.Hint
		}
		out = append(out, line)
	}
	return out
}

const textHint = " -> texts are compared with `==`, `!=` and `in`"

func TestCompileRefuses(t *testing.T) {
	tests := []struct {
		src  string
		want []string
	}{
		// names
		{"body.wiast > 1", []string{"[body.wiast] unknown name `body.wiast` -> did you mean `body.waist`?"}},
		{"bdy.hip > 1", []string{"[bdy.hip] unknown name `bdy.hip` -> did you mean `body.hip`?"}},
		{"body.elbow > 1", []string{"[body.elbow] unknown name `body.elbow` -> the names of `body` are: body.bust, body.hip, body.slope, body.upper_bust, body.waist"}},
		{"sleeve.cap > 1", []string{"[sleeve.cap] unknown name `sleeve.cap` -> the groups of names are: body, cloth, limit, size, zone"}},
		{" body.hpi ", []string{"[body.hpi] unknown name `body.hpi` -> did you mean `body.hip`?"}},
		{"hip > 1", []string{"[hip] `hip` is no name: names have the form group.name -> did you mean `body.hip`?"}},
		{"cloth.structure == woven", []string{"[woven] `woven` is no name: names have the form group.name -> a text stands in quotes: \"woven\""}},
		{"body.hip.left > 1", []string{"[body.hip.left] names have exactly the form group.name"}},
		{"true and 1 < body.hip.left == \"x\"", []string{"[body.hip.left] names have exactly the form group.name",
			"[\"x\"] `1 < body.hip.left` is a condition and `\"x\"` is a text: they cannot be compared"}},
		{"\"x\".y > 1", []string{"[\"x\".y] names have exactly the form group.name"}},
		{"body.a > 1 and body.b > 1", []string{
			"[body.a] unknown name `body.a` -> the names of `body` are: body.bust, body.hip, body.slope, body.upper_bust, body.waist",
			"[body.b] unknown name `body.b` -> the names of `body` are: body.bust, body.hip, body.slope, body.upper_bust, body.waist"}},

		// kinds
		{"body.hip", []string{"[body.hip] this wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`"}},
		{"cloth.structure", []string{"[cloth.structure] this wants a condition, and `cloth.structure` is a text -> compare it with something, as in `cloth.structure == \"...\"`"}},
		{"cloth.washed and body.hip", []string{"[body.hip] `and` wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`"}},
		{"body.hip || cloth.structure", []string{
			"[body.hip] `||` wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`",
			"[cloth.structure] `||` wants a condition, and `cloth.structure` is a text -> compare it with something, as in `cloth.structure == \"...\"`"}},
		{"cloth.structure == 5", []string{"[5] `cloth.structure` is a text and `5` is a number: they cannot be compared"}},
		{"body.hip < cloth.stretch", []string{"[cloth.stretch] `body.hip` is a length and `cloth.stretch` is a percentage: they cannot be compared -> look at the unit of both; a length in percent of another is `100 * one / other`"}},
		{"body.hip - size.index > 1", []string{"[size.index] `body.hip` is a length and `size.index` is a count: they cannot be added, nor taken from one another -> look at the unit of both; a length in percent of another is `100 * one / other`"}},
		{"between(cloth.stretch, 5, cm(3))", []string{"[cm(3)] `cloth.stretch` is a percentage and `cm(3)` is a length: between(...) wants numbers of one kind -> look at the unit of both; a length in percent of another is `100 * one / other`"}},
		{"if(cloth.washed, body.hip)", []string{"[if(cloth.washed, body.hip)] if(...) wants 3 values, and got 2 -> write if(condition, x, y)"}},
		{"if(body.hip, true, false)", []string{"[body.hip] a choice wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`"}},
		{"count(cloth.washed, body.hip) > 1", []string{"[body.hip] count(...) wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`"}},
		{"\"knit\" == body.hip", []string{"[\"knit\"] `\"knit\"` is a text and `body.hip` is a number: they cannot be compared"}},
		{"cloth.structure < \"woven\"", []string{"[cloth.structure < \"woven\"] `cloth.structure` is a text: it is neither more nor less than another -> compare with `==` or `!=`"}},
		{"cloth.washed > false", []string{"[cloth.washed > false] `cloth.washed` is a condition: it is neither more nor less than another -> compare with `==` or `!=`"}},
		{"body.hip + cloth.structure > 1", []string{"[cloth.structure] `+` wants a number, and `cloth.structure` is a text"}},
		{"-cloth.washed > 1", []string{"[cloth.washed] `-` wants a number, and `cloth.washed` is a condition"}},
		{"not body.hip < 3", []string{"[body.hip] `not` wants a condition, and `body.hip` is a number -> for the opposite of a comparison write `not (...)`"}},
		{"! size.name == \"12\"", []string{"[size.name] `!` wants a condition, and `size.name` is a text -> for the opposite of a comparison write `not (...)`"}},
		{"body.hip ? true : false", []string{"[body.hip] a choice wants a condition, and `body.hip` is a number -> compare it with something, as in `body.hip > 0`"}},
		{"cloth.washed ? true : 1", []string{"[1] `true` is a condition and `1` is a number: a choice is between two of a kind"}},
		{"cloth.grain == \"crosswize\"", []string{"[\"crosswize\"] `cloth.grain` is never \"crosswize\" -> did you mean `crosswise`?"}},
		{"'bias' != cloth.grain or size.name == \"bias\"", []string{"['bias'] `cloth.grain` is never \"bias\" -> it is one of: lengthwise, crosswise"}},
		{"not (cloth.grain in [\"crosswise\", \"Crosswise\", \"\"])", []string{
			"[\"Crosswise\"] `cloth.grain` is never \"Crosswise\" -> did you mean `crosswise`?",
			"[\"\"] `cloth.grain` is never \"\" -> it is one of: lengthwise, crosswise"}},
		{"size.name in [12, \"14\"]", []string{"[12] `size.name` is a text and `12` is a number: they cannot be compared"}},
		{"cloth.washed in [true]", []string{"[cloth.washed] `in` wants a number or a text, and `cloth.washed` is a condition"}},
		{"body.hip in [body.waist]", []string{"[body.waist] a list holds only numbers or texts as they are"}},
		{"body.hip in []", []string{"[[]] the list is empty"}},
		{"body.hip in body.waist", []string{"[in] behind `in` stands a list in square brackets -> as in `cloth.structure in [\"woven\", \"knit\"]`"}},
		{"abs(cloth.structure) > 1", []string{"[cloth.structure] abs(...) wants a number, and `cloth.structure` is a text"}},
		{"body.hip + body.hip + body.hip + body.hip + body.hip", []string{"[body.hip + body.hip + body.hip + body.hip + body.hip] this wants a condition, and `body.hip + body.hip + body.hip + body...` is a number -> compare it with something, as in `body.hip + body.hip + body.hip + body... > 0`"}},

		// functions
		{"min(body.hip) > 1", []string{"[min(body.hip)] min(...) wants 2 or more values, and got 1 -> write min(x, y)"}},
		{"inch(1, 2) > 1", []string{"[inch(1, 2)] inch(...) wants 1 value, and got 2 -> write inch(2)"}},
		{"between(body.hip, 1)", []string{"[between(body.hip, 1)] between(...) wants 3 values, and got 2 -> write between(x, low, high)"}},
		{"known(body.hip, body.waist)", []string{"[known(body.hip, body.waist)] known(...) wants 1 value, and got 2 -> write known(group.name)"}},
		{"known(body.hip + 1)", []string{"[body.hip + 1] known(...) asks for one name -> write known(group.name)"}},
		{"known(\"body.hip\")", []string{"[\"body.hip\"] known(...) asks for one name -> write known(group.name)"}},
		{"know(body.hip)", []string{"[know] unknown function `know` -> did you mean `known`?"}},
		{"len(body.hip) > 1", []string{"[len] unknown function `len` -> the functions are: abs, between, cm, count, if, inch, known, max, min, round"}},
		{"filter(body.hip, body.waist > 1)", []string{"[filter] unknown function `filter` -> the functions are: abs, between, cm, count, if, inch, known, max, min, round"}},
		{"length(body.hip) > 1", []string{"[length] unknown function `length` -> length(...) stands only around a whole expression in a text's braces"}},
		{"body.hip() > 1", []string{"[hip] only functions can be called -> the functions are: abs, between, cm, count, if, inch, known, max, min, round"}},

		// grammar
		{"", []string{"[] the expression is empty"}},
		{" ", []string{"[ ] the expression is empty"}},
		{"body.hip >", []string{"[>] the expression ends too early -> something is missing behind the last sign"}},
		{"body.hip < 2 in", []string{"[n] the list behind `in` is missing -> for 2 inches write inch(2)"}},
		{"body.hip > 5 cm", []string{"[cm] `cm` does not fit here -> for 5 centimetres write cm(5)"}},
		{"body.hip > 5cm", []string{"[5cm] `5cm`: units do not stand behind a number -> for 5 centimetres write cm(5)"}},
		{"body.hip > 5mm", []string{"[5mm] `5mm`: units do not stand behind a number -> for 5 millimetres write cm(0.5)"}},
		{"body.hip > 5in", []string{"[5in] `5in`: units do not stand behind a number -> for 2 inches write inch(2)"}},
		{"body.hip > 38\"", []string{"[\"] the text has no closing quote -> for inches write inch(38)"}},
		{"size.name == 'a", []string{"['] the text has no closing quote"}},
		{"size.name == 'a\n'", []string{"['] the text has no closing quote"}},
		{"size.name == 'a\\n'", []string{"[\\] a text in quotes holds no backslash -> for a quote inside a text use the other kind of quotes around it"}},
		{"1 2", []string{"[2] `2` does not fit here -> an operator is missing before it, such as `and`, `+` or `<`"}},
		{"(1 2", []string{"[(] `(` is never closed"}},
		{"(1]", []string{"[(] `(` is never closed", "[]] `]` closes nothing"}},
		{"1)", []string{"[)] `)` closes nothing"}},
		{"abs(1)(2)", []string{"[(] `(` does not fit here"}},
		{"[1, 2]", []string{"[[] a list stands only behind `in` -> write a list as in `cloth.structure in [\"woven\", \"knit\"]`"}},
		{"body[\"hip\"] > 1", []string{"[[] a list stands only behind `in` -> write a list as in `cloth.structure in [\"woven\", \"knit\"]`"}},
		{"1 < body.hip < 3", []string{"[1 < body.hip < 3] comparisons cannot be chained -> write `a < b and b < c` or between(x, low, high)"}},
		{"cloth.washed ? : true", []string{"[cloth.washed ? : true] a choice has the form `condition ? value : other value`"}},
		{"+body.hip > 1", []string{"[+] a `+` stands only between two numbers -> leave it out"}},
		{"b'x' == 'x'", []string{"[b'x'] this has no place in an expression -> allowed are names, numbers, texts, + - * /, comparisons, and, or, not, ?:, in and functions"}},

		// numbers
		{"body.hip > 1e3", []string{"[1e3] `1e3` is no number -> write plain decimals, such as 0.5 or 12"}},
		{"body.hip > 0x10", []string{"[0x10] `0x10` is no number -> write plain decimals, such as 0.5 or 12"}},
		{"body.hip > 1_000", []string{"[1_000] `1_000` is no number -> write plain decimals, such as 0.5 or 12"}},
		{"body.hip > 5.", []string{"[5.] `5.` is no number -> write plain decimals, such as 0.5 or 12"}},
		{"body.hip > .5", []string{"[.5] `.5` begins with a point -> write 0.5"}},
		{"body.hip in 1..5", []string{"[1..5] `1..5` is no number -> write plain decimals, such as 0.5 or 12"}},
		{"body.hip > 99999999999999999999", []string{"[99999999999999999999] `99999999999999999999` is too large"}},

		// the engine's other words and signs
		{"let x = 1; x", []string{"[let] there is no `let` -> write the value out where it is used", "[=] there is no `=` -> to compare write `==`", "[;] there is no `;` -> one expression holds one value"}},
		{"if cloth.washed {true} else {false}", []string{
			"[if] this `if` has no brackets -> write `if(condition, value, other value)`", "[{] `{` has no place in an expression", "[}] `}` has no place in an expression",
			"[else] there is no `else` -> write `if(condition, value, other value)`", "[{] `{` has no place in an expression", "[}] `}` has no place in an expression"}},
		{"body.hip == nil", []string{"[nil] there is no `nil` -> ask known(group.name)"}},
		{"body.hip is 5", []string{"[is] there is no `is` -> to compare write `==`"}},
		{"size.name matches '1'", []string{"[matches] there is no `matches`" + textHint}},
		{"size.name contains '1'", []string{"[contains] there is no `contains`" + textHint}},
		{"size.name startsWith '1'", []string{"[startsWith] there is no `startsWith`" + textHint}},
		{"size.name endsWith '1'", []string{"[endsWith] there is no `endsWith`" + textHint}},
		{"body.hip ** 2 > 1", []string{"[**] there is no `**` -> multiply the value by itself"}},
		{"body.hip ^ 2 > 1", []string{"[^] there is no `^` -> multiply the value by itself"}},
		{"cloth.stretch > 25 %", []string{"[%] there is no `%` -> percentages are plain numbers: for 25 % write 25"}},
		{"body.hip ?? 2", []string{"[??] there is no `??` -> write `known(a.b) ? a.b : other value`"}},
		{"body?.hip > 2", []string{"[?.] there is no `?.` -> ask known(group.name) first"}},
		{"body.hip in body.waist .. 5", []string{"[..] there are no ranges -> write between(x, low, high)"}},
		{"::abs(1) > 0", []string{"[::] there is no `::`"}},
		{"body.hip | abs() > 1", []string{"[|] there is no `|` -> write `or`"}},
		{"cloth.washed & true", []string{"[&] there is no `&` -> write `and`"}},
		{"all(#, # > 1)", []string{"[#] there is no `#`", "[#] there is no `#`"}},
		{"true // sure", []string{"[//] an expression holds no comments -> put the comment into the file, behind `#`"}},
		{"true /* don't */", []string{"[/*] an expression holds no comments -> put the comment into the file, behind `#`"}},
		{"body.hip = 5", []string{"[=] there is no `=` -> to compare write `==`"}},
		{"body.hip => 5", []string{"[=>] there is no `=>` -> write `>=` for at least"}},
		{"body.hip =< 5", []string{"[=<] there is no `=<` -> write `<=` for at most"}},
		{"body.hip ≥ 5", []string{"[≥] there is no `≥` -> write `>=`"}},
		{"body.hip − 5 > 1", []string{"[−] this is not the minus sign of the keyboard -> write `-`"}},
		{"size.name == “12”", []string{"[“] a text stands in straight quotes -> write \"knit\"", "[”] a text stands in straight quotes -> write \"knit\""}},
		{"size.name == `12`", []string{"[`] a text stands in straight quotes -> write \"knit\"", "[`] a text stands in straight quotes -> write \"knit\""}},
		{"$env.body", []string{"[$] `$` has no place in an expression"}},
		{"früh.ling > 1", []string{"[ü] `ü` has no place in an expression"}},
		{"true\x00", []string{"[\x00] the character U+0000 has no place in an expression"}},
	}
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			_, err := Compile(tt.src, testSchema(), Bool)
			if diff := cmp.Diff(tt.want, problemsOf(t, tt.src, err)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestCompileWantsTheKindAsked(t *testing.T) {
	tests := []struct {
		src  string
		want Dim
		err  string
	}{
		{"body.hip > 1", Bool, ""},
		{"body.hip", Length, ""},
		{"body.hip", Percent, ""}, // any number is a number
		{"size.name", Text, ""},
		{"body.hip > 1", Length, "[body.hip > 1] this wants a number, and `body.hip > 1` is a condition"},
		{"size.name", Ease, "[size.name] this wants a number, and `size.name` is a text"},
		{"(1)", Text, "[1] this wants a text, and `1` is a number"},
	}
	for _, tt := range tests {
		_, err := Compile(tt.src, testSchema(), tt.want)
		if got := strings.Join(problemsOf(t, tt.src, err), "\n"); got != tt.err {
			t.Errorf("%s as %v: got %q, want %q", tt.src, tt.want, got, tt.err)
		}
	}
}

func TestLimits(t *testing.T) {
	repeat := strings.Repeat
	tests := []struct{ name, src, want string }{
		{"1,000 characters", "true" + repeat(" ", 996), ""},
		{"1,001 characters", "true" + repeat(" ", 997), "the expression is longer than 1,000 characters"},
		{"1,000 wide characters", "size.name == '" + repeat("𝛼", 985) + "'", ""},
		{"50 brackets", repeat("(", 50) + "true" + repeat(")", 50), ""},
		{"51 brackets", repeat("(", 51) + "true" + repeat(")", 51), "more than 50 brackets inside one another"},
		{"only brackets", repeat("(", 200_000), "the expression is longer than 1,000 characters"},
		{"few enough brackets", repeat("(", 1000), "more than 50 brackets inside one another"},
		{"brackets in a text", "size.name == '" + repeat("(", 60) + "'", ""},
		{"50 signs", repeat("!", 50) + "true", ""},
		{"51 signs", repeat("!", 51) + "true", "more than 50 signs or choices inside one another"},
		{"60 signs side by side", "!true" + repeat(" or !true", 59), ""},
		{"51 words", repeat("not ", 51) + "true", "more than 50 signs or choices inside one another"},
		{"51 minus signs", repeat("-", 52) + "1 > 1", "more than 50 signs or choices inside one another"},
		{"51 choices", repeat("true ? true : ", 51) + "true", "more than 50 signs or choices inside one another"},
		{"1,000 signs", repeat("-", 999) + "1", "the expression has more than 200 names, values and operators"},
		{"199 nodes", "true" + repeat(" or true", 99), ""},
		{"201 nodes", "true" + repeat(" or true", 100), "the expression has more than 200 names, values and operators"},
		{"a long list", "size.index in [1" + repeat(",1", 300) + "]", "the expression has more than 200 names, values and operators"},
		{"66 names", "body.hip < body.hip" + repeat(" or body.hip < body.hip", 32), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Compile(tt.src, testSchema(), Bool)
			got := ""
			if err != nil {
				got = err.(Problems)[0].Summary
			}
			if got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestBool(t *testing.T) {
	tests := []struct {
		src  string
		want bool
	}{
		{"true", true},
		{"not true", false},
		{"!false && true || false", true},
		{"false or true and false", false},
		{"cloth.washed", true},
		{"cloth.washed == true", true},
		{"cloth.washed != (1 < 2)", false},
		{"cloth.structure == \"knit\"", true},
		{"cloth.structure != 'knit'", false},
		{"cloth.structure in ['woven', 'knit']", true},
		{"cloth.structure not in ['woven', 'knit']", false},
		{"not (cloth.structure in ['woven'])", true},
		{"size.index in [1, 2, 3]", true},
		{"-size.index in [-3]", true},
		{"size.index not in [1, 3.0]", false},
		{"7 / 2 == 3.5", true},
		{"body.hip - body.waist == 37.4", true},
		{"2 + 3 * 4 - 6 / 3 == 12", true},
		{"(2 + 3) * 4 == 20", true},
		{"-(2 - 3) == 1", true},
		{"- 2 - -3 == 1", true},
		{"cm(5) == 5", true},
		{"inch(2) == 5.08", true},
		{"inch(size.index) == 7.62", true},
		{"limit.least == inch(2)", true},
		{"known(limit.least)", true},
		{"abs(-3) == 3 and abs(3) == 3", true},
		{"round(2.5) == 3 and round(-2.5) == -3 and round(2.4) == 2", true},
		{"min(3, 1, 2) == 1 and max(3, 1, 2) == 3", true},
		{"between(3, 3, 3)", true},
		{"between(3, 3.0001, 4)", false},
		{"between(3, 2, 2.9999)", false},
		{"known(body.hip)", true},
		{"known(body.upper_bust)", false},
		{"not known(body.upper_bust) or body.upper_bust > 1", true},
		{"cloth.washed ? body.hip > 100 : false", true},
		{"(cloth.washed ? body.waist : body.hip) == 75", true},
		{"if(cloth.washed, body.hip > 100, false)", true},
		{"if (not cloth.washed, body.waist, body.hip) == 112.4", true},
		{"if(if(cloth.washed, false, true), true, size.index == 3)", true},
		{"cloth.structure == 'if(' or true", true},
		{"count(cloth.washed, 1 > 2, body.hip > 100) == 2", true},
		{"count(false) + count(true, true) == 2", true},
		{"100 * body.hip / body.waist > cloth.stretch", true},           // of a quotient nothing is certain
		{"zone.ease > limit.least and zone.ease < cloth.stretch", true}, // an ease may be either
		{"body . hip\n> 100", true},
	}
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			f, err := Compile(tt.src, testSchema(), Bool)
			if err != nil {
				t.Fatal(err)
			}
			if got, err := f.Bool(wren()); got != tt.want || err != nil {
				t.Errorf("got %v, %v; want %v", got, err, tt.want)
			}
		})
	}
}

func TestComparisonsRound(t *testing.T) {
	for src, want := range map[string]bool{
		"zone.ease - zone.wanted == -8.0":             true, // -8.000000000000002
		"zone.ease - zone.wanted < -8.0":              false,
		"zone.ease - zone.wanted >= -8":               true,
		"abs(zone.ease - zone.wanted) > 8":            false,
		"zone.ease - zone.wanted in [-8]":             true,
		"between(zone.ease - zone.wanted, -8, -8)":    true,
		"between(8, abs(zone.ease - zone.wanted), 9)": true,
		"1.00004 == 1":                       true,
		"1.00005 == 1.0001":                  true, // half away from zero
		"-1.00005 == -1.0001":                true,
		"1.00005 != 1":                       true,
		"1.00004 > 1":                        false,
		"1.00005 > 1":                        true,
		"0.1 + 0.2 <= 0.3":                   true,
		"size.index in [3.00004]":            true,
		"1.00004 in [1]":                     true,
		"999999999999999 == 999999999999998": false,
		"(1.00004 - 1) * 100000 == 0":        false, // only comparisons round
		"(1.00004 == 1 ? 1.00004 : 2) * 100000 > 100003": true,
	} {
		f, err := Compile(src, testSchema(), Bool)
		if err != nil {
			t.Fatal(src, err)
		}
		if got, err := f.Bool(wren()); got != want || err != nil {
			t.Errorf("%s: got %v, %v; want %v", src, got, err, want)
		}
	}
}

func TestNumberAndText(t *testing.T) {
	s, e := testSchema(), wren()
	f, err := Compile("max(body.hip - 100, limit.least)", s, Length)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := f.Number(e); math.Abs(got-12.4) > 1e-9 || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
	if _, err := f.Text(e); err == nil {
		t.Error("a number was given as a text")
	}
	f, err = Compile("cloth.washed ? size.name : 'none'", s, Text)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := f.Text(e); got != "12" || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestNamesAndNeeds(t *testing.T) {
	const hip, waist, bust = "body.hip", "body.waist", "body.bust"
	tests := []struct {
		src          string
		names, needs []string
	}{
		{"true", nil, nil},
		{"limit.least > 1", []string{"limit.least"}, nil},
		{"body.waist > 1 and body.hip > body.waist", []string{waist, hip}, []string{waist, hip}},
		{"known(body.hip)", []string{hip}, nil},
		{"known(body.hip) and body.hip > 1", []string{hip}, nil},
		{"body.hip > 1 and known(body.hip)", []string{hip}, []string{hip}}, // only to the right
		{"known(body.hip) or body.hip > 1", []string{hip}, []string{hip}},
		{"not known(body.hip) or body.hip > 1", []string{hip}, nil},
		{"!known(body.hip) || body.hip > 1", []string{hip}, nil},
		{"not known(body.hip) and body.hip > 1", []string{hip}, []string{hip}},
		{"known(body.hip) ? body.hip > 1 : body.waist > 1", []string{hip, waist}, []string{waist}},
		{"known(body.hip) ? body.waist > 1 : body.hip > 1", []string{hip, waist}, []string{hip, waist}},
		{"cloth.washed ? body.bust > 1 : body.hip > 1", []string{"cloth.washed", bust, hip}, []string{"cloth.washed", bust, hip}},
		{"not known(body.hip) ? true : body.hip > 1", []string{hip}, nil},
		{"known(body.hip) and known(body.waist) and body.hip > body.waist", []string{hip, waist}, nil},
		{"(known(body.hip) and known(body.waist)) and body.hip > body.waist", []string{hip, waist}, nil},
		{"known(body.hip) and (known(body.waist) and body.hip > body.waist)", []string{hip, waist}, nil},
		{"(known(body.hip) or known(body.waist)) and body.hip > 1", []string{hip, waist}, []string{hip}},
		{"(known(body.hip) or known(body.hip)) and body.hip > 1", []string{hip}, nil},
		{"not (known(body.hip) and known(body.waist)) or body.hip > body.waist", []string{hip, waist}, nil},
		{"not known(body.hip) or not known(body.waist) or body.hip > body.waist", []string{hip, waist}, nil},
		{"not (not known(body.hip) or not known(body.waist)) and body.hip > body.waist", []string{hip, waist}, nil},
		{"known(body.hip) and body.waist > 1 and body.hip > 1", []string{hip, waist}, []string{waist}},
		{"(known(body.hip) ? body.hip : 0) > 1", []string{hip}, nil},
		{"(known(body.hip) ? body.hip : 0) + body.hip > 1", []string{hip}, []string{hip}},
		{"(known(body.hip) ? known(body.waist) : false) and body.hip > body.waist", []string{hip, waist}, []string{hip, waist}},
		{"(known(body.hip) ? known(body.waist) : known(body.waist)) and body.waist > 1", []string{hip, waist}, nil},
		{"(cloth.washed ? known(body.hip) : known(body.hip) and true) and body.hip > 1", []string{"cloth.washed", hip}, []string{"cloth.washed"}},
		{"(not known(body.hip) and cloth.washed) or body.hip > 1", []string{hip, "cloth.washed"}, []string{hip, "cloth.washed"}},
		{"(not known(body.hip) and not known(body.hip)) or body.hip > 1", []string{hip}, nil},
		{"(cloth.washed ? not known(body.hip) : not known(body.hip)) or body.hip > 1", []string{"cloth.washed", hip}, []string{"cloth.washed"}},
		{"(cloth.washed ? not known(body.hip) : false) or body.hip > 1", []string{"cloth.washed", hip}, []string{"cloth.washed", hip}},
		{"abs(known(body.hip) ? body.hip : body.bust) in [1]", []string{hip, bust}, []string{bust}},
		{"(known(body.hip) == true) and body.hip > 1", []string{hip}, []string{hip}}, // flows through and, or, not and ?: alone
	}
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			f, err := Compile(tt.src, testSchema(), Bool)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.names, f.Names()); diff != "" {
				t.Errorf("names: %s", diff)
			}
			if diff := cmp.Diff(tt.needs, f.Needs()); diff != "" {
				t.Errorf("needs: %s", diff)
			}
			if f.Source() != tt.src {
				t.Errorf("source: %s", f.Source())
			}
		})
	}
}

func TestNeedsOfManyNames(t *testing.T) {
	var names []Name
	var src []string
	for i := range 65 {
		n := fmt.Sprintf("x.n%d", i)
		names, src = append(names, Name{Name: n, Dim: Count}), append(src, n)
	}
	f, err := Compile(strings.Join(src[:64], "+")+" > 0 and known("+src[64]+")", NewSchema(names), Bool)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(src[:64], f.Needs()); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(src, f.Names()); diff != "" {
		t.Error(diff)
	}
}

func TestMissing(t *testing.T) {
	f, err := Compile("true or body.waist > 1 or size.index > 1 or body.hip > 1", testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	e := wren()
	e.Unset("body.waist")
	e.Drop(testSchema().Key("body.hip"))
	for name, run := range map[string]func(*Env) error{
		"Bool":  func(e *Env) error { _, err := f.Bool(e); return err },
		"Trace": func(e *Env) error { _, _, err := f.Trace(e); return err },
	} {
		var missing *Missing
		if err := run(e); !errors.As(err, &missing) {
			t.Fatalf("%s: got %v", name, err)
		}
		if diff := cmp.Diff([]string{"body.waist", "body.hip"}, missing.Names); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if got := missing.Error(); got != "not known: body.waist, body.hip" {
			t.Errorf("%s: %s", name, got)
		}
	}
}

func TestNotFinite(t *testing.T) {
	const endless, byZero = "the result is not a finite number", "division by zero"
	tests := []struct {
		src, at, summary string
	}{
		{"body.hip / 0 > 1", "body.hip / 0", byZero},
		{"0 / 0 == 0", "0 / 0", byZero},
		{"true and 1 / (1 / (size.index - 3)) < 1", "1 / (size.index - 3)", byZero},
		{"min(1 / (size.index - 3), 5) == 5", "1 / (size.index - 3)", byZero},
		{"zone.ease * zone.ease > 1", "zone.ease * zone.ease > 1", endless},
		{"1 / (zone.ease * zone.ease) == 0", "1 / (zone.ease * zone.ease)", endless},
		{"min(zone.ease * zone.ease, 5) == 5", "min(zone.ease * zone.ease, 5)", endless},
		{"zone.ease * zone.ease in [1]", "zone.ease * zone.ease in [1]", endless},
		{"between(zone.ease * zone.ease, 1, 2)", "between(zone.ease * zone.ease, 1, 2)", endless},
		{"between(1, -zone.ease * zone.ease, 2)", "between(1, -zone.ease * zone.ease, 2)", endless},
		{"zone.wanted != zone.wanted", "zone.wanted != zone.wanted", endless},
		{"(zone.ease * zone.ease - zone.ease * zone.ease) * 0 == 0", "(zone.ease * zone.ease - zone.ease * zone.ease) * 0 == 0", endless},
	}
	e := wren()
	e.SetNumber("zone.ease", 1e300)
	e.SetNumber("zone.wanted", math.NaN())
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			f, err := Compile(tt.src, testSchema(), Bool)
			if err != nil {
				t.Fatal(err)
			}
			_, err = f.Bool(e)
			var failed *RunError
			if !errors.As(err, &failed) {
				t.Fatalf("got %v", err)
			}
			if at := tt.src[failed.From:failed.To]; at != tt.at || failed.Summary != tt.summary || err.Error() != tt.summary {
				t.Errorf("got %q at %q, want %q at %q", failed.Summary, at, tt.summary, tt.at)
			}
			if _, _, traced := f.Trace(e); !cmp.Equal(err, traced) {
				t.Errorf("traced: %v", traced)
			}
		})
	}
	for _, src := range []string{"zone.wanted", "zone.ease * zone.ease", "abs(zone.ease * -zone.ease)", "inch(zone.ease * 100000000)"} {
		f, err := Compile(src, testSchema(), Length)
		if err != nil {
			t.Fatal(err)
		}
		var failed *RunError
		if got, err := f.Number(e); !errors.As(err, &failed) || failed.To != len(src) {
			t.Errorf("%s: got %v, %v", src, got, err)
		}
	}
}

func TestShortCircuitSparesErrors(t *testing.T) {
	f, err := Compile("size.index != 3 and 1 / (size.index - 3) > 1", testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := f.Bool(wren()); got || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestFormulaServesSeveralGoroutines(t *testing.T) {
	f, err := Compile("known(body.hip) and body.hip - body.waist > 30 and cloth.structure in ['knit']", testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	tm, err := CompileTemplate("{body.hip} and {length(body.hip - 1)}", testSchema())
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	shared := wren()
	for range 8 {
		wg.Go(func() {
			for range 100 {
				if got, err := f.Bool(shared); !got || err != nil {
					t.Errorf("got %v, %v", got, err)
				}
				if got, parts, err := f.Trace(shared); got != true || len(parts) == 0 || err != nil {
					t.Errorf("trace: got %v, %v", got, err)
				}
				if _, _, err := tm.Render(shared, plain{}); err != nil {
					t.Error(err)
				}
				if _, err := Compile("body.hip > 1 and count(body.hip)", testSchema(), Bool); err == nil {
					t.Error("compiled")
				}
			}
		})
	}
	wg.Wait()
}

func TestProblemsError(t *testing.T) {
	p := Problem{Summary: "one"}
	for want, ps := range map[string]Problems{
		"one":                      {p},
		"one, and 1 more problem":  {p, p},
		"one, and 2 more problems": {p, p, p},
	} {
		if got := ps.Error(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
