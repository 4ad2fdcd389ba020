package recipes_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/recipes"
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
