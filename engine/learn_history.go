package engine

import (
	"cmp"
	"slices"
	"time"
)

// History is what is known of one body's measurements over the years.
type History struct {
	Body         string            `json:"body"`         // whose they are
	Measurements []MeasureHistory  `json:"measurements"` // from the top of the body down
	Again        string            `json:"again"`        // the day from which to measure again; empty where no day is known
	Days         int               `json:"days"`         // for how many days measurements hold
	Overdue      bool              `json:"overdue"`      // whether that day has come
	Titles       map[string]string `json:"-"`            // of the measurements, in a sentence
	Child        bool              `json:"child"`        // whether they are a child's, who grows
}

// MeasureHistory is one measurement, the newest taking first.
type MeasureHistory struct {
	Measurement string `json:"measurement"` // its name
	Takings     []Past `json:"takings"`
	Again       string `json:"again"` // the day from which to measure it again; empty where the last day is not known
}

// Past is one measurement as it was on a day.
type Past struct {
	Taken  string   `json:"taken"`            // YYYY-MM-DD, empty where not said
	Value  float64  `json:"value"`            // in cm; of an angle in degrees
	Change *float64 `json:"change,omitempty"` // from the taking before it
	Angle  bool     `json:"-"`
}

// HistoryOf lays out a body's measurements with their changes, and says when to measure again, judged by today.
func HistoryOf(b *Body, v *Vocabulary, today string) *History {
	h := &History{Body: b.Name, Measurements: []MeasureHistory{}, Days: v.Limits.AgeAdult, Titles: map[string]string{}}
	if b.Age != nil && *b.Age < v.Limits.AdultAge {
		h.Child, h.Days = true, v.Limits.AgeChild
	}
	for _, name := range v.BodyNames() {
		takings := b.pasts(name, v.measures[name].Kind == Angle)
		if len(takings) == 0 {
			continue
		}
		m := MeasureHistory{Measurement: name, Takings: takings}
		if _, now := b.Measurements[name]; now {
			m.Again = daysAfter(takings[0].Taken, h.Days)
		}
		if m.Again != "" && (h.Again == "" || m.Again < h.Again) {
			h.Again = m.Again
		}
		h.Titles[name] = v.Title(name)
		h.Measurements = append(h.Measurements, m)
	}
	h.Overdue = h.Again != "" && today >= h.Again
	return h
}

// pasts are the takings of a measurement, the newest first, those without a day last.
func (b *Body) pasts(name string, angle bool) []Past {
	var out []Past
	add := func(all map[string]Measurement, taken string) {
		t, ok := all[name]
		switch {
		case ok && angle:
			out = append(out, Past{Taken: taken, Value: roundTo(t.Degrees, 1000), Angle: true})
		case ok && t.value() > 0:
			out = append(out, Past{Taken: taken, Value: roundTo(t.value().Cm(), 1000)})
		}
	}
	add(b.Measurements, b.TakenOn(name))
	for _, e := range b.Earlier {
		add(e.Measurements, e.Taken)
	}
	slices.SortStableFunc(out, func(a, b Past) int { return cmp.Compare(b.Taken, a.Taken) })
	for i := range out[:max(0, len(out)-1)] {
		change := roundTo(out[i].Value-out[i+1].Value, 1000)
		out[i].Change = &change
	}
	return out
}

func daysAfter(day string, days int) string {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return ""
	}
	return t.AddDate(0, 0, days).Format(time.DateOnly)
}

// Wants are the measurements of a body that a garment type can use, in the order in
// which they are best taken: those of [Recipe.Asks], one group after the other.
func (r *Recipe) Wants(v *Vocabulary, rules []*Rule) []string {
	return slices.Concat(r.Asks(v, rules)...)
}

// Asks are the measurements of a body that a garment type can use, in three groups:
// what decides the size, the lengths that it is altered by with the height, and the
// rest of what it is judged by or has to get in; each from the top of the body down.
func (r *Recipe) Asks(v *Vocabulary, rules []*Rule) [][]string {
	v = v.For(nil, r)
	deciding, rest := r.Controlling.named(v), []string{}
	if r.HangsFrom == FromShoulder {
		deciding = append(deciding, "upper_bust")
	}
	for i := range r.Zones {
		if z := &r.Zones[i]; z.Role == Decides {
			deciding = append(deciding, z.Measure)
		} else {
			rest = append(rest, z.Measure)
		}
	}
	for _, o := range r.Openings {
		for _, alternative := range o.Passes {
			rest = append(rest, alternative...)
		}
	}
	lengths := r.lengths(rules)
	if len(lengths) > 0 {
		lengths = append(lengths, "height")
	}
	var asked []string
	groups := make([][]string, 3)
	for i, names := range [][]string{deciding, lengths, rest} {
		for _, name := range v.BodyNames() {
			if slices.Contains(names, name) && !slices.Contains(asked, name) {
				asked, groups[i] = append(asked, name), append(groups[i], name)
			}
		}
	}
	return groups
}

// Printed is a measurement that a pattern of a type should print of the garment, and why.
type Printed struct{ Measure, Because string }

// Prints are the finished measurements that a pattern of a garment type should print,
// in the order of use: what decides the size, what lets the body in, what is mended,
// and how long the garment is.
func (r *Recipe) Prints(v *Vocabulary) []Printed {
	v = v.For(nil, r)
	var all []Printed
	add := func(measure, because string) {
		if v.Measure(measure) != nil && !slices.ContainsFunc(all, func(p Printed) bool { return p.Measure == measure }) {
			all = append(all, Printed{measure, because})
		}
	}
	zones := func(role Role, kinds []Kind, because string) {
		for i := range r.Zones {
			z := &r.Zones[i]
			if z.Role == role && z.eased() && (z.Ease != nil || role == Mended) && slices.Contains(kinds, v.Measure(z.Measure).Kind) {
				add(z.finishedRow(), because)
			}
		}
	}
	girths, lengths := []Kind{Girth, Across}, []Kind{Along}
	zones(Decides, girths, "it decides the size")
	for i := range r.Openings {
		o := &r.Openings[i]
		for _, row := range o.wants() {
			add(row, "the "+o.Name+" opens there")
		}
		if o.Closure != nil && o.Closure.ReachRow != "" {
			add(o.Closure.ReachRow, "so far down it opens")
		}
	}
	zones(Mended, girths, "it is mended, and by how much has to be known")
	for _, role := range []Role{Decides, Mended, Held} {
		zones(role, lengths, "your own length is compared with it")
	}
	return all
}

// lengths are the lengths of the body that a garment type is altered by.
func (r *Recipe) lengths(rules []*Rule) []string {
	var names []string
	for _, rule := range rules {
		if a := rule.Alter; a != nil && a.lengthens() && a.fits(r) {
			names = append(names, a.Zone)
		}
	}
	return names
}
