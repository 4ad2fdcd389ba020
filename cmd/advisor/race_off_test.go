//go:build !race

package main

// sameBodies is how many bodies a published page is asked about.
const sameBodies = 1000
