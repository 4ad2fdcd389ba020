package engine

import (
	"fmt"
	"slices"

	"fitadvisor/engine/quantity"
)

// Suitability says whether a pattern's ease suits a cloth: for one body in one
// size, or in every size for the body the chart has in mind. Lengths are
// centimetres, shares percent.
type Suitability struct {
	Version     int           `json:"version"`        // the version of this form: 1
	Pattern     string        `json:"pattern"`        // the pattern's name
	Maker       string        `json:"maker"`          // who made the pattern
	Recipe      string        `json:"recipe"`         // the garment type
	Cloth       string        `json:"cloth"`          // the cloth's name
	Body        string        `json:"body,omitempty"` // the body's name; absent: the chart's own bodies
	Suits       bool          `json:"suits"`          // whether the cloth suits
	Verdict     string        `json:"verdict"`        // in a sentence
	MakeItSuit  []string      `json:"make_it_suit"`   // what would make it suit, in words
	Sizes       []SuitSize    `json:"sizes"`          // the sizes that were asked about
	Cautions    []Caution     `json:"cautions"`       // the rules that fired on the size shown, or on all sizes, each once
	NotJudged   []NotJudged   `json:"not_judged"`     // zones and openings that could not be judged
	Assumptions []Assumption  `json:"assumptions"`    // what was taken for granted
	Units       quantity.Unit `json:"-"`
	Planned     bool          `json:"-"` // an ease that is asked about, and no pattern yet
	Lies        string        `json:"-"` // how the cloth lies and what it does, in words
}

// SuitSize is one size in the cloth.
type SuitSize struct {
	Size  string     `json:"size"`  // as the pattern prints it
	Suits bool       `json:"suits"` // whether it suits at every zone that decides
	Zones []SuitZone `json:"zones"` // the zones that are judged
}

// SuitZone is what one zone asks of the cloth, and what is there.
type SuitZone struct {
	Zone         string   `json:"zone"`                    // the zone's name
	Role         Role     `json:"role"`                    // whether it decides the size
	Body         float64  `json:"body"`                    // the measurement it is judged by
	Finished     float64  `json:"finished"`                // the garment's own
	Estimated    bool     `json:"estimated"`               // whether that is an estimate
	Ease         float64  `json:"ease"`                    // finished less body, always a length
	WearingEase  float64  `json:"wearing_ease"`            // the room that is usual to move in
	StretchAsked float64  `json:"stretch_asked"`           // what lets the body in: body / finished - 1
	StretchThere *float64 `json:"stretch_there,omitempty"` // the usable share; absent where the cloth's stretch is not given
	Washed       *float64 `json:"washed,omitempty"`        // the garment there, if cut unwashed
	Suits        bool     `json:"suits"`                   // whether the stretch there is enough
}

// SizeError says that the pattern has no such size.
type SizeError struct {
	Size  string
	Known []string
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("the pattern has no size %q; its sizes are %s", e.Size, list(e.Known, "and"))
}

// Suit asks whether the planned ease suits the request's cloth. With a body it
// judges the size named, or the best one; without, every size on the chart's
// own body (or only the size named).
func Suit(q Request, size string) (*Suitability, error) {
	q.Vocabulary = q.Vocabulary.For(q.Pattern, q.Recipe)
	f, err := Prepare(q.Pattern, q.Recipe, q.Rules, q.Vocabulary)
	if err != nil {
		return nil, err
	}
	if size != "" && !slices.Contains(f.sizes, size) {
		return nil, &SizeError{size, f.sizes}
	}
	a := &Suitability{Version: 1, Pattern: f.pattern.Name, Maker: f.pattern.Maker, Recipe: f.recipe.Name, Cloth: q.Cloth.Name,
		Units: q.Units, Planned: f.pattern.Planned, Cautions: []Caution{}, NotJudged: []NotJudged{}, Assumptions: []Assumption{}, MakeItSuit: []string{}}
	if q.Body != nil {
		err = f.suitBody(a, q.Fitting, size)
	} else {
		err = f.suitChart(a, q.Fitting, size)
	}
	return a, err
}

// suitBody judges one size on a person.
func (f *Fitter) suitBody(a *Suitability, t Fitting, size string) error {
	j, err := f.judge(t)
	if err != nil {
		return err
	}
	s := slices.Index(f.sizes, size)
	if s < 0 {
		s = j.byMisfit()[0].s
	}
	a.Body = t.Body.Name
	a.Sizes = []SuitSize{j.suitSize(s)}
	a.NotJudged = j.explainer().notJudged(s)
	a.Assumptions = j.explainer().clothAssumptions()
	a.Lies = j.explainer().lies()
	a.Suits = a.Sizes[0].Suits
	if err := j.clothCautions(a, s, aboutCloth); err != nil {
		return err
	}
	a.Verdict = j.explainer().suitVerdict(s, fmt.Sprintf("size %s on you", f.sizes[s]))
	if !a.Suits {
		a.MakeItSuit = j.explainer().wouldSuit(s)
	}
	return nil
}

// suitChart judges every size on the body the chart has in mind for it.
func (f *Fitter) suitChart(a *Suitability, t Fitting, size string) error {
	a.Suits = true
	var no []string
	for s, label := range f.sizes {
		if size != "" && size != label {
			continue
		}
		t.Body = f.chartBody(s)
		j, err := f.judge(t)
		if err != nil {
			return err
		}
		one := j.suitSize(s)
		a.Sizes = append(a.Sizes, one)
		if a.Lies == "" {
			a.Lies, a.Assumptions, a.NotJudged = j.explainer().lies(), j.explainer().clothAssumptions(), j.explainer().notJudged(s)
		}
		if err := j.clothCautions(a, s, func(r *boundRule) bool { return aboutCloth(r) && !r.local }); err != nil {
			return err
		}
		if one.Suits {
			if len(no) == 0 {
				a.Verdict = j.explainer().suitVerdict(s, f.chartWords(size))
			}
			continue
		}
		if a.Suits {
			a.Verdict, a.MakeItSuit = j.explainer().suitVerdict(s, f.chartWords(label)), j.explainer().wouldSuit(s)
		}
		a.Suits, no = false, append(no, label)
	}
	if len(no) > 1 {
		a.Verdict += fmt.Sprintf(" The same holds for size %s.", list(no[1:], "and"))
	}
	return nil
}

// chartWords says on whom: one size's own body, or every size's.
func (f *Fitter) chartWords(size string) string {
	if f.pattern.Planned {
		return "this ease"
	}
	if size == "" {
		return "every size on the chart's own bodies"
	}
	return "size " + size + " on the chart's own body"
}

// chartBody is the body the chart has in mind for a size.
func (f *Fitter) chartBody(s int) *Body {
	b := &Body{Name: "the chart's body for size " + f.sizes[s], Measurements: map[string]Measurement{}}
	for name, row := range f.pattern.Chart {
		if c := row[f.cells[s]]; c.Known {
			b.Measurements[name] = Measurement{Readings: []Reading{{Length: quantity.Mean([]quantity.Length{c.Low, c.High}), Text: c.Text}}, At: c.At}
		}
	}
	return b
}

func (j *judging) suitSize(s int) SuitSize {
	out := SuitSize{Size: j.sizes[s], Suits: j.carries(s), Zones: []SuitZone{}}
	for z, c := range j.zones {
		if r := j.fitted(z, s); r.judged && c.pulls {
			out.Zones = append(out.Zones, j.suitZone(c, r))
		}
	}
	return out
}

func (j *judging) suitZone(c *column, r *zoneFit) SuitZone {
	cm := func(nm float64) float64 { return roundTo(nm/nanometresPerCm, 1000) }
	z := SuitZone{Zone: c.zone.Name, Role: c.zone.Role, Body: cm(r.body), Finished: cm(r.finished.v), Estimated: r.finished.estimated,
		Ease: cm(r.finished.v - r.body), WearingEase: cm(j.wearing(c)), StretchAsked: roundTo(max(0, j.stretchNeeded(c, r)), 100), Suits: j.carriesAt(c, r)}
	if there := j.stretchAt(c); there.known {
		v := roundTo(there.v, 100)
		z.StretchThere = &v
	}
	if shrink := j.shrinkAt(c); shrink.known && shrink.v > 0 && !j.cloth.prewashed {
		v := cm(r.finished.v * (1 - shrink.v/100))
		z.Washed = &v
	}
	return z
}

// carriesAt tells whether the cloth can carry one zone.
func (j *judging) carriesAt(c *column, r *zoneFit) bool {
	there := j.stretchAt(c)
	return ticks(j.stretchNeeded(c, r), true) <= ticks(there.v, true)
}

// suitVerdict puts the answer for one size into a sentence.
func (j explainer) suitVerdict(s int, what string) string {
	z := j.tightest(s)
	if z < 0 {
		return fmt.Sprintf("%s cannot be judged: no zone that decides has a finished measurement.", capital(what))
	}
	c, r := j.zones[z], j.fitted(z, s)
	needed, there := j.stretchNeeded(c, r), j.stretchAt(c)
	cloth := j.Cloth.Name
	switch {
	case !there.known && needed > 0:
		return fmt.Sprintf("Whether %s suits %s cannot be told: the %s asks for %s of stretch, and the cloth's stretch is not given.", cloth, what, zoneTitle(c.zone), j.Percent(needed))
	case needed <= 0 && ticks(r.finished.v-r.body, false) < ticks(j.least(c, r), false):
		return fmt.Sprintf("Yes, closely: %s suits %s. It asks for no stretch, but at the %s, the closest, the garment leaves %s, and %s is usual to move in.",
			cloth, what, zoneTitle(c.zone), j.inUnits(r.finished.v-r.body), j.inUnits(j.wearing(c)))
	case needed <= 0:
		return fmt.Sprintf("Yes: %s suits %s. It asks for no stretch: at the %s, the closest, the garment leaves %s and %s is usual to move in.",
			cloth, what, zoneTitle(c.zone), j.inUnits(r.finished.v-r.body), j.inUnits(j.wearing(c)))
	case j.carriesAt(c, r):
		return fmt.Sprintf("Yes: %s suits %s. At the %s it asks for %s of stretch, and %s stays comfortable.", cloth, what, zoneTitle(c.zone), j.Percent(needed), j.Percent(there.v))
	case there.v == 0:
		return fmt.Sprintf("No: %s does not suit %s. At the %s it asks for %s of stretch, and the cloth has none to speak of.", cloth, what, zoneTitle(c.zone), j.Percent(needed))
	}
	return fmt.Sprintf("No: %s does not suit %s. At the %s it asks for %s of stretch, and only %s stays comfortable.", cloth, what, zoneTitle(c.zone), j.Percent(needed), j.Percent(there.v))
}

// tightest is the deciding zone that asks most beyond what is there, or -1.
func (j *judging) tightest(s int) int {
	best := -1
	var most float64
	for z, c := range j.zones {
		r := j.fitted(z, s)
		if !j.hasSay(z) || !c.pulls || !r.judged || r.finished.estimated {
			continue
		}
		if over := j.stretchNeeded(c, r) - j.stretchAt(c).v; best < 0 || over > most {
			best, most = z, over
		}
	}
	return best
}

// wouldSuit lists what would make the cloth question come out well.
func (j explainer) wouldSuit(s int) []string {
	z := j.tightest(s)
	if z < 0 {
		return []string{}
	}
	c, r := j.zones[z], j.fitted(z, s)
	out := []string{fmt.Sprintf("a cloth that stretches at least %s %s the body and springs back as well", j.Percent(j.stretchAsked(c, r)), directionOf(c))}
	if there := j.stretchAt(c); there.v > 0 {
		least := j.atLeast(r.body/(1+there.v/100), quantity.Millimetre)
		out = append(out, fmt.Sprintf("a garment that measures at least %s at the %s: an ease of %s", j.inUnits(least), zoneTitle(c.zone), j.Percent(100*(least/r.body-1))))
	}
	if other := j.turned(c); other.known && ticks(j.stretchNeeded(c, r), true) <= ticks(j.usable(other).v, true) {
		out = append(out, fmt.Sprintf("turning the pieces, so that the direction that stretches %s goes %s the body", j.Percent(other.v), directionOf(c)))
	}
	if first, ok := j.firstToStretch(); ok && !j.pattern.Planned {
		out = append(out, fmt.Sprintf("for this body size %s, the first that this cloth carries", first))
	}
	return out
}

// turned is the cloth's stretch in the other direction of its grain.
func (j *judging) turned(c *column) figure {
	if c.measure.Kind == Along {
		return j.cloth.round
	}
	return j.cloth.upDown
}

func directionOf(c *column) string {
	if c.measure.Kind == Along {
		return "along"
	}
	return "round"
}

// lies says in words how the cloth lies on the pieces and what it does.
func (j explainer) lies() string {
	grain := j.Cloth.Grain
	if grain == "" {
		grain = "lengthwise"
	}
	s := fmt.Sprintf("The pieces lie %s: ", grain)
	switch grain {
	case Crosswise:
		s += "what stretches along the cloth goes round the body"
	case OnBias:
		s += "what it stretches at 45 degrees goes round the body and along it"
	default:
		s += "what stretches across the cloth goes round the body"
	}
	if !j.cloth.round.known {
		return s + ", which is not given."
	}
	s += fmt.Sprintf(", %s", j.Percent(j.cloth.round.v))
	if usable := j.usable(j.cloth.round); usable.v > 0 {
		s += fmt.Sprintf(", of which %s stays comfortable after %s recovery", j.Percent(usable.v), j.Percent(j.cloth.recovery))
	} else {
		s += fmt.Sprintf(", which counts as none (below %s)", j.Percent(j.voc.Limits.LeastStretch))
	}
	return s + "."
}

func (j explainer) clothAssumptions() []Assumption {
	out := []Assumption{}
	if j.pattern.Planned {
		for _, c := range j.zones {
			if c.zone.percent() && c.chart[0].known {
				out = append(out, Assumption{fmt.Sprintf("the centimetres are those of a body of %s at the %s", j.inUnits(c.chart[0].v), c.measure.Title), "an ease that is a share of the body asks the same of the cloth on every body"})
			}
		}
	}
	if j.cloth.round.known && j.Cloth.Structure == Woven && j.Cloth.Across == nil && j.Cloth.Along == nil && j.Cloth.Bias == nil {
		out = append(out, Assumption{"the cloth does not stretch", "it is a woven that names no stretch"})
	}
	if j.Cloth.Recovery == nil && j.stretches(j.cloth.round) {
		out = append(out, Assumption{"the cloth springs back fully", "its recovery is not given"})
	}
	return out
}

// clothTopics are the topics of rules that speak of the cloth.
var clothTopics = []string{"cloth", "layers"}

func aboutCloth(r *boundRule) bool { return slices.Contains(clothTopics, r.Topic) }

// clothCautions adds what some rules say of a size, each rule and zone once.
func (j *judging) clothCautions(a *Suitability, s int, want func(*boundRule) bool) error {
	h, rules := &ruleResults{}, j.which(want)
	if err := j.applyRules(h, s, &rules); err != nil {
		return err
	}
	j.sortResults(h)
	for i := range h.fired {
		c, err := j.explainer().caution(&h.fired[i])
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(a.Cautions, func(have Caution) bool { return have.ID == c.ID && have.Zone == c.Zone }) {
			a.Cautions = append(a.Cautions, c)
		}
	}
	return nil
}
