package file

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestSet(t *testing.T) {
	tests := []struct {
		name, text, value, path string
		want                    string
	}{
		{"a value with a comment", "a: 1 # one\nb: 2\n", "3 cm", "a", "a: 3 cm # one\nb: 2\n"},
		{"a value in quotes", "a: '1' # one\n", "3", "a", "a: 3 # one\n"},
		{"a key that is missing", "m:\n  a: 1 # one\n\n# after\nb: 2\n", "3", "m/c", "m:\n  a: 1 # one\n  c: 3\n\n# after\nb: 2\n"},
		{"the last line without an end", "a: 1", "2", "b", "a: 1\nb: 2"},
		{"a map that is missing", "a: 1\n", "74 cm", "m/waist", "a: 1\nm:\n  waist: 74 cm\n"},
		{"maps that are missing", "a: 1\n", "x", "m/n/o", "a: 1\nm:\n  n:\n    o: x\n"},
		{"a map without entries", "m: # theirs\nb: 2\n", "3", "m/a", "m: # theirs\n  a: 3\nb: 2\n"},
		{"a value left out", "a:   # later\nb: 2\n", "3", "a", "a: 3   # later\nb: 2\n"},
		{"null", "a: ~\n", "3", "a/b", "a: {b: 3}\n"},
		{"braces", "m: {a: 1, b: 2} # both\n", "3", "m/c", "m: {a: 1, b: 2, c: 3} # both\n"},
		{"braces over lines", "m: {a: 1, # }\n  b: [2, 3]\n}\nz: 1\n", "x", "m/c", "m: {a: 1, # }\n  b: [2, 3], c: x\n}\nz: 1\n"},
		{"empty braces", "m: {}\n", "3", "m/c", "m: {c: 3}\n"},
		{"a list in the place of a value", "a: 1\n", "[1, 2]", "a", "a: [1, 2]\n"},
		{"a value in the place of a list", "a:\n- 1\n- 2\nb: 1\n", "3", "a", "a:\n  3\nb: 1\n"},
		{"a value in the place of a map", "a: # both\n  left: 1\n  right: 2\nb: 1\n", "3", "a", "a: # both\n  3\nb: 1\n"},
		{"an item of a list", "l:\n  - {a: 1}\n  - b: 2 # two\n    c: 3\n", "4", "l/1/b", "l:\n  - {a: 1}\n  - b: 4 # two\n    c: 3\n"},
		{"after text of several lines", "a: |\n  one\n  two\n", "3", "b", "a: |\n  one\n  two\nb: 3\n"},
		{"lines that end in two signs", "a: 1\r\nm:\r\n  b: 2\r\n", "3", "m/c", "a: 1\r\nm:\r\n  b: 2\r\n  c: 3\r\n"},
		{"wide letters", "a: {ä: ½, ü: 38½}\n", "3", "a/ü", "a: {ä: ½, ü: 3}\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Open("it.yaml", []byte(tt.text)).Set(tt.value, strings.Split(tt.path, "/")...)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, string(got)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestSetRefuses(t *testing.T) {
	tests := []struct{ name, text, value, path, want string }{
		{"a file with problems", "a: 1\na: 2\n", "3", "a", "cannot change it.yaml in place: it has problems of its own; mend those first"},
		{"a file that is a list", "[1]", "3", "a", "cannot change it.yaml in place: it has problems of its own; mend those first"},
		{"below a single value", "a: 1\n", "3", "a/b", "cannot change it.yaml in place: on line 1 stands a single value where `b:` belongs"},
		{"an item that is not there", "a: [1]\n", "3", "a/1/b", "cannot change it.yaml in place: there is no such item"},
		{"a value that is none", "a: 1\n", "[", "a", "cannot change it.yaml in place: the value `[` is none that a file can hold"},
		{"a value that does not stand in braces", "m: {a: 1}\n", "x, y", "m/b", "cannot change it.yaml in place: its layout does not allow it"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Open("it.yaml", []byte(tt.text)).Set(tt.value, strings.Split(tt.path, "/")...)
			var refused *EditError
			if !errors.As(err, &refused) || refused.Error() != tt.want || refused.Hint() == "" {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

func TestPrepend(t *testing.T) {
	const item = "taken: 2026-05-01\nmeasurements:\n  waist: 74 cm"
	tests := []struct{ name, text, want string }{
		{"a list that is missing", "a: 1 # one\n", "a: 1 # one\nearlier:\n  - taken: 2026-05-01\n    measurements:\n      waist: 74 cm\n"},
		{"a list", "earlier: # newest first\n# the last\n- taken: 2025-05-01\nb: 1\n",
			"earlier: # newest first\n# the last\n- taken: 2026-05-01\n  measurements:\n    waist: 74 cm\n- taken: 2025-05-01\nb: 1\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Open("it.yaml", []byte(tt.text)).Prepend(item, "earlier")
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, string(got)); diff != "" {
				t.Error(diff)
			}
		})
	}
	if _, err := Open("it.yaml", []byte("earlier: [1]\n")).Prepend(item, "earlier"); err == nil {
		t.Error("a list in brackets was changed")
	}
}

func TestRemove(t *testing.T) {
	tests := []struct{ name, text, path, want string }{
		{"with its comment", "a: 1\nsince: # when\n  hip: 2026-05-01\n# kept\nb: 2\n", "since", "a: 1\n# kept\nb: 2\n"},
		{"what is not there", "a: 1\n", "since", "a: 1\n"},
		{"below what is not there", "a: 1\n", "a/b", "a: 1\n"},
		{"a value that is like a key", "a: b\nb: 1\n", "b", "a: b\n"},
		{"below a key", "m:\n  a: 1\n  b: 2 # two\n", "m/b", "m:\n  a: 1\n"},
		{"the first in braces", "m: {a: 1, b: 2} # both\n", "m/a", "m: {b: 2} # both\n"},
		{"a later one in braces", "m: {a: 1, b: 2, c: 3}\n", "m/b", "m: {a: 1, c: 3}\n"},
		{"the only one in braces", "m: {a: 1}\n", "m/a", "m: {}\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Open("it.yaml", []byte(tt.text)).Remove(strings.Split(tt.path, "/")...)
			if err != nil || string(got) != tt.want {
				t.Errorf("got %q, %v; want %q", got, err, tt.want)
			}
		})
	}
	if _, err := Open("it.yaml", []byte("m:\n  a: 1\n")).Remove("m", "a"); err == nil {
		t.Error("a map was left without entries")
	}
}

// Whatever is set reads back, and no comment and no other value is lost.
func TestSetKeepsTheRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var text strings.Builder
		n := rapid.IntRange(1, 6).Draw(t, "keys")
		for i := range n {
			value := rapid.SampledFrom([]string{" 1", "", " ~", " {a: 1}", " [1, 2]", "\n  a: 1\n  b: 2", "\n  - 1\n  - 2", " 'x # y'", " |\n  text"}).Draw(t, "value")
			first, rest, lines := strings.Cut(value, "\n")
			fmt.Fprintf(&text, "k%d:%s # c%d\n", i, first, i)
			if lines {
				text.WriteString(rest + "\n")
			}
		}
		path := []string{fmt.Sprintf("k%d", rapid.IntRange(0, n).Draw(t, "key"))}
		if rapid.Bool().Draw(t, "deep") {
			path = append(path, rapid.SampledFrom([]string{"a", "c"}).Draw(t, "below"))
		}
		before := Open("it.yaml", []byte(text.String()))
		got, err := before.Set("98 cm", path...)
		if err != nil {
			return // refused, and nothing changed
		}
		for i := range n {
			if comment := fmt.Sprintf("# c%d\n", i); strings.Count(string(got), comment) != 1 {
				t.Errorf("%q became %q", text.String(), got)
			}
		}
		v := Open("it.yaml", got).Root()
		for _, key := range path {
			v = v.Map().Get(key)
		}
		if v.Text() != "98 cm" {
			t.Errorf("%q became %q", text.String(), got)
		}
	})
}

func TestPlain(t *testing.T) {
	for text, want := range map[string]string{
		"Wren": "Wren", "it's good": "it's good", "a: b": "'a: b'", "it's: 2": "'it''s: 2'", "# no": "'# no'", "": "''", "null": "'null'",
		"a, b": "'a, b'", "two\nlines": `"two\nlines"`, "2026-05-01": "2026-05-01",
	} {
		if got, err := Plain(text); err != nil || got != want {
			t.Errorf("%q is written %s, %v; want %s", text, got, err, want)
		}
	}
	if got, err := Plain("\xff"); err == nil {
		t.Errorf("got %q", got)
	}
}

// FuzzSet changes files of all sorts: what is changed reads as wanted, or the change is refused.
func FuzzSet(f *testing.F) {
	f.Add([]byte("a: {b: 1} # c\n"), "a", "b", "2 cm")
	f.Add([]byte("a:\n  - b: 1\n"), "a", "0", "x")
	f.Fuzz(func(t *testing.T, text []byte, first, second, value string) {
		got, err := Open("it.yaml", text).Set(value, first, second)
		if err == nil && len(Open("it.yaml", got).Problems()) > 0 {
			t.Errorf("%q became %q", text, got)
		}
	})
}
