package main

import (
	"cmp"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
)

// named is the path of a file that a person names: a path, or a name in the notebook. What is there under the name is
// meant, and so is a path with a folder or an extension.
func (d *desk) named(name, kind string) (string, error) {
	path, _, err := d.found(name, kind)
	return path, err
}

// found is the path of a file that a person names, and whether it is the notebook's.
func (d *desk) found(name, kind string) (path string, kept bool, err error) {
	k, known := notebook.KindOf(kind)
	if name == "-" || d.s.from != nil || !known || d.book.Dir == "" || filepath.Ext(name) != "" || strings.ContainsAny(name, `/\`) {
		return name, false, nil
	}
	if _, err := os.Lstat(name); err == nil {
		return name, false, nil
	}
	path, err = d.book.Find(k, name)
	if err != nil {
		return name, false, err
	}
	return shown(path), true, nil
}

// notebookDir is the folder of the notebook: by flag, as it is set, or where the system keeps a person's data.
func (c *configuration) notebookDir(flag string) string {
	if flag != "" {
		return pathFrom(".", flag)
	}
	return cmp.Or(c.Notebook, dataDir())
}

// dataDir is the folder of the notebook where nothing is set, empty where the system has none for a person's data.
func dataDir() string {
	home, err := os.UserHomeDir()
	under := func(parts ...string) string {
		if err != nil {
			return ""
		}
		return filepath.Join(append([]string{home}, parts...)...)
	}
	folder := ""
	switch xdg := os.Getenv("XDG_DATA_HOME"); {
	case filepath.IsAbs(xdg):
		folder = xdg
	case runtime.GOOS == "windows":
		folder = cmp.Or(os.Getenv("LocalAppData"), under("AppData", "Local"))
	case runtime.GOOS == "darwin":
		folder = under("Library", "Application Support")
	default:
		folder = under(".local", "share")
	}
	if folder == "" {
		return ""
	}
	return filepath.Join(folder, "fitadvisor", "notebook")
}

// errNoNotebook says that there is no place for one.
var errNoNotebook = errors.New("the system does not say where your data belongs: name the folder of your notebook with --notebook")

// kept is the notebook, which must have a place.
func (d *desk) kept() (notebook.Book, error) {
	if d.book.Dir == "" {
		return d.book, errNoNotebook
	}
	return d.book, nil
}
