package question

import (
	"fmt"
	"time"

	"fitadvisor/engine"
	"fitadvisor/recipes/advice"
)

// Asked names what a question is about: files, or names in the notebook.
type Asked struct {
	Pattern, Body, Cloth, Toile string
	Like                        []string // garments that are kept
}

// Opened opens all that is named, and puts it into a question.
func (d *Files) Opened(names Asked, q advice.Question) advice.Question {
	q.Pattern, q.Body, q.Cloth, q.Toile = d.File(names.Pattern, "pattern"), d.File(names.Body, "body"), d.File(names.Cloth, "cloth"), d.File(names.Toile, "toile observations")
	if names.Pattern == "" {
		q.Pattern.Beside = d.FolderOf(".") // for a garment type that is named by its file
	}
	for _, path := range names.Like {
		q.Kept = append(q.Kept, d.File(path, "garment"))
	}
	return q
}

// Request makes a request from what is named, with the makes that are remembered.
func (d *Files) Request(names Asked, q advice.Question) (engine.Request, error) {
	r, err := d.Reader.Request(d.Opened(names, q))
	d.remember(&r)
	return r, err
}

// Complete adds to a request what its body brings along, and tells what of the request does not go together.
func (d *Files) Complete(r *engine.Request) {
	d.Reader.Complete(r)
	d.remember(r)
}

// remember adds the makes that are remembered, and the habits that they tell of.
func (d *Files) remember(r *engine.Request) {
	if r.Body != nil && r.Pattern != nil {
		r.Makes = d.Makes(r.Body.Name)
		r.Usual = engine.LearnHabits(r.Makes, engine.Lesson{Body: r.Body.Name, Maker: r.Pattern.Maker, Vocabulary: d.Voc}).Before()
	}
}

// Day is the day to judge by: one that is said, else the day it is.
func Day(said string) (string, error) {
	if said == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, said); err != nil {
		return "", fmt.Errorf("--today is a date such as 2026-11-02, not %q", said)
	}
	return said, nil
}
