package notebook

import (
	"archive/zip"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fitadvisor/cmd/advisor/disk"
)

// others is a folder of someone else's, with a file in it.
func others(t *testing.T) (folder string, stands func()) {
	t.Helper()
	folder = t.TempDir()
	path := filepath.Join(folder, "precious.txt")
	if err := os.WriteFile(path, []byte("precious"), fileMode); err != nil {
		t.Fatal(err)
	}
	return folder, func() {
		t.Helper()
		names, _ := os.ReadDir(folder)
		if text, err := os.ReadFile(path); err != nil || string(text) != "precious" || len(names) != 1 {
			t.Errorf("the folder of someone else's was changed: %v, %q, %v", names, text, err)
		}
	}
}

// A link in the place of what the notebook writes leads nowhere.
func TestLinksAreRefused(t *testing.T) {
	for _, tt := range []struct{ at, to, why string }{
		{savingDir, "", savingDir + " in the notebook is a link, or no plain file or folder"},
		{lockFile, "precious.txt", lockFile + " in the notebook is a link, or no plain file or folder"},
		{"bodies", "", "path escapes from parent"},
		{"bodies/wren.yaml", "precious.txt", "bodies/wren.yaml in the notebook is a link, or no plain file or folder"},
	} {
		t.Run(tt.at, func(t *testing.T) {
			folder, stands := others(t)
			b := Book{t.TempDir()}
			at := filepath.Join(b.Dir, filepath.FromSlash(tt.at))
			if err := os.MkdirAll(filepath.Dir(at), folderMode); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink(filepath.Join(folder, tt.to), at); err != nil {
				t.Fatal(err)
			}
			path := b.Path(bodies, "wren")
			err := b.Save(path, []byte("precious"), []byte("new"))
			var not *SaveError
			if !errors.As(err, &not) || not.Error() != path+" was not saved: "+tt.why || not.Hint() == "" {
				t.Errorf("got %v", err)
			}
			stands()
		})
	}
}

// What a killed program left is removed; what lies beside it is not.
func TestSweepsItsOwn(t *testing.T) {
	b := Book{t.TempDir()}
	root := openRoot(t, b)
	write(t, b, map[string]string{".saving/mine.yaml": "mine", ".saving/.advisor-new-": "mine too"})
	at, err := disk.Stage(root, savingDir, []byte("left"), fileMode)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Save(b.Path(bodies, "wren"), nil, []byte("x")); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{".saving/mine.yaml": "mine", ".saving/.advisor-new-": "mine too", "bodies/wren.yaml": "x"}
	if diff := cmp.Diff(want, tree(t, b)); diff != "" {
		t.Errorf("%s was left: %s", at, diff)
	}
}

func openRoot(t *testing.T, b Book) *os.Root {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(b.Dir, savingDir), folderMode); err != nil {
		t.Fatal(err)
	}
	root, err := os.OpenRoot(b.Dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	return root
}

// An archive is not written over what is in it, nor in the place of anything but a plain file.
func TestExportReplacesNoFileOfTheNotebook(t *testing.T) {
	b := Book{t.TempDir()}
	write(t, b, map[string]string{"bodies/wren.yaml": "x", "bodies/.hidden": "y"})
	link, pipe := filepath.Join(t.TempDir(), "link.zip"), filepath.Join(t.TempDir(), "folder.zip")
	if err := os.Link(b.Path(bodies, "wren"), link); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(pipe, folderMode); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{b.Path(bodies, "wren"), filepath.Join(b.Dir, "bodies", ".hidden"), link, pipe} {
		_, _, err := b.Export(to)
		var input *disk.InputError
		var plain *disk.NotPlainError
		if !errors.As(err, &input) && !errors.As(err, &plain) {
			t.Errorf("%s: %v", to, err)
		}
	}
	if diff := cmp.Diff(map[string]string{"bodies/wren.yaml": "x", "bodies/.hidden": "y"}, tree(t, b)); diff != "" {
		t.Error(diff)
	}
}

// Where one file cannot be put into its place, those before it are taken back.
func TestImportTakesBack(t *testing.T) {
	b := Book{t.TempDir()}
	if err := os.Symlink("nowhere", filepath.Join(b.Dir, "sewn")); err != nil {
		t.Fatal(err)
	}
	names := []string{"bodies/x.yaml", "cloths/y.yaml", "sewn/z.yaml", "patterns/p.yaml"}
	_, _, err := b.Import(packed(t, names, names, fileMode))
	var not *SaveError
	if !errors.As(err, &not) || not.Path != "sewn/z.yaml" {
		t.Errorf("got %v", err)
	}
	if err := os.Remove(filepath.Join(b.Dir, "sewn")); err != nil {
		t.Fatal(err)
	}
	if left := tree(t, b); len(left) > 0 {
		t.Errorf("left: %v", left)
	}
}

// Names that another system could not write, or a person not read, are no names here.
func TestImportRefusesNames(t *testing.T) {
	for _, name := range []string{"a:b.yaml", "a?.yaml", "a\x1b[31m.yaml", "a\u202e.yaml", "a. ", "a.", "a\xff.yaml", strings.Repeat("a", longestFile) + ".yaml"} {
		b := Book{filepath.Join(t.TempDir(), "book")}
		at := "bodies/" + name
		_, _, err := b.Import(packed(t, []string{at}, []string{at}, fileMode))
		var refused *ArchiveError
		if _, there := os.Stat(b.Dir); !errors.As(err, &refused) || there == nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// One rule for names: what may be typed may be exported and imported, and can be written.
func TestNamesThatFit(t *testing.T) {
	dir := quick(t).Dir
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.String().Draw(rt, "name")
		if CheckName(name) == nil && !fits(name+"-1000"+extension) {
			rt.Errorf("%q may be typed and not exported", name)
		}
		if !fits(name) {
			return
		}
		at := filepath.Join(dir, name)
		if err := os.WriteFile(at, nil, fileMode); err != nil || !utf8.ValidString(name) {
			rt.Errorf("%q cannot be written: %v", name, err)
		}
		_ = os.Remove(at)
	})
}

// An archive that says it is larger than may be is not unpacked.
func TestImportLooksAtSizesFirst(t *testing.T) {
	path := filepath.Join(t.TempDir(), "it.zip")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	z := zip.NewWriter(f)
	for _, name := range []string{"tables/a.csv", "tables/b.csv"} {
		w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CompressedSize64: 1, UncompressedSize64: mostTotal/2 + 1})
		if err != nil {
			t.Fatal(err)
		}
		_, _ = w.Write([]byte{0})
	}
	if err := errors.Join(z.Close(), f.Close()); err != nil {
		t.Fatal(err)
	}
	_, _, err = Book{t.TempDir()}.Import(path)
	var refused *ArchiveError
	if !errors.As(err, &refused) || refused.Why != "its files are larger than 256 MB together" {
		t.Errorf("got %v", err)
	}
}
