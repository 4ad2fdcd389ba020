package report

import (
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Plan lays out the sheet to cut by, in three parts: for the wall the size, the line at each level, what to see to before
// the cloth is cut, a picture, and few short steps to tick; then how each step is done; then what it rests on. It returns its
// title too.
func Plan(a *engine.Answer) (title string, d *explain.Document) {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	d = &explain.Document{}
	switch {
	case a.Ends != "":
		d.Add(explain.Sentence(r.decision()))
	case a.Recommended == nil:
		d.Add(explain.Sentence(r.decision()))
		r.section(d, "Watch", r.watch())
		d.Add(explain.Heading("Then"), explain.Sentence(strings.Join(r.grading(), " ")))
	default:
		steps := r.sheetSteps()
		half, moves := r.halfPiece()
		room, known := Room(a)
		r.onWall(d, steps, half, room, moves, known)
		d.Add(explain.NewPage("How to do each step"), explain.Sentence(r.whose()), howTo(steps))
		d.Add(explain.NewPage("What it rests on"), explain.Sentence(r.whose()))
		if moves && known {
			d.Add(explain.Beside{Left: []explain.Block{room, explain.Sentence(RoomNote)}, Right: r.restsOn()})
		} else {
			d.Add(r.restsOn()...)
		}
		r.figures(d)
	}
	spelled(d)
	return r.planTitle(), d
}

// Foot is what stands at the foot of every page of the sheet: the garment, whose it is, and the day.
func Foot(a *engine.Answer) string {
	r := &layout{a: a, s: a.Shown, units: a.Shown.Units}
	return r.whose()
}

// whose is the garment, whose it is, and the day.
func (r *layout) whose() string {
	return strings.TrimSuffix(r.garmentAndMaker()+", for "+r.a.Body+", "+r.s.Today, ", ")
}

func (r *layout) garmentAndMaker() string {
	if r.a.Maker == "" {
		return r.a.Pattern
	}
	return r.a.Pattern + ", " + r.a.Maker
}

// onWall is the first part.
func (r *layout) onWall(d *explain.Document, steps []sheetStep, half, room explain.Shapes, moves, known bool) {
	brief := NewBrief(r.a)
	head := explain.Headline{Lead: "Cut", Large: brief.Size, Rest: brief.Rest, Beside: []string{r.garmentAndMaker(), strings.TrimSuffix("for "+r.a.Body+", "+r.s.Today, ", ")}}
	switch {
	case brief.Size == "":
		head.Lead = ""
	case brief.Rest != "":
		head.Rest = "with " + brief.Rest
	}
	if from := r.from(); from != "" {
		head.Beside = append(head.Beside, from)
	}
	d.Add(head)
	if lines := r.sheetLines(); len(lines) > 0 {
		d.Add(explain.Framed{Items: lines})
	}
	if before := r.before(&brief); len(before) > 0 {
		d.Add(explain.Framed{Items: []explain.Frame{{Title: "Before you cut", Lines: before}}})
	}
	two := explain.Beside{Right: []explain.Block{explain.Heading("In this order"), ticked(steps)}}
	switch {
	case moves:
		two.Left = []explain.Block{half, explain.Sentence("Thick: cut along it. Dashes and dots: the lines of " + list(r.followed(r.levels())) + ".")}
	case known:
		two.Left = []explain.Block{room, explain.Sentence(RoomNote)}
	}
	d.Add(two, explain.Sentence("Next: how to do each step. Last: what it rests on. The program advises; you decide."))
}

// from are the measurements that it rests on, in few words: those that are judged.
func (r *layout) from() string {
	var parts []string
	for _, u := range r.s.Used {
		if r.judged(u.Measurement) {
			parts = append(parts, r.s.Title(u.Measurement)+" "+u.Value)
		}
	}
	return strings.Join(parts, ", ")
}

// before is what to see to before the cloth is cut: what is warned of first, then what would settle the size.
func (r *layout) before(brief *Brief) []string {
	var out []string
	for _, c := range r.grave() {
		out = append(out, sentences(capital(c.Say), c.Fix))
	}
	if brief.Settle != "" {
		out = append(out, brief.Settle)
	}
	return out
}

// figures is the last part: the levels with all their figures, and what was not judged.
func (r *layout) figures(d *explain.Document) {
	if len(r.a.Plan.Levels) > 0 {
		d.Add(explain.Heading("Level by level, in "+unitWord(r.units)), r.levelTable())
	}
	if steps := r.a.Grading.Steps; len(steps) > 0 {
		d.Add(explain.Heading("From line to line, in "+unitWord(r.units)), r.sharedTable(steps))
	}
	r.section(d, "Where it will end", r.lengths())
	r.section(d, "Good to know", r.toKnow())
	open := notJudgedSteps(r.a.NotJudged)
	open.Items = append(open.Items, assumptionSteps(r.a.Assumptions).Items...)
	r.section(d, "Not judged, and taken for granted", open)
}

// restsOn is the decision, how sure it is, what a toile showed, and the measurements with their days.
func (r *layout) restsOn() []explain.Block {
	return slices.Concat([]explain.Block{explain.Sentence(r.decision())}, r.sure(), Observed(r.a), []explain.Block{explain.Sentence("Measured: " + r.used())})
}

// toKnow are the notes that change what is done.
func (r *layout) toKnow() explain.Steps {
	var s explain.Steps
	for _, c := range r.a.Cautions {
		if c.OnSheet && c.Severity == engine.Note {
			s.Items = append(s.Items, explain.Step{Mark: "-", Text: sentences(capital(c.Say), c.Fix)})
		}
	}
	return s
}

// spelled puts in quotes what a document has as code: nobody at the cutting table has to know how files spell it.
func spelled(d *explain.Document) {
	for i, b := range d.Blocks {
		switch b := b.(type) {
		case explain.Sentence:
			d.Blocks[i] = explain.Sentence(explain.Quoted(string(b)))
		case explain.Steps:
			for k := range b.Items {
				b.Items[k].Text = explain.Quoted(b.Items[k].Text)
				for j := range b.Items[k].Lines {
					b.Items[k].Lines[j] = explain.Quoted(b.Items[k].Lines[j])
				}
			}
		case explain.Framed:
			for k := range b.Items {
				for j := range b.Items[k].Lines {
					b.Items[k].Lines[j] = explain.Quoted(b.Items[k].Lines[j])
				}
			}
		case explain.Beside:
			spelled(&explain.Document{Blocks: b.Left})
			spelled(&explain.Document{Blocks: b.Right})
		}
	}
}

func (r *layout) planTitle() string {
	s := r.a.Pattern
	if r.a.Maker != "" {
		s += " by " + r.a.Maker
	}
	return fmt.Sprintf("%s for %s", s, r.a.Body)
}

// levelTable is the ledger: the garment on its line and what is changed come to
// what it becomes; that less you is the ease.
func (r *layout) levelTable() explain.Table {
	t := explain.Table{Header: []string{"level", "line", "garment", "changed", "becomes", "you", "ease", "will do"}, Numeric: []bool{false, false, true, true, true, true, true, true}}
	for i := range r.a.Plan.Levels {
		l := &r.a.Plan.Levels[i]
		garment := onItsLine(l)
		becomes, changed := r.length(&l.Becomes), ""
		if by := l.Becomes - garment; by != 0 {
			changed = signed(r, &by)
		}
		if l.Estimated {
			becomes = "about " + becomes
		}
		t.Rows = append(t.Rows, []string{spoken(l.Zone), l.Line, r.length(&garment), changed, becomes, r.length(&l.You), r.ease(&l.Ease, l.Unit), r.willDo(l)})
	}
	return t
}

// onItsLine is the garment at a level on the line that is followed there.
func onItsLine(l *engine.Level) float64 {
	v := l.OnLine
	for _, c := range l.Changes {
		if c.By == engine.ByLine {
			v += c.Amount
		}
	}
	return v
}

// willDo is the ease that will do at a level.
func (r *layout) willDo(l *engine.Level) string {
	switch {
	case l.Wish != nil:
		return "asked: " + r.ease(l.Wish, l.Unit)
	case l.Least != nil && l.Most != nil:
		return r.ease(l.Least, l.Unit) + " to " + r.ease(l.Most, l.Unit)
	case l.Least != nil:
		return r.ease(l.Least, l.Unit) + " or more"
	case l.Most != nil:
		return r.ease(l.Most, l.Unit) + " or less"
	}
	return ""
}

// sharedTable is the moves between lines, with amounts that add up.
func (r *layout) sharedTable(steps []engine.GradingStep) explain.Table {
	t := explain.Table{Header: []string{"from", "to", "sizes", "in all", "edges", "each edge", "run", "slope"}, Numeric: []bool{false, false, false, true, true, true, true, true}}
	for i := range steps {
		g := &steps[i]
		parts := shared(g.GirthChange, g.Edges, r.units)
		slope := ""
		if g.Degrees != nil {
			slope = quantity.FormatCount(*g.Degrees) + "°"
		}
		t.Rows = append(t.Rows, []string{words(g.From), words(g.To), g.FromSize + " to " + g.ToSize, r.bare(whole(parts).Fine(r.units)), fmt.Sprint(g.Edges), r.bare(perEdge(parts)), r.length(g.Run), slope})
	}
	return t
}

// bare drops the unit, which the heading names.
func (r *layout) bare(text string) string { return strings.ReplaceAll(text, " "+string(r.units), "") }

func boxes(texts []string) []explain.Step {
	items := make([]explain.Step, len(texts))
	for i, t := range texts {
		items[i] = explain.Step{Mark: explain.ToTick, Text: t}
	}
	return items
}

// onPaper are the checks that come before the pattern is traced; the rest belongs
// to the cloth.
var onPaper = []string{"test-square", engine.MeasurePattern, "size-lines", "seam-allowance", "cloth-length", engine.ClothShort, "cloth-layout", "prewash"}

// checked parts the checks into those that come before the pattern is traced and those at the cloth, elastic among them.
// Seams are walked once the lines are drawn; others that are done are left out too.
func (r *layout) checked(done ...string) (paper, cloth []engine.Check) {
	elastic := false
	for _, c := range r.a.BeforeCutting {
		elastic = elastic || c.ID == "elastic"
		switch {
		case c.ID == "seams" && len(r.a.Grading.Follow) > 0 || slices.Contains(done, c.ID):
		case slices.Contains(onPaper, c.ID):
			paper = append(paper, c)
		default:
			cloth = append(cloth, c)
		}
	}
	if !elastic {
		for _, say := range r.elastic() {
			cloth = append(cloth, engine.Check{Say: strings.TrimSuffix(say, ".")})
		}
	}
	return paper, cloth
}

func (r *layout) toAlter() []sheetStep {
	var items []sheetStep
	for i := range r.a.Alterations {
		a := &r.a.Alterations[i]
		step := sheetStep{say: a.Say}
		for _, line := range []struct{ what, text string }{{"Where", a.Where}, {"How", a.Spread}, {"Also", a.Also}, {"Then", r.after(a)}} {
			if line.text != "" {
				step.how = append(step.how, line.what+": "+line.text)
			}
		}
		items = append(items, step)
	}
	return items
}

// toSew is the toile, as one step.
func (r *layout) toSew() []sheetStep {
	t := r.a.Toile
	if !t.Advised || len(r.a.Observed) > 0 {
		return nil
	}
	step := sheetStep{say: fmt.Sprintf("Sew a toile of size %s first.", t.Size), how: []string{fmt.Sprintf("%s. Cloth: %s.", capital(strings.Join(t.Because, "; ")), t.Cloth)}}
	var wide []string
	for _, w := range t.Allowances {
		wide = append(wide, fmt.Sprintf("%s at the %s", quantity.FormatCm(w.Cm, r.units), spoken(w.Zone)))
	}
	if len(wide) > 0 {
		step.how = append(step.how, "Leave wide seam allowances where it may have to be let out: "+list(wide)+".")
	}
	step.how = append(step.how, "Look at it in this order: "+strings.Join(t.LookAt, "; ")+".")
	return []sheetStep{step}
}

// watch are the cautions, without what only tells.
func (r *layout) watch() explain.Steps {
	return cautionSteps(slices.DeleteFunc(slices.Clone(r.a.Cautions), func(c engine.Caution) bool { return !c.OnSheet }))
}

// used are the measurements it rests on, gathered by their days.
func (r *layout) used() string {
	var days []string
	by := map[string][]string{}
	for _, u := range r.s.Used {
		if by[u.Taken] == nil {
			days = append(days, u.Taken)
		}
		by[u.Taken] = append(by[u.Taken], r.s.Title(u.Measurement)+" "+u.Value)
	}
	parts := make([]string, len(days))
	for i, day := range days {
		parts[i] = list(by[day]) + ", taken " + day
		if day == "" {
			parts[i] = list(by[day]) + ", without a day"
		}
	}
	return capital(strings.Join(parts, "; ")) + "."
}
