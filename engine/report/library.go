package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Recipes lays out a list of garment types.
func Recipes(rs []*engine.Recipe) *explain.Document {
	t := explain.Table{Header: []string{"recipe", "garment type", "for", "chosen by"}}
	for _, r := range rs {
		t.Rows = append(t.Rows, []string{r.Name, r.Title, r.Draft, chosenBy(r)})
	}
	d := &explain.Document{}
	d.Add(t, explain.Sentence("`advisor recipe show NAME` says what decides the size of one, and why."))
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
	d := &explain.Document{}
	d.Add(explain.Heading(capital(r.Title)+" ("+r.Name+")"), explain.Sentence(r.Because), facts(r, v))
	for i := range r.Zones {
		z := &r.Zones[i]
		d.Add(explain.Heading(zoneHeading(z)), zoneFacts(z, units))
	}
	if len(r.Openings) > 0 {
		d.Add(explain.Heading("Getting in"), openingFacts(r, v, units))
	}
	if len(r.Rules) > 0 {
		d.Add(explain.Heading("Its own cautions"), ruleSteps(r.Rules))
	}
	d.Add(explain.Sentence("Source: " + r.Source + ". File: " + r.At.File))
	return d
}

func facts(r *engine.Recipe, v *engine.Vocabulary) explain.Steps {
	var s explain.Steps
	add := func(mark, text string) { s.Items = append(s.Items, explain.Step{Mark: mark, Text: text}) }
	add("drafted for", r.Draft)
	add("chosen by", controllingWords(r, v))
	if r.HangsFrom != "" {
		add("hangs from", "the "+r.HangsFrom+": upper bust and the drafted cup pick the size where both are known")
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
	case r.Stretch.Kind == "needed":
		return "needed, at least " + quantity.FormatPercent(r.Stretch.Least)
	case r.Stretch.Kind == "comfort" && r.Stretch.Least > 0:
		return "for comfort, about " + quantity.FormatPercent(r.Stretch.Least)
	case r.Stretch.Kind == "comfort":
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
			return name + " is held by " + z.By
		}
		return name + " is held"
	}
	return name + " is mended"
}

func zoneFacts(z *engine.Zone, units quantity.Unit) explain.Steps {
	var s explain.Steps
	add := func(mark, text string) {
		if text != "" {
			s.Items = append(s.Items, explain.Step{Mark: mark, Text: text})
		}
	}
	if z.Ease != nil {
		add("ease", easeWords(z.Ease, units))
	}
	if z.By == "chart" {
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
		t.Rows = append(t.Rows, []string{r.ID, string(r.Severity), looksAt(r), r.Topic})
	}
	d := &explain.Document{}
	d.Add(t, explain.Sentence("`advisor rule show ID` gives one in full."))
	return d
}

func looksAt(r *engine.Rule) string {
	switch {
	case r.Zone != "":
		return "the " + strings.ReplaceAll(r.Zone, "_", " ")
	case r.Each != "":
		return "each " + r.Each
	}
	return "the whole garment"
}

func ruleSteps(rs []*engine.Rule) explain.Steps {
	var s explain.Steps
	for _, r := range rs {
		s.Items = append(s.Items, explain.Step{Mark: string(r.Severity), Text: r.Written.Say, Lines: []string{"When: " + r.Written.When, "[" + r.ID + ", " + r.Source + "]"}})
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
	add("severity", string(r.Severity))
	add("looks at", looksAt(r))
	add("when", r.Written.When)
	for _, l := range r.Limits {
		add("limit", l.Name+" = "+l.Text)
	}
	add("says", r.Written.Say)
	add("fix", r.Written.Fix)
	add("source", r.Source)
	add("stands at", r.At.String())
	d := &explain.Document{}
	d.Add(explain.Heading(r.ID+" ("+r.Topic+")"), s)
	return d
}
