//go:build !race

package file_test

// patience stretches the limits of hang guards where the race detector slows everything.
const patience = 1
