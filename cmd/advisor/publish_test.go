package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fitadvisor/cmd/advisor/internal/chromium"
)

// site is the demo as it is published, once for all tests.
var site = struct {
	sync.Once
	dir, said string
	code      int
}{}

// published is the folder of the demo's pages, with the engine in it.
func published(t testing.TB) string {
	t.Helper()
	site.Do(func() {
		var err error
		if site.dir, err = os.MkdirTemp("", "fitadvisor-site-"); err != nil {
			t.Fatal(err)
		}
		chromium.AtEnd(func() { _ = os.RemoveAll(site.dir) })
		site.code, site.said = ranAs("publish", "demo/quayside-skirt.yaml", "demo/lantern-top.yaml", "-o", site.dir)
	})
	if site.code != exitAnswered {
		t.Fatal(site.said)
	}
	return site.dir
}

// engineFile is the engine that was built for the demo's pages.
func engineFile(t testing.TB) string {
	return filepath.Join(published(t), "advisor", "engine.wasm.gz")
}

// served is a folder on a server.
func served(t testing.TB, dir string) *httptest.Server {
	t.Helper()
	s := httptest.NewServer(http.FileServer(http.Dir(dir)))
	t.Cleanup(s.Close)
	return s
}

// visitPublished opens a page and waits for the engine.
func visitPublished(t testing.TB, c context.Context, address string) {
	t.Helper()
	chromium.Visit(t, c, address, "#form")
	chromium.Until(t, c, `!!(document.documentElement.dataset.turn || document.documentElement.dataset.failed)`)
	if failed := chromium.Ask[string](t, c, `document.documentElement.dataset.failed || ""`); failed != "" {
		t.Fatal(failed)
	}
}

// typeInto types a measurement and waits for the answer.
func typeInto(t testing.TB, c context.Context, id, value string) {
	t.Helper()
	turn := chromium.Ask[float64](t, c, `Number(document.documentElement.dataset.turn)`)
	chromium.Do(t, c, fmt.Sprintf(`(() => { const f = document.getElementById(%q); f.value = %q; f.dispatchEvent(new Event("input", {bubbles: true})); })()`, id, value))
	chromium.Until(t, c, fmt.Sprintf(`Number(document.documentElement.dataset.turn) > %v`, turn))
}

func sizeSaid(t testing.TB, c context.Context) string {
	t.Helper()
	return chromium.Ask[string](t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size || ""`)
}

// The README's skirt, from its published page, with the network cut once it is there: it answers, follows what is typed, tells
// what is wrong at its field, and has the sheet to print.
func TestPublishedWithoutNetwork(t *testing.T) {
	dir := published(t)
	for _, width := range []int64{360, 1280} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			c := chromium.Window(t, width)
			server := served(t, dir)
			visitPublished(t, c, server.URL+"/quayside-skirt.html")
			server.CloseClientConnections()
			server.Close()
			typeInto(t, c, "m_hip", "44 1/4")
			if got := sizeSaid(t, c); got != "18" {
				t.Fatalf("it is size %q, not 18", got)
			}
			if got := chromium.Ask[string](t, c, `document.getElementById("said").textContent`); !strings.Contains(got, "with 4 3/4 in of ease where 5 in is wanted") {
				t.Errorf("it does not say why: %s", got)
			}
			chromium.Picture(t, c, fmt.Sprintf("published-%d", width))
			if got := chromium.Ask[string](t, c, `document.querySelector("[role=status]").textContent`); got != "Your size: 18" {
				t.Errorf("a screen reader says %q", got)
			}
			typeInto(t, c, "m_hip", "38")
			if got := sizeSaid(t, c); got != "12" {
				t.Errorf("it is size %q, not 12", got)
			}
			typeInto(t, c, "m_hip", "38 inn")
			if got := chromium.Ask[string](t, c, `document.getElementById("n-hip").textContent`); !strings.Contains(got, "inn") {
				t.Errorf("what is wrong is not said at the field: %q", got)
			}
			typeInto(t, c, "m_hip", "44 1/4")
			if n := bytes.Count(chromium.Printed(t, c), []byte("/Type /Page\n")); n < 2 {
				t.Errorf("the sheet is printed on %d pages", n)
			}
			if !chromium.Ask[bool](t, c, `document.getElementById("sheet").hidden`) {
				t.Error("the sheet stays when it is printed")
			}
			chromium.Do(t, c, `dispatchEvent(new Event("beforeprint"))`)
			if got := chromium.Ask[string](t, c, `document.getElementById("sheet").hidden ? "" : document.getElementById("sheet").innerText`); !strings.Contains(got, "18") || !strings.Contains(got, "Quayside skirt") {
				t.Errorf("the sheet is %q", got)
			}
			if over := chromium.Ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("it reaches %v points beyond the window", over)
			}
		})
	}
}

// The pages of a folder, opened from a disk, say that they want a site.
func TestPublishedFolderFromDisk(t *testing.T) {
	c := chromium.Window(t, 360)
	chromium.Visit(t, c, "file://"+filepath.Join(published(t), "quayside-skirt.html"), "#form")
	chromium.Until(t, c, `document.readyState === "complete"`)
	if got := chromium.Ask[string](t, c, `document.getElementById("status").textContent`); !strings.Contains(got, "publish it as one file") {
		t.Errorf("it says %q", got)
	}
}

// mostEngine is how large the engine may be as it is sent, in bytes: everybody fetches it.
const mostEngine = 3_500_000

func TestEngineIsSmall(t *testing.T) {
	info, err := os.Stat(engineFile(t))
	if err != nil {
		t.Fatal(err)
	}
	if info.Size() > mostEngine {
		t.Errorf("the engine has %d bytes, compressed; at most %d", info.Size(), mostEngine)
	}
	notices, err := os.ReadFile(filepath.Join(filepath.Dir(engineFile(t)), "notices.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range []string{"Go", "github.com/expr-lang/expr", "go.yaml.in/yaml/v3"} {
		if !strings.Contains(string(notices), "\n==== "+of+", ") {
			t.Errorf("there is no licence of %s", of)
		}
	}
}

// In a frame of another site's page it answers, and says to that page how high it is and nothing else.
func TestPublishedInAFrame(t *testing.T) {
	site := served(t, published(t))
	around := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprintf(w, "<!DOCTYPE html><script>heard = []; addEventListener('message', (e) => heard.push(e.data))</script><iframe id=size src=\"%s/quayside-skirt.html\" width=360 height=500></iframe>",
			strings.Replace(site.URL, "127.0.0.1", "localhost", 1))
	}))
	defer around.Close()
	c := chromium.Window(t, 1280)
	chromium.Visit(t, c, around.URL, "iframe")
	chromium.Until(t, c, `heard.length > 0`)
	if got := chromium.Ask[string](t, c, `JSON.stringify([...new Set(heard.flatMap((h) => Object.keys(h)))].sort())`); got != `["advisor","height"]` {
		t.Errorf("the page around it hears of %s", got)
	}
	if got := chromium.Ask[float64](t, c, `heard.at(-1).height`); got < 200 {
		t.Errorf("the page says that it is %v high", got)
	}
}

// One file, opened from the disk, answers; it needs nothing besides itself.
func TestPublishedAsOneFile(t *testing.T) {
	at := filepath.Join(t.TempDir(), "top.html")
	if code, said := ranAs("publish", "demo/lantern-top.yaml", "--one-file", "-o", at, "--engine", engineFile(t)); code != exitAnswered {
		t.Fatal(said)
	}
	page, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	for _, needs := range []string{` src="`, `<link`, "url(", "@import", "https://"} {
		if strings.Contains(string(page), needs) {
			t.Errorf("it needs %s", needs)
		}
	}
	c := chromium.Window(t, 360)
	visitPublished(t, c, "file://"+at)
	typeInto(t, c, "m_bust", "90 cm")
	if got := sizeSaid(t, c); got == "" {
		t.Errorf("it does not answer: %s", chromium.Ask[string](t, c, `document.getElementById("answer").innerText`))
	}
	chromium.Picture(t, c, "published-file-360")
}

// The whole page is published by the command, and again from its own engine, which is not one for the pages of patterns. Opened in
// a browser it begins.
func TestPublishedWholePage(t *testing.T) {
	dir := t.TempDir()
	one, two := filepath.Join(dir, "one"), filepath.Join(dir, "two")
	engine := filepath.Join(one, "advisor", "engine.wasm.gz")
	for _, args := range [][]string{{"-o", one}, {"-o", two, "--engine", engine}} {
		if code, said := ranAs(append([]string{"publish", "--all"}, args...)...); code != exitAnswered || !strings.Contains(said, "The page is in "+args[1]+": 9 files, ") {
			t.Fatalf("%d: %s", code, said)
		}
	}
	err := filepath.WalkDir(one, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		at, _ := filepath.Rel(one, path)
		first, _ := os.ReadFile(path)
		if again, err := os.ReadFile(filepath.Join(two, at)); err != nil || !bytes.Equal(first, again) {
			t.Errorf("%s differs where its engine is taken again: %v", at, err)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if code, said := ranAs("publish", "demo/quayside-skirt.yaml", "-o", filepath.Join(dir, "three"), "--engine", engine); code != exitUsage || !strings.Contains(said, "is the engine of other pages") {
		t.Errorf("it is taken for the engine of a pattern's page: %d, %s", code, said)
	}
	c := chromium.Window(t, 360)
	chromium.Visit(t, c, served(t, one).URL+"/", "#begin")
	chromium.Until(t, c, `!document.getElementById("begin").hidden`)
	chromium.Do(t, c, `document.getElementById("begin").click()`)
	chromium.Until(t, c, `!!document.querySelector(".garments")`)
}
