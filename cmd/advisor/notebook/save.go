package notebook

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"fitadvisor/cmd/advisor/disk"
	"fitadvisor/rules/file"
)

// The files of the notebook's own, which begin with a dot.
const (
	lockFile   = ".lock"
	savingDir  = ".saving" // files that are being written; those that a killed program left are removed
	unsaved    = ".unsaved"
	folderMode = 0o700
	fileMode   = 0o600
)

// SaveError says that a file could not be saved. What stood there stands there still.
type SaveError struct {
	Path string
	Err  error
}

func (e *SaveError) Error() string {
	why := e.Err.Error()
	var path *fs.PathError
	var linked *os.LinkError
	switch {
	case errors.As(e.Err, &path):
		why = path.Err.Error()
	case errors.As(e.Err, &linked):
		why = linked.Err.Error()
	}
	return fmt.Sprintf("%s was not saved: %s", e.Path, why)
}

// Unwrap returns why.
func (e *SaveError) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *SaveError) Hint() string {
	var link *linkError
	switch {
	case errors.Is(e.Err, syscall.ENOSPC) || errors.Is(e.Err, syscall.EFBIG) || errors.Is(e.Err, syscall.EDQUOT):
		return "the disk is full: make room, and do it again; what was there before is unharmed"
	case errors.As(e.Err, &link):
		return "put the thing itself into the notebook instead; what was there before is unharmed"
	}
	return "what was there before is unharmed; see that the folder can be written to"
}

// linkError says that something of the notebook is a link, or nothing that can be written.
type linkError struct{ name string }

func (e *linkError) Error() string {
	return e.name + " in the notebook is a link, or no plain file or folder"
}

// ChangedError says that a file is not as it was read; what was to be written is kept beside it.
type ChangedError struct {
	Path, Kept string
	Differs    string // the lines that differ: `-` theirs, `+` yours
}

func (e *ChangedError) Error() string {
	return fmt.Sprintf("%s was changed meanwhile and is left as it is; what was to be saved is in %s. They differ in\n%s", e.Path, e.Kept, e.Differs)
}

// Hint says what to do.
func (e *ChangedError) Hint() string {
	return "take over by hand what you want of it, delete it, and do the rest again"
}

// Save writes a file of the notebook, in which must still stand what was read: nil where there was none. Errors:
// [SaveError], [ChangedError].
func (b Book) Save(path string, was, now []byte) error {
	return b.locked(path, func(root *os.Root) error {
		at, err := b.within(path)
		if err != nil {
			return err
		}
		there, err := standing(root, at)
		if err != nil {
			return err
		}
		if (there == nil) == (was == nil) && bytes.Equal(there, was) {
			return put(root, at, now)
		}
		kept := free(root, at+unsaved)
		if err := put(root, kept, now); err != nil {
			return err
		}
		return &ChangedError{path, filepath.Join(b.Dir, filepath.FromSlash(kept)), differ(there, now)}
	})
}

// within is the path of a file in the notebook, as it is seen from there.
func (b Book) within(path string) (string, error) {
	at, err := filepath.Rel(b.Dir, path)
	return filepath.ToSlash(at), err
}

// standing is what stands in a file, nil where there is none. A link is none that could be written.
func standing(root *os.Root, at string) ([]byte, error) {
	info, err := root.Lstat(at)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, &linkError{at}
	}
	there, err := file.ReadFile(root.FS(), at, mostBytes)
	return append([]byte{}, there...), err
}

// Add writes a new file under a name, or under the name with the first number behind it that is free; it returns which.
// Errors: [SaveError].
func (b Book) Add(kind Kind, name string, text []byte) (string, error) {
	err := b.locked(b.Path(kind, name), func(root *os.Root) error {
		at := func(name string) string { return kind.Folder + "/" + name + extension }
		free := name
		for n := 2; taken(root, at(free)); n++ {
			free = name + "-" + strconv.Itoa(n)
		}
		name = free
		return put(root, at(name), text)
	})
	return name, err
}

func taken(root *os.Root, at string) bool {
	_, err := root.Lstat(at)
	return err == nil
}

// free is a path with the first number behind it that is free.
func free(root *os.Root, path string) string {
	at := path
	for n := 2; taken(root, at); n++ {
		at = path + "-" + strconv.Itoa(n)
	}
	return at
}

// locked runs save while no other program writes to the notebook. What is wrong is told of the path.
func (b Book) locked(path string, save func(*os.Root) error) error {
	err := b.alone(save)
	var told interface{ Hint() string }
	if err == nil || errors.As(err, &told) {
		return err
	}
	return &SaveError{path, err}
}

func (b Book) alone(save func(*os.Root) error) (err error) {
	if err := os.MkdirAll(b.Dir, folderMode); err != nil {
		return err
	}
	root, err := os.OpenRoot(b.Dir)
	if err != nil {
		return err
	}
	defer root.Close()
	if err := own(root, savingDir, fs.ModeDir); err != nil {
		return err
	}
	if err := root.MkdirAll(savingDir, folderMode); err != nil {
		return err
	}
	lock, err := b.lock(root, lockFile)
	if err != nil {
		return err
	}
	if err := lock.Lock(); err != nil {
		return err
	}
	defer func() {
		if closed := lock.Close(); err == nil {
			err = closed
		}
	}()
	if err := finish(root); err != nil {
		return err
	}
	if err := sweep(root); err != nil {
		return err
	}
	return save(root)
}

// lock is a lock in the notebook, which must not be a link.
func (b Book) lock(root *os.Root, name string) (*fileLock, error) {
	if err := own(root, name, 0); err != nil {
		return nil, err
	}
	return newLock(filepath.Join(b.Dir, name)), nil
}

// own refuses what stands under one of the notebook's own names and is not of its type.
func own(root *os.Root, name string, as fs.FileMode) error {
	info, err := root.Lstat(name)
	if err == nil && info.Mode().Type() != as {
		return &linkError{name}
	}
	return nil
}

// sweep removes what a program that was killed has left, and nothing else.
func sweep(root *os.Root) error {
	left, err := fs.ReadDir(root.FS(), savingDir)
	for _, e := range left {
		if disk.Begun(e.Name()) {
			err = errors.Join(err, root.Remove(path.Join(savingDir, e.Name())))
		}
	}
	return err
}

// put writes a file whole, or not at all.
func put(root *os.Root, at string, text []byte) error {
	if err := root.MkdirAll(path.Dir(at), folderMode); err != nil {
		return err
	}
	return disk.Put(root, savingDir, at, text, fileMode)
}

// mostDiffering is how many lines that differ are shown.
const mostDiffering = 20

// differ shows the lines between the first and the last that differ.
func differ(theirs, yours []byte) string {
	a, b := strings.Split(string(theirs), "\n"), strings.Split(string(yours), "\n")
	from := 0
	for from < len(a) && from < len(b) && a[from] == b[from] {
		from++
	}
	same := 0
	for same < len(a)-from && same < len(b)-from && a[len(a)-1-same] == b[len(b)-1-same] {
		same++
	}
	var lines []string
	for _, side := range []struct {
		sign  string
		lines []string
	}{{"  - ", a[from : len(a)-same]}, {"  + ", b[from : len(b)-same]}} {
		for i, line := range side.lines {
			if i == mostDiffering {
				line = "..."
			}
			if i <= mostDiffering {
				lines = append(lines, side.sign+line)
			}
		}
	}
	return strings.Join(lines, "\n")
}
