package page

import (
	"errors"
	"io"
	"net/http"
	"strconv"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/engine"
)

// Where the notebook as a whole is shown and a copy is brought back to, and where one is had.
const (
	bookPath = "/notebook"
	copyPath = "/notebook.zip"
)

// bookView is the notebook as a whole.
type bookView struct {
	Token string
	Files string // how many there are, in words; empty: none
	Said  []note
}

// errNoNotebook says that nothing can be kept.
var errNoNotebook = errors.New("the system does not say where your data belongs: name the folder of your notebook with --notebook")

// book shows the notebook as a whole.
func (s *Server) book(w http.ResponseWriter, _ *http.Request) {
	s.showBook(w, http.StatusOK, s.notesOf(bookPath)...)
}

func (s *Server) showBook(w http.ResponseWriter, status int, said ...note) {
	v, n := &bookView{Token: s.token, Said: said}, 0
	for _, k := range notebook.Kinds {
		n += len(s.names(k.Name))
	}
	if n > 0 {
		v.Files = engine.CountOf(n, "file")
	}
	s.send(w, status, "notebook.html", v)
}

// takeCopy gives all files of the notebook as one archive, as `advisor note export` writes it.
func (s *Server) takeCopy(w http.ResponseWriter, _ *http.Request) {
	archive, err := []byte(nil), errNoNotebook
	if s.Book.Dir != "" {
		archive, err = s.Book.Archive()
	}
	if err != nil {
		s.showBook(w, http.StatusInternalServerError, note{Text: err.Error(), Hint: hintOf(err), Wrong: true})
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="notebook-`+s.Today()+`.zip"`)
	w.Header().Set("Content-Length", strconv.Itoa(len(archive)))
	_, _ = w.Write(archive) // the browser is gone
}

// bringBack takes the files of an archive into the notebook, all or none.
func (s *Server) bringBack(w http.ResponseWriter, r *http.Request) {
	s.once(w, r, func() string {
		added, same, err := s.brought(r)
		if err != nil {
			s.showBook(w, http.StatusUnprocessableEntity, note{Text: err.Error(), Hint: "nothing in the notebook was changed", Wrong: true})
			return ""
		}
		s.say(bookPath, note{Text: "New from the copy: " + engine.CountOf(added, "file") + ". Already here and just the same: " + engine.CountOf(same, "file") + "."})
		return bookPath
	})
}

// brought takes the archive that a form has with it.
func (s *Server) brought(r *http.Request) (added, same int, err error) {
	if s.Book.Dir == "" {
		return 0, 0, errNoNotebook
	}
	f, about, err := r.FormFile("archive")
	if err != nil {
		return 0, 0, errors.New("choose the file of a copy first")
	}
	defer f.Close()
	archive, err := io.ReadAll(f)
	if err != nil {
		return 0, 0, err
	}
	return s.Book.Take("the copy `"+about.Filename+"`", archive)
}
