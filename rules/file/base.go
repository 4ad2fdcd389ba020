package file

import (
	"iter"
	"slices"

	"go.yaml.in/yaml/v3"
)

// Bequest says for which keys at the top of a file it is not enough that maps are merged, when the file is built on
// another with [Doc.BuildOn].
type Bequest struct {
	Own    []string // not taken over
	Whole  []string // the file's own value stands alone, even where both are maps
	Joined []string // lists that become one; an item of the file's own takes the place of that with the same `id`
}

// BuildOn gives a file what it does not say itself, from a base: maps are merged key by key, any other value stands in
// place of the base's, and a key that is left without a value takes the base's away. What is taken over keeps its place
// in the base, whose problems are among the [Doc.Problems] of the file from then on.
func (d *Doc) BuildOn(base *Doc, b Bequest) {
	d.base = base
	if own, inherited := d.Root(), base.Root(); own.IsMap() && inherited.IsMap() {
		d.from = map[*yaml.Node]*Doc{}
		d.root = d.merged(own, inherited, b)
	}
}

// Base returns the file that this one was built on, nil if there is none.
func (d *Doc) Base() *Doc { return d.base }

// value makes a value of a node of the tree, which may have come from a base.
func (d *Doc) value(n *yaml.Node) Value {
	if from := d.from[n]; from != nil {
		return Value{doc: from, node: n}
	}
	return Value{doc: d, node: n}
}

// take returns the node of a base's value, and remembers where it comes from.
func (d *Doc) take(v Value) *yaml.Node {
	d.from[v.node] = v.doc
	return v.node
}

// merged returns a map at the place of the file's own, with the keys of the base before those that only the file has.
func (d *Doc) merged(own, base Value, b Bequest) *yaml.Node {
	rest := map[string][]*yaml.Node{} // key and value of what is not merged yet
	for key, v := range own.entries() {
		rest[key.node.Value] = []*yaml.Node{key.node, v.node}
	}
	out := *own.node
	out.Content = nil
	for key, inherited := range base.entries() {
		name := key.node.Value
		entry, has := rest[name]
		switch {
		case slices.Contains(b.Own, name):
			continue
		case !has:
			entry = []*yaml.Node{d.take(key), d.take(inherited)}
		case entry[1].Tag == "!!null":
			entry = nil // taken away
		case !slices.Contains(b.Whole, name):
			entry[1] = d.both(Value{doc: d, node: entry[1]}, inherited, slices.Contains(b.Joined, name))
		}
		out.Content = append(out.Content, entry...)
		delete(rest, name)
	}
	for key := range own.entries() {
		out.Content = append(out.Content, rest[key.node.Value]...)
	}
	return &out
}

// both returns what becomes of a value that both files have.
func (d *Doc) both(own, base Value, join bool) *yaml.Node {
	switch {
	case own.IsMap() && base.IsMap():
		return d.merged(own, base, Bequest{})
	case join && own.IsList() && base.IsList():
		return d.joined(own, base)
	}
	return own.node
}

// joined returns a list of the base's items, some of them replaced, and then the file's own.
func (d *Doc) joined(own, base Value) *yaml.Node {
	rest := own.ItemsOrOne()
	out := *own.node
	out.Content = nil
	for _, item := range base.ItemsOrOne() {
		id := item.text("id")
		same := slices.IndexFunc(rest, func(v Value) bool { return id != "" && v.text("id") == id })
		if same < 0 {
			out.Content = append(out.Content, d.take(item))
			continue
		}
		out.Content = append(out.Content, rest[same].node)
		rest = slices.Delete(rest, same, same+1)
	}
	for _, item := range rest {
		out.Content = append(out.Content, item.node)
	}
	return &out
}

// entries are the keys and values of a map, nothing for any other value.
func (v Value) entries() iter.Seq2[Value, Value] {
	return func(yield func(key, value Value) bool) {
		if !v.IsMap() {
			return
		}
		for i := 0; i < len(v.node.Content); i += 2 {
			if !yield(v.doc.value(v.node.Content[i]), v.doc.value(v.node.Content[i+1])) {
				return
			}
		}
	}
}

// text is the text under a key of a map, "" where there is none.
func (v Value) text(key string) string {
	for k, value := range v.entries() {
		if k.node.Value == key && value.IsText() {
			return value.node.Value
		}
	}
	return ""
}
