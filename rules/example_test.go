package rules_test

import (
	"fmt"

	"fitadvisor/engine/quantity"
	"fitadvisor/rules"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// A rule of your own, with what is wrong with it told at its place.
func ExampleRead() {
	voc, err := data.Vocabulary()
	if err != nil {
		fmt.Println(err)
		return
	}
	doc := file.Open("mine.yaml", []byte(`kind: rules
topic: mine
rules:
  - {id: long-hem, severity: note, when: body.height > limit.tall, say: "look at the hem", source: mine, limits: {tall: 180 cm}}
`))
	for _, r := range rules.Read(doc, voc, rules.AtOnce) {
		fmt.Println(r.ID, r.Severity, r.Limits[0].Name, quantity.FormatCm(r.Limits[0].Value, quantity.Cm))
	}
	fmt.Println(len(doc.Problems()), "problems")
	// Output:
	// long-hem note limit.tall 180 cm
	// 0 problems
}
