package page

import (
	"cmp"
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
)

// Pieces laid flat are filled in piece by piece: how it is cut, and at each level how wide it is and what its darts take. They
// are written down as the text of the pieces, which can have more than the form.

// pieceForm is one piece.
type pieceForm struct {
	Name, Cut typed
	Levels    []pieceLevel
}

// pieceLevel is a piece at one level.
type pieceLevel struct {
	Title        string
	Width, Darts typed
}

// piecesForm is the pieces with what holds for all of them.
type piecesForm struct {
	Size, Allowance typed
	Pieces          []pieceForm
}

// usualPieces are asked for, each with how it is usually cut, and how else it may be.
var usualPieces = []struct {
	name, usual string
	cut         []choice
}{
	{"front", onFold, []choice{{"", "on the fold"}, {"2", "twice"}, {"1", "once"}}},
	{"back", "2", []choice{{"", "twice"}, {onFold, "on the fold"}, {"1", "once"}}},
	{"side", "2", []choice{{"", "twice"}, {"4", "four times"}, {"1", "once"}}},
}

// onFold is cut on the fold.
const onFold = "fold"

// mostLevels is at how many levels a piece is asked about.
const mostLevels = 4

// pieceLevels are the girths at which a piece is measured across.
func (f *form) pieceLevels() []string {
	if f.recipe == nil {
		return nil
	}
	var out []string
	for i := range f.recipe.Zones {
		z := &f.recipe.Zones[i]
		if m := f.files.Voc.Measure(z.Measure); z.Ease != nil && z.Laps == "" && m != nil && m.Kind == engine.Girth && len(out) < mostLevels {
			out = append(out, z.Measure)
		}
	}
	return out
}

// piecePrefix is that of the fields of the pieces: piece.FRONT.width.HIP.
const piecePrefix = "piece."

// pieces lays out the form.
func (f *form) pieces() piecesForm {
	ask := func(id, label string, choices []choice) typed {
		return typed{field: field{ID: piecePrefix + id, Label: label, Choices: choices}, Value: f.get(piecePrefix + id)}
	}
	sizes := []choice{{"", "choose"}}
	if f.pattern != nil {
		for _, s := range f.pattern.Sizes {
			sizes = append(sizes, choice{s, s})
		}
	}
	out := piecesForm{Size: ask("size", "Of which size", sizes), Allowance: ask("allowance", "Seam allowance", nil)}
	for _, p := range usualPieces {
		piece := pieceForm{Name: typed{field: field{Label: capital(p.name)}}, Cut: ask(p.name+".cut", "Cut", p.cut)}
		for _, level := range f.pieceLevels() {
			title := f.files.Voc.Title(level)
			piece.Levels = append(piece.Levels, pieceLevel{title, ask(p.name+".width."+level, "Width at the "+title, nil), ask(p.name+".darts."+level, "Darts there", nil)})
		}
		out.Pieces = append(out.Pieces, piece)
	}
	return out
}

// gatherPieces writes the pieces that are filled in as the text of the pieces; where none is, that stays as it is.
func (f *form) gatherPieces() {
	plain := func(id string) string {
		text, _ := file.Plain(f.get(piecePrefix + id)) // the text itself is refused where it cannot be written
		return text
	}
	var pieces []string
	for _, p := range usualPieces {
		widths, darts := f.atLevels(p.name+".width."), f.atLevels(p.name+".darts.")
		if widths == "" {
			continue
		}
		line := "  - {name: " + p.name
		if cut := cmp.Or(f.get(piecePrefix+p.name+".cut"), p.usual); cut == onFold {
			line += ", on_fold: true"
		} else if written, err := file.Plain(cut); err == nil {
			line += ", copies: " + written
		}
		line += ", width: {" + widths + "}"
		if darts != "" {
			line += ", darts: {" + darts + "}"
		}
		pieces = append(pieces, line+"}")
	}
	if len(pieces) == 0 {
		return
	}
	text := ""
	for _, key := range []string{"size", "allowance"} {
		if v := plain(key); f.get(piecePrefix+key) != "" {
			text += key + ": " + v + "\n"
		}
	}
	f.values.Set(piecesField.ID, text+"pieces:\n"+strings.Join(pieces, "\n"))
}

// atLevels is what is filled in at each level, as it is written in a map.
func (f *form) atLevels(prefix string) string {
	var parts []string
	for _, name := range f.files.Voc.BodyNames() {
		if v := f.get(piecePrefix + prefix + name); v != "" {
			text, err := file.Plain(v)
			if err == nil {
				parts = append(parts, fmt.Sprintf("%s: %s", name, text))
			}
		}
	}
	return strings.Join(parts, ", ")
}
