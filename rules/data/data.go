// Package data holds the vocabulary of measurements and the method's own
// constants, each with its source and status, as tables beside this file.
//
// Call [Vocabulary]; the tables are read once.
package data

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"sync"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

//go:embed *.csv
var tables embed.FS

// Vocabulary returns the measurements, wearing eases, layers and limits. It
// fails only if a table beside this file is broken.
var Vocabulary = sync.OnceValues(load)

func load() (*engine.Vocabulary, error) {
	r := &reader{}
	limits := r.limits()
	limits.Layers = r.layers()
	measures := r.measures(r.sources(), r.wearing())
	if r.err != nil {
		return nil, r.err
	}
	return engine.NewVocabulary(measures, limits), nil
}

// reader reads tables and keeps the first thing that is wrong.
type reader struct{ err error }

// row is one line of a table, by column.
type row struct {
	r     *reader
	place string // "limits.csv:4"
	cells map[string]string
}

func (r *reader) fail(place string, err error) {
	if r.err == nil && err != nil {
		r.err = fmt.Errorf("rules/data/%s: %w", place, err)
	}
}

func (r *reader) table(name string) []row {
	raw, err := tables.ReadFile(name)
	r.fail(name, err)
	records, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	r.fail(name, err)
	if len(records) == 0 {
		return nil
	}
	rows := make([]row, 0, len(records)-1)
	for i, record := range records[1:] {
		cells := make(map[string]string, len(record))
		for k, column := range records[0] {
			cells[column] = record[k]
		}
		rows = append(rows, row{r, fmt.Sprintf("%s:%d", name, i+2), cells})
	}
	return rows
}

// cited is the row's source with its status and place.
func (w row) cited() string {
	if w.cells["status"] == "verified" {
		return w.cells["source"]
	}
	return w.cells["status"] + ": " + w.cells["source"]
}

func (w row) number(column string) float64 {
	if w.cells[column] == "" {
		return 0
	}
	v, err := strconv.ParseFloat(w.cells[column], 64)
	w.r.fail(w.place, err)
	return v
}

func (w row) whole(column string) int { return int(w.number(column)) }

// length reads a column of bare numbers in the unit given.
func (w row) length(column, unit string) quantity.Length {
	if w.cells[column] == "" {
		return 0
	}
	l, err := quantity.ParseLength(w.cells[column]+" "+unit, "")
	w.r.fail(w.place, err)
	return l
}

func (r *reader) sources() map[string]string {
	out := map[string]string{}
	for _, w := range r.table("sources.csv") {
		out[w.cells["key"]] = w.cells["source"]
	}
	return out
}

func (r *reader) measures(sources map[string]string, wearing map[string][]row) []engine.Measure {
	var out []engine.Measure
	for _, w := range r.table("measurements.csv") {
		m := engine.Measure{
			Name: w.cells["name"], Title: w.cells["title"], Kind: engine.Kind(w.cells["kind"]), Level: w.whole("level"),
			TapeError: w.length("tape_error_mm", "mm"), Least: w.length("least_cm", "cm"), Most: w.length("most_cm", "cm"),
			SameAs: w.cells["same_as"], How: w.cells["how"], Source: sources[w.cells["source"]],
		}
		for _, e := range wearing[m.Name] {
			quote := engine.Quote{Low: e.length("low_in", "in"), High: e.length("high_in", "in"), Source: e.cited() + " (" + e.cells["garment"] + ")"}
			if e.cells["used"] == "yes" {
				m.WearingEase, m.HasWearingEase = quote.Low, true
				m.WearingSources = append([]engine.Quote{quote}, m.WearingSources...)
				continue
			}
			m.WearingSources = append(m.WearingSources, quote)
		}
		out = append(out, m)
	}
	return out
}

func (r *reader) wearing() map[string][]row {
	out := map[string][]row{}
	for _, w := range r.table("wearing_ease.csv") {
		out[w.cells["measurement"]] = append(out[w.cells["measurement"]], w)
	}
	return out
}

func (r *reader) layers() []engine.LayerKind {
	var out []engine.LayerKind
	for _, w := range r.table("layers.csv") {
		out = append(out, engine.LayerKind{Name: w.cells["name"], Thickness: w.length("thickness_mm", "mm"), Foundation: w.cells["foundation"] == "yes", Source: w.cited()})
	}
	return out
}

func (r *reader) limits() engine.Limits {
	found := map[string]row{}
	for _, w := range r.table("limits.csv") {
		found[w.cells["name"]] = w
	}
	get := func(name, unit string) row {
		w, ok := found[name]
		if !ok || w.cells["unit"] != unit {
			r.fail("limits.csv", fmt.Errorf("no row %s in %q", name, unit))
		}
		return w
	}
	return engine.Limits{
		UsableShare:     get("usable_share", "%").number("value") / 100,
		LeastStretch:    get("least_stretch", "%").number("value"),
		OpeningShare:    get("opening_share", "%").number("value"),
		LeastTolerance:  get("least_tolerance", "cm").length("value", "cm"),
		LeastPoints:     get("least_points", "%").number("value"),
		ReachLeast:      get("reach_least", "%").number("value") / 100,
		ReachMost:       get("reach_most", "%").number("value") / 100,
		OpenRangeWidths: get("open_range_widths", "").number("value"),
		SidesApart:      get("sides_apart", "cm").length("value", "cm"),
		OffChartShare:   get("off_chart_share", "%").number("value") / 100,
		LooseEase:       get("loose_ease", "in").length("value", "in"),
		AgeAdult:        get("age_adult", "days").whole("value"),
		AgeChild:        get("age_child", "days").whole("value"),
	}
}
