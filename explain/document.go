package explain

import "strings"

// Document is what a face shows, from top to bottom.
type Document struct{ Blocks []Block }

// Block is one piece of a document: [Heading], [Sentence], [Verbatim], [Table], [Steps], [Tree],
// [Scale], [Shapes], or of a sheet for the wall [Headline], [Framed], [Beside] or [NewPage].
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

// ToTick is the mark of a step that is ticked once it is done: a box.
const ToTick = "□"

// Number is the number of a step whose mark is one, such as "2.".
func (s Step) Number() (string, bool) {
	digits, point := strings.CutSuffix(s.Mark, ".")
	return digits, point && digits != "" && len(digits) < 10 && strings.Trim(digits, "0123456789") == ""
}

// Tree shows an explanation.
type Tree struct{ Root *Node }

// Headline is what can be read from across the room.
type Headline struct {
	Lead, Large, Rest string   // "Cut", "44", "with the waist of size 46"; empty: none
	Beside            []string // in small letters, on the other side
}

// Framed is boxes side by side.
type Framed struct{ Items []Frame }

// Frame is one box: what it is about, what is read from afar, and words.
type Frame struct {
	Title, Large string // empty: none
	Lines        []string
}

// Beside is two columns where there is room for them, one below the other where there is not.
type Beside struct{ Left, Right []Block }

// NewPage begins a page, with its heading.
type NewPage string

func (Heading) block()  {}
func (Sentence) block() {}
func (Verbatim) block() {}
func (Table) block()    {}
func (Steps) block()    {}
func (Tree) block()     {}
func (Scale) block()    {}
func (Shapes) block()   {}
func (Headline) block() {}
func (Framed) block()   {}
func (Beside) block()   {}
func (NewPage) block()  {}

// Add appends blocks to the document.
func (d *Document) Add(blocks ...Block) { d.Blocks = append(d.Blocks, blocks...) }
