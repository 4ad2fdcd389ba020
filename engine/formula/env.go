package formula

import (
	"fmt"
	"sync"
)

// Env holds the values that formulas are run with. Names without a value are
// missing. It may be read by several goroutines at once while none changes it.
type Env struct {
	schema *Schema
	values []value // by place
	parts  []Part  // of the run that is traced
}

// value is what a name has; of the kind unknown it is missing.
type value struct {
	is     kind
	yes    bool
	number float64
	text   string
}

// places gives every name that is met a small number, by which values are found
// faster than by the name.
var places struct {
	sync.RWMutex
	of map[string]int
}

func placeOf(name string) int {
	places.RLock()
	place, ok := places.of[name]
	places.RUnlock()
	if ok {
		return place
	}
	places.Lock()
	defer places.Unlock()
	if place, ok = places.of[name]; ok {
		return place
	}
	if places.of == nil {
		places.of = map[string]int{}
	}
	place = len(places.of)
	places.of[name] = place
	return place
}

// NewEnv returns an Env in which every name is missing.
func NewEnv(s *Schema) *Env {
	return &Env{schema: s}
}

// Key is a name looked up beforehand, for setting it many times.
type Key struct {
	name  string
	kind  kind
	place int
}

// Key looks a name up. A value set under a name that the schema does not have
// is seen by no formula of the schema.
func (s *Schema) Key(name string) Key {
	n, ok := s.Lookup(name)
	if !ok {
		return Key{name: name, place: placeOf(name)}
	}
	return Key{name: name, kind: n.Dim.kind(), place: placeOf(name)}
}

// SetNumber gives the name a number, in centimetres, percent, counts or
// degrees as its Dim says. Like SetText and SetBool it panics where the name
// holds another kind of value.
func (e *Env) SetNumber(name string, v float64) { e.PutNumber(e.schema.Key(name), v) }

// SetText gives the name a text.
func (e *Env) SetText(name, v string) { e.PutText(e.schema.Key(name), v) }

// SetBool gives the name yes or no.
func (e *Env) SetBool(name string, v bool) { e.PutBool(e.schema.Key(name), v) }

// Unset makes the name missing.
func (e *Env) Unset(name string) { e.Drop(e.schema.Key(name)) }

// PutNumber is SetNumber for a name looked up beforehand.
func (e *Env) PutNumber(k Key, v float64) {
	to := e.to(k, number)
	to.is, to.number = number, v
}

// PutText is SetText for a name looked up beforehand.
func (e *Env) PutText(k Key, v string) {
	to := e.to(k, text)
	to.is, to.text = text, v
}

// PutBool is SetBool for a name looked up beforehand.
func (e *Env) PutBool(k Key, v bool) {
	to := e.to(k, condition)
	to.is, to.yes = condition, v
}

// Drop is Unset for a name looked up beforehand.
func (e *Env) Drop(k Key) {
	if k.place < len(e.values) {
		e.values[k.place].is = unknown
	}
}

// to is where a name's value of a kind goes.
func (e *Env) to(k Key, is kind) *value {
	if k.kind != is && k.kind != unknown {
		panic(fmt.Sprintf("formula: %s holds %s, not %s", k.name, k.kind, is))
	}
	for k.place >= len(e.values) {
		e.values = append(e.values, value{})
	}
	return &e.values[k.place]
}

// missingValue is that of a name which was never set.
var missingValue value

// get is the value at a place.
func (e *Env) get(place int) *value {
	if place < len(e.values) {
		return &e.values[place]
	}
	return &missingValue
}

// has tells whether there is a value at a place.
func (e *Env) has(place int) bool { return e.get(place).is != unknown }

// at is the value at a place as the engine takes it; nil is missing.
func (e *Env) at(place int) any {
	switch v := e.get(place); v.is {
	case number:
		return v.number
	case text:
		return v.text
	case condition:
		return v.yes
	}
	return nil
}

// Known reports whether the name has a value.
func (e *Env) Known(name string) bool {
	if e.has(placeOf(name)) {
		return true
	}
	_, fixed := e.schema.value(name)
	return fixed
}

// missing returns those of the names that have no value.
func (e *Env) missing(names []string) []string {
	var out []string
	for _, n := range names {
		if !e.has(placeOf(n)) {
			out = append(out, n)
		}
	}
	return out
}
