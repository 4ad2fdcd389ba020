package recipes

import (
	"cmp"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// Slips finds the measurements that do not go together with the others of the body, for a garment drafted for women, men
// or children; where the draft is empty no garment is known yet. Those only in doubt are warnings.
func Slips(b *engine.Body, voc *engine.Vocabulary, draft string) diag.List {
	var found diag.List
	for _, s := range voc.Slips(b, draft) {
		d := diag.Diagnostic{Severity: diag.Error, Code: slipOfUnits, Range: b.Measurements[s.Measure].At}
		d.Summary, d.Hint = slipWords(s, voc, cmp.Or(b.Units, quantity.Cm))
		if s.Doubtful {
			d.Severity = diag.Warning
		}
		found = append(found, d)
	}
	return found
}

// slipWords say what is wrong with a measurement, and how to mend it.
func slipWords(s engine.Slip, voc *engine.Vocabulary, u quantity.Unit) (summary, hint string) {
	value := voc.Title(s.Measure) + " of " + s.Value.Format(u)
	switch {
	case s.Doubtful:
		return doubt(s, voc, value, u)
	case s.With == "":
		summary = "the " + value + " cannot be right"
	default:
		summary = "the " + value + " does not go together with the " + voc.Title(s.With) + " of " + s.Beside.Format(u)
	}
	hint = "read the tape again, and check the digits"
	if s.Fits {
		hint = s.OtherReading(u) + "; if that is meant write the unit behind it, else measure again"
	}
	if s.With == "" && voc.ChildMayHave(s) {
		hint += "; for a child give the age, as in `age: 6`"
	}
	return summary, hint
}

// doubt asks for a measurement once more. Where the surveys did not take both as they are taken here, it says only that they
// are seldom so.
func doubt(s engine.Slip, voc *engine.Vocabulary, value string, u quantity.Unit) (summary, hint string) {
	summary, hint = "the "+value, "measure it again to be sure"
	if s.With != "" {
		summary += " beside the " + voc.Title(s.With) + " of " + s.Beside.Format(u)
		hint = "measure both again to be sure"
	}
	if s.Surveyed {
		return summary + " is outside what the surveys ANSUR II and NHANES 2017-2018 measured", hint
	}
	return summary + " is seldom so", hint
}

// tellSlips reports the slips of a body to its file, unless something else is wrong with it; for the draft see [Slips].
func tellSlips(doc *file.Doc, b *engine.Body, voc *engine.Vocabulary, draft string) {
	if doc.Problems().HasErrors() {
		return
	}
	for _, d := range Slips(b, voc, draft) {
		if d.Severity == diag.Warning {
			doc.Warn(d.Range, d.Code, d.Summary, d.Hint)
			continue
		}
		doc.Problem(d.Range, d.Code, d.Summary, d.Hint)
	}
}

// SlipsFor are the errors of [Slips] for a garment of a recipe that its file alone did not show.
func SlipsFor(b *engine.Body, voc *engine.Vocabulary, r *engine.Recipe) diag.List {
	return slices.DeleteFunc(Slips(b, voc, r.Draft), func(d diag.Diagnostic) bool { return d.Severity == diag.Warning })
}
