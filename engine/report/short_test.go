package report_test

import (
	"bytes"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/text"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
)

// eachAnswer answers the examples of the shipped recipes, with how sure each is;
// the first of each where time is short.
func eachAnswer(t *testing.T, do func(name string, a *engine.Answer)) {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	shared, problems := rules.Shared(voc)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	for _, name := range recipes.Names() {
		doc, err := recipes.Source(name)
		if err != nil {
			t.Fatal(err)
		}
		recipe := recipes.ReadRecipe(doc, voc, rules.AtOnce)
		examples, _ := recipes.ReadExamples(doc, voc, recipe, shared, nil)
		for i := range examples {
			if testing.Short() && i > 0 {
				break
			}
			e := &examples[i]
			a, err := engine.Advise(engine.Request{Pattern: e.Pattern, Recipe: recipe, Rules: shared, Vocabulary: voc, Fitting: e.Given, Sure: true})
			if err != nil {
				t.Fatalf("%s, %s: %v", name, e.Name, err)
			}
			do(name+", "+e.Name, a)
		}
	}
}

// printed is a document as it is read in a terminal.
func printed(t *testing.T, d *explain.Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := text.Render(&b, d, text.Options{}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// plain is a text as one line, so that words are found wherever lines break.
func plain(s string) string { return strings.Join(strings.Fields(s), " ") }

// A short answer is a screen, and what it does not say is in the whole one: every
// caution with its mending, every alteration, what is missing, what was not judged
// and what was taken for granted, where another size wins, and every line to follow.
func TestShortLeavesNothingOut(t *testing.T) {
	most, all, count := 0, 0, 0
	eachAnswer(t, func(name string, a *engine.Answer) {
		short := printed(t, report.Short(a, "More."))
		n := strings.Count(short, "\n")
		most, all, count = max(most, n), all+n, count+1
		if n > 25 {
			t.Errorf("%s: %d lines\n%s", name, n, short)
		}
		if t.Failed() || a.Ends != "" {
			return
		}
		whole := plain(printed(t, report.Size(a, nil)))
		for what, said := range kept(a) {
			for _, text := range said {
				if !strings.Contains(whole, plain(text)) {
					t.Errorf("%s: %s is not in the whole answer: %s", name, what, text)
				}
			}
		}
	})
	t.Logf("%d answers, %d lines at most, %.1f on average", count, most, float64(all)/float64(count))
}

// kept are the words and figures of an answer that a reader must find.
func kept(a *engine.Answer) map[string][]string {
	out := map[string][]string{}
	add := func(what string, texts ...string) { out[what] = append(out[what], texts...) }
	for _, c := range a.Cautions {
		add("a caution", c.Say, c.Fix, c.ID)
	}
	for _, x := range a.Alterations {
		add("an alteration", x.Say)
	}
	for _, m := range a.Missing {
		add("a measurement", a.Shown.Title(m.Measurement), m.NeededFor, m.How)
	}
	for _, n := range a.NotJudged {
		add("what was not judged", n.Because)
	}
	for _, n := range a.NotChecked {
		add("a rule", n.ID, n.Because)
	}
	for _, x := range a.Assumptions {
		add("what was taken for granted", x.Because)
	}
	for _, l := range a.Lines {
		add("a size line", l.Size)
	}
	if a.Recommended != nil {
		add("the decision", a.Recommended.Cut(), a.Recommended.Because)
	}
	return out
}
