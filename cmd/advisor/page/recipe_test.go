package page

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A type of one's own under a shipped name is told as it is typed, is not saved, and, where it stands in the notebook
// already, is spoken of where types are chosen.
func TestAShippedNameIsNotTakenWithoutAWord(t *testing.T) {
	p := open(t)
	text := "kind: recipe\nname: straight-skirt\ntitle: my skirt\nbased_on: straight-skirt\n"
	const said = "a garment type <code>straight-skirt</code> is shipped already"
	if _, page := p.ask(p.post("/recipes/check", url.Values{"text": {text}})); !strings.Contains(strings.ToLower(page), said) || !strings.Contains(page, "FA0414") {
		t.Errorf("it is not told as it is typed:\n%s", page)
	}
	form := url.Values{"do": {"save"}, "from": {"straight-skirt"}, "text": {text}}
	if status, page := p.ask(p.post("/recipes/edit", form)); status != http.StatusUnprocessableEntity || !strings.Contains(page, said) || len(p.s.names("recipe")) > 0 {
		t.Errorf("got %d, and perhaps it is saved:\n%s", status, page)
	}
	form.Set("text", text+"replaces: straight-skirt\n")
	if status, page := p.ask(p.post("/recipes/edit", form)); status != http.StatusOK || len(p.s.names("recipe")) != 1 {
		t.Errorf("with `replaces:` it is not saved: %d\n%s", status, page)
	}
	if err := os.WriteFile(filepath.Join(p.dir, "recipes", "straight-skirt.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	p.ask(p.post("/", url.Values{"do": {"afresh"}}))
	v := url.Values{"units": {"in"}, "body": {"wren"}}
	for name, page := range map[string]string{"the types": second(p.ask(p.get(p.at("/recipes")))), "a size": second(p.ask(p.post("/answer", v)))} {
		page = strings.NewReplacer("&#39;", "'", "<code>", "“", "</code>", "”").Replace(page)
		if !strings.Contains(page, "“straight-skirt” cannot be used") {
			t.Errorf("%s: it is gone without a word:\n%.2000s", name, page)
		}
	}
}

func second(_ int, text string) string { return text }

// What is changed in the form is set in the text, which keeps its comments; what is emptied is what it builds on again; what
// is said of the text is said as before.
func TestFormOfARecipeSetsItsText(t *testing.T) {
	p := open(t)
	const text = "kind: recipe\nname: my-skirt\ntitle: my skirt # hers\nbased_on: straight-skirt\nzones:\n  waist: {ease: 1 cm .. 2 cm} # close\n"
	_, page := p.ask(p.post("/recipes/check", url.Values{"text": {text}}))
	for _, want := range []string{`name="r.zones.hip.ease" value="2 in .. 4 in"`, `name="r.zones.waist.ease" value="1 cm .. 2 cm"`, `name="r.title" value="my skirt"`, `<option value="hip" selected>hip`} {
		if !strings.Contains(page, want) {
			t.Errorf("the form has no %s:\n%s", want, page)
		}
	}
	typed := url.Values{"text": {text}, "r.title": {"her skirt"}, "was.r.title": {"my skirt"}, "r.zones.hip.ease": {"6 cm .. 12 cm"}, "was.r.zones.hip.ease": {"2 in .. 4 in"},
		"r.zones.waist.ease": {""}, "was.r.zones.waist.ease": {"1 cm .. 2 cm"}, "r.controlling": {"hip"}, "was.r.controlling": {"hip"}}
	_, page = p.ask(p.post("/recipes/check", typed))
	for _, want := range []string{"title: her skirt # hers", "hip:\n", "6 cm .. 12 cm", `name="r.zones.waist.ease" value="0.5 in .. 1 in"`, `data-set="true"`, "It can be used."} {
		if !strings.Contains(page, want) {
			t.Errorf("there is no %q:\n%s", want, page)
		}
	}
	typed = url.Values{"text": {text}, "r.zones.hip.ease": {"much"}, "was.r.zones.hip.ease": {"2 in .. 4 in"}}
	if _, page := p.ask(p.post("/recipes/check", typed)); !strings.Contains(page, `class="problem error"`) || !strings.Contains(page, "Line ") {
		t.Errorf("what is wrong is not said:\n%s", page)
	}
	typed = url.Values{"text": {text}, "do": {"caution"}, "n_zone": {"hip"}, "n_less": {"4 cm"}, "n_say": {"Too close to sit in: this linen does not give."}}
	_, page = p.ask(p.post("/recipes/edit", typed))
	for _, want := range []string{"when: zone.ease &lt; limit.least", "It can be used.", `name="r.cautions.0.say" value="Too close to sit in: this linen does not give."`} {
		if !strings.Contains(page, want) {
			t.Errorf("there is no %q:\n%s", want, page)
		}
	}
}

// In a browser the text follows the form while one types in it, and the form the text.
func TestBrowserFormAndTextFollowOneAnother(t *testing.T) {
	p, c := open(t), browser(t, 1280)
	visit(t, c, p)
	run(t, c, chromedp.Navigate(p.at("/recipes/edit?from=straight-skirt")), chromedp.WaitReady(chromedp.CSS("#text")))
	set := func(id, value string) {
		t.Helper()
		do(t, c, fmt.Sprintf("{ const e = document.getElementById(%q); e.closest('details') && (e.closest('details').open = true); e.focus(); e.value = %q; e.dispatchEvent(new Event('input', {bubbles: true})); }", id, value))
	}
	set("r.zones.hip.ease", "6 cm .. 12 cm")
	until(t, c, `document.getElementById("text").value.includes("ease: 6 cm .. 12 cm")`)
	set("r.zones.hip.ease", "6 cm .. 11 cm")
	until(t, c, `document.getElementById("text").value.includes("ease: 6 cm .. 11 cm") && !document.getElementById("text").value.includes("12 cm")`)
	set("text", "kind: recipe\nname: her-skirt\ntitle: her skirt\nbased_on: straight-skirt\n")
	until(t, c, `document.getElementById("r.title").value === "her skirt" && document.getElementById("r.zones.hip.ease").value === "2 in .. 4 in"`)
}
