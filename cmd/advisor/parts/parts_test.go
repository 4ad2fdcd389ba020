package parts

import (
	"testing"

	"fitadvisor/explain"
)

// Only markup is written as it is; a text is escaped wherever it stands, and an element of nothing is none.
func TestWriter(t *testing.T) {
	var w Writer
	w.Put(HTML(`<p title="`), `"><script>`, HTML(`">`), "a & b", HTML("</p>"))
	w.In(`<ul class="x">`, HTML("<li>"), "<b>", HTML("</li>"))
	w.In("<p>", "", HTML(""))
	const want = `<p title="&#34;&gt;&lt;script&gt;">a &amp; b</p><ul class="x"><li>&lt;b&gt;</li></ul>` + "\n"
	if got := string(w.HTML()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestFragment(t *testing.T) {
	got, err := Fragment(explain.Sentence("Cut `hip:` <18>"))
	if err != nil || Quoted(got) != "<div class=\"document\">\n<p>Cut “hip” &lt;18&gt;</p>\n</div>\n" {
		t.Errorf("got %v, %q", err, Quoted(got))
	}
	if got, err := Fragment(); err != nil || got != "" {
		t.Errorf("of nothing: %v, %q", err, got)
	}
}
