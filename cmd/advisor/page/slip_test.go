package page

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A slip is shown once its field is left, the last good answer stays, dimmed, and one sentence says so; put right, all is as it was.
func TestBrowserSlips(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	focus(t, c, "m_hip")
	do(t, c, `document.activeElement.select()`)
	keys(t, c, "44 x", 0)
	settled(t, c)
	said := `document.getElementById("n-m_hip").textContent`
	if got := ask[string](t, c, said); got != "" {
		t.Errorf("while it is typed it says %q", got)
	}
	run(t, c, chromedp.KeyEvent(kb.Tab))
	until(t, c, said+` !== ""`)
	if got := ask[string](t, c, `document.querySelector(".answer.stale .result").dataset.size`); got != "18" {
		t.Errorf("the last good answer is %q, not 18", got)
	}
	if got := ask[string](t, c, `document.getElementById("status").textContent`); got != "Something has to be put right first." {
		t.Errorf("the one sentence is %q", got)
	}
	focus(t, c, "m_hip")
	do(t, c, `document.activeElement.select()`)
	keys(t, c, "38", 0)
	until(t, c, `!document.querySelector(".stale") && document.querySelector(".result").dataset.size === "12"`)
	if got := ask[string](t, c, said); got != "" {
		t.Errorf("put right, it still says %q", got)
	}
}

// A slip in what the garment does not use leaves the answer as it is: a gathered skirt has no head.
func TestASlipElsewhereTakesNoAnswerAway(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("m_head", "22 ells")
	_, text := p.ask(p.post("/answer", v))
	if !strings.Contains(text, `data-size="18"`) || !strings.Contains(text, `data-note="m_head" data-wrong`) {
		t.Errorf("there is no answer, or the slip is not told:\n%.3000s", text)
	}
	v.Set("do", "save-body")
	if status, _ := p.ask(p.post("/", v)); status == 303 || strings.Contains(p.read("bodies/wren.yaml"), "ells") {
		t.Error("what cannot be read is saved")
	}
}

// 98,75 is a figure with a decimal comma: 98.75 cm, in a field and in a cell.
func TestDecimalCommas(t *testing.T) {
	p := open(t)
	f := p.s.form(map[string][]string{"units": {"cm"}, "body_units": {"cm"}, "m_hip": {"98,75"}, "recipe": {"straight-skirt"}, "pattern_units": {"cm"},
		"chart.0.1": {"36"}, "chart.0.2": {"38"}, "chart.1.0": {"hip"}, "chart.1.1": {"94,5"}, "chart.1.2": {"98,75"}})
	defer f.close()
	f.read()
	if f.request.Body == nil || f.pattern == nil {
		t.Fatal(f.notes)
	}
	if got := f.request.Body.Measurements["hip"].Readings[0].Length.Cm(); got != 98.75 {
		t.Errorf("the hip is %v", got)
	}
	if got := f.pattern.Chart["hip"][1].Low.Cm(); got != 98.75 {
		t.Errorf("the cell is %v", got)
	}
}

// No answer shows where something stands in a file, or what is typed behind a command.
func TestNoFilesInTheAnswer(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("with", "hip=42 in")
	v.Set("m_waist", "30")
	_, text := p.ask(p.post("/answer", v))
	if !strings.Contains(text, "what you try") || !strings.Contains(text, "your notebook, Quayside skirt") {
		t.Errorf("sources are not in words:\n%.6000s", text)
	}
	for _, never := range []string{".yaml", ".csv", "--with", "advisor ", "<code>"} {
		if i := strings.Index(text, never); i >= 0 {
			t.Errorf("it shows %q: %s", never, text[max(0, i-120):min(len(text), i+60)])
		}
	}
}
