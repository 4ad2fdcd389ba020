package recipes

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// mine is a library with a folder of own recipes, by file name.
func mine(files map[string]string) Library {
	folder := fstest.MapFS{}
	for name, text := range files {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return Library{Folders: []file.Folder{{Name: "./mine", Files: folder}}}
}

// watchedFS remembers which of its files were opened.
type watchedFS struct {
	fstest.MapFS
	opened []string
}

func (w *watchedFS) Open(name string) (fs.File, error) {
	if name != "." {
		w.opened = append(w.opened, name)
	}
	return w.MapFS.Open(name)
}

// own begins a recipe of a name.
func own(name, rest string) string {
	return "kind: recipe\nname: " + name + "\ntitle: it\n" + rest
}

// must reads a recipe by name, which nothing may be wrong with.
func (l Library) must(t *testing.T, name string) *engine.Recipe {
	t.Helper()
	voc, _ := known(t)
	found, err := l.Recipe(name, voc)
	if err != nil {
		t.Fatal(err)
	}
	if told := written(t, found.Doc); told != "" {
		t.Fatal(told)
	}
	return found.Recipe
}

// A recipe that changes nothing is the one that it is based on, but for its name.
func TestBasedOnTakesOver(t *testing.T) {
	for _, name := range Names() {
		l := mine(map[string]string{"mine.yaml": own("mine", "based_on: "+name+"\n")})
		want, got := l.must(t, name), l.must(t, "mine")
		names := cmpopts.IgnoreFields(engine.Recipe{}, "Name", "Title", "At", "Own", "BasedOn")
		compiled := cmpopts.IgnoreFields(engine.Rule{}, "When", "Say", "Fix", "Topic")
		formulas := cmpopts.IgnoreFields(engine.Controlling{}, "Formula")
		if diff := cmp.Diff(want, got, names, compiled, formulas); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if want.Own || !got.Own || got.Name != "mine" || got.Title != "it" || got.At.File != "./mine/mine.yaml" {
			t.Errorf("%s: %+v", name, got)
		}
		if diff := cmp.Diff(append([]engine.Origin{{Name: name, File: "recipes/" + name + ".yaml"}}, want.BasedOn...), got.BasedOn); diff != "" {
			t.Error(diff)
		}
	}
}

func TestBasedOnOverrides(t *testing.T) {
	l := mine(map[string]string{
		"mine.yaml": own("mine", `based_on: between
zones: {hip: {ease: 4 in .. 12 in, source: measured}, high_hip: {role: mended, ease: 2 in ..,  tolerance: 1 in}}
stretch: {comfort: 5 %}
worn_over: [tights]
`),
		"between.yaml": own("between", `based_on: gathered-skirt
zones: {waist: ~, hip: {ease: 5 in .. 9 in, mend: let it out}}
stretch: {needed: 10 %}
size_moves: ~
cautions:
  - {id: too-full, severity: note, when: known(ease.hip), say: Full, source: s}
  - {id: gathers-take-cloth, severity: warn, when: known(ease.hip), say: Fuller, source: s}
examples:
  - what is not read here
`),
	})
	r := l.must(t, "mine")
	var zones []string
	for _, z := range r.Zones {
		zones = append(zones, fmt.Sprintf("%s %v, %v %q %q", z.Name, z.At, z.EaseAt, z.Mend, z.Source))
	}
	want := []string{
		`hip ./mine/mine.yaml:5:9, ./mine/mine.yaml:5:21 "let it out" "measured"`,
		`high_hip ./mine/mine.yaml:5:55, ./mine/mine.yaml:5:86 "" ""`,
	}
	if diff := cmp.Diff(want, zones); diff != "" {
		t.Error(diff)
	}
	if r.Stretch.Kind != "comfort" || r.Stretch.Least != 5 || !slices.Equal(r.WornOver, []string{"tights"}) || r.MovesDown != -1 || r.Grading.Sensible {
		t.Errorf("%+v", r)
	}
	var cautions []string
	for _, c := range r.Rules {
		cautions = append(cautions, fmt.Sprintf("%s %s %v own %v", c.ID, c.Text.Say, c.At, c.Own))
	}
	want = []string{"gathers-take-cloth Fuller ./mine/between.yaml:10:5 own true", "too-full Full ./mine/between.yaml:9:5 own true"}
	if diff := cmp.Diff(want, cautions); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]engine.Origin{{Name: "between", File: "./mine/between.yaml"}, {Name: "gathered-skirt", File: "recipes/gathered-skirt.yaml"}}, r.BasedOn); diff != "" {
		t.Error(diff)
	}
}

// The source of an ease is not that of another one which stands in its place.
func TestBasedOnSources(t *testing.T) {
	shipped := Library{}.must(t, "gathered-skirt").Zones[0].Source
	tests := []struct{ name, child, grandchild, want string }{
		{"all taken over", "", "", shipped},
		{"another ease", "{ease: 5 in .. 9 in}", "", "not said in ./mine/child.yaml"},
		{"another ease, and then another reason", "{ease: 5 in .. 9 in}", "{because: so}", "not said in ./mine/child.yaml"},
		{"another ease with its source", "{ease: 5 in .. 9 in, source: measured}", "{because: so}", "measured"},
		{"the same ease with another source", "{source: measured}", "", "measured"},
		{"a source, and then another ease", "{source: measured}", "{ease: 5 in .. 9 in}", "not said in ./mine/mine.yaml"},
		{"an ease, and its source later", "{ease: 5 in .. 9 in}", "{source: measured}", "measured"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			zones := func(hip string) string {
				if hip == "" {
					return ""
				}
				return "zones: {hip: " + hip + "}\n"
			}
			l := mine(map[string]string{
				"mine.yaml":  own("mine", "based_on: child\n"+zones(tt.grandchild)),
				"child.yaml": own("child", "based_on: gathered-skirt\n"+zones(tt.child)),
			})
			if got := l.must(t, "mine").Zones[0].Source; got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestReplaces(t *testing.T) {
	l := mine(map[string]string{
		"gathered-skirt.yaml": own("gathered-skirt", "replaces: gathered-skirt\nbased_on: gathered-skirt\nsize_moves: {down: 1, up: 1}\n"),
		"child.yaml":          own("child", "based_on: gathered-skirt\nhangs_from: shoulder\n"),
	})
	for _, name := range []string{"gathered-skirt", "child"} {
		r := l.must(t, name)
		if last := r.BasedOn[len(r.BasedOn)-1].File; r.MovesDown != 1 || !r.Own || last != "recipes/gathered-skirt.yaml" {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// What is wrong with names, and with what a recipe is based on. Where nothing is
// wrong with a file but that, nothing else is said.
func TestLibraryTellsWhatIsWrong(t *testing.T) {
	chain := map[string]string{}
	for i := range 9 {
		chain[fmt.Sprintf("r%d.yaml", i)] = own(fmt.Sprintf("r%d", i), fmt.Sprintf("based_on: r%d\n", i+1))
	}
	chain["r9.yaml"] = own("r9", "based_on: gathered-skirt\n")
	tests := []struct {
		name, asked string
		files       map[string]string
		want        []string
	}{
		{"in the recipe itself", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skirt\nzones:\n  hips: {role: mended}\n  hip: {ease: 5 furlongs}\nopenngs: []\n")}, []string{
			"./mine/mine.yaml:6:3: error[FA0302]: unknown measurement `hips`; did you mean `hip`?",
			"./mine/mine.yaml:7:17: error[FA0202]: unknown unit `furlongs`; the units are cm, mm, m, in, ft and %",
			"./mine/mine.yaml:8:1: error[FA0116]: unknown key `openngs` in a recipe file; did you mean `openings`?"}},
		{"in the one that it is based on", "mine", map[string]string{
			"mine.yaml":  own("mine", "based_on: child\nzones: {waist: {mend: ~}}\n"),
			"child.yaml": own("child", "based_on: gathered-skirt\nzones:\n  hip: {ease: 5 furlongs}\nsize_moves: {up: many}\n")}, []string{
			"./mine/child.yaml:6:17: error[FA0202]: unknown unit `furlongs`; the units are cm, mm, m, in, ft and %",
			"./mine/child.yaml:7:18: error[FA0122]: expected a whole number, got `many`; write a number such as `2`, without a sign, decimals or a unit"}},
		{"in both together", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skirt\nzones: {hip: {ease: 5 in ..}, waist: {cut: 110 % .. 90 %}}\n")}, []string{
			"./mine/mine.yaml:5:21: error[FA0406]: an open range needs a tolerance; add `tolerance:`, how far from the wanted ease costs a whole point",
			"./mine/mine.yaml:5:44: error[FA0205]: the range runs from the larger end to the smaller; write the smaller end first"}},
		{"no name and no title of its own", "mine", map[string]string{"mine.yaml": "kind: recipe\nbased_on: gathered-skirt\n"}, []string{
			"./mine/mine.yaml:1:1: error[FA0117]: the key `name` is missing here; write `name: ...`",
			"./mine/mine.yaml:1:1: error[FA0117]: the key `title` is missing here; write `title: ...`"}},
		{"a misspelt zone that is to be taken away", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skirt\nzones: {wiast: ~}\n")}, []string{
			"./mine/mine.yaml:5:9: error[FA0302]: unknown measurement `wiast`; did you mean `waist`?",
			"./mine/mine.yaml:5:16: error[FA0117]: `wiast` has no value; "}},
		{"a rule of its own about a zone that was taken away", "mine", map[string]string{"mine.yaml": own("mine",
			"based_on: straight-skirt\nzones: {waist: ~}\ncautions:\n  - {id: a, severity: note, zone: waist, when: zone.ease > 1, say: b, source: c}\n")}, []string{
			"./mine/mine.yaml:7:35: error[FA0409]: this recipe has no zone `waist`; there are: hip, high_hip"}},
		{"a rule with the id of a shared one", "mine", map[string]string{"mine.yaml": own("mine",
			"based_on: gathered-skirt\ncautions:\n  - {id: off-chart, severity: note, when: known(ease.hip), say: b, source: c}\n")}, []string{
			"./mine/mine.yaml:6:5: error[FA0501]: a rule `off-chart` is shipped already; give this one another id, or write `replaces: off-chart` if it is to stand in for that"}},
		{"an unknown name", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skrit\nzones: 5\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0701]: no garment type is called `gathered-skrit`; did you mean `gathered-skirt`?"}},
		{"one's own name, misspelt", "mine", map[string]string{"mine.yaml": own("mine", "based_on: culotes\n"), "culottes.yaml": own("culottes", "based_on: gathered-skirt\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0701]: no garment type is called `culotes`; did you mean `culottes`?"}},
		{"a list", "mine", map[string]string{"mine.yaml": own("mine", "based_on: [gathered-skirt]\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0120]: expected text, got a list; "}},
		{"a path", "mine", map[string]string{"mine.yaml": own("mine", "based_on: ../../etc/passwd\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0412]: `../../etc/passwd` is not the name of a garment type; " + nameHint + "; it is never a path"}},
		{"a whole path", "mine", map[string]string{"mine.yaml": own("mine", "based_on: /etc/passwd\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0412]: `/etc/passwd` is not the name of a garment type; " + nameHint + "; it is never a path"}},
		{"a path below", "mine", map[string]string{"mine.yaml": own("mine", "based_on: old/mine\n"), "old/mine.yaml": own("mine", "")}, []string{
			"./mine/mine.yaml:4:11: error[FA0412]: `old/mine` is not the name of a garment type; " + nameHint + "; it is never a path"}},
		{"a file", "mine", map[string]string{"mine.yaml": own("mine", "based_on: other.yaml\n"), "other.yaml": own("other", "based_on: gathered-skirt\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0412]: `other.yaml` is not the name of a garment type; " + nameHint + "; it is never a path"}},
		{"itself", "mine", map[string]string{"mine.yaml": own("mine", "based_on: mine\n")}, []string{
			"./mine/mine.yaml:4:11: error[FA0413]: `mine` is based on itself; ./mine/mine.yaml:4:11 says `based_on: mine`; one of them must stand by itself"}},
		{"a circle", "a", map[string]string{"a.yaml": own("a", "based_on: b\n"), "b.yaml": own("b", "based_on: c\nzones: 5\n"), "c.yaml": own("c", "based_on: a\n")}, []string{
			"./mine/c.yaml:4:11: error[FA0413]: `a` is based on itself; ./mine/a.yaml:4:11 says `based_on: b`, ./mine/b.yaml:4:11 says `based_on: c`, ./mine/c.yaml:4:11 says `based_on: a`; one of them must stand by itself"}},
		{"a circle further on", "mine", map[string]string{"mine.yaml": own("mine", "based_on: a\n"), "a.yaml": own("a", "based_on: b\n"), "b.yaml": own("b", "based_on: a\n")}, []string{
			"./mine/b.yaml:4:11: error[FA0413]: `a` is based on itself; ./mine/a.yaml:4:11 says `based_on: b`, ./mine/b.yaml:4:11 says `based_on: a`; one of them must stand by itself"}},
		{"too many", "r1", chain, []string{
			"./mine/r9.yaml:4:11: error[FA0413]: more than 8 garment types are based on one another; copy what you need from one of them"}},
		{"as many as may be", "r2", chain, nil},
		{"one that cannot be read", "mine", map[string]string{"mine.yaml": own("mine", "based_on: broken\n"), "broken.yaml": own("broken", "zones: [a\n")}, []string{
			"./mine/broken.yaml:4:8: error[FA0113]: the bracket [ is not closed, or a comma is missing after it; write ] at the end and a comma between the entries"}},
		{"a file of another kind, as if there were none", "wren", map[string]string{"wren.yaml": "kind: body\nname: Wren\n"}, []string{"no garment type is called `wren`"}},
		{"a shipped name", "gathered-skirt", map[string]string{"gathered-skirt.yaml": own("gathered-skirt", "based_on: gathered-skirt\n")}, []string{
			"./mine/gathered-skirt.yaml:2:7: error[FA0414]: a garment type `gathered-skirt` is shipped already; give this one another name, or write `replaces: gathered-skirt` if it is to stand in for that"}},
		{"a name that is not the file's", "mine", map[string]string{"mine.yaml": own("culottes", "based_on: gathered-skirt\n")}, []string{
			"./mine/mine.yaml:2:7: error[FA0412]: the file is called mine.yaml, and the garment type in it `culottes`; write `name: mine`, or rename the file: it is found by that"}},
		{"nothing to stand in for", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skirt\nreplaces: gathered-skrit\n")}, []string{
			"./mine/mine.yaml:5:11: error[FA0522]: no shipped garment type is called `gathered-skrit`; did you mean `gathered-skirt`?"}},
		{"another to stand in for", "mine", map[string]string{"mine.yaml": own("mine", "based_on: gathered-skirt\nreplaces: gathered-skirt\n")}, []string{
			"./mine/mine.yaml:5:11: error[FA0522]: `mine` cannot stand in for `gathered-skirt`; only a file of the same name can: call both the file and the garment type `gathered-skirt`"}},
	}
	voc, _ := known(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			found, err := mine(tt.files).Recipe(tt.asked, voc)
			if err != nil {
				got = append(got, err.Error())
			} else {
				for _, p := range found.Doc.Problems() {
					got = append(got, p.String()+"; "+p.Hint)
				}
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTwoFolders(t *testing.T) {
	voc, _ := known(t)
	one := mine(map[string]string{"a.yaml": own("a", "based_on: gathered-skirt\n"), "b.yaml": own("b", "based_on: c\n")})
	two := mine(map[string]string{"a.yaml": own("a", "based_on: gathered-skirt\n"), "c.yaml": own("c", "based_on: gathered-skirt\n")})
	two.Folders[0].Name = "./more"
	both := Library{Folders: slices.Concat(one.Folders, two.Folders)}
	if r := both.must(t, "b"); len(r.BasedOn) != 2 || r.BasedOn[0].File != "./more/c.yaml" {
		t.Errorf("%+v", r.BasedOn)
	}
	found, err := both.Recipe("a", voc)
	if err != nil {
		t.Fatal(err)
	}
	want := "./mine/a.yaml:2:7: error[FA0414]: there are two garment types `a` of your own\n    2 | name: a\n      |       ^\n" +
		"  hint: the other is ./more/a.yaml: give one of them another name\n"
	if diff := cmp.Diff(want, written(t, found.Doc)); diff != "" {
		t.Error(diff)
	}
}

func TestAll(t *testing.T) {
	voc, _ := known(t)
	l := mine(map[string]string{
		"zouave.yaml":         own("zouave", "based_on: gathered-skirt\n"),
		"broken.yaml":         own("broken", "zones: [a\n"),
		"My Skirt.yaml":       own("My Skirt", "based_on: gathered-skirt\n"),
		"gathered-skirt.yaml": own("gathered-skirt", "replaces: gathered-skirt\nbased_on: gathered-skirt\n"),
		"shirt.yaml":          own("shirt", "based_on: gathered-skirt\n"),
		"wren.yaml":           "kind: body\nname: Wren\n",
	})
	var names, broken, yours []string
	for _, f := range l.All(voc) {
		names = append(names, f.Name)
		if err := f.Doc.Problems().Err(); err != nil {
			broken = append(broken, f.Name+": "+err.Error())
		} else if f.Recipe.Own {
			yours = append(yours, f.Name)
		}
	}
	want := append(Names(), "zouave", "broken", "My Skirt")
	slices.Sort(want)
	if diff := cmp.Diff(want, names); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"gathered-skirt", "zouave"}, yours); diff != "" {
		t.Error(diff)
	}
	want = []string{
		"My Skirt: ./mine/My Skirt.yaml:2:7: error[FA0412]: a garment type cannot be called `My Skirt`, as its file is",
		"broken: ./mine/broken.yaml:4:8: error[FA0113]: the bracket [ is not closed, or a comma is missing after it",
		"shirt: ./mine/shirt.yaml:2:7: error[FA0414]: a garment type `shirt` is shipped already",
	}
	if diff := cmp.Diff(want, broken); diff != "" {
		t.Error(diff)
	}
}

// A recipe's own rule stands in for a shared one in this garment type.
func TestCautionReplaces(t *testing.T) {
	voc, shared := known(t)
	text := topRecipe + "  - {name: a, given: {body: {bust: 91 cm}, pattern: {sizes: [S], body: {bust: [90 cm]}, finished: {bust: [92 cm]}}}, expect: {size: S}}\n"
	fires := func(text string) []string {
		doc := file.Open("a.yaml", []byte(text))
		recipe := ReadRecipe(doc, voc, rules.AtOnce)
		examples, _ := ReadExamples(doc, voc, recipe, shared, nil)
		if told := written(t, doc); told != "" {
			t.Fatal(told)
		}
		o := Run(&examples[0], recipe, shared, voc)
		if o.Err != nil {
			t.Fatal(o.Err)
		}
		return o.Answer.Sizes[0].Cautions
	}
	if got := fires(text); !slices.Contains(got, "below-wearing-ease") {
		t.Fatalf("without it: %v", got)
	}
	own := "  - {id: %s, replaces: below-wearing-ease, severity: stop, when: ease.bust < limit.least, limits: {least: 3 cm}, say: So, source: s}\nexamples:\n"
	got := fires(strings.Replace(text, "examples:\n", fmt.Sprintf(own, "less-than-i-like"), 1))
	if !slices.Contains(got, "less-than-i-like") || slices.Contains(got, "below-wearing-ease") {
		t.Errorf("with an id of its own: %v", got)
	}
	got = fires(strings.Replace(text, "examples:\n", fmt.Sprintf(own, "below-wearing-ease"), 1))
	if n := len(slices.DeleteFunc(got, func(id string) bool { return id != "below-wearing-ease" })); n != 1 {
		t.Errorf("with the same id it speaks %d times", n)
	}
}

// Only what is asked for is read: all else in the folder may be broken.
func TestOneRecipeIsRead(t *testing.T) {
	folder := &watchedFS{MapFS: fstest.MapFS{
		"a.yaml":      {Data: []byte(own("a", "based_on: b\n"))},
		"b.yaml":      {Data: []byte(own("b", "based_on: gathered-skirt\n"))},
		"broken.yaml": {Data: []byte("kind: [")},
	}}
	Library{Folders: []file.Folder{{Name: "./mine", Files: folder}}}.must(t, "a")
	slices.Sort(folder.opened)
	if got := slices.Compact(folder.opened); !slices.Equal(got, []string{"a.yaml", "b.yaml"}) {
		t.Errorf("opened %v", got)
	}
}

// The folder is not left by a link either.
func TestLinksOutOfTheFolder(t *testing.T) {
	voc, _ := known(t)
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "mine"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "secret.yaml"), []byte(own("secret", "based_on: gathered-skirt\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("../secret.yaml", filepath.Join(dir, "mine", "secret.yaml")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	root, err := os.OpenRoot(filepath.Join(dir, "mine"))
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	l := Library{Folders: []file.Folder{{Name: "./mine", Files: root.FS()}}}
	doc := file.Open("a.yaml", []byte(own("a", "based_on: secret\n")))
	if r := l.Read(doc, voc, rules.AtOnce); r != nil {
		t.Errorf("it was read: %+v", r)
	}
	want := "./mine/secret.yaml: error[FA0101]: ./mine/secret.yaml leads out of its folder, or nowhere\n" +
		"  hint: put the file itself into the folder instead of a link to it\n"
	if diff := cmp.Diff(want, written(t, doc)); diff != "" {
		t.Error(diff)
	}
}

func TestBeside(t *testing.T) {
	voc, _ := known(t)
	folder := mine(map[string]string{"a.yaml": own("called-otherwise", "based_on: gathered-skirt\n"), "below/b.yaml": own("b", "based_on: gathered-skirt\n"), "wren.yaml": "kind: body\nname: Wren\n"}).Folders[0]
	tests := []struct{ name, want string }{
		{"a.yaml", "called-otherwise"},
		{"./a.yaml", "called-otherwise"},
		{"below/../a.yaml", "called-otherwise"},
		{"below/b.yaml", "b"},
		{"wren.yaml", "./mine/wren.yaml:1:7: error[FA0301]: this is a body file, where a recipe file is wanted"},
		{"b.yaml", "cannot read `b.yaml`"},
		{"../a.yaml", "`../a.yaml` is not beside this file"},
		{"/etc/a.yaml", "`/etc/a.yaml` is not beside this file"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got string
			found, err := Library{}.Beside(tt.name, &folder, voc)
			switch {
			case err != nil:
				got = err.Error()
			case found.Recipe == nil:
				got = found.Doc.Problems().Error()
			default:
				got = found.Recipe.Name
			}
			if got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
	if _, err := (Library{}).Beside("a.yaml", nil, voc); err == nil || !strings.Contains(err.Error(), "standard input") {
		t.Errorf("without a folder: %v", err)
	}
}
