package page

import (
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// garmentFields are those of a kept garment: what it is, what it measures and how it feels at each level of its type.
func (f *form) garmentFields() []field {
	kind := recipeField(f.types)
	kind.ID, kind.Label = "kept_recipe", "Its type"
	fields := []field{
		{ID: "kept_name", Label: "What you call it", path: []string{"name"}},
		kind,
		{ID: "kept_structure", Label: "Woven or knit", Choices: said("woven", "knit"), path: []string{"cloth", "structure"}},
		{ID: "kept_across", Label: "Its stretch across", path: []string{"cloth", "stretch", "across"}, gauge: true},
		{ID: "kept_units", Label: "Figures are", Choices: unitChoices, path: []string{"units"}},
	}
	at := slices.IndexFunc(f.types, func(r *engine.Recipe) bool { return r.Name == f.get("kept_recipe") })
	if at < 0 {
		return fields
	}
	feels := []choice{{"", "not said"}, {string(engine.Tight), string(engine.Tight)}, {string(engine.Right), string(engine.Right)}, {string(engine.Roomy), string(engine.Roomy)}}
	var seen []string
	for i := range f.types[at].Zones {
		name := f.types[at].Zones[i].Measure
		m := f.files.Voc.Measure(name)
		if m == nil || m.Kind == engine.Angle || slices.Contains(seen, name) {
			continue
		}
		seen = append(seen, name)
		fields = append(fields,
			field{ID: "kept_m_" + name, Label: capital(m.Title) + " measures", How: "All round, as in 78 cm; or from edge to edge, as in 52 cm flat: washed, closed and not stretched.", path: []string{"measurements", name}, flat: true},
			field{ID: "kept_feels_" + name, Label: capital(m.Title) + " feels", Choices: feels, path: []string{"feels", name}})
	}
	return fields
}

// readKept reads the kept garment that is open in the form, and goes by it too.
func (f *form) readKept() {
	f.kept = f.open("garment")
	fields := f.garmentFields()
	if !f.lay(&f.kept, fields) || f.kept.was != nil && slices.Contains(f.values["like"], f.kept.name) {
		return
	}
	doc := f.kept.doc
	if f.request.Body != nil && !at(doc, []string{"worn_by"}).Exists() {
		f.kept.doc = wornBy(doc, f.request.Body.Name, f.request.Today)
	}
	g, _ := recipes.ReadGarment(f.kept.doc, f.files.Voc, f.folder(&f.kept))
	if !f.problems("garment", f.kept.doc, fields) || g == nil {
		return
	}
	if _, err := f.files.Library.TypeOf(g, f.recipe, f.files.Voc); err != nil {
		f.wrong("kept_recipe", err)
		return
	}
	f.request.Kept = append(f.request.Kept, g)
}

// wornBy says whose body a garment was judged on, and when it was measured.
func wornBy(doc *file.Doc, name, today string) *file.Doc {
	written, err := file.Plain(name)
	if err != nil || name == "" {
		return doc
	}
	for _, edit := range [][]string{{today, "measured"}, {written, "worn_by", "name"}, {today, "worn_by", "taken"}} {
		text, err := doc.Set(edit[0], edit[1:]...)
		if err != nil {
			return doc
		}
		doc = file.Open(doc.Name(), text)
	}
	return doc
}

// flat lays out how the pieces that are typed add up.
func (v *answer) flat(f *form) error {
	text, typed := f.tables["pieces.yaml"]
	if !typed {
		return nil
	}
	doc := file.Open("pieces.yaml", text)
	pieces, _, _ := recipes.ReadPieces(doc, f.files.Voc, nil)
	if pieces == nil || doc.Problems().HasErrors() {
		return nil // which is told at the field
	}
	a := engine.LayFlat(engine.FlatRequest{Pieces: pieces, Pattern: f.pattern, Body: f.request.Body, Vocabulary: f.files.Voc, Units: f.units()})
	body, err := fragment(report.Flat(a, "").Blocks...)
	v.Parts = append(v.Parts, part{"part-pieces", "The pieces laid flat", body})
	return err
}
