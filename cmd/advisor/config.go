package main

import (
	"errors"
	"fitadvisor/cmd/advisor/question"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/knadh/koanf/v2"
	"github.com/spf13/cobra"

	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// What can be wrong with settings, besides what can be with any file.
const (
	badVariable diag.Code = "FA0801" // of the environment
	noFolder    diag.Code = "FA0802"
)

// settings are what can be set once for all commands.
type settings struct {
	Units   string   `koanf:"units"`   // empty: the body file's
	Format  string   `koanf:"format"`  // of results
	Color   string   `koanf:"color"`   // of text
	Today   string   `koanf:"today"`   // YYYY-MM-DD; empty: the day it is
	Recipes []string `koanf:"recipes"` // folders with recipes of a person's own
	Rules   []string `koanf:"rules"`   // and with rules

	Notebook string `koanf:"notebook"` // the folder of the notebook; empty: where the system keeps such files
}

// setting says how one of them is written: as a word, a date or folders. A flag
// may have its name, and so, in capitals behind ADVISOR_, has a variable.
type setting struct {
	name    string
	words   []string
	folders bool
	folder  bool // a single one
	initial string
	unset   string // what it means to set nothing
	about   string // in a sentence, as an editor shows it
}

var settingsByName = []setting{
	{name: "units", words: []string{"cm", "in"}, unset: "the body file's", about: "The units that lengths are shown in."},
	{name: "format", words: []string{"text", "json"}, initial: "text", about: "How results are printed."},
	{name: "color", words: []string{"auto", "always", "never"}, initial: "auto", about: "Whether text is coloured; `auto` is where it goes to a terminal."},
	{name: "today", unset: "the day it is", about: "The day to judge by."},
	{name: "recipes", folders: true, unset: "only the shipped ones", about: "Folders with recipes of your own, counted from the folder of this file."},
	{name: "rules", folders: true, unset: "only the shipped ones", about: "Folders with rules of your own, counted from the folder of this file."},
	{name: "notebook", folder: true, unset: "the folder that the system has for your data", about: "The folder of your notebook, counted from the folder of this file."},
}

func (k *setting) variable() string { return variables + strings.ToUpper(k.name) }

// Where settings stand: in a person's own file, below the folder that the system
// has for such files, in a project's, in the working folder or above it up to the
// home, and in variables of the environment.
const (
	ownFile     = "fitadvisor/config.yaml"
	projectFile = ".fitadvisor.yaml"
	variables   = "ADVISOR_"
)

// configuration is what is set, and where.
type configuration struct {
	settings
	values  map[string]any    // the same, by setting: text or folders
	from    map[string]origin // by setting
	sources diag.Sources      // the files
}

// origin is where something is set: for people, and in a file, folder by folder.
type origin struct {
	place string
	at    []diag.Range
}

// tier is one place where settings are made, as a provider of the library that
// lays the places over one another.
type tier struct {
	values map[string]any
	from   map[string]origin
}

func newTier() tier { return tier{map[string]any{}, map[string]origin{}} }

func (t tier) set(name string, value any, place string, at ...diag.Range) {
	t.values[name], t.from[name] = value, origin{place, at}
}

// Read returns the values by setting.
func (t tier) Read() (map[string]any, error) { return t.values, nil }

// ReadBytes is for providers that leave the parsing to others.
func (t tier) ReadBytes() ([]byte, error) { return nil, errors.ErrUnsupported }

// settle lays places over one another, the later ones winning.
func settle(tiers ...tier) (configuration, error) {
	c := configuration{from: map[string]origin{}}
	k := koanf.New(".")
	for _, t := range tiers {
		if err := k.Load(t, nil); err != nil {
			return c, err
		}
		for name, o := range t.from {
			c.from[name] = o
		}
	}
	c.values = k.Raw()
	return c, k.Unmarshal("", &c.settings)
}

// configured finds what is set for a command: by the program, in a person's own
// file, in the project's, in the environment, and by flags. Where it is by flags
// alone, which are read already, there is nothing to settle, unless always is set.
func configured(c *cobra.Command, always bool) (configuration, error) {
	d := newFiles(streams{err: c.ErrOrStderr()}, nil)
	made := []tier{d.settingsIn(ownPath()), d.settingsIn(d.projectPath()), d.environment()}
	if err := d.done(); err != nil {
		return configuration{}, err
	}
	if !always && !slices.ContainsFunc(made, func(t tier) bool { return len(t.values) > 0 }) {
		return configuration{}, nil
	}
	set, err := settle(slices.Concat([]tier{byProgram()}, made, []tier{byFlags(c)})...)
	set.sources = d.Sources
	return set, err
}

func byProgram() tier {
	t := newTier()
	for _, k := range settingsByName {
		var value any = k.initial
		if k.folders {
			value = []string{}
		}
		t.set(k.name, value, "the program")
	}
	return t
}

func byFlags(c *cobra.Command) tier {
	t := newTier()
	for _, k := range settingsByName {
		if f := c.Flags().Lookup(k.name); f != nil && f.Changed {
			t.set(k.name, k.given(f.Value.String()), "--"+k.name)
		}
	}
	return t
}

// given is what is written in a flag or variable: folders count from the working folder.
func (k *setting) given(text string) string {
	if k.folder && text != "" {
		return pathFrom(".", text)
	}
	return text
}

// environment reads the variables that set something; an empty one does not.
func (d *files) environment() tier {
	t := newTier()
	ours := slices.DeleteFunc(os.Environ(), func(pair string) bool { return !strings.HasPrefix(pair, variables) })
	slices.Sort(ours)
	for _, pair := range ours {
		if name, value, _ := strings.Cut(pair, "="); value != "" {
			if wrong, hint := readVariable(t, name, value); wrong != "" {
				d.Tell(diag.Diagnostic{Severity: diag.Error, Code: badVariable, Summary: wrong, Hint: hint})
			}
		}
	}
	return t
}

// readVariable reads one, and says what is wrong with it.
func readVariable(t tier, name, value string) (wrong, hint string) {
	i := slices.IndexFunc(settingsByName, func(k setting) bool { return k.variable() == name })
	if i < 0 {
		return name + " is none of the advisor's variables", variableHint(name)
	}
	switch k := settingsByName[i]; {
	case k.folders:
		var paths []string
		for _, p := range filepath.SplitList(value) {
			paths = append(paths, pathFrom(".", p))
		}
		t.set(k.name, paths, name)
	case k.folder:
		t.set(k.name, k.given(value), name)
	case k.words != nil:
		if err := oneOf(name, value, k.words...); err != nil {
			return err.Error(), ""
		}
		t.set(k.name, value, name)
	default:
		if _, err := time.Parse(time.DateOnly, value); err != nil {
			return name + " is a date such as 2026-11-02, not \"" + value + "\"", ""
		}
		t.set(k.name, value, name)
	}
	return "", ""
}

// variableHint names the variable that was meant, or all there are.
func variableHint(name string) string {
	names := make([]string, len(settingsByName))
	for i, k := range settingsByName {
		names[i] = k.variable()
	}
	return diag.Among(name, names)
}

// ownPath is the path of the person's own file, empty where the system does not
// say where such files belong.
func ownPath() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, filepath.FromSlash(ownFile))
}

// projectPath is the path of the nearest project's file, empty where there is none.
// One that belongs to another user is passed over, and that is said.
func (d *files) projectPath() string {
	folder, err := os.Getwd()
	if err != nil {
		return ""
	}
	home, _ := os.UserHomeDir()
	for {
		path := filepath.Join(folder, projectFile)
		if _, err := os.Lstat(path); err == nil && !foreign(path) {
			return path
		} else if err == nil {
			d.Problems = append(d.Problems, diag.Diagnostic{Severity: diag.Warning, Code: file.Unreadable,
				Summary: "the settings in " + shown(path) + " belong to another user of this machine, and are passed over", Hint: "copy them into a file of your own, if you want them"})
		}
		above := filepath.Dir(folder)
		if folder == home || above == folder {
			return ""
		}
		folder = above
	}
}

// settingsIn reads a file of settings, if there is one. All of it may be
// commented out.
func (d *files) settingsIn(path string) tier {
	t := newTier()
	doc := d.openSettings(path)
	if doc == nil {
		return t
	}
	if p := doc.Problems(); len(p) == 1 && p[0].Code == file.Empty {
		return t
	}
	m := doc.Root().Map()
	for _, k := range settingsByName {
		k.read(m.Get(k.name), t, filepath.Dir(path))
	}
	m.Close("a file of settings")
	d.Take(doc)
	return t
}

// openSettings opens a file of settings, nil where there is none.
func (d *files) openSettings(path string) *file.Doc {
	info, err := os.Stat(path)
	switch {
	case path == "" || errors.Is(err, fs.ErrNotExist):
		return nil
	case err == nil && info.Mode().IsRegular():
		return d.Open(shown(path), "settings")
	case err == nil:
		err = errors.New("it is no ordinary file")
	}
	d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: (&question.UnreadableError{Path: shown(path), Err: err}).Error(), Hint: "it should be a settings file"})
	return nil
}

// read reads a setting in a file of a folder.
func (k *setting) read(v file.Value, t tier, folder string) {
	place := v.Range().String()
	if k.folders {
		var paths []string
		var at []diag.Range
		for _, item := range v.Each() {
			if name := item.Text(); name != "" {
				paths, at = append(paths, pathFrom(folder, name)), append(at, item.Range())
			}
		}
		if v.Exists() {
			t.set(k.name, paths, place, at...)
		}
		return
	}
	read := v.Date
	switch {
	case k.words != nil:
		read = func() (string, bool) { return v.OneOf(k.words...) }
	case k.folder:
		read = func() (string, bool) { return pathFrom(folder, v.Text()), v.Text() != "" }
	}
	if word, ok := read(); ok {
		t.set(k.name, word, place)
	}
}

// pathFrom is the whole path of a folder that is named in another, or in the home
// with ~/ before it.
func pathFrom(folder, name string) string {
	if below, ok := strings.CutPrefix(name, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			folder, name = home, below
		}
	}
	name = filepath.FromSlash(name)
	if !filepath.IsAbs(name) {
		name = filepath.Join(folder, name)
	}
	if whole, err := filepath.Abs(name); err == nil {
		return whole
	}
	return name
}
