package batch_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/cmd/advisor/batch"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// An invented dress; every third body of [someBodies] lies beyond it, or has a
// cell that cannot be read.
const dress = `
kind: pattern
name: Harbour dress
recipe: sheath-dress
units: in
sizes: [8, 10, 12, 14, 16, 18]
body:
  bust:  [31 1/2, 32 1/2, 34, 36, 38, 40]
  waist: [24, 25, 26 1/2, 28, 30, 32]
  hip:   [33 1/2, 34 1/2, 36, 38, 40, 42]
finished:
  bust:  [34 1/2, 35 1/2, 37, 39, 41, 43]
  waist: [26, 27, 28 1/2, 30, 32, 34]
  hip:   [36 1/2, 37 1/2, 39, 41, 43, 45]
`

// fitted is a request about the dress without a body.
func fitted(t testing.TB) (*engine.Fitter, engine.Request) {
	t.Helper()
	voc, err := data.Vocabulary()
	if err != nil {
		t.Fatal(err)
	}
	doc := file.Open("dress.yaml", []byte(dress))
	q := engine.Request{Vocabulary: voc}
	q.Pattern, _ = recipes.ReadPattern(doc, voc, nil)
	if len(doc.Problems()) > 0 {
		t.Fatal(doc.Problems())
	}
	if q.Recipe, err = recipes.Shipped("sheath-dress", voc); err != nil {
		t.Fatal(err)
	}
	q.Rules, _ = rules.Shared(voc)
	q.Units, q.Today = quantity.Cm, "2026-11-02"
	f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, voc)
	if err != nil {
		t.Fatal(err)
	}
	return f, q
}

// someBodies is a table of n bodies.
func someBodies(n int) string {
	chance := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("name,bust,waist,hip\n")
	for i := range n {
		stout := 7 * chance.NormFloat64()
		fmt.Fprintf(&b, "\"body %d\",%.1f,%.1f,%.1f", i, 95+stout+3*chance.NormFloat64(), 75+stout+4*chance.NormFloat64(), 102+stout+4*chance.NormFloat64())
		if i%50 == 7 {
			b.WriteString(" ells")
		}
		b.WriteString("\n")
	}
	return b.String()
}

func open(t testing.TB, f *engine.Fitter, q engine.Request, table io.Reader, format batch.Format) batch.Job {
	t.Helper()
	bodies, header := recipes.OpenBodies("bodies.csv", table, quantity.Cm, q.Vocabulary)
	if len(header.Problems()) > 0 {
		t.Fatal(header.Problems())
	}
	return batch.Job{Bodies: bodies, Format: format, Judge: func(b *engine.Body) (engine.Brief, error) {
		one := q
		one.Body = b
		return f.Brief(one)
	}}
}

// TestAsSize asks about a thousand bodies one by one and all at once: what both
// say is the same text.
func TestAsSize(t *testing.T) { asSize(t, 1000, false) }

// TestSureAsSize asks some of them how sure that is too.
func TestSureAsSize(t *testing.T) { asSize(t, 100, true) }

func asSize(t *testing.T, n int, sure bool) {
	t.Helper()
	f, q := fitted(t)
	q.Sure = sure
	table := someBodies(n)
	var out bytes.Buffer
	job := open(t, f, q, strings.NewReader(table), batch.CSV)
	tally, err := batch.Run(context.Background(), job, &out)
	if err != nil {
		t.Fatal(err)
	}
	if tally.Rows != n || tally.Failed != n/50 || tally.None == 0 || tally.Sized < n/2 {
		t.Fatalf("%+v: the bodies should come out in every way", tally)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	bodies, _ := recipes.OpenBodies("bodies.csv", strings.NewReader(table), quantity.Cm, q.Vocabulary)
	for i, row := range rows {
		line, err := bodies.Next()
		if err != nil {
			t.Fatal(err)
		}
		body, problems := bodies.Body(line)
		if problems.HasErrors() {
			if row[9] == "" {
				t.Errorf("row %d: no error, where there is %v", i, problems)
			}
			continue
		}
		one := q
		one.Body = body
		a, err := engine.Advise(one)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(shared(a), row); diff != "" {
			t.Errorf("row %d (-size +batch):\n%s", i, diff)
		}
	}
}

// shared is what the whole answer says of the cells of a row, as its JSON has it.
func shared(a *engine.Answer) []string {
	figure := func(v float64) string { text, _ := json.Marshal(math.Round(v*1000) / 1000); return string(text) }
	row := []string{a.Body, "", "", "", "", a.ChartSize.Size, figure(a.ChartSize.OffChartCm), "", "", ""}
	if a.Recommended != nil {
		row[1], row[3] = a.Recommended.Size, figure(*a.Recommended.Misfit)
		if a.Recommended.Confidence != nil {
			row[4] = figure(*a.Recommended.Confidence)
		}
		var lines []string
		for _, l := range a.Lines {
			if l.Size != a.Recommended.Size {
				lines = append(lines, l.Zone+" "+l.Size)
			}
		}
		row[2] = strings.Join(lines, "; ")
	}
	var out []string
	for _, label := range a.Shown.Sizes {
		for _, s := range a.Sizes {
			if s.Size == label && s.RuledOut {
				out = append(out, label)
			}
		}
	}
	row[7], row[8] = strings.Join(out, "; "), strings.Join(a.Sizes[0].Cautions, "; ")
	return row
}

// stopAfter lets so many bytes through and then stops the run, in the middle of
// a write as a kill does.
type stopAfter struct {
	bytes.Buffer
	left int
	stop func()
}

func (w *stopAfter) Write(p []byte) (int, error) {
	if len(p) > w.left {
		p = p[:w.left]
		w.stop()
	}
	w.left -= len(p)
	n, _ := w.Buffer.Write(p)
	if w.left == 0 {
		return n, io.ErrShortWrite
	}
	return n, nil
}

// TestResume stops a run anywhere and goes on: the file is that of a run that was
// never stopped.
func TestResume(t *testing.T) {
	f, q := fitted(t)
	table := someBodies(700)
	for _, format := range []batch.Format{batch.CSV, batch.Lines} {
		var whole bytes.Buffer
		whole.WriteString(format.Header())
		if _, err := batch.Run(context.Background(), open(t, f, q, strings.NewReader(table), format), &whole); err != nil {
			t.Fatal(err)
		}
		for _, at := range []int{0, len(format.Header()), 200, 9_001, 30_000, whole.Len() - 1, whole.Len()} {
			ctx, stop := context.WithCancel(context.Background())
			torn := &stopAfter{left: at, stop: stop}
			if _, err := io.WriteString(torn, format.Header()); err == nil {
				_, _ = batch.Run(ctx, open(t, f, q, strings.NewReader(table), format), torn)
			}
			stop()
			job := open(t, f, q, strings.NewReader(table), format)
			kept, rows, err := job.Resume(bytes.NewReader(torn.Bytes()))
			if err != nil {
				t.Fatalf("%s, torn at %d: %v", format, at, err)
			}
			joined := bytes.NewBuffer(torn.Bytes()[:kept])
			if kept == 0 {
				joined.WriteString(format.Header())
			}
			tally, err := batch.Run(context.Background(), job, joined)
			if err != nil || tally.Rows+rows != 700 {
				t.Fatalf("%s, torn at %d: %d rows and %d more, %v", format, at, rows, tally.Rows, err)
			}
			if !bytes.Equal(joined.Bytes(), whole.Bytes()) {
				t.Errorf("%s, torn at %d: not the same file", format, at)
			}
		}
	}
}

func TestResumeRefuses(t *testing.T) {
	f, q := fitted(t)
	for _, c := range []struct{ name, written, because string }{
		{"part of a header", "name,si", "its first line is not the header of such rows"},
		{"another question", batch.CSV.Header() + "body 0,99,,0,,99,0,,,\n", "row 1 now comes out differently: another question was asked then"},
		{"something else at the end", batch.CSV.Header() + "measurements: {hip: 99}", "what stands after row 0 is no part of a row about the next body"},
		{"another file", "size,hip\n", "its first line is not the header of such rows"},
		{"other bodies", batch.CSV.Header() + "Wren,12,,0,,12,0,,,\n", "row 1 does not belong to the next body of the table: the names differ"},
		{"half a row", batch.CSV.Header() + "Wren,12\n", "row 1 does not belong to the next body of the table: it has 2 cells, not 10"},
		{"more rows than bodies", batch.CSV.Header() + strings.Repeat("body 0,,,,,,,,,\n", 2), "row 2 does not belong to the next body of the table: there are fewer bodies"},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := open(t, f, q, strings.NewReader(someBodies(1)), batch.CSV)
			_, _, err := job.Resume(strings.NewReader(c.written))
			var refused *batch.ResumeError
			if !errors.As(err, &refused) || refused.Because != c.because {
				t.Errorf("got %v, want %q", err, c.because)
			}
		})
	}
}

// TestStopped is asked to stop at once: nothing that is written is torn.
func TestStopped(t *testing.T) {
	f, q := fitted(t)
	ctx, stop := context.WithCancel(context.Background())
	var out bytes.Buffer
	job := open(t, f, q, strings.NewReader(someBodies(5000)), batch.CSV)
	job.Progress = func(int) { stop() }
	tally, err := batch.Run(ctx, job, &out)
	if !errors.Is(err, context.Canceled) || tally.Rows == 0 || tally.Rows == 5000 {
		t.Fatalf("%+v, %v", tally, err)
	}
	if got := bytes.Count(out.Bytes(), []byte("\n")); got != tally.Rows || !bytes.HasSuffix(out.Bytes(), []byte("\n")) {
		t.Errorf("%d lines for %d rows", got, tally.Rows)
	}
}

// endless makes lines as they are read.
type endless struct {
	line []byte
	n    int
	rest []byte
}

func (e *endless) Read(p []byte) (int, error) {
	if len(e.rest) == 0 {
		if e.n == 0 {
			return 0, io.EOF
		}
		e.n--
		e.rest = e.line
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

// BenchmarkRun judges bodies on one core and on all of them. The memory in use
// does not grow with their number.
func BenchmarkRun(b *testing.B) {
	f, q := fitted(b)
	perBody := map[int]float64{}
	for _, cores := range []int{1, runtime.NumCPU()} {
		b.Run(fmt.Sprintf("cores=%d", cores), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
			lines := &endless{line: []byte("someone,96.5,77.5,103\n"), n: b.N}
			job := open(b, f, q, io.MultiReader(strings.NewReader("name,bust,waist,hip\n"), lines), batch.CSV)
			var most uint64
			job.Progress = func(rows int) {
				if rows%(64*128) == 0 {
					var m runtime.MemStats
					runtime.ReadMemStats(&m)
					most = max(most, m.Sys)
				}
			}
			b.ReportAllocs()
			b.ResetTimer()
			if _, err := batch.Run(context.Background(), job, io.Discard); err != nil {
				b.Fatal(err)
			}
			perBody[cores] = float64(b.Elapsed().Nanoseconds()) / float64(b.N)
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
			b.ReportMetric(float64(most)/(1<<20), "MB-at-most")
			if one := perBody[1]; cores > 1 && one > 0 {
				b.ReportMetric(one/perBody[cores], "x-one-core")
			}
		})
	}
}
