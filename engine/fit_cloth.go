package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitadvisor/explain"
)

// clothFacts is the cloth as it lies on the pieces.
type clothFacts struct {
	given         bool
	structure     Structure
	round, upDown figure // its own stretch, percent, going round the body and along it
	recovery      float64
	shrinkRound   figure
	shrinkUpDown  figure
	prewashed     bool // or not known to shrink
}

// readCloth turns the cloth to the grain of the pieces; without a cloth the
// recipe's stretch stands in.
func (j *judging) readCloth() {
	c := j.Cloth
	if c == nil {
		j.cloth = j.assumedCloth()
		return
	}
	j.cloth = clothFacts{given: true, structure: c.Structure, recovery: 100, prewashed: c.Prewashed == nil || *c.Prewashed}
	if c.Recovery != nil {
		j.cloth.recovery = *c.Recovery
	}
	j.cloth.round, j.cloth.upDown = c.stretch()
	j.cloth.shrinkRound, j.cloth.shrinkUpDown = byGrain(c.Grain, optional(c.ShrinkAcross), optional(c.ShrinkAlong))
}

func optional(p *float64) figure {
	if p == nil {
		return figure{}
	}
	return figure{v: *p, known: true}
}

// stretch is how far the cloth stretches as it lies, round the body and along it. A
// woven that names no stretch has none with and across the grain. On the bias both
// directions are the one that was gauged at 45 degrees: what a cloth gives there is
// not in its threads but in the angle between them.
func (c *Cloth) stretch() (round, upDown figure) {
	if c.Grain == OnBias {
		return optional(c.Bias), optional(c.Bias)
	}
	across, along := optional(c.Across), optional(c.Along)
	if c.Structure == Woven {
		across.known, along.known = true, true
	}
	return byGrain(c.Grain, across, along)
}

// byGrain gives what goes round the body and along it: crosswise pieces swap
// the directions. What shrinks both ways shrinks by the mean between them.
func byGrain(grain Grain, across, along figure) (round, upDown figure) {
	switch grain {
	case Crosswise:
		return along, across
	case OnBias:
		mean := figure{v: (across.v + along.v) / 2, known: across.known && along.known}
		return mean, mean
	}
	return across, along
}

func (j *judging) assumedCloth() clothFacts {
	s := j.recipe.Stretch
	a := clothFacts{structure: Woven, recovery: 100, prewashed: true,
		round: figure{known: true}, upDown: figure{known: true}}
	if s.Kind == StretchNeeded {
		a.structure = Knit
	}
	if s.Kind != NoStretch {
		a.round.v, a.upDown.v = s.Least, s.Least
	}
	return a
}

// usable is the share of a stretch that stays comfortable; a cloth whose own
// stretch is under the least has none.
func (j *judging) usable(own figure) figure {
	if !own.known || !j.stretches(own) {
		return figure{known: own.known}
	}
	return figure{v: own.v * j.voc.Limits.UsableShare * j.cloth.recovery / 100, known: true}
}

// stretches tells whether a cloth counts as one that stretches at all.
func (f *Fitter) stretches(own figure) bool {
	return own.known && ticks(own.v, true) >= ticks(f.voc.Limits.LeastStretch, true)
}

// stretchAt is the usable stretch in a zone's direction.
func (j *judging) stretchAt(c *column) figure { return j.usable(j.ownStretchAt(c)) }

func (j *judging) ownStretchAt(c *column) figure {
	if c.measure.Kind == Along {
		return j.cloth.upDown
	}
	return j.cloth.round
}

func (j *judging) shrinkAt(c *column) figure {
	if c.measure.Kind == Along {
		return j.cloth.shrinkUpDown
	}
	return j.cloth.shrinkRound
}

// Pulls tells whether room to move and stretch are asked for at a zone: of what
// goes round the body, and of a length only where the garment is meant to be
// stretched along the body, its ease there being a share of it. A sleeve or a back
// that is shorter ends higher up, in any cloth.
func (r *Recipe) Pulls(z *Zone, m *Measure) bool {
	return z.eased() && (m.Kind == Girth || r.Stretch.Kind == StretchNeeded && z.percent())
}

// givesAt tells whether the garment moves with you at a zone: one that is meant to
// stretch, whatever cloth is offered, and any in a cloth that stretches there. Of a
// knit whose stretch is not given no room is asked.
func (j *judging) givesAt(c *column) bool {
	own := j.ownStretchAt(c)
	return j.recipe.Stretch.Kind == StretchNeeded || j.stretches(own) || j.cloth.structure == Knit && !own.known
}

// wearing is the room to move at a zone, in nanometres: the measurement's
// wearing ease, what the layers beneath take up, and the cloth's own thickness.
func (j *judging) wearing(c *column) float64 {
	return j.beneath(c) + j.wearingAlone(c)
}

// wearingAlone is the wearing ease without layers beneath.
func (j *judging) wearingAlone(c *column) (w float64) {
	if !c.pulls || j.givesAt(c) {
		return 0
	}
	w = c.worn.v
	if j.Cloth != nil && j.Cloth.Thickness != nil && c.measure.Kind == Girth {
		w += math.Round(math.Pi * float64(*j.Cloth.Thickness))
	}
	return w
}

// least is the room below which a garment is called close to move in, in
// nanometres: the wearing ease or, where the maker drew less for the body of the
// chart, that; with what the layers beneath take up.
func (j *judging) least(c *column, r *zoneFit) float64 {
	least := j.wearingAlone(c)
	if r.drawn.known {
		least = min(least, convert(r.drawn.v, c.zone.percent(), false, r.body))
	}
	return least + j.beneath(c)
}

// beneath is what the layers beneath add at a zone: to girths only.
func (j *judging) beneath(c *column) float64 {
	if c.measure.Kind != Girth || c.zone.Laps != "" { // a wrap's ease has taken them off its overlap already
		return 0
	}
	return j.layers.adds
}

// stretchNeeded is the stretch in percent that lets the body into the garment:
// body / finished - 1. Room to move is another matter.
func (j *judging) stretchNeeded(c *column, r *zoneFit) float64 {
	if !c.pulls {
		return 0
	}
	body, garment := c.goesOver(r)
	return (body/garment - 1) * 100
}

// stretchLeast is the stretch that is needed still where a pattern of one size is drawn
// out as far as it may be; of others, and of what is meant to stretch, that which is needed.
func (j *judging) stretchLeast(c *column, r *zoneFit) float64 {
	if !c.pulls || !j.single() || c.measure.Kind != Girth || j.recipe.Stretch.Kind == StretchNeeded {
		return j.stretchNeeded(c, r)
	}
	body, garment := c.goesOver(r)
	return (body/(garment+j.drawable(c)) - 1) * 100
}

// stretchAsked is the stretch that a cloth must have of its own so that the
// usable share is enough.
func (j *judging) stretchAsked(c *column, r *zoneFit) float64 {
	asked := j.stretchNeeded(c, r) / j.voc.Limits.UsableShare / (j.cloth.recovery / 100)
	return max(math.Ceil(asked*10-1e-9)/10, j.voc.Limits.LeastStretch) // printed to a tenth, it must still be enough
}

// firstToStretch is the smallest size that this cloth can carry at every deciding zone.
func (j *judging) firstToStretch() (string, bool) {
	for s := range j.sizes {
		if j.carries(s) {
			return j.sizes[s], true
		}
	}
	return "", false
}

func (j *judging) carries(s int) bool {
	for z, c := range j.zones {
		r := j.overFullBust(z, s)
		if !j.hasSay(z) || !c.pulls || !r.judged || r.finished.estimated {
			continue
		}
		if !j.carriesAt(c, r) {
			return false
		}
	}
	return true
}

// sizeForStretch is the size that restores the extension the pattern was
// drafted with, where the cloth stretches less: body / finished - 1 over this
// cloth's stretch nearest the chart's over the drafted stretch.
func (j *judging) sizeForStretch() (string, bool) {
	if j.pattern.Stretch == nil || !j.cloth.round.known || j.cloth.round.v >= *j.pattern.Stretch || j.cloth.round.v <= 0 {
		return "", false
	}
	z := slices.IndexFunc(j.zones, func(c *column) bool { return c.decides && c.zone.By != ByChart })
	if z < 0 {
		return "", false
	}
	best, nearest := -1, math.Inf(1)
	for s := range j.sizes {
		r, chart := j.fitted(z, s), j.zones[z].chart[j.chart.s]
		made := j.zones[z].finished[j.chart.s]
		if !r.judged || !chart.known || !made.known {
			continue
		}
		drafted := (chart.v/made.v - 1) / *j.pattern.Stretch
		if d := math.Abs((r.body/r.finished.v-1)/j.cloth.round.v - drafted); d < nearest {
			best, nearest = s, d
		}
	}
	if best < 0 {
		return "", false
	}
	return j.sizes[best], true
}

// layerFacts is what is worn beneath.
type layerFacts struct {
	adds       float64  // to every girth, in nanometres
	extra      []string // beyond what the recipe is worn over
	foundation string
}

// LayerError says that a layer is neither known nor given a thickness.
type LayerError struct {
	Layer string
	Known []string
}

func (e *LayerError) Error() string {
	return fmt.Sprintf("how thick is %q? Write its thickness, as in \"%s=2 mm\", or one of: %s", e.Layer, e.Layer, list(e.Known, "or"))
}

// LayerTwiceError says that a layer is given twice: whether two of it are worn nobody knows.
type LayerTwiceError struct{ Layer string }

func (e *LayerTwiceError) Error() string {
	return fmt.Sprintf("%q is given twice: name each layer once, and of two that are alike the second by its thickness, as in \"second %s=2 mm\"", e.Layer, e.Layer)
}

// readLayers adds 2 pi x the thickness of each layer beyond the recipe's own.
func (f *Fitter) readLayers(over []Layer) (layerFacts, error) {
	var facts layerFacts
	for i, l := range over {
		if slices.ContainsFunc(over[:i], func(other Layer) bool { return other.Name == l.Name }) {
			return facts, &LayerTwiceError{l.Name}
		}
		k := slices.IndexFunc(f.voc.Limits.Layers, func(k LayerKind) bool { return k.Name == l.Name })
		if k >= 0 && f.voc.Limits.Layers[k].Foundation {
			facts.foundation = l.Name
			continue
		}
		if slices.Contains(f.recipe.WornOver, l.Name) {
			continue
		}
		thickness := l.Thickness
		if thickness == nil && k < 0 {
			return facts, &LayerError{Layer: l.Name, Known: f.layerNames()}
		}
		if thickness == nil {
			thickness = &f.voc.Limits.Layers[k].Thickness
		}
		facts.extra = append(facts.extra, l.Name)
		facts.adds += math.Round(2 * math.Pi * float64(*thickness))
	}
	return facts, nil
}

func (f *Fitter) layerNames() []string {
	var names []string
	for _, k := range f.voc.Limits.Layers {
		names = append(names, k.Name)
	}
	return names
}

// explainCloth is the one line that holds for every cloth, at one zone.
func (j explainer) explainCloth(id string, c *column, r *zoneFit) *explain.Node {
	needed, own, usable := j.stretchNeeded(c, r), j.ownStretchAt(c), j.stretchAt(c)
	if !c.pulls {
		return nil
	}
	n := &explain.Node{ID: id, Value: explain.Number(roundTo(needed, 100), "percent"), Source: "method: cloth"}
	body, garment := c.goesOver(r)
	n.Label = fmt.Sprintf("stretch asked for = %s / %s - 1 = %s", j.inUnits(body), j.inUnits(garment), j.Percent(roundTo(needed, 100)))
	if c.lacing != nil {
		n.Label = fmt.Sprintf("stretch asked for, laced with the widest gap of %s over you drawn in as far as the type expects = %s / %s - 1 = %s", j.inUnits(float64(c.lacing.Most)), j.inUnits(body), j.inUnits(garment), j.Percent(roundTo(needed, 100)))
	}
	if needed <= 0 {
		n.Label += ": none"
	}
	wearing := &explain.Node{ID: id + "/wearing", Value: cmValue(j.wearing(c)), Source: c.measure.wearingSource(j.recipe),
		Label: fmt.Sprintf("wearing ease at the %s: %s", c.measure.Title, j.inUnits(j.wearing(c)))}
	if j.givesAt(c) {
		wearing.Label += ", none of its own since a garment that stretches moves with you"
	} else {
		wearing.Add(j.explainQuotes(id+"/wearing", c, r)...)
	}
	have := &explain.Node{ID: id + "/usable", Source: "method: cloth"}
	switch {
	case !own.known:
		have.Label = "the cloth's stretch is not given" + map[bool]string{true: ": on the bias only a gauge held at 45 degrees tells it"}[j.Cloth != nil && j.Cloth.Grain == OnBias]
	case usable.v == 0:
		have.Label = fmt.Sprintf("usable stretch: none (a cloth that stretches %s counts as having none below %s)", j.Percent(own.v), j.Percent(j.voc.Limits.LeastStretch))
	default:
		have.Label = fmt.Sprintf("usable stretch = %s x %s that stays comfortable x %s recovery = %s", j.Percent(own.v),
			j.Percent(j.voc.Limits.UsableShare*100), j.Percent(j.cloth.recovery), j.Percent(roundTo(usable.v, 100)))
	}
	if own.known {
		have.Value = explain.Number(roundTo(usable.v, 100), "percent")
	}
	return n.Add(wearing, have.Add(j.explainOffered(id+"/offered", own)))
}

// explainQuotes holds the ease against every source's wearing ease for such a
// garment, the one that counts first.
func (j explainer) explainQuotes(id string, c *column, r *zoneFit) []*explain.Node {
	var out []*explain.Node
	ease := ticks(r.finished.v-r.body, false)
	for i, q := range c.measure.quotes(j.recipe) {
		words, figure := j.inUnits(float64(q.Low))+" or more", q.Low
		place := "meets it"
		if q.High > 0 {
			words = j.inUnits(float64(q.Low)) + " to " + j.inUnits(float64(q.High))
		}
		switch {
		case q.Low == q.High:
			words = j.inUnits(float64(q.Low))
		case q.Low == 0:
			words, figure = "up to "+j.inUnits(float64(q.High)), q.High
		}
		switch {
		case ease < ticks(float64(q.Low), false):
			place = "lies below it"
		case q.High > 0 && ease > ticks(float64(q.High), false):
			place = "lies above it"
		case q.High > 0:
			place = "lies inside it"
		}
		out = append(out, &explain.Node{ID: fmt.Sprintf("%s/%d", id, i+1), Source: q.Source, Value: cmValue(float64(figure)),
			Label: fmt.Sprintf("a source asks for %s; the ease of %s %s", words, j.inUnits(r.finished.v-r.body), place)})
	}
	return out
}

func (m *Measure) wearingSource(r *Recipe) string {
	if qs := m.quotes(r); len(qs) > 0 {
		return qs[0].Source
	}
	return "method: cloth"
}

func (j explainer) explainOffered(id string, own figure) *explain.Node {
	if !own.known {
		return nil
	}
	n := &explain.Node{ID: id, Value: explain.Number(roundTo(own.v, 100), "percent")}
	if j.Cloth == nil {
		n.Label = fmt.Sprintf("no cloth is named: one such as the recipe asks for is assumed, stretching %s", j.Percent(own.v))
		n.Source = j.recipe.Stretch.At.String()
		return n
	}
	n.Label = fmt.Sprintf("%s stretches %s in this direction", j.Cloth.Name, j.Percent(own.v))
	n.Source = j.Cloth.StretchAt.String()
	if j.Cloth.StretchAt.IsZero() {
		n.Label, n.Value = fmt.Sprintf("%s is a woven that names no stretch: none is assumed", j.Cloth.Name), explain.Text("none")
		n.Source = j.Cloth.At.String()
	}
	return n
}

// elastane are the generic names of the fibre that makes a cloth spring back, by ISO 2076 and in the United States (from memory).
var elastane = []string{"elastane", "spandex"}

// namesElastane tells whether a cloth's name speaks of it.
func (c *Cloth) namesElastane() bool {
	return c != nil && slices.ContainsFunc(elastane, func(fibre string) bool { return strings.Contains(strings.ToLower(c.Name), fibre) })
}
