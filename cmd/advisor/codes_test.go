package main

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// Each code stands in one place of the program, and has a page.
func TestEachCodeHasAPage(t *testing.T) {
	declared := map[diag.Code]token.Position{}
	eachGoFile(t, func(fset *token.FileSet, f *ast.File) {
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil || !regexp.MustCompile(`^FA\d{4}$`).MatchString(text) {
				return true
			}
			code, at := diag.Code(text), fset.Position(lit.Pos())
			if first, twice := declared[code]; twice {
				t.Errorf("%v: %s stands at %v already", at, code, first)
			}
			declared[code] = at
			return true
		})
	})
	var used []diag.Code
	for code := range declared {
		used = append(used, code)
	}
	slices.Sort(used)
	if diff := cmp.Diff(used, diag.Codes()); diff != "" {
		t.Errorf("codes of the program, and pages in explain/diag/pages:\n%s", diff)
	}
}

// No problem is made without a code: where a literal has a summary, it has one.
func TestEachProblemHasACode(t *testing.T) {
	found := 0
	eachGoFile(t, func(fset *token.FileSet, f *ast.File) {
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.CompositeLit)
			if !ok {
				return true
			}
			keys := map[string]bool{}
			for _, e := range lit.Elts {
				if pair, ok := e.(*ast.KeyValueExpr); ok {
					if key, ok := pair.Key.(*ast.Ident); ok {
						keys[key.Name] = true
					}
				}
			}
			if keys["Summary"] {
				found++
				if !keys["Code"] {
					t.Errorf("%v: a problem without a code", fset.Position(lit.Pos()))
				}
			}
			return true
		})
	})
	if found == 0 {
		t.Error("no problems are made")
	}
}

// eachGoFile parses the module's Go files, tests left out.
func eachGoFile(t *testing.T, visit func(*token.FileSet, *ast.File)) {
	t.Helper()
	const root = "../.."
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return fs.SkipDir
		case filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
		if err == nil {
			visit(fset, f)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// block is a fenced block of a page: a part of a file, or a table beside it.
type block struct{ kind, text string }

var (
	fence     = regexp.MustCompile("(?ms)^```(\\S+)(?: ([^\n]+))?\n(.*?)^```$")
	noExample = regexp.MustCompile(`(?m)^<!-- example: none, because .+ -->$`)
)

// The page on variables lists all that there are.
func TestPageListsVariables(t *testing.T) {
	for i := range settingsByName {
		if name := "`" + settingsByName[i].variable() + "`"; !strings.Contains(badVariable.Page(), name) {
			t.Errorf("the page on %s does not list %s", badVariable, name)
		}
	}
}

// The example of the mistake gives its code and no other, and the one mended
// gives none.
func TestPages(t *testing.T) {
	const mostWithout, widest = 6, 76 // columns, shown set in
	without := 0
	for _, code := range diag.Codes() {
		t.Run(string(code), func(t *testing.T) {
			if !slices.ContainsFunc(codeGroups, func(g codeGroup) bool { return g.holds(code) }) {
				t.Error("it belongs to no group, so that `advisor explain` leaves it out")
			}
			page := code.Page()
			if !strings.HasPrefix(page, "# ") || code.Title() == "" || strings.HasSuffix(code.Title(), ".") {
				t.Errorf("the title is %q", code.Title())
			}
			for _, m := range fence.FindAllStringSubmatch(page, -1) {
				for line := range strings.Lines(m[3]) {
					if utf8.RuneCountInString(line) > widest+1 {
						t.Errorf("too wide for a terminal: %s", line)
					}
				}
			}
			wrong, mended, ok := strings.Cut(page, "\nMended")
			if !ok {
				t.Fatal("nothing is mended")
			}
			if noExample.MatchString(page) {
				without++
				return
			}
			got, told := codesOf(t, wrong)
			if !slices.Equal(got, []diag.Code{code}) {
				t.Errorf("the example gives %v", got)
			}
			asItStands(t, filepath.Join("testdata", "codes", string(code)+".txt"), told)
			if got, _ := codesOf(t, mended); got != nil {
				t.Errorf("mended it gives %v", got)
			}
		})
	}
	if without > mostWithout {
		t.Errorf("%d pages have no example, at most %d may", without, mostWithout)
	}
}

// asItStands compares all that a reader is told with what stands in a file.
func asItStands(t *testing.T, name, told string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(told), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil || string(want) != told {
		t.Errorf("%s reads otherwise (read it, then run with -update):\n%s", name, told)
	}
}

// lacking are the lines that a part of a file leaves out; a key that the part
// has itself takes their place.
var lacking = map[string]string{
	"body":         "kind: body\nname: Wren\nmeasurements: {hip: 112 cm, waist: 75 cm}\n",
	"body asked":   "kind: body\nname: Wren\n",
	"cloth":        "kind: cloth\nname: washed linen\nstructure: woven\n",
	"garment":      "kind: garment\nname: Sunday skirt\nrecipe: straight-skirt\ncloth: {structure: woven}\nmeasurements: {hip: 104 cm}\n",
	"pattern":      "kind: pattern\nname: Quayside skirt\nrecipe: gathered-skirt\nsizes: [8, 10]\nbody: {hip: [92 cm, 97 cm]}\n",
	"observations": "kind: observations\npattern: Quayside skirt\nsize: 10\nobserved: {hip: let out 0 cm in all}\n",
	"columns":      "kind: columns\nunits: cm\ncolumns: {hip_cm: hip}\n",
	"recipe": "kind: recipe\nname: harbour-skirt\ntitle: Harbour skirt\ndraft: all\ncontrolling: hip\nstretch: none\n" +
		"zones: {hip: {role: decides, ease: 3 in .. 10 in}}\ngrading: {sensible: true, because: it has side seams}\n",
	"recipe check": "kind: recipe\nname: harbour-skirt\ntitle: Harbour skirt\ndraft: all\ncontrolling: hip\nstretch: none\n" +
		"zones: {hip: {role: decides, ease: 3 in .. 10 in}}\ngrading: {sensible: false, because: it has one zone}\n" +
		"examples: [{name: it fits, given: {body: {hip: 112 cm}, pattern: {sizes: [16, 18], body: {hip: [107 cm, 112 cm]}, " +
		"finished: {hip: [117 cm, 122 cm]}}}, expect: {size: 18}}]\n",
	"pieces": "kind: pieces\nname: Quayside front and back\nallowance: 1.5 cm\npieces: [{name: front, copies: 2, width: {hip: 30 cm}}]\n",
	"rule":   "id: firm-cloth\nseverity: note\nwhen: cloth.structure == \"woven\"\nsay: It is firm.\nsource: common practice\n",
}

// whole makes a file of a block. A rule becomes the only one of its file. What is
// to be checked for doubts too has nothing doubtful in the lines it leaves out.
func (b block) whole() (kind, text string) {
	kind, asItIs := strings.CutSuffix(b.kind, " whole")
	if asItIs || strings.HasPrefix(b.text, "kind:") || strings.HasPrefix(b.text, "{") {
		return kind, b.text
	}
	var lines string
	rule, isRule := strings.CutPrefix(kind, "rule")
	left := lacking[kind]
	if isRule {
		left = lacking["rule"]
	}
	for line := range strings.Lines(left) {
		key, _, _ := strings.Cut(line, ":")
		if !strings.HasPrefix("\n"+b.text, "\n"+key+":") && !strings.Contains(b.text, "\n"+key+":") {
			lines += line
		}
	}
	lines += b.text
	if !isRule {
		return kind, lines
	}
	return "rules" + rule, "kind: rules\ntopic: cloth\nrules:\n  - " + strings.ReplaceAll(strings.TrimSuffix(lines, "\n"), "\n", "\n    ") + "\n"
}

// codesOf are the codes of what is wrong with the file in a part of a page, read
// and, for a pattern or a recipe's examples, asked for an answer; and all that is
// told of it.
func codesOf(t *testing.T, page string) ([]diag.Code, string) {
	t.Helper()
	files := fstest.MapFS{"wren.yaml": {Data: []byte(lacking["body"])}}
	var kind, text string
	for _, m := range fence.FindAllStringSubmatch(page, -1) {
		if m[1] == "csv" {
			files[m[2]] = &fstest.MapFile{Data: []byte(m[3])}
			continue
		}
		if of, name, beside := strings.Cut(m[2], " as "); beside {
			_, whole := block{of, m[3]}.whole()
			files[name] = &fstest.MapFile{Data: []byte(whole)}
			continue
		}
		if kind != "" {
			t.Error("more than one file")
		}
		kind, text = block{m[2], m[3]}.whole()
	}
	const name = "example.yaml"
	files[name] = &fstest.MapFile{Data: []byte(text)}
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	var told strings.Builder
	d := newFiles(streams{out: io.Discard, err: &told, from: files}, voc)
	switch kind {
	case "body":
		d.Body(name)
	case "body asked":
		files["skirt.yaml"] = &fstest.MapFile{Data: []byte(lacking["pattern"])}
		q := &asking{pattern: "skirt.yaml", body: name, today: demoToday, display: display{format: "text", color: "auto"}}
		if _, err := q.answer(d); err != nil && !errors.Is(err, errReported) {
			t.Error(err)
		}
	case "cloth":
		d.Cloth(name)
	case "garment":
		d.Garment(d.File(name, "garment"), nil)
	case "observations":
		files["skirt.yaml"] = &fstest.MapFile{Data: []byte(strings.Replace(lacking["pattern"], "body:", "finished: {hip: [97 cm, 102 cm]}\nbody:", 1))}
		q := &asking{pattern: "skirt.yaml", body: "wren.yaml", toile: name, today: demoToday, display: display{format: "text", color: "auto"}}
		if _, err := q.answer(d); err != nil && !errors.Is(err, errReported) {
			t.Error(err)
		}
	case "pattern":
		q := &asking{pattern: name, body: "wren.yaml", today: demoToday, display: display{format: "text", color: "auto"}}
		if _, err := q.answer(d); err != nil && !errors.Is(err, errReported) {
			t.Error(err)
		}
	case "sewn":
		doc := d.Open(name, kind)
		recipes.ReadMake(doc, voc)
		d.Take(doc)
	case "columns":
		files["skirt.yaml"] = &fstest.MapFile{Data: []byte(lacking["pattern"])}
		q := &chartFlags{bodies: "bodies.csv", columns: name, pattern: "skirt.yaml", display: display{format: "text", color: "auto"}}
		if err := q.cover(d.s, d); err != nil && !errors.Is(err, errReported) {
			t.Error(err)
		}
	case "pieces":
		d.pieces(name)
	case "recipe":
		called := "harbour-skirt"
		if m := regexp.MustCompile(`(?m)^name: (\S+)$`).FindStringSubmatch(text); m != nil {
			called = m[1]
		}
		files[called+".yaml"] = files[name]
		d.Library.Folders = []file.Folder{{Name: ".", Files: files}}
		found, err := d.Library.Recipe(called, voc)
		if err != nil {
			t.Fatal(err)
		}
		examples, more := recipes.ReadExamples(found.Doc, voc, found.Recipe, nil, files)
		if d.Take(append(more, found.Doc)...); !d.Problems.HasErrors() {
			runExamples(t, d, found.Recipe, examples)
		}
	case "rules":
		doc := d.Open(name, kind)
		rules.Read(doc, voc, rules.AtOnce)
		d.Take(doc)
	case "recipe check":
		(&checked{files: d}).recipes([]string{name})
	case "rules check":
		(&checked{files: d}).rules([]string{name})
	default:
		t.Fatalf("no example of a file, of kind %q", kind)
	}
	if err := d.done(); err != nil && !errors.Is(err, errReported) {
		t.Error(err)
	}
	var codes []diag.Code
	for _, m := range regexp.MustCompile(`(?m)^\S+ (?:error|warning|note)\[(FA\d{4})\]: `).FindAllStringSubmatch(told.String(), -1) {
		codes = append(codes, diag.Code(m[1]))
	}
	slices.Sort(codes)
	return slices.Compact(codes), told.String()
}

// runExamples keeps what turns out to be wrong once a recipe's examples are run,
// and requires of them that they hold otherwise.
func runExamples(t *testing.T, d *files, recipe *engine.Recipe, examples []recipes.Example) {
	t.Helper()
	for _, e := range examples {
		o := recipes.Run(&e, recipe, nil, d.Voc)
		var failed *engine.RuleError
		switch {
		case errors.As(o.Err, &failed):
			d.Tell(failed.Diagnostic)
		case !o.Passed():
			t.Errorf("the example does not hold: %v, %v", o.Err, o.Results)
		}
	}
}
