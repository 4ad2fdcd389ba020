package formula

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// plain prints numbers so that a test sees how they were printed.
type plain struct{}

func (plain) Finer() Printer { return nil }

// whole prints lengths without decimals, or with up to two where it must.
type whole struct {
	plain
	decimals int
}

func (w whole) Length(cm float64) string { return fmt.Sprintf("%.*f cm", w.decimals, cm) }
func (w whole) Finer() Printer {
	if w.decimals == 2 {
		return nil
	}
	return whole{decimals: w.decimals + 1}
}

// Only what looks alike and differs is printed more finely, and no more than it takes.
func TestRenderTellsApart(t *testing.T) {
	for text, want := range map[string]string{
		"{length(7)} or {length(7)}":                     "7 cm or 7 cm",
		"{length(7)} or {length(8)}":                     "7 cm or 8 cm",
		"{length(7.2)}, {length(7.1)} and {length(8.2)}": "7.2 cm, 7.1 cm and 8 cm",
		"{length(7.24)}, {length(7.2)}, {length(7)}":     "7.24 cm, 7.20 cm, 7.0 cm",
		"{length(7.001)} or {length(7.002)}":             "7.00 cm or 7.00 cm", // there is nothing finer
		"{length(7.00001)} or {length(7.00002)}":         "7 cm or 7 cm",       // no comparison tells them apart
	} {
		tm, err := CompileTemplate(text, testSchema())
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if got, _, err := tm.Render(wren(), whole{}); got != want || err != nil {
			t.Errorf("%s: got %q, %v; want %q", text, got, err, want)
		}
	}
}

func (plain) Length(cm float64) string           { return fmt.Sprintf("%.4g cm", cm) }
func (plain) Percent(p float64) string           { return fmt.Sprintf("%.4g %%", p) }
func (plain) Ease(name string, v float64) string { return fmt.Sprintf("%s of %.4g", name, v) }
func (plain) Count(v float64) string             { return fmt.Sprintf("%.4g", v) }
func (plain) Degrees(v float64) string           { return fmt.Sprintf("%.4g°", v) }

func TestRender(t *testing.T) {
	for text, want := range map[string]string{
		"":                                                 "",
		"Nothing in it":                                    "Nothing in it",
		"{body.hip}":                                       "112.4 cm",
		"The hip is { body.hip }, ½.":                      "The hip is 112.4 cm, ½.",
		"{(body.hip)}":                                     "112.4 cm",
		"{body.slope}{size.index}":                         "21°3",
		"{cloth.stretch} of {size.name}":                   "25 % of 12",
		"{zone.ease}":                                      "zone.ease of 11.1",
		"{limit.least}":                                    "5.08 cm",
		"{length(body.hip - 100)}":                         "12.4 cm",
		"{length(zone.ease)}":                              "11.1 cm",
		"{percent(zone.ease / body.hip * 100)}":            "9.875 %",
		"{count(size.index + 1)}":                          "4",
		"{degrees(body.slope - 1)}":                        "20°",
		"{length( min(cm(5), inch(1)) )}":                  "2.54 cm",
		"{cloth.washed ? 'wash it' : \"don't\"}":           "wash it",
		"{cloth.structure == '}' ? '{' : '}'}":             "}",
		"{known(body.upper_bust) ? 'known' : 'not known'}": "not known",
		"{length(known(body.upper_bust) ? body.upper_bust : body.bust)}": "97.8 cm",
		"{{body.hip}} is {{{body.hip}}}":                                 "{body.hip} is {112.4 cm}",
		"{count(-0)}":                                                    "0",
		"}}{{":                                                           "}{",
	} {
		tm, err := CompileTemplate(text, testSchema())
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if got, missing, err := tm.Render(wren(), plain{}); got != want || missing != nil || err != nil {
			t.Errorf("%s: got %q, %v; want %q", text, got, err, want)
		}
	}
}

func TestCompileTemplateRefuses(t *testing.T) {
	tests := []struct {
		text string
		want []string
	}{
		{"a { b", []string{"[{] `{` is never closed -> for a brace in the text write `{{`"}},
		{"a {b {size.name}", []string{"[{] `{` is never closed -> for a brace in the text write `{{`"}},
		{"a } b", []string{"[}] `}` closes nothing -> for a brace in the text write `}}`"}},
		{"½ {} b", []string{"[] the expression is empty"}},
		{"{body.hpi} {body.wiast}", []string{
			"[body.hpi] unknown name `body.hpi` -> did you mean `body.hip`?",
			"[body.wiast] unknown name `body.wiast` -> did you mean `body.waist`?"}},
		{"½ {size.name == 'x}", []string{"['] the text has no closing quote"}},
		{"{body.hip - 1}", []string{"[body.hip - 1] a computed number does not say what it measures -> write length(body.hip - 1), percent(body.hip - 1) or count(body.hip - 1)"}},
		{"{5}", []string{"[5] a computed number does not say what it measures -> write length(5), percent(5) or count(5)"}},
		{"{cloth.washed}", []string{"[cloth.washed] a condition does not print -> write `cloth.washed ? \"yes\" : \"no\"`"}},
		{"{body.hip > 1}", []string{"[body.hip > 1] a condition does not print -> write `body.hip > 1 ? \"yes\" : \"no\"`"}},
		{"{length(size.name)}", []string{"[size.name] length(...) wants a number, and `size.name` is a text"}},
		{"{length(body.hip, 1)}", []string{"[length] unknown function `length` -> length(...) stands only around a whole expression in a text's braces"}},
		{"{length(body.hip) + 1}", []string{"[length] unknown function `length` -> length(...) stands only around a whole expression in a text's braces"}},
		{"{length(cloth.stretch)}", []string{"[cloth.stretch] length(...) prints a length, and `cloth.stretch` is a percentage -> write percent(cloth.stretch)"}},
		{"{percent(-abs(body.hip - 5))}", []string{"[-abs(body.hip - 5)] percent(...) prints a percentage, and `-abs(body.hip - 5)` is a length -> write length(-abs(body.hip - 5))"}},
		{"{count(cloth.washed ? body.slope : 1)}", []string{"[cloth.washed ? body.slope : 1] count(...) prints a count, and `cloth.washed ? body.slope : 1` is an angle -> write degrees(cloth.washed ? body.slope : 1)"}},
		{"{count(inch(2))}", []string{"[inch(2)] count(...) prints a count, and `inch(2)` is a length -> write length(inch(2))"}},
		{strings.Repeat("{size.name}", 31), []string{"[{size.name}] more than 30 expressions in one text -> split the text"}},
		{strings.Repeat("½", 2001), []string{"[½] the text is longer than 2,000 characters -> shorten it"}},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			_, err := CompileTemplate(tt.text, testSchema())
			if diff := cmp.Diff(tt.want, problemsOf(t, tt.text, err)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTemplateAllowsUncertainDimensions(t *testing.T) {
	for _, text := range []string{
		"{percent(body.hip / body.waist * 100)}",
		"{length(body.hip * cloth.stretch / 100)}",
		"{length(zone.ease)} {percent(zone.ease)}",
		"{length(body.hip * cloth.stretch)}", // of a product nothing is certain
		"{count(5)}",
	} {
		if _, err := CompileTemplate(text, testSchema()); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestTemplateNamesAndNeeds(t *testing.T) {
	tm, err := CompileTemplate("{body.hip} {body.waist} {body.hip} {known(body.bust) ? 'a' : 'b'} {length(limit.least + 1)}", testSchema())
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"body.hip", "body.waist", "body.bust", "limit.least"}, tm.Names()); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"body.hip", "body.waist"}, tm.Needs()); diff != "" {
		t.Error(diff)
	}
	e := wren()
	e.Unset("body.waist")
	got, missing, err := tm.Render(e, plain{})
	if want := "112.4 cm (not known) 112.4 cm a 6.08 cm"; got != want || err != nil {
		t.Errorf("got %q, %v; want %q", got, err, want)
	}
	if diff := cmp.Diff([]string{"body.waist"}, missing); diff != "" {
		t.Error(diff)
	}
}

func TestRenderFailsAtItsPlace(t *testing.T) {
	const text = "½ {size.name}: {count(1 / (size.index - 3))}"
	tm, err := CompileTemplate(text, testSchema())
	if err != nil {
		t.Fatal(err)
	}
	_, _, err = tm.Render(wren(), plain{})
	var failed *RunError
	if !errors.As(err, &failed) {
		t.Fatalf("got %v", err)
	}
	if got := string([]rune(text)[failed.From:failed.To]); got != "1 / (size.index - 3)" {
		t.Errorf("at %q", got)
	}
}

func TestPlaceOfNames(t *testing.T) {
	const condition, text = "known(body.bust) and body.hip > 1 and body.hip > body.bust", "½ {size.name}: {length(body.hip)} {body.hip}"
	f, err := Compile(condition, testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	tm, err := CompileTemplate(text, testSchema())
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		in, name string
		place    func(string) (from, to int)
		want     string
		at       int
	}{
		{condition, "body.hip", f.Place, "body.hip", 21},
		{condition, "body.bust", f.Place, "known(body.bust)", 0},
		{condition, "body.waist", f.Place, "", 0},
		{text, "body.hip", tm.Place, "body.hip", 23},
		{text, "size.name", tm.Place, "size.name", 3},
		{text, "body.waist", tm.Place, "", 0},
	} {
		if from, to := tt.place(tt.name); from != tt.at || string([]rune(tt.in)[from:to]) != tt.want {
			t.Errorf("%s in %s: from %d to %d", tt.name, tt.in, from, to)
		}
	}
}
