package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fitadvisor/cmd/advisor/internal/chromium"
)

// BenchmarkPublished measures a published page in the browser: how large its parts are, how long a first visit takes until the page
// answers, and how long an answer takes then. It says how busy the machine was.
func BenchmarkPublished(b *testing.B) {
	dir := published(b)
	sizes(b, dir)
	server := served(b, dir)
	var first, ready time.Duration
	var answers []float64
	for b.Loop() {
		c := chromium.Window(b, 1280) // with an empty profile: nothing is kept from before
		began := time.Now()
		visitPublished(b, c, server.URL+"/quayside-skirt.html")
		typeInto(b, c, "m_hip", "44 1/4")
		first += time.Since(began)
		ready += time.Duration(chromium.Ask[float64](b, c, `Number(document.documentElement.dataset.ready)`)) * time.Millisecond
		answers = chromium.Await[[]float64](b, c, `(async () => {
			const took = [];
			for (let i = 0; i < 60; i++) {
				const from = performance.now();
				await advisor.ask({ body: { hip: (38 + i / 8) + " in" }, units: "in", today: "2026-11-25" });
				took.push(performance.now() - from);
			}
			return took.sort((a, b) => a - b);
		})()`)
	}
	n := float64(b.N)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(ready.Milliseconds())/n, "ms-engine-ready")
	b.ReportMetric(float64(first.Milliseconds())/n, "ms-first-answer")
	b.ReportMetric(answers[len(answers)/2], "ms-answer-middle")
	b.ReportMetric(answers[len(answers)-1], "ms-answer-worst")
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		fmt.Printf("\nthe machine's load: %s", load)
	}
}

// sizes prints how large the parts of a site are, as they are and compressed.
func sizes(b *testing.B, dir string) {
	b.Helper()
	var said strings.Builder
	total, packed := 0, 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		raw, small := len(text), len(text)
		if r, err := gzip.NewReader(bytes.NewReader(text)); err == nil {
			n, _ := io.Copy(io.Discard, r)
			raw = int(n)
		} else {
			var z bytes.Buffer
			w := gzip.NewWriter(&z)
			_, _ = w.Write(text) // a buffer takes all
			_ = w.Close()
			small = z.Len()
		}
		name, _ := filepath.Rel(dir, path)
		fmt.Fprintf(&said, "%-28s %10d %9d\n", name, raw, small)
		total, packed = total+raw, packed+small
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	fmt.Printf("bytes as they are, and compressed:\n%s%-28s %10d %9d\n", said.String(), "all", total, packed)
}
