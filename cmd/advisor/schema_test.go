package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"fitadvisor/engine"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/shape"
)

// compiled is the schema of a kind, which must follow its draft.
func compiled(t *testing.T, kind string) *jsonschema.Schema {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	text, err := schemaOf(kind, voc)
	if err != nil {
		t.Fatal(err)
	}
	tree := treeOf(t, text)
	c := jsonschema.NewCompiler()
	meta, err := c.Compile(shape.Dialect)
	if err != nil {
		t.Fatal(err)
	}
	if err := meta.Validate(tree); err != nil {
		t.Errorf("the schema of %s: %v", kind, err)
	}
	if err := c.AddResource("schema.json", tree); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func treeOf(t *testing.T, text []byte) any {
	t.Helper()
	tree, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return tree
}

func TestSchemasOfAllKinds(t *testing.T) {
	for _, l := range append(fileLines(), answerLines()...) {
		if compiled(t, l.Kind); l.About == "" {
			t.Errorf("what %s is is not said", l.Kind)
		}
	}
}

// What the commands print in JSON fits its schema.
func TestAnswersFitTheirSchemas(t *testing.T) {
	const asked = " demo/quayside-skirt.yaml --body demo/wren.yaml --cloth demo/washed-linen.yaml --today 2026-11-25 --format json"
	for _, line := range []struct{ kind, command string }{
		{"answer", "size" + asked},
		{"answer", "size" + asked + " --with hip=104cm"},
		{"answer", "size" + asked + " --with hip=160cm --ease closer"},
		{"suitability", "cloth" + asked},
		{"suitability", "cloth demo/lantern-top.yaml --cloth demo/cotton-jersey.yaml --format json"},
		{"chart", "chart demo/lantern-top.yaml --format json"},
		{"chart", "chart demo/quayside-skirt.yaml --format json --units cm"},
		{"chart-change", "chart demo/harbour-jacket.yaml --compare demo/quayside-skirt.yaml --format json"},
		{"coverage", "chart demo/harbour-jacket.yaml --bodies soldiers-women --format json"},
		{"flat", "flat ../../testdata/good/pieces-tern-trousers.yaml --format json"},
		{"why", "why" + asked},
		{"why", "why" + asked + " --size 14"},
	} {
		t.Run(line.command, func(t *testing.T) {
			var out, said bytes.Buffer
			if code := Main(strings.Fields(line.command), streams{in: os.Stdin, out: &out, err: &said}); code == exitUsage {
				t.Fatal(said.String())
			}
			if err := compiled(t, line.kind).Validate(treeOf(t, out.Bytes())); err != nil {
				t.Error(err)
			}
		})
	}
}

// So do the answers to the examples of every garment type.
func TestExamplesFitTheSchema(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	shared, _ := rules.Shared(voc)
	answer, cloth := compiled(t, "answer"), compiled(t, "suitability")
	for _, name := range recipes.Names() {
		doc, err := recipes.Source(name)
		if err != nil {
			t.Fatal(err)
		}
		recipe := recipes.ReadRecipe(doc, voc, rules.WhenNeeded)
		examples, _ := recipes.ReadExamples(doc, voc, recipe, shared, nil)
		for _, e := range examples {
			o := recipes.Run(&e, recipe, shared, voc)
			if o.Err != nil {
				t.Fatalf("%s: %s: %v", name, e.Name, o.Err)
			}
			if err := answer.Validate(treeOf(t, asJSON(t, o.Answer))); err != nil {
				t.Errorf("%s: %s: %v", name, e.Name, err)
			}
			if e.Given.Cloth == nil {
				continue
			}
			s, err := engine.Suit(engine.Request{Pattern: e.Pattern, Recipe: recipe, Rules: shared, Vocabulary: voc, Fitting: e.Given}, "")
			if err != nil {
				t.Fatalf("%s: %s: %v", name, e.Name, err)
			}
			if err := cloth.Validate(treeOf(t, asJSON(t, s))); err != nil {
				t.Errorf("%s: %s: %v", name, e.Name, err)
			}
		}
	}
}

func asJSON(t *testing.T, v any) []byte {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The schema of settings takes what is taken, has its keys, and refuses what a
// schema can see.
func TestSettingsAndTheirSchema(t *testing.T) {
	s := compiled(t, "config")
	tests := []struct{ name, settings, told string }{
		{"all of them", `{"units": "cm", "format": "json", "color": "never", "today": "2026-11-25", "recipes": ["mine", "~/ours"], "rules": "mine"}`, ""},
		{"none", `{}`, ""},
		{"empty ones", `{"units": null, "today": null, "recipes": null}`, ""},
		{"no folders", `{"recipes": []}`, ""},
		{"an unknown one", `{"zzzzzzzz": "cm"}`, "the keys here are: units, format, color, today, recipes, rules"},
		{"an unknown word", `{"units": "inches"}`, "expected `cm` or `in`"},
		{"no date", `{"today": "tomorrow"}`, "expected a date"},
		{"a folder without a name", `{"rules": ""}`, "`rules` has no value"},
		{"one of several", `{"rules": ["mine", null]}`, "nothing is written for this item of the list"},
		{"a list for a word", `{"format": ["json"]}`, "expected `text` or `json`"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "settings.yaml")
			if err := os.WriteFile(path, []byte(tt.settings), 0o600); err != nil {
				t.Fatal(err)
			}
			var said bytes.Buffer
			d := newFiles(streams{err: &said}, nil)
			d.settingsIn(path)
			_ = d.done() // which prints what is wrong
			if !strings.Contains(said.String(), tt.told) || tt.told == "" && said.Len() > 0 {
				t.Errorf("told %s", &said)
			}
			if err := s.Validate(treeOf(t, []byte(tt.settings))); (err == nil) != (tt.told == "") {
				t.Errorf("the schema says %v", err)
			}
		})
	}
	for _, k := range settingsByName {
		if k.about == "" {
			t.Errorf("nothing is said about %s", k.name)
		}
	}
}

// What is no answer does not fit.
func TestTheSchemaRefuses(t *testing.T) {
	var out bytes.Buffer
	line := "size demo/quayside-skirt.yaml --body demo/wren.yaml --cloth demo/washed-linen.yaml --today 2026-11-25 --format json"
	Main(strings.Fields(line), streams{in: os.Stdin, out: &out, err: &out})
	answer := treeOf(t, out.Bytes()).(map[string]any)
	s := compiled(t, "answer")
	for _, key := range []string{"version", "sizes", "recommended", "chart_size"} {
		changed := maps.Clone(answer)
		delete(changed, key)
		if s.Validate(changed) == nil {
			t.Errorf("an answer without %s fits", key)
		}
		changed[key] = "about 18"
		if s.Validate(changed) == nil {
			t.Errorf("an answer whose %s is a text fits", key)
		}
	}
	zone := answer["sizes"].([]any)[0].(map[string]any)["zones"].([]any)[0].(map[string]any)
	zone["verdict"] = "as wished"
	if s.Validate(answer) == nil {
		t.Error("a verdict that there is not fits")
	}
}
