package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// An oracle is an expression with what it must come to, worked out without the
// engine.
type oracle struct {
	src  string
	eval func(values map[string]any) any // panics with notFinite, divideByZero or an untold name
}

type untold string

func get(values map[string]any, name string) any {
	v, ok := values[name]
	if !ok {
		panic(untold(name))
	}
	return v
}

func sound(v float64) float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		panic(notFinite)
	}
	return v
}

// scaled is a number as comparisons see it.
func scaled(v any) float64 { return math.Round(v.(float64) * 10000) }

// oracles draws expressions. Brackets stand around every operand, so that the
// test needs to know no precedence.
type oracles struct{ t *rapid.T }

func (o oracles) pick(label string, n int) int { return rapid.IntRange(0, n-1).Draw(o.t, label) }

var (
	numberNames    = []string{"body.bust", "body.hip", "body.waist", "zone.ease"}
	textNames      = []string{"cloth.structure", "size.name"}
	conditionNames = []string{"cloth.washed"}
	literals       = []string{"0", "1", "2.5", "11.1", "19.1", "0.00004", "0.00005", "100000"}
	texts          = []string{"knit", "woven", "12"}
)

func (o oracles) name(names []string) oracle {
	n := names[o.pick("name", len(names))]
	return oracle{n, func(v map[string]any) any { return get(v, n) }}
}

func (o oracles) number(depth int) oracle {
	if depth == 0 || o.pick("leaf", 3) == 0 {
		if o.pick("literal", 2) == 0 {
			return o.name(numberNames)
		}
		l := literals[o.pick("number", len(literals))]
		var v float64
		fmt.Sscan(l, &v)
		return oracle{l, func(map[string]any) any { return v }}
	}
	a := o.number(depth - 1)
	if unary := o.pick("unary", 8); unary < 5 {
		signs := [...]string{"-(%s)", "abs(%s)", "round(%s)", "cm(%s)", "inch(%s)"}
		return oracle{fmt.Sprintf(signs[unary], a.src), func(v map[string]any) any {
			x := a.eval(v).(float64)
			return sound([...]func() float64{
				func() float64 { return -x },
				func() float64 { return math.Abs(x) },
				func() float64 { return math.Round(x) },
				func() float64 { return x },
				func() float64 { return x * 2.54 },
			}[unary]())
		}}
	}
	b := o.number(depth - 1)
	if o.pick("choice", 6) == 0 {
		return o.choice(o.condition(depth-1), a, b)
	}
	forms := []string{"(%s) + (%s)", "(%s) - (%s)", "(%s) * (%s)", "(%s) / (%s)", "min(%s, %s)", "max(%s, %s)"}
	form := o.pick("binary", len(forms))
	return oracle{fmt.Sprintf(forms[form], a.src, b.src), func(v map[string]any) any {
		x, y := a.eval(v).(float64), b.eval(v).(float64)
		switch form {
		case 0:
			return sound(x + y)
		case 1:
			return sound(x - y)
		case 2:
			return sound(x * y)
		case 3:
			if y == 0 {
				panic(divideByZero)
			}
			return sound(x / y)
		case 4:
			return math.Min(x, y)
		}
		return math.Max(x, y)
	}}
}

func (o oracles) text(depth int) oracle {
	if depth > 0 && o.pick("choice", 3) == 0 {
		return o.choice(o.condition(depth-1), o.text(depth-1), o.text(depth-1))
	}
	if o.pick("literal", 2) == 0 {
		return o.name(textNames)
	}
	s := texts[o.pick("text", len(texts))]
	return oracle{"'" + s + "'", func(map[string]any) any { return s }}
}

func (o oracles) choice(c, a, b oracle) oracle {
	form := []string{"(%s) ? (%s) : (%s)", "if(%s, %s, %s)"}[o.pick("form", 2)]
	return oracle{fmt.Sprintf(form, c.src, a.src, b.src), func(v map[string]any) any {
		if c.eval(v).(bool) {
			return a.eval(v)
		}
		return b.eval(v)
	}}
}

func (o oracles) condition(depth int) oracle {
	if depth == 0 {
		return o.name(conditionNames)
	}
	switch o.pick("condition", 10) {
	case 9:
		a, b := o.condition(depth-1), o.condition(depth-1)
		return oracle{fmt.Sprintf("count(%s, %s) == 1", a.src, b.src), func(v map[string]any) any {
			x, y := a.eval(v).(bool), b.eval(v).(bool)
			return x != y
		}}
	case 0:
		return o.name(conditionNames)
	case 1:
		all := slices.Concat(numberNames, textNames, conditionNames)
		n := all[o.pick("known", len(all))]
		return oracle{"known(" + n + ")", func(v map[string]any) any { _, ok := v[n]; return ok }}
	case 2:
		a := o.condition(depth - 1)
		return oracle{fmt.Sprintf("not (%s)", a.src), func(v map[string]any) any { return !a.eval(v).(bool) }}
	case 3:
		a, b := o.condition(depth-1), o.condition(depth-1)
		return oracle{fmt.Sprintf("(%s) and (%s)", a.src, b.src), func(v map[string]any) any { return a.eval(v).(bool) && b.eval(v).(bool) }}
	case 4:
		a, b := o.condition(depth-1), o.condition(depth-1)
		return oracle{fmt.Sprintf("(%s) || (%s)", a.src, b.src), func(v map[string]any) any { return a.eval(v).(bool) || b.eval(v).(bool) }}
	case 5:
		return o.choice(o.condition(depth-1), o.condition(depth-1), o.condition(depth-1))
	case 6:
		return o.texts(depth)
	case 7:
		a, low, high := o.number(depth-1), o.number(depth-1), o.number(depth-1)
		return oracle{fmt.Sprintf("between(%s, %s, %s)", a.src, low.src, high.src), func(v map[string]any) any {
			x, l, h := scaled(a.eval(v)), scaled(low.eval(v)), scaled(high.eval(v))
			return l <= x && x <= h
		}}
	}
	return o.comparison(depth)
}

func (o oracles) texts(depth int) oracle {
	a := o.text(depth - 1)
	if o.pick("in", 2) == 0 {
		b := o.text(depth - 1)
		return oracle{fmt.Sprintf("(%s) == (%s)", a.src, b.src), func(v map[string]any) any { x, y := a.eval(v), b.eval(v); return x == y }}
	}
	return oracle{fmt.Sprintf("(%s) not in ['knit', '12']", a.src), func(v map[string]any) any {
		x := a.eval(v)
		return x != "knit" && x != "12"
	}}
}

func (o oracles) comparison(depth int) oracle {
	a := o.number(depth - 1)
	if o.pick("in", 4) == 0 {
		return oracle{fmt.Sprintf("(%s) in [0, -1, 2.5]", a.src), func(v map[string]any) any {
			x := scaled(a.eval(v))
			return x == 0 || x == -10000 || x == 25000
		}}
	}
	b := o.number(depth - 1)
	signs := []string{"==", "!=", "<", "<=", ">", ">="}
	sign := signs[o.pick("sign", len(signs))]
	return oracle{fmt.Sprintf("(%s) %s (%s)", a.src, sign, b.src), func(v map[string]any) any {
		x, y := scaled(a.eval(v)), scaled(b.eval(v))
		return map[string]bool{"==": x == y, "!=": x != y, "<": x < y, "<=": x <= y, ">": x > y, ">=": x >= y}[sign]
	}}
}

// values draws what is known, with some names missing.
func (o oracles) values() map[string]any {
	out := map[string]any{}
	numbers := []float64{0, 1, -2.5, 11.1, 19.1, 0.30000000000000004, 97.8, 1e200}
	for _, n := range slices.Concat(numberNames, textNames, conditionNames) {
		switch i := o.pick(n, 8); {
		case o.pick("unset", 4) == 0:
		case slices.Contains(numberNames, n):
			out[n] = numbers[i]
		case slices.Contains(textNames, n):
			out[n] = texts[i%len(texts)]
		default:
			out[n] = i%2 == 0
		}
	}
	return out
}

func envOf(s *Schema, values map[string]any) *Env {
	e := NewEnv(s)
	for n, v := range values {
		switch v := v.(type) {
		case float64:
			e.SetNumber(n, v)
		case string:
			e.SetText(n, v)
		case bool:
			e.SetBool(n, v)
		}
	}
	return e
}

// expected works the oracle out; an untold name is a panic of the test.
func (o oracle) expected(values map[string]any) (v any, failed string) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case *failure:
			v, failed = nil, r.summary
		default:
			panic(r)
		}
	}()
	return o.eval(values), ""
}

func TestFormulaDoesWhatItSays(t *testing.T) {
	s := testSchema()
	rapid.Check(t, func(t *rapid.T) {
		o := oracles{t}
		want := o.condition(4)
		if len(want.src) > maxRunes {
			t.Skip("too long")
		}
		values := o.values()
		e := envOf(s, values)
		f, err := Compile(want.src, s, Bool)
		if err != nil {
			if strings.Contains(err.Error(), "more than 200") {
				t.Skip("too large")
			}
			t.Fatalf("%s: %v", want.src, err)
		}

		got, err := f.Bool(e)
		checkEngine(t, f, e, got, err)
		traced, parts, tracedErr := f.Trace(e)
		if fmt.Sprint(err) != fmt.Sprint(tracedErr) {
			t.Fatalf("%s: fast %v, traced %v", want.src, err, tracedErr)
		}
		if missing := e.missing(f.Needs()); len(missing) > 0 {
			var m *Missing
			if !errors.As(err, &m) || !slices.Equal(m.Names, missing) {
				t.Fatalf("%s: got %v, %v; missing are %v", want.src, got, err, missing)
			}
			return
		}
		v, failed := want.expected(values)
		if failed != "" {
			var r *RunError
			// An overflow is found where it matters, which may be at another failure.
			if !errors.As(err, &r) {
				t.Fatalf("%s: got %v, %v; want %q", want.src, got, err, failed)
			}
			return
		}
		if got != v || traced != v || err != nil {
			t.Fatalf("%s: got %v, traced %v, %v; want %v", want.src, got, traced, err, v)
		}
		checkParts(t, s, e, parts)
	})
}

// checkEngine asserts that the engine itself gives the same, and fails alike.
func checkEngine(t *rapid.T, f *Formula, e *Env, got bool, failed error) {
	t.Helper()
	if !f.hasAll(e) {
		return
	}
	v, err := f.runInEngine(e)
	if fmt.Sprint(err) != fmt.Sprint(failed) || err == nil && v != got {
		t.Fatalf("%s: %v, %v; by the engine %v, %v", f.source, got, failed, v, err)
	}
}

func TestNumbersAndTextsAsTheEngine(t *testing.T) {
	s := testSchema()
	rapid.Check(t, func(t *rapid.T) {
		o := oracles{t}
		src := o.number(4).src
		if o.pick("kind", 4) == 0 {
			src = o.text(4).src
		}
		f, r := compile(src, s, false)
		if len(r.problems) > 0 {
			t.Skip("too large")
		}
		e := envOf(s, o.values())
		if !f.hasAll(e) {
			t.Skip("a name is missing")
		}
		got, failed := f.run(e)
		v, err := f.runInEngine(e)
		if fmt.Sprint(err) != fmt.Sprint(failed) || err == nil && v != got {
			t.Fatalf("%s: %v, %v; by the engine %v, %v", src, got, failed, v, err)
		}
	})
}

// checkParts asserts that each reached part is an expression that comes to the
// recorded value by itself, and that parts lie inside the ones they belong to.
func checkParts(t *rapid.T, s *Schema, e *Env, parts []Part) {
	t.Helper()
	var around []Part
	for _, p := range parts {
		around = around[:p.Depth]
		if p.Depth > 0 {
			outer := around[p.Depth-1]
			if p.From < outer.From || p.To > outer.To || p.Reached && !outer.Reached {
				t.Fatalf("%+v is not inside %+v", p, outer)
			}
		}
		around = append(around, p)
		if !p.Reached {
			continue
		}
		f, r := compile(p.Text, s, false)
		if err := r.problems.err(); err != nil {
			t.Fatalf("%q: %v", p.Text, err)
		}
		if v, err := f.run(e); err != nil || !cmp.Equal(v, p.Value) {
			t.Fatalf("%q: alone %v, %v; in the trace %v", p.Text, v, err, p.Value)
		}
	}
}

func TestTemplatePrintsWhatItSays(t *testing.T) {
	s := testSchema()
	rapid.Check(t, func(t *rapid.T) {
		o := oracles{t}
		before := rapid.StringOf(rapid.RuneFrom([]rune("a ½{}'\""))).Draw(t, "text")
		want := o.text(2)
		doubled := strings.NewReplacer("{", "{{", "}", "}}").Replace(before)
		if len(doubled)+len(want.src) > maxRunes {
			t.Skip("too long")
		}
		values := o.values()
		e := envOf(s, values)
		tm, err := CompileTemplate(doubled+"{"+want.src+"}"+doubled, s)
		if err != nil {
			if strings.Contains(err.Error(), "more than 200") {
				t.Skip("too large")
			}
			t.Fatal(err)
		}
		got, missing, err := tm.Render(e, plain{})
		if lacks := e.missing(tm.Needs()); len(lacks) > 0 {
			if got != before+NotKnown+before || !slices.Equal(missing, lacks) || err != nil {
				t.Fatalf("got %q, %v, %v; %v are not known", got, missing, err, lacks)
			}
			return
		}
		v, failed := want.expected(values)
		if failed != "" {
			var r *RunError
			if !errors.As(err, &r) {
				t.Fatalf("got %q, %v; want %q", got, err, failed)
			}
			return
		}
		if got != before+v.(string)+before || err != nil {
			t.Fatalf("got %q, %v", got, err)
		}
	})
}

// Numbers are compared as if both had been rounded.
func TestCompareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64Range(-1e3, 1e3), rapid.Float64Range(-1e13, 1e13)).Draw(t, "v")
		w := v + rapid.OneOf(rapid.Float64Range(-3e-4, 3e-4), rapid.Float64Range(-1e3, 1e3)).Draw(t, "away")
		want := 0
		switch a, b := Round(v), Round(w); {
		case a < b:
			want = -1
		case a > b:
			want = 1
		}
		if got := compare(v, w); got != want {
			t.Fatalf("%v and %v: %d, rounded %d", v, w, got, want)
		}
	})
}

func TestRoundProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e14, 1e14).Draw(t, "v")
		r := Round(v)
		if Round(r) != r || Round(-v) != -r {
			t.Fatalf("%v rounds to %v, that to %v, %v to %v", v, r, Round(r), -v, Round(-v))
		}
		if math.Abs(r-v) > 0.00005+math.Abs(v)*1e-15 {
			t.Fatalf("%v rounds to %v", v, r)
		}
	})
}
