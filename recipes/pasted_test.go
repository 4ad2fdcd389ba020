package recipes_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/recipes"
	"fitadvisor/rules/data"
)

// A row is read however it is typed: with a colon or without, apart by tabs, semicolons, commas or spaces; a whole figure
// and a fraction are one, and a comma within a figure is a decimal one.
func TestRowOf(t *testing.T) {
	for _, tt := range []struct{ line, want string }{
		{"hip: 90, 94, 98", "hip|90|94|98"},
		{"hip: 36, 37", "hip|36|37"},
		{"hip, 90, 94, 98", "hip|90|94|98"},
		{"hip 90, 94, 98", "hip|90|94|98"},
		{"upper arm: 12 1/4, 12 1/2, 13", "upper arm|12 1/4|12 1/2|13"},
		{"upper arm 12 1/4 12 1/2 13", "upper arm|12 1/4|12 1/2|13"},
		{"hip\t90,5\t94,5\t98,5", "hip|90,5|94,5|98,5"},
		{"hip: 90,5; 94,5; 98,5", "hip|90,5|94,5|98,5"},
		{"hip: 90,5 94,5 98,5", "hip|90,5|94,5|98,5"},
		{"hip  90  94  98", "hip|90|94|98"},
		{"hip: 36-37, 38-39, 40-41", "hip|36-37|38-39|40-41"},
		{"hip:36,37,38", "hip|36|37|38"},
		{"hip: 98,5; 102,5", "hip|98,5|102,5"},
		{"full hip\t36\t37 1/2\t~", "full hip|36|37 1/2|~"},
		{"hip;98,5;102", "hip|98,5|102"},
		{"hip,36,37,", "hip|36|37"},
		{"full hip  36  37 1/2", "full hip|36|37 1/2"},
		{"hip", "hip"},
		{"", ""},
	} {
		if diff := cmp.Diff(tt.want, strings.Join(recipes.RowOf(tt.line), "|")); diff != "" {
			t.Errorf("%q: %s", tt.line, diff)
		}
	}
}

// FuzzTidied makes a table of whatever is pasted: its lines are as long as the first, and no word in it is made up.
func FuzzTidied(f *testing.F) {
	for _, text := range []string{
		"size\tS\tM\nhip\t90\t94", "Body measurements in cm\n\n;36;38\nBust;83,5;87,5\n", "8 10 12\nhip 36 37 1/2 38\n", "size,hip (in)\nS,36\nM,\"38\n", "hip: 36, 37\nwaist: 28",
	} {
		f.Add(text)
	}
	voc, err := data.Vocabulary()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		table, _ := recipes.Tidied(text, voc)
		for _, row := range table {
			if len(table) > 1 && len(row) < len(table[0]) {
				t.Errorf("%q is shorter than %q", row, table[0])
			}
		}
		for line := range strings.Lines(text) {
			for _, cell := range recipes.RowOf(line) {
				for word := range strings.FieldsSeq(cell) {
					if bare := strings.NewReplacer(`"`, ""); !strings.Contains(bare.Replace(line), bare.Replace(word)) {
						t.Errorf("%q is not in %q", word, line)
					}
				}
			}
		}
	})
}
