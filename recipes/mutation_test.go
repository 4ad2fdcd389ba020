//go:build !race

package recipes

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
)

// leastCaught is the share of small slips in the shipped recipes and rules that
// their examples must catch.
const leastCaught = 0.95

// slip is one figure or comparison of a recipe or a shared rule, put down wrong.
type slip struct {
	what   string
	recipe func(engine.Recipe) *engine.Recipe // nil: as it is
	rule   *engine.Rule                       // the wrong one, for the right one of its id; nil: none
}

// cast is a recipe with its examples.
type cast struct {
	recipe   *engine.Recipe
	examples []Example
}

// Every ease is moved by a quarter of its range, each end both ways; the
// measurement that picks the size gives way to the next zone's; every comparison
// of a rule is turned round; and every limit is moved by a tenth, both ways. An
// example catches a slip where it fails for it. The survivors are listed with -v.
func TestExamplesCatchSlips(t *testing.T) {
	voc, shared := known(t)
	var all []cast
	for _, name := range Names() {
		recipe, examples := exemplified(t, name, voc, shared)
		all = append(all, cast{recipe, examples})
		if (&slip{}).catch(all[len(all)-1], shared, voc) {
			t.Fatalf("the examples of %s fail as it is", name)
		}
	}
	type trial struct {
		slip
		by     []cast
		caught bool
	}
	var trials []*trial
	for i, c := range all {
		for _, s := range slipsOf(t, c.recipe, voc) {
			trials = append(trials, &trial{slip: s, by: all[i : i+1]})
		}
	}
	for _, r := range shared {
		for _, s := range rewritten(t, r, voc) {
			trials = append(trials, &trial{slip: s, by: all})
		}
	}
	var work sync.WaitGroup
	next := make(chan *trial)
	for range 2 {
		work.Go(func() {
			for s := range next {
				s.caught = slices.ContainsFunc(s.by, func(c cast) bool { return s.catch(c, shared, voc) })
			}
		})
	}
	for _, s := range trials {
		next <- s
	}
	close(next)
	work.Wait()
	caught := 0
	for _, s := range trials {
		if s.caught {
			caught++
		} else if testing.Verbose() {
			t.Log("survived: " + s.what)
		}
	}
	share := float64(caught) / float64(len(trials))
	t.Logf("the examples catch %d of %d slips, %.1f %%", caught, len(trials), 100*share)
	if share < leastCaught {
		t.Errorf("they should catch %.0f %%; -v lists those that survived", 100*leastCaught)
	}
}

// catch tells whether an example of the recipe fails for the slip. A wrong rule
// that rules nothing out can only fail where an example says its id.
func (s *slip) catch(c cast, shared []*engine.Rule, voc *engine.Vocabulary) bool {
	recipe := c.recipe
	if s.recipe != nil {
		recipe = s.recipe(*recipe)
	}
	if s.rule != nil {
		own := *recipe
		own.Rules, shared = instead(own.Rules, s.rule), instead(shared, s.rule)
		recipe = &own
	}
	return slices.ContainsFunc(c.examples, func(e Example) bool {
		if s.rule != nil && s.rule.Severity != engine.Stop && !slices.ContainsFunc(e.Claims, func(c Claim) bool { return c.Want == s.rule.ID }) {
			return false
		}
		o := Run(&e, recipe, shared, voc)
		return !o.Passed()
	})
}

// instead puts a rule in the place of the one of its id, if that is there.
func instead(all []*engine.Rule, rule *engine.Rule) []*engine.Rule {
	out := slices.Clone(all)
	if i := slices.IndexFunc(out, func(r *engine.Rule) bool { return r.ID == rule.ID }); i >= 0 {
		out[i] = rule
	}
	return out
}

// slipsOf are all slips of one recipe.
func slipsOf(t *testing.T, recipe *engine.Recipe, voc *engine.Vocabulary) []slip {
	var all []slip
	for i := range recipe.Zones {
		all = append(all, easeSlips(recipe, i)...)
	}
	if other := nextMeasure(recipe); other != "" {
		all = append(all, slip{what: recipe.Name + ": chosen by the " + other, recipe: func(r engine.Recipe) *engine.Recipe {
			r.Controlling = engine.Controlling{Names: []string{other}}
			return &r
		}})
	}
	for _, r := range recipe.Rules {
		all = append(all, rewritten(t, r, voc)...)
	}
	return all
}

// easeSlips move each end of a zone's ease by a quarter of the range; an open
// range is as wide as two tolerances.
func easeSlips(recipe *engine.Recipe, zone int) []slip {
	ease := recipe.Zones[zone].Ease
	if ease == nil {
		return nil
	}
	width := 2 * recipe.Zones[zone].Tolerance
	if ease.HasLow && ease.HasHigh {
		width = ease.High - ease.Low
	}
	var all []slip
	move := func(end string, low, high float64) {
		all = append(all, slip{what: fmt.Sprintf("%s: ease at the %s, %s by a quarter", recipe.Name, recipe.Zones[zone].Name, end), recipe: func(r engine.Recipe) *engine.Recipe {
			moved := *ease
			moved.Low, moved.High = moved.Low+low, moved.High+high
			r.Zones = slices.Clone(r.Zones)
			r.Zones[zone].Ease = &moved
			return &r
		}})
	}
	if ease.HasLow {
		move("low end down", -width/4, 0)
		move("low end up", width/4, 0)
	}
	if ease.HasHigh {
		move("high end down", 0, -width/4)
		move("high end up", 0, width/4)
	}
	return all
}

// nextMeasure is what is measured at the zone behind the one that picks the size.
func nextMeasure(recipe *engine.Recipe) string {
	names := recipe.Controlling.Names
	if len(names) == 0 {
		names = []string{""}
	}
	at := slices.IndexFunc(recipe.Zones, func(z engine.Zone) bool { return z.Measure == names[0] })
	for i := range recipe.Zones {
		if z := recipe.Zones[(at+1+i)%len(recipe.Zones)]; !slices.Contains(names, z.Measure) {
			return z.Measure
		}
	}
	return ""
}

// comparison is a text in quotes, which is passed over, or a comparison.
var comparison = regexp.MustCompile(`"[^"]*"|'[^']*'|<=|>=|==|!=|<|>|\bnot in\b|\bin\b`)

var turned = map[string]string{"<": ">=", ">=": "<", ">": "<=", "<=": ">", "==": "!=", "!=": "==", "in": "not in", "not in": "in"}

// rewritten are all slips of one rule.
func rewritten(t *testing.T, r *engine.Rule, voc *engine.Vocabulary) []slip {
	var all []slip
	add := func(what, when string, limits []engine.Limit) {
		wrong := *r
		wrong.Text.When, wrong.Limits = when, limits
		f, err := formula.Compile(when, schemaWith(limits, voc), formula.Bool)
		if err != nil {
			t.Fatalf("%s, %s: %v", r.ID, what, err)
		}
		wrong.When = sync.OnceValues(func() (*formula.Formula, error) { return f, nil })
		all = append(all, slip{what: r.Topic + ": " + r.ID + ": " + what, rule: &wrong})
	}
	when := r.Text.When
	for _, at := range comparison.FindAllStringIndex(when, -1) {
		if other := turned[when[at[0]:at[1]]]; other != "" {
			add("`"+around(when, at)+"` turned into "+other, when[:at[0]]+other+when[at[1]:], r.Limits)
		}
	}
	for i, l := range r.Limits {
		if l.Value == 0 || !strings.Contains(when, l.Name) {
			continue // a tenth of nothing, or a figure for the texts alone
		}
		for _, by := range []float64{0.9, 1.1} {
			moved := slices.Clone(r.Limits)
			moved[i].Value *= by
			add(fmt.Sprintf("%s, %s, times %g", l.Name, l.Text, by), when, moved)
		}
	}
	return all
}

// around is a comparison with the words beside it.
func around(when string, at []int) string {
	before, after := strings.Fields(when[:at[0]]), strings.Fields(when[at[1]:])
	return before[len(before)-1] + " " + when[at[0]:at[1]] + " " + after[0]
}

func schemaWith(limits []engine.Limit, voc *engine.Vocabulary) *formula.Schema {
	fixed := make([]formula.Fixed, len(limits))
	for i, l := range limits {
		fixed[i] = formula.Fixed{Name: formula.Name{Name: l.Name, Dim: l.Dim}, Value: l.Value}
	}
	return voc.Schema().With(fixed...)
}
