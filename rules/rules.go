// Package rules holds the shipped rules, one topic a file, and the reader of
// rule files.
//
// [Shared] gives the shipped rules, and [With] a person's own too; [Read] takes a
// rule file apart, and [ReadCautions] the `cautions:` of a recipe.
package rules

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"sync"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// What can be wrong with rules, besides their expressions.
const (
	ruleTwice    diag.Code = "FA0501"
	badID        diag.Code = "FA0502"
	zoneAndEach  diag.Code = "FA0503"
	oddZone      diag.Code = "FA0504"
	nothingThere diag.Code = "FA0521" // that a name could speak of
	tooLate      diag.Code = "FA0523" // to rule a size out
	badAmount    diag.Code = "FA0524" // of an alteration
)

// ReplacesNothing is a rule or a garment type that is to stand in for a shipped
// one that there is not.
const ReplacesNothing diag.Code = "FA0522"

//go:generate go run ./gen

// Shared returns the shipped rules in the order of their files, which are not
// read for it: `go generate ./rules` has written them down as Go, and told what
// was wrong with them, so the list is empty. Their expressions are compiled when
// first needed.
func Shared(v *engine.Vocabulary) ([]*engine.Rule, diag.List) {
	out := make([]*engine.Rule, len(shipped))
	for i, r := range shipped {
		express(&r, v)
		out[i] = &r
	}
	return out, nil
}

// Compiling says when a rule's expressions are compiled.
type Compiling bool

// Shipped rules are compiled when needed, since tests have compiled them all;
// a person's own rules are compiled at once, so that all problems are told.
const (
	AtOnce     Compiling = true
	WhenNeeded Compiling = false
)

// Read takes a rule file apart. Problems are left in the doc.
func Read(doc *file.Doc, v *engine.Vocabulary, when Compiling) []*engine.Rule {
	m := doc.Root().Map()
	if !doc.Root().Exists() {
		if len(doc.Problems()) == 0 {
			doc.Problem(doc.Start(), file.Empty, "the file is empty", "")
		}
		return nil
	}
	kind := m.Need("kind")
	if _, ok := kind.OneOf("rules"); !ok && kind.IsText() && diag.Near(kind.Text(), []string{"rules"}) == "" {
		return nil // every key would be a problem
	}
	list := m.Need("rules")
	rules := readList(doc, list, m.Need("topic").Text(), v, when)
	warnOfZones(doc, list, v)
	m.Close("a rule file")
	return rules
}

// warnOfZones finds zones that are probably misspelt; a recipe may give its
// zones names of its own.
func warnOfZones(doc *file.Doc, list file.Value, v *engine.Vocabulary) {
	for _, item := range list.Each() {
		if !item.IsMap() || item.Map().Has("amount") {
			continue
		}
		zone := item.Map().Get("zone")
		if hint := v.DidYouMean(zone.Text(), v.BodyNames(), ""); zone.IsText() && v.Measure(zone.Text()) == nil && hint != "" {
			doc.Warn(zone.Range(), oddZone, "no measurement is called `"+zone.Text()+"`, so few recipes have such a zone", hint)
		}
	}
}

// ReadCautions reads the rules of a recipe's own, none of which may have the id
// of a shipped one unless it replaces it for this garment type.
func ReadCautions(doc *file.Doc, list file.Value, recipe string, v *engine.Vocabulary, when Compiling) []*engine.Rule {
	own := readList(doc, list, recipe, v, when)
	for _, r := range own {
		checkTaken(doc, r)
	}
	return own
}

// readList reads a list of rules on one topic.
func readList(doc *file.Doc, list file.Value, topic string, v *engine.Vocabulary, when Compiling) []*engine.Rule {
	var out []*engine.Rule
	seen := map[string]diag.Range{}
	for _, item := range list.Items() {
		if doc.Full() {
			break
		}
		if !item.IsMap() {
			item.Problem(file.NotKeys, "expected a rule", "a rule has the keys id, severity, when, say and source")
			continue
		}
		r := readRule(item, v, when)
		r.Topic = topic
		if first, twice := seen[r.ID]; twice && r.ID != "" {
			thereTwice(doc, r, first)
		}
		seen[r.ID] = r.At
		out = append(out, r)
	}
	return out
}

func readRule(item file.Value, v *engine.Vocabulary, compiling Compiling) *engine.Rule {
	m := item.Map()
	r := &engine.Rule{At: m.Range()}
	alters := m.Has("amount")
	id := m.Need("id")
	if r.ID = id.Text(); id.IsText() && !IsID(r.ID) {
		id.Problem(badID, "an id is small letters and digits with dashes between", "as in `firm-cloth`")
	}
	if alters {
		r.Severity, r.Alter = engine.Note, readAlter(m, v)
	} else {
		readCaution(m, r)
	}
	r.Replaces = replaced(m.Get("replaces"))
	r.Source = m.Need("source").Text()
	r.Limits = readLimits(m.Get("limits"))
	r.Text.When = m.Need("when").Text()
	if alters {
		r.Text.Say = m.Need("say").Text()
		textOfAlter(m, &r.Text)
	} else {
		r.Text.Say, r.Text.Fix, r.Text.Toile = said(m, r).Text(), m.Get("fix").Text(), m.Get("toile").Text()
	}
	express(r, v)
	if compiling == AtOnce {
		unseen := func(group string) string { return unseenBy(r, group) }
		if !alters && m.Get("each").Exists() && r.Each == "" { // what it looks at cannot be told
			unseen = func(string) string { return "" }
		}
		compileNow(m.Get("when"), unseen, r.When)
		compileNow(m.Get("say"), unseen, r.Say)
		if alters {
			compileAlter(m, unseen, r.Alter)
		} else {
			compileNow(m.Get("fix"), unseen, r.Fix)
			compileNow(m.Get("toile"), unseen, r.Toile)
		}
	}
	m.Close("a rule")
	return r
}

// said is what a rule says, without which a note may be a reason for a toile alone.
func said(m *file.Map, r *engine.Rule) file.Value {
	if m.Get("toile").Exists() && r.Severity == engine.Note {
		return m.Get("say")
	}
	return m.Need("say")
}

// readCaution reads what only a rule that cautions has.
func readCaution(m *file.Map, r *engine.Rule) {
	severity := m.Need("severity")
	if s, ok := severity.OneOf("stop", "warn", "note"); ok {
		r.Severity = engine.Severity(s)
	}
	r.Zone = m.Get("zone").Text()
	r.OnSheet, _ = m.Get("on_sheet").Bool()
	r.Each, _ = file.Choice(m.Get("each"), engine.EachZone, engine.EachMeasurement, engine.EachOpening, engine.EachCord, engine.EachAlteration)
	if r.Zone != "" && r.Each != "" {
		m.Get("each").Problem(zoneAndEach, "a rule looks either at one `zone` or at `each`", "drop one of the two")
	}
	if r.Each == engine.EachAlteration && r.Severity == engine.Stop {
		severity.Problem(tooLate, "what is altered is asked once the size is chosen: no size is ruled out by it", "write `warn`")
	}
}

// IsID tells whether a text can be a rule's id or a recipe's name: small letters
// and digits with dashes between.
func IsID(s string) bool {
	for word := range strings.SplitSeq(s, "-") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return false
		}
	}
	return true
}

// readLimits reads thresholds: a length counts in centimetres, a percentage in
// percent, a bare number is a count.
func readLimits(v file.Value) []engine.Limit {
	if !v.Exists() {
		return nil
	}
	m := v.Map()
	var out []engine.Limit
	for _, k := range m.Keys() {
		value := m.Need(k.Text())
		l := engine.Limit{Name: "limit." + k.Text(), Text: value.Text()}
		if !formula.IsName(l.Name) {
			k.Problem(badID, "a limit's name is small letters, digits and underscores", "as in `least: 2 in`")
			continue
		}
		if number, err := strconv.ParseFloat(l.Text, 64); err == nil && !math.IsNaN(number) && !math.IsInf(number, 0) {
			l.Dim, l.Value = formula.Count, number
		} else if quantity.IsPercent(l.Text) {
			l.Dim = formula.Percent
			l.Value, _ = value.Percent()
		} else {
			length, _ := value.Length()
			l.Dim, l.Value = formula.Length, length.Cm()
		}
		out = append(out, l)
	}
	return out
}

// express gives a rule its expressions, compiled when first needed.
func express(r *engine.Rule, v *engine.Vocabulary) {
	r.When = sync.OnceValues(func() (*formula.Formula, error) { return formula.Compile(r.Text.When, schema(r, v), formula.Bool) })
	template := func(text string) engine.LateTemplate {
		if text == "" {
			return nil
		}
		return sync.OnceValues(func() (*formula.Template, error) { return formula.CompileTemplate(text, schema(r, v)) })
	}
	r.Say, r.Fix, r.Toile = template(r.Text.Say), template(r.Text.Fix), template(r.Text.Toile)
	if r.Alter != nil {
		own := *r.Alter // shipped rules are written down once, and expressed for each vocabulary
		r.Alter = &own
		expressAlter(r, v)
	}
}

// schema is the vocabulary with the rule's own limits.
func schema(r *engine.Rule, v *engine.Vocabulary) *formula.Schema {
	if len(r.Limits) == 0 {
		return v.Schema()
	}
	fixed := make([]formula.Fixed, len(r.Limits))
	for i, l := range r.Limits {
		fixed[i] = formula.Fixed{Name: formula.Name{Name: l.Name, Dim: l.Dim, About: "this rule's own limit"}, Value: l.Value}
	}
	return v.Schema().With(fixed...)
}

// expression is a condition or a text with some in braces.
type expression interface {
	Names() []string
	Place(name string) (from, to int)
}

// compileNow compiles what is written in a file, reporting its problems there, and
// the names of a group for which unseen has a hint.
func compileNow[T expression](v file.Value, unseen func(group string) string, l func() (T, error)) {
	if !v.Exists() || l == nil {
		return
	}
	e, err := l()
	if err != nil {
		Report(v, err)
		return
	}
	for _, name := range e.Names() {
		group, _, _ := strings.Cut(name, ".")
		if hint := unseen(group); hint != "" {
			from, to := e.Place(name)
			v.ProblemAt(from, to, nothingThere, "`"+name+"` says something of one "+group+", and this rule looks at none", hint)
		}
	}
}

// unseenBy hints at what a rule lacks that uses names of a group and does not look
// at what they speak of; "" where it does.
func unseenBy(r *engine.Rule, group string) string {
	switch group {
	case "zone":
		if r.Alter != nil {
			return "write what is asked with the name of the measurement, as in `ease.thigh` or `lacks.thigh`"
		}
		if r.Zone == "" && string(r.Each) != group {
			return "add `each: zone` to ask it of every zone, or `zone:` with the name of one"
		}
	case "alteration":
		if r.Alter == nil && string(r.Each) != group {
			return "add `each: alteration`"
		}
	case "measurement", "opening", "cord":
		switch {
		case r.Alter != nil:
			return "an alteration looks at the whole garment: write `body.` and the name of a measurement"
		case string(r.Each) != group:
			return "add `each: " + group + "`"
		}
	}
	return ""
}

// Report tells each problem of an expression at its place in the file.
func Report(v file.Value, err error) {
	var problems formula.Problems
	if !errors.As(err, &problems) {
		return
	}
	for _, p := range problems {
		v.ProblemAt(p.From, p.To, p.Code, p.Summary, p.Hint)
	}
}
