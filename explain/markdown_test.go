package explain_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain"
)

func TestMarkdown(t *testing.T) {
	const page = "# A title\n\nA sentence\nover `two` lines.\n# Wrong\n```yaml\n# a comment\n\n  kind: x\n```\n<!-- for writers -->\nThe\r\n#hash stays.\n"
	want := []explain.Block{
		explain.Heading("A title"), explain.Sentence("A sentence over `two` lines."),
		explain.Heading("Wrong"), explain.Verbatim("# a comment\n\n  kind: x"), explain.Sentence("The #hash stays."),
	}
	if diff := cmp.Diff(want, explain.Markdown(page).Blocks); diff != "" {
		t.Error(diff)
	}
}
