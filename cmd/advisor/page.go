package main

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"syscall"

	"github.com/spf13/cobra"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/page"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/engine/quantity"
)

// pageFlags is what `page` is asked.
type pageFlags struct {
	demo, quiet bool
	listen      string
	display
}

func newPage(s streams) *cobra.Command {
	p := &pageFlags{}
	c := &cobra.Command{
		Use:   "page",
		Short: "Do it all in a page of your browser",
		Long: "Serves a page to the browser of this machine, and to no other: who, what, in which cloth, what\n" +
			"you like, and the answer, which follows as you type. What you save goes to your notebook.\n" +
			"Ctrl-C ends it.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			d, err := p.begin(s)
			if err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			return p.serve(ctx, d)
		},
	}
	f := c.Flags()
	f.BoolVar(&p.demo, "demo", false, "with the demo's files, in a notebook that is thrown away")
	f.StringVar(&p.listen, "listen", "127.0.0.1:0", "the address, of this machine alone; port 0 is any that is free, with a fixed one bookmarks last")
	f.BoolVar(&p.quiet, "no-open", false, "do not open the browser")
	f.StringVar(&p.units, "units", "", "cm or in, to begin with")
	p.command = c
	p.format, p.color = "text", "auto"
	p.book(c)
	return c
}

// serve serves the page until it is told to stop.
func (p *pageFlags) serve(ctx context.Context, d *files) error {
	o := page.Options{Files: *d.Anew(), Units: quantity.Unit(p.units), Today: func() string { day, _ := question.Day(p.set.Today); return day }} // no error: what is set is a day
	o.Library.Folders = o.Library.Folders[:len(p.set.Recipes)]                                                                                   // the notebook's is opened for each question
	if p.demo {
		remove, err := demoBook(&o)
		if err != nil {
			return err
		}
		defer remove()
	}
	l, err := page.Listen(p.listen)
	if err != nil {
		return err
	}
	server, err := page.New(o, l.Addr().String())
	if err != nil {
		_ = l.Close() // nothing was served
		return err
	}
	if o.Book.Dir != "" {
		release, err := o.Book.Claim(server.Home())
		if err != nil {
			_ = l.Close() // nothing was served
			return err
		}
		defer release()
	}
	var again func()
	again = func() { fmt.Fprintf(d.s.out, "To open it once more, for another browser: %s\n", server.Once(again)) }
	fmt.Fprintf(d.s.out, "Your page is at %s\nThat address opens it once. It is private to this machine; Ctrl-C ends it.\n", server.Once(again))
	if !p.quiet {
		remove := open(server)
		defer remove()
	}
	return server.Serve(ctx, l)
}

// demoBook puts the demo's files into a notebook that is removed at the end.
func demoBook(o *page.Options) (remove func(), err error) {
	dir, err := os.MkdirTemp("", "fitadvisor-demo-")
	if err != nil {
		return nil, err
	}
	remove = func() { _ = os.RemoveAll(dir) }
	o.Book = notebook.Book{Dir: dir}
	o.Today = func() string { return demoToday }
	if o.Units == "" {
		o.Units = quantity.In
	}
	o.Open = map[string]string{"body": "wren", "pattern": "quayside-skirt", "cloth": "washed-linen"}
	for _, kept := range []struct{ kind, name string }{
		{"body", "wren"}, {"pattern", "quayside-skirt"}, {"pattern", "lantern-top"}, {"pattern", "harbour-jacket"},
		{"cloth", "washed-linen"}, {"cloth", "cotton-jersey"}, {"cloth", "wool-twill"},
	} {
		text, err := fs.ReadFile(demoFiles, "demo/"+kept.name+".yaml")
		if err != nil {
			remove()
			return nil, err
		}
		kind, _ := notebook.KindOf(kept.kind)
		if err := o.Book.Save(filepath.Clean(o.Book.Path(kind, kept.name)), nil, text); err != nil {
			remove()
			return nil, err
		}
	}
	return remove, nil
}

// open shows the page in the person's browser, where there is a way to; the address is printed for whoever has none.
func open(server *page.Server) (remove func()) {
	remove = func() {}
	door, made, err := page.Doorway(server.Once(func() { remove() })) // which nobody knows before it is made
	if err != nil {
		return remove
	}
	remove = made
	if c := opener(door); c.Start() == nil {
		go func() { _ = c.Wait() }()
	}
	return remove
}

// opener is the program that opens a file in the browser.
func opener(path string) *exec.Cmd {
	switch runtime.GOOS {
	case "darwin":
		return exec.Command("open", path)
	case "windows":
		return exec.Command("rundll32", "url.dll,FileProtocolHandler", path)
	}
	return exec.Command("xdg-open", path)
}
