package html_test

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	net "golang.org/x/net/html"

	"fitadvisor/explain"
	"fitadvisor/explain/html"
	"fitadvisor/explain/internal/golden"
	"fitadvisor/explain/internal/sample"
)

func page(t testing.TB, d *explain.Document, o html.Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := html.Page(&out, d, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestPage(t *testing.T) {
	golden.Compare(t, "sample.html", []byte(page(t, sample.Document(), html.Options{Title: "A shelf", Paper: explain.Letter})))
}

// A fragment is the same between the page's head and its end.
func TestFragment(t *testing.T) {
	var out bytes.Buffer
	if err := html.Fragment(&out, sample.Document()); err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(page(t, sample.Document(), html.Options{}), "<main>\n")
	if diff := cmp.Diff(strings.TrimSuffix(rest, "</main>\n</body>\n</html>\n"), out.String()); diff != "" {
		t.Error(diff)
	}
}

func TestNeedsNothingElse(t *testing.T) {
	p := page(t, sample.Document(), html.Options{Title: "A shelf"})
	for _, outside := range []string{"url(", "@import", "src=", "href=", "<link", "<script"} {
		if strings.Contains(p, outside) {
			t.Errorf("the page has %s", outside)
		}
	}
}

// elements of pages that are written here, and their attributes.
var elements = map[string]string{
	"html": "lang", "head": "", "meta": "charset name content", "title": "", "style": "", "body": "", "main": "", "h1": "", "h2": "class", "p": "class", "b": "", "label": "", "input": "type", "span": "", "pre": "", "code": "",
	"div": "class tabindex", "table": "", "thead": "", "tbody": "", "tr": "", "th": "scope class", "td": "class", "ol": "", "ul": "class", "li": "value", "strong": "", "br": "",
	"small": "", "details": "open", "summary": "", "cite": "", "figure": "", "figcaption": "", "svg": "xmlns class role width height viewbox font-family", "desc": "",
	"path": "class fill stroke stroke-width stroke-linejoin stroke-dasharray d", "text": "class x y font-size fill font-weight text-anchor",
}

// check reads a page as a browser does and returns its text.
func check(t *testing.T, page string) string {
	t.Helper()
	root, err := net.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for n := range root.Descendants() {
		switch n.Type {
		case net.TextNode:
			if n.Parent.Data != "style" {
				text.WriteString(n.Data)
			}
		case net.CommentNode:
			t.Errorf("a comment %q", n.Data)
		case net.ElementNode:
			allowed, known := elements[n.Data]
			if !known {
				t.Errorf("an element %s", n.Data)
			}
			for _, a := range n.Attr {
				if !strings.Contains(" "+allowed+" ", " "+strings.ToLower(a.Key)+" ") {
					t.Errorf("an attribute %s of %s", a.Key, n.Data)
				}
			}
		}
	}
	return text.String()
}

func TestMarkupIsText(t *testing.T) {
	got := check(t, page(t, sample.Hostile(sample.Markup), html.Options{Title: sample.Markup}))
	if n := strings.Count(got, sample.Markup); n < 20 {
		t.Errorf("the text stands there %d times", n)
	}
}

// A numbered list keeps its numbers; a list with a word among them has its marks in
// words.
func TestSteps(t *testing.T) {
	for _, tt := range []struct{ marks, want string }{
		{"3. 4.", "<ol>\n<li value=\"3\">do</li>\n<li value=\"4\">do</li>\n</ol>\n"},
		{"1. stop", "<ul>\n<li><strong>1.</strong> do</li>\n<li><strong>stop</strong> do</li>\n</ul>\n"},
		{"-", "<ul>\n<li>do</li>\n</ul>\n"},
	} {
		d, s := &explain.Document{}, explain.Steps{}
		for mark := range strings.FieldsSeq(tt.marks) {
			s.Items = append(s.Items, explain.Step{Mark: mark, Text: "do"})
		}
		d.Add(s)
		var out bytes.Buffer
		if err := html.Fragment(&out, d); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff("<div class=\"document\">\n"+tt.want+"</div>\n", out.String()); diff != "" {
			t.Error(diff)
		}
	}
}

func TestRefused(t *testing.T) {
	d := &explain.Document{}
	d.Add(explain.Shapes{})
	if err := html.Page(io.Discard, d, html.Options{}); err == nil {
		t.Error("a drawing without a box was shown")
	}
	if err := html.Page(io.Discard, &explain.Document{}, html.Options{Paper: "A99"}); err == nil {
		t.Error("a paper that there is not was printed on")
	}
	if err := html.Fragment(io.Discard, &explain.Document{Blocks: []explain.Block{nil}}); err == nil {
		t.Error("no block was shown")
	}
}

func FuzzWrite(f *testing.F) {
	f.Add(sample.Markup)
	f.Add("\x00\x1b\ufffe\xff`<b>`")
	f.Fuzz(func(t *testing.T, text string) {
		check(t, page(t, sample.Hostile(text), html.Options{Title: text}))
	})
}
