package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// No command takes a flag that is given and says nothing.
func TestFlagsGivenEmpty(t *testing.T) {
	t.Chdir(t.TempDir())
	tried := 0
	var try func(c *cobra.Command, path []string)
	try = func(c *cobra.Command, path []string) {
		for _, below := range c.Commands() {
			try(below, append(path[:len(path):len(path)], below.Name()))
		}
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() != "string" && f.Value.Type() != "stringArray" || !c.Runnable() {
				return
			}
			tried++
			for _, empty := range []string{"", " "} {
				var told []string
				for _, names := range [][]string{nil, {"x"}, {"x", "x"}} { // as many as the command takes
					var said bytes.Buffer
					code := Main(append(append(path[:len(path):len(path)], names...), "--"+f.Name, empty), streams{in: strings.NewReader(""), out: &said, err: &said})
					if strings.Contains(said.String(), "--"+f.Name+" is empty") && code == exitUsage {
						return
					}
					told = append(told, said.String())
				}
				t.Errorf("%s --%s %q: %q", path, f.Name, empty, told)
			}
		})
	}
	try(newRoot(streams{}), nil)
	t.Logf("%d flags", tried)
	if tried < 50 {
		t.Errorf("only %d flags were found", tried)
	}
}
