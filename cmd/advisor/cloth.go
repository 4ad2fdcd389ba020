package main

import (
	"errors"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
)

func newCloth(s streams) *cobra.Command {
	q := &asking{}
	var size string
	c := &cobra.Command{
		Use:   "cloth PATTERN --cloth CLOTH [--body BODY] [--size S]",
		Short: "Does the planned ease suit this woven or knit?",
		Long: "Says for each zone how far the cloth would have to stretch and how far it may, what room\n" +
			"there is to move, and what washing does. With a body it judges the size for it; without,\n" +
			"every size on the chart's own body.",
		Args: onePattern,
		RunE: func(_ *cobra.Command, args []string) error {
			q.pattern = args[0]
			if q.cloth == "" {
				return errors.New("which cloth? Name one with --cloth, a file or a name in your notebook; the README shows how to write one")
			}
			d, err := q.desk(s)
			if err != nil {
				return err
			}
			r, err := q.request(d)
			if err != nil {
				return err
			}
			a, err := engine.Suit(r, size)
			if err != nil {
				return d.explained(&r, err)
			}
			return showCloth(s, q, a)
		},
	}
	q.flags(c)
	c.Flags().Lookup("cloth").Usage = "the cloth: a file or a name in your notebook (required)"
	c.Flags().Lookup("body").Usage = "the body: a file, a name in your notebook, or - for standard input (default the chart's own bodies)"
	c.Flags().StringVar(&size, "size", "", "only this size (default with a body: the best one)")
	return c
}

// showCloth prints the verdict; that the cloth does not suit is the answer no.
func showCloth(s streams, q *asking, a *engine.Suitability) error {
	var err error
	if q.format == "json" {
		err = s.json(a)
	} else {
		err = s.show(report.Cloth(a), q.color)
	}
	if err == nil && !a.Suits {
		return errNo
	}
	return err
}
