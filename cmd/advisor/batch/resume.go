package batch

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"fitadvisor/recipes"
)

// ResumeError says why a file cannot be gone on with.
type ResumeError struct{ Because string }

func (e *ResumeError) Error() string { return e.Because }

// Resume reads the rows that an earlier run has written and passes over the bodies
// they are about. It returns how many bytes of the file are whole rows; what
// follows is a row that was torn, to be cut off, and how many rows there are.
func Resume(written io.Reader, f Format, bodies *recipes.Bodies) (whole int64, rows int, err error) {
	in := bufio.NewReaderSize(written, longest)
	if header := f.Header(); header != "" {
		line, err := in.ReadString('\n')
		if errors.Is(err, io.EOF) {
			return 0, 0, nil // not even the header is whole
		}
		if err != nil || line != header {
			return 0, 0, &ResumeError{"its first line is not the header of such rows"}
		}
		whole = int64(len(line))
	}
	for {
		line, err := in.ReadSlice('\n')
		switch {
		case errors.Is(err, io.EOF):
			return whole, rows, nil
		case err != nil:
			return whole, rows, err
		}
		if err := f.follows(line, bodies); err != nil {
			return whole, rows, &ResumeError{fmt.Sprintf("row %d is not about the body that stands there: %v", rows+1, err)}
		}
		whole += int64(len(line))
		rows++
	}
}

// longest is more than any row needs.
const longest = 1 << 20

// follows checks that a row is about the next body.
func (f Format) follows(line []byte, bodies *recipes.Bodies) error {
	name, err := f.name(line)
	if err != nil {
		return err
	}
	l, err := bodies.Next()
	if errors.Is(err, io.EOF) {
		return errors.New("there are fewer bodies")
	}
	if err != nil {
		return err
	}
	if body, _ := bodies.Body(l); body.Name != name {
		return errors.New("the names differ")
	}
	return nil
}
