package engine_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine/quantity"
)

// published is the folder of published tables, which lies beside the project.
const published = "../../shared/published/"

// outsideCheck is a comparison of what a publication or a survey says with what the
// program computes by another road.
type outsideCheck struct {
	source, status string
	what           string  // is compared with what
	within         float64 // how far a value may be off
	unit           string  // of that
	because        string  // why so far
	run            func(*checking)
}

// checking counts the values of one check, and how far they are off at most.
type checking struct {
	testing.TB
	within float64
	values int
	off    float64
}

// holds notes a value of the source as one that the program keeps to.
func (c *checking) holds(what string, kept bool) {
	c.Helper()
	c.values++
	if !kept {
		c.Errorf("%s: the program does not keep to the source", what)
	}
}

// near notes a value of the source, and what the program makes of it.
func (c *checking) near(what string, got, source float64) {
	c.Helper()
	off := math.Abs(got - source)
	c.off = max(c.off, off)
	c.values++
	if off > c.within+1e-9 {
		c.Errorf("%s: the program says %.4g, the source %.4g", what, got, source)
	}
}

func (c *checking) number(cell string) float64 {
	c.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		c.Fatal(err)
	}
	return v
}

// inches reads inches as a person writes them, in centimetres.
func (c *checking) inches(cell string) float64 {
	c.Helper()
	l, err := quantity.ParseLength(cell, quantity.In)
	if err != nil {
		c.Fatal(err)
	}
	return l.Cm()
}

// published reads a published table, its rows by column.
func (c *checking) published(name string) []map[string]string {
	c.Helper()
	f, err := os.Open(published + name)
	if err != nil {
		c.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		c.Fatal(err)
	}
	var out []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		out = append(out, row)
	}
	return out
}

// columnOf is a column of some rows.
func columnOf(rows []map[string]string, name string) []string {
	var out []string
	for _, row := range rows {
		out = append(out, row[name])
	}
	return out
}

const checksPage = "../docs/checks.md"

const checksHead = `# Checks against publications and surveys

What the program computes is compared here with what others have published or measured. The figure compared never comes from what the program
computes with: a published row is not chart and body at once, and no constant is compared with itself. A value is *verified* if the passage that holds it
was read in the source, *recalled* if it is from memory, *arithmetic* if it follows from a definition.

` + "`go test ./engine -run TestOutsideChecks`" + ` makes the comparisons where the published tables and the surveys lie beside the project, in ` + "`../shared`" + `, and
compares this page with them; ` + "`-update-why`" + ` writes it.

| source | status | values | what is compared | off at most | allowed |
|---|---|---|---|---|---|
`

// Values of publications and surveys against what the program computes: at least 200
// of 12 sources. The page of them is written with -update-why.
func TestOutsideChecks(t *testing.T) {
	for _, folder := range []string{published, surveys} {
		if _, err := os.Stat(folder); err != nil {
			withoutShared(t, err)
		}
	}
	var page strings.Builder
	page.WriteString(checksHead)
	values, all := 0, true
	for _, o := range outsideChecks {
		all = t.Run(o.source, func(t *testing.T) {
			c := checking{TB: t, within: o.within}
			o.run(&c)
			off, allowed := "kept", "none: "+o.because
			if o.within > 0 {
				off, allowed = fmt.Sprintf("%.2g %s", c.off, o.unit), fmt.Sprintf("%g %s: %s", o.within, o.unit, o.because)
			}
			fmt.Fprintf(&page, "| %s | %s | %d | %s | %s | %s |\n", o.source, o.status, c.values, o.what, off, allowed)
			t.Logf("%d values: %s", c.values, o.what)
			values += c.values
		}) && all
	}
	if !all || len(outsideChecks) < 12 || values < 200 {
		t.Fatalf("%d values of %d sources, or some that the program does not keep to; at least 200 of 12 are wanted", values, len(outsideChecks))
	}
	fmt.Fprintf(&page, "\n%d values of %d sources.\n", values, len(outsideChecks))
	if *updateWhy {
		if err := os.WriteFile(checksPage, []byte(page.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(checksPage)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(page.String(), string(got)); diff != "" {
		t.Errorf("as compared, and docs/checks.md:\n%s", diff)
	}
}
