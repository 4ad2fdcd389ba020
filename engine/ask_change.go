package engine

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// Change is one fact changed to see what would happen: "hip=104cm",
// "cloth.stretch.across=30%", "ease=closer", "finished.waist_open=104cm".
type Change struct{ Key, Value string }

// String is the change as it is typed.
func (c Change) String() string { return c.Key + "=" + c.Value }

// ParseChange splits a change at its first equals sign.
func ParseChange(text string) (Change, error) {
	key, value, ok := strings.Cut(text, "=")
	c := Change{strings.TrimSpace(key), strings.TrimSpace(value)}
	if !ok || c.Key == "" || c.Value == "" {
		return c, &ChangeError{Change: text, Problem: "it is no change", Mend: "write NAME=VALUE, as in hip=104cm or cloth.stretch.across=30%"}
	}
	return c, nil
}

// ChangeError is a change that cannot be made.
type ChangeError struct{ Change, Problem, Mend string }

func (e *ChangeError) Error() string { return fmt.Sprintf("cannot change %q: %s", e.Change, e.Problem) }

// Hint says how to mend it.
func (e *ChangeError) Hint() string { return e.Mend }

// With returns the request with the facts changed; the request itself stays as
// it is. Bare numbers are in the reader's units.
func (q Request) With(changes ...Change) (Request, error) {
	q.Vocabulary = q.Vocabulary.For(q.Pattern, q.Recipe)
	for _, c := range changes {
		var err error
		switch key, row := c.Key, ""; {
		case key == "ease":
			err = q.changeWish(c)
		case strings.HasPrefix(key, "cloth."):
			err = q.changeCloth(c)
		case strings.HasPrefix(key, "finished."):
			_, row, _ = strings.Cut(key, ".")
			err = q.changeFinished(c, row)
		default:
			err = q.changeBody(c, strings.TrimPrefix(key, "body."))
		}
		if err != nil {
			return q, err
		}
	}
	return q, nil
}

func (q *Request) changeWish(c Change) error {
	w, err := q.Vocabulary.Limits.ParseWish(c.Value, q.Units)
	if err != nil {
		return &ChangeError{c.String(), err.Error(), ""}
	}
	q.Wishes = append(slices.Clone(q.Wishes), w)
	return nil
}

func (q *Request) changeBody(c Change, word string) error {
	name, _ := q.Vocabulary.Called(word)
	m := q.Vocabulary.Measure(name)
	if m == nil || m.Kind == Garment || m.Kind == Angle {
		return &ChangeError{c.String(), "nothing is called `" + c.Key + "`", q.Vocabulary.DidYouMean(word, q.Vocabulary.BodyNames(),
			"there are cloth. (as in cloth.stretch.across), finished. (as in finished.waist_open), ease, and the measurements")}
	}
	l, err := quantity.ParseLength(c.Value, q.Units)
	if err != nil || l <= 0 {
		return lengthError(c, err)
	}
	if q.Wearer == nil {
		q.Wearer = q.Body // garments were worn by the body as it is
	}
	b := *q.Body
	b.Measurements = maps.Clone(b.Measurements)
	b.Measurements[name] = Measurement{Readings: []Reading{{Length: l, Text: c.Value}}, At: diag.Range{File: "--with " + c.String()}}
	q.Body = &b
	return q.notWithin(c, name)
}

// notWithin refuses what no body has, and what only fits the rest of this body in the other unit.
func (q *Request) notWithin(c Change, name string) error {
	var draft Draft
	if q.Recipe != nil {
		draft = q.Recipe.Draft
	}
	alone := &Body{Age: q.Body.Age, Units: q.Body.Units, Measurements: map[string]Measurement{name: q.Body.Measurements[name]}}
	for _, s := range slices.Concat(q.Vocabulary.Slips(q.Body, draft), q.Vocabulary.Slips(alone, draft)) {
		if s.Measure != name || s.Doubtful || s.With != "" && !s.Fits {
			continue
		}
		problem, mend := q.Vocabulary.SlipWords(s, q.Units)
		return &ChangeError{c.String(), problem, mend}
	}
	return nil
}

func lengthError(c Change, err error) error {
	if err == nil {
		return &ChangeError{c.String(), "a measurement is more than nothing", "as in hip=104cm"}
	}
	return &ChangeError{c.String(), err.Error(), "as in hip=104cm"}
}

func (q *Request) changeFinished(c Change, word string) error {
	row, ok := q.Vocabulary.Called(word)
	if !ok {
		return &ChangeError{c.String(), "no measurement is called `" + word + "`", q.Vocabulary.DidYouMean(word, q.Vocabulary.Words(), "as in finished.waist_open=104cm")}
	}
	l, err := quantity.ParseLength(c.Value, q.Units)
	if err != nil || l <= 0 {
		return lengthError(c, err)
	}
	p := *q.Pattern
	p.Finished = maps.Clone(p.Finished)
	cells := make(Row, len(p.Sizes))
	for i := range cells {
		cells[i] = Cell{Low: l, High: l, Known: true, Text: c.Value, At: diag.Range{File: "--with " + c.String()}}
	}
	p.Finished[row] = cells
	q.Pattern = &p
	return nil
}

// clothFields are the facts of a cloth that can be changed.
var clothFields = map[string]func(*Cloth, string, *Request) error{
	"structure": func(k *Cloth, v string, _ *Request) error {
		k.Structure = Structure(v)
		return oneOf(v, string(Woven), string(Knit))
	},
	"grain": func(k *Cloth, v string, _ *Request) error {
		k.Grain = Grain(v)
		return oneOf(v, string(Lengthwise), string(Crosswise), string(OnBias))
	},
	"prewashed": func(k *Cloth, v string, _ *Request) error {
		washed := v == "true"
		k.Prewashed = &washed
		return oneOf(v, "true", "false")
	},
	"thickness": func(k *Cloth, v string, q *Request) error {
		l, err := quantity.ParseLength(v, q.Units)
		if err == nil && l < 0 {
			return fmt.Errorf("a length is not below 0")
		}
		k.Thickness = &l
		return err
	},
	"stretch.across":   share((*Limits).CheckStretch, func(k *Cloth) **float64 { return &k.Across }),
	"stretch.along":    share((*Limits).CheckStretch, func(k *Cloth) **float64 { return &k.Along }),
	"stretch.bias":     share((*Limits).CheckStretch, func(k *Cloth) **float64 { return &k.Bias }),
	"recovery":         share((*Limits).CheckShare, func(k *Cloth) **float64 { return &k.Recovery }),
	"shrinkage.across": share((*Limits).CheckShare, func(k *Cloth) **float64 { return &k.ShrinkAcross }),
	"shrinkage.along":  share((*Limits).CheckShare, func(k *Cloth) **float64 { return &k.ShrinkAlong }),
}

func share(check func(*Limits, float64) error, field func(*Cloth) **float64) func(*Cloth, string, *Request) error {
	return func(k *Cloth, v string, q *Request) error {
		p, err := quantity.ParsePercent(v)
		if err != nil {
			return err
		}
		*field(k) = &p
		return check(&q.Vocabulary.Limits, p)
	}
}

// CheckStretch refuses what no cloth stretches.
func (l *Limits) CheckStretch(percent float64) error {
	if percent < 0 || percent > l.MostStretch {
		return fmt.Errorf("expected a stretch from 0 %% to %s", quantity.FormatPercent(l.MostStretch))
	}
	return nil
}

// CheckShare refuses what is no part of a whole.
func (*Limits) CheckShare(percent float64) error {
	if percent < 0 || percent > 100 {
		return fmt.Errorf("expected a share from 0 %% to 100 %%")
	}
	return nil
}

func oneOf(got string, words ...string) error {
	if slices.Contains(words, got) {
		return nil
	}
	return fmt.Errorf("it is %s, not %q", list(words, "or"), got)
}

func prefixed(prefix string, words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = prefix + w
	}
	return out
}

func (q *Request) changeCloth(c Change) error {
	name := strings.TrimPrefix(c.Key, "cloth.")
	set, ok := clothFields[name]
	if !ok {
		return &ChangeError{c.String(), "a cloth has no `" + name + "`", diag.Among(c.Key, prefixed("cloth.", slices.Sorted(maps.Keys(clothFields))))}
	}
	var k Cloth
	if q.Cloth != nil {
		k = *q.Cloth
	} else {
		k = assumedCloth(q.Recipe)
	}
	if err := set(&k, c.Value, q); err != nil {
		return &ChangeError{c.String(), err.Error(), "as in cloth.stretch.across=30%, cloth.grain=crosswise"}
	}
	if strings.HasPrefix(name, "stretch.") {
		k.StretchAt = diag.Range{File: "--with " + c.String()}
	}
	q.Cloth = &k
	return nil
}

// assumedCloth is a cloth such as the recipe asks for, to be changed.
func assumedCloth(r *Recipe) Cloth {
	k := Cloth{Name: "the cloth", Structure: Woven}
	if r.Stretch.Kind == StretchNeeded {
		k.Structure = Knit
	}
	if r.Stretch.Kind != NoStretch {
		k.Across, k.Along, k.StretchAt = &r.Stretch.Least, &r.Stretch.Least, r.Stretch.At
	}
	return k
}

// Move is one thing that a change moved.
type Move struct {
	What   string `json:"what"`   // what moved, in words
	Before string `json:"before"` // what it was
	After  string `json:"after"`  // what it is now
}

// Moved lists what is otherwise in the second answer, in a reader's words.
func Moved(before, after *Answer) []Move {
	var out []Move
	add := func(what, a, b string) {
		if a != b {
			out = append(out, Move{what, a, b})
		}
	}
	add("size to cut", recommendedSize(before), recommendedSize(after))
	add("chart size", before.ChartSize.Size, after.ChartSize.Size)
	add("misfit", misfitWords(before), misfitWords(after))
	w := words{after.Shown.Units}
	for _, z := range after.Sizes[0].Zones {
		old := zoneIn(before, after.Sizes[0].Size, z.Zone)
		name := fmt.Sprintf("%s, size %s", strings.ReplaceAll(z.Zone, "_", " "), after.Sizes[0].Size)
		if old == nil {
			add(name, "not judged", w.zoneEase(&z))
			continue
		}
		add(name+", body", w.Length(old.Body), w.Length(z.Body))
		add(name+", ease", w.zoneEase(old), w.zoneEase(&z))
		add(name+", wanted", w.zoneWanted(old), w.zoneWanted(&z))
		add(name+", verdict", string(old.Verdict), string(z.Verdict))
	}
	add("ruled out", ruledOut(before), ruledOut(after))
	gone, fresh := cautionIDs(before), cautionIDs(after)
	for _, id := range gone {
		if !slices.Contains(fresh, id) {
			add("caution "+id, "yes", "no")
		}
	}
	for _, id := range fresh {
		if !slices.Contains(gone, id) {
			add("caution "+id, "no", "yes")
		}
	}
	return out
}

func recommendedSize(a *Answer) string {
	if a.Recommended == nil {
		return "none"
	}
	return a.Recommended.Size
}

func misfitWords(a *Answer) string {
	if a.Recommended == nil || a.Recommended.Misfit == nil {
		return "-"
	}
	return pointsText(*a.Recommended.Misfit)
}

func zoneIn(a *Answer, size, zone string) *ZoneAnswer {
	for i := range a.Sizes {
		if a.Sizes[i].Size != size {
			continue
		}
		for k := range a.Sizes[i].Zones {
			if a.Sizes[i].Zones[k].Zone == zone {
				return &a.Sizes[i].Zones[k]
			}
		}
	}
	return nil
}

func (w words) zoneEase(z *ZoneAnswer) string   { return w.ofZone(z, z.Ease) }
func (w words) zoneWanted(z *ZoneAnswer) string { return w.ofZone(z, z.Wanted) }

func (w words) ofZone(z *ZoneAnswer, v *float64) string {
	switch {
	case v == nil:
		return "-"
	case z.Unit == InPercent:
		return w.Percent(*v)
	}
	return w.Length(*v)
}

func ruledOut(a *Answer) string {
	var sizes []string
	for _, label := range a.Shown.Sizes {
		for _, s := range a.Sizes {
			if s.Size == label && s.RuledOut {
				sizes = append(sizes, label)
			}
		}
	}
	if len(sizes) == 0 {
		return "none"
	}
	return strings.Join(sizes, ", ")
}

func cautionIDs(a *Answer) []string {
	var ids []string
	for _, c := range a.Cautions {
		if !slices.Contains(ids, c.ID) {
			ids = append(ids, c.ID)
		}
	}
	slices.Sort(ids)
	return ids
}
