//go:build !js

package notebook

import "github.com/gofrs/flock"

// fileLock is a lock that one program holds at a time.
type fileLock = flock.Flock

func newLock(path string) *fileLock { return flock.New(path, flock.SetPermissions(fileMode)) }
