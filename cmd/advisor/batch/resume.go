package batch

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
)

// ResumeError says why a file cannot be gone on with.
type ResumeError struct{ Because string }

func (e *ResumeError) Error() string { return e.Because }

// Hint says what to do.
func (e *ResumeError) Hint() string {
	return "nothing in it was changed; name another file with -o to begin anew"
}

// Resume reads the rows that an earlier run has written and passes over the bodies they are about. The last of them are
// judged again, to see that the same is asked. It returns how many bytes of the file are whole rows; what follows is a
// row that was torn, to be cut off, and how many rows there are. A file without anything in it has no rows and no header.
func (j *Job) Resume(written io.Reader) (whole int64, rows int, err error) {
	in := bufio.NewReaderSize(written, longest)
	if header := j.Format.Header(); header != "" {
		line, err := in.ReadString('\n')
		if line == "" && errors.Is(err, io.EOF) {
			return 0, 0, nil
		}
		if err != nil || line != header {
			return 0, 0, &ResumeError{"its first line is not the header of such rows"}
		}
		whole = int64(len(line))
	}
	var last []judged
	for {
		line, err := in.ReadSlice('\n')
		switch {
		case errors.Is(err, io.EOF):
			return whole, rows, j.same(last, rows, line)
		case errors.Is(err, bufio.ErrBufferFull):
			return whole, rows, &ResumeError{fmt.Sprintf("row %d is longer than any row is", rows+1)}
		case err != nil:
			return whole, rows, err
		}
		body, err := j.follows(line)
		if err != nil {
			return whole, rows, &ResumeError{fmt.Sprintf("row %d does not belong to the next body of the table: %v", rows+1, err)}
		}
		if last = append(last, judged{body, bytes.Clone(line)}); len(last) > judgedAgain {
			last = last[1:]
		}
		whole += int64(len(line))
		rows++
	}
}

// longest is more than any row needs; judgedAgain are as many rows as show that the same is asked.
const (
	longest     = 1 << 20
	judgedAgain = 20
)

// judged is a body with the row that was written about it.
type judged struct {
	body recipes.BodyLine
	row  []byte
}

// same checks that the last rows come out as they were written, and that what is left of a torn one begins the next.
func (j *Job) same(last []judged, rows int, torn []byte) error {
	for i, was := range last {
		if !bytes.Equal(j.text(was.body), was.row) {
			return &ResumeError{fmt.Sprintf("row %d now comes out differently: another question was asked then", rows-len(last)+i+1)}
		}
	}
	if len(torn) == 0 {
		return nil
	}
	next, err := j.Bodies.Next()
	if err == nil && bytes.HasPrefix(j.text(next), torn) {
		j.first = append(j.first, next)
		return nil
	}
	return &ResumeError{fmt.Sprintf("what stands after row %d is no part of a row about the next body", rows)}
}

// text is the row about a body as it is written.
func (j *Job) text(l recipes.BodyLine) []byte {
	var b bytes.Buffer
	row := j.row(l)
	j.Format.write(&b, &row)
	return b.Bytes()
}

// follows checks that a row is about the next body.
func (j *Job) follows(line []byte) (l recipes.BodyLine, err error) {
	name, err := j.Format.name(line)
	if err != nil {
		return l, err
	}
	l, err = j.Bodies.Next()
	if errors.Is(err, io.EOF) {
		return l, errors.New("there are fewer bodies")
	}
	if err != nil {
		return l, err
	}
	if body, _ := j.Bodies.Body(l); diag.Visible(body.Name) != name {
		return l, errors.New("the names differ")
	}
	return l, nil
}
