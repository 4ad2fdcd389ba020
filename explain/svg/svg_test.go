package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"fitadvisor/explain"
	"fitadvisor/explain/internal/golden"
	"fitadvisor/explain/internal/sample"
	"fitadvisor/explain/svg"
)

func pictures(of *explain.Document) *explain.Document {
	d := &explain.Document{}
	for _, b := range of.Blocks {
		switch b.(type) {
		case explain.Heading, explain.Sentence, explain.Scale, explain.Shapes:
			d.Add(b)
		}
	}
	return d
}

func TestWrite(t *testing.T) {
	var out bytes.Buffer
	if err := svg.Write(&out, pictures(sample.Document()), svg.Options{}); err != nil {
		t.Fatal(err)
	}
	golden.Compare(t, "sample.svg", out.Bytes())
}

func TestRefused(t *testing.T) {
	for name, tt := range map[string]struct {
		block explain.Block
		want  string
	}{
		"a table":        {explain.Table{}, "svg: no way to show a explain.Table"},
		"no picture":     {explain.Sentence("words"), "svg: the document has no picture"},
		"a drawing of 0": {explain.Shapes{}, "svg: a drawing needs a box that is wider or higher than nothing"},
	} {
		d := &explain.Document{}
		d.Add(tt.block)
		var out bytes.Buffer
		if err := svg.Write(&out, d, svg.Options{}); err == nil || err.Error() != tt.want || out.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, out.Len())
		}
	}
	if err := svg.Inline(io.Discard, explain.Tree{}, 100); err == nil {
		t.Error("a tree was drawn")
	}
}

// check reads an SVG and returns its text; only what pictures are made of may be in it.
func check(t *testing.T, drawn []byte) string {
	t.Helper()
	var text strings.Builder
	d := xml.NewDecoder(bytes.NewReader(drawn))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, drawn)
		}
		switch x := token.(type) {
		case xml.StartElement:
			if !strings.Contains(" svg title desc g rect path text ", " "+x.Name.Local+" ") {
				t.Errorf("an element %s", x.Name.Local)
			}
			for _, a := range x.Attr {
				if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "href" || a.Name.Local == "style" {
					t.Errorf("an attribute %s", a.Name.Local)
				}
			}
		case xml.CharData:
			text.Write(x)
		}
	}
}

func TestMarkupIsText(t *testing.T) {
	var out bytes.Buffer
	if err := svg.Write(&out, pictures(sample.Hostile(sample.Markup)), svg.Options{}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(check(t, out.Bytes()), sample.Markup); n < 8 {
		t.Errorf("the text stands there %d times", n)
	}
}

func FuzzWrite(f *testing.F) {
	f.Add(sample.Markup)
	f.Add("\x00\x1b\ufffe\xff")
	f.Fuzz(func(t *testing.T, text string) {
		var out bytes.Buffer
		if err := svg.Write(&out, pictures(sample.Hostile(text)), svg.Options{Title: text}); err != nil {
			t.Fatal(err)
		}
		check(t, out.Bytes())
	})
}
