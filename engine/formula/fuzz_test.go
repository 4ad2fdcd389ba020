package formula

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

var fuzzSeeds = []string{
	"", " ", "true", "body.hip", "known(body.hip) and body.hip - 1 > inch(2)", "cloth.structure not in ['knit', \"woven\"]",
	"((body.hip))", "-(-1) == 1", "cloth.washed ? body.hip : 1", "between(zone.ease, 1, limit.least)", "a < b < c",
	"abs(1)(2)", "1 ? : 2", "let x = 1; x", "map(body.hip, # > 1)", "{\"a\": 1}", "body?.hip ?? 1", "½ == “x”", "b'x'", "1..5", "[1][0]",
	"not not in [1]", "x.y.z", "\xff\xfe", "!!!!", "if a {b} else {c}", "size.name == 'a\n'", "1 /* */ 2", "::abs(1)",
}

// checkPlaces asserts that an error is Problems that lie inside the source.
func checkPlaces(t *testing.T, src string, err error) {
	t.Helper()
	if err == nil {
		return
	}
	var all Problems
	if !errors.As(err, &all) || len(all) == 0 {
		t.Fatalf("%T: %v", err, err)
	}
	last := 0
	for _, p := range all {
		if p.Summary == "" || p.Code == "" || p.From < last || p.To < p.From || p.To > utf8.RuneCountInString(src) {
			t.Fatalf("%q: %+v", src, p)
		}
		last = p.From
	}
}

func checkRun(t *testing.T, err error) {
	t.Helper()
	var missing *Missing
	var failed *RunError
	if err != nil && !errors.As(err, &missing) && !errors.As(err, &failed) {
		t.Fatalf("%T: %v", err, err)
	}
	if failed != nil && failed.Summary != notFinite.summary && failed.Summary != divideByZero.summary {
		t.Fatalf("%+v", failed)
	}
}

// shipped are the expressions and texts of the rules and recipes, and of the
// tests' bad files: what stands behind a key.
func shipped(f *testing.F, keys ...string) []string {
	f.Helper()
	var found []string
	for _, files := range []string{"../../rules/*.yaml", "../../recipes/*.yaml", "../../testdata/*/*.yaml"} {
		paths, err := filepath.Glob(files)
		if err != nil || len(paths) == 0 {
			f.Fatalf("no files to start from: %v", err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			for line := range strings.Lines(string(data)) {
				key, text, _ := strings.Cut(strings.TrimLeft(line, " -"), ": ")
				if slices.Contains(keys, key) {
					found = append(found, strings.Trim(text, " '\"\n"))
				}
			}
		}
	}
	return found
}

func FuzzCompile(f *testing.F) {
	for _, s := range slices.Concat(fuzzSeeds, shipped(f, "when", "controlling", "amount", "gains")) {
		f.Add(s)
	}
	s, e := testSchema(), wren()
	f.Fuzz(func(t *testing.T, src string) {
		for _, want := range []Dim{Bool, Length, Text} {
			c, err := Compile(src, s, want)
			checkPlaces(t, src, err)
			if err != nil {
				continue
			}
			v, err := c.run(e)
			checkRun(t, err)
			traced, parts, tracedErr := c.Trace(e)
			checkRun(t, tracedErr)
			if v != traced || (err == nil) != (tracedErr == nil) {
				t.Fatalf("%q: fast %v, %v; traced %v, %v", src, v, err, traced, tracedErr)
			}
			for _, p := range parts {
				if string([]rune(src)[p.From:p.To]) != p.Text {
					t.Fatalf("%q: %+v", src, p)
				}
			}
		}
	})
}

func FuzzTemplate(f *testing.F) {
	for _, s := range fuzzSeeds {
		f.Add(s)
		f.Add("a {" + s + "} b")
		f.Add("{length(" + s + ")}")
	}
	for _, s := range shipped(f, "say", "fix", "because", "measure", "where", "spread", "also", "unless") {
		f.Add(s)
	}
	f.Add("{{{size.name}}} {a {size.name == '}'} }")
	s, e := testSchema(), wren()
	f.Fuzz(func(t *testing.T, text string) {
		tm, err := CompileTemplate(text, s)
		checkPlaces(t, text, err)
		if err != nil {
			return
		}
		_, _, err = tm.Render(e, plain{})
		checkRun(t, err)
	})
}
