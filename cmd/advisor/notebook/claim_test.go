package notebook

import (
	"path/filepath"
	"strings"
	"testing"
)

// A second program is told where the first is, until that ends.
func TestOneAtATime(t *testing.T) {
	b := Book{Dir: filepath.Join(t.TempDir(), "book")}
	release, err := b.Claim("http://127.0.0.1:1/")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Claim("http://127.0.0.1:2/"); err == nil || !strings.Contains(err.Error(), "http://127.0.0.1:1/") {
		t.Errorf("the second is told %v", err)
	}
	release()
	release, err = b.Claim("http://127.0.0.1:3/")
	if err != nil {
		t.Fatalf("after the end of the first: %v", err)
	}
	release()
}
