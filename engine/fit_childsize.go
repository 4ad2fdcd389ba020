package engine

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"fitadvisor/engine/quantity"
)

// ChildSize is a children's size of the United States and what it stands for.
type ChildSize struct {
	Name          string  // as the regulation prints it: 6X, 12-18 mos
	From, To      float64 // years
	Height        quantity.Length
	UpperArmPoint quantity.Length // how far down the fold of the sleeve the upper arm is measured; 0: not regulated
}

// SleepwearMost is the most that close-fitting children's sleepwear of a size may
// measure somewhere.
type SleepwearMost struct {
	Size, Sex, Measure string // Sex is girls, boys or both
	Most               quantity.Length
}

// The words by which a child's size is known.
const (
	byLabel       = "its name"
	byChartHeight = "the height on the chart"
	byBodyHeight  = "your height"
)

// childSize is what a size of a pattern stands for.
type childSize struct {
	from, to float64    // years
	row      *ChildSize // nil: none has it
	by       string
}

var childLabel = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(?:size |age )?(\d+) ?(x|t|y|yrs?|years?|m|mos?|mths?|months?|cm)?(?: ?[-/–] ?(\d+) ?(t|y|yrs?|years?|m|mos?|mths?|months?|cm)?)?$`)
})

// readLabels reads the names of a children's pattern's sizes; other types have none.
func (f *Fitter) readLabels() []childSize {
	if f.recipe.Draft != ForChildren || len(f.voc.ChildSizes) == 0 {
		return nil
	}
	out := make([]childSize, len(f.sizes))
	for s, name := range f.sizes {
		if c, ok := f.voc.childLabel(name); ok {
			out[s] = c
			out[s].by = byLabel
		}
	}
	return out
}

// childSize is what a size of a children's pattern stands for: where its name says
// neither age, number nor height, the height it is drawn for, else the body's.
func (j *judging) childSize(s int) (childSize, bool) {
	if j.children == nil {
		return childSize{}, false
	}
	if c := j.children[s]; c.by != "" {
		return c, true
	}
	height := j.voc.Measure("height")
	if h, ok := j.chartAt(height, s); ok {
		return j.voc.childOfHeight(h, byChartHeight), true
	}
	if h, _ := j.of(height); h.known {
		return j.voc.childOfHeight(h.v, byBodyHeight), true
	}
	return childSize{}, false
}

// words say which size it is and, where its name is another, by what.
func (c *childSize) words(name string) string {
	switch {
	case c.by == "":
		return fmt.Sprintf("size %s (which says neither age nor height)", name)
	case c.row == nil:
		return "size " + name
	}
	if strings.EqualFold(c.row.Name, strings.TrimRight(name, "tT")) {
		return "size " + c.row.Name
	}
	return fmt.Sprintf("size %s (%s by %s)", c.row.Name, name, c.by)
}

// childLabel reads the name of a size: 8, 2T, 6X, 18M, 12-18 months, 4-5 years or
// a height in centimetres.
func (v *Vocabulary) childLabel(label string) (childSize, bool) {
	label = strings.ToLower(strings.TrimSpace(label))
	parts := childLabel().FindStringSubmatch(label)
	if parts == nil {
		return childSize{}, false
	}
	from, _ := strconv.ParseFloat(parts[1], 64)
	to, unit, single := from, parts[2], parts[3] == ""
	if !single {
		to, _ = strconv.ParseFloat(parts[3], 64)
		unit = cmp.Or(parts[4], unit)
	}
	months := strings.HasPrefix(unit, "m")
	named := v.youngest(func(c *ChildSize) bool {
		return single && !months && strings.EqualFold(c.Name, parts[1]+strings.Trim(unit, "tyears"))
	})
	height := from * nanometresPerCm
	switch {
	case from > to:
		return childSize{}, false
	case named != nil:
		return childSize{from: named.From, to: named.To, row: named}, true
	case months:
		return v.ofMonths(from, to, single), true
	case unit == "cm", unit == "" && height >= float64(v.Measure("height").Least):
		return v.childOfHeight(height, byLabel), true
	}
	return v.ofMonths(12*from, 12*to, single), true
}

// ofMonths is the youngest size for those months. A single number, as in 18M, is
// the oldest that it is meant for; from two years on it is the size of that name.
func (v *Vocabulary) ofMonths(from, to float64, single bool) childSize {
	out := childSize{from: from / 12, to: to / 12}
	first := out.from
	out.row = v.youngest(func(c *ChildSize) bool {
		switch {
		case c.From == c.To:
			return first < c.From+1 && first >= math.Floor(c.From)
		case single:
			return first > c.From && first <= c.To
		}
		return out.to > c.From && first < c.To
	})
	return out
}

// childOfHeight is the size of the tallest height that is not above this one.
func (v *Vocabulary) childOfHeight(height float64, by string) childSize {
	out := childSize{by: by}
	for i := range v.ChildSizes {
		if c := &v.ChildSizes[i]; height >= float64(c.Height) {
			out.from, out.to, out.row = c.From, c.To, c
		}
	}
	return out
}

// youngest is the first size that want accepts; they stand from the youngest up.
func (v *Vocabulary) youngest(want func(*ChildSize) bool) *ChildSize {
	for i := range v.ChildSizes {
		if c := &v.ChildSizes[i]; want(c) {
			return c
		}
	}
	return nil
}

// sleepwearMost is the most that a size may measure somewhere: the figure for boys,
// unless the garment is labelled for girls.
func (v *Vocabulary) sleepwearMost(size *ChildSize, measure string, girls bool) (float64, bool) {
	for _, m := range v.Sleepwear {
		if m.Size == size.Name && m.Measure == measure && (m.Sex == "both" || (m.Sex == "girls") == girls) {
			return float64(m.Most), true
		}
	}
	return 0, false
}
