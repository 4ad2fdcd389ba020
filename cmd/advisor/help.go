package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// groups are those of the main help, each with its commands.
var groups = []struct {
	title    string
	commands []string
}{
	{"Ask:", []string{"size", "why", "cloth", "demo", "page"}},
	{"Cut:", []string{"plan"}},
	{"Remember:", []string{"measure", "note"}},
	{"Make patterns:", []string{"pattern", "chart", "publish", "flat", "batch"}},
	{"Write garment types and rules:", []string{"recipe", "rule", "schema"}},
	{"Settings and errors:", []string{"config", "explain"}},
}

// examples are command lines to begin with, by command.
var examples = map[string]string{
	"demo": "advisor demo\nadvisor demo --format json",
	"size": "advisor size quayside-skirt.yaml --body wren.yaml\n" +
		"advisor size quayside-skirt.yaml --hip \"44 1/4in\" --waist 29.5in\n" +
		"advisor size --type gathered-skirt --sizes 8,10,12 --chart hip=36,37,38.5 --drawn hip+5in --hip 38in\n" +
		"advisor size lantern-top.yaml --body wren --cloth cotton-jersey.yaml --ease closer",
	"why":  "advisor why quayside-skirt.yaml --body wren.yaml --zone hip\nadvisor why quayside-skirt.yaml --body wren.yaml --size 16",
	"plan": "advisor plan quayside-skirt.yaml --body wren.yaml -o plan.pdf",
	"cloth": "advisor cloth lantern-top.yaml --cloth cotton-jersey.yaml\n" +
		"advisor cloth --type close-knit-top --ease bust=-8% --stretch 40%",
	"flat":         "advisor flat pieces.yaml",
	"measure":      "advisor measure wren --for gathered-skirt\nadvisor measure wren --set waist=74cm --set \"hip=112 cm\"",
	"note":         "advisor note list\nadvisor note show wren",
	"note body":    "advisor note body wren",
	"note cut":     "advisor note cut quayside-skirt --body wren --cloth washed-linen",
	"note worn":    "advisor note worn quayside-skirt-2026-11-02 --feels hip=right --worn yes",
	"note garment": "advisor note garment sunday-skirt --recipe gathered-skirt --cloth washed-linen --body wren --set hip=118cm",
	"note learned": "advisor note learned",
	"note list":    "advisor note list --kind pattern",
	"note show":    "advisor note show wren",
	"note export":  "advisor note export notebook.zip",
	"note import":  "advisor note import notebook.zip",
	"page":         "advisor page",
	"batch":        "advisor batch quayside-skirt.yaml --bodies customers.csv -o sizes.csv",
	"chart":        "advisor chart quayside-skirt.yaml\nadvisor chart quayside-skirt.yaml --bodies women\nadvisor chart quayside-skirt.yaml --to md -o chart.md",
	"publish":      "advisor publish quayside-skirt.yaml -o site\nadvisor publish lantern-top.yaml --one-file -o lantern-top.html --texts texts.yaml\nadvisor publish --all -o site",
	"recipe":       "advisor recipe list\nadvisor recipe show gathered-skirt",
	"recipe list":  "advisor recipe list",
	"recipe show":  "advisor recipe show gathered-skirt",
	"recipe new":   "advisor recipe new my-culottes --based-on wide-trousers",
	"recipe check": "advisor recipe check my-culottes.yaml",
	"recipe test":  "advisor recipe test my-culottes.yaml",
	"pattern":      "advisor pattern new quayside",
	"pattern new":  "advisor pattern new quayside",
	"rule":         "advisor rule list\nadvisor rule show off-chart",
	"rule list":    "advisor rule list",
	"rule show":    "advisor rule show off-chart",
	"rule check":   "advisor rule check mine.yaml",
	"explain":      "advisor explain FA0302\nadvisor explain",
	"config":       "advisor config",
	"schema":       "advisor schema\nadvisor schema body > body.schema.json",
}

// helped gives the commands their groups and examples, and the shell what it may complete. Flags for measurements, of which there
// is one for each, are completed, and are listed by a topic of the help.
func helped(root *cobra.Command, s streams) {
	for _, g := range groups {
		id := strings.TrimSuffix(g.title, ":")
		root.AddGroup(&cobra.Group{ID: id, Title: g.title})
		for _, c := range root.Commands() {
			if slices.Contains(g.commands, c.Name()) {
				c.GroupID = id
			}
		}
	}
	root.SetHelpCommandGroupID("Settings and errors")
	cobra.AddTemplateFunc("shownFlags", shownFlags)
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".LocalFlags.FlagUsages", "(shownFlags .LocalFlags).FlagUsages"))
	each(root, func(c *cobra.Command, path string) {
		if e := examples[path]; e != "" {
			c.Example = "  " + strings.ReplaceAll(e, "\n", "\n  ")
		}
		if complete := completedArgs[path]; complete != nil {
			c.ValidArgsFunction = complete.in(s)
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if complete := completedFlags[f.Name]; complete != nil {
				_ = c.RegisterFlagCompletionFunc(f.Name, complete.in(s)) // no error: each once
			}
		})
	})
}

// each goes through all commands, with the words by which each is called.
func each(c *cobra.Command, do func(c *cobra.Command, path string)) {
	for _, below := range c.Commands() {
		do(below, strings.TrimPrefix(below.CommandPath(), "advisor "))
		each(below, do)
	}
}

// shownFlags are the flags that the help of a command lists.
func shownFlags(all *pflag.FlagSet) *pflag.FlagSet {
	shown := pflag.NewFlagSet("", pflag.ContinueOnError)
	all.VisitAll(func(f *pflag.Flag) {
		if _, elsewhere := f.Annotations[measurementFlag]; !elsewhere {
			shown.AddFlag(f)
		}
	})
	return shown
}

// completing lists the words that may be meant; files: a file may be named as well.
type completing struct {
	words func(d *files) []string
	files bool
}

// in completes on what lies where the command line says; what is wrong there is passed over while typing.
func (k *completing) in(s streams) cobra.CompletionFunc {
	return func(c *cobra.Command, _ []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		directive := cobra.ShellCompDirectiveNoFileComp
		if k.files {
			directive = cobra.ShellCompDirectiveDefault
		}
		f := display{format: "text", color: "auto", command: c}
		if flag := c.Flags().Lookup("notebook"); flag != nil {
			f.notebook = flag.Value.String()
		}
		d, err := f.begin(streams{in: s.in, out: io.Discard, err: io.Discard, from: s.from})
		if err != nil {
			return nil, directive
		}
		return k.words(d), directive
	}
}

// kept completes names of the notebook.
func kept(kinds ...string) *completing {
	return &completing{func(d *files) (names []string) {
		for _, kind := range kinds {
			k, _ := notebook.KindOf(kind)
			all, _ := d.Book.Files(k) // without a notebook there are none
			for _, f := range all {
				names = append(names, f.Name)
			}
		}
		return names
	}, true}
}

// oneWord completes words that are always the same.
func oneWord(words ...string) *completing {
	return &completing{func(*files) []string { return words }, false}
}

// settingOf are the words that a setting may have.
func settingOf(name string) *completing {
	i := slices.IndexFunc(settingsByName, func(k setting) bool { return k.name == name })
	return oneWord(settingsByName[i].words...)
}

var (
	typeNames = &completing{func(d *files) (names []string) {
		all, _ := d.Types()
		for _, r := range all {
			names = append(names, r.Name)
		}
		return names
	}, false}
	ruleNames = &completing{func(d *files) (ids []string) {
		all, _ := d.rules() // the command says what is wrong
		for _, r := range all {
			ids = append(ids, r.ID)
		}
		return ids
	}, false}
	measuredWords = &completing{func(d *files) (names []string) {
		for _, name := range d.Voc.BodyNames() {
			names = append(names, name+"=")
		}
		return names
	}, false}
	decides = &completing{func(d *files) []string { return d.Voc.BodyNames() }, false}
	kinds   = &completing{func(*files) (names []string) {
		for _, k := range recipes.FileKinds() {
			names = append(names, k.Name)
		}
		return names
	}, false}
	codes = &completing{func(*files) (all []string) {
		for _, code := range diag.Codes() {
			all = append(all, string(code))
		}
		return all
	}, false}
)

// completedArgs are what is named behind a command, by the command.
var completedArgs = map[string]*completing{
	"size": kept("pattern"), "why": kept("pattern"), "plan": kept("pattern"), "cloth": kept("pattern"), "chart": kept("pattern"),
	"batch": kept("pattern"), "note cut": kept("pattern"), "measure": kept("body"), "note body": kept("body"),
	"note worn": kept("sewn"), "note garment": kept("garment"), "note show": kept("body", "pattern", "cloth", "garment", "sewn", "recipe"),
	"recipe show": typeNames, "rule show": ruleNames, "explain": codes, "schema": kinds,
}

// completedFlags are what flags say, by their names.
var completedFlags = map[string]*completing{
	"body": kept("body"), "cloth": kept("cloth"), "like": kept("garment"), "from": kept("pattern"), "compare": kept("pattern"),
	"type": typeNames, "recipe": typeNames, "for": typeNames, "based-on": typeNames,
	"set": measuredWords, "ease": measuredWords, "with": measuredWords, "chart": measuredWords, "drawn": measuredWords, "feels": measuredWords, "measured": measuredWords,
	"decides": decides, "zone": decides,
	"units": settingOf("units"), "format": settingOf("format"), "color": settingOf("color"),
	"kind": oneWord("body", "pattern", "cloth", "garment", "sewn", "recipe"), "worn": oneWord("yes", "no"),
	"draft": oneWord("women", "men", "children", "all"),
}
