package text_test

import (
	"os"

	"fitadvisor/explain"
	"fitadvisor/explain/internal/sample"
	"fitadvisor/explain/text"
)

func ExampleRender() {
	d := &explain.Document{}
	d.Add(
		explain.Sentence("A sentence that is longer than the line is wide goes on below."),
		explain.Table{Header: []string{"", "A", "B"}, Rows: [][]string{{"first", "1 1/2", "10"}, {"second one", "2", ""}}, Numeric: []bool{false, true, true}},
		explain.Heading("What to do"),
		explain.Steps{Items: []explain.Step{{Mark: "warn", Text: "Mind the edge, it is sharp and long.", Lines: []string{"Mend it: turn it in."}}, {Mark: "2.", Text: "Press."}}},
		explain.Tree{Root: (&explain.Node{Label: "three", Source: "sum"}).Add(&explain.Node{Label: "one and a word", Source: "a.yaml:1:2"}, &explain.Node{Label: "two"})},
	)
	_ = text.Render(os.Stdout, d, text.Options{Width: 32})
	// Output:
	// A sentence that is longer than
	// the line is wide goes on below.
	//
	//                 A   B
	// -----------------------
	// first       1 1/2  10
	// second one      2
	//
	// What to do
	//
	// warn  Mind the edge, it is sharp
	//       and long.
	//       Mend it: turn it in.
	// 2.    Press.
	//
	// three [sum]
	// - one and a word [a.yaml:1:2]
	// - two
}

// A table is no wider than the page: long cells go on below.
func ExampleRender_wideTable() {
	d := &explain.Document{}
	d.Add(explain.Heading("Wide"), explain.Table{Header: []string{"", "expected", "got", "a header of its own length"}, Rows: [][]string{
		{"first", "8", "8, 10, 12, 14, 16, 18", "in-one-word-of-many-letters"},
		{"the second", "", "none", "ä, ö, ü, ä, ö, ü, ä"},
	}})
	_ = text.Render(os.Stdout, d, text.Options{Width: 48})
	// Output:
	// Wide
	//
	//             expected  got         a header of
	//                                   its own
	//                                   length
	// ------------------------------------------------
	// first       8         8, 10, 12,  in-one-word-
	//                       14, 16, 18  of-many-lett
	//                                   ers
	// the second            none        ä, ö, ü, ä,
	//                                   ö, ü, ä
}

// Marks that crowd take a line each.
func ExampleRender_scale() {
	d := &explain.Document{}
	d.Add(sample.Scale())
	_ = text.Render(os.Stdout, d, text.Options{Width: 64})
	// Output:
	// length, in inches
	// expected                           [=====*====]
	// you                                             | 37
	// boards       o ~Z      o A               # B                x D
	//                                            x C
	//           +------------+-----------+------------+-----------+
	// in        34           35          36           37         38
	// | your wall   [=] expected   * wanted   # the board to saw
	// o another   x too long   ~ an estimate
}

// An open end of a band runs to the end of the axis.
func ExampleRender_openBand() {
	d := &explain.Document{}
	d.Add(explain.Scale{Title: "above 2", Unit: "cm", Band: &explain.Band{Label: "expected", Low: 2, OpenHigh: true}, Ticks: []explain.Tick{{At: 0, Label: "0"}, {At: 4, Label: "4"}}},
		explain.Scale{Title: "below 2", Unit: "cm", Band: &explain.Band{Label: "expected", High: 2, OpenLow: true}, Ticks: []explain.Tick{{At: 0, Label: "0"}, {At: 4, Label: "4"}}})
	_ = text.Render(os.Stdout, d, text.Options{Width: 43})
	// Output:
	// above 2
	// expected                  [===============>
	//           +-------------------------------+
	// cm        0                               4
	//
	// below 2
	// expected  <===============]
	//           +-------------------------------+
	// cm        0                               4
}
