package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain/svg"
)

// privately is the mode of a file that holds a body.
const privately = 0o600

// pictured lets a command draw what it answers.
func (q *question) pictured(c *cobra.Command) {
	c.Flags().StringVar(&q.picture, "picture", "", "also draw every judged zone into this SVG file, which replaces one that is there")
}

// draw writes the picture that was asked for, whole or not at all.
func (q *question) draw(a *engine.Answer) error {
	if q.picture == "" {
		return nil
	}
	if len(report.Scales(a)) == 0 {
		return errors.New("there is nothing to draw: no zone of the first-ranked size could be judged")
	}
	var drawn bytes.Buffer
	if err := svg.Write(&drawn, report.Picture(a), svg.Options{}); err != nil {
		return err
	}
	return replacePrivately(q.picture, drawn.Bytes())
}

// replacePrivately writes a file that only its owner reads, whole or not at all. A
// file that it replaces is closed to others first, since its mode is kept.
func replacePrivately(path string, text []byte) error {
	there, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		err = nil
	case err == nil && !there.Mode().IsRegular():
		err = errors.New("it is there already, and no plain file that could be replaced")
	case err == nil:
		err = os.Chmod(path, privately)
	}
	if err == nil {
		err = maybe.WriteFile(path, text, privately)
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}
