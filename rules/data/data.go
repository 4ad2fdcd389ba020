// Package data holds the vocabulary of measurements and the method's own
// constants, each with its source and status, as tables beside this file.
//
// Call [Vocabulary]. The tables are not read for it: `go generate ./rules` has
// written them down as Go.
package data

import (
	"slices"
	"sync"

	"fitadvisor/engine"
)

// Vocabulary returns the measurements, wearing eases, layers and limits. The
// error is nil: what is wrong with a table shows when it is generated.
var Vocabulary = sync.OnceValues(func() (*engine.Vocabulary, error) {
	v := engine.NewVocabulary(measures, limits)
	v.ChildSizes, v.Sleepwear, v.Proportions, v.Populations, v.Synonyms, v.Hems = childSizes, sleepwear, proportions, populations, synonyms, hems
	return v, nil
})

// Populations are those whom figures describe, by name.
func Populations() []engine.Population { return slices.Clone(populations) }
