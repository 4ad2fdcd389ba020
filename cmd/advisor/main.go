// Command advisor turns a tape measure, a pattern's size chart and a piece of
// cloth into a size to cut by, with the reasons. Start with `advisor demo`.
package main

import "os"

func main() {
	os.Exit(Main(os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}))
}
