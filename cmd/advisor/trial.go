package main

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

func newRecipeTest(s streams) *cobra.Command {
	f := display{}
	var only, junit string
	var why bool
	c := &cobra.Command{
		Use:   "test FILE|FOLDER...",
		Short: "Run the examples of recipes and test files",
		Long: "Runs the `examples:` of recipe files and of test files (kind: test), which name the recipe that\n" +
			"they are about. A folder is read as one that is set by `recipes:`, with what is wrong with its files;\n" +
			"files that end in .test.yaml are taken from below it too.",
		Args: someFiles("advisor recipe test my-culottes.yaml"),
		RunE: func(_ *cobra.Command, args []string) error {
			wanted, err := regexp.Compile(only)
			if err != nil {
				return fmt.Errorf("--run is a regular expression, and this is none: %w", err)
			}
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			t, err := d.try(args, wanted)
			if err != nil {
				return err
			}
			passed, failed := t.count()
			if passed+failed == 0 {
				return s.nothingTried(args, only)
			}
			if err := t.show(s, f, only == "", why); err != nil {
				return err
			}
			if junit != "" {
				if err := t.writeJUnit(d, junit); err != nil {
					return err
				}
			}
			if failed > 0 {
				return errNo
			}
			return nil
		},
	}
	f.unitless(c)
	c.Flags().StringVar(&only, "run", "", "only the examples whose RECIPE/NAME matches this regular expression")
	c.Flags().BoolVar(&why, "why", false, "explain the answers of examples that failed")
	c.Flags().StringVar(&junit, "junit", "", "also write the results to this file, as JUnit XML")
	return c
}

func someFiles(example string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return fmt.Errorf("name a file or several, as in `%s`", example)
		}
		return nil
	}
}

// nothingTried says that there was nothing to do, which is no success.
func (s streams) nothingTried(paths []string, only string) error {
	what := "there are no examples in " + strings.Join(paths, ", ")
	if only != "" {
		what = fmt.Sprintf("no example matches --run %s in %s", question.Quoted(only), strings.Join(paths, ", "))
	}
	s.say("advisor: %s\n", what)
	return errNo
}

// trial is the examples that were run, file by file.
type trial []tried

// tried is one file's examples.
type tried struct {
	*recipes.Suite
	outcomes []recipes.Outcome
}

func (t trial) count() (passed, failed int) {
	for _, f := range t {
		for i := range f.outcomes {
			if f.outcomes[i].Passed() {
				passed++
			} else {
				failed++
			}
		}
	}
	return passed, failed
}

// try reads files and folders, and runs the examples that are wanted.
func (d *files) try(paths []string, wanted *regexp.Regexp) (trial, error) {
	shared := d.Rules()
	var suites []*recipes.Suite
	for _, o := range d.suitesIn(paths) {
		s, named := d.suite(o, shared)
		if s != nil {
			suites = append(suites, s)
		}
		d.Take(append(named, o.doc)...)
	}
	d.Problems = once(d.Problems)
	if err := d.done(); err != nil {
		return nil, err
	}
	var t trial
	for _, s := range suites {
		t.run(s, shared, d.Voc, wanted)
	}
	return t, nil
}

// run runs those of a file's examples that are wanted.
func (t *trial) run(s *recipes.Suite, shared []*engine.Rule, voc *engine.Vocabulary, wanted *regexp.Regexp) {
	f := tried{Suite: s}
	for i := range s.Examples {
		if e := &s.Examples[i]; wanted.MatchString(s.Recipe.Name + "/" + e.Name) {
			f.outcomes = append(f.outcomes, recipes.Run(e, s.Recipe, shared, voc))
		}
	}
	*t = append(*t, f)
}

// trialKinds are the kinds of files that hold examples.
const trialKinds = "recipe or test"

// once puts problems in order, each told once however many files lead to it.
func once(l diag.List) diag.List {
	l.Sort()
	return slices.Compact(l)
}

// opened is a file that holds examples, with the folder that it stands in and where garment types are found.
type opened struct {
	doc     *file.Doc
	beside  fs.FS
	library recipes.Library
}

// suitesIn opens the files to test, each once. A folder is read as one that is set for garment types.
func (d *files) suitesIn(paths []string) []opened {
	var all []opened
	for _, name := range withoutRepeats(paths) {
		info, err := os.Stat(name)
		if err == nil && info.IsDir() {
			all = append(all, d.suitesOf(name)...)
			continue
		}
		if doc := d.Open(name, trialKinds); doc != nil {
			all = append(all, d.openedAt(doc, name))
		}
	}
	var once []opened
	for _, o := range all {
		if !slices.ContainsFunc(once, func(had opened) bool { return path.Clean(had.doc.Name()) == path.Clean(o.doc.Name()) }) {
			once = append(once, o)
		}
	}
	return once
}

// openedAt is a file that was named by its path.
func (d *files) openedAt(doc *file.Doc, path string) opened {
	o := opened{doc: doc, library: d.Library}
	if f := d.FolderOf(path); f != nil {
		o.beside = f.Files
	}
	return o
}

// suitesOf opens the files of a folder, which goes before those that are set unless it is one of them. They are called as the
// folder was named.
func (d *files) suitesOf(name string) []opened {
	f := d.FolderOf(filepath.Join(name, "any"))
	if f == nil {
		d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: "cannot open the folder " + shown(name)})
		return nil
	}
	named := file.Folder{Name: filepath.ToSlash(name), Files: f.Files}
	others := slices.DeleteFunc(slices.Clone(d.Library.Folders), func(set file.Folder) bool { return set.Name == f.Name })
	library := recipes.Library{Folders: append([]file.Folder{named}, others...)}
	docs, err := library.Suites(named)
	if err != nil {
		d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: fmt.Sprintf("cannot look through the folder %s: %v", name, err)})
	}
	var all []opened
	for _, doc := range docs {
		below, err := fs.Sub(named.Files, path.Dir(strings.TrimPrefix(doc.Name(), named.Name+"/")))
		if err == nil {
			all = append(all, opened{doc, below, library})
		}
		d.Inputs.Read(filepath.FromSlash(doc.Name()))
	}
	return all
}

// withoutRepeats leaves out what is named before.
func withoutRepeats(paths []string) []string {
	var all []string
	for _, path := range paths {
		if path = filepath.Clean(path); !slices.Contains(all, path) {
			all = append(all, path)
		}
	}
	return all
}

// suite takes a recipe file or a test file apart, with its examples and the
// files that it names.
func (d *files) suite(o opened, shared []*engine.Rule) (*recipes.Suite, []*file.Doc) {
	s, named := o.library.ReadSuite(o.doc, d.Voc, shared, o.beside)
	if s != nil {
		d.Tell(rules.Clashes(s.Recipe.Rules, shared)...)
	}
	return s, named
}

// show prints what came of it; whole tells whether no example was left out, so
// that rules which none fired can be named.
func (t trial) show(s streams, f display, whole, why bool) error {
	var silent []silence
	if whole {
		silent = t.silent()
	}
	if f.format == "json" {
		return s.json(t.json(silent, why))
	}
	doc := &explain.Document{}
	for _, f := range t {
		for i := range f.outcomes {
			if o := &f.outcomes[i]; !o.Passed() {
				doc.Add(explain.Heading("Failed: "+f.Recipe.Name+"/"+o.Example.Name), explain.Sentence(o.Example.At.String()))
				doc.Add(different(o)...)
				if why && o.Answer != nil {
					doc.Add(report.Why(o.Answer.Why).Blocks...)
				}
			}
		}
	}
	if len(silent) > 0 {
		var steps explain.Steps
		for _, q := range silent {
			steps.Items = append(steps.Items, explain.Step{Mark: "-", Text: q.Recipe + ": " + strings.Join(q.Rules, ", ")})
		}
		doc.Add(explain.Heading("Fired by no example"), steps)
	}
	passed, failed := t.count()
	doc.Add(explain.Sentence(fmt.Sprintf("%d passed, %d failed", passed, failed)))
	return s.show(doc, f.color)
}

// different sets side by side what was expected and what came out.
func different(o *recipes.Outcome) []explain.Block {
	if o.Err != nil {
		said, hint := noAnswer(o.Err)
		blocks := []explain.Block{explain.Sentence("There is no answer: " + said + ".")}
		if hint != "" {
			blocks = append(blocks, explain.Sentence("What to do: "+hint))
		}
		return blocks
	}
	t := explain.Table{Header: []string{"", "expected", "got"}}
	for _, r := range o.Results {
		if !r.Met {
			t.Rows = append(t.Rows, []string{r.What, r.Want, r.Got})
		}
	}
	return []explain.Block{t}
}

// noAnswer says why there is none, and what to do about it.
func noAnswer(err error) (said, hint string) {
	if h, ok := err.(hinted); ok {
		hint = h.Hint()
	}
	return err.Error(), hint
}

// silence is a recipe's own rules that no example fired.
type silence struct {
	Recipe string   `json:"recipe"`
	File   string   `json:"file"`
	Rules  []string `json:"rules"`
}

// silent are those of every recipe whose file was named: its examples may stand
// in several files.
func (t trial) silent() []silence {
	all := []silence{}
	for _, s := range t {
		if s.RecipeIn == "" || slices.ContainsFunc(all, func(q silence) bool { return q.File == s.RecipeIn }) {
			continue
		}
		all = append(all, silence{s.Recipe.Name, s.RecipeIn, recipes.Unfired(s.Recipe, t.about(s.RecipeIn))})
	}
	return slices.DeleteFunc(all, func(q silence) bool { return len(q.Rules) == 0 })
}

// about are the outcomes of all examples about the recipe in a file.
func (t trial) about(recipe string) []recipes.Outcome {
	var all []recipes.Outcome
	for _, f := range t {
		if f.RecipeIn == recipe {
			all = append(all, f.outcomes...)
		}
	}
	return all
}

// trialJSON is what `recipe test --format json` prints.
type trialJSON struct {
	Passed   int           `json:"passed"`
	Failed   int           `json:"failed"`
	Examples []exampleJSON `json:"examples"`
	NotFired []silence     `json:"not_fired"` // null where --run left examples out
}

type exampleJSON struct {
	Recipe string        `json:"recipe"`
	Name   string        `json:"name"`
	At     string        `json:"at"`
	Passed bool          `json:"passed"`
	Claims []claimJSON   `json:"claims"`
	Error  string        `json:"error,omitempty"` // why there is no answer
	Why    *explain.Node `json:"why,omitempty"`   // with --why, of one that failed
}

type claimJSON struct {
	What     string `json:"what"`
	Expected string `json:"expected"`
	Got      string `json:"got"`
	Met      bool   `json:"met"`
}

func (t trial) json(silent []silence, why bool) trialJSON {
	passed, failed := t.count()
	out := trialJSON{Passed: passed, Failed: failed, Examples: []exampleJSON{}, NotFired: silent}
	for _, f := range t {
		for _, o := range f.outcomes {
			e := exampleJSON{Recipe: f.Recipe.Name, Name: o.Example.Name, At: o.Example.At.String(), Passed: o.Passed(), Claims: []claimJSON{}}
			for _, r := range o.Results {
				e.Claims = append(e.Claims, claimJSON{r.What, r.Want, r.Got, r.Met})
			}
			if o.Err != nil {
				e.Error = o.Err.Error()
			}
			if why && !e.Passed && o.Answer != nil {
				e.Why = o.Answer.Why
			}
			out.Examples = append(out.Examples, e)
		}
	}
	return out
}
