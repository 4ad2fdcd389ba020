package main

import (
	"fmt"
	"regexp"
	"slices"

	"github.com/spf13/cobra"

	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

func newRecipeCheck(s streams) *cobra.Command {
	return newCheck(s, "recipe", "Find what is wrong with recipes and test files, and what is doubtful",
		"A zone counts as shown where an example in any of the files named judges it.", (*checked).recipes)
}

func newRuleCheck(s streams) *cobra.Command {
	return newCheck(s, "rule", "Find what is wrong with rule files, and what is doubtful",
		"Each rule is tried on made-up bodies, patterns and cloths of the shipped garment types.", (*checked).rules)
}

func newCheck(s streams, what, short, long string, check func(*checked, []string)) *cobra.Command {
	f := display{}
	strict := false
	c := &cobra.Command{
		Use: "check FILE...", Short: short,
		Long: short + ".\nErrors make a file unusable (exit 1); warnings are of what is allowed and probably not meant.\n" + long,
		Args: someFiles("advisor " + what + " check my-" + what + ".yaml"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			k := &checked{files: d}
			check(k, args)
			return k.show(s, f, strict)
		},
	}
	f.unitless(c)
	c.Flags().BoolVar(&strict, "strict", false, "exit 1 for warnings too")
	return c
}

// checked is files that were looked at.
type checked struct {
	*files
	read       []string // that could be read
	unreadable bool     // whether one could not
}

// open opens a file, nil where it cannot be read.
func (k *checked) open(path, kind string) *file.Doc {
	doc := k.files.Open(path, kind)
	if doc == nil {
		k.unreadable = true
		k.Problems[len(k.Problems)-1].Range.File = path
		return nil
	}
	k.read = append(k.read, doc.Name())
	return doc
}

func (k *checked) rules(paths []string) {
	for _, path := range withoutRepeats(paths) {
		doc := k.open(path, "rule")
		if doc == nil {
			continue
		}
		all := rules.ReadOwn(doc, k.Voc)
		if !doc.Problems().HasErrors() {
			recipes.DoubtRules(doc, all, k.Voc)
		}
		k.Take(doc)
	}
}

// recipes checks recipe files and test files; the doubts of a recipe wait until
// the examples of all files are run.
func (k *checked) recipes(paths []string) {
	shared := k.Rules()
	var docs []*file.Doc
	sound, t := map[string]*file.Doc{}, trial{}
	for _, path := range withoutRepeats(paths) {
		doc := k.open(path, trialKinds)
		if doc == nil {
			continue
		}
		s, named := k.suite(k.openedAt(doc, path), shared)
		docs = append(append(docs, doc), named...)
		if s == nil || slices.ContainsFunc(slices.Concat(named, []*file.Doc{doc}), func(d *file.Doc) bool { return d.Problems().HasErrors() }) {
			continue
		}
		sound[doc.Name()] = doc
		t.run(s, shared, k.Voc, regexp.MustCompile(""))
	}
	for _, f := range t {
		if doc := sound[f.RecipeIn]; doc != nil && f.File == f.RecipeIn {
			recipes.Doubt(doc, f.Recipe, t.about(f.File), k.Voc)
		}
	}
	k.Take(docs...)
}

// show prints what was found, file by file.
func (k *checked) show(s streams, f display, strict bool) error {
	found := once(k.Problems)
	var err error
	if f.format == "json" {
		err = s.json(problemsJSON(found))
	} else {
		err = k.write(s, found)
	}
	switch {
	case err != nil:
		return err
	case k.unreadable:
		return errReported
	case found.HasErrors(), strict && slices.ContainsFunc(found, func(p diag.Diagnostic) bool { return p.Severity == diag.Warning }):
		return errNo
	}
	return nil
}

// write prints the problems of each file, or that it has none.
func (k *checked) write(s streams, found diag.List) error {
	byFile := map[string]diag.List{}
	files := slices.Clone(k.read)
	for _, p := range found {
		byFile[p.Range.File] = append(byFile[p.Range.File], p)
		files = append(files, p.Range.File)
	}
	slices.Sort(files)
	for _, name := range slices.Compact(files) {
		if byFile[name] == nil {
			fmt.Fprintf(s.out, "%s: no problems\n", name)
			continue
		}
		if err := diag.Write(s.out, byFile[name], k.Sources); err != nil {
			return err
		}
	}
	return more(s.out, found)
}

// problemJSON is one problem of `check --format json`. Lines and columns count
// from 1; the end is exclusive.
type problemJSON struct {
	File      string    `json:"file"`
	Line      int       `json:"line"`
	Column    int       `json:"column"`
	EndLine   int       `json:"end_line"`
	EndColumn int       `json:"end_column"`
	Severity  string    `json:"severity"`
	Code      diag.Code `json:"code"`
	Summary   string    `json:"summary"`
	Hint      string    `json:"hint"`
}

func problemsJSON(l diag.List) []problemJSON {
	out := []problemJSON{}
	for _, p := range l {
		r := p.Range
		out = append(out, problemJSON{r.File, r.Start.Line, r.Start.Column, r.End.Line, r.End.Column, p.Severity.String(), p.Code, p.Summary, p.Hint})
	}
	return out
}
