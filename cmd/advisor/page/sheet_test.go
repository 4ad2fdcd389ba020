package page

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// What goes to a telephone is one file that needs nothing besides itself, with the garment, whose it is and the day in its name.
func TestSheetIsAFileOfItsOwn(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("do", "file")
	reply, err := p.browser.Do(p.post("/plan", v))
	if err != nil {
		t.Fatal(err)
	}
	reply.Body.Close()
	if got := reply.Header.Get("Content-Disposition"); reply.StatusCode != http.StatusOK || got != "attachment; filename=quayside-skirt-wren-2026-11-25.html" {
		t.Errorf("got %d, %q", reply.StatusCode, got)
	}
	_, text := p.ask(p.post("/plan", v))
	for _, needs := range []string{`src="`, `href="`, "url(", p.s.path, p.s.token, "@import"} {
		if strings.Contains(text, needs) {
			t.Errorf("it needs %s", needs)
		}
	}
	// Warnings stand before the steps, and nothing has a rule's id.
	warns, steps := strings.Index(text, "not washed yet"), strings.Index(text, `class="ticks"`)
	if warns < 0 || steps < warns || strings.Contains(text, "not-prewashed") || strings.Contains(text, "`") && !strings.Contains(text, "${") {
		t.Errorf("the warning is at %d, the steps at %d:\n%s", warns, steps, text)
	}
}

// At the cutting table the boxes remember, and there is one step at a time in large letters.
func TestBrowserAtTheTable(t *testing.T) {
	p, c := open(t), browser(t, 360)
	v := demo()
	v.Set("do", "file")
	_, text := p.ask(p.post("/plan", v))
	_, text, _ = strings.Cut(text, "\r\n\r\n")
	at := filepath.Join(t.TempDir(), "sheet.html")
	if err := os.WriteFile(at, []byte(text[strings.Index(text, "<!DOCTYPE"):]), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, c, chromedp.Navigate("file://"+at), chromedp.WaitVisible(chromedp.CSS(".begin")))
	picture(t, c, "sheet-360")
	if n := ask[int](t, c, `document.querySelectorAll(".ticks input").length`); n < 3 || n > 9 {
		t.Fatalf("there are %d steps on the wall", n)
	}
	if over := ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		t.Errorf("it reaches %v points beyond the window", over)
	}
	run(t, c, chromedp.Click(chromedp.CSS(".ticks input")), chromedp.Click(chromedp.CSS(".begin")), chromedp.WaitVisible(chromedp.CSS(".at .step")))
	picture(t, c, "table-360")
	if got := ask[string](t, c, `document.querySelector(".at .count").textContent`); !strings.HasPrefix(got, "Step 2 of ") {
		t.Errorf("the first step that is not done is called %q", got)
	}
	if got := ask[float64](t, c, `parseFloat(getComputedStyle(document.querySelector(".at .step")).fontSize)`); got < 24 {
		t.Errorf("its letters are %v high", got)
	}
	for _, small := range ask[[]string](t, c, fmt.Sprintf(tooSmall, leastTarget)) {
		t.Error(small)
	}
	run(t, c, chromedp.Click(chromedp.CSS(".at input")))
	until(t, c, `document.querySelector(".at .count").textContent.startsWith("Step 3 of ")`)
	do(t, c, `location.reload()`)
	eventually(t, c, `performance.getEntriesByType("navigation")[0].type === "reload" && document.querySelectorAll(".ticks input:checked").length === 2`)
}
