// Package recipes holds the shipped garment types, one a file, and the readers
// of the files people write: recipes, bodies, patterns with their charts, and
// cloths.
//
// [Shipped] gives one garment type; [ReadBody], [ReadPattern], [ReadCloth] and
// [ReadRecipe] take a file apart, leaving problems in its doc.
package recipes

import (
	"embed"
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules"
	"fitadvisor/rules/file"
)

//go:embed *.yaml
var shipped embed.FS

// Names lists the shipped garment types in alphabetical order.
func Names() []string {
	entries, err := shipped.ReadDir(".")
	if err != nil {
		return nil
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = strings.TrimSuffix(e.Name(), ".yaml")
	}
	return names
}

// NotShippedError says that no garment type of this name is shipped.
type NotShippedError struct {
	Name  string
	Known []string
}

func (e *NotShippedError) Error() string {
	return fmt.Sprintf("no garment type is called `%s`", e.Name)
}

// Hint names the nearest type, or all of them.
func (e *NotShippedError) Hint() string {
	if near := diag.Near(e.Name, e.Known); near != "" {
		return "did you mean `" + near + "`?"
	}
	return "there are: " + strings.Join(e.Known, ", ")
}

// Source returns a shipped garment type's file.
func Source(name string) (*file.Doc, error) {
	data, err := shipped.ReadFile(name + ".yaml")
	if err != nil {
		return nil, &NotShippedError{name, Names()}
	}
	return file.Open("recipes/"+name+".yaml", data), nil
}

// Shipped reads one shipped garment type, and no other file.
func Shipped(name string, v *engine.Vocabulary) (*engine.Recipe, error) {
	doc, err := Source(name)
	if err != nil {
		return nil, err
	}
	r := ReadRecipe(doc, v, rules.WhenNeeded)
	return r, doc.Problems().Err()
}
