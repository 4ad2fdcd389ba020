package page

import (
	"bytes"
	"embed"
	"html/template"
	"mime"
	"net/http"
	"strings"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/parts"
	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain"
	"fitadvisor/explain/pdf"
)

// sheetView is the sheet to cut by: a page for the wall, one with how each step is done, one with what it rests on.
type sheetView struct {
	Title, Day, Key string
	Body            template.HTML
	File            bool // it is a file that needs nothing besides itself, to be sent to a telephone
	Style           template.CSS
	Script          template.JS
}

//go:embed assets/sheet.css assets/sheet.js
var sheetFiles embed.FS

// plan is the sheet to cut by: to be printed, as a file for the telephone, or as a PDF.
func (s *Server) plan(w http.ResponseWriter, r *http.Request) {
	f := s.form(r.PostForm)
	defer f.close()
	a, err := f.ask()
	if err != nil || a == nil {
		f.notes, f.request = nil, engine.Request{}
		f.respond(w, http.StatusUnprocessableEntity, "page.html")
		return
	}
	if a.Ends != "" || a.Recommended == nil {
		f.notes = nil
		f.say(note{Field: "made", Text: "There is nothing to cut by yet."})
		f.respond(w, http.StatusUnprocessableEntity, "page.html")
		return
	}
	if f.get("do") == "pdf" {
		s.asPDF(w, a)
		return
	}
	v, err := s.sheet(a)
	if err != nil {
		refuse(w, http.StatusInternalServerError, "The sheet could not be made: "+err.Error())
		return
	}
	if v.File = f.get("do") == "file"; v.File {
		w.Header().Set("Content-Disposition", attachment(a, s.Today(), ".html"))
	}
	s.send(w, http.StatusOK, "plan.html", v)
}

// attachment names a file after the garment, whose it is, and the day.
func attachment(a *engine.Answer, day, ending string) string {
	return mime.FormatMediaType("attachment", map[string]string{"filename": notebook.Slug(a.Pattern+" "+a.Body) + "-" + day + ending})
}

// sheet makes the sheet of an answer.
func (s *Server) sheet(a *engine.Answer) (*sheetView, error) {
	title, d := report.Plan(a)
	v := &sheetView{Title: title, Day: s.Today(), Key: notebook.Slug(title) + "-" + s.Today() + "-" + a.Recommended.Size}
	var err error
	if v.Body, err = fragment(d.Blocks...); err != nil {
		return nil, err
	}
	style, err := sheetFiles.ReadFile("assets/sheet.css")
	if err != nil {
		return nil, err
	}
	script, err := sheetFiles.ReadFile("assets/sheet.js")
	v.Style, v.Script = template.CSS(strings.ReplaceAll(parts.Style(), "</", "<\\/")+string(style)), template.JS(script)
	return v, err
}

func (s *Server) asPDF(w http.ResponseWriter, a *engine.Answer) {
	title, d := report.Plan(a)
	var out bytes.Buffer
	if err := pdf.Write(&out, d, pdf.Options{Title: title, Paper: explain.A4, Foot: report.Foot(a), Sheet: true}); err != nil {
		refuse(w, http.StatusInternalServerError, "The sheet could not be made: "+err.Error())
		return
	}
	w.Header().Set("Content-Disposition", attachment(a, s.Today(), ".pdf"))
	w.Header().Set("Content-Type", "application/pdf")
	_, _ = w.Write(out.Bytes()) // the browser is gone
}
