package main

import (
	"cmp"
	"errors"
	"os"
	"path/filepath"
	"runtime"

	"fitadvisor/cmd/advisor/notebook"
)

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
func (d *files) kept() (notebook.Book, error) {
	if d.Book.Dir == "" {
		return d.Book, errNoNotebook
	}
	return d.Book, nil
}
