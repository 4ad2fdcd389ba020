package report_test

import (
	"fmt"
	"os"

	"fitadvisor/engine"
	"fitadvisor/engine/report"
	"fitadvisor/explain/text"
	"fitadvisor/recipes"
	"fitadvisor/rules/data"
)

// A garment type as a person reads it.
func ExampleRecipes() {
	voc, err := data.Vocabulary()
	if err != nil {
		fmt.Println(err)
		return
	}
	skirt, err := recipes.Shipped("straight-skirt", voc)
	if err != nil {
		fmt.Println(err)
		return
	}
	_ = text.Render(os.Stdout, report.Recipes([]*engine.Recipe{skirt}), text.Options{})
	// Output:
	// recipe          garment type    for    chosen by
	// --------------------------------------------------
	// straight-skirt  straight skirt  women  hip
	//
	// `advisor recipe show NAME` says what decides the size of one, and why.
}
