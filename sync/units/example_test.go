package units_test

import (
	"fmt"

	"turnrow/sync/units"
)

// What people write becomes whole numbers of a small unit, and is printed in
// whichever system the reader wants. What is wrong is named.
func Example() {
	rate, _ := units.ParseRate("23 lb/ac")
	field, _ := units.ParseArea("7 1/2 ac")
	seed, _ := rate.On(field)
	fmt.Println(seed.Format(units.US), "or", seed.Format(units.Metric))

	_, err := units.ParseRate("23 lb")
	fmt.Println(err)
	// Output:
	// 172.5 lb or 78.24 kg
	// "23 lb" is a mass; a rate is wanted, such as 23 lb/ac
}
