package engine_test

import (
	"math"
	"slices"
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
	answers, sizes, lines, alter, changes, beyond int
}

// muchMore is how much more than the least that will do counts as more: an eighth
// of an inch, in centimetres.
const muchMore = 2.54 / 8

// count adds an answer. A size line changes a garment by whole steps, and so is
// counted where they are more than the least too.
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
	if len(a.Alterations) > 0 {
		c.alter++
	}
	for i := range a.Plan.Levels {
		if met, more := beyondLeast(&a.Plan.Levels[i]); met {
			c.changes++
			if more > muchMore {
				c.beyond++
			}
		}
	}
}

// beyondLeast is how much further than it needed a level is changed, where a need is met there.
func beyondLeast(l *engine.Level) (met bool, more float64) {
	needed := false
	for _, c := range l.Changes {
		needed = needed || c.By == engine.ByLine || c.By == engine.ByDart || c.By == engine.BySeam || c.By == engine.ByAlteration && c.ID == ""
	}
	garment := func(ease float64) float64 {
		if l.Unit == "percent" {
			return l.You * (1 + ease/100)
		}
		return l.You + ease
	}
	switch {
	case !needed:
		return false, 0
	case l.Wish != nil:
		return true, math.Abs(l.Becomes - garment(*l.Wish))
	case l.Becomes > l.OnLine && l.Least != nil:
		return true, l.Becomes - garment(*l.Least)
	case l.Becomes < l.OnLine && l.Most != nil:
		return true, garment(*l.Most) - l.Becomes
	}
	return true, 0
}

func (c *planCounts) log(t *testing.T, of string) {
	t.Helper()
	t.Logf("%s: %d answers, %d with a size; %d of these move a line, %d alter; %d levels are changed for a need, %d by more than 1/8 in beyond the least that will do",
		of, c.answers, c.sizes, c.lines, c.alter, c.changes, c.beyond)
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
