package page

import (
	"context"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// leastTarget is how wide and high what is tapped has to be, in CSS pixels: that of WCAG 2.2, criterion 2.5.5, level AAA (from memory).
const leastTarget = 44

// tooSmall are the things on a page that can be tapped and are smaller: of a radio button or a tick its label counts. A link in
// the midst of a sentence may be as high as its line, as the criterion says.
const tooSmall = `[...document.querySelectorAll("a, button, input, select, textarea, summary")].filter((e) => {
	if (e.matches(".skip, .first, [type=hidden]") || e.closest("[hidden], .tree")) return false;
	if (e.matches("p:not(.two-buttons) > a:not(.button), .document a")) return false;
	const label = e.matches("[type=radio], [type=checkbox]") ? e.closest("label") : e, r = label.getBoundingClientRect();
	return e.checkVisibility() && (r.width < %[1]d - .5 || r.height < %[1]d - .5);
}).map((e) => e.tagName + " " + (e.id || e.name || e.className) + " " + e.textContent.trim().slice(0, 20) + " " + Math.round(e.getBoundingClientRect().width) + "x" + Math.round(e.getBoundingClientRect().height))`

// views goes through every view of the page.
func everyView(t *testing.T, c context.Context, p *opened, look func(view string)) {
	t.Helper()
	for _, v := range visits {
		run(t, c, chromedp.Navigate(p.at(v.path)), chromedp.WaitReady(chromedp.CSS("body")))
		if v.press != "" {
			do(t, c, `document.getElementById("`+v.press+`").click()`)
		}
		run(t, c, chromedp.WaitReady(chromedp.CSS(v.there)))
		look(v.name)
	}
	for _, step := range stageIDs {
		run(t, c, chromedp.Navigate(p.at("/?at="+step)), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
		look(step)
		do(t, c, `document.querySelectorAll("details").forEach((d) => { d.open = true; })`)
		look(step + ", all opened")
	}
}

// On a telephone all that is tapped is large enough.
func TestBrowserTargets(t *testing.T) {
	p, c := open(t), browser(t, 360)
	p.sewnBefore()
	visit(t, c, p)
	everyView(t, c, p, func(view string) {
		for _, small := range ask[[]string](t, c, fmt.Sprintf(tooSmall, leastTarget)) {
			t.Errorf("%s: %s", view, small)
		}
	})
}

// Nothing reaches beyond a window of 320, nor one of 360 with letters twice as large.
func TestBrowserFits(t *testing.T) {
	p := open(t)
	p.sewnBefore()
	for _, size := range []struct {
		width   int64
		letters string
	}{{320, "100%"}, {360, "200%"}} {
		if testing.Short() && size.width > 320 {
			continue
		}
		c := browser(t, size.width)
		run(t, c, chromedp.Navigate(p.s.Once(nil)), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
		everyView(t, c, p, func(view string) {
			do(t, c, `document.documentElement.style.fontSize = "`+size.letters+`"`)
			if over := ask[float64](t, c, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				what := ask[[]string](t, c, `[...document.querySelectorAll("body *")].filter((e) => e.checkVisibility() && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest(".cells, .wide, .skip, .first, svg")).slice(0, 6).map((e) => e.tagName + " " + (e.id || e.className))`)
				t.Errorf("%s, %d wide, letters at %s: it reaches %v points beyond the window: %v", view, size.width, size.letters, over, what)
			}
		})
	}
}

// On a telephone of 360 by 740 the pattern and the cloth are each one screen, down to the button that leads on.
func TestBrowserStepsAreOneScreen(t *testing.T) {
	p, c := open(t), browser(t, 360)
	visit(t, c, p)
	run(t, c, chromedp.EmulateViewport(360, 740))
	for _, step := range []string{"pattern", "cloth"} {
		run(t, c, chromedp.Navigate(p.at("/?at="+step)), chromedp.WaitReady(chromedp.CSS("#answer .decision")))
		picture(t, c, step+"-360")
		if over := ask[float64](t, c, `document.documentElement.scrollHeight - innerHeight`); over > 0 {
			t.Errorf("%s reaches %v points below the screen", step, over)
		}
	}
}

// leastLetters is how high letters in the picture of the room are at least, in CSS pixels.
const leastLetters = 12

// No letter in the picture of the room is smaller than that, on the narrowest telephone and on any other screen: on the
// answer, afterwards, and on the sheet.
func TestBrowserLettersInTheRoom(t *testing.T) {
	const smallest = `Math.min(...[...document.querySelectorAll(".room svg text, .two svg text")].map((e) => {
		const svg = e.closest("svg"); return Number(e.getAttribute("font-size")) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
	}))`
	p := open(t)
	p.sewnBefore()
	for _, width := range []int64{320, 360, 1280} {
		c := browser(t, width)
		visit(t, c, p)
		check := func(view string) {
			t.Helper()
			if got := ask[float64](t, c, "Math.min(999, "+smallest+")"); got < leastLetters-0.05 || got == 999 {
				t.Errorf("%s, %d wide: letters %v high", view, width, got)
			}
		}
		check("the answer")
		run(t, c, chromedp.Navigate(p.at("/after?make=first-skirt")), chromedp.WaitReady(chromedp.CSS(".worn .rows")))
		check("afterwards")
		run(t, c, chromedp.Navigate(p.home), chromedp.WaitReady(chromedp.CSS("#do-plan")))
		do(t, c, `document.getElementById("do-plan").removeAttribute("formtarget"); document.getElementById("do-plan").click()`)
		run(t, c, chromedp.WaitReady(chromedp.CSS(".document .two")))
		check("the sheet")
	}
}
