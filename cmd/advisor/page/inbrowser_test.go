package page

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/serviceworker"
	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/internal/chromium"
	"fitadvisor/cmd/advisor/publish"
)

// site is the page as it is published, once for all tests.
var site = struct {
	sync.Once
	dir string
	err error
}{}

// publishedPage is the folder of the page as it is published.
func publishedPage(t testing.TB) string {
	t.Helper()
	site.Do(func() {
		var e *publish.Engine
		if e, site.err = publish.Build(context.Background(), publish.WholePage); site.err != nil {
			return
		}
		if site.dir, site.err = os.MkdirTemp("", "fitadvisor-page-site-"); site.err != nil {
			return
		}
		chromium.AtEnd(func() { _ = os.RemoveAll(site.dir) })
		for name, text := range publish.Notebook(e) {
			path := filepath.Join(site.dir, filepath.FromSlash(name))
			if site.err = os.MkdirAll(filepath.Dir(path), 0o700); site.err == nil {
				site.err = os.WriteFile(path, text, 0o600)
			}
			if site.err != nil {
				return
			}
		}
	})
	if site.err != nil {
		t.Fatal(site.err)
	}
	return site.dir
}

// servedPage is a server of plain files, which knows nothing of the page.
func servedPage(t testing.TB) *httptest.Server { return servedFrom(t, publishedPage(t)) }

func servedFrom(t testing.TB, dir string) *httptest.Server {
	t.Helper()
	s := httptest.NewServer(http.StripPrefix("/my size", http.FileServer(http.Dir(dir))))
	t.Cleanup(s.Close)
	return s
}

// firstVisit opens the page where it was never open before.
func firstVisit(t testing.TB, c context.Context, s *httptest.Server) {
	t.Helper()
	run(t, c, chromedp.Navigate(s.URL+"/my%20size/"), chromedp.WaitVisible(chromedp.CSS("#begin")), chromedp.Click(chromedp.CSS("#begin")), chromedp.WaitVisible(chromedp.CSS(".garments")))
}

// stopped ends the worker, as a browser may at any time.
func stopped(t testing.TB, c context.Context) {
	t.Helper()
	run(t, c, chromedp.Func(func(c context.Context, target *chromedp.Target) error {
		if _, err := cdp.Call(c, target, serviceworker.Enable, cdp.Empty{}); err != nil {
			return err
		}
		_, err := cdp.Call(c, target, serviceworker.StopAllWorkers, cdp.Empty{})
		return err
	}))
}

// answerShown is the answer as it is shown, without what is another one at each start.
func answerShown(t testing.TB, c context.Context, base string) string {
	t.Helper()
	return strings.TrimSpace(strings.ReplaceAll(ask[string](t, c, `document.getElementById("answer").innerHTML`), base, "BASE"))
}

// A newcomer's first skirt, on a server of plain files: the answer is that of the page on one's own machine, letter by letter. What is
// saved is there after the worker was ended, with the server gone too.
func TestInBrowserNewcomer(t *testing.T) {
	s, c := servedPage(t), browser(t, 360)
	firstVisit(t, c, s)
	h := &hand{T: t, c: c}
	began := time.Now()
	h.firstSkirt()
	t.Log("the skirt in the browser", time.Since(began).Round(time.Second))
	got := answerShown(t, c, "/my%20size")

	own, local := afresh(t), browser(t, 360)
	own.s.Today = func() string { return time.Now().Format(time.DateOnly) }
	run(t, local, chromedp.Navigate(own.s.Once(nil)), chromedp.WaitVisible(chromedp.CSS(".garments")))
	began = time.Now()
	(&hand{T: t, c: local}).firstSkirt()
	t.Log("and by a program", time.Since(began).Round(time.Second))
	if diff := cmp.Diff(answerShown(t, local, own.s.path), got); diff != "" || !strings.Contains(got, `data-size="42"`) {
		t.Errorf("the answer is not that of the page on one's own machine:\n%s", diff)
	}

	s.CloseClientConnections()
	s.Close()
	stopped(t, c)
	run(t, c, chromedp.Navigate(s.URL+"/my%20size/"), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
	if again := answerShown(t, c, "/my%20size"); again != got {
		t.Errorf("what was typed and not saved gives another answer once the worker was ended:\n%s", cmp.Diff(got, again))
	}
	do(t, c, `document.querySelector("button[name=go][value=body]").click(); document.getElementById("keep-body").open = true; document.getElementById("name").value = "Sedge"; document.getElementById("save-body").click()`)
	run(t, c, chromedp.WaitReady(chromedp.CSS(`#body option[value=sedge][selected]`)))
	for range 2 {
		stopped(t, c)
		run(t, c, chromedp.Navigate(s.URL+"/my%20size/new"), chromedp.WaitVisible(chromedp.CSS(`button[name=body][value=sedge]`)))
	}
	h.tap(`button[name=body][value=sedge]`)
	run(t, c, chromedp.WaitVisible(chromedp.CSS("#step-pattern")))
	if got := ask[string](t, c, `document.getElementById("m_hip").value`); got != "101" {
		t.Errorf("the hip that was saved is %q, not 101", got)
	}
}

// fetched is what an address gives in the page, as bytes.
func fetched(t testing.TB, c context.Context, address string) []byte {
	t.Helper()
	text := chromium.Await[string](t, c, `fetch("`+address+`").then((r) => r.arrayBuffer()).then((b) => btoa(String.fromCharCode(...new Uint8Array(b))))`)
	out, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// brought has the page take a copy of a notebook.
func brought(t testing.TB, c context.Context, s *httptest.Server, path string) {
	t.Helper()
	run(t, c, chromedp.Navigate(s.URL+"/my%20size/notebook"), chromedp.WaitVisible(chromedp.CSS("#archive")), chromedp.SetUploadFiles(chromedp.CSS("#archive"), []string{path}),
		chromedp.Click(chromedp.CSS("#bring-back")), chromedp.WaitVisible(chromedp.CSS(".said")))
}

// What a folder's notebook exports comes into the browser's, and what that exports is the same archive, byte for byte, which the
// folder's takes back as what it has.
func TestInBrowserCopies(t *testing.T) {
	own := open(t)
	own.sewnBefore()
	path := filepath.Join(t.TempDir(), "notebook.zip")
	if _, _, err := own.s.Book.Export(path); err != nil {
		t.Fatal(err)
	}
	exported, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s, c := servedPage(t), browser(t, 1280)
	firstVisit(t, c, s)
	brought(t, c, s, path)
	n := len(kept(t, own.dir))
	if got, want := ask[string](t, c, `document.querySelector(".said").textContent`), fmt.Sprintf("New from the copy: %d files. Already here and just the same: 0 files.", n); got != want {
		t.Errorf("it says %q, not %q", got, want)
	}
	stopped(t, c)
	back := fetched(t, c, "/my%20size/notebook.zip")
	if !bytes.Equal(back, exported) {
		t.Errorf("the copy that it gives has %d bytes, and is not the one of %d that it was given", len(back), len(exported))
	}
	if added, same, err := own.s.Book.Take("it", back); added != 0 || same != n || err != nil {
		t.Errorf("%d files are new to the folder, %d the same: %v", added, same, err)
	}
	// The button gives it as a file to keep.
	dir := t.TempDir()
	run(t, c, chromedp.Func(func(c context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(c, target, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow,
			BrowserContextID: chromedp.FromContext(c).BrowserContextID, DownloadPath: dir})
		return err
	}), chromedp.Navigate(s.URL+"/my%20size/new"), chromedp.WaitVisible(chromedp.CSS("#take-copy")), chromedp.Click(chromedp.CSS("#take-copy")))
	saved := filepath.Join(dir, "notebook-"+time.Now().Format(time.DateOnly)+".zip")
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if text, err := os.ReadFile(saved); err == nil && len(text) == len(exported) {
			break
		}
	}
	if text, err := os.ReadFile(saved); err != nil || !bytes.Equal(text, exported) {
		t.Errorf("the button gives %d bytes: %v", len(text), err)
	}
}

// Every view of the page, at the width of a telephone and of a laptop: what axe-core finds there, and what reaches beyond the window.
func TestInBrowserViews(t *testing.T) {
	script, s := axe(t), servedPage(t)
	own := open(t)
	own.sewnBefore()
	path := filepath.Join(t.TempDir(), "notebook.zip")
	if _, _, err := own.s.Book.Export(path); err != nil {
		t.Fatal(err)
	}
	for _, width := range widths {
		c := browser(t, width)
		looked := func(name string) {
			t.Helper()
			if over := ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s: the page reaches %v points beyond the window", name, over)
			}
			picture(t, c, fmt.Sprintf("in-browser-%s-%d", name, width))
			violations(t, c, script, fmt.Sprintf("%s, %d wide", name, width))
		}
		run(t, c, chromedp.Navigate(s.URL+"/my%20size/"), chromedp.WaitVisible(chromedp.CSS("#begin")))
		looked("begin")
		run(t, c, chromedp.Click(chromedp.CSS("#begin")), chromedp.WaitVisible(chromedp.CSS(".garments")))
		brought(t, c, s, path)
		looked("notebook")
		for _, v := range []struct{ name, path, there string }{{"home", "new", ".garments"}, {"after", "after?make=first-skirt", ".worn .rows"}, {"types", "recipes", "ul.types"}, {"gone", "index.html", ".garments"}} {
			run(t, c, chromedp.Navigate(s.URL+"/my%20size/"+v.path), chromedp.WaitVisible(chromedp.CSS(v.there)))
			looked(v.name)
		}
		run(t, c, chromedp.Click(chromedp.CSS("button[name=pattern][value=quayside-skirt]")), chromedp.WaitReady(chromedp.CSS("#form")))
		do(t, c, `document.querySelector("button[name=go][value=answer]").click()`)
		run(t, c, chromedp.WaitVisible(chromedp.CSS("#answer .decision")))
		looked("answer")
	}
}

// A copy with hostile texts in it runs nothing, and the policy is there that would keep it from it. What another page sends is
// refused.
func TestInBrowserSafe(t *testing.T) {
	const hostile = `"><img src=x onerror="document.title='run'"><script>document.title='run'</script>`
	own := open(t)
	for path, text := range map[string]string{
		"patterns/odd.yaml": "kind: pattern\nname: '" + strings.ReplaceAll(hostile, "'", "''") + "'\nmaker: '" + strings.ReplaceAll(hostile, "'", "''") + "'\nrecipe: gathered-skirt\nunits: in\nsizes: [1]\nbody: {hip: [40]}\n",
		"bodies/odd.yaml":   "kind: body\nname: '" + strings.ReplaceAll(hostile, "'", "''") + "'\nunits: in\nmeasurements: {hip: 40}\n",
		"recipes/odd.yaml":  "kind: recipe\nname: " + hostile,
	} {
		if err := os.MkdirAll(filepath.Join(own.dir, filepath.Dir(path)), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(own.dir, path), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "notebook.zip")
	if _, _, err := own.s.Book.Export(path); err != nil {
		t.Fatal(err)
	}
	s, c := servedPage(t), browser(t, 1280)
	firstVisit(t, c, s)
	brought(t, c, s, path)
	for _, at := range []string{"new", "", "recipes", "after", "recipes/edit?name=odd", "new?find=%3Cscript%3Edocument.title%3D'run'%3C/script%3E"} {
		run(t, c, chromedp.Navigate(s.URL+"/my%20size/"+at), chromedp.WaitReady(chromedp.CSS("#main, body")))
		if got := ask[string](t, c, `document.title`); got == "run" {
			t.Errorf("%s runs what is in a file", at)
		}
		if n := ask[int](t, c, `document.querySelectorAll("img, [onerror], script:not([src])").length`); n > 0 {
			t.Errorf("%s has %d elements of the hostile text", at, n)
		}
	}
	do(t, c, `const i = document.createElement("img"); i.setAttribute("onerror", "document.title = 'run'"); i.src = "/my%20size/nothing-here"; document.body.append(i); const x = document.createElement("script"); x.textContent = "document.title = 'run'"; document.body.append(x)`)
	until(t, c, `[...document.images].every((i) => i.complete)`)
	if got := ask[string](t, c, `document.title`); got == "run" {
		t.Error("the policy lets a script run that stands in the page")
	}
	if got := chromium.Await[string](t, c, `fetch("/my%20size/new").then((r) => r.headers.get("Content-Security-Policy"))`); got != policy {
		t.Errorf("the policy is %q", got)
	}
	before := fetched(t, c, "/my%20size/notebook.zip")
	for _, token := range []string{"", "&token=x"} {
		if got := chromium.Await[int](t, c, `fetch("/my%20size/", {method: "POST", headers: {"Content-Type": "application/x-www-form-urlencoded"}, body: "do=save-body&name=Other&m_hip=40+in`+token+`"}).then((r) => r.status)`); got != http.StatusForbidden {
			t.Errorf("what another page sends with %q is answered with %d", token, got)
		}
	}
	if !bytes.Equal(before, fetched(t, c, "/my%20size/notebook.zip")) {
		t.Error("what another page sent was saved")
	}
}

// Two tabs have one notebook. What one saves over what the other has changed meanwhile is asked about.
func TestInBrowserTwoTabs(t *testing.T) {
	s, c := servedPage(t), browser(t, 1280)
	firstVisit(t, c, s)
	got := chromium.Await[[]int](t, c, `(async () => {
		const page = new DOMParser().parseFromString(await (await fetch("/my%20size/?at=cloth")).text(), "text/html");
		const of = (name, extra) => new URLSearchParams({ token: page.querySelector("[name=token]").value, do: "save-cloth", cloth_name: name, structure: "woven", across: "3 %", ...extra });
		const save = (body) => fetch("/my%20size/", { method: "POST", body }).then((r) => r.status);
		const all = await Promise.all(["Linen", "Twill", "Linen"].map((name) => save(of(name, {}))));
		const opened = new DOMParser().parseFromString(await (await fetch("/my%20size/", { method: "POST", body: of("", { do: "open-cloth", cloth: "linen" }) })).text(), "text/html");
		for (const across of ["4 %", "5 %"]) { // in two tabs that were opened at once
			const form = new URLSearchParams(new FormData(opened.getElementById("form")));
			form.set("across", across);
			form.set("once", across);
			form.set("do", "save-cloth");
			all.push(await save(form));
		}
		return all;
	})()`)
	if diff := cmp.Diff([]int{200, 200, 200, 200, 409}, got); diff != "" {
		t.Error(diff)
	}
	z, err := zip.NewReader(bytes.NewReader(fetched(t, c, "/my%20size/notebook.zip")), int64(len(fetched(t, c, "/my%20size/notebook.zip"))))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
	}
	if diff := cmp.Diff([]string{"cloths/linen-2.yaml", "cloths/linen.yaml", "cloths/twill.yaml", "manifest.json"}, names); diff != "" {
		t.Error(diff)
	}
}

// BenchmarkInBrowser measures how large the page is, how long a first visit takes until one can begin and until the first page is there, how
// long it takes when the worker was ended in between, and an answer as one types. It says how busy the machine was.
func BenchmarkInBrowser(b *testing.B) {
	packed, err := os.Stat(filepath.Join(publishedPage(b), "advisor", "engine.wasm.gz"))
	if err != nil {
		b.Fatal(err)
	}
	own := open(b)
	path := filepath.Join(b.TempDir(), "notebook.zip")
	if _, _, err := own.s.Book.Export(path); err != nil {
		b.Fatal(err)
	}
	s := servedPage(b)
	var fetched, first, again time.Duration
	var answers []float64
	for b.Loop() {
		c := browser(b, 1280)
		began := time.Now()
		run(b, c, chromedp.Navigate(s.URL+"/my%20size/"), chromedp.WaitVisible(chromedp.CSS("#begin")))
		fetched += time.Since(began)
		began = time.Now()
		run(b, c, chromedp.Click(chromedp.CSS("#begin")), chromedp.WaitVisible(chromedp.CSS(".garments")))
		first += time.Since(began)
		brought(b, c, s, path)
		stopped(b, c)
		began = time.Now()
		run(b, c, chromedp.Navigate(s.URL+"/my%20size/new"), chromedp.WaitVisible(chromedp.CSS(`button[name=pattern][value=quayside-skirt]`)))
		again += time.Since(began)
		run(b, c, chromedp.Click(chromedp.CSS(`button[name=pattern][value=quayside-skirt]`)), chromedp.WaitReady(chromedp.CSS("#form")))
		until(b, c, `document.documentElement.classList.contains("follows")`)
		for i := range 40 {
			fill(b, c, map[string]string{"m_hip": fmt.Sprintf("%d %d/8 in", 38+i/8, i%8)})
			answers = append(answers, ask[float64](b, c, `Number(document.getElementById("answer").dataset.took)`))
		}
	}
	slices.Sort(answers)
	n := float64(b.N)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(packed.Size())/1e6, "MB-engine")
	b.ReportMetric(float64(fetched.Milliseconds())/n, "ms-until-begin")
	b.ReportMetric(float64(first.Milliseconds())/n, "ms-first-page")
	b.ReportMetric(float64(again.Milliseconds())/n, "ms-after-the-worker-ended")
	b.ReportMetric(answers[len(answers)/2], "ms-answer-middle")
	b.ReportMetric(answers[len(answers)-1], "ms-answer-worst")
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		fmt.Printf("\nthe machine's load: %s", load)
	}
}

// Where a browser keeps nothing for a page, that is said in a sentence, and nothing can be begun.
func TestInBrowserWhereItCannotBe(t *testing.T) {
	s := servedPage(t)
	for _, at := range []struct{ name, address, before, says string }{
		{"from a disk", "file://" + filepath.Join(publishedPage(t), "index.html"), "", "works on a site, not from a disk"},
		{"by http", s.URL + "/my%20size/", `Object.defineProperty(window, "isSecureContext", {value: false})`, "with https"},
		{"in a private window", s.URL + "/my%20size/", `delete Navigator.prototype.serviceWorker`, "private window"},
		{"where the worker is refused", s.URL + "/my%20size/", `ServiceWorkerContainer.prototype.register = () => Promise.reject(new Error("not here"))`, "did not take the page (not here)"},
	} {
		t.Run(at.name, func(t *testing.T) {
			c := browser(t, 360)
			run(t, c, chromedp.Func(func(c context.Context, target *chromedp.Target) error {
				_, err := cdp.Call(c, target, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: at.before})
				return err
			}), chromedp.Navigate(at.address), chromedp.WaitVisible(chromedp.CSS("#status.wrong")))
			if got := ask[string](t, c, `document.getElementById("status").textContent`); !strings.Contains(got, at.says) {
				t.Errorf("it says %q", got)
			}
			if !ask[bool](t, c, `document.getElementById("begin").hidden`) {
				t.Error("it can be begun all the same")
			}
		})
	}
}

// While the page is looked at, the worker is asked for something more often than a browser would end it, and not while it is hidden.
func TestInBrowserStaysAwake(t *testing.T) {
	s, c := servedPage(t), browser(t, 360)
	firstVisit(t, c, s)
	run(t, c, chromedp.Func(func(c context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(c, target, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{
			Source: `window.each = []; window.setInterval = (work, pause) => each.push({work, pause})`})
		return err
	}), chromedp.Navigate(s.URL+"/my%20size/recipes"), chromedp.WaitVisible(chromedp.CSS("ul.types")))
	until(t, c, `window.each.length === 1`)
	if got := chromium.Await[int](t, c, `fetch("/my%20size/assets/icon.svg").then((r) => r.status)`); got != http.StatusOK {
		t.Errorf("what it asks for is answered with %d", got)
	}
	got := ask[[]string](t, c, `(() => {
		const asked = [String(each[0].pause < 30000)];
		window.fetch = (address) => { asked.push(new URL(address).pathname); return Promise.resolve(); };
		each[0].work();
		Object.defineProperty(document, "hidden", { value: true });
		each[0].work();
		return asked;
	})()`)
	if diff := cmp.Diff([]string{"true", "/my%20size/assets/icon.svg"}, got); diff != "" {
		t.Error(diff)
	}
}

// changedWorker changes what stands once in a folder's worker.
func changedWorker(t *testing.T, dir, old, now string) {
	t.Helper()
	path := filepath.Join(dir, "sw.js")
	text, err := os.ReadFile(path)
	if err != nil || strings.Count(string(text), old) != 1 {
		t.Fatalf("%q is there %d times: %v", old, strings.Count(string(text), old), err)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(text), old, now, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A new edition takes the place of the one before, with the notebook of that; nothing of the old one is left.
func TestInBrowserNewEdition(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(publishedPage(t))); err != nil {
		t.Fatal(err)
	}
	own := open(t)
	path := filepath.Join(t.TempDir(), "notebook.zip")
	if _, _, err := own.s.Book.Export(path); err != nil {
		t.Fatal(err)
	}
	s, c := servedFrom(t, dir), browser(t, 1280)
	firstVisit(t, c, s)
	brought(t, c, s, path)
	changedWorker(t, dir, `const edition = " `, `const edition = " new`)
	chromium.Await[bool](t, c, `navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)`)
	chromium.Await[bool](t, c, `(async () => { while (!/^advisor notebook [/]my%20size new[0-9a-f]+$/.test((await caches.keys()).join())) await new Promise((r) => setTimeout(r, 50)); return true; })()`)
	s.CloseClientConnections()
	s.Close()
	run(t, c, chromedp.Navigate(s.URL+"/my%20size/new"), chromedp.WaitVisible(chromedp.CSS(`button[name=body][value=wren]`)))
}

// Where the browser has no room, what was asked is said not to be saved, and is not; what was there before is there still.
func TestInBrowserFull(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(publishedPage(t))); err != nil {
		t.Fatal(err)
	}
	const keeps = "await disk.keep();"
	changedWorker(t, dir, keeps, `if (new TextDecoder().decode(body).includes("Twill")) throw new DOMException("no room", "QuotaExceededError"); `+keeps)
	s, c := servedFrom(t, dir), browser(t, 1280)
	firstVisit(t, c, s)
	save := func(name string) string {
		return `(async () => {
			const page = new DOMParser().parseFromString(await (await fetch("/my%20size/?at=cloth")).text(), "text/html");
			const body = new URLSearchParams({ token: page.querySelector("[name=token]").value, do: "save-cloth", cloth_name: "` + name + `", structure: "woven", across: "3 %" });
			const reply = await fetch("/my%20size/", { method: "POST", body });
			return reply.status + " " + await reply.text();
		})()`
	}
	if got := chromium.Await[string](t, c, save("Linen")); !strings.HasPrefix(got, "200 ") {
		t.Fatal(got)
	}
	if got := chromium.Await[string](t, c, save("Twill")); !strings.HasPrefix(got, "500 This could not be done, and nothing was saved: no room.") {
		t.Errorf("without room it says %.300s", got)
	}
	if got := chromium.Await[string](t, c, save("Voile")); !strings.HasPrefix(got, "200 ") {
		t.Errorf("with room again it says %.300s", got)
	}
	if got := chromium.Await[string](t, c, `fetch("/my%20size/?at=cloth").then((r) => r.text())`); !strings.Contains(got, `<option value="linen"`) || strings.Contains(got, `<option value="twill"`) || !strings.Contains(got, `<option value="voile"`) {
		t.Error("linen and voile were saved, and twill was not; the page has other cloths")
	}
}
