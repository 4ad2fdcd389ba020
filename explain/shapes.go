package explain

// Shapes is a drawing to scale. Its coordinates are in one real unit, such as
// centimetres, x to the right and y downwards; a face draws it as large as its
// page takes, with lines and letters of the thickness and height of the page,
// and makes room for labels that reach beyond the box.
type Shapes struct {
	Title string
	Alt   string // the same in words, for whoever does not see the picture
	Box   Box    // what is drawn
	Items []Shape
}

// Box is a rectangle with its corner nearest to 0, 0.
type Box struct{ X, Y, Width, Height float64 }

// Point is a place in a drawing.
type Point struct{ X, Y float64 }

// Shape is one thing drawn: [Path], [Label] or [Dimension].
type Shape interface{ shape() }

// Role is what a line or a text is for, and so how it looks, in every face alike.
// Each role differs from the others in its thickness or its dashes, not only in
// colour.
type Role string

// The roles.
const (
	Outline Role = "outline" // the edge of a thing: a full line
	Accent  Role = "accent"  // what to look at or to follow: a thick line, bold letters
	Against Role = "against" // what is not to be: a thick line of long dashes
	Other   Role = "other"   // what the outline is compared with: a line of dashes and dots
	Guide   Role = "guide"   // a level, a fold, a middle: a thin dashed line, quiet letters
	Area    Role = "area"    // a filled part without an edge
	Beneath Role = "beneath" // a filled part without an edge, on which the others lie
	Measure Role = "measure" // a dimension: a thin line between two ends
)

// Path is a line of straight and curved legs, or what they enclose.
type Path struct {
	Role   Role
	Start  Point
	Legs   []Leg
	Closed bool // whether it returns to its start
	Filled bool // whether what a closed path encloses is filled too; in the roles [Area] and [Beneath] it always is
}

// Leg leads to a point: straight, or curved by two control points.
type Leg struct {
	To    Point
	Curve *Curve // nil: straight
}

// Curve is the control points of a cubic Bézier curve: A beside where it begins,
// B beside where it ends.
type Curve struct{ A, B Point }

// Label is a text at a point.
type Label struct {
	Role   Role
	At     Point
	Text   string
	Anchor Anchor
}

// Anchor is which part of a text stands at its point.
type Anchor string

// The anchors. A text is centred on its point's height.
const (
	AtStart  Anchor = "start"
	AtMiddle Anchor = "middle"
	AtEnd    Anchor = "end"
)

// Dimension says how far it is from one point to another: a line between two
// short strokes, with its text beside the middle.
type Dimension struct {
	From, To Point
	Text     string
}

func (Path) shape()      {}
func (Label) shape()     {}
func (Dimension) shape() {}

// Line is an open path of straight legs through points.
func Line(role Role, from Point, through ...Point) Path {
	p := Path{Role: role, Start: from}
	for _, to := range through {
		p.Legs = append(p.Legs, Leg{To: to})
	}
	return p
}

// Polygon is a closed path of straight legs.
func Polygon(role Role, from Point, through ...Point) Path {
	p := Line(role, from, through...)
	p.Closed = true
	return p
}

// Add appends things to the drawing.
func (s *Shapes) Add(items ...Shape) { s.Items = append(s.Items, items...) }
