package page

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
