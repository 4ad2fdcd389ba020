package engine

import (
	"errors"
	"slices"
)

// AskAll judges one body and asks the rules about every size, telling for each
// place where one could be answered whether it fired, and which names its texts
// lacked then. Alterations come first, and they and the rules about them are asked
// about the chart size alone. It is for finding rules that always speak or never do, or cannot
// say what they mean, over many bodies. The errors of rules that cannot be
// computed come joined, each a [*RuleError].
func (f *Fitter) AskAll(t Fitting, told func(r *Rule, fired bool, lacks []string)) error {
	j, err := f.judge(t)
	if err != nil {
		return err
	}
	defer j.giveBack()
	failed := []error{j.draw(j.chart.s, Request{Fitting: t})}
	for _, r := range f.allRules() {
		for s := range j.sizes {
			if !r.local && s > 0 {
				break // it says the same of all
			}
			failed = append(failed, j.askThere(r, j.everywhere(r, s), told))
		}
	}
	for _, a := range j.alterations {
		i := slices.IndexFunc(j.altering.made, func(m *altered) bool { return m.place == a })
		if i < 0 {
			told(a.Rule, false, nil)
			continue
		}
		told(a.Rule, true, j.altering.made[i].lacks)
	}
	for _, r := range f.onAlterations {
		failed = append(failed, j.askThere(r, j.scenes(r, j.chart.s), told))
	}
	return errors.Join(failed...)
}

// askThere asks a rule in some scenes, until it cannot be computed in one.
func (j *judging) askThere(r *boundRule, scenes []scene, told func(r *Rule, fired bool, lacks []string)) error {
	for i := range scenes {
		h := &ruleResults{}
		if err := j.ask(r, &scenes[i], h); err != nil {
			return err
		}
		if len(h.skipped) > 0 {
			continue
		}
		lacks, err := j.lacking(r, h)
		if err != nil {
			return err
		}
		told(r.Rule, len(h.fired) > 0, lacks)
	}
	return nil
}

// lacking lists the names that the texts of a rule lack where it fired.
func (j *judging) lacking(r *boundRule, h *ruleResults) ([]string, error) {
	var lacks []string
	for i := range h.fired {
		for _, text := range []struct {
			field string
			l     LateTemplate
		}{{"say", r.Say}, {"fix", r.Fix}, {"toile", r.Toile}} {
			_, missing, err := j.env.render(text.l, &h.fired[i].scene)
			if err != nil {
				return nil, j.wordError(r, text.field, err)
			}
			lacks = append(lacks, missing...)
		}
	}
	return lacks, nil
}

// everywhere lists where a rule looks in one size.
func (j *judging) everywhere(r *boundRule, s int) []scene {
	if r.Zone == "" && r.Each == "" {
		return []scene{{s: s, zone: -1}}
	}
	if r.Each != "" && r.Each != EachZone {
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
