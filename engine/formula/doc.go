// Package formula reads and runs the expressions of rule and recipe files, such
// as `known(body.upper_bust) and zone.ease < cm(2)`, and the texts that carry
// them in braces. It is the only package that knows the expression engine.
//
// For most uses: describe the names once with [NewSchema], read each expression
// with [Compile] when its file is loaded, put values into an [Env], and ask
// [Formula.Bool], [Formula.Number] or [Formula.Text]. To show how a result came
// about, ask [Formula.Trace]. Texts are read with [CompileTemplate] and printed
// with [Template.Render].
//
// # Values
//
// Numbers are float64: centimetres, percentages, counts or degrees, as the
// name's [Dim] says. Names have the form group.name. A comparison of numbers
// rounds both sides with [Round], so that a verdict is the one a reader works
// out by hand. A result that is not finite, as after a division by zero, is an
// error with its place, never a verdict.
//
// # Missing values
//
// A missing value is never 0. A formula that needs one is not run and says so
// with [Missing]. A name is not needed where the formula guards it: in
// `known(a.b) and a.b > 1`, in `not known(a.b) or a.b > 1` and in
// `known(a.b) ? a.b : 0`, a.b may be missing.
//
// # Limits
//
// An expression has at most 1,000 characters, 50 brackets inside one another
// and 200 names, values and operators; a text at most 2,000 characters and 30
// expressions. Characters and brackets are counted before the engine sees the
// expression, which bounds its work and its stack.
package formula
