package page

import (
	"bytes"
	"io"
	"maps"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/notebook"
)

// had is the answer to a request, as bytes.
func (p *opened) had(r *http.Request) (*http.Response, []byte) {
	p.Helper()
	reply, err := p.browser.Do(r)
	if err != nil {
		p.Fatal(err)
	}
	defer reply.Body.Close()
	body, err := io.ReadAll(reply.Body)
	if err != nil {
		p.Fatal(err)
	}
	return reply, body
}

// bring is the form that brings a copy back, as a browser sends it.
func (p *opened) bring(token, name string, archive []byte) *http.Request {
	p.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	_ = form.WriteField("token", token) // a buffer takes all
	part, err := form.CreateFormFile("archive", name)
	if err != nil {
		p.Fatal(err)
	}
	_, _ = part.Write(archive)
	_ = form.Close()
	r, err := http.NewRequest(http.MethodPost, p.at(bookPath), &body)
	if err != nil {
		p.Fatal(err)
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	r.Header.Set("Origin", p.site.URL)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return r
}

// kept are the files of a notebook that have a name there, with their texts.
func kept(t testing.TB, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, k := range notebook.Kinds {
		files, err := notebook.Book{Dir: dir}.Files(k)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			text, err := os.ReadFile(f.Path)
			if err != nil {
				t.Fatal(err)
			}
			all[k.Folder+"/"+filepath.Base(f.Path)] = string(text)
		}
	}
	return all
}

// The copy that the page gives is the archive of `note export`, byte for byte; brought back into an empty notebook it makes the
// same one, and brought back twice it changes nothing.
func TestCopyOfTheNotebook(t *testing.T) {
	p := open(t)
	reply, archive := p.had(p.get(p.at(copyPath)))
	if reply.StatusCode != http.StatusOK || reply.Header.Get("Content-Type") != "application/zip" || reply.Header.Get("Content-Disposition") != `attachment; filename="notebook-2026-11-25.zip"` {
		t.Fatalf("%d, %v", reply.StatusCode, reply.Header)
	}
	path := filepath.Join(t.TempDir(), "notebook.zip")
	if _, _, err := p.s.Book.Export(path); err != nil {
		t.Fatal(err)
	}
	exported, err := os.ReadFile(path)
	if err != nil || !bytes.Equal(exported, archive) {
		t.Fatalf("the copy has %d bytes, the export %d: %v", len(archive), len(exported), err)
	}
	other := afresh(t)
	for _, want := range []string{"New from the copy: 5 files. Already here and just the same: 0 files.", "New from the copy: 0 files. Already here and just the same: 5 files."} {
		if reply, page := other.had(other.bring(other.s.token, "my copy.zip", archive)); reply.StatusCode != http.StatusOK || !strings.Contains(string(page), want) || !strings.Contains(string(page), "It has 5 files") {
			t.Errorf("%d, and it does not say %q:\n%s", reply.StatusCode, want, page)
		}
	}
	if diff := cmp.Diff(kept(t, p.dir), kept(t, other.dir)); diff != "" {
		t.Error(diff)
	}
}

// What cannot be brought back is refused whole, with why.
func TestRefusesOtherCopies(t *testing.T) {
	p := open(t)
	_, archive := p.had(p.get(p.at(copyPath)))
	wren := filepath.Join(p.dir, "bodies", "wren.yaml")
	text, err := os.ReadFile(wren)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(wren, append(text, "# later\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	before := maps.Clone(kept(t, p.dir))
	for _, c := range []struct {
		name, token, file string
		archive           []byte
		status            int
		say               string
	}{
		{"another version of a file", p.s.token, "a.zip", archive, http.StatusUnprocessableEntity, "The copy <code>a.zip</code> holds other versions of what is in the notebook: bodies/wren.yaml"},
		{"no archive", p.s.token, "a.zip", []byte("x"), http.StatusUnprocessableEntity, "The copy <code>a.zip</code> is not taken: it is no archive, or a damaged one"},
		{"markup for a name", p.s.token, "<img src=x onerror=alert(1)>.zip", []byte("x"), http.StatusUnprocessableEntity, "&lt;img src=x"},
		{"another page's form", "x", "a.zip", archive, http.StatusForbidden, "before the program was started anew"},
		{"more than is taken", p.s.token, "a.zip", make([]byte, mostArchive+1), http.StatusRequestEntityTooLarge, "more than 32 MB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			reply, page := p.had(p.bring(c.token, c.file, c.archive))
			if reply.StatusCode != c.status || !strings.Contains(string(page), c.say) {
				t.Errorf("%d, and it does not say %q:\n%s", reply.StatusCode, c.say, page)
			}
			if diff := cmp.Diff(before, kept(t, p.dir)); diff != "" {
				t.Error(diff)
			}
		})
	}
	if status, page := p.ask(p.post(bookPath, map[string][]string{})); status != http.StatusUnprocessableEntity || !strings.Contains(page, "Choose the file of a copy first") {
		t.Errorf("without a file it is %d:\n%s", status, page)
	}
}
