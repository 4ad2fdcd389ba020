package notebook

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"fitadvisor/rules/file"
)

// draftsDir holds what was typed and is not saved yet. It is no part of an archive.
const draftsDir = ".drafts"

const draftExtension = ".json"

// mostDraft is how large a draft can be, in bytes: some times what a form may have.
const mostDraft = 8 << 20

func draftAt(name string) string { return draftsDir + "/" + name + draftExtension }

// KeepDraft keeps what is not saved yet under a name, in the place of what was kept there; nil: it is saved, or not wanted.
// Errors: [SaveError].
func (b Book) KeepDraft(name string, text []byte) error {
	path := filepath.Join(b.Dir, filepath.FromSlash(draftAt(name)))
	if text == nil {
		if _, err := os.Lstat(path); CheckName(name) != nil || err != nil {
			return nil // nothing is kept
		}
	}
	if err := CheckName(name); err != nil {
		return err
	}
	return b.locked(path, func(root *os.Root) error {
		if err := own(root, draftsDir, fs.ModeDir); err != nil {
			return err
		}
		if text != nil {
			return put(root, draftAt(name), text)
		}
		if err := root.Remove(draftAt(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	})
}

// Draft is what was kept under a name, nil where nothing was.
func (b Book) Draft(name string) ([]byte, error) {
	if b.Dir == "" || CheckName(name) != nil {
		return nil, nil
	}
	root, err := os.OpenRoot(b.Dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer root.Close()
	text, err := file.ReadFile(root.FS(), draftAt(name), mostDraft)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return text, err
}

// Drafts are the names under which something is kept, in alphabetical order.
func (b Book) Drafts() []string {
	entries, err := os.ReadDir(filepath.Join(b.Dir, draftsDir))
	if err != nil || b.Dir == "" {
		return nil
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), draftExtension); ok {
			names = append(names, name)
		}
	}
	return names
}
