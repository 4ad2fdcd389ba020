package recipes

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules"
)

// Sketch is a recipe that somebody begins to write: what they say of it already.
// [Sketch.Guess] guesses the rest, and [Sketch.File] writes the file to fill in.
type Sketch struct {
	Name    string
	Title   Given
	Draft   Given           // women, men, children or all
	Decides Given           // the body measurement that picks the size
	Stretch Given           // none, or as "comfort 10 %" or "needed 25 %"
	BasedOn string          // the garment type that all else is taken over from, or
	Pattern *engine.Pattern // one whose rows propose zones; nil: none
}

// Given is what was said, or a guess and where that comes from.
type Given struct {
	Text  string
	Guess string // empty: no guess
}

// guess fills in what was not said.
func (s *Given) guess(text, why string) {
	if s.Text == "" {
		*s = Given{text, why}
	}
}

// CheckName finds a name that a new garment type cannot have: a word of another
// form, or the name of a shipped type that it is not based on.
func (s *Sketch) CheckName() error {
	switch {
	case !rules.IsID(s.Name):
		return &NameError{"a garment type cannot be called `" + s.Name + "`", nameHint}
	case slices.Contains(Names(), s.Name) && s.BasedOn != s.Name:
		return &NameError{"a garment type `" + s.Name + "` is shipped already",
			"give yours another name; or say --based-on " + s.Name + " too, if it is to stand in for that"}
	}
	return nil
}

// NameError says that a garment type cannot have a name.
type NameError struct{ summary, hint string }

func (e *NameError) Error() string { return e.summary }

// Hint says which names are good.
func (e *NameError) Hint() string { return e.hint }

// Guess fills in what was not said. Of a garment type that is based on another
// only the title is guessed: the rest is taken over.
func (s *Sketch) Guess(voc *engine.Vocabulary) {
	s.Title.guess(strings.ReplaceAll(s.Name, "-", " "), "from the name")
	if s.BasedOn != "" {
		return
	}
	s.Decides.guess(s.hardestToMend(voc))
	s.Draft.guess(s.draftedFor())
	s.Stretch.guess(s.stretchNeeded(voc))
}

// inOrder are the measurements that decide, the hardest to mend first: what hangs
// from the shoulder cannot be let out at the armhole, a hip only at the seams,
// and a waist has darts and seams above and below.
var inOrder = []string{"bust", "chest", "hip", "waist"}

func (s *Sketch) hardestToMend(voc *engine.Vocabulary) (name, why string) {
	if s.Pattern == nil {
		return "hip", "most garments that reach below the waist are chosen by it; those that hang from the shoulder by the bust or the chest"
	}
	made := s.rows(voc)
	for _, rows := range [][]string{made, s.charted(voc)} {
		for _, m := range inOrder {
			if slices.Contains(rows, m) {
				return m, "of what the pattern gives it is the hardest to mend (bust or chest before hip, hip before waist)"
			}
		}
	}
	return append(made, s.charted(voc)...)[0], "the pattern gives neither bust, chest, hip nor waist"
}

func (s *Sketch) draftedFor() (who, why string) {
	switch {
	case s.Decides.Text == "height":
		return "children", "height decides"
	case s.Pattern != nil && s.Pattern.Chart["bust"] != nil:
		return "women", "the chart has a bust"
	}
	return "all", "nothing tells for whom it is drafted"
}

// stretchNeeded goes by the cloth the pattern was drafted for, or else by what was
// drawn: what is smaller than the body needs stretch, and half of a cloth's stretch
// stays comfortable.
func (s *Sketch) stretchNeeded(voc *engine.Vocabulary) (stretch, why string) {
	if s.Pattern == nil {
		return "none", "a cloth that does not stretch"
	}
	closest, lowest := 0.0, 0.0 // percent below the body, as drawn and as the range begins
	for _, m := range s.rows(voc) {
		if low, high := s.drawn(m).percent(); low < 0 && voc.Measure(m).Kind == engine.Girth { // a short sleeve is not stretched
			from, _ := span(low, high, 1)
			closest, lowest = max(closest, -low), max(lowest, -from)
		}
	}
	least := func(need float64) string {
		return quantity.FormatPercent(max(voc.Limits.LeastStretch, math.Ceil(need/voc.Limits.UsableShare/5)*5))
	}
	switch drafted := s.Pattern.Stretch; {
	case drafted != nil && *drafted > 0 && closest > 0:
		return "needed " + quantity.FormatPercent(*drafted), "what the pattern was drafted for, and it is drawn smaller than the body"
	case drafted != nil && *drafted > 0:
		return "comfort " + quantity.FormatPercent(*drafted), "what the pattern was drafted for, and it is drawn no smaller than the body"
	case closest > 0:
		return "needed " + least(100*lowest/(100-lowest)), "it is drawn up to " + quantity.FormatPercent(closest) + " smaller than the body, and half of a cloth's stretch stays comfortable"
	}
	return "none", "it is drawn no smaller than the body"
}

// rows are the measurements that the pattern gives of both body and garment, from
// the top down.
func (s *Sketch) rows(voc *engine.Vocabulary) []string {
	return slices.DeleteFunc(s.charted(voc), func(m string) bool { return len(s.drawn(m)) == 0 })
}

// charted are the measurements of the chart that are known for a size.
func (s *Sketch) charted(voc *engine.Vocabulary) []string {
	return slices.DeleteFunc(voc.BodyNames(), func(m string) bool {
		return voc.Measure(m).Kind == engine.Angle || !slices.ContainsFunc(s.Pattern.Chart[m], func(c engine.Cell) bool { return c.Known })
	})
}

// drawing is the ease that was drawn at a measurement, size by size.
type drawing []struct{ body, made quantity.Length }

func (s *Sketch) drawn(measure string) drawing {
	var d drawing
	finished := s.Pattern.Finished[measure]
	for i, c := range s.Pattern.Chart[measure] {
		if i < len(finished) && c.Known && finished[i].Known {
			d = append(d, struct{ body, made quantity.Length }{middle(c), middle(finished[i])})
		}
	}
	return d
}

func middle(c engine.Cell) quantity.Length { return (c.Low + c.High) / 2 }

// percent is the least and the most ease that was drawn, of the body.
func (d drawing) percent() (low, high float64) {
	for i, s := range d {
		p := 100 * float64(s.made-s.body) / float64(s.body)
		if i == 0 || p < low {
			low = p
		}
		if i == 0 || p > high {
			high = p
		}
	}
	return low, high
}

// length is the least and the most ease that was drawn, in nanometres.
func (d drawing) length() (low, high float64) {
	for i, s := range d {
		e := float64(s.made - s.body)
		if i == 0 || e < low {
			low = e
		}
		if i == 0 || e > high {
			high = e
		}
	}
	return low, high
}

// span is a range of ease, rounded outward to whole steps; one that is no wider
// than a step gets one more on either side, since a range needs room.
func span(low, high, step float64) (float64, float64) {
	low, high = math.Floor(low/step+1e-9)*step, math.Ceil(high/step-1e-9)*step
	if high-low < 1.5*step {
		return low - step, high + step
	}
	return low, high
}

// ease proposes the ease of a zone, and says from what.
func (s *Sketch) ease(m *engine.Measure, voc *engine.Vocabulary) Given {
	unit, step := quantity.Cm, quantity.Centimetre
	if s.Pattern != nil && s.Pattern.Units == quantity.In {
		unit, step = quantity.In, quantity.Inch/2
	}
	if m.Kind != engine.Girth {
		step /= 2
	}
	inUnit := func(low, high float64) string {
		return quantity.Length(low).Exact(unit) + " .. " + quantity.Length(high).Exact(unit)
	}
	var d drawing
	if s.Pattern != nil {
		d = s.drawn(m.Name)
	}
	if len(d) > 0 {
		if low, high := d.percent(); low < 0 && m.Kind == engine.Girth {
			from := drew(quantity.FormatPercent(low), quantity.FormatPercent(high))
			low, high = span(low, high, 1)
			return Given{quantity.FormatPercent(low) + " .. " + quantity.FormatPercent(high), from}
		}
		low, high := d.length()
		from := drew(quantity.Length(low).Format(unit), quantity.Length(high).Format(unit))
		low, high = span(low, high, float64(step))
		return Given{inUnit(low, high), from}
	}
	if stretch, ok := strings.CutPrefix(s.Stretch.Text, "needed"); ok {
		least, _ := quantity.ParsePercent(strings.TrimSpace(stretch))
		low := min(10, math.Floor(100-100/(1+least*voc.Limits.UsableShare/100)))
		return Given{quantity.FormatPercent(-low) + " .. 0 %", "a knit is often drawn up to a tenth smaller than the body, as far as half of its stretch carries it"}
	}
	room, _ := m.WearingEase(nil)
	low := math.Ceil(float64(room)/float64(step)) * float64(step)
	return Given{inUnit(low, low+8*float64(step)), "from the room that is usual to move in, " + room.Format(unit)}
}

func drew(low, high string) string {
	if low == high {
		return "the maker drew " + low
	}
	return "the maker drew " + low + " to " + high
}

// guessMark begins the remark behind what was guessed.
const guessMark = "# guessed: "

// sheet is a file that is being written.
type sheet struct {
	bytes.Buffer
	line    int
	guessed []int // lines
}

// put writes lines.
func (w *sheet) put(lines ...string) {
	for _, l := range lines {
		w.line++
		w.WriteString(l + "\n")
	}
}

// given writes a line with what was said, or with a guess that is marked.
func (w *sheet) given(key string, text string, s Given) {
	if s.Guess != "" {
		text += "  " + guessMark + s.Guess
		w.guessed = append(w.guessed, w.line+1)
	}
	w.put(key + ": " + text)
}

// File writes the recipe file, after [Sketch.Guess], and tells which of its lines
// are guessed. Each is marked.
func (s *Sketch) File(voc *engine.Vocabulary) (text []byte, guessed []int) {
	w := &sheet{}
	w.put(
		"# A garment type of your own. Look at every line that says `guessed`, put right",
		"# what is wrong, and take the remark away. Then:",
		"#   advisor recipe check "+s.Name+".yaml",
		"#   advisor recipe test "+s.Name+".yaml",
		"kind: recipe", "name: "+s.Name)
	w.given("title", inQuotes(s.Title.Text), s.Title)
	if s.BasedOn != "" {
		s.changes(w)
	} else {
		s.whole(w, voc)
	}
	return w.Bytes(), w.guessed
}

// inQuotes is a text as YAML holds it whatever is in it.
func inQuotes(text string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil {
		return `""`
	}
	return strings.TrimSpace(b.String())
}

// inKeys is a stretch as the file has it: none, or {needed: 25 %}.
func inKeys(stretch string) string {
	if kind, least, ok := strings.Cut(stretch, " "); ok {
		return "{" + kind + ": " + least + "}"
	}
	return stretch
}

// changes writes what differs from the garment type that this one is based on.
func (s *Sketch) changes(w *sheet) {
	w.put("based_on: " + s.BasedOn)
	if s.BasedOn == s.Name {
		w.put("replaces: " + s.Name)
	}
	w.put("# All that is not said here is taken over: `advisor recipe show "+s.BasedOn+"` shows it.",
		"# A zone or an ease that you write stands in for the one taken over, as in",
		"#   zones: {hip: {ease: 6 cm .. 12 cm}}", "# and `~` takes one out, as in", "#   zones: {waist: ~}",
		"# Examples are not taken over: write yours under `examples:`, at the end.")
	if s.Draft.Text != "" {
		w.given("draft", s.Draft.Text, s.Draft)
	}
	if s.Decides.Text != "" {
		w.given("controlling", s.Decides.Text, s.Decides)
	}
	if s.Stretch.Text != "" {
		w.given("stretch", inKeys(s.Stretch.Text), s.Stretch)
	}
}

// whole writes a recipe that stands by itself.
func (s *Sketch) whole(w *sheet, voc *engine.Vocabulary) {
	w.given("draft", s.Draft.Text, s.Draft)
	w.put("", "# What decides, as a cutter would say it: the level that is hardest to mend once it is cut.")
	decides := voc.Measure(s.Decides.Text)
	w.given("because", inQuotes("The "+decides.Title+" is the hardest to put right, so it decides."), Given{Guess: "say why, of this garment"})
	w.given("source", "my own practice", Given{Guess: "say where the figures come from"})
	w.given("controlling", s.Decides.Text, s.Decides)
	w.put("", "# The levels that are looked at. One that decides picks between the sizes by its ease;",
		"# one that is mended is put right in the pattern, and `mend:` says how.", "zones:")
	zones := []string{s.Decides.Text}
	if s.Pattern != nil {
		zones = slices.DeleteFunc(voc.BodyNames(), func(m string) bool { return m != s.Decides.Text && !slices.Contains(s.rows(voc), m) })
	}
	for _, z := range zones {
		m := voc.Measure(z)
		s.zone(w, m, len(zones) > 1 && m.Kind == engine.Girth && m.Limb == "" && m.Level >= voc.Measure("bust").Level, voc)
	}
	w.put("", "# What the cloth must give: none, or as {comfort: 10 %}, or as {needed: 25 %}.")
	w.given("stretch", inKeys(s.Stretch.Text), s.Stretch)
	w.put("", "# Whether cutting from one size line to another makes sense.")
	if len(zones) > 1 {
		w.given("grading", `{sensible: true, because: "its seams run from one level to the next"}`, Given{Guess: "usual where seams run through all levels"})
	} else {
		w.given("grading", `{sensible: false, because: "one level alone is looked at"}`, Given{Guess: "until there are more zones"})
	}
	w.put("", "# It can also say: openings, size_moves, between_sizes, worn_over, hangs_from, parts, cautions;",
		"# `advisor recipe show` shows how a shipped garment type does.", "")
	s.example(w, voc)
}

// byChart tells whether a zone is read off the chart: a length of the body that
// the garment does not have.
func (s *Sketch) byChart(m *engine.Measure) bool {
	return m.Kind == engine.Along && (s.Pattern == nil || len(s.drawn(m.Name)) == 0)
}

// zone writes one level; seamed where side seams usually cross it.
func (s *Sketch) zone(w *sheet, m *engine.Measure, seamed bool, voc *engine.Vocabulary) {
	w.put("  " + m.Name + ":")
	switch {
	case m.Name != s.Decides.Text:
		w.given("    role", "mended", Given{Guess: "all but the one that decides"})
	case s.byChart(m):
		w.put("    role: decides", "    by: chart")
		w.given("    tolerance", "3 cm", Given{Guess: "about half a size"})
		return
	default:
		w.put("    role: decides")
	}
	e := s.ease(m, voc)
	w.given("    ease", e.Text, e)
	if seamed {
		w.given("    seams", "{side: 2}", Given{Guess: "those that cross it and may be moved"})
	}
	if m.Name != s.Decides.Text {
		mend := "take it in or let it out at the seams before you cut"
		if m.Kind == engine.Along {
			mend = "lengthen or shorten across the pattern piece before you cut"
		}
		w.given("    mend", inQuotes(mend), Given{Guess: "usual for a " + string(m.Kind)})
	}
}

// example writes an example that passes: the body that the middle size is drawn
// for gets that size.
func (s *Sketch) example(w *sheet, voc *engine.Vocabulary) {
	p := s.Pattern
	if p == nil {
		p = s.invented(voc)
	}
	row := p.Chart[s.Decides.Text]
	at := (len(row) - 1) / 2
	if len(row) == 0 || !row[at].Known {
		return
	}
	drawnFor := &Sketch{Pattern: p}
	var body []string
	for _, m := range drawnFor.charted(voc) {
		if c := p.Chart[m][at]; c.Known {
			body = append(body, m+": "+middle(c).Exact(unitOf(p)))
		}
	}
	size := inQuotes(p.Sizes[at])
	w.put("# Cases with what must come out; `advisor recipe test` runs them. Those at the edges of an ease say most.",
		"examples:", "  # Who is just what a size is drawn for, with the ease that was drawn, gets that size.")
	w.given("  - name", inQuotes("the body of size "+p.Sizes[at]), Given{Guess: "put in a garment that you know"})
	w.put("    given:", "      body: {"+strings.Join(body, ", ")+"}", "      pattern:")
	labels := make([]string, len(p.Sizes))
	for i, l := range p.Sizes {
		labels[i] = inQuotes(l)
	}
	w.put("        sizes: ["+strings.Join(labels, ", ")+"]", "        body:")
	put := func(names []string, rows map[string]engine.Row) {
		for _, m := range names {
			w.put("          " + m + ": [" + strings.Join(cellsOf(rows[m], unitOf(p)), ", ") + "]")
		}
	}
	put(drawnFor.charted(voc), p.Chart)
	if made := drawnFor.rows(voc); len(made) > 0 {
		w.put("        finished:")
		put(made, p.Finished)
	}
	w.put("    expect: {size: " + size + "}")
}

func unitOf(p *engine.Pattern) quantity.Unit {
	if p.Units == quantity.In {
		return quantity.In
	}
	return quantity.Cm
}

func cellsOf(row engine.Row, unit quantity.Unit) []string {
	var cells []string
	for _, c := range row {
		switch {
		case !c.Known:
			cells = append(cells, "~")
		case c.Low == c.High:
			cells = append(cells, c.Low.Exact(unit))
		default:
			cells = append(cells, c.Low.Exact(unit)+" .. "+c.High.Exact(unit))
		}
	}
	return cells
}

// invented is a pattern in three sizes round the middle of everybody measured,
// with the ease that is proposed.
func (s *Sketch) invented(voc *engine.Vocabulary) *engine.Pattern {
	m := voc.Measure(s.Decides.Text)
	middle := (m.Least + m.Most) / 2 / quantity.Centimetre * quantity.Centimetre
	p := &engine.Pattern{Sizes: []string{"S", "M", "L"}, Chart: map[string]engine.Row{}, Finished: map[string]engine.Row{}}
	for _, by := range []quantity.Length{-4, 0, 4} {
		body := middle + by*quantity.Centimetre
		p.Chart[m.Name] = append(p.Chart[m.Name], engine.Cell{Low: body, High: body, Known: true})
		if s.byChart(m) {
			continue
		}
		made := body + 9*quantity.Centimetre
		if strings.HasPrefix(s.Stretch.Text, "needed") {
			made = body * 95 / 100
		}
		p.Finished[m.Name] = append(p.Finished[m.Name], engine.Cell{Low: made, High: made, Known: true})
	}
	return p
}
