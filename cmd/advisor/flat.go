package main

import (
	"cmp"
	"errors"
	"path/filepath"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/recipes"
)

func newFlat(s streams) *cobra.Command {
	q := &asking{}
	c := &cobra.Command{
		Use:   "flat FILE [--body BODY]",
		Short: "Finished measurements from pieces laid flat",
		Long: "Adds up the pieces of a pattern, laid flat and measured, to what the garment measures\n" +
			"once it is sewn: without seam allowances, darts, closed pleats and tucks, times the copies\n" +
			"and the fold, less the overlap. Each sum is written out, and the usual slips are named.",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("name one file of pieces, as in `advisor flat pieces.yaml`; docs/flat.md shows how to write one")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error { return flat(s, q, args[0]) },
	}
	q.display.flags(c)
	c.Flags().Lookup("units").Usage = "cm or in (default the pieces file's)"
	c.Flags().StringVar(&q.body, "body", "", "a body to compare with where the pattern's chart says nothing: a file or a name in your notebook")
	q.book(c)
	return c
}

func flat(s streams, q *asking, path string) error {
	d, err := q.begin(s)
	if err != nil {
		return err
	}
	r := engine.FlatRequest{Vocabulary: d.Voc}
	r.Pieces, r.Pattern = d.pieces(path)
	r.Body = d.Body(q.body)
	if err := d.done(); err != nil {
		return err
	}
	r.Units = cmp.Or(quantity.Unit(q.units), r.Pieces.Units)
	a := engine.LayFlat(r)
	if q.format == "json" {
		return s.json(a)
	}
	name := ""
	if path != "-" {
		name = filepath.Base(path)
	}
	return s.show(report.Flat(a, name), q.color)
}

// pieces reads pieces laid flat, with the pattern that they name.
func (d *files) pieces(path string) (*engine.Pieces, *engine.Pattern) {
	f := d.File(path, "pieces")
	if f.Doc == nil {
		return nil, nil
	}
	p, pattern, docs := recipes.ReadPieces(f.Doc, d.Voc, f.Files())
	d.Take(append(docs, f.Doc)...)
	return p, pattern
}
