package page

import (
	"maps"
	"slices"
	"strings"

	"fitadvisor/engine/report"
)

// easeField is the room that is wanted at one level.
type easeField struct{ ID, Label, Value string }

// easeAt are the levels of the garment at which room can be asked for.
func (f *form) easeAt() []easeField {
	if f.recipe == nil {
		return nil
	}
	asked := f.easeAsked()
	var out []easeField
	for i := range f.recipe.Zones {
		if z := &f.recipe.Zones[i]; z.Ease != nil {
			out = append(out, easeField{"ease." + z.Name, strings.ReplaceAll(z.Name, "_", " "), asked[z.Name]})
		}
	}
	return out
}

// easeAsked is the room that is asked for, by zone.
func (f *form) easeAsked() map[string]string {
	asked := map[string]string{}
	for _, text := range strings.Split(f.get("ease_more"), ",") {
		if zone, value, ok := strings.Cut(text, "="); ok {
			asked[strings.TrimSpace(zone)] = strings.TrimSpace(value)
		}
	}
	return asked
}

// proposals ask whether to do again what the notebook remembers, where that is neither asked for nor was said no to.
func (f *form) proposals(a *answer) []report.Proposal {
	if a == nil || a.Answer == nil {
		return nil
	}
	return report.Proposals(a.Answer, append(slices.Collect(maps.Keys(f.easeAsked())), f.values["again_no"]...))
}

// takeAgain asks for the room that a proposal was said yes to.
func (f *form) takeAgain() {
	zone, ease, ok := strings.Cut(f.get("again"), "=")
	f.values.Del("again")
	if !ok {
		return
	}
	asked := f.easeAsked()
	asked[zone] = ease
	var all []string
	for _, z := range slices.Sorted(maps.Keys(asked)) {
		all = append(all, z+"="+asked[z])
	}
	f.values.Set("ease_more", strings.Join(all, ", "))
}

// gatherEase makes one text of the room that is asked for level by level.
func (f *form) gatherEase() {
	var all []string
	typed := false
	for id := range f.values {
		if zone, ok := strings.CutPrefix(id, "ease."); ok {
			typed = true
			if value := strings.ReplaceAll(f.get(id), ",", "."); value != "" {
				all = append(all, zone+"="+value)
			}
			f.values.Del(id)
		}
	}
	if typed {
		slices.Sort(all)
		f.values.Set("ease_more", strings.Join(all, ", "))
	}
}

// whatKeys are the things that can be tried otherwise.
func (f *form) whatKeys() []choice {
	keys := []choice{}
	if f.recipe != nil {
		for _, name := range f.recipe.Wants(f.files.Voc, f.s.Rules()) {
			keys = append(keys, choice{name, "your " + f.files.Voc.Title(name)})
		}
	}
	return append(keys, choice{"cloth.stretch.across", "the stretch of the cloth across"}, choice{"cloth.stretch.along", "the stretch along"})
}

// whatIf is the change that is typed: of what is chosen beside it, unless it says itself of what.
func (f *form) whatIf() string {
	text := f.get("what_if")
	if text == "" || strings.Contains(text, "=") {
		return text
	}
	return f.get("what_key") + "=" + text
}
