package publish

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"html/template"
	"maps"
	"slices"
	"strings"
	"sync"

	"fitadvisor/cmd/advisor/publish/buyer"
	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
)

// How a page has what it needs.
type having int

const (
	linked having = iota // in files beside it
	inside               // all in the page, which is opened from a disk too
)

// view is what a page shows.
type view struct {
	Lang, Policy, Name, Maker, Type, Cloth string
	Units                                  quantity.Unit
	W                                      map[string]string
	First, Lengths                         []field
	Wishes                                 []choice
	Tables                                 []table
	Links                                  []link
	Script                                 bool
	Head, Foot                             template.HTML
	Notices                                string // empty: they are in a file beside the page
}

type (
	field  struct{ Name, Label, How, Called string }
	choice struct{ Value, Label string }
	table  struct {
		Title string
		Head  []string
		Rows  [][]string
	}
	link struct{ Href, Name, Maker string }
)

var (
	//go:embed page.html
	pageView string
	//go:embed index.html
	indexView string
)

var views = sync.OnceValue(func() *template.Template {
	return template.Must(template.Must(template.New("page").Parse(pageView)).New("index").Parse(indexView))
})

// The policies: what a page may load and run. WebAssembly has to be allowed by name; no text is ever run as a script.
const (
	linkedPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; style-src 'self'; base-uri 'none'; form-action 'none'"
	insidePolicy = "default-src 'none'; script-src SCRIPT 'wasm-unsafe-eval'; worker-src blob:; style-src STYLE; base-uri 'none'; form-action 'none'"
)

// page is the page of a pattern.
func (s *Site) page(p *Pattern, has having) []byte {
	words := buyer.Said(s.Texts.Words)
	v := &view{Lang: s.Texts.lang(), Policy: linkedPolicy, Name: cmp.Or(p.Read.Name, p.Name), Maker: p.Read.Maker, Type: p.Recipe.Title, Cloth: cloth(p),
		Units: cmp.Or(p.Read.Units, quantity.Cm), W: words, Script: true, Wishes: []choice{{"closer", words["closer"]}, {"", words["drawn"]}, {"roomier", words["roomier"]}}}
	v.First, v.Lengths = p.fields(words, p.Asks[0]), p.fields(words, p.Asks[1])
	v.table(p, words["chart"], engine.OfBody)
	v.table(p, words["finished"], engine.OfFinished)
	p.Words = s.Texts.Words
	published, _ := json.Marshal(p.Published) // no error: it is texts, with < and > escaped
	data := `<script type="application/json" id="published">` + string(published) + "</script>\n"
	own, _ := json.Marshal(map[string]string{"starting": words["starting"], "disk": words["disk"], "empty": words["empty"], "answer": words["answer"], "failed": words["failed"]})
	data += `<script type="application/json" id="words">` + string(own) + "</script>\n"
	if has == linked {
		v.Head = `<link rel="stylesheet" href="advisor/page.css">`
		v.Foot = template.HTML(data + `<script src="advisor/page.js" defer></script>`)
	} else {
		s.within(v, data)
	}
	return made("page", v)
}

// within puts the style, the scripts and the engine into the page itself.
func (s *Site) within(v *view, data string) {
	style, script := s.style(), string(asset("page.js"))
	worker := string(s.Engine.Support) + "\n" + string(asset("worker.js"))
	v.Policy = strings.NewReplacer("SCRIPT", digest(script), "STYLE", digest(style)).Replace(insidePolicy)
	v.Head = template.HTML("<style>" + style + "</style>")
	v.Foot = template.HTML(data + `<script type="text/plain" id="worker">` + base64.StdEncoding.EncodeToString([]byte(worker)) + "</script>\n" +
		`<script type="text/plain" id="engine">` + base64.StdEncoding.EncodeToString(s.Engine.Program) + "</script>\n" +
		"<script>" + script + "</script>")
	v.Notices = string(s.Engine.Notices)
}

// index leads to the pages of several patterns.
func (s *Site) index(names []string) []byte {
	v := &view{Lang: s.Texts.lang(), Policy: linkedPolicy, W: buyer.Said(s.Texts.Words), Head: `<link rel="stylesheet" href="advisor/page.css">`}
	for i, p := range s.Patterns {
		v.Links = append(v.Links, link{names[i], cmp.Or(p.Read.Name, p.Name), p.Read.Maker})
	}
	return made("index", v)
}

func made(name string, v *view) []byte {
	var b bytes.Buffer
	if err := views().ExecuteTemplate(&b, name, v); err != nil {
		panic(err) // the templates are the program's own
	}
	return b.Bytes()
}

// fields are those for measurements, with how each is taken.
func (p *Pattern) fields(words map[string]string, names []string) []field {
	var all []field
	for _, name := range names {
		all = append(all, field{name, p.label(words, name), p.Voc.Measure(name).How, words["how"]})
	}
	return all
}

// label is what a measurement is called: by the maker, or by the vocabulary.
func (p *Pattern) label(words map[string]string, name string) string {
	if own := words["measure."+name]; own != "" {
		return own
	}
	title := p.Voc.Title(name)
	return strings.ToUpper(title[:1]) + title[1:]
}

// table adds a part of the chart.
func (v *view) table(p *Pattern, title string, part engine.Part) {
	rows, err := csv.NewReader(bytes.NewReader(recipes.WriteCSV(p.Read, part, p.Voc))).ReadAll()
	if err != nil || len(rows) < 2 {
		return
	}
	for _, row := range rows[1:] {
		row[0] = p.label(v.W, row[0])
	}
	rows[0][0] = v.W["size"]
	v.Tables = append(v.Tables, table{title, rows[0], rows[1:]})
}

// cloth is what the pattern asks for, in words.
func cloth(p *Pattern) string {
	switch {
	case p.Read.Stretch != nil:
		return "stretches by " + quantity.FormatPercent(*p.Read.Stretch) + ", as it was drafted for"
	case p.Recipe.Stretch.Kind == engine.StretchNeeded:
		return "a knit that stretches by at least " + quantity.FormatPercent(p.Recipe.Stretch.Least)
	case p.Recipe.Stretch.Kind == engine.StretchComfort:
		return "woven or knit; a little stretch is comfortable"
	}
	return "woven; stretch is not needed"
}

func sorted[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }
