package page

import (
	"fmt"
	"html/template"
	"strings"

	"fitadvisor/engine"
)

// The small figure that shows where the tape goes stands in a field of 100 by 180, a centimetre each, the floor at 178: eight
// heads, no face, nobody in particular. Girths lie at the height that the vocabulary has for a drawing.
const floor = 178

// figureShape is its outline: head, and the rest of it.
const figureShape = `<ellipse class="body" cx="50" cy="16" rx="8.5" ry="11"/>` +
	`<path class="body" d="M46 26L54 26L55 32L70 37L74 45L80 75L84 97L80 100L74 80L68 58L67 73L73 93L70 132L68 172L60 172L58 130L51 98L49 98L42 130L40 172L32 172L30 132L27 93L33 73L32 58L26 80L20 100L16 97L20 75L26 45L30 37L45 32Z"/>`

// halves are half the widths of the figure from the front, by height above the floor, from the top down.
var halves = []struct{ height, half float64 }{{143, 6}, {138, 20}, {128, 18}, {115, 18}, {105, 17}, {95, 20}, {85, 23}, {76, 22}}

// tapes are where those measurements are taken that lie at no level of the body.
var tapes = map[string]string{
	"height": "M10 5V178", "head": "M41 13Q50 18 59 13", "neck": "M44 31Q50 35 56 31", "shoulder_length": "M55 32L70 37", "shoulder_slope": "M55 32L70 37",
	"back_width": "M34 50H66", "shoulder_to_bust_point": "M55 32L59 56", "bust_span": "M41 56H59", "arm_length": "M70 37L76 65L82 97", "back_to_wrist": "M50 32L70 37L76 65L82 97",
	"upper_arm": "M68 54Q72 58 77 53", "elbow": "M71 71Q75 75 80 70", "forearm": "M72 78Q77 82 81 77", "wrist": "M76 92Q80 95 84 91", "hand": "M78 98H86", "hand_over_thumb": "M78 98H86",
	"back_waist_length": "M50 32V73", "front_waist_length": "M55 32L59 56L57 73", "waist_to_hip": "M73 73V93", "waist_to_knee": "M70 73V132", "body_rise": "M72 73V100",
	"crotch_length": "M50 73V98", "trunk": "M40 35L50 98L60 35", "thigh": "M51 104Q61 109 71 104", "knee": "M58 132Q64 136 70 132", "calf": "M58 145Q64 149 70 145", "ankle": "M60 168Q64 171 68 168",
	"heel": "M58 174H72", "inside_leg": "M52 98V178", "outside_leg": "M76 73V178", "foot_length": "M58 177H72",
}

// tapeFigure shows where the tape goes for each measurement that is asked for; the first is shown before one is chosen.
func tapeFigure(voc *engine.Vocabulary, a asked) template.HTML {
	var b strings.Builder
	b.WriteString(`<svg viewBox="0 0 100 180" aria-hidden="true">` + figureShape)
	for i, t := range append(append(append([]typed{}, a.First...), a.Lengths...), a.Others...) {
		d := tapes[t.Measure]
		if m := voc.Measure(t.Measure); d == "" && m != nil && m.Height > 0 {
			h := m.Height.Cm()
			d = fmt.Sprintf("M%.0f %.0fQ50 %.0f %.0f %.0f", 50-halfAt(h), floor-h, floor-h+8, 50+halfAt(h), floor-h)
		}
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

// halfAt is half the width of the figure at a height.
func halfAt(height float64) float64 {
	for i := 1; i < len(halves); i++ {
		if above, below := halves[i-1], halves[i]; height >= below.height {
			return below.half + (above.half-below.half)*(height-below.height)/(above.height-below.height)
		}
	}
	return halves[len(halves)-1].half
}
