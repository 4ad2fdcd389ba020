package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain/diag"
)

func newRecipe(s streams) *cobra.Command {
	c := &cobra.Command{Use: "recipe", Short: "The garment types: what decides the size of each, and why", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(newRecipeList(s), newRecipeShow(s), newRecipeNew(s), newRecipeTest(s), newRecipeCheck(s))
	return c
}

// recipeLine is one garment type of `recipe list --format json`.
type recipeLine struct {
	Name        string `json:"name"`
	Title       string `json:"title"`
	Draft       string `json:"draft"`
	Controlling string `json:"controlling"` // a measurement, several parted by commas, or an expression
	Own         bool   `json:"own,omitempty"`
	At          string `json:"at"`
}

func controlling(r *engine.Recipe) string {
	if r.Controlling.Formula != nil {
		return r.Controlling.Formula.Source()
	}
	return strings.Join(r.Controlling.Names, ", ")
}

func newRecipeList(s streams) *cobra.Command {
	f, ease := display{}, ""
	c := &cobra.Command{Use: "list [--ease MEASUREMENT]", Short: "List the garment types, or which ease they expect somewhere", Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			all, broken := d.Types()
			for _, b := range broken {
				s.say("advisor: %s\n", b)
			}
			if ease != "" {
				return f.easeAt(s, d, all, ease)
			}
			if f.format == "json" {
				lines := make([]recipeLine, len(all))
				for i, r := range all {
					lines[i] = recipeLine{r.Name, r.Title, string(r.Draft), controlling(r), r.Own, r.At.String()}
				}
				return s.json(lines)
			}
			return s.show(report.Recipes(all), f.color)
		}}
	f.flags(c)
	c.Flags().StringVar(&ease, "ease", "", "a measurement, such as bust: the ease that each garment type expects there, with its source")
	return c
}

// easeAt shows the ease that garment types expect at a measurement.
func (f *display) easeAt(s streams, d *files, all []*engine.Recipe, word string) error {
	name, ok := d.Voc.Called(word)
	if !ok {
		return &unknownWord{"--ease", word, d.Voc.DidYouMean(word, d.Voc.BodyNames(), "`advisor help measurements` lists what can be measured")}
	}
	if f.format == "json" {
		lines := []report.EaseJSON{}
		for _, e := range report.Eases(all, name) {
			lines = append(lines, e.Facts())
		}
		return s.json(lines)
	}
	return s.show(report.EaseAt(all, d.Voc, name, quantity.Unit(f.units)), f.color)
}

// unknownWord is a flag's word that is no measurement.
type unknownWord struct{ flag, word, hint string }

func (e *unknownWord) Error() string {
	return fmt.Sprintf("%q behind %s is no measurement", e.word, e.flag)
}

// Hint says what may have been meant.
func (e *unknownWord) Hint() string { return e.hint }

func newRecipeShow(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{Use: "show NAME", Short: "Show one garment type, zone by zone, with sources",
		Args: oneName("a garment type", "advisor recipe show gathered-skirt"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			found, err := d.Library.Recipe(args[0], d.Voc)
			if err != nil {
				return err
			}
			d.Take(found.Doc)
			if err := d.done(); err != nil {
				return err
			}
			r := found.Recipe
			if f.format == "json" {
				return s.json(report.RecipeFacts(r, d.Voc))
			}
			return s.show(report.Recipe(r, d.Voc, quantity.Unit(f.units)), f.color)
		}}
	f.flags(c)
	return c
}

func newRule(s streams) *cobra.Command {
	c := &cobra.Command{Use: "rule", Short: "The rules: when each speaks, what it says and where it comes from", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(newRuleList(s), newRuleShow(s), newRuleCheck(s))
	return c
}

// ruleLine is one rule of `rule list --format json`.
type ruleLine struct {
	ID       string          `json:"id"`
	Severity engine.Severity `json:"severity"`
	Topic    string          `json:"topic"`
	Zone     string          `json:"zone,omitempty"`
	Each     string          `json:"each,omitempty"`
	When     string          `json:"when"`
	Say      string          `json:"say"`
	Fix      string          `json:"fix"`
	Toile    string          `json:"toile,omitempty"`
	Source   string          `json:"source"`
	Own      bool            `json:"own,omitempty"`
	Replaces string          `json:"replaces,omitempty"`
	At       string          `json:"at"`
	Alters   *alterLine      `json:"alters,omitempty"`
}

// alterLine is what a rule that alters the pattern has besides.
type alterLine struct {
	Step    string   `json:"step"`
	Parts   []string `json:"parts,omitempty"`
	Zone    string   `json:"zone"`
	Settles string   `json:"settles,omitempty"`
	Amount  string   `json:"amount"`
	Gains   string   `json:"gains,omitempty"`
	Because string   `json:"because,omitempty"`
	Measure string   `json:"measure,omitempty"`
	Where   string   `json:"where"`
	Spread  string   `json:"spread"`
	Also    string   `json:"also,omitempty"`
	Unless  string   `json:"unless,omitempty"`
	Instead string   `json:"instead,omitempty"`
}

func lineOf(r *engine.Rule) ruleLine {
	w := &r.Text
	l := ruleLine{r.ID, r.Severity, r.Topic, r.Zone, string(r.Each), w.When, w.Say, w.Fix, w.Toile, r.Source, r.Own, r.Replaces, r.At.String(), nil}
	if a := r.Alter; a != nil {
		l.Alters = &alterLine{a.Step, a.Parts, a.Zone, a.Settles, w.Amount, w.Gains, w.Because, w.Measure, w.Where, w.Spread, w.Also, w.Unless, w.Instead}
	}
	return l
}

func newRuleList(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{Use: "list", Short: "List the rules, those of each garment type included", Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			all, err := d.rules()
			if err != nil {
				return err
			}
			if f.format == "json" {
				lines := make([]ruleLine, len(all))
				for i, r := range all {
					lines[i] = lineOf(r)
				}
				return s.json(lines)
			}
			return s.show(report.Rules(all), f.color)
		}}
	f.flags(c)
	return c
}

func newRuleShow(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{Use: "show ID", Short: "Show one rule in full",
		Args: oneName("a rule", "advisor rule show below-wearing-ease"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			all, err := d.rules()
			if err != nil {
				return err
			}
			r, err := ruleNamed(args[0], all)
			if err != nil {
				return err
			}
			if f.format == "json" {
				return s.json(lineOf(r))
			}
			return s.show(report.Rule(r), f.color)
		}}
	f.flags(c)
	return c
}

// ruleNamed finds a rule by its id, a person's own before a shipped one.
func ruleNamed(id string, all []*engine.Rule) (*engine.Rule, error) {
	var found *engine.Rule
	known := make([]string, len(all))
	for i, r := range all {
		known[i] = r.ID
		if r.ID == id && (found == nil || r.Own && !found.Own) {
			found = r
		}
	}
	if found == nil {
		return nil, &noRuleError{id, known}
	}
	return found, nil
}

// noRuleError says that no rule has this id.
type noRuleError struct {
	id    string
	known []string
}

func (e *noRuleError) Error() string { return fmt.Sprintf("no rule is called `%s`", e.id) }

// Hint names the nearest rule.
func (e *noRuleError) Hint() string {
	return diag.DidYouMean(e.id, e.known, "`advisor rule list` names them all")
}

// rules reads the shared rules and those of every garment type, each once: one
// that is taken over from a garment type is that type's.
func (d *files) rules() ([]*engine.Rule, error) {
	all := slices.Clone(d.Rules())
	seen := map[string]bool{}
	types, _ := d.Types()
	for _, takenOver := range []bool{false, true} {
		for _, recipe := range types {
			for _, r := range recipe.Rules {
				if at := r.At.String(); (r.At.File != recipe.At.File) == takenOver && !seen[at] {
					seen[at] = true
					all = append(all, r)
				}
			}
		}
	}
	return all, d.done()
}

// begin checks how the answer is to be shown and opens files, with the folders of the person's own
// recipes and rules.
func (f *display) begin(s streams) (*files, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	d, err := openFiles(s)
	if err != nil {
		return nil, err
	}
	d.Book = notebook.Book{Dir: f.set.notebookDir(f.notebook)}
	if err := d.openOwn(f.set); err != nil {
		return nil, err
	}
	d.OpenKept()
	return d, nil
}

func oneName(what, example string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != 1 || args[0] == "" {
			return fmt.Errorf("name %s, as in `%s`", what, example)
		}
		return nil
	}
}
