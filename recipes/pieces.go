package recipes

import (
	"cmp"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/rules/file"
)

// ReadPieces takes a file of pieces laid flat apart. The pattern that it may name
// is read from beside, as far as it has sizes and a chart; docs that were read
// for that are returned, with their problems. The rest of the problems are left
// in the doc.
func ReadPieces(doc *file.Doc, voc *engine.Vocabulary, beside fs.FS) (*engine.Pieces, *engine.Pattern, []*file.Doc) {
	p := &piecesReader{reader: reader{doc, voc}}
	m := p.whole("pieces")
	if m == nil {
		return nil, nil, nil
	}
	named := m.Get("pattern")
	out := p.read(m, p.units(m.Get("units")))
	pattern, docs := p.chart(named, beside)
	if pattern != nil {
		p.placeSizes(out, pattern.Sizes)
	}
	return out, pattern, docs
}

// chart reads the sizes and the chart of the pattern that the pieces belong to.
func (p *piecesReader) chart(v file.Value, beside fs.FS) (*engine.Pattern, []*file.Doc) {
	if !v.Exists() || !v.IsText() {
		v.Text()
		return nil, nil
	}
	name, data, ok := p.readBeside(v, beside)
	if !ok {
		return nil, nil
	}
	below, err := fs.Sub(beside, path.Dir(path.Clean(v.Text())))
	if err != nil {
		return nil, nil
	}
	doc := file.Open(name, data)
	r := &patternReader{reader: reader{doc, p.voc}, beside: below, chartOnly: true}
	m := r.whole("pattern")
	if m == nil {
		return nil, []*file.Doc{doc}
	}
	pattern := r.read(m)
	return pattern, append(r.tables, doc)
}

// piecesReader reads pieces, from a file of their own or from within a pattern.
type piecesReader struct {
	reader
	sizes      []file.Value // their names; one absent value where none is named
	shared     allowances   // of pieces without their own; a pattern's for those within it
	sharedSaid bool
	bare       quantity.Unit
	pieces     []*piece
}

// piece is one piece in all sizes.
type piece struct {
	name      string
	at        file.Value
	copies    int
	fold      bool
	allowance file.Value
	hem       amounts
	levels    []*level
	sides     []engine.Edge // left and right
	ends      []engine.Edge // top and bottom
}

func (out *piece) has(along bool) bool {
	return slices.ContainsFunc(out.levels, func(l *level) bool { return l.along == along })
}

// level is what is measured on a piece at one level: widths or a length.
type level struct {
	measure *engine.Measure
	along   bool
	value   file.Value
	cut     amounts
	out     []taken
	ratio   float64
}

// taken is what is taken out at a level.
type taken struct {
	what string
	amounts
	at file.Value
}

// amounts are lengths, one to each size or one for all. Nil is not given.
type amounts struct {
	each []*quantity.Length
	all  *quantity.Length
}

// in is the length in one size, nil where none is given.
func (a amounts) in(size int) *quantity.Length {
	if size < len(a.each) {
		return a.each[size]
	}
	return a.all
}

func (a amounts) given() bool { return len(a.each) > 0 || a.all != nil }

func (p *piecesReader) read(m *file.Map, units quantity.Unit) *engine.Pieces {
	m.Get("kind").OneOf("pieces")
	p.bare = units
	out := &engine.Pieces{Name: m.Get("name").Text(), Units: units, At: m.Range()}
	p.readSizes(m)
	if v := m.Get("allowance"); v.Exists() {
		p.shared, p.sharedSaid = p.allowances(v), true
	}
	overlap, grade := m.Get("overlap"), m.Get("grade")
	fronts, _ := m.Get("fronts").OneOf("to centre front", "to their edges")
	for _, v := range m.Need("pieces").Items() {
		p.piece(v)
	}
	m.Close("a file of pieces")
	p.put(out, fronts == "to centre front")
	p.overlaps(overlap, out)
	p.grade(grade, out)
	return out
}

func (p *piecesReader) readSizes(m *file.Map) {
	one, several := m.Get("size"), m.Get("sizes")
	switch {
	case one.Exists() && several.Exists():
		several.Problem(thereTwice, "both `size` and `sizes` are given", "write `size` where one was measured, `sizes` where several were")
		p.sizes = []file.Value{one}
	case several.Exists():
		p.sizes = several.Cells()
	default:
		p.sizes = []file.Value{one}
	}
	if p.tooManySizes(several, len(p.sizes)) {
		p.sizes = nil
	}
	if several.IsList() && len(several.Cells()) == 0 {
		several.Problem(sizesMissing, "`sizes` names no sizes", "as in `sizes: [12, 14]`, or `size: 14`")
	}
	seen := map[string]bool{}
	for _, v := range p.sizes {
		label := strings.TrimSpace(v.Text())
		switch {
		case label == "" && (several.Exists() || v.Exists()):
			v.Problem(nameless, sizeWithoutName, sizeHint)
		case seen[label]:
			v.Problem(thereTwice, "the size `"+label+"` is there twice", "name each size once")
		}
		seen[label] = true
	}
}

// piece reads one piece.
func (p *piecesReader) piece(v file.Value) {
	m := v.Map()
	if !v.IsMap() {
		return
	}
	out := &piece{name: cmp.Or(strings.TrimSpace(m.Need("name").Text()), "piece"), at: v, allowance: m.Get("allowance")}
	out.copies = p.copies(m.Get("copies"))
	out.fold, _ = m.Get("on_fold").Bool()
	p.levels(out, m.Get("width"), false)
	p.levels(out, m.Get("length"), true)
	for _, taken := range []struct{ key, what string }{
		{"darts", engine.Darts}, {"pleats", engine.Pleats}, {"tucks", engine.Tucks}, {"facing", engine.Facing},
	} {
		p.takenOut(out, taken.what, m.Get(taken.key), taken.key == "facing")
	}
	p.gathers(out, m.Get("gathers"))
	out.hem = p.cells(m.Get("hem"), true)
	m.Close("a piece")
	if len(m.Get("width").Map().Keys())+len(m.Get("length").Map().Keys()) == 0 {
		v.Problem(file.Missing, "nothing is measured on this piece", "as in `width: {hip: 11 in}`, or `length: {outside_leg: 41 in}`")
	}
	p.pieces = append(p.pieces, out)
}

// mostCopies is where a number of copies is a slip of the pen.
const mostCopies = 100

func (p *piecesReader) copies(v file.Value) int {
	if !v.Exists() {
		return 1
	}
	n, ok := v.Whole()
	switch {
	case !ok:
		return 1
	case n < 1 || n > mostCopies:
		v.Problem(badCopies, "a piece is cut once or more, got `"+v.Text()+"`", "as in `copies: 2`")
		return 1
	}
	return n
}

// levels reads what is measured across a piece, or along it.
func (p *piecesReader) levels(out *piece, v file.Value, along bool) {
	if !v.Exists() {
		return
	}
	m := p.byMeasure(v)
	for _, k := range m.Keys() {
		value := m.Get(k.Text())
		p.made(k)
		measure := p.voc.Measure(k.Text())
		if measure == nil || !value.Exists() {
			continue
		}
		if lies := measure.Kind == engine.Along; measure.Kind != engine.Garment && (lies != along || measure.Kind == engine.Angle) {
			k.Problem(otherWay, "`"+k.Text()+"` is not measured "+way(along)+" a piece", wayHint(measure))
			continue
		}
		if slices.ContainsFunc(out.levels, func(l *level) bool { return l.measure == measure }) {
			k.Problem(thereTwice, "`"+k.Text()+"` is measured on this piece twice", "it is a width or a length, not both")
			continue
		}
		out.levels = append(out.levels, &level{measure: measure, along: along, value: value, cut: p.cells(value, false)})
	}
}

func way(along bool) string {
	if along {
		return "along"
	}
	return "across"
}

func wayHint(m *engine.Measure) string {
	switch m.Kind {
	case engine.Angle:
		return "an angle is measured on no piece laid flat"
	case engine.Along:
		return "put it under `length:`"
	}
	return "put it under `width:`"
}

// cells reads lengths: one to each size, or a single one, which stands for all
// where the sizes may be alike.
func (p *piecesReader) cells(v file.Value, alike bool) amounts {
	switch {
	case !v.Exists(), len(p.sizes) == 0: // which is told
		return amounts{}
	case !v.IsList() && len(p.sizes) > 1 && !alike:
		v.Problem(unevenRow, fmt.Sprintf("there is one width, but there are %d sizes", len(p.sizes)), "give one to each size, as in `[10 in, 11 in]`")
		return amounts{}
	case !v.IsList():
		return amounts{all: p.cut(v, alike)}
	}
	items := v.Cells()
	if len(items) != len(p.sizes) {
		v.Problem(unevenRow, fmt.Sprintf("expected %s, as many as sizes were measured, got %d", cells(len(p.sizes)), len(items)), oneCellEach)
		return amounts{}
	}
	each := make([]*quantity.Length, len(items))
	gaps := 0
	for i, item := range items {
		if item.Exists() && item.Text() != "~" {
			each[i] = p.cut(item, alike)
		} else {
			gaps++
		}
	}
	if gaps == len(items) {
		v.Problem(file.Missing, "no length is given in any size", "write those you measured, or take the line out")
	}
	return amounts{each: each}
}

// cut reads a length, which may be nothing where something is taken out.
func (p *piecesReader) cut(v file.Value, nothing bool) *quantity.Length {
	l := p.length(v)
	if l != nil && *l == 0 && !nothing {
		v.Problem(belowNothing, "a piece is larger than nothing", "measure it again, or leave it out")
		return nil
	}
	return l
}

// at finds a level of a piece by a key of what is taken out there.
func (p *piecesReader) at(out *piece, k file.Value) *level {
	if p.made(k); p.voc.Measure(k.Text()) == nil {
		return nil
	}
	for _, l := range out.levels {
		if l.measure.Name == k.Text() {
			return l
		}
	}
	k.Problem(notMeasured, "`"+k.Text()+"` is not measured on this piece", "add its width before anything is taken out, as in `width: {"+k.Text()+": 11 in}`")
	return nil
}

// takenOut reads what is taken out at each level; one length may stand for all
// widths of the piece.
func (p *piecesReader) takenOut(out *piece, what string, v file.Value, everywhere bool) {
	if everywhere && v.Exists() && !v.IsMap() {
		all := p.cells(v, true)
		for _, l := range out.levels {
			if !l.along {
				l.out = append(l.out, taken{what, all, v})
			}
		}
		return
	}
	m := p.byMeasure(v)
	for _, k := range m.Keys() {
		amount := m.Get(k.Text())
		if l := p.at(out, k); l != nil {
			l.out = append(l.out, taken{what, p.cells(amount, true), amount})
		}
	}
}

// mostFullness is where a ratio of gathers is a slip of the pen.
const mostFullness = 10

func (p *piecesReader) gathers(out *piece, v file.Value) {
	m := p.byMeasure(v)
	for _, k := range m.Keys() {
		value := m.Get(k.Text())
		l := p.at(out, k)
		if l == nil || !value.Exists() {
			continue
		}
		r, err := strconv.ParseFloat(value.Text(), 64)
		if err != nil || !(r >= 1 && r <= mostFullness) {
			value.Problem(badRatio, "expected a ratio of 1 or more, got `"+value.Text()+"`", "the cloth to what it is gathered to: 36 in gathered to 24 in are `1.5`")
			continue
		}
		l.ratio = r
	}
}

// allowances are those of every edge alike, or of edges by their names.
type allowances struct {
	all         *quantity.Length
	named       bool
	sides, ends []engine.Edge // top and bottom are the ends
}

func (p *piecesReader) allowances(v file.Value) allowances {
	if !v.IsMap() {
		return allowances{all: p.length(v)}
	}
	out := allowances{named: true}
	m := v.Map()
	for _, k := range m.Keys() {
		value := m.Need(k.Text())
		e := engine.Edge{Name: k.Text()}
		if l := p.length(value); l != nil {
			e.Allowance = *l
		}
		if k.Text() == "top" || k.Text() == "bottom" {
			out.ends = append(out.ends, e)
		} else {
			out.sides = append(out.sides, e)
		}
	}
	return out
}

// edges settles the allowances of a piece: its own, or those of all.
func (p *piecesReader) edges(out *piece) {
	a, at := p.shared, out.at
	if out.allowance.Exists() {
		a, at = p.allowances(out.allowance), out.allowance
	}
	sides, ends := 2, 2
	if out.fold {
		sides = 1
	}
	if out.hem.given() {
		ends = 1
	}
	switch {
	case a.named:
		p.checkEdges(out, a, at, sides, ends)
		out.sides, out.ends = a.sides, a.ends
	case a.all != nil:
		out.sides = slices.Repeat([]engine.Edge{{Allowance: *a.all}}, sides)
		out.ends = slices.Repeat([]engine.Edge{{Allowance: *a.all}}, ends)
	case !out.allowance.Exists() && !p.sharedSaid && len(out.levels) > 0:
		out.at.Problem(file.Missing, "the seam allowance of the "+out.name+" is not said", "write `allowance: 5/8 in` for this piece or for all, or 0 where there is none")
	}
}

// checkEdges wants a name for each edge that is cut, lest one be forgotten. On
// the fold two may be named: that looks like a slip, but may be none.
func (p *piecesReader) checkEdges(out *piece, a allowances, at file.Value, sides, ends int) {
	if n := len(a.sides); out.has(false) && (n < sides || n > 2) {
		at.Problem(badEdges, fmt.Sprintf("the %s has %s across, and allowances are named for %d", out.name, edgesSaid(sides), n),
			"name each, as in `{side: 5/8 in, centre: 0}`; a fold is no edge; a plain length holds for all")
	}
	if n := len(a.ends); out.has(true) && n != ends {
		at.Problem(badEdges, fmt.Sprintf("the %s has %s along, and allowances are named for %d", out.name, edgesSaid(ends), n),
			"name `top` and `bottom`; with a `hem` only `top`")
	}
}

func edgesSaid(n int) string {
	if n == 1 {
		return "1 cut edge"
	}
	return fmt.Sprintf("%d cut edges", n)
}

// put makes the strips of each size of what was read.
func (p *piecesReader) put(out *engine.Pieces, toCentre bool) {
	legs := p.haveLegs()
	var cut []*piece // of whose levels none lacks its figures
	for _, piece := range p.pieces {
		p.edges(piece)
		p.checkCopies(piece, legs)
		if !slices.ContainsFunc(piece.levels, func(l *level) bool { return !l.cut.given() }) {
			cut = append(cut, piece)
		}
	}
	for i, size := range p.sizes {
		sized := engine.SizedPieces{Size: strings.TrimSpace(size.Text()), ToCentre: toCentre, At: out.At, Overlaps: map[string]engine.TakenOut{}}
		if size.Exists() {
			sized.At = size.Range()
		}
		for _, piece := range cut {
			for _, l := range piece.levels {
				if s, ok := p.strip(piece, l, i, legs); ok {
					sized.Strips = append(sized.Strips, s)
				}
			}
		}
		out.Sizes = append(out.Sizes, sized)
	}
}

// haveLegs tells whether the pieces with a hem are legs: then the hem is that of
// one of them.
func (p *piecesReader) haveLegs() bool {
	return slices.ContainsFunc(p.pieces, func(out *piece) bool {
		hem := slices.ContainsFunc(out.levels, func(l *level) bool { return l.measure.Name == "hem" })
		leg := slices.ContainsFunc(out.levels, func(l *level) bool { return l.measure.Limb != "" || l.measure.Name == "inside_leg" })
		return hem && leg
	})
}

// limb tells whether a width is that of one limb.
func (l *level) limb(legs bool) bool {
	return !l.along && (l.measure.Pair || legs && l.measure.Name == "hem")
}

// checkCopies refuses pieces of limbs that are not cut for both.
func (p *piecesReader) checkCopies(out *piece, legs bool) {
	for _, l := range out.levels {
		if l.limb(legs) && out.copies%2 != 0 {
			out.at.Problem(badCopies, fmt.Sprintf("there is a left and a right %s, and %d of the %s", l.measure.Title, out.copies, out.name),
				"count the copies of both sides, as in `copies: 2`")
			return
		}
	}
}

// strip is what a piece adds to a measurement in one size.
func (p *piecesReader) strip(out *piece, l *level, size int, legs bool) (engine.Strip, bool) {
	cut := l.cut.in(size)
	if cut == nil {
		return engine.Strip{}, false
	}
	s := engine.Strip{Piece: out.name, Measure: l.measure.Name, Cut: *cut, Edges: out.sides, Ratio: l.ratio,
		Copies: out.copies, OnFold: out.fold, Along: l.along, Limb: l.limb(legs), At: l.value.Range()}
	takenOut := l.out
	if l.along {
		s.Edges = out.ends
		takenOut = append(slices.Clip(takenOut), taken{engine.Hem, out.hem, l.value})
	}
	for _, t := range takenOut {
		if amount := t.in(size); amount != nil && *amount > 0 {
			s.Out = append(s.Out, engine.TakenOut{What: t.what, Length: *amount, At: t.at.Range()})
		}
	}
	if s.Net() <= 0 {
		l.value.Problem(nothingLeft, fmt.Sprintf("at the %s more is taken out of the %s than there is: %s of %s", l.measure.Title, out.name, (s.Cut-s.Net()).Exact(p.bare), s.Cut.Exact(p.bare)),
			"measure it from edge to edge, allowances, darts and all")
		return s, false
	}
	return s, true
}

// overlaps reads how far the fronts lap over: at every level that goes round the
// body, or at each level that is named. It is taken out once.
func (p *piecesReader) overlaps(v file.Value, out *engine.Pieces) {
	if !v.Exists() {
		return
	}
	if v.IsMap() {
		p.overlapAt(p.byMeasure(v), out)
	} else {
		p.overlapAll(v, out)
	}
	p.checkOverlaps(v, out)
}

func (p *piecesReader) overlapAt(m *file.Map, out *engine.Pieces) {
	for _, k := range m.Keys() {
		value := m.Get(k.Text())
		laps := p.cells(value, true)
		if p.made(k); p.voc.Measure(k.Text()) == nil || !p.measured(k) {
			continue
		}
		for i := range out.Sizes {
			if o := laps.in(i); o != nil && *o > 0 {
				out.Sizes[i].Overlaps[k.Text()] = engine.TakenOut{What: overlap, Length: *o, At: value.Range()}
			}
		}
	}
}

// overlapAll takes one overlap out of all that goes round the body; it is a
// measurement of the garment too.
func (p *piecesReader) overlapAll(v file.Value, out *engine.Pieces) {
	laps, at := p.cells(v, true), v.Range()
	for i := range out.Sizes {
		o, s := laps.in(i), &out.Sizes[i]
		if o == nil || *o == 0 {
			continue
		}
		for _, strip := range s.Strips {
			if m := p.voc.Measure(strip.Measure); !strip.Along && !strip.Limb && (m.Kind == engine.Girth || m.Name == "hem") {
				s.Overlaps[strip.Measure] = engine.TakenOut{What: overlap, Length: *o, At: at}
			}
		}
		if !s.ToCentre {
			s.Strips = append(s.Strips, engine.Strip{Piece: "the fronts", Measure: overlap, Cut: *o, Along: true, At: at})
		}
	}
}

// overlap is the word of the vocabulary.
const overlap = "overlap"

// checkOverlaps refuses overlaps that leave nothing to go round the body.
func (p *piecesReader) checkOverlaps(v file.Value, out *engine.Pieces) {
	for i := range out.Sizes {
		for _, s := range out.Sizes[i].Sums(p.voc) {
			if s.Total <= 0 && s.Overlap != nil {
				v.Problem(nothingLeft, fmt.Sprintf("the overlap of %s leaves nothing of the %s", s.Overlap.Length.Exact(p.bare), p.voc.Title(s.Measure)), "it is how far one front laps over the other, once")
				return
			}
		}
	}
}

// measured refuses a measurement that no piece has.
func (p *piecesReader) measured(k file.Value) bool {
	has := func(out *piece) bool {
		return slices.ContainsFunc(out.levels, func(l *level) bool { return l.measure.Name == k.Text() })
	}
	if slices.ContainsFunc(p.pieces, has) {
		return true
	}
	k.Problem(notMeasured, "`"+k.Text()+"` is measured on no piece", "add its width to the pieces, as in `width: {"+k.Text()+": 11 in}`")
	return false
}

// grade reads what a measurement grows by from size to size.
func (p *piecesReader) grade(v file.Value, out *engine.Pieces) {
	m := p.byMeasure(v)
	for _, k := range m.Keys() {
		step := m.Get(k.Text())
		l := p.length(step)
		if p.made(k); p.voc.Measure(k.Text()) == nil || k.Text() != overlap && !p.measured(k) || l == nil {
			continue
		}
		if out.Grade == nil {
			out.Grade = map[string]engine.Grade{}
		}
		out.Grade[k.Text()] = engine.Grade{Step: *l, At: step.Range()}
	}
}

// placeSizes requires of pieces that they are of sizes that the pattern has.
func (p *piecesReader) placeSizes(out *engine.Pieces, sizes []string) {
	if len(sizes) == 0 {
		return // which is a problem of the pattern
	}
	known := make(map[string]bool, len(sizes))
	for _, size := range sizes {
		known[size] = true
	}
	for i := range out.Sizes {
		s := &out.Sizes[i]
		switch {
		case known[s.Size]:
		case s.Size == "" && len(sizes) == 1:
			s.Size = sizes[0]
		case s.Size == "":
			p.doc.Problem(out.At, file.Missing, "the size of the pieces is not said", "write `size: "+sizes[0]+"`, or whichever was measured")
		default:
			p.sizes[i].Problem(noSuchSize, "the pattern has no size `"+s.Size+"`", "write it as it stands under `sizes` in the pattern")
		}
	}
}

// pieces reads pieces within a pattern or in a file beside it, and fills the rows
// that it does not give itself.
func (p *patternReader) pieces(v file.Value) {
	if p.chartOnly || !v.Exists() {
		return
	}
	r := &piecesReader{reader: p.reader}
	var m *file.Map
	units := p.bare
	if v.IsText() {
		name, data, ok := p.readBeside(v, p.beside)
		if !ok {
			return
		}
		r.doc = file.Open(name, data)
		p.tables = append(p.tables, r.doc)
		if m = r.whole("pieces"); m == nil {
			return
		}
		m.Get("pattern") // which names this one
		units = r.units(m.Get("units"))
	} else {
		if m = v.Map(); !v.IsMap() {
			return
		}
		if u := m.Get("units"); u.Exists() {
			units = r.units(u)
			defer p.doc.SetUnits(p.bare)
		}
		r.shared.all = p.pattern.Allowance
	}
	out := r.read(m, units)
	r.placeSizes(out, p.sizes)
	rows := out.Rows(p.sizes, p.pattern.Chart, p.voc)
	for _, name := range p.voc.Words() {
		row := rows[name]
		if row == nil {
			continue
		}
		if _, given := p.pattern.Finished[name]; given {
			v.Problem(thereTwice, "`"+name+"` stands under `finished` and is measured from pieces too", "delete one of the two")
			continue
		}
		p.pattern.Finished[name] = row
	}
}
