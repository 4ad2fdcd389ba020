package notebook

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"fitadvisor/rules/file"
)

// The files by which one program at a time shows the notebook to a browser: what it is locked by, and where it is.
const (
	claimLock = ".page.lock"
	claimNote = ".page"
	mostNote  = 1 << 10 // bytes that are read of it
)

// ClaimedError says that another program has claimed the notebook, and what it wrote about itself.
type ClaimedError struct{ By string }

func (e *ClaimedError) Error() string { return "this notebook is open already, at " + e.By }

// Hint says what to do.
func (e *ClaimedError) Hint() string {
	return "open that address, or stop the other one with Ctrl-C where it runs"
}

// Claim claims the notebook until it is released, also by the end of the program. About is what another program that
// would claim it is told. Errors: [ClaimedError], [SaveError].
func (b Book) Claim(about string) (release func(), err error) {
	note := filepath.Join(b.Dir, claimNote)
	lock, err := b.claimLock()
	if err != nil {
		return nil, &SaveError{note, err}
	}
	ours, err := lock.TryLock()
	if err != nil {
		return nil, &SaveError{note, err}
	}
	if !ours {
		there, _ := file.ReadPath(note, mostNote) // the other may not have written it yet
		return nil, &ClaimedError{strings.TrimSpace(string(there))}
	}
	if err := b.locked(note, func(root *os.Root) error { return put(root, claimNote, []byte(about+"\n")) }); err != nil {
		return nil, errors.Join(err, lock.Close())
	}
	return func() {
		_ = os.Remove(note) // what is left says nothing without the lock
		_ = lock.Close()
	}, nil
}

func (b Book) claimLock() (*fileLock, error) {
	if err := os.MkdirAll(b.Dir, folderMode); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(b.Dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return b.lock(root, claimLock)
}
