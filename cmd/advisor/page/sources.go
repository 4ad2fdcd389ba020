package page

import (
	"path"
	"regexp"
	"strings"

	"fitadvisor/explain"
)

// inWords is an explanation with its sources as a person calls them: no place in a file, and nothing that is typed behind a
// command.
func inWords(n *explain.Node) *explain.Node {
	said := *n
	said.Source = sourceWords(n.Source)
	said.Children = nil
	for _, c := range n.Children {
		said.Children = append(said.Children, inWords(c))
	}
	return &said
}

var (
	inFile  = regexp.MustCompile(`([\w./-]*[\w-])\.(?:yaml|yml|csv|json|xlsx)(?::\d+)*`)
	inForm  = regexp.MustCompile(`your (body|pattern|cloth|garment)(?::\d+)+`)
	isTried = regexp.MustCompile(`--with .*`)
)

// sourceWords is a source in words.
func sourceWords(source string) string {
	source = isTried.ReplaceAllString(source, "what you try")
	source = inForm.ReplaceAllString(source, "what you typed")
	return inFile.ReplaceAllStringFunc(source, func(text string) string {
		at := inFile.FindStringSubmatch(text)[1]
		name := path.Base(at)
		switch folder := path.Base(path.Dir(at)); {
		case name == "chart", name == "finished", name == "pieces":
			return "what you typed"
		case folder == "recipes":
			return "the garment type " + strings.ReplaceAll(name, "-", " ")
		case folder == "rules", folder == "data":
			return "the method, " + strings.ReplaceAll(name, "_", " ")
		}
		return "your notebook, " + called(name)
	})
}
