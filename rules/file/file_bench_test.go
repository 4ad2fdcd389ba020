package file_test

import (
	"testing"

	"fitadvisor/engine/quantity"
	"fitadvisor/rules/file"
)

// quayside is a pattern file of 60 lines, as a maker would write it.
var quayside = []byte(`# Quayside skirt, second edition
kind: pattern
maker: Tern Lane
name: Quayside skirt
recipe: gathered-skirt
units: in
drafted_for: {height: 5' 6", cup: 2 in}
seam_allowance: 5/8

# as printed on the envelope
sizes:         [8, 10, 12, 14, 16, 18, 20]
body:
  bust:        [31 1/2, 32 1/2, 34, 36, 38, 40, 42]
  waist:       [24, 25, 26 1/2, 28, 30, 32, 34]   # natural waist
  hip:         [33 1/2, 34 1/2, 36, 38, 40, 42, 44]

# measured flat, gathers let out
finished:
  hip:         [41, 42, 43 1/2, 45, 47, 49, 51]
  hem:         [58, 59, 60 1/2, 62, 64, 66, 68]

pieces:
  - name: front
    cut: 1
    on_fold: true
    widths:
      waist:   20 1/2
      hip:     20 1/2
      hem:     29
    note: >
      Lay the fold on the grain and leave
      the selvedge off.
  - name: back
    cut: 2
    on_fold: false
    widths:
      waist:   10 1/4
      hip:     10 1/4
      hem:     14 1/2
    note: 'Mind the notch: it''s doubled.'
  - name: casing
    cut: 1
    on_fold: true
    widths:
      waist:   20 1/2

notes: |
  Wash the cloth before cutting.

  The waist is drawn up to fit; only the hip decides.

cloths:
  - {name: washed linen, structure: woven, shrinkage: {across: 3 %, along: 5 %}}
  - {name: cotton lawn, structure: woven, shrinkage: {across: 2 %, along: 4 %}}

cords: []
edition: 2
printed: 2026-11-02
pages: 24
language: en
`)

func BenchmarkOpen(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		file.Open("quayside.yaml", quayside)
	}
}

// BenchmarkOpenAndWalk also looks at every value, and reads the charts as lengths.
func BenchmarkOpenAndWalk(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		d := file.Open("quayside.yaml", quayside)
		d.SetUnits(quantity.In)
		root := d.Root().Map()
		for _, chart := range []string{"body", "finished"} {
			rows := root.Need(chart).Map()
			for _, key := range rows.Keys() {
				for _, cell := range rows.Get(key.Text()).Items() {
					cell.LengthRange()
				}
			}
		}
		walk(d.Root(), func(v file.Value) { v.Text() })
		if len(d.Problems()) > 0 {
			b.Fatal(d.Problems())
		}
	}
}
