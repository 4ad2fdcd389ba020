package recipes

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

var update = flag.Bool("update", false, "write what is expected: what is said about each bad file, and the pages made from recipes")

// told reads a file by its kind, and renders every problem found in it and in
// the files that it names.
func told(t testing.TB, folder, name string, voc *engine.Vocabulary, shared []*engine.Rule) string {
	t.Helper()
	source, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return toldOf(t, name, source, folder, voc, shared)
}

func toldOf(t testing.TB, name string, source []byte, folder string, voc *engine.Vocabulary, shared []*engine.Rule) string {
	t.Helper()
	doc := file.Open(name, source)
	return written(t, readAs(t, kindOf(doc, name), doc, os.DirFS(folder), voc, shared)...)
}

// readAs reads a file of a kind, and returns it with the files that it names.
func readAs(t testing.TB, kind string, doc *file.Doc, beside fs.FS, voc *engine.Vocabulary, shared []*engine.Rule) []*file.Doc {
	t.Helper()
	_, docs := readWhole(t, kind, doc, beside, voc, shared)
	return docs
}

// readWhole returns what was read too.
func readWhole(t testing.TB, kind string, doc *file.Doc, beside fs.FS, voc *engine.Vocabulary, shared []*engine.Rule) (read any, docs []*file.Doc) {
	t.Helper()
	var more []*file.Doc
	switch kind {
	case "body":
		read = ReadBody(doc, voc)
	case "cloth":
		read = ReadCloth(doc, voc)
	case "columns":
		read = ReadColumns(doc, voc)
	case declaring:
		read = ReadMeasurements(doc, voc)
	case "garment":
		read, more = ReadGarment(doc, voc, beside)
	case "sewn", "make":
		read = ReadMake(doc, voc)
	case "pattern":
		read, more = ReadPattern(doc, voc, beside)
	case "observations":
		read = ReadObservations(doc, voc)
	case "pieces":
		var pieces *engine.Pieces
		var pattern *engine.Pattern
		pieces, pattern, more = ReadPieces(doc, voc, beside)
		if pieces != nil && !problemsOf(append(more, doc)).HasErrors() {
			engine.LayFlat(engine.FlatRequest{Pieces: pieces, Pattern: pattern, Vocabulary: voc})
		}
		read = pieces
	case "recipe":
		recipe := ReadRecipe(doc, voc, rules.AtOnce)
		var examples []Example
		examples, more = ReadExamples(doc, voc, recipe, shared, beside)
		read = []any{recipe, examples}
	case "rules":
		read = rules.Read(doc, voc, rules.AtOnce)
	case "test":
		read, more = Library{}.ReadSuite(doc, voc, shared, beside)
	default:
		t.Fatalf("%s is of no kind", doc.Name())
	}
	return read, append([]*file.Doc{doc}, more...)
}

// kindOf is the kind that a bad file's name begins with, else the one it names.
func kindOf(doc *file.Doc, name string) string {
	if kind, _, _ := strings.Cut(name, "-"); slices.Contains(kinds, kind) {
		return kind
	}
	return doc.Root().Map().Get("kind").Text()
}

func filesIn(t *testing.T, folder string) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no files in %s: %v", folder, err)
	}
	names := make([]string, len(paths))
	for i, p := range paths {
		names[i] = filepath.Base(p)
	}
	return names
}

// Each bad file has the whole of what is said about it beside it.
func TestBadFiles(t *testing.T) {
	const folder = "../testdata/bad"
	voc, shared := known(t)
	for _, name := range filesIn(t, folder) {
		t.Run(name, func(t *testing.T) {
			got := told(t, folder, name, voc, shared)
			golden := filepath.Join(folder, strings.TrimSuffix(name, ".yaml")+".txt")
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got == "" {
				t.Error("nothing is said about it")
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Nothing is said about files as they should be, among them those of the demo.
func TestGoodFiles(t *testing.T) {
	voc, shared := known(t)
	for _, folder := range []string{"../testdata/good", "../cmd/advisor/demo", ".", "../rules"} {
		for _, name := range filesIn(t, folder) {
			t.Run(filepath.Join(folder, name), func(t *testing.T) {
				if got := told(t, folder, name, voc, shared); got != "" {
					t.Error(got)
				}
			})
		}
	}
}
