package page

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/recipes/advice"
)

// afresh is a page over a notebook with nothing in it.
func afresh(t testing.TB) *opened {
	t.Helper()
	p := open(t)
	p.site.Close()
	if err := os.RemoveAll(p.dir); err != nil {
		t.Fatal(err)
	}
	p.dir = filepath.Join(t.TempDir(), "empty")
	p.start(Options{Files: question.Files{Book: notebook.Book{Dir: p.dir}, Reader: advice.Reader{Voc: p.s.Voc}}, Today: func() string { return "2026-11-25" }})
	return p
}

// hand is a person at a telephone: what she taps and which keys she presses, those of figures apart.
type hand struct {
	*testing.T
	c          context.Context
	taps, keys int
}

func (h *hand) tap(where string) {
	h.Helper()
	run(h.T, h.c, chromedp.WaitVisible(chromedp.CSS(where)))
	do(h.T, h.c, fmt.Sprintf("document.querySelector(%q).scrollIntoView({block: 'nearest'})", where))
	run(h.T, h.c, chromedp.Click(chromedp.CSS(where)))
	h.taps++
}

// typed types figures, with a tab between each.
func (h *hand) types(figures string) {
	h.Helper()
	for i, f := range strings.Fields(figures) {
		if i > 0 {
			h.press(kb.Tab)
		}
		keys(h.T, h.c, f, 180*time.Millisecond)
	}
}

func (h *hand) press(key string) {
	h.Helper()
	run(h.T, h.c, chromedp.KeyEvent(key))
	time.Sleep(180 * time.Millisecond)
	h.keys++
}

// firstSkirt is a newcomer's first skirt, from where one begins to the answer: hip 101 and waist 76, and a chart of six sizes.
func (h *hand) firstSkirt() {
	h.Helper()
	h.tap(`button[name=type][value=straight-skirt]`)
	h.tap("#m_hip")
	picture(h.T, h.c, "first-you-360")
	h.types("101 76")
	h.tap("#step-body .next button")
	h.tap(`[id="chart.0.1"]`)
	h.types("36 38 40 42 44 46")
	h.press(kb.Tab)
	h.press(kb.Tab)
	h.types("88 92 96 100 104 108")
	h.press(kb.Tab)
	h.press(kb.Tab)
	h.types("64 68 72 76 80 84")
	until(h.T, h.c, `document.getElementById("read-chart").textContent.includes("6 sizes, 2 measurements")`)
	picture(h.T, h.c, "first-pattern-360")
	h.tap("#step-pattern .next button")
	picture(h.T, h.c, "first-cloth-360")
	h.tap("#step-cloth .next button")
	until(h.T, h.c, `!!document.querySelector(".result") && !document.querySelector(".answer.stale")`)
	settled(h.T, h.c)
	picture(h.T, h.c, "first-answer-360")
}

// What a newcomer may need at most, from an empty notebook to the answer, besides the keys of figures.
const mostKeys, mostTaps = 45, 12

// A newcomer's first skirt. Size 42 is for a hip of 100, 44 for 104.
func TestBrowserNewcomer(t *testing.T) {
	p, c := afresh(t), browser(t, 360)
	run(t, c, chromedp.Navigate(p.s.Once(nil)), chromedp.WaitVisible(chromedp.CSS(".garments")))
	picture(t, c, "home-360")
	h := &hand{T: t, c: c}
	began := time.Now()
	h.firstSkirt()
	t.Logf("%d keys besides figures, %d taps, %v", h.keys, h.taps, time.Since(began).Round(time.Second))
	if h.keys > mostKeys || h.taps > mostTaps {
		t.Errorf("it takes %d keys besides figures, and %d taps; at most %d and %d", h.keys, h.taps, mostKeys, mostTaps)
	}
	if got := size(t, c); got != "42" {
		t.Errorf("it is size %q, not 42", got)
	}
	// The size and its doubt are on the first screen.
	if below := ask[float64](t, c, `document.querySelector(".decision").getBoundingClientRect().bottom - innerHeight`); below > 0 {
		t.Errorf("the answer reaches %v points below the screen", below)
	}
	if high := ask[float64](t, c, `parseFloat(getComputedStyle(document.querySelector(".size b")).fontSize)`); high < 84 {
		t.Errorf("the size is %v high", high)
	}
}

// charts are sixteen believable ways in which a maker's chart comes: all say sizes 36 to 40, waist 66, 70 and 74, hip 90, 94
// and 98 cm, some half a centimetre more.
var charts = []struct{ name, text, hip string }{
	{"tabs and an empty corner", "\t36\t38\t40\nWaist\t66\t70\t74\nHip\t90\t94\t98", "90"},
	{"tabs under the word size", "Size\t36\t38\t40\nWaist\t66\t70\t74\nHip\t90\t94\t98", "90"},
	{"commas", "size,36,38,40\nwaist,66,70,74\nhip,90,94,98", "90"},
	{"semicolons and decimal commas", ";36;38;40\nWaist;66,5;70,5;74,5\nHip;90,5;94,5;98,5", "90,5"},
	{"columns of spaces", "         36   38   40\nWaist    66   70   74\nHip      90   94   98", "90"},
	{"single spaces", "Size 36 38 40\nWaist 66 70 74\nHip 90 94 98", "90"},
	{"spaces and decimal commas", "Size 36 38 40\nWaist 66,5 70,5 74,5\nHip 90,5 94,5 98,5", "90,5"},
	{"a title above it", "Body measurements\n\t36\t38\t40\nWaist\t66\t70\t74\nHip\t90\t94\t98", "90"},
	{"units in its labels", "Size\t36\t38\t40\nWaist (cm)\t66\t70\t74\nHip (cm)\t90\t94\t98", "90 cm"},
	{"other words", "Size\t36\t38\t40\nNatural waist\t66\t70\t74\nFull hip\t90\t94\t98", "90"},
	{"sizes down", "Size\tWaist\tHip\n36\t66\t90\n38\t70\t94\n40\t74\t98", "90"},
	{"sizes down, by spaces", "Size Waist Hip\n36 66 90\n38 70 94\n40 74 98", "90"},
	{"a unit in each cell", "\t36\t38\t40\nWaist\t66 cm\t70 cm\t74 cm\nHip\t90 cm\t94 cm\t98 cm", "90 cm"},
	{"ranges", "\tS\tM\tL\nWaist\t64-68\t68-72\t72-76\nHip\t88-92\t92-96\t96-100", "88-92"},
	{"a line that is no measurement", "\t36\t38\t40\nWaist\t66\t70\t74\nHip\t90\t94\t98\nFabric 140 cm wide\t1.2\t1.3\t1.4", "90"},
	{"a word in a cell", "\t36\t38\t40\nWaist\t66\t70\t74\nHip\tninety\t94\t98", ""},
}

// Fifteen of the sixteen are read whole; of the other the cell that cannot be read is marked, with the reason.
func TestPastedCharts(t *testing.T) {
	p := open(t)
	for _, c := range charts {
		t.Run(c.name, func(t *testing.T) {
			f := p.s.form(map[string][]string{"recipe": {"straight-skirt"}, "pattern_units": {"cm"}, "units": {"cm"}, "chart_paste": {c.text}})
			defer f.close()
			f.read()
			v := f.show(nil)
			g := v.Grids[0]
			if c.hip == "" {
				for _, row := range g.Rows {
					for _, cell := range row.Cells {
						if cell.Wrong != (cell.Value == "ninety") {
							t.Errorf("%q is marked: %v", cell.Value, cell.Wrong)
						}
					}
				}
				return
			}
			if f.pattern == nil {
				t.Fatalf("it is not taken: %v", f.notes)
			}
			if row := f.pattern.Chart["hip"]; len(f.pattern.Sizes) != 3 || len(row) != 3 || row[0].Text != c.hip || f.pattern.Chart["waist"] == nil {
				t.Errorf("sizes %v, hip %v", f.pattern.Sizes, row)
			}
			if !strings.HasPrefix(g.Read, "3 sizes, 2 measurements") {
				t.Errorf("it says %q", g.Read)
			}
		})
	}
}

// A chart of a maker that is in the notebook is not typed again.
func TestTakesOverAChart(t *testing.T) {
	p := open(t)
	v := map[string][]string{"do": {"open-borrow"}, "units": {"cm"}, "recipe": {"straight-skirt"}, "borrow": {"quayside-skirt"}, "at": {"pattern"}}
	_, page := p.ask(p.post("/", v))
	for _, want := range []string{`name="chart.0.1" value="8"`, `name="maker" value="Tern Lane"`, `id="pattern_units-in" value="in" checked`, "7 sizes, 2 measurements"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
}

// Names of files are read as words, days as days.
func TestCalled(t *testing.T) {
	for name, want := range map[string]string{"quayside-skirt-2026-11-25": "Quayside skirt 2026-11-25", "wren": "Wren"} {
		if got := called(name); got != want {
			t.Errorf("%s is called %q, not %q", name, got, want)
		}
	}
}

// The first screen is light: the page with all 65 types, and all that it loads, in bytes and in requests.
func TestFirstScreenIsLight(t *testing.T) {
	const mostBytes, mostRequests = 60_000, 6
	p := afresh(t)
	_, page := p.ask(p.get(p.home))
	bytes, requests := len(page), 1
	for _, m := range regexp.MustCompile(`(?:href|src)="[^"]*/(assets/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		_, text := p.ask(p.get(p.at(m[1])))
		bytes, requests = bytes+len(text), requests+1
	}
	t.Logf("%d bytes, %d requests", bytes, requests)
	if bytes > mostBytes || requests > mostRequests || requests < 4 {
		t.Errorf("%d bytes in %d requests; at most %d in %d", bytes, requests, mostBytes, mostRequests)
	}
}

// What is typed finds the same garments at once as the button does, by the words of a title and by others.
func TestBrowserFinds(t *testing.T) {
	p, c := afresh(t), browser(t, 360)
	run(t, c, chromedp.Navigate(p.s.Once(nil)), chromedp.WaitVisible(chromedp.CSS(".garments")))
	for find, least := range map[string]int{"hoodie": 1, "A-line": 1, "child's dress": 1, "chinos": 1, "skirt": 5, "zzz": 0} {
		do(t, c, fmt.Sprintf(`(() => { const f = document.getElementById("find"); f.value = %q; f.dispatchEvent(new Event("input", {bubbles: true})); })()`, find))
		typed := ask[[]string](t, c, `[...document.querySelectorAll("[data-words]:not([hidden]) button")].map((b) => b.value)`)
		_, page := p.ask(p.get(p.at("new?" + url.Values{"find": {find}}.Encode())))
		pressed := []string{}
		for _, m := range regexp.MustCompile(`name="type" value="([^"]*)"`).FindAllStringSubmatch(page, -1) {
			pressed = append(pressed, m[1])
		}
		if diff := cmp.Diff(pressed, typed); diff != "" || len(typed) < least || least == 0 && len(typed) > 0 {
			t.Errorf("%q finds %v as it is typed:\n%s", find, typed, diff)
		}
	}
}
