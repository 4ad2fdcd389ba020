package recipes

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// sameReading compares what was read, wherever it stood, and whatever is compiled of it later.
var sameReading = cmp.Options{
	cmp.Exporter(func(reflect.Type) bool { return true }), cmpopts.EquateEmpty(),
	cmpopts.IgnoreTypes(diag.Range{}, file.Value{}, engine.LateFormula(nil), engine.LateTemplate(nil), &formula.Formula{}),
	cmp.FilterPath(func(p cmp.Path) bool { return p.Last().Type().Kind() == reflect.Func }, cmp.Ignore()),
}

// Whatever is left empty in a good file is a problem with a place, or read as if it were not there: everything in the good
// files and the demo's, and each kind of place in the shipped recipes once.
func TestEmptyIsNeverAFigure(t *testing.T) {
	voc, shared := known(t)
	all, tried := checkers(t, voc), map[string]bool{}
	for _, folder := range []string{goodFiles, "../cmd/advisor/demo", "."} {
		for _, name := range filesIn(t, folder) {
			document := treeOf(opened(t, folder, name).Root()).(map[string]any)
			kind := document["kind"].(string)
			if folder == "." {
				document = drop(document, "examples") // which take long; those of the good files are tried
			}
			read := func(changed any) (any, diag.List) {
				got, docs := readWhole(t, kind, file.Open(name, asJSON(t, changed)), os.DirFS(folder), voc, shared)
				return got, problemsOf(docs)
			}
			all[kind].walk(document, func(at place) {
				if len(at.steps) == 0 || folder == "." && tried[at.id] {
					return
				}
				tried[at.id] = true
				without, lacks := read(left(document, at.steps))
				for _, empty := range []any{nil, "", " ", []any{}, map[string]any{}, []any{nil}} {
					got, problems := read(at.with(document, empty))
					for _, p := range problems {
						if p.Range.File == "" || p.Range.Start.Line == 0 {
							t.Errorf("%s, %s is %#v: no place: %v", name, at.path, empty, p)
						}
					}
					switch takenAway := document["based_on"] != nil && empty == nil; {
					case problems.HasErrors(), takenAway, slices.Contains([]string{"ruled_out[]", "cautions[]"}, fmt.Sprint(at.steps[len(at.steps)-1], empty)), // that none is
						empty == nil && strings.Contains(at.path, "expect, alterations, "): // by any amount
					case lacks.HasErrors():
						t.Errorf("%s, %s is %#v: nothing is said, and without it: %v", name, at.path, empty, lacks)
					case !cmp.Equal(without, got, sameReading):
						t.Errorf("%s, %s is %#v:\n%s", name, at.path, empty, cmp.Diff(without, got, sameReading))
					}
				}
			})
		}
	}
}

// left is a copy of the document with the value at the steps left out; what is left out of a list is a gap there.
func left(document any, steps []any) any {
	last := len(steps) - 1
	parent := document
	for _, step := range steps[:last] {
		switch p := parent.(type) {
		case map[string]any:
			parent = p[step.(string)]
		case []any:
			parent = p[step.(int)]
		}
	}
	if m, ok := parent.(map[string]any); ok {
		return replaced(document, steps[:last], drop(m, steps[last].(string)))
	}
	return replaced(document, steps, "~")
}
