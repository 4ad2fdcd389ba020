package explain

import "strings"

// Document is what a face shows, from top to bottom.
type Document struct{ Blocks []Block }

// Block is one piece of a document: [Heading], [Sentence], [Verbatim], [Table], [Steps], [Tree],
// [Scale] or [Shapes].
type Block interface{ block() }

// Heading opens a part of the document.
type Heading string

// Sentence is a paragraph of plain words.
type Sentence string

// Verbatim is lines that are shown as they are, such as a part of a file.
type Verbatim string

// Table is rows of cells under a header; Numeric columns are set to the right.
type Table struct {
	Header  []string
	Rows    [][]string
	Numeric []bool // per column; shorter means the rest are text
}

// Steps is a list of points, in order; each may have lines that belong to it.
type Steps struct{ Items []Step }

// Step is one point of a list.
type Step struct {
	Mark  string // a number, "-" or a word such as "stop"
	Text  string
	Lines []string // what belongs to it: how to mend it, where it comes from
}

// Number is the number of a step whose mark is one, such as "2.".
func (s Step) Number() (string, bool) {
	digits, point := strings.CutSuffix(s.Mark, ".")
	return digits, point && digits != "" && len(digits) < 10 && strings.Trim(digits, "0123456789") == ""
}

// Tree shows an explanation.
type Tree struct{ Root *Node }

func (Heading) block()  {}
func (Sentence) block() {}
func (Verbatim) block() {}
func (Table) block()    {}
func (Steps) block()    {}
func (Tree) block()     {}
func (Scale) block()    {}
func (Shapes) block()   {}

// Add appends blocks to the document.
func (d *Document) Add(blocks ...Block) { d.Blocks = append(d.Blocks, blocks...) }
