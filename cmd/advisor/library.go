package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
)

func newRecipe(s streams) *cobra.Command {
	c := &cobra.Command{Use: "recipe", Short: "The garment types: what decides the size of each, and why", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(newRecipeList(s), newRecipeShow(s))
	return c
}

// recipeLine is one garment type of `recipe list --format json`.
type recipeLine struct {
	Name        string `json:"name"`
	Title       string `json:"title"`
	Draft       string `json:"draft"`
	Controlling string `json:"controlling"` // a measurement, several parted by commas, or an expression
}

func controlling(r *engine.Recipe) string {
	if r.Controlling.Formula != nil {
		return r.Controlling.Formula.Source()
	}
	return strings.Join(r.Controlling.Names, ", ")
}

func newRecipeList(s streams) *cobra.Command {
	f := face{}
	c := &cobra.Command{Use: "list", Short: "List the garment types", Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.desk(s)
			if err != nil {
				return err
			}
			var all []*engine.Recipe
			lines := []recipeLine{}
			for _, name := range recipes.Names() {
				r, err := recipes.Shipped(name, d.voc)
				if err != nil {
					return err
				}
				all = append(all, r)
				lines = append(lines, recipeLine{r.Name, r.Title, r.Draft, controlling(r)})
			}
			if f.format == "json" {
				return s.json(lines)
			}
			return s.show(report.Recipes(all), f.color)
		}}
	f.flags(c)
	return c
}

func newRecipeShow(s streams) *cobra.Command {
	f := face{}
	c := &cobra.Command{Use: "show NAME", Short: "Show one garment type, zone by zone, with sources",
		Args: oneName("a garment type", "advisor recipe show gathered-skirt"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.desk(s)
			if err != nil {
				return err
			}
			r, err := recipes.Shipped(args[0], d.voc)
			if err != nil {
				return err
			}
			if f.format == "json" {
				return s.json(report.RecipeFacts(r, d.voc))
			}
			return s.show(report.Recipe(r, d.voc, quantity.Unit(f.units)), f.color)
		}}
	f.flags(c)
	return c
}

func newRule(s streams) *cobra.Command {
	c := &cobra.Command{Use: "rule", Short: "The rules: when each speaks, what it says and where it comes from", Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() }}
	c.AddCommand(newRuleList(s), newRuleShow(s))
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
	Source   string          `json:"source"`
	At       string          `json:"at"`
}

func lineOf(r *engine.Rule) ruleLine {
	return ruleLine{r.ID, r.Severity, r.Topic, r.Zone, r.Each, r.Written.When, r.Written.Say, r.Written.Fix, r.Source, r.At.String()}
}

func newRuleList(s streams) *cobra.Command {
	f := face{}
	c := &cobra.Command{Use: "list", Short: "List the rules, those of each garment type included", Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.desk(s)
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
	f := face{}
	c := &cobra.Command{Use: "show ID", Short: "Show one rule in full",
		Args: oneName("a rule", "advisor rule show below-wearing-ease"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.desk(s)
			if err != nil {
				return err
			}
			all, err := d.rules()
			if err != nil {
				return err
			}
			var known []string
			for _, r := range all {
				known = append(known, r.ID)
				if r.ID != args[0] {
					continue
				}
				if f.format == "json" {
					return s.json(lineOf(r))
				}
				return s.show(report.Rule(r), f.color)
			}
			return &noRuleError{args[0], diag.Near(args[0], known)}
		}}
	f.flags(c)
	return c
}

// noRuleError says that no rule has this id.
type noRuleError struct{ id, near string }

func (e *noRuleError) Error() string { return fmt.Sprintf("no rule is called `%s`", e.id) }

// Hint names the nearest rule.
func (e *noRuleError) Hint() string {
	if e.near == "" {
		return "`advisor rule list` names them all"
	}
	return "did you mean `" + e.near + "`?"
}

// rules reads the shared rules and those of every garment type.
func (d *desk) rules() ([]*engine.Rule, error) {
	all, problems := rules.Shared(d.voc)
	if err := problems.Err(); err != nil {
		return nil, err
	}
	for _, name := range recipes.Names() {
		r, err := recipes.Shipped(name, d.voc)
		if err != nil {
			return nil, err
		}
		all = append(all, r.Rules...)
	}
	return all, nil
}

// desk checks the face and opens a desk.
func (f *face) desk(s streams) (*desk, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	return openDesk(s)
}

func oneName(what, example string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return fmt.Errorf("name %s, as in `%s`", what, example)
		}
		return nil
	}
}
