package page

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// again is the page after the end of the program, over the same notebook.
func (p *opened) again() {
	p.Helper()
	p.site.Close()
	p.start(p.s.Options)
}

func (p *opened) drafts() string { return fmt.Sprint(p.s.Book.Drafts()) }

// What is typed is there again after going back, asking for the page anew, and the end of the program, until it is saved.
func TestKeepsWhatIsTyped(t *testing.T) {
	p := open(t)
	v := demo()
	_, page := p.ask(p.get(p.home))
	v.Set("body_hash", valueOf(page, "body_hash"))
	v.Set("m_hip", "45 3/8")
	v.Set("ease_more", "hip=6 in")
	v.Set("chart", "\t16\t18\r\nhip\t42\t44")
	p.ask(p.post("/answer", v))
	for _, name := range []string{"anew", "after the end of the program"} {
		_, page := p.ask(p.get(p.home))
		for _, want := range []string{`name="m_hip" value="45 3/8"`, `name="ease.hip" value="6 in"`, `name="chart.0.2" value="18"`, `name="chart.1.1" value="42"`, `id="afresh"`, `name="m_waist" value="29 1/2; 29 3/4"`} {
			if !strings.Contains(strings.ReplaceAll(page, "\r\n", "\n"), want) {
				t.Errorf("%s: no %s", name, want)
			}
		}
		p.again()
	}
	if info, err := os.Stat(filepath.Join(p.dir, ".drafts", "size.json")); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others may read it: %v", err)
	}
	if text := p.read(".drafts/size.json"); strings.Contains(text, "29 3/4") || strings.Contains(text, p.s.token) {
		t.Errorf("it has more than what was typed:\n%s", text)
	}
	// Saved, it is in the draft no longer; the rest is.
	v.Set("do", "save-body")
	if status, page := p.ask(p.post("/", v)); status != http.StatusOK || !strings.Contains(page, "Saved in your notebook as") {
		t.Fatalf("got %d:\n%s", status, page)
	}
	if text := p.read(".drafts/size.json"); strings.Contains(text, "45 3/8") || !strings.Contains(text, "hip=6 in") {
		t.Errorf("after saving the draft has\n%s", text)
	}
	p.ask(p.post("/", url.Values{"do": {"afresh"}}))
	if _, page := p.ask(p.get(p.home)); strings.Contains(page, `id="afresh"`) || p.drafts() != "[]" {
		t.Errorf("it cannot be thrown away: %s", p.drafts())
	}
	// All of it saved, no draft is left.
	_, page = p.ask(p.get(p.home))
	v = demo()
	v.Set("body_hash", valueOf(page, "body_hash"))
	v.Set("m_hip", "45 1/8")
	p.ask(p.post("/answer", v))
	v.Set("do", "save-body")
	if p.ask(p.post("/", v)); p.drafts() != "[]" || !strings.Contains(p.read("bodies/wren.yaml"), "hip: 45 1/8") {
		t.Errorf("a draft is left behind: %s", p.drafts())
	}
}

// What was typed over a text is not saved over another one that came between.
func TestADraftIsOfTheTextItWasTypedOver(t *testing.T) {
	p := open(t)
	v := demo()
	_, page := p.ask(p.get(p.home))
	v.Set("body_hash", valueOf(page, "body_hash"))
	v.Set("m_hip", "45 3/8")
	p.ask(p.post("/answer", v))
	path := filepath.Join(p.dir, "bodies", "wren.yaml")
	if err := os.WriteFile(path, []byte(strings.Replace(p.read("bodies/wren.yaml"), "44 1/4", "43 1/4", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	p.again()
	_, page = p.ask(p.get(p.home))
	if !strings.Contains(page, `name="m_hip" value="45 3/8"`) {
		t.Error("what was typed is gone")
	}
	v.Set("body_hash", valueOf(page, "body_hash"))
	v.Set("do", "save-body")
	if status, _ := p.ask(p.post("/", v)); status != http.StatusConflict || !strings.Contains(p.read("bodies/wren.yaml"), "43 1/4") {
		t.Errorf("got %d, and perhaps the other text is gone", status)
	}
}

// A recipe that is written is kept too, and so is what is told of a make.
func TestKeepsARecipeAndAnOutcome(t *testing.T) {
	p := open(t)
	p.ask(p.post("/recipes/check", url.Values{"from": {"straight-skirt"}, "text": {"kind: recipe\r\nname: wing-skirt"}}))
	p.make(t)
	told := url.Values{"do": {"keep"}, "make": {"mole"}, "zone": {"hip"}, "words": {"It swings."}, "feels_hip": {"roomy"}}
	p.ask(p.post("/after", told))
	for range 2 {
		if _, page := p.ask(p.get(p.at("/recipes"))); !strings.Contains(page, "a new one from straight-skirt") {
			t.Error("the recipe is not spoken of")
		}
		if _, page := p.ask(p.get(p.at("/recipes/edit?from=straight-skirt"))); !strings.Contains(page, "wing-skirt") {
			t.Error("the recipe is gone")
		}
		if _, page := p.ask(p.get(p.at("/after?make=mole"))); !strings.Contains(page, "It swings.") || !strings.Contains(page, `value="roomy" checked`) {
			t.Errorf("what was told is gone:\n%s", page)
		}
		p.again()
	}
	p.ask(p.post("/after", url.Values{"do": {"afresh"}, "make": {"mole"}}))
	p.ask(p.post("/recipes/edit", url.Values{"do": {"afresh"}, "from": {"straight-skirt"}}))
	if p.drafts() != "[]" {
		t.Errorf("there is still %s", p.drafts())
	}
}

// make puts a make into the notebook, of a pattern that says nothing of what the garment measures.
func (p *opened) make(t *testing.T) {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(p.dir, "sewn"), 0o700); err != nil {
		t.Fatal(err)
	}
	text := "kind: sewn\nname: Mole skirt\nmade: 2026-11-20\npattern: Mole skirt\nrecipe: gathered-skirt\nbody: {name: Wren}\nsize: 18\n"
	if err := os.WriteFile(filepath.Join(p.dir, "sewn", "mole.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A make can be rated where nobody knew what it would measure.
func TestRatesAMakeWithoutFinishedMeasurements(t *testing.T) {
	p := open(t)
	p.make(t)
	_, page := p.ask(p.get(p.at("/after?make=mole")))
	if !strings.Contains(page, `name="feels_hip"`) || !strings.Contains(page, `name="measured_waist"`) {
		t.Fatalf("the hip or the waist of a skirt cannot be rated:\n%s", page)
	}
	v := url.Values{"do": {"save-outcome"}, "make": {"mole"}, "make_hash": {valueOf(page, "make_hash")}, "zone": {"hip"}, "feels_hip": {"roomy"}}
	if status, page := p.ask(p.post("/after", v)); status != http.StatusOK || !strings.Contains(page, "Saved.") || !strings.Contains(p.read("sewn/mole.yaml"), "hip: roomy") {
		t.Errorf("got %d, and noted %s:\n%s", status, p.read("sewn/mole.yaml"), page)
	}
}

// What is saved leads on: asking for the page again, or pressing twice, saves nothing a second time.
func TestSavesOnce(t *testing.T) {
	p := open(t)
	p.make(t)
	_, page := p.ask(p.get(p.home))
	once := valueOf(page, "once")
	if once == "" {
		t.Fatal("the form cannot be told from another one")
	}
	stays := *p.browser
	stays.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	cut, cloth := demo(), url.Values{"do": {"save-cloth"}, "cloth_name": {"Blue twill"}, "structure": {"woven"}}
	recipe := url.Values{"do": {"save"}, "from": {"straight-skirt"}, "text": {"kind: recipe\nname: wing-skirt\ntitle: wing skirt\nbased_on: straight-skirt\n"}}
	_, after := p.ask(p.get(p.at("/after?make=mole")))
	told := url.Values{"do": {"save-outcome"}, "make": {"mole"}, "make_hash": {valueOf(after, "make_hash")}, "words": {"good"}}
	for i, c := range []struct {
		path   string
		values url.Values
		leads  string
	}{{"/made", cut, "/after?make=quayside-skirt-2026-11-25"}, {"/", cloth, "/?at=cloth"}, {"/after", told, "/after?make=mole"}, {"/recipes/edit", recipe, "/recipes/edit?from=&recipe_file=wing-skirt"}} {
		c.values.Set("once", fmt.Sprint(once, i))
		for range 2 {
			reply, err := stays.Do(p.post(c.path, c.values))
			if err != nil {
				t.Fatal(err)
			}
			reply.Body.Close()
			if got := reply.Header.Get("Location"); reply.StatusCode != http.StatusSeeOther || got != p.s.path+c.leads {
				t.Errorf("%s: got %d, to %s", c.path, reply.StatusCode, got)
			}
		}
	}
	if names := fmt.Sprint(p.s.names("sewn")); names != "[mole quayside-skirt-2026-11-25]" {
		t.Errorf("the makes are %s", names)
	}
	if names := fmt.Sprint(p.s.names("cloth")); names != "[blue-twill cotton-jersey washed-linen]" {
		t.Errorf("the cloths are %s", names)
	}
}

// In a browser: what is typed stays where the page is asked for again, and when one goes elsewhere and back.
func TestBrowserKeepsWhatIsTyped(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	there := func(where string) {
		t.Helper()
		if got := ask[string](t, c, `document.getElementById("m_hip").value`); got != "40 in" {
			t.Errorf("%s the hip is %q", where, got)
		}
	}
	fill(t, c, map[string]string{"m_hip": "40 in"})
	do(t, c, `location.reload()`)
	eventually(t, c, `performance.getEntriesByType("navigation")[0].type === "reload" && !!document.querySelector("#answer .decision")`)
	there("asked for again,")
	do(t, c, `location.href = "`+p.at("/recipes")+`"`)
	eventually(t, c, `!!document.querySelector("ul.types")`)
	do(t, c, `history.back()`)
	eventually(t, c, `!!document.querySelector("#answer .decision")`)
	there("after going back,")
	do(t, c, `document.getElementById("afresh").click()`)
	eventually(t, c, `!document.getElementById("afresh") && document.getElementById("m_hip").value === "44 1/4"`)
}

// eventually waits for an expression to hold while the browser goes from one page to another.
func eventually(t *testing.T, c context.Context, expression string) {
	t.Helper()
	within, stop := context.WithTimeout(c, patience)
	defer stop()
	for within.Err() == nil {
		if holds, err := chromedp.Run(within, chromedp.Evaluate[bool](expression)); err == nil && holds {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("it never holds that %s", expression)
}
