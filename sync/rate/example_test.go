package rate_test

import (
	"fmt"

	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A crew sets a grain box for 50 lb/ac of oat: the chart under the lid, one
// catch over 60 turns of the wheel, the dial that follows, and what to do
// before going.
func Example() {
	lbPerAcre := func(text string) units.RatePerArea {
		r, err := units.ParseRate(text)
		if err != nil {
			panic(err)
		}
		return r
	}
	box := rate.Box{From: 0, To: 100_000, Chart: []rate.ChartPoint{
		{Dial: 20_000, Rate: lbPerAcre("18 lb/ac")},
		{Dial: 40_000, Rate: lbPerAcre("41 lb/ac")},
		{Dial: 60_000, Rate: lbPerAcre("66 lb/ac")},
	}}
	catch, err := rate.Catch{
		Run:       rate.Run{Roll: 2_489_200, Turns: 60_000, Rows: 16, Drill: 16, Spacing: 190_500}, // 8 ft 2 in; 7.5 in
		Caught:    []units.Mass{2_270_000},
		Weighings: 2,
	}.Rate()
	if err != nil {
		panic(err)
	}
	fit, err := rate.FitBox(box, []rate.Measured{catch.Measured(40_000)})
	if err != nil {
		panic(err)
	}
	choice, err := fit.DialFor(lbPerAcre("50 lb/ac"))
	if err != nil {
		panic(err)
	}
	fmt.Println("caught at dial 40:", catch.Rate.Format(units.US))
	fmt.Println("set the dial to", choice.Dial)
	fmt.Println(choice.Next, "-", choice.Why)
	// Output:
	// caught at dial 40: 44.5 lb/ac
	// set the dial to 44.236
	// catch once more - the rate is known to ±5.6 %; catch at dial 44.2, which makes it ±4 %
}
