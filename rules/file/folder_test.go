package file_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/rules/file"
)

// folder makes a folder of files, below which nothing can lead out.
func folder(t *testing.T, files map[string]string) (string, file.Folder) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "mine")
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { root.Close() })
	return dir, file.Folder{Name: "./mine", Files: root.FS()}
}

func link(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skipf("no links here: %v", err)
	}
}

func TestFolderDocs(t *testing.T) {
	dir, f := folder(t, map[string]string{
		"b.yaml":          "kind: rules\ntopic: b\n",
		"a.yaml":          "kind: rules\ntopic: a\n",
		"json.yaml":       `{"kind": "rules"}`,
		"misspelt.yaml":   "kind: rule\n",
		"unsaid.yaml":     "topic: cloth\n",
		"list.yaml":       "[kind]\n",
		"broken.yaml":     "kind: rules # the cloth\nrules: [\n",
		"nothing.yaml":    "",
		"ci.yaml":         "on: push\n",
		"halfway.yaml":    "rules:\n  - {id: [\n",
		"skirt.yaml":      "kind: recipe\n",
		"half.yaml":       "kind: 'recipe'\nzones: [\n",
		".hidden.yaml":    "kind: rules\n",
		"notes.txt":       "kind: rules\n",
		"old.yml":         "kind: rules\n",
		"below/more.yaml": "kind: rules\n",
		"dir.yaml/x":      "",
	})
	link(t, "a.yaml", filepath.Join(dir, "link.yaml"))
	link(t, os.DevNull, filepath.Join(dir, "out.yaml"))
	var got []string
	for _, d := range f.Docs("rules", "topic", "rules") {
		got = append(got, strings.TrimPrefix(d.Name(), "./mine/")+" "+d.Kind())
	}
	want := []string{"a.yaml rules", "b.yaml rules", "broken.yaml rules", "halfway.yaml ", "json.yaml rules", "link.yaml rules",
		"misspelt.yaml rule", "out.yaml ", "unsaid.yaml "}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestFolderOpen(t *testing.T) {
	dir, f := folder(t, map[string]string{"a.yaml": "kind: recipe\n", "below/b.yaml": "kind: recipe\n", "../secret.yaml": "kind: recipe\n", "large.yaml": strings.Repeat("#", file.MaxBytes+1)})
	link(t, "a.yaml", filepath.Join(dir, "inside.yaml"))
	link(t, "../secret.yaml", filepath.Join(dir, "outside.yaml"))
	link(t, "nowhere.yaml", filepath.Join(dir, "dangling.yaml"))
	link(t, "..", filepath.Join(dir, "up"))
	tests := []struct{ name, want string }{
		{"a.yaml", ""},
		{"below/b.yaml", ""},
		{"inside.yaml", ""},
		{"below", "./mine/below: error[FA0101]: cannot read ./mine/below: it is no ordinary file"},
		{"outside.yaml", "./mine/outside.yaml: error[FA0101]: ./mine/outside.yaml leads out of its folder, or nowhere"},
		{"dangling.yaml", "./mine/dangling.yaml: error[FA0101]: ./mine/dangling.yaml leads out of its folder, or nowhere"},
		{"large.yaml", "./mine/large.yaml:1:1: error[FA0103]: the file is larger than 256 kB"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := f.Open(tt.name)
			if d == nil {
				t.Fatal("there is no such file")
			}
			var got string
			if err := d.Problems().Err(); err != nil {
				got = err.Error()
			}
			if got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
	for _, name := range []string{"none.yaml", "below/none.yaml"} {
		if d := f.Open(name); d != nil {
			t.Errorf("%s is there: %v", name, d.Problems())
		}
	}
	for _, name := range []string{"../secret.yaml", "up/secret.yaml", filepath.Join(dir, "a.yaml"), "below/../../secret.yaml"} {
		if d := f.Open(name); d == nil || !d.Problems().HasErrors() || d.Root().Exists() {
			t.Errorf("%s is read", name)
		}
	}
	if f.OpenAs("recipe", "a.yaml") == nil || f.OpenAs("rules", "a.yaml") != nil {
		t.Error("the kind is not minded")
	}
}
