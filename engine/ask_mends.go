package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// Mend is one change with which a caution falls silent. It has been tried: with it a size can be cut, and the rule does
// not speak on it.
type Mend struct {
	Caution string `json:"caution"` // the rule's id
	With    string `json:"with"`    // the change, as --with takes it
	Say     string `json:"say"`     // in words
	Size    string `json:"size"`    // the size to cut with it
}

// AskMends asks of each caution of an answer to the request which change alone silences it: another ease wanted, the cloth
// washed, turned, knitted or with more stretch, an opening cut wider. A caution that none of them silences has none.
func AskMends(q Request, a *Answer) ([]Mend, error) {
	q.Observed = nil // a toile settles the size, whatever else is so
	f, err := Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		return nil, err
	}
	j, err := f.judge(q.Fitting)
	if err != nil {
		return nil, err
	}
	defer j.giveBack()
	x := &search{q: q, f: f, j: j, s: slices.Index(f.sizes, a.Sizes[0].Size), size: a.Sizes[0].Size}
	out := []Mend{}
	rules := slices.Concat(q.Recipe.Rules, q.Rules)
	spoken := slices.DeleteFunc(cautionIDs(a), func(id string) bool { // what only a whole answer knows, a ranking cannot tell
		return slices.ContainsFunc(rules, func(r *Rule) bool { return r.ID == id && (r.Each == EachAlteration || r.planned()) })
	})
	for _, t := range x.tries() {
		r, ok := x.ranked(t.change)
		if !ok || r.Best == "" {
			continue
		}
		for _, id := range spoken {
			if !slices.Contains(r.Cautions, id) && !slices.ContainsFunc(out, func(m Mend) bool { return m.Caution == id && m.kind() == t.change.Key }) {
				out = append(out, Mend{id, t.change.String(), t.say, r.Best})
			}
		}
	}
	return out, nil
}

// planned tells whether a rule looks at the plan, which only a whole answer has.
func (r *Rule) planned() bool {
	when, err := r.When()
	return err == nil && slices.ContainsFunc(when.Names(), func(name string) bool {
		return name == "zone.line" || name == "zone.left" || strings.HasPrefix(name, "gained.")
	})
}

// kind is the fact that is changed.
func (m *Mend) kind() string {
	c, _ := ParseChange(m.With) // no error: it has been tried
	return c.Key
}

// try is a change with what it means.
type try struct {
	change Change
	say    string
}

// tries are the changes that a person can make happen, of each fact the smaller ones first.
func (x *search) tries() []try {
	var out []try
	if k := x.q.Cloth; k != nil {
		if k.Prewashed != nil && !*k.Prewashed {
			out = append(out, try{Change{"cloth.prewashed", "true"}, "if the cloth were washed first"})
		}
		for _, grain := range []Grain{Lengthwise, Crosswise} {
			if grain != k.Grain && (k.Grain != "" || grain != Lengthwise) {
				out = append(out, try{Change{"cloth.grain", string(grain)}, "if the pieces lay " + string(grain) + " on the cloth"})
			}
		}
	}
	for _, w := range WishWords {
		if w.Word != Liked || len(x.q.Kept) > 0 {
			out = append(out, try{Change{"ease", string(w.Word)}, fmt.Sprintf("if you wanted it %s: %s", w.Word, w.Wants)})
		}
	}
	out = append(out, x.stretches()...)
	openings := x.j.openings(x.s)
	for i := range openings {
		if t, ok := x.widened(&openings[i]); ok {
			out = append(out, t)
		}
	}
	return out
}

// stretches are cloths that stretch further round the body, in whole percent: the first, and each with which the best size or
// what is said of it differs from the one before. Cloths that are alike are looked at together, and those between only where
// the ends differ.
func (x *search) stretches() []try {
	key := acrossName
	if k := x.q.Cloth; k != nil && k.Grain == Crosswise {
		key = alongName
	} else if k != nil && k.Grain == OnBias {
		key = biasName
	}
	change := func(p float64) Change { return Change{key, fmt.Sprintf("%g%%", p)} }
	seen := map[float64]Ranking{}
	at := func(p float64) Ranking {
		if _, ok := seen[p]; !ok {
			seen[p], _ = x.ranked(change(p))
		}
		return seen[p]
	}
	var out []try
	add := func(p float64) {
		out = append(out, try{change(p), fmt.Sprintf("if the cloth stretched %s round the body", quantity.FormatPercent(p))})
	}
	var between func(low, high float64)
	between = func(low, high float64) {
		a, b := at(low), at(high)
		switch {
		case a.Best == b.Best && slices.Equal(a.Cautions, b.Cautions):
		case high-low <= 1:
			add(high)
		default:
			mid := math.Floor((low + high) / 2)
			between(low, mid)
			between(mid, high)
		}
	}
	first, last := math.Floor(x.j.cloth.round.v)+1, x.j.voc.Limits.SearchStretch
	if first <= last {
		add(first)
	}
	for p := first; p < last; p += x.j.voc.Limits.LikeStretch {
		between(p, min(p+x.j.voc.Limits.LikeStretch, last))
	}
	return out
}

// widened is an opening that is too narrow, cut just wide enough.
func (x *search) widened(fit *openingFit) (try, bool) {
	o := fit.o
	if fit.result != fails || o.Closure != nil {
		return try{}, false
	}
	flat := x.j.madeAt(o.Measure, x.s)
	wide := fit.needs.v * flat.v / fit.girth.v
	step := float64(words{x.q.Units}.grid())
	c := Change{"finished." + o.Measure, x.typed(quantity.Length(math.Ceil(wide/step) * step))}
	return try{c, fmt.Sprintf("if the %s at the %s were cut to %s instead of %s", fit.limit, o.Name, c.Value, x.j.inUnits(flat.v))}, true
}
