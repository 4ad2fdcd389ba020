package shape

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/engine/quantity"
)

// takes tells whether a shape's pattern lets a text through.
func (s Shape) takes(text string) bool {
	return slices.Contains(s.types, "string") && regexp.MustCompile(s.pattern).MatchString(text)
}

// readings are the shapes of quantities, with what reads them.
var readings = []struct {
	name  string
	shape Shape
	read  func(string) error
}{
	{"length", Length(), readLength},
	{"length with its unit", LengthWithUnit(), readLength},
	{"cell", Cell(), func(s string) error {
		if strings.TrimSpace(s) == "-" {
			return nil
		}
		r, err := quantity.ParseRange(s, quantity.In)
		if err == nil && !(r.HasLow && r.HasHigh) {
			err = strconv.ErrRange
		}
		return err
	}},
	{"percentage", Percent(), readPercent},
	{"range of percentages", PercentRange(), readPercents},
	{"ease", EaseRange(), func(s string) error {
		if quantity.IsPercent(s) {
			return readPercents(s)
		}
		_, err := quantity.ParseRange(s, quantity.Cm)
		return err
	}},
	{"amount", Amount(true), readAmount},
	{"amount with its unit", Amount(false), readAmount},
	{"limit", Limit(), func(s string) error {
		if n, err := strconv.ParseFloat(s, 64); err == nil && n-n == 0 {
			return nil
		}
		return readAmount(s)
	}},
	{"number", Number(), func(s string) error {
		n, err := strconv.ParseFloat(s, 64)
		if err == nil && !(n > 0 && n <= 100) {
			err = strconv.ErrRange
		}
		return err
	}},
	{"units", Units().either[1], func(s string) error {
		_, err := quantity.ParseUnit(s)
		return err
	}},
}

func readLength(s string) error {
	_, err := quantity.ParseLength(s, quantity.Cm)
	return err
}

func readPercent(s string) error {
	_, err := quantity.ParsePercent(s)
	return err
}

func readPercents(s string) error {
	_, err := quantity.ParsePercentRange(s)
	return err
}

func readAmount(s string) error {
	if quantity.IsPercent(s) {
		return readPercent(s)
	}
	return readLength(s)
}

// parts of quantities, and what might be taken for them, in the order in which
// they stand.
var parts = [][]string{
	{"", "", " ", "\u00a0", "\u2028", "..", "… "},
	{"", "", "-", "−", "–", "+"},
	{"5", "38", "38", "1/2", "38 1/2", "38-3/4", "38\t1/2", "38‑1⁄2", "38½", "¾", "⅓", ".5", "2.25", "97,8", "1e1", "0x1p4", "NaN", "000", "100001.5"},
	{"", "", " ", "\u2009", "\u0085", "\n"},
	{"", "", "cm", "cm", "in", "mm", "m", "ft", "'", "′", "\"", "”", "%", "%", "inches", "kg", "x"},
}

// quantities are made of one or two rounds of parts.
func quantities(t *rapid.T) string {
	var text strings.Builder
	between := rapid.SampledFrom([]string{"", "", " ", "..", " .. ", "…", "-", " – "})
	for range rapid.IntRange(1, 2).Draw(t, "rounds") {
		if text.Len() > 0 {
			text.WriteString(between.Draw(t, "between"))
		}
		for _, p := range parts {
			text.WriteString(rapid.SampledFrom(p).Draw(t, "part"))
		}
	}
	return text.String() + rapid.SampledFrom([]string{"", "", " ", "..", " …", "\u3000"}).Draw(t, "end")
}

// What reads a quantity takes no text that its pattern refuses.
func TestPatternsTakeWhatIsRead(t *testing.T) {
	for _, r := range readings {
		t.Run(r.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				if text := quantities(t); r.read(text) == nil && !r.shape.takes(text) {
					t.Fatalf("%q is read, but does not match %s", text, r.shape.pattern)
				}
			})
		})
	}
}

// What is written in any of the usual ways is taken, and what is usually
// mistyped is not.
func TestPatterns(t *testing.T) {
	tests := []struct {
		name         string
		shape        Shape
		right, wrong []string
	}{
		{"length", Length(), []string{"98 cm", "98cm", "980 mm", "1.2 m", ".5 in", "98,5 cm", "38 1/2 in", "38-1/2 in", `38½"`, `5' 6"`, "5 ft 6 1/2 in", "38", "-2 cm", "−2 cm", "98\u00a0cm", "98\u2009cm", "98\u0085cm"},
			[]string{"", "98,5,2 cm", "about 98", "75 kg", "112 %", "38 inches", "38 1", `14"1/2`, "26-27", "26 .. 27", "4 in ..", "29.5.1", "5' 6", "NaN", "+3 cm"}},
		{"readings", Readings(), []string{"98", "98 98.5 cm", "98; 98,5", "98, 99"}, []string{"", "98,5,2", "about 98", "; 98"}},
		{"length with its unit", LengthWithUnit(), []string{"2 cm"}, []string{"2 %"}},
		{"cell", Cell(), []string{"36", "26-27", "26 .. 27 in", "26 1/2 - 27", "38-1/2", "-", "—", "~"}, []string{"38 ..", "n/a", "?", "--", "12 %", "97,8,2"}},
		{"percentage", Percent(), []string{"25 %", "97.5%", "-8 %"}, []string{"25", "4 in", "1/2 %", "1 %%"}},
		{"range of percentages", PercentRange(), []string{"90 % .. 97 %", "90 .. 97 %", "90-97 %", "-10 % .. -2 %", "4 % ..", ".. 4 %", "5 %"}, []string{"90 .. 97", "90 % .. 97", "2 in .. 6 %"}},
		{"ease", EaseRange(), []string{"3 in .. 10 in", "3 .. 10 in", "4 in ..", ".. 3 cm", "-10 % .. -2 %", "4 in"}, []string{"2 in .. 6 %", "wide", ".."}},
		{"limit", Limit(), []string{"2 in", "10 %", "3", "-1e3"}, []string{"10 per cent", "NaN", "1 %%"}},
		{"number", Number(), []string{"2", "0.5", "1e1"}, []string{"NaN", "two", "2 cm"}},
		{"whole number", Whole(), []string{"0", "12"}, []string{"2.5", "-1", "two"}},
		{"age", NumberWith("years?|months?"), []string{"6", "6 years", "18 months", "1.5"}, []string{"six", "6 weeks"}},
		{"date", Date(), []string{"2026-11-02"}, []string{"2 November", "2026-11", "tomorrow"}},
		{"name", Name(), []string{"Wren", " x"}, []string{"", " \u00a0\t"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, text := range tt.right {
				if !tt.shape.takes(text) {
					t.Errorf("%q is refused", text)
				}
			}
			for _, text := range tt.wrong {
				if tt.shape.takes(text) {
					t.Errorf("%q is taken", text)
				}
			}
		})
	}
}
