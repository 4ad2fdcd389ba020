// Package page is the whole job in a local web page: who, what, in which cloth, what you like, and the answer, which
// follows as one types. It shows the documents of engine/report and writes to the notebook only.
//
// [Listen] takes an address that only this machine reaches, [New] makes the page, and [Server.Serve] serves it until its
// context ends. Every request goes through the guard of guard.go: the page is for the browser of the person who started
// it, and for no other site, program or person.
package page

import (
	"cmp"
	"context"
	"crypto/rand"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"mime"
	"net"
	"net/http"
	"path"
	"regexp"
	"runtime"
	"sync"
	"time"

	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Options is what the page works with.
type Options struct {
	question.Files
	Units quantity.Unit     // in which lengths are shown first; empty: centimetres
	Today func() string     // the date, YYYY-MM-DD
	Open  map[string]string // the names that are open first, by the kind of file

	forgets bool // the notebook is in the browser's own storage, which may be forgotten
}

// Server is the page.
type Server struct {
	Options
	door
	token  string
	stale  string        // what is said of a form with another token
	hosts  []string      // under which it is asked
	turns  chan struct{} // as many as may compute at once
	mux    *http.ServeMux
	views  *template.Template
	drafts drafts

	saving sync.Mutex
	did    map[string]string // where what a form asked for is seen, by the form

	reading  sync.Mutex
	known    []*engine.Recipe // the garment types, as they were read last
	unusable []note           // why the others cannot be used
}

// What a request may take.
const (
	mostBytes   = 1 << 20 // of a form
	mostArchive = 32 << 20
	mostHeaders = 16 << 10
	readTime    = 10 * time.Second
	writeTime   = 30 * time.Second
	idleTime    = 2 * time.Minute
	waitTime    = 5 * time.Second // for a turn to compute, and for requests to end
)

//go:embed assets
var assets embed.FS

// unread is what no browser reads of a script or a style: indentation, empty lines, and lines of comment.
var unread = regexp.MustCompile(`(?m)^[ \t]*(//.*|/\*.*\*/)?\n|^[ \t]+`)

// NotLocalError says that an address is not this machine's own.
type NotLocalError struct{ Address string }

func (e *NotLocalError) Error() string {
	return fmt.Sprintf("--listen is an address of this machine alone, as in 127.0.0.1:8080, not %q", e.Address)
}

// Hint says why.
func (e *NotLocalError) Hint() string {
	return "the page shows your measurements, so nobody else's machine may reach it"
}

// Listen opens an address that only this machine reaches. Errors: [NotLocalError].
func Listen(address string) (net.Listener, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, &NotLocalError{address}
	}
	if host == "localhost" {
		host = "127.0.0.1"
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return nil, &NotLocalError{address}
	}
	l, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		return nil, fmt.Errorf("cannot listen at %s: %w", address, err)
	}
	return l, nil
}

// New makes the page for an address it will be asked at, as host and port.
func New(o Options, address string) (*Server, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, &NotLocalError{address}
	}
	s := &Server{Options: o, door: newDoor(port), token: rand.Text(), hosts: []string{net.JoinHostPort(host, port), "localhost:" + port},
		stale: "The page was opened before the program was started anew. Open the address that `advisor page` printed."}
	return s, s.ready()
}

// InBrowser is the page in the browser itself, where nobody else can ask for it, so it has neither door nor key. Its addresses begin
// with a path, which is taken off what it is asked. The token is a secret that only the notebook's storage has.
func InBrowser(o Options, path, token string) (http.Handler, error) {
	o.forgets = true
	s := &Server{Options: o, door: door{path: path}, token: token, stale: "Another page sent this form. Open this page itself, and fill it in there."}
	if err := s.ready(); err != nil {
		return nil, err
	}
	return s.unguarded(s.mux), nil
}

// ready makes what every page needs.
func (s *Server) ready() (err error) {
	s.Units = cmp.Or(s.Units, quantity.Cm)
	s.drafts, s.did = drafts{left: map[string]left{}, said: map[string]note{}}, map[string]string{}
	s.turns = make(chan struct{}, max(2, runtime.NumCPU()))
	s.Sources = diag.Sources{}
	engine.CompileEarly(s.Rules())
	if err := s.Problems.Err(); err != nil {
		return err
	}
	if s.views, err = views().Clone(); err != nil {
		return err
	}
	s.views.Funcs(template.FuncMap{"base": func() string { return s.path }, "once": rand.Text, "unkept": s.unkept, "forgets": func() bool { return s.forgets }})
	return s.routes()
}

func (s *Server) routes() error {
	files, err := fs.Sub(assets, "assets")
	if err != nil {
		return err
	}
	s.mux = http.NewServeMux()
	s.mux.Handle("GET /assets/", http.StripPrefix("/assets/", http.FileServerFS(files)))
	for name, text := range map[string]func() ([]byte, error){
		"document.css": func() ([]byte, error) { return []byte(parts.Style()), nil },
		"page.css":     func() ([]byte, error) { return assets.ReadFile("assets/page.css") },
		"page.js":      func() ([]byte, error) { return assets.ReadFile("assets/page.js") },
	} {
		whole, err := text()
		if err != nil {
			return err
		}
		lean := unread.ReplaceAll(whole, nil)
		s.mux.HandleFunc("GET /assets/"+name, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
			_, _ = w.Write(lean) // an error: the browser is gone
		})
	}
	s.mux.HandleFunc("GET /{$}", s.first)
	s.mux.HandleFunc("POST /{$}", s.whole)
	s.mux.HandleFunc("GET /new", s.home)
	s.mux.HandleFunc("POST /new", s.begin)
	s.mux.HandleFunc("POST /answer", s.fragment)
	s.mux.HandleFunc("POST /plan", s.plan)
	s.mux.HandleFunc("POST /made", s.made)
	s.mux.HandleFunc("GET /after", s.after)
	s.mux.HandleFunc("POST /after", s.tell)
	s.mux.HandleFunc("GET "+bookPath, s.book)
	s.mux.HandleFunc("POST "+bookPath, s.bringBack)
	s.mux.HandleFunc("GET "+copyPath, s.takeCopy)
	s.mux.HandleFunc("GET /recipes", s.recipes)
	s.mux.HandleFunc("GET /recipes/{name}", s.recipe)
	s.mux.HandleFunc("GET /recipes/edit", s.openRecipe)
	s.mux.HandleFunc("POST /recipes/edit", s.editRecipe)
	s.mux.HandleFunc("POST /recipes/check", s.checkRecipe)
	return nil
}

// Home is the page's own address, for the browser that was let in.
func (s *Server) Home() string { return "http://" + s.hosts[0] + s.path + "/" }

// Once is an address that lets one browser in, once; then, if it is not nil, is called when it did.
func (s *Server) Once(then func()) string {
	return "http://" + s.hosts[0] + "/?key=" + s.newKey(then)
}

// Handler is the page behind its guard.
func (s *Server) Handler() http.Handler { return s.guard(http.StripPrefix(s.path, s.mux)) }

// Serve serves until the context ends, and lets requests that have begun end.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{Handler: s.Handler(), ReadHeaderTimeout: readTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeaders}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), waitTime)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		return server.Close()
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
