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
func Slips(b *engine.Body, voc *engine.Vocabulary, draft engine.Draft) diag.List {
	var found diag.List
	for _, s := range voc.Slips(b, draft) {
		d := diag.Diagnostic{Severity: diag.Error, Code: slipOfUnits, Range: b.Measurements[s.Measure].At}
		d.Summary, d.Hint = voc.SlipWords(s, cmp.Or(b.Units, quantity.Cm))
		if s.Doubtful {
			d.Severity = diag.Warning
		}
		found = append(found, d)
	}
	return found
}

// tellSlips reports the slips of a body to its file, unless something else is wrong with it; for the draft see [Slips].
func tellSlips(doc *file.Doc, b *engine.Body, voc *engine.Vocabulary, draft engine.Draft) {
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

// SlipsFor are the [Slips] for a garment of a recipe that the body's file alone did not show.
func SlipsFor(b *engine.Body, voc *engine.Vocabulary, r *engine.Recipe) diag.List {
	shown := Slips(b, voc, "")
	return slices.DeleteFunc(Slips(b, voc, r.Draft), func(d diag.Diagnostic) bool {
		return slices.ContainsFunc(shown, func(s diag.Diagnostic) bool { return s.Range == d.Range && s.Summary == d.Summary })
	})
}
