package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/recipes"
)

// suggesting is what `chart --suggest` is asked, as typed.
type suggesting struct {
	sizes                int
	by, from, recipeType string
}

// check refuses what does not go together; a pattern is not looked at.
func (q *chartFlags) checkSuggest() error {
	switch s := &q.suggest; {
	case s.sizes == 0 && (s.by != "" || s.from != "" || s.recipeType != ""):
		return errors.New("--type, --by and --from are for sizes that are proposed: say how many with --suggest")
	case s.sizes == 0:
		return nil
	case s.by == "" || s.from == "" || q.to == "" || s.recipeType == "":
		return errors.New("say for whom, as in `advisor chart --suggest 6 --type straight-skirt --by hip --from 90cm --to 120cm`")
	case s.sizes < 1 || s.sizes > mostSuggested:
		return fmt.Errorf("--suggest takes 1 to %d sizes, not %d", mostSuggested, s.sizes)
	case q.other != "" || q.pattern != "":
		return errors.New("--suggest proposes sizes for a pattern that is not drawn yet: leave out the pattern and --compare")
	}
	return nil
}

// mostSuggested sizes are as many as patterns have.
const mostSuggested = 20

// propose tells which sizes a pattern should have.
func (q *chartFlags) propose(s streams, d *files) error {
	r, err := q.designed(d)
	if err != nil {
		return err
	}
	survey, done, err := q.survey(d, r.Units)
	if err != nil {
		return err
	}
	a, err := engine.Design(r, survey)
	if bad := done(); bad != nil {
		return bad
	}
	if err != nil {
		return err
	}
	if q.picture != "" {
		if err := q.drawInto(d, report.DesignPicture(a)); err != nil {
			return err
		}
	}
	var written []byte
	if filepath.Ext(q.out) == ".yaml" {
		written, err = recipes.WriteYAML(a.Pattern, d.Voc)
	} else {
		written, err = q.shown(s, a, func() *explain.Document {
			return report.Design(a, []string{"Write the proposal down as a pattern file: the same with -o proposal.yaml",
				"Ask whom it serves, once it is drawn: advisor chart proposal.yaml --bodies " + q.bodies})
		})
	}
	if err != nil {
		return err
	}
	return q.put(d, written)
}

// designed is the request, read from the flags. It reports everything wrong at once.
func (q *chartFlags) designed(d *files) (r engine.DesignRequest, err error) {
	units := cmp.Or(quantity.Unit(q.units), quantity.Cm)
	r = engine.DesignRequest{Vocabulary: d.Voc, Rules: d.Rules(), Sizes: q.suggest.sizes, Units: units}
	var wrong []error
	by, ok := d.Voc.Called(q.suggest.by)
	if !ok {
		wrong = append(wrong, &unknownWord{"--by", q.suggest.by, d.Voc.DidYouMean(q.suggest.by, d.Voc.BodyNames(), "")})
	}
	r.By = by
	for _, end := range []struct {
		flag, text string
		to         *quantity.Length
	}{{"--from", q.suggest.from, &r.From}, {"--to", q.to, &r.To}} {
		l, err := quantity.ParseLength(end.text, units)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("%s: %w", end.flag, err))
		}
		*end.to = l
	}
	if len(wrong) == 0 && r.To <= r.From {
		wrong = append(wrong, fmt.Errorf("--from %s lies above --to %s", q.suggest.from, q.to))
	}
	found, err := d.Find(q.suggest.recipeType, d.FolderOf("."))
	if err == nil {
		d.Take(found.Doc)
		r.Recipe = found.Recipe
		err = d.done()
	}
	if r.Recipe != nil && q.bodies == "" {
		q.bodies = populationOf(r.Recipe)
	}
	return r, errors.Join(append(wrong, err)...)
}

// populationOf is whom a type is drafted for.
func populationOf(r *engine.Recipe) string {
	switch r.Draft {
	case engine.ForMen:
		return "men"
	case engine.ForChildren:
		return "children"
	}
	return "women"
}
