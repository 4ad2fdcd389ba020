package engine_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// published is the folder of published tables, which lies beside the project.
const published = "../../shared/published/"

// outsideCheck is a comparison of what a publication or a survey says with what the
// program computes by another road.
type outsideCheck struct {
	source, status string
	what           string // is compared with what
	run            func(*checking)
}

var outsideChecks = []outsideCheck{
	{"16 CFR 1615.1(o) and 1616.2(m), text as of 2026-05", "verified", "the largest garment of a size that is within its maximum, and the next that is over", sleepwearMaxima},
	{"16 CFR 1615.1(o)(1)(ii) and 1616.2(m)(1)(ii), text as of 2026-05", "verified", "where the upper arm of a size is measured", upperArmPoints},
}

// checking counts the values of one check.
type checking struct {
	testing.TB
	values int
}

// holds notes a value of the source as one that the program keeps to.
func (c *checking) holds(what string, kept bool) {
	c.Helper()
	c.values++
	if !kept {
		c.Errorf("%s: the program does not keep to the source", what)
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

// Values of publications and surveys against what the program computes.
func TestOutsideChecks(t *testing.T) {
	if _, err := os.Stat(published); err != nil {
		t.Skip("the published tables are not beside the project, in ../shared/published")
	}
	for _, o := range outsideChecks {
		t.Run(o.source, func(t *testing.T) {
			c := checking{TB: t}
			o.run(&c)
			t.Logf("%d values: %s", c.values, o.what)
		})
	}
}
