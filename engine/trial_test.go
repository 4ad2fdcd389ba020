package engine_test

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// trial is one person before one pattern, as files would have it.
type trial struct {
	pattern string
	recipe  string // a file, or the name of a shipped garment type
	body    string
	cloth   string // empty: none is named
	wishes  []string
	over    []engine.Layer
	units   quantity.Unit // to answer in; empty: centimetres
	trace   bool
}

// garment is a recipe file in which only what matters is written; the rest is
// a woven garment, graded, chosen by the hip.
func garment(lines ...string) string {
	return withDefaults(lines, "kind: recipe", "name: trial", "title: trial garment", "draft: women", "controlling: hip",
		"zones: {hip: {role: decides, ease: 4 cm .. 12 cm}}", "stretch: none", "grading: {sensible: true, because: seams run through}")
}

// chart is a pattern file in centimetres.
func chart(lines ...string) string {
	return withDefaults(lines, "kind: pattern", "maker: Tern Lane", "name: Trial", "recipe: trial", "units: cm")
}

// wren is a body file in centimetres.
func wren(measurements ...string) string {
	return "kind: body\nname: Wren\nunits: cm\nmeasurements: {" + strings.Join(measurements, ", ") + "}\n"
}

// fabric is a cloth file.
func fabric(lines ...string) string {
	return withDefaults(lines, "kind: cloth", "name: trial cloth", "structure: woven")
}

func withDefaults(lines []string, defaults ...string) string {
	var out []string
	for _, d := range defaults {
		key, _, _ := strings.Cut(d, ":")
		if !slices.ContainsFunc(lines, func(l string) bool { return strings.HasPrefix(l, key+":") }) {
			out = append(out, d)
		}
	}
	return strings.Join(append(out, lines...), "\n") + "\n"
}

func vocabulary(t testing.TB) *engine.Vocabulary {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	return voc
}

// shippedRules reads the shipped rules once; they do not change.
var shippedRules = sync.OnceValues(func() ([]*engine.Rule, error) {
	voc, err := data.Vocabulary()
	if err != nil {
		return nil, err
	}
	shared, problems := rules.Shared(voc)
	return shared, problems.Err()
})

func sharedRules(t testing.TB) []*engine.Rule {
	t.Helper()
	shared, err := shippedRules()
	if err != nil {
		t.Fatal(err)
	}
	return shared
}

func open(t testing.TB, name, text string) *file.Doc {
	t.Helper()
	doc := file.Open(name, []byte(text))
	t.Cleanup(func() {
		for _, p := range doc.Problems() {
			if p.Code == "FA0320" && p.Severity == diag.Warning {
				continue // made-up bodies need not be like those surveyed
			}
			t.Errorf("%v\n%s", p, text)
		}
	})
	return doc
}

// request reads the files of a trial.
func (tr trial) request(t testing.TB) engine.Request {
	t.Helper()
	voc := vocabulary(t)
	q := engine.Request{Rules: sharedRules(t), Vocabulary: voc, Trace: tr.trace}
	q.Pattern, _ = recipes.ReadPattern(open(t, "pattern.yaml", tr.pattern), voc, nil)
	if strings.HasPrefix(tr.recipe, "kind:") {
		q.Recipe = recipes.ReadRecipe(open(t, "recipe.yaml", tr.recipe), voc, rules.AtOnce)
	} else {
		shipped, err := recipes.Shipped(tr.recipe, voc)
		if err != nil {
			t.Fatal(err)
		}
		q.Recipe = shipped
	}
	q.Body = recipes.ReadBody(open(t, "body.yaml", tr.body), voc)
	if tr.cloth != "" {
		q.Cloth = recipes.ReadCloth(open(t, "cloth.yaml", tr.cloth), voc)
	}
	for _, text := range tr.wishes {
		w, err := voc.Limits.ParseWish(text, quantity.Cm)
		if err != nil {
			t.Fatal(err)
		}
		q.Wishes = append(q.Wishes, w)
	}
	q.Over, q.Units = tr.over, cmp.Or(tr.units, quantity.Cm)
	return q
}

// advise answers a trial that has an answer.
func (tr trial) advise(t testing.TB) *engine.Answer {
	t.Helper()
	return answer(t, tr.request(t))
}

// fails answers a trial that has none.
func (tr trial) fails(t testing.TB) error {
	t.Helper()
	a, err := engine.Advise(tr.request(t))
	if err == nil {
		t.Fatalf("want an error, got size %s", best(a))
	}
	return err
}

// best is the recommended size, or "none".
func best(a *engine.Answer) string {
	if a.Recommended == nil {
		return "none"
	}
	return a.Recommended.Size
}

func sizeOf(t testing.TB, a *engine.Answer, size string) engine.SizeAnswer {
	t.Helper()
	for _, s := range a.Sizes {
		if s.Size == size {
			return s
		}
	}
	t.Fatalf("size %s is not in the answer", size)
	return engine.SizeAnswer{}
}

func zoneOf(t testing.TB, a *engine.Answer, size, zone string) engine.ZoneAnswer {
	t.Helper()
	for _, z := range sizeOf(t, a, size).Zones {
		if z.Zone == zone {
			return z
		}
	}
	t.Fatalf("zone %s of size %s is not judged", zone, size)
	return engine.ZoneAnswer{}
}

// ranked lists the sizes in rank order, ruled-out ones in brackets, those that
// cannot be placed with a question mark.
func ranked(a *engine.Answer) string {
	var out []string
	for _, s := range a.Sizes {
		label := s.Size
		if s.RuledOut {
			label = "(" + label + ")"
		}
		if s.Misfit == nil {
			label += "?"
		}
		out = append(out, label)
	}
	return strings.Join(out, " ")
}

func caution(t testing.TB, a *engine.Answer, id string) engine.Caution {
	t.Helper()
	for _, c := range a.Cautions {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no caution %s among %v", id, cautions(a))
	return engine.Caution{}
}

func cautions(a *engine.Answer) []string {
	var ids []string
	for _, c := range a.Cautions {
		ids = append(ids, c.ID)
	}
	return ids
}

// near checks a figure of the answer, which is rounded to 0.001 cm or 0.01 %.
func near(t testing.TB, what string, got *float64, want float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s is absent, want %v", what, want)
		return
	}
	if math.Abs(*got-want) > 1e-9 {
		t.Errorf("%s = %v, want %v", what, *got, want)
	}
}

// points checks the points of one zone in one size.
func points(t testing.TB, a *engine.Answer, size, zone string, want float64) {
	t.Helper()
	got := zoneOf(t, a, size, zone).Points
	near(t, "points of the "+zone+" in "+size, &got, want)
}

func is[T comparable](t testing.TB, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

func contains(t testing.TB, what, text, part string) {
	t.Helper()
	if !strings.Contains(text, part) {
		t.Errorf("%s: %q does not say %q", what, text, part)
	}
}

// why finds a claim of the explanation.
func why(t testing.TB, a *engine.Answer, id string) *explain.Node {
	t.Helper()
	found := a.Why.Find(id)
	if found == nil {
		t.Fatalf("the explanation has no %s", id)
	}
	return found
}

func asJSON(t testing.TB, v any) string {
	t.Helper()
	out, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// answer answers a request that has an answer.
func answer(t testing.TB, q engine.Request) *engine.Answer {
	t.Helper()
	a, err := engine.Advise(q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}
