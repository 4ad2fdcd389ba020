package engine

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain"
)

// Steps are the steps of altering a pattern, in the trade's order: what comes
// first changes what has to be done after it.
func Steps() []string {
	return []string{"length", "rise", "shoulder", "bust", "back", "seat", "girth", "sleeve", "hem"}
}

// Parts are what a garment can be made of, as far as alterations go.
func Parts() []string {
	return []string{"shoulder", "bodice", "dart", "sleeves", "crotch", "legs", "skirt"}
}

// LengthenedParts are those that patterns have lines to lengthen or shorten on.
func LengthenedParts() []string { return []string{"bodice", "sleeves", "crotch", "skirt", "legs"} }

// Features are what a garment can have that spares it an alteration, or gives its
// waist another place than the body's.
func Features() []string {
	return []string{"shoulder pads", "front fullness", "back fullness", "raised waist", "dropped waist"}
}

// featureTerms are the names by which expressions ask for them: has.shoulder_pads.
func featureTerms() []term {
	var out []term
	for _, feature := range Features() {
		out = append(out, flagTerm("has."+strings.ReplaceAll(feature, " ", "_"), "whether the pattern or its type has: "+feature, asFlag(func(j *judging, _ *scene) bool {
			return slices.Contains(j.pattern.Has, feature) || slices.Contains(j.recipe.Has, feature)
		})))
	}
	return out
}

// The limits of an alteration's own that bound its amount: what is less is left
// as it is, and with more another pattern serves better.
const (
	LeastAmount = "limit.least"
	MostAmount  = "limit.most"
)

// alteration is a rule that alters the pattern, in its place among the others.
// Its expressions are compiled when it is first asked.
type alteration struct {
	*Rule
	step, level int
	bound       func() (*boundRule, error)
}

// altered is an alteration in the course of one answer.
type altered struct {
	rule    *boundRule
	place   *alteration
	listed  *listed // nil: the measurements ask for it
	before  *listed // what was made before, where they do not say; nil: nothing
	amount  figure  // nanometres, or degrees
	gains   figure  // what the garment gains where it settles; nanometres
	degrees bool
	answer  Alteration
	lacks   []string // names that its texts wanted and that are not known
	why     *explain.Node
}

// listed is an alteration that is made whatever the measurements say.
type listed struct {
	amount  figure
	because string
	at      string // the line it stands in
	sewn    bool   // the toile was sewn with it
}

// bindAlteration keeps an alteration that the garment type can have.
func (f *Fitter) bindAlteration(r *Rule, order int) {
	if !r.Alter.fits(f.recipe) {
		return
	}
	a := &alteration{Rule: r, step: slices.Index(Steps(), r.Alter.Step), level: f.voc.level(r.Alter.Zone)}
	a.bound = sync.OnceValues(func() (*boundRule, error) {
		when, err := r.When()
		if err != nil {
			return nil, placedError(r.At, err)
		}
		b := &boundRule{Rule: r, when: when, order: order}
		b.names, _ = f.voc.lookUp(when.Names(), true)
		return b, nil
	})
	f.alterations = append(f.alterations, a)
}

// fits tells whether a garment type has a part that is altered.
func (a *Alter) fits(r *Recipe) bool {
	has := func(part string) bool { return slices.Contains(r.Parts, part) }
	return len(a.Parts) == 0 || slices.ContainsFunc(a.Parts, has)
}

// lengthens tells whether an alteration changes how long the garment is above its hem.
func (a *Alter) lengthens() bool { return a.Step == "length" || a.Step == "rise" }

// orderAlterations puts them into the trade's order: by step, from the top of
// the body down, by id.
func (f *Fitter) orderAlterations() {
	slices.SortFunc(f.alterations, (*alteration).compare)
}

func (a *alteration) compare(b *alteration) int {
	return cmp.Or(a.step-b.step, a.level-b.level, strings.Compare(a.ID, b.ID))
}

// altering is what alterations make of one size.
type altering struct {
	made    []*altered
	silent  []*altered   // asked, and not made
	instead []NotChecked // what to do in place of those
	skipped []skipped
	added   map[string]float64 // nanometres, by every measurement of the garment that is changed
}

// last tells whether an alteration comes after the size lines: what changes a
// girth, a sleeve or the hem.
func (a *alteration) last() bool { return a.step >= slices.Index(Steps(), "girth") }

// listedFor tells whether a list has an alteration, or it was made before.
func (j *judging) listedFor(a *alteration, q Request) bool {
	return j.sewnWith(a.ID) != nil || j.always(a.ID) != nil || before(a.ID, q.Usual) != nil
}

// alter asks those alterations that want accepts about the size shown, each after
// those before it. What the person always alters is made whatever the condition;
// what was altered before, where the measurements do not say.
func (j *judging) alter(q Request, want func(*alteration) bool) error {
	for _, a := range j.alterations {
		if !want(a) {
			continue
		}
		m := &altered{}
		sc := &scene{s: j.ledger.s, zone: -1, altered: m}
		if j.byShoulder(j.voc.Measure(a.Alter.Zone)) {
			sc.s = j.ledger.bodice
		}
		m.list(cmp.Or(j.sewnWith(a.ID), j.always(a.ID)))
		if j.Observed == nil || len(j.Observed.Alterations) == 0 { // else the toile says what it was sewn with
			m.before = before(a.ID, q.Usual)
		}
		var err error
		if m.rule, err = a.bound(); err != nil {
			return err
		}
		m.place = a
		m.why = &explain.Node{ID: j.explainer().sceneID(explain.ID("size", j.sizes[sc.s]), m.rule, sc)}
		if j.sewnWith(a.ID) == nil && j.pinned(a) {
			j.passOver(m, "the toile settled it")
			continue
		}
		trace := q.Trace || q.Ask == a.ID
		made, err := j.askedFor(m, sc, trace)
		if made && err == nil {
			err = j.make(m, sc, trace)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// askedFor tells whether a list or the measurements ask for an alteration.
func (j *judging) askedFor(m *altered, sc *scene, trace bool) (bool, error) {
	if m.listed != nil {
		m.why.Add(&explain.Node{ID: m.why.ID + "/listed", Label: "it is made whatever the measurements say. " + m.listed.because, Source: m.listed.at})
		return true, nil
	}
	h := &ruleResults{}
	if err := j.ask(m.rule, sc, h); err != nil {
		return false, err
	}
	fired := len(h.fired) > 0
	if !fired && m.before != nil && !j.measured(m.rule) {
		m.again("the measurements do not say whether it is needed")
		return true, nil
	}
	if len(h.skipped) > 0 {
		j.altering.skipped = append(j.altering.skipped, h.skipped...)
		return false, nil
	}
	if !fired {
		j.passOver(m, "what asks for it does not hold")
	}
	if trace {
		when, err := j.explainer().explainWhen(m.why.ID, m.rule, sc)
		if err != nil {
			return false, err
		}
		m.why.Add(when)
	}
	if !fired {
		return false, nil
	}
	spared, err := j.spared(m, sc, trace)
	return !spared, err
}

// spared tells whether the garment has, or the person wishes, what makes an
// alteration needless; the level that it would put right is left as it is.
func (j *judging) spared(m *altered, sc *scene, trace bool) (bool, error) {
	holds, err := j.unlessHolds(m, sc)
	if err != nil || m.rule.Alter.Unless == nil {
		return false, err
	}
	f, _ := m.rule.Alter.Unless() // no error: it was asked
	if trace {
		n, err := j.explainer().explainCondition(m.why.ID+"/unless", "it is not made if ", m.rule, f, sc)
		if err != nil {
			return false, err
		}
		m.why.Add(n)
	}
	if !holds {
		return false, nil
	}
	j.passOver(m, "what it is not made for holds: "+f.Source())
	text, _, err := j.env.render(m.rule.Alter.Instead, sc)
	if err != nil {
		return false, j.wordError(m.rule, "instead", err)
	}
	if text != "" {
		j.altering.instead = append(j.altering.instead, NotChecked{ID: m.rule.ID, Spared: true, Because: text})
	}
	if at := j.voc.Measure(m.rule.Alter.Settles); at != nil {
		if r := j.ledger.at(at); r != nil {
			r.settled, r.because = true, text
		}
	}
	return true, nil
}

// unlessHolds asks the condition under which an alteration is not made. What is
// not known spares nothing.
func (j *judging) unlessHolds(m *altered, sc *scene) (bool, error) {
	if m.rule.Alter.Unless == nil {
		return false, nil
	}
	f, err := m.rule.Alter.Unless()
	if err != nil {
		return false, placedError(m.rule.At, err)
	}
	j.env.putAll(f, sc)
	yes, err := f.Bool(j.env.env)
	if err != nil && !isMissing(err) {
		return false, j.wordError(m.rule, "unless", err)
	}
	return yes, nil
}

// list makes an alteration whatever the measurements say; nil lets them.
func (m *altered) list(l *listed) {
	if m.listed = l; l != nil {
		m.amount = l.amount
	}
}

// again makes an alteration as it was made before.
func (m *altered) again(since string) {
	m.list(m.before)
	m.why.Add(&explain.Node{ID: m.why.ID + "/listed", Label: since + ". " + m.before.because, Source: "method: learning"})
}

// measured tells whether a rule's condition rests on measurements, and all of
// them are known: then it has the last word on what was made before.
func (j *judging) measured(r *boundRule) bool {
	rests := false
	for _, name := range r.when.Names() {
		group, _, _ := strings.Cut(name, ".")
		switch {
		case group == "alteration" || group == "limit":
		case !j.env.env.Known(name):
			return false
		default:
			rests = true
		}
	}
	return rests
}

// passOver notes that an alteration is not made, and why not.
func (j *judging) passOver(m *altered, because string) {
	m.why.Label, m.why.Source = fmt.Sprintf("the alteration %s is not made: %s", m.rule.ID, because), m.rule.At.String()
	j.altering.silent = append(j.altering.silent, m)
}

// make works out how much is altered, puts it into words, and notes what the
// garment gains by it for the alterations after it.
func (j *judging) make(m *altered, sc *scene, trace bool) error {
	if !m.amount.known {
		if err := j.amount(m, sc, trace); err != nil {
			return err
		}
		if !m.amount.known && m.before != nil {
			m.again("the measurements do not say how much")
		}
		if least, ok := m.limit(LeastAmount); ok && m.listed == nil && m.amount.known && m.size() < least {
			j.passOver(m, fmt.Sprintf("less than %s is left as it is", m.limitText(LeastAmount)))
			return nil
		}
		if j.asDrawn(m); m.amount.known && m.amount.v == 0 {
			j.passOver(m, "it is less than can be drawn")
			return nil
		}
	}
	if err := j.answerAlteration(m, sc); err != nil {
		return err
	}
	j.altering.made = append(j.altering.made, m)
	return j.enter(m, sc)
}

// asDrawn makes a computed amount one that a tape reads, within the rule's own most.
func (j *judging) asDrawn(m *altered) {
	if !m.amount.known || m.degrees || m.listed != nil {
		return
	}
	exact, beyond := m.amount.v, m.beyond()
	if m.amount.v = j.onTape(exact, math.Round); m.beyond() && !beyond {
		m.amount.v = j.onTape(exact, math.Trunc)
	}
	if m.amount.v != exact {
		m.why.Add(&explain.Node{ID: m.why.ID + "/drawn", Label: "to what a tape reads: " + j.inUnits(m.amount.v), Source: "method: the plan"})
	}
}

// enter puts an alteration into the ledger, at every level that it changes.
func (j *judging) enter(m *altered, sc *scene) (err error) {
	alter := m.rule.Alter
	if !m.amount.known || m.degrees {
		return nil
	}
	if alter.Settles != "" {
		if m.gains, err = j.gains(m, sc, alter.Gains); err != nil {
			return err
		}
		if m.gains.known {
			j.altering.added[alter.Settles] += m.gains.v
			j.credit(m, alter.Settles, m.gains.v)
		}
	}
	for i := range alter.Adds {
		gains, err := j.gains(m, sc, alter.Adds[i].Amount)
		if err != nil {
			return err
		}
		if gains.known {
			j.altering.added[alter.Adds[i].Measure] += gains.v
			j.credit(m, alter.Adds[i].Measure, gains.v)
		}
	}
	return nil
}

// credit enters what an alteration adds at a level. Where no zone looks there,
// the garment counts as drafted for the body that the pattern names.
func (j *judging) credit(m *altered, measure string, gains float64) {
	at := j.voc.Measure(measure)
	r := j.ledger.at(at)
	if r == nil {
		drafted, known := j.draftedAt(at, j.ledger.s)
		you, _ := j.of(at)
		if both, ok := j.shoulders(j.ledger.s); ok && at.Name == "shoulder_length" {
			you.v = both.both // the larger side may be the odd one
		}
		if !known || !you.known {
			return
		}
		r = &row{z: -1, measure: at, line: j.ledger.s, base: figure{v: drafted, known: true}, you: you}
		if made := j.madeAt(measure, j.ledger.s); made.known {
			r.base = made
		}
		j.ledger.add(r)
	}
	r.settled = r.settled || m.listed != nil && m.listed.sewn
	r.changes = append(r.changes, entry{by: ByAlteration, made: m, amount: gains, edges: j.edgesAt(at)})
}

// always is what the person's own list says of an alteration, nil where it does
// not have it.
func (j *judging) always(id string) *listed {
	own, ok := j.Body.Alterations[id]
	if !ok {
		return nil
	}
	return &listed{amount: given(own.Amount), because: "It is in your own list of what you always alter.", at: own.At.String()}
}

// before is what was done before, nil where that was not.
func before(id string, usual []Usual) *listed {
	i := slices.IndexFunc(usual, func(u Usual) bool { return u.ID == id })
	if i < 0 {
		return nil
	}
	return &listed{amount: given(usual[i].Amount), because: usual[i].Because}
}

// given is an amount in a list, unknown where it is not said.
func given(l *quantity.Length) figure {
	if l == nil {
		return figure{}
	}
	return figure{v: float64(*l), known: true}
}

// amount works out how much is altered. A name that is not known leaves the
// amount so.
func (j *judging) amount(m *altered, sc *scene, trace bool) error {
	f, err := m.rule.Alter.Amount()
	if err != nil {
		return placedError(m.rule.At, err)
	}
	amount, err := j.env.number(f, sc)
	var missing *formula.Missing
	switch {
	case errors.As(err, &missing):
		because := j.explainer().notChecked(&skipped{fired{rule: m.rule, scene: *sc}, missing.Names}).Because
		m.why.Add(&explain.Node{ID: m.why.ID + "/amount", Label: "how much is " + because, Source: m.rule.At.String()})
		return nil
	case err != nil:
		return j.wordError(m.rule, "amount", err)
	}
	if m.degrees = f.Dim() == formula.Degrees; !m.degrees {
		amount = math.Round(amount * nanometresPerCm)
	}
	if trace {
		err = j.explainer().explainAmount(m, sc, f)
	}
	m.amount = figure{v: amount, known: true}
	return err
}

// gains is what the garment gains by an alteration, of its amount unless an
// expression says otherwise.
func (j *judging) gains(m *altered, sc *scene, by LateFormula) (figure, error) {
	if by == nil {
		return m.amount, nil
	}
	f, err := by()
	if err != nil {
		return figure{}, placedError(m.rule.At, err)
	}
	gains, err := j.env.number(f, sc)
	if isMissing(err) {
		return figure{}, nil
	}
	if err != nil {
		return figure{}, j.wordError(m.rule, "gains", err)
	}
	return figure{v: math.Round(gains * nanometresPerCm), known: true}, nil
}

// number runs an expression that gives a number.
func (b *binder) number(f *formula.Formula, sc *scene) (float64, error) {
	b.putAll(f, sc)
	return f.Number(b.env)
}

// beyond tells whether an amount is more than the rule's own most.
func (m *altered) beyond() bool {
	most, ok := m.limit(MostAmount)
	return ok && m.amount.known && m.size() > most
}

// limit is one of the rule's own limits, as amounts are compared.
func (m *altered) limit(name string) (float64, bool) {
	i := slices.IndexFunc(m.rule.Limits, func(l Limit) bool { return l.Name == name })
	if i < 0 {
		return 0, false
	}
	return formula.Round(m.rule.Limits[i].Value), true
}

// limitText is one of the rule's own limits as it is written.
func (m *altered) limitText(name string) string {
	i := slices.IndexFunc(m.rule.Limits, func(l Limit) bool { return l.Name == name })
	return m.rule.Limits[i].Text
}

// size is the amount without its sign, in centimetres or degrees.
func (m *altered) size() float64 {
	v := math.Abs(m.amount.v)
	if !m.degrees {
		v /= nanometresPerCm
	}
	return formula.Round(v)
}

// answerAlteration puts an alteration into words.
func (j *judging) answerAlteration(m *altered, sc *scene) error {
	alter := m.rule.Alter
	a := &m.answer
	*a = Alteration{ID: m.rule.ID, Zone: alter.Zone, Step: alter.Step, Source: m.rule.Source, At: m.rule.At.String()}
	say := m.rule.Say
	switch {
	case !m.amount.known && alter.Measure != nil:
		say = alter.Measure
	case m.amount.known && m.degrees:
		v := roundTo(m.amount.v, 100)
		a.Amount, a.Unit = &v, "degrees"
	case m.amount.known:
		v := roundTo(m.amount.v/nanometresPerCm, 1000)
		a.Amount = &v
	}
	because := alter.Because
	switch {
	case m.listed != nil:
		a.Because, because = m.listed.because, nil
	case !m.amount.known:
		because = nil
	}
	for _, t := range []struct {
		field string
		text  LateTemplate
		to    *string
	}{
		{"say", say, &a.Say}, {"because", because, &a.Because}, {"where", alter.Where, &a.Where}, {"spread", alter.Spread, &a.Spread},
		{"also", alter.Also, &a.Also},
	} {
		if t.text == nil {
			continue
		}
		said, lacks, err := j.env.render(t.text, sc)
		if err != nil {
			return j.wordError(m.rule, t.field, err)
		}
		*t.to, m.lacks = said, append(m.lacks, lacks...)
	}
	j.explainer().makersLines(m)
	if m.before != nil && m.listed == nil {
		a.Because = strings.TrimSpace(a.Because + " " + m.before.because)
	}
	m.why.Source = a.Source + " (" + a.At + ")"
	if a.Amount != nil {
		m.why.Value = explain.Number(*a.Amount, cmp.Or(a.Unit, "cm"))
	}
	return nil
}

// orderMade puts the alterations that are made into the trade's order and numbers them.
func (j *judging) orderMade() {
	slices.SortStableFunc(j.altering.made, func(a, b *altered) int { return a.place.compare(b.place) })
	for i, m := range j.altering.made {
		m.answer.Order = i + 1
		m.why.Label = fmt.Sprintf("alteration %d, %s: %s", m.answer.Order, m.answer.ID, m.answer.Say)
	}
}

// alterationAnswers lists the alterations, in order.
func (j explainer) alterationAnswers() []Alteration {
	out := []Alteration{}
	for _, m := range j.altering.made {
		out = append(out, m.answer)
	}
	return out
}

// explainAlterations hangs the alterations below the size shown, and the one
// asked about even where it is not made.
func (j explainer) explainAlterations(size *explain.Node, ask string) {
	for _, m := range j.altering.made {
		size.Add(m.why)
	}
	for _, m := range j.altering.silent {
		if m.rule.ID == ask {
			size.Add(m.why)
		}
	}
}

// after adds to the zones of the size shown what they come to once the
// alterations are made.
func (j explainer) after(zones []ZoneAnswer) {
	for i := range zones {
		r := j.ledger.of(j.zoneAt(zones[i].Zone))
		if r == nil || r.base.estimated || !slices.ContainsFunc(r.changes, func(e entry) bool { return e.by == ByAlteration }) {
			continue
		}
		a := j.levelAnswer(r)
		zones[i].After = &After{Finished: a.Becomes, Ease: a.Ease}
	}
}

// applyRulesAgain asks the rules about the size shown once its plan is known, and those
// that look at alterations.
func (j *judging) applyRulesAgain(h *ruleResults, s int) error {
	j.forget()
	*h = *j.resultsOf(s)
	if err := j.applyRules(h, s, &j.local); err != nil {
		return err
	}
	h.add(&j.results[len(j.sizes)], s)
	for _, r := range j.onAlterations {
		for _, sc := range j.scenes(r, s) {
			if err := j.ask(r, &sc, h); err != nil {
				return err
			}
		}
	}
	h.skipped = append(h.skipped, j.altering.skipped...)
	j.sortResults(h)
	return nil
}

// explainAmount is the sum of an amount, part by part.
func (j explainer) explainAmount(m *altered, sc *scene, f *formula.Formula) error {
	_, parts, err := f.Trace(j.env.env)
	if err != nil {
		return placedError(m.rule.At, err)
	}
	root := &explain.Node{ID: m.why.ID + "/amount", Label: "how much: " + f.Source(), Source: m.rule.At.String()}
	t := &tracing{j: j.judging, r: m.rule, source: f.Source(), sc: sc, parts: parts, id: root.ID}
	if len(parts) > 0 {
		root.Add(t.node(0).Children...)
	}
	m.why.Add(root)
	for _, name := range f.Names() {
		root.Add(j.explainGiven(root.ID, name, sc.s))
	}
	return nil
}

// explainGiven leads a figure of an amount back to the tape or the pattern; nil
// where it is neither.
func (j explainer) explainGiven(id, name string, s int) *explain.Node {
	group, measure, _ := strings.Cut(name, ".")
	m := j.voc.Measure(measure)
	if m == nil || m.Kind == Angle {
		return nil
	}
	id += "/" + explain.ID(group, measure)
	switch group {
	case "body":
		if j.atMeasure(m, s).known {
			return j.explainBody(id, j.columnFor(m), s)
		}
	case "drafted":
		return j.explainDrafted(id, m, s)
	}
	return nil
}

// explainDrafted leads what a size was drafted for back to the pattern.
func (j explainer) explainDrafted(id string, m *Measure, s int) *explain.Node {
	v, ok := j.draftedAt(m, s)
	if !ok {
		return nil
	}
	n := &explain.Node{ID: id, Value: cmValue(v), Source: j.pattern.At.File + " (drafted_for)",
		Label: fmt.Sprintf("the pattern is drafted for %s of %s", An(m.Title), j.inUnits(v))}
	if row, name := j.row(j.pattern.Chart, m.Name); row != nil && row[j.cells[s]].Known {
		n.Label = fmt.Sprintf("chart %s of size %s: %s", j.voc.Title(name), j.sizes[s], j.counted(row[j.cells[s]]))
		n.Source = row[j.cells[s]].At.String()
	}
	return n
}

// notAltered lists what a list names and the garment type has no part for.
func (j *judging) notAltered(usual []Usual) []NotChecked {
	var out []NotChecked
	add := func(id, since string) {
		if !slices.ContainsFunc(j.alterations, func(a *alteration) bool { return a.ID == id }) {
			out = append(out, NotChecked{ID: id, Because: fmt.Sprintf("%s, and %s has no part for it", since, An(j.recipe.Title))})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(j.Body.Alterations)) {
		add(id, "you always alter it")
	}
	if j.Observed != nil {
		for _, id := range slices.Sorted(maps.Keys(j.Observed.Alterations)) {
			add(id, "your toile was sewn with it")
		}
	}
	for _, u := range usual {
		if _, own := j.Body.Alterations[u.ID]; !own {
			add(u.ID, "you altered it before")
		}
	}
	return out
}

// alterationTerms are what expressions may say of an alteration.
func alterationTerms() []term {
	of := func(get func(m *altered) (float64, bool)) func(*judging, *scene) (float64, bool) {
		return func(_ *judging, sc *scene) (float64, bool) {
			if sc.altered == nil {
				return 0, false
			}
			return get(sc.altered)
		}
	}
	return []term{
		textTerm("alteration.name", "the alteration in words", func(_ *judging, sc *scene) (string, bool) {
			if sc.altered == nil {
				return "", false
			}
			return strings.ReplaceAll(sc.altered.rule.ID, "-", " "), true
		}),
		flagTerm("alteration.listed", "whether the person's own list names it, or it was made before", func(_ *judging, sc *scene) (bool, bool) {
			return sc.altered != nil && sc.altered.listed != nil, sc.altered != nil
		}),
		lengthTerm("alteration.amount", "how much is altered; before that is worked out, what the list says", of(func(m *altered) (float64, bool) { return m.amount.v, m.amount.known && !m.degrees })),
		numberTerm("alteration.degrees", formula.Degrees, "how much an angle is altered", of(func(m *altered) (float64, bool) { return m.amount.v, m.amount.known && m.degrees })),
		flagTerm("alteration.beyond", "whether that is more than its own `most`", func(_ *judging, sc *scene) (bool, bool) {
			if sc.altered == nil {
				return false, false
			}
			return sc.altered.beyond(), true
		}),
	}
}
