package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/explain"
)

// WhyNot lays out why a size was not chosen, and what would make it win. again
// is the command line that a change is added to.
func WhyNot(w *engine.WhyNot, again string) *explain.Document {
	d := &explain.Document{}
	switch {
	case w.Chosen:
		d.Add(explain.Sentence(fmt.Sprintf("Size %s is the size to cut.", w.Size)))
	case w.Best == "":
		d.Add(explain.Sentence(fmt.Sprintf("Size %s cannot be cut as it is, and neither can any other.", w.Size)))
	default:
		d.Add(explain.Sentence(fmt.Sprintf("Why not size %s: size %s comes nearer to what is wanted%s.", w.Size, w.Best, alsoRuledOut(w))))
	}
	var feels explain.Steps
	for _, f := range w.Feels {
		feels.Items = append(feels.Items, explain.Step{Mark: strings.ReplaceAll(f.Zone, "_", " "), Text: f.Say})
	}
	if len(feels.Items) > 0 {
		d.Add(explain.Heading("What it would feel like"), feels)
	}
	if len(w.RuledOut) > 0 {
		d.Add(explain.Heading("What rules it out"), cautionSteps(w.RuledOut))
	}
	if w.Chosen {
		return d
	}
	d.Add(explain.Heading(fmt.Sprintf("What alone would make size %s win", w.Size)), wins(w, again))
	return d
}

func alsoRuledOut(w *engine.WhyNot) string {
	if len(w.RuledOut) == 0 {
		return ""
	}
	return fmt.Sprintf(", and size %s is ruled out", w.Size)
}

func wins(w *engine.WhyNot, again string) explain.Block {
	if len(w.Wins) == 0 {
		return explain.Sentence("No single change of your measurements, of the ease wanted, of the cloth's stretch or of an opening would.")
	}
	var s explain.Steps
	for _, win := range w.Wins {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: capital(win.Say) + ".", Lines: []string{"Try it: " + again + " --with " + shellWord(win.With)}})
	}
	return s
}

// shellWord quotes what a shell would take apart.
func shellWord(s string) string {
	if strings.ContainsAny(s, " '\"") {
		return `"` + s + `"`
	}
	return s
}

// Moved lays out what changed facts moved, side by side.
func Moved(a *engine.Answer, changes []string) *explain.Document {
	d := &explain.Document{}
	what := "With " + list(changes) + ": "
	if len(a.Moved) == 0 {
		d.Add(explain.Sentence(what + "nothing moves."))
		return d
	}
	d.Add(explain.Sentence(what + sizeMoved(a)))
	t := explain.Table{Header: []string{"", "before", "with it"}}
	for _, m := range a.Moved {
		t.Rows = append(t.Rows, []string{m.What, m.Before, m.After})
	}
	d.Add(t)
	return d
}

func sizeMoved(a *engine.Answer) string {
	if m := a.Moved[0]; m.What == "size to cut" {
		return fmt.Sprintf("the size to cut goes from %s to %s.", m.Before, m.After)
	}
	return "the size to cut stays."
}
