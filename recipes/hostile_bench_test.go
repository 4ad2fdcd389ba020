package recipes

import (
	"runtime"
	"testing"
	"testing/fstest"
	"time"

	"fitadvisor/rules/file"
)

// Each hostile file costs at most 100 ms and 64 MB: the benchmark prints what
// the worst of them takes, and -bench with -v what each does.
func BenchmarkHostileFiles(b *testing.B) {
	voc, shared := known(b)
	worstMs, worstMB := 0.0, 0.0
	for b.Loop() {
		for _, h := range hostile {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			readAs(b, h.kind, file.Open("hostile.yaml", []byte(h.text)), fstest.MapFS{"chart.csv": {Data: []byte(h.table)}}, voc, shared)
			ms := float64(time.Since(start).Microseconds()) / 1000
			runtime.ReadMemStats(&after)
			mb := float64(after.TotalAlloc-before.TotalAlloc) / (1 << 20)
			b.Logf("%8.1f ms %8.1f MB  %s", ms, mb, h.name)
			worstMs, worstMB = max(worstMs, ms), max(worstMB, mb)
		}
	}
	b.ReportMetric(worstMs, "worst-ms")
	b.ReportMetric(worstMB, "worst-MB")
}
