package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Coverage lays out whom a pattern fits: in sentences, then how the bodies come
// out, size by size, what keeps them from a size, and what more would add.
func Coverage(a *engine.Coverage, next []string) *explain.Document {
	r := &coverage{layout: layout{units: a.Shown.Units}, of: a}
	d := &explain.Document{}
	d.Add(explain.Sentence(r.served()), explain.Sentence(r.whose()), explain.Sentence(r.lookedAt()))
	d.Add(explain.Heading("How they come out"), r.ways())
	d.Add(explain.Heading("Size by size"), r.sizes())
	if len(a.Excluded) > 0 {
		d.Add(explain.Heading("What keeps them from a size as drawn"), r.excluded())
	}
	r.section(d, "Rules that leave them no size", r.ruledOut())
	r.section(d, "What more would add", r.more())
	r.section(d, "What to do next", numbered(next))
	r.section(d, "Taken for granted", assumptionSteps(a.Assumptions))
	return d
}

// coverage lays out whom a pattern fits.
type coverage struct {
	layout
	of *engine.Coverage
}

// ofAll is a share as a percentage; one that would round to nothing is told from none.
func ofAll(v float64) string {
	if text := quantity.FormatPercent(v * 100); v == 0 || text != quantity.FormatPercent(0) {
		return text
	}
	return "under 0.1 %"
}

func (r *coverage) served() string {
	s := r.of.Shares
	what := r.of.Pattern
	if r.of.Maker != "" {
		what += " by " + r.of.Maker
	}
	var parts []string
	for _, p := range []struct {
		share float64
		how   string
	}{{s.AsDrawn, "as drawn"}, {s.WithGrading, "with grading"}, {s.WithAlterations, "with alterations"}} {
		if p.share > 0 {
			parts = append(parts, ofAll(p.share)+" "+p.how)
		}
	}
	text := fmt.Sprintf("%s, %s, serves %s of these bodies", what, engine.An(r.of.Shown.Recipe.Title), ofAll(r.of.Fits))
	switch len(parts) {
	case 0:
	case 1:
		text += ", all of them" + strings.TrimPrefix(parts[0], ofAll(r.of.Fits))
	default:
		text += ": " + list(parts)
	}
	return text + "."
}

func (r *coverage) whose() string {
	b := r.of.Bodies
	text := fmt.Sprintf("Looked at: %s of %s", people(b.Count), b.Name)
	if b.About != "" {
		text += ": " + b.About
	}
	text += "."
	if b.Weighted {
		text += " Each counts for as many people as it stands for."
	}
	if b.LeftOut > 0 {
		text += fmt.Sprintf(" %d more could not be looked at: what picks the size is not known of them.", b.LeftOut)
	}
	if b.Source != "" {
		text += " Source: " + strings.TrimSuffix(b.Source, ".") + "."
	}
	return text
}

func people(n int) string {
	if n == 1 {
		return "1 body"
	}
	return fmt.Sprintf("%d bodies", n)
}

func (r *coverage) lookedAt() string {
	text := "Judged: " + list(zoneWords(r.of.Judged)) + "."
	if len(r.of.Judged) == 0 {
		text = "No zone could be judged: the chart alone picks the size."
	}
	for i, n := range r.of.NotJudged {
		if i == 0 {
			text += " Not judged: "
		} else {
			text += "; "
		}
		text += words(n.Zone) + " (" + n.Because + ")"
	}
	if len(r.of.NotJudged) > 0 {
		text += "."
	}
	return text
}

func zoneWords(zones []string) []string {
	var out []string
	for _, z := range zones {
		out = append(out, words(z))
	}
	return out
}

func (r *coverage) ways() explain.Table {
	s := r.of.Shares
	return explain.Table{Header: []string{"", "share", "which is"}, Numeric: []bool{false, true}, Rows: [][]string{
		{"as drawn", ofAll(s.AsDrawn), "the ease is in its range everywhere"},
		{"with grading", ofAll(s.WithGrading), "it is once size lines are followed"},
		{"with alterations", ofAll(s.WithAlterations), "the rest is put right by altering"},
		{"out of range", ofAll(s.OutOfRange), "a size, and something left over"},
		{"no size", ofAll(s.NoSize), "every size is ruled out"},
		{"off the chart", ofAll(s.OffChart), "the pattern ends before them"},
	}}
}

func (r *coverage) sizes() explain.Table {
	t := explain.Table{Header: []string{"size", "share", "as drawn"}, Numeric: []bool{false, true, true}}
	for _, s := range r.of.Sizes {
		t.Rows = append(t.Rows, []string{s.Size, ofAll(s.Share), ofAll(s.AsDrawn)})
	}
	return t
}

func (r *coverage) excluded() explain.Table {
	t := explain.Table{Header: []string{"first at the", "share", "pattern too small", "too large"}, Numeric: []bool{false, true, true, true}}
	for _, e := range r.of.Excluded {
		t.Rows = append(t.Rows, []string{r.of.Shown.Title(e.Measurement), ofAll(e.Share), ofAll(e.TooSmall), ofAll(e.TooLarge)})
	}
	return t
}

func (r *coverage) ruledOut() explain.Steps {
	var s explain.Steps
	for _, stop := range r.of.RuledOut {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: stop.ID + ": " + ofAll(stop.Share)})
	}
	return s
}

func (r *coverage) more() explain.Steps {
	var s explain.Steps
	for _, a := range r.of.More {
		with := r.body(a.Body)
		if a.What == engine.LargerCup {
			with += " more in every size"
		}
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: fmt.Sprintf("A %s (%s) would serve %s more of them, and fit %s more as drawn.", a.What, with, ofAll(a.Fits), ofAll(a.AsDrawn))})
	}
	return s
}

// body lists measurements, from the top down.
func (r *coverage) body(of map[string]float64) string {
	var parts []string
	for _, name := range r.of.Shown.Words {
		if cm, ok := of[name]; ok {
			parts = append(parts, r.of.Shown.Title(name)+" "+quantity.FormatCm(cm, r.units))
		}
	}
	return strings.Join(parts, ", ")
}
