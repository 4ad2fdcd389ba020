package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitadvisor/explain"
)

// GradingStep is one move from a size line to another, between two levels.
type GradingStep struct {
	From        string   `json:"from"`              // the zone whose line is left
	To          string   `json:"to"`                // the zone at which the other line is reached
	FromSize    string   `json:"from_size"`         // the size whose line is left
	ToSize      string   `json:"to_size"`           // the size whose line is reached
	GirthChange float64  `json:"girth_change"`      // finished of the size reached less finished of the size left, both at the level of to
	Edges       int      `json:"edges"`             // the cut edges that share it, two to a seam
	Seams       []string `json:"seams"`             // the seams they belong to
	PerEdge     float64  `json:"per_edge"`          // the change at each edge, unrounded: times the edges it is the whole
	Run         *float64 `json:"run,omitempty"`     // from level to level along the body; absent where it is not known
	Degrees     *float64 `json:"degrees,omitempty"` // the slope that the edge gains
	Growth      *float64 `json:"growth,omitempty"`  // how much longer the seam becomes; where walk is true, the least: that of a straight one; absent where it may become shorter
	Walk        bool     `json:"walk"`              // whether the seam's own line is not known, so that it must be walked
	Kept        string   `json:"kept,omitempty"`    // to which girth between the two levels a line is kept, in words; absent where the blend takes the whole way
	After       string   `json:"-"`                 // that measurement, where it is the line that is left; and
	Before      string   `json:"-"`                 // where it is the one that is reached
	Start       string   `json:"start"`             // where the line is left, in words
	End         string   `json:"end"`               // where the other is reached, in words
	Advice      string   `json:"advice"`            // how to draw it, or what to do instead
}

// step is a move between the lines of two neighbouring zones; lengths in nanometres.
type step struct {
	from, to *row
	seams    []Seam
	change   float64
	// The girths between the two levels to which the lines are kept, nil where the blend takes the whole way.
	after, before *Measure
	run           figure // estimated where it is the type's usual figure, not the body's own
}

// SeamGrowth is how much longer a seam becomes when its lower end moves out by
// out more, over a run: a seam that already ran out by own along it. All three
// in one unit.
func SeamGrowth(run, own, out float64) float64 {
	return math.Hypot(run, own+out) - math.Hypot(run, own)
}

// steps are the moves down a chain.
func (j *judging) steps(chain []*row) []step {
	var out []step
	for k := 1; k < len(chain); k++ {
		from, to := chain[k-1], chain[k]
		a, b := j.zones[to.z].drafted(from.line), j.zones[to.z].drafted(to.line)
		if from.line == to.line || !a.known || !b.known || a.v == b.v {
			continue
		}
		s := step{from: from, to: to, seams: j.zones[to.z].zone.Seams, change: b.v - a.v}
		if len(s.seams) == 0 {
			s.seams = j.zones[from.z].zone.Seams
		}
		s.run = j.run(j.zones[from.z].zone.Measure, j.zones[to.z].zone.Measure)
		j.keep(&s)
		if s.edges() > 0 {
			out = append(out, s)
		}
	}
	return out
}

// edgesAt counts the cut edges that share a change of a girth: those of the seams that the type names there, else of the usual ones.
func (f *Fitter) edgesAt(m *Measure) int {
	if z := f.zoneAt(m.Name); z >= 0 && len(f.zones[z].zone.Seams) > 0 {
		return edgesOf(f.zones[z].zone.Seams)
	}
	return m.Edges
}

func edgesOf(seams []Seam) int {
	edges := 0
	for _, s := range seams {
		edges += 2 * s.Count
	}
	return edges
}

// run is how far one level lies below another: by the body's own lengths where
// they are known and make sense, else by the recipe's figures.
func (j *judging) run(from, to string) figure {
	for _, byBody := range []bool{true, false} {
		above, top := j.depth(from, byBody)
		below, other := j.depth(to, byBody)
		if top == other && below.v > above.v {
			return figure{v: below.v - above.v, known: true, estimated: !below.known && !above.known}
		}
	}
	return figure{}
}

// depth is how far a level lies below the topmost one that the recipe leads back
// to, whose name it returns. The figure is known where a body measurement says so.
func (j *judging) depth(level string, byBody bool) (below figure, top string) {
	for {
		i := slices.IndexFunc(j.recipe.Zones, func(z Zone) bool { return z.Measure == level && z.Run != nil })
		if i < 0 {
			return below, level
		}
		run := j.recipe.Zones[i].Run
		own := figure{}
		if m := j.voc.Measure(level); byBody && run.Below == "waist" && m.BelowWaist != "" {
			own = j.body[j.voc.Measure(m.BelowWaist).index]
		}
		if own.known {
			below.known = true
			below.v += own.v
		} else {
			below.v += float64(run.Usual)
		}
		level = run.Below
	}
}

// edges are the cut edges that share the change; each is what one of them takes.
func (s *step) edges() int { return edgesOf(s.seams) }

func (s *step) perEdge() float64 { return s.change / float64(s.edges()) }

// degrees is the slope that the edge gains.
func (s *step) degrees() float64 { return math.Atan(s.perEdge()/s.run.v) * 180 / math.Pi }

// runsOut is how far each edge of the size left runs out by itself between the
// two levels. That is known only where no dart takes a share of it, in what is
// cut to stretch, and both girths go round the same limb.
func (j *judging) runsOut(s *step) figure {
	above, below := j.zones[s.from.z], j.zones[s.to.z]
	a, b := above.drafted(s.from.line), below.drafted(s.from.line)
	if j.recipe.Stretch.Kind != StretchNeeded || above.measure.Limb != below.measure.Limb || !a.known || !b.known || a.estimated || b.estimated {
		return figure{}
	}
	return figure{v: (b.v - a.v) / float64(s.edges()), known: true}
}

// gradingSteps words the moves between lines.
func (j *judging) gradingSteps(p *plan) []GradingStep {
	out := []GradingStep{}
	for i := range p.steps {
		out = append(out, j.gradingStep(&p.steps[i]))
	}
	return out
}

func (j *judging) gradingStep(s *step) GradingStep {
	from, to := j.zones[s.from.z], j.zones[s.to.z]
	change := roundTo(s.change/nanometresPerCm, 1000)
	g := GradingStep{From: from.zone.Name, To: to.zone.Name, FromSize: j.sizes[s.from.line], ToSize: j.sizes[s.to.line], GirthChange: change,
		Edges: s.edges(), Seams: seamNames(s.seams), PerEdge: change / float64(s.edges()), Walk: true,
		Start: "just below " + cmp.Or(s.after, from.measure).where(), End: "at " + cmp.Or(s.before, to.measure).where(), Advice: j.explainer().advice(s)}
	switch {
	case s.after != nil:
		g.After = s.after.Name
		g.Kept = fmt.Sprintf("the line of %s kept to the %s", g.FromSize, s.after.Title)
	case s.before != nil:
		g.Before = s.before.Name
		g.Kept = fmt.Sprintf("that of %s reached at the %s", g.ToSize, s.before.Title)
	}
	if !s.run.known {
		return g
	}
	own := j.runsOut(s)
	run, degrees := roundTo(s.run.v/nanometresPerCm, 1000), roundTo(s.degrees(), 10)
	g.Run, g.Degrees, g.Walk = &run, &degrees, !own.known
	if own.known || s.change > 0 {
		growth := roundTo(SeamGrowth(s.run.v, own.v, s.perEdge())/nanometresPerCm, 1000)
		g.Growth = &growth
	}
	g.End += fmt.Sprintf(", %s further down", j.inUnits(s.run.v))
	return g
}

// where is the measurement's level in words.
func (m *Measure) where() string {
	if m.Where != "" {
		return m.Where
	}
	return "the " + m.Title
}

func seamNames(seams []Seam) []string {
	out := make([]string, len(seams))
	for i, s := range seams {
		out[i] = s.Name
	}
	return out
}

// advice says how to draw a step, or what to do instead.
func (j explainer) advice(s *step) string {
	limits := &j.voc.Limits
	apart, slope := s.to.line-s.from.line, 0.0
	if s.run.known {
		slope = math.Abs(s.degrees())
	}
	instead := "alter the rest"
	for _, l := range []*row{s.from, s.to} {
		if z := j.zones[l.z].zone; z.Mend != "" {
			instead = fmt.Sprintf("alter the rest at the %s (%s)", zoneTitle(z), z.Mend)
		}
	}
	switch {
	case max(apart, -apart) > limits.NestedSizes:
		return fmt.Sprintf("the lines are %d sizes apart, and nested lines hold for about %d: move %d at most and %s", max(apart, -apart), limits.NestedSizes, limits.NestedSizes, instead)
	case slope > limits.SlopeSteep:
		return fmt.Sprintf("steeper than %s: spread it over more seams or darts, or move half of it and %s", j.Degrees(limits.SlopeSteep), instead)
	case slope > limits.SlopeGentle:
		return fmt.Sprintf("steeper than %s: leave the one line as high and reach the other as low as you can, in a long flat curve, or share it with more seams", j.Degrees(limits.SlopeGentle))
	case !s.run.known:
		return "measure the run along the seam on the pattern, and blend in a smooth curve"
	}
	return "blend in a smooth curve, without a corner at either end"
}

// follows lists what must go with the changes that are made, each with its reason:
// only what this garment has.
func (j explainer) follows(p *plan) []string {
	out := []string{}
	if len(p.steps) > 0 {
		out = append(out, "Move both edges of a seam alike, front and back, left and right: a seam whose sides differ twists.",
			"Walk the seams once they are drawn, edge along edge: blending makes them longer, and what is sewn together must be as long.")
		out = append(out, j.underBlends(p)...)
		out = append(out, j.bandFollows()...)
		out = append(out, "Cut facings and lining, where there are any, along the same lines: they are sewn to the same edges.",
			"Mark the notches anew on the new edge, as far from the level above as they were: they are what the seam is matched by.")
	}
	for _, r := range j.ledger.rows {
		if c := j.zoneOf(r); c != nil && c.apart() && r.line != j.ledger.s && c.zone.Mend != "" {
			out = append(out, fmt.Sprintf("The %s takes size %s: %s.", zoneTitle(c.zone), j.sizes[r.line], c.zone.Mend))
		}
	}
	return append(out, j.lengthFollows()...)
}

// bandFollows is what goes with the line of a waist that moved, and with the
// bodice where something below the underarm did.
func (j explainer) bandFollows() []string {
	var out []string
	for _, r := range j.ledger.rows {
		if c := j.zoneOf(r); c != nil && c.zone.Measure == "waist" && r.line != j.ledger.s {
			if sewn := j.sewnToWaist(); sewn != "" {
				out = append(out, fmt.Sprintf("Cut %s in the line followed there, size %s.", sewn, j.sizes[r.line]))
			}
		}
	}
	for _, c := range j.zones {
		if c.zone.Role == Decides && j.byShoulder(c.measure) {
			return append(out, fmt.Sprintf("Keep neck, shoulder and armhole on the line of size %s, since they fit into one another: blending begins below the underarm.", j.sizes[j.ledger.bodice]))
		}
	}
	return out
}

// sewnToWaist is what such a garment has at its waist; empty where nothing is sewn there.
func (j *judging) sewnToWaist() string {
	has := func(parts ...string) bool {
		return slices.ContainsFunc(parts, func(p string) bool { return slices.Contains(j.recipe.Parts, p) })
	}
	switch below := has("skirt", "crotch", "legs"); {
	case len(j.recipe.Parts) == 0:
		return "what is sewn to the waist, where there is anything,"
	case below && has("bodice", "shoulder"):
		return "both halves of a waist seam, where there is one,"
	case below:
		return "the waistband or the facing of the waist"
	}
	return ""
}

// explainStep is the claim of one move, with its sums.
func (j explainer) explainStep(id string, s *step) *explain.Node {
	from, to := j.zones[s.from.z], j.zones[s.to.z]
	a, b := to.drafted(s.from.line), to.drafted(s.to.line)
	n := &explain.Node{ID: id, Value: cmValue(s.change), Source: "method: grading steps",
		Label: fmt.Sprintf("from size %s at the %s to size %s at the %s: finished %s - %s = %s", j.sizes[s.from.line], zoneTitle(from.zone), j.sizes[s.to.line], zoneTitle(to.zone), j.inUnits(b.v), j.inUnits(a.v), j.inUnits(s.change))}
	each := &explain.Node{ID: id + "/edge", Value: cmValue(s.perEdge()), Source: to.zone.At.String(),
		Label: fmt.Sprintf("at each edge %s / %d = %s: %s, two edges each", j.inUnits(s.change), s.edges(), j.inUnits(s.perEdge()), counted(s.seams))}
	n.Add(each)
	if !s.run.known {
		return n.Add(&explain.Node{ID: id + "/run", Label: "how far the one level lies below the other is not known", Source: to.zone.At.String()})
	}
	run := &explain.Node{ID: id + "/run", Value: cmValue(s.run.v), Source: "your own lengths, as far as they are known, else " + to.zone.At.String(),
		Label: fmt.Sprintf("the run from the %s to the %s: %s", zoneTitle(from.zone), zoneTitle(to.zone), j.inUnits(s.run.v))}
	if s.run.estimated {
		run.Source = to.zone.At.String() + ": what is usual for this type"
	}
	slope := &explain.Node{ID: id + "/slope", Value: explain.Number(roundTo(s.degrees(), 10), "degrees"), Source: "method: grading steps",
		Label: fmt.Sprintf("slope = atan(%s / %s) = %s", j.inUnits(s.perEdge()), j.inUnits(s.run.v), j.Degrees(roundTo(s.degrees(), 10)))}
	return n.Add(run, slope, j.explainGrowth(id+"/growth", s))
}

func (j explainer) explainGrowth(id string, s *step) *explain.Node {
	own := j.runsOut(s)
	growth := SeamGrowth(s.run.v, own.v, s.perEdge())
	n := &explain.Node{ID: id, Value: explain.Text(j.finely(growth)), Source: "method: grading steps"}
	switch {
	case !own.known && s.change < 0:
		n.Value, n.Label = nil, "a seam that is moved in becomes longer or shorter, by how far it runs out already, which is not known: walk the seam"
		return n
	case own.known:
		n.Label = fmt.Sprintf("the seam, which runs out %s on its own line, grows by sqrt(%s^2 + (%s + %s)^2) - sqrt(%s^2 + %s^2) = %s", j.inUnits(own.v), j.inUnits(s.run.v), j.inUnits(own.v), j.inUnits(s.perEdge()), j.inUnits(s.run.v), j.inUnits(own.v), j.finely(growth))
		return n
	}
	n.Label = fmt.Sprintf("a straight seam grows by sqrt(%s^2 + %s^2) - %s = %s; how far yours runs out already is not known: walk the seam", j.inUnits(s.run.v), j.inUnits(s.perEdge()), j.inUnits(s.run.v), j.finely(growth))
	return n
}

// counted lists seams with their number: "2 side, 2 side front".
func counted(seams []Seam) string {
	out := make([]string, len(seams))
	for i, s := range seams {
		out[i] = fmt.Sprintf("%d %s", s.Count, s.Name)
	}
	words := list(out, "and") + " seam"
	if edgesOf(seams) > 2 {
		words += "s"
	}
	return words
}
