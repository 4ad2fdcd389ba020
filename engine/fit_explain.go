package engine

import (
	"fmt"

	"fitadvisor/explain"
)

// explainZone hangs one zone's claims below a size.
func (j explainer) explainZone(z, s int, size *explain.Node) {
	c := j.zones[z]
	n := &explain.Node{ID: explain.ID("size", j.sizes[s], c.zone.Name), Source: c.zone.At.String()}
	if fit := j.fitted(z, s); !fit.judged {
		n.Label = fmt.Sprintf("%s: not judged, %s", c.zone.Name, fit.because)
		if g, ok := j.surmiseAt(z, s); ok {
			n.Label += "; " + g.say(j.voc.Title)
			n.Add(g.explain(j.judging, n.ID, c))
		}
		size.Add(n)
		return
	}
	j.fit(&zoneFit{}, z, s, n)
	size.Add(n)
}

// explainFit writes down how a zone's figures came about.
func (j explainer) explainFit(z, s int, r *zoneFit, n *explain.Node) {
	c := j.zones[z]
	percent := c.zone.percent()
	n.Value = valueOf(r.ease, percent)
	what := "ease"
	if c.zone.Laps != "" {
		what = "overlap left"
	}
	n.Label = fmt.Sprintf("%s (%s): %s of %s, %s", c.zone.Name, c.zone.Role, j.ease(r.ease, percent), what, j.verdict(c, r))
	if c.zone.Because != "" {
		n.Label += "; " + c.zone.Because
	}
	n.Add(j.explainEase(n.ID+"/ease", c, r, s), j.explainDrawn(n.ID+"/drawn", c, s), j.explainExpected(n.ID+"/expected", c), j.explainLiked(n.ID+"/liked", z),
		j.explainWanted(n.ID+"/wanted", z, r, s))
	if j.hasSay(z) {
		n.Add(j.explainPoints(n.ID+"/points", z, r))
	}
	if !r.finished.estimated && c.zone.eased() {
		n.Add(j.explainCloth(n.ID+"/cloth", c, r))
	}
}

func (j explainer) explainChartFit(z, s int, r *zoneFit, n *explain.Node) {
	c := j.zones[z]
	n.Value = cmValue(r.distance)
	n.Label = fmt.Sprintf("%s (%s): chart %s - you %s = %s, %s", c.zone.Name, c.zone.Role, j.inUnits(c.chart[s].v), j.inUnits(r.body), j.change(r.distance, false), j.verdict(c, r))
	n.Add(j.explainBody(n.ID+"/body", c, s), j.explainChart(n.ID+"/chart", c, s))
	if j.hasSay(z) {
		n.Add(j.explainPoints(n.ID+"/points", z, r))
	}
}

func (j explainer) explainEase(id string, c *column, r *zoneFit, s int) *explain.Node {
	n := &explain.Node{ID: id, Value: valueOf(r.ease, c.zone.percent()), Source: "method: ease"}
	n.Label = fmt.Sprintf("ease = finished %s - you %s = %s", j.inUnits(r.finished.v), j.inUnits(r.body), j.inUnits(r.finished.v-r.body))
	switch {
	case c.zone.Laps != "":
		n.Label = fmt.Sprintf("overlap left = width %s - you %s - %s of ease = %s", j.inUnits(r.finished.v), j.inUnits(r.body), j.inUnits(j.closedWith(c, s)), j.inUnits(r.ease))
	case c.zone.percent():
		n.Label = fmt.Sprintf("ease = (finished %s - you %s) / %s = %s", j.inUnits(r.finished.v), j.inUnits(r.body), j.inUnits(r.body), j.Percent(roundTo(r.ease, 100)))
	}
	return n.Add(j.explainFinished(id+"/finished", c, s), j.explainBody(id+"/body", c, s))
}

func (j explainer) explainFinished(id string, c *column, s int) *explain.Node {
	return j.explainSeen(id, c, s, j.explainLaced(id, c, s, j.explainMade(id, c, s)))
}

// explainMade is the garment as the pattern has it.
func (j explainer) explainMade(id string, c *column, s int) *explain.Node {
	f := c.finished[s]
	f.v -= c.by(s)
	if c.lacing != nil && !f.estimated {
		f.v -= float64(c.lacing.Gap)
	}
	n := &explain.Node{ID: id, Value: cmValue(f.v)}
	if c.zone.Laps != "" {
		n.Label = fmt.Sprintf("width of size %s: finished %s %s + overlap %s = %s", j.sizes[s], c.measure.Title, j.inUnits(f.v-c.drawn[s].v), j.inUnits(c.drawn[s].v), j.inUnits(f.v))
		if f.estimated {
			n.Label += ", the first of them estimated"
			n.Source = "assumption: the pattern does not give it"
			return n
		}
		n.Source = f.cell.At.String()
		return n.Add(f.cell.Sum.explain(id+"/pieces", j.words, j.voc))
	}
	if !f.estimated {
		n.Label = fmt.Sprintf("finished %s of size %s: %s%s", j.voc.Title(c.madeRow), j.sizes[s], j.inUnits(f.v), j.lineDrawn(s))
		n.Source = f.cell.At.String()
		return n.Add(f.cell.Sum.explain(id+"/pieces", j.words, j.voc))
	}
	n.Label = fmt.Sprintf("finished %s of size %s, estimated: chart %s + the ease %s = %s", c.measure.Title, j.sizes[s], j.inUnits(c.chart[s].v), j.estimateFrom(c), j.inUnits(f.v))
	n.Source = "assumption: the pattern does not give it"
	return n.Add(j.explainChart(id+"/chart", c, s))
}

func (j explainer) explainChart(id string, c *column, s int) *explain.Node {
	f := c.chart[s]
	if !f.known {
		return nil
	}
	return &explain.Node{ID: id, Label: fmt.Sprintf("chart %s of size %s: %s", j.voc.Title(c.chartRow), j.sizes[s], j.counted(*f.cell)+j.lineDrawn(s)), Value: cmValue(f.v), Source: f.cell.At.String()}
}

func (j explainer) explainDrawn(id string, c *column, s int) *explain.Node {
	d := c.drawn[s]
	if !d.known {
		return nil
	}
	percent := c.zone.percent()
	n := &explain.Node{ID: id, Value: valueOf(d.v, percent), Source: "method: ease"}
	n.Label = fmt.Sprintf("as drawn = finished %s - chart body %s = %s", j.inUnits(c.finished[s].v-c.by(s)), j.inUnits(c.chart[s].v), j.ease(d.v, percent))
	if c.zone.Laps != "" {
		return &explain.Node{ID: id, Value: cmValue(d.v), Label: "overlap as drawn: " + j.inUnits(d.v), Source: d.cell.At.String()}
	}
	if d.estimated {
		n.Label = fmt.Sprintf("as drawn: %s, between its neighbouring sizes", j.ease(d.v, percent))
	}
	return n.Add(j.explainChart(id+"/chart", c, s))
}

func (j explainer) explainExpected(id string, c *column) *explain.Node {
	e := c.zone.Ease
	if e == nil {
		return nil
	}
	n := &explain.Node{ID: id, Label: fmt.Sprintf("%s expects %s at the %s", An(j.recipe.Title), j.span(e), c.measure.Title), Source: c.zone.EaseAt.String()}
	if c.zone.Source != "" {
		n.Source = c.zone.Source + " (" + n.Source + ")"
	}
	return n
}

func (j explainer) explainWanted(id string, z int, r *zoneFit, s int) *explain.Node {
	c, w := j.zones[z], j.wishes[z]
	percent := c.zone.percent()
	n := &explain.Node{ID: id, Value: valueOf(r.wanted, percent), Source: "wish: " + w.Text}
	if w.Text == "" {
		n.Source = "method: the wish is `drawn` unless you say otherwise"
	}
	n.Label = "wanted: " + j.ease(r.wanted, percent)
	if lead := j.goesWith(z); lead >= 0 {
		n.Label += fmt.Sprintf(", as drawn and as much more or less as you ask for at the %s: nothing is graded between the two", zoneTitle(j.zones[lead].zone))
		n.Source = "wish: " + j.wishes[lead].Text
		return n
	}
	switch {
	case w.Word == WishDrawn && c.drawn[s].known:
		n.Label += ", as drawn"
	case w.Word == WishDrawn:
		n.Label += ", the middle of the range"
	case w.Word == Liked:
		n.Label += ", " + j.likedWords(z)
	case w.Word != "":
		n.Label += ", " + string(w.Word)
	}
	if w.Word != "" && w.Figure != 0 {
		n.Label += " " + j.change(w.Figure, w.Percent)
	}
	if adds := j.beneath(c); adds > 0 {
		n.Label += fmt.Sprintf(", with %s for %s beneath", j.change(adds, false), list(j.layers.extra, "and"))
	}
	return n
}

func (j explainer) explainPoints(id string, z int, r *zoneFit) *explain.Node {
	c := j.zones[z]
	percent := c.zone.percent() && c.zone.By != ByChart
	tolerance := j.reach[z].above
	side := "above"
	if r.distance < 0 {
		tolerance, side = j.reach[z].below, "below"
	}
	n := &explain.Node{ID: id, Value: explain.Number(r.points, ""), Source: "method: misfit"}
	n.Label = fmt.Sprintf("points = (%s / %s)^2 = %s", j.change(r.distance, percent), j.ease(tolerance, percent), pointsText(r.points))
	if c.zone.Weight != 1 {
		n.Label = fmt.Sprintf("points = %s x (%s / %s)^2 = %s", pointsText(c.zone.Weight), j.change(r.distance, percent), j.ease(tolerance, percent), pointsText(r.points))
	}
	t := &explain.Node{ID: id + "/tolerance", Value: valueOf(tolerance, percent), Source: "method: misfit",
		Label: fmt.Sprintf("tolerance %s the wanted ease: %s, the same for all sizes, from the wanted ease of the middle size to that end of the range", side, j.ease(tolerance, percent))}
	if c.zone.By == ByChart {
		t.Label, t.Source = fmt.Sprintf("tolerance: %s", j.ease(tolerance, false)), c.zone.At.String()
	}
	return n.Add(t)
}
