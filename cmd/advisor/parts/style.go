package parts

import (
	"fmt"
	"strings"

	"fitadvisor/explain/draw"
	"fitadvisor/explain/html"
)

// Style is the colours and the look of documents, with the light that the person chose before that of the screen.
func Style() string {
	return html.Style() + ".picture { overflow: visible }\n" + chosen("light", draw.Light) + chosen("dark", draw.Dark)
}

func chosen(light string, p draw.Palette) string {
	var b strings.Builder
	fmt.Fprintf(&b, "@media screen { :root:has(#light-%s:checked) { color-scheme: %[1]s", light)
	for _, c := range []struct {
		name string
		draw.Color
	}{{"paper", p.Paper}, {"ink", p.Ink}, {"quiet", p.Quiet}, {"accent", p.Accent}, {"against", p.Against}, {"other", p.Other}, {"area", p.Area}, {"beneath", p.Beneath}} {
		fmt.Fprintf(&b, "; --%s: #%02x%02x%02x", c.name, c.R, c.G, c.B)
	}
	b.WriteString(" } }\n")
	return b.String()
}
