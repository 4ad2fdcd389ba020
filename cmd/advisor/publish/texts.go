package publish

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"fitadvisor/cmd/advisor/publish/buyer"
	"fitadvisor/rules/file"
)

// Texts are a maker's own words, language and colours.
type Texts struct {
	Language string
	Words    map[string]string
	Colours  map[string]string // #rrggbb by name, on light screens and in print
	Dark     map[string]string // on dark screens
}

// colours are the names of colours in the style of documents.
var colours = []string{"paper", "ink", "quiet", "accent", "against", "other", "area", "beneath"}

// ReadTexts takes a file of a maker's texts apart. Problems are left in the doc.
func ReadTexts(doc *file.Doc, names []string) Texts {
	t := Texts{}
	if !doc.Root().IsMap() {
		doc.Root().Map()
		return t
	}
	m := doc.Root().Map()
	m.Need("kind").OneOf("texts")
	if v := m.Get("language"); v.Exists() {
		if t.Language = v.Text(); !languageTag.MatchString(t.Language) {
			v.Problem(file.NotAllowed, "`"+t.Language+"` is no language", "write it as in `en` or `de-AT`")
		}
	}
	if v := m.Get("words"); v.Exists() {
		t.Words = map[string]string{}
		w := v.Map()
		for _, key := range sorted(buyer.Words) {
			if one := w.Get(key); one.Exists() {
				t.Words[key] = one.Text()
			}
		}
		for _, name := range names {
			if one := w.Get("measure." + name); one.Exists() {
				t.Words["measure."+name] = one.Text()
			}
		}
		w.Close("the words of a page")
	}
	t.Colours, t.Dark = readColours(doc, m.Get("colours")), readColours(doc, m.Get("dark"))
	m.Close("a file of texts")
	return t
}

var (
	languageTag = regexp.MustCompile(`^[a-zA-Z]{2,8}(-[a-zA-Z0-9]{1,8})*$`)
	colour      = regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)
)

func readColours(doc *file.Doc, v file.Value) map[string]string {
	if !v.Exists() {
		return nil
	}
	all := map[string]string{}
	m := v.Map()
	for _, name := range colours {
		one := m.Get(name)
		if !one.Exists() {
			continue
		}
		if all[name] = one.Text(); !colour.MatchString(all[name]) {
			one.Problem(file.NotAllowed, "`"+all[name]+"` is no colour", "write it in quotes, as in '#1d4e89'")
			delete(all, name)
		}
	}
	for _, on := range []string{"ink", "quiet", "accent", "against"} {
		if all["paper"] != "" && all[on] != "" && contrast(all["paper"], all[on]) < legible {
			doc.Warn(m.Get(on).Range(), file.NotAllowed, fmt.Sprintf("%s on %s is hard to read: their contrast is %.1f, and text wants %.1f", all[on], all["paper"], contrast(all["paper"], all[on]), legible),
				"make one of them darker, or the other lighter")
		}
	}
	m.Close("the colours of a page")
	return all
}

// legible is the least contrast of text: WCAG 2.2, success criterion 1.4.3.
const legible = 4.5

// contrast is that of two colours, from 1 to 21: WCAG 2.2, contrast ratio.
func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(c string) float64 {
	n, err := strconv.ParseUint(strings.TrimPrefix(c, "#"), 16, 32)
	if err != nil {
		return 0
	}
	linear := func(v uint64) float64 {
		s := float64(v&0xff) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n>>16) + 0.7152*linear(n>>8) + 0.0722*linear(n)
}

func (t Texts) lang() string {
	if t.Language == "" {
		return "en"
	}
	return t.Language
}

// style sets the maker's colours.
func (t Texts) style() string {
	var b strings.Builder
	for _, of := range []struct {
		when string
		all  map[string]string
	}{{"@media (prefers-color-scheme: light), print", t.Colours}, {"@media screen and (prefers-color-scheme: dark)", t.Dark}} {
		if len(of.all) == 0 {
			continue
		}
		b.WriteString(of.when + " { :root {")
		for _, name := range sorted(of.all) {
			fmt.Fprintf(&b, " --%s: %s;", name, of.all[name])
		}
		b.WriteString(" } }\n")
	}
	return b.String()
}
