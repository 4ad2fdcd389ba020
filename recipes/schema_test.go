package recipes

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
	"fitadvisor/rules/shape"
)

const goodFiles = "../testdata/good"

// checker checks documents against the schema of their kind.
type checker struct {
	kind   string
	tree   map[string]any // the schema itself
	schema *jsonschema.Schema
}

func checkerOf(t testing.TB, kind string, voc *engine.Vocabulary) checker {
	t.Helper()
	tree, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaOf(t, kind, voc)))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", tree); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return checker{kind, tree.(map[string]any), s}
}

func schemaOf(t testing.TB, kind string, voc *engine.Vocabulary) []byte {
	t.Helper()
	for _, k := range FileKinds() {
		if k.Name == kind {
			return k.Schema(voc)
		}
	}
	t.Fatalf("no schema of kind %q", kind)
	return nil
}

func checkers(t testing.TB, voc *engine.Vocabulary) map[string]checker {
	all := map[string]checker{}
	for _, kind := range kinds {
		all[kind] = checkerOf(t, kind, voc)
	}
	return all
}

// refuses says what the schema has against a document, whose numbers and truths
// may be read as such or as text.
func (c checker) refuses(document any) error {
	if err := c.schema.Validate(document); err != nil {
		return fmt.Errorf("read as text: %w", err)
	}
	if err := c.schema.Validate(typed(document)); err != nil {
		return fmt.Errorf("read as an editor does: %w", err)
	}
	return nil
}

// treeOf is what a file holds, every scalar as text.
func treeOf(v file.Value) any {
	switch {
	case v.IsMap():
		m := map[string]any{}
		for _, k := range v.Map().Keys() {
			m[k.Text()] = treeOf(v.Map().Get(k.Text()))
		}
		return m
	case v.IsList():
		list := []any{}
		for _, item := range v.ItemsOrOne() {
			list = append(list, treeOf(item))
		}
		return list
	case v.IsText():
		return v.Text()
	}
	return nil
}

// typed reads texts as YAML does: plain numbers, true and false.
func typed(document any) any {
	switch d := document.(type) {
	case map[string]any:
		m := map[string]any{}
		for k, v := range d {
			m[k] = typed(v)
		}
		return m
	case []any:
		list := make([]any, len(d))
		for i, v := range d {
			list[i] = typed(v)
		}
		return list
	case string:
		if d == "true" || d == "false" {
			return d == "true"
		}
		if n, err := strconv.ParseFloat(d, 64); err == nil && n-n == 0 && !strings.ContainsAny(d, "xX_") {
			return n
		}
	}
	return document
}

func TestSchemasFollowTheirDraft(t *testing.T) {
	voc, _ := known(t)
	meta, err := jsonschema.NewCompiler().Compile(shape.Dialect)
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range kinds {
		c := checkerOf(t, kind, voc)
		if err := meta.Validate(c.tree); err != nil {
			t.Errorf("%s: %v", kind, err)
		}
		if c.tree["$schema"] != shape.Dialect || c.tree["title"] == nil || c.tree["description"] == nil {
			t.Errorf("%s: what it is is not said", kind)
		}
		if !bytes.Equal(schemaOf(t, kind, voc), schemaOf(t, kind, voc)) {
			t.Errorf("%s: two runs differ", kind)
		}
	}
}

// Every file that is as it should be fits the schema of its kind.
func TestGoodFilesFitTheirSchemas(t *testing.T) {
	voc, _ := known(t)
	all := checkers(t, voc)
	for _, folder := range []string{goodFiles, "../cmd/advisor/demo", ".", "../rules"} {
		for _, name := range filesIn(t, folder) {
			doc := opened(t, folder, name)
			if err := all[kindOf(doc, name)].refuses(treeOf(doc.Root())); err != nil {
				t.Errorf("%s/%s: %v", folder, name, err)
			}
		}
	}
}

func opened(t testing.TB, folder, name string) *file.Doc {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return file.Open(name, data)
}

// The bad files that structural.txt names, and no others, do not fit: the rest
// is wrong in what no schema can see, or cannot be read at all.
func TestBadFilesAndTheirSchemas(t *testing.T) {
	const folder = "../testdata/bad"
	list, err := os.ReadFile(filepath.Join(folder, "structural.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var want, got []string
	for line := range strings.Lines(string(list)) {
		want = append(want, strings.TrimSpace(line))
	}
	voc, _ := known(t)
	all := checkers(t, voc)
	for _, name := range filesIn(t, folder) {
		doc := opened(t, folder, name)
		kind := kindOf(doc, name)
		if root := doc.Root(); len(doc.Problems()) == 0 && all[kind].refuses(treeOf(root)) != nil {
			got = append(got, name)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("structural.txt, and the files that do not fit their schemas (list those that no schema should let through):\n%s", diff)
	}
}

// stranger is a key that no file has.
const stranger = "zzzzzzzz"

// In every map of the good files, the keys that the reader knows are those of
// the schema, and it misses those that the schema wants.
func TestReadersAskForTheKeysOfTheirSchemas(t *testing.T) {
	voc, shared := known(t)
	met := map[string]bool{} // every key, by its name and what is said about it
	for _, kind := range kinds {
		t.Run(kind, func(t *testing.T) {
			c := checkerOf(t, kind, voc)
			c.eachKey(c.tree, func(key string, about any) {
				if said := fmt.Sprint(key, ": ", about); !met[said] && voc.Measure(key) == nil {
					met[said] = false
				}
			})
			for _, name := range goodOf(t, kind) {
				document := treeOf(opened(t, goodFiles, name).Root())
				told := func(changed any) diag.List {
					return problemsOf(readAs(t, kind, file.Open(name, asJSON(t, changed)), os.DirFS(goodFiles), voc, shared))
				}
				c.walk(document, func(at place) {
					m, ok := at.value.(map[string]any)
					if !ok {
						return
					}
					properties, closed := at.keys()
					for key := range m {
						met[fmt.Sprint(key, ": ", at.about(key))] = true
					}
					asked := keysIn(told(at.with(document, set(m, stranger, "1"))))
					slices.Sort(asked)
					if closed && !slices.Equal(asked, properties) {
						t.Errorf("%s: %s: in the schema, and asked for:\n%s", name, at.path, cmp.Diff(properties, asked))
					}
					for _, key := range properties {
						wanted := slices.Contains(at.needs(), key)
						without := told(at.with(document, drop(m, key)))
						if misses(without, key) && !wanted && !built(document) || wanted && len(without) == 0 {
							t.Errorf("%s: %s: `%s` is needed in the schema: %v, and when it is missing the reader says: %v", name, at.path, key, wanted, without)
						}
						if empty := told(at.with(document, set(m, key, nil))); wanted && len(empty) == 0 {
							t.Errorf("%s: %s: nothing is said when `%s` is empty", name, at.path, key)
						}
					}
				})
			}
		})
	}
	for _, key := range slices.Sorted(maps.Keys(met)) {
		if !met[key] {
			t.Errorf("no good file has the key %s", key)
		}
	}
}

// What the reader takes the schema takes: tried with other values in each place
// of the good files.
func TestSchemasTakeWhatReadersTake(t *testing.T) {
	voc, shared := known(t)
	probes := []any{nil, "", " ", "true", "3", "5 cm", "26-27", "25 %", "-2 % ..", "hip", " hip ", "hip and bust", "waist_open", "none", "2026-11-02",
		[]any{}, []any{nil}, []any{"3"}, []any{"hip"}, []any{"25 %"}, []any{map[string]any{}},
		map[string]any{}, map[string]any{stranger: "1"}, map[string]any{"hip": "90 cm"}, map[string]any{"left": "9 cm"}, map[string]any{"from": "4 in", "to": "5 in"}}
	if patience > 1 {
		probes = probes[:len(probes)/3] // all of them are tried where nothing slows it
	}
	tried, taken := map[string]bool{}, 0 // places, by their definitions
	for _, kind := range kinds {
		t.Run(kind, func(t *testing.T) {
			c := checkerOf(t, kind, voc)
			try := func(name string, at place, document, value any) {
				changed := at.with(document, value)
				doc := file.Open(name, asJSON(t, changed))
				if problemsOf(readAs(t, kind, doc, os.DirFS(goodFiles), voc, shared)).HasErrors() {
					return
				}
				taken++
				if err := c.refuses(changed); err != nil {
					t.Errorf("%s: %s: the reader takes %v, but %v", name, at.path, value, err)
				}
			}
			for _, name := range goodOf(t, kind) {
				document := treeOf(opened(t, goodFiles, name).Root())
				c.walk(document, func(at place) {
					if tried[at.id] {
						return
					}
					tried[at.id] = true
					for _, value := range probes {
						try(name, at, document, value)
					}
					if m, ok := at.value.(map[string]any); ok {
						for key := range m {
							try(name, at, document, drop(m, key))
						}
					}
				})
			}
		})
	}
	if taken == 0 {
		t.Error("the readers took nothing")
	}
}

// goodOf names the good files of a kind.
func goodOf(t *testing.T, kind string) []string {
	t.Helper()
	return slices.DeleteFunc(filesIn(t, goodFiles), func(name string) bool { return !strings.HasPrefix(name, kind+"-") })
}

func asJSON(t *testing.T, document any) []byte {
	t.Helper()
	data, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// problemsOf are the problems of all files that were read.
func problemsOf(docs []*file.Doc) diag.List {
	var all diag.List
	for _, d := range docs {
		all = append(all, d.Problems()...)
	}
	return all
}

// keysIn are the keys that a reader names when it meets the stranger.
func keysIn(told diag.List) []string {
	for _, p := range told {
		if _, keys, ok := strings.Cut(p.Hint, "are: "); ok && strings.Contains(p.Summary, stranger) {
			return strings.Split(keys, ", ")
		}
	}
	return nil
}

// misses tells whether a reader misses a key.
func misses(told diag.List, key string) bool {
	return slices.ContainsFunc(told, func(p diag.Diagnostic) bool { return p.Summary == "the key `"+key+"` is missing here" })
}

func set(m map[string]any, key string, value any) map[string]any {
	changed := maps.Clone(m)
	changed[key] = value
	return changed
}

func drop(m map[string]any, key string) map[string]any {
	changed := maps.Clone(m)
	delete(changed, key)
	return changed
}

// place is a value in a document, with the parts of the schema that it fits.
type place struct {
	path  string
	steps []any // keys and indexes
	value any
	nodes []map[string]any // where it is used, and its definition
	id    string           // of the definition
}

// keys are the keys that the schema knows here, and whether it knows them all.
func (p place) keys() (names []string, closed bool) {
	for _, n := range p.nodes {
		if properties, ok := n["properties"].(map[string]any); ok {
			names = slices.Sorted(maps.Keys(properties))
		}
		closed = closed || n["additionalProperties"] == false
	}
	return names, closed
}

// about is what the schema says about a key.
func (p place) about(key string) any {
	for _, n := range p.nodes {
		properties, _ := n["properties"].(map[string]any)
		if value, ok := properties[key].(map[string]any); ok {
			return value["description"]
		}
	}
	return nil
}

// needs are the keys that must be there.
func (p place) needs() []string {
	var names []string
	for _, n := range p.nodes {
		required, _ := n["required"].([]any)
		for _, name := range required {
			names = append(names, name.(string))
		}
	}
	return names
}

// with is a copy of the document with another value here.
func (p place) with(document, value any) any {
	return replaced(document, p.steps, value)
}

func replaced(document any, steps []any, value any) any {
	if len(steps) == 0 {
		return value
	}
	switch d := document.(type) {
	case map[string]any:
		key := steps[0].(string)
		return set(d, key, replaced(d[key], steps[1:], value))
	case []any:
		list := slices.Clone(d)
		i := steps[0].(int)
		list[i] = replaced(d[i], steps[1:], value)
		return list
	}
	return document
}

// walk visits every value of a document.
func (c checker) walk(document any, visit func(place)) {
	c.visit(place{path: "the file", value: document, nodes: []map[string]any{c.tree}, id: c.kind}, visit)
}

func (c checker) visit(p place, visit func(place)) {
	p = c.settled(p)
	visit(p)
	step := func(s any, value any, node map[string]any, id string) {
		c.visit(place{fmt.Sprintf("%s, %v", p.path, s), append(slices.Clip(p.steps), s), value, []map[string]any{node}, p.id + "/" + id}, visit)
	}
	last := p.nodes[len(p.nodes)-1]
	switch d := p.value.(type) {
	case map[string]any:
		properties, _ := last["properties"].(map[string]any)
		rest, _ := last["additionalProperties"].(map[string]any)
		for _, key := range slices.Sorted(maps.Keys(d)) {
			if node, ok := properties[key].(map[string]any); ok {
				step(key, d[key], node, key)
			} else {
				step(key, d[key], rest, "*")
			}
		}
	case []any:
		items, _ := last["items"].(map[string]any)
		for i, item := range d {
			step(i, item, items, "-")
		}
	}
}

// settled follows references and takes the alternative that the value fits.
func (c checker) settled(p place) place {
	last := p.nodes[len(p.nodes)-1]
	if name, def := c.definition(last); def != nil {
		p.nodes, p.id = append(p.nodes, def), name
		return c.settled(p)
	}
	for name, alternative := range c.alternatives(last) {
		q := p
		q.nodes, q.id = append(slices.Clip(p.nodes), alternative), p.id+"|"+name
		if q = c.settled(q); q.fits() && (name != "then" || holds(last, p.value)) {
			return q
		}
	}
	return p
}

// definition is what a part of the schema refers to, nil where it does not.
func (c checker) definition(node map[string]any) (name string, def map[string]any) {
	ref, _ := node["$ref"].(string)
	name = strings.TrimPrefix(ref, "#/$defs/")
	defs, _ := c.tree["$defs"].(map[string]any)
	def, _ = defs[name].(map[string]any)
	return name, def
}

// alternatives are what a part of the schema leaves to choose from.
func (c checker) alternatives(node map[string]any) iter.Seq2[string, map[string]any] {
	return func(yield func(string, map[string]any) bool) {
		list, _ := node["anyOf"].([]any)
		for i, alternative := range list {
			if !yield(strconv.Itoa(i), alternative.(map[string]any)) {
				return
			}
		}
		for _, name := range []string{"then", "else"} {
			if alternative, ok := node[name].(map[string]any); ok && !yield(name, alternative) {
				return
			}
		}
	}
}

// eachKey visits every key that a part of the schema knows, and all below it.
func (c checker) eachKey(node map[string]any, visit func(key string, about any)) {
	if _, def := c.definition(node); def != nil {
		c.eachKey(def, visit)
		return
	}
	for _, alternative := range c.alternatives(node) {
		c.eachKey(alternative, visit)
	}
	properties, _ := node["properties"].(map[string]any)
	for key, value := range properties {
		below := value.(map[string]any)
		visit(key, below["description"])
		c.eachKey(below, visit)
	}
	for _, name := range []string{"items", "additionalProperties"} {
		if below, ok := node[name].(map[string]any); ok {
			c.eachKey(below, visit)
		}
	}
}

// holds tells whether a value has the key that a part of the schema asks for
// before it takes the first of two shapes.
func holds(node map[string]any, value any) bool {
	condition, _ := node["if"].(map[string]any)
	m, _ := value.(map[string]any)
	return !slices.ContainsFunc(asList(condition["required"]), func(key any) bool { return m[key.(string)] == nil })
}

// built tells whether a document is a garment type that is based on another,
// which may have what this one lacks.
func built(document any) bool {
	m, _ := document.(map[string]any)
	return m["based_on"] != nil
}

// fits tells whether the value is a map with keys of the schema, or a list, or
// a scalar where the schema has that.
func (p place) fits() bool {
	last := p.nodes[len(p.nodes)-1]
	switch d := p.value.(type) {
	case map[string]any:
		names, closed := p.keys()
		for key := range d {
			if closed && !slices.Contains(names, key) {
				return false
			}
		}
		return last["type"] == "object" || slices.Contains(asList(last["type"]), any("object"))
	case []any:
		return last["items"] != nil
	}
	return last["items"] == nil && last["properties"] == nil
}

func asList(v any) []any {
	list, _ := v.([]any)
	return list
}
