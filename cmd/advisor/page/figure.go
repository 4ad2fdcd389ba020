package page

import (
	"fmt"
	"html/template"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
)

// tapeFigure shows where the tape goes for each measurement that is asked for; the first is shown before one is chosen.
func tapeFigure(voc *engine.Vocabulary, a asked) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %d %d" aria-hidden="true"><path class="body" d="%s"/>`, report.TapeWidth, report.TapeHeight, report.TapeBody)
	for i, t := range append(append(append([]typed{}, a.First...), a.Lengths...), a.Others...) {
		d := report.Tape(t.Measure, voc.HeightOf(t.Measure))
		if d == "" {
			continue
		}
		on := ""
		if i == 0 {
			on = " on"
		}
		fmt.Fprintf(&b, `<path class="tape%s" data-of="%s" d="%s"/>`, on, t.Measure, d)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String()) // which has names of the vocabulary and figures only
}
