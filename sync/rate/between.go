package rate

import (
	"math"

	"turnrow/sync/units"
)

// Between writes an interval of rates, such as "22.7 to 25.3 lb/ac", to three
// figures, its ends rounded outwards so that it never claims more than it is.
func Between(low, high units.RatePerArea, system units.System) string {
	from, to := outward(low, system, math.Floor, 1e-9), outward(high, system, math.Ceil, -1e-9)
	unit := " lb/ac"
	if system == units.Metric {
		unit = " kg/ha"
	}
	return from + " to " + to + unit
}

// outward writes a rate to three figures, rounded down or up.
func outward(r units.RatePerArea, system units.System, round func(float64) float64, slack float64) string {
	value := r.LbPerAcre()
	if system == units.Metric {
		value = r.KgPerHa()
	}
	step := 1.0
	for value > 0 && value >= 1000*step {
		step *= 10
	}
	for value > 0 && value < 100*step && step > 1e-6 {
		step /= 10
	}
	return figure(round(value/step+slack)*step, 3)
}

// percentHalf writes half of an interval in per cent, to two figures, and never
// so that one above ±5 % reads as 5.
func percentHalf(half float64) string {
	text := figure(half*100, 2)
	if half > GoWithin && text == "5" {
		text = "5.1"
	}
	return text + " %"
}
