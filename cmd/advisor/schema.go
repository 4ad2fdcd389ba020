package main

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/explain"
	"fitadvisor/explain/diag"
	"fitadvisor/recipes"
	"fitadvisor/rules/shape"
)

//go:generate go run ./gen

//go:embed schemas/*.json
var answerSchemas embed.FS

// schemaLine is one schema of `schema --format json`.
type schemaLine struct {
	Kind  string `json:"kind"`
	About string `json:"about"`
}

func newSchema(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{
		Use:   "schema [KIND]",
		Short: "Print the JSON Schema of a kind of file, or of an answer",
		Long: "Print the JSON Schema (draft 2020-12) of a kind of file, by which editors complete and\n" +
			"check what you type, or of an answer in JSON. Without KIND, list them all.",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("name one kind, as in `advisor schema body`, or none to list them all")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listSchemas(s, f)
			}
			d, err := f.begin(s)
			if err != nil {
				return err
			}
			text, err := schemaOf(args[0], d.Voc)
			if err != nil {
				return err
			}
			_, err = s.out.Write(text)
			return err
		},
	}
	f.unitless(c)
	return c
}

// schemaOf is the schema of a kind of file or answer, over the measurements that are known.
func schemaOf(kind string, voc *engine.Vocabulary) ([]byte, error) {
	for _, k := range recipes.FileKinds() {
		if k.Name == kind {
			return k.Schema(voc), nil
		}
	}
	if kind == settingsLine.Kind {
		return shape.Document("Settings", settingsLine.About, settingsShape()), nil
	}
	text, err := answerSchemas.ReadFile("schemas/" + kind + ".json")
	if err == nil {
		return text, nil
	}
	unknown := &noSchemaError{kind: kind}
	for _, l := range append(fileLines(), answerLines()...) {
		unknown.known = append(unknown.known, l.Kind)
	}
	return nil, unknown
}

// fileLines are the schemas of files.
func fileLines() []schemaLine {
	var lines []schemaLine
	for _, k := range recipes.FileKinds() {
		lines = append(lines, schemaLine{k.Name, k.About})
	}
	return append(lines, settingsLine)
}

var settingsLine = schemaLine{"config", "What is set once for all commands, in " + projectFile + " or in your own settings."}

// settingsShape describes a file of settings.
func settingsShape() shape.Shape {
	keys := make([]shape.Key, len(settingsByName))
	for i, k := range settingsByName {
		value := shape.Date()
		if folder := shape.Matching(`[\s\S]`); k.folders {
			value = shape.Either(folder, shape.List(folder))
		} else if k.words != nil {
			value = shape.OneOf(k.words...)
		} else if k.folder {
			value = shape.Text()
		}
		keys[i] = shape.May(k.name, value, k.about)
	}
	return shape.Map(keys...)
}

// answerLines are the schemas of answers, with what each says of itself.
func answerLines() []schemaLine {
	var lines []schemaLine
	entries, _ := answerSchemas.ReadDir("schemas") // no error: what is embedded is there
	for _, e := range entries {
		text, _ := answerSchemas.ReadFile("schemas/" + e.Name())
		var says struct{ Description string }
		_ = json.Unmarshal(text, &says) // no error: it was generated
		lines = append(lines, schemaLine{strings.TrimSuffix(e.Name(), ".json"), says.Description})
	}
	return lines
}

func listSchemas(s streams, f display) error {
	if err := f.check(); err != nil {
		return err
	}
	if f.format == "json" {
		return s.json(append(fileLines(), answerLines()...))
	}
	return s.show(&explain.Document{Blocks: []explain.Block{
		explain.Heading("Files that you write"), stepsOf(fileLines()),
		explain.Heading("Answers in JSON"), stepsOf(answerLines()),
		explain.Sentence("`advisor schema body > body.schema.json` keeps one beside your files. With the first line " +
			"`# yaml-language-server: $schema=body.schema.json` in a body file, an editor that speaks with that server completes and checks it."),
	}}, f.color)
}

func stepsOf(lines []schemaLine) explain.Steps {
	var steps explain.Steps
	for _, l := range lines {
		steps.Items = append(steps.Items, explain.Step{Mark: l.Kind, Text: l.About})
	}
	return steps
}

// noSchemaError says that there is no schema of this kind.
type noSchemaError struct {
	kind  string
	known []string
}

func (e *noSchemaError) Error() string { return fmt.Sprintf("there is no schema of %q", e.kind) }

// Hint names the nearest kind, or all of them.
func (e *noSchemaError) Hint() string {
	return diag.Among(e.kind, e.known)
}
