package recipes

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

// Read takes a recipe file apart, together with those of the garment types that
// it is based on. Problems are left in the doc. It is nil where a type that it
// is based on cannot be had.
func (l Library) Read(doc *file.Doc, v *engine.Vocabulary, when rules.Compiling) *engine.Recipe {
	r := &reader{doc, v}
	if doc.Base() == nil && !l.build(r, nil) {
		return nil
	}
	out := r.recipe(when)
	out.Own = !isShipped(doc)
	ours := map[string]bool{doc.Name(): out.Own}
	for base := doc.Base(); base != nil; base = base.Base() {
		out.BasedOn = append(out.BasedOn, engine.Origin{Name: base.Root().Map().Get("name").Text(), File: base.Name()})
		ours[base.Name()] = !isShipped(base)
	}
	for _, rule := range out.Rules {
		rule.Own = ours[rule.At.File]
	}
	return out
}

// deepest is how many garment types may be based on one another.
const deepest = 8

// inheritance is what a garment type takes over from the one it is based on:
// all but what makes it one of its own.
var inheritance = file.Bequest{
	Own:    []string{"kind", "name", "title", "based_on", "replaces", "examples"},
	Whole:  []string{"stretch"}, // comfort and needed exclude each other
	Joined: []string{"cautions"},
}

// link is a file in a chain of those based on one another, and where it says so.
type link struct {
	doc *file.Doc
	on  file.Value
}

// build gives a recipe file what it takes over. It tells whether all of it could
// be had.
func (l Library) build(r *reader, chain []link) bool {
	m := r.whole("recipe")
	if m == nil {
		return false
	}
	m.Get("kind").OneOf("recipe")
	r.checkTaken(m)
	on := m.Get("based_on")
	if !on.IsText() {
		on.Text() // which tells what else it is
		return !on.Exists()
	}
	chain = append(chain, link{r.doc, on})
	base := l.base(r.doc, on)
	switch {
	case base == nil:
		return false
	case slices.ContainsFunc(chain, func(k link) bool { return same(k.doc, base) }):
		on.Problem(endless, "`"+nameOf(base)+"` is based on itself", round(chain, base))
		return false
	case len(chain) > deepest:
		on.Problem(endless, fmt.Sprintf("more than %d garment types are based on one another", deepest), "copy what you need from one of them")
		return false
	}
	built := l.build(&reader{base, r.voc}, chain)
	r.doc.BuildOn(base, inheritance)
	return built
}

// base opens the file of the garment type that another is based on. A type that
// is based on its own name means the shipped one, which it stands in for.
func (l Library) base(doc *file.Doc, on file.Value) *file.Doc {
	name := on.Text()
	if !rules.IsID(name) {
		on.Problem(badName, "`"+name+"` is not the name of a garment type", nameHint+"; it is never a path")
		return nil
	}
	if own := doc.Root().Map().Get("name").Text(); (own == name || nameOf(doc) == name) && !isShipped(doc) {
		if base, err := shippedDoc(name); err == nil {
			return base
		}
		return doc
	}
	base, err := l.open(name)
	if err != nil {
		on.Problem(err.Code(), err.Error(), err.Hint())
		return nil
	}
	return base
}

// same tells whether two docs are of one file.
func same(a, b *file.Doc) bool { return a.Name() == b.Name() && isShipped(a) == isShipped(b) }

// round says how a chain comes back to a file.
func round(chain []link, to *file.Doc) string {
	from := slices.IndexFunc(chain, func(k link) bool { return same(k.doc, to) })
	steps := make([]string, 0, len(chain))
	for _, k := range chain[from:] {
		steps = append(steps, k.on.Range().String()+" says `based_on: "+k.on.Text()+"`")
	}
	return strings.Join(steps, ", ") + "; one of them must stand by itself"
}
