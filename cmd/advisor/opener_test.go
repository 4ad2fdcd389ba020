package main

import (
	"os"
	"strings"
	"testing"

	"fitadvisor/cmd/advisor/page"
)

// Others can list the arguments of a program: the one that opens the browser is given the name of a file.
func TestOpenerHasNoKeyInItsArguments(t *testing.T) {
	path, remove, err := page.Doorway("http://127.0.0.1:1/?key=SECRET")
	if err != nil {
		t.Fatal(err)
	}
	if args := strings.Join(opener(path).Args, " "); strings.Contains(args, "SECRET") || !strings.Contains(args, path) {
		t.Errorf("it is called with %s", args)
	}
	if text, err := os.ReadFile(path); err != nil || !strings.Contains(string(text), "url=http://127.0.0.1:1/?key=SECRET\"") {
		t.Errorf("the file does not lead to the page: %s, %v", text, err)
	}
	remove()
	if _, err := os.Stat(path); !os.IsNotExist(err) {
		t.Errorf("it is left behind: %v", err)
	}
}
