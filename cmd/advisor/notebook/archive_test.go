package notebook

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// What is exported and imported again is the same, byte by byte; the archive too.
func TestExportImport(t *testing.T) {
	name := rapid.StringMatching(`(bodies|patterns|cloths|garments|makes|sewn)/[a-zä0-9 ]{1,8}(\.yaml|\.csv)`)
	in := quick(t).Dir
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(in, "")
		if err != nil {
			t.Fatal(err)
		}
		a, b := Book{filepath.Join(dir, "a")}, Book{filepath.Join(dir, "b")}
		files := rapid.MapOfN(name, rapid.String(), 0, 5).Draw(rt, "files")
		write(t, a, files)
		first, second := filepath.Join(dir, "1.zip"), filepath.Join(dir, "2.zip")
		n, left, err := a.Export(first)
		if err != nil || n != len(files) || len(left) > 0 {
			rt.Fatalf("%d, %v, %v", n, left, err)
		}
		if added, same, err := b.Import(first); err != nil || added != len(files) || same != 0 {
			rt.Fatalf("%d, %d, %v", added, same, err)
		}
		if diff := cmp.Diff(files, tree(t, b)); diff != "" {
			rt.Error(diff)
		}
		if added, same, err := b.Import(first); err != nil || added != 0 || same != len(files) {
			rt.Errorf("again: %d, %d, %v", added, same, err)
		}
		if _, _, err := b.Export(second); err != nil {
			rt.Fatal(err)
		}
		one, _ := os.ReadFile(first)
		two, _ := os.ReadFile(second)
		if len(one) == 0 || !bytes.Equal(one, two) {
			rt.Error("two archives of the same files differ")
		}
	})
}

func TestExportSaysWhatIsLeftOut(t *testing.T) {
	b := Book{t.TempDir()}
	write(t, b, map[string]string{"bodies/wren.yaml": "x", "bodies/.hidden": "x", "sewn/old/skirt.yaml": "x", "notes.txt": "x"})
	n, left, err := b.Export(filepath.Join(t.TempDir(), "x.zip"))
	if diff := cmp.Diff([]string{"bodies/.hidden", "sewn/old"}, left); diff != "" || n != 1 || err != nil {
		t.Error(n, err, diff)
	}
}

// packed is an archive of files as they are named, with a manifest of some.
func packed(t *testing.T, names, listed []string, mode fs.FileMode) string {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	put := func(name string, mode fs.FileMode, text []byte) {
		h := &zip.FileHeader{Name: name}
		h.SetMode(mode)
		w, err := z.CreateHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = w.Write(text)
	}
	for _, name := range names {
		put(name, mode, []byte("x"))
	}
	if listed != nil {
		m := manifest{Version: manifestVersion}
		for _, entry := range listed {
			path, sum, _ := strings.Cut(entry, "=")
			if sum == "" {
				sum = hash([]byte("x"))
			}
			m.Files = append(m.Files, struct {
				Path   string `json:"path"`
				SHA256 string `json:"sha256"`
			}{path, sum})
		}
		text, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		put(manifestName, 0o600, text)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "it.zip")
	if err := os.WriteFile(path, out.Bytes(), fileMode); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestImportRefuses(t *testing.T) {
	one := func(name string) []string { return []string{name} }
	tests := []struct {
		name          string
		files, listed []string
		mode          fs.FileMode
		want          string
	}{
		{"up", one("../x.yaml"), one("../x.yaml"), 0, `it holds "../x.yaml", which belongs into no folder of a notebook`},
		{"up within", one("bodies/../../x"), one("bodies/../../x"), 0, `it holds "bodies/../../x", which belongs into no folder of a notebook`},
		{"from the root", one("/etc/x"), one("/etc/x"), 0, `it holds "/etc/x", which belongs into no folder of a notebook`},
		{"another folder", one("other/x.yaml"), one("other/x.yaml"), 0, `it holds "other/x.yaml", which belongs into no folder of a notebook`},
		{"the lock", one(".lock"), one(".lock"), 0, `it holds ".lock", which belongs into no folder of a notebook`},
		{"hidden", one("bodies/.x"), one("bodies/.x"), 0, `it holds "bodies/.x", which belongs into no folder of a notebook`},
		{"another system's sign", one(`bodies/..\x`), one(`bodies/..\x`), 0, `it holds "bodies/..\\x", which belongs into no folder of a notebook`},
		{"a link", one("bodies/x.yaml"), one("bodies/x.yaml"), fs.ModeSymlink, `it holds "bodies/x.yaml", which belongs into no folder of a notebook`},
		{"twice", []string{"bodies/x.yaml", "bodies/x.yaml"}, one("bodies/x.yaml"), 0, `it holds "bodies/x.yaml" twice`},
		{"no list", one("bodies/x.yaml"), nil, 0, "it has no manifest.json that says what is in it"},
		{"not listed", []string{"bodies/x.yaml", "bodies/y.yaml"}, one("bodies/x.yaml"), 0, `it holds "bodies/y.yaml", which its manifest.json does not list`},
		{"missing", one("bodies/x.yaml"), []string{"bodies/x.yaml", "bodies/y.yaml"}, 0, `"bodies/y.yaml" in it is missing, or not as it was exported`},
		{"changed", one("bodies/x.yaml"), one("bodies/x.yaml=00"), 0, `"bodies/x.yaml" in it is missing, or not as it was exported`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := Book{filepath.Join(t.TempDir(), "book")}
			path := packed(t, tt.files, tt.listed, tt.mode|0o600)
			_, _, err := b.Import(path)
			var refused *ArchiveError
			if !errors.As(err, &refused) || refused.Why != tt.want {
				t.Errorf("got %v, want %s", err, tt.want)
			}
			if _, err := os.Lstat(b.Dir); err == nil {
				t.Error("something was written")
			}
		})
	}
}

func TestImportOverwritesNothing(t *testing.T) {
	b := Book{t.TempDir()}
	write(t, b, map[string]string{"bodies/x.yaml": "mine"})
	_, _, err := b.Import(packed(t, []string{"bodies/x.yaml", "bodies/y.yaml"}, []string{"bodies/x.yaml", "bodies/y.yaml"}, 0o600))
	var there *TakenError
	if !errors.As(err, &there) || there.Files != "bodies/x.yaml" {
		t.Error(err)
	}
	if diff := cmp.Diff(map[string]string{"bodies/x.yaml": "mine"}, tree(t, b)); diff != "" {
		t.Error(diff)
	}
}

// FuzzImport reads archives changed at random: each is taken whole, or nothing of it.
func FuzzImport(f *testing.F) {
	empty, err := pack(nil, nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(empty)
	f.Fuzz(func(t *testing.T, archive []byte) {
		files, err := unpack("it.zip", archive)
		for at := range files {
			if err != nil || !local(at) {
				t.Errorf("%q is taken, %v", at, err)
			}
		}
	})
}
