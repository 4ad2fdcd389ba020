// Package shape describes files: which keys they have, and what each holds.
// From that it writes JSON Schemas (draft 2020-12), by which editors complete
// and check what a person types.
//
// Describe a file with [Map], [List], [OneOf], [Length] and the others, and
// write it down with [Document]. A description lets through whatever the reader
// of the file takes; where the reader is stricter, the reader has the last word.
// A key that is not needed may also be left empty.
package shape

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"
)

// Dialect is the draft that the schemas follow.
const Dialect = "https://json-schema.org/draft/2020-12/schema"

// Shape is what a value may be.
type Shape struct {
	name, about string   // of a definition of its own; without a name it is written where it stands
	types       []string // of JSON, null not among them
	words       []any    // the only values
	pattern     string   // of text
	keys        []Key
	rest        *Shape // what keys of other names hold; nil: there are none
	open        bool   // other keys may hold anything
	needs       []string
	items       *Shape
	gaps        bool // an item, or what rest speaks of, may be left empty
	either      []Shape
	when        string // a key; with a value under it the map is as the first of either, else as the second
}

// Key is one key of a map.
type Key struct {
	Name   string
	Shape  Shape
	About  string // in a sentence or two, as an editor shows it
	Needed bool   // it must be there
	Null   bool   // it may be left empty
}

// Need is a key that must be there and have a value.
func Need(name string, s Shape, about string) Key {
	return Key{Name: name, Shape: s, About: about, Needed: true}
}

// May is a key that may be left out, or empty.
func May(name string, s Shape, about string) Key {
	return Key{Name: name, Shape: s, About: about, Null: true}
}

// Map is a map with these keys and no others.
func Map(keys ...Key) Shape { return Shape{types: []string{"object"}, keys: keys} }

// Rest lets a map have keys of any other name, with such values.
func (s Shape) Rest(value Shape) Shape {
	s.rest = &value
	return s
}

// Open lets a map have other keys with any values.
func (s Shape) Open() Shape {
	s.open = true
	return s
}

// Needing asks for more keys of a map than it needs elsewhere.
func (s Shape) Needing(keys ...string) Shape {
	s.needs = keys
	return s
}

// Named gives a shape a definition of its own, to which all its uses refer.
func (s Shape) Named(name, about string) Shape {
	s.name, s.about = name, about
	return s
}

// List is a list of items, none of them empty.
func List(item Shape) Shape { return Shape{types: []string{"array"}, items: &item} }

// Gaps lets items of a list be empty, or the keys of other names in a map.
func (s Shape) Gaps() Shape {
	s.gaps = true
	return s
}

// Either is a value of any of these shapes.
func Either(shapes ...Shape) Shape {
	s := Shape{either: shapes}
	for _, alternative := range shapes {
		for _, t := range alternative.types {
			if !slices.Contains(s.types, t) {
				s.types = append(s.types, t)
			}
		}
	}
	return s
}

// When is a map that is as the first shape where the key has a value, and as the
// second where it has none.
func When(key string, with, without Shape) Shape {
	return Shape{types: []string{"object"}, either: []Shape{with, without}, when: key}
}

// OneOrList is a single value, or a list of such, of which some may be empty.
func OneOrList(item Shape) Shape { return Either(item, List(item).Gaps()) }

// Document writes the schema of a file or an answer.
func Document(title, about string, s Shape) []byte {
	w := writer{}
	root := w.node(s, false)
	root.Dialect, root.Title, root.Description, root.Defs = Dialect, title, about, w.defs
	var out bytes.Buffer
	_ = json.Indent(&out, plain(root), "", "  ") // no error: the text is valid
	return visible(out.String())
}

// visible escapes the spaces that look like others, of which patterns tell.
func visible(text string) []byte {
	var out []byte
	for _, r := range text {
		if r > unicode.MaxASCII && unicode.IsSpace(r) {
			out = fmt.Appendf(out, `\u%04x`, r)
			continue
		}
		out = utf8.AppendRune(out, r)
	}
	return out
}

// node is a schema as JSON has it.
type node struct {
	Dialect     string   `json:"$schema,omitempty"`
	Title       string   `json:"title,omitempty"`
	Description string   `json:"description,omitempty"`
	Ref         string   `json:"$ref,omitempty"`
	Type        oneOrAll `json:"type,omitempty"`
	Enum        []any    `json:"enum,omitempty"`
	Pattern     string   `json:"pattern,omitempty"`
	Items       *node    `json:"items,omitempty"`
	Properties  members  `json:"properties,omitempty"`
	Required    []string `json:"required,omitempty"`
	Rest        any      `json:"additionalProperties,omitempty"` // a node, or false
	AnyOf       []*node  `json:"anyOf,omitempty"`
	If          *node    `json:"if,omitempty"`
	Then        *node    `json:"then,omitempty"`
	Else        *node    `json:"else,omitempty"`
	Defs        members  `json:"$defs,omitempty"`
}

// oneOrAll are words, of which one stands without a list.
type oneOrAll []string

// MarshalJSON writes a text or a list.
func (o oneOrAll) MarshalJSON() ([]byte, error) {
	if len(o) == 1 {
		return json.Marshal(o[0])
	}
	return json.Marshal([]string(o))
}

// members are nodes by name, written in their order.
type members []member

type member struct {
	name string
	node *node
}

// MarshalJSON writes an object.
func (m members) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	separator := byte('{')
	for _, member := range m {
		out.WriteByte(separator)
		separator = ','
		out.Write(plain(member.name))
		out.WriteByte(':')
		out.Write(plain(member.node))
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// plain is JSON in which signs such as < stand as they are.
func plain(v any) []byte {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	_ = e.Encode(v) // no error: a node holds nothing that JSON lacks
	return out.Bytes()
}

// writer makes nodes of shapes and collects their definitions.
type writer struct{ defs members }

// node is the schema of a shape; null says whether it may be left empty.
func (w *writer) node(s Shape, null bool) *node {
	if s.name == "" {
		return w.whole(s, null)
	}
	if !slices.ContainsFunc(w.defs, func(m member) bool { return m.name == s.name }) {
		at := len(w.defs)
		w.defs = append(w.defs, member{name: s.name})
		def := w.whole(s, true)
		def.Description = s.about
		w.defs[at].node = def
	}
	n := &node{Ref: "#/$defs/" + s.name, Required: s.needs}
	if !null {
		n.Type = s.types
	}
	return n
}

// whole is the schema of a shape, written out.
func (w *writer) whole(s Shape, null bool) *node {
	n := &node{Pattern: s.pattern, Required: s.required()}
	switch {
	case s.when != "":
		value := &node{Type: slices.Concat(Text().types, []string{"object", "array"})}
		n.If = &node{Required: []string{s.when}, Properties: members{{s.when, value}}}
		n.Then, n.Else = w.node(s.either[0], null), w.node(s.either[1], null)
	case s.either != nil:
		w.either(n, s.either, null)
	case s.words != nil:
		n.Enum = slices.Clone(s.words)
		if null {
			n.Enum = append(n.Enum, nil)
		}
	default:
		n.Type = slices.Clone(s.types)
		if null {
			n.Type = append(n.Type, "null")
		}
	}
	if s.items != nil {
		n.Items = w.node(*s.items, s.gaps)
	}
	for _, k := range s.keys {
		value := w.node(k.Shape, k.Null)
		value.Description = k.About
		n.Properties = append(n.Properties, member{k.Name, value})
	}
	switch {
	case s.rest != nil:
		n.Rest = w.node(*s.rest, s.gaps)
	case s.isMap() && !s.open:
		n.Rest = false
	}
	return n
}

func (w *writer) either(n *node, shapes []Shape, null bool) {
	for _, alternative := range shapes {
		n.AnyOf = append(n.AnyOf, w.node(alternative, false))
	}
	if null {
		n.AnyOf = append(n.AnyOf, &node{Type: []string{"null"}})
	}
}

func (s Shape) isMap() bool { return slices.Equal(s.types, []string{"object"}) && s.either == nil }

func (s Shape) required() []string {
	var names []string
	for _, k := range s.keys {
		if k.Needed {
			names = append(names, k.Name)
		}
	}
	return names
}
