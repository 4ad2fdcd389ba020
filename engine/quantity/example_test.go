package quantity_test

import (
	"fmt"

	"fitadvisor/engine/quantity"
)

func ExampleParseLength() {
	hip, err := quantity.ParseLength("44 1/4", quantity.In) // a file with `units: in`
	fmt.Println(hip.Format(quantity.In), hip.Format(quantity.Cm), hip.Exact(quantity.Cm), err)

	_, err = quantity.ParseLength("1,250 cm", "")
	fmt.Println(err)
	// Output:
	// 44 1/4 in 112.4 cm 112.395 cm <nil>
	// `1,250` can be read in two ways: write 1.250 with a point, or 1250 without the comma
}

func ExampleParseRange() {
	ease, _ := quantity.ParseRange("3-10 in", "")
	open, _ := quantity.ParseRange("4 in ..", "")
	fmt.Println(ease.Low.Format(quantity.In), ease.High.Format(quantity.In))
	fmt.Println(open.Low.Format(quantity.In), open.HasHigh)
	// Output:
	// 3 in 10 in
	// 4 in false
}
