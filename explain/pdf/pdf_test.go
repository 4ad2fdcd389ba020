package pdf_test

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"fitadvisor/explain"
	"fitadvisor/explain/internal/golden"
	"fitadvisor/explain/internal/sample"
	"fitadvisor/explain/pdf"
)

func write(t testing.TB, d *explain.Document, o pdf.Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := pdf.Write(&out, d, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// word is a text and where it begins, in points from the upper left corner.
type word struct {
	page int
	x, y float64
	text string
}

var (
	stream = regexp.MustCompile(`(?s)stream\r?\n(.*?)\r?\nendstream`)
	shown  = regexp.MustCompile(`(?s)BT ([0-9.-]+) ([0-9.-]+) Td \(((?:[^\\)]|\\.)*)\) Tj ET`)
	media  = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
)

// read returns all words of a PDF in the order they were written, and its pages'
// width and height.
func read(t testing.TB, file []byte) (words []word, wide, high float64) {
	t.Helper()
	box := media.FindSubmatch(file)
	if box == nil {
		t.Fatal("no page")
	}
	wide, high = figure(t, box[1]), figure(t, box[2])
	page := 0
	for _, s := range stream.FindAllSubmatch(file, -1) {
		z, err := zlib.NewReader(bytes.NewReader(s[1]))
		if err != nil {
			continue // no compressed stream
		}
		content, err := io.ReadAll(z)
		if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Fatal(err)
		}
		found := shown.FindAllSubmatch(content, -1)
		if len(found) > 0 {
			page++
		}
		for _, w := range found {
			words = append(words, word{page, figure(t, w[1]), high - figure(t, w[2]), letters(w[3])})
		}
	}
	return words, wide, high
}

func figure(t testing.TB, s []byte) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(string(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// letters undoes what is done to a string in a PDF: two bytes a letter, some led by a backslash.
func letters(s []byte) string {
	plain := regexp.MustCompile(`(?s)\\(.)`).ReplaceAllFunc(s, func(m []byte) []byte {
		if m[1] == 'r' {
			return []byte{'\r'}
		}
		return m[1:]
	})
	var units []uint16
	for i := 0; i+1 < len(plain); i += 2 {
		units = append(units, uint16(plain[i])<<8|uint16(plain[i+1]))
	}
	return string(utf16.Decode(units))
}

func text(words []word) string {
	var b strings.Builder
	for _, w := range words {
		b.WriteString(w.text + "\n")
	}
	return b.String()
}

// The golden file has every text with its page and place.
func TestWrite(t *testing.T) {
	words, wide, high := read(t, write(t, sample.Document(), pdf.Options{Title: "A shelf"}))
	if fmt.Sprintf("%.2f x %.2f", wide, high) != "595.28 x 841.89" { // A4 is 210 x 297 mm, and 1 mm is 72 / 25.4 points
		t.Errorf("the page is %v x %v", wide, high)
	}
	var out strings.Builder
	for _, w := range words {
		fmt.Fprintf(&out, "%d %5.1f %5.1f  %s\n", w.page, w.x, w.y, w.text)
	}
	golden.Compare(t, "sample.txt", []byte(out.String()))
}

func TestLetter(t *testing.T) {
	_, wide, high := read(t, write(t, sample.Document(), pdf.Options{Paper: explain.Letter}))
	if wide != 612 || high != 792 { // 8 1/2 x 11 in
		t.Errorf("the page is %v x %v", wide, high)
	}
}

func TestSameBytes(t *testing.T) {
	first := write(t, sample.Document(), pdf.Options{Title: "A shelf"})
	for range 5 {
		if !bytes.Equal(first, write(t, sample.Document(), pdf.Options{Title: "A shelf"})) {
			t.Fatal("another time, other bytes")
		}
	}
}

// Letters of names and figures stand as they are; one that no font here has stands
// as its number.
func TestLetters(t *testing.T) {
	d := &explain.Document{}
	d.Add(explain.Sentence("½ ⅛ ⅞ − – × ° Łucja Žofie Αθήνα Юлия €"), explain.Sentence("中\u200b"), explain.Sentence("e\u0301"), explain.Verbatim("\tin\x01"))
	words, _, _ := read(t, write(t, d, pdf.Options{}))
	for _, want := range []string{"½ ⅛ ⅞ − – × ° Łucja Žofie Αθήνα Юлия €", "<U+4E2D><U+200B>", "é", "    in<U+0001>"} {
		if !strings.Contains(text(words), want+"\n") {
			t.Errorf("no %q in\n%s", want, text(words))
		}
	}
}

// A long document loses nothing between its pages: all words are there, on the page
// and clear of its footer, each table has its header on each of its pages, and no
// heading is left behind at the foot of one.
func TestPages(t *testing.T) {
	d := &explain.Document{}
	table := explain.Table{Header: []string{"column", "figure", "words"}, Numeric: []bool{false, true}}
	long := strings.Repeat("many words ", 40)
	for i := range 60 {
		table.Rows = append(table.Rows, []string{fmt.Sprintf("row-%d-", i), strconv.Itoa(i), long[:(i%7)*50]})
	}
	d.Add(table)
	for i := range 30 {
		d.Add(explain.Heading(fmt.Sprintf("heading-%d-", i)), explain.Sentence(fmt.Sprintf("sentence-%d- %s", i, long)),
			explain.Steps{Items: []explain.Step{{Mark: "stop", Text: fmt.Sprintf("step-%d-", i), Lines: []string{long}}}}, sample.Scale(), sample.Shapes())
	}
	d.Add(explain.Sentence(strings.Repeat("x", 3000)), explain.Verbatim(strings.Repeat("y", 3000)), explain.Table{Rows: [][]string{{strings.Repeat("z ", 9000), "beside"}}})
	words, wide, high := read(t, write(t, d, pdf.Options{}))
	all := text(words)
	for i := range 60 {
		if !strings.Contains(all, fmt.Sprintf("row-%d-", i)) {
			t.Errorf("row %d is missing", i)
		}
	}
	for letter, n := range map[string]int{"x": 3000, "y": 3000, "z": 9000} {
		if got := strings.Count(strings.Join(strings.Fields(regexp.MustCompile(`(?m)^[^xyz]*$|.*[a-wA-W].*`).ReplaceAllString(all, "")), ""), letter); got != n {
			t.Errorf("%d of %d %s", got, n, letter)
		}
	}
	pages := words[len(words)-1].page
	for p := 1; p <= pages; p++ {
		if footer := fmt.Sprintf("page %d of %d\n", p, pages); !strings.Contains(all, footer) {
			t.Errorf("no footer %s", footer)
		}
	}
	for i, w := range words {
		const margin = 36 // half an inch, which household printers reach
		if w.x < margin-0.1 || w.x > wide-margin || w.y < margin || w.y > high-margin && !strings.HasPrefix(w.text, "page ") {
			t.Errorf("%+v lies outside the margins", w)
		}
		if strings.HasPrefix(w.text, "heading-") && words[i+1].page != w.page {
			t.Errorf("%s is left behind", w.text)
		}
		if strings.HasPrefix(w.text, "row-") && i > 0 && words[i-1].page < w.page {
			t.Errorf("%s begins a page without its header", w.text)
		}
	}
}

// Wherever two columns begin on a page, the picture, what is below it, the steps beside it and the line below both are on
// one page, and both columns begin at one height.
func TestColumnsStayTogether(t *testing.T) {
	for above := range 45 {
		d := &explain.Document{}
		for i := range above {
			d.Add(explain.Sentence(fmt.Sprintf("above %d", i)))
		}
		picture := sample.Shapes()
		picture.Title = "the-picture"
		d.Add(explain.Beside{Left: []explain.Block{picture, explain.Sentence("what-is-below " + strings.Repeat("words ", 12))}, Right: []explain.Block{explain.Heading("the-steps"),
			explain.Steps{Items: []explain.Step{{Mark: explain.ToTick, Text: "one"}, {Mark: explain.ToTick, Text: "two"}}}}}, explain.Sentence("the-last"))
		words, _, _ := read(t, write(t, d, pdf.Options{}))
		at := map[string]word{}
		for _, w := range words {
			at[strings.Fields(w.text + " -")[0]] = w
		}
		first := at["the-picture"]
		for _, name := range []string{"what-is-below", "the-steps", "the-last"} {
			if at[name].page != first.page || at[name].y < first.y-5 {
				t.Errorf("%d lines above: %s is at %+v, and the picture at %+v", above, name, at[name], first)
			}
		}
		if math.Abs(at["the-steps"].y-first.y) > 5 {
			t.Errorf("%d lines above: the columns begin at %v and %v", above, first.y, at["the-steps"].y)
		}
	}
}

func TestMarkupIsText(t *testing.T) {
	words, _, _ := read(t, write(t, sample.Hostile(sample.Markup), pdf.Options{Title: sample.Markup}))
	bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
	if n := strings.Count(bare(text(words)), bare(sample.Markup)); n < 10 {
		t.Errorf("the text stands there %d times", n)
	}
}

func TestRefused(t *testing.T) {
	for _, b := range []explain.Block{nil, explain.Shapes{}} {
		var out bytes.Buffer
		if err := pdf.Write(&out, &explain.Document{Blocks: []explain.Block{b}}, pdf.Options{}); err == nil || out.Len() > 0 {
			t.Errorf("%v: %v, %d bytes", b, err, out.Len())
		}
	}
	if err := pdf.Write(io.Discard, &explain.Document{}, pdf.Options{Paper: "A99"}); err == nil {
		t.Error("a paper that there is not was printed on")
	}
}
