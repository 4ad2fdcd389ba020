// Package rules holds the shipped rules, one topic a file, and the reader of
// rule files.
//
// [Shared] gives the shipped rules; [Read] takes a rule file apart, and
// [ReadList] the `cautions:` of a recipe.
package rules

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"fitadvisor/engine"
	"fitadvisor/engine/formula"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

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
		return nil
	}
	m.Need("kind").OneOf("rules")
	list := m.Need("rules")
	rules := ReadList(doc, list, m.Need("topic").Text(), v, when)
	warnOfZones(doc, list, v)
	m.Close("a rule file")
	return rules
}

// warnOfZones finds zones that are probably misspelt; a recipe may give its
// zones names of its own.
func warnOfZones(doc *file.Doc, list file.Value, v *engine.Vocabulary) {
	for _, item := range list.ItemsOrOne() {
		if !item.IsMap() {
			continue
		}
		zone := item.Map().Get("zone")
		if near := diag.Near(zone.Text(), v.BodyNames()); zone.IsText() && v.Measure(zone.Text()) == nil && near != "" {
			doc.Warn(zone.Range(), "no measurement is called `"+zone.Text()+"`, so few recipes have such a zone", "did you mean `"+near+"`?")
		}
	}
}

// ReadList reads a list of rules on one topic.
func ReadList(doc *file.Doc, list file.Value, topic string, v *engine.Vocabulary, when Compiling) []*engine.Rule {
	var out []*engine.Rule
	seen := map[string]diag.Range{}
	for _, item := range list.Items() {
		if !item.IsMap() {
			item.Problem("expected a rule", "a rule has the keys id, severity, when, say and source")
			continue
		}
		r := readRule(item, v, when)
		r.Topic = topic
		if first, twice := seen[r.ID]; twice && r.ID != "" {
			doc.Problem(r.At, "the rule `"+r.ID+"` is there twice", "it stands at "+first.String()+" already: give one of them another id")
		}
		seen[r.ID] = r.At
		out = append(out, r)
	}
	return out
}

func readRule(item file.Value, v *engine.Vocabulary, compiling Compiling) *engine.Rule {
	m := item.Map()
	r := &engine.Rule{At: m.Range()}
	id := m.Need("id")
	if r.ID = id.Text(); id.IsText() && !isID(r.ID) {
		id.Problem("an id is small letters and digits with dashes between", "as in `firm-cloth`")
	}
	if s, ok := m.Need("severity").OneOf("stop", "warn", "note"); ok {
		r.Severity = engine.Severity(s)
	}
	r.Zone = m.Get("zone").Text()
	r.Each, _ = m.Get("each").OneOf("zone", "measurement", "opening", "cord")
	if r.Zone != "" && r.Each != "" {
		m.Get("each").Problem("a rule looks either at one `zone` or at `each`", "drop one of the two")
	}
	r.Source = m.Need("source").Text()
	r.Limits = readLimits(m.Get("limits"))
	r.Written = engine.Written{When: m.Need("when").Text(), Say: m.Need("say").Text(), Fix: m.Get("fix").Text()}
	express(r, v)
	if compiling == AtOnce {
		compileNow(m.Get("when"), r.When)
		compileNow(m.Get("say"), r.Say)
		compileNow(m.Get("fix"), r.Fix)
	}
	m.Close("a rule")
	return r
}

func isID(s string) bool {
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
		value := m.Get(k.Text())
		l := engine.Limit{Name: "limit." + k.Text(), Text: value.Text()}
		if !formula.IsName(l.Name) {
			k.Problem("a limit's name is small letters, digits and underscores", "as in `least: 2 in`")
			continue
		}
		if !value.Exists() {
			value.Problem("`"+k.Text()+"` has no value", "as in `least: 2 in`")
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
	r.When = engine.Later(func() (*formula.Formula, error) { return formula.Compile(r.Written.When, schema(r, v), formula.Bool) })
	r.Say = engine.Later(func() (*formula.Template, error) { return formula.CompileTemplate(r.Written.Say, schema(r, v)) })
	if r.Written.Fix != "" {
		r.Fix = engine.Later(func() (*formula.Template, error) { return formula.CompileTemplate(r.Written.Fix, schema(r, v)) })
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

// compileNow compiles what is written in a file, reporting its problems there.
func compileNow[T any](v file.Value, l *engine.Lazy[T]) {
	if v.Exists() {
		_, err := l.Get()
		Report(v, err)
	}
}

// Report tells each problem of an expression at its place in the file.
func Report(v file.Value, err error) {
	var problems formula.Problems
	if !errors.As(err, &problems) {
		return
	}
	for _, p := range problems {
		v.ProblemAt(p.From, p.To, p.Summary, p.Hint)
	}
}
