package main_test

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
)

// The house: a package may import what stands in its own place or to the left
// of it here, so that every arrow runs one way. A test from outside a package
// (package engine_test) may also import what stands to the right, up to recipes.
var places = []string{"explain", "engine", "rules", "recipes", "cmd"}

// standard are the packages that import the standard library alone.
var standard = []string{"explain/diag", "engine/quantity"}

// owners are the only importers of a library: a package, or everything below
// one where the name ends in a slash.
var owners = []struct{ library, owner string }{
	{"github.com/expr-lang/expr", "engine/formula"},
	{"go.yaml.in/yaml", "rules/file"},
	{"gopkg.in/yaml", "rules/file"},
	{"github.com/olekukonko/tablewriter", "explain/"},
	{"codeberg.org/go-pdf/fpdf", "explain/pdf"},
	{"golang.org/x/image", "explain/pdf"},
	{"golang.org/x/net", "explain/html"},
	{"github.com/chromedp", "cmd/advisor/"}, // in tests
	{"golang.org/x/text", "explain/pdf"},
	{"github.com/spf13/cobra", "cmd/advisor"},
	{"github.com/spf13/pflag", "cmd/advisor"},
	{"github.com/knadh/koanf", "cmd/advisor"},
	{"golang.org/x/term", "cmd/advisor"},
	{"github.com/gofrs/flock", "cmd/advisor/notebook"},
}

// The engine reaches nothing outside itself: no file, network, clock, chance
// or terminal.
var (
	outside      = []string{"crypto/rand", "embed", "io/fs", "log", "math/rand", "net", "os", "syscall"}
	outsideCalls = map[string][]string{
		"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
		"time": {"After", "AfterFunc", "LoadLocation", "Local", "NewTicker", "NewTimer", "Now", "Since", "Sleep", "Tick", "Until"},
	}
)

// inBrowser are the packages that are in the engine for browsers, below recipes: what they must not reach would not run there, or
// would make everybody fetch much more.
var (
	inBrowser  = []string{"recipes/advice", "cmd/advisor/parts", "cmd/advisor/publish/buyer"}
	notInThere = []string{"os", "net", "html/template", "text/template", "fitadvisor/cmd/advisor/notebook", "fitadvisor/cmd/advisor/disk", "fitadvisor/cmd/advisor/question", "fitadvisor/explain/pdf", "github.com/spf13/cobra"}
)

// garmentWords are what explain must not know; a plural counts too.
var garmentWords = []string{"bust", "cloth", "ease", "hip", "size", "skirt", "waist"}

// topLevel is all that may stand in the root, besides names with a leading dot.
var topLevel = []string{"DEVELOPERS.md", "README.md", "cmd", "docs", "engine", "explain", "go.mod", "go.sum", "recipes", "rules", "testdata"}

// checks are the laws that each Go file of the module keeps by itself.
var checks = []struct {
	name  string
	check func(*goFile) []complaint
}{
	{"arrows", arrows},
	{"standard library only", standardOnly},
	{"sole importers", soleImporters},
	{"engine keeps to itself", keepsToItself},
	{"explain knows no garment", knowsNoGarment},
	{"fit for a browser", fitForBrowser},
}

func TestHouse(t *testing.T) {
	root := os.DirFS("../..")
	files, err := readGo(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, place := range places {
		if !slices.ContainsFunc(files, func(f *goFile) bool { return f.place() == place }) {
			t.Errorf("no Go file was found in %s", place)
		}
	}
	for _, c := range checks {
		t.Run(c.name, func(t *testing.T) {
			for _, f := range files {
				for _, found := range c.check(f) {
					t.Error(found)
				}
			}
		})
	}
	t.Run("package comments", func(t *testing.T) {
		for _, found := range undocumented(files) {
			t.Error(found)
		}
	})
	t.Run("top level", func(t *testing.T) {
		entries, err := fs.ReadDir(root, ".")
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range strangers(entries) {
			t.Error(found)
		}
	})
}

func TestHouseChecks(t *testing.T) {
	tests := []struct {
		name, file, code string
		want             string // of the one complaint; empty: none
	}{
		{"an arrow to the right", "rules/x.go", `import "fitadvisor/engine/quantity"`, ""},
		{"an arrow within a place", "rules/data/x.go", `import "fitadvisor/rules/file"`, ""},
		{"engine to rules", "engine/x.go", `import "fitadvisor/rules"`, "engine/x.go:3: engine may not import fitadvisor/rules: the arrow runs left"},
		{"a test of explain to engine", "explain/text/x_test.go", `import "fitadvisor/engine"`, "explain/text/x_test.go:3: explain/text may not import fitadvisor/engine: the arrow runs left"},
		{"an external test of engine to recipes", "engine/outside_test.go", `import "fitadvisor/recipes"`, ""},
		{"an external test of rules to recipes", "rules/outside_test.go", `import "fitadvisor/recipes"`, ""},
		{"an external test of engine to cmd", "engine/outside_test.go", `import "fitadvisor/cmd/advisor/disk"`, "engine/outside_test.go:3: engine may not import fitadvisor/cmd/advisor/disk: the arrow runs left"},
		{"a test inside engine to recipes", "engine/x_test.go", `import "fitadvisor/recipes"`, "engine/x_test.go:3: engine may not import fitadvisor/recipes: the arrow runs left"},
		{"recipes to cmd, under another name", "recipes/x.go", `import c "fitadvisor/cmd/advisor"`, "recipes/x.go:3: recipes may not import fitadvisor/cmd/advisor: the arrow runs left"},
		{"an import from no place", "cmd/advisor/x.go", `import "fitadvisor/docs"`, "cmd/advisor/x.go:3: fitadvisor/docs is in none of explain, engine, rules, recipes, cmd"},
		{"a package in no place", "docs/x.go", `import "fmt"`, "docs/x.go:1: docs is in none of explain, engine, rules, recipes, cmd"},
		{"a package in the root", "x.go", `import "fmt"`, "x.go:1: . is in none of explain, engine, rules, recipes, cmd"},

		{"diag and the standard library", "explain/diag/x.go", `import "slices"`, ""},
		{"a test of diag may compare", "explain/diag/x_test.go", `import "github.com/google/go-cmp/cmp"`, ""},
		{"diag and a library", "explain/diag/x.go", `import "github.com/fatih/color"`, "explain/diag/x.go:3: explain/diag imports the standard library alone, not github.com/fatih/color"},
		{"quantity and its own module", "engine/quantity/x.go", `import "fitadvisor/explain/diag"`, "engine/quantity/x.go:3: engine/quantity imports the standard library alone, not fitadvisor/explain/diag"},

		{"formula owns expr", "engine/formula/x.go", `import "github.com/expr-lang/expr/ast"`, ""},
		{"engine and expr", "engine/x.go", `import "github.com/expr-lang/expr/vm"`, "engine/x.go:3: github.com/expr-lang/expr/vm is for engine/formula alone"},
		{"below formula and expr", "engine/formula/deep/x.go", `import "github.com/expr-lang/expr"`, "engine/formula/deep/x.go:3: github.com/expr-lang/expr is for engine/formula alone"},
		{"a test of rules and yaml", "rules/x_test.go", `import "go.yaml.in/yaml/v3"`, "rules/x_test.go:3: go.yaml.in/yaml/v3 is for rules/file alone"},
		{"recipes and old yaml", "recipes/x.go", `import "gopkg.in/yaml.v3"`, "recipes/x.go:3: gopkg.in/yaml.v3 is for rules/file alone"},
		{"recipes and cobra", "recipes/x.go", `import "github.com/spf13/cobra"`, "recipes/x.go:3: github.com/spf13/cobra is for cmd/advisor alone"},
		{"below the command and koanf", "cmd/advisor/page/x.go", `import "github.com/knadh/koanf/v2"`, "cmd/advisor/page/x.go:3: github.com/knadh/koanf/v2 is for cmd/advisor alone"},
		{"a renderer and tablewriter", "explain/text/x.go", `import "github.com/olekukonko/tablewriter/tw"`, ""},
		{"explain and tablewriter", "explain/x.go", `import "github.com/olekukonko/tablewriter"`, "explain/x.go:3: github.com/olekukonko/tablewriter is for explain/ alone"},
		{"another library of a like name", "recipes/x.go", `import "github.com/spf13/cobrax"`, ""},

		{"a test of engine may read files", "engine/x_test.go", `import "os"`, ""},
		{"rules may embed", "rules/x.go", `import "embed"`, ""},
		{"engine and os", "engine/x.go", `import "os"`, "engine/x.go:3: the engine may not reach os"},
		{"engine and net/http", "engine/report/x.go", `import "net/http"`, "engine/report/x.go:3: the engine may not reach net/http"},
		{"engine and chance", "engine/x.go", `import "math/rand/v2"`, "engine/x.go:3: the engine may not reach math/rand/v2"},
		{"engine reads a date", "engine/x.go", "import \"time\"\nvar d, _ = time.Parse(time.DateOnly, \"2026-11-02\")", ""},
		{"engine and the clock", "engine/x.go", "import \"time\"\nvar now = time.Now()", "engine/x.go:4: the engine may not reach time.Now"},
		{"engine and the clock, renamed", "engine/x.go", "import clock \"time\"\nvar now = clock.Now", "engine/x.go:4: the engine may not reach time.Now"},
		{"engine and the terminal", "engine/x.go", "import \"fmt\"\nfunc init() { fmt.Println(1) }", "engine/x.go:4: the engine may not reach fmt.Println"},

		{"the door and the disk", "recipes/advice/x.go", `import "os"`, "recipes/advice/x.go:3: recipes/advice is in the engine for browsers, and may not reach os"},
		{"a buyer's page and templates", "cmd/advisor/publish/buyer/x.go", `import "html/template"`, "cmd/advisor/publish/buyer/x.go:3: cmd/advisor/publish/buyer is in the engine for browsers, and may not reach html/template"},
		{"a maker's side and templates", "cmd/advisor/publish/x.go", `import "html/template"`, ""},

		{"a comment of explain", "explain/x.go", "// hip\nvar x = 1 // waist", ""},
		{"a test of explain", "explain/x_test.go", "var x = `hip`", ""},
		{"parts of words", "explain/x.go", "var ship, clothes, easel = `release`, `font-size`, 'x'", ""},
		{"another package's word", "explain/x.go", "var n = info.Size() + f(table{MaxSize: 3})", ""},
		{"a garment word in a name", "explain/x.go", "type HipTable int", "explain/x.go:3: explain knows no garment: `hip` in HipTable"},
		{"before a dot", "explain/x.go", "var s = f(`hip`).g", "explain/x.go:3: explain knows no garment: `hip` in `hip`"},
		{"after an abbreviation", "explain/x.go", "var HTMLSizes int", "explain/x.go:3: explain knows no garment: `size` in HTMLSizes"},
		{"in a field", "explain/x.go", "type t struct{ maxSize int }", "explain/x.go:3: explain knows no garment: `size` in maxSize"},
		{"in a text", "explain/text/x.go", "var s = \"the WAISTS\"", "explain/text/x.go:3: explain knows no garment: `waist` in \"the WAISTS\""},
		{"in a raw text, between marks", "explain/x.go", "var s = `high_hip/3`", "explain/x.go:3: explain knows no garment: `hip` in `high_hip/3`"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			name := "x"
			if strings.HasSuffix(tt.file, "outside_test.go") {
				name = "x_test"
			}
			files, err := readGo(fstest.MapFS{tt.file: {Data: []byte("package " + name + "\n\n" + tt.code + "\n")}})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, c := range checks {
				for _, found := range c.check(files[0]) {
					got = append(got, found.String())
				}
			}
			if strings.Join(got, "\n") != tt.want {
				t.Errorf("got  %s\nwant %s", strings.Join(got, "\n     "), tt.want)
			}
		})
	}
}

func TestUndocumented(t *testing.T) {
	file := func(code string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(code)} }
	files, err := readGo(fstest.MapFS{
		"engine/a.go":             file("package engine"),
		"engine/doc.go":           file("// Package engine advises.\npackage engine"),
		"rules/a.go":              file("// Rules of thumb.\n\npackage rules"),
		"rules/a_test.go":         file("// Package rules_test is no comment of the package.\npackage rules_test"),
		"cmd/advisor/testdata/a":  file("not Go"),
		"cmd/advisor/testdata.go": file("//go:build never\n\npackage main"),
		"explain/testdata/x/a.go": file("package x"),
		".hidden/a.go":            file("broken"),
		"recipes/only_test.go":    file("package recipes_test"),
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []complaint{{"cmd/advisor", "no file has a package comment"}, {"rules", "no file has a package comment"}}
	if got := undocumented(files); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestStrangers(t *testing.T) {
	root := fstest.MapFS{".ci/run": {}, ".gitignore": {}, "README.md": {}, "engine/x.go": {}, "advisor": {}, "internal/x.go": {}}
	entries, err := root.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	want := []complaint{{"advisor", "does not belong in the root"}, {"internal", "does not belong in the root"}}
	if got := strangers(entries); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestReadGoFails(t *testing.T) {
	if _, err := readGo(fstest.MapFS{"engine/x.go": {Data: []byte("package")}}); err == nil {
		t.Error("a broken file was read")
	}
}

// complaint is one breach of a law of the house.
type complaint struct{ at, what string }

func (c complaint) String() string { return c.at + ": " + c.what }

// goFile is one parsed file of the module, whatever its build tags.
type goFile struct {
	path string // from the root, with slashes
	fset *token.FileSet
	ast  *ast.File
}

// readGo parses every Go file below root that the go command would look at.
func readGo(root fs.FS) ([]*goFile, error) {
	var files []*goFile
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_") || d.Name() == "testdata"):
			return fs.SkipDir
		case d.IsDir() || path.Ext(name) != ".go":
			return nil
		}
		code, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		f := &goFile{path: name, fset: token.NewFileSet()}
		f.ast, err = parser.ParseFile(f.fset, name, code, parser.ParseComments|parser.SkipObjectResolution)
		files = append(files, f)
		return err
	})
	return files, err
}

func (f *goFile) dir() string { return path.Dir(f.path) }

// place is the first part of the path.
func (f *goFile) place() string { return firstPart(f.dir()) }

func (f *goFile) isTest() bool { return strings.HasSuffix(f.path, "_test.go") }

// fromOutside tells whether f tests its package from outside.
func (f *goFile) fromOutside() bool { return f.isTest() && strings.HasSuffix(f.ast.Name.Name, "_test") }

func (f *goFile) complain(n ast.Node, format string, args ...any) complaint {
	return complaint{fmt.Sprintf("%s:%d", f.path, f.fset.Position(n.Pos()).Line), fmt.Sprintf(format, args...)}
}

// eachImport collects what check complains of.
func (f *goFile) eachImport(check func(spec *ast.ImportSpec, imported string) (complaint, bool)) []complaint {
	var found []complaint
	for _, spec := range f.ast.Imports {
		if c, bad := check(spec, unquoted(spec.Path)); bad {
			found = append(found, c)
		}
	}
	return found
}

func arrows(f *goFile) []complaint {
	from := slices.Index(places, f.place())
	if from < 0 {
		return []complaint{f.complain(f.ast, "%s is in none of %s", f.dir(), strings.Join(places, ", "))}
	}
	most := from
	if f.fromOutside() {
		most = max(from, slices.Index(places, "recipes"))
	}
	return f.eachImport(func(spec *ast.ImportSpec, imported string) (complaint, bool) {
		inside, ours := strings.CutPrefix(imported, "fitadvisor/")
		if !ours {
			return complaint{}, false
		}
		to := slices.Index(places, firstPart(inside))
		if to < 0 {
			return f.complain(spec, "%s is in none of %s", imported, strings.Join(places, ", ")), true
		}
		return f.complain(spec, "%s may not import %s: the arrow runs left", f.dir(), imported), to > most
	})
}

func standardOnly(f *goFile) []complaint {
	if f.isTest() || !slices.Contains(standard, f.dir()) {
		return nil
	}
	return f.eachImport(func(spec *ast.ImportSpec, imported string) (complaint, bool) {
		first := firstPart(imported)
		return f.complain(spec, "%s imports the standard library alone, not %s", f.dir(), imported), strings.Contains(first, ".") || first == "fitadvisor"
	})
}

func soleImporters(f *goFile) []complaint {
	return f.eachImport(func(spec *ast.ImportSpec, imported string) (complaint, bool) {
		for _, o := range owners {
			owned := within(imported, o.library) || strings.HasPrefix(imported, o.library+".") // as in yaml.v3
			atHome := f.dir() == o.owner || strings.HasSuffix(o.owner, "/") && strings.HasPrefix(f.dir(), o.owner)
			if owned && !atHome {
				return f.complain(spec, "%s is for %s alone", imported, o.owner), true
			}
		}
		return complaint{}, false
	})
}

func fitForBrowser(f *goFile) []complaint {
	if f.isTest() || !slices.Contains(inBrowser, f.dir()) {
		return nil
	}
	return f.eachImport(func(spec *ast.ImportSpec, imported string) (complaint, bool) {
		return f.complain(spec, "%s is in the engine for browsers, and may not reach %s", f.dir(), imported), slices.ContainsFunc(notInThere, func(o string) bool { return within(imported, o) })
	})
}

func keepsToItself(f *goFile) []complaint {
	if f.isTest() || f.place() != "engine" {
		return nil
	}
	names := map[string]string{} // the imported package by its name in this file
	found := f.eachImport(func(spec *ast.ImportSpec, imported string) (complaint, bool) {
		names[path.Base(imported)] = imported
		if spec.Name != nil {
			names[spec.Name.Name] = imported
		}
		return f.complain(spec, "the engine may not reach %s", imported), slices.ContainsFunc(outside, func(o string) bool { return within(imported, o) })
	})
	ast.Inspect(f.ast, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := sel.X.(*ast.Ident); ok && slices.Contains(outsideCalls[names[x.Name]], sel.Sel.Name) {
				found = append(found, f.complain(n, "the engine may not reach %s.%s", names[x.Name], sel.Sel.Name))
			}
		}
		return true
	})
	return found
}

// knowsNoGarment looks at names where they are declared, not where another
// package's are used, and at texts.
func knowsNoGarment(f *goFile) []complaint {
	if f.isTest() || f.place() != "explain" {
		return nil
	}
	var found []complaint
	look := func(n ast.Node, text string) {
		for _, word := range words(text) {
			if slices.Contains(garmentWords, word) {
				found = append(found, f.complain(n, "explain knows no garment: `%s` in %s", word, text))
			}
		}
	}
	var visit func(ast.Node) bool
	visit = func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr: // what follows the dot is declared elsewhere
			ast.Inspect(n.X, visit)
			return false
		case *ast.KeyValueExpr: // so is the name of a field that is set
			if _, name := n.Key.(*ast.Ident); name {
				ast.Inspect(n.Value, visit)
				return false
			}
		case *ast.Ident:
			look(n, n.Name)
		case *ast.BasicLit:
			look(n, n.Value)
		}
		return true
	}
	ast.Inspect(f.ast, visit)
	return found
}

// undocumented names the packages without a package comment, in order.
func undocumented(files []*goFile) []complaint {
	documented := map[string]bool{}
	for _, f := range files {
		if !f.isTest() {
			documented[f.dir()] = documented[f.dir()] || f.ast.Doc != nil
		}
	}
	var found []complaint
	for dir, ok := range documented {
		if !ok {
			found = append(found, complaint{dir, "no file has a package comment"})
		}
	}
	slices.SortFunc(found, func(a, b complaint) int { return cmp.Compare(a.at, b.at) })
	return found
}

// strangers names what does not belong in the root.
func strangers(entries []fs.DirEntry) []complaint {
	var found []complaint
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(topLevel, e.Name()) {
			found = append(found, complaint{e.Name(), "does not belong in the root"})
		}
	}
	return found
}

var (
	hump = regexp.MustCompile(`[A-Z][a-z]+`)
	mark = regexp.MustCompile(`[A-Za-z]+(?:-[A-Za-z]+)*`) // font-size is one word, and none of ours
)

// words are the words of a name or a text, in small letters and the singular.
func words(s string) []string {
	found := mark.FindAllString(hump.ReplaceAllString(s, " $0 "), -1)
	for i, w := range found {
		found[i] = strings.TrimSuffix(strings.ToLower(w), "s")
	}
	return found
}

func firstPart(p string) string {
	first, _, _ := strings.Cut(p, "/")
	return first
}

// within reports whether an import path is a library's own or below it.
func within(imported, library string) bool {
	return imported == library || strings.HasPrefix(imported, library+"/")
}

func unquoted(lit *ast.BasicLit) string {
	s, err := strconv.Unquote(lit.Value)
	if err != nil {
		return lit.Value
	}
	return s
}
