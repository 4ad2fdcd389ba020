package page

import (
	"context"
	"fmt"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// everything is the files below a folder, with their texts.
func everything(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(at)
		all[at] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// markup is what would run in a page that does not escape what it shows.
const markup = `"><script>alert(1)</script><img src=x onerror=alert(1)>'{{.Token}}`

// Markup is shown as it was typed, wherever it is typed.
func TestEscapesWhatIsTyped(t *testing.T) {
	p := open(t)
	for _, field := range []string{"name", "taken", "measured_over", "m_hip", "m_waist", "maker", "pattern_name", "recipe", "chart", "finished", "cloth_name", "structure",
		"across", "ease", "ease_more", "over", "like", "with", "what_if", "tried", "why_not", "why_not_shown", "units_were", "body", "pattern", "cloth", "units", "body_units", "body_hash"} {
		for _, path := range []string{"/", "/answer"} {
			v := demo()
			v.Set(field, markup)
			_, text := p.ask(p.post(path, v))
			if strings.Contains(text, "<script>alert") || strings.Contains(text, "<img src=x") {
				t.Errorf("%s runs what was typed into %s", path, field)
			}
		}
	}
	for _, field := range []string{"name", "pattern_name", "maker", "cloth_name"} {
		for _, path := range []string{"/plan", "/made"} {
			v := demo()
			v.Set(field, markup)
			if _, text := p.ask(p.post(path, v)); strings.Contains(text, "<script>alert") || strings.Contains(text, "<img src=x") {
				t.Errorf("%s runs what was typed into %s", path, field)
			}
		}
	}
	for _, v := range []url.Values{{"text": {"kind: recipe\nname: " + markup}}, {"text": {"kind: recipe\n# </textarea>" + markup}, "do": {"check"}},
		{"from": {markup}}, {"recipe_file": {markup}}} {
		if _, text := p.ask(p.get(p.at("/recipes/edit?" + v.Encode()))); strings.Contains(text, "<script>alert") || strings.Contains(text, "<img src=x") {
			t.Errorf("/recipes/edit runs what stands in its address: %v", v)
		}
		for _, path := range []string{"/recipes/edit", "/recipes/check"} {
			if _, text := p.ask(p.post(path, v)); strings.Contains(text, "<script>alert") || strings.Contains(text, "<img src=x") {
				t.Errorf("%s runs what was typed: %v", path, v)
			}
		}
	}
}

// A name of markup in the notebook itself is shown as it is.
func TestEscapesNamesOfFiles(t *testing.T) {
	p := open(t)
	text := "kind: body\nname: " + `"<script>alert(1)</script>"` + "\nunits: in\nmeasurements: {hip: 44}\n"
	if err := os.WriteFile(filepath.Join(p.dir, "bodies", "<script>alert(1)<.yaml"), []byte(text), 0o600); err != nil {
		t.Skipf("the file system has no such names: %v", err)
	}
	if _, text := p.ask(p.get(p.home)); strings.Contains(text, "<script>alert") {
		t.Error("the name of a file runs")
	}
}

// Nothing outside of the notebook is written, whatever a name says.
func TestPathsStayInTheNotebook(t *testing.T) {
	p := open(t)
	outside := filepath.Dir(p.dir)
	if err := os.WriteFile(filepath.Join(outside, "secret.yaml"), []byte("kind: body\nname: secret\nunits: cm\nmeasurements: {hip: 99}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../secret", "../../secret", `..\secret`, "/etc/passwd", outside + "/secret", "bodies/../../secret", "secret\x00", "..", "."} {
		for _, step := range []string{"body", "pattern", "cloth"} {
			v := url.Values{step: {name}, "do": {"open-" + step}}
			if _, text := p.ask(p.post("/", v)); strings.Contains(text, `value="99"`) {
				t.Errorf("%s %q reads outside of the notebook", step, name)
			}
		}
		for _, v := range []url.Values{
			{"do": {"save-body"}, "name": {name}, "m_hip": {"98 cm"}},
			{"do": {"save-cloth"}, "cloth_name": {name}, "structure": {"knit"}},
			{"do": {"save-body"}, "body": {name}, "name": {"x"}, "m_hip": {"98 cm"}},
		} {
			p.ask(p.post("/", v))
		}
		p.ask(p.post("/recipes/edit", url.Values{"do": {"save"}, "text": {"kind: recipe\nname: " + name + "\ntitle: t\nbased_on: straight-skirt\n"}}))
		p.ask(p.post("/after", url.Values{"do": {"save-outcome"}, "make": {name}, "zone": {"hip"}, "feels_hip": {"right"}}))
	}
	for at := range everything(t, outside) {
		if inside, err := filepath.Rel(p.dir, at); err != nil || strings.HasPrefix(inside, "..") && filepath.Base(at) != "secret.yaml" {
			t.Errorf("%s was written", at)
		}
	}
}

// A folder of the notebook that is a link leads nowhere.
func TestLinksLeadNowhere(t *testing.T) {
	p := open(t)
	elsewhere := t.TempDir()
	if err := os.RemoveAll(filepath.Join(p.dir, "cloths")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(elsewhere, filepath.Join(p.dir, "cloths")); err != nil {
		t.Skipf("the file system has no links: %v", err)
	}
	status, _ := p.ask(p.post("/", url.Values{"do": {"save-cloth"}, "cloth_name": {"linen"}, "structure": {"woven"}}))
	if found := everything(t, elsewhere); status != http.StatusUnprocessableEntity || len(found) > 0 {
		t.Errorf("got %d, and written: %v", status, found)
	}
	if err := os.Remove(filepath.Join(p.dir, "bodies", "wren.yaml")); err != nil {
		t.Fatal(err)
	}
	secret := filepath.Join(elsewhere, "secret")
	if err := os.WriteFile(secret, []byte("kind: body\nmeasurements: {hip: 99 cm}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, filepath.Join(p.dir, "bodies", "wren.yaml")); err != nil {
		t.Fatal(err)
	}
	if _, text := p.ask(p.post("/", url.Values{"body": {"wren"}, "do": {"open-body"}})); strings.Contains(text, "99 cm") {
		t.Error("a file that is a link is read outside of the notebook")
	}
}

// A form of 10 MB is refused without being read, one that may be is answered soon.
func TestLargeCharts(t *testing.T) {
	p := open(t)
	v := demo()
	v.Set("chart", strings.Repeat("hip\t1\t2\n", 10<<20/8))
	if status, _ := p.ask(p.post("/answer", v)); status != http.StatusRequestEntityTooLarge {
		t.Errorf("10 MB are answered with %d", status)
	}
	for name, chart := range map[string]string{
		"many sizes":        "measurement" + strings.Repeat("\t1", 20000) + "\nhip" + strings.Repeat("\t40", 20000),
		"many measurements": "measurement\t1\n" + strings.Repeat("hip\t40\n", 20000),
		"nothing but tabs":  strings.Repeat("\t", 60000),
		"one long cell":     "measurement\t1\nhip\t" + strings.Repeat("4", 200000),
	} {
		v.Set("chart", chart)
		if status, text := p.ask(p.post("/answer", v)); status != http.StatusOK || strings.Contains(text, `data-size=`) {
			t.Errorf("%s: got %d, and perhaps an answer", name, status)
		}
	}
}

// As many sizes as are read are answered.
func TestManySizes(t *testing.T) {
	p := open(t)
	var chart strings.Builder
	chart.WriteString("size\thip\n")
	for i := range p.s.Voc.Limits.MostSizes {
		fmt.Fprintf(&chart, "s%d\t%.3f\n", i, 30+0.095*float64(i))
	}
	v := url.Values{"units": {"in"}, "body": {"wren"}, "recipe": {"gathered-skirt"}, "pattern_units": {"in"}, "chart": {chart.String()}}
	// A hip of 44.25 in is that of size 150: 30 + 0.095 * 150.
	if status, text := p.ask(p.post("/answer", v)); status != http.StatusOK || !strings.Contains(text, `data-size="s150"`) {
		t.Errorf("got %d: %.300s", status, text)
	}
}

// Every answer forbids what a page of ours never does.
func TestHeaders(t *testing.T) {
	p := open(t)
	for _, path := range []string{"/", "/after", "/recipes", "/assets/page.js", "/assets/page.css", "/assets/document.css", "/assets/", "/nothing"} {
		reply, err := p.browser.Get(p.at(path))
		if err != nil {
			t.Fatal(err)
		}
		reply.Body.Close()
		for name, want := range map[string]string{"Content-Security-Policy": policy, "Cache-Control": "no-store", "Referrer-Policy": "no-referrer", "X-Content-Type-Options": "nosniff"} {
			if got := reply.Header.Get(name); got != want {
				t.Errorf("%s: %s is %q", path, name, got)
			}
		}
	}
	for _, path := range []string{"/answer", "/plan", "/made"} {
		if status, _ := p.ask(p.get(p.at(path) + "?m_hip=44")); status != http.StatusMethodNotAllowed {
			t.Errorf("a body may stand in the address of %s: %d", path, status)
		}
	}
	if _, text := p.ask(p.get(p.home)); strings.Contains(text, "style=") || strings.Contains(text, " onclick") || strings.Contains(text, "<script>") {
		t.Error("a page has what its policy forbids")
	}
}

// The server ends when it is told to, and lets what has begun end.
func TestStops(t *testing.T) {
	p := open(t)
	l, err := Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(p.s.Options, l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, l) }()
	reply, err := p.browser.Get(s.Once(nil))
	if err != nil {
		t.Fatal(err)
	}
	reply.Body.Close()
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(2 * waitTime):
		t.Error("it goes on")
	}
}
