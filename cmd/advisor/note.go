package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

func newNote(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "note",
		Short: "Your notebook: bodies, kept garments, what you sewed and what was learned",
		Long: "The notebook is a folder of plain files, one for each body, pattern, cloth, kept garment and\n" +
			"garment that you sewed, and you may change by hand. Commands take a name from it wherever they take a file.\n" +
			"`advisor measure` writes bodies; put patterns and cloths in their folders yourself.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newNoteBody(s), newNoteCut(s), newNoteWorn(s), newNoteGarment(s), newNoteLearned(s), newNoteList(s), newNoteShow(s), newNoteExport(s), newNoteImport(s))
	return c
}

func newNoteBody(s streams) *cobra.Command {
	t := &dated{}
	c := &cobra.Command{
		Use:   "body NAME",
		Short: "Show how a body changed over the years, and when to measure again",
		Args:  oneName("a body", "advisor note body wren"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := t.begin(s)
			if err != nil {
				return err
			}
			today, err := t.date()
			if err != nil {
				return err
			}
			b := d.Body(args[0])
			if err := d.done(); err != nil {
				return err
			}
			h := engine.HistoryOf(b, d.Voc, today)
			if t.format == "json" {
				return s.json(h)
			}
			return s.show(report.History(h, quantity.Unit(cmp.Or(t.units, string(b.Units)))), t.color)
		},
	}
	t.flags(c)
	return c
}

// entry is one file of the notebook.
type entry struct {
	Kind   string `json:"kind"`
	Name   string `json:"name"`             // by which commands find it
	About  string `json:"about"`            // the name in the file
	Maker  string `json:"maker,omitempty"`  // of the pattern
	Recipe string `json:"recipe,omitempty"` // the garment type
	Body   string `json:"body,omitempty"`   // for whom, or by whom it was worn
	Day    string `json:"day,omitempty"`
	Path   string `json:"path"`
	Broken bool   `json:"broken,omitempty"` // it cannot be read
}

// filter says which files of the notebook are wanted; what is empty wants all.
type filter struct{ kind, maker, recipe, body string }

func (w *filter) flags(c *cobra.Command) {
	c.Flags().StringVar(&w.kind, "kind", "", "only this kind: body, pattern, cloth, garment or sewn")
	c.Flags().StringVar(&w.maker, "maker", "", "only what is of this maker")
	c.Flags().StringVar(&w.recipe, "recipe", "", "only what is of this garment type")
	c.Flags().StringVar(&w.body, "body", "", "only what is of this person")
}

func (w *filter) wants(e *entry) bool {
	is := func(want, got string) bool { return want == "" || strings.EqualFold(want, got) }
	return is(w.kind, e.Kind) && is(w.maker, e.Maker) && is(w.recipe, e.Recipe) && (is(w.body, e.Body) || e.Kind != "body" && strings.EqualFold(w.body, notebook.Slug(e.Body)))
}

// entries lists the files of the notebook, kind by kind, in alphabetical order. Files that cannot be read are set aside as
// broken; nothing is written to them.
func entries(book notebook.Book, w *filter) ([]entry, error) {
	if w.kind != "" {
		if _, ok := notebook.KindOf(w.kind); !ok {
			return nil, fmt.Errorf("--kind is body, pattern, cloth, garment, sewn or recipe, not %q", w.kind)
		}
	}
	all := []entry{}
	for _, k := range notebook.Kinds {
		files, err := book.Files(k)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			if e := entryOf(k, f); w.wants(&e) {
				all = append(all, e)
			}
		}
	}
	return all, nil
}

// entryOf reads what stands at the head of a file.
func entryOf(k notebook.Kind, f notebook.File) entry {
	e := entry{Kind: k.Name, Name: f.Name, Path: shown(f.Path), Broken: true}
	text, err := file.ReadPath(f.Path, file.MaxBytes)
	if err != nil {
		return e
	}
	doc := file.Open(e.Path, text)
	if doc.Problems().HasErrors() || recipes.KindNow(doc.Kind()) != k.Name {
		return e
	}
	get := func(keys ...string) string {
		v := doc.Root()
		for _, key := range keys {
			if !v.IsMap() {
				return ""
			}
			v = v.Map().Get(key)
		}
		if !v.IsText() {
			return ""
		}
		return v.Text()
	}
	e.Broken, e.About = false, get("name")
	e.Maker, e.Recipe = get("maker"), cmp.Or(get("recipe"), get("like"))
	e.Body, e.Day = cmp.Or(get("body", "name"), get("body"), get("worn_by", "name")), cmp.Or(get("made"), get("taken"), get("worn_by", "taken"))
	if k.Name == "body" {
		e.Body = e.About
	}
	return e
}

func newNoteList(s streams) *cobra.Command {
	f, w := display{}, filter{}
	c := &cobra.Command{
		Use:   "list",
		Short: "List what is in your notebook",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			book, err := d.kept()
			if err != nil {
				return err
			}
			all, err := entries(book, &w)
			if err != nil {
				return err
			}
			if f.format == "json" {
				return s.json(all)
			}
			return s.show(shelf(all, shown(book.Dir)), f.color)
		},
	}
	f.unitless(c)
	f.book(c)
	w.flags(c)
	return c
}

func shelf(all []entry, folder string) *explain.Document {
	d := &explain.Document{}
	if len(all) == 0 {
		d.Add(explain.Sentence("Nothing of that kind is in the notebook " + folder + ". `advisor measure NAME` begins with a body."))
		return d
	}
	t := explain.Table{Header: []string{"kind", "name", "day", "about"}}
	broken := false
	for _, e := range all {
		about := e.About
		for _, more := range []string{e.Maker, e.Recipe, e.Body} {
			if more != "" && more != about {
				about += ", " + more
			}
		}
		if e.Broken {
			about, broken = "cannot be read: see `advisor note show "+e.Name+"`", true
		}
		t.Rows = append(t.Rows, []string{e.Kind, e.Name, e.Day, about})
	}
	d.Add(t)
	if broken {
		d.Add(explain.Sentence("What cannot be read is left as it is, and left out of everything else."))
	}
	d.Add(explain.Sentence("The notebook is " + folder + "."))
	return d
}

func newNoteShow(s streams) *cobra.Command {
	f, w := display{}, filter{}
	c := &cobra.Command{
		Use:   "show NAME",
		Short: "Show one file of your notebook",
		Args:  oneName("a file of the notebook", "advisor note show wren"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			book, err := d.kept()
			if err != nil {
				return err
			}
			path, err := findAny(book, args[0], w.kind)
			if err != nil {
				return err
			}
			text, err := d.ReadKept(path)
			if err != nil {
				return err
			}
			doc := file.Open(shown(path), text)
			d.Take(doc)
			if err := d.done(); err != nil {
				return err
			}
			if f.format == "json" {
				return s.json(contents(doc.Root()))
			}
			_, err = io.WriteString(s.out, diag.Visible(string(text)))
			return err
		},
	}
	f.unitless(c)
	f.book(c)
	c.Flags().StringVar(&w.kind, "kind", "", "body, pattern, cloth, garment, sewn or recipe, where several have the name")
	return c
}

// findAny finds a file by its name, whatever its kind, or of one kind.
func findAny(book notebook.Book, name, kind string) (string, error) {
	var found []string
	var not error
	for _, k := range notebook.Kinds {
		if kind != "" && kind != k.Name {
			continue
		}
		path, err := book.Find(k, name)
		if err == nil {
			found = append(found, path)
		} else if near, ok := err.(*notebook.NoNameError); not == nil || ok && len(near.Near) > 0 {
			not = err
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return "", fmt.Errorf("several files are called `%s`: say of which kind with --kind", name)
	case not == nil:
		return "", fmt.Errorf("--kind is body, pattern, cloth, garment, sewn or recipe, not %q", kind)
	}
	return "", not
}

// contents is what a file holds, every scalar as text.
func contents(v file.Value) any {
	switch {
	case v.IsMap():
		m := map[string]any{}
		for _, k := range v.Map().Keys() {
			m[k.Text()] = contents(v.Map().Get(k.Text()))
		}
		return m
	case v.IsList():
		items := []any{}
		for _, item := range v.ItemsOrOne() {
			items = append(items, contents(item))
		}
		return items
	case v.IsText():
		return v.Text()
	}
	return nil
}

func newNoteExport(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{
		Use:   "export FILE",
		Short: "Put your whole notebook into one archive",
		Args:  oneName("the archive to write", "advisor note export notebook.zip"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			book, err := d.kept()
			if err != nil {
				return err
			}
			n, left, err := book.Export(args[0])
			if err != nil {
				return err
			}
			for _, l := range left {
				s.say("advisor: left out, since it is no file of the notebook: %s\n", l)
			}
			_, err = fmt.Fprintf(s.out, "%s holds the notebook %s, %s. They are about bodies: keep them to yourself.\n", diag.Visible(args[0]), diag.Visible(shown(book.Dir)), engine.CountOf(n, "file"))
			return err
		},
	}
	f.unitless(c)
	f.book(c)
	return c
}
