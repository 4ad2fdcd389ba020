package quantity_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"fitadvisor/engine/quantity"
)

const (
	mm = quantity.Millimetre
	cm = quantity.Centimetre
	in = quantity.Inch
)

func TestParseLength(t *testing.T) {
	tests := []struct {
		text string
		bare quantity.Unit
		want quantity.Length
	}{
		{"98 cm", "", 98 * cm},
		{"98cm", "", 98 * cm},
		{"980 mm", "", 98 * cm},
		{"1.2 m", "", 120 * cm},
		{"0.4 mm", "", 400_000},
		{".5 in", "", in / 2},
		{"98,75", quantity.Cm, 98*cm + 75*cm/100},
		{"0,125 in", "", in / 8},
		{"112.395 cm", "", 1_123_950_000},
		{"98.0000000000000 cm", "", 98 * cm},
		{"0.0000001 cm", "", 1},
		{"0.000000001 m", "", 1},
		{"38 1/2 in", "", 38*in + in/2},
		{"38-1/2 in", "", 38*in + in/2},
		{"38–1/2 in", "", 38*in + in/2},
		{"38 1⁄2 in", "", 38*in + in/2},
		{"38½\"", "", 38*in + in/2},
		{"38 ½ in", "", 38*in + in/2},
		{"38-½ in", "", 38*in + in/2},
		{"38.5 in", "", 38*in + in/2},
		{"38\u00a01/2\u2009in", "", 38*in + in/2},
		{"63/64 in", "", in / 64 * 63},
		{"1¼ in", "", in + in/4},
		{"1¾ in", "", in + in/4*3},
		{"⅛ in", "", in / 8},
		{"⅜ in", "", in / 8 * 3},
		{"⅝ in", "", in / 8 * 5},
		{"⅞ in", "", in / 8 * 7},
		{"1/2 cm", "", 5 * mm},
		{"5' 6\"", "", 66 * in},
		{"5’ 6”", "", 66 * in},
		{"5′ 6″", "", 66 * in},
		{"5 ft 6 in", "", 66 * in},
		{"5'6 1/2\"", "", 66*in + in/2},
		{"-5' 6\"", "", -66 * in},
		{"5 1/2 ft", "", 66 * in},
		{"-2 cm", "", -2 * cm},
		{"−2 cm", "", -2 * cm},
		{"38", quantity.In, 38 * in},
		{"38½", quantity.In, 38*in + in/2},
		{"98.5", quantity.Cm, 98*cm + 5*mm},
		{"2 cm", quantity.In, 2 * cm},
		{"  0 cm ", "", 0},
		{"100 m", "", 100 * quantity.Metre},
		{"100000 mm", "", 100 * quantity.Metre},
	}
	for _, tt := range tests {
		got, err := quantity.ParseLength(tt.text, tt.bare)
		if err != nil || got != tt.want {
			t.Errorf("ParseLength(%q, %q) = %d, %v; want %d", tt.text, tt.bare, got, err, tt.want)
		}
	}
}

func TestParseRange(t *testing.T) {
	both := func(low, high quantity.Length) quantity.Range {
		return quantity.Range{Low: low, High: high, HasLow: true, HasHigh: true}
	}
	tests := []struct {
		text string
		bare quantity.Unit
		want quantity.Range
	}{
		{"26-27 in", "", both(26*in, 27*in)},
		{"26–27 in", "", both(26*in, 27*in)},
		{"26 .. 27", quantity.In, both(26*in, 27*in)},
		{"26..27", quantity.In, both(26*in, 27*in)},
		{"26 … 27", quantity.In, both(26*in, 27*in)},
		{"26-27 1/2", quantity.In, both(26*in, 27*in+in/2)},
		{"26-27-1/2", quantity.In, both(26*in, 27*in+in/2)},
		{"26 1/2 - 27", quantity.In, both(26*in+in/2, 27*in)},
		{"26-1/2-27", quantity.In, both(26*in+in/2, 27*in)},
		{"1/2-3/4 in", "", both(in/2, in/4*3)},
		{"½-¾ in", "", both(in/2, in/4*3)},
		{"38-1/2", quantity.In, both(38*in+in/2, 38*in+in/2)},
		{"28 1/2", quantity.In, both(28*in+in/2, 28*in+in/2)},
		{"26 in - 70 cm", "", both(26*in, 70*cm)},
		{"5' - 5' 6\"", "", both(60*in, 66*in)},
		{"-2 cm .. -1 cm", "", both(-2*cm, -1*cm)},
		{"-2 .. 3 cm", "", both(-2*cm, 3*cm)},
		{"4 in ..", "", quantity.Range{Low: 4 * in, HasLow: true}},
		{"4 ..", quantity.In, quantity.Range{Low: 4 * in, HasLow: true}},
		{".. 3 cm", "", quantity.Range{High: 3 * cm, HasHigh: true}},
		{"..3 cm", "", quantity.Range{High: 3 * cm, HasHigh: true}},
	}
	for _, tt := range tests {
		got, err := quantity.ParseRange(tt.text, tt.bare)
		if err != nil || got != tt.want {
			t.Errorf("ParseRange(%q, %q) = %v, %v; want %v", tt.text, tt.bare, got, err, tt.want)
		}
	}
}

func TestParsePercent(t *testing.T) {
	for text, want := range map[string]float64{
		"25 %": 25, "25%": 25, "97.5%": 97.5, "-8 %": -8, "−8.25 %": -8.25, "0.1 %": 0.1, "0 %": 0, "1000 %": 1000,
	} {
		if got, err := quantity.ParsePercent(text); err != nil || got != want {
			t.Errorf("ParsePercent(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	if got, err := quantity.ParsePercent("-0 %"); err != nil || math.Signbit(got) {
		t.Errorf("ParsePercent(-0 %%) = %v, %v; want 0 without a sign", got, err)
	}
}

func TestParsePercentRange(t *testing.T) {
	for text, want := range map[string]quantity.PercentRange{
		"90 % .. 97 %":  {Low: 90, High: 97, HasLow: true, HasHigh: true},
		"90 .. 97 %":    {Low: 90, High: 97, HasLow: true, HasHigh: true},
		"90-97%":        {Low: 90, High: 97, HasLow: true, HasHigh: true},
		"-10 % .. -2 %": {Low: -10, High: -2, HasLow: true, HasHigh: true},
		"25 %":          {Low: 25, High: 25, HasLow: true, HasHigh: true},
		"4 % ..":        {Low: 4, HasLow: true},
		".. -2 %":       {High: -2, HasHigh: true},
	} {
		if got, err := quantity.ParsePercentRange(text); err != nil || got != want {
			t.Errorf("ParsePercentRange(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
}

// Two readings are parted by a space or a semicolon; digit, comma, digit is one reading.
func TestReadings(t *testing.T) {
	for text, want := range map[string][]quantity.Length{
		"98,75":                 {98*cm + 75*cm/100},
		"98 98,5":               {98 * cm, 98*cm + 5*mm},
		"98; 98.5":              {98 * cm, 98*cm + 5*mm},
		"98,5;99":               {98*cm + 5*mm, 99 * cm},
		"98, 99 cm":             {98 * cm, 99 * cm},
		"29 1/2 29 3/4 in":      {29*in + in/2, 29*in + in/4*3},
		"29½ ¾ in":              {29*in + in/2, in / 4 * 3},
		"5' 6\"; 5' 7\"":        {66 * in, 67 * in},
		"98 cm 38 1/2 in  39in": {98 * cm, 38*in + in/2, 39 * in},
	} {
		found, err := quantity.ParseReadings(text, quantity.Cm)
		var got []quantity.Length
		for _, r := range found {
			got = append(got, r.Length)
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: got %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "98-99", "98 .. 99", "98,99,97", "98,125", "98;", "98 x", "1/2,5", "98cm99", "98 -2"} {
		if got, err := quantity.ParseReadings(text, quantity.Cm); err == nil {
			t.Errorf("%q: read as %v", text, got)
		}
	}
}

func TestIsPercent(t *testing.T) {
	for text, want := range map[string]bool{"25 %": true, "4 % ..": true, "3 in .. 10 in": false, "": false} {
		if got := quantity.IsPercent(text); got != want {
			t.Errorf("IsPercent(%q) = %v", text, got)
		}
	}
}

func TestParseUnit(t *testing.T) {
	for text, want := range map[string]quantity.Unit{"cm": quantity.Cm, " in ": quantity.In} {
		if got, err := quantity.ParseUnit(text); err != nil || got != want {
			t.Errorf("ParseUnit(%q) = %q, %v", text, got, err)
		}
	}
}

// TestErrors shows each refusal with the part of the text that is at fault between brackets.
func TestErrors(t *testing.T) {
	length := func(s string) error { _, err := quantity.ParseLength(s, quantity.In); return err }
	bare := func(s string) error { _, err := quantity.ParseLength(s, ""); return err }
	lengths := func(s string) error { _, err := quantity.ParseRange(s, quantity.In); return err }
	percent := func(s string) error { _, err := quantity.ParsePercent(s); return err }
	percents := func(s string) error { _, err := quantity.ParsePercentRange(s); return err }
	units := func(s string) error { _, err := quantity.ParseUnit(s); return err }
	const tooMany = "write thousands without a comma; part two readings by a space or a semicolon"
	const likeLength = "a length is written like `98 cm`, `38 1/2 in` or `5' 6\"`"
	tests := []struct {
		read    func(string) error
		text    string // the part at fault in brackets
		summary string
		hint    string
	}{
		{bare, "[38]", "`38` has no unit", "write `38 cm` or `38 in`, or say the unit once for all, with `units:` in a file or in a heading such as `hip (cm)`"},
		{bare, "[38½]", "`38½` has no unit", "write `38½ cm` or `38½ in`, or say the unit once for all, with `units:` in a file or in a heading such as `hip (cm)`"},
		{length, "[]", "expected a length, got nothing", likeLength},
		{length, "  []", "expected a length, got nothing", likeLength},
		{length, "[97,812] cm", "`97,812` can be read in two ways", "write 97.812 with a point, or 97812 without the comma"},
		{length, "[1,000],000", "`1,000` can be read in two ways", "write 1.000 with a point, or 1000 without the comma"},
		{length, "[1/2,5]", "`1/2,5` has a comma too many", tooMany},
		{length, "[1.000,5]", "`1.000,5` has a comma too many", tooMany},
		{length, "98[; 99]", "`; 99` cannot be read as part of a length", likeLength},
		{length, "38 [inches]", "unknown unit `inches`", "write `in`"},
		{length, "38 [CM]", "unknown unit `CM`", "write `cm`"},
		{length, "38 [ells]", "unknown unit `ells`", "the units are cm, mm, m, in, ft and %"},
		{length, "[12 %]", "expected a length, got a percentage", likeLength},
		{length, "[1/3] in", "`1/3` is no fraction of a tape measure", "write halves, 4ths, 8ths, 16ths, 32nds or 64ths"},
		{length, "[38 ⅓] in", "`1/3` is no fraction of a tape measure", "write halves, 4ths, 8ths, 16ths, 32nds or 64ths"},
		{length, "[⅔] in", "`2/3` is no fraction of a tape measure", "write halves, 4ths, 8ths, 16ths, 32nds or 64ths"},
		{length, "[1/128] in", "`1/128` is no fraction of a tape measure", "write halves, 4ths, 8ths, 16ths, 32nds or 64ths"},
		{length, "[1/0] in", "`1/0` is no fraction of a tape measure", "write halves, 4ths, 8ths, 16ths, 32nds or 64ths"},
		{length, "[381/2] in", "the fraction `381/2` is not below one", "write a space before the fraction, as in `38 1/2`"},
		{length, "[38 3/2] in", "the fraction `3/2` is not below one", "write a space before the fraction, as in `38 1/2`"},
		{length, "38 [1/] in", "`1/` is half a fraction", "write it as in `1/2`"},
		{length, "[0-1/2] in", "`0-1/2` could be a range or a fraction", "write `0 .. 1/2` or `1/2`"},
		{length, "[0.00000001 cm]", "`0.00000001 cm` is finer than a nanometre", "write fewer decimals, at most 7 of a centimetre"},
		{length, "[0.1234567891] cm", "`0.1234567891` has too many decimals", "write fewer decimals"},
		{length, "[100.1 m]", "`100.1 m` is more than 100 m", "check the number and its unit"},
		{length, "-[100001] mm", "`100001` is too large a number", "check the number and its unit"},
		{length, "[100001].5", "`100001` is too large a number", "check the number and its unit"},
		{length, "5' [6]", "expected inches after feet, got `6`", "write `6\"` or `6 in`"},
		{length, "5' [6 cm]", "expected inches after feet, got `6 cm`", "write `6\"` or `6 in`"},
		{length, "5' [12\"]", "`12` inches are more than a foot", "write fewer than 12 inches after feet"},
		{length, "[5.5' 6\"]", "whole feet are wanted before inches", likeLength},
		{length, "38 in [x]", "`x` cannot be read as part of a length", likeLength},
		{length, "[x]", "`x` cannot be read as part of a length", likeLength},
		{length, "- [2 cm]", "`2 cm` cannot be read as part of a length", likeLength},
		{length, "38 [.. 39 in]", "expected a length, got a range", "write one value"},
		{length, "38 [- 39 in]", "expected a length, got a range", "write one value"},
		{length, "[" + strings.Repeat("1", 64) + "]1", "this is too long for a length", likeLength},
		{lengths, "[27-26]", "the range runs from the larger end to the smaller", "write the smaller end first"},
		{lengths, "[38 - 1/2]", "the range runs from the larger end to the smaller", "write the smaller end first; a mixed number is written `38 1/2`"},
		{lengths, "[-2 - 3 cm]", "a range with an end below zero cannot be written with a dash", "write `-2 .. 3 cm`"},
		{lengths, "[-3 - -2 cm]", "a range with an end below zero cannot be written with a dash", "write `-3 .. -2 cm`"},
		{lengths, "4 in .. [5]", "`5` has no unit", "write the unit after the last value: it covers both"},
		{lengths, "[4] .. 5' 6\"", "`4` could be feet or inches", "write the unit after both values"},
		{lengths, "4 in .. [90 %]", "expected a length, got a percentage", likeLength},
		{lengths, "..[]", "expected a length, got nothing", likeLength},
		{lengths, "0[...5]", "`...5` cannot be read as part of a length", likeLength},
		{lengths, "1 .. 2 [.. 3]", "`.. 3` cannot be read as part of a length", likeLength},
		{percent, "[25]", "`25` has no percent sign", "write `25 %`"},
		{percent, "[25 cm]", "expected a percentage, got a length", "a percentage is written like `25 %`"},
		{percent, "[1/2 %]", "`1/2 %` is a fraction", "write a percentage with decimals, as in `2.5 %`"},
		{percent, "[97,5,2] %", "`97,5,2` has a comma too many", tooMany},
		{percent, "[1000.5 %]", "`1000.5 %` is more than 1000 %", "check the number"},
		{percent, "25 [percent]", "unknown unit `percent`", "write `%`"},
		{percents, "[97 .. 90 %]", "the range runs from the larger end to the smaller", "write the smaller end first"},
		{percents, "90 % .. [97]", "`97` has no unit", "write the unit after the last value: it covers both"},
		{units, "[inches]", "`inches` is no unit for this", "write `in`"},
		{units, "[mm]", "`mm` is no unit for this", "write `cm` or `in`"},
		{units, "[" + strings.Repeat("x", 64) + "]xx", "`" + strings.Repeat("x", 64) + "` is no unit for this", "write `cm` or `in`"},
	}
	for _, tt := range tests {
		text := strings.NewReplacer("[", "", "]", "").Replace(tt.text)
		var got *quantity.Error
		if !errors.As(tt.read(text), &got) {
			t.Errorf("%q: no error", text)
			continue
		}
		runes := []rune(text)
		marked := string(runes[:got.From]) + "[" + string(runes[got.From:got.To]) + "]" + string(runes[got.To:])
		if got.Summary != tt.summary || got.Hint != tt.hint || marked != tt.text {
			t.Errorf("%q:\n got %s: %s\n     %s\nwant %s: %s\n     %s", text, marked, got.Summary, got.Hint, tt.text, tt.summary, tt.hint)
		}
	}
}

func TestErrorText(t *testing.T) {
	if got := (&quantity.Error{Summary: "wrong", Hint: "mend it"}).Error(); got != "wrong: mend it" {
		t.Error(got)
	}
	if got := (&quantity.Error{Summary: "wrong"}).Error(); got != "wrong" {
		t.Error(got)
	}
}

func TestFormat(t *testing.T) {
	tests := []struct {
		l                          quantity.Length
		cm, in, exactCm, exactInch string
	}{
		{0, "0 cm", "0 in", "0 cm", "0 in"},
		{44*in + in/4, "112.4 cm", "44 1/4 in", "112.395 cm", "44 1/4 in"},
		{in / 2, "1.3 cm", "1/2 in", "1.27 cm", "1/2 in"},
		{-in / 4 * 3, "-1.9 cm", "-3/4 in", "-1.905 cm", "-3/4 in"},
		{94 * cm, "94 cm", "37 in", "94 cm", "94 cm"},
		{95*cm + 5*mm/10, "95.1 cm", "37 3/8 in", "95.05 cm", "95.05 cm"},
		{-4 * mm / 10, "0 cm", "0 in", "-0.04 cm", "-0.04 cm"},
		{-5 * mm / 10, "-0.1 cm", "0 in", "-0.05 cm", "-0.05 cm"},
		{in / 16, "0.2 cm", "1/8 in", "0.15875 cm", "1/16 in"},
		{in/16 - 1, "0.2 cm", "0 in", "0.1587499 cm", "0.1587499 cm"},
		{in / 10 * 384, "97.5 cm", "38 3/8 in", "97.536 cm", "38.4 in"},
		{-127, "0 cm", "0 in", "-0.0000127 cm", "-0.000005 in"},
		{1, "0 cm", "0 in", "0.0000001 cm", "0.0000001 cm"},
		{math.MinInt64, "-922337203685.5 cm", "-363124883340 3/4 in", "-922337203685.4775808 cm", "-922337203685.4775808 cm"},
	}
	for _, tt := range tests {
		got := []string{tt.l.Format(quantity.Cm), tt.l.Format(quantity.In), tt.l.Exact(quantity.Cm), tt.l.Exact(quantity.In), tt.l.Format(""), tt.l.Exact("")}
		want := []string{tt.cm, tt.in, tt.exactCm, tt.exactInch, tt.cm, tt.exactCm}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%d:\n got %q\nwant %q", tt.l, got, want)
		}
	}
}

func TestFine(t *testing.T) {
	for l, want := range map[quantity.Length]string{in / 16: "1/16 in", -in / 16 * 3: "-3/16 in", in + in/64: "1 in", in / 2: "1/2 in"} {
		if got := l.Fine(quantity.In); got != want {
			t.Errorf("%d: got %q, want %q", l, got, want)
		}
	}
	if got := (in / 2).Fine(quantity.Cm); got != "1.25 cm" {
		t.Errorf("got %q", got)
	}
}

func TestFormatLittle(t *testing.T) {
	for _, c := range []struct {
		cm   float64
		unit quantity.Unit
		want string
	}{
		{0, quantity.In, "0 in"}, {0.158, quantity.In, "less than 1/8 in"}, {0.159, quantity.In, "1/8 in"}, // 1/16 in is 0.15875 cm
		{0.049, quantity.Cm, "less than 0.1 cm"}, {0.05, quantity.Cm, "0.1 cm"}, {-0.01, quantity.Cm, "0 cm"},
	} {
		if got := quantity.FormatLittle(c.cm, c.unit); got != c.want {
			t.Errorf("FormatLittle(%v, %q) = %q, want %q", c.cm, c.unit, got, c.want)
		}
	}
}

func TestFiner(t *testing.T) {
	for _, c := range []struct {
		l    quantity.Length
		unit quantity.Unit
		n    int
		want string
	}{
		{49*cm + 52*mm/100, quantity.Cm, 1, "49.05 cm"}, {49*cm + 52*mm/100, "", 2, "49.052 cm"}, {49 * cm, quantity.Cm, quantity.Finest, "49 cm"},
		{-mm / 10, quantity.Cm, 1, "-0.01 cm"}, {mm / 1000, quantity.Cm, quantity.Finest, "0.0001 cm"},
		{19*in + in/16, quantity.In, 1, "19 1/16 in"}, {19*in + in/100, quantity.In, 1, "19 in"}, {19*in + in/100, quantity.In, 2, "19.01 in"},
		{19*in + in/10000, quantity.In, quantity.Finest, "19.0001 in"},
	} {
		if got := c.l.Finer(c.unit, c.n); got != c.want {
			t.Errorf("%d in %q, %d steps finer: %q, want %q", c.l, c.unit, c.n, got, c.want)
		}
	}
}

func TestFormatPercent(t *testing.T) {
	for p, want := range map[float64]string{
		25: "25 %", 9.1: "9.1 %", -8.25: "-8.3 %", -8.249999999999: "-8.3 %", -0.04: "0 %", 0.05: "0.1 %",
		100.0 * (44.25 - 40.5) / 40.5: "9.3 %",
	} {
		if got := quantity.FormatPercent(p); got != want {
			t.Errorf("FormatPercent(%v) = %q, want %q", p, got, want)
		}
	}
}

func TestFromCm(t *testing.T) {
	for cm, want := range map[float64]quantity.Length{
		112.395: 1_123_950_000, 0.00000004: 0, 0.00000005: 1, -0.00000005: -1, 11.1 - 19.1: -80_000_000,
		math.Inf(1): 1 << 62, math.Inf(-1): -1 << 62, math.NaN(): 0,
	} {
		if got := quantity.FromCm(cm); got != want {
			t.Errorf("FromCm(%v) = %d, want %d", cm, got, want)
		}
	}
	if got := quantity.FormatCm(112.395, quantity.In); got != "44 1/4 in" {
		t.Errorf("FormatCm = %q", got)
	}
}

func TestMean(t *testing.T) {
	tests := []struct {
		ls   []quantity.Length
		want quantity.Length
	}{
		{nil, 0},
		{[]quantity.Length{29*in + in/2, 29*in + in/4*3}, 29*in + in/8*5},
		{[]quantity.Length{1, 2}, 2},
		{[]quantity.Length{-1, -2}, -1},
		{[]quantity.Length{1, 1, 2}, 1},
		{[]quantity.Length{-1, -1, -2}, -1},
	}
	for _, tt := range tests {
		if got := quantity.Mean(tt.ls); got != tt.want {
			t.Errorf("Mean(%v) = %d, want %d", tt.ls, got, tt.want)
		}
	}
}

// anyLength draws from the lengths that can be written.
func anyLength() *rapid.Generator[quantity.Length] {
	const longest = int64(100 * quantity.Metre)
	return rapid.Custom(func(t *rapid.T) quantity.Length {
		step := rapid.SampledFrom([]int64{1, 127, int64(mm), int64(in) / 64, int64(in)}).Draw(t, "step")
		return quantity.Length(rapid.Int64Range(-longest/step, longest/step).Draw(t, "steps") * step)
	})
}

func TestExactReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLength().Draw(t, "length")
		for _, u := range []quantity.Unit{quantity.Cm, quantity.In} {
			if got, err := quantity.ParseLength(l.Exact(u), ""); err != nil || got != l {
				t.Fatalf("%d is %q, which reads as %d, %v", l, l.Exact(u), got, err)
			}
			if got, err := quantity.ParseRange(l.Exact(u)+" .. "+l.Exact(u), ""); err != nil || got.Low != l || got.High != l {
				t.Fatalf("%q as a range is %v, %v", l.Exact(u), got, err)
			}
		}
	})
}

func TestCmReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if l := anyLength().Draw(t, "length"); quantity.FromCm(l.Cm()) != l {
			t.Fatalf("%d is %v cm, which is %d", l, l.Cm(), quantity.FromCm(l.Cm()))
		}
	})
}

func TestFormatIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLength().Draw(t, "length")
		for u, half := range map[quantity.Unit]quantity.Length{quantity.Cm: mm / 2, quantity.In: in / 16} {
			shown, err := quantity.ParseLength(l.Format(u), "")
			if err != nil && strings.Contains(err.Error(), "more than 100 m") {
				continue // rounded up past the longest
			}
			if off := shown - l; err != nil || off > half || -off > half {
				t.Fatalf("%s is shown as %s, %v", l.Exact(u), l.Format(u), err)
			}
		}
	})
}

func TestPercentReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.IntRange(-10_000, 10_000).Draw(t, "tenths")
		p := float64(tenths) / 10
		if got, err := quantity.ParsePercent(quantity.FormatPercent(p)); err != nil || got != p {
			t.Fatalf("%v is shown as %q, which reads as %v, %v", p, quantity.FormatPercent(p), got, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"98 cm", "38-1/2 in", `5' 6"`, "-10 % .. -2 %", "26-27 1/2", "97,8", ".. ½", "0...5", "38 ⅓", "", "1/", "−2 m", "5'6½ in",
	} {
		f.Add(seed, "in")
		f.Add(seed, "")
	}
	for _, seed := range figures(f) {
		f.Add(seed, "")
	}
	f.Fuzz(func(t *testing.T, text, unit string) {
		bare, err := quantity.ParseUnit(unit)
		check(t, unit, err)
		l, err := quantity.ParseLength(text, bare)
		check(t, text, err)
		r, rangeErr := quantity.ParseRange(text, bare)
		check(t, text, rangeErr)
		if err == nil && (rangeErr != nil || r.Low != l || r.High != l) {
			t.Errorf("%q is %d as a length but %v, %v as a range", text, l, r, rangeErr)
		}
		if rangeErr == nil && r.HasLow && r.HasHigh && r.Low > r.High {
			t.Errorf("%q is the range %v", text, r)
		}
		_, err = quantity.ParsePercent(text)
		check(t, text, err)
		_, err = quantity.ParsePercentRange(text)
		check(t, text, err)
	})
}

// figures are all values that stand in the files the tests know, good and bad.
func figures(f *testing.F) []string {
	f.Helper()
	paths, err := filepath.Glob("../../testdata/*/*.yaml")
	if err != nil || len(paths) == 0 {
		f.Fatalf("no files to start from: %v", err)
	}
	var found []string
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			_, values, _ := strings.Cut(line, ": ")
			for value := range strings.SplitSeq(values, ",") {
				found = append(found, strings.Trim(value, " []{}\"'\n"))
			}
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// check requires of an error that it says something, about a part of the text.
func check(t *testing.T, text string, err error) {
	var wrong *quantity.Error
	if errors.As(err, &wrong) && (wrong.Summary == "" || !strings.HasPrefix(string(wrong.Code), "FA02") || wrong.From < 0 || wrong.From > wrong.To || wrong.To > utf8.RuneCountInString(text)) {
		t.Errorf("%q: %+v", text, wrong)
	}
	if err != nil && wrong == nil {
		t.Errorf("%q: %T", text, err)
	}
}

func BenchmarkParseRange(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := quantity.ParseRange("28 1/2", quantity.In); err != nil {
			b.Fatal(err)
		}
	}
}
