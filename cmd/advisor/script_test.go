package main

import (
	"fitadvisor/cmd/advisor/internal/chromium"
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(chromium.Tests{M: m}, map[string]func(){"advisor": main})
}

// TestScript runs the commands as a person would and compares all that they
// print. Scripts find the demo's files in the folder $DEMO.
func TestScript(t *testing.T) {
	demo, err := os.MkdirTemp(t.TempDir(), "demo")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(demo, demoFiles); err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("NO_COLOR", "1")
			e.Setenv("GORACE", "atexit_sleep_ms=0") // the race detector sleeps a second at each exit otherwise
			return os.CopyFS(e.WorkDir, os.DirFS(demo+"/demo"))
		},
	})
}
