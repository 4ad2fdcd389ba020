package engine_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/text"
	"fitadvisor/recipes"
)

var updateWhy = flag.Bool("update-why", false, "write the explanations as they are now into testdata/why")

// The explanation of each recipe's first example, and of each rule where an
// example first makes it speak, stands whole in testdata/why.
func TestExplanationsReadAsTheyStand(t *testing.T) {
	requests := exampleRequests(t, quantity.Cm)
	got := map[string]string{}
	for _, name := range recipes.Names() {
		for i, q := range requests[name] {
			q.Trace = true
			a := answer(t, q)
			if i == 0 {
				got[name] = asText(t, a.Why.Prune(5))
			}
			for _, n := range spoken(a.Why) {
				id := "rules/" + strings.Split(n.ID, "/")[3]
				if got[id] == "" {
					got[id] = asText(t, n)
				}
			}
		}
	}
	dir := filepath.Join("testdata", "why")
	if *updateWhy {
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(filepath.Join(dir, "rules"), 0o755); err != nil {
			t.Fatal(err)
		}
		for name, text := range got {
			if err := os.WriteFile(filepath.Join(dir, name+".txt"), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for name, text := range got {
		want, err := os.ReadFile(filepath.Join(dir, name+".txt"))
		if err != nil || string(want) != text {
			t.Errorf("%s reads otherwise (or is new): look at it, then run with -update-why\n%s", name, text)
		}
	}
	for _, pattern := range []string{"*.txt", "rules/*.txt"} {
		files, err := filepath.Glob(filepath.Join(dir, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			name, err := filepath.Rel(dir, f)
			if err != nil {
				t.Fatal(err)
			}
			if _, ok := got[strings.TrimSuffix(filepath.ToSlash(name), ".txt")]; !ok {
				t.Errorf("%s explains nothing that is shipped", name)
			}
		}
	}
}

func asText(t *testing.T, root *explain.Node) string {
	t.Helper()
	var out bytes.Buffer
	if err := text.Render(&out, report.Why(root), text.Options{}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// spoken lists the claims of rules that spoke: size/S/caution/ID...
func spoken(root *explain.Node) []*explain.Node {
	var out []*explain.Node
	root.Walk(func(n *explain.Node) {
		parts := strings.Split(n.ID, "/")
		if len(parts) >= 4 && len(parts) <= 5 && parts[0] == "size" && parts[2] == "caution" && parts[len(parts)-1] != "when" && parts[len(parts)-1] != "fix" {
			out = append(out, n)
		}
	})
	return out
}

// Every claim has an id of its own and a source, and a length or percentage that
// it gives as a number stands in its words.
func TestClaimsSayWhatTheyHold(t *testing.T) {
	for _, units := range []quantity.Unit{quantity.Cm, quantity.In} {
		for name, requests := range exampleRequests(t, units) {
			for _, q := range requests {
				q.Trace = true
				checkClaims(t, name, answer(t, q).Why, units)
			}
		}
	}
}

func checkClaims(t *testing.T, name string, root *explain.Node, units quantity.Unit) {
	t.Helper()
	seen := map[string]bool{}
	root.Walk(func(n *explain.Node) {
		if seen[n.ID] {
			t.Errorf("%s: the id %s is there twice", name, n.ID)
		}
		seen[n.ID] = true
		if strings.TrimSpace(n.Source) == "" {
			t.Errorf("%s: %s has no source", name, n.ID)
		}
		if said := inWords(n.Value, units); said != "" && !strings.Contains(n.Label, said) {
			t.Errorf("%s: %s holds %s but says %q", name, n.ID, said, n.Label)
		}
	})
}

// inWords is a value as the words beside it must give it.
func inWords(v *explain.Value, units quantity.Unit) string {
	switch {
	case v == nil || v.Number == nil:
		return ""
	case v.Unit == "cm":
		return strings.TrimPrefix(quantity.FormatLittle(*v.Number, units), "-")
	case v.Unit == "percent":
		return strings.TrimPrefix(quantity.FormatPercent(*v.Number), "-")
	}
	return ""
}

// With nothing traced the answer is the same, and its claims are among those of
// the traced one.
func TestTraceAddsToTheSameClaims(t *testing.T) {
	for name, requests := range exampleRequests(t, quantity.Cm) {
		q := requests[0]
		plain := answer(t, q)
		q.Trace = true
		traced := answer(t, q)
		var ids []string
		traced.Why.Walk(func(n *explain.Node) { ids = append(ids, n.ID+": "+n.Label) })
		plain.Why.Walk(func(n *explain.Node) {
			if !slices.Contains(ids, n.ID+": "+n.Label) {
				t.Errorf("%s: %s is not among the traced claims", name, n.ID)
			}
		})
		plain.Why, traced.Why = nil, nil
		if asJSON(t, plain) != asJSON(t, traced) {
			t.Errorf("%s: the traced answer is another", name)
		}
	}
}
