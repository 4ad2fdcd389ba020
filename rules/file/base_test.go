package file_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fitadvisor/rules/file"
)

// scalars lists every single value below v, each with its path and place.
func scalars(v file.Value, path string) []string {
	switch {
	case v.IsMap():
		m := v.Map()
		var all []string
		for _, k := range m.Keys() {
			all = append(all, scalars(m.Get(k.Text()), path+"."+k.Text())...)
		}
		return all
	case v.IsList():
		var all []string
		for i, item := range v.Items() {
			all = append(all, scalars(item, fmt.Sprintf("%s.%d", path, i))...)
		}
		return all
	case v.IsText():
		return []string{fmt.Sprintf("%s = %s, %v", path[1:], v.Text(), v.Range())}
	}
	return []string{path[1:] + " = nothing, " + v.Range().String()}
}

func TestBuildOn(t *testing.T) {
	bequest := file.Bequest{Own: []string{"name"}, Whole: []string{"stretch"}, Joined: []string{"cautions"}}
	tests := []struct {
		name, base, own string
		want            []string
	}{
		{"nothing of its own", "a: 1\nb: [2]\n", "{}", []string{"a = 1, base:1:4", "b.0 = 2, base:2:5"}},
		{"a value of its own", "a: 1\nb: 2\n", "b: 3\nc: 4\n", []string{"a = 1, base:1:4", "b = 3, own:1:4", "c = 4, own:2:4"}},
		{"maps are merged, at any depth", "z:\n  hip: {low: 1, high: 2}\n  waist: {low: 3}\n", "z:\n  hip: {high: 4}\n",
			[]string{"z.hip.low = 1, base:2:14", "z.hip.high = 4, own:2:15", "z.waist.low = 3, base:3:16"}},
		{"lists are not", "l: [1, 2]\n", "l: [3]\n", []string{"l.0 = 3, own:1:5"}},
		{"nothing takes away", "z: {hip: 1, waist: 2}\nq: 5\n", "z: {waist: ~}\nq:\n", []string{"z.hip = 1, base:1:10"}},
		{"nothing to take away", "z: {hip: 1}\n", "z: {wiast: ~}\n", []string{"z.hip = 1, base:1:10", "z.wiast = nothing, own:1:12"}},
		{"a map for a single value", "a: 1\n", "a: {b: 2}\n", []string{"a.b = 2, own:1:8"}},
		{"a single value for a map", "a: {b: 2}\n", "a: 1\n", []string{"a = 1, own:1:4"}},
		{"a key that is not taken over", "name: base\na: 1\n", "b: 2\n", []string{"a = 1, base:2:4", "b = 2, own:1:4"}},
		{"a key that is not taken over, left empty", "name: base\n", "name: ~\n", []string{"name = nothing, own:1:7"}},
		{"a map that stands alone", "stretch: {comfort: 10 %}\n", "stretch: {needed: 25 %}\n", []string{"stretch.needed = 25 %, own:1:19"}},
		{"such words are merged below the top", "z: {stretch: {a: 1}, name: x}\n", "z: {stretch: {b: 2}}\n",
			[]string{"z.stretch.a = 1, base:1:18", "z.stretch.b = 2, own:1:18", "z.name = x, base:1:28"}},
		{"lists that are joined", "cautions:\n  - {id: a, say: 1}\n  - {id: b, say: 2}\n", "cautions:\n  - {id: c, say: 3}\n  - {id: a, say: 4}\n",
			[]string{"cautions.0.id = a, own:3:10", "cautions.0.say = 4, own:3:18", "cautions.1.id = b, base:3:10", "cautions.1.say = 2, base:3:18",
				"cautions.2.id = c, own:2:10", "cautions.2.say = 3, own:2:18"}},
		{"items without ids are added", "cautions: [{say: 1}, x]\n", "cautions: [{say: 2}]\n",
			[]string{"cautions.0.say = 1, base:1:18", "cautions.1 = x, base:1:22", "cautions.2.say = 2, own:1:18"}},
		{"JSON on YAML", "a: {b: 1}\n", `{"a": {"c": "2"}}`, []string{"a.b = 1, base:1:8", "a.c = 2, own:1:13"}},
		{"not a map", "a: 1\n", "[x]", []string{"0 = x, own:1:2"}},
		{"on no map", "[x]", "a: 1\n", []string{"a = 1, own:1:4"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			own := file.Open("own", []byte(tt.own))
			own.BuildOn(file.Open("base", []byte(tt.base)), bequest)
			if p := own.Problems(); len(p) > 0 {
				t.Fatal(p)
			}
			if diff := cmp.Diff(tt.want, scalars(own.Root(), "")); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Each problem is told where the line at fault stands, in three files built on
// one another.
func TestBuildOnTellsProblemsInEachFile(t *testing.T) {
	open := func(name, text string, base *file.Doc) *file.Doc {
		d := file.Open(name, []byte(text))
		if base != nil {
			d.BuildOn(base, file.Bequest{})
		}
		return d
	}
	first := open("first.yaml", "hip: {low: 1 kg, high: 2 cm}\nwaste: 1 cm\n", nil)
	second := open("second.yaml", "hip: {high: 3 furlongs}\nwaist: 5\n", first)
	third := open("third.yaml", "waist: [6]\n", second)
	root := third.Root().Map()
	hip := root.Get("hip").Map()
	hip.Get("low").Length()
	hip.Get("high").Length()
	root.Get("waist").Length()
	root.Close("a test")
	want := []string{
		"first.yaml:1:14: error[FA0202]: unknown unit `kg`",
		"first.yaml:2:1: error[FA0116]: unknown key `waste` in a test",
		"second.yaml:1:15: error[FA0202]: unknown unit `furlongs`",
		"third.yaml:1:8: error[FA0120]: expected a length, got a list",
	}
	var got []string
	for _, p := range third.Problems() {
		got = append(got, p.String())
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if third.Base() != second || second.Base() != first || first.Base() != nil {
		t.Error("the files are not based on one another")
	}
}

// tree is a map of words to further ones, or to a text.
type tree map[string]any

func trees(depth int) *rapid.Generator[tree] {
	return rapid.Custom(func(t *rapid.T) tree {
		out := tree{}
		for _, key := range []string{"a", "b", "c"} {
			switch kind := rapid.IntRange(0, 3).Draw(t, "kind"); {
			case kind == 1:
				out[key] = nil
			case kind == 2 && depth > 1:
				out[key] = trees(depth-1).Draw(t, key)
			case kind >= 2:
				out[key] = fmt.Sprintf("v%d", rapid.IntRange(0, 99).Draw(t, key))
			}
		}
		return out
	})
}

func (m tree) yaml() string {
	var parts []string
	for _, key := range []string{"a", "b", "c"} {
		v, has := m[key]
		switch v := v.(type) {
		case tree:
			parts = append(parts, key+": "+v.yaml())
		case string:
			parts = append(parts, key+": "+v)
		default:
			if has {
				parts = append(parts, key+": ~")
			}
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// on is what a tree becomes when it is built on another.
func (m tree) on(base tree) tree {
	out := tree{}
	for key, v := range base {
		out[key] = v
	}
	for key, v := range m {
		below, isTree := v.(tree)
		under, both := base[key].(tree)
		_, there := base[key]
		switch {
		case v == nil && there:
			delete(out, key)
		case isTree && both:
			out[key] = below.on(under)
		default:
			out[key] = v
		}
	}
	return out
}

// A tree of the values of a file, none of which is misplaced.
func treeOf(t *rapid.T, v file.Value, sources map[string]string) tree {
	out := tree{}
	m := v.Map()
	for _, k := range m.Keys() {
		switch v := m.Get(k.Text()); {
		case v.IsMap():
			out[k.Text()] = treeOf(t, v, sources)
		case v.Exists():
			r := v.Range()
			if there := sources[r.File][r.Start.Column-1 : r.End.Column-1]; there != v.Text() {
				t.Fatalf("%v is %s, not %s", r, there, v.Text())
			}
			out[k.Text()] = v.Text()
		default:
			out[k.Text()] = nil
		}
	}
	return out
}

func TestBuildOnMerges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want tree
		var doc *file.Doc
		sources := map[string]string{}
		for i := range rapid.IntRange(1, 4).Draw(t, "files") {
			own := trees(3).Draw(t, "own")
			name := fmt.Sprintf("file%d", i)
			sources[name] = own.yaml()
			d := file.Open(name, []byte(sources[name]))
			if doc == nil {
				want = own
			} else {
				want = own.on(want)
				d.BuildOn(doc, file.Bequest{})
			}
			doc = d
		}
		if diff := cmp.Diff(want, treeOf(t, doc.Root(), sources)); diff != "" {
			t.Fatal(diff)
		}
	})
}
