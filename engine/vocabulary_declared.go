package engine

import (
	"cmp"
	"maps"
	"slices"

	"fitadvisor/engine/quantity"
)

// Declared tells whether a file declares the measurement; else it is shipped.
func (m *Measure) Declared() bool { return m.At.File != "" }

// Agrees tells whether another declaration says the same of a measurement, wherever it stands.
func (m *Measure) Agrees(other *Measure) bool {
	return m.Name == other.Name && m.Title == other.Title && m.Kind == other.Kind && m.Level == other.Level && m.How == other.How &&
		m.TapeError == other.TapeError && m.Least == other.Least && m.Most == other.Most && slices.Equal(m.Also, other.Also)
}

// Asked lists what anybody may be asked for, from the top down: without what only a garment type or a pattern declares.
func (v *Vocabulary) Asked() []string {
	return slices.DeleteFunc(v.BodyNames(), func(name string) bool { return v.measures[name].Of != "" })
}

// With is the vocabulary with measurements that files declare. What is known keeps its meaning, but for what the same
// garment type or pattern has declared before. It is the vocabulary itself where there is nothing to add.
func (v *Vocabulary) With(declared ...Measure) *Vocabulary {
	news := func(m Measure) bool {
		known := v.measures[m.Name]
		return known == nil || known.Declared() && known.Of != "" && known.Of == m.Of && (known.At != m.At || !known.Agrees(&m))
	}
	if v == nil || !slices.ContainsFunc(declared, news) {
		return v
	}
	all := map[string]Measure{}
	for name, m := range v.measures {
		all[name] = *m
	}
	for _, m := range declared {
		if news(m) {
			all[m.Name] = m
		}
	}
	out := NewVocabulary(slices.Collect(maps.Values(all)), v.Limits)
	out.ChildSizes, out.Sleepwear, out.Proportions, out.Hems, out.Populations, out.Synonyms = v.ChildSizes, v.Sleepwear, v.Proportions, v.Hems, v.Populations, v.Synonyms
	return out
}

// Placed gives a declared measurement its place at the level of another one, with what is known of that level: the
// limb, the seams, the height in drawings, how far readings lie apart. Without a level it comes last, in no drawing,
// and is taken to be as hard to read as the hardest of its kind.
func (v *Vocabulary) Placed(m Measure, level string) Measure {
	var last int
	var hardest quantity.Length
	for _, other := range v.measures {
		if other.Declared() {
			continue
		}
		last = max(last, other.Level)
		if other.Kind == m.Kind {
			hardest = max(hardest, other.TapeError)
		}
	}
	m.By = level
	at := v.measures[level]
	switch {
	case at == nil:
		m.Level = last + 1
	case m.Kind == at.Kind || m.Kind == Garment:
		m.Edges, m.Height = at.Edges, at.Height
		m.TapeError = cmp.Or(m.TapeError, at.TapeError)
		fallthrough
	default:
		m.Level, m.Limb, m.Pair = at.Level, at.Limb, at.Pair
	}
	m.TapeError = cmp.Or(m.TapeError, hardest)
	return m
}

// Means are the measurements that a word may mean: by its name, its title or another word for it.
func (v *Vocabulary) Means(word string) []string {
	key, _ := compared(word)
	return v.sayings(false).means[key]
}

// SaysOfItself tells whether expressions or files have a meaning of their own for a name, as for body.shoulder_drop
// and the `cup` of a drafted body, so that no measurement can be called so.
func (v *Vocabulary) SaysOfItself(name string) bool {
	of := func(group string) bool {
		_, fixed := v.fixed()[group+"."+name]
		return fixed
	}
	return slices.Contains([]string{"cup", "stretch", "file"}, name) || slices.ContainsFunc(measureGroups, of)
}

// For is the vocabulary of a question: with what its pattern and its garment type declare.
func (v *Vocabulary) For(p *Pattern, r *Recipe) *Vocabulary {
	if r != nil {
		v = v.With(r.Measurements...)
	}
	if p != nil {
		v = v.With(p.Measurements...)
	}
	return v
}
