package recipes

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
)

// group is what stands before the point of a name.
type group struct {
	name, about string
	measurement bool
}

// groups are those of the names that expressions may use, with what they speak of
// and where they may stand; measurement is a group for each of its measurements.
var groups = []group{
	{"body", "the body; a zone that hangs from the shoulder counts its bust as upper bust and drafted cup", true},
	{"drafted", "the pattern's `body:` in the size judged, else its `drafted_for:`", true},
	{"chart", "the pattern's `body:`, in the size judged", true},
	{"finished", "the garment, in the size judged", true},
	{"ease", "the zone of that measurement", true},
	{"drawn", "the same zone", true},
	{"wanted", "the same zone", true},
	{"low", "the same zone, as the recipe has it", true},
	{"high", "the same zone, as the recipe has it", true},
	{"lacks", "the same zone; below 0 the garment has more; an estimate lacks nothing that is known", true},
	{"gained", "the alterations before it in the trade's order; in other rules it is 0", true},

	{"body", "Whose measurements, and when they were taken.", false},
	{"drafted", "What the pattern was drafted for, besides lengths.", false},
	{"asked", "The lengths under `wanted:` of the body.", false},
	{"wear", "What is worn with the garment.", false},
	{"layers", "What is worn beneath it.", false},
	{"cloth", "The cloth named. Where none is, one such as the recipe asks for stands in for structure and stretch, and the rest is not known.", false},
	{"stretch", "Stretch, of the cloth and wanted.", false},
	{"recipe", "The garment type.", false},
	{"pattern", "The pattern.", false},
	{"has", "What the pattern or its type has, by `has:`.", false},
	{"size", "The size judged, and the chart size.", false},
	{"zone", "One zone in one size. Only in rules with `zone:` or `each: zone`.", false},
	{"measurement", "One measurement of the body. Only in rules with `each: measurement`.", false},
	{"lacing", "The lacing that closes it, in the size judged. Not known where nothing is laced.", false},
	{"opening", "One opening in one size. Only in rules with `each: opening`.", false},
	{"cord", "One cord of the pattern. Only in rules with `each: cord`.", false},
	{"alteration", "One alteration. Only in rules with `amount:`, of which it is this one, or with `each: alteration`.", false},
}

// refused are expressions that people try, with why each is none.
var refused = []struct{ expression, why string }{
	{"body.hip < 104 cm", "numbers are plain; a unit is a function, or better one of the rule's own limits"},
	{"zone.ease < 25 %", "percentages are plain numbers"},
	{"cloth.stucture == \"knit\"", "a misspelt name is found when the file is read, not when somebody cuts"},
	{"hip > 100", "every name says what it speaks of"},
	{"cloth.structure == \"knitted\"", "a word that a name never has would make the rule silent for good"},
	{"cloth.structure == knit", "a text stands in quotes"},
	{"1 < size.moves < 3", "a chain reads otherwise in every language"},
	{"zone.ease = 2", "nothing is changed by asking"},
	{"zone.estimated == 1", "unlike things have no order"},
	{"body.neck != nil", "what is missing is no value that could be compared"},
	{"zone.name contains \"hip\"", "texts are compared whole"},
	{"max(1, zone.ease", "brackets close"},
	{"median(1, 2, 3)", "there are only the functions above"},
	{"sum([1, 2])", "nothing loops and nothing builds lists, so every expression ends at once"},
}

// TestExpressionsPage compares the tables of docs/expressions.md with what
// expressions can be made of.
func TestExpressionsPage(t *testing.T) {
	voc, _ := known(t)
	const path = "../docs/expressions.md"
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	page := string(source)
	for _, part := range []struct{ name, text string }{
		{"functions", functionTable(formula.Functions())},
		{"printers", functionTable(formula.Printers())},
		{"refused", refusedTable(t, voc)},
		{"measurements", measurementTables(t, voc)},
		{"names", nameTables(t, voc)},
	} {
		begin, end := "<!-- "+part.name+": made by `go test ./recipes -run ExpressionsPage -update` -->\n", "<!-- end of "+part.name+" -->\n"
		before, rest, begun := strings.Cut(page, begin)
		_, after, ended := strings.Cut(rest, end)
		if !begun || !ended {
			t.Fatalf("%s lacks the lines %q and %q", path, begin, end)
		}
		page = before + begin + part.text + end + after
	}
	drift(t, path, page)
}

func functionTable(all []formula.Function) string {
	text := "| function | gives |\n|---|---|\n"
	for _, f := range all {
		text += fmt.Sprintf("| `%s` | %s |\n", f.Usage, f.About)
	}
	return text
}

func refusedTable(t *testing.T, voc *engine.Vocabulary) string {
	t.Helper()
	text := "| what is tried | what is said | why |\n|---|---|---|\n"
	for _, r := range refused {
		_, err := formula.Compile(r.expression, voc.Schema(), formula.Bool)
		var problems formula.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%s: not refused: %v", r.expression, err)
			continue
		}
		said := problems[0].Summary
		if hint := problems[0].Hint; hint != "" {
			said += ": " + hint
		}
		text += fmt.Sprintf("| `%s` | %s | %s |\n", r.expression, strings.ReplaceAll(said, "|", `\|`), r.why)
	}
	return text
}

// measurementTables are the groups that have a name for each measurement, shown
// once, and the measurements.
func measurementTables(t *testing.T, voc *engine.Vocabulary) string {
	t.Helper()
	text := "| name | what it is | of | gives |\n|---|---|---|---|\n"
	for _, g := range groups {
		if !g.measurement {
			continue
		}
		n, ok := voc.Lookup(g.name + ".hip")
		if !ok {
			t.Errorf("the group %s has no name for the hip", g.name)
			continue
		}
		text += fmt.Sprintf("| `%s.MEASUREMENT` | %s | %s | %s |\n", g.name, strings.Replace(n.About, voc.Title("hip"), "measurement", 1), g.about, gives(n))
	}
	text += "\n| measurement | what it is | kind | names |\n|---|---|---|---|\n"
	for _, word := range voc.Words() {
		m := voc.Measure(word)
		names := "all"
		switch m.Kind {
		case engine.Angle:
			names = "`body.` only, in degrees"
		case engine.Garment:
			names = "`finished.` only"
		}
		text += fmt.Sprintf("| `%s` | %s | %s | %s |\n", word, m.Title, m.Kind, names)
	}
	return text
}

// nameTables are the names that do not come from a measurement.
func nameTables(t *testing.T, voc *engine.Vocabulary) string {
	t.Helper()
	rows := map[string]string{}
	for _, n := range voc.Schema().Names() {
		before, rest, _ := strings.Cut(n.Name, ".")
		of := voc.Measure(rest) != nil
		if !slices.ContainsFunc(groups, func(g group) bool { return g.name == before && g.measurement == of }) {
			t.Errorf("%s is in no group of `groups` in recipes/docs_test.go: say there what the group speaks of", n.Name)
		}
		if !of {
			rows[before] += fmt.Sprintf("| `%s` | %s | %s |\n", n.Name, n.About, gives(n))
		}
	}
	text := ""
	for _, g := range groups {
		if g.measurement {
			continue
		}
		if rows[g.name] == "" {
			t.Errorf("there are no names in the group %s", g.name)
		}
		text += fmt.Sprintf("### `%s`\n\n%s\n\n| name | what it is | gives |\n|---|---|---|\n%s\n", g.name, g.about, rows[g.name])
	}
	return strings.TrimSuffix(text, "\n")
}

// gives is what a name measures, with its unit, or the words that it can be.
func gives(n formula.Name) string {
	switch n.Dim {
	case formula.Length:
		return "cm"
	case formula.Percent:
		return "%"
	case formula.Count:
		return "number"
	case formula.Degrees:
		return "degrees"
	case formula.Ease:
		return "cm or %, as the zone has it"
	case formula.Bool:
		return "yes or no"
	}
	if n.Words == nil {
		return "text"
	}
	return "`\"" + strings.Join(n.Words, "\"`, `\"") + "\"`"
}

// Every expression that the page shows can be read.
func TestExpressionsPageExamples(t *testing.T) {
	voc, _ := known(t)
	source, err := os.ReadFile("../docs/expressions.md")
	if err != nil {
		t.Fatal(err)
	}
	shown := regexp.MustCompile("(?m)^    (.+?)(?:   .*)?$").FindAllStringSubmatch(string(source), -1)
	if len(shown) < 5 {
		t.Errorf("the page shows only %d expressions", len(shown))
	}
	names := voc.Schema().With(formula.Fixed{Name: formula.Name{Name: "limit.least", Dim: formula.Length, About: "a limit"}, Value: 2})
	for _, e := range shown {
		_, asCondition := formula.Compile(e[1], names, formula.Bool)
		_, asText := formula.Compile(e[1], names, formula.Text)
		if asCondition != nil && asText != nil {
			t.Errorf("%s: %v", e[1], asCondition)
		}
	}
}

// TestPagesNameEveryKey looks for keys of a recipe, and of a rule, that the page
// about them does not explain.
func TestPagesNameEveryKey(t *testing.T) {
	voc, _ := known(t)
	pages := map[string]string{"recipe": "../docs/recipes.md", "rules": "../docs/rules.md", "test": "../docs/recipes.md"}
	for _, kind := range FileKinds() {
		path := pages[kind.Name]
		if path == "" {
			continue
		}
		source, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var schema map[string]any
		if err := json.Unmarshal(kind.Schema(voc), &schema); err != nil {
			t.Fatal(err)
		}
		for _, key := range keysOf(schema, schema["$defs"]) {
			if voc.Measure(key) == nil && !regexp.MustCompile("`"+key+":?( [^`]*)?`").Match(source) {
				t.Errorf("%s does not say what `%s:` is for", path, key)
			}
		}
		delete(pages, kind.Name)
	}
	for kind := range pages {
		t.Errorf("there is no kind of file %s", kind)
	}
}

// elsewhere are keys whose values are explained on other pages.
var elsewhere = []string{"body", "pattern", "cloth", "like", "cautions", bodiesBlock, patternsBlock, clothsBlock}

// keysOf lists the keys of a schema and of all that stands in it, by the
// definitions of the whole.
func keysOf(schema, definitions any) []string {
	var all []string
	switch s := schema.(type) {
	case []any:
		for _, item := range s {
			all = append(all, keysOf(item, definitions)...)
		}
	case map[string]any:
		if ref, ok := s["$ref"].(string); ok {
			all = keysOf(definitions.(map[string]any)[strings.TrimPrefix(ref, "#/$defs/")], definitions)
		}
		properties, _ := s["properties"].(map[string]any)
		for key, value := range properties {
			if all = append(all, key); !slices.Contains(elsewhere, key) {
				all = append(all, keysOf(value, definitions)...)
			}
		}
		for key, value := range s {
			if key != "properties" && key != "$defs" {
				all = append(all, keysOf(value, definitions)...)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// The script follows the recipe that docs/recipes.md writes from nothing.
func TestScriptFollowsThePage(t *testing.T) {
	page, err := os.ReadFile("../docs/recipes.md")
	if err != nil {
		t.Fatal(err)
	}
	script, err := os.ReadFile("../cmd/advisor/testdata/script/own-recipe.txtar")
	if err != nil {
		t.Fatal(err)
	}
	_, worked, found := strings.Cut(string(page), "## A worked recipe from nothing")
	files := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(worked, -1)
	if !found || len(files) == 0 {
		t.Fatal("the page has no worked recipe")
	}
	for _, f := range files {
		if !strings.Contains(string(script), f[1]) {
			t.Errorf("own-recipe.txtar has not the file as the page has it:\n%s", f[1])
		}
	}
}
