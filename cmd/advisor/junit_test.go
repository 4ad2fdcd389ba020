package main

import (
	"encoding/xml"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/recipes"
)

// Whatever an example is called, the file is well-formed and the same each time.
func TestJUnitIsWellFormed(t *testing.T) {
	const name = "a \x1b[1m <b> & \"c\" 'd' ]]> \u2028 \ufffe Ä"
	s := &recipes.Suite{File: "it.yaml", Recipe: &engine.Recipe{Name: "it"}, Examples: []recipes.Example{{Name: name}}}
	o := recipes.Outcome{Example: &s.Examples[0], Results: []recipes.Result{{Claim: recipes.Claim{What: "size", Want: name}, Got: "\x00"}}}
	path := filepath.Join(t.TempDir(), "results.xml")
	var files [2]string
	for i := range files {
		if err := (trial{{s, []recipes.Outcome{o}}}).writeJUnit(newFiles(streams{}, nil), path); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[i] = string(data)
	}
	if files[0] != files[1] {
		t.Error("two runs differ")
	}
	var read junitFile
	if err := xml.NewDecoder(strings.NewReader(files[0])).Decode(&read); err != nil {
		t.Fatal(err)
	}
	want := strings.NewReplacer("\x1b", "\ufffd", "\ufffe", "\ufffd").Replace(name)
	if c := read.Suites[0].Cases[0]; c.Name != want || c.Failure.Text != "size: expected "+want+", got \ufffd" {
		t.Errorf("read back as %+v, %+v", c, c.Failure)
	}
}
