package main_test

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// BenchmarkStart builds a bare command-line program and the advisor, and starts
// them in turn, so that whatever else the machine does weighs on both alike. It
// reports how the medians compare: version/bare, the advisor's --version by the
// bare program's (meant to stay at or below 2), and size/version, a whole
// recommendation by the advisor's own --version (at or below 1.5).
func BenchmarkStart(b *testing.B) {
	bare, advisor := build(b, "./testdata/bare"), build(b, ".")
	starts := [][]string{
		{bare, "--version"},
		{advisor, "--version"},
		{advisor, "size", "demo/quayside-skirt.yaml", "--body", "demo/wren.yaml", "--cloth", "demo/washed-linen.yaml"},
	}
	took := make([][]time.Duration, len(starts))
	for round := 0; b.Loop(); round++ {
		for k := range starts {
			i := (round + k) % len(starts)
			took[i] = append(took[i], start(b, starts[i]))
		}
	}
	plain, version, size := median(took[0]), median(took[1]), median(took[2])
	b.ReportMetric(0, "ns/op") // a round of three starts says nothing by itself
	b.ReportMetric(plain*1000, "bare-ms")
	b.ReportMetric(version/plain, "version/bare")
	b.ReportMetric(size/version, "size/version")
}

// build returns the path of the built program.
func build(b *testing.B, dir string) string {
	b.Helper()
	to := filepath.Join(b.TempDir(), "program.exe")
	if out, err := exec.Command("go", "build", "-o", to, dir).CombinedOutput(); err != nil {
		b.Fatalf("go build %s: %v\n%s", dir, err, out)
	}
	return to
}

// start runs a program to its end and returns how long that took.
func start(b *testing.B, line []string) time.Duration {
	b.Helper()
	c := exec.Command(line[0], line[1:]...)
	var said bytes.Buffer
	c.Stderr = &said
	from := time.Now()
	err := c.Run()
	took := time.Since(from)
	if err != nil {
		b.Fatalf("%v: %v\n%s", line, err, &said)
	}
	return took
}

// median is in seconds.
func median(d []time.Duration) float64 {
	slices.Sort(d)
	return (d[(len(d)-1)/2] + d[len(d)/2]).Seconds() / 2
}
