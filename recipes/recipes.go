// Package recipes holds the shipped garment types, one a file, and the readers
// of the files people write: recipes, bodies, patterns with their charts, cloths,
// kept garments, pieces laid flat, and what was seen on a toile.
//
// [Shipped] gives one garment type, and a [Library] a person's own too; [ReadBody],
// [ReadPattern], [ReadCloth], [ReadGarment], [ReadPieces], [ReadObservations] and
// [ReadRecipe] take a file apart, leaving problems in its doc; [OpenBodies] reads
// a table of bodies a line at a time, [OpenSurvey] one whose columns [ReadColumns]
// explains. [ReadExamples] reads the examples that a
// recipe carries, a [Suite] is those of a recipe file or a test file, and [Run]
// checks one. [Doubt] and [DoubtRules] find what is allowed and probably not meant.
package recipes

import (
	"bytes"
	"embed"
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
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

// NotShippedError says that there is no garment type of this name, neither
// shipped nor of the person's own.
type NotShippedError struct {
	Name  string
	Known []string
	hint  string
}

// Code is the code of the mistake.
func (e *NotShippedError) Code() diag.Code { return noSuchRecipe }

func (e *NotShippedError) Error() string {
	return fmt.Sprintf("no garment type is called `%s`", e.Name)
}

// Hint names the types that may be meant, or says what names them all.
func (e *NotShippedError) Hint() string { return e.hint }

const listHint = "`advisor recipe list` names them all"

// Source returns a shipped garment type's file, with its examples.
func Source(name string) (*file.Doc, error) {
	data, err := text(name)
	if err != nil {
		return nil, err
	}
	return file.Open(shippedName(name), data), nil
}

// Shipped reads one shipped garment type, and no other file. Its examples,
// which stand last in the file, are not looked at.
func Shipped(name string, v *engine.Vocabulary) (*engine.Recipe, error) {
	found, err := Library{}.Recipe(name, v)
	if err != nil {
		return nil, err
	}
	return found.Recipe, found.Doc.Problems().Err()
}

// shippedDoc opens a shipped garment type's file, without its examples.
func shippedDoc(name string) (*file.Doc, error) {
	data, err := text(name)
	if err != nil {
		return nil, err
	}
	data, _, _ = bytes.Cut(data, []byte("\nexamples:\n"))
	return file.Open(shippedName(name), data), nil
}

func shippedName(name string) string { return "recipes/" + name + ".yaml" }

func text(name string) ([]byte, error) {
	data, err := shipped.ReadFile(name + ".yaml")
	if err != nil {
		return nil, &NotShippedError{name, Names(), diag.DidYouMean(name, Names(), listHint)}
	}
	return data, nil
}
