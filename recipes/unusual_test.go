package recipes

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitadvisor/rules/file"
)

// Garments that are not shipped, written from docs/recipes.md alone: each is read,
// leaves no doubt, and does what its examples say.
func TestUnusualGarments(t *testing.T) {
	voc, shared := known(t)
	paths, err := filepath.Glob("../testdata/unusual/*.yaml")
	if err != nil || len(paths) < 8 {
		t.Fatalf("%d garments, %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			doc := file.Open(filepath.Base(path), data)
			s, docs := Library{}.ReadSuite(doc, voc, shared, nil)
			if got := written(t, append(docs, doc)...); got != "" {
				t.Fatal(got)
			}
			var outcomes []Outcome
			for i := range s.Examples {
				o := Run(&s.Examples[i], s.Recipe, shared, voc)
				if !o.Passed() {
					t.Errorf("%s: %s", s.Examples[i].Name, describe(&o))
				}
				outcomes = append(outcomes, o)
			}
			Doubt(doc, s.Recipe, outcomes, voc)
			if got := written(t, doc); got != "" {
				t.Error(got)
			}
			if silent := Unfired(s.Recipe, outcomes); len(silent) > 0 {
				t.Errorf("no example shows %s", strings.Join(silent, ", "))
			}
		})
	}
}
