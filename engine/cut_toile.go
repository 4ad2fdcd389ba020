package engine

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// ToilePlan says whether a toile is advised for the size shown, and how to sew
// and read one. It is worked out whether or not it is advised.
type ToilePlan struct {
	Advised    bool        `json:"advised"`    // whether to sew one before the cloth is cut
	Because    []string    `json:"because"`    // the reasons, as parts of a sentence
	Rules      []string    `json:"rules"`      // the ids of the rules that gave them
	Size       string      `json:"size"`       // the size to sew it in
	Cloth      string      `json:"cloth"`      // the cloth to sew it from
	Allowances []Allowance `json:"allowances"` // the zones in doubt, from the top down
	LookAt     []string    `json:"look_at"`    // what to look at, in order
}

// Allowance is a seam allowance that is cut wider on the toile.
type Allowance struct {
	Zone    string  `json:"zone"`    // the zone's name
	Cm      float64 `json:"cm"`      // how wide, in centimetres
	Because string  `json:"because"` // why, in words
}

// reasons are the rules that advise a toile at the size shown: cautions that say
// so too, and those that are no cautions.
func (j *judging) toileReasons(s int, spoke *ruleResults) (*ruleResults, error) {
	h := &ruleResults{}
	for _, f := range spoke.fired {
		if f.rule.Toile != nil {
			h.fired = append(h.fired, f)
		}
	}
	for _, r := range j.reasons {
		for _, sc := range j.everyScene(r, s) {
			if err := j.ask(r, &sc, h); err != nil {
				return nil, err
			}
		}
	}
	j.sortResults(h)
	return h, nil
}

// toile plans the toile of the size shown.
func (j *judging) toile(p placed, spoke *ruleResults) (*ToilePlan, *explain.Node, error) {
	h, err := j.toileReasons(p.s, spoke)
	if err != nil {
		return nil, nil, err
	}
	t := &ToilePlan{Because: []string{}, Rules: h.ids(), Size: j.sizes[p.s], Cloth: j.explainer().testCloth(), Allowances: j.explainer().toileAllowances(h), LookAt: j.explainer().lookAt()}
	why := &explain.Node{ID: "toile", Value: explain.Text("advised"), Source: "method: toile"}
	for i := range h.fired {
		f := &h.fired[i]
		text, err := j.env.say(f.rule.Toile, &f.scene)
		if err != nil {
			return nil, nil, j.wordError(f.rule, "toile", err)
		}
		if text == "" || slices.Contains(t.Because, text) {
			continue
		}
		t.Because = append(t.Because, text)
		why.Add(&explain.Node{ID: j.explainer().sceneID("toile", f.rule, &f.scene), Label: text, Source: f.rule.Source + " (" + f.rule.At.String() + ")"})
	}
	if t.Advised = len(t.Because) > 0 && !p.ruledOut; !t.Advised {
		return t, nil, nil
	}
	why.Label = fmt.Sprintf("a toile of size %s is advised: %s", t.Size, strings.Join(t.Because, "; "))
	return t, why, nil
}

// drapes are what a woven that falls like the real cloth is, by its drape.
var drapes = map[string]string{
	"soft":   "a soft woven that hangs as yours does, such as worn sheeting or a lawn; firm calico would stand away and hide how it falls",
	"medium": "a medium calico, washed until it is as limp as your cloth",
	"crisp":  "a firm calico, which stands away as your cloth does",
	"":       "a cheap woven of the weight and drape of your cloth: calico for a firm one, worn sheeting for one that falls softly",
}

// testCloth says what to sew the toile from: like the real cloth in structure,
// drape, weight and stretch.
func (j explainer) testCloth() string {
	drape := ""
	var more []string
	if c := j.Cloth; c != nil {
		drape = c.Drape
		if c.Thickness != nil {
			more = append(more, "about "+quantity.FormatCount(c.Thickness.Cm()*10)+" mm thick")
		}
		if c.Grain == OnBias || c.Grain == Crosswise {
			more = append(more, "cut "+map[Grain]string{OnBias: "on the bias", Crosswise: "crosswise"}[c.Grain]+" as the garment will be")
		}
	}
	text := drapes[drape]
	switch stretch := j.cloth.round; {
	case j.cloth.structure == Knit && stretch.known:
		text = fmt.Sprintf("a knit that stretches as yours does, %s round the body, and springs back as well; a woven would say nothing", j.Percent(stretch.v))
	case j.cloth.structure == Knit:
		text = "a knit that stretches and springs back as yours does; a woven would say nothing"
	case j.stretches(stretch):
		text += fmt.Sprintf("; with the same stretch, %s round the body", j.Percent(stretch.v))
	}
	return strings.Join(append([]string{text}, more...), "; ")
}

// toileAllowances are the girths in doubt: estimated, still too small in the plan, or
// named by a reason. Each edge holds at least what would have to be let out.
func (j explainer) toileAllowances(h *ruleResults) []Allowance {
	out := []Allowance{}
	for _, r := range j.ledger.rows {
		c := j.zoneOf(r)
		if c == nil || c.measure.Kind != Girth {
			continue
		}
		because, wide := "", max(float64(j.voc.Limits.ToileAllowance), j.allowance())
		switch {
		case r.base.estimated:
			because = "what the garment measures there is an estimate"
		case r.shortage > 0:
			because = "it stays too small and may have to be let out"
			wide = max(wide, j.allowance()+r.shortage/float64(max(j.edgesAt(c.measure), 1)))
		case slices.ContainsFunc(h.fired, func(f fired) bool { return f.scene.zone == r.z }):
			because = "a reason for the toile lies there"
		default:
			continue
		}
		out = append(out, Allowance{c.zone.Name, roundTo(wide/nanometresPerCm, 1000), because})
	}
	return out
}

func (j *judging) allowance() float64 {
	if j.pattern.Allowance == nil {
		return 0
	}
	return float64(*j.pattern.Allowance)
}

// lookAt is the order in which a toile is read: what it hangs from, the zones
// from the top down, its balance, and how it moves.
func (j explainer) lookAt() []string {
	var out []string
	if hang := j.hangsFrom(); hang != "" {
		out = append(out, hang)
	}
	for _, r := range j.ledger.rows {
		if r.z >= 0 {
			out = append(out, j.lookAtLevel(r))
		}
	}
	return append(out,
		"The whole: centre front, centre back and side seams hang straight down, the cross grain lies level, the hem is even from the floor",
		"Move in it: sit, bend, lift your arms, take a step. What pulls then is too close, however it hangs")
}

// hangsFrom says how to put a toile on: from the shoulder, or from the waist.
func (j explainer) hangsFrom() string {
	within := func(top, bottom string) bool {
		return slices.ContainsFunc(j.zones, func(c *column) bool {
			return c.measure.Level >= j.voc.level(top) && c.measure.Level <= j.voc.level(bottom)
		})
	}
	switch {
	case j.recipe.HangsFrom == FromShoulder || within("shoulder_length", "underbust"):
		return "Shoulders and neck first, since all below hangs from them: the shoulder seam lies on the shoulder, the neck lies flat, nothing slides back"
	case within("waist", "hip"):
		return "The waist first, since all below hangs from it: tie a tape round your waist and let the waist edge hang from that, level all round"
	}
	return ""
}

// lookAtLevel says what to look for at one level of the plan.
func (j *judging) lookAtLevel(r *row) string {
	c := j.zones[r.z]
	text := capital(zoneTitle(c.zone))
	if j.hasSay(r.z) {
		text += ", which decides the size"
	}
	switch text += fmt.Sprintf(": %s of ease; ", j.explainer().easeAt(r, r.becomes())); {
	case r.base.estimated:
		return text + "the pattern does not say what it measures there, so measure the toile"
	case c.measure.Kind == Along:
		return text + "mark on the toile where it ends on you"
	case r.shortage > 0:
		return text + "look for creases that pull towards it, and open the seams until they lie flat"
	case r.shortage < 0:
		return text + "look for folds that hang, and pin them out evenly on both sides"
	}
	return text + "it should lie without pulling and without loose folds"
}
