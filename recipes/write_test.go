package recipes

import (
	"fmt"
	"os"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// alike compares patterns but for where they stand and how cells came about; a row
// of nothing but gaps is as good as none.
var alike = cmp.Options{
	cmpopts.IgnoreTypes(diag.Range{}), cmpopts.IgnoreFields(engine.Cell{}, "Text", "Sum"), cmpopts.EquateEmpty(),
	cmpopts.IgnoreUnexported(engine.Measure{}), cmpopts.IgnoreFields(engine.Measure{}, "Of"), // which is the pattern's name
	cmpopts.IgnoreSliceElements(func(m engine.Measure) bool {
		return strings.HasPrefix(path.Base(m.At.File), "recipe-") // those of its garment type are not written again
	}),
	cmpopts.IgnoreMapEntries(func(_ string, row engine.Row) bool {
		for _, c := range row {
			if c.Known {
				return false
			}
		}
		return true
	}),
}

// everyChart is the patterns of the demo, of the good files, and of all examples.
func everyChart(t *testing.T, voc *engine.Vocabulary, shared []*engine.Rule) map[string]*engine.Pattern {
	t.Helper()
	all := map[string]*engine.Pattern{}
	for _, name := range goodOf(t, "pattern") {
		doc := opened(t, goodFiles, name)
		all[name], _ = ReadPattern(doc, voc, os.DirFS(goodFiles))
	}
	for _, name := range Names() {
		_, examples := exemplified(t, name, voc, shared)
		for _, e := range examples {
			all[name+", "+e.Name] = e.Pattern
		}
	}
	return all
}

// What is written of a chart is read back as it was.
func TestRoundTrips(t *testing.T) {
	voc, shared := known(t)
	for name, p := range everyChart(t, voc, shared) {
		voc := voc
		if path.Ext(p.Recipe) != "" { // a garment type beside it, which may declare measurements
			voc = voc.For(p, ReadRecipe(opened(t, goodFiles, p.Recipe), voc, rules.AtOnce))
		}
		read := func(what, text string, beside fstest.MapFS) *engine.Pattern {
			doc := file.Open("back.yaml", []byte(text))
			back, tables := ReadPattern(doc, voc, beside)
			if said := written(t, append(tables, doc)...); said != "" {
				t.Fatalf("%s as %s: %s", name, what, said)
			}
			return back
		}
		named := *p
		named.Name, named.Recipe = "Back", "gathered-skirt"
		yaml, err := WriteYAML(&named, voc)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(&named, read("yaml", string(yaml), nil), alike); diff != "" {
			t.Errorf("%s as yaml:\n%s", name, diff)
		}
		head := "kind: pattern\nname: Back\nrecipe: gathered-skirt\n"
		if p.Units != "" {
			head += fmt.Sprintf("units: %s\n", p.Units)
		}
		tables := fstest.MapFS{"body.csv": {Data: WriteCSV(p, engine.OfBody, voc)}, "finished.csv": {Data: WriteCSV(p, engine.OfFinished, voc)}}
		csv, xlsx := head+"body: body.csv\n", head+"body: {file: both.xlsx, sheet: body}\n"
		if len(p.Finished) > 0 {
			csv, xlsx = csv+"finished: finished.csv\n", xlsx+"finished: {file: both.xlsx, sheet: finished}\n"
		}
		book, err := WriteSheets(p, voc)
		if err != nil {
			t.Fatal(err)
		}
		tables["both.xlsx"] = &fstest.MapFile{Data: book}
		for what, text := range map[string]string{"csv": csv, "xlsx": xlsx} {
			back := read(what, text, tables)
			want := engine.Pattern{Sizes: p.Sizes, Chart: p.Chart, Finished: p.Finished}
			got := engine.Pattern{Sizes: back.Sizes, Chart: back.Chart, Finished: back.Finished}
			if diff := cmp.Diff(want, got, alike); diff != "" {
				t.Errorf("%s as %s:\n%s", name, what, diff)
			}
		}
	}
}
