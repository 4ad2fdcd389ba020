package main

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"slices"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// files reads the files a person names, and tells all their problems at once.
type files struct {
	s streams
	*question.Files
}

func newFiles(s streams, voc *engine.Vocabulary) *files {
	return &files{s: s, Files: &question.Files{Reader: advice.Reader{Voc: voc, Sources: diag.Sources{}}, In: s.in, From: s.from}}
}

// shown is a path as a person reads it.
var shown = question.Shown

// mayWrite says why a file may not be written: it is one that was read, or no
// plain file.
func (d *files) mayWrite(path string) error {
	for _, name := range slices.Sorted(maps.Keys(d.Sources)) {
		d.Inputs.Read(name)
	}
	if in, ok := d.s.in.(*os.File); ok {
		if info, err := in.Stat(); err == nil {
			d.Inputs.Was("standard input", info)
		}
	}
	return d.Inputs.Check(path)
}

// replace writes what a command makes, whole or not at all. All that is written
// in the place of another file is written by it.
func (d *files) replace(path string, text []byte, mode fs.FileMode) error {
	if err := d.mayWrite(path); err != nil {
		return err
	}
	if err := disk.Replace(path, text, mode); err != nil {
		return cannotWrite(path, err)
	}
	d.Inputs.Read(path) // so that what else is written does not replace it
	return nil
}

// done prints the problems found since it was last called; it fails where one of
// them is an error.
func (d *files) done() error {
	found := d.Problems
	d.Problems = nil
	if len(found) == 0 {
		return nil
	}
	if err := d.s.problems(found, d.Sources); err != nil {
		return err
	}
	if found.HasErrors() {
		return errReported
	}
	return nil
}

// refuse tells what is wrong with a file at its place.
func (d *files) refuse(at diag.Range, err advice.Refusal) error {
	return d.refused(advice.Placed(at, err))
}

func (d *files) refused(p diag.Diagnostic) error {
	d.Tell(p)
	return d.done()
}

// openOwn opens the folders of a person's own recipes and rules.
func (d *files) openOwn(c configuration) error {
	maps.Copy(d.Sources, c.sources)
	d.Library.Folders = d.openFolders(c.Recipes, c.from["recipes"])
	d.Folders = d.openFolders(c.Rules, c.from["rules"])
	d.Learn()
	return d.done()
}

// openFolders opens folders that are set somewhere. Their files cannot lead out of
// them.
func (d *files) openFolders(paths []string, set origin) []file.Folder {
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
		d.Tell(p)
	}
	return all
}
