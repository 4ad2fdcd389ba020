package recipes

import (
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// ReadMake takes the file of a garment apart that was cut or sewn. Problems are left in the doc.
func ReadMake(doc *file.Doc, voc *engine.Vocabulary) *engine.Make {
	r := &reader{doc, voc}
	m := r.whole("sewn")
	if m == nil {
		return nil
	}
	m.Get("kind").OneOf("sewn", "make")
	k := &engine.Make{Name: m.Get("name").Text(), Maker: m.Get("maker").Text(), Wish: m.Get("wish").Text(), At: m.Range()}
	k.Made, _ = m.Get("made").Date()
	r.units(m.Get("units"))
	k.Pattern, k.Recipe, k.Size = m.Need("pattern").Text(), m.Need("recipe").Text(), m.Need("size").Text()
	r.madeFor(k, m.Need("body"))
	k.Ease = r.madeEase(m.Get("ease"))
	k.Finished = r.amounts(k, m.Get("finished"))
	k.Lines = r.texts(k, m.Get("lines"))
	k.Alterations = r.madeAlterations(m.Get("alterations"))
	r.outcome(k, m.Get("outcome"))
	if cloth := m.Get("cloth"); cloth.Exists() { // last, since it has units of its own
		k.Cloth = r.cloth(cloth.Map())
	}
	m.Close("the file of a sewn garment")
	return k
}

// UnknownMade finds what a make was altered by and no rule alters.
func UnknownMade(m *engine.Make, all ...[]*engine.Rule) diag.List {
	at := map[string]diag.Range{}
	for id, a := range m.Alterations {
		at[id] = a.At
	}
	return unknownAlterations(at, all)
}

// madeFor reads whose make it is: a name, or {name: Wren, taken: 2026-11-02}.
func (r *reader) madeFor(k *engine.Make, v file.Value) {
	if v.IsText() {
		k.Body = v.Text()
		return
	}
	m := v.Map()
	k.Body = m.Need("name").Text()
	k.Taken, _ = m.Get("taken").Date()
	m.Close("the body of a sewn garment")
}

// madeEase reads the ease at each zone, as a length or a share of the body.
func (r *reader) madeEase(v file.Value) map[string]engine.MadeEase {
	out := map[string]engine.MadeEase{}
	m := v.Map()
	for _, k := range m.Keys() {
		v := m.Get(k.Text())
		e := engine.MadeEase{At: v.Range()}
		ok := false
		if v.IsText() && quantity.IsPercent(v.Text()) {
			e.Percent, ok = v.Percent()
			e.IsPercent = true
		} else {
			e.Length, ok = v.Length()
		}
		if ok {
			out[k.Text()] = e
		}
	}
	return out
}

// zoneOf tells whether a zone of a make is one: a word of the vocabulary, or one that has an ease.
func (r *reader) zoneOf(k *engine.Make, key file.Value) bool {
	if _, ok := k.Ease[key.Text()]; ok || r.voc.Measure(key.Text()) != nil {
		return true
	}
	r.unknownMeasure(key, r.voc.Words())
	return false
}

// byZone is a map whose keys are zones of a make, in whatever words people have for them.
func (r *reader) byZone(k *engine.Make, v file.Value) *file.Map {
	return v.Map().ReadAs(func(word string) (string, bool) {
		if _, ok := k.Ease[word]; ok {
			return word, true
		}
		return r.voc.Called(word)
	})
}

// amounts reads what the garment measures at zones.
func (r *reader) amounts(k *engine.Make, v file.Value) map[string]engine.Amount {
	out := map[string]engine.Amount{}
	m := r.byZone(k, v)
	for _, key := range m.Keys() {
		v := m.Get(key.Text())
		l, ok := v.Length()
		if ok && l <= 0 {
			v.Problem(belowNothing, "a measurement is more than nothing, got `"+v.Text()+"`", "measure again, or leave the line out")
			ok = false
		}
		if r.zoneOf(k, key) && ok {
			out[key.Text()] = engine.Amount{Length: l, At: v.Range()}
		}
	}
	return out
}

// texts reads words about zones.
func (r *reader) texts(k *engine.Make, v file.Value) map[string]string {
	out := map[string]string{}
	m := r.byZone(k, v)
	for _, key := range m.Keys() {
		if text := m.Get(key.Text()).Text(); r.zoneOf(k, key) && text != "" {
			out[key.Text()] = text
		}
	}
	return out
}

// madeAlterations reads what was altered: by a length, by degrees, or `yes` where the amount is not said.
func (r *reader) madeAlterations(v file.Value) map[string]engine.Altered {
	out := map[string]engine.Altered{}
	m := v.Map()
	for _, k := range m.Keys() {
		v := m.Need(k.Text())
		a := engine.Altered{At: k.Range()}
		switch {
		case v.Text() == "yes":
		case v.IsText() && (strings.HasSuffix(v.Text(), "degrees") || strings.HasSuffix(v.Text(), "°")):
			d := r.degrees(v)
			a.Degrees = &d
		default:
			l, ok := v.Length()
			if !ok {
				continue
			}
			a.Amount = &l
		}
		out[k.Text()] = a
	}
	return out
}

// outcome reads how it came out.
func (r *reader) outcome(k *engine.Make, v file.Value) {
	m := v.Map()
	o := &k.Outcome
	if worn, ok := m.Get("worn").Bool(); ok {
		o.Worn = &worn
	}
	o.Feels = map[string]engine.Felt{}
	feels := r.byZone(k, m.Get("feels"))
	for _, key := range feels.Keys() {
		v := feels.Get(key.Text())
		if f, ok := v.OneOf("tight", "right", "roomy"); ok && r.zoneOf(k, key) {
			o.Feels[key.Text()] = engine.Felt{Feel: engine.Feeling(f), At: v.Range()}
		}
	}
	o.Changed = r.texts(k, m.Get("changed"))
	o.Measured = r.amounts(k, m.Get("measured"))
	o.Words = m.Get("words").Text()
	m.Close("an outcome")
}
