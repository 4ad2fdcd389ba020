package engine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
)

// boundRule is a rule whose condition is compiled and whose names are looked up.
type boundRule struct {
	*Rule
	when  *formula.Formula
	names []bound
	local bool // its verdict may differ between sizes
	stops bool
	// lengths tells whether it asks for the length of a measurement, which an angle has not.
	lengths bool
	grave   int // 0 for the gravest
	order   int // by id
	made    []guess
}

// bound is one name with its place in the environment.
type bound struct {
	key  formula.Key
	get  getter
	per  per
	slot int // where the binder notes what it last put; -1: nowhere
}

// per is what a name's value hangs on.
type per int

const (
	perScene per = iota
	perZone      // one zone of one size
	perSize
	perBody
)

// guess is a name that says something about the garment at one zone.
type guess struct {
	name string
	zone int
}

// RuleError is a rule that could not be run, with its place.
type RuleError struct{ diag.Diagnostic }

func (e *RuleError) Error() string { return e.Range.String() + ": " + e.Summary }

// The codes of what is found wrong with files only once an answer is asked for.
const (
	noRow     diag.Code = "FA0702" // in a chart
	noMeasure diag.Code = "FA0703" // that an expression yields
	notTaken  diag.Code = "FA0704" // the measurement that picks the size
	nobody    diag.Code = "FA0705" // in a table of bodies
)

func placedError(at diag.Range, err error) error {
	var placed *RuleError
	if errors.As(err, &placed) {
		return err
	}
	d := diag.Diagnostic{Severity: diag.Error, Code: noMeasure, Summary: err.Error(), Range: at}
	var unreadable formula.Problems
	var failed *formula.RunError
	switch {
	case errors.As(err, &unreadable):
		d.Code, d.Hint = unreadable[0].Code, unreadable[0].Hint
	case errors.As(err, &failed):
		d.Code, d.Hint = failed.Code, failed.Hint
	}
	return &RuleError{d}
}

func isMissing(err error) bool {
	var m *formula.Missing
	return errors.As(err, &m)
}

// bind compiles the rules that can apply to the recipe, in order of id.
func (f *Fitter) bind(shared []*Rule) error {
	all := WithoutReplaced(slices.Concat(f.recipe.Rules, shared))
	slices.SortStableFunc(all, func(a, b *Rule) int { return strings.Compare(a.ID, b.ID) })
	for i, r := range all {
		if r.Zone != "" && f.zoneNamed(r.Zone) == nil || r.Each == EachOpening && len(f.recipe.Openings) == 0 ||
			r.Each == EachCord && len(f.pattern.Cords) == 0 {
			continue
		}
		if r.Alter != nil {
			f.bindAlteration(r, i)
			continue
		}
		when, err := r.When()
		if err != nil {
			return placedError(r.At, err)
		}
		byZone := r.Zone != "" || r.Each == EachZone
		b := &boundRule{Rule: r, when: when, stops: r.Severity == Stop,
			grave: graveness[r.Severity], order: i, made: f.made(when.Names())}
		b.local = byZone || r.Each == EachOpening
		b.lengths = slices.ContainsFunc(when.Names(), f.voc.ofLength)
		b.names, b.local = f.voc.lookUp(when.Names(), b.local)
		for i := range b.names {
			b.names[i].slot = f.slot(b.names[i].key)
		}
		switch {
		case r.Say == nil:
			f.reasons = append(f.reasons, b)
		case byZone:
			f.byZone = append(f.byZone, b)
		case r.Each == EachAlteration:
			f.onAlterations = append(f.onAlterations, b)
		default:
			f.atOnce = append(f.atOnce, b)
		}
	}
	f.stops = f.which(func(r *boundRule) bool { return r.stops })
	f.warns = f.which(func(r *boundRule) bool { return !r.stops })
	f.local = f.which(func(r *boundRule) bool { return r.local })
	f.same = f.which(func(r *boundRule) bool { return !r.local })
	f.orderAlterations()
	return nil
}

// WithoutReplaced leaves out of a list, which it changes, the rules that one before them
// replaces. A recipe's own stand before a person's, and those before the shipped.
func WithoutReplaced(all []*Rule) []*Rule {
	var replaced []string
	return slices.DeleteFunc(all, func(r *Rule) bool {
		gone := slices.Contains(replaced, r.ID)
		if r.Replaces != "" {
			replaced = append(replaced, r.Replaces)
		}
		return gone
	})
}

// CompileEarly compiles the conditions of the shared rules that look at every garment,
// on another core while files are still being read. It begins with the last,
// since [Prepare] begins with the first; each is compiled once, by whoever comes
// to it first, and its problems are told by Prepare alone.
func CompileEarly(shared []*Rule) {
	all := slices.SortedFunc(slices.Values(shared), func(a, b *Rule) int { return strings.Compare(b.ID, a.ID) })
	for _, r := range all {
		if r.Zone != "" || r.Each == EachOpening || r.Each == EachCord || r.Alter != nil {
			continue
		}
		if when, err := r.When(); err == nil {
			when.Build()
		}
	}
}

// ofLength tells whether a name is the length of the measurement that a rule looks at.
func (v *Vocabulary) ofLength(name string) bool {
	t, ok := v.term(name)
	return ok && strings.HasPrefix(name, "measurement.") && t.name.Dim == formula.Length
}

// slot gives each name that rules use a place of its own.
func (f *Fitter) slot(k formula.Key) int {
	slot, ok := f.slots[k]
	if !ok {
		slot = len(f.slots)
		f.slots[k] = slot
	}
	return slot
}

// made finds the names that say something about the garment at a zone.
func (f *Fitter) made(names []string) []guess {
	var out []guess
	for _, name := range names {
		group, measure, _ := strings.Cut(name, ".")
		if group != "finished" && group != "ease" && group != "drawn" && group != "wanted" {
			continue
		}
		if z := f.zoneAt(measure); z >= 0 {
			out = append(out, guess{name, z})
		}
	}
	return out
}

// lookUp finds the getters of names; local tells whether any differs between sizes.
func (v *Vocabulary) lookUp(names []string, local bool) ([]bound, bool) {
	var out []bound
	for _, name := range names {
		t, ok := v.term(name)
		if !ok {
			continue // a rule's own limit, fixed when it was compiled
		}
		b := bound{key: v.Schema().Key(name), get: t.get, per: perBody, slot: -1}
		switch group, _, _ := strings.Cut(name, "."); {
		case group == "zone":
			b.per = perZone
		case group == "measurement", group == "opening", group == "cord", group == "alteration", group == "gained":
			b.per = perScene
		case t.local:
			b.per = perSize
		}
		out = append(out, b)
		local = local || t.local
	}
	return out, local
}

// binder puts values into the environment of expressions, one scene at a time.
type binder struct {
	j    *judging
	env  *formula.Env
	last []int // by slot, where the value that stands in env is from; 0: anywhere

	// got are the getters of expressions that belong to no bound rule, once they were asked.
	got map[*formula.Formula][]bound
}

func (f *Fitter) newBinder() *binder {
	return &binder{env: formula.NewEnv(f.voc.Schema()), last: make([]int, len(f.slots)), got: map[*formula.Formula][]bound{}}
}

// from is where a scene's value of a name is from: equal places, equal values.
func (b *binder) from(n *bound, sc *scene) int {
	switch {
	case n.per == perBody:
		return 1
	case n.per == perSize:
		return 2 + sc.s
	case n.per == perZone && sc.zone >= 0:
		return 2 + len(b.j.sizes) + sc.s*len(b.j.zones) + sc.zone
	}
	return 0
}

// put sets what a scene makes of each name, save where it stands already.
func (b *binder) put(names []bound, sc *scene) {
	for i := range names {
		n := &names[i]
		if n.slot >= 0 {
			from := b.from(n, sc)
			if from != 0 && from == b.last[n.slot] {
				continue
			}
			b.last[n.slot] = from
		}
		switch {
		case n.get.number != nil:
			if v, ok := n.get.number(b.j, sc); ok {
				b.env.PutNumber(n.key, v)
				continue
			}
		case n.get.text != nil:
			if v, ok := n.get.text(b.j, sc); ok {
				b.env.PutText(n.key, v)
				continue
			}
		default:
			if v, ok := n.get.flag(b.j, sc); ok {
				b.env.PutBool(n.key, v)
				continue
			}
		}
		b.env.Drop(n.key)
	}
}

// putAll puts the values of all names of an expression that belongs to no bound rule.
func (b *binder) putAll(f *formula.Formula, sc *scene) {
	names, there := b.got[f]
	if !there {
		names, _ = b.j.voc.lookUp(f.Names(), true)
		b.got[f] = names
	}
	b.put(names, sc)
	clear(b.last) // these are not noted
}

// text runs an expression about the body alone, before any size is judged.
func (b *binder) text(f *formula.Formula) (string, error) {
	for _, name := range f.Names() {
		if t, _ := b.j.voc.term(name); t.local && !strings.HasPrefix(name, "body.") {
			return "", fmt.Errorf("`%s` is known only once a size is judged: ask about the body and the cloth", name)
		}
	}
	names, _ := b.j.voc.lookUp(f.Names(), false)
	b.put(names, &scene{zone: -1})
	return f.Text(b.env)
}

// say renders a template in a scene; what it lacks it says is not known.
func (b *binder) say(l LateTemplate, sc *scene) (string, error) {
	text, _, err := b.render(l, sc)
	return text, err
}

// render is say with the names that were lacking.
func (b *binder) render(l LateTemplate, sc *scene) (text string, missing []string, err error) {
	if l == nil {
		return "", nil, nil
	}
	t, err := l()
	if err != nil {
		return "", nil, err
	}
	names, _ := b.j.voc.lookUp(t.Names(), false)
	b.put(names, sc)
	clear(b.last) // these are not noted
	text, missing, err = t.Render(b.env, printer{words: b.j.words, j: b.j, sc: sc})
	return strings.TrimSpace(text), missing, err
}

// printer prints an ease by its zone's unit, and what looks alike more finely.
type printer struct {
	words
	j     *judging
	sc    *scene
	finer int // how many steps more finely than a tape is read
}

// Finer prints one step more finely, down to what two figures that count as different differ by.
func (p printer) Finer() formula.Printer {
	if p.finer++; p.finer > quantity.Finest {
		return nil
	}
	return p
}

// Length prints centimetres in the reader's units.
func (p printer) Length(cm float64) string {
	if p.finer > 0 {
		return quantity.FromCm(cm).Finer(p.units, p.finer)
	}
	return p.words.Length(cm)
}

// Percent prints a percentage.
func (p printer) Percent(v float64) string {
	if p.finer > 0 {
		return quantity.FormatDecimals(v, 1+p.finer) + " %"
	}
	return p.words.Percent(v)
}

// Ease prints an ease as a length or a percentage, as its zone has it.
func (p printer) Ease(name string, v float64) string {
	if p.isPercent(name) {
		return p.Percent(v)
	}
	return p.Length(v)
}

// isPercent tells whether an ease's zone speaks in percent.
func (p printer) isPercent(name string) bool {
	_, measure, _ := strings.Cut(name, ".")
	z := p.sc.zone
	if !strings.HasPrefix(name, "zone.") {
		z = p.j.zoneAt(measure)
	}
	return z >= 0 && p.j.zones[z].zone.percent()
}

// fired is one rule in one scene that it fired in.
type fired struct {
	rule  *boundRule
	scene scene
}

// skipped is one rule in one scene that wanted something unknown.
type skipped struct {
	fired
	missing []string
}

// ruleResults is what the rules have to say about one size.
type ruleResults struct {
	fired   []fired
	skipped []skipped
}

func (h *ruleResults) stops() bool {
	return slices.ContainsFunc(h.fired, func(f fired) bool { return f.rule.stops })
}

// scenes lists where a rule looks that looks at neither zones nor the whole
// garment. The list holds until the next one.
func (j *judging) scenes(r *boundRule, s int) []scene {
	out := j.looked[:0]
	switch r.Each {
	case EachMeasurement:
		for _, name := range j.voc.names {
			if _, ok := j.Body.Measurements[name]; ok && !(r.lengths && j.voc.measures[name].Kind == Angle) {
				out = append(out, scene{s: s, zone: -1, measure: name})
			}
		}
	case EachCord:
		for i := range j.pattern.Cords {
			out = append(out, scene{s: s, zone: -1, cord: &j.pattern.Cords[i]})
		}
	case EachAlteration:
		for _, m := range j.altering.made {
			out = append(out, scene{s: s, zone: -1, altered: m})
		}
	case EachOpening:
		fits := j.openings(s)
		for i := range fits {
			out = append(out, scene{s: s, zone: -1, opening: &fits[i]})
		}
	}
	j.looked = out
	return out
}

// looksAt tells whether a rule looks at a zone: one read off the chart has no ease
// to speak of.
func (r *boundRule) looksAt(z *Zone) bool {
	return r.Zone == "" && z.eased() || r.Zone == z.Name
}

// asked tells whether a rule is asked about a zone of one size: nothing is ruled
// out by an estimate.
func (j *judging) asked(r *boundRule, sc *scene) bool {
	return !r.stops || !j.fitted(sc.zone, sc.s).finished.estimated
}

// ask runs one rule in one scene.
func (j *judging) ask(r *boundRule, sc *scene, h *ruleResults) error {
	if guessed := j.guessed(r, sc.s); guessed != nil {
		h.skipped = append(h.skipped, skipped{fired{rule: r, scene: *sc}, guessed})
		return nil
	}
	j.env.put(r.names, sc)
	yes, err := r.when.Bool(j.env.env)
	switch {
	case err != nil:
		return h.fail(r, sc, err)
	case yes:
		h.fired = append(h.fired, fired{rule: r, scene: *sc})
	}
	return nil
}

// fail notes a rule that wanted something unknown; other errors are the rule's.
func (h *ruleResults) fail(r *boundRule, sc *scene, err error) error {
	var missing *formula.Missing
	if !errors.As(err, &missing) {
		return placedError(r.At, fmt.Errorf("rule `%s`: %w", r.ID, err))
	}
	h.skipped = append(h.skipped, skipped{fired{rule: r, scene: *sc}, missing.Names})
	return nil
}

// guessed lists the names by which a stop rule would rest on an estimate.
func (j *judging) guessed(r *boundRule, s int) []string {
	if !r.stops {
		return nil
	}
	var names []string
	for _, g := range r.made {
		if j.zones[g.zone].finished[s].estimated {
			names = append(names, g.name)
		}
	}
	return names
}

// ruleSet is some of the bound rules, by id: those that look at zones apart, for
// each zone those that look at it.
type ruleSet struct {
	atOnce []*boundRule
	byZone [][]*boundRule
}

// which are the rules that want accepts.
func (f *Fitter) which(want func(*boundRule) bool) ruleSet {
	not := func(r *boundRule) bool { return !want(r) }
	out := ruleSet{slices.DeleteFunc(slices.Clone(f.atOnce), not), make([][]*boundRule, len(f.zones))}
	for z, c := range f.zones {
		for _, r := range f.byZone {
			if want(r) && r.looksAt(c.zone) {
				out.byZone[z] = append(out.byZone[z], r)
			}
		}
	}
	return out
}

// applyRules adds what the rules of a set say of one size, zone by zone.
func (j *judging) applyRules(h *ruleResults, s int, rules *ruleSet) error {
	return j.applyRulesUntil(h, s, rules, func() bool { return false })
}

// stopped asks the rules that stop about one size until one fires.
func (j *judging) stopped(h *ruleResults, s int) (bool, error) {
	err := j.applyRulesUntil(h, s, &j.stops, func() bool { return len(h.fired) > 0 })
	return len(h.fired) > 0, err
}

// applyRulesUntil asks rule after rule until enough was heard.
func (j *judging) applyRulesUntil(h *ruleResults, s int, rules *ruleSet, enough func() bool) error {
	sc := scene{s: s, zone: -1}
	for _, r := range rules.atOnce {
		if r.Each == "" {
			if err := j.ask(r, &sc, h); err != nil {
				return err
			}
		} else {
			for _, sc := range j.scenes(r, s) {
				if err := j.ask(r, &sc, h); err != nil {
					return err
				}
			}
		}
		if enough() {
			return nil
		}
	}
	for z, rules := range rules.byZone {
		if len(rules) == 0 || !j.fitted(z, s).judged {
			continue
		}
		sc.zone = z
		for _, r := range rules {
			if !j.asked(r, &sc) {
				continue
			}
			if err := j.ask(r, &sc, h); err != nil {
				return err
			}
			if enough() {
				return nil
			}
		}
	}
	return nil
}

// applyAllRules runs every rule on every size; a rule whose names are the same for
// all sizes is run once.
func (j *judging) applyAllRules(ps []placed) ([]ruleResults, error) {
	if len(ps) == 0 {
		return nil, nil
	}
	same := j.resultsOf(len(j.sizes))
	if err := j.applyRules(same, ps[0].s, &j.same); err != nil {
		return nil, err
	}
	for _, p := range ps {
		h := j.resultsOf(p.s)
		if err := j.applyRules(h, p.s, &j.local); err != nil {
			return nil, err
		}
		h.add(same, p.s)
		j.sortResults(h)
	}
	return j.results, nil
}

// add takes over what was heard on another size, of rules that say the same of all.
func (h *ruleResults) add(same *ruleResults, s int) {
	for _, f := range same.fired {
		f.scene.s = s
		h.fired = append(h.fired, f)
	}
	for _, k := range same.skipped {
		k.scene.s = s
		h.skipped = append(h.skipped, k)
	}
}

var graveness = map[Severity]int{Stop: 0, Warn: 1, Note: 2}

// sortResults puts the gravest first, then from the top of the body down, then by id.
func (j *judging) sortResults(h *ruleResults) {
	j.sortFired(h)
	slices.SortStableFunc(h.skipped, func(a, b skipped) int {
		return cmp.Or(strings.Compare(a.rule.ID, b.rule.ID), cmp.Compare(j.place(&a.scene), j.place(&b.scene)))
	})
}

// ranked is where one of those that fired belongs.
type ranked struct {
	by uint64 // gravity, place and id
	i  int
}

// sortFired sorts small numbers in place of what is large to move.
func (j *judging) sortFired(h *ruleResults) {
	ranks, inOrder := j.ranks[:0], true
	for i := range h.fired {
		f := &h.fired[i]
		r := ranked{uint64(f.rule.grave)<<62 | uint64(j.place(&f.scene))<<31 | uint64(f.rule.order), i}
		inOrder = inOrder && (i == 0 || ranks[i-1].by <= r.by)
		ranks = append(ranks, r)
	}
	j.ranks = ranks
	if inOrder {
		return
	}
	slices.SortFunc(ranks, func(a, b ranked) int { return cmp.Or(cmp.Compare(a.by, b.by), a.i-b.i) })
	sorted := j.spare[:0]
	for _, r := range ranks {
		sorted = append(sorted, h.fired[r.i])
	}
	h.fired, j.spare = sorted, h.fired
}

// place is where a scene lies: the whole garment first, then zones from the top
// down, openings as the recipe lists them, measurements from the top down.
func (j *judging) place(sc *scene) int {
	switch {
	case sc.zone >= 0:
		return 1 + sc.zone
	case sc.opening != nil, sc.cord != nil, sc.altered != nil:
		return 1 + len(j.zones)
	case sc.measure != "":
		return 2 + len(j.zones) + j.voc.Measure(sc.measure).index
	}
	return 0
}

// ids lists the rules that fired, each once, in order.
func (h *ruleResults) ids() []string {
	out := make([]string, 0, len(h.fired))
	for i := range h.fired {
		if id := h.fired[i].rule.ID; !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}

// where names the zone, measurement or opening of a scene.
func (j explainer) where(sc *scene) string {
	switch {
	case sc.zone >= 0:
		return j.zones[sc.zone].zone.Name
	case sc.opening != nil:
		return sc.opening.o.Name
	case sc.cord != nil:
		return sc.cord.Where
	case sc.altered != nil:
		return sc.altered.rule.Alter.Zone
	}
	return sc.measure
}

// caution words a rule that fired.
func (j explainer) caution(f *fired) (Caution, error) {
	c := Caution{ID: f.rule.ID, Severity: f.rule.Severity, Zone: j.where(&f.scene), OnSheet: f.rule.Severity != Note || f.rule.OnSheet, Source: f.rule.Source, At: f.rule.At.String()}
	var err error
	if c.Say, err = j.env.say(f.rule.Say, &f.scene); err != nil {
		return c, j.wordError(f.rule, "say", err)
	}
	if c.Fix, err = j.env.say(f.rule.Fix, &f.scene); err != nil {
		return c, j.wordError(f.rule, "fix", err)
	}
	return c, nil
}

func (j *judging) wordError(r *boundRule, field string, err error) error {
	return placedError(r.At, fmt.Errorf("rule `%s`, `%s`: %w", r.ID, field, err))
}

// notChecked says why a rule was not run.
func (j explainer) notChecked(s *skipped) NotChecked {
	var abouts []string
	for _, name := range s.missing {
		about := name
		if t, ok := j.voc.term(name); ok {
			about = t.name.About
		}
		abouts = append(abouts, about)
	}
	return NotChecked{ID: s.rule.ID, Zone: j.where(&s.scene), Because: "not known: " + list(abouts, "and")}
}
