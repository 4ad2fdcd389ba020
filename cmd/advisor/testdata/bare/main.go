// Command bare is the least program with the same command library: what
// starting the advisor is measured against.
package main

import (
	"os"

	"github.com/spf13/cobra"
)

func main() {
	c := &cobra.Command{Use: "bare", Short: "Do nothing", Version: "0.1.0", RunE: func(*cobra.Command, []string) error { return nil }}
	if c.Execute() != nil {
		os.Exit(2)
	}
}
