package engine

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// InvalidError is one thing wrong with a request that was filled by hand. What
// the readers of files return has none.
type InvalidError struct{ In, Problem string }

func (e *InvalidError) Error() string { return e.In + e.Problem }

var noBody = &InvalidError{"", "the request has no body"}

// faulty collects what is wrong.
type faulty struct {
	errs []error
	voc  *Vocabulary
}

func (f *faulty) add(in, format string, args ...any) {
	f.errs = append(f.errs, &InvalidError{in, fmt.Sprintf(format, args...)})
}

// Validate tells everything that is wrong with the request, joined, each an
// [*InvalidError]; nil where nothing is. [Advise] asks it first.
func (q *Request) Validate() error {
	f := &faulty{voc: q.Vocabulary.For(q.Pattern, q.Recipe)}
	if f.pattern(q.Pattern, q.Recipe, q.Rules); q.Vocabulary != nil {
		f.fitting(q.Fitting)
	}
	return errors.Join(f.errs...)
}

// validPattern is the part of [Request.Validate] that is known before there is a body.
func validPattern(p *Pattern, r *Recipe, rules []*Rule, v *Vocabulary) error {
	f := &faulty{voc: v}
	f.pattern(p, r, rules)
	return errors.Join(f.errs...)
}

func (f *faulty) pattern(p *Pattern, r *Recipe, rules []*Rule) {
	for _, part := range []struct {
		name    string
		missing bool
	}{{"vocabulary", f.voc == nil}, {"pattern", p == nil}, {"recipe", r == nil}} {
		if part.missing {
			f.add("", "the request has no %s", part.name)
		}
	}
	if len(f.errs) > 0 {
		return
	}
	f.sizes(p)
	f.recipe(r)
	for i, rule := range rules {
		switch {
		case rule == nil:
			f.add("", "rule %d of %d is missing", i+1, len(rules))
		case rule.When == nil:
			f.add("", "rule %s has no condition", rule.ID)
		}
	}
}

// wanted wants a known length, and a place to which it can reach.
func (f *faulty) wanted(all map[string]WantedLength) {
	for _, name := range slices.Sorted(maps.Keys(all)) {
		switch w := all[name]; {
		case !slices.Contains(f.voc.HemLengths(), name):
			f.add("body: ", "wanted %s is no length that can be asked for", name)
		case w.Place != "" && f.voc.hemPlace(name, w.Place) == nil:
			f.add("body: ", "wanted %s cannot end at %q; it can end at the %s", name, w.Place, list(f.voc.Places(name), "or the"))
		}
	}
}

func (f *faulty) sizes(p *Pattern) {
	const in = "pattern: "
	if len(p.Sizes) == 0 {
		f.add(in, "it has no sizes")
	}
	for i, size := range p.Sizes {
		switch {
		case size == "":
			f.add(in, "size %d of %d has no name", i+1, len(p.Sizes))
		case slices.Index(p.Sizes, size) < i:
			f.add(in, "size %s is there twice", size)
		}
	}
	f.rows(p, "chart row ", "chart ", p.Chart)
	f.rows(p, "finished row ", "finished ", p.Finished)
	f.laced(in, p.Lacing)
	f.rows(p, "drafted row ", "drafted ", p.DraftedFor)
	for i, need := range p.ClothNeeded {
		if len(need.Lengths) != len(p.Sizes) {
			f.add(in, "cloth needed, %d of %d, has %s for %s", i+1, len(p.ClothNeeded), CountOf(len(need.Lengths), "cell"), CountOf(len(p.Sizes), "size"))
		}
	}
}

func (f *faulty) rows(p *Pattern, aRow, aCell string, rows map[string]Row) {
	const in = "pattern: "
	for _, name := range slices.Sorted(maps.Keys(rows)) {
		if f.voc.Measure(name) == nil {
			f.add(in, "%s%s", aRow+name, f.unknown(name))
			continue
		}
		if len(rows[name]) != len(p.Sizes) {
			f.add(in, "%s has %s for %s", aRow+name, CountOf(len(rows[name]), "cell"), CountOf(len(p.Sizes), "size"))
			continue
		}
		for i, c := range rows[name] {
			size := p.Sizes[i]
			if size == "" {
				size = fmt.Sprintf("size %d", i+1)
			}
			switch {
			case !c.Known:
			case c.Low > c.High:
				f.add(in, "%s of %s is %s .. %s: its lower end is above its upper", aCell+name, size, p.unit(c.Low), p.unit(c.High))
			case c.Low <= 0 && f.voc.Measure(name).Kind != Angle:
				f.add(in, "%s of %s is %s: a measurement is more than nothing", aCell+name, size, p.unit(c.Low))
			}
		}
	}
}

func (p *Pattern) unit(l quantity.Length) string { return quantity.FormatCm(l.Cm(), p.Units) }

// unknown says that a name is no measurement, and which was meant.
func (f *faulty) unknown(name string) string {
	return strings.TrimSuffix(" is no measurement; "+f.voc.DidYouMean(name, f.voc.Words(), ""), "; ")
}

const inRecipe = "recipe: "

func (f *faulty) recipe(r *Recipe) {
	if len(r.Controlling.Names) == 0 && r.Controlling.Formula == nil {
		f.add(inRecipe, "no measurement picks the size")
	}
	for _, name := range r.Controlling.Names {
		f.named(name, "the size is picked by "+name)
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		f.named(z.Measure, fmt.Sprintf("zone %s is judged by %s,", z.Name, z.Measure))
		if z.Weight <= 0 {
			f.add(inRecipe, "zone %s weighs %v: give it more, or leave the zone out", z.Name, z.Weight)
		}
		if z.Run != nil {
			f.named(z.Run.Below, fmt.Sprintf("zone %s lies below %s,", z.Name, z.Run.Below))
		}
	}
	for i := range r.Openings {
		f.opening(&r.Openings[i])
	}
	for i, rule := range r.Rules {
		if rule == nil || rule.When == nil {
			f.add(inRecipe, "its rule %d of %d has no condition", i+1, len(r.Rules))
		}
	}
}

// opening may be without a row where it is closed; what it lets through has a name.
func (f *faulty) opening(o *Opening) {
	names := slices.DeleteFunc([]string{o.Measure, o.Elastic}, func(n string) bool { return n == "" })
	for _, passage := range o.Passes {
		names = append(names, passage...)
	}
	for _, name := range names {
		f.named(name, fmt.Sprintf("opening %s names %q,", o.Name, name))
	}
	f.laced(inRecipe, o.Closure)
}

// laced wants a gap that itself looks right.
func (f *faulty) laced(in string, c *Closure) {
	if c != nil && c.Lacing != nil && !c.Lacing.sound() {
		l := c.Lacing
		f.add(in, "a lacing is drawn with a gap of %s, which does not lie between %s and %s", l.Gap.Format(quantity.Cm), l.Least.Format(quantity.Cm), l.Most.Format(quantity.Cm))
	}
}

// named wants a measurement of the vocabulary where the recipe names one.
func (f *faulty) named(name, what string) {
	if f.voc.Measure(name) == nil {
		f.add(inRecipe, "%s which%s", what, f.unknown(name))
	}
}

func (f *faulty) fitting(t Fitting) {
	const in = "body: "
	if t.Body == nil {
		f.errs = append(f.errs, noBody)
		return
	}
	for _, name := range slices.Sorted(maps.Keys(t.Body.Measurements)) {
		m, taken := f.voc.Measure(name), t.Body.Measurements[name]
		readings := slices.Concat(taken.Readings, taken.Left, taken.Right)
		switch {
		case m == nil:
			f.add(in, "%s%s", name, f.unknown(name))
		case m.Kind == Angle:
		case len(readings) == 0:
			f.add(in, "%s has no reading: leave out what was not measured", name)
		default:
			for _, r := range readings {
				if r.Length <= 0 {
					f.add(in, "%s of %s: a measurement is more than nothing", name, quantity.FormatCm(r.Length.Cm(), t.Units))
				}
			}
		}
	}
	f.wanted(t.Body.Wanted)
	if c := t.Cloth; c != nil && c.Structure != Woven && c.Structure != Knit {
		f.add("cloth: ", "structure %s is neither woven nor knit", c.Structure)
	}
}
