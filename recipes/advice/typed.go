package advice

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// Typed is what a question is about where no file says it: the envelope of a pattern, a body, a stretch. It is written down as
// files are, and read as they are.
type Typed struct {
	Type, Sizes string            // the garment type; 8,10,12
	Chart       []string          // hip=36,37,38.5: the body that each size is for
	Drawn       []string          // hip+5in, bust-8%, or the garment's own as in hip=41,42,43.5
	Body        map[string]string // by measurement
	Stretch     []string          // 40%, or along=20%
	Units       string            // of numbers without one
	Planned     bool              // there is no pattern yet: the ease is asked about
}

// The names of what is typed, as problems of it begin.
const (
	TypedPattern = "the pattern as typed"
	TypedBody    = "your measurements"
	TypedCloth   = "the cloth as typed"
)

// signed is where an ease begins that is added to a row: names of rows may have hyphens.
var signed = regexp.MustCompile(`[+-]\s*[0-9.½¼¾⅛⅜⅝⅞]`)

// begin is where an ease begins that is added to a row, 0 where none does.
func begin(text string) int {
	if at := signed.FindStringIndex(text); at != nil {
		return at[0]
	}
	return 0
}

// units are those of numbers without one: as they are said, or the only ones that are written with any number.
func (t *Typed) units() string {
	if t.Units != "" {
		return t.Units
	}
	found := map[string]bool{}
	values := slices.Collect(maps.Values(t.Body))
	for _, text := range slices.Concat(t.Chart, t.Drawn) {
		values = append(values, text[max(strings.IndexByte(text, '='), begin(text)):])
	}
	for _, v := range values {
		if strings.Contains(v, "in") || strings.ContainsAny(v, `"”″`) {
			found["in"] = true
		}
		if strings.Contains(v, "cm") || strings.Contains(v, "mm") {
			found["cm"] = true
		}
	}
	if len(found) != 1 {
		return ""
	}
	return slices.Collect(maps.Keys(found))[0]
}

// pattern reads the envelope.
func (t *Typed) pattern(d *Reader) *engine.Pattern {
	w := &file.Writer{}
	w.Text("kind", "pattern")
	w.Text("name", "your pattern")
	w.Text("recipe", t.Type)
	w.Text("units", t.units())
	w.List("sizes", commaed(t.Sizes))
	given, drawn := map[string]string{}, [][2]string{}
	for _, text := range t.Drawn {
		i := strings.IndexByte(text, '=')
		if i < 0 {
			i = begin(text)
		}
		if i < 1 {
			d.wrong(fmt.Sprintf("cannot read --drawn %q", text), "write it as in hip+5in, bust-8%, or hip=41,42,43.5")
			continue
		}
		if name := strings.TrimSpace(text[:i]); text[i] == '=' {
			given[name] = text[i+1:]
		} else {
			drawn = append(drawn, [2]string{name, text[i:]})
		}
	}
	w.Below("body", func() { d.rows(w, t.Chart) })
	w.Below("finished", func() {
		for _, name := range slices.Sorted(maps.Keys(given)) {
			w.List(name, commaed(given[name]))
		}
	})
	doc := d.typed(TypedPattern, w)
	p, _ := recipes.ReadPattern(doc, d.Voc, nil)
	d.Take(doc)
	if p != nil {
		p.Planned = t.Planned
	}
	for _, one := range drawn {
		t.draw(d, p, d.Word("drawn", one[0]), one[1])
	}
	return p
}

// draw adds an ease to a row of the chart, which makes the garment's own row.
func (t *Typed) draw(d *Reader, p *engine.Pattern, name, ease string) {
	if p == nil || d.Problems.HasErrors() {
		return // the problems say why
	}
	row, ok := p.Chart[name]
	if !ok {
		d.wrong("the ease of --drawn "+name+ease+" is added to nothing", "say with --chart for which "+d.Voc.Title(name)+" each size is, as in --chart \""+name+"=36,37,38.5\"")
		return
	}
	w, err := d.Voc.Limits.ParseWish(name+"="+strings.TrimPrefix(ease, "+"), p.Units)
	if err != nil {
		d.wrong(fmt.Sprintf("cannot read --drawn %s%s: %v", name, ease, err), "")
		return
	}
	finished := slices.Clone(row)
	for i := range finished {
		c := &finished[i]
		more := func(l quantity.Length) quantity.Length {
			if w.Percent {
				return l + quantity.Length(float64(l)*w.Figure/100)
			}
			return l + quantity.Length(w.Figure)
		}
		c.Low, c.High = more(c.Low), more(c.High)
	}
	p.Finished[name] = finished
}

// wrong tells what cannot be read of a pattern as typed.
func (d *Reader) wrong(summary, hint string) {
	d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: summary, Hint: hint, Range: diag.Range{File: TypedPattern}})
}

// body reads what was measured, nil where nothing was.
func (t *Typed) body(d *Reader) *engine.Body {
	if len(t.Body) == 0 {
		return nil
	}
	w := &file.Writer{}
	w.Text("kind", "body")
	w.Text("name", "you")
	w.Text("units", t.units())
	w.Below("measurements", func() {
		for _, name := range d.Voc.BodyNames() {
			if v := strings.TrimSpace(t.Body[name]); strings.HasPrefix(v, "[") || strings.HasPrefix(v, "{") {
				w.Written(name, v)
			} else {
				w.Text(name, v)
			}
		}
	})
	doc := d.typed(TypedBody, w)
	b := recipes.ReadBody(doc, d.Voc)
	d.Take(doc)
	return b
}

// cloth reads the stretch, nil where none is said. A type that needs stretch is sewn in a knit.
func (t *Typed) cloth(d *Reader, r *engine.Recipe) *engine.Cloth {
	if len(t.Stretch) == 0 {
		return nil
	}
	w := &file.Writer{}
	w.Text("kind", "cloth")
	w.Text("name", "this cloth")
	structure := engine.Woven
	if r != nil && r.Stretch.Kind == engine.StretchNeeded {
		structure = engine.Knit
	}
	w.Text("structure", string(structure))
	var pairs []string
	for _, text := range t.Stretch {
		way, share, ok := strings.Cut(text, "=")
		if !ok {
			way, share = "across", text
		}
		pairs = append(pairs, strings.TrimSpace(way), strings.TrimSpace(share))
	}
	w.Pairs("stretch", pairs...)
	doc := d.typed(TypedCloth, w)
	c := recipes.ReadCloth(doc, d.Voc)
	d.Take(doc)
	return c
}

// typed opens what was typed as the file that it makes.
func (d *Reader) typed(name string, w *file.Writer) *file.Doc {
	text, err := w.Bytes()
	if err != nil {
		d.Tell(diag.Diagnostic{Severity: diag.Error, Code: file.Unreadable, Summary: err.Error(), Range: diag.Range{File: name}})
	}
	return file.Open(name, text)
}

// commaed are the items that commas separate.
func commaed(items string) []string {
	if strings.TrimSpace(items) == "" {
		return nil
	}
	all := strings.Split(items, ",")
	for i := range all {
		all[i] = strings.TrimSpace(all[i])
	}
	return all
}

// rows writes rows that are typed behind --chart, as in hip=36,37,38.5.
func (d *Reader) rows(w *file.Writer, rows []string) {
	for _, text := range rows {
		name, cells, ok := strings.Cut(text, "=")
		if !ok {
			d.wrong(fmt.Sprintf("cannot read --chart %q", text), "write it as in hip=36,37,38.5")
			continue
		}
		w.List(strings.TrimSpace(name), commaed(cells))
	}
}
