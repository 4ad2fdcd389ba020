package engine

import (
	"fmt"
	"math"

	"fitadvisor/engine/quantity"
)

// someoneElse is who held the tape where it was not the person measured.
const someoneElse = "someone else"

// TapeDeviation is the standard deviation of one reading of a measurement, by who
// held the tape. It is in proportion to the published limit of the measurement's error.
func (v *Vocabulary) TapeDeviation(m *Measure, by string) float64 {
	deviation := v.Limits.TapeSelf
	if by == someoneElse {
		deviation = v.Limits.TapeOther
	}
	return float64(deviation) * float64(m.TapeError) / float64(v.Limits.TapeLarge)
}

// ReadingsApart is how far two readings of a measurement may lie apart: the difference
// of two has √2 times the standard deviation of one.
func (v *Vocabulary) ReadingsApart(m *Measure, by string) quantity.Length {
	return quantity.Length(math.Round(v.Limits.TapeDeviations * math.Sqrt2 * v.TapeDeviation(m, by)))
}

// repeats is what a person's own repeated readings of one measurement tell of the tape.
type repeats struct {
	squares float64 // how far they lie from the mean of their sitting, squared and summed, in square nanometres
	count   float64 // readings beyond the first of each sitting
	earlier bool    // some are of an earlier sitting
}

// add counts the readings of one side on one day.
func (r *repeats) add(readings []Reading, weight float64) {
	if len(readings) < 2 {
		return
	}
	mean := float64(mean(readings))
	for _, reading := range readings {
		r.squares += weight * math.Pow(float64(reading.Length)-mean, 2)
	}
	r.count += weight * float64(len(readings)-1)
}

func (r *repeats) addMeasurement(t Measurement, weight float64) {
	r.add(t.Readings, weight)
	r.add(t.Left, weight)
	r.add(t.Right, weight)
}

// repeatsOf gathers the repeated readings of a measurement over the years, those of
// earlier years with less weight.
func (j *judging) repeatsOf(name string) repeats {
	var r repeats
	r.addMeasurement(j.Body.Measurements[name], 1)
	for _, e := range j.Body.Earlier {
		before := r.count
		r.addMeasurement(e.Measurements[name], j.remembered(e.Taken, j.Body.TakenOn(name)))
		r.earlier = r.earlier || r.count > before
	}
	return r
}

// remembered is what a repeat of an earlier day counts: half after each of so many years.
func (j *judging) remembered(day, now string) float64 {
	const year = 365.25
	days, known := daysBetween(day, now)
	if !known {
		return 0.5
	}
	return math.Pow(0.5, max(days, 0)/year/j.voc.Limits.TapeMemory)
}

// tapeError is how far a measurement may err, and how that comes about.
type tapeError struct {
	one   float64 // the usual standard deviation of one reading
	own   repeats
	among float64 // of one reading, the person's own repeats counted in
	n     int     // readings that the value is the mean of
	mean  float64 // of that mean
}

// errorOf pools the tape's usual error with the person's own repeats: the usual one
// counts as so many of them. Readings that disagree make it larger.
func (j *judging) errorOf(m *Measure) tapeError {
	e := tapeError{one: j.voc.TapeDeviation(m, j.Body.MeasuredBy), own: j.repeatsOf(m.Name), n: max(j.Body.Measurements[m.Name].readings(), 1)}
	usual := j.voc.Limits.TapeRepeats
	e.among = math.Sqrt((usual*e.one*e.one + e.own.squares) / (usual + e.own.count))
	if e.one == 0 { // a tape that never errs
		e.among = 0
	}
	e.mean = e.among / math.Sqrt(float64(e.n))
	return e
}

// explainTape says how far a measurement may be off, and why.
func (m *variation) explainTape(q *Measure) string {
	e := m.errorOf(q)
	by := "taken of oneself"
	if m.Body.MeasuredBy == someoneElse {
		by = "taken by another"
	}
	text := fmt.Sprintf("a standard deviation of %s", m.fine(e.mean))
	usual := fmt.Sprintf("%s for a reading %s", m.fine(e.one), by)
	switch {
	case e.own.count > 0 && e.own.earlier:
		text += fmt.Sprintf(": %s, from the usual %s and your own repeats, those of earlier years too", m.fine(e.among), usual)
	case e.own.count > 0:
		text += fmt.Sprintf(": %s, from the usual %s and your own repeats", m.fine(e.among), usual)
	default:
		text += ", the usual one of a reading " + by
	}
	if e.n > 1 {
		text += fmt.Sprintf(", over the square root of %d readings", e.n)
	}
	return text
}
