package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// openOwn opens the folders of a person's own recipes and rules.
func (d *desk) openOwn(c configuration) error {
	maps.Copy(d.sources, c.sources)
	d.library.Folders = d.openFolders(c.Recipes, c.from["recipes"])
	d.folders = d.openFolders(c.Rules, c.from["rules"])
	return d.done()
}

// openKept opens the folder of the notebook with recipes of the person's own, if there is one; what is set goes before it.
func (d *desk) openKept() {
	kind, _ := notebook.KindOf("recipe")
	path := filepath.Join(d.book.Dir, kind.Folder)
	if d.book.Dir == "" {
		return
	}
	if root, err := os.OpenRoot(path); err == nil {
		d.library.Folders = append(d.library.Folders, file.Folder{Name: shown(path), Files: root.FS()})
	}
}

// openFolders opens folders that are set somewhere. Their files cannot lead out of
// them.
func (d *desk) openFolders(paths []string, set origin) []file.Folder {
	var all []file.Folder
	for i, path := range paths {
		root, err := os.OpenRoot(path)
		if err == nil {
			all = append(all, file.Folder{Name: shown(path), Files: root.FS()})
			continue
		}
		summary := "cannot open the folder " + shown(path)
		if errors.Is(err, fs.ErrNotExist) {
			summary = "there is no folder " + shown(path)
		}
		p := diag.Diagnostic{Severity: diag.Error, Code: noFolder, Summary: summary, Hint: "it is set by " + set.place}
		if i < len(set.at) {
			p.Range, p.Hint = set.at[i], "make it, or take it out here; it is looked for from this file on"
		}
		d.problems = append(d.problems, p)
	}
	return all
}

// recipe finds the garment type of a pattern: by name, or in a file beside it.
// What is wrong is told by [desk.done].
func (d *desk) recipe(p *engine.Pattern, path string) *engine.Recipe {
	if p == nil || p.Recipe == "" {
		return nil
	}
	found, err := d.find(p.Recipe, path)
	var refused refusal
	if errors.As(err, &refused) {
		d.problems = append(d.problems, placed(p.RecipeAt, refused))
		return nil
	}
	d.take(found.Doc)
	return found.Recipe
}

// find reads a garment type by its name, or by the path of a file beside a pattern.
func (d *desk) find(name, pattern string) (recipes.Found, error) {
	pattern, _ = d.named(pattern, "pattern") // no error: it was opened
	if strings.HasSuffix(name, ".yaml") {
		return d.library.Beside(name, d.folderOf(pattern), d.voc)
	}
	return d.library.Recipe(name, d.voc)
}

// everyRecipe reads all garment types that can be used, and says of the others
// what is the first thing wrong with each.
func (d *desk) everyRecipe() (all []*engine.Recipe, broken []string) {
	for _, found := range d.library.All(d.voc) {
		if err := found.Doc.Problems().Err(); err != nil {
			broken = append(broken, fmt.Sprintf("the recipe `%s` is broken: %v", found.Name, err))
			continue
		}
		all = append(all, found.Recipe)
	}
	return all, broken
}

// folderOf is the folder that a person's file stands in, nil for standard input.
func (d *desk) folderOf(path string) *file.Folder {
	switch {
	case d.s.from != nil:
		return &file.Folder{Name: ".", Files: d.s.from}
	case path == "-":
		return nil
	}
	folder := filepath.Dir(path)
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil
	}
	if whole, err := filepath.Abs(folder); err == nil {
		folder = whole
	}
	return &file.Folder{Name: shown(folder), Files: root.FS()}
}
