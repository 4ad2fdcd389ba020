package main

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Every command has an example that calls it, with flags that it has; every command
// is in a group of the main help.
func TestExamplesOfCommands(t *testing.T) {
	root := newRoot(streams{})
	for _, c := range root.Commands() {
		if c.Runnable() && c.GroupID == "" && c.Name() != "help" {
			t.Errorf("%s is in no group", c.Name())
		}
	}
	each(root, func(c *cobra.Command, path string) {
		if !c.Runnable() {
			return
		}
		if c.Example == "" {
			t.Errorf("%s has no example", path)
		}
		for line := range strings.Lines(c.Example) {
			line = strings.TrimSpace(line)
			if !strings.HasPrefix(line+" ", "advisor "+path) {
				t.Errorf("%s: the example is %q", path, line)
			}
			called, _, err := newRoot(streams{}).Find(strings.Fields(line)[1:])
			if err != nil {
				t.Fatal(err)
			}
			for _, word := range strings.Fields(line) {
				if flag, ok := strings.CutPrefix(word, "--"); ok && called.Flags().Lookup(flag) == nil {
					t.Errorf("%q: there is no --%s", line, flag)
				}
			}
		}
	})
	for path := range examples {
		if c, _, err := root.Find(strings.Fields(path)); err != nil || strings.TrimPrefix(c.CommandPath(), "advisor ") != path {
			t.Errorf("there are examples of %q, which is no command", path)
		}
	}
}
