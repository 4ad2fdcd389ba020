package engine

import (
	"slices"
	"strings"
	"unicode"

	"fitadvisor/explain/diag"
)

// Synonym is a word that people use for a measurement or a garment type: one that
// means a single one is read as that, of one with several meanings it is asked
// which is meant.
type Synonym struct {
	Word   string
	Means  []string
	Type   bool // of a garment, not a measurement
	Source string
}

// sayings are words as they are compared with one another, and what each means.
type sayings struct {
	means   map[string][]string // by how the word compares
	phrases []string            // as they are typed, for what is misspelt
	words   map[string]bool     // that the phrases are made of
}

func newSayings() sayings { return sayings{map[string][]string{}, nil, map[string]bool{}} }

func (s *sayings) add(phrase string, means ...string) {
	key, words := compared(phrase)
	if _, there := s.means[key]; !there {
		s.means[key] = means
		s.phrases = append(s.phrases, strings.Join(words, " "))
	}
	for _, w := range words {
		s.words[w] = true
	}
}

var apostrophes = strings.NewReplacer("'", "", "’", "")

// compared is how a word compares with others, whatever its case, its plurals and
// what stands between its parts; and those parts.
func compared(phrase string) (key string, words []string) {
	phrase = apostrophes.Replace(strings.ToLower(phrase))
	words = strings.FieldsFunc(phrase, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for i, w := range words {
		words[i] = singular(w)
	}
	return strings.Join(words, ""), words
}

// singular is a word without the ending of its plural.
func singular(w string) string {
	for _, ending := range []string{"sses", "shes", "ches", "xes"} {
		if strings.HasSuffix(w, ending) {
			return strings.TrimSuffix(w, "es")
		}
	}
	if len(w) > 3 && !strings.HasSuffix(w, "ss") {
		return strings.TrimSuffix(w, "s")
	}
	return w
}

// sayings are the words for measurements, or for garment types. They are made
// when a word is first met that is no name.
func (v *Vocabulary) sayings(types bool) *sayings {
	v.said.Do(func() {
		v.measureSayings, v.typeSayings = newSayings(), newSayings()
		for _, name := range v.names {
			v.measureSayings.add(name, name)
			v.measureSayings.add(v.measures[name].Title, name)
			for _, word := range v.measures[name].Also {
				v.measureSayings.add(word, name)
			}
		}
		for _, s := range v.Synonyms {
			if s.Type {
				v.typeSayings.add(s.Word, s.Means...)
			} else {
				v.measureSayings.add(s.Word, s.Means...)
			}
		}
	})
	if types {
		return &v.typeSayings
	}
	return &v.measureSayings
}

// Called is the measurement that people call by a word: its name, in any case and
// with whatever between its parts, or a synonym. False: none, or it may be several.
func (v *Vocabulary) Called(word string) (name string, ok bool) {
	if v.measures[word] != nil {
		return word, true
	}
	return v.sayings(false).called(word)
}

// OtherWords are the words that people have for a measurement and that mean no other.
func (v *Vocabulary) OtherWords(name string) []string {
	var words []string
	if m := v.measures[name]; m != nil {
		words = slices.Clone(m.Also)
	}
	for _, s := range v.Synonyms {
		if !s.Type && len(s.Means) == 1 && s.Means[0] == name {
			words = append(words, s.Word)
		}
	}
	return words
}

// TypeCalled is the garment type that people call by a word, of those that are
// known. False: none, or it may be several.
func (v *Vocabulary) TypeCalled(word string, known []string) (name string, ok bool) {
	if slices.Contains(known, word) {
		return word, true
	}
	key, _ := compared(word)
	for _, k := range known {
		if other, _ := compared(k); other == key {
			return k, true
		}
	}
	name, ok = v.sayings(true).called(word)
	return name, ok && slices.Contains(known, name)
}

func (s *sayings) called(word string) (string, bool) {
	key, _ := compared(word)
	if means := s.means[key]; len(means) == 1 {
		return means[0], true
	}
	return "", false
}

// DidYouMean asks after the measurement, of those that may be meant, that is nearest
// in meaning to a word; where none is near it says what is given instead.
func (v *Vocabulary) DidYouMean(word string, among []string, otherwise string) string {
	return v.sayings(false).didYouMean(word, among, otherwise)
}

// DidYouMeanType is DidYouMean for garment types.
func (v *Vocabulary) DidYouMeanType(word string, known []string, otherwise string) string {
	return v.sayings(true).didYouMean(word, known, diag.DidYouMean(word, known, otherwise))
}

// didYouMean looks for what a word may mean, then for what it may be a slip of. A
// part of it that is a word in its own right is none: `shoulder width` asks for a
// width, and is no slip of a girth.
func (s *sayings) didYouMean(word string, among []string, otherwise string) string {
	key, words := compared(word)
	may := func(means []string) []string {
		return slices.DeleteFunc(slices.Clone(means), func(m string) bool { return !slices.Contains(among, m) })
	}
	if means := may(s.means[key]); len(means) > 0 {
		return diag.Meant(means...)
	}
	var near []string
	for _, phrase := range s.phrases {
		parts := strings.Fields(phrase)
		other := slices.ContainsFunc(words, func(w string) bool { return s.words[w] && !slices.Contains(parts, w) })
		if !other && len(may(s.means[strings.Join(parts, "")])) > 0 {
			near = append(near, phrase)
		}
	}
	if phrase := diag.Near(strings.Join(words, " "), near); phrase != "" {
		return diag.Meant(may(s.means[strings.Join(strings.Fields(phrase), "")])...)
	}
	return otherwise
}
