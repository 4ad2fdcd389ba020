package engine

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine/formula"
	"fitadvisor/explain"
)

// explainCautions hangs below a size each rule that spoke. With Trace, each part
// of its condition too, and the rules that could not be asked; with Ask, one
// rule in full, with the places it looked at and passed.
func (j explainer) explainCautions(size *explain.Node, s int, h *ruleResults, q Request) error {
	for k := range h.fired {
		n, err := j.explainFired(size.ID, &h.fired[k], q.Trace)
		if err != nil {
			return err
		}
		size.Add(n)
	}
	if q.Trace {
		for k := range h.skipped {
			size.Add(j.explainSkipped(size.ID, &h.skipped[k]))
		}
	}
	if q.Ask == "" {
		return nil
	}
	for _, r := range j.allRules() {
		if r.ID != q.Ask {
			continue
		}
		n, err := j.explainAsked(size.ID, r, s, h)
		if err != nil {
			return err
		}
		size.Add(n)
	}
	return nil
}

// sceneID is the id of a rule in one scene below a size.
func (j explainer) sceneID(size string, r *boundRule, sc *scene) string {
	if r.Alter != nil {
		return size + "/" + explain.ID("alteration", r.ID)
	}
	id := size + "/" + explain.ID("caution", r.ID)
	if where := j.where(sc); where != "" {
		id += "/" + explain.ID(where)
	}
	return id
}

// explainFired is the claim of a rule that spoke.
func (j explainer) explainFired(size string, f *fired, trace bool) (*explain.Node, error) {
	c, err := j.caution(f)
	if err != nil {
		return nil, err
	}
	n := &explain.Node{ID: j.sceneID(size, f.rule, &f.scene), Label: c.Say, Value: explain.Text(string(c.Severity)), Source: c.Source + " (" + c.At + ")"}
	if !trace {
		return n, nil
	}
	when, err := j.explainWhen(n.ID, f.rule, &f.scene)
	if err != nil {
		return nil, err
	}
	n.Add(when)
	if c.Fix != "" {
		n.Add(&explain.Node{ID: n.ID + "/fix", Label: "what to do: " + c.Fix, Source: c.Source})
	}
	return n, nil
}

// explainWhen is a rule's condition, part by part, with the values it saw.
func (j explainer) explainWhen(id string, r *boundRule, sc *scene) (*explain.Node, error) {
	j.env.put(r.names, sc)
	return j.explainCondition(id+"/when", "it asks whether ", r, r.when, sc)
}

// explainCondition is a condition of a rule, whose values are put already.
func (j explainer) explainCondition(id, lead string, r *boundRule, f *formula.Formula, sc *scene) (*explain.Node, error) {
	_, parts, err := f.Trace(j.env.env)
	if err != nil {
		return nil, placedError(r.At, err)
	}
	t := &tracing{j: j.judging, r: r, source: f.Source(), sc: sc, parts: parts, id: id}
	if len(parts) == 0 {
		return &explain.Node{ID: t.id, Label: lead + f.Source(), Source: r.At.String()}, nil
	}
	root := t.node(0)
	root.ID, root.Label = t.id, lead+root.Label
	return root, nil
}

// tracing turns the parts of one condition into claims.
type tracing struct {
	j      *judging
	r      *boundRule
	source string // of the expression
	sc     *scene
	parts  []formula.Part
	id     string
}

// node is one part with the parts it is made of; what was not looked at is not
// taken apart.
func (t *tracing) node(i int) *explain.Node {
	p := &t.parts[i]
	n := t.j.explainer().explainPart(fmt.Sprintf("%s/%d", t.id, i), t.r, p, t.sc)
	if p.Reached {
		for _, k := range t.operands(i) {
			n.Add(t.node(k))
		}
	}
	return n
}

// operands are the parts directly below a part; the links of a chain such as
// `a and b and c` are one level.
func (t *tracing) operands(i int) []int {
	var out []int
	for _, k := range t.below(i) {
		if word := t.joins(i); word != "" && t.joins(k) == word && t.parts[k].From == t.parts[i].From {
			out = append(out, t.operands(k)...)
			continue
		}
		out = append(out, k)
	}
	return out
}

func (t *tracing) below(i int) []int {
	var out []int
	for k := i + 1; k < len(t.parts) && t.parts[k].Depth > t.parts[i].Depth; k++ {
		if t.parts[k].Depth == t.parts[i].Depth+1 {
			out = append(out, k)
		}
	}
	return out
}

// joins is the word that joins a part's two operands, "and" or "or".
func (t *tracing) joins(i int) string {
	below := t.below(i)
	if len(below) != 2 {
		return ""
	}
	source := []rune(t.source)
	between := strings.TrimSpace(strings.Trim(string(source[t.parts[below[0]].To:t.parts[below[1]].From]), "() "))
	if between == "and" || between == "or" {
		return between
	}
	return ""
}

// explainPart is one part of a condition: what it came to, or that the rest had
// settled it.
func (j explainer) explainPart(id string, r *boundRule, p *formula.Part, sc *scene) *explain.Node {
	n := &explain.Node{ID: id, Label: p.Text, Source: r.At.String()}
	if t, named := j.voc.term(p.Text); named {
		n.Label += " (" + t.name.About + ")"
	}
	if !p.Reached {
		n.Label += ": not looked at, the rest had settled it"
		return n
	}
	switch v := p.Value.(type) {
	case bool:
		n.Value = explain.Text(yesNo(v))
		n.Label += ": " + yesNo(v)
	case string:
		n.Value = explain.Text(v)
		n.Label += ": " + v
	case float64:
		if i := slices.IndexFunc(r.Limits, func(l Limit) bool { return l.Name == p.Text }); i >= 0 {
			n.Label += " (this rule's own): " + r.Limits[i].Text
			return n
		}
		text, value := j.explainNumber(p, v, sc)
		n.Value = value
		n.Label += ": " + text
	}
	return n
}

// explainNumber prints a number by what it measures, computed or not.
func (j explainer) explainNumber(p *formula.Part, v float64, sc *scene) (string, *explain.Value) {
	dim := p.Dim
	if dim == formula.Ease {
		dim = formula.Length
		if (printer{words: j.words, j: j.judging, sc: sc}).isPercent(p.Ease) {
			dim = formula.Percent
		}
	}
	switch dim {
	case formula.Length:
		return j.Length(v), explain.Number(roundTo(v, 1000), "cm")
	case formula.Percent:
		return j.Percent(v), explain.Number(roundTo(v, 100), "percent")
	}
	return pointsText(v), explain.Number(roundTo(v, 10_000), "")
}

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// explainSkipped is a rule that could not be asked, and how to make it possible.
func (j explainer) explainSkipped(size string, sk *skipped) *explain.Node {
	id := strings.Replace(j.sceneID(size, sk.rule, &sk.scene), "/caution/", "/unasked/", 1)
	nc := j.notChecked(sk)
	n := &explain.Node{ID: id, Label: fmt.Sprintf("the rule %s was not asked%s: %s", sk.rule.ID, at(nc.Zone), nc.Because), Source: sk.rule.At.String()}
	for i, name := range sk.missing {
		group, measure, _ := strings.Cut(name, ".")
		if m := j.voc.Measure(measure); m != nil && group == "body" {
			n.Add(&explain.Node{ID: fmt.Sprintf("%s/%d", id, i+1), Label: fmt.Sprintf("to take the %s: %s", m.Title, m.How), Source: m.Source})
		}
	}
	return n
}

func at(zone string) string {
	if zone == "" {
		return ""
	}
	return " at the " + strings.ReplaceAll(zone, "_", " ")
}

// explainAsked is one rule in full: where it stands and from where it comes, and
// every place it looked at without speaking.
func (j explainer) explainAsked(size string, r *boundRule, s int, h *ruleResults) (*explain.Node, error) {
	id := size + "/" + explain.ID("caution", r.ID, "rule")
	n := &explain.Node{ID: id, Value: explain.Text(string(r.Severity)), Source: r.Source + " (" + r.At.String() + ")",
		Label: fmt.Sprintf("the rule %s (%s, topic %s): %s", r.ID, r.Severity, r.Topic, r.Text.When)}
	for i, l := range r.Limits {
		n.Add(&explain.Node{ID: fmt.Sprintf("%s/limit/%d", id, i+1), Label: "its own " + l.Name + " = " + l.Text, Source: r.At.String()})
	}
	for _, sc := range j.everyScene(r, s) {
		if h.applied(r, &sc) {
			continue
		}
		where := j.where(&sc)
		pass := &explain.Node{ID: explain.ID(where), Label: "looked at the whole garment and passed", Source: r.At.String()}
		if where != "" {
			pass.Label = "looked at the " + strings.ReplaceAll(where, "_", " ") + " and passed"
		}
		pass.ID = id + "/passed/" + explain.ID(where)
		when, err := j.explainWhen(pass.ID, r, &sc)
		if err != nil {
			if !isMissing(err) {
				return nil, err
			}
			continue // told among those not asked
		}
		n.Add(pass.Add(when))
	}
	return n, nil
}

// applied tells whether a rule spoke in a scene, or could not be asked there.
func (h *ruleResults) applied(r *boundRule, sc *scene) bool {
	same := func(f *fired) bool {
		return f.rule == r && f.scene.zone == sc.zone && f.scene.measure == sc.measure && (f.scene.opening == nil) == (sc.opening == nil) &&
			(sc.opening == nil || f.scene.opening.o == sc.opening.o) && f.scene.cord == sc.cord && f.scene.altered == sc.altered
	}
	for i := range h.fired {
		if same(&h.fired[i]) {
			return true
		}
	}
	for i := range h.skipped {
		if same(&h.skipped[i].fired) {
			return true
		}
	}
	return false
}

// everyScene lists every place a rule looks at in one size.
func (j *judging) everyScene(r *boundRule, s int) []scene {
	if r.Zone == "" && r.Each != EachZone {
		if r.Each == "" {
			return []scene{{s: s, zone: -1}}
		}
		return slices.Clone(j.scenes(r, s))
	}
	var out []scene
	for z := range j.zones {
		if sc := (scene{s: s, zone: z}); j.fitted(z, s).judged && r.looksAt(j.zones[z].zone) && j.asked(r, &sc) {
			out = append(out, sc)
		}
	}
	return out
}

// allRules lists every rule that applies to the recipe.
func (f *Fitter) allRules() []*boundRule {
	return slices.Concat(f.atOnce, f.byZone, f.onAlterations, f.reasons)
}
