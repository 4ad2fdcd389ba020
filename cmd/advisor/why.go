package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
)

func newWhy(s streams) *cobra.Command {
	q := &question{}
	var size, zone, caution string
	c := &cobra.Command{
		Use:   "why PATTERN --body BODY [--size S] [--zone Z] [--caution ID]",
		Short: "Explain an answer, down to the tape, the chart and the rule",
		Args:  onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = args[0]
			d, err := openDesk(s)
			if err != nil {
				return err
			}
			a, err := q.answer(d, func(r *engine.Request) {
				r.Trace = true
				if size != "" {
					r.Explain = []string{size}
				}
			})
			if err != nil {
				return err
			}
			root, err := narrow(a, size, zone, caution)
			if err != nil {
				return err
			}
			if q.format == "json" {
				return s.json(root)
			}
			return s.show(report.Why(root), q.color)
		},
	}
	q.flags(c)
	c.Flags().StringVar(&size, "size", "", "only this size")
	c.Flags().StringVar(&zone, "zone", "", "only this zone")
	c.Flags().StringVar(&caution, "caution", "", "only this caution")
	return c
}

// narrow keeps of the explanation what was asked for.
func narrow(a *engine.Answer, size, zone, caution string) (*explain.Node, error) {
	root := a.Why
	if size == "" && (zone != "" || caution != "") {
		size = a.Sizes[0].Size
	}
	if size == "" {
		return root, nil
	}
	if root = root.Find(explain.ID("size", size)); root == nil {
		return nil, fmt.Errorf("the pattern has no size %q; its sizes are %s", size, strings.Join(a.Shown.Sizes, ", "))
	}
	for _, part := range []struct{ what, prefix, name string }{
		{"zone", root.ID + "/", zone},
		{"caution", root.ID + "/caution/", caution},
	} {
		if part.name == "" {
			continue
		}
		kept := root.Keep(func(n *explain.Node) bool {
			return n.ID == part.prefix+part.name || strings.HasPrefix(n.ID, part.prefix+part.name+"/")
		})
		if kept == nil {
			return nil, fmt.Errorf("size %s has no %s %q; it has: %s", size, part.what, part.name, list(childrenOf(root, part.prefix)))
		}
		root = kept
	}
	return root, nil
}

// childrenOf lists what stands directly below a prefix.
func childrenOf(root *explain.Node, prefix string) []string {
	var names []string
	for _, c := range root.Children {
		name, ok := strings.CutPrefix(c.ID, prefix)
		name, _, _ = strings.Cut(name, "/")
		if ok && name != "caution" && name != "opening" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

func list(items []string) string {
	if len(items) == 0 {
		return "none"
	}
	return strings.Join(items, ", ")
}

// quoted is an argument as a shell wants it.
func quoted(s string) string {
	if s != "" && strings.Trim(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./=+%,:") == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
