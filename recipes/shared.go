package recipes

import (
	"path"
	"slices"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/explain/diag"
	"fitadvisor/rules/file"
)

// The blocks of a recipe file or a test file that declare by name what several examples share.
const (
	bodiesBlock   = "bodies"
	patternsBlock = "patterns"
	clothsBlock   = "cloths"
)

// shared is what examples name, by its name in the block; each is read once.
type shared struct {
	bodies   map[string]*engine.Body
	patterns map[string]*engine.Pattern
	cloths   map[string]*engine.Cloth
}

func newShared() shared {
	return shared{map[string]*engine.Body{}, map[string]*engine.Pattern{}, map[string]*engine.Cloth{}}
}

// named reads what an example gives: whole, in a file beside this one, or by the name under which a block declares it. It is
// nil where it cannot be read.
func named[T any](x *exampleReader, v file.Value, block string, known map[string]*T, read func(file.Value) *T) *T {
	if !v.IsText() || path.Ext(v.Text()) != "" {
		return read(v)
	}
	declared, ok := x.inBlock(v, block)
	if _, have := known[v.Text()]; ok && !have && filled(v.Text(), declared) {
		known[v.Text()] = read(declared)
	}
	return known[v.Text()]
}

// filled tells whether a block says something under a name.
func filled(name string, declared file.Value) bool {
	if declared.Exists() && !declared.IsMap() {
		return true
	}
	if m := declared.Map(); slices.ContainsFunc(m.Keys(), func(k file.Value) bool { return m.Get(k.Text()).Exists() }) {
		return true
	}
	declared.Problem(file.Missing, "nothing is said of `"+name+"`", "write what the examples share, or take the line out")
	return false
}

// inBlock is what a block has under the name that v says.
func (x *exampleReader) inBlock(v file.Value, block string) (file.Value, bool) {
	m := x.doc.Root().Map().Get(block).Map()
	if m.Has(v.Text()) {
		return m.Get(v.Text()), true
	}
	hint := "declare it under `" + block + ":` before the examples, or name a file beside this one, as in `wren.yaml`"
	if keys := m.Keys(); len(keys) > 0 {
		names := make([]string, len(keys))
		for i, k := range keys {
			names[i] = k.Text()
		}
		hint = diag.Among(v.Text(), names)
	}
	v.Problem(notThere, "nothing is called `"+v.Text()+"` under `"+block+":`", hint)
	return file.Value{}, false
}

// unused reads what the file itself declares and no example names, so that what is wrong with it is told too.
func (x *exampleReader) unused() {
	each(x, patternsBlock, x.shared.patterns, x.readPatternOf)
	each(x, bodiesBlock, x.shared.bodies, x.readBodyOf)
	each(x, clothsBlock, x.shared.cloths, x.readClothOf)
}

func each[T any](x *exampleReader, block string, known map[string]*T, read func(file.Value) *T) {
	m := x.doc.Root().Map().Get(block).Map()
	for _, k := range m.Keys() {
		v := m.Get(k.Text())
		if _, have := known[k.Text()]; !have && v.Range().File == x.doc.Name() && filled(k.Text(), v) {
			known[k.Text()] = read(v)
		}
	}
}

// setUnits says what bare numbers are meant in, in this file and in those that it is based on.
func (r *reader) setUnits(u quantity.Unit) {
	for doc := r.doc; doc != nil; doc = doc.Base() {
		doc.SetUnits(u)
	}
}
