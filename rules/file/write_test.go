package file_test

import (
	"fmt"
	"testing"

	"fitadvisor/rules/file"
)

func ExampleWriter() {
	w := &file.Writer{}
	w.Text("kind", "pattern")
	w.Text("maker", "") // nothing to say, no line
	w.List("sizes", []string{"8", "10, long", ""})
	w.Below("drafted_for", func() {
		w.Text("height", "168 cm")
		w.Pairs("stretch") // nothing below it, no line either
	})
	w.Below("cloth_needed", func() {
		w.Item(func() { w.Text("width", "140 cm"); w.Text("nap", "true") })
		w.Item(func() { w.Text("width", `45"`) })
	})
	text, err := w.Bytes()
	fmt.Print(string(text), err)
	// Output:
	// kind: pattern
	// sizes: [8, '10, long', ~]
	// drafted_for:
	//   height: 168 cm
	// cloth_needed:
	//   - width: 140 cm
	//     nap: true
	//   - width: 45"
	// <nil>
}

func TestWriterSaysWhatNoFileHolds(t *testing.T) {
	w := &file.Writer{}
	w.Text("name", "Reed\xffskirt")
	if _, err := w.Bytes(); err == nil {
		t.Error("a text that is no UTF-8 was written")
	}
}
