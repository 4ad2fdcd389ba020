package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// WhyNot says why a size was not chosen, and what single change would make it
// win. Each change has been tried: with it the size wins.
type WhyNot struct {
	Size     string    `json:"size"`      // the one asked about
	Best     string    `json:"best"`      // the best one; empty: no size can be cut as it is
	Chosen   bool      `json:"chosen"`    // whether it is the best itself
	Feels    []Feel    `json:"feels"`     // what it would feel like, zone by zone
	RuledOut []Caution `json:"ruled_out"` // the rules that rule it out
	Wins     []Win     `json:"wins"`      // the changes with which it wins, each by itself
}

// Feel is what a zone of the size would feel like beside the best.
type Feel struct {
	Zone string `json:"zone"` // the zone's name
	Say  string `json:"say"`  // in words
}

// Win is one change with which the size wins.
type Win struct {
	With string `json:"with"` // the change, as --with takes it
	Say  string `json:"say"`  // in words
}

// AskWhyNot asks why a size was not chosen.
func AskWhyNot(q Request, size string) (*WhyNot, error) {
	q.Observed = nil // a toile settles the size, whatever else is so
	f, err := Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		return nil, err
	}
	s := slices.Index(f.sizes, size)
	if s < 0 {
		return nil, &SizeError{size, f.sizes}
	}
	j, err := f.judge(q.Fitting)
	if err != nil {
		return nil, err
	}
	best, err := f.Rank(q.Fitting)
	if err != nil {
		return nil, err
	}
	w := &WhyNot{Size: size, Best: best.Best, Chosen: best.Best == size, Feels: j.feels(s, slices.Index(f.sizes, best.Best)), RuledOut: []Caution{}, Wins: []Win{}}
	h := &ruleResults{}
	if err := j.applyRules(h, s, &j.stops); err != nil {
		return nil, err
	}
	j.sortResults(h)
	for i := range h.fired {
		c, err := j.explainer().caution(&h.fired[i])
		if err != nil {
			return nil, err
		}
		w.RuledOut = append(w.RuledOut, c)
	}
	if !w.Chosen {
		w.Wins = (&search{q: q, f: f, j: j, s: s, size: size}).wins()
	}
	return w, nil
}

// feels says zone by zone what a size would be like, beside the best.
func (j *judging) feels(s, best int) []Feel {
	out := []Feel{}
	for z, c := range j.zones {
		r := j.fitted(z, s)
		if !r.judged || !c.zone.eased() {
			continue
		}
		percent := c.zone.percent()
		say := fmt.Sprintf("%s of ease where %s is wanted: %s", j.ease(r.ease, percent), j.ease(r.wanted, percent), j.verdict(c, r))
		if best >= 0 && best != s {
			if b := j.fitted(z, best); b.judged {
				say += fmt.Sprintf("; size %s has %s", j.sizes[best], j.ease(b.ease, percent))
			}
		}
		out = append(out, Feel{c.zone.Name, say})
	}
	return out
}

// search looks for single changes that make a size win.
type search struct {
	q    Request
	f    *Fitter
	j    *judging
	s    int
	size string
}

func (x *search) wins() []Win {
	out := []Win{}
	for _, m := range x.deciding() {
		out = append(out, x.byBody(m)...)
	}
	for z, c := range x.f.zones {
		if w, ok := x.byEase(z); ok && c.decides {
			out = append(out, w)
		}
	}
	out = append(out, x.byWord()...)
	out = append(out, x.byStretch()...)
	return append(out, x.byOpening()...)
}

// won asks again with the change: does the size win now?
func (x *search) won(c Change) bool {
	r, ok := x.ranked(c)
	return ok && r.Best == x.size
}

// ranked asks again with the change.
func (x *search) ranked(c Change) (Ranking, bool) {
	q, err := x.q.With(c)
	if err != nil {
		return Ranking{}, false
	}
	f := x.f
	if q.Pattern != x.q.Pattern {
		if f, err = Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary); err != nil {
			return Ranking{}, false
		}
	}
	r, err := f.Rank(q.Fitting)
	return r, err == nil
}

// deciding lists the measurements that the ranking rests on.
func (x *search) deciding() []*Measure {
	var out []*Measure
	add := func(m *Measure) {
		if !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	for _, c := range x.f.zones {
		if !c.decides || !x.j.at(c, x.s).known {
			continue
		}
		if upper := x.j.upper; c.standIn && x.j.upperBust().known && x.j.cup(x.s).known {
			add(upper)
			continue
		}
		_, from := x.j.of(c.measure)
		add(from)
	}
	if x.f.chartCups != nil && x.j.body[x.j.bust.index].known {
		add(x.j.bust)
	}
	return out
}

// typed is a length on the grid as --with takes it.
func (x *search) typed(l quantity.Length) string {
	u := x.q.Units
	if u == "" {
		u = quantity.Cm
	}
	return strings.TrimSuffix(l.Exact(u), " "+string(u)) + string(u)
}

// byBody looks for the nearest body measurement, either way, at which the size wins.
func (x *search) byBody(m *Measure) []Win {
	var out []Win
	now := quantity.Length(x.j.body[m.index].v)
	step := words{x.q.Units}.grid()
	for _, way := range []quantity.Length{-1, 1} {
		at := now / step * step
		for ; at > step && (at-now)*way <= x.j.voc.Limits.SearchCm; at += way * step {
			c := Change{m.Name, x.typed(at)}
			if (at-now)*way > 0 && x.won(c) {
				out = append(out, Win{c.String(), fmt.Sprintf("if your %s were %s instead of %s", m.Title, at.Format(x.q.Units), now.Format(x.q.Units))})
				break
			}
		}
	}
	return out
}

// byEase looks for the wanted ease nearest to the one now at which the size wins.
func (x *search) byEase(z int) (Win, bool) {
	c, r := x.f.zones[z], x.j.fitted(z, x.s)
	if !r.judged || c.zone.By == ByChart {
		return Win{}, false
	}
	if c.zone.percent() {
		return x.byShare(c, r)
	}
	step := float64(words{x.q.Units}.grid())
	way := math.Copysign(1, r.ease-r.wanted)
	for n := math.Round(r.wanted / step); (n*step-r.ease)*way <= step; n += way {
		ease := quantity.Length(n * step)
		change := Change{"ease", c.zone.Name + "=" + x.typed(ease)}
		if x.won(change) {
			return Win{change.String(), fmt.Sprintf("if you wanted %s of %s at the %s instead of %s", ease.Format(x.q.Units), c.zone.wants(), zoneTitle(c.zone), x.j.inUnits(r.wanted))}, true
		}
	}
	return Win{}, false
}

func (x *search) byShare(c *column, r *zoneFit) (Win, bool) {
	way := math.Copysign(1, r.ease-r.wanted)
	for n := math.Round(r.wanted * 2); (n/2-r.ease)*way <= 1; n += way {
		ease := quantity.FormatPercent(n / 2)
		change := Change{"ease", c.zone.Name + "=" + strings.ReplaceAll(ease, " ", "")}
		if x.won(change) {
			return Win{change.String(), fmt.Sprintf("if you wanted %s of ease at the %s instead of %s", ease, zoneTitle(c.zone), x.j.Percent(r.wanted))}, true
		}
	}
	return Win{}, false
}

// byWord tries the wishes that are one word.
func (x *search) byWord() []Win {
	var out []Win
	for _, w := range WishWords {
		c := Change{"ease", string(w.Word)}
		if x.won(c) {
			out = append(out, Win{c.String(), fmt.Sprintf("if you wanted it %s: %s", w.Word, w.Wants)})
		}
	}
	return out
}

// byStretch looks for the least stretch with which the size wins.
func (x *search) byStretch() []Win {
	for _, t := range x.stretches() {
		if x.won(t.change) {
			return []Win{{t.change.String(), t.say}}
		}
	}
	return nil
}

// byOpening tries to cut each opening just wide enough.
func (x *search) byOpening() []Win {
	var out []Win
	openings := x.j.openings(x.s)
	for i := range openings {
		if t, ok := x.widened(&openings[i]); ok && x.won(t.change) {
			out = append(out, Win{t.change.String(), t.say})
		}
	}
	return out
}
