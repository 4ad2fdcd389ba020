// Package rules holds the shipped rules, one topic a file, and the reader of
// rule files.
//
// [Shared] gives the shipped rules; [Read] takes a rule file apart, and
// [ReadList] the `cautions:` of a recipe.
package rules

import (
	"embed"
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

//go:embed *.yaml
var shipped embed.FS

// Shared returns the shipped rules in the order of their files. Their
// expressions are compiled when first needed.
func Shared(v *engine.Vocabulary) ([]*engine.Rule, diag.List) {
	entries, err := shipped.ReadDir(".")
	if err != nil {
		return nil, diag.List{{Severity: diag.Error, Summary: err.Error()}}
	}
	lists := make([][]*engine.Rule, len(entries))
	problems := make([]diag.List, len(entries))
	var all sync.WaitGroup
	for i, e := range entries {
		all.Go(func() {
			data, err := shipped.ReadFile(e.Name())
			if err != nil {
				problems[i] = diag.List{{Severity: diag.Error, Summary: err.Error()}}
				return
			}
			doc := file.Open("rules/"+e.Name(), data)
			lists[i] = Read(doc, v, WhenNeeded)
			problems[i] = doc.Problems()
		})
	}
	all.Wait()
	var rules []*engine.Rule
	var found diag.List
	for i := range entries {
		rules, found = append(rules, lists[i]...), append(found, problems[i]...)
	}
	return rules, found
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
	limits := readLimits(m.Get("limits"))
	for _, l := range limits {
		name := strings.TrimPrefix(l.Name.Name, "limit.")
		r.Limits = append(r.Limits, engine.Limit{Name: l.Name.Name, Text: m.Get("limits").Map().Get(name).Text()})
	}
	c := compiler{v: v, limits: limits, at: compiling}
	r.When = later(c, m.Need("when"), func(src string, s *formula.Schema) (*formula.Formula, error) {
		return formula.Compile(src, s, formula.Bool)
	})
	r.Say = later(c, m.Need("say"), formula.CompileTemplate)
	if fix := m.Get("fix"); fix.Exists() {
		r.Fix = later(c, fix, formula.CompileTemplate)
	}
	r.Written = engine.Written{When: m.Get("when").Text(), Say: m.Get("say").Text(), Fix: m.Get("fix").Text()}
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
func readLimits(v file.Value) []formula.Fixed {
	if !v.Exists() {
		return nil
	}
	m := v.Map()
	var out []formula.Fixed
	for _, k := range m.Keys() {
		value := m.Get(k.Text())
		f := formula.Fixed{Name: formula.Name{Name: "limit." + k.Text(), About: "this rule's own limit"}}
		if !formula.IsName(f.Name.Name) {
			k.Problem("a limit's name is small letters, digits and underscores", "as in `least: 2 in`")
			continue
		}
		if !value.Exists() {
			value.Problem("`"+k.Text()+"` has no value", "as in `least: 2 in`")
		}
		if number, err := strconv.ParseFloat(value.Text(), 64); err == nil && !math.IsNaN(number) && !math.IsInf(number, 0) {
			f.Dim, f.Value = formula.Count, number
		} else if quantity.IsPercent(value.Text()) {
			f.Dim = formula.Percent
			f.Value, _ = value.Percent()
		} else {
			l, _ := value.Length()
			f.Dim, f.Value = formula.Length, l.Cm()
		}
		out = append(out, f)
	}
	return out
}

// compiler compiles one rule's expressions with its own limits.
type compiler struct {
	v      *engine.Vocabulary
	limits []formula.Fixed
	at     Compiling
}

func (c compiler) schema() *formula.Schema {
	if len(c.limits) == 0 {
		return c.v.Schema()
	}
	return c.v.Schema().With(c.limits...)
}

// later compiles an expression at once, reporting its problems at their place
// in the file, or when it is first needed.
func later[T any](c compiler, v file.Value, compile func(string, *formula.Schema) (T, error)) *engine.Lazy[T] {
	if !v.Exists() {
		return nil
	}
	src := v.Text()
	l := engine.Later(func() (T, error) { return compile(src, c.schema()) })
	if c.at == AtOnce {
		_, err := l.Get()
		Report(v, err)
	}
	return l
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
