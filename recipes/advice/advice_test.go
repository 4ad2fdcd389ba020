package advice_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// hip asks about a hip and the skirt of the example.
func hip(length string) advice.Question {
	return advice.Question{Pattern: advice.Open("skirt.yaml", skirt), Typed: advice.Typed{Body: map[string]string{"hip": length}}}
}

// What is wrong is data, with its place where it has one, and never a panic.
func TestProblems(t *testing.T) {
	tests := []struct {
		name string
		ask  func(*advice.Question)
		want string // the one error
	}{
		{"nothing at all", func(q *advice.Question) { *q = advice.Question{} }, "the request has no pattern\nthe request has no recipe"},
		{"nobody", func(q *advice.Question) { q.Typed.Body = nil }, "the request has no body"},
		{"no length", func(q *advice.Question) { q.Typed.Body["hip"] = "wide" }, "your measurements:"},
		{"two mistakes in a pattern", func(q *advice.Question) {
			q.Pattern = advice.Open("skirt.yaml", strings.Replace(skirt, "hip: [42", "hop: [42", 1))
		}, "skirt.yaml:7:8:"},
		{"no measurement that decides", func(q *advice.Question) { q.Typed.Body = map[string]string{"waist": "30 in"} }, "hip"},
		{"no wish", func(q *advice.Question) { q.Ease = []string{"rather"} }, "rather"},
		{"no layer", func(q *advice.Question) { q.Over = []string{"armour"} }, "armour"},
		{"no change", func(q *advice.Question) { q.With = []string{"hip"} }, "hip"},
		{"no date", func(q *advice.Question) { q.Today = "today" }, "--today is a date such as 2026-11-02, not \"today\""},
		{"no type", func(q *advice.Question) {
			q.Pattern = advice.Open("skirt.yaml", strings.Replace(skirt, "gathered-", "gathrd-", 1))
		}, "skirt.yaml:4:9:"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			q := hip("44 1/4 in")
			tt.ask(&q)
			reply := advice.Ask(q)
			if reply.Answer != nil || reply.Document() != nil || !reply.Problems.HasErrors() {
				t.Fatalf("got an answer, or no error: %v", reply.Problems)
			}
			first := reply.Problems[slices.IndexFunc(reply.Problems, diag.Diagnostic.IsError)]
			if said := first.Range.String() + ": " + first.Summary; !strings.Contains(said, tt.want) {
				t.Errorf("got %q, want %q", said, tt.want)
			}
		})
	}
}

// A chart and a garment type beside the pattern are read from its folder; what is changed moves the answer.
func TestBesideAndChanged(t *testing.T) {
	own := fstest.MapFS{"chart.csv": {Data: []byte("size,hip\n16,42 in\n18,44 in\n20,46 in\n")}}
	text := strings.Replace(skirt, "{hip: [42, 44, 46]}", "chart.csv", 1)
	q := hip("44 1/4 in")
	q.Pattern = advice.Open("skirt.yaml", text)
	q.Pattern.Beside = &file.Folder{Name: ".", Files: own}
	q.With = []string{"hip=42 in"}
	reply := advice.Ask(q)
	if reply.Problems.HasErrors() || reply.Answer.Recommended == nil {
		t.Fatal(reply.Problems)
	}
	// 47 - 42 = 5 in, as drawn: size 16; before it was 18.
	if got := reply.Answer.Recommended.Size; got != "16" || reply.Answer.Moved == nil {
		t.Errorf("with a hip of 42 in it is size %s, and what moved is %v", got, reply.Answer.Moved)
	}
	if reply.Document() == nil || reply.Sources["chart.csv"] == nil {
		t.Errorf("no document, or the chart is not among the sources: %v", reply.Sources)
	}
}

// A reader answers the second question like the first, and keeps no problem of it.
func TestReaderAnew(t *testing.T) {
	d, err := advice.NewReader()
	if err != nil {
		t.Fatal(err)
	}
	var sizes []string
	for _, length := range []string{"wide", "44 1/4 in", "40 in", "44 1/4 in"} {
		again := d.Anew()
		var a *engine.Answer
		if a = again.Reply(hip(length)).Answer; a == nil {
			sizes = append(sizes, "none")
			continue
		}
		sizes = append(sizes, a.Recommended.Size)
	}
	if want := []string{"none", "18", "16", "18"}; !slices.Equal(sizes, want) {
		t.Errorf("got %v, want %v", sizes, want)
	}
}
