package engine

import (
	"cmp"
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
)

// Proportions say how the measurements of surveyed people go together.
type Proportions struct {
	StandIns []StandIn
	Ratios   []Ratio
	Margin   float64 // share beyond the extremes of the survey within which a body may still lie
}

// StandIn says which dimension of a survey stands for a measurement, and what share of it the measurement is.
type StandIn struct {
	Children           bool
	Measure, Dimension string
	Least, Most        float64
}

// Ratio is the least and the most that one dimension of a survey is of another, among all who were surveyed; where By
// is empty, of a centimetre.
type Ratio struct {
	Children    bool
	Of, By      string
	Least, Most float64
}

// Slip is a measurement that does not go together with another of the same body, or with any body.
type Slip struct {
	Measure, With string          // With is empty where no body has this
	Value, Beside quantity.Length // as they were taken
	Doubtful      bool            // beyond what the others allow by less than the margin: perhaps it is so
	Surveyed      bool            // the surveys measured both as they are measured here
	OtherUnit     quantity.Length // the value with its figure read in the other unit
	Fits          bool            // and so it would go together with all the rest
}

// OtherReading says what the figure would be, read in the other unit than u: "40 in would be 101.6 cm".
func (s Slip) OtherReading(u quantity.Unit) string {
	if u == quantity.In {
		figure := quantity.FormatCount(s.Value.Cm() / quantity.Inch.Cm())
		return fmt.Sprintf("%s cm would be %s", figure, s.OtherUnit.Format(quantity.In))
	}
	return fmt.Sprintf("%s in would be %s", quantity.FormatCount(s.Value.Cm()), s.OtherUnit.Format(quantity.Cm))
}

// proportions are those of the grown, or of children, by name.
type proportions struct {
	standIns map[string]StandIn
	ratios   map[[2]string]Ratio
	margin   float64
}

func (p Proportions) of(children bool) proportions {
	out := proportions{map[string]StandIn{}, map[[2]string]Ratio{}, p.Margin}
	for _, s := range p.StandIns {
		if s.Children == children {
			out.standIns[s.Measure] = s
		}
	}
	for _, r := range p.Ratios {
		if r.Children == children {
			out.ratios[[2]string{r.Of, r.By}] = r
			if r.By != "" {
				out.ratios[[2]string{r.By, r.Of}] = Ratio{children, r.By, r.Of, 1 / r.Most, 1 / r.Least}
			}
		}
	}
	return out
}

// between is how much one measurement may be of another, or in centimetres where by is empty; false where no survey says.
func (p proportions) between(of, by string) (least, most float64, ok bool) {
	a, okA := p.standIns[of]
	b, okB := p.standIns[by]
	if by == "" {
		b, okB = StandIn{Least: 1, Most: 1}, true
	}
	if !okA || !okB {
		return 0, 0, false
	}
	r, ok := p.ratios[[2]string{a.Dimension, b.Dimension}]
	if a.Dimension == b.Dimension {
		r, ok = Ratio{Least: 1, Most: 1}, true
	}
	return r.Least * a.Least / b.Most, r.Most * a.Most / b.Least, ok
}

// surveyed reports whether a survey took the measurement as it is taken here; where there is none, nothing was left out.
func (p proportions) surveyed(measure string) bool {
	s, ok := p.standIns[measure]
	return measure == "" || ok && s.Least == 1 && s.Most == 1
}

// figures are the lengths of a body in centimetres, by measurement.
type figures map[string]float64

// misfit is a pair that does not go together.
type misfit struct {
	of, by   string
	doubtful bool
}

// misfits are the pairs that lie outside the survey, in alphabetical order; by is empty for a measurement alone.
func (p proportions) misfits(body figures) []misfit {
	var found []misfit
	names := sortedKeys(body)
	for i, of := range names {
		for _, by := range append([]string{""}, names[i+1:]...) {
			least, most, ok := p.between(of, by)
			value := body[of]
			if by != "" {
				value /= body[by]
			}
			if ok && (value < least || value > most) {
				found = append(found, misfit{of, by, value >= least/(1+p.margin) && value <= most*(1+p.margin)})
			}
		}
	}
	return found
}

// wrong reports whether any pair is outside the survey and its margin.
func (p proportions) wrong(body figures) bool {
	return slices.ContainsFunc(p.misfits(body), func(m misfit) bool { return !m.doubtful })
}

// allLarger reports whether everybody surveyed is larger somewhere.
func (p proportions) allLarger(body figures) bool {
	for name, value := range body {
		if least, _, ok := p.between(name, ""); ok && value < least {
			return true
		}
	}
	return false
}

func sortedKeys(body figures) []string {
	names := make([]string, 0, len(body))
	for name := range body {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Slips finds the measurements of a body that cannot be right, and those in doubt. The draft of the garment tells whom it
// is made for; empty, it is not known. A body is a child's by its age; where that is not said, where a garment for children
// is asked about and a child may have it, where nobody knows what is asked about and no grown-up has it, or by its height.
func (v *Vocabulary) Slips(b *Body, draft Draft) []Slip {
	body := figures{}
	for name, t := range b.Measurements {
		if m := v.Measure(name); m != nil && m.Kind != Angle {
			body[name] = t.value().Cm()
		}
	}
	p := v.whose(b, body, draft)
	var all []Slip
	for {
		found := p.misfits(body)
		sure := slices.DeleteFunc(slices.Clone(found), func(m misfit) bool { return m.doubtful })
		if len(sure) == 0 {
			sure = v.otherwiseCertain(b, p, body, found)
		}
		if len(sure) == 0 {
			return append(all, v.doubts(b, p, found)...)
		}
		s := v.worst(b, p, body, sure)
		all = append(all, s)
		delete(body, s.Measure)
	}
}

// otherwiseCertain are the doubts about a measurement, one of three or more, where nothing of the body is in doubt once
// its figure is read in the other unit.
func (v *Vocabulary) otherwiseCertain(b *Body, p proportions, body figures, found []misfit) []misfit {
	if len(body) < 3 {
		return nil
	}
	for _, name := range v.names {
		about := slices.DeleteFunc(slices.Clone(found), func(m misfit) bool { return m.by == "" || m.of != name && m.by != name })
		if len(about) > 0 && len(p.misfits(body.with(name, v.otherUnit(b, name).Cm()))) == 0 {
			return about
		}
	}
	return nil
}

// ChildMayHave reports whether a value that no adult has may be a child's.
func (v *Vocabulary) ChildMayHave(s Slip) bool {
	m := v.Measure(s.Measure)
	return s.Value >= m.Least && s.Value <= m.Most
}

// whose are the proportions that the body is held against.
func (v *Vocabulary) whose(b *Body, body figures, draft Draft) proportions {
	v.slips.Do(func() { v.adults, v.children = v.Proportions.of(false), v.Proportions.of(true) })
	adults, children := v.adults, v.children
	if b.Age != nil {
		if *b.Age < v.Limits.AdultAge {
			return children
		}
		return adults
	}
	switch {
	case children.wrong(body):
		return adults
	case draft == ForChildren, draft == "" && (adults.wrong(body) || adults.allLarger(body)):
		return children
	case !adults.wrong(body):
		return adults
	}
	height, known := body["height"]
	least, _, _ := adults.between("height", "")
	if known && height < least/(1+adults.margin) && adults.wrong(body.with("height", v.otherUnit(b, "height").Cm())) {
		return children
	}
	return adults
}

func (f figures) with(name string, value float64) figures {
	out := figures{}
	for n, v := range f {
		out[n] = v
	}
	out[name] = value
	return out
}

// otherUnit is a measurement with its figure read in the other unit.
func (v *Vocabulary) otherUnit(b *Body, name string) quantity.Length {
	value := b.Measurements[name].value()
	if b.Units == quantity.In {
		return quantity.FromCm(value.Cm() / quantity.Inch.Cm())
	}
	return quantity.FromCm(value.Cm() * quantity.Inch.Cm())
}

// worst is the measurement that most others contradict; of several, the one that would go together with all others if it
// were in the other unit, then the first.
func (v *Vocabulary) worst(b *Body, p proportions, body figures, sure []misfit) Slip {
	with := map[string][]string{}
	for _, m := range sure {
		with[m.of] = append(with[m.of], m.by)
		if m.by != "" {
			with[m.by] = append(with[m.by], m.of)
		}
	}
	var slips []Slip
	for _, name := range v.names {
		if len(with[name]) > 0 {
			other := v.otherUnit(b, name)
			slips = append(slips, Slip{Measure: name, Value: b.Measurements[name].value(), OtherUnit: other, Fits: !p.wrong(body.with(name, other.Cm()))})
		}
	}
	s := slices.MaxFunc(slips, func(x, y Slip) int {
		return cmp.Or(cmp.Compare(count(x.Fits), count(y.Fits)), cmp.Compare(len(with[x.Measure]), len(with[y.Measure])))
	})
	if s.With = with[s.Measure][0]; s.With != "" {
		s.Beside = b.Measurements[s.With].value()
	}
	return s
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// doubts are the pairs outside the survey and inside the margin, each measurement once.
func (v *Vocabulary) doubts(b *Body, p proportions, found []misfit) []Slip {
	var all []Slip
	for _, m := range found {
		if slices.ContainsFunc(all, func(s Slip) bool { return s.Measure == m.of }) {
			continue
		}
		s := Slip{Measure: m.of, With: m.by, Value: b.Measurements[m.of].value(), Doubtful: true, Surveyed: p.surveyed(m.of) && p.surveyed(m.by)}
		if m.by != "" {
			s.Beside = b.Measurements[m.by].value()
		}
		all = append(all, s)
	}
	return all
}

// SlipWords say what is wrong with a measurement, and how to mend it.
func (v *Vocabulary) SlipWords(s Slip, u quantity.Unit) (summary, hint string) {
	value := v.Title(s.Measure) + " of " + s.Value.Format(u)
	switch {
	case s.Doubtful:
		return v.doubtWords(s, value, u)
	case s.With == "":
		summary = "the " + value + " cannot be right"
	default:
		summary = "the " + value + " does not go together with the " + v.Title(s.With) + " of " + s.Beside.Format(u)
	}
	hint = "read the tape again, and check the digits"
	if s.Fits {
		hint = s.OtherReading(u) + "; if that is meant write the unit behind it, else measure again"
	}
	if s.With == "" && v.ChildMayHave(s) {
		hint += "; for a child give the age, as in `age: 6`"
	}
	return summary, hint
}

// doubtWords asks for a measurement once more. Where the surveys did not take both as they are taken here, it says only that they
// are seldom so.
func (v *Vocabulary) doubtWords(s Slip, value string, u quantity.Unit) (summary, hint string) {
	summary, hint = "the "+value, "measure it again to be sure"
	if s.With != "" {
		summary += " beside the " + v.Title(s.With) + " of " + s.Beside.Format(u)
		hint = "measure both again to be sure"
	}
	if s.Surveyed {
		return summary + " is outside what the surveys ANSUR II and NHANES 2017-2018 measured", hint
	}
	return summary + " is seldom so", hint
}
