package file

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// EditError says that a file cannot be changed in place, and what to write by hand.
type EditError struct{ Name, Why, Write string }

func (e *EditError) Error() string {
	return fmt.Sprintf("cannot change %s in place: %s", e.Name, e.Why)
}

// Hint says how to make the change by hand.
func (e *EditError) Hint() string { return "write it by hand: " + e.Write }

// Set returns the text of the file with the value at a path set, and everything else, comments and order included, as it
// was. The value is YAML on one line, as in `74 cm` or `{left: 12 in, right: 12 1/4 in}`. The path is made of keys; a list
// on it is entered by the place of an item, from "0" on. Keys that are missing are added after the last of their map.
// A file with problems is not changed. Errors: [EditError].
func (d *Doc) Set(value string, path ...string) ([]byte, error) {
	e := &editing{doc: d, path: path, written: strings.Join(path, ": ") + ": " + value}
	node, err := e.open(value)
	if err != nil {
		return nil, err
	}
	text, err := e.set(d.root, path, value)
	if err != nil {
		return nil, err
	}
	want := clone(d.root)
	put(want, path, node)
	return e.checked(text, want)
}

// Prepend returns the text of the file with an item put before all others of the list under a key of the whole file,
// which is added where it is missing. The item is YAML on as many lines as it needs. Errors: [EditError].
func (d *Doc) Prepend(item, key string) ([]byte, error) {
	e := &editing{doc: d, path: []string{key}, written: "`" + key + ":` with each item on lines of its own, after `- `"}
	node, err := e.open(item)
	if err != nil {
		return nil, err
	}
	lines := "- " + strings.Join(strings.Split(strings.TrimSuffix(item, "\n"), "\n"), "\n  ")
	want := clone(d.root)
	at := entry(d.root, key)
	if at == nil {
		put(want, e.path, &yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{node}})
		return e.checked(e.append(d.root, key+":\n"+indented(lines, 2)), want)
	}
	list := at.value
	if list.Kind != yaml.SequenceNode || list.Style&yaml.FlowStyle != 0 {
		return nil, e.fails("`" + key + ":` is not a list with an item on each line")
	}
	items := entry(want, key).value
	items.Content = slices.Insert(items.Content, 0, node)
	start := d.cursor(list.Line, 1).offset
	return e.checked(e.splice(start, start, indented(lines, list.Column-1)+"\n"), want)
}

// Remove returns the text of the file without a key, its value and the comment behind it. A key that is not there is no
// error. Errors: [EditError].
func (d *Doc) Remove(path ...string) ([]byte, error) {
	e := &editing{doc: d, path: path, written: "the file without `" + strings.Join(path, ": ") + ":`"}
	if _, err := e.open("x"); err != nil {
		return nil, err
	}
	want := clone(d.root)
	m, copied := d.root, want
	for _, key := range path[:len(path)-1] {
		at := entry(m, key)
		if at == nil || at.value.Kind != yaml.MappingNode {
			return d.source, nil
		}
		m, copied = at.value, entry(copied, key).value
	}
	i := 0
	for i < len(copied.Content) && copied.Content[i].Value != path[len(path)-1] {
		i += 2
	}
	if i >= len(copied.Content) {
		return d.source, nil
	}
	copied.Content = slices.Delete(copied.Content, i, i+2)
	return e.checked(e.cut(m, i), want)
}

// cut takes an entry out of the text of a map: its lines, or what stands between its neighbours in braces.
func (e *editing) cut(m *yaml.Node, i int) []byte {
	at := &keyed{m.Content[i], m.Content[i+1]}
	start := func(i int) int { return e.doc.cursor(m.Content[i].Line, m.Content[i].Column).offset }
	switch {
	case m.Style&yaml.FlowStyle == 0:
		return e.splice(e.doc.cursor(at.key.Line, 1).offset, e.lineEnd(e.entryEnd(at)), "")
	case i > 0:
		return e.splice(e.entryEnd(&keyed{m.Content[i-2], m.Content[i-1]}), e.entryEnd(at), "")
	case len(m.Content) > 2:
		return e.splice(start(0), start(2), "")
	}
	return e.splice(start(0), e.entryEnd(at), "")
}

// Edits are changes of a file, one after the other, until one fails.
type Edits struct {
	Name string
	Text []byte
	Err  error

	ReadAs func(string) (string, bool) // other words that keys of the file may have, as for [Map.ReadAs]; nil: none
}

// written is a path with the words that the keys of the file have.
func (e *Edits) written(d *Doc, path []string) []string {
	path = slices.Clone(path)
	v := d.Root()
	for i, key := range path {
		switch {
		case v.IsMap() && e.ReadAs != nil:
			m := v.Map()
			if at := m.ReadAs(e.ReadAs).find(key); at >= 0 {
				path[i] = m.key(at).node.Value
			}
			v = m.written(key)
		case v.IsList():
			if n, err := strconv.Atoi(key); err == nil && n >= 0 && n < len(v.node.Content) {
				v = d.value(v.node.Content[n])
			}
		default:
			return path
		}
	}
	return path
}

// Do makes a change.
func (e *Edits) Do(change func(*Doc) ([]byte, error)) {
	if e.Err != nil {
		return
	}
	if text, err := change(Open(e.Name, e.Text)); err != nil {
		e.Err = err
	} else {
		e.Text = text
	}
}

// Set sets a value, as [Doc.Set] does.
func (e *Edits) Set(value string, path ...string) {
	e.Do(func(d *Doc) ([]byte, error) { return d.Set(value, e.written(d, path)...) })
}

// SetText sets a text, in quotes where it needs them.
func (e *Edits) SetText(text string, path ...string) {
	written, err := Plain(text)
	if e.Err == nil {
		e.Err = err
	}
	e.Set(written, path...)
}

// Remove removes a key, as [Doc.Remove] does.
func (e *Edits) Remove(path ...string) {
	e.Do(func(d *Doc) ([]byte, error) { return d.Remove(e.written(d, path)...) })
}

// editing is one change of a file.
type editing struct {
	doc     *Doc
	path    []string
	written string
}

func (e *editing) fails(why string) error { return &EditError{e.doc.name, why, e.written} }

// open reads the value that is to be put in, once it is sure that the file can be changed.
func (e *editing) open(value string) (*yaml.Node, error) {
	if e.doc.root == nil || e.doc.problems.HasErrors() || e.doc.root.Kind != yaml.MappingNode {
		return nil, e.fails("it has problems of its own; mend those first")
	}
	v := Open("value", []byte(value))
	if v.root == nil || len(v.problems) > 0 {
		return nil, e.fails("the value " + quote(value) + " is none that a file can hold")
	}
	return v.root, nil
}

// checked returns the text if it reads as wanted.
func (e *editing) checked(text []byte, want *yaml.Node) ([]byte, error) {
	after := Open(e.doc.name, text)
	if len(text) > MaxBytes {
		return nil, e.fails("it would be too large")
	}
	if after.root == nil || len(after.problems) > 0 || !same(after.root, want) {
		return nil, e.fails("its layout does not allow it")
	}
	return text, nil
}

// keyed is one entry of a map.
type keyed struct{ key, value *yaml.Node }

func entry(m *yaml.Node, key string) *keyed {
	for i := 0; i+1 < len(m.Content); i += 2 {
		if m.Content[i].Value == key {
			return &keyed{m.Content[i], m.Content[i+1]}
		}
	}
	return nil
}

// set changes the text below a node that the path goes on from.
func (e *editing) set(n *yaml.Node, path []string, value string) ([]byte, error) {
	switch n.Kind {
	case yaml.SequenceNode:
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 0 || i >= len(n.Content) || len(path) == 1 {
			return nil, e.fails("there is no such item")
		}
		return e.set(n.Content[i], path[1:], value)
	case yaml.MappingNode:
	default:
		return nil, e.fails(fmt.Sprintf("on line %d stands a single value where `%s:` belongs", n.Line, path[0]))
	}
	at := entry(n, path[0])
	switch {
	case at == nil && n.Style&yaml.FlowStyle != 0:
		return e.appendFlow(n, path[0]+": "+flow(path[1:], value)), nil
	case at == nil:
		return e.append(n, block(path, value)), nil
	case empty(at.value) && len(path) > 1 && n.Style&yaml.FlowStyle == 0:
		return e.fill(at, "\n"+indented(block(path[1:], value), at.key.Column+1)), nil
	case empty(at.value):
		return e.fill(at, " "+flow(path[1:], value)), nil
	case len(path) > 1 && at.value.Tag != "!!null":
		return e.set(at.value, path[1:], value)
	}
	start := e.doc.cursor(at.value.Line, at.value.Column).offset
	text := flow(path[1:], value)
	if at.value.Line > at.key.Line && at.value.Column <= at.key.Column { // a list that is not indented
		text = "  " + text
	}
	return e.splice(start, e.end(at.value), text+e.headComment(at.value)), nil
}

// headComment is the comment behind the sign that a text of several lines begins with.
func (e *editing) headComment(n *yaml.Node) string {
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) == 0 {
		return ""
	}
	start := e.doc.cursor(n.Line, n.Column).offset
	_, comment, found := strings.Cut(strings.TrimRight(string(e.doc.source[start:e.lineEnd(start)]), "\r\n"), "#")
	if !found {
		return ""
	}
	return " #" + comment
}

// empty tells whether nothing is written where a value could stand.
func empty(n *yaml.Node) bool { return n.Tag == "!!null" && n.Value == "" }

// flow is a value below keys, on one line.
func flow(path []string, value string) string {
	for _, key := range slices.Backward(path) {
		value = "{" + key + ": " + value + "}"
	}
	return value
}

// block is a value below keys, each on a line of its own.
func block(path []string, value string) string {
	var b strings.Builder
	for i, key := range path {
		if i > 0 {
			b.WriteString("\n" + strings.Repeat("  ", i))
		}
		b.WriteString(key + ":")
	}
	return b.String() + " " + value
}

func indented(lines string, by int) string {
	indent := strings.Repeat(" ", by)
	return indent + strings.ReplaceAll(lines, "\n", "\n"+indent)
}

// fill writes behind the colon of a key without a value.
func (e *editing) fill(at *keyed, text string) []byte {
	end := e.entryEnd(at)
	if strings.HasPrefix(text, "\n") { // below a comment that stands behind the key
		end = len(bytes.TrimRight(e.doc.source[:e.lineEnd(end)], "\r\n"))
	}
	return e.splice(end, end, text)
}

// append adds lines after the last entry of a block map.
func (e *editing) append(m *yaml.Node, lines string) []byte {
	last := &keyed{m.Content[len(m.Content)-2], m.Content[len(m.Content)-1]}
	end := e.lineEnd(e.entryEnd(last))
	text := indented(lines, m.Column-1) + "\n"
	if end > 0 && e.doc.source[end-1] != '\n' {
		text = "\n" + strings.TrimSuffix(text, "\n")
	}
	return e.splice(end, end, text)
}

func (e *editing) appendFlow(m *yaml.Node, text string) []byte {
	if len(m.Content) == 0 {
		start := e.doc.cursor(m.Line, m.Column).offset + 1
		return e.splice(start, start, text)
	}
	end := e.entryEnd(&keyed{m.Content[len(m.Content)-2], m.Content[len(m.Content)-1]})
	return e.splice(end, end, ", "+text)
}

// splice puts text in the place of a part of the file, with the line ends of the file.
func (e *editing) splice(from, to int, text string) []byte {
	if bytes.Contains(e.doc.source, []byte("\r\n")) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return slices.Concat(e.doc.source[:from], []byte(text), e.doc.source[to:])
}

// lineEnd is the offset after the line in which an offset lies.
func (e *editing) lineEnd(offset int) int {
	if i := bytes.IndexByte(e.doc.source[offset:], '\n'); i >= 0 {
		return offset + i + 1
	}
	return len(e.doc.source)
}

// entryEnd is the offset after an entry of a map: after its value, or its colon where it has none.
func (e *editing) entryEnd(at *keyed) int {
	if !empty(at.value) {
		return e.end(at.value)
	}
	end := e.end(at.key)
	if i := bytes.IndexByte(e.doc.source[end:], ':'); i >= 0 {
		return end + i + 1
	}
	return end
}

// end is the offset after a node.
func (e *editing) end(n *yaml.Node) int {
	flow := n.Style&yaml.FlowStyle != 0
	switch {
	case n.Kind == yaml.ScalarNode:
		r := Value{doc: e.doc, node: n}.Range()
		return e.doc.cursor(r.End.Line, r.End.Column).offset
	case len(n.Content) == 0 && flow:
		return e.bracket(e.doc.cursor(n.Line, n.Column).offset + 1)
	}
	last := n.Content[len(n.Content)-1]
	end := 0
	switch {
	case n.Kind == yaml.MappingNode:
		end = e.entryEnd(&keyed{n.Content[len(n.Content)-2], last})
	case empty(last):
		end = e.doc.cursor(last.Line, last.Column).offset
	default:
		end = e.end(last)
	}
	if flow {
		return e.bracket(end)
	}
	return end
}

// bracket is the offset after the next closing bracket, comments left aside.
func (e *editing) bracket(from int) int {
	comment := false
	for i, b := range e.doc.source[from:] {
		switch {
		case b == '\n':
			comment = false
		case b == '#':
			comment = true
		case (b == ']' || b == '}') && !comment:
			return from + i + 1
		}
	}
	return len(e.doc.source)
}

// put sets the value at a path of a tree.
func put(n *yaml.Node, path []string, value *yaml.Node) {
	if n.Kind == yaml.SequenceNode {
		i, _ := strconv.Atoi(path[0])
		put(n.Content[i], path[1:], value)
		return
	}
	at := entry(n, path[0])
	if at == nil {
		at = &keyed{&yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: path[0]}, &yaml.Node{Tag: "!!null"}}
		n.Content = append(n.Content, at.key, at.value)
	}
	if len(path) == 1 {
		*at.value = *value
		return
	}
	if at.value.Tag == "!!null" {
		*at.value = yaml.Node{Kind: yaml.MappingNode}
	}
	put(at.value, path[1:], value)
}

func clone(n *yaml.Node) *yaml.Node {
	c := *n
	c.Content = make([]*yaml.Node, len(n.Content))
	for i, child := range n.Content {
		c.Content[i] = clone(child)
	}
	return &c
}

// same tells whether two trees hold the same.
func same(a, b *yaml.Node) bool {
	return a.Kind == b.Kind && a.Value == b.Value && (a.Tag == "!!null") == (b.Tag == "!!null") && slices.EqualFunc(a.Content, b.Content, same)
}

// Written is the value as it stands in the file, where that is on one line or in brackets; else it is made of its items.
// Comments are not part of it.
func (v Value) Written() string {
	switch {
	case v.IsList():
		var items []string
		for _, item := range v.ItemsOrOne() {
			items = append(items, item.Written())
		}
		return "[" + strings.Join(items, ", ") + "]"
	case v.IsMap():
		var entries []string
		for _, k := range v.Map().Keys() {
			entries = append(entries, k.Written()+": "+v.Map().Get(k.Text()).Written())
		}
		return "{" + strings.Join(entries, ", ") + "}"
	case v.IsText():
		written, _ := Plain(v.Text()) // no error: it stands in a file
		return written
	}
	return "~"
}
