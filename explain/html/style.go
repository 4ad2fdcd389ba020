package html

import (
	_ "embed"
	"fmt"
	"strings"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
)

//go:embed style.css
var sheet string

// Style is the style sheet of a page: colours for light and dark screens, sizes for
// telephones, black on white in print. All but the page's own rules are about what
// lies within the class `document`.
func Style() string {
	var b strings.Builder
	fmt.Fprintf(&b, ":root { color-scheme: light dark; %s }\n", colors(draw.Light))
	fmt.Fprintf(&b, "@media (prefers-color-scheme: dark) { :root { %s } }\n", colors(draw.Dark))
	fmt.Fprintf(&b, "@media print { :root { color-scheme: light; %s } }\n", colors(draw.Light))
	b.WriteString(sheet)
	for _, r := range draw.Roles {
		name := uses[r]
		fmt.Fprintf(&b, ".picture path.%s { stroke: var(--%s) }\n.picture path.%[1]s.filled { fill: var(--%[2]s) }\n", r, name)
		if draw.Fills(r) {
			name = "ink"
		}
		fmt.Fprintf(&b, ".picture text.%s { fill: var(--%s) }\n", r, name)
	}
	return b.String()
}

// uses are the colours of the roles, by their names in the style sheet.
var uses = map[explain.Role]string{
	explain.Outline: "ink", explain.Accent: "accent", explain.Against: "against", explain.Other: "other",
	explain.Guide: "quiet", explain.Measure: "quiet", explain.Area: "area", explain.Beneath: "beneath",
}

func colors(p draw.Palette) string {
	var b strings.Builder
	for _, c := range []struct {
		name string
		draw.Color
	}{{"paper", p.Paper}, {"ink", p.Ink}, {"quiet", p.Quiet}, {"accent", p.Accent}, {"against", p.Against}, {"other", p.Other}, {"area", p.Area}, {"beneath", p.Beneath}} {
		fmt.Fprintf(&b, "--%s: #%02x%02x%02x; ", c.name, c.R, c.G, c.B)
	}
	return strings.TrimSuffix(b.String(), "; ")
}
