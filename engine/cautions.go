package engine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine/formula"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// boundRule is a rule whose condition is compiled and whose names are looked up.
type boundRule struct {
	*Rule
	when  *formula.Formula
	names []bound
	local bool // its verdict may differ between sizes
}

// bound is one name with its place in the environment.
type bound struct {
	key formula.Key
	get getter
}

// RuleError is a rule that could not be run, with its place.
type RuleError struct{ diag.Diagnostic }

func (e *RuleError) Error() string { return e.Range.String() + ": " + e.Summary }

func placedError(at diag.Range, err error) error {
	var placed *RuleError
	if errors.As(err, &placed) {
		return err
	}
	return &RuleError{diag.Diagnostic{Severity: diag.Error, Summary: err.Error(), Range: at}}
}

func isMissing(err error) bool {
	var m *formula.Missing
	return errors.As(err, &m)
}

// bind compiles the rules that can apply to the recipe, in order of id.
func (f *Fitter) bind(shared []*Rule) ([]*boundRule, error) {
	all := slices.Concat(f.recipe.Rules, shared)
	slices.SortFunc(all, func(a, b *Rule) int { return strings.Compare(a.ID, b.ID) })
	var out []*boundRule
	for _, r := range all {
		if r.Zone != "" && f.zoneNamed(r.Zone) == nil || r.Each == "opening" && len(f.recipe.Openings) == 0 {
			continue
		}
		when, err := r.When.Get()
		if err != nil {
			return nil, placedError(r.At, err)
		}
		b := &boundRule{Rule: r, when: when, local: r.Zone != "" || r.Each == "zone" || r.Each == "opening"}
		b.names, b.local = f.voc.lookUp(when.Names(), b.local)
		out = append(out, b)
	}
	return out, nil
}

// lookUp finds the getters of names; local tells whether any differs between sizes.
func (v *Vocabulary) lookUp(names []string, local bool) ([]bound, bool) {
	var out []bound
	for _, name := range names {
		t, ok := v.term(name)
		if !ok {
			continue // a rule's own limit, fixed when it was compiled
		}
		out = append(out, bound{v.Schema().Key(name), t.get})
		local = local || t.local
	}
	return out, local
}

// binder puts values into the environment of expressions, one scene at a time.
type binder struct {
	j   *judging
	env *formula.Env
}

func newBinder(j *judging) *binder {
	return &binder{j: j, env: formula.NewEnv(j.voc.Schema())}
}

// put sets what a scene makes of each name.
func (b *binder) put(names []bound, sc *scene) {
	for i := range names {
		n := &names[i]
		switch {
		case n.get.number != nil:
			if v, ok := n.get.number(b.j, sc); ok {
				b.env.PutNumber(n.key, v)
				continue
			}
		case n.get.text != nil:
			if v, ok := n.get.text(b.j, sc); ok {
				b.env.PutText(n.key, v)
				continue
			}
		default:
			if v, ok := n.get.flag(b.j, sc); ok {
				b.env.PutBool(n.key, v)
				continue
			}
		}
		b.env.Drop(n.key)
	}
}

// text runs an expression about the body alone, before any size is judged.
func (b *binder) text(f *formula.Formula) (string, error) {
	names, _ := b.j.voc.lookUp(f.Names(), false)
	b.put(names, &scene{zone: -1})
	return f.Text(b.env)
}

// say renders a template in a scene.
func (b *binder) say(l *Lazy[*formula.Template], sc *scene) (string, error) {
	if l == nil {
		return "", nil
	}
	t, err := l.Get()
	if err != nil {
		return "", err
	}
	names, _ := b.j.voc.lookUp(t.Names(), false)
	b.put(names, sc)
	return t.Render(b.env, printer{b.j.words, b.j, sc})
}

// printer prints an ease by its zone's unit.
type printer struct {
	words
	j  *judging
	sc *scene
}

// Ease prints an ease as a length or a percentage, as its zone has it.
func (p printer) Ease(name string, v float64) string {
	_, measure, _ := strings.Cut(name, ".")
	z := p.sc.zone
	if !strings.HasPrefix(name, "zone.") {
		z = p.j.zoneAt(measure)
	}
	if z >= 0 && p.j.zones[z].zone.percent() {
		return p.Percent(v)
	}
	return p.Length(v)
}

// fired is one rule in one scene that it fired in.
type fired struct {
	rule  *boundRule
	scene scene
}

// skipped is one rule in one scene that wanted something unknown.
type skipped struct {
	fired
	missing []string
}

// hearing is what the rules have to say about one size.
type hearing struct {
	fired   []fired
	skipped []skipped
}

func (h *hearing) stops() bool {
	return slices.ContainsFunc(h.fired, func(f fired) bool { return f.rule.Severity == Stop })
}

// scenes lists where a rule looks in one size.
func (j *judging) scenes(r *boundRule, s int) []scene {
	switch {
	case r.Zone != "" || r.Each == "zone":
		return j.zoneScenes(r, s)
	case r.Each == "measurement":
		var out []scene
		for _, name := range j.voc.names {
			if _, ok := j.Body.Measurements[name]; ok {
				out = append(out, scene{s: s, zone: -1, measure: name})
			}
		}
		return out
	case r.Each == "opening":
		var out []scene
		for i := range j.recipe.Openings {
			fit := j.opening(&j.recipe.Openings[i], s)
			out = append(out, scene{s: s, zone: -1, opening: &fit})
		}
		return out
	}
	return []scene{{s: s, zone: -1}}
}

// zoneScenes lists the judged zones a rule looks at; nothing is ruled out by an
// estimate.
func (j *judging) zoneScenes(r *boundRule, s int) []scene {
	out := make([]scene, 0, len(j.zones))
	for z, c := range j.zones {
		fit := j.fitted(z, s)
		if !fit.judged || r.Zone != "" && r.Zone != c.zone.Name || r.Severity == Stop && fit.finished.estimated {
			continue
		}
		out = append(out, scene{s: s, zone: z})
	}
	return out
}

// ask runs one rule on one size.
func (j *judging) ask(r *boundRule, s int, h *hearing) error {
	for _, sc := range j.scenes(r, s) {
		j.env.put(r.names, &sc)
		yes, err := r.when.Bool(j.env.env)
		var missing *formula.Missing
		switch {
		case errors.As(err, &missing):
			h.skipped = append(h.skipped, skipped{fired{r, sc}, missing.Names})
		case err != nil:
			return placedError(r.At, fmt.Errorf("rule `%s`: %w", r.ID, err))
		case yes:
			h.fired = append(h.fired, fired{r, sc})
		}
	}
	return nil
}

// hear runs the rules that want accepts on one size.
func (j *judging) hear(s int, want func(*boundRule) bool) (*hearing, error) {
	h := &hearing{}
	for _, r := range j.rules {
		if !want(r) {
			continue
		}
		if err := j.ask(r, s, h); err != nil {
			return nil, err
		}
	}
	return h, nil
}

// hearAll runs every rule on every size; a rule whose names are the same for
// all sizes is run once.
func (j *judging) hearAll(ps []placed) (map[int]*hearing, error) {
	out := make(map[int]*hearing, len(ps))
	if len(ps) == 0 {
		return out, nil
	}
	same, err := j.hear(ps[0].s, func(r *boundRule) bool { return !r.local })
	if err != nil {
		return nil, err
	}
	for _, p := range ps {
		h, err := j.hear(p.s, func(r *boundRule) bool { return r.local })
		if err != nil {
			return nil, err
		}
		h.fired, h.skipped = append(h.fired, same.fired...), append(h.skipped, same.skipped...)
		j.sortHearing(h)
		out[p.s] = h
	}
	return out, nil
}

var graveness = map[Severity]int{Stop: 0, Warn: 1, Note: 2}

// sortHearing puts the gravest first, then from the top of the body down, then by id.
func (j *judging) sortHearing(h *hearing) {
	slices.SortStableFunc(h.fired, func(a, b fired) int {
		return cmp.Or(cmp.Compare(graveness[a.rule.Severity], graveness[b.rule.Severity]),
			cmp.Compare(j.place(&a.scene), j.place(&b.scene)), strings.Compare(a.rule.ID, b.rule.ID))
	})
	slices.SortStableFunc(h.skipped, func(a, b skipped) int {
		return cmp.Or(strings.Compare(a.rule.ID, b.rule.ID), cmp.Compare(j.place(&a.scene), j.place(&b.scene)))
	})
}

// place is where a scene lies: the whole garment first, then zones from the top
// down, openings as the recipe lists them, measurements from the top down.
func (j *judging) place(sc *scene) int {
	switch {
	case sc.zone >= 0:
		return 1 + sc.zone
	case sc.opening != nil:
		return 1 + len(j.zones)
	case sc.measure != "":
		return 2 + len(j.zones) + j.voc.Measure(sc.measure).index
	}
	return 0
}

// ids lists the rules that fired, each once, in order.
func (h *hearing) ids() []string {
	out := []string{}
	for _, f := range h.fired {
		if !slices.Contains(out, f.rule.ID) {
			out = append(out, f.rule.ID)
		}
	}
	return out
}

// where names the zone, measurement or opening of a scene.
func (j *judging) where(sc *scene) string {
	switch {
	case sc.zone >= 0:
		return j.zones[sc.zone].zone.Name
	case sc.opening != nil:
		return sc.opening.o.Name
	}
	return sc.measure
}

// caution words a rule that fired.
func (j *judging) caution(f *fired) (Caution, error) {
	c := Caution{ID: f.rule.ID, Severity: f.rule.Severity, Zone: j.where(&f.scene), Source: f.rule.Source, At: f.rule.At.String()}
	var err error
	if c.Say, err = j.env.say(f.rule.Say, &f.scene); err != nil {
		return c, j.wordError(f, "say", err)
	}
	if c.Fix, err = j.env.say(f.rule.Fix, &f.scene); err != nil {
		return c, j.wordError(f, "fix", err)
	}
	return c, nil
}

func (j *judging) wordError(f *fired, field string, err error) error {
	return placedError(f.rule.At, fmt.Errorf("rule `%s`, `%s`: %w", f.rule.ID, field, err))
}

// notChecked says why a rule was not run.
func (j *judging) notChecked(s *skipped) NotChecked {
	var abouts []string
	for _, name := range s.missing {
		about := name
		if t, ok := j.voc.term(name); ok {
			about = t.name.About
		}
		abouts = append(abouts, about)
	}
	return NotChecked{ID: s.rule.ID, Zone: j.where(&s.scene), Because: "not known: " + list(abouts, "and")}
}

// explainCaution is the claim of a rule that fired; with trace, each part of
// its condition with the value it had.
func (j *judging) explainCaution(f *fired, c *Caution, trace bool) (*explain.Node, error) {
	id := explain.ID("caution", c.ID)
	if c.Zone != "" {
		id = explain.ID("caution", c.ID, c.Zone)
	}
	n := &explain.Node{ID: id, Label: c.Say, Value: explain.Text(string(c.Severity)), Source: c.Source + " (" + c.At + ")"}
	if !trace {
		return n, nil
	}
	j.env.put(f.rule.names, &f.scene)
	_, parts, err := f.rule.when.Trace(j.env.env)
	if err != nil {
		return nil, placedError(f.rule.At, err)
	}
	condition := &explain.Node{ID: id + "/when", Label: "because " + f.rule.when.Source(), Source: c.At}
	for i, p := range parts {
		label := p.Text + ": not looked at, the rest had settled it"
		if p.Reached {
			label = fmt.Sprintf("%s is %v", p.Text, p.Value)
		}
		condition.Add(&explain.Node{ID: fmt.Sprintf("%s/when/%d", id, i+1), Label: label, Source: c.At})
	}
	n.Add(condition)
	if c.Fix != "" {
		n.Add(&explain.Node{ID: id + "/fix", Label: "what to do: " + c.Fix, Source: c.Source})
	}
	return n, nil
}
