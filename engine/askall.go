package engine

import "slices"

// AskAll judges one body and asks the rules about every size, telling for each
// place where one could be answered whether it fired. It is for finding rules
// that always speak or never do, over many bodies.
func (f *Fitter) AskAll(t Fitting, told func(r *Rule, fired bool)) error {
	j, err := f.judge(t)
	if err != nil {
		return err
	}
	defer j.leave()
	for _, r := range slices.Concat(f.atOnce, f.byZone) {
		for s := range j.sizes {
			if !r.local && s > 0 {
				break // it says the same of all
			}
			for _, sc := range j.everywhere(r, s) {
				h := &hearing{}
				if err := j.ask(r, &sc, h); err == nil && len(h.skipped) == 0 {
					told(r.Rule, len(h.fired) > 0)
				}
			}
		}
	}
	return nil
}

// everywhere lists where a rule looks in one size.
func (j *judging) everywhere(r *boundRule, s int) []scene {
	if r.Zone == "" && r.Each == "" {
		return []scene{{s: s, zone: -1}}
	}
	if r.Each != "" && r.Each != "zone" {
		return j.scenes(r, s)
	}
	var out []scene
	for z := range j.zones {
		if sc := (scene{s: s, zone: z}); j.fitted(z, s).judged && j.asked(r, &sc) {
			out = append(out, sc)
		}
	}
	return out
}
