package notebook

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// A draft is there until it is saved or not wanted, for nobody else to read, and in no archive.
func TestDrafts(t *testing.T) {
	b := Book{Dir: filepath.Join(t.TempDir(), "book")}
	if got, err := b.Draft("a size"); got != nil || err != nil || b.Drafts() != nil {
		t.Errorf("at first there is %q, %v", got, err)
	}
	for _, text := range []string{"one", "two"} {
		if err := b.KeepDraft("a size", []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := b.Draft("a size"); string(got) != text || err != nil {
			t.Errorf("got %q, %v", got, err)
		}
	}
	if info, err := os.Stat(filepath.Join(b.Dir, ".drafts", "a size.json")); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others may read it: %v, %v", info.Mode(), err)
	}
	if n, left, err := b.Export(filepath.Join(t.TempDir(), "x.zip")); n != 0 || len(left) > 0 || err != nil {
		t.Errorf("it is in the archive: %d, %v, %v", n, left, err)
	}
	if got := fmt.Sprint(b.Drafts()); got != "[a size]" {
		t.Errorf("got %s", got)
	}
	for range 2 {
		if err := b.KeepDraft("a size", nil); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := b.Draft("a size"); got != nil || err != nil || len(b.Drafts()) > 0 {
		t.Errorf("it is still there: %q, %v", got, err)
	}
	if err := b.KeepDraft("../x", []byte("x")); err == nil {
		t.Error("a name leads out of the folder")
	}
	// A folder that is a link leads nowhere.
	elsewhere := t.TempDir()
	if err := os.Remove(filepath.Join(b.Dir, ".drafts")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(elsewhere, filepath.Join(b.Dir, ".drafts")); err != nil {
		t.Skipf("the file system has no links: %v", err)
	}
	if err := b.KeepDraft("a size", []byte("x")); err == nil {
		t.Error("it is written where a link leads")
	}
	if left, err := os.ReadDir(elsewhere); err != nil || len(left) > 0 {
		t.Errorf("elsewhere there is %v, %v", left, err)
	}
}
