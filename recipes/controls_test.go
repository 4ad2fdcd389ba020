package recipes

import (
	"encoding/csv"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
)

// control is a garment of EN 13402-2 / ISO 8559-2 with the body dimensions that
// control it there: from memory, medium confidence, not checked against the
// standard.
type control struct{ wearer, garment, primary, secondary string }

var (
	womensCoat     = control{"women", "coat", "bust", "height"}
	womensJacket   = control{"women", "jacket", "bust", "hip, height"}
	womensDress    = control{"women", "dress", "bust", "hip, height"}
	womensBlouse   = control{"women", "blouse", "bust", "height"}
	womensKnit     = control{"women", "knitwear, T-shirt", "bust", "height"}
	womensSkirt    = control{"women", "skirt", "waist", "hip, height"}
	womensSwimsuit = control{"women", "swimsuit", "bust", "hip, height"}
	womensTrousers = control{"women", "trousers", "waist", "hip, height, inside leg"}
	womensBra      = control{"women", "bra", "underbust", "bust"}
	womensBriefs   = control{"women", "underwear, bottom", "hip or waist", "-"}
	womensTights   = control{"women", "tights", "height", "weight, hip"}
	womensNight    = control{"women", "nightwear", "bust", "height"}
	mensNight      = control{"men", "nightwear", "chest", "height"}
	allGloves      = control{"all", "gloves", "hand", "hand length"}
	allHats        = control{"all", "headwear", "head", "-"}
	mensBriefs     = control{"men", "underwear, bottom; swim trunks", "waist", "-"}
	mensJacket     = control{"men", "jacket", "chest", "waist, height"}
	mensCoat       = control{"men", "overcoat", "chest", "height"}
	mensShirt      = control{"men", "shirt", "neck", "chest, height, arm length"}
	mensKnit       = control{"men", "knitwear, T-shirt", "chest", "height"}
	mensTrousers   = control{"men", "trousers", "waist", "inside leg, height"}
	childrens      = control{"children", "all main garments", "height", "chest or bust, waist, hip"}
)

// lengthened is why a child's size goes by the chest.
const lengthened = "A finished garment is bought in one size, by the height; of a pattern the lengths are changed on the paper, while neck, shoulders and armholes stay as drawn for a chest."

// beside sets each shipped garment type beside those garments of the standard
// that it is nearest to, one for each wearer it is drafted for. Where there is
// none, or another measurement picks the size here, why says why, in one plain
// sentence.
var beside = map[string]struct {
	garments []control
	why      string
}{
	"a-line-skirt":          {[]control{womensSkirt}, "Darts and side seams put the waist right, while a hip that is too close pulls the flare out of line."},
	"apron":                 {nil, "The standard has no apron; it is tied to fit, and the hip is the fullest level it must reach round."},
	"baby-romper":           {[]control{childrens}, lengthened},
	"bias-slip":             {[]control{womensDress}, ""},
	"blouse":                {[]control{womensBlouse}, ""},
	"bodysuit":              {[]control{womensSwimsuit}, ""},
	"boxers":                {[]control{womensBriefs, mensBriefs}, "Elastic draws the waist in, so only the seat can be too close."},
	"boxy-top":              {[]control{womensBlouse, mensKnit}, ""},
	"bralette":              {[]control{womensBra}, ""},
	"briefs":                {[]control{womensBriefs, mensBriefs}, "The knit is stretched furthest over the seat, and elastic holds the top edge wherever it lies."},
	"cape":                  {[]control{womensCoat}, "It rests on the shoulders and goes round both arms, so their girth comes first and the bust stands in for it."},
	"cardigan":              {[]control{womensKnit}, ""},
	"child-close-sleepwear": {[]control{childrens}, lengthened},
	"child-dress":           {[]control{childrens}, lengthened},
	"child-hooded-jacket":   {[]control{childrens}, lengthened},
	"child-loose-pyjamas":   {[]control{childrens}, lengthened},
	"child-tee":             {[]control{childrens}, lengthened},
	"child-trousers":        {[]control{childrens}, "Elastic draws the waist in and legs are turned up, while seat and crotch curve stay as drawn for a hip."},
	"circle-skirt":          {[]control{womensSkirt}, ""},
	"close-knit-top":        {[]control{womensKnit}, ""},
	"coat":                  {[]control{womensCoat}, ""},
	"dungarees":             {[]control{womensTrousers, mensTrousers}, "They hang from straps and stand off at the waist, so only the seat can be too close."},
	"empire-dress":          {[]control{womensDress}, "Upper bust and drafted cup stand for the bust, so that neck and shoulder fit above the seam."},
	"gathered-dress":        {[]control{womensDress}, ""},
	"gathered-skirt":        {[]control{womensSkirt}, "A gathered waist is drawn up to fit, so the hip decides."},
	"gloves":                {[]control{allGloves}, ""},
	"hat":                   {[]control{allHats}, ""},
	"hooded-jacket":         {[]control{womensJacket, mensJacket}, ""},
	"jeans":                 {[]control{womensTrousers, mensTrousers}, "Yoke, centre back and waistband put the waist right, while seat and crotch curve cannot be recut."},
	"joggers":               {[]control{womensTrousers, mensTrousers}, "Elastic or a drawstring draws the waist in, so only seat and thighs can be too close."},
	"jumpsuit":              {[]control{womensDress}, ""},
	"kimono-jacket":         {[]control{womensJacket, mensJacket}, ""},
	"knit-dress":            {[]control{womensDress}, ""},
	"knit-skirt":            {[]control{womensSkirt}, "Elastic holds the waist, and the knit is stretched furthest over the hip."},
	"knit-tee":              {[]control{womensKnit, mensKnit}, ""},
	"leggings":              {[]control{womensTrousers}, "Elastic holds the waist, and the knit is stretched furthest over the seat."},
	"leotard":               {[]control{womensSwimsuit}, ""},
	"maternity-top":         {[]control{womensKnit}, ""},
	"mens-jacket":           {[]control{mensJacket}, ""},
	"mens-shirt":            {[]control{mensShirt}, "The collar is cut at the neck's own size line, while armhole and sleeve go with the chest and cannot be let out."},
	"mens-trousers":         {[]control{mensTrousers}, "The waist is let out and taken in at the centre back, while seat and crotch curve cannot be recut."},
	"nightdress":            {[]control{womensNight}, ""},
	"pinafore":              {[]control{womensDress}, ""},
	"pleated-skirt":         {[]control{womensSkirt}, "Each pleat is lapped a little more or less above the hip, while a hip that is too close springs them open."},
	"princess-dress":        {[]control{womensDress}, ""},
	"pyjama-trousers":       {[]control{womensTrousers, mensTrousers}, "Elastic or a cord draws the waist in, so only the seat can be too close."},
	"quilted-waistcoat":     {[]control{womensJacket, mensJacket}, ""},
	"raincoat":              {[]control{womensCoat, mensCoat}, ""},
	"rigid-jeans":           {[]control{womensTrousers, mensTrousers}, "Yoke, centre back and waistband put the waist right, while seat, thigh and crotch curve cannot be recut."},
	"robe":                  {[]control{womensNight, mensNight}, ""},
	"sheath-dress":          {[]control{womensDress}, ""},
	"shift-dress":           {[]control{womensDress}, ""},
	"shirt":                 {[]control{womensBlouse, mensShirt}, "Collar and band are cut at the neck's own size line, while armhole and sleeve go with the chest and cannot be let out."},
	"shirt-dress":           {[]control{womensDress}, ""},
	"shorts":                {[]control{womensTrousers, mensTrousers}, "A waist is put right at its seams or drawn in, while seat and crotch curve cannot be recut."},
	"straight-skirt":        {[]control{womensSkirt}, "Darts and side seams put the waist right, while a hip that is too close has nothing but its seam allowance."},
	"sweatshirt":            {[]control{womensKnit, mensKnit}, ""},
	"swimsuit":              {[]control{womensSwimsuit}, ""},
	"tailored-jacket":       {[]control{womensJacket}, ""},
	"tights":                {[]control{womensTights}, "The knit is stretched furthest over the hip and no seam lets it out there, while legs, rise and feet are lengthened on the paper."},
	"waistcoat":             {[]control{womensJacket, mensJacket}, ""},
	"wide-trousers":         {[]control{womensTrousers}, "Darts, pleats or elastic put the waist right, while the leg falls from the hip and its crotch curve cannot be recut."},
	"woven-trousers":        {[]control{womensTrousers}, "Darts, side seams and centre back put the waist right, while seat and crotch curve go with the fullest level."},
	"wrap-dress":            {[]control{womensDress}, ""},
	"wrap-skirt":            {[]control{womensSkirt}, "It is closed at the waist where it fits, and the hip tells how much of the overlap is left."},
}

const controlsHead = `# What picks the size, beside the standard

EN 13402-2, now ISO 8559-2, says by which body dimension each garment is labelled: a primary one, and secondary ones beside it. **Its rows
are given here from memory, with medium confidence, and are not checked against the standard.**

A label serves clothes that are bought finished. A pattern is still to be cut: what is put right before cutting need not pick the
size, and what nothing puts right must. That is where this table and the standard part. Bust and chest count as one.

| recipe | garment in the standard | primary there | secondary there | picks the size here | beside the standard |
|---|---|---|---|---|---|
`

const generated = "\nThis page is made from the recipes by `go test ./recipes -run 'Controls|WearingEase' -update`.\n"

// TestControls compares docs/controls.md with what the recipes say.
func TestControls(t *testing.T) {
	voc, _ := known(t)
	var page strings.Builder
	page.WriteString(controlsHead)
	for _, name := range Names() {
		r, err := Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		entry, there := beside[name]
		if !there {
			t.Errorf("recipes/%s.yaml is in no table of the standard: add it to `beside` in recipes/controls_test.go, with the nearest garment of EN 13402-2", name)
			continue
		}
		rows, problems := controlRows(r, entry.garments, entry.why)
		page.WriteString(rows)
		for _, p := range problems {
			t.Errorf("%s: %s (see `beside` in recipes/controls_test.go)", name, p)
		}
	}
	for name := range beside {
		if !slices.Contains(Names(), name) {
			t.Errorf("`beside` in recipes/controls_test.go has %s, which is not shipped", name)
		}
	}
	page.WriteString(generated)
	drift(t, "../docs/controls.md", page.String())
}

// controlRows are a recipe's lines of the table, and what is wrong with its entry.
func controlRows(r *engine.Recipe, garments []control, why string) (rows string, problems []string) {
	here := picking(r)
	words := strings.Join(here, ", else ")
	if r.Controlling.Formula != nil {
		words = strings.Join(here, " or ")
	}
	agrees := true
	if len(garments) == 0 {
		agrees = false
		rows = fmt.Sprintf("| %s | - | - | - | %s | %s |\n", linked(r.Name), words, why)
	}
	for _, g := range garments {
		verdict := "agrees"
		if first := here[0]; !slices.ContainsFunc(strings.Split(g.primary, " or "), func(p string) bool { return p == first || twin[p] == first }) {
			agrees, verdict = false, why
		}
		rows += fmt.Sprintf("| %s | %s: %s | %s | %s | %s | %s |\n", linked(r.Name), g.wearer, g.garment, g.primary, g.secondary, words, verdict)
	}
	for _, wearer := range wearers[string(r.Draft)] {
		if len(garments) > 0 && !slices.ContainsFunc(garments, func(g control) bool { return g.wearer == wearer || g.wearer == "all" }) {
			problems = append(problems, "it is drafted for "+wearer+" too, but has no garment of theirs")
		}
	}
	switch {
	case agrees && why != "":
		problems = append(problems, "it agrees with the standard; drop the reason why not")
	case !agrees && why == "":
		problems = append(problems, "the standard does not have it, or another measurement picks its size; say why in one plain sentence")
	}
	return rows, problems
}

var (
	twin    = map[string]string{"bust": "chest", "chest": "bust"}
	wearers = map[string][]string{"women": {"women"}, "men": {"men"}, "children": {"children"}, "all": {"women", "men"}}
)

var quotedWord = regexp.MustCompile(`"[a-z_]+"`)

// picking names the measurements that may pick the size; an expression's are
// the words it can yield.
func picking(r *engine.Recipe) []string {
	if r.Controlling.Formula == nil {
		return r.Controlling.Names
	}
	var names []string
	for _, w := range quotedWord.FindAllString(r.Controlling.Formula.Source(), -1) {
		names = append(names, strings.Trim(w, `"`))
	}
	return names
}

func linked(recipe string) string { return fmt.Sprintf("[%s](../recipes/%[1]s.yaml)", recipe) }

// drift fails where a generated page is not what it was made from.
func drift(t *testing.T, path, want string) {
	t.Helper()
	if *update && !t.Failed() {
		if err := os.WriteFile(path, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(got), want); diff != "" {
		t.Errorf("%s is not as the recipes have it; run with -update and read the difference:\n%s", path, diff)
	}
}

// An entry that does not hold is found out.
func TestControlProblems(t *testing.T) {
	skirt := &engine.Recipe{Name: "wrap-skirt", Draft: "women", Controlling: engine.Controlling{Names: []string{"hip"}}}
	kilt := &engine.Recipe{Name: "kilt", Draft: "all", Controlling: engine.Controlling{Names: []string{"waist"}}}
	tests := []struct {
		name     string
		recipe   *engine.Recipe
		garments []control
		why      string
		want     []string
	}{
		{"another measurement with a reason", skirt, []control{womensSkirt}, "The waist wraps.", nil},
		{"another measurement without", skirt, []control{womensSkirt}, "", []string{"the standard does not have it, or another measurement picks its size; say why in one plain sentence"}},
		{"the same measurement", kilt, []control{womensSkirt, mensTrousers}, "", nil},
		{"the same with a reason", kilt, []control{womensSkirt, mensTrousers}, "It wraps.", []string{"it agrees with the standard; drop the reason why not"}},
		{"no garment of the standard", skirt, nil, "There is none.", nil},
		{"no garment, and nothing said", skirt, nil, "", []string{"the standard does not have it, or another measurement picks its size; say why in one plain sentence"}},
		{"nobody of those it is for", kilt, []control{womensSkirt}, "", []string{"it is drafted for men too, but has no garment of theirs"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, got := controlRows(tt.recipe, tt.garments, tt.why); !slices.Equal(got, tt.want) {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

// quote is a verified figure of wearing ease.
type quote struct {
	number                       int // on the page
	measurement, garment, source string
	low, high                    quantity.Length
	hasLow, hasHigh              bool
	with, without, draft         string
}

// about tells whether a figure is about garments such as a recipe's.
func (q *quote) about(r *engine.Recipe) bool {
	return (q.with == "" || slices.Contains(r.Parts, q.with)) && (q.without == "" || !slices.Contains(r.Parts, q.without)) && (q.draft == "" || q.draft == string(r.Draft))
}

func (q *quote) figures() string {
	switch {
	case !q.hasHigh:
		return "from " + q.low.Format(quantity.In)
	case !q.hasLow:
		return "up to " + q.high.Format(quantity.In)
	case q.low == q.high:
		return q.low.Format(quantity.In)
	}
	return strings.TrimSuffix(q.low.Format(quantity.In), " in") + " to " + q.high.Format(quantity.In)
}

// verifiedEase reads the table of wearing ease, verified lines only.
func verifiedEase(t *testing.T) []*quote {
	t.Helper()
	f, err := os.Open("../rules/data/wearing_ease.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	inch := func(s string) (quantity.Length, bool) {
		if s == "" {
			return 0, false
		}
		l, err := quantity.ParseLength(s, quantity.In)
		if err != nil {
			t.Fatal(err)
		}
		return l, true
	}
	cell := func(line []string, column string) string { return line[slices.Index(lines[0], column)] }
	var quotes []*quote
	for _, line := range lines[1:] {
		if cell(line, "status") != "verified" {
			continue
		}
		q := &quote{number: len(quotes) + 1, measurement: cell(line, "measurement"), garment: cell(line, "garment"), source: cell(line, "source"), with: cell(line, "with"), without: cell(line, "without"), draft: cell(line, "draft")}
		q.low, q.hasLow = inch(cell(line, "low_in"))
		q.high, q.hasHigh = inch(cell(line, "high_in"))
		quotes = append(quotes, q)
	}
	return quotes
}

const easeHead = `# Where the expected ease begins, beside published wearing ease

Wearing ease is the room a body needs to move in a cloth that does not stretch. Every verified figure that the project knows
([wearing_ease.csv](../rules/data/wearing_ease.csv)), each for the garments that its source is about: a guide to trousers says nothing of a
dress. What the method uses is the lowest low end that is about such a garment and asks for any room at all:

`

const easeTable = `
For each zone whose ease a recipe gives as a length, the low end of its range, the wearing ease that the method uses there, and the figures that
are about such a garment, which the low end lies below, inside and above. Where
stretch is needed the garment is a knit, which needs no wearing ease. Zones whose ease is given in percent are not here.

| recipe | stretch | zone | low end | wearing ease | below | inside | above |
|---|---|---|---|---|---|---|---|
`

// closer says for zones (recipe, then zone) of wovens without stretch why their
// range begins below the wearing ease that the method uses.
var closer = map[string]string{}

// TestWearingEase compares docs/ease.md with what the recipes say.
func TestWearingEase(t *testing.T) {
	voc, _ := known(t)
	quotes := verifiedEase(t)
	var page strings.Builder
	page.WriteString(easeHead)
	for _, q := range quotes {
		figures := q.figures()
		fmt.Fprintf(&page, "%d. %s, %s: %s. %s.\n", q.number, voc.Title(q.measurement), q.garment, figures, q.source)
	}
	page.WriteString(easeTable)
	var reasons []string
	unquoted := map[string][]string{} // recipes by measurement
	for _, name := range Names() {
		r, err := Shipped(name, voc)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.Zones {
			z := &r.Zones[i]
			if z.Ease == nil || z.Ease.Percent || !z.Ease.HasLow || z.Laps != "" {
				continue
			}
			of := slices.DeleteFunc(slices.Clone(quotes), func(q *quote) bool { return q.measurement != z.Measure || !q.about(r) })
			if len(of) == 0 {
				unquoted[z.Measure] = append(unquoted[z.Measure], name)
				continue
			}
			why := closer[name+" "+z.Name]
			page.WriteString(easeRow(r, z, of, voc))
			if why != "" {
				reasons = append(reasons, fmt.Sprintf("%s, %s: %s", name, z.Name, why))
			}
			if problem := easeProblem(r, z, voc, why); problem != "" {
				t.Errorf("recipes/%s.yaml, %s: %s (see `closer` in recipes/controls_test.go)", name, z.Name, problem)
			}
		}
	}
	if len(reasons) == 0 {
		reasons = []string{"none"}
	}
	fmt.Fprintf(&page, "\nZones without stretch that begin below it: %s.\n", strings.Join(reasons, "; "))
	page.WriteString("\nFor these measurements no verified figure is known:\n\n")
	for _, measure := range voc.Words() {
		if names := unquoted[measure]; names != nil {
			fmt.Fprintf(&page, "- %s, in %s\n", voc.Title(measure), strings.Join(names, ", "))
		}
	}
	page.WriteString(generated)
	drift(t, "../docs/ease.md", page.String())
}

func easeRow(r *engine.Recipe, z *engine.Zone, quotes []*quote, voc *engine.Vocabulary) string {
	low := quantity.Length(z.Ease.Low)
	var below, inside, above []string
	for _, q := range quotes {
		n := fmt.Sprint(q.number)
		switch {
		case q.hasLow && low < q.low:
			below = append(below, n)
		case q.hasHigh && low > q.high:
			above = append(above, n)
		default:
			inside = append(inside, n)
		}
	}
	uses := ""
	if wearing, ok := voc.Measure(z.Measure).WearingEase(r); ok {
		uses = wearing.Format(quantity.In)
	}
	cells := []string{linked(r.Name), string(r.Stretch.Kind), strings.ReplaceAll(z.Name, "_", " "), low.Exact(quantity.In), uses,
		strings.Join(below, ", "), strings.Join(inside, ", "), strings.Join(above, ", ")}
	return "| " + strings.Join(cells, " | ") + " |\n"
}

// easeProblem tells what is wrong with the low end of a zone, or is empty.
func easeProblem(r *engine.Recipe, z *engine.Zone, voc *engine.Vocabulary, why string) string {
	wearing, _ := voc.Measure(z.Measure).WearingEase(r)
	below := r.Stretch.Kind == "none" && quantity.Length(z.Ease.Low) < wearing
	switch {
	case below && why == "":
		return fmt.Sprintf("the expected ease begins at %s, below the wearing ease of %s; say why", quantity.Length(z.Ease.Low).Exact(quantity.In), wearing.Format(quantity.In))
	case !below && why != "":
		return "the expected ease does not begin below the wearing ease; drop the reason"
	}
	return ""
}

// A range that begins too low is found out.
func TestEaseProblem(t *testing.T) {
	voc, _ := known(t)
	woven, knit := engine.Stretch{Kind: "none"}, engine.Stretch{Kind: "needed", Least: 25}
	tests := []struct {
		name, why string
		stretch   engine.Stretch
		low       quantity.Length
		want      string
	}{
		{"at the wearing ease", "", woven, 2 * quantity.Inch, ""},
		{"below it", "", woven, 3 * quantity.Inch / 2, "the expected ease begins at 1 1/2 in, below the wearing ease of 2 in; say why"},
		{"below it, with a reason", "It sits low.", woven, quantity.Inch, ""},
		{"a knit", "", knit, 0, ""},
		{"a reason for nothing", "It sits low.", woven, 3 * quantity.Inch, "the expected ease does not begin below the wearing ease; drop the reason"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			z := &engine.Zone{Name: "hip", Measure: "hip", Ease: &engine.EaseRange{Low: float64(tt.low), HasLow: true}}
			if got := easeProblem(&engine.Recipe{Stretch: tt.stretch}, z, voc, tt.why); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}
