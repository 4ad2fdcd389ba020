package notebook

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// draftsDir holds what was typed and is not saved yet. It is no part of an archive.
const draftsDir = ".drafts"

const draftExtension = ".json"

func (b Book) draft(name string) string {
	return filepath.Join(b.Dir, draftsDir, name+draftExtension)
}

// KeepDraft keeps what is not saved yet under a name, in the place of what was kept there; nil: it is saved, or not wanted.
// Errors: [SaveError].
func (b Book) KeepDraft(name string, text []byte) error {
	err := CheckName(name)
	path := b.draft(name)
	if err != nil && text != nil {
		return err
	}
	if text == nil && (err != nil || !taken(path)) {
		return nil
	}
	return b.locked(path, func() error {
		if text != nil {
			return b.put(path, text)
		}
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
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
	at := draftsDir + "/" + name + draftExtension
	switch info, err := root.Stat(at); {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostDraft:
		return nil, errors.New("the draft " + name + " is no file that this program wrote")
	}
	return root.ReadFile(at)
}

// mostDraft is how large a draft can be: some times what a form may have.
const mostDraft = 8 << 20

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
