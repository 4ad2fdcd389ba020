package advice

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// File is the file of something that a question is about. The zero File is none.
type File struct {
	*file.Doc
	Beside *file.Folder // with what it names: a chart, a garment type; nil: it stands in none
}

// Open opens the text of a file, which is called by a name where something is wrong with it.
func Open(name, text string) File { return File{Doc: file.Open(name, []byte(text))} }

// Files is the folder to read from, nil where there is none.
func (f File) Files() fs.FS {
	if f.Beside == nil {
		return nil
	}
	return f.Beside.Files
}

// Question is what is asked. What is typed is written as on the command line.
type Question struct {
	Pattern, Body, Cloth File
	Toile                File          // what was seen on one: its size is judged as the toile corrects it
	Kept                 []File        // garments that are kept, liked or not
	Known                Known         // what was read before, in place of files
	Typed                Typed         // what stands in for a pattern, a body and a cloth that have no file
	Ease                 []string      // that is wanted: closer, hip=6cm, hip=drawn+2cm
	Over                 []string      // what is worn beneath: a layer by name, or NAME=THICKNESS
	With                 []string      // what if: hip=104cm, cloth.stretch.across=30%
	Units                quantity.Unit // of the answer; empty: those of the body, else of the pattern
	Today                string        // YYYY-MM-DD; empty: no measurement is too old
}

// Known is what was read before; nil: it is read from a file, if there is one.
type Known struct {
	Pattern *engine.Pattern
	Recipe  *engine.Recipe
	Body    *engine.Body
	Cloth   *engine.Cloth
}

// Read reads what a question is about. What is wrong is among the problems; with errors there the request is not to be used.
func (d *Reader) Read(q Question) engine.Request {
	d.Voc = d.Voc.For(q.Known.Pattern, q.Known.Recipe)
	r := engine.Request{Vocabulary: d.Voc, Rules: d.Rules(), Pattern: q.Known.Pattern, Recipe: q.Known.Recipe}
	go engine.CompileEarly(r.Rules) // nobody waits for it
	switch {
	case r.Pattern != nil:
	case q.Pattern.Doc == nil && q.Typed.Type != "":
		r.Pattern = q.Typed.pattern(d)
	default:
		r.Pattern = d.Pattern(q.Pattern)
	}
	r.Body, r.Cloth = cmp.Or(q.Known.Body, d.Body(q.Body.Doc), q.Typed.body(d)), cmp.Or(q.Known.Cloth, d.Cloth(q.Cloth.Doc))
	if r.Recipe == nil {
		r.Recipe = d.Type(r.Pattern, q.Pattern.Beside)
	}
	r.Cloth = cmp.Or(r.Cloth, q.Typed.cloth(d, r.Recipe))
	r.Observed = d.Observations(q.Toile.Doc)
	for _, f := range q.Kept {
		if kept := d.Garment(f, r.Recipe); kept != nil {
			r.Kept = append(r.Kept, kept)
		}
	}
	r.Vocabulary = d.Voc
	d.Complete(&r)
	return r
}

// Request is what the engine is asked by a question. What is wrong in a file is among the problems, and then there is no error;
// with errors there the request is not to be used. It fails where something typed cannot be read.
func (d *Reader) Request(q Question) (engine.Request, error) {
	r := d.Read(q)
	if d.Problems.HasErrors() || r.Pattern == nil {
		return r, nil
	}
	if r.Units = q.Units; r.Units == "" {
		r.Units = units(&r)
	}
	if wrong := d.Want(&r, q.Ease, q.Over); len(wrong) > 0 {
		return r, wrong[0]
	}
	r.Today = q.Today
	if _, err := time.Parse(time.DateOnly, q.Today); q.Today != "" && err != nil {
		return r, fmt.Errorf("--today is a date such as 2026-11-02, not %q", q.Today)
	}
	return r, nil
}

// Complete tells what of a request does not go together.
func (d *Reader) Complete(r *engine.Request) {
	if r.Recipe != nil {
		d.Tell(rules.Clashes(r.Recipe.Rules, r.Rules)...)
	}
	if r.Observed != nil && r.Recipe != nil {
		d.Tell(recipes.UnknownAlterations(r.Observed.Alterations, r.Recipe.Rules, r.Rules)...)
	}
	if r.Body != nil && r.Recipe != nil {
		d.Tell(recipes.UnknownAlterations(r.Body.Alterations, r.Recipe.Rules, r.Rules)...)
		if !d.Problems.HasErrors() {
			d.Tell(recipes.SlipsFor(r.Body, d.Voc, r.Recipe)...)
		}
	}
}

// units are what a request is answered in where nothing is said: those of its body, else of its pattern.
func units(r *engine.Request) quantity.Unit {
	if r.Body != nil && r.Body.Units != "" {
		return r.Body.Units
	}
	return r.Pattern.Units
}

// Want adds what is wanted and what is worn beneath to a request, as it is typed, in the request's units. It returns what
// cannot be read, and passes it over.
func (d *Reader) Want(r *engine.Request, ease, over []string) (wrong []error) {
	for _, text := range ease {
		w, err := r.Vocabulary.Limits.ParseWish(text, r.Units)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		w.Zone = d.Zone(r.Recipe, "ease", w.Zone)
		r.Wishes = append(r.Wishes, w)
	}
	for _, text := range over {
		l, err := r.Vocabulary.Limits.ParseLayer(text, r.Units)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		r.Over = append(r.Over, l)
	}
	return wrong
}

// Zone is the zone of a garment type that a person calls by a word behind a flag: one of that name, or of the measurement that
// the word means.
func (d *Reader) Zone(r *engine.Recipe, flag, word string) string {
	if word == "" || r == nil || slices.ContainsFunc(r.Zones, func(z engine.Zone) bool { return z.Name == word }) {
		return word
	}
	return d.Word(flag, word)
}

// Answer asks the engine for a size; with facts changed, or a toile sewn, for what moves too. Where a request cannot be answered
// the problems say where that lies, if it lies in a file; the error says it in any case.
func (d *Reader) Answer(r engine.Request, with []string) (*engine.Answer, error) {
	toile := r.Observed
	unchanged := len(with) == 0 && toile == nil
	r.Observed = nil
	r.Sure = len(with) == 0
	a, err := engine.Advise(r)
	if err != nil || unchanged {
		return a, d.explained(&r, err)
	}
	before := a
	if r, err = d.Changed(r, with); err != nil {
		return nil, err
	}
	r.Observed = toile
	r.Sure = true
	if a, err = engine.Advise(r); err != nil {
		return nil, d.explained(&r, err)
	}
	a.Moved = engine.Moved(before, a)
	return a, nil
}

// explained tells where a request cannot be answered.
func (d *Reader) explained(r *engine.Request, err error) error {
	if p, ok := Explain(r, err); ok {
		d.Tell(p)
	}
	return err
}

// Changed is the request with facts changed, each as typed.
func (d *Reader) Changed(r engine.Request, with []string) (engine.Request, error) {
	for _, text := range with {
		var err error
		if _, r, err = d.Change(r, text); err != nil {
			return r, err
		}
	}
	return r, nil
}

// Change is the request with one fact changed, and what is changed by the words of the vocabulary.
func (d *Reader) Change(r engine.Request, text string) (engine.Change, engine.Request, error) {
	c, err := engine.ParseChange(text)
	if err != nil {
		return c, r, err
	}
	if before, row, of := strings.Cut(c.Key, "."); before == "finished" || before == "body" {
		c.Key = before + "." + d.Word("with", row)
	} else if !of {
		c.Key = d.Word("with", c.Key)
	}
	r, err = r.With(c)
	return c, r, err
}
