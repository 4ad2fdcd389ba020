package engine_test

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
)

// planCounts counts what plans do.
type planCounts struct {
	sync.Mutex
	answers, sizes, lines, alter, measure int
	byLine, byAmount                      met
	nearer                                int
}

// met are the levels at which a need is met by one kind of means, and those of them
// at which the garment gets more than an eighth of an inch further than it had to.
type met struct{ levels, beyond int }

// muchMore is an eighth of an inch, in centimetres.
const muchMore = 2.54 / 8

// count adds an answer. A size line changes a garment by whole steps; everything else
// by an amount that is measured out.
func (c *planCounts) count(a *engine.Answer) {
	c.Lock()
	defer c.Unlock()
	c.answers++
	if a.Plan == nil {
		return
	}
	c.sizes++
	if slices.ContainsFunc(a.Lines, func(l engine.SizeLine) bool { return l.Size != a.Recommended.Size }) {
		c.lines++
	}
	switch {
	case slices.ContainsFunc(a.Alterations, func(m engine.Alteration) bool { return m.Amount != nil }):
		c.alter++
	case len(a.Alterations) > 0: // the pattern does not say for whom it is drafted
		c.measure++
	}
	for i := range a.Plan.Levels {
		l := &a.Plan.Levels[i]
		if !needed(l) {
			continue
		}
		by := &c.byAmount
		if l.Changes[len(l.Changes)-1].By == engine.ByLine {
			by = &c.byLine
		}
		by.levels++
		if beyondLeast(l) > muchMore {
			by.beyond++
		}
		if nearerDoes(a, l) {
			c.nearer++
		}
	}
}

// needed tells whether a level is changed because it would not do; what else is changed
// there goes with another level.
func needed(l *engine.Level) bool {
	return len(l.Changes) > 0 && slices.ContainsFunc([]string{"it would leave", "you asked for", "no one size"}, func(why string) bool { return strings.HasPrefix(l.Because, why) })
}

// nearerDoes tells whether the line before the one that is followed for a need would have done.
func nearerDoes(a *engine.Answer, l *engine.Level) bool {
	if len(l.Changes) != 1 || l.Changes[0].By != engine.ByLine || !strings.HasPrefix(l.Because, "it would leave") {
		return false
	}
	before := slices.Index(a.Shown.Sizes, l.Line) - 1
	if slices.Index(a.Shown.Sizes, a.Recommended.Size) > before {
		before += 2
	}
	z := zoneIn(a, a.Shown.Sizes[before], l.Zone)
	return z.Ease != nil && (l.Least == nil || *z.Ease >= *l.Least) && (l.Most == nil || *z.Ease <= *l.Most)
}

// beyondLeast is how much further than it had to the last change takes a level.
func beyondLeast(l *engine.Level) float64 {
	garment := func(ease float64) float64 {
		if l.Unit == "percent" {
			return l.You * (1 + ease/100)
		}
		return l.You + ease
	}
	switch larger := l.Changes[len(l.Changes)-1].Amount > 0; {
	case l.Wish != nil:
		return math.Abs(l.Becomes - garment(*l.Wish))
	case larger && l.Least != nil:
		return l.Becomes - garment(*l.Least)
	case !larger && l.Most != nil:
		return garment(*l.Most) - l.Becomes
	}
	return 0
}

func (c *planCounts) log(t *testing.T, of string) {
	t.Helper()
	t.Logf("%s: %d answers, %d with a size; %d of these move a line, %d alter by an amount, %d have only to be compared with the pattern; %d levels are changed by an amount, %d of them by more than 1/8 in beyond the least that will do; %d by a line, %d of them so, since lines go in whole steps",
		of, c.answers, c.sizes, c.lines, c.alter, c.measure, c.byAmount.levels, c.byAmount.beyond, c.byLine.levels, c.byLine.beyond)
	is(t, of+": lines further than one that would do", c.nearer, 0)
	is(t, of+": amounts beyond the least that will do", c.byAmount.beyond, 0)
}

// The shipped examples of every recipe.
func TestPlansOfExamples(t *testing.T) {
	voc, shared, counted := vocabulary(t), sharedRules(t), &planCounts{}
	for _, name := range recipes.Names() {
		r, err := recipes.Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := recipes.Source(name)
		if err != nil {
			t.Fatal(err)
		}
		examples, _ := recipes.ReadExamples(doc, voc, recipes.ReadRecipe(doc, voc, rules.AtOnce), shared, nil)
		for i := range examples {
			e := &examples[i]
			a, err := engine.Advise(engine.Request{Pattern: e.Pattern, Recipe: r, Rules: shared, Vocabulary: voc, Fitting: e.Given})
			if err != nil {
				continue // an example of a refusal
			}
			plan(t, name+", "+e.Name, r, a)
			sheet(t, name+", "+e.Name, a)
			counted.count(a)
		}
	}
	counted.log(t, "the examples of the recipes")
}

// Everybody surveyed, thinned, on every shipped recipe.
func TestPlansOfRealBodies(t *testing.T) {
	bodies, every, counted := bodiesOrSkip(t), 20, &planCounts{}
	if quick() {
		every *= 97
	}
	t.Run("recipes", func(t *testing.T) {
		for _, name := range recipes.Names() {
			for _, v := range inventions {
				t.Run(name+", "+v.name, func(t *testing.T) {
					t.Parallel()
					s := newSurvey(t, name, v)
					for i := 0; i < len(bodies) && !t.Failed(); i += every {
						if s.by(bodies[i]) == "" {
							continue
						}
						a, err := s.fitter.Advise(engine.Request{Fitting: engine.Fitting{Body: bodies[i], Cloth: s.fabric(s.recipe), Units: quantity.Cm}})
						if err != nil {
							t.Fatal(err)
						}
						plan(t, bodies[i].Name, s.recipe, a)
						sheet(t, bodies[i].Name, a)
						counted.count(a)
					}
				})
			}
		}
	})
	counted.log(t, "every 20th of the bodies surveyed")
}
