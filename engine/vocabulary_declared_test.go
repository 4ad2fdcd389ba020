package engine_test

import (
	"encoding/json"
	"slices"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/data"

	"pgregory.net/rapid"
)

func seatedHip(at string) engine.Measure {
	return engine.Measure{Name: "seated_hip", Title: "seated hip", Kind: engine.Girth, How: "Sit.", Of: "trousers", Also: []string{"hip when sitting"}, At: diag.Range{File: at}}
}

// A declared measurement at the level of the hip stands behind it, has its seams and its tape error, and is found by all
// its words; the vocabulary that it was added to does not change.
func TestVocabularyWith(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	words := len(voc.Words())
	m := voc.Placed(seatedHip("a.yaml"), "hip")
	if hip := voc.Measure("hip"); m.Edges != hip.Edges || m.TapeError != hip.TapeError || m.Height != hip.Height || m.Level != hip.Level {
		t.Errorf("placed at the hip it is %+v", m)
	}
	with := voc.With(m)
	names := with.BodyNames()
	if at := slices.Index(names, "hip"); names[at+1] != "seated_hip" {
		t.Errorf("behind the hip stands %s", names[at+1])
	}
	for _, word := range []string{"seated_hip", "Seated hips", "seated-hip", "hip when sitting"} {
		if name, ok := with.Called(word); !ok || name != "seated_hip" {
			t.Errorf("%q is %q, %v", word, name, ok)
		}
	}
	for _, name := range []string{"body.seated_hip", "ease.seated_hip", "finished.seated_hip"} {
		if _, ok := with.Lookup(name); !ok {
			t.Errorf("expressions do not know %s", name)
		}
	}
	if len(voc.Words()) != words || voc.Measure("seated_hip") != nil {
		t.Error("the vocabulary itself has changed")
	}
	if with.With(m) != with || voc.With() != voc {
		t.Error("with nothing new it is another vocabulary")
	}
	other := voc.Placed(seatedHip("b.yaml"), "waist")
	if got := with.With(other).Measure("seated_hip"); got.At.File != "b.yaml" || got.Level != voc.Measure("waist").Level {
		t.Errorf("what a type declares anew does not hold: %+v", got)
	}
	if other.Of = "a skirt"; with.With(other) != with {
		t.Error("another type has changed what is known")
	}
	shipped := seatedHip("c.yaml")
	shipped.Name = "hip"
	if with.With(shipped).Measure("hip").Declared() {
		t.Error("a shipped measurement was declared anew")
	}
}

// Without a level a length comes last, as hard to read as the crotch length: 9 mm, the most of any length.
func TestPlacedNowhere(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	m := voc.Placed(engine.Measure{Name: "dog_back", Title: "dog's back", Kind: engine.Along, How: "Along it.", At: diag.Range{File: "a.yaml"}}, "")
	if m.TapeError != 9*quantity.Millimetre || m.Height != 0 || m.Edges != 0 {
		t.Errorf("it is %+v", m)
	}
	if words := voc.With(m).Words(); words[len(words)-1] != "dog_back" {
		t.Errorf("last stands %s", words[len(words)-1])
	}
}

// Whatever is declared, at whatever level, an answer about other measurements stays the same.
func TestDeclaredChangesNoOther(t *testing.T) {
	q := trial{pattern: chart("sizes: [S, M, L]", "body: {bust: [86, 90, 96], waist: [68, 72, 78], hip: [92, 96, 102]}", "finished: {bust: [94, 98, 104], waist: [73, 77, 83], hip: [99, 103, 109]}"),
		recipe: "sheath-dress", body: wren("bust: 91", "waist: 76", "hip: 101", "upper_bust: 87", "back_waist_length: 41"), cloth: fabric("thickness: 0.4 mm")}.request(t)
	voc := q.Vocabulary
	answered := func(v *engine.Vocabulary) string {
		q.Vocabulary = v
		a, err := engine.Advise(q)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	want := answered(voc)
	kinds := []engine.Kind{engine.Girth, engine.Along, engine.Across, engine.Garment}
	rapid.Check(t, func(rt *rapid.T) {
		v := voc
		for i, level := range rapid.SliceOfN(rapid.SampledFrom(append([]string{""}, voc.Words()...)), 1, 5).Draw(rt, "levels") {
			name := "own_" + string(rune('a'+i))
			v = v.With(voc.Placed(engine.Measure{Name: name, Title: name, How: "So.", Kind: rapid.SampledFrom(kinds).Draw(rt, "kind"), At: diag.Range{File: "it"}}, level))
		}
		if got := answered(v); got != want {
			rt.Errorf("it becomes\n%s\nnot\n%s", got, want)
		}
	})
}
