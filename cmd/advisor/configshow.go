package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/explain"
)

func newConfig(s streams) *cobra.Command {
	f := display{}
	c := &cobra.Command{
		Use:   "config",
		Short: "Show what is set for all commands, and where",
		Long: "Shows each setting, its value and where that comes from. Settings are made, the later ones\n" +
			"winning: by the program, in your own file, in a project's file " + projectFile + " in the working\n" +
			"folder or the nearest one above it, in variables such as ADVISOR_UNITS, and by flags.",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := f.check(); err != nil {
				return err
			}
			set, err := configured(c, true)
			if err != nil {
				return err
			}
			if f.format == "json" {
				err = s.json(settingLines(set))
			} else {
				err = s.show(settingsPage(set), f.color)
			}
			if err != nil {
				return err
			}
			return newFiles(s, nil).openOwn(set)
		},
	}
	f.flags(c)
	f.book(c)
	return c
}

// settingLine is one setting of `config --format json`.
type settingLine struct {
	Setting string `json:"setting"`
	Value   any    `json:"value"` // a text, empty where nothing is set, or a list of folders
	From    string `json:"from"`
}

// shownFolders are folders as a person reads them.
func shownFolders(paths []string) []string {
	folders := make([]string, len(paths))
	for i, path := range paths {
		folders[i] = shown(path)
	}
	return folders
}

func settingLines(c configuration) []settingLine {
	lines := make([]settingLine, len(settingsByName))
	for i, k := range settingsByName {
		lines[i] = settingLine{k.name, c.values[k.name], c.from[k.name].place}
		if paths, ok := c.values[k.name].([]string); ok {
			lines[i].Value = shownFolders(paths)
		}
		if path, ok := c.values[k.name].(string); ok && k.folder && path != "" {
			lines[i].Value = shown(path)
		}
	}
	return lines
}

func settingsPage(c configuration) *explain.Document {
	var s explain.Steps
	for i, line := range settingLines(c) {
		value := fmt.Sprint(line.Value)
		if folders, ok := line.Value.([]string); ok {
			value = strings.Join(folders, ", ")
		}
		if value == "" {
			value = settingsByName[i].unset
		}
		s.Items = append(s.Items, explain.Step{Mark: line.Setting, Text: value + " [" + line.From + "]"})
	}
	d := &explain.Document{}
	d.Add(s)
	if own := ownPath(); own != "" {
		d.Add(explain.Sentence("Your own file is " + shown(own) + "; a project's is " + projectFile + " in the working folder or above it."))
	}
	return d
}
