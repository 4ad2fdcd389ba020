package engine

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"fitadvisor/engine/quantity"
)

// Again is an ease that a person came to after cutting, or by how garments felt, and may want again.
type Again struct {
	Zone string  `json:"zone"`           // the zone's name
	Unit string  `json:"unit,omitempty"` // "percent" where ease is a share of the body
	Ease float64 `json:"ease"`           // what would be asked for, in cm or percent
	Say  string  `json:"say"`            // what shows it, in a sentence
	Make string  `json:"make,omitempty"` // the garment that was changed; empty: all that are rated show it
}

// again proposes what was changed after cutting in the newest garment of this type that was changed there, of the same maker
// before others; only where it is known how much room that left.
func (l *learning) again(out *Learned) {
	for i := range l.Recipe.Zones {
		z := &l.Recipe.Zones[i]
		if z.Ease == nil || !z.eased() {
			continue
		}
		var best *Make
		for _, m := range l.makes { // the oldest first
			if m.Recipe != l.Recipe.Name || m.Outcome.Changed[z.Name] == "" {
				continue
			}
			if _, _, known := m.easeInTheEnd(z); known && (best == nil || !strings.EqualFold(best.Maker, l.Maker) || strings.EqualFold(m.Maker, l.Maker)) {
				best = m
			}
		}
		if best == nil {
			continue
		}
		ease, unit, _ := best.easeInTheEnd(z)
		of := best.Pattern
		if best.Made != "" {
			of += ", " + best.Made
		}
		out.Again = append(out.Again, Again{Zone: z.Name, Unit: unit, Ease: ease, Make: best.Name,
			Say: fmt.Sprintf("%s: after cutting you changed the %s, “%s”.", of, zoneTitle(z), best.Outcome.Changed[z.Name])})
	}
}

// easeInTheEnd is the ease that a garment had once it was changed: as measured, else as planned and changed by the length
// that the words say, all round. In cm or percent. False: it is not known.
func (m *Make) easeInTheEnd(z *Zone) (ease float64, unit string, known bool) {
	planned, has := m.Ease[z.Name]
	if !has || planned.IsPercent != z.percent() {
		return 0, "", false
	}
	if ease, percent, gap := m.EaseAt(z.Name); gap == "" {
		if percent {
			return roundTo(ease, 100), InPercent, true
		}
		return roundTo(ease/nanometresPerCm, 1000), "", true
	}
	by, said := changedBy(m.Outcome.Changed[z.Name])
	switch made, cut := m.Finished[z.Name]; {
	case !said:
		return 0, "", false
	case !planned.IsPercent:
		return roundTo(float64(planned.Length+by)/nanometresPerCm, 1000), "", true
	case cut:
		body := float64(made.Length) / (1 + planned.Percent/100)
		return roundTo(easeOf(float64(made.Length+by), body, true), 100), InPercent, true
	}
	return 0, "", false
}

// How a change is said: let out or taken in, by one length, and not at each of several places.
var (
	saysLength = regexp.MustCompile(`(\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)\s*(?:cm|mm|in|inch|inches|["″])(?:\s|[.,;)]|$)`)
	saysIn     = regexp.MustCompile(`(?i)\b(?:taken|took|take|taking)(?: it)? in\b|\b(?:smaller|narrower)\b`)
	saysOut    = regexp.MustCompile(`(?i)\blet(?:ting)?(?: it)? out\b|\b(?:wider|larger)\b`)
	saysEach   = regexp.MustCompile(`(?i)\b(?:each|every|per|sides?|edges?|seams?)\b`)
)

// changedBy is the length that words say: below nothing where it was taken in. False: they do not say one, or not how often.
func changedBy(words string) (by quantity.Length, ok bool) {
	in, wider := saysIn.MatchString(words), saysOut.MatchString(words)
	found := saysLength.FindAllString(words, -1)
	if len(found) != 1 || in == wider || saysEach.MatchString(words) {
		return 0, false
	}
	by, err := quantity.ParseLength(strings.TrimRight(strings.ReplaceAll(found[0], ",", "."), " .;)"), "")
	if err != nil {
		return 0, false
	}
	if in {
		by = -by
	}
	return by, true
}

// ProposeAgain is what an answer's makes propose where it differs from what is wanted: what was changed after cutting, else
// the ease that the person has come to want. One for a zone; none where its ease was asked for.
func (a *Answer) ProposeAgain(asked []string) []Again {
	if a.Learned == nil || len(a.Sizes) == 0 {
		return nil
	}
	var out []Again
	for i := range a.Sizes[0].Zones {
		z := &a.Sizes[0].Zones[i]
		if z.Wanted == nil || z.Overlap || slices.Contains(asked, z.Zone) {
			continue
		}
		differs := func(ease float64, unit string) bool { return unit == z.Unit && math.Abs(ease-*z.Wanted) > z.Least }
		n := len(out)
		for _, g := range a.Learned.Again {
			if g.Zone == z.Zone && differs(g.Ease, g.Unit) {
				out = append(out, g)
			}
		}
		for _, e := range a.Learned.Ease {
			if len(out) == n && e.Zone == z.Zone && differs(e.Mean, e.Unit) {
				out = append(out, Again{Zone: z.Zone, Unit: e.Unit, Ease: e.Mean, Say: fmt.Sprintf("At the %s, %s.", strings.ReplaceAll(z.Zone, "_", " "), e.Felt)})
			}
		}
	}
	return out
}
