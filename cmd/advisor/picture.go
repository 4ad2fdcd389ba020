package main

import (
	"bytes"
	"errors"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain/svg"
)

// privately is the mode of a file that holds a body.
const privately = 0o600

// pictured lets a command draw what it answers.
func (q *asking) pictured(c *cobra.Command) {
	c.Flags().StringVar(&q.picture, "picture", "", "also draw every judged zone into this SVG file, which replaces one that is there")
}

// draw writes the picture that was asked for, whole or not at all.
func (q *asking) draw(d *files, a *engine.Answer) error {
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
	return d.replace(q.picture, drawn.Bytes(), privately)
}
