package engine_test

import (
	"errors"
	"fmt"
	"reflect"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
)

// Whoever fills a request by hand hears all that is wrong with it at once.
func TestValidateTellsEverything(t *testing.T) {
	cm := func(n int) quantity.Length { return quantity.Length(n) * quantity.Centimetre }
	cell := func(n int) engine.Cell { return engine.Cell{Low: cm(n), High: cm(n), Known: true} }
	recipe, err := recipes.Shipped("straight-skirt", vocabulary(t))
	if err != nil {
		t.Fatal(err)
	}
	mine := *recipe
	mine.Zones = append([]engine.Zone{{Name: "hem", Measure: "hiip", Weight: 0}}, recipe.Zones...)
	q := engine.Request{Vocabulary: vocabulary(t), Recipe: &mine, Rules: []*engine.Rule{nil, {ID: "half"}},
		Pattern: &engine.Pattern{Sizes: []string{"S", "S", ""},
			Chart:      map[string]engine.Row{"hip": {cell(92), cell(96)}, "hips": {cell(92), cell(96), cell(100)}},
			DraftedFor: map[string]engine.Row{"waist_to_knee": {cell(58)}},
			Finished:   map[string]engine.Row{"hip": {cell(96), {Low: cm(100), High: cm(99), Known: true}, cell(-1)}}},
		Fitting: engine.Fitting{Cloth: &engine.Cloth{Structure: "wovn"}, Body: &engine.Body{Wanted: map[string]engine.WantedLength{"skirt_length": {Place: "the moon"}}, Measurements: map[string]engine.Measurement{
			"hip": {}, "waist": {Readings: []engine.Reading{{Length: 0}}}, "waste": {Readings: []engine.Reading{{Length: cm(70)}}}}}}}
	want := strings.TrimSpace(`
pattern: size S is there twice
pattern: size 3 of 3 has no name
pattern: chart row hip has 2 cells for 3 sizes
pattern: chart row hips is no measurement; did you mean ¶hip¶?
pattern: finished hip of S is 100 cm .. 99 cm: its lower end is above its upper
pattern: finished hip of size 3 is -1 cm: a measurement is more than nothing
pattern: drafted row waist_to_knee has 1 cell for 3 sizes
recipe: zone hem is judged by hiip, which is no measurement; did you mean ¶hip¶?
recipe: zone hem weighs 0: give it more, or leave the zone out
rule 1 of 2 is missing
rule half has no condition
body: hip has no reading: leave out what was not measured
body: waist of 0 cm: a measurement is more than nothing
body: waste is no measurement; did you mean ¶waist¶?
body: wanted skirt_length cannot end at "the moon"; it can end at the fullest of the hip, knee, ankle or the floor
cloth: structure wovn is neither woven nor knit
`)
	if diff := cmp.Diff(want, strings.ReplaceAll(fmt.Sprint(q.Validate()), "`", "¶")); diff != "" {
		t.Error(diff)
	}
	if _, err := engine.Advise(q); !errors.As(err, new(*engine.InvalidError)) {
		t.Errorf("Advise takes it: %v", err)
	}
}

// Nothing shipped is called invalid.
func TestShippedRequestsAreValid(t *testing.T) {
	for name, requests := range exampleRequests(t, quantity.Cm) {
		for _, q := range requests {
			if err := q.Validate(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

// No value left out makes the engine panic: each field, element and entry of
// requests is emptied in turn.
func TestHalfFilledRequestsDoNotPanic(t *testing.T) {
	tried, step := 0, 1
	if quick() {
		step = 20
	}
	for _, name := range []string{"straight-skirt", "woven-trousers", "leggings"} {
		q := exampleRequests(t, quantity.Cm)[name][0]
		q.Rules = append([]*engine.Rule{}, q.Rules...)
		q.Sure = false
		emptied(reflect.ValueOf(&q).Elem(), name, func(at string) {
			if tried++; tried%step > 0 {
				return
			}
			defer func() {
				if r := recover(); r != nil {
					t.Errorf("%s emptied: %v\n%s", at, r, debug.Stack())
				}
			}()
			if a, err := engine.Advise(q); err == nil && a == nil {
				t.Errorf("%s emptied: neither answer nor error", at)
			}
			if f, err := engine.Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary); err == nil {
				_, _ = f.Rank(q.Fitting)
			}
		})
	}
	if tried < 1000 {
		t.Errorf("only %d values were emptied", tried)
	}
}

// emptied sets each value within v to zero, calls try, and puts it back. Rules
// are emptied as a whole, since what a file says of them is compiled.
func emptied(v reflect.Value, at string, try func(at string)) {
	if v.CanSet() && !v.IsZero() {
		was := reflect.New(v.Type()).Elem()
		was.Set(v)
		v.SetZero()
		try(at)
		v.Set(was)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*engine.Vocabulary]() && v.Type() != reflect.TypeFor[*engine.Rule]() && !strings.Contains(v.Type().String(), "Late") && !strings.Contains(v.Type().String(), "formula") {
			emptied(v.Elem(), at, try)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && !strings.HasSuffix(f.Name, "At") {
				emptied(v.Field(i), at+"."+f.Name, try)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			emptied(v.Index(i), fmt.Sprintf("%s[%d]", at, i), try)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			was := v.MapIndex(key)
			entry := reflect.New(was.Type()).Elem()
			entry.Set(was)
			emptied(entry, fmt.Sprintf("%s[%v]", at, key), func(at string) {
				v.SetMapIndex(key, entry)
				try(at)
			})
			v.SetMapIndex(key, was)
		}
	}
}
