package file

import (
	"fmt"
	"strings"

	"fitadvisor/explain/diag"
)

// Map is a map of a file while it is being read. It remembers which keys were asked for, so that [Map.Close] can report
// the others.
type Map struct {
	value Value
	index map[string]int // place of each key in the node, for maps of many keys
	used  []bool         // by entry
	asked []string
	words map[int]string // that keys are read as, by entry
}

// fewKeys is the size of a map up to which looking through it is quicker than an index.
const fewKeys = 16

// Map returns the value as a map. Anything else is reported and has no keys; what is absent has none either.
func (v Value) Map() *Map {
	if !v.IsMap() {
		if v.Exists() {
			code, hint := noKeys(v)
			v.Problem(code, "expected keys with values, got "+v.kind(), hint)
		}
		return &Map{}
	}
	n := len(v.node.Content) / 2
	m := &Map{value: v, used: make([]bool, n)}
	if n > fewKeys {
		m.index = make(map[string]int, n)
		for i := range n {
			m.index[v.node.Content[2*i].Value] = i
		}
	}
	return m
}

// ReadAs reads keys as other words for them, as [Value.ReadAs] does. Two keys that are read as the same are reported.
func (m *Map) ReadAs(read func(string) (string, bool)) *Map {
	for i := range m.used {
		written := m.key(i)
		k := written.ReadAs(read)
		if k.word == "" {
			continue
		}
		if other := m.find(k.word); other >= 0 {
			k.Problem(twice, fmt.Sprintf("the key %s is read as %s, which stands here too", quote(written.node.Value), quote(k.word)), "keep one of the two")
		}
		if m.words == nil {
			m.words = map[int]string{}
		}
		m.words[i] = k.word
		if m.index != nil {
			m.index[k.word] = i
		}
	}
	return m
}

// noKeys says how to mend what should have keys: perhaps the space after a colon was forgotten.
func noKeys(v Value) (code diag.Code, hint string) {
	if !v.IsText() {
		return NotKeys, "write them as `key: value`"
	}
	key, rest, found := strings.Cut(v.node.Value, ":")
	if !found || rest == "" || strings.ContainsAny(key, " \n") || strings.Contains(rest, "\n") {
		return NotKeys, "write them as `key: value`"
	}
	return noColon, fmt.Sprintf("write a space after the colon, as in %s", quote(key+": "+rest))
}

// Range returns the place of the map: its beginning.
func (m *Map) Range() diag.Range { return m.value.Range() }

// Get returns the value of a key, the zero Value if the map lacks it, or if it is a blank text, which is reported.
func (m *Map) Get(key string) Value {
	v := m.written(key)
	if v.blank() {
		v.Problem(Missing, fmt.Sprintf("`%s` has no value", key), "write it, or take the line out if it is not needed")
		return Value{}
	}
	return v
}

// Need is Get for a key that must be there and hold something; it is reported if not.
func (m *Map) Need(key string) Value {
	v := m.Get(key)
	switch {
	case m.value.node == nil:
	case !m.Has(key):
		m.value.Problem(Missing, fmt.Sprintf("the key `%s` is missing here", key), fmt.Sprintf("write `%s: ...`", key))
	case v.node != nil && v.node.Tag == "!!null":
		v.Problem(Missing, fmt.Sprintf("`%s` has no value", key), "")
	case v.Exists() && !v.IsText() && !v.holds():
		v.Problem(Missing, fmt.Sprintf("`%s` has no value", key), "write at least one")
		return Value{}
	}
	return v
}

// written returns the value of a key as it is.
func (m *Map) written(key string) Value {
	m.asked = append(m.asked, key)
	i := m.find(key)
	if i < 0 {
		return Value{}
	}
	m.used[i] = true
	return m.value.doc.value(m.value.node.Content[2*i+1])
}

// Has reports whether the map has a key, without asking for it.
func (m *Map) Has(key string) bool { return m.find(key) >= 0 }

// Keys returns the keys in the order of the file, without asking for them.
func (m *Map) Keys() []Value {
	keys := make([]Value, len(m.used))
	for i := range keys {
		keys[i] = m.key(i)
	}
	return keys
}

// Close reports every key that was never asked for. The text says what kind of map it is, as "a body file".
func (m *Map) Close(what string) {
	var known []string
	for i, used := range m.used {
		if used || m.value.doc.Full() {
			continue
		}
		if known == nil {
			known = unique(m.asked)
		}
		key := m.key(i)
		list := ""
		if len(known) > 0 {
			list = "the keys here are: " + strings.Join(known, ", ")
		}
		key.Problem(unknownKey, fmt.Sprintf("unknown key %s in %s", quote(key.node.Value), what), diag.DidYouMean(key.node.Value, known, list))
	}
}

// KeyRange returns the place of a key, which is zero if the map lacks it.
func (m *Map) KeyRange(key string) diag.Range {
	if i := m.find(key); i >= 0 {
		return m.key(i).Range()
	}
	return diag.Range{}
}

func (m *Map) key(i int) Value {
	v := m.value.doc.value(m.value.node.Content[2*i])
	v.word = m.words[i]
	return v
}

func (m *Map) find(key string) int {
	if m.index != nil {
		if i, ok := m.index[key]; ok {
			return i
		}
		return -1
	}
	for i := range m.used {
		if k := m.key(i); k.node.Value == key || k.word == key {
			return i
		}
	}
	return -1
}

// unique returns the words without repeats, in order of first appearance.
func unique(words []string) []string {
	var list []string
	seen := make(map[string]bool, len(words))
	for _, w := range words {
		if !seen[w] {
			seen[w] = true
			list = append(list, w)
		}
	}
	return list
}
