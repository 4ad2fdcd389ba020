//go:build js && wasm

// Command browser is the engine in a browser's worker, for pages that are published. `advisor publish` builds it:
//
//	GOOS=js GOARCH=wasm go build -trimpath -ldflags="-s -w" ./cmd/advisor/publish/browser
//
// It gives the worker one function, advise(what, text), that answers with {text} or {error}; what it can be asked is what
// [buyer.Serve] does.
package main

import (
	"fmt"
	"runtime/debug"
	"syscall/js"

	"fitadvisor/cmd/advisor/publish/buyer"
)

func main() {
	debug.SetGCPercent(400) // an answer leaves some megabytes behind, and there is one thread to clear them away on
	s := &buyer.Serve{}
	js.Global().Set("advise", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 2 {
			return map[string]any{"error": "advise wants what is asked, and a text"}
		}
		text, err := do(s, args[0].String(), args[1].String())
		if err != nil {
			return map[string]any{"error": err.Error()}
		}
		return map[string]any{"text": text}
	}))
	select {}
}

// do answers one request; a fault in the engine costs one answer, and not the page.
func do(s *buyer.Serve, what, text string) (out string, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("the engine failed: %v", fault)
		}
	}()
	return s.Do(what, text)
}
