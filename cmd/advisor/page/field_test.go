package page

import "testing"

// What is typed into the field of a measurement stands in the file as one reading, several, or those of both sides.
func TestReadingsTyped(t *testing.T) {
	f := field{list: true}
	for typed, want := range map[string]string{
		"98,75":                            `'98,75'`,
		"98 98,5":                          `'98 98,5'`,
		"98; 98.5":                         `98; 98.5`,
		"38 1/2":                           `38 1/2`,
		"left 12, right 12 1/4":            `{left: 12, right: 12 1/4}`,
		"Left 30,5 30.8; right 31":         `{left: '30,5 30.8', right: 31}`,
		"left 12 right 12 1/4; 12 1/2":     `{left: 12, right: 12 1/4; 12 1/2}`,
		"as on the left of the front edge": `as on the left of the front edge`,
	} {
		if got, err := f.written(typed); err != nil || got != want {
			t.Errorf("%q: got %s, %v; want %s", typed, got, err, want)
		}
	}
}
