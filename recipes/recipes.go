// Package recipes holds the shipped garment types, one a file, and the readers
// of the files people write: recipes, bodies, patterns with their charts, and
// cloths.
//
// [Shipped] gives one garment type; [ReadBody], [ReadPattern], [ReadCloth] and
// [ReadRecipe] take a file apart, leaving problems in its doc. [ReadExamples]
// reads the examples that a recipe carries, and [Run] checks one.
package recipes

import (
	"bytes"
	"embed"
	"fmt"
	"strings"

	"fitadvisor/engine"
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
	return oneOf(e.Name, e.Known)
}

// Source returns a shipped garment type's file, with its examples.
func Source(name string) (*file.Doc, error) {
	data, err := text(name)
	if err != nil {
		return nil, err
	}
	return file.Open("recipes/"+name+".yaml", data), nil
}

// Shipped reads one shipped garment type, and no other file. Its examples,
// which stand last in the file, are not looked at.
func Shipped(name string, v *engine.Vocabulary) (*engine.Recipe, error) {
	data, err := text(name)
	if err != nil {
		return nil, err
	}
	data, _, _ = bytes.Cut(data, []byte("\nexamples:\n"))
	doc := file.Open("recipes/"+name+".yaml", data)
	r := ReadRecipe(doc, v, rules.WhenNeeded)
	return r, doc.Problems().Err()
}

func text(name string) ([]byte, error) {
	data, err := shipped.ReadFile(name + ".yaml")
	if err != nil {
		return nil, &NotShippedError{name, Names()}
	}
	return data, nil
}
