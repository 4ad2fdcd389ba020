package publish

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/internal/chromium"
)

// The notebook's own tests hold on the files that a browser has in memory: save for links and locks, which are none there.
func TestNotebookOnTheFilesOfABrowser(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		chromium.Lacking(t, "Node")
	}
	program := filepath.Join(t.TempDir(), "notebook.wasm")
	build := exec.Command("go", "test", "-c", "-o", program, "fitadvisor/cmd/advisor/notebook")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	const tests = "TestExportImport|TestExportSays|TestImportRefuses|TestImportOverwritesNothing|TestImportLooks|TestFind|TestNames|TestChangedMeanwhile|TestAdd|TestSweepsItsOwn|TestBookIsItsFiles"
	out, err := exec.Command(node, filepath.Join("testdata", "ondisk.js"), filepath.Join("notebook", "disk.js"), filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"),
		program, "-test.v", "-rapid.checks=10", "-test.run="+tests).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if got, want := len(regexp.MustCompile(`(?m)^--- PASS`).FindAll(out, -1)), 13; got != want {
		t.Errorf("%d tests hold, of %d:\n%s", got, want, out)
	}
}

// The worker keeps all that the page needs without a network, and is another one when any of it is.
func TestNotebookFiles(t *testing.T) {
	e := &Engine{Program: []byte("p"), Support: []byte("s"), Notices: []byte("n")}
	all := Notebook(e)
	want := []string{"advisor/begin.js", "advisor/disk.js", "advisor/engine.wasm.gz", "advisor/notices.txt", "advisor/page.css", "advisor/stay.js", "advisor/wasm_exec.js", "index.html", "sw.js"}
	if diff := cmp.Diff(want, sorted(all)); diff != "" {
		t.Error(diff)
	}
	list, rest, _ := strings.Cut(strings.TrimPrefix(string(all["sw.js"]), "const files = "), ";\n")
	var kept []string
	if err := json.Unmarshal([]byte(list), &kept); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want[:7], kept); diff != "" {
		t.Error(diff)
	}
	edition, _, _ := strings.Cut(rest, "\n")
	e.Program = []byte("another")
	if strings.Contains(string(Notebook(e)["sw.js"]), edition) {
		t.Errorf("another program is still %s", edition)
	}
}
