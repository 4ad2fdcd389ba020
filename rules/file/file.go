// Package file reads the YAML and JSON files that people write into values that know their place in the file and are
// checked for their units.
//
// Start with [Open], take the file apart with [Doc.Root], [Value.Map] and [Map.Get], read each value with the method for
// what it should be ([Value.Length], [Value.Percent], [Value.OneOf], ...), and call [Map.Close] on every map so that
// misspelt keys are found. No step fails: each reports what is wrong to the Doc and goes on, so that all problems of a
// file are known at once. [Doc.Problems] returns them. A value that is absent or wrong says so by its second result.
//
// Scalars are read as the text that was written: 00 and 0 stay apart. Lengths and percentages follow the rules of
// [fitadvisor/engine/quantity].
//
// A Doc is not safe for concurrent use.
package file

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// MaxBytes is the size of the largest file that is read.
const MaxBytes = 256 << 10

// The codes of what can be wrong with any file; those of quantities, expressions and what each kind of file says stand
// where they are found.
const (
	Unreadable      diag.Code = "FA0101" // cannot be opened
	Empty           diag.Code = "FA0102"
	tooLarge        diag.Code = "FA0103"
	notText         diag.Code = "FA0104"
	severalDocs     diag.Code = "FA0105"
	notRead         diag.Code = "FA0106" // a part of YAML that is refused
	twice           diag.Code = "FA0107"
	tabIndented     diag.Code = "FA0108"
	noColon         diag.Code = "FA0109"
	colonInText     diag.Code = "FA0110"
	misplaced       diag.Code = "FA0111"
	unclosedQuote   diag.Code = "FA0112"
	unclosedBracket diag.Code = "FA0113"
	ownSign         diag.Code = "FA0114" // text that means something else in YAML
	notJSON         diag.Code = "FA0115"
	unknownKey      diag.Code = "FA0116"
	Missing         diag.Code = "FA0117" // a key or its value
	NotKeys         diag.Code = "FA0118"
	notList         diag.Code = "FA0119"
	notOne          diag.Code = "FA0120" // value, but several
	NotAllowed      diag.Code = "FA0121"
	NoNumber        diag.Code = "FA0122"
	noDate          diag.Code = "FA0123"
	noWorkbook      diag.Code = "FA0124" // or a cell that shows nothing that could be meant
	noArea          diag.Code = "FA0125" // of a table
	OtherWord       diag.Code = "FA0126" // that is read as the usual one
)

const (
	deepest      = 32   // levels of maps and lists inside one another
	longestText  = 4000 // runes in one scalar
	mostProblems = 1000 // kept for one file, of which few are ever printed
)

// Doc is one file: its values, and what is wrong with it.
type Doc struct {
	name     string
	sheet    string // of a spreadsheet; empty for a text
	source   []byte
	root     *yaml.Node
	units    quantity.Unit
	titles   []string // above a table
	json     bool
	problems diag.List
	base     *Doc                // that it was built on
	from     map[*yaml.Node]*Doc // where the parts of the tree come from that are a base's
	words    []string            // that were read as others: each, and as what
	wordAt   diag.Range          // of the first of them
	lines    []int               // byte offset of the start of each line, once asked for
	last     cursor
}

// Open reads a file that the person knows by the given name. It never fails: whatever is wrong, from a syntax error to
// a duplicate key, is among the [Doc.Problems], and a Doc that cannot be read has no [Doc.Root]. Anchors, aliases, tags
// and several documents in one file are refused, and so are files of more than [MaxBytes].
func Open(name string, data []byte) *Doc {
	d := &Doc{name: name, source: data}
	if !d.readable() {
		return d
	}
	text := bytes.TrimPrefix(data, []byte(byteOrderMark))
	if node := readJSON(text); node != nil {
		d.root, d.json = node, true
	} else {
		d.root = d.readYAML(text)
	}
	if d.root != nil {
		d.check(d.root, 0)
	}
	return d
}

// Root returns the whole content, the zero Value if the file could not be read.
func (d *Doc) Root() Value {
	if d.root == nil {
		return Value{}
	}
	return Value{doc: d, node: d.root}
}

// Name returns the name that the Doc was opened with.
func (d *Doc) Name() string { return d.name }

// Source returns the bytes that the Doc was opened with.
func (d *Doc) Source() []byte { return d.source }

// Start returns the place of what the file as a whole lacks: its first character.
func (d *Doc) Start() diag.Range { return d.at(1, 1, 1) }

// SetUnits says what bare numbers are meant in, from now on. Without it they are errors.
func (d *Doc) SetUnits(u quantity.Unit) { d.units = u }

// Units is what bare numbers are meant in.
func (d *Doc) Units() quantity.Unit { return d.units }

// Problems returns all that was reported so far, in the order of the file, each once; with it what was reported to the
// file that it was built on.
func (d *Doc) Problems() diag.List {
	l := slices.Clone(d.problems)
	if said := d.readings(); said != "" {
		l = append(l, diag.Diagnostic{Severity: diag.Note, Code: OtherWord, Summary: said, Range: d.wordAt})
	}
	if d.base != nil {
		l = append(l, d.base.Problems()...)
	}
	l.Sort()
	return slices.Compact(l)
}

// readAs remembers that a word was read as another.
func (d *Doc) readAs(at diag.Range, written, word string) {
	for pair := range slices.Chunk(d.words, 2) {
		if pair[0] == written {
			return
		}
	}
	if len(d.words) == 0 {
		d.wordAt = at
	}
	d.words = append(d.words, written, word)
}

// readings says what words were read as others, "" where none was.
func (d *Doc) readings() string {
	var said []string
	for pair := range slices.Chunk(d.words, 2) {
		said = append(said, quote(pair[0])+" as "+quote(pair[1]))
	}
	return strings.Replace(strings.Join(said, ", "), " as ", " is read as ", 1)
}

// ReadAs reads the word of a person in no file as another, and says so under where it was typed.
func ReadAs(typed, word string, read func(string) (string, bool)) (string, diag.List) {
	as, ok := read(word)
	if !ok || as == word {
		return word, nil
	}
	return as, diag.List{{Severity: diag.Note, Code: OtherWord, Summary: quote(word) + " is read as " + quote(as), Range: diag.Range{File: typed}}}
}

// Problem reports an error at a place in the file.
func (d *Doc) Problem(at diag.Range, code diag.Code, summary, hint string) {
	d.report(diag.Diagnostic{Severity: diag.Error, Code: code, Summary: summary, Hint: hint, Range: at})
}

// Warn reports a warning at a place in the file.
func (d *Doc) Warn(at diag.Range, code diag.Code, summary, hint string) {
	d.report(diag.Diagnostic{Severity: diag.Warning, Code: code, Summary: summary, Hint: hint, Range: at})
}

func (d *Doc) report(p diag.Diagnostic) {
	if !d.Full() {
		d.problems = append(d.problems, p)
	}
}

// Full reports whether so much is wrong that nothing more is kept: looking on is idle work.
func (d *Doc) Full() bool { return len(d.problems) >= mostProblems }

const byteOrderMark = "\ufeff"

// readable checks what must hold before the text can be looked at.
func (d *Doc) readable() bool {
	first := d.at(1, 1, 1)
	if len(d.source) == 0 {
		d.Problem(diag.Range{File: d.name}, Empty, "the file is empty", "")
		return false
	}
	if len(d.source) > MaxBytes {
		d.Problem(first, tooLarge, fmt.Sprintf("the file is larger than %d kB", MaxBytes>>10), "is it the right file?")
		return false
	}
	text := bytes.TrimPrefix(d.source, []byte(byteOrderMark))
	for i, line, column := 0, 1, 1; i < len(text); {
		r, width := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && width == 1:
			d.Problem(d.at(line, column, 1), notText, "the text is not UTF-8", "save the file as UTF-8 text")
			return false
		case r == '\r' && i+1 < len(text) && text[i+1] == '\n', r == '\t':
		case isControl(r):
			d.Problem(d.at(line, column, 1), notText, fmt.Sprintf("the character %U cannot be in a file", r),
				"delete it, or save the file as plain text")
			return false
		}
		i += width
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	return true
}

// isControl reports whether r is a character that no text needs: control characters, those that turn the direction of
// what follows, separators of lines and paragraphs that editors do not count as such, byte order marks in the middle.
func isControl(r rune) bool {
	return r != '\n' && (diag.Odd(r) || r == 0xfffe || r == 0xffff)
}

// oddHere reports whether r is one of them that was written as an escape; a tab may be.
func oddHere(r rune) bool { return r != '\t' && isControl(r) }

func firstOdd(s string) rune {
	r, _ := utf8.DecodeRuneInString(s[strings.IndexFunc(s, oddHere):])
	return r
}

// readYAML returns the content of the text, or nil after reporting why there is none.
func (d *Doc) readYAML(text []byte) *yaml.Node {
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	var first, second yaml.Node
	err := decoder.Decode(&first)
	if errors.Is(err, io.EOF) {
		d.Problem(d.at(1, 1, 1), Empty, "the file holds nothing but comments", "")
		return nil
	}
	if err == nil {
		err = decoder.Decode(&second)
	}
	switch {
	case err == nil:
		d.Problem(d.at(second.Line, second.Column, 1), severalDocs, severalDocuments, severalDocumentsHint)
		return nil
	case !errors.Is(err, io.EOF):
		d.syntax(text, err)
		return nil
	}
	return first.Content[0]
}

// check refuses what may not stand in a file, and takes it out of the tree.
func (d *Doc) check(n *yaml.Node, depth int) {
	here := d.at(n.Line, n.Column, 1)
	refuse := func(code diag.Code, summary, hint string) {
		d.Problem(here, code, summary, hint)
		*n = yaml.Node{Kind: yaml.ScalarNode, Tag: refused, Line: n.Line, Column: n.Column}
	}
	switch {
	case n.Kind == yaml.AliasNode:
		refuse(notRead, noAliases, noAliasesHint)
	case n.Anchor != "":
		refuse(notRead, "anchors are not read", "delete it; put a text that begins with `&` in quotes")
	case n.Style&yaml.TaggedStyle != 0:
		refuse(notRead, "tags are not read", "delete it; put a text that begins with `!` in quotes")
	case depth == deepest && n.Kind != yaml.ScalarNode:
		refuse(tooLarge, fmt.Sprintf("maps and lists are more than %d levels deep", deepest), "")
	case n.Kind == yaml.ScalarNode && len(n.Value) > longestText && utf8.RuneCountInString(n.Value) > longestText:
		refuse(tooLarge, fmt.Sprintf("the text is longer than %d characters", longestText), "is a quote left open?")
	case n.Kind == yaml.ScalarNode && strings.ContainsFunc(n.Value, oddHere):
		refuse(notText, fmt.Sprintf("the text holds the character %U, which cannot be in a file", firstOdd(n.Value)), "delete the escape that writes it")
	case n.Kind == yaml.MappingNode:
		d.checkKeys(n)
		for i := 1; i < len(n.Content); i += 2 {
			d.check(n.Content[i], depth+1)
		}
	case n.Kind == yaml.SequenceNode:
		for _, item := range n.Content {
			d.check(item, depth+1)
		}
	}
}

const (
	noAliases            = "aliases are not read"
	noAliasesHint        = "write the value itself; put a text that begins with `*` in quotes"
	severalDocuments     = "the file holds several documents"
	severalDocumentsHint = "write one document a file, without `---` or `...` between"
)

// refused is the tag of a value that was reported and taken out.
const refused = "!refused"

// checkKeys drops the entries of a map whose key is not a plain word or stands there already.
func (d *Doc) checkKeys(n *yaml.Node) {
	lines := make(map[string]int, len(n.Content)/2)
	kept := n.Content[:0]
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if key.Kind == yaml.MappingNode || key.Kind == yaml.SequenceNode {
			d.Problem(d.at(key.Line, key.Column, 1), ownSign, "a key must be a single word", "put a text with brackets in quotes")
			continue
		}
		d.check(key, deepest)
		first, seen := lines[key.Value]
		switch {
		case key.Tag == refused:
			continue
		case seen:
			d.Problem(Value{doc: d, node: key}.Range(), twice, fmt.Sprintf("the key %s stands here twice", quote(key.Value)),
				fmt.Sprintf("it is also on line %d; delete one of them", first))
			continue
		}
		lines[key.Value] = key.Line
		key.Tag = "!!str" // a key is never null
		kept = append(kept, key, n.Content[i+1])
	}
	n.Content = kept
}

// at returns a range of the given width in one line.
func (d *Doc) at(line, column, width int) diag.Range {
	return diag.Range{File: d.name, Sheet: d.sheet, Start: diag.Pos{Line: line, Column: column}, End: diag.Pos{Line: line, Column: column + width}}
}

// quote shows a text of the file inside a sentence.
func quote(s string) string {
	const most = 40
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return "`" + s + "`"
}
