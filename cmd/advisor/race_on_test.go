//go:build race

package main

// sameBodies are fewer where the race detector slows what they are compared with.
const sameBodies = 200
