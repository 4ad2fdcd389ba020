package report

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"fitadvisor/engine"
)

// vocabularyOf reads testdata/schema_org.txt: the words by their kind.
func vocabularyOf(t *testing.T) map[string]map[string]bool {
	t.Helper()
	text, err := os.ReadFile("testdata/schema_org.txt")
	if err != nil {
		t.Fatal(err)
	}
	words := map[string]map[string]bool{}
	for line := range strings.Lines(string(text)) {
		kind, word, ok := strings.Cut(strings.TrimSpace(line), " ")
		if !ok || kind == "#" {
			continue
		}
		if words[kind] == nil {
			words[kind] = map[string]bool{}
		}
		words[kind][word] = true
	}
	return words
}

// A chart is published in words that schema.org has: its types, its properties, and
// the members of its enumerations, each in its place.
func TestLinkedWords(t *testing.T) {
	words := vocabularyOf(t)
	ten, twelve := 10.0, 12.0
	rows := []engine.StepRow{}
	for of, types := range map[engine.Part]map[string]string{engine.OfBody: bodyTypes, engine.OfFinished: wearableTypes} {
		for row := range types {
			rows = append(rows, engine.StepRow{Of: of, Row: row, Cells: []engine.StepCell{{Low: &ten, High: &twelve}}})
		}
	}
	rows = append(rows, engine.StepRow{Of: engine.OfBody, Row: "thigh", Cells: []engine.StepCell{{Low: &ten, High: &ten}}})
	a := &engine.Soundness{Pattern: "Quayside skirt", Maker: "Tern Lane", Sizes: []string{"8"}, Rows: rows,
		Shown: &engine.ChartShown{Title: func(m string) string { return m }}}
	text, err := json.Marshal(Linked(a))
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	referred := 0
	var visit func(in string, v any)
	visit = func(in string, v any) {
		switch v := v.(type) {
		case []any:
			for _, item := range v {
				visit(in, item)
			}
		case map[string]any:
			for key, value := range v {
				switch {
				case key == "@context" && value == "https://schema.org":
				case key == "@type":
					if !words["type"][value.(string)] {
						t.Errorf("no type %v", value)
					}
				case !words["property"][key]:
					t.Errorf("no property %s", key)
				case key == "valueReference":
					referred++
					kind := map[string]string{"suggestedMeasurement": "body", "hasMeasurement": "wearable"}[in]
					if word, ok := strings.CutPrefix(value.(string), "https://schema.org/"); !ok || !words[kind][word] {
						t.Errorf("no word %v of a %s", value, kind)
					}
				default:
					visit(key, value)
				}
			}
		}
	}
	visit("", tree)
	if want := len(bodyTypes) + len(wearableTypes); referred != want {
		t.Errorf("%d measurements have a word of the vocabulary, want %d", referred, want)
	}
}
