package page

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"fitadvisor/cmd/advisor/internal/chromium"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// What is done in the browser.
var (
	browser, run, do, until = chromium.Window, chromium.Run, chromium.Do, chromium.Until
	picture, axe            = chromium.Picture, chromium.Axe
	violations, patience    = chromium.Violations, chromium.Patience
)

func TestMain(m *testing.M) { os.Exit(chromium.Tests{M: m}.Run()) }

// ask evaluates an expression in the page.
func ask[T any](t testing.TB, c context.Context, expression string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	return chromium.Ask[T](t, c, expression, options...)
}

// visit opens the page and waits for its answer.
func visit(t testing.TB, c context.Context, p *opened) {
	t.Helper()
	enter(t, c, p)
	until(t, c, `document.readyState === "complete" && document.documentElement.classList.contains("follows")`)
}

// enter opens the page, with a script or without.
func enter(t testing.TB, c context.Context, p *opened) {
	t.Helper()
	run(t, c, chromedp.Navigate(p.s.Once(nil)), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
}

// fill sets fields at once, as fast typing does, and waits for the answer to them.
func fill(t testing.TB, c context.Context, fields map[string]string) {
	t.Helper()
	var b strings.Builder
	for id, value := range fields {
		fmt.Fprintf(&b, "document.getElementById(%q).value = %q;", id, value)
	}
	turn := ask[float64](t, c, `Number(document.getElementById("answer").dataset.turn || 0)`)
	do(t, c, b.String()+`document.getElementById("m_hip").dispatchEvent(new Event("change", {bubbles: true}))`)
	until(t, c, fmt.Sprintf(`Number(document.getElementById("answer").dataset.turn || 0) > %v`, turn))
}

func size(t testing.TB, c context.Context) string {
	t.Helper()
	return ask[string](t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size || ""`)
}

// widths are those of a telephone and of a laptop.
var widths = []int64{360, 1280}

// The whole story: it is there at once, follows what is typed, says why and why
// not, tries a change and forgets it, and shows the other unit.
func TestBrowserStory(t *testing.T) {
	for _, width := range widths {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			p, c := open(t), browser(t, width)
			visit(t, c, p)
			if got := size(t, c); got != "18" {
				t.Fatalf("at first it is size %q, not 18", got)
			}
			if over := ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("the page reaches %v points beyond the window", over)
			}
			picture(t, c, fmt.Sprintf("answer-%d", width))
			fill(t, c, map[string]string{"m_hip": "38 in"})
			if got := size(t, c); got != "12" {
				t.Errorf("with a hip of 38 in it is size %q, not 12", got)
			}
			fill(t, c, map[string]string{"m_hip": "38 inn"})
			if got := ask[string](t, c, `document.getElementById("n-m_hip").textContent`); !strings.Contains(got, "inn") {
				t.Errorf("what is wrong is not said at the field: %q", got)
			}
			if got := ask[string](t, c, `document.getElementById("m_hip").getAttribute("aria-invalid") || ""`); got != "true" {
				t.Errorf("the field is not marked: %q", got)
			}
			picture(t, c, fmt.Sprintf("slip-%d", width))
			fill(t, c, map[string]string{"m_hip": "44 1/4 in"})
			unfold(t, c, "others")
			run(t, c, chromedp.Click(chromedp.CSS("#why-not-16")), chromedp.WaitVisible(chromedp.CSS("div.why-not")))
			picture(t, c, fmt.Sprintf("why-not-%d", width))
			do(t, c, `document.querySelector("div.why-not .try button").scrollIntoView({block: "center"})`)
			run(t, c, chromedp.Click(chromedp.CSS("div.why-not .try button")))
			until(t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size === "16"`)
			run(t, c, chromedp.Click(chromedp.CSS("#go-body")), chromedp.Click(chromedp.CSS("#units-cm")))
			until(t, c, `document.querySelector(".decision").textContent.includes(" cm")`)
			picture(t, c, fmt.Sprintf("you-%d", width))
			run(t, c, chromedp.Click(chromedp.CSS("#go-answer")))
			unfold(t, c, "why")
			run(t, c, chromedp.Click(chromedp.CSS(".zone details.why summary")))
			if got := ask[string](t, c, `document.querySelector(".zone details.why").innerText`); !strings.Contains(got, "your hip") {
				t.Errorf("why does not lead to the tape: %q", got)
			}
			picture(t, c, fmt.Sprintf("why-%d", width))
		})
	}
}

// unfold opens what is folded.
func unfold(t testing.TB, c context.Context, id string) {
	t.Helper()
	do(t, c, `document.getElementById("`+id+`").open = true`)
}

// Without a script the button does it.
func TestBrowserWithoutScript(t *testing.T) {
	p, c := open(t), browser(t, 360)
	run(t, c, chromedp.Func(func(c context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(c, target, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	enter(t, c, p)
	run(t, c, chromedp.Click(chromedp.CSS("#go-body")), chromedp.WaitVisible(chromedp.CSS("#m_hip")), chromedp.SetValue(chromedp.CSS("#m_hip"), "38 in"), chromedp.Click(chromedp.CSS("#go-answer")),
		chromedp.WaitReady(chromedp.CSS(`.result[data-size="12"]`)))
}

// The keyboard alone: from the first stop to a hip, to the answer's "why", and to a
// size that was not chosen.
func TestBrowserKeyboard(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	press := func(key string, where string) {
		t.Helper()
		for range 400 {
			run(t, c, chromedp.KeyEvent(key))
			if ask[bool](t, c, `!!document.activeElement && document.activeElement.matches(`+"`"+where+"`"+`)`) {
				return
			}
		}
		t.Fatalf("the keyboard does not come to %s", where)
	}
	press(kb.Tab, "a.skip")
	press(kb.Tab, "#m_hip")
	do(t, c, `document.activeElement.select()`)
	run(t, c, chromedp.KeyEvent("38 in"))
	until(t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size === "12"`)
	press(kb.Tab, "#others > summary")
	run(t, c, chromedp.KeyEvent(kb.Enter))
	press(kb.Tab, "#why-not-14")
	run(t, c, chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(chromedp.CSS("div.why-not")))
	press(kb.Tab, "#why > summary")
	run(t, c, chromedp.KeyEvent(kb.Enter))
	press(kb.Tab, ".zone details.why > summary")
	run(t, c, chromedp.KeyEvent(kb.Enter))
	until(t, c, `document.querySelector(".zone details.why").open`)
}

// visits are the other views: what leads to each, and what is there then.
var visits = []struct{ name, path, press, there string }{
	{"after", "/after?make=first-skirt", "", ".worn .rows"},
	{"types", "/recipes", "", "ul.types"},
	{"type", "/recipes/straight-skirt", "", "#main"},
	{"own-type", "/recipes", "new-recipe", "#text"},
	{"home", "/new", "", ".garments"},
	{"notebook", "/notebook", "", "#take-copy"},
}

// tried are the widths that are tried: short tests try the telephone alone.
func tried() []int64 {
	if testing.Short() {
		return widths[:1]
	}
	return widths
}

// The other views, each with a picture, and what axe-core finds there.
func TestBrowserViews(t *testing.T) {
	script := axe(t)
	for _, width := range tried() {
		p, c := open(t), browser(t, width)
		p.sewnBefore()
		visit(t, c, p)
		for _, v := range visits {
			run(t, c, chromedp.Navigate(p.at(v.path)), chromedp.WaitReady(chromedp.CSS("body")))
			if v.press != "" {
				do(t, c, `document.getElementById("`+v.press+`").click()`)
			}
			run(t, c, chromedp.WaitReady(chromedp.CSS(v.there)))
			if over := ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s, %d wide: it reaches %v points beyond the window", v.name, width, over)
			}
			picture(t, c, fmt.Sprintf("%s-%d", v.name, width))
			violations(t, c, script, fmt.Sprintf("%s, %d wide", v.name, width))
		}
		run(t, c, chromedp.Navigate(p.home), chromedp.WaitReady(chromedp.CSS("#do-plan")))
		do(t, c, `document.getElementById("do-plan").removeAttribute("formtarget"); document.getElementById("do-plan").click()`)
		run(t, c, chromedp.WaitReady(chromedp.CSS(".document")))
		picture(t, c, fmt.Sprintf("plan-%d", width))
		violations(t, c, script, fmt.Sprintf("the plan, %d wide", width))
	}
}

// axe-core finds nothing against WCAG in any view, light or dark, on a telephone or
// a laptop.
func TestBrowserAccessible(t *testing.T) {
	script := axe(t)
	lights := []string{"dark", "light"}
	if testing.Short() {
		lights = lights[:1]
	}
	for _, width := range tried() {
		p, c := open(t), browser(t, width)
		visit(t, c, p)
		for _, light := range lights {
			do(t, c, `document.getElementById("light-`+light+`").click()`)
			violations(t, c, script, fmt.Sprintf("the answer, %s, %d wide", light, width))
			do(t, c, `document.querySelectorAll("details").forEach((d) => { d.open = true; })`)
			for _, step := range stageIDs {
				do(t, c, `document.querySelector("[name=go][value=`+step+`]").click()`)
				violations(t, c, script, fmt.Sprintf("%s, all opened, %s, %d wide", step, light, width))
			}
			do(t, c, `document.getElementById("go-answer").click()`)
			picture(t, c, fmt.Sprintf("%s-%d", light, width))
		}
		fill(t, c, map[string]string{"m_hip": "x"})
		violations(t, c, script, fmt.Sprintf("a slip, %d wide", width))
		fill(t, c, map[string]string{"m_hip": "60 in"})
		violations(t, c, script, fmt.Sprintf("no size fits, %d wide", width))
	}
}

// The page says of 200 bodies, patterns, cloths and wishes what the engine says of
// the same files.
func TestBrowserAgrees(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	seen := 0
	for _, what := range []struct{ pattern, cloth string }{{"quayside-skirt", "washed-linen"}, {"lantern-top", "cotton-jersey"}} {
		choose(t, c, "pattern", what.pattern)
		choose(t, c, "cloth", what.cloth)
		for i := range 100 {
			bust, waist, hip := 84+float64(i%20)*1.3, 64+float64(i%25)*1.1, 88+float64(i)*0.27
			wish := []string{"", "closer", "roomier", "expected"}[i%4]
			fields := map[string]string{"m_bust": fmt.Sprintf("%.1f cm", bust), "m_upper_bust": "", "m_waist": fmt.Sprintf("%.1f cm", waist),
				"m_hip": fmt.Sprintf("%.1f cm", hip), "ease": wish}
			fill(t, c, fields)
			seen++
			same(t, c, p, what.pattern, what.cloth, fields)
		}
	}
	if seen != 200 {
		t.Errorf("%d cases were tried", seen)
	}
}

// choose opens a file of the notebook: the page takes over its fields, and the answer.
func choose(t *testing.T, c context.Context, step, name string) {
	t.Helper()
	turn := ask[float64](t, c, `Number(document.getElementById("answer").dataset.turn || 0)`)
	do(t, c, fmt.Sprintf(`{ const s = document.getElementById(%q); s.value = %q; s.dispatchEvent(new Event("change", {bubbles: true})); }`, step, name))
	until(t, c, fmt.Sprintf(`Number(document.getElementById("answer").dataset.turn || 0) > %v && document.getElementById(%q).value === %q`, turn, step, name))
}

// showing is what the page shows of an answer.
type showing struct {
	Size, Misfit, Chart string
	Zones               map[string]string
}

// same compares the page with the engine's answer to the same files.
func same(t *testing.T, c context.Context, p *opened, pattern, cloth string, fields map[string]string) {
	t.Helper()
	got := ask[showing](t, c, `(() => { const r = document.querySelector(".result"); return {Size: r.dataset.size || "", Misfit: r.dataset.misfit || "",
		Chart: r.dataset.chartSize, Zones: Object.fromEntries([...r.querySelectorAll(".zone")].map((z) => [z.dataset.zone, z.dataset.verdict + " " + z.dataset.ease + " " + z.dataset.wanted + " " + z.dataset.points]))}; })()`)
	a := answered(t, p, pattern, cloth, fields)
	want := showing{Chart: a.ChartSize.Size, Zones: map[string]string{}}
	if a.Recommended != nil {
		want.Size, want.Misfit = a.Recommended.Size, figure(a.Recommended.Misfit)
	}
	for i := range a.Sizes[0].Zones {
		z := &a.Sizes[0].Zones[i]
		want.Zones[z.Zone] = string(z.Verdict) + " " + figure(z.Ease) + " " + figure(z.Wanted) + " " + figure(&z.Points)
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%s in %s, %v:\npage   %v\nengine %v", pattern, cloth, fields, got, want)
	}
}

func figure(v *float64) string {
	if v == nil {
		return ""
	}
	return number(v)
}

// answered reads the same files as a command does, with the fields typed into the body.
func answered(t *testing.T, p *opened, pattern, cloth string, fields map[string]string) *engine.Answer {
	t.Helper()
	read := func(folder, name string) []byte {
		text, err := os.ReadFile(filepath.Join(p.dir, folder, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	voc := p.s.Voc
	body := file.Open("wren.yaml", read("bodies", "wren"))
	text := body.Source()
	for id, value := range fields {
		measure, ok := strings.CutPrefix(id, "m_")
		if !ok {
			continue
		}
		var err error
		if value == "" {
			text, err = file.Open("wren.yaml", text).Remove("measurements", measure)
		} else {
			text, err = file.Open("wren.yaml", text).Set(value, "measurements", measure)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	q := engine.Request{Vocabulary: voc, Fitting: engine.Fitting{Body: recipes.ReadBody(file.Open("wren.yaml", text), voc),
		Cloth: recipes.ReadCloth(file.Open("cloth.yaml", read("cloths", cloth)), voc), Today: "2026-11-25", Units: quantity.In}}
	q.Pattern, _ = recipes.ReadPattern(file.Open("pattern.yaml", read("patterns", pattern)), voc, nil)
	q.Rules, _ = rules.Shared(voc)
	var err error
	if q.Recipe, err = recipes.Shipped(q.Pattern.Recipe, voc); err != nil {
		t.Fatal(err)
	}
	if fields["ease"] != "" {
		w, err := voc.Limits.ParseWish(fields["ease"], quantity.In)
		if err != nil {
			t.Fatal(err)
		}
		q.Wishes = []engine.Wish{w}
	}
	a, err := engine.Advise(q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// BenchmarkBrowser measures how long it takes from asking for the page until its
// answer can be read, and from a key until the answer has followed, as the browser
// itself tells.
func BenchmarkBrowser(b *testing.B) {
	p := open(b)
	c := browser(b, 1280)
	b.Run("first", func(b *testing.B) {
		var sum, most float64
		for range b.N {
			visit(b, c, p)
			took := ask[float64](b, c, `(() => { const n = performance.getEntriesByType("navigation")[0]; return n.domContentLoadedEventEnd - n.startTime; })()`)
			sum, most = sum+took, math.Max(most, took)
		}
		b.ReportMetric(sum/float64(b.N), "ms-to-answer")
		b.ReportMetric(most, "ms-at-most")
	})
	b.Run("key", func(b *testing.B) {
		visit(b, c, p)
		var all []float64
		for i := range b.N {
			fill(b, c, map[string]string{"m_hip": fmt.Sprintf("%d in", 36+i%10)})
			all = append(all, ask[float64](b, c, `Number(document.getElementById("answer").dataset.took)`))
		}
		slices.Sort(all)
		b.ReportMetric(all[len(all)/2], "ms-median")
		b.ReportMetric(all[len(all)-1], "ms-at-most")
	})
}
