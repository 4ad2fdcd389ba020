package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
)

// asked narrows an explanation.
type asked struct {
	size, zone, caution, at string
	depth                   int
}

func newWhy(s streams) *cobra.Command {
	q, n := &asking{}, &asked{}
	c := &cobra.Command{
		Use:   "why PATTERN --body BODY [--size S] [--zone Z] [--caution ID]",
		Short: "Explain an answer, down to the tape, the chart and the rule; with --size, why not that one",
		Args:  onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = first(args)
			if n.depth < 0 {
				return fmt.Errorf("--depth is 1 or more, not %d", n.depth)
			}
			d, err := q.begin(s)
			if err != nil {
				return err
			}
			r, err := q.personal(d)
			if err != nil {
				return err
			}
			if r, err = q.changed(d, r); err != nil {
				return err
			}
			return why(s, d, q, n, r)
		},
	}
	q.flags(c)
	q.typed(c, s)
	q.change(c)
	q.pictured(c)
	f := c.Flags()
	f.StringVar(&n.size, "size", "", "why not this size: what it would feel like, what rules it out, what would make it win")
	f.StringVar(&n.zone, "zone", "", "only this zone")
	f.StringVar(&n.caution, "caution", "", "only this rule, in full, whether it spoke or not")
	f.StringVar(&n.at, "at", "", "only the claim with this id, as in size/18/hip/ease (ids stand in --format json)")
	f.IntVar(&n.depth, "depth", 0, "how many levels to show (default all)")
	return c
}

func why(s streams, d *files, q *asking, n *asked, r engine.Request) error {
	r.Trace, r.Ask = true, n.caution
	if n.size != "" {
		r.Explain = []string{n.size}
	}
	if size, ok := sizeOf(n.at); ok {
		r.Explain = []string{size}
	}
	a, err := engine.Advise(r)
	if err != nil {
		return d.explained(&r, err)
	}
	root, err := n.narrow(a)
	if err != nil {
		return err
	}
	if err := q.draw(d, a); err != nil {
		return err
	}
	root = root.Prune(n.depth)
	doc := &explain.Document{}
	var not *engine.WhyNot
	if n.size != "" && n.zone == "" && n.caution == "" {
		if not, err = engine.AskWhyNot(r, n.size); err != nil {
			return err
		}
		doc.Add(report.WhyNot(not, q.again("size")).Blocks...)
		doc.Add(explain.Heading("In full"))
	}
	if q.format == "json" {
		if not != nil {
			return s.json(struct {
				WhyNot *engine.WhyNot `json:"why_not"`
				Why    *explain.Node  `json:"why"`
			}{not, root})
		}
		return s.json(root)
	}
	doc.Add(report.Why(root).Blocks...)
	return s.show(doc, q.color)
}

// sizeOf is the size that an id such as size/18/hip lies below.
func sizeOf(id string) (string, bool) {
	rest, ok := strings.CutPrefix(id, "size/")
	size, _, _ := strings.Cut(rest, "/")
	return size, ok
}

// narrow keeps of the explanation what was asked for.
func (n *asked) narrow(a *engine.Answer) (*explain.Node, error) {
	if n.at != "" {
		return at(a.Why, n.at)
	}
	if n.size == "" && n.zone == "" && n.caution == "" {
		return a.Why, nil
	}
	size := n.size
	if size == "" {
		size = a.Sizes[0].Size
	}
	root := a.Why.Find(explain.ID("size", size))
	if root == nil {
		return nil, fmt.Errorf("the pattern has no size %q; its sizes are %s", size, strings.Join(a.Shown.Sizes, ", "))
	}
	for _, part := range []struct{ what, prefix, name string }{
		{"zone", root.ID + "/", n.zone},
		{"rule that could be asked called", root.ID + "/caution/", n.caution},
	} {
		if part.name == "" {
			continue
		}
		if below := root.ID + "/alteration/"; part.name == n.caution && root.Find(below+n.caution) != nil {
			part.prefix = below
		}
		kept := root.Keep(func(k *explain.Node) bool {
			return k.ID == part.prefix+part.name || strings.HasPrefix(k.ID, part.prefix+part.name+"/")
		})
		if kept == nil {
			return nil, fmt.Errorf("size %s has no %s %q; it has: %s", size, part.what, part.name, listed(childrenOf(root, part.prefix)))
		}
		root = kept
	}
	return root, nil
}

// at finds one claim by its id.
func at(root *explain.Node, id string) (*explain.Node, error) {
	if n := root.Find(id); n != nil {
		return n, nil
	}
	var ids []string
	root.Walk(func(n *explain.Node) { ids = append(ids, n.ID) })
	return nil, fmt.Errorf("nothing is claimed under the id %q; %s", id, diag.DidYouMean(id, ids, "the ids stand in `--format json`"))
}

// childrenOf lists what stands directly below a prefix.
func childrenOf(root *explain.Node, prefix string) []string {
	var names []string
	for _, c := range root.Children {
		name, ok := strings.CutPrefix(c.ID, prefix)
		name, _, _ = strings.Cut(name, "/")
		if ok && name != "caution" && name != "alteration" && name != "opening" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

func listed(items []string) string {
	if len(items) == 0 {
		return "none"
	}
	return strings.Join(items, ", ")
}
