package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// importing is what `note import` is asked, as typed.
type importing struct {
	dated
	columns string
}

func newNoteImport(s streams) *cobra.Command {
	f := &importing{}
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "Bring back what was exported, or keep each line of a table as a body",
		Long: "Takes the files of an archive that `note export` wrote, or of a table of bodies (CSV, TSV or\n" +
			"XLSX) each line as a body: all or none. Nothing is overwritten.",
		Args: oneName("the archive or the table to read", "advisor note import notebook.zip"),
		RunE: func(_ *cobra.Command, args []string) error {
			bare := quantity.Unit(f.units) // of cells: what is set for reading answers says nothing of them
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			book, err := d.kept()
			if err != nil {
				return err
			}
			bring := func() (added, same int, err error) { return book.Import(args[0]) }
			if recipes.IsTable(args[0]) {
				files, err := f.bodies(d, args[0], bare)
				if err != nil {
					return err
				}
				bring = func() (added, same int, err error) { return book.Bring(args[0], files) }
			}
			added, same, err := bring()
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(s.out, "%s came into the notebook %s; already there and just the same: %s.\n", engine.CountOf(added, "file"), diag.Visible(shown(book.Dir)), engine.CountOf(same, "file"))
			return err
		},
	}
	f.flags(c)
	c.Flags().StringVar(&f.columns, "columns", "", "the file that says what the columns of a table hold")
	return c
}

// bodies are the files that the lines of a table make. It reports every line that is wrong.
func (f *importing) bodies(d *files, path string, bare quantity.Unit) (map[string][]byte, error) {
	today, err := f.date()
	if err != nil {
		return nil, err
	}
	const most = max(file.MaxBytes, file.MaxSheetBytes)
	text, err := file.ReadPath(path, most)
	if err == nil && len(text) > most {
		err = fmt.Errorf("it is larger than %d kB: import it in parts", most>>10)
	}
	if err != nil {
		return nil, &question.UnreadableError{Path: path, Err: err}
	}
	columns, take := d.readColumns(f.columns)
	if err := d.done(); err != nil {
		return nil, err
	}
	table, header := recipes.OpenSurvey(path, bytes.NewReader(text), columns, bare, d.Voc)
	d.Take(header)
	take()
	if err := d.done(); err != nil {
		return nil, err
	}
	kind, _ := notebook.KindOf("body")
	files := map[string][]byte{}
	var unnamed error
	for len(d.Problems) <= mostLines {
		line, err := table.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, &question.UnreadableError{Path: path, Err: err}
		}
		name, text, problems := table.File(line, today)
		d.Tell(problems...)
		if problems.HasErrors() {
			continue
		}
		at := kind.Folder + "/" + filepath.Base(d.Book.Path(kind, notebook.Slug(name)))
		if _, twice := files[at]; twice || strings.TrimSpace(name) == "" {
			unnamed = errors.Join(unnamed, fmt.Errorf("%s: `%s` is empty, or names a second body: give each body a name of its own", line.Place(), diag.Visible(name)))
		}
		files[at] = text
	}
	return files, errors.Join(d.done(), unnamed)
}
