package engine

import "slices"

// AskAll judges one body and asks the rules about every size, telling for each
// place where one could be answered whether it fired, and which names its texts
// lacked then. Alterations, and the rules about them, are asked about the chart
// size alone. It is for finding rules that always speak or never do, or cannot
// say what they mean, over many bodies.
func (f *Fitter) AskAll(t Fitting, told func(r *Rule, fired bool, lacks []string)) error {
	j, err := f.judge(t)
	if err != nil {
		return err
	}
	defer j.leave()
	for _, r := range f.allRules() {
		for s := range j.sizes {
			if !r.local && s > 0 {
				break // it says the same of all
			}
			j.askThere(r, j.everywhere(r, s), told)
		}
	}
	if err := j.alter(j.chart.s, Request{Fitting: t}); err != nil {
		return err
	}
	for _, m := range j.altering.made {
		told(m.rule.Rule, true, m.lacks)
	}
	for _, m := range j.altering.silent {
		told(m.rule.Rule, false, nil)
	}
	for _, r := range f.onAlterations {
		j.askThere(r, j.scenes(r, j.chart.s), told)
	}
	return nil
}

// askThere asks a rule in some scenes.
func (j *judging) askThere(r *boundRule, scenes []scene, told func(r *Rule, fired bool, lacks []string)) {
	for i := range scenes {
		h := &hearing{}
		if err := j.ask(r, &scenes[i], h); err != nil || len(h.skipped) > 0 {
			continue
		}
		var lacks []string
		if len(h.fired) > 0 {
			_, say, _ := j.env.render(r.Say, &scenes[i]) // what cannot be computed was told when it was read
			_, fix, _ := j.env.render(r.Fix, &scenes[i])
			lacks = append(say, fix...)
		}
		told(r.Rule, len(h.fired) > 0, lacks)
	}
}

// everywhere lists where a rule looks in one size.
func (j *judging) everywhere(r *boundRule, s int) []scene {
	if r.Zone == "" && r.Each == "" {
		return []scene{{s: s, zone: -1}}
	}
	if r.Each != "" && r.Each != "zone" {
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
