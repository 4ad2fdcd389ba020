package file

import (
	"archive/zip"
	"bytes"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain/diag"
)

// workbook packs a workbook of one sheet, named Sizes, with the XML of its rows.
func workbook(t testing.TB, sheet, shared, styles string) []byte {
	t.Helper()
	return packed(t, map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="` + relations + `"><sheets><sheet name="Sizes" r:id="a"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="a" Target="/xl/s.xml"/></Relationships>`,
		"xl/s.xml":                   sheet, "xl/sharedStrings.xml": shared, "xl/styles.xml": styles,
	})
}

func packed(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write([]byte(parts[name]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// texts are the cells of an area as they are read.
func texts(rows [][]Value) [][]string {
	var out [][]string
	for _, row := range rows {
		var line []string
		for _, v := range row {
			line = append(line, v.Text())
		}
		out = append(out, line)
	}
	return out
}

const (
	someTexts  = `<sst><si><t>size</t></si><si><r><t>hi</t></r><r><t>p</t></r></si></sst>`
	someStyles = `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="0.0&quot; dm&quot;"/><numFmt numFmtId="165" formatCode="d\-mmm"/></numFmts>` +
		`<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="9"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="166"/></cellXfs></styleSheet>`
)

// A cell is read as a person sees it.
func TestSheetCells(t *testing.T) {
	for _, tt := range []struct{ name, cell, want string }{
		{"a number", `<c r="B2"><v>38.5</v></c>`, "38.5"},
		{"a whole number", `<c r="B2"><v>38.0</v></c>`, "38"},
		{"the noise of computing", `<c r="B2"><v>0.30000000000000004</v></c>`, "0.3"},
		{"in powers of ten", `<c r="B2"><v>3.85E1</v></c>`, "38.5"},
		{"a third", `<c r="B2"><v>12.333333333333334</v></c>`, "12.33333"},
		{"a formula by its value", `<c r="B2"><f>A1*2</f><v>77</v></c>`, "77"},
		{"a text that a formula makes", `<c r="B2" t="str"><f>"38 "&amp;"1/2"</f><v>38 1/2</v></c>`, "38 1/2"},
		{"a share", `<c r="B2" s="2"><v>0.37</v></c>`, "37 %"},
		{"a format with letters in quotes", `<c r="B2" s="3"><v>9.65</v></c>`, "9.65"},
		{"a text in the cell", `<c r="B2" t="inlineStr"><is><t> 38½ </t></is></c>`, "38½"},
		{"a truth", `<c r="B2" t="b"><v>1</v></c>`, "TRUE"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			data := workbook(t, `<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>`+
				`<row r="2"><c r="A2"><v>8</v></c>`+tt.cell+`</row></sheetData></worksheet>`, someTexts, someStyles)
			d, rows := OpenArea("chart.xlsx", data, Area{})
			if diff := cmp.Diff([][]string{{"size", "hip"}, {"8", tt.want}}, texts(rows)); diff != "" || len(d.Problems()) > 0 {
				t.Errorf("%s%v", diff, d.Problems())
			}
			if at := rows[1][1].Range().String(); at != "chart.xlsx:Sizes!B2" {
				t.Errorf("it stands at %s", at)
			}
		})
	}
}

// What cannot be meant is refused at its cell.
func TestSheetRefuses(t *testing.T) {
	const at = "chart.xlsx:Sizes!B2: error[FA0124]: "
	const lost, misnamed = at + "what the cell holds cannot be read", at + "the cell has no place in the sheet, or the place of another cell"
	for _, tt := range []struct{ name, cell, want string }{
		{"a date", `<c r="B2" s="1"><v>46024</v></c>`, "chart.xlsx:Sizes!B2: error[FA0124]: the cell holds a date"},
		{"a date by a format of its own", `<c r="B2" s="4"><v>46024</v></c>`, "chart.xlsx:Sizes!B2: error[FA0124]: the cell holds a date"},
		{"a text that is turned round", "<c r=\"B2\" t=\"str\"><v>\u202e14</v></c>", "chart.xlsx:Sizes!B2: error[FA0104]: the cell holds a character that cannot be seen, or turns the text round"},
		{"a formula that was never computed", `<c r="B2"><f>A1*2</f></c>`, "chart.xlsx:Sizes!B2: error[FA0124]: the cell holds a formula whose value is not stored"},
		{"far out to the right", `<c r="XFD2"><v>1</v></c>`, "chart.xlsx: error[FA0103]: a chart has at most 300 cells to a line, 2000 lines and 20000 filled cells"},
		{"an error", `<c r="B2" t="e"><v>#REF!</v></c>`, at + "the cell shows an error"},
		{"a shared text that is not there", `<c r="B2" t="s"><v>2</v></c>`, lost},
		{"a shared text before the first", `<c r="B2" t="s"><v>-1</v></c>`, lost},
		{"a shared text without a number", `<c r="B2" t="s"><v>hip</v></c>`, lost},
		{"a shared text that is not named", `<c r="B2" t="s"/>`, lost},
		{"neither true nor false", `<c r="B2" t="b"><v>2</v></c>`, lost},
		{"a number that is none", `<c r="B2"><v>38,5</v></c>`, lost},
		{"a number without end", `<c r="B2"><v>INF</v></c>`, lost},
		{"a number in sixteens", `<c r="B2"><v>0x26</v></c>`, lost},
		{"a number of hundreds of digits", `<c r="B2"><v>1e300</v></c>`, lost},
		{"two values", `<c r="B2"><v>3</v><v>8</v></c>`, lost},
		{"a kind that is unknown", `<c r="B2" t="z"><v>38</v></c>`, lost},
		{"a text in the cell that is not there", `<c r="B2" t="inlineStr"><v>38</v></c>`, lost},
		{"a text in a cell of another kind", `<c r="B2" t="s"><v>0</v><is><t>38</t></is></c>`, lost},
		{"a style that is not there", `<c r="B2" s="9"><v>38</v></c>`, at + "the cell's number has a format that the workbook lacks"},
		{"a style without its format", `<c r="B2" s="5"><v>38</v></c>`, at + "the cell's number has a format that the workbook lacks"},
		{"a name that is none", `<c r="B"><v>38</v></c>`, misnamed},
		{"a name in another line", `<c r="B3"><v>38</v></c>`, misnamed},
		{"two cells of one name", `<c r="B2"><v>36</v></c><c r="B2"><v>38</v></c>`, misnamed},
		{"a long text", `<c r="B2" t="inlineStr"><is><t>` + strings.Repeat("ü", longestText+1) + `</t></is></c>`, "chart.xlsx:Sizes!B2: error[FA0103]: a text of more than 4000 characters"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			data := workbook(t, `<worksheet><sheetData><row r="1"><c t="s"><v>0</v></c><c t="s"><v>1</v></c></row><row r="2"><c r="A2"><v>8</v></c>`+tt.cell+
				`</row></sheetData></worksheet>`, someTexts, someStyles)
			d, _ := OpenArea("chart.xlsx", data, Area{})
			if len(d.Problems()) != 1 || d.Problems()[0].String() != tt.want {
				t.Errorf("got  %v\nwant %s", d.Problems(), tt.want)
			}
		})
	}
	for name, sheet := range map[string]string{
		"XML that ends":          `<worksheet><sheetData><row r="1">`,
		"XML with more after it": `<worksheet/><worksheet`,
	} {
		if d, rows := OpenArea("chart.xlsx", workbook(t, sheet, someTexts, someStyles), Area{}); rows != nil || len(d.Problems()) != 1 || d.Problems()[0].Code != noWorkbook {
			t.Errorf("%s: %v, %v", name, texts(rows), d.Problems())
		}
	}
}

// Notes, blank lines and columns are passed over; what spans several cells stands
// in each of them.
func TestSheetNotesAndSpans(t *testing.T) {
	sheet := Sheet{Name: "Sizes", Rows: [][]string{
		{"Quayside skirt"}, {}, {"", "measurement", "8", "10", "12"}, {"", "hip", "36", "37", "38 1/2"}, {"", "waist_closure", "7"}, {"", "", "measured flat"},
	}}
	data, err := WriteWorkbook([]Sheet{sheet})
	if err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var text bytes.Buffer
		if _, err := text.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		parts[f.Name] = strings.Replace(text.String(), "</sheetData>", `</sheetData><mergeCells><mergeCell ref="A1:E1"/><mergeCell ref="C5:E5"/></mergeCells>`, 1)
	}
	d, rows := OpenArea("chart.xlsx", packed(t, parts), Area{})
	want := [][]string{{"measurement", "8", "10", "12"}, {"hip", "36", "37", "38 1/2"}, {"waist_closure", "7", "7", "7"}}
	if diff := cmp.Diff(want, texts(rows)); diff != "" || len(d.Problems()) > 0 {
		t.Errorf("%s%v", diff, d.Problems())
	}
}

// However small it is packed, no more is unpacked than a chart needs; what is too
// large as it stands is not looked into.
func TestSheetTooLarge(t *testing.T) {
	bomb := workbook(t, "<worksheet>"+strings.Repeat(" ", mostUnpacked+1)+"</worksheet>", someTexts, someStyles)
	if len(bomb) > MaxSheetBytes {
		t.Fatal("it is refused for its packed size")
	}
	parts := map[string]string{}
	for i := range mostParts + 1 {
		parts[diag.Pos{Line: i + 1, Column: 1}.Cell()] = ""
	}
	for name, data := range map[string][]byte{"packed": make([]byte, 10<<20), "unpacked": bomb, "in parts": packed(t, parts)} {
		d, rows := OpenArea("chart.xlsx", data, Area{})
		if rows != nil || len(d.Problems()) != 1 || d.Problems()[0].Code != tooLarge {
			t.Errorf("%s: %v", name, d.Problems())
		}
	}
}

func TestCellNames(t *testing.T) {
	for name, want := range map[string]diag.Pos{"A1": {Line: 1, Column: 1}, "C7": {Line: 7, Column: 3}, "Z10": {Line: 10, Column: 26}, "AA2": {Line: 2, Column: 27}, "KN9": {Line: 9, Column: 300}} {
		if got, ok := position(name); !ok || got != want || want.Cell() != name {
			t.Errorf("%s is %v, %v, and that is %s", name, got, ok, want.Cell())
		}
	}
	for _, name := range []string{"", "A", "7", "A0", "7A", "a1", "A1B2", "A99999999999999999999"} {
		if got, ok := position(name); ok {
			t.Errorf("%q is %v", name, got)
		}
	}
}

// BenchmarkTooLarge is how long it takes to refuse 10 MB.
func BenchmarkTooLarge(b *testing.B) {
	data := make([]byte, 10<<20)
	for b.Loop() {
		OpenArea("chart.xlsx", data, Area{})
	}
}

// FuzzSheet reads workbooks with a sheet, texts and formats changed at random, and
// files that are none: whatever comes out is square, and each problem has a place.
func FuzzSheet(f *testing.F) {
	for _, path := range []string{"../../testdata/good/chart.xlsx", "../../testdata/bad/pattern-sheet.xlsx"} {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data), "", "", true)
	}
	f.Add(`<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c t="s"><v>1</v></c></row><row><c><v>8</v></c><c s="1"><f>A1</f><v>3E1</v></c></row></sheetData>`+
		`<mergeCells><mergeCell ref="A1:C2"/></mergeCells></worksheet>`, someTexts, someStyles, false)
	f.Fuzz(func(t *testing.T, sheet, shared, styles string, raw bool) {
		data := []byte(sheet)
		if !raw {
			data = workbook(t, sheet, shared, styles)
		}
		d, rows := OpenArea("it.xlsx", data, Area{})
		for _, row := range rows {
			if len(row) != len(rows[0]) {
				t.Fatalf("lines of %d and %d cells", len(row), len(rows[0]))
			}
			for _, v := range row {
				if at := v.Range(); at.Sheet != "Sizes" && !raw || at.Start.Line < 1 || at.Start.Column < 1 {
					t.Errorf("a cell stands at %v", at)
				}
				v.LengthRange()
			}
		}
		for _, p := range d.Problems() {
			if p.Summary == "" || p.Range.File != "it.xlsx" || p.Code.Title() == "" {
				t.Errorf("a problem says too little: %+v", p)
			}
		}
	})
}
