package main

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitadvisor/cmd/advisor/internal/chromium"
)

// axe-core finds nothing against WCAG on a published page: as it opens, answered, with everything opened, with a slip, and on the
// list of patterns; on a telephone and on a laptop.
func TestPublishedAccessible(t *testing.T) {
	script := chromium.Axe(t)
	server := served(t, published(t))
	for _, width := range []int64{360, 1280} {
		c := chromium.Window(t, width)
		for _, name := range []string{"quayside-skirt", "lantern-top"} {
			visitPublished(t, c, server.URL+"/"+name+".html")
			chromium.Violations(t, c, script, fmt.Sprintf("%s as it opens, %d wide", name, width))
			typeInto(t, c, map[string]string{"quayside-skirt": "m_hip", "lantern-top": "m_bust"}[name], "44 1/4 in")
			chromium.Do(t, c, `document.querySelectorAll("details").forEach((d) => { d.open = true; })`)
			chromium.Violations(t, c, script, fmt.Sprintf("%s answered, all opened, %d wide", name, width))
			chromium.Do(t, c, `document.getElementById("sheet").hidden = false; document.getElementById("page").hidden = true`)
			chromium.Picture(t, c, fmt.Sprintf("published-sheet-%s-%d", name, width))
			chromium.Violations(t, c, script, fmt.Sprintf("the sheet of %s, %d wide", name, width))
			chromium.Do(t, c, `document.getElementById("sheet").hidden = true; document.getElementById("page").hidden = false`)
			typeInto(t, c, "stretch", "wide")
			chromium.Violations(t, c, script, fmt.Sprintf("a slip, %s, %d wide", name, width))
			if over := chromium.Ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s, %d wide: it reaches %v points beyond the window", name, width, over)
			}
		}
		chromium.Visit(t, c, server.URL+"/", ".patterns")
		chromium.Violations(t, c, script, fmt.Sprintf("the list, %d wide", width))
	}
}

// hostile is what would run in a page that does not escape what it shows, in each way that a page has.
const hostile = `</script><script>document.title = "run"</script><img src=x onerror='document.title = "run"'><svg onload='document.title="run"'>"'` + "`${document.title='run'}`{{.}}javascript:document.title='run'"

// Markup in a maker's files and in a buyer's fields is shown as it was typed, and runs nowhere; a mistake in a policy would show
// as a violation that is none of a script's.
func TestPublishedRunsNothing(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	quoted := "'" + strings.ReplaceAll(hostile, "'", "''") + "'"
	for name, text := range map[string]string{
		"skirt.yaml": "kind: pattern\nname: " + quoted + "\nmaker: " + quoted + "\nrecipe: gathered-skirt\nunits: in\nsizes: [" + quoted + ", 18, 20]\nbody: {hip: [42, 44, 46]}\nfinished: {hip: [47, 49, 51]}\n",
		"texts.yaml": "kind: texts\nwords: {title: " + quoted + ", intro: " + quoted + ", cut: " + quoted + ", measure.hip: " + quoted + ", empty: " + quoted + "}\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	engine := engineFile(t)
	for _, args := range [][]string{{"-o", "site"}, {"--one-file", "-o", "one.html"}} {
		if code, said := ranAs(append([]string{"publish", "skirt.yaml", "--texts", "texts.yaml", "--engine", engine}, args...)...); code != exitAnswered {
			t.Fatal(said)
		}
	}
	server := served(t, "site")
	for _, address := range []string{server.URL + "/", "file://" + filepath.Join(dir, "one.html")} {
		c := chromium.Window(t, 1280)
		visitPublished(t, c, address)
		for _, typed := range []struct{ id, value string }{{"m_hip", hostile}, {"m_hip", "42"}, {"stretch", hostile}, {"stretch", ""}, {"m_hip", "44 1/4"}} {
			typeInto(t, c, typed.id, typed.value)
			if got := chromium.Ask[string](t, c, `document.title`); got == "run" {
				t.Fatalf("%s: with %q in %s something was run", address, typed.value, typed.id)
			}
			if n := chromium.Ask[int](t, c, `document.querySelectorAll("#said script, #said img, #said [onload], .notes img, .notes script, h1 img, #sheet img, [onerror]").length`); n > 0 {
				t.Errorf("%s: with %q in %s there are %d elements of the hostile text", address, typed.value, typed.id, n)
			}
		}
		if got := sizeSaid(t, c); got != "18" {
			t.Errorf("%s: size %q, not 18", address, got)
		}
		// Where a text gets into the page all the same, the policy lets nothing of it run.
		chromium.Do(t, c, `document.getElementById("said").innerHTML = "<img src=x onerror='document.title = \"run\"'>"; const s = document.createElement("script"); s.textContent = "document.title = 'run'"; document.body.append(s)`)
		chromium.Until(t, c, `document.querySelector("#said img").complete`)
		if got := chromium.Ask[string](t, c, `document.title`); got == "run" {
			t.Errorf("%s: the policy lets a script run that stands in the page", address)
		}
		chromium.Do(t, c, `setTimeout(() => { try { document.body.dataset.eval = String(new Function("return 1")()); } catch (e) { document.body.dataset.eval = e.name; } })`)
		chromium.Until(t, c, `!!document.body.dataset.eval`)
		if got := chromium.Ask[string](t, c, `document.body.dataset.eval`); got != "EvalError" {
			t.Errorf("%s: a text can be run as a script: %s", address, got)
		}
	}
}

// What is asked of the server is the site's own files, all before the first answer; nothing that is typed is in any of it, and
// nothing is left in the browser but those files. A new edition takes the place of the one before.
func TestPublishedAsksForItsFilesAlone(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(published(t))); err != nil {
		t.Fatal(err)
	}
	var mu sync.Mutex
	var asked []string
	files := http.FileServer(http.Dir(dir))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		asked = append(asked, r.Method+" "+r.URL.String())
		mu.Unlock()
		files.ServeHTTP(w, r)
	}))
	defer server.Close()
	seen := func() []string { mu.Lock(); defer mu.Unlock(); return slices.Clone(asked) }
	c := chromium.Window(t, 1280)
	visitPublished(t, c, server.URL+"/quayside-skirt.html")
	chromium.Await[bool](t, c, `navigator.serviceWorker.ready.then(() => true)`)
	before := seen()
	for _, hip := range []string{"44 1/4", "41.7373", "x"} {
		typeInto(t, c, "m_hip", hip)
	}
	if after := seen(); len(after) != len(before) {
		t.Errorf("once loaded it asked for %v", after[len(before):])
	}
	for _, a := range before {
		if !regexp.MustCompile(`^GET /(advisor/[a-z_.-]+|[a-z-]+\.(html|js)|)$|favicon`).MatchString(a) {
			t.Errorf("it asked for %s", a)
		}
	}
	kept := chromium.Await[string](t, c, `(async () => JSON.stringify([localStorage.length, sessionStorage.length, document.cookie, (await indexedDB.databases()).length, await caches.keys()]))()`)
	if !strings.HasPrefix(kept, `[0,0,"",0,["advisor-`) {
		t.Errorf("there is kept: %s", kept)
	}
	// A new edition of the pages, with another first line.
	page, err := os.ReadFile(filepath.Join(dir, "quayside-skirt.html"))
	if err != nil {
		t.Fatal(err)
	}
	worker, err := os.ReadFile(filepath.Join(dir, "sw.js"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"quayside-skirt.html": strings.Replace(string(page), "Tern Lane", "Heron Lane", 1),
		"sw.js": regexp.MustCompile(`"advisor-[0-9a-f]+"`).ReplaceAllString(string(worker), `"advisor-new"`)} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	chromium.Await[bool](t, c, `navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)`)
	chromium.Await[bool](t, c, `(async () => { while ((await caches.keys()).join() !== "advisor-new") await new Promise((r) => setTimeout(r, 50)); return true; })()`)
	server.CloseClientConnections()
	server.Close()
	visitPublished(t, c, server.URL+"/quayside-skirt.html")
	if got := chromium.Ask[string](t, c, `document.querySelector("h1").textContent`); !strings.Contains(got, "Heron Lane") {
		t.Errorf("without a network the page is %q", got)
	}
	typeInto(t, c, "m_hip", "44 1/4")
	if got := sizeSaid(t, c); got != "18" {
		t.Errorf("without a network it is size %q", got)
	}
}
