package notebook

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"github.com/gofrs/flock"
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
	if errors.As(e.Err, &path) {
		why = path.Err.Error()
	}
	return fmt.Sprintf("%s was not saved: %s", e.Path, why)
}

// Unwrap returns why.
func (e *SaveError) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *SaveError) Hint() string {
	if errors.Is(e.Err, syscall.ENOSPC) || errors.Is(e.Err, syscall.EFBIG) || errors.Is(e.Err, syscall.EDQUOT) {
		return "the disk is full: make room, and do it again; what was there before is unharmed"
	}
	return "what was there before is unharmed; see that the folder can be written to"
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

// Save writes a file, in which must still stand what was read: nil where there was none. Errors: [SaveError],
// [ChangedError].
func (b Book) Save(path string, was, now []byte) error {
	return b.locked(path, func() error {
		there, err := os.ReadFile(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			there = nil
		case err != nil:
			return err
		case there == nil:
			there = []byte{}
		}
		if (there == nil) == (was == nil) && bytes.Equal(there, was) {
			return b.put(path, now)
		}
		kept := free(path + unsaved)
		if err := b.put(kept, now); err != nil {
			return err
		}
		return &ChangedError{path, kept, differ(there, now)}
	})
}

// Add writes a new file under a name, or under the name with the first number behind it that is free; it returns which.
// Errors: [SaveError].
func (b Book) Add(kind Kind, name string, text []byte) (string, error) {
	err := b.locked(b.Path(kind, name), func() error {
		path := b.Path(kind, name)
		for n := 2; taken(path); n++ {
			path = b.Path(kind, name+"-"+strconv.Itoa(n))
		}
		name = strings.TrimSuffix(filepath.Base(path), extension)
		return b.put(path, text)
	})
	return name, err
}

func taken(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// free is a path with the first number behind it that is free.
func free(path string) string {
	at := path
	for n := 2; taken(at); n++ {
		at = path + "-" + strconv.Itoa(n)
	}
	return at
}

// locked runs save while no other program writes to the notebook. What is wrong is told of the path.
func (b Book) locked(path string, save func() error) error {
	err := b.alone(save)
	var told interface{ Hint() string }
	if err == nil || errors.As(err, &told) {
		return err
	}
	return &SaveError{path, err}
}

func (b Book) alone(save func() error) (err error) {
	if err := os.MkdirAll(filepath.Join(b.Dir, savingDir), folderMode); err != nil {
		return err
	}
	lock := flock.New(filepath.Join(b.Dir, lockFile), flock.SetPermissions(fileMode))
	if err := lock.Lock(); err != nil {
		return err
	}
	defer func() {
		if closed := lock.Close(); err == nil {
			err = closed
		}
	}()
	if err := b.sweep(); err != nil {
		return err
	}
	return save()
}

// sweep removes what a program that was killed has left.
func (b Book) sweep() error {
	left, err := os.ReadDir(filepath.Join(b.Dir, savingDir))
	for _, e := range left {
		err = errors.Join(err, os.Remove(filepath.Join(b.Dir, savingDir, e.Name())))
	}
	return err
}

// put writes a file whole, or not at all.
func (b Book) put(path string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), folderMode); err != nil {
		return err
	}
	return replace(filepath.Join(b.Dir, savingDir), path, text)
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
