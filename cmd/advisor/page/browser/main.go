//go:build js && wasm

// Command browser is the page of `advisor page` in a browser's service worker, with the notebook in the browser's own storage.
// `advisor publish --all` builds it:
//
//	GOOS=js GOARCH=wasm go build -trimpath -ldflags="-s -w" ./cmd/advisor/page/browser
//
// It is started with the path below which the page is, and a secret that only its storage has. It calls the worker's function
// started with one of its own: answer(method, address below the path, headers, body), a promise of {status, headers, body}. Files are those that the
// worker's disk.js has in memory; what is changed there is kept by the worker.
package main

import (
	"bytes"
	"net/http"
	"os"
	"runtime/debug"
	"syscall/js"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/page"
	"fitadvisor/cmd/advisor/question"
	"fitadvisor/recipes/advice"
	"fitadvisor/rules/data"
)

// folder is where the notebook is among the worker's files.
const folder = "/notebook"

func main() {
	if len(os.Args) != 3 {
		panic("started with a path and a secret")
	}
	debug.SetGCPercent(400) // an answer leaves some megabytes behind, and there is one thread to clear them away on
	voc, err := data.Vocabulary()
	if err != nil {
		panic(err)
	}
	today := func() string { day, _ := question.Day(""); return day } // no error: it is no day that somebody wrote
	o := page.Options{Files: question.Files{Book: notebook.Book{Dir: folder}, Reader: advice.Reader{Voc: voc}}, Today: today}
	handler, err := page.InBrowser(o, os.Args[1], os.Args[2])
	if err != nil {
		panic(err)
	}
	js.Global().Call("started", js.FuncOf(func(_ js.Value, asked []js.Value) any { return promised(handler, asked) }))
	select {}
}

// promised is the promise of an answer. It is worked out beside, since to read a file is to wait for the worker.
func promised(handler http.Handler, asked []js.Value) js.Value {
	var work js.Func
	work = js.FuncOf(func(_ js.Value, end []js.Value) any {
		go func() {
			defer work.Release()
			r, err := request(asked)
			if err != nil {
				end[1].Invoke(js.Global().Get("Error").New(err.Error()))
				return
			}
			var w answer
			handler.ServeHTTP(&w, r)
			end[0].Invoke(w.value())
		}()
		return nil
	})
	return js.Global().Get("Promise").New(work)
}

// request is what is asked, as a server would have it.
func request(asked []js.Value) (*http.Request, error) {
	body := make([]byte, asked[3].Length())
	js.CopyBytesToGo(body, asked[3])
	r, err := http.NewRequest(asked[0].String(), asked[1].String(), bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	for i := 0; i+1 < asked[2].Length(); i += 2 {
		r.Header.Add(asked[2].Index(i).String(), asked[2].Index(i+1).String())
	}
	return r, nil
}

// answer is what a handler writes.
type answer struct {
	status int
	header http.Header
	body   bytes.Buffer
}

// Header is what is said of the answer.
func (a *answer) Header() http.Header {
	if a.header == nil {
		a.header = http.Header{}
	}
	return a.header
}

// WriteHeader says how it went; the first word counts.
func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
}

// Write writes on.
func (a *answer) Write(p []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.body.Write(p)
}

// value is the answer as the worker takes it.
func (a *answer) value() map[string]any {
	a.WriteHeader(http.StatusOK)
	if a.Header().Get("Content-Type") == "" && a.body.Len() > 0 {
		a.Header().Set("Content-Type", http.DetectContentType(a.body.Bytes()))
	}
	headers := []any{}
	for name, values := range a.Header() {
		for _, v := range values {
			headers = append(headers, []any{name, v})
		}
	}
	body := js.Global().Get("Uint8Array").New(a.body.Len())
	js.CopyBytesToJS(body, a.body.Bytes())
	return map[string]any{"status": a.status, "headers": headers, "body": body}
}
