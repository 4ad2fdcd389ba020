package formula

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/vm"
)

// Formula is an expression that was read and checked. It does not change and
// may be used by several goroutines at once.
type Formula struct {
	source string
	root   *node
	names  []string
	needs  []string
	places []int // of the names
	needed []int // places of the needs
	// functions run it; told finds out what is wrong where they cannot, and traced
	// records its parts.
	functions direct
	told      program
	traced    program
}

// program is compiled when it is first run: many formulas of a start never are.
type program struct {
	once    sync.Once
	program *vm.Program
	err     error
}

// Compile reads an expression over the names of the schema. With want Bool or
// Text it must give a condition or a text, with any other Dim a number. The
// error is [Problems], all that were found, with their places in src.
func Compile(src string, s *Schema, want Dim) (*Formula, error) {
	f, r := compile(src, s, false)
	if k := want.kind(); len(r.problems) == 0 && f.root.kind != k {
		r.want(k, f.root, "this")
	}
	if err := r.problems.err(); err != nil {
		return nil, err
	}
	return f, nil
}

// compile reads an expression of whatever kind, in braces or not. The formula is
// usable where the reader has no problems.
func compile(src string, s *Schema, inBraces bool) (*Formula, *reader) {
	r, root := read(src, s, inBraces)
	f := &Formula{source: src, root: root}
	if len(r.problems) > 0 {
		return f, r
	}
	var g guards
	g.walk(root, set{})
	for i, n := range r.names {
		place := placeOf(n.Name)
		f.names, f.places = append(f.names, n.Name), append(f.places, place)
		if g.needs.has(i) {
			f.needs, f.needed = append(f.needs, n.Name), append(f.needed, place)
		}
	}
	return f, r
}

// Dim returns what a number measures, or 0 where that is not certain.
func (f *Formula) Dim() Dim {
	if f.root.kind != number {
		return 0
	}
	return f.root.dim()
}

// Source returns the text that was compiled.
func (f *Formula) Source() string { return f.source }

// Names returns every name in the formula, in the order of the source, those
// inside known(...) included.
func (f *Formula) Names() []string { return f.names }

// ComparedWith returns the texts that a name is compared with, in the order of the source.
func (f *Formula) ComparedWith(name string) []string {
	var all []string
	visit(f.root, func(n *node, _ int) {
		if len(n.operands) < 2 || !slices.ContainsFunc(n.operands, func(o *node) bool { return o.op == opName && o.name.Name == name }) {
			return
		}
		for _, o := range n.operands {
			if text, ok := o.value.(string); ok && o.op == opValue {
				all = append(all, text)
			}
		}
	})
	return all
}

// Place returns where a name first stands in the source, and 0, 0 where it does
// not. In known(...) it is the place of the call.
func (f *Formula) Place(name string) (from, to int) {
	if n := f.root.first(name); n != nil {
		return n.from, n.to
	}
	return 0, 0
}

// Needs returns the names without which the formula is not run, in the order of
// the source: all but the guarded ones.
func (f *Formula) Needs() []string { return f.needs }

// Bool runs a formula that gives a condition. The error is a *[Missing] where a
// needed name has no value, or a *[RunError].
func (f *Formula) Bool(e *Env) (bool, error) {
	if d := f.toDirect(); d.truth != nil && f.hasAll(e) {
		if v := d.truth(e); v != unclear {
			return v == yes, nil
		}
	}
	return run[bool](f, e)
}

// Number runs a formula that gives a number. Errors are as for Bool.
func (f *Formula) Number(e *Env) (float64, error) {
	if d := f.toDirect(); d.number != nil && f.hasAll(e) {
		if v := d.number(e); finite(v) {
			return v, nil
		}
	}
	return run[float64](f, e)
}

// Text runs a formula that gives a text. Errors are as for Bool.
func (f *Formula) Text(e *Env) (string, error) { return run[string](f, e) }

func run[T any](f *Formula, e *Env) (T, error) {
	v, err := f.run(e)
	t, ok := v.(T)
	if err == nil && !ok {
		err = fmt.Errorf("the formula gives %s, not %T", f.root.kind, t)
	}
	return t, err
}

// Build makes what the first run would make.
func (f *Formula) Build() { f.toDirect() }

// hasAll tells whether every name that is needed has a value.
func (f *Formula) hasAll(e *Env) bool {
	for _, place := range f.needed {
		if !e.has(place) {
			return false
		}
	}
	return true
}

func (f *Formula) run(e *Env) (any, error) {
	if !f.hasAll(e) {
		return nil, &Missing{e.missing(f.needs)}
	}
	if v, ok := f.toDirect().value(e); ok {
		return v, nil
	}
	return f.runInEngine(e)
}

// runInEngine runs the formula as the engine does, which knows where it fails.
func (f *Formula) runInEngine(e *Env) (any, error) {
	p := &f.told
	p.once.Do(func() { p.program, p.err = builder{places: f.places}.compile(f.root) })
	if p.err != nil {
		return nil, f.failed(p.err)
	}
	return f.exec(p.program, e)
}

var machines = sync.Pool{New: func() any { return new(vm.VM) }}

// exec runs a program of the formula and checks the result.
func (f *Formula) exec(p *vm.Program, e *Env) (any, error) {
	m := machines.Get().(*vm.VM)
	v, err := m.Run(p, e)
	machines.Put(m)
	if err != nil {
		return nil, f.failed(err)
	}
	if x, ok := v.(float64); ok && !finite(x) {
		return nil, f.failed(notFinite)
	}
	return v, nil
}

// failed turns an error of the engine into one with a place in the source.
func (f *Formula) failed(err error) *RunError {
	p := Problem{From: f.root.from, To: f.root.to, Code: noResult, Summary: "the expression cannot be run: this is a fault of the program"}
	var why *failure
	if errors.As(err, &why) {
		p.Summary, p.Hint = why.summary, why.hint
	}
	var at *file.Error
	if errors.As(err, &at) {
		p.From, p.To = at.From, at.To
	}
	return &RunError{p}
}
