package pdf

import (
	"fmt"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// Names of the fonts in a PDF. The fonts printers have by themselves lack letters
// of many names, eighths and a true minus, so that those used are put into the file.
const (
	proportional = "go"
	monospaced   = "gomono"
)

// fonts knows which letters can be shown. All three fonts have the same ones.
type fonts struct {
	regular *sfnt.Font
	buffer  sfnt.Buffer
}

func (f *fonts) load(to *fpdf.Fpdf) (err error) {
	to.AddUTF8FontFromBytes(proportional, "", goregular.TTF)
	to.AddUTF8FontFromBytes(proportional, "B", gobold.TTF)
	to.AddUTF8FontFromBytes(monospaced, "", gomono.TTF)
	f.regular, err = sfnt.Parse(goregular.TTF)
	return err
}

// shown is a text in letters that the fonts have. Any other stands as its number,
// such as <U+4E2D>: nothing is left out.
func (f *fonts) shown(s string) string {
	var b strings.Builder
	for _, r := range norm.NFC.String(s) {
		switch index, err := f.regular.GlyphIndex(&f.buffer, r); {
		case r == '\t':
			b.WriteString("    ")
		case err != nil || index == 0 || r < ' ':
			fmt.Fprintf(&b, "<U+%04X>", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func (p *printer) set(s style) {
	family, look := proportional, ""
	if s.mono {
		family = monospaced
	}
	if s.bold {
		look = "B"
	}
	p.SetFont(family, look, s.height)
	p.SetTextColor(int(s.ink.R), int(s.ink.G), int(s.ink.B))
}
