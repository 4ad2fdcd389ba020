package recipes

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
)

// tables are charts as people keep them; all say hip 92, 97 and 102 cm of 8, 10 and 12 unless their name says otherwise.
var tables = []struct{ name, file, text string }{
	{"a size to each line", "chart.csv", "size,waist,hip\n8,66 cm,92 cm\n10,71 cm,97 cm\n12,76 cm,102 cm\n"},
	{"a measurement to each line, under the word size", "chart.csv", "Size,8,10,12\nWaist (cm),66,71,76\nHip (cm),92,97,102\n"},
	{"an empty corner, decimal commas and semicolons", "chart.csv", ";8;10;12\nWaist cm;66,5;71,5;76,5\nHips cm;92;97;102\n"},
	{"tabs, as a paste has them", "chart.tsv", "Size\tNatural waist [cm]\tFull hip [cm]\n8\t66\t92\n10\t71\t97\n12\t76\t102\n"},
	{"a titled corner that names the unit", "chart.csv", "Sizes (cm),WAIST,HIP\n8,66,92\n10,71,97\n12,76,102\n"},
	{"titles above, the unit in one of them", "chart.csv", "Tern Lane 2026,,\nAll body measurements in cm,,\n,,\nSize,Waist,Hip\n8,66,92\n10,71,97\n12,76,102\n"},
	{"a line of units", "chart.csv", "size,waist,hip\n,in,cm\n8,26,92\n10,28,97\n12,30,102\n"},
	{"a column of units", "chart.csv", "measurement,unit,8,10,12\nwaist,inches,26,28,30\nhip,cm,92,97,102\n"},
	{"inches as fractions", "chart.csv", "Size,Waist (in),Hip (in)\n8,26 1/2,36 1/4\n10,28½,38 1/4\n12,\"30-1/2\",40 1/4\n"},
	{"empty columns and lines behind", "chart.csv", "size,waist,hip,,,\n8,66 cm,92 cm,,,\n10,71 cm,97 cm,,,\n12,76 cm,102 cm,,,\n,,,,,\n"},
	{"ragged lines", "chart.csv", "size,hip,waist\n8,92 cm,66 cm\n10,97 cm\n12,102 cm,76 cm,,\n"},
	{"what is no measurement", "chart.csv", "size,hip,E-mail,colour of line,\n8,92 cm,a@b.example,red\n10,97 cm,,blue\n12,102 cm,,\nsee page 3,,,\n"},
	{"a spreadsheet", "chart.xlsx", "Size chart\n\nSize,Waist (cm),Hip (cm),Remarks\n8,66,92,small\n10,71,97\n12,76,102\n"},
	{"a spreadsheet the other way round, its corner empty", "chart.xlsx", ",8,10,12\nhip (cm),92,97,102\nwaist (cm),66.5,71.5,76.5\nTern Lane"},
	{"fractions that became dates", "chart.csv", "size (in),waist,hip\n8,26-27,36\n10,28-Sep,02/01/2026\n12,2026-08-30,40\n"},
	{"decimal commas between commas, and a slip", "chart.csv", "size,waits,hip\n8,66,5,92\n10,71,97\n12,76,102\n"},
}

// What a table holds is read whatever way it is kept, or told at its cell.
func TestTablesAsPeopleHaveThem(t *testing.T) {
	const golden = "testdata/tables.txt"
	var out strings.Builder
	voc, _ := known(t)
	for _, c := range tables {
		data := []byte(c.text)
		if strings.HasSuffix(c.file, ".xlsx") {
			sheet := file.Sheet{Name: "Chart"}
			for line := range strings.Lines(c.text) {
				sheet.Rows = append(sheet.Rows, strings.Split(strings.TrimSuffix(line, "\n"), ","))
			}
			var err error
			if data, err = file.WriteWorkbook([]file.Sheet{sheet}); err != nil {
				t.Fatal(err)
			}
		}
		doc := file.Open("pattern.yaml", []byte("kind: pattern\nmaker: Tern Lane\nname: Quayside skirt\nrecipe: gathered-skirt\nbody: "+c.file+"\n"))
		p, docs := ReadPattern(doc, voc, fstest.MapFS{c.file: {Data: data}})
		fmt.Fprintf(&out, "%s\n", c.name)
		if p != nil {
			printChart(&out, p)
		}
		for _, d := range append(docs, doc) {
			for _, problem := range d.Problems() {
				fmt.Fprintf(&out, "  %v\n", problem)
			}
		}
	}
	if *update {
		if err := os.WriteFile(golden, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != out.String() {
		t.Errorf("got\n%s\nwant %s", out.String(), golden)
	}
}

func printChart(out *strings.Builder, p *engine.Pattern) {
	for _, name := range []string{"waist", "hip"} {
		for i, c := range p.Chart[name] {
			if i == 0 {
				fmt.Fprintf(out, "  %s", name)
			}
			fmt.Fprintf(out, " %s:", p.Sizes[i])
			switch {
			case !c.Known:
				out.WriteString(" -")
			case c.Low == c.High:
				fmt.Fprintf(out, " %g", c.Low.Cm())
			default:
				fmt.Fprintf(out, " %g-%g", c.Low.Cm(), c.High.Cm())
			}
		}
		if len(p.Chart[name]) > 0 {
			out.WriteString("\n")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(p.Chart)) {
		if !slices.Contains([]string{"waist", "hip"}, name) {
			fmt.Fprintf(out, "  and %s\n", name)
		}
	}
}

// What a heading, a line or a corner says of the unit goes with the figures when the pattern is written down in its own unit.
func TestUnitsOfATableAreWritten(t *testing.T) {
	voc, _ := known(t)
	for _, text := range []string{"size,waist (in),hip (cm)\n8,26,92\n10,28-29,97\n", "size,waist,hip\n,in,cm\n8,26,92\n10,28-29,97\n", "size (in),waist,hip\n8,26,92 cm\n10,28-29,97 cm\n"} {
		for _, units := range []string{"units: cm\n", "units: in\n"} {
			doc := file.Open("pattern.yaml", []byte("kind: pattern\nmaker: Tern Lane\nname: Skirt\nrecipe: gathered-skirt\n"+units+"body: chart.csv\n"))
			p, _ := ReadPattern(doc, voc, fstest.MapFS{"chart.csv": {Data: []byte(text)}})
			yaml, err := WriteYAML(p, voc)
			if err != nil {
				t.Fatal(err)
			}
			back, _ := ReadPattern(file.Open("back.yaml", yaml), voc, nil)
			for _, name := range []string{"waist", "hip"} {
				for i, c := range p.Chart[name] {
					if b := back.Chart[name][i]; b.Low != c.Low || b.High != c.High {
						t.Errorf("%s%s%s of size %s: %v..%v came back as %v..%v in\n%s", units, text, name, p.Sizes[i], c.Low, c.High, b.Low, b.High, yaml)
					}
				}
			}
		}
	}
}

// A table of bodies is read as a chart is: headings in any case and with their unit, what is none passed over.
func TestTableOfBodiesAsPeopleHaveIt(t *testing.T) {
	voc, _ := known(t)
	bodies, header := OpenBodies("customers.csv", strings.NewReader("Customers 2026;;;;\nName;Full hip (in);WAIST;E-mail;\nWren;38,5;74 cm;w@x.example;\n"), "", voc)
	var notes []string
	for _, p := range header.Problems() {
		notes = append(notes, p.Range.String()+" "+p.Summary)
	}
	if want := []string{"customers.csv:2:6 `Full hip (in)` is read as `hip`, `WAIST` as `waist`", "customers.csv:2:26 `E-mail` is no measurement that is known here, and is passed over"}; !slices.Equal(notes, want) {
		t.Errorf("got %q, want %q", notes, want)
	}
	line, err := bodies.Next()
	if err != nil {
		t.Fatal(err)
	}
	b, problems := bodies.Body(line)
	if got := fmt.Sprint(b.Name, " ", line.Number, " ", b.Measurements["hip"].Readings, b.Measurements["waist"].Readings, problems); got != "Wren 3 [{977900000 38,5}] [{740000000 74 cm}] no problems" { // 38.5 x 2.54 = 97.79
		t.Error(got)
	}
}

// Tables of bodies as spreadsheets give them, in either direction, with units in a line, a heading or a title: each has Wren's
// hip of 97.79 cm (38 1/2 in) and Gull's of 101.6 cm (40 in).
func TestTablesOfBodies(t *testing.T) {
	voc, _ := known(t)
	book := func(rows ...[]string) string {
		data, err := file.WriteWorkbook([]file.Sheet{{Name: "Customers", Rows: rows}})
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	for name, text := range map[string]string{
		"titles.csv":  "Customers (in)\nname,Full hip\nWren,38.5\nGull,40\n",
		"unitrow.csv": "name,hip\n,in\nWren,38 1/2\nGull,40\n",
		"head.tsv":    "Customer\thip (in)\te-mail\nWren\t38.5\tw@x.example\nGull\t40\t\n",
		"corner.csv":  ";hip (cm);\nWren;97,79;\nGull;101,6;\n",
		"across.csv":  ",Wren,Gull\nhip,97.79 cm,40 in\nwaist,70 cm,80 cm\n",
		"turned.csv":  "name;Wren;Gull\nhip (in);38,5;40\n",
		"made.xlsx":   book([]string{"Name", "Full hip (in)", "Notes"}, []string{"Wren", "38.5", "pays"}, []string{"Gull", "40"}),
		"turned.xlsx": book([]string{"Our customers"}, []string{"", "Wren", "Gull"}, []string{"hip in", "38 1/2", "40"}),
	} {
		bodies, header := OpenBodies(name, strings.NewReader(text), "", voc)
		if header.Problems().HasErrors() {
			t.Errorf("%s: %v", name, header.Problems())
			continue
		}
		got := ""
		for {
			line, err := bodies.Next()
			if err != nil {
				break
			}
			b, problems := bodies.Body(line)
			if len(problems) > 0 {
				got += problems.Error()
				continue
			}
			got += fmt.Sprintf("%s %.2f ", b.Name, b.Measurements["hip"].Readings[0].Length.Cm())
		}
		if got != "Wren 97.79 Gull 101.60 " {
			t.Errorf("%s: %s", name, got)
		}
	}
}

// What is wrong in a workbook of bodies is told at its cell.
func TestWorkbookOfBodiesIsToldAtItsCell(t *testing.T) {
	voc, _ := known(t)
	data, err := file.WriteWorkbook([]file.Sheet{{Name: "Customers", Rows: [][]string{{"", "Wren", "Gull"}, {"hip", "97 cm", "8-Oct"}}}})
	if err != nil {
		t.Fatal(err)
	}
	bodies, _ := OpenBodies("b.xlsx", strings.NewReader(string(data)), "", voc)
	for want := range slices.Values([]string{"no problems", "b.xlsx:Customers!C2: error[FA0315]: `8-Oct` is a date"}) {
		line, _ := bodies.Next()
		if _, problems := bodies.Body(line); !strings.HasPrefix(problems.Error(), want) {
			t.Errorf("got %v, want %s", problems, want)
		}
	}
}
