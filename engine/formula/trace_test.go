package formula

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// shown writes parts as lines, indented by depth.
func shown(parts []Part) []string {
	var out []string
	for _, p := range parts {
		value := fmt.Sprint(p.Value)
		if !p.Reached {
			value = "not reached"
		}
		out = append(out, fmt.Sprintf("%s%s = %s", strings.Repeat("  ", p.Depth), p.Text, value))
	}
	return out
}

func TestTrace(t *testing.T) {
	tests := []struct {
		src   string
		value any
		parts []string
	}{
		{"true", true, nil},
		{"cloth.washed", true, []string{"cloth.washed = true"}},
		{"body.hip > 100", true, []string{
			"body.hip > 100 = true",
			"  body.hip = 112.4"}},
		{"body.hip < 100 and body.waist < 100", false, []string{
			"body.hip < 100 and body.waist < 100 = false",
			"  body.hip < 100 = false",
			"    body.hip = 112.4",
			"  body.waist < 100 = not reached",
			"    body.waist = not reached"}},
		{"body.hip > 100 or (body.waist < 100)", true, []string{
			"body.hip > 100 or (body.waist < 100) = true",
			"  body.hip > 100 = true",
			"    body.hip = 112.4",
			"  body.waist < 100 = not reached",
			"    body.waist = not reached"}},
		{"known(body.upper_bust) and body.upper_bust > 1", false, []string{
			"known(body.upper_bust) and body.upper_bust > 1 = false",
			"  known(body.upper_bust) = false",
			"  body.upper_bust > 1 = not reached",
			"    body.upper_bust = not reached"}},
		{"cloth.washed ? size.name : 'none'", "12", []string{
			"cloth.washed ? size.name : 'none' = 12",
			"  cloth.washed = true",
			"  size.name = 12"}},
		{"(2 * (size.index + 1)) / -size.index", -8. / 3, []string{
			"(2 * (size.index + 1)) / -size.index = -2.6666666666666665",
			"  2 * (size.index + 1) = 8",
			"    size.index + 1 = 4",
			"      size.index = 3",
			"  -size.index = -3",
			"    size.index = 3"}},
		{"max( cm(5), inch((2)), limit.least - 1 )", 5.08, []string{
			"max( cm(5), inch((2)), limit.least - 1 ) = 5.08",
			"  cm(5) = 5",
			"  inch((2)) = 5.08",
			"  limit.least - 1 = 4.08",
			"    limit.least = 5.08"}},
		{"not (cloth.structure not in ['knit']) != known(limit.least)", false, []string{
			"not (cloth.structure not in ['knit']) != known(limit.least) = false",
			"  not (cloth.structure not in ['knit']) = true",
			"    cloth.structure not in ['knit'] = false",
			"      cloth.structure = knit",
			"  known(limit.least) = true"}},
		{"between(size.index, -1, abs(3))", true, []string{
			"between(size.index, -1, abs(3)) = true",
			"  size.index = 3",
			"  abs(3) = 3"}},
	}
	for _, tt := range tests {
		t.Run(tt.src, func(t *testing.T) {
			f, r := compile(tt.src, testSchema(), false)
			if err := r.problems.err(); err != nil {
				t.Fatal(err)
			}
			value, parts, err := f.Trace(wren())
			if value != tt.value || err != nil {
				t.Errorf("got %v, %v; want %v", value, err, tt.value)
			}
			if diff := cmp.Diff(tt.parts, shown(parts)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTraceOfAFailure(t *testing.T) {
	f, err := Compile("size.index > 1 and 5 / (size.index - 3) > 1 and body.hip > 1", testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	_, parts, err := f.Trace(wren())
	if err == nil {
		t.Fatal("no error")
	}
	want := []string{
		"size.index > 1 and 5 / (size.index - 3) > 1 and body.hip > 1 = not reached",
		"  size.index > 1 and 5 / (size.index - 3) > 1 = not reached",
		"    size.index > 1 = true",
		"      size.index = 3",
		"    5 / (size.index - 3) > 1 = not reached",
		"      5 / (size.index - 3) = not reached",
		"        size.index - 3 = 0",
		"          size.index = 3",
		"  body.hip > 1 = not reached",
		"    body.hip = not reached"}
	if diff := cmp.Diff(want, shown(parts)); diff != "" {
		t.Error(diff)
	}
}

func TestTraceAfterWideCharacters(t *testing.T) {
	const src = "size.name != '½ 寸' and size.index == 3"
	f, err := Compile(src, testSchema(), Bool)
	if err != nil {
		t.Fatal(err)
	}
	_, parts, err := f.Trace(wren())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		if got := string([]rune(src)[p.From:p.To]); got != p.Text {
			t.Errorf("%d..%d is %q, not %q", p.From, p.To, got, p.Text)
		}
	}
	if got := parts[len(parts)-1].Text; got != "size.index" {
		t.Errorf("the last part is %q", got)
	}
}
