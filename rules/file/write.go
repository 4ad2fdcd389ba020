package file

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
)

// Writer writes a new file, key by key. A file that is there already is changed with
// [Edits], which keep its comments.
type Writer struct {
	out    strings.Builder
	indent string
	err    error
}

// Text writes a key with a text, nothing where that is empty.
func (w *Writer) Text(key, value string) {
	if value != "" {
		w.line(key, w.plain(value))
	}
}

// List writes a key with texts in brackets, nothing where there are none. An empty one is a gap.
func (w *Writer) List(key string, items []string) {
	if len(items) == 0 {
		return
	}
	written := make([]string, len(items))
	for i, item := range items {
		if written[i] = "~"; item != "" {
			written[i] = w.plain(item)
		}
	}
	w.line(key, "["+strings.Join(written, ", ")+"]")
}

// Pairs writes keys with their texts, in turn, below a key, nothing where there are none.
func (w *Writer) Pairs(key string, pairs ...string) {
	w.Below(key, func() {
		for i := 0; i+1 < len(pairs); i += 2 {
			w.Text(pairs[i], pairs[i+1])
		}
	})
}

// Below writes a key and, further in, what inside writes; nothing where that writes nothing.
func (w *Writer) Below(key string, inside func()) {
	before := w.out.String()
	w.line(key, "")
	if !w.within(inside) {
		w.out.Reset()
		w.out.WriteString(before)
	}
}

// Item writes an item of a list below a key: what inside writes, behind a dash.
func (w *Writer) Item(inside func()) {
	start := w.out.Len()
	if w.within(inside) {
		text := w.out.String()
		w.out.Reset()
		w.out.WriteString(text[:start] + w.indent + "- " + text[start+len(w.indent)+2:])
	}
}

// within writes what inside writes further in, and tells whether that is anything.
func (w *Writer) within(inside func()) bool {
	start, outer := w.out.Len(), w.indent
	w.indent += "  "
	inside()
	w.indent = outer
	return w.out.Len() > start
}

// Written writes a key with a value as it is to be in the file.
func (w *Writer) Written(key, value string) { w.line(key, value) }

// Bytes is the file. It fails where a text was one that no file can hold.
func (w *Writer) Bytes() ([]byte, error) { return []byte(w.out.String()), w.err }

func (w *Writer) line(key, value string) {
	w.out.WriteString(strings.TrimSuffix(w.indent+w.plain(key)+": "+value, " ") + "\n")
}

func (w *Writer) plain(text string) string {
	written, err := Plain(text)
	w.err = errors.Join(w.err, err)
	return written
}

// bare is what reads the same without quotes, within brackets too.
var bare = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9A-Za-z](?:[0-9A-Za-z ./_-]*[0-9A-Za-z./_-])?$`) })

// Plain is text as a value on one line: as it is where that reads the same, else in quotes. It fails for text that no
// file can hold.
func Plain(text string) (string, error) {
	if bare().MatchString(text) && !strings.EqualFold(text, "null") {
		return text, nil
	}
	single := "'" + strings.ReplaceAll(text, "'", "''") + "'"
	for _, written := range []string{text, single, strconv.Quote(text)} {
		d := Open("value", []byte("{x: "+written+", y: 1}"))
		if d.root != nil && len(d.problems) == 0 && len(d.root.Content) == 4 && d.root.Content[1].Kind == yaml.ScalarNode &&
			d.root.Content[1].Tag != "!!null" && d.root.Content[1].Value == text && !strings.Contains(written, "\n") {
			return written, nil
		}
	}
	return "", errors.New("the text " + quote(text) + " cannot be written in a file")
}
