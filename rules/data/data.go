// Package data holds the vocabulary of measurements and the method's own
// constants, each with its source and status, as tables beside this file.
//
// Call [Vocabulary]. The tables are not read for it: `go generate ./rules` has
// written them down as Go.
package data

import (
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// Vocabulary returns the measurements, wearing eases, layers and limits. The
// error is nil: what is wrong with a table shows when it is generated.
var Vocabulary = sync.OnceValues(func() (*engine.Vocabulary, error) {
	v := engine.NewVocabulary(measures, limits)
	v.SleepwearMost = sleepwearMost
	return v, nil
})

// SleepwearMost is one line of sleepwear.csv: the most that a child's
// close-fitting sleepwear may measure.
type SleepwearMost struct {
	Size, Measure string
	Most          quantity.Length
}

// sleepwearMost looks a size's name up as the regulation prints it. Girls and
// boys differ: the smaller figure warns.
func sleepwearMost(size, measure string) (quantity.Length, bool) {
	size = strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(size), "months", "mos"), "t", "")
	var most quantity.Length
	for _, s := range sleepwear {
		if s.Size == size && s.Measure == measure && (most == 0 || s.Most < most) {
			most = s.Most
		}
	}
	return most, most != 0
}

// Populations are those whom summary statistics describe, by name.
func Populations() []engine.Population { return slices.Clone(populations) }
