package report

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/text"
)

// How much a short answer may say: a screen, and of each kind no more than is read.
const (
	screen       = 25
	mostCautions = 3
	mostZones    = 5
	mostToDo     = 6
)

// Short lays out what decides how to cut, on one screen: the decision, how sure it
// is, what you get where it matters beside what the maker drew, the cautions that
// change what you do, and what to do next. more says how to ask for the rest, all
// of which [Size] has.
func Short(a *engine.Answer, more string) *explain.Document {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	if a.Ends != "" {
		d := &explain.Document{}
		d.Add(explain.Sentence(r.decision()), explain.Sentence(more))
		return d
	}
	parts := shortParts{r: r, more: more, gets: r.gets(), warns: r.grave(), todo: r.todo()}
	parts.gets = parts.gets[:min(len(parts.gets), mostZones)]
	parts.cautions, parts.steps = min(len(parts.warns), mostCautions), min(len(parts.todo), mostToDo)
	d := parts.document()
	for lines(d) > screen && parts.shorten() {
		d = parts.document()
	}
	return d
}

// shortParts are the parts of a short answer, and how many of its cautions and
// steps are shown.
type shortParts struct {
	r               *layout
	more            string
	gets            []explain.Step
	warns           []engine.Caution
	todo            []string
	cautions, steps int
}

// shorten leaves out what matters least of what is left: the last step, then what
// you get at the last level, then the last caution. One of each stays.
func (p *shortParts) shorten() bool {
	switch {
	case p.steps > 2:
		p.steps--
	case len(p.gets) > 1:
		p.gets = p.gets[:len(p.gets)-1]
	case p.cautions > 1:
		p.cautions--
	default:
		return false
	}
	return true
}

func (p *shortParts) document() *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Sentence(p.decision()))
	d.Add(p.r.sure()...)
	warns := explain.Steps{}
	for _, c := range p.warns[:p.cautions] {
		warns.Items = append(warns.Items, explain.Step{Mark: string(c.Severity), Text: sentences(c.Say, c.Fix)})
	}
	for _, s := range []explain.Steps{{Items: p.gets}, warns, numbered(p.todo[:p.steps])} {
		if len(s.Items) > 0 {
			d.Add(s)
		}
	}
	d.Add(explain.Sentence(sentences(p.left(), p.r.unused(), p.more)))
	return d
}

// decision leaves out the figures that what you get repeats.
func (p *shortParts) decision() string {
	rec := p.r.a.Recommended
	if rec == nil || len(p.gets) == 0 || p.r.a.Wish != "drawn" {
		return p.r.decision()
	}
	return fmt.Sprintf("Cut %s: %s.", rec.Cut(), rec.Decides)
}

// left says how much of what matters is not shown.
func (p *shortParts) left() string {
	var parts []string
	for _, l := range []struct {
		n    int
		what string
	}{{len(p.warns) - p.cautions, "caution"}, {len(p.todo) - p.steps, "step"}} {
		switch {
		case l.n == 1:
			parts = append(parts, "1 "+l.what)
		case l.n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", l.n, l.what))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "Left out here: " + list(parts) + "."
}

// unused names what was measured and has no part in the answer; empty where there is nothing.
func (r *layout) unused() string {
	var names []string
	for _, n := range r.a.NotUsed {
		if n.Measurement != r.s.Recipe.HemLength() { // which is asked for, and said among what is to do
			names = append(names, r.s.Title(n.Measurement))
		}
	}
	switch more := len(names) - mostZones; {
	case len(names) == 0:
		return ""
	case more > 1:
		names = append(names[:mostZones], fmt.Sprintf("%d more", more))
	}
	return "Measured and not used here: " + list(names) + "."
}

// lines is how long a document is in a terminal.
func lines(d *explain.Document) int {
	var b bytes.Buffer
	_ = text.Render(&b, d, text.Options{}) // a buffer takes all
	return bytes.Count(b.Bytes(), []byte("\n"))
}

// grave are the cautions that change what you do, those that rule a size out first.
func (r *layout) grave() []engine.Caution {
	var out []engine.Caution
	for _, severity := range []engine.Severity{engine.Stop, engine.Warn} {
		for _, c := range r.a.Cautions {
			if c.Severity == severity {
				out = append(out, c)
			}
		}
	}
	return out
}

// gets are the levels that decide the size, are changed or asked for, or still want
// something: the ease there in the end, beside what the maker drew.
func (r *layout) gets() []explain.Step {
	if r.a.Plan == nil {
		return nil
	}
	var out []explain.Step
	for _, decide := range []bool{true, false} {
		for i := range r.a.Plan.Levels {
			l := &r.a.Plan.Levels[i]
			z := zoneOf(&r.a.Sizes[0], l.Zone)
			if z == nil || l.Estimated || (z.Role == engine.Decides) != decide || !decide && len(l.Changes) == 0 && l.Left == nil && l.Wish == nil {
				continue
			}
			out = append(out, explain.Step{Mark: spoken(l.Zone), Text: r.getsAt(l, z)})
		}
	}
	for i := range r.a.Lengths {
		if hem := r.a.Lengths[i].Hem; hem != "" {
			out = append(out, explain.Step{Mark: "hem", Text: hem})
		}
	}
	return out
}

// getsAt says what you get at a level in the end.
func (r *layout) getsAt(l *engine.Level, z *engine.ZoneAnswer) string {
	ease, drawn := l.Ease, r.drawnOn(l)
	s := r.eased(ease, l.Unit, z.Overlap)
	if z.Measured != nil && r.length(z.Measured) != r.length(&z.Body) && ease >= 0 {
		s += " over your full bust"
	}
	switch {
	case drawn == nil:
	case r.amount(*drawn, l.Unit) == r.amount(ease, l.Unit):
		s += ", as the maker drew it"
	default:
		s += ", where the maker drew " + r.smaller(*drawn, l.Unit)
	}
	s += r.lacedWith(l)
	if l.Left != nil {
		s += fmt.Sprintf("; that is %s too %s", quantity.FormatLittle(abs(*l.Left), r.units), tooWhat(*l.Left))
	}
	return capital(s) + "."
}

// drawnOn is the ease that the maker drew at a level on the line that is followed there, nil where that is not known.
func (r *layout) drawnOn(l *engine.Level) *float64 {
	i := slices.IndexFunc(r.a.Sizes, func(s engine.SizeAnswer) bool { return s.Size == l.Line })
	if i < 0 {
		return nil
	}
	if z := zoneOf(&r.a.Sizes[i], l.Zone); z != nil {
		return z.Drawn
	}
	return nil
}

func tooWhat(left float64) string {
	if left > 0 {
		return "close"
	}
	return "roomy"
}

// eased says an ease: how much room there is, or how much smaller the garment is than you.
func (r *layout) eased(v float64, unit string, overlap bool) string {
	switch {
	case overlap:
		return r.amount(v, unit) + " of overlap left"
	case r.amount(v, unit) == r.amount(0, unit):
		return "no ease"
	case v < 0:
		return r.amount(-v, unit) + " smaller than you"
	}
	return r.amount(v, unit) + " of ease"
}

// smaller is an ease without its name, as in "8 % smaller".
func (r *layout) smaller(v float64, unit string) string {
	switch {
	case r.amount(v, unit) == r.amount(0, unit):
		return "none"
	case v < 0:
		return r.amount(-v, unit) + " smaller"
	}
	return r.amount(v, unit)
}

// todo is what to do next, in the order of the work.
func (r *layout) todo() []string {
	var out []string
	if len(r.a.Missing) > 0 {
		m := r.a.Missing[0]
		out = append(out, fmt.Sprintf("Measure your %s too, for %s.", r.s.Title(m.Measurement), m.NeededFor))
	}
	if r.a.Recommended == nil {
		return out
	}
	for i := range r.a.Lengths {
		if l := &r.a.Lengths[i]; l.Waits != "" {
			out = append(out, fmt.Sprintf("Measure your %s: the %s that you asked for waits for it.", l.Waits, r.s.Title(l.Measurement)))
		}
	}
	for _, n := range r.a.NotUsed {
		if hem := r.s.Recipe.HemLength(); n.Measurement == hem {
			out = append(out, fmt.Sprintf("Measure the %s of the pattern: the hem that you asked for waits for it.", r.s.Title(hem)))
		}
	}
	if first := r.byHeight(); first != "" {
		out = append(out, first)
	}
	if r.s.Cloth == "" && r.s.Recipe.Stretch.Kind == engine.StretchNeeded {
		out = append(out, fmt.Sprintf("Gauge your cloth: a knit that stretches %s is taken for granted.", quantity.FormatPercent(r.s.Recipe.Stretch.Least)))
	}
	if r.a.Toile.Advised && len(r.a.Observed) == 0 {
		out = append(out, "Sew a toile first: "+r.a.Toile.Because[0]+".")
	}
	for _, c := range r.a.BeforeCutting {
		if c.ID == engine.MeasurePattern {
			out = append(out, c.Say+". "+capital(c.Why)+".")
		}
	}
	for i := range r.a.Observed {
		out = append(out, capital(r.a.Observed[i].Say))
	}
	for i := range r.a.Alterations {
		out = append(out, r.a.Alterations[i].Say)
	}
	if r.a.Plan != nil {
		out = append(out, r.besides(func(l *engine.Level) bool { return r.a.Grading.Sensible && !r.warned(l.Zone) })...)
	}
	out = append(out, r.elastic()...)
	return out
}

// byHeight asks for the length that probably differs most from the drafted one by
// the height alone; empty where no height says so.
func (r *layout) byHeight() string {
	h := r.a.ByHeight
	if h == nil {
		return ""
	}
	i := slices.IndexFunc(h.Lengths, func(l engine.LikelyLength) bool { return l.Measurement == h.Measure })
	if i < 0 {
		return ""
	}
	more, than := h.Lengths[i].More, "longer"
	if more < 0 {
		than = "shorter"
	}
	return fmt.Sprintf("Measure your %s before you cut: by your height it is probably %s %s than drafted.", r.s.Title(h.Measure), quantity.FormatCm(abs(more), r.units), than)
}

// warned tells whether a caution speaks of a level that stays too small.
func (r *layout) warned(zone string) bool {
	return slices.ContainsFunc(r.a.Cautions, func(c engine.Caution) bool { return c.Zone == zone && c.Severity == engine.Warn })
}

// sentences puts sentences one after another; empty ones are left out.
func sentences(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(t string) bool { return t == "" }), " ")
}
