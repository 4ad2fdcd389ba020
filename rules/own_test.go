package rules_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// rule is a rule of a file, with further keys.
func rule(id, keys string) string {
	return "  - {id: " + id + ", severity: note, when: body.hip > 1, say: It is, source: s" + keys + "}\n"
}

func ruleFile(rules ...string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte("kind: rules\ntopic: mine\nrules:\n" + strings.Join(rules, ""))}
}

// with reads folders of own rules, and returns all problems with their hints.
func with(t *testing.T, folders ...fstest.MapFS) ([]*engine.Rule, []string) {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	var own []file.Folder
	for i, f := range folders {
		own = append(own, file.Folder{Name: "./mine" + string(rune('0'+i)), Files: f})
	}
	all, docs := rules.With(own, voc)
	var told []string
	for _, d := range docs {
		for _, p := range d.Problems() {
			told = append(told, p.String()+"; "+p.Hint)
		}
	}
	return all, told
}

func ids(all []*engine.Rule) []string {
	var list []string
	for _, r := range all {
		list = append(list, r.ID)
	}
	return list
}

func TestWith(t *testing.T) {
	shipped, told := with(t)
	if len(told) > 0 {
		t.Fatal(told)
	}
	all, told := with(t,
		fstest.MapFS{"b.yaml": ruleFile(rule("third", ", replaces: below-wearing-ease")), "a.yaml": ruleFile(rule("first", ""), rule("off-chart", ", replaces: off-chart"))},
		fstest.MapFS{"a.yaml": ruleFile(rule("fourth", ""))})
	if len(told) > 0 {
		t.Fatal(told)
	}
	want := []string{"first", "off-chart", "third", "fourth"}
	for _, id := range ids(shipped) {
		if id != "off-chart" && id != "below-wearing-ease" {
			want = append(want, id)
		}
	}
	if diff := cmp.Diff(want, ids(all)); diff != "" {
		t.Error(diff)
	}
	for i, r := range all {
		if r.Own != (i < 4) {
			t.Errorf("%s: own is %v", r.ID, r.Own)
		}
		if _, err := r.When(); err != nil {
			t.Errorf("%s: %v", r.ID, err)
		}
	}
}

func TestWithTellsWhatIsWrong(t *testing.T) {
	one := func(files ...*fstest.MapFile) []fstest.MapFS {
		folder := fstest.MapFS{}
		for i, f := range files {
			folder[string(rune('a'+i))+".yaml"] = f
		}
		return []fstest.MapFS{folder}
	}
	tests := []struct {
		name    string
		folders []fstest.MapFS
		want    []string
	}{
		{"an id that is shipped", one(ruleFile(rule("off-chart", ""))),
			[]string{"./mine0/a.yaml:4:5: error[FA0501]: a rule `off-chart` is shipped already; give this one another id, or write `replaces: off-chart` if it is to stand in for that"}},
		{"an id that is shipped, for another", one(ruleFile(rule("off-chart", ", replaces: below-wearing-ease"))),
			[]string{"./mine0/a.yaml:4:5: error[FA0501]: a rule `off-chart` is shipped already; give this one another id, or write `replaces: off-chart` if it is to stand in for that"}},
		{"nothing to replace", one(ruleFile(rule("mine", ", replaces: of-chart"))),
			[]string{"./mine0/a.yaml:4:85: error[FA0522]: no shipped rule is called `of-chart`; did you mean `off-chart`?"}},
		{"nothing near to replace", one(ruleFile(rule("mine", ", replaces: everything"))),
			[]string{"./mine0/a.yaml:4:85: error[FA0522]: no shipped rule is called `everything`; `advisor rule list` names them all"}},
		{"one id in two files", one(ruleFile(rule("mine", "")), ruleFile(rule("other", ""), rule("mine", ""))),
			[]string{"./mine0/b.yaml:5:5: error[FA0501]: the rule `mine` is there twice; it stands at ./mine0/a.yaml:4:5 already: give one of them another id"}},
		{"one id in two folders", append(one(ruleFile(rule("mine", ""))), one(ruleFile(rule("mine", "")))...),
			[]string{"./mine1/a.yaml:4:5: error[FA0501]: the rule `mine` is there twice; it stands at ./mine0/a.yaml:4:5 already: give one of them another id"}},
		{"one id twice in a file", one(ruleFile(rule("mine", ""), rule("mine", ""))),
			[]string{"./mine0/a.yaml:5:5: error[FA0501]: the rule `mine` is there twice; it stands at ./mine0/a.yaml:4:5 already: give one of them another id"}},
		{"an expression, which is compiled at once", one(ruleFile(strings.Replace(rule("mine", ""), "body.hip", "body.hipp", 1))),
			[]string{"./mine0/a.yaml:4:38: error[FA0513]: unknown name `body.hipp`; did you mean `body.hip`?"}},
		{"not a rule file, nearly", one(&fstest.MapFile{Data: []byte("kind: rule\ntopic: mine\nrules: [{id: a, severity: note, when: 'true', say: b, source: c}]\n")}),
			[]string{"./mine0/a.yaml:1:7: error[FA0121]: expected `rules`, got `rule`; did you mean `rules`?"}},
		{"a file of another kind", one(&fstest.MapFile{Data: []byte("kind: recipe\nzones: [\n")}), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, told := with(t, tt.folders...)
			if diff := cmp.Diff(tt.want, told); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestClashes(t *testing.T) {
	at := func(file string) diag.Range { return diag.Range{File: file, Start: diag.Pos{Line: 4, Column: 5}} }
	cautions := []*engine.Rule{{ID: "a", At: at("recipe")}, {ID: "b", Replaces: "b", At: at("recipe")}, {ID: "c"}}
	shared := []*engine.Rule{{ID: "a", Own: true, At: at("mine")}, {ID: "b", Own: true}, {ID: "c"}, {ID: "d", Own: true}}
	got := rules.Clashes(cautions, shared)
	want := diag.List{{Severity: diag.Error, Code: "FA0501", Range: at("mine"), Summary: "the garment type has a rule `a` too",
		Hint: "that stands at recipe:4:5: give this one another id"}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}
