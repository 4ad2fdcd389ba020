//go:build race

package recipes

// patience stretches the limits of hang guards where the race detector slows everything.
const patience = 8
