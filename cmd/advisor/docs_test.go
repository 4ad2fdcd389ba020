package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// The guides, README.md and docs/*.md, are as true as the program. Their fenced
// blocks are of three kinds:
//
//   - yaml is a whole file, whose first line names it: `# me.yaml`. It loads
//     without a problem, by its `kind:`.
//   - sh holds commands. Lines that begin with `advisor` or `go run
//     ./cmd/advisor` are run in order, in a folder with the page's files, and
//     answer; those that end in `# the answer is no` say no.
//   - text is all that the last command before it prints; -update writes it.
//
// A quotation (`> `) right after sh is one line of what its last command prints.
// Formulas and fragments are indented instead.
func TestDocs(t *testing.T) {
	for _, path := range pages(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			source, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			p := tryPage(t, string(source), *update)
			for _, wrong := range p.wrong {
				t.Error(wrong)
			}
			if text := strings.Join(p.lines, "\n"); *update && text != string(source) {
				if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// pages are the guides' absolute paths.
func pages(t *testing.T) []string {
	t.Helper()
	found, err := filepath.Glob("../../docs/*.md")
	if err != nil || len(found) == 0 {
		t.Fatalf("no guides in docs: %v", err)
	}
	found = append(found, "../../README.md")
	for i := range found {
		if found[i], err = filepath.Abs(found[i]); err != nil {
			t.Fatal(err)
		}
	}
	return found
}

// guide is one of them while its blocks are tried.
type guide struct {
	voc     *engine.Vocabulary
	lines   []string
	update  bool
	ran     bool
	printed string   // by the last command
	wrong   []string // what does not hold
}

// tryPage tries a page's blocks in an empty folder; with update it takes what
// commands print into them.
func tryPage(t *testing.T, source string, update bool) *guide {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	t.Setenv("NO_COLOR", "1")
	t.Setenv("HOME", t.TempDir()) // where nothing is set
	t.Setenv("XDG_CONFIG_HOME", "")
	t.Setenv("ADVISOR_NOTEBOOK", "notebook")
	p := &guide{voc: voc, lines: strings.Split(source, "\n"), update: update}
	for f, ok := p.next(0); ok; f, ok = p.next(f.upto + 1) {
		switch f.language {
		case "yaml":
			p.load(f)
		case "sh":
			for _, line := range p.lines[f.from:f.upto] {
				p.run(f, line)
			}
			p.quotation(f)
		case "text":
			f = p.compare(f)
		default:
			p.complain(f, "a block is yaml, sh or text; indent what is none of them")
		}
	}
	return p
}

// fenced is one block: its language, and the lines between its fences, counted
// from 0, upto exclusive.
type fenced struct {
	language   string
	from, upto int
}

// next is the first block at or after a line.
func (p *guide) next(line int) (fenced, bool) {
	for from := line; from < len(p.lines); from++ {
		language, fence := strings.CutPrefix(p.lines[from], "```")
		if !fence {
			continue
		}
		length := slices.Index(p.lines[from+1:], "```")
		if length < 0 {
			length = len(p.lines) - from - 1
		}
		return fenced{language, from + 1, from + 1 + length}, true
	}
	return fenced{}, false
}

func (p *guide) complain(f fenced, format string, args ...any) {
	p.wrong = append(p.wrong, fmt.Sprintf("line %d: ", f.from)+fmt.Sprintf(format, args...))
}

func (p *guide) text(f fenced) string {
	var b strings.Builder
	for _, line := range p.lines[f.from:f.upto] {
		b.WriteString(line + "\n")
	}
	return b.String()
}

var fileName = regexp.MustCompile(`^# ([a-z0-9-]+\.yaml)\n`)

// load writes a file into the folder and reads it.
func (p *guide) load(f fenced) {
	text := p.text(f)
	named := fileName.FindStringSubmatch(text)
	if named == nil {
		p.complain(f, "the first line does not name the file, as in `# me.yaml`")
		return
	}
	if err := os.WriteFile(named[1], []byte(text), 0o600); err != nil {
		p.complain(f, "%v", err)
		return
	}
	var told strings.Builder
	d := newFiles(streams{out: &told, err: &told}, p.voc)
	docs, known := p.read(file.Open(named[1], []byte(text)))
	if !known {
		p.complain(f, "`kind:` is none of body, cloth, columns, garment, observations, pattern, pieces, recipe and rules")
	}
	d.Take(docs...)
	if d.done(); told.Len() > 0 {
		p.complain(f, "%s", told.String())
	}
}

// read takes a file apart by its kind; the docs hold the problems.
func (p *guide) read(doc *file.Doc) (docs []*file.Doc, known bool) {
	here := os.DirFS(".")
	docs = []*file.Doc{doc}
	switch doc.Root().Map().Get("kind").Text() {
	case "body":
		recipes.ReadBody(doc, p.voc)
	case "measurements":
		p.voc = p.voc.With(recipes.ReadMeasurements(doc, p.voc)...)
	case "cloth":
		recipes.ReadCloth(doc, p.voc)
	case "columns":
		recipes.ReadColumns(doc, p.voc)
	case "garment":
		_, cloths := recipes.ReadGarment(doc, p.voc, here)
		docs = append(docs, cloths...)
	case "observations":
		recipes.ReadObservations(doc, p.voc)
	case "sewn", "make":
		recipes.ReadMake(doc, p.voc)
	case "pattern":
		_, tables := recipes.ReadPattern(doc, p.voc, here)
		docs = append(docs, tables...)
	case "pieces":
		_, _, beside := recipes.ReadPieces(doc, p.voc, here)
		docs = append(docs, beside...)
	case "recipe":
		shared, _ := rules.Shared(p.voc)
		read := recipes.ReadRecipe(doc, p.voc, rules.AtOnce)
		_, beside := recipes.ReadExamples(doc, p.voc, read, shared, here)
		p.voc = p.voc.For(nil, read) // so that bodies on the page may have what it declares
		docs = append(docs, beside...)
	case "rules":
		rules.Read(doc, p.voc, rules.AtOnce)
	default:
		return docs, false
	}
	return docs, true
}

const saysNo = "# the answer is no"

var word = regexp.MustCompile(`"[^"]*"|[^ ]+`)

// run runs a line of sh, if it is a command of ours.
func (p *guide) run(f fenced, line string) {
	command, no := strings.CutSuffix(line, saysNo)
	rest, ours := strings.CutPrefix(command, "advisor ")
	if !ours {
		rest, ours = strings.CutPrefix(command, "go run ./cmd/advisor ")
	}
	if !ours {
		return
	}
	args := word.FindAllString(rest, -1)
	for i := range args {
		args[i] = strings.Trim(args[i], `"`)
	}
	if slices.Contains([]string{"size", "why", "cloth"}, args[0]) {
		args = append(args, "--today", demoToday) // so that measurements do not age
	}
	want := exitAnswered
	if no {
		want = exitNo
	}
	var out strings.Builder
	if got := Main(args, streams{in: strings.NewReader(""), out: &out, err: &out}); got != want {
		p.complain(f, "%s: exit code %d, want %d\n%s", line, got, want, out.String())
	}
	p.printed, p.ran = out.String(), true
}

// quotation looks a quoted line up in what was printed.
func (p *guide) quotation(f fenced) {
	after := strings.TrimLeft(strings.Join(p.lines[min(f.upto+1, len(p.lines)):], "\n"), "\n")
	quoted, ok := strings.CutPrefix(after, "> ")
	if quoted, _, _ = strings.Cut(quoted, "\n"); ok && !slices.Contains(strings.Split(p.printed, "\n"), quoted) {
		p.complain(f, "%q is not a line of what is printed:\n%s", quoted, p.printed)
	}
}

// compare holds a block against what was printed; with -update that takes its place.
func (p *guide) compare(f fenced) fenced {
	switch diff := cmp.Diff(p.text(f), p.printed); {
	case !p.ran:
		p.complain(f, "no command before it prints this")
	case diff == "":
	case p.update:
		printed := strings.Split(strings.TrimSuffix(p.printed, "\n"), "\n")
		p.lines = slices.Replace(p.lines, f.from, f.upto, printed...)
		f.upto = f.from + len(printed)
	default:
		p.complain(f, "not what is printed; run with -update and read the difference:\n%s", diff)
	}
	return f
}

// How to take a measurement is said in the vocabulary's words.
func TestDocsSayHowToMeasure(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	source, err := os.ReadFile("../../docs/first-garment.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := regexp.MustCompile("(?m)^\\| `([a-z_]+)` \\| (.*) \\|$").FindAllStringSubmatch(string(source), -1)
	if len(rows) == 0 {
		t.Fatal("the guide has no table of measurements")
	}
	for _, row := range rows {
		if m := voc.Measure(row[1]); m == nil {
			t.Errorf("there is no measurement %s", row[1])
		} else if row[2] != m.How {
			t.Errorf("%s: %q, want %q", row[1], row[2], m.How)
		}
	}
}

var link = regexp.MustCompile(`\]\(([^)#]+)\)`)

// Links to the project's own files lead somewhere.
func TestDocsLinks(t *testing.T) {
	for _, path := range pages(t) {
		source, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range link.FindAllStringSubmatch(string(source), -1) {
			if strings.Contains(l[1], "://") {
				continue
			}
			if _, err := os.Stat(filepath.Join(filepath.Dir(path), l[1])); err != nil {
				t.Errorf("%s: %v", filepath.Base(path), err)
			}
		}
	}
}

// What does not hold on a page is found out.
func TestDocsProblems(t *testing.T) {
	const body = "```yaml\n# me.yaml\nkind: body\nname: Wren\nmeasurements: {hip: 44 in}\n```\n"
	tests := []struct{ name, page, want string }{
		{"nothing", "Words alone.\n", ""},
		{"a file, and a line that is not ours", body + "```sh\ngo test ./...\n```\n", ""},
		{"a file without a name", "```yaml\nkind: body\n```\n", "line 1: the first line does not name the file, as in `# me.yaml`"},
		{"a file of no kind", "```yaml\n# me.yaml\nkind: hat\n```\n", "line 1: `kind:` is none of body, cloth, columns, garment, observations, pattern, pieces, recipe and rules"},
		{"a problem in a file", strings.Replace(body, "hip", "hpis", 1), "unknown measurement `hpis`"},
		{"another language", "```json\n{}\n```\n", "line 1: a block is yaml, sh or text; indent what is none of them"},
		{"an answer", "```sh\nadvisor --version\n```\n```text\nadvisor version " + version + "\n```\n", ""},
		{"another answer", "```sh\nadvisor --version\n```\n```text\nadvisor version 0\n```\n", "line 4: not what is printed"},
		{"no answer that was asked for", "```text\nadvisor version 0\n```\n", "line 1: no command before it prints this"},
		{"a quoted line", "```sh\nadvisor --version\n```\n\n> advisor version " + version + "\n", ""},
		{"a quoted line that is not printed", "```sh\nadvisor --version\n```\n\n> version\n\nMore.\n", `line 1: "version" is not a line of what is printed`},
		{"a file that is not there", "```sh\nadvisor size hat.yaml --body me.yaml\n```\n", "line 1: advisor size hat.yaml --body me.yaml: exit code 2, want 0"},
		{"no no", "```sh\ngo run ./cmd/advisor --version # the answer is no\n```\n", "exit code 0, want 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := strings.Join(tryPage(t, tt.page, false).wrong, "\n")
			if got == "" != (tt.want == "") || !strings.Contains(got, tt.want) {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

// Each name on the way of a measurement is that of a function in the file beside it.
func TestTheWayOfAMeasurement(t *testing.T) {
	page, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, way, _ := strings.Cut(string(page), "## The way of `hip: 44 1/4`")
	way, _, _ = strings.Cut(way, "\n## ")
	stops := regexp.MustCompile("`(\\w+)` \\(`([\\w/.]+)`\\)").FindAllStringSubmatch(way, -1)
	if len(stops) < 15 {
		t.Errorf("the way has only %d stops", len(stops))
	}
	for _, stop := range stops {
		code, err := os.ReadFile("../../" + stop[2])
		if err != nil || !regexp.MustCompile(`(?m)^func (\([^)]*\) )?`+stop[1]+`[\[(]`).Match(code) {
			t.Errorf("%s has no function %s: %v", stop[2], stop[1], err)
		}
	}
}
