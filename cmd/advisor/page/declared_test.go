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
	for name, text := range map[string]string{"recipes/hound-coat.yaml": houndCoat, "patterns/wharf-coat.yaml": wharfCoat} {
		path := filepath.Join(p.dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
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
