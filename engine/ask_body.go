package engine

import "slices"

// TakenOn is the day a measurement was taken, empty where not said.
func (b *Body) TakenOn(measure string) string {
	if day, ok := b.Since[measure]; ok {
		return day
	}
	return b.Taken
}

// oldest is the earliest day on which any measurement in use was taken.
func (b *Body) oldest() string {
	day := b.Taken
	for name := range b.Measurements {
		if d, ok := b.Since[name]; ok && (day == "" || d < day) {
			day = d
		}
	}
	return day
}

// CheckBody asks the rules about measuring of a body for itself, before there is any garment: values that no body has,
// the wrong unit, readings too far apart. Rules about garments are not asked. A body without lengths has nothing to ask.
func CheckBody(b *Body, rules []*Rule, v *Vocabulary, t Fitting) ([]Caution, error) {
	name := b.anyLength(v)
	if name == "" {
		return nil, nil
	}
	value := b.Measurements[name].value()
	p := &Pattern{Sizes: []string{name}, Chart: map[string]Row{name: {{Low: value, High: value, Known: true}}}}
	r := &Recipe{Controlling: Controlling{Names: []string{name}}}
	f, err := Prepare(p, r, aboutMeasuring(rules), v)
	if err != nil {
		return nil, err
	}
	t.Body = b
	j, err := f.judge(t)
	if err != nil {
		return nil, err
	}
	h, all := &ruleResults{}, j.which(func(*boundRule) bool { return true })
	if err := j.applyRules(h, 0, &all); err != nil {
		return nil, err
	}
	j.sortResults(h)
	a := &Answer{}
	err = j.explainer().addCautions(a, h)
	return a.Cautions, err
}

func aboutMeasuring(rules []*Rule) []*Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r *Rule) bool { return r.Topic != "measuring" })
}

// anyLength is the uppermost measurement of the body that is no angle.
func (b *Body) anyLength(v *Vocabulary) string {
	for _, name := range v.names {
		if t, ok := b.Measurements[name]; ok && v.measures[name].Kind != Angle && t.value() > 0 {
			return name
		}
	}
	return ""
}

// Cm is what is measured, in centimetres: of repeated readings the mean, of two sides the larger. False: it is not known.
func (b *Body) Cm(measure string) (float64, bool) {
	t, ok := b.Measurements[measure]
	if !ok || t.value() <= 0 {
		return 0, false
	}
	return t.value().Cm(), true
}
