package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
)

// Brief is what an answer comes to, in the few words that a face shows large.
type Brief struct {
	Size   string      // empty: no single size is cut
	Rest   string      // what comes after the size: "with the hip of size 46", or the whole decision where there is no single size
	Route  []RouteLine // the line at each level, from the top down; nil: one line throughout
	Doubt  string      // how sure it is, in a sentence
	Settle string      // what settles it; empty: nothing to measure again
	Sure   bool        // whether the doubt is none that changes anything
}

// RouteLine is the size line that is followed at levels that lie one below the other.
type RouteLine struct{ Levels, Line string }

// NewBrief says an answer briefly, in the words of [Short].
func NewBrief(a *engine.Answer) Brief {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	var b Brief
	switch rec := a.Recommended; {
	case a.Ends != "" || rec == nil:
		b.Rest = r.decision()
	case rec.Lines != "":
		b.Rest = "Cut " + rec.Lines + "."
	default:
		b.Size, b.Rest = rec.Size, rec.With
	}
	if a.Ends != "" {
		return b
	}
	b.Route = r.route()
	if r.s.Sure != "" {
		b.Doubt, b.Settle = r.doubt(), r.again()
		b.Sure = r.s.Sure == engine.IsLikely || b.Settle == ""
	}
	return b
}

// doubt is how sure the answer is, as a sentence.
func (r *layout) doubt() string {
	switch r.s.Sure {
	case engine.LessLikely:
		return capital(strings.TrimPrefix(r.howSure(), "not very; ")) + "."
	case engine.Likelier:
		return "Fairly sure" + strings.TrimPrefix(r.howSure(), "fairly") + "."
	}
	return capital(r.howSure()) + "."
}

// route is the line at each level, levels that follow the same line together.
func (r *layout) route() []RouteLine {
	var out []RouteLine
	for _, l := range r.a.Lines {
		name := spoken(l.Zone)
		if n := len(out); n > 0 && out[n-1].Line == l.Size {
			out[n-1].Levels += ", " + name
			continue
		}
		out = append(out, RouteLine{capital(name), l.Size})
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// Why asks the question that the explanation answers.
func (b Brief) Why() string {
	if b.Size == "" {
		return "Why?"
	}
	return fmt.Sprintf("Why %s?", b.Size)
}
