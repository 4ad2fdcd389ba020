package rules

import (
	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/rules/file"
	"sync"
)

// readAlter reads what only a rule that alters the pattern has.
func readAlter(m *file.Map, v *engine.Vocabulary) *engine.Alter {
	a := &engine.Alter{}
	a.Step, _ = m.Need("step").OneOf(engine.Steps()...)
	for _, part := range m.Get("part").Each() {
		if p, ok := part.OneOf(engine.Parts()...); ok {
			a.Parts = append(a.Parts, p)
		}
	}
	a.Zone = bodyName(m.Need("zone"), v)
	a.Settles = bodyName(m.Get("settles"), v)
	adds := m.Get("adds").Map()
	for _, k := range adds.Keys() {
		name := k.Text()
		if m := v.Measure(name); m == nil || m.Kind != engine.Garment { // lengths that only the garment has grow too
			name = bodyName(k, v)
		}
		if name != "" {
			a.Adds = append(a.Adds, engine.Added{Measure: name, Text: adds.Need(k.Text()).Text()})
		}
	}
	return a
}

// bodyName reads the name of a measurement of the body.
func bodyName(value file.Value, v *engine.Vocabulary) string {
	name := value.Text()
	if m := v.Measure(name); !value.IsText() || m != nil && m.Kind != engine.Garment {
		return name
	}
	value.Problem(oddZone, "no measurement of the body is called `"+name+"`", v.DidYouMean(name, v.BodyNames(), "as in `bust`"))
	return ""
}

func textOfAlter(m *file.Map, w *engine.RuleText) {
	w.Amount, w.Gains = m.Need("amount").Text(), m.Get("gains").Text()
	w.Because, w.Measure = m.Get("because").Text(), m.Get("measure").Text()
	w.Where, w.Spread = m.Need("where").Text(), m.Need("spread").Text()
	w.Also, w.Unless, w.Instead = m.Get("also").Text(), m.Get("unless").Text(), m.Get("instead").Text()
}

// expressAlter gives an alteration its expressions, compiled when first needed.
func expressAlter(r *engine.Rule, v *engine.Vocabulary) {
	number := func(written string) engine.LateFormula {
		if written == "" {
			return nil
		}
		return sync.OnceValues(func() (*formula.Formula, error) { return formula.Compile(written, schema(r, v), formula.Length) })
	}
	text := func(written string) engine.LateTemplate {
		if written == "" {
			return nil
		}
		return sync.OnceValues(func() (*formula.Template, error) { return formula.CompileTemplate(written, schema(r, v)) })
	}
	a, w := r.Alter, &r.Text
	a.Amount, a.Gains = number(w.Amount), number(w.Gains)
	for i := range a.Adds {
		a.Adds[i].Amount = number(a.Adds[i].Text)
	}
	a.Because, a.Measure, a.Where = text(w.Because), text(w.Measure), text(w.Where)
	a.Spread, a.Also, a.Instead = text(w.Spread), text(w.Also), text(w.Instead)
	if w.Unless != "" {
		a.Unless = sync.OnceValues(func() (*formula.Formula, error) { return formula.Compile(w.Unless, schema(r, v), formula.Bool) })
	}
}

// compileAlter compiles them at once, telling their problems at their places.
func compileAlter(m *file.Map, unseen func(group string) string, a *engine.Alter) {
	compileNow(m.Get("amount"), unseen, a.Amount)
	compileNow(m.Get("gains"), unseen, a.Gains)
	compileNow(m.Get("unless"), unseen, a.Unless)
	for i := range a.Adds {
		at := m.Get("adds").Map().Get(a.Adds[i].Measure)
		compileNow(at, unseen, a.Adds[i].Amount)
		checkDim(at, a.Adds[i].Amount, formula.Length)
	}
	for _, t := range []struct {
		key  string
		text engine.LateTemplate
	}{{"because", a.Because}, {"measure", a.Measure}, {"where", a.Where}, {"spread", a.Spread}, {"also", a.Also}, {"instead", a.Instead}} {
		compileNow(m.Get(t.key), unseen, t.text)
	}
	checkDim(m.Get("amount"), a.Amount, formula.Length, formula.Degrees)
	checkDim(m.Get("gains"), a.Gains, formula.Length)
}

// checkDim finds an amount that certainly measures something else.
func checkDim(v file.Value, l engine.LateFormula, allowed ...formula.Dim) {
	if l == nil {
		return
	}
	f, err := l()
	if err != nil {
		return // told already
	}
	is := f.Dim()
	for _, d := range allowed {
		if is == 0 || is == d {
			return
		}
	}
	v.Problem(badAmount, "how much is altered is "+is.String()+" here", "give a length, as in `body.arm_length - drafted.arm_length`, or an angle")
}
