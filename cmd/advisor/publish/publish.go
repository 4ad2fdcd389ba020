// Package publish writes pages for a maker's own site, on which buyers find their size in their own browser: plain HTML, a
// small script, and the engine as WebAssembly in a worker. Nothing that a buyer types leaves their browser.
//
// [Pack] puts a pattern with all files that are read with it into one value, [Build] makes the engine from the module's source,
// [Site.Files] are the files of a folder, and [Site.OneFile] is a single page with everything inside. The engine's own side is in
// the packages buyer and browser below.
package publish

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"fitadvisor/cmd/advisor/notebook"
	"fitadvisor/cmd/advisor/parts"
)

// Site is what is published.
type Site struct {
	Patterns []*Pattern
	Engine   *Engine
	Texts    Texts
}

//go:embed assets
var assets embed.FS

// folder is where the files lie that the pages of a site share.
const folder = "advisor/"

// Files are the files of a folder, by their paths in it. Several patterns share all but their pages.
func (s *Site) Files() (map[string][]byte, error) {
	all := map[string][]byte{
		folder + "engine.wasm.gz": s.Engine.Program,
		folder + "wasm_exec.js":   s.Engine.Support,
		folder + "notices.txt":    s.Engine.Notices,
		folder + "page.css":       []byte(s.style()),
		folder + "page.js":        asset("page.js"),
		folder + "worker.js":      slices.Concat([]byte("importScripts(\"wasm_exec.js\");\n"), asset("worker.js")),
	}
	names, err := s.names()
	if err != nil {
		return nil, err
	}
	for i, p := range s.Patterns {
		all[names[i]] = s.page(p, linked)
	}
	if _, there := all["index.html"]; !there {
		all["index.html"] = s.index(names)
	}
	all["sw.js"] = offline(all)
	return all, nil
}

// names are the files of the pages: index.html for a single pattern.
func (s *Site) names() ([]string, error) {
	if len(s.Patterns) == 1 {
		return []string{"index.html"}, nil
	}
	var names []string
	for _, p := range s.Patterns {
		name := notebook.Slug(p.Read.Name)
		if name == "" || name == "index" {
			name = "pattern"
		}
		if name += ".html"; slices.Contains(names, name) {
			return nil, fmt.Errorf("two patterns would both be %s: give one of them another name", name)
		}
		names = append(names, name)
	}
	return names, nil
}

// OneFile is the page of the first pattern with everything inside, which a browser opens from a disk.
func (s *Site) OneFile() []byte { return s.page(s.Patterns[0], inside) }

// offline is the service worker, which keeps the files of the site in the browser. Its name for them changes with them.
func offline(all map[string][]byte) []byte {
	paths, sum := []string{"./"}, sha256.New()
	for _, name := range sorted(all) {
		paths = append(paths, name)
		fmt.Fprintf(sum, "%s %d\n", name, len(all[name]))
		sum.Write(all[name])
	}
	list, _ := json.Marshal(paths) // no error: they are texts
	return fmt.Appendf(nil, "const files = %s;\nconst kept = \"advisor-%x\";\n%s", list, sum.Sum(nil)[:8], asset("sw.js"))
}

func asset(name string) []byte {
	text, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic(err) // it is embedded
	}
	return text
}

// style is the look of documents and of the page, with the maker's own colours last.
func (s *Site) style() string {
	return parts.Style() + string(asset("page.css")) + s.Texts.style()
}

// zipped is a text compressed; the same text gives the same bytes.
func zipped(text []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err == nil {
		_, err = w.Write(text)
	}
	if err == nil {
		err = w.Close()
	}
	return b.Bytes(), err
}

// unzipped is a program as it is, whether it was compressed or not.
func unzipped(program []byte) ([]byte, error) {
	if !bytes.HasPrefix(program, []byte{0x1f, 0x8b}) {
		return program, nil
	}
	r, err := gzip.NewReader(bytes.NewReader(program))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// digest is how a policy knows a script or a style that stands in the page.
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
