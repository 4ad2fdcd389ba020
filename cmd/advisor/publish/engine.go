package publish

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// Engine is the program for browsers, with what it needs.
type Engine struct {
	Program []byte // WebAssembly, compressed by gzip
	Size    int    // of the program as it is
	Support []byte // the script of the Go release that the program was built with
	Notices []byte // the licences of all that is in it
}

// Program is a program for browsers: the package that an engine is built of.
type Program string

// The programs.
const (
	PatternPages Program = "fitadvisor/cmd/advisor/publish/browser" // of a maker's pages
	WholePage    Program = "fitadvisor/cmd/advisor/page/browser"    // of the page with a notebook
)

// NoSourceError says that the engine cannot be built here.
type NoSourceError struct{ Why string }

func (e *NoSourceError) Error() string { return "cannot build the engine for browsers: " + e.Why }

// Hint says what to do.
func (e *NoSourceError) Hint() string {
	return "run this in the folder of the program's source, with Go installed; or name the advisor/engine.wasm.gz of pages that were published before with --engine"
}

// Build makes the engine from the source that the working folder lies in, or depends on. It fails with [NoSourceError] where
// there is no source, or no Go.
func Build(ctx context.Context, of Program) (*Engine, error) {
	tool, err := exec.LookPath("go")
	if err != nil {
		return nil, &NoSourceError{"there is no Go here"}
	}
	b := builder{ctx, tool, of}
	dir, err := os.MkdirTemp("", "advisor-engine-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	at := filepath.Join(dir, "engine.wasm")
	args := []string{"build", "-trimpath", "-gcflags=all=-l", "-ldflags=-s -w", "-o", at}
	if of == PatternPages {
		brief, err := b.brief(dir)
		if err != nil {
			return nil, err
		}
		args = append(args, brief...)
	}
	if _, err := b.run(append(args, string(of))...); err != nil {
		return nil, &NoSourceError{err.Error()}
	}
	program, err := os.ReadFile(at)
	if err != nil {
		return nil, err
	}
	root, err := b.run("env", "GOROOT")
	if err != nil {
		return nil, err
	}
	e := &Engine{Size: len(program)}
	if e.Support, err = os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")); err != nil {
		return nil, err
	}
	if e.Notices, err = b.notices(strings.TrimSpace(string(root))); err != nil {
		return nil, err
	}
	e.Program, err = zipped(program)
	return e, err
}

// Built is an engine that was published before, by the path of its program. Its script and its licences lie beside it.
func Built(path string, of Program) (*Engine, error) {
	e := &Engine{}
	packed, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	program, err := unzipped(packed)
	if err != nil || !bytes.HasPrefix(program, []byte("\x00asm")) {
		return nil, fmt.Errorf("%s is no engine for browsers: name the engine.wasm.gz of pages that were published before", path)
	}
	if !bytes.Contains(program, []byte("path\t"+of+"\n")) {
		return nil, fmt.Errorf("%s is the engine of other pages: one with a notebook has another engine than the pages of patterns; name one that was published for the same", path)
	}
	e.Size = len(program)
	for name, to := range map[string]*[]byte{"wasm_exec.js": &e.Support, "notices.txt": &e.Notices} {
		if *to, err = os.ReadFile(filepath.Join(filepath.Dir(path), name)); errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("there is no %s beside %s: name the engine where it was published, with what lies beside it", name, path)
		} else if err != nil {
			return nil, err
		}
	}
	if e.Program = packed; len(program) == len(packed) { // it is not compressed yet
		e.Program, err = zipped(program)
	}
	return e, err
}

// garmentTypes is the package that the shipped garment types are embedded in.
const garmentTypes = "fitadvisor/recipes"

// brief writes the files of garment types without their examples, which a buyer's page never reads, into a folder. It
// returns what the Go command wants to build with them: nothing where the source is in no working folder, since Go builds a
// library only as it is.
func (b builder) brief(dir string) (flags []string, err error) {
	out, err := b.run("list", "-f", "{{if .Module.Main}}{{.Dir}}{{range .EmbedFiles}}\n{{.}}{{end}}{{end}}", garmentTypes)
	if err != nil {
		return nil, &NoSourceError{err.Error()}
	}
	from, files, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
	if from == "" {
		return nil, nil
	}
	instead := map[string]string{}
	for name := range strings.Lines(files) {
		name = strings.TrimSpace(name)
		text, err := os.ReadFile(filepath.Join(from, name))
		if err != nil {
			return nil, err
		}
		text, _, _ = bytes.Cut(text, []byte("\nexamples:\n"))
		at := filepath.Join(dir, name)
		if err := os.WriteFile(at, text, 0o600); err != nil {
			return nil, err
		}
		instead[filepath.Join(from, name)] = at
	}
	list, _ := json.Marshal(map[string]any{"Replace": instead}) // no error: they are texts
	overlay := filepath.Join(dir, "overlay.json")
	return []string{"-overlay", overlay}, os.WriteFile(overlay, list, 0o600)
}

// builder asks the Go command.
type builder struct {
	context.Context
	tool string
	of   Program
}

func (b builder) run(args ...string) ([]byte, error) {
	c := exec.CommandContext(b.Context, b.tool, args...)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	var said bytes.Buffer
	c.Stderr = &said
	out, err := c.Output()
	if err != nil {
		first, _, _ := strings.Cut(strings.TrimSpace(said.String()), "\n")
		return nil, errors.New(cmp.Or(first, err.Error()))
	}
	return out, nil
}

// module is a library that is in the engine.
type module struct {
	Path, Version, Dir string
	Main               bool
}

// notices are the licences of Go and of every library in the engine, from the modules themselves.
func (b builder) notices(root string) ([]byte, error) {
	listed, err := b.run("list", "-deps", "-json=Module", string(b.of))
	if err != nil {
		return nil, err
	}
	all := []module{{Path: "Go", Version: "its run time, its library and wasm_exec.js", Dir: root}}
	for d := json.NewDecoder(bytes.NewReader(listed)); d.More(); {
		var p struct{ Module *module }
		if err := d.Decode(&p); err != nil {
			return nil, err
		}
		if m := p.Module; m != nil && !m.Main && m.Path != "fitadvisor" && !slices.Contains(all, *m) {
			all = append(all, *m)
		}
	}
	var out bytes.Buffer
	out.WriteString("The engine on these pages is built with the following. Each is given to you under its own licence.\n")
	for _, m := range all {
		texts, err := licences(m.Dir)
		if err != nil {
			return nil, fmt.Errorf("no licence is found of %s: %w", m.Path, err)
		}
		fmt.Fprintf(&out, "\n==== %s, %s\n\n%s", m.Path, m.Version, texts)
	}
	return out.Bytes(), nil
}

// licences are the texts of the licence in a folder.
func licences(dir string) ([]byte, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var out []byte
	for _, e := range entries {
		name := strings.ToUpper(e.Name())
		if !e.Type().IsRegular() || !strings.HasPrefix(name, "LICENSE") && !strings.HasPrefix(name, "LICENCE") && !strings.HasPrefix(name, "COPYING") && !strings.HasPrefix(name, "NOTICE") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, err
		}
		out = append(append(out, bytes.TrimSpace(text)...), '\n')
	}
	if out == nil {
		return nil, fs.ErrNotExist
	}
	return out, nil
}
