package main

import (
	"bytes"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

// folder is the folder rules.
var folder = os.DirFS("..")

func TestGeneratedFilesAreCurrent(t *testing.T) {
	files, err := render(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		got, err := fs.ReadFile(folder, f.name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, f.code) {
			t.Errorf("rules/%s is not what the files beside it say: run `go generate ./rules`", f.name)
		}
	}
}

// Nothing is generated from files that something is wrong with.
func TestRenderRefuses(t *testing.T) {
	tests := []struct{ name, file, old, new, want string }{
		{"a figure that is no number", "data/limits.csv", "usable_share,50", "usable_share,half", `rules/data/limits.csv:2: strconv.ParseFloat: parsing "half": invalid syntax`},
		{"a figure in another unit", "data/limits.csv", "usable_share,50,%", "usable_share,50,cm", `rules/data/limits.csv: no row usable_share in "%"`},
		{"a line too short", "data/layers.csv", "underwear,0.5,", "underwear,0.5", "rules/data/layers.csv: record on line 2: wrong number of fields"},
		{"a rule with an unknown name", "cloth.yaml", "zone.decides", "zone.decide", "unknown name `zone.decide`"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := fstest.MapFS{}
			if err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				text, err := fs.ReadFile(folder, name)
				changed[name] = &fstest.MapFile{Data: text}
				return err
			}); err != nil {
				t.Fatal(err)
			}
			changed[tt.file].Data = bytes.Replace(changed[tt.file].Data, []byte(tt.old), []byte(tt.new), 1)
			if _, err := render(changed); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
}
