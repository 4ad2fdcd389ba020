package main

import (
	"strings"

	"github.com/spf13/cobra"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// newMeasurements is a topic of the help: what can be measured, how, and what people call it.
func newMeasurements(s streams) *cobra.Command {
	c := &cobra.Command{Use: "measurements", Short: "What can be measured, how, and the words for it"}
	c.SetHelpFunc(func(c *cobra.Command, _ []string) {
		f := display{format: "text", color: "auto", command: c}
		if err := f.help(s); err != nil {
			s.fail(err)
		}
	})
	return c
}

// help shows what can be measured, what files of the person's own declare too.
func (f *display) help(s streams) error {
	d, err := f.begin(s)
	if err != nil {
		return err
	}
	return s.show(measurements(d.Voc), f.color)
}

// measurements lists what is measured, from the top of the body down.
func measurements(voc *engine.Vocabulary) *explain.Document {
	body, certain, garment := explain.Steps{}, explain.Steps{}, explain.Steps{}
	for _, name := range voc.Words() {
		m := voc.Measure(name)
		text := m.How
		if words := voc.OtherWords(name); len(words) > 0 {
			text += " Also: " + strings.Join(words, ", ") + "."
		}
		into := &body
		switch {
		case m.Kind == engine.Garment:
			into = &garment
		case m.Of != "":
			into = &certain
		}
		if m.Of != "" {
			text += " For " + m.Of + "."
		}
		into.Items = append(into.Items, explain.Step{Mark: name, Text: text})
	}
	d := &explain.Document{Blocks: []explain.Block{
		explain.Sentence("Write these names in files, in the headers of tables and in flags. The other words are read too, in any case, with spaces or hyphens, and you are told as what."),
		explain.Heading("Of the body"), body,
	}}
	if len(certain.Items) > 0 {
		d.Add(explain.Heading("Of the body, for certain garment types alone"), certain)
	}
	d.Add(explain.Heading("Of a garment or a pattern alone"), garment)
	return d
}
