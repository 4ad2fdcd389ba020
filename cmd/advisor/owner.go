//go:build !windows

package main

import (
	"os"
	"syscall"
)

// user is who runs the program.
var user = os.Geteuid

// foreign tells whether a file, or a link to it, belongs to another user.
func foreign(path string) bool {
	for _, look := range []func(string) (os.FileInfo, error){os.Lstat, os.Stat} {
		info, err := look(path)
		if err != nil {
			continue // reading it reports what is wrong
		}
		if owned, ok := info.Sys().(*syscall.Stat_t); ok && int(owned.Uid) != user() {
			return true
		}
	}
	return false
}
