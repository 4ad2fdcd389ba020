package report

import (
	"fmt"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Flat lays out what pieces laid flat measure once sewn: the figures in a
// sentence, each sum written out, what looks like a slip, and what to do next.
// The file is what a pattern names to have them; empty where it cannot.
func Flat(a *engine.Flat, file string) *explain.Document {
	d := &explain.Document{}
	d.Add(explain.Sentence(flatSentence(a)))
	for i := range a.Sizes {
		s := &a.Sizes[i]
		d.Add(explain.Heading(flatTitle(s)), flatSteps(s, a.Units, len(a.Sizes) == 1))
	}
	r := &layout{units: a.Units}
	r.section(d, "Cautions", cautionSteps(a.Cautions))
	d.Add(explain.Heading("What to do next"))
	if len(a.Finished) == 0 {
		d.Add(explain.Sentence("Measure the pieces at the levels that matter, and ask again."))
		return d
	}
	d.Add(explain.Sentence(fmt.Sprintf("Put these rows under `finished:` in the pattern%s:", flatSizes(a.For))), explain.Verbatim(flatRows(a.Finished)))
	if file != "" {
		d.Add(explain.Sentence(fmt.Sprintf("Or write `pieces: %s` in the pattern, and `advisor why` leads each figure back to the pieces; sizes you did not measure then follow from those you did.", file)))
	}
	return d
}

// flatSentence is the figures of the first size in a sentence.
func flatSentence(a *engine.Flat) string {
	s := &a.Sizes[0]
	if len(s.Measures) == 0 {
		return "Nothing that can be put together was measured."
	}
	var parts []string
	for i := range s.Measures {
		m := &s.Measures[i]
		parts = append(parts, m.Title+" "+quantity.FormatCm(m.Finished, a.Units))
	}
	text := fmt.Sprintf("Finished, %s measures: %s.", a.Pieces, list(parts))
	if len(a.Sizes) > 1 {
		text = fmt.Sprintf("Finished, %s measures in size %s: %s.", a.Pieces, s.Size, list(parts))
	}
	return text
}

func flatTitle(s *engine.FlatSize) string {
	if s.Size == "" {
		return "How it adds up"
	}
	return "How size " + s.Size + " adds up"
}

// flatSteps writes the sums out; with pieces, what each piece adds too.
func flatSteps(s *engine.FlatSize, units quantity.Unit, pieces bool) explain.Steps {
	var out explain.Steps
	for i := range s.Measures {
		m := &s.Measures[i]
		step := explain.Step{Mark: m.Title, Text: m.Sum + "."}
		if pieces {
			for k := range m.Parts {
				step.Lines = append(step.Lines, m.Parts[k].Say+".")
			}
		}
		if m.Overlap != nil {
			step.Lines = append(step.Lines, fmt.Sprintf("The overlap of %s is taken out once.", quantity.FormatCm(*m.Overlap, units)))
		}
		if f := m.Fullness; f != nil {
			step.Lines = append(step.Lines, fmt.Sprintf("Fullness %s : 1: %s of cloth are gathered to %s. That is no ease.",
				quantity.FormatCount(f.Ratio), quantity.FormatCm(f.Flat, units), quantity.FormatCm(f.To, units)))
		}
		if m.Ease != nil {
			step.Lines = append(step.Lines, fmt.Sprintf("Ease over %s: %s.", quantity.FormatCm(*m.Body, units), quantity.FormatCm(*m.Ease, units)))
		}
		out.Items = append(out.Items, step)
	}
	return out
}

func flatSizes(sizes []string) string {
	if len(sizes) == 1 && sizes[0] == "" {
		return ""
	}
	return fmt.Sprintf(", for `sizes: [%s]`", strings.Join(sizes, ", "))
}

func flatRows(rows []engine.FlatRow) string {
	text := "finished:\n"
	for _, r := range rows {
		text += fmt.Sprintf("  %s: [%s]\n", r.Measure, strings.Join(r.Cells, ", "))
	}
	return text
}
