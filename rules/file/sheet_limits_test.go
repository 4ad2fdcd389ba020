package file

import (
	"cmp"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"fitadvisor/explain/diag"
)

// hostileBook is a workbook that would cost much if it were read trustingly.
type hostileBook struct {
	name                  string
	sheet, shared, styles string
	ok                    bool // it is large, and is read all the same
}

// hostileBooks are as large as may be unpacked, each full of one thing.
func hostileBooks() []hostileBook {
	full := func(one string) string { return strings.Repeat(one, (mostUnpacked-2000)/len(one)) }
	rows := func(cells string) string { return `<worksheet><sheetData>` + cells + `</sheetData></worksheet>` }
	two := rows(`<row><c t="s"><v>0</v></c><c t="s"><v>1</v></c></row><row><c><v>8</v></c><c><v>38</v></c></row>`)
	shared := func(s string) string { return `<sst><si><t>size</t></si><si><t>hip</t></si>` + s + `</sst>` }
	long := strings.Repeat("x", longestText+1)
	var apart strings.Builder
	for i := range mostRows {
		fmt.Fprintf(&apart, `<row><c><v>1</v></c><c r="%s"><v>1</v></c></row>`, diag.Pos{Line: i + 1, Column: 2 + i%(mostColumns-1)}.Cell())
	}
	many := func(n int, one string) string { return strings.Repeat(one, n) }
	return []hostileBook{
		{name: "runs of a text", sheet: two, shared: shared(`<si>` + full(`<r><t>x</t></r>`) + `</si>`)},
		{name: "runs of a text in a cell", sheet: rows(`<row><c t="inlineStr"><is>` + full(`<r><t>xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx</t></r>`) + `</is></c></row>`)},
		{name: "long runs of a text", sheet: two, shared: shared(`<si>` + full(`<r><t>`+strings.Repeat("x", 1000)+`</t></r>`) + `</si>`), ok: true},
		{name: "texts", sheet: two, shared: shared(full(`<si/>`))},
		{name: "a long text", sheet: two, shared: shared(`<si><t>` + full(`x`) + `</t></si>`)},
		{name: "a long text in many cells", sheet: rows(`<row><c t="s"><v>0</v></c><c t="s"><v>1</v></c></row>` + many(1500, `<row>`+many(13, `<c t="s"><v>2</v></c>`)+`</row>`)),
			shared: shared(`<si><t>` + strings.Repeat("ü", 30_000) + `</t></si>`), ok: true},
		{name: "empty cells", sheet: rows(`<row>` + full(`<c/>`) + `</row>`)},
		{name: "cells with a format", sheet: rows(`<row>` + full(`<c s="0"/>`) + `</row>`)},
		{name: "cells", sheet: rows(many(2000, `<row>`+many(100, `<c><v>1</v></c>`)+`</row>`))},
		{name: "cells with the same name", sheet: rows(`<row>` + full(`<c r="A1"><v>1</v></c>`) + `</row>`)},
		{name: "lines", sheet: rows(full(`<row/>`))},
		{name: "a line far down", sheet: rows(`<row r="1000000000"><c><v>1</v></c></row>`)},
		{name: "attributes", sheet: rows(`<row ` + full(`a="" `) + `/>`)},
		{name: "attributes of many cells", sheet: rows(`<row>` + full(`<c `+strings.Repeat(`a="" `, 1000)+`/>`) + `</row>`)},
		{name: "name spaces", sheet: rows(full(`<row xmlns="a"/>`))},
		{name: "elements in one another", sheet: full(`<a>`)},
		{name: "a long name of an element", sheet: `<` + full(`a`) + `/>`},
		{name: "a long comment", sheet: `<!--` + full(` `) + `-->` + two},
		{name: "a long value", sheet: rows(`<row><c><v>` + full(`9`) + `</v></c></row>`)},
		{name: "numbers of many digits", sheet: rows(`<row><c t="s"><v>0</v></c><c t="s"><v>1</v></c></row>` + many(18, `<row>`+many(100, `<c><v>`+many(4000, `9`)+`</v></c>`)+`</row>`)), ok: true},
		{name: "cells far apart", sheet: rows(apart.String())},
		{name: "spans", sheet: `<worksheet><sheetData><row><c><v>1</v></c></row></sheetData><mergeCells>` + full(`<mergeCell ref="A1:A1"/>`) + `</mergeCells></worksheet>`},
		{name: "wide spans", sheet: `<worksheet><sheetData><row><c><v>1</v></c></row><row r="2000"><c><v>1</v></c></row></sheetData><mergeCells>` + many(100, `<mergeCell ref="A1:ZZ9999"/>`) + `</mergeCells></worksheet>`},
		{name: "formats", sheet: two, shared: someTexts, styles: `<styleSheet><numFmts>` + full(`<numFmt numFmtId="164" formatCode="0"/>`) + `</numFmts></styleSheet>`},
		{name: "a long format of many cells", sheet: two, shared: someTexts, styles: `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="` + strings.Repeat("0", 60_000) + `"/></numFmts><cellXfs>` +
			many(50_000, `<xf numFmtId="164"/>`) + `</cellXfs></styleSheet>`},
		{name: "cells too long to be read", sheet: rows(many(150, `<row>`+many(100, `<c t="inlineStr"><is><t>`+long[:400]+`</t></is></c>`)+`</row>`)), ok: true},
	}
}

// Whatever a workbook of the size that is unpacked holds, it is answered with little memory; what is more than a chart
// needs is refused.
func TestHostileBooks(t *testing.T) {
	const (
		mostMemory = 128 << 20
		hangs      = 30 * time.Second // each takes less than one
	)
	for _, h := range hostileBooks() {
		t.Run(h.name, func(t *testing.T) {
			data := workbook(t, h.sheet, cmp.Or(h.shared, someTexts), cmp.Or(h.styles, someStyles))
			if len(data) > MaxSheetBytes {
				t.Fatalf("it is refused for its %d packed bytes", len(data))
			}
			watch := time.AfterFunc(hangs, func() { panic(h.name + " takes too long") })
			defer watch.Stop()
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			d, _ := OpenArea("chart.xlsx", data, Area{})
			runtime.ReadMemStats(&after)
			if used := after.TotalAlloc - before.TotalAlloc; used > mostMemory {
				t.Errorf("%d MB are used", used>>20)
			}
			refusedAll := len(d.Problems()) > 0 && d.Problems()[0].Code == tooLarge && d.Problems()[0].Summary != badCells[longTag].summary
			if refusedAll == h.ok {
				t.Errorf("told: %.300v", d.Problems())
			}
			for _, p := range d.Problems() {
				if len(p.String()) > 1000 {
					t.Errorf("a problem is printed with %d bytes", len(p.String()))
				}
			}
		})
	}
}

// BenchmarkHostileBooks is how long each takes, and what memory is used in all.
func BenchmarkHostileBooks(b *testing.B) {
	for _, h := range hostileBooks() {
		data := workbook(b, h.sheet, cmp.Or(h.shared, someTexts), cmp.Or(h.styles, someStyles))
		b.Run(h.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				OpenArea("chart.xlsx", data, Area{})
			}
		})
	}
}
