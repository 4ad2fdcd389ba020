package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"
)

// ranAs runs a command line and returns all that it prints.
func ranAs(args ...string) (code int, said string) {
	var out bytes.Buffer
	code = Main(args, streams{in: strings.NewReader(""), out: &out, err: &out})
	return code, out.String()
}

// atHome puts the demo's files into a new working folder, with a notebook of its own.
func atHome(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("ADVISOR_NOTEBOOK", "book")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	if code, said := ranAs("demo", "--copy-to", "."); code != exitAnswered {
		t.Fatal(said)
	}
	for at, text := range map[string]string{
		"book/bodies/me.yaml": "kind: body\nname: Wren\nmeasurements: {waist: 29 1/2 in, hip: 44 1/4 in}\n",
		"bodies.csv":          "name,waist,hip\nWren,75 cm,112 cm\n",
		"chart.csv":           "measurement,8,10\nwaist,26,27\nhip,36,37\n",
		"beside.yaml":         "kind: pattern\nname: Beside\nrecipe: gathered-skirt\nunits: in\nbody: chart.csv\n",
		"own.test.yaml":       "kind: test\nrecipe: gathered-skirt\nexamples: []\n",
	} {
		if err := os.MkdirAll(filepath.Dir(at), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// all is what stands in the files of the working folder.
func all(t *testing.T) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(".", func(path string, e os.DirEntry, err error) error {
		if err != nil || !e.Type().IsRegular() || strings.Contains(path, ".lock") {
			return err
		}
		text, err := os.ReadFile(path)
		files[path] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// No command writes over what it has read, under whatever name, nor in the place of what is no plain file.
func TestOutputsReplaceNoInput(t *testing.T) {
	atHome(t)
	for link, file := range map[string]string{"hard.svg": "wren.yaml", "hard.pdf": "quayside-skirt.yaml", "hard.csv": "chart.csv"} {
		if err := os.Link(file, link); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(os.Symlink("wren.yaml", "soft.svg"), os.Symlink("nowhere", "dangling.svg"), os.Mkdir("folder.svg", 0o700), syscall.Mkfifo("pipe.svg", 0o600)); err != nil {
		t.Fatal(err)
	}
	before := all(t)
	size := []string{"quayside-skirt.yaml", "--body", "wren.yaml", "--cloth", "washed-linen.yaml"}
	on := func(command string, args ...string) []string {
		return append(append([]string{command}, size...), args...)
	}
	for _, args := range [][]string{
		on("size", "--picture", "wren.yaml"), on("size", "--picture", "washed-linen.yaml"), on("why", "--picture", "quayside-skirt.yaml"),
		on("size", "--picture", "hard.svg"), on("size", "--picture", "soft.svg"), on("size", "--picture", "dangling.svg"),
		on("size", "--picture", "folder.svg"), on("size", "--picture", "pipe.svg"), on("plan", "-o", "hard.pdf"),
		{"size", "quayside-skirt.yaml", "--body", "me", "--picture", "book/bodies/me.yaml"},
		{"chart", "quayside-skirt.yaml", "-o", "quayside-skirt.yaml"}, {"chart", "quayside-skirt.yaml", "--picture", "./quayside-skirt.yaml"},
		{"chart", "beside.yaml", "--to", "csv", "-o", "chart.csv"}, {"chart", "beside.yaml", "--to", "csv", "-o", "hard.csv"},
		{"chart", "beside.yaml", "--compare", "quayside-skirt.yaml", "-o", "quayside-skirt.yaml"},
		{"chart", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "bodies.csv"},
		{"note", "export", "book/bodies/me.yaml"}, {"note", "export", "soft.svg"}, {"note", "export", "wren.yaml"},
		{"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "bodies.csv", "--resume"},
		{"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "wren.yaml", "--resume"},
		{"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "wren.yaml", "--resume", "--rows", "jsonl"},
		{"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "quayside-skirt.yaml", "--resume", "--rows", "jsonl"},
	} {
		code, said := ranAs(args...)
		if code != exitUsage || !strings.Contains(said, "is not written over") && !strings.Contains(said, "no plain file") && !strings.Contains(said, "cannot go on with") {
			t.Errorf("%v: %d, %s", args, code, said)
		}
		for path, text := range all(t) {
			if before[path] != text && path != ".saving" {
				t.Fatalf("%v: %s now holds %.40q", args, path, text)
			}
		}
	}
}

// Everything that may be written is.
func TestOutputsAreWritten(t *testing.T) {
	atHome(t)
	if err := os.WriteFile("old.svg", []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"size", "quayside-skirt.yaml", "--body", "wren.yaml", "--picture", "old.svg"}, {"chart", "quayside-skirt.yaml", "-o", "chart.txt", "--picture", "chart.svg"},
		{"plan", "quayside-skirt.yaml", "--body", "wren.yaml", "-o", "plan.md"}, {"note", "export", "book.zip"},
		{"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "sizes.csv"}, {"batch", "quayside-skirt.yaml", "--bodies", "bodies.csv", "-o", "sizes.csv", "--resume"},
	} {
		if code, said := ranAs(args...); code != exitAnswered {
			t.Errorf("%v: %d, %s", args, code, said)
		}
	}
	if info, err := os.Stat("old.svg"); err != nil || info.Mode().Perm() != privately {
		t.Errorf("a picture of a body can be read by others: %v, %v", info.Mode(), err)
	}
	if code, said := ranAs("chart", "quayside-skirt.yaml", "-o", "two.svg", "--picture", "two.svg"); code != exitUsage {
		t.Errorf("two outputs in one file: %d, %s", code, said)
	}
}

// A pipe that nobody writes to holds nothing up, wherever it lies in a notebook or is named by a file.
func TestPipesAreNotWaitedFor(t *testing.T) {
	atHome(t)
	if err := os.MkdirAll("book/sewn", 0o700); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(syscall.Mkfifo("book/sewn/x.yaml", 0o600), syscall.Mkfifo("book/bodies/pipe.yaml", 0o600), syscall.Mkfifo("pipe.csv", 0o600), syscall.Mkfifo("pipe.yaml", 0o600)); err != nil {
		t.Fatal(err)
	}
	for path, line := range map[string]string{"piped.yaml": "recipe: gathered-skirt\nbody: pipe.csv\n", "typed.yaml": "recipe: ./pipe.yaml\nbody: chart.csv\n"} {
		if err := os.WriteFile(path, []byte("kind: pattern\nname: Piped\nunits: in\n"+line), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, tt := range []struct {
		code int
		args []string
	}{
		{exitAnswered, []string{"size", "quayside-skirt.yaml", "--body", "me"}}, {exitUsage, []string{"size", "quayside-skirt.yaml", "--body", "pipe"}},
		{exitUsage, []string{"measure", "pipe", "--set", "hip=99cm"}}, {exitAnswered, []string{"note", "list"}}, {exitUsage, []string{"note", "show", "pipe"}},
		{exitUsage, []string{"size", "piped.yaml", "--body", "me"}}, {exitUsage, []string{"size", "typed.yaml", "--body", "me"}},
		{exitUsage, []string{"note", "outcome", "x", "--worn", "yes"}}, {exitAnswered, []string{"note", "learned"}}, {exitAnswered, []string{"note", "export", "book.zip"}},
		{exitUsage, []string{"note", "import", "pipe.csv"}}, {exitUsage, []string{"size", "pipe.yaml", "--body", "me"}},
	} {
		if code, said := ranAs(tt.args...); code != tt.code {
			t.Errorf("%v: %d, %s", tt.args, code, said)
		}
	}
}

// The demo's files come all or not at all.
func TestCopyLeavesNothingHalf(t *testing.T) {
	to := filepath.Join(t.TempDir(), "new")
	files := fstest.MapFS{"a.yaml": {Data: []byte("a")}, "b.yaml": {Mode: os.ModeDir}}
	if _, err := copyAll(files, to); err == nil {
		t.Error("no error")
	}
	if _, err := os.Lstat(to); err == nil {
		t.Error("something was left")
	}
}

// full takes nothing, as a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, syscall.ENOSPC }

// A full disk is reported, whatever is printed to it.
func TestFullOutputIsTold(t *testing.T) {
	atHome(t)
	for _, args := range [][]string{{"--help"}, {"--version"}, {"size", "--help"}, {"note"}, {"recipe", "check", "own.yaml"}, {"chart", "quayside-skirt.yaml"}, {"demo"},
		{"config"}, {"explain", "FA0302"}, {"schema", "body"}, {"recipe", "list"}, {"note", "list"}, {"demo", "--copy-to", "again"}} {
		if err := os.WriteFile("own.yaml", []byte("kind: recipe\nname: own\ntitle: skirt of my own\nbased_on: straight-skirt\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		if code := Main(args, streams{in: strings.NewReader(""), out: full{}, err: &said}); code != exitUsage || !strings.Contains(said.String(), "no space left on device") {
			t.Errorf("%v: %d, %s", args, code, said.String())
		}
	}
}

// Settings that another user put into a folder above are passed over, and that is said.
func TestSettingsOfAnotherUser(t *testing.T) {
	atHome(t)
	if err := os.WriteFile(projectFile, []byte("format: json\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir("below", 0o700); err != nil {
		t.Fatal(err)
	}
	t.Chdir("below")
	if _, said := ranAs("recipe", "list"); !strings.HasPrefix(said, "[") {
		t.Errorf("my own settings: %s", said)
	}
	mine := user
	t.Cleanup(func() { user = mine })
	user = func() int { return mine() + 1 }
	code, said := ranAs("recipe", "list")
	if code != exitAnswered || strings.Contains(said, `"title"`) || !strings.Contains(said, "belong to another user of this machine, and are passed over") {
		t.Errorf("another's settings: %d, %s", code, said)
	}
}

// What would move a terminal's cursor or turn what follows is shown, and in a file refused.
func TestEscapesAreShown(t *testing.T) {
	atHome(t)
	const odd = "\x1b[31mred\u202e"
	name := "skirt" + odd + ".yaml"
	text, err := os.ReadFile("quayside-skirt.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for path, text := range map[string]string{name: string(text), "named.yaml": "kind: body\nname: \"a\\e[31m\\u202e\"\nmeasurements: {waist: 75 cm, hip: 112 cm}\n",
		"book/bodies/" + odd + ".yaml": "kind: body\nname: x\nmeasurements: {hip: 99 cm}\n", "odd.csv": "name,waist,hip\n" + odd + ",75 cm,112 cm\n"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, args := range [][]string{
		{"size", name, "--body", "wren.yaml"}, {"why", name, "--body", "wren.yaml"}, {"why", name, "--body", "wren.yaml", "--format", "json"},
		{"plan", name, "--body", "wren.yaml"}, {"plan", name, "--body", "wren.yaml", "-o", "plan.md"}, {"chart", name}, {"chart", name, "--to", "md"}, {"chart", name, "--to", "csv"},
		{"size", "quayside-skirt.yaml", "--body", "named.yaml"}, {"size", "quayside-skirt.yaml", "--body", odd}, {"measure", odd, "--set", "hip=99cm"},
		{"note", "list"}, {"note", "list", "--format", "json"}, {"note", "export", odd + ".zip"}, {"batch", "quayside-skirt.yaml", "--bodies", "odd.csv", "-o", "-"},
		{"recipe", "show", odd}, {odd}, {"size", "--" + odd}, {"explain", odd},
	} {
		_, said := ranAs(args...)
		if strings.ContainsAny(said, "\x1b\u202e") {
			t.Errorf("%v: %q", args, said)
		}
	}
	if plan, err := os.ReadFile("plan.md"); err != nil || strings.ContainsAny(string(plan), "\x1b\u202e") {
		t.Errorf("%v, %q", err, plan)
	}
	if code, said := ranAs("size", "quayside-skirt.yaml", "--body", "named.yaml"); code != exitUsage || !strings.Contains(said, "named.yaml:2:7") || !strings.Contains(said, "U+001B") {
		t.Errorf("%d, %s", code, said)
	}
}
