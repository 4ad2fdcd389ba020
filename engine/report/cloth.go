package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Cloth lays out whether a cloth suits: the verdict in a sentence, what each
// zone asks and what is there, what would make it suit, cautions.
func Cloth(a *engine.Suitability) *explain.Document {
	r := &layout{units: a.Units}
	d := &explain.Document{}
	what := a.Pattern
	if a.Maker != "" {
		what += " by " + a.Maker
	}
	what += ", in " + a.Cloth + ". "
	if a.Planned {
		what = ""
	}
	d.Add(explain.Sentence(a.Verdict), explain.Sentence(what+a.Lies))
	if len(a.MakeItSuit) > 0 {
		d.Add(explain.Heading("What would make it suit"), bullets(a.MakeItSuit))
	}
	for i := range a.Sizes {
		s := &a.Sizes[i]
		heading := fmt.Sprintf("Size %s, in %s: %s", s.Size, unitWord(a.Units), suitWord(s.Suits))
		if a.Planned {
			heading = fmt.Sprintf("In %s: %s", unitWord(a.Units), suitWord(s.Suits))
		}
		d.Add(explain.Heading(heading), r.suitTable(s))
	}
	if shrinks(a) {
		d.Add(explain.Sentence("Washed: what the garment would measure there if you cut the cloth unwashed and washed it afterwards."))
	}
	r.section(d, "Cautions", cautionSteps(a.Cautions))
	if !a.Planned { // of what was asked, all is judged
		r.section(d, "Not judged", notJudgedSteps(a.NotJudged))
	}
	r.section(d, "Taken for granted", assumptionSteps(a.Assumptions))
	return d
}

func washes(z engine.SuitZone) bool { return z.Washed != nil }

func shrinks(a *engine.Suitability) bool {
	return slices.ContainsFunc(a.Sizes, func(s engine.SuitSize) bool { return slices.ContainsFunc(s.Zones, washes) })
}

func suitWord(suits bool) string {
	if suits {
		return "the cloth carries it"
	}
	return "the cloth does not carry it"
}

func unitWord(u quantity.Unit) string {
	if u == quantity.In {
		return "inches"
	}
	return "centimetres"
}

func bullets(texts []string) explain.Steps {
	var s explain.Steps
	for _, t := range texts {
		s.Items = append(s.Items, explain.Step{Mark: "-", Text: capital(t) + "."})
	}
	return s
}

func (r *layout) suitTable(s *engine.SuitSize) explain.Table {
	t := explain.Table{Header: []string{"zone", "body", "garment", "ease", "to move", "asks", "there", "suits"}, Numeric: []bool{false, true, true, true, true, true, true}}
	washed := slices.ContainsFunc(s.Zones, washes)
	if washed {
		t.Header, t.Numeric = append(t.Header, "washed"), append(t.Numeric, false, true)
	}
	for i := range s.Zones {
		row := r.suitRow(&s.Zones[i])
		if washed {
			row = append(row, r.length(s.Zones[i].Washed))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (r *layout) suitRow(z *engine.SuitZone) []string {
	there, suits := "not given", "no"
	if z.StretchThere != nil {
		there = quantity.FormatPercent(*z.StretchThere)
	}
	if z.Suits {
		suits = "yes"
	}
	garment := r.length(&z.Finished)
	if z.Estimated {
		garment, suits = "about "+garment, "not known"
	}
	name := strings.ReplaceAll(z.Zone, "_", " ")
	if z.Role != engine.Decides {
		name += " (" + string(z.Role) + ")"
	}
	return []string{name, r.length(&z.Body), garment, r.length(&z.Ease), r.length(&z.WearingEase), quantity.FormatPercent(z.StretchAsked), there, suits}
}
