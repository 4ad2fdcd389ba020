package recipes

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

const (
	mostFuzzed = 16 << 10         // bytes; larger files are those of TestHostileFiles
	hang       = 30 * time.Second // a machine with much else to do is slow, and what hangs hangs for good
)

// samples are the files of a kind that the tests know, good and bad.
func samples(f *testing.F, kind, extension string) [][]byte {
	f.Helper()
	var found [][]byte
	for _, folder := range []string{"../testdata/good", "../testdata/bad", "../cmd/advisor/demo", ".", "../rules"} {
		paths, err := filepath.Glob(filepath.Join(folder, "*"+extension))
		if err != nil {
			f.Fatal(err)
		}
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			if strings.HasPrefix(filepath.Base(path), kind+"-") || strings.Contains(string(data), "kind: "+kind+"\n") {
				found = append(found, data)
			}
		}
	}
	if len(found) == 0 {
		f.Fatalf("no %s%s to start from", kind, extension)
	}
	return found
}

// watched runs read, and fails the whole run if it hangs.
func watched(t *testing.T, data []byte, read func()) {
	t.Helper()
	if len(data) > mostFuzzed {
		t.Skip("too large")
	}
	watch := time.AfterFunc(hang, func() { panic("this takes too long: " + string(data)) })
	defer watch.Stop()
	read()
}

// sound requires of every problem that it says what it is, and where.
func sound(t *testing.T, docs ...*file.Doc) {
	t.Helper()
	for _, d := range docs {
		for _, p := range d.Problems() {
			if p.Summary == "" || p.Code.Title() == "" || p.Severity != diag.Error && p.Severity != diag.Warning && p.Code != file.OtherWord && p.Code != passedOver {
				t.Errorf("a problem says too little: %+v", p)
			}
			in := d
			for in.Base() != nil && in.Name() != p.Range.File {
				in = in.Base()
			}
			lines := strings.Count(string(in.Source()), "\n") + 1
			if empty := len(in.Source()) == 0; p.Range.File != in.Name() || !empty && (p.Range.Start.Line < 1 || p.Range.Start.Line > lines || p.Range.Start.Column < 1) {
				t.Errorf("a problem is nowhere in the file: %+v", p)
			}
		}
	}
	if text := written(t, docs...); len(text) > 64<<10 {
		t.Errorf("%d bytes are printed", len(text))
	}
}

// fuzzFiles reads files of a kind, changed at random. Those that are taken fit the
// schema of the kind.
func fuzzFiles(f *testing.F, kind string, beside fs.FS) {
	for _, data := range samples(f, kind, ".yaml") {
		f.Add(data)
	}
	f.Add([]byte("---"))
	if kind == "body" {
		f.Add([]byte("kind: body\nname: A\nunits: cm\nmeasurements: {hi p: 100, Seat: 101, waists: 80}\n"))
	}
	voc, shared := known(f)
	c := checkerOf(f, kind, voc)
	f.Fuzz(func(t *testing.T, data []byte) {
		watched(t, data, func() {
			tree := treeOf(file.Open("it.yaml", data).Root())
			docs := readAs(t, kind, file.Open("it.yaml", data), beside, voc, shared)
			sound(t, docs...)
			found := problemsOf(docs)
			// A schema knows names as they are written here; whoever uses another word is told so.
			otherWord := slices.ContainsFunc(found, func(p diag.Diagnostic) bool { return p.Code == file.OtherWord })
			if err := c.refuses(tree); err != nil && !found.HasErrors() && !otherWord {
				t.Errorf("it is read, but does not fit its schema: %v", err)
			}
		})
	})
}

func FuzzBody(f *testing.F)         { fuzzFiles(f, "body", nil) }
func FuzzCloth(f *testing.F)        { fuzzFiles(f, "cloth", nil) }
func FuzzMeasurements(f *testing.F) { fuzzFiles(f, declaring, nil) }
func FuzzColumns(f *testing.F)      { fuzzFiles(f, "columns", nil) }
func FuzzGarment(f *testing.F)      { fuzzFiles(f, "garment", os.DirFS("../testdata/good")) }
func FuzzMake(f *testing.F)         { fuzzFiles(f, "sewn", nil) }
func FuzzPattern(f *testing.F)      { fuzzFiles(f, "pattern", os.DirFS("../testdata/good")) }
func FuzzObservations(f *testing.F) { fuzzFiles(f, "observations", nil) }
func FuzzPieces(f *testing.F)       { fuzzFiles(f, "pieces", os.DirFS("../testdata/good")) }
func FuzzRecipe(f *testing.F)       { fuzzFiles(f, "recipe", os.DirFS("../testdata/good")) }
func FuzzRules(f *testing.F)        { fuzzFiles(f, "rules", nil) }

func FuzzTest(f *testing.F) { fuzzFiles(f, "test", os.DirFS("../testdata/good")) }

// FuzzDoubts looks for doubts in recipes that nothing is wrong with.
func FuzzDoubts(f *testing.F) {
	for _, data := range samples(f, "recipe", ".yaml") {
		f.Add(data)
	}
	voc, shared := known(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		watched(t, data, func() {
			doc := file.Open("it.yaml", data)
			s, _ := Library{}.ReadSuite(doc, voc, shared, nil)
			if s == nil || doc.Problems().HasErrors() {
				return
			}
			var outcomes []Outcome
			for i := range s.Examples {
				outcomes = append(outcomes, Run(&s.Examples[i], s.Recipe, shared, voc))
			}
			Doubt(doc, s.Recipe, outcomes, voc)
			sound(t, doc)
		})
	})
}

func FuzzChart(f *testing.F) {
	for _, data := range samples(f, "pattern", ".csv") {
		f.Add(data, true)
		f.Add(data, false)
	}
	voc, _ := known(f)
	f.Fuzz(func(t *testing.T, table []byte, sizes bool) {
		text := "kind: pattern\nname: p\nrecipe: gathered-skirt\nunits: in\nbody: chart.csv\nfinished: chart.csv\n"
		if sizes {
			text += "sizes: [8, 10, 12]\n"
		}
		watched(t, table, func() {
			sound(t, readAs(t, "pattern", file.Open("it.yaml", []byte(text)), fstest.MapFS{"chart.csv": {Data: table}}, voc, nil)...)
		})
	})
}

// FuzzExamples reads examples, and runs those that nothing is wrong with.
func FuzzExamples(f *testing.F) {
	const recipe = "gathered-skirt"
	source, err := text(recipe)
	if err != nil {
		f.Fatal(err)
	}
	const start = "\nexamples:\n"
	before, _, _ := strings.Cut(string(source), start)
	for _, data := range samples(f, "recipe", ".yaml") {
		if _, examples, ok := strings.Cut(string(data), start); ok {
			for example := range strings.SplitSeq(examples, "\n  - name:") {
				f.Add([]byte("  - name: " + strings.TrimPrefix(example, "  - name:") + "\n"))
			}
		}
	}
	voc, shared := known(f)
	beside := os.DirFS("../testdata/good")
	f.Fuzz(func(t *testing.T, examples []byte) {
		watched(t, examples, func() {
			doc := file.Open("it.yaml", slices.Concat([]byte(before+start), examples))
			r := ReadRecipe(doc, voc, rules.AtOnce)
			all, named := ReadExamples(doc, voc, r, shared, beside)
			sound(t, append(named, doc)...)
			if doc.Problems().HasErrors() || slices.ContainsFunc(named, func(d *file.Doc) bool { return d.Problems().HasErrors() }) {
				return
			}
			for i := range all {
				if o := Run(&all[i], r, shared, voc); o.Err == nil && o.Answer == nil {
					t.Errorf("neither an answer nor an error")
				}
			}
		})
	})
}

// FuzzWish reads wishes for an ease, and layers worn beneath.
func FuzzWish(f *testing.F) {
	for _, text := range []string{
		"drawn", "closer", "roomier", "expected", "hip=6cm", "hip=drawn+2cm", "hip = closer - 1/2 in", "waist=-5%", "bust=drawn+3 %", "hip=6", "snug",
		"shirt", "quilted vest=4 mm", "vest=-4 mm", "vest=", "=2 cm", "hip=drawn", "hip=drawn 2cm", "drawn+2cm", "hip=+½\"", "hip=-", "hip=9..", "",
	} {
		f.Add(text, "in")
		f.Add(text, "")
	}
	voc, shared := known(f)
	f.Fuzz(func(t *testing.T, text, units string) {
		bare, _ := quantity.ParseUnit(units)
		data, err := json.Marshal(map[string]string{"wish": text, "layer": text})
		if err != nil {
			t.Fatal(err)
		}
		watched(t, data, func() {
			doc := file.Open("it.json", data)
			m := doc.Root().Map()
			x := &exampleReader{reader: reader{doc, voc}, rules: []string{shared[0].ID}}
			w, l := x.wish(m.Get("wish"), bare), x.layer(m.Get("layer"), bare)
			sound(t, doc)
			if doc.Problems() == nil && (w.Word == "" && w.Zone == "" || strings.Contains(l.Name, "=")) {
				t.Errorf("%q is the wish %+v, or the layer %+v", text, w, l)
			}
		})
	})
}

// FuzzBodies reads tables of bodies: each line that is not empty comes out once,
// with a name or a problem that stands in it.
func FuzzBodies(f *testing.F) {
	for _, table := range []string{"name,waist,hip\nWren,74 cm,38 in\n", "name;hip\r\n\"Wren; the elder\";97,5\r\n", "name\thip\tage\nWren\t\"98\n\nGull", "hip\n98 cm",
		"measurement,Wren,Gull\nwaist,74 cm,80 cm\nhip,98 cm,h\n"} {
		f.Add([]byte(table))
	}
	voc, _ := known(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		watched(t, data, func() {
			bodies, header := OpenBodies("bodies.csv", strings.NewReader(string(data)), quantity.Cm, voc)
			sound(t, header)
			if bodies == nil {
				return
			}
			for last := 0; ; {
				line, err := bodies.Next()
				if err != nil {
					return
				}
				at := line.Number
				if line.Column > 0 {
					at = line.Column
				}
				if at <= last {
					t.Fatalf("%s after %d", line.Place(), last)
				}
				last = at
				_, problems := bodies.Body(line)
				for _, p := range problems {
					if line.Column == 0 && p.Range.Start.Line != line.Number || p.Range.Start.Line < line.Number || p.Summary == "" {
						t.Errorf("%s: %+v", line.Place(), p)
					}
				}
			}
		})
	})
}
