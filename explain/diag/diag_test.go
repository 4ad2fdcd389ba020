package diag_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain/diag"
)

// span is a range in one line of wren.yaml.
func span(line, from, to int) diag.Range {
	return diag.Range{File: "wren.yaml", Start: diag.Pos{Line: line, Column: from}, End: diag.Pos{Line: line, Column: to}}
}

func TestWrite(t *testing.T) {
	const source = "kind: body\r\n\tbust: 38 1/2\r\nname: Übung \"\x1b[31m\"\n\nlast"
	long := "head: " + strings.Repeat("abcdefghi ", 30) + "end"
	tests := []struct {
		name   string
		source string
		list   diag.List
		want   string
	}{
		{"error with hint", source, diag.List{{diag.Error, "FA0101", "unknown key `kind`", "did you mean `name`?", span(1, 1, 5)}}, `
wren.yaml:1:1: error[FA0101]: unknown key ` + "`kind`" + `
    1 | kind: body
      | ^^^^
  hint: did you mean ` + "`name`" + `?
`},
		{"warning after a tab, before a carriage return", source, diag.List{{diag.Warning, "FA0101", "an odd value", "", span(2, 8, 14)}}, `
wren.yaml:2:8: warning[FA0101]: an odd value
    2 |  bust: 38 1/2
      |        ^^^^^^
`},
		{"no severity is an error, no code is none", source, diag.List{{Summary: "wrong", Range: span(1, 1, 1)}}, `
wren.yaml:1:1: error: wrong
    1 | kind: body
      | ^
`},
		{"control characters are made visible", source, diag.List{{diag.Error, "FA0101", "bad \x1b[31m\u202e", "drop \x00 it", span(3, 14, 15)}}, `
wren.yaml:3:14: error[FA0101]: bad �[31m�
    3 | name: Übung "�[31m"
      |              ^
  hint: drop � it
`},
		{"an empty line", source, diag.List{{diag.Error, "FA0101", "nothing here", "", span(4, 1, 2)}}, `
wren.yaml:4:1: error[FA0101]: nothing here
    4 |
      | ^
`},
		{"past the end of the last line", source, diag.List{{diag.Error, "FA0101", "too short", "", span(5, 9, 12)}}, `
wren.yaml:5:9: error[FA0101]: too short
    5 | last
      |     ^
`},
		{"over several lines", source, diag.List{{diag.Error, "FA0101", "long", "", diag.Range{File: "wren.yaml", Start: diag.Pos{Line: 1, Column: 7}, End: diag.Pos{Line: 3, Column: 2}}}}, `
wren.yaml:1:7: error[FA0101]: long
    1 | kind: body
      |       ^^^^
`},
		{"a line that is not there", source, diag.List{{diag.Error, "FA0101", "lost", "", span(9, 1, 2)}}, `
wren.yaml:9:1: error[FA0101]: lost
`},
		{"the file as a whole", source, diag.List{{diag.Error, "FA0101", "the file is empty", "", diag.Range{File: "wren.yaml"}}}, `
wren.yaml: error[FA0101]: the file is empty
`},
		{"no place", source, diag.List{{Severity: diag.Error, Summary: "no recipe", Hint: "name one"}}, `
error: no recipe
  hint: name one
`},
		{"a byte order mark has no column", "\ufeffkind: x", diag.List{{diag.Error, "FA0101", "bad", "", span(1, 7, 8)}}, `
wren.yaml:1:7: error[FA0101]: bad
    1 | kind: x
      |       ^
`},
		{"a long line, at its beginning", long, diag.List{{diag.Error, "FA0101", "bad", "", span(1, 1, 5)}}, `
wren.yaml:1:1: error[FA0101]: bad
    1 | head: abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abc…
      | ^^^^
`},
		{"a long line, in its middle", long, diag.List{{diag.Error, "FA0101", "bad", "", span(1, 157, 166)}}, `
wren.yaml:1:157: error[FA0101]: bad
    1 | …bcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi…
      |                                         ^^^^^^^^^
`},
		{"a long line, at its end", long, diag.List{{diag.Error, "FA0101", "bad", "", span(1, 307, 310)}}, `
wren.yaml:1:307: error[FA0101]: bad
    1 | …efghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi abcdefghi end
      |                                                                                                  ^^^
`},
		{"line numbers of many digits", strings.Repeat("\n", 123455) + "x", diag.List{{diag.Error, "FA0101", "bad", "", span(123456, 1, 2)}}, `
wren.yaml:123456:1: error[FA0101]: bad
123456 | x
       | ^
`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var b strings.Builder
			if err := diag.Write(&b, tt.list, diag.Sources{"wren.yaml": []byte(tt.source)}); err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(strings.TrimPrefix(tt.want, "\n"), b.String()); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestWriteCountsTheRest(t *testing.T) {
	for n, last := range map[int]string{20: "wren.yaml: error: p19", 21: "and 1 more problem", 30: "and 10 more problems"} {
		var list diag.List
		for i := range n {
			list = append(list, diag.Diagnostic{Severity: diag.Error, Summary: fmt.Sprint("p", i), Range: diag.Range{File: "wren.yaml"}})
		}
		var b strings.Builder
		if err := diag.Write(&b, list, nil); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(b.String()), "\n")
		if got := lines[len(lines)-1]; got != last || len(lines) != min(n, 21) {
			t.Errorf("%d problems: %d lines, the last is %q", n, len(lines), got)
		}
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWriteFails(t *testing.T) {
	if err := diag.Write(brokenWriter{}, diag.List{{Summary: "x"}}, nil); !errors.Is(err, os.ErrClosed) {
		t.Error(err)
	}
}

func TestSort(t *testing.T) {
	in := func(file string, line, column int, summary string) diag.Diagnostic {
		return diag.Diagnostic{Severity: diag.Error, Summary: summary, Range: diag.Range{File: file, Start: diag.Pos{Line: line, Column: column}}}
	}
	want := diag.List{in("a", 1, 1, "x"), in("b", 1, 9, "x"), in("b", 2, 1, "x"), in("b", 2, 1, "y"), in("b", 10, 1, "a")}
	got := diag.List{want[4], want[3], want[1], want[2], want[0]}
	got.Sort()
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestErr(t *testing.T) {
	warning := diag.Diagnostic{Severity: diag.Warning, Summary: "odd", Range: span(1, 2, 3)}
	wrong := diag.Diagnostic{Severity: diag.Error, Summary: "wrong", Range: span(8, 3, 7)}
	unset := diag.Diagnostic{Summary: "unset"}
	tests := []struct {
		list diag.List
		want string // "" for no error
	}{
		{nil, ""},
		{diag.List{warning}, ""},
		{diag.List{wrong}, "wren.yaml:8:3: error: wrong"},
		{diag.List{unset}, "error: unset"},
		{diag.List{warning, wrong}, "wren.yaml:8:3: error: wrong, and 1 more problem"},
		{diag.List{wrong, warning, unset}, "wren.yaml:8:3: error: wrong, and 2 more problems"},
	}
	for _, tt := range tests {
		err := tt.list.Err()
		switch {
		case tt.want == "":
			if err != nil || tt.list.HasErrors() {
				t.Errorf("%v: error %v", tt.list, err)
			}
		case err == nil || err.Error() != tt.want || !tt.list.HasErrors():
			t.Errorf("%v: error %v, want %s", tt.list, err, tt.want)
		}
		var list diag.List
		if err != nil && !errors.As(err, &list) {
			t.Errorf("%v is no List", err)
		}
	}
	if got := (diag.List{}).Error(); got != "no problems" {
		t.Error(got)
	}
	if got := (diag.List{warning}).Error(); got != "wren.yaml:1:2: warning: odd" {
		t.Error(got)
	}
}

func TestRange(t *testing.T) {
	for want, r := range map[string]diag.Range{
		"wren.yaml:8:3": span(8, 3, 7),
		"wren.yaml":     {File: "wren.yaml"},
		"":              {},
	} {
		if got := r.String(); got != want || r.IsZero() != (want == "") {
			t.Errorf("%#v is %q, IsZero %v", r, got, r.IsZero())
		}
	}
}

func TestNear(t *testing.T) {
	known := []string{"waist", "hip", "bust", "high_hip", "low_waist", "upper_arm", "knee", "neck", "Ärmel"}
	for name, want := range map[string]string{
		"hips": "hip", "wasit": "waist", "wiast": "waist", "waste": "waist", "HIP": "hip", "upper arm": "upper_arm", "uperarm": "upper_arm",
		"bst": "bust", "ärmel": "Ärmel", "hgih_hip": "high_hip", "nec": "neck", "hip": "hip",
		"in": "", "": "", "shoulder": "", "wst": "", "hop": "hip", "hat": "", "ank": "",
		"nee": "knee", "neek": "neck",
	} {
		if got := diag.Near(name, known); got != want {
			t.Errorf("Near(%q) = %q, want %q", name, got, want)
		}
	}
	if got := diag.Near("bist", []string{"bust", "best", ""}); got != "best" {
		t.Errorf("of two as near: %q", got)
	}
}

func TestNearIsQuickForLongText(t *testing.T) {
	long := strings.Repeat("waist", 50_000)
	start := time.Now()
	for range 1000 {
		if got := diag.Near(long, []string{"waist", long + "s"}); got != "" {
			t.Fatal("found something near")
		}
	}
	if took := time.Since(start); took > time.Second {
		t.Errorf("took %v", took)
	}
}

func ExampleWrite() {
	source := []byte("kind: body\nmeasurements:\n  hips: 44 1/4\n")
	list := diag.List{{
		Severity: diag.Error,
		Code:     "FA0302",
		Summary:  "unknown measurement `hips`",
		Hint:     "did you mean `" + diag.Near("hips", []string{"waist", "hip"}) + "`?",
		Range:    diag.Range{File: "wren.yaml", Start: diag.Pos{Line: 3, Column: 3}, End: diag.Pos{Line: 3, Column: 7}},
	}}
	diag.Write(os.Stdout, list, diag.Sources{"wren.yaml": source})
	// Output:
	// wren.yaml:3:3: error[FA0302]: unknown measurement `hips`
	//     3 |   hips: 44 1/4
	//       |   ^^^^
	//   hint: did you mean `hip`?
}

// What moves the cursor, turns the direction or cannot be seen is written as an escape; ends of lines, tabs and what joins
// letters stay.
func TestVisible(t *testing.T) {
	for text, want := range map[string]string{"plain ä": "plain ä", "a\x1b[31m": `a\x1b[31m`, "a\u202eb\u2066": `a\u202eb\u2066`, "\u200e\u200b\ufeff": `\u200e\u200b\ufeff`,
		"a\tb\nc\r": "a\tb\nc\\r", "\u0085": `\u0085`, "नि\u200dक": "नि\u200dक"} {
		if got := diag.Visible(text); got != want {
			t.Errorf("%q became %q, not %q", text, got, want)
		}
	}
}
