package page

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// A key lets in one browser, once, and is not what the browser is known by from then on.
func TestKeyIsUsedOnce(t *testing.T) {
	p := open(t)
	used := make(chan bool, 1)
	address := p.s.Once(func() { used <- true })
	for i, want := range []int{http.StatusOK, http.StatusForbidden, http.StatusForbidden} {
		reply, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		reply.Body.Close()
		if reply.StatusCode != want {
			t.Errorf("asked %d times before: got %d, want %d", i, reply.StatusCode, want)
		}
		for _, c := range reply.Cookies() {
			if strings.Contains(address, c.Value) || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || len(c.Path) < 20 {
				t.Errorf("the cookie is %v", c)
			}
		}
	}
	if !<-used {
		t.Error("nothing says that the key was used")
	}
	key := strings.TrimPrefix(p.s.Once(nil), p.site.URL+"/?key=")
	for _, c := range []struct{ path, cookie string }{{"/", p.s.secret}, {"/after", p.s.secret}, {p.s.path, p.s.secret}, {p.s.path + "/", ""}, {p.s.path + "/", key}, {"/?key=", ""}, {"/x/../" + p.s.path + "/../after", p.s.secret}} {
		r := p.get(p.site.URL + c.path)
		r.AddCookie(&http.Cookie{Name: p.s.cookie, Value: c.cookie})
		reply, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		reply.Body.Close()
		if reply.StatusCode != http.StatusForbidden {
			t.Errorf("%s with the cookie %q: got %d", c.path, c.cookie, reply.StatusCode)
		}
	}
}

// Another program of this machine that the browser visits is not sent the cookie, though a browser keeps cookies apart by
// host alone; and the file that leads the browser to the page can be read by nobody else.
func TestBrowserSendsNoOtherPortTheCookie(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	path, remove, err := Doorway(p.s.Once(nil))
	if err != nil {
		t.Fatal(err)
	}
	defer remove()
	for at, want := range map[string]os.FileMode{path: 0o600, filepath.Dir(path): 0o700 | os.ModeDir} {
		if info, err := os.Stat(at); err != nil || info.Mode() != want {
			t.Errorf("%s: %v, %v", at, info.Mode(), err)
		}
	}
	run(t, c, chromedp.Navigate("file://"+path), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
	if at := ask[string](t, c, `location.href`); at != p.home {
		t.Errorf("the browser is at %s", at)
	}
	var mu sync.Mutex
	var sent []string
	other := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		defer mu.Unlock()
		sent = append(sent, r.Header.Get("Cookie"))
		http.SetCookie(w, &http.Cookie{Name: "other", Value: "x", Path: "/"})
	}))
	defer other.Close()
	for _, path := range []string{"/", "/after", "/"} {
		run(t, c, chromedp.Navigate(other.URL+path))
	}
	mu.Lock()
	defer mu.Unlock()
	if all := strings.Join(sent, "\n"); len(sent) < 3 || !strings.Contains(all, "other=x") || strings.Contains(all, p.s.secret) || strings.Contains(all, p.s.cookie) {
		t.Errorf("the other program was sent %q", sent)
	}
	run(t, c, chromedp.Navigate(p.home), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
}

// A bookmark lasts: at the same port, after the program was started anew and let the browser in, the address of an earlier
// start leads to the same view of this one. Whoever was not let in reads why, and nothing of where the page is.
func TestBrowserBookmarkLasts(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	for _, bookmark := range []string{"/" + strings.Repeat("A", 26) + "/recipes", "/" + strings.Repeat("A", 26) + "/?at=cloth", "/"} {
		_, view, _ := strings.Cut(strings.TrimPrefix(bookmark, "/"), "/")
		run(t, c, chromedp.Navigate(p.site.URL+bookmark))
		eventually(t, c, fmt.Sprintf("location.href === %q && document.readyState === %q", p.home+view, "complete"))
	}
	r := p.get(p.site.URL + "/" + strings.Repeat("A", 26) + "/")
	r.Header.Set("Sec-Fetch-Dest", "document")
	reply, err := http.DefaultClient.Do(r) // without the cookie
	if err != nil {
		t.Fatal(err)
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil || reply.StatusCode != http.StatusForbidden || !strings.Contains(string(text), "This page is private") || strings.Contains(string(text), p.s.path) {
		t.Errorf("%d, %v:\n%s", reply.StatusCode, err, text)
	}
}
