package formula_test

import (
	"errors"
	"fmt"
	"strings"

	"fitadvisor/engine/formula"
)

func names() *formula.Schema {
	return formula.NewSchema([]formula.Name{
		{Name: "body.hip", Dim: formula.Length, About: "the body's hip girth"},
		{Name: "body.upper_bust", Dim: formula.Length, About: "the body's upper bust girth"},
		{Name: "ease.hip", Dim: formula.Ease, About: "the ease at the hip"},
		{Name: "cloth.structure", Dim: formula.Text, About: "woven or knit"},
	})
}

func ExampleCompile() {
	f, err := formula.Compile("ease.hip < inch(2) and cloth.structure == 'woven'", names(), formula.Bool)
	if err != nil {
		fmt.Println(err)
		return
	}
	env := formula.NewEnv(names())
	env.SetNumber("ease.hip", 4)

	_, err = f.Bool(env)
	fmt.Println(err)

	env.SetText("cloth.structure", "woven")
	fmt.Println(f.Bool(env))
	// Output:
	// not known: cloth.structure
	// true <nil>
}

func ExampleCompile_problems() {
	_, err := formula.Compile("body.hpi > 5 and cloth.structure", names(), formula.Bool)
	var problems formula.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			fmt.Printf("%d-%d: %s (%s)\n", p.From, p.To, p.Summary, p.Hint)
		}
	}
	// Output:
	// 0-8: unknown name `body.hpi` (did you mean `body.hip`?)
	// 17-32: `and` wants a condition, and `cloth.structure` is a text (compare it with something, as in `cloth.structure == "..."`)
}

func ExampleFormula_Trace() {
	f, err := formula.Compile("ease.hip > 5 or known(body.upper_bust) and body.upper_bust > 80", names(), formula.Bool)
	if err != nil {
		fmt.Println(err)
		return
	}
	env := formula.NewEnv(names())
	env.SetNumber("ease.hip", 4)
	_, parts, err := f.Trace(env)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range parts {
		fmt.Printf("%s%s: %v %v\n", strings.Repeat("  ", p.Depth), p.Text, p.Reached, p.Value)
	}
	// Output:
	// ease.hip > 5 or known(body.upper_bust) and body.upper_bust > 80: true false
	//   ease.hip > 5: true false
	//     ease.hip: true 4
	//   known(body.upper_bust) and body.upper_bust > 80: true false
	//     known(body.upper_bust): true false
	//     body.upper_bust > 80: false <nil>
	//       body.upper_bust: false <nil>
}

// centimetres prints lengths for a reader who works in centimetres.
type centimetres struct{}

func (centimetres) Finer() formula.Printer            { return nil }
func (centimetres) Length(cm float64) string          { return fmt.Sprintf("%.1f cm", cm) }
func (centimetres) Percent(p float64) string          { return fmt.Sprintf("%.1f %%", p) }
func (c centimetres) Ease(_ string, v float64) string { return c.Length(v) }
func (centimetres) Count(v float64) string            { return fmt.Sprint(v) }
func (centimetres) Degrees(v float64) string          { return fmt.Sprintf("%.0f°", v) }

func ExampleCompileTemplate() {
	t, err := formula.CompileTemplate("{ease.hip} at the hip is {length(cm(6) - ease.hip)} short of {{enough}}.", names())
	if err != nil {
		fmt.Println(err)
		return
	}
	env := formula.NewEnv(names())
	env.SetNumber("ease.hip", 4)
	text, _, err := t.Render(env, centimetres{})
	fmt.Println(text, err)
	// Output:
	// 4.0 cm at the hip is 2.0 cm short of {enough}. <nil>
}

func ExampleSchema_With() {
	s := names().With(formula.Fixed{
		Name:  formula.Name{Name: "limit.least", Dim: formula.Length, About: "the least ease"},
		Value: 5.08,
	})
	f, err := formula.Compile("ease.hip < limit.least", s, formula.Bool)
	if err != nil {
		fmt.Println(err)
		return
	}
	env := formula.NewEnv(names())
	env.SetNumber("ease.hip", 4)
	fmt.Println(f.Bool(env))
	// Output: true <nil>
}
