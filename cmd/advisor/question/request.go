package question

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
)

// Asked names what a question is about: files, or names in the notebook.
type Asked struct {
	Pattern, Body, Cloth, Toile string
	Like                        []string // garments that are kept
	Typed                       Typed    // what stands in for a pattern, a body and a cloth that are not named
}

// Request reads all that is named. What is wrong is among the problems; with errors there the request is not to be used.
func (d *Files) Request(q Asked) engine.Request {
	r := engine.Request{Vocabulary: d.Voc, Rules: d.Rules()}
	go engine.CompileEarly(r.Rules) // nobody waits for it
	typed := q.Pattern == "" && q.Typed.Type != ""
	if typed {
		r.Pattern = q.Typed.pattern(d)
	} else {
		r.Pattern = d.Pattern(q.Pattern)
	}
	r.Body, r.Cloth = cmp.Or(d.Body(q.Body), q.Typed.body(d)), d.Cloth(q.Cloth)
	if typed {
		r.Recipe = d.Type(r.Pattern, d.FolderOf("."))
	} else {
		r.Recipe = d.TypeOf(r.Pattern, q.Pattern)
	}
	r.Cloth = cmp.Or(r.Cloth, q.Typed.cloth(d, r.Recipe))
	r.Observed = d.Observations(q.Toile)
	for _, path := range q.Like {
		if kept := d.Garment(path, r.Recipe); kept != nil {
			r.Kept = append(r.Kept, kept)
		}
	}
	d.Complete(&r)
	return r
}

// Complete adds to a request what its body brings along: the makes that are remembered, and the habits that they tell of. It
// tells what of the request does not go together.
func (d *Files) Complete(r *engine.Request) {
	if r.Recipe != nil {
		d.Tell(rules.Clashes(r.Recipe.Rules, r.Rules)...)
	}
	if r.Observed != nil && r.Recipe != nil {
		d.Tell(recipes.UnknownAlterations(r.Observed.Alterations, r.Recipe.Rules, r.Rules)...)
	}
	if r.Body != nil && r.Recipe != nil {
		d.Tell(recipes.UnknownAlterations(r.Body.Alterations, r.Recipe.Rules, r.Rules)...)
		if !d.Problems.HasErrors() {
			d.Tell(recipes.SlipsFor(r.Body, d.Voc, r.Recipe)...)
		}
	}
	if r.Body != nil && r.Pattern != nil {
		r.Makes = d.Makes(r.Body.Name)
		r.Usual = engine.LearnHabits(r.Makes, engine.Lesson{Body: r.Body.Name, Maker: r.Pattern.Maker, Vocabulary: d.Voc}).Before()
	}
}

// Units are what a request is answered in where nothing is said: those of its body, else of its pattern.
func Units(r *engine.Request) quantity.Unit {
	if r.Body != nil && r.Body.Units != "" {
		return r.Body.Units
	}
	return r.Pattern.Units
}

// Want adds what is wanted and what is worn beneath to a request, as it is typed, in the request's units. It returns what
// cannot be read, and passes it over.
func (d *Files) Want(r *engine.Request, ease, over []string) (wrong []error) {
	for _, text := range ease {
		w, err := r.Vocabulary.Limits.ParseWish(text, r.Units)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		w.Zone = d.zone(r.Recipe, "ease", w.Zone)
		r.Wishes = append(r.Wishes, w)
	}
	for _, text := range over {
		l, err := r.Vocabulary.Limits.ParseLayer(text, r.Units)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		r.Over = append(r.Over, l)
	}
	return wrong
}

// Day is the day to judge by: one that is said, else the day it is.
func Day(said string) (string, error) {
	if said == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, said); err != nil {
		return "", fmt.Errorf("--today is a date such as 2026-11-02, not %q", said)
	}
	return said, nil
}

// zone is the zone of a garment type that a person calls by a word behind a flag: one of that name, or of the measurement that
// the word means.
func (d *Files) zone(r *engine.Recipe, flag, word string) string {
	if word == "" || r == nil || slices.ContainsFunc(r.Zones, func(z engine.Zone) bool { return z.Name == word }) {
		return word
	}
	return d.Word(flag, word)
}
