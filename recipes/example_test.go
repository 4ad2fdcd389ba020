package recipes_test

import (
	"fmt"

	"fitadvisor/recipes"
	"fitadvisor/rules/data"
	"fitadvisor/rules/file"
)

// A body file read, and what is wrong with it.
func ExampleReadBody() {
	voc, err := data.Vocabulary()
	if err != nil {
		fmt.Println(err)
		return
	}
	doc := file.Open("me.yaml", []byte("kind: body\nname: Wren\nunits: cm\nmeasurements:\n  hip: 101\n  wiast: 77\n"))
	body := recipes.ReadBody(doc, voc)
	fmt.Println(body.Name, body.Measurements["hip"].Readings[0].Length.Cm())
	for _, p := range doc.Problems() {
		fmt.Println(p)
	}
	// Output:
	// Wren 101
	// me.yaml:6:3: error[FA0302]: unknown measurement `wiast`
}
