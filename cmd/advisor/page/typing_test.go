package page

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// speeds are those of a fast typist, of an ordinary one and of a person who looks for the keys.
var speeds = []time.Duration{30 * time.Millisecond, 150 * time.Millisecond, 250 * time.Millisecond}

// keys types a text, one key after another. It returns the longest time between two keys, which a busy machine makes longer.
func keys(t *testing.T, c context.Context, text string, pause time.Duration) (longest time.Duration) {
	t.Helper()
	last := time.Now()
	for _, key := range text {
		run(t, c, chromedp.KeyEvent(string(key)))
		longest, last = max(longest, time.Since(last)), time.Now()
		time.Sleep(pause)
	}
	return longest
}

// forgets is after how long a browser takes the next letter in a list for the first of another word.
const forgets = 900 * time.Millisecond

func focus(t *testing.T, c context.Context, id string) {
	t.Helper()
	do(t, c, `document.getElementById("`+id+`").focus()`)
}

// settled waits until what was asked last is answered.
func settled(t *testing.T, c context.Context) {
	t.Helper()
	for was := -1.0; ; {
		time.Sleep(100 * time.Millisecond)
		turn := ask[float64](t, c, `Number(document.getElementById("answer").dataset.turn || 0)`)
		if turn == was {
			return
		}
		was = turn
	}
}

const triedNow = `[...document.querySelectorAll("[name=tried]")].filter((e) => e.checked).map((e) => e.value)`

// At any speed of typing: the forms do what is typed, and nothing that is typed half.
func TestBrowserTyped(t *testing.T) {
	c := browser(t, 1280)
	for _, test := range []struct {
		name string
		do   func(*testing.T, context.Context, *opened, time.Duration)
	}{
		{"a change is tried when it is whole", changeIsTriedWhole},
		{"a type is chosen by the keyboard", typeByKeyboard},
	} {
		for _, speed := range speeds {
			if testing.Short() && speed != speeds[1] {
				continue
			}
			t.Run(fmt.Sprintf("%s, %v a key", test.name, speed), func(t *testing.T) {
				p := open(t)
				visit(t, c, p)
				test.do(t, c, p, speed)
			})
		}
	}
}

func changeIsTriedWhole(t *testing.T, c context.Context, _ *opened, speed time.Duration) {
	run(t, c, chromedp.Click(chromedp.CSS("#go-more")))
	focus(t, c, "what_if")
	do(t, c, `document.getElementById("what_key").value = "hip"`)
	keys(t, c, "46 in", speed)
	if got := ask[[]string](t, c, triedNow); len(got) > 0 {
		t.Errorf("tried before it is whole: %q", got)
	}
	run(t, c, chromedp.KeyEvent(kb.Enter))
	until(t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size === "20"`)
	settled(t, c)
	if got := ask[[]string](t, c, triedNow); fmt.Sprint(got) != "[hip=46 in]" {
		t.Errorf("tried: %q", got)
	}
	// The later of two changes counts, on leaving the field too.
	keys(t, c, "38 in", speed)
	run(t, c, chromedp.KeyEvent(kb.Tab))
	until(t, c, `(document.querySelector(".result") || {dataset: {}}).dataset.size === "12"`)
	settled(t, c)
	if got := ask[[]string](t, c, triedNow); fmt.Sprint(got) != "[hip=38 in]" {
		t.Errorf("tried: %q", got)
	}
	// What cannot be read is told, stays where it was typed, and is not kept.
	focus(t, c, "what_if")
	keys(t, c, "x", speed)
	run(t, c, chromedp.KeyEvent(kb.Enter))
	until(t, c, `document.getElementById("what_if").hasAttribute("aria-invalid")`)
	settled(t, c)
	if got := ask[[]string](t, c, triedNow); fmt.Sprint(got) != "[hip=38 in]" {
		t.Errorf("tried: %q", got)
	}
	if got := ask[string](t, c, `document.getElementById("what_if").value`); got != "x" {
		t.Errorf("what cannot be read is gone: %q", got)
	}
}

func typeByKeyboard(t *testing.T, c context.Context, _ *opened, speed time.Duration) {
	choose(t, c, "pattern", "")
	settled(t, c)
	run(t, c, chromedp.Click(chromedp.CSS("#go-pattern")))
	focus(t, c, "recipe")
	for keys(t, c, "straight", speed) > forgets {
		time.Sleep(2 * forgets)
	}
	run(t, c, chromedp.KeyEvent(kb.Tab))
	focus(t, c, "chart.0.1")
	keys(t, c, "ab cd", speed)
	settled(t, c)
	if got := ask[string](t, c, `document.getElementById("recipe").value`); got != "straight-skirt" {
		t.Errorf("straight is typed, and the type is %q", got)
	}
	if got := ask[string](t, c, `document.activeElement.value || ""`); got != "ab cd" {
		t.Errorf("after it is typed %q", got)
	}
}

// Each size is asked about, and not the first of them again.
func TestAsksWhyNotOfEachSize(t *testing.T) {
	p := open(t)
	v := demo()
	v["why_not"], v["why_not_shown"] = []string{"14"}, []string{"16"}
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, `name="why_not_shown" value="14"`) {
		t.Errorf("14 is not asked about:\n%s", text)
	}
	v["why_not"] = []string{""}
	if _, text := p.ask(p.post("/answer", v)); strings.Contains(text, `id="why-not"`) {
		t.Error("it cannot be closed")
	}
	v.Del("why_not")
	if _, text := p.ask(p.post("/answer", v)); !strings.Contains(text, `name="why_not_shown" value="16"`) || !strings.Contains(text, `id="why-not"`) {
		t.Error("what was asked about is gone when something else is typed")
	}
}

// What is pressed is answered, also where the field that was left is answered meanwhile.
func TestBrowserAnswersWhatIsPressed(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	unfold(t, c, "others")
	for _, size := range []string{"16", "14", "20"} {
		run(t, c, chromedp.Click(chromedp.CSS("#why-not-"+size)))
		until(t, c, `(document.querySelector("[name=why_not_shown]") || {}).value === "`+size+`" && !!document.querySelector("#why-not")`)
	}
	focus(t, c, "m_hip")
	do(t, c, `document.activeElement.select()`)
	keys(t, c, "44", 0)
	until(t, c, `!!document.getElementById("why-not-16")`) // a slow machine may answer the first 4 by itself
	at := ask[[]float64](t, c, `(() => { const b = document.getElementById("why-not-16"); b.scrollIntoView({block: "center"}); const r = b.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	run(t, c, chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	time.Sleep(400 * time.Millisecond)
	run(t, c, chromedp.MouseEvent("mouseReleased", at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	until(t, c, `(document.querySelector("[name=why_not_shown]") || {}).value === "16"`)

	// In inches, what is typed is inches.
	for _, step := range []string{"body", "pattern"} {
		choose(t, c, step, "")
	}
	if got := ask[string](t, c, `document.getElementById("body_units").value`); got != "cm" {
		t.Fatalf("at first it is %q", got)
	}
	run(t, c, chromedp.Click(chromedp.CSS("#units-in")))
	until(t, c, `document.getElementById("body_units").value === "in" && document.querySelector("[name=pattern_units]:checked").value === "in"`)

}

// Inches that are chosen hold for what is typed into a new file, and not for what is in the notebook.
func TestInchesAreTypedOnceTheyAreChosen(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("do", "redraw")
	for id, value := range map[string]string{"body": "", "name": "Nightjar", "m_hip": "44 1/4", "body_units": "cm", "pattern_units": "in", "units_were": "cm", "units": "in"} {
		v.Set(id, value)
	}
	_, page := p.ask(p.post("/", v))
	if !strings.Contains(page, `data-size="18"`) || !strings.Contains(page, `id="body_units" value="in"`) || !strings.Contains(page, "is read so too now") {
		t.Errorf("44 1/4 is not read as inches, or it is not said:\n%s", page)
	}
	v.Set("body", "wren")
	v.Set("units_were", "in")
	v.Set("units", "cm")
	v.Set("body_units", "in")
	if _, page := p.ask(p.post("/", v)); !strings.Contains(page, `data-size="18"`) {
		t.Error("a file of the notebook is read in other units")
	}
}
