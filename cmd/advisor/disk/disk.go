// Package disk writes files: whole or not at all, into a folder that no link leads out of, and never over what a command
// has read. Start with [Replace] for a file that may stand in the place of another, [New] for one that may not, and
// [Outputs] for what a command writes; a notebook writes with [Put].
package disk

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
)

// begun is how the name of a file begins that is being written; [Begun] knows it.
const begun = ".advisor-new-"

// Begun tells whether a name is that of a file that was being written by this program.
func Begun(name string) bool {
	rest, ok := strings.CutPrefix(name, begun)
	return ok && len(rest) == len(rand.Text()) && !strings.ContainsFunc(rest, func(r rune) bool { return (r < 'A' || r > 'Z') && (r < '2' || r > '7') })
}

// Put writes a file of a folder whole, by way of another in a folder of the same disk, and in the place of one that is
// there. Its name lasts once Put returns.
func Put(root *os.Root, by, name string, text []byte, mode fs.FileMode) error {
	at, err := Stage(root, by, text, mode)
	if err != nil {
		return err
	}
	if err = root.Rename(at, name); err != nil {
		return errors.Join(err, root.Remove(at))
	}
	return Sync(root, path.Dir(name))
}

// Stage writes a file beside, whole, under a name of its own, which it returns.
func Stage(root *os.Root, by string, text []byte, mode fs.FileMode) (string, error) {
	at := path.Join(by, begun+rand.Text())
	f, err := root.OpenFile(at, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return "", err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return "", errors.Join(err, root.Remove(at))
	}
	return at, nil
}

// Sync makes the names in a folder last, where the system has a way to.
func Sync(root *os.Root, folder string) error {
	if runtime.GOOS == "windows" {
		return nil // it has none
	}
	f, err := root.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Replace writes a file, which may stand in the place of another plain one.
func Replace(name string, text []byte, mode fs.FileMode) error {
	root, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return err
	}
	defer root.Close()
	return Put(root, ".", filepath.Base(name), text, mode)
}

// New writes a file, which is there whole or not at all and never in the place of another: then it is [fs.ErrExist].
func New(name string, text []byte, mode fs.FileMode) error {
	root, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return err
	}
	defer root.Close()
	at, err := Stage(root, ".", text, mode)
	if err != nil {
		return err
	}
	err = root.Link(at, filepath.Base(name)) // which, unlike a rename, replaces nothing
	if err = errors.Join(err, root.Remove(at)); err != nil {
		return err
	}
	return Sync(root, ".")
}

// Outputs keeps what a command writes apart from what it has read.
type Outputs struct{ read []input }

type input struct {
	name string
	info fs.FileInfo
}

// Read tells of a file that was read. One that is not there was none.
func (o *Outputs) Read(name string) {
	if info, err := os.Stat(name); err == nil {
		o.Was(name, info)
	}
}

// Was tells of a file that was read, by what it is.
func (o *Outputs) Was(name string, info fs.FileInfo) {
	if info.Mode().IsRegular() {
		o.read = append(o.read, input{name, info})
	}
}

// Check says why a file may not be written: it is one that was read, under this name or another, or no plain file.
func (o *Outputs) Check(name string) error {
	there, err := os.Stat(name)
	if err == nil {
		for _, r := range o.read {
			if os.SameFile(there, r.info) {
				return &InputError{name, r.name}
			}
		}
	}
	there, err = os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !there.Mode().IsRegular():
		return &NotPlainError{name}
	}
	return nil
}

// InputError says that a file to be written is one that was read.
type InputError struct{ Path, Read string }

func (e *InputError) Error() string {
	if e.Path == e.Read {
		return e.Path + " is what was read, and is not written over"
	}
	return fmt.Sprintf("%s is the same file as %s, which was read, and is not written over", e.Path, e.Read)
}

// Hint says what to do.
func (e *InputError) Hint() string { return "name another file to write" }

// NotPlainError says that what stands in the place of a file is none.
type NotPlainError struct{ Path string }

func (e *NotPlainError) Error() string {
	return "cannot write " + e.Path + ": it is there already, and no plain file that could be replaced"
}

// Hint says what to do.
func (e *NotPlainError) Hint() string {
	return "name the file itself, not a link to it, a folder or a device"
}
