package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"fitadvisor/engine"
	"fitadvisor/rules/file"
)

// choices are what a fuzzer chooses, a byte at a time; once they are used up it is the first each time.
type choices []byte

// of is a number below n.
func (c *choices) of(n int) int {
	if len(*c) == 0 || n <= 1 {
		return 0
	}
	k := int((*c)[0])
	*c = (*c)[1:]
	if n > 256 && len(*c) > 0 {
		k = k<<8 | int((*c)[0])
		*c = (*c)[1:]
	}
	return k % n
}

func pick[T any](c *choices, from []T) T { return from[c.of(len(from))] }

// askLines are command lines about good files; what stands in them is right as long as the files are.
var askLines = []string{
	"size pattern-quayside.yaml --body body-wren.yaml --cloth cloth-linen.yaml --format json",
	"size lantern-top.yaml --body wren.yaml --cloth cotton-jersey.yaml --format json",
	"size harbour-jacket.yaml --body wren.yaml --cloth wool-twill.yaml --format json",
	"size pattern-tern-shirt.yaml --body body-teal.yaml --format json",
	"size pattern-by-size.yaml --body body-years.yaml --cloth cloth-rib.yaml --format json",
	"size pattern-quayside.yaml --body body-wren.yaml --like garment-sunday.yaml --format json",
	"size pattern-ebb-trousers.yaml --body wren.yaml --like garment-jeans.yaml --format json",
	"size pattern-quayside.yaml --body body-wren.yaml --toile observations-skirt.yaml --format json",
	"size own.yaml --body wren.yaml --cloth cloth-linen.yaml --format json",
	"size pattern-by-measurement.yaml --body body-child.yaml",
	"size harbour-jacket.yaml --body wren.yaml --cloth wool-twill.yaml",
	"why pattern-quayside.yaml --body body-wren.yaml --cloth cloth-linen.yaml",
	"why lantern-top.yaml --body wren.yaml --cloth cotton-jersey.yaml --format json",
	"why own.yaml --body wren.yaml",
	"plan harbour-jacket.yaml --body wren.yaml --cloth wool-twill.yaml",
	"plan pattern-tern-shirt.yaml --body body-years.yaml --cloth cloth-linen.yaml",
	"cloth pattern-quayside.yaml --cloth cloth-linen.yaml --body body-wren.yaml",
	"cloth lantern-top.yaml --cloth cotton-jersey.yaml --format json",
	"batch pattern-quayside.yaml --bodies - -o - --units cm",
	"batch harbour-jacket.yaml --cloth wool-twill.yaml --bodies - -o - --units cm --rows jsonl",
}

// makerLines are those that a maker writes.
var makerLines = []string{
	"flat pieces-tern-shirt.yaml --format json",
	"flat pieces-tern-trousers.yaml --format json",
	"flat pieces-tern-shirt.yaml --body body-wren.yaml",
	"chart pattern-quayside.yaml",
	"chart harbour-jacket.yaml",
	"chart pattern-tern-shirt.yaml --to md",
	"chart pattern-ebb-trousers.yaml --to html",
	"chart lantern-top.yaml --to jsonld",
	"chart pattern-by-size.yaml --to csv",
	"chart pattern-quayside.yaml --to yaml",
	"chart pattern-quayside.yaml --compare quayside-skirt.yaml",
	"chart pattern-quayside.yaml --bodies - --units cm --format json",
	"chart own.yaml --bodies - --units cm --format json",
	"chart own.yaml",
	"recipe check recipe-harbour.yaml",
	"rule check rules-hip.yaml",
	"rule check rules-firm.yaml",
	"rule check rules-alter.yaml",
}

// right are flags that are right whatever the files say; others may name what is not there, and then no file is at fault.
var (
	right = [][]string{{"--units", "in"}, {"--units", "cm"}, {"--ease", "closer"}, {"--ease", "roomier"}, {"--ease", "expected"}, {"--over", "shirt"}, {"--over", "vest=3 mm"}}
	other = [][]string{
		{"--ease", "hip=6cm"}, {"--ease", "hip=drawn+2cm"}, {"--ease", "bust=-5%"}, {"--ease", "liked"}, {"--over", "cardigan"},
		{"--with", "hip=104cm"}, {"--with", "waist=1mm"}, {"--with", "bust=3m"}, {"--with", "cloth.stretch.across=30%"}, {"--with", "ease=closer"},
		{"--with", "cloth.grain=bias"}, {"--with", "finished.hip=104cm"}, {"--size", "14"}, {"--zone", "hip"}, {"--caution", "several-sizes"}, {"--depth", "2"},
	}
)

// bodyTable is what comes from standard input.
const bodyTable = "name,bust,waist,hip,age\nWren,96,75,112,34\nGull,88 cm,72 cm,98 cm,\nTern,38 in,30 in,41 in,8\n\"Rail, the younger\",120,110,125,61\n"

// oddities are put in the place of a text.
var oddities = []string{
	"", "0", "-1", "1", "yes", "no", "0.001", "74,5 cm", "1e3", "1e300", "-0", ".nan", ".inf", "3 m", "1 mm", "104 cm", "40 in", "38 1/2 in", "-4 cm", "50 %", "400 %", "100 %",
	"hip", "waist", "bust", "drawn", "liked", "14", "8", "?", "-", "a", "true", "2026-11-02", "1999-02-30", "0001-01-01", "18 months", "0 .. 0", "3 in .. 10 in", "10 in .. 3 in", "..",
	"gathered-skirt", "straight-skirt", "knit-tee", "close-knit-top", "child-dress", "tailored-jacket", "recipe-harbour.yaml", "chart.xlsx", "pattern-by-size.csv", "body-wren.yaml", "no-such.yaml",
	"body.hip > 100 cm", "1 / 0", "ease.hip", "{{ease}}", "$1", "é", "日本", "a\nb", "\u202e", "\x01", strings.Repeat("w", 300),
}

// goodFiles are all files that may be named, as trees, and what stands beside them.
type goodFiles struct {
	beside fstest.MapFS
	trees  map[string]*node
	nodes  []*node // of all trees, to be put in the place of others
}

func readGood(f *testing.F) *goodFiles {
	f.Helper()
	g := &goodFiles{beside: fstest.MapFS{}, trees: map[string]*node{}}
	for _, folder := range []string{"../../testdata/good", "demo"} {
		files := os.DirFS(folder)
		names, err := fs.Glob(files, "*")
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			text, err := fs.ReadFile(files, name)
			if err != nil {
				f.Fatal(err)
			}
			g.beside[name] = &fstest.MapFile{Data: text}
		}
	}
	own := bytes.Replace(g.beside["pattern-quayside.yaml"].Data, []byte("recipe: gathered-skirt"), []byte("recipe: recipe-harbour.yaml"), 1)
	g.beside["own.yaml"] = &fstest.MapFile{Data: own}
	for _, name := range slices.Sorted(maps.Keys(g.beside)) {
		if !strings.HasSuffix(name, ".yaml") {
			continue
		}
		g.trees[name] = nodeOf(file.Open(name, g.beside[name].Data).Root())
		eachNode(g.trees[name], func(n *node) {
			g.nodes = append(g.nodes, n)
		})
	}
	return g
}

// The kinds of a node.
const (
	textNode = iota
	listNode
	mapNode
)

// node is a part of a file: a text, a list, or a map, whose keys and values take turns. What is bare is written without quotes.
type node struct {
	Kind    int
	Value   string
	Bare    bool
	Content []*node
}

func nodeOf(v file.Value) *node {
	n := &node{Kind: textNode, Value: "~", Bare: true}
	switch {
	case v.IsMap():
		n.Kind = mapNode
		for _, k := range v.Map().Keys() {
			n.Content = append(n.Content, scalar(k.Text()), nodeOf(v.Map().Get(k.Text())))
		}
	case v.IsList():
		n.Kind = listNode
		for _, item := range v.ItemsOrOne() {
			n.Content = append(n.Content, nodeOf(item))
		}
	case v.IsText():
		return scalar(v.Text())
	}
	return n
}

// lines are a whole file, with each entry of a map on a line of its own.
func (n *node) lines() string {
	if n.Kind != mapNode || len(n.Content) == 0 {
		return n.String() + "\n"
	}
	var b strings.Builder
	for i := 0; i < len(n.Content); i += 2 {
		fmt.Fprintf(&b, "%s: %s\n", n.Content[i], n.Content[i+1])
	}
	return b.String()
}

// String is the node on one line.
func (n *node) String() string {
	var parts []string
	switch {
	case n.Kind == textNode && n.Bare:
		return n.Value
	case n.Kind == textNode:
		return strconv.Quote(n.Value)
	case n.Kind == listNode:
		for _, item := range n.Content {
			parts = append(parts, item.String())
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	for i := 0; i < len(n.Content); i += 2 {
		parts = append(parts, n.Content[i].String()+": "+n.Content[i+1].String())
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// eachNode visits a node and all below it.
func eachNode(n *node, visit func(*node)) {
	visit(n)
	for _, below := range n.Content {
		eachNode(below, visit)
	}
}

func copied(n *node) *node {
	c := *n
	c.Content = make([]*node, len(n.Content))
	for i, below := range n.Content {
		c.Content[i] = copied(below)
	}
	return &c
}

func scalar(text string) *node {
	return &node{Kind: textNode, Value: text}
}

// change changes one node of a tree in place.
func (g *goodFiles) change(c *choices, tree *node) {
	var all []*node
	eachNode(tree, func(n *node) { all = append(all, n) })
	n := pick(c, all)
	step := 1
	if n.Kind == mapNode {
		step = 2
	}
	at := 0
	if len(n.Content) > 0 {
		at = step * c.of(len(n.Content)/step)
	}
	switch ways := []string{"figure", "figure", "figure", "odd", "other", "empty", "drop", "drop", "twice", "swap", "wrap"}; pick(c, ways) {
	case "odd":
		*n = *scalar(pick(c, oddities))
	case "other":
		*n = *copied(pick(c, g.nodes))
	case "empty":
		*n = *copied(pick(c, []*node{{Kind: textNode, Value: "~", Bare: true}, scalar(""), {Kind: listNode}, {Kind: mapNode},
			{Kind: listNode, Content: []*node{{Kind: textNode, Value: "~", Bare: true}}}}))
	case "drop":
		if len(n.Content) > 0 {
			n.Content = slices.Delete(n.Content, at, at+step)
		}
	case "twice":
		if len(n.Content) > 0 {
			n.Content = slices.Insert(n.Content, at, copied(n.Content[at]), copied(n.Content[at+step-1]))[:len(n.Content)+step]
		}
	case "swap":
		if len(n.Content) > 0 {
			to := step * c.of(len(n.Content)/step)
			n.Content[at+step-1], n.Content[to+step-1] = n.Content[to+step-1], n.Content[at+step-1]
		}
	case "wrap":
		*n = node{Kind: listNode, Content: []*node{copied(n)}}
	case "figure":
		if at := strings.IndexAny(n.Value, "0123456789"); at >= 0 {
			n.Value = n.Value[:at] + pick(c, []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "", "-", "1.", "5 "}) + n.Value[at+1:]
			return
		}
		var figures []*node
		for _, n := range all {
			if strings.ContainsAny(n.Value, "0123456789") {
				figures = append(figures, n)
			}
		}
		if len(figures) > 0 {
			n := pick(c, figures)
			at := strings.LastIndexAny(n.Value, "0123456789")
			n.Value = n.Value[:at] + pick(c, []string{"1", "3", "5", "7", "8", "9", "0", "", "00"}) + n.Value[at+1:]
		}
	}
}

// changed are the files with several nodes of those that a command line names changed.
func (g *goodFiles) changed(c *choices, names []string) fstest.MapFS {
	files := maps.Clone(g.beside)
	trees := map[string]*node{}
	for range pick(c, []int{1, 1, 1, 1, 2, 3, 5}) {
		name := pick(c, names)
		if trees[name] == nil {
			trees[name] = copied(g.trees[name])
		}
		g.change(c, trees[name])
	}
	for name, tree := range trees {
		files[name] = &fstest.MapFile{Data: []byte(tree.lines())}
	}
	return files
}

// changedTable is a table with some of its cells changed.
func changedTable(c *choices) string {
	cells := strings.SplitAfter(bodyTable, ",")
	for range c.of(4) {
		i := c.of(len(cells))
		cells[i] = pick(c, oddities) + pick(c, []string{",", "\n", ";", ""})
	}
	return strings.Join(cells, "")
}

// commandRun is one run of a command.
type commandRun struct {
	args     []string
	changed  []string
	in       string
	files    fstest.MapFS
	fileOnly bool // nothing but a file can be at fault
	out, err bytes.Buffer
	code     int
}

func (r *commandRun) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "advisor %s\nexit code %d\n", strings.Join(r.args, " "), r.code)
	for _, name := range r.changed {
		fmt.Fprintf(&b, "-- %s --\n%s", name, r.files[name].Data)
	}
	fmt.Fprintf(&b, "-- standard input --\n%s-- stderr --\n%s-- stdout --\n%.4000s", r.in, r.err.String(), r.out.String())
	return b.String()
}

// drawn is a command line with its files.
func (g *goodFiles) drawn(c *choices, lines []string) *commandRun {
	r := &commandRun{args: strings.Fields(pick(c, lines)), fileOnly: true, in: bodyTable}
	for _, arg := range r.args {
		if g.trees[arg] != nil {
			r.changed = append(r.changed, arg)
		}
	}
	if slices.Contains(r.changed, "own.yaml") {
		r.changed = append(r.changed, "recipe-harbour.yaml")
	}
	if slices.Contains([]string{"size", "why", "plan"}, r.args[0]) {
		r.args = append(r.args, "--today", "2026-11-02")
		for range c.of(3) {
			flag := pick(c, right)
			r.fileOnly = r.fileOnly && !(flag[0] == "--over" && slices.Contains(r.args, flag[1])) // a layer is worn once
			r.args = append(r.args, flag...)
		}
		if c.of(4) == 1 {
			r.args, r.fileOnly = append(r.args, pick(c, other)...), false
		}
	}
	r.files = g.changed(c, r.changed)
	if slices.Contains(r.args, "-") {
		r.in = changedTable(c)
	}
	return r
}

// placedProblem is a problem of a file that says where it is.
var placedProblem = regexp.MustCompile(`^(standard input|-|[^ :]+\.(yaml|csv|xlsx))(:\d+:\d+|:[^:]+![A-Z]+\d+|): error\[FA\d{4}\]: .`)

// check requires of what a command says that it is whole: what is wrong with a place, sums that add up.
func (r *commandRun) check(t *testing.T) {
	t.Helper()
	said := r.err.String()
	placed := false
	for line := range strings.Lines(said) {
		if strings.Contains(line, "error[FA") {
			placed = true
			if !placedProblem.MatchString(line) {
				t.Errorf("no place: %s", line)
			}
		}
	}
	switch {
	case r.code == exitUsage && said == "":
		t.Error("it fails without a word")
	case r.code == exitUsage && r.fileOnly && !placed:
		t.Errorf("a file is at fault, and it is not said where")
	case r.code == exitAnswered && r.out.Len() == 0:
		t.Error("answered, and nothing is said")
	}
	for _, slip := range []string{"%!", "NaN", "+Inf", "<nil>", "goroutine "} {
		if strings.Contains(r.out.String()+said, slip) {
			t.Errorf("it says %s", slip)
		}
	}
	if r.code != exitUsage && slices.Contains(r.args, "json") {
		r.sums(t)
	}
}

// sums adds up what an answer says is a sum.
func (r *commandRun) sums(t *testing.T) {
	t.Helper()
	var a summed
	if err := json.Unmarshal(r.out.Bytes(), &a); err != nil {
		t.Errorf("no JSON: %v", err)
		return
	}
	sure, shares := 0.0, 0.0
	for _, s := range a.Sizes {
		points := 0.0
		for _, z := range s.Zones {
			points += z.Points
		}
		if s.Misfit != nil && points != *s.Misfit {
			t.Errorf("size %s: the points add up to %v, the misfit is %v", s.Size, points, *s.Misfit)
		}
		sure, shares = sure+s.Confidence, shares+s.Share
		for _, m := range s.Measures {
			m.check(t)
		}
	}
	if a.NothingFits != nil && math.Abs(sure+*a.NothingFits-1) > 1e-9 {
		t.Errorf("the shares of the sizes and of nothing fits are %v", sure+*a.NothingFits)
	}
	if w := a.Shares; w != nil {
		served := w.AsDrawn + w.WithGrading + w.WithAlterations
		if sum := served + w.OutOfRange + w.NoSize + w.OffChart; math.Abs(sum-1) > 1e-9 || math.Abs(served-a.Fits) > 1e-9 {
			t.Errorf("the shares add up to %v, and those served to %v of %v", sum, served, a.Fits)
		}
		if sum := shares + w.NoSize + w.OffChart; math.Abs(sum-1) > 1e-9 {
			t.Errorf("the shares of the sizes, of none and off the chart add up to %v", sum)
		}
		for _, e := range a.Excluded {
			if math.Abs(e.TooSmall+e.TooLarge-e.Share) > 1e-9 {
				t.Errorf("%s keeps %v, of them %v and %v", e.Measurement, e.Share, e.TooSmall, e.TooLarge)
			}
		}
	}
}

// summed is of an answer, of whom a pattern fits and of pieces laid flat what adds up.
type summed struct {
	Sizes []struct {
		Size       string   `json:"size"`
		Misfit     *float64 `json:"misfit"`
		Confidence float64  `json:"confidence"`
		Share      float64  `json:"share"`
		Zones      []struct {
			Points float64 `json:"points"`
		} `json:"zones"`
		Measures []laidFlat `json:"measures"`
	} `json:"sizes"`
	NothingFits *float64               `json:"nothing_fits"`
	Fits        float64                `json:"fits"`
	Shares      *engine.CoverageShares `json:"shares"`
	Excluded    []engine.Exclusion     `json:"excluded"`
}

// laidFlat is a finished measurement with its parts.
type laidFlat engine.FlatMeasure

// check adds the parts up; each figure is rounded to a thousandth of a centimetre.
func (m *laidFlat) check(t *testing.T) {
	t.Helper()
	const rounded = 0.001
	whole := 0.0
	for _, p := range m.Parts {
		net := p.Cut
		for _, o := range p.TakenOut {
			net -= o.Amount
		}
		adds := net * float64(p.Times)
		if p.Gathers != 0 {
			adds /= p.Gathers
		}
		if off := rounded * float64(len(p.TakenOut)+2) * float64(p.Times+1); math.Abs(adds-p.Adds) > off {
			t.Errorf("%s at the %s adds %v, and is %v", p.Piece, m.Measure, p.Adds, adds)
		}
		whole += p.Adds
	}
	if m.Overlap != nil {
		whole -= *m.Overlap
	}
	if math.Abs(whole-m.Finished) > rounded*float64(len(m.Parts)+2) {
		t.Errorf("the parts of the %s add up to %v, not %v", m.Measure, whole, m.Finished)
	}
}

// fuzzLines runs command lines about good files in which several nodes are changed.
func fuzzLines(f *testing.F, lines []string) {
	for _, folder := range []string{"HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"} {
		f.Setenv(folder, f.TempDir())
	}
	g := readGood(f)
	for i := range lines {
		f.Add([]byte{byte(i)})
		for k := range 6 {
			seed := []byte{byte(i)}
			for n := range 24 {
				seed = append(seed, byte(i*37+k*101+n*(59+2*k)))
			}
			f.Add(seed)
		}
	}
	f.Add([]byte("\x13\xdc2\u0600")) // a batch about a pattern whose recipe is an empty text
	f.Fuzz(func(t *testing.T, drawn []byte) {
		const hang = 30 * time.Second // a machine with much else to do is slow, and what hangs hangs for good
		c := choices(drawn)
		r := g.drawn(&c, lines)
		watch := time.AfterFunc(hang, func() { panic("this takes too long: " + r.String()) })
		defer watch.Stop()
		defer func() {
			if p := recover(); p != nil {
				t.Log(r)
				panic(p)
			}
		}()
		r.code = Main(r.args, streams{in: strings.NewReader(r.in), out: &r.out, err: &r.err, from: r.files})
		r.check(t)
		if t.Failed() {
			t.Log(r)
		}
	})
}

// FuzzAsk asks about persons, FuzzMaker about patterns, pieces, recipes and rules.
func FuzzAsk(f *testing.F)   { fuzzLines(f, askLines) }
func FuzzMaker(f *testing.F) { fuzzLines(f, makerLines) }
