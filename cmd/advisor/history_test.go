package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitadvisor/cmd/advisor/internal/past"
	"fitadvisor/rules/data"
)

// measured runs `advisor measure me` on a day.
func measured(dir, day string, set ...string) (code int, said string) {
	args := []string{"measure", "me", "--notebook", dir, "--today", day, "--units", "cm"}
	for _, s := range set {
		args = append(args, "--set", s)
	}
	var out bytes.Buffer
	code = Main(args, streams{in: strings.NewReader(""), out: &out, err: &out})
	return code, out.String()
}

// Waist and hip, then the waist, then the hip: the waist keeps its two days.
func TestThreeDaysOfMeasuring(t *testing.T) {
	dir := t.TempDir()
	measured(dir, "2026-11-01", "waist=70", "hip=100")
	measured(dir, "2026-11-05", "waist=71")
	measured(dir, "2026-11-09", "hip=101")
	text, err := os.ReadFile(filepath.Join(dir, "bodies", "me.yaml"))
	const want = `kind: body
name: me
taken: 2026-11-09
units: cm
measurements:
  waist: 71
  hip: 101
earlier:
  - taken: 2026-11-01
    measurements:
      waist: 70
      hip: 100
since:
  waist: 2026-11-05
`
	if err != nil || string(text) != want {
		t.Errorf("%v, %s", err, text)
	}
	code, said := measured(dir, "2026-11-04", "waist=72")
	if code != exitUsage || !strings.Contains(said, "the waist in") || !strings.Contains(said, "was taken on 2026-11-05, which is after 2026-11-04; nothing was saved") {
		t.Errorf("%d, %s", code, said)
	}
}

// Whatever is measured, on whatever days, into files in whatever order: no measurement is lost and none gets another day.
func TestMeasuringKeepsHistory(t *testing.T) {
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	in := inMemory(t)
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(in, "")
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "bodies", "me.yaml")
		text, model := past.Draw(rt)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(1, 6).Draw(rt, "sittings") {
			day, name, cm := past.Day(rt), rapid.SampledFrom(past.Names).Draw(rt, "name"), past.Cm(rt)
			code, said := measured(dir, day, fmt.Sprintf("%s=%d", name, cm))
			if taken := model.Measure(name, cm, day); taken != (code == exitAnswered) {
				rt.Fatalf("%s on %s: %d, %s", name, day, code, said)
			}
			now, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if diff := model.Diff(now, voc); diff != "" {
				rt.Fatalf("after %s=%d on %s (-model +file):\n%s\n%s", name, cm, day, diff, now)
			}
		}
	})
}

// inMemory is a folder in memory where there is one: what is tested is what is written, not the disk.
func inMemory(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "advisor")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}
