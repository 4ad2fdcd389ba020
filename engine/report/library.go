package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Recipes lays out a list of garment types.
func Recipes(rs []*engine.Recipe) *explain.Document {
	t := explain.Table{Header: []string{"recipe", "garment type", "for", "chosen by"}}
	for _, r := range rs {
		t.Rows = append(t.Rows, []string{marked(r.Name, r.Own), r.Title, string(r.Draft), chosenBy(r)})
	}
	return listed(t, "`advisor recipe show NAME` says what decides the size of one, and why.")
}

// EaseAt lists the ease that garment types expect at a measurement, from the closest to the roomiest.
func EaseAt(rs []*engine.Recipe, v *engine.Vocabulary, measure string, units quantity.Unit) *explain.Document {
	d := &explain.Document{}
	t := explain.Table{Header: []string{"recipe", "for", "ease", "role", "source"}}
	for _, e := range Eases(rs, measure) {
		t.Rows = append(t.Rows, []string{e.recipe.Name, string(e.recipe.Draft), easeWords(e.zone.Ease, units), string(e.zone.Role), e.zone.Source})
	}
	if len(t.Rows) == 0 {
		d.Add(explain.Sentence("No garment type expects an ease at the " + v.Title(measure) + "."))
		return d
	}
	d.Add(explain.Sentence(fmt.Sprintf("The ease at the %s that garment types expect, finished less body, the closest first. What is smaller than the body is a share of it.", v.Title(measure))), t)
	return d
}

// EaseOf is the ease that a type expects at a zone.
type EaseOf struct {
	recipe *engine.Recipe
	zone   *engine.Zone
}

// Eases are those of garment types at a measurement, from the closest to the roomiest: shares of the body first.
func Eases(rs []*engine.Recipe, measure string) (all []EaseOf) {
	for _, r := range rs {
		for i := range r.Zones {
			if z := &r.Zones[i]; z.Measure == measure && z.Ease != nil && z.By != engine.ByChart {
				all = append(all, EaseOf{r, z})
			}
		}
	}
	low := func(e EaseOf) float64 {
		if e.zone.Ease.HasLow {
			return e.zone.Ease.Low
		}
		return e.zone.Ease.High
	}
	slices.SortStableFunc(all, func(a, b EaseOf) int {
		if a.zone.Ease.Percent != b.zone.Ease.Percent {
			return map[bool]int{true: -1, false: 1}[a.zone.Ease.Percent]
		}
		return cmp.Or(cmp.Compare(low(a), low(b)), cmp.Compare(a.zone.Ease.High, b.zone.Ease.High))
	})
	return all
}

// Facts gives such an ease to other programs.
func (e EaseOf) Facts() EaseJSON {
	return EaseJSON{Recipe: e.recipe.Name, Draft: string(e.recipe.Draft), ZoneJSON: zoneJSON(e.zone)}
}

// EaseJSON is the ease that a type expects at a zone.
type EaseJSON struct {
	Recipe string `json:"recipe"`
	Draft  string `json:"for"`
	ZoneJSON
}

// yours marks a name in a list as a person's own.
const yours = " *"

func marked(name string, own bool) string {
	if own {
		return name + yours
	}
	return name
}

// listed lays out a list, and says below it what a mark in it means and how to
// see more.
func listed(t explain.Table, more string) *explain.Document {
	if slices.ContainsFunc(t.Rows, func(row []string) bool { return strings.HasSuffix(row[0], yours) }) {
		more += " Your own are marked with *."
	}
	d := &explain.Document{}
	d.Add(t, explain.Sentence(more))
	return d
}

// chosenBy names the controlling measurements in few words.
func chosenBy(r *engine.Recipe) string {
	names := r.Controlling.Names
	if r.Controlling.Formula != nil {
		return "see the recipe"
	}
	return strings.ReplaceAll(strings.Join(names, ", else "), "_", " ")
}

// Recipe lays out one garment type: what decides, zone by zone, and why, with
// sources.
func Recipe(r *engine.Recipe, v *engine.Vocabulary, units quantity.Unit) *explain.Document {
	v = v.For(nil, r)
	d := &explain.Document{}
	d.Add(explain.Heading(capital(r.Title)+" ("+r.Name+")"), explain.Sentence(r.Because), facts(r, v))
	for i := range r.Zones {
		z := &r.Zones[i]
		d.Add(explain.Heading(zoneHeading(z)), zoneFacts(z, units, r.At.File))
	}
	if len(r.Openings) > 0 {
		d.Add(explain.Heading("Getting in"), openingFacts(r, v, units))
	}
	if len(r.Measurements) > 0 {
		taken := explain.Steps{}
		for i := range r.Measurements {
			taken.Items = append(taken.Items, explain.Step{Mark: r.Measurements[i].Name, Text: r.Measurements[i].How})
		}
		d.Add(explain.Heading("Measurements that it declares"), taken)
	}
	prints := explain.Steps{}
	for i, p := range r.Prints(v) {
		prints.Items = append(prints.Items, explain.Step{Mark: fmt.Sprintf("%d.", i+1), Text: v.Title(p.Measure) + ": " + p.Because})
	}
	if len(prints.Items) > 0 {
		d.Add(explain.Heading("What its pattern should print of the garment, in the order of use"), prints)
	}
	if len(r.Rules) > 0 {
		d.Add(explain.Heading("Its own cautions"), ruleSteps(r.Rules, r.At.File))
	}
	d.Add(explain.Sentence("Source: " + r.Source + ". File: " + r.At.File))
	return d
}

func facts(r *engine.Recipe, v *engine.Vocabulary) explain.Steps {
	var s explain.Steps
	add := func(mark, text string) { s.Items = append(s.Items, explain.Step{Mark: mark, Text: text}) }
	if len(r.BasedOn) > 0 {
		add("based on", basedOn(r))
	}
	if r.Family != "" {
		add("family", r.Family+": one that you like speaks for all of them")
	}
	add("drafted for", string(r.Draft))
	add("chosen by", controllingWords(r, v))
	if r.HangsFrom != "" {
		add("hangs from", "the "+string(r.HangsFrom)+": upper bust and the drafted cup pick the size where both are known")
	}
	between := "the " + string(r.Settle(v)) + " one"
	if r.Between == "" {
		between += " (follows from its draft, stretch and ease)"
	}
	add("between sizes", between)
	add("stretch", stretchWords(r))
	if len(r.WornOver) > 0 {
		add("worn over", list(r.WornOver))
	}
	if len(r.Parts) > 0 {
		add("to alter", list(r.Parts))
	}
	grading := "makes no sense: "
	if r.Grading.Sensible {
		grading = "makes sense: "
	}
	add("grading", grading+r.Grading.Because)
	if r.MovesDown >= 0 {
		add("style holds", fmt.Sprintf("%d down and %d up from the chart size", r.MovesDown, r.MovesUp))
	}
	return s
}

// basedOn names the types that fields are taken over from, with their files.
func basedOn(r *engine.Recipe) string {
	names := make([]string, len(r.BasedOn))
	for i, o := range r.BasedOn {
		names[i] = o.Name + " (" + o.File + ")"
	}
	return strings.Join(names, ", which is based on ")
}

func controllingWords(r *engine.Recipe, v *engine.Vocabulary) string {
	if r.Controlling.Formula != nil {
		return r.Controlling.Formula.Source()
	}
	titles := make([]string, len(r.Controlling.Names))
	for i, n := range r.Controlling.Names {
		titles[i] = v.Title(n)
	}
	return "the " + strings.Join(titles, ", else the ")
}

func stretchWords(r *engine.Recipe) string {
	switch {
	case r.Stretch.Kind == engine.StretchNeeded:
		return "needed, at least " + quantity.FormatPercent(r.Stretch.Least)
	case r.Stretch.Kind == engine.StretchComfort && r.Stretch.Least > 0:
		return "for comfort, about " + quantity.FormatPercent(r.Stretch.Least)
	case r.Stretch.Kind == engine.StretchComfort:
		return "for comfort, none needed"
	}
	return "none"
}

func zoneHeading(z *engine.Zone) string {
	name := capital(strings.ReplaceAll(z.Name, "_", " "))
	switch z.Role {
	case engine.Decides:
		return name + " decides"
	case engine.Held:
		if z.By != "" {
			return name + " is held by " + string(z.By)
		}
		return name + " is held"
	}
	return name + " is mended"
}

// zoneFacts tells of a zone, and where it or its ease stands in another file than
// the recipe's.
func zoneFacts(z *engine.Zone, units quantity.Unit, recipe string) explain.Steps {
	var s explain.Steps
	add := func(mark, text string) {
		if text != "" {
			s.Items = append(s.Items, explain.Step{Mark: mark, Text: text})
		}
	}
	if z.Ease != nil {
		add("ease", easeWords(z.Ease, units))
	}
	if z.By == engine.ByChart {
		add("read", "straight off the chart")
	}
	if z.Cut != nil {
		add("cut", fmt.Sprintf("%s to %s of the body", quantity.FormatPercent(z.Cut.Low), quantity.FormatPercent(z.Cut.High)))
	}
	if z.Measure != z.Name {
		add("measures", strings.ReplaceAll(z.Measure, "_", " "))
	}
	add("why", z.Because)
	add("mend", z.Mend)
	add("source", z.Source)
	if z.Ease != nil && z.EaseAt.File != z.At.File {
		add("ease from", z.EaseAt.String())
	}
	if z.At.File != recipe {
		add("from", z.At.String())
	}
	return s
}

func easeWords(e *engine.EaseRange, units quantity.Unit) string {
	one := func(v float64) string {
		if e.Percent {
			return quantity.FormatPercent(v)
		}
		return quantity.Length(v).Format(units)
	}
	switch {
	case !e.HasHigh:
		return one(e.Low) + " or more"
	case !e.HasLow:
		return one(e.High) + " or less"
	}
	return one(e.Low) + " to " + one(e.High)
}

func openingFacts(r *engine.Recipe, v *engine.Vocabulary, units quantity.Unit) explain.Steps {
	var s explain.Steps
	for i := range r.Openings {
		o := &r.Openings[i]
		var alternatives []string
		for _, a := range o.Passes {
			titles := make([]string, len(a))
			for k, p := range a {
				titles[k] = v.Title(p)
			}
			alternatives = append(alternatives, list(titles))
		}
		text := "must let through the " + strings.Join(alternatives, ", or the ")
		if o.Closure != nil {
			text += fmt.Sprintf("; a %s opens it %s down towards the %s", o.Closure.Kind, o.Closure.Reach.Format(units), v.Title(o.Closure.Towards))
		}
		s.Items = append(s.Items, explain.Step{Mark: o.Name, Text: text})
	}
	return s
}

// Rules lays out a list of rules.
func Rules(rs []*engine.Rule) *explain.Document {
	t := explain.Table{Header: []string{"rule", "severity", "looks at", "topic"}}
	for _, r := range rs {
		t.Rows = append(t.Rows, []string{marked(r.ID, r.Own), kindOf(r), looksAt(r), r.Topic})
	}
	return listed(t, "`advisor rule show ID` gives one in full.")
}

// kindOf is how grave a rule is, or that it alters the pattern.
func kindOf(r *engine.Rule) string {
	if r.Alter != nil {
		return "alters"
	}
	return string(r.Severity)
}

func looksAt(r *engine.Rule) string {
	switch {
	case r.Alter != nil:
		return "the " + strings.ReplaceAll(r.Alter.Zone, "_", " ")
	case r.Zone != "":
		return "the " + strings.ReplaceAll(r.Zone, "_", " ")
	case r.Each != "":
		return "each " + string(r.Each)
	}
	return "the whole garment"
}

// ruleSteps tells of a recipe's rules, and where they stand in another file.
func ruleSteps(rs []*engine.Rule, recipe string) explain.Steps {
	var s explain.Steps
	for _, r := range rs {
		lines := []string{"When: " + r.Text.When, "[" + r.ID + ", " + r.Source + "]"}
		if r.At.File != recipe {
			lines = append(lines, "From "+r.At.String())
		}
		s.Items = append(s.Items, explain.Step{Mark: kindOf(r), Text: cmp.Or(r.Text.Say, r.Text.Toile), Lines: lines})
	}
	return s
}

// Rule lays out one rule in full.
func Rule(r *engine.Rule) *explain.Document {
	var s explain.Steps
	add := func(mark, text string) {
		if text != "" {
			s.Items = append(s.Items, explain.Step{Mark: mark, Text: text})
		}
	}
	w := &r.Text
	if a := r.Alter; a != nil {
		add("alters", "step "+a.Step)
		add("parts", list(a.Parts))
	} else {
		add("severity", string(r.Severity))
	}
	add("stands in for", r.Replaces)
	add("looks at", looksAt(r))
	add("when", w.When)
	add("amount", w.Amount)
	for _, l := range r.Limits {
		add("limit", l.Name+" = "+l.Text)
	}
	if r.Alter != nil {
		add("puts right", r.Alter.Settles)
	}
	add("gains there", w.Gains)
	add("says", w.Say)
	add("because", w.Because)
	add("or measure", w.Measure)
	add("where", w.Where)
	add("how", w.Spread)
	add("also", w.Also)
	add("unless", w.Unless)
	add("then instead", w.Instead)
	add("fix", w.Fix)
	add("toile", w.Toile)
	add("source", r.Source)
	add("written in", r.At.String())
	d := &explain.Document{}
	d.Add(explain.Heading(r.ID+" ("+r.Topic+")"), s)
	return d
}
