package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
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
			q.pattern = first(args)
			if q.cloth == "" && len(q.envelope.Stretch) == 0 {
				return errors.New("which cloth? Say how far it stretches, as in --stretch 40%, or name one with --cloth, a file or a name in your notebook; the README shows how to write one")
			}
			d, err := q.begin(s)
			if err != nil {
				return err
			}
			if err := q.plan(d); err != nil {
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
	q.typed(c, s)
	c.Flags().Lookup("cloth").Usage = "the cloth: a file or a name in your notebook (required)"
	c.Flags().Lookup("body").Usage = "the body: a file, a name in your notebook, or - for standard input (default the chart's own bodies)"
	c.Flags().StringVar(&size, "size", "", "only this size (default with a body: the best one)")
	return c
}

// plan takes the ease that is planned for a garment type without a pattern: on the body that is measured there, or, where it is a
// share of the body, on one of 100 cm.
func (q *asking) plan(d *files) error {
	e := &q.envelope
	if e.Type == "" || len(e.Chart) > 0 {
		return nil
	}
	e.Planned, e.Sizes = true, "planned"
	for _, text := range q.ease {
		word, ease, ok := strings.Cut(text, "=")
		if !ok {
			return fmt.Errorf("without a chart there is no ease to be %s: say how much, as in --ease bust=-8%%", text)
		}
		name, ease := d.Word("ease", strings.TrimSpace(word)), strings.TrimSpace(ease)
		if !strings.HasPrefix(ease, "-") && !strings.HasPrefix(ease, "+") {
			ease = "+" + ease
		}
		body := ""
		if typed := q.measured[name]; typed != nil {
			body = *typed
		}
		if body == "" && quantity.IsPercent(ease) {
			body = "100 cm"
		}
		if body == "" {
			flag := strings.ReplaceAll(name, "_", "-")
			return fmt.Errorf("an ease of %s is more on a small body than on a large one: say what the body measures, as in --%s 96cm, or the ease as a share of it, as in --ease %s=-8%%", ease, flag, name)
		}
		e.Chart, e.Drawn = append(e.Chart, name+"="+body), append(e.Drawn, name+ease)
	}
	if len(e.Chart) == 0 {
		return errors.New("which ease? Say it for each place that counts, as in --ease bust=-8% --ease upper_arm=-5%")
	}
	q.ease, q.measured = nil, nil
	return nil
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
