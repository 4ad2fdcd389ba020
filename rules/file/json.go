package file

import (
	"bytes"
	"encoding/json"

	"go.yaml.in/yaml/v3"
)

// readJSON returns the content of a JSON object, or nil if the text is none. JSON is not quite a part of YAML: it
// escapes slashes, and writes rare characters as a pair of escapes.
func readJSON(text []byte) *yaml.Node {
	if start := bytes.TrimLeft(text, " \t\r\n"); !bytes.HasPrefix(start, []byte("{")) || !json.Valid(text) {
		return nil
	}
	r := jsonReader{text: text, decoder: json.NewDecoder(bytes.NewReader(text)), line: 1, column: 1}
	r.decoder.UseNumber()
	return r.value()
}

// jsonReader builds the tree of a valid JSON text, with places that count as those of YAML.
type jsonReader struct {
	text         []byte
	decoder      *json.Decoder
	offset       int // line and column are those of this offset
	line, column int
}

// value reads the next value. At the end of a map or list it returns nil.
func (r *jsonReader) value() *yaml.Node {
	r.moveTo(r.tokenStart(int(r.decoder.InputOffset())))
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Line: r.line, Column: r.column}
	token, _ := r.decoder.Token() // no error: the text is valid
	switch t := token.(type) {
	case json.Delim:
		if t == ']' || t == '}' {
			return nil
		}
		n.Kind, n.Style = yaml.SequenceNode, yaml.FlowStyle
		if t == '{' {
			n.Kind = yaml.MappingNode
		}
		for child := r.value(); child != nil; child = r.value() {
			n.Content = append(n.Content, child)
		}
	case string:
		n.Value, n.Style = t, yaml.DoubleQuotedStyle
	case nil:
		n.Value, n.Tag = "null", "!!null"
	default:
		n.Value = string(r.text[r.offset:r.decoder.InputOffset()])
	}
	return n
}

// tokenStart returns the place of the token that follows an offset.
func (r *jsonReader) tokenStart(offset int) int {
	for offset < len(r.text) && bytes.IndexByte([]byte(" \t\r\n,:"), r.text[offset]) >= 0 {
		offset++
	}
	return offset
}

// moveTo counts the lines and columns up to an offset.
func (r *jsonReader) moveTo(offset int) {
	for _, c := range string(r.text[r.offset:offset]) {
		r.column++
		if c == '\n' {
			r.line, r.column = r.line+1, 1
		}
	}
	r.offset = offset
}
