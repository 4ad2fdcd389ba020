package formula

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// Dim is what a value measures, and so how it prints.
type Dim int

// The dimensions. An Ease is a length or a percentage; which of them is known
// only when it is printed.
const (
	Length  Dim = iota + 1 // centimetres
	Percent                // 25 is 25 %
	Count                  // a plain number
	Degrees                // an angle
	Ease                   // centimetres or a percentage
	Text
	Bool
)

var dims = [...]struct{ about, printer string }{
	Length:  {"a length", "length"},
	Percent: {"a percentage", "percent"},
	Count:   {"a count", "count"},
	Degrees: {"an angle", "degrees"},
	Ease:    {"an ease", ""},
	Text:    {"a text", ""},
	Bool:    {"a condition", ""},
}

// String returns the dimension in words, such as "a length".
func (d Dim) String() string { return dims[d].about }

func (d Dim) printer() string { return dims[d].printer }

func (d Dim) kind() kind {
	switch d {
	case Text:
		return text
	case Bool:
		return condition
	}
	return number
}

// Name is one name that expressions may use.
type Name struct {
	Name  string // group.name, in lower case letters, digits and underscores
	Dim   Dim
	About string   // what it is, for people: "the body's hip girth"
	Words []string // all the texts that it can have; nil where that is open
}

// Fixed is a name whose number is known when the expression is read, such as a
// rule's own limit. It is never missing and is not looked up in an [Env].
type Fixed struct {
	Name
	Value float64
}

// Schema is the set of names that expressions may use. It does not change and
// may be used by several goroutines at once.
type Schema struct {
	base    *Schema
	lexicon Lexicon
	names   map[string]Name
	fixed   map[string]float64

	sort   sync.Once // the names are put in order when first asked for
	sorted []Name
}

// Lexicon is a set of names that is asked for one name at a time, so that a
// large one need not be laid out before an expression uses any of it. Its names
// have the form that [IsName] accepts, each with a Dim and there once.
type Lexicon interface {
	Lookup(name string) (Name, bool)
	Names() []Name // in any order
}

// SchemaOf returns the schema of a lexicon's names.
func SchemaOf(l Lexicon) *Schema { return &Schema{lexicon: l} }

// NewSchema returns the schema of the names. It panics on a name that [IsName]
// refuses, on one without a Dim and on one that is there twice.
func NewSchema(names []Name) *Schema {
	s := &Schema{names: make(map[string]Name, len(names))}
	for _, n := range names {
		s.add(n)
	}
	return s
}

// With returns a schema that has the fixed names as well. It shares the others,
// so that it costs little to have one for each rule. It panics as NewSchema
// does: check names that a person wrote with [IsName].
func (s *Schema) With(fixed ...Fixed) *Schema {
	more := &Schema{
		base:  s,
		names: make(map[string]Name, len(fixed)),
		fixed: make(map[string]float64, len(fixed)),
	}
	for _, f := range fixed {
		more.add(f.Name)
		more.fixed[f.Name.Name] = f.Value
	}
	return more
}

func (s *Schema) add(n Name) {
	if !IsName(n.Name) {
		panic(fmt.Sprintf("formula: %q has not the form group.name", n.Name))
	}
	if n.Dim < Length || n.Dim > Bool {
		panic(fmt.Sprintf("formula: %s has no dimension", n.Name))
	}
	if _, twice := s.Lookup(n.Name); twice {
		panic(fmt.Sprintf("formula: %s is there twice", n.Name))
	}
	s.names[n.Name] = n
}

// Lookup finds a name.
func (s *Schema) Lookup(name string) (Name, bool) {
	for ; s != nil; s = s.base {
		if n, ok := s.names[name]; ok {
			return n, true
		}
		if s.lexicon != nil {
			return s.lexicon.Lookup(name)
		}
	}
	return Name{}, false
}

func (s *Schema) value(name string) (float64, bool) {
	for ; s != nil; s = s.base {
		if v, ok := s.fixed[name]; ok {
			return v, true
		}
	}
	return 0, false
}

// Names returns all names, in alphabetical order.
func (s *Schema) Names() []Name {
	s.sort.Do(func() {
		if s.base != nil {
			s.sorted = slices.Clone(s.base.Names())
		}
		if s.lexicon != nil {
			s.sorted = append(s.sorted, s.lexicon.Names()...)
		}
		for _, n := range s.names {
			s.sorted = append(s.sorted, n)
		}
		slices.SortFunc(s.sorted, func(a, b Name) int { return strings.Compare(a.Name, b.Name) })
	})
	return s.sorted
}

// IsName reports whether s has the form of a name: group.name, both in lower
// case letters, digits and underscores, beginning with a letter, and no word of
// the expression language.
func IsName(s string) bool {
	group, name, ok := strings.Cut(s, ".")
	return ok && isPart(group) && isPart(name)
}

func isPart(s string) bool {
	for i := range len(s) {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || i > 0 && (c == '_' || c >= '0' && c <= '9')) {
			return false
		}
	}
	return s != "" && !isWord(s)
}

// isWord reports whether the language uses the word itself.
func isWord(s string) bool {
	switch s {
	case "and", "or", "not", "in", "true", "false":
		return true
	}
	_, refused := refusedWords[s]
	return refused
}
