// Package batch judges many bodies for one pattern, a line of a table at a time
// and on all cores, and writes a line for each in the same order. [Run] does it;
// [Job.Resume] finds where a run that was stopped has to go on.
package batch

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"runtime"
	"slices"
	"sync"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// Job is what is asked of every body.
type Job struct {
	Bodies Source
	Format Format
	// Judge answers for one body; it is called by several goroutines at once.
	Judge func(*engine.Body) (engine.Brief, error)
	// Progress is told how many rows have been written; nil tells nobody.
	Progress func(rows int)

	first []recipes.BodyLine // that were read already
}

// Source gives bodies one after another, as [recipes.Bodies] and [recipes.Survey]
// do; [List] has them at hand.
type Source interface {
	Next() (recipes.BodyLine, error) // io.EOF after the last
	Body(recipes.BodyLine) (*engine.Body, diag.List)
}

// Tally counts rows by how they came out.
type Tally struct {
	Rows   int
	Sized  int // have a size
	None   int // have none that can be cut as it is
	Failed int // could not be read or judged
}

// chunk is some lines that are judged together.
type chunk struct {
	lines []recipes.BodyLine
	text  []byte // the rows made of them
	tally Tally
	done  chan struct{}
}

// chunkLines are few enough that a stop is quick, and enough that handing them
// over costs little.
const chunkLines = 128

// Run writes a row for every line that is left of the bodies. Stopped through the
// context, it writes what is begun, in whole rows, and returns the context's error.
func Run(ctx context.Context, j Job, out io.Writer) (Tally, error) {
	stop, halt := context.WithCancel(ctx)
	defer halt()
	workers := runtime.GOMAXPROCS(0)
	work, order := make(chan *chunk), make(chan *chunk, 2*workers)
	var reading error
	go func() {
		defer close(order)
		defer close(work)
		reading = j.deal(stop, work, order)
	}()
	var all sync.WaitGroup
	for range workers {
		all.Go(func() {
			for c := range work {
				j.judge(c)
				close(c.done)
			}
		})
	}
	var total Tally
	w := bufio.NewWriter(out)
	var writing error
	for c := range order {
		<-c.done
		if writing != nil {
			continue // the disk is full: let the others end
		}
		if _, writing = w.Write(c.text); writing == nil {
			writing = w.Flush()
		}
		if writing != nil {
			halt()
			continue
		}
		total.add(c.tally)
		if j.Progress != nil {
			j.Progress(total.Rows)
		}
	}
	all.Wait()
	if writing != nil {
		return total, writing
	}
	if reading != nil {
		return total, reading
	}
	return total, ctx.Err()
}

// deal cuts the lines into chunks, for the workers and, in order, for the writer.
func (j *Job) deal(ctx context.Context, work, order chan<- *chunk) error {
	for ctx.Err() == nil {
		c := &chunk{done: make(chan struct{}), lines: j.first}
		j.first = nil
		var err error
		for len(c.lines) < chunkLines && err == nil {
			var l recipes.BodyLine
			if l, err = j.Bodies.Next(); err == nil {
				c.lines = append(c.lines, l)
			}
		}
		if len(c.lines) > 0 {
			order <- c
			work <- c
		}
		if err != nil {
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
	}
	return nil
}

// judge makes the rows of a chunk.
func (j *Job) judge(c *chunk) {
	var b bytes.Buffer
	for _, l := range c.lines {
		row := j.row(l)
		c.tally.count(&row)
		j.Format.write(&b, &row)
	}
	c.text = b.Bytes()
}

func (j *Job) row(l recipes.BodyLine) Row {
	body, problems := j.Bodies.Body(l)
	row := Row{Name: diag.Visible(body.Name)}
	if i := slices.IndexFunc(problems, func(d diag.Diagnostic) bool { return d.Severity == diag.Error }); i >= 0 {
		row.Error = problems[i].Range.String() + ": " + problems[i].Summary
		return row
	}
	a, err := j.Judge(body)
	if err != nil {
		row.Error = placed(err)
		return row
	}
	row.fill(a)
	return row
}

// placed says why a body could not be judged, with its line where that is what is wrong.
func placed(err error) string {
	var unknown *engine.UnknownError
	if errors.As(err, &unknown) {
		return unknown.At.String() + ": " + unknown.Error()
	}
	return err.Error()
}

func (t *Tally) count(r *Row) {
	t.Rows++
	switch {
	case r.Error != "":
		t.Failed++
	case r.Size == "":
		t.None++
	default:
		t.Sized++
	}
}

func (t *Tally) add(more Tally) {
	t.Rows += more.Rows
	t.Sized += more.Sized
	t.None += more.None
	t.Failed += more.Failed
}
