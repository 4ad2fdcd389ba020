package page

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// houndCoat and wharfCoat are a garment type and a pattern in the notebook, which declare measurements.
const (
	houndCoat = `kind: recipe
name: hound-coat
title: hound coat
draft: all
measurements: {hound_chest: {title: hound's chest, kind: girth, how: Round the deepest part of the chest.}}
controlling: hound_chest
stretch: none
zones: {hound_chest: {role: decides, ease: 4 cm .. 10 cm}}
grading: {sensible: false, because: it is one piece}
`
	wharfCoat = `kind: pattern
maker: Tern Lane
name: Wharf coat
recipe: hound-coat
units: cm
measurements: {hound_waist: {title: hound's waist, kind: girth, how: Round the narrowest part.}}
sizes: [S, M, L]
body: {hound_chest: [48, 56, 64], hound_waist: [40, 47, 54]}
finished: {hound_chest: [54, 62, 70]}
`
)

// What a type of the notebook declares has a field, with its title and how to take it, where that type is asked about, and
// decides there; where another is, nobody is asked for it. What a pattern declares is read with it.
func TestDeclaredMeasurementsHaveFields(t *testing.T) {
	p := open(t)
	p.hound(t)
	p.ask(p.post("/", url.Values{"do": {"afresh"}}))
	v := url.Values{"units": {"cm"}, "pattern": {"wharf-coat"}, "body": {""}, "body_units": {"cm"}, "m_hound_chest": {"57"}}
	status, page := p.ask(p.post("/answer", v))
	if status != http.StatusOK || !strings.Contains(page, `data-size="M"`) {
		t.Errorf("no size M: %d\n%s", status, page)
	}
	v.Set("do", "open-pattern")
	if _, page = p.ask(p.post("/", v)); !strings.Contains(page, "m_hound_chest") || !strings.Contains(page, "Round the deepest part of the chest.") {
		t.Errorf("there is no field for the hound's chest:\n%s", page)
	}
	if _, page = p.ask(p.post("/", demo())); strings.Contains(page, "m_hound_chest") {
		t.Error("for a skirt a hound's chest is asked for")
	}
}

// hound puts a hound's garment type and pattern into the notebook.
func (p *opened) hound(t *testing.T) {
	t.Helper()
	made := "kind: sewn\nname: Wharf coat\nmade: 2026-11-20\npattern: Wharf coat\nrecipe: hound-coat\nbody: {name: Moss}\nsize: M\nease: {hound_chest: 5 cm}\nfinished: {hound_chest: 62 cm}\n"
	body := "kind: body\nname: Moss\nmeasurements: {hound_chest: 57 cm}\n"
	for name, text := range map[string]string{"recipes/hound-coat.yaml": houndCoat, "patterns/wharf-coat.yaml": wharfCoat, "sewn/wharf.yaml": made, "bodies/moss.yaml": body} {
		path := filepath.Join(p.dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// What was sewn of such a type can be rated where it declares what is measured.
func TestRatesWhatIsDeclared(t *testing.T) {
	p := open(t)
	p.hound(t)
	_, page := p.ask(p.get(p.at("/after?make=wharf")))
	if !strings.Contains(page, `name="feels_hound_chest"`) {
		t.Fatalf("the hound's chest cannot be rated:\n%s", page)
	}
	v := url.Values{"do": {"save-outcome"}, "make": {"wharf"}, "make_hash": {valueOf(page, "make_hash")}, "zone": {"hound_chest"}, "feels_hound_chest": {"right"}}
	if status, page := p.ask(p.post("/after", v)); status != http.StatusOK || !strings.Contains(p.read("sewn/wharf.yaml"), "hound_chest: right") {
		t.Errorf("got %d, and noted %s:\n%s", status, p.read("sewn/wharf.yaml"), page)
	}
}
