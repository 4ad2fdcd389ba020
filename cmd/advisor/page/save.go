package page

import (
	"bytes"
	"cmp"
	"errors"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// clash is a file that was changed elsewhere since it was opened: both texts, so that neither is lost.
type clash struct {
	Step, Name    string
	Theirs, Yours string
	Hash          string // of theirs, by which yours may be saved over it all the same
}

// naming are the fields that a new file is named after.
var naming = map[string]string{"body": "name", "pattern": "pattern_name", "cloth": "cloth_name", "garment": "kept_name"}

// save saves the file of a step into the notebook. What was changed elsewhere since is not written over.
func (f *form) save(step string) (*clash, error) {
	f.read()
	e := f.entry(step)
	switch {
	case e.doc == nil:
		return nil, errors.New("there is nothing to save yet")
	case f.isWrong(step):
		return nil, errors.New("not saved: mend first what is marked")
	}
	if id := naming[step]; f.get(id) == "" && (e.was == nil || f.values.Has(id)) {
		return nil, errors.New("not saved: it has no name yet")
	}
	text, err := f.toSave(step, e)
	if err != nil {
		return nil, err
	}
	return f.put(step, e, text)
}

// entry is the file of a step.
func (f *form) entry(step string) *entry {
	return map[string]*entry{"body": &f.body, "pattern": &f.what, "cloth": &f.cloth, "garment": &f.kept}[step]
}

// isWrong tells whether something is wrong with a step.
func (f *form) isWrong(step string) bool {
	fields := f.fieldsOf(step)
	return slices.ContainsFunc(f.notes, func(n note) bool {
		return n.Wrong && (n.Field == step || slices.ContainsFunc(fields, func(fd field) bool { return fd.ID == n.Field }))
	})
}

// fieldsOf are all fields of a step.
func (f *form) fieldsOf(step string) []field {
	switch step {
	case "body":
		return f.bodyFields()
	case "pattern":
		return append(f.patternFields(), chartFields[0].field, chartFields[1].field, piecesField)
	case "cloth":
		return clothFields
	}
	return f.garmentFields()
}

// put writes a file, unless it is not as it was when the form was opened.
func (f *form) put(step string, e *entry, text []byte) (*clash, error) {
	if f.s.Book.Dir == "" {
		return nil, errNoNotebook
	}
	if f.get(step+"_hash") != e.hash() {
		return &clash{step, e.name, string(e.was), string(text), e.hash()}, nil
	}
	var err error
	if e.was == nil {
		name := notebook.Slug(f.get(naming[step]))
		if err := notebook.CheckName(name); err != nil {
			return nil, err
		}
		if err := f.s.inside(e.kind); err != nil {
			return nil, err
		}
		e.name, err = f.s.Book.Add(e.kind, name, text)
	} else if !bytes.Equal(e.was, text) {
		if err := f.s.inside(e.kind); err != nil {
			return nil, err
		}
		err = f.s.Book.Save(filepath.Join(f.s.Book.Dir, filepath.FromSlash(e.path)), e.was, text)
	}
	var changed *notebook.ChangedError
	if errors.As(err, &changed) {
		there, _ := f.files.ReadKept(filepath.Join(f.s.Book.Dir, e.path)) // it was there a moment ago
		return &clash{step, e.name, string(there), string(text), (&entry{was: there}).hash()}, nil
	}
	return nil, err
}

// inside refuses a folder of the notebook that a link leads out of it.
func (s *Server) inside(kind notebook.Kind) error {
	root, err := os.OpenRoot(s.Book.Dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer root.Close()
	if _, err := root.Stat(kind.Folder); err != nil && !errors.Is(err, os.ErrNotExist) {
		return errors.New("not saved: the folder " + kind.Folder + " lies outside of the notebook")
	}
	return nil
}

// toSave is the text of a step as it is written: measurements are taken on the day it is, and pasted tables stand in it.
func (f *form) toSave(step string, e *entry) ([]byte, error) {
	switch {
	case step == "body" && e.was != nil:
		return f.retaken(e)
	case step == "pattern" && e.was == nil:
		if f.pattern == nil {
			return nil, errors.New("not saved: the pattern has no size chart yet")
		}
		text, err := recipes.WriteYAML(f.unsummed(), f.files.Voc)
		return f.withPieces(text), err
	case step == "pattern":
		return f.tabled(e)
	}
	return e.doc.Source(), nil
}

// retaken is a body with the measurements that changed taken anew, on the day that is typed or today: what stood there is
// kept as earlier. In a file without a day there is nothing to keep it under, so a day that is typed is that of all.
func (f *form) retaken(e *entry) ([]byte, error) {
	was := file.Open(e.path, e.was)
	changed := func(fd *field) bool { return f.values.Has(fd.ID) && f.get(fd.ID) != fd.show(was) }
	text, again := e.was, false
	dated := bodyFields[slices.IndexFunc(bodyFields, func(fd field) bool { return fd.ID == "taken" })]
	undated := dated.show(was) == ""
	day := f.s.Today()
	if changed(&dated) {
		day = cmp.Or(f.get(dated.ID), day)
	}
	fields := f.bodyFields()
	for _, fd := range fields {
		name, ok := strings.CutPrefix(fd.ID, "m_")
		if !ok || !changed(&fd) || f.get(fd.ID) == "" || undated && changed(&dated) {
			continue
		}
		written, err := fd.written(f.get(fd.ID))
		if err != nil {
			return nil, err
		}
		doc := file.Open(e.path, text)
		if text, err = recipes.Retake(doc, recipes.ReadBody(doc, f.files.Voc), recipes.Retaking{Measurement: name, Value: written, Day: day}, f.files.Voc); err != nil {
			return nil, err
		}
		again = true
	}
	before := text
	for _, fd := range fields {
		_, measure := strings.CutPrefix(fd.ID, "m_")
		if !changed(&fd) || again && (fd.ID == dated.ID || measure && f.get(fd.ID) != "") {
			continue
		}
		var err error
		if text, err = fd.changed(file.Open(e.path, text), f.get(fd.ID)); err != nil {
			return nil, err
		}
	}
	return text, f.sameEarlier(e.path, before, text)
}

// sameEarlier refuses what would make other lengths of the numbers that stand among the earlier measurements.
func (f *form) sameEarlier(path string, before, after []byte) error {
	var earlier [2]*engine.History
	for i, text := range [][]byte{before, after} {
		if b := recipes.ReadBody(file.Open(path, text), f.files.Voc); b != nil {
			earlier[i] = engine.HistoryOf(&engine.Body{Earlier: b.Earlier}, f.files.Voc, "")
		}
	}
	if reflect.DeepEqual(earlier[0], earlier[1]) {
		return nil
	}
	return errors.New("not saved: the numbers under `earlier:` in " + path + " have no unit and would be read in the other one; write their unit behind them there first")
}

// tabled is a pattern with its pasted tables written into it.
func (f *form) tabled(e *entry) ([]byte, error) {
	doc := e.doc
	for _, c := range chartFields {
		if at(doc, c.path).Text() != c.ID+".csv" {
			continue
		}
		if f.pattern == nil {
			return nil, errors.New("not saved: the chart cannot be read")
		}
		rows := f.pattern.Chart
		if c.part == engine.OfFinished {
			rows = f.pattern.Finished
		}
		edits := [][]string{{"[" + strings.Join(plainAll(f.pattern.Sizes), ", ") + "]", "sizes"}, {"{}", c.path[0]}}
		for _, name := range f.files.Voc.Words() {
			if row, ok := rows[name]; ok {
				edits = append(edits, []string{"[" + strings.Join(cellsOf(row), ", ") + "]", c.path[0], name})
			}
		}
		for _, edit := range edits {
			text, err := doc.Set(edit[0], edit[1:]...)
			if err != nil {
				return nil, err
			}
			doc = file.Open(e.shownName(), text)
		}
	}
	return f.withPieces(doc.Source()), nil
}

// unsummed is the pattern without the rows that come from pieces, which are saved themselves.
func (f *form) unsummed() *engine.Pattern {
	p := *f.pattern
	p.Finished = maps.Clone(p.Finished)
	maps.DeleteFunc(p.Finished, func(_ string, row engine.Row) bool {
		return slices.ContainsFunc(row, func(c engine.Cell) bool { return c.Sum != nil })
	})
	return &p
}

// withPieces is the text of a pattern with the pieces in it that are typed.
func (f *form) withPieces(text []byte) []byte {
	if f.tables["pieces.yaml"] == nil {
		return text
	}
	typed := strings.TrimRight(strings.ReplaceAll(f.values.Get(piecesField.ID), "\r\n", "\n"), "\n ")
	block := "pieces:\n  " + strings.ReplaceAll(typed, "\n", "\n  ") + "\n"
	return append(bytes.Replace(text, []byte("pieces: pieces.yaml\n"), nil, 1), block...)
}

func cellsOf(row engine.Row) []string {
	texts := make([]string, len(row))
	for i, c := range row {
		if c.Known {
			texts[i] = c.Text
		}
	}
	return plainAll(texts)
}

// plainAll are texts as values in a file; an empty one is a gap.
func plainAll(texts []string) []string {
	out := make([]string, len(texts))
	for i, text := range texts {
		written, err := file.Plain(text)
		out[i] = cmp.Or(written, "~")
		if err != nil || text == "" {
			out[i] = "~"
		}
	}
	return out
}

// saved answers a button that saves, and leads to the page as it is then.
func (f *form) saved(w http.ResponseWriter, r *http.Request, step string) {
	f.s.once(w, r, func() string {
		clash, err := f.save(step)
		e := f.entry(step)
		f.notes, f.request, f.recipe, f.pattern = nil, engine.Request{}, nil, nil // all is read again for the answer
		if clash == nil && err == nil {
			f.values.Set(step, e.name)
			f.refill(step)
			if step == "pattern" {
				f.s.used(e.name)
			}
			f.s.say(sizePlace, note{Field: step, Text: "Saved in your notebook as `" + e.name + "`."})
			f.leave()()
			if step == "garment" {
				step = "more"
			}
			return "/?at=" + step
		}
		defer f.leave()()
		if clash != nil {
			f.clash = clash
			f.respond(w, http.StatusConflict, "page.html")
			return ""
		}
		f.wrong(step, err)
		f.respond(w, http.StatusUnprocessableEntity, "page.html")
		return ""
	})
}
