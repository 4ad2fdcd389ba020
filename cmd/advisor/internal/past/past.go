// Package past is a small model of a body's history, against which tests hold the files that are written. Start with
// [Draw], which makes up a file as a hand may have written it; tell the model of each measuring with [Model.Measure], and
// compare with [Model.Diff].
package past

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fitadvisor/engine"
	"fitadvisor/recipes"
	"fitadvisor/rules/file"
)

// Taking is one measurement with its day.
type Taking struct {
	Measurement string
	Cm          int
	Day         string
}

// Model is what is known of one body: what stands for now, and what was before.
type Model struct {
	Now     map[string]Taking
	Earlier []Taking
}

// Names are the measurements that are taken in tests.
var Names = []string{"bust", "waist", "hip"}

// Day draws a day. They are few, so that some come twice and some before others.
func Day(t *rapid.T) string {
	return fmt.Sprintf("2026-11-%02d", rapid.IntRange(10, 17).Draw(t, "day"))
}

// Cm draws a length, such that a bust, a waist and a hip of any of them go together.
func Cm(t *rapid.T) int { return rapid.IntRange(90, 99).Draw(t, "cm") }

// Draw makes up a file, its earlier measurements in any order, and the model of it.
func Draw(t *rapid.T) (string, *Model) {
	m := &Model{Now: map[string]Taking{}}
	taken, over := Day(t), rapid.SampledFrom([]string{"", "everyday bra"}).Draw(t, "over")
	text := "kind: body\nname: me\ntaken: " + taken + " # the day\nunits: cm\n"
	if over != "" {
		text += "measured_over: " + over + "\n"
	}
	var since, now string
	for i, name := range Names {
		if i > 0 && !rapid.Bool().Draw(t, "measured") {
			continue
		}
		one := Taking{name, Cm(t), taken}
		if rapid.Bool().Draw(t, "dated") {
			one.Day = Day(t)
			since += fmt.Sprintf("  %s: %s\n", name, one.Day)
		}
		m.Now[name] = one
		now += fmt.Sprintf("  %s: %d # by hand\n", name, one.Cm)
	}
	if since != "" {
		text += "since:\n" + since
	}
	text += "measurements:\n" + now
	if n := rapid.IntRange(0, 4).Draw(t, "earlier"); n > 0 {
		text += "earlier:\n"
		for range n {
			text += m.item(t)
		}
	}
	return text, m
}

// item makes up what was measured on one earlier day.
func (m *Model) item(t *rapid.T) string {
	day, over := Day(t), rapid.SampledFrom([]string{"", "everyday bra"}).Draw(t, "over")
	var cells []string
	for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom(Names), 1, len(Names), rapid.ID).Draw(t, "names") {
		one := Taking{name, Cm(t), day}
		m.Earlier = append(m.Earlier, one)
		cells = append(cells, fmt.Sprintf("%s: %d", name, one.Cm))
	}
	if over != "" {
		over = "measured_over: " + over + ", "
	}
	return fmt.Sprintf("  - {taken: %s, %smeasurements: {%s}}\n", day, over, strings.Join(cells, ", "))
}

// Measure tells of a measurement that was taken on a day. It is false where a later one is known, and nothing changes.
func (m *Model) Measure(name string, cm int, day string) bool {
	now, there := m.Now[name]
	later := func(t Taking) bool { return t.Measurement == name && t.Day > day }
	if there && later(now) || slices.ContainsFunc(m.Earlier, later) {
		return false
	}
	if there && now.Day != day {
		m.Earlier = append(m.Earlier, now)
	}
	m.Now[name] = Taking{name, cm, day}
	return true
}

// Diff says how a file differs from the model.
func (m *Model) Diff(text []byte, voc *engine.Vocabulary) string {
	doc := file.Open("me.yaml", text)
	b := recipes.ReadBody(doc, voc)
	if len(doc.Problems()) > 0 {
		return doc.Problems().Err().Error()
	}
	got := &Model{Now: map[string]Taking{}}
	for name, t := range b.Measurements {
		got.Now[name] = Taking{name, cmOf(t), b.TakenOn(name)}
	}
	for _, e := range b.Earlier {
		for name, t := range e.Measurements {
			got.Earlier = append(got.Earlier, Taking{name, cmOf(t), e.Taken})
		}
	}
	return cmp.Diff(m.sorted(), got.sorted())
}

func cmOf(t engine.Measurement) int { return int(t.Readings[0].Length.Cm() + 0.5) }

func (m *Model) sorted() *Model {
	all := &Model{Now: maps.Clone(m.Now), Earlier: slices.Clone(m.Earlier)}
	slices.SortFunc(all.Earlier, func(a, b Taking) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	return all
}
