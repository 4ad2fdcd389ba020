package diag

import (
	"embed"
	"strings"
)

//go:embed pages/*.md
var pages embed.FS

// Codes returns all codes, in order.
func Codes() []Code {
	entries, err := pages.ReadDir("pages")
	if err != nil {
		return nil
	}
	codes := make([]Code, len(entries))
	for i, e := range entries {
		codes[i] = Code(strings.TrimSuffix(e.Name(), ".md"))
	}
	return codes
}

// Page returns what there is to say about a code, as Markdown of headings, paragraphs, lists and fenced blocks: what it
// means, an example of the mistake, the same mended, and why the program does not guess. It is "" for a code that there
// is not.
func (c Code) Page() string {
	page, err := pages.ReadFile("pages/" + string(c) + ".md")
	if err != nil {
		return ""
	}
	return string(page)
}

// Title returns the first line of the page: the mistake in a few words.
func (c Code) Title() string {
	title, _, _ := strings.Cut(strings.TrimPrefix(c.Page(), "# "), "\n")
	return title
}
