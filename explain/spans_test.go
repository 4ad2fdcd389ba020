package explain_test

import (
	"testing"

	"fitadvisor/explain"
)

func TestQuoted(t *testing.T) {
	for text, want := range map[string]string{"write it under `drafted_for:`": "write it under “drafted for”", "as it is": "as it is", "one ` alone": "one ` alone"} {
		if got := explain.Quoted(text); got != want {
			t.Errorf("%q: %q", text, got)
		}
	}
}
