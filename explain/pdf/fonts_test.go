package pdf

import (
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"fitadvisor/explain"
	"fitadvisor/explain/draw"
)

// What one font has the others have too, so that asking one is enough.
func TestFontsHaveTheSameLetters(t *testing.T) {
	var fonts []*sfnt.Font
	for _, ttf := range [][]byte{goregular.TTF, gobold.TTF, gomono.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		fonts = append(fonts, f)
	}
	var buffer sfnt.Buffer
	for r := rune(' '); r < 0x10000; r++ {
		var has [3]bool
		for i, f := range fonts {
			index, err := f.GlyphIndex(&buffer, r)
			has[i] = err == nil && index != 0
		}
		if has[0] != has[1] || has[0] != has[2] {
			t.Errorf("%U: %v", r, has)
		}
	}
}

// Pictures are laid out with room enough for the letters of these fonts.
func TestLettersFitTheirRoom(t *testing.T) {
	p, err := newPrinter(Options{Paper: explain.A4})
	if err != nil {
		t.Fatal(err)
	}
	for _, bold := range []bool{false, true} {
		p.set(style{height: 9, bold: bold})
		for _, text := range []string{"44 1/4", "38 1/2 full bust", "the size to cut", "~XXL", "MAMMUT", "within", "Gr. 36/38", "ÄÖÜ", "½ − ⅞", "0123456789"} {
			if took, room := p.GetStringWidth(text), draw.Width(text, 9, bold); took > room {
				t.Errorf("%q, bold %v: takes %v, has %v", text, bold, took, room)
			}
		}
	}
}
