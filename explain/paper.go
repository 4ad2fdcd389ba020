package explain

// Paper is a sheet that a document is printed on.
type Paper string

// The papers.
const (
	A4     Paper = "A4"
	Letter Paper = "Letter"
)
