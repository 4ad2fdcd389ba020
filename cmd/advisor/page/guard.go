package page

import (
	"crypto/subtle"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"
)

// policy lets a page load what this server serves and nothing else, and run no script that stands in it.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// guard lets in only the browser of the person who started the page, asking from the page itself: the right host, no
// other site, the key, and for what is sent a small form with the token.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		shield(w)
		switch {
		case !slices.Contains(s.hosts, r.Host):
			refuse(w, http.StatusMisdirectedRequest, "This page is not served under that name. Open the address that `advisor page` printed.")
		case r.Method == http.MethodGet && r.URL.Path == "/" && s.use(r.URL.Query().Get("key")): // from anywhere: only the person has it
			s.welcome(w)
		case s.foreign(r):
			refuse(w, http.StatusForbidden, "Another site asked for this page. Open the address that `advisor page` printed.")
		case r.Method == http.MethodGet && r.URL.Path == doorScript:
			s.script(w)
		case !s.letIn(r) && r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Dest") == "document":
			s.elsewhere(w)
		case !s.letIn(r):
			refuse(w, http.StatusForbidden, isPrivate)
		case r.Method == http.MethodPost && !s.takes(w, r):
		default:
			s.inTurn(w, r, next)
		}
	})
}

// unguarded lets in whoever asks, where that is only the person's own browser. A form needs the token there too, since a page of
// another site can send one.
func (s *Server) unguarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		shield(w)
		if r.Method != http.MethodPost || s.takes(w, r) {
			s.inTurn(w, r, next)
		}
	})
}

// shield says what a browser may do with an answer.
func shield(w http.ResponseWriter) {
	for name, value := range map[string]string{
		"Content-Security-Policy": policy, "Referrer-Policy": "no-referrer", "X-Content-Type-Options": "nosniff", "Cache-Control": "no-store",
		"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin", "X-Frame-Options": "DENY",
	} {
		w.Header().Set(name, value)
	}
}

func refuse(w http.ResponseWriter, status int, why string) { http.Error(w, why, status) }

// foreign tells whether another site asks. A person who opens the address comes from no site; a form of this page, which
// tells nobody where it comes from, has no origin to tell either, and only the browser's word that it is ours.
func (s *Server) foreign(r *http.Request) bool {
	site, origin := r.Header.Get("Sec-Fetch-Site"), r.Header.Get("Origin")
	switch {
	case site != "" && site != "same-origin" && site != "none":
		return true
	case origin == "null":
		return site != "same-origin"
	}
	return origin != "" && origin != "http://"+r.Host
}

func equal(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// takes reads the form that was sent, and checks its token.
func (s *Server) takes(w http.ResponseWriter, r *http.Request) bool {
	most, tooLarge := int64(mostBytes), "That is more than 1 MB, more than any chart has. Go back, and paste less."
	if strings.TrimPrefix(r.URL.Path, s.path) == bookPath {
		most, tooLarge = mostArchive, "That is more than 32 MB. `advisor note import` takes larger copies."
	}
	r.Body = http.MaxBytesReader(w, r.Body, most)
	err := r.ParseForm()
	if multi := r.ParseMultipartForm(most); err == nil && !errors.Is(multi, http.ErrNotMultipart) { // all in memory; a form without a file is none
		err = multi
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		refuse(w, http.StatusRequestEntityTooLarge, tooLarge)
	case err != nil:
		refuse(w, http.StatusBadRequest, "The form could not be read.")
	case !equal(r.PostForm.Get("token"), s.token):
		refuse(w, http.StatusForbidden, s.stale)
	default:
		return true
	}
	return false
}

// inTurn lets only so many compute at once.
func (s *Server) inTurn(w http.ResponseWriter, r *http.Request, next http.Handler) {
	select {
	case s.turns <- struct{}{}:
		defer func() { <-s.turns }()
		defer unharmed(w)
		next.ServeHTTP(w, r)
	case <-r.Context().Done():
	case <-time.After(waitTime):
		refuse(w, http.StatusServiceUnavailable, "Too much is asked at once. Try again.")
	}
}

// unharmed answers for a fault of the program, which is told to nobody else: what it prints could have a body in it.
func unharmed(w http.ResponseWriter) {
	if recover() != nil {
		refuse(w, http.StatusInternalServerError, "That is a fault of the program, not of yours. Nothing was saved. Go back, and try it in another way.")
	}
}
