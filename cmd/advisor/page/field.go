package page

import (
	"regexp"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// field is one field of the form: what it is called there, and where in a file it stands.
type field struct {
	ID, Label, How string
	Choices        []choice // none: it is typed
	path           []string
	list           bool // it may hold several readings, or those of left and right
	gauge          bool // it may be a length that stretches to another
	flat           bool // it may be measured from edge to edge
	Date           bool
	Measure        string // of the body; empty: none
}

type choice struct{ Value, Label string }

func said(values ...string) []choice {
	all := []choice{{"", "not said"}}
	for _, v := range values {
		all = append(all, choice{v, v})
	}
	return all
}

var unitChoices = []choice{{"cm", "cm"}, {"in", "inches"}}

// bodyFields are those of a body besides its measurements.
var bodyFields = []field{
	{ID: "name", Label: "Name", path: []string{"name"}},
	{ID: "taken", Label: "Measured on", Date: true, path: []string{"taken"}},
	{ID: "body_units", Label: "Figures are", Choices: unitChoices, path: []string{"units"}},
	{ID: "measured_over", Label: "Measured over", How: "What you wore, as in: everyday bra.", path: []string{"measured_over"}},
}

// measureField is the field of a measurement.
func measureField(m *engine.Measure) field {
	return field{ID: "m_" + m.Name, Measure: m.Name, Label: capital(m.Title), How: m.How, path: []string{"measurements", m.Name}, list: true}
}

// hemField is the field for where the hem is to end, of a garment with that length.
func hemField(length string, voc *engine.Vocabulary) field {
	places := voc.Places(length)
	how := "How long the garment is to be, or where it is to end, as in: at the " + places[0] + ", or 5 cm below the " + places[0] + ". There are " + strings.Join(places, ", ") + "."
	return field{ID: "hem", Label: "Where the hem is to end", How: how, path: []string{"wanted", length}}
}

// patternFields are those of a pattern besides its charts.
var patternFields = []field{
	{ID: "maker", Label: "Maker", path: []string{"maker"}},
	{ID: "pattern_name", Label: "Name of the pattern", path: []string{"name"}},
	{ID: "pattern_units", Label: "The chart is in", Choices: unitChoices, path: []string{"units"}},
}

func recipeField(all []*engine.Recipe) field {
	f := field{ID: "recipe", Label: "Type of garment", path: []string{"recipe"}, Choices: []choice{{"", "choose"}}}
	for _, r := range all {
		f.Choices = append(f.Choices, choice{r.Name, r.Title})
	}
	return f
}

var clothFields = []field{
	{ID: "cloth_name", Label: "Name of the cloth", path: []string{"name"}},
	{ID: "structure", Label: "Woven or knit", Choices: said("woven", "knit"), path: []string{"structure"}},
	{ID: "across", Label: "Stretch across", How: "In percent, or as pulled: 10 cm to 12.5 cm.", path: []string{"stretch", "across"}, gauge: true},
	{ID: "along", Label: "Stretch along", How: "The same, along the selvedge.", path: []string{"stretch", "along"}, gauge: true},
	{ID: "bias", Label: "Stretch on the bias", How: "The same, at 45 degrees: it counts where the pieces lie so.", path: []string{"stretch", "bias"}, gauge: true},
	{ID: "recovery", Label: "Recovery", How: "How much of the stretch it gives back, as in 90 %.", path: []string{"recovery"}},
	{ID: "thickness", Label: "Thickness", How: "As in 0.8 mm.", path: []string{"thickness"}},
	{ID: "shrink_across", Label: "Shrinks across", How: "Wash a square of it and measure again, as in 3 %.", path: []string{"shrinkage", "across"}},
	{ID: "shrink_along", Label: "Shrinks along", path: []string{"shrinkage", "along"}},
	{ID: "prewashed", Label: "Washed before", Choices: []choice{{"", "not said"}, {"true", "yes"}, {"false", "no"}}, path: []string{"prewashed"}},
	{ID: "grain", Label: "Grain", Choices: said("lengthwise", "crosswise", "bias"), path: []string{"grain"}},
	{ID: "drape", Label: "Drape", Choices: said("soft", "medium", "crisp"), path: []string{"drape"}},
}

// at finds what stands in a file at a path.
func at(doc *file.Doc, path []string) file.Value {
	v := doc.Root()
	for _, key := range path {
		if !v.IsMap() {
			return file.Value{}
		}
		v = v.Map().Get(key)
	}
	return v
}

// show is what a file has for the field, as it is typed.
func (f *field) show(doc *file.Doc) string {
	v := at(doc, f.path)
	switch {
	case v.IsText():
		return v.Text()
	case v.IsList():
		return listed(v)
	case v.IsMap() && f.list:
		return joined(sided("left", v), sided("right", v))
	case v.IsMap() && f.flat:
		return v.Map().Get("flat").Text() + " flat"
	case v.IsMap() && f.gauge:
		return v.Map().Get("from").Text() + " to " + v.Map().Get("to").Text()
	case v.Exists():
		return v.Written()
	}
	return ""
}

func listed(v file.Value) string {
	var items []string
	for _, item := range v.ItemsOrOne() {
		items = append(items, item.Text())
	}
	return strings.Join(items, "; ")
}

func sided(side string, v file.Value) string {
	one := v.Map().Get(side)
	if !one.Exists() {
		return ""
	}
	return side + " " + listed(one)
}

func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
}

// changed is the text of a file with the field as it is typed.
func (f *field) changed(doc *file.Doc, typed string) ([]byte, error) {
	if typed == "" {
		return doc.Remove(f.path...)
	}
	written, err := f.written(typed)
	if err != nil {
		return nil, err
	}
	return doc.Set(written, f.path...)
}

// written is what is typed as it stands in a file.
func (f *field) written(typed string) (string, error) {
	if from, to, ok := strings.Cut(typed, " to "); ok && f.gauge {
		return flow("{", []string{"from: ", "to: "}, []string{from, to}, "}")
	}
	if length, ok := strings.CutSuffix(typed, " flat"); ok && f.flat {
		return flow("{", []string{"flat: "}, []string{length}, "}")
	}
	sides := sideWords.FindAllStringIndex(typed, -1)
	if !f.list || len(sides) == 0 || sides[0][0] > 0 {
		return file.Plain(typed)
	}
	var keys, values []string
	for i, side := range sides {
		end := len(typed)
		if i+1 < len(sides) {
			end = sides[i+1][0]
		}
		keys = append(keys, strings.ToLower(strings.TrimSpace(typed[side[0]:side[1]]))+": ")
		values = append(values, strings.Trim(typed[side[1]:end], " ,;"))
	}
	return flow("{", keys, values, "}")
}

// sideWords are the words before the readings of a side.
var sideWords = regexp.MustCompile(`(?i)\b(left|right) `)

// flow writes values between brackets.
func flow(open string, keys, values []string, closing string) (string, error) {
	var parts []string
	for i, v := range values {
		v = strings.TrimSpace(v)
		if v == "" {
			continue
		}
		written, err := file.Plain(v)
		if err != nil {
			return "", err
		}
		if i < len(keys) {
			written = keys[i] + written
		}
		parts = append(parts, written)
	}
	return open + strings.Join(parts, ", ") + closing, nil
}

// chartFields are the tables of a pattern, which are pasted.
var chartFields = []chartField{
	{field{ID: "chart", Label: "Size chart", How: "the body each size is for.", path: []string{"body"}}, engine.OfBody},
	{field{ID: "finished", Label: "Finished garment measurements", How: "what the garment itself measures in each size, as far as the maker says. With them the answer is surer.", path: []string{"finished"}}, engine.OfFinished},
}

// piecesField is where the pieces are typed that the finished measurements are to come from.
var piecesField = field{ID: "pieces", Label: "Or pieces laid flat", How: "Where the maker gives no finished measurements: each piece from cut edge to cut edge, and what is sewn away. " +
	"The guide to pieces laid flat says how they are written down.", path: []string{"pieces"}}

type chartField struct {
	field
	part engine.Part
}

// show is the table as a spreadsheet copies it.
func (f *chartField) show(p *engine.Pattern, voc *engine.Vocabulary) string {
	rows, err := csvRows(recipes.WriteCSV(p, f.part, voc))
	if err != nil || len(rows) < 2 {
		return ""
	}
	lines := make([]string, len(rows))
	for i, row := range rows {
		if row[0] = voc.Title(row[0]); i == 0 {
			row[0] = "measurement"
		}
		lines[i] = strings.Join(row, "\t")
	}
	return strings.Join(lines, "\n")
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
