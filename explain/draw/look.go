package draw

import (
	"strings"
	"unicode"

	"fitadvisor/explain"
)

// Color is red, green and blue.
type Color struct{ R, G, B uint8 }

// Palette is one colour for each use. docs/looks.md says why these.
type Palette struct {
	Paper, Ink, Quiet, Accent, Against, Other, Area, Beneath Color
}

// Light is for paper and for light screens, Dark for dark ones.
var (
	Light = Palette{
		Paper: Color{0xff, 0xff, 0xff}, Ink: Color{0x1f, 0x29, 0x30}, Quiet: Color{0x54, 0x5f, 0x69}, Accent: Color{0x0b, 0x57, 0x86},
		Against: Color{0x9a, 0x3f, 0x0c}, Other: Color{0x65, 0x3f, 0x8e}, Area: Color{0xdb, 0xe7, 0xee}, Beneath: Color{0xd6, 0xca, 0xbc},
	}
	Dark = Palette{
		Paper: Color{0x14, 0x19, 0x1d}, Ink: Color{0xe8, 0xec, 0xee}, Quiet: Color{0xa7, 0xb1, 0xb9}, Accent: Color{0x7f, 0xc3, 0xec},
		Against: Color{0xf2, 0xa6, 0x7d}, Other: Color{0xc8, 0xb3, 0xf1}, Area: Color{0x26, 0x3b, 0x48}, Beneath: Color{0x54, 0x4c, 0x44},
	}
)

// Pen is how lines and letters of a role are drawn.
type Pen struct {
	Thick float64   // in points; 0: no line
	Dash  []float64 // drawn and left out in turn, in points; nil: a full line
	Bold  bool      // letters
}

// pens tells the roles apart without colour.
var pens = map[explain.Role]Pen{
	explain.Outline: {Thick: 1.2},
	explain.Accent:  {Thick: 2.2, Bold: true},
	explain.Against: {Thick: 1.6, Dash: []float64{12, 3}},
	explain.Other:   {Thick: 1.2, Dash: []float64{7, 2.5, 1.5, 2.5}},
	explain.Guide:   {Thick: 0.7, Dash: []float64{4, 3}},
	explain.Area:    {},
	explain.Beneath: {},
	explain.Measure: {Thick: 0.7},
}

// Roles are all roles, in the order a style sheet lists them.
var Roles = []explain.Role{explain.Outline, explain.Accent, explain.Against, explain.Other, explain.Guide, explain.Area, explain.Measure, explain.Beneath}

// Known is the role, or [explain.Outline] for one that there is not.
func Known(r explain.Role) explain.Role {
	if _, known := pens[r]; !known {
		return explain.Outline
	}
	return r
}

// PenOf says how a role is drawn.
func PenOf(r explain.Role) Pen { return pens[Known(r)] }

// Of is the colour of a role's lines and letters; of an area it is that of the whole.
func (p Palette) Of(r explain.Role) Color {
	switch r {
	case explain.Accent:
		return p.Accent
	case explain.Against:
		return p.Against
	case explain.Other:
		return p.Other
	case explain.Guide, explain.Measure:
		return p.Quiet
	case explain.Area:
		return p.Area
	case explain.Beneath:
		return p.Beneath
	}
	return p.Ink
}

// Width is about how wide a text is in a common sans serif, in the unit of its
// height: rather too much than too little, since the font is the reader's.
func Width(text string, height float64, bold bool) float64 {
	w := 0.0
	for _, r := range text {
		w += em(r)
	}
	if bold {
		w *= 1.08
	}
	return w * height
}

// em is a letter's width as a share of the height.
func em(r rune) float64 {
	switch {
	case unicode.Is(unicode.Mn, r):
		return 0
	case strings.ContainsRune(" .,:;!|'ijlIft()[]/-", r):
		return 0.36
	case r >= '0' && r <= '9':
		return 0.57
	case strings.ContainsRune("mwMW%@", r):
		return 0.95
	case r >= 0x1100: // East Asian letters are square
		return 1.05
	case unicode.IsUpper(r):
		return 0.74
	}
	return 0.6
}

// Fills tells whether a role is a filled part without an edge.
func Fills(r explain.Role) bool { return r == explain.Area || r == explain.Beneath }

// Letters is the colour of a role's letters: an area's are on it.
func (p Palette) Letters(r explain.Role) Color {
	if Fills(r) {
		return p.Ink
	}
	return p.Of(r)
}

// Lines breaks a text between words, so that no line is wider than it may be; a
// longer word has a line to itself.
func Lines(text string, width, height float64, bold bool) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && Width(line+" "+word, height, bold) > width {
			lines, line = append(lines, line), ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, line)
}
