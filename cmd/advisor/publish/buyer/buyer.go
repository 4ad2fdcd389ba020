// Package buyer answers somebody who is about to buy or to cut a published pattern, in their own browser: what they measured
// in, and out comes what the page shows. It has no disk, network or clock.
//
// [Open] takes what was published of a pattern, [Desk.Ask] answers one [Asked] after the other; [Desk.JSON] gives the bytes that
// the command line prints of the same answer.
package buyer

import (
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing/fstest"

	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/file"
)

// Published is what a page has of a pattern: its file, and all files that were read with it.
type Published struct {
	Name    string            `json:"name"` // of the file
	Text    string            `json:"text"`
	Beside  map[string][]byte `json:"beside,omitempty"`  // charts and garment types that it names
	Recipes []Folder          `json:"recipes,omitempty"` // the maker's own garment types
	Rules   []Folder          `json:"rules,omitempty"`   // and rules
	Words   map[string]string `json:"words,omitempty"`   // that the page says, by [Words]
}

// Folder is a folder of the maker's own files.
type Folder struct {
	Name  string            `json:"name"`
	Files map[string][]byte `json:"files"`
}

// Asked is what a buyer has typed.
type Asked struct {
	Body    map[string]string `json:"body"` // by measurement
	Stretch string            `json:"stretch,omitempty"`
	Ease    string            `json:"ease,omitempty"`
	Units   string            `json:"units,omitempty"`
	Today   string            `json:"today,omitempty"`
}

// Reply is what the page shows.
type Reply struct {
	Size  string     `json:"size"`            // empty: none is recommended
	HTML  parts.HTML `json:"html"`            // the answer; empty: there is none yet
	Sheet parts.HTML `json:"sheet,omitempty"` // the sheet to cut by, a part of the page
	Notes []Note     `json:"notes,omitempty"`
}

// Note is something to be said at a field, or of the page as a whole where none is named.
type Note struct {
	Field string `json:"field,omitempty"` // a measurement, or `stretch`
	Text  string `json:"text"`
	Wrong bool   `json:"wrong,omitempty"` // else it is missing, or good to know
}

// Desk answers for one pattern.
type Desk struct {
	Published
	reader advice.Reader
	known  advice.Known // the pattern and its type, which are read once
}

// Open takes what was published, and reads it.
func Open(p Published) (*Desk, error) {
	r, err := advice.NewReader()
	if err != nil {
		return nil, err
	}
	r.Library.Folders, r.Folders = folders(p.Recipes), folders(p.Rules)
	r.Learn()
	pattern := advice.Open(p.Name, p.Text)
	pattern.Beside = &file.Folder{Name: ".", Files: files(p.Beside)}
	read := r.Read(advice.Question{Pattern: pattern})
	return &Desk{p, r.Anew(), advice.Known{Pattern: read.Pattern, Recipe: read.Recipe}}, r.Problems.Err()
}

func folders(all []Folder) (out []file.Folder) {
	for _, f := range all {
		out = append(out, file.Folder{Name: f.Name, Files: files(f.Files)})
	}
	return out
}

func files(texts map[string][]byte) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range texts {
		out[name] = &fstest.MapFile{Data: text}
	}
	return out
}

// question is what is asked, as the command line would put it.
func (d *Desk) question(q Asked) advice.Question {
	out := advice.Question{Known: d.known, Typed: advice.Typed{Body: q.Body, Units: q.Units}, Units: quantity.Unit(q.Units), Today: q.Today}
	if q.Stretch != "" {
		out.Typed.Stretch = []string{q.Stretch}
	}
	if q.Ease != "" {
		out.Ease = []string{q.Ease}
	}
	return out
}

// JSON is the answer as the command line prints it.
func (d *Desk) JSON(q Asked) ([]byte, error) {
	r := d.reader.Anew()
	reply := r.Reply(d.question(q))
	if reply.Answer == nil {
		return nil, reply.Err
	}
	return report.JSON(reply.Answer)
}

// Ask answers.
func (d *Desk) Ask(q Asked) (Reply, error) {
	r := d.reader.Anew()
	reply := r.Reply(d.question(q))
	var out Reply
	out.notes(reply)
	a := reply.Answer
	if a == nil {
		return out, nil
	}
	if a.Recommended != nil {
		out.Size = a.Recommended.Size
	}
	var err error
	if out.HTML, err = d.lay(reply); err != nil {
		return out, err
	}
	if a.Ends == "" && a.Recommended != nil {
		out.Sheet, err = sheet(a)
	}
	return out, err
}

// notes tells what is wrong or missing, each at its field.
func (o *Reply) notes(r advice.Reply) {
	var unknown *engine.UnknownError
	if errors.As(r.Err, &unknown) {
		o.Notes = append(o.Notes, Note{Field: unknown.Measurement, Text: sentence(unknown.Error()) + " " + unknown.How})
		return
	}
	for _, p := range r.Problems {
		n := Note{Field: fieldOf(p, r.Sources), Text: sentence(p.Summary), Wrong: p.IsError()}
		if p.Hint != "" {
			n.Text += " " + sentence(p.Hint)
		}
		o.Notes = append(o.Notes, n)
	}
}

// fieldOf is the measurement in whose line a problem is, or `stretch`.
func fieldOf(p diag.Diagnostic, sources diag.Sources) string {
	switch p.Range.File {
	case advice.TypedBody:
		lines := strings.Split(string(sources[p.Range.File]), "\n")
		if at := p.Range.Start.Line - 1; at >= 0 && at < len(lines) {
			name, _, _ := strings.Cut(strings.TrimSpace(lines[at]), ":")
			return name
		}
	case advice.TypedCloth:
		return "stretch"
	}
	return ""
}

func sentence(text string) string {
	text = explain.Quoted(report.Capital(text))
	if text != "" && !strings.ContainsAny(text[len(text)-1:], ".?!") {
		text += "."
	}
	return text
}

// Serve answers requests that come as JSON, one to a line, in order: `open` takes a [Published], `ask` and `json` an [Asked].
type Serve struct{ desk *Desk }

// Do answers one request. What is wrong comes back as an error.
func (s *Serve) Do(what, text string) (string, error) {
	if what == "open" {
		var p Published
		if err := json.Unmarshal([]byte(text), &p); err != nil {
			return "", err
		}
		desk, err := Open(p)
		if err == nil {
			s.desk = desk
		}
		return "", err
	}
	var q Asked
	if err := json.Unmarshal([]byte(text), &q); err != nil {
		return "", err
	}
	switch {
	case s.desk == nil:
		return "", errors.New("no pattern is open yet")
	case what == "json":
		out, err := s.desk.JSON(q)
		return string(out), err
	case what == "ask":
		reply, err := s.desk.Ask(q)
		if err != nil {
			return "", err
		}
		out, err := json.Marshal(reply)
		return string(out), err
	}
	return "", fmt.Errorf("nothing is called %q", what)
}
