package main

import (
	"bytes"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

func TestGeneratedFilesAreCurrent(t *testing.T) {
	files, err := render(os.DirFS("../../.."))
	if err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir("../schemas")
	if err != nil {
		t.Fatal(err)
	}
	var there []string
	for _, e := range entries {
		there = append(there, e.Name())
	}
	if diff := cmp.Diff(there, slices.Sorted(maps.Keys(files))); diff != "" {
		t.Errorf("files in schemas, and those that are generated:\n%s", diff)
	}
	for name, want := range files {
		got, err := os.ReadFile("../schemas/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("schemas/%s is not what the types say: run `go generate ./cmd/advisor`", name)
		}
	}
}

// All that is wrong is told, and nothing is left out in silence.
func TestRenderRefuses(t *testing.T) {
	tests := []struct{ name, answer, want string }{
		{"a field of which nothing is said", "Size string `json:\"size\"`", "engine.Answer.Size: nothing is said about it"},
		{"a field that JSON names itself", "Size string // the size", "engine.Answer: a field without a name of its own in JSON"},
		{"two fields in one", "A, B string `json:\"a\"` // both", "engine.Answer: a field without a name of its own in JSON"},
		{"an unknown type", "Size Label `json:\"size\"` // the size", "no type engine.Label is declared"},
		{"a type of an unknown package", "Size quantity.Unit `json:\"size\"` // the size", "no type quantity.Unit is declared"},
		{"what JSON lacks", "Size func() `json:\"size\"` // the size", "engine.Answer.Size: no schema is known for a *ast.FuncType"},
		{"no Go", "Size string `", "engine/x.go:"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			module := fstest.MapFS{
				"engine/x.go":  {Data: []byte("package engine\ntype WhyNot struct{}\ntype Suitability struct{}\ntype Answer struct {\n" + tt.answer + "\n}\n")},
				"explain/x.go": {Data: []byte("package explain\ntype Node struct{}\n")},
			}
			if _, err := render(module); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}

func TestSentence(t *testing.T) {
	for comment, want := range map[string]string{
		"in rank order\n":                         "In rank order.",
		"is one zone\nof one size. It is held.\n": "One zone of one size. It is held.",
	} {
		if got := sentence(comment); got != want {
			t.Errorf("%q: got %q, want %q", comment, got, want)
		}
	}
}
