package notebook

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var bodies, sewn = Kinds[0], Kinds[4]

// write puts files into a notebook as a person would.
func write(t *testing.T, b Book, files map[string]string) {
	t.Helper()
	for at, text := range files {
		path := filepath.Join(b.Dir, filepath.FromSlash(at))
		if err := os.MkdirAll(filepath.Dir(path), folderMode); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), fileMode); err != nil {
			t.Fatal(err)
		}
	}
}

// tree is all that a notebook holds, its own files left aside.
func tree(t *testing.T, b Book) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(b.Dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == lockFile {
			return err
		}
		text, err := os.ReadFile(path)
		at, _ := filepath.Rel(b.Dir, path)
		files[filepath.ToSlash(at)] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// quick is a folder in memory where there is one: what is tested is what is left, not the disk.
func quick(t *testing.T) Book {
	t.Helper()
	const memory = "/dev/shm"
	if info, err := os.Stat(memory); err != nil || !info.IsDir() {
		return Book{t.TempDir()}
	}
	dir, err := os.MkdirTemp(memory, "notebook")
	if err != nil {
		return Book{t.TempDir()}
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return Book{dir}
}

func TestFind(t *testing.T) {
	b := Book{t.TempDir()}
	write(t, b, map[string]string{"bodies/wren.yaml": "", "bodies/wren-as-a-child.yml": "", "bodies/teal.json": "", "bodies/teal.yaml": "", "bodies/.hidden.yaml": "", "bodies/notes.txt": ""})
	files, err := b.Files(bodies)
	in := filepath.Join(b.Dir, "bodies")
	if diff := cmp.Diff([]File{{"teal", in + "/teal.json"}, {"teal", in + "/teal.yaml"}, {"wren-as-a-child", in + "/wren-as-a-child.yml"}, {"wren", in + "/wren.yaml"}}, files); diff != "" || err != nil {
		t.Error(diff, err)
	}
	if files, err := b.Files(sewn); len(files) > 0 || err != nil {
		t.Errorf("%v, %v", files, err)
	}
	tests := []struct{ name, path, err, hint string }{
		{"wren", "bodies/wren.yaml", "", ""},
		{"wren-as-a-child", "bodies/wren-as-a-child.yml", "", ""},
		{"wre", "", "there is no file wre, and no body of that name in the notebook", "did you mean `wren-as-a-child` or `wren`?"},
		{"xyzzy", "", "there is no file xyzzy, and no body of that name in the notebook", "`advisor note list --kind body` lists the names"},
		{"wrens", "", "there is no file wrens, and no body of that name in the notebook", "did you mean `wren`?"},
		{"teal", "", "the notebook has several files for the body `teal`: teal.json, teal.yaml", "name the one you mean by its path, or delete the other"},
	}
	for _, tt := range tests {
		path, err := b.Find(bodies, tt.name)
		if tt.err == "" {
			if err != nil || path != filepath.Join(b.Dir, tt.path) {
				t.Errorf("%s: %s, %v", tt.name, path, err)
			}
			continue
		}
		var no *NoNameError
		if !errors.As(err, &no) || no.Error() != tt.err || no.Hint() != tt.hint {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if _, err := b.Find(sewn, "x"); err == nil || err.(*NoNameError).Hint() != "the notebook has no sewn garment yet" {
		t.Error(err)
	}
}

func TestNames(t *testing.T) {
	for _, name := range []string{"wren", "Wren at 12", "žena_2"} {
		if err := CheckName(name); err != nil {
			t.Error(err)
		}
	}
	for _, name := range []string{"", ".", "..", "../x", "a/b", `a\b`, "a:b", " x", "-x", "a.yaml", "a\nb", strings.Repeat("a", 201)} {
		if CheckName(name) == nil {
			t.Errorf("%q is taken", name)
		}
	}
	for text, want := range map[string]string{"Quayside skirt (new), 2026": "quayside-skirt-new-2026", "../..": "me", strings.Repeat("ä", 150): strings.Repeat("ä", 100)} {
		if got := Slug(text); got != want || CheckName(got) != nil {
			t.Errorf("%s became %s", text, got)
		}
	}
}

func TestSave(t *testing.T) {
	b := Book{filepath.Join(t.TempDir(), "new", "book")}
	path := b.Path(bodies, "wren")
	if err := b.Save(path, nil, []byte("one\ntwo\nthree\n")); err != nil {
		t.Fatal(err)
	}
	if err := b.Save(path, []byte("one\ntwo\nthree\n"), []byte("one\n2\nthree\n")); err != nil {
		t.Fatal(err)
	}
	for _, at := range []string{"", "bodies", savingDir} {
		if info, err := os.Stat(filepath.Join(b.Dir, at)); err != nil || info.Mode().Perm() != folderMode {
			t.Errorf("%s: %v, %v", at, info.Mode(), err)
		}
	}
	for _, at := range []string{"bodies/wren.yaml", lockFile} {
		if info, err := os.Stat(filepath.Join(b.Dir, at)); err != nil || info.Mode().Perm() != fileMode {
			t.Errorf("%s: %v, %v", at, info.Mode(), err)
		}
	}
}

// A file that was changed since it was read is left as it is, and both texts are kept.
func TestChangedMeanwhile(t *testing.T) {
	tests := []struct{ name, there, was, now, differs string }{
		{"changed", "a\nb\nc\n", "a\nx\nc\n", "a\ny\nz\nc\n", "  - b\n  + y\n  + z"},
		{"made", "a\n", "", "b\n", "  - a\n  + b"},
		{"deleted", "", "a\n", "b\n", "  + b"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := Book{t.TempDir()}
			path := b.Path(bodies, "wren")
			want := map[string]string{"bodies/wren.yaml.unsaved": "older", "bodies/wren.yaml.unsaved-2": tt.now}
			var was []byte
			if tt.was != "" {
				was = []byte(tt.was)
			}
			if tt.there != "" {
				want["bodies/wren.yaml"] = tt.there
			}
			write(t, b, map[string]string{"bodies/wren.yaml.unsaved": "older"})
			if tt.there != "" {
				write(t, b, map[string]string{"bodies/wren.yaml": tt.there})
			}
			err := b.Save(path, was, []byte(tt.now))
			var changed *ChangedError
			if !errors.As(err, &changed) || changed.Differs != tt.differs || changed.Hint() == "" {
				t.Errorf("%v", err)
			}
			if diff := cmp.Diff(want, tree(t, b)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestAdd(t *testing.T) {
	b := Book{t.TempDir()}
	for _, want := range []string{"skirt", "skirt-2", "skirt-3"} {
		if got, err := b.Add(sewn, "skirt", []byte(want)); err != nil || got != want {
			t.Errorf("%s, %v", got, err)
		}
	}
}

// A folder that cannot be written to, or a file in its place: an error that says what was not saved.
func TestNotSaved(t *testing.T) {
	t.Run("a file where the folder belongs", func(t *testing.T) {
		b := Book{t.TempDir()}
		write(t, b, map[string]string{"bodies": "a file"})
		path := b.Path(bodies, "wren")
		err := b.Save(path, nil, []byte("x"))
		var not *SaveError
		if !errors.As(err, &not) || not.Error() != path+" was not saved: not a directory" || not.Hint() == "" {
			t.Error(err)
		}
	})
	t.Run("a folder that is read-only", func(t *testing.T) {
		if os.Geteuid() == 0 {
			t.Skip("root may write everywhere")
		}
		b := Book{t.TempDir()}
		write(t, b, map[string]string{"bodies/wren.yaml": "old"})
		path := b.Path(bodies, "wren")
		if err := os.Chmod(filepath.Dir(path), 0o500); err != nil {
			t.Fatal(err)
		}
		err := b.Save(path, []byte("old"), []byte("new"))
		var not *SaveError
		if !errors.As(err, &not) || not.Error() != path+" was not saved: permission denied" {
			t.Error(err)
		}
		if diff := cmp.Diff(map[string]string{"bodies/wren.yaml": "old"}, tree(t, b)); diff != "" {
			t.Error(diff)
		}
	})
}
