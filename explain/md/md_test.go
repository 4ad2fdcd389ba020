package md_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain"
	"fitadvisor/explain/internal/golden"
	"fitadvisor/explain/internal/sample"
	"fitadvisor/explain/md"
)

func write(t *testing.T, d *explain.Document, o md.Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := md.Write(&out, d, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestWrite(t *testing.T) {
	golden.Compare(t, "sample.md", []byte(write(t, sample.Document(), md.Options{Title: "A shelf"})))
}

// What Markdown would read as a mark is led by a backslash (CommonMark 0.31.2,
// section 2.4: any ASCII punctuation may be), and code keeps what it has.
func TestInline(t *testing.T) {
	for text, want := range map[string]string{
		"*a* _b_ [c](d) <e> &amp; \\": `\*a\* \_b\_ \[c\](d) \<e\> \&amp; \\`,
		"1. a":                        `1\. a`,
		"2) a":                        `2\) a`,
		"# a":                         `\# a`,
		"- a - b":                     `\- a - b`,
		"run `a *b*` now":             "run `a *b*` now",
		"a ` b":                       "a \\` b",
		"two\nlines":                  "two lines",
		"== a":                        `\== a`,
		"---":                         `\---`,
		"81.3":                        "81.3",
		"-1/4":                        "-1/4",
		"1/2 - a":                     "1/2 - a",
	} {
		d := &explain.Document{}
		d.Add(explain.Sentence(text))
		if diff := cmp.Diff(want+"\n", write(t, d, md.Options{})); diff != "" {
			t.Errorf("%q: %s", text, diff)
		}
	}
}

func TestTable(t *testing.T) {
	d := &explain.Document{}
	d.Add(explain.Table{Header: []string{"", "n"}, Numeric: []bool{false, true}, Rows: [][]string{{`a|b\|`, "1", "more"}, {"`c|d`"}}})
	const want = "|  | n |  |\n| --- | --: | --- |\n| a\\|b\\\\\\| | 1 | more |\n| `c\\|d` |  |  |\n"
	if diff := cmp.Diff(want, write(t, d, md.Options{})); diff != "" {
		t.Error(diff)
	}
}

func TestFence(t *testing.T) {
	d := &explain.Document{}
	d.Add(explain.Verbatim("```\na\n```\n"))
	if diff := cmp.Diff("````\n```\na\n```\n````\n", write(t, d, md.Options{})); diff != "" {
		t.Error(diff)
	}
}

// No markup of a text is left bare outside code.
func TestMarkupIsText(t *testing.T) {
	got := write(t, sample.Hostile(sample.Markup), md.Options{Title: sample.Markup})
	inFence := false
	for line := range strings.Lines(got) {
		if strings.HasPrefix(line, "```") {
			inFence = !inFence
		}
		if bare := strings.ReplaceAll(line, `\<`, ""); !inFence && strings.Contains(bare, "<") {
			t.Errorf("markup in %s", line)
		}
	}
}
