// Package chromium drives a real browser in tests, and tries pages there with axe-core.
//
// [Window] is a window, [Run], [Ask], [Do] and [Until] are what is done in it, [Violations] what axe-core finds. A package that
// uses it runs its tests as [Tests]. Where the browser is missing a test says so and is passed over; with CI=true it fails.
package chromium

import (
	"archive/tar"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Patience is how long the browser may take for one thing: it hangs, or is there
// long before.
const Patience = 60 * time.Second

// Lacking skips a test where a tool is missing, and fails it where everything has
// to be there.
func Lacking(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("there is no %s, and CI=true", what)
	}
	t.Skipf("there is no %s here; the page is tried in a real browser where there is one", what)
}

// chromium is the browser that all tests share, and how it is ended.
var chromium = struct {
	sync.Mutex
	c    context.Context
	ends []func()
}{}

// Tests are the tests of a package, after which the browser is ended.
type Tests struct{ *testing.M }

// Run runs them.
func (m Tests) Run() int {
	code := m.M.Run()
	for i := len(chromium.ends) - 1; i >= 0; i-- {
		chromium.ends[i]()
	}
	return code
}

// AtEnd does something when the tests are over.
func AtEnd(do func()) {
	chromium.Lock()
	defer chromium.Unlock()
	chromium.ends = append(chromium.ends, do)
}

// Window is a window of the browser, with an empty profile.
func Window(t testing.TB, width int64) context.Context {
	t.Helper()
	chromium.Lock()
	defer chromium.Unlock()
	if chromium.c == nil {
		start(t)
	}
	c, leave := chromedp.NewContext(chromium.c, chromedp.WithNewBrowserContext())
	t.Cleanup(leave)
	if err := chromedp.Do(c, chromedp.EmulateViewport(width, 800)); err != nil { // the window lives as long as this context
		t.Fatal(err)
	}
	return c
}

// start starts the browser.
func start(t testing.TB) {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		Lacking(t, "Chromium")
	}
	dir, err := os.MkdirTemp("", "fitadvisor-browser-")
	if err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(dir), chromedp.WSURLReadTimeout(Patience), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	c, stop := chromedp.NewExecAllocator(context.Background(), options...)
	c, leave := chromedp.NewContext(c)
	chromium.ends = append(chromium.ends, func() { _ = os.RemoveAll(dir) }, stop, leave)
	if err := chromedp.Do(c); err != nil { // the browser lives as long as its first context
		t.Fatal(err)
	}
	chromium.c = c
}

// Run does things in the page.
func Run(t testing.TB, c context.Context, actions ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	within, stop := context.WithTimeout(c, Patience)
	defer stop()
	if err := chromedp.Do(within, actions...); err != nil {
		t.Fatal(err)
	}
}

// Visit opens a page, and waits for an element of it.
func Visit(t testing.TB, c context.Context, address, element string) {
	t.Helper()
	Run(t, c, chromedp.Navigate(address), chromedp.WaitReady(chromedp.CSS(element)))
}

// Ask evaluates an expression in the page.
func Ask[T any](t testing.TB, c context.Context, expression string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	within, stop := context.WithTimeout(c, Patience)
	defer stop()
	v, err := chromedp.Run(within, chromedp.Evaluate[T](expression, options...))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Page is a window with a page in it.
type Page = context.Context

// Await evaluates an expression that is there later, however long it takes.
func Await[T any](t testing.TB, c Page, expression string) T {
	t.Helper()
	v, err := chromedp.Run(c, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Printed is the page as it is printed, a PDF.
func Printed(t testing.TB, c Page) []byte {
	t.Helper()
	out, err := chromedp.Run(c, chromedp.PrintToPDF())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Do runs a script in the page.
func Do(t testing.TB, c context.Context, script string) {
	t.Helper()
	Ask[bool](t, c, script+";true")
}

// Until waits for an expression to hold.
func Until(t testing.TB, c context.Context, expression string) {
	t.Helper()
	within, stop := context.WithTimeout(c, Patience)
	defer stop()
	for {
		_, err := chromedp.Run(within, chromedp.Poll[bool]("("+expression+") || undefined", chromedp.WithPollingTimeout(Patience)))
		switch {
		case err == nil:
			return
		case within.Err() != nil || !leftPage(err):
			t.Fatalf("%s: %v", expression, err)
		}
	}
}

// leftPage tells whether a page was left for another while it was asked.
func leftPage(err error) bool {
	for _, said := range []string{"Cannot find context", "context was destroyed", "navigated or closed"} {
		if strings.Contains(err.Error(), said) {
			return true
		}
	}
	return false
}

// pictured is the folder that pictures of the page are put into; empty: none are taken.
var pictured = sync.OnceValue(func() string {
	defer os.Unsetenv("ADVISOR_PICTURES") // which is no setting of the advisor
	return os.Getenv("ADVISOR_PICTURES")
})()

// Picture takes a picture of what is in the window.
func Picture(t testing.TB, c context.Context, name string) {
	t.Helper()
	if pictured == "" {
		return
	}
	png, err := chromedp.Run(c, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(pictured, name+".png"), png, 0o644); err != nil {
		t.Fatal(err)
	}
}

// axeVersion is that of axe-core, which tries a page against WCAG.
const axeVersion = "4.10.3"

// Axe is the text of axe-core, from the npm registry, in a folder that is thrown away.
func Axe(t testing.TB) string {
	t.Helper()
	npm, err := exec.LookPath("npm")
	if err != nil {
		Lacking(t, "npm")
	}
	pack := exec.Command(npm, "pack", "--silent", "axe-core@"+axeVersion)
	pack.Dir = t.TempDir()
	if out, err := pack.CombinedOutput(); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("npm pack: %v\n%s", err, out)
		}
		Lacking(t, "axe-core to be had")
	}
	f, err := os.Open(filepath.Join(pack.Dir, "axe-core-"+axeVersion+".tgz"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	for archive := tar.NewReader(z); ; {
		h, err := archive.Next()
		if errors.Is(err, io.EOF) {
			t.Fatal("axe-core has no axe.min.js")
		}
		if err != nil {
			t.Fatal(err)
		}
		if h.Name == "package/axe.min.js" {
			text, err := io.ReadAll(archive)
			if err != nil {
				t.Fatal(err)
			}
			return string(text)
		}
	}
}

// Violations are what axe-core finds in the page, told as failures.
func Violations(t testing.TB, c context.Context, script, view string) {
	t.Helper()
	Do(t, c, script)
	found := Ask[[]string](t, c, `axe.run(document).then((r) => r.violations.flatMap((v) => v.nodes.map((n) => v.id + ": " + n.target.join(" ") + ": " + n.failureSummary)))`, chromedp.EvalAwaitPromise)
	for _, f := range found {
		t.Errorf("%s: %s", view, f)
	}
}
