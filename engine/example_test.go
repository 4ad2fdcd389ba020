package engine_test

import (
	"fmt"

	"fitadvisor/engine"
	"fitadvisor/engine/quantity"
	"fitadvisor/recipes"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// A pattern, a body and a cloth, as their files have them, to an answer. Problems
// of a file are in its Doc; [engine.Advise] tells what is wrong with the rest.
func ExampleAdvise() {
	open := func(text string) *file.Doc { return file.Open("example.yaml", []byte(text)) }
	voc, _ := data.Vocabulary()
	shared, _ := rules.Shared(voc)
	skirt, _ := recipes.Shipped("straight-skirt", voc)
	pattern, _ := recipes.ReadPattern(open("{kind: pattern, name: Quay, recipe: straight-skirt, units: cm, sizes: [40, 42, 44], body: {waist: [74, 78, 82], hip: [98, 102, 106]}, finished: {hip: [103, 107, 111]}}"), voc, nil)
	body := recipes.ReadBody(open("{kind: body, name: Wren, units: cm, measurements: {waist: 77, hip: 101}}"), voc)
	cloth := recipes.ReadCloth(open("{kind: cloth, name: linen, structure: woven}"), voc)
	a, err := engine.Advise(engine.Request{Pattern: pattern, Recipe: skirt, Rules: shared, Vocabulary: voc,
		Fitting: engine.Fitting{Body: body, Cloth: cloth, Units: quantity.Cm}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Recommended.Size, "since", a.Recommended.Because)
	// Output:
	// 42 since your hip decides, with 6 cm of ease where 5 cm is wanted
}

func ExampleRequest_Validate() {
	voc, _ := data.Vocabulary()
	skirt, _ := recipes.Shipped("straight-skirt", voc)
	q := engine.Request{Recipe: skirt, Vocabulary: voc, Pattern: &engine.Pattern{Sizes: []string{"S", "M"},
		Chart: map[string]engine.Row{"hip": {{Low: 96 * quantity.Centimetre, High: 96 * quantity.Centimetre, Known: true}}}}}
	fmt.Println(q.Validate())
	// Output:
	// pattern: chart row hip has 1 cell for 2 sizes
	// the request has no body
}
