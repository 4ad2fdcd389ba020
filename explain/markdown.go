package explain

import "strings"

// Markdown reads a page of our own: headings, paragraphs and fenced blocks, with inline marks left as they are. Comments
// on lines of their own are for the writers and left out.
func Markdown(page string) *Document {
	d := &Document{}
	var paragraph, fenced []string
	end := func() {
		if paragraph != nil {
			d.Add(Sentence(strings.Join(paragraph, " ")))
			paragraph = nil
		}
	}
	inFence := false
	for line := range strings.Lines(page) {
		line = strings.TrimRight(line, "\r\n")
		heading, isHeading := strings.CutPrefix(strings.TrimLeft(line, "#"), " ")
		switch {
		case strings.HasPrefix(line, "```") && inFence:
			d.Add(Verbatim(strings.Join(fenced, "\n")))
			fenced, inFence = nil, false
		case inFence:
			fenced = append(fenced, line)
		case strings.HasPrefix(line, "```"):
			end()
			inFence = true
		case line == "", strings.HasPrefix(line, "<!--"):
			end()
		case line[0] == '#' && isHeading:
			end()
			d.Add(Heading(heading))
		default:
			paragraph = append(paragraph, line)
		}
	}
	end()
	return d
}
