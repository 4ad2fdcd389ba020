package formula

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"fitadvisor/explain/diag"
)

// The limits of one expression. They bound the engine's work and its stack.
const (
	maxRunes  = 1000
	maxNested = 50
	maxNodes  = 200
	maxDigits = 15 // before the point: a float64 tells no more apart
)

// scanned is a source that holds only characters, words and brackets of the
// expression language.
type scanned struct {
	runes  []rune
	closes map[int]int // place of an opening bracket -> place of its closing one
	ifs    []int       // places of `if(`, which the engine has for something else
}

// ifWord stands for `if` in what the engine reads: a word as long that it has no use for.
const ifWord = "If"

// scanner looks at a source before the engine does. It finds what no expression
// may hold, where the engine's own words would not help a reader or where the
// engine would accept it.
type scanner struct {
	scanned
	problems Problems
	open     []int  // places of the brackets not yet closed
	last     []rune // the token before
}

func scan(src string) (scanned, Problems) {
	// A rune has at most four bytes: a huge text is not even counted.
	if len(src) > utf8.UTFMax*maxRunes || utf8.RuneCountInString(src) > maxRunes {
		return scanned{}, Problems{{0, 1, tooMuch, "the expression is longer than 1,000 characters", "split it into several"}}
	}
	s := &scanner{scanned: scanned{runes: []rune(src)}}
	if strings.TrimSpace(src) == "" {
		s.problem(0, len(s.runes), incomplete, "the expression is empty", "")
	}
	for at := 0; at < len(s.runes); {
		if at = s.token(at); len(s.open) > maxNested {
			return s.scanned, s.problems
		}
	}
	for _, at := range s.open {
		s.problem(at, at+1, brackets, fmt.Sprintf("`%c` is never closed", s.runes[at]), "")
	}
	return s.scanned, s.problems
}

func (s *scanner) problem(from, to int, code diag.Code, summary, hint string) {
	s.problems = append(s.problems, Problem{from, to, code, summary, hint})
}

// token reads the token at the place and returns where the next one begins.
func (s *scanner) token(at int) int {
	c := s.runes[at]
	next := at + 1
	switch {
	case unicode.IsSpace(c):
		return next
	case c == '"' || c == '\'':
		next = s.quoted(at)
	case isLetter(c):
		next = s.run(at, func(c rune) bool { return isLetter(c) || isDigit(c) })
		s.word(at, next)
	case isDigit(c) || c == '.' && next < len(s.runes) && isDigit(s.runes[next]):
		next = s.run(at, func(c rune) bool { return isLetter(c) || isDigit(c) || c == '.' })
		s.number(at, next)
	case strings.ContainsRune("([)]", c):
		s.bracket(at)
	default:
		next = s.sign(at)
	}
	s.last = s.runes[at:next]
	return next
}

// run returns where the characters that belong together end.
func (s *scanner) run(at int, belongs func(rune) bool) int {
	for at < len(s.runes) && belongs(s.runes[at]) {
		at++
	}
	return at
}

func (s *scanner) quoted(at int) int {
	for i := at + 1; i < len(s.runes); i++ {
		switch s.runes[i] {
		case s.runes[at]:
			return i + 1
		case '\\':
			s.problem(i, i+1, badText, "a text in quotes holds no backslash", "for a quote inside a text use the other kind of quotes around it")
		case '\n':
			i = len(s.runes)
		}
	}
	hint := ""
	if len(s.last) > 0 && isDigit(s.last[0]) {
		hint = fmt.Sprintf("for inches write inch(%s)", string(s.last))
	}
	s.problem(at, at+1, badText, "the text has no closing quote", hint)
	return len(s.runes)
}

// refusedWords are the engine's own words, and others that people try, with the
// reason and what to write.
var refusedWords = map[string]struct{ summary, hint string }{
	"nil":        {"there is no `nil`", "ask known(group.name)"},
	"null":       {"there is no `null`", "ask known(group.name)"},
	"let":        {"there is no `let`", "write the value out where it is used"},
	"if":         {"this `if` has no brackets", "write `if(condition, value, other value)`"},
	"else":       {"there is no `else`", "write `if(condition, value, other value)`"},
	"is":         {"there is no `is`", "to compare write `==`"},
	"matches":    {"there is no `matches`", "texts are compared with `==`, `!=` and `in`"},
	"contains":   {"there is no `contains`", "texts are compared with `==`, `!=` and `in`"},
	"startsWith": {"there is no `startsWith`", "texts are compared with `==`, `!=` and `in`"},
	"endsWith":   {"there is no `endsWith`", "texts are compared with `==`, `!=` and `in`"},
}

func (s *scanner) word(from, to int) {
	if string(s.runes[from:to]) == "if" {
		next := s.run(to, unicode.IsSpace)
		if next < len(s.runes) && s.runes[next] == '(' {
			s.ifs = append(s.ifs, from)
			return
		}
	}
	if r, refused := refusedWords[string(s.runes[from:to])]; refused {
		s.problem(from, to, noSuchSign, r.summary, r.hint)
	}
}

func (s *scanner) number(from, to int) {
	word := string(s.runes[from:to])
	whole, fraction, dotted := strings.Cut(word, ".")
	switch unit := strings.TrimLeft(word, "0123456789."); {
	case whole == "":
		s.problem(from, to, badNumber, fmt.Sprintf("`%s` begins with a point", word), "write 0"+word)
	case unit == "cm", unit == "mm", unit == "in":
		s.problem(from, to, badNumber, fmt.Sprintf("`%s`: units do not stand behind a number", word), unitHint(unit))
	case !isDigits(whole), dotted && !isDigits(fraction):
		s.problem(from, to, badNumber, fmt.Sprintf("`%s` is no number", word), "write plain decimals, such as 0.5 or 12")
	case len(whole) > maxDigits:
		s.problem(from, to, badNumber, fmt.Sprintf("`%s` is too large", word), "")
	}
}

func isDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

func unitHint(unit string) string {
	switch unit {
	case "in":
		return "for 2 inches write inch(2)"
	case "mm":
		return "for 5 millimetres write cm(0.5)"
	}
	return "for 5 centimetres write cm(5)"
}

func (s *scanner) bracket(at int) {
	c := s.runes[at]
	if c == '(' || c == '[' {
		if c == '[' && string(s.last) != "in" {
			s.problem(at, at+1, badList, "a list stands only behind `in`", "write a list as in `cloth.structure in [\"woven\", \"knit\"]`")
		}
		if s.open = append(s.open, at); len(s.open) == maxNested+1 {
			s.problem(at, at+1, tooMuch, "more than 50 brackets inside one another", "split the expression into several")
		}
		return
	}
	last := len(s.open) - 1
	if last < 0 || (s.runes[s.open[last]] == '(') != (c == ')') {
		s.problem(at, at+1, brackets, fmt.Sprintf("`%c` closes nothing", c), "")
		return
	}
	if s.closes == nil {
		s.closes = map[int]int{}
	}
	s.closes[s.open[last]] = at
	s.open = s.open[:last]
}

// refusedSigns are found before the single signs they begin with.
var refusedSigns = []struct{ sign, summary, hint string }{
	{"**", "there is no `**`", "multiply the value by itself"},
	{"..", "there are no ranges", "write between(x, low, high)"},
	{"??", "there is no `??`", "write `known(a.b) ? a.b : other value`"},
	{"?.", "there is no `?.`", "ask known(group.name) first"},
	{"::", "there is no `::`", ""},
	{"//", "an expression holds no comments", "put the comment into the file, behind `#`"},
	{"/*", "an expression holds no comments", "put the comment into the file, behind `#`"},
	{"=>", "there is no `=>`", "write `>=` for at least"},
	{"=<", "there is no `=<`", "write `<=` for at most"},
	{"=", "there is no `=`", "to compare write `==`"},
	{"&", "there is no `&`", "write `and`"},
	{"|", "there is no `|`", "write `or`"},
	{"%", "there is no `%`", "percentages are plain numbers: for 25 % write 25"},
	{"^", "there is no `^`", "multiply the value by itself"},
	{";", "there is no `;`", "one expression holds one value"},
	{"#", "there is no `#`", ""},
	{"−", "this is not the minus sign of the keyboard", "write `-`"},
	{"–", "this is not the minus sign of the keyboard", "write `-`"},
	{"×", "there is no `×`", "write `*`"},
	{"÷", "there is no `÷`", "write `/`"},
	{"≤", "there is no `≤`", "write `<=`"},
	{"≥", "there is no `≥`", "write `>=`"},
	{"≠", "there is no `≠`", "write `!=`"},
}

var pairedSigns = []string{"<=", ">=", "==", "!=", "&&", "||"}

// plainSigns are those of one character.
const plainSigns = "+-*/<>!?:,."

func (s *scanner) sign(at int) int {
	if s.alone(at) && strings.ContainsRune(plainSigns, s.runes[at]) {
		return at + 1
	}
	pair := string(s.runes[at:min(at+2, len(s.runes))])
	for _, p := range pairedSigns {
		if pair == p {
			return at + 2
		}
	}
	for _, r := range refusedSigns {
		if strings.HasPrefix(pair, r.sign) {
			next := at + utf8.RuneCountInString(r.sign)
			s.problem(at, next, noSuchSign, r.summary, r.hint)
			if r.sign == "//" || r.sign == "/*" {
				return len(s.runes) // what a comment says is no expression
			}
			return next
		}
	}
	if c := s.runes[at]; strings.ContainsRune("`“”‘’", c) {
		s.problem(at, at+1, badText, "a text stands in straight quotes", "write \"knit\"")
	} else if !strings.ContainsRune(plainSigns, c) {
		what := fmt.Sprintf("`%c`", c)
		if !unicode.IsPrint(c) {
			what = fmt.Sprintf("the character %U", c)
		}
		s.problem(at, at+1, noSuchSign, what+" has no place in an expression", "")
	}
	return at + 1
}

// alone tells whether no sign stands behind the one at the place.
func (s *scanner) alone(at int) bool {
	if at+1 == len(s.runes) {
		return true
	}
	c := s.runes[at+1]
	return c == ' ' || isLetter(c) || isDigit(c)
}

func isLetter(c rune) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '_' }
func isDigit(c rune) bool  { return c >= '0' && c <= '9' }
