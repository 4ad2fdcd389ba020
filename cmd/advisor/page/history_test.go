package page

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/cmd/advisor/internal/past"
)

// bodySaved saves measurements that are typed into the form, on the file as it stands.
func (p *opened) bodySaved(typed map[string]string) (int, string) {
	v := url.Values{"body": {"me"}, "do": {"save-body"}, "body_hash": {(&entry{was: []byte(p.read("bodies/me.yaml"))}).hash()}}
	for id, text := range typed {
		v.Set(id, text)
	}
	return p.ask(p.post("/", v))
}

func (p *opened) put(at, text string) {
	p.Helper()
	if err := os.WriteFile(filepath.Join(p.dir, filepath.FromSlash(at)), []byte(text), 0o600); err != nil {
		p.Fatal(err)
	}
}

// Whatever is saved from the form, today or on a day that is typed: no measurement is lost and none gets another day.
func TestSavingKeepsHistory(t *testing.T) {
	p := open(t)
	today := ""
	p.s.Today = func() string { return today }
	rapid.Check(t, func(rt *rapid.T) {
		text, model := past.Draw(rt)
		p.put("bodies/me.yaml", text)
		for range rapid.IntRange(1, 4).Draw(rt, "sittings") {
			today = past.Day(rt)
			day, name, cm := today, rapid.SampledFrom(past.Names).Draw(rt, "name"), past.Cm(rt)
			typed := map[string]string{"m_" + name: fmt.Sprint(cm)}
			if rapid.Bool().Draw(rt, "another day") {
				day = past.Day(rt)
				typed["taken"] = day
			}
			if now, there := model.Now[name]; there && now.Cm == cm {
				continue // nothing is typed that is not there
			}
			if strings.Contains(p.read("bodies/me.yaml"), "taken: "+day+" # the day") {
				day = today // the day in the form is the one in the file
			}
			status, page := p.bodySaved(typed)
			if taken := model.Measure(name, cm, day); taken != (status == http.StatusOK) {
				rt.Fatalf("%s on %s: %d, %s", name, day, status, page)
			}
			if diff := model.Diff([]byte(p.read("bodies/me.yaml")), p.s.Voc); diff != "" {
				rt.Fatalf("after %s=%d on %s (-model +file):\n%s\n%s", name, cm, day, diff, p.read("bodies/me.yaml"))
			}
		}
	})
}

// What was worn today, and another unit, leave what was measured before as it was.
func TestSavingLeavesEarlierAsItWas(t *testing.T) {
	p := open(t)
	const before = "kind: body\nname: me\ntaken: 2026-05-01\nunits: in\nmeasured_over: slip\nmeasurements: {hip: 40}\n"
	p.put("bodies/me.yaml", before)
	if status, page := p.bodySaved(map[string]string{"m_hip": "41", "measured_over": "shirt"}); status != http.StatusOK {
		t.Fatal(status, page)
	}
	now := p.read("bodies/me.yaml")
	if !strings.Contains(now, "  - taken: 2026-05-01\n    measured_over: slip\n    measurements:\n      hip: 40\n") || !strings.Contains(now, "\nmeasured_over: shirt\n") {
		t.Errorf("got\n%s", now)
	}
	status, page := p.bodySaved(map[string]string{"body_units": "cm", "m_hip": "101"})
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, "have no unit and would be read in the other one") || p.read("bodies/me.yaml") != now {
		t.Errorf("%d, %s\n%s", status, page, p.read("bodies/me.yaml"))
	}
}
