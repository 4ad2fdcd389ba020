package file

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrNotPlain says that something is no plain file: a folder, a pipe or a device, which is not read.
var ErrNotPlain = errors.New("it is no ordinary file")

// ReadFile reads a plain file of a folder, and of one with more bytes than most one byte more, which shows that it is too
// large. Every file that another names, or that lies in a folder, is opened by it. Errors: [ErrNotPlain], those of files.
func ReadFile(folder fs.FS, name string, most int) ([]byte, error) {
	info, err := fs.Stat(folder, name) // before it is opened, since to open a pipe is to wait for its other end
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, ErrNotPlain
	}
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, int64(most)+1))
}

// ReadPath is [ReadFile] for a path.
func ReadPath(path string, most int) ([]byte, error) {
	return ReadFile(os.DirFS(filepath.Dir(path)), filepath.Base(path), most)
}
