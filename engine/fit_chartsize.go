package engine

import (
	"fmt"
	"math"
	"slices"

	"fitadvisor/explain"
)

// pick is a size chosen from the chart by one measurement.
type pick struct {
	by       *Measure
	rowName  string
	row      Row
	s        int   // the size, in size order
	tied     []int // where several are as near, all of them
	asNear   []int // the same before the nearest cup was taken
	distance float64
	off      float64 // beyond the chart's outer edge, signed; 0 on the chart
	offLimit float64 // how far beyond it is still no matter
}

// pickSize is the chart size by the controlling measurement.
func (j *judging) pickSize() (pick, error) {
	names, err := j.controllingNames()
	if err != nil {
		return pick{}, err
	}
	var wanting *Measure
	for _, name := range names {
		m := j.voc.Measure(name)
		row, rowName := j.chartRowFor(m)
		if row == nil || !j.places(row) {
			continue
		}
		if !j.atMeasure(m, 0).known {
			if wanting == nil {
				wanting = m
			}
			continue
		}
		return j.pickBy(m, row, rowName), nil
	}
	if wanting == nil {
		return pick{}, &NoRowError{Recipe: j.recipe.Title, Row: list(names, "` or `")}
	}
	return pick{}, &UnknownError{Recipe: j.recipe.Title, Measurement: wanting.Name, Title: wanting.Title, How: wanting.How, At: j.Body.MeasurementsAt}
}

// controllingNames is the recipe's list, or the one its expression yields.
func (j *judging) controllingNames() ([]string, error) {
	c := &j.recipe.Controlling
	if c.Formula == nil {
		return c.Names, nil
	}
	named := c.named(j.voc)
	got, err := j.env.text(c.Formula)
	if isMissing(err) {
		return named[:1], nil
	}
	if err != nil {
		return nil, placedError(c.At, err)
	}
	if j.voc.Measure(got) == nil {
		return nil, placedError(c.At, fmt.Errorf("the controlling expression yields %q, which is no measurement", got))
	}
	return []string{got}, nil
}

// chartRowFor finds the row a controlling measurement is read against; where an
// expression yields one the chart lacks, the first measurement it names.
func (j *judging) chartRowFor(m *Measure) (Row, string) {
	row, name := j.row(j.pattern.Chart, m.Name)
	if row == nil && j.recipe.Controlling.Formula != nil {
		return j.row(j.pattern.Chart, j.recipe.Controlling.named(j.voc)[0])
	}
	return row, name
}

// atMeasure is the body at a measurement in one size, with upper bust + cup
// standing for the bust where the garment hangs from the shoulder.
func (j *judging) atMeasure(m *Measure, s int) figure {
	return j.at(j.columnFor(m), s)
}

// columnFor is a zone's column as far as the body goes, for any measurement.
func (f *Fitter) columnFor(m *Measure) *column { return f.bodies[m.index] }

// pickBy finds the nearest column, or the range that holds the measurement.
// Half-way, a shared border and the middle of a gap are ties.
func (j *judging) pickBy(m *Measure, row Row, rowName string) pick {
	p := pick{by: m, row: row, rowName: rowName, s: -1}
	nearest, body := math.Inf(1), j.columnFor(m)
	for s, i := range j.cells {
		if !row[i].Known {
			continue
		}
		d := ticks(distanceTo(row[i], j.at(body, s).v), false)
		switch {
		case d < nearest:
			nearest, p.tied = d, append(p.tied[:0], s)
		case d == nearest:
			p.tied = append(p.tied, s)
		}
	}
	p.asNear = p.tied
	p.tied = j.nearestCup(p.tied)
	p.s = p.tied[0]
	if j.between == Larger {
		p.s = p.tied[len(p.tied)-1]
	}
	p.distance = distanceTo(row[j.cells[p.s]], j.atMeasure(m, p.s).v)
	j.measureOff(&p)
	return p
}

// distanceTo is how far a body lies from a cell: 0 inside a range, else to the nearer border.
func distanceTo(c Cell, body float64) float64 {
	return max(float64(c.Low)-body, 0, body-float64(c.High))
}

// measureOff says how far the body lies beyond the outer edge of the end cell,
// and from where on that matters: half the end step, or at once for ranges.
func (j *judging) measureOff(p *pick) {
	var known []int
	for s, i := range j.cells {
		if p.row[i].Known {
			known = append(known, s)
		}
	}
	cell := func(k int) Cell { return p.row[j.cells[known[k]]] }
	last := len(known) - 1
	lowest, highest := cell(0), cell(last)
	end, next := lowest, cell(min(1, last))
	if d := j.atMeasure(p.by, known[0]).v - float64(lowest.Low); d < 0 {
		p.off = d
	}
	if d := j.atMeasure(p.by, known[last]).v - float64(highest.High); d > 0 {
		p.off = d
		end, next = highest, cell(max(last-1, 0))
	}
	if end.Low == end.High {
		p.offLimit = math.Abs(end.middle()-next.middle()) * j.voc.Limits.OffChartShare
	}
	if z := j.zoneAt(p.by.Name); j.single() && z >= 0 { // it is drawn out or in
		p.offLimit = max(p.offLimit, j.drawable(j.zones[z]))
	}
}

// offChartCm is how far the body lies beyond the chart, as the answer has it.
func (j *judging) offChartCm() float64 { return roundTo(j.chart.off/nanometresPerCm, 1000) }

// patternEnds says that the pattern ends before this body, where that is no matter of a little.
func (j *judging) patternEnds() string {
	p := &j.chart
	if math.Abs(p.off) <= p.offLimit {
		return ""
	}
	begins, extreme := "ends", "largest"
	if p.off < 0 {
		begins, extreme = "begins", "smallest"
	}
	if len(j.sizes) == 1 {
		extreme = "only"
	}
	body, how := j.inUnits(j.atMeasure(p.by, p.s).v), ""
	if j.columnFor(p.by).standIn && j.byUpperBust(p.s) {
		how = " by upper bust and cup"
	}
	return fmt.Sprintf("This pattern %s %s before you: its %s size, %s, is drawn for %s of %s, and yours is %s%s. Look for a pattern that reaches %s, or ask the maker for more sizes.",
		begins, j.inUnits(math.Abs(p.off)), extreme, j.sizes[p.s], An(p.by.Title), j.cell(p.row[j.cells[p.s]]), body, how, body)
}

// sizeByMeasurement is the size of every measurement that body and chart share.
func (j *judging) sizeByMeasurement() map[string]string {
	out := map[string]string{}
	for _, name := range j.shared() {
		s, _ := j.chartSizeAt(j.columnFor(j.voc.Measure(name)))
		out[name] = j.sizes[s]
	}
	return out
}

// shared lists the chart's measurements that the body has too, from the top down.
func (j *judging) shared() []string {
	var names []string
	for _, name := range j.voc.names {
		row := j.pattern.Chart[name]
		if row != nil && j.places(row) && j.atMeasure(j.voc.Measure(name), 0).known {
			names = append(names, name)
		}
	}
	return names
}

// places tells whether a row has a cell for any of the sizes.
func (f *Fitter) places(row Row) bool {
	return slices.ContainsFunc(f.cells, func(i int) bool { return row[i].Known })
}

func (j explainer) explainPick() *explain.Node {
	p := j.chart
	m, body := p.by, j.atMeasure(p.by, p.s).v
	cell := p.row[j.cells[p.s]]
	n := &explain.Node{ID: "chart", Value: explain.Text(j.sizes[p.s]), Source: "method: chart size"}
	switch {
	case p.off != 0:
		n.Label = fmt.Sprintf("chart size %s by the %s: %s lies %s beyond the chart's end, %s", j.sizes[p.s], m.Title, j.inUnits(body), j.finely(math.Abs(p.off)), j.cell(cell))
	case p.distance == 0:
		n.Label = fmt.Sprintf("chart size %s by the %s: %s lies in its column, %s", j.sizes[p.s], m.Title, j.inUnits(body), j.cell(cell))
	default:
		n.Label = fmt.Sprintf("chart size %s by the %s: %s lies nearest its column, %s, %s away", j.sizes[p.s], m.Title, j.inUnits(body), j.cell(cell), j.finely(p.distance))
	}
	if len(p.asNear) > len(p.tied) {
		full, _ := j.byCup()
		n.Label += fmt.Sprintf("; sizes %s are as near, and of these the chart's bust of size %s lies nearest your full bust of %s", list(j.labels(p.asNear), "and"), list(j.labels(p.tied), "and"), j.inUnits(full.v))
	}
	if len(p.tied) > 1 {
		n.Label += fmt.Sprintf("; sizes %s are as near, and between sizes this type takes the %s", list(j.labels(p.tied), "and"), j.between)
	}
	return n.Add(
		j.explainBody("chart/body", j.columnFor(m), p.s),
		&explain.Node{ID: "chart/cell", Label: fmt.Sprintf("chart %s of size %s: %s", j.voc.Title(p.rowName), j.sizes[p.s], j.counted(cell)), Value: cmValue(cell.middle()), Source: cell.At.String()},
		&explain.Node{ID: "chart/controlling", Label: fmt.Sprintf("%s is chosen by the %s", An(j.recipe.Title), m.Title), Value: explain.Text(m.Name), Source: j.recipe.Controlling.At.String()},
	)
}

// cell is a cell in the reader's units.
func (w words) cell(c Cell) string {
	if c.Low == c.High {
		return w.inUnits(float64(c.Low))
	}
	return w.inUnits(float64(c.Low)) + " to " + w.inUnits(float64(c.High))
}

// counted is a cell with the figure that stands for it: of a range its middle.
func (w words) counted(c Cell) string {
	if c.Low == c.High {
		return w.cell(c)
	}
	return w.cell(c) + ", its middle " + w.inUnits(c.middle())
}

func (f *Fitter) labels(ss []int) []string {
	out := make([]string, len(ss))
	for i, s := range ss {
		out[i] = f.sizes[s]
	}
	return out
}
