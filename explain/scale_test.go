package explain_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/explain"
)

func TestSpan(t *testing.T) {
	aim := 7.0
	row := func(at ...float64) []explain.Row {
		var r explain.Row
		for _, v := range at {
			r.Marks = append(r.Marks, explain.Mark{At: v})
		}
		return []explain.Row{r}
	}
	tests := []struct {
		name      string
		scale     explain.Scale
		low, high float64
		ok        bool
	}{
		{"nothing", explain.Scale{}, 0, 1, true},
		{"one figure", explain.Scale{Rows: row(4)}, 4, 5, true},
		{"marks", explain.Scale{Rows: row(4, -2, 3)}, -2, 4, true},
		{"ticks, aim and band", explain.Scale{Ticks: []explain.Tick{{At: 2}, {At: 6}}, Aim: &aim, Band: &explain.Band{Low: 1, High: 5}}, 1, 7, true},
		{"an open band", explain.Scale{Rows: row(4, 5), Band: &explain.Band{Low: 1, High: 9, OpenLow: true, OpenHigh: true}}, 4, 5, true},
		{"no number", explain.Scale{Rows: row(4, 5, math.NaN())}, 4, 5, false},
		{"too far", explain.Scale{Rows: row(4, 1e300)}, 4, 1e300, false},
		{"without end", explain.Scale{Rows: row(4), Aim: new(math.Inf(-1))}, math.Inf(-1), 4, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			low, high, ok := tt.scale.Span()
			if ok != tt.ok || ok && (low != tt.low || high != tt.high) {
				t.Errorf("got %v, %v, %v; want %v, %v, %v", low, high, ok, tt.low, tt.high, tt.ok)
			}
		})
	}
}

func TestSpans(t *testing.T) {
	tests := []struct {
		text string
		want []explain.Span
	}{
		{"", nil},
		{"plain", []explain.Span{{Text: "plain"}}},
		{"run `a b` now", []explain.Span{{Text: "run "}, {Text: "a b", Code: true}, {Text: " now"}}},
		{"`a``b`", []explain.Span{{Text: "a", Code: true}, {Text: "b", Code: true}}},
		{"`a` and a ` left", []explain.Span{{Text: "a", Code: true}, {Text: " and a ` left"}}},
		{"an empty `` pair", []explain.Span{{Text: "an empty `` pair"}}},
	}
	for _, tt := range tests {
		if diff := cmp.Diff(tt.want, explain.Spans(tt.text)); diff != "" {
			t.Errorf("%q: %s", tt.text, diff)
		}
	}
}
