package page

import (
	"crypto/rand"
	_ "embed"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// door is how a browser is let in. An address with a key lets in one browser, once: that gets a cookie with a secret of its
// own. Browsers send a cookie to every port of a machine, so this one holds below a path that nobody can guess: it is sent
// to no other program there.
type door struct {
	path   string // below which the page is
	cookie string
	secret string // of the cookie

	entering sync.Mutex
	keys     map[string]func() // that were not used yet, with what follows when they are
}

func newDoor(port string) door {
	return door{path: "/" + rand.Text(), cookie: "fitadvisor-" + port, secret: rand.Text(), keys: map[string]func(){}}
}

func (d *door) newKey(then func()) string {
	d.entering.Lock()
	defer d.entering.Unlock()
	key := rand.Text()
	d.keys[key] = then
	return key
}

// use uses up a key; it tells whether it was one.
func (d *door) use(key string) bool {
	d.entering.Lock()
	defer d.entering.Unlock()
	for k, then := range d.keys {
		if !equal(k, key) {
			continue
		}
		delete(d.keys, k)
		if then != nil {
			go then() // which may make another key
		}
		return true
	}
	return false
}

// letIn tells whether the browser was let in: it asks below the path, and has the cookie.
func (d *door) letIn(r *http.Request) bool {
	if !strings.HasPrefix(r.URL.Path, d.path+"/") {
		return false
	}
	for _, c := range r.CookiesNamed(d.cookie) {
		if equal(c.Value, d.secret) {
			return true
		}
	}
	return false
}

// welcome gives the browser its cookie and leads to the page. It is a page itself, since a browser that comes from elsewhere
// sends no strict cookie to where it is only redirected.
func (d *door) welcome(w http.ResponseWriter) {
	http.SetCookie(w, &http.Cookie{Name: d.cookie, Value: d.secret, Path: d.path + "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write([]byte(leading(d.path + "/"))) // the browser is gone
}

// doorScript is where the script is that leads a bookmark on. It has no secret in it.
const doorScript = "/door.js"

//go:embed assets/door.js
var doorText []byte

func (d *door) script(w http.ResponseWriter) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	_, _ = w.Write(doorText) // the browser is gone
}

// elsewhere answers whoever asks for a page at another path than this start's, as a bookmark of an earlier one does. It says
// nothing about the path: a browser that was let in knows it, keeps it where only pages of this very address and port can read
// it, and is led on by the script. Any other browser reads why it stays out.
func (d *door) elsewhere(w http.ResponseWriter) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(http.StatusForbidden)
	_, _ = fmt.Fprintf(w, "<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"+
		"<title>Private</title>\n<script src=%q></script>\n<p>%s</p>\n</html>\n", doorScript, isPrivate) // the browser is gone
}

// isPrivate is said to whoever is not let in.
const isPrivate = "This page is private. Open the whole address that `advisor page` printed last; it has a key in it that opens it once."

// leading is a page that leads on to an address.
func leading(address string) string {
	return fmt.Sprintf("<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<meta http-equiv=\"refresh\" content=\"0; url=%[1]s\">\n"+
		"<title>Your page</title>\n<p><a href=\"%[1]s\">Your page</a></p>\n</html>\n", address)
}

// Doorway is a file that leads a browser to an address, which stands in no argument of a program then: only the person
// themselves can read it, in a folder that only they can open.
func Doorway(address string) (path string, remove func(), err error) {
	dir, err := os.MkdirTemp("", "fitadvisor-page-") // which nobody else can open
	if err != nil {
		return "", nil, err
	}
	remove = func() { _ = os.RemoveAll(dir) }
	path = filepath.Join(dir, "open.html")
	if err := os.WriteFile(path, []byte(leading(address)), 0o600); err != nil {
		remove()
		return "", nil, err
	}
	return path, remove, nil
}
