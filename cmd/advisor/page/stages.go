package page

import (
	"slices"
	"strings"

	"fitadvisor/engine"
)

// stage is one of the screens of the page, one after the other.
type stage struct {
	ID, Title, Next string
	Now, Done       bool
	Says            string // what is filled in, in few words
}

// stageIDs are the screens in order; what is said besides comes last and stands in no row.
var stageIDs = []string{"body", "pattern", "cloth", "answer", "more"}

// at is the screen that is shown: the one that was asked for, else the first on which something is still missing.
func (f *form) at(a *answer) string {
	for _, asked := range []string{f.get("go"), f.get("at")} {
		if slices.Contains(stageIDs, asked) {
			return asked
		}
	}
	switch {
	case a != nil:
		return "answer"
	case f.request.Body == nil && f.recipe != nil:
		return "body"
	case f.request.Pattern == nil || f.recipe == nil:
		return "pattern"
	}
	return "body"
}

// stages are the screens with what is filled in on each.
func (f *form) stages(now string) []stage {
	all := []stage{
		{ID: "body", Title: "You", Next: "pattern", Done: f.request.Body != nil},
		{ID: "pattern", Title: "Pattern", Next: "cloth", Done: f.request.Pattern != nil && f.recipe != nil},
		{ID: "cloth", Title: "Cloth", Next: "answer", Done: f.request.Cloth != nil},
		{ID: "answer", Title: "Answer"},
	}
	if b := f.request.Body; b != nil && b.Name != "you" {
		all[0].Says = b.Name
	}
	if f.request.Cloth != nil {
		all[2].Says = f.request.Cloth.Name
	}
	for i := range all {
		all[i].Now = all[i].ID == now
	}
	return all
}

// asked are the measurements of a body as they are asked for.
type asked struct {
	First   []typed // what decides, and of the rest what there is room for
	Lengths []typed
	Others  []typed
	Filled  bool // whether one of the others is filled in, or marked
}

// mostFirst is how many measurements are asked for at once.
const mostFirst = 4

// ask lays out the measurements: what decides first, then what is judged too, then lengths, then the rest.
func (f *form) askFor(n notes) asked {
	var a asked
	fieldOf := func(name string) typed {
		fd := measureField(f.files.Voc.Measure(name))
		return typed{fd, f.values.Get(fd.ID), n[fd.ID], false}
	}
	groups := [][]string{{"bust", "waist", "hip"}, nil, nil}
	if f.recipe != nil {
		groups = f.recipe.Asks(f.files.Voc, f.s.Rules())
	}
	var done []string
	for _, name := range groups[0] {
		done, a.First = append(done, name), append(a.First, fieldOf(name))
	}
	for _, name := range groups[2] {
		if len(a.First) < mostFirst && f.files.Voc.Measure(name).Kind == engine.Girth && f.judged(name) {
			done, a.First = append(done, name), append(a.First, fieldOf(name))
		}
	}
	for _, name := range groups[1] {
		done, a.Lengths = append(done, name), append(a.Lengths, fieldOf(name))
	}
	for _, fd := range f.hem() {
		a.Lengths = append(a.Lengths, typed{fd, f.values.Get(fd.ID), n[fd.ID], false})
	}
	for _, name := range slices.Concat(groups[2], f.files.Voc.BodyNames()) {
		asked := slices.Contains(groups[2], name) || f.files.Voc.Measure(name).Of == "" || fieldOf(name).Value != ""
		if asked && !slices.Contains(done, name) {
			done, a.Others = append(done, name), append(a.Others, fieldOf(name))
		}
	}
	a.Filled = slices.ContainsFunc(a.Others, typed.Wrong)
	return a
}

// judged tells whether a measurement is that of a zone that is judged.
func (f *form) judged(name string) bool {
	return f.recipe == nil || slices.ContainsFunc(f.recipe.Zones, func(z engine.Zone) bool { return z.Measure == name && !strings.HasSuffix(name, "_open") })
}

// wanting is what an answer still wants, in words.
func (f *form) wanting() string {
	var all []string
	if f.recipe == nil {
		all = append(all, "the type of garment")
	}
	if f.request.Body == nil {
		what := "your measurements"
		if f.recipe != nil {
			if asks := f.recipe.Asks(f.files.Voc, f.s.Rules())[0]; len(asks) > 0 {
				what = "your " + f.files.Voc.Title(asks[len(asks)-1])
			}
		}
		all = append(all, what)
	}
	if f.request.Pattern == nil {
		all = append(all, "the size chart")
	}
	if len(all) == 0 {
		return ""
	}
	if last := len(all) - 1; last > 0 {
		return strings.Join(all[:last], ", ") + " and " + all[last] + " are still missing."
	}
	return all[0] + verb(all[0]) + " still missing."
}

func verb(what string) string {
	if strings.HasSuffix(what, "measurements") {
		return " are"
	}
	return " is"
}
