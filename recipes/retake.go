package recipes

import (
	"fmt"
	"strconv"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
)

// Retaking is a measurement that was taken on a day.
type Retaking struct {
	Measurement, Value string
	Day                string
	Over               string // what was worn beneath the tape; empty: not said
}

// UndatedError says that what was measured before has no day.
type UndatedError struct{ Path string }

func (e *UndatedError) Error() string {
	return e.Path + " does not say when its measurements were taken, so they cannot be kept as earlier ones"
}

// Hint says how to mend it.
func (e *UndatedError) Hint() string { return "write the day into it, as in `taken: 2026-05-01`" }

// LaterError says that a measurement was taken on a later day than the one it is said to be.
type LaterError struct{ Path, Measurement, There, Day string }

func (e *LaterError) Error() string {
	return fmt.Sprintf("the %s in %s was taken on %s, which is after %s; nothing was saved", e.Measurement, e.Path, e.There, e.Day)
}

// Hint says how to mend it.
func (e *LaterError) Hint() string {
	return "if the day it is now is wrong, set the clock; if the day in the file is wrong, mend it there; an old measurement goes by hand under `earlier:`"
}

// Retake returns the text of a body's file with a measurement taken on a day: what stood there on another day goes to the
// earlier ones, and the other measurements keep their day. b is what was read from the file. Errors: [UndatedError],
// [LaterError], [file.EditError].
func Retake(doc *file.Doc, b *engine.Body, t Retaking, voc *engine.Vocabulary) ([]byte, error) {
	if later := latest(b, t.Measurement); later > t.Day {
		return nil, &LaterError{doc.Name(), voc.Title(t.Measurement), later, t.Day}
	}
	e := &file.Edits{Name: doc.Name(), Text: doc.Source(), ReadAs: voc.Called}
	_, before := b.Measurements[t.Measurement]
	if day := b.TakenOn(t.Measurement); before && day == "" {
		return nil, &UndatedError{doc.Name()}
	} else if before && day != t.Day {
		setAside(e, b, t.Measurement, day)
	}
	if _, dated := b.Since[t.Measurement]; dated && len(b.Since) == 1 {
		e.Remove("since")
	} else if dated {
		e.Remove("since", t.Measurement)
	}
	if b.Taken > t.Day {
		e.Set(t.Day, "since", t.Measurement)
	} else if b.Taken < t.Day {
		turn(e, b, t, voc)
	}
	if t.Over != "" && t.Over != b.MeasuredOver {
		e.SetText(t.Over, "measured_over")
	}
	e.Set(t.Value, "measurements", t.Measurement)
	return e.Text, e.Err
}

// latest is the last day on which a measurement was taken, empty where none is known.
func latest(b *engine.Body, measurement string) string {
	day := ""
	if _, ok := b.Measurements[measurement]; ok {
		day = b.TakenOn(measurement)
	}
	for _, e := range b.Earlier {
		if _, ok := e.Measurements[measurement]; ok {
			day = max(day, e.Taken)
		}
	}
	return day
}

// setAside puts what stands under a measurement among the earlier ones of its day, where none of that day stands yet.
// `measured_over:` is what was worn on the day of the file, and says nothing of what was taken before it.
func setAside(e *file.Edits, b *engine.Body, measurement, day string) {
	root := file.Open(e.Name, e.Text).Root().Map()
	old := root.Get("measurements").Map().ReadAs(e.ReadAs).Get(measurement).Written()
	known := day == b.Taken
	for i, item := range root.Get("earlier").Items() {
		m := item.Map()
		if taken, _ := m.Get("taken").Date(); taken == day && (!known || m.Get("measured_over").Text() == b.MeasuredOver) && !m.Get("measurements").Map().ReadAs(e.ReadAs).Has(measurement) {
			e.Set(old, "earlier", strconv.Itoa(i), "measurements", measurement)
			return
		}
	}
	item := "taken: " + day + "\n"
	if b.MeasuredOver != "" && known {
		written, _ := file.Plain(b.MeasuredOver) // no error: it stands in a file
		item += "measured_over: " + written + "\n"
	}
	item += "measurements:\n  " + measurement + ": " + old
	e.Do(func(d *file.Doc) ([]byte, error) { return d.Prepend(item, "earlier") })
}

// turn makes a day the one on which the measurements were taken; the others keep theirs.
func turn(e *file.Edits, b *engine.Body, t Retaking, voc *engine.Vocabulary) {
	for _, other := range voc.BodyNames() {
		if _, ok := b.Measurements[other]; !ok || other == t.Measurement || b.Since[other] != "" {
			continue
		}
		if b.Taken == "" {
			e.Err = &UndatedError{e.Name}
			return
		}
		e.Set(b.Taken, "since", other)
	}
	e.Set(t.Day, "taken")
}
