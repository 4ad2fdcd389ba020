package engine_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/recipes"
)

// slip is a way in which a sentence can be wrong whatever it is about.
type slip struct {
	name string
	in   func(sentence string) bool
}

const figure = `less than (?:0\.1 cm|1/8 in)|-?\d+(?:\.\d+)?(?: \d+/\d+|/\d+)?(?: (?:cm|in|mm|%|degrees)\b| %)`

// relations are what the words around two figures say of them: of the second, compared with the first.
var relations = []struct {
	before, between *regexp.Regexp // nil: anything
	holds           func(order int) bool
}{
	{regexp.MustCompile(`closer than (?:you want|wanted): $`), regexp.MustCompile(`^ of ease, not $`), func(order int) bool { return order > 0 }},
	{nil, regexp.MustCompile(`^(?: of ease)?,? (?:not|instead of|but not|rather than|and not) $`), func(order int) bool { return order != 0 }},
	{nil, regexp.MustCompile(`^(?:,|[a-z ]+[:,]) (?:less|closer|smaller|shorter|narrower|lower) than (?:the )?$`), func(order int) bool { return order > 0 }},
	{nil, regexp.MustCompile(`^(?:,|[a-z ]+[:,]) (?:more|larger|longer|wider|higher) than (?:the )?$`), func(order int) bool { return order < 0 }},
	{regexp.MustCompile(`\bat most $`), regexp.MustCompile(`; this (?:measures|is) $`), func(order int) bool { return order > 0 }},
	{regexp.MustCompile(`\bat least $`), regexp.MustCompile(`; this (?:measures|is) $`), func(order int) bool { return order < 0 }},
	{regexp.MustCompile(`\b(?:from|between) $`), regexp.MustCompile(`^ (?:to|and) $`), func(order int) bool { return order != 0 }},
}

var figures = regexp.MustCompile(figure)

// untrueFigures finds two figures that are not as the words around them say: "6 cm, not 6 cm", "at most 26 in; this
// measures 26 in".
func untrueFigures(sentence string) bool {
	at := figures.FindAllStringIndex(sentence, -1)
	for i := 1; i < len(at); i++ {
		before, between := sentence[:at[i-1][0]], sentence[at[i-1][1]:at[i][0]]
		order := cmp.Compare(amount(sentence[at[i][0]:at[i][1]]), amount(sentence[at[i-1][0]:at[i-1][1]]))
		for _, r := range relations {
			if (r.before == nil || r.before.MatchString(before)) && r.between.MatchString(between) {
				if !r.holds(order) {
					return true
				}
				break
			}
		}
	}
	return false
}

// amount is a printed figure as a number, whatever its unit.
func amount(printed string) float64 {
	if strings.HasPrefix(printed, "less than") {
		return 0 // too little for a tape
	}
	l, err := quantity.ParseLength(strings.TrimRight(printed, " %abcdefghijklmnopqrstuvwxyz"), quantity.Cm)
	if err != nil {
		return math.NaN()
	}
	return l.Cm()
}

var word = regexp.MustCompile(`[A-Za-z']+`)

func doubledWord(sentence string) bool {
	at := word.FindAllStringIndex(sentence, -1)
	for i := 1; i < len(at); i++ {
		if strings.EqualFold(sentence[at[i-1][0]:at[i-1][1]], sentence[at[i][0]:at[i][1]]) && sentence[at[i-1][1]:at[i][0]] == " " {
			return true
		}
	}
	return false
}

func matches(expression string) func(string) bool { return regexp.MustCompile(expression).MatchString }

// plurals are what one of is never called so.
const plurals = `bodies|cautions|days|edges|eighths|garments|layers|lines|makes|measurements|months|people|percentage points|pieces|points|readings|rules|seams|sizes|times|toiles|years|zones`

var slips = []slip{
	{"figures that are not as said", untrueFigures},
	{"an amount of nothing", matches(`\b(?:by|another|about|up to|of) (?:about )?0(?:\.0+)?(?: (?:cm|in|mm|%)| degrees)(?: (?:more|less|too|at each)|[.,;:]|$)|\b(?:[Aa]dd|[Ll]engthen|[Ss]horten|[Ww]iden) (?:about )?0 (?:cm|in)\b|\b0 (?:cm|in|%) (?:too|more|less|larger|smaller|wider|longer|shorter|away|beyond)\b`)},
	{"an amount below nothing", matches(`\b(?:by|another|about|[Aa]dd|grows?|lengthen|shorten|widen) (?:about |by )*-\d|-\d[^ ]*(?: \d+/\d+)? (?:cm|in|%) (?:too|more|less|larger|smaller|wider|longer|shorter|away|beyond)\b`)},
	{"a wrong article", matches(`\b[Aa] (?:[AEFHILMNORSX]-|8 |8\d? |11 |18 |[aei]|o[^n]|on[^ce]|u[^nst]|un[^i]|AN )|\b[Aa]n (?:[^aeiouhAEFHILMNORSX8\W]|one[- ]|once|un[i]|use|eu|h[^eo]|[02-79]|1[0-79]\b)`)},
	{"a doubled word", doubledWord},
	{"doubled punctuation", matches(`[^. ]\.\.(?:[^.]|$)|,,|;;| [,;:]|: :|::|[,;:]\.|\.[,;]|\?\.| \.(?:\s|$)|\(\s|\s\)|  `)},
	{"three colons in one clause", func(s string) bool {
		return slices.ContainsFunc(strings.Split(s, "; "), func(clause string) bool { return strings.Count(clause, ": ") > 2 })
	}},
	{"an unfilled template", matches(`[{}]|<no value>|%!|\bNaN\b|\bInf\b|<nil>|\(not known\)`)},
	{"one of many", matches(`(?:^|[^\d./] ?)\b1 (?:` + plurals + `)\b`)},
	{"nothing said", matches(`^\W*$|\(\)|^\s|\s$`)},
}

func TestSlipsAreFound(t *testing.T) {
	tests := []struct{ sentence, slip string }{
		{"the hip comes out closer than you want: 7 cm of ease, not 7 cm", "figures that are not as said"},
		{"may measure at most 26 in at the chest; this measures 26 in.", "figures that are not as said"},
		{"may measure at most 26 in at the chest; this measures 26 1/8 in.", ""},
		{"the ease is 4 in, less than 4 in", "figures that are not as said"},
		{"the hip comes out closer than you want: 7 cm of ease, not 4 cm", "figures that are not as said"},
		{"the hip comes out closer than you want: 4 1/2 in of ease, not 5 in", ""},
		{"the hip comes out closer than you want: -4 % of ease, not -4.5 %", "figures that are not as said"},
		{"what gives is more than 5 cm", ""},
		{"is 4 in, less than 4 1/8 in", ""},
		{"18 from 42 5/8 in to 42 5/8 in", "figures that are not as said"},
		{"-14.4 % of ease where -14.4 % is wanted", ""},
		{"The seam grows by 0 cm.", "an amount of nothing"},
		{"Lengthen the legs by 0 cm", "an amount of nothing"},
		{"0 cm of ease", ""},
		{"The seam grows by -1/8 in.", "an amount below nothing"},
		{"an ease of -1/8 in", ""},
		{"-4 % to -2 %", ""},
		{"a A-line skirt", "a wrong article"},
		{"an A-line skirt", ""},
		{"a apron", "a wrong article"},
		{"an dress", "a wrong article"},
		{"an one-piece swimsuit", "a wrong article"},
		{"a one-piece swimsuit", ""},
		{"an 8 and a 12", ""},
		{"a 8 and a 12", "a wrong article"},
		{"a usual hem, an unusual one, an hour, a half, a uniform", ""},
		{"let out the the seam", "a doubled word"},
		{"cut it.. then sew", "doubled punctuation"},
		{"cut it , then sew", "doubled punctuation"},
		{"3 in .. 6 in", ""},
		{"one: two: three: four", "three colons in one clause"},
		{"the {zone.name}", "an unfilled template"},
		{"name 1 sizes", "one of many"},
		{"name 11 sizes and 0.1 points", ""},
		{"the hip ()", "nothing said"},
	}
	for _, tt := range tests {
		t.Run(tt.sentence, func(t *testing.T) {
			is(t, "slip", slipOf(tt.sentence), tt.slip)
		})
	}
}

// slipOf names what is wrong with a sentence, or nothing.
func slipOf(sentence string) string {
	for _, s := range slips {
		if s.in(sentence) {
			return s.name
		}
	}
	return ""
}

// texts gathers every text in v, whatever its type; of a JSON object not what is no prose.
func texts(v reflect.Value, say func(string)) {
	switch v.Kind() {
	case reflect.String:
		say(v.String())
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			texts(v.Elem(), say)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			texts(v.Field(i), say)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			texts(v.Index(i), say)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			if !slices.Contains([]string{"id", "source", "at"}, key.String()) {
				texts(v.MapIndex(key), say)
			}
		}
	}
}

// sentenceEnd is where one sentence ends and the next begins.
var sentenceEnd = regexp.MustCompile(`[.!?]\s+`)

// readAll reads all that an answer says in words: on the screen, on the sheet, on the toile's and in JSON.
func readAll(t *testing.T, a *engine.Answer, say func(string)) {
	t.Helper()
	whole, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(whole, &tree); err != nil {
		t.Fatal(err)
	}
	_, sheet := report.Plan(a)
	blocks := slices.Concat(report.Size(a, nil).Blocks, sheet.Blocks)
	for _, v := range []any{tree, explain.Document{Blocks: blocks}} {
		texts(reflect.ValueOf(v), func(text string) {
			if strings.HasPrefix(text, "[") || !strings.Contains(text, " ") {
				return // a source, or no sentence
			}
			if text != strings.TrimSpace(text) {
				say(text)
				return
			}
			for _, sentence := range sentenceEnd.Split(text, -1) {
				say(sentence)
			}
		})
	}
}

// proofreader notes each kind of slip once, with where it was found.
type proofreader struct {
	mu    sync.Mutex
	read  int
	found map[string]string // where, by the slip and how the sentence begins, without its figures
}

var anyFigure = regexp.MustCompile(`-?\d[\d./]*`)

// reading gives what reads the sentences of one place, each but once.
func (p *proofreader) reading() func(where, sentence string) {
	seen := map[string]bool{}
	return func(where, sentence string) {
		if seen[sentence] {
			return
		}
		seen[sentence] = true
		name := slipOf(sentence)
		p.mu.Lock()
		defer p.mu.Unlock()
		p.read++
		if name == "" {
			return
		}
		if kind := name + ": " + fmt.Sprintf("%.40s", anyFigure.ReplaceAllString(sentence, "0")); p.found[kind] == "" {
			p.found[kind] = fmt.Sprintf("%s: %s: %q", where, name, sentence)
		}
	}
}

func (p *proofreader) report(t *testing.T) {
	t.Helper()
	for _, found := range p.found {
		t.Error(found)
	}
	t.Logf("%d sentences read", p.read)
}

// What is said of the recipes' examples holds no slip.
func TestWordsOfExamples(t *testing.T) {
	p := &proofreader{found: map[string]string{}}
	t.Run("all", func(t *testing.T) {
		for _, units := range []quantity.Unit{quantity.Cm, quantity.In} {
			for name, requests := range exampleRequests(t, units) {
				t.Run(name+"/"+string(units), func(t *testing.T) {
					t.Parallel()
					read := p.reading()
					for i, q := range requests {
						q.Sure = !quick()
						a, err := engine.Advise(q)
						if err != nil {
							continue // an example without an answer
						}
						readAll(t, a, func(sentence string) { read(fmt.Sprintf("%s, example %d, %s", name, i+1, units), sentence) })
					}
				})
			}
		}
	})
	p.report(t)
}

// What is said to every twentieth real body holds none either.
func TestWordsOfRealBodies(t *testing.T) {
	bodies := bodiesOrSkip(t)
	p := &proofreader{found: map[string]string{}}
	every := 20
	if quick() {
		every = 2000
	}
	t.Run("all", func(t *testing.T) {
		for at, name := range recipes.Names() {
			for _, v := range inventions {
				t.Run(name+", "+v.name, func(t *testing.T) {
					t.Parallel()
					s, read, step := newSurvey(t, name, v), p.reading(), every*v.every
					for i := at % step; i < len(bodies); i += step {
						if s.by(bodies[i]) == "" {
							continue
						}
						units := []quantity.Unit{quantity.Cm, quantity.In}[i/step%2]
						a, err := s.fitter.Advise(engine.Request{Fitting: engine.Fitting{Body: bodies[i], Cloth: s.fabric(s.recipe), Units: units}})
						if err != nil {
							t.Fatalf("%s: %v", bodies[i].Name, err)
						}
						readAll(t, a, func(sentence string) { read(name+", "+bodies[i].Name, sentence) })
					}
				})
			}
		}
	})
	p.report(t)
}
