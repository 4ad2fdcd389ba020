package main

import (
	"strings"
	"testing"
)

func TestCellsOfARow(t *testing.T) {
	for line, want := range map[string]string{
		"hip: 36, 37 1/2, 38":     "hip|36|37 1/2|38",
		"hip:36,37,38":            "hip|36|37|38",
		"hip: 98,5; 102,5":        "hip|98,5|102,5",
		"full hip\t36\t37 1/2\t~": "full hip|36|37 1/2|~",
		"hip;98,5;102":            "hip|98,5|102",
		"hip,36,37,":              "hip|36|37",
		"full hip  36  37 1/2":    "full hip|36|37 1/2",
		"hip":                     "hip",
	} {
		if got := strings.Join(cellsOf(line), "|"); got != want {
			t.Errorf("%q = %s, want %s", line, got, want)
		}
	}
}
