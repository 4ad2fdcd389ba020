package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"fitadvisor/explain/diag"
)

// JSON writes an answer, or another value with tags, as JSON; the same value gives the same bytes everywhere. It fails only
// where a value cannot be written as JSON.
func JSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return []byte(jsonVisible(b.String())), nil
}

// jsonVisible writes odd characters as JSON's escapes; they stand within texts alone, and none needs more than one.
func jsonVisible(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r != '\n' && diag.Odd(r) {
			fmt.Fprintf(&b, "\\u%04x", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}
