package advice_test

import (
	"fmt"

	"fitadvisor/recipes/advice"
)

// skirt is what a maker prints, written down: a pattern file.
const skirt = `
kind: pattern
name: Quayside skirt
recipe: gathered-skirt
units: in
sizes: [16, 18, 20]
body: {hip: [42, 44, 46]}
finished: {hip: [47, 49, 51]}
`

func ExampleAsk() {
	reply := advice.Ask(advice.Question{
		Pattern: advice.Open("skirt.yaml", skirt),
		Typed:   advice.Typed{Body: map[string]string{"hip": "44 1/4 in"}},
		Ease:    []string{"drawn"},
	})
	if reply.Answer == nil {
		fmt.Println(reply.Problems)
		return
	}
	fmt.Println(reply.Answer.Recommended.Size+":", reply.Answer.Recommended.Because)
	// Output:
	// 18: your hip decides, with 4 3/4 in of ease where 5 in is wanted
}
