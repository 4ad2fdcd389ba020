package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"fitadvisor/explain"
)

// The figure that shows where the tape goes stands in a field of 100 by 180, a centimetre each, the floor at 178: eight
// heads, no face, nobody in particular. Girths lie at the height that the vocabulary has for a drawing. What is drawn in it
// are paths of straight legs (L, H, V) and curves with one control point (Q) or two (C), as pictures on the web have them.
const (
	TapeWidth  = 100
	TapeHeight = 180
	tapeFloor  = 178
)

// TapeBody is the outline of the figure: head, and the rest of it.
const TapeBody = "M41.5 16C41.5 9.9 45.3 5 50 5C54.7 5 58.5 9.9 58.5 16C58.5 22.1 54.7 27 50 27C45.3 27 41.5 22.1 41.5 16Z" +
	"M46 26L54 26L55 32L70 37L74 45L80 75L84 97L80 100L74 80L68 58L67 73L73 93L70 132L68 172L60 172L58 130L51 98L49 98L42 130L40 172L32 172L30 132L27 93L33 73L32 58L26 80L20 100L16 97L20 75L26 45L30 37L45 32Z"

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

// Tape is the path of the tape for a measurement, which lies so many centimetres above the floor where it goes round at a
// level, else 0; empty where the figure does not show it.
func Tape(measure string, height float64) string {
	if d := tapes[measure]; d != "" || height <= 0 {
		return d
	}
	half := halfAt(height)
	return fmt.Sprintf("M%.0f %.0fQ50 %.0f %.0f %.0f", 50-half, tapeFloor-height, tapeFloor-height+8, 50+half, tapeFloor-height)
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

// How the names stand beside the figure, in its field: where they begin, and how far apart.
const (
	tapeNames = TapeWidth + 4
	namesLie  = 8.0
)

// TapePicture is the figure with the tape for each measurement, and its name beside it. Without any it is false.
func TapePicture(measures []string, title func(string) string, height func(string) float64) (explain.Shapes, bool) {
	s := explain.Shapes{Title: "Where the tape goes", Box: explain.Box{Width: tapeNames, Height: TapeHeight}}
	for _, p := range paths(explain.Area, TapeBody) {
		s.Add(p)
	}
	type named struct {
		name string
		end  explain.Point
	}
	var names []named
	for _, m := range measures {
		for _, p := range paths(explain.Accent, Tape(m, height(m))) {
			s.Add(p)
			names = append(names, named{title(m), p.Legs[len(p.Legs)-1].To})
		}
	}
	slices.SortStableFunc(names, func(a, b named) int { return cmp.Compare(a.end.Y, b.end.Y) })
	below, alt := 0.0, []string{}
	for _, n := range names {
		y := max(n.end.Y, below)
		below = y + namesLie
		s.Add(explain.Line(explain.Guide, n.end, explain.Point{X: tapeNames - 1, Y: y}), explain.Label{Role: explain.Outline, At: explain.Point{X: tapeNames, Y: y}, Text: n.name, Anchor: explain.AtStart})
		alt = append(alt, n.name)
	}
	s.Box.Height = max(s.Box.Height, below)
	s.Alt = "A figure from the front with the tape for each measurement, from the top down: " + list(alt) + "."
	return s, len(names) > 0
}

// paths reads the paths that are drawn in the figure.
func paths(role explain.Role, d string) []explain.Path {
	var out []explain.Path
	r := pathReader{d: d}
	for r.i < len(d) {
		command := d[r.i]
		r.i++
		if command == 'M' {
			r.at = r.point()
			out = append(out, explain.Path{Role: role, Start: r.at})
			continue
		}
		p := &out[len(out)-1]
		if command == 'Z' {
			p.Closed = true
			continue
		}
		p.Legs = append(p.Legs, r.leg(command))
	}
	return out
}

// pathReader reads a path from its text.
type pathReader struct {
	d  string
	i  int
	at explain.Point // where the path has come to
}

// leg reads one leg of a path, which goes on from where it is. A curve with one control point is the same with two, each two
// thirds of the way to it.
func (r *pathReader) leg(command byte) explain.Leg {
	from := r.at
	var l explain.Leg
	switch command {
	case 'H':
		l.To = explain.Point{X: r.number(), Y: from.Y}
	case 'V':
		l.To = explain.Point{X: from.X, Y: r.number()}
	case 'C':
		l.Curve = &explain.Curve{A: r.point(), B: r.point()}
		l.To = r.point()
	case 'Q':
		control := r.point()
		l.To = r.point()
		towards := func(p explain.Point) explain.Point {
			return explain.Point{X: p.X + (control.X-p.X)*2/3, Y: p.Y + (control.Y-p.Y)*2/3}
		}
		l.Curve = &explain.Curve{A: towards(from), B: towards(l.To)}
	default:
		l.To = r.point()
	}
	r.at = l.To
	return l
}

func (r *pathReader) point() explain.Point {
	x := r.number()
	return explain.Point{X: x, Y: r.number()}
}

// number reads a number with the space before it.
func (r *pathReader) number() float64 {
	for r.i < len(r.d) && r.d[r.i] == ' ' {
		r.i++
	}
	from := r.i
	for r.i < len(r.d) && (r.d[r.i] >= '0' && r.d[r.i] <= '9' || r.d[r.i] == '.') {
		r.i++
	}
	v, _ := strconv.ParseFloat(r.d[from:r.i], 64) // no error: the paths are those above
	return v
}
