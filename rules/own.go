package rules

import (
	"slices"

	"fitadvisor/engine"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// With returns a person's own rules, from all rule files in their folders, and
// behind them the shipped ones that none of them replaces. The docs are the
// files, with what is wrong with them.
func With(folders []file.Folder, v *engine.Vocabulary) ([]*engine.Rule, []*file.Doc) {
	all, _ := Shared(v)
	if len(folders) == 0 {
		return all, nil
	}
	var own []*engine.Rule
	var docs []*file.Doc
	seen := map[string]diag.Range{}
	for _, f := range folders {
		for _, doc := range f.Docs("rules", "topic", "rules") {
			docs = append(docs, doc)
			for _, r := range ReadOwn(doc, v) {
				if first, twice := seen[r.ID]; twice && first.File != r.At.File {
					thereTwice(doc, r, first)
				}
				seen[r.ID] = r.At
				own = append(own, r)
			}
		}
	}
	return engine.WithoutReplaced(slices.Concat(own, all)), docs
}

// ReadOwn takes a person's own rule file apart: no rule may have the id of a
// shipped one unless it replaces it. Problems are left in the doc.
func ReadOwn(doc *file.Doc, v *engine.Vocabulary) []*engine.Rule {
	own := Read(doc, v, AtOnce)
	for _, r := range own {
		r.Own = true
		checkTaken(doc, r)
	}
	return own
}

// Clashes finds a person's own rules that have the id of one of a recipe's own,
// which does not stand in for it.
func Clashes(cautions, shared []*engine.Rule) diag.List {
	var found diag.List
	for _, r := range shared {
		i := slices.IndexFunc(cautions, func(c *engine.Rule) bool { return r.Own && c.ID == r.ID && c.Replaces != r.ID })
		if i >= 0 {
			found = append(found, diag.Diagnostic{Severity: diag.Error, Code: ruleTwice, Range: r.At,
				Summary: "the garment type has a rule `" + r.ID + "` too", Hint: "that stands at " + cautions[i].At.String() + ": give this one another id"})
		}
	}
	return found
}

func thereTwice(doc *file.Doc, r *engine.Rule, first diag.Range) {
	doc.Problem(r.At, ruleTwice, "the rule `"+r.ID+"` is there twice", "it stands at "+first.String()+" already: give one of them another id")
}

// checkTaken finds a rule with the id of a shipped one that it does not replace.
func checkTaken(doc *file.Doc, r *engine.Rule) {
	if r.Replaces != r.ID && shippedRule(r.ID) {
		doc.Problem(r.At, ruleTwice, "a rule `"+r.ID+"` is shipped already", "give this one another id, or write `replaces: "+r.ID+"` if it is to stand in for that")
	}
}

func shippedRule(id string) bool {
	return slices.ContainsFunc(shipped, func(r engine.Rule) bool { return r.ID == id })
}

// replaced reads the id of the shipped rule that another stands in for.
func replaced(v file.Value) string {
	id := v.Text()
	if !v.IsText() || shippedRule(id) {
		return id
	}
	known := make([]string, len(shipped))
	for i, r := range shipped {
		known[i] = r.ID
	}
	v.Problem(ReplacesNothing, "no shipped rule is called `"+id+"`", diag.DidYouMean(id, known, "`advisor rule list` names them all"))
	return id
}
